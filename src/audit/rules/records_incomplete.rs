use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Whole};
use crate::knowledge::Role;
use crate::records::Amount;

rule! {
    /// # Statement
    /// Details are missing that the books or an inspector ask for: variety, method, what became of
    /// the plants, how much was put on.
    /// # Mechanism
    /// Without an amount the books cannot count a load; without method and residue they guess; rules
    /// for organic growing ask for varieties and amounts.
    /// # Reads
    /// plantings, amendments
    /// # Stays silent when
    /// all of these are written for every planting that somebody made and every load.
    /// # Limits
    /// It counts and does not list: `audit --evidence` lists the lines. Varieties of covers are not
    /// asked for.
    /// # Sources
    /// The clauses on records in the table of standards.
    RecordsIncomplete {
        id: "records_incomplete",
        severity: Remark,
        reads: ["plantings", "amendments"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for RecordsIncomplete {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, _context: &Context<'_>) -> Vec<Finding> {
        Vec::new()
    }

    fn judge_garden(&self, whole: &Whole<'_>) -> Vec<Finding> {
        let made: Vec<_> = whole
            .garden
            .plantings
            .iter()
            .filter(|one| !one.is_volunteer() && one.stood.start <= whole.today)
            .collect();
        let crops = &whole.knowledge.crops;
        let count = |is: &dyn Fn(&crate::records::Planting) -> bool| {
            made.iter().filter(|one| is(one)).count()
        };
        let variety = count(&|one| {
            one.variety.is_empty() && !matches!(crops[one.crop].role, Role::Cover | Role::Fungus)
        });
        let method = count(&|one| one.method.is_none());
        let residue = count(&|one| {
            one.residue.is_none() && one.stood.end.is_some_and(|end| end <= whole.today)
        });
        let amount =
            whole.garden.amendments.iter().filter(|one| one.amount == Amount::Unknown).count();
        if variety + method + residue + amount == 0 {
            return Vec::new();
        }
        let first = made.iter().find(|one| {
            one.variety.is_empty() && !matches!(crops[one.crop].role, Role::Cover | Role::Fungus)
                || one.method.is_none()
                || one.residue.is_none() && one.stood.end.is_some()
        });
        let load = whole.garden.amendments.iter().find(|one| one.amount == Amount::Unknown);
        let evidence = load
            .map(Evidence::amendment)
            .into_iter()
            .chain(first.map(|one| Evidence::planting(one)));
        let claim = FindingClaim::RecordsIncomplete {
            plantings: made.len(),
            variety,
            method,
            residue,
            amount,
        };
        vec![
            Finding::of_garden(&Self::CARD, whole.today, claim)
                .sure(if amount > 0 { Confidence::High } else { Confidence::Low })
                .resting_on(evidence),
        ]
    }
}
