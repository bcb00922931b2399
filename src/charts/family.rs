//! A family of blends in one test: one row per member, on the position scale that all strips share.

use crate::charts::marks::{reference_line, solid};
use crate::charts::pen::{Pen, Picture};
use crate::charts::scale::{POSITION_HI, POSITION_LO, on_strip, on_the_strip};
use crate::charts::ticks::mark_below;
use crate::charts::{Anchors, Axis, Ends, Role, Span, Svg, Width};

/// A member of the family in the test.
#[derive(Clone, Debug, PartialEq)]
pub struct FamilyRow {
    /// Its colour and shape, by its place in the family.
    pub mark: usize,
    /// Where it stands, on the position scale.
    pub span: Span,
    /// Whether the estimate lies beyond the end of the scale.
    pub ends: Ends,
    /// The row of the member that it is compared with.
    pub after: Option<usize>,
    /// Code and value, for a pointer that rests on it.
    pub title: String,
}

/// A family in one test.
#[derive(Clone, Debug, PartialEq)]
pub struct FamilyChart {
    /// The axis.
    pub axis: Axis,
    /// What fixes the scale.
    pub anchors: Anchors,
    /// Half width of the band within which a result cannot be told from a reference, in ways from 0 to 1.
    pub band: Option<f64>,
    /// Rows in the family's order.
    pub rows: Vec<FamilyRow>,
    /// What it shows, for those who hear the page.
    pub finding: String,
}

const ROW: f64 = 26.0;
const TOP: f64 = 8.0;
const FOOT: f64 = 24.0;

impl FamilyChart {
    /// The drawing.
    pub fn draw(&self, width: Width) -> Svg {
        let height = TOP + ROW * self.rows.len() as f64 + FOOT;
        let mut picture = Picture::new(width.pixels(), height);
        let foot = height - FOOT;
        picture.draw(|pen| {
            self.references(pen, width, foot);
            self.scale(pen, width, foot);
            self.links(pen, width);
        });
        for (place, row) in self.rows.iter().enumerate() {
            picture.draw_titled(&row.title, |pen| draw_row(pen, width, y(place), row));
        }
        picture.finish(&self.finding)
    }

    fn references(&self, pen: &Pen<'_>, width: Width, foot: f64) {
        let lines = self.anchors.lines();
        for (position, band) in lines.iter().zip(self.band.into_iter().cycle()) {
            let edge = |at: f64| width.x(on_the_strip(at, 0.0));
            let (from, to) = self.axis.band(*position, band);
            let (from, to) = (edge(from), edge(to));
            pen.area((from, 2.0), (to, foot), Role::Band, 0.7);
        }
        for position in lines {
            let x = width.x(*position);
            reference_line(pen, *position, (x, 2.0), (x, foot));
        }
    }

    fn scale(&self, pen: &Pen<'_>, width: Width, foot: f64) {
        pen.line(
            &[(width.x(POSITION_LO), foot), (width.x(POSITION_HI), foot)],
            Role::Rule,
            1.0,
        );
        for tick in self.axis.ticks(width) {
            mark_below(pen, (width.x(tick.position), foot), &tick.label);
        }
    }

    /// From each member to the one it is compared with.
    fn links(&self, pen: &Pen<'_>, width: Width) {
        for (place, row) in self.rows.iter().enumerate() {
            let before = row.after.and_then(|after| Some((after, self.rows.get(after)?)));
            if let Some((after, before)) = before {
                let from = (held(width, before.span.mean), y(after));
                pen.line(&[from, (held(width, row.span.mean), y(place))], Role::Quiet, 1.25);
            }
        }
    }
}

fn y(place: usize) -> f64 {
    TOP + ROW * (place as f64 + 0.5)
}

fn held(width: Width, position: f64) -> f64 {
    width.x(on_the_strip(position, 0.02))
}

fn draw_row(pen: &Pen<'_>, width: Width, y: f64, row: &FamilyRow) {
    let role = Role::Candidate(row.mark);
    let at = held(width, row.span.mean);
    if row.ends == Ends::Capped {
        let tip = held(width, POSITION_HI).min(at + 34.0);
        pen.line(&[(at, y), (tip, y)], role, 2.0);
        pen.shape(&[(tip, y - 5.0), (tip + 8.0, y), (tip, y + 5.0)], role);
    } else {
        pen.line(
            &[(held(width, row.span.lo), y), (held(width, row.span.hi), y)],
            role,
            2.0,
        );
    }
    solid(pen, (at, y), 6.0, row.mark);
    if !on_strip(row.span.mean) {
        pen.ring((at, y), 9.0, role, 1.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::charts::AxisKind;

    fn row(mark: usize, mean: f64, after: Option<usize>) -> FamilyRow {
        FamilyRow {
            mark,
            span: Span {
                mean,
                lo: mean - 0.1,
                hi: mean + 0.1,
            },
            ends: Ends::Interval,
            after,
            title: format!("member {mark}"),
        }
    }

    #[test]
    fn every_member_has_a_row_and_a_place_off_the_scale_stays_in_the_picture() {
        let chart = FamilyChart {
            axis: Axis {
                kind: AxisKind::Linear,
                zero: 0.0,
                per_position: 1.0,
                head_room: 0.5,
                unit: "mm".to_string(),
                numbers: crate::units::DisplayPreferences::default().plain("mm"),
                steps: Vec::new(),
            },
            anchors: Anchors::Both,
            band: Some(0.1),
            rows: vec![row(0, 0.2, None), row(1, 9.0, Some(0)), row(2, f64::NAN, Some(1))],
            finding: "two steps".to_string(),
        };
        let drawing = chart.draw(Width::Wide).to_string();
        assert_eq!(drawing.matches("<title>").count(), 3);
        assert!(drawing.contains("var(--k1)") && !drawing.contains("NaN"));
    }
}
