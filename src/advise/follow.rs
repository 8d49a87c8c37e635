//! What can follow in a place from a day on: every crop judged and ranked.

use super::free::{Free, free};
use super::season_fit::SeasonFit;
use std::collections::BTreeSet;

use crate::assess::{Assessment, Claim, Proposal, Verdict, assess};
use crate::knowledge::{CropId, HostStatus, Knowledge, Role};
use crate::policy::Policy;
use crate::records::{Garden, Place};
use crate::season::Date;
use crate::state::BedState;

/// One crop's place in the ranking.
#[derive(Clone, Debug)]
pub struct FollowOn {
    /// The crop.
    pub crop: CropId,
    /// The judgment.
    pub assessment: Assessment,
    /// Whether the weeks after planting suit it.
    pub season: SeasonFit,
}

/// The ranking with the state it rests on.
#[derive(Debug)]
pub struct Follows<'g> {
    /// The state of the place on the day.
    pub state: BedState<'g>,
    /// First day looked at.
    pub from: Date,
    /// What stands there on the day asked and until when, where that was asked.
    pub free: Vec<Free<'g>>,
    /// All crops, best first.
    pub ranked: Vec<FollowOn>,
    /// Crops that were grown in this garden or are wished for.
    pub own: BTreeSet<CropId>,
}

/// Threads that share the crops: as many as small machines have cores.
const THREADS: usize = 4;

/// Judges crops side by side. One judgment knows nothing of another, so the threads change no answer;
/// the order is that of the crops.
fn in_threads<T: Send>(crops: &[CropId], judge: impl Fn(CropId) -> T + Sync) -> Vec<T> {
    let judge = &judge;
    std::thread::scope(|scope| {
        let parts: Vec<_> = crops
            .chunks(crops.len().div_ceil(THREADS).max(1))
            .map(|part| {
                scope.spawn(move || part.iter().map(|crop| judge(*crop)).collect::<Vec<T>>())
            })
            .collect();
        parts
            .into_iter()
            .flat_map(|part| part.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    })
}

/// Judges every crop that is grown for harvest, or as a cover, from a day on. What the season
/// bars comes last; then by verdict, then likely yield; ties by confidence and name, so that the same
/// garden gives the same list.
#[must_use]
pub fn follow<'g>(
    knowledge: &'g Knowledge,
    policy: &'g Policy,
    garden: &'g Garden,
    place: &Place,
    from: Date,
) -> Follows<'g> {
    let state = BedState::at(garden, knowledge, policy, place, from);
    let crops: Vec<CropId> = knowledge
        .crops
        .iter()
        .filter(|(_, crop)| matches!(crop.role, Role::Cash | Role::Perennial | Role::Cover))
        .map(|(id, _)| id)
        .collect();
    let mut ranked = in_threads(&crops, |crop| {
        let assessment = assess(knowledge, policy, &state, &Proposal::of(crop, from));
        let season = SeasonFit::of(&assessment);
        FollowOn { crop, assessment, season }
    });
    ranked.sort_by(|a, b| {
        // Crops held back only because nobody has tested them come after those with known reasons.
        let key = |follow: &FollowOn| {
            (follow.season.is_out(), follow.assessment.verdict, is_untested(&follow.assessment))
        };
        key(a)
            .cmp(&key(b))
            .then(b.assessment.expected_yield.likely.total_cmp(&a.assessment.expected_yield.likely))
            .then(b.assessment.confidence.cmp(&a.assessment.confidence))
            .then(knowledge.crops[a.crop].name.cmp(&knowledge.crops[b.crop].name))
    });
    let grown = garden.plantings.iter().filter(|one| !one.is_volunteer()).map(|one| one.crop);
    let own = grown.chain(garden.wishes.iter().map(|wish| wish.crop)).collect();
    Follows { state, from, free: Vec::new(), ranked, own }
}

/// The same for the day on which the bed is expected to be free of what stands there today: today
/// if nothing does.
#[must_use]
pub fn follow_when_free<'g>(
    knowledge: &'g Knowledge,
    policy: &'g Policy,
    garden: &'g Garden,
    place: &Place,
    today: Date,
) -> Follows<'g> {
    let free = free(knowledge, policy, garden, place, today);
    let from = free.iter().map(|one| one.from).fold(today, Date::max);
    Follows { free, ..follow(knowledge, policy, garden, place, from) }
}

/// Whether all that speaks against a crop is that its host status is not known.
#[must_use]
pub fn is_untested(assessment: &Assessment) -> bool {
    let mut against = assessment
        .reasons
        .iter()
        .filter(|reason| reason.effect.verdict() > Verdict::Plant)
        .peekable();
    against.peek().is_some()
        && against.all(|reason| {
            matches!(
                reason.claim,
                Claim::Disease { status: HostStatus::Unrecorded | HostStatus::Ungraded, .. }
            )
        })
}
