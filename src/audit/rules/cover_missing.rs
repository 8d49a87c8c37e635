use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::Role;
use crate::records::{BedKind, Residue};
use crate::season::add_years;

rule! {
    /// # Statement
    /// For years no cover grew on a bed, nothing was dug in or left on it, and no compost or mulch
    /// was put on.
    /// # Mechanism
    /// Crops and digging take organic matter away year by year; covers, residue and compost are the
    /// ways to bring it back.
    /// # Reads
    /// plantings (residue), amendments, treatments; crops
    /// # Stays silent when
    /// any of these is on record within the policy's years (`cover_years`), the bed is a container,
    /// or its records are younger.
    /// # Limits
    /// Roots and stubble, which also feed the soil, are not counted.
    /// # Sources
    /// The clauses on covers and green manure in the table of standards.
    CoverMissing {
        id: "cover_missing",
        severity: Remark,
        reads: ["plantings", "amendments", "treatments"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for CoverMissing {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let since = add_years(context.today, -context.policy.cover_years);
        let place = super::whole(context);
        let known = context.garden.known_from(&place).is_some_and(|from| from <= since);
        let in_time: Vec<_> = context
            .made()
            .filter(|planting| planting.stood.end_by(context.today) > since)
            .collect();
        let fed_by_plants = in_time.iter().any(|planting| {
            context.knowledge.crops[planting.crop].role == Role::Cover
                || matches!(planting.residue, Some(Residue::Left | Residue::DugIn))
        });
        let put_on = context.garden.amendments.iter().any(|one| {
            one.date > since
                && one.date <= context.today
                && super::kind_of(context, &one.material).is_some_and(|kind| {
                    matches!(
                        kind,
                        "compost" | "manure_composted" | "manure_raw" | "mulch" | "plant"
                    )
                })
        });
        let treated =
            context.garden.treatments.iter().any(|one| one.lasted.end_by(context.today) > since);
        if context.bed.kind == BedKind::Container
            || !known
            || in_time.len() < context.policy.run_growings
            || fed_by_plants
            || put_on
            || treated
        {
            return Vec::new();
        }
        let claim = FindingClaim::CoverMissing { years: context.policy.cover_years };
        vec![
            Finding::new(&Self::CARD, &place, context.today, claim)
                .sure(Confidence::Moderate)
                .resting_on(in_time.iter().rev().map(|one| Evidence::planting(one))),
        ]
    }
}
