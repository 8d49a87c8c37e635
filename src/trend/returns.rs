//! How soon families came back to a bed.

use std::collections::BTreeMap;

use super::BedTrend;
use crate::assess::{counts_as_relative, return_time};
use crate::estimate::Estimate;
use crate::knowledge::{Knowledge, Role};
use crate::policy::Policy;
use crate::records::{Garden, Planting};
use crate::sample;
use crate::season::{Date, years_between};

/// A family that came back to a place.
#[derive(Clone, Debug)]
pub struct Return<'g> {
    /// The family.
    pub family: Box<str>,
    /// What stood before.
    pub previous: &'g Planting,
    /// What came.
    pub next: &'g Planting,
    /// Years between, free of the family.
    pub free_years: f64,
    /// Published free years for what came: least, median and most; `None` if nothing is printed.
    pub published: Option<Estimate>,
}

impl Return<'_> {
    /// Whether it came back sooner than the least that is published.
    #[must_use]
    pub fn is_too_soon(&self) -> bool {
        self.published.is_some_and(|published| self.free_years < published.low)
    }
}

/// The returns of a family, over all beds.
#[derive(Clone, Debug)]
pub struct FamilyReturns<'g> {
    /// The family.
    pub family: Box<str>,
    /// Its returns, soonest first.
    pub returns: Vec<Return<'g>>,
    /// Free years: soonest, middle, latest.
    pub free_years: Estimate,
    /// How many came sooner than the least published.
    pub too_soon: usize,
}

/// The returns to a bed, by day planted. A cover is never what came, and what stood before only if it
/// counts as a relative; volunteers and weeds count as neither.
pub(super) fn returns<'g>(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &'g Garden,
    bed: &str,
    today: Date,
) -> Vec<Return<'g>> {
    let stood: Vec<&Planting> = garden
        .plantings
        .of(bed)
        .filter(|planting| {
            let crop = &knowledge.crops[planting.crop];
            planting.stood.start <= today
                && !planting.is_volunteer()
                && !crop.family.is_empty()
                && !matches!(crop.role, Role::Weed | Role::Fungus)
        })
        .collect();
    let mut returns = Vec::new();
    for (at, next) in stood.iter().enumerate() {
        let crop = &knowledge.crops[next.crop];
        if crop.role == Role::Cover {
            continue;
        }
        let previous = stood[..at]
            .iter()
            .filter(|before| {
                before.place.bears_on(&next.place)
                    && knowledge.crops[before.crop].family == crop.family
                    && counts_as_relative(knowledge, policy, before, today)
            })
            .filter_map(|before| Some((before.stood.end?, *before)))
            .max_by_key(|(end, before)| (*end, before.stood.start));
        // What stood side by side is one growing of the family, not a return.
        let Some((end, previous)) = previous.filter(|(end, _)| *end <= next.stood.start) else {
            continue;
        };
        returns.push(Return {
            family: crop.family.clone(),
            previous,
            next,
            free_years: years_between(end, next.stood.start),
            published: return_time(knowledge, next.crop).map(|time| time.gap),
        });
    }
    returns
}

/// The returns of all beds by family, those that came back most often first.
#[must_use]
pub fn family_returns<'g>(beds: &[BedTrend<'g>]) -> Vec<FamilyReturns<'g>> {
    let mut by_family: BTreeMap<Box<str>, Vec<Return<'g>>> = BTreeMap::new();
    for one in beds.iter().flat_map(|bed| &bed.returns) {
        by_family.entry(one.family.clone()).or_default().push(one.clone());
    }
    let mut families: Vec<FamilyReturns<'g>> = by_family
        .into_iter()
        .filter_map(|(family, mut returns)| {
            returns.sort_by(|a, b| a.free_years.total_cmp(&b.free_years));
            let years: Vec<f64> = returns.iter().map(|one| one.free_years).collect();
            let free_years =
                Estimate::new(*years.first()?, sample::median(&years)?, *years.last()?);
            let too_soon = returns.iter().filter(|one| one.is_too_soon()).count();
            Some(FamilyReturns { family, returns, free_years, too_soon })
        })
        .collect();
    families.sort_by(|a, b| {
        b.returns.len().cmp(&a.returns.len()).then_with(|| a.family.cmp(&b.family))
    });
    families
}
