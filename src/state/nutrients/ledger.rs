//! The fold from records to books: events in the order of their days, months between them.

use chrono::{Datelike, Months};

use super::books::{Flow, Month, Nutrient, Pool, Spread};
use super::check::{SoilTestCheck, within_digits};
use super::material::{Load, NotBooked, load};
use super::need::{
    Need, Uptake, cover_figure, grown_by, of_cover, of_vegetable, removal, removed_per_kg,
};
use super::soil::{Setup, Soil, Standing};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PhosphorusClass, Role};
use crate::origin::Origin;
use crate::policy::Policy;
use crate::records::{Amendment, Garden, Harvest, Place, Planting, SoilTest};
use crate::season::{Date, add_years};
use crate::units::{Ppm, SquareMetres};

/// Years of books: what lies before has come to rest in the soil.
const MOST_YEARS: f64 = 12.0;
/// Plantings set within so many days of each other share the ground, as a mixture does.
const TOGETHER_DAYS: i64 = 21;

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
    pub months: Vec<Month>,
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

/// What happens on a day, in the order in which it is booked.
enum Event<'g> {
    Test(&'g SoilTest),
    Harvest(&'g Harvest),
    Cleared(usize, &'g Planting),
    Amendment(&'g Amendment),
    Planted(usize, &'g Planting),
}

impl Event<'_> {
    fn rank(&self) -> u8 {
        match self {
            Self::Test(_) => 0,
            Self::Harvest(_) => 1,
            Self::Cleared(..) => 2,
            Self::Amendment(_) => 3,
            Self::Planted(..) => 4,
        }
    }

    fn origin(&self) -> &Origin {
        match self {
            Self::Test(record) => &record.origin,
            Self::Harvest(record) => &record.origin,
            Self::Cleared(_, record) | Self::Planted(_, record) => &record.origin,
            Self::Amendment(record) => &record.origin,
        }
    }
}

/// The parts of the records that a place's books read.
struct Reader<'a> {
    garden: &'a Garden,
    knowledge: &'a Knowledge,
    policy: &'a Policy,
    place: &'a Place,
    bed: Option<SquareMetres>,
    sections: f64,
    begins: Option<Date>,
    date: Date,
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
        let bed = garden.bed(&place.bed);
        let reader = Reader {
            garden,
            knowledge,
            policy,
            place,
            bed: bed.map(crate::records::Bed::area),
            sections: garden.sections(&place.bed).len().max(1) as f64,
            begins,
            date,
        };
        let setup = Setup::of(garden, bed, knowledge, policy, date);
        let mut events = reader.events();
        let earliest = add_years(date, -MOST_YEARS);
        let from = begins
            .or_else(|| {
                let stated = garden.known_from(place).filter(|from| *from <= date);
                events.first().map(|(day, _)| *day).into_iter().chain(stated).min()
            })
            .map(|from| from.max(earliest));
        events.retain(|(day, _)| from.is_some_and(|from| *day >= from));
        let mut ledger = Self {
            place: place.clone(),
            from,
            to: date,
            months: Vec::new(),
            checks: Vec::new(),
            last_test: None,
            phosphorus: None,
            booked: Vec::new(),
            unbooked: Vec::new(),
            ground: reader.ground(place),
            soil: Soil::unknown(setup, policy, from.unwrap_or(date)),
        };
        for (day, event) in events {
            ledger.advance(day);
            ledger.happen(&reader, &event);
        }
        ledger.advance(date);
        if ledger.soil.accounts.iter().any(|account| !account.postings.is_empty()) {
            ledger.months.push(ledger.soil.close_month());
        }
        ledger
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

    /// Organic matter that mineralisation is reckoned with, percent.
    #[must_use]
    pub fn organic_matter(&self) -> Estimate {
        self.soil.organic_matter.range()
    }

    /// A nutrient in grams a square metre as the parts per million of a test.
    #[must_use]
    pub fn as_ppm(&self, grams_m2: f64) -> f64 {
        grams_m2 * 1000.0 / self.soil.setup.soil_kg_m2.likely
    }

    /// Whether rain is on record.
    #[must_use]
    pub fn rain_is_known(&self) -> bool {
        self.soil.setup.weather.rain_is_known()
    }

    /// Rain left over in a month on bare ground, mm, if rain is on record.
    #[must_use]
    pub fn surplus_mm(&self, month: u32) -> Option<f64> {
        self.soil.setup.weather.surplus_mm(month)
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
        soil.standing.push(Standing::new(crop, on, until, uptake));
        let mut sums = [Spread::ZERO; 7];
        let mut add = |month: &Month| {
            let account = month.account(Nutrient::Nitrogen);
            for (sum, flow) in sums.iter_mut().zip(SUPPLY_FLOWS) {
                *sum = *sum + account.moved(flow);
            }
        };
        run(&mut soil, until, &mut add);
        add(&soil.close_month());
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
        run(&mut self.soil, to, &mut |month| months.push(month.clone()));
    }

    fn happen(&mut self, reader: &Reader<'_>, event: &Event<'_>) {
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
                self.soil.standing.extend(reader.standing(*index, planting));
            }
        }
    }

    fn amend(&mut self, reader: &Reader<'_>, amendment: &Amendment) {
        let (origin, date) = (amendment.origin.clone(), amendment.date);
        let material = amendment.material.clone();
        let loaded = reader
            .ground(&amendment.place)
            .ok_or(NotBooked::NoAmount)
            .and_then(|ground| load(reader.knowledge, reader.policy, amendment, ground));
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
fn run(soil: &mut Soil, to: Date, closed: &mut dyn FnMut(&Month)) {
    while soil.today < to {
        let next = first_of_next_month(soil.today);
        soil.advance(next.min(to));
        if soil.today == next {
            closed(&soil.close_month());
        }
    }
}

fn first_of_next_month(date: Date) -> Date {
    date.with_day(1).and_then(|first| first.checked_add_months(Months::new(1))).unwrap_or(Date::MAX)
}

impl<'a> Reader<'a> {
    fn counts(&self, place: &Place, day: Date) -> bool {
        place.bears_on(self.place)
            && day <= self.date
            && self.begins.is_none_or(|begins| day >= begins)
    }

    fn events(&self) -> Vec<(Date, Event<'a>)> {
        let garden = self.garden;
        let mut events: Vec<(Date, Event<'a>)> = Vec::new();
        let tests = garden.soil_tests.iter().filter(|test| self.counts(&test.place, test.date));
        events.extend(tests.map(|test| (test.date, Event::Test(test))));
        let harvests = garden.harvests.iter().filter(|one| self.counts(&one.place, one.date));
        events.extend(harvests.map(|harvest| (harvest.date, Event::Harvest(harvest))));
        let amendments = garden.amendments.iter().filter(|one| self.counts(&one.place, one.date));
        events.extend(amendments.map(|one| (one.date, Event::Amendment(one))));
        for (index, planting) in garden.plantings.iter().enumerate() {
            // What comes by itself is small and unmeasured; fungi feed on chips, not on soil.
            let fed = !planting.is_volunteer()
                && self.knowledge.crops[planting.crop].role != Role::Fungus;
            if !fed || !self.counts(&planting.place, planting.stood.start) {
                continue;
            }
            events.push((planting.stood.start, Event::Planted(index, planting)));
            if let Some(end) = planting.stood.end.filter(|end| *end <= self.date) {
                events.push((end, Event::Cleared(index, planting)));
            }
        }
        events.sort_by(|(a_day, a), (b_day, b)| {
            (a_day, a.rank(), a.origin()).cmp(&(b_day, b.rank(), b.origin()))
        });
        events
    }

    /// Ground over which a record's mass is spread: the bed, or a section of equal parts.
    fn ground(&self, place: &Place) -> Option<SquareMetres> {
        let bed = self.bed?;
        let part = match (&place.section, &self.place.section) {
            (Some(_), Some(_)) => 1.0 / self.sections,
            // Seen from the whole bed a section's mass is spread over the bed.
            (Some(_), None) | (None, _) => 1.0,
        };
        Some(bed * part)
    }

    /// Share of the place's ground that a planting holds.
    fn share(&self, planting: &Planting) -> f64 {
        if let (Some(area), Some(ground)) = (planting.area, self.ground(self.place)) {
            return (area.0 / ground.0.max(1e-6)).min(1.0);
        }
        let of_section = match (&planting.place.section, &self.place.section) {
            (Some(_), None) => 1.0 / self.sections,
            (Some(_) | None, Some(_)) | (None, None) => 1.0,
        };
        let together = self
            .garden
            .plantings
            .iter()
            .filter(|other| {
                other.place == planting.place
                    && other.area.is_none()
                    && !other.is_volunteer()
                    && (other.stood.start - planting.stood.start).num_days().abs() <= TOGETHER_DAYS
                    && other.stood.overlaps(&planting.stood)
            })
            .count()
            .max(1) as f64;
        of_section / together
    }

    fn standing(&self, index: usize, planting: &Planting) -> Option<Standing> {
        let (knowledge, policy) = (self.knowledge, self.policy);
        let share = self.share(planting);
        let cover = knowledge.crops[planting.crop].role == Role::Cover
            || cover_figure(knowledge, planting.crop, "n_percent_bloom").is_some()
                && self.written_harvest(planting).is_none();
        let known_end = planting.stood.end.filter(|end| *end <= self.date);
        let usual = grown_by(knowledge, planting.crop, planting.stood.start);
        let grown = known_end.unwrap_or_else(|| usual.max(planting.stood.start));
        let uptake = if cover {
            of_cover(knowledge, policy, planting.crop, share)
        } else {
            let written = known_end.and(self.written_harvest(planting));
            of_vegetable(knowledge, policy, planting.crop, share, written)
        };
        let mut standing = Standing::new(planting.crop, planting.stood.start, grown, uptake);
        standing.planting = Some(index);
        if cover {
            let days = cover_figure(knowledge, planting.crop, "days_to_cover");
            standing.cover_days = Some(days.map_or(90.0, |days| days.likely));
        }
        (share > 0.0).then_some(standing)
    }

    /// Mass picked of a planting, kg/m2 of the place, if any is written.
    fn written_harvest(&self, planting: &Planting) -> Option<f64> {
        let of_it = self.garden.harvests.iter().filter(|harvest| {
            harvest.crop == planting.crop
                && harvest.place.bears_on(&planting.place)
                && self.counts(&harvest.place, harvest.date)
                && harvest.date >= planting.stood.start
                && planting.stood.end.is_none_or(|end| harvest.date <= end)
        });
        let mut total = None;
        for harvest in of_it {
            let ground = self.ground(&harvest.place)?;
            total = Some(total.unwrap_or(0.0) + harvest.mass.0 / ground.0.max(1e-6));
        }
        total
    }
}
