//! What the years show: how soon families come back, how much of the time belongs to legumes and
//! how much to nobody, what nutrients came and went, how doses rise and fall, and how plants that
//! stood side by side fared. A few years are a small sample, and what they allow to say is said.

mod balance;
mod contests;
mod doses;
mod ground;
mod returns;

pub use balance::{Balance, balances};
pub use contests::{Contest, Match, Side, Sides, contests};
pub use doses::{DoseTrend, DoseYear, dose_trends};
pub use ground::{GroundYear, ground};
pub use returns::{FamilyReturns, Return, family_returns};

use chrono::Datelike;

use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Bed, Garden};
use crate::season::{DAYS_PER_YEAR, Date};

/// A year of the whole garden, every bed by its area.
#[derive(Clone, Debug)]
pub struct YearTrend {
    /// The calendar year.
    pub year: i32,
    /// Days of the year on record, mean of the beds that are on record at all.
    pub days: f64,
    /// Days on which nothing stood and nothing covered the soil, containers left out, for a whole
    /// year.
    pub bare_days: f64,
    /// Share of the time under plants in which a legume was among them; `None` if nothing stood.
    pub legumes: Option<f64>,
    /// What came and went, g/m2.
    pub balance: Balance,
}

/// One bed over the years.
#[derive(Clone, Debug)]
pub struct BedTrend<'g> {
    /// The bed.
    pub bed: &'g Bed,
    /// First day on record.
    pub from: Date,
    /// Its years.
    pub years: Vec<GroundYear>,
    /// What came and went by year, g/m2.
    pub balances: Vec<(i32, Balance)>,
    /// How soon families came back, all of them.
    pub returns: Vec<Return<'g>>,
}

impl BedTrend<'_> {
    /// Bare days of a whole year, the mean of the years on record.
    #[must_use]
    pub fn bare_days(&self) -> f64 {
        per_year(&self.years)
    }

    /// Share of the time under plants with a legume among them.
    #[must_use]
    pub fn legumes(&self) -> Option<f64> {
        legume_share(&self.years)
    }

    /// The soonest return.
    #[must_use]
    pub fn soonest(&self) -> Option<&Return<'_>> {
        self.returns.iter().min_by(|a, b| a.free_years.total_cmp(&b.free_years))
    }

    /// What came and went in a year of the bed, mean of the years on record.
    #[must_use]
    pub fn balance(&self) -> Balance {
        let days: f64 = self.years.iter().map(|year| year.days).sum();
        let sum: Balance = self.balances.iter().map(|(_, balance)| *balance).sum();
        sum * (DAYS_PER_YEAR / days.max(1.0))
    }
}

/// What the years show.
#[derive(Clone, Debug)]
pub struct Trend<'g> {
    /// The garden by year.
    pub years: Vec<YearTrend>,
    /// The beds on record, in their order.
    pub beds: Vec<BedTrend<'g>>,
    /// How soon families came back, over all beds.
    pub families: Vec<FamilyReturns<'g>>,
    /// How the doses went.
    pub doses: Vec<DoseTrend>,
    /// What stood side by side.
    pub contests: Vec<Contest<'g>>,
}

/// The years up to a day.
#[must_use]
pub fn trend<'g>(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &'g Garden,
    today: Date,
) -> Trend<'g> {
    let beds: Vec<BedTrend<'g>> = garden
        .beds
        .iter()
        .filter_map(|bed| {
            let place = crate::records::Place::whole(&bed.name);
            let from = garden.known_from(&place).filter(|from| *from < today)?;
            Some(BedTrend {
                bed,
                from,
                years: ground(knowledge, garden, bed, from, today),
                balances: balances(knowledge, policy, garden, bed, today),
                returns: returns::returns(knowledge, policy, garden, &bed.name, today),
            })
        })
        .collect();
    Trend {
        years: years(&beds),
        families: family_returns(&beds),
        doses: dose_trends(knowledge, policy, garden, today),
        contests: contests(knowledge, garden, today),
        beds,
    }
}

fn per_year(years: &[GroundYear]) -> f64 {
    let (bare, days) =
        years.iter().fold((0.0, 0.0), |(bare, days), year| (bare + year.bare, days + year.days));
    bare / f64::max(days, 1.0) * DAYS_PER_YEAR
}

fn legume_share(years: &[GroundYear]) -> Option<f64> {
    let (legumes, planted) = years.iter().fold((0.0, 0.0), |(legumes, planted), year| {
        (legumes + year.legumes, planted + year.planted)
    });
    (planted > 0.0).then(|| legumes / planted)
}

/// The garden by year.
fn years(beds: &[BedTrend<'_>]) -> Vec<YearTrend> {
    let all: Vec<i32> =
        beds.iter().flat_map(|bed| bed.years.iter().map(|year| year.year)).collect();
    let (Some(first), Some(last)) = (all.iter().min(), all.iter().max()) else {
        return Vec::new();
    };
    (*first..=*last)
        .map(|year| {
            let (mut area, mut days, mut planted, mut legumes) = (0.0, 0.0, 0.0, 0.0);
            let (mut bare, mut bare_of) = (0.0, 0.0);
            let mut balance = Balance::default();
            for bed in beds {
                let ground = bed.bed.area().0;
                let Some(here) = bed.years.iter().find(|here| here.year == year) else { continue };
                area += ground;
                days += ground * here.days;
                planted += ground * here.planted;
                legumes += ground * here.legumes;
                if bed.bed.kind != crate::records::BedKind::Container {
                    bare += ground * here.bare;
                    bare_of += ground * here.days;
                }
                if let Some((_, of_bed)) = bed.balances.iter().find(|(at, _)| *at == year) {
                    balance = balance + *of_bed * ground;
                }
            }
            YearTrend {
                year,
                days: days / f64::max(area, 1e-9),
                bare_days: bare / f64::max(bare_of, 1e-9) * DAYS_PER_YEAR,
                legumes: (planted > 0.0).then(|| legumes / planted),
                balance: balance * (1.0 / f64::max(area, 1e-9)),
            }
        })
        .collect()
}

/// The calendar years from one day to the day before another, each with its part of the days.
fn calendar_years(from: Date, to: Date) -> impl Iterator<Item = (i32, Date, Date)> {
    (from.year()..=to.year()).filter_map(move |year| {
        let first = Date::from_ymd_opt(year, 1, 1)?.max(from);
        let end = Date::from_ymd_opt(year + 1, 1, 1)?.min(to);
        (first < end).then_some((year, first, end))
    })
}
