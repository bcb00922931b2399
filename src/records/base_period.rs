//! The days in which a rig is known to be in order.

use crate::records::table::{Cell, CellProblem, Column, Field, Source, Stands};
use jiff::civil::Date;

/// The days in which the owner of a rig knows it to be in order, the first and the last among them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BasePeriod {
    from: Date,
    to: Date,
}

/// Why two days make no period.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PeriodFault {
    /// One of them is missing.
    OneEnd,
    /// The last lies before the first.
    Backwards,
}

impl BasePeriod {
    /// The period between two days; `None` where neither is given.
    ///
    /// # Errors
    /// `OneEnd`, `Backwards`.
    pub fn between(from: Option<Date>, to: Option<Date>) -> Result<Option<Self>, PeriodFault> {
        match (from, to) {
            (None, None) => Ok(None),
            (Some(from), Some(to)) if from <= to => Ok(Some(Self { from, to })),
            (Some(_), Some(_)) => Err(PeriodFault::Backwards),
            _ => Err(PeriodFault::OneEnd),
        }
    }

    /// Its first day.
    pub fn from(&self) -> Date {
        self.from
    }

    /// Its last day.
    pub fn to(&self) -> Date {
        self.to
    }

    /// Whether a day lies in it.
    pub fn contains(&self, day: Date) -> bool {
        (self.from..=self.to).contains(&day)
    }
}

impl Stands<[Column; 2]> for Option<BasePeriod> {
    fn push_columns(under: &[Column; 2], columns: &mut Vec<Column>) {
        columns.extend(under);
    }

    fn push_cells(&self, _: &[Column; 2], cells: &mut Vec<Cell>) {
        let ends = [self.map(|period| period.from), self.map(|period| period.to)];
        cells.extend(ends.map(|end| end.to_cell()));
    }

    fn read([from, to]: &[Column; 2], source: &mut impl Source) -> Option<Self> {
        let (first, last): (Option<Option<Date>>, Option<Option<Date>>) =
            (source.field(from), source.field(to));
        let (first, last) = (first?, last?);
        let empty = if first.is_none() { from } else { to };
        BasePeriod::between(first, last)
            .map_or_else(|fault| source.refuse(empty, CellProblem::Period(fault)), Some)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_period_has_two_ends_in_order_and_holds_both() {
        let (first, last) = (date(2025, 3, 1), date(2025, 3, 9));
        let between = BasePeriod::between;
        assert_eq!(between(None, None), Ok(None));
        assert_eq!(between(Some(first), None), Err(PeriodFault::OneEnd));
        assert_eq!(between(None, Some(last)), Err(PeriodFault::OneEnd));
        assert_eq!(between(Some(last), Some(first)), Err(PeriodFault::Backwards));
        assert!(between(Some(first), Some(first)).is_ok_and(|one_day| one_day.is_some()));
        let held = between(Some(first), Some(last)).ok().flatten();
        let days = [date(2025, 2, 28), first, last, date(2025, 3, 10)];
        let holds = days.map(|day| held.is_some_and(|period| period.contains(day)));
        assert_eq!(holds, [false, true, true, false]);
    }
}
