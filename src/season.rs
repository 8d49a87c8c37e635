//! Days and years as the garden counts them. "Today" is always an argument, never read here.

mod worded;

pub use worded::{PartOfADay, worded_day};

use chrono::{Datelike, NaiveDate};

/// A calendar day. Records know days, not times of day.
pub type Date = NaiveDate;

/// Mean length of a year in days, used wherever a span in days becomes years.
pub const DAYS_PER_YEAR: f64 = 365.25;

/// First and last year a record may carry: outside it a date is a slip of the pen.
pub const YEARS: std::ops::RangeInclusive<i32> = 1900..=2100;

/// Reads a day written `yyyy-mm-dd` and nothing else; `None` if it is written otherwise or does
/// not exist. Ten characters at fixed places, because a general date parser costs twice the time
/// of everything else in reading a row.
///
/// ```
/// use breakcrop::season::{iso_day, Date};
/// assert_eq!(iso_day("2024-02-29"), Date::from_ymd_opt(2024, 2, 29));
/// assert_eq!(iso_day("2023-02-29"), None);
/// assert_eq!(iso_day("29/02/2024"), None);
/// ```
#[must_use]
#[inline]
pub fn iso_day(text: &str) -> Option<Date> {
    let bytes = text.as_bytes();
    if bytes.len() != 10 || bytes[4] != b'-' || bytes[7] != b'-' {
        return None;
    }
    let number = |range: std::ops::Range<usize>| {
        bytes[range].iter().try_fold(0_u32, |sum, &byte| {
            byte.is_ascii_digit().then(|| sum * 10 + u32::from(byte - b'0'))
        })
    };
    NaiveDate::from_ymd_opt(i32::try_from(number(0..4)?).ok()?, number(5..7)?, number(8..10)?)
}

/// Years from one day to another; negative if `to` is earlier.
#[must_use]
pub fn years_between(from: Date, to: Date) -> f64 {
    (to - from).num_days() as f64 / DAYS_PER_YEAR
}

/// The day `years` after `from`, rounded up to a whole day so that a wait is never cut short.
/// Saturates at the calendar's end.
///
/// ```
/// use breakcrop::season::{add_years, Date};
/// let dug = Date::from_ymd_opt(2024, 9, 1).unwrap();
/// assert_eq!(add_years(dug, 3.0), Date::from_ymd_opt(2027, 9, 2).unwrap());
/// ```
#[must_use]
pub fn add_years(from: Date, years: f64) -> Date {
    add_days(from, (years * DAYS_PER_YEAR).ceil())
}

/// The day `days` after `from`; fractions are cut. Saturates at the calendar's end.
#[must_use]
#[expect(clippy::cast_possible_truncation, reason = "bounded to the calendar on the line above")]
pub fn add_days(from: Date, days: f64) -> Date {
    let days = days.clamp(-1.0e6, 1.0e6) as i64;
    from.checked_add_signed(chrono::TimeDelta::days(days)).unwrap_or(from)
}

/// Days since 1970-01-01, the form in which the store keeps a day.
#[must_use]
pub fn day_number(date: Date) -> i64 {
    (date - NaiveDate::default()).num_days()
}

/// The day of a stored day number; `None` outside the calendar.
#[must_use]
pub fn from_day_number(days: i64) -> Option<Date> {
    NaiveDate::default().checked_add_signed(chrono::TimeDelta::try_days(days)?)
}

/// A month's name in English, short form.
#[must_use]
pub fn month_name(month: u32) -> &'static str {
    const NAMES: [&str; 12] =
        ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    NAMES[(month as usize + 11) % 12]
}

/// The half of the year in which a day falls at a site: `true` from spring equinox to autumn
/// equinox of its own hemisphere.
#[must_use]
pub fn in_growing_half(date: Date, latitude: f64) -> bool {
    let northern = (80..266).contains(&date.ordinal());
    northern == (latitude >= 0.0)
}

/// The days something holds a place: from the first day to the last, or still now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Interval {
    /// First day.
    pub start: Date,
    /// Last day, or `None` while it still stands.
    pub end: Option<Date>,
}

impl Interval {
    /// Whether the day lies within.
    #[must_use]
    pub fn holds(&self, date: Date) -> bool {
        self.start <= date && self.end.is_none_or(|end| date < end)
    }

    /// The last day known at `today`: the end, or today while it still stands.
    #[must_use]
    pub fn end_by(&self, today: Date) -> Date {
        self.end.map_or(today, |end| end.min(today)).max(self.start)
    }

    /// Whether two intervals share at least one day.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        other.end.is_none_or(|end| self.start < end) && self.end.is_none_or(|end| other.start < end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    fn day(text: &str) -> Date {
        iso_day(text).expect("a day")
    }

    #[test]
    fn a_stored_day_comes_back() {
        for text in ["1969-12-31", "1970-01-01", "2026-10-12"] {
            assert_eq!(from_day_number(day_number(day(text))), Some(day(text)));
        }
    }

    #[test]
    fn the_growing_half_turns_with_the_hemisphere() {
        assert!(in_growing_half(day("2026-06-21"), 34.0));
        assert!(!in_growing_half(day("2026-06-21"), -37.8));
        assert!(in_growing_half(day("2026-12-21"), -37.8));
    }

    #[test]
    fn intervals_that_touch_do_not_overlap() {
        let first = Interval { start: day("2024-03-01"), end: Some(day("2024-06-01")) };
        let second = Interval { start: day("2024-06-01"), end: None };
        assert!(!first.overlaps(&second));
        assert!(second.overlaps(&Interval { start: day("2025-01-01"), end: None }));
    }
}
