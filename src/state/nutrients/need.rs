//! What a crop takes: totals at a yield, what leaves with the harvest, what a legume brings itself.

use super::books::{Nutrient, Spread};
use super::growth::{Heat, HeatPolicy, NormalDays};
use crate::climate::Climate;
use crate::estimate::Estimate;
use crate::knowledge::{Citation, CropId, Knowledge, Role};
use crate::policy::Policy;
use crate::season::{Date, add_days};

/// What a need rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NeedBasis {
    /// A printed need, before anything is deducted for soil and predecessor.
    Printed,
    /// What the harvest of a typical yield removes.
    Removal,
    /// The crop's class as a feeder.
    Class,
}

/// What a crop needs, g/m2.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// N, P and K. Phosphorus and potassium are what a typical harvest removes.
    pub grams: [Estimate; 3],
    /// What the nitrogen rests on.
    pub basis: NeedBasis,
    /// Where the nitrogen figure is from.
    pub citation: Option<Citation>,
    /// Share of its nitrogen that it takes from the air.
    pub fixed_share: Estimate,
}

impl Need {
    /// Nitrogen that must come from the soil.
    #[must_use]
    pub fn from_soil(&self) -> Estimate {
        let share = self.fixed_share;
        let n = self.grams[0];
        Estimate::new(
            n.low * (1.0 - share.high),
            n.likely * (1.0 - share.likely),
            n.high * (1.0 - share.low),
        )
    }
}

/// Nutrients that leave with each kilogram of harvest, grams: the kilograms a tonne of the tables.
#[must_use]
pub fn removed_per_kg(knowledge: &Knowledge, crop: CropId, nutrient: Nutrient) -> Option<Estimate> {
    let [n, p, k] = &knowledge.nutrition(crop).removed_kg_per_t;
    let removed = match nutrient {
        Nutrient::Nitrogen => n,
        Nutrient::Phosphorus => p,
        Nutrient::Potassium => k,
    };
    removed.as_ref().map(|figure| figure.0)
}

/// What a harvest takes with it, g/m2: kilograms a square metre times kilograms a tonne, which are
/// grams a kilogram.
///
/// ```
/// use breakcrop::estimate::Estimate;
/// use breakcrop::state::nutrients::removal;
/// // 100 t/ha of tomato at 2.5 kg N a tonne: 250 kg/ha (published worked example).
/// assert_eq!(removal(10.0, Estimate::exact(2.5)).likely, 25.0);
/// ```
#[must_use]
pub fn removal(kg_m2: f64, per_kg: Estimate) -> Estimate {
    per_kg.map(|grams| grams * kg_m2)
}

/// Nitrogen in dry matter, in the unit of the dry matter.
///
/// ```
/// use breakcrop::state::nutrients::nitrogen_in;
/// // 500 lb of rye with 3.4 % N: 17 lb (published worked example).
/// assert!((nitrogen_in(500.0, 3.4) - 17.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn nitrogen_in(dry_matter: f64, n_percent: f64) -> f64 {
    dry_matter * n_percent / 100.0
}

/// A crop's typical yield, kg/m2.
#[must_use]
pub fn typical_yield(knowledge: &Knowledge, crop: CropId) -> Option<Estimate> {
    knowledge.nutrition(crop).yield_kg_m2
}

/// Share of its nitrogen that a crop takes from the air: nothing unless it is a legume.
#[must_use]
pub fn fixed_share(knowledge: &Knowledge, policy: &Policy, crop: CropId) -> Estimate {
    if !knowledge.crops[crop].is_legume() {
        return Estimate::ZERO;
    }
    let percent = knowledge.nutrition(crop).ndfa_percent;
    percent.map_or(policy.fixation_unknown, |percent| {
        percent.map(|percent| (percent / 100.0).clamp(0.0, 1.0))
    })
}

/// The class of a crop as a feeder; `gives` for legumes that need none.
fn class_need(knowledge: &Knowledge, policy: &Policy, crop: CropId) -> Option<Estimate> {
    match &*knowledge.nutrition(crop).demand.as_ref()?.0 {
        "heavy" => Some(policy.need_heavy),
        "medium" => Some(policy.need_medium),
        "light" => Some(policy.need_light),
        _ => None,
    }
}

/// What a crop needs of a bed; `None` for covers, weeds and fungi, which are not fed, and for crops
/// of which nothing is published.
#[must_use]
pub fn need(knowledge: &Knowledge, policy: &Policy, crop: CropId) -> Option<Need> {
    match knowledge.crops[crop].role {
        Role::Cash | Role::Perennial | Role::Flower | Role::Field => {}
        Role::Cover | Role::Weed | Role::Fungus => return None,
    }
    let figures = knowledge.nutrition(crop);
    let printed = match &figures.recommended_kg_ha {
        [Some((low, citation)), Some((high, _))] => {
            Some((Estimate::between(low.low, high.high), citation.clone()))
        }
        [Some(one), None] | [None, Some(one)] => Some(one.clone()),
        [None, None] => None,
    };
    let removal = |nutrient| {
        Some(typical_yield(knowledge, crop)? * removed_per_kg(knowledge, crop, nutrient)?)
    };
    let harvest_share = policy.harvest_share;
    let (n, basis, citation) = if let Some((kg_ha, citation)) = printed {
        (kg_ha.map(|kg| kg / 10.0), NeedBasis::Printed, Some(citation))
    } else if let Some(removed) = removal(Nutrient::Nitrogen) {
        let total = removed.map(|removed| removed / harvest_share.likely);
        let citation = figures.removed_kg_per_t[0].as_ref().map(|figure| figure.1.clone());
        (total, NeedBasis::Removal, citation)
    } else {
        let citation = figures.demand.as_ref().map(|row| row.1.clone());
        (class_need(knowledge, policy, crop)?, NeedBasis::Class, citation)
    };
    let p = removal(Nutrient::Phosphorus)
        .unwrap_or_else(|| n.map(|n| n * harvest_share.likely * policy.plant_p_per_n));
    let k = removal(Nutrient::Potassium)
        .unwrap_or_else(|| n.map(|n| n * harvest_share.likely * policy.plant_k_per_n));
    let fixed_share = fixed_share(knowledge, policy, crop);
    Some(Need { grams: [n, p, k], basis, citation, fixed_share })
}

/// The day by which a crop set on a day has taken what it takes: its days to maturity, in the warmth
/// of the site where that is known, and the first half of its picking; a policy value where no days
/// are published.
#[must_use]
pub fn grown_by(
    knowledge: &Knowledge,
    policy: &Policy,
    climate: Option<&Climate<'_>>,
    crop: CropId,
    on: Date,
) -> Date {
    let heat = climate.and_then(|climate| {
        let days = NormalDays::of(climate, policy);
        Heat::of(knowledge, HeatPolicy::of(policy), &days, crop, on)
    });
    grown_in(knowledge, policy, heat.as_ref(), crop, on)
}

/// The same in a heat that is already laid out.
pub(super) fn grown_in(
    knowledge: &Knowledge,
    policy: &Policy,
    heat: Option<&Heat>,
    crop: CropId,
    on: Date,
) -> Date {
    let figures = knowledge.nutrition(crop);
    let days = figures.days_to_grow.unwrap_or(policy.growth_days_unknown);
    let picked = (figures.picking_days / 2.0).min(policy.picking_days_counted);
    match heat.and_then(Heat::ripe) {
        Some(ripe) => add_days(ripe, picked),
        None => add_days(on, days + picked),
    }
}

/// What a stand takes up in its whole life, and what of it leaves with the harvest.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Uptake {
    /// N, P and K, g/m2 of the place.
    pub(super) total: [Spread; 3],
    /// Share of the nitrogen from the air.
    pub(super) fixed_share: Spread,
    /// What is taken to have been harvested though no harvest is written, N, P and K.
    pub(super) unwritten: [Spread; 3],
    /// Share of the residue's nitrogen that comes free in its first year; `None` for covers, whose
    /// nitrogen percent tells it.
    pub(super) residue_share: Option<Spread>,
}

/// The uptake of a vegetable: at the yield written, else at a share of the typical.
pub(super) fn of_vegetable(
    knowledge: &Knowledge,
    policy: &Policy,
    crop: CropId,
    share: f64,
    written_kg_m2: Option<f64>,
) -> Uptake {
    let typical = typical_yield(knowledge, crop).map(|kg| kg.map(|kg| kg * share));
    let harvested = written_kg_m2
        .map(Estimate::exact)
        .or_else(|| typical.map(|typical| typical * policy.harvest_not_written));
    let removed = |nutrient| Some(harvested? * removed_per_kg(knowledge, crop, nutrient)?);
    let rest_of = |removed: Estimate| {
        // The whole plant from the harvested share: a large share means little left behind.
        let left = policy.harvest_share;
        Estimate::new(
            removed.low / left.high,
            removed.likely / left.likely,
            removed.high / left.low,
        )
    };
    let credit = knowledge.nutrition(crop).residue_credit;
    let vigour = match (harvested, typical) {
        (Some(harvested), Some(typical)) if typical.likely > 0.0 => {
            (harvested.likely / typical.likely).clamp(0.1, 2.0)
        }
        _ => 1.0,
    };
    let class = class_need(knowledge, policy, crop).unwrap_or(policy.need_light);
    let (n, residue_share) = match (removed(Nutrient::Nitrogen), credit) {
        (Some(removed), Some(credit)) => {
            let free = policy.credit_of_residue;
            let at = |credit: f64, free: f64| credit * share * vigour / free;
            let residue = Estimate::new(
                at(credit.low, free.high),
                at(credit.likely, free.likely),
                at(credit.high, free.low),
            );
            (removed + residue, Some(Spread::supply(free)))
        }
        (Some(removed), None) => (rest_of(removed), None),
        (None, _) => (class.map(|need| need * share), None),
    };
    let p =
        removed(Nutrient::Phosphorus).map_or_else(|| n.map(|n| n * policy.plant_p_per_n), rest_of);
    let k =
        removed(Nutrient::Potassium).map_or_else(|| n.map(|n| n * policy.plant_k_per_n), rest_of);
    let line = knowledge.nutrients().pan_line();
    let by_percent = super::pan::shares_available(line, policy.vegetable_residue_n_percent);
    let unwritten = if written_kg_m2.is_some() {
        [Spread::ZERO; 3]
    } else {
        Nutrient::ALL.map(|nutrient| removed(nutrient).map_or(Spread::ZERO, Spread::loss))
    };
    Uptake {
        total: [n, p, k].map(Spread::loss),
        unwritten,
        fixed_share: Spread::supply(fixed_share(knowledge, policy, crop)),
        residue_share: Some(residue_share.unwrap_or(by_percent)),
    }
}

/// The uptake of a full stand of a cover.
pub(super) fn of_cover(knowledge: &Knowledge, policy: &Policy, crop: CropId, share: f64) -> Uptake {
    let figures = knowledge.nutrition(crop);
    let (dry_matter, percent) = (figures.dry_matter_t_ha, figures.n_percent_bloom);
    // One tonne a hectare is 100 g/m2.
    let by_mass = match (dry_matter, percent) {
        (Some(tonnes), Some(percent)) => Some(Estimate::new(
            nitrogen_in(tonnes.low * 100.0, percent.low),
            nitrogen_in(tonnes.likely * 100.0, percent.likely),
            nitrogen_in(tonnes.high * 100.0, percent.high),
        )),
        _ => None,
    };
    let whole = figures.n_total_kg_ha.map(|kg| kg.map(|kg| kg.max(0.0) / 10.0));
    // Both come from stands that were weighed, seldom the same ones: the range holds both.
    let n = match (by_mass, whole) {
        (Some(one), Some(other)) => one.spanning(other),
        (Some(only), None) | (None, Some(only)) => only,
        (None, None) => policy.need_light,
    }
    .map(|n| n * share);
    let legume = knowledge.crops[crop].is_legume();
    // A lean soil goes with a legume that brings little and with a catch crop that takes much.
    let column = |range| if legume { Spread::supply(range) } else { Spread::loss(range) };
    Uptake {
        total: [
            column(n),
            column(n.map(|n| n * policy.plant_p_per_n)),
            column(n.map(|n| n * policy.plant_k_per_n)),
        ],
        unwritten: [Spread::ZERO; 3],
        fixed_share: Spread::supply(fixed_share(knowledge, policy, crop)),
        residue_share: None,
    }
}

/// Nitrogen percent of a cover by how far it has grown: vegetative up to half, that of bloom from
/// four fifths, a straight line between.
pub(super) fn cover_n_percent(knowledge: &Knowledge, crop: CropId, grown: f64) -> Estimate {
    const CLASS: Estimate = Estimate { low: 1.5, likely: 2.2, high: 3.0 };
    let figures = knowledge.nutrition(crop);
    let bloom = figures.n_percent_bloom.unwrap_or(CLASS);
    let green = figures.n_percent_vegetative.unwrap_or(bloom);
    let weight = ((grown - 0.5) / 0.3).clamp(0.0, 1.0);
    green.map(|percent| percent * (1.0 - weight)) + bloom.map(|percent| percent * weight)
}
