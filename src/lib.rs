//! What may follow where, from when, and why: soil-borne disease and nitrogen, bed by bed, from
//! the grower's own records.
//!
//! Data travels one way:
//!
//! ```text
//! CSV -> located cells -> records -> store -> history -> bed state at a date
//!     -> assessment -> advice / audit / plan -> view -> terminal | JSON | HTML
//! ```
//!
//! The whole path without files or clock:
//!
//! ```
//! use breakcrop::assess::{Proposal, Verdict, assess};
//! use breakcrop::knowledge::Knowledge;
//! use breakcrop::policy::Policy;
//! use breakcrop::records::{BedNames, Garden, Lookup, Place, RecordKind};
//! use breakcrop::season::iso_day;
//! use breakcrop::state::BedState;
//! use breakcrop::tabular::{Problems, scan};
//!
//! let knowledge = Knowledge::embedded();
//! let mut garden = Garden::default();
//! let mut problems = Problems::default();
//! let mut beds = BedNames::default();
//! for (kind, text) in [
//!     (RecordKind::Beds, "bed,kind,length_m,width_m\nlong bed,ground,6,1.2\n"),
//!     (RecordKind::Plantings, "bed,crop,planted,removed\nlong bed,tomato,2024-05-01,2024-10-01\n"),
//!     (RecordKind::Observations, "bed,date,crop,cause,extent,certainty\n\
//!       long bed,2024-08-20,tomato,verticillium_dahliae,moderate,laboratory\n"),
//! ] {
//!     let file = format!("{}.csv", kind.word()).into();
//!     scan(&file, text.as_bytes(), kind.columns(), &mut problems, |cells| {
//!         let lookup = Lookup::new(&knowledge, &beds);
//!         if let Some(record) = kind.read(cells, &lookup) {
//!             record.join(&mut garden);
//!         }
//!     });
//!     beds = garden.beds.iter().map(|bed| &bed.name).collect();
//! }
//! assert!(problems.is_empty());
//! garden.sort();
//!
//! let policy = Policy::default();
//! let on = iso_day("2025-10-01").unwrap();
//! let place = Place::whole("long bed");
//! let state = BedState::at(&garden, &knowledge, &policy, &place, on);
//! let strawberry = knowledge.names.crop(&knowledge.crops, "strawberry").unwrap();
//! let assessment = assess(&knowledge, &policy, &state, &Proposal::of(strawberry, on));
//! assert_eq!(assessment.verdict, Verdict::Wait);
//! assert!(assessment.earliest.unwrap() >= iso_day("2027-08-20").unwrap());
//! ```

pub mod advise;
pub mod assess;
pub mod audit;
pub mod cli;
pub mod climate;
pub mod estimate;
pub mod import;
pub mod knowledge;
pub mod origin;
pub mod plan;
pub mod policy;
pub mod records;
pub mod render;
pub mod replay;
pub mod sample;
pub mod season;
pub mod spacing;
pub mod state;
pub mod store;
pub mod tabular;
pub mod trend;
pub mod units;
pub mod view;
