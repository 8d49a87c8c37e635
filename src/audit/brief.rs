//! An audit that tells the worst findings and counts the others, of a garden of any size: beds are
//! read as they are judged, and what is kept does not grow with them.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::by_bed::{Beds, each_bed};
use super::merge::{self, Cause, put_behind};
use super::outlook::Outlook;
use super::sums::Sums;
use super::{Audit, Counts, Finding, Judge, Part, Untold, Whole, catalogue, known, told_first};
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::Garden;
use crate::season::Date;

/// How many cases behind a finding are told; the others are counted.
pub const CASES_TOLD: usize = 6;

/// The audit of a garden whose beds come one after the other, with the `most` findings that stand
/// first. `shared` has what all beds share: site, climate, weather and exceptions. Findings are the
/// same as those of [`super::audit`]; of a remark on many beds only the latest cases are told, and
/// of the records of a finding on the whole garden only the first.
///
/// # Errors
/// If the records of a bed cannot be read.
pub fn audit_in_brief<B: Beds>(
    knowledge: &Knowledge,
    policy: &Policy,
    shared: &Garden,
    beds: &B,
    today: Date,
    most: usize,
) -> Result<Audit, B::Error> {
    let nothing = Sums::keeping(1);
    let whole = Whole { knowledge, policy, garden: shared, sums: &nothing, today };
    let outlook = Outlook::new(knowledge, policy, shared, today);
    let begin = || (Judge::new(whole, &outlook), Sums::keeping(1), Brief::of(shared, today, most));
    let visit = |(judge, sums, brief): &mut (Judge<'_>, Sums, Brief<'_>), bed, records: &Garden| {
        sums.take(knowledge, policy, records, today);
        judge.judge(records, &mut brief.part);
        brief.settle(Some(bed));
    };
    let made = each_bed(beds, shared, begin, visit, |(_, sums, brief)| (sums, brief))?;
    let mut sums = Sums::keeping(1);
    let mut all = Brief::of(shared, today, most);
    for (more, brief) in made {
        sums.join(more);
        all.join(brief);
    }
    let rules = catalogue();
    let whole = Whole { sums: &sums, ..whole };
    all.part.take(rules.iter().flat_map(|rule| rule.judge_garden(&whole)));
    all.settle(None);
    for finding in all.part.exceptions.about(&known(&rules)) {
        all.part.merged.add(finding);
    }
    all.settle(None);
    Ok(all.finish(beds, rules.len()))
}

/// What an audit in brief keeps.
struct Brief<'g> {
    most: usize,
    /// What was found in the bed under way.
    part: Part<'g>,
    /// The findings that stand first so far, with what parts those that are told alike.
    first: Vec<Told>,
    /// Remarks of the garden, which gather cases from bed to bed.
    gathered: BTreeMap<Cause, Gathered>,
    counts: Counts,
}

/// When a finding was met: those that stand for themselves before the others, bed by bed.
type Met = (bool, usize, usize);

/// A finding, the cases that are only counted, and when it was met.
struct Told {
    finding: Finding,
    untold: Option<Untold>,
    met: Met,
}

/// A finding with its latest cases, those before them, and the beds of all.
struct Gathered {
    head: Finding,
    untold: Option<Untold>,
    beds: Bits,
}

impl<'g> Brief<'g> {
    fn of(shared: &'g Garden, today: Date, most: usize) -> Self {
        Self {
            most,
            part: Part::of(shared, today),
            first: Vec::new(),
            gathered: BTreeMap::new(),
            counts: Counts::default(),
        }
    }

    /// Sorts in what was found in a bed, or of the garden as a whole.
    fn settle(&mut self, bed: Option<usize>) {
        self.counts.let_stand += self.part.exceptions.suppressed.len();
        self.part.exceptions.suppressed.clear();
        let (alone, heads) = std::mem::take(&mut self.part.merged).parted();
        for (at, finding) in alone.into_iter().enumerate() {
            self.tell(finding, (false, bed.unwrap_or(usize::MAX), at));
        }
        for (at, (cause, head)) in heads.into_iter().enumerate() {
            let (Some(bed), None) = (bed, &cause.3) else {
                self.tell(head, (true, bed.unwrap_or(usize::MAX), at));
                continue;
            };
            let mut beds = Bits::default();
            beds.set(bed);
            self.gather(cause, Gathered { head, untold: None, beds });
        }
    }

    fn tell(&mut self, finding: Finding, met: Met) {
        self.counts.add(finding.severity);
        self.keep(Told { finding, untold: None, met });
    }

    /// Keeps a finding if it stands among the first.
    fn keep(&mut self, told: Told) {
        let before = |kept: &Told| {
            let order = told_first(&kept.finding, &told.finding);
            order.then_with(|| kept.met.cmp(&told.met)) == Ordering::Less
        };
        let at = self.first.partition_point(before);
        if at < self.most {
            self.first.insert(at, told);
            self.first.truncate(self.most);
        }
    }

    fn gather(&mut self, cause: Cause, more: Gathered) {
        match self.gathered.get_mut(&cause) {
            Some(gathered) => gathered.join(more),
            None => {
                self.gathered.entry(cause).or_insert(more).shorten();
            }
        }
    }

    fn join(&mut self, other: Self) {
        self.part.exceptions.join(other.part.exceptions);
        self.part.plantings += other.part.plantings;
        self.counts = self.counts.and(other.counts);
        for told in other.first {
            self.keep(told);
        }
        for (cause, more) in other.gathered {
            self.gather(cause, more);
        }
    }

    fn finish<B: Beds>(mut self, beds: &B, rules: usize) -> Audit {
        for (at, gathered) in std::mem::take(&mut self.gathered).into_values().enumerate() {
            let Gathered { head: finding, mut untold, beds: of } = gathered;
            if let Some(untold) = &mut untold {
                untold.beds = of.all().map(|bed| beds.name(bed)).collect();
            }
            self.counts.add(finding.severity);
            self.keep(Told { finding, untold, met: (true, 0, at) });
        }
        let (mut findings, mut untold) = (Vec::new(), BTreeMap::new());
        for (at, told) in self.first.into_iter().enumerate() {
            findings.push(told.finding);
            untold.extend(told.untold.map(|cases| (at, cases)));
        }
        let (counts, plantings) = (self.counts, self.part.plantings);
        Audit { findings, untold, suppressed: Vec::new(), counts, plantings, rules }
    }
}

impl Gathered {
    fn join(&mut self, other: Self) {
        put_behind(&mut self.head, other.head);
        self.beds.join(&other.beds);
        self.leave_out(other.untold);
        self.shorten();
    }

    /// Keeps the latest cases and counts the others.
    fn shorten(&mut self) {
        merge::in_order(&mut self.head.again);
        let gone = self.head.again.drain(CASES_TOLD.min(self.head.again.len())..);
        let gone: Vec<_> = gone.map(|case| case.date).collect();
        self.leave_out(gone.last().map(|since| Untold {
            count: gone.len(),
            since: *since,
            beds: Vec::new(),
        }));
    }

    fn leave_out(&mut self, more: Option<Untold>) {
        self.untold = match (self.untold.take(), more) {
            (Some(one), Some(other)) => Some(one.and(other)),
            (one, other) => one.or(other),
        };
    }
}

/// A set of beds, one bit each.
#[derive(Debug, Default)]
struct Bits(Vec<u64>);

impl Bits {
    fn set(&mut self, bed: usize) {
        let word = bed / 64;
        if self.0.len() <= word {
            self.0.resize(word + 1, 0);
        }
        self.0[word] |= 1 << (bed % 64);
    }

    fn join(&mut self, other: &Self) {
        if self.0.len() < other.0.len() {
            self.0.resize(other.0.len(), 0);
        }
        for (word, more) in self.0.iter_mut().zip(&other.0) {
            *word |= more;
        }
    }

    fn all(&self) -> impl Iterator<Item = usize> {
        let bits = |word: u64| (0..64).filter(move |bit| word & (1 << bit) != 0);
        self.0
            .iter()
            .enumerate()
            .flat_map(move |(at, word)| bits(*word).map(move |bit| at * 64 + bit))
    }
}
