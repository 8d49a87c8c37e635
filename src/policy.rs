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
    /// Relative yield at the end of a long run of the same crop with no known disease: published
    /// trials lose 5 to 20 percent, regions of long monoculture over a quarter.
    same_crop_again: Estimate = range(0.75, 0.87, 0.95);
    /// Relative yield at the end of a long run of one family with no known disease.
    same_family_again: Estimate = range(0.86, 0.94, 1.0);
    /// Share of the loss of a long run that the first repeat brings: most of it, since second-year
    /// corn falls nearly as low as corn year upon year.
    first_repeat_share: f64 = 0.7;
    /// Years of a run after which the loss no longer grows: three in a survey of corn fields, more
    /// in soybean.
    run_levels_off_years: f64 = 4.0;
    /// Part of a year between two growings in successive seasons: a winter is no free year.
    between_seasons_years: f64 = 0.6;
    /// Part of the loss of a run that is left after a treatment of the whole soil: where no disease
    /// is known, heat and fumigation still raise the yield of replanted land.
    run_loss_after_treatment: Estimate = range(0.0, 0.3, 1.0);
    /// Relative yield of a grafted plant where no disease is on record: a meta-analysis of grafted
    /// tomatoes found a large mean gain, but none to be sure of in two cases of three, and a poor
    /// match of stock and scion costs yield.
    grafted_without_disease: Estimate = range(0.85, 1.05, 1.40);
    /// Relative yield after a predecessor that a source calls bad without a figure.
    bad_predecessor: Estimate = range(0.75, 0.90, 1.0);
    /// Relative yield after a predecessor that a source calls good without a figure.
    good_predecessor: Estimate = range(1.0, 1.05, 1.20);
    /// Relative yield while a residue's waiting days are not served and no figure is printed.
    residue_not_ready: Estimate = range(0.5, 0.8, 0.95);
    /// Days from which a stand of grass or clover counts as a sod, with its wireworms: into a second
    /// growing season.
    sod_days: f64 = 300.0;
    /// Days after clearing for which a residue counts as fresh, where a source names none: the
    /// usual longest wait after working in a grass.
    fresh_residue_days: f64 = 28.0;
    /// Printed loss from which an unserved residue wait says wait and not only care.
    residue_wait_loss: f64 = 0.30;
    /// Years after which a predecessor no longer counts as the one before.
    predecessor_years: f64 = 0.95;
    /// Chance that a cause is the right one from which an unknown disease makes a host wait.
    mixture_wait: f64 = 0.25;
    /// Weight of a sign that the notes and the symptoms table share, beside its rarity.
    sign_weight: f64 = 0.35;
    /// Chance below which a cause is left out of the list.
    least_chance: f64 = 0.02;
    /// Factor on the odds of a cause that the bed had before.
    had_it_before: f64 = 3.0;
    /// Degrees off the temperatures a pathogen likes by which its odds fall to a third.
    degrees_off_optimum: f64 = 5.0;
    /// How often a field check shows its sign under the cause it is made for.
    check_true: f64 = 0.85;
    /// How often it shows the sign under a cause that looks nothing like it.
    check_false: f64 = 0.08;
    /// Chance of causes that bar or threaten a crop from which an unknown disease asks for care.
    mixture_care: f64 = 0.10;
    /// Chance below which a cause of an unknown disease is no reason of its own.
    far_fetched: f64 = 0.10;
    /// Part of the loss that a disease seen in another section of the bed stands for here: soil is
    /// carried, roots cross, but the sections were told apart for a reason.
    beside_loss: Estimate = range(0.0, 0.3, 1.0);
    /// Years of wait beyond which a date is no plan: said to be as good as never.
    as_good_as_never_years: f64 = 15.0;
    /// Mean temperature of a gap from which warm-season covers are offered.
    warm_cover_c: f64 = 18.0;
    /// Mean temperature of a gap up to which cool-season covers are offered.
    cool_cover_c: f64 = 22.0;
    /// Standard deviations below the mean minimum of the coldest month taken for a cold night of
    /// an ordinary winter.
    cold_night_sd: f64 = 2.0;
    /// Spread of daily minima (degrees) where the climate file gives none.
    tmin_sd_unknown: f64 = 4.0;
    /// Length of a vegetable garden's path between stems and intersown seed, where no trial gives
    /// one: distance kept from each stem in centimetres.
    intersow_distance_cm: Estimate = range(15.0, 20.0, 25.0);
}
