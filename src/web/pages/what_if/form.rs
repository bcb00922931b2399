//! The form that asks what if.

use crate::app::question::scale_fields;
use crate::records::{Role, TrialRecords};
use crate::standing::Comparison;
use crate::standing::{Anchor, HEAD_ROOM, MOST_HEAD_ROOM, USUAL_DRAWS, USUAL_SEED};
use crate::web::figures;
use crate::web::pages::comparison::look::Look;

/// The form that asks what if.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Form {
    pub(crate) tests: Vec<FormTest>,
    /// Factors on load and speed, empty for the recorded duty.
    pub(crate) duty_load: String,
    pub(crate) duty_speed: String,
    /// Empty for the usual one.
    pub(crate) head_room: String,
    pub(crate) usual_head_room: String,
    pub(crate) most_head_room: String,
    /// Which oil is the known good, which the known poor.
    pub(crate) anchors: Vec<AnchorField>,
    pub(crate) gated: bool,
    pub(crate) sorting: bool,
    /// Fields of the question that this form does not ask for.
    pub(crate) hidden: Vec<(String, String)>,
    /// Number of draws where it is not the usual one.
    pub(crate) draws: Option<usize>,
    /// Seed where it is not the usual one.
    pub(crate) seed: Option<u64>,
}

/// The choice of a reference oil.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct AnchorField {
    pub(crate) name: &'static str,
    pub(crate) label: &'static str,
    /// What the address says, what the reader sees, and whether it is chosen.
    pub(crate) choices: Vec<(String, String, bool)>,
}

fn anchor_field(
    name: &'static str,
    label: &'static str,
    chosen: Option<&Anchor>,
    records: &TrialRecords,
) -> AnchorField {
    let chosen = chosen.map(ToString::to_string).unwrap_or_default();
    let oils = records
        .with_role(Role::Reference)
        .map(|oil| (oil.to_string(), oil.to_string()));
    let as_it_is = (String::new(), "as in the trial".to_string());
    let none = (Anchor::NONE.to_string(), "none: leave it out".to_string());
    AnchorField {
        name,
        label,
        choices: std::iter::once(as_it_is)
            .chain(oils)
            .chain([none])
            .map(|(value, words)| {
                let is_chosen = value == chosen;
                (value, words, is_chosen)
            })
            .collect(),
    }
}

/// A number that was asked for; empty for the usual one.
fn unless(number: f64, usual: f64) -> String {
    if number == usual {
        String::new()
    } else {
        number.to_string()
    }
}

/// One test in the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct FormTest {
    pub(crate) key: String,
    pub(crate) id: String,
    pub(crate) title: String,
    pub(crate) label: String,
    pub(crate) standard: String,
    pub(crate) left_out: bool,
    pub(crate) weight: String,
    pub(crate) computed: String,
}

/// The form as the question stands.
pub(crate) fn form(comparison: &Comparison, look: &Look) -> Form {
    let asked = &comparison.what_if;
    let computed_in = comparison.as_it_is.as_ref().unwrap_or(&comparison.standing);
    let tests = computed_in.tests.iter().map(|test| FormTest {
        key: test.key.to_string(),
        id: figures::anchor(&test.key.to_string()),
        title: figures::title(&comparison.records, &test.key, &test.title),
        label: test.label.clone(),
        standard: test.standard.clone(),
        left_out: asked.leaves_out(&test.key),
        weight: asked
            .weights
            .get(&test.key)
            .map(ToString::to_string)
            .unwrap_or_default(),
        computed: figures::position(test.weight),
    });
    Form {
        tests: tests.collect(),
        duty_load: unless(asked.duty.load, 1.0),
        duty_speed: unless(asked.duty.speed, 1.0),
        head_room: unless(asked.head_room, HEAD_ROOM),
        usual_head_room: HEAD_ROOM.to_string(),
        most_head_room: figures::figure(MOST_HEAD_ROOM),
        anchors: vec![
            anchor_field(
                "known_good",
                "Known good oil",
                asked.known_good.as_ref(),
                &comparison.records,
            ),
            anchor_field(
                "known_poor",
                "Known poor oil",
                asked.known_poor.as_ref(),
                &comparison.records,
            ),
        ],
        gated: asked.lets_in_gated,
        sorting: asked.lets_in_not_sorting,
        hidden: scale_fields(asked).into_iter().chain(look.fields()).collect(),
        draws: (asked.draws != USUAL_DRAWS).then_some(asked.draws),
        seed: (asked.seed != USUAL_SEED).then_some(asked.seed),
    }
}
