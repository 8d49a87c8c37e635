//! The rules, one a file. A test compares this list with the folder.

mod bare_winter_soil;
mod cause_not_followed_up;
mod family_interval;
mod green_bridge;
mod host_after_confirmed;
mod manure_to_harvest;
mod nitrogen_before_winter;
mod nitrogen_tie_up;
mod overlap;
mod phosphorus_loading;
mod residue_not_ready;
mod shared_host_cover;
mod soil_test_contradicts;
mod soil_test_stale;

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
        Box::new(nitrogen_before_winter::NitrogenBeforeWinter),
        Box::new(nitrogen_tie_up::NitrogenTieUp),
        Box::new(overlap::Overlap),
        Box::new(phosphorus_loading::PhosphorusLoading),
        Box::new(residue_not_ready::ResidueNotReady),
        Box::new(shared_host_cover::SharedHostCover),
        Box::new(soil_test_contradicts::SoilTestContradicts),
        Box::new(soil_test_stale::SoilTestStale),
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
