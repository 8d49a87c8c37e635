//! What a treatment of the soil, or a crop that suppresses a pathogen, leaves of a dose.
//!
//! Only what a source reports for the pathogen, its group or all soil life counts; film over cold
//! soil heats nothing. A trial's figure is the best a garden may hope for. Where nothing is taken
//! off, the answer says which of the causes it is.

use crate::climate::Climate;
use crate::estimate::Estimate;
use crate::knowledge::{ActsOn, CropId, Knowledge, Modifier, PathogenId, Role, Worked};
use crate::policy::Policy;
use crate::records::{Residue, Treatment};
use crate::season::{Date, add_days};

/// The share of a dose that a treatment leaves, and the statements it rests on.
#[derive(Clone, Debug)]
pub struct Lowering<'k> {
    /// Share left.
    pub left: Estimate,
    /// The statements.
    pub rows: Vec<&'k Modifier>,
}

/// Why nothing is taken off a dose.
#[derive(Clone, Debug, PartialEq)]
pub enum NotLowered {
    /// Nothing is published of the practice against the pathogen or its kind.
    NonePublished,
    /// It was tried against the pathogen, and no effect was found.
    FoundWithoutEffect,
    /// It acts by what is dug in, and the plants were carried off.
    CarriedOff,
    /// The film lay where or when it cannot heat the soil: mean air temperature of its middle day,
    /// and what is needed.
    TooCold {
        /// Degrees Celsius there and then.
        mean_c: f64,
        /// Degrees Celsius needed.
        needed_c: f64,
    },
    /// The film lay for too few days.
    TooShort {
        /// Days it lay.
        days: i64,
        /// Days needed.
        needed: f64,
    },
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

/// What a treatment leaves of a pathogen's dose by a day, or why it takes nothing off.
///
/// # Errors
/// Why nothing is taken off: it is not a treatment of the soil or nothing is published of it
/// against this pathogen, it was found without effect, or the soil cannot have been warm enough for
/// long enough.
pub fn lowering<'k>(
    knowledge: &'k Knowledge,
    policy: &Policy,
    climate: Option<&Climate<'_>>,
    pathogen: PathogenId,
    treatment: &Treatment,
    by: Date,
) -> Result<Lowering<'k>, NotLowered> {
    let practice = &*treatment.practice.0;
    if !acts_on_soil(practice) {
        return Err(NotLowered::NonePublished);
    }
    let rows = statements(knowledge, pathogen, practice);
    if rows.is_empty() {
        return Err(NotLowered::NonePublished);
    }
    if rows.iter().all(|row| row.worked != Worked::Yes) {
        return Err(NotLowered::FoundWithoutEffect);
    }
    if needs_heat(practice) {
        let end = treatment.lasted.end_by(by);
        film_heats(policy, climate, treatment.lasted.start, end)?;
    }
    let printed = of_a_trial(&rows);
    let left = printed.unwrap_or(policy.treatment_without_figure);
    Ok(Lowering { left: held_back(left, &rows), rows })
}

/// What trials leave, taken together: a trial's figure is the best a garden may hope for, half of
/// what it left standing short of everything, on a scale of factors.
fn of_a_trial(rows: &[&Modifier]) -> Option<Estimate> {
    let printed = rows.iter().filter_map(|row| row.relative).reduce(Estimate::spanning)?;
    let high = printed.high.clamp(0.0, 1.0);
    Some(Estimate::new(printed.low.min(high), high, high.max(0.01).sqrt()))
}

/// Where some sources found no effect, the range reaches up to none.
fn held_back(left: Estimate, rows: &[&Modifier]) -> Estimate {
    if rows.iter().any(|row| row.worked != Worked::Yes) { up_to_nothing(left) } else { left }
}

/// The same range where it may also be that nothing was taken off.
fn up_to_nothing(left: Estimate) -> Estimate {
    Estimate::new(left.low, f64::midpoint(left.likely, 1.0), 1.0)
}

/// Practices that are done by a growing plant.
const BY_STANDING: [&str; 3] = ["trap_crop", "suppressive_crop", "break_choice"];
/// Practices that are done by working a plant in.
const BY_RESIDUE: [&str; 3] = ["green_manure", "biofumigation", "residue_incorporation"];

/// What a crop that is known to suppress a pathogen leaves of its dose. Figures for what waits in
/// the soil and for the disease on the next crop count alike, and the smallest effect printed is the
/// likely one: the dose is measured by what it does, and a count that falls by nine tenths may only
/// halve the wilt. Where only some species of an undetermined group are lowered, the range reaches up to
/// none. Where none is printed the choice is ours. What only residue does is not done by a
/// crop that was carried off, and is not sure where nobody noted what became of it.
///
/// # Errors
/// Why nothing is taken off: it was found without effect, or only its residue acts and was carried
/// off.
pub fn suppression<'k>(
    knowledge: &'k Knowledge,
    policy: &Policy,
    pathogen: PathogenId,
    crop: CropId,
    residue: Option<Residue>,
) -> Result<Lowering<'k>, NotLowered> {
    let carried_off = matches!(residue, Some(Residue::Removed | Residue::Composted));
    let is_cover = knowledge.crops[crop].role == Role::Cover;
    let fate_unknown = residue.is_none() && !is_cover;
    let all: Vec<&Modifier> = knowledge
        .modifiers()
        .iter()
        .filter(|row| row.by.contains(&crop) && row.pathogen.is(pathogen))
        .collect();
    let rows: Vec<&Modifier> = all
        .iter()
        .copied()
        .filter(|row| {
            BY_STANDING.contains(&&*row.practice)
                || (BY_RESIDUE.contains(&&*row.practice) && !carried_off)
        })
        .collect();
    if rows.is_empty() && !all.is_empty() && carried_off {
        return Err(NotLowered::CarriedOff);
    }
    let left = of_a_trial(&rows);
    if left.is_none() && !rows.is_empty() && rows.iter().all(|row| row.worked != Worked::Yes) {
        return Err(NotLowered::FoundWithoutEffect);
    }
    let by_residue = |row: &&Modifier| BY_RESIDUE.contains(&&*row.practice);
    let doubtful = left.is_some() && fate_unknown && rows.iter().all(by_residue);
    let left = left.unwrap_or(policy.suppression_without_figure);
    // Of a group whose species nobody has determined it may be one that the crop does not lower.
    let doubtful = doubtful || !knowledge.standing(pathogen, crop).is_suppressive();
    let left = if doubtful { up_to_nothing(left) } else { held_back(left, &rows) };
    Ok(Lowering { left, rows })
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
///
/// # Errors
/// That it lay for too few days, or that the days were too cold.
pub fn film_heats(
    policy: &Policy,
    climate: Option<&Climate<'_>>,
    from: Date,
    to: Date,
) -> Result<(), NotLowered> {
    let days = (to - from).num_days();
    if (days as f64) < policy.film_days {
        return Err(NotLowered::TooShort { days, needed: policy.film_days });
    }
    let middle = add_days(from, days as f64 / 2.0);
    match climate.map(|climate| climate.mean_c(middle)) {
        Some(mean_c) if mean_c < policy.film_mean_c => {
            Err(NotLowered::TooCold { mean_c, needed_c: policy.film_mean_c })
        }
        Some(_) | None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::origin::Origin;
    use crate::records::{Garden, Place, Practice};
    use crate::season::{Interval, iso_day};

    fn treated(practice: &str, from: &str, to: &str) -> Treatment {
        let day = |text| iso_day(text).expect("a day");
        Treatment {
            place: Place::whole("A"),
            lasted: Interval { start: day(from), end: Some(day(to)) },
            practice: Practice(practice.into()),
            note: Box::default(),
            origin: Origin::new("treatments.csv", 2),
        }
    }

    fn asked(pathogen: &str, treatment: &Treatment) -> Result<Estimate, NotLowered> {
        let knowledge = Knowledge::embedded();
        let pathogen = knowledge.pathogens.find(pathogen).expect("a pathogen");
        let by = treatment.lasted.end.expect("an end");
        lowering(&knowledge, &Policy::default(), None, pathogen, treatment, by)
            .map(|lowering| lowering.left)
    }

    #[test]
    fn each_cause_of_no_effect_is_told_apart() {
        let summer = treated("solarization", "2026-06-20", "2026-08-10");
        assert_eq!(asked("plasmodiophora_brassicae", &summer), Err(NotLowered::FoundWithoutEffect));
        assert_eq!(asked("aphanomyces_euteiches", &summer), Err(NotLowered::NonePublished));
        let short = treated("solarization", "2026-06-20", "2026-07-01");
        assert_eq!(
            asked("verticillium_dahliae", &short),
            Err(NotLowered::TooShort { days: 11, needed: Policy::default().film_days })
        );
        assert!(asked("verticillium_dahliae", &summer).is_ok());
        assert!(Climate::of(&Garden::default()).is_none(), "weeks alone are asked for here");
    }

    #[test]
    fn figures_of_a_suppressive_crop_outweigh_the_choice_and_only_what_is_dug_in_acts() {
        let knowledge = Knowledge::embedded();
        let policy = Policy::default();
        let of = |pathogen: &str, crop: &str, residue| {
            let pathogen = knowledge.pathogens.find(pathogen).expect("a pathogen");
            let crop = knowledge.crops.find(crop).expect("a crop");
            suppression(&knowledge, &policy, pathogen, crop, residue).map(|lowering| lowering.left)
        };
        // Xiao 1998: 94 % fewer propagules after broccoli turned in; a garden does less well.
        let broccoli = of("verticillium_dahliae", "broccoli", Some(Residue::DugIn)).expect("less");
        assert!(broccoli.likely < policy.suppression_without_figure.likely, "{broccoli:?}");
        assert!(broccoli.brackets(0.06), "{broccoli:?}");
        assert_eq!(
            of("verticillium_dahliae", "broccoli", Some(Residue::Removed)),
            Err(NotLowered::CarriedOff)
        );
        // A decoy acts while it grows, wherever it goes afterwards.
        assert!(of("plasmodiophora_brassicae", "oat", Some(Residue::Removed)).is_ok());
        // Counts fell under no sweet corn, but the wilt did: the range says both.
        let corn = of("verticillium_dahliae", "sweet_corn", None).expect("wilt fell");
        assert!(corn.high >= 1.0, "{corn:?}");
        // No figure: ours.
        assert_eq!(
            of("thielaviopsis_basicola", "cereal_rye", None),
            Ok(policy.suppression_without_figure)
        );
    }
}
