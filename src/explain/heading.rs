//! The question of an explanation, as its user would ask it.

use crate::catalogue::Quantity;
use crate::explain::reading::{Bound, Number};
use crate::explain::words::{inside, number_with_unit};
use crate::units::{DisplayPreferences, Unit};

/// The user's question about a number.
pub(super) fn heading(
    quantity: &Quantity,
    number: Option<&Number>,
    blend: &str,
    fluid: &str,
    machine: &str,
    shown: DisplayPreferences,
) -> String {
    let (what, on) = parts(&quantity.label);
    let Some(number) = number else {
        let of = on.map(|on| format!(" of {on}")).unwrap_or_default();
        return format!("Would the {what}{of} make {blend} the better {fluid} for this {machine}?");
    };
    let value = number_with_unit(number, quantity, shown);
    if quantity.unit == Unit::Stage && number.bound == Bound::Above {
        let stage = shown.number(number.value);
        return format!(
            "Does having no failure up to stage {stage}, a result above stage {stage}, make {blend} the better {fluid} for this {machine}?"
        );
    }
    if MASSES.iter().any(|word| what.starts_with(word)) {
        let on = on.map(|on| format!(" of {on}")).unwrap_or_default();
        return format!("Does {value} of {what}{on} make {blend} the better {fluid} for this {machine}?");
    }
    let on = on.map(|on| format!(" ({on})")).unwrap_or_default();
    let value = value.strip_prefix("stage ").unwrap_or(&value).to_string();
    let joint = if number.bound == Bound::At { "of " } else { "" };
    format!(
        "Does {} {joint}{value}{on} make {blend} the better {fluid} for this {machine}?",
        with_article(&what)
    )
}

/// A label taken apart at its first `of the`: what is measured, and on what.
fn parts(label: &str) -> (String, Option<String>) {
    match label.split_once(" of the ") {
        Some((what, on)) => (inside(what), Some(format!("the {on}"))),
        None => (inside(label), None),
    }
}

/// The words a label may start with that take no article.
const WITHOUT_ARTICLE: [&str; 2] = ["wear", "load cycles"];
/// The words a label may start with of which there is so much.
const MASSES: [&str; 2] = ["iron", "grease"];

fn with_article(what: &str) -> String {
    if WITHOUT_ARTICLE.iter().any(|word| what.starts_with(word)) {
        return what.to_string();
    }
    let vowel = what
        .chars()
        .next()
        .is_some_and(|first| "aeiouAEIO".contains(first));
    format!("{} {what}", if vowel { "an" } else { "a" })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::built_in;

    #[test]
    fn the_heading_asks_the_users_question_in_every_form_of_a_number() {
        let asks = |method: &str, id: &str, number: Option<Number>| {
            let method = built_in()
                .iter()
                .find(|known| known.id.as_str() == method)
                .unwrap();
            heading(
                method.quantity(id).unwrap(),
                number.as_ref(),
                "T-1",
                "oil",
                "drive",
                DisplayPreferences::default(),
            )
        };
        assert_eq!(
            asks("fb_ep_oil", "weld", Some(Number::at(400.0, Bound::At))),
            "Does a weld load of 400 kgf make T-1 the better oil for this drive?"
        );
        assert_eq!(
            asks("rb_oil", "roller_wear", Some(Number::at(3.876, Bound::At))),
            "Does a mass loss of 3.88 mg (the rolling elements) make T-1 the better oil for this drive?"
        );
        assert!(
            asks("gear_A8", "fail_stage", Some(Number::at(12.0, Bound::Above)))
                .contains("a result above stage 12")
        );
        assert!(
            asks("gear_A8", "fail_stage", Some(Number::at(9.0, Bound::At)))
                .contains("a failing load stage of 9 make")
        );
        assert!(asks("fb_ep_oil", "weld", None).starts_with("Would the weld load make T-1"));
    }
}
