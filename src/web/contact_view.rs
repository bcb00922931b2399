//! A method's contact as a drawing with its dimensions.

use crate::catalogue::{Method, MethodContact};
use crate::charts::{ContactKind, ContactPicture, number_words};
use crate::contact::element::Element;

/// A dimension of a drawing: its letter where it has one, what it is, its value with unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Dimension {
    pub(crate) letter: &'static str,
    pub(crate) words: &'static str,
    pub(crate) value: String,
}

/// The drawing of a method's first contact.
pub(crate) fn picture_of(method: &Method) -> ContactPicture {
    method.contacts.first().map_or(
        ContactPicture {
            kind: ContactKind::Bench,
            ratio: 1.0,
        },
        picture_of_contact,
    )
}

/// The drawing of one contact.
pub(crate) fn picture_of_contact(contact: &MethodContact) -> ContactPicture {
    let MethodContact::Rig { element, .. } = contact else {
        return ContactPicture {
            kind: ContactKind::Stated,
            ratio: 1.0,
        };
    };
    let (kind, ratio) = match element {
        Element::FourBall(_) => (ContactKind::BallOnThreeBalls, 1.0),
        Element::BlockOnRing(it) => (ContactKind::BlockOnRing, it.contact_length_m / it.ring_diameter_m),
        Element::BallOnDiscStroke(it) => (ContactKind::BallOnDisc, it.stroke_m / it.ball_diameter_m),
        Element::GearRig(it) => (
            ContactKind::GearMesh,
            f64::from(it.wheel_teeth) / f64::from(it.pinion_teeth),
        ),
        Element::ThrustRoller(_) => (ContactKind::RollerOnWasher, 1.0),
        Element::TwoDisc(it) => (ContactKind::TwoDiscs, it.second_radius_m / it.first_radius_m),
        Element::Stated(_) => (ContactKind::Stated, 1.0),
    };
    ContactPicture { kind, ratio }
}

/// The dimensions and speeds of one contact; empty where it is stated by its terms.
pub(crate) fn dimensions(contact: &MethodContact) -> Vec<Dimension> {
    let MethodContact::Rig { element, .. } = contact else {
        return Vec::new();
    };
    let mm = |metres: f64| format!("{} mm", number_words(metres * 1e3));
    let rpm = |speed: f64| format!("{} r/min", number_words(speed));
    let list: Vec<(&'static str, &'static str, String)> = match element {
        Element::FourBall(it) => vec![
            ("A", "ball diameter", mm(it.ball_diameter_m)),
            ("", "speed of the upper ball", rpm(it.speed_rpm)),
        ],
        Element::BlockOnRing(it) => vec![
            ("A", "ring diameter", mm(it.ring_diameter_m)),
            ("B", "length of the contact", mm(it.contact_length_m)),
            ("", "speed of the ring", rpm(it.speed_rpm)),
        ],
        Element::BallOnDiscStroke(it) => vec![
            ("A", "ball diameter", mm(it.ball_diameter_m)),
            ("B", "stroke", mm(it.stroke_m)),
            ("", "frequency", format!("{} Hz", number_words(it.frequency_hz))),
        ],
        Element::GearRig(it) => vec![
            ("A", "centre distance", mm(it.centre_distance_m)),
            (
                "",
                "teeth, pinion and wheel",
                format!("{} and {}", it.pinion_teeth, it.wheel_teeth),
            ),
            ("", "module", mm(it.module_m)),
            ("", "face width", mm(it.face_width_m)),
            (
                "",
                "tip diameters, pinion and wheel",
                format!(
                    "{} and {}",
                    mm(it.pinion_tip_diameter_m),
                    mm(it.wheel_tip_diameter_m)
                ),
            ),
            ("", "speed of the pinion", rpm(it.pinion_rpm)),
        ],
        Element::ThrustRoller(it) => vec![
            ("A", "roller diameter", mm(it.roller_diameter_m)),
            ("", "loaded length of a roller", mm(it.effective_length_m)),
            ("", "rollers", it.rollers.to_string()),
            ("", "mean diameter of their track", mm(it.mean_diameter_m)),
            ("", "speed", rpm(it.speed_rpm)),
        ],
        Element::TwoDisc(it) => vec![
            ("A", "diameter of the first disc", mm(2.0 * it.first_radius_m)),
            ("B", "diameter of the second disc", mm(2.0 * it.second_radius_m)),
            ("", "length of the contact", mm(it.contact_length_m)),
            (
                "",
                "speeds of the discs",
                format!("{} and {}", rpm(it.first_rpm), rpm(it.second_rpm)),
            ),
        ],
        Element::Stated(_) => Vec::new(),
    };
    list.into_iter()
        .map(|(letter, words, value)| Dimension { letter, words, value })
        .collect()
}
