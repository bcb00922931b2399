//! `/trials/{trial}/head-to-head`: any two blends of a trial, test by test.

use crate::app::{App, HeadToHead};
use crate::prose::reasons::apart;
use crate::prose::standing::{number_of_standard, per_cent, short_name};
use crate::records::{BlendCode, TrialSlug};
use crate::standing::{Apart, TOLD_APART, TestStanding, Verdict};
use crate::web::address::At;
use crate::web::error::{HttpError, html};
use crate::web::figures;
use crate::web::frame::{Frame, Tab};
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::comparison::{plot, verdicts};
use crate::web::pages::explanation;
use crate::web::question::{Pairs, encoded};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/trials/{trial}/head-to-head", get(show_pair))
}

async fn show_pair(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    let field = |name: &str| pairs.field(name).filter(|value| !value.trim().is_empty());
    html(&PairPage::new(
        &app.head_to_head(&trial, (field("one"), field("other"))).await?,
    ))
}

#[derive(Template)]
#[template(path = "head_to_head/page.html")]
struct PairPage {
    frame: Frame,
    slug: String,
    /// `None` where there are no two blends.
    answer: Option<String>,
    one: String,
    other: String,
    /// Code and role of every blend that can be chosen.
    blends: Vec<(String, &'static str)>,
    lines: Vec<Line>,
}

/// One test.
struct Line {
    name: String,
    standard: String,
    href: String,
    share: String,
    /// What was read of each; empty where it was not run.
    read: [String; 2],
    unit: &'static str,
    by: String,
    critical: String,
    /// `better`, `worse`, `alike`, or nothing.
    told: &'static str,
    words: &'static str,
}

impl PairPage {
    fn new(view: &HeadToHead) -> Self {
        let comparison = &view.comparison;
        let (records, standing) = (&comparison.records, &comparison.standing);
        let cast = Cast::of(records);
        let parts = records.trial.blends.iter();
        let mut tests: Vec<(&TestStanding, &Option<Verdict>)> = (view.tests.iter())
            .filter_map(|(key, verdict)| Some((standing.test(key)?, verdict)))
            .filter(|(test, _)| test.strip.is_some())
            .collect();
        tests.sort_by(|a, b| b.0.weight.total_cmp(&a.0.weight));
        let total: f64 = standing.tests.iter().map(|test| test.weight).sum();
        let (one, other) = match &view.pair {
            Some((one, other)) => (one.to_string(), other.to_string()),
            None => Default::default(),
        };
        let line = |(test, verdict): &(&TestStanding, &Option<Verdict>)| {
            let strip = test.strip.as_ref();
            let read =
                |blend: &BlendCode| strip.map_or_else(String::new, |strip| plot::read(test, blend, strip));
            let difference = verdict.as_ref().and_then(|verdict| verdict.difference.as_ref());
            Line {
                name: short_name(standing, test),
                standard: number_of_standard(&test.standard).to_string(),
                href: explanation::address(&records.trial.slug, &test.key),
                share: if test.weight > 0.0 {
                    per_cent(test.weight / total)
                } else {
                    String::new()
                },
                read: match &view.pair {
                    Some((one, other)) => [read(one), read(other)],
                    None => Default::default(),
                },
                unit: strip.map_or("", |strip| figures::unit(strip.unit)),
                by: verdict
                    .as_ref()
                    .map(|verdict| verdicts::by(verdict, test))
                    .unwrap_or_default(),
                critical: difference.map_or_else(String::new, |difference| {
                    figures::fixed((difference.by / difference.critical).abs(), 1)
                }),
                told: verdict.as_ref().map_or("", |verdict| word(verdict.apart)),
                words: verdict
                    .as_ref()
                    .map_or("not compared", |verdict| apart(verdict.apart)),
            }
        };
        let lines: Vec<Line> = tests.iter().map(line).collect();
        Self {
            frame: Frame::new(format!("{one} beside {other}")).in_trial(records, Tab::Beside),
            slug: encoded(records.trial.slug.as_str()),
            answer: view.pair.as_ref().map(|_| answer(&lines, &one, &other)),
            blends: parts
                .map(|part| (part.blend.to_string(), cast.role_words(&part.blend)))
                .collect(),
            one,
            other,
            lines,
        }
    }

    /// The two fields that choose: name, label and what is chosen.
    fn choices(&self) -> [(&'static str, &'static str, &str); 2] {
        [("one", "Blend", &self.one), ("other", "against", &self.other)]
    }
}

fn word(apart: Apart) -> &'static str {
    match apart {
        Apart::Better => "better",
        Apart::Alike => "alike",
        Apart::Worse => "worse",
    }
}

/// In how many tests the two are told apart, and which way.
fn answer(lines: &[Line], one: &str, other: &str) -> String {
    let count = |told: &str| lines.iter().filter(|line| line.told == told).count();
    let (better, alike, worse) = (count("better"), count("alike"), count("worse"));
    match (better, worse, alike) {
        (0, 0, 0) => format!("No test compares {one} with {other}"),
        (0, 0, _) => format!("No test tells {one} and {other} apart"),
        _ => format!(
            "{one} is better than {other} in {better}, worse in {worse} of {}",
            figures::count(better + alike + worse, "test")
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(told: &'static str) -> Line {
        Line {
            name: String::new(),
            standard: String::new(),
            href: String::new(),
            share: String::new(),
            read: Default::default(),
            unit: "",
            by: String::new(),
            critical: String::new(),
            told,
            words: "",
        }
    }

    #[test]
    fn nobody_is_called_better_where_no_test_tells_them_apart() {
        let of = |told: &[&'static str]| {
            let lines: Vec<Line> = told.iter().copied().map(line).collect();
            answer(&lines, "A", "B")
        };
        assert_eq!(of(&[]), "No test compares A with B");
        assert_eq!(of(&["", ""]), "No test compares A with B");
        assert_eq!(of(&["alike", ""]), "No test tells A and B apart");
        assert_eq!(
            of(&["better", "alike", ""]),
            "A is better than B in 1, worse in 0 of 2 tests"
        );
        assert_eq!(of(&["worse"]), "A is better than B in 0, worse in 1 of 1 test");
    }
}
