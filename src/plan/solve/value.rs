//! What a plan is worth, by the instance alone: the search and the bound must both agree with it.

use super::instance::{Instance, NO_FAMILY, Share, Succession};

/// One sequence of choices a place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// By place: the choices taken, by first slot.
    pub paths: Vec<Vec<u32>>,
}

/// What a sequence brings: worth of its own and amounts to wishes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Totals {
    /// Own worth, charges taken off.
    pub own: f64,
    /// Amounts by wish.
    pub amounts: Vec<(u32, f64)>,
}

impl Totals {
    /// What a sequence brings, with the share that each of its choices bears.
    #[must_use]
    pub fn of(instance: &Instance, place: usize, sequence: &[u32], shares: &[Share]) -> Self {
        let mut totals = Self::default();
        for (choice, share) in sequence.iter().zip(shares) {
            let choice = &instance.places[place].choices[*choice as usize];
            totals.own += choice.own * share.share - share.charge;
            totals
                .amounts
                .extend(choice.amounts.iter().map(|(wish, amount)| (*wish, amount * share.share)));
        }
        totals
    }
}

/// Whether a sequence keeps the rules of its place: no two at once, relatives far enough apart, all
/// that is fixed held.
#[must_use]
pub fn feasible_path(instance: &Instance, place: usize, sequence: &[u32]) -> bool {
    let choices = &instance.places[place].choices;
    let mut free = 0;
    let mut cleared: [Option<u8>; 32] = [None; 32];
    for choice in sequence {
        let choice = &choices[*choice as usize];
        if choice.start < free || choice.end > instance.slots {
            return false;
        }
        if choice.family != NO_FAMILY {
            let last = &mut cleared[usize::from(choice.family)];
            let ready = last.map_or(0, |last| last.saturating_add(choice.free_slots));
            if choice.start < ready && !choice.fixed {
                return false;
            }
            *last = Some(choice.end);
        }
        free = choice.end;
    }
    choices.iter().enumerate().all(|(at, choice)| {
        !choice.fixed || sequence.iter().any(|taken| usize::try_from(*taken) == Ok(at))
    })
}

/// What a plan is worth; `None` if it breaks a rule.
#[must_use]
pub fn value_of(instance: &Instance, succession: &dyn Succession, plan: &Plan) -> Option<f64> {
    let mut sums = vec![0.0; instance.wishes.len()];
    let mut value = 0.0;
    for (place, path) in plan.paths.iter().enumerate() {
        if !feasible_path(instance, place, path) {
            return None;
        }
        let totals = Totals::of(instance, place, path, &succession.exact(place, path)?);
        value += totals.own;
        for (wish, amount) in totals.amounts {
            sums[wish as usize] += amount;
        }
    }
    let wishes = instance.wishes.iter().zip(&sums).map(|(wish, sum)| wish.value(*sum));
    Some(value + wishes.sum::<f64>() - neighbour_charges(instance, plan))
}

/// What it costs that neighbours bear the same family at once.
pub(super) fn neighbour_charges(instance: &Instance, plan: &Plan) -> f64 {
    instance
        .neighbours
        .iter()
        .map(|pair| {
            let shared = shared_slots(
                instance,
                (pair.one, &plan.paths[pair.one]),
                (pair.other, &plan.paths[pair.other]),
            );
            f64::from(shared) * pair.charge
        })
        .sum()
}

/// Slots in which two places bear the same family.
fn shared_slots(instance: &Instance, one: (usize, &[u32]), other: (usize, &[u32])) -> u32 {
    let mut shared = 0;
    for a in one.1 {
        let a = &instance.places[one.0].choices[*a as usize];
        for b in other.1 {
            let b = &instance.places[other.0].choices[*b as usize];
            if a.family == b.family && a.family != NO_FAMILY {
                shared += u32::from(a.end.min(b.end).saturating_sub(a.start.max(b.start)));
            }
        }
    }
    shared
}
