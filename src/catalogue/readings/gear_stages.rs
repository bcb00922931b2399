//! Inspections of the pinion after each load stage of a gear scuffing test.

use crate::catalogue::readings::{ReadingsFault, ReadingsProblem, refused};

/// Damage seen after one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct StageInspection {
    /// The load stage.
    pub stage: u32,
    /// Width of the scuffed or scored band on each tooth that has one, mm.
    pub widths_mm: Vec<f64>,
}

impl StageInspection {
    /// Sum over the teeth, mm.
    pub fn damage_mm(&self) -> f64 {
        self.widths_mm.iter().sum()
    }
}

/// The failing stage, and the last stage that was inspected and passed; either may be missing.
///
/// # Formula
/// A stage fails when the widths summed over all teeth of the pinion reach `face_width_mm` (20 mm in ISO 14635-1, from
/// memory).
///
/// # Errors
/// No inspection; a stage twice; more teeth than the pinion has; a width that is none or wider than a tooth; damage that
/// shrinks from one stage to the next by more than a tenth of the face width, since scuffing does not heal.
pub fn failing_stage(
    inspections: &[StageInspection],
    face_width_mm: f64,
    teeth: usize,
) -> Result<(Option<u32>, Option<u32>), ReadingsFault> {
    let mut order: Vec<(usize, &StageInspection)> = inspections.iter().enumerate().collect();
    order.sort_by_key(|(_, one)| one.stage);
    if order.is_empty() {
        return refused(0, "stage", ReadingsProblem::Nothing);
    }
    for (row, one) in &order {
        check(*row, one, face_width_mm, teeth)?;
    }
    for pair in order.windows(2) {
        let ((_, before), (row, after)) = (pair[0], pair[1]);
        if before.stage == after.stage {
            return refused(row, "stage", ReadingsProblem::StageTwice(after.stage));
        }
        if after.damage_mm() < before.damage_mm() - 0.1 * face_width_mm {
            let both = [after, before].map(|one| (one.damage_mm(), one.stage));
            return refused(row, "width", ReadingsProblem::Heals(both));
        }
    }
    let fails = |one: &StageInspection| one.damage_mm() >= face_width_mm - 1e-9;
    let failing = order.iter().find(|(_, one)| fails(one)).map(|(_, one)| one.stage);
    let passed = order
        .iter()
        .take_while(|(_, one)| !fails(one))
        .last()
        .map(|(_, one)| one.stage);
    Ok((failing, passed))
}

fn check(row: usize, one: &StageInspection, face_width_mm: f64, teeth: usize) -> Result<(), ReadingsFault> {
    let widths = one.widths_mm.len();
    if widths > teeth {
        return refused(row, "width", ReadingsProblem::MoreThanTeeth(widths, teeth));
    }
    let mut widths = one.widths_mm.iter();
    match widths.find(|width| !(0.0..=face_width_mm).contains(*width)) {
        Some(width) => refused(row, "width", ReadingsProblem::NoWidth(*width, face_width_mm)),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn log(stages: &[(u32, &[f64])]) -> Vec<StageInspection> {
        let one = |&(stage, widths): &(u32, &[f64])| StageInspection {
            stage,
            widths_mm: widths.to_vec(),
        };
        stages.iter().map(one).collect()
    }

    #[test]
    fn the_stage_at_which_the_summed_damage_reaches_the_face_width_fails() {
        // computed by hand: 3 + 4 = 7 mm at stage 9; 12 + 5 + 3 = 20 mm at stage 10
        let rows = log(&[(8, &[]), (10, &[12.0, 5.0, 3.0]), (9, &[3.0, 4.0])]);
        assert_eq!(failing_stage(&rows, 20.0, 16), Ok((Some(10), Some(9))));
        assert_eq!(failing_stage(&rows[..1], 20.0, 16), Ok((None, Some(8))));
        assert_eq!(
            failing_stage(&log(&[(4, &[20.0])]), 20.0, 16),
            Ok((Some(4), None))
        );
    }

    #[test]
    fn what_cannot_be_is_refused_with_its_row() {
        let healed = log(&[(8, &[10.0]), (9, &[5.0])]);
        assert_eq!(failing_stage(&healed, 20.0, 16).unwrap_err().row, 1);
        let twice = log(&[(8, &[1.0]), (8, &[1.0])]);
        let fault = failing_stage(&twice, 20.0, 16).unwrap_err();
        assert_eq!(fault.problem, ReadingsProblem::StageTwice(8));
        assert!(failing_stage(&log(&[(8, &[21.0])]), 20.0, 16).is_err());
        assert!(failing_stage(&log(&[(8, &[1.0; 17])]), 20.0, 16).is_err());
        assert!(failing_stage(&[], 20.0, 16).is_err());
    }
}
