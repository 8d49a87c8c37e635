use std::cmp::Ordering;

use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Whole};
use crate::knowledge::{Knowledge, Role};
use crate::records::{Amendment, Amount, Garden, Planting};
use crate::season::Date;

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
        let gaps = &whole.sums.gaps;
        if gaps.variety + gaps.method + gaps.residue + gaps.amount == 0 {
            return Vec::new();
        }
        let load = gaps.load.as_ref().map(Evidence::amendment);
        let evidence = load.into_iter().chain(gaps.first.as_ref().map(Evidence::planting));
        let claim = FindingClaim::RecordsIncomplete {
            plantings: gaps.plantings,
            variety: gaps.variety,
            method: gaps.method,
            residue: gaps.residue,
            amount: gaps.amount,
        };
        vec![
            Finding::of_garden(&Self::CARD, whole.today, claim)
                .sure(if gaps.amount > 0 { Confidence::High } else { Confidence::Low })
                .resting_on(evidence),
        ]
    }
}

/// What is missing from the garden's records, counted bed by bed.
#[derive(Debug, Default)]
pub(in crate::audit) struct Gaps {
    plantings: usize,
    variety: usize,
    method: usize,
    residue: usize,
    amount: usize,
    /// The first planting that lacks something.
    first: Option<Planting>,
    /// The first load without an amount.
    load: Option<Amendment>,
}

impl Gaps {
    /// Takes in the records of some beds.
    pub(in crate::audit) fn take(&mut self, knowledge: &Knowledge, garden: &Garden, today: Date) {
        let made =
            garden.plantings.iter().filter(|one| !one.is_volunteer() && one.stood.start <= today);
        for one in made {
            let role = knowledge.crops[one.crop].role;
            let variety = one.variety.is_empty() && !matches!(role, Role::Cover | Role::Fungus);
            let method = one.method.is_none();
            let residue = one.residue.is_none() && one.stood.end.is_some_and(|end| end <= today);
            self.plantings += 1;
            self.variety += usize::from(variety);
            self.method += usize::from(method);
            self.residue += usize::from(residue);
            if variety || method || one.residue.is_none() && one.stood.end.is_some() {
                keep_first(&mut self.first, one, Planting::in_order);
            }
        }
        for load in garden.amendments.iter().filter(|one| one.amount == Amount::Unknown) {
            self.amount += 1;
            keep_first(&mut self.load, load, Amendment::in_order);
        }
    }

    /// Takes in what was counted elsewhere.
    pub(in crate::audit) fn join(&mut self, other: &Self) {
        self.plantings += other.plantings;
        self.variety += other.variety;
        self.method += other.method;
        self.residue += other.residue;
        self.amount += other.amount;
        if let Some(first) = &other.first {
            keep_first(&mut self.first, first, Planting::in_order);
        }
        if let Some(load) = &other.load {
            keep_first(&mut self.load, load, Amendment::in_order);
        }
    }
}

fn keep_first<R: Clone>(kept: &mut Option<R>, one: &R, order: fn(&R, &R) -> Ordering) {
    if kept.as_ref().is_none_or(|kept| order(one, kept) == Ordering::Less) {
        *kept = Some(one.clone());
    }
}
