//! Branch and bound over listed sequences: the last step of a proof, and of a plan.
//!
//! A sequence worth less at the best prices than the place's best by more than the gap cannot be part
//! of a better plan; where few are left each place is a list, and lists are cheap to price. A node
//! keeps lists; its bound is that of the relaxation over them, sought by a short subgradient descent
//! (steps after Polyak 1969). Sequences that cannot help any more go; the rest is parted by whether a
//! place serves a wish.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::bound::{Weights, gathered};
use super::faces::Face;
use super::instance::Wish;
use super::served::Served;
use super::value::Totals;

/// A sequence with what it brings.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) path: Vec<u32>,
    pub(super) own: f64,
    /// By wish, and after the wishes by face.
    pub(super) amounts: Vec<(u32, f64)>,
}

impl Column {
    pub(super) fn new(
        path: Vec<u32>,
        totals: &Totals,
        place: usize,
        served: &Served,
        faces: &[Face],
    ) -> Self {
        let mut amounts = gathered(&totals.amounts);
        let first = u32::try_from(served.by_wish.len()).unwrap_or(u32::MAX);
        for (at, face) in (first..).zip(faces) {
            let adds = face.added(served, place, &path);
            if adds > 0.0 {
                amounts.push((at, adds));
            }
        }
        Self { path, own: totals.own, amounts }
    }

    pub(super) fn priced(&self, prices: &[f64]) -> f64 {
        self.own
            + self.amounts.iter().map(|(wish, amount)| prices[*wish as usize] * amount).sum::<f64>()
    }
}

#[derive(Clone, Debug)]
struct Node {
    lists: Vec<Vec<u32>>,
    prices: Vec<f64>,
    bound: f64,
    order: u64,
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Node {}
impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Node {
    fn cmp(&self, other: &Self) -> Ordering {
        self.bound.total_cmp(&other.bound).then(other.order.cmp(&self.order))
    }
}

/// What branching found.
#[derive(Clone, Debug, Default)]
pub(super) struct Proved {
    /// By place: the column of the best plan, if it beats the one known.
    pub(super) best: Option<Vec<u32>>,
    /// Value of the best plan known now.
    pub(super) value: f64,
    /// No plan of the lists is worth more.
    pub(super) bound: f64,
}

/// Lists to branch over.
pub(super) struct Lists<'a> {
    pub(super) wishes: &'a [Wish],
    pub(super) columns: &'a [Vec<Column>],
    pub(super) faces: &'a [Face],
    /// What a choice of columns is worth in the end: the relaxation knows nothing of neighbours.
    pub(super) charge: &'a dyn Fn(&[u32]) -> f64,
    /// Share of the value that need not be proven.
    pub(super) enough: f64,
}

/// Combinations few enough to look at each.
const FEW: usize = 256;

impl Lists<'_> {
    /// Searches so many nodes from prices and the value of a plan known.
    pub(super) fn search(&self, weights: &Weights, value: f64, nodes: usize) -> Proved {
        let lists = self.columns.iter().map(|columns| (0..).take(columns.len()).collect());
        let mut found = Proved { best: None, value, bound: f64::INFINITY };
        let mut heap = BinaryHeap::new();
        let root = Node {
            lists: lists.collect(),
            prices: prices_of(weights),
            bound: f64::INFINITY,
            order: 0,
        };
        heap.push(root);
        let mut order = 0;
        let mut looked_at = 0;
        // What pruning leaves unproven within `enough`.
        let mut waved = f64::NEG_INFINITY;
        while let Some(mut node) = heap.pop() {
            if node.bound <= self.goal(found.value) {
                waved = waved.max(node.bound);
                break;
            }
            if looked_at >= nodes {
                heap.push(node);
                break;
            }
            looked_at += 1;
            let steps = if order == 0 { 150 } else { 24 };
            let seen = self.relax(&mut node, steps, &mut found);
            if node.bound <= self.goal(found.value) {
                waved = waved.max(node.bound);
                continue;
            }
            self.drop_hopeless(&mut node, found.value);
            if node.lists.iter().any(Vec::is_empty) {
                continue;
            }
            if is_few(&node) {
                self.look_at_each(&node, &mut found);
                continue;
            }
            for lists in self.part(&node, &seen) {
                if lists.iter().all(|list| !list.is_empty()) {
                    order += 1;
                    heap.push(Node {
                        lists,
                        prices: node.prices.clone(),
                        bound: node.bound,
                        order,
                    });
                }
            }
        }
        let open = heap.peek().map_or(f64::NEG_INFINITY, |node| node.bound);
        found.bound = found.value.max(open).max(waved);
        found
    }

    fn goal(&self, value: f64) -> f64 {
        value + self.enough * value.abs() + 1e-10
    }

    fn plan_value(&self, taken: &[u32]) -> f64 {
        let mut sums = vec![0.0; self.wishes.len()];
        let mut own = 0.0;
        for (columns, at) in self.columns.iter().zip(taken) {
            let column = &columns[*at as usize];
            own += column.own;
            for (wish, amount) in &column.amounts {
                // What is added to faces is no amount.
                if let Some(sum) = sums.get_mut(*wish as usize) {
                    *sum += amount;
                }
            }
        }
        let wishes = self.wishes.iter().zip(&sums);
        own + wishes.map(|(wish, sum)| wish.value(*sum)).sum::<f64>() - (self.charge)(taken)
    }

    fn meet(&self, taken: &[u32], found: &mut Proved) {
        let value = self.plan_value(taken);
        if value > found.value {
            found.value = value;
            found.best = Some(taken.to_vec());
        }
    }

    /// Lowers the bound of a node; tells by place and column how often it was the best.
    fn relax(&self, node: &mut Node, steps: usize, found: &mut Proved) -> Vec<Vec<(u32, f64)>> {
        let mut now = node.prices.clone();
        let mut reach = 1.0;
        let mut stale = 0;
        let mut best = f64::INFINITY;
        let mut direction = vec![0.0; now.len()];
        let mut seen: Vec<Vec<(u32, f64)>> = vec![Vec::new(); node.lists.len()];
        let mut taken = vec![0; node.lists.len()];
        for step in 0..steps {
            let mut bound = self.slack(&now);
            let mut slope = self.fall(&now);
            for (place, list) in node.lists.iter().enumerate() {
                let mut most = f64::NEG_INFINITY;
                for at in list {
                    let worth = self.columns[place][*at as usize].priced(&now);
                    if worth > most {
                        most = worth;
                        taken[place] = *at;
                    }
                }
                bound += most;
                for (wish, amount) in &self.columns[place][taken[place] as usize].amounts {
                    slope[*wish as usize] += amount;
                }
                let weight = 1.0 + step as f64;
                match seen[place].iter_mut().find(|(at, _)| *at == taken[place]) {
                    Some((_, sum)) => *sum += weight,
                    None => seen[place].push((taken[place], weight)),
                }
            }
            self.meet(&taken, found);
            if bound < best - 1e-9 * bound.abs() {
                best = bound;
                node.prices.clone_from(&now);
                stale = 0;
            } else {
                stale += 1;
                if stale >= 3 {
                    stale = 0;
                    reach *= 0.5;
                    now.clone_from(&node.prices);
                }
            }
            if best <= self.goal(found.value) {
                break;
            }
            let mut length = 0.0;
            for (at, (along, slope)) in direction.iter_mut().zip(&slope).enumerate() {
                *along = 0.4 * *along + 0.6 * slope;
                let (low, high) = self.range(at);
                let price = &now[at];
                let stuck = (*price <= low && *along > 0.0) || (*price >= high && *along < 0.0);
                if !stuck {
                    length += *along * *along;
                }
            }
            if length <= 0.0 {
                break;
            }
            let size = reach * (bound - found.value).max(0.0) / length;
            for (at, (price, along)) in now.iter_mut().zip(&direction).enumerate() {
                let (low, high) = self.range(at);
                *price = (*price - size * along).clamp(low, high);
            }
        }
        node.bound = node.bound.min(best);
        seen
    }

    /// By wish: what prices and faces leave of its worth; below nothing if they take more.
    fn left(&self, prices: &[f64]) -> Vec<f64> {
        let wishes = self.wishes;
        let mut left: Vec<f64> =
            wishes.iter().zip(prices).map(|(wish, price)| wish.worth - price).collect();
        for (face, weight) in self.faces.iter().zip(&prices[wishes.len()..]) {
            left[face.wish as usize] -= weight;
        }
        left
    }

    /// What the wishes are worth by themselves.
    fn slack(&self, prices: &[f64]) -> f64 {
        let wishes = self.wishes;
        let left = self.left(prices);
        let faces = self.faces.iter().zip(&prices[wishes.len()..]);
        wishes.iter().zip(left).map(|(wish, left)| left.max(0.0) * wish.wanted).sum::<f64>()
            + faces.map(|(face, weight)| weight * face.at_none).sum::<f64>()
    }

    /// What a unit of each weight changes in that.
    fn fall(&self, prices: &[f64]) -> Vec<f64> {
        let wishes = self.wishes;
        let left = self.left(prices);
        let taken = |wish: usize| if left[wish] > 0.0 { wishes[wish].wanted } else { 0.0 };
        let faces = self.faces.iter().map(|face| face.at_none - taken(face.wish as usize));
        (0..wishes.len()).map(|wish| -taken(wish)).chain(faces).collect()
    }

    /// The lowest and the highest weight of a wish or face.
    fn range(&self, at: usize) -> (f64, f64) {
        let wishes = self.wishes;
        let (low, high) = match at.checked_sub(wishes.len()) {
            None => wishes[at].prices(),
            Some(face) => (0.0, wishes[self.faces[face].wish as usize].worth),
        };
        (low.min(high), high)
    }

    /// Takes out columns that cannot be part of a plan better than the one known.
    fn drop_hopeless(&self, node: &mut Node, value: f64) {
        let slack = self.slack(&node.prices);
        let most: Vec<f64> = node
            .lists
            .iter()
            .zip(self.columns)
            .map(|(list, columns)| {
                list.iter()
                    .map(|at| columns[*at as usize].priced(&node.prices))
                    .fold(f64::NEG_INFINITY, f64::max)
            })
            .collect();
        let spare = slack + most.iter().sum::<f64>() - value;
        for (place, list) in node.lists.iter_mut().enumerate() {
            let columns = &self.columns[place];
            list.retain(|at| {
                most[place] - columns[*at as usize].priced(&node.prices) <= spare - 1e-10
            });
        }
    }

    fn look_at_each(&self, node: &Node, found: &mut Proved) {
        let mut at = vec![0; node.lists.len()];
        loop {
            let taken: Vec<u32> = node.lists.iter().zip(&at).map(|(list, at)| list[*at]).collect();
            self.meet(&taken, found);
            let Some(place) = (0..at.len()).find(|place| at[*place] + 1 < node.lists[*place].len())
            else {
                return;
            };
            at[place] += 1;
            at[..place].fill(0);
        }
    }

    /// Two nodes from one: a place serves a wish, or it does not. The pair is taken on which the
    /// descent was least decided.
    fn part(&self, node: &Node, seen: &[Vec<(u32, f64)>]) -> [Vec<Vec<u32>>; 2] {
        let mut chosen: Option<(f64, usize, u32)> = None;
        let faces_from = u32::try_from(self.wishes.len()).unwrap_or(u32::MAX);
        for (place, seen) in seen.iter().enumerate() {
            let all: f64 = seen.iter().map(|(_, weight)| weight).sum();
            let mut served: Vec<(u32, f64)> = seen
                .iter()
                .flat_map(|(at, weight)| {
                    let amounts = &self.columns[place][*at as usize].amounts;
                    let wished = amounts.iter().filter(|(wish, _)| *wish < faces_from);
                    wished.map(move |(wish, _)| (*wish, weight / all))
                })
                .collect();
            served.sort_by_key(|(wish, _)| *wish);
            for run in served.chunk_by(|a, b| a.0 == b.0) {
                let share: f64 = run.iter().map(|(_, share)| share).sum();
                let decided = (share - 0.5).abs();
                if chosen.is_none_or(|(least, ..)| decided < least - 1e-9) {
                    chosen = Some((decided, place, run[0].0));
                }
            }
        }
        if let Some((_, place, wish)) = chosen.filter(|(decided, ..)| *decided < 0.49) {
            let serves = |at: &u32| {
                self.columns[place][*at as usize].amounts.iter().any(|(known, _)| *known == wish)
            };
            let (with, without): (Vec<u32>, Vec<u32>) =
                node.lists[place].iter().partition(|at| serves(at));
            if !with.is_empty() && !without.is_empty() {
                return [replaced(&node.lists, place, with), replaced(&node.lists, place, without)];
            }
        }
        // All decided: the longest list is cut in two by worth.
        let longest = (0..node.lists.len()).rev().max_by_key(|place| node.lists[*place].len());
        let place = longest.unwrap_or(0);
        let mut list = node.lists[place].clone();
        list.sort_by(|a, b| {
            let priced = |at: &u32| self.columns[place][*at as usize].priced(&node.prices);
            priced(b).total_cmp(&priced(a)).then(a.cmp(b))
        });
        let rest = list.split_off(list.len().div_ceil(4));
        [replaced(&node.lists, place, list), replaced(&node.lists, place, rest)]
    }
}

/// The weights in one row: wishes, then faces.
pub(super) fn prices_of(weights: &Weights) -> Vec<f64> {
    weights.prices.iter().chain(&weights.faces).copied().collect()
}

fn is_few(node: &Node) -> bool {
    let product = node.lists.iter().fold(1_usize, |all, list| all.saturating_mul(list.len()));
    product <= FEW
}

fn replaced(lists: &[Vec<u32>], place: usize, list: Vec<u32>) -> Vec<Vec<u32>> {
    let mut lists = lists.to_vec();
    lists[place] = list;
    lists
}
