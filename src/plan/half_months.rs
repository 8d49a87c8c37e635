//! The half-months of a plan: each begins on the 1st or the 16th.

use crate::season::Date;
use chrono::Datelike;

/// A run of half-months.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HalfMonths {
    first: Date,
    count: u8,
}

/// Half-months of a year.
pub(super) const A_YEAR: u8 = 24;

impl HalfMonths {
    /// So many half-months from the first 1st or 16th that is not before a day; four years at most.
    ///
    /// ```
    /// use breakcrop::plan::HalfMonths;
    /// use breakcrop::season::iso_day;
    /// let day = |text| iso_day(text).unwrap();
    /// let half_months = HalfMonths::from(day("2026-10-12"), 24);
    /// assert_eq!(half_months.day(0), day("2026-10-16"));
    /// assert_eq!(half_months.day(1), day("2026-11-01"));
    /// assert_eq!(half_months.day(24), day("2027-10-16"));
    /// ```
    #[must_use]
    pub fn from(day: Date, count: u8) -> Self {
        let first = match day.day() {
            1 => day,
            2..=16 => day.with_day(16).unwrap_or(day),
            _ => after(day, 1),
        };
        Self { first, count: count.clamp(1, 4 * A_YEAR) }
    }

    /// How many.
    #[must_use]
    pub fn count(self) -> u8 {
        self.count
    }

    /// First day of a half-month; that of the one after the last is the end of the plan.
    #[must_use]
    pub fn day(self, slot: u8) -> Date {
        let half = u32::from(self.first.day() > 15) + u32::from(slot);
        let month = after(self.first.with_day(1).unwrap_or(self.first), half / 2);
        if half % 2 == 0 { month } else { month.with_day(16).unwrap_or(month) }
    }

    /// The first half-month that begins on a day or after it, capped at the end of the plan.
    #[must_use]
    pub fn on_or_after(self, day: Date) -> u8 {
        (0..self.count).find(|slot| self.day(*slot) >= day).unwrap_or(self.count)
    }

    /// The first day after the plan.
    #[must_use]
    pub fn end(self) -> Date {
        self.day(self.count)
    }
}

/// The first of a month so many months on.
fn after(day: Date, months: u32) -> Date {
    let first = day.with_day(1).unwrap_or(day);
    first.checked_add_months(chrono::Months::new(months)).unwrap_or(first)
}
