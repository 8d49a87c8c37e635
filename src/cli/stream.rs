//! Many gardens one after the other: one a JSON line on standard input, its answer a JSON line on
//! standard output, in the same order. A garden knows nothing of another, so a few are answered
//! side by side; a line that cannot be answered says so in its place.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::panic::AssertUnwindSafe;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, sync_channel};

use serde::Deserialize;

use super::Outcome;
use super::error::CliError;
use crate::import::{RecordFile, garden_of};
use crate::knowledge::Knowledge;
use crate::records::{Garden, RecordKind};
use crate::season::{Date, iso_day};
use crate::view::json::{StreamedJson, StreamedResult, row_problem};

/// Longest line taken, in bytes: a garden of some hundred thousand records.
const LONGEST: u64 = 64 * 1024 * 1024;

/// Lines read ahead, and answered in one go: the bound of the memory, with the length of a line.
const AHEAD: usize = 64;

/// A garden as it comes in.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Request {
    /// Whatever the sender knows it by; given back.
    #[serde(default)]
    id: serde_json::Value,
    /// Record files: name and text.
    files: BTreeMap<String, String>,
    /// Day taken for today.
    today: Option<String>,
    /// Bed, or bed/section, for questions about one.
    #[serde(default)]
    pub(super) bed: Option<String>,
}

/// Answers every garden of standard input. `answer` is given the garden, the request and the day.
pub(super) fn run(
    knowledge: &Knowledge,
    today: Date,
    answer: impl Fn(&Garden, &Request, Date) -> Result<StreamedResult, String> + Sync,
) -> Result<Outcome, CliError> {
    let (lines, read) = sync_channel(AHEAD);
    // Not joined: it may wait for a line that never comes, when the reader of the answers is gone.
    std::thread::spawn(move || {
        let mut input = BufReader::new(std::io::stdin().lock());
        while let Some(line) = next_line(&mut input) {
            let is_last = line.is_err();
            if lines.send(line).is_err() || is_last {
                break;
            }
        }
    });
    let mut out = std::io::stdout().lock();
    let mut number = 0;
    while let Some(batch) = next_batch(&read) {
        let answers = side_by_side(&batch, |at, line| {
            one(knowledge, today, number + at as u64 + 1, line, &answer)
        });
        number += batch.len() as u64;
        for text in answers {
            match out.write_all(text.as_bytes()) {
                Ok(()) => {}
                Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => {
                    return Ok(Outcome::Done);
                }
                Err(error) => return Err(error.into()),
            }
        }
        out.flush()?;
    }
    Ok(Outcome::Done)
}

/// A line without its end; what is wrong with it; nothing at the end of the input.
type Line = Result<String, String>;

fn next_line(input: &mut impl BufRead) -> Option<Line> {
    let mut bytes = Vec::new();
    match input.by_ref().take(LONGEST).read_until(b'\n', &mut bytes) {
        Ok(0) => return None,
        Ok(_) => {}
        Err(error) => return Some(Err(format!("the input cannot be read: {error}"))),
    }
    if !bytes.ends_with(b"\n") && bytes.len() as u64 == LONGEST {
        let rest = input.skip_until(b'\n');
        let text = format!("the line is longer than {} MB", LONGEST / 1_000_000);
        // Told in its place; the next line is read as usual.
        return Some(rest.map(|_| format!("\u{0}{text}")).map_err(|error| error.to_string()));
    }
    Some(Ok(String::from_utf8(bytes).unwrap_or_else(|_| "\u{0}the line is not UTF-8".to_owned())))
}

/// The lines that are there: at least one, and no waiting for more.
fn next_batch(read: &Receiver<Line>) -> Option<Vec<Line>> {
    let mut batch = vec![read.recv().ok()?];
    batch.extend(read.try_iter().take(AHEAD - 1));
    Some(batch)
}

/// Works through a batch on all cores; the results in the order of the batch.
fn side_by_side<T: Sync, R: Send>(batch: &[T], work: impl Fn(usize, &T) -> R + Sync) -> Vec<R> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(batch.len());
    let next = AtomicUsize::new(0);
    let (next, work) = (&next, &work);
    let take = move || {
        let mut done = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(one) = batch.get(at) else { return done };
            done.push((at, work(at, one)));
        }
    };
    let mut done = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(take)).collect();
        let mut done = take();
        for other in others {
            done.extend(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        done
    });
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, result)| result).collect()
}

/// The answer to one line, as a line.
fn one(
    knowledge: &Knowledge,
    today: Date,
    number: u64,
    line: &Line,
    answer: &(impl Fn(&Garden, &Request, Date) -> Result<StreamedResult, String> + Sync),
) -> String {
    let mut id = serde_json::Value::Null;
    let result = read(line).and_then(|request| {
        id = request.id.clone();
        // A fault of ours in one garden is no reason to leave the others without an answer.
        std::panic::catch_unwind(AssertUnwindSafe(|| judged(knowledge, today, &request, answer)))
            .unwrap_or_else(|_| {
                Err("the program failed on this garden; please report it".to_owned())
            })
    });
    let result = result.unwrap_or_else(StreamedResult::Error);
    let document = StreamedJson { line: number, id, result };
    // Our documents have string keys and finite numbers only.
    let mut text = serde_json::to_string(&document).unwrap_or_default();
    text.push('\n');
    text
}

fn read(line: &Line) -> Result<Request, String> {
    let line = line.as_ref().map_err(Clone::clone)?;
    if let Some(fault) = line.strip_prefix('\u{0}') {
        return Err(fault.to_owned());
    }
    serde_json::from_str(line).map_err(|error| {
        format!("the line is not a garden: {error}; write {{\"files\": {{\"beds.csv\": ...}}}}")
    })
}

fn judged(
    knowledge: &Knowledge,
    today: Date,
    request: &Request,
    answer: &impl Fn(&Garden, &Request, Date) -> Result<StreamedResult, String>,
) -> Result<StreamedResult, String> {
    let today = match &request.today {
        None => today,
        Some(text) => {
            iso_day(text).ok_or_else(|| format!("write today as yyyy-mm-dd, not \"{text}\""))?
        }
    };
    let mut files = Vec::new();
    for (name, text) in &request.files {
        if RecordKind::of_file(name).is_none() {
            return Err(format!("\"{name}\" is no record file"));
        }
        files.push(RecordFile { name: name.clone(), bytes: text.clone().into_bytes() });
    }
    match garden_of(knowledge, &files) {
        Ok(garden) => answer(&garden, request, today),
        Err(problems) => Ok(StreamedResult::Problems(problems.iter().map(row_problem).collect())),
    }
}
