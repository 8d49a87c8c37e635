//! What a cover is sown for, and what the bed needs most by its own state.

use chrono::Datelike;

use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PathogenId};
use crate::policy::Policy;
use crate::state::BedState;
use crate::state::nutrients::{Nutrient, Pool, feeding};

use super::gap::Gap;

/// What a cover is sown for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Goal {
    /// Nitrogen free to the next crop.
    Nitrogen,
    /// Ground covered against weeds.
    Weeds,
    /// Dry matter for the soil.
    OrganicMatter,
    /// Nitrogen held that would be washed out.
    Scavenging,
    /// Fewer of the nematodes on record.
    Nematodes,
    /// Flowers for insects.
    Bloom,
}

impl Goal {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Nitrogen,
        Self::Weeds,
        Self::OrganicMatter,
        Self::Scavenging,
        Self::Nematodes,
        Self::Bloom,
    ];

    /// The word as typed and printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Nitrogen => "nitrogen",
            Self::Weeds => "weeds",
            Self::OrganicMatter => "organic-matter",
            Self::Scavenging => "scavenging",
            Self::Nematodes => "nematodes",
            Self::Bloom => "bloom",
        }
    }

    /// The unit of what it is measured by.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Nitrogen => "g/m2 of nitrogen free to the next crop",
            Self::Weeds => "days of ground covered, by how well it holds weeds",
            Self::OrganicMatter => "g/m2 of dry matter",
            Self::Scavenging => "g/m2 of nitrogen taken up from the soil",
            Self::Nematodes => "nematodes of the bed lowered, less those raised",
            Self::Bloom => "days in flower",
        }
    }

    /// Whether its worth is a mass over the ground, g/m2.
    #[must_use]
    pub fn is_over_ground(self) -> bool {
        match self {
            Self::Nitrogen | Self::OrganicMatter | Self::Scavenging => true,
            Self::Weeds | Self::Nematodes | Self::Bloom => false,
        }
    }
}

/// Why a goal was taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
    /// Asked for.
    Asked,
    /// The bed holds a nematode that a cover may lower.
    Nematode(PathogenId),
    /// Nitrogen lies free before a time that washes it out, g/m2.
    Leachable {
        /// Free on the first day.
        free: f64,
        /// Rain left over in the gap, mm.
        surplus_mm: f64,
    },
    /// The next crop would be short of nitrogen, g/m2.
    Short {
        /// The next crop.
        next: CropId,
        /// By how much.
        short: Estimate,
    },
    /// Organic matter is low, percent.
    PoorInHumus(f64),
    /// Nothing of these: ground is kept covered.
    NothingPressing,
}

/// A goal with the reason it was taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// The goal.
    pub goal: Goal,
    /// Why.
    pub why: Why,
}

/// What the bed needs most of a cover: first that nothing grows in it that feeds on the next crop,
/// then that what is there is not lost, then what the next crop lacks, then the soil.
#[must_use]
pub fn need_of_bed(
    knowledge: &Knowledge,
    policy: &Policy,
    state: &BedState<'_>,
    gap: Gap,
    next: Option<CropId>,
) -> Aim {
    let nematode = state
        .inocula()
        .filter(|inoculum| matches!(inoculum.presence, crate::state::Presence::Sighted(_)))
        .map(|inoculum| inoculum.pathogen)
        .find(|pathogen| knowledge.pathogens[*pathogen].is_nematode());
    if let Some(pathogen) = nematode {
        return Aim { goal: Goal::Nematodes, why: Why::Nematode(pathogen) };
    }
    let books = state.nutrients();
    let free = books.holds(Nutrient::Nitrogen, Pool::Available).range().likely;
    let surplus_mm = surplus(state, gap);
    if let Some(surplus_mm) = surplus_mm
        && free >= policy.winter_nitrogen
        && surplus_mm > 0.0
    {
        let held_mm = policy.water_held_mm_per_dm.likely * policy.root_zone_dm;
        let washed_out = 1.0 - (-surplus_mm / held_mm).exp();
        if washed_out * free >= policy.winter_leached {
            return Aim { goal: Goal::Scavenging, why: Why::Leachable { free, surplus_mm } };
        }
    }
    let short = next.and_then(|next| {
        let fed = feeding(knowledge, policy, books, next, gap.to)?;
        (fed.shortfall.likely >= policy.bed_short_of_nitrogen).then_some((next, fed.shortfall))
    });
    if let Some((next, short)) = short {
        return Aim { goal: Goal::Nitrogen, why: Why::Short { next, short } };
    }
    let humus = books.organic_matter();
    if humus.likely < policy.bed_poor_in_humus {
        return Aim { goal: Goal::OrganicMatter, why: Why::PoorInHumus(humus.likely) };
    }
    Aim { goal: Goal::Weeds, why: Why::NothingPressing }
}

/// Rain left over in the months of a gap, mm, if rain is on record.
fn surplus(state: &BedState<'_>, gap: Gap) -> Option<f64> {
    let mut day = gap.from;
    let mut sum = 0.0;
    while day < gap.to {
        let month_end = crate::season::add_days(day, f64::from(31 - day.day().min(30)).max(1.0));
        let share = (month_end.min(gap.to) - day).num_days() as f64 / 30.4;
        sum += state.nutrients().surplus_mm(day.month())? * share;
        day = month_end;
    }
    Some(sum)
}
