//! What the records of a place say to its books: the events by day, the ground that a mass is spread
//! over, how a planting stands as far as is known on a day.

use super::need::{grown_in, of_cover, of_vegetable};
use super::soil::Standing;
use super::weather::Weather;
use crate::knowledge::{Knowledge, Role};
use crate::origin::Origin;
use crate::policy::Policy;
use crate::records::{Amendment, Bed, Garden, Harvest, Place, Planting, SoilTest};
use crate::season::Date;
use crate::units::SquareMetres;

/// What happens on a day, in the order in which it is booked.
#[derive(Clone, Copy)]
pub(super) enum Event<'g> {
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
pub(super) struct Reader<'a> {
    garden: &'a Garden,
    pub(super) knowledge: &'a Knowledge,
    pub(super) policy: &'a Policy,
    pub(super) place: Place,
    pub(super) bed: Option<&'a Bed>,
    sections: f64,
}

impl<'a> Reader<'a> {
    pub(super) fn new(
        garden: &'a Garden,
        knowledge: &'a Knowledge,
        policy: &'a Policy,
        place: &Place,
    ) -> Self {
        let bed = garden.bed(&place.bed);
        let sections = garden.sections(&place.bed).len().max(1) as f64;
        Self { garden, knowledge, policy, place: place.clone(), bed, sections }
    }

    pub(super) fn garden(&self) -> &'a Garden {
        self.garden
    }

    /// Everything that happened to the place since its soil began, by day.
    pub(super) fn events(&self, begins: Option<Date>) -> Vec<(Date, Event<'a>)> {
        let garden = self.garden;
        let counts = |day: Date| begins.is_none_or(|begins| day >= begins);
        let mut events: Vec<(Date, Event<'a>)> = Vec::new();
        let tests = garden.soil_tests.at(&self.place).filter(|test| counts(test.date));
        events.extend(tests.map(|test| (test.date, Event::Test(test))));
        let harvests = garden.harvests.at(&self.place).filter(|one| counts(one.date));
        events.extend(harvests.map(|harvest| (harvest.date, Event::Harvest(harvest))));
        let amendments = garden.amendments.at(&self.place).filter(|one| counts(one.date));
        events.extend(amendments.map(|one| (one.date, Event::Amendment(one))));
        for (index, planting) in garden.plantings.numbered(&self.place.bed) {
            // What comes by itself is small and unmeasured; fungi feed on chips, not on soil.
            let fed = !planting.is_volunteer()
                && self.knowledge.crops[planting.crop].role != Role::Fungus;
            if !fed || !planting.place.bears_on(&self.place) || !counts(planting.stood.start) {
                continue;
            }
            events.push((planting.stood.start, Event::Planted(index, planting)));
            if let Some(end) = planting.stood.end {
                events.push((end, Event::Cleared(index, planting)));
            }
        }
        events.sort_by(|(a_day, a), (b_day, b)| {
            (a_day, a.rank(), a.origin()).cmp(&(b_day, b.rank(), b.origin()))
        });
        events
    }

    /// Whether something was growing in a place before a day and goes on growing after it: what is
    /// spread there that day is laid between it. What came by itself may be dug in with it.
    pub(super) fn grows(&self, place: &Place, date: Date) -> bool {
        self.garden.plantings.at(place).any(|planting| {
            !planting.is_volunteer()
                && planting.stood.start < date
                && planting.stood.end.is_none_or(|end| end > date)
        })
    }

    /// Ground over which a record's mass is spread: the bed, or a section of equal parts.
    pub(super) fn ground(&self, place: &Place) -> Option<SquareMetres> {
        let bed = self.bed?.area();
        let part = match (&place.section, &self.place.section) {
            (Some(_), Some(_)) => 1.0 / self.sections,
            // Seen from the whole bed a section's mass is spread over the bed.
            (Some(_), None) | (None, _) => 1.0,
        };
        Some(bed * part)
    }

    /// Share of the place's ground that a planting holds, as far as is known on a day: what is
    /// planted beside it later does not count before it is there.
    fn share(&self, planting: &Planting, by: Date) -> f64 {
        if let (Some(area), Some(ground)) = (planting.area, self.ground(&self.place)) {
            return (area.0 / ground.0.max(1e-6)).min(1.0);
        }
        let of_section = match (&planting.place.section, &self.place.section) {
            (Some(_), None) => 1.0 / self.sections,
            (Some(_) | None, Some(_)) | (None, None) => 1.0,
        };
        let beside = self.set_beside(planting).filter(|other| other.stood.start <= by).count();
        of_section / beside.max(1) as f64
    }

    /// Plantings without an area that share the ground of one, itself among them.
    fn set_beside(&self, planting: &Planting) -> impl Iterator<Item = &'a Planting> {
        self.garden.plantings.of(&planting.place.bed).filter(|other| {
            other.place == planting.place
                && other.area.is_none()
                && !other.is_volunteer()
                && (other.stood.start - planting.stood.start).num_days().abs()
                    <= self.policy.set_together_days
                && other.stood.overlaps(&planting.stood)
        })
    }

    /// A planting as the books take it that go to a day: when it was cleared and what was picked
    /// later is not known.
    pub(super) fn standing(
        &self,
        index: usize,
        planting: &Planting,
        by: Date,
        weather: &Weather,
    ) -> Option<Standing> {
        let (knowledge, policy) = (self.knowledge, self.policy);
        let share = self.share(planting, by);
        let cover = knowledge.crops[planting.crop].role == Role::Cover
            || knowledge.nutrition(planting.crop).n_percent_bloom.is_some()
                && self.written_harvest(planting, by).is_none();
        let known_end = planting.stood.end.filter(|end| *end <= by);
        let heat = weather.heat(knowledge, planting.crop, planting.stood.start);
        let usual = grown_in(knowledge, policy, heat.as_ref(), planting.crop, planting.stood.start);
        let grown = known_end.unwrap_or_else(|| usual.max(planting.stood.start));
        let uptake = if cover {
            of_cover(knowledge, policy, planting.crop, share)
        } else {
            let written = known_end.and_then(|_| self.written_harvest(planting, by));
            of_vegetable(knowledge, policy, planting.crop, share, written)
        };
        let mut standing = Standing::new(planting.crop, planting.stood.start, grown, uptake);
        standing.planting = Some(index);
        standing.heat = heat;
        if cover {
            let days = knowledge.nutrition(planting.crop).days_to_cover;
            standing.cover_days = Some(days.unwrap_or(policy.growth_days_unknown));
        }
        (share > 0.0).then_some(standing)
    }

    /// What was picked of a planting.
    fn picked(&self, planting: &Planting) -> impl Iterator<Item = &'a Harvest> {
        self.garden.harvests.at(&self.place).filter(|harvest| {
            harvest.crop == planting.crop
                && harvest.place.bears_on(&planting.place)
                && harvest.date >= planting.stood.start
                && planting.stood.end.is_none_or(|end| harvest.date <= end)
        })
    }

    /// Mass picked of a planting by a day, kg/m2 of the place, if any is written.
    fn written_harvest(&self, planting: &Planting, by: Date) -> Option<f64> {
        let mut total = None;
        for harvest in self.picked(planting).filter(|harvest| harvest.date <= by) {
            let ground = self.ground(&harvest.place)?;
            total = Some(total.unwrap_or(0.0) + harvest.mass.0 / ground.0.max(1e-6));
        }
        total
    }

    /// The first day, if any, on which more is known of a planting that still stands on another:
    /// books that go to a day before it take it the same.
    pub(super) fn more_is_known(&self, planting: &Planting, by: Date) -> Option<Date> {
        let picked = self.picked(planting).map(|harvest| harvest.date).find(|date| *date > by);
        let beside = self.set_beside(planting).map(|other| other.stood.start);
        let beside = beside.filter(|start| planting.area.is_none() && *start > by);
        picked.into_iter().chain(planting.stood.end).chain(beside).min()
    }
}
