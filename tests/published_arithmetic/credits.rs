//! Printed nitrogen credits against what the books free.

use std::fmt::Write as _;

use breakcrop::estimate::Estimate;
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::{Place, RecordKind};
use breakcrop::season::iso_day;
use breakcrop::state::nutrients::{Flow, Ledger, Nutrient, typical_yield};

use super::support::garden_of;

/// Months of a wet temperate year, such as most credits are from.
const CLIMATE: &str = "month,tmin_c,tmax_c,rain_mm\n1,0,8,90\n2,1,10,80\n3,3,13,70\n4,5,16,60\n\
5,8,20,60\n6,12,25,60\n7,15,28,60\n8,14,28,60\n9,11,24,60\n10,7,18,80\n11,3,12,90\n12,1,8,90\n";

/// What the books say a stand dug in gives to the crops of the year after, g/m2: freed from its
/// residue less what it tied up.
fn credit(knowledge: &Knowledge, crop: &str, cover: bool) -> Option<Estimate> {
    let summer = knowledge.crops.find(crop).is_some_and(|crop| {
        knowledge.cover_figures(crop, "season").first().is_some_and(|row| &*row.text == "warm")
    });
    let (from, to, until) = if cover && !summer {
        ("2023-09-01", "2024-05-20", "2025-05-20")
    } else if cover {
        ("2024-05-15", "2024-08-15", "2025-08-15")
    } else {
        ("2024-04-15", "2024-08-15", "2025-08-15")
    };
    // A vegetable is picked at its typical yield, to which the credits are printed.
    let mut harvest = String::from("bed,date,crop,mass_kg\n");
    if !cover && let Some(kg) = typical_yield(knowledge, knowledge.crops.find(crop)?) {
        writeln!(harvest, "b,2024-08-14,{crop},{}", kg.likely * 10.0).ok()?;
    }
    let texts = [
        (RecordKind::Site, "name,latitude,longitude\nx,44,-80\n".to_owned()),
        (RecordKind::Climate, CLIMATE.to_owned()),
        (RecordKind::Beds, "bed,kind,length_m,width_m\nb,ground,10,1\n".to_owned()),
        (
            RecordKind::Plantings,
            format!("bed,crop,planted,removed,residue\nb,{crop},{from},{to},dug_in\n"),
        ),
        // Enough in the soil that the stand is not starved.
        (
            RecordKind::SoilTests,
            format!("bed,date,organic_matter_percent,nitrate_n_ppm\nb,{from},3.5,150\n"),
        ),
        (RecordKind::Harvests, harvest),
    ];
    let garden = garden_of(
        knowledge,
        texts.iter().map(|(kind, text)| (format!("{}.csv", kind.word()), text)),
        crop,
    );
    let on = iso_day(until)?;
    let books = Ledger::at(&garden, knowledge, &Policy::default(), &Place::whole("b"), None, on);
    let freed = books.months.iter().map(|month| {
        let account = month.account(Nutrient::Nitrogen);
        account.moved(Flow::FixedReleased) + account.moved(Flow::ResidueReleased)
            - account.moved(Flow::TiedUp)
    });
    Some(freed.sum::<breakcrop::state::nutrients::Spread>().range())
}

/// Printed nitrogen credits against what the books free. Covers are a test: their credits are used
/// nowhere. Vegetables are a round trip: their residue credits are an input of the books.
#[test]
fn printed_credits_against_the_books() {
    let knowledge = Knowledge::embedded();
    let mut shares = Vec::new();
    for (label, measures, cover) in [
        ("covers", &["first_year_credit", "plant_available", "fertiliser_value"][..], true),
        ("vegetables", &["residue_credit"][..], false),
    ] {
        let (mut overlap, mut total) = (0, 0);
        for row in knowledge.nitrogen_credits() {
            let (Some(crop), Some(printed)) = (row.crop.one(), row.grams_m2()) else { continue };
            let key = &knowledge.crops[crop].key;
            let is_cover = !knowledge.cover_figures(crop, "n_percent_bloom").is_empty();
            if !measures.contains(&&*row.measure) || is_cover != cover {
                continue;
            }
            let Some(ours) = credit(&knowledge, key, cover) else { continue };
            // Figures are compared to the tenth of a gram that a printed kilogram a hectare is.
            let meets = ours.low <= printed.high + 0.05 && printed.low <= ours.high + 0.05;
            total += 1;
            overlap += usize::from(meets);
            println!(
                "{label} {} ({}): printed {:.1} to {:.1}, books {:.1} to {:.1} g/m2{}",
                key,
                row.condition,
                printed.low,
                printed.high,
                ours.low,
                ours.high,
                if meets { "" } else { "   <-- apart" }
            );
        }
        println!("n_credits {label}: {overlap}/{total}");
        shares.push((overlap, total));
    }
    // Alfalfa and the clovers of the cool North are apart for a reason: their credits are of sods of
    // two years and more, the books grow one for a winter.
    assert!(shares[0].0 * 10 >= shares[0].1 * 7, "{shares:?}");
    assert!(shares[1].0 * 10 >= shares[1].1 * 9, "{shares:?}");
}
