//! Pressure, motion and film of one contact between two bodies.

use crate::calculate::{Answered, Refusal, TOO_FAR, all_finite, refusal, refused_contact};
use crate::contact::ContactError;
use crate::contact::bodies::{BodyRadii, GeneralContact, TwoBodies};
use crate::contact::elastic::Elastic;
use crate::contact::film::{GeneralFilm, Inlet, film_ratio, general_film};
use crate::contact::kinematics::SurfaceSpeeds;
use serde::Serialize;

/// Above this pressure hard steel has yielded below the surface, Pa.
const HARD_STEEL_YIELDS_PA: f64 = 3.5e9;
/// Part of the greatest curvature below which a sum of curvatures is rounding of none.
const ROUNDING: f64 = 1e-12;

/// One of two bodies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContactBody {
    /// Radius along the motion, m; negative is hollow, `None` flat.
    pub rx_m: Option<f64>,
    /// Radius across it.
    pub ry_m: Option<f64>,
    /// Young's modulus, Pa; a rigid body has a very large one.
    pub e_pa: f64,
    /// Poisson's ratio.
    pub nu: f64,
    /// Roughness Rq, m.
    pub rq_m: Option<f64>,
}

/// What is asked about a contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContactQuestion {
    /// The two bodies.
    pub bodies: [ContactBody; 2],
    /// Loaded length, m; given, the contact is a line.
    pub length_m: Option<f64>,
    /// Load, N.
    pub load_n: f64,
    /// Surface speeds of the bodies, m/s.
    pub speeds_m_s: [Option<f64>; 2],
    /// Dynamic viscosity at the contact's temperature, Pa s.
    pub viscosity_pa_s: Option<f64>,
    /// Pressure-viscosity coefficient, 1/Pa.
    pub alpha_per_pa: Option<f64>,
}

/// A contact computed; what needs a value that was not given is `None`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ContactAnswer {
    /// `point`, `elliptical` or `line`.
    pub kind: &'static str,
    /// Longer half-axis, m; `None` for a line.
    pub a_m: Option<f64>,
    /// Shorter half-axis, or half-width of a line, m.
    pub b_m: f64,
    /// Longer over shorter axis; `None` for a line.
    pub ellipticity: Option<f64>,
    /// Maximum pressure, Pa.
    pub max_pressure_pa: f64,
    /// Mean pressure, Pa.
    pub mean_pressure_pa: f64,
    /// Approach of the bodies, m; `None` for a line, where it depends on their size.
    pub approach_m: Option<f64>,
    /// Greatest shear stress below the surface, Pa.
    pub max_shear_pa: f64,
    /// Its depth, m.
    pub max_shear_depth_m: f64,
    /// Mean of the two speeds, m/s.
    pub entrainment_m_s: Option<f64>,
    /// First speed less the second, m/s.
    pub sliding_m_s: Option<f64>,
    /// Sliding over entrainment, both without sign; `None` also where nothing is drawn in.
    pub slide_roll_ratio: Option<f64>,
    /// Central film, m.
    pub central_film_m: Option<f64>,
    /// Minimum film, m.
    pub min_film_m: Option<f64>,
    /// Minimum film over combined roughness.
    pub film_ratio: Option<f64>,
    /// Film regime, such as `piezoviscous-elastic`.
    pub regime: Option<&'static str>,
    /// `boundary`, `mixed` or `full film`, by the film ratio.
    pub lubrication: Option<&'static str>,
    /// Half-axes along the motion and across it, m; of a line half its width and length.
    #[serde(skip)]
    pub half_axes_m: [f64; 2],
    /// What the formulas do not cover here.
    pub notes: Vec<String>,
}

/// Pressure, motion and film.
///
/// # Errors
/// Every value that belongs to no contact, by its field.
pub fn calculate_contact(question: &ContactQuestion) -> Answered<ContactAnswer> {
    let mut refusals = Vec::new();
    let elastic = [0, 1].map(|at| {
        let body = &question.bodies[at];
        let read = Elastic::new(body.e_pa, body.nu);
        read.map_err(|error| {
            let named = |field: &str| Some(format!("bodies[{at}].{field}"));
            refusals.extend(refused_contact(error, named, "bodies"));
        })
    });
    refusals.extend(scalars(question));
    refusals.extend(shapes(question));
    let ([Ok(first), Ok(second)], true) = (elastic, refusals.is_empty()) else {
        return Err(refusals);
    };
    let (bodies, mut notes) = two_bodies(question, [first, second]);
    let refused = |error: ContactError| refused_contact(error, named, "load_n");
    let contact = bodies.contact(question.load_n).map_err(refused)?;
    notes.extend(contact.marks.iter().map(|mark| mark.words().to_string()));
    let answer = answer(question, &contact, notes);
    if answer.is_finite() {
        Ok(answer)
    } else {
        Err(vec![refusal("load_n", TOO_FAR)])
    }
}

fn named(field: &str) -> Option<String> {
    let name = match field {
        "first_along_m" => "bodies[0].rx_m",
        "first_across_m" => "bodies[0].ry_m",
        "second_along_m" => "bodies[1].rx_m",
        "second_across_m" => "bodies[1].ry_m",
        "load_n" | "length_m" => field,
        // So nearly straight across that only a stated length makes sense.
        "radii_m" => "length_m",
        _ => return None,
    };
    Some(name.to_string())
}

/// Faults of single numbers.
fn scalars(question: &ContactQuestion) -> Vec<Refusal> {
    const ABOVE: &str = "must be above zero and finite";
    const NOT_BELOW: &str = "must not be below zero, and finite";
    let above = |value: f64| value.is_finite() && value > 0.0;
    let not_below = |value: f64| value.is_finite() && value >= 0.0;
    let [first, second] = question.bodies;
    let [u1, u2] = question.speeds_m_s;
    let checks = [
        ("load_n", Some(question.load_n), above as fn(f64) -> bool, ABOVE),
        ("length_m", question.length_m, above, ABOVE),
        ("viscosity_pa_s", question.viscosity_pa_s, above, ABOVE),
        ("alpha_per_pa", question.alpha_per_pa, not_below, NOT_BELOW),
        ("bodies[0].rq_m", first.rq_m, not_below, NOT_BELOW),
        ("bodies[1].rq_m", second.rq_m, not_below, NOT_BELOW),
        ("u1_m_s", u1, f64::is_finite, "must be finite"),
        ("u2_m_s", u2, f64::is_finite, "must be finite"),
    ];
    let wrong = checks
        .into_iter()
        .filter(|(_, value, holds, _)| value.is_some_and(|value| !holds(value)));
    wrong
        .map(|(field, _, _, problem)| refusal(field, problem))
        .collect()
}

/// Faults of the bodies' radii, alone and against each other.
fn shapes(question: &ContactQuestion) -> Vec<Refusal> {
    let radii = question.bodies.map(|body| [body.rx_m, body.ry_m]);
    let field = |at: usize, plane: usize| format!("bodies[{at}].{}", ["rx_m", "ry_m"][plane]);
    let mut refusals = Vec::new();
    for (at, planes) in radii.iter().enumerate() {
        for (plane, radius) in planes.iter().enumerate() {
            if radius.is_some_and(|radius| radius == 0.0 || !radius.is_finite()) {
                refusals.push(refusal(
                    field(at, plane),
                    "must be a radius other than zero; leave a flat away",
                ));
            }
        }
    }
    if !refusals.is_empty() {
        return refusals;
    }
    let is_line = question.length_m.is_some();
    let gaps = [0, 1].map(|plane| gap_per_m(radii[0][plane], radii[1][plane]));
    for plane in 0..2 {
        let counts = plane == 0 || !is_line;
        if counts && gaps[plane] < 0.0 {
            let hollow = if radii[0][plane].is_some_and(|radius| radius < 0.0) {
                0
            } else {
                1
            };
            let inner = radii[1 - hollow][plane];
            let problem = match inner {
                Some(inner) => {
                    format!("is a hollow closer than the body in it: it must be wider than {inner} m")
                }
                None => "is a hollow on a flat: the two touch at its rim only".to_string(),
            };
            refusals.push(refusal(field(hollow, plane), problem));
        }
    }
    if !refusals.is_empty() {
        return refusals;
    }
    match gaps {
        [along, across] if along == 0.0 && (across == 0.0 || is_line) => {
            let flat = radii.iter().all(|planes| planes[0].is_none());
            let problem = if flat {
                "both bodies are flat along the motion: there is no line or point of contact"
            } else {
                "the bodies fit into each other along the motion: there is no line or point of contact"
            };
            vec![refusal("bodies[0].rx_m", problem)]
        }
        [along, across] if !is_line && (along == 0.0 || across == 0.0) => vec![refusal(
            "length_m",
            "is needed: bodies that are straight in one plane touch along a line",
        )],
        _ => Vec::new(),
    }
}

/// Curvature of the gap in one plane, 1/m; 0 where it is rounding.
fn gap_per_m(first: Option<f64>, second: Option<f64>) -> f64 {
    let [a, b] = [first, second].map(|radius| radius.map_or(0.0, |radius| 1.0 / radius));
    let sum = a + b;
    if sum.abs() <= ROUNDING * a.abs().max(b.abs()) {
        0.0
    } else {
        sum
    }
}

/// The bodies of the engine; with a length they are straight across the motion.
fn two_bodies(question: &ContactQuestion, elastic: [Elastic; 2]) -> (TwoBodies, Vec<String>) {
    let is_line = question.length_m.is_some();
    let radii = question.bodies.map(|body| BodyRadii {
        along_m: body.rx_m,
        across_m: body.ry_m.filter(|_| !is_line),
    });
    let curved = question.bodies.iter().any(|body| body.ry_m.is_some());
    let mut notes = Vec::new();
    if is_line && curved {
        notes.push(
            "a length is given, so the contact is a line: the radii across the motion are not used"
                .to_string(),
        );
    }
    let bodies = TwoBodies {
        first: radii[0],
        second: radii[1],
        angle_rad: 0.0,
        elastic,
        length_m: question.length_m,
    };
    (bodies, notes)
}

fn answer(question: &ContactQuestion, contact: &GeneralContact, mut notes: Vec<String>) -> ContactAnswer {
    let speeds = match question.speeds_m_s {
        [Some(first_m_s), Some(second_m_s)] => Some(SurfaceSpeeds {
            first_m_s,
            second_m_s,
        }),
        _ => None,
    };
    let film = film(question, contact, speeds, &mut notes);
    if contact.max_pressure_pa() > HARD_STEEL_YIELDS_PA {
        notes.push(
            "above 3.5 GPa even hard steel has yielded below the surface: the values are nominal".to_string(),
        );
    }
    if question.bodies.iter().any(|body| body.nu != 0.3) {
        notes.push("the greatest shear and its depth are those of a Poisson's ratio of 0.3".to_string());
    }
    let min_film_m = film.as_ref().map(|film| film.minimum.thickness_m);
    let ratio = match question.bodies.map(|body| body.rq_m) {
        [Some(first), Some(second)] => min_film_m.and_then(|film| film_ratio(film, [first, second])),
        _ => None,
    };
    let (max_shear_pa, max_shear_depth_m) = contact.greatest_shear();
    let short = contact.short_half_axis_m();
    let [along, across] = contact.half_axes_m().unwrap_or([short, short]);
    let half_length = 0.5 * question.length_m.unwrap_or(0.0);
    let seen = |axis: f64| if axis.is_finite() { axis } else { half_length };
    ContactAnswer {
        kind: contact.shape().word(),
        a_m: contact.long_half_axis_m(),
        b_m: short,
        ellipticity: contact.ellipticity(),
        max_pressure_pa: contact.max_pressure_pa(),
        mean_pressure_pa: contact.mean_pressure_pa(),
        approach_m: contact.approach_m(),
        max_shear_pa,
        max_shear_depth_m,
        entrainment_m_s: speeds.map(SurfaceSpeeds::entrainment_m_s),
        sliding_m_s: speeds.map(SurfaceSpeeds::sliding_m_s),
        slide_roll_ratio: speeds.and_then(SurfaceSpeeds::slide_roll),
        central_film_m: film
            .as_ref()
            .and_then(|film| Some(film.central.as_ref()?.thickness_m)),
        min_film_m,
        film_ratio: ratio,
        regime: film
            .as_ref()
            .and_then(|film| film.regime)
            .map(|regime| regime.word()),
        lubrication: ratio.map(lubrication),
        half_axes_m: [seen(along), seen(across)],
        notes,
    }
}

/// The film, where speeds, viscosity and pressure-viscosity are given.
fn film(
    question: &ContactQuestion,
    contact: &GeneralContact,
    speeds: Option<SurfaceSpeeds>,
    notes: &mut Vec<String>,
) -> Option<GeneralFilm> {
    let inlet = Inlet {
        viscosity_pa_s: question.viscosity_pa_s?,
        alpha_per_pa: question.alpha_per_pa?,
        entrainment_m_s: speeds?.entrainment_m_s().abs(),
    };
    match general_film(contact, inlet) {
        Ok(film) => {
            notes.extend(film.minimum.beyond.iter().map(|limit| limit.words().to_string()));
            notes.push(format!("film by {}", film.formula));
            Some(film)
        }
        Err(error) => {
            notes.push(format!("no film: {error}"));
            None
        }
    }
}

/// Common practice, no single source: below 1, to 3, above.
fn lubrication(film_ratio: f64) -> &'static str {
    if film_ratio < 1.0 {
        "boundary"
    } else if film_ratio <= 3.0 {
        "mixed"
    } else {
        "full film"
    }
}

impl ContactAnswer {
    fn is_finite(&self) -> bool {
        let always = [
            self.b_m,
            self.max_pressure_pa,
            self.mean_pressure_pa,
            self.max_shear_pa,
            self.max_shear_depth_m,
        ];
        let optional = [
            self.a_m,
            self.ellipticity,
            self.approach_m,
            self.entrainment_m_s,
            self.sliding_m_s,
            self.slide_roll_ratio,
            self.central_film_m,
            self.min_film_m,
            self.film_ratio,
        ];
        all_finite(always)
            && all_finite(optional.into_iter().flatten())
            && self.b_m > 0.0
            && self.max_pressure_pa > 0.0
    }
}

#[cfg(test)]
mod tests;
