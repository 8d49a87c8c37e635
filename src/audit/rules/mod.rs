//! The rules, one a file. A test compares this list with the folder.

mod bare_winter_soil;
mod cause_not_followed_up;
mod family_interval;
mod green_bridge;
mod host_after_confirmed;
mod manure_to_harvest;
mod overlap;
mod residue_not_ready;
mod shared_host_cover;

use super::Rule;

/// Every rule, by name.
#[must_use]
pub fn catalogue() -> Vec<Box<dyn Rule>> {
    vec![
        Box::new(bare_winter_soil::BareWinterSoil),
        Box::new(cause_not_followed_up::CauseNotFollowedUp),
        Box::new(family_interval::FamilyInterval),
        Box::new(green_bridge::GreenBridge),
        Box::new(host_after_confirmed::HostAfterConfirmed),
        Box::new(manure_to_harvest::ManureToHarvest),
        Box::new(overlap::Overlap),
        Box::new(residue_not_ready::ResidueNotReady),
        Box::new(shared_host_cover::SharedHostCover),
    ]
}

/// The planting's own record before the evidence of a reason.
fn with_planting(
    planting: &crate::records::Planting,
    evidence: &[crate::assess::Evidence],
) -> Vec<crate::assess::Evidence> {
    use crate::assess::{Evidence, RecordNote};
    let own = Evidence::Record(
        planting.origin.clone(),
        RecordNote::Planting {
            crop: planting.crop,
            from: planting.stood.start,
            to: planting.stood.end,
            method: planting.method,
        },
    );
    std::iter::once(own).chain(evidence.iter().cloned()).collect()
}
