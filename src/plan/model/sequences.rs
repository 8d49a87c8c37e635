//! What sequences do to their crops: the bed model asked with the plantings before, as if they were
//! records.

use std::collections::BTreeMap;
use std::sync::Mutex;

use crate::advise::cover::OnSite;
use crate::assess::{Assessment, Proposal, RuleId, Verdict, assess};
use crate::knowledge::{CropId, Role};
use crate::origin::Origin;
use crate::plan::solve::{Share, Succession, side_by_side};
use crate::records::{Bed, BedKind, Garden, Place, Planting, Residue};
use crate::season::{Interval, add_days};
use crate::state::BedState;
use crate::units::Metres;

use super::choices::{Made, Offer, Shared, fed};
use super::places::PlanPlace;

/// The beds as the optimiser asks them.
pub(in crate::plan) struct Beds<'a> {
    pub(in crate::plan) shared: Shared<'a>,
    pub(in crate::plan) places: &'a [PlanPlace],
    pub(in crate::plan) made: &'a [Made],
    /// What covers do on the site, whatever the bed.
    pub(in crate::plan) on_site: OnSite,
    /// By trace and trace: the factor of the one crop on the next.
    pairs: Vec<f64>,
    /// What each beginning of a sequence was found to bear, by place.
    known: Vec<Mutex<BTreeMap<Vec<u32>, Option<Share>>>>,
}

impl<'a> Beds<'a> {
    pub(in crate::plan) fn new(
        shared: Shared<'a>,
        places: &'a [PlanPlace],
        made: &'a [Made],
    ) -> Self {
        let known = places.iter().map(|_| Mutex::default()).collect();
        Self { shared, places, made, on_site: OnSite::default(), pairs: pairs(shared), known }
    }

    /// A planting of a place after others, as a record.
    fn planting(&self, place: usize, offer: &Offer) -> Planting {
        planting(&self.places[place].place, self.shared, offer)
    }

    /// The place's records with a sequence planted.
    pub(in crate::plan) fn planted(&self, place: usize, sequence: &[u32]) -> Garden {
        let mut garden = self.places[place].garden.clone();
        for choice in sequence {
            let offer = &self.made[place].offers[*choice as usize];
            garden.plantings.push(self.planting(place, offer));
        }
        garden.sort();
        garden
    }

    /// The last of a sequence, judged after all before it.
    pub(in crate::plan) fn judge(&self, place: usize, sequence: &[u32]) -> Option<Assessment> {
        let (last, before) = sequence.split_last()?;
        let offer = &self.made[place].offers[*last as usize];
        let garden = self.planted(place, before);
        let shared = self.shared;
        let state = BedState::at(
            &garden,
            shared.knowledge,
            shared.policy,
            &self.places[place].place,
            offer.planted,
        );
        let proposal =
            Proposal { method: Some(offer.method), ..Proposal::of(offer.crop, offer.planted) };
        Some(assess(shared.knowledge, shared.policy, &state, &proposal))
    }

    fn share(&self, place: usize, sequence: &[u32]) -> Option<Share> {
        if let Ok(known) = self.known[place].lock()
            && let Some(share) = known.get(sequence)
        {
            return *share;
        }
        let found = self.found(place, sequence);
        if let Ok(mut known) = self.known[place].lock() {
            known.insert(sequence.to_vec(), found);
        }
        found
    }

    fn found(&self, place: usize, sequence: &[u32]) -> Option<Share> {
        let offer = &self.made[place].offers[*sequence.last()? as usize];
        let judged = self.judge(place, sequence)?;
        if judged.verdict == Verdict::Wait && !offer.kept {
            return None;
        }
        let policy = self.shared.policy;
        let short = shortfall(&judged).map_or(0.0, |short| short.likely.max(0.0));
        Some(Share {
            share: fed(&judged, policy) / offer.most.max(1e-9),
            charge: self.places[place].area.0 * short * policy.plan_nitrogen,
        })
    }
}

/// Nitrogen that a planting falls short of, g/m2.
pub(in crate::plan) fn shortfall(judged: &Assessment) -> Option<crate::estimate::Estimate> {
    judged.reasons.iter().find_map(|reason| match reason.claim {
        crate::assess::Claim::NitrogenShort { shortfall, .. } => Some(shortfall),
        _ => None,
    })
}

impl Succession for Beds<'_> {
    fn exact(&self, place: usize, sequence: &[u32]) -> Option<Vec<Share>> {
        (1..=sequence.len()).map(|end| self.share(place, &sequence[..end])).collect()
    }

    fn traces(&self) -> u16 {
        u16::try_from(self.shared.courses.len() + 1).unwrap_or(u16::MAX)
    }

    fn at_most(&self, place: usize, trace: u16, choice: u32) -> Option<Share> {
        let offer = &self.made[place].offers[choice as usize];
        let share = if trace == 0 {
            offer.after_standing
        } else {
            let next = super::choices::trace_of(self.shared, offer.crop);
            let width = self.shared.courses.len() + 1;
            self.pairs[usize::from(trace) * width + usize::from(next)]
        };
        Some(Share { share, charge: 0.0 })
    }
}

/// An offer of the plan as the record it would be.
pub(super) fn planting(place: &Place, shared: Shared<'_>, offer: &Offer) -> Planting {
    let cover = shared.knowledge.crops[offer.crop].role == Role::Cover;
    Planting {
        place: place.clone(),
        crop: offer.crop,
        variety: Box::default(),
        rootstock: Box::default(),
        resistance: Box::default(),
        method: Some(offer.method),
        stood: Interval { start: offer.planted, end: Some(offer.cleared) },
        plants: None,
        area: None,
        row_spacing: None,
        plant_spacing: None,
        residue: Some(if cover { Residue::DugIn } else { Residue::Composted }),
        note: Box::default(),
        origin: Origin::new(crate::plan::PLAN_FILE, 0),
    }
}

/// What each crop at hand does to the next, on a bed of which nothing else is known: the better of
/// straight after it and four months later.
fn pairs(shared: Shared<'_>) -> Vec<f64> {
    let crops: Vec<CropId> = shared.courses.iter().map(|course| course.crop).collect();
    let width = crops.len() + 1;
    let rows = side_by_side(crops.len(), |at| row(shared, &crops, crops[at]));
    let mut pairs = vec![1.0; width * width];
    for (at, row) in rows.into_iter().enumerate() {
        pairs[(at + 1) * width + 1..(at + 2) * width].copy_from_slice(&row);
    }
    pairs
}

fn row(shared: Shared<'_>, crops: &[CropId], before: CropId) -> Vec<f64> {
    let begin = shared.half_months.day(0);
    let place = Place::whole("bed");
    let offer = Offer {
        crop: before,
        planted: add_days(begin, -120.0),
        cleared: begin,
        harvest: None,
        method: crate::records::Method::Sown,
        most: 1.0,
        after_standing: 1.0,
        kept: false,
    };
    let garden = Garden {
        beds: vec![Bed {
            name: "bed".into(),
            kind: BedKind::Ground,
            length: Metres(1.0),
            width: Metres(1.0),
            x: None,
            y: None,
            soil_depth: None,
            records_from: None,
            note: Box::default(),
            origin: Origin::new(crate::plan::PLAN_FILE, 0),
        }]
        .into(),
        plantings: vec![planting(&place, shared, &offer)].into(),
        ..Garden::default()
    };
    let factors = |days: f64| -> Vec<f64> {
        let on = add_days(begin, days);
        let state = BedState::at(&garden, shared.knowledge, shared.policy, &place, on);
        crops
            .iter()
            .map(|crop| {
                let judged =
                    assess(shared.knowledge, shared.policy, &state, &Proposal::of(*crop, on));
                let bears = judged.reasons.iter().filter(|reason| {
                    matches!(reason.rule, RuleId::Predecessor | RuleId::ResidueNotReady)
                });
                bears.map(|reason| reason.yield_fraction.likely).product::<f64>()
            })
            .collect()
    };
    factors(1.0).into_iter().zip(factors(120.0)).map(|(soon, late)| f64::max(soon, late)).collect()
}
