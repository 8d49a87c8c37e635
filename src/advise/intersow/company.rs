//! What company costs the crop that stands: when it may come, and how much it takes.
//!
//! Trials agree on two things. A cover that is there from the beginning, or stands for most of the
//! crop's time, takes yield (season-long); one sown so late that it covers the ground when the crop
//! is nearly done takes none (relay). So the loss grows with the share of the crop's time in which
//! the cover stands closed, beyond a share that is free. How steeply, by canopy and by cover, is
//! policy; `published_intersow` holds the direction against every trial that gives one.

use crate::assess::{Evidence, FactNote};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, Meant, Undersowing, UndersowingKind};
use crate::policy::Policy;

/// Whether a cover keeps the crop company for its season or comes late.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Timing {
    /// Before the crop's critical weed-free weeks are over: it counts as a weed.
    TooEarly,
    /// Within the range in which sources put their end.
    Doubtful,
    /// After them: a late relay.
    Relay,
}

/// How well a crop's canopy holds its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Canopy {
    /// Thin or low: alliums, carrots.
    Weak,
    /// Most.
    Middling,
    /// Tall or spreading: maize, squash, staked tomatoes.
    Strong,
}

/// How a cover covers the ground as company.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rival {
    /// Days from sowing until it stands closed; nil if it stood first.
    pub closes_after: f64,
    /// How much it takes, beside a vigorous grass.
    pub vigour: f64,
    /// Share of the loss left by how it is kept and where: 1 if nothing is done.
    pub left: f64,
}

/// How company is kept small.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Restraint {
    /// Kept mown.
    Mown,
    /// In the paths between beds only.
    InPaths,
    /// A low-growing kind.
    LowKind,
    /// On ground so rich that nitrogen is not fought for.
    RichSoil,
}

impl Rival {
    /// The same company, kept small in a way.
    #[must_use]
    pub fn kept(self, policy: &Policy, restraint: Restraint) -> Self {
        let left = match restraint {
            Restraint::Mown => policy.company_mown_left,
            Restraint::InPaths => policy.company_paths_left,
            Restraint::LowKind => policy.company_low_kind_left,
            Restraint::RichSoil => policy.company_rich_soil_left,
        };
        Self { left: self.left * left, ..self }
    }
}

/// The crop's critical weed-free weeks: days after it was planted by which they end.
#[derive(Clone, Debug)]
pub struct WeedFree {
    /// Days.
    pub until_days: Estimate,
    /// Whether a source gives them, or our share of the crop's time stands in.
    pub is_published: bool,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
}

/// Canopy of a crop, by the groups of the table.
#[must_use]
pub fn canopy(knowledge: &Knowledge, crop: CropId) -> Canopy {
    let is = |group: &str| knowledge.sequences.is_member(&knowledge.crops, group, crop);
    if is("weak_canopy") {
        Canopy::Weak
    } else if is("strong_canopy") {
        Canopy::Strong
    } else {
        Canopy::Middling
    }
}

/// A cover as company.
#[must_use]
pub fn rival(knowledge: &Knowledge, policy: &Policy, cover: CropId) -> Rival {
    let is = |group: &str| knowledge.sequences.is_member(&knowledge.crops, group, cover);
    let (closes_after, vigour) = if is("grass_cover") || is("cereal_cover") || is("brassica_cover")
    {
        (policy.company_closes_quick_days, 1.0)
    } else if is("clover") || is("perennial_legume") {
        (policy.company_closes_slow_days, policy.company_vigour_clover)
    } else if is("non_legume_cover") {
        (policy.company_closes_quick_days, policy.company_vigour_legume)
    } else {
        (policy.company_closes_middling_days, policy.company_vigour_legume)
    };
    Rival { closes_after, vigour, left: 1.0 }
}

/// Change of the crop's yield by company: nothing or a loss, as a fraction. `sown_after` are days
/// from the crop's planting to the sowing of the cover (below nil if it was there first),
/// `crop_days` the crop's whole time.
#[must_use]
pub fn yield_change(
    policy: &Policy,
    canopy: Canopy,
    rival: Rival,
    sown_after: f64,
    crop_days: f64,
) -> Estimate {
    let closed = (sown_after + rival.closes_after).clamp(0.0, crop_days);
    let together = (crop_days - closed) / crop_days.max(1.0);
    let free = policy.company_free_share;
    let counts = ((together - free) / (1.0 - free)).max(0.0);
    let most = match canopy {
        Canopy::Weak => policy.company_loss_weak,
        Canopy::Middling => policy.company_loss_middling,
        Canopy::Strong => policy.company_loss_strong,
    };
    most.map(|most| -most * rival.vigour * rival.left * counts)
}

/// Days of the crop's time: to maturity and through its picking.
#[must_use]
pub fn crop_days(knowledge: &Knowledge, policy: &Policy, crop: CropId) -> f64 {
    let of = |field| knowledge.crop_figures(crop, field).iter().find_map(|figure| figure.range);
    let maturity = match (of("days_to_maturity_min"), of("days_to_maturity_max")) {
        (Some(least), Some(most)) => f64::midpoint(least.likely, most.likely),
        (Some(only), None) | (None, Some(only)) => only.likely,
        (None, None) => return policy.crop_days_unknown,
    };
    maturity + of("harvest_span_days").map_or(0.0, |span| span.likely)
}

/// Whether a row's main crop is this one.
pub(super) fn speaks_of(row: &Undersowing, crop: CropId) -> bool {
    row.main_crop.is(crop)
}

/// A row as evidence.
pub(super) fn fact(knowledge: &Knowledge, row: &Undersowing) -> Evidence {
    let covers: Vec<&str> =
        row.covers.iter().map(|cover| cover.written(&knowledge.crops)).collect();
    let when = match row.timing_range {
        Some(range) if (range.high - range.low).abs() > 1e-9 => {
            format!("{} to {} {}", range.low, range.high, row.timing_unit)
        }
        Some(range) => format!("{} {}", range.low, row.timing_unit),
        None => row.timing.to_string(),
    };
    let result = match (row.kind, row.result.is_empty()) {
        (UndersowingKind::WeedFreeUntil, _) => "end of the critical weed-free time".into(),
        (_, false) => row.result.clone(),
        (_, true) => row.note.clone(),
    };
    Evidence::Fact(
        FactNote::Undersown {
            main_crop: row.main_crop.written(&knowledge.crops).into(),
            covers: covers.join(", ").into(),
            timing: when.into(),
            result,
            region: row.region.clone(),
        },
        row.citation.clone(),
    )
}

/// The crop's critical weed-free weeks, every source that gives them in days or weeks.
#[must_use]
pub fn weed_free(knowledge: &Knowledge, policy: &Policy, crop: CropId) -> WeedFree {
    let rows: Vec<&Undersowing> = knowledge
        .undersowings()
        .iter()
        .filter(|row| row.kind == UndersowingKind::WeedFreeUntil && speaks_of(row, crop))
        .collect();
    let mut evidence: Vec<Evidence> = Vec::new();
    let mut ends: Vec<Estimate> = Vec::new();
    for row in rows {
        let Some(range) = row.timing_range else { continue };
        let unit = &*row.timing_unit;
        let days = match unit {
            _ if unit.starts_with("weeks") => range.map(|weeks| weeks * 7.0),
            _ if unit.starts_with("days") => range,
            // Leaves and heat sums need a growth model of their own.
            _ => continue,
        };
        let later = if unit.contains("emergence") { policy.emergence_days_usual } else { 0.0 };
        ends.push(days.map(|days| days + later));
        evidence.push(fact(knowledge, row));
    }
    if let Some(until_days) = ends.into_iter().reduce(Estimate::spanning) {
        return WeedFree { until_days, is_published: true, evidence };
    }
    let whole = crop_days(knowledge, policy, crop);
    let until_days = policy.weed_free_share.map(|share| share * whole);
    WeedFree { until_days, is_published: false, evidence }
}

/// When a cover sown so many days after the crop comes.
#[must_use]
pub fn timing(weed_free: &WeedFree, sown_after: f64) -> Timing {
    if sown_after < weed_free.until_days.low {
        Timing::TooEarly
    } else if sown_after < weed_free.until_days.high {
        Timing::Doubtful
    } else {
        Timing::Relay
    }
}

/// Rows by which sources advise against a cover under a crop; against any, where no cover is named.
pub(super) fn advised_against(
    knowledge: &Knowledge,
    crop: CropId,
    cover: Option<CropId>,
) -> impl Iterator<Item = &Undersowing> {
    knowledge
        .undersowings()
        .iter()
        .filter(move |row| row.kind == UndersowingKind::NotAdvised && speaks_of(row, crop))
        .filter(move |row| {
            row.covers.is_empty()
                || row.covers.iter().any(|meant| match (meant, cover) {
                    (Meant::One(one), Some(cover)) => *one == cover,
                    (Meant::One(_), None) => false,
                    // A group stands for company of the kind, whichever cover it is.
                    (Meant::Words(group), Some(cover)) => {
                        knowledge.sequences.is_member(&knowledge.crops, group, cover)
                    }
                    (Meant::Words(_), None) => true,
                })
        })
}

/// Trials, reviews and practice on a pair, by name or by group.
pub(super) fn said_of_pair(
    knowledge: &Knowledge,
    crop: CropId,
    cover: CropId,
) -> Vec<&Undersowing> {
    knowledge
        .undersowings()
        .iter()
        .filter(|row| {
            matches!(
                row.kind,
                UndersowingKind::Trial | UndersowingKind::Review | UndersowingKind::Practice
            )
        })
        .filter(|row| speaks_of(row, crop))
        .filter(|row| {
            row.covers.iter().any(|meant| match meant {
                Meant::One(one) => *one == cover,
                Meant::Words(group) => {
                    knowledge.sequences.is_member(&knowledge.crops, group, cover)
                }
            })
        })
        .collect()
}
