//! From a mixture of sequences to a plan: the place that is nearest to decided is decided, the rest
//! answers, until none is left.

use super::bound::{Descent, Relaxation};
use super::random::Random;
use super::threads::side_by_side;
use super::value::Plan;

/// Answers of the open places after each decision.
const ANSWERS: usize = 3;
/// A share from which a place counts as decided.
const DECIDED: f64 = 0.999;

/// Dives from where a descent stands. The more noise, the less it follows the shares.
pub(super) fn dive(
    relaxation: &Relaxation<'_>,
    mut descent: Descent,
    caps: &[usize],
    noise: f64,
    random: &mut Random,
) -> Option<Plan> {
    let count = relaxation.problems.len();
    if !descent.master.solve() {
        return None;
    }
    let mut decided: Vec<Option<Vec<u32>>> = vec![None; count];
    while decided.iter().any(Option::is_none) {
        let open: Vec<usize> = (0..count).filter(|at| decided[*at].is_none()).collect();
        for _ in 0..ANSWERS {
            if !descent.answer(relaxation, &open, caps) {
                break;
            }
        }
        let mut nearest: Option<(f64, usize, usize)> = None;
        let mut sure = Vec::new();
        for at in open {
            let (column, share) = descent.master.most_taken(at)?;
            if share >= DECIDED {
                sure.push((at, column));
            }
            let share = share + noise * random.share();
            if nearest.is_none_or(|(most, ..)| share > most) {
                nearest = Some((share, at, column));
            }
        }
        if sure.is_empty() {
            let (_, at, column) = nearest?;
            sure.push((at, column));
        }
        for (at, column) in sure {
            decided[at] = Some(descent.master.path(column).to_vec());
            descent.master.decide(column);
        }
        if !descent.master.solve() {
            return None;
        }
    }
    Some(Plan { paths: decided.into_iter().collect::<Option<Vec<_>>>()? })
}

impl Descent {
    /// The best answers of some places to the master's weights, added to it; whether any was new.
    fn answer(&mut self, relaxation: &Relaxation<'_>, open: &[usize], caps: &[usize]) -> bool {
        let weights = relaxation.in_range(&self.master.weights(), self.faces.len());
        let paths = side_by_side(open.len(), |at| {
            let place = open[at];
            let worths = relaxation.worths(place, &weights, &self.faces);
            relaxation.problems[place].best(&worths, caps, self.known(place, &weights))
        });
        let mut any = false;
        for (at, path) in open.iter().zip(paths) {
            any |= path.worth.is_finite() && self.take(relaxation, *at, &path.choices);
        }
        any && self.master.solve()
    }
}
