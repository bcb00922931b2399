//! The levels that a rig has held in one quantity, by its reference runs; and the blocks of results that follow from them.
//!
//! A block is one rig between two changes of its level, whatever the campaigns are called. With fewer than eight reference
//! runs of one oil a change is hard to see: there a block is one campaign, cut where a change was seen all the same.
//! Results between the last run before a change and the first after it have no level that is known, and are a block of
//! their own; so are results without a date.

use crate::catalogue::{Method, Quantity};
use crate::records::{BasePeriod, BlendCode, Rig, RigId, Role, RunResult};
use crate::standing::reference_runs::ReferenceRuns;
use crate::stats::level::{Reading, level_changes};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Fewest reference runs of one oil by which the blocks of a rig are told (ours).
const JUDGED_FROM: usize = 8;

/// When a result was run, by the level changes of its rig.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum RigTime {
    /// The level never changed, as far as is known.
    #[default]
    Always,
    /// While one level held.
    Level {
        /// Its first reference run; `None` for the first level.
        from: Option<Date>,
        /// Its last reference run; `None` for the last level.
        to: Option<Date>,
    },
    /// Between the last run of one level and the first of the next.
    Between {
        /// The last run of the one.
        after: Date,
        /// The first of the other.
        before: Date,
    },
    /// Not known: the level changed, and the result has no date.
    Undated,
}

/// Results whose severity is one: a rig between changes of its level, or in one campaign.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Block {
    /// The rig; empty where none is named.
    pub rig: String,
    /// The campaign, where the reference runs are too few to tell blocks by; else empty.
    pub campaign: String,
    /// When.
    pub time: RigTime,
}

impl std::fmt::Display for Block {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { rig, campaign, time } = self;
        write!(f, "{rig} {campaign} {time:?}")
    }
}

/// A time at which a rig did not hold the level that it should, and with it results that are in doubt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutOfControlSpan {
    /// The day after which results are in doubt, that of the last reference run before; `None` from the first run on.
    pub after: Option<Date>,
    /// The first reference run at the changed level.
    pub first: Date,
    /// The last one.
    pub last: Date,
    /// The day from which results are in doubt no more, that of the next reference run; `None` up to now.
    pub until: Option<Date>,
}

impl OutOfControlSpan {
    /// Whether a result of a date is in doubt.
    pub fn contains(&self, date: Date) -> bool {
        let within = (self.first..=self.last).contains(&date);
        within || (self.after.is_none_or(|after| date > after) && self.until.is_none_or(|until| date < until))
    }
}

/// The levels of one rig in one quantity.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RigLevels {
    /// The reference oil that stands for the rig.
    pub(crate) oil: BlendCode,
    /// First and last reference run of each level, in order.
    levels: Vec<(Date, Date)>,
    /// The level at which the rig is in control.
    in_control: usize,
    /// Whether there are runs enough to tell blocks by levels alone.
    is_judged: bool,
    /// Where the rig was out of control.
    pub(crate) spans: Vec<OutOfControlSpan>,
}

impl RigLevels {
    /// `None` where no reference run can be placed.
    pub(crate) fn of(runs: &ReferenceRuns, rig: &Rig) -> Option<Self> {
        let oil = runs.main_oil(rig.reference_blend.as_ref())?;
        let series = runs.series();
        let first = runs.readings.first()?.date;
        let day = |date: Date| i64::from(first.until(date).map_or(0, |span| span.get_days()));
        let readings: Vec<Reading> = runs
            .readings
            .iter()
            .zip(series)
            .map(|(reading, series)| Reading {
                series,
                moment: day(reading.date),
                value: reading.working,
            })
            .collect();
        let placed = Placed {
            dates: runs.readings.iter().map(|reading| reading.date).collect(),
            cuts: level_changes(&readings),
            changes: runs.changes_of(oil),
            base: rig.base_period,
        };
        Some(Self {
            oil: oil.clone(),
            in_control: placed.in_control(),
            levels: placed.levels(),
            is_judged: runs.most_of_one_oil() >= JUDGED_FROM,
            spans: placed.out_of_control(),
        })
    }

    /// First reference run of each level but the first.
    pub(crate) fn changed_on(&self) -> impl Iterator<Item = Date> {
        self.levels.iter().skip(1).map(|(first, _)| *first)
    }

    /// When a result of a date was run.
    fn time(&self, date: Option<Date>) -> RigTime {
        if self.levels.len() < 2 {
            return RigTime::Always;
        }
        let Some(date) = date else {
            return RigTime::Undated;
        };
        let place = self.levels.partition_point(|(first, _)| *first <= date).max(1) - 1;
        match self.levels.get(place + 1) {
            Some((next, _)) if date > self.levels[place].1 => RigTime::Between {
                after: self.levels[place].1,
                before: *next,
            },
            _ => self.level(place),
        }
    }

    fn level(&self, place: usize) -> RigTime {
        RigTime::Level {
            from: (place > 0).then(|| self.levels[place].0),
            to: (place + 1 < self.levels.len()).then(|| self.levels[place].1),
        }
    }

    /// As if no change of the level had been seen.
    fn uncut(&self) -> Self {
        Self {
            levels: Vec::new(),
            in_control: 0,
            spans: Vec::new(),
            ..self.clone()
        }
    }
}

/// Reference runs with the places at which their level changed.
struct Placed {
    dates: Vec<Date>,
    cuts: Vec<usize>,
    /// From when something is new.
    changes: Vec<Date>,
    base: Option<BasePeriod>,
}

impl Placed {
    fn level_of(&self, place: usize) -> usize {
        self.cuts.partition_point(|cut| *cut <= place)
    }

    /// Between which changes of what it was run with.
    fn stretch_of(&self, place: usize) -> usize {
        self.changes
            .partition_point(|change| *change <= self.dates[place])
    }

    fn levels(&self) -> Vec<(Date, Date)> {
        let starts = [&[0], self.cuts.as_slice()].concat();
        let ends = self.cuts.iter().copied().chain([self.dates.len()]);
        let of_level = starts.iter().zip(ends);
        of_level
            .map(|(start, end)| (self.dates[*start], self.dates[end - 1]))
            .collect()
    }

    /// The level that most runs of the base period hold, the first of several; `None` where none was run in it.
    fn level_of_base(&self) -> Option<usize> {
        let base = self.base?;
        let places = (0..self.dates.len()).filter(|place| base.contains(self.dates[*place]));
        let mut runs: BTreeMap<usize, usize> = BTreeMap::new();
        for place in places {
            *runs.entry(self.level_of(place)).or_default() += 1;
        }
        let most = runs.into_iter().rev().max_by_key(|(_, runs)| *runs);
        most.map(|(level, _)| level)
    }

    /// The level of the base period; without one the first after the last change of what the rig is run with.
    fn in_control(&self) -> usize {
        let since_change = || {
            let newest = self.dates.len().checked_sub(1).map(|last| self.stretch_of(last));
            let first = (0..self.dates.len()).find(|place| Some(self.stretch_of(*place)) == newest);
            first.map_or(0, |place| self.level_of(place))
        };
        self.level_of_base().unwrap_or_else(since_change)
    }

    /// Runs at another level than the first of their stretch, or than that of the base period where it lies there.
    fn out_of_control(&self) -> Vec<OutOfControlSpan> {
        let places: Vec<usize> = (0..self.dates.len()).collect();
        let base = self.base.zip(self.level_of_base());
        let mut spans = Vec::new();
        for stretch in places.chunk_by(|a, b| self.stretch_of(*a) == self.stretch_of(*b)) {
            let in_base = |base: &BasePeriod| stretch.iter().any(|place| base.contains(self.dates[*place]));
            let of_base = base.filter(|(base, _)| in_base(base)).map(|(_, level)| level);
            let good = of_base.unwrap_or_else(|| self.level_of(stretch[0]));
            for level in stretch.chunk_by(|a, b| self.level_of(*a) == self.level_of(*b)) {
                if self.level_of(level[0]) != good {
                    spans.push(self.span(level[0], level[level.len() - 1]));
                }
            }
        }
        spans
    }

    /// Bounded by the runs beside it, and by what was new.
    fn span(&self, first: usize, last: usize) -> OutOfControlSpan {
        let stretch = self.stretch_of(first);
        let new_before = stretch.checked_sub(1).map(|change| self.changes[change]);
        let new_after = self.changes.get(stretch).copied();
        let before = first.checked_sub(1).map(|place| self.dates[place]);
        let the_day_before = |date: Date| date.yesterday().unwrap_or(date);
        OutOfControlSpan {
            after: before.max(new_before.map(the_day_before)),
            first: self.dates[first],
            last: self.dates[last],
            until: [self.dates.get(last + 1).copied(), new_after]
                .into_iter()
                .flatten()
                .min(),
        }
    }
}

/// The levels of every rig that ran a test.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Levels {
    of_rig: BTreeMap<String, RigLevels>,
    /// The reference oils that rigs name.
    declared: BTreeMap<String, BlendCode>,
}

impl Levels {
    /// From the current results of a trial, of any method; `is_reference` says of which a reference oil was run. The oil
    /// that a rig names is one too.
    pub(crate) fn of(
        results: &[&RunResult],
        rigs: &[Rig],
        is_reference: &dyn Fn(&RunResult) -> bool,
        method: &Method,
        quantity: &Quantity,
    ) -> Self {
        let of_method = results.iter().filter(|result| result.key.method == method.id);
        let ran: BTreeSet<&RigId> = of_method.filter_map(|result| result.rig.as_ref()).collect();
        let mut levels = Self::default();
        for rig in rigs.iter().filter(|rig| ran.contains(&rig.id)) {
            let name = rig.id.to_string();
            let runs = ReferenceRuns::of(results, is_reference, rig, method, quantity);
            if let Some(of_rig) = RigLevels::of(&runs, rig) {
                levels.of_rig.insert(name.clone(), of_rig);
            }
            if let Some(oil) = rig.reference_blend.as_ref() {
                levels.declared.insert(name, oil.clone());
            }
        }
        levels
    }

    /// Whether what a blend reads in a block tells of the level of the rig.
    pub(crate) fn is_reference(&self, role: Role, blend: &BlendCode, block: &Block) -> bool {
        role == Role::Reference || self.declared.get(&block.rig) == Some(blend)
    }

    /// The block of a result.
    pub(crate) fn block_of(&self, result: &RunResult) -> Block {
        let rig = result.rig.as_ref().map(ToString::to_string).unwrap_or_default();
        let levels = self.of_rig.get(&rig);
        let by_level = levels.is_some_and(|levels| levels.is_judged);
        Block {
            campaign: if by_level {
                String::new()
            } else {
                result.campaign.clone()
            },
            time: levels.map_or(RigTime::Always, |levels| levels.time(result.date)),
            rig,
        }
    }

    /// Whether a rig held in a block the level at which it is in control.
    pub(crate) fn is_in_control(&self, block: &Block) -> bool {
        let levels = self.of_rig.get(&block.rig);
        match block.time {
            RigTime::Always => true,
            time => levels.is_some_and(|levels| levels.level(levels.in_control) == time),
        }
    }

    /// The span of a result whose rig was out of control, with the reference oil of the rig.
    pub(crate) fn out_of_control(&self, result: &RunResult) -> Option<(&BlendCode, OutOfControlSpan)> {
        let levels = self.of_rig.get(result.rig.as_ref()?.as_str())?;
        let date = result.date?;
        let span = levels.spans.iter().find(|span| span.contains(date))?;
        Some((&levels.oil, *span))
    }

    /// As if no change of a level had been seen.
    pub(crate) fn uncut(&self) -> Self {
        let uncut = self.of_rig.iter();
        Self {
            of_rig: uncut.map(|(rig, levels)| (rig.clone(), levels.uncut())).collect(),
            declared: self.declared.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn day(day: i8) -> Date {
        date(2025, 3, day)
    }

    /// Runs on every third day from the first; level changes before the runs at some places, and days with something new.
    fn placed(cuts: &[usize], changes: &[i8], base: Option<(i8, i8)>) -> Placed {
        let (from, to) = base.unzip();
        Placed {
            dates: (0..9).map(|run| day(1 + 3 * run)).collect(),
            cuts: cuts.to_vec(),
            changes: changes.iter().map(|on| day(*on)).collect(),
            base: BasePeriod::between(from.map(day), to.map(day)).ok().flatten(),
        }
    }

    fn levels(placed: &Placed) -> RigLevels {
        RigLevels {
            oil: crate::support::code("OIL"),
            levels: placed.levels(),
            in_control: placed.in_control(),
            is_judged: true,
            spans: placed.out_of_control(),
        }
    }

    #[test]
    fn a_result_is_of_the_level_between_whose_runs_it_lies_and_else_of_none_that_is_known() {
        // runs on the 1st to 10th at one level, on the 13th to 25th at another
        let rig = levels(&placed(&[4], &[], None));
        let first = RigTime::Level {
            from: None,
            to: Some(day(10)),
        };
        let second = RigTime::Level {
            from: Some(day(13)),
            to: None,
        };
        let between = RigTime::Between {
            after: day(10),
            before: day(13),
        };
        let times = [1, 9, 10, 11, 12, 13, 14, 28].map(|on| rig.time(Some(day(on))));
        assert_eq!(
            times,
            [first, first, first, between, between, second, second, second]
        );
        assert_eq!(rig.time(Some(date(2024, 1, 1))), first);
        assert_eq!(rig.time(None), RigTime::Undated);
        let steady = levels(&placed(&[], &[], None));
        assert_eq!(
            [None, Some(day(9))].map(|on| steady.time(on)),
            [RigTime::Always; 2]
        );
        assert_eq!(rig.uncut().time(None), RigTime::Always);
    }

    #[test]
    fn in_control_is_the_level_of_the_base_period_or_the_first_since_something_was_new() {
        let of = |changes: &[i8], base| placed(&[3, 6], changes, base).in_control();
        assert_eq!(of(&[], None), 0);
        // new on the day of the second level's last run, of the third's first, or with no run since
        assert_eq!([16, 17, 19, 26].map(|on| of(&[on], None)), [1, 2, 2, 0]);
        // most runs of the period count, of equal numbers the first level
        assert_eq!(of(&[], Some((10, 16))), 1);
        assert_eq!(of(&[], Some((7, 10))), 0);
        assert_eq!(of(&[], Some((7, 13))), 1);
        assert_eq!(of(&[], Some((2, 3))), 0, "no run in it");
        assert_eq!(of(&[19], Some((1, 3))), 0);
    }

    #[test]
    fn out_of_control_are_other_levels_than_that_of_their_stretch_or_of_the_base_period() {
        let spans = |changes: &[i8], base| -> Vec<(Option<Date>, Date, Option<Date>)> {
            let spans = placed(&[3, 6], changes, base).out_of_control().into_iter();
            spans.map(|span| (span.after, span.first, span.until)).collect()
        };
        let second = (Some(day(7)), day(10), Some(day(19)));
        let third = (Some(day(16)), day(19), None);
        assert_eq!(spans(&[], None), [second, third]);
        assert_eq!(spans(&[], Some((10, 16))), [(None, day(1), Some(day(10))), third]);
        // new on the 18th: what came before is doubted until then, the third level is that of its stretch
        assert_eq!(spans(&[18], None), [(Some(day(7)), day(10), Some(day(18)))]);
        assert_eq!(spans(&[10, 19], None), []);
        // a base period within the last stretch, at a level that it did not begin with
        let doubted = (Some(day(12)), day(13), Some(day(19)));
        assert_eq!(spans(&[13], Some((19, 25))), [second_before(13), doubted]);
    }

    fn second_before(new: i8) -> (Option<Date>, Date, Option<Date>) {
        (Some(day(7)), day(10), Some(day(new)))
    }
}
