//! Who held the place before.

use crate::records::Planting;
use crate::season::Date;

/// Plantings cleared before the date within a month of the latest clearing, latest first;
/// volunteers are left out, since they are not what the bed was given to.
pub(super) fn predecessors<'g>(plantings: &[&'g Planting], date: Date) -> Vec<&'g Planting> {
    let mut gone: Vec<(Date, &Planting)> = plantings
        .iter()
        .filter(|planting| !planting.is_volunteer())
        .filter_map(|planting| planting.stood.end.map(|end| (end, *planting)))
        .filter(|(end, _)| *end <= date)
        .collect();
    gone.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.origin.cmp(&b.1.origin)));
    let Some(&(latest, _)) = gone.first() else {
        return Vec::new();
    };
    gone.into_iter()
        .take_while(|(end, _)| (latest - *end).num_days() <= 31)
        .map(|(_, planting)| planting)
        .collect()
}
