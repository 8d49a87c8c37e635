//! Record files written under other column names, with days in another order, with semicolons or
//! tabs between the fields or with titles above the header, turned into ours before they are read.
//! Names of columns and the order of days are turned only as told: nothing is guessed of them. The
//! separator is that under which the header has our columns, and then a comma in a number is the
//! decimal point of those who part fields by semicolons.
//!
//! Rows keep their lines, so that a fault is found where the grower wrote it; what is kept in the
//! garden file, and comes back by `export`, is the turned text.

use std::collections::BTreeSet;

use csv::{ReaderBuilder, StringRecord, WriterBuilder};

use super::RecordFile;
use super::layout::Layout;
use crate::records::RecordKind;
use crate::season::Date;
use crate::tabular::{Column, Kind, matching, meant};

/// The order in which the parts of a day are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// 31/12/2026.
    DayMonthYear,
    /// 12/31/2026.
    MonthDayYear,
    /// 2026/12/31.
    YearMonthDay,
}

impl DateOrder {
    /// The order of a word: `dmy`, `mdy` or `ymd`.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        match word {
            "dmy" => Some(Self::DayMonthYear),
            "mdy" => Some(Self::MonthDayYear),
            "ymd" => Some(Self::YearMonthDay),
            _ => None,
        }
    }

    /// A day written in this order with `/`, `.`, `-` or blanks between; the year in four digits,
    /// since two could mean two centuries.
    fn read(self, written: &str) -> Option<Date> {
        let parts: Vec<&str> =
            written.split(['/', '.', '-', ' ']).filter(|part| !part.is_empty()).collect();
        let [a, b, c] = parts[..] else { return None };
        let (day, month, year) = match self {
            Self::DayMonthYear => (a, b, c),
            Self::MonthDayYear => (b, a, c),
            Self::YearMonthDay => (c, b, a),
        };
        if year.len() != 4 {
            return None;
        }
        Date::from_ymd_opt(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
    }
}

/// One column renamed: theirs, and ours or nothing to leave it out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Renamed {
    /// The record file meant, by its word; `None` for all.
    pub file: Option<String>,
    /// The column as written in the file.
    pub theirs: String,
    /// Our column; empty to leave theirs out.
    pub ours: String,
}

/// What was told of files that are not written our way.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Foreign {
    /// Columns renamed.
    pub columns: Vec<Renamed>,
    /// Order of days; `None` for ours.
    pub days: Option<DateOrder>,
}

/// What was told but fits no file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ForeignError {
    /// A pair without its `=`, or with nothing before it.
    #[error("`{0}` is not a pair of columns")]
    NotAPair(String),
    /// The word before a colon names no record file.
    #[error("`{0}` names no record file")]
    NoSuchFile(String),
    /// Our name is no column of the files meant.
    #[error("`{ours}` is no column of {file}")]
    NoSuchColumn {
        /// The name.
        ours: String,
        /// The file it was to stand in.
        file: String,
    },
    /// Their name stands in no file.
    #[error("no record file has a column \"{0}\"")]
    NowhereWritten(String),
}

/// A field that is kept, and our column if it is one.
type KeptField = (usize, Option<&'static Column>);

impl Foreign {
    /// Reads `theirs=ours,theirs=ours`, each perhaps with `file:` before it.
    pub fn columns_of(text: &str) -> Result<Vec<Renamed>, ForeignError> {
        // A command copied from the terminal has line ends and blanks where it was broken.
        one_blank(text)
            .split(',')
            .filter(|pair| !pair.trim().is_empty())
            .map(|pair| {
                let (theirs, ours) =
                    pair.rsplit_once('=').ok_or_else(|| ForeignError::NotAPair(pair.to_owned()))?;
                let (file, theirs) = match theirs.split_once(':') {
                    Some((file, theirs)) => (Some(file.trim().to_owned()), theirs.trim()),
                    None => (None, theirs.trim()),
                };
                if theirs.is_empty() {
                    return Err(ForeignError::NotAPair(pair.to_owned()));
                }
                if let Some(file) = &file
                    && !RecordKind::ALL.iter().any(|kind| kind.word() == file)
                {
                    return Err(ForeignError::NoSuchFile(file.clone()));
                }
                let (theirs, ours) = (theirs.to_owned(), ours.trim().to_owned());
                Ok(Renamed { file, theirs, ours })
            })
            .collect()
    }

    /// Whether nothing was told.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }

    /// How a file is laid out, by its first lines.
    #[must_use]
    pub fn layout(&self, kind: RecordKind, head: &[u8]) -> Layout {
        Layout::of(head, |name| {
            let name = name.trim();
            matching(name, kind.columns()).is_some()
                || self
                    .columns
                    .iter()
                    .any(|told| told.theirs.eq_ignore_ascii_case(&one_blank(name)))
                || meant(name, kind.columns()).is_some()
        })
    }

    /// Turns files into ours; the names and layouts of those that were laid out in another way.
    pub fn turn(&self, files: &mut [RecordFile]) -> Result<Vec<(String, Layout)>, ForeignError> {
        let mut met: BTreeSet<usize> = BTreeSet::new();
        let mut others = Vec::new();
        for file in files {
            let Some(kind) = RecordKind::of_file(&file.name) else { continue };
            let layout = self.layout(kind, &file.bytes);
            if let Some(bytes) = self.turned(kind, &file.bytes, layout, &mut met)? {
                file.bytes = bytes;
                if layout != Layout::OURS {
                    others.push((file.name.clone(), layout));
                }
            }
        }
        match (0..self.columns.len()).find(|at| !met.contains(at)) {
            Some(at) => Err(ForeignError::NowhereWritten(self.columns[at].theirs.clone())),
            None => Ok(others),
        }
    }

    /// The text turned; `None` where it cannot be read as rows, which the reader then says better.
    fn turned(
        &self,
        kind: RecordKind,
        bytes: &[u8],
        layout: Layout,
        met: &mut BTreeSet<usize>,
    ) -> Result<Option<Vec<u8>>, ForeignError> {
        let mut reader = ReaderBuilder::new()
            .delimiter(layout.separator)
            .has_headers(false)
            .flexible(true)
            .comment(Some(b'#'))
            .from_reader(bytes);
        let mut text: Vec<u8> = Vec::with_capacity(bytes.len());
        let mut header = None;
        let mut titles = layout.titles;
        let mut record = StringRecord::new();
        loop {
            let from = reader.position().byte();
            match reader.read_record(&mut record) {
                Ok(true) => {}
                Ok(false) => return Ok(Some(text)),
                Err(_) => return Ok(None),
            }
            text.extend(before_record(bytes, from, reader.position().byte()));
            let kept = match &header {
                // A title above the header: its line stays, and nothing of it.
                None if titles > 0 => {
                    titles -= 1;
                    b"\n".to_vec()
                }
                None => {
                    let (names, kept) = self.header(kind, &record, met)?;
                    let row = write_row(kept.iter().map(|(at, _)| names[*at].clone()));
                    header = Some(kept);
                    row
                }
                // A row of another length than the header is left for the reader to refuse.
                Some(kept) if kept.iter().any(|(at, _)| *at >= record.len()) => {
                    write_row(record.iter().map(str::to_owned))
                }
                Some(kept) => write_row(kept.iter().map(|(at, column)| {
                    let written = record.get(*at).unwrap_or_default();
                    let is_day = column.is_some_and(|column| matches!(column.kind, Kind::Date));
                    let day = self.days.filter(|_| is_day).and_then(|days| days.read(written));
                    let number = || {
                        column
                            .filter(|_| layout.has_decimal_commas())
                            .and_then(|column| number_of(column, written))
                    };
                    let turned = day.map(|day| day.to_string()).or_else(number);
                    turned.unwrap_or_else(|| written.to_owned())
                })),
            };
            text.extend(kept);
        }
    }

    /// The names of a header in our words, and which of its fields are kept, with our columns.
    fn header(
        &self,
        kind: RecordKind,
        record: &StringRecord,
        met: &mut BTreeSet<usize>,
    ) -> Result<(Vec<String>, Vec<KeptField>), ForeignError> {
        let columns = kind.columns();
        let mut names: Vec<String> = record.iter().map(|name| name.trim().to_owned()).collect();
        let mut left_out = BTreeSet::new();
        for (at, renamed) in self.columns.iter().enumerate() {
            if renamed.file.as_ref().is_some_and(|file| file != kind.word()) {
                continue;
            }
            let Some(field) = record
                .iter()
                .position(|name| one_blank(name).eq_ignore_ascii_case(&renamed.theirs))
            else {
                continue;
            };
            met.insert(at);
            if renamed.ours.is_empty() {
                left_out.insert(field);
                continue;
            }
            if matching(&renamed.ours, columns).is_none() {
                return Err(ForeignError::NoSuchColumn {
                    ours: renamed.ours.clone(),
                    file: format!("{}.csv", kind.word()),
                });
            }
            names[field].clone_from(&renamed.ours);
        }
        let kept = (0..names.len())
            .filter(|at| !left_out.contains(at))
            .map(|at| (at, matching(&names[at], columns).map(|(column, _)| &columns[column])))
            .collect();
        Ok((names, kept))
    }
}

/// A text with one blank between its words.
fn one_blank(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A number with its decimal comma as a point, in a column of numbers.
fn number_of(column: &Column, written: &str) -> Option<String> {
    let is_number = matches!(column.kind, Kind::Number(..) | Kind::Measured(..));
    let (whole, part) = written.trim().split_once(',').filter(|_| is_number)?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let is_plain = digits(whole.strip_prefix('-').unwrap_or(whole)) && digits(part);
    is_plain.then(|| format!("{whole}.{part}"))
}

/// The blank and comment lines that stand before a record, as they are, so that lines keep their
/// numbers.
fn before_record(bytes: &[u8], from: u64, to: u64) -> &[u8] {
    let place = |at: u64| usize::try_from(at).unwrap_or(bytes.len()).min(bytes.len());
    let (from, to) = (place(from), place(to));
    // Where lines end in CR LF the reader stops between the two: the LF is no line of its own.
    let between = from > 0 && bytes[from - 1] == b'\r' && bytes.get(from) == Some(&b'\n');
    let slice = &bytes[from + usize::from(between)..to.max(from + usize::from(between))];
    let mut begins = 0;
    while let Some(end) = slice[begins..].iter().position(|byte| *byte == b'\n') {
        let line = slice[begins..begins + end].trim_ascii();
        if !(line.is_empty() || line.starts_with(b"#")) {
            break;
        }
        begins += end + 1;
    }
    &slice[..begins]
}

/// One row as CSV text with its line end.
pub(super) fn write_row(cells: impl Iterator<Item = String>) -> Vec<u8> {
    let mut writer = WriterBuilder::new().from_writer(Vec::new());
    // Writing to memory does not fail.
    let _ = writer.write_record(cells);
    writer.into_inner().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    fn turned(columns: &str, days: Option<DateOrder>, text: &str) -> Result<String, ForeignError> {
        let foreign = Foreign { columns: Foreign::columns_of(columns)?, days };
        let mut files = [RecordFile { name: "plantings.csv".to_owned(), bytes: text.into() }];
        foreign.turn(&mut files)?;
        Ok(String::from_utf8(files[0].bytes.clone()).expect("UTF-8"))
    }

    #[test]
    fn columns_are_renamed_and_left_out_and_lines_stay() {
        let text =
            "# mine\nBeet,Kultur,gepflanzt,Laune\n\nlong bed,\"tomato, red\",2024-03-05,gut\n";
        let ours = turned("Beet=bed,Kultur=crop,gepflanzt=planted,Laune=", None, text);
        let want = "# mine\nbed,crop,planted\n\nlong bed,\"tomato, red\",2024-03-05\n";
        assert_eq!(ours.as_deref(), Ok(want));
    }

    #[test]
    fn semicolons_decimal_commas_and_titles_are_turned_and_lines_stay() {
        let text = "\u{feff}My garden 2025;;;\r\n;;;\r\nbed;crop;planted;area_m2\r\n\r\n\
                    a;\"tomato, red\";5/3/2024;1,5\r\nb;leek;6/3/2024;two, or so\r\n";
        let ours = turned("", Some(DateOrder::DayMonthYear), text).expect("turned");
        let want = "\n\nbed,crop,planted,area_m2\n\r\na,\"tomato, red\",2024-03-05,1.5\n\
                    b,leek,2024-03-06,\"two, or so\"\n";
        assert_eq!(ours, want);
    }

    #[test]
    fn a_command_copied_from_two_lines_is_understood() {
        let text = "Bed  name,crop,planted\na,tomato,2024-03-05\n";
        let ours = turned("Bed\n    name=bed,\n  crop=crop", None, text).expect("turned");
        assert!(ours.starts_with("bed,crop,planted\n"), "{ours}");
    }

    #[test]
    fn lines_that_end_in_cr_lf_keep_their_numbers() {
        let text = "Beet,crop,planted\r\na,tomato,2024-03-05\r\nb,leek,2024-03-05\r\n";
        let ours = turned("Beet=bed", None, text).expect("turned");
        assert_eq!(ours, "bed,crop,planted\na,tomato,2024-03-05\nb,leek,2024-03-05\n");
    }

    #[test]
    fn days_are_turned_only_where_a_day_stands() {
        let text = "bed,crop,planted,note\na,tomato,5/3/2024,1/2/2024\nb,tomato,31.02.2024,\n";
        let ours = turned("", Some(DateOrder::DayMonthYear), text).expect("turned");
        assert_eq!(
            ours,
            "bed,crop,planted,note\na,tomato,2024-03-05,1/2/2024\nb,tomato,31.02.2024,\n"
        );
        let ours = turned("", Some(DateOrder::MonthDayYear), text).expect("turned");
        assert!(ours.contains("2024-05-03"), "{ours}");
        assert!(DateOrder::DayMonthYear.read("5/3/24").is_none(), "two digits could be two years");
    }

    #[test]
    fn what_fits_nothing_is_said() {
        let text = "Beet,crop,planted\na,tomato,2024-03-05\n";
        let faults = [
            ("Bett=bed", ForeignError::NowhereWritten("Bett".to_owned())),
            (
                "Beet=beet",
                ForeignError::NoSuchColumn {
                    ours: "beet".to_owned(),
                    file: "plantings.csv".to_owned(),
                },
            ),
            ("Beet", ForeignError::NotAPair("Beet".to_owned())),
            ("sowings:Beet=bed", ForeignError::NoSuchFile("sowings".to_owned())),
        ];
        for (columns, fault) in faults {
            assert_eq!(turned(columns, None, text), Err(fault));
        }
    }
}
