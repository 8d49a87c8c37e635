use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Whole};
use crate::climate::Climate;
use crate::knowledge::{CropId, Role};
use crate::season::add_years;

rule! {
    /// # Statement
    /// A garden with years of records leans on one or two kinds of legume, and other covers would
    /// stand its winters.
    /// # Mechanism
    /// One legume again and again builds up its own diseases; another kind fits other gaps and is
    /// host to other things.
    /// # Reads
    /// plantings, climate; covers with their figures
    /// # Stays silent when
    /// three kinds (`legume_kinds`) stood in the last years, the records are younger than the
    /// policy's years (`legume_years`), or no climate is on record.
    /// # Limits
    /// Whether seed is to be had, and whether the bed's own diseases allow it, `cover` must be asked.
    /// # Sources
    /// The figures of winter kill carry their own.
    UntriedLegumes {
        id: "untried_legumes",
        severity: Remark,
        reads: ["plantings", "climate", "cover_figures"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for UntriedLegumes {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, _context: &Context<'_>) -> Vec<Finding> {
        Vec::new()
    }

    fn judge_garden(&self, whole: &Whole<'_>) -> Vec<Finding> {
        let Some(climate) = Climate::of(whole.garden) else { return Vec::new() };
        let since = add_years(whole.today, -whole.policy.legume_years);
        let crops = &whole.knowledge.crops;
        let old = whole.garden.plantings.first().is_some_and(|one| one.stood.start <= since);
        let mut grown: Vec<CropId> = whole
            .garden
            .plantings
            .iter()
            .filter(|one| one.stood.start >= since && one.stood.start <= whole.today)
            .filter(|one| crops[one.crop].is_legume() && !one.is_volunteer())
            .map(|one| one.crop)
            .collect();
        grown.sort_unstable();
        grown.dedup();
        if !old || grown.len() >= whole.policy.legume_kinds {
            return Vec::new();
        }
        let (cold, _) = climate.cold_night_c(whole.policy);
        let mut untried: Vec<(f64, CropId)> = whole
            .knowledge
            .covers()
            .into_iter()
            .filter(|crop| {
                crops[*crop].is_legume()
                    && crops[*crop].role == Role::Cover
                    && !grown.contains(crop)
            })
            .filter_map(|crop| {
                let kill = whole.knowledge.cover_figures(crop, "winter_kill_c");
                Some((kill.iter().find_map(|figure| figure.range)?.high, crop))
            })
            .filter(|(kill, _)| *kill < cold)
            .collect();
        // The hardiest first.
        untried.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let untried: Vec<CropId> = untried.into_iter().take(4).map(|(_, crop)| crop).collect();
        if untried.is_empty() {
            return Vec::new();
        }
        let records = whole.garden.plantings.iter().rev().filter(|one| grown.contains(&one.crop));
        let records: Vec<_> = records.take(3).map(Evidence::planting).collect();
        let claim = FindingClaim::UntriedLegumes { grown, untried };
        vec![
            Finding::of_garden(&Self::CARD, whole.today, claim)
                .sure(Confidence::Moderate)
                .resting_on(records),
        ]
    }
}
