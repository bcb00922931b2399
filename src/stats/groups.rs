//! Readings in groups: how far they scatter within a group and between groups.

use thiserror::Error;

/// Groups that cannot be compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum GroupsError {
    /// Fewer than two groups, or an empty one.
    #[error("at least two groups are needed, none of them empty")]
    TooFewGroups,
    /// No group has a second reading.
    #[error("at least one group needs a second reading")]
    NoReplicates,
    /// Laboratories that did not all report the same number of readings.
    #[error("every laboratory must report the same number of readings, at least two")]
    Unbalanced,
}

/// Sum of squares of readings about their own group's mean, with its degrees of freedom. Readings are summed in order of
/// size, so that the order of rows does not matter.
pub fn within_groups<'a>(groups: impl IntoIterator<Item = &'a [f64]>) -> (f64, f64) {
    let of_group = |group: &[f64]| (squares_about_mean(group), group.len() as f64 - 1.0);
    let several = groups.into_iter().filter(|group| group.len() > 1);
    several
        .map(of_group)
        .fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
}

fn mean(readings: &[f64]) -> f64 {
    let mut sorted = readings.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.iter().sum::<f64>() / sorted.len() as f64
}

/// About the mean in two passes, so that readings far from zero keep their digits.
fn squares_about_mean(readings: &[f64]) -> f64 {
    let mean = mean(readings);
    let mut sorted = readings.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.iter().map(|reading| (reading - mean).powi(2)).sum()
}

/// One-way analysis of variance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OneWay {
    /// Sum of squares of the group means about the grand mean, each times the size of its group.
    pub between: f64,
    /// Sum of squares of the readings about their group's mean.
    pub within: f64,
    /// Degrees of freedom between groups.
    pub freedom_between: f64,
    /// Degrees of freedom within groups.
    pub freedom_within: f64,
}

impl OneWay {
    /// Of at least two groups.
    ///
    /// # Errors
    /// [`GroupsError`].
    pub fn of(groups: &[Vec<f64>]) -> Result<Self, GroupsError> {
        if groups.len() < 2 || groups.iter().any(Vec::is_empty) {
            return Err(GroupsError::TooFewGroups);
        }
        let all: Vec<f64> = groups.iter().flatten().copied().collect();
        let grand = mean(&all);
        let (within, freedom_within) = within_groups(groups.iter().map(Vec::as_slice));
        if freedom_within <= 0.0 {
            return Err(GroupsError::NoReplicates);
        }
        let of_group = |group: &Vec<f64>| group.len() as f64 * (mean(group) - grand).powi(2);
        Ok(Self {
            between: groups.iter().map(of_group).sum(),
            within,
            freedom_between: groups.len() as f64 - 1.0,
            freedom_within,
        })
    }

    /// Pooled standard deviation of one reading within its group.
    pub fn residual_sd(&self) -> f64 {
        (self.within / self.freedom_within).sqrt()
    }

    /// F, the ratio of the two mean squares.
    pub fn f(&self) -> f64 {
        (self.between / self.freedom_between) / (self.within / self.freedom_within)
    }

    /// Part of the sum of squares that lies between groups.
    pub fn r_squared(&self) -> f64 {
        self.between / (self.between + self.within)
    }
}

/// Precision of a method on one material, from laboratories that each report the same number of readings.
///
/// # Formula
/// s_r^2 = mean of the cell variances; s_R^2 = s_x^2 + s_r^2 (n - 1) / n, at least s_r^2; h = (cell mean - mean) / s_x;
/// k = cell sd / s_r (ASTM E691, from memory; where s_x is the standard deviation of the cell means).
#[derive(Clone, Debug, PartialEq)]
pub struct Interlaboratory {
    /// Mean of the cell means.
    pub mean: f64,
    /// Standard deviation of the cell means.
    pub sd_of_means: f64,
    /// Repeatability standard deviation s_r.
    pub within: f64,
    /// Reproducibility standard deviation s_R.
    pub total: f64,
    /// Consistency between laboratories, one h per laboratory.
    pub h: Vec<f64>,
    /// Consistency within laboratories, one k per laboratory.
    pub k: Vec<f64>,
}

impl Interlaboratory {
    /// `cells`: the readings of each laboratory.
    ///
    /// # Errors
    /// [`GroupsError`]: fewer than two laboratories, unequal numbers of readings, or no scatter.
    pub fn of(cells: &[Vec<f64>]) -> Result<Self, GroupsError> {
        let number = cells.first().map_or(0, Vec::len);
        if number < 2 || cells.iter().any(|cell| cell.len() != number) {
            return Err(GroupsError::Unbalanced);
        }
        let one_way = OneWay::of(cells)?;
        let means: Vec<f64> = cells.iter().map(|cell| mean(cell)).collect();
        let grand = mean(&means);
        let sd_of_means = (squares_about_mean(&means) / (means.len() as f64 - 1.0)).sqrt();
        let within = one_way.residual_sd();
        let n = number as f64;
        let total = (sd_of_means.powi(2) + within.powi(2) * (n - 1.0) / n).sqrt();
        let sd_of = |cell: &Vec<f64>| (squares_about_mean(cell) / (n - 1.0)).sqrt();
        Ok(Self {
            mean: grand,
            sd_of_means,
            within,
            total: total.max(within),
            h: means
                .iter()
                .map(|of_cell| (of_cell - grand) / sd_of_means)
                .collect(),
            k: cells.iter().map(|cell| sd_of(cell) / within).collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn squares_add_up() {
        // worked by hand: means 2 and 5, grand mean 3.5
        let one_way = OneWay::of(&[vec![1.0, 3.0], vec![4.0, 6.0]]).unwrap();
        assert_eq!((one_way.between, one_way.within), (9.0, 4.0));
        assert_eq!((one_way.f(), one_way.residual_sd()), (4.5, 2f64.sqrt()));
        assert!((one_way.r_squared() - 9.0 / 13.0).abs() < 1e-15);
    }

    #[test]
    fn a_single_reading_has_no_scatter_of_its_own() {
        let groups: [&[f64]; 2] = [&[1.0], &[2.0, 4.0]];
        assert_eq!(within_groups(groups), (2.0, 1.0));
    }

    #[test]
    fn laboratories_that_agree_have_the_reproducibility_of_one() {
        let cells = [vec![1.0, 3.0], vec![1.5, 2.5]];
        let found = Interlaboratory::of(&cells).unwrap();
        assert_eq!(found.total, found.within);
    }

    #[test]
    fn groups_without_an_answer_are_refused() {
        assert_eq!(OneWay::of(&[vec![1.0]]), Err(GroupsError::TooFewGroups));
        assert_eq!(
            OneWay::of(&[vec![1.0], vec![2.0]]),
            Err(GroupsError::NoReplicates)
        );
        assert_eq!(
            Interlaboratory::of(&[vec![1.0, 2.0], vec![1.0]]),
            Err(GroupsError::Unbalanced)
        );
    }
}
