//! Tables that few answers need, each read at the first question, so that a start costs nothing
//! of them.

use std::sync::OnceLock;

use super::Knowledge;
use super::availability::AvailabilityPoint;
use super::bridges::Bridge;
use super::cover_classes::ClassFigure;
use super::crops::Crops;
use super::curves::CurvePoint;
use super::emergence::{EmergenceTrial, ThermalTime};
use super::garden_yields::GardenYield;
use super::growth_points::GrowthPoint;
use super::heat_sums::HeatSum;
use super::labour::Labour;
use super::mixes::MixFigure;
use super::modifiers::Modifier;
use super::nitrogen_credits::NitrogenCredit;
use super::nutrients::{Content, PhosphorusLimit};
use super::outcomes::Outcome;
use super::pathogens::Pathogens;
use super::rotation_trials::RotationTrial;
use super::standards::Clause;
use super::stations::{ClimateMonth, FrostDates};
use super::tables::Tables;
use super::thresholds::Threshold;
use super::timing::TimingRule;
use super::undersowing::Undersowing;
use super::windows::PlantingWindow;
use crate::tabular::Problems;

/// What a reader of such a table looks up.
pub(super) struct Look<'k> {
    pub(super) tables: &'k Tables,
    pub(super) crops: &'k Crops,
    pub(super) pathogens: &'k Pathogens,
}

macro_rules! later {
    ($($(#[$doc:meta])* $name:ident: $row:ty = $read:path;)*) => {
        /// The rows, once they were asked for.
        #[derive(Debug, Default)]
        pub(super) struct Later {
            $($name: OnceLock<Vec<$row>>,)*
        }

        impl Knowledge {
            $(
                $(#[$doc])*
                #[must_use]
                pub fn $name(&self) -> &[$row] {
                    self.later.$name.get_or_init(|| $read(&self.look(), &mut Problems::default()))
                }
            )*
        }

        /// What is wrong with any of these tables.
        pub(super) fn problems(look: &Look<'_>, problems: &mut Problems) {
            $($read(look, problems);)*
        }
    };
}

later! {
    /// What practices do to a disease or its inoculum.
    modifiers: Modifier = super::modifiers::read;
    /// What surveys found behind wilts and declines.
    outcomes: Outcome = super::outcomes::read;
    /// Yields by previous crop, break and cover.
    rotation_trials: RotationTrial = super::rotation_trials::read;
    /// Points of published curves of disease and inoculum.
    disease_curves: CurvePoint = super::curves::read;
    /// Nitrogen left by crops and covers.
    nitrogen_credits: NitrogenCredit = super::nitrogen_credits::read;
    /// Published models of available nitrogen.
    availability_points: AvailabilityPoint = super::availability::read;
    /// What materials hold, by key: of each figure the best row that has it.
    material_contents: (Box<str>, Content) = super::nutrients::contents;
    /// From which figure of a test a soil is rich in phosphorus.
    phosphorus_limits: PhosphorusLimit = super::nutrients::limits;
    /// How covers grow.
    growth_points: GrowthPoint = super::growth_points::read;
    /// Mixtures of covers.
    cover_mixes: MixFigure = super::mixes::read;
    /// Figures of classes of covers.
    cover_classes: ClassFigure = super::cover_classes::read;
    /// Covers between standing plants.
    undersowings: Undersowing = super::undersowing::read;
    /// What covers do to pathogens.
    bridges: Bridge = super::bridges::read;
    /// Waiting times and thresholds of work with covers.
    timing_rules: TimingRule = super::timing::read;
    /// Monthly climate of published stations.
    climate_months: ClimateMonth = super::stations::normals;
    /// Frost dates of places.
    frost_dates: FrostDates = super::stations::frosts;
    /// Thresholds of crops, by subject and limit.
    threshold_rows: Threshold = super::thresholds::read;
    /// Printed heat sums from start to first harvest.
    heat_sums: HeatSum = super::heat_sums::read;
    /// Trials of emergence, by crop and temperature.
    emergence_trials: EmergenceTrial = super::emergence::trials;
    /// Heat sums of germination and emergence.
    thermal_times: ThermalTime = super::emergence::thermal_times;
    /// Clauses of standards.
    clauses: Clause = super::standards::read;
    /// Published planting windows.
    planting_windows: PlantingWindow = super::windows::read;
    /// Yields of gardens.
    garden_yields: GardenYield = super::garden_yields::read;
    /// Hours of work by task.
    labour_rows: Labour = super::labour::read;
}
