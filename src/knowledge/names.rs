//! Names a grower types: synonyms in several languages, scientific names, disease names that
//! depend on the crop. Accents, case, hyphens and plurals do not matter.

use std::collections::BTreeMap;
use std::sync::OnceLock;

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

pub(super) static NAMES: Table = Table {
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

pub(super) static DISEASE_NAMES: Table = Table {
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

/// All names, folded. Most answers need none of them, so each table is read at the first look-up.
#[derive(Debug, Default)]
pub struct Names {
    tables: Tables,
    /// Keys and printed names of the other tables: they never displace a synonym.
    learned: Vec<(Named, Box<str>, Box<str>)>,
    index: OnceLock<Index>,
    diseases: OnceLock<Diseases>,
}

#[derive(Debug, Default)]
struct Index {
    keys: BTreeMap<Named, BTreeMap<String, Box<str>>>,
    synonyms: Vec<Synonym>,
}

/// Pathogen keys by crop key and folded disease name.
type Diseases = BTreeMap<(Box<str>, String), Box<str>>;

impl Names {
    pub(super) fn new(tables: &Tables) -> Self {
        Self { tables: tables.clone(), ..Self::default() }
    }

    /// Adds a key or a printed name without displacing a synonym of the table.
    pub(super) fn learn(&mut self, named: Named, name: &str, key: &str) {
        self.learned.push((named, name.into(), key.into()));
    }

    /// The problems of the two tables.
    pub(super) fn problems(&self, problems: &mut Problems) {
        self.read(problems);
        read_diseases(&self.tables, problems);
    }

    fn index(&self) -> &Index {
        self.index.get_or_init(|| self.read(&mut Problems::default()))
    }

    fn read(&self, problems: &mut Problems) -> Index {
        let synonyms = self.tables.read(&NAMES, problems, |cells| {
            Some(Synonym {
                named: ALL[cells.choice("kind")?],
                name: cells.text("name")?.into(),
                language: cells.text("language").unwrap_or_default().into(),
                key: cells.text("key")?.into(),
                citation: citation(cells)?,
            })
        });
        let mut keys: BTreeMap<Named, BTreeMap<String, Box<str>>> = BTreeMap::new();
        for synonym in &synonyms {
            let of_kind = keys.entry(synonym.named).or_default();
            of_kind.insert(fold(&synonym.name), synonym.key.clone());
        }
        // A key is a name of what it stands for, also where no table has a row for it.
        let own = synonyms.iter().map(|synonym| (synonym.named, &synonym.key, &synonym.key));
        let learned = self.learned.iter().map(|(named, name, key)| (*named, name, key));
        for (named, name, key) in own.chain(learned) {
            let of_kind = keys.entry(named).or_default();
            of_kind.entry(fold(name)).or_insert_with(|| key.clone());
        }
        Index { keys, synonyms }
    }

    /// The synonyms, in the order of the table.
    #[must_use]
    pub fn synonyms(&self) -> &[Synonym] {
        &self.index().synonyms
    }

    /// The key of a name.
    ///
    /// # Errors
    /// Up to three names near the one written, best first.
    pub fn find(&self, named: Named, written: &str) -> Resolved<&str> {
        let Some(index) = self.index().keys.get(&named) else {
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
            && let Some(key) = self
                .diseases
                .get_or_init(|| read_diseases(&self.tables, &mut Problems::default()))
                .get(&(Box::from(crop), fold(written)))
            && let Some(found) = pathogens.find(key)
        {
            return Ok(found);
        }
        self.find(Named::Pathogen, written).and_then(|key| pathogens.find(key).ok_or_else(Vec::new))
    }
}

fn read_diseases(tables: &Tables, problems: &mut Problems) -> Diseases {
    let rows = tables.read(&DISEASE_NAMES, problems, |cells| {
        let crop: Box<str> = cells.text("crop")?.into();
        let name = fold(cells.text("name")?);
        let pathogen: Box<str> = cells.text("pathogen")?.into();
        citation(cells)?;
        Some(((crop, name), pathogen))
    });
    rows.into_iter().collect()
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
    for character in name.chars() {
        if character.is_ascii() {
            push_folded(&mut folded, character.to_ascii_lowercase());
        } else {
            character.to_lowercase().for_each(|small| push_folded(&mut folded, small));
        }
    }
    folded.truncate(folded.trim_end().len());
    folded
}

fn push_folded(folded: &mut String, small: char) {
    match small {
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
