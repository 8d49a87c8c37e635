use std::collections::BTreeSet;

use crate::assess::{Evidence, FactNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Judged, Rule, RuleCard};
use crate::knowledge::{IntervalRow, Role, Situation};
use crate::records::Planting;
use crate::season::years_between;

rule! {
    /// # Statement
    /// A crop came sooner after another than a source advises on clean land, because the two share
    /// diseases.
    /// # Mechanism
    /// What has not been seen is kept from building up by keeping its hosts apart, whatever their
    /// families. A source that names a relative and asks for more years than the family's return
    /// time (legumes before peanut) is heard as well.
    /// # Reads
    /// plantings; intervals (situation `clean_land`)
    /// # Stays silent when
    /// the source names no other crop to keep away from, or its years are served; for the crop
    /// itself if only one source spaces it; and for the same family while its return time is not
    /// over, which `family_interval` tells.
    /// # Limits
    /// Spacing advised for clean land is not the wait after an outbreak; few sources print it.
    /// # Sources
    /// Each finding cites the row it rests on.
    SpacingOnCleanLand {
        id: "spacing_on_clean_land",
        severity: Remark,
        reads: ["plantings", "intervals"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for SpacingOnCleanLand {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        sown_to_be_picked(context)
            .filter_map(|judged| {
                let planting = judged.planting;
                let (row, before, years) = context
                    .knowledge
                    .intervals
                    .rows()
                    .iter()
                    .filter(|row| row.crop == Some(planting.crop))
                    .filter(|row| row.situation == Situation::CleanLand)
                    .find_map(|row| too_soon(context, row, judged))
                    .or_else(|| itself_too_soon(context, judged))?;
                let claim = FindingClaim::SpacingOnCleanLand {
                    crop: planting.crop,
                    previous: before.crop,
                    years,
                };
                let fact = FactNote::Interval {
                    disease: row.disease.clone(),
                    years_min: row.years_min,
                    years_max: row.years_max,
                    open_ended: row.open_ended,
                    enough: row.enough,
                    clears: row.clears,
                };
                Some(
                    Finding::new(&Self::CARD, &planting.place, planting.stood.start, claim)
                        .resting_on([
                            Evidence::planting(planting),
                            Evidence::planting(before),
                            Evidence::Fact(fact, row.citation.clone()),
                        ]),
                )
            })
            .collect()
    }
}

/// Crops sown to be picked, and covers that are also grown for their seed (rapeseed, soybean): what
/// sources name by pairs speaks of both.
fn sown_to_be_picked<'c, 'a>(context: &'c Context<'a>) -> impl Iterator<Item = &'c Judged<'a>> {
    let crops = &context.knowledge.crops;
    context.judged.iter().filter(|judged| {
        let crop = &crops[judged.planting.crop];
        !judged.planting.is_volunteer()
            && (crop.role != Role::Cover || &*crop.edible_part == "seed")
    })
}

/// The latest other crop that the row says to keep away from, if its years are not served. A
/// relative counts once the family's return time is over.
fn too_soon<'r, 'g>(
    context: &Context<'_>,
    row: &'r IntervalRow,
    judged: &Judged<'g>,
) -> Option<(&'r IntervalRow, &'g Planting, f64)> {
    let crops = &context.knowledge.crops;
    let planting = judged.planting;
    let returns = judged.return_time().is_some();
    let last = judged.state.plantings.iter().copied().filter(|one| {
        let relative = crops[one.crop].family == crops[planting.crop].family;
        row.avoid.contains(&one.crop) && one.crop != planting.crop && !(relative && returns)
    });
    let last = last.max_by_key(|one| one.stood.end_by(planting.stood.start))?;
    let years = years_between(last.stood.end_by(planting.stood.start), planting.stood.start);
    (years < row.years_min?).then_some((row, last, years))
}

/// The crop itself before its family's return time is over and before the least that several sources
/// ask for between two of it: one source alone may speak of one region or of seed crops.
fn itself_too_soon<'r, 'g>(
    context: &Context<'r>,
    judged: &Judged<'g>,
) -> Option<(&'r IntervalRow, &'g Planting, f64)> {
    let planting = judged.planting;
    if judged.return_time().is_some() {
        return None;
    }
    let rows: Vec<&IntervalRow> = context
        .knowledge
        .intervals
        .rows()
        .iter()
        .filter(|row| row.crop == Some(planting.crop) && row.situation == Situation::CleanLand)
        .filter(|row| row.avoid.contains(&planting.crop) && row.years_min.is_some())
        .collect();
    let sources: BTreeSet<&str> = rows.iter().flat_map(|row| row.citation.keys()).collect();
    if sources.len() < 2 {
        return None;
    }
    let shortest = rows.into_iter().min_by(|a, b| {
        a.years_min.unwrap_or_default().total_cmp(&b.years_min.unwrap_or_default())
    })?;
    let before = judged.state.plantings.iter().copied().filter(|one| one.crop == planting.crop);
    let last = before.max_by_key(|one| one.stood.end_by(planting.stood.start))?;
    let years = years_between(last.stood.end_by(planting.stood.start), planting.stood.start);
    (years < shortest.years_min?).then_some((shortest, last, years))
}
