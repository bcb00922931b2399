//! The form that corrects one result, and the form that voids it.

use crate::app::Correction;
use crate::catalogue::{Method, Quantity};
use crate::records::{RunResult, TrialRecords};
use crate::web::error::{FieldFault, HttpError};
use crate::web::figures;
use crate::web::frame::{DataIs, Frame, Section};
use crate::web::pages::comparison::records::written;
use crate::web::pages::results::words;
use crate::web::question::encoded;
use askama::Template;

/// What the form does to the result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Doing {
    /// Enters another value in its place.
    Correct,
    /// Takes it out of the count.
    Void,
}

/// The page.
#[derive(Template)]
#[template(path = "results/form.html")]
pub(crate) struct ResultForm {
    frame: Frame,
    doing: Doing,
    slug: String,
    title: String,
    id: i64,
    heading: String,
    test: String,
    run: String,
    there: String,
    remark: String,
    unit_word: &'static str,
    typed: Correction,
    against: String,
    problem: String,
    faults: Vec<FieldFault>,
}

impl ResultForm {
    /// The form for a result with what was typed.
    pub(crate) fn new(doing: Doing, result: &RunResult, quantity: &Quantity, typed: &Correction) -> Self {
        let verb = match doing {
            Doing::Correct => words::CORRECT,
            Doing::Void => words::VOID,
        };
        let rig = result
            .rig
            .as_ref()
            .map_or(words::NO_RIG.to_string(), ToString::to_string);
        let value = figures::with_unit(&figures::value(&result.value, quantity.unit), quantity.unit);
        Self {
            frame: Frame::new(words::do_to_a_result(verb)).of(Section::Trials),
            doing,
            slug: encoded(result.trial.as_str()),
            title: result.trial.to_string(),
            id: result.id.unwrap_or_default(),
            heading: words::do_to_the_result_of(verb, &result.blend, &quantity.label),
            test: result.key.to_string(),
            run: words::run(&rig, &figures::date(result.date), result.replicate),
            there: words::written_and_read_as(&written(result), &value),
            remark: result.reason.clone(),
            unit_word: figures::kept_unit(quantity.unit),
            typed: typed.clone(),
            against: String::new(),
            problem: String::new(),
            faults: Vec::new(),
        }
    }

    /// In its trial, by the names a reader knows.
    pub(crate) fn in_trial(mut self, records: &TrialRecords, methods: &[Method]) -> Self {
        self.frame = self.frame.showing(DataIs::from(records.trial.invented));
        self.title.clone_from(&records.trial.title);
        let run = records.results.iter().find(|result| result.id == Some(self.id));
        let method = run.and_then(|run| methods.iter().find(|method| method.id == run.key.method));
        if let Some(method) = method {
            self.test = format!("{} ({})", method.title, method.standard);
        }
        self
    }

    /// With what stands against it; then there is no form to send.
    pub(crate) fn standing_against(mut self, against: Option<String>) -> Self {
        self.against = against.unwrap_or_default();
        self
    }

    /// With what was wrong with what was typed.
    pub(crate) fn refused(mut self, error: &HttpError) -> Self {
        self.problem = error.message().to_string();
        self.faults = error.fields().to_vec();
        self
    }

    fn corrects(&self) -> bool {
        self.doing == Doing::Correct
    }

    fn fault(&self, field: &str) -> &str {
        let found = self.faults.iter().find(|fault| fault.field == field);
        found.map_or("", |fault| fault.problem.as_str())
    }
}
