//! The form of a set-up: what is typed and what is wrong with it.

use crate::catalogue::{Method, Quantity};
use crate::desk::{PartDraft, SetupChoices, TestDraft, TrialDraft, TrialReading};
use crate::records::{BlendCode, Dossier, TestKey};
use crate::web::error::FieldFault;
use crate::web::frame::{DataIs, Frame, Section};
use crate::web::pages::machines::field::{Field, Input, Shape};
use crate::web::pages::machines::form::{Faults, Show};
use crate::web::question::encoded_step;
use crate::web::words;
use askama::Template;

/// Blends that the form lists at most; any other code can be typed.
const LISTED: usize = 500;

const ROLES: [(&str, &str); 6] = [
    ("candidate", "candidate"),
    ("known-good", "reference, known good"),
    ("known-middle", "reference, known middle"),
    ("known-poor", "reference, known poor"),
    ("reference", "reference, level not said"),
    ("control", "control fluid"),
];
const USES: [(&str, &str); 3] = [
    ("weigh", "weigh: counts by resemblance"),
    ("gate", "gate: must meet a limit"),
    ("show", "show: only shown"),
];

/// A blend or a test of the form.
struct RowForm {
    place: usize,
    heading: String,
    fields: Vec<Field>,
    /// Fields that are needed seldom.
    more: Vec<Field>,
    has_more: bool,
    /// How many results it has; empty for a new trial.
    runs: String,
    is_held: bool,
}

/// A value that a list of the form offers, with what it stands for.
struct Offer {
    value: String,
    words: String,
}

/// The page.
#[derive(Template)]
#[template(path = "setup/form.html")]
pub(super) struct SetupForm {
    frame: Frame,
    heading: String,
    action: String,
    back: String,
    back_words: String,
    problem: String,
    from: String,
    is_again: bool,
    head: Vec<Field>,
    blends: Vec<RowForm>,
    blends_fault: String,
    tests: Vec<RowForm>,
    tests_fault: String,
    blend_offers: Vec<Offer>,
    blends_left_out: usize,
    test_offers: Vec<Offer>,
    has_machines: bool,
}

impl SetupForm {
    /// The form of a draft; `again` is the trial that is set up again.
    pub(super) fn new(
        draft: &TrialDraft,
        choices: &SetupChoices,
        again: Option<&Dossier>,
        reading: &TrialReading,
        show: Show,
    ) -> Self {
        let faults = Faults {
            list: &reading.faults,
            show,
        };
        let place = again.map(|dossier| format!("/trials/{}", encoded_step(dossier.trial.slug.as_str())));
        let blends = draft.blends.iter().enumerate();
        let tests = draft.tests.iter().enumerate();
        let data = DataIs::from(again.is_some_and(|dossier| dossier.trial.invented));
        Self {
            frame: Frame::new(again.map_or("A new trial".to_string(), |dossier| {
                format!("Set-up: {}", dossier.trial.title)
            }))
            .of(Section::Trials)
            .showing(data),
            heading: again.map_or("A new trial", |_| "Change the set-up").to_string(),
            action: place
                .as_ref()
                .map_or("/trials/new".to_string(), |place| format!("{place}/setup")),
            back: place
                .as_ref()
                .map_or("/".to_string(), |place| format!("{place}/plan")),
            back_words: again.map_or("new".to_string(), |dossier| dossier.trial.title.clone()),
            problem: String::new(),
            from: String::new(),
            is_again: again.is_some(),
            head: head(draft, choices, again, &faults),
            blends: blends
                .map(|(place, part)| blend_row(place, part, choices, again, &faults))
                .collect(),
            blends_fault: faults.of("blends").unwrap_or_default(),
            tests: tests
                .map(|(place, test)| test_row(place, test, choices, again, &faults))
                .collect(),
            tests_fault: faults.of("tests").unwrap_or_default(),
            blend_offers: blend_offers(choices),
            blends_left_out: choices.blends.len().saturating_sub(LISTED),
            test_offers: test_offers(choices),
            has_machines: !choices.machines.is_empty(),
        }
    }

    /// With the trial that it was copied from.
    pub(super) fn copied_from(mut self, title: &str) -> Self {
        self.from = title.to_string();
        self
    }

    /// With what keeps it from being saved as a whole.
    pub(super) fn refused(mut self, problem: impl Into<String>) -> Self {
        self.problem = problem.into();
        self
    }

    /// With faults that were found while it was saved, beside their fields.
    pub(super) fn faulted(mut self, faults: &[FieldFault]) -> Self {
        for field in &mut self.head {
            let of_field = faults
                .iter()
                .find(|fault| field.inputs.iter().any(|input| input.name == fault.field));
            if let Some(fault) = of_field {
                field.fault = fault.problem.clone();
            }
        }
        self
    }
}

fn head(
    draft: &TrialDraft,
    choices: &SetupChoices,
    again: Option<&Dossier>,
    faults: &Faults<'_>,
) -> Vec<Field> {
    let mut fields = vec![
        Field::line("Title", Input::new("title", &draft.title)),
        Field::line("The question it answers", Input::new("question", &draft.question))
            .noted("As somebody would ask it: which blend protects the wheel flanks longest?"),
    ];
    if again.is_none() {
        let none = [("", "choose")].into_iter();
        let machines = choices.machines.iter();
        fields.push(
            Field::line(
                "Short name in addresses and files",
                Input::new("slug", &draft.slug),
            )
            .noted("Small letters, digits and hyphens. It stays as it is."),
        );
        fields.push(
            Field::choices(
                "Machine that the blend is for",
                Input::new("machine", &draft.machine),
                none.chain(machines.map(|machine| (machine.slug.as_str(), machine.name.as_str()))),
            )
            .noted("Judged with its newest version as of now."),
        );
    }
    fields.push(
        Field::choices(
            "Confidence in the machine's data",
            Input::new("confidence", &draft.confidence),
            [("low", "low"), ("medium", "medium"), ("high", "high")],
        )
        .noted("The less sure, the further the weights of the tests are varied."),
    );
    fields.push(Field::choices(
        "Status",
        Input::new("status", &draft.status),
        [("planned", "planned"), ("running", "running")],
    ));
    fields.push(Field::line("Opened on", Input::new("opened_on", &draft.opened_on)).optional());
    fields.push(Field::choices(
        "Data",
        Input::new("invented", &draft.invented),
        [
            ("no", "recorded: our own results"),
            ("yes", "invented: every page says so"),
        ],
    ));
    let fields = fields.into_iter();
    fields
        .map(|field| field.faulted(|name| faults.of(name)))
        .collect()
}

fn blend_row(
    place: usize,
    part: &PartDraft,
    choices: &SetupChoices,
    again: Option<&Dossier>,
    faults: &Faults<'_>,
) -> RowForm {
    let code = BlendCode::new(&part.blend);
    let known = choices
        .blends
        .iter()
        .find(|(known, _)| Some(known) == code.as_ref());
    let runs = again.map(|dossier| {
        let results = dossier.current_results();
        results
            .filter(|result| Some(&result.blend) == code.as_ref())
            .count()
    });
    let name = known.map(|(_, name)| name.clone()).unwrap_or_default();
    let fields = vec![
        Field::line(
            "Blend",
            Input::new(format!("b{place}.blend"), &part.blend).listed("blend-codes"),
        )
        .noted(name),
        Field::choices("Role", Input::new(format!("b{place}.role"), &part.role), ROLES),
    ];
    let fields = fields.into_iter();
    RowForm {
        place,
        heading: format!("Blend {}", place + 1),
        fields: fields
            .map(|field| field.faulted(|name| faults.of(name)))
            .collect(),
        more: Vec::new(),
        has_more: false,
        runs: runs
            .filter(|_| known.is_some())
            .map(runs_words)
            .unwrap_or_default(),
        is_held: runs.is_some_and(|runs| runs > 0),
    }
}

fn test_row(
    place: usize,
    test: &TestDraft,
    choices: &SetupChoices,
    again: Option<&Dossier>,
    faults: &Faults<'_>,
) -> RowForm {
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
    let (cost, days) = method.map_or((None, None), |method| (method.cost, method.days));
    let runs = again.map(|dossier| {
        let results = dossier.current_results();
        results.filter(|result| Some(&result.key) == key.as_ref()).count()
    });
    let fields = vec![
        Field::line(
            "Method and quantity",
            Input::new(name("test"), &test.test).listed("tests"),
        )
        .noted(known.clone().unwrap_or_default()),
        Field::choices("Used to", Input::new(name("use"), &test.used_to), USES),
        Field::line("Limit of a gate", Input::new(name("limit"), &test.limit))
            .noted("Such as <= 1b, >= 10, <= 6 % or pass.")
            .optional(),
        Field::line("Why it is in the trial", Input::new(name("reason"), &test.reason)).optional(),
    ];
    let more = vec![
        Field::line(
            "Cost of a result",
            Input::new(name("cost"), &test.cost).showing(of_method(cost)),
        )
        .noted("Empty: the method's own.")
        .optional(),
        Field::line(
            "Days of a result",
            Input::new(name("days"), &test.days).showing(of_method(days)),
        )
        .optional(),
        Field::line(
            "Another known-good oil for this test",
            Input::new(name("known_good"), &test.known_good).listed("blend-codes"),
        )
        .optional(),
        Field::line(
            "Another known-poor oil for this test",
            Input::new(name("known_poor"), &test.known_poor).listed("blend-codes"),
        )
        .optional(),
    ];
    let judged = |fields: Vec<Field>| -> Vec<Field> {
        let fields = fields.into_iter();
        fields
            .map(|field| field.faulted(|name| faults.of(name)))
            .collect()
    };
    let more = judged(more);
    RowForm {
        place,
        heading: quantity.map_or_else(
            || format!("Test {}", place + 1),
            |quantity| format!("Test {}: {}", place + 1, quantity.label),
        ),
        fields: judged(fields),
        has_more: more
            .iter()
            .any(|field| !field.fault.is_empty() || field.inputs.iter().any(|input| !input.typed.is_empty())),
        more,
        runs: runs
            .filter(|_| known.is_some())
            .map(runs_words)
            .unwrap_or_default(),
        is_held: runs.is_some_and(|runs| runs > 0),
    }
}

fn runs_words(runs: usize) -> String {
    match runs {
        0 => "planned, nothing run yet".to_string(),
        runs => words::count(runs, "result"),
    }
}

fn blend_offers(choices: &SetupChoices) -> Vec<Offer> {
    let newest_first = choices.blends.iter().rev().take(LISTED);
    let offer = |(code, name): &(BlendCode, String)| Offer {
        value: code.to_string(),
        words: name.clone(),
    };
    newest_first.map(offer).collect()
}

fn test_offers(choices: &SetupChoices) -> Vec<Offer> {
    let of_method = |method: &Method| {
        let offer = |quantity: &Quantity| Offer {
            value: TestKey::new(&method.id, &quantity.id).to_string(),
            words: format!("{method}: {}", quantity.label),
        };
        method.quantities.iter().map(offer).collect::<Vec<_>>()
    };
    choices.methods.iter().flat_map(of_method).collect()
}
