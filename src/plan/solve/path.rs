//! The best sequence of one place at given worths: label-setting dynamic programming.
//!
//! A label is a partial sequence: the slot it has reached, its worth, the trace of what stood last,
//! and when each family was last cleared. It gives way only to a label at the same slot that is
//! worth at least as much, whose trace serves every next choice at least as well and whose families
//! are all free no later: whatever may follow the one may follow the other, for no less. A run
//! backwards without the families bounds what a label can still gain, so that labels which cannot
//! beat a known sequence go early. Where labels are cut for their number, the best that a cut one
//! could have gained is kept: the bound stays valid.

use super::instance::{Choice, Instance, NO_FAMILY, Share, Succession};

const FAMILIES: usize = 32;

/// What does not change from one set of prices to the next.
#[derive(Clone, Debug)]
pub struct PlaceProblem {
    slots: usize,
    /// Choices that may be taken, with their place in the instance, by first slot.
    choices: Vec<(u32, Choice)>,
    /// By choice of the instance: its place in `choices`.
    at_of: Vec<Option<usize>>,
    /// By slot: the choices that begin there.
    begins: Vec<std::ops::Range<usize>>,
    /// By slot: whether a fixed choice begins there, so that nothing else may.
    gates: Vec<bool>,
    traces: usize,
    /// By trace and choice: the most it bears; `None` if the trace forbids it.
    shares: Vec<Option<Share>>,
    /// By trace and trace: whether the first serves every next choice at least as well.
    serves: Vec<bool>,
    /// Longest wait of each family, and the last slot at which one of it may begin.
    waits: [(u8, u8); FAMILIES],
}

/// The answer for one place.
#[derive(Clone, Debug, PartialEq)]
pub struct PathAnswer {
    /// The best sequence found.
    pub choices: Vec<u32>,
    /// Its worth at the prices, by the shares of `at_most`; negative infinity if none was found.
    pub worth: f64,
    /// No sequence is worth more than this.
    pub at_most: f64,
}

impl Default for PathAnswer {
    /// Nothing found, and nothing ruled out.
    fn default() -> Self {
        Self { choices: Vec::new(), worth: f64::NEG_INFINITY, at_most: f64::INFINITY }
    }
}

/// What each choice of a place is worth at some prices.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Worths {
    /// What it bears a share of, by choice of the instance.
    pub shared: Vec<f64>,
    /// What it has whatever stood before, by choice of the instance.
    pub flat: Vec<f64>,
}

impl Worths {
    /// Worths of which all is borne by the share.
    #[must_use]
    pub fn shared(shared: Vec<f64>) -> Self {
        Self { flat: vec![0.0; shared.len()], shared }
    }

    fn gain(&self, choice: u32, share: Share) -> f64 {
        let at = choice as usize;
        self.shared[at] * share.share - share.charge + self.flat[at]
    }
}

#[derive(Clone, Debug)]
struct Label {
    value: f64,
    node: u32,
    trace: u16,
    cleared: [u8; FAMILIES],
}

/// What can still be gained, by relaxations that each keep a part of the rules.
#[derive(Clone, Debug)]
struct Ahead {
    width: usize,
    traces: usize,
    of_traces: Vec<f64>,
    /// By family, where one waits; by slot and the slot at which it was last cleared.
    of_families: Vec<Vec<f64>>,
    /// By slot: the least over all families while none has been grown.
    of_none: Vec<f64>,
}

impl Ahead {
    /// The most that a sequence which begins as a label can be worth in the end.
    fn most(&self, label: &Label, slot: usize) -> f64 {
        let by_trace = self.of_traces[slot * self.traces + usize::from(label.trace)];
        if self.of_families.is_empty() {
            return label.value + by_trace;
        }
        // The later a family was cleared the less is ahead, so that those never grown need no look.
        let mut least = by_trace.min(self.of_none[slot]);
        for (cleared, ahead) in label.cleared.iter().zip(&self.of_families) {
            if *cleared != 0 && !ahead.is_empty() {
                least = least.min(ahead[slot * self.width + usize::from(*cleared)]);
            }
        }
        label.value + least
    }
}

const NO_NODE: u32 = u32::MAX;
/// Rounding of sums of some hundred worths.
const CLOSE: f64 = 1e-9;

impl PlaceProblem {
    /// Prepares a place.
    #[must_use]
    pub fn new(instance: &Instance, succession: &dyn Succession, place: usize) -> Self {
        let slots = usize::from(instance.slots);
        let all = &instance.places[place].choices;
        let fixed: Vec<&Choice> = all.iter().filter(|choice| choice.fixed).collect();
        let meets_fixed = |choice: &Choice| {
            fixed.iter().any(|fixed| choice.start < fixed.end && fixed.start < choice.end)
        };
        let mut choices: Vec<(u32, Choice)> = (0..)
            .zip(all)
            .filter(|(_, choice)| choice.end <= instance.slots && choice.start < choice.end)
            .filter(|(_, choice)| choice.fixed || !meets_fixed(choice))
            .map(|(at, choice)| (at, choice.clone()))
            .collect();
        choices.sort_by_key(|(at, choice)| (choice.start, *at));
        let begins = (0..slots)
            .map(|slot| {
                let first = choices.partition_point(|(_, choice)| usize::from(choice.start) < slot);
                let last = choices.partition_point(|(_, choice)| usize::from(choice.start) <= slot);
                first..last
            })
            .collect();
        let mut gates = vec![false; slots];
        let mut waits = [(0, 0); FAMILIES];
        for (_, choice) in &choices {
            gates[usize::from(choice.start)] |= choice.fixed;
            if choice.family != NO_FAMILY {
                let (wait, last) = &mut waits[usize::from(choice.family)];
                *wait = choice.free_slots.max(*wait);
                *last = choice.start.max(*last);
            }
        }
        let traces = usize::from(succession.traces().max(1));
        let shares: Vec<Option<Share>> = (0..succession.traces().max(1))
            .flat_map(|trace| {
                choices.iter().map(move |(at, _)| succession.at_most(place, trace, *at))
            })
            .collect();
        let serves = serves(traces, choices.len(), &shares);
        let mut at_of = vec![None; all.len()];
        for (at, (id, _)) in choices.iter().enumerate() {
            at_of[*id as usize] = Some(at);
        }
        Self { slots, choices, at_of, begins, gates, traces, shares, serves, waits }
    }

    /// The most that a choice bears after any trace; `None` if it can never be taken.
    #[must_use]
    pub fn most_share(&self, choice: u32) -> Option<f64> {
        let at = self.at_of[choice as usize]?;
        (0..self.traces)
            .filter_map(|trace| Some(self.shares[trace * self.choices.len() + at]?.share))
            .reduce(f64::max)
    }

    fn share(&self, trace: u16, at: usize) -> Option<Share> {
        self.shares[usize::from(trace) * self.choices.len() + at]
    }

    /// The most that can still be gained from each slot on after each trace, families left out.
    fn ahead(&self, worths: &Worths) -> Vec<f64> {
        let mut ahead = vec![0.0; (self.slots + 1) * self.traces];
        for slot in (0..self.slots).rev() {
            for trace in 0..self.traces {
                let idle = ahead[(slot + 1) * self.traces + trace];
                let mut most = if self.gates[slot] { f64::NEG_INFINITY } else { idle };
                for at in self.begins[slot].clone() {
                    let (id, choice) = &self.choices[at];
                    let Some(share) = self.shares[trace * self.choices.len() + at] else {
                        continue;
                    };
                    let gained = worths.gain(*id, share);
                    let after =
                        ahead[usize::from(choice.end) * self.traces + usize::from(choice.trace)];
                    most = most.max(gained + after);
                }
                ahead[slot * self.traces + trace] = most;
            }
        }
        ahead
    }

    /// The same with one family's return kept: by slot, then by the slot at which the family was last
    /// cleared (0 for never). Whatever stood last is taken at its best.
    fn ahead_of_family(&self, family: u8, worths: &Worths) -> Vec<f64> {
        let width = self.slots + 1;
        let gains: Vec<f64> = (0..self.choices.len())
            .map(|at| {
                let shares = (0..self.traces).filter_map(|trace| {
                    let share = self.shares[trace * self.choices.len() + at]?;
                    Some(worths.gain(self.choices[at].0, share))
                });
                shares.fold(f64::NEG_INFINITY, f64::max)
            })
            .collect();
        let mut ahead = vec![0.0; width * width];
        for slot in (0..self.slots).rev() {
            let (now, later) = ahead[slot * width..].split_at_mut(width);
            if self.gates[slot] {
                now.fill(f64::NEG_INFINITY);
            } else {
                now.copy_from_slice(&later[..width]);
            }
            for at in self.begins[slot].clone() {
                let choice = &self.choices[at].1;
                let end = usize::from(choice.end);
                let after = &later[(end - slot - 1) * width..][..width];
                if choice.family == family {
                    let most = gains[at] + after[end];
                    let cleared = slot.checked_sub(usize::from(choice.free_slots));
                    let ready = if choice.fixed { slot } else { cleared.unwrap_or(0) };
                    for value in &mut now[..=ready] {
                        *value = value.max(most);
                    }
                } else {
                    for (value, after) in now[..=slot].iter_mut().zip(after) {
                        *value = value.max(gains[at] + after);
                    }
                }
            }
        }
        ahead
    }

    /// The best sequence at given worths of the instance's choices. `caps` are the numbers of labels
    /// a slot may keep, tried in turn until the answer is proven best. A sequence known already saves
    /// the look at all that is worth less.
    #[must_use]
    pub fn best(&self, worths: &Worths, caps: &[usize], known: PathAnswer) -> PathAnswer {
        let ahead = self.relaxations(worths);
        let begin = Label { value: 0.0, node: NO_NODE, trace: 0, cleared: [0; FAMILIES] };
        let mut answer = PathAnswer { at_most: ahead.most(&begin, 0), ..known };
        for cap in caps {
            self.run(worths, &ahead, *cap, &mut answer);
            if answer.at_most <= answer.worth + CLOSE {
                break;
            }
        }
        answer
    }

    /// A good sequence in little time: few labels, and no look ahead but the simplest.
    #[must_use]
    pub fn good(&self, worths: &Worths, cap: usize) -> PathAnswer {
        let ahead = Ahead {
            width: self.slots + 1,
            traces: self.traces,
            of_traces: self.ahead(worths),
            of_families: Vec::new(),
            of_none: Vec::new(),
        };
        let mut answer = PathAnswer::default();
        self.run(worths, &ahead, cap, &mut answer);
        answer
    }

    fn run(&self, worths: &Worths, ahead: &Ahead, cap: usize, answer: &mut PathAnswer) {
        let mut buckets: Vec<Vec<Label>> = vec![Vec::new(); self.slots + 1];
        let mut nodes: Vec<(u32, u32)> = Vec::new();
        let mut cut = f64::NEG_INFINITY;
        buckets[0].push(Label { value: 0.0, node: NO_NODE, trace: 0, cleared: [0; FAMILIES] });
        let mut kept: Vec<Label> = Vec::new();
        for slot in 0..self.slots {
            let mut labels = std::mem::take(&mut buckets[slot]);
            labels.sort_by(|a, b| b.value.total_cmp(&a.value));
            kept.clear();
            for mut label in labels {
                let most = ahead.most(&label, slot);
                if most <= answer.worth + CLOSE {
                    continue;
                }
                self.forget(&mut label, slot);
                if kept.iter().any(|better| self.stands_for(better, &label)) {
                    continue;
                }
                if kept.len() >= cap {
                    cut = cut.max(most);
                    continue;
                }
                kept.push(label);
            }
            for label in &kept {
                for at in self.begins[slot].clone() {
                    let (id, choice) = &self.choices[at];
                    if self.gates[slot] && !choice.fixed {
                        continue;
                    }
                    let end = usize::from(choice.end);
                    let trace = usize::from(label.trace) * self.choices.len() + at;
                    let Some(share) = self.shares[trace] else { continue };
                    let after = ahead.of_traces[end * self.traces + usize::from(choice.trace)];
                    if label.value + worths.gain(*id, share) + after <= answer.worth + CLOSE {
                        continue;
                    }
                    let Some(next) = self.extend(label, at, worths) else { continue };
                    let most = ahead.most(&next, end);
                    if most > answer.worth + CLOSE {
                        let node = u32::try_from(nodes.len()).unwrap_or(NO_NODE);
                        nodes.push((label.node, *id));
                        buckets[end].push(Label { node, ..next });
                    }
                }
            }
            if !self.gates[slot] {
                buckets[slot + 1].append(&mut kept);
            }
        }
        let best = buckets[self.slots].iter().max_by(|a, b| a.value.total_cmp(&b.value));
        if let Some(best) = best.filter(|best| best.value > answer.worth) {
            answer.worth = best.value;
            answer.choices = sequence(&nodes, best.node);
        }
        answer.at_most = answer.at_most.min(cut.max(answer.worth));
    }

    /// Families whose wait no longer bears on anything are forgotten, so that labels become alike.
    fn forget(&self, label: &mut Label, slot: usize) {
        for (cleared, (wait, last)) in label.cleared.iter_mut().zip(&self.waits) {
            let over = usize::from(*cleared) + usize::from(*wait) <= slot;
            if *cleared != 0 && (over || slot > usize::from(*last)) {
                *cleared = 0;
            }
        }
    }

    /// Whether whatever may follow `label` may follow `better`, for no less.
    fn stands_for(&self, better: &Label, label: &Label) -> bool {
        let traces = usize::from(better.trace) * self.traces + usize::from(label.trace);
        // Counted without a way out in between, so that all families are compared at once.
        let later = better.cleared.iter().zip(&label.cleared).map(|(a, b)| u8::from(a > b));
        self.serves[traces] && later.sum::<u8>() == 0
    }

    fn extend(&self, label: &Label, at: usize, worths: &Worths) -> Option<Label> {
        let (id, choice) = &self.choices[at];
        let mut cleared = label.cleared;
        if choice.family != NO_FAMILY {
            let last = &mut cleared[usize::from(choice.family)];
            let ready = if *last == 0 { 0 } else { last.saturating_add(choice.free_slots) };
            if choice.start < ready && !choice.fixed {
                return None;
            }
            *last = choice.end;
        }
        let share = self.share(label.trace, at)?;
        let gained = worths.gain(*id, share);
        // Without traces nothing is left behind for which a loss could be worth it.
        if gained <= 0.0 && self.traces == 1 && !choice.fixed {
            return None;
        }
        Some(Label { value: label.value + gained, node: label.node, trace: choice.trace, cleared })
    }
}

fn serves(traces: usize, choices: usize, shares: &[Option<Share>]) -> Vec<bool> {
    let no_worse = |a: Option<Share>, b: Option<Share>| match (a, b) {
        (_, None) => true,
        (None, Some(_)) => false,
        (Some(a), Some(b)) => a.share >= b.share && a.charge <= b.charge,
    };
    let mut serves = Vec::with_capacity(traces * traces);
    for one in 0..traces {
        for other in 0..traces {
            serves.push(
                (0..choices)
                    .all(|at| no_worse(shares[one * choices + at], shares[other * choices + at])),
            );
        }
    }
    serves
}

fn sequence(nodes: &[(u32, u32)], last: u32) -> Vec<u32> {
    let mut taken = Vec::new();
    let mut at = last;
    while let Some((parent, choice)) = nodes.get(at as usize) {
        taken.push(*choice);
        at = *parent;
    }
    taken.reverse();
    taken
}

impl PlaceProblem {
    fn relaxations(&self, worths: &Worths) -> Ahead {
        let width = self.slots + 1;
        let of_families: Vec<Vec<f64>> = (0..)
            .zip(&self.waits)
            .map(|(family, (wait, _))| match wait {
                0 => Vec::new(),
                _ => self.ahead_of_family(family, worths),
            })
            .collect();
        let waiting = || of_families.iter().filter(|ahead| !ahead.is_empty());
        let of_none = (0..width)
            .map(|slot| {
                waiting().fold(f64::INFINITY, |least, ahead| least.min(ahead[slot * width]))
            })
            .collect();
        let of_traces = self.ahead(worths);
        Ahead { width, traces: self.traces, of_traces, of_families, of_none }
    }

    /// All sequences worth at least so much, by the shares of `at_most`; `None` if they are more
    /// than `most`.
    #[must_use]
    pub fn all_worth(&self, worths: &Worths, at_least: f64, most: usize) -> Option<Vec<Vec<u32>>> {
        let ahead = self.relaxations(worths);
        let begin = Label { value: 0.0, node: NO_NODE, trace: 0, cleared: [0; FAMILIES] };
        let mut open = vec![(begin, 0, Vec::new())];
        let mut all = Vec::new();
        let mut looked_at = 0;
        while let Some((label, slot, taken)) = open.pop() {
            looked_at += 1;
            if looked_at > most * 200 || all.len() > most {
                return None;
            }
            if slot == self.slots {
                all.push(taken);
                continue;
            }
            if !self.gates[slot] && ahead.most(&label, slot + 1) >= at_least {
                open.push((label.clone(), slot + 1, taken.clone()));
            }
            for at in self.begins[slot].clone() {
                let (id, choice) = &self.choices[at];
                if self.gates[slot] && !choice.fixed {
                    continue;
                }
                let Some(next) = self.extend(&label, at, worths) else { continue };
                let end = usize::from(choice.end);
                if ahead.most(&next, end) >= at_least {
                    let mut longer = taken.clone();
                    longer.push(*id);
                    open.push((next, end, longer));
                }
            }
        }
        Some(all)
    }

    /// What a sequence is worth without its amounts, by the shares of `at_most`.
    #[must_use]
    pub fn own(&self, path: &[u32]) -> f64 {
        let mut trace = 0;
        let mut own = 0.0;
        for id in path {
            let Some(at) = self.at_of[*id as usize] else { continue };
            let choice = &self.choices[at].1;
            if let Some(share) = self.share(trace, at) {
                own += choice.own * share.share - share.charge;
            }
            trace = choice.trace;
        }
        own
    }

    /// What a sequence adds to wishes by the shares of `at_most`: the slope of the bound.
    #[must_use]
    pub fn amounts(&self, path: &[u32]) -> Vec<(u32, f64)> {
        let mut trace = 0;
        let mut amounts = Vec::new();
        for id in path {
            let Some(at) = self.at_of[*id as usize] else { continue };
            let choice = &self.choices[at].1;
            let share = self.share(trace, at).map_or(0.0, |share| share.share);
            amounts.extend(choice.amounts.iter().map(|(wish, amount)| (*wish, amount * share)));
            trace = choice.trace;
        }
        amounts
    }
}
