//! Choices that are ours, with their reasons: thresholds and weights, never facts.
//!
//! Facts are sourced rows of the knowledge tables. What stands here is project judgment; it is
//! printed on demand, and a grower may lay own values over it, which every answer then names.

mod own;

pub use own::{OwnChoice, OwnPolicy, OwnValue, Refused};

use crate::estimate::Estimate;
use own::Choice as _;

macro_rules! policy {
    ($($(#[doc = $doc:literal])* $name:ident: $type:ty = $value:expr;)*) => {
        /// The table of choices.
        #[derive(Clone, Debug, PartialEq)]
        pub struct Policy {
            $($(#[doc = $doc])* pub $name: $type,)*
        }

        impl Default for Policy {
            fn default() -> Self {
                Self { $($name: $value,)* }
            }
        }

        impl Policy {
            /// Every choice: its name, its value, its reason. One figure is a range without width.
            #[must_use]
            pub fn entries(&self) -> Vec<(&'static str, Estimate, &'static str)> {
                vec![$((stringify!($name), self.$name.range(), concat!($($doc),*).trim()),)*]
            }

            /// Puts an own value in the place of ours.
            ///
            /// # Errors
            /// Why it cannot stand there; the choice is left as it was.
            pub fn lay(&mut self, choice: &str, own: OwnValue) -> Result<(), Refused> {
                match choice {
                    $(stringify!($name) => self.$name = self.$name.laid(own)?,)*
                    _ => return Err(Refused::Unknown),
                }
                Ok(())
            }

            /// The names of the choices, in the order of the table.
            pub const NAMES: &[&str] = &[$(stringify!($name)),*];
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
    /// The same factor for nematodes, from their number before planting to that at harvest: 2.5 to
    /// 3.6 where a field of tomato was full of them, over a thousand at the lowest densities of
    /// trials with tomato and eggplant (Di Vito 1991); between them the geometric mean.
    nematode_season_factor: Estimate = range(2.5, 50.0, 1000.0);
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
    /// Days under film from which soil heat counts: the shorter end of the four to nine weeks that
    /// trials used, with a few days' grace.
    film_days: f64 = 25.0;
    /// Mean air temperature in the middle of the treatment from which film heats the soil enough
    /// to count.
    film_mean_c: f64 = 18.0;
    /// Days under film that are advised: trials used four to nine weeks of the hottest season.
    film_days_advised: f64 = 42.0;
    /// Days a suppressive crop stands before it is dug in, when it is tried as a change.
    suppressive_crop_days: f64 = 60.0;
    /// Days between working the soil or digging a crop in and the next planting.
    residue_rots_days: f64 = 21.0;
    /// Degrees by which the soil of a season may be off the mean of the air.
    soil_off_air_c: f64 = 2.0;
    /// Likely share of its full harm that a pathogen can do in a season too cool for it, below which
    /// a host need not wait.
    cool_season_share: f64 = 0.10;
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
    /// Power to which the odds of surveys of sick plants are taken: half as an odds ratio on the scale
    /// of logarithms, because they were made in other regions and years.
    survey_weight: f64 = 0.5;
    /// Part of a cause's odds that a look-alike of it has which no row of the crop describes.
    look_alike_share: f64 = 0.3;
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
    /// Weight of what was seen in another section of the bed in the dose reckoned for this one.
    beside_weight: f64 = 0.3;
    /// Years of wait beyond which a date is no plan: said to be as good as never.
    as_good_as_never_years: f64 = 15.0;
    /// Mean temperature of a gap from which warm-season covers are offered.
    warm_cover_c: f64 = 18.0;
    /// Mean temperature of a gap up to which cool-season covers are offered.
    cool_cover_c: f64 = 22.0;
    /// Least temperature from which a cool-season cover is taken to grow: crop models give bases about
    /// nil, but the weighed stands of rye fit heat above 4 C, and leaves are lost to frost besides.
    cool_cover_base_c: f64 = 4.0;
    /// Temperature from which it grows no faster, where none is published, and the most taken where
    /// one is.
    cool_cover_best_c: f64 = 15.0;
    /// The same of a warm-season cover.
    warm_cover_base_c: f64 = 10.0;
    /// The same.
    warm_cover_best_c: f64 = 25.0;
    /// Degree-days from sowing by which a cereal or brassica covers half of the ground: set by eye
    /// so that the published points of growth come out.
    canopy_half_quick: Estimate = range(170.0, 240.0, 340.0);
    /// The same of peas, beans, vetches and forbs: a full canopy comes 350 degree-days after that of
    /// cereals in the one trial that tells.
    canopy_half_middling: Estimate = range(230.0, 320.0, 450.0);
    /// The same of clovers, medics and other small seed.
    canopy_half_slow: Estimate = range(330.0, 460.0, 650.0);
    /// The same of warm-season covers, whose base is higher.
    canopy_half_warm: Estimate = range(170.0, 230.0, 320.0);
    /// Mean temperature at which the days to a full stand of a cool-season cover are taken to be
    /// printed: autumn to spring on a mild coast.
    cool_cover_printed_c: f64 = 11.0;
    /// The same of a quick one, whose days are printed for spring and late summer.
    quick_cover_printed_c: f64 = 16.0;
    /// Days to a full stand up to which a cool-season cover counts as quick.
    quick_cover_days: f64 = 80.0;
    /// The same of a warm-season cover: summer.
    warm_cover_printed_c: f64 = 23.0;
    /// Degree-days over 4 C from an autumn sowing to the heading and bloom of a cereal: in the growth
    /// table rye stood in bloom from about 1300 to 1660.
    cereal_bloom_degree_days: Estimate = range(950.0, 1250.0, 1600.0);
    /// Temperature over which that heat counts.
    cereal_bloom_base_c: f64 = 4.0;
    /// Days from sowing before a legume fixes what is worth counting: sources say up to six weeks.
    fixation_begins_days: Estimate = range(21.0, 30.0, 42.0);
    /// Nitrogen in roots and crowns of a perennial legume in its second year and after, g/m2: alfalfa
    /// is held to have 100 to 200 kg/ha, clovers less.
    sod_nitrogen: Estimate = range(4.0, 10.0, 20.0);
    /// Share of it that comes free in the season after it is turned under.
    sod_released: Estimate = range(0.4, 0.6, 0.8);
    /// Chance in a winter from which frost is relied on to kill a cover, and below which it is
    /// relied on to live.
    winter_kill_relied_on: f64 = 0.9;
    /// Degrees either side of a printed killing temperature within which one stand dies and another
    /// lives.
    winter_kill_margin_c: f64 = 2.0;
    /// Least days of growth that make sowing a cover worth the seed.
    cover_days_fewest: f64 = 28.0;
    /// Days past first bloom by which a cover is cut before it sets seed.
    days_from_bloom_to_seed: f64 = 14.0;
    /// Share of the way to bloom at which cereals begin to joint.
    jointing_share: f64 = 0.6;
    /// Nitrogen in the dry matter of a cover, percent, where neither it nor its class has a figure.
    cover_n_percent_unknown: Estimate = range(1.5, 2.2, 3.0);
    /// Dry matter beyond which no stand is reckoned where none was weighed, t/ha.
    cover_heaviest_unknown_t_ha: f64 = 6.0;
    /// Share of its own full rate at which each partner of a mixture of two is sown: legume, grass.
    mix_legume_rate: f64 = 0.67;
    /// The same of the grass.
    mix_grass_rate: f64 = 0.33;
    /// Nitrogen short of the next crop's need from which a bed is said to need nitrogen, g/m2.
    bed_short_of_nitrogen: f64 = 3.0;
    /// Organic matter below which a bed is said to need it first, percent.
    bed_poor_in_humus: f64 = 3.0;
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
    /// Highest base temperature from which development is counted. Tables give pepper, lima bean
    /// and watermelon 18 degrees, the very mean they are said to grow at; counted from there they
    /// would stand still on any mild coast.
    base_most_c: f64 = 10.0;
    /// Weeks in the nursery that a plant is ahead of seed, in days.
    nursery_days: Estimate = range(28.0, 40.0, 56.0);
    /// Factor on the days to emergence by the soil's temperature: sources differ by half, and
    /// gardens are drier and rougher than trials.
    emergence_time_factor: Estimate = range(0.8, 1.0, 1.5);
    /// Degrees by which a bare sunny bed at sowing depth is warmer than the air on the mean of the
    /// day: several degrees are common practice, two are safe.
    bare_bed_warmer_c: f64 = 2.0;
    /// Share of the way to the first harvest from which temperatures decide what is picked.
    formed_from_share: f64 = 0.4;
    /// Share of the year's best worth (suitability, for a tender crop times speed) from which a
    /// possible day to start is a good one; set by eye against the published windows.
    good_start_share: f64 = 0.7;
    /// Days to emergence beyond which seed rots or is eaten often enough to say so; at twice as
    /// many the day is no day to sow.
    emergence_days_most: f64 = 21.0;
    /// Length of day from which growth is not held back: the growers' rule of ten hours.
    short_day_h: f64 = 10.0;
    /// Length of day at which the straight fall below ten hours would reach nothing.
    short_day_none_h: f64 = 6.0;
    /// Least share of growth in short days: growers found growth slow, not gone.
    short_day_floor: f64 = 0.3;
    /// Degrees by which leaves are colder than the screen on a clear night.
    leaf_below_screen_c: f64 = 2.0;
    /// Killing temperatures from here up are those of freezing leaves and are asked of leaves;
    /// lower ones were noted in the air.
    leaf_freezes_c: f64 = -1.0;
    /// Chance of being killed before the first harvest beyond which a day is outside the window.
    kill_risk_most: f64 = 0.3;
    /// Chance of being killed from which it is said.
    kill_risk_told: f64 = 0.02;
    /// Days from coming up in which a planted tuber still sends up new shoots in place of frozen ones.
    regrowth_fed_days: usize = 30;
    /// Days looked at for crops of which no harvest is asked: covers, crops of later years.
    establishing_days: usize = 56;
    /// Degrees below the lowest mean of growth at which a tender crop may be started, because the
    /// season is rising.
    start_below_growth_c: f64 = 3.0;
    /// Degrees by which the mean over the whole time may miss the published range of growth: the
    /// ranges are printed for whole months and rounded to five degrees Fahrenheit.
    growth_margin_c: f64 = 1.0;
    /// Days before and after the first harvest whose heat spoils what is picked.
    ripening_weeks_days: usize = 21;
    /// Factor on the longest published days to maturity from which slowness is said.
    slow_told: f64 = 1.25;
    /// Factor from which a tender crop is too slow to be worth starting.
    slow_most: f64 = 1.8;
    /// Share of the way to the first harvest at which fruit sets.
    fruit_set_share: f64 = 0.5;
    /// Days of fruit set that make the first harvest.
    fruit_set_days: usize = 21;
    /// Degrees by which small-fruited kinds go beyond the limits of fruit set: sources say they
    /// bear more and give no figure.
    small_fruit_margin_c: f64 = 2.0;
    /// Days cooler than this, with nights below the limit, end ripening.
    ripening_stop_day_c: f64 = 16.0;
    /// Share of the way to the first harvest after which a plant is past its youth: then cold can
    /// make it bolt and long days make it bulb.
    juvenile_share: f64 = 0.3;
    /// Days below the trigger from which bolting is said: one to two weeks do it in the most prone.
    bolting_days_told: usize = 14;
    /// Days below the trigger from which a day is outside the window: six weeks are a winter.
    bolting_days_most: usize = 42;
    /// Share of its growth an onion must have made when bulbing begins to give a bulb of use.
    bulbing_share: f64 = 0.5;
    /// Days from the beginning of bulbing to ripe bulbs.
    bulb_days: usize = 45;
    /// Share of the way to the first harvest at which heads begin to form.
    heading_share: f64 = 0.75;
    /// Cold days that make young plants button.
    buttoning_days: usize = 4;
    /// Days on end that make a planting window; shorter spells are noise.
    window_days_fewest: usize = 10;
    /// Part of the yield left of a start that the season forbids for a reason without a figure of its
    /// own: no harvest to speak of.
    season_forbidden: Estimate = range(0.0, 0.05, 0.3);
    /// Part of the yield left where the season harms without a figure of how much.
    season_harmed: Estimate = range(0.5, 0.85, 1.0);
    /// Likely part of the yield left by the season below which a start is made with care: as much
    /// as sets the good days of a window apart from the possible ones.
    season_care_yield: f64 = 0.7;
    /// Part of the yield, in the best of years, from which a start is worth trying where no day of
    /// the year suits the crop.
    season_poor_crop: f64 = 0.1;
    /// Days of picking from which a crop counts as one that goes on giving: side shoots, pods, leaves.
    picked_over_days: f64 = 21.0;
    /// Days since the last picking within which a standing crop counts as still giving.
    still_gives_days: f64 = 21.0;
    /// Part of the yield where the site's climate is known and the crop's needs are not: it may
    /// not grow at all, or fully.
    season_without_figures: Estimate = range(0.0, 0.7, 1.0);
    /// Length of a vegetable garden's path between stems and intersown seed, where no trial gives
    /// one: distance kept from each stem in centimetres.
    intersow_distance_cm: Estimate = range(15.0, 20.0, 25.0);
    /// Strip along the edge of a bed that gets no seed, cm.
    intersow_margin_cm: f64 = 5.0;
    /// Distance between lines of intersown seed, cm.
    intersow_lines_cm: f64 = 15.0;
    /// Distance between pinches of small seed in a line, cm.
    intersow_pinch_cm: f64 = 10.0;
    /// Mass of a seed from which seeds are laid one by one, g.
    intersow_single_seed_g: f64 = 0.05;
    /// Share of a crop's time that must be free of weeds, where no source gives the weeks: the first
    /// third is the rule of the trade.
    weed_free_share: Estimate = range(0.25, 0.33, 0.5);
    /// Days from sowing until intersown grass or brassicas stand closed between plants.
    company_closes_quick_days: f64 = 25.0;
    /// The same of vetches, peas and beans.
    company_closes_middling_days: f64 = 36.0;
    /// The same of clovers and their like.
    company_closes_slow_days: f64 = 45.0;
    /// How much a clover takes beside a vigorous grass.
    company_vigour_clover: f64 = 0.6;
    /// How much a vetch, pea or bean takes beside a vigorous grass.
    company_vigour_legume: f64 = 0.8;
    /// Share of a crop's time in which closed company costs nothing: it falls into the last of it.
    company_free_share: f64 = 0.40;
    /// Share of the yield that company from the first day on costs a crop of weak canopy: the size
    /// of the losses in trials of standing clover.
    company_loss_weak: Estimate = range(0.3, 0.5, 0.7);
    /// The same of most crops.
    company_loss_middling: Estimate = range(0.2, 0.4, 0.6);
    /// The same of tall and spreading crops.
    company_loss_strong: Estimate = range(0.05, 0.2, 0.35);
    /// Share of that loss left where the cover is kept mown.
    company_mown_left: f64 = 0.45;
    /// The same where it stands in the paths between beds only.
    company_paths_left: f64 = 0.5;
    /// The same of a low-growing kind.
    company_low_kind_left: f64 = 0.15;
    /// The same on ground so rich that nitrogen is not fought for.
    company_rich_soil_left: f64 = 0.2;
    /// Loss of yield from which company is said to cost something.
    company_loss_told: f64 = 0.05;
    /// Days before a crop's regrowth by which what stands between is cut, so that it shades nothing.
    cut_before_regrowth_days: f64 = 7.0;
    /// Loss to a disease on record up to which a cover that keeps it stands with care, not barred:
    /// a trace that has aged.
    care_loss_light: f64 = 0.05;
    /// Days over which the sowing window between standing plants is looked for.
    intersow_window_days: usize = 200;
    /// Temperature at which a published yearly release of nitrogen from soil organic matter is taken
    /// to hold: the mean of a temperate growing season.
    mineralisation_reference_c: f64 = 15.0;
    /// Days of the season for which that yearly release is printed: six months.
    mineralisation_season_days: f64 = 183.0;
    /// Factor by which mineralisation rises for ten degrees: the usual working value; published forms
    /// differ little between 5 and 35 C.
    mineralisation_q10: f64 = 2.0;
    /// Part of the published spread of that yearly release (by ratio) that the books' lean and rich
    /// columns take: its ends are single soils, and a column that takes every extreme year after year
    /// is no soil at all.
    humus_spread: f64 = 0.5;
    /// Organic matter of a garden bed without a test, percent.
    organic_matter_unknown: Estimate = range(2.0, 3.5, 6.0);
    /// Soil that a test stands for, kg a square metre: 20 cm of mineral soil.
    tested_soil_kg_m2: Estimate = range(180.0, 240.0, 300.0);
    /// The same in a container: potting soil is light.
    tested_container_kg_m2: Estimate = range(60.0, 110.0, 180.0);
    /// Plant-available nitrogen in a bed before its first record, g/m2: from washed out to manured.
    opening_nitrogen: Estimate = range(1.0, 4.0, 12.0);
    /// Extractable phosphorus before the first record, ppm.
    opening_phosphorus_ppm: Estimate = range(8.0, 25.0, 60.0);
    /// Extractable potassium before the first record, ppm.
    opening_potassium_ppm: Estimate = range(60.0, 150.0, 350.0);
    /// Share of phosphorus put on or taken off that the extractable pool feels; the rest is bound or
    /// set free. Rules of thumb of 10 to 20 lb P2O5 an acre for one ppm give 0.2 to 0.5.
    phosphorus_buffer: Estimate = range(0.1, 0.25, 0.5);
    /// Share of potassium that the extractable pool feels.
    potassium_buffer: Estimate = range(0.5, 0.75, 1.0);
    /// Phosphorus in plants beside their nitrogen, where no figure is given.
    plant_p_per_n: f64 = 0.14;
    /// Potassium in plants beside their nitrogen, where no figure is given.
    plant_k_per_n: f64 = 1.0;
    /// Share of a vegetable's nitrogen that leaves with the harvest, where no total is published.
    harvest_share: Estimate = range(0.45, 0.60, 0.80);
    /// Share of a stand that stays as roots and stubble when the plants are carried off.
    root_share: Estimate = range(0.05, 0.15, 0.25);
    /// Share of a vegetable's residue taken to have stayed where the record does not say.
    residue_not_said: Estimate = range(0.0, 0.5, 1.0);
    /// Share of a residue's nitrogen that a printed credit stands for: the credit is the least the
    /// next crop is held to get.
    credit_of_residue: Estimate = range(0.5, 0.7, 0.9);
    /// Nitrogen of residue left lying beside the same dug in: printed rules give half to four fifths.
    residue_left_lying: Estimate = range(0.5, 0.8, 1.0);
    /// Share of its nitrogen that a legume takes from the air where no figure is given.
    fixation_unknown: Estimate = range(0.3, 0.5, 0.8);
    /// Factor on a typical yield where a crop stood and no harvest was written.
    harvest_not_written: Estimate = range(0.3, 0.7, 1.0);
    /// Share of nitrogen free to plants in the first year, by kind of material, where the material's
    /// own share is not published: meals.
    pan_meal: Estimate = range(0.4, 0.6, 0.8);
    /// The same for raw manures (after the release series of the manure table).
    pan_manure_raw: Estimate = range(0.25, 0.35, 0.55);
    /// The same for composted manures.
    pan_manure_composted: Estimate = range(0.05, 0.10, 0.25);
    /// The same for composts.
    pan_compost: Estimate = range(0.01, 0.05, 0.10);
    /// The same for composts and other half-rotted matter with more than 30 parts of carbon to one of
    /// nitrogen: it takes more than it gives.
    pan_carbon_rich: Estimate = range(-0.20, -0.05, 0.0);
    /// Part of the tie-up of matter worked in that is felt where it lies on the soil as a mulch: in
    /// columns of soil what was put on was found again below straw as below none, and half of it below
    /// straw mixed in (`cochran_1980_surface_straw`); yearly layers of fresh chips were felt at a hand's
    /// depth (`lloyd_2003_wood_chips`).
    tie_up_lying: Estimate = range(0.0, 0.05, 0.3);
    /// The same where the record does not say whether straw, leaves or chips were worked in: from all on
    /// the soil to all in it, and as gardeners use them mostly on it.
    tie_up_not_said: Estimate = range(0.0, 0.25, 1.0);
    /// The same for green plant matter.
    pan_plant: Estimate = range(0.05, 0.30, 0.50);
    /// The same for minerals.
    pan_mineral: Estimate = range(1.0, 1.0, 1.0);
    /// The same for anything else.
    pan_other: Estimate = range(0.0, 0.02, 0.10);
    /// Days until a crop has grown, or a cover closed, where none are published: three months.
    growth_days_unknown: f64 = 90.0;
    /// Longest printed days to maturity that are taken for days of growing weather, and so go by the
    /// warmth of the site: five months. Longer ones, as of garlic, hold the winter it stands through.
    growth_days_by_heat: f64 = 150.0;
    /// Days after its first picking until which at most a crop takes from the soil: it does so to the
    /// middle of its picking, however long that is.
    picking_days_counted: f64 = 60.0;
    /// Plantings set within so many days of each other share the ground, as a mixture does.
    set_together_days: i64 = 21;
    /// Second year's share beside the first where it is not published; each later year gives half of
    /// the year before.
    pan_second_of_first: Estimate = range(0.1, 0.2, 0.5);
    /// Dry matter of a material analysed dry, percent, where it is not published.
    dry_matter_unknown: Estimate = range(25.0, 40.0, 60.0);
    /// The same of straw, stover, hulls and hay, which keep only dry: straws of seven crops have 86 to
    /// 90 (`ndsu_feeding_straw`).
    dry_matter_kept_dry: Estimate = range(82.0, 88.0, 92.0);
    /// The same of meals, percent: they are sold dry, and no source here prints how dry.
    dry_matter_of_meals: Estimate = range(90.0, 90.0, 90.0);
    /// Carbon in dry plant matter, percent, where nitrogen is told by carbon to nitrogen alone: 40 as
    /// the row `cn_from_n` of `pan_model` that was read has it, 42 and 45 as the recalled one.
    plant_carbon_percent: Estimate = range(40.0, 42.0, 45.0);
    /// Bulk density of a material, kg/m3, where it is not published.
    bulk_density_unknown: Estimate = range(250.0, 500.0, 700.0);
    /// How fast meals and green residue let go within their first year: four fifths in a tenth of the
    /// year's warmth, which is four to six weeks of spring.
    release_rate_quick: f64 = 16.0;
    /// How fast composts and manures let go within their first year.
    release_rate_slow: f64 = 3.0;
    /// Water that the root zone holds, mm a decimetre of depth: what a surplus of rain must displace.
    water_held_mm_per_dm: Estimate = range(18.0, 25.0, 32.0);
    /// The same in soil that the bed's note calls sandy.
    water_held_sand_mm_per_dm: Estimate = range(8.0, 12.0, 16.0);
    /// Root zone taken where the bed gives no depth, dm.
    root_zone_dm: f64 = 6.0;
    /// Evaporation of bare soil beside a grown stand.
    bare_soil_evaporation: f64 = 0.5;
    /// Nitrate leached in a month of the winter half where no rain is on record.
    leached_unknown_winter: Estimate = range(0.0, 0.08, 0.25);
    /// Share of the free nitrogen that goes in a month as gas and with watering: small, but without it
    /// the books of a dry garden would fill up for ever.
    nitrogen_lost_otherwise: Estimate = range(0.01, 0.04, 0.10);
    /// Share of what the soil supplies that the crop's roots reach in time.
    supply_reached: Estimate = range(0.6, 0.8, 1.0);
    /// Nitrogen need of a heavy feeder without a printed need, g/m2 (class limits of 200, 120 and
    /// 110 kg/ha stand in the crops' figures).
    need_heavy: Estimate = range(16.0, 20.0, 28.0);
    /// The same of a medium feeder.
    need_medium: Estimate = range(11.0, 15.0, 19.0);
    /// The same of a light feeder.
    need_light: Estimate = range(4.0, 8.0, 11.0);
    /// Yield left with no nitrogen but what the need counts as nothing; between it and the full
    /// yield the response is a quadratic that meets its plateau where the need is met.
    yield_without_nitrogen: Estimate = range(0.35, 0.50, 0.65);
    /// Nitrogen free in the soil when the winter's rain surplus begins, from which a finding is made.
    winter_nitrogen: f64 = 6.0;
    /// Nitrogen washed out over that winter, from which a finding is made.
    winter_leached: f64 = 3.0;
    /// Phosphorus put on above what harvests took, g/m2 over the years looked at, from which it is
    /// called loading where no test says that the soil is rich.
    phosphorus_surplus: f64 = 15.0;
    /// Phosphorus beyond what a crop takes that is within the error of the figures, g/m2.
    phosphorus_slack: f64 = 0.5;
    /// Years of additions looked at for phosphorus.
    phosphorus_years: f64 = 4.0;
    /// Nitrogen tied up while a crop is young, from which a finding is made, g/m2.
    nitrogen_tied_up: f64 = 2.0;
    /// Years after which a soil test no longer tells how a bed stands.
    soil_test_years: f64 = 3.0;
    /// Growings of one crop or family in a row from which the row is called one: the third shows that
    /// the second was no accident.
    run_growings: usize = 3;
    /// Days from one start to the next up to which two growings of a crop are in a row: the next year's,
    /// a month late.
    run_start_days: i64 = 400;
    /// Days a planting of an annual or biennial may stand before its end is missed: a biennial's two
    /// seasons.
    standing_days: i64 = 540;
    /// Part of the fewest published days before the first harvest, earlier than which a picking is a slip:
    /// baby leaves and thinnings come early.
    early_pick_share: f64 = 0.4;
    /// Factor on the highest published yield from which a harvest is a slip of the pen: small plots with
    /// long picking beat field yields threefold.
    implausible_yield: f64 = 4.0;
    /// Factor on the plants that the written spacing allows from which their number is a slip.
    crowding: f64 = 1.5;
    /// Days without any record of a bed from which the gap is told: a whole year's round.
    gap_days: i64 = 365;
    /// Years of a bed's history that are wanted: rules for organic growing ask for three, and most waits
    /// are served by then.
    history_years: f64 = 3.0;
    /// Years looked at for a legume in a bed: the length of a common rotation.
    legume_years: f64 = 4.0;
    /// Years looked at for a cover, a mulch or residue left on a bed.
    cover_years: f64 = 3.0;
    /// Kinds of legume below which others are named.
    legume_kinds: usize = 3;
    /// Nitrogen of a quick material, g/m2, from which it is much for a legume or before roots.
    legume_nitrogen: f64 = 3.0;
    /// Days after a material was put on during which it bears on roots sown next.
    root_days: i64 = 120;
    /// Days after a legume was cut in, within which something should stand again to take its nitrogen.
    legume_gap_days: i64 = 60;
    /// Bare days within the winter half from which they are worth a line.
    bare_winter_days: i64 = 60;
    /// Days two full plantings may stand over each other before it is worth a line: late clearing is
    /// common.
    overlap_days: i64 = 14;
    /// Beds below which one crop may well hold half of the ground.
    crop_share_beds: usize = 3;
    /// Rain left over in a month, mm, from which the wet season has begun ...
    wet_month_mm: f64 = 15.0;
    /// ... and months of it that are looked at.
    wet_season_months: usize = 6;
    /// Degrees by which the soil on a day may be off its normal: a start closer to its limit than that
    /// is no mistake.
    soil_day_off_c: f64 = 1.5;
    /// Years of record that cover the usual waits: fewer leave the time before unknown.
    known_history_years: f64 = 4.0;
    /// Days for which an unknown disease is worth a field check: about as long as its crop or its
    /// stubble stands.
    field_check_days: i64 = 120;
    /// A crop picked within so many days is still giving, whatever its usual end.
    still_giving_days: i64 = 31;
    /// Days for which a gap without an end in sight is looked at.
    longest_gap_days: f64 = 150.0;
    /// Days of a crop's time, growth and picking, where no source gives them.
    crop_days_unknown: f64 = 110.0;
    /// Days from sowing to emergence by which sources that count from emergence are ahead of those that
    /// count from sowing.
    emergence_days_usual: f64 = 10.0;
    /// Mean temperature from which a stand drinks enough to be in need of water in a dry month.
    drinks_from_c: f64 = 6.0;
    /// Days that self-sown plants may stand in a resting bed before they are told.
    volunteer_days: i64 = 30;
    /// Fall of organic matter, percent points, that is more than a laboratory's scatter.
    organic_matter_fall: f64 = 0.5;
    /// Days that a crop stands alone before a cover between its rows: the common weed-free time of four
    /// weeks for plants set out.
    intersow_days: i64 = 28;
    /// Days after clearing on which a crop is still looked at, on the heap or in the store.
    looked_at_days: i64 = 60;
    /// Nitrogen in the dry matter of vegetable residue, percent, where no credit is printed.
    vegetable_residue_n_percent: Estimate = range(1.5, 2.5, 3.5);
    /// Planning: worth of a full crop beyond what is wished, as a share of one that is wished. It can
    /// be given away, but nobody asked for it: a cover is worth more.
    plan_beyond: f64 = 0.02;
    /// Planning: what a half-month under any crop is worth, as a share of a full crop, because covered
    /// soil is not washed out. A winter under a cover comes to about a tenth.
    plan_cover: f64 = 0.01;
    /// Planning: what the cover adds that serves a bed best in its season, as a share of a full crop;
    /// others by their share of what it does: as much as a legume's nitrogen.
    plan_cover_serves: f64 = 0.06;
    /// Planning: different covers at hand in a garden; more make the bound wide and the plan hard to
    /// follow.
    plan_covers: usize = 8;
    /// Planning: days of the gap for which covers are compared before the plan is made: a season.
    plan_cover_gap_days: f64 = 100.0;
    /// Planning: part of the ground of a standing crop that must be free between its stems for a legume
    /// to be worth sowing there.
    plan_company_ground: f64 = 0.1;
    /// Planning: days from the day on which a crop that stayed the winter grows again to its picking:
    /// those of a fruiting crop from bloom, since its stems are there.
    plan_regrowth_days: f64 = 60.0;
    /// Planning: what a legume adds beside its harvest, as a share of a full crop: its nitrogen in a
    /// bed of middling need.
    plan_legume: f64 = 0.06;
    /// Planning: part of its worth that a planting keeps if it needs care, so that a free bed is
    /// taken first.
    plan_care: f64 = 0.9;
    /// Planning: what a gram of nitrogen that must be put on costs, as a share of a full crop of a
    /// square metre: 10 g make three parts in a hundred.
    plan_nitrogen: f64 = 0.003;
    /// Planning: part of the shortest published return time that relatives keep within a plan.
    plan_return: f64 = 1.0;
    /// Planning: free years kept between a relative on record and a crop, if its shortest published
    /// return time is not shorter still. More is weighed as care, since most gardens could plant
    /// nothing otherwise.
    plan_return_recorded: f64 = 1.0;
    /// Planning: what a half-month costs in which two sections of one bed bear the same family, as a
    /// share of a full crop of the smaller one: what one has the other gets.
    plan_neighbours: f64 = 0.01;
    /// Planning: what a half-month of a square metre is worth that serves a goal asked for (ground under
    /// crops, under legumes), as a share of a full crop: about a quarter of what a wished crop makes of
    /// it, so that ground nobody wished for serves the goal first.
    plan_goal: f64 = 0.03;
    /// Planning: what an hour beyond those there are costs in the search, m2 of full crops: more than
    /// an hour of work brings in, so that plantings give way and not the limit.
    plan_hour_over: f64 = 12.0;
    /// Plants of a crop that a look takes in: a disease is noted when at least one of them shows it.
    plants_looked_at: f64 = 20.0;
    /// Factor by which a season lets a soil-borne disease show itself more or less than the dose says:
    /// in nine of ten seasons within these ends.
    season_of_disease: Estimate = range(0.2, 1.0, 3.0);
    /// Plantings of its hosts that the first guess of how many beds hold a disease is worth: districts
    /// part in what surveys found of one disease as if theirs were worth three (bacterial wilt in 35
    /// to 99 percent of fields) to twenty (garlic white rot in 21 to 53 percent of plants). The guess
    /// itself is the presumed background.
    plantings_known: f64 = 10.0;
    /// Years over which looks at a bed that found nothing lose two thirds of their weight: soil,
    /// plants and water carry diseases in, and nobody has printed how often for gardens.
    clean_looks_fade_years: f64 = 10.0;
    /// Share of its time in the bed after which a healthy look says that the crop stayed healthy;
    /// wilts and rots show late.
    healthy_look_share: f64 = 0.5;
    /// Days from which a crop that still stands is scored by how it is so far.
    scored_so_far_days: f64 = 90.0;
    /// Steps of confidence (high, moderate, low) that a reason loses which rests on trade pages,
    /// garden pages or newspapers alone: what nobody tried who answers for it is worth a rule of the
    /// trade and no more.
    weak_source_steps: usize = 1;
}
