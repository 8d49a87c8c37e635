//! What findings claim: a claim a rule.

use crate::assess::Left;
use crate::assess::season::HazardKind;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, PathogenId, PhosphorusClass};
use crate::records::Residue;
use crate::season::Date;
use crate::state::nutrients::Nutrient;

/// Which findings of one rule are told as one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Together {
    /// None: each stands for itself.
    Alone,
    /// Those of a bed.
    Bed,
    /// Those of a bed on one pathogen.
    Pathogen(PathogenId),
    /// All of the garden: the same remark bed by bed tires the reader.
    Garden,
}

/// What a finding claims.
#[derive(Clone, Debug, PartialEq)]
pub enum FindingClaim {
    /// A host was planted before its wait was over.
    HostAfterConfirmed {
        /// The host.
        crop: CropId,
        /// The pathogen.
        pathogen: PathogenId,
        /// Years without a host by then.
        years: f64,
        /// When the wait would have ended.
        until: Option<Date>,
    },
    /// The same family or crop came back too soon.
    FamilyInterval {
        /// The crop.
        crop: CropId,
        /// What stood before.
        previous: CropId,
        /// Free years.
        years: f64,
    },
    /// A volunteer or weed kept a pathogen of the bed alive.
    GreenBridge {
        /// The plant.
        crop: CropId,
        /// The pathogen.
        pathogen: PathogenId,
    },
    /// A cover that hosts or carries what the bed has.
    SharedHostCover {
        /// The cover.
        crop: CropId,
        /// The pathogen.
        pathogen: PathogenId,
    },
    /// Planted into residue that was not ready.
    ResidueNotReady {
        /// The crop.
        crop: CropId,
        /// The residue.
        previous: CropId,
        /// Days since it was cleared.
        days: i64,
        /// What is waited for.
        left: Left,
    },
    /// Harvested too soon after raw manure.
    ManureToHarvest {
        /// The crop.
        crop: CropId,
        /// Days.
        days: i64,
    },
    /// Nothing on the ground for the winter.
    BareWinterSoil {
        /// First day.
        from: Date,
        /// Last day.
        to: Date,
    },
    /// Two whole-bed plantings at once.
    Overlap {
        /// One.
        crop: CropId,
        /// The other.
        other: CropId,
        /// Days both stood.
        days: i64,
    },
    /// A disease of unknown cause that nobody came back to.
    CauseNotFollowedUp {
        /// On which crop.
        crop: Option<CropId>,
    },
    /// Free nitrogen lay in the soil when the winter's rain began.
    NitrogenBeforeWinter {
        /// Free at the start, g/m2.
        free: Estimate,
        /// Washed out over the winter, g/m2.
        leached: Estimate,
    },
    /// More phosphorus is put on than harvests take.
    PhosphorusLoading {
        /// Put on, g/m2.
        added: f64,
        /// Taken by harvests and carried off, g/m2.
        removed: f64,
        /// Over so many years.
        years: f64,
        /// What the last test calls the soil.
        class: Option<PhosphorusClass>,
    },
    /// Rotting residue took nitrogen while the crop was young.
    NitrogenTieUp {
        /// The crop.
        crop: CropId,
        /// How much, g/m2.
        grams: Estimate,
    },
    /// No soil test tells how the bed stands today.
    SoilTestStale {
        /// Day of the last.
        last: Option<Date>,
    },
    /// A soil test found what the books cannot explain.
    SoilTestContradicts {
        /// Which nutrient.
        nutrient: Nutrient,
        /// What the books had, g/m2.
        booked: Estimate,
        /// What the test found, g/m2.
        tested: Estimate,
    },
    /// A host was planted after a disease that somebody suspected, before its wait was over.
    HostAfterSuspected {
        /// The host.
        crop: CropId,
        /// The pathogen.
        pathogen: PathogenId,
        /// Years without a host by then.
        years: f64,
    },
    /// A host of a nematode that the bed has.
    NematodeBuildup {
        /// The host.
        crop: CropId,
        /// The nematode.
        pathogen: PathogenId,
    },
    /// One crop or family again and again.
    RunWithoutBreak {
        /// The latest of the run.
        crop: CropId,
        /// Growings.
        times: usize,
        /// First day of the run.
        since: Date,
        /// Whether all are the same crop.
        same_crop: bool,
    },
    /// A predecessor that sources call bad.
    BadPredecessor {
        /// The crop.
        crop: CropId,
        /// What stood before.
        previous: CropId,
        /// Why, in the trade's word.
        reason: Box<str>,
    },
    /// A crop too soon after another that shares its diseases.
    SpacingOnCleanLand {
        /// The crop.
        crop: CropId,
        /// What stood before.
        previous: CropId,
        /// Free years.
        years: f64,
    },
    /// The remains of a sick crop stayed in the bed.
    SickResidueKept {
        /// The crop.
        crop: CropId,
        /// Its disease.
        pathogen: PathogenId,
        /// What became of the plants.
        residue: Residue,
    },
    /// Self-sown plants of a family stood while the bed was to rest from it.
    VolunteerInRest {
        /// The volunteer.
        crop: CropId,
        /// Its relative that had stood.
        relative: CropId,
        /// Days it stood.
        days: i64,
    },
    /// A disease that some place's law asks to be notified.
    NotifiableDisease {
        /// The disease.
        pathogen: PathogenId,
        /// The clause.
        clause: Box<str>,
    },
    /// A host before the free years that some place's law asks for.
    StatutoryInterval {
        /// The host.
        crop: CropId,
        /// The pathogen.
        pathogen: PathogenId,
        /// Free years.
        years: f64,
        /// Years asked for.
        asked: f64,
        /// The clause.
        clause: Box<str>,
    },
    /// A planting that was never written as cleared.
    StillStanding {
        /// The crop.
        crop: CropId,
        /// Days by now.
        days: i64,
        /// What was planted on its ground since.
        later: Option<CropId>,
    },
    /// A crop that nothing was weighed of.
    NoHarvest {
        /// The crop.
        crop: CropId,
        /// Days it stood.
        days: i64,
    },
    /// Something was picked that did not stand there.
    HarvestWithoutPlanting {
        /// The crop.
        crop: CropId,
        /// Days since it was cleared; `None` if it never stood there.
        cleared: Option<i64>,
    },
    /// Something was looked at that did not stand there.
    ObservationWithoutPlanting {
        /// The crop.
        crop: CropId,
    },
    /// Sickness that only the note on a planting tells of.
    SicknessOnlyInNote {
        /// The crop.
        crop: CropId,
        /// The word of the note.
        word: Box<str>,
    },
    /// A cause that does not attack the crop it was noted on.
    CauseNotOfCrop {
        /// The crop.
        crop: CropId,
        /// The cause.
        pathogen: PathogenId,
    },
    /// Healthy and sick on the same day.
    ObservationsContradict {
        /// The crop.
        crop: Option<CropId>,
    },
    /// Picked before it can have been ripe.
    HarvestTooSoon {
        /// The crop.
        crop: CropId,
        /// Days from the start.
        days: i64,
        /// Fewest days that sources give.
        usual: f64,
    },
    /// More than a bed can bear.
    HarvestImplausible {
        /// The crop.
        crop: CropId,
        /// Kilograms a square metre.
        kg_m2: f64,
        /// Most that sources give.
        most: f64,
    },
    /// More plants than the ground holds.
    TooManyPlants {
        /// The crop.
        crop: CropId,
        /// Plants.
        plants: i64,
        /// Plants that the spacing allows.
        room: f64,
    },
    /// A planting larger than its bed.
    AreaExceedsBed {
        /// The crop.
        crop: CropId,
        /// Area written, m2.
        area: f64,
        /// Area of the bed, m2.
        bed: f64,
    },
    /// A phosphorus figure without its method.
    SoilTestWithoutMethod,
    /// A time of which nothing is written.
    RecordGap {
        /// First day.
        from: Date,
        /// Last day.
        to: Date,
    },
    /// Records that do not reach back far enough.
    HistoryUnknown {
        /// First day on record.
        from: Option<Date>,
        /// Years wanted.
        wanted: f64,
    },
    /// A record of a day that has not come.
    DateAhead {
        /// What is recorded: `planting`, `clearing`, `harvest`, ...
        what: &'static str,
    },
    /// Details that inspectors and the books ask for are missing.
    RecordsIncomplete {
        /// Plantings looked at.
        plantings: usize,
        /// Of them without a variety.
        variety: usize,
        /// Without a method.
        method: usize,
        /// Cleared, and nothing says what became of the plants.
        residue: usize,
        /// Amendments without an amount.
        amount: usize,
    },
    /// Quick nitrogen for a legume.
    NitrogenOnLegume {
        /// The legume.
        crop: CropId,
        /// The material.
        material: Box<str>,
        /// Nitrogen, g/m2.
        grams: Estimate,
    },
    /// More manure nitrogen in a year than a rule allows.
    ManureNitrogenCap {
        /// Nitrogen of a year, g/m2.
        grams: Estimate,
        /// Most allowed, g/m2.
        most: f64,
    },
    /// Fresh manure or much nitrogen before a root crop.
    NitrogenBeforeRoots {
        /// The crop.
        crop: CropId,
        /// The material.
        material: Box<str>,
        /// Nitrogen, g/m2.
        grams: Estimate,
    },
    /// Raw manure spread among standing food.
    ManureWhileGrowing {
        /// What stood.
        crop: CropId,
        /// The material.
        material: Box<str>,
    },
    /// No legume in years.
    LegumeMissing {
        /// Years looked at.
        years: f64,
    },
    /// A legume cut in with nothing to take its nitrogen.
    LegumeNitrogenLost {
        /// The legume.
        crop: CropId,
        /// Days until something stood again.
        days: i64,
    },
    /// Few kinds of legume, and others would do.
    UntriedLegumes {
        /// Kinds grown.
        grown: Vec<CropId>,
        /// Kinds never tried that the winters allow.
        untried: Vec<CropId>,
    },
    /// Organic matter goes down from test to test.
    OrganicMatterFalling {
        /// Percent at first.
        from: f64,
        /// Percent at last.
        to: f64,
    },
    /// One crop holds most of the garden.
    CropShare {
        /// The crop.
        crop: CropId,
        /// Percent of the planted ground and time of a year.
        percent: f64,
    },
    /// A treatment too short or too cool to work.
    TreatmentOutOfSeason {
        /// What was done.
        practice: Box<str>,
        /// Days it lasted.
        days: i64,
        /// Mean temperature in its middle; `None` without a climate.
        mean_c: Option<f64>,
    },
    /// Started on a day that leads to no harvest here.
    OutOfSeason {
        /// The crop.
        crop: CropId,
        /// What forbids the day.
        hazard: HazardKind,
    },
    /// A cover sown while the crop could not yet bear it.
    IntersownEarly {
        /// The cover.
        cover: CropId,
        /// The crop.
        crop: CropId,
        /// Days after the crop.
        days: i64,
    },
    /// Perennials take up most of a rotation.
    PerennialShare {
        /// Percent of the recorded time.
        percent: f64,
    },
    /// No cover, mulch or residue in years.
    CoverMissing {
        /// Years looked at.
        years: f64,
    },
    /// An exception whose end is past.
    ExceptionExpired {
        /// The rule excepted.
        rule: Box<str>,
    },
    /// An exception that never matched a finding.
    ExceptionUnmatched {
        /// The rule excepted.
        rule: Box<str>,
        /// Whether there is such a rule.
        known: bool,
    },
}

impl FindingClaim {
    /// The disease it speaks of, if it speaks of one.
    #[must_use]
    pub fn pathogen(&self) -> Option<PathogenId> {
        match self.together() {
            Together::Pathogen(pathogen) => Some(pathogen),
            Together::Alone | Together::Bed | Together::Garden => None,
        }
    }

    /// Which findings of its rule are told together with it.
    pub(super) fn together(&self) -> Together {
        match self {
            Self::HostAfterConfirmed { pathogen, .. }
            | Self::HostAfterSuspected { pathogen, .. }
            | Self::NematodeBuildup { pathogen, .. }
            | Self::GreenBridge { pathogen, .. }
            | Self::SharedHostCover { pathogen, .. }
            | Self::NotifiableDisease { pathogen, .. }
            | Self::StatutoryInterval { pathogen, .. } => Together::Pathogen(*pathogen),
            Self::BareWinterSoil { .. }
            | Self::Overlap { .. }
            | Self::NitrogenTieUp { .. }
            | Self::SoilTestContradicts { .. }
            | Self::NoHarvest { .. }
            | Self::VolunteerInRest { .. }
            | Self::LegumeNitrogenLost { .. }
            | Self::OutOfSeason { .. }
            | Self::RecordGap { .. } => Together::Bed,
            Self::FamilyInterval { .. }
            | Self::ResidueNotReady { .. }
            | Self::BadPredecessor { .. }
            | Self::SpacingOnCleanLand { .. }
            | Self::NitrogenBeforeWinter { .. }
            | Self::ManureNitrogenCap { .. }
            | Self::PhosphorusLoading { .. }
            | Self::SoilTestStale { .. }
            | Self::SoilTestWithoutMethod
            | Self::HistoryUnknown { .. }
            | Self::LegumeMissing { .. }
            | Self::CoverMissing { .. }
            | Self::DateAhead { .. } => Together::Garden,
            Self::ManureToHarvest { .. }
            | Self::CauseNotFollowedUp { .. }
            | Self::RunWithoutBreak { .. }
            | Self::SickResidueKept { .. }
            | Self::StillStanding { .. }
            | Self::HarvestWithoutPlanting { .. }
            | Self::ObservationWithoutPlanting { .. }
            | Self::SicknessOnlyInNote { .. }
            | Self::CauseNotOfCrop { .. }
            | Self::ObservationsContradict { .. }
            | Self::HarvestTooSoon { .. }
            | Self::HarvestImplausible { .. }
            | Self::TooManyPlants { .. }
            | Self::AreaExceedsBed { .. }
            | Self::RecordsIncomplete { .. }
            | Self::NitrogenOnLegume { .. }
            | Self::NitrogenBeforeRoots { .. }
            | Self::ManureWhileGrowing { .. }
            | Self::UntriedLegumes { .. }
            | Self::OrganicMatterFalling { .. }
            | Self::CropShare { .. }
            | Self::PerennialShare { .. }
            | Self::TreatmentOutOfSeason { .. }
            | Self::IntersownEarly { .. }
            | Self::ExceptionExpired { .. }
            | Self::ExceptionUnmatched { .. } => Together::Alone,
        }
    }
}
