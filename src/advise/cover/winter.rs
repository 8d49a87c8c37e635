//! What frost does to a cover in a gap.

use crate::assess::{Evidence, FactNote, FigureNote};
use crate::climate::frost::Frost;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::season::{Date, add_days};
use crate::state::stand::cover_figure;

/// What frost does to a cover.
#[derive(Clone, Debug, PartialEq)]
pub enum Winter {
    /// It lives: frost is not to be relied on to kill it.
    Lives,
    /// It dies, about the day by which every other year has had such a night.
    Dies(Date),
    /// It dies in some years: not to be relied on either way.
    MayDie,
    /// No climate, or no figure.
    Unknown,
}

/// The answer with what it rests on.
#[derive(Clone, Debug)]
pub struct WinterAnswer {
    /// What frost does.
    pub winter: Winter,
    /// Temperature that kills it.
    pub kill_c: Option<Estimate>,
    /// Share of years with a night that kills: at the harder and the softer end of the margin.
    pub chance: Option<Estimate>,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
}

/// What frost does to a cover between two days, by the nights of the site. What kills one stand
/// another outlives, so the printed temperature stands for some degrees either side of it.
#[must_use]
pub fn winter(
    knowledge: &Knowledge,
    policy: &Policy,
    frost: Option<&Frost>,
    crop: CropId,
    (from, to): (Date, Date),
) -> WinterAnswer {
    let figure = cover_figure(knowledge, crop, "winter_kill_c");
    let kill_c = figure.and_then(|figure| figure.range);
    let mut evidence: Vec<Evidence> = figure
        .map(|figure| {
            let note = FactNote::Cover {
                crop,
                field: figure.field.clone(),
                range: figure.range,
                text: figure.text.clone(),
            };
            Evidence::Fact(note, figure.citation.clone())
        })
        .into_iter()
        .collect();
    let (Some(frost), Some(kill_c)) = (frost, kill_c) else {
        return WinterAnswer { winter: Winter::Unknown, kill_c, chance: None, evidence };
    };
    let at = |kill: f64| frost.any_night_at_or_below(kill, from, to);
    let margin = policy.winter_kill_margin_c;
    let chance =
        Estimate::new(at(kill_c.low - margin), at(kill_c.likely), at(kill_c.high + margin));
    evidence.push(Evidence::Figure(FigureNote::KillingNight { from, to, kill_c, chance }));
    let relied_on = policy.winter_kill_relied_on;
    let winter = if chance.low >= relied_on {
        Winter::Dies(first_killing_day(frost, kill_c.likely, from, to))
    } else if chance.high <= 1.0 - relied_on {
        Winter::Lives
    } else {
        Winter::MayDie
    };
    if winter != Winter::Unknown {
        evidence.extend(mild_winter(knowledge, crop, &winter));
    }
    WinterAnswer { winter, kill_c: Some(kill_c), chance: Some(chance), evidence }
}

/// The day by which every other year has had a night that kills.
fn first_killing_day(frost: &Frost, kill_c: f64, from: Date, to: Date) -> Date {
    let days = (to - from).num_days().max(0);
    (0..=days)
        .map(|step| add_days(from, step as f64))
        .find(|day| frost.any_night_at_or_below(kill_c, from, *day) >= 0.5)
        .unwrap_or(to)
}

/// What sources say of covers that a mild winter leaves alive.
fn mild_winter(knowledge: &Knowledge, crop: CropId, winter: &Winter) -> Vec<Evidence> {
    if matches!(winter, Winter::Dies(_)) {
        return Vec::new();
    }
    knowledge
        .timing_rules()
        .iter()
        .filter(|row| &*row.rule == "mild_winter_survival")
        .filter(|row| super::applies(knowledge, row, crop))
        .map(|row| super::timing_fact(knowledge, row))
        .collect()
}
