//! Whether residue can tie nitrogen up at all: what never does need not be followed through the books.

use super::need::cover_n_percent;
use super::pan::shares_available;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, Role};
use crate::policy::Policy;

/// Whether the residue of a crop is likely to tie nitrogen up at any stage of its growth.
#[must_use]
pub fn residue_ties_up(knowledge: &Knowledge, policy: &Policy, crop: CropId) -> bool {
    let line = knowledge.nutrients().pan_line();
    let ties = |percent: Estimate| shares_available(line, percent).likely < 0.0;
    let as_cover = knowledge.crops[crop].role == Role::Cover
        || knowledge.nutrition(crop).n_percent_bloom.is_some();
    // A stand's nitrogen goes in a straight line from that of green growth to that of bloom.
    let at_either_end = || [0.0, 1.0].map(|grown| cover_n_percent(knowledge, crop, grown));
    ties(policy.vegetable_residue_n_percent)
        || policy.credit_of_residue.likely < 0.0
        || as_cover && at_either_end().into_iter().any(ties)
}
