//! The JSON that goes out: frozen structs, apart from the types inside, so that a change within
//! never changes what others read. The format's number rises when a field changes its meaning.
//! One file for each page that has a twin in JSON.

mod audit;
mod bed;
pub mod calendar;
mod checkup;
mod choices;
mod cover;
mod diagnosis;
mod import;
mod intersow;
mod judgment;
pub mod plan;
mod ranking;
pub mod reference;
mod replay;
pub mod season;
pub mod soil;
mod stream;
mod trend;
pub mod walk;

pub use audit::{AuditJson, FindingJson, audit};
pub use bed::{BedJson, InoculumJson, bed};
pub use checkup::{CheckupJson, FileCheckJson, checkup};
pub use choices::{ChoiceJson, ChoicesJson, OwnChoiceJson, choices};
pub use cover::{
    CoverJson, CoverPartJson, CoverReasonJson, CoversJson, NextCropJson, SoilLifeJson, StandJson,
    covers,
};
pub use diagnosis::{CandidateJson, CheckJson, DiagnosisJson, diagnosis};
pub use import::{ImportJson, ProblemJson, import};
pub use intersow::{CompanyJson, IntersowJson, LayoutJson, intersow};
pub use judgment::{AssessmentJson, ChangeJson, EvidenceJson, ReasonJson, assessment};
pub use ranking::{FollowOnJson, FollowsJson, follows};
pub use replay::{
    CalibrationJson, DiseaseChanceJson, DiseaseScoreJson, HarvestCaseJson, HarvestScoreJson,
    MissJson, PartScoreJson, ReplayJson, ReplayedJson, ScoreJson, VerdictScoreJson, replay,
};
pub use stream::{
    RankedJson, StreamedAuditJson, StreamedFollowsJson, StreamedJson, StreamedResult, row_problem,
    streamed_audit, streamed_follows,
};
pub use trend::{
    BedTrendJson, ContestJson, DoseTrendJson, DoseYearJson, FamilyReturnsJson, MatchJson,
    NutrientBalanceJson, PlantingJson, ReturnJson, SideJson, TrendJson, YearTrendJson, trend,
};

/// Number of the format, in every document.
pub const FORMAT: u32 = 1;
