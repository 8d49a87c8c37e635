//! The normal distribution, as far as the weather needs it.

/// Density at `z`.
#[must_use]
pub(super) fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt()
}

/// Share below `z`: Abramowitz and Stegun 1964, 26.2.17, within 7.5e-8.
#[must_use]
pub(super) fn share_below(z: f64) -> f64 {
    const B: [f64; 5] =
        [0.319_381_530, -0.356_563_782, 1.781_477_937, -1.821_255_978, 1.330_274_429];
    let t = 1.0 / (1.0 + 0.231_641_9 * z.abs());
    let tail = density(z) * B.iter().rev().fold(0.0, |sum, b| (sum + b) * t);
    if z >= 0.0 { 1.0 - tail } else { tail }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_at_the_printed_quantiles() {
        for (z, share) in [(0.0, 0.5), (1.281_552, 0.9), (-1.281_552, 0.1), (1.959_964, 0.975)] {
            assert!((share_below(z) - share).abs() < 1e-6, "{z}");
        }
    }
}
