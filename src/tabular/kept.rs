//! A stream that keeps the bytes of the record being read: the CSV reader hands out fields, but a
//! record is kept as it was written, and its faults are shown where they stand.

use std::io::{Error, Read, Result};

/// Most bytes of one record, with the comments before it. A quote that was never closed would
/// otherwise draw the rest of the file into memory.
const MOST: u64 = 1024 * 1024;

/// The byte order mark that some programs write before UTF-8.
const MARK: &[u8] = &[0xEF, 0xBB, 0xBF];

pub(super) struct Kept<R> {
    stream: R,
    bytes: Vec<u8>,
    /// Which byte of the stream the first one kept is.
    first: u64,
    /// Where the record being read begins: what lies before may go.
    pub(super) from: u64,
    /// Whether the stream was broken off because a record did not end.
    pub(super) too_long: bool,
    is_begun: bool,
}

impl<R: Read> Kept<R> {
    pub(super) fn new(stream: R) -> Self {
        Self { stream, bytes: Vec::new(), first: 0, from: 0, too_long: false, is_begun: false }
    }

    /// Bytes of the stream from one place to another, as far as they were read.
    pub(super) fn slice(&self, from: u64, to: u64) -> &[u8] {
        let place = |at: u64| {
            usize::try_from(at.saturating_sub(self.first))
                .unwrap_or(usize::MAX)
                .min(self.bytes.len())
        };
        &self.bytes[place(from).min(place(to))..place(to)]
    }
}

impl<R: Read> Read for Kept<R> {
    fn read(&mut self, into: &mut [u8]) -> Result<usize> {
        let end = self.first + self.bytes.len() as u64;
        if end.saturating_sub(self.from) > MOST {
            self.too_long = true;
            return Err(Error::other("a record does not end"));
        }
        let mut count = self.stream.read(into)?;
        if !self.is_begun && count > 0 {
            self.is_begun = true;
            while count < MARK.len() && count < into.len() {
                match self.stream.read(&mut into[count..])? {
                    0 => break,
                    more => count += more,
                }
            }
            if into[..count].starts_with(MARK) {
                into.copy_within(MARK.len()..count, 0);
                count -= MARK.len();
                if count == 0 {
                    count = self.stream.read(into)?;
                }
            }
        }
        let gone = usize::try_from(self.from.saturating_sub(self.first)).unwrap_or(usize::MAX);
        let gone = gone.min(self.bytes.len());
        self.bytes.drain(..gone);
        self.first += gone as u64;
        self.bytes.extend_from_slice(&into[..count]);
        Ok(count)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    #[test]
    fn what_lies_before_the_record_goes_and_the_rest_stays() {
        let text: Vec<u8> = [MARK, b"one,two\nthree,four\nfive,six\n"].concat();
        let mut kept = Kept::new(&text[..]);
        let mut block = [0; 8];
        assert_eq!(kept.read(&mut block).expect("reads"), 5);
        assert_eq!(kept.slice(0, 5), b"one,t");
        assert_eq!(kept.read(&mut block).expect("reads"), 8);
        kept.from = 8;
        assert_eq!(kept.read(&mut block).expect("reads"), 8);
        assert_eq!(kept.slice(8, 19), b"three,four\n");
        assert_eq!(kept.first, 8);
    }
}
