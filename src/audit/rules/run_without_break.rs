use crate::assess::Evidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::Role;
use crate::records::Planting;
use crate::season::Date;

rule! {
    /// # Statement
    /// One crop, or one family, was grown in a bed season after season without a break.
    /// # Mechanism
    /// What lives on a crop builds up from year to year while it comes back; the second growing loses
    /// most, later ones somewhat more, and then the loss stays.
    /// # Reads
    /// plantings; crops
    /// # Stays silent when
    /// another family held the ground for a whole season between, it is a cover grown for the soil,
    /// the plants stood on as perennials do, or new soil was put in.
    /// # Limits
    /// A short winter crop between two summers of one crop is no break: what counts is that the crop
    /// is back at the same season.
    /// # Sources
    /// The definition of crop rotation in the organic rules of the USA; losses of runs in the
    /// rotation trials.
    RunWithoutBreak {
        id: "run_without_break",
        severity: Warning,
        reads: ["plantings", "crops"],
        sources: ["cfr_7_205_205"],
        since: "0.1.0",
    }
}

impl Rule for RunWithoutBreak {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let crops = &context.knowledge.crops;
        let renewed = context
            .garden
            .treatments
            .iter()
            .rfind(|treatment| treatment.practice.replaces_soil())
            .map(|treatment| treatment.lasted.start);
        let grown: Vec<&Planting> = context
            .made()
            .filter(|planting| {
                let role = crops[planting.crop].role;
                !matches!(role, Role::Cover | Role::Fungus | Role::Weed)
                    && !crops[planting.crop].family.is_empty()
                    && renewed.is_none_or(|day: Date| planting.stood.start >= day)
            })
            .collect();
        let mut findings = Vec::new();
        for (at, last) in grown.iter().enumerate() {
            let follows = |later: &Planting, earlier: &Planting| {
                let start = (later.stood.start - earlier.stood.start).num_days();
                later.place.bears_on(&earlier.place)
                    && start > 20
                    && start <= context.policy.run_start_days
                    && crops[later.crop].family == crops[earlier.crop].family
            };
            // Only the end of a run is told.
            if grown[at + 1..].iter().any(|later| follows(later, last)) {
                continue;
            }
            let mut run = vec![*last];
            for earlier in grown[..at].iter().rev() {
                if run.last().is_some_and(|later| follows(later, earlier)) {
                    run.push(earlier);
                }
            }
            if run.len() < context.policy.run_growings {
                continue;
            }
            let first = run.last().map_or(last.stood.start, |first| first.stood.start);
            let claim = FindingClaim::RunWithoutBreak {
                crop: last.crop,
                times: run.len(),
                since: first,
                same_crop: run.iter().all(|one| one.crop == last.crop),
            };
            findings.push(
                Finding::new(&Self::CARD, &last.place, last.stood.start, claim)
                    .resting_on(run.iter().map(|one| Evidence::planting(one))),
            );
        }
        findings
    }
}
