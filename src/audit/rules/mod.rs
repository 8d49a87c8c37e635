//! The rules, one a file. A test compares this list with the folder.

mod area_exceeds_bed;
mod bad_predecessor;
mod bare_winter_soil;
mod cause_not_followed_up;
mod cause_not_of_crop;
mod cover_missing;
mod crop_share;
mod date_ahead;
mod family_interval;
mod green_bridge;
mod harvest_implausible;
mod harvest_too_soon;
mod harvest_without_planting;
mod history_unknown;
mod host_after_confirmed;
mod host_after_suspected;
mod intersown_early;
mod legume_missing;
mod legume_nitrogen_lost;
mod manure_nitrogen_cap;
mod manure_to_harvest;
mod manure_while_growing;
mod nematode_buildup;
mod nitrogen_before_roots;
mod nitrogen_before_winter;
mod nitrogen_on_legume;
mod nitrogen_tie_up;
mod no_harvest;
mod notifiable_disease;
mod observation_without_planting;
mod observations_contradict;
mod organic_matter_falling;
mod out_of_season;
mod overlap;
mod perennial_share;
mod phosphorus_loading;
mod record_gap;
mod records_incomplete;
mod residue_not_ready;
mod run_without_break;
mod shared_host_cover;
mod sick_residue_kept;
mod sickness_only_in_note;
mod soil_test_contradicts;
mod soil_test_stale;
mod soil_test_without_method;
mod spacing_on_clean_land;
mod statutory_interval;
mod still_standing;
mod too_many_plants;
mod treatment_out_of_season;
mod untried_legumes;
mod volunteer_in_rest;

pub(super) use crop_share::Shares;
pub(super) use records_incomplete::Gaps;
pub(super) use untried_legumes::Legumes;

use super::{Context, Judged, Rule};
use crate::assess::{Confidence, Evidence};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PathogenId, Role};
use crate::records::{Amendment, Certainty, Place, Planting, Residue};

/// Every rule, by name.
#[must_use]
pub fn catalogue() -> Vec<Box<dyn Rule>> {
    vec![
        Box::new(area_exceeds_bed::AreaExceedsBed),
        Box::new(bad_predecessor::BadPredecessor),
        Box::new(bare_winter_soil::BareWinterSoil),
        Box::new(cause_not_followed_up::CauseNotFollowedUp),
        Box::new(cause_not_of_crop::CauseNotOfCrop),
        Box::new(cover_missing::CoverMissing),
        Box::new(crop_share::CropShare),
        Box::new(date_ahead::DateAhead),
        Box::new(family_interval::FamilyInterval),
        Box::new(green_bridge::GreenBridge),
        Box::new(harvest_implausible::HarvestImplausible),
        Box::new(harvest_too_soon::HarvestTooSoon),
        Box::new(harvest_without_planting::HarvestWithoutPlanting),
        Box::new(history_unknown::HistoryUnknown),
        Box::new(host_after_confirmed::HostAfterConfirmed),
        Box::new(host_after_suspected::HostAfterSuspected),
        Box::new(intersown_early::IntersownEarly),
        Box::new(legume_missing::LegumeMissing),
        Box::new(legume_nitrogen_lost::LegumeNitrogenLost),
        Box::new(manure_nitrogen_cap::ManureNitrogenCap),
        Box::new(manure_to_harvest::ManureToHarvest),
        Box::new(manure_while_growing::ManureWhileGrowing),
        Box::new(nematode_buildup::NematodeBuildup),
        Box::new(nitrogen_before_roots::NitrogenBeforeRoots),
        Box::new(nitrogen_before_winter::NitrogenBeforeWinter),
        Box::new(nitrogen_on_legume::NitrogenOnLegume),
        Box::new(nitrogen_tie_up::NitrogenTieUp),
        Box::new(no_harvest::NoHarvest),
        Box::new(notifiable_disease::NotifiableDisease),
        Box::new(observation_without_planting::ObservationWithoutPlanting),
        Box::new(observations_contradict::ObservationsContradict),
        Box::new(organic_matter_falling::OrganicMatterFalling),
        Box::new(out_of_season::OutOfSeason),
        Box::new(overlap::Overlap),
        Box::new(perennial_share::PerennialShare),
        Box::new(phosphorus_loading::PhosphorusLoading),
        Box::new(record_gap::RecordGap),
        Box::new(records_incomplete::RecordsIncomplete),
        Box::new(residue_not_ready::ResidueNotReady),
        Box::new(run_without_break::RunWithoutBreak),
        Box::new(shared_host_cover::SharedHostCover),
        Box::new(sick_residue_kept::SickResidueKept),
        Box::new(sickness_only_in_note::SicknessOnlyInNote),
        Box::new(soil_test_contradicts::SoilTestContradicts),
        Box::new(soil_test_stale::SoilTestStale),
        Box::new(soil_test_without_method::SoilTestWithoutMethod),
        Box::new(spacing_on_clean_land::SpacingOnCleanLand),
        Box::new(statutory_interval::StatutoryInterval),
        Box::new(still_standing::StillStanding),
        Box::new(too_many_plants::TooManyPlants),
        Box::new(treatment_out_of_season::TreatmentOutOfSeason),
        Box::new(untried_legumes::UntriedLegumes),
        Box::new(volunteer_in_rest::VolunteerInRest),
    ]
}

/// The planting's own record before the evidence of a reason.
fn with_planting(planting: &Planting, evidence: &[Evidence]) -> Vec<Evidence> {
    std::iter::once(Evidence::planting(planting)).chain(evidence.iter().cloned()).collect()
}

/// The bed as a place.
fn whole(context: &Context<'_>) -> Place {
    Place::whole(&context.bed.name)
}

/// Crops that somebody set or sowed to be picked, judged: no covers, no volunteers.
fn set_by_hand<'c, 'a>(context: &'c Context<'a>) -> impl Iterator<Item = &'c Judged<'a>> {
    context.judged.iter().filter(|judged| {
        !judged.planting.is_volunteer()
            && context.knowledge.crops[judged.planting.crop].role != Role::Cover
    })
}

/// Grain that also serves as a cover (wheat, rapeseed, flax) and was carried off the bed.
fn is_harvested_grain(context: &Context<'_>, planting: &Planting) -> bool {
    let crop = &context.knowledge.crops[planting.crop];
    crop.role == Role::Cover
        && &*crop.edible_part == "seed"
        && matches!(planting.residue, Some(Residue::Removed | Residue::Composted))
}

/// What kind of material it is, by the tables.
fn kind_of<'c>(context: &'c Context<'_>, material: &str) -> Option<&'c str> {
    context.knowledge.materials.find(material).map(|row| &*row.kind)
}

/// Loads whose nitrogen is known, g/m2, each once, by day.
fn nitrogen_loads<'c>(context: &'c Context<'_>) -> impl Iterator<Item = (&'c Amendment, Estimate)> {
    context.garden.amendments.iter().filter(|one| one.date <= context.today).filter_map(|one| {
        context
            .ledgers
            .iter()
            .filter(|ledger| ledger.place.bears_on(&one.place))
            .flat_map(|ledger| &ledger.booked)
            .find(|booked| booked.origin == one.origin)
            .map(|booked| (one, booked.load.grams[0]))
    })
}

/// Days from the start to the first harvest, if they are published.
fn days_to_harvest(knowledge: &Knowledge, crop: CropId) -> Option<Estimate> {
    let end = |field| knowledge.crop_figures(crop, field).iter().find_map(|figure| figure.range);
    let least = end("days_to_maturity_min")?;
    let most = end("days_to_maturity_max").unwrap_or(least);
    Some(Estimate::between(least.low, most.high.max(least.high)))
}

/// Whether a source says that a crop lowers a pathogen, or a member of it where it is a group: grown
/// as the treatment it is no mistake, even if some chart lists it as a host.
fn is_a_treatment(knowledge: &Knowledge, pathogen: PathogenId, crop: CropId) -> bool {
    std::iter::once(pathogen)
        .chain(knowledge.pathogens.members_of(pathogen))
        .any(|one| knowledge.standing(one, crop).is_suppressive())
}

/// How sure a finding is that rests on a sighting.
fn sure_of(certainty: Certainty) -> Confidence {
    match certainty {
        Certainty::Suspected => Confidence::Low,
        Certainty::FieldCheck => Confidence::Moderate,
        Certainty::Laboratory => Confidence::High,
    }
}
