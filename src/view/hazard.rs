//! Hazards of a season in words; every one is worded here and nowhere else.

use super::units::Units;
use super::words;
use crate::assess::season::HazardKind;

/// What goes wrong, in a sentence without its end.
#[must_use]
#[expect(clippy::too_many_lines, reason = "one arm a hazard: a table of words")]
pub fn hazard_words(units: Units, kind: &HazardKind) -> String {
    match kind {
        HazardKind::Killed { chance, screen_c, kill_c, one_in_ten } => {
            let by =
                one_in_ten.map_or_else(String::new, |day| format!("; in one year of ten by {day}"));
            format!(
                "killed by cold before the first harvest: {:.0} % of years have a night at or below {} ({} kills it){by}",
                chance * 100.0,
                units.degrees(*screen_c),
                units.degree_range(*kill_c)
            )
        }
        HazardKind::ShootsFreeze { chance, screen_c, regrowth_days } => format!(
            "young shoots freeze in {:.0} % of years (a night at or below {}); others come up in {:.0} to {:.0} days",
            chance * 100.0,
            units.degrees(*screen_c),
            regrowth_days.low,
            regrowth_days.high
        ),
        HazardKind::HarvestCutShort { kill_c } => {
            format!(
                "in every other year cold ({}) ends the harvest early",
                units.degree_range(*kill_c)
            )
        }
        HazardKind::SoilTooCold { soil_c, least_c } => format!(
            "soil too cold to germinate: about {}, needs {}",
            units.degrees(*soil_c),
            units.degrees(*least_c)
        ),
        HazardKind::SoilTooHot { soil_c, most_c } => format!(
            "soil too hot to germinate: about {}, bears {}",
            units.degrees(*soil_c),
            units.degrees(*most_c)
        ),
        HazardKind::SlowToEmerge { days: Some(days) } => {
            format!("slow to come up: about {days:.0} days")
        }
        HazardKind::SlowToEmerge { days: None } => "does not come up in this soil".to_owned(),
        HazardKind::StartTooCool { mean_c, least_c } => format!(
            "too cool to grow on: mean {} in the first two weeks, grows from {}",
            units.degrees(*mean_c),
            units.degrees(*least_c)
        ),
        HazardKind::TooCool { mean_c, least_c } => format!(
            "too cool throughout: mean {}, grows from {}",
            units.degrees(*mean_c),
            units.degrees(*least_c)
        ),
        HazardKind::TooHot { mean_c, most_c } => format!(
            "too hot as it comes to harvest: mean {}, grows well to {}",
            units.degrees(*mean_c),
            units.degrees(*most_c)
        ),
        HazardKind::NeverReady => "the heat for a harvest does not come together".to_owned(),
        HazardKind::Slow { days, usual } => {
            format!(
                "slow: {days:.0} days to the first harvest, usually {}",
                words::range(usual.low, usual.high)
            )
        }
        HazardKind::SetNightsCold { night_c, least_c } => format!(
            "nights too cold for fruit to set: mean minimum {}, needs {}",
            units.degrees(*night_c),
            units.degree_range(*least_c)
        ),
        HazardKind::SetNightsWarm { night_c, most_c } => format!(
            "nights too warm for fruit to set: mean minimum {}, limit {}",
            units.degrees(*night_c),
            units.degree_range(*most_c)
        ),
        HazardKind::SetDaysHot { day_c, most_c } => format!(
            "days too hot for fruit to set: mean maximum {}, limit {}",
            units.degrees(*day_c),
            units.degree_range(*most_c)
        ),
        HazardKind::RipeningStops { night_c, day_c } => format!(
            "ripening stops: two weeks with nights of {} and days of {}",
            units.degrees(*night_c),
            units.degrees(*day_c)
        ),
        HazardKind::RipeningSlow { mean_c, least_c } => {
            format!(
                "ripens slowly: mean {}, slow below {}",
                units.degrees(*mean_c),
                units.degrees(*least_c)
            )
        }
        HazardKind::NoRed { day_c, most_c } => format!(
            "red does not form: mean maximum {}, limit {}",
            units.degrees(*day_c),
            units.degrees(*most_c)
        ),
        HazardKind::LittleLight { light, least } => format!(
            "little light: {light:.0} mol/m2 a day, wants {}",
            words::range(least.low, least.high)
        ),
        HazardKind::ShortDays { days, hours } => format!(
            "{} shorter than {} hours slow it",
            words::count(*days, "day"),
            words::number(*hours)
        ),
        HazardKind::BoltsAfterCold { days, below_c } => format!(
            "may bolt: {} below {} once past its youth",
            words::count(*days, "day"),
            units.degrees(*below_c)
        ),
        HazardKind::BoltsInLongDays { hours, from } => format!(
            "may bolt: days of {hours:.1} hours at harvest, bolts from {} hours",
            words::range(from.low, from.high)
        ),
        HazardKind::NeverBulbs { longest, hours } => format!(
            "never bulbs: needs days of {} hours, the longest has {longest:.1}",
            words::number(*hours)
        ),
        HazardKind::BulbsSmall { hours, grown } => format!(
            "bulbs while small: days reach {} hours when {:.0} % of it is grown",
            words::number(*hours),
            grown * 100.0
        ),
        HazardKind::LooseHeads { day_c, most_c } => format!(
            "loose heads: mean maximum {} as they form, limit {}",
            units.degrees(*day_c),
            units.degrees(*most_c)
        ),
        HazardKind::Buttons { days, below_c } => format!(
            "may button: {} below {} while young",
            words::count(*days, "day"),
            units.degrees(*below_c)
        ),
    }
}
