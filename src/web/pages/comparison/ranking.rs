//! The candidates with their shares and scores, those that are out, and the cautions.

use crate::charts::{ScoreChart, Span, Svg, Width, legend_control, legend_failed, legend_mark, mark_words};
use crate::prose::answer::repeats_a_requirement;
use crate::prose::caution_line::caution_line;
use crate::prose::gates::failed_in_short;
use crate::prose::standing::{self as sentences, per_cent};
use crate::records::BlendCode;
use crate::standing::{About, CandidateStanding, Caution, CautionKind, Severity, Standing};
use crate::web::figures;
use crate::web::pages::comparison::cast::Cast;
use crate::web::preferences::preferences;

/// A candidate in the standing.
pub(crate) struct CandidateRow {
    pub(crate) index: usize,
    pub(crate) code: String,
    pub(crate) name: String,
    pub(crate) mark: Svg,
    pub(crate) mark_words: &'static str,
    pub(crate) share: String,
    pub(crate) score: String,
    pub(crate) interval: String,
    pub(crate) coverage: String,
    pub(crate) drawing: Svg,
    /// The address at which it is lit, or no longer lit; empty on paper.
    pub(crate) lights: String,
    pub(crate) ranks: Vec<String>,
}

/// A candidate that a gate has put out.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OutRow {
    pub(crate) index: usize,
    pub(crate) code: String,
    pub(crate) name: String,
    pub(crate) mark: Svg,
    pub(crate) reason: String,
    /// The address at which it is lit, or no longer lit; empty on paper.
    pub(crate) lights: String,
}

/// The mark of a blend: a candidate's own, hollow where it failed a requirement, a control fluid's ring; none for a
/// reference oil, which is a line.
pub(crate) fn mark_of(standing: &Standing, cast: &Cast<'_>, blend: &BlendCode) -> Svg {
    match (cast.index(blend), standing.candidate(blend)) {
        (Some(index), Some(candidate)) if candidate.is_out() => legend_failed(index),
        (Some(index), _) => legend_mark(index),
        (None, _) if cast.role_words(blend) == "control fluid" => legend_control(),
        (None, _) => Svg::default(),
    }
}

/// Candidates that are in, those that are out.
pub(crate) fn rows(standing: &Standing, cast: &Cast<'_>) -> (Vec<CandidateRow>, Vec<OutRow>) {
    let mut rows = Vec::new();
    let mut out = Vec::new();
    for candidate in &standing.candidates {
        let Some(index) = cast.index(&candidate.blend) else {
            continue;
        };
        if candidate.is_out() {
            out.push(OutRow {
                index,
                code: candidate.blend.to_string(),
                name: cast.name(&candidate.blend),
                mark: legend_failed(index),
                reason: failed_in_short(&candidate.failed, preferences()),
                lights: String::new(),
            });
        } else {
            rows.push(row(candidate, index, cast));
        }
    }
    (rows, out)
}

fn row(candidate: &CandidateStanding, index: usize, cast: &Cast<'_>) -> CandidateRow {
    let span = match (candidate.score, candidate.score_lo, candidate.score_hi) {
        (Some(mean), Some(lo), Some(hi)) => Some(Span { mean, lo, hi }),
        _ => None,
    };
    let score = candidate
        .score
        .map_or_else(|| "no score".to_string(), figures::position);
    let interval = span.map_or_else(String::new, |span| {
        format!("{} to {}", figures::position(span.lo), figures::position(span.hi))
    });
    let finding = if span.is_some() {
        format!(
            "{}: score {score}, 90 % interval {interval}, known poor 0, known good 1",
            candidate.blend
        )
    } else {
        format!("{}: no score", candidate.blend)
    };
    let chart = ScoreChart {
        candidate: index,
        span,
        finding,
    };
    CandidateRow {
        index,
        code: candidate.blend.to_string(),
        name: cast.name(&candidate.blend),
        mark: legend_mark(index),
        mark_words: mark_words(index),
        share: candidate
            .p_best
            .map_or_else(|| "not weighed".to_string(), sentences::of_100),
        score,
        interval,
        coverage: per_cent(candidate.coverage),
        drawing: chart.draw(Width::Narrow),
        lights: String::new(),
        ranks: candidate.ranks.iter().map(|share| per_cent(*share)).collect(),
    }
}

/// How often each candidate scores above each other one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Wins {
    pub(crate) candidates: Vec<String>,
    /// A candidate with its share against each, in the same order.
    pub(crate) rows: Vec<(String, Vec<String>)>,
}

/// Pair by pair, by score; empty with fewer than two candidates.
pub(crate) fn wins(standing: &Standing) -> Wins {
    let inside: Vec<&CandidateStanding> = (standing.candidates.iter())
        .filter(|candidate| !candidate.wins.is_empty())
        .collect();
    let against = |one: &CandidateStanding| {
        let share = |other: &&CandidateStanding| {
            one.wins
                .get(&other.blend)
                .map_or_else(String::new, |p| per_cent(*p))
        };
        (one.blend.to_string(), inside.iter().map(share).collect())
    };
    Wins {
        candidates: inside
            .iter()
            .map(|candidate| candidate.blend.to_string())
            .collect(),
        rows: inside.iter().map(|candidate| against(candidate)).collect(),
    }
}

/// Cautions of one kind on one line, each whole where the line is opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct CautionLine {
    pub(crate) severity: &'static str,
    pub(crate) line: String,
    /// How many more of its kind there are.
    pub(crate) more: usize,
    pub(crate) rows: Vec<CautionRow>,
}

/// The cautions, the gravest first; without those that repeat why a blend is rejected.
pub(crate) fn caution_lines(standing: &Standing, if_changed: &str) -> Vec<CautionLine> {
    let kept = standing.cautions.iter();
    let mut sorted: Vec<&Caution> = kept.filter(|one| !repeats_a_requirement(one.kind())).collect();
    sorted.sort_by_key(|caution| caution.severity);
    let mut lines: Vec<(CautionKind, CautionLine)> = Vec::new();
    for caution in sorted {
        let row = caution_row(caution, standing, if_changed);
        let alike = |(kind, line): &&mut (CautionKind, CautionLine)| {
            *kind == caution.kind() && line.severity == row.severity
        };
        match lines.iter_mut().find(alike) {
            Some((_, line)) => {
                line.more += 1;
                line.rows.push(row);
            }
            None => lines.push((
                caution.kind(),
                CautionLine {
                    severity: row.severity,
                    line: caution_line(caution, standing),
                    more: 0,
                    rows: vec![row],
                },
            )),
        }
    }
    lines.into_iter().map(|(_, line)| line).collect()
}

/// How many lines of cautions stand open, where none of them is graver.
const AT_ONCE: usize = 6;

/// How many lines, the gravest first, stand on the page before a reader asks for more: all that stop or are high.
pub(crate) fn shown_at_once(lines: &[CautionLine]) -> usize {
    let lesser = [Severity::Medium.word(), Severity::Note.word()];
    let grave = lines
        .iter()
        .filter(|line| !lesser.contains(&line.severity))
        .count();
    grave.max(AT_ONCE).min(lines.len())
}

/// A caution.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct CautionRow {
    pub(crate) severity: &'static str,
    pub(crate) kind: &'static str,
    pub(crate) heading: String,
    pub(crate) words: String,
    pub(crate) link: String,
    pub(crate) link_words: &'static str,
}

fn caution_row(caution: &Caution, standing: &Standing, if_changed: &str) -> CautionRow {
    let (heading, words) = sentences::caution(caution, standing, preferences());
    let (link, link_words) = what_shows_it(caution, standing, if_changed);
    CautionRow {
        severity: caution.severity.word(),
        kind: caution.kind().word(),
        heading: heading.to_string(),
        words,
        link,
        link_words,
    }
}

/// Where the numbers behind a caution stand: on the page, or on the one at `if_changed`.
fn what_shows_it(caution: &Caution, standing: &Standing, if_changed: &str) -> (String, &'static str) {
    let test = caution.test.as_ref().filter(|key| standing.test(key).is_some());
    let at = |anchor: &str, words| (format!("#{anchor}"), words);
    let if_changed = |anchor: &str, words| (format!("{if_changed}#{anchor}"), words);
    match (caution.kind(), test) {
        (CautionKind::WeightsDecide, _) => if_changed("alternatives", "to the other assumptions"),
        (CautionKind::RestsOnOneExtremeScreen | CautionKind::HingesOnOneTest, _) => {
            if_changed("changed", "to what changes without it")
        }
        (_, Some(key)) => (
            format!("#test-{}", figures::anchor(&key.to_string())),
            "to the test",
        ),
        (kind, None) => match kind.about() {
            About::Gates => at("gates", "to the gates"),
            About::Apart => at("standing", "to the standing"),
            About::Front => if_changed("changed", "to what changes it"),
            About::Tests | About::Results => at("tests", "to the tests"),
        },
    }
}
