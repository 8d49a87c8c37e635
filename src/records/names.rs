//! What to type for a name that is no crop's: several crops, bare ground, a name with more beside it.

use super::Lookup;

/// What to type instead, where a near name is not the answer; `None` leaves the near names.
pub(super) fn of_no_crop(written: &str, lookup: &Lookup<'_>) -> Option<String> {
    const BARE: [&str; 8] =
        ["bare", "empty", "fallow", "none", "nothing", "resting", "free", "compost"];
    if BARE.contains(&written.to_lowercase().as_str()) {
        return Some("where nothing stood no line is needed: delete this one".to_owned());
    }
    let parts = several(written);
    if parts.len() > 1 && parts.iter().all(|part| lookup.crop(part).is_ok()) {
        return Some(format!(
            "{} crops: write a line for each, with its part of the bed under `section`",
            parts.len()
        ));
    }
    if let Some(name) = without_brackets(written)
        && lookup.crop(&name).is_ok()
    {
        return Some(format!("write `{name}`; what stands in brackets belongs in the note"));
    }
    let is_near_none = lookup.crop(written).is_err_and(|near| near.is_empty());
    is_near_none.then(|| {
        "no table has it: another name may be known (`breakcrop reference find WORD`); else leave \
         the line out, or add the crop to tables of your own (`--tables`)"
            .to_owned()
    })
}

/// The names between `+`, `&`, `/`, commas and `and`.
fn several(written: &str) -> Vec<String> {
    let joined = written.replace(" and ", "+").replace(['&', '/', ','], "+");
    joined.split('+').map(|part| part.trim().to_owned()).filter(|part| !part.is_empty()).collect()
}

/// A name without what stands in brackets behind it.
fn without_brackets(written: &str) -> Option<String> {
    let (name, _) = written.split_once(['(', '['])?;
    Some(name.trim().to_owned()).filter(|name| !name.is_empty())
}
