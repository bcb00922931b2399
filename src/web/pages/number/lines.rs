//! Several numbers of one data sheet: each line is placed, read and judged for itself.

use crate::catalogue::{Method, MethodId};
use crate::explain::{Ask, PlacedLine, QuotedAsk, explain, place_line};
use crate::prose::standing::number_of_standard;
use crate::records::{TestKey, TrialRecords};
use crate::standing::Comparison;
use crate::web::pages::explanation;
use crate::web::preferences::preferences;
use crate::web::question::{Pairs, encoded};

/// One line as it was typed.
pub(super) struct Typed {
    text: String,
    /// The test whose box it was typed into; empty where the line itself has to say it.
    of: String,
}

/// The lines of a text, and what stands in boxes beside tests: a field `of` and its `theirs`, in turn.
pub(super) fn typed(pairs: &Pairs, lines: &str) -> Vec<Typed> {
    let of_text = lines.lines().map(|line| (String::new(), line));
    let fields = |name: &'static str| pairs.0.iter().filter(move |(field, _)| field == name);
    let boxes = fields("of").zip(fields("theirs"));
    let of_boxes = boxes.map(|((_, of), (_, theirs))| (of.clone(), theirs.as_str()));
    of_text
        .chain(of_boxes)
        .filter(|(_, text)| !text.trim().is_empty())
        .map(|(of, text)| Typed {
            text: text.trim().to_string(),
            of,
        })
        .collect()
}

impl Typed {
    pub(super) fn placed(&self, records: &TrialRecords, methods: &[Method]) -> Result<PlacedLine, String> {
        if self.of.is_empty() {
            return place_line(records, methods, &self.text);
        }
        let key = self.of.split_once('/').and_then(|(method, quantity)| {
            let key = TestKey::new(&MethodId::new(method)?, quantity);
            records
                .trial
                .tests
                .iter()
                .any(|test| test.key == key)
                .then_some(key)
        });
        let key = key.ok_or("stands beside a test that this trial does not have")?;
        Ok(PlacedLine {
            key,
            standard: String::new(),
            value: self.text.clone(),
        })
    }
}

/// A line and its answer.
pub(super) struct Line {
    pub(super) text: String,
    /// What it was read as: the number, the quantity and its standard; empty where it could not be.
    pub(super) number: String,
    pub(super) label: String,
    pub(super) standard: String,
    pub(super) word: &'static str,
    pub(super) first: &'static str,
    pub(super) because: String,
    pub(super) href: String,
    /// Why it could not be read; empty where it could.
    pub(super) fault: String,
}

/// The answers of one trial.
pub(super) struct Answered {
    pub(super) trial: String,
    pub(super) machine: String,
    pub(super) blend: String,
    pub(super) lines: Vec<Line>,
}

impl Answered {
    /// Whether no line could be read.
    pub(super) fn is_refused(&self) -> bool {
        self.lines.iter().all(|line| !line.fault.is_empty())
    }

    /// `1 yes, 2 no, 1 not read`.
    pub(super) fn summary(&self) -> String {
        let count = |word: &str| {
            self.lines
                .iter()
                .filter(|line| line.fault.is_empty() && line.first == word)
                .count()
        };
        let read = self.lines.iter().filter(|line| line.fault.is_empty()).count();
        let unread = self.lines.len() - read;
        let parts = [
            (count("yes"), "yes"),
            (count("no"), "no"),
            (count("cannot_be_compared"), "cannot be compared"),
            (unread, "not read"),
        ];
        let said: Vec<String> = parts
            .into_iter()
            .filter(|(number, _)| *number > 0)
            .map(|(number, words)| format!("{number} {words}"))
            .collect();
        said.join(", ")
    }
}

/// Judges every line beside a candidate of a trial.
pub(super) fn answered(
    comparison: &Comparison,
    methods: &[Method],
    blend: &str,
    trial: &str,
    typed: &[Typed],
) -> Answered {
    let records = &comparison.records;
    Answered {
        trial: trial.to_string(),
        machine: records.machine.name.clone(),
        blend: blend.to_string(),
        lines: typed
            .iter()
            .map(|line| answer(comparison, methods, blend, line))
            .collect(),
    }
}

fn answer(comparison: &Comparison, methods: &[Method], blend: &str, typed: &Typed) -> Line {
    let records = &comparison.records;
    let refused = |fault: String, href: String| Line {
        text: typed.text.clone(),
        number: String::new(),
        label: String::new(),
        standard: String::new(),
        word: "",
        first: "",
        because: String::new(),
        href,
        fault,
    };
    let placed = match typed.placed(records, methods) {
        Ok(placed) => placed,
        Err(fault) => return refused(fault, String::new()),
    };
    // A box says its unit beside it; a line has to name its own.
    let unit = match records.test(&placed.key) {
        Some((_, quantity)) if !typed.of.is_empty() => {
            preferences().in_unit(quantity.unit).word().to_string()
        }
        _ => String::new(),
    };
    let mut href = format!(
        "{}&blend={}&value={}",
        explanation::address(&records.trial.slug, &placed.key),
        encoded(blend),
        encoded(&placed.value)
    );
    for (field, value) in [("standard", &placed.standard), ("unit", &unit)] {
        if !value.is_empty() {
            href.push_str(&format!("&{field}={}", encoded(value)));
        }
    }
    let ask = Ask {
        method: placed.key.method.clone(),
        quantity: Some(placed.key.quantity.clone()),
        blend: Some(blend.to_string()),
        contact: None,
        quoted: Some(QuotedAsk {
            value: placed.value,
            unit,
            standard: placed.standard,
            oil: String::new(),
        }),
        shown: preferences(),
    };
    let explained = match explain(comparison, &ask) {
        Ok(explained) => explained,
        Err(fault) => return refused(fault.problem, String::new()),
    };
    let Some(quoted) = &explained.quoted else {
        return refused("has no number: write it with its unit".to_string(), String::new());
    };
    let Some(said) = &quoted.said else {
        let faults: Vec<&str> = quoted.faults.iter().map(|fault| fault.problem.as_str()).collect();
        let ask_back = quoted
            .elsewhere
            .first()
            .map(|other| format!(". {}", other.question));
        return refused(
            format!("{}{}", faults.join("; "), ask_back.unwrap_or_default()),
            href,
        );
    };
    Line {
        text: typed.text.clone(),
        number: said.number.clone(),
        label: explained.label.clone(),
        standard: number_of_standard(&said.standard).to_string(),
        word: explained.call.word.trim_end_matches('.'),
        first: explained.call.first.word(),
        because: explained.call.because.clone(),
        href,
        fault: String::new(),
    }
}
