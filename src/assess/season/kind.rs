//! Kinds within a crop that the season treats differently, told by the words of a variety.

/// A kind within a crop.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Kind {
    /// Nothing said, or nothing that matters here.
    #[default]
    Plain,
    /// Small fruit: cherry, currant, grape, plum, snack types.
    SmallFruited,
    /// Large fruit: beefsteak, slicing, ox-heart types.
    LargeFruited,
    /// An onion that bulbs in short days.
    ShortDay,
    /// An onion that bulbs in days of middling length.
    Intermediate,
    /// An onion that bulbs in long days only.
    LongDay,
}

const SMALL: &[&str] =
    &["cherry", "small", "currant", "grape", "plum", "mini", "snack", "cocktail"];
const LARGE: &[&str] = &["beefsteak", "large", "slicing", "slicer", "oxheart", "ox-heart", "bell"];

impl Kind {
    /// The kind that the words of a variety name.
    ///
    /// ```
    /// use breakcrop::assess::season::Kind;
    /// assert_eq!(Kind::of("tomato", "red cherry"), Kind::SmallFruited);
    /// assert_eq!(Kind::of("onion", "a long day keeper"), Kind::LongDay);
    /// assert_eq!(Kind::of("leek", "large"), Kind::Plain);
    /// ```
    #[must_use]
    pub fn of(crop: &str, words: &str) -> Self {
        let words = words.to_lowercase().replace('-', " ");
        let says = |names: &[&str]| {
            words.split_whitespace().any(|word| names.iter().any(|name| word.starts_with(name)))
        };
        match crop {
            "tomato" | "pepper" | "eggplant" if says(SMALL) => Self::SmallFruited,
            "tomato" | "pepper" | "eggplant" if says(LARGE) => Self::LargeFruited,
            "onion" if words.contains("short") => Self::ShortDay,
            "onion" if words.contains("intermediate") => Self::Intermediate,
            "onion" if words.contains("long") => Self::LongDay,
            _ => Self::Plain,
        }
    }

    /// The onion that is grown at a latitude: short-day types towards the equator.
    #[must_use]
    pub(super) fn onion_at(latitude: f64) -> Self {
        match latitude.abs() {
            low if low < 35.0 => Self::ShortDay,
            middle if middle < 40.0 => Self::Intermediate,
            _ => Self::LongDay,
        }
    }

    /// Keys under which the table of limits speaks of this kind of a crop, nearest first.
    pub(super) fn subjects(self, crop: &str) -> Vec<String> {
        let own = match self {
            Self::Plain | Self::LargeFruited => None,
            Self::SmallFruited => Some(format!("{crop}_cherry")),
            Self::ShortDay => Some(format!("{crop}_short_day")),
            Self::Intermediate => Some(format!("{crop}_intermediate")),
            Self::LongDay => Some(format!("{crop}_long_day")),
        };
        own.into_iter().chain([crop.to_owned()]).collect()
    }
}
