//! The record tables: their columns, and how a record becomes a row and comes back.
//!
//! One list per kind gives the SQL of the table, the values of a row and its reading, in the same
//! order, so that they cannot drift apart; a round-trip test holds them together.

use rusqlite::types::{Type, Value};
use rusqlite::{Error as SqlError, Row};

use super::terms::Terms;
use crate::knowledge::{CropId, Knowledge};
use crate::origin::Origin;
use crate::records::{
    Amendment, Amount, Bed, BedKind, Certainty, ClimateMonth, Exception, Extent, FrostDay, Harvest,
    Method, Observation, Place, Planting, Practice, Record, RecordKind, Residue, Season, Seen,
    Site, SoilTest, Treatment, WeatherDay, Wish,
};
use crate::season::{Date, Interval, day_number, from_day_number};
use crate::units::{
    Celsius, Centimetres, Kilograms, Litres, Metres, Millimetres, Percent, Ppm, SquareMetres,
};

/// Columns of a kind's table beside those that every record has, as SQL.
pub(super) fn columns(kind: RecordKind) -> &'static [(&'static str, &'static str)] {
    const BED: (&str, &str) = ("bed_id", "INTEGER NOT NULL REFERENCES bed_names (id)");
    const SECTION: (&str, &str) = ("section", "TEXT");
    const DAY: (&str, &str) = ("day", "INTEGER NOT NULL");
    const CROP: (&str, &str) = ("crop_id", "INTEGER NOT NULL REFERENCES terms (id)");
    const NOTE: (&str, &str) = ("note", "TEXT NOT NULL");
    match kind {
        RecordKind::Site => &[
            ("name", "TEXT NOT NULL"),
            (
                "latitude",
                "REAL NOT NULL CHECK (latitude BETWEEN -90 AND 90)",
            ),
            (
                "longitude",
                "REAL NOT NULL CHECK (longitude BETWEEN -180 AND 180)",
            ),
            ("elevation_m", "REAL"),
            ("last_frost", "TEXT"),
            ("first_frost", "TEXT"),
        ],
        RecordKind::Climate => &[
            ("month", "INTEGER NOT NULL CHECK (month BETWEEN 1 AND 12)"),
            ("tmin_c", "REAL NOT NULL"),
            ("tmax_c", "REAL NOT NULL"),
            ("rain_mm", "REAL CHECK (rain_mm >= 0)"),
            ("tmin_sd_c", "REAL CHECK (tmin_sd_c >= 0)"),
        ],
        RecordKind::Weather => &[
            DAY,
            ("tmin_c", "REAL NOT NULL"),
            ("tmax_c", "REAL NOT NULL"),
            ("rain_mm", "REAL"),
        ],
        RecordKind::Beds => &[
            BED,
            ("kind", "TEXT NOT NULL"),
            ("length_m", "REAL NOT NULL CHECK (length_m > 0)"),
            ("width_m", "REAL NOT NULL CHECK (width_m > 0)"),
            ("x_m", "REAL"),
            ("y_m", "REAL"),
            ("soil_depth_cm", "REAL"),
            ("records_from", "INTEGER"),
            NOTE,
        ],
        RecordKind::Plantings => &[
            BED,
            SECTION,
            CROP,
            ("variety", "TEXT NOT NULL"),
            ("rootstock", "TEXT NOT NULL"),
            ("resistance", "TEXT NOT NULL"),
            ("method", "TEXT"),
            ("planted", "INTEGER NOT NULL"),
            ("removed", "INTEGER CHECK (removed >= planted)"),
            ("plants", "INTEGER CHECK (plants > 0)"),
            ("area_m2", "REAL CHECK (area_m2 > 0)"),
            ("row_spacing_cm", "REAL"),
            ("plant_spacing_cm", "REAL"),
            ("residue", "TEXT"),
            NOTE,
        ],
        RecordKind::Observations => &[
            BED,
            SECTION,
            DAY,
            ("crop_id", "INTEGER REFERENCES terms (id)"),
            (
                "seen",
                "TEXT NOT NULL CHECK (seen IN ('pathogen', 'disorder', 'unknown', 'healthy'))",
            ),
            ("cause_id", "INTEGER REFERENCES terms (id)"),
            ("symptom", "TEXT NOT NULL"),
            ("extent", "TEXT"),
            ("certainty", "TEXT NOT NULL"),
            NOTE,
        ],
        RecordKind::Harvests => &[
            BED,
            SECTION,
            DAY,
            CROP,
            ("mass_kg", "REAL NOT NULL CHECK (mass_kg >= 0)"),
            NOTE,
        ],
        RecordKind::Amendments => &[
            BED,
            SECTION,
            DAY,
            ("material_id", "INTEGER NOT NULL REFERENCES terms (id)"),
            ("mass_kg", "REAL"),
            ("volume_l", "REAL"),
            ("depth_cm", "REAL"),
            ("n_percent", "REAL"),
            ("p_percent", "REAL"),
            ("k_percent", "REAL"),
            NOTE,
        ],
        RecordKind::SoilTests => &[
            BED,
            SECTION,
            DAY,
            ("ph", "REAL"),
            ("organic_matter_percent", "REAL"),
            ("nitrate_n_ppm", "REAL"),
            ("p_ppm", "REAL"),
            ("p_method", "TEXT"),
            ("k_ppm", "REAL"),
            NOTE,
        ],
        RecordKind::Treatments => &[
            BED,
            SECTION,
            ("start", "INTEGER NOT NULL"),
            ("\"end\"", "INTEGER"),
            ("practice_id", "INTEGER NOT NULL REFERENCES terms (id)"),
            NOTE,
        ],
        RecordKind::Wishes => &[
            CROP,
            ("mass_kg", "REAL"),
            ("area_m2", "REAL"),
            ("month", "TEXT NOT NULL"),
            NOTE,
        ],
        RecordKind::Exceptions => &[
            ("rule", "TEXT NOT NULL"),
            ("bed_id", "INTEGER REFERENCES bed_names (id)"),
            ("until", "INTEGER NOT NULL"),
            ("reason", "TEXT NOT NULL"),
        ],
    }
}

/// The day column by which a kind's rows are looked up together with the bed, if it has both.
pub(super) fn day_column(kind: RecordKind) -> Option<&'static str> {
    match kind {
        RecordKind::Plantings => Some("planted"),
        RecordKind::Observations
        | RecordKind::Harvests
        | RecordKind::Amendments
        | RecordKind::SoilTests => Some("day"),
        RecordKind::Treatments => Some("start"),
        RecordKind::Site
        | RecordKind::Climate
        | RecordKind::Weather
        | RecordKind::Beds
        | RecordKind::Wishes
        | RecordKind::Exceptions => None,
    }
}

fn real(value: Option<f64>) -> Value {
    value.map_or(Value::Null, Value::Real)
}

fn text(value: &str) -> Value {
    Value::Text(value.to_owned())
}

fn optional_text(value: Option<&str>) -> Value {
    value.map_or(Value::Null, text)
}

fn day(value: Date) -> Value {
    Value::Integer(day_number(value))
}

fn optional_day(value: Option<Date>) -> Value {
    value.map_or(Value::Null, day)
}

fn frost(value: FrostDay) -> Value {
    match value {
        FrostDay::Unknown => Value::Null,
        FrostDay::NoneInMostYears => text("none"),
        FrostDay::On(month, day) => Value::Text(format!("{month:02}-{day:02}")),
    }
}

fn extent_text(extent: Extent) -> String {
    match extent {
        Extent::Trace => "trace".to_owned(),
        Extent::Light => "light".to_owned(),
        Extent::Moderate => "moderate".to_owned(),
        Extent::Severe => "severe".to_owned(),
        Extent::Percent(percent) => percent.to_string(),
    }
}

/// The values of a record's row, in the order of [`columns`].
pub(super) fn values(
    record: &Record,
    knowledge: &Knowledge,
    terms: &mut Terms<'_>,
) -> rusqlite::Result<Vec<Value>> {
    let key = |crop: CropId| &*knowledge.crops[crop].key;
    Ok(match record {
        Record::Site(site) => vec![
            text(&site.name),
            Value::Real(site.latitude),
            Value::Real(site.longitude),
            real(site.elevation.map(|height| height.0)),
            frost(site.last_frost),
            frost(site.first_frost),
        ],
        Record::Climate(month) => vec![
            Value::Integer(i64::from(month.month)),
            Value::Real(month.tmin.0),
            Value::Real(month.tmax.0),
            real(month.rain.map(|rain| rain.0)),
            real(month.tmin_sd.map(|sd| sd.0)),
        ],
        Record::Weather(weather) => vec![
            day(weather.date),
            Value::Real(weather.tmin.0),
            Value::Real(weather.tmax.0),
            real(weather.rain.map(|rain| rain.0)),
        ],
        Record::Bed(bed) => vec![
            terms.bed(&bed.name)?,
            text(bed.kind.word()),
            Value::Real(bed.length.0),
            Value::Real(bed.width.0),
            real(bed.x.map(|x| x.0)),
            real(bed.y.map(|y| y.0)),
            real(bed.soil_depth.map(|depth| depth.0)),
            optional_day(bed.records_from),
            text(&bed.note),
        ],
        Record::Planting(planting) => vec![
            terms.bed(&planting.place.bed)?,
            optional_text(planting.place.section.as_deref()),
            terms.term(key(planting.crop))?,
            text(&planting.variety),
            text(&planting.rootstock),
            text(&planting.resistance),
            optional_text(planting.method.map(Method::word)),
            day(planting.stood.start),
            optional_day(planting.stood.end),
            planting.plants.map_or(Value::Null, Value::Integer),
            real(planting.area.map(|area| area.0)),
            real(planting.row_spacing.map(|spacing| spacing.0)),
            real(planting.plant_spacing.map(|spacing| spacing.0)),
            optional_text(planting.residue.map(Residue::word)),
            text(&planting.note),
        ],
        Record::Observation(seen) => {
            let (word, cause) = match &seen.seen {
                Seen::Pathogen(_) => ("pathogen", terms.term(seen.seen.key(knowledge))?),
                Seen::Disorder(key) => ("disorder", terms.term(key)?),
                Seen::Unknown => ("unknown", Value::Null),
                Seen::Healthy => ("healthy", Value::Null),
            };
            vec![
                terms.bed(&seen.place.bed)?,
                optional_text(seen.place.section.as_deref()),
                day(seen.date),
                match seen.crop {
                    Some(crop) => terms.term(key(crop))?,
                    None => Value::Null,
                },
                text(word),
                cause,
                text(&seen.symptom),
                seen.extent
                    .map_or(Value::Null, |extent| Value::Text(extent_text(extent))),
                text(seen.certainty.word()),
                text(&seen.note),
            ]
        }
        Record::Harvest(harvest) => vec![
            terms.bed(&harvest.place.bed)?,
            optional_text(harvest.place.section.as_deref()),
            day(harvest.date),
            terms.term(key(harvest.crop))?,
            Value::Real(harvest.mass.0),
            text(&harvest.note),
        ],
        Record::Amendment(amendment) => {
            let (mass, volume, depth) = match amendment.amount {
                Amount::Mass(mass) => (Some(mass.0), None, None),
                Amount::Volume(volume) => (None, Some(volume.0), None),
                Amount::Depth(depth) => (None, None, Some(depth.0)),
                Amount::Unknown => (None, None, None),
            };
            vec![
                terms.bed(&amendment.place.bed)?,
                optional_text(amendment.place.section.as_deref()),
                day(amendment.date),
                terms.term(&amendment.material)?,
                real(mass),
                real(volume),
                real(depth),
                real(amendment.n.map(|n| n.0)),
                real(amendment.p.map(|p| p.0)),
                real(amendment.k.map(|k| k.0)),
                text(&amendment.note),
            ]
        }
        Record::SoilTest(test) => vec![
            terms.bed(&test.place.bed)?,
            optional_text(test.place.section.as_deref()),
            day(test.date),
            real(test.ph),
            real(test.organic_matter.map(|share| share.0)),
            real(test.nitrate_n.map(|ppm| ppm.0)),
            real(test.p.map(|ppm| ppm.0)),
            optional_text(test.p_method.map(|at| SoilTest::P_METHODS[at])),
            real(test.k.map(|ppm| ppm.0)),
            text(&test.note),
        ],
        Record::Treatment(treatment) => vec![
            terms.bed(&treatment.place.bed)?,
            optional_text(treatment.place.section.as_deref()),
            day(treatment.lasted.start),
            optional_day(treatment.lasted.end),
            terms.term(&treatment.practice.0)?,
            text(&treatment.note),
        ],
        Record::Wish(wish) => vec![
            terms.term(key(wish.crop))?,
            real(wish.mass.map(|mass| mass.0)),
            real(wish.area.map(|area| area.0)),
            Value::Text(wish.season.word()),
            text(&wish.note),
        ],
        Record::Exception(exception) => vec![
            text(&exception.rule),
            match &exception.bed {
                Some(bed) => terms.bed(bed)?,
                None => Value::Null,
            },
            day(exception.until),
            text(&exception.reason),
        ],
    })
}

/// Reads a row back; the typed columns begin at `from`.
pub(super) struct Reading<'r, 'k> {
    pub(super) row: &'r Row<'r>,
    pub(super) from: usize,
    pub(super) knowledge: &'k Knowledge,
    pub(super) terms: &'r super::terms::TermTexts,
}

impl Reading<'_, '_> {
    fn real(&self, at: usize) -> rusqlite::Result<f64> {
        self.row.get(self.from + at)
    }

    fn some_real(&self, at: usize) -> rusqlite::Result<Option<f64>> {
        self.row.get(self.from + at)
    }

    fn text(&self, at: usize) -> rusqlite::Result<Box<str>> {
        self.row.get(self.from + at)
    }

    fn some_text(&self, at: usize) -> rusqlite::Result<Option<Box<str>>> {
        self.row.get(self.from + at)
    }

    fn corrupt(&self, at: usize, what: &str) -> SqlError {
        SqlError::FromSqlConversionFailure(self.from + at, Type::Text, what.to_owned().into())
    }

    fn day(&self, at: usize) -> rusqlite::Result<Date> {
        let days: i64 = self.row.get(self.from + at)?;
        from_day_number(days).ok_or_else(|| self.corrupt(at, "a day outside the calendar"))
    }

    fn some_day(&self, at: usize) -> rusqlite::Result<Option<Date>> {
        let days: Option<i64> = self.row.get(self.from + at)?;
        Ok(days.and_then(from_day_number))
    }

    fn bed(&self, at: usize) -> rusqlite::Result<Box<str>> {
        let id: i64 = self.row.get(self.from + at)?;
        self.terms
            .bed(id)
            .ok_or_else(|| self.corrupt(at, "a bed without a name"))
    }

    fn place(&self, at: usize) -> rusqlite::Result<Place> {
        Ok(Place {
            bed: self.bed(at)?,
            section: self.some_text(at + 1)?,
        })
    }

    fn term(&self, at: usize) -> rusqlite::Result<Box<str>> {
        let id: i64 = self.row.get(self.from + at)?;
        self.terms
            .term(id)
            .ok_or_else(|| self.corrupt(at, "a term without a key"))
    }

    fn crop(&self, at: usize) -> rusqlite::Result<CropId> {
        let key = self.term(at)?;
        self.knowledge
            .crops
            .find(&key)
            .ok_or_else(|| self.corrupt(at, &format!("crop `{key}` is not known to this version")))
    }

    fn choice<T>(&self, at: usize, words: &[(&str, T)]) -> rusqlite::Result<T>
    where
        T: Copy,
    {
        let word = self.text(at)?;
        words
            .iter()
            .find(|(known, _)| **known == *word)
            .map(|(_, value)| *value)
            .ok_or_else(|| self.corrupt(at, &format!("unknown word `{word}`")))
    }

    fn some_choice<T: Copy>(&self, at: usize, words: &[(&str, T)]) -> rusqlite::Result<Option<T>> {
        match self.some_text(at)? {
            None => Ok(None),
            Some(_) => self.choice(at, words).map(Some),
        }
    }

    fn frost(&self, at: usize) -> rusqlite::Result<FrostDay> {
        Ok(match self.some_text(at)?.as_deref() {
            None => FrostDay::Unknown,
            Some("none") => FrostDay::NoneInMostYears,
            Some(written) => written
                .split_once('-')
                .and_then(|(month, day)| Some(FrostDay::On(month.parse().ok()?, day.parse().ok()?)))
                .ok_or_else(|| self.corrupt(at, "not a month and day"))?,
        })
    }

    fn extent(&self, at: usize) -> rusqlite::Result<Option<Extent>> {
        let Some(word) = self.some_text(at)? else {
            return Ok(None);
        };
        Ok(Some(match &*word {
            "trace" => Extent::Trace,
            "light" => Extent::Light,
            "moderate" => Extent::Moderate,
            "severe" => Extent::Severe,
            number => Extent::Percent(
                number
                    .parse()
                    .map_err(|_| self.corrupt(at, "neither a word nor a percent"))?,
            ),
        }))
    }

    fn season(&self, at: usize) -> rusqlite::Result<Season> {
        let word = self.text(at)?;
        Ok(match &*word {
            "" => Season::Any,
            "spring" => Season::Spring,
            "summer" => Season::Summer,
            "autumn" => Season::Autumn,
            "winter" => Season::Winter,
            month => Season::Month(month.parse().map_err(|_| self.corrupt(at, "not a month"))?),
        })
    }

    fn seen(&self, at: usize) -> rusqlite::Result<Seen> {
        let word = self.text(at)?;
        Ok(match &*word {
            "unknown" => Seen::Unknown,
            "healthy" => Seen::Healthy,
            "disorder" => Seen::Disorder(self.term(at + 1)?),
            _ => {
                let key = self.term(at + 1)?;
                let found = self.knowledge.pathogens.find(&key).ok_or_else(|| {
                    self.corrupt(
                        at + 1,
                        &format!("pathogen `{key}` is not known to this version"),
                    )
                })?;
                Seen::Pathogen(found)
            }
        })
    }

    /// The record of a row.
    pub(super) fn record(&self, kind: RecordKind, origin: Origin) -> rusqlite::Result<Record> {
        const METHODS: &[(&str, Method)] = &[
            ("sown", Method::Sown),
            ("transplanted", Method::Transplanted),
            ("volunteer", Method::Volunteer),
        ];
        const RESIDUES: &[(&str, Residue)] = &[
            ("removed", Residue::Removed),
            ("composted", Residue::Composted),
            ("left", Residue::Left),
            ("dug_in", Residue::DugIn),
        ];
        Ok(match kind {
            RecordKind::Site => Record::Site(Site {
                name: self.text(0)?,
                latitude: self.real(1)?,
                longitude: self.real(2)?,
                elevation: self.some_real(3)?.map(Metres),
                last_frost: self.frost(4)?,
                first_frost: self.frost(5)?,
                origin,
            }),
            RecordKind::Climate => Record::Climate(ClimateMonth {
                month: self.row.get(self.from)?,
                tmin: Celsius(self.real(1)?),
                tmax: Celsius(self.real(2)?),
                rain: self.some_real(3)?.map(Millimetres),
                tmin_sd: self.some_real(4)?.map(Celsius),
                origin,
            }),
            RecordKind::Weather => Record::Weather(WeatherDay {
                date: self.day(0)?,
                tmin: Celsius(self.real(1)?),
                tmax: Celsius(self.real(2)?),
                rain: self.some_real(3)?.map(Millimetres),
                origin,
            }),
            RecordKind::Beds => Record::Bed(Bed {
                name: self.bed(0)?,
                kind: self.choice(
                    1,
                    &[
                        ("ground", BedKind::Ground),
                        ("raised", BedKind::Raised),
                        ("container", BedKind::Container),
                    ],
                )?,
                length: Metres(self.real(2)?),
                width: Metres(self.real(3)?),
                x: self.some_real(4)?.map(Metres),
                y: self.some_real(5)?.map(Metres),
                soil_depth: self.some_real(6)?.map(Centimetres),
                records_from: self.some_day(7)?,
                note: self.text(8)?,
                origin,
            }),
            RecordKind::Plantings => Record::Planting(Planting {
                place: self.place(0)?,
                crop: self.crop(2)?,
                variety: self.text(3)?,
                rootstock: self.text(4)?,
                resistance: self.text(5)?,
                method: self.some_choice(6, METHODS)?,
                stood: Interval {
                    start: self.day(7)?,
                    end: self.some_day(8)?,
                },
                plants: self.row.get(self.from + 9)?,
                area: self.some_real(10)?.map(SquareMetres),
                row_spacing: self.some_real(11)?.map(Centimetres),
                plant_spacing: self.some_real(12)?.map(Centimetres),
                residue: self.some_choice(13, RESIDUES)?,
                note: self.text(14)?,
                origin,
            }),
            RecordKind::Observations => Record::Observation(Observation {
                place: self.place(0)?,
                date: self.day(2)?,
                crop: match self.row.get::<_, Option<i64>>(self.from + 3)? {
                    Some(_) => Some(self.crop(3)?),
                    None => None,
                },
                seen: self.seen(4)?,
                symptom: self.text(6)?,
                extent: self.extent(7)?,
                certainty: self.choice(
                    8,
                    &[
                        ("suspected", Certainty::Suspected),
                        ("field_check", Certainty::FieldCheck),
                        ("laboratory", Certainty::Laboratory),
                    ],
                )?,
                note: self.text(9)?,
                origin,
            }),
            RecordKind::Harvests => Record::Harvest(Harvest {
                place: self.place(0)?,
                date: self.day(2)?,
                crop: self.crop(3)?,
                mass: Kilograms(self.real(4)?),
                note: self.text(5)?,
                origin,
            }),
            RecordKind::Amendments => Record::Amendment(Amendment {
                place: self.place(0)?,
                date: self.day(2)?,
                material: self.term(3)?,
                amount: match (self.some_real(4)?, self.some_real(5)?, self.some_real(6)?) {
                    (Some(mass), ..) => Amount::Mass(Kilograms(mass)),
                    (_, Some(volume), _) => Amount::Volume(Litres(volume)),
                    (_, _, Some(depth)) => Amount::Depth(Centimetres(depth)),
                    (None, None, None) => Amount::Unknown,
                },
                n: self.some_real(7)?.map(Percent),
                p: self.some_real(8)?.map(Percent),
                k: self.some_real(9)?.map(Percent),
                note: self.text(10)?,
                origin,
            }),
            RecordKind::SoilTests => Record::SoilTest(SoilTest {
                place: self.place(0)?,
                date: self.day(2)?,
                ph: self.some_real(3)?,
                organic_matter: self.some_real(4)?.map(Percent),
                nitrate_n: self.some_real(5)?.map(Ppm),
                p: self.some_real(6)?.map(Ppm),
                p_method: self.some_text(7)?.and_then(|word| {
                    SoilTest::P_METHODS
                        .iter()
                        .position(|method| **method == *word)
                }),
                k: self.some_real(8)?.map(Ppm),
                note: self.text(9)?,
                origin,
            }),
            RecordKind::Treatments => Record::Treatment(Treatment {
                place: self.place(0)?,
                lasted: Interval {
                    start: self.day(2)?,
                    end: self.some_day(3)?,
                },
                practice: Practice(self.term(4)?),
                note: self.text(5)?,
                origin,
            }),
            RecordKind::Wishes => Record::Wish(Wish {
                crop: self.crop(0)?,
                mass: self.some_real(1)?.map(Kilograms),
                area: self.some_real(2)?.map(SquareMetres),
                season: self.season(3)?,
                note: self.text(4)?,
                origin,
            }),
            RecordKind::Exceptions => Record::Exception(Exception {
                rule: self.text(0)?,
                bed: match self.row.get::<_, Option<i64>>(self.from + 1)? {
                    Some(_) => Some(self.bed(1)?),
                    None => None,
                },
                until: self.day(2)?,
                reason: self.text(3)?,
                origin,
            }),
        })
    }
}
