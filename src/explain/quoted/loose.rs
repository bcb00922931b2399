//! What data sheets write around a number, taken off before it is read: `ca.`, `min.`, `FLS 12`, a mass where a load stands.
//!
//! Only a quoted number is read so. A result that is kept is read as it stands: there a mass on a pan is no force.

use crate::catalogue::Quantity;
use crate::intake::read_number;
use crate::units::{Dimension, Unit};

/// A number with what stood around it taken off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Loosened {
    pub(super) text: String,
    /// How it was read where it could be read otherwise.
    pub(super) remarks: Vec<String>,
}

const ABOUT: [&str; 9] = [
    "~", "\u{2248}", "circa", "ca.", "ca", "approx.", "approx", "about", "typ.",
];
const LEAST: [&str; 4] = ["minimum", "at least", "min.", "min"];
const MOST: [&str; 4] = ["maximum", "at most", "max.", "max"];
const STAGES: [&str; 5] = ["failure load stage", "fail stage", "load stage", "fls", "stage"];
const SIGNS: [&str; 6] = [">=", "<=", "\u{2265}", "\u{2264}", ">", "<"];

/// The text as intake reads it.
pub(super) fn loosened(text: &str, quantity: &Quantity) -> Loosened {
    let plain = text.replace(['\u{a0}', '\u{202f}'], " ");
    let mut rest = plain.trim();
    let mut remarks = Vec::new();
    if let Some((word, after)) = behind(rest, &ABOUT) {
        remarks.push(format!("'{word}' sets no bound: read as the number itself."));
        rest = after;
    }
    if let Some((word, after)) = behind(rest, &LEAST).or_else(|| behind(rest, &MOST)) {
        remarks.push(promised(word));
        rest = after;
    } else if let Some((before, word)) = in_front_of(rest, quantity) {
        remarks.push(promised(word));
        rest = before;
    }
    let sign = SIGNS
        .into_iter()
        .find(|sign| rest.starts_with(sign))
        .unwrap_or("");
    let mut number = rest[sign.len()..].trim().to_string();
    if let Some((_, after)) = behind(&number, &STAGES) {
        number = format!("{after} stage");
    }
    if let Some((bare, word)) = unit_behind(&number) {
        let is_load = quantity.unit.dimension() == Dimension::Force;
        let force = match word.to_ascii_lowercase().as_str() {
            "kg" | "kgs" if is_load => Some(Unit::KilogramForce),
            "lb" | "lbs" if is_load => Some(Unit::PoundForce),
            _ => None,
        };
        if let Some(force) = force {
            remarks.push(format!(
                "A load in {word} is read as {force}, the scale of the loading arm."
            ));
            number = format!("{bare} {force}");
        } else if word.eq_ignore_ascii_case("dan")
            && let Ok(tens) = read_number(bare)
        {
            number = format!("{} N", tens * 10.0);
        }
    }
    Loosened {
        text: format!("{sign}{number}"),
        remarks,
    }
}

fn promised(word: &str) -> String {
    format!("'{word}' is what the sheet promises, not what was read: judged as the number itself.")
}

/// What stands behind one of some words at the start of a text; a word of letters ends where a number or blank begins.
fn behind<'a>(text: &'a str, words: &[&'static str]) -> Option<(&'static str, &'a str)> {
    words.iter().find_map(|word| {
        let start = text.get(..word.len())?;
        let rest = &text[word.len()..];
        let ends = !word.ends_with(char::is_alphabetic) || !rest.starts_with(char::is_alphabetic);
        let has_number = rest.contains(|c: char| c.is_ascii_digit());
        (start.eq_ignore_ascii_case(word) && ends && has_number)
            .then(|| (*word, rest.trim_start_matches([' ', ':'])))
    })
}

/// A promise that stands behind its number: `315 kgf min.`; of a time `min.` is minutes.
fn in_front_of<'a>(text: &'a str, quantity: &Quantity) -> Option<(&'a str, &'static str)> {
    let words: [&'static str; 4] = [" min.", " max.", " minimum", " maximum"];
    let is_time = quantity.unit.dimension() == Dimension::Time;
    words
        .into_iter()
        .filter(|word| !(is_time && *word == " min."))
        .find_map(|word| {
            let at = text.len().checked_sub(word.len())?;
            let end = text.get(at..)?;
            end.eq_ignore_ascii_case(word)
                .then(|| (&text[..at], word.trim_start()))
        })
}

/// The letters at the end of a text, and what stands before them.
fn unit_behind(text: &str) -> Option<(&str, &str)> {
    let at = text.rfind(|c: char| !c.is_alphabetic())?;
    let end = at + text[at..].chars().next()?.len_utf8();
    let (bare, word) = text.split_at(end);
    (!word.is_empty()).then(|| (bare.trim_end(), word))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::built_in;

    fn read(method: &str, quantity: &str, text: &str) -> Loosened {
        let method = built_in()
            .iter()
            .find(|known| known.id.as_str() == method)
            .unwrap();
        loosened(text, method.quantity(quantity).unwrap())
    }

    #[test]
    fn what_a_data_sheet_writes_around_a_load_is_taken_off_and_said() {
        for (text, bare, remarks) in [
            ("315", "315", 0),
            ("315 kgf", "315 kgf", 0),
            ("315 kg", "315 kgf", 1),
            ("315kg", "315 kgf", 1),
            ("694 lb", "694 lbf", 1),
            ("309 daN", "3090 N", 0),
            ("308,9 daN", "3089 N", 0),
            ("> 800", ">800", 0),
            ("> 800 kg", ">800 kgf", 1),
            ("~315", "315", 1),
            ("ca. 315 kg", "315 kgf", 2),
            ("ca 315 kgf", "315 kgf", 1),
            ("min. 315 kgf", "315 kgf", 1),
            ("Min 315 kgf", "315 kgf", 1),
            ("315 kgf min.", "315 kgf", 1),
            ("400-500 kgf", "400-500 kgf", 0),
            ("stage 12", "12 stage", 0),
            ("high", "high", 0),
            ("", "", 0),
        ] {
            let loose = read("fb_ep_oil", "weld", text);
            assert_eq!(
                (loose.text.as_str(), loose.remarks.len()),
                (bare, remarks),
                "{text}"
            );
        }
    }

    #[test]
    fn stages_are_read_by_every_name_and_keep_their_sign() {
        for (text, bare) in [
            ("FLS 12", "12 stage"),
            ("fls12", "12 stage"),
            ("stage 12", "12 stage"),
            ("Load stage: 12", "12 stage"),
            ("> FLS 12", ">12 stage"),
            ("min. FLS 12", "12 stage"),
            ("12+", "12+"),
        ] {
            assert_eq!(read("gear_A8", "fail_stage", text).text, bare, "{text}");
        }
    }

    #[test]
    fn a_mass_loss_keeps_its_unit() {
        let loose = read("rb_oil", "roller_wear", "0,02 kg");
        assert_eq!((loose.text.as_str(), loose.remarks.len()), ("0,02 kg", 0));
    }
}
