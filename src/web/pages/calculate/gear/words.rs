//! Every word that code puts on the calculator of a gear pair; what stands whatever the numbers are is in the template.

pub(super) use crate::web::pages::words::MAXIMUM_PRESSURE;

pub(super) const TEETH_OF_THE_PINION: &str = "Teeth of the pinion";
pub(super) const GEARS: &str = "Gears";
pub(super) const TEETH_OF_THE_WHEEL: &str = "Teeth of the wheel";
pub(super) const MODULE_NORMAL_SECTION_MM: &str = "Module (normal section), mm";
pub(super) const PRESSURE_ANGLE_NORMAL_SECTION: &str = "Pressure angle (normal section), °";
pub(super) const HELIX_ANGLE_EMPTY_SPUR: &str = "Helix angle, ° (empty: spur)";
pub(super) const CENTRE_DISTANCE_MM: &str = "Centre distance, mm";
pub(super) const FACE_WIDTH_IN_MESH_MM: &str = "Face width in mesh, mm";
pub(super) const TIP_DIAMETER_OF_THE_PINION_MM: &str = "Tip diameter of the pinion, mm";
pub(super) const TIP_DIAMETER_OF_THE_WHEEL_MM: &str = "Tip diameter of the wheel, mm";
pub(super) const TORQUE_ON_THE_PINION_N_M: &str = "Torque on the pinion, N m";
pub(super) const LOAD_SPEED_AND_MATERIAL: &str = "Load, speed and material";
pub(super) const SPEED_OF_THE_PINION_R_MIN: &str = "Speed of the pinion, r/min";
pub(super) const YOUNGS_MODULUS_OF_BOTH_GPA: &str = "Young's modulus of both, GPa";
pub(super) const POISSONS_RATIO_OF_BOTH: &str = "Poisson's ratio of both";
pub(super) const GEAR_PAIR_ALONG_ITS_PATH_OF_CONTACT: &str = "Gear pair along its path of contact";

pub(super) fn greatest_with_the_load_shared(mpa: &str) -> String {
    format!(
        "one pair of teeth carrying the whole force; with the load shared, the greatest along the path is {mpa} MPa"
    )
}

pub(super) const MAXIMUM_PRESSURE_AT_THE_PITCH_POINT: &str = "maximum pressure at the pitch point";
pub(super) const NORMAL_FORCE_ON_THE_FLANKS: &str = "normal force on the flanks";
pub(super) const WORKING_PRESSURE_ANGLE: &str = "working pressure angle";
pub(super) const PITCH_LINE_SPEED: &str = "pitch line speed";
pub(super) const CONTACT_RATIO_TRANSVERSE: &str = "contact ratio (transverse)";
pub(super) const OVERLAP_RATIO: &str = "overlap ratio";
pub(super) const SLIDING_AT_THE_PINION_TIP_E: &str = "sliding at the pinion tip (E)";
pub(super) const SLIDE_ROLL_RATIO_THERE: &str = "slide-roll ratio there";
pub(super) const SLIDING_AT_THE_WHEEL_TIP_A: &str = "sliding at the wheel tip (A)";

pub(super) const ALONG_THE_LINE_OF_ACTION: &str = "along the line of action";

pub(super) fn pressure_along_the_path(greatest: &str, at_mm: &str) -> String {
    format!(
        "Maximum pressure from A to E: greatest {greatest} at {at_mm} mm; one pair of teeth carries the whole force between B and D"
    )
}

pub(super) fn sliding_along_the_path(
    at_a: &str,
    at_e: &str,
    entrainment_at_a: &str,
    entrainment_at_e: &str,
) -> String {
    format!(
        "Sliding runs from {at_a} m/s at A through zero at the pitch point C to {at_e} m/s at E; entrainment from {entrainment_at_a} to {entrainment_at_e} m/s"
    )
}

pub(super) const SPEED: &str = "speed";
