//! Dates as laboratories write them.

use jiff::civil::Date;

/// Why a text is not a date.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DateFault {
    /// It has none of the forms.
    #[error("is not a date; write 2026-11-24")]
    Form,
    /// Day and month cannot be told apart.
    #[error("does not say which is the day and which the month; write 2026-11-24")]
    Order,
    /// The calendar has no such day.
    #[error("is not a day of the calendar")]
    NoSuchDay,
    /// The year lies outside 1900 to 2199, as after a slip of the pen.
    #[error("has a year outside 1900 to 2199")]
    Year,
}

const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];

/// The day of `2026-11-24`, `24.11.2026` or `24 Nov 2026`. A date with slashes is refused.
pub fn read_date(text: &str) -> Result<Date, DateFault> {
    let text = text.trim();
    if let [year, month, day] = parts(text, '-')[..] {
        return (year.len() == 4)
            .then(|| day_of(year, number(month)?, day))
            .flatten()
            .ok_or(DateFault::Form)?;
    }
    if let [day, month, year] = parts(text, '.')[..] {
        return number(month)
            .and_then(|month| day_of(year, month, day))
            .ok_or(DateFault::Form)?;
    }
    if text.contains('/') {
        return Err(DateFault::Order);
    }
    if let [day, month, year] = parts(text, ' ')[..] {
        let month = month.to_ascii_lowercase();
        let found = MONTHS
            .iter()
            .position(|short| month.len() >= 3 && month.starts_with(short));
        return found
            .and_then(|index| day_of(year, index as i64 + 1, day))
            .ok_or(DateFault::Form)?;
    }
    Err(DateFault::Form)
}

fn parts(text: &str, separator: char) -> Vec<&str> {
    text.split(separator).collect()
}

fn number(text: &str) -> Option<i64> {
    let digits = !text.is_empty() && text.len() <= 4 && text.chars().all(|c| c.is_ascii_digit());
    digits.then(|| text.parse().ok()).flatten()
}

/// `None` where the parts are no numbers.
fn day_of(year: &str, month: i64, day: &str) -> Option<Result<Date, DateFault>> {
    let (year_number, day) = (number(year)?, number(day)?);
    if year.len() != 4 || !(1900..2200).contains(&year_number) {
        return Some(Err(DateFault::Year));
    }
    let (month, day) = (i8::try_from(month), i8::try_from(day));
    let found = match (month, day) {
        (Ok(month), Ok(day)) => Date::new(year_number as i16, month, day).ok(),
        _ => None,
    };
    Some(found.ok_or(DateFault::NoSuchDay))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn the_three_forms_are_read() {
        let day = date(2026, 11, 24);
        for text in ["2026-11-24", "24.11.2026", "24 Nov 2026", " 24 november 2026 "] {
            assert_eq!(read_date(text), Ok(day), "{text}");
        }
    }

    #[test]
    fn a_date_with_slashes_is_refused_because_its_order_is_not_said() {
        assert_eq!(read_date("03/04/2026"), Err(DateFault::Order));
    }

    #[test]
    fn days_that_do_not_exist_are_refused() {
        for text in [
            "2026-02-30",
            "2026-13-01",
            "31.04.2026",
            "2023-02-29",
            "2026-00-10",
        ] {
            assert_eq!(read_date(text), Err(DateFault::NoSuchDay), "{text}");
        }
        assert_eq!(read_date("0206-11-24"), Err(DateFault::Year));
        assert_eq!(read_date("24.11.26"), Err(DateFault::Year));
    }

    #[test]
    fn anything_else_is_refused_with_the_form() {
        for text in [
            "",
            "yesterday",
            "2026-11",
            "26-11-24",
            "2026-11-24T10:00",
            "20261124",
            "45987",
        ] {
            assert_eq!(read_date(text), Err(DateFault::Form), "{text}");
        }
    }
}
