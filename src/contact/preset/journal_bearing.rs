//! Journal bearings.

use crate::contact::depicted::{Bodies, Moves};
use crate::contact::journal::{JournalBearing, JournalFilm};
use crate::contact::kinematics::ring_speed_m_s;
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ONE_WAY, ROUGHNESS_ALONE, corners, ends};
use crate::contact::preset::bounds::{FORCE_N, LENGTH_M, SPEED_RPM};
use crate::contact::preset::conformal;
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Geometry, RangeFact, State, hull};
use crate::contact::{ContactError, Wrong};
use crate::lubricant::Oil;
use crate::units::Interval;
use serde::Deserialize;

const OWN: &[Key] = &[
    Key::number("diameter_m", LENGTH_M),
    Key::number("length_m", LENGTH_M),
    Key::number("radial_clearance_m", LENGTH_M).optional(),
    Key::range("load_n", FORCE_N),
    Key::range("speed_rpm", SPEED_RPM),
];

/// A journal that turns in its bearing under a load of fixed direction.
///
/// # Formula
/// Mean pressure `W / (L D)`, sliding `pi D N`; half of it draws oil in, so that the slide-roll ratio is 2. Minimum
/// film by Sommerfeld's number `(r/c)^2 eta N / P`, with side leakage. The loaded side of the bearing stays in contact.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(super) struct Journal {
    diameter_m: f64,
    length_m: f64,
    radial_clearance_m: Option<f64>,
    load_n: Interval,
    speed_rpm: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for Journal {
    const WORD: &'static str = "journal bearing";
    const KEYS: &'static [&'static [Key]] = &[OWN, ONE_WAY, ROUGHNESS_ALONE];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let journal: Self = given.fields()?;
        // A wrong unit: no bearing runs with a tenth of its radius as clearance (ours).
        if journal
            .radial_clearance_m
            .is_some_and(|clearance| clearance > 0.05 * journal.diameter_m)
        {
            return Err(PresetFault::new(
                "radial_clearance_m",
                Wrong::ClearanceInWrongUnit,
            ));
        }
        Ok(journal)
    }
}

impl Journal {
    /// The film at every corner of load, speed and temperature; none without clearance.
    fn films(&self, oil: &Oil) -> Result<Vec<JournalFilm>, ContactError> {
        let Some(radial_clearance_m) = self.radial_clearance_m else {
            return Ok(Vec::new());
        };
        let mut films = Vec::new();
        for [load_n, rpm] in corners([self.load_n, self.speed_rpm]) {
            for temperature in ends(self.around.temperature_c) {
                let bearing = JournalBearing {
                    load_n,
                    radius_m: 0.5 * self.diameter_m,
                    radial_clearance_m,
                    length_m: self.length_m,
                    revolutions_per_s: rpm / 60.0,
                    viscosity_pa_s: oil.dynamic_viscosity_pa_s(temperature.lo()),
                };
                films.push(bearing.film()?);
            }
        }
        Ok(films)
    }
}

impl Geometry for Journal {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let at = |[load_n, rpm]: [f64; 2]| {
            let sliding_m_s = ring_speed_m_s(self.diameter_m, rpm);
            let mut state = conformal::state(
                &self.around,
                load_n,
                [self.length_m, self.diameter_m],
                sliding_m_s,
            );
            state.entrainment_m_s = Interval::point(0.5 * sliding_m_s);
            state
                .facts
                .push(("length_over_diameter", self.length_m / self.diameter_m));
            state
        };
        Ok(corners([self.load_n, self.speed_rpm])
            .into_iter()
            .map(at)
            .collect())
    }

    fn notes(&self) -> Vec<Note> {
        vec![Note::ConformalWithFilm, Note::BulkCompared, Note::RigidJournal]
    }

    fn conformal_film_m(&self, oil: &Oil) -> Result<Option<(Interval, Vec<Note>)>, ContactError> {
        let films = self.films(oil)?;
        let range = hull(&films, |film| Some(film.minimum_m));
        let mut marks = Vec::new();
        for mark in films.iter().flat_map(|film| &film.beyond) {
            if !marks.contains(mark) {
                marks.push(*mark);
            }
        }
        Ok(range.map(|range| (range, marks)))
    }

    fn facts_with(&self, oil: &Oil) -> Result<Vec<RangeFact>, ContactError> {
        let films = self.films(oil)?;
        let facts = [
            ("minimum_film_um", hull(&films, |film| Some(1e6 * film.minimum_m))),
            ("eccentricity", hull(&films, |film| Some(film.eccentricity))),
            ("sommerfeld_number", hull(&films, |film| Some(film.sommerfeld))),
        ];
        let known = facts.into_iter().filter_map(|(key, range)| Some((key, range?)));
        Ok(known.collect())
    }

    fn bodies(&self) -> Bodies {
        Bodies::InBush {
            inner: "journal",
            diameter_m: self.diameter_m,
            clearance_m: self.radial_clearance_m,
            moves: Moves::OneWay,
        }
    }
}
