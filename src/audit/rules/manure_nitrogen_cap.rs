use crate::assess::{Confidence, Evidence, FactNote, FigureNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::state::nutrients::Nutrient;

rule! {
    /// # Statement
    /// More nitrogen came with animal manure in twelve months than the organic rules of the European
    /// Union allow on average.
    /// # Mechanism
    /// What crops do not take of it is washed out or goes up as gas.
    /// # Reads
    /// amendments; what materials hold; standards (EU-1.9.4)
    /// # Stays silent when
    /// the likely sum of any twelve months stays below the figure, or amounts are not written.
    /// # Limits
    /// The rule speaks of a whole holding's average; a single bed above it is a hint, not a breach.
    /// Pellets of dried manure count as meals in the tables and are added.
    /// # Sources
    /// The clause that the finding names.
    ManureNitrogenCap {
        id: "manure_nitrogen_cap",
        severity: Remark,
        reads: ["amendments", "standards"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for ManureNitrogenCap {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let clause = context.knowledge.clauses().iter().find(|clause| &*clause.unit == "g_m2_year");
        let Some((clause, most)) = clause.and_then(|clause| Some((clause, clause.figure?))) else {
            return Vec::new();
        };
        let loads: Vec<_> = super::nitrogen_loads(context)
            .filter(|(amendment, _)| {
                super::kind_of(context, &amendment.material)
                    .is_some_and(|kind| kind.starts_with("manure"))
                    || amendment.material.contains("manure")
            })
            .collect();
        let mut findings = Vec::new();
        let mut told_to: Option<crate::season::Date> = None;
        for (at, (last, _)) in loads.iter().enumerate() {
            let year: Vec<_> = loads[..=at]
                .iter()
                .filter(|(one, _)| {
                    (last.date - one.date).num_days() < 365 && one.place.bears_on(&last.place)
                })
                .collect();
            let grams = year
                .iter()
                .map(|(_, grams)| *grams)
                .fold(crate::estimate::Estimate::ZERO, |sum, one| sum + one);
            if grams.likely <= most
                || told_to.is_some_and(|told| (last.date - told).num_days() < 365)
            {
                continue;
            }
            told_to = Some(last.date);
            let note =
                FactNote::Clause { clause: clause.clause.clone(), demands: clause.demands.clone() };
            let evidence = year.iter().map(|(one, _)| Evidence::amendment(one)).chain([
                Evidence::Figure(FigureNote::Booked { nutrient: Nutrient::Nitrogen, grams }),
                Evidence::Fact(note, clause.citation.clone()),
            ]);
            findings.push(
                Finding::new(
                    &Self::CARD,
                    &last.place,
                    last.date,
                    FindingClaim::ManureNitrogenCap { grams, most },
                )
                .sure(Confidence::Moderate)
                .resting_on(evidence.collect::<Vec<_>>()),
            );
        }
        findings
    }
}
