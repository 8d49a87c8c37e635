//! All records of one garden, as they stand now.

use super::{
    Amendment, Bed, ClimateMonth, Exception, Harvest, Observation, OfBeds, Planting, Site,
    SoilTest, Treatment, WeatherDay, Wish,
};
use crate::season::Date;
use std::cmp::Ordering;
use std::fmt;

/// A bed, or a section of one.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// Bed.
    pub bed: Box<str>,
    /// Section; `None` is the whole bed.
    pub section: Option<Box<str>>,
}

impl Place {
    /// A whole bed.
    #[must_use]
    pub fn whole(bed: &str) -> Self {
        Self { bed: bed.into(), section: None }
    }

    /// A section of a bed.
    #[must_use]
    pub fn section(bed: &str, section: &str) -> Self {
        Self { bed: bed.into(), section: Some(section.into()) }
    }

    /// Whether what happened at one place bears on the other: the same bed, and the same section
    /// unless one of the two is the whole bed.
    #[must_use]
    pub fn bears_on(&self, other: &Self) -> bool {
        self.bed == other.bed
            && (self.section.is_none() || other.section.is_none() || self.section == other.section)
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.section {
            Some(section) => write!(f, "{}/{section}", self.bed),
            None => f.write_str(&self.bed),
        }
    }
}

impl Planting {
    /// The order of plantings in a garden: by day, then by place, crop and line.
    pub(crate) fn in_order(&self, other: &Self) -> Ordering {
        (self.stood.start, &self.place, self.crop, &self.origin).cmp(&(
            other.stood.start,
            &other.place,
            other.crop,
            &other.origin,
        ))
    }
}

impl Amendment {
    /// The order of amendments in a garden: by day, then by place and line.
    pub(crate) fn in_order(&self, other: &Self) -> Ordering {
        (self.date, &self.place, &self.origin).cmp(&(other.date, &other.place, &other.origin))
    }
}

/// One garden's records, each kind in the order of its days.
#[derive(Clone, Debug, Default)]
pub struct Garden {
    /// Where it lies; `None` until written.
    pub site: Option<Site>,
    /// Normals by month, in the order of the months.
    pub climate: Vec<ClimateMonth>,
    /// Daily weather, by day.
    pub weather: Vec<WeatherDay>,
    /// Beds, in natural order of their names.
    pub beds: OfBeds<Bed>,
    /// Plantings, by day planted.
    pub plantings: OfBeds<Planting>,
    /// Observations, by day.
    pub observations: OfBeds<Observation>,
    /// Harvests, by day.
    pub harvests: OfBeds<Harvest>,
    /// Amendments, by day.
    pub amendments: OfBeds<Amendment>,
    /// Soil tests, by day.
    pub soil_tests: OfBeds<SoilTest>,
    /// Treatments, by first day.
    pub treatments: OfBeds<Treatment>,
    /// Wishes, as written.
    pub wishes: Vec<Wish>,
    /// Exceptions, as written.
    pub exceptions: Vec<Exception>,
}

impl Garden {
    /// Puts every kind of record in its order. Records of the same day keep the order of their
    /// places and lines, so that the order of files and rows cannot change an answer.
    pub fn sort(&mut self) {
        self.climate.sort_by_key(|month| month.month);
        self.weather.sort_by_key(|day| day.date);
        self.beds.sort_by(|a, b| natural_order(&a.name, &b.name));
        self.plantings.sort_by(Planting::in_order);
        self.observations
            .sort_by(|a, b| (a.date, &a.place, &a.origin).cmp(&(b.date, &b.place, &b.origin)));
        self.harvests
            .sort_by(|a, b| (a.date, &a.place, &a.origin).cmp(&(b.date, &b.place, &b.origin)));
        self.amendments.sort_by(Amendment::in_order);
        self.soil_tests
            .sort_by(|a, b| (a.date, &a.place, &a.origin).cmp(&(b.date, &b.place, &b.origin)));
        self.treatments.sort_by(|a, b| {
            (a.lasted.start, &a.place, &a.origin).cmp(&(b.lasted.start, &b.place, &b.origin))
        });
        self.wishes.sort_by(|a, b| a.origin.cmp(&b.origin));
        self.exceptions.sort_by(|a, b| a.origin.cmp(&b.origin));
    }

    /// Takes out all beds with their records and leaves what they share: site, climate, weather,
    /// wishes, exceptions.
    pub fn clear_beds(&mut self) {
        self.beds.clear();
        self.plantings.clear();
        self.observations.clear();
        self.harvests.clear();
        self.amendments.clear();
        self.soil_tests.clear();
        self.treatments.clear();
    }

    /// The bed of a name; capitals do not tell beds apart.
    #[must_use]
    pub fn bed(&self, name: &str) -> Option<&Bed> {
        self.beds.alike(name).map(|(_, bed)| bed).next()
    }

    /// The sections that the records of a bed speak of, in order; empty if only of the whole bed.
    #[must_use]
    pub fn sections(&self, bed: &str) -> Vec<Box<str>> {
        let mut sections: Vec<Box<str>> = self
            .plantings
            .of(bed)
            .map(|planting| &planting.place)
            .chain(self.observations.of(bed).map(|seen| &seen.place))
            .filter_map(|place| place.section.clone())
            .collect();
        sections.sort_by(|a, b| natural_order(a, b));
        sections.dedup();
        sections
    }

    /// The places of a bed at which advice is given: its sections, or the whole bed.
    #[must_use]
    pub fn places(&self, bed: &str) -> Vec<Place> {
        let sections = self.sections(bed);
        if sections.is_empty() {
            return vec![Place::whole(bed)];
        }
        sections.iter().map(|section| Place::section(bed, section)).collect()
    }

    /// First day on which anything of a place is on record; before it nothing is known.
    #[must_use]
    pub fn known_from(&self, place: &Place) -> Option<Date> {
        let stated = self.bed(&place.bed).and_then(|bed| bed.records_from);
        let first = [
            self.plantings.at(place).map(|planting| planting.stood.start).next(),
            self.observations.at(place).map(|seen| seen.date).next(),
        ]
        .into_iter()
        .flatten()
        .min();
        stated.or(first)
    }

    /// How many records there are, the site and its climate included.
    #[must_use]
    pub fn count(&self) -> usize {
        usize::from(self.site.is_some())
            + self.climate.len()
            + self.weather.len()
            + self.beds.len()
            + self.plantings.len()
            + self.observations.len()
            + self.harvests.len()
            + self.amendments.len()
            + self.soil_tests.len()
            + self.treatments.len()
            + self.wishes.len()
            + self.exceptions.len()
    }
}

/// Names in the order people expect: `bed 2` before `bed 10`.
#[must_use]
pub fn natural_order(a: &str, b: &str) -> Ordering {
    let (mut one, mut other) = (a.chars().peekable(), b.chars().peekable());
    loop {
        match (one.peek().copied(), other.peek().copied()) {
            (None, None) => return a.cmp(b),
            (None, _) => return Ordering::Less,
            (_, None) => return Ordering::Greater,
            (Some(x), Some(y)) if x.is_ascii_digit() && y.is_ascii_digit() => {
                let order = number(&mut one).cmp(&number(&mut other));
                if order != Ordering::Equal {
                    return order;
                }
            }
            (Some(x), Some(y)) => {
                let order = x.to_lowercase().cmp(y.to_lowercase());
                if order != Ordering::Equal {
                    return order;
                }
                one.next();
                other.next();
            }
        }
    }
}

fn number(characters: &mut std::iter::Peekable<std::str::Chars<'_>>) -> u64 {
    let mut sum = 0_u64;
    while let Some(digit) = characters.peek().and_then(|character| character.to_digit(10)) {
        sum = sum.saturating_mul(10).saturating_add(u64::from(digit));
        characters.next();
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    #[test]
    fn bed_two_stands_before_bed_ten() {
        let mut names = vec!["bed 10", "Bed 2", "bed 1", "attic tub"];
        names.sort_by(|a, b| natural_order(a, b));
        assert_eq!(names, ["attic tub", "bed 1", "Bed 2", "bed 10"]);
    }

    #[test]
    fn a_section_bears_on_itself_and_on_the_whole_bed_only() {
        let north = Place::section("b", "north");
        assert!(north.bears_on(&Place::whole("b")));
        assert!(Place::whole("b").bears_on(&north));
        assert!(!north.bears_on(&Place::section("b", "south")));
        assert!(!north.bears_on(&Place::section("c", "north")));
    }
}
