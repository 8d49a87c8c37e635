//! Labelled phrases and figures: what is said, without colour and without width. The terminal, and
//! later the HTML report, decide looks.

mod advice;
mod audit;
mod beds;
mod coverage;
mod diagnosis;
mod evidence;
mod finding;
mod hazard;
pub mod json;
mod judgment;
mod lint;
mod phrase;
mod plan;
mod plan_file;
mod problems;
mod reference;
mod reference_found;
mod reference_graph;
mod season;
mod soil;
mod text;
pub mod words;

pub use advice::{cover_page, follow_page, intersow_page};
pub use audit::{audit_page, card_page};
pub use beds::{bed_page, beds_page};
pub use coverage::coverage_page;
pub use diagnosis::diagnosis_page;
pub use hazard::hazard_words;
pub use judgment::{assessment_page, reason_lines};
pub use lint::lint_page;
pub use phrase::{Phrases, ShortReason};
pub use plan::{compare_page, plan_page, unmet_words};
pub use plan_file::plan_csv;
pub use problems::{problem_page, problem_text};
pub use reference::{crop_page, pair_page, pathogen_page, source_page};
pub use reference_found::{found_list, found_page};
pub use reference_graph::{breaks_page, bridges_page, path_page};
pub use season::{FrostWords, season_page};
pub use soil::soil_page;
pub use text::{Block, Label, Line, Page, Span, Table};
