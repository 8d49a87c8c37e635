//! What is put into the ground to start a crop that is started from neither seed nor a seedling.

use super::Knowledge;
use super::ids::CropId;

/// A part of a plant from which the next one grows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Piece {
    /// Cloves of a bulb.
    Cloves,
    /// Whole small bulbs, sets among them.
    Bulbs,
    /// Tubers, whole or cut.
    Tubers,
    /// Crowns with their buds.
    Crowns,
    /// Lengths of root.
    Roots,
    /// Lengths of underground stem.
    Rhizomes,
    /// Corms.
    Corms,
    /// Lengths of stem.
    Cuttings,
    /// Rooted shoots, which grow on above the ground like a seedling.
    Slips,
}

impl Piece {
    const ALL: [Self; 9] = [
        Self::Cloves,
        Self::Bulbs,
        Self::Tubers,
        Self::Crowns,
        Self::Roots,
        Self::Rhizomes,
        Self::Corms,
        Self::Cuttings,
        Self::Slips,
    ];
    const WORDS: [&'static str; 9] =
        ["cloves", "bulbs", "tubers", "crowns", "roots", "rhizomes", "corms", "cuttings", "slips"];

    /// The word as written in the tables, which is the grower's.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
}

impl Knowledge {
    /// What a crop is started from; `None` where it is seed, or a plant raised from it.
    ///
    /// ```
    /// use breakcrop::knowledge::{Knowledge, Piece};
    /// let knowledge = Knowledge::embedded();
    /// let piece = |crop| knowledge.piece(knowledge.crops.find(crop).unwrap());
    /// assert_eq!(piece("garlic"), Some(Piece::Cloves));
    /// assert_eq!(piece("carrot"), None);
    /// ```
    #[must_use]
    pub fn piece(&self, crop: CropId) -> Option<Piece> {
        let figure = self.crop_figures(crop, "planted_as").first()?;
        let at = Piece::WORDS.iter().position(|word| **word == *figure.text)?;
        Some(Piece::ALL[at])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_names_a_piece() {
        let knowledge = Knowledge::embedded();
        let mut named = 0;
        for (id, crop) in knowledge.crops.iter() {
            for figure in knowledge.crop_figures(id, "planted_as") {
                assert!(Piece::WORDS.contains(&&*figure.text), "{}: {}", crop.key, figure.text);
                named += 1;
            }
        }
        assert!(named > 10, "{named}");
    }
}
