//! A line of a data sheet, as it is copied from one: which test of a trial it is of, and which of its words is the number.
//!
//! What can be read in two ways is not read: the line is told what is missing in it.

use crate::catalogue::{Method, Quantity, Use};
use crate::explain::quoted::is_usual;
use crate::prose::standing::number_of_standard;
use crate::records::{TestKey, TrialRecords};
use crate::units::{Dimension, Unit};

/// Most lines that are answered at once.
pub const MOST_LINES: usize = 8;

/// Where a line belongs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlacedLine {
    /// The test of the trial beside which it is laid.
    pub key: TestKey,
    /// The method whose standard the line names, where it is not the test's own.
    pub standard: String,
    /// The number with its unit, as it stands in the line.
    pub value: String,
}

/// Places a line among the tests of a trial.
///
/// # Errors
/// What is missing in the line, or can be read in two ways, with the mend.
pub fn place_line(records: &TrialRecords, methods: &[Method], line: &str) -> Result<PlacedLine, String> {
    let parts = Parts::of(line);
    let weighed = records
        .trial
        .tests
        .iter()
        .filter(|test| test.used_to != Use::Gate);
    let tests: Vec<Candidate<'_>> = weighed
        .filter_map(|test| {
            let (method, quantity) = records.test(&test.key)?;
            let standard = String::new();
            Some(Candidate {
                key: test.key.clone(),
                method,
                quantity,
                standard,
            })
        })
        .collect();
    let found = if parts.standards.is_empty() {
        parts.best_labelled(tests).filter(|found| found.len() == 1).ok_or(
            "names no standard and no test by its name: write the standard's number beside the number, such as D2783",
        )?
    } else {
        let own: Vec<Candidate<'_>> = tests
            .iter()
            .filter(|test| parts.names(&test.method.standard))
            .cloned()
            .collect();
        if own.is_empty() {
            of_other_standard(&parts, &tests, methods)?
        } else {
            own
        }
    };
    let found = if found.len() > 1 {
        parts.narrowed(found)
    } else {
        found
    };
    let [one] = found.as_slice() else {
        let labels: Vec<&str> = found.iter().map(|test| test.quantity.label.as_str()).collect();
        return Err(format!(
            "can be several things by that standard: name which of them ({})",
            labels.join("; ")
        ));
    };
    Ok(PlacedLine {
        value: parts.value(one.quantity)?,
        standard: one.standard.clone(),
        key: one.key.clone(),
    })
}

/// A test that a line may be of.
#[derive(Clone)]
struct Candidate<'a> {
    key: TestKey,
    method: &'a Method,
    quantity: &'a Quantity,
    standard: String,
}

/// The tests beside which a number by another known standard is laid: those that measure the same.
fn of_other_standard<'a>(
    parts: &Parts,
    tests: &[Candidate<'a>],
    methods: &[Method],
) -> Result<Vec<Candidate<'a>>, String> {
    let named: Vec<&Method> = methods
        .iter()
        .filter(|method| parts.names(&method.standard))
        .collect();
    if named.is_empty() {
        return Err(format!(
            "'{}' is the standard of no test that is known here",
            parts.standards.join(", ")
        ));
    }
    let mut found: Vec<Candidate<'a>> = Vec::new();
    for method in &named {
        for quantity in &method.quantities {
            let same = |test: &&Candidate<'a>| {
                let called_so = test.quantity.id == quantity.id
                    || test.quantity.label.eq_ignore_ascii_case(&quantity.label);
                called_so
                    && test.quantity.better == quantity.better
                    && quantity.unit.convert(1.0, test.quantity.unit).is_some()
            };
            if let Some(test) = tests.iter().find(same) {
                let standard = method.id.to_string();
                found.push(Candidate {
                    standard,
                    ..test.clone()
                });
            }
        }
    }
    if found.is_empty() {
        return Err(format!(
            "is by {}, and no test of this trial measures the same",
            number_of_standard(&named[0].standard)
        ));
    }
    Ok(found)
}

/// The words of a line, told apart.
#[derive(Debug, Default, PartialEq, Eq)]
struct Parts {
    /// Numbers of standards: `D2783`, `51350-2`.
    standards: Vec<String>,
    /// Numbers with what stands around them.
    numbers: Vec<String>,
    /// Everything else, in small letters.
    words: Vec<String>,
}

const BODIES: [&str; 9] = ["astm", "din", "iso", "ip", "en", "cec", "fva", "jis", "gb/t"];
const BEFORE_NUMBER: [&str; 14] = [
    "ca.", "ca", "circa", "approx.", "about", "typ.", "min.", "min", "max.", "max", "fls", "stage", ">", "<",
];

impl Parts {
    fn of(line: &str) -> Self {
        let spaced = line.replace(['\u{a0}', '\u{202f}', '\t', ';', '|', '(', ')', '[', ']'], " ");
        let tokens: Vec<&str> = spaced
            .split_whitespace()
            .map(|token| token.trim_end_matches([',', ':']))
            .filter(|token| !token.is_empty() && *token != "/")
            .collect();
        let mut parts = Self::default();
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            let small = token.to_ascii_lowercase();
            if BODIES.contains(&small.as_str()) {
                at += 1;
                let number = tokens
                    .get(at)
                    .filter(|next| next.contains(|c: char| c.is_ascii_digit()));
                if let Some(number) = number {
                    parts.standards.push(plain_standard(number));
                    at += 1;
                }
            } else if is_bare_standard(token) {
                parts.standards.push(plain_standard(token));
                at += 1;
            } else if let Some(end) = end_of_number(&tokens, at) {
                let mut number = tokens[at..end].join(" ");
                if tokens.get(end).is_some_and(|next| is_unit(next)) {
                    number = format!("{number} {}", tokens[end]);
                    at = end + 1;
                } else {
                    at = end;
                    // a column of units may stand before the column of numbers
                    let bare = !number.ends_with(char::is_alphabetic);
                    if bare && let Some(unit) = parts.words.pop_if(|word| is_unit(word)) {
                        number = format!("{number} {unit}");
                    }
                }
                parts.numbers.push(number);
            } else {
                parts.words.push(if is_unit(token) {
                    (*token).to_string()
                } else {
                    small
                });
                at += 1;
            }
        }
        parts
    }

    /// Whether one of its standards is among those of a method.
    fn names(&self, standard: &str) -> bool {
        let of_method = Self::of(standard).standards;
        self.standards.iter().any(|named| of_method.contains(named))
    }

    /// How many words of a label the line has.
    fn likeness(&self, label: &str) -> usize {
        let telling = label
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| word.len() > 3);
        telling
            .filter(|word| {
                self.words
                    .iter()
                    .any(|own| own.split('-').any(|own| own.eq_ignore_ascii_case(word)))
            })
            .count()
    }

    /// Those whose label has most words of the line; `None` where none has any.
    fn best_labelled<'a>(&self, tests: Vec<Candidate<'a>>) -> Option<Vec<Candidate<'a>>> {
        let likeness = |test: &Candidate<'_>| self.likeness(&test.quantity.label);
        let most = tests.iter().map(likeness).max().filter(|most| *most > 0)?;
        Some(tests.into_iter().filter(|test| likeness(test) == most).collect())
    }

    /// Of several tests those that the line's words name, then those whose unit one of its numbers has, then those that
    /// usually read such a number.
    fn narrowed<'a>(&self, tests: Vec<Candidate<'a>>) -> Vec<Candidate<'a>> {
        let tests = self.best_labelled(tests.clone()).unwrap_or(tests);
        let kept = |tests: Vec<Candidate<'a>>, fits: &dyn Fn(&Candidate<'a>, &str) -> bool| {
            let is_left = |test: &&Candidate<'a>| self.numbers.iter().any(|number| fits(test, number));
            let left: Vec<Candidate<'a>> = tests.iter().filter(is_left).cloned().collect();
            if left.is_empty() { tests } else { left }
        };
        let of_unit = kept(tests, &|test, number| may_be_of(number, test.quantity));
        kept(of_unit, &|test, number| {
            is_usual(number, (test.method, test.quantity))
        })
    }

    /// The number of the line for a quantity.
    fn value(&self, quantity: &Quantity) -> Result<String, String> {
        let classes = quantity.scale.classes();
        let class = self
            .words
            .iter()
            .find(|word| classes.iter().any(|class| class.eq_ignore_ascii_case(word)));
        if let Some(class) = class {
            return Ok(class.clone());
        }
        let of_unit: Vec<&String> = self
            .numbers
            .iter()
            .filter(|number| may_be_of(number, quantity))
            .collect();
        match (self.numbers.as_slice(), of_unit.as_slice()) {
            ([], _) => Err("has no number: write it with its unit".to_string()),
            ([one], _) => Ok(one.clone()),
            (_, [one]) => Ok((*one).clone()),
            _ => Err(format!(
                "has several numbers ({}): leave the one that counts",
                self.numbers.join("; ")
            )),
        }
    }
}

/// Whether a number names a unit that converts into a quantity's, or names none where none is needed.
fn may_be_of(number: &str, quantity: &Quantity) -> bool {
    let at = number
        .rfind(|c: char| c.is_ascii_digit() || c == '+')
        .map_or(0, |at| at + 1);
    let word = number[at..].trim();
    let is_load = quantity.unit.dimension() == Dimension::Force;
    match word.to_ascii_lowercase().as_str() {
        "" => quantity.unit.dimension() == Dimension::Count,
        "kg" | "kgs" | "lb" | "lbs" | "dan" if is_load => true,
        _ => word
            .parse::<Unit>()
            .is_ok_and(|unit| unit.convert(1.0, quantity.unit).is_some()),
    }
}

fn is_unit(token: &str) -> bool {
    let loose = ["kg", "kgs", "lb", "lbs", "dan"];
    token.chars().any(char::is_alphabetic)
        && (loose.contains(&token.to_ascii_lowercase().as_str()) || token.parse::<Unit>().is_ok())
}

/// Where the number that starts here ends: words before it, its sign, its figures; `None` where none starts.
fn end_of_number(tokens: &[&str], from: usize) -> Option<usize> {
    let mut at = from;
    while let Some(token) = tokens.get(at) {
        if BEFORE_NUMBER.contains(&token.to_ascii_lowercase().as_str()) {
            at += 1;
            continue;
        }
        let bare = token.trim_start_matches(['>', '<', '=', '\u{2265}', '\u{2264}', '~', '\u{2248}']);
        let starts = bare.starts_with(|c: char| c.is_ascii_digit());
        return starts.then_some(at + 1);
    }
    None
}

/// `D2783`, `D4172-21`, `G133`: the numbers of one body, which stand alone too.
fn is_bare_standard(token: &str) -> bool {
    let mut letters = token.chars();
    let first = letters
        .next()
        .is_some_and(|first| matches!(first, 'D' | 'd' | 'G' | 'g'));
    let figures = letters.as_str();
    let digits = figures.chars().take_while(char::is_ascii_digit).count();
    let rest = &figures[digits..];
    first && (2..=5).contains(&digits) && (rest.is_empty() || rest.starts_with('-'))
}

/// Without the year that stands behind a hyphen: `D4172-21`; parts of a standard stay: `51350-2`.
fn plain_standard(token: &str) -> String {
    let upper = token.to_ascii_uppercase();
    match upper.split_once('-') {
        Some((number, _)) if upper.starts_with(['D', 'G']) => number.to_string(),
        Some((number, year)) if year.len() == 4 => number.to_string(),
        _ => upper
            .split_once(':')
            .map_or(upper.clone(), |(number, _)| number.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_a_line_are_told_apart_in_any_order() {
        for (line, standards, numbers) in [
            ("315 kgf, D2783", vec!["D2783"], vec!["315 kgf"]),
            ("Weld load\tASTM D2783-21\tkg\t315", vec!["D2783"], vec!["315 kg"]),
            (
                "Four-ball wear, ASTM D4172 (40 kg, 1 h): 0,45 mm",
                vec!["D4172"],
                vec!["40 kg", "1 h", "0,45 mm"],
            ),
            ("DIN 51350-2: min. 2400 N", vec!["51350-2"], vec!["min. 2400 N"]),
            ("DIN ISO 14635-1 FLS > 12", vec!["14635-1"], vec!["FLS > 12"]),
            (
                "ISO 14635-1 / ASTM D5182 12+",
                vec!["14635-1", "D5182"],
                vec!["12+"],
            ),
            ("~315kgf D2783", vec!["D2783"], vec!["~315kgf"]),
            ("good wear protection", vec![], vec![]),
        ] {
            let parts = Parts::of(line);
            assert_eq!(parts.standards, standards, "{line}");
            assert_eq!(parts.numbers, numbers, "{line}");
        }
    }

    #[test]
    fn a_standard_is_one_of_several_that_a_method_names() {
        let line = Parts::of("stage 12 by D5182");
        assert!(line.names("ISO 14635-1 (A/8,3/90); ASTM D5182; CEC L-07"));
        assert!(!line.names("ASTM D2783"));
        assert!(Parts::of("14 mg DIN 51819-3").names("DIN 51819-3, test 7,5/80-80"));
        assert!(!Parts::of("14 mg DIN 51819-2").names("DIN 51819-3, test 7,5/80-80"));
    }
}
