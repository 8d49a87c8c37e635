use std::collections::BTreeMap;

use crate::assess::{Confidence, Evidence, FactNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Whole};
use crate::knowledge::{CropId, Knowledge, Role};
use crate::origin::Origin;
use crate::records::{Garden, Place};
use crate::season::{Date, add_years};

rule! {
    /// # Statement
    /// One crop held more than half of a garden's planted ground over a year.
    /// # Mechanism
    /// A rotation has room to turn only where no crop fills most of the ground.
    /// # Reads
    /// plantings, beds; standards (IOBC-2)
    /// # Stays silent when
    /// the garden has fewer than three beds, less than a year is on record, or the crop is a cover.
    /// # Limits
    /// Ground and time are both counted; a planting without an area counts for its whole bed. Of
    /// several such years the latest is told.
    /// # Sources
    /// The guideline that the clause names.
    CropShare {
        id: "crop_share",
        severity: Remark,
        reads: ["plantings", "beds", "standards"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for CropShare {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, _context: &Context<'_>) -> Vec<Finding> {
        Vec::new()
    }

    fn judge_garden(&self, whole: &Whole<'_>) -> Vec<Finding> {
        let clause = whole.knowledge.clauses().iter().find(|clause| &*clause.id == "IOBC-2");
        let Some((clause, most)) = clause.and_then(|clause| Some((clause, clause.figure?))) else {
            return Vec::new();
        };
        let Shares { beds, first, grounds, .. } = &whole.sums.shares;
        if *beds < whole.policy.crop_share_beds
            || first.is_none_or(|first| first > year_to(whole.today).0)
        {
            return Vec::new();
        }
        let all: i128 = grounds.values().map(|ground| ground.held).sum();
        let largest = grounds
            .iter()
            .filter(|(_, ground)| ground.held > 0)
            .max_by_key(|(_, ground)| ground.held);
        let Some((crop, ground)) = largest else { return Vec::new() };
        let (crop, percent) = (*crop, 100.0 * ground.held as f64 / all as f64);
        if percent <= most || whole.knowledge.crops[crop].role == Role::Cover {
            return Vec::new();
        }
        let records = ground.records.iter().map(|(.., record)| record.clone());
        let note =
            FactNote::Clause { clause: clause.clause.clone(), demands: clause.demands.clone() };
        let fact = Evidence::Fact(note, clause.citation.clone());
        let claim = FindingClaim::CropShare { crop, percent };
        vec![
            Finding::of_garden(&Self::CARD, whole.today, claim)
                .sure(Confidence::Moderate)
                .resting_on(records.chain([fact])),
        ]
    }
}

/// The year up to a day.
fn year_to(today: Date) -> (Date, Date) {
    (add_years(today, -1.0), today)
}

/// What the garden's crops held of its ground over the last year, summed up bed by bed.
#[derive(Debug, Default)]
pub(in crate::audit) struct Shares {
    beds: usize,
    first: Option<Date>,
    grounds: BTreeMap<CropId, Ground>,
    /// How many records of each crop are kept.
    most: usize,
}

/// What one crop held.
#[derive(Debug, Default)]
struct Ground {
    /// Square millimetres times days: whole, so that the order of beds cannot show.
    held: i128,
    /// The earliest plantings, in order.
    records: Vec<(Date, Place, Origin, Evidence)>,
}

impl Shares {
    pub(in crate::audit) fn keeping(most: usize) -> Self {
        Self { most, ..Self::default() }
    }

    /// Takes in the records of some beds.
    pub(in crate::audit) fn take(&mut self, knowledge: &Knowledge, garden: &Garden, today: Date) {
        let areas: BTreeMap<&str, f64> =
            garden.beds.iter().map(|bed| (&*bed.name, bed.area().0)).collect();
        self.beds += areas.len();
        for one in &garden.plantings {
            self.first = earliest(self.first, Some(one.stood.start));
            let days = days_within(one.stood.start, one.stood.end_by(today), year_to(today));
            if days == 0 || knowledge.crops[one.crop].role == Role::Fungus {
                continue;
            }
            let ground = self.grounds.entry(one.crop).or_default();
            if !one.is_volunteer() {
                let bed = areas.get(&*one.place.bed).copied().unwrap_or_default();
                let area = one.area.map_or(bed, |area| area.0);
                ground.held += i128::from(days) * square_millimetres(area);
            }
            let key = (one.stood.start, &one.place, &one.origin);
            let at = ground
                .records
                .partition_point(|(day, place, origin, _)| (*day, place, origin) <= key);
            if at < self.most {
                let (day, place, origin) = key;
                let record = (day, place.clone(), origin.clone(), Evidence::planting(one));
                ground.records.insert(at, record);
                ground.records.truncate(self.most);
            }
        }
    }

    /// Takes in what was summed up elsewhere.
    pub(in crate::audit) fn join(&mut self, other: Self) {
        self.beds += other.beds;
        self.first = earliest(self.first, other.first);
        for (crop, more) in other.grounds {
            let ground = self.grounds.entry(crop).or_default();
            ground.held += more.held;
            ground.records.extend(more.records);
            ground.records.sort_by(|a, b| (a.0, &a.1, &a.2).cmp(&(b.0, &b.1, &b.2)));
            ground.records.truncate(self.most);
        }
    }
}

fn earliest(one: Option<Date>, other: Option<Date>) -> Option<Date> {
    one.into_iter().chain(other).min()
}

#[expect(clippy::cast_possible_truncation, reason = "beds are at most a square kilometre")]
fn square_millimetres(square_metres: f64) -> i128 {
    (square_metres * 1.0e6).round() as i128
}

/// Days of a span within a year.
fn days_within(start: Date, end: Date, year: (Date, Date)) -> i64 {
    (end.min(year.1) - start.max(year.0)).num_days().max(0)
}
