//! What an amendment brings, and how much of a material brings what is wanted.

use super::books::{Nutrient, Spread};
use super::pan::{Series, shares_available, tied_up_by};
use crate::estimate::Estimate;
use crate::knowledge::{Build, Content, How, Knowledge, Part, PartBasis};
use crate::policy::Policy;
use crate::records::{Amendment, Amount};
use crate::units::{GramsPerSquareMetre, SquareMetres};

/// What a material brings for each gram of it as it is, and how its nitrogen comes free.
#[derive(Clone, Debug, PartialEq)]
pub struct Makeup {
    /// Grams of N, P and K in a gram.
    pub part: [Estimate; 3],
    /// How the nitrogen comes free.
    pub series: Series,
}

impl Makeup {
    /// Grams of a nutrient free to plants in the first year for each gram of material.
    #[must_use]
    pub fn free_in_year1(&self, nutrient: Nutrient) -> Estimate {
        let part = self.part[nutrient as usize];
        match nutrient {
            Nutrient::Nitrogen => part * self.series.year1.range(),
            Nutrient::Phosphorus | Nutrient::Potassium => part,
        }
    }
}

/// Grams of a material that bring so many grams of a nutrient, if it brings any: the printed form
/// of the question is pounds of product = pounds wanted / share.
///
/// ```
/// use breakcrop::estimate::Estimate;
/// use breakcrop::state::nutrients::amount_for;
/// // 2 lb P2O5 wanted of a product with 20 %: 10 lb (published worked example).
/// assert_eq!(amount_for(2.0, Estimate::exact(0.20)).unwrap().likely, 10.0);
/// ```
#[must_use]
pub fn amount_for(wanted: f64, share: Estimate) -> Option<Estimate> {
    (share.low > 0.0).then(|| share.map(|share| wanted / share))
}

/// What a material is made of by the tables; `None` if its nitrogen is not published or it has no
/// row.
#[must_use]
pub fn makeup(knowledge: &Knowledge, policy: &Policy, material: &str) -> Option<Makeup> {
    let content = knowledge.nutrients().content(material)?;
    let part =
        |part: Option<&Part>| part.map_or(Estimate::ZERO, |part| as_it_is(policy, content, part));
    let n_of_dry = n_of_dry(policy, content)?;
    let n = content.n.as_ref().map_or_else(
        || n_of_dry.map(|percent| percent / 100.0) * dry_share(policy, content),
        |n| part(Some(n)),
    );
    Some(Makeup {
        part: [n, part(content.p.as_ref()), part(content.k.as_ref())],
        series: series(knowledge, policy, material, content, n_of_dry),
    })
}

/// Dry matter in a gram of the material as it is.
fn dry_share(policy: &Policy, content: &Content) -> Estimate {
    let unknown = match (&*content.kind, content.build) {
        ("meal", _) => policy.dry_matter_of_meals,
        (_, Some(Build::Straw)) => policy.dry_matter_kept_dry,
        _ => policy.dry_matter_unknown,
    };
    let percent = content.dry_matter.as_ref().map_or(unknown, |dry| dry.value);
    percent.map(|percent| percent / 100.0)
}

/// Nitrogen in dry matter, percent: published, else worked out from carbon to nitrogen.
fn n_of_dry(policy: &Policy, content: &Content) -> Option<Estimate> {
    let over = |value: Estimate, by: Estimate| {
        Estimate::new(value.low / by.high, value.likely / by.likely, value.high / by.low)
    };
    let published = content.n.as_ref().map(|n| match n.basis {
        PartBasis::Dry => n.percent,
        PartBasis::AsItIs => over(n.percent, dry_share(policy, content)),
        // From all of it meant dry to all of it meant as it is.
        PartBasis::Unstated => {
            let as_it_is = over(n.percent, dry_share(policy, content));
            let likely = f64::midpoint(n.percent.likely, as_it_is.likely);
            Estimate::new(n.percent.low, likely, as_it_is.high)
        }
    });
    published.or_else(|| Some(over(policy.plant_carbon_percent, content.c_to_n.as_ref()?.value)))
}

/// Grams in a gram of the material as it is.
fn as_it_is(policy: &Policy, content: &Content, part: &Part) -> Estimate {
    let share = part.percent.map(|percent| percent / 100.0);
    let dry = dry_share(policy, content);
    match part.basis {
        PartBasis::AsItIs => share,
        PartBasis::Dry => share * dry,
        // From all of it meant dry to all of it meant as it is.
        PartBasis::Unstated => Estimate::new(
            share.low * dry.low,
            share.likely * f64::midpoint(dry.likely, 1.0),
            share.high,
        ),
    }
}

/// Animals of the manure table by words of the materials' names.
const ANIMALS: &[(&str, &str)] = &[
    ("beef", "cattle"),
    ("dairy", "cattle"),
    ("cattle", "cattle"),
    ("poultry", "poultry"),
    ("chicken", "poultry"),
    ("broiler", "poultry"),
    ("turkey", "poultry"),
    ("duck", "poultry"),
    ("goose", "poultry"),
    ("swine", "swine"),
    ("horse", "horse"),
    ("sheep", "sheep"),
];

/// The first year's share of matter that rots as straw, leaves and residues do, by the line from its
/// nitrogen: worked in, ground or cut small. `None` for other matter. A share that was read of the
/// material itself outweighs the line, a remembered one does where the line says that it gives.
fn by_the_line(knowledge: &Knowledge, content: &Content, n_of_dry: Estimate) -> Option<Spread> {
    let share = || shares_available(knowledge.nutrients().pan_line(), n_of_dry);
    let own = content.pan_year1.as_ref();
    match &*content.kind {
        "mulch" if own.is_none() => Some(share()),
        "mulch" | "plant" if own.is_none_or(|own| own.citation.how != How::Read) => {
            Some(share()).filter(|share| share.likely < 0.0)
        }
        _ => None,
    }
}

/// The yearly series: that of the line from nitrogen for what rots as residue does, else the
/// material's own published share, else the manure table's by animal, else by kind, with carbon to
/// nitrogen above 30 counted as what takes more than it gives.
fn series(
    knowledge: &Knowledge,
    policy: &Policy,
    material: &str,
    content: &Content,
    n_of_dry: Estimate,
) -> Series {
    let line = by_the_line(knowledge, content, n_of_dry);
    let lasting = matches!(content.build, Some(Build::Wood | Build::Leaves));
    let slow = match &*content.kind {
        "compost" | "manure_composted" | "manure_raw" => true,
        "mulch" => line.is_none() || lasting,
        _ => false,
    };
    let rate = if slow { policy.release_rate_slow } else { policy.release_rate_quick };
    let by_kind = match &*content.kind {
        "meal" => policy.pan_meal,
        "manure_raw" => policy.pan_manure_raw,
        "manure_composted" => policy.pan_manure_composted,
        "compost" => policy.pan_compost,
        "plant" => policy.pan_plant,
        "mineral" => policy.pan_mineral,
        _ => policy.pan_other,
    };
    let mut year1 = by_kind;
    let mut year2 = None;
    if let Some(share) = &content.pan_year1 {
        year1 = share.value;
    } else if content.c_to_n.as_ref().is_some_and(|ratio| ratio.value.low > 30.0) {
        year1 = policy.pan_carbon_rich;
    } else if &*content.kind == "manure_raw" {
        let dry = content.dry_matter.as_ref().is_none_or(|dry| dry.value.likely >= 18.0);
        let animal = ANIMALS.iter().find(|(word, _)| material.contains(word));
        if let Some((years, _)) =
            animal.and_then(|(_, animal)| knowledge.nutrients().manure_series(animal, dry))
        {
            year1 = Estimate::new(by_kind.low.min(years[0]), years[0], by_kind.high.max(years[0]));
            year2 = Some(Estimate::exact(years[1]));
        }
    }
    let year1 = line.unwrap_or_else(|| Spread::supply(year1));
    let year2 = year2.or_else(|| content.pan_year2.as_ref().map(|share| share.value)).map_or_else(
        || year1.positive().times(Spread::supply(policy.pan_second_of_first)),
        Spread::supply,
    );
    Series { year1, year2, rate }.bounded()
}

/// Whether an amendment was worked into the soil.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Laid {
    /// It was spread between what stood, so it lies on the soil.
    OnTheSoil,
    /// The record does not say.
    NotSaid,
}

/// What an amendment put on a square metre.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Grams of N, P and K a square metre.
    pub grams: [Estimate; 3],
    /// How the nitrogen comes free.
    pub series: Series,
}

/// Why an amendment could not be booked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NotBooked {
    /// No mass, volume or depth is written.
    NoAmount,
    /// Neither the record nor the tables say what it holds.
    NoAnalysis,
}

/// The load of an amendment over the ground it was spread on.
pub(super) fn load(
    knowledge: &Knowledge,
    policy: &Policy,
    amendment: &Amendment,
    ground: SquareMetres,
    laid: Laid,
) -> Result<Load, NotBooked> {
    let content = knowledge.nutrients().content(&amendment.material);
    let density = content
        .and_then(|content| content.bulk_density.as_ref())
        .map_or(policy.bulk_density_unknown, |density| density.value);
    let of_volume = |litres: f64| density.map(|density| density * litres / 1000.0);
    let kilograms = match amendment.amount {
        Amount::Mass(mass) => Estimate::exact(mass.0),
        Amount::Volume(volume) => of_volume(volume.0),
        Amount::Depth(depth) => of_volume(depth.over(ground).0),
        Amount::Unknown => return Err(NotBooked::NoAmount),
    };
    let published = makeup(knowledge, policy, &amendment.material);
    let own = [amendment.n, amendment.p, amendment.k];
    let mut part = [Estimate::ZERO; 3];
    for (at, slot) in part.iter_mut().enumerate() {
        *slot = match (own[at], &published) {
            (Some(percent), _) => Estimate::exact(percent.0 / 100.0),
            (None, Some(makeup)) => makeup.part[at],
            (None, None) if at == 0 => return Err(NotBooked::NoAnalysis),
            (None, None) => Estimate::ZERO,
        };
    }
    let mut series = match (amendment.n, content) {
        // What was analysed is as rich as its analysis says.
        (Some(percent), Some(content)) => {
            let dry = dry_share(policy, content);
            let n_of_dry =
                Estimate::new(percent.0 / dry.high, percent.0 / dry.likely, percent.0 / dry.low);
            series(knowledge, policy, &amendment.material, content, n_of_dry)
        }
        (_, None) => Series {
            year1: Spread::supply(policy.pan_other),
            year2: Spread::ZERO,
            rate: policy.release_rate_slow,
        }
        .bounded(),
        (None, Some(_)) => match published {
            Some(makeup) => makeup.series,
            None => return Err(NotBooked::NoAnalysis),
        },
    };
    series.year1 = tied_up_by(
        series.year1,
        match laid {
            Laid::OnTheSoil => policy.tie_up_lying,
            Laid::NotSaid => policy.tie_up_not_said,
        },
    );
    let grams = kilograms.map(|mass| GramsPerSquareMetre(mass * 1000.0 / ground.0.max(1e-6)).0);
    Ok(Load { grams: part.map(|part| part * grams), series })
}
