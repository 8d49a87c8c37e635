//! The choices of the project, and the own ones that stand in their place.

use super::text::{Label, Line, Page};
use crate::estimate::Estimate;
use crate::policy::{OwnChoice, Policy};

/// A choice's name, value and reason.
type Entry = (&'static str, Estimate, &'static str);

/// Every choice that counts, with its value and reason; an own one beside the value it replaces.
#[must_use]
pub fn choices_page(policy: &Policy, own: &[OwnChoice]) -> Page {
    let mut page = Page::default();
    page.heading("Choices of this project, not facts");
    page.lines(lines(policy, own).into_iter().map(|(_, line)| line));
    page
}

/// Only the choices in which an own value counts.
#[must_use]
pub fn own_choices_page(policy: &Policy, own: &[OwnChoice]) -> Page {
    let mut page = Page::default();
    page.lines(lines(policy, own).into_iter().filter(|(is_own, _)| *is_own).map(|(_, line)| line));
    page
}

/// A line for each choice, and whether an own value counts in it.
fn lines(policy: &Policy, own: &[OwnChoice]) -> Vec<(bool, Line)> {
    let ours = Policy::default().entries();
    let line_of = |((name, value, reason), (_, ours, _)): (Entry, Entry)| {
        let line = Line::at(1).hanging(4).and(Label::Name, name);
        match own.iter().find(|own| own.choice == name) {
            Some(own) => (
                true,
                line.text(format!(" = {}, yours: {} ", figures(value), own.reason))
                    .and(Label::Source, format!("[{}]", own.origin))
                    .text(format!("; ours = {}: {reason}", figures(ours))),
            ),
            None => (false, line.text(format!(" = {}: {reason}", figures(value)))),
        }
    };
    policy.entries().into_iter().zip(ours).map(line_of).collect()
}

/// What stands under a page that was made with own choices.
pub fn own_choices_note(own: &[OwnChoice], page: &mut Page) {
    let Some(first) = own.first() else { return };
    let names: Vec<&str> = own.iter().map(|own| own.choice).collect();
    page.blank();
    page.line(
        Line::default()
            .hanging(2)
            .text(format!("with your own choice of {} ", names.join(", ")))
            .and(Label::Source, format!("[{}]", first.origin.file)),
    );
}

/// Every digit, because the figures are there to be changed.
fn figures(value: Estimate) -> String {
    let Estimate { low, likely, high } = value;
    if low.to_bits() == high.to_bits() {
        likely.to_string()
    } else {
        format!("{likely} ({low} to {high})")
    }
}
