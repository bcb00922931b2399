//! A candidate's score on the scale that the strips share; the page draws the reference lines through all of them.

use crate::charts::marks;
use crate::charts::pen::Picture;
use crate::charts::role::Role;
use crate::charts::scale::{POSITION_HI, POSITION_LO, Width};
use crate::charts::strip::Span;
use crate::charts::strip::draw::end_x;
use crate::charts::svg::Svg;

/// The score of one candidate on the same scale.
#[derive(Clone, Debug, PartialEq)]
pub struct ScoreChart {
    /// Whose.
    pub candidate: usize,
    /// Score with its interval.
    pub span: Option<Span>,
    /// What it shows, in words.
    pub finding: String,
}

impl ScoreChart {
    /// The drawing.
    pub fn draw(&self, width: Width) -> Svg {
        const HEIGHT: f64 = 24.0;
        let mut picture = Picture::new(width.pixels(), HEIGHT);
        picture.draw(|pen| {
            let y = HEIGHT / 2.0;
            let Some(span) = self.span.filter(|span| span.mean.is_finite()) else {
                return;
            };
            let x = width.x(span.mean.clamp(POSITION_LO, POSITION_HI));
            let (lo, hi) = (end_x(span.lo, x, width), end_x(span.hi, x, width));
            pen.line(&[(lo, y), (hi, y)], Role::Candidate(self.candidate), 2.5);
            marks::solid(pen, (x, y), 5.5, self.candidate);
        });
        picture.finish(&self.finding)
    }
}
