//! Names a grower types: synonyms in several languages, scientific names, disease names that
//! depend on the crop. Accents, case, hyphens and plurals do not matter.

use std::collections::BTreeMap;

use super::citation::Citation;
use super::crops::Crops;
use super::ids::{CropId, PathogenId};
use super::pathogens::Pathogens;
use super::table::{HOW, LOCATOR, SOURCE, citation};
use super::tables::{Table, Tables};
use crate::tabular::{Column, Kind, Problems, Resolved};

/// What a name may name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Named {
    /// A crop, cover, weed.
    Crop,
    /// A pathogen.
    Pathogen,
    /// A disorder or other cause that is not a pathogen.
    Cause,
    /// An amendment.
    Material,
    /// A treatment.
    Practice,
}

const KINDS: &[&str] = &["crop", "pathogen", "cause", "material", "practice"];
const ALL: [Named; 5] =
    [Named::Crop, Named::Pathogen, Named::Cause, Named::Material, Named::Practice];

const COLUMNS: &[Column] = &[
    Column::required("kind", Kind::Choice(KINDS), "what the name names"),
    Column::required("name", Kind::Text(120), "the name as typed"),
    Column::optional("language", Kind::Text(10), "language or register"),
    Column::required("key", Kind::Text(60), "key it stands for"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) const NAMES: Table = Table {
    file: "names.csv",
    text: include_str!("tables/names.csv"),
    columns: COLUMNS,
    subject: &["kind", "name"],
    told_apart_by: &[],
    attributes: None,
};

const DISEASE_COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Text(60), "crop on which the name is used"),
    Column::required("name", Kind::Text(120), "disease name"),
    Column::required("pathogen", Kind::Text(60), "pathogen it means there"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) const DISEASE_NAMES: Table = Table {
    file: "disease_names.csv",
    text: include_str!("tables/disease_names.csv"),
    columns: DISEASE_COLUMNS,
    subject: &["crop", "name"],
    told_apart_by: &[],
    attributes: None,
};

/// A synonym as the table has it.
#[derive(Clone, Debug)]
pub struct Synonym {
    /// What it names.
    pub named: Named,
    /// The name as typed.
    pub name: Box<str>,
    /// Language or register: `en-GB`, `es`, `sci`, ...
    pub language: Box<str>,
    /// The key it stands for.
    pub key: Box<str>,
    /// Where from.
    pub citation: Citation,
}

/// All names, folded.
#[derive(Debug, Default)]
pub struct Names {
    index: BTreeMap<Named, BTreeMap<String, Box<str>>>,
    diseases: BTreeMap<(Box<str>, String), Box<str>>,
    /// The synonyms, in the order of the table.
    pub synonyms: Vec<Synonym>,
}

impl Names {
    pub(super) fn read(tables: &Tables, problems: &mut Problems) -> Self {
        let mut names = Self {
            synonyms: tables.read(&NAMES, problems, |cells| {
                Some(Synonym {
                    named: ALL[cells.choice("kind")?],
                    name: cells.text("name")?.into(),
                    language: cells.text("language").unwrap_or_default().into(),
                    key: cells.text("key")?.into(),
                    citation: citation(cells)?,
                })
            }),
            ..Self::default()
        };
        for synonym in &names.synonyms {
            let folded = fold(&synonym.name);
            names.index.entry(synonym.named).or_default().insert(folded, synonym.key.clone());
        }
        let rows = tables.read(&DISEASE_NAMES, problems, |cells| {
            let crop: Box<str> = cells.text("crop")?.into();
            let name = fold(cells.text("name")?);
            let pathogen: Box<str> = cells.text("pathogen")?.into();
            citation(cells)?;
            Some(((crop, name), pathogen))
        });
        names.diseases = rows.into_iter().collect();
        names
    }

    /// Adds a key or a printed name without displacing a synonym of the table.
    pub(super) fn learn(&mut self, named: Named, name: &str, key: &str) {
        self.index.entry(named).or_default().entry(fold(name)).or_insert_with(|| key.into());
    }

    /// The key of a name.
    ///
    /// # Errors
    /// Up to three names near the one written, best first.
    pub fn find(&self, named: Named, written: &str) -> Resolved<&str> {
        let Some(index) = self.index.get(&named) else {
            return Err(Vec::new());
        };
        let folded = fold(written);
        for form in singular_forms(&folded) {
            if let Some(key) = index.get(&form) {
                return Ok(key);
            }
        }
        Err(nearest(&folded, index))
    }

    /// The crop of a name.
    ///
    /// # Errors
    /// As [`Names::find`].
    pub fn crop(&self, crops: &Crops, written: &str) -> Resolved<CropId> {
        self.find(Named::Crop, written).and_then(|key| crops.find(key).ok_or_else(Vec::new))
    }

    /// The pathogen of a name: its own name, or a disease name that depends on the crop.
    ///
    /// # Errors
    /// As [`Names::find`].
    pub fn pathogen(
        &self,
        pathogens: &Pathogens,
        crop: Option<&str>,
        written: &str,
    ) -> Resolved<PathogenId> {
        if let Some(crop) = crop
            && let Some(key) = self.diseases.get(&(Box::from(crop), fold(written)))
            && let Some(found) = pathogens.find(key)
        {
            return Ok(found);
        }
        self.find(Named::Pathogen, written).and_then(|key| pathogens.find(key).ok_or_else(Vec::new))
    }
}

/// A name without case, accents, punctuation and double blanks.
///
/// ```
/// use breakcrop::knowledge::fold;
/// assert_eq!(fold("  Pimiento-Rojo "), "pimiento rojo");
/// assert_eq!(fold("Céleri_rave"), "celeri rave");
/// ```
#[must_use]
pub fn fold(name: &str) -> String {
    let mut folded = String::with_capacity(name.len());
    for character in name.chars().flat_map(char::to_lowercase) {
        match character {
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => folded.push('a'),
            'è' | 'é' | 'ê' | 'ë' => folded.push('e'),
            'ì' | 'í' | 'î' | 'ï' => folded.push('i'),
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => folded.push('o'),
            'ù' | 'ú' | 'û' | 'ü' => folded.push('u'),
            'ç' => folded.push('c'),
            'ñ' => folded.push('n'),
            'œ' => folded.push_str("oe"),
            'æ' => folded.push_str("ae"),
            'ß' => folded.push_str("ss"),
            '\u{300}'..='\u{36f}' | '\'' | '’' | '.' | '×' => {}
            '-' | '_' | '/' | '(' | ')' | ',' | ' ' | '\u{a0}' => {
                if !folded.is_empty() && !folded.ends_with(' ') {
                    folded.push(' ');
                }
            }
            other => folded.push(other),
        }
    }
    folded.truncate(folded.trim_end().len());
    folded
}

/// The name itself, then the forms it has if it is a plural.
fn singular_forms(folded: &str) -> impl Iterator<Item = String> {
    let stem = |suffix: &str, ending: &str| {
        folded
            .strip_suffix(suffix)
            .filter(|stem| stem.len() > 1)
            .map(|stem| format!("{stem}{ending}"))
    };
    [Some(folded.to_owned()), stem("s", ""), stem("es", ""), stem("ies", "y"), stem("ves", "f")]
        .into_iter()
        .flatten()
}

fn nearest(folded: &str, index: &BTreeMap<String, Box<str>>) -> Vec<String> {
    let allowed = 1 + folded.chars().count() / 5;
    let mut near: Vec<(usize, &str, &str)> = index
        .iter()
        .filter(|(name, _)| name.len().abs_diff(folded.len()) <= allowed)
        .map(|(name, key)| (strsim::osa_distance(folded, name), name.as_str(), &**key))
        .filter(|(distance, ..)| *distance <= allowed)
        .collect();
    near.sort_unstable();
    let mut names: Vec<String> = Vec::new();
    for (_, _, key) in near {
        if !names.iter().any(|name| name == key) {
            names.push(key.to_owned());
        }
        if names.len() == 3 {
            break;
        }
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    #[test]
    fn plurals_and_accents_fold_away() {
        let mut names = Names::default();
        names.learn(Named::Crop, "tomato", "tomato");
        names.learn(Named::Crop, "berry", "berry");
        assert_eq!(names.find(Named::Crop, "Tomatoes"), Ok("tomato"));
        assert_eq!(names.find(Named::Crop, "BERRIES"), Ok("berry"));
    }

    #[test]
    fn a_slip_of_the_pen_finds_its_neighbour_and_nonsense_finds_none() {
        let mut names = Names::default();
        names.learn(Named::Crop, "tomato", "tomato");
        assert_eq!(names.find(Named::Crop, "tomatoe"), Err(vec!["tomato".to_owned()]));
        assert_eq!(names.find(Named::Crop, "xyzzy"), Err(Vec::new()));
    }
}
