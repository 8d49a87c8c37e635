//! What stood before, apart from disease: good and bad predecessors, residues not yet ready.
//!
//! A statement holds for what it speaks of: covers for what was grown for the soil, sod for what
//! stood into a second season, fresh residue while it is fresh. Printed yields outweigh our
//! choices; what stood side by side shares the ground.

use super::Judge;
use super::evidence::{Evidence, FactNote};
use super::reason::{Claim, Effect, Left, Reason, RuleId};
use super::return_time::{Named, named};
use super::verdict::{Confidence, sure_of};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Follows, Role, SequenceRow};
use crate::records::{Method, Planting, Residue};
use crate::season::{DAYS_PER_YEAR, Date, add_days, add_years, years_between};

/// The reasons that what stood before gives. Where the books of nitrogen count, statements that
/// rest on nutrients stand back behind those that rest on anything else.
pub(super) fn reasons(judge: &Judge<'_, '_>, books_count: bool) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let crop = judge.proposal.crop;
    // What is planted in pieces is not sown, whatever is asked.
    let method = match judge.knowledge.piece(crop) {
        Some(_) => Some(Method::Transplanted),
        None => judge.proposal.method,
    };
    let last = judge.state.predecessors();
    let main = main_crops_before(judge, &last);
    let last_and_main = [(last.len(), last), (main.len(), main)];
    let each = last_and_main
        .into_iter()
        .flat_map(|(beside, group)| group.into_iter().map(move |planting| (planting, beside)));
    for (planting, beside) in each {
        let Some(cleared) = planting.stood.end else {
            continue;
        };
        if years_between(cleared, judge.proposal.on) > judge.policy.predecessor_years {
            continue;
        }
        let rows: Vec<&SequenceRow> = judge
            .knowledge
            .sequences
            .on(planting.crop, judge.proposal.crop)
            .filter(|row| method_fits(row, method))
            .filter(|row| !speaks_of_covers(row) || stood_as_cover(judge, planting))
            .filter(|row| &*row.previous != "sod" || is_sod(judge, planting, cleared))
            .filter(|row| &*row.previous_condition != "fresh_residue" || is_fresh(judge, cleared))
            .collect();
        reasons.extend(residue_reason(judge, planting, &rows));
        reasons.extend(predecessor_reason(judge, planting, &rows, beside, books_count));
    }
    if let Some((crop, lasting)) = lasting_reason(judge, method) {
        // A sod's wait is told already as long as the sod is what stood before.
        let is_told = reasons.iter().any(|reason| {
            matches!(reason.claim, Claim::ResidueNotReady { previous, .. } if previous == crop)
                && reason.effect == lasting.effect
        });
        if !is_told {
            reasons.retain(|reason| {
                !matches!(reason.claim, Claim::Predecessor { previous, helps: false, .. } if previous == crop)
            });
            reasons.push(lasting);
        }
    }
    reasons
}

/// What a crop of earlier seasons left, where a source prints for how many years its pests bear on
/// this one: potatoes before strawberry, sod before carrots, corn before asparagus. Of several what
/// lasts longest speaks for all.
fn lasting_reason(judge: &Judge<'_, '_>, method: Option<Method>) -> Option<(CropId, Reason)> {
    let (policy, on) = (judge.policy, judge.proposal.on);
    let mut longest: Option<(Date, &Planting, &SequenceRow)> = None;
    for planting in judge.state.plantings.iter().copied() {
        let Some(cleared) = planting.stood.end.filter(|end| *end <= on) else {
            continue;
        };
        // What a crop may have left stands back where what it had was named: that is judged itself.
        if planting.crop == judge.proposal.crop || !matches!(named(judge, planting), Named::Nothing)
        {
            continue;
        }
        let rows = judge.knowledge.sequences.on(planting.crop, judge.proposal.crop).filter(|row| {
            row.follows == Follows::Badly
                && &*row.reason == "pests"
                && method_fits(row, method)
                && (&*row.previous != "sod" || is_sod(judge, planting, cleared))
        });
        for row in rows {
            let until = lasts_years(row).filter(|years| *years > policy.predecessor_years);
            let Some(until) = until.map(|years| add_years(cleared, years)) else {
                continue;
            };
            if until > on && longest.is_none_or(|(last, ..)| until > last) {
                longest = Some((until, planting, row));
            }
        }
    }
    let (until, planting, row) = longest?;
    let cleared = planting.stood.end?;
    // Printed losses are those of the season after; later seasons may lose less or nothing.
    let fresh = row.yield_fraction.unwrap_or(policy.bad_predecessor);
    let yield_fraction = if years_between(cleared, on) > policy.predecessor_years {
        Estimate::new(fresh.low.min(1.0), 1.0, 1.0)
    } else {
        fresh
    };
    let reason = Reason {
        rule: RuleId::Predecessor,
        claim: Claim::Predecessor {
            previous: planting.crop,
            helps: false,
            reason: row.reason.clone(),
        },
        effect: Effect::Care { until: Some(until) },
        yield_fraction,
        certainty: sure_of(judge, &row.citation),
        evidence: vec![
            Evidence::planting(planting),
            Evidence::Fact(note(row), row.citation.clone()),
        ],
    };
    Some((planting.crop, reason))
}

/// The least years for which a statement holds, if it prints any: its wait, else the years it lasts.
fn lasts_years(row: &SequenceRow) -> Option<f64> {
    row.wait_days
        .map_or_else(|| row.years.trim().parse().ok(), |wait| Some(wait.low / DAYS_PER_YEAR))
}

/// The crops of the season before, where only covers stood since: a winter's cover does not undo
/// what the main crop left.
fn main_crops_before<'g>(judge: &Judge<'_, 'g>, last: &[&'g Planting]) -> Vec<&'g Planting> {
    let is_cover = |planting: &Planting| {
        judge.knowledge.crops[planting.crop].role == Role::Cover && stood_as_cover(judge, planting)
    };
    if !last.iter().all(|planting| is_cover(planting)) {
        return Vec::new();
    }
    let sown = last.iter().map(|planting| planting.stood.start).min();
    let mut main = sown.map_or_else(Vec::new, |sown| judge.state.predecessors_by(sown));
    main.retain(|planting| !is_cover(planting));
    main
}

fn method_fits(row: &SequenceRow, method: Option<Method>) -> bool {
    let clashes = matches!(
        (&*row.next_method, method),
        ("sown", Some(Method::Transplanted)) | ("transplanted", Some(Method::Sown))
    );
    !clashes
}

/// A row in the words of the reasons.
pub(super) fn note(row: &SequenceRow) -> FactNote {
    FactNote::Sequence {
        previous: row.previous.clone(),
        next: row.next.clone(),
        effect: match row.follows {
            Follows::Well => "good",
            Follows::Badly => "bad",
            Follows::Neutral => "neutral",
        },
        wait_days: row.wait_days,
        note: row.note.clone(),
    }
}

/// Whether something of the crop is left to rot: covers unless carried off, others if left.
fn leaves_residue(judge: &Judge<'_, '_>, planting: &Planting) -> bool {
    match planting.residue {
        Some(Residue::Removed | Residue::Composted) => false,
        Some(Residue::Left | Residue::DugIn) => true,
        None => judge.knowledge.crops[planting.crop].role == Role::Cover,
    }
}

/// Whether the residue of what was cleared on a day is still fresh.
fn is_fresh(judge: &Judge<'_, '_>, cleared: Date) -> bool {
    let days = (judge.proposal.on - cleared).num_days() as f64;
    days < judge.policy.fresh_residue_days
}

/// Whether grass or clover stood long enough to be a sod: a winter's cover is none.
fn is_sod(judge: &Judge<'_, '_>, planting: &Planting, cleared: Date) -> bool {
    (cleared - planting.stood.start).num_days() as f64 >= judge.policy.sod_days
}

/// Whether a row speaks of crops grown for the soil.
fn speaks_of_covers(row: &SequenceRow) -> bool {
    &*row.previous == "cover_crop"
        || &*row.previous == "green_manure"
        || row.previous.ends_with("_cover")
}

/// Whether a planting was grown for the soil. A grain that also serves as a cover did so if it was
/// left or dug in.
fn stood_as_cover(judge: &Judge<'_, '_>, planting: &Planting) -> bool {
    match planting.residue {
        Some(Residue::Left | Residue::DugIn) => true,
        Some(Residue::Removed | Residue::Composted) => false,
        None => &*judge.knowledge.crops[planting.crop].edible_part != "seed",
    }
}

fn residue_reason(
    judge: &Judge<'_, '_>,
    planting: &Planting,
    rows: &[&SequenceRow],
) -> Option<Reason> {
    let cleared = planting.stood.end?;
    let leaves_residue = leaves_residue(judge, planting);
    let days = (judge.proposal.on - cleared).num_days();
    let mut waiting: Vec<&&SequenceRow> = rows
        .iter()
        .filter(|row| row.wait_days.is_some_and(|wait| (days as f64) < wait.low))
        // Wireworms are in the ground, wherever the residue went.
        .filter(|row| leaves_residue || left(row) == Left::SodPests)
        .collect();
    // What decides is told: the loss that is printed, then the longest wait.
    waiting.sort_by(|a, b| {
        let least = |row: &SequenceRow| row.wait_days.map_or(0.0, |wait| wait.low);
        let printed = a.yield_fraction.is_none().cmp(&b.yield_fraction.is_none());
        printed.then(least(b).total_cmp(&least(a)))
    });
    // The longest of the shortest waits: every source's least is served only then.
    let longest = waiting
        .iter()
        .filter_map(|row| row.wait_days.map(|wait| wait.low))
        .max_by(f64::total_cmp)?;
    let until = Some(add_days(cleared, longest));
    let printed = waiting.iter().find_map(|row| row.yield_fraction);
    let yield_fraction = printed.unwrap_or(judge.policy.residue_not_ready);
    let effect = if printed
        .is_some_and(|fraction| 1.0 - fraction.likely >= judge.policy.residue_wait_loss)
    {
        Effect::Wait { until }
    } else {
        Effect::Care { until }
    };
    let mut evidence = vec![Evidence::planting(planting)];
    let certainty =
        waiting.iter().map(|row| sure_of(judge, &row.citation)).max().unwrap_or(Confidence::Low);
    for row in waiting.iter().take(2) {
        evidence.push(Evidence::Fact(note(row), row.citation.clone()));
    }
    Some(Reason {
        rule: RuleId::ResidueNotReady,
        claim: Claim::ResidueNotReady {
            previous: planting.crop,
            days,
            left: left(waiting.first()?),
        },
        effect,
        yield_fraction,
        certainty,
        evidence,
    })
}

/// What a wait is for: the pests of a sod, residue that rots within the year, or what lasts longer in
/// the soil.
fn left(row: &SequenceRow) -> Left {
    if &*row.previous == "sod" && &*row.reason == "pests" {
        Left::SodPests
    } else if row.wait_days.is_some_and(|wait| wait.low >= DAYS_PER_YEAR.floor()) {
        Left::Soil
    } else {
        Left::Residue
    }
}

/// Good and bad predecessors. Statements on any crop whatever, and those that are only a wait,
/// do not change a verdict.
fn predecessor_reason(
    judge: &Judge<'_, '_>,
    planting: &Planting,
    rows: &[&SequenceRow],
    beside: usize,
    books_count: bool,
) -> Option<Reason> {
    let cleared = planting.stood.end?;
    let speaks = |row: &&&SequenceRow, follows: Follows| {
        row.follows == follows && row.wait_days.is_none() && &*row.next != "any"
    };
    let booked = |row: &SequenceRow| books_count && &*row.reason == "nutrients";
    let of = |follows: Follows| -> Vec<&&SequenceRow> {
        let mut rows: Vec<&&SequenceRow> = rows.iter().filter(|row| speaks(row, follows)).collect();
        rows.sort_by_key(|row| (booked(row), row.yield_fraction.is_none()));
        rows
    };
    let (bad, good) = (of(Follows::Badly), of(Follows::Well));
    let (chosen, helps) = match (bad.first(), good.first()) {
        (Some(bad), _) => (*bad, false),
        (None, Some(good)) => (*good, true),
        (None, None) => return None,
    };
    let policy = judge.policy;
    let unprinted = if helps { policy.good_predecessor } else { policy.bad_predecessor };
    // Printed figures outweigh the choice of ours; where several are printed the range holds all.
    let printed = if helps { &good } else { &bad };
    let yield_fraction = printed
        .iter()
        .filter(|row| booked(row) == booked(chosen))
        .filter_map(|row| row.yield_fraction)
        .reduce(Estimate::spanning)
        .unwrap_or(unprinted);
    // Where nitrogen is plenty a legume before a hungry crop brings nothing, and a crop that keeps
    // pests down brings nothing where there are none; what this bed holds is not weighed here.
    let of_what_lacks = matches!(&*chosen.reason, "nutrients" | "pests");
    let yield_fraction = if helps && of_what_lacks {
        Estimate { low: yield_fraction.low.min(1.0), ..yield_fraction }
    } else {
        yield_fraction
    };
    // Where sources disagree both are shown, and the range holds both.
    let disagree = !bad.is_empty() && !good.is_empty();
    let yield_fraction =
        if disagree { yield_fraction.spanning(policy.good_predecessor) } else { yield_fraction };
    let yield_fraction = if planting.crop == judge.proposal.crop {
        // What a crop loses after itself is told by the return time, once.
        Estimate::ONE
    } else {
        // What stood side by side had each a part of the ground.
        yield_fraction.map(|fraction| fraction.powf(1.0 / beside.max(1) as f64))
    };
    let mut evidence =
        vec![Evidence::planting(planting), Evidence::Fact(note(chosen), chosen.citation.clone())];
    if disagree {
        evidence.push(Evidence::Fact(note(good[0]), good[0].citation.clone()));
    }
    let certainty = sure_of(judge, &chosen.citation);
    let certainty = if disagree { certainty.min(Confidence::Moderate) } else { certainty };
    Some(Reason {
        rule: RuleId::Predecessor,
        claim: Claim::Predecessor { previous: planting.crop, helps, reason: chosen.reason.clone() },
        effect: if helps {
            Effect::Helps
        } else {
            Effect::Care { until: Some(add_years(cleared, policy.predecessor_years)) }
        },
        yield_fraction,
        certainty,
        evidence,
    })
}
