//! Cuts on a wish: what whole plantings can bring to it.
//!
//! A wish counts an amount up to what is wanted. With prices alone, half a bed may fill the last gap;
//! whole beds leave it open or overshoot it. A *face* is a linear ceiling on what counts, `at_none`
//! plus so much a choice, that no set of whole choices passes and a set of halves does (a mixed
//! knapsack's flow cover, lifted: Gu, Nemhauser & Savelsbergh 1999). It only changes what choices are
//! worth, so that places are still priced one by one.

use super::served::{Served, Serving};
use super::simplex::Simplex;

/// A ceiling on what counts for a wish.
#[derive(Clone, Debug)]
pub(super) struct Face {
    pub(super) wish: u32,
    /// The ceiling with no choice taken.
    pub(super) at_none: f64,
    /// What each item of the wish adds to it.
    pub(super) adds: Vec<f64>,
}

impl Face {
    /// What a sequence adds to it.
    pub(super) fn added(&self, served: &Served, place: usize, path: &[u32]) -> f64 {
        let wishes = path.iter().flat_map(|choice| &served.of_choice[place][*choice as usize]);
        wishes.filter(|(wish, _)| *wish == self.wish).map(|(_, at)| self.adds[*at as usize]).sum()
    }
}

/// Steps into which a wish is parted while a face is lifted to choices that are not taken.
const STEPS: usize = 1000;
/// Sets of choices kept while the face is sought.
const MOST_SETS: usize = 4000;
/// Shares below this are none.
const NONE: f64 = 1e-6;

/// The lowest ceiling at given shares of the items, and what it is there; `None` if the sets are too
/// many. `order` says which groups without shares are lifted first.
pub(super) fn face(
    wish: u32,
    wanted: f64,
    serving: &Serving,
    shares: &[f64],
    order: &[usize],
) -> Option<(Face, f64)> {
    if wanted <= 0.0 {
        return None;
    }
    let held: Vec<Vec<usize>> = serving
        .groups
        .iter()
        .map(|group| group.clone().filter(|at| shares[*at] > NONE).collect::<Vec<_>>())
        .filter(|held| !held.is_empty())
        .collect();
    let known: Vec<usize> = held.iter().flatten().copied().collect();
    let mut adds: Vec<Option<f64>> = vec![None; serving.items.len()];
    let at_none = envelope(wanted, serving, shares, &held, &known, &mut adds)?;
    let mut ceiling = at_none;
    for at in &known {
        ceiling += adds[*at].unwrap_or(0.0) * shares[*at];
    }
    let adds = lifted(wanted, serving, at_none, adds, order);
    Some((Face { wish, at_none, adds }, ceiling))
}

/// The lowest ceiling over the items held: the prices of a linear problem whose columns are sets,
/// found one by one as they pass the ceiling.
fn envelope(
    wanted: f64,
    serving: &Serving,
    shares: &[f64],
    held: &[Vec<usize>],
    known: &[usize],
    adds: &mut [Option<f64>],
) -> Option<f64> {
    let mut simplex = Simplex::default();
    simplex.add_row(&[], 1.0);
    for at in known {
        simplex.add_row(&[], shares[*at]);
    }
    let row_of = |at: usize| known.iter().position(|known| *known == at).map(|row| row + 1);
    for _ in 0..200 {
        if !simplex.solve(10_000) {
            return None;
        }
        let prices = simplex.prices();
        for (price, at) in prices[1..].iter().zip(known) {
            adds[*at] = Some(price.max(0.0));
        }
        let at_none = prices[0].max(0.0);
        let (set, most) = furthest_above(wanted, serving, held, adds)?;
        let above = most - at_none;
        if above <= 1e-7 * wanted {
            // No item brings more than its amount, whatever else is taken.
            for at in known {
                adds[*at] = adds[*at].map(|add| add.min(serving.items[*at].most));
            }
            return Some(at_none + above.max(0.0));
        }
        let amount: f64 = set.iter().map(|at| serving.items[*at].most).sum();
        let mut entries = vec![(0, 1.0)];
        for at in &set {
            entries.push((u32::try_from(row_of(*at)?).ok()?, 1.0));
        }
        simplex.add_column(amount.min(wanted), entries);
    }
    None
}

/// The set that counts for most above what it adds.
fn furthest_above(
    wanted: f64,
    serving: &Serving,
    held: &[Vec<usize>],
    adds: &[Option<f64>],
) -> Option<(Vec<usize>, f64)> {
    let mut sets: Vec<(f64, f64, Vec<usize>)> = vec![(0.0, 0.0, Vec::new())];
    for group in held {
        for at in 0..sets.len() {
            for item in group {
                let (amount, paid, set) = &sets[at];
                if *amount >= wanted {
                    continue;
                }
                let mut set = set.clone();
                set.push(*item);
                let amount = amount + serving.items[*item].most;
                sets.push((amount.min(wanted), paid + adds[*item].unwrap_or(0.0), set));
            }
        }
        // Of sets with no more and for no less one is kept.
        sets.sort_by(|a, b| a.1.total_cmp(&b.1).then(b.0.total_cmp(&a.0)));
        let mut most = f64::NEG_INFINITY;
        sets.retain(|(amount, ..)| {
            let kept = *amount > most;
            most = most.max(*amount);
            kept
        });
        if sets.len() > MOST_SETS {
            return None;
        }
    }
    sets.into_iter()
        .map(|(amount, paid, set)| (set, amount - paid))
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// What the other items must add so that the ceiling holds with them too, group by group.
fn lifted(
    wanted: f64,
    serving: &Serving,
    at_none: f64,
    mut adds: Vec<Option<f64>>,
    order: &[usize],
) -> Vec<f64> {
    let step = wanted / STEPS as f64;
    let steps_of = |amount: f64| -> usize {
        let steps = (amount / step - 1e-9).ceil().clamp(0.0, STEPS as f64);
        // Bounded on the line above.
        format!("{steps:.0}").parse().unwrap_or(STEPS)
    };
    let lengths: Vec<usize> = serving.items.iter().map(|item| steps_of(item.most)).collect();
    // Least paid by steps reached.
    let take = |paid: &mut Vec<f64>, group: &std::ops::Range<usize>, adds: &[Option<f64>]| {
        let before = paid.clone();
        for at in group.clone() {
            let Some(add) = adds[at] else { continue };
            for (reached, least) in before.iter().enumerate() {
                if least.is_finite() {
                    let to = (reached + lengths[at]).min(STEPS);
                    paid[to] = paid[to].min(least + add);
                }
            }
        }
    };
    let (held, rest): (Vec<usize>, Vec<usize>) = order
        .iter()
        .partition(|group| serving.groups[**group].clone().any(|at| adds[at].is_some()));
    let nothing = || {
        let mut paid = vec![f64::INFINITY; STEPS + 1];
        paid[0] = at_none;
        paid
    };
    let lift = |paid: &[f64], group: &std::ops::Range<usize>, adds: &mut [Option<f64>]| {
        for at in group.clone() {
            if adds[at].is_none() {
                let most = serving.items[at].most;
                let needed = paid.iter().enumerate().fold(0.0, |needed: f64, (reached, paid)| {
                    needed.max((reached as f64 * step + most).min(wanted) - paid)
                });
                adds[at] = Some(needed.min(most));
            }
        }
    };
    for group in &held {
        let mut paid = nothing();
        for other in held.iter().filter(|other| *other != group) {
            take(&mut paid, &serving.groups[*other], &adds);
        }
        lift(&paid, &serving.groups[*group], &mut adds);
    }
    let mut paid = nothing();
    for group in &held {
        take(&mut paid, &serving.groups[*group], &adds);
    }
    for group in rest {
        lift(&paid, &serving.groups[group], &mut adds);
        take(&mut paid, &serving.groups[group], &adds);
    }
    adds.into_iter().map(|add| add.unwrap_or(0.0)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::solve::Random;
    use crate::plan::solve::served::Item;

    fn serving(random: &mut Random) -> Serving {
        let mut serving = Serving::default();
        for place in 0..=u32::try_from(random.below(5)).unwrap_or(0) {
            let begun = serving.items.len();
            for choice in 0..=u32::try_from(random.below(3)).unwrap_or(0) {
                serving.items.push(Item { place, choice, most: 0.2 + random.share() });
            }
            serving.groups.push(begun..serving.items.len());
        }
        serving
    }

    /// What a set counts for and what its ceiling is, for each set of one item a group at most.
    fn sets(serving: &Serving, face: &Face, wanted: f64) -> Vec<(f64, f64)> {
        let mut sets = vec![(0.0, face.at_none)];
        for group in &serving.groups {
            for at in 0..sets.len() {
                let (amount, ceiling) = sets[at];
                for item in group.clone() {
                    sets.push((amount + serving.items[item].most, ceiling + face.adds[item]));
                }
            }
        }
        sets.into_iter().map(|(amount, ceiling)| (f64::min(amount, wanted), ceiling)).collect()
    }

    #[test]
    fn no_set_of_whole_choices_passes_a_face() {
        let mut lower = 0;
        for seed in 0..300 {
            let mut random = Random::new(seed);
            let serving = serving(&mut random);
            let wanted = 0.3 + 2.0 * random.share();
            let mut shares = vec![0.0; serving.items.len()];
            for group in &serving.groups {
                let mut left = 1.0;
                for at in group.clone() {
                    if random.below(2) == 0 {
                        shares[at] = left * random.share();
                        left -= shares[at];
                    }
                }
            }
            let order: Vec<usize> = (0..serving.groups.len()).collect();
            let (face, ceiling) = face(0, wanted, &serving, &shares, &order).expect("a face");
            for (counts, at_most) in sets(&serving, &face, wanted) {
                assert!(counts <= at_most + 1e-9, "seed {seed}: {counts} above {at_most}");
            }
            let brought = shares.iter().zip(&serving.items).map(|(share, item)| share * item.most);
            let priced = brought.sum::<f64>().min(wanted);
            assert!(ceiling <= priced + 1e-9, "seed {seed}: {ceiling} above {priced}");
            lower += u32::from(ceiling < priced - 1e-3);
        }
        assert!(lower > 60, "{lower} faces cut something off");
    }

    /// Two beds of 2 for a wish of 3, each half taken: 2 by amounts, but one bed alone brings 2 and
    /// both bring 3, so that half of both is 1.5 in the mean of none and both and 2 in that of one
    /// and the other. A bed and a half counts for 2.5 and not for 3.
    #[test]
    fn a_bed_and_a_half_do_not_fill_a_wish() {
        let items = (0..2).map(|place| Item { place, choice: 0, most: 2.0 }).collect();
        let serving = Serving { items, groups: vec![0..1, 1..2] };
        let (_, half) = face(0, 3.0, &serving, &[0.5, 0.5], &[0, 1]).expect("a face");
        assert!((half - 2.0).abs() < 1e-6, "{half}");
        let (_, more) = face(0, 3.0, &serving, &[1.0, 0.5], &[0, 1]).expect("a face");
        assert!((more - 2.5).abs() < 1e-6, "{more}");
    }
}
