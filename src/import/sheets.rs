//! Spreadsheets as record files: every sheet named like one (`plantings`, `beds`) is read as it,
//! and its rows keep their numbers as lines. A file named like one with a single sheet counts too.

use std::path::Path;

use calamine::{Data, Reader, open_workbook_auto};

use super::foreign::write_row;
use super::{ImportError, RecordFile};
use crate::records::RecordKind;

/// Whether a file's name says that it is a spreadsheet we can read.
#[must_use]
pub fn is_spreadsheet(path: &Path) -> bool {
    path.extension().is_some_and(|ending| {
        ["xlsx", "ods"].iter().any(|known| ending.eq_ignore_ascii_case(known))
    })
}

/// The record files of a spreadsheet, and the names of its other sheets.
pub fn read_spreadsheet(path: &Path) -> Result<(Vec<RecordFile>, Vec<String>), ImportError> {
    let fault = |error: calamine::Error| ImportError::Sheet {
        path: path.to_path_buf(),
        reason: error.to_string(),
    };
    let mut book = open_workbook_auto(path).map_err(fault)?;
    let sheets = book.sheet_names();
    let stem = path.file_stem().map(|stem| stem.to_string_lossy().to_lowercase());
    let (mut files, mut others) = (Vec::new(), Vec::new());
    for sheet in &sheets {
        let as_file = |name: &str| format!("{}.csv", name.trim().to_lowercase().replace(' ', "_"));
        let mut name = as_file(sheet);
        if RecordKind::of_file(&name).is_none()
            && let ([_], Some(stem)) = (sheets.as_slice(), &stem)
        {
            name = as_file(stem);
        }
        if RecordKind::of_file(&name).is_none() {
            others.push(sheet.clone());
            continue;
        }
        let range = book.worksheet_range(sheet).map_err(fault)?;
        files.push(RecordFile { name, bytes: csv_text(&range) });
    }
    Ok((files, others))
}

/// A sheet as CSV, row for line; rows after the last filled cell of the header are cut to it.
fn csv_text(range: &calamine::Range<Data>) -> Vec<u8> {
    let first = range.start().map_or(0, |(row, _)| row);
    let mut text = vec![b'\n'; usize::try_from(first).unwrap_or_default()];
    let mut width = None;
    for row in range.rows() {
        let cells: Vec<String> = row.iter().map(cell_text).collect();
        let filled = cells.iter().rposition(|cell| !cell.is_empty()).map_or(0, |last| last + 1);
        if filled == 0 {
            text.push(b'\n');
            continue;
        }
        // Blank cells to the right of the header's last are no fields. A title above the header has
        // one cell, also where it is merged over several.
        if width.is_none() && cells.iter().filter(|cell| !cell.is_empty()).count() > 1 {
            width = Some(filled);
        }
        let wide = width.unwrap_or(filled);
        text.extend(write_row(cells.into_iter().take(filled.max(wide))));
    }
    text
}

/// A cell as it would be typed: days as yyyy-mm-dd, numbers without a needless fraction, one line.
fn cell_text(cell: &Data) -> String {
    match cell {
        Data::Empty => String::new(),
        Data::String(text) => text.split_whitespace().collect::<Vec<_>>().join(" "),
        Data::Float(number) => number.to_string(),
        Data::Int(number) => number.to_string(),
        Data::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Data::DateTime(when) => {
            let day = when.is_datetime().then(|| when.to_ymd_hms_milli());
            day.map_or_else(
                || when.as_f64().to_string(),
                |(year, month, day, ..)| format!("{year:04}-{month:02}-{day:02}"),
            )
        }
        Data::DateTimeIso(text) => text.split('T').next().unwrap_or_default().to_owned(),
        Data::DurationIso(text) => text.clone(),
        Data::Error(error) => error.to_string(),
    }
}
