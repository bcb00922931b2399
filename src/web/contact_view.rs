//! A method's contact as a small picture, a drawing to scale and its further dimensions.

use crate::catalogue::{Method, MethodContact};
use crate::charts::{ContactKind, ContactPicture, Svg};
use crate::contact::element::Element;
use crate::drawing::ContactDrawing;
use crate::web::figures;

/// A contact drawn to scale, with what the drawings show in words.
pub(crate) struct DrawingView {
    /// The bodies in section; none where the geometry is not known.
    pub(crate) section: Option<Svg>,
    /// The area of contact, magnified.
    pub(crate) area: Svg,
    /// The state in which the area is drawn.
    pub(crate) state: &'static str,
    /// What is drawn and its size.
    pub(crate) numbers: Vec<(String, String)>,
}

impl DrawingView {
    /// The view of a drawing whose area is that in a state.
    pub(crate) fn new(drawing: ContactDrawing, state: &'static str) -> Self {
        Self {
            section: drawing.section(),
            area: drawing.area(),
            state,
            numbers: drawing.numbers,
        }
    }
}

/// The drawing of a method's first contact.
pub(crate) fn picture_of(method: &Method) -> ContactPicture {
    method.first_contact().map_or(
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

/// Speeds and counts of one contact, which no drawing shows; empty where it is stated by its terms.
pub(crate) fn speeds_and_counts(contact: &MethodContact) -> Vec<(&'static str, String)> {
    let MethodContact::Rig { element, .. } = contact else {
        return Vec::new();
    };
    let mm = |metres: f64| format!("{} mm", figures::figure(metres * 1e3));
    let rpm = |speed: f64| format!("{} r/min", figures::figure(speed));
    match element {
        Element::FourBall(it) => vec![("speed of the upper ball", rpm(it.speed_rpm))],
        Element::BlockOnRing(it) => vec![("speed of the ring", rpm(it.speed_rpm))],
        Element::BallOnDiscStroke(it) => {
            vec![("frequency", format!("{} Hz", figures::figure(it.frequency_hz)))]
        }
        Element::GearRig(it) => vec![
            (
                "teeth, pinion and wheel",
                format!("{} and {}", it.pinion_teeth, it.wheel_teeth),
            ),
            ("module", mm(it.module_m)),
            ("face width", mm(it.face_width_m)),
            ("speed of the pinion", rpm(it.pinion_rpm)),
        ],
        Element::ThrustRoller(it) => vec![("rollers", it.rollers.to_string()), ("speed", rpm(it.speed_rpm))],
        Element::TwoDisc(it) => vec![(
            "speeds of the discs",
            format!("{} and {}", rpm(it.first_rpm), rpm(it.second_rpm)),
        )],
        Element::Stated(_) => Vec::new(),
    }
}
