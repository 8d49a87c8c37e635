//! Simple mixtures: the published ones, and a legume with a grass where both fit.

use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;

use super::option::{CoverOption, Fit, Standing};

/// What is sown together, each with the share of its own full seed rate.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixture {
    /// Key of a published mixture; `None` for one cover or a pair of our own.
    pub key: Option<Box<str>>,
    /// Covers and shares.
    pub parts: Vec<(CropId, f64)>,
}

impl Mixture {
    /// One cover at its full rate.
    #[must_use]
    pub fn of_one(crop: CropId) -> Self {
        Self { key: None, parts: vec![(crop, 1.0)] }
    }
}

/// Mixtures worth asking after: the published ones of which every member may stand here, and the
/// best legume with each of the two best grasses of the same season.
#[must_use]
pub fn mixtures(knowledge: &Knowledge, policy: &Policy, singles: &[CoverOption]) -> Vec<Mixture> {
    let may_stand = |crop: CropId| {
        singles.iter().any(|option| {
            option.parts.len() == 1
                && option.parts[0].crop == crop
                && option.fit == Fit::Fits
                && option.standing != Standing::NotHere
        })
    };
    let mut found: Vec<Mixture> = Vec::new();
    for row in knowledge.cover_mixes() {
        let known = found.iter().any(|mixture| mixture.key.as_deref() == Some(&*row.mix));
        if known || !row.members.iter().all(|crop| may_stand(*crop)) {
            continue;
        }
        let share = 1.0 / row.members.len() as f64;
        found.push(Mixture {
            key: Some(row.mix.clone()),
            parts: row.members.iter().map(|crop| (*crop, share)).collect(),
        });
    }
    let mut fitting: Vec<&CoverOption> =
        singles.iter().filter(|option| may_stand(option.parts[0].crop)).collect();
    fitting.sort_by(|a, b| super::rank::order(knowledge, a, b));
    let is_grass = |crop: CropId| {
        knowledge.sequences.is_member(&knowledge.crops, "grass_cover", crop)
            || knowledge.sequences.is_member(&knowledge.crops, "cereal_cover", crop)
    };
    let crop = |option: &&&CoverOption| option.parts[0].crop;
    let legume = fitting
        .iter()
        .find(|option| knowledge.crops[crop(option)].is_legume())
        .map(|option| option.parts[0].crop);
    let grasses = fitting
        .iter()
        .filter(|option| is_grass(crop(option)))
        .map(|option| option.parts[0].crop)
        .take(2);
    for (legume, grass) in legume.into_iter().cycle().zip(grasses) {
        let pair = vec![(legume, policy.mix_legume_rate), (grass, policy.mix_grass_rate)];
        let same = |mixture: &Mixture| {
            mixture.parts.len() == 2
                && mixture.parts.iter().all(|(crop, _)| *crop == legume || *crop == grass)
        };
        if !found.iter().any(same) {
            found.push(Mixture { key: None, parts: pair });
        }
    }
    found
}
