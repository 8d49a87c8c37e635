//! The records of a CSV stream, one after the other, each with its fields and its text as written:
//! a record is kept as it was written, and its faults are shown where they stand.
//!
//! A line without a quote is a record, and its commas part its fields: such lines, nearly all, are
//! cut here with two looks at their bytes. Whatever else there may be (quotes, fields over several
//! lines, ends of lines of other kinds) is left to `csv-core`, by its rules.

use std::io::{ErrorKind, Read, Result};

use csv_core::ReadRecordResult;
use memchr::{memchr, memchr_iter, memchr3};

/// Most bytes of one record, with the comments before it. A quote that was never closed would
/// otherwise draw the rest of the file into memory.
const MOST: usize = 1024 * 1024;

/// Bytes asked for at a time.
const BLOCK: usize = 64 * 1024;

/// The byte order mark that some programs write before UTF-8.
const MARK: &[u8] = &[0xEF, 0xBB, 0xBF];

/// The fields of a record.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fields<'a> {
    text: &'a str,
    /// Where each ends.
    ends: &'a [usize],
    /// Bytes between the end of one and the beginning of the next: a comma, or nothing where
    /// `csv-core` took it out.
    between: usize,
}

impl<'a> Fields<'a> {
    pub(super) fn len(&self) -> usize {
        self.ends.len()
    }

    #[inline]
    pub(super) fn get(&self, at: usize) -> Option<&'a str> {
        let ends = *self.ends.get(at)?;
        let begins = if at == 0 { 0 } else { self.ends[at - 1] + self.between };
        self.text.get(begins..ends)
    }

    pub(super) fn iter(self) -> impl Iterator<Item = &'a str> {
        (0..self.len()).filter_map(move |at| self.get(at))
    }
}

/// What comes next in a stream.
#[derive(Debug)]
pub(super) enum Next<'a> {
    /// A record: its line, its text without comments before it and the line end after it, and
    /// whether it had such an end or the stream ended within it.
    Record { line: u32, raw: &'a str, fields: Fields<'a>, is_ended: bool },
    /// A record that does not end, as far as it was read.
    TooLong { line: u32, text: &'a [u8] },
    /// Bytes from a line on that are not UTF-8.
    NotUtf8 { line: u32, bytes: &'a [u8] },
    /// Nothing more.
    End,
}

/// Where a record lies among the bytes at hand.
enum Found {
    /// A line without a quote.
    Line {
        begins: usize,
        ends: usize,
        line: u32,
    },
    /// Read by `csv-core`: so many bytes of unquoted fields, and so many fields.
    Parsed {
        length: usize,
        count: usize,
        is_ended: bool,
    },
    TooLong,
    End,
}

pub(super) struct Rows<R> {
    stream: R,
    /// The bytes at hand: from the record being read to the end of what was read.
    bytes: Vec<u8>,
    /// Where among them that record begins, with the blank and comment lines before it.
    from: usize,
    /// The line on which that is.
    line: u32,
    /// The line on which the one after it begins.
    next_line: u32,
    /// Where it ends.
    to: usize,
    is_begun: bool,
    is_ended: bool,
    parser: csv_core::Reader,
    unquoted: Vec<u8>,
    ends: Vec<usize>,
}

impl<R: Read> Rows<R> {
    pub(super) fn new(stream: R) -> Self {
        Self {
            stream,
            bytes: Vec::with_capacity(2 * BLOCK),
            from: 0,
            line: 1,
            next_line: 1,
            to: 0,
            is_begun: false,
            is_ended: false,
            parser: csv_core::ReaderBuilder::new().comment(Some(b'#')).build(),
            unquoted: vec![0; 1024],
            ends: vec![0; 64],
        }
    }

    /// The next record.
    ///
    /// # Errors
    /// What the stream says if it cannot be read.
    pub(super) fn next(&mut self) -> Result<Next<'_>> {
        self.line = self.next_line;
        self.from = self.to;
        let found = self.find()?;
        let all = &self.bytes[self.from..self.to];
        Ok(match found {
            Found::End => Next::End,
            Found::TooLong => Next::TooLong { line: self.line, text: all },
            Found::Line { begins, ends, line } => {
                // Comments before the record are part of the text too.
                let Ok(text) = std::str::from_utf8(&self.bytes[self.from..ends]) else {
                    return Ok(Next::NotUtf8 { line: self.line, bytes: all });
                };
                let raw = &text[begins - self.from..];
                let count = commas(raw.as_bytes(), &mut self.ends);
                let fields = Fields { text: raw, ends: &self.ends[..count], between: 1 };
                Next::Record { line, raw, fields, is_ended: true }
            }
            Found::Parsed { length, count, is_ended } => {
                let unquoted = std::str::from_utf8(&self.unquoted[..length]);
                let (Ok(text), Ok(unquoted)) = (std::str::from_utf8(all), unquoted) else {
                    return Ok(Next::NotUtf8 { line: self.line, bytes: all });
                };
                let (raw, line) = record_text(text, self.line);
                let fields = Fields { text: unquoted, ends: &self.ends[..count], between: 0 };
                Next::Record { line, raw, fields, is_ended }
            }
        })
    }

    /// Finds the next record; `to` is then its end.
    fn find(&mut self) -> Result<Found> {
        let (mut at, mut line) = (self.from, self.line);
        loop {
            let rest = &self.bytes[at..];
            // A comment may hold quotes; in any other line they are for `csv-core`.
            let is_comment = rest.first() == Some(&b'#');
            let stop =
                if is_comment { memchr(b'\n', rest) } else { memchr3(b'\n', b'\r', b'"', rest) };
            let Some(length) = stop else {
                // An end of line of another kind may part the records.
                if self.is_ended || is_comment && memchr(b'\r', rest).is_some() {
                    return self.parse(at);
                }
                let before = at - self.from;
                if !self.fill()? {
                    return Ok(Found::TooLong);
                }
                at = self.from + before;
                continue;
            };
            let end = match rest[length..] {
                [b'\n', ..] => 1,
                [b'\r', b'\n', ..] => 2,
                _ => return self.parse(at),
            };
            if is_comment || length == 0 {
                at += length + end;
                line = line.saturating_add(1);
            } else {
                self.to = at + length + end;
                self.next_line = line.saturating_add(1);
                return Ok(Found::Line { begins: at, ends: at + length, line });
            }
        }
    }

    /// Has `csv-core` read the record that begins at a place.
    fn parse(&mut self, mut at: usize) -> Result<Found> {
        let (mut length, mut count) = (0, 0);
        let found = loop {
            if at == self.bytes.len() && !self.is_ended {
                let before = at - self.from;
                if !self.fill()? {
                    return Ok(Found::TooLong);
                }
                at = self.from + before;
                continue;
            }
            let input = &self.bytes[at..];
            let is_ended = !input.is_empty();
            let (result, read, written, ended) = self.parser.read_record(
                input,
                &mut self.unquoted[length..],
                &mut self.ends[count..],
            );
            (at, length, count) = (at + read, length + written, count + ended);
            match result {
                ReadRecordResult::InputEmpty => {}
                ReadRecordResult::OutputFull => {
                    self.unquoted.resize(2 * self.unquoted.len(), 0);
                }
                ReadRecordResult::OutputEndsFull => self.ends.resize(2 * self.ends.len(), 0),
                ReadRecordResult::Record => break Found::Parsed { length, count, is_ended },
                ReadRecordResult::End => break Found::End,
            }
        };
        self.to = at;
        let passed = memchr_iter(b'\n', &self.bytes[self.from..at]).count();
        self.next_line = self.line.saturating_add(u32::try_from(passed).unwrap_or(u32::MAX));
        Ok(found)
    }

    /// Reads on; what lies before the record being read goes. Whether it may still be a record.
    fn fill(&mut self) -> Result<bool> {
        self.bytes.drain(..self.from);
        self.from = 0;
        self.to = 0;
        let held = self.bytes.len();
        if held > MOST {
            self.to = held;
            return Ok(false);
        }
        self.bytes.resize(held + BLOCK, 0);
        let mut count = 0;
        // The mark is known by three bytes, everything else by one.
        let wanted = if self.is_begun { 1 } else { MARK.len() };
        while count < wanted {
            match self.stream.read(&mut self.bytes[held + count..]) {
                Ok(0) => {
                    self.is_ended = true;
                    break;
                }
                Ok(more) => count += more,
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                Err(error) => {
                    self.bytes.truncate(held);
                    return Err(error);
                }
            }
        }
        self.bytes.truncate(held + count);
        if !self.is_begun && self.bytes.starts_with(MARK) {
            self.bytes.drain(..MARK.len());
        }
        self.is_begun = true;
        Ok(true)
    }
}

/// Where the fields of a line end: at its commas and at its own end. Returns how many there are.
/// Each place is noted and kept if it is a comma's: what a row has where cannot be foreseen, so that
/// a jump at each comma would cost more.
fn commas(line: &[u8], ends: &mut Vec<usize>) -> usize {
    if ends.len() <= line.len() {
        ends.resize(line.len() + 1, 0);
    }
    let mut count = 0;
    for (at, &byte) in line.iter().enumerate() {
        ends[count] = at;
        count += usize::from(byte == b',');
    }
    ends[count] = line.len();
    count + 1
}

/// The record without the blank and comment lines before it and the line end after it, and the
/// line it begins on.
pub(super) fn record_text(slice: &str, mut line: u32) -> (&str, u32) {
    let mut body = slice;
    while let Some(end) = body.find('\n') {
        if !(body.starts_with('#') || body[..end].trim().is_empty()) {
            break;
        }
        body = &body[end + 1..];
        line = line.saturating_add(1);
    }
    (body.trim_end_matches(['\n', '\r']), line)
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    /// A stream that gives a few bytes at a time.
    struct Drops<'a>(&'a [u8], usize);

    impl Read for Drops<'_> {
        fn read(&mut self, into: &mut [u8]) -> Result<usize> {
            let count = self.1.min(self.0.len()).min(into.len());
            into[..count].copy_from_slice(&self.0[..count]);
            self.0 = &self.0[count..];
            Ok(count)
        }
    }

    fn all(stream: impl Read) -> Vec<(u32, String, Vec<String>)> {
        let mut rows = Rows::new(stream);
        let mut found = Vec::new();
        loop {
            match rows.next().expect("reads") {
                Next::Record { line, raw, fields, .. } => {
                    let fields = fields.iter().map(str::to_owned).collect();
                    found.push((line, raw.to_owned(), fields));
                }
                Next::End => return found,
                other => panic!("{other:?}"),
            }
        }
    }

    /// The same by the csv crate alone.
    fn by_csv(text: &[u8]) -> Vec<Vec<String>> {
        csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .comment(Some(b'#'))
            .from_reader(text)
            .records()
            .map(|record| record.expect("reads").iter().map(str::to_owned).collect())
            .collect()
    }

    const TEXT: &str = "bed,note\n# a comment, with a comma\n\nA,plain\r\n\"B\",\"two\nlines, \
        \"\"so\"\"\"\nC,5\" pot\n,\nD,\r\r\nE,last,one more\n#\nF,\"open, to the end";

    #[test]
    fn fields_are_those_of_the_csv_crate_whatever_the_ends_of_lines_and_blocks() {
        for text in [TEXT.to_owned(), TEXT.replace('\n', "\r\n"), TEXT.replace(['\n', '#'], "\r")] {
            for drop in [1, 2, 7, 1000] {
                let found: Vec<_> = all(Drops(text.as_bytes(), drop))
                    .into_iter()
                    .map(|(_, _, fields)| fields)
                    .collect();
                assert_eq!(found, by_csv(text.as_bytes()), "{drop} bytes at a time of {text:?}");
            }
        }
    }

    #[test]
    fn records_come_as_written_with_their_lines() {
        for mark in [&b""[..], MARK] {
            let found = all(Drops(&[mark, TEXT.as_bytes()].concat(), 5));
            let found: Vec<(u32, &str)> =
                found.iter().map(|(line, raw, _)| (*line, raw.as_str())).collect();
            assert_eq!(
                found,
                [
                    (1, "bed,note"),
                    (4, "A,plain"),
                    (5, "\"B\",\"two\nlines, \"\"so\"\"\""),
                    (7, "C,5\" pot"),
                    (8, ","),
                    (9, "D,"),
                    (10, "E,last,one more"),
                    (12, "F,\"open, to the end"),
                ]
            );
        }
    }

    #[test]
    fn a_record_that_does_not_end_is_broken_off() {
        let endless = [b"a,\"".to_vec(), vec![b'x'; 3 * MOST]].concat();
        let mut rows = Rows::new(&endless[..]);
        assert!(matches!(rows.next().expect("reads"), Next::TooLong { line: 1, .. }));
    }
}
