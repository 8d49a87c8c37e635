//! Finding what a grower means by a word: an exact name of anything first, then everything that
//! holds the words.

use super::Knowledge;
use super::ids::{CropId, PathogenId};
use super::names::{Named, fold};

/// A thing of the tables.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Found {
    /// A crop, cover, weed.
    Crop(CropId),
    /// A pathogen.
    Pathogen(PathogenId),
    /// A cause that is not a pathogen, by its key.
    Cause(Box<str>),
    /// A material, by its key.
    Material(Box<str>),
    /// A practice, by its key.
    Practice(Box<str>),
    /// A rootstock, by its key.
    Rootstock(Box<str>),
    /// A resistance code of the seed trade.
    Code(Box<str>),
    /// A clause of a standard, by its id.
    Clause(Box<str>),
    /// A source, by its key.
    Source(Box<str>),
}

impl Knowledge {
    /// Everything that has exactly this name, in any language, or this EPPO code, key or
    /// resistance code. Case, accents and plurals do not matter.
    ///
    /// ```
    /// use breakcrop::knowledge::{Found, Knowledge};
    /// let knowledge = Knowledge::embedded();
    /// let tomato = knowledge.crops.find("tomato").unwrap();
    /// assert_eq!(knowledge.look_up("Solanum lycopersicum").first(), Some(&Found::Crop(tomato)));
    /// ```
    #[must_use]
    pub fn look_up(&self, written: &str) -> Vec<Found> {
        let mut found = Vec::new();
        if let Ok(crop) = self.names.crop(&self.crops, written) {
            found.push(Found::Crop(crop));
        }
        if let Ok(pathogen) = self.names.pathogen(&self.pathogens, None, written) {
            found.push(Found::Pathogen(pathogen));
        }
        for (named, of) in [
            (Named::Cause, Found::Cause as fn(Box<str>) -> Found),
            (Named::Material, Found::Material),
            (Named::Practice, Found::Practice),
        ] {
            if let Ok(key) = self.names.find(named, written) {
                found.push(of(key.into()));
            }
        }
        let folded = fold(written);
        let code = folded.to_uppercase();
        found.extend(
            self.crops
                .iter()
                .filter(|(_, row)| *row.eppo_code == *code)
                .map(|(id, _)| Found::Crop(id)),
        );
        found.extend(
            self.pathogens
                .iter()
                .filter(|(_, row)| *row.eppo_code == *code)
                .map(|(id, _)| Found::Pathogen(id)),
        );
        found.extend(
            self.rootstocks
                .rows()
                .iter()
                .filter(|row| fold(&row.key) == folded || fold(&row.name) == folded)
                .map(|row| Found::Rootstock(row.key.clone())),
        );
        if self.resistances.rows().iter().any(|row| row.is_written(&folded)) {
            found.push(Found::Code(written.trim().into()));
        }
        found.extend(
            self.clauses()
                .iter()
                .filter(|row| fold(&row.id) == folded)
                .map(|row| Found::Clause(row.id.clone())),
        );
        if let Some(source) = self.sources.find(written.trim()) {
            found.push(Found::Source(source.key.clone()));
        }
        let mut seen = Vec::new();
        found.retain(|one| {
            !seen.contains(one) && {
                seen.push(one.clone());
                true
            }
        });
        found
    }

    /// Everything whose names, key or title hold all the words, in the order of the tables.
    #[must_use]
    pub fn search(&self, written: &str) -> Vec<Found> {
        let folded = fold(written);
        let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
        if words.is_empty() {
            return Vec::new();
        }
        let holds = |text: &str| {
            let text = fold(text);
            words.iter().all(|word| text.contains(word))
        };
        let synonym = |named: Named, key: &str| {
            self.names.synonyms().iter().any(|synonym| {
                synonym.named == named && *synonym.key == *key && holds(&synonym.name)
            })
        };
        let mut found: Vec<Found> = Vec::new();
        found.extend(
            self.crops
                .iter()
                .filter(|(_, row)| {
                    holds(&format!("{} {} {}", row.key, row.name, row.scientific_name))
                        || synonym(Named::Crop, &row.key)
                })
                .map(|(id, _)| Found::Crop(id)),
        );
        found.extend(
            self.pathogens
                .iter()
                .filter(|(_, row)| {
                    holds(&format!("{} {} {}", row.key, row.name, row.scientific_name))
                        || synonym(Named::Pathogen, &row.key)
                })
                .map(|(id, _)| Found::Pathogen(id)),
        );
        found.extend(
            self.symptoms
                .causes()
                .iter()
                .filter(|row| {
                    holds(&format!("{} {}", row.key, row.name)) || synonym(Named::Cause, &row.key)
                })
                .map(|row| Found::Cause(row.key.clone())),
        );
        found.extend(
            self.materials
                .rows()
                .iter()
                .filter(|row| holds(&row.key) || synonym(Named::Material, &row.key))
                .map(|row| Found::Material(row.key.clone())),
        );
        found.extend(
            self.rootstocks
                .rows()
                .iter()
                .filter(|row| holds(&format!("{} {} {}", row.key, row.name, row.species)))
                .map(|row| Found::Rootstock(row.key.clone())),
        );
        found.extend(
            self.clauses()
                .iter()
                .filter(|row| holds(&format!("{} {} {}", row.id, row.clause, row.demands)))
                .map(|row| Found::Clause(row.id.clone())),
        );
        found.extend(
            self.sources
                .iter()
                .filter(|row| holds(&format!("{} {} {}", row.key, row.author, row.title)))
                .map(|row| Found::Source(row.key.clone())),
        );
        found
    }
}
