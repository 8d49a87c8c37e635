//! Advice as a page: what can follow.

use super::judgment::{verdict_label, verdict_words};
use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use super::words;
use crate::advise::{Ends, FollowOn, Follows, Free};
use crate::assess::{Assessment, Claim, Effect, Verdict};

/// Why, in a table cell: the two reasons that weigh most, else the best that speaks for it.
pub(super) fn why(phrases: Phrases<'_>, assessment: &Assessment) -> String {
    let reasons = &assessment.reasons;
    let against: Vec<String> = reasons
        .iter()
        .filter(|reason| reason.effect.verdict() == assessment.verdict)
        .filter(|reason| reason.effect.verdict() > Verdict::Plant)
        .map(|reason| phrases.short(reason))
        .take(2)
        .collect();
    if !against.is_empty() {
        return against.join("; ");
    }
    let rank = |effect: Effect| match effect {
        Effect::Helps => 0,
        Effect::Allows => 1,
        _ => 2,
    };
    // What an unknown disease does not do is no news.
    let mut speaking: Vec<_> = reasons
        .iter()
        .filter(|reason| rank(reason.effect) < 2)
        .filter(|reason| !matches!(reason.claim, Claim::UnknownDisease { .. }))
        .collect();
    speaking.sort_by_key(|reason| rank(reason.effect));
    let speaking: Vec<String> =
        speaking.into_iter().map(|reason| phrases.short(reason)).take(2).collect();
    if speaking.is_empty() {
        "nothing on record against it".to_owned()
    } else {
        speaking.join("; ")
    }
}

/// Until when a standing crop gives, and what says so.
pub(super) fn free_words(phrases: Phrases<'_>, free: &Free<'_>) -> String {
    let crop = phrases.crop(free.planting.crop);
    let picked = free.picked.map_or(String::new(), |harvest| {
        format!(", last picked {} [{}]", harvest.date, harvest.origin)
    });
    let until = match free.ends {
        Ends::UsualDays => format!("picked until about {}", free.from),
        Ends::Heat => format!("gives until heat ends it, about {}", free.from),
        Ends::Cold => format!("gives until cold ends it, about {}", free.from),
        Ends::Cleared => format!("cleared on {}", free.from),
        Ends::Over => "its usual days are over: it may be cleared".to_owned(),
    };
    format!("still standing: {crop} [{}]{picked}; {until}", free.planting.origin)
}

/// The ranking, so many of each verdict: crops of this garden first, because a list that opens with
/// what nobody here grows helps nobody, and differences of yield are small beside their ranges. All
/// crops together stand in their own order.
#[must_use]
pub fn follow_page(phrases: Phrases<'_>, follows: &Follows<'_>, most: usize) -> Page {
    let mut page = Page::default();
    page.heading(format!("What can follow in {} from {}", follows.state.place, follows.from));
    let standing: Vec<String> =
        follows.state.standing().map(|planting| phrases.crop(planting.crop).to_owned()).collect();
    for free in &follows.free {
        page.line(Line::at(1).text(free_words(phrases, free)));
    }
    if !follows.free.is_empty() {
        page.line(Line::at(1).text("ranked for the day the bed is free; --from asks another"));
    } else if !standing.is_empty() {
        page.line(Line::at(1).text(format!(
            "still standing: {}; the ranking is for the soil once it is cleared",
            standing.join(", ")
        )));
    }
    let in_season: Vec<&FollowOn> = follows
        .ranked
        .iter()
        .filter(|follow| most == usize::MAX || !follow.season.is_out())
        .collect();
    let mut table = Table {
        indent: 1,
        head: vec!["crop".into(), "verdict".into(), "yield".into(), "why".into()],
        right: Vec::new(),
        rows: Vec::new(),
    };
    let mut left_out = Vec::new();
    for verdict in [Verdict::Plant, Verdict::Care, Verdict::Wait] {
        let mut all: Vec<&&FollowOn> =
            in_season.iter().filter(|follow| follow.assessment.verdict == verdict).collect();
        if all.len() > most {
            all.sort_by_key(|follow| !follows.own.contains(&follow.crop));
        }
        for follow in all.iter().take(most) {
            table.rows.push(vec![
                Span::new(Label::Name, phrases.crop(follow.crop)),
                Span::new(
                    verdict_label(verdict),
                    verdict_words(&follow.assessment)
                        .replace("WAIT (waiting will not clear it)", "WAIT, no end")
                        .replace(" (as good as never)", "")
                        .replace("WAIT until ", "WAIT "),
                ),
                Span::new(Label::Plain, words::percent_short(follow.assessment.expected_yield)),
                Span::new(Label::Plain, why(phrases, &follow.assessment)),
            ]);
        }
        if all.len() > most {
            left_out.push(format!("{} more {}", all.len() - most, verdict.word()));
        }
    }
    page.table(table);
    let out = follows.ranked.len() - in_season.len();
    let mut tail = left_out;
    if out > 0 {
        tail.push(format!("{out} out of season"));
    }
    if !tail.is_empty() {
        page.line(Line::at(1).text(format!("not shown: {} (--all shows them)", tail.join(", "))));
        page.line(
            Line::at(1).text("crops grown or wished for here come first; --all goes by yield"),
        );
    }
    page
}
