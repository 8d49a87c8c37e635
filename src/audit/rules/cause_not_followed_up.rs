use crate::assess::{Confidence, Evidence, MissingNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::{Extent, Observation, Seen};
use crate::state::diagnose;

rule! {
    /// # Statement
    /// A disease of unknown cause was written down and nobody came back to name it.
    /// # Mechanism
    /// Until it is named, every host of every possible cause must be held back.
    /// # Reads
    /// observations; symptoms
    /// # Stays silent when
    /// a later observation on the same crop names a cause, or the extent was a trace.
    /// # Limits
    /// It does not know of checks that were made and not written.
    /// # Sources
    /// Field checks from the symptoms table.
    CauseNotFollowedUp {
        id: "cause_not_followed_up",
        severity: Warning,
        reads: ["observations", "symptoms"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for CauseNotFollowedUp {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let observations = &context.garden.observations;
        let open = observations.iter().filter(|seen| {
            seen.date <= context.today
                && seen.seen == Seen::Unknown
                && seen.extent != Some(Extent::Trace)
                && !observations.iter().any(|later| answers(later, seen))
                // The latest of several notes on the same crop stands for them all.
                && !observations.iter().any(|later| {
                    later.seen == Seen::Unknown
                        && later.place == seen.place
                        && later.crop == seen.crop
                        && later.date > seen.date
                        && (later.date - seen.date).num_days() < 120
                })
        });
        open.map(|seen| {
            let mut evidence = vec![Evidence::sighting(seen)];
            let causes = diagnose(context.garden, context.knowledge, context.policy, &[seen], &[]);
            if let Some(best) = causes.into_iter().next() {
                evidence
                    .push(Evidence::Missing(MissingNote::Cause { field_check: best.field_check }));
            }
            Finding {
                again: Vec::new(),
                rule: Self::CARD.id,
                severity: Self::CARD.severity,
                confidence: Confidence::High,
                place: Some(seen.place.clone()),
                date: seen.date,
                claim: FindingClaim::CauseNotFollowedUp { crop: seen.crop },
                evidence,
            }
        })
        .collect()
    }
}

fn answers(later: &Observation, seen: &Observation) -> bool {
    later.date >= seen.date
        && later.place.bears_on(&seen.place)
        && later.crop == seen.crop
        && matches!(later.seen, Seen::Pathogen(_) | Seen::Disorder(_))
}
