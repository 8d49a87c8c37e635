//! Own values laid over the choices of the project, and which values are refused.

use super::Policy;
use crate::estimate::Estimate;
use crate::origin::Origin;

/// The policy that counts in a run: ours, with own values laid over it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnPolicy {
    /// What counts.
    pub policy: Policy,
    /// The own values, in the order of their file.
    pub own: Vec<OwnChoice>,
}

/// An own value that stands in the place of ours.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnChoice {
    /// Name of the choice.
    pub choice: &'static str,
    /// Why, in the words of the file.
    pub reason: Box<str>,
    /// Where it is written.
    pub origin: Origin,
}

/// A value as a grower or adviser wrote it: one figure, or a range with its likely value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnValue {
    /// Lower end; `None` if one figure was written.
    pub low: Option<f64>,
    /// The figure, or the likely value of the range.
    pub likely: f64,
    /// Upper end; `None` if one figure was written.
    pub high: Option<f64>,
}

/// Why an own value cannot stand in the place of ours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Refused {
    /// No choice has that name.
    Unknown,
    /// A range was written for what is one figure.
    OneFigure,
    /// One end of the range is missing, or the likely value lies outside it.
    NotARange,
    /// A fraction was written for what is counted.
    NotWhole,
    /// On the other side of nothing, or nothing where ours is something.
    Sign,
    /// Above one for what is a part of a whole.
    AboveOne,
    /// More than ten times ours: a slip of the unit or of the pen.
    FarOff,
}

impl Refused {
    /// Why, and what to write instead.
    #[must_use]
    pub fn why(self) -> &'static str {
        match self {
            Self::Unknown => "no choice has this name",
            Self::OneFigure => "this choice is one figure: leave `low` and `high` blank",
            Self::NotARange => "a range needs `low`, `likely` and `high`, in this order of size",
            Self::NotWhole => "this choice is a whole number",
            Self::Sign => "ours is of another sign, or is not nothing",
            Self::AboveOne => "ours is a part of something: yours may be 1 at most",
            Self::FarOff => "this is more than ten times ours: look at the unit",
        }
    }
}

/// What a choice of the policy may be: a figure, a count, a range.
pub(super) trait Choice: Copy {
    /// The value as a range; one figure is a range without width.
    fn range(self) -> Estimate;
    /// The own value in the place of this one.
    fn laid(self, own: OwnValue) -> Result<Self, Refused>;
}

impl Choice for f64 {
    fn range(self) -> Estimate {
        Estimate::exact(self)
    }

    fn laid(self, own: OwnValue) -> Result<Self, Refused> {
        within(one_figure(own)?, (self, self))
    }
}

impl Choice for i64 {
    fn range(self) -> Estimate {
        Estimate::exact(self as f64)
    }

    fn laid(self, own: OwnValue) -> Result<Self, Refused> {
        let ours = self as f64;
        let written = within(one_figure(own)?, (ours, ours))?;
        // Ten times ours at most, so that the figure fits.
        #[expect(clippy::cast_possible_truncation, reason = "whole and bounded by ten times ours")]
        if written.fract() == 0.0 { Ok(written as Self) } else { Err(Refused::NotWhole) }
    }
}

impl Choice for usize {
    fn range(self) -> Estimate {
        Estimate::exact(self as f64)
    }

    fn laid(self, own: OwnValue) -> Result<Self, Refused> {
        let ours = i64::try_from(self).map_err(|_| Refused::FarOff)?;
        Self::try_from(ours.laid(own)?).map_err(|_| Refused::Sign)
    }
}

impl Choice for Estimate {
    fn range(self) -> Estimate {
        self
    }

    fn laid(self, own: OwnValue) -> Result<Self, Refused> {
        let (low, high) = match (own.low, own.high) {
            (None, None) => (own.likely, own.likely),
            (Some(low), Some(high)) if low <= own.likely && own.likely <= high => (low, high),
            _ => return Err(Refused::NotARange),
        };
        let ours = (self.low, self.high);
        Ok(Self {
            low: within(low, ours)?,
            likely: within(own.likely, ours)?,
            high: within(high, ours)?,
        })
    }
}

fn one_figure(own: OwnValue) -> Result<f64, Refused> {
    if own.low.is_none() && own.high.is_none() { Ok(own.likely) } else { Err(Refused::OneFigure) }
}

/// The figure if it keeps within what ours, between its ends, allows.
fn within(own: f64, (low, high): (f64, f64)) -> Result<f64, Refused> {
    let size = low.abs().max(high.abs());
    if (low > 0.0 && own <= 0.0) || (low >= 0.0 && own < 0.0) || (high <= 0.0 && own > 0.0) {
        Err(Refused::Sign)
    } else if low >= 0.0 && high < 1.0 && own > 1.0 {
        Err(Refused::AboveOne)
    } else if !own.is_finite() || own.abs() > 10.0 * size {
        Err(Refused::FarOff)
    } else {
        Ok(own)
    }
}

#[cfg(test)]
mod tests {
    use super::{Choice, OwnValue, Refused};
    use crate::estimate::Estimate;

    fn figure(likely: f64) -> OwnValue {
        OwnValue { low: None, likely, high: None }
    }

    fn range(low: f64, likely: f64, high: f64) -> OwnValue {
        OwnValue { low: Some(low), likely, high: Some(high) }
    }

    #[test]
    fn figures_counts_and_ranges_are_taken() {
        assert_eq!(0.10_f64.laid(figure(0.2)), Ok(0.2));
        assert_eq!(60_i64.laid(figure(30.0)), Ok(30));
        assert_eq!(6_usize.laid(figure(4.0)), Ok(4));
        let ours = Estimate { low: 0.0, likely: 0.2, high: 0.5 };
        let own = Estimate { low: 0.0, likely: 0.1, high: 0.3 };
        assert_eq!(ours.laid(range(0.0, 0.1, 0.3)), Ok(own));
        assert_eq!(ours.laid(figure(0.1)), Ok(Estimate::exact(0.1)));
    }

    #[test]
    fn what_cannot_stand_is_refused_for_its_own_reason() {
        assert_eq!(0.10_f64.laid(range(0.1, 0.2, 0.3)), Err(Refused::OneFigure));
        assert_eq!(0.10_f64.laid(figure(0.0)), Err(Refused::Sign));
        assert_eq!(0.10_f64.laid(figure(-0.1)), Err(Refused::Sign));
        assert_eq!((-1.0_f64).laid(figure(1.0)), Err(Refused::Sign));
        assert_eq!(0.90_f64.laid(figure(1.5)), Err(Refused::AboveOne));
        assert_eq!(4.0_f64.laid(figure(41.0)), Err(Refused::FarOff));
        assert_eq!(4.0_f64.laid(figure(f64::NAN)), Err(Refused::FarOff));
        assert_eq!(60_i64.laid(figure(30.5)), Err(Refused::NotWhole));
        let ours = Estimate { low: 1.0, likely: 2.0, high: 3.0 };
        assert_eq!(ours.laid(range(2.0, 1.5, 3.0)), Err(Refused::NotARange));
        let half = OwnValue { low: Some(1.0), likely: 2.0, high: None };
        assert_eq!(ours.laid(half), Err(Refused::NotARange));
    }
}
