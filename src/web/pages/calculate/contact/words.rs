//! Every word that code puts on the calculator of one contact; what stands whatever the numbers are is in the template.

pub(super) use crate::web::pages::words::{
    FILM_RATIO, LONGER_OVER_SHORTER_AXIS, MAXIMUM_PRESSURE, MEAN_PRESSURE, SLIDE_ROLL_RATIO,
};

pub(super) const LOAD_N: &str = "Load, N";
pub(super) const LOAD_AND_MOTION: &str = "Load and motion";
pub(super) const SPEED_OF_SURFACE_1_M_S: &str = "Speed of surface 1, m/s";
pub(super) const SPEED_OF_SURFACE_2_M_S: &str = "Speed of surface 2, m/s";
pub(super) const LOADED_LENGTH_MM_MAKES_IT_A_LINE: &str = "Loaded length, mm: makes it a line";
pub(super) const RADIUS_ALONG_THE_MOTION_MM: &str = "Radius along the motion, mm";
pub(super) const BODY_1: &str = "Body 1";
pub(super) const RADIUS_ACROSS_IT_MM: &str = "Radius across it, mm";
pub(super) const YOUNGS_MODULUS_GPA: &str = "Young's modulus, GPa";
pub(super) const POISSONS_RATIO: &str = "Poisson's ratio";
pub(super) const ROUGHNESS_RQ_UM: &str = "Roughness Rq, µm";
pub(super) const BODY_2: &str = "Body 2";
pub(super) const VISCOSITY_AT_ITS_TEMPERATURE_MPA_S: &str = "Viscosity at its temperature, mPa s";
pub(super) const OIL: &str = "Oil";
pub(super) const PRESSURE_VISCOSITY_COEFFICIENT_1_GPA: &str = "Pressure-viscosity coefficient, 1/GPa";
pub(super) const ONE_CONTACT: &str = "One contact";
pub(super) const FLAT: &str = "flat";

pub(super) fn hollow(radius_mm: &str) -> String {
    format!("{radius_mm} mm, hollow")
}

pub(super) const BODY_1_ALONG_AND_ACROSS: &str = "body 1, along and across";
pub(super) const BODY_2_ALONG_AND_ACROSS: &str = "body 2, along and across";
pub(super) const AREA_ALONG_AND_ACROSS: &str = "area, along and across";
pub(super) const NEEDS_BOTH_SPEEDS: &str = "needs both speeds";
pub(super) const NEEDS_SPEEDS_AND_VISCOSITY: &str =
    "needs both speeds, viscosity and pressure-viscosity coefficient";
pub(super) const NOTHING_IS_DRAWN_IN: &str = "nothing is drawn in";
pub(super) const NO_FORMULA_FOR_IT_IN_THIS_REGIME: &str = "no formula for it in this regime";
pub(super) const NEEDS_THE_ROUGHNESS_OF_BOTH: &str = "needs the roughness of both";
pub(super) const NEEDS_A_FILM_AND_ROUGHNESS: &str = "needs a film and the roughness of both";
pub(super) const NOT_FOR_A_LINE: &str = "not for a line";
pub(super) const LONGER_HALF_AXIS: &str = "longer half-axis";
pub(super) const SHORTER_HALF_AXIS: &str = "shorter half-axis";
pub(super) const HALF_WIDTH: &str = "half-width";
pub(super) const APPROACH_OF_THE_BODIES: &str = "approach of the bodies";
pub(super) const APPROACH_OF_A_LINE: &str = "not for a line: it depends on the bodies' size";
pub(super) const GREATEST_SHEAR_BELOW_THE_SURFACE: &str = "greatest shear below the surface";
pub(super) const ITS_DEPTH: &str = "its depth";
pub(super) const ENTRAINMENT_SPEED: &str = "entrainment speed";
pub(super) const SLIDING_SPEED_1_LESS_2: &str = "sliding speed (1 less 2)";
pub(super) const CENTRAL_FILM: &str = "central film";
pub(super) const LEAST_FILM: &str = "least film";
