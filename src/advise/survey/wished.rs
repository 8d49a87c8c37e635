//! The crops wished for, and when each could next be started at the site.

use crate::assess::season::{Kind, normal_year, windows};
use crate::climate::Climate;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::records::{Garden, Wish};
use crate::season::Date;

/// A wished crop and its next start.
#[derive(Clone, Debug, PartialEq)]
pub struct WishStart {
    /// The crop.
    pub crop: CropId,
    /// The first good day on or after today; the first possible one where no day is good; `None`
    /// where the site's climate is not written or no day leads to a harvest.
    pub start: Option<Date>,
    /// The last day of that window.
    pub until: Option<Date>,
}

/// The wishes by crop, in the order written; a wish for nothing is none.
#[must_use]
pub fn wish_starts(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    climate: Option<&Climate<'_>>,
    today: Date,
) -> Vec<WishStart> {
    let mut crops: Vec<CropId> = Vec::new();
    for wish in garden.wishes.iter().filter(|wish| asks_for_something(wish)) {
        if !crops.contains(&wish.crop) {
            crops.push(wish.crop);
        }
    }
    let year = climate.map(|climate| normal_year(climate, policy, today));
    crops
        .into_iter()
        .map(|crop| {
            let window = year.as_ref().and_then(|year| {
                let found = windows(knowledge, policy, year, crop, Kind::Plain, None);
                let of = if found.good.is_empty() { found.possible } else { found.good };
                // A window that ends before it begins runs over the end of the year looked at: today
                // lies in it.
                let open = of.iter().find(|window| window.to < window.from || window.from <= today);
                match open {
                    Some(window) => Some((today, window.to)),
                    None => of.first().map(|window| (window.from, window.to)),
                }
            });
            WishStart {
                crop,
                start: window.map(|(start, _)| start),
                until: window.map(|(_, until)| until),
            }
        })
        .collect()
}

/// A wish for nought kilograms says that the crop is not wanted.
fn asks_for_something(wish: &Wish) -> bool {
    let mass = wish.mass.map(|mass| mass.0);
    let area = wish.area.map(|area| area.0);
    match (mass, area) {
        (None, None) => true,
        (mass, area) => mass.unwrap_or_default() > 0.0 || area.unwrap_or_default() > 0.0,
    }
}
