//! Grams of a material that close a shortfall, and what comes along with them.

use super::books::Nutrient;
use super::ledger::PhosphorusTest;
use super::material::{Makeup, amount_for};
use super::need::Need;
use crate::estimate::Estimate;
use crate::knowledge::{Knowledge, PhosphorusClass};

/// What speaks against closing a shortfall with a material.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Caution {
    /// More phosphorus than the crop takes, into soil that a test calls high: not advised.
    PilesUpPhosphorus,
    /// More phosphorus than the crop takes, and no test says whether the soil can hold it.
    PhosphorusUntested,
    /// Raw manure: days to the harvest, and local food rules, come first.
    RawManure,
    /// So much of it that it is a soil cover and not a feed.
    TooMuch,
}

/// How much of a material closes a shortfall of nitrogen.
#[derive(Clone, Debug, PartialEq)]
pub struct Portion {
    /// Key of the material.
    pub material: Box<str>,
    /// Grams a square metre; `None` if the material gives no nitrogen in its first year.
    pub grams_m2: Option<Estimate>,
    /// N (all of it), P and K that come along with the likely grams, g/m2.
    pub brings: [Estimate; 3],
    /// Phosphorus beyond what the crop takes, g/m2, likely.
    pub phosphorus_over: f64,
    /// What speaks against it.
    pub cautions: Vec<Caution>,
}

impl Portion {
    /// Whether it may be advised at all.
    #[must_use]
    pub fn is_advised(&self) -> bool {
        self.grams_m2.is_some()
            && !self
                .cautions
                .iter()
                .any(|caution| matches!(caution, Caution::PilesUpPhosphorus | Caution::TooMuch))
    }
}

/// Grams a square metre above which a material no longer feeds but buries: about 5 cm of compost.
const MOST_GRAMS_M2: f64 = 25_000.0;

/// The portion of a material for a shortfall of nitrogen (g/m2, likely); phosphorus up to `slack`
/// beyond what the crop takes is let pass.
#[must_use]
pub fn portion(
    knowledge: &Knowledge,
    material: &str,
    makeup: &Makeup,
    shortfall: f64,
    need: &Need,
    phosphorus: Option<&PhosphorusTest>,
    slack: f64,
) -> Portion {
    let free = makeup.free_in_year1(Nutrient::Nitrogen);
    let likely_only = Estimate::exact(free.likely);
    // Where the worst case gives nothing the range is open: the likely grams stand alone.
    let grams_m2 = amount_for(shortfall, free).or_else(|| amount_for(shortfall, likely_only));
    let likely = grams_m2.map_or(0.0, |grams| grams.likely);
    let brings = makeup.part.map(|part| part.map(|part| part * likely));
    let phosphorus_over = brings[1].likely - need.grams[1].likely;
    let mut cautions = Vec::new();
    if phosphorus_over > slack {
        match phosphorus.map(|test| test.class) {
            Some(PhosphorusClass::High | PhosphorusClass::Excessive) => {
                cautions.push(Caution::PilesUpPhosphorus);
            }
            // A few grams over what is taken are within the error of both figures.
            None if phosphorus_over > need.grams[1].likely => {
                cautions.push(Caution::PhosphorusUntested);
            }
            Some(PhosphorusClass::NotHigh) | None => {}
        }
    }
    let raw = knowledge
        .nutrients()
        .content(material)
        .is_some_and(|content| &*content.kind == "manure_raw");
    if raw {
        cautions.push(Caution::RawManure);
    }
    if likely > MOST_GRAMS_M2 {
        cautions.push(Caution::TooMuch);
    }
    Portion { material: material.into(), grams_m2, brings, phosphorus_over, cautions }
}
