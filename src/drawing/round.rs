//! Sections of round bodies: balls, bearings, worm, bush, cam, wires.

use crate::charts::{Arrow, Heads, Place, Shape, arc, circle, disc};
use crate::contact::depicted::{CamOutline, Moves};
use crate::drawing::Say;
use crate::drawing::scene::Scene;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// One ball on three: the section holds the axis and one lower ball; the other two are seen beside it as one.
pub(super) fn four_balls(diameter_m: f64, say: Say) -> Scene {
    let (d, radius) = (diameter_m, 0.5 * diameter_m);
    let (out, down) = (d / 3f64.sqrt(), d * (2.0 / 3.0f64).sqrt());
    let lower = (out, -down);
    let other = (-0.5 * out, -down);
    let margin = 0.04 * d;
    let mut scene = Scene::new(
        [
            other.0 - radius - margin,
            lower.0 + radius + margin,
            -down - radius - margin,
            radius + margin,
        ],
        say,
    );
    let window = scene.window();
    scene.shape(Shape::Behind(circle(other, radius, window)));
    scene.shape(Shape::Body(disc(lower, radius, window)));
    scene.round(0.0, radius);
    scene.shape(Shape::Guide(vec![(0.0, radius), (0.0, -down - radius)]));
    let touch = (0.5 * out, -0.5 * down);
    scene.shape(Shape::Touch(touch));
    let half_axes = [0.55 * radius, 0.18 * radius];
    scene.arrow(Arrow {
        path: arc((0.0, 0.45 * radius), half_axes, [1.15 * PI, 1.85 * PI], 16),
        heads: Heads::One,
    });
    scene.across("circle of contact", (-touch.0, touch.1), touch);
    scene.across(
        "ball diameter",
        (lower.0 - radius, -down),
        (lower.0 + radius, -down),
    );
    scene.force((0.0, 0.0), touch);
    scene.note("thin line: the two other lower balls, beside it");
    scene
}

/// Balls or rollers between two rings; the most loaded one is at the bottom.
pub(super) fn between_rings(
    element: &str,
    [element_m, pitch_m]: [f64; 2],
    elements: Option<u32>,
    moves: Moves,
    say: Say,
) -> Scene {
    let (radius, orbit) = (0.5 * element_m, 0.5 * pitch_m);
    let (inner, outer) = (orbit - radius, orbit + radius);
    let half = 1.15 * outer;
    let mut scene = Scene::new([-half, half, -half, half], say);
    let window = scene.window();
    scene.shape(Shape::Hollow((0.0, 0.0), outer));
    scene.round(0.0, inner);
    let count = elements.unwrap_or(1);
    for place in 0..count {
        let angle = -FRAC_PI_2 + TAU * f64::from(place) / f64::from(count);
        let middle = (orbit * angle.cos(), orbit * angle.sin());
        scene.shape(Shape::Body(disc(middle, radius, window)));
    }
    scene.shape(Shape::Guide(circle((0.0, 0.0), orbit, window)));
    scene.shape(Shape::Touch((0.0, -inner)));
    scene.shape(Shape::Touch((0.0, -outer)));
    scene.turn((0.0, 0.0), 0.7 * inner, 0.2 * PI, 0.8 * PI, moves);
    scene.across(
        &format!("{element} diameter"),
        (-radius, -orbit),
        (radius, -orbit),
    );
    scene.across("pitch diameter", (-orbit, 0.0), (orbit, 0.0));
    scene.force((0.0, 0.35 * inner), (0.0, -inner));
    scene.note("thickness of the rings not known");
    scene
}

/// A worm above the rim of its wheel, across the worm's axis.
pub(super) fn worm(worm_m: f64, wheel_m: f64, face_m: f64, say: Say) -> Scene {
    let radius = 0.5 * worm_m;
    let half = (1.15 * radius).max(0.6 * face_m);
    let mut scene = Scene::new([-half, half, -worm_m.min(wheel_m), worm_m], say);
    let side = 0.5 * face_m;
    scene.block(side, 0.0, -1.5 * wheel_m.max(worm_m));
    scene.round(radius, radius);
    scene.turn((0.0, radius), 0.6 * radius, 1.1 * PI, 1.9 * PI, Moves::OneWay);
    scene.shape(Shape::Touch((0.0, 0.0)));
    scene.across("wheel face width", (-side, 0.0), (side, 0.0));
    scene.across("worm pitch diameter", (-radius, radius), (radius, radius));
    scene.upright("wheel pitch diameter", (side, -wheel_m), (side, 0.0));
    scene.load((0.0, worm_m));
    scene.note("pitch cylinders, without thread and teeth");
    scene.note("the load is the normal force on the flanks");
    scene
}

/// A pin or journal in its bush.
pub(super) fn in_bush(
    inner: &str,
    diameter_m: f64,
    clearance_m: Option<f64>,
    moves: Moves,
    say: Say,
) -> Scene {
    let radius = 0.5 * diameter_m;
    let clearance = clearance_m.unwrap_or(0.0);
    let half = 1.2 * radius;
    let mut scene = Scene::new([-half, half, -half, half], say);
    scene.shape(Shape::Hollow((0.0, clearance), radius + clearance));
    scene.round(0.0, radius);
    scene.shape(Shape::Touch((0.0, -radius)));
    scene.turn((0.0, 0.0), 0.7 * radius, 0.2 * PI, 0.8 * PI, moves);
    scene.across(&format!("{inner} diameter"), (-radius, 0.0), (radius, 0.0));
    scene.force((0.0, 0.35 * radius), (0.0, -radius));
    match clearance_m {
        Some(clearance) => scene.told("radial clearance", clearance),
        None => scene.note("clearance not known"),
    }
    scene.note("thickness of the bush not known");
    scene
}

/// A cam of circular arcs, its nose up, under a flat or a roller.
pub(super) fn cam(cam: &CamOutline, say: Say) -> Scene {
    let top = cam.nose_centre_m + cam.nose_radius_m;
    let base = cam.base_radius_m;
    let roller = cam.follower_radius_m;
    let (above, half) = if roller.is_finite() {
        (top + 2.0 * roller, base.max(roller))
    } else {
        (top + 0.5 * base, 1.2 * base)
    };
    let mut scene = Scene::new([-1.2 * half, 1.2 * half, -1.05 * base, above], say);
    let window = scene.window();
    if roller.is_finite() {
        scene.round(top + roller, roller);
        scene.turn(
            (0.0, top + roller),
            0.6 * roller,
            1.2 * PI,
            1.8 * PI,
            Moves::OneWay,
        );
    } else {
        let (wide, far) = (base, top + 2.0 * base);
        scene.block(wide, top, far);
    }
    scene.shape(Shape::Body(profile(cam)));
    scene.shape(Shape::Guide(circle((0.0, 0.0), base, window)));
    scene.turn((0.0, 0.0), 0.6 * base, 1.8 * PI, 1.2 * PI, Moves::OneWay);
    scene.shape(Shape::Touch((0.0, top)));
    let nose = cam.nose_radius_m;
    scene.across("nose radius", (0.0, cam.nose_centre_m), (nose, cam.nose_centre_m));
    scene.across("base circle diameter", (-base, 0.0), (base, 0.0));
    scene.upright("lift", (0.0, base), (0.0, top));
    if roller.is_finite() {
        let y = top + roller;
        scene.across("roller diameter", (-roller, y), (roller, y));
    } else {
        scene.note("flat follower, cut off");
    }
    scene.load((0.0, above));
    scene.told("flank radius", cam.flank_radius_m);
    scene
}

/// The outline of a cam, against the clock from the right end of the base circle's arc.
fn profile(cam: &CamOutline) -> Vec<Place> {
    let flank_out = cam.flank_radius_m - cam.base_radius_m;
    let half = cam.half_event_rad;
    // The flank's middle lies beyond the axis from the point where it leaves the base circle.
    let flank = (-flank_out * half.sin(), -flank_out * half.cos());
    let joint = (-flank.0).atan2(cam.nose_centre_m - flank.1);
    let side: Vec<Place> = arc_from_top(flank, cam.flank_radius_m, half, joint)
        .chain(arc_from_top(
            (0.0, cam.nose_centre_m),
            cam.nose_radius_m,
            joint,
            0.0,
        ))
        .collect();
    let mirrored = side.iter().rev().map(|(x, y)| (-x, *y));
    let base = arc_from_top((0.0, 0.0), cam.base_radius_m, -half, half - TAU);
    side.iter().copied().chain(mirrored).chain(base).collect()
}

/// Points of an arc by the angle of its normal from straight up, to the right.
fn arc_from_top(middle: Place, radius: f64, from: f64, to: f64) -> impl Iterator<Item = Place> {
    (0..=40).map(move |i| {
        let angle = from + (to - from) * f64::from(i) / 40.0;
        (middle.0 + radius * angle.sin(), middle.1 + radius * angle.cos())
    })
}

/// Two wires that cross, cut across the upper one: the lower one's section is an ellipse.
pub(super) fn crossed_wires(diameter_m: f64, crossing_deg: f64, say: Say) -> Scene {
    let radius = 0.5 * diameter_m;
    let half = 2.6 * radius;
    let mut scene = Scene::new([-half, half, -2.1 * radius, 2.0 * radius], say);
    let long = (radius / crossing_deg.to_radians().cos().abs().max(1e-6)).min(100.0 * radius);
    let oval = arc((0.0, -radius), [long, radius], [0.0, TAU], 720);
    scene.shape(Shape::Body(oval[..720].to_vec()));
    scene.round(radius, radius);
    scene.shape(Shape::Touch((0.0, 0.0)));
    scene.slide((0.0, radius), 0.6 * radius, Moves::ToAndFro);
    scene.across("wire diameter", (-radius, radius), (radius, radius));
    scene.load((0.0, 2.0 * radius));
    scene.note(format!(
        "crossing at {}°: the lower wire is cut aslant",
        say.shown.number(crossing_deg)
    ));
    scene
}
