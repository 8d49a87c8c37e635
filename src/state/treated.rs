//! What a treatment of the soil leaves of a dose.
//!
//! Only what a source reports for the pathogen, its group or all soil life counts; film over cold
//! soil heats nothing. A trial's figure is the best a garden may hope for.

use crate::climate::Climate;
use crate::estimate::Estimate;
use crate::knowledge::{ActsOn, Knowledge, Modifier, PathogenId};
use crate::policy::Policy;
use crate::records::Treatment;
use crate::season::{Date, add_days};

/// The share of a dose that a treatment leaves, and the statements it rests on.
#[derive(Clone, Debug)]
pub struct Lowering<'k> {
    /// Share left.
    pub left: Estimate,
    /// The statements.
    pub rows: Vec<&'k Modifier>,
}

/// Practices that are meant to lower what the soil holds.
pub const SOIL_TREATMENTS: [&str; 6] = [
    "solarization",
    "flooding",
    "steaming",
    "biofumigation",
    "fumigation",
    "anaerobic_disinfestation",
];

/// Whether a practice is meant to lower what the soil holds.
pub(super) fn acts_on_soil(practice: &str) -> bool {
    SOIL_TREATMENTS.contains(&practice)
}

/// What a treatment leaves of a pathogen's dose by a day; `None` where nothing is published of it
/// against this pathogen, or the soil cannot have been warm enough for long enough.
#[must_use]
pub fn lowering<'k>(
    knowledge: &'k Knowledge,
    policy: &Policy,
    climate: Option<&Climate<'_>>,
    pathogen: PathogenId,
    treatment: &Treatment,
    by: Date,
) -> Option<Lowering<'k>> {
    let practice = &*treatment.practice.0;
    if !acts_on_soil(practice) {
        return None;
    }
    let end = treatment.lasted.end_by(by);
    if needs_heat(practice) && !was_warm(policy, climate, treatment.lasted.start, end) {
        return None;
    }
    let rows = statements(knowledge, pathogen, practice);
    if rows.is_empty() {
        return None;
    }
    let printed = rows.iter().filter_map(|row| row.relative).reduce(Estimate::spanning);
    let left = printed.map_or(policy.treatment_without_figure, |share| {
        // Half of what the trial left standing short of everything, on a scale of factors.
        let high = share.high.clamp(0.0, 1.0);
        Estimate::new(share.low.min(high), high, high.max(0.01).sqrt())
    });
    Some(Lowering { left, rows })
}

/// Statements on the pathogen itself; where there are none, on its kind or on all.
fn statements<'k>(
    knowledge: &'k Knowledge,
    pathogen: PathogenId,
    practice: &str,
) -> Vec<&'k Modifier> {
    let of = |is_meant: &dyn Fn(&Modifier) -> bool| -> Vec<&'k Modifier> {
        knowledge
            .modifiers()
            .iter()
            .filter(|row| {
                &*row.practice == practice
                    && matches!(row.acts_on, ActsOn::Inoculum | ActsOn::Both)
                    && is_meant(row)
            })
            .collect()
    };
    let named = of(&|row| row.pathogen.is(pathogen));
    if !named.is_empty() {
        return named;
    }
    let kind = &knowledge.pathogens[pathogen];
    let all = |row: &Modifier| {
        let words = row.pathogen.written(&knowledge.pathogens);
        words == "all" || (words == "nematodes" && kind.is_nematode())
    };
    of(&all)
}

fn needs_heat(practice: &str) -> bool {
    matches!(practice, "solarization" | "anaerobic_disinfestation")
}

/// Whether film can have heated the soil: weeks of summer. Where no climate is given, weeks alone
/// are asked for.
fn was_warm(policy: &Policy, climate: Option<&Climate<'_>>, from: Date, to: Date) -> bool {
    let days = (to - from).num_days();
    days as f64 >= policy.film_days
        && climate.is_none_or(|climate| {
            let middle = add_days(from, days as f64 / 2.0);
            climate.mean_c(middle) >= policy.film_mean_c
        })
}
