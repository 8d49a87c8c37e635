//! What a crop needs of a season, gathered from the tables; every figure keeps its source.

use super::kind::Kind;
use crate::climate::degree_days::{Curve, Cutoff, HeatModel};
use crate::estimate::Estimate;
use crate::knowledge::{
    Citation, Counting, CropId, Cultivars, Figure, HeatSum, Knowledge, Threshold,
};
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
    /// Degree-days, of early to late cultivars.
    pub degree_days: Estimate,
    /// From what they are counted.
    pub from: Method,
    /// Whether the sum is printed; else it is days to maturity turned into heat.
    pub is_printed: bool,
    /// How they are counted; `None` for what the daily mean has between base and optimum.
    pub counted: Option<HeatModel>,
    /// Temperature at which development begins.
    pub base_c: f64,
    /// Temperature from which it goes no faster.
    pub optimum_c: f64,
    /// Heat of a day in the nursery, which is kept at the temperatures the crop grows best at.
    pub nursery_day: f64,
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
    /// itself comes from seed. Cloves, tubers and other pieces bring no weeks of a nursery along and
    /// have to come up, whatever word a record has for planting them: their days are counted as they
    /// are printed.
    #[must_use]
    pub fn method(&self, asked: Option<Method>) -> Method {
        if self.is_from_pieces() {
            return self.counted_from;
        }
        match asked {
            Some(Method::Sown | Method::Volunteer) => Method::Sown,
            Some(Method::Transplanted) => Method::Transplanted,
            None => self.counted_from,
        }
    }

    /// Whether it is started from cloves, tubers or other pieces.
    #[must_use]
    pub fn is_from_pieces(&self) -> bool {
        self.knowledge.piece(self.crop).is_some()
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
        let low = get("growth_opt_low_c")?.value.likely;
        let high = get("growth_opt_high_c")?.value.likely;
        let usual = f64::midpoint(low, high);
        if self.maturity_days.is_some_and(|days| days.value.low > YEARS_TO_YIELD) {
            return None;
        }
        if let Some(printed) = self.knowledge.heat_sum(self.crop) {
            let upper = printed.upper_c.unwrap_or(f64::INFINITY);
            let model = |curve| HeatModel {
                curve,
                base: printed.base_c,
                cutoff: printed.upper_c.map_or(Cutoff::None, Cutoff::Horizontal),
            };
            return Some(HeatNeed {
                degree_days: half_of_kind(self.kind, self.by_cultivars(printed)),
                from: if printed.from_transplant { Method::Transplanted } else { Method::Sown },
                is_printed: true,
                counted: match printed.counting {
                    // What lies between base and limit is also what the daily mean, held down to
                    // the limit, has above the base.
                    Counting::MeanHeld => None,
                    Counting::Mean => {
                        Some(HeatModel { cutoff: Cutoff::None, ..model(Curve::Average) })
                    }
                    Counting::ExtremesHeld => Some(model(Curve::Average)),
                    Counting::Modified => Some(model(Curve::ModifiedAverage)),
                    Counting::SineHeld => Some(model(Curve::SingleSine)),
                },
                base_c: printed.base_c,
                optimum_c: printed.upper_c.unwrap_or(high).max(high),
                nursery_day: (usual.min(upper) - printed.base_c).max(0.0),
                rests_on: &printed.citation,
            });
        }
        let base = get("base_temp_c")?.value.likely.min(policy.base_most_c);
        let days = self.maturity_days?;
        Some(HeatNeed {
            degree_days: days.value.map(|days| days * (usual - base)),
            from: self.counted_from,
            is_printed: false,
            counted: None,
            base_c: base,
            optimum_c: high,
            nursery_day: usual - base,
            rests_on: days.citation,
        })
    }

    /// A printed sum for the cultivars from early to late. Trials are of a few of them: the others
    /// need as much less or more as their days to maturity are shorter or longer.
    fn by_cultivars(&self, printed: &HeatSum) -> Estimate {
        let (sum, days) = (printed.degree_days, maturity(self.knowledge, self.crop, Kind::Plain));
        let Some(days) = days.map(|days| days.value).filter(|days| days.low > 0.0) else {
            return sum;
        };
        match printed.cultivars {
            Cultivars::Early => Estimate::between(sum.low, sum.high * days.high / days.low),
            Cultivars::Middle => {
                let middle = sum.likely / days.likely;
                sum.spanning(Estimate::between(middle * days.low, middle * days.high))
            }
        }
    }

    /// Heat still needed after starting in a way: plants that are set out bring some weeks along,
    /// seed takes some longer where the heat is counted from plants.
    #[must_use]
    pub fn heat_after(&self, policy: &Policy, method: Method) -> Option<Estimate> {
        let heat = self.heat?;
        let nursery = policy.nursery_days.map(|days| days * heat.nursery_day);
        let whole = heat.degree_days;
        Some(match (heat.from, method) {
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

/// The part of the range from early to late that a kind takes: small-fruited kinds are the early
/// half of the crop, large-fruited ones the late half.
fn half_of_kind(kind: Kind, range: Estimate) -> Estimate {
    let middle = f64::midpoint(range.low, range.high);
    match kind {
        Kind::SmallFruited => Estimate::between(range.low, middle),
        Kind::LargeFruited => Estimate::between(middle, range.high),
        Kind::Plain | Kind::ShortDay | Kind::Intermediate | Kind::LongDay => range,
    }
}

/// Days to maturity of a kind.
fn maturity(knowledge: &Knowledge, crop: CropId, kind: Kind) -> Option<Sourced<'_>> {
    let least = sourced(knowledge, crop, "days_to_maturity_min")?;
    let most = sourced(knowledge, crop, "days_to_maturity_max").unwrap_or(least);
    let (low, high) = (least.value.low, most.value.high.max(least.value.low));
    let value = half_of_kind(kind, Estimate::between(low, high));
    Some(Sourced { value, citation: least.citation })
}
