use std::collections::BTreeMap;

use crate::assess::{Confidence, Evidence, FactNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Whole};
use crate::knowledge::{CropId, Role};
use crate::season::{Date, add_years};

rule! {
    /// # Statement
    /// One crop held more than half of a garden's planted ground over a year.
    /// # Mechanism
    /// A rotation has room to turn only where no crop fills most of the ground.
    /// # Reads
    /// plantings, beds; standards (IOBC-2)
    /// # Stays silent when
    /// the garden has fewer than three beds, less than a year is on record, or the crop is a cover.
    /// # Limits
    /// Ground and time are both counted; a planting without an area counts for its whole bed. Of
    /// several such years the latest is told.
    /// # Sources
    /// The guideline that the clause names.
    CropShare {
        id: "crop_share",
        severity: Remark,
        reads: ["plantings", "beds", "standards"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for CropShare {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, _context: &Context<'_>) -> Vec<Finding> {
        Vec::new()
    }

    fn judge_garden(&self, whole: &Whole<'_>) -> Vec<Finding> {
        let clause = whole.knowledge.clauses().iter().find(|clause| &*clause.id == "IOBC-2");
        let Some((clause, most)) = clause.and_then(|clause| Some((clause, clause.figure?))) else {
            return Vec::new();
        };
        let areas: BTreeMap<&str, f64> =
            whole.garden.beds.iter().map(|bed| (&*bed.name, bed.area().0)).collect();
        if areas.len() < whole.policy.crop_share_beds {
            return Vec::new();
        }
        let year = (add_years(whole.today, -1.0), whole.today);
        let mut held: BTreeMap<CropId, f64> = BTreeMap::new();
        for one in whole.garden.plantings.iter().filter(|one| !one.is_volunteer()) {
            let days = days_within(one.stood.start, one.stood.end_by(whole.today), year);
            if days > 0.0 && whole.knowledge.crops[one.crop].role != Role::Fungus {
                let bed = areas.get(&*one.place.bed).copied().unwrap_or_default();
                *held.entry(one.crop).or_default() += days * one.area.map_or(bed, |area| area.0);
            }
        }
        let all: f64 = held.values().sum();
        let first = whole.garden.plantings.first().map(|one| one.stood.start);
        if first.is_none_or(|first| first > year.0) {
            return Vec::new();
        }
        let largest = held.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let Some((crop, ground)) = largest else { return Vec::new() };
        let percent = 100.0 * ground / all;
        if percent <= most || whole.knowledge.crops[crop].role == Role::Cover {
            return Vec::new();
        }
        let records = whole.garden.plantings.iter().filter(|one| {
            one.crop == crop
                && days_within(one.stood.start, one.stood.end_by(whole.today), year) > 0.0
        });
        let note =
            FactNote::Clause { clause: clause.clause.clone(), demands: clause.demands.clone() };
        let fact = Evidence::Fact(note, clause.citation.clone());
        let claim = FindingClaim::CropShare { crop, percent };
        vec![
            Finding::of_garden(&Self::CARD, whole.today, claim)
                .sure(Confidence::Moderate)
                .resting_on(records.map(Evidence::planting).chain([fact])),
        ]
    }
}

/// Days of a span within a year.
fn days_within(start: Date, end: Date, year: (Date, Date)) -> f64 {
    (end.min(year.1) - start.max(year.0)).num_days().max(0) as f64
}
