//! Every word that code puts on the pages of components; what stands whatever the numbers are is in the template.

use crate::web::pages::words as shared;
pub(super) use crate::web::pages::words::{BETTER, WORSE, components, range};
use std::fmt::Display;

pub(super) const COMPONENTS: &str = "Components";
pub(super) const NO_COMPONENT_AND_NO_CLASS_HAS_THIS_NAME: &str =
    "No component and no class of components has this name.";
pub(super) const COMPONENT: &str = "component";

pub(super) fn class_counted_together(components: &str) -> String {
    format!("a class of {components}, counted together")
}

pub(super) fn latest_trials_are_shown(trials: usize, shown: usize) -> String {
    format!("Of {trials} trials the latest {shown} are shown.")
}

pub(super) fn blend_at_treat_rate(blend: impl Display, per_cent: &str) -> String {
    format!("{blend} at {per_cent} wt%")
}

pub(super) fn best_and_worst(best: &str, worst: &str) -> String {
    format!("best {best}, worst {worst}. ")
}

pub(super) fn more_of_it_goes_with(way: &str, slope: &str) -> String {
    format!(
        "Within the trials more of it goes with a {way} result: {slope} of position for each wt%. That is a likeness in these blends, not a cause; they differ in other components too."
    )
}

pub(super) fn no_line_too_few_results(results: usize, rates: usize, has: usize) -> String {
    format!(
        "No line is drawn: it takes {results} results at {rates} different treat rates, and this has {}.",
        shared::results(has)
    )
}

pub(super) const NO_LINE_THE_ORDER_COULD_BE_CHANCE: &str =
    "No line is drawn: within the trials the order could as well be chance.";

pub(super) fn point(blend: impl Display, trial: &str, per_cent: &str, estimate: &str) -> String {
    format!("{blend} in {trial}: {per_cent} wt%, {estimate}")
}

pub(super) fn by_treat_rate(label: &str, ends: &str, finding: &str) -> String {
    format!("{label} by treat rate: {ends}{finding}")
}
