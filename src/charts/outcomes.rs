//! The candidates of one trial on the scale from the known poor to the known good, small enough for a row of a list.

use crate::charts::lanes::lanes;
use crate::charts::marks;
use crate::charts::pen::Picture;
use crate::charts::role::Role;
use crate::charts::scale::{POSITION_HI, POSITION_LO};
use crate::charts::svg::Svg;

/// How a candidate stands in its trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutcomeRank {
    /// The evidence carries its lead: filled, in a ring.
    Leads,
    /// In front without a lead: filled, in a dashed ring.
    Front,
    /// Behind: filled.
    Behind,
    /// Put out by a gate: open.
    Out,
}

/// One candidate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutcomeMark {
    /// Its place in the trial.
    pub candidate: usize,
    /// Its score, known poor 0, known good 1.
    pub score: f64,
    /// How it stands.
    pub rank: OutcomeRank,
}

/// The candidates of one trial, the front-runner first.
#[derive(Clone, Debug, PartialEq)]
pub struct OutcomeStrip {
    /// Those with a score.
    pub marks: Vec<OutcomeMark>,
    /// What it shows, in words.
    pub finding: String,
}

const WIDTH: f64 = 220.0;
const LANE: f64 = 13.0;
/// Lanes that a row of a list has room for; further marks share the last one.
const MOST_LANES: usize = 4;
const RADIUS: f64 = 4.0;

fn x(score: f64) -> f64 {
    let inside = score.clamp(POSITION_LO, POSITION_HI);
    let room = RADIUS * 2.0;
    room + (inside - POSITION_LO) / (POSITION_HI - POSITION_LO) * (WIDTH - 2.0 * room)
}

impl OutcomeStrip {
    /// The drawing; better is to the right.
    pub fn draw(&self) -> Svg {
        let marks: Vec<&OutcomeMark> = self.marks.iter().filter(|mark| mark.score.is_finite()).collect();
        let spans: Vec<(f64, f64)> = marks
            .iter()
            .map(|mark| (x(mark.score) - RADIUS - 2.0, x(mark.score) + RADIUS + 2.0))
            .collect();
        let lanes: Vec<usize> = lanes(&spans, 0.5)
            .into_iter()
            .flatten()
            .map(|lane| lane.min(MOST_LANES - 1))
            .collect();
        let count = lanes.iter().max().map_or(1, |most| most + 1);
        let height = LANE * count as f64 + 6.0;
        let mut picture = Picture::new(WIDTH, height);
        picture.draw(|pen| {
            let (poor, good) = (x(0.0), x(1.0));
            pen.dashes((poor, 0.0), (poor, height), (4.0, 3.0), Role::Reference, 1.5);
            pen.line(&[(good, 0.0), (good, height)], Role::Reference, 1.5);
            // The front-runner is drawn last, so that no other mark covers it.
            for (mark, lane) in marks.iter().zip(&lanes).rev() {
                let at = (x(mark.score), 3.0 + LANE * (*lane as f64 + 0.5));
                match mark.rank {
                    OutcomeRank::Out => marks::open(pen, at, RADIUS - 0.5, mark.candidate),
                    OutcomeRank::Behind => marks::solid(pen, at, RADIUS - 0.5, mark.candidate),
                    OutcomeRank::Front => {
                        marks::solid(pen, at, RADIUS, mark.candidate);
                        pen.dashed_ring(at, RADIUS + 3.0, Role::Ink, 1.25);
                    }
                    OutcomeRank::Leads => {
                        marks::solid(pen, at, RADIUS, mark.candidate);
                        pen.ring(at, RADIUS + 3.0, Role::Ink, 1.5);
                    }
                }
            }
        });
        picture.finish(&self.finding)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strip(scores: &[f64]) -> OutcomeStrip {
        let mark = |(candidate, score): (usize, &f64)| OutcomeMark {
            candidate,
            score: *score,
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
    fn each_candidate_has_its_own_colour_and_the_drawing_says_its_finding() {
        let drawing = strip(&[0.9, 0.4, f64::NAN]).draw().to_string();
        assert!(drawing.contains("var(--k0)") && drawing.contains("var(--k1)"));
        assert!(!drawing.contains("var(--k2)") && !drawing.contains("NaN"));
        assert!(drawing.contains("aria-label=\"A leads\""));
    }

    #[test]
    fn twenty_candidates_at_one_place_stay_within_a_row() {
        let drawing = strip(&[0.5; 20]).draw().to_string();
        let height = format!("height=\"{}\"", LANE * MOST_LANES as f64 + 6.0);
        assert!(drawing.contains(&height), "{}", &drawing[..200]);
    }
}
