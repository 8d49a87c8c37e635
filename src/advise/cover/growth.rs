//! How an option grows in its gap: the stand, what the soil gives it, and what that rests on.

use crate::assess::{Evidence, FigureNote, MissingNote};
use crate::estimate::Estimate;
use crate::knowledge::CropId;
use crate::season::Date;
use crate::state::nutrients::{Need, NeedBasis};
use crate::state::stand::{Habit, Stand, available, sod_gives, stand_of, washed_out};
use std::sync::Arc;

use super::mixture::Mixture;
use super::{Setting, cover_fact};

/// The stand of a mixture: each partner on its share of the ground, added up.
pub(super) fn grown(
    setting: &Setting<'_, '_>,
    mixture: &Mixture,
    habits: &[Option<Arc<Habit>>],
    ended: Date,
) -> Option<Stand> {
    let days = setting.days?;
    let span = (setting.question.gap.from, ended);
    let whole: f64 = mixture.parts.iter().map(|(_, share)| share).sum();
    let mut sum: Option<Stand> = None;
    for ((crop, share), habit) in mixture.parts.iter().zip(habits) {
        let soil = soil_nitrogen(setting, *crop, span);
        let habit = habit.as_deref()?;
        let (knowledge, policy) = (setting.knowledge, setting.policy);
        let gap = setting.question.gap;
        let course = setting.on_site.course(policy, habit, days, (gap, ended))?;
        let alone = stand_of(knowledge, policy, habit, &course, span, Some(soil));
        let share = share / whole;
        sum = Some(match sum {
            None if mixture.parts.len() == 1 => alone,
            None => scaled(alone, share),
            Some(sum) => joined(&sum, &scaled(alone, share)),
        });
    }
    let mut sum = sum?;
    sum.available = available(setting.knowledge, sum.dry_matter, sum.nitrogen_percent);
    let stood = (span.1 - span.0).num_days() as f64;
    let perennial = mixture
        .parts
        .iter()
        .map(|(crop, share)| {
            let gives = sod_gives(setting.knowledge, setting.policy, *crop, stood);
            gives.map(|grams| grams * share / whole)
        })
        .fold(Estimate::ZERO, |sum, one| sum + one);
    let books = setting.state.nutrients();
    let lost = setting.climate.map_or(Estimate::ZERO, |climate| {
        let idle = (ended, setting.question.gap.to);
        washed_out(setting.policy, climate, idle, |month| books.surplus_mm(month))
    });
    sum.available = kept(sum.available + perennial, lost);
    Some(sum)
}

/// What is left of freed nitrogen after the rain; what ties up does so whatever it rains.
pub(super) fn kept(available: Estimate, lost: Estimate) -> Estimate {
    let one = |grams: f64, lost: f64| if grams > 0.0 { grams * (1.0 - lost) } else { grams };
    Estimate::new(
        one(available.low, lost.high),
        one(available.likely, lost.likely),
        one(available.high, lost.low),
    )
}

pub(super) fn scaled(mut stand: Stand, share: f64) -> Stand {
    for figure in [
        &mut stand.dry_matter,
        &mut stand.nitrogen,
        &mut stand.fixed,
        &mut stand.recycled,
        &mut stand.light_mj,
    ] {
        *figure = figure.map(|figure| figure * share);
    }
    stand
}

pub(super) fn joined(one: &Stand, other: &Stand) -> Stand {
    let dry_matter = one.dry_matter + other.dry_matter;
    let nitrogen = one.nitrogen + other.nitrogen;
    let percent = |nitrogen: f64, mass: f64| if mass > 0.0 { nitrogen / mass * 100.0 } else { 0.0 };
    Stand {
        dry_matter,
        nitrogen,
        nitrogen_percent: Estimate::new(
            percent(nitrogen.low, dry_matter.low),
            percent(nitrogen.likely, dry_matter.likely),
            percent(nitrogen.high, dry_matter.high),
        ),
        fixed: one.fixed + other.fixed,
        recycled: one.recycled + other.recycled,
        light_mj: one.light_mj + other.light_mj,
        ground_cover: one.ground_cover.spanning(other.ground_cover),
        covered_days: one.covered_days.spanning(other.covered_days),
        is_starved: one.is_starved || other.is_starved,
        ..one.clone()
    }
}

/// What the soil can give a cover meanwhile, by the books of the place.
pub(super) fn soil_nitrogen(
    setting: &Setting<'_, '_>,
    crop: CropId,
    span: (Date, Date),
) -> Estimate {
    /// More than any cover takes, so that the books tell what there is.
    const HUNGRY: f64 = 40.0;
    let need = Need {
        grams: [Estimate::exact(HUNGRY), Estimate::ZERO, Estimate::ZERO],
        basis: NeedBasis::Class,
        citation: None,
        fixed_share: Estimate::ZERO,
    };
    setting.state.nutrients().supply(setting.knowledge, crop, &need, span).nitrogen().range()
}

pub(super) fn growth(
    setting: &Setting<'_, '_>,
    habit: Option<&Habit>,
    grown: Option<&Stand>,
) -> Vec<Evidence> {
    let (Some(habit), Some(stand)) = (habit, grown) else {
        return vec![Evidence::Missing(MissingNote::SiteAndClimate)];
    };
    let mut evidence = vec![Evidence::Figure(FigureNote::HeatAndLight {
        from: stand.sown,
        to: stand.ended,
        degree_days: stand.degree_days,
        base_c: habit.base_c,
        light_mj: stand.light_mj,
    })];
    if let Some(citation) = &habit.light_use_citation {
        evidence.push(Evidence::Fact(
            crate::assess::FactNote::Cover {
                crop: habit.crop,
                field: "light_use_g_mj".into(),
                range: Some(habit.light_use),
                text: Box::default(),
            },
            citation.clone(),
        ));
    }
    for field in ["n_percent_bloom", "ndfa_percent", "dry_matter_t_ha"] {
        evidence.extend(
            setting
                .knowledge
                .cover_figures(habit.crop, field)
                .iter()
                .find(|figure| figure.range.is_some())
                .map(cover_fact),
        );
    }
    evidence
}
