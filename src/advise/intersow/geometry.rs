//! Where stems stand in a bed and where seed may go between them: plane geometry in centimetres,
//! from the corner at the beginning of the first row.
//!
//! Stems stand in rows along the long side, rows and plants centred in the bed. Seed goes into
//! lines along the rows: midway between two rows, as many lines as the corridor outside the
//! distance holds; along both edges; and in the crop's own rows where the plants leave room. What
//! lies within the distance of a stem, or within the margin of the edge, gets no seed.

/// A place in the bed, cm.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Spot {
    /// Along the rows.
    pub x: f64,
    /// Across the rows.
    pub y: f64,
}

impl Spot {
    /// Distance to another, cm.
    #[must_use]
    pub fn to(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// A bed with what stands in it, cm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Along the rows.
    pub length: f64,
    /// Across the rows.
    pub width: f64,
    /// Between rows.
    pub row_spacing: f64,
    /// Between plants in the row.
    pub plant_spacing: f64,
    /// Plants counted; `None` for as many as the spacing gives.
    pub plants: Option<usize>,
}

/// How seed is laid out, cm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sowing {
    /// Kept free about each stem.
    pub distance: f64,
    /// Kept free along the edge of the bed.
    pub margin: f64,
    /// Between lines of seed.
    pub between_lines: f64,
    /// Between seeds in the line.
    pub between_seeds: f64,
}

/// Areas of a bed, m2: they add up to the bed.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Areas {
    /// The bed.
    pub bed: f64,
    /// Within the distance of a stem.
    pub about_stems: f64,
    /// Free for seed.
    pub free: f64,
}

/// A line of seed.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct SeedLine {
    /// Across the rows, cm.
    pub y: f64,
    /// Along the line, cm.
    pub seeds: Vec<f64>,
}

/// Stems, seed and areas.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// The bed.
    pub ground: Ground,
    /// How seed is laid.
    pub sowing: Sowing,
    /// Stems, row by row.
    pub stems: Vec<Spot>,
    /// Lines of seed, from the first edge to the other; empty ones left out.
    pub lines: Vec<SeedLine>,
    /// Areas.
    pub areas: Areas,
}

/// Whole number of times a length goes into another, one at least.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "bounded to a thousand, and not negative"
)]
fn times(length: f64, into: f64) -> usize {
    // A hair's breadth of rounding must not cost a row.
    ((into / length.max(0.5) + 1e-9).floor().clamp(1.0, 1000.0)) as usize
}

impl Ground {
    /// Where the stems stand: as many rows as the width holds, the outer ones a quarter of their
    /// spacing from the edge at least; plants counted fill them evenly,
    /// the first rows taking those left over, closer than their spacing if they must.
    #[must_use]
    pub fn stems(&self) -> Vec<Spot> {
        let most_rows = standing_in(self.row_spacing, self.width);
        let in_row = standing_in(self.plant_spacing, self.length);
        let plants = self.plants.unwrap_or(most_rows * in_row);
        let rows = plants.div_ceil(in_row).clamp(1, most_rows);
        let first_y = (self.width - (rows as f64 - 1.0) * self.row_spacing) / 2.0;
        let mut stems = Vec::with_capacity(plants);
        for row in 0..rows {
            let here = plants / rows + usize::from(row < plants % rows);
            let step = if here > in_row { self.length / here as f64 } else { self.plant_spacing };
            let first_x = (self.length - (here as f64 - 1.0).max(0.0) * step) / 2.0;
            let y = first_y + row as f64 * self.row_spacing;
            stems.extend((0..here).map(|at| Spot { x: first_x + at as f64 * step, y }));
        }
        stems
    }
}

/// How many stand side by side at a spacing, the outer ones a quarter of it from the edge at least.
fn standing_in(spacing: f64, length: f64) -> usize {
    let inner = length - spacing / 2.0;
    if inner <= 0.0 { 1 } else { times(spacing, inner + spacing) }
}

impl Layout {
    /// Lays seed out between stems.
    #[must_use]
    pub fn new(ground: Ground, sowing: Sowing) -> Self {
        let stems = ground.stems();
        let mut across = lines_across(&ground, &sowing, &stems);
        across.sort_by(f64::total_cmp);
        across.dedup_by(|one, other| (*one - *other).abs() < 1.0);
        let along = evenly(sowing.margin, ground.length - sowing.margin, sowing.between_seeds);
        let lines = across
            .into_iter()
            .map(|y| SeedLine {
                y,
                seeds: along
                    .iter()
                    .copied()
                    .filter(|x| {
                        let spot = Spot { x: *x, y };
                        stems.iter().all(|stem| stem.to(spot) >= sowing.distance)
                    })
                    .collect(),
            })
            .filter(|line| !line.seeds.is_empty())
            .collect();
        let areas = areas(&ground, sowing.distance, &stems);
        Self { ground, sowing, stems, lines, areas }
    }

    /// Number of seeds, or of spots for pinches of small seed.
    #[must_use]
    pub fn seeds(&self) -> usize {
        self.lines.iter().map(|line| line.seeds.len()).sum()
    }

    /// Every place of seed.
    pub fn spots(&self) -> impl Iterator<Item = Spot> {
        self.lines.iter().flat_map(|line| line.seeds.iter().map(|x| Spot { x: *x, y: line.y }))
    }
}

/// Places evenly apart between two ends, centred; none where the ends have crossed.
fn evenly(from: f64, to: f64, apart: f64) -> Vec<f64> {
    if to < from {
        return Vec::new();
    }
    let steps = times(apart, to - from + apart) - 1;
    let first = from + (to - from - steps as f64 * apart) / 2.0;
    (0..=steps).map(|step| first + step as f64 * apart).collect()
}

/// Lines of seed across the bed.
fn lines_across(ground: &Ground, sowing: &Sowing, stems: &[Spot]) -> Vec<f64> {
    let mut rows: Vec<f64> = stems.iter().map(|stem| stem.y).collect();
    rows.sort_by(f64::total_cmp);
    rows.dedup_by(|one, other| (*one - *other).abs() < 0.5);
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
        return evenly(sowing.margin, ground.width - sowing.margin, sowing.between_lines);
    };
    let (distance, apart) = (sowing.distance, sowing.between_lines);
    // A line along either edge, more where the crop stands far from it.
    let mut lines = evenly_from(sowing.margin, first - distance, apart);
    lines.extend(
        evenly_from(sowing.margin, ground.width - last - distance, apart)
            .into_iter()
            .map(|y| ground.width - y),
    );
    for pair in rows.windows(2) {
        lines.extend(evenly(pair[0] + distance, pair[1] - distance, apart));
    }
    // The crop's own rows: seed only where plants leave room.
    lines.extend(rows.iter().copied());
    lines.retain(|y| *y >= sowing.margin - 1e-9 && *y <= ground.width - sowing.margin + 1e-9);
    lines
}

/// Places from one end on, the first at the end itself; none where the ends have crossed.
fn evenly_from(from: f64, to: f64, apart: f64) -> Vec<f64> {
    if to < from - 1e-9 {
        return Vec::new();
    }
    let steps = times(apart, (to - from).max(0.0) + apart) - 1;
    (0..=steps).map(|step| from + step as f64 * apart).collect()
}

/// Area within a distance of any stem, by strips half a centimetre wide, and the rest.
fn areas(ground: &Ground, distance: f64, stems: &[Spot]) -> Areas {
    const STRIP_CM: f64 = 0.5;
    const CM2_IN_M2: f64 = 10_000.0;
    let strips = times(STRIP_CM, ground.width);
    let wide = ground.width / strips as f64;
    let mut taken = 0.0;
    for strip in 0..strips {
        let y = (strip as f64 + 0.5) * wide;
        let mut spans: Vec<(f64, f64)> = stems
            .iter()
            .filter_map(|stem| {
                let off = (stem.y - y).abs();
                (off < distance).then(|| {
                    let half = (distance * distance - off * off).sqrt();
                    ((stem.x - half).max(0.0), (stem.x + half).min(ground.length))
                })
            })
            .filter(|(from, to)| to > from)
            .collect();
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut reached = 0.0_f64;
        for (from, to) in spans {
            taken += (to - from.max(reached)).max(0.0) * wide;
            reached = reached.max(to);
        }
    }
    let bed = ground.length * ground.width / CM2_IN_M2;
    let about_stems = (taken / CM2_IN_M2).min(bed);
    Areas { bed, about_stems, free: bed - about_stems }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Ten peppers at 60 by 45 cm in 2.4 by 1.2 m, 25 cm kept free.
    fn peppers() -> Layout {
        let ground = Ground {
            length: 240.0,
            width: 120.0,
            row_spacing: 60.0,
            plant_spacing: 45.0,
            plants: Some(10),
        };
        let sowing =
            Sowing { distance: 25.0, margin: 5.0, between_lines: 15.0, between_seeds: 9.0 };
        Layout::new(ground, sowing)
    }

    #[test]
    fn ten_peppers_by_hand() {
        let layout = peppers();
        // Two rows of five: (120 - 30) / 60 = 1.5, and one; (240 - 22.5) / 45 = 4.8, and one;
        // centred at 30 and 90, from 30 to 210.
        assert_eq!(layout.stems.len(), 10);
        assert_eq!(layout.stems[0], Spot { x: 30.0, y: 30.0 });
        assert_eq!(layout.stems[9], Spot { x: 210.0, y: 90.0 });
        // Lines at 5 (30 - 25), 60 (the corridor from 55 to 65) and 115. In the rows themselves
        // 45 cm leave 22.5 on either side, less than 25, and so do the ends.
        let lines: Vec<f64> = layout.lines.iter().map(|line| line.y).collect();
        assert_eq!(lines, [5.0, 60.0, 115.0]);
        // (240 - 2 x 5) / 9 = 25.6: 26 seeds a line, 78 in all.
        assert_eq!(layout.seeds(), 78);
        // Ten circles less eight lenses of two circles 45 cm apart.
        let lens =
            2.0 * 625.0 * (45.0_f64 / 50.0).acos() - 22.5 * (4.0 * 625.0 - 45.0_f64 * 45.0).sqrt();
        let taken = (10.0 * std::f64::consts::PI * 625.0 - 8.0 * lens) / 10_000.0;
        assert!((layout.areas.about_stems - taken).abs() < 0.002, "{:?} {taken}", layout.areas);
        assert!((layout.areas.free - (2.88 - taken)).abs() < 0.002);
    }

    #[test]
    fn wide_rows_take_several_lines_and_close_ones_none() {
        let ground = Ground {
            length: 300.0,
            width: 150.0,
            row_spacing: 90.0,
            plant_spacing: 80.0,
            plants: None,
        };
        let sowing =
            Sowing { distance: 20.0, margin: 5.0, between_lines: 15.0, between_seeds: 10.0 };
        let wide = Layout::new(ground, sowing);
        assert!(wide.lines.len() > 3, "{:?}", wide.lines.len());
        let close =
            Layout::new(Ground { row_spacing: 15.0, plant_spacing: 10.0, ..ground }, sowing);
        assert_eq!(close.seeds(), 0);
        assert!(close.areas.free < 0.02 * close.areas.bed, "{:?}", close.areas);
    }

    proptest! {
        #[test]
        fn seed_keeps_its_distance_and_areas_close(
            length in 20.0..800.0_f64,
            width in 20.0..300.0_f64,
            row_spacing in 8.0..200.0_f64,
            plant_spacing in 4.0..150.0_f64,
            plants in proptest::option::of(1_usize..120),
            distance in 0.0..60.0_f64,
            margin in 0.0..15.0_f64,
            between_lines in 3.0..60.0_f64,
            between_seeds in 2.0..50.0_f64,
        ) {
            let ground = Ground { length, width, row_spacing, plant_spacing, plants };
            let layout =
                Layout::new(ground, Sowing { distance, margin, between_lines, between_seeds });
            if let Some(plants) = plants {
                prop_assert_eq!(layout.stems.len(), plants);
            }
            for stem in &layout.stems {
                prop_assert!(stem.x >= -1e-6 && stem.x <= length + 1e-6, "{:?}", stem);
                prop_assert!(stem.y >= -1e-6 && stem.y <= width + 1e-6, "{:?}", stem);
            }
            for spot in layout.spots() {
                prop_assert!(spot.x >= margin - 1e-6 && spot.x <= length - margin + 1e-6);
                prop_assert!(spot.y >= margin - 1e-6 && spot.y <= width - margin + 1e-6);
                for stem in &layout.stems {
                    prop_assert!(stem.to(spot) >= distance - 1e-9);
                }
            }
            let areas = layout.areas;
            prop_assert!((areas.bed - length * width / 10_000.0).abs() < 1e-9);
            prop_assert!((areas.about_stems + areas.free - areas.bed).abs() < 1e-9);
            prop_assert!(areas.free >= 0.0 && areas.about_stems >= 0.0);
        }
    }
}
