//! Every method and every preset has its drawing, whose texts neither meet nor leave it.

use super::*;
use crate::catalogue::built_in;
use crate::charts::TextBox;
use crate::units::DisplayPreferences;

impl ContactDrawing {
    /// Every text of both drawings where it stands, each with the drawing's width and height.
    fn text_boxes(&self) -> Vec<((f64, f64), Vec<TextBox>)> {
        let section = self
            .section
            .iter()
            .map(|chart| (chart.size(), chart.text_boxes()));
        let area = std::iter::once((self.area.size(), self.area.text_boxes()));
        section.chain(area).collect()
    }
}

/// Each drawing with a name for a failure: every contact of every built-in method, one contact of every preset.
fn all() -> Vec<(String, ContactDrawing)> {
    let mut list = Vec::new();
    for method in built_in() {
        for contact in &method.contacts {
            list.push((
                method.id.to_string(),
                drawing_of_contact(method, &contact.contact, DisplayPreferences::default()),
            ));
        }
    }
    for (word, json) in samples::SAMPLES {
        let preset = MachinePreset::parse(word, json).unwrap_or_else(|fault| panic!("{word}: {fault}"));
        list.push((
            word.to_string(),
            drawing_of_preset(&preset, DisplayPreferences::default()),
        ));
    }
    list
}

#[test]
fn every_preset_has_a_sample_here_and_all_but_the_stated_one_a_section() {
    let words: Vec<_> = samples::SAMPLES.iter().map(|(word, _)| *word).collect();
    for word in MachinePreset::WORDS {
        assert!(words.contains(word), "{word} has no sample");
    }
    for (name, drawing) in all()
        .into_iter()
        .filter(|(name, _)| words.contains(&name.as_str()))
    {
        assert_eq!(drawing.section().is_some(), name != "stated", "{name}");
    }
}

#[test]
fn no_text_meets_another_or_leaves_its_drawing() {
    for (name, drawing) in all() {
        for ((width, height), texts) in drawing.text_boxes() {
            for (place, text) in texts.iter().enumerate() {
                let [left, top, right, bottom] = text.sides;
                let inside = left >= 0.0 && top >= 0.0 && right <= width && bottom <= height;
                assert!(
                    inside,
                    "{name}: '{}' leaves {width} by {height}: {:?}",
                    text.words, text.sides
                );
                for other in &texts[..place] {
                    let [l, t, r, b] = other.sides;
                    let apart = right <= l || r <= left || bottom <= t || b <= top;
                    assert!(apart, "{name}: '{}' meets '{}'", text.words, other.words);
                }
            }
        }
    }
}

#[test]
fn drawings_hold_no_colours_and_nothing_that_is_no_number() {
    for (name, drawing) in all() {
        let section = drawing.section().map(|svg| svg.to_string()).unwrap_or_default();
        for svg in [section, drawing.area().to_string()] {
            assert!(!svg.contains("NaN") && !svg.contains("=\"#"), "{name}");
            assert!(
                svg.is_empty() || svg.contains("role=\"img\" aria-label="),
                "{name}"
            );
        }
    }
}

#[test]
fn every_number_of_a_section_stands_in_the_list_beside_it() {
    for (name, drawing) in all() {
        let texts = drawing.text_boxes().swap_remove(0).1;
        for text in texts.iter().filter(|_| drawing.section.is_some()) {
            let numbered =
                text.words.ends_with("mm") || text.words.ends_with("µm") || text.words.ends_with(" N");
            let listed = drawing
                .numbers
                .iter()
                .any(|(_, value)| text.words.ends_with(value.as_str()));
            assert!(!numbered || listed, "{name}: {}", text.words);
        }
    }
}

#[test]
fn a_stated_contact_says_that_its_geometry_is_not_known() {
    let preset = MachinePreset::parse("stated", r#"{"shape":"line"}"#).unwrap();
    let drawing = drawing_of_preset(&preset, DisplayPreferences::default());
    assert!(drawing.section().is_none() && drawing.numbers.is_empty());
    let area = drawing.area().to_string();
    assert!(
        area.contains("geometry not known") && area.contains("form of the contact: line; size not known")
    );
}

/// 12.7 mm balls: circle of contact 12.7 / sqrt 3 (geometry) = 7.332 mm.
#[test]
fn four_balls_show_ball_and_circle_of_contact() {
    let (_, drawing) = all()
        .into_iter()
        .find(|(name, _)| name == "fb_wear_oil_A")
        .unwrap();
    let value = |label: &str| {
        &drawing
            .numbers
            .iter()
            .find(|(known, _)| known == label)
            .unwrap()
            .1
    };
    assert_eq!(value("ball diameter"), "12.7 mm");
    assert_eq!(value("circle of contact"), "7.33 mm");
}
