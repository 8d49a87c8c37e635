//! The five questions and their answers.

use maud::{Markup, html};

use super::page::line;
use crate::view::report::{Answer, AnswerLine};

fn links(answer: &AnswerLine) -> Markup {
    html! {
        @for (anchor, name) in &answer.sheets {
            " " a class="stake" href={ "#" (anchor) } { bdi { (name) } }
        }
    }
}

fn lines(lines: &[AnswerLine]) -> Markup {
    html! {
        ul {
            @for answer in lines { li { (line(&answer.line)) (links(answer)) } }
        }
    }
}

/// Lines of the garden's answer shown at once; the rest is folded.
const SHOWN: usize = 8;

/// The answers for the garden.
pub(super) fn of_garden(answers: &[Answer]) -> Markup {
    html! {
        div class="round" {
            @for answer in answers {
                div class="answer" {
                    h3 { (answer.question.words()) }
                    @if answer.lines.is_empty() {
                        p { "Nothing on record." }
                    } @else {
                        (lines(&answer.lines[..answer.lines.len().min(SHOWN)]))
                    }
                    @if answer.lines.len() > SHOWN {
                        details {
                            summary { (answer.lines.len() - SHOWN) " more" }
                            (lines(&answer.lines[SHOWN..]))
                        }
                    }
                }
            }
        }
    }
}

/// The answers for a place.
pub(super) fn of_sheet(answers: &[Answer]) -> Markup {
    html! {
        dl class="five" {
            @for answer in answers {
                div {
                    dt { (answer.question.words()) }
                    @for told in &answer.lines { dd { (line(&told.line)) } }
                }
            }
        }
    }
}
