//! An instance: what may be chosen, and what it is worth.

/// A choice that belongs to no family with a return time.
pub const NO_FAMILY: u8 = u8::MAX;

/// A planting that may be chosen in one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// What is planted; only compared, and given back.
    pub crop: u32,
    /// First slot taken.
    pub start: u8,
    /// First slot free again; later than `start`.
    pub end: u8,
    /// Family, below 32, or [`NO_FAMILY`].
    pub family: u8,
    /// Slots that must lie between the clearing of a relative and `start`.
    pub free_slots: u8,
    /// What it is worth by itself, wishes left out.
    pub own: f64,
    /// What it adds to wishes: place in [`Instance::wishes`], amount.
    pub amounts: Vec<(u32, f64)>,
    /// Decided already: every sequence of the place holds it.
    pub fixed: bool,
    /// Choices of one trace leave the same behind for the next crop; below the number of traces.
    pub trace: u16,
}

/// A place with its choices, in the order of their first slots.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlaceChoices {
    /// The choices.
    pub choices: Vec<Choice>,
}

/// Something wished for: worth so much a unit up to what is wanted, a share of it beyond.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// Worth of a unit up to `wanted`.
    pub worth: f64,
    /// Units wanted.
    pub wanted: f64,
    /// Share of the worth that a unit beyond has, 0 to 1.
    pub beyond: f64,
}

impl Wish {
    /// Worth of an amount: concave, so that a price can stand for it.
    #[must_use]
    pub fn value(&self, amount: f64) -> f64 {
        let met = amount.min(self.wanted);
        self.worth * (met + self.beyond * (amount - met))
    }

    /// The lowest and the highest price at which the wish can be bought off.
    #[must_use]
    pub fn prices(&self) -> (f64, f64) {
        (self.worth * self.beyond, self.worth)
    }
}

/// Two places whose crops see each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Neighbours {
    /// One place.
    pub one: usize,
    /// The other.
    pub other: usize,
    /// What each slot costs in which both bear the same family.
    pub charge: f64,
}

/// Everything the optimiser is told.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Instance {
    /// Number of half-months.
    pub slots: u8,
    /// The places.
    pub places: Vec<PlaceChoices>,
    /// The wishes.
    pub wishes: Vec<Wish>,
    /// Places that see each other.
    pub neighbours: Vec<Neighbours>,
}

/// What stood before changes what a choice is worth: it bears a share of its worth and amounts, less
/// a charge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// Share of the worth and of the amounts.
    pub share: f64,
    /// What is taken off in any case.
    pub charge: f64,
}

/// How a sequence changes the worth of its choices. The bound is valid as long as `at_most` never
/// understates what `exact` says.
pub trait Succession: Sync {
    /// Share of each choice of a whole sequence in a place; `None` if something forbids it.
    fn exact(&self, place: usize, sequence: &[u32]) -> Option<Vec<Share>>;

    /// Number of traces; trace 0 is that of the place before the first choice.
    fn traces(&self) -> u16;

    /// The most that a choice may bear when what stood last left a trace; `None` if that forbids it.
    fn at_most(&self, place: usize, trace: u16, choice: u32) -> Option<Share>;
}

impl Share {
    /// All of the worth.
    pub const WHOLE: Self = Self { share: 1.0, charge: 0.0 };
}

/// Sequences change nothing beyond the return times.
#[derive(Clone, Copy, Debug, Default)]
pub struct Plain;

impl Succession for Plain {
    fn exact(&self, _: usize, sequence: &[u32]) -> Option<Vec<Share>> {
        Some(vec![Share::WHOLE; sequence.len()])
    }

    fn traces(&self) -> u16 {
        1
    }

    fn at_most(&self, _: usize, _: u16, _: u32) -> Option<Share> {
        Some(Share::WHOLE)
    }
}
