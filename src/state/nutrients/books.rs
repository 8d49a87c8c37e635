//! The form of the books: pools, flows between them, accounts by month.
//!
//! Every amount is a [`Spread`] of three columns that are kept apart from the first posting to the
//! last, so that each column closes by itself: opening + inflows - outflows = closing.

use std::ops::{Add, Mul, Sub};

use crate::estimate::Estimate;
use crate::season::Date;

/// A nutrient of the books.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Nutrient {
    /// Nitrogen.
    Nitrogen,
    /// Phosphorus, elemental.
    Phosphorus,
    /// Potassium, elemental.
    Potassium,
}

impl Nutrient {
    /// All, in the order of the accounts.
    pub const ALL: [Self; 3] = [Self::Nitrogen, Self::Phosphorus, Self::Potassium];

    /// The chemical sign.
    #[must_use]
    pub fn sign(self) -> &'static str {
        match self {
            Self::Nitrogen => "N",
            Self::Phosphorus => "P",
            Self::Potassium => "K",
        }
    }
}

/// Where a nutrient is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pool {
    /// Free to plants: mineral nitrogen, extractable phosphorus and potassium.
    Available,
    /// In amendments and residues, on its way to become free.
    Fresh,
    /// In soil organic matter, or bound to the soil.
    Reserve,
    /// In what stands.
    Crop,
    /// Not in the bed: air, water below the roots, compost heap, kitchen.
    Outside,
}

impl Pool {
    /// The pools of the bed.
    pub const OF_BED: [Self; 4] = [Self::Available, Self::Fresh, Self::Reserve, Self::Crop];
}

/// Why a nutrient moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Flow {
    /// Set free from soil organic matter.
    Mineralised,
    /// Put on.
    Amended,
    /// Set free from what was put on.
    AmendmentReleased,
    /// Set free from plant residue that had taken it from the soil: recycled.
    ResidueReleased,
    /// Set free from plant residue that had taken it from the air: new to the bed.
    FixedReleased,
    /// Taken by microbes that rot something poor in nitrogen.
    TiedUp,
    /// Taken up by roots.
    TakenUp,
    /// Taken from the air by root nodules.
    Fixed,
    /// Picked.
    Harvested,
    /// Carried off with the plants.
    CarriedOff,
    /// Left with the residue.
    Returned,
    /// Washed out below the roots.
    Leached,
    /// Lost as gas, or below the roots by watering.
    Lost,
    /// In a harvest though the books had none left: the supply is underrated.
    Unexplained,
    /// Set right by a soil test.
    SetByTest,
}

/// An amount in three columns: as little as may be in the soil, the likely, as much as may be.
/// For supplies lean is the least; for losses lean is the most.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize)]
pub struct Spread {
    /// The lean column.
    pub lean: f64,
    /// The likely column.
    pub likely: f64,
    /// The rich column.
    pub rich: f64,
}

impl Spread {
    /// Nothing.
    pub const ZERO: Self = Self { lean: 0.0, likely: 0.0, rich: 0.0 };

    /// A figure of which more means a richer soil.
    #[must_use]
    pub fn supply(range: Estimate) -> Self {
        Self { lean: range.low, likely: range.likely, rich: range.high }
    }

    /// A figure of which more means a leaner soil.
    #[must_use]
    pub fn loss(range: Estimate) -> Self {
        Self { lean: range.high, likely: range.likely, rich: range.low }
    }

    /// The same in all columns.
    #[must_use]
    pub fn same(value: f64) -> Self {
        Self { lean: value, likely: value, rich: value }
    }

    /// Each column by itself.
    #[must_use]
    pub fn map(self, f: impl Fn(f64) -> f64) -> Self {
        Self { lean: f(self.lean), likely: f(self.likely), rich: f(self.rich) }
    }

    /// Column with column.
    #[must_use]
    pub fn with(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            lean: f(self.lean, other.lean),
            likely: f(self.likely, other.likely),
            rich: f(self.rich, other.rich),
        }
    }

    /// The smaller of each column.
    #[must_use]
    pub fn at_most(self, other: Self) -> Self {
        self.with(other, f64::min)
    }

    /// What is positive in each column.
    #[must_use]
    pub fn positive(self) -> Self {
        self.map(|value| value.max(0.0))
    }

    /// Product column by column.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        self.with(other, |a, b| a * b)
    }

    /// Whether no column holds anything.
    #[must_use]
    pub fn is_nothing(self) -> bool {
        self.lean.abs() + self.likely.abs() + self.rich.abs() <= 0.0
    }

    /// The range over the columns.
    #[must_use]
    pub fn range(self) -> Estimate {
        let low = self.lean.min(self.likely).min(self.rich);
        let high = self.lean.max(self.likely).max(self.rich);
        Estimate { low, likely: self.likely, high }
    }
}

impl Add for Spread {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.with(other, |a, b| a + b)
    }
}

impl Sub for Spread {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.with(other, |a, b| a - b)
    }
}

impl Mul<f64> for Spread {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        self.map(|value| value * factor)
    }
}

impl std::iter::Sum for Spread {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        parts.fold(Self::ZERO, Add::add)
    }
}

/// What the pools of a bed hold of one nutrient, g/m2.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stock {
    pools: [Spread; 4],
}

impl Stock {
    /// What a pool of the bed holds; nothing is known of what lies outside.
    #[must_use]
    pub fn of(&self, pool: Pool) -> Spread {
        match pool {
            Pool::Available => self.pools[0],
            Pool::Fresh => self.pools[1],
            Pool::Reserve => self.pools[2],
            Pool::Crop => self.pools[3],
            Pool::Outside => Spread::ZERO,
        }
    }

    pub(super) fn slot(&mut self, pool: Pool) -> Option<&mut Spread> {
        match pool {
            Pool::Available => Some(&mut self.pools[0]),
            Pool::Fresh => Some(&mut self.pools[1]),
            Pool::Reserve => Some(&mut self.pools[2]),
            Pool::Crop => Some(&mut self.pools[3]),
            Pool::Outside => None,
        }
    }
}

/// One movement of a month, g/m2; never negative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Posting {
    /// Why.
    pub flow: Flow,
    /// From where.
    pub from: Pool,
    /// To where.
    pub to: Pool,
    /// How much.
    pub amount: Spread,
}

/// One nutrient's month.
#[derive(Clone, Debug, PartialEq)]
pub struct Account {
    /// At the start.
    pub opening: Stock,
    /// The movements, summed by kind.
    pub postings: Vec<Posting>,
    /// At the end.
    pub closing: Stock,
}

impl Account {
    pub(super) fn opened(stock: Stock) -> Self {
        Self { opening: stock, postings: Vec::new(), closing: stock }
    }

    /// The account of the next month, with room for as many kinds of movement as there were and two
    /// more, so that it seldom moves.
    pub(super) fn next(&self) -> Self {
        let postings = Vec::with_capacity(self.postings.len() + 2);
        Self { opening: self.closing, postings, closing: self.closing }
    }

    /// Books a movement. Amounts are what is there to move: the caller sees to it that no pool of
    /// the bed is drawn below nothing.
    pub(super) fn post(&mut self, flow: Flow, from: Pool, to: Pool, amount: Spread) {
        if amount.is_nothing() || from == to {
            return;
        }
        if let Some(slot) = self.closing.slot(from) {
            *slot = *slot - amount;
        }
        if let Some(slot) = self.closing.slot(to) {
            *slot = *slot + amount;
        }
        let same = |posting: &&mut Posting| {
            posting.flow == flow && posting.from == from && posting.to == to
        };
        match self.postings.iter_mut().find(same) {
            Some(posting) => posting.amount = posting.amount + amount,
            None => self.postings.push(Posting { flow, from, to, amount }),
        }
    }

    /// All that came into a pool.
    #[must_use]
    pub fn into(&self, pool: Pool) -> Spread {
        self.postings.iter().filter(|one| one.to == pool).map(|one| one.amount).sum()
    }

    /// All that left a pool.
    #[must_use]
    pub fn out_of(&self, pool: Pool) -> Spread {
        self.postings.iter().filter(|one| one.from == pool).map(|one| one.amount).sum()
    }

    /// All of one kind of movement.
    #[must_use]
    pub fn moved(&self, flow: Flow) -> Spread {
        self.postings.iter().filter(|one| one.flow == flow).map(|one| one.amount).sum()
    }

    /// By how much opening + inflows - outflows misses the closing of a pool, the worst column.
    #[must_use]
    pub fn misses(&self, pool: Pool) -> f64 {
        let expected = self.opening.of(pool) + self.into(pool) - self.out_of(pool);
        let miss = (expected - self.closing.of(pool)).map(f64::abs);
        miss.lean.max(miss.likely).max(miss.rich)
    }
}

/// A calendar month, or the part of one that the books cover.
#[derive(Clone, Debug, PartialEq)]
pub struct Month {
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// The accounts of N, P and K.
    pub accounts: [Account; 3],
}

impl Month {
    /// The account of a nutrient.
    #[must_use]
    pub fn account(&self, nutrient: Nutrient) -> &Account {
        &self.accounts[nutrient as usize]
    }
}
