//! What the trade knows: tables with a source on every row, names, and the graph over them.
//!
//! Facts live in the CSV tables under `tables/`, compiled into the program; mechanisms live in the
//! other modules. If a new statement needs only new numbers it is a row. The tables are proven
//! sound by tests, so [`Knowledge::embedded`] returns no `Result`.

mod availability;
mod breaks;
mod bridges;
mod citation;
mod cover_classes;
mod coverage;
mod crops;
mod curves;
mod emergence;
mod figures;
mod garden_yields;
mod graph;
mod growth_points;
mod heat_sums;
mod hosts;
mod ids;
mod intervals;
mod labour;
mod later;
mod lint;
mod materials;
mod meant;
mod mixes;
mod modifiers;
mod month_day;
mod names;
mod nitrogen_credits;
mod nutrients;
mod nutrition;
mod outcomes;
mod pathogens;
mod pieces;
mod publication;
mod resistance;
mod rootstocks;
mod rotation_trials;
mod search;
mod sequences;
mod signs;
mod sources;
mod spacing;
mod standards;
mod standings;
mod stations;
mod symptoms;
mod table;
mod tables;
mod thresholds;
mod timing;
mod undersowing;
mod windows;

pub use availability::AvailabilityPoint;
pub use breaks::{BreakCrop, Breaks, MOST_PATHOGENS};
pub use bridges::{Bridge, BridgeEvidence, Turn};
pub use citation::{Citation, How};
pub use cover_classes::ClassFigure;
pub use coverage::{Coverage, Holding, coverage};
pub use crops::{Crop, Crops, Role};
pub use curves::CurvePoint;
pub use emergence::{Emergence, EmergenceTrial, ThermalTime, Trial};
pub use figures::{Figure, Preference};
pub use garden_yields::GardenYield;
pub use graph::{Graph, Link, Node, Step};
pub use growth_points::GrowthPoint;
pub use heat_sums::{Counting, Cultivars, HeatSum};
pub use hosts::{Basis, HostRow, HostStanding, HostStatus, Hosts, Says};
pub use ids::{CropId, PathogenId};
pub(crate) use intervals::median;
pub use intervals::{
    Clears, IntervalRow, Intervals, ReturnRow, Returns, Situation, Subject, Usual,
};
pub use labour::{Labour, LabourPer, LabourTask};
pub use lint::{Fault, LintReport, LintRule, lint};
pub use materials::{Build, Material, Materials};
pub use meant::Meant;
pub use mixes::MixFigure;
pub use modifiers::{ActsOn, Modifier, Worked};
pub use month_day::MonthDay;
pub use names::{Named, Names, Synonym, fold};
pub use nitrogen_credits::NitrogenCredit;
pub use nutrients::{
    Basis as PartBasis, Cited, Content, Nutrients, PanLine, Part, PhosphorusClass, PhosphorusLimit,
};
pub use nutrition::{Nutrition, Sourced};
pub use outcomes::Outcome;
pub use pathogens::{HostRange, Pathogen, Pathogens, Spread};
pub use pieces::Piece;
pub use publication::Publication;
pub use resistance::{ResistanceCode, Resistances};
pub use rootstocks::{Rootstock, Rootstocks};
pub use rotation_trials::{CauseGiven, RotationTrial};
pub use search::Found;
pub use sequences::{Follows, SequenceRow, Sequences};
pub use signs::Signs;
pub use sources::{Source, Sources};
pub use spacing::{CropSpacing, PrintedSpacing};
pub use standards::Clause;
pub use stations::{ClimateMonth, FrostDates};
pub use symptoms::{Cause, Specificity, Symptom, Symptoms};
pub use tables::{Replacement, Tables};
pub use thresholds::Threshold;
pub use timing::TimingRule;
pub use undersowing::{Undersowing, UndersowingKind};
pub use windows::PlantingWindow;

use std::sync::OnceLock;

use crate::tabular::{Problems, RowProblem};
use figures::Figures;
use later::{Later, Look};
use standings::Standings;

/// Everything the tables hold, typed and linked.
#[derive(Debug)]
pub struct Knowledge {
    /// Documents.
    pub sources: Sources,
    /// Crops and other plants.
    pub crops: Crops,
    /// Diseases, nematodes, soil pests.
    pub pathogens: Pathogens,
    /// Who hosts what.
    pub hosts: Hosts,
    /// Years without the host.
    pub intervals: Intervals,
    /// Return times where no disease is known.
    pub returns: Returns,
    /// Predecessors and waiting days.
    pub sequences: Sequences,
    /// Amendments.
    pub materials: Materials,
    /// Symptoms and causes.
    pub symptoms: Symptoms,
    /// Codes of the seed trade.
    pub resistances: Resistances,
    /// Rootstocks.
    pub rootstocks: Rootstocks,
    /// What a grower may type; read when the first name is looked up.
    pub names: Names,
    tables: Tables,
    standings: Standings,
    crop_figures: Figures,
    cover_figures: Figures,
    nutrition: Box<[OnceLock<Nutrition>]>,
    pan_line: OnceLock<PanLine>,
    humus_release: OnceLock<Option<Cited>>,
    later: Later,
    graph: OnceLock<Graph>,
}

impl Knowledge {
    /// The built-in tables.
    ///
    /// ```
    /// use breakcrop::knowledge::Knowledge;
    /// let knowledge = Knowledge::embedded();
    /// let courgette = knowledge.names.crop(&knowledge.crops, "courgettes").unwrap();
    /// assert_eq!(&*knowledge.crops[courgette].key, "summer_squash");
    /// ```
    #[must_use]
    pub fn embedded() -> Self {
        Self::load(Tables::built_in(), &mut Problems::default())
    }

    /// The built-in tables with a grower's or adviser's own laid over them.
    ///
    /// # Errors
    /// Every fault of the own tables, located.
    pub fn with_overlay(tables: Tables) -> Result<Self, Vec<RowProblem>> {
        let problems = lint::refused(&tables);
        if problems.is_empty() {
            Ok(Self::load(tables, &mut Problems::default()))
        } else {
            Err(problems)
        }
    }

    /// Cells of any table that do not read.
    fn unreadable(tables: &Tables) -> Vec<RowProblem> {
        let mut problems = Problems::default();
        let knowledge = Self::load(tables.clone(), &mut problems);
        problems.list.extend(knowledge.sources.problems().list);
        knowledge.names.problems(&mut problems);
        knowledge.crop_figures.read(&knowledge.crops, &mut problems);
        knowledge.cover_figures.read(&knowledge.crops, &mut problems);
        later::problems(&knowledge.look(), &mut problems);
        problems.list
    }

    /// The graph over crops, families and pathogens, built once, at the first question.
    #[must_use]
    pub fn graph(&self) -> &Graph {
        self.graph.get_or_init(|| Graph::new(&self.crops, &self.pathogens, &self.hosts))
    }

    /// Where the rows were read from.
    #[must_use]
    pub fn tables(&self) -> &Tables {
        &self.tables
    }

    fn look(&self) -> Look<'_> {
        Look { tables: &self.tables, crops: &self.crops, pathogens: &self.pathogens }
    }

    fn load(tables: Tables, problems: &mut Problems) -> Self {
        let crops = Crops::read(&tables, problems);
        let pathogens = Pathogens::read(&tables, problems);
        // The table of hosts is as long as all the others of the start together: a thread of its own
        // reads it beside them.
        let mut of_hosts = Problems::default();
        let ((intervals, returns, sequences, materials, symptoms, resistances, rootstocks), hosts) =
            std::thread::scope(|scope| {
                let hosts = scope.spawn(|| Hosts::read(&tables, &crops, &pathogens, &mut of_hosts));
                let others = (
                    Intervals::read(&tables, &crops, &pathogens, problems),
                    Returns::read(&tables, &crops, problems),
                    Sequences::read(&tables, &crops, problems),
                    Materials::read(&tables, problems),
                    Symptoms::read(&tables, &crops, problems),
                    Resistances::read(&tables, &crops, &pathogens, problems),
                    Rootstocks::read(&tables, &crops, &pathogens, problems),
                );
                let hosts = hosts.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic));
                (others, hosts)
            });
        problems.list.append(&mut of_hosts.list);
        let mut names = Names::new(&tables);
        learn_names(&mut names, &crops, &pathogens, &materials, &symptoms);
        Self {
            sources: Sources::new(tables.clone()),
            standings: Standings::new(&crops, &pathogens),
            crop_figures: Figures::of_crops(tables.clone()),
            cover_figures: Figures::of_covers(tables.clone()),
            nutrition: (0..crops.count()).map(|_| OnceLock::new()).collect(),
            pan_line: OnceLock::new(),
            humus_release: OnceLock::new(),
            tables,
            crops,
            pathogens,
            hosts,
            intervals,
            returns,
            sequences,
            materials,
            symptoms,
            resistances,
            rootstocks,
            names,
            later: Later::default(),
            graph: OnceLock::new(),
        }
    }

    /// What the tables say of a crop under a pathogen.
    #[must_use]
    pub fn standing(&self, pathogen: PathogenId, crop: CropId) -> HostStanding<'_> {
        let tables = standings::HostTables {
            crops: &self.crops,
            pathogens: &self.pathogens,
            hosts: &self.hosts,
        };
        self.standings.of(&tables, pathogen, crop)
    }

    /// Whether a source says that a crop lowers a pathogen, or one of the species that it may be.
    #[must_use]
    pub fn may_suppress(&self, crop: CropId, pathogen: PathogenId) -> bool {
        std::iter::once(pathogen)
            .chain(self.pathogens.members_of(pathogen))
            .any(|one| self.standing(one, crop).is_suppressive())
    }

    /// Figures of a crop in a field of the crops' figures (`days_to_maturity_min`, `kill_temp_c`,
    /// `in_row_cm_min`, ...), preferred first.
    #[must_use]
    pub fn crop_figures(&self, crop: CropId, field: &str) -> &[Figure] {
        self.crop_figures.of(&self.crops, crop, field)
    }

    /// Figures of a cover in a field of the covers' figures (`winter_kill_c`, `seed_rate_g_m2`,
    /// ...), preferred first.
    #[must_use]
    pub fn cover_figures(&self, crop: CropId, field: &str) -> &[Figure] {
        self.cover_figures.of(&self.crops, crop, field)
    }

    /// A crop's figures on nutrients.
    #[must_use]
    pub fn nutrition(&self, crop: CropId) -> &Nutrition {
        self.nutrition[crop.index()].get_or_init(|| Nutrition::of(self, crop))
    }

    /// All figures of a crop, by field.
    #[must_use]
    pub fn figures_of_crop(&self, crop: CropId) -> &[Figure] {
        self.crop_figures.all_of(&self.crops, crop)
    }

    /// All figures of a crop as a cover, by field.
    #[must_use]
    pub fn figures_of_cover(&self, crop: CropId) -> &[Figure] {
        self.cover_figures.all_of(&self.crops, crop)
    }

    /// Reads now the tables that a ranking of crops will ask for, so that other threads may do it
    /// while the garden is read. No answer turns on it.
    pub fn read_ahead(&self) {
        std::thread::scope(|scope| {
            // The crops' figures are as many rows as all the others here.
            scope.spawn(|| self.crop_figures.rows(&self.crops));
            let _ = self.symptoms.rarity();
            let _ = self.material_contents();
            let _ = self.availability_points();
            let _ = self.nitrogen_credits();
            let _ = self.threshold_rows();
            let _ = self.emergence_trials();
            let _ = self.thermal_times();
            let _ = self.cover_figures.rows(&self.crops);
            let _ = self.garden_yields();
            let _ = self.labour_rows();
        });
    }

    /// Covers for which figures exist.
    #[must_use]
    pub fn covers(&self) -> Vec<CropId> {
        let mut covers: Vec<CropId> =
            self.cover_figures.rows(&self.crops).iter().map(|figure| figure.crop).collect();
        covers.dedup();
        covers
    }
}

fn learn_names(
    names: &mut Names,
    crops: &Crops,
    pathogens: &Pathogens,
    materials: &Materials,
    symptoms: &Symptoms,
) {
    for (_, crop) in crops.iter() {
        for name in [&crop.key, &crop.name, &crop.scientific_name] {
            names.learn(Named::Crop, name, &crop.key);
        }
    }
    for (_, pathogen) in pathogens.iter() {
        for name in [&pathogen.key, &pathogen.scientific_name] {
            names.learn(Named::Pathogen, name, &pathogen.key);
        }
    }
    for material in materials.rows() {
        names.learn(Named::Material, &material.key, &material.key);
    }
    for cause in symptoms.causes() {
        names.learn(Named::Cause, &cause.key, &cause.key);
        names.learn(Named::Cause, &cause.name, &cause.key);
    }
}
