//! Cams of circular arcs under a flat or a roller follower.

use crate::contact::depicted::CamOutline;
use crate::contact::error::positive;
use crate::contact::{ContactError, Wrong};
use std::f64::consts::PI;

/// A symmetrical cam: base circle, two flanks, nose, each a circular arc that meets the next without a kink.
///
/// # Formula
/// With Rb the base radius, L the lift, rn the nose radius, `d = Rb + L - rn` the middle of the nose above the axis and
/// t the angle from the nose to the start of the flank, the flank radius follows from the triangle of axis, middle of
/// the nose and middle of the flank: `Rf = (Rb^2 + d^2 - rn^2 - 2 d Rb cos t) / (2 (Rb - rn - d cos t))` (cosine rule).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cam {
    base_radius_m: f64,
    nose_radius_m: f64,
    nose_centre_m: f64,
    flank_radius_m: f64,
    half_event_rad: f64,
    /// Direction of the surface where nose and flank meet.
    joint_rad: f64,
}

/// A cam and its follower where the cam's surface has one direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CamPoint {
    /// Radius of curvature of the cam, m.
    pub radius_m: f64,
    /// How far the cam has turned per turn of the surface's direction.
    pub turned_per_direction: f64,
    /// Speed of the cam's surface through the contact per angular speed, m.
    pub cam_per_rad_m: f64,
    /// Speed of the follower's surface through the contact per angular speed, rolling without slip where it is round, m.
    pub follower_per_rad_m: f64,
}

/// Strips of one arc over which means are taken.
const STRIPS: u32 = 200;

impl Cam {
    /// A cam from base radius, lift and nose radius (m) and the angle from the nose to the start of the lift (rad).
    ///
    /// # Errors
    /// Names the field from which no cam without hollow flanks can be made.
    pub fn new(
        base_radius_m: f64,
        lift_m: f64,
        nose_radius_m: f64,
        half_event_rad: f64,
    ) -> Result<Self, ContactError> {
        let base = positive("base_radius_m", base_radius_m)?;
        let nose = positive("nose_radius_m", nose_radius_m)?;
        let half = positive("half_event_deg", half_event_rad)?;
        let centre = base + positive("lift_m", lift_m)? - nose;
        if nose >= base || centre <= 0.0 {
            return Err(ContactError::field("nose_radius_m", nose, Wrong::NoseTooGreat));
        }
        let open = base - nose - centre * half.cos();
        let flank =
            (base * base + centre * centre - nose * nose - 2.0 * centre * base * half.cos()) / (2.0 * open);
        let cam = Self {
            base_radius_m: base,
            nose_radius_m: nose,
            nose_centre_m: centre,
            flank_radius_m: flank,
            half_event_rad: half,
            joint_rad: ((flank - base) * half.sin()).atan2(centre + (flank - base) * half.cos()),
        };
        if open > 0.0 && flank > base && (0.0..half).contains(&cam.joint_rad) {
            Ok(cam)
        } else {
            Err(ContactError::field(
                "half_event_deg",
                half_event_rad.to_degrees(),
                Wrong::HollowFlanks,
            ))
        }
    }

    /// Radius of the flanks, m.
    pub fn flank_radius_m(&self) -> f64 {
        self.flank_radius_m
    }

    /// Share of a turn during which the follower is lifted.
    pub fn event_share(&self) -> f64 {
        self.half_event_rad / PI
    }

    /// How far the contact strays from the middle of a flat follower, m.
    pub fn reach_on_flat_m(&self) -> f64 {
        self.nose_centre_m * self.joint_rad.sin()
    }

    /// The cam as it is drawn.
    pub fn outline(&self, follower_radius_m: f64) -> CamOutline {
        CamOutline {
            base_radius_m: self.base_radius_m,
            nose_radius_m: self.nose_radius_m,
            nose_centre_m: self.nose_centre_m,
            flank_radius_m: self.flank_radius_m,
            half_event_rad: self.half_event_rad,
            follower_radius_m,
        }
    }

    /// Radius of the arc that has a direction, and how far its middle lies along and beside that direction.
    fn arc(&self, direction_rad: f64) -> (f64, f64, f64) {
        if direction_rad < self.joint_rad {
            let centre = self.nose_centre_m;
            let (along, beside) = (centre * direction_rad.cos(), centre * direction_rad.sin());
            (self.nose_radius_m, along, beside)
        } else if direction_rad < self.half_event_rad {
            let out = self.flank_radius_m - self.base_radius_m;
            let off = self.half_event_rad - direction_rad;
            (self.flank_radius_m, -out * off.cos(), out * off.sin())
        } else {
            (self.base_radius_m, 0.0, 0.0)
        }
    }

    /// Under a flat follower whose face lies square to the direction, rad from the nose.
    ///
    /// # Formula
    /// With s the lift, `Rb + s` the height of the face above the axis and ' the derivative by the cam's angle: radius
    /// `Rb + s + s''`; the cam's surface runs through the contact at `w (Rb + s + s'')`, the follower's at `w s''`, so
    /// that it slides at `w (Rb + s)` and draws in at `w (Rb + s + 2 s'') / 2` (seen in a paper on cam noses).
    pub fn under_flat(&self, direction_rad: f64) -> CamPoint {
        let (radius_m, along, _) = self.arc(direction_rad);
        CamPoint {
            radius_m,
            turned_per_direction: 1.0,
            cam_per_rad_m: radius_m,
            follower_per_rad_m: -along,
        }
    }

    /// Under a roller on a slide through the cam's axis, where the cam's surface has a direction, rad from the nose.
    ///
    /// # Formula
    /// The roller's middle lies `r + q` beyond the middle of the arc, q the roller's radius and r the arc's; it moves
    /// round the axis by `(r + q)(c + r + q) / P^2` per turn of the direction, c the distance of the arc's middle along
    /// the direction and P that of the roller's middle from the axis (geometry, ours).
    pub fn under_roller(&self, direction_rad: f64, roller_radius_m: f64) -> CamPoint {
        let (radius_m, along, beside) = self.arc(direction_rad);
        let offset = radius_m + roller_radius_m;
        let away = (along + offset).powi(2) + beside * beside;
        let turned_per_direction = offset * (along + offset) / away;
        let rolling = radius_m / turned_per_direction;
        CamPoint {
            radius_m,
            turned_per_direction,
            cam_per_rad_m: rolling,
            follower_per_rad_m: rolling,
        }
    }

    /// Greatest angle between a roller's slide and the direction of the contact, rad.
    pub fn greatest_pressure_angle_rad(&self, roller_radius_m: f64) -> f64 {
        let angle = |direction: f64| {
            let (radius, along, beside) = self.arc(direction);
            beside.atan2(along + radius + roller_radius_m)
        };
        let strips = self.strips();
        strips.into_iter().map(|(at, _)| angle(at)).fold(0.0, f64::max)
    }

    /// Middles of narrow strips of nose and flank with their widths, rad.
    fn strips(&self) -> Vec<(f64, f64)> {
        let arcs = [(0.0, self.joint_rad), (self.joint_rad, self.half_event_rad)];
        let strip = |(from, to): (f64, f64), i: u32| {
            let width = (to - from) / f64::from(STRIPS);
            (from + width * (f64::from(i) + 0.5), width)
        };
        arcs.into_iter()
            .flat_map(|arc| (0..STRIPS).map(move |i| strip(arc, i)))
            .collect()
    }

    /// Mean over the time of the lift of a quantity of the points under a follower.
    pub fn mean(&self, point: impl Fn(f64) -> CamPoint, quantity: impl Fn(&CamPoint) -> f64) -> f64 {
        let (mut sum, mut time) = (0.0, 0.0);
        for (direction, width) in self.strips() {
            let point = point(direction);
            sum += quantity(&point) * point.turned_per_direction * width;
            time += point.turned_per_direction * width;
        }
        sum / time
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cam() -> Cam {
        Cam::new(18e-3, 9.4e-3, 6e-3, 75f64.to_radians()).unwrap()
    }

    /// Lift by its height above the axis, differentiated by small differences.
    #[test]
    fn the_follower_speed_is_the_second_derivative_of_the_lift() {
        let cam = cam();
        let height = |at: f64| {
            let (radius, along, _) = cam.arc(at);
            radius + along
        };
        for at in [0.1, 0.4, 0.9, 1.2] {
            let step = 1e-4;
            let second = (height(at + step) - 2.0 * height(at) + height(at - step)) / (step * step);
            let point = cam.under_flat(at);
            assert!((second - point.follower_per_rad_m).abs() < 1e-6, "{at}: {second}");
            assert!((point.radius_m - height(at) - second).abs() < 1e-6);
        }
    }

    #[test]
    fn nose_flank_and_base_circle_meet_without_a_step() {
        let cam = cam();
        for joint in [cam.joint_rad, cam.half_event_rad] {
            let height = |at: f64| {
                let (radius, along, beside) = cam.arc(at);
                (radius + along, beside)
            };
            let (below, above) = (height(joint - 1e-9), height(joint + 1e-9));
            assert!((below.0 - above.0).abs() < 1e-9 && (below.1 - above.1).abs() < 1e-9);
        }
        assert!(
            (cam.under_flat(0.0).radius_m - cam.under_flat(0.0).follower_per_rad_m - 27.4e-3).abs() < 1e-12
        );
    }

    #[test]
    fn a_round_base_turns_under_a_roller_at_its_own_speed() {
        let point = cam().under_roller(2.0, 9e-3);
        assert_eq!((point.turned_per_direction, point.cam_per_rad_m), (1.0, 18e-3));
    }

    /// The time of the lift: the cam turns from the nose to the start of the lift, whatever the follower.
    #[test]
    fn a_roller_is_lifted_for_the_same_angle_as_a_flat() {
        let cam = cam();
        let turned: f64 = cam
            .strips()
            .into_iter()
            .map(|(at, width)| cam.under_roller(at, 9e-3).turned_per_direction * width)
            .sum();
        assert!((turned - cam.half_event_rad).abs() < 1e-5, "{turned}");
    }

    #[test]
    fn flanks_that_would_be_hollow_are_refused() {
        let refused = Cam::new(18e-3, 9.4e-3, 13.7e-3, 60f64.to_radians());
        assert!(matches!(
            refused,
            Err(ContactError::Field {
                field: "half_event_deg",
                ..
            })
        ));
        let refused = Cam::new(18e-3, 9.4e-3, 19e-3, 1.2);
        assert!(matches!(
            refused,
            Err(ContactError::Field {
                field: "nose_radius_m",
                ..
            })
        ));
    }
}
