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

/// What makes two rows the same treatment in the same trial: only the year differs.
fn treatment(row: &support::Row) -> [&str; 6] {
    ["main_crop", "cover", "sown_after_days", "kept", "against", "source"].map(|name| row.get(name))
}

/// Years of one treatment that went different ways give no direction: nobody could be right in all of
/// them. They are printed and not asked, as in the rotation trials.
#[test]
fn directions_of_the_trials() {
    let knowledge = Knowledge::embedded();
    let policy = Policy::default();
    let (rows, is_own) = published("intersow_trials.csv");
    let (mut right, mut asked, mut wrong) = (0, 0, Vec::new());
    for row in &rows {
        let gives_one = rows
            .iter()
            .filter(|other| treatment(other) == treatment(row))
            .all(|other| other.get("effect") == row.get("effect"));
        let (turn, change) = ours(&knowledge, &policy, row);
        let printed = row.get("effect");
        let agrees = turn.word() == printed;
        asked += usize::from(gives_one);
        right += usize::from(agrees && gives_one);
        println!(
            "{} with {} ({}): printed {printed}, ours {} ({:+.0} %){}{}",
            row.get("main_crop"),
            row.get("cover"),
            row.get("timing"),
            turn.word(),
            change * 100.0,
            match (gives_one, agrees) {
                (true, true) => "",
                (true, false) => "   <-- WRONG",
                (false, _) => "   not asked, its years went different ways",
            },
            if row.get("note").is_empty() {
                String::new()
            } else {
                format!("   [{}]", row.get("note"))
            },
        );
        if gives_one && !agrees {
            wrong.push(format!("{} {}", row.get("main_crop"), row.get("timing")));
        }
    }
    println!("intersow trials: {right}/{asked} directions right; wrong: {wrong:?}");
    if is_own {
        // Every row of the table that gives a direction is here.
        let given = knowledge
            .undersowings()
            .iter()
            .filter(|row| row.effect.is_some())
            .filter(|row| matches!(row.kind, UndersowingKind::Trial | UndersowingKind::Review))
            .count();
        assert_eq!(rows.len(), given);
        assert!(rows.len() - asked <= 2, "only the peas in chile went different ways");
        assert!(wrong.is_empty(), "{wrong:?}");
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
