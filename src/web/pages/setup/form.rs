//! The form of a set-up: what is typed and what is wrong with it.

use crate::app::{PartDraft, SetupChoices, TestDraft, TrialDraft, TrialReading};
use crate::catalogue::{Method, Quantity};
use crate::records::{BlendCode, TestKey, TrialRecords};
use crate::web::error::FieldFault;
use crate::web::frame::{DataIs, Frame, Section};
use crate::web::pages::machines::field::{Field, Input, Shape};
use crate::web::pages::machines::form::{Faults, Show};
use crate::web::pages::setup::words;
use crate::web::question::encoded_step;
use askama::Template;

/// Blends that the form lists at most; any other code can be typed.
const LISTED: usize = 500;

const ROLES: [(&str, &str); 6] = [
    ("candidate", words::CANDIDATE),
    ("known-good", words::REFERENCE_KNOWN_GOOD),
    ("known-middle", words::REFERENCE_KNOWN_MIDDLE),
    ("known-poor", words::REFERENCE_KNOWN_POOR),
    ("reference", words::REFERENCE_LEVEL_NOT_SAID),
    ("control", words::CONTROL_FLUID),
];
const USES: [(&str, &str); 3] = [
    ("weigh", words::WEIGH_COUNTS_BY_RESEMBLANCE),
    ("gate", words::GATE_MUST_MEET_A_LIMIT),
    ("show", words::SHOW_ONLY_SHOWN),
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
        again: Option<&TrialRecords>,
        reading: &TrialReading,
        show: Show,
    ) -> Self {
        let faults = Faults {
            list: &reading.faults,
            show,
        };
        let place = again.map(|records| format!("/trials/{}", encoded_step(records.trial.slug.as_str())));
        let blends = draft.blends.iter().enumerate();
        let tests = draft.tests.iter().enumerate();
        let data = DataIs::from(again.is_some_and(|records| records.trial.invented));
        Self {
            frame: Frame::new(again.map_or(words::A_NEW_TRIAL.to_string(), |records| {
                words::set_up_of(&records.trial.title)
            }))
            .of(Section::Trials)
            .showing(data),
            heading: again
                .map_or(words::A_NEW_TRIAL, |_| words::CHANGE_THE_SET_UP)
                .to_string(),
            action: place
                .as_ref()
                .map_or("/trials/new".to_string(), |place| format!("{place}/setup")),
            back: place
                .as_ref()
                .map_or("/".to_string(), |place| format!("{place}/plan")),
            back_words: again.map_or(words::NEW.to_string(), |records| records.trial.title.clone()),
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
    again: Option<&TrialRecords>,
    faults: &Faults<'_>,
) -> Vec<Field> {
    let mut fields = vec![
        Field::line(words::TITLE, Input::new("title", &draft.title)),
        Field::text(
            words::THE_QUESTION_IT_ANSWERS,
            Input::new("question", &draft.question),
        )
        .needed()
        .noted(words::EXAMPLE_OF_A_QUESTION),
    ];
    if again.is_none() {
        let none = [("", words::CHOOSE)].into_iter();
        let machines = choices.machines.iter();
        fields.push(
            Field::line(
                words::SHORT_NAME_IN_ADDRESSES_AND_FILES,
                Input::new("slug", &draft.slug),
            )
            .noted(words::HOW_A_SHORT_NAME_IS_WRITTEN),
        );
        fields.push(
            Field::choices(
                words::MACHINE_THAT_THE_BLEND_IS_FOR,
                Input::new("machine", &draft.machine),
                none.chain(machines.map(|machine| (machine.slug.as_str(), machine.name.as_str()))),
            )
            .noted(words::JUDGED_WITH_ITS_NEWEST_VERSION),
        );
    }
    fields.push(
        Field::choices(
            words::CONFIDENCE_IN_THE_MACHINES_DATA,
            Input::new("confidence", &draft.confidence),
            [
                ("low", words::LOW),
                ("medium", words::MEDIUM),
                ("high", words::HIGH),
            ],
        )
        .noted(words::WHAT_CONFIDENCE_DOES),
    );
    fields.push(Field::choices(
        words::STATUS,
        Input::new("status", &draft.status),
        [("planned", words::PLANNED), ("running", words::RUNNING)],
    ));
    fields.push(Field::line(words::OPENED_ON, Input::new("opened_on", &draft.opened_on)).optional());
    fields.push(Field::choices(
        words::DATA,
        Input::new("invented", &draft.invented),
        [
            ("no", words::RECORDED_OUR_OWN_RESULTS),
            ("yes", words::INVENTED_EVERY_PAGE_SAYS_SO),
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
    again: Option<&TrialRecords>,
    faults: &Faults<'_>,
) -> RowForm {
    let code = BlendCode::new(&part.blend);
    let known = choices
        .blends
        .iter()
        .find(|(known, _)| Some(known) == code.as_ref());
    let runs = again.map(|records| {
        let results = records.current_results();
        results
            .filter(|result| Some(&result.blend) == code.as_ref())
            .count()
    });
    let name = known.map(|(_, name)| name.clone()).unwrap_or_default();
    let fields = vec![
        Field::line(
            words::BLEND,
            Input::new(format!("b{place}.blend"), &part.blend).listed("blend-codes"),
        )
        .noted(name),
        Field::choices(
            words::ROLE,
            Input::new(format!("b{place}.role"), &part.role),
            ROLES,
        ),
    ];
    let fields = fields.into_iter();
    RowForm {
        place,
        heading: words::blend_of_number(place + 1),
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
    again: Option<&TrialRecords>,
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
    let runs = again.map(|records| {
        let results = records.current_results();
        results.filter(|result| Some(&result.key) == key.as_ref()).count()
    });
    let fields = vec![
        Field::line(
            words::METHOD_AND_QUANTITY,
            Input::new(name("test"), &test.test).listed("tests"),
        )
        .noted(known.clone().unwrap_or_default()),
        Field::choices(words::USED_TO, Input::new(name("use"), &test.used_to), USES),
        Field::line(words::LIMIT_OF_A_GATE, Input::new(name("limit"), &test.limit))
            .noted(words::EXAMPLES_OF_A_LIMIT)
            .optional(),
        Field::line(
            words::WHY_IT_IS_IN_THE_TRIAL,
            Input::new(name("reason"), &test.reason),
        )
        .optional(),
    ];
    let more = vec![
        Field::line(
            words::COST_OF_A_RESULT,
            Input::new(name("cost"), &test.cost).showing(of_method(cost)),
        )
        .noted(words::EMPTY_IS_THE_METHODS_OWN)
        .optional(),
        Field::line(
            words::DAYS_OF_A_RESULT,
            Input::new(name("days"), &test.days).showing(of_method(days)),
        )
        .optional(),
        Field::line(
            words::ANOTHER_KNOWN_GOOD_OIL_FOR_THIS_TEST,
            Input::new(name("known_good"), &test.known_good).listed("blend-codes"),
        )
        .optional(),
        Field::line(
            words::ANOTHER_KNOWN_POOR_OIL_FOR_THIS_TEST,
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
            || words::test_of_number(place + 1),
            |quantity| words::test_of_quantity(place + 1, &quantity.label),
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
        0 => words::PLANNED_NOTHING_RUN_YET.to_string(),
        runs => words::results(runs),
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
