//! Fields of a long form as the templates show them: label above, unit in the field, fault beside it.

use crate::web::pages::machines::words;

/// A choice of a select.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Choice {
    pub(crate) value: String,
    pub(crate) words: String,
    pub(crate) is_chosen: bool,
}

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

    /// With values that a list of the page offers.
    pub(crate) fn listed(mut self, list: &'static str) -> Self {
        self.list = list;
        self
    }

    /// With what stands in it while it is empty.
    pub(crate) fn showing(mut self, placeholder: impl Into<String>) -> Self {
        self.placeholder = placeholder.into();
        self
    }

    /// Its id: its name as one word.
    pub(crate) fn id(&self) -> String {
        id_of(&self.name)
    }
}

/// How a field is filled in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    /// One line.
    Line,
    /// Several lines.
    Text,
    /// One of some choices.
    Choices(Vec<Choice>),
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
    /// `must`, or empty where it may be left out.
    pub(crate) need: &'static str,
}

impl Field {
    /// A line that must be filled in.
    pub(crate) fn line(label: impl Into<String>, input: Input) -> Self {
        Self {
            label: label.into(),
            unit: String::new(),
            note: String::new(),
            shape: Shape::Line,
            inputs: vec![input],
            between: words::TO,
            fault: String::new(),
            need: "must",
        }
    }

    /// Several lines that may be left out.
    pub(crate) fn text(label: impl Into<String>, input: Input) -> Self {
        Self {
            shape: Shape::Text,
            need: "",
            ..Self::line(label, input)
        }
    }

    /// One that may not be left out.
    pub(crate) fn needed(mut self) -> Self {
        self.need = "must";
        self
    }

    /// One of some choices: values and words.
    pub(crate) fn choices<'a>(
        label: impl Into<String>,
        input: Input,
        choices: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Self {
        let choice = |(value, words): (&str, &str)| Choice {
            value: value.to_string(),
            words: words.to_string(),
            is_chosen: value == input.typed,
        };
        let choices = choices.into_iter().map(choice).collect();
        Self {
            shape: Shape::Choices(choices),
            ..Self::line(label, input)
        }
    }

    /// With a note under its label.
    pub(crate) fn noted(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }

    /// With the unit that its input shows.
    pub(crate) fn in_unit(mut self, unit: impl Into<String>) -> Self {
        self.unit = unit.into();
        self
    }

    /// May be left out.
    pub(crate) fn optional(mut self) -> Self {
        self.need = "";
        self
    }

    /// With what is wrong with any of its inputs.
    pub(crate) fn faulted(mut self, fault_of: impl Fn(&str) -> Option<String>) -> Self {
        let faults: Vec<String> = self
            .inputs
            .iter()
            .filter_map(|input| fault_of(&input.name))
            .collect();
        self.fault = faults.join("; ");
        self
    }

    /// The id of its first input.
    pub(crate) fn id(&self) -> String {
        self.inputs.first().map(Input::id).unwrap_or_default()
    }
}

/// A name as an id: letters, digits and hyphens.
pub(crate) fn id_of(name: &str) -> String {
    let kept = name
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' });
    format!("f-{}", kept.collect::<String>())
}
