//! A contact at one point of its duty, and the terms of all of them together.

use crate::contact::ContactError;
use crate::contact::depicted::{Bodies, ContactArea};
use crate::contact::elastic::usual_first_yield_pa;
use crate::contact::element::film_by;
use crate::contact::elliptical::RollingEllipse;
use crate::contact::film::{elliptical_minimum_film, line_minimum_film};
use crate::contact::flash::{elliptical_rise_k, line_rise_k};
use crate::contact::hertz::LineContact;
use crate::contact::kinematics::SurfaceSpeeds;
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ends};
use crate::contact::preset::drawn;
use crate::contact::preset::gear_pair::GearMesh;
use crate::contact::terms::{ContactTerms, ShapeClass};
use crate::lubricant::Oil;
use crate::units::Interval;
use std::fmt::Debug;

/// Greatest ellipticity by which contacts are compared: from there on an ellipse counts as a line.
const LINE_ELLIPTICITY: f64 = 100.0;

/// What carries the load.
#[derive(Clone, Copy, Debug)]
pub(super) enum LoadedArea {
    /// A line contact of bodies that curve apart.
    Line(LineContact),
    /// An elliptical contact of bodies that curve apart; a circle is one of them.
    Ellipse(RollingEllipse),
    /// Bodies that fit into each other: load over the area of both lengths.
    Conformal { load_n: f64, sides_m: [f64; 2] },
}

impl LoadedArea {
    pub(super) fn load_n(&self) -> f64 {
        match self {
            Self::Line(contact) => contact.load_n,
            Self::Ellipse(ellipse) => ellipse.contact.load_n,
            Self::Conformal { load_n, .. } => *load_n,
        }
    }

    /// Flash rise in K where the bodies pass at these speeds; of bodies that fit into each other none is known.
    ///
    /// # Errors
    /// For materials of which no thermal constants are kept.
    pub(super) fn rise_k(&self, speeds: SurfaceSpeeds, around: &Around) -> Result<Option<f64>, ContactError> {
        let bodies = around.materials.thermal()?;
        let friction = around.friction_coefficient;
        Ok(match self {
            Self::Line(it) => {
                let load_per_length = it.load_n / it.length_m;
                Some(line_rise_k(
                    friction,
                    load_per_length,
                    it.half_width_m,
                    speeds,
                    bodies,
                ))
            }
            Self::Ellipse(it) => Some(elliptical_rise_k(friction, it, speeds, bodies)),
            Self::Conformal { .. } => None,
        })
    }

    fn mean_pressure_pa(&self) -> f64 {
        match self {
            Self::Line(contact) => contact.mean_pressure_pa,
            Self::Ellipse(ellipse) => ellipse.contact.mean_pressure_pa,
            Self::Conformal { load_n, sides_m } => load_n / (sides_m[0] * sides_m[1]),
        }
    }

    fn max_pressure_pa(&self) -> Option<f64> {
        match self {
            Self::Line(contact) => Some(contact.max_pressure_pa),
            Self::Ellipse(ellipse) => Some(ellipse.contact.max_pressure_pa),
            Self::Conformal { .. } => None,
        }
    }

    fn ellipticity(&self) -> Option<f64> {
        match self {
            Self::Line(_) => Some(LINE_ELLIPTICITY),
            Self::Ellipse(ellipse) => Some(ellipse.contact.ellipticity.min(LINE_ELLIPTICITY)),
            Self::Conformal { .. } => None,
        }
    }

    fn shape(&self) -> ShapeClass {
        match self {
            Self::Line(_) => ShapeClass::Line,
            Self::Ellipse(ellipse) if ellipse.contact.ellipticity == 1.0 => ShapeClass::Point,
            Self::Ellipse(_) => ShapeClass::Elliptical,
            Self::Conformal { .. } => ShapeClass::Conformal,
        }
    }

    /// Length along the motion and across it, m.
    pub(super) fn along_across_m(&self) -> [f64; 2] {
        match self {
            Self::Line(contact) => [2.0 * contact.half_width_m, contact.length_m],
            Self::Ellipse(ellipse) => {
                [ellipse.half_axis_along_m, ellipse.half_axis_across_m].map(|half| 2.0 * half)
            }
            Self::Conformal { sides_m, .. } => [sides_m[1], sides_m[0]],
        }
    }
}

/// A contact at one point of its duty.
#[derive(Clone, Debug)]
pub(super) struct State {
    pub(super) area: LoadedArea,
    /// Sliding without sign; the mean, or that where a failure starts.
    pub(super) sliding_m_s: f64,
    /// Slide-roll ratio, likewise.
    pub(super) slide_roll: f64,
    /// Entrainment that makes the film, likewise; a range where its direction over the line is not known.
    pub(super) entrainment_m_s: Option<Interval>,
    /// Flash rise, likewise.
    pub(super) rise_k: Option<f64>,
    pub(super) time_share: Option<f64>,
    /// Further values for a page.
    pub(super) facts: Vec<Fact>,
}

/// A value for a page by its key in `words.toml`, in the unit that stands there.
pub(super) type Fact = (&'static str, f64);

/// A value over the duty for a page, likewise.
pub(super) type RangeFact = (&'static str, Interval);

/// A contact that is computed from its geometry.
pub(super) trait Geometry: Debug + Send + Sync {
    /// Its surroundings.
    fn around(&self) -> &Around;
    /// Its state at every corner of load, speed and what else may range, temperature apart: the mean over the path, the
    /// lift or the roller, and where these vary the place where a failure starts too. All have the same kind of area and
    /// the same facts.
    fn states(&self) -> Result<Vec<State>, ContactError>;
    /// What has to be said about it, whatever the duty.
    fn notes(&self) -> Vec<Note>;
    /// What an oil adds to its facts.
    fn facts_with(&self, _oil: &Oil) -> Result<Vec<RangeFact>, ContactError> {
        Ok(Vec::new())
    }
    /// The gears, where it is a gear pair.
    fn gears(&self) -> Option<&GearMesh> {
        None
    }
    /// Thinnest to thickest minimum film over the duty of bodies that fit into each other, m, with its marks; `None`
    /// where it is not computed.
    fn conformal_film_m(&self, _oil: &Oil) -> Result<Option<(Interval, Vec<Note>)>, ContactError> {
        Ok(None)
    }
    /// Its bodies, to be drawn; not known where it is drawn by its reduced radius alone.
    fn bodies(&self) -> Bodies {
        Bodies::NotKnown
    }
    /// The area of a state, to be drawn.
    fn area(&self, state: &State) -> ContactArea {
        drawn::area(state)
    }
}

/// From the least to the greatest of a value; `None` where an item has none.
pub(super) fn hull<T>(items: &[T], value: impl Fn(&T) -> Option<f64>) -> Option<Interval> {
    let points = items.iter().map(|item| value(item).and_then(Interval::point));
    points
        .collect::<Option<Vec<_>>>()?
        .into_iter()
        .reduce(Interval::hull)
}

/// The terms over the whole duty.
pub(super) fn terms(geometry: &dyn Geometry, oil: Option<&Oil>) -> Result<ContactTerms, ContactError> {
    let around = geometry.around();
    let states = geometry.states()?;
    let mut notes = geometry.notes();
    let film_ratio = match film_ratio(&states, around, oil, &mut notes)? {
        Some(ratio) => Some(ratio),
        None => conformal_film_ratio(geometry, oil, &mut notes)?,
    };
    let max_pressure_pa = hull(&states, |state| state.area.max_pressure_pa());
    if max_pressure_pa.is_some_and(|pressure| pressure.hi() > usual_first_yield_pa(around.materials)) {
        notes.push(Note::BeyondFirstYield);
    }
    let bulk = around.temperature_c;
    // Of bodies that fit into each other no flash is known, and their pressures make little.
    let contact_temperature_c = match hull(&states, |state| state.rise_k) {
        Some(rise) => Interval::new(bulk.lo() + rise.lo(), bulk.hi() + rise.hi()),
        None => Some(bulk),
    };
    let drawn_in: Option<Vec<_>> = states.iter().map(|state| state.entrainment_m_s).collect();
    let entrainment_m_s = drawn_in.and_then(|all| all.into_iter().reduce(Interval::hull));
    if around.reverses() {
        notes.push(Note::StillAtReversal);
    }
    let to_reversal = |range: Option<Interval>| match around.reverses() {
        true => range.and_then(|range| Interval::new(0.0, range.hi())),
        false => range,
    };
    Ok(ContactTerms {
        shape: states.first().map(|state| state.area.shape()),
        ellipticity: hull(&states, |state| state.area.ellipticity()),
        max_pressure_pa,
        mean_pressure_pa: hull(&states, |state| Some(state.area.mean_pressure_pa())),
        sliding_m_s: hull(&states, |state| Some(state.sliding_m_s)),
        entrainment_m_s: to_reversal(entrainment_m_s),
        slide_roll: hull(&states, |state| Some(state.slide_roll)),
        motion: Some(around.motion),
        bulk_temperature_c: Some(bulk),
        contact_temperature_c,
        film_ratio: to_reversal(film_ratio),
        materials: Some(around.materials),
        time_share: hull(&states, |state| state.time_share),
        supply: Some(around.supply),
        friction_power_w_m2: None,
        notes,
    }
    .held_at_hardness(around.hardness_pa())
    .with_friction_power())
}

/// Film ratio over the corners of duty and temperature; unknown for conformal contacts, without oil or roughness.
fn film_ratio(
    states: &[State],
    around: &Around,
    oil: Option<&Oil>,
    notes: &mut Vec<Note>,
) -> Result<Option<Interval>, ContactError> {
    let mut ratios = Vec::new();
    let mut marks = Vec::new();
    for state in states {
        let Some(entrainment) = state.entrainment_m_s else {
            return Ok(None);
        };
        for temperature in ends(around.temperature_c) {
            for speed in ends(entrainment) {
                let at = around.at(temperature);
                ratios.push(match &state.area {
                    LoadedArea::Line(contact) => {
                        let film = |modulus, inlet| line_minimum_film(contact, modulus, inlet);
                        film_by(film, speed.lo(), &at, oil, &mut marks)?
                    }
                    LoadedArea::Ellipse(ellipse) => {
                        let film = |modulus, inlet| elliptical_minimum_film(ellipse, modulus, inlet);
                        film_by(film, speed.lo(), &at, oil, &mut marks)?
                    }
                    LoadedArea::Conformal { .. } => None,
                });
            }
        }
    }
    for mark in marks {
        if !notes.contains(&mark) {
            notes.push(mark);
        }
    }
    Ok(hull(&ratios, |ratio| *ratio))
}

/// Film ratio of bodies that fit into each other, where their film is computed.
fn conformal_film_ratio(
    geometry: &dyn Geometry,
    oil: Option<&Oil>,
    notes: &mut Vec<Note>,
) -> Result<Option<Interval>, ContactError> {
    let film = oil.map(|oil| geometry.conformal_film_m(oil)).transpose()?;
    let Some((thickness_m, marks)) = film.flatten() else {
        return Ok(None);
    };
    notes.extend(marks);
    let Some(roughness) = geometry.around().roughness_rq_m else {
        notes.push(Note::NoRoughness);
        return Ok(None);
    };
    let ratio = |thickness_m: f64| crate::contact::film::film_ratio(thickness_m, roughness);
    let ends = ratio(thickness_m.lo()).zip(ratio(thickness_m.hi()));
    Ok(ends.and_then(|(lo, hi)| Interval::new(lo, hi)))
}

/// What is computed, for a page.
pub(super) fn facts(geometry: &dyn Geometry, oil: Option<&Oil>) -> Result<Vec<RangeFact>, ContactError> {
    let states = geometry.states()?;
    let Some(first) = states.first() else {
        return Ok(Vec::new());
    };
    let over_duty = |place: usize| hull(&states, |state| state.facts.get(place).map(|fact| fact.1));
    let own = first.facts.iter().enumerate();
    let mut list: Vec<_> = own
        .filter_map(|(place, (key, _))| Some((*key, over_duty(place)?)))
        .collect();
    if let Some(oil) = oil {
        list.extend(geometry.facts_with(oil)?);
    }
    let width = |place: usize, has_it: fn(&LoadedArea) -> bool| {
        hull(&states, |state| {
            has_it(&state.area).then(|| 1e6 * state.area.along_across_m()[place])
        })
    };
    let along = width(0, |area| !matches!(area, LoadedArea::Conformal { .. }));
    let across = width(1, |area| matches!(area, LoadedArea::Ellipse(_)));
    let along_key = if across.is_some() {
        "width_along_um"
    } else {
        "width_um"
    };
    list.extend(along.map(|width| (along_key, width)));
    list.extend(across.map(|width| ("width_across_um", width)));
    list.extend(hull(&states, |state| state.rise_k).map(|rise| ("flash_rise_k", rise)));
    Ok(list)
}

/// The state of the greatest mean pressure.
pub(super) fn severe(geometry: &dyn Geometry) -> Option<State> {
    let states = geometry.states().ok()?;
    states
        .into_iter()
        .max_by(|a, b| a.area.mean_pressure_pa().total_cmp(&b.area.mean_pressure_pa()))
}

/// Longer and shorter side of the contact area at the severe end of the duty, m.
pub(super) fn footprint(geometry: &dyn Geometry) -> Option<(f64, f64)> {
    let severe = severe(geometry)?;
    let [a, b] = severe.area.along_across_m();
    Some((a.max(b), a.min(b)))
}
