//! Proposals of every kind on beds that were each made for one question: what stood before and what
//! became of it, raw manure, grafts, resistance, diseases by status and certainty, treatments.

use std::fmt::Write;

use breakcrop::assess::{Parts, Proposal, Reason, RuleId, assess, changes, disease_losses};
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Method, Place};
use breakcrop::state::BedState;

use crate::support::garden_of;
use crate::written::{judgment, range, short};
use crate::{crop, day, knowledge};

const BEDS: [&str; 18] = [
    "rye", "grain", "vetch", "sod", "mixed", "manure", "wilt", "split", "club", "rot", "knot",
    "guess", "treated", "drop", "scab", "new", "both", "sorghum",
];
const PLANTINGS: &str = "bed,section,crop,method,planted,removed,residue
rye,,tomato,transplanted,2024-05-10,2024-09-20,removed
rye,,cereal_rye,sown,2024-09-25,2025-04-20,dug_in
grain,,wheat,sown,2024-10-01,2025-07-20,removed
vetch,,cabbage,transplanted,2024-05-10,2024-09-20,
vetch,,hairy_vetch,sown,2024-09-25,2025-04-25,
vetch,,crimson_clover,sown,2024-09-25,2025-05-01,left
sod,,red_clover,sown,2023-04-01,2025-04-10,dug_in
mixed,,onion,transplanted,2025-03-20,2025-08-01,removed
mixed,,lettuce,transplanted,2025-05-20,2025-07-15,removed
mixed,,potato,transplanted,2023-04-20,2023-08-20,removed
wilt,,tomato,transplanted,2022-05-10,2022-10-01,removed
wilt,,broccoli,transplanted,2023-07-01,2023-11-20,dug_in
split,a,eggplant,transplanted,2023-05-20,2023-10-01,removed
split,b,lettuce,transplanted,2024-05-01,2024-07-01,removed
club,,cabbage,transplanted,2021-05-01,2021-09-20,removed
club,,kale,volunteer,2023-04-01,2023-06-10,
rot,,onion,transplanted,2020-04-01,2020-08-10,removed
rot,,leek,transplanted,2024-05-01,2025-02-10,removed
knot,,cucumber,sown,2023-05-25,2023-09-10,removed
knot,,french_marigold,sown,2024-05-01,2024-10-01,dug_in
guess,,tomato,transplanted,2024-05-15,2024-10-05,removed
treated,,lettuce,transplanted,2023-04-20,2023-07-01,removed
treated,,strawberry,transplanted,2024-04-10,,
drop,,lettuce,transplanted,2023-04-20,2023-07-01,removed
drop,,lettuce,transplanted,2024-08-01,2024-10-10,dug_in
scab,,potato,transplanted,2024-04-20,2024-08-20,removed
new,,potato,transplanted,2023-04-20,2023-08-20,removed
sorghum,,sorghum_sudangrass,sown,2024-06-01,2024-08-01,dug_in
both,a,tomato,transplanted,2023-05-10,2023-10-01,removed
both,b,tomato,transplanted,2024-05-10,2024-10-01,removed
";
const OBSERVATIONS: &str = "bed,section,date,crop,cause,symptom,extent,certainty
wilt,,2022-08-10,tomato,verticillium_dahliae,,moderate,laboratory
wilt,,2023-09-10,broccoli,healthy,,,field_check
split,a,2023-08-10,eggplant,verticillium_dahliae,,severe,field_check
club,,2021-08-10,cabbage,plasmodiophora_brassicae,,40%,laboratory
rot,,2020-07-10,onion,stromatinia_cepivora,,light,field_check
rot,,2024-12-01,leek,healthy,,,field_check
knot,,2023-08-20,cucumber,meloidogyne_incognita,,moderate,suspected
knot,,2023-08-25,cucumber,podosphaera_xanthii,,severe,laboratory
guess,,2024-08-01,tomato,unknown,yellow on one side of the lower leaves,light,suspected
guess,,2024-09-10,tomato,unknown,\"wilts at noon, brown streaks in the lower stem\",moderate,suspected
treated,,2023-06-10,lettuce,fusarium_oxysporum_lactucae,,severe,laboratory
treated,,2023-06-12,lettuce,sclerotinia_minor,,light,suspected
drop,,2023-06-10,lettuce,sclerotinia_minor,,trace,laboratory
drop,,2024-09-20,lettuce,sclerotinia_minor,,30%,field_check
scab,,2024-08-20,potato,streptomyces_scabies,,light,field_check
scab,,2024-07-01,potato,spongospora_subterranea,,,suspected
new,,2023-07-20,potato,verticillium_dahliae,,severe,laboratory
both,a,2023-08-10,tomato,verticillium_dahliae,,trace,laboratory
both,b,2024-08-10,tomato,verticillium_dahliae,,severe,laboratory
";
const TREATMENTS: &str = "bed,section,start,end,practice
treated,,2023-07-05,2023-08-25,solarization
treated,,2023-09-01,2023-10-20,solarization
knot,,2023-10-01,2023-10-20,anaerobic_disinfestation
wilt,,2024-07-01,2024-08-15,solarization
drop,,2024-11-01,2024-11-02,steaming
new,,2024-03-01,2024-03-01,soil_replaced
";
const AMENDMENTS: &str = "bed,section,date,material,mass_kg
manure,,2025-02-01,horse_manure,20
manure,,2025-03-15,chicken_manure,5
manure,,2025-09-20,dairy_manure,10
";

fn garden() -> Garden {
    let beds: Vec<String> =
        BEDS.iter().map(|bed| format!("{bed},ground,5,1.2,2020-01-01\n")).collect();
    let months = [
        (1.6, 7.4),
        (1.5, 8.1),
        (2.9, 10.9),
        (4.5, 14.0),
        (7.4, 17.3),
        (10.3, 22.2),
        (13.4, 26.7),
        (13.4, 26.6),
        (10.1, 21.3),
        (7.4, 15.1),
        (4.2, 10.7),
        (2.1, 7.9),
    ];
    let months: Vec<String> = months
        .iter()
        .zip(1..)
        .map(|((tmin, tmax), month)| format!("{month},{tmin},{tmax},45\n"))
        .collect();
    let months = months.concat();
    let files = [
        ("site.csv", "name,latitude,longitude\nyard,47,8\n".to_owned()),
        ("climate.csv", format!("month,tmin_c,tmax_c,rain_mm\n{months}")),
        ("beds.csv", format!("bed,kind,length_m,width_m,records_from\n{}", beds.concat())),
        ("plantings.csv", PLANTINGS.to_owned()),
        ("observations.csv", OBSERVATIONS.to_owned()),
        ("treatments.csv", TREATMENTS.to_owned()),
        ("amendments.csv", AMENDMENTS.to_owned()),
    ];
    garden_of(knowledge(), files, "proposals")
}

/// Bed, day, crop, and what more is said of it.
const PROPOSALS: [(&str, &str, &str, &str); 52] = [
    ("sorghum", "2024-08-20", "broccoli", "transplanted"),
    ("sorghum", "2024-09-20", "broccoli", "transplanted"),
    ("both", "2025-06-01", "tomato", "a"),
    ("both", "2025-06-01", "tomato", "b"),
    ("both", "2025-06-01", "pepper", "b"),
    ("both", "2026-09-01", "strawberry", "a"),
    ("rye", "2025-04-28", "lettuce", "sown"),
    ("rye", "2025-04-28", "lettuce", "transplanted"),
    ("rye", "2025-05-18", "carrot", "sown"),
    ("rye", "2025-06-20", "tomato", "transplanted"),
    ("grain", "2025-07-25", "broccoli", ""),
    ("grain", "2026-03-25", "pea", ""),
    ("vetch", "2025-05-06", "sweet_corn", "sown"),
    ("vetch", "2025-05-21", "cucumber", "sown"),
    ("vetch", "2025-05-12", "cabbage", "transplanted"),
    ("sod", "2025-05-01", "potato", ""),
    ("sod", "2025-05-01", "carrot", ""),
    ("mixed", "2025-08-05", "spinach", ""),
    ("mixed", "2026-04-01", "potato", ""),
    ("mixed", "2026-04-01", "onion", ""),
    ("manure", "2025-04-15", "carrot", ""),
    ("manure", "2025-04-15", "sweet_corn", ""),
    ("manure", "2025-04-15", "lettuce", "harvest 2025-07-14"),
    ("manure", "2025-10-01", "garlic", ""),
    ("wilt", "2024-06-01", "tomato", ""),
    ("wilt", "2025-06-01", "tomato", "resistance V"),
    ("wilt", "2025-06-01", "tomato", "rootstock interspecific tomato hybrid"),
    ("wilt", "2025-06-01", "strawberry", ""),
    ("wilt", "2025-06-01", "sweet_corn", ""),
    ("wilt", "2026-06-01", "potato", ""),
    ("split", "2025-06-01", "tomato", "b"),
    ("split", "2025-06-01", "tomato", "a"),
    ("club", "2023-07-01", "broccoli", ""),
    ("club", "2025-07-01", "cauliflower", "resistance Pb"),
    ("club", "2028-07-01", "radish", ""),
    ("club", "2025-05-01", "carrot", ""),
    ("rot", "2025-04-01", "garlic", ""),
    ("rot", "2025-04-01", "leek", ""),
    ("rot", "2036-04-01", "onion", ""),
    ("knot", "2025-06-01", "tomato", "variety red cherry"),
    ("knot", "2025-06-01", "summer_squash", ""),
    ("knot", "2025-06-01", "garlic", ""),
    ("guess", "2025-06-01", "tomato", ""),
    ("guess", "2025-06-01", "potato", ""),
    ("guess", "2025-06-01", "sweet_corn", ""),
    ("treated", "2025-05-01", "lettuce", ""),
    ("drop", "2025-05-01", "lettuce", ""),
    ("drop", "2025-05-01", "snap_bean", ""),
    ("scab", "2025-05-01", "potato", ""),
    ("scab", "2025-05-01", "radish", ""),
    ("new", "2025-05-01", "potato", ""),
    ("new", "2025-06-01", "tomato", "rootstock maxifort"),
];

fn proposal(key: &str, on: &str, more: &str) -> Proposal {
    let mut proposal = Proposal::of(crop(key), day(on));
    match more.split_once(' ') {
        Some(("resistance", code)) => proposal.resistance = code.into(),
        Some(("rootstock", name)) => proposal.rootstock = name.into(),
        Some(("variety", words)) => proposal.variety = words.into(),
        Some(("harvest", date)) => proposal.harvest = Some(day(date)),
        _ => {}
    }
    proposal.method = match more {
        "sown" => Some(Method::Sown),
        "transplanted" => Some(Method::Transplanted),
        _ => None,
    };
    proposal
}

#[test]
fn proposals_on_designed_beds() {
    let policy = Policy::default();
    let garden = garden();
    let mut text = String::new();
    for (bed, on, key, more) in PROPOSALS {
        let place = match more {
            "a" | "b" => Place::section(bed, more),
            _ => Place::whole(bed),
        };
        let state = BedState::at(&garden, knowledge(), &policy, &place, day(on));
        let proposal = proposal(key, on, more);
        let found = assess(knowledge(), &policy, &state, &proposal);
        // What nitrogen rests on is laid open with the books.
        let rests_on = |reason: &Reason| reason.rule != RuleId::NutrientSupply;
        let _ = write!(text, "{place} {on} {key} {more}: {}", judgment(&found, rests_on));
        for loss in disease_losses(knowledge(), &policy, &state, &proposal) {
            let _ = writeln!(text, "  loss {}", short(&loss));
        }
        for change in changes(knowledge(), &policy, &garden, &place, &found) {
            let _ = writeln!(text, "  change {}", short(&change));
        }
        // The parts by themselves say what they say in the whole.
        let parts = Parts::of(&state, &proposal);
        let _ = writeln!(
            text,
            "  parts: {} of disease, {} of sequence, return {}, nutrients {}",
            parts.disease().len(),
            parts.sequence().len(),
            parts.return_time().map_or("-".to_owned(), |one| range(one.yield_fraction)),
            parts.nutrients().map_or("-".to_owned(), |one| range(one.yield_fraction)),
        );
    }
    insta::assert_snapshot!(text);
}
