//! The nutrient ledger of a place: N, P and K in g/m2, month by month.
//!
//! Four pools ([`Pool`]) and the flows between them ([`Flow`]); three columns ([`Spread`]) that are
//! never mixed, so that every month closes in each: opening + inflows - outflows = closing.
//!
//! | flow | from, to | figure |
//! |---|---|---|
//! | mineralised | reserve, available | `pan_model` rows `som_n` by percent of organic matter, in thermal time |
//! | amended, released | outside, fresh, available | amendments `pan_year1`, `pan_year2`, then halving |
//! | fixed | outside, crop | `cover_figures`: `ndfa_percent` |
//! | taken up | available, crop | totals at the yield written, along an S-curve |
//! | harvested | crop, outside | harvests by `crop_figures`: `*_removed_kg_per_t` |
//! | returned, released | crop, fresh, available | line of `pan_model` by percent N; `n_credits`: `residue_credit` |
//! | tied up | available, reserve | the same line below 1.5 % N |
//! | leached | available, outside | rain surplus over the water held (see [`Weather`]) |
//! | lost | available, outside | policy: gas and watering |
//! | set by test | outside, available | `soil_tests`; the check is kept as a value |
//!
//! Not booked, for want of figures a gardener could give: nitrogen in rain and
//! irrigation water, potassium washed out of sand, what weeds take, and seed.

mod books;
mod check;
mod fill;
mod growth;
mod ledger;
mod material;
mod need;
mod pan;
mod plan;
mod reader;
mod running;
mod site_year;
mod soil;
mod tie_up;
mod weather;

pub use books::{Account, Flow, Month, Nutrient, Pool, Posting, Spread, Stock};
pub use check::{SoilTestCheck, half_of_last_digit};
pub use fill::{Caution, Portion, portion};
pub use ledger::{Booked, Ledger, PhosphorusTest, Supply, Unbooked};
pub use material::{Load, Makeup, NotBooked, amount_for, makeup};
pub use need::{
    Need, NeedBasis, fixed_share, grown_by, need, nitrogen_in, removal, removed_per_kg,
    typical_yield,
};
pub use pan::{Series, plant_available, share_available};
pub use plan::{Feeding, feeding, response};
pub(crate) use running::RunningBooks;
pub use soil::{humus_nitrogen, humus_phosphorus, organic_nitrogen};
pub use tie_up::residue_ties_up;
pub use weather::{Weather, evaporation_mm, temperature_factor};
