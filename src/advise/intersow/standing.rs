//! What stands: the crop, its ground, how it was last seen, and whether it lives through the winter.

use super::super::cover::Winter;
use super::Asked;
use super::company;
use super::geometry::Ground;
use crate::advise::free::free;
use crate::assess::season::{Kind, days_from, season};
use crate::assess::{Evidence, FactNote, FigureNote};
use crate::climate::Climate;
use crate::climate::frost::Frost;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PathogenId, UndersowingKind};
use crate::origin::Origin;
use crate::policy::Policy;
use crate::records::{Garden, Place, Planting, Seen};
use crate::season::{Date, add_days};
use crate::state::BedState;

/// The crop that stands.
#[derive(Clone, Debug)]
pub struct Crop {
    /// What.
    pub crop: CropId,
    /// Day it was planted.
    pub planted: Date,
    /// The record, if it is one.
    pub record: Option<Origin>,
    /// Where it stands; `None` where plants or spacing are not known.
    pub ground: Option<Ground>,
}

/// What was seen of the crop that stands.
#[derive(Clone, Debug)]
pub struct Health {
    /// Diseases named on it since it was planted.
    pub sick: Vec<PathogenId>,
    /// Day of the last note.
    pub last: Date,
    /// The notes, last first.
    pub evidence: Vec<Evidence>,
}

/// Whether the crop lives through the winter.
#[derive(Clone, Debug)]
pub struct Survival {
    /// Day by which a crop of one season is done, whatever the winter: an annual that no source
    /// speaks of keeping. `None` for what stands on, and where nothing tells.
    pub done: Option<Date>,
    /// What frost does.
    pub winter: Winter,
    /// Temperature that kills it.
    pub kill_c: Option<Estimate>,
    /// Share of years with such a night, over the margin.
    pub chance: Option<Estimate>,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
}

/// What stands: as asked, else the latest planting on record with room between its plants.
pub(super) fn standing(
    knowledge: &Knowledge,
    garden: &Garden,
    state: &BedState<'_>,
    asked: Asked,
) -> Option<Crop> {
    let on_record: Option<&Planting> = state
        .standing()
        .filter(|planting| !planting.is_volunteer())
        .filter(|planting| asked.crop.is_none_or(|crop| crop == planting.crop))
        .filter(|planting| asked.crop.is_some() || !knowledge.crops[planting.crop].is_legume())
        .max_by_key(|planting| planting.stood.start);
    let crop = asked.crop.or(on_record.map(|planting| planting.crop))?;
    let planted = asked.planted.or(on_record.map(Planting::planted))?;
    Some(Crop {
        crop,
        planted,
        record: on_record.map(|planting| planting.origin.clone()),
        ground: ground(garden, state, on_record, asked),
    })
}

/// What was noted of the crop since it was planted; `None` if nothing was.
pub(super) fn health(state: &BedState<'_>, standing: &Crop) -> Option<Health> {
    /// Notes shown.
    const MOST: usize = 3;
    let mut notes: Vec<_> = state
        .observations
        .iter()
        .filter(|seen| seen.crop == Some(standing.crop) && seen.date >= standing.planted)
        .collect();
    notes.reverse();
    let last = notes.first()?.date;
    let mut sick: Vec<PathogenId> = notes
        .iter()
        .filter_map(|seen| match seen.seen {
            Seen::Pathogen(pathogen) => Some(pathogen),
            Seen::Disorder(_) | Seen::Unknown | Seen::Healthy => None,
        })
        .collect();
    sick.sort_unstable();
    sick.dedup();
    let evidence = notes.iter().take(MOST).map(|seen| Evidence::sighting(seen)).collect();
    Some(Health { sick, last, evidence })
}

/// The bed or the part of it that the crop holds, with its rows.
pub(super) fn ground(
    garden: &Garden,
    state: &BedState<'_>,
    planting: Option<&Planting>,
    asked: Asked,
) -> Option<Ground> {
    const CM_IN_M: f64 = 100.0;
    let bed = state.bed?;
    let row_spacing =
        asked.row_spacing_cm.or(planting.and_then(|one| one.row_spacing).map(|cm| cm.0))?;
    let plant_spacing =
        asked.plant_spacing_cm.or(planting.and_then(|one| one.plant_spacing).map(|cm| cm.0))?;
    let counted = planting.and_then(|one| one.plants).and_then(|count| usize::try_from(count).ok());
    let whole = bed.area();
    let held = planting
        .and_then(|one| one.area)
        .or_else(|| crate::advise::ground_of(garden, state))
        .map_or(1.0, |area| (area.0 / whole.0).clamp(0.05, 1.0));
    // A section is a piece of the bed's length.
    Some(Ground {
        length: bed.length.0 * CM_IN_M * held,
        width: bed.width.0 * CM_IN_M,
        row_spacing,
        plant_spacing,
        plants: asked.plants.or(counted),
    })
}

/// When a crop of one season is done: as what stands and is picked says, else by its season.
pub(super) fn done(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    standing: &Crop,
    on: Date,
) -> Option<Date> {
    let crop = &knowledge.crops[standing.crop];
    let is_kept = knowledge
        .undersowings()
        .iter()
        .filter(|row| row.kind == UndersowingKind::Overwintering)
        .any(|row| company::speaks_of(row, standing.crop));
    if &*crop.life_cycle != "annual" || is_kept {
        return None;
    }
    let on_record = free(knowledge, policy, garden, place, on)
        .into_iter()
        .find(|free| Some(&free.planting.origin) == standing.record.as_ref());
    on_record.map(|free| free.from).or_else(|| {
        let climate = Climate::of(garden)?.normals_only();
        let days = days_from(&climate, policy, standing.planted);
        let (kind, start) = (Kind::of(&crop.key, ""), standing.planted);
        season(knowledge, policy, &days, standing.crop, kind, None, start).course.last_harvest
    })
}

/// Whether the crop lives through the coming winter.
pub(super) fn survival(
    knowledge: &Knowledge,
    policy: &Policy,
    climate: Option<&Climate<'_>>,
    crop: CropId,
    done: Option<Date>,
    on: Date,
) -> Survival {
    /// Until the winter after the day is over in either hemisphere.
    const WINTER_DAYS: f64 = 240.0;
    let figure =
        knowledge.crop_figures(crop, "kill_temp_c").iter().find(|figure| figure.range.is_some());
    let kill_c = figure.and_then(|figure| figure.range);
    let mut evidence: Vec<Evidence> = figure
        .map(|figure| {
            Evidence::Fact(
                FactNote::Cover {
                    crop,
                    field: figure.field.clone(),
                    range: figure.range,
                    text: Box::default(),
                },
                figure.citation.clone(),
            )
        })
        .into_iter()
        .collect();
    evidence.extend(
        knowledge
            .undersowings()
            .iter()
            .filter(|row| row.kind == UndersowingKind::Overwintering)
            .filter(|row| company::speaks_of(row, crop))
            .map(|row| company::fact(knowledge, row)),
    );
    let (Some(climate), Some(kill)) = (climate, kill_c) else {
        return Survival { done, winter: Winter::Unknown, kill_c, chance: None, evidence };
    };
    let frost = Frost::at(climate, policy);
    let to = add_days(on, WINTER_DAYS);
    let at = |kill: f64| frost.any_night_at_or_below(kill, on, to);
    let margin = policy.winter_kill_margin_c;
    let chance = Estimate::new(at(kill.low - margin), at(kill.likely), at(kill.high + margin));
    evidence.insert(
        0,
        Evidence::Figure(FigureNote::KillingNight { from: on, to, kill_c: kill, chance }),
    );
    let relied_on = policy.winter_kill_relied_on;
    let does = if chance.low >= relied_on {
        let day = (0..240)
            .map(|step| add_days(on, f64::from(step)))
            .find(|day| frost.any_night_at_or_below(kill.likely, on, *day) >= 0.5);
        Winter::Dies(day.unwrap_or(to))
    } else if chance.likely <= 1.0 - relied_on {
        Winter::Lives
    } else {
        Winter::MayDie
    };
    Survival { done, winter: does, kill_c: Some(kill), chance: Some(chance), evidence }
}
