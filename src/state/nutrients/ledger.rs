//! The books of a place up to a day: what an event does to them, the months between events, and
//! what they say of a crop to come. [`RunningBooks`] carries them from day to day.

use std::sync::Arc;

use chrono::{Datelike, Months};

use super::books::{Flow, Month, Nutrient, Pool, Spread};
use super::check::{SoilTestCheck, within_digits};
use super::material::{Laid, Load, NotBooked, load};
use super::need::{Need, Uptake, grown_in, removal, removed_per_kg};
use super::reader::{Event, Reader};
use super::running::RunningBooks;
use super::soil::{Setup, Soil, Standing};
use super::weather::Weather;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PhosphorusClass};
use crate::origin::Origin;
use crate::policy::Policy;
use crate::records::{Amendment, Garden, Place, SoilTest};
use crate::season::Date;
use crate::units::{Ppm, SquareMetres};

/// An amendment that could not be booked.
#[derive(Clone, Debug, PartialEq)]
pub struct Unbooked {
    /// Where written.
    pub origin: Origin,
    /// Day.
    pub date: Date,
    /// Material.
    pub material: Box<str>,
    /// Why.
    pub why: NotBooked,
}

/// An amendment that was booked.
#[derive(Clone, Debug, PartialEq)]
pub struct Booked {
    /// Where written.
    pub origin: Origin,
    /// Day.
    pub date: Date,
    /// Material.
    pub material: Box<str>,
    /// What it brought.
    pub load: Load,
}

/// The phosphorus of the latest test that names its method.
#[derive(Clone, Debug, PartialEq)]
pub struct PhosphorusTest {
    /// Where written.
    pub origin: Origin,
    /// Day.
    pub date: Date,
    /// Method.
    pub method: &'static str,
    /// Figure.
    pub value: Ppm,
    /// How rich that is.
    pub class: PhosphorusClass,
}

/// The books of a place up to a day.
#[derive(Clone, Debug)]
pub struct Ledger {
    /// Where.
    pub place: Place,
    /// First day of the books; `None` if nothing is on record.
    pub from: Option<Date>,
    /// The day they go to.
    pub to: Date,
    /// The months, oldest first; the last one may be a part.
    pub months: Vec<Arc<Month>>,
    /// Every soil test against the books.
    pub checks: Vec<SoilTestCheck>,
    /// The latest soil test.
    pub last_test: Option<(Origin, Date)>,
    /// The latest phosphorus test.
    pub phosphorus: Option<PhosphorusTest>,
    /// Amendments that were booked, by day.
    pub booked: Vec<Booked>,
    /// Amendments that could not be.
    pub unbooked: Vec<Unbooked>,
    /// Ground of the place.
    pub ground: Option<SquareMetres>,
    soil: Soil,
}

/// What a soil gives to a crop from its first day to the end of its growth, nitrogen in g/m2.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Supply {
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// Free on the first day.
    pub at_start: Spread,
    /// Set free from soil organic matter meanwhile.
    pub mineralised: Spread,
    /// Set free from amendments.
    pub amendments: Spread,
    /// Set free from residue, recycled.
    pub recycled: Spread,
    /// Set free from what legumes had fixed.
    pub fixed: Spread,
    /// Tied up by rotting residue.
    pub tied_up: Spread,
    /// Washed out.
    pub leached: Spread,
    /// Taken up by the crop, as far as its need goes.
    pub taken: Spread,
    /// Left over at the end.
    pub left: Spread,
    /// Free phosphorus and potassium on the first day, as a test would find them.
    pub others_at_start: [Spread; 2],
}

impl Supply {
    /// Nitrogen that the crop could have had: what it took and what is left.
    #[must_use]
    pub fn nitrogen(&self) -> Spread {
        self.taken + self.left
    }
}

impl Ledger {
    /// The books of a place up to the start of a day; records of that day and after are not looked
    /// at, but for those of the day itself that change the soil.
    #[must_use]
    pub fn at(
        garden: &Garden,
        knowledge: &Knowledge,
        policy: &Policy,
        place: &Place,
        begins: Option<Date>,
        date: Date,
    ) -> Self {
        RunningBooks::of(garden, knowledge, policy, place).at(begins, date)
    }

    /// Books that begin on a day; `None` if nothing is on record.
    pub(super) fn opened(reader: &Reader<'_>, from: Option<Date>, date: Date) -> Self {
        let setup = Setup::of(reader.bed, reader.knowledge, reader.policy);
        let weather = Weather::of(reader.garden(), reader.bed, reader.policy, date);
        Self {
            place: reader.place.clone(),
            from,
            to: date,
            months: Vec::new(),
            checks: Vec::new(),
            last_test: None,
            phosphorus: None,
            booked: Vec::new(),
            unbooked: Vec::new(),
            ground: reader.ground(&reader.place),
            soil: Soil::unknown((setup, weather), reader.policy, from.unwrap_or(date)),
        }
    }

    /// Lets what is known of the weather go up to a day.
    pub(super) fn known_before(&mut self, date: Date) {
        self.soil.weather.known_before(date);
    }

    /// Books an event of a day, as it is known on another.
    pub(super) fn take(&mut self, reader: &Reader<'_>, day: Date, event: &Event<'_>, by: Date) {
        self.advance(day);
        self.happen(reader, event, by);
    }

    /// Closes the books on a day.
    pub(super) fn closed(mut self, date: Date) -> Self {
        self.to = date;
        self.advance(date);
        if self.soil.accounts.iter().any(|account| !account.postings.is_empty()) {
            self.months.push(Arc::new(self.soil.close_month()));
        }
        self
    }

    /// What the books have of a nutrient on their last day, g/m2.
    #[must_use]
    pub fn holds(&self, nutrient: Nutrient, pool: Pool) -> Spread {
        self.soil.stock(nutrient, pool)
    }

    /// Nitrogen moved by a flow in the months that begin on or after a day, g/m2.
    #[must_use]
    pub fn freed_since(&self, flow: Flow, since: Date) -> Spread {
        self.months
            .iter()
            .filter(|month| month.from >= since)
            .map(|month| month.account(Nutrient::Nitrogen).moved(flow))
            .sum()
    }

    /// The day by which a crop set on a day has taken what it takes at this site.
    pub(super) fn grown_by(
        &self,
        knowledge: &Knowledge,
        policy: &Policy,
        crop: CropId,
        on: Date,
    ) -> Date {
        let heat = self.soil.weather.heat(knowledge, crop, on);
        grown_in(knowledge, policy, heat.as_ref(), crop, on)
    }

    /// Organic matter that mineralisation is reckoned with, percent.
    #[must_use]
    pub fn organic_matter(&self) -> Estimate {
        self.soil.organic_matter.range()
    }

    /// Whether rain is on record.
    #[must_use]
    pub fn rain_is_known(&self) -> bool {
        self.soil.weather.rain_is_known()
    }

    /// Rain left over in a month on bare ground, mm, if rain is on record.
    #[must_use]
    pub fn surplus_mm(&self, month: u32) -> Option<f64> {
        self.soil.weather.surplus_mm(month)
    }

    /// What the place would give to a crop set on a day at or after the end of the books, if
    /// nothing else is put on. What still stands is taken to be cleared by then.
    #[must_use]
    pub fn supply(
        &self,
        knowledge: &Knowledge,
        crop: CropId,
        need: &Need,
        (on, until): (Date, Date),
    ) -> Supply {
        let mut soil = self.soil.clone();
        run(&mut soil, on, &mut |_| {});
        while !soil.standing.is_empty() {
            soil.clear(knowledge, 0, None);
        }
        soil.close_month();
        let at_start = soil.stock(Nutrient::Nitrogen, Pool::Available);
        let others_at_start = [
            soil.stock(Nutrient::Phosphorus, Pool::Available),
            soil.stock(Nutrient::Potassium, Pool::Available),
        ];
        // The crop itself, so that what it takes in time is not washed out.
        let uptake = Uptake {
            total: need.grams.map(Spread::loss),
            fixed_share: Spread::supply(need.fixed_share),
            unwritten: [Spread::ZERO; 3],
            residue_share: None,
        };
        let mut standing = Standing::new(crop, on, until, uptake);
        standing.heat = soil.weather.heat(knowledge, crop, on);
        soil.standing.push(standing);
        let mut sums = [Spread::ZERO; 7];
        let mut add = |month: Month| {
            let account = month.account(Nutrient::Nitrogen);
            for (sum, flow) in sums.iter_mut().zip(SUPPLY_FLOWS) {
                *sum = *sum + account.moved(flow);
            }
        };
        run(&mut soil, until, &mut add);
        add(soil.close_month());
        let [mineralised, amendments, recycled, fixed, tied_up, leached, taken] = sums;
        Supply {
            from: on,
            to: until,
            at_start,
            mineralised,
            amendments,
            recycled,
            fixed,
            tied_up,
            leached,
            taken,
            left: soil.stock(Nutrient::Nitrogen, Pool::Available),
            others_at_start,
        }
    }

    fn advance(&mut self, to: Date) {
        let months = &mut self.months;
        run(&mut self.soil, to, &mut |month| months.push(Arc::new(month)));
    }

    fn happen(&mut self, reader: &Reader<'_>, event: &Event<'_>, by: Date) {
        match event {
            Event::Test(test) => self.test(reader, test),
            Event::Harvest(harvest) => {
                let Some(ground) = reader.ground(&harvest.place) else { return };
                let kg_m2 = harvest.mass.0 / ground.0;
                let removed = Nutrient::ALL.map(|nutrient| {
                    removed_per_kg(reader.knowledge, harvest.crop, nutrient)
                        .map_or(Estimate::ZERO, |per_kg| removal(kg_m2, per_kg))
                });
                self.soil.harvest(harvest, removed);
            }
            Event::Cleared(index, planting) => {
                let at = self.soil.standing.iter().position(|stand| stand.planting == Some(*index));
                if let Some(at) = at {
                    self.soil.clear(reader.knowledge, at, planting.residue);
                }
            }
            Event::Amendment(amendment) => self.amend(reader, amendment),
            Event::Planted(index, planting) => {
                let standing = reader.standing(*index, planting, by, &self.soil.weather);
                self.soil.standing.extend(standing);
            }
        }
    }

    fn amend(&mut self, reader: &Reader<'_>, amendment: &Amendment) {
        let (origin, date) = (amendment.origin.clone(), amendment.date);
        let material = amendment.material.clone();
        let laid =
            if reader.grows(&amendment.place, date) { Laid::OnTheSoil } else { Laid::NotSaid };
        let loaded = reader
            .ground(&amendment.place)
            .ok_or(NotBooked::NoAmount)
            .and_then(|ground| load(reader.knowledge, reader.policy, amendment, ground, laid));
        match loaded {
            Ok(load) => {
                self.soil.amend(&load);
                self.booked.push(Booked { origin, date, material, load });
            }
            Err(why) => self.unbooked.push(Unbooked { origin, date, material, why }),
        }
    }

    fn test(&mut self, reader: &Reader<'_>, test: &SoilTest) {
        let method = test.p_method.map(|at| SoilTest::P_METHODS[at]);
        let figures = [
            (Nutrient::Nitrogen, test.nitrate_n),
            (Nutrient::Phosphorus, test.p),
            (Nutrient::Potassium, test.k),
        ];
        for (nutrient, ppm) in figures {
            let Some(ppm) = ppm else { continue };
            let tested = self.soil.setup.grams_of_ppm(within_digits(ppm.0));
            let tested_before = self.checks.iter().any(|check| check.nutrient == nutrient);
            let same_method = nutrient != Nutrient::Phosphorus
                || (method.is_some()
                    && self.phosphorus.as_ref().is_some_and(|last| Some(last.method) == method));
            self.checks.push(SoilTestCheck {
                origin: test.origin.clone(),
                date: test.date,
                nutrient,
                booked: self.soil.stock(nutrient, Pool::Available).range(),
                tested,
                comparable: tested_before && same_method,
            });
            self.soil.set(nutrient, tested);
        }
        self.soil.set_organic_matter(test);
        self.last_test = Some((test.origin.clone(), test.date));
        if let (Some(method), Some(value)) = (method, test.p)
            && let Some((class, _)) = reader.knowledge.nutrients().phosphorus_class(method, value)
        {
            let origin = test.origin.clone();
            self.phosphorus =
                Some(PhosphorusTest { origin, date: test.date, method, value, class });
        }
    }
}

const SUPPLY_FLOWS: [Flow; 7] = [
    Flow::Mineralised,
    Flow::AmendmentReleased,
    Flow::ResidueReleased,
    Flow::FixedReleased,
    Flow::TiedUp,
    Flow::Leached,
    Flow::TakenUp,
];

/// Lets the days go by month after month; each full month is handed over as it closes.
fn run(soil: &mut Soil, to: Date, closed: &mut dyn FnMut(Month)) {
    while soil.today < to {
        let next = first_of_next_month(soil.today);
        soil.advance(next.min(to));
        if soil.today == next {
            closed(soil.close_month());
        }
    }
}

fn first_of_next_month(date: Date) -> Date {
    date.with_day(1).and_then(|first| first.checked_add_months(Months::new(1))).unwrap_or(Date::MAX)
}
