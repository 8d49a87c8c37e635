use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::Signs;
use crate::records::Seen;

rule! {
    /// # Statement
    /// The note on a planting tells of sickness, and no observation does.
    /// # Mechanism
    /// Notes are for people: what the soil holds is reckoned from observations alone, so that a
    /// wilted crop that was only mentioned leaves the bed without anything on record.
    /// # Reads
    /// plantings, observations
    /// # Stays silent when
    /// something was noted as sick on that crop while it stood or within the policy's days after
    /// (`looked_at_days`), or the note denies what it names ("no mildew").
    /// # Limits
    /// It knows some thirty English words, and cannot tell sickness from hail or slugs.
    /// # Sources
    /// Our own check of the records.
    SicknessOnlyInNote {
        id: "sickness_only_in_note",
        severity: Warning,
        reads: ["plantings", "observations"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for SicknessOnlyInNote {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for planting in &context.garden.plantings {
            let Some(word) = Signs::of_sickness(&planting.note) else { continue };
            let (from, to) = (planting.stood.start, planting.stood.end_by(context.today));
            let is_noted = context.garden.observations.iter().any(|seen| {
                seen.seen != Seen::Healthy
                    && seen.crop.is_none_or(|crop| crop == planting.crop)
                    && seen.place.bears_on(&planting.place)
                    && seen.date >= from
                    && (seen.date - to).num_days() <= context.policy.looked_at_days
            });
            if is_noted || from > context.today {
                continue;
            }
            let word = word.into_boxed_str();
            let claim = FindingClaim::SicknessOnlyInNote { crop: planting.crop, word };
            findings.push(
                Finding::new(&Self::CARD, &planting.place, to, claim)
                    .sure(Confidence::Low)
                    .resting_on([Evidence::planting(planting)]),
            );
        }
        findings
    }
}
