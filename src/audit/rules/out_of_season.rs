use crate::assess::season::HazardEffect;
use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::Role;

rule! {
    /// # Statement
    /// A crop was started on a day that leads to no harvest at this site in a normal year, or to a poor
    /// one, and nothing was picked of it.
    /// # Mechanism
    /// Frost, heat, cold soil or short days stop it before it is ripe; the seed, the ground and the
    /// season are lost.
    /// # Reads
    /// plantings, climate; what crops bear and need
    /// # Stays silent when
    /// nothing of the season forbids the day, the plants came by themselves, it is a cover or a
    /// perennial, something was picked of it all the same, or no climate is on record.
    /// # Limits
    /// Normals, not the weather of that year; fleece, cloches and glass are not recorded.
    /// # Sources
    /// The limits of each crop carry their own.
    OutOfSeason {
        id: "out_of_season",
        severity: Warning,
        reads: ["plantings", "climate", "crop_figures", "crop_thresholds"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for OutOfSeason {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in super::set_by_hand(context) {
            let planting = judged.planting;
            let crop = &context.knowledge.crops[planting.crop];
            if crop.role != Role::Cash || matches!(&*crop.life_cycle, "perennial") {
                continue;
            }
            let Some((effect, hazard)) = context.worst_of_season(planting) else { continue };
            let picked = context.garden.harvests.iter().any(|harvest| {
                harvest.crop == planting.crop
                    && harvest.place.bears_on(&planting.place)
                    && harvest.date >= planting.stood.start
                    && planting.stood.end.is_none_or(|end| harvest.date <= end)
            });
            // What harms is a fault only where it cost the whole crop.
            let failed = planting.stood.end.is_some_and(|end| end <= context.today)
                && !context.garden.harvests.is_empty();
            if picked || effect != HazardEffect::Forbids && !failed {
                continue;
            }
            let climate = context.garden.climate.first().map(|month| {
                Evidence::Record(month.origin.clone(), crate::assess::RecordNote::Climate)
            });
            let claim = FindingClaim::OutOfSeason { crop: planting.crop, hazard };
            findings.push(
                Finding::new(&Self::CARD, &planting.place, planting.stood.start, claim)
                    .sure(Confidence::Moderate)
                    .resting_on(std::iter::once(Evidence::planting(planting)).chain(climate)),
            );
        }
        findings
    }
}
