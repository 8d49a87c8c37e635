//! What a crop needs of a season, gathered from the tables; every figure keeps its source.

use super::kind::Kind;
use crate::climate::degree_days::{Curve, Cutoff, HeatModel};
use crate::estimate::Estimate;
use crate::knowledge::{Citation, CropId, Figure, Knowledge, Threshold};
use crate::policy::Policy;
use crate::records::Method;

/// A figure with its source.
#[derive(Clone, Copy, Debug)]
pub struct Sourced<'k> {
    /// The figure.
    pub value: Estimate,
    /// Where from.
    pub citation: &'k Citation,
}

/// Heat from start to first harvest.
#[derive(Clone, Copy, Debug)]
pub struct HeatNeed<'k> {
    /// Degree-days.
    pub degree_days: Estimate,
    /// How they are counted; `None` where they are days to maturity turned into heat: then it is the
    /// daily mean between base and optimum.
    pub counted: Option<HeatModel>,
    /// Temperature at which development begins.
    pub base_c: f64,
    /// Temperature from which it goes no faster.
    pub optimum_c: f64,
    /// Days to maturity or the printed heat sum on which it rests.
    pub rests_on: &'k Citation,
}

/// What one crop, or one kind of it, needs.
#[derive(Clone, Debug)]
pub struct CropNeeds<'k> {
    /// The crop.
    pub crop: CropId,
    /// The kind.
    pub kind: Kind,
    /// From what the days to maturity are counted.
    pub counted_from: Method,
    /// Published days to first harvest.
    pub maturity_days: Option<Sourced<'k>>,
    /// Heat to first harvest; `None` without days to maturity, and for crops that yield only in
    /// later years.
    pub heat: Option<HeatNeed<'k>>,
    /// Days over which it is picked.
    pub harvest_days: Option<Sourced<'k>>,
    /// Coldest soil in which it comes up.
    pub soil_least: Option<Sourced<'k>>,
    /// Hottest soil in which it comes up.
    pub soil_most: Option<Sourced<'k>>,
    /// Lowest mean temperature it grows at.
    pub growth_least: Option<Sourced<'k>>,
    /// Highest mean temperature it grows well at.
    pub growth_most: Option<Sourced<'k>>,
    /// Mean temperatures it grows best at.
    pub growth_best: Option<Sourced<'k>>,
    /// Temperature that kills it.
    pub kill: Option<Sourced<'k>>,
    /// Whether the first touch of frost kills it.
    pub is_tender: bool,
    /// Length of day from which it bulbs.
    pub bulbing: Option<Sourced<'k>>,
    subjects: Vec<String>,
    knowledge: &'k Knowledge,
}

/// Days to maturity beyond which a planting yields in later years only.
const YEARS_TO_YIELD: f64 = 300.0;

fn figure<'k>(knowledge: &'k Knowledge, crop: CropId, field: &str) -> Option<&'k Figure> {
    knowledge.crop_figures(crop, field).iter().find(|figure| figure.range.is_some())
}

fn sourced<'k>(knowledge: &'k Knowledge, crop: CropId, field: &str) -> Option<Sourced<'k>> {
    let figure = figure(knowledge, crop, field)?;
    Some(Sourced { value: figure.range?, citation: &figure.citation })
}

/// The lowest of several sources' figures: a limit below which none has seen it.
fn lowest<'k>(knowledge: &'k Knowledge, crop: CropId, field: &str) -> Option<Sourced<'k>> {
    knowledge
        .crop_figures(crop, field)
        .iter()
        .filter_map(|row| Some(Sourced { value: row.range?, citation: &row.citation }))
        .min_by(|a, b| a.value.low.total_cmp(&b.value.low))
}

fn word<'k>(knowledge: &'k Knowledge, crop: CropId, field: &str) -> &'k str {
    knowledge.crop_figures(crop, field).first().map_or("", |figure| &*figure.text)
}

impl<'k> CropNeeds<'k> {
    /// Gathers the needs. An onion of no stated kind is taken for the one grown at the latitude.
    #[must_use]
    pub fn of(
        knowledge: &'k Knowledge,
        policy: &Policy,
        crop: CropId,
        kind: Kind,
        latitude: Option<f64>,
    ) -> Self {
        let key = &*knowledge.crops[crop].key;
        let kind = if let ("onion", Kind::Plain, Some(latitude)) = (key, kind, latitude) {
            Kind::onion_at(latitude)
        } else {
            kind
        };
        let get = |field| sourced(knowledge, crop, field);
        let maturity_days = maturity(knowledge, crop, kind);
        let mut needs = Self {
            crop,
            kind,
            counted_from: match word(knowledge, crop, "from") {
                "transplant" => Method::Transplanted,
                _ => Method::Sown,
            },
            maturity_days,
            heat: None,
            harvest_days: get("harvest_span_days"),
            soil_least: lowest(knowledge, crop, "germ_soil_min_c"),
            soil_most: get("germ_soil_max_c"),
            growth_least: get("growth_min_c"),
            growth_most: get("growth_max_c"),
            growth_best: get("growth_opt_low_c").map(|low| {
                let high = get("growth_opt_high_c").unwrap_or(low);
                Sourced { value: Estimate::between(low.value.low, high.value.high), ..low }
            }),
            kill: get("kill_temp_c"),
            is_tender: word(knowledge, crop, "frost_tolerance") == "tender",
            bulbing: None,
            subjects: kind.subjects(key),
            knowledge,
        };
        needs.heat = needs.heat_need(policy);
        needs.bulbing = match key {
            "onion" => needs.limit("bulbing_daylength_h"),
            "garlic" => get("min_daylength_h"),
            _ => None,
        };
        needs
    }

    /// Whether enough is known of it to say how a season suits it.
    #[must_use]
    pub fn are_known(&self) -> bool {
        self.growth_least.is_some() || self.growth_most.is_some() || self.heat.is_some()
    }

    /// The way it is started: as asked, else as its days to maturity are counted. What comes by
    /// itself comes from seed.
    #[must_use]
    pub fn method(&self, asked: Option<Method>) -> Method {
        match asked {
            Some(Method::Sown | Method::Volunteer) => Method::Sown,
            Some(Method::Transplanted) => Method::Transplanted,
            None => self.counted_from,
        }
    }

    /// The limits of a sort for this kind, else for the crop, best known first.
    #[must_use]
    pub fn limits(&self, limit: &str) -> &'k [Threshold] {
        self.subjects
            .iter()
            .map(|subject| self.knowledge.thresholds(subject, limit))
            .find(|rows| rows.iter().any(|row| row.range.is_some()))
            .unwrap_or(&[])
    }

    /// The first of the limits of a sort.
    #[must_use]
    pub fn limit(&self, limit: &str) -> Option<Sourced<'k>> {
        self.limits(limit)
            .iter()
            .find_map(|row| Some(Sourced { value: row.range?, citation: &row.citation }))
    }

    /// All limits of a sort as one range, cited by the first.
    #[must_use]
    pub fn limit_range(&self, limit: &str) -> Option<Sourced<'k>> {
        let rows = self.limits(limit);
        let value = rows.iter().filter_map(|row| row.range).reduce(Estimate::spanning)?;
        Some(Sourced { value, citation: &rows.iter().find(|row| row.range.is_some())?.citation })
    }

    /// How well it grows at a mean temperature: all of it within the best range, half of it at the
    /// published limits of growth, straight between and on to nothing as far beyond them. `None`
    /// where the tables do not give the four figures.
    #[must_use]
    pub fn growth_at(&self, mean_c: f64) -> Option<f64> {
        let (least, best, most) = (self.growth_least?, self.growth_best?, self.growth_most?);
        let side = |away: f64, width: f64| 1.0 - 0.5 * away / width.max(0.5);
        let cold = side(best.value.low - mean_c, best.value.low - least.value.low);
        let hot = side(mean_c - best.value.high, most.value.high - best.value.high);
        Some(cold.min(hot).clamp(0.0, 1.0))
    }

    fn heat_need(&self, policy: &Policy) -> Option<HeatNeed<'k>> {
        let get = |field| sourced(self.knowledge, self.crop, field);
        let base = get("base_temp_c")?.value.likely.min(policy.base_most_c);
        let low = get("growth_opt_low_c")?.value.likely;
        let high = get("growth_opt_high_c")?.value.likely;
        if let Some(printed) = get("gdd_to_maturity") {
            // One printed sum is that of early varieties; late ones need as much more as their
            // days to maturity are longer.
            let longer = self
                .maturity_days
                .filter(|days| days.value.low > 0.0)
                .map_or(1.0, |days| days.value.high / days.value.low);
            let least = printed.value.low;
            // A sum holds only with the base it was counted from: the one of the same source.
            let own_base = self
                .limits("gdd_base_c")
                .iter()
                .find(|row| row.citation.keys().eq(printed.citation.keys()))
                .and_then(|row| row.range);
            let base = own_base.map_or(base, |base| base.likely);
            // Printed sums of vegetables with an upper limit are counted by the modified average
            // (base and limit 50 and 86 F), those without by the simple one.
            let upper = self.limit("gdd_upper_c").map(|limit| limit.value.likely);
            let counted = upper.map_or(
                HeatModel { curve: Curve::Average, base, cutoff: Cutoff::None },
                |upper| HeatModel {
                    curve: Curve::ModifiedAverage,
                    base,
                    cutoff: Cutoff::Horizontal(upper),
                },
            );
            return Some(HeatNeed {
                degree_days: Estimate::between(least, least * longer),
                counted: Some(counted),
                base_c: base,
                optimum_c: upper.unwrap_or(high).max(high),
                rests_on: printed.citation,
            });
        }
        let days = self.maturity_days?;
        if days.value.low > YEARS_TO_YIELD {
            return None;
        }
        let usual = f64::midpoint(low, high);
        Some(HeatNeed {
            degree_days: days.value.map(|days| days * (usual - base)),
            counted: None,
            base_c: base,
            optimum_c: high,
            rests_on: days.citation,
        })
    }

    /// Heat still needed after starting in a way: plants that are set out bring some weeks along,
    /// seed takes some longer where the days are counted from plants.
    #[must_use]
    pub fn heat_after(&self, policy: &Policy, method: Method) -> Option<Estimate> {
        let heat = self.heat?;
        let a_day = self
            .maturity_days
            .map_or(1.0, |days| heat.degree_days.likely / days.value.likely.max(1.0));
        let nursery = policy.nursery_days.map(|days| days * a_day);
        let whole = heat.degree_days;
        Some(match (self.counted_from, method) {
            (Method::Sown | Method::Volunteer, Method::Sown | Method::Volunteer)
            | (Method::Transplanted, Method::Transplanted) => whole,
            (Method::Transplanted, Method::Sown | Method::Volunteer) => whole + nursery,
            // What is not counted out: at least two fifths of the way is left after setting out.
            (Method::Sown | Method::Volunteer, Method::Transplanted) => Estimate::new(
                (whole.low - nursery.low).max(0.4 * whole.low),
                (whole.likely - nursery.likely).max(0.4 * whole.likely),
                (whole.high - nursery.high).max(0.4 * whole.high),
            ),
        })
    }
}

/// Days to maturity. Small-fruited kinds are the early half of the crop's range, large-fruited ones
/// the late half.
fn maturity(knowledge: &Knowledge, crop: CropId, kind: Kind) -> Option<Sourced<'_>> {
    let least = sourced(knowledge, crop, "days_to_maturity_min")?;
    let most = sourced(knowledge, crop, "days_to_maturity_max").unwrap_or(least);
    let (low, high) = (least.value.low, most.value.high.max(least.value.low));
    let middle = f64::midpoint(low, high);
    let (low, high) = match kind {
        Kind::SmallFruited => (low, middle),
        Kind::LargeFruited => (middle, high),
        Kind::Plain | Kind::ShortDay | Kind::Intermediate | Kind::LongDay => (low, high),
    };
    Some(Sourced { value: Estimate::between(low, high), citation: least.citation })
}
