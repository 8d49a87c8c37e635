//! The steps that `compare.py` measures, each a run of its own: making gardens, the bare reading
//! of a CSV file, reading with all checks, the bare reading of a table.
//!
//! `cargo run --release --example workload -- generate FOLDER BEDS ROWS SEED`
#![expect(clippy::print_stdout, clippy::disallowed_methods, reason = "a tool for measuring")]

mod generated;

use std::fs::File;
use std::hint::black_box;
use std::io::{BufWriter, Write};
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use breakcrop::advise::follow_when_free;
use breakcrop::assess::{Proposal, assess};
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::{BedNames, Lookup, Place, RecordKind};
use breakcrop::season::iso_day;
use breakcrop::state::BedState;
use breakcrop::store::Store;
use breakcrop::tabular::{Problems, scan_stream};
use breakcrop::view::{Phrases, beds_page};
use generated::{CLIMATE, Numbers, SITE, Size};

type Outcome = Result<(), Box<dyn std::error::Error>>;

fn main() -> Outcome {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match arguments[..] {
        ["generate", folder, beds, rows, seed] => {
            let size = Size { beds: beds.parse()?, rows: rows.parse()? };
            generate(Path::new(folder), size, seed.parse()?)
        }
        ["lines", gardens, beds, rows, seed] => {
            let size = Size { beds: beds.parse()?, rows: rows.parse()? };
            lines(gardens.parse()?, size, seed.parse()?)
        }
        ["bare", file] => bare(Path::new(file)),
        ["check", folder] => check(Path::new(folder)),
        ["select", file] => select(Path::new(file)),
        ["answer", file, "beds"] => beds(Path::new(file)),
        ["answer", file, "follow", bed] => follow_bed(Path::new(file), bed),
        ["assess", file] => judge(Path::new(file)),
        ["nothing"] => Ok(()),
        _ => Err("generate FOLDER BEDS ROWS SEED | lines GARDENS BEDS ROWS SEED | bare FILE | \
                  check FOLDER | select FILE | answer FILE beds | answer FILE follow BED | \
                  assess FILE | nothing"
            .into()),
    }
}

fn generate(folder: &Path, size: Size, seed: u64) -> Outcome {
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("site.csv"), SITE)?;
    std::fs::write(folder.join("climate.csv"), CLIMATE)?;
    let open = |name: &str| File::create(folder.join(name)).map(BufWriter::new);
    let mut file = open("beds.csv")?;
    generated::beds(&mut file, size)?;
    file.flush()?;
    let (mut file, mut observed) = (open("plantings.csv")?, open("observations.csv")?);
    generated::plantings(&mut file, &mut observed, size, &mut Numbers::new(seed))?;
    file.flush()?;
    observed.flush()?;
    Ok(())
}

fn lines(gardens: u64, size: Size, seed: u64) -> Outcome {
    let mut out = BufWriter::new(std::io::stdout().lock());
    let mut numbers = Numbers::new(seed);
    for id in 0..gardens {
        writeln!(out, "{}", generated::json_line(id, size, &mut numbers))?;
    }
    out.flush()?;
    Ok(())
}

/// The CSV reader alone.
fn bare(file: &Path) -> Outcome {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_path(file)?;
    let (mut record, mut rows, mut bytes) = (csv::ByteRecord::new(), 0_u64, 0);
    while reader.read_byte_record(&mut record)? {
        rows += 1;
        bytes += record.as_slice().len();
    }
    println!("{rows} rows, {bytes} bytes of fields");
    Ok(())
}

/// Reading and checking every row, writing nothing.
fn check(folder: &Path) -> Outcome {
    let knowledge = Knowledge::embedded();
    let mut problems = Problems::default();
    let mut beds = BedNames::default();
    let mut rows = 0_u64;
    for kind in [RecordKind::Beds, RecordKind::Plantings] {
        let name = format!("{}.csv", kind.word());
        let stream = File::open(folder.join(&name))?;
        let file: Arc<str> = Arc::from(name);
        let known = beds.clone();
        let lookup = Lookup::new(&knowledge, &known);
        scan_stream(&file, stream, kind.columns(), &mut problems, |cells| {
            rows += u64::from(kind.read(cells, &lookup).is_some());
            if kind == RecordKind::Beds {
                beds.add(cells.text("bed").unwrap_or_default());
            }
        })?;
    }
    println!("{rows} rows, {} problems", problems.list.len());
    Ok(())
}

/// The work of `beds`: reading the tables and all records, then the page. Prints the milliseconds of
/// the one and of the other.
fn beds(file: &Path) -> Outcome {
    let begun = Instant::now();
    let knowledge = Knowledge::embedded();
    let garden = Store::open(file)?.garden(&knowledge)?;
    let read = begun.elapsed();
    let policy = Policy::default();
    let today = iso_day("2026-10-12").ok_or("a day")?;
    let places = garden.beds.iter().flat_map(|bed| garden.places(&bed.name));
    let states: Vec<BedState<'_>> =
        places.map(|place| BedState::at(&garden, &knowledge, &policy, &place, today)).collect();
    black_box(beds_page(Phrases::new(&knowledge), &garden, &states, today));
    told(read, begun.elapsed().saturating_sub(read));
    Ok(())
}

/// The work of `follow`: reading the tables and the records of one bed side by side, then the ranking.
fn follow_bed(file: &Path, bed: &str) -> Outcome {
    let begun = Instant::now();
    let knowledge = Knowledge::embedded();
    let one = std::thread::scope(|scope| {
        scope.spawn(|| knowledge.read_ahead());
        Store::open(file)?.into_one_bed(&knowledge, &[bed])
    })?;
    let garden = one.ok_or("no such bed")?.garden;
    let read = begun.elapsed();
    let policy = Policy::default();
    let today = iso_day("2026-10-12").ok_or("a day")?;
    black_box(follow_when_free(&knowledge, &policy, &garden, &Place::whole(bed), today));
    told(read, begun.elapsed().saturating_sub(read));
    Ok(())
}

fn told(read: Duration, reckoned: Duration) {
    let milliseconds = |time: Duration| time.as_secs_f64() * 1e3;
    println!("{:.3} {:.3}", milliseconds(read), milliseconds(reckoned));
}

/// Every crop proposed in turn for the bed with the most plantings. Prints the microseconds of one
/// judgment, the least of some rounds, so that other work on the machine bears less.
fn judge(file: &Path) -> Outcome {
    let knowledge = Knowledge::embedded();
    let garden = Store::open(file)?.garden(&knowledge)?;
    let policy = Policy::default();
    let today = iso_day("2026-10-12").ok_or("a day")?;
    let plantings =
        |bed: &str| garden.plantings.iter().filter(|planting| *planting.place.bed == *bed).count();
    let bed = garden.beds.iter().max_by_key(|bed| plantings(&bed.name)).ok_or("no bed")?;
    let state = BedState::at(&garden, &knowledge, &policy, &Place::whole(&bed.name), today);
    let count = knowledge.crops.iter().count();
    let mut least = f64::INFINITY;
    for _ in 0..30 {
        let begun = Instant::now();
        for (crop, _) in knowledge.crops.iter() {
            black_box(assess(&knowledge, &policy, &state, &Proposal::of(crop, today)));
        }
        least = least.min(begun.elapsed().as_secs_f64() * 1e6 / count as f64);
    }
    println!("{least:.2} us, {count} crops on bed {}", bed.name);
    Ok(())
}

/// The columns that the audit of plantings needs, bed by bed.
fn select(file: &Path) -> Outcome {
    let connection =
        rusqlite::Connection::open_with_flags(file, rusqlite::OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    let mut statement = connection.prepare(
        "SELECT bed_id, section, crop_id, variety, rootstock, resistance, method, planted, \
         removed, plants, area_m2, residue, file_id, line FROM plantings ORDER BY bed_id, planted",
    )?;
    let mut rows = statement.query([])?;
    let (mut count, mut sum) = (0_u64, 0_i64);
    while let Some(row) = rows.next()? {
        count += 1;
        sum = sum.wrapping_add(row.get::<_, i64>(0)?).wrapping_add(row.get::<_, i64>(2)?);
        sum = sum.wrapping_add(row.get::<_, i64>(7)?);
        sum = sum.wrapping_add(row.get::<_, Option<i64>>(8)?.unwrap_or(0));
        for at in [1, 3, 4, 5, 6, 11] {
            sum = sum.wrapping_add(
                row.get_ref(at)?
                    .as_str_or_null()?
                    .map_or(0, |text| i64::try_from(text.len()).unwrap_or(0)),
            );
        }
        sum = sum.wrapping_add(row.get::<_, Option<i64>>(9)?.unwrap_or(0));
        sum = sum.wrapping_add(i64::from(row.get::<_, Option<f64>>(10)?.is_some()));
        sum = sum.wrapping_add(row.get::<_, i64>(12)?).wrapping_add(row.get::<_, i64>(13)?);
    }
    println!("{count} rows, sum {sum}");
    Ok(())
}
