//! Gardens of any size from a seed: the same seed gives the same text on every machine. They are
//! invented, and only as true to life as measuring needs: crops follow each other without
//! overlap, one planting in ten has a note, one in twelve an observation.

use std::fmt::Write as _;
use std::io::{self, Write};

/// Numbers that look random and are the same at every run.
#[derive(Clone, Debug)]
pub(crate) struct Numbers(u64);

impl Numbers {
    /// From a seed.
    #[must_use]
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x1f83_d9ab_fb41_bd6b)
    }

    /// The next number.
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut word = self.0;
        word = (word ^ (word >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        word = (word ^ (word >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        word ^ (word >> 31)
    }

    /// A number below `most`.
    pub(crate) fn below(&mut self, most: u64) -> u64 {
        self.next() % most.max(1)
    }

    /// One of a list.
    pub(crate) fn one_of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[usize::try_from(self.below(list.len() as u64)).unwrap_or(0)]
    }
}

/// Crop, least and most days it stands.
const CROPS: &[(&str, u64, u64)] = &[
    ("tomato", 90, 150),
    ("pepper", 100, 160),
    ("eggplant", 100, 150),
    ("potato", 80, 130),
    ("cabbage", 80, 150),
    ("broccoli", 70, 120),
    ("kale", 80, 200),
    ("radish", 25, 45),
    ("lettuce", 40, 80),
    ("carrot", 70, 120),
    ("celery", 100, 150),
    ("onion", 100, 200),
    ("leek", 120, 240),
    ("garlic", 200, 270),
    ("pea", 60, 100),
    ("snap_bean", 55, 90),
    ("beet", 60, 110),
    ("chard", 60, 200),
    ("spinach", 40, 80),
    ("cucumber", 60, 110),
    ("zucchini", 60, 120),
    ("sweet_corn", 70, 110),
    ("strawberry", 300, 700),
    ("cereal_rye", 150, 230),
    ("hairy_vetch", 150, 230),
    ("crimson_clover", 120, 200),
    ("buckwheat", 35, 60),
    ("courgette", 60, 120),
    ("swede", 90, 150),
    ("Swiss chard", 60, 200),
];

const SEEN: &[(&str, &str, &str)] = &[
    ("unknown", "leaves yellow from below", "light"),
    ("healthy", "", ""),
    ("healthy", "", ""),
    ("verticillium_dahliae", "wedge-shaped yellowing, droops at noon", "moderate"),
    ("sclerotinia_sclerotiorum", "white felt at the stem base", "trace"),
    ("plasmodiophora_brassicae", "clubbed roots", "severe"),
    ("unknown", "stunted, roots brown", "moderate"),
];

/// How large a garden is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Size {
    /// Beds.
    pub(crate) beds: u64,
    /// Plantings of each bed.
    pub(crate) rows: u64,
}

/// Site and climate, the same for all: a maritime garden.
pub(crate) const SITE: &str = "name,latitude,longitude,elevation_m,last_frost,first_frost\n\
    Wendlemere,52.1,0.4,40,04-28,10-24\n";
/// Its normals.
pub(crate) const CLIMATE: &str = "month,tmin_c,tmax_c,rain_mm,tmin_sd_c\n1,1.6,7.4,48,\n2,1.5,8.1,36,\n\
    3,2.9,10.8,36,\n4,4.4,14.0,40,\n5,7.3,17.3,47,\n6,10.2,20.3,50,\n7,12.4,22.9,50,\n\
    8,12.3,22.6,55,\n9,10.1,19.2,50,\n10,7.4,14.7,60,\n11,4.1,10.2,57,\n12,1.9,7.7,52,\n";

/// Writes `beds.csv`.
pub(crate) fn beds(out: &mut impl Write, size: Size) -> io::Result<()> {
    writeln!(out, "bed,kind,length_m,width_m,note")?;
    for bed in 1..=size.beds {
        writeln!(out, "B{bed},ground,{}.5,1.2,", 3 + bed % 5)?;
    }
    Ok(())
}

/// Writes `plantings.csv`, and the observations that go with it to `seen`.
pub(crate) fn plantings(
    out: &mut impl Write,
    seen: &mut impl Write,
    size: Size,
    numbers: &mut Numbers,
) -> io::Result<()> {
    writeln!(out, "bed,section,crop,variety,method,planted,removed,plants,area_m2,residue,note")?;
    writeln!(seen, "bed,section,date,crop,cause,symptom,extent,certainty,note")?;
    for bed in 1..=size.beds {
        // Ten plantings fill five years, more go further back.
        let mut day = 20_700 - i64::try_from(size.rows).unwrap_or(0) * 182
            + i64::try_from(numbers.below(120)).unwrap_or(0);
        for _ in 0..size.rows {
            let (crop, least, most) = *numbers.one_of(CROPS);
            let stands = i64::try_from(least + numbers.below(most - least)).unwrap_or(60);
            let (from, to) = (day, day + stands.min(170));
            day = to + i64::try_from(numbers.below(24)).unwrap_or(0);
            let method = *numbers.one_of(&["sown", "transplanted"]);
            let residue = *numbers.one_of(&["removed", "composted", "left", "dug_in", ""]);
            let variety = if numbers.below(3) == 0 { "early red" } else { "" };
            let note = match numbers.below(20) {
                0 => "\"wet corner, \"\"new\"\" seed\"",
                1 => "from saved seed",
                _ => "",
            };
            let (from, to) = (iso(from), iso(to));
            writeln!(
                out,
                "B{bed},,{crop},{variety},{method},{from},{to},{},{}.{},{residue},{note}",
                4 + numbers.below(40),
                1 + numbers.below(4),
                numbers.below(10),
            )?;
            if numbers.below(12) == 0 {
                let (cause, symptom, extent) = *numbers.one_of(SEEN);
                writeln!(seen, "B{bed},,{to},{crop},{cause},\"{symptom}\",{extent},field_check,")?;
            }
        }
    }
    Ok(())
}

/// A garden as one JSON line: `{"id": .., "files": {"plantings.csv": ..}}`.
#[must_use]
pub(crate) fn json_line(id: u64, size: Size, numbers: &mut Numbers) -> String {
    let (mut bed_rows, mut rows, mut seen) = (Vec::new(), Vec::new(), Vec::new());
    // Writing to memory cannot fail.
    let _ = beds(&mut bed_rows, size);
    let _ = plantings(&mut rows, &mut seen, size, numbers);
    let mut line = format!("{{\"id\":\"garden {id}\",\"bed\":\"B1\",\"files\":{{");
    let files = [
        ("site.csv", SITE.as_bytes()),
        ("climate.csv", CLIMATE.as_bytes()),
        ("beds.csv", &bed_rows),
        ("plantings.csv", &rows),
        ("observations.csv", &seen),
    ];
    for (at, (name, text)) in files.into_iter().enumerate() {
        let _ = write!(line, "{}\"{name}\":", if at == 0 { "" } else { "," });
        push_json(&mut line, &String::from_utf8_lossy(text));
    }
    line.push_str("}}");
    line
}

fn push_json(line: &mut String, text: &str) {
    line.push('"');
    for character in text.chars() {
        match character {
            '"' => line.push_str("\\\""),
            '\n' => line.push_str("\\n"),
            other => line.push(other),
        }
    }
    line.push('"');
}

/// The day of a number, counted from 1970-01-01, as the files have it.
#[must_use]
pub(crate) fn iso(days: i64) -> String {
    breakcrop::season::from_day_number(days).map_or_else(String::new, |day| day.to_string())
}
