//! Calendar files after RFC 5545: all-day events, CRLF, lines of 75 octets at most, stable names.
//!
//! Written here and not by a crate: the day of revision is an argument, never the clock, and the file
//! is the same octet for octet whenever the plan is.

use crate::season::{Date, day_number};

/// An all-day event.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// Name that never changes while the event is the same.
    pub uid: String,
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// What, in a line.
    pub summary: String,
    /// More of it.
    pub description: String,
    /// Kind, for readers that sort by it.
    pub category: String,
}

/// A calendar file of the events, revised on a day; `None` without events, since a calendar must
/// hold at least one (section 3.6).
#[must_use]
pub fn calendar_text(events: &[Event], revised: Date) -> Option<String> {
    if events.is_empty() {
        return None;
    }
    let mut text = String::new();
    let mut line = |content: &str| fold(content, &mut text);
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//breakcrop//plan//EN");
    line("CALSCALE:GREGORIAN");
    for event in events {
        line("BEGIN:VEVENT");
        line(&format!("UID:{}", escaped(&event.uid)));
        line(&format!("DTSTAMP:{}T000000Z", day(revised)));
        // A later revision must carry a higher number (section 3.8.7.4).
        line(&format!("SEQUENCE:{}", day_number(revised).max(0)));
        line(&format!("DTSTART;VALUE=DATE:{}", day(event.from)));
        line(&format!("DTEND;VALUE=DATE:{}", day(event.to.max(next(event.from)))));
        line(&format!("SUMMARY:{}", escaped(&event.summary)));
        if !event.description.is_empty() {
            line(&format!("DESCRIPTION:{}", escaped(&event.description)));
        }
        line(&format!("CATEGORIES:{}", escaped(&event.category)));
        line("TRANSP:TRANSPARENT");
        line("END:VEVENT");
    }
    line("END:VCALENDAR");
    Some(text)
}

fn day(date: Date) -> String {
    date.format("%Y%m%d").to_string()
}

fn next(date: Date) -> Date {
    date.succ_opt().unwrap_or(date)
}

/// Text as section 3.3.11 asks: the backslash first; a colon stays as it is. Control characters
/// cannot be written and go.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\\' | ',' | ';' => {
                escaped.push('\\');
                escaped.push(character);
            }
            '\n' => escaped.push_str("\\n"),
            '\t' => escaped.push(character),
            other if other.is_control() => {}
            other => escaped.push(other),
        }
    }
    escaped
}

/// A content line, folded after at most 75 octets, never within a character (section 3.1).
fn fold(content: &str, text: &mut String) {
    const MOST: usize = 75;
    let mut octets = 0;
    for character in content.chars() {
        if octets + character.len_utf8() > MOST {
            text.push_str("\r\n ");
            octets = 1;
        }
        text.push(character);
        octets += character.len_utf8();
    }
    text.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::iso_day;
    use pretty_assertions::assert_eq;

    fn event(summary: &str) -> Event {
        Event {
            uid: "sow-a-tomato-2027-1@breakcrop".to_owned(),
            from: iso_day("2026-12-31").unwrap(),
            to: iso_day("2027-01-01").unwrap(),
            summary: summary.to_owned(),
            description: String::new(),
            category: "sow".to_owned(),
        }
    }

    #[test]
    fn text_is_escaped_and_lines_fold_between_characters() {
        let text = calendar_text(&[event("Müll, \\ ; \n end: ää")], iso_day("2026-10-12").unwrap());
        assert!(text.unwrap().contains("SUMMARY:Müll\\, \\\\ \\; \\n end: ää\r\n"));
        let long = "ä".repeat(100);
        let text = calendar_text(&[event(&long)], iso_day("2026-10-12").unwrap()).unwrap();
        assert!(text.split("\r\n").all(|line| line.len() <= 75));
        assert!(text.replace("\r\n ", "").contains(&format!("SUMMARY:{long}\r\n")));
    }

    #[test]
    fn no_events_make_no_calendar() {
        assert_eq!(calendar_text(&[], iso_day("2026-10-12").unwrap()), None);
    }
}
