//! What a test rig loads and moves, and the terms of its contact.

mod assemble;
mod film;
mod specimens;

use crate::contact::ContactError;
use crate::contact::gear::{GearData, GearPair};
use crate::contact::hertz::{LineContact, PointContact};
use crate::contact::stated::StatedContact;
use crate::contact::terms::{ContactTerms, Materials, Motion, ShapeClass, Supply};
use crate::lubricant::Oil;
use crate::units::Interval;
use serde::{Deserialize, Serialize};

pub(in crate::contact) use film::film_by;
pub use specimens::{BallOnDiscStroke, BlockOnRing, FourBall, GearRig, ThrustRoller, TwoDisc};

/// Friction coefficient that is taken where none is given (ours).
pub const DEFAULT_FRICTION_COEFFICIENT: f64 = 0.1;

/// The loaded and moving bodies of a contact. In JSON its `kind` stands beside the fields of that kind:
/// `{"kind": "four_ball", "ball_diameter_m": 0.0127, "speed_rpm": 1200}`.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Element {
    /// One ball turning on three fixed ones.
    FourBall(FourBall),
    /// A fixed block pressed on a turning ring.
    BlockOnRing(BlockOnRing),
    /// A ball stroking on a disc.
    BallOnDiscStroke(BallOnDiscStroke),
    /// A spur gear pair.
    GearRig(GearRig),
    /// A cylindrical-roller thrust bearing.
    ThrustRoller(ThrustRoller),
    /// Two discs rolling on each other.
    TwoDisc(TwoDisc),
    /// A contact stated by its terms.
    Stated(StatedContact),
}

/// What surrounds a contact.
#[derive(Clone, Debug, PartialEq)]
pub struct Surroundings {
    /// Temperature of the bodies away from the contact, of gears at the start, °C.
    pub bulk_temperature_c: Interval,
    /// Motion.
    pub motion: Motion,
    /// Materials.
    pub materials: Materials,
    /// Supply.
    pub supply: Supply,
    /// Roughness Rq of the two bodies, m.
    pub roughness_rq_m: [Option<f64>; 2],
    /// Hardness of the softer body, Pa; `None`: what is usual for the materials.
    pub hardness_pa: Option<f64>,
    /// Friction coefficient.
    pub friction_coefficient: f64,
}

impl Surroundings {
    /// Surroundings with unknown roughness and the default friction coefficient 0.1 (ours).
    pub fn new(bulk_temperature_c: Interval, motion: Motion, materials: Materials, supply: Supply) -> Self {
        Self {
            bulk_temperature_c,
            motion,
            materials,
            supply,
            roughness_rq_m: [None, None],
            hardness_pa: None,
            friction_coefficient: DEFAULT_FRICTION_COEFFICIENT,
        }
    }
}

/// A method's own load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Load {
    /// Total force in N: along the axis of a four-ball machine or a thrust bearing, on the ring, ball or disc.
    TotalForceN(f64),
    /// Torque on a gear pinion, N m.
    PinionTorqueNm(f64),
}

/// Load, and what wear has left to carry it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loading {
    /// Load.
    pub load: Load,
    /// Diameter of the worn scar of a point contact, or width of the worn band of a line contact, m.
    pub worn_scar_m: Option<f64>,
}

/// The elastic contact of unworn bodies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FreshContact {
    /// Circular.
    Point(PointContact),
    /// Line.
    Line(LineContact),
}

impl FreshContact {
    /// Load on this contact, N.
    pub fn load_n(&self) -> f64 {
        match self {
            Self::Point(contact) => contact.load_n,
            Self::Line(contact) => contact.load_n,
        }
    }

    /// Contact radius or half-width, m.
    pub fn half_width_m(&self) -> f64 {
        match self {
            Self::Point(contact) => contact.half_width_m,
            Self::Line(contact) => contact.half_width_m,
        }
    }

    /// Maximum pressure, Pa.
    pub fn max_pressure_pa(&self) -> f64 {
        match self {
            Self::Point(contact) => contact.max_pressure_pa,
            Self::Line(contact) => contact.max_pressure_pa,
        }
    }

    /// Mean pressure, Pa.
    pub fn mean_pressure_pa(&self) -> f64 {
        match self {
            Self::Point(contact) => contact.mean_pressure_pa,
            Self::Line(contact) => contact.mean_pressure_pa,
        }
    }

    /// Point or line.
    pub fn shape(&self) -> ShapeClass {
        match self {
            Self::Point(_) => ShapeClass::Point,
            Self::Line(_) => ShapeClass::Line,
        }
    }
}

impl Element {
    /// The kind as it is written in JSON.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::FourBall(_) => "four_ball",
            Self::BlockOnRing(_) => "block_on_ring",
            Self::BallOnDiscStroke(_) => "ball_on_disc_stroke",
            Self::GearRig(_) => "gear_rig",
            Self::ThrustRoller(_) => "thrust_roller",
            Self::TwoDisc(_) => "two_disc",
            Self::Stated(_) => "stated",
        }
    }

    /// Whether its dimensions and speeds describe a contact.
    ///
    /// # Errors
    /// Names the first field that does not.
    pub fn validate(&self) -> Result<(), ContactError> {
        match self {
            Self::FourBall(it) => it.validate(),
            Self::BlockOnRing(it) => it.validate(),
            Self::BallOnDiscStroke(it) => it.validate(),
            Self::GearRig(it) => it.pair(Materials::HardSteelHardSteel).map(|_| ()),
            Self::ThrustRoller(it) => it.validate(),
            Self::TwoDisc(it) => it.validate(),
            Self::Stated(_) => Ok(()),
        }
    }

    /// Normal load on one contact, N.
    ///
    /// # Errors
    /// A load of the wrong kind, a field that describes no contact, or a stated contact.
    pub fn load_per_contact_n(&self, load: &Load) -> Result<f64, ContactError> {
        self.validate()?;
        assemble::load_per_contact_n(self, load)
    }

    /// The elastic contact of unworn bodies; gears at the pitch point with one pair carrying all.
    ///
    /// # Errors
    /// As for the load on one contact, and materials without moduli.
    pub fn fresh_contact(&self, load: &Load, materials: Materials) -> Result<FreshContact, ContactError> {
        self.validate()?;
        assemble::fresh_contact(self, load, materials)
    }

    /// All terms of the contact. Where a scar is given, pressure runs from the mean on the scar to the fresh
    /// maximum, and contact temperature likewise. Film: the oil at the middle of the bulk temperature, fresh
    /// bodies, mean entrainment, gears at the pitch point; unknown without oil or roughness. Quantities
    /// that vary along a path, a stroke or a roller are means. Gears heat themselves: their surroundings hold the start
    /// temperature. No pressure lies above the hardness of the softer body. A stated contact gives its own terms alone.
    ///
    /// # Errors
    /// Names the field, or the kind of load, from which no contact can be computed.
    pub fn terms(
        &self,
        loading: &Loading,
        surroundings: &Surroundings,
        oil: Option<&Oil>,
    ) -> Result<ContactTerms, ContactError> {
        match self {
            Self::Stated(stated) => Ok(stated.terms()),
            _ => {
                self.validate()?;
                assemble::terms(self, loading, surroundings, oil)
            }
        }
    }
}

impl GearRig {
    /// The gear pair, of these materials.
    ///
    /// # Errors
    /// Names the field from which no gear pair can be made.
    pub fn pair(&self, materials: Materials) -> Result<GearPair, ContactError> {
        crate::contact::error::positive("pinion_rpm", self.pinion_rpm)?;
        GearPair::new(GearData {
            pinion_teeth: f64::from(self.pinion_teeth),
            wheel_teeth: f64::from(self.wheel_teeth),
            module_m: self.module_m,
            pressure_angle_deg: self.pressure_angle_deg,
            centre_distance_m: self.centre_distance_m,
            pinion_tip_diameter_m: self.pinion_tip_diameter_m,
            wheel_tip_diameter_m: self.wheel_tip_diameter_m,
            face_width_m: self.face_width_m,
            elastic: materials.elastic()?,
        })
    }
}
