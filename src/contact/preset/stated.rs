//! The keys of a stated contact.

use crate::contact::preset::bounds::Bounds;
use crate::contact::preset::key::Key;
use crate::contact::terms::{Materials, Motion, ShapeClass, Supply};

const PRESSURE_PA: Bounds = Bounds::from(0.0, 1e12);
const TEMPERATURE_C: Bounds = Bounds::from(-273.15, 5000.0);

/// Every one may be missing.
pub(super) const KEYS: &[Key] = &[
    Key::word("shape", ShapeClass::WHAT, ShapeClass::WORDS).optional(),
    Key::range("ellipticity", Bounds::from(1.0, 100.0)).optional(),
    Key::range("max_pressure_pa", PRESSURE_PA).optional(),
    Key::range("mean_pressure_pa", PRESSURE_PA).optional(),
    Key::range("sliding_m_s", Bounds::from(0.0, 1e4)).optional(),
    Key::range("entrainment_m_s", Bounds::from(0.0, 1e4)).optional(),
    Key::range("slide_roll", Bounds::from(0.0, 1e6)).optional(),
    Key::word("motion", Motion::WHAT, Motion::WORDS).optional(),
    Key::range("film_ratio", Bounds::from(0.0, 1e6)).optional(),
    Key::word("materials", Materials::WHAT, Materials::WORDS).optional(),
    Key::range("time_share", Bounds::from(0.0, 1.0)).optional(),
    Key::range("temperature_c", TEMPERATURE_C).optional(),
    Key::range("contact_temperature_c", TEMPERATURE_C).optional(),
    Key::word("supply", Supply::WHAT, Supply::WORDS).optional(),
];
