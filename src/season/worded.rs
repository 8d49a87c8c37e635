//! Days and parts of days with the month in a word, as growers note them: `20 Oct 2025`.

use chrono::NaiveDate;

use super::{Date, YEARS};

/// Reads a day whose month is a word and whose year has four digits, so that only one day can be
/// meant: `20 Oct 2025`, `20th of October 2025`, `Oct 20, 2025`, `20-Oct-2025`, `2025 Oct 20`; months
/// in English, Spanish, Portuguese and French. `None` if it is written otherwise or does not exist.
///
/// ```
/// use breakcrop::season::{worded_day, Date};
/// let day = Date::from_ymd_opt(2025, 10, 20);
/// assert_eq!(worded_day("20 Oct 2025"), day);
/// assert_eq!(worded_day("October 20th, 2025"), day);
/// assert_eq!(worded_day("20 de octubre de 2025"), day);
/// assert_eq!(worded_day("20 Oct 25"), None);
/// assert_eq!(worded_day("Oct 2025"), None);
/// ```
#[must_use]
pub fn worded_day(text: &str) -> Option<Date> {
    let words = words_of(text);
    let [a, b, c] = &words[..] else { return None };
    let (day, month, year) = if let Some(month) = month_of_word(b) {
        // The year first is told by its four digits.
        if year_of(a).is_some() { (c, month, a) } else { (a, month, c) }
    } else {
        (b, month_of_word(a)?, c)
    };
    NaiveDate::from_ymd_opt(year_of(year)?, month, day_of(day)?)
}

/// What is written where a day was wanted, as far as it can be told: the first and last day it may
/// have been, on each side of the equator where a season was named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartOfADay {
    /// A month, or a third of one (`mid May 2025`): its first and last day.
    Month(Date, Date),
    /// A month, but no year.
    MonthOfNoYear(u32),
    /// A season: its months north of the equator, then south of it.
    Season((Date, Date), (Date, Date)),
    /// A season, but no year.
    SeasonOfNoYear,
    /// A whole year.
    Year(i32),
    /// A day of a month, but no year.
    DayOfNoYear(u32, u32),
    /// A day, with a year of two digits.
    ShortYear(Date),
}

impl PartOfADay {
    /// Reads what is not a whole day but tells something of one.
    ///
    /// ```
    /// use breakcrop::season::{iso_day, PartOfADay};
    /// let day = |text| iso_day(text).unwrap();
    /// let month = PartOfADay::Month(day("2024-02-01"), day("2024-02-29"));
    /// assert_eq!(PartOfADay::of("2024-02"), Some(month));
    /// assert_eq!(PartOfADay::of("Feb 2024"), Some(month));
    /// assert_eq!(PartOfADay::of("mid May"), Some(PartOfADay::MonthOfNoYear(5)));
    /// assert_eq!(PartOfADay::of("some day"), None);
    /// ```
    #[must_use]
    pub fn of(text: &str) -> Option<Self> {
        let mut words = words_of(text);
        let third = words.iter().position(|word| third_of(word).is_some());
        let third = third.and_then(|at| third_of(&words.remove(at)));
        let year = words.iter().position(|word| year_of(word).is_some());
        let year = year.and_then(|at| year_of(&words.remove(at)));
        match (&words[..], year) {
            ([], Some(year)) if third.is_none() => Some(Self::Year(year)),
            ([word], year) => {
                if let Some(months) = season_of(word) {
                    return Some(
                        year.map_or(Self::SeasonOfNoYear, |year| Self::season(months, year)),
                    );
                }
                let number = || word.parse().ok().filter(|month| (1..=12).contains(month));
                let worded = month_of_word(word);
                match year {
                    Some(year) => Self::month(year, worded.or_else(number)?, third),
                    None => worded.map(Self::MonthOfNoYear),
                }
            }
            ([day, month], None) => {
                let (day, month) = match (month_of_word(month), month_of_word(day)) {
                    (Some(month), _) => (day, month),
                    (None, first) => (month, first?),
                };
                day_of(day).map(|day| Self::DayOfNoYear(month, day))
            }
            ([day, month, short], None) => {
                let month = month_of_word(month)?;
                let year: i32 = short.parse().ok().filter(|year| (0..100).contains(year))?;
                NaiveDate::from_ymd_opt(2000 + year, month, day_of(day)?).map(Self::ShortYear)
            }
            _ => None,
        }
    }

    fn month(year: i32, month: u32, third: Option<Third>) -> Option<Self> {
        let (first, last) = month_days(year, month)?;
        let (first, last) = match third {
            None => (first, last),
            Some(Third::Early) => (first, NaiveDate::from_ymd_opt(year, month, 10)?),
            Some(Third::Middle) => (
                NaiveDate::from_ymd_opt(year, month, 11)?,
                NaiveDate::from_ymd_opt(year, month, 20)?,
            ),
            Some(Third::Late) => (NaiveDate::from_ymd_opt(year, month, 21)?, last),
        };
        Some(Self::Month(first, last))
    }

    /// The three months from `north` on, and those half a year later. What runs over New Year may
    /// have begun the year before: all of it is told.
    fn season(north: u32, year: i32) -> Self {
        let days = |from: u32| {
            let whole_year = (Some((year, 1)), Some((year, 12)));
            let (first, last) = match from {
                12 => whole_year,
                from => (Some((year, from)), Some((year, from + 2))),
            };
            let first = first.and_then(|(year, month)| month_days(year, month));
            let last = last.and_then(|(year, month)| month_days(year, month));
            (first.unwrap_or_default().0, last.unwrap_or_default().1)
        };
        let south = if north > 6 { north - 6 } else { north + 6 };
        Self::Season(days(north), days(south))
    }
}

/// The part of a month that a word names.
#[derive(Clone, Copy)]
enum Third {
    Early,
    Middle,
    Late,
}

fn third_of(word: &str) -> Option<Third> {
    match word {
        "early" | "beginning" | "start" => Some(Third::Early),
        "mid" | "middle" => Some(Third::Middle),
        "late" | "end" => Some(Third::Late),
        _ => None,
    }
}

/// The first month of a season north of the equator.
fn season_of(word: &str) -> Option<u32> {
    match word {
        "spring" => Some(3),
        "summer" => Some(6),
        "autumn" | "fall" => Some(9),
        "winter" => Some(12),
        _ => None,
    }
}

fn month_days(year: i32, month: u32) -> Option<(Date, Date)> {
    let first = NaiveDate::from_ymd_opt(year, month, 1)?;
    let last = first.checked_add_months(chrono::Months::new(1))?.pred_opt()?;
    Some((first, last))
}

/// The words of a day in small letters, without what only joins them.
fn words_of(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split([' ', '-', '/', '.', ','])
        .filter(|word| {
            !matches!(*word, "" | "of" | "de" | "del" | "the" | "about" | "approx" | "ca")
        })
        .map(str::to_owned)
        .collect()
}

fn year_of(word: &str) -> Option<i32> {
    (word.len() == 4).then(|| word.parse().ok())?.filter(|year| YEARS.contains(year))
}

fn day_of(word: &str) -> Option<u32> {
    let digits = ["st", "nd", "rd", "th", "er", "º"].iter().find_map(|end| word.strip_suffix(end));
    let digits = digits.unwrap_or(word);
    let plain = digits.len() <= 2 && digits.bytes().all(|byte| byte.is_ascii_digit());
    plain.then(|| digits.parse().ok())?
}

/// The month that a word names in the languages of the table of names.
fn month_of_word(word: &str) -> Option<u32> {
    const MONTHS: [&[&str]; 12] = [
        &["january", "jan", "enero", "ene", "janeiro", "janvier", "janv"],
        &["february", "feb", "febrero", "fevereiro", "fev", "février", "fevrier", "févr"],
        &["march", "mar", "marzo", "março", "marco", "mars"],
        &["april", "apr", "abril", "abr", "avril", "avr"],
        &["may", "mayo", "maio", "mai"],
        &["june", "jun", "junio", "junho", "juin"],
        &["july", "jul", "julio", "julho", "juillet", "juil"],
        &["august", "aug", "agosto", "ago", "août", "aout"],
        &["september", "sep", "sept", "septiembre", "setiembre", "setembro", "set", "septembre"],
        &["october", "oct", "octubre", "outubro", "out", "octobre"],
        &["november", "nov", "noviembre", "novembro", "novembre"],
        &["december", "dec", "diciembre", "dic", "dezembro", "dez", "décembre", "decembre", "déc"],
    ];
    let month = MONTHS.iter().position(|names| names.contains(&word))?;
    u32::try_from(month + 1).ok()
}

#[cfg(test)]
mod tests {
    use super::super::iso_day;
    use super::*;
    use pretty_assertions::assert_eq;
    use proptest::prelude::*;

    fn day(text: &str) -> Date {
        iso_day(text).expect("a day")
    }

    proptest! {
        #[test]
        fn each_day_reads_back_however_it_is_worded(number in -20_000_i64..40_000) {
            let date = super::super::from_day_number(number).expect("a day");
            for form in ["%d %b %Y", "%-d %B %Y", "%B %-d, %Y", "%d-%b-%Y", "%Y %b %d", "%-dth of %B %Y"] {
                prop_assert_eq!(worded_day(&date.format(form).to_string()), Some(date), "{}", form);
            }
            // A day in numbers alone is left to those who know its order.
            prop_assert_eq!(worded_day(&date.format("%d/%m/%Y").to_string()), None);
        }
    }

    #[test]
    fn what_could_be_two_days_or_is_none_is_not_read() {
        for text in
            ["31 Feb 2025", "20 Oct 25", "Oct 2025", "20 Oct", "2025 20 Oct", "Oct 20 Nov", ""]
        {
            assert_eq!(worded_day(text), None, "{text}");
        }
    }

    #[test]
    fn a_part_of_a_day_tells_the_days_it_may_be() {
        let month = |first, last| Some(PartOfADay::Month(day(first), day(last)));
        assert_eq!(PartOfADay::of("mid April 2025"), month("2025-04-11", "2025-04-20"));
        assert_eq!(PartOfADay::of("late Feb 2024"), month("2024-02-21", "2024-02-29"));
        assert_eq!(PartOfADay::of("5/2024"), month("2024-05-01", "2024-05-31"));
        assert_eq!(PartOfADay::of("2019"), Some(PartOfADay::Year(2019)));
        assert_eq!(PartOfADay::of("20 Oct"), Some(PartOfADay::DayOfNoYear(10, 20)));
        assert_eq!(PartOfADay::of("20 Oct 25"), Some(PartOfADay::ShortYear(day("2025-10-20"))));
        assert_eq!(
            PartOfADay::of("spring 2024"),
            Some(PartOfADay::Season(
                (day("2024-03-01"), day("2024-05-31")),
                (day("2024-09-01"), day("2024-11-30"))
            ))
        );
        assert_eq!(
            PartOfADay::of("winter 2024"),
            Some(PartOfADay::Season(
                (day("2024-01-01"), day("2024-12-31")),
                (day("2024-06-01"), day("2024-08-31"))
            ))
        );
    }
}
