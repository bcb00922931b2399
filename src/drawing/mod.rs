//! A contact drawn to scale: its bodies in section with their dimensions, and the area that carries the load, magnified.

mod gears;
mod pairs;
mod round;
mod scene;

use crate::catalogue::{Method, MethodContact};
use crate::charts::{AreaChart, AreaShape, ClassForm, Heads, SectionChart, Svg, length};
use crate::contact::depicted::{Bodies, ContactArea};
use crate::contact::element::Load;
use crate::contact::preset::MachinePreset;
use crate::contact::terms::{Motion, ShapeClass};
use crate::units::{DisplayPreferences, Unit};
use scene::Scene;

/// The drawings of one contact with the numbers that stand in them.
#[derive(Clone, Debug, PartialEq)]
pub struct ContactDrawing {
    section: Option<SectionChart>,
    area: AreaChart,
    /// What the section shows, for those who hear the page.
    words: String,
    /// What every number in the drawings is, and the number.
    pub numbers: Vec<(String, String)>,
}

/// What a contact is drawn from.
struct Drawn {
    bodies: Bodies,
    area: ContactArea,
    load_n: Option<f64>,
    motion: Option<Motion>,
}

impl ContactDrawing {
    /// The bodies in section; `None` where the geometry is not known.
    pub fn section(&self) -> Option<Svg> {
        self.section.as_ref().map(|chart| chart.draw(&self.words))
    }

    /// The area of contact, magnified.
    pub fn area(&self) -> Svg {
        self.area.draw(&self.area_words())
    }

    fn area_words(&self) -> String {
        let texts: Vec<String> = self.area.texts().collect();
        format!("Area of contact: {}", texts.join("; "))
    }

    fn new(drawn: &Drawn, shown: DisplayPreferences) -> Self {
        let say = Say {
            load_n: drawn.load_n,
            shown,
        };
        let scene = Scene::of(&drawn.bodies, say);
        let area = area_chart(drawn, shown);
        let known = scene.is_some();
        let (section, mut numbers) = scene.map_or((None, Vec::new()), |scene| {
            let (chart, numbers) = scene.finish();
            (Some(chart), numbers)
        });
        if let Some(load) = say.load().filter(|_| known) {
            numbers.push(("load on this contact".to_string(), load));
        }
        let words = if known {
            let list: Vec<String> = numbers
                .iter()
                .map(|(label, value)| format!("{label} {value}"))
                .collect();
            format!(
                "{}, in section to scale: {}",
                what(&drawn.bodies),
                list.join(", ")
            )
        } else {
            String::new()
        };
        numbers.extend(area_numbers(drawn.area, shown));
        Self {
            section,
            area,
            words,
            numbers,
        }
    }
}

/// What a section says besides lengths: its load, and how numbers are written.
#[derive(Clone, Copy)]
struct Say {
    load_n: Option<f64>,
    shown: DisplayPreferences,
}

impl Say {
    /// The load with its unit.
    fn load(self) -> Option<String> {
        let newton = self.shown.in_unit(Unit::Newton);
        self.load_n.map(|load_n| newton.words(load_n))
    }
}

/// The drawing of one contact of a method, at the load of its first quantity.
pub fn drawing_of_contact(
    method: &Method,
    contact: &MethodContact,
    shown: DisplayPreferences,
) -> ContactDrawing {
    let drawn = match contact {
        MethodContact::Stated(stated) => Drawn {
            bodies: Bodies::NotKnown,
            area: ContactArea::Class(stated.shape),
            load_n: None,
            motion: stated.motion,
        },
        MethodContact::Rig {
            element,
            surroundings,
            load,
        } => {
            let steps = method.quantities.iter().map(|quantity| quantity.scale.steps());
            let middle = |steps: &[f64]| steps.get(steps.len() / 2).copied();
            let nominal = method.quantities.iter().filter_map(|quantity| quantity.nominal);
            let candidates = nominal.chain(steps.filter_map(middle));
            let loading: Option<Load> = load
                .load(None)
                .or_else(|| candidates.filter_map(|step| load.load(Some(step))).next());
            let fresh = loading.and_then(|load| element.fresh_contact(&load, surroundings.materials).ok());
            Drawn {
                bodies: element.bodies(),
                area: fresh.map_or(ContactArea::Class(None), |fresh| fresh.area()),
                load_n: fresh.map(|fresh| fresh.load_n()),
                motion: Some(surroundings.motion),
            }
        }
    };
    ContactDrawing::new(&drawn, shown)
}

/// The drawing of a machine's contact at the severe end of its duty.
pub fn drawing_of_preset(preset: &MachinePreset, shown: DisplayPreferences) -> ContactDrawing {
    ContactDrawing::new(
        &Drawn {
            bodies: preset.bodies(),
            area: preset.area(),
            load_n: preset.severe_load_n(),
            motion: preset.motion(),
        },
        shown,
    )
}

fn what(bodies: &Bodies) -> String {
    match bodies {
        Bodies::FourBalls { .. } => "A ball turning on three balls".to_string(),
        Bodies::Pair { upper, lower, .. } => format!("{} on {}", capital(upper.name), lower.name),
        Bodies::Gears(_) => "Two gears in mesh".to_string(),
        Bodies::BetweenRings { element, .. } => format!("{}s between two rings", capital(element)),
        Bodies::BetweenWashers { element, .. } => format!("{}s between two washers", capital(element)),
        Bodies::Worm { .. } => "A worm above its wheel".to_string(),
        Bodies::InBush { inner, .. } => format!("{} in a bush", capital(inner)),
        Bodies::FlatOnFlat { upper, lower, .. } => format!("{} on {lower}", capital(upper)),
        Bodies::Pad { .. } => "A pad on its plate".to_string(),
        Bodies::Cam(_) => "A cam under its follower".to_string(),
        Bodies::CrossedWires { .. } => "Two wires that cross".to_string(),
        Bodies::NotKnown => "A contact whose geometry is not known".to_string(),
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn area_chart(drawn: &Drawn, shown: DisplayPreferences) -> AreaChart {
    let form = match drawn.area {
        ContactArea::Ellipse { along_m, across_m } => AreaShape::Ellipse { along_m, across_m },
        ContactArea::Strip { along_m, across_m } => AreaShape::Strip { along_m, across_m },
        ContactArea::Rectangle { along_m, across_m } => AreaShape::Rectangle { along_m, across_m },
        ContactArea::Ring { outer_m, inner_m } => AreaShape::Ring { outer_m, inner_m },
        ContactArea::Class(class) => AreaShape::Class(match class {
            Some(ShapeClass::Point) => ClassForm::Point,
            Some(ShapeClass::Elliptical) => ClassForm::Elliptical,
            Some(ShapeClass::Line) => ClassForm::Line,
            Some(ShapeClass::Conformal) => ClassForm::Conformal,
            None => ClassForm::Unknown,
        }),
    };
    let notes: Vec<String> = match drawn.area {
        ContactArea::Class(class) => {
            let class = class.map_or("not known", ShapeClass::word);
            let geometry = (drawn.bodies == Bodies::NotKnown).then(|| "geometry not known".to_string());
            let form = format!("form of the contact: {class}; size not known");
            geometry.into_iter().chain([form]).collect()
        }
        ContactArea::Strip { .. } => vec!["arrow: motion, across the line of contact".to_string()],
        _ => vec!["arrow: motion".to_string()],
    };
    let inside: &[&str] = match (drawn.area, drawn.bodies == Bodies::NotKnown) {
        (ContactArea::Class(_), true) => &["stated", "by its", "numbers,", "not by its", "geometry"],
        _ => &[],
    };
    AreaChart {
        form,
        inside: inside.iter().map(ToString::to_string).collect(),
        shown,
        motion: match drawn.motion {
            Some(Motion::Reversing | Motion::Fretting) => Heads::Both,
            _ => Heads::One,
        },
        notes,
    }
}

/// The sizes of the area in words.
fn area_numbers(area: ContactArea, shown: DisplayPreferences) -> Vec<(String, String)> {
    let row = |label: &str, metres: f64| (label.to_string(), length(metres, shown));
    match area {
        ContactArea::Ellipse { along_m, across_m } if along_m == across_m => {
            vec![row("radius of the contact", 0.5 * along_m)]
        }
        ContactArea::Ellipse { along_m, across_m } => vec![
            row("half-width of the contact along the motion", 0.5 * along_m),
            row("whole width of the contact across it", across_m),
        ],
        ContactArea::Strip { along_m, across_m } => vec![
            row("half-width of the contact", 0.5 * along_m),
            row("length of the contact", across_m),
        ],
        ContactArea::Rectangle { along_m, across_m } => vec![
            row("area along the motion", along_m),
            row("area across it", across_m),
        ],
        ContactArea::Ring { outer_m, inner_m } => vec![
            row("outside diameter of the land", outer_m),
            row("inside diameter of the land", inner_m),
        ],
        ContactArea::Class(_) => Vec::new(),
    }
}

#[cfg(test)]
mod samples;
#[cfg(test)]
mod tests;
