//! `/trials/{trial}/what-if`: a question put to the evidence, with before and after at the top, and who would be first if
//! the evidence changed.

pub(crate) mod asked;
pub(crate) mod evidence;
mod form;

use crate::app::App;
use crate::app::question::{fields, what_if};
use crate::prose::answer::answer;
use crate::records::TrialSlug;
use crate::standing::{Comparison, WhatIf};
use crate::web::address::At;
use crate::web::error::{HttpError, html};
use crate::web::frame::{Frame, Tab};
use crate::web::pages::comparison::Look;
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::what_if::asked::Asked;
use crate::web::pages::what_if::evidence::{ChangeRow, IfChanged};
use crate::web::pages::what_if::form::Form;
use crate::web::question::{self, Pairs};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(super) fn router() -> Router<Arc<App>> {
    Router::new().route("/trials/{trial}/what-if", get(show_what_if))
}

async fn show_what_if(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    let asked = what_if(&pairs.0).map_err(HttpError::unusable)?;
    let look = Look::read(&pairs.0).map_err(HttpError::unusable)?;
    if pairs.has_empty_field() {
        // A form sends the fields that were left empty too; the address that can be sent on has none of them.
        let query = fields(&asked)
            .into_iter()
            .chain(look.fields())
            .collect::<Vec<_>>();
        let path = format!("/trials/{}/what-if", question::encoded(trial.as_str()));
        return Ok(Redirect::to(&question::with_query(&path, &query)).into_response());
    }
    html(&WhatIfPage::new(&app.compare(&trial, &asked).await?, &look))
}

/// Where a trial's what-if page under a question is.
pub(crate) fn address(trial: &TrialSlug, asked: &WhatIf) -> String {
    let path = format!("/trials/{}/what-if", question::encoded(trial.as_str()));
    question::with_query(&path, &fields(asked))
}

#[derive(Template)]
#[template(path = "what_if/page.html")]
pub(crate) struct WhatIfPage {
    frame: Frame,
    slug: String,
    verdict: String,
    asked: Option<Asked>,
    form: Form,
    changes: Vec<ChangeRow>,
    evidence: IfChanged,
    no_worse: bool,
}

impl WhatIfPage {
    /// The page of a comparison under its question.
    pub(crate) fn new(comparison: &Comparison, look: &Look) -> Self {
        let (records, standing) = (&comparison.records, &comparison.standing);
        let cast = Cast::of(records);
        let verdict = answer(records, standing).verdict;
        Self {
            frame: Frame::new(format!("What if · {}", records.trial.title)).in_trial(records, Tab::WhatIf),
            slug: question::encoded(records.trial.slug.as_str()),
            verdict,
            asked: Asked::of(comparison),
            form: form::form(comparison, look),
            changes: evidence::changes(comparison, &cast),
            evidence: IfChanged::new(standing, &cast),
            no_worse: standing.equivalence.is_some(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::web::sample::Sample;
    use scraper::{Html, Selector};

    fn page(sample: &Sample) -> Html {
        let page = WhatIfPage::new(&sample.comparison(), &Look::default());
        Html::parse_document(&page.render().unwrap())
    }

    fn count(page: &Html, place: &str) -> usize {
        page.select(&Selector::parse(place).unwrap()).count()
    }

    fn text(page: &Html, place: &str) -> String {
        let place = Selector::parse(place).unwrap();
        let mut found = page.select(&place);
        found.next().map_or_else(String::new, |one| one.text().collect())
    }

    #[test]
    fn a_question_shows_before_and_after_at_the_top_and_the_way_back() {
        let asked = page(&Sample {
            asked: true,
            ..Sample::default()
        });
        assert_eq!(count(&asked, "[data-before-after] tbody tr"), 6);
        assert_eq!(count(&asked, "[data-what-if] a[href='/trials/sample']"), 1);
        assert_eq!(
            count(&asked, "input[name='weight.fb_ep_oil/weld'][value='0.9']"),
            1
        );
        assert_eq!(count(&asked, "input[name='gated'][checked]"), 1);
        for place in ["[data-before]", "[data-after]", "[data-status]"] {
            assert!(!text(&asked, place).is_empty(), "{place}");
        }
    }

    #[test]
    fn without_a_question_the_evidence_is_as_it_is() {
        let usual = page(&Sample::default());
        assert_eq!(
            count(&usual, "[data-before-after], [data-what-if], [data-status]"),
            0
        );
        assert_eq!(count(&usual, "[data-what-if-form] input[name='without']"), 10);
    }

    #[test]
    fn every_rival_has_a_row_with_the_weights_that_would_level_it() {
        let page = page(&Sample::default());
        let inside = Sample::default().comparison().standing.candidates;
        let inside = inside
            .iter()
            .filter(|candidate| candidate.p_best.is_some())
            .count();
        assert_eq!(count(&page, "[data-rivals] tbody tr"), inside - 1);
        assert!(text(&page, "[data-rivals] tbody tr td:last-child").contains("× 1.30"));
        assert!(count(&page, "[data-without-more] tbody tr") > 0);
    }
}
