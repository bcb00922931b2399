//! Between which reference runs a rig was out of control.

use crate::standing::rig_chart::ChartPoint;
use jiff::civil::Date;

/// An alarm marks every result since the last reference run in control, and goes on marking until the next one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutOfControlSpan {
    /// Date of the last run in control before it; `None` where there was none.
    pub after: Option<Date>,
    /// Date of the first alarm.
    pub first_alarm: Date,
    /// Date of the last alarm.
    pub last_alarm: Date,
    /// Date of the first run in control after it; `None` while there is none.
    pub until: Option<Date>,
}

impl OutOfControlSpan {
    /// Whether a result of a date is marked. On the day of a run in control it is not, unless an alarm fell on that day
    /// too: records do not say which came first.
    pub fn contains(&self, date: Date) -> bool {
        let between =
            self.after.is_none_or(|after| after < date) && self.until.is_none_or(|until| date < until);
        between || (self.first_alarm <= date && date <= self.last_alarm)
    }
}

/// The spans of a chart, from its points in order of time.
pub(super) fn out_of_control_spans(points: &[ChartPoint]) -> Vec<OutOfControlSpan> {
    let mut spans: Vec<OutOfControlSpan> = Vec::new();
    let mut after = None;
    let mut open = false;
    for point in points {
        match (point.is_alarm(), spans.last_mut().filter(|_| open)) {
            (true, Some(span)) => span.last_alarm = point.date,
            (true, None) => {
                open = true;
                spans.push(OutOfControlSpan {
                    after,
                    first_alarm: point.date,
                    last_alarm: point.date,
                    until: None,
                });
            }
            (false, span) => {
                if let Some(span) = span {
                    span.until = Some(point.date);
                }
                open = false;
                after = Some(point.date);
            }
        }
    }
    spans
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::control::Rule;

    fn day(day: i8) -> Date {
        Date::new(2025, 3, day).unwrap()
    }

    fn point(on: i8, signals: &[Rule]) -> ChartPoint {
        ChartPoint {
            date: day(on),
            replicate: 1,
            value: 1.0,
            working: 0.0,
            ewma: 0.0,
            signals: signals.to_vec(),
        }
    }

    #[test]
    fn an_alarm_marks_back_to_the_last_run_in_control_and_on_to_the_next() {
        let alarm = [Rule::BeyondLimits];
        let points = [point(1, &[]), point(5, &alarm), point(9, &alarm), point(12, &[])];
        let spans = out_of_control_spans(&points);
        assert_eq!(spans.len(), 1);
        let marked: Vec<i8> = (1..=14).filter(|on| spans[0].contains(day(*on))).collect();
        assert_eq!(marked, (2..=11).collect::<Vec<i8>>());
    }

    #[test]
    fn an_alarm_at_either_end_is_open_there() {
        let alarm = [Rule::EightOnOneSide];
        let spans = out_of_control_spans(&[point(5, &alarm), point(8, &[]), point(10, &alarm)]);
        assert_eq!((spans[0].after, spans[0].until), (None, Some(day(8))));
        assert_eq!((spans[1].after, spans[1].until), (Some(day(8)), None));
        assert!(spans[1].contains(day(28)) && !spans[0].contains(day(8)));
    }

    #[test]
    fn the_day_of_an_alarm_is_marked_even_where_a_run_in_control_fell_on_it_too() {
        let spans = out_of_control_spans(&[point(5, &[]), point(5, &[Rule::WeightedMean]), point(9, &[])]);
        assert!(spans[0].contains(day(5)) && !spans[0].contains(day(9)));
    }

    #[test]
    fn a_jump_alone_marks_nothing() {
        assert!(out_of_control_spans(&[point(1, &[]), point(2, &[Rule::MovingRange])]).is_empty());
    }
}
