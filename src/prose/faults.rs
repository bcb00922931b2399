//! What is wrong with a record or with a method, said wherever it was found: in a folder, in the database, in a form.

use crate::catalogue::{self, ContactFault, Mode, Quantity};
use crate::records::table::CellProblem;
use crate::records::{LimitFault, OwnMethodFault, OwnMethodProblem, PeriodFault, TermScaleFault, Word};
use crate::units::UnknownUnit;

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
        OwnMethodProblem::Mode(word) => no_mode(word),
        OwnMethodProblem::Strength(item) => format!("'{item}': the strength lies between 0 and 1"),
        OwnMethodProblem::Precision => "repeatability and reproducibility must be above 0".to_string(),
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
