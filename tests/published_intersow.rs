//! Company between standing plants against every trial that gives the direction of its effect on the
//! crop's yield.

mod support;

use breakcrop::advise::intersow::{Restraint, canopy, rival, yield_change};
use breakcrop::knowledge::{Knowledge, Turn, UndersowingKind};
use breakcrop::policy::Policy;
use support::published;

/// Which way the model turns the yield in a trial, and by how much.
fn ours(knowledge: &Knowledge, policy: &Policy, row: &support::Row) -> (Turn, f64) {
    let crop = knowledge
        .crops
        .find(row.get("main_crop"))
        .or_else(|| knowledge.crops.find("cabbage"))
        .expect("a crop");
    let cover = knowledge.crops.find(row.get("rival")).expect("a cover");
    let mut company = rival(knowledge, policy, cover);
    let plain = company;
    for word in row.get("kept").split(';').filter(|word| !word.is_empty()) {
        let restraint = match word {
            "mown" => Restraint::Mown,
            "paths" => Restraint::InPaths,
            "low" => Restraint::LowKind,
            "rich" => Restraint::RichSoil,
            other => panic!("{other}"),
        };
        company = company.kept(policy, restraint);
    }
    let after = row.number("sown_after_days").expect("days");
    let whole = row.number("crop_days").expect("days");
    let of = |rival| yield_change(policy, canopy(knowledge, crop), rival, after, whole).likely;
    let change = match row.get("against") {
        "bare" => of(company),
        "unmown" => of(company) - of(plain),
        other => panic!("{other}"),
    };
    let told = policy.company_loss_told;
    let turn = if change < -told {
        Turn::Lowers
    } else if change > 0.01 {
        Turn::Raises
    } else {
        Turn::Neutral
    };
    (turn, change)
}

#[test]
fn directions_of_the_trials() {
    let knowledge = Knowledge::embedded();
    let policy = Policy::default();
    let (rows, is_own) = published("intersow_trials.csv");
    let (mut right, mut wrong) = (0, Vec::new());
    for row in &rows {
        let (turn, change) = ours(&knowledge, &policy, row);
        let printed = row.get("effect");
        let agrees = turn.word() == printed;
        right += usize::from(agrees);
        println!(
            "{} with {} ({}): printed {printed}, ours {} ({:+.0} %){}{}",
            row.get("main_crop"),
            row.get("cover"),
            row.get("timing"),
            turn.word(),
            change * 100.0,
            if agrees { "" } else { "   <-- WRONG" },
            if row.get("note").is_empty() {
                String::new()
            } else {
                format!("   [{}]", row.get("note"))
            },
        );
        if !agrees {
            wrong.push(format!("{} {}", row.get("main_crop"), row.get("timing")));
        }
    }
    println!("intersow trials: {right}/{} directions right; wrong: {wrong:?}", rows.len());
    if is_own {
        // Every row of the table that gives a direction is here.
        let given = knowledge
            .undersowings()
            .iter()
            .filter(|row| row.effect.is_some())
            .filter(|row| matches!(row.kind, UndersowingKind::Trial | UndersowingKind::Review))
            .count();
        assert_eq!(rows.len(), given);
        // One trial of peas in chile lost yield in one year of three, under the same treatment.
        assert!(wrong.len() <= 1, "{wrong:?}");
    }
}

/// The same cover costs less the later it comes, and nothing at the end; a thin canopy bears less.
#[test]
fn later_company_costs_no_more() {
    let knowledge = Knowledge::embedded();
    let policy = Policy::default();
    let crop = |key| knowledge.crops.find(key).unwrap_or_else(|| panic!("{key}"));
    let clover = rival(&knowledge, &policy, crop("white_clover"));
    for (main, whole) in [("pepper", 120), ("leek", 150), ("pumpkin", 110)] {
        let canopy = canopy(&knowledge, crop(main));
        let mut last = f64::NEG_INFINITY;
        for after in (-40..=whole).step_by(5) {
            let change = yield_change(&policy, canopy, clover, f64::from(after), f64::from(whole));
            assert!(change.low <= change.likely && change.high <= 0.0);
            assert!(change.likely >= last - 1e-12, "{main} {after}");
            last = change.likely;
        }
        assert!(last.abs() < 1e-12, "{main}: at the end it costs nothing");
    }
    let early =
        |main| yield_change(&policy, canopy(&knowledge, crop(main)), clover, 0.0, 120.0).likely;
    assert!(early("leek") < early("pepper") && early("pepper") < early("pumpkin"));
}
