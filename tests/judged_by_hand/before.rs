//! What stood before: covers that are no relatives, marigolds against nematodes, wireworms of a sod.

use breakcrop::assess::{Assessment, Claim, Left, Proposal, assess};
use breakcrop::estimate::Estimate;
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place};
use breakcrop::state::BedState;
use pretty_assertions::assert_eq;

use crate::support::garden_of;
use crate::{day, knowledge};

fn garden(plantings: &str, observations: &str) -> Garden {
    let beds = "bed,kind,length_m,width_m,records_from\nb,ground,4,1,2010-01-01\n";
    let files = [
        ("beds.csv", beds.to_owned()),
        ("plantings.csv", format!("bed,crop,planted,removed,residue\n{plantings}")),
        ("observations.csv", format!("bed,date,crop,cause,extent,certainty\n{observations}")),
    ];
    garden_of(knowledge(), files, "before")
}

fn judged(plantings: &str, crop: &str, on: &str) -> Assessment {
    let (garden, policy) = (garden(plantings, ""), Policy::default());
    let state = BedState::at(&garden, knowledge(), &policy, &Place::whole("b"), day(on));
    let crop = knowledge().crops.find(crop).expect("a crop");
    assess(knowledge(), &policy, &state, &Proposal::of(crop, day(on)))
}

/// The crop that a return is counted from, by its key.
fn returned_from(plantings: &str, crop: &str, on: &str) -> Option<&'static str> {
    judged(plantings, crop, on).reasons.iter().find_map(|reason| match reason.claim {
        Claim::Return { previous, .. } => Some(&*knowledge().crops[previous].key),
        _ => None,
    })
}

#[test]
fn a_seasons_cover_is_no_relative_but_one_of_the_cabbages_or_cut_for_grain_is() {
    let rye = |residue| format!("b,cereal_rye,2023-09-20,2024-04-10,{residue}\n");
    for (plantings, crop, from) in [
        (rye("dug_in"), "sweet_corn", None),
        (rye("removed"), "sweet_corn", Some("cereal_rye")),
        ("b,hairy_vetch,2023-09-20,2024-04-10,left\n".to_owned(), "snap_bean", None),
        // As long as a sod.
        ("b,hairy_vetch,2023-05-01,2024-04-10,left\n".to_owned(), "snap_bean", Some("hairy_vetch")),
        (
            "b,white_mustard,2023-09-01,2024-03-20,dug_in\n".to_owned(),
            "kale",
            Some("white_mustard"),
        ),
        // What was picked before the cover counts as if there were none.
        (
            format!("b,sweet_corn,2023-05-15,2023-09-01,composted\n{}", rye("dug_in")),
            "sweet_corn",
            Some("sweet_corn"),
        ),
    ] {
        assert_eq!(returned_from(&plantings, crop, "2024-05-15"), from, "{plantings}");
    }
}

/// Doses of a root-knot nematode in the spring after a summer of a crop, from the same sighting.
fn dose_after(cause: &str, crop: &str) -> Estimate {
    let plantings = format!(
        "b,cucumber,2023-05-25,2023-09-10,removed\nb,{crop},2024-05-01,2024-10-01,dug_in\n"
    );
    let seen = format!("b,2023-08-20,cucumber,{cause},moderate,laboratory\n");
    let (garden, policy) = (garden(&plantings, &seen), Policy::default());
    let state = BedState::at(&garden, knowledge(), &policy, &Place::whole("b"), day("2025-04-01"));
    state.inocula().next().expect("one nematode").dose
}

#[test]
fn french_marigold_lowers_the_nematodes_that_trials_say_it_lowers() {
    // A mushroom on chips feeds none of them and lowers none.
    for cause in ["meloidogyne_incognita", "meloidogyne_javanica", "meloidogyne_arenaria"] {
        let (marigold, okra) = (dose_after(cause, "french_marigold"), dose_after(cause, "okra"));
        let bare = dose_after(cause, "oyster_mushroom");
        assert!(marigold.likely < bare.likely && marigold.likely < okra.likely, "{cause}");
    }
    // Of the northern species it is a poor host: no more is taken off than it stood still at best.
    let hapla = "meloidogyne_hapla";
    let (marigold, okra) = (dose_after(hapla, "french_marigold"), dose_after(hapla, "okra"));
    assert!(
        marigold.high > dose_after(hapla, "oyster_mushroom").likely
            && marigold.likely < okra.likely
    );
    // Where nobody named the species it may be either: the best end falls, the worst does not.
    let unnamed = "meloidogyne_spp";
    let (marigold, bare) =
        (dose_after(unnamed, "french_marigold"), dose_after(unnamed, "oyster_mushroom"));
    assert!(marigold.low < bare.low && marigold.high >= bare.high * 0.999, "{marigold:?} {bare:?}");
    // The signet multiplies it.
    let signet = dose_after("meloidogyne_incognita", "signet_marigold");
    assert!(signet.likely > dose_after("meloidogyne_incognita", "oyster_mushroom").likely);
}

#[test]
fn a_sods_wireworms_are_named_wherever_its_residue_went() {
    let left = |plantings: &str, crop: &str, on: &str| {
        judged(plantings, crop, on).reasons.iter().find_map(|reason| match reason.claim {
            Claim::ResidueNotReady { left, .. } => Some(left),
            _ => None,
        })
    };
    for residue in ["dug_in", "removed"] {
        let sod = format!("b,red_clover,2023-04-01,2025-04-10,{residue}\n");
        assert_eq!(left(&sod, "potato", "2025-05-10"), Some(Left::SodPests), "{residue}");
    }
    let rye = "b,cereal_rye,2024-09-20,2025-04-10,dug_in\n";
    assert_eq!(left(rye, "carrot", "2025-04-15"), Some(Left::Residue));
    assert_eq!(left(&rye.replace("dug_in", "removed"), "carrot", "2025-04-15"), None);
    let eggplant = "b,eggplant,2024-05-01,2024-09-01,left\n";
    assert_eq!(left(eggplant, "strawberry", "2025-04-10"), Some(Left::Soil));
}
