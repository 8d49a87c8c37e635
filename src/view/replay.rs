//! The past played again, as a page: what was scored and what was not, the score, the calibration
//! table, the verdicts, the diseases, the worst misses with their reasons, the harvests.

use super::judgment::{reason_lines, verdict_label};
use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use super::words;
use crate::assess::{Claim, Evidence, Reason, Verdict};
use crate::replay::{HarvestScore, HarvestsSay, Outcome, Replay, Replayed, Score, Unscored};

/// How much of a replay is shown.
#[derive(Clone, Copy, Debug)]
pub struct ReplayShown {
    /// Worst misses.
    pub worst: usize,
    /// Whether every planting is listed.
    pub all: bool,
}

/// The page of a replay.
#[must_use]
pub fn replay_page(phrases: Phrases<'_>, replay: &Replay<'_>, shown: ReplayShown) -> Page {
    let mut page = Page::default();
    heading(&mut page, replay);
    let Some(score) = &replay.score else {
        page.line(Line::at(1).text(
            "nothing to score yet: write what you see, healthy crops too, into observations.csv",
        ));
        return page;
    };
    scores(&mut page, replay, score);
    calibration(&mut page, score);
    verdicts(&mut page, replay);
    diseases(&mut page, phrases, replay);
    worst(&mut page, phrases, replay, shown.worst);
    if let Some(harvests) = &replay.harvests {
        harvest_lines(&mut page, harvests);
    }
    if shown.all {
        every_planting(&mut page, phrases, replay);
    }
    page
}

/// Why a planting was left open, as what it was.
#[must_use]
pub fn unscored_words(why: Unscored) -> &'static str {
    match why {
        Unscored::NotLookedAt => "not looked at",
        Unscored::LookedTooEarly => "healthy, but looked at early in their time",
        Unscored::CauseUnknown => "sick of a cause nobody found",
        Unscored::SomethingElse => "with something that does not stay with the bed",
        Unscored::NotItsDisease => "noted with a disease that does not take that crop",
        Unscored::TooYoung => "standing and still young",
    }
}

fn heading(page: &mut Page, replay: &Replay<'_>) {
    let span = replay
        .plantings
        .first()
        .zip(replay.plantings.last())
        .map_or_else(String::new, |(first, last)| {
            format!(", {} to {}", first.planting.planted(), last.planting.planted())
        });
    page.heading(format!(
        "Was the advice any good? {} played again{span}",
        words::count(replay.plantings.len(), "planting")
    ));
    let (scored, sick) = replay.score.as_ref().map_or((0, 0), |score| (score.cases, score.came));
    page.line(Line::at(1).text(format!(
        "each was judged as on its own morning, from the records before it only; {} can be scored: {sick} fell sick of a disease of the bed{}, {} were found healthy",
        scored,
        match replay.suspected() {
            0 => String::new(),
            suspected => format!(" ({suspected} only suspected)"),
        },
        scored - sick,
    )));
    let open: Vec<String> = Unscored::ALL
        .into_iter()
        .map(|why| (why, replay.left_open(why)))
        .filter(|(_, count)| *count > 0)
        .map(|(why, count)| format!("{count} {}", unscored_words(why)))
        .collect();
    if !open.is_empty() {
        page.line(Line::at(1).and(
            Label::Unknown,
            format!(
                "not scored: {}; what nobody looked at is not taken for healthy",
                words::list(&open)
            ),
        ));
    }
}

fn scores(page: &mut Page, replay: &Replay<'_>, score: &Score) {
    page.blank();
    page.line(Line::at(1).text(format!(
        "Brier score {:.3} (0 is perfect); the base rate, from the same earlier records, gets {:.3}: {}",
        score.brier,
        score.reference,
        skill_words(score.skill),
    )));
    page.line(Line::at(3).hanging(3).text(gain_words(score)));
    page.line(Line::at(1).text(format!(
        "who had known from the start that {} of {} would fall sick gets {:.3}: {}",
        score.came,
        score.cases,
        score.hindsight,
        skill_words(score.skill_on_hindsight),
    )));
    if let Some(unseen) = &replay.if_unseen_healthy {
        page.line(Line::at(1).text(format!(
            "a sick crop is written down sooner than a sound one: had all that nobody looked at been healthy, {} of {} were sick where {:.0} were expected; score {:.3}, base rate {:.3}",
            unseen.came, unseen.cases, unseen.expected, unseen.brier, unseen.reference,
        )));
    }
}

/// The part of a reference's error that the forecasts take away, in words.
fn skill_words(skill: Option<f64>) -> String {
    match skill {
        Some(skill) if skill >= 0.005 => format!("{:.0} % of its error taken away", skill * 100.0),
        Some(skill) if skill <= -0.005 => {
            format!("{:.0} % more error than that, no skill", -skill * 100.0)
        }
        Some(_) => "no better and no worse".to_owned(),
        None => "nothing to compare".to_owned(),
    }
}

/// What so many cases allow to say of the gain on the base rate.
fn gain_words(score: &Score) -> String {
    let Some(gain) = score.gain else {
        return "one planting alone says nothing".to_owned();
    };
    let sample = format!(
        "with {} the gain of {:.3} may be anything from {:.3} to {:.3} (19 samples in 20)",
        words::count(score.cases, "planting"),
        gain.likely,
        gain.low,
        gain.high
    );
    if gain.low > 0.0 {
        format!("{sample}: more than luck")
    } else if gain.high < 0.0 {
        format!("{sample}: worse than the base rate, and not by bad luck")
    } else {
        format!("{sample}: it may be luck")
    }
}

/// Whether chances were too high, too low, too bold or too timid, in words.
fn calibration(page: &mut Page, score: &Score) {
    /// Below this, chance is no good explanation.
    const NOT_BY_CHANCE: f64 = 0.05;
    page.blank();
    page.line(Line::at(1).and(Label::Name, "Did chances mean what they say?"));
    page.table(Table {
        indent: 1,
        head: ["chance given", "plantings", "expected", "fell sick", "true share may be", ""]
            .map(str::to_owned)
            .to_vec(),
        right: vec![1, 2, 3],
        rows: score
            .calibration
            .iter()
            .map(|class| {
                let (label, holds) = if class.holds() {
                    (Label::Plain, "holds")
                } else {
                    (Label::Care, "does not hold")
                };
                vec![
                    Span::new(
                        Label::Plain,
                        format!("{:.0} to {:.0} %", class.from * 100.0, class.to * 100.0),
                    ),
                    Span::new(Label::Plain, class.cases.to_string()),
                    Span::new(
                        Label::Plain,
                        format!("{:.1}", class.mean_chance * class.cases as f64),
                    ),
                    Span::new(Label::Plain, class.came.to_string()),
                    Span::new(Label::Plain, words::percent_range(class.share)),
                    Span::new(label, holds),
                ]
            })
            .collect(),
    });
    let level = format!(
        "in all {:.1} were expected and {} came; chances that mean what they say would miss by as much in {}",
        score.expected,
        score.came,
        one_in(score.level_by_chance)
    );
    let bold = format!("be as bold or timid in {}", one_in(score.boldness_by_chance));
    page.line(Line::at(1).text(format!("{level}, and {bold}")));
    let told = if score.level_by_chance < NOT_BY_CHANCE {
        let how = if score.expected > score.came as f64 { "too high" } else { "too low" };
        format!("the chances are {how} on the whole")
    } else if score.boldness_by_chance < NOT_BY_CHANCE {
        "the level is right, but the chances are too bold or too timid".to_owned()
    } else {
        format!("nothing in {} speaks against them", words::count(score.cases, "planting"))
    };
    page.line(Line::at(3).hanging(3).text(told));
}

/// `1 garden in 3`, `most gardens`.
fn one_in(chance: f64) -> String {
    if chance > 0.5 {
        "most gardens".to_owned()
    } else if chance < 0.001 {
        "fewer than 1 garden in 1000".to_owned()
    } else {
        format!("1 garden in {:.0}", 1.0 / chance)
    }
}

fn verdicts(page: &mut Page, replay: &Replay<'_>) {
    page.blank();
    page.line(Line::at(1).and(Label::Name, "How plantings fared by the verdict of their morning"));
    page.table(Table {
        indent: 1,
        head: ["verdict", "scored", "fell sick", "true share may be"].map(str::to_owned).to_vec(),
        right: vec![1, 2],
        rows: replay
            .verdicts
            .iter()
            .map(|row| {
                vec![
                    Span::new(verdict_label(row.verdict), verdict_word(row.verdict)),
                    Span::new(Label::Plain, row.scored.to_string()),
                    Span::new(Label::Plain, row.sick.to_string()),
                    Span::new(Label::Plain, words::percent_range(row.share)),
                ]
            })
            .collect(),
    });
}

fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Plant => "PLANT",
        Verdict::Care => "CARE",
        Verdict::Wait => "WAIT",
    }
}

fn diseases(page: &mut Page, phrases: Phrases<'_>, replay: &Replay<'_>) {
    page.blank();
    page.line(Line::at(1).and(Label::Name, "By disease, over the plantings that it may take"));
    page.table(Table {
        indent: 1,
        head: ["disease", "scored", "came", "expected", "Brier", "base rate", "had it on record"]
            .map(str::to_owned)
            .to_vec(),
        right: vec![1, 2, 3, 4, 5],
        rows: replay
            .diseases
            .iter()
            .map(|row| {
                let plain = |text: String| Span::new(Label::Plain, text);
                vec![
                    Span::new(Label::Name, phrases.short_disease(row.pathogen)),
                    plain(row.score.cases.to_string()),
                    plain(row.score.came.to_string()),
                    plain(format!("{:.1}", row.score.expected)),
                    plain(format!("{:.3}", row.score.brier)),
                    plain(format!("{:.3}", row.score.reference)),
                    plain(match row.on_record {
                        0 => "none".to_owned(),
                        all => format!("{all}, came in {}", row.came_on_record),
                    }),
                ]
            })
            .collect(),
    });
}

fn worst(page: &mut Page, phrases: Phrases<'_>, replay: &Replay<'_>, most: usize) {
    let worst = replay.worst(most);
    if worst.is_empty() {
        return;
    }
    page.blank();
    page.line(Line::at(1).and(Label::Name, "The worst misses, and what they rested on"));
    for miss in worst {
        miss_lines(page, phrases, miss);
    }
}

fn miss_lines(page: &mut Page, phrases: Phrases<'_>, miss: &Replayed<'_>) {
    let planting = miss.planting;
    page.line(
        Line::at(1)
            .hanging(4)
            .and(Label::Name, planting.place.to_string())
            .text(format!(
                " {}: {}, {:.0} % said, {} ",
                planting.planted(),
                phrases.crop(planting.crop),
                miss.forecast.chance * 100.0,
                outcome_words(phrases, &miss.outcome),
            ))
            .and(Label::Source, format!("[{}]", planting.origin)),
    );
    for seen in miss.outcome.records() {
        page.line(leaf_line(phrases, &Evidence::sighting(seen)));
    }
    let reasons: Vec<&Reason> = miss
        .forecast
        .assessment
        .reasons
        .iter()
        .filter(|reason| speaks_of_disease(reason))
        .collect();
    if reasons.is_empty() {
        page.line(Line::at(4).hanging(6).text(format!(
            "no disease was on record here; as often as beds of this garden brought a new one, {:.0} %",
            miss.forecast.new_disease * 100.0
        )));
    }
    let mut told = Vec::new();
    for reason in reasons.into_iter().take(2) {
        let lines = reason_lines(phrases, 1, reason, &mut told);
        page.lines(lines.into_iter().take(6).enumerate().map(|(at, mut line)| {
            if at == 0 {
                line.spans.remove(0);
                line.indent = 4;
                line.hang = 6;
            } else {
                line.indent = 6;
                line.hang = 8;
            }
            line
        }));
    }
}

/// What became of a planting, in words.
fn outcome_words(phrases: Phrases<'_>, outcome: &Outcome<'_>) -> String {
    match outcome {
        Outcome::Sick(named) => {
            let diseases: Vec<String> = named
                .iter()
                .map(|(pathogen, _)| phrases.short_disease(*pathogen).to_owned())
                .collect();
            format!("{} came", words::list(&diseases))
        }
        Outcome::Healthy(_) => "found healthy".to_owned(),
        Outcome::Open(why) => unscored_words(*why).to_owned(),
    }
}

fn speaks_of_disease(reason: &Reason) -> bool {
    match reason.claim {
        Claim::Disease { .. } => reason.yield_fraction.low < 1.0,
        Claim::UnknownDisease { .. } => true,
        _ => false,
    }
}

fn leaf_line(phrases: Phrases<'_>, leaf: &Evidence) -> Line {
    let (text, place) = phrases.evidence(leaf);
    Line::at(4).hanging(6).text(format!("- {text} ")).and(Label::Source, format!("[{place}]"))
}

/// What the harvests say of the expected yield, and whether they are enough to say it.
fn said_of_harvests(harvests: &HarvestScore<'_>) -> String {
    let gain = harvests.gain.map_or(String::new(), |gain| {
        let percent = |by: f64| format!("{:+.0}", (by.exp() - 1.0) * 100.0);
        format!(" (nearer by {} to {} %, 19 samples in 20)", percent(gain.low), percent(gain.high))
    });
    let together = harvests.rank_correlation.map_or(String::new(), |rank| {
        format!("; rank correlation with what was picked, both beside the usual, {rank:+.2}")
    });
    let said = match harvests.say() {
        HarvestsSay::Nearer => {
            "the expected yield came nearer than the usual harvest, beyond chance"
        }
        HarvestsSay::Farther => "the expected yield led away from the usual harvest, beyond chance",
        HarvestsSay::NoDifference => "the expected yield is as good as the usual harvest",
        HarvestsSay::TooFew => {
            "too few harvests to tell whether the expected yield is better than the usual harvest"
        }
    };
    format!("{said}{gain}{together}")
}

fn harvest_lines(page: &mut Page, harvests: &HarvestScore<'_>) {
    page.blank();
    page.line(Line::at(1).and(Label::Name, "Expected yield against what was picked"));
    page.line(Line::at(1).text(format!(
        "{} of a crop picked here before: the middle one was off by a factor of {:.2}; whoever expects the middle of the earlier harvests is off by {:.2}",
        words::count(harvests.cases.len(), "harvest"),
        harvests.off_by,
        harvests.usual_off_by,
    )));
    page.line(Line::at(3).hanging(3).text(format!(
        "{} came nearer to what was expected, {} to the usual harvest; {} of {} lay within the range expected",
        harvests.nearer,
        harvests.farther,
        harvests.within,
        harvests.cases.len(),
    )));
    page.line(Line::at(3).hanging(3).text(said_of_harvests(harvests)));
    let parts: Vec<String> = harvests
        .parts
        .iter()
        .map(|one| format!("{} {} of {}", one.part.word(), one.nearer, one.nearer + one.farther))
        .collect();
    page.line(Line::at(3).hanging(3).text(format!(
        "each part alone, nearer than the usual harvest in: {}; half is what chance gives",
        words::list(&parts),
    )));
}

fn every_planting(page: &mut Page, phrases: Phrases<'_>, replay: &Replay<'_>) {
    page.blank();
    page.line(Line::at(1).and(Label::Name, "Every planting"));
    page.table(Table {
        indent: 1,
        head: ["planted", "bed", "crop", "verdict", "chance", "base", "what came"]
            .map(str::to_owned)
            .to_vec(),
        right: vec![4, 5],
        rows: replay
            .plantings
            .iter()
            .map(|one| {
                let plain = |text: String| Span::new(Label::Plain, text);
                let verdict = one.forecast.assessment.verdict;
                let came = match &one.outcome {
                    Outcome::Open(_) => Label::Unknown,
                    Outcome::Sick(_) | Outcome::Healthy(_) => Label::Plain,
                };
                vec![
                    plain(one.planting.planted().to_string()),
                    Span::new(Label::Name, one.planting.place.to_string()),
                    plain(phrases.crop(one.planting.crop).to_owned()),
                    Span::new(verdict_label(verdict), verdict_word(verdict)),
                    plain(format!("{:.0} %", one.forecast.chance * 100.0)),
                    plain(format!("{:.0} %", one.forecast.base_rate * 100.0)),
                    Span::new(came, outcome_words(phrases, &one.outcome)),
                ]
            })
            .collect(),
    });
}
