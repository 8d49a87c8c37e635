//! Legumes between what stands: where `advise::intersow` permits one, the plan sows it, and all that
//! comes after is judged with it on record.

use crate::advise::intersow::{CompanyCandidate, candidates};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::plan::half_months::HalfMonths;
use crate::plan::outcome::{Company, NoCompany, WhyAlone};
use crate::plan::solve::side_by_side;
use crate::policy::Policy;
use crate::records::{Method, Planting, Residue};
use crate::season::{Date, Interval};
use crate::units::SquareMetres;

use super::places::PlanPlace;

/// Candidates looked at in a place.
const MOST: usize = 6;

/// Sows a legume between what stands in each place where one is permitted and has the days to grow.
pub(in crate::plan) fn lay_out_company(
    knowledge: &Knowledge,
    policy: &Policy,
    half_months: HalfMonths,
    places: &mut [PlanPlace],
) {
    let on = half_months.day(0);
    let found: Vec<Option<Result<Company, NoCompany>>> = side_by_side(places.len(), |at| {
        company_in(knowledge, policy, half_months, &places[at], on)
    });
    for (place, found) in places.iter_mut().zip(found) {
        match found {
            Some(Ok(company)) => {
                place.garden.plantings.push(planting(&company));
                place.garden.sort();
                place.company.push(company);
            }
            Some(Err(alone)) => place.alone = Some(alone),
            None => {}
        }
    }
}

/// The legume for a place, or why what stands there stays alone; `None` where nothing stands long
/// enough, or where the grower has sown or decided on a company already.
fn company_in(
    knowledge: &Knowledge,
    policy: &Policy,
    half_months: HalfMonths,
    place: &PlanPlace,
    on: Date,
) -> Option<Result<Company, NoCompany>> {
    let [standing] = place.standing.as_slice() else { return None };
    if !place.company.is_empty() || knowledge.crops[standing.crop].is_legume() {
        return None;
    }
    let until = standing.free.unwrap_or_else(|| half_months.end());
    if ((until - on).num_days() as f64) < policy.cover_days_fewest {
        return None;
    }
    let alone = |why| Some(Err(NoCompany { place: place.place.clone(), with: standing.crop, why }));
    let ranked = candidates(knowledge, policy, &place.garden, &place.place, on, MOST);
    if ranked.is_empty() {
        return alone(WhyAlone::NoneMayStand);
    }
    let grows = |candidate: &&CompanyCandidate| {
        let cut = candidate.cut.min(until);
        (cut - candidate.sown).num_days() as f64 >= policy.cover_days_fewest
    };
    let in_time: Vec<&CompanyCandidate> = ranked.iter().filter(grows).collect();
    if in_time.is_empty() {
        return alone(WhyAlone::NoTime);
    }
    if in_time.iter().all(|candidate| candidate.free_m2.is_none()) {
        return alone(WhyAlone::SpacingUnknown);
    }
    let roomy = |candidate: &&CompanyCandidate| {
        candidate.free_m2.is_some_and(|free| free >= policy.plan_company_ground * standing.area.0)
    };
    let in_time: Vec<&CompanyCandidate> = in_time.into_iter().filter(roomy).collect();
    if in_time.is_empty() {
        return alone(WhyAlone::NoRoom);
    }
    let cheap: Vec<&CompanyCandidate> = in_time
        .into_iter()
        .filter(|candidate| candidate.yield_change.likely >= -policy.company_loss_told)
        .collect();
    let Some(first) = cheap.first() else { return alone(WhyAlone::CostsYield) };
    let Some(best) = cheap.iter().find(|candidate| candidate.shared_here.is_empty()) else {
        return alone(WhyAlone::Shares(first.shared_here.clone()));
    };
    Some(Ok(Company {
        place: place.place.clone(),
        with: standing.crop,
        crop: best.crop,
        sown: best.sown,
        cut: best.cut.min(until),
        area: best.free_m2.map_or(standing.area, SquareMetres),
        grams: best.grams,
        nitrogen_g: best.nitrogen_g,
        yield_change: best.yield_change,
        shared_elsewhere: best.shared_elsewhere,
        kept: false,
    }))
}

/// A company as a record, so that the books of the soil and its diseases go on with it.
fn planting(company: &Company) -> Planting {
    Planting {
        place: company.place.clone(),
        crop: company.crop,
        variety: Box::default(),
        rootstock: Box::default(),
        resistance: Box::default(),
        method: Some(Method::Sown),
        stood: Interval { start: company.sown, end: Some(company.cut) },
        plants: None,
        area: Some(company.area),
        row_spacing: None,
        plant_spacing: None,
        residue: Some(Residue::Left),
        note: Box::default(),
        origin: Origin::new(crate::plan::PLAN_FILE, 0),
    }
}

/// What the grower has decided to sow between what stands.
pub(in crate::plan) fn kept_company(place: &mut PlanPlace, kept: &Planting) {
    let Some(standing) = place.standing.first() else { return };
    let until = kept.stood.end.or(standing.free).unwrap_or(Date::MAX);
    let company = Company {
        place: place.place.clone(),
        with: standing.crop,
        crop: kept.crop,
        sown: kept.stood.start,
        cut: until.max(kept.stood.start),
        area: kept.area.unwrap_or(standing.area),
        grams: None,
        nitrogen_g: None,
        yield_change: crate::estimate::Estimate::ZERO,
        shared_elsewhere: 0,
        kept: true,
    };
    place.garden.plantings.push(planting(&company));
    place.garden.sort();
    place.company.push(company);
}
