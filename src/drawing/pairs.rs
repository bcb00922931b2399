//! Sections of one body above another.

use crate::charts::{Shape, disc};
use crate::contact::depicted::{Moves, Surface};
use crate::drawing::Say;
use crate::drawing::scene::Scene;
use std::f64::consts::PI;

/// A body this many times as large as the smaller one is drawn cut off.
const WHOLE: f64 = 4.0;

/// How far a body reaches from the contact before it is cut off, the smaller radius of both given.
fn reach(surface: Surface, small: f64) -> f64 {
    let size = surface.radius_m.abs();
    if !size.is_finite() {
        0.8 * small
    } else if surface.radius_m < 0.0 {
        // The wall of a hollow, on the far side of the contact.
        0.2 * size.min(WHOLE * small)
    } else if size <= WHOLE * small {
        2.05 * size
    } else {
        1.6 * small
    }
}

/// One body above another, both touching at the origin.
pub(super) fn pair(upper: Surface, lower: Surface, stroke_m: Option<f64>, say: Say) -> Scene {
    let sizes = [upper, lower].map(|surface| surface.radius_m.abs());
    let finite = sizes.into_iter().filter(|size| size.is_finite());
    let small = finite.clone().fold(f64::INFINITY, f64::min);
    let small = if small.is_finite() { small } else { 1e-2 };
    let great = finite.filter(|size| *size <= WHOLE * small).fold(small, f64::max);
    let stroke = stroke_m.unwrap_or(0.0);
    let hollow = |surface: Surface| surface.radius_m < 0.0 && surface.radius_m.abs() <= WHOLE * small;
    let margin = if hollow(lower) { 1.2 } else { 1.1 };
    let half = (margin * great).max(1.8 * small).max(0.5 * stroke + 1.1 * small);
    let mut top = reach(upper, small);
    if hollow(lower) {
        top = top.max(2.2 * lower.radius_m.abs());
    }
    let mut scene = Scene::new([-half, half, -reach(lower, small), top], say);
    put(&mut scene, lower, -1.0);
    put(&mut scene, upper, 1.0);
    if stroke > 0.0 {
        for x in [-0.5 * stroke, 0.5 * stroke] {
            let outline = disc((x, upper.radius_m), upper.radius_m, scene.window());
            scene.shape(Shape::Behind(outline));
        }
        scene.slide(
            (0.0, upper.radius_m),
            (0.5 * stroke).max(0.55 * small),
            upper.moves,
        );
    } else {
        moving(&mut scene, upper, 1.0, small);
    }
    moving(&mut scene, lower, -1.0, small);
    scene.shape(Shape::Touch((0.0, 0.0)));
    for surface in [upper, lower] {
        measure(&mut scene, surface, if surface == upper { 1.0 } else { -1.0 });
    }
    if stroke > 0.0 {
        scene.across("stroke", (-0.5 * stroke, 0.0), (0.5 * stroke, 0.0));
    }
    let reaches = if upper.radius_m.is_finite() {
        (2.0 * upper.radius_m).min(top)
    } else {
        top
    };
    scene.load((0.0, reaches));
    scene
}

/// A body above (`way` 1) or below (-1) the contact.
fn put(scene: &mut Scene, surface: Surface, way: f64) {
    let radius = surface.radius_m;
    let [left, right, bottom, top] = scene.window();
    if radius.is_infinite() {
        let far = way * 4.0 * (top - bottom);
        let wide = 2.0 * (right - left);
        scene.block(wide, 0.0, far);
        scene.note(format!("flat {}, cut off", surface.name));
    } else if radius < 0.0 {
        scene.shape(Shape::Hollow((0.0, way * radius), -radius));
    } else {
        scene.round(way * radius, radius);
    }
}

/// The arrow of a body that turns or slides; both surfaces then move to the right at the contact.
fn moving(scene: &mut Scene, surface: Surface, way: f64, small: f64) {
    let radius = surface.radius_m;
    if radius > 0.0 && radius <= WHOLE * small && surface.moves != Moves::SlidesOneWay {
        let middle = (0.0, way * radius);
        let towards = -way * 0.5 * PI;
        scene.turn(
            middle,
            0.6 * radius,
            towards - way * 1.1,
            towards + way * 1.1,
            surface.moves,
        );
    } else {
        let depth = if radius < 0.0 {
            0.09 * radius.abs()
        } else {
            0.45 * small
        };
        scene.slide((0.0, way * depth.min(0.5 * small)), 0.6 * small, surface.moves);
    }
}

fn measure(scene: &mut Scene, surface: Surface, way: f64) {
    let radius = surface.radius_m;
    if radius.is_finite() {
        let (size, y) = (radius.abs(), way * radius);
        scene.across(&format!("{} diameter", surface.name), (-size, y), (size, y));
    }
}

/// A roller or ball between two washers.
pub(super) fn between_washers(element: &str, diameter_m: f64, mean_diameter_m: f64, say: Say) -> Scene {
    let (d, radius) = (diameter_m, 0.5 * diameter_m);
    let mut scene = Scene::new([-1.4 * d, 1.4 * d, -0.45 * d, 1.45 * d], say);
    let wide = 3.0 * d;
    for (near, far) in [(0.0, -d), (d, 2.0 * d)] {
        scene.block(wide, near, far);
    }
    scene.round(radius, radius);
    scene.turn((0.0, radius), 0.6 * radius, 0.8 * PI, 0.2 * PI, Moves::OneWay);
    scene.slide((-0.7 * d, 1.22 * d), 0.4 * d, Moves::OneWay);
    scene.shape(Shape::Touch((0.0, 0.0)));
    scene.shape(Shape::Touch((0.0, d)));
    scene.across(
        &format!("{element} diameter"),
        (-radius, radius),
        (radius, radius),
    );
    scene.load((0.0, 1.45 * d));
    scene.note("flat washers, cut off");
    scene.told(
        &format!("mean diameter of the {element}s' circle"),
        mean_diameter_m,
    );
    scene
}

/// A flat body on a longer one.
pub(super) fn flat_on_flat(upper: &str, length_m: f64, lower: &str, moves: Moves, say: Say) -> Scene {
    let (half, high) = (0.5 * length_m, 0.3 * length_m);
    let mut scene = Scene::new([-1.6 * half, 1.6 * half, -0.5 * high, high], say);
    let wide = 4.0 * half;
    scene.block(wide, 0.0, -high);
    let tall = 2.0 * high;
    scene.block(half, 0.0, tall);
    scene.slide((-0.5 * half, 0.45 * high), 0.3 * half, moves);
    scene.across(&format!("length of the {upper}"), (-half, 0.0), (half, 0.0));
    scene.load((0.0, high));
    scene.note(format!("{upper} and {lower} cut off"));
    scene
}

/// A pad with a pocket on a plate.
pub(super) fn pad(outer_m: f64, inner_m: f64, pitch_diameter_m: f64, say: Say) -> Scene {
    let (outer, inner) = (0.5 * outer_m, 0.5 * inner_m);
    let (high, pocket) = (0.8 * outer, 0.12 * outer);
    let mut scene = Scene::new([-1.5 * outer, 1.5 * outer, -0.4 * outer, high], say);
    let wide = 4.0 * outer;
    scene.block(wide, 0.0, -outer);
    let (tall, top) = (2.0 * high, pocket);
    scene.shape(Shape::Body(vec![
        (-outer, 0.0),
        (-inner, 0.0),
        (-inner, top),
        (inner, top),
        (inner, 0.0),
        (outer, 0.0),
        (outer, tall),
        (-outer, tall),
    ]));
    scene.slide((-0.5 * outer, 0.45 * high), 0.3 * outer, Moves::OneWay);
    scene.across("inside diameter of the land", (-inner, 0.0), (inner, 0.0));
    scene.across("outside diameter of the land", (-outer, 0.0), (outer, 0.0));
    scene.load((0.0, high));
    scene.note("pad and plate cut off; pocket depth not known");
    scene.told("diameter of the pads' circle", pitch_diameter_m);
    scene
}
