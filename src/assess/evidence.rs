//! The leaves of a reason: a record, a sourced fact, a computed figure, or a record that is missing.
//! Wording is the business of `view`.

use super::reason::Effect;
use super::season::{HazardKind, SeasonYield};
use crate::estimate::Estimate;
use crate::knowledge::{
    Basis, BridgeEvidence, Citation, Clears, CropId, PathogenId, PhosphorusClass, Says, Turn,
};
use crate::origin::Origin;
use crate::records::{Certainty, Extent, Method, Seen};
use crate::season::Date;
use crate::state::NotLowered;
use crate::state::nutrients::{NeedBasis, Nutrient, Supply};

/// A leaf of the reasons.
#[derive(Clone, Debug)]
pub enum Evidence {
    /// A record of the garden.
    Record(Origin, RecordNote),
    /// A sourced fact.
    Fact(FactNote, Citation),
    /// A computed figure with its formula.
    Figure(FigureNote),
    /// A record that is missing and would settle the question.
    Missing(MissingNote),
}

/// A record in a few words.
#[derive(Clone, Debug)]
pub enum RecordNote {
    /// An observation.
    Sighting {
        /// When.
        date: Date,
        /// On which crop.
        crop: Option<CropId>,
        /// What.
        seen: Seen,
        /// How much.
        extent: Option<Extent>,
        /// How sure.
        certainty: Certainty,
    },
    /// A planting.
    Planting {
        /// Which crop.
        crop: CropId,
        /// From when.
        from: Date,
        /// Until when; `None` if it still stands.
        to: Option<Date>,
        /// How it came to stand.
        method: Option<Method>,
    },
    /// An amendment.
    Amendment {
        /// When.
        date: Date,
        /// What.
        material: Box<str>,
    },
    /// A harvest.
    Harvest {
        /// When.
        date: Date,
        /// Of what.
        crop: CropId,
    },
    /// An exception from an audit rule.
    Exception {
        /// The rule.
        rule: Box<str>,
        /// Until when.
        until: Date,
    },
    /// A soil test.
    SoilTest {
        /// When.
        date: Date,
    },
    /// The climate normals.
    Climate,
    /// A treatment.
    Treatment {
        /// When it ended or began.
        date: Date,
        /// What.
        practice: Box<str>,
        /// Share it left of the dose, or of the loss of a run, or why it took nothing off.
        left: Result<Estimate, NotLowered>,
    },
    /// A crop that suppresses the pathogen.
    SuppressiveCrop {
        /// When it was cleared.
        date: Date,
        /// What.
        crop: CropId,
        /// Share it left of the dose.
        left: Estimate,
    },
}

/// A fact in a few words.
#[derive(Clone, Debug)]
pub enum FactNote {
    /// How far the temperatures of the crop's time let a disease develop.
    SeasonOfDisease {
        /// First day of the crop.
        from: Date,
        /// Last.
        to: Date,
        /// Share of its full harm.
        share: Estimate,
        /// Mean temperature under which little disease develops.
        least_c: f64,
        /// Mean temperature from which it is full.
        full_c: f64,
    },
    /// What a source says of a crop under a pathogen.
    Host {
        /// The pathogen.
        pathogen: PathogenId,
        /// The crop.
        crop: CropId,
        /// What it says.
        says: Says,
        /// How directly.
        basis: Basis,
        /// What it adds.
        note: Box<str>,
    },
    /// No row: taken from relatives.
    Relatives {
        /// Hosts related to the crop.
        relatives: Vec<CropId>,
        /// By what: species, genus, family.
        rank: &'static str,
    },
    /// Outside the known host range.
    OutsideRange {
        /// The pathogen.
        pathogen: PathogenId,
    },
    /// A published interval.
    Interval {
        /// Disease as the source names it.
        disease: Box<str>,
        /// Least years.
        years_min: Option<f64>,
        /// Most years.
        years_max: Option<f64>,
        /// At least so many.
        open_ended: bool,
        /// Whether the source holds it sufficient.
        enough: bool,
        /// Whether waiting clears the bed.
        clears: Clears,
    },
    /// Published survival.
    Survival {
        /// The pathogen.
        pathogen: PathogenId,
        /// Years.
        years: Option<Estimate>,
        /// Whether the end is open.
        open: bool,
    },
    /// Where the inoculum sits and how far it travels.
    Spread {
        /// The pathogen.
        pathogen: PathogenId,
    },
    /// A published return time.
    ReturnTime {
        /// Of a family, a crop or any.
        subject: Box<str>,
        /// Free years, least.
        gap_min: Option<f64>,
        /// Free years, most.
        gap_max: Option<f64>,
    },
    /// What a source says of one crop after another.
    Sequence {
        /// The predecessor as the source names it.
        previous: Box<str>,
        /// The next as the source names it.
        next: Box<str>,
        /// good, bad or neutral.
        effect: &'static str,
        /// Waiting days.
        wait_days: Option<Estimate>,
        /// What it adds.
        note: Box<str>,
    },
    /// Resistance claimed by code, rootstock or the grower's word.
    Resistance {
        /// The code or rootstock.
        code: Box<str>,
        /// What the source adds.
        note: Box<str>,
    },
    /// What a crop needs in nitrogen.
    NitrogenNeed {
        /// The crop.
        crop: CropId,
        /// All it takes up, g/m2.
        grams: Estimate,
        /// What the figure rests on.
        basis: NeedBasis,
        /// Share that it takes from the air.
        fixed_share: Estimate,
    },
    /// A class of phosphorus tests.
    PhosphorusClass {
        /// Method.
        method: &'static str,
        /// Figure, ppm.
        value: f64,
        /// How rich that is.
        class: PhosphorusClass,
    },
    /// A clause of a standard or a law.
    Clause {
        /// Its number.
        clause: Box<str>,
        /// What it demands, in our words.
        demands: Box<str>,
    },
    /// What a rootstock's source says of its limits.
    Rootstock {
        /// The rootstock.
        name: Box<str>,
        /// Where it fails.
        limits: Box<str>,
    },
    /// A limit of the crop that a season goes beyond.
    SeasonLimit {
        /// What goes wrong.
        hazard: HazardKind,
    },
    /// A crop's usual days.
    Days {
        /// The crop.
        crop: CropId,
        /// Days from planting to harvest.
        days: Estimate,
    },
    /// A figure or word of a cover.
    Cover {
        /// The cover.
        crop: CropId,
        /// What is measured.
        field: Box<str>,
        /// The figure, if it is one.
        range: Option<Estimate>,
        /// The word, if it is not.
        text: Box<str>,
    },
    /// What a source says a cover does to a pathogen.
    Bridge {
        /// The cover or its group.
        cover: Box<str>,
        /// The pathogen or words for several.
        pathogen: Box<str>,
        /// Which way it turns it.
        turn: Turn,
        /// How that is backed.
        backing: BridgeEvidence,
        /// The finding in words.
        finding: Box<str>,
    },
    /// A rule of waiting and timing.
    Timing {
        /// What it is for.
        rule: Box<str>,
        /// Crop or group it applies to.
        applies_to: Box<str>,
        /// The figure.
        range: Option<Estimate>,
        /// Whether only the least is given.
        at_least: bool,
        /// The word, where it is no figure.
        text: Box<str>,
        /// Its unit.
        unit: Box<str>,
    },
    /// What a source says of company under a crop.
    Undersown {
        /// The crop that stands.
        main_crop: Box<str>,
        /// What is sown under it.
        covers: Box<str>,
        /// When.
        timing: Box<str>,
        /// What came of it.
        result: Box<str>,
        /// Where.
        region: Box<str>,
    },
}

/// A computed figure.
#[derive(Clone, Debug)]
pub enum FigureNote {
    /// Years without a host: from one day to another.
    YearsWithoutHost {
        /// From.
        from: Date,
        /// To.
        to: Date,
    },
    /// Share of a susceptible crop that the dose would cost.
    ExpectedLoss {
        /// Half-life used, in years.
        half_life: Estimate,
        /// The share.
        loss: Estimate,
    },
    /// What a possible cause would mean.
    CauseWouldMean {
        /// The cause.
        pathogen: PathogenId,
        /// Its chance, 0 to 1.
        chance: f64,
        /// What it would do to the verdict.
        effect: Effect,
    },
    /// What sources usually print for pathogens of a kind, where nobody prints the pair.
    UsualInterval {
        /// The kind.
        kind: Box<str>,
        /// Median of the least years.
        years: f64,
        /// Rows it rests on.
        rows: usize,
    },
    /// Days between manure and harvest.
    DaysToHarvest {
        /// Days.
        days: i64,
    },
    /// Where the nitrogen of a crop's time comes from and goes.
    NitrogenSupply(Box<Supply>),
    /// What last legumes' nitrogen is worth to the yield.
    LegumeWorth {
        /// Part of a full yield without it.
        without: f64,
        /// Part of a full yield with it.
        with: f64,
    },
    /// What goes wrong in a season by a limit of policy.
    SeasonHazard {
        /// What.
        hazard: HazardKind,
    },
    /// What the season leaves of the yield.
    SeasonYield(SeasonYield),
    /// Heat and light of a stand.
    HeatAndLight {
        /// First day.
        from: Date,
        /// Last day.
        to: Date,
        /// Degree-days.
        degree_days: Estimate,
        /// Above which temperature.
        base_c: f64,
        /// Light for growth caught by leaves, MJ/m2.
        light_mj: Estimate,
    },
    /// Chance of a night that kills.
    KillingNight {
        /// From.
        from: Date,
        /// To.
        to: Date,
        /// At which temperature.
        kill_c: Estimate,
        /// In which share of years.
        chance: Estimate,
    },
    /// Grams a square metre that the books of the place have.
    Booked {
        /// Of what.
        nutrient: Nutrient,
        /// How much.
        grams: Estimate,
    },
}

/// A record that would settle a question.
#[derive(Clone, Debug, PartialEq)]
pub enum MissingNote {
    /// The history before the first record.
    HistoryBefore {
        /// First day on record.
        from: Option<Date>,
    },
    /// Whether a crop hosts a pathogen.
    HostStatus {
        /// The pathogen.
        pathogen: PathogenId,
        /// The crop.
        crop: CropId,
    },
    /// The cause of a disease.
    Cause {
        /// The check that would tell, best first.
        field_check: Box<str>,
    },
    /// Published years without a host.
    Interval {
        /// The pathogen.
        pathogen: PathogenId,
    },
    /// A soil test, or a fresh one.
    SoilTest {
        /// Day of the last.
        last: Option<Date>,
    },
    /// How much of a material was put on, or what it holds.
    AmendmentAmount {
        /// Day.
        date: Date,
        /// Material.
        material: Box<str>,
    },
    /// Rain by month, without which washing-out is a guess.
    Rain,
    /// The climate of the site.
    Climate,
    /// Temperatures that a crop grows at.
    Growth {
        /// The crop.
        crop: CropId,
    },
    /// Site and climate, without which nothing grows on paper.
    SiteAndClimate,
    /// Which species of a group it is.
    Species {
        /// The group.
        pathogen: PathogenId,
        /// The test that settles it.
        test: Box<str>,
    },
    /// How many plants stand and how far apart.
    PlantsAndSpacing,
}
