//! The nutrient books of small designed beds, month by month, and what they say of a crop to come.

use std::fmt::Write;

use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place};
use breakcrop::state::nutrients::{
    Flow, Ledger, Nutrient, Pool, Spread, feeding, makeup, need, residue_ties_up,
};
use breakcrop::state::{Chronicle, ledger};

use crate::support::garden_of;
use crate::written::{columns, figure, range, short};
use crate::{crop, day, knowledge};

const BEDS: &str = "bed,kind,length_m,width_m,soil_depth_cm,records_from,note
fed,ground,5,1.2,60,2023-01-01,
cover,ground,5,1.2,60,2023-01-01,sandy
parts,raised,4,1,40,2023-01-01,clay
tub,container,1,1,40,2023-01-01,
";
const PLANTINGS: &str = "bed,section,crop,method,planted,removed,area_m2,residue
fed,,tomato,transplanted,2023-05-10,2023-10-05,,removed
fed,,cereal_rye,sown,2023-10-10,2024-04-20,,dug_in
fed,,cabbage,transplanted,2024-05-10,2024-09-20,,
fed,,pea,sown,2025-03-20,2025-07-01,,left
fed,,lettuce,transplanted,2025-07-10,,2,
cover,,hairy_vetch,sown,2023-09-10,2024-04-25,,dug_in
cover,,cereal_rye,sown,2023-09-12,2024-04-25,,dug_in
cover,,sweet_corn,sown,2024-05-15,2024-09-10,,
cover,,crimson_clover,sown,2024-09-20,2025-04-10,,left
cover,,potato,transplanted,2025-04-20,2025-08-20,,composted
parts,a,snap_bean,sown,2024-05-15,2024-08-20,,dug_in
parts,b,onion,transplanted,2024-04-01,2024-08-20,,removed
parts,,spinach,sown,2024-09-01,2025-04-10,,
parts,a,fava_bean,sown,2025-04-12,2025-08-01,,dug_in
tub,,pepper,transplanted,2024-05-20,2024-10-10,,removed
tub,,kale,transplanted,2024-08-20,2025-03-10,0.3,
";
const HARVESTS: &str = "bed,section,date,crop,mass_kg
fed,,2023-08-01,tomato,18
fed,,2023-09-15,tomato,22
fed,,2024-09-18,cabbage,20
fed,,2025-06-20,pea,4
cover,,2024-08-25,sweet_corn,8
cover,,2025-08-20,potato,70
parts,a,2024-08-10,snap_bean,3
parts,b,2024-08-20,onion,9
parts,,2025-03-01,spinach,2
";
const AMENDMENTS: &str =
    "bed,section,date,material,mass_kg,volume_l,depth_cm,n_percent,p_percent,k_percent
fed,,2023-04-20,dairy_manure_compost,,30,,,,
fed,,2024-04-25,feather_meal,0.5,,,12,,
fed,,2024-06-20,chicken_manure_pellets,0.6,,,,,
fed,,2025-07-05,wood_ash,1,,,,,
cover,,2024-11-01,wheat_straw,6,,,,,
cover,,2025-04-01,horse_manure,20,,,,,
parts,a,2024-05-01,yard_trimmings_compost,,,3,,,
parts,b,2024-05-01,gypsum,2,,,3,1,2
parts,,2025-03-20,gypsum,1,,,,,
tub,,2024-05-10,fish_meal,0.2,,,,,
tub,,2024-05-11,worm_castings,,,,,,
";
const TESTS: &str = "bed,section,date,ph,organic_matter_percent,nitrate_n_ppm,p_ppm,p_method,k_ppm
fed,,2024-03-15,6.5,4.1,11,36,olsen,240
fed,,2025-03-10,6.6,4,7.5,30,olsen,180
cover,,2025-03-10,6.2,2.2,3,90,mehlich3,95
tub,,2025-03-15,6.0,,20,40,bray1,
";

/// Beds on a site with rain, with measured weather for a fortnight, or without any climate.
fn garden(climate: bool) -> Garden {
    let mut files = vec![
        ("beds.csv", BEDS.to_owned()),
        ("plantings.csv", PLANTINGS.to_owned()),
        ("harvests.csv", HARVESTS.to_owned()),
        ("amendments.csv", AMENDMENTS.to_owned()),
        ("soil_tests.csv", TESTS.to_owned()),
    ];
    if climate {
        let site = "name,latitude,longitude\ncourt,51.9,1.1\n";
        files.push(("site.csv", site.to_owned()));
        let months = [
            (1.6, 7.4, 50),
            (1.5, 8.1, 40),
            (2.9, 10.9, 38),
            (4.5, 14.0, 45),
            (7.4, 17.3, 48),
            (10.3, 20.2, 47),
            (12.4, 22.7, 49),
            (12.4, 22.6, 54),
            (10.1, 19.3, 50),
            (7.4, 15.1, 68),
            (4.2, 10.7, 63),
            (2.1, 7.9, 58),
        ];
        let months: Vec<String> = months
            .iter()
            .zip(1..)
            .map(|((tmin, tmax, rain), month)| format!("{month},{tmin},{tmax},{rain}\n"))
            .collect();
        let months = months.concat();
        files.push(("climate.csv", format!("month,tmin_c,tmax_c,rain_mm\n{months}")));
        let days: Vec<String> = (1..=14)
            .map(|day| match day {
                3 => format!("2024-11-{day:02},9,15,\n"),
                _ => format!("2024-11-{day:02},9,15,12\n"),
            })
            .collect();
        let days = days.concat();
        files.push(("weather.csv", format!("date,tmin_c,tmax_c,rain_mm\n{days}")));
    }
    garden_of(knowledge(), files, "books")
}

fn pools(ledger: &Ledger, nutrient: Nutrient) -> String {
    Pool::OF_BED.map(|pool| columns(ledger.holds(nutrient, pool))).join(" ")
}

/// All movements of a nutrient from the first month on: flow, from, to, sum.
fn movements(ledger: &Ledger, nutrient: Nutrient) -> String {
    let mut sums: Vec<((Flow, Pool, Pool), Spread)> = Vec::new();
    for month in &ledger.months {
        for posting in &month.account(nutrient).postings {
            let kind = (posting.flow, posting.from, posting.to);
            match sums.iter_mut().find(|(known, _)| *known == kind) {
                Some((_, sum)) => *sum = *sum + posting.amount,
                None => sums.push((kind, posting.amount)),
            }
        }
    }
    sums.sort_by_key(|(kind, _)| *kind);
    let mut text = String::new();
    for ((flow, from, to), sum) in sums {
        let _ = writeln!(text, "    {flow:?} {from:?} to {to:?}: {}", columns(sum));
    }
    text
}

fn places() -> [Place; 6] {
    [
        Place::whole("fed"),
        Place::whole("cover"),
        Place::whole("parts"),
        Place::section("parts", "a"),
        Place::section("parts", "b"),
        Place::whole("tub"),
    ]
}

#[test]
fn books_of_designed_beds() {
    let policy = Policy::default();
    let mut text = String::new();
    for climate in [true, false] {
        let garden = garden(climate);
        for place in places() {
            let ledger = ledger(&garden, knowledge(), &policy, &place, day("2025-09-10"));
            let _ = writeln!(
                text,
                "{place}, climate {climate}: from {} to {}, organic matter {}, ground {}, rain known {}, surplus {}",
                short(&ledger.from),
                ledger.to,
                range(ledger.organic_matter()),
                short(&ledger.ground),
                ledger.rain_is_known(),
                (1..=12)
                    .map(|month| ledger.surplus_mm(month).map_or("-".to_owned(), figure))
                    .collect::<Vec<_>>()
                    .join(" "),
            );
            for nutrient in Nutrient::ALL {
                let _ = writeln!(text, "  {}: {}", nutrient.sign(), pools(&ledger, nutrient));
                let _ = write!(text, "{}", movements(&ledger, nutrient));
            }
            if climate {
                for month in &ledger.months {
                    let account = month.account(Nutrient::Nitrogen);
                    let pools = Pool::OF_BED.map(|pool| columns(account.closing.of(pool)));
                    let _ = writeln!(text, "  by {}: {}", month.to, pools.join(" "));
                }
            }
            for check in &ledger.checks {
                let _ = writeln!(
                    text,
                    "  {}; misses by {}, contradicts {}",
                    short(check),
                    figure(check.misses_by()),
                    check.contradicts()
                );
            }
            let _ = writeln!(text, "  {} {}", short(&ledger.last_test), short(&ledger.phosphorus));
            for booked in &ledger.booked {
                let _ = writeln!(text, "  {}", short(booked));
            }
            for unbooked in &ledger.unbooked {
                let _ = writeln!(text, "  {}", short(unbooked));
            }
        }
    }
    insta::assert_snapshot!(text);
}

#[test]
fn crops_to_come() {
    let policy = Policy::default();
    let mut text = String::new();
    for climate in [true, false] {
        let garden = garden(climate);
        for place in places() {
            for (on, keys) in [
                ("2024-05-01", ["tomato", "cabbage", "snap_bean"]),
                ("2024-11-05", ["garlic", "spinach", "pea"]),
                ("2025-03-12", ["sweet_corn", "lettuce", "carrot"]),
            ] {
                let ledger = ledger(&garden, knowledge(), &policy, &place, day(on));
                for (turn, key) in keys.into_iter().enumerate() {
                    let Some(fed) = feeding(knowledge(), &policy, &ledger, crop(key), day(on))
                    else {
                        let _ = writeln!(text, "{place} {on} {key}: not fed");
                        continue;
                    };
                    let _ = writeln!(
                        text,
                        "{place} {on} {key}, climate {climate}: from soil {}, within reach {}, short by {}, yield {}, without legume {}, phosphorus {}",
                        range(fed.need.from_soil()),
                        range(fed.within_reach),
                        range(fed.shortfall),
                        range(fed.yield_fraction),
                        range(fed.without_legume),
                        fed.phosphorus_to_replace(&ledger).map_or("-".to_owned(), range),
                    );
                    let _ = writeln!(text, "  {}", short(&fed.supply));
                    if climate && turn == 0 {
                        let materials = [
                            "feather_meal",
                            "dairy_manure_compost",
                            "chicken_manure",
                            "wheat_straw",
                        ]
                        .map(Into::into);
                        for portion in fed.portions(knowledge(), &policy, &ledger, &materials) {
                            let _ = writeln!(
                                text,
                                "  {} advised {}",
                                short(&portion),
                                portion.is_advised()
                            );
                        }
                    }
                }
            }
        }
    }
    insta::assert_snapshot!(text);
}

#[test]
fn materials_and_needs() {
    let (knowledge, policy) = (knowledge(), Policy::default());
    let mut text = String::new();
    for (material, _) in knowledge.nutrients().contents() {
        if let Some(made) = makeup(knowledge, &policy, material) {
            let _ = writeln!(
                text,
                "{material}: {}; free in the first year {}",
                short(&made),
                Nutrient::ALL.map(|nutrient| range(made.free_in_year1(nutrient))).join(" "),
            );
        }
    }
    for (_, row) in knowledge.crops.iter() {
        let id = crop(&row.key);
        let needed = need(knowledge, &policy, id);
        let _ = writeln!(
            text,
            "{}: {}; residue ties up {}",
            row.key,
            needed.map_or("-".to_owned(), |need| format!(
                "{} by {:?}, from the air {}",
                need.grams.map(range).join(" "),
                need.basis,
                range(need.fixed_share),
            )),
            residue_ties_up(knowledge, &policy, id),
        );
    }
    insta::assert_snapshot!(text);
}

/// Books carried along from day to day say what books opened for the day alone say.
#[test]
fn carried_books_are_the_same_as_fresh_ones() {
    let policy = Policy::default();
    let garden = garden(true);
    for place in places() {
        let chronicle = Chronicle::of(&garden, knowledge(), &policy, &place);
        // Forward through plantings that stand, end and are picked; then back again.
        for step in (0..30).chain([12, 3, 29]) {
            let on = day("2023-01-15") + chrono::Days::new(33 * step);
            let carried = chronicle.ledger(on);
            let fresh = ledger(&garden, knowledge(), &policy, &place, on);
            assert_eq!(format!("{carried:?}"), format!("{fresh:?}"), "{place} {on}");
        }
    }
}
