//! What a colour stands for. The drawing library knows colours only, so each role has one reserved colour, which
//! [`paint`] turns into a CSS custom property: the one place where a colour gets its meaning.

use plotters::style::RGBColor;

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

/// Red and green of every reserved colour; blue says which.
const RESERVED: (u8, u8) = (0xFE, 0x01);

impl Role {
    /// The reserved colour.
    pub(in crate::charts) fn reserved(self) -> RGBColor {
        let blue = match self {
            Self::Candidate(index) => PLAIN.len() + index % CANDIDATE_COLOURS,
            plain => PLAIN.iter().position(|(role, _)| *role == plain).unwrap_or(0),
        };
        RGBColor(RESERVED.0, RESERVED.1, blue as u8)
    }
}

/// The property of a reserved colour's last two digits.
fn property(blue: usize) -> Option<String> {
    if let Some((_, name)) = PLAIN.get(blue) {
        return Some(format!("var(--{name})"));
    }
    let candidate = blue - PLAIN.len();
    (candidate < CANDIDATE_COLOURS).then(|| format!("var(--k{candidate})"))
}

/// Every reserved colour of a drawing as the CSS custom property of its role.
pub(in crate::charts) fn paint(drawing: &str) -> String {
    let mut painted = String::with_capacity(drawing.len() + drawing.len() / 4);
    let mut rest = drawing;
    let lead = format!("#{:02X}{:02X}", RESERVED.0, RESERVED.1);
    while let Some(at) = rest.find(&lead) {
        let digits = at + lead.len();
        let code = rest
            .get(digits..digits + 2)
            .and_then(|hex| usize::from_str_radix(hex, 16).ok());
        painted.push_str(&rest[..at]);
        match code.and_then(property) {
            Some(property) => {
                painted.push_str(&property);
                rest = &rest[digits + 2..];
            }
            None => {
                painted.push_str(&lead);
                rest = &rest[digits..];
            }
        }
    }
    painted.push_str(rest);
    painted
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hex(role: Role) -> String {
        let RGBColor(r, g, b) = role.reserved();
        format!("#{r:02X}{g:02X}{b:02X}")
    }

    #[test]
    fn every_role_has_a_colour_of_its_own_and_becomes_a_property() {
        let mut roles: Vec<Role> = PLAIN.iter().map(|(role, _)| *role).collect();
        roles.extend((0..CANDIDATE_COLOURS).map(Role::Candidate));
        let mut seen = std::collections::BTreeSet::new();
        for role in roles {
            assert!(seen.insert(hex(role)), "{role:?}");
            let painted = paint(&format!("fill=\"{}\"", hex(role)));
            assert!(painted.starts_with("fill=\"var(--"), "{painted}");
        }
    }

    #[test]
    fn other_text_passes_untouched() {
        assert_eq!(paint("a #FE01ZZ b #112233"), "a #FE01ZZ b #112233");
        assert_eq!(paint(&format!("x{}y", hex(Role::Candidate(3)))), "xvar(--k3)y");
    }
}
