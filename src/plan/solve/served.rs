//! Who may serve each wish, and with how much.

use super::bound::gathered;
use super::instance::{Choice, Instance, NO_FAMILY};
use super::path::PlaceProblem;

/// A choice that adds to a wish.
#[derive(Clone, Copy, Debug)]
pub(super) struct Item {
    pub(super) place: u32,
    pub(super) choice: u32,
    /// The most it adds, whatever stands before it.
    pub(super) most: f64,
}

/// What may serve one wish.
#[derive(Clone, Debug, Default)]
pub(super) struct Serving {
    pub(super) items: Vec<Item>,
    /// Runs of `items` of which a sequence holds one at most.
    pub(super) groups: Vec<std::ops::Range<usize>>,
}

/// Who serves what.
#[derive(Clone, Debug, Default)]
pub(super) struct Served {
    /// By wish.
    pub(super) by_wish: Vec<Serving>,
    /// By place and choice: wish and place in its items.
    pub(super) of_choice: Vec<Vec<Vec<(u32, u32)>>>,
}

impl Served {
    pub(super) fn new(instance: &Instance, problems: &[PlaceProblem]) -> Self {
        let mut served = Self {
            by_wish: vec![Serving::default(); instance.wishes.len()],
            of_choice: instance
                .places
                .iter()
                .map(|place| vec![Vec::new(); place.choices.len()])
                .collect(),
        };
        for (place, problem) in (0..).zip(problems) {
            let choices = &instance.places[place as usize].choices;
            let mut order: Vec<u32> = (0..).take(choices.len()).collect();
            order.sort_by_key(|at| (choices[*at as usize].start, *at));
            let begun: Vec<usize> =
                served.by_wish.iter().map(|serving| serving.items.len()).collect();
            for at in order {
                let choice = &choices[at as usize];
                let Some(share) = problem.most_share(at) else { continue };
                for (wish, amount) in gathered(&choice.amounts) {
                    if amount * share > 0.0 {
                        let item = Item { place, choice: at, most: amount * share };
                        served.by_wish[wish as usize].items.push(item);
                    }
                }
            }
            for (serving, begun) in served.by_wish.iter_mut().zip(begun) {
                serving.group(begun, choices);
            }
        }
        for (wish, serving) in (0..).zip(&served.by_wish) {
            for (at, item) in (0..).zip(&serving.items) {
                served.of_choice[item.place as usize][item.choice as usize].push((wish, at));
            }
        }
        served
    }
}

impl Serving {
    /// Items of one place from `begun` on, parted into runs that bar each other.
    fn group(&mut self, begun: usize, choices: &[Choice]) {
        let choice = |item: &Item| &choices[item.choice as usize];
        let mut first = begun;
        for at in begun..self.items.len() {
            let later = choice(&self.items[at]);
            if !self.items[first..at].iter().all(|item| bars(choice(item), later)) {
                self.groups.push(first..at);
                first = at;
            }
        }
        if first < self.items.len() {
            self.groups.push(first..self.items.len());
        }
    }
}

/// Whether no sequence holds both, the second beginning no sooner.
fn bars(earlier: &Choice, later: &Choice) -> bool {
    let relatives = earlier.family == later.family && earlier.family != NO_FAMILY;
    later.start < earlier.end
        || (relatives && !later.fixed && later.start < earlier.end.saturating_add(later.free_slots))
}
