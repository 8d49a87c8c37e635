//! A crop's need against what the place gives in time, the yield to expect of it, and what would
//! close the gap.

use super::books::{Flow, Nutrient, Spread};
use super::fill::{Portion, portion};
use super::ledger::{Ledger, Supply};
use super::material::makeup;
use super::need::{Need, need};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PhosphorusClass};
use crate::policy::Policy;
use crate::season::{Date, add_days};

/// A crop's need against a place's supply.
#[derive(Clone, Debug, PartialEq)]
pub struct Feeding {
    /// The crop.
    pub crop: CropId,
    /// What it needs.
    pub need: Need,
    /// What the place gives.
    pub supply: Supply,
    /// Nitrogen that the crop can reach of it, g/m2.
    pub within_reach: Estimate,
    /// Nitrogen short (below nil: left over), g/m2, if nothing is put on.
    pub shortfall: Estimate,
    /// Part of a full yield to expect, if nothing is put on.
    pub yield_fraction: Estimate,
    /// The same without what the last legumes fixed: what the legume is worth lies between.
    pub without_legume: Estimate,
}

/// Part of a full yield at a share of the nitrogen needed: a quadratic that meets its plateau, level,
/// where the need is met. The form is one of the usual three (with the straight line and the
/// exponential); the yield without nitrogen is policy.
///
/// ```
/// use breakcrop::state::nutrients::response;
/// assert_eq!(response(0.5, 0.0), 0.5);
/// assert_eq!(response(0.5, 1.0), 1.0);
/// assert_eq!(response(0.5, 3.0), 1.0);
/// assert!((response(0.5, 0.5) - 0.875).abs() < 1e-12);
/// ```
#[must_use]
pub fn response(without: f64, share: f64) -> f64 {
    let short = (1.0 - share).clamp(0.0, 1.0);
    1.0 - (1.0 - without) * short * short
}

/// The yield over the columns: lean soil with a hungry crop that answers strongly, and so on.
fn yields(policy: &Policy, need: Estimate, reached: Spread) -> Estimate {
    let without = Spread::supply(policy.yield_without_nitrogen);
    let need = Spread::loss(need);
    let share = reached.with(need, |reached, need| if need > 0.0 { reached / need } else { 1.0 });
    share.with(without, |share, without| response(without, share)).range()
}

/// Days before a crop in which legume nitrogen that came free still counts as the legume's gift.
const RECENT_DAYS: f64 = 120.0;

/// Need against supply for a crop set on a day; `None` for crops that are not fed or of which
/// nothing is published.
#[must_use]
pub fn feeding(
    knowledge: &Knowledge,
    policy: &Policy,
    ledger: &Ledger,
    crop: CropId,
    on: Date,
) -> Option<Feeding> {
    let need = need(knowledge, policy, crop)?;
    let on = on.max(ledger.to);
    let until = ledger.grown_by(knowledge, policy, crop, on);
    let supply = ledger.supply(knowledge, crop, &need, (on, until));
    let of_soil = need.from_soil();
    let reach = Spread::supply(policy.supply_reached);
    let reached = supply.nitrogen().times(reach);
    // Legume nitrogen that came free in the months before lies in what is free at the start.
    let before = ledger.freed_since(Flow::FixedReleased, add_days(on, -RECENT_DAYS));
    let fixed = supply.fixed + before.at_most(supply.at_start.positive());
    let without_fixed = (supply.nitrogen() - fixed).positive().times(reach);
    let within_reach = reached.range();
    let shortfall = Estimate::new(
        of_soil.low - within_reach.high,
        of_soil.likely - within_reach.likely,
        of_soil.high - within_reach.low,
    );
    Some(Feeding {
        crop,
        yield_fraction: yields(policy, of_soil, reached),
        without_legume: yields(policy, of_soil, without_fixed),
        need,
        supply,
        within_reach,
        shortfall,
    })
}

impl Feeding {
    /// Whether nitrogen is likely to run short.
    #[must_use]
    pub fn is_short(&self) -> bool {
        self.shortfall.likely > 0.0
    }

    /// How much of each material closes the likely shortfall: those that may be advised first, by
    /// what phosphorus they leave over.
    #[must_use]
    pub fn portions(
        &self,
        knowledge: &Knowledge,
        policy: &Policy,
        ledger: &Ledger,
        materials: &[Box<str>],
    ) -> Vec<Portion> {
        if !self.is_short() {
            return Vec::new();
        }
        let mut portions: Vec<Portion> = materials
            .iter()
            .filter_map(|material| {
                let makeup = makeup(knowledge, policy, material)?;
                Some(portion(
                    knowledge,
                    material,
                    &makeup,
                    self.shortfall.likely,
                    &self.need,
                    ledger.phosphorus.as_ref(),
                    policy.phosphorus_slack,
                ))
            })
            .collect();
        portions.sort_by(|a, b| {
            (!a.is_advised())
                .cmp(&!b.is_advised())
                .then(a.phosphorus_over.total_cmp(&b.phosphorus_over))
                .then(a.material.cmp(&b.material))
        });
        portions
    }

    /// Phosphorus to put on, g/m2: what the harvest takes, and nothing where a test calls the soil
    /// high; `None` without a test that can be read.
    #[must_use]
    pub fn phosphorus_to_replace(&self, ledger: &Ledger) -> Option<Estimate> {
        ledger.phosphorus.as_ref().map(|test| match test.class {
            PhosphorusClass::NotHigh => self.takes(Nutrient::Phosphorus),
            PhosphorusClass::High | PhosphorusClass::Excessive => Estimate::ZERO,
        })
    }

    /// Phosphorus or potassium that the crop's harvest takes, g/m2.
    #[must_use]
    pub fn takes(&self, nutrient: Nutrient) -> Estimate {
        self.need.grams[nutrient as usize]
    }
}
