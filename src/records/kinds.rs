//! The kinds of record, their files and columns: the one list from which importing, exporting,
//! schemas and templates go.

use super::{
    Amendment, Bed, ClimateMonth, Exception, Garden, Harvest, Lookup, Observation, Place, Planting,
    Site, SoilTest, Treatment, WeatherDay, Wish,
};
use crate::knowledge::{CropId, Knowledge};
use crate::origin::Origin;
use crate::tabular::{Cells, Column};

/// A kind of record; each has a CSV file of its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RecordKind {
    /// `site.csv`
    Site,
    /// `climate.csv`
    Climate,
    /// `weather.csv`
    Weather,
    /// `beds.csv`
    Beds,
    /// `plantings.csv`
    Plantings,
    /// `observations.csv`
    Observations,
    /// `harvests.csv`
    Harvests,
    /// `amendments.csv`
    Amendments,
    /// `soil_tests.csv`
    SoilTests,
    /// `treatments.csv`
    Treatments,
    /// `wishes.csv`
    Wishes,
    /// `exceptions.csv`
    Exceptions,
}

impl RecordKind {
    /// All kinds in the order in which they are read: beds before what stands in them.
    pub const ALL: [Self; 12] = [
        Self::Site,
        Self::Climate,
        Self::Weather,
        Self::Beds,
        Self::Plantings,
        Self::Observations,
        Self::Harvests,
        Self::Amendments,
        Self::SoilTests,
        Self::Treatments,
        Self::Wishes,
        Self::Exceptions,
    ];

    /// The kind of a file name: `plantings.csv`, and `plantings-2024.csv` for those who keep a
    /// file a year.
    #[must_use]
    pub fn of_file(name: &str) -> Option<Self> {
        let stem = name.strip_suffix(".csv").or_else(|| name.strip_suffix(".CSV"))?;
        Self::ALL.into_iter().find(|kind| {
            stem.strip_prefix(kind.word()).is_some_and(|rest| {
                rest.is_empty() || rest.starts_with('-') || rest.starts_with('.')
            })
        })
    }

    /// The word for the kind: file stem, table name, JSON key.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Site => "site",
            Self::Climate => "climate",
            Self::Weather => "weather",
            Self::Beds => "beds",
            Self::Plantings => "plantings",
            Self::Observations => "observations",
            Self::Harvests => "harvests",
            Self::Amendments => "amendments",
            Self::SoilTests => "soil_tests",
            Self::Treatments => "treatments",
            Self::Wishes => "wishes",
            Self::Exceptions => "exceptions",
        }
    }

    /// The columns of the file.
    #[must_use]
    pub fn columns(self) -> &'static [Column] {
        match self {
            Self::Site => Site::COLUMNS,
            Self::Climate => ClimateMonth::COLUMNS,
            Self::Weather => WeatherDay::COLUMNS,
            Self::Beds => Bed::COLUMNS,
            Self::Plantings => Planting::COLUMNS,
            Self::Observations => Observation::COLUMNS,
            Self::Harvests => Harvest::COLUMNS,
            Self::Amendments => Amendment::COLUMNS,
            Self::SoilTests => SoilTest::COLUMNS,
            Self::Treatments => Treatment::COLUMNS,
            Self::Wishes => Wish::COLUMNS,
            Self::Exceptions => Exception::COLUMNS,
        }
    }

    /// Reads a row; `None` leaves its problems with the cells.
    #[must_use]
    pub fn read(self, cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<Record> {
        let record = match self {
            Self::Site => Record::Site(Site::read(cells)?),
            Self::Climate => Record::Climate(ClimateMonth::read(cells)?),
            Self::Weather => Record::Weather(WeatherDay::read(cells)?),
            Self::Beds => Record::Bed(Bed::read(cells, lookup.beds())?),
            Self::Plantings => Record::Planting(Planting::read(cells, lookup)?),
            Self::Observations => Record::Observation(Observation::read(cells, lookup)?),
            Self::Harvests => Record::Harvest(Harvest::read(cells, lookup)?),
            Self::Amendments => Record::Amendment(Amendment::read(cells, lookup)?),
            Self::SoilTests => Record::SoilTest(SoilTest::read(cells, lookup)?),
            Self::Treatments => Record::Treatment(Treatment::read(cells, lookup)?),
            Self::Wishes => Record::Wish(Wish::read(cells, lookup)?),
            Self::Exceptions => Record::Exception(Exception::read(cells, lookup)?),
        };
        cells.is_sound().then_some(record)
    }
}

/// One record of any kind, on its way from a file to the store or back.
#[derive(Clone, Debug, PartialEq)]
pub enum Record {
    /// The site.
    Site(Site),
    /// A month's normals.
    Climate(ClimateMonth),
    /// A day's weather.
    Weather(WeatherDay),
    /// A bed.
    Bed(Bed),
    /// A planting.
    Planting(Planting),
    /// An observation.
    Observation(Observation),
    /// A harvest.
    Harvest(Harvest),
    /// An amendment.
    Amendment(Amendment),
    /// A soil test.
    SoilTest(SoilTest),
    /// A treatment.
    Treatment(Treatment),
    /// A wish.
    Wish(Wish),
    /// An exception.
    Exception(Exception),
}

impl Record {
    /// The kind.
    #[must_use]
    pub fn kind(&self) -> RecordKind {
        match self {
            Self::Site(_) => RecordKind::Site,
            Self::Climate(_) => RecordKind::Climate,
            Self::Weather(_) => RecordKind::Weather,
            Self::Bed(_) => RecordKind::Beds,
            Self::Planting(_) => RecordKind::Plantings,
            Self::Observation(_) => RecordKind::Observations,
            Self::Harvest(_) => RecordKind::Harvests,
            Self::Amendment(_) => RecordKind::Amendments,
            Self::SoilTest(_) => RecordKind::SoilTests,
            Self::Treatment(_) => RecordKind::Treatments,
            Self::Wish(_) => RecordKind::Wishes,
            Self::Exception(_) => RecordKind::Exceptions,
        }
    }

    /// Where it was written.
    #[must_use]
    pub fn origin(&self) -> &Origin {
        match self {
            Self::Site(record) => &record.origin,
            Self::Climate(record) => &record.origin,
            Self::Weather(record) => &record.origin,
            Self::Bed(record) => &record.origin,
            Self::Planting(record) => &record.origin,
            Self::Observation(record) => &record.origin,
            Self::Harvest(record) => &record.origin,
            Self::Amendment(record) => &record.origin,
            Self::SoilTest(record) => &record.origin,
            Self::Treatment(record) => &record.origin,
            Self::Wish(record) => &record.origin,
            Self::Exception(record) => &record.origin,
        }
    }

    /// What makes it the same record when it is imported again with other figures: then the new
    /// one supersedes the old one. Corrected days or names make another record.
    #[must_use]
    pub fn identity(&self, knowledge: &Knowledge) -> u64 {
        let key = |crop: CropId| &*knowledge.crops[crop].key;
        let mut hash = Fnv::new();
        hash.word(self.kind().word());
        match self {
            Self::Site(_) => {}
            Self::Climate(record) => hash.number(i64::from(record.month)),
            Self::Weather(record) => hash.day(record.date),
            Self::Bed(record) => hash.word(&record.name),
            Self::Planting(record) => {
                hash.place(&record.place);
                hash.word(key(record.crop));
                hash.word(&record.variety);
                hash.day(record.stood.start);
            }
            Self::Observation(record) => {
                hash.place(&record.place);
                hash.day(record.date);
                hash.word(record.crop.map_or("", key));
                hash.word(record.seen.key(knowledge));
            }
            Self::Harvest(record) => {
                hash.place(&record.place);
                hash.day(record.date);
                hash.word(key(record.crop));
            }
            Self::Amendment(record) => {
                hash.place(&record.place);
                hash.day(record.date);
                hash.word(&record.material);
            }
            Self::SoilTest(record) => {
                hash.place(&record.place);
                hash.day(record.date);
            }
            Self::Treatment(record) => {
                hash.place(&record.place);
                hash.day(record.lasted.start);
                hash.word(&record.practice.0);
            }
            Self::Wish(record) => {
                hash.word(key(record.crop));
                hash.word(&record.season.word());
            }
            Self::Exception(record) => {
                hash.word(&record.rule);
                hash.word(record.bed.as_deref().unwrap_or_default());
            }
        }
        hash.0
    }

    /// Adds the record to a garden.
    pub fn join(self, garden: &mut Garden) {
        match self {
            Self::Site(record) => garden.site = Some(record),
            Self::Climate(record) => garden.climate.push(record),
            Self::Weather(record) => garden.weather.push(record),
            Self::Bed(record) => garden.beds.push(record),
            Self::Planting(record) => garden.plantings.push(record),
            Self::Observation(record) => garden.observations.push(record),
            Self::Harvest(record) => garden.harvests.push(record),
            Self::Amendment(record) => garden.amendments.push(record),
            Self::SoilTest(record) => garden.soil_tests.push(record),
            Self::Treatment(record) => garden.treatments.push(record),
            Self::Wish(record) => garden.wishes.push(record),
            Self::Exception(record) => garden.exceptions.push(record),
        }
    }
}

/// FNV-1a, 64 bit: the same on every machine and in every version, as a stored digest must be.
pub(crate) struct Fnv(pub(crate) u64);

impl Fnv {
    const PRIME: u64 = 0x0000_0100_0000_01b3;

    /// The prime to the powers of 0 to 8.
    const POWERS: [u64; 9] = {
        let mut powers = [1_u64; 9];
        let mut at = 1;
        while at < 9 {
            powers[at] = powers[at - 1].wrapping_mul(Self::PRIME);
            at += 1;
        }
        powers
    };

    pub(crate) fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    pub(crate) fn bytes(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(Self::PRIME);
        }
    }

    fn word(&mut self, word: &str) {
        self.bytes(word.as_bytes());
        self.bytes(&[0]);
    }

    /// The eight bytes of a number, the least first. Most are noughts, and a run of those is one
    /// multiplication.
    pub(crate) fn number(&mut self, number: i64) {
        let number = number.cast_unsigned();
        let low = number.trailing_zeros() / 8;
        let mut hash = self.0.wrapping_mul(Self::POWERS[low as usize]);
        let mut rest = number.checked_shr(8 * low).unwrap_or(0);
        let mut left = 8 - low;
        while rest != 0 {
            hash = (hash ^ (rest & 0xff)).wrapping_mul(Self::PRIME);
            rest >>= 8;
            left -= 1;
        }
        self.0 = hash.wrapping_mul(Self::POWERS[left as usize]);
    }

    fn day(&mut self, day: crate::season::Date) {
        self.number(crate::season::day_number(day));
    }

    fn place(&mut self, place: &Place) {
        self.word(&place.bed);
        self.word(place.section.as_deref().unwrap_or_default());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_counts_as_its_eight_bytes() {
        let reals = [0.0_f64, 1.5, -2.3, 1e-300].map(|real| real.to_bits().cast_signed());
        let whole =
            [0, 1, 255, 256, 20_740, 1 << 32, 0x0100_0000_0000_0000, -1, i64::MIN, i64::MAX];
        for number in whole.into_iter().chain(reals) {
            let (mut one, mut other) = (Fnv::new(), Fnv::new());
            one.number(number);
            other.bytes(&number.to_le_bytes());
            assert_eq!(one.0, other.0, "{number}");
        }
    }
}
