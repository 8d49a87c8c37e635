//! What to look at, bed by bed, on a walk through the garden.

use super::tasks::Task;
use crate::knowledge::{CropId, Knowledge, PathogenId, Symptom};
use crate::policy::Policy;
use crate::records::{Garden, Place};
use crate::season::Date;
use crate::state::{BedState, Presence};

/// What one place asks of the walker.
#[derive(Clone, Debug)]
pub struct WalkPlace<'k> {
    /// Bed and section.
    pub place: Place,
    /// What stands, and since when; volunteers too.
    pub standing: Vec<(CropId, Date, bool)>,
    /// What is due.
    pub due: Vec<Task>,
    /// What to look for on what stands.
    pub look_for: Vec<LookFor<'k>>,
    /// Notes of unknown cause that were never settled, with the check that tells most.
    pub open_question: Option<(Date, Box<str>)>,
}

/// A disease to look for.
#[derive(Clone, Copy, Debug)]
pub struct LookFor<'k> {
    /// The crop.
    pub crop: CropId,
    /// The disease.
    pub pathogen: PathogenId,
    /// Whether it was seen in this very place.
    pub seen_here: bool,
    /// How it shows and how it is told apart, if a source says.
    pub symptom: Option<&'k Symptom>,
}

/// Diseases to look for on each crop: more are not looked for with cold hands.
const MOST: usize = 3;

/// The places of a garden in their order, with the tasks that are due by a day.
#[must_use]
pub fn walk<'k>(
    knowledge: &'k Knowledge,
    policy: &Policy,
    garden: &Garden,
    today: Date,
    tasks: &[Task],
    by: Date,
) -> Vec<WalkPlace<'k>> {
    let places = garden.beds.iter().flat_map(|bed| garden.places(&bed.name));
    places
        .map(|place| {
            let state = BedState::at(garden, knowledge, policy, &place, today);
            let standing: Vec<(CropId, Date, bool)> = state
                .standing()
                .map(|planting| (planting.crop, planting.stood.start, planting.is_volunteer()))
                .collect();
            let mut look_for = Vec::new();
            let mut crops: Vec<CropId> = standing.iter().map(|(crop, ..)| *crop).collect();
            crops.sort();
            crops.dedup();
            for crop in crops {
                look_for.extend(look_for_on(knowledge, &state, crop));
            }
            let open_question = state.episodes().last().and_then(|episode| {
                let note = episode.notes.last()?;
                let check = episode.checks.first()?;
                Some((note.date, check.field_check.clone()))
            });
            let due = tasks
                .iter()
                .filter(|task| task.from <= by && task.to > today)
                .filter(|task| task.place.as_ref().is_some_and(|at| at.bears_on(&place)))
                .cloned()
                .collect();
            WalkPlace { place, standing, due, look_for, open_question }
        })
        .collect()
}

/// Diseases that the place has, or may have, and that take a crop: those seen here first, then the
/// likeliest.
fn look_for_on<'k>(
    knowledge: &'k Knowledge,
    state: &BedState<'_>,
    crop: CropId,
) -> Vec<LookFor<'k>> {
    let mut held: Vec<(bool, f64, PathogenId)> = state
        .inocula()
        .filter(|inoculum| knowledge.standing(inoculum.pathogen, crop).status.may_suffer())
        .map(|inoculum| {
            let seen = matches!(inoculum.presence, Presence::Sighted(_));
            (seen, inoculum.dose.likely, inoculum.pathogen)
        })
        .collect();
    held.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(&b.2)));
    // What was seen here need not be asked for again as what may be here: the same, a member of the
    // group that was seen, or the group of it. Nobody tells them apart by looking.
    let seen: Vec<PathogenId> = held.iter().filter(|held| held.0).map(|held| held.2).collect();
    let is_told = |pathogen: PathogenId| {
        seen.iter().any(|one| {
            *one == pathogen
                || knowledge.pathogens.members_of(*one).any(|member| member == pathogen)
                || knowledge.pathogens.members_of(pathogen).any(|member| member == *one)
        })
    };
    held.retain(|(seen, _, pathogen)| *seen || !is_told(*pathogen));
    held.truncate(MOST);
    held.into_iter()
        .map(|(seen_here, _, pathogen)| {
            let key = &knowledge.pathogens[pathogen].key;
            let symptom = knowledge.symptoms.on(crop).find(|row| row.cause == *key);
            LookFor { crop, pathogen, seen_here, symptom }
        })
        .collect()
}
