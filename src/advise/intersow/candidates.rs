//! Company as a plan may take it.

use super::super::cover::Standing;
use super::{Asked, intersow};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PathogenId};
use crate::policy::Policy;
use crate::records::{Garden, Place};
use crate::season::Date;

/// An intersown legume as a planting that a plan may take.
#[derive(Clone, Debug)]
pub struct CompanyCandidate {
    /// The cover.
    pub crop: CropId,
    /// Day of sowing.
    pub sown: Date,
    /// Day it is cut.
    pub cut: Date,
    /// Seed, g.
    pub grams: Option<Estimate>,
    /// Ground it takes, m2.
    pub free_m2: Option<f64>,
    /// Change of the standing crop's yield, as a fraction.
    pub yield_change: Estimate,
    /// Nitrogen to the crop, g.
    pub nitrogen_g: Option<Estimate>,
    /// Whether it may be recommended.
    pub standing: Standing,
    /// Diseases on record here that it and the crop both keep alive.
    pub shared_here: Vec<PathogenId>,
    /// How many others they share.
    pub shared_elsewhere: usize,
}

/// Company that a plan may put between what stands: what is refused or bars itself is left out.
#[must_use]
pub fn candidates(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    on: Date,
    most: usize,
) -> Vec<CompanyCandidate> {
    let Some(advice) = intersow(knowledge, policy, garden, place, on, Asked::default()) else {
        return Vec::new();
    };
    if !advice.refused.is_empty() {
        return Vec::new();
    }
    advice
        .covers
        .iter()
        .filter(|option| option.standing != Standing::NotHere)
        .filter_map(|option| {
            Some(CompanyCandidate {
                crop: option.crop,
                sown: option.calendar.sow,
                cut: option.calendar.cut?,
                grams: option.grams,
                free_m2: option.layout.as_ref().map(|layout| layout.areas.free),
                yield_change: option.yield_change,
                nitrogen_g: option.nitrogen_g,
                standing: option.standing,
                shared_here: option.shared_here.clone(),
                shared_elsewhere: option.shared_elsewhere,
            })
        })
        .take(most)
        .collect()
}
