//! What can go wrong with a planting, with dates and figures.
//!
//! Each question is one small function over the crop's steps. A hazard forbids a start, harms it,
//! or is worth knowing; where the tables have no figure for a crop nothing is said of it.

use super::course::{CropYear, Steps};
use super::{limits, stages};
use crate::estimate::Estimate;
use crate::knowledge::Citation;
use crate::season::Date;

/// How much a hazard weighs; the order is that of a list of hazards.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HazardEffect {
    /// No harvest to speak of: the day lies outside the window.
    Forbids,
    /// A poorer or later harvest.
    Harms,
    /// Worth knowing.
    Tells,
}

/// What goes wrong. Temperatures in degrees Celsius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HazardKind {
    /// Cold kills it before the first harvest.
    Killed {
        /// Chance of it.
        chance: f64,
        /// Temperature at the screen that does it.
        screen_c: f64,
        /// Temperature that kills the plant.
        kill_c: Estimate,
        /// First day by which it has happened in one year of ten.
        one_in_ten: Option<Date>,
    },
    /// Cold takes the young shoots, and others come up from what was planted.
    ShootsFreeze {
        /// Chance of it.
        chance: f64,
        /// Temperature at the screen that does it.
        screen_c: f64,
        /// Days until others are up.
        regrowth_days: Estimate,
    },
    /// Cold ends the harvest early.
    HarvestCutShort {
        /// Temperature that kills the plant.
        kill_c: Estimate,
    },
    /// The soil is too cold for the seed.
    SoilTooCold {
        /// Soil on the day.
        soil_c: f64,
        /// Least it needs.
        least_c: f64,
    },
    /// The soil is too hot for the seed.
    SoilTooHot {
        /// Soil on the day.
        soil_c: f64,
        /// Most it bears.
        most_c: f64,
    },
    /// Seed lies long before it comes up.
    SlowToEmerge {
        /// Days; `None` if not within four months.
        days: Option<f64>,
    },
    /// The weeks after the start are too cool for it to grow on.
    StartTooCool {
        /// Mean of the first two weeks.
        mean_c: f64,
        /// Lowest mean it grows at.
        least_c: f64,
    },
    /// The whole time is too cool.
    TooCool {
        /// Mean from start to first harvest.
        mean_c: f64,
        /// Lowest mean it grows at.
        least_c: f64,
    },
    /// Too hot as it comes to harvest.
    TooHot {
        /// Mean of the weeks about the first harvest.
        mean_c: f64,
        /// Highest mean it grows well at.
        most_c: f64,
    },
    /// The heat for a harvest does not come together.
    NeverReady,
    /// It takes much longer than published.
    Slow {
        /// Days to the likely first harvest.
        days: f64,
        /// Published.
        usual: Estimate,
    },
    /// Nights too cold for fruit to set.
    SetNightsCold {
        /// Mean minimum as fruit sets.
        night_c: f64,
        /// Limits published, lowest to highest.
        least_c: Estimate,
    },
    /// Nights too warm for fruit to set.
    SetNightsWarm {
        /// Mean minimum as fruit sets.
        night_c: f64,
        /// Limits published.
        most_c: Estimate,
    },
    /// Days too hot for fruit to set.
    SetDaysHot {
        /// Mean maximum as fruit sets.
        day_c: f64,
        /// Limits published.
        most_c: Estimate,
    },
    /// Fruit no longer ripens.
    RipeningStops {
        /// Mean minimum of the two weeks.
        night_c: f64,
        /// Mean maximum of the two weeks.
        day_c: f64,
    },
    /// Fruit ripens slowly.
    RipeningSlow {
        /// Mean of the two weeks.
        mean_c: f64,
        /// Below this it is slow.
        least_c: f64,
    },
    /// Red does not form in the heat.
    NoRed {
        /// Mean maximum.
        day_c: f64,
        /// Above this none forms.
        most_c: f64,
    },
    /// Too little light.
    LittleLight {
        /// Light of a day, mol/m2.
        light: f64,
        /// Least published for the kind.
        least: Estimate,
    },
    /// Days under ten hours slow it.
    ShortDays {
        /// How many until the first harvest.
        days: usize,
        /// Hours that count as short.
        hours: f64,
    },
    /// Cold after youth makes it bolt.
    BoltsAfterCold {
        /// Days below the trigger.
        days: usize,
        /// Trigger.
        below_c: f64,
    },
    /// Long days make it bolt.
    BoltsInLongDays {
        /// Hours at the first harvest.
        hours: f64,
        /// Published length at which it bolts.
        from: Estimate,
    },
    /// The days never get long enough for a bulb.
    NeverBulbs {
        /// Longest day met.
        longest: f64,
        /// Hours needed.
        hours: f64,
    },
    /// It bulbs while still small.
    BulbsSmall {
        /// Hours needed.
        hours: f64,
        /// Share of its growth by then.
        grown: f64,
    },
    /// Heads loosen in the heat.
    LooseHeads {
        /// Mean maximum as it heads.
        day_c: f64,
        /// Limit.
        most_c: f64,
    },
    /// Cold makes young plants head too early.
    Buttons {
        /// Days below the limit while young.
        days: usize,
        /// Limit.
        below_c: f64,
    },
}

/// One thing that can go wrong.
#[derive(Clone, Debug)]
pub struct Hazard<'k> {
    /// What.
    pub kind: HazardKind,
    /// How much it weighs.
    pub effect: HazardEffect,
    /// First day of it.
    pub from: Date,
    /// Last day of it.
    pub to: Date,
    /// Source of the limit; `None` where the limit is a choice of policy.
    pub citation: Option<&'k Citation>,
}

/// A hazard before its dates: kind, effect, first and last step, source.
pub(super) type Found<'k> = (HazardKind, HazardEffect, usize, usize, Option<&'k Citation>);

pub(super) fn hazards<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Hazard<'k>> {
    let found = [
        limits::killed(year, steps),
        limits::shoots(year, steps),
        limits::soil(year, steps),
        limits::start(year, steps),
        limits::growth(year, steps),
        limits::pace(year, steps),
        stages::fruit_set(year, steps),
        stages::ripening(year, steps),
        stages::light(year, steps),
        stages::bolting(year, steps),
        stages::bulbing(year, steps),
        stages::heading(year, steps),
        limits::cut_short(year, steps),
    ];
    found
        .into_iter()
        .flatten()
        .map(|(kind, effect, from, to, citation)| Hazard {
            kind,
            effect,
            from: year.days.date(from),
            to: year.days.date(to),
            citation,
        })
        .collect()
}

/// The step up to which the crop must live and thrive: the likely first harvest; a few weeks where
/// no harvest is asked for.
pub(super) fn until(year: &CropYear<'_, '_>, steps: &Steps) -> usize {
    steps.harvest[1].unwrap_or(steps.at + year.policy.establishing_days)
}
