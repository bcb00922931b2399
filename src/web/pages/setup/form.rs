//! The form of a set-up: what is typed and what is wrong with it.

use crate::app::{PartDraft, SetupChoices, TestDraft, TrialDraft};
use crate::records::{BlendCode, RunResult, TestKey, TrialRecords};
use crate::web::figures::count;
use crate::web::frame::{Frame, Section, Tab};
use crate::web::pages::form::{Faults, Field, Shape};
use crate::web::question::encoded_step;
use askama::Template;

/// Blends that the form lists at most; any other code can be typed.
const LISTED: usize = 500;

/// A blend or a test of the form.
struct RowForm {
    place: usize,
    heading: String,
    fields: Vec<Field>,
    /// Fields that are needed seldom.
    more: Vec<Field>,
    /// How many results it has; `None` where it is not in the trial yet.
    runs: Option<usize>,
    is_held: bool,
}

impl RowForm {
    fn has_more(&self) -> bool {
        let is_typed = |field: &Field| field.inputs.iter().any(|input| !input.typed.is_empty());
        self.more
            .iter()
            .any(|field| !field.fault.is_empty() || is_typed(field))
    }
}

/// The page.
#[derive(Template)]
#[template(path = "setup/form.html")]
pub(super) struct SetupForm {
    frame: Frame,
    /// Title and address of the trial that is set up again.
    again: Option<(String, String)>,
    problem: String,
    from: String,
    head: Vec<Field>,
    blends: Vec<RowForm>,
    blends_fault: String,
    tests: Vec<RowForm>,
    tests_fault: String,
    /// Values that the lists of the form offer, with what they stand for.
    blend_offers: Vec<(String, String)>,
    blends_left_out: usize,
    test_offers: Vec<(String, String)>,
    has_machines: bool,
}

impl SetupForm {
    /// The form of a draft; `again` is the trial that is set up again.
    pub(super) fn new(
        draft: &TrialDraft,
        choices: &SetupChoices,
        again: Option<&TrialRecords>,
        faults: Faults,
    ) -> Self {
        let trial = again.map(|records| &records.trial);
        let title = trial.map_or("A new trial".to_string(), |trial| {
            format!("Set-up: {}", trial.title)
        });
        let blends = draft.blends.iter().enumerate();
        let tests = draft.tests.iter().enumerate();
        Self {
            frame: match again {
                Some(records) => Frame::new(title).in_trial(records, Tab::SetUp),
                None => Frame::new(title).of(Section::Trials),
            },
            again: trial.map(|trial| {
                let address = format!("/trials/{}", encoded_step(trial.slug.as_str()));
                (trial.title.clone(), address)
            }),
            from: String::new(),
            head: faults.beside(head(draft, choices, again)),
            blends: blends
                .map(|(place, part)| blend_row(place, part, choices, again, &faults))
                .collect(),
            blends_fault: faults.of("blends"),
            tests: tests
                .map(|(place, test)| test_row(place, test, choices, again, &faults))
                .collect(),
            tests_fault: faults.of("tests"),
            blend_offers: blend_offers(choices),
            blends_left_out: choices.blends.len().saturating_sub(LISTED),
            test_offers: test_offers(choices),
            has_machines: !choices.machines.is_empty(),
            problem: faults.problem,
        }
    }

    /// With the trial that it was copied from.
    pub(super) fn copied_from(mut self, title: &str) -> Self {
        self.from = title.to_string();
        self
    }
}

fn head(draft: &TrialDraft, choices: &SetupChoices, again: Option<&TrialRecords>) -> Vec<Field> {
    let mut fields = vec![
        Field::line("Title", "title", &draft.title),
        Field::text("The question it answers", "question", &draft.question)
            .needed()
            .noted("As somebody would ask it: which blend protects the wheel flanks longest?"),
        Field::line("The same in at most 60 characters", "short", &draft.short)
            .noted("For lists.")
            .optional(),
        Field::choices(
            "What is asked",
            "asks",
            &draft.asks,
            [
                ("choose", "which blend to choose"),
                ("no-worse", "whether each candidate is no worse than one blend"),
            ],
        ),
        Field::line("No worse than", "against", &draft.against)
            .listed("blend-codes")
            .noted("One of the blends below, such as the approved one.")
            .optional(),
        Field::line("By at most so many critical differences", "margin", &draft.margin)
            .noted("Empty: 1. One is what a run on each must differ by to be told apart.")
            .optional(),
    ];
    if again.is_none() {
        let machines = choices.machines.iter();
        let machines = machines.map(|machine| (machine.slug.as_str(), machine.name.as_str()));
        fields.extend([
            Field::line("Short name in addresses and files", "slug", &draft.slug)
                .noted("Small letters, digits and hyphens. It stays as it is."),
            Field::choices(
                "Machine that the blend is for",
                "machine",
                &draft.machine,
                [("", "choose")].into_iter().chain(machines),
            )
            .noted("Judged with its newest version as of now."),
        ]);
    }
    let levels = [("low", "low"), ("medium", "medium"), ("high", "high")];
    let states = [("planned", "planned"), ("running", "running")];
    let data = [
        ("no", "recorded: our own results"),
        ("yes", "invented: every page says so"),
    ];
    fields.extend([
        Field::choices(
            "Confidence in the machine's data",
            "confidence",
            &draft.confidence,
            levels,
        )
        .noted("The less sure, the further the weights of the tests are varied."),
        Field::choices("Status", "status", &draft.status, states),
        Field::line("Opened on", "opened_on", &draft.opened_on).optional(),
        Field::choices("Data", "invented", &draft.invented, data),
    ]);
    fields
}

/// How many results of the trial that is set up again belong to a row.
fn runs_of(again: Option<&TrialRecords>, is_of_row: impl Fn(&RunResult) -> bool) -> Option<usize> {
    again.map(|records| {
        records
            .current_results()
            .filter(|result| is_of_row(result))
            .count()
    })
}

fn blend_row(
    place: usize,
    part: &PartDraft,
    choices: &SetupChoices,
    again: Option<&TrialRecords>,
    faults: &Faults,
) -> RowForm {
    let roles = [
        ("candidate", "candidate"),
        ("known-good", "reference, known good"),
        ("known-middle", "reference, known middle"),
        ("known-poor", "reference, known poor"),
        ("reference", "reference, level not said"),
        ("control", "control fluid"),
    ];
    let code = BlendCode::new(&part.blend);
    let mut blends = choices.blends.iter();
    let known = blends.find(|(known, _)| Some(known) == code.as_ref());
    let runs = runs_of(again, |result| Some(&result.blend) == code.as_ref());
    RowForm {
        place,
        heading: format!("Blend {}", place + 1),
        fields: faults.beside([
            Field::line("Blend", format!("b{place}.blend"), &part.blend)
                .listed("blend-codes")
                .noted(known.map_or("", |(_, name)| name)),
            Field::choices("Role", format!("b{place}.role"), &part.role, roles),
        ]),
        more: Vec::new(),
        runs: runs.filter(|_| known.is_some()),
        is_held: runs.is_some_and(|runs| runs > 0),
    }
}

fn test_row(
    place: usize,
    test: &TestDraft,
    choices: &SetupChoices,
    again: Option<&TrialRecords>,
    faults: &Faults,
) -> RowForm {
    let uses = [
        ("weigh", "weigh: counts by resemblance"),
        ("gate", "gate: must meet a limit"),
        ("show", "show: only shown"),
    ];
    let name = |field: &str| format!("t{place}.{field}");
    let key = TestKey::parse(&test.test);
    let method = key
        .as_ref()
        .and_then(|key| choices.methods.iter().find(|method| method.id == key.method));
    let quantity = method
        .zip(key.as_ref())
        .and_then(|(method, key)| method.quantity(&key.quantity));
    let known = method
        .zip(quantity)
        .map(|(method, quantity)| format!("{method}: {}", quantity.label));
    let of_method = |number: Option<f64>| number.map(|number| number.to_string()).unwrap_or_default();
    let runs = runs_of(again, |result| Some(&result.key) == key.as_ref());
    RowForm {
        place,
        heading: match quantity {
            Some(quantity) => format!("Test {}: {}", place + 1, quantity.label),
            None => format!("Test {}", place + 1),
        },
        runs: runs.filter(|_| known.is_some()),
        is_held: runs.is_some_and(|runs| runs > 0),
        fields: faults.beside([
            Field::line("Method and quantity", name("test"), &test.test)
                .listed("tests")
                .noted(known.unwrap_or_default()),
            Field::choices("Used to", name("use"), &test.used_to, uses),
            Field::line("Limit of a gate", name("limit"), &test.limit)
                .noted("Such as <= 1b, >= 10, <= 6 % or pass.")
                .optional(),
            Field::line("Why it is in the trial", name("reason"), &test.reason).optional(),
        ]),
        more: faults.beside([
            Field::line("Cost of a result", name("cost"), &test.cost)
                .showing(of_method(method.and_then(|method| method.cost)))
                .noted("Empty: the method's own.")
                .optional(),
            Field::line("Days of a result", name("days"), &test.days)
                .showing(of_method(method.and_then(|method| method.days)))
                .optional(),
            Field::line(
                "Another known-good oil for this test",
                name("known_good"),
                &test.known_good,
            )
            .listed("blend-codes")
            .optional(),
            Field::line(
                "Another known-poor oil for this test",
                name("known_poor"),
                &test.known_poor,
            )
            .listed("blend-codes")
            .optional(),
        ]),
    }
}

fn blend_offers(choices: &SetupChoices) -> Vec<(String, String)> {
    let newest_first = choices.blends.iter().rev().take(LISTED);
    newest_first
        .map(|(code, name)| (code.to_string(), name.clone()))
        .collect()
}

fn test_offers(choices: &SetupChoices) -> Vec<(String, String)> {
    let mut offers = Vec::new();
    for method in &choices.methods {
        for quantity in &method.quantities {
            let key = TestKey::new(&method.id, &quantity.id);
            offers.push((key.to_string(), format!("{method}: {}", quantity.label)));
        }
    }
    offers
}
