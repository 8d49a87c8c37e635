//! What is written where a day was wanted, and what to type instead.

use chrono::NaiveDate;

use super::problem::Problem;
use crate::season::{Date, PartOfADay, month_name};

/// Why a text is not a day, and how the day would be written if it can be told.
pub(super) fn not_a_day(written: &str) -> (Problem, Option<String>) {
    if let Some(found) = in_digits(written).or_else(|| serial_number(written)) {
        return found;
    }
    let hint = PartOfADay::of(written).map_or_else(
        || "write the day as yyyy-mm-dd, like 2024-03-12, or like 12 Mar 2024".to_owned(),
        whole_day,
    );
    (Problem::NotADay, Some(hint))
}

/// What to type for a part of a day.
fn whole_day(part: PartOfADay) -> String {
    let between = |(first, last): (Date, Date)| format!("from `{first}` to `{last}`");
    match part {
        PartOfADay::Month(first, last) => {
            format!("the day is missing: write one {}", between((first, last)))
        }
        PartOfADay::MonthOfNoYear(month) => {
            format!(
                "day and year are missing: write them too, like `15 {} 2024`",
                month_name(month)
            )
        }
        PartOfADay::DayOfNoYear(month, day) => {
            format!("the year is missing: write it too, like `{day} {} 2024`", month_name(month))
        }
        PartOfADay::Season(north, south) => format!(
            "a season is many days: write one {} north of the equator, {} south of it",
            between(north),
            between(south)
        ),
        PartOfADay::SeasonOfNoYear => {
            "a season is many days: write one of them with its year, like `15 May 2024`".to_owned()
        }
        PartOfADay::Year(year) => {
            format!("month and day are missing: write a day {}", between(whole_year(year)))
        }
        PartOfADay::ShortYear(day) => format!("the year in four digits: write `{day}`"),
    }
}

fn whole_year(year: i32) -> (Date, Date) {
    let day = |month, day| NaiveDate::from_ymd_opt(year, month, day).unwrap_or_default();
    (day(1, 1), day(12, 31))
}

/// A day in three numbers, in another order than ours or with signs missing.
fn in_digits(written: &str) -> Option<(Problem, Option<String>)> {
    let parts: Vec<u32> =
        written.split(['/', '.', '-', ' ']).map(|part| part.parse().ok()).collect::<Option<_>>()?;
    let [a, b, c] = parts[..] else { return None };
    let day =
        |year: u32, month, day| NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day);
    if (1900..=2100).contains(&a) {
        let hint = day(a, b, c)
            .map_or_else(|| "there is no such day".to_owned(), |day| format!("write `{day}`"));
        return Some((Problem::NotADay, Some(hint)));
    }
    let (year, short) = match c {
        0..100 => (2000 + c, "; the year in four digits"),
        1900..=2100 => (c, ""),
        _ => return None,
    };
    if a > 31 || b > 31 {
        return None;
    }
    let hint = match (day(year, b, a), day(year, a, b)) {
        (Some(one), Some(other)) if one != other => {
            format!("write `{one}` or `{other}`, whichever is meant{short}")
        }
        (Some(one), _) | (None, Some(one)) => format!("write `{one}`{short}"),
        (None, None) => "there is no such day".to_owned(),
    };
    Some((Problem::DayOrder, Some(hint)))
}

/// A spreadsheet's count of days.
fn serial_number(written: &str) -> Option<(Problem, Option<String>)> {
    let serial = written.parse::<u32>().ok().filter(|serial| (20_000..80_000).contains(serial))?;
    let day = NaiveDate::from_ymd_opt(1899, 12, 30)
        .and_then(|zero| zero.checked_add_signed(chrono::TimeDelta::days(i64::from(serial))));
    let hint =
        day.map(|day| format!("a spreadsheet's day number; if it counts from 1900, write `{day}`"));
    Some((Problem::DayNumber, hint))
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    #[test]
    fn what_to_type_is_said_for_each_half_filled_day() {
        let cases = [
            ("mid May 2025", "the day is missing: write one from `2025-05-11` to `2025-05-20`"),
            ("2024-05", "the day is missing: write one from `2024-05-01` to `2024-05-31`"),
            ("May", "day and year are missing: write them too, like `15 May 2024`"),
            ("3 May", "the year is missing: write it too, like `3 May 2024`"),
            ("2019", "month and day are missing: write a day from `2019-01-01` to `2019-12-31`"),
            ("3 May 25", "the year in four digits: write `2025-05-03`"),
            (
                "3/5/25",
                "write `2025-05-03` or `2025-03-05`, whichever is meant; the year in four digits",
            ),
            (
                "spring 2024",
                "a season is many days: write one from `2024-03-01` to `2024-05-31` north of the \
                 equator, from `2024-09-01` to `2024-11-30` south of it",
            ),
            ("after frost", "write the day as yyyy-mm-dd, like 2024-03-12, or like 12 Mar 2024"),
        ];
        for (written, hint) in cases {
            assert_eq!(not_a_day(written).1.as_deref(), Some(hint), "{written}");
        }
    }
}
