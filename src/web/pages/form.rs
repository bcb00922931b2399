//! The forms that enter records: their fields as the templates show them, label above, unit in the field, fault beside
//! it.

use crate::app::{AppError, DraftFault, FaultKind};
use crate::web::error::HttpError;
use crate::web::figures::count;
use axum::http::StatusCode;

/// One input: its name in the form, what is typed, what stands in it while it is empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Input {
    pub(crate) name: String,
    pub(crate) typed: String,
    pub(crate) placeholder: String,
    /// What it is, for who hears the page; empty where the label says it.
    pub(crate) heard: String,
    /// The id of the list of the page that offers values for it; empty where none does.
    pub(crate) list: &'static str,
}

impl Input {
    /// An input under its name.
    pub(crate) fn new(name: impl Into<String>, typed: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            typed: typed.into(),
            placeholder: String::new(),
            heard: String::new(),
            list: "",
        }
    }

    /// Its id: its name in letters, digits and hyphens.
    pub(crate) fn id(&self) -> String {
        let plain = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
        format!("f-{}", self.name.chars().map(plain).collect::<String>())
    }
}

/// How a field is filled in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    /// One line.
    Line,
    /// Several lines.
    Text,
    /// One of some choices: their values and words.
    Choices(Vec<(String, String)>),
}

/// One field with one input, or with two for a range.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Field {
    pub(crate) label: String,
    pub(crate) unit: String,
    pub(crate) note: String,
    pub(crate) shape: Shape,
    pub(crate) inputs: Vec<Input>,
    /// The word between two inputs.
    pub(crate) between: &'static str,
    /// What is wrong with it; empty where nothing is.
    pub(crate) fault: String,
    pub(crate) may_be_left_out: bool,
}

impl Field {
    /// Lines of one input each, that must be filled in.
    pub(crate) fn of_inputs(label: impl Into<String>, inputs: Vec<Input>) -> Self {
        Self {
            label: label.into(),
            unit: String::new(),
            note: String::new(),
            shape: Shape::Line,
            inputs,
            between: "to",
            fault: String::new(),
            may_be_left_out: false,
        }
    }

    /// A line that must be filled in.
    pub(crate) fn line(label: impl Into<String>, name: impl Into<String>, typed: &str) -> Self {
        Self::of_inputs(label, vec![Input::new(name, typed)])
    }

    /// Several lines that may be left out.
    pub(crate) fn text(label: impl Into<String>, name: impl Into<String>, typed: &str) -> Self {
        Self {
            shape: Shape::Text,
            may_be_left_out: true,
            ..Self::line(label, name, typed)
        }
    }

    /// One of some choices: values and words.
    pub(crate) fn choices<'a>(
        label: impl Into<String>,
        name: impl Into<String>,
        typed: &str,
        choices: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Self {
        let choices = choices.into_iter();
        let owned = choices.map(|(value, words)| (value.to_string(), words.to_string()));
        Self {
            shape: Shape::Choices(owned.collect()),
            ..Self::line(label, name, typed)
        }
    }

    /// May not be left out.
    pub(crate) fn needed(self) -> Self {
        Self {
            may_be_left_out: false,
            ..self
        }
    }

    /// May be left out.
    pub(crate) fn optional(self) -> Self {
        Self {
            may_be_left_out: true,
            ..self
        }
    }

    /// With a note under its label.
    pub(crate) fn noted(self, note: impl Into<String>) -> Self {
        Self {
            note: note.into(),
            ..self
        }
    }

    /// With the unit that its input shows.
    pub(crate) fn in_unit(self, unit: impl Into<String>) -> Self {
        Self {
            unit: unit.into(),
            ..self
        }
    }

    /// With values that a list of the page offers.
    pub(crate) fn listed(mut self, list: &'static str) -> Self {
        self.inputs[0].list = list;
        self
    }

    /// With what stands in it while it is empty.
    pub(crate) fn showing(mut self, placeholder: impl Into<String>) -> Self {
        self.inputs[0].placeholder = placeholder.into();
        self
    }

    /// With what is wrong with any of its inputs.
    pub(crate) fn faulted(mut self, faults: &Faults) -> Self {
        let of_inputs = self.inputs.iter().map(|input| faults.of(&input.name));
        let of_inputs: Vec<String> = of_inputs.filter(|fault| !fault.is_empty()).collect();
        self.fault = of_inputs.join("; ");
        self
    }

    /// The id of its first input.
    pub(crate) fn id(&self) -> String {
        self.inputs[0].id()
    }
}

/// Which faults a form shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shown {
    /// Only what is typed and cannot be used.
    Wrong,
    /// All, also what is still to be typed.
    All,
}

/// What is wrong with a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Faults {
    /// What keeps it from being saved as a whole; empty while it is being filled in.
    pub(crate) problem: String,
    list: Vec<DraftFault>,
    shown: Shown,
}

impl Faults {
    /// Those of a form that is still being filled in.
    pub(crate) fn so_far(list: &[DraftFault]) -> Self {
        Self {
            problem: String::new(),
            list: list.to_vec(),
            shown: Shown::Wrong,
        }
    }

    /// Those for which a form is not saved.
    pub(crate) fn all(list: &[DraftFault]) -> Self {
        let fields = count(list.len(), "field");
        Self {
            problem: format!("Nothing is saved yet: {fields} cannot be used as it stands."),
            list: list.to_vec(),
            shown: Shown::All,
        }
    }

    /// What was found only while it was saved.
    ///
    /// # Errors
    /// What is not about the form.
    pub(crate) fn of_saving(error: AppError) -> Result<(StatusCode, Self), HttpError> {
        if !matches!(error, AppError::Question { .. } | AppError::NotCurrent(_)) {
            return Err(error.into());
        }
        let error = HttpError::from(error);
        let faults = error.fields().iter();
        let found = Self {
            problem: error.message().to_string(),
            list: faults
                .map(|fault| DraftFault::wrong(&fault.field, &fault.problem))
                .collect(),
            shown: Shown::All,
        };
        Ok((error.status(), found))
    }

    /// What is wrong with a field, where it is shown; empty where nothing is.
    pub(crate) fn of(&self, field: &str) -> String {
        let of_field = self.list.iter().filter(|fault| fault.field == field);
        let shown = of_field.filter(|fault| self.shown == Shown::All || fault.kind == FaultKind::Wrong);
        let problems: Vec<&str> = shown.map(|fault| fault.problem.as_str()).collect();
        problems.join("; ")
    }

    /// Whether a field is still to be filled in.
    pub(crate) fn is_missing(&self, field: &str) -> bool {
        let mut of_field = self.list.iter().filter(|fault| fault.field == field);
        of_field.any(|fault| fault.kind == FaultKind::Missing)
    }

    /// Fields with what is wrong with each.
    pub(crate) fn beside(&self, fields: impl IntoIterator<Item = Field>) -> Vec<Field> {
        fields.into_iter().map(|field| field.faulted(self)).collect()
    }
}
