//! What is wrong with a record or with a method, said wherever it was found: in a folder, in the database, in a form.

use crate::catalogue::{self, ContactFault, Impossible, Method, Mode, Quantity, Slip, Unusual, Words};
use crate::records::table::CellProblem;
use crate::records::{
    AcceptedAs, LimitFault, OwnMethodFault, OwnMethodProblem, PeriodFault, TermScaleFault, Word,
};
use crate::units::{DisplayPreferences, Interval, Unit, UnknownUnit};

/// Of a laboratory's own method, with the column at fault before it.
pub fn own_method_fault(fault: &OwnMethodFault) -> String {
    format!("{}: {}", fault.column, own_method_problem(&fault.problem))
}

/// Of a cell of a laboratory's own method, with the mend.
pub fn own_method_problem(problem: &OwnMethodProblem) -> String {
    match problem {
        OwnMethodProblem::NotBuiltIn(id) => format!("'{id}' is not a built-in method"),
        OwnMethodProblem::NoneOf(words) => match words.split_last() {
            Some((last, others)) => format!("use {} or {last}", others.join(", ")),
            None => String::new(),
        },
        OwnMethodProblem::NoContacts(error) => format!("is not a JSON list of contacts: {error}"),
        OwnMethodProblem::Contact(fault) => contact_fault(fault),
        OwnMethodProblem::NoConditions(error) => format!("is not a JSON list of conditions: {error}"),
        OwnMethodProblem::Scale(word) => format!("'{word}': use identity, ln, ladder, stage or class"),
        OwnMethodProblem::Unit(unknown) => unknown_unit(unknown),
        OwnMethodProblem::NoSteps => "write numbers with ';' between them".to_string(),
        OwnMethodProblem::Bare => steps_fault(catalogue::ScaleFault::Bare).to_string(),
        OwnMethodProblem::ReadOff => steps_fault(catalogue::ScaleFault::ReadOff).to_string(),
        OwnMethodProblem::FallingSteps => steps_fault(catalogue::ScaleFault::Falling).to_string(),
        OwnMethodProblem::NoContact(name) => {
            format!("the method has no contact '{name}'; name one of its contacts")
        }
        OwnMethodProblem::SameName(name) => {
            format!("two contacts are called '{name}'; give each a name of its own")
        }
        OwnMethodProblem::Mode(word) => no_mode(word),
        OwnMethodProblem::Strength(item) => format!("'{item}': the strength lies between 0 and 1"),
        OwnMethodProblem::Range => "write the least and the greatest number, '0.3;1.2'".to_string(),
        OwnMethodProblem::Precision => "repeatability and reproducibility must be above 0".to_string(),
    }
}

/// Words of its original that a method does without.
pub fn words_left_out(words: &Words, method: &Method) -> String {
    match words {
        Words::Condition(name) => format!("the {name} as it was listed"),
        Words::Standard => "the designation of the standard".to_string(),
        Words::Caution => "part of the caution".to_string(),
        Words::Safety => "part of the words on safety".to_string(),
        Words::Note => "part of the note".to_string(),
        Words::Label(id) => {
            let label = method
                .quantity(id)
                .map_or(id.as_str(), |quantity| quantity.label.as_str());
            format!("part of the name of '{label}'")
        }
    }
}

/// Of an empty repeatability beside a reproducibility.
pub const R_ALONE: &str = "is empty; a reproducibility without a repeatability cannot be used";

/// Of the steps or classes of a scale.
pub fn steps_fault(fault: catalogue::ScaleFault) -> &'static str {
    match fault {
        catalogue::ScaleFault::Bare => "needs steps or classes",
        catalogue::ScaleFault::ReadOff => "has no steps",
        catalogue::ScaleFault::Falling => "the steps must rise",
    }
}

/// Of a contact of a method; it begins with the key at fault where there is one.
pub fn contact_fault(fault: &ContactFault) -> String {
    match fault {
        ContactFault::Unread(error) => error.clone(),
        ContactFault::Element(error) => format!("element: {error}"),
        ContactFault::NotAbove0(key) => format!("{key}: must be above 0"),
        ContactFault::Word(key, unknown) => format!("{key}: {unknown}"),
        ContactFault::BulkTemperature => {
            "bulk_temperature_c: a temperature, or a rising pair, above -273.15".to_string()
        }
    }
}

/// Of a number that cannot be a result, in a unit, with the slip that would explain it.
pub fn impossible(fault: &Impossible, unit: Unit) -> String {
    match fault {
        Impossible::Outside {
            number,
            possible,
            slip,
        } => format!(
            "{} is not possible: it lies outside {}{}",
            in_unit(*number, unit),
            range(*possible, unit),
            slip_words(*slip, unit)
        ),
        Impossible::NoStage(number) => {
            format!(
                "{} is not a stage; write a whole number from 1 to 14",
                figure(*number)
            )
        }
    }
}

/// Of a number that is asked about, in a unit, with the slip that would explain it.
pub fn unusual(why: &Unusual, unit: Unit) -> String {
    match why {
        Unusual::Outside { number, usual, slip } => format!(
            "{} is not usual: it lies outside {}{}",
            in_unit(*number, unit),
            range(*usual, unit),
            slip_words(*slip, unit)
        ),
        Unusual::OffSteps { number, below, above } => {
            let next: Vec<String> = [below, above]
                .into_iter()
                .flatten()
                .map(|step| figure(*step))
                .collect();
            format!(
                "{} is not a step; next to it lies {}",
                in_unit(*number, unit),
                next.join(" and ")
            )
        }
    }
}

/// Of a run that equals another one, in words, but for what one of the two does not give.
pub fn may_be_the_same_run(other: &str) -> String {
    format!(
        "reads as {other} does, and the two differ only in a rig, a date or a number that one of them does not give: is \
         it the same run?"
    )
}

/// A question about a row of a file, with how its column `accepted` answers it.
pub fn asked_of_a_row(question: &str, what: AcceptedAs) -> String {
    let when = match what {
        AcceptedAs::Unusual => "it is right",
        AcceptedAs::SameRun => "it is another run",
    };
    format!(
        "{question}; if {when}, write '{}' in the column accepted",
        what.word()
    )
}

/// `; read in µm it would be 0.45 mm`.
pub fn slip_words(slip: Option<Slip>, unit: Unit) -> String {
    match slip {
        Some(Slip::Unit(meant, number)) => {
            format!("; read in {meant} it would be {}", in_unit(number, unit))
        }
        Some(Slip::TenTimes) => "; a tenth of it would be usual".to_string(),
        Some(Slip::Tenth) => "; ten times as much would be usual".to_string(),
        None => String::new(),
    }
}

fn figure(number: f64) -> String {
    DisplayPreferences::default().number(number)
}

fn in_unit(number: f64, unit: Unit) -> String {
    match unit {
        Unit::One => figure(number),
        Unit::Stage => format!("stage {}", figure(number)),
        unit => format!("{} {unit}", figure(number)),
    }
}

fn range(range: Interval, unit: Unit) -> String {
    format!(
        "{} to {}",
        figure(range.lo()),
        in_unit(range.hi(), unit).replace("stage ", "")
    )
}

/// Of a gate's limit, with the mend.
pub fn limit_fault(fault: &LimitFault, quantity: &Quantity) -> String {
    match fault {
        LimitFault::WithoutSide(text) => {
            format!("'{text}' is not a limit; write '<= 6', '>= 10', '<= 1b' or 'pass'")
        }
        LimitFault::UnknownClass(text) => {
            format!(
                "'{text}' is not one of the classes: {}",
                quantity.scale.classes().join(", ")
            )
        }
        LimitFault::NotANumber(text) => format!("'{text}' is not a number in {}", quantity.unit.word()),
    }
}

/// Of what a term counts in a trial.
pub fn scale_fault(fault: TermScaleFault) -> &'static str {
    match fault {
        TermScaleFault::Importance => "an importance lies between 0 and 10",
        TermScaleFault::IsTable => "this term compares words by a table: it has no halving distance",
        TermScaleFault::Factor => "this term halves at a factor; write a number from 1.01 to 1000000",
        TermScaleFault::Distance => "a halving distance lies above 0 and is at most 1000000",
    }
}

/// Of a cell beside others.
pub fn cell_problem(problem: &CellProblem) -> String {
    match problem {
        CellProblem::NoValue => "is not a value of this column".to_string(),
        CellProblem::OtherBounds => "does not go with the stored bounds".to_string(),
        CellProblem::Preset(fault) => fault.to_string(),
        CellProblem::Period(fault) => period_fault(*fault).to_string(),
    }
}

/// Of two days that make no period.
pub fn period_fault(fault: PeriodFault) -> &'static str {
    match fault {
        PeriodFault::OneEnd => "a base period has a first and a last day: write both, or leave both empty",
        PeriodFault::Backwards => "lies before the first day of the base period",
    }
}

/// Of a word that names no failure mode.
pub fn no_mode(word: &str) -> String {
    format!("'{word}' is not a failure mode; use one of: {}", Mode::allowed())
}

/// Of a word that names no unit.
pub fn unknown_unit(UnknownUnit(word): &UnknownUnit) -> String {
    format!("'{word}' is not a unit that is known here")
}
