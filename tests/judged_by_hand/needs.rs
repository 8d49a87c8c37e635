//! What crops need, from the printed figures: the German fertiliser ordinance's cabbage, FAO's tomato.

use breakcrop::climate::Climate;
use breakcrop::estimate::Estimate;
use breakcrop::knowledge::CropId;
use breakcrop::policy::Policy;
use breakcrop::season::Date;
use breakcrop::state::nutrients::{
    Need, NeedBasis, Nutrient, fixed_share, grown_by, need, removed_per_kg, typical_yield,
};
use pretty_assertions::assert_eq;

use crate::support::garden_of;
use crate::{day, knowledge, like, near};

fn crop(key: &str) -> CropId {
    knowledge().crops.find(key).unwrap_or_else(|| panic!("{key}"))
}

/// The most that comes from the air goes with the least that must come from the soil.
#[test]
fn what_the_air_gives_the_soil_need_not() {
    let need = Need {
        grams: [Estimate::new(10.0, 20.0, 30.0), Estimate::ONE, Estimate::ONE],
        basis: NeedBasis::Printed,
        citation: None,
        fixed_share: Estimate::new(0.2, 0.5, 0.8),
    };
    like(need.from_soil(), Estimate::new(2.0, 10.0, 24.0), "from the soil");
}

#[test]
fn printed_needs_come_before_what_the_harvest_takes() {
    let policy = Policy::default();
    let of = |key| need(knowledge(), &policy, crop(key)).expect("published");
    // Cabbage: 260 to 320 kg N/ha; 4.48 to 10 kg/m2 at 0.32 g P and 2.99 g K a kilogram.
    let cabbage = of("cabbage");
    assert_eq!(cabbage.basis, NeedBasis::Printed);
    like(cabbage.grams[0], Estimate::between(26.0, 32.0), "cabbage, N");
    let harvest = Estimate::between(4.48, 10.0);
    like(typical_yield(knowledge(), crop("cabbage")).expect("printed"), harvest, "cabbage");
    like(cabbage.grams[1], harvest.map(|kg| kg * 0.32), "cabbage, P");
    like(cabbage.grams[2], harvest.map(|kg| kg * 2.99), "cabbage, K");
    like(cabbage.from_soil(), cabbage.grams[0], "no legume");
    for (nutrient, grams) in
        [(Nutrient::Nitrogen, 2.0), (Nutrient::Phosphorus, 0.32), (Nutrient::Potassium, 2.99)]
    {
        let taken = removed_per_kg(knowledge(), crop("cabbage"), nutrient).expect("printed");
        near(taken.likely, grams, nutrient.sign());
    }
    // Peas: 85 kg/ha, part of it from the air.
    let pea = of("pea");
    like(pea.grams[0], Estimate::exact(8.5), "pea, N");
    let air = policy.fixation_unknown;
    like(pea.fixed_share, air, "pea");
    assert!(pea.from_soil().high < 8.5);
    like(fixed_share(knowledge(), &policy, crop("cabbage")), Estimate::ZERO, "cabbage");
    // Covers, weeds and fungi are not fed.
    for key in ["cereal_rye", "lambsquarters", "oyster_mushroom"] {
        assert_eq!(need(knowledge(), &policy, crop(key)), None, "{key}");
    }
}

/// Printed days are days of good growth: in a mild winter spinach set in November stands until spring,
/// in June it goes by its days or a little more, and garlic's printed days hold its winter already.
#[test]
fn a_crop_is_grown_by_the_warmth_of_its_site() {
    let months =
        [(1, 8), (1, 10), (3, 13), (4, 16), (7, 20), (10, 23), (12, 28), (12, 28), (9, 25)]
            .into_iter()
            .chain([(5, 18), (3, 11), (1, 8)]);
    let rows: Vec<String> =
        (1..).zip(months).map(|(month, (low, high))| format!("{month},{low},{high}\n")).collect();
    let rows = rows.concat();
    let files = [
        ("site.csv", "name,latitude,longitude\nby hand,44.6,-123.2\n".to_owned()),
        ("climate.csv", format!("month,tmin_c,tmax_c\n{rows}")),
    ];
    let garden = garden_of(knowledge(), files, "by hand");
    let climate = Climate::of(&garden).expect("twelve months");
    let policy = Policy::default();
    let days = |key: &str, from: &str| {
        let by = |climate| grown_by(knowledge(), &policy, climate, crop(key), day(from));
        let count = |date: Date| (date - day(from)).num_days();
        let (warmth, printed) = (count(by(Some(&climate))), count(by(None)));
        println!("{key} {from}: {warmth} days by warmth, {printed} printed");
        (warmth, printed)
    };
    let (winter, printed) = days("spinach", "2025-11-05");
    assert!((120..=215).contains(&winter) && printed < 70, "{winter} {printed}");
    let (summer, printed) = days("spinach", "2025-06-05");
    assert!(summer >= printed - 6 && summer <= printed + 10, "{summer} {printed}");
    let (winter, printed) = days("garlic", "2025-10-20");
    assert_eq!(winter, printed);
}

/// Days to maturity, the most of them, and the first half of the picking, of it no more than sixty.
#[test]
fn a_crop_is_grown_by_its_days_and_half_of_its_picking() {
    for (key, from, by) in [
        // 100 and 60 / 2; 110 and 21 / 2; 85 and 60 / 2; 150 and 60 / 2.
        ("tomato", "2025-05-01", "2025-09-08"),
        ("cabbage", "2025-05-01", "2025-08-29"),
        ("carrot", "2025-05-01", "2025-08-24"),
        ("leek", "2025-05-01", "2025-10-28"),
    ] {
        assert_eq!(
            grown_by(knowledge(), &Policy::default(), None, crop(key), day(from)),
            day(by),
            "{key}"
        );
    }
}
