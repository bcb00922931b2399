//! What a colour stands for. The drawing library hands colours on, so each role goes through it as a colour of its own,
//! and leaves it as a CSS custom property.

use plotters::style::RGBColor;
use plotters_backend::BackendColor;

/// What a drawn thing stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Text and outlines.
    Ink,
    /// Secondary text.
    Quiet,
    /// Axis lines and frames.
    Rule,
    /// The band within which a result cannot be told from a reference.
    Band,
    /// Reference oils.
    Reference,
    /// Control fluids.
    Control,
    /// The ground that a mark stands on.
    Ground,
    /// The one accent: weights and gains.
    Accent,
    /// A loss.
    Loss,
    /// The empty part of a bar.
    Trough,
    /// The lubricant in a contact drawing.
    Film,
    /// A candidate, by its place in the trial.
    Candidate(usize),
}

/// How many candidates have a colour property of their own.
pub(crate) const CANDIDATE_COLOURS: usize = 20;

const PLAIN: [(Role, &str); 11] = [
    (Role::Ink, "ink"),
    (Role::Quiet, "quiet"),
    (Role::Rule, "rule"),
    (Role::Band, "band"),
    (Role::Reference, "reference"),
    (Role::Control, "control"),
    (Role::Ground, "ground"),
    (Role::Accent, "accent"),
    (Role::Loss, "loss"),
    (Role::Trough, "trough"),
    (Role::Film, "film"),
];

impl Role {
    /// The colour that stands for it in the drawing library: its place among all roles as blue.
    pub(in crate::charts) fn colour(self) -> RGBColor {
        let place = match self {
            Self::Candidate(index) => PLAIN.len() + index % CANDIDATE_COLOURS,
            plain => PLAIN.iter().position(|(role, _)| *role == plain).unwrap_or(0),
        };
        RGBColor(0, 0, place as u8)
    }

    /// The CSS custom property of a role's colour.
    pub(in crate::charts) fn property(colour: BackendColor) -> String {
        let place = usize::from(colour.rgb.2);
        match PLAIN.get(place) {
            Some((_, name)) => format!("var(--{name})"),
            None => format!("var(--k{})", place - PLAIN.len()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plotters_backend::BackendStyle;
    use std::collections::BTreeSet;

    #[test]
    fn every_role_goes_through_the_library_to_a_property_of_its_own() {
        let candidates = (0..CANDIDATE_COLOURS).map(Role::Candidate);
        let roles: Vec<Role> = PLAIN.iter().map(|(role, _)| *role).chain(candidates).collect();
        let property = |role: &Role| Role::property(BackendStyle::color(&role.colour()));
        let properties: BTreeSet<String> = roles.iter().map(property).collect();
        assert_eq!(properties.len(), roles.len());
        assert!(properties.iter().all(|one| one.starts_with("var(--")));
        assert_eq!(property(&Role::Candidate(3)), "var(--k3)");
        assert_eq!(property(&Role::Candidate(23)), "var(--k3)");
    }
}
