//! Numbers that look random and are the same on every machine and in every version.

/// Steele, Lea & Flood 2014, "Fast splittable pseudorandom number generators": eight lines that a
/// plan's seed can rest on for good, which no crate promises across its versions.
#[derive(Clone, Debug)]
pub struct Random(u64);

impl Random {
    /// Begins at a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number of 0 up to 1.
    pub fn share(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number below a limit; 0 for a limit of 0.
    pub fn below(&mut self, limit: usize) -> usize {
        let limit = u64::try_from(limit).unwrap_or(u64::MAX).max(1);
        usize::try_from(self.bits() % limit).unwrap_or(0)
    }
}
