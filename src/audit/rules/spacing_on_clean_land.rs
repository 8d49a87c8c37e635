use crate::assess::{Evidence, FactNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::{IntervalRow, Situation};
use crate::records::Planting;
use crate::season::years_between;

rule! {
    /// # Statement
    /// A crop came sooner after another than a source advises on clean land, because the two share
    /// diseases.
    /// # Mechanism
    /// What has not been seen is kept from building up by keeping its hosts apart, whatever their
    /// families.
    /// # Reads
    /// plantings; intervals (situation `clean_land`)
    /// # Stays silent when
    /// the source names no other crop to keep away from, or its years are served. The same family is
    /// told by `family_interval`.
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
        super::set_by_hand(context)
            .filter_map(|judged| {
                let planting = judged.planting;
                let (row, before, years) = context
                    .knowledge
                    .intervals
                    .rows()
                    .iter()
                    .filter(|row| row.crop == Some(planting.crop))
                    .filter(|row| row.situation == Situation::CleanLand)
                    .find_map(|row| too_soon(context, row, &judged.state.plantings, planting))?;
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

/// The latest crop of another family that the row says to keep away from, if its years are not served.
fn too_soon<'r, 'g>(
    context: &Context<'_>,
    row: &'r IntervalRow,
    before: &[&'g Planting],
    planting: &Planting,
) -> Option<(&'r IntervalRow, &'g Planting, f64)> {
    let crops = &context.knowledge.crops;
    let last = before.iter().copied().filter(|one| {
        row.avoid.contains(&one.crop) && crops[one.crop].family != crops[planting.crop].family
    });
    let last = last.max_by_key(|one| one.stood.end_by(planting.stood.start))?;
    let years = years_between(last.stood.end_by(planting.stood.start), planting.stood.start);
    (years < row.years_min?).then_some((row, last, years))
}
