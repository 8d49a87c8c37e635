//! Plants that stood side by side in one season: grafted against their own roots, variety against
//! variety.
//!
//! Only what was set within a month of each other is compared, and only up to the age that both
//! reached, so that neither a better spring nor a longer life decides; what lived about as long is
//! compared whole, since roots and bulbs are lifted at once. One season is one case,
//! however many plants it held: they shared its weather. What stood in other beds had other soil,
//! which is said.

use chrono::Datelike;
use itertools::Itertools;

use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, Role};
use crate::records::{Extent, Garden, Observation, Planting, Seen};
use crate::sample;
use crate::season::Date;

/// Days within which two plantings are of one season.
const SAME_SEASON_DAYS: i64 = 31;
/// Lives that differ by no more than this factor are compared whole.
const ABOUT_AS_LONG: f64 = 1.15;

/// The two sides of a contest.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sides {
    /// Grafted, against the same variety on its own roots.
    Grafted,
    /// One variety against another, by name.
    Varieties(Box<str>, Box<str>),
}

impl Sides {
    /// Whether they are the same two; names are compared without regard to capitals.
    fn are_the_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Grafted, Self::Grafted) => true,
            (Self::Varieties(a, b), Self::Varieties(c, d)) => {
                a.to_lowercase() == c.to_lowercase() && b.to_lowercase() == d.to_lowercase()
            }
            (Self::Grafted, Self::Varieties(..)) | (Self::Varieties(..), Self::Grafted) => false,
        }
    }
}

/// One side in one season.
#[derive(Clone, Debug)]
pub struct Side<'g> {
    /// Its plantings.
    pub plantings: Vec<&'g Planting>,
    /// Picked by the age that both sides reached, kg/m2, mean; `None` if nothing was weighed.
    pub picked: Option<f64>,
    /// The worst that was seen of a disease of the bed by that age.
    pub sick: Option<&'g Observation>,
    /// Whether somebody looked at it by that age.
    pub looked_at: bool,
}

/// Both sides in one season.
#[derive(Clone, Debug)]
pub struct Match<'g> {
    /// The year in which they were set.
    pub year: i32,
    /// Days to which both are compared; of two that lived about as long, the whole life.
    pub age_days: i64,
    /// Whether both stood in one bed.
    pub same_bed: bool,
    /// The one.
    pub one: Side<'g>,
    /// The other.
    pub other: Side<'g>,
}

impl Match<'_> {
    /// What the one gave for each part of the other.
    #[must_use]
    pub fn ratio(&self) -> Option<f64> {
        Some(self.one.picked? / self.other.picked?)
    }
}

/// A contest over the seasons.
#[derive(Clone, Debug)]
pub struct Contest<'g> {
    /// The crop.
    pub crop: CropId,
    /// Who against whom.
    pub sides: Sides,
    /// The seasons, by year.
    pub matches: Vec<Match<'g>>,
}

impl Contest<'_> {
    /// What the one gives for each part of the other: the mean over the seasons (of logarithms),
    /// with its interval (95 %); `None` for fewer than two seasons.
    #[must_use]
    pub fn ratio(&self) -> Option<Estimate> {
        let logarithms: Vec<f64> =
            self.matches.iter().filter_map(Match::ratio).map(f64::ln).collect();
        sample::mean(&logarithms).map(|mean| mean.map(f64::exp))
    }

    /// Seasons in which each side fell sick of a disease of the bed, of those in which it was looked
    /// at.
    #[must_use]
    pub fn sick(&self) -> ((usize, usize), (usize, usize)) {
        let of = |side: fn(&Match<'_>) -> (bool, bool)| {
            let looked = self.matches.iter().map(side).filter(|(looked, _)| *looked);
            looked.fold((0, 0), |(sick, all), (_, is)| (sick + usize::from(is), all + 1))
        };
        (
            of(|one| (one.one.looked_at, one.one.sick.is_some())),
            of(|one| (one.other.looked_at, one.other.sick.is_some())),
        )
    }
}

/// The contests of a garden's records, grafts first, then by crop and name.
#[must_use]
pub fn contests<'g>(knowledge: &Knowledge, garden: &'g Garden, today: Date) -> Vec<Contest<'g>> {
    let mut contests: Vec<Contest<'g>> = Vec::new();
    for season in seasons(knowledge, garden, today) {
        for (sides, one, other) in opponents(&season) {
            let Some(found) = compare(knowledge, garden, today, one, other) else { continue };
            let crop = season[0].crop;
            let known = contests
                .iter_mut()
                .find(|known| known.crop == crop && known.sides.are_the_same(&sides));
            match known {
                Some(known) => known.matches.push(found),
                None => contests.push(Contest { crop, sides, matches: vec![found] }),
            }
        }
    }
    contests.sort_by(|a, b| {
        let name = |contest: &Contest<'_>| &knowledge.crops[contest.crop].name;
        (a.sides != Sides::Grafted, name(a), &a.sides).cmp(&(
            b.sides != Sides::Grafted,
            name(b),
            &b.sides,
        ))
    });
    contests
}

/// Plantings of one crop that were set within a month of the first of them.
fn seasons<'g>(knowledge: &Knowledge, garden: &'g Garden, today: Date) -> Vec<Vec<&'g Planting>> {
    let mut seasons: Vec<Vec<&Planting>> = Vec::new();
    for planting in &garden.plantings {
        let role = knowledge.crops[planting.crop].role;
        if planting.is_volunteer()
            || planting.planted() > today
            || matches!(role, Role::Cover | Role::Weed | Role::Fungus)
        {
            continue;
        }
        let open = seasons.iter_mut().rfind(|season| season[0].crop == planting.crop);
        match open {
            Some(season)
                if (planting.planted() - season[0].planted()).num_days() <= SAME_SEASON_DAYS =>
            {
                season.push(planting);
            }
            _ => seasons.push(vec![planting]),
        }
    }
    seasons
}

type Opponents<'g> = (Sides, Vec<&'g Planting>, Vec<&'g Planting>);

/// Who stands against whom in a season.
fn opponents<'g>(season: &[&'g Planting]) -> Vec<Opponents<'g>> {
    let key = |planting: &Planting| planting.variety.to_lowercase();
    let varieties: Vec<String> = season.iter().map(|one| key(one)).sorted().dedup().collect();
    let of = |variety: &str, grafted: bool| -> Vec<&'g Planting> {
        season
            .iter()
            .copied()
            .filter(|one| key(one) == variety && one.rootstock.is_empty() != grafted)
            .collect()
    };
    let mut found = Vec::new();
    let (mut grafted, mut own) = (Vec::new(), Vec::new());
    for variety in &varieties {
        let (here, there) = (of(variety, true), of(variety, false));
        if !here.is_empty() && !there.is_empty() {
            grafted.extend(here);
            own.extend(there);
        }
    }
    if !grafted.is_empty() {
        found.push((Sides::Grafted, grafted, own));
    }
    for [one, other] in varieties.iter().array_combinations() {
        let (here, there) = (of(one, false), of(other, false));
        if !one.is_empty() && !here.is_empty() && !there.is_empty() {
            let sides = Sides::Varieties(here[0].variety.clone(), there[0].variety.clone());
            found.push((sides, here, there));
        }
    }
    found
}

fn compare<'g>(
    knowledge: &Knowledge,
    garden: &'g Garden,
    today: Date,
    one: Vec<&'g Planting>,
    other: Vec<&'g Planting>,
) -> Option<Match<'g>> {
    let age = |planting: &&Planting| (planting.stood.end_by(today) - planting.planted()).num_days();
    let ages = one.iter().chain(&other).map(age);
    let (shortest, longest) = (ages.clone().min()?, ages.max()?);
    let about_as_long = longest as f64 <= shortest as f64 * ABOUT_AS_LONG;
    let age_days = if about_as_long { longest } else { shortest };
    let same_bed = one.iter().chain(&other).map(|planting| &planting.place.bed).all_equal();
    let year = one.iter().chain(&other).map(|planting| planting.planted()).min()?.year();
    let side = |plantings| side(knowledge, garden, plantings, age_days);
    let (one, other) = (side(one), side(other));
    let something =
        one.picked.is_some() && other.picked.is_some() || one.looked_at && other.looked_at;
    something.then_some(Match { year, age_days, same_bed, one, other })
}

fn side<'g>(
    knowledge: &Knowledge,
    garden: &'g Garden,
    plantings: Vec<&'g Planting>,
    age_days: i64,
) -> Side<'g> {
    let picked: Vec<f64> = plantings
        .iter()
        .filter_map(|planting| {
            let until = planting.planted() + chrono::TimeDelta::days(age_days);
            crate::replay::picked(garden, planting, until)
        })
        .collect();
    let looks: Vec<&Observation> = plantings
        .iter()
        .flat_map(|planting| {
            garden.observations.at(&planting.place).filter(|seen| {
                seen.crop == Some(planting.crop)
                    && (0..=age_days).contains(&(seen.date - planting.planted()).num_days())
            })
        })
        .collect();
    let of_the_bed = |seen: &&&Observation| match seen.seen {
        Seen::Pathogen(pathogen) => knowledge.pathogens[pathogen].is_bound_to_bed(),
        Seen::Disorder(_) | Seen::Unknown | Seen::Healthy => false,
    };
    Side {
        picked: (!picked.is_empty()).then(|| picked.iter().sum::<f64>() / picked.len() as f64),
        sick: looks
            .iter()
            .filter(of_the_bed)
            .copied()
            .max_by(|a, b| severity(a.extent).total_cmp(&severity(b.extent))),
        looked_at: looks.iter().any(|seen| seen.seen == Seen::Healthy || of_the_bed(&seen)),
        plantings,
    }
}

/// Extents in their order, percent among the words.
fn severity(extent: Option<Extent>) -> f64 {
    match extent {
        Some(Extent::Trace) => 2.0,
        Some(Extent::Light) | None => 10.0,
        Some(Extent::Moderate) => 30.0,
        Some(Extent::Severe) => 65.0,
        Some(Extent::Percent(percent)) => percent,
    }
}
