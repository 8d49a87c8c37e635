//! The last step of a proof: what could still be better, listed and branched over.

use super::bound::{Descent, Relaxation};
use super::prove::{Column, Lists, prices_of};
use super::search::{Search, Working};
use super::solver::Effort;
use super::threads::side_by_side;
use super::value::{Plan, neighbour_charges};

/// Branches over all sequences that could still be part of a better plan, if they are few; the bound
/// that leaves. A better plan met on the way is kept.
pub(super) fn prove(
    search: &Search<'_>,
    relaxation: &Relaxation<'_>,
    descent: &Descent,
    best: &mut Working,
    effort: &Effort,
) -> Option<f64> {
    let known = best.value;
    let gap = descent.best.bound - known;
    if effort.nodes == 0 || gap <= effort.enough * best.value.abs() {
        return None;
    }
    let weights = &descent.best.weights;
    let faces = &descent.faces;
    let prices = prices_of(weights);
    let columns = side_by_side(search.problems.len(), |place| {
        let worths = relaxation.worths(place, weights, faces);
        let least = descent.best.paths[place].at_most - gap - 1e-9 * gap.abs().max(1.0);
        let paths = search.problems[place].all_worth(&worths, least, effort.listed)?;
        let kept = paths.into_iter().filter_map(|path| {
            let totals = search.totals(place, &path)?;
            let column = Column::new(path, &totals, place, relaxation.served, faces);
            (column.priced(&prices) >= least).then_some(column)
        });
        Some(kept.collect::<Vec<_>>())
    });
    let columns = columns.into_iter().collect::<Option<Vec<_>>>()?;
    // A place without a sequence that a better plan could hold: there is no better plan.
    if columns.iter().any(Vec::is_empty) {
        return Some(known);
    }
    let plan_of = |taken: &[u32]| Plan {
        paths: columns
            .iter()
            .zip(taken)
            .map(|(columns, at)| columns[*at as usize].path.clone())
            .collect(),
    };
    let charge = |taken: &[u32]| {
        if search.instance.neighbours.is_empty() {
            return 0.0;
        }
        neighbour_charges(search.instance, &plan_of(taken))
    };
    let lists = Lists {
        wishes: &search.instance.wishes,
        columns: &columns,
        faces,
        charge: &charge,
        enough: effort.enough,
    };
    let proved = lists.search(weights, known, effort.nodes);
    if let Some(better) = proved.best.and_then(|taken| search.take(plan_of(&taken)))
        && better.value > best.value
    {
        *best = better;
    }
    Some(proved.bound)
}
