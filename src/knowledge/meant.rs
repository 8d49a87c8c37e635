//! What a cell means that may name one thing of a table or, in words, several or none.

use super::crops::Crops;
use super::ids::{CropId, PathogenId};
use super::pathogens::Pathogens;

/// One row of a table, or words for several: a group's key, `any`, `soil`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meant<T> {
    /// One.
    One(T),
    /// Words for several, or for none of the table.
    Words(Box<str>),
}

impl<T: Copy + PartialEq> Meant<T> {
    /// Whether this one is meant, and by name.
    #[must_use]
    pub fn is(&self, one: T) -> bool {
        matches!(self, Self::One(meant) if *meant == one)
    }

    /// The one meant.
    #[must_use]
    pub fn one(&self) -> Option<T> {
        match self {
            Self::One(one) => Some(*one),
            Self::Words(_) => None,
        }
    }
}

impl Meant<CropId> {
    pub(super) fn crop(crops: &Crops, written: &str) -> Self {
        crops.find(written).map_or_else(|| Self::Words(written.into()), Self::One)
    }

    /// The key or words as the table has them.
    #[must_use]
    pub fn written<'k>(&'k self, crops: &'k Crops) -> &'k str {
        match self {
            Self::One(crop) => &crops[*crop].key,
            Self::Words(words) => words,
        }
    }
}

impl Meant<PathogenId> {
    pub(super) fn pathogen(pathogens: &Pathogens, written: &str) -> Self {
        pathogens.find(written).map_or_else(|| Self::Words(written.into()), Self::One)
    }

    /// The key or words as the table has them.
    #[must_use]
    pub fn written<'k>(&'k self, pathogens: &'k Pathogens) -> &'k str {
        match self {
            Self::One(pathogen) => &pathogens[*pathogen].key,
            Self::Words(words) => words,
        }
    }
}
