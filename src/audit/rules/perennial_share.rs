use crate::assess::{Confidence, Evidence, FactNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::Role;
use crate::season::years_between;

rule! {
    /// # Statement
    /// A bed with a rotation was under perennials for more than two thirds of its recorded time.
    /// # Mechanism
    /// The conservation practice standard for rotations asks that crops planted year by year take up
    /// at least a third of the sequence.
    /// # Reads
    /// plantings; crops; standards (N328-THIRD)
    /// # Stays silent when
    /// the bed held perennials only (then it is no rotation), its records are younger than the
    /// policy's years (`legume_years`), or the share is smaller.
    /// # Limits
    /// A hint for those who apply for support under that standard; a perennial bed is no fault in
    /// itself.
    /// # Sources
    /// The clause that the finding names.
    PerennialShare {
        id: "perennial_share",
        severity: Remark,
        reads: ["plantings", "crops", "standards"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for PerennialShare {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let clause = context.knowledge.clauses().iter().find(|clause| &*clause.id == "N328-THIRD");
        let place = super::whole(context);
        let (Some(clause), Some(from)) = (clause, context.garden.known_from(&place)) else {
            return Vec::new();
        };
        let years = years_between(from, context.today);
        let crops = &context.knowledge.crops;
        let is_perennial = |one: &crate::records::Planting| crops[one.crop].role == Role::Perennial;
        let standing: Vec<_> = context.made().filter(|one| is_perennial(one)).collect();
        let days: i64 = standing
            .iter()
            .filter(|one| one.place.section.is_none())
            .map(|one| (one.stood.end_by(context.today) - one.stood.start).num_days())
            .sum();
        let percent = 100.0 * days as f64 / (years * crate::season::DAYS_PER_YEAR).max(1.0);
        let annual = context.made().any(|one| !is_perennial(one));
        if !annual
            || years < context.policy.legume_years
            || percent <= 100.0 - clause.figure.unwrap_or_default()
        {
            return Vec::new();
        }
        let note =
            FactNote::Clause { clause: clause.clause.clone(), demands: clause.demands.clone() };
        let claim = FindingClaim::PerennialShare { percent };
        vec![
            Finding::new(&Self::CARD, &place, context.today, claim)
                .sure(Confidence::Moderate)
                .resting_on(
                    standing
                        .iter()
                        .map(|one| Evidence::planting(one))
                        .chain([Evidence::Fact(note, clause.citation.clone())]),
                ),
        ]
    }
}
