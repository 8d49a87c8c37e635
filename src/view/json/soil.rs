//! The JSON of the nutrient books: frozen structs.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use crate::estimate::Estimate;
use crate::knowledge::PhosphorusClass;
use crate::season::Date;
use crate::state::nutrients::{
    Caution, Feeding, Flow, Ledger, NeedBasis, NotBooked, Nutrient, Pool, Portion,
};

/// A figure of the books with its range, g/m2.
#[derive(Clone, Debug, Serialize)]
pub struct BalanceJson {
    /// nitrogen, phosphorus or potassium.
    pub nutrient: Nutrient,
    /// Came into the free pool.
    pub in_g_m2: Estimate,
    /// Left it.
    pub out_g_m2: Estimate,
    /// Left in it at the end of the month.
    pub balance_g_m2: Estimate,
    /// Every movement of the month, likely figures.
    pub flows: Vec<FlowJson>,
}

/// A movement of a month.
#[derive(Clone, Debug, Serialize)]
pub struct FlowJson {
    /// Its word.
    pub flow: Flow,
    /// Grams a square metre.
    pub g_m2: Estimate,
}

/// A month of the books.
#[derive(Clone, Debug, Serialize)]
pub struct LedgerMonthJson {
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// N, P and K.
    pub nutrients: Vec<BalanceJson>,
}

/// A soil test against the books.
#[derive(Clone, Debug, Serialize)]
pub struct SoilTestCheckJson {
    /// File.
    pub file: String,
    /// Line.
    pub line: u32,
    /// Day.
    pub date: Date,
    /// Which nutrient.
    pub nutrient: Nutrient,
    /// What the books had, g/m2.
    pub booked_g_m2: Estimate,
    /// What the test found, g/m2.
    pub tested_g_m2: Estimate,
    /// Whether they can be compared.
    pub comparable: bool,
    /// Whether they disagree.
    pub contradicts: bool,
}

/// A material for a shortfall.
#[derive(Clone, Debug, Serialize)]
pub struct PortionJson {
    /// Material key.
    pub material: String,
    /// Grams a square metre; null if it gives no nitrogen in its first year.
    pub g_m2: Option<Estimate>,
    /// Grams for the whole place, likely.
    pub grams: Option<f64>,
    /// N that comes along, g/m2.
    pub n_g_m2: Estimate,
    /// P that comes along, g/m2.
    pub p_g_m2: Estimate,
    /// K that comes along, g/m2.
    pub k_g_m2: Estimate,
    /// Phosphorus beyond what the crop takes, g/m2.
    pub phosphorus_over_g_m2: f64,
    /// Whether it may be advised.
    pub advised: bool,
    /// What speaks against it.
    pub cautions: Vec<Caution>,
}

/// A crop's need against the supply.
#[derive(Clone, Debug, Serialize)]
pub struct FeedingJson {
    /// Crop key.
    pub crop: String,
    /// First day.
    pub on: Date,
    /// Day by which it has taken up what it takes.
    pub until: Date,
    /// Nitrogen it needs from the soil, g/m2.
    pub n_need_g_m2: Estimate,
    /// What the need rests on.
    pub basis: NeedBasis,
    /// Phosphorus its harvest takes, g/m2.
    pub p_taken_g_m2: Estimate,
    /// Potassium its harvest takes, g/m2.
    pub k_taken_g_m2: Estimate,
    /// Phosphorus free on the first day, g/m2.
    pub p_free_g_m2: Estimate,
    /// Potassium free on the first day, g/m2.
    pub k_free_g_m2: Estimate,
    /// Phosphorus to put on, g/m2; null without a test that can be read.
    pub p_to_replace_g_m2: Option<Estimate>,
    /// Nitrogen within its reach, g/m2.
    pub n_within_reach_g_m2: Estimate,
    /// Nitrogen short; below nil: over. g/m2.
    pub n_shortfall_g_m2: Estimate,
    /// Part of a full yield if nothing is put on.
    pub yield_fraction: Estimate,
    /// Materials that would fill it.
    pub portions: Vec<PortionJson>,
}

/// The nutrient books of a place.
#[derive(Clone, Debug, Serialize)]
pub struct SoilJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// First day of the books.
    pub from: Option<Date>,
    /// Last day of the books.
    pub to: Date,
    /// Organic matter reckoned with, percent.
    pub organic_matter_percent: Estimate,
    /// Class of the last phosphorus test.
    pub phosphorus_class: Option<PhosphorusClass>,
    /// Months, oldest first.
    pub months: Vec<LedgerMonthJson>,
    /// Soil tests against the books.
    pub tests: Vec<SoilTestCheckJson>,
    /// Amendments that could not be booked, with their lines.
    pub not_booked: Vec<(String, u32, NotBooked)>,
    /// A crop's need, if one was asked for.
    pub feeding: Option<FeedingJson>,
}

fn balance(month: &crate::state::nutrients::Month, nutrient: Nutrient) -> BalanceJson {
    let account = month.account(nutrient);
    let mut flows: Vec<Flow> = account.postings.iter().map(|posting| posting.flow).collect();
    flows.sort_unstable();
    flows.dedup();
    BalanceJson {
        nutrient,
        in_g_m2: account.into(Pool::Available).range(),
        out_g_m2: account.out_of(Pool::Available).range(),
        balance_g_m2: account.closing.of(Pool::Available).range(),
        flows: flows
            .into_iter()
            .map(|flow| FlowJson { flow, g_m2: account.moved(flow).range() })
            .collect(),
    }
}

fn feeding(
    phrases: Phrases<'_>,
    ledger: &Ledger,
    feeding: &Feeding,
    portions: &[Portion],
) -> FeedingJson {
    let portion = |portion: &Portion| PortionJson {
        material: portion.material.to_string(),
        g_m2: portion.grams_m2,
        grams: portion.grams_m2.and_then(|grams| Some(grams.likely * ledger.ground?.0)),
        n_g_m2: portion.brings[0],
        p_g_m2: portion.brings[1],
        k_g_m2: portion.brings[2],
        phosphorus_over_g_m2: portion.phosphorus_over,
        advised: portion.is_advised(),
        cautions: portion.cautions.clone(),
    };
    FeedingJson {
        crop: phrases.knowledge.crops[feeding.crop].key.to_string(),
        on: feeding.supply.from,
        until: feeding.supply.to,
        n_need_g_m2: feeding.need.from_soil(),
        basis: feeding.need.basis,
        p_taken_g_m2: feeding.takes(Nutrient::Phosphorus),
        k_taken_g_m2: feeding.takes(Nutrient::Potassium),
        p_free_g_m2: feeding.supply.others_at_start[0].range(),
        k_free_g_m2: feeding.supply.others_at_start[1].range(),
        p_to_replace_g_m2: feeding.phosphorus_to_replace(ledger),
        n_within_reach_g_m2: feeding.within_reach,
        n_shortfall_g_m2: feeding.shortfall,
        yield_fraction: feeding.yield_fraction,
        portions: portions.iter().map(portion).collect(),
    }
}

/// The books of a place for going out, the last `most` months of them.
#[must_use]
pub fn soil(
    phrases: Phrases<'_>,
    ledger: &Ledger,
    most: usize,
    asked: Option<(&Feeding, &[Portion])>,
) -> SoilJson {
    let skipped = ledger.months.len().saturating_sub(most);
    SoilJson {
        format: FORMAT,
        bed: ledger.place.bed.to_string(),
        section: ledger.place.section.as_deref().map(str::to_owned),
        from: ledger.from,
        to: ledger.to,
        organic_matter_percent: ledger.organic_matter(),
        phosphorus_class: ledger.phosphorus.as_ref().map(|test| test.class),
        months: ledger.months[skipped..]
            .iter()
            .map(|month| LedgerMonthJson {
                from: month.from,
                to: month.to,
                nutrients: Nutrient::ALL.map(|nutrient| balance(month, nutrient)).to_vec(),
            })
            .collect(),
        tests: ledger
            .checks
            .iter()
            .map(|check| SoilTestCheckJson {
                file: check.origin.file.to_string(),
                line: check.origin.line,
                date: check.date,
                nutrient: check.nutrient,
                booked_g_m2: check.booked,
                tested_g_m2: check.tested,
                comparable: check.comparable,
                contradicts: check.contradicts(),
            })
            .collect(),
        not_booked: ledger
            .unbooked
            .iter()
            .map(|one| (one.origin.file.to_string(), one.origin.line, one.why))
            .collect(),
        feeding: asked.map(|(asked, portions)| feeding(phrases, ledger, asked, portions)),
    }
}
