//! Plans of gardens, from record files to plantings: each is held against a validator that knows the
//! records, the bed model and the rules, and nothing of the search.
#![expect(clippy::disallowed_methods, reason = "the test reads fixture files")]

mod support;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use breakcrop::assess::season::{Kind, days_from, season};
use breakcrop::assess::{Proposal, Verdict, assess, return_time};
use breakcrop::climate::Climate;
use breakcrop::knowledge::{Knowledge, Role};
use breakcrop::plan::solve::Effort;
use breakcrop::plan::{
    GardenPlan, Goal, GoalKind, Kept, Lost, PlanAsk, PlanError, Planned, Stays, Unmet, WishBy,
    garden_plan,
};
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place, Planting, Residue};
use breakcrop::season::{Date, add_years, iso_day};
use breakcrop::state::BedState;
use breakcrop::view::{Phrases, plan_csv};
use support::garden_of;

fn day(text: &str) -> Date {
    iso_day(text).expect("a day")
}

fn climate() -> String {
    let folder = support::garden_folder("gullcombe_terrace");
    std::fs::read_to_string(folder.join("climate.csv")).expect("climate.csv")
}

const SITE: &str = "name,latitude,longitude\nBramble Court,34.0,-118.3\n";

/// Four beds on a mild coast, one of them in two sections, one with white rot.
fn small_garden(knowledge: &Knowledge, wishes: &str) -> Garden {
    let beds = "bed,kind,length_m,width_m,records_from\n\
        A,ground,3,1.2,2021-01-01\nB,raised,3,1.2,2021-01-01\nC,raised,2,1.2,2021-01-01\n\
        D,ground,3,1.2,2021-01-01\n";
    let plantings = "bed,section,crop,method,planted,removed,area_m2,residue\n\
        A,,tomato,transplanted,2025-04-10,2025-09-20,,removed\n\
        A,,broad bean,sown,2025-11-01,2026-04-20,,dug_in\n\
        B,north,tomato,transplanted,2026-04-12,2026-09-28,1.8,removed\n\
        B,south,lettuce,transplanted,2026-08-20,,1.8,\n\
        C,,garlic,transplanted,2024-10-20,2025-06-10,,removed\n\
        D,,carrot,sown,2026-03-10,2026-07-01,,composted\n";
    let observations = "bed,section,date,crop,cause,extent,certainty\n\
        C,,2025-05-20,garlic,white rot,moderate,laboratory\n";
    let climate = climate();
    let files = [
        ("site.csv", SITE),
        ("climate.csv", climate.as_str()),
        ("beds.csv", beds),
        ("plantings.csv", plantings),
        ("observations.csv", observations),
        ("wishes.csv", wishes),
    ];
    garden_of(knowledge, files, "small garden")
}

const WISHES: &str = "crop,mass_kg,area_m2,month,note\n\
    tomato,12,,summer,\ngarlic,3,,summer,ran out\npea,2,,spring,\nlettuce,4,,4,\n\
    carrot,6,,spring,\ncourgette,4,,summer,half of last year\nSwiss chard,0,,,tired of it\n";

fn quick() -> Effort {
    Effort { steps: 6, rounds: 1, tries: 2, nodes: 0, ..Effort::default() }
}

fn plan_of(knowledge: &Knowledge, garden: &Garden, ask: &PlanAsk) -> GardenPlan {
    garden_plan(knowledge, &Policy::default(), garden, ask, &|_| {}).expect("a plan")
}

fn ask() -> PlanAsk {
    PlanAsk { effort: Some(quick()), ..PlanAsk::new(day("2026-10-12"), 22) }
}

/// Everything a plan must keep, asked of the records and the bed model anew.
fn faults(knowledge: &Knowledge, garden: &Garden, ask: &PlanAsk, plan: &GardenPlan) -> Vec<String> {
    let policy = Policy::default();
    let mut faults = Vec::new();
    let climate = Climate::of(garden).expect("a climate");
    let mut whole: BTreeMap<&str, f64> = BTreeMap::new();
    for (place, area) in &plan.places {
        *whole.entry(&*place.bed).or_default() += area.0;
    }
    for bed in &garden.beds {
        if whole.get(&*bed.name).is_none_or(|area| *area > bed.area().0 + 1e-6) {
            faults.push(format!("bed {}: its places do not fit it", bed.name));
        }
    }
    for (at, planting) in plan.plantings.iter().enumerate() {
        let name = format!("{} {} {:?}", planting.place, planting.planted, planting.crop);
        if planting.cleared <= planting.planted {
            faults.push(format!("{name}: cleared before it is planted"));
        }
        for other in &plan.plantings[at + 1..] {
            let meet = planting.planted < other.cleared && other.planted < planting.cleared;
            if planting.place.bears_on(&other.place) && meet {
                faults.push(format!("{name}: meets another"));
            }
        }
        for standing in plan.standing.iter().filter(|row| row.place.bears_on(&planting.place)) {
            if standing.free.is_none_or(|free| free > planting.planted) {
                faults.push(format!("{name}: what stands is not cleared"));
            }
        }
        if planting.planned == Planned::Kept {
            continue;
        }
        let on = planting.planted;
        let days = days_from(&climate.normals_only(), &policy, on);
        if !season(knowledge, &policy, &days, planting.crop, Kind::Plain, None, on).fits() {
            faults.push(format!("{name}: out of season"));
        }
        faults.extend(
            returns_too_soon(knowledge, garden, plan, at).map(|why| format!("{name}: {why}")),
        );
    }
    faults.extend(judged_otherwise(knowledge, garden, plan));
    for kept in &ask.kept {
        let there = plan.plantings.iter().any(|planting| {
            planting.crop == kept.crop
                && planting.planted == kept.stood.start
                && planting.place.bears_on(&kept.place)
        });
        if !there {
            faults.push(format!("{} {}: kept, yet not there", kept.place, kept.stood.start));
        }
    }
    if plan.bound < plan.value - 1e-9 {
        faults.push(format!("bound {} below value {}", plan.bound, plan.value));
    }
    faults
}

/// What the bed model says of each planting in its turn, asked of the records with the plan's own file
/// as plantings, where that is not what the plan says.
fn judged_otherwise(knowledge: &Knowledge, garden: &Garden, plan: &GardenPlan) -> Vec<String> {
    let policy = Policy::default();
    let mut faults = Vec::new();
    let csv = plan_csv(Phrases::new(knowledge), plan);
    let rows =
        Kept::read(knowledge, garden, "plan.csv", csv.as_bytes()).expect("its own file reads");
    assert_eq!(rows.plantings.len(), plan.plantings.len() + plan.company.len());
    let mut with = garden.clone();
    // What is sown between what stands is on record for all that comes after in its place.
    let is_between = |row: &Planting| {
        plan.company.iter().any(|company| {
            company.place == row.place
                && company.crop == row.crop
                && company.sown == row.stood.start
        })
    };
    let between = rows.plantings.iter().filter(|row| is_between(row)).cloned();
    with.plantings.extend(between.map(|mut row| {
        row.residue = Some(Residue::Left);
        row
    }));
    for standing in &plan.standing {
        for planting in with.plantings.iter_mut().filter(|row| row.place.bears_on(&standing.place))
        {
            if planting.crop == standing.crop && planting.stood.end.is_none() {
                planting.stood.end = standing.free;
            }
        }
    }
    for planting in &mut with.plantings {
        if planting.is_volunteer() && planting.stood.end.is_none() {
            planting.stood.end = Some(plan.half_months.day(0));
        }
    }
    for planned in &plan.plantings {
        let mut before = with.clone();
        before.plantings.extend(
            rows.plantings
                .iter()
                .filter(|row| row.stood.start < planned.planted)
                .filter(|row| row.place == planned.place && !is_between(row))
                .cloned()
                .map(|mut row| {
                    let cover = knowledge.crops[row.crop].role == Role::Cover;
                    row.residue = Some(if cover { Residue::DugIn } else { Residue::Composted });
                    row.area = None;
                    row
                }),
        );
        before.sort();
        let state = BedState::at(&before, knowledge, &policy, &planned.place, planned.planted);
        let proposal = Proposal {
            method: Some(planned.method),
            ..Proposal::of(planned.crop, planned.planted)
        };
        let judged = assess(knowledge, &policy, &state, &proposal);
        let apart = (judged.expected_yield.likely - planned.assessment.expected_yield.likely).abs();
        if judged.verdict != planned.assessment.verdict || apart > 1e-9 {
            faults.push(format!(
                "{} {}: {:?} {:.3} instead of {:?} {:.3}",
                planned.place,
                planned.planted,
                judged.verdict,
                judged.expected_yield.likely,
                planned.assessment.verdict,
                planned.assessment.expected_yield.likely
            ));
        }
        if judged.verdict == Verdict::Wait && planned.planned == Planned::Chosen {
            faults.push(format!("{} {}: it waits", planned.place, planned.planted));
        }
    }
    faults
}

/// Relatives within the plan keep the shortest published return, those on record a year.
fn returns_too_soon(
    knowledge: &Knowledge,
    garden: &Garden,
    plan: &GardenPlan,
    at: usize,
) -> Option<String> {
    let planting = &plan.plantings[at];
    let crop = &knowledge.crops[planting.crop];
    if crop.role == Role::Cover || crop.family.is_empty() {
        return None;
    }
    let shortest = return_time(knowledge, planting.crop)?.gap.low;
    let slots = (shortest * 24.0).round();
    for other in plan.plantings.iter().filter(|other| other.place == planting.place) {
        // A season's cover of the family, dug in, is no relative, but for the cabbage family.
        let relative = knowledge.crops[other.crop].family == crop.family
            && (knowledge.crops[other.crop].role != Role::Cover || &*crop.family == "Brassicaceae");
        let apart = (planting.planted - other.cleared).num_days() as f64 / 365.25 * 24.0;
        if relative && other.cleared <= planting.planted && apart < slots - 1.5 {
            return Some(format!("a relative was cleared on {}", other.cleared));
        }
    }
    let recorded = garden.plantings.iter().filter(|row| {
        row.place.bears_on(&planting.place)
            && !row.is_volunteer()
            && knowledge.crops[row.crop].family == crop.family
            && knowledge.crops[row.crop].role != Role::Cover
    });
    let ends = recorded.filter_map(|row| row.stood.end);
    let until = ends.max().map(|end| add_years(end, shortest.min(1.0)));
    until
        .filter(|until| *until > planting.planted)
        .map(|until| format!("a relative on record keeps it until {until}"))
}

/// D11: fewer of what we tired of, more of what ran out; D5: sections on their own.
#[test]
fn wishes_drive_the_plan_and_sections_are_planned_on_their_own() {
    let knowledge = Knowledge::embedded();
    let garden = small_garden(&knowledge, WISHES);
    let ask = ask();
    let plan = plan_of(&knowledge, &garden, &ask);
    assert_eq!(faults(&knowledge, &garden, &ask, &plan), Vec::<String>::new());
    let chard = knowledge.crops.find("chard").expect("chard");
    assert!(plan.unwanted.contains(&chard));
    assert!(plan.plantings.iter().all(|planting| planting.crop != chard));
    let names: Vec<String> = plan.places.iter().map(|(place, _)| place.to_string()).collect();
    assert_eq!(names, ["A", "B/north", "B/south", "C", "D"]);
    let garlic = knowledge.crops.find("garlic").expect("garlic");
    let beds_of_garlic: Vec<String> = plan
        .plantings
        .iter()
        .filter(|planting| planting.crop == garlic)
        .map(|planting| planting.place.to_string())
        .collect();
    assert!(!beds_of_garlic.is_empty() && !beds_of_garlic.contains(&"C".to_owned()));
    // Tomatoes stood in the north of B this summer, not in its south.
    let tomato = knowledge.crops.find("tomato").expect("tomato");
    let north = Place::section("B", "north");
    let in_north = |planting: &&breakcrop::plan::PlannedPlanting| planting.place == north;
    assert!(plan.plantings.iter().filter(in_north).all(|planting| planting.crop != tomato));
    let met = plan.wishes.iter().filter(|wish| wish.unmet.is_none()).count();
    assert!(met >= 4, "{met} of {} wishes met", plan.wishes.len());
    // What was half of last year's courgettes is not planted over and over.
    let courgette =
        plan.wishes.iter().find(|wish| knowledge.crops[wish.crop].key.as_ref() == "summer_squash");
    let courgette = courgette.expect("courgettes are wished");
    assert!(matches!(courgette.by, WishBy::Mass(_)));
    assert!(courgette.planned < 10.0 * courgette.wanted(), "{} kg", courgette.planned);
    // The same again is the same.
    let again = plan_of(&knowledge, &garden, &ask);
    let rows = |plan: &GardenPlan| plan_csv(Phrases::new(&knowledge), plan);
    assert_eq!(rows(&plan), rows(&again));
}

#[test]
fn what_is_kept_stays_and_a_lost_bed_is_planned_around() {
    let knowledge = Knowledge::embedded();
    let garden = small_garden(&knowledge, "crop,mass_kg,month\ntomato,8,summer\npea,2,spring\n");
    let phrases = Phrases::new(&knowledge);
    let first = plan_of(&knowledge, &garden, &ask());
    let csv = plan_csv(phrases, &first);
    let kept = Kept::read(&knowledge, &garden, "plan.csv", csv.as_bytes()).expect("its own file");
    // All kept: the very same plantings, whatever the seed.
    let all = PlanAsk { kept: kept.plantings.clone(), only_kept: true, seed: 9, ..ask() };
    let same = plan_of(&knowledge, &garden, &all);
    assert_eq!(faults(&knowledge, &garden, &all, &same), Vec::<String>::new());
    assert_eq!(same.plantings.len(), first.plantings.len());
    assert!((same.value - first.value).abs() < 1e-6, "{} {}", same.value, first.value);
    // The first half kept, the rest planned.
    let half = PlanAsk { kept: kept.plantings[..kept.plantings.len() / 2].to_vec(), ..ask() };
    let part = plan_of(&knowledge, &garden, &half);
    assert_eq!(faults(&knowledge, &garden, &half, &part), Vec::<String>::new());
    // A bed lost to Verticillium grows no tomatoes.
    let pathogen = knowledge.pathogens.find("verticillium_dahliae").expect("a pathogen");
    let lost = Lost { place: Place::whole("A"), pathogen };
    let around = plan_of(&knowledge, &garden, &PlanAsk { lost: vec![lost], ..ask() });
    let tomato = knowledge.crops.find("tomato").expect("tomato");
    let in_a = around.plantings.iter().filter(|planting| &*planting.place.bed == "A");
    assert!(in_a.clone().all(|planting| planting.crop != tomato));
    assert!(around.value <= first.bound + 1e-9);
}

#[test]
fn an_unmet_wish_says_why() {
    let knowledge = Knowledge::embedded();
    let wishes = "crop,mass_kg,area_m2,month\ntomato,9,,11\ntomato,5,,2\nlettuce,900,,4\n";
    let garden = small_garden(&knowledge, wishes);
    let plan = plan_of(&knowledge, &garden, &ask());
    let why = |at: usize| plan.wishes.iter().find(|wish| wish.wish == at).map(|wish| &wish.unmet);
    assert!(
        matches!(why(0), Some(Some(Unmet::TooLate { .. } | Unmet::NoWindow { .. }))),
        "{:?}",
        why(0)
    );
    assert!(matches!(why(2), Some(Some(Unmet::NotEnoughArea { short, .. })) if short.0 > 10.0));
    let nothing = small_garden(&knowledge, "crop,mass_kg\ntomato,0\n");
    let error = garden_plan(&knowledge, &Policy::default(), &nothing, &ask(), &|_| {});
    assert_eq!(error.err(), Some(PlanError::NoWish));
}

#[test]
fn the_demo_gardens_plan_keeps_every_rule() {
    let knowledge = Knowledge::embedded();
    let mut wishes = String::from("crop,mass_kg,area_m2,month\n");
    for crop in ["tomato,10,,summer", "garlic,3,,summer", "potato,,2.88,2"] {
        writeln!(wishes, "{crop}").expect("a string");
    }
    let folder = support::garden_folder("gullcombe_terrace");
    let files = [
        "site",
        "climate",
        "beds",
        "plantings",
        "observations",
        "harvests",
        "amendments",
        "soil_tests",
        "treatments",
    ];
    let texts = files.map(|name| {
        let file = format!("{name}.csv");
        let text = std::fs::read_to_string(folder.join(&file)).expect("a record file");
        (file, text)
    });
    let all = texts.into_iter().chain([("wishes.csv".to_owned(), wishes)]);
    let garden = garden_of(&knowledge, all, "gullcombe");
    let ask = PlanAsk {
        effort: Some(Effort { steps: 4, rounds: 0, nodes: 0, ..quick() }),
        ..PlanAsk::new(day("2026-10-12"), 12)
    };
    let plan = plan_of(&knowledge, &garden, &ask);
    assert_eq!(faults(&knowledge, &garden, &ask, &plan), Vec::<String>::new());
}

/// Hours are kept, or passed only by what stands; what is left out costs value, never adds any.
#[test]
fn a_plan_keeps_within_the_hours_there_are() {
    let knowledge = Knowledge::embedded();
    let garden = winter_garden(&knowledge);
    let free = plan_of(&knowledge, &garden, &small_ask());
    let most =
        |plan: &GardenPlan| plan.work.iter().map(|work| work.a_week().likely).fold(0.0, f64::max);
    let limit = most(&free) * 0.5;
    let asked = PlanAsk { hours_a_week: Some(limit), ..small_ask() };
    let kept = plan_of(&knowledge, &garden, &asked);
    assert_eq!(faults(&knowledge, &garden, &asked, &kept), Vec::<String>::new());
    // What stands is picked and cleared whatever is planned.
    let decided: BTreeMap<Date, f64> = kept
        .work
        .iter()
        .map(|work| {
            let standing = work.parts.iter().filter(|part| {
                !kept
                    .plantings
                    .iter()
                    .any(|planting| planting.place == part.place && planting.crop == part.crop)
            });
            (work.from, standing.map(|part| part.hours.likely).sum())
        })
        .collect();
    for work in &kept.work {
        let weeks = (work.to - work.from).num_days() as f64 / 7.0;
        let allowed = f64::max(limit, decided[&work.from] / weeks);
        assert!(work.a_week().likely <= allowed + 1e-6, "{} {limit}", work.a_week().likely);
    }
    assert!(kept.value <= free.bound + 1e-9 && kept.value <= kept.bound + 1e-9);
    assert!(!kept.plantings.is_empty(), "something is still planted");
    // A limit that is kept already changes nothing.
    let wide = PlanAsk { hours_a_week: Some(most(&free) * 10.0), ..small_ask() };
    let same = plan_of(&knowledge, &garden, &wide);
    assert!((same.value - free.value).abs() < 1e-9);
}

#[test]
fn goals_for_the_ground_are_worth_planting_for() {
    let knowledge = Knowledge::embedded();
    let garden = winter_garden(&knowledge);
    let usual = plan_of(&knowledge, &garden, &small_ask());
    let goals = vec![Goal { kind: GoalKind::Legumes, share: 0.45 }];
    let asked = PlanAsk { goals, ..small_ask() };
    let plan = plan_of(&knowledge, &garden, &asked);
    assert_eq!(faults(&knowledge, &garden, &asked, &plan), Vec::<String>::new());
    assert!(
        plan.legumes_of_all > usual.legumes_of_all || usual.legumes_of_all >= 0.45,
        "{} {}",
        plan.legumes_of_all,
        usual.legumes_of_all
    );
    assert!(plan.legumes_of_all > 0.3, "{}", plan.legumes_of_all);
}

/// No cover of a plan raises what was seen in its bed, and each is among those that `cover` offers.
#[test]
fn covers_of_a_plan_serve_their_bed() {
    let knowledge = Knowledge::embedded();
    let garden = small_garden(&knowledge, "crop,mass_kg,month\ntomato,4,summer\n");
    let plan = plan_of(&knowledge, &garden, &ask());
    let covers = plan.plantings.iter().filter(|row| knowledge.crops[row.crop].role == Role::Cover);
    assert_eq!(covers.count(), plan.covers.len());
    assert!(plan.covers.len() >= 3, "{} covers", plan.covers.len());
    let white_rot = knowledge.pathogens.find("stromatinia_cepivora").expect("a pathogen");
    for cover in &plan.covers {
        let Some(candidate) = &cover.candidate else { continue };
        assert!(cover.rank.is_some());
        assert!(candidate.killed > cover.sown);
        if &*cover.place.bed == "C" {
            assert!(candidate.soil_life.iter().any(|life| life.pathogen == white_rot));
        }
        assert!(candidate.soil_life.iter().all(|life| !life.may_raise()));
    }
}

/// Peppers that stay the winter: their bed is theirs until the day said, a legume stands between them
/// where one may, and the plan's own file keeps it.
#[test]
fn what_stays_keeps_its_bed_and_is_given_company() {
    let knowledge = Knowledge::embedded();
    let garden = winter_garden(&knowledge);
    let until = day("2027-08-01");
    let stays = vec![Stays { place: Place::whole("E"), until }];
    let asked = PlanAsk { stays, ..ask() };
    let plan = plan_of(&knowledge, &garden, &asked);
    assert!(plan.plantings.iter().all(|row| &*row.place.bed != "E" || row.planted >= until));
    let pepper = plan.standing.iter().find(|row| &*row.place.bed == "E").expect("it stands");
    assert_eq!(pepper.free, Some(until));
    // It gives until this winter as it would without, and again once it has grown.
    let [autumn, regrown] = pepper.harvests.as_slice() else { panic!("{pepper:?}") };
    assert_eq!(*autumn, (day("2026-10-16"), usual_end(&knowledge, &garden, "E")), "{pepper:?}");
    assert!(regrown.0 > day("2027-03-01") && regrown.1 == until, "{pepper:?}");
    let autumn_wish = plan.wishes.iter().find(|wish| wish.from == day("2026-10-01"));
    let autumn_wish = autumn_wish.expect("peppers are wished for in October");
    assert!(autumn_wish.standing > 0.0, "{autumn_wish:?}");
    let let_go = plan_of(&knowledge, &garden, &ask());
    let alike = let_go.wishes.iter().find(|wish| wish.from == day("2026-10-01"));
    assert_eq!(alike.map(|wish| wish.standing), Some(autumn_wish.standing));
    let company = plan.company.first().expect("a legume between the peppers");
    assert!(knowledge.crops[company.crop].is_legume() && company.cut <= until);
    assert!(plan.alone.is_empty());
    let csv = plan_csv(Phrases::new(&knowledge), &plan);
    let kept = Kept::read(&knowledge, &garden, "plan.csv", csv.as_bytes()).expect("its own file");
    let again = PlanAsk { kept: kept.plantings, only_kept: true, ..asked };
    let again = plan_of(&knowledge, &garden, &again);
    assert_eq!(again.company.len(), 1);
    assert!(again.company[0].kept && again.company[0].crop == company.crop);
    // The file holds areas to a hundredth of a square metre.
    assert!((again.value - plan.value).abs() < 1e-2, "{} {}", again.value, plan.value);
    // Nothing stands in A that could stay.
    let nothing = PlanAsk { stays: vec![Stays { place: Place::whole("A"), until }], ..ask() };
    let error = garden_plan(&knowledge, &Policy::default(), &garden, &nothing, &|_| {});
    assert_eq!(error.err(), Some(PlanError::NothingStands(Place::whole("A"))));
}

/// Until when a plan takes what stands in a bed to give if nothing is decided of it.
fn usual_end(knowledge: &Knowledge, garden: &Garden, bed: &str) -> Date {
    let plan = plan_of(knowledge, garden, &ask());
    let standing = plan.standing.iter().find(|row| &*row.place.bed == bed).expect("it stands");
    standing.free.expect("it is cleared")
}

fn small_ask() -> PlanAsk {
    PlanAsk { effort: Some(quick()), ..PlanAsk::new(day("2026-10-12"), 18) }
}

/// Two beds, one with peppers of which every stem has its place.
fn winter_garden(knowledge: &Knowledge) -> Garden {
    let beds = "bed,kind,length_m,width_m,records_from\n\
        A,ground,3,1.2,2021-01-01\nE,raised,2.4,1.2,2021-01-01\n";
    let plantings = "bed,crop,method,planted,removed,plants,row_spacing_cm,plant_spacing_cm\n\
        A,carrot,sown,2026-03-10,2026-07-01,,,\n\
        E,pepper,transplanted,2026-04-18,,10,50,45\n";
    let climate = climate();
    let files = [
        ("site.csv", SITE),
        ("climate.csv", climate.as_str()),
        ("beds.csv", beds),
        ("plantings.csv", plantings),
        ("harvests.csv", "bed,date,crop,mass_kg\nE,2026-10-08,pepper,0.6\n"),
        ("wishes.csv", "crop,mass_kg,month\npepper,1,10\npepper,4,summer\npea,2,spring\n"),
    ];
    garden_of(knowledge, files, "winter garden")
}

/// Onions are ready in spring on this coast, whenever they are started: the plan says when.
#[test]
fn a_wish_out_of_season_says_when_the_crop_is_ready() {
    let knowledge = Knowledge::embedded();
    let garden = small_garden(&knowledge, "crop,mass_kg,month\nonion,4,7\n");
    let plan = plan_of(&knowledge, &garden, &ask());
    let Some(Unmet::NoWindow { ready }) = &plan.wishes[0].unmet else {
        panic!("{:?}", plan.wishes[0].unmet)
    };
    assert!(!ready.is_empty() && !ready.contains(&7), "{ready:?}");
    // A wish in one of those months has a window.
    let month = ready[0];
    let wishes = format!("crop,mass_kg,month\nonion,4,{month}\n");
    let plan = plan_of(&knowledge, &small_garden(&knowledge, &wishes), &ask());
    let unmet = plan.wishes[0].unmet.as_ref();
    assert!(!matches!(unmet, Some(Unmet::NoWindow { .. })), "{unmet:?}");
}
