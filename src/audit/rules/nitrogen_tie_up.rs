use crate::assess::{Claim, Confidence, Evidence, FigureNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Severity};

rule! {
    /// # Statement
    /// A crop was planted while rotting residue or a strawy material was taking nitrogen out of the
    /// soil, and the bed was short of it.
    /// # Mechanism
    /// Microbes that rot matter with less than some 1.5 % nitrogen take what they lack from the
    /// soil; it comes back months later.
    /// # Reads
    /// plantings, amendments; `pan_model`, `cover_figures`, amendments table
    /// # Stays silent when
    /// the likely tie-up is below the policy (`nitrogen_tied_up`), the crop was not short, it is a
    /// cover, or it came by itself. Where it may also have been little, since nobody wrote whether the
    /// matter was dug in, it is a remark.
    /// # Limits
    /// A mulch left on the surface ties up little, and what is spread between standing plants is taken
    /// to lie; of other straw, leaves and chips no record says whether they were dug in.
    /// # Sources
    /// The line of plant-available nitrogen and the carbon to nitrogen of residues.
    NitrogenTieUp {
        id: "nitrogen_tie_up",
        severity: Warning,
        reads: ["plantings", "amendments", "pan_model"],
        sources: ["sullivan_2012_pnw636", "ohio_henry_county_2018"],
        since: "0.1.0",
    }
}

impl Rule for NitrogenTieUp {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in context.judged.iter().filter(|judged| !judged.planting.is_volunteer()) {
            if let Some(reason) = judged.nutrients() {
                if !matches!(reason.claim, Claim::NitrogenShort { .. }) {
                    continue;
                }
                let tied = reason.evidence.iter().find_map(|leaf| match leaf {
                    Evidence::Figure(FigureNote::NitrogenSupply(supply)) => Some(supply.tied_up),
                    _ => None,
                });
                let Some(tied) = tied.filter(|tied| tied.likely >= context.policy.nitrogen_tied_up)
                else {
                    continue;
                };
                let surely = tied.range().low >= context.policy.nitrogen_tied_up;
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    severity: if surely { Self::CARD.severity } else { Severity::Remark },
                    confidence: reason.certainty.min(Confidence::Moderate),
                    place: Some(judged.planting.place.clone()),
                    date: judged.planting.stood.start,
                    claim: FindingClaim::NitrogenTieUp {
                        crop: judged.planting.crop,
                        grams: tied.range(),
                    },
                    evidence: super::with_planting(judged.planting, &reason.evidence),
                });
            }
        }
        findings
    }
}
