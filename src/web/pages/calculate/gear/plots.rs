//! Pressure and speeds over the path of contact.

use crate::calculate::{GearAnswer, GearPoint};
use crate::charts::{Look, PlaneAxis, PlaneChart, PlaneScale, PlaneSeries, Role};
use crate::web::figures;
use crate::web::pages::calculate::gear::letters;

fn chart(
    answer: &GearAnswer,
    (label, unit): (&str, &'static str),
    finding: String,
    lines: Vec<(Role, Vec<(f64, f64)>)>,
) -> PlaneChart {
    let millimetres = |s_m: f64| 1e3 * s_m;
    let x = PlaneAxis::around(
        "along the line of action",
        "mm",
        PlaneScale::Linear,
        answer.path.iter().map(|at| millimetres(at.s_m)),
    );
    let values = lines
        .iter()
        .flat_map(|(_, points)| points.iter().map(|(_, value)| *value));
    PlaneChart {
        x,
        y: PlaneAxis::around(label, unit, PlaneScale::Linear, values.chain([0.0])),
        band: Vec::new(),
        uprights: letters(answer)
            .into_iter()
            .map(|(s, letter)| (millimetres(s), letter))
            .collect(),
        finding,
        series: lines
            .into_iter()
            .map(|(role, points)| PlaneSeries {
                role,
                look: Look::Line,
                points: points
                    .into_iter()
                    .map(|(s, value)| (millimetres(s), value))
                    .collect(),
            })
            .collect(),
    }
}

/// Maximum pressure along the path.
pub(super) fn pressure_chart(answer: &GearAnswer) -> PlaneChart {
    let points: Vec<(f64, f64)> = answer
        .path
        .iter()
        .map(|at| (at.s_m, at.max_pressure_pa / 1e6))
        .collect();
    let greatest = points.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let finding = greatest.map_or_else(String::new, |(s_m, pressure_mpa)| {
        let (pressure, at) = (figures::measured(*pressure_mpa, "MPa"), figures::figure(1e3 * s_m));
        format!("Maximum pressure from A to E: greatest {pressure} at {at} mm; one pair of teeth carries the whole force between B and D")
    });
    chart(
        answer,
        ("maximum pressure", "MPa"),
        finding,
        vec![(Role::Accent, points)],
    )
}

/// Sliding and entrainment along the path.
pub(super) fn sliding_chart(answer: &GearAnswer) -> PlaneChart {
    let of = |value: fn(&GearPoint) -> f64| answer.path.iter().map(|at| (at.s_m, value(at))).collect();
    let ends = answer.path.first().zip(answer.path.last());
    let finding = ends.map_or_else(String::new, |(a, e)| {
        let [sliding_a, sliding_e] = [a, e].map(|at| figures::figure(at.sliding_m_s));
        let [drawn_a, drawn_e] = [a, e].map(|at| figures::figure(at.entrainment_m_s));
        format!("Sliding runs from {sliding_a} m/s at A through zero at the pitch point C to {sliding_e} m/s at E; entrainment from {drawn_a} to {drawn_e} m/s")
    });
    let lines = vec![
        (Role::Accent, of(|at| at.entrainment_m_s)),
        (Role::Loss, of(|at| at.sliding_m_s)),
    ];
    chart(answer, ("speed", "m/s"), finding, lines)
}
