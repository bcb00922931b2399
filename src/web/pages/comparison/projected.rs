//! The comparison on a wall: question, sentence, ranking, the gravest cautions and the strips, and nothing to operate.

use crate::prose::standing::sentence;
use crate::standing::Comparison;
use crate::standing::Severity;
use crate::web::assets;
use crate::web::pages::comparison::cast::{Cast, LegendEntry};
use crate::web::pages::comparison::look::{Look, View};
use crate::web::pages::comparison::ranking::{CandidateRow, CautionRow, OutRow};
use crate::web::pages::comparison::tests_by_weight::TestRow;
use crate::web::pages::comparison::{address, asked, ranking, tests_by_weight};
use crate::web::preferences::preferences;
use crate::web::unbroken::{Piece, pieces};
use askama::Template;

/// A caution by its heading, and how often it is raised: the sentences stand on the whole page.
struct WallCaution {
    severity: &'static str,
    kind: &'static str,
    heading: String,
    times: usize,
}

/// Cautions under their headings, each heading once.
fn by_heading(rows: impl Iterator<Item = CautionRow>) -> Vec<WallCaution> {
    let mut cautions: Vec<WallCaution> = Vec::new();
    for row in rows {
        let known = cautions
            .iter_mut()
            .find(|one| one.severity == row.severity && one.heading == row.heading);
        match known {
            Some(one) => one.times += 1,
            None => cautions.push(WallCaution {
                severity: row.severity,
                kind: row.kind,
                heading: row.heading,
                times: 1,
            }),
        }
    }
    cautions
}

/// The page. It is drawn for 1920 by 1080 and read at six metres.
#[derive(Template)]
#[template(path = "comparison/projected.html")]
pub(crate) struct ProjectedPage {
    title: String,
    style: &'static str,
    script: &'static str,
    invented: bool,
    question: Vec<Piece>,
    sentence: Vec<Piece>,
    is_asked: bool,
    asked: Vec<String>,
    cautions: Vec<WallCaution>,
    candidates: Vec<CandidateRow>,
    out: Vec<OutRow>,
    legend: Vec<LegendEntry>,
    tests: Vec<TestRow>,
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
        let (tests, _) = tests_by_weight::rows(standing, records, &cast);
        let grave = [Severity::Stop.word(), Severity::High.word()];
        Self {
            title: records.trial.title.clone(),
            style: assets::style(),
            script: assets::script(),
            invented: records.trial.invented,
            question: pieces(&records.trial.question),
            sentence: pieces(&sentence(
                &comparison.records,
                &comparison.standing,
                preferences(),
            )),
            is_asked: comparison.what_if.changes_the_question(),
            asked: asked::parts(comparison),
            cautions: by_heading(
                ranking::cautions(standing)
                    .into_iter()
                    .flat_map(|group| group.rows)
                    .filter(|row| grave.contains(&row.severity)),
            ),
            candidates,
            out,
            legend: cast.legend(),
            tests,
            lit: look.lit.as_ref().and_then(|code| cast.index(code)),
            back_href: address(&records.trial.slug, &comparison.what_if, &look.seen(View::App)),
        }
    }
}
