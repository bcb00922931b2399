//! What a file as a whole settles: its decimal sign, and the order of day and month in dates with slashes.
//!
//! One cell such as `0,45` says what `1,234` in another one means. Cells that say different things settle nothing.

use crate::intake::{DateFault, read_date, read_number};
use jiff::civil::Date;

/// The decimal sign of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decimal {
    /// `0.45`; a comma separates thousands.
    Point,
    /// `0,45`; a point separates thousands.
    Comma,
}

/// The order of a date with slashes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// 24/11/2026.
    DayFirst,
    /// 11/24/2026.
    MonthFirst,
}

/// The decimal sign on which all cells agree that show one.
pub(crate) fn decimal_sign<'a>(values: impl Iterator<Item = &'a str>) -> Option<Decimal> {
    agreed(values.flat_map(|text| numbers(text).filter_map(|(from, to)| shown_by(&text[from..to]))))
}

/// The order on which all dates agree that show one.
pub(crate) fn date_order<'a>(dates: impl Iterator<Item = &'a str>) -> Option<DateOrder> {
    agreed(dates.filter_map(|text| {
        let (first, second, _) = slashed(text)?;
        match (first > 12, second > 12) {
            (true, false) => Some(DateOrder::DayFirst),
            (false, true) => Some(DateOrder::MonthFirst),
            _ => None,
        }
    }))
}

fn agreed<T: PartialEq + Copy>(mut shown: impl Iterator<Item = T>) -> Option<T> {
    let first = shown.next()?;
    shown.all(|other| other == first).then_some(first)
}

/// The places of the numbers in a text: digits with points and commas between them.
fn numbers(text: &str) -> impl Iterator<Item = (usize, usize)> {
    let bytes = text.as_bytes();
    let mut at = 0;
    std::iter::from_fn(move || {
        while at < bytes.len() && !bytes[at].is_ascii_digit() {
            at += 1;
        }
        let from = at;
        while at < bytes.len() && (bytes[at].is_ascii_digit() || matches!(bytes[at], b'.' | b',')) {
            at += 1;
        }
        let mut to = at;
        while to > from && !bytes[to - 1].is_ascii_digit() {
            to -= 1;
        }
        (to > from).then_some((from, to))
    })
}

/// The decimal sign that a number shows beyond doubt.
fn shown_by(number: &str) -> Option<Decimal> {
    let (points, commas) = (number.matches('.').count(), number.matches(',').count());
    match (points, commas) {
        (0, 0) => None,
        (1, 0) if grouped(number, '.') => None,
        (1, 0) => Some(Decimal::Point),
        (0, 1) if grouped(number, ',') => None,
        (0, 1) => Some(Decimal::Comma),
        (_, 0) => grouped(number, '.').then_some(Decimal::Comma),
        (0, _) => grouped(number, ',').then_some(Decimal::Point),
        _ => {
            read_number(number).ok()?;
            let last_is_point = number.rfind('.') > number.rfind(',');
            Some(if last_is_point {
                Decimal::Point
            } else {
                Decimal::Comma
            })
        }
    }
}

/// Whether the digits stand as thousands do: one to three that do not start with 0, then threes.
fn grouped(number: &str, separator: char) -> bool {
    let mut groups = number.split(separator);
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len()) && !first.starts_with('0') && groups.all(|group| group.len() == 3)
}

/// A value with every number that could be read in two ways written so that it cannot, by the file's decimal sign.
pub(crate) fn settled(text: &str, decimal: Option<Decimal>) -> String {
    let Some(decimal) = decimal else {
        return text.to_string();
    };
    let mut out = String::with_capacity(text.len());
    let mut done = 0;
    for (from, to) in numbers(text) {
        let number = &text[from..to];
        let comma = number.matches(',').count() == 1 && !number.contains('.') && grouped(number, ',');
        let point = number.matches('.').count() == 1 && !number.contains(',') && grouped(number, '.');
        out.push_str(&text[done..from]);
        match decimal {
            Decimal::Point if comma => out.push_str(&number.replace(',', "")),
            Decimal::Comma if comma => out.push_str(&number.replace(',', ".")),
            Decimal::Comma if point => out.push_str(&number.replace('.', "")),
            _ => out.push_str(number),
        }
        done = to;
    }
    out.push_str(&text[done..]);
    out
}

/// A date in a file whose order may be settled. A date that only one order makes a day of is that day.
pub(crate) fn date_in_order(text: &str, order: Option<DateOrder>) -> Result<Date, DateFault> {
    let Some((first, second, year)) = slashed(text) else {
        return read_date(text);
    };
    let order = match (first > 12, second > 12, order) {
        (true, true, _) => return Err(DateFault::NoSuchDay),
        (true, false, _) => DateOrder::DayFirst,
        (false, true, _) => DateOrder::MonthFirst,
        (false, false, Some(order)) => order,
        (false, false, None) if first == second => DateOrder::DayFirst,
        (false, false, None) => return Err(DateFault::Order),
    };
    let (day, month) = match order {
        DateOrder::DayFirst => (first, second),
        DateOrder::MonthFirst => (second, first),
    };
    read_date(&format!("{day}.{month}.{year}"))
}

/// The parts of `3/4/2026`.
fn slashed(text: &str) -> Option<(u32, u32, &str)> {
    let parts: Vec<&str> = text.trim().split('/').collect();
    let [first, second, year] = parts[..] else {
        return None;
    };
    let short = |part: &str| {
        let digits = (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        digits.then(|| part.parse().ok()).flatten()
    };
    Some((short(first)?, short(second)?, year))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn one_cell_settles_what_another_one_means() {
        let sign = |cells: &[&str]| decimal_sign(cells.iter().copied());
        assert_eq!(sign(&["1,234", "0,45"]), Some(Decimal::Comma));
        assert_eq!(sign(&["1,234", "0.45 mm"]), Some(Decimal::Point));
        assert_eq!(sign(&["1,234", "250"]), None);
        assert_eq!(sign(&["0,45", "0.45"]), None);
        assert_eq!(sign(&["1.234,5", "> 1.234.567"]), Some(Decimal::Comma));
        assert_eq!(settled("> 1,234 h", Some(Decimal::Comma)), "> 1.234 h");
        assert_eq!(settled("> 1,234 h", Some(Decimal::Point)), "> 1234 h");
        assert_eq!(settled("1.234 h", Some(Decimal::Comma)), "1234 h");
        assert_eq!(settled("0,450 µm", Some(Decimal::Comma)), "0,450 µm");
        assert_eq!(settled("1,234", None), "1,234");
    }

    #[test]
    fn one_date_settles_the_order_of_the_others() {
        let order = |cells: &[&str]| date_order(cells.iter().copied());
        assert_eq!(order(&["03/04/2026", "13/04/2026"]), Some(DateOrder::DayFirst));
        assert_eq!(order(&["03/04/2026", "04/13/2026"]), Some(DateOrder::MonthFirst));
        assert_eq!(order(&["13/04/2026", "04/13/2026"]), None);
        assert_eq!(order(&["03/04/2026", "2026-04-13"]), None);
        let third_of_april = date(2026, 4, 3);
        assert_eq!(
            date_in_order("03/04/2026", Some(DateOrder::DayFirst)),
            Ok(third_of_april)
        );
        assert_eq!(
            date_in_order("04/03/2026", Some(DateOrder::MonthFirst)),
            Ok(third_of_april)
        );
        assert_eq!(date_in_order("03/04/2026", None), Err(DateFault::Order));
        assert_eq!(date_in_order("31/04/2026", None), Err(DateFault::NoSuchDay));
        assert_eq!(date_in_order("4/4/2026", None), Ok(date(2026, 4, 4)));
        assert_eq!(date_in_order("13/04/26", None), Err(DateFault::Year));
    }
}
