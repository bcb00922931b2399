//! The position scale that all strips of a page share.

/// Left end of every strip: below the known poor, which is 0, by a little more than the way between the two.
pub const POSITION_LO: f64 = -0.6;
/// Right end of every strip: above the known good, which is 1, by twice the way between the two (h = 0.5).
pub const POSITION_HI: f64 = 1.8;

/// For which width of page a strip is drawn: tick labels keep their size on both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Width {
    /// App and projector.
    Wide,
    /// Phone.
    Narrow,
}

impl Width {
    /// Width of the drawing, CSS pixels.
    pub(in crate::charts) fn pixels(self) -> f64 {
        match self {
            Self::Wide => 600.0,
            Self::Narrow => 350.0,
        }
    }

    /// What a pointer on a mark says; a phone has none to rest on it, and finds the numbers in the table under the drawing.
    pub(in crate::charts) fn said(self, title: &str) -> &str {
        match self {
            Self::Wide => title,
            Self::Narrow => "",
        }
    }

    /// Where a position lies, CSS pixels from the left.
    pub(in crate::charts) fn x(self, position: f64) -> f64 {
        let span = POSITION_HI - POSITION_LO;
        (position - POSITION_LO) / span * self.pixels()
    }
}

/// A position brought onto the strip, `margin` away from its ends.
pub(in crate::charts) fn on_the_strip(position: f64, margin: f64) -> f64 {
    position.clamp(POSITION_LO + margin, POSITION_HI - margin)
}

/// Whether a position lies on the strip.
pub(in crate::charts) fn on_strip(position: f64) -> bool {
    (POSITION_LO..=POSITION_HI).contains(&position)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_references_lie_at_the_same_share_of_every_width() {
        for position in [0.0, 1.0] {
            let share = |width: Width| width.x(position) / width.pixels();
            assert!((share(Width::Wide) - share(Width::Narrow)).abs() < 1e-12);
        }
        assert!(on_strip(1.8) && !on_strip(1.81) && !on_strip(f64::NAN));
        let style = include_str!("../../static/likewear.css");
        for position in [0.0, 1.0] {
            let left = format!(
                "left: {:.3}%;",
                100.0 * Width::Wide.x(position) / Width::Wide.pixels()
            );
            assert!(style.contains(&left), "the words over the strips stand at {left}");
        }
        assert!(on_strip(-0.6) && !on_strip(-0.61));
    }
}
