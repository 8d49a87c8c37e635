use crate::assess::{Evidence, MissingNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::BedKind;
use crate::season::years_between;

rule! {
    /// # Statement
    /// The records of a bed do not reach back as far as advice and inspectors ask for.
    /// # Mechanism
    /// What stood and ailed before the first record is unknown, not clean.
    /// # Reads
    /// beds (`records_from`), plantings, observations
    /// # Stays silent when
    /// the notes are complete for the policy's years (`history_years`), or the bed is a container.
    /// # Limits
    /// Time cures it; older notes, even rough ones, cure it at once.
    /// # Sources
    /// Rules for organic growing, which ask for the history of the last years.
    HistoryUnknown {
        id: "history_unknown",
        severity: Remark,
        reads: ["beds", "plantings", "observations"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for HistoryUnknown {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        if context.bed.kind == BedKind::Container {
            return Vec::new();
        }
        let place = super::whole(context);
        let from = context.garden.known_from(&place);
        let wanted = context.policy.history_years;
        if from.is_some_and(|from| years_between(from, context.today) >= wanted) {
            return Vec::new();
        }
        let claim = FindingClaim::HistoryUnknown { from, wanted };
        vec![
            Finding::new(&Self::CARD, &place, from.unwrap_or(context.today), claim)
                .resting_on([Evidence::Missing(MissingNote::HistoryBefore { from })]),
        ]
    }
}
