//! A day of any year, as planting calendars and frost tables print it.

use crate::tabular::{Cells, Problem};

/// Month and day, in the order of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MonthDay {
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, 1 to 31.
    pub day: u8,
}

impl MonthDay {
    /// The day written `mm-dd`; `None` if there is no such day in any year.
    ///
    /// ```
    /// use breakcrop::knowledge::MonthDay;
    /// assert_eq!(MonthDay::parse("02-29"), Some(MonthDay { month: 2, day: 29 }));
    /// assert_eq!(MonthDay::parse("02-30"), None);
    /// ```
    #[must_use]
    pub fn parse(written: &str) -> Option<Self> {
        const LENGTHS: [u8; 12] = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
        let (month, day) = written.split_once('-').filter(|_| written.len() == 5)?;
        let (month, day) = (month.parse::<u8>().ok()?, day.parse::<u8>().ok()?);
        let length = *LENGTHS.get(usize::from(month).checked_sub(1)?)?;
        (1..=length).contains(&day).then_some(Self { month, day })
    }

    /// The day in a cell.
    pub(super) fn read(cells: &mut Cells<'_>, name: &'static str) -> Option<Self> {
        let written = cells.text(name)?;
        let day = Self::parse(written);
        if day.is_none() {
            let hint = "write month and day as mm-dd, like 04-15".to_owned();
            cells.problem(name, Problem::NotADay, Some(hint));
        }
        day
    }
}
