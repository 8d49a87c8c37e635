//! The same crop or family too soon, where no disease was seen.
//!
//! Rotation is about the pathogens' hosts, not about families as such: where a disease was
//! diagnosed on the relative that stood here, its own hosts and years have been judged and the
//! family rule stands back, unless the crop is one of those hosts: that its enemy has a name makes
//! no bed safer for it. Without a diagnosis the family rule is care at most, with one
//! exception: the very same crop, where sources give that crop a return time of its own and a
//! trial or rule calls it a bad predecessor of itself, waits.
//!
//! What stood only as a cover for a season and was left or dug in is no relative in this sense
//! ([`counts_as_relative`]): its own diseases are judged by its own rows as a host.
//!
//! The loss of yield grows with the years of the run, most of it at the first repeat, and fades
//! with the free years since. A treatment of the whole soil takes part of it off.

use super::Judge;
use super::evidence::{Evidence, FactNote, RecordNote};
use super::reason::{Claim, Effect, Reason, RuleId};
use super::verdict::Confidence;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Follows, Knowledge, ReturnRow, Role, Subject};
use crate::policy::Policy;
use crate::records::{Planting, Residue, Seen};
use crate::season::{Date, add_years, years_between};

/// Published free years for a crop: of the crop itself, else of its family, else of any.
#[derive(Clone, Debug)]
pub struct ReturnTime<'k> {
    /// Free years: least, median and most of what is published.
    pub gap: Estimate,
    /// The rows.
    pub rows: Vec<&'k ReturnRow>,
    /// Whether rows speak of the crop itself.
    pub of_crop: bool,
}

/// The return time of a crop.
#[must_use]
pub fn return_time(knowledge: &Knowledge, crop: CropId) -> Option<ReturnTime<'_>> {
    let family = &knowledge.crops[crop].family;
    let of_crop: Vec<&ReturnRow> = knowledge.returns.of_crop(crop).collect();
    let own = !of_crop.is_empty();
    let mut rows = of_crop;
    rows.extend(knowledge.returns.of_family(family));
    if rows.is_empty() {
        rows.extend(knowledge.returns.of_any());
    }
    rows.retain(|row| row.gap_min.is_some());
    rows.sort_by(|a, b| {
        let key = |row: &ReturnRow| {
            (!matches!(row.subject, Subject::Crop(_)), row.gap_min.unwrap_or_default())
        };
        let (x, y) = (key(a), key(b));
        x.0.cmp(&y.0).then(x.1.total_cmp(&y.1))
    });
    let mut gaps: Vec<f64> = rows.iter().filter_map(|row| row.gap_min).collect();
    gaps.sort_by(f64::total_cmp);
    let most = rows.iter().filter_map(|row| row.gap_max.or(row.gap_min)).max_by(f64::total_cmp)?;
    let gap = Estimate::new(*gaps.first()?, gaps[gaps.len() / 2], most);
    Some(ReturnTime { gap, rows, of_crop: own })
}

/// The family whose covers sources keep apart from its vegetables for the pests and diseases that
/// both share (University of Massachusetts Extension, Cover crops, brassicas; turnips sown for grazing
/// year after year went down with clubroot: Barrera 2018, Should you rotate your cover crops?).
const COVERS_COUNT: &str = "Brassicaceae";

/// Whether a planting counts as a relative that stood, as far as a family's return time goes.
///
/// All do but the covers of a season that were left or dug in: good published plans set rye before
/// corn and vetch before beans, and return times are printed for crops that are harvested. What such a
/// cover passes on within weeks, and the diseases of which it is itself a host, are judged for
/// themselves. Covers of the cabbage family count, and so do those that were carried off, stood until
/// their seed was ripe, or as long as a sod.
#[must_use]
pub fn counts_as_relative(
    knowledge: &Knowledge,
    policy: &Policy,
    planting: &Planting,
    by: Date,
) -> bool {
    let crop = &knowledge.crops[planting.crop];
    let for_the_soil = planting.residue.map_or(&*crop.edible_part != "seed", |residue| {
        matches!(residue, Residue::Left | Residue::DugIn)
    });
    let stood = (planting.stood.end_by(by) - planting.stood.start).num_days() as f64;
    // Straw dug in says nothing of the grain.
    let ripens = || {
        let days = knowledge.crop_figures(planting.crop, "days_to_maturity_min");
        days.iter().find_map(|figure| figure.range).is_some_and(|days| stood >= days.likely)
    };
    crop.role != Role::Cover
        || &*crop.family == COVERS_COUNT
        || !for_the_soil
        || &*crop.edible_part == "seed" && ripens()
        || stood >= policy.sod_days
}

pub(super) fn reasons(judge: &Judge<'_, '_>) -> Option<Reason> {
    let knowledge = judge.knowledge;
    let crop = &knowledge.crops[judge.proposal.crop];
    // Return times are printed for crops that are harvested. A cover is judged by the diseases it
    // would meet and keep. One that is also grown for its seed, such as wheat, yields less after itself;
    // that bars no cover.
    let is_cover = crop.role == Role::Cover;
    let harvested = !is_cover || &*crop.edible_part == "seed";
    if crop.family.is_empty() || crop.role == Role::Fungus || !harvested {
        return None;
    }
    let relatives = judge.state.plantings.iter().copied().filter(|planting| {
        knowledge.crops[planting.crop].family == crop.family
            && planting.stood.start < judge.proposal.on
            && counts_as_relative(knowledge, judge.policy, planting, judge.proposal.on)
    });
    let last = relatives.max_by_key(|planting| planting.stood.end_by(judge.proposal.on))?;
    let same_crop = last.crop == judge.proposal.crop;
    let named = match named(judge, last) {
        Named::Nothing => false,
        Named::OfTheCrop => true,
        Named::OfOthers => return None,
    };
    let cleared = last.stood.end_by(judge.proposal.on);
    let years = years_between(cleared, judge.proposal.on);
    let times = return_time(knowledge, judge.proposal.crop)?;
    if years >= times.gap.likely {
        return None;
    }
    let until = add_years(cleared, times.gap.likely);
    // A pest is judged by its own records, and tilth is mended by the next crop; what counts here is
    // that the ground itself is bad for the crop, or that a source asks for a wait of its own.
    let bad_after_itself = same_crop
        .then(|| {
            knowledge.sequences.on(last.crop, judge.proposal.crop).find(|row| {
                row.follows == Follows::Badly
                    && row.next == row.previous
                    && (!matches!(&*row.reason, "pests" | "structure") || row.wait_days.is_some())
            })
        })
        .flatten();
    let wait = bad_after_itself
        .and_then(|row| row.wait_days)
        .map_or(0.0, |wait| wait.low / crate::season::DAYS_PER_YEAR)
        .max(if times.of_crop { times.gap.low } else { 0.0 });
    let effect = if is_cover {
        Effect::Allows
    } else if bad_after_itself.is_some() && years < wait {
        Effect::Wait { until: Some(add_years(cleared, wait)) }
    } else {
        Effect::Care { until: Some(until) }
    };
    let disinfested =
        judge.state.treatments.iter().rfind(|treatment| {
            treatment.practice.disinfests() && treatment.lasted.start >= cleared
        });
    let mut loss = loss_of_run(judge, last, same_crop)
        .map(|loss| loss * not_yet_free(judge, years, times.gap.likely));
    if disinfested.is_some() {
        loss = loss * judge.policy.run_loss_after_treatment;
    }
    let yield_fraction = loss.map(|loss| 1.0 - loss);
    let mut evidence = vec![Evidence::planting(last)];
    if let Some(treatment) = disinfested {
        evidence.push(Evidence::Record(
            treatment.origin.clone(),
            RecordNote::Treatment {
                date: treatment.lasted.start,
                practice: treatment.practice.0.clone(),
                left: Ok(judge.policy.run_loss_after_treatment),
            },
        ));
    }
    for row in times.rows.iter().take(2) {
        let subject: Box<str> = match &row.subject {
            Subject::Family(family) => family.clone(),
            Subject::Crop(crop) => knowledge.crops[*crop].name.clone(),
            Subject::Any => "any crop".into(),
        };
        evidence.push(Evidence::Fact(
            FactNote::ReturnTime { subject, gap_min: row.gap_min, gap_max: row.gap_max },
            row.citation.clone(),
        ));
    }
    if let Some(row) = bad_after_itself {
        evidence.push(Evidence::Fact(super::sequence::note(row), row.citation.clone()));
    }
    Some(Reason {
        rule: RuleId::ReturnTime,
        claim: Claim::Return { previous: last.crop, years, same_crop, named },
        effect,
        yield_fraction,
        // That nothing here bars a cover is sure, however much its grain would yield.
        certainty: if is_cover { Confidence::High } else { Confidence::Moderate },
        evidence,
    })
}

/// Share of the crop lost straight after the run of the same crop, or family, that ends with a
/// planting. Plantings less than a year apart are one run.
fn loss_of_run(judge: &Judge<'_, '_>, last: &Planting, same_crop: bool) -> Estimate {
    let policy = judge.policy;
    let crops = &judge.knowledge.crops;
    let mut begun = last.stood.start;
    for planting in judge.state.plantings.iter().rev() {
        let of_the_run = if same_crop {
            planting.crop == last.crop
        } else {
            crops[planting.crop].family == crops[last.crop].family
        };
        let ended = planting.stood.end_by(judge.proposal.on);
        let of_the_run =
            of_the_run && counts_as_relative(judge.knowledge, policy, planting, judge.proposal.on);
        if of_the_run && planting.stood.start < begun && years_between(ended, begun) < 1.0 {
            begun = planting.stood.start;
        }
    }
    let run = years_between(begun, last.stood.end_by(judge.proposal.on));
    let first = policy.first_repeat_share;
    let grown = ((run - 1.0) / (policy.run_levels_off_years - 1.0)).clamp(0.0, 1.0);
    let share = first + (1.0 - first) * grown;
    // What trials print of the crop after itself outweighs the choice of ours.
    let printed = same_crop
        .then(|| {
            let rows = judge.knowledge.sequences.on(last.crop, judge.proposal.crop);
            rows.filter(|row| row.next == row.previous && row.follows == Follows::Badly)
                .filter_map(|row| row.yield_fraction)
                .reduce(Estimate::spanning)
        })
        .flatten();
    let full = if same_crop { policy.same_crop_again } else { policy.same_family_again };
    printed.unwrap_or(full).map(|fraction| (1.0 - fraction) * share)
}

/// Part of a run's loss that is left after some free years: all of it in the very next season, none
/// when the return time is over. The first free year does most, the square of what is still to be
/// served: in a long trial what stood two years before wheat no longer showed in its yield, while
/// two years of another crop before soybean did a little better than one.
fn not_yet_free(judge: &Judge<'_, '_>, years: f64, gap: f64) -> f64 {
    let winter = judge.policy.between_seasons_years;
    let served = (years - winter).max(0.0);
    (1.0 - served / (gap - winter).max(0.1)).clamp(0.0, 1.0).powi(2)
}

/// What was named on a planting.
enum Named {
    /// No disease.
    Nothing,
    /// Diseases that do not take the crop proposed, or do not stay with the bed.
    OfOthers,
    /// A disease of the bed that takes the crop proposed.
    OfTheCrop,
}

fn named(judge: &Judge<'_, '_>, planting: &Planting) -> Named {
    let knowledge = judge.knowledge;
    let mut named = Named::Nothing;
    for seen in &judge.state.observations {
        let Seen::Pathogen(pathogen) = seen.seen else { continue };
        let on_it = seen.crop.is_none_or(|crop| crop == planting.crop)
            && planting.stood.start <= seen.date
            && planting.stood.end.is_none_or(|end| (seen.date - end).num_days() <= 60);
        if !on_it {
            continue;
        }
        if knowledge.pathogens[pathogen].is_bound_to_bed()
            && knowledge.standing(pathogen, judge.proposal.crop).status.may_suffer()
        {
            return Named::OfTheCrop;
        }
        named = Named::OfOthers;
    }
    named
}
