//! How the candidates of a trial came out, small enough for its row in the list.

use crate::app::{CandidateScore, Summary};
use crate::charts::{OutcomeMark, OutcomeRank, OutcomeStrip, Svg, mark_words};
use crate::web::figures;
use crate::web::pages::trials::words;

/// A candidate in words, for who does not see the drawing.
pub(crate) struct OutcomeWords {
    pub(crate) blend: String,
    pub(crate) score: String,
    pub(crate) mark: &'static str,
    pub(crate) standing: &'static str,
}

/// The strip and its numbers.
pub(crate) struct Outcomes {
    pub(crate) strip: Svg,
    pub(crate) words: Vec<OutcomeWords>,
}

/// The outcomes of a trial; `None` where no candidate has a score.
pub(crate) fn outcomes(summary: &Summary) -> Option<Outcomes> {
    let scored: Vec<(&CandidateScore, f64)> = summary
        .candidates
        .iter()
        .filter_map(|candidate| Some((candidate, candidate.score?)))
        .collect();
    if scored.is_empty() || summary.front_runner.is_none() {
        return None;
    }
    let marks = scored.iter().map(|(candidate, score)| OutcomeMark {
        candidate: candidate.place,
        score: *score,
        rank: rank(summary, candidate),
    });
    let words: Vec<OutcomeWords> = scored
        .iter()
        .map(|(candidate, score)| OutcomeWords {
            blend: candidate.blend.clone(),
            score: figures::position(*score),
            mark: mark_words(candidate.place),
            standing: rank_words(rank(summary, candidate)),
        })
        .collect();
    let strip = OutcomeStrip {
        marks: marks.collect(),
        finding: finding(&words),
    };
    Some(Outcomes {
        strip: strip.draw(),
        words,
    })
}

fn rank(summary: &Summary, candidate: &CandidateScore) -> OutcomeRank {
    let is = |blend: &Option<String>| blend.as_deref() == Some(candidate.blend.as_str());
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

fn rank_words(rank: OutcomeRank) -> &'static str {
    match rank {
        OutcomeRank::Leads => words::LEADS,
        OutcomeRank::Front => words::IN_FRONT_NO_LEADER,
        OutcomeRank::Behind => "",
        OutcomeRank::Out => words::OUT_BY_A_GATE,
    }
}

fn finding(words: &[OutcomeWords]) -> String {
    let one = |candidate: &OutcomeWords| match candidate.standing {
        "" => format!("{} {}", candidate.blend, candidate.score),
        standing => format!("{} {} ({standing})", candidate.blend, candidate.score),
    };
    let listed: Vec<String> = words.iter().map(one).collect();
    words::scores(&listed.join(", "))
}
