use crate::assess::{Confidence, Evidence, FactNote, RecordNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Severity};
use crate::knowledge::PhosphorusClass;
use crate::season::add_years;
use crate::state::nutrients::{Flow, Ledger, Nutrient, Pool, Spread};

rule! {
    /// # Statement
    /// More phosphorus is put on a bed than its harvests take: in soil that a test calls high any
    /// surplus, elsewhere one that is large.
    /// # Mechanism
    /// Of the nitrogen in composts and manures little comes free in a season; their phosphorus all
    /// stays. Fed for nitrogen, the soil fills up with phosphorus, which runs off into water and
    /// stands in the way of zinc and iron.
    /// # Reads
    /// amendments, harvests, plantings, soil tests; the nutrient books, `soil_p_classes`
    /// # Stays silent when
    /// the likely surplus is below the policy (`phosphorus_surplus`), or a test calls the soil not
    /// high, or amounts are not written.
    /// # Limits
    /// A warning only where a test calls the soil excessive. What materials hold is mostly a range; the classes of two methods rest on memory.
    /// # Sources
    /// The finding cites the class; the figures of the materials carry their own.
    PhosphorusLoading {
        id: "phosphorus_loading",
        severity: Remark,
        reads: ["amendments", "harvests", "soil_tests", "soil_p_classes"],
        sources: ["nisr_2019_81", "rutgers_relative_levels"],
        since: "0.1.0",
    }
}

impl Rule for PhosphorusLoading {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings: Vec<Finding> =
            context.ledgers.iter().filter_map(|ledger| judge_one(context, ledger)).collect();
        // Sections that got the same as their bed are told once: the books come bed by bed.
        findings.dedup_by(|a, b| {
            let bed = |finding: &Finding| finding.place.as_ref().map(|place| place.bed.clone());
            let added = |finding: &Finding| match finding.claim {
                FindingClaim::PhosphorusLoading { added, .. } => Some((added * 100.0).round()),
                _ => None,
            };
            bed(a) == bed(b) && added(a) == added(b)
        });
        findings
    }
}

fn judge_one(context: &Context<'_>, ledger: &Ledger) -> Option<Finding> {
    let policy = context.policy;
    let since = add_years(context.today, -policy.phosphorus_years);
    let booked: Vec<_> = ledger.booked.iter().filter(|booked| booked.date >= since).collect();
    let last = booked.last()?;
    let added: f64 = booked.iter().map(|booked| booked.load.grams[1].likely).sum();
    let removed: Spread = ledger
        .months
        .iter()
        .filter(|month| month.to > since)
        .flat_map(|month| &month.account(Nutrient::Phosphorus).postings)
        .filter(|posting| {
            posting.to == Pool::Outside
                && matches!(posting.flow, Flow::Harvested | Flow::CarriedOff)
        })
        .map(|posting| posting.amount)
        .sum();
    let surplus = added - removed.likely;
    let class = ledger.phosphorus.as_ref().map(|test| test.class);
    let floor = match class {
        Some(PhosphorusClass::Excessive) => 1.0,
        Some(PhosphorusClass::High) => policy.phosphorus_surplus / 3.0,
        Some(PhosphorusClass::NotHigh) => return None,
        None => policy.phosphorus_surplus,
    };
    if surplus < floor {
        return None;
    }
    let mut evidence: Vec<Evidence> = booked
        .iter()
        .rev()
        .filter(|booked| booked.load.grams[1].likely > 0.5)
        .map(|booked| {
            let material = booked.material.clone();
            Evidence::Record(
                booked.origin.clone(),
                RecordNote::Amendment { date: booked.date, material },
            )
        })
        .collect();
    if let Some(test) = &ledger.phosphorus {
        evidence
            .push(Evidence::Record(test.origin.clone(), RecordNote::SoilTest { date: test.date }));
        if let Some((class, citation)) =
            context.knowledge.nutrients().phosphorus_class(test.method, test.value)
        {
            let value = test.value.0;
            let note = FactNote::PhosphorusClass { method: test.method, value, class };
            evidence.push(Evidence::Fact(note, citation.clone()));
        }
    }
    let confidence = match class {
        Some(_) => Confidence::High,
        None => Confidence::Moderate,
    };
    Some(Finding {
        again: Vec::new(),
        rule: PhosphorusLoading::CARD.id,
        severity: match class {
            Some(PhosphorusClass::Excessive) => Severity::Warning,
            Some(PhosphorusClass::High | PhosphorusClass::NotHigh) | None => {
                PhosphorusLoading::CARD.severity
            }
        },
        confidence,
        place: Some(ledger.place.clone()),
        date: last.date,
        claim: FindingClaim::PhosphorusLoading {
            added,
            removed: removed.likely,
            years: policy.phosphorus_years,
            class,
        },
        evidence,
    })
}
