//! `/`: past and open trials, found by words, machine kind, method, component, status and year; in an archive that is
//! still empty, the way to the first of them.

use crate::app::{
    App, CandidateScore, Facet, FacetValue, PAGE_LENGTH, Progress, Summary, TrialFilter, TrialList,
    TrialQuery,
};
use crate::catalogue::MethodId;
use crate::charts::{self, OutcomeMark, OutcomeRank, OutcomeStrip, Svg};
use crate::prose::standing::simulations;
use crate::standing::Answer;
use crate::web::error::{HttpError, html};
use crate::web::figures::{self, count};
use crate::web::frame::{Frame, Section};
use crate::web::posted::Posted;
use crate::web::question::{Pairs, encoded, trial_query};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/", get(list_trials))
        .route("/demo", post(load_demo))
        .route("/trials", get(|| async { Redirect::permanent("/") }))
}

async fn list_trials(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let query = trial_query(&pairs.0)?;
    let list = app.list_trials(&query).await?;
    let facets = app.facets(&query).await?;
    html(&TrialsPage::new(&query, &list, &facets, app.progress().await?))
}

async fn load_demo(State(app): State<Arc<App>>, _: Posted) -> Result<Response, HttpError> {
    app.load_demo().await?;
    Ok(Redirect::to("/").into_response())
}

/// A filter with what is chosen.
struct Filter<'a> {
    name: &'static str,
    label: &'static str,
    chosen: &'a str,
    choices: Vec<FacetValue>,
}

impl<'a> Filter<'a> {
    /// What was asked for stays visible, also when it leaves nothing.
    fn new(name: &'static str, label: &'static str, chosen: &'a str, values: &[FacetValue]) -> Self {
        let mut choices = values.to_vec();
        if !chosen.is_empty() && choices.iter().all(|choice| choice.value != chosen) {
            choices.push(FacetValue {
                value: chosen.to_string(),
                words: chosen.to_string(),
                trials: 0,
            });
        }
        Self {
            name,
            label,
            chosen,
            choices,
        }
    }

    fn any(&self) -> String {
        let label = self.label.to_lowercase();
        format!("any {}", label.trim_start_matches("machine "))
    }
}

/// The list of trials.
#[derive(Template)]
#[template(path = "trials/list.html")]
struct TrialsPage<'a> {
    frame: Frame,
    query: &'a TrialQuery,
    list: &'a TrialList,
    filters: Vec<Filter<'a>>,
    page: usize,
    pages: usize,
    progress: Progress,
}

impl<'a> TrialsPage<'a> {
    /// The list for a query.
    fn new(query: &'a TrialQuery, list: &'a TrialList, facets: &[Facet], progress: Progress) -> Self {
        Self {
            frame: Frame::new("Trials").of(Section::Trials),
            query,
            list,
            filters: filters(&query.filter, facets),
            page: query.page.max(1),
            pages: list.total.div_ceil(PAGE_LENGTH).max(1),
            progress,
        }
    }

    fn is_filtered(&self) -> bool {
        asked(&self.query.filter).next().is_some()
    }

    fn heading(&self) -> String {
        match (self.is_filtered(), self.list.total) {
            (false, total) => count(total, "trial"),
            (true, 0) => "No trial matches".to_string(),
            (true, 1) => "1 trial matches".to_string(),
            (true, total) => format!("{total} trials match"),
        }
    }

    /// The address of another page of the list.
    fn address(&self, page: usize) -> String {
        let asked = asked(&self.query.filter).map(|(name, value)| format!("{name}={}", encoded(value)));
        let pairs: Vec<String> = asked.chain([format!("page={page}")]).collect();
        format!("/?{}", pairs.join("&"))
    }

    /// Whether a first comparison still needs something.
    fn has_first_steps(&self) -> bool {
        let Progress {
            machines,
            blends,
            trials,
            results,
            ..
        } = self.progress;
        !(machines && blends && trials && results)
    }
}

fn filters<'a>(query: &'a TrialFilter, facets: &[Facet]) -> Vec<Filter<'a>> {
    let filter = |facet: &Facet| {
        let chosen = match facet.field {
            "kind" => &query.kind,
            "method" => method(query),
            "component" => &query.component,
            "status" => &query.status,
            _ => &query.year,
        };
        Filter::new(facet.field, facet.label, chosen, &facet.values)
    };
    let mut filters: Vec<Filter<'a>> = facets.iter().map(filter).collect();
    if !query.machine.is_empty() {
        filters.push(Filter::new("machine", "Machine", &query.machine, &[]));
    }
    filters
}

/// The method that a query asks for; empty where it asks for all.
fn method(query: &TrialFilter) -> &str {
    query.method.as_ref().map_or("", MethodId::as_str)
}

/// The fields of a query that say something.
fn asked(query: &TrialFilter) -> impl Iterator<Item = (&'static str, &str)> {
    [
        ("q", query.words.as_str()),
        ("machine", &query.machine),
        ("kind", &query.kind),
        ("method", method(query)),
        ("component", &query.component),
        ("status", &query.status),
        ("year", &query.year),
    ]
    .into_iter()
    .filter(|(_, value)| !value.is_empty())
}

/// How the candidates of a trial came out: a strip, and each with its score.
struct Outcomes<'a> {
    strip: Svg,
    rows: Vec<(&'a CandidateScore, f64, OutcomeRank)>,
}

/// The outcomes of a trial; `None` where no candidate has a score.
fn outcomes(summary: &Summary) -> Option<Outcomes<'_>> {
    summary.front_runner.as_ref()?;
    let candidates = summary.candidates.iter();
    let rows: Vec<_> = candidates
        .filter_map(|candidate| Some((candidate, candidate.score?, rank(summary, candidate))))
        .collect();
    if rows.is_empty() {
        return None;
    }
    let marks = rows.iter().map(|(candidate, score, rank)| OutcomeMark {
        candidate: candidate.place,
        score: *score,
        rank: *rank,
    });
    let said = rows.iter().map(|(candidate, score, rank)| {
        let (blend, score) = (&candidate.blend, figures::position(*score));
        match rank_words(*rank) {
            "" => format!("{blend} {score}"),
            standing => format!("{blend} {score} ({standing})"),
        }
    });
    let said = said.collect::<Vec<_>>().join(", ");
    let strip = OutcomeStrip {
        marks: marks.collect(),
        finding: format!("Scores, known poor 0, known good 1: {said}"),
    };
    Some(Outcomes {
        strip: strip.draw(),
        rows,
    })
}

fn rank(summary: &Summary, candidate: &CandidateScore) -> OutcomeRank {
    let is = |blend: &Option<String>| blend.as_ref() == Some(&candidate.blend);
    if candidate.is_out {
        OutcomeRank::Out
    } else if is(&summary.leader) {
        OutcomeRank::Leads
    } else if is(&summary.front_runner) {
        OutcomeRank::Front
    } else {
        OutcomeRank::Behind
    }
}

/// `is no worse than`, between a candidate and the blend that it is held against.
fn answer_words(answer: Answer) -> &'static str {
    match answer {
        Answer::Yes => "is no worse than",
        Answer::Open => "not yet shown to be no worse than",
        Answer::No => "is worse than",
    }
}

fn rank_words(rank: OutcomeRank) -> &'static str {
    match rank {
        OutcomeRank::Leads => "leads",
        OutcomeRank::Front => "comes first, no leader",
        OutcomeRank::Behind => "",
        OutcomeRank::Out => "rejected",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_steps_go_when_all_are_done_and_the_demo_with_the_first() {
        let list = TrialList {
            total: 0,
            trials: Vec::new(),
        };
        let query = TrialQuery::default();
        for done in 0..=4 {
            let progress = Progress {
                machines: done > 0,
                blends: done > 1,
                trials: done > 2,
                results: done > 3,
                is_empty: done == 0,
            };
            let page = TrialsPage::new(&query, &list, &[], progress).render().unwrap();
            let is_shown = done < 4;
            let shown = if is_shown { done } else { 0 };
            assert_eq!(page.matches(r#"data-done="true""#).count(), shown);
            assert_eq!(page.contains("data-first"), is_shown);
            assert_eq!(page.contains("data-demo"), done == 0);
        }
    }
}
