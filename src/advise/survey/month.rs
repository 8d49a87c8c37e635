//! What a month's round of the beds has to see to in one place: what to look at, pull, pick, clear,
//! sow. Days are those of the season engine; sick beds come before green ones.

use super::{Asked, days_of};
use crate::advise::cover::{Fit, Gap, Question, Standing, cover};
use crate::advise::follow::Follows;
use crate::assess::season::{Kind, season};
use crate::assess::{Assessment, Verdict};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, PathogenId, Role};
use crate::records::{Place, Planting};
use crate::season::{Date, add_days};
use crate::state::BedState;

/// A month ahead.
const MONTH: f64 = 31.0;

/// One thing to see to.
#[derive(Clone, Debug, PartialEq)]
pub enum Task<'g> {
    /// Look at something that tells causes of an unknown disease apart.
    Check {
        /// The sick crop.
        crop: Option<CropId>,
        /// The cause the check is made for, by its key.
        cause: Box<str>,
        /// What to look for.
        field_check: Box<str>,
    },
    /// Pull self-sown plants that keep a disease of the bed alive.
    Pull {
        /// What stands.
        planting: &'g Planting,
        /// What it keeps.
        keeps: Vec<PathogenId>,
    },
    /// The first harvest comes within the month.
    Pick {
        /// What stands.
        planting: &'g Planting,
        /// The likely day.
        from: Date,
    },
    /// The usual end of its harvest is past, and nothing was picked of late.
    Clear {
        /// What stands.
        planting: &'g Planting,
        /// The usual end.
        last: Date,
    },
    /// A wished crop can be started in free ground.
    Start {
        /// The crop.
        crop: CropId,
        /// plant or care.
        verdict: Verdict,
        /// First day.
        from: Date,
        /// Last good day.
        until: Option<Date>,
    },
    /// A cover for free ground.
    Cover {
        /// What is sown, with the seed for the place, g.
        parts: Vec<(CropId, Option<Estimate>)>,
        /// plant or care.
        verdict: Verdict,
        /// Day to kill it.
        kill_by: Date,
    },
}

/// The tasks of a place, most pressing first.
#[must_use]
pub(super) fn tasks<'g>(
    asked: &Asked<'_, 'g>,
    follows: &Follows<'g>,
    wished: &[Assessment],
) -> Vec<Task<'g>> {
    let state = &follows.state;
    let mut tasks = Vec::new();
    for episode in state.episodes() {
        let recent = episode
            .last()
            .is_some_and(|last| (asked.today - last).num_days() <= asked.policy.field_check_days);
        if let (true, Some(check)) = (recent, episode.checks.first()) {
            tasks.push(Task::Check {
                crop: episode.notes.last().and_then(|note| note.crop),
                cause: check.cause.clone(),
                field_check: check.field_check.clone(),
            });
        }
    }
    tasks.extend(state.standing().filter_map(|planting| pull(asked, state, planting)));
    tasks.extend(state.standing().filter_map(|planting| pick_or_clear(asked, state, planting)));
    if state.standing().all(Planting::is_volunteer) {
        tasks.extend(start_or_cover(asked, follows, wished));
    }
    tasks
}

fn pull<'g>(
    asked: &Asked<'_, 'g>,
    state: &BedState<'g>,
    planting: &'g Planting,
) -> Option<Task<'g>> {
    if !planting.is_volunteer() {
        return None;
    }
    let keeps: Vec<PathogenId> = state
        .inocula()
        .map(|inoculum| inoculum.pathogen)
        .filter(|pathogen| asked.knowledge.pathogens[*pathogen].is_bound_to_bed())
        .filter(|pathogen| asked.knowledge.standing(*pathogen, planting.crop).status.keeps_it())
        .collect();
    (!keeps.is_empty()).then_some(Task::Pull { planting, keeps })
}

fn pick_or_clear<'g>(
    asked: &Asked<'_, 'g>,
    state: &BedState<'g>,
    planting: &'g Planting,
) -> Option<Task<'g>> {
    let crop = &asked.knowledge.crops[planting.crop];
    if planting.is_volunteer() || !matches!(crop.role, Role::Cash) {
        return None;
    }
    let days = days_of(asked, planting.planted())?;
    let kind = Kind::of(&crop.key, &planting.variety);
    let course = season(
        asked.knowledge,
        asked.policy,
        &days,
        planting.crop,
        kind,
        planting.method,
        planting.planted(),
    )
    .course;
    let picked = last_picked(asked, &state.place, planting);
    let first = course.first_harvest.likely?;
    if picked.is_none() && (asked.today..=add_days(asked.today, MONTH)).contains(&first) {
        return Some(Task::Pick { planting, from: first });
    }
    let still_giving =
        picked.is_some_and(|day| (asked.today - day).num_days() <= asked.policy.still_giving_days);
    let last = course.last_harvest.filter(|last| *last < asked.today)?;
    (!still_giving).then_some(Task::Clear { planting, last })
}

fn last_picked(asked: &Asked<'_, '_>, place: &Place, planting: &Planting) -> Option<Date> {
    asked
        .garden
        .harvests
        .at(place)
        .filter(|harvest| harvest.crop == planting.crop)
        .map(|harvest| harvest.date)
        .filter(|day| *day >= planting.planted() && *day <= asked.today)
        .max()
}

/// A wished crop whose start falls within the month, else a cover until the first wished crop that
/// the place may take.
fn start_or_cover<'g>(
    asked: &Asked<'_, 'g>,
    follows: &Follows<'g>,
    wished: &[Assessment],
) -> Option<Task<'g>> {
    let soon = add_days(asked.today, MONTH);
    let mut open: Vec<(&super::WishStart, &Assessment, Date)> = asked
        .wishes
        .iter()
        .zip(wished)
        .filter(|(_, judged)| judged.verdict < Verdict::Wait)
        .filter_map(|(wish, judged)| wish.start.map(|start| (wish, judged, start)))
        .collect();
    open.sort_by_key(|(_, judged, start)| (judged.verdict, *start));
    if let Some((wish, judged, start)) = open.iter().find(|(.., start)| *start <= soon) {
        return Some(Task::Start {
            crop: wish.crop,
            verdict: judged.verdict,
            from: *start,
            until: wish.until,
        });
    }
    let farthest = add_days(asked.today, asked.policy.longest_gap_days);
    let to = open.iter().map(|(.., start)| *start).min().map_or(farthest, |day| day.min(farthest));
    let question = Question {
        gap: Gap { from: asked.today, to },
        next: open.iter().find(|(.., start)| *start == to).map(|(wish, ..)| wish.crop),
        next_method: None,
        goal: None,
    };
    let covers = cover(asked.knowledge, asked.policy, asked.garden, &follows.state.place, question);
    let best = covers
        .ranked
        .into_iter()
        .find(|option| option.standing < Standing::NotHere && option.fit == Fit::Fits)?;
    Some(Task::Cover {
        verdict: best.assessment.verdict,
        kill_by: best.ended(),
        parts: best.parts.into_iter().map(|part| (part.crop, part.seed)).collect(),
    })
}
