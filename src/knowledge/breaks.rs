//! Which crops break the hosts of several pathogens at once: the question of a bed that has more
//! than one disease.
//!
//! A crop helps only if it keeps none of them alive. Of those that keep none, each breaks the
//! pathogens for which somebody says so; a pair nobody has written about is not broken, nor is one
//! for which a statement is only remembered or made about a whole group. Where one
//! crop breaks all, that is the answer; else the fewest crops that together do are sought, to be
//! grown one after the other.

use super::Knowledge;
use super::citation::How;
use super::crops::Role;
use super::hosts::{Basis, HostStatus};
use super::ids::{CropId, PathogenId};

/// More pathogens than this no bed has.
pub const MOST_PATHOGENS: usize = 32;

/// A crop that keeps none of the pathogens alive.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BreakCrop {
    /// The crop.
    pub crop: CropId,
    /// The pathogens it breaks, by what is said of it.
    pub breaks: Vec<(PathogenId, HostStatus)>,
    /// Those of them that it also lowers.
    pub lowers: Vec<PathogenId>,
    /// The pathogens of which nobody says whether it hosts them.
    pub unknown: Vec<PathogenId>,
}

/// The crops for a bed with several diseases.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Breaks {
    /// Crops that break all, the best backed first.
    pub all: Vec<BreakCrop>,
    /// Where none does: the fewest crops that together break as many as can be.
    pub together: Vec<BreakCrop>,
    /// Pathogens that no crop which keeps none of the others is known to break.
    pub unbroken: Vec<PathogenId>,
}

impl Knowledge {
    /// Crops that break all hosts of a set of pathogens. At most [`MOST_PATHOGENS`] are looked at.
    ///
    /// ```
    /// use breakcrop::knowledge::Knowledge;
    /// let knowledge = Knowledge::embedded();
    /// let find = |key| knowledge.pathogens.find(key).unwrap();
    /// let breaks = knowledge.breaks(&[find("verticillium_dahliae"), find("plasmodiophora_brassicae")]);
    /// let tomato = knowledge.crops.find("tomato").unwrap();
    /// assert!(!breaks.all.is_empty());
    /// assert!(breaks.all.iter().all(|one| one.crop != tomato));
    /// ```
    #[must_use]
    pub fn breaks(&self, pathogens: &[PathogenId]) -> Breaks {
        let mut wanted = pathogens.to_vec();
        wanted.sort_unstable();
        wanted.dedup();
        wanted.truncate(MOST_PATHOGENS);
        let mut candidates: Vec<(u32, BreakCrop)> = Vec::new();
        for (crop, row) in self.crops.iter() {
            if matches!(row.role, Role::Weed | Role::Fungus) {
                continue;
            }
            if let Some(one) = self.break_crop(crop, &wanted) {
                let mask = mask_of(&one, &wanted);
                if mask != 0 {
                    candidates.push((mask, one));
                }
            }
        }
        candidates.sort_by_key(|(mask, one)| {
            let inferred =
                one.breaks.iter().filter(|(_, status)| *status == HostStatus::OutsideRange).count();
            (std::cmp::Reverse(mask.count_ones()), std::cmp::Reverse(one.lowers.len()), inferred)
        });
        let reachable = candidates.iter().fold(0, |mask, (one, _)| mask | one);
        let full = wanted.iter().enumerate().fold(0_u32, |mask, (bit, _)| mask | 1 << bit);
        let unbroken = wanted
            .iter()
            .enumerate()
            .filter(|(bit, _)| reachable & (1 << bit) == 0)
            .map(|(_, pathogen)| *pathogen)
            .collect();
        let all: Vec<BreakCrop> = candidates
            .iter()
            .filter(|(mask, _)| *mask == full)
            .map(|(_, one)| one.clone())
            .collect();
        let together = if all.is_empty() { cover(&candidates, reachable) } else { Vec::new() };
        Breaks { all, together, unbroken }
    }

    /// The crop as a break, unless it keeps one of the pathogens alive.
    fn break_crop(&self, crop: CropId, pathogens: &[PathogenId]) -> Option<BreakCrop> {
        let mut one =
            BreakCrop { crop, breaks: Vec::new(), lowers: Vec::new(), unknown: Vec::new() };
        for pathogen in pathogens {
            let standing = self.standing(*pathogen, crop);
            if standing.is_suppressive() {
                one.lowers.push(*pathogen);
            }
            match standing.status {
                HostStatus::Host
                | HostStatus::WeakHost
                | HostStatus::InferredHost
                | HostStatus::Carrier => return None,
                // A poor host starves a nematode; of a fungus it is a host.
                HostStatus::PoorHost if !self.pathogens[*pathogen].is_nematode() => return None,
                // What is only remembered, or said of a whole group, earns no credit as a break.
                HostStatus::PoorHost | HostStatus::AdvisedBreak | HostStatus::NonHost
                    if standing.witness().is_some_and(|row| {
                        row.citation.how != How::Read || row.basis == Basis::Group
                    }) =>
                {
                    one.unknown.push(*pathogen);
                }
                HostStatus::PoorHost
                | HostStatus::AdvisedBreak
                | HostStatus::OutsideRange
                | HostStatus::NonHost => one.breaks.push((*pathogen, standing.status)),
                HostStatus::Ungraded | HostStatus::Unrecorded => one.unknown.push(*pathogen),
            }
        }
        Some(one)
    }

    /// Covers, weeds and self-sown plants by which a pathogen gets from one host to the next.
    #[must_use]
    pub fn green_bridges(&self, pathogen: PathogenId) -> Vec<CropId> {
        self.graph()
            .keepers(pathogen)
            .into_iter()
            .filter(|crop| matches!(self.crops[*crop].role, Role::Cover | Role::Weed))
            .collect()
    }
}

fn mask_of(one: &BreakCrop, wanted: &[PathogenId]) -> u32 {
    one.breaks
        .iter()
        .filter_map(|(pathogen, _)| wanted.iter().position(|other| other == pathogen))
        .fold(0, |mask, bit| mask | 1 << bit)
}

/// The fewest candidates that together reach what can be reached: all pairs and triples are
/// tried; beyond three the one that adds most is taken each time.
fn cover(candidates: &[(u32, BreakCrop)], reachable: u32) -> Vec<BreakCrop> {
    // One candidate for each set is enough, and those come sorted.
    let mut kinds: Vec<&(u32, BreakCrop)> = Vec::new();
    for candidate in candidates {
        if !kinds.iter().any(|kind| kind.0 == candidate.0) {
            kinds.push(candidate);
        }
    }
    for one in &kinds {
        if one.0 == reachable {
            return vec![one.1.clone()];
        }
    }
    for (at, one) in kinds.iter().enumerate() {
        for other in &kinds[at + 1..] {
            if one.0 | other.0 == reachable {
                return vec![one.1.clone(), other.1.clone()];
            }
        }
    }
    for (at, one) in kinds.iter().enumerate() {
        for (next, other) in kinds.iter().enumerate().skip(at + 1) {
            for third in &kinds[next + 1..] {
                if one.0 | other.0 | third.0 == reachable {
                    return vec![one.1.clone(), other.1.clone(), third.1.clone()];
                }
            }
        }
    }
    let mut chosen = Vec::new();
    let mut reached = 0_u32;
    while reached != reachable {
        let Some(best) = kinds.iter().max_by_key(|kind| (kind.0 & !reached).count_ones()) else {
            break;
        };
        reached |= best.0;
        chosen.push(best.1.clone());
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    fn crop(number: u16) -> BreakCrop {
        BreakCrop { crop: CropId(number), breaks: vec![], lowers: vec![], unknown: vec![] }
    }

    #[test]
    fn two_that_reach_all_are_preferred_to_three() {
        let candidates =
            vec![(0b0111, crop(0)), (0b0001, crop(1)), (0b1100, crop(2)), (0b1000, crop(3))];
        let crops: Vec<u16> = cover(&candidates, 0b1111).iter().map(|one| one.crop.0).collect();
        assert_eq!(crops, [0, 2]);
    }

    #[test]
    fn more_than_three_are_gathered_one_by_one() {
        let candidates: Vec<(u32, BreakCrop)> =
            (0..5_u16).map(|bit| (1 << bit, crop(bit))).collect();
        assert_eq!(cover(&candidates, 0b11111).len(), 5);
    }
}
