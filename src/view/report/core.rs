//! The core of a place: what stood in it, layer on layer, and what was seen and done.

use itertools::Itertools;

use super::super::evidence::{certainty_words, extent_words};
use super::Material;
use super::sheet::Span;
use crate::knowledge::Role;
use crate::records::{Planting, Seen};
use crate::season::Date;
use crate::state::BedState;

/// What a layer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LayerKind {
    /// Grown for harvest.
    Crop,
    /// Grown for the soil.
    Cover,
    /// Came by itself.
    SelfSown,
    /// Nothing stood.
    Rest,
}

impl LayerKind {
    /// The word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Crop => "crop",
            Self::Cover => "cover",
            Self::SelfSown => "self-sown",
            Self::Rest => "rest",
        }
    }
}

/// A layer: something that stood for a time.
#[derive(Clone, Debug)]
pub struct Layer {
    /// What it is.
    pub kind: LayerKind,
    /// Its name; `rest` for none.
    pub name: String,
    /// Place of its family in the report's list; `None` for a rest.
    pub family: Option<usize>,
    /// First day.
    pub from: Date,
    /// Last day; today if it still stands.
    pub to: Date,
    /// Whether it still stands.
    pub stands: bool,
    /// Which of the lanes side by side it has, from 0.
    pub lane: usize,
    /// File and line; blank for a rest.
    pub record: String,
}

/// What a mark tells of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// A disease that stays with the bed.
    Stays,
    /// A disease that does not, or a disorder.
    Passes,
    /// A disease of unknown cause.
    Unknown,
    /// Something done to the soil.
    Treated,
}

impl MarkKind {
    /// What the sign stands for.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Stays => "disease that stays with the bed",
            Self::Passes => "disease or disorder that does not stay",
            Self::Unknown => "disease of unknown cause",
            Self::Treated => "soil treated or renewed",
        }
    }
}

/// Something seen or done on a day.
#[derive(Clone, Debug)]
pub struct Mark {
    /// What it tells of.
    pub kind: MarkKind,
    /// The day.
    pub on: Date,
    /// In words.
    pub text: String,
    /// In as few words as the picture has room for.
    pub short: String,
    /// File and line.
    pub record: String,
}

/// The core.
#[derive(Clone, Debug)]
pub struct Core {
    /// Lanes side by side.
    pub lanes: usize,
    /// Layers, by first day.
    pub layers: Vec<Layer>,
    /// Marks, by day.
    pub marks: Vec<Mark>,
    /// First day on record; before it nothing is known.
    pub known_from: Option<Date>,
}

/// The families that stood anywhere, by how often, so that the commonest have the plainest patterns.
pub(super) fn families(material: &Material<'_, '_>) -> Vec<String> {
    let knowledge = material.phrases.knowledge;
    let counts = material
        .garden
        .plantings
        .iter()
        .map(|planting| family_of(knowledge, planting))
        .counts()
        .into_iter()
        .sorted_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
    counts.map(|(family, _)| family.to_owned()).collect()
}

fn family_of<'k>(knowledge: &'k crate::knowledge::Knowledge, planting: &Planting) -> &'k str {
    match &*knowledge.crops[planting.crop].family {
        "" => "no plant family",
        family => family,
    }
}

/// The core of a place.
pub(super) fn core(
    material: &Material<'_, '_>,
    families: &[String],
    span: Span,
    state: &BedState<'_>,
) -> Core {
    let knowledge = material.phrases.knowledge;
    let mut layers: Vec<Layer> = state
        .plantings
        .iter()
        .filter(|planting| planting.stood.end_by(span.today) >= span.from)
        .map(|planting| {
            let family = family_of(knowledge, planting);
            let kind = if planting.is_volunteer() {
                LayerKind::SelfSown
            } else if knowledge.crops[planting.crop].role == Role::Cover {
                LayerKind::Cover
            } else {
                LayerKind::Crop
            };
            Layer {
                kind,
                name: material.phrases.crop(planting.crop).to_owned(),
                family: families.iter().position(|known| known == family),
                from: planting.stood.start.max(span.from),
                to: planting.stood.end_by(span.today),
                stands: planting.stood.holds(span.today),
                lane: 0,
                record: planting.origin.to_string(),
            }
        })
        .collect();
    layers.sort_by(|a, b| (a.from, a.to, &a.name).cmp(&(b.from, b.to, &b.name)));
    let lanes = into_lanes(&mut layers);
    let rests = rests(&layers, state.known_from.unwrap_or(span.today).max(span.from), span.today);
    layers.extend(rests);
    layers.sort_by(|a, b| (a.from, a.lane, &a.name).cmp(&(b.from, b.lane, &b.name)));
    Core { lanes, layers, marks: marks(material, span, state), known_from: state.known_from }
}

/// Gives each layer the first lane that is free by its first day.
fn into_lanes(layers: &mut [Layer]) -> usize {
    let mut taken: Vec<Date> = Vec::new();
    for layer in layers {
        let free = taken.iter().position(|until| *until <= layer.from);
        layer.lane = free.unwrap_or(taken.len());
        match free {
            Some(lane) => taken[lane] = layer.to,
            None => taken.push(layer.to),
        }
    }
    taken.len().max(1)
}

/// Times of a month or more in which nothing stood.
fn rests(layers: &[Layer], from: Date, to: Date) -> Vec<Layer> {
    const LEAST_DAYS: i64 = 30;
    let mut rests = Vec::new();
    let mut reached = from;
    let gap = |from: Date, to: Date| Layer {
        kind: LayerKind::Rest,
        name: "rest".to_owned(),
        family: None,
        from,
        to,
        stands: false,
        lane: 0,
        record: String::new(),
    };
    for layer in layers {
        if (layer.from - reached).num_days() >= LEAST_DAYS {
            rests.push(gap(reached, layer.from));
        }
        reached = reached.max(layer.to);
    }
    if (to - reached).num_days() >= LEAST_DAYS {
        rests.push(gap(reached, to));
    }
    rests
}

fn marks(material: &Material<'_, '_>, span: Span, state: &BedState<'_>) -> Vec<Mark> {
    let phrases = material.phrases;
    let seen = state.observations.iter().filter_map(|seen| {
        let kind = match &seen.seen {
            Seen::Healthy => return None,
            Seen::Unknown => MarkKind::Unknown,
            Seen::Disorder(_) => MarkKind::Passes,
            Seen::Pathogen(pathogen) => {
                if phrases.knowledge.pathogens[*pathogen].is_bound_to_bed() {
                    MarkKind::Stays
                } else {
                    MarkKind::Passes
                }
            }
        };
        let on = seen.crop.map_or(String::new(), |crop| format!(" on {}", phrases.crop(crop)));
        let extent =
            seen.extent.map_or(String::new(), |extent| format!(", {}", extent_words(extent)));
        Some(Mark {
            kind,
            on: seen.date,
            short: match &seen.seen {
                Seen::Pathogen(pathogen) => phrases.short_disease(*pathogen).to_owned(),
                other => phrases.seen(other),
            },
            text: format!(
                "{}{on}{extent}, {}",
                phrases.seen(&seen.seen),
                certainty_words(seen.certainty)
            ),
            record: seen.origin.to_string(),
        })
    });
    let treated = state.treatments.iter().map(|treatment| Mark {
        kind: MarkKind::Treated,
        on: treatment.lasted.start,
        short: treatment.practice.0.replace('_', " "),
        text: treatment.practice.0.replace('_', " "),
        record: treatment.origin.to_string(),
    });
    let mut marks: Vec<Mark> = seen.chain(treated).filter(|mark| mark.on >= span.from).collect();
    marks.sort_by(|a, b| (a.on, &a.text).cmp(&(b.on, &b.text)));
    marks
}
