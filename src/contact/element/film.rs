//! Film ratio of an element and the bounds of its pressure, with their marks.

use crate::contact::ContactError;
use crate::contact::elastic::contact_modulus_pa;
use crate::contact::element::{FreshContact, Surroundings};
use crate::contact::error::not_negative;
use crate::contact::film::{Film, Inlet, film_ratio, line_minimum_film, point_minimum_film};
use crate::contact::note::Note;
use crate::contact::terms::Supply;
use crate::lubricant::Oil;

/// Film ratio with its marks; unknown without oil or roughness.
pub(in crate::contact) fn film(
    fresh: &FreshContact,
    entrainment_m_s: f64,
    surroundings: &Surroundings,
    oil: Option<&Oil>,
    notes: &mut Vec<Note>,
) -> Result<Option<f64>, ContactError> {
    let minimum_film = |modulus_pa: f64, inlet: Inlet| match fresh {
        FreshContact::Point(it) => point_minimum_film(it, modulus_pa, inlet),
        FreshContact::Line(it) => line_minimum_film(it, modulus_pa, inlet),
    };
    film_by(minimum_film, entrainment_m_s, surroundings, oil, notes)
}

/// Film ratio with its marks by the minimum film that goes with a contact modulus E* (Pa) and an inlet; unknown
/// without oil or roughness.
pub(in crate::contact) fn film_by(
    minimum_film: impl Fn(f64, Inlet) -> Film,
    entrainment_m_s: f64,
    surroundings: &Surroundings,
    oil: Option<&Oil>,
    notes: &mut Vec<Note>,
) -> Result<Option<f64>, ContactError> {
    let Some(oil) = oil else {
        notes.push(Note::NoOil);
        return Ok(None);
    };
    let [Some(first), Some(second)] = surroundings.roughness_rq_m else {
        notes.push(Note::NoRoughness);
        return Ok(None);
    };
    let roughness = [
        not_negative("roughness_rq_m", first)?,
        not_negative("roughness_rq_m", second)?,
    ];
    let [e1, e2] = surroundings.materials.elastic()?;
    let bulk = surroundings.bulk_temperature_c;
    let inlet = Inlet::of(oil, 0.5 * (bulk.lo() + bulk.hi()), entrainment_m_s);
    let Film { thickness_m, beyond } = minimum_film(contact_modulus_pa(e1, e2), inlet);
    notes.extend(beyond);
    if oil.alpha_is_estimated() {
        notes.push(Note::EstimatedAlpha);
    }
    if matches!(surroundings.supply, Supply::PackedGrease | Supply::ThinDab) {
        notes.push(Note::FullyFlooded);
    }
    Ok(film_ratio(thickness_m, roughness))
}
