use crate::assess::{Claim, Effect};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Severity};

rule! {
    /// # Statement
    /// A crop was planted before the wait after what stood there was over.
    /// # Mechanism
    /// Rotting residue ties up nitrogen, feeds damping-off and maggots, or poisons seedlings. Wireworms of
    /// an old sod live on in the soil for years, whatever became of the residue.
    /// # Reads
    /// plantings; `sequence_rules`
    /// # Stays silent when
    /// the residue was carried off and it is the residue that is waited for, or no source gives days for the pair. Half the days served is a
    /// remark.
    /// # Limits
    /// Days stand for warmth and moisture, which are not yet counted.
    /// # Sources
    /// Each finding cites the rows it rests on.
    ResidueNotReady {
        id: "residue_not_ready",
        severity: Warning,
        reads: ["plantings", "sequence_rules"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for ResidueNotReady {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in context.judged.iter().filter(|judged| !judged.planting.is_volunteer()) {
            for reason in judged.sequence() {
                let Claim::ResidueNotReady { previous, days, left } = reason.claim else {
                    continue;
                };
                let (Effect::Wait { until: Some(until) } | Effect::Care { until: Some(until) }) =
                    reason.effect
                else {
                    continue;
                };
                let still_asked = (until - judged.planting.stood.start).num_days();
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    severity: if days < still_asked {
                        Self::CARD.severity
                    } else {
                        Severity::Remark
                    },
                    confidence: reason.certainty,
                    place: Some(judged.planting.place.clone()),
                    date: judged.planting.stood.start,
                    claim: FindingClaim::ResidueNotReady {
                        crop: judged.planting.crop,
                        previous,
                        days,
                        left,
                    },
                    evidence: super::with_planting(judged.planting, &reason.evidence),
                });
            }
        }
        findings
    }
}
