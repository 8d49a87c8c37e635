//! What the trade knows: tables with a source on every row, names, and the graph over them.
//!
//! Facts live in the CSV tables under `tables/`, compiled into the program; mechanisms live in the
//! other modules. If a new statement needs only new numbers it is a row. The tables are proven
//! sound by tests, so [`Knowledge::embedded`] returns no `Result`.

mod citation;
mod crops;
mod figures;
mod graph;
mod hosts;
mod ids;
mod intervals;
mod materials;
mod names;
mod nutrients;
mod pathogens;
mod resistance;
mod rootstocks;
mod sequences;
mod sources;
mod symptoms;
mod table;

pub use citation::{Citation, How};
pub use crops::{Crop, Crops, Role};
pub use figures::{Figure, Preference};
pub use graph::{Graph, Link, Node};
pub use hosts::{Basis, HostRow, HostStanding, HostStatus, Hosts, Says};
pub use ids::{CropId, PathogenId};
pub use intervals::{Clears, IntervalRow, Intervals, ReturnRow, Returns, Situation, Subject};
pub use materials::{Material, Materials};
pub use names::{Named, Names, Synonym, fold};
pub use nutrients::{
    Basis as PartBasis, Cited, Content, Credit, GardenYield, Nutrients, PanLine, PanRow, Part,
    PhosphorusClass,
};
pub use pathogens::{HostRange, Pathogen, Pathogens, Spread};
pub use resistance::{ResistanceCode, Resistances};
pub use rootstocks::{Rootstock, Rootstocks};
pub use sequences::{Follows, SequenceRow, Sequences};
pub use sources::{Source, Sources};
pub use symptoms::{Cause, Specificity, Symptom, Symptoms};

use crate::tabular::{Problems, RowProblem};
use figures::Figures;

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
    /// What materials, residues and soil give to plants.
    pub nutrients: Nutrients,
    /// Symptoms and causes.
    pub symptoms: Symptoms,
    /// Codes of the seed trade.
    pub resistances: Resistances,
    /// Rootstocks.
    pub rootstocks: Rootstocks,
    /// What a grower may type.
    pub names: Names,
    /// The graph over crops, families and pathogens.
    pub graph: Graph,
    crop_figures: Figures,
    cover_figures: Figures,
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
        Self::load(&mut Problems::default())
    }

    /// Problems of the built-in tables: none, and a test proves it.
    #[must_use]
    pub fn problems() -> Vec<RowProblem> {
        let mut problems = Problems::default();
        let knowledge = Self::load(&mut problems);
        problems.list.extend(knowledge.sources.problems().list);
        knowledge.crop_figures.read(&knowledge.crops, &mut problems);
        knowledge.cover_figures.read(&knowledge.crops, &mut problems);
        problems.list
    }

    fn load(problems: &mut Problems) -> Self {
        let crops = Crops::read(include_str!("tables/crops.csv"), problems);
        let pathogens = Pathogens::read(
            include_str!("tables/pathogens.csv"),
            include_str!("tables/pathogen_groups.csv"),
            problems,
        );
        let hosts = Hosts::read(include_str!("tables/hosts.csv"), &crops, &pathogens, problems);
        let intervals =
            Intervals::read(include_str!("tables/intervals.csv"), &crops, &pathogens, problems);
        let returns = Returns::read(include_str!("tables/family_return.csv"), &crops, problems);
        let sequences = Sequences::read(
            include_str!("tables/sequence_rules.csv"),
            include_str!("tables/crop_groups.csv"),
            &crops,
            problems,
        );
        let materials = Materials::read(include_str!("tables/amendments.csv"), problems);
        let nutrients = Nutrients::read(
            &nutrients::Texts {
                amendments: include_str!("tables/amendments.csv"),
                pan_model: include_str!("tables/pan_model.csv"),
                n_credits: include_str!("tables/n_credits.csv"),
                p_classes: include_str!("tables/soil_p_classes.csv"),
                yields: include_str!("tables/yields_garden.csv"),
            },
            &crops,
            problems,
        );
        let symptoms = Symptoms::read(
            include_str!("tables/symptoms.csv"),
            include_str!("tables/causes.csv"),
            &crops,
            problems,
        );
        let resistances = Resistances::read(
            include_str!("tables/resistance_codes.csv"),
            &crops,
            &pathogens,
            problems,
        );
        let rootstocks =
            Rootstocks::read(include_str!("tables/rootstocks.csv"), &crops, &pathogens, problems);
        let mut names = Names::read(
            include_str!("tables/names.csv"),
            include_str!("tables/disease_names.csv"),
            problems,
        );
        learn_names(&mut names, &crops, &pathogens, &materials, &symptoms);
        let graph = Graph::new(&crops, &pathogens, &hosts);
        Self {
            sources: Sources::new(include_str!("tables/sources.csv")),
            crop_figures: Figures::of_crops(include_str!("tables/crop_figures.csv")),
            cover_figures: Figures::of_covers(include_str!("tables/cover_figures.csv")),
            crops,
            pathogens,
            hosts,
            intervals,
            returns,
            sequences,
            materials,
            nutrients,
            symptoms,
            resistances,
            rootstocks,
            names,
            graph,
        }
    }

    /// What the tables say of a crop under a pathogen.
    #[must_use]
    pub fn standing(&self, pathogen: PathogenId, crop: CropId) -> HostStanding<'_> {
        self.hosts.standing(&self.crops, &self.pathogens, pathogen, crop)
    }

    /// Figures of a crop in a field of the crops' figures (`days_to_maturity_min`, `kill_temp_c`,
    /// `in_row_cm_min`, ...), preferred first.
    #[must_use]
    pub fn crop_figures(&self, crop: CropId, field: &str) -> &[Figure] {
        figures::of(self.crop_figures.rows(&self.crops), crop, field)
    }

    /// Figures of a cover in a field of the covers' figures (`winter_kill_c`, `seed_rate_g_m2`,
    /// ...), preferred first.
    #[must_use]
    pub fn cover_figures(&self, crop: CropId, field: &str) -> &[Figure] {
        figures::of(self.cover_figures.rows(&self.crops), crop, field)
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
    // A key is a name of what it stands for, also where no table has a row for it.
    let keys: Vec<(Named, Box<str>)> =
        names.synonyms.iter().map(|synonym| (synonym.named, synonym.key.clone())).collect();
    for (named, key) in keys {
        names.learn(named, &key, &key);
    }
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
