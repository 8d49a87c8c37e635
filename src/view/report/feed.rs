//! Nitrogen, phosphorus and potassium free to plants, month by month.

use chrono::Datelike;

use super::super::units::Units;
use super::sheet::Span;
use crate::estimate::Estimate;
use crate::season::{Date, month_name};
use crate::state::BedState;
use crate::state::nutrients::{Ledger, Nutrient, Pool};

/// Months told in the table; the picture goes back as far as the core.
pub(super) const TABLE_MONTHS: usize = 18;

/// A month of the books, g/m2.
#[derive(Clone, Debug)]
pub struct FeedMonth {
    /// First day.
    pub from: Date,
    /// `Oct 2026`.
    pub name: String,
    /// Nitrogen that came free.
    pub n_in: f64,
    /// Nitrogen that left the free pool.
    pub n_out: f64,
    /// What was left free: N, P, K.
    pub left: [Estimate; 3],
}

/// The books of a place.
#[derive(Clone, Debug)]
pub struct FeedLog {
    /// Months of the picture, oldest first.
    pub months: Vec<FeedMonth>,
    /// How many of the last are in the table.
    pub in_table: usize,
    /// The units in which it is shown.
    pub units: Units,
    /// The same in one sentence.
    pub sentence: String,
    /// What would narrow it.
    pub missing: Option<String>,
}

/// The books of a place; `None` if nothing is on record.
pub(super) fn log(units: Units, span: Span, state: &BedState<'_>) -> Option<FeedLog> {
    let ledger: &Ledger = state.nutrients();
    ledger.from?;
    let months: Vec<FeedMonth> = ledger
        .months
        .iter()
        .filter(|month| month.from >= span.from)
        .map(|month| {
            let nitrogen = month.account(Nutrient::Nitrogen);
            FeedMonth {
                from: month.from,
                name: format!("{} {}", month_name(month.from.month()), month.from.year()),
                n_in: nitrogen.into(Pool::Available).likely,
                n_out: nitrogen.out_of(Pool::Available).likely,
                left: Nutrient::ALL
                    .map(|nutrient| month.account(nutrient).closing.of(Pool::Available).range()),
            }
        })
        .collect();
    let holds = |nutrient| ledger.holds(nutrient, Pool::Available).range();
    let tested = ledger.last_test.as_ref().map_or_else(
        || "never tested".to_owned(),
        |(origin, date)| format!("last tested {date} [{origin}]"),
    );
    Some(FeedLog {
        in_table: months.len().min(TABLE_MONTHS),
        months,
        units,
        sentence: format!(
            "Free to plants today: nitrogen {}, phosphorus {}, potassium {} {}; {tested}.",
            units.nutrient_figures(holds(Nutrient::Nitrogen)),
            units.nutrient_figures(holds(Nutrient::Phosphorus)),
            units.nutrient_figures(holds(Nutrient::Potassium)),
            units.over_ground_sign(),
        ),
        missing: ledger
            .last_test
            .is_none()
            .then(|| "A soil test would narrow every figure here.".to_owned()),
    })
}
