//! What a column is called, holds and means: the one description from which header checks, the
//! published table schemas, the templates of `new` and the documentation are made.

use crate::units::Dimension;

/// One column of a table.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Name in the header. A measured column's name ends in the unit kept (`length_m`).
    pub name: &'static str,
    /// What its cells hold.
    pub kind: Kind,
    /// Whether a blank cell is a fault.
    pub required: bool,
    /// Meaning in a sentence fragment, for people.
    pub meaning: &'static str,
}

/// What the cells of a column hold.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// Free text up to so many characters.
    Text(usize),
    /// A name that must be known: of a crop, a cause, a material, a practice, a bed, a rule.
    Name(&'static str),
    /// A day, `yyyy-mm-dd`.
    Date,
    /// A whole number within bounds.
    Whole(i64, i64),
    /// A plain number within bounds.
    Number(f64, f64),
    /// A measured number within bounds (in the unit kept); the header may carry another unit.
    Measured(Dimension, f64, f64),
    /// One of a fixed list of words.
    Choice(&'static [&'static str]),
}

impl Column {
    /// A column whose cells may be blank.
    #[must_use]
    pub const fn optional(name: &'static str, kind: Kind, meaning: &'static str) -> Self {
        Self { name, kind, required: false, meaning }
    }

    /// A column whose cells must be filled.
    #[must_use]
    pub const fn required(name: &'static str, kind: Kind, meaning: &'static str) -> Self {
        Self { name, kind, required: true, meaning }
    }

    /// The name without the unit kept: `length` of `length_m`.
    #[must_use]
    pub fn bare_name(&self) -> &'static str {
        if let Kind::Measured(dimension, ..) = self.kind {
            let kept = dimension.suffixes()[0].0;
            if let Some(bare) = self.name.strip_suffix(kept).and_then(|name| name.strip_suffix('_'))
            {
                return bare;
            }
        }
        self.name
    }
}
