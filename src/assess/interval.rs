//! What the published intervals on a pair come to.

use crate::knowledge::{Clears, CropId, IntervalRow, Knowledge, PathogenId, Situation, median};

/// Published years for a crop under a pathogen, all sources taken together.
#[derive(Clone, Debug)]
pub struct Spans<'k> {
    /// The rows, those that decide first.
    pub rows: Vec<&'k IntervalRow>,
    /// Shortest interval that a source holds to be sufficient.
    pub shortest: Option<f64>,
    /// Longest interval printed.
    pub longest: Option<f64>,
    /// Longest years printed for the crop itself, else for any: where none is held to be
    /// sufficient, these must at least be over.
    pub too_few: Option<f64>,
    /// Whether a source writes its interval for the crop itself, or lists it among those to keep
    /// out: then it holds the crop for a host.
    pub names_crop: bool,
    /// Whether a source says that waiting does not clear the bed, or that its years are a least.
    pub never_clears: bool,
}

impl<'k> Spans<'k> {
    /// The published intervals on a pair. Spacing on clean land is no wait after an outbreak, and
    /// years that a source found insufficient are none either; both stay visible in the rows.
    #[must_use]
    pub fn on(knowledge: &'k Knowledge, pathogen: PathogenId, crop: CropId) -> Self {
        let mut rows =
            knowledge.intervals.on(&knowledge.crops, &knowledge.pathogens, pathogen, crop);
        let usable = |row: &&IntervalRow| row.is_sufficient();
        let of_crop: Vec<f64> = rows
            .iter()
            .filter(|row| usable(row) && row.crop == Some(crop))
            .filter_map(|row| row.years_min)
            .collect();
        // Advice that lists the crop among those to keep out is nearer to it than advice that says
        // so of its family, and may ask for more: that comes before the shortest of the family.
        let listing: Vec<f64> = rows
            .iter()
            .filter(|row| usable(row) && row.avoid.contains(&crop))
            .filter_map(|row| row.years_min)
            .collect();
        let mut of_all: Vec<f64> =
            rows.iter().filter(|row| usable(row)).filter_map(|row| row.years_min).collect();
        let family = &knowledge.crops[crop].family;
        let is_named = rows.iter().any(|row| {
            row.crop.is_none_or(|of| of == crop)
                || row.avoid.contains(&crop)
                || row.avoid_families.contains(family)
        });
        // Advice written for the crop itself beats advice written for another crop that names it;
        // where there is only the latter, the spacing of the crop on clean land is its floor.
        let own = |row: &&&IntervalRow| row.crop == Some(crop);
        let spacing = rows
            .iter()
            .filter(own)
            .filter(|row| row.situation == Situation::CleanLand)
            .filter_map(|row| row.years_min)
            .max_by(f64::total_cmp);
        let shortest = if of_crop.is_empty() {
            // Where the crop is not so much as named, the years of the other hosts stand for it, and
            // the shortest of them may be that of a crop which bears more: the middle one counts.
            let shortest = if !listing.is_empty() && !rows.iter().any(|row| row.crop == Some(crop))
            {
                listing.into_iter().min_by(f64::total_cmp)
            } else if is_named {
                of_all.into_iter().min_by(f64::total_cmp)
            } else {
                median(&mut of_all)
            };
            shortest.map(|years| spacing.map_or(years, |spacing| spacing.max(years)))
        } else {
            of_crop.into_iter().min_by(f64::total_cmp)
        };
        let years = |row: &&IntervalRow| row.years_max.or(row.years_min);
        let longest = rows.iter().filter_map(years).max_by(f64::total_cmp);
        let too_few = rows.iter().filter(own).filter_map(years).max_by(f64::total_cmp).or(longest);
        let never_clears = rows.iter().any(|row| row.clears == Clears::No || row.open_ended);
        let names_crop = rows.iter().any(|row| row.crop == Some(crop) || row.avoid.contains(&crop));
        rows.sort_by(|a, b| {
            let key = |row: &IntervalRow| {
                let nearness = (row.crop != Some(crop), !row.avoid.contains(&crop), !row.enough);
                (nearness, row.years_min.unwrap_or(f64::INFINITY))
            };
            let (x, y) = (key(a), key(b));
            x.0.cmp(&y.0).then(x.1.total_cmp(&y.1))
        });
        Self { rows, shortest, longest, too_few, names_crop, never_clears }
    }
}
