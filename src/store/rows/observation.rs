//! Observations.

use super::values::{Entry, day, optional_text, text};
use super::{BED, Columns, DAY, NOTE, Reading, SECTION, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::{Certainty, Extent, Observation, Seen};
use crate::store::terms::Terms;

impl Stored for Observation {
    const SQL: Columns = &[
        BED,
        SECTION,
        DAY,
        ("crop_id", "INTEGER REFERENCES terms (id)"),
        ("seen", "TEXT NOT NULL CHECK (seen IN ('pathogen', 'disorder', 'unknown', 'healthy'))"),
        ("cause_id", "INTEGER REFERENCES terms (id)"),
        ("symptom", "TEXT NOT NULL"),
        ("extent", "TEXT"),
        ("certainty", "TEXT NOT NULL"),
        NOTE,
    ];

    fn values<'v>(
        &'v self,
        knowledge: &'v Knowledge,
        terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        let (word, cause) = match &self.seen {
            Seen::Pathogen(_) => ("pathogen", terms.term(self.seen.key(knowledge))?),
            Seen::Disorder(key) => ("disorder", terms.term(key)?),
            Seen::Unknown => ("unknown", Entry::NULL),
            Seen::Healthy => ("healthy", Entry::NULL),
        };
        Ok(vec![
            terms.bed(&self.place.bed)?,
            optional_text(self.place.section.as_deref()),
            day(self.date),
            match self.crop {
                Some(crop) => terms.crop(knowledge, crop)?,
                None => Entry::NULL,
            },
            text(word),
            cause,
            text(&self.symptom),
            self.extent.map_or(Entry::NULL, |extent| Entry::Text(extent_text(extent))),
            text(self.certainty.word()),
            text(&self.note),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(Observation {
            place: reading.place(0)?,
            date: reading.day(2)?,
            crop: match reading.row.get::<_, Option<i64>>(reading.from + 3)? {
                Some(_) => Some(reading.crop(3)?),
                None => None,
            },
            seen: seen(reading, 4)?,
            symptom: reading.text(6)?,
            extent: extent(reading, 7)?,
            certainty: reading.choice(
                8,
                &[
                    ("suspected", Certainty::Suspected),
                    ("field_check", Certainty::FieldCheck),
                    ("laboratory", Certainty::Laboratory),
                ],
            )?,
            note: reading.text(9)?,
            origin,
        })
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

fn seen(reading: &Reading<'_, '_>, at: usize) -> rusqlite::Result<Seen> {
    let word = reading.text(at)?;
    Ok(match &*word {
        "unknown" => Seen::Unknown,
        "healthy" => Seen::Healthy,
        "disorder" => Seen::Disorder(reading.term(at + 1)?),
        _ => {
            let key = reading.term(at + 1)?;
            let found = reading.knowledge.pathogens.find(&key).ok_or_else(|| {
                reading.corrupt(at + 1, &format!("pathogen `{key}` is not known to this version"))
            })?;
            Seen::Pathogen(found)
        }
    })
}

fn extent(reading: &Reading<'_, '_>, at: usize) -> rusqlite::Result<Option<Extent>> {
    let Some(word) = reading.some_text(at)? else {
        return Ok(None);
    };
    Ok(Some(match &*word {
        "trace" => Extent::Trace,
        "light" => Extent::Light,
        "moderate" => Extent::Moderate,
        "severe" => Extent::Severe,
        number => Extent::Percent(
            number.parse().map_err(|_| reading.corrupt(at, "neither a word nor a percent"))?,
        ),
    }))
}
