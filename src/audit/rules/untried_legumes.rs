use std::collections::BTreeMap;

use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Whole};
use crate::climate::Climate;
use crate::knowledge::Knowledge;
use crate::knowledge::{CropId, Role};
use crate::policy::Policy;
use crate::records::{Garden, Planting};
use crate::season::{Date, add_years};

rule! {
    /// # Statement
    /// A garden with years of records leans on one or two kinds of legume, and other covers would
    /// stand its winters.
    /// # Mechanism
    /// One legume again and again builds up its own diseases; another kind fits other gaps and is
    /// host to other things.
    /// # Reads
    /// plantings, climate; covers with their figures
    /// # Stays silent when
    /// three kinds (`legume_kinds`) stood in the last years, the records are younger than the
    /// policy's years (`legume_years`), or no climate is on record.
    /// # Limits
    /// Whether seed is to be had, and whether the bed's own diseases allow it, `cover` must be asked.
    /// # Sources
    /// The figures of winter kill carry their own.
    UntriedLegumes {
        id: "untried_legumes",
        severity: Remark,
        reads: ["plantings", "climate", "cover_figures"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for UntriedLegumes {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, _context: &Context<'_>) -> Vec<Finding> {
        Vec::new()
    }

    fn judge_garden(&self, whole: &Whole<'_>) -> Vec<Finding> {
        let Some(climate) = Climate::of(whole.garden) else { return Vec::new() };
        let since = add_years(whole.today, -whole.policy.legume_years);
        let crops = &whole.knowledge.crops;
        let Legumes { first, grown: stood } = &whole.sums.legumes;
        let old = first.is_some_and(|first| first <= since);
        let grown: Vec<CropId> =
            stood.iter().filter(|(_, stood)| stood.lately).map(|(crop, _)| *crop).collect();
        if !old || grown.len() >= whole.policy.legume_kinds {
            return Vec::new();
        }
        let (cold, _) = climate.cold_night_c(whole.policy);
        let mut untried: Vec<(f64, CropId)> = whole
            .knowledge
            .covers()
            .into_iter()
            .filter(|crop| {
                crops[*crop].is_legume()
                    && crops[*crop].role == Role::Cover
                    && !grown.contains(crop)
            })
            .filter_map(|crop| {
                let kill = whole.knowledge.cover_figures(crop, "winter_kill_c");
                Some((kill.iter().find_map(|figure| figure.range)?.high, crop))
            })
            .filter(|(kill, _)| *kill < cold)
            .collect();
        // The hardiest first.
        untried.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let untried: Vec<CropId> = untried.into_iter().take(4).map(|(_, crop)| crop).collect();
        if untried.is_empty() {
            return Vec::new();
        }
        let mut latest: Vec<&Planting> =
            grown.iter().filter_map(|crop| stood.get(crop)).flat_map(|one| &one.latest).collect();
        latest.sort_by(|a, b| b.in_order(a));
        let records: Vec<_> = latest.into_iter().take(TOLD).map(Evidence::planting).collect();
        let claim = FindingClaim::UntriedLegumes { grown, untried };
        vec![
            Finding::of_garden(&Self::CARD, whole.today, claim)
                .sure(Confidence::Moderate)
                .resting_on(records),
        ]
    }
}

/// Plantings of legumes that the finding names.
const TOLD: usize = 3;

/// The legumes of the garden, gathered bed by bed.
#[derive(Debug, Default)]
pub(in crate::audit) struct Legumes {
    /// The first planting of any kind.
    first: Option<Date>,
    grown: BTreeMap<CropId, Stood>,
}

/// One kind of legume.
#[derive(Debug, Default)]
struct Stood {
    /// Whether somebody grew it in the last years.
    lately: bool,
    /// Its latest plantings, the latest first.
    latest: Vec<Planting>,
}

impl Legumes {
    /// Takes in the records of some beds.
    pub(in crate::audit) fn take(
        &mut self,
        knowledge: &Knowledge,
        policy: &Policy,
        garden: &Garden,
        today: Date,
    ) {
        let since = add_years(today, -policy.legume_years);
        for one in &garden.plantings {
            let start = one.stood.start;
            self.first = self.first.into_iter().chain([start]).min();
            if !knowledge.crops[one.crop].is_legume() {
                continue;
            }
            let stood = self.grown.entry(one.crop).or_default();
            stood.lately |= !one.is_volunteer() && start >= since && start <= today;
            stood.keep(one);
        }
    }

    /// Takes in what was gathered elsewhere.
    pub(in crate::audit) fn join(&mut self, other: Self) {
        self.first = self.first.into_iter().chain(other.first).min();
        for (crop, more) in other.grown {
            let stood = self.grown.entry(crop).or_default();
            stood.lately |= more.lately;
            for one in &more.latest {
                stood.keep(one);
            }
        }
    }
}

impl Stood {
    fn keep(&mut self, one: &Planting) {
        let at = self.latest.partition_point(|kept| kept.in_order(one).is_ge());
        if at < TOLD {
            self.latest.insert(at, one.clone());
            self.latest.truncate(TOLD);
        }
    }
}
