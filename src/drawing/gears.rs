//! The section of a gear pair, teeth of involute flanks that touch at the pitch point.

use crate::charts::{Place, Shape, circle};
use crate::contact::depicted::{Gears, Moves};
use crate::drawing::Say;
use crate::drawing::scene::Scene;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Bottom clearance over the module (common practice, no source).
const BOTTOM_CLEARANCE: f64 = 0.25;

/// One gear of a pair, its teeth as their half-angles need them.
struct Wheel {
    teeth: f64,
    base_m: f64,
    working_m: f64,
    tip_m: f64,
    root_m: f64,
    /// Half of a tooth on the working pitch circle, rad.
    half_tooth_rad: f64,
}

fn involute(angle: f64) -> f64 {
    angle.tan() - angle
}

/// Both gears. Tooth thickness follows from the tip diameters, read as addendum 1 with profile shift, and is set so that
/// both fill the working pitch circle without backlash (ours; it shows in the drawing alone).
fn wheels(gears: &Gears) -> [Wheel; 2] {
    let [z1, z2] = gears.teeth;
    let share = [z1 / (z1 + z2), z2 / (z1 + z2)];
    let alpha = gears.pressure_angle_rad;
    let reference = [z1, z2].map(|z| 0.5 * z * gears.module_m);
    let base = reference.map(|radius| radius * alpha.cos());
    let working = share.map(|share| share * gears.centre_distance_m);
    let working_angle = (base[0] / working[0]).min(1.0).acos();
    let half_tooth = |i: usize| {
        let teeth = [z1, z2][i];
        let shift = 0.5 * (gears.tip_diameters_m[i] / gears.module_m - teeth - 2.0);
        let at_reference = (FRAC_PI_2 + 2.0 * shift * alpha.tan()) / teeth;
        at_reference + involute(alpha) - involute(working_angle)
    };
    let both = [half_tooth(0), half_tooth(1)];
    // Half a pitch on the working circle is left for half of both teeth.
    let room = PI * working[0] / z1 - both[0] * working[0] - both[1] * working[1];
    [0, 1].map(|i| Wheel {
        teeth: gears.teeth[i],
        base_m: base[i],
        working_m: working[i],
        tip_m: 0.5 * gears.tip_diameters_m[i],
        root_m: gears.centre_distance_m
            - 0.5 * gears.tip_diameters_m[1 - i]
            - BOTTOM_CLEARANCE * gears.module_m,
        half_tooth_rad: both[i] + 0.5 * room / working[i],
    })
}

impl Wheel {
    /// Half of a tooth's angle at a radius; below the base circle the flank runs straight to the middle.
    fn half_angle(&self, radius: f64) -> f64 {
        let at = |radius: f64| involute((self.base_m / radius.max(self.base_m)).min(1.0).acos());
        self.half_tooth_rad + at(self.working_m) - at(radius)
    }

    /// The outline round a middle; one tooth's middle at an angle.
    fn outline(&self, middle: Place, start: f64) -> Vec<Place> {
        let steps = if self.teeth > 80.0 { 3 } else { 7 };
        let root = self.root_m.max(0.3 * self.tip_m);
        let radius = |i: i32| root + (self.tip_m - root) * f64::from(i) / f64::from(steps);
        let mut points = Vec::new();
        // Teeth are counted from the contact to both sides, so that what is no whole tooth lies opposite to it.
        let whole = self.teeth.floor() as i32;
        for tooth in -whole / 2..whole - whole / 2 {
            let at = start + TAU * f64::from(tooth) / self.teeth;
            let mut side = |i: i32, way: f64| {
                let angle = at + way * self.half_angle(radius(i)).max(0.0);
                points.push((
                    middle.0 + radius(i) * angle.cos(),
                    middle.1 + radius(i) * angle.sin(),
                ));
            };
            (0..=steps).for_each(|i| side(i, -1.0));
            (0..=steps).rev().for_each(|i| side(i, 1.0));
        }
        points
    }
}

/// The pinion at the left drives the wheel at the right.
pub(super) fn gears(gears: &Gears, say: Say) -> Scene {
    let [pinion, wheel] = wheels(gears);
    let distance = gears.centre_distance_m;
    let pitch = (pinion.working_m, 0.0);
    let small = pinion.tip_m.min(wheel.tip_m);
    let tall = 1.03 * pinion.tip_m.max(wheel.tip_m).min(2.4 * small);
    let mut scene = Scene::new(
        [
            (-1.03 * pinion.tip_m).max(pitch.0 - 5.0 * small),
            (distance + 1.03 * wheel.tip_m).min(pitch.0 + 5.0 * small),
            -tall,
            tall,
        ],
        say,
    );
    let window = scene.window();
    let middles = [(0.0, 0.0), (distance, 0.0)];
    scene.shape(Shape::Body(wheel.outline(middles[1], PI - wheel.half_tooth_rad)));
    scene.shape(Shape::Body(pinion.outline(middles[0], -pinion.half_tooth_rad)));
    for (wheel, middle) in [&pinion, &wheel].into_iter().zip(middles) {
        scene.shape(Shape::Guide(circle(middle, wheel.working_m, window)));
    }
    scene.shape(Shape::Touch(pitch));
    scene.turn(
        middles[0],
        0.55 * pinion.working_m,
        0.7 * PI,
        1.3 * PI,
        Moves::OneWay,
    );
    if distance < window[1] {
        let turn = 0.55 * wheel.working_m.min(2.0 * small);
        scene.turn(middles[1], turn, 0.3 * PI, -0.3 * PI, Moves::OneWay);
    } else {
        // The wheel's middle lies outside: its arrow runs behind its teeth.
        let (turn, half) = (wheel.root_m - 0.5 * small, 0.5 * small / wheel.root_m);
        scene.turn(middles[1], turn, PI + half, PI - half, Moves::OneWay);
    }
    scene.across("centre distance", middles[0], middles[1]);
    let tips = [("pinion tip diameter", &pinion), ("wheel tip diameter", &wheel)];
    for ((label, wheel), middle) in tips.into_iter().zip(middles) {
        scene.across(
            label,
            (middle.0 - wheel.tip_m, 0.0),
            (middle.0 + wheel.tip_m, 0.0),
        );
    }
    let angle = (pinion.base_m / pinion.working_m).min(1.0).acos();
    let along = (5.0 * gears.module_m).max(0.12 * (window[1] - window[0]));
    let from = (pitch.0 - along * angle.sin(), pitch.1 - along * angle.cos());
    scene.force(from, pitch);
    if gears.teeth.iter().any(|teeth| teeth.fract() != 0.0) {
        scene.note("the cylindrical pair for the bevel gears");
    }
    for (name, wheel) in [("pinion", &pinion), ("wheel", &wheel)] {
        let label = format!("{name} flank radius at the pitch point");
        scene.told(&label, wheel.working_m * angle.sin());
    }
    scene
}
