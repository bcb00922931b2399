//! The candidates of one trial on the scale from the known poor to the known good, as one row of a list. The reference
//! lines are left to the page, which draws them once through all rows.

use crate::charts::marks;
use crate::charts::pen::{Pen, Picture, Side};
use crate::charts::role::Role;
use crate::charts::scale::{POSITION_HI, POSITION_LO};
use crate::charts::svg::Svg;

/// How a candidate stands in its trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutcomeRank {
    /// The evidence carries its lead.
    Leads,
    /// First without a lead.
    Front,
    /// Behind.
    Behind,
    /// It failed a requirement: hollow and grey, without an interval.
    Out,
}

/// One candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct OutcomeMark {
    /// Its place in the trial, which decides its mark.
    pub candidate: usize,
    /// Its code.
    pub code: String,
    /// Its score, known poor 0, known good 1.
    pub score: f64,
    /// The 90 % interval of the score.
    pub interval: Option<(f64, f64)>,
    /// How it stands.
    pub rank: OutcomeRank,
}

/// The candidates of one trial, whoever comes first on top.
#[derive(Clone, Debug, PartialEq)]
pub struct OutcomeStrip {
    /// Those with a score.
    pub marks: Vec<OutcomeMark>,
    /// What it shows, in words.
    pub finding: String,
}

/// Lanes that a row has room for; how many further candidates there are is said in its corner.
pub const MOST_LANES: usize = 3;

const WIDTH: f64 = 248.0;
/// A row of the list, with its line.
const HEIGHT: f64 = 47.0;
const RADIUS: f64 = 4.5;
const CODE: f64 = 11.5;
/// Width of a letter of a code, a little more than most are wide.
const LETTER: f64 = 7.0;
const GAP: f64 = 4.0;
/// Room at the right for the number of further candidates.
const CORNER: f64 = 24.0;

fn x(score: f64) -> f64 {
    let inside = score.clamp(POSITION_LO, POSITION_HI);
    let x = (inside - POSITION_LO) / (POSITION_HI - POSITION_LO) * WIDTH;
    x.clamp(RADIUS, WIDTH - RADIUS)
}

impl OutcomeStrip {
    /// The drawing; better is to the right.
    pub fn draw(&self) -> Svg {
        let marks: Vec<&OutcomeMark> = self.marks.iter().filter(|mark| mark.score.is_finite()).collect();
        let shown = marks.len().min(MOST_LANES);
        let mut picture = Picture::new(WIDTH, HEIGHT);
        picture.draw(|pen| {
            for (lane, mark) in marks.iter().take(shown).enumerate() {
                let y = HEIGHT * (lane as f64 + 0.5) / shown as f64;
                draw_mark(
                    pen,
                    mark,
                    if shown == 2 {
                        y + (HEIGHT / 2.0 - y) * 0.35
                    } else {
                        y
                    },
                );
            }
            if marks.len() > shown {
                let more = format!("+{}", marks.len() - shown);
                pen.text(&more, (WIDTH - 2.0, HEIGHT - 8.0), Side::End, Role::Quiet, CODE);
            }
        });
        picture.finish(&self.finding)
    }
}

fn draw_mark(pen: &Pen<'_>, mark: &OutcomeMark, y: f64) {
    let at = x(mark.score);
    let is_out = mark.rank == OutcomeRank::Out;
    let ends = mark
        .interval
        .filter(|(lo, hi)| !is_out && lo.is_finite() && hi.is_finite());
    let (lo, hi) = ends.map_or((at, at), |(lo, hi)| (x(lo), x(hi)));
    if is_out {
        marks::failed(pen, (at, y), RADIUS - 0.5, mark.candidate);
    } else {
        pen.line(&[(lo, y), (hi, y)], Role::Candidate(mark.candidate), 2.0);
        marks::solid(pen, (at, y), RADIUS, mark.candidate);
    }
    let (left, right) = (lo.min(at - RADIUS) - GAP, hi.max(at + RADIUS) + GAP);
    let width = LETTER * mark.code.chars().count() as f64;
    let (place, side) = match (is_free(left - width, left), is_free(right, right + width)) {
        (false, true) => (right, Side::Start),
        _ if left < width => (right, Side::Start),
        _ => (left, Side::End),
    };
    match mark.rank {
        OutcomeRank::Leads | OutcomeRank::Front => pen.bold(&mark.code, (place, y), side, Role::Ink, CODE),
        OutcomeRank::Behind | OutcomeRank::Out => pen.text(&mark.code, (place, y), side, Role::Quiet, CODE),
    }
}

/// Whether a code has room between two places, and no reference line runs through it there.
fn is_free(from: f64, to: f64) -> bool {
    let is_crossed = [0.0, 1.0]
        .iter()
        .any(|line| (from - 1.0..to + 1.0).contains(&x(*line)));
    from >= 0.0 && to <= WIDTH - CORNER && !is_crossed
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strip(scores: &[f64]) -> OutcomeStrip {
        let mark = |(candidate, score): (usize, &f64)| OutcomeMark {
            candidate,
            code: format!("A-{candidate}"),
            score: *score,
            interval: Some((score - 0.1, score + 0.1)),
            rank: if candidate == 0 {
                OutcomeRank::Leads
            } else {
                OutcomeRank::Behind
            },
        };
        OutcomeStrip {
            marks: scores.iter().enumerate().map(mark).collect(),
            finding: "A leads".to_string(),
        }
    }

    #[test]
    fn better_lies_to_the_right_and_what_lies_outside_at_the_edge() {
        assert!(x(0.0) < x(0.5) && x(0.5) < x(1.0));
        assert_eq!(x(9.0), x(POSITION_HI));
        assert_eq!(x(-9.0), x(POSITION_LO));
    }

    #[test]
    fn both_references_lie_where_the_page_draws_their_lines() {
        for (score, share) in [(0.0, 0.25), (1.0, 2.0 / 3.0)] {
            assert!((x(score) / WIDTH - share).abs() < 1e-9, "{score}");
        }
    }

    #[test]
    fn each_candidate_has_its_own_colour_and_code_and_the_drawing_says_its_finding() {
        let drawing = strip(&[0.9, 0.4, f64::NAN]).draw().to_string();
        assert!(drawing.contains("var(--k0)") && drawing.contains("var(--k1)"));
        assert!(drawing.contains("A-0") && drawing.contains("A-1") && !drawing.contains("A-2"));
        assert!(!drawing.contains("var(--k2)") && !drawing.contains("NaN"));
        assert!(drawing.contains("aria-label=\"A leads\""));
    }

    #[test]
    fn a_fourth_candidate_has_no_lane_and_is_counted() {
        for (candidates, more) in [(2, ""), (3, ""), (4, "+1"), (20, "+17")] {
            let drawing = strip(&vec![0.5; candidates]).draw().to_string();
            assert_eq!(drawing.contains('+'), !more.is_empty(), "{candidates}");
            assert!(drawing.contains(more), "{candidates}");
            assert!(drawing.contains(&format!("height=\"{HEIGHT}\"")));
            assert!(!drawing.contains("A-3"), "{candidates}");
        }
    }

    #[test]
    fn one_that_failed_a_requirement_is_hollow_and_grey_without_its_interval() {
        let mut one = strip(&[0.5]);
        assert!(one.draw().to_string().contains("var(--k0)"));
        one.marks[0].rank = OutcomeRank::Out;
        let drawing = one.draw().to_string();
        assert!(
            !drawing.contains("var(--k0)") && drawing.contains("var(--control)"),
            "{drawing}"
        );
    }

    #[test]
    fn a_code_stands_left_of_its_interval_and_right_of_it_where_a_line_or_the_edge_is_in_its_way() {
        let is_left = |score: f64| {
            let drawing = strip(&[score]).draw().to_string();
            drawing.contains("text-anchor=\"end\"")
        };
        for (score, left) in [(0.6, true), (-0.5, false), (1.15, false), (1.7, true)] {
            assert_eq!(is_left(score), left, "{score}");
        }
    }
}
