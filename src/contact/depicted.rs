//! The bodies of a contact and the area that carries the load, as they are drawn: what they are and how large, not how.
//!
//! The section is the one in which the surfaces move; lengths in m.

use crate::contact::element::{
    BallOnDiscStroke, BlockOnRing, Element, FourBall, FreshContact, GearRig, TwoDisc,
};
use crate::contact::terms::ShapeClass;

/// How a body moves at the contact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moves {
    /// It stands still.
    Still,
    /// It turns, or where it is flat slides on, one way.
    OneWay,
    /// It slides on one way without turning, though it is round.
    SlidesOneWay,
    /// It swings or strokes to and fro.
    ToAndFro,
}

/// One body where it touches another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// What it is, in words: `ball`, `ring`.
    pub name: &'static str,
    /// Its radius in the section, m; infinite for a flat, negative for a hollow.
    pub radius_m: f64,
    /// How it moves.
    pub moves: Moves,
}

impl Surface {
    /// A body of that name and radius.
    pub fn new(name: &'static str, radius_m: f64, moves: Moves) -> Self {
        Self {
            name,
            radius_m,
            moves,
        }
    }

    /// A flat body.
    pub fn flat(name: &'static str, moves: Moves) -> Self {
        Self::new(name, f64::INFINITY, moves)
    }
}

/// Two gears in the section across their axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gears {
    /// Teeth of pinion and wheel; not whole where the pair stands for another.
    pub teeth: [f64; 2],
    /// Module in the section, m.
    pub module_m: f64,
    /// Pressure angle of the basic rack in the section, rad.
    pub pressure_angle_rad: f64,
    /// Centre distance, m.
    pub centre_distance_m: f64,
    /// Tip diameters of pinion and wheel, m.
    pub tip_diameters_m: [f64; 2],
}

/// What touches what.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bodies {
    /// One ball turning on three.
    FourBalls {
        /// Diameter of all four.
        ball_diameter_m: f64,
    },
    /// One body above another, the upper one round.
    Pair {
        /// The upper one.
        upper: Surface,
        /// The lower one.
        lower: Surface,
        /// Length of the stroke from end to end.
        stroke_m: Option<f64>,
    },
    /// A gear pair.
    Gears(Gears),
    /// Balls or rollers between two rings.
    BetweenRings {
        /// `ball` or `roller`.
        element: &'static str,
        /// Diameter of one.
        element_diameter_m: f64,
        /// Diameter of the circle through their middles.
        pitch_diameter_m: f64,
        /// How many there are; `None` where it is not known.
        elements: Option<u32>,
        /// How the inner ring moves.
        moves: Moves,
    },
    /// Rollers or balls between two washers.
    BetweenWashers {
        /// `ball` or `roller`.
        element: &'static str,
        /// Diameter of one.
        element_diameter_m: f64,
        /// Diameter of the circle through their middles.
        mean_diameter_m: f64,
    },
    /// A worm above its wheel, across the worm's axis.
    Worm {
        /// Pitch diameter of the worm.
        worm_pitch_diameter_m: f64,
        /// Pitch diameter of the wheel.
        wheel_pitch_diameter_m: f64,
        /// Face width of the wheel.
        wheel_face_width_m: f64,
    },
    /// A round body in a hollow that fits it.
    InBush {
        /// `pin`, `journal`.
        inner: &'static str,
        /// Its diameter.
        diameter_m: f64,
        /// Radial clearance; `None` where it is not known.
        clearance_m: Option<f64>,
        /// How the inner body moves.
        moves: Moves,
    },
    /// A flat body on a longer one.
    FlatOnFlat {
        /// The upper one, in words.
        upper: &'static str,
        /// Its length in the direction of motion.
        length_m: f64,
        /// The lower one, in words.
        lower: &'static str,
        /// How the upper body moves.
        moves: Moves,
    },
    /// A pad with a pocket on a plate.
    Pad {
        /// Outside diameter of the land.
        outer_m: f64,
        /// Inside diameter of the land.
        inner_m: f64,
        /// Diameter of the pads' circle.
        pitch_diameter_m: f64,
    },
    /// A cam of circular arcs, its nose up, under its follower.
    Cam(CamOutline),
    /// Two wires that cross.
    CrossedWires {
        /// Diameter of both.
        wire_diameter_m: f64,
        /// Angle between them, degrees.
        crossing_deg: f64,
    },
    /// Known by its numbers only.
    NotKnown,
}

/// A symmetrical cam of circular arcs: base circle, two flanks, nose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CamOutline {
    /// Radius of the base circle, m.
    pub base_radius_m: f64,
    /// Radius of the nose, m.
    pub nose_radius_m: f64,
    /// Middle of the nose above the cam's axis, m.
    pub nose_centre_m: f64,
    /// Radius of the flanks, m.
    pub flank_radius_m: f64,
    /// Angle from the nose to the start of a flank on the base circle, rad.
    pub half_event_rad: f64,
    /// Radius of the follower's roller, m; infinite for a flat follower.
    pub follower_radius_m: f64,
}

/// The area that carries the load; lengths in m along the motion and across it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ContactArea {
    /// An ellipse by its whole axes.
    Ellipse {
        /// Along the motion.
        along_m: f64,
        /// Across it.
        across_m: f64,
    },
    /// The strip of a line contact.
    Strip {
        /// Whole width, along the motion.
        along_m: f64,
        /// Length, across it.
        across_m: f64,
    },
    /// The projected area of bodies that fit into each other.
    Rectangle {
        /// Along the motion.
        along_m: f64,
        /// Across it.
        across_m: f64,
    },
    /// The land of a pad.
    Ring {
        /// Outside diameter.
        outer_m: f64,
        /// Inside diameter.
        inner_m: f64,
    },
    /// Size not known; its class, where that is.
    Class(Option<ShapeClass>),
}

impl FreshContact {
    /// The area of the unworn contact.
    pub fn area(&self) -> ContactArea {
        let width_m = 2.0 * self.half_width_m();
        match self {
            Self::Point(_) => ContactArea::Ellipse {
                along_m: width_m,
                across_m: width_m,
            },
            Self::Line(line) => ContactArea::Strip {
                along_m: width_m,
                across_m: line.length_m,
            },
        }
    }
}

impl Element {
    /// The bodies of a test; not known for a stated contact.
    pub fn bodies(&self) -> Bodies {
        match self {
            Self::FourBall(FourBall { ball_diameter_m, .. }) => Bodies::FourBalls {
                ball_diameter_m: *ball_diameter_m,
            },
            Self::BlockOnRing(BlockOnRing { ring_diameter_m, .. }) => Bodies::Pair {
                upper: Surface::flat("block", Moves::Still),
                lower: Surface::new("ring", 0.5 * ring_diameter_m, Moves::OneWay),
                stroke_m: None,
            },
            Self::BallOnDiscStroke(BallOnDiscStroke {
                ball_diameter_m,
                stroke_m,
                ..
            }) => Bodies::Pair {
                upper: Surface::new("ball", 0.5 * ball_diameter_m, Moves::ToAndFro),
                lower: Surface::flat("disc", Moves::Still),
                stroke_m: Some(*stroke_m),
            },
            Self::GearRig(rig) => Bodies::Gears(gears_of(rig)),
            Self::ThrustRoller(bearing) => Bodies::BetweenWashers {
                element: "roller",
                element_diameter_m: bearing.roller_diameter_m,
                mean_diameter_m: bearing.mean_diameter_m,
            },
            Self::TwoDisc(TwoDisc {
                first_radius_m,
                second_radius_m,
                second_rpm,
                ..
            }) => Bodies::Pair {
                upper: Surface::new("first disc", *first_radius_m, Moves::OneWay),
                lower: Surface::new(
                    "second disc",
                    *second_radius_m,
                    if *second_rpm == 0.0 {
                        Moves::Still
                    } else {
                        Moves::OneWay
                    },
                ),
                stroke_m: None,
            },
            Self::Stated(_) => Bodies::NotKnown,
        }
    }
}

fn gears_of(rig: &GearRig) -> Gears {
    Gears {
        teeth: [rig.pinion_teeth, rig.wheel_teeth].map(f64::from),
        module_m: rig.module_m,
        pressure_angle_rad: rig.pressure_angle_deg.to_radians(),
        centre_distance_m: rig.centre_distance_m,
        tip_diameters_m: [rig.pinion_tip_diameter_m, rig.wheel_tip_diameter_m],
    }
}
