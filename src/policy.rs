//! Choices that are ours, with their reasons: thresholds and weights, never facts.
//!
//! Facts are sourced rows of the knowledge tables. What stands here is project judgment; it is
//! printed on demand, shown in reports, and a grower may override it.

use crate::estimate::Estimate;
use serde::Serialize;

macro_rules! policy {
    ($($(#[doc = $doc:literal])* $name:ident: $type:ty = $value:expr;)*) => {
        /// The table of choices.
        #[derive(Clone, Debug, Serialize)]
        pub struct Policy {
            $($(#[doc = $doc])* pub $name: $type,)*
        }

        impl Default for Policy {
            fn default() -> Self {
                Self { $($name: $value,)* }
            }
        }

        impl Policy {
            /// Every choice: its name, its value as printed, its reason.
            #[must_use]
            pub fn entries(&self) -> Vec<(&'static str, String, &'static str)> {
                vec![$((
                    stringify!($name),
                    serde_json::to_string(&self.$name).unwrap_or_default(),
                    concat!($($doc),*).trim(),
                ),)*]
            }
        }
    };
}

const fn range(low: f64, likely: f64, high: f64) -> Estimate {
    Estimate { low, likely, high }
}

policy! {
    /// Share of the crop that a trace of disease stands for: a plant or two.
    extent_trace: Estimate = range(0.005, 0.02, 0.05);
    /// Share of the crop that light disease stands for.
    extent_light: Estimate = range(0.03, 0.10, 0.20);
    /// Share of the crop that moderate disease stands for.
    extent_moderate: Estimate = range(0.15, 0.30, 0.50);
    /// Share of the crop that severe disease stands for.
    extent_severe: Estimate = range(0.40, 0.65, 0.95);
    /// Share of the crop taken where an observation gives no extent: as light to moderate, because
    /// a disease worth a line is seldom a trace.
    extent_not_given: Estimate = range(0.03, 0.20, 0.50);
    /// Weight of a cause that was only suspected: the look alone names soil-borne causes right
    /// about half the time.
    certainty_suspected: f64 = 0.5;
    /// Weight of a cause told apart by a field check.
    certainty_field_check: f64 = 0.85;
    /// Weight of a cause named by a laboratory.
    certainty_laboratory: f64 = 1.0;
    /// Expected share lost to a background nobody has seen, where a host stood and nothing was
    /// noted: small, but never zero.
    presumed_background: Estimate = range(0.0, 0.005, 0.03);
    /// Factor by which a season of a susceptible host multiplies a small dose; it levels off at
    /// the ceiling.
    host_season_factor: Estimate = range(1.5, 4.0, 10.0);
    /// Factor for a season of a symptomless carrier: it keeps the pathogen and may raise it.
    carrier_season_factor: Estimate = range(0.9, 1.2, 2.0);
    /// Factor for a season of a poor host: between decay and standing still.
    poor_host_season_factor: Estimate = range(0.5, 0.8, 1.2);
    /// Dose beyond which a host season adds nothing: some 95 % of a susceptible crop lost.
    dose_ceiling: f64 = 3.0;
    /// Factor on the upper end of the dose after a susceptible crop stood healthy.
    healthy_host_factor: f64 = 0.4;
    /// Factor on the dose of a suppressive crop or residue whose source gives no figure.
    suppression_without_figure: Estimate = range(0.4, 0.7, 1.0);
    /// Factor on the dose of a treatment whose source gives no figure for this pathogen.
    treatment_without_figure: Estimate = range(0.2, 0.6, 1.0);
    /// Years of half-life where neither decay nor survival is published: from short-lived
    /// residue to long-lived resting spores.
    half_life_unknown: Estimate = range(0.4, 1.5, 6.0);
    /// Share of a dose left at the end of the published survival.
    left_at_end_of_survival: f64 = 0.05;
    /// Shortest growing time, in days, by which a standing host counts as a season.
    days_of_a_season: f64 = 75.0;
    /// Likely loss from which a bed is not planted with a host where no interval is published.
    wait_loss: f64 = 0.10;
    /// Likely loss below which a served interval needs no further care.
    care_loss: f64 = 0.03;
    /// Part of the loss of a susceptible crop that a crop with recorded high resistance suffers.
    resistant_loss: Estimate = range(0.02, 0.15, 0.5);
    /// Part of the loss that a weak or inferred host suffers beside a susceptible one.
    weak_host_loss: Estimate = range(0.05, 0.4, 1.0);
    /// Part of the loss that a poor host suffers beside a susceptible one.
    poor_host_loss: Estimate = range(0.0, 0.1, 0.3);
    /// Relative yield of the same crop again with no known disease: published trials lose 5 to
    /// 20 percent; the loss flattens after about four years.
    same_crop_again: Estimate = range(0.80, 0.90, 0.95);
    /// Relative yield of another crop of the same family again with no known disease.
    same_family_again: Estimate = range(0.88, 0.95, 1.0);
    /// Relative yield after a predecessor that a source calls bad without a figure.
    bad_predecessor: Estimate = range(0.75, 0.90, 1.0);
    /// Relative yield after a predecessor that a source calls good without a figure.
    good_predecessor: Estimate = range(1.0, 1.05, 1.20);
    /// Relative yield while a residue's waiting days are not served and no figure is printed.
    residue_not_ready: Estimate = range(0.5, 0.8, 0.95);
    /// Printed loss from which an unserved residue wait says wait and not only care.
    residue_wait_loss: f64 = 0.30;
    /// Years after which a predecessor no longer counts as the one before.
    predecessor_years: f64 = 0.95;
    /// Chance that a cause is the right one from which an unknown disease makes a host wait.
    mixture_wait: f64 = 0.25;
    /// Standard deviations below the mean minimum of the coldest month taken for a cold night of
    /// an ordinary winter.
    cold_night_sd: f64 = 2.0;
    /// Spread (standard deviation, degrees) of single days about the normal where the climate
    /// file gives none and winters are mild: daily minima of Tunis and Melbourne spread 2.3 to 3.1.
    spread_mild_c: f64 = 2.5;
    /// The same for a maritime climate: north-west Europe 2.6 in August to 4.6 in January.
    spread_maritime_c: f64 = 3.5;
    /// The same for a continental climate: Nebraska 2.6 to 6.1.
    spread_continental_c: f64 = 4.5;
    /// Mean of the coldest month from which a winter counts as mild.
    mild_winter_c: f64 = 8.0;
    /// Difference of warmest and coldest month beyond which a climate counts as continental.
    continental_range_c: f64 = 20.0;
    /// Standard deviation of the mean temperature of a whole season from one year to the next:
    /// it makes early and late years of a harvest.
    season_mean_sd_c: f64 = 1.0;
    /// Length of a vegetable garden's path between stems and intersown seed, where no trial gives
    /// one: distance kept from each stem in centimetres.
    intersow_distance_cm: Estimate = range(15.0, 20.0, 25.0);
}
