//! `/`: past and open trials, found by words, machine kind, method, component, status and year; in an archive that is
//! still empty, the way to the first of them.

use crate::app::{
    App, CandidateScore, Facet, FacetValue, Hit, HitPlace, NoWorseInShort, PAGE_LENGTH, Progress, Sort,
    Summary, TrialFilter, TrialList, TrialOrder, TrialQuery,
};
use crate::catalogue::MethodId;
use crate::charts::{self, OutcomeMark, OutcomeRank, OutcomeStrip, Svg};
use crate::prose::standing::{of_100, simulations};
use crate::standing::Answer;
use crate::web::error::{HttpError, html};
use crate::web::figures::{self, count};
use crate::web::frame::{Frame, Section};
use crate::web::posted::Posted;
use crate::web::question::{Pairs, SORTS, encoded, trial_query};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use std::sync::Arc;

/// How many trials there are when the list can be narrowed (ours): fewer are seen at once.
const FILTERS_FROM: usize = 20;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/", get(list_trials))
        .route("/demo", post(load_demo))
        .route("/trials", get(|| async { Redirect::permanent("/") }))
}

async fn list_trials(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let query = trial_query(&pairs.0, TrialQuery::open_first())?;
    let list = app.list_trials(&query).await?;
    let facets = app.facets(&query).await?;
    let all = app.count_trials().await?;
    html(&TrialsPage::new(
        &query,
        &list,
        all,
        &facets,
        app.progress().await?,
    ))
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
    headings: Vec<Heading>,
    /// Whether all that are listed are invented, which is then said once.
    is_invented: bool,
    progress: Progress,
}

impl<'a> TrialsPage<'a> {
    /// The list for a query over `all` trials.
    fn new(
        query: &'a TrialQuery,
        list: &'a TrialList,
        all: usize,
        facets: &[Facet],
        progress: Progress,
    ) -> Self {
        let invented = list.trials.iter().filter(|line| line.head.invented).count();
        let frame = Frame::new("Trials").of(Section::Trials);
        Self {
            frame: frame.showing((invented > 0).into()).asking(&query.filter.words),
            query,
            list,
            filters: if all >= FILTERS_FROM || asked(&query.filter).next().is_some() {
                filters(&query.filter, facets)
            } else {
                Vec::new()
            },
            headings: SORTS
                .iter()
                .map(|(sort, name)| heading(query, list, *sort, name))
                .collect(),
            is_invented: invented > 0 && invented == list.trials.len(),
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

    /// In which order the list stands, where nobody asked for another one.
    fn order(&self) -> &'static str {
        match self.query.sort {
            Sort::Kept(TrialOrder::OpenFirst) if self.list.total > 1 => ", open ones first",
            _ => "",
        }
    }

    /// The address of another page of the list.
    fn address(&self, page: usize) -> String {
        let page = format!("page={page}");
        let sort = self.sort();
        if sort.is_empty() {
            address(self.query, &[page])
        } else {
            address(self.query, &[format!("sort={sort}"), page])
        }
    }

    /// The order as the address has it; empty where nobody asked for one.
    fn sort(&self) -> String {
        let named = SORTS.iter().find(|(sort, _)| *sort == self.query.sort);
        let way = if self.query.is_reversed { "-" } else { "" };
        named.map_or_else(String::new, |(_, name)| format!("{way}{name}"))
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

/// The address of the list for a query, with further fields.
fn address(query: &TrialQuery, further: &[String]) -> String {
    let asked = asked(&query.filter).map(|(name, value)| format!("{name}={}", encoded(value)));
    let pairs: Vec<String> = asked.chain(further.iter().cloned()).collect();
    format!("/?{}", pairs.join("&"))
}

fn heading(query: &TrialQuery, list: &TrialList, sort: Sort, name: &'static str) -> Heading {
    let is_now = query.sort == sort;
    // dates go from the latest to the earliest first
    let downwards = matches!(sort, Sort::Kept(TrialOrder::Decision | TrialOrder::Latest));
    let reverse = if is_now && !query.is_reversed { "-" } else { "" };
    Heading {
        words: match sort {
            Sort::Verdict => "Verdict",
            Sort::Caution => "Gravest caution",
            Sort::Kept(TrialOrder::Question) => "Question",
            Sort::Kept(TrialOrder::Decision) => "Decision",
            Sort::Kept(TrialOrder::Latest | TrialOrder::OpenFirst) => "Opened",
        },
        href: if sort.needs_judging() && list.total > PAGE_LENGTH {
            String::new()
        } else {
            address(query, &[format!("sort={reverse}{name}")])
        },
        order: match (is_now, downwards != query.is_reversed) {
            (false, _) => "",
            (true, true) => "descending",
            (true, false) => "ascending",
        },
    }
}

fn filters<'a>(query: &'a TrialFilter, facets: &[Facet]) -> Vec<Filter<'a>> {
    let filter = |facet: &Facet| {
        let chosen = match facet.field {
            "kind" => &query.kind,
            "method" => method(query),
            "component" => &query.component,
            "status" => &query.status,
            "outcome" => &query.outcome,
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
        ("outcome", &query.outcome),
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
    if summary.front_runner.is_none() && summary.no_worse.is_empty() {
        return None;
    }
    let candidates = summary.candidates.iter();
    let rows: Vec<_> = candidates
        .filter_map(|candidate| Some((candidate, candidate.score?, rank(summary, candidate))))
        .collect();
    if rows.is_empty() {
        return None;
    }
    let marks = rows.iter().map(|(candidate, score, rank)| OutcomeMark {
        candidate: candidate.place,
        code: candidate.blend.clone(),
        score: *score,
        interval: candidate.interval,
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

/// What a trial comes to, in a few words, and how sure that is.
struct Verdict {
    words: String,
    sure: String,
    /// Whether nothing may be decided on it.
    is_stop: bool,
}

fn verdict(summary: &Summary) -> Verdict {
    let first = summary.p_best.map(simulations);
    let (words, sure) = match (&summary.leader, &summary.front_runner, &summary.stop) {
        _ if !summary.no_worse.is_empty() => no_worse(&summary.no_worse),
        (Some(leader), ..) => (format!("{leader} leads"), first),
        (None, Some(front), Some(stop)) => (
            stop.clone(),
            summary
                .p_best
                .map(|share| format!("{front} first in {}", of_100(share))),
        ),
        (None, Some(front), None) => (format!("No leader; {front} comes first"), first),
        (None, None, _) => ("Nothing weighed yet".to_string(), None),
    };
    Verdict {
        words,
        sure: sure.unwrap_or_default(),
        is_stop: summary.stop.is_some() && summary.leader.is_none(),
    }
}

/// The answer of a trial that asks whether its candidates are no worse than a blend.
fn no_worse(answers: &[NoWorseInShort]) -> (String, Option<String>) {
    if let [one] = answers {
        let answer = match one.answer {
            Answer::Yes => "is no worse than",
            Answer::Open => "not yet shown to be no worse than",
            Answer::No => "is worse than",
        };
        return (format!("{} {answer} {}", one.blend, one.against), None);
    }
    let number = |answer| answers.iter().filter(|one| one.answer == answer).count();
    let against = answers.first().map_or("", |one| one.against.as_str());
    let words = format!(
        "{} of {} no worse than {against}",
        number(Answer::Yes),
        answers.len()
    );
    let others = format!("{} worse, {} open", number(Answer::No), number(Answer::Open));
    (words, Some(others))
}

/// What a text that was found is about.
fn place_words(hit: &Hit) -> String {
    match hit.place {
        HitPlace::Trial => "question".to_string(),
        HitPlace::Decision => "decision".to_string(),
        HitPlace::Blend => format!("blend {}", hit.name),
        HitPlace::Component => "component".to_string(),
        HitPlace::Machine => "machine".to_string(),
        HitPlace::Method => "method".to_string(),
        HitPlace::Rig => format!("rig {}", hit.name),
        HitPlace::Outcome => format!("{} in service", hit.name),
        HitPlace::Reason => "reason".to_string(),
        HitPlace::Run => "remark on a run".to_string(),
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

/// A column by which the list can be ordered.
struct Heading {
    words: &'static str,
    /// Where a click leads; empty where the list is too long to be ordered so.
    href: String,
    /// Which way it is ordered by this column, for who hears the page; empty where it is not.
    order: &'static str,
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
            let page = TrialsPage::new(&query, &list, 0, &[], progress).render().unwrap();
            let is_shown = done < 4;
            let shown = if is_shown { done } else { 0 };
            assert_eq!(page.matches(r#"data-done="true""#).count(), shown);
            assert_eq!(page.contains("data-first"), is_shown);
            assert_eq!(page.contains("data-demo"), done == 0);
        }
    }
}
