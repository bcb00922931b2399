//! What of a machine's contact is drawn: its bodies, and the area at the severe end of its duty.

use crate::contact::depicted::{Bodies, ContactArea, Moves, Surface};
use crate::contact::preset::MachinePreset;
use crate::contact::preset::state::{Geometry, LoadedArea, State, severe};
use crate::contact::terms::Motion;

impl MachinePreset {
    /// Its bodies; not known for a stated contact.
    pub fn bodies(&self) -> Bodies {
        match self.geometry().map(|geometry| (geometry, geometry.bodies())) {
            Ok((geometry, Bodies::NotKnown)) => equivalent(geometry),
            Ok((_, bodies)) => bodies,
            Err(_) => Bodies::NotKnown,
        }
    }

    /// The area that carries the load at the severe end of the duty; a class alone for a stated contact and where
    /// nothing can be computed.
    pub fn area(&self) -> ContactArea {
        match self.geometry() {
            Ok(geometry) => severe(geometry).map_or(ContactArea::Class(None), |state| geometry.area(&state)),
            Err(stated) => ContactArea::Class(stated.shape),
        }
    }

    /// Load on the contact at the severe end of the duty, N; `None` where it is not known.
    pub fn severe_load_n(&self) -> Option<f64> {
        let state = self.geometry().ok().and_then(severe)?;
        Some(state.area.load_n())
    }

    /// Motion; `None` where a stated contact says none.
    pub fn motion(&self) -> Option<Motion> {
        match self.geometry() {
            Ok(geometry) => Some(geometry.around().motion),
            Err(stated) => stated.motion,
        }
    }
}

/// The area of a state: a conformal one has the second of its sides along the motion.
pub(super) fn area(state: &State) -> ContactArea {
    let [along_m, across_m] = state.area.along_across_m();
    match state.area {
        LoadedArea::Line(_) => ContactArea::Strip { along_m, across_m },
        LoadedArea::Ellipse(_) => ContactArea::Ellipse { along_m, across_m },
        LoadedArea::Conformal { .. } => ContactArea::Rectangle { along_m, across_m },
    }
}

/// Bodies by their reduced radius alone: a roller or ball of that radius on a flat.
fn equivalent(geometry: &dyn Geometry) -> Bodies {
    let round = severe(geometry).and_then(|state| match &state.area {
        LoadedArea::Line(contact) => Some(("equivalent roller", contact.radius_m)),
        LoadedArea::Ellipse(ellipse) => Some(("equivalent ball", ellipse.radius_along_m)),
        LoadedArea::Conformal { .. } => None,
    });
    round.map_or(Bodies::NotKnown, |(name, radius_m)| Bodies::Pair {
        upper: Surface::new(name, radius_m, Moves::OneWay),
        lower: Surface::flat("counterpart", Moves::OneWay),
        stroke_m: None,
    })
}
