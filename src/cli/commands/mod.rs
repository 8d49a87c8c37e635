//! One file a command: its arguments, whose comments are its help, and a function that runs it.

pub(super) mod assess;
pub(super) mod audit;
pub(super) mod bed;
pub(super) mod beds;
pub(super) mod calendar;
pub(super) mod cover;
pub(super) mod demo;
pub(super) mod diagnose;
pub(super) mod doctor;
pub(super) mod export;
pub(super) mod follow;
pub(super) mod import;
pub(super) mod intersow;
pub(super) mod new;
pub(super) mod plan;
pub(super) mod policy;
pub(super) mod record;
pub(super) mod reference;
pub(super) mod replay;
pub(super) mod report;
pub(super) mod season;
pub(super) mod shell;
pub(super) mod soil;
pub(super) mod trend;
pub(super) mod walk;
