//! The scale of a quantity: how its values are compared, with the steps, cap or classes that only it has.

use serde::Deserialize;

/// The scale on which results of a quantity are compared.
#[derive(Clone, Debug, PartialEq, strum::EnumDiscriminants, strum::IntoStaticStr)]
#[strum(serialize_all = "lowercase")]
#[strum_discriminants(
    name(ScaleKind),
    doc = "The scales, as the word `scale` of a file or a row names them.",
    derive(Deserialize, strum::Display),
    serde(rename_all = "lowercase"),
    strum(serialize_all = "lowercase")
)]
pub enum Scale {
    /// As measured.
    Identity {
        /// The last value a rig can give, in the quantity's unit.
        cap: Option<f64>,
    },
    /// Natural logarithm.
    Ln {
        /// The last value a rig can give, in the quantity's unit.
        cap: Option<f64>,
    },
    /// A ladder of loads, compared by log10; precision is in steps.
    #[strum(serialize = "log10 of a ladder")]
    #[strum_discriminants(serde(rename = "log10 ladder", alias = "ladder"))]
    #[strum_discriminants(strum(serialize = "ladder"))]
    Log10Ladder(Ladder),
    /// A ladder of loads, compared by natural logarithm; precision is in per cent.
    #[strum(serialize = "ln of a ladder")]
    #[strum_discriminants(serde(rename = "ln ladder"))]
    #[strum_discriminants(strum(serialize = "ln ladder"))]
    LnLadder(Ladder),
    /// Numbered load stages.
    Stage(Ladder),
    /// Named classes in order, best first; gates only.
    Class(Vec<String>),
}

/// The steps between which results lie, in the quantity's unit: at least one, ascending.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    steps: Vec<f64>,
    cap: Option<f64>,
}

/// Why steps, cap and classes are none of a scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScaleFault {
    /// A ladder or stages without steps alone, or classes without classes alone.
    Bare,
    /// Steps or classes where values are read off.
    ReadOff,
    /// A step that does not lie above the one before it.
    Falling,
}

/// What a file or a row says of a scale: steps for a ladder or stages, ascending, or classes, best first.
pub struct ScaleParts {
    /// Which scale.
    pub kind: ScaleKind,
    /// Steps, in the quantity's unit.
    pub steps: Vec<f64>,
    /// The last value or step a rig can run, in the quantity's unit; nothing to classes.
    pub cap: Option<f64>,
    /// Classes.
    pub classes: Vec<String>,
}

impl TryFrom<ScaleParts> for Scale {
    type Error = ScaleFault;

    fn try_from(parts: ScaleParts) -> Result<Self, ScaleFault> {
        let ScaleParts {
            kind,
            steps,
            cap,
            classes,
        } = parts;
        let rises = steps.windows(2).all(|pair| pair[0] < pair[1]);
        if !rises {
            return Err(ScaleFault::Falling);
        }
        match (kind, !steps.is_empty(), !classes.is_empty()) {
            (ScaleKind::Identity, false, false) => Ok(Self::Identity { cap }),
            (ScaleKind::Ln, false, false) => Ok(Self::Ln { cap }),
            (ScaleKind::Log10Ladder, true, false) => Ok(Self::Log10Ladder(Ladder { steps, cap })),
            (ScaleKind::LnLadder, true, false) => Ok(Self::LnLadder(Ladder { steps, cap })),
            (ScaleKind::Stage, true, false) => Ok(Self::Stage(Ladder { steps, cap })),
            (ScaleKind::Class, false, true) => Ok(Self::Class(classes)),
            _ if kind.has_list() => Err(ScaleFault::Bare),
            _ => Err(ScaleFault::ReadOff),
        }
    }
}

impl ScaleKind {
    /// Whether it has steps or classes.
    pub fn has_list(self) -> bool {
        !matches!(self, Self::Identity | Self::Ln)
    }
}

impl Scale {
    /// Its word.
    pub fn word(&self) -> &'static str {
        self.into()
    }

    fn ladder(&self) -> Option<&Ladder> {
        match self {
            Self::Log10Ladder(ladder) | Self::LnLadder(ladder) | Self::Stage(ladder) => Some(ladder),
            Self::Identity { .. } | Self::Ln { .. } | Self::Class(_) => None,
        }
    }

    /// Whether results are bounds between steps rather than readings.
    pub fn is_stepped(&self) -> bool {
        self.ladder().is_some()
    }

    /// Whether differences of working values are logarithms of ratios.
    pub fn is_logarithmic(&self) -> bool {
        matches!(self, Self::Ln { .. } | Self::LnLadder(_) | Self::Log10Ladder(_))
    }

    /// Steps of a ladder or stages in the quantity's unit, ascending; none where values are read off.
    pub fn steps(&self) -> &[f64] {
        self.ladder().map_or(&[], |ladder| &ladder.steps)
    }

    /// The step that a number stands for, within half a per cent of it.
    pub fn step_near(&self, number: f64) -> Option<f64> {
        let mut steps = self.steps().iter().copied();
        steps.find(|step| (step - number).abs() <= 0.005 * step.abs())
    }

    /// The last value or step a rig can run, in the quantity's unit.
    pub fn cap(&self) -> Option<f64> {
        match self {
            Self::Identity { cap } | Self::Ln { cap } => *cap,
            _ => self.ladder()?.cap,
        }
    }

    /// Classes, best first; none on any other scale.
    pub fn classes(&self) -> &[String] {
        match self {
            Self::Class(classes) => classes,
            _ => &[],
        }
    }

    /// A value in the quantity's unit on the working scale; `None` where it has none (a logarithm of 0 or less).
    pub fn to_working(&self, value: f64) -> Option<f64> {
        let working = match self {
            Self::Identity { .. } | Self::Stage(_) => value,
            Self::Ln { .. } | Self::LnLadder(_) => value.ln(),
            Self::Log10Ladder(_) => value.log10(),
            Self::Class(_) => return None,
        };
        working.is_finite().then_some(working)
    }

    /// A value on the working scale in the quantity's unit.
    #[expect(
        clippy::wrong_self_convention,
        reason = "the scale says which way the value goes"
    )]
    pub fn from_working(&self, working: f64) -> f64 {
        match self {
            Self::Identity { .. } | Self::Stage(_) | Self::Class(_) => working,
            Self::Ln { .. } | Self::LnLadder(_) => working.exp(),
            Self::Log10Ladder(_) => 10f64.powf(working),
        }
    }
}

/// The distance of the two neighbouring steps between which, or nearest to whose middle, a number lies; `None` with fewer
/// than two steps.
pub fn step_around(steps: &[f64], number: f64) -> Option<f64> {
    let gaps = steps
        .windows(2)
        .map(|pair| (0.5 * (pair[0] + pair[1]), pair[1] - pair[0]));
    let by_distance = |a: &(f64, f64), b: &(f64, f64)| (a.0 - number).abs().total_cmp(&(b.0 - number).abs());
    gaps.min_by(by_distance).map(|(_, gap)| gap)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_that_cannot_be_is_refused() {
        for (kind, steps, classes, fault) in [
            (ScaleKind::Log10Ladder, &[][..], &[][..], ScaleFault::Bare),
            (ScaleKind::Stage, &[], &["1a"], ScaleFault::Bare),
            (ScaleKind::Class, &[1.0, 2.0], &[], ScaleFault::Bare),
            (ScaleKind::Class, &[1.0], &["1a"], ScaleFault::Bare),
            (ScaleKind::Ln, &[1.0, 2.0], &[], ScaleFault::ReadOff),
            (ScaleKind::LnLadder, &[1.0, 1.0], &[], ScaleFault::Falling),
            (ScaleKind::LnLadder, &[1.0, f64::NAN], &[], ScaleFault::Falling),
        ] {
            let parts = ScaleParts {
                kind,
                steps: steps.to_vec(),
                cap: None,
                classes: classes.iter().map(ToString::to_string).collect(),
            };
            assert_eq!(
                Scale::try_from(parts),
                Err(fault),
                "{kind}: {steps:?} {classes:?}"
            );
        }
    }
}
