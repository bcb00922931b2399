//! The comparison on a wall, in three screens: the answer and the standing; the heaviest tests; the gravest cautions and
//! the next step. There is nothing to operate but the arrow keys.

use crate::prose::answer::{Answer, answer};
use crate::prose::standing::sentence;
use crate::standing::Comparison;
use crate::standing::Severity;
use crate::web::assets;
use crate::web::pages::comparison::cast::{Cast, LegendEntry};
use crate::web::pages::comparison::look::{Look, View};
use crate::web::pages::comparison::next::NextPart;
use crate::web::pages::comparison::ranking::{CandidateRow, CautionLine, OutRow};
use crate::web::pages::comparison::tests_by_weight::TestRow;
use crate::web::pages::comparison::{address, figure, ranking, tests_by_weight};
use crate::web::pages::what_if;
use crate::web::preferences::preferences;
use crate::web::unbroken::{Piece, pieces};
use askama::Template;

/// Tests that one screen holds, read at six metres.
const TESTS: usize = 6;

/// The page. It is drawn for 1920 by 1080 and read at six metres.
#[derive(Template)]
#[template(path = "comparison/projected.html")]
pub(crate) struct ProjectedPage {
    title: String,
    style: &'static str,
    script: &'static str,
    icon: &'static str,
    invented: bool,
    question: Vec<Piece>,
    answer: Answer,
    sentence: Vec<Piece>,
    is_asked: bool,
    asked: Vec<String>,
    cautions: Vec<CautionLine>,
    candidates: Vec<CandidateRow>,
    out: Vec<OutRow>,
    legend: Vec<LegendEntry>,
    /// The heaviest.
    tests: Vec<TestRow>,
    /// Whose readings stand beside them.
    first: String,
    /// How many lighter ones there are.
    more_tests: usize,
    /// Empty where no order is asked for.
    next_step: String,
    lit: Option<usize>,
    back_href: String,
}

impl ProjectedPage {
    /// The page of a comparison.
    pub(crate) fn new(comparison: &Comparison, look: &Look) -> Self {
        let (records, standing) = (&comparison.records, &comparison.standing);
        let cast = Cast::of(records);
        let (candidates, out) = ranking::rows(standing, &cast);
        let candidates = if standing.equivalence.is_some() {
            Vec::new()
        } else {
            candidates
        };
        let (mut tests, _) = tests_by_weight::rows(standing, records, &cast);
        let more_tests = tests.len().saturating_sub(TESTS);
        tests.truncate(TESTS);
        let grave = [Severity::Stop.word(), Severity::High.word()];
        Self {
            title: records.trial.title.clone(),
            style: assets::style(),
            script: assets::script(),
            icon: assets::icon(),
            invented: records.trial.invented,
            question: pieces(&records.trial.question),
            answer: answer(records, standing),
            sentence: pieces(&sentence(
                &comparison.records,
                &comparison.standing,
                preferences(),
            )),
            is_asked: comparison.what_if.changes_the_question(),
            asked: what_if::asked::parts(comparison),
            cautions: (ranking::caution_lines(standing, "").into_iter())
                .filter(|line| grave.contains(&line.severity))
                .collect(),
            candidates,
            out,
            legend: cast.legend(),
            tests,
            more_tests,
            first: figure::first(standing, records).map_or_else(String::new, ToString::to_string),
            next_step: if standing.equivalence.is_some() {
                String::new()
            } else {
                NextPart::new(standing, &cast).step
            },
            lit: look.lit.as_ref().and_then(|code| cast.index(code)),
            back_href: address(&records.trial.slug, &comparison.what_if, &look.seen(View::App)),
        }
    }
}
