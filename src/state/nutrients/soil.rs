//! The soil that the ledger keeps books of: what it does from one day to the next, and what events
//! do to it.
//!
//! Every step is cumulative in warmth or time, so that a span cut in two moves the same amounts;
//! only washing-out and a shortage of nitrogen depend on the order within a span, and spans are at
//! most a month and end at every record.

use std::sync::Arc;

use super::books::{Account, Flow, Month, Nutrient, Pool, Spread, Stock};
use super::growth::Heat;
use super::material::Load;
use super::need::{Uptake, cover_n_percent};
use super::pan::{Series, shares_available, tied_up_by};
use super::weather::Weather;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PanLine, Role};
use crate::policy::Policy;
use crate::records::{Bed, BedKind, Harvest, Residue, SoilTest};
use crate::season::Date;

/// Organic phosphorus beside organic nitrogen: 15 and 100 kilograms a tonne of soil carbon
/// (`pan_model`, `soils_connect_q97`).
const HUMUS_P_PER_N: f64 = 0.15;
/// Carbon in soil organic matter (the usual factor of 1.724), and nitrogen beside carbon.
const HUMUS_CARBON: f64 = 0.58;
/// Total potassium of mineral soil, g/kg: a store so large that crops do not draw it down; the lower
/// end of the 0.5 to 2.5 % of textbooks.
const TOTAL_POTASSIUM: f64 = 5.0;

/// Nitrogen in soil organic matter, by soil mass and percent of organic matter: carbon over ten, as
/// the printed example has it.
#[must_use]
pub fn humus_nitrogen(soil_kg_m2: f64, organic_matter_percent: f64) -> f64 {
    organic_nitrogen(soil_kg_m2, organic_matter_percent * HUMUS_CARBON)
}

/// Nitrogen in soil organic matter by soil mass and percent of carbon, g/m2.
///
/// ```
/// use breakcrop::state::nutrients::organic_nitrogen;
/// // 1.5 g/cm3, 10 cm, 1.3 % carbon: 1.95 t N/ha (published worked example).
/// assert!((organic_nitrogen(150.0, 1.3) - 195.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn organic_nitrogen(soil_kg_m2: f64, carbon_percent: f64) -> f64 {
    soil_kg_m2 * 1000.0 * carbon_percent / 100.0 / 10.0
}

/// Phosphorus that comes with nitrogen from soil organic matter.
#[must_use]
pub fn humus_phosphorus(nitrogen: f64) -> f64 {
    nitrogen * HUMUS_P_PER_N
}

/// What does not change while the books run.
#[derive(Clone, Debug)]
pub(super) struct Setup {
    /// Nitrogen set free in a day at the reference temperature by each percent of organic matter.
    release: Spread,
    /// Share of a movement that the available pool feels, by nutrient.
    buffer: [Spread; 3],
    pub(super) soil_kg_m2: Estimate,
    line: PanLine,
    root_share: Spread,
    not_said: Spread,
    left_lying: Spread,
    tie_up_lying: Estimate,
    second_of_first: Spread,
    rate: f64,
    /// Share of the free nitrogen lost in a month otherwise than by rain.
    lost: Spread,
}

impl Setup {
    pub(super) fn of(bed: Option<&Bed>, knowledge: &Knowledge, policy: &Policy) -> Self {
        let release = knowledge.nutrients().humus_release().map_or(Estimate::ZERO, |row| row.value);
        let container = bed.is_some_and(|bed| bed.kind == BedKind::Container);
        Self {
            release: Spread::supply(toward_likely(release, policy.humus_spread))
                * (1.0 / policy.mineralisation_season_days),
            buffer: [
                Spread::same(1.0),
                Spread::supply(policy.phosphorus_buffer),
                Spread::supply(policy.potassium_buffer),
            ],
            soil_kg_m2: if container {
                policy.tested_container_kg_m2
            } else {
                policy.tested_soil_kg_m2
            },
            line: knowledge.nutrients().pan_line().clone(),
            root_share: Spread::supply(policy.root_share),
            not_said: Spread::supply(policy.residue_not_said),
            left_lying: Spread::supply(policy.residue_left_lying),
            tie_up_lying: policy.tie_up_lying,
            second_of_first: Spread::supply(policy.pan_second_of_first),
            rate: policy.release_rate_quick,
            lost: Spread::loss(policy.nitrogen_lost_otherwise),
        }
    }

    /// A soil test's parts per million as grams a square metre of the tested depth.
    pub(super) fn grams_of_ppm(&self, ppm: Estimate) -> Estimate {
        self.soil_kg_m2 * ppm.map(|ppm| ppm / 1000.0)
    }
}

/// A range drawn in towards its likely value, by ratio.
fn toward_likely(range: Estimate, part: f64) -> Estimate {
    if range.low <= 0.0 {
        return range;
    }
    range.map(|end| range.likely * (end / range.likely).powf(part))
}

/// Something whose nitrogen comes free over years.
#[derive(Clone, Debug)]
struct Batch {
    flow: Flow,
    total: Spread,
    series: Series,
    since: f64,
    /// Share set free so far.
    freed: Spread,
}

/// Something that stands.
#[derive(Clone, Debug)]
pub(super) struct Standing {
    pub(super) crop: CropId,
    /// The planting's place in the garden's list; `None` for one only thought of.
    pub(super) planting: Option<usize>,
    pub(super) start: Date,
    /// When it has taken up all it takes.
    pub(super) grown_by: Date,
    /// The warmth it grows in, where that is known.
    pub(super) heat: Option<Heat>,
    /// Growing days to a full stand, for covers.
    pub(super) cover_days: Option<f64>,
    pub(super) uptake: Uptake,
    grown: f64,
    held: [Spread; 3],
    held_fixed: Spread,
}

impl Standing {
    pub(super) fn new(crop: CropId, start: Date, grown_by: Date, uptake: Uptake) -> Self {
        Self {
            crop,
            planting: None,
            start,
            grown_by,
            heat: None,
            cover_days: None,
            uptake,
            grown: 0.0,
            held: [Spread::ZERO; 3],
            held_fixed: Spread::ZERO,
        }
    }

    /// How far it has grown on a day, 0 to 1, before the S-curve.
    fn age(&self, weather: &Weather, date: Date) -> f64 {
        let age = if let Some(days) = self.cover_days {
            weather.growing_days(self.start, date) / days.max(1.0)
        } else {
            let heat = self.heat.as_ref().map(|heat| (heat.by(self.grown_by), heat));
            if let Some((whole, heat)) = heat.filter(|(whole, _)| *whole > 0.0) {
                heat.by(date) / whole
            } else {
                let whole = (self.grown_by - self.start).num_days().max(1) as f64;
                (date - self.start).num_days() as f64 / whole
            }
        };
        age.clamp(0.0, 1.0)
    }
}

/// Uptake follows an S: slow, fast, slow.
fn s_curve(age: f64) -> f64 {
    age * age * (3.0 - 2.0 * age)
}

/// The soil at a day.
#[derive(Clone, Debug)]
pub(super) struct Soil {
    pub(super) setup: Arc<Setup>,
    pub(super) weather: Weather,
    pub(super) accounts: [Account; 3],
    opened: Date,
    pub(super) today: Date,
    clock: f64,
    pub(super) organic_matter: Spread,
    batches: Vec<Batch>,
    pub(super) standing: Vec<Standing>,
}

impl Soil {
    /// A soil whose past is not known.
    pub(super) fn unknown(
        (setup, weather): (Setup, Weather),
        policy: &Policy,
        today: Date,
    ) -> Self {
        let soil = setup.soil_kg_m2;
        let organic_matter = Spread::supply(policy.organic_matter_unknown);
        let humus = organic_matter
            .with(Spread::supply(soil), |percent, mass| humus_nitrogen(mass, percent));
        let ppm = |ppm| Spread::supply(setup.grams_of_ppm(ppm));
        let openings = [
            (Spread::supply(policy.opening_nitrogen), humus),
            (ppm(policy.opening_phosphorus_ppm), humus * HUMUS_P_PER_N),
            (ppm(policy.opening_potassium_ppm), Spread::supply(soil) * TOTAL_POTASSIUM),
        ];
        let accounts = openings.map(|(available, reserve)| {
            let mut stock = Stock::default();
            for (pool, amount) in [(Pool::Available, available), (Pool::Reserve, reserve)] {
                if let Some(slot) = stock.slot(pool) {
                    *slot = amount;
                }
            }
            Account::opened(stock)
        });
        Self {
            setup: Arc::new(setup),
            weather,
            accounts,
            opened: today,
            today,
            clock: 0.0,
            organic_matter,
            batches: Vec::new(),
            standing: Vec::new(),
        }
    }

    pub(super) fn stock(&self, nutrient: Nutrient, pool: Pool) -> Spread {
        self.accounts[nutrient as usize].closing.of(pool)
    }

    fn post(&mut self, nutrient: Nutrient, flow: Flow, from: Pool, to: Pool, amount: Spread) {
        self.accounts[nutrient as usize].post(flow, from, to, amount);
    }

    /// Closes the month and opens the next.
    pub(super) fn close_month(&mut self) -> Month {
        let opened = self.accounts.each_ref().map(Account::next);
        let accounts = std::mem::replace(&mut self.accounts, opened);
        let month = Month { from: self.opened, to: self.today, accounts };
        self.opened = self.today;
        month
    }

    /// Lets the days go by up to a day of the same month, or the first of the next.
    pub(super) fn advance(&mut self, to: Date) {
        if to <= self.today {
            return;
        }
        let from = self.today;
        let before = self.stock(Nutrient::Nitrogen, Pool::Available);
        let warmth = self.weather.warmth(from, to);
        self.mineralise(warmth);
        self.release(warmth);
        self.grow(to);
        let share = self.weather.leached_share(from, to, !self.standing.is_empty());
        self.lose(Flow::Leached, share, before);
        let days = (to - from).num_days() as f64;
        // A monthly share compounds over the days, so that a month cut in parts loses the same.
        let share = self.setup.lost.map(|share| 1.0 - (1.0 - share).powf(days / 30.4));
        self.lose(Flow::Lost, share, before);
        self.clock += warmth;
        self.today = to;
    }

    /// Takes a share of the free nitrogen that lay there on the average of the days, and no more
    /// than is left.
    fn lose(&mut self, flow: Flow, share: Spread, before: Spread) {
        let now = self.stock(Nutrient::Nitrogen, Pool::Available).positive();
        let average = before.with(now, |before, now| f64::midpoint(before.max(0.0), now));
        let amount = average.times(share).at_most(now);
        self.post(Nutrient::Nitrogen, flow, Pool::Available, Pool::Outside, amount);
    }

    fn mineralise(&mut self, warmth: f64) {
        let wanted = self.setup.release.times(self.organic_matter) * warmth;
        let n = wanted.at_most(self.stock(Nutrient::Nitrogen, Pool::Reserve).positive());
        self.post(Nutrient::Nitrogen, Flow::Mineralised, Pool::Reserve, Pool::Available, n);
        let p = n
            .map(humus_phosphorus)
            .times(self.setup.buffer[Nutrient::Phosphorus as usize])
            .at_most(self.stock(Nutrient::Phosphorus, Pool::Reserve).positive());
        self.post(Nutrient::Phosphorus, Flow::Mineralised, Pool::Reserve, Pool::Available, p);
    }

    fn release(&mut self, warmth: f64) {
        let year = self.weather.warmth_of_year().max(1.0);
        let clock = self.clock + warmth;
        let [nitrogen, ..] = &mut self.accounts;
        for batch in &mut self.batches {
            let freed = batch.series.by((clock - batch.since) / year);
            let before = std::mem::replace(&mut batch.freed, freed);
            let amount = batch.total.times(freed - before);
            nitrogen.post(batch.flow, Pool::Fresh, Pool::Available, amount.positive());
            let free = nitrogen.closing.of(Pool::Available).positive();
            let tied = (amount * -1.0).positive().at_most(free);
            nitrogen.post(Flow::TiedUp, Pool::Available, Pool::Reserve, tied);
        }
    }

    /// What stands takes up its share of the days; where the soil is short all get the same part.
    fn grow(&mut self, to: Date) {
        let weather = &self.weather;
        let steps: Vec<f64> = self
            .standing
            .iter()
            .map(|stand| s_curve(stand.age(weather, to)) - stand.grown)
            .collect();
        let from_soil = |stand: &Standing, step: f64| {
            stand.uptake.total[0].times(stand.uptake.fixed_share.map(|share| 1.0 - share)) * step
        };
        let wanted: Spread =
            self.standing.iter().zip(&steps).map(|(stand, step)| from_soil(stand, *step)).sum();
        let free = self.stock(Nutrient::Nitrogen, Pool::Available).positive();
        let part =
            wanted.with(free, |wanted, free| if wanted > free { free / wanted } else { 1.0 });
        for (at, step) in steps.iter().enumerate() {
            let stand = &self.standing[at];
            let soil = from_soil(stand, *step).times(part);
            let air = stand.uptake.total[0].times(stand.uptake.fixed_share) * *step;
            let others = [stand.uptake.total[1] * *step, stand.uptake.total[2] * *step];
            self.post(Nutrient::Nitrogen, Flow::TakenUp, Pool::Available, Pool::Crop, soil);
            self.post(Nutrient::Nitrogen, Flow::Fixed, Pool::Outside, Pool::Crop, air);
            self.take_buffered(Nutrient::Phosphorus, others[0]);
            self.take_buffered(Nutrient::Potassium, others[1]);
            let stand = &mut self.standing[at];
            stand.held[0] = stand.held[0] + soil + air;
            stand.held_fixed = stand.held_fixed + air;
            stand.held[1] = stand.held[1] + others[0];
            stand.held[2] = stand.held[2] + others[1];
            stand.grown += step;
        }
    }

    /// Phosphorus and potassium come in part from what a test finds and in part from what the soil
    /// sets free to make up for it.
    fn take_buffered(&mut self, nutrient: Nutrient, amount: Spread) {
        let free = self.stock(nutrient, Pool::Available).positive();
        let felt = amount.times(self.setup.buffer[nutrient as usize]).at_most(free);
        self.post(nutrient, Flow::TakenUp, Pool::Available, Pool::Crop, felt);
        let bound = self.stock(nutrient, Pool::Reserve).positive();
        let rest = (amount - felt).at_most(bound);
        self.post(nutrient, Flow::TakenUp, Pool::Reserve, Pool::Crop, rest);
        self.post(nutrient, Flow::Unexplained, Pool::Outside, Pool::Crop, amount - felt - rest);
    }

    /// Puts an amendment on.
    pub(super) fn amend(&mut self, load: &Load) {
        let n = Spread::supply(load.grams[0]);
        self.lay(Flow::Amended, Pool::Outside, Flow::AmendmentReleased, n, load.series);
        for nutrient in [Nutrient::Phosphorus, Nutrient::Potassium] {
            let amount = Spread::supply(load.grams[nutrient as usize]);
            self.bring_buffered(nutrient, Flow::Amended, Pool::Outside, amount);
        }
    }

    /// Books organic nitrogen into what will come free and what stays in the soil.
    fn lay(&mut self, flow: Flow, from: Pool, release: Flow, total: Spread, series: Series) {
        let free = total.times(series.in_the_end_positive());
        self.post(Nutrient::Nitrogen, flow, from, Pool::Fresh, free);
        self.post(Nutrient::Nitrogen, flow, from, Pool::Reserve, total - free);
        if !total.is_nothing() {
            let freed = series.by(0.0);
            self.batches.push(Batch { flow: release, total, series, since: self.clock, freed });
        }
    }

    fn bring_buffered(&mut self, nutrient: Nutrient, flow: Flow, from: Pool, amount: Spread) {
        let felt = amount.times(self.setup.buffer[nutrient as usize]);
        self.post(nutrient, flow, from, Pool::Available, felt);
        self.post(nutrient, flow, from, Pool::Reserve, amount - felt);
    }

    /// Books a picking, if the crop stands: what it takes out of the plants, drawn from the soil if
    /// the plants were not booked to hold so much.
    pub(super) fn harvest(&mut self, harvest: &Harvest, removed: [Estimate; 3]) {
        let Some(at) = self.standing.iter().position(|stand| stand.crop == harvest.crop) else {
            return;
        };
        for nutrient in Nutrient::ALL {
            let index = nutrient as usize;
            let amount = Spread::loss(removed[index]);
            let held = self.standing[at].held[index];
            let missing = (amount - held).positive();
            if !missing.is_nothing() {
                if nutrient == Nutrient::Nitrogen {
                    let free = self.stock(nutrient, Pool::Available).positive();
                    let drawn = missing.at_most(free);
                    self.post(nutrient, Flow::TakenUp, Pool::Available, Pool::Crop, drawn);
                    let rest = missing - drawn;
                    self.post(nutrient, Flow::Unexplained, Pool::Outside, Pool::Crop, rest);
                } else {
                    self.take_buffered(nutrient, missing);
                }
                self.standing[at].held[index] = held + missing;
            }
            self.post(nutrient, Flow::Harvested, Pool::Crop, Pool::Outside, amount);
            let stand = &mut self.standing[at];
            if nutrient == Nutrient::Nitrogen {
                let kept =
                    amount.with(
                        stand.held[0],
                        |out, held| {
                            if held > 0.0 { 1.0 - out / held } else { 0.0 }
                        },
                    );
                stand.held_fixed = stand.held_fixed.times(kept.positive());
            }
            stand.held[index] = (stand.held[index] - amount).positive();
        }
    }

    /// Clears a stand. What is not said of the residue: covers are dug in, of vegetables it is open.
    pub(super) fn clear(&mut self, knowledge: &Knowledge, at: usize, residue: Option<Residue>) {
        let mut stand = self.standing.remove(at);
        let cover = stand.cover_days.is_some() || knowledge.crops[stand.crop].role == Role::Cover;
        let tops = match residue {
            Some(Residue::Removed | Residue::Composted) => Spread::ZERO,
            Some(Residue::Left | Residue::DugIn) => Spread::same(1.0),
            None if cover => Spread::same(1.0),
            None => self.setup.not_said,
        };
        // Roots and stubble stay whatever becomes of the tops.
        let stays = tops.with(self.setup.root_share, |tops, roots| roots + (1.0 - roots) * tops);
        let age = stand.age(&self.weather, self.today);
        let year1 = stand.uptake.residue_share.unwrap_or_else(|| {
            let percent = cover_n_percent(knowledge, stand.crop, age);
            shares_available(&self.setup.line, percent)
        });
        let placed = if residue == Some(Residue::Left) {
            let tied = tied_up_by(year1, self.setup.tie_up_lying);
            tied.with(self.setup.left_lying, |share, part| {
                share * if share > 0.0 { part } else { 1.0 }
            })
        } else {
            year1
        };
        let series = Series {
            year1: placed,
            year2: placed.positive().times(self.setup.second_of_first),
            rate: self.setup.rate,
        }
        .bounded();
        // A crop that stood for harvest was harvested, whether or not somebody weighed it; a crop
        // cleared young had little to give.
        let ripe = s_curve(age);
        for nutrient in Nutrient::ALL {
            let index = nutrient as usize;
            let held = stand.held[index];
            let picked = (stand.uptake.unwritten[index] * ripe).at_most(held);
            self.post(nutrient, Flow::Harvested, Pool::Crop, Pool::Outside, picked);
            if nutrient == Nutrient::Nitrogen {
                let kept =
                    picked.with(held, |out, held| if held > 0.0 { 1.0 - out / held } else { 0.0 });
                stand.held_fixed = stand.held_fixed.times(kept);
            }
            stand.held[index] = held - picked;
        }
        for nutrient in Nutrient::ALL {
            let held = stand.held[nutrient as usize];
            let returned = held.times(stays);
            self.post(nutrient, Flow::CarriedOff, Pool::Crop, Pool::Outside, held - returned);
            if nutrient == Nutrient::Nitrogen {
                let fixed = stand.held_fixed.at_most(held).times(stays);
                let (flow, from) = (Flow::Returned, Pool::Crop);
                self.lay(flow, from, Flow::FixedReleased, fixed, series);
                self.lay(flow, from, Flow::ResidueReleased, returned - fixed, series);
            } else {
                self.bring_buffered(nutrient, Flow::Returned, Pool::Crop, returned);
            }
        }
    }

    /// Sets the books to what a test found, g/m2.
    pub(super) fn set(&mut self, nutrient: Nutrient, tested: Estimate) {
        let now = self.stock(nutrient, Pool::Available);
        let found = Spread::supply(tested);
        let (flow, available) = (Flow::SetByTest, Pool::Available);
        self.post(nutrient, flow, Pool::Outside, available, (found - now).positive());
        self.post(nutrient, flow, available, Pool::Outside, (now - found).positive());
    }

    /// Sets the organic matter to what a test found.
    pub(super) fn set_organic_matter(&mut self, test: &SoilTest) {
        if let Some(percent) = test.organic_matter {
            let half = super::check::half_of_last_digit(percent.0);
            self.organic_matter = Spread {
                lean: (percent.0 - half).max(0.0),
                likely: percent.0,
                rich: percent.0 + half,
            };
        }
    }
}
