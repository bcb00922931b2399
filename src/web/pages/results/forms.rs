//! The form that corrects one result, and the form that voids it.

use crate::app::{App, Correction};
use crate::catalogue::Quantity;
use crate::records::{RunResult, TrialRecords};
use crate::web::error::{FieldFault, HttpError};
use crate::web::figures;
use crate::web::frame::{Frame, Tab};
use crate::web::pages::comparison::records::written;
use crate::web::pages::results::OneResult;
use askama::Template;

/// What the form does to the result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Doing {
    /// Enters another value in its place.
    Correct,
    /// Takes it out of the count.
    Void,
}

impl Doing {
    fn verb(self) -> &'static str {
        match self {
            Self::Correct => "Correct",
            Self::Void => "Void",
        }
    }
}

/// The page.
#[derive(Template)]
#[template(path = "results/form.html")]
pub(super) struct ResultForm {
    frame: Frame,
    doing: Doing,
    id: i64,
    records: TrialRecords,
    result: RunResult,
    quantity: Quantity,
    /// The test by the names a reader knows.
    test: String,
    typed: Correction,
    /// What stands against it; then there is no form to send.
    pub(super) against: Option<String>,
    problem: String,
    faults: Vec<FieldFault>,
}

impl ResultForm {
    /// The form for a result; without `typed` it is as it was written.
    pub(super) async fn new(
        app: &App,
        doing: Doing,
        place: &OneResult,
        typed: Option<Correction>,
    ) -> Result<Self, HttpError> {
        let OneResult(trial, id) = place;
        let (result, quantity, against) = app.result(trial, *id).await?;
        let (records, methods) = (app.records(trial).await?, app.methods().await?);
        let method = methods.iter().find(|method| method.id == result.key.method);
        Ok(Self {
            frame: Frame::new(format!("{} a result", doing.verb())).in_trial(&records, Tab::Runs),
            doing,
            id: *id,
            test: method.map_or_else(
                || result.key.to_string(),
                |method| format!("{} ({})", method.title, method.standard),
            ),
            typed: typed.unwrap_or_else(|| Correction {
                unit: result.unit_as_written.clone(),
                ..Correction::default()
            }),
            records,
            result,
            quantity,
            against,
            problem: String::new(),
            faults: Vec::new(),
        })
    }

    /// With what was wrong with what was typed.
    pub(super) fn refused(mut self, error: &HttpError) -> Self {
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
