//! `new`: templates of the record files.

use std::fmt::Write as _;
use std::path::PathBuf;

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::records::RecordKind;
use crate::view::{Label, Line, Page};

/// Write commented templates of the record files into a folder
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  breakcrop new my-garden\n  (fill the files in)\n  breakcrop import my-garden"
)]
pub(in crate::cli) struct NewArgs {
    /// Folder to write to; made if it is not there
    folder: PathBuf,
}

/// One example row a file, of a garden that is nobody's.
fn example(kind: RecordKind) -> &'static str {
    match kind {
        RecordKind::Site => "my garden,51.5,-0.4,25,04-20,10-28",
        RecordKind::Climate => "1,2.9,8.5,58,",
        RecordKind::Weather => "2026-03-01,3.5,11.2,0.4",
        RecordKind::Beds => "long bed,ground,6,1.2,0,0,40,2024-01-01,",
        RecordKind::Plantings => {
            "long bed,,tomato,small red,,,transplanted,2026-05-20,2026-10-10,12,,60,45,composted,"
        }
        RecordKind::Observations => {
            "long bed,,2026-08-14,tomato,unknown,lower leaves yellow on one side,light,suspected,"
        }
        RecordKind::Harvests => "long bed,,2026-08-20,tomato,2.4,",
        RecordKind::Amendments => "long bed,,2026-03-15,compost,30,,,,,,",
        RecordKind::SoilTests => "long bed,,2026-02-20,6.6,4.1,,32,olsen,180,",
        RecordKind::Treatments => "long bed,,2026-07-01,2026-08-20,solarization,",
        RecordKind::Wishes => "tomato,20,,summer,",
        RecordKind::Exceptions => "family_interval,long bed,2026-12-31,no other bed is free",
    }
}

/// The template of a kind: every column explained, one example row behind a comment sign.
fn template(kind: RecordKind) -> String {
    let columns = kind.columns();
    let mut text = String::new();
    for column in columns {
        let must = if column.required { " (must be filled)" } else { "" };
        let _ = writeln!(text, "# {}: {}{must}", column.name, column.meaning);
    }
    text.push_str("# Lines that begin with # are comments. Example:\n");
    let _ = writeln!(text, "# {}", example(kind));
    let names: Vec<&str> = columns.iter().map(|column| column.name).collect();
    text.push_str(&names.join(","));
    text.push('\n');
    text
}

pub(in crate::cli) fn run(session: &Session, args: &NewArgs) -> Result<Outcome, CliError> {
    std::fs::create_dir_all(&args.folder)?;
    for kind in RecordKind::ALL {
        let path = args.folder.join(format!("{}.csv", kind.word()));
        if path.exists() {
            return Err(CliError::input(format!("{} is there already", path.display()))
                .hint("nothing is written over; name another folder"));
        }
    }
    let mut written = Vec::new();
    for kind in RecordKind::ALL {
        let path = args.folder.join(format!("{}.csv", kind.word()));
        std::fs::write(&path, template(kind))?;
        written.push(path.display().to_string());
    }
    session.print(
        || {
            let mut page = Page::default();
            page.heading(format!("{} templates in {}", written.len(), args.folder.display()));
            page.line(Line::at(1).text("site.csv, beds.csv and plantings.csv are enough to begin; delete or leave the others"));
            page.line(Line::at(1).text("then: ").and(Label::Command, format!("breakcrop import {}", args.folder.display())));
            page
        },
        || serde_json::json!({ "format": crate::view::json::FORMAT, "files": written }),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::Knowledge;
    use crate::records::{BedNames, Lookup};
    use crate::tabular::{Problems, scan};

    #[test]
    fn every_template_reads_and_so_does_its_example() {
        let knowledge = Knowledge::embedded();
        let beds = BedNames::from_iter(["long bed"]);
        let none = BedNames::default();
        for kind in RecordKind::ALL {
            let text = template(kind).replace(&format!("# {}\n", example(kind)), "");
            let text = format!("{text}{}\n", example(kind));
            let mut problems = Problems::default();
            let mut rows = 0;
            let known = if kind == RecordKind::Beds { &none } else { &beds };
            scan(&"template.csv".into(), text.as_bytes(), kind.columns(), &mut problems, |cells| {
                let lookup = Lookup::new(&knowledge, known);
                rows += usize::from(kind.read(cells, &lookup).is_some());
            });
            assert!(problems.is_empty(), "{kind:?}: {:?}", problems.list);
            assert_eq!(rows, 1, "{kind:?}");
        }
    }
}
