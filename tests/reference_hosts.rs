//! Every crop-pathogen pair of the reference table of hosts, against the program's answer. Where
//! the two differ, a reason must be on record; the pairs and reasons are printed.

mod support;

use std::collections::{BTreeMap, BTreeSet};

use breakcrop::knowledge::{Basis, HostRow, HostStanding, HostStatus, How, Knowledge, Says};
use support::published;

/// What the table says of a pair, the cautious word first.
const CAUTION: &[&str] = &["host", "carrier", "poor_host", "advised_break", "unknown", "non_host"];

/// The program's answer in the table's words.
fn answer(standing: &HostStanding<'_>) -> &'static str {
    match standing.status {
        HostStatus::Host | HostStatus::WeakHost | HostStatus::InferredHost => "host",
        HostStatus::Carrier => "carrier",
        HostStatus::PoorHost => "poor_host",
        HostStatus::Ungraded => "unknown",
        HostStatus::AdvisedBreak => "advised_break",
        HostStatus::NonHost => "non_host",
        HostStatus::OutsideRange => "outside its host range",
        HostStatus::Unrecorded => "not recorded",
    }
}

/// The word of a row that has a status.
fn says(says: Says) -> &'static str {
    match says {
        Says::Host => "host",
        Says::Carrier => "carrier",
        Says::PoorHost => "poor_host",
        Says::Unknown => "unknown",
        Says::AdvisedBreak => "advised_break",
        Says::NonHost => "non_host",
        Says::ResistantCultivars => "resistant_cultivars_exist",
        Says::Suppressive => "suppressive",
    }
}

/// An aggregate of the table that has no row of its own in the program: a field trial on a disease
/// that several species cause together. Its rows speak of the group.
const MOVED: &[(&str, &str)] = &[("pythium_spp_root_dieback", "pythium_spp")];

/// The table's answer: the cautious word of all its rows on the pair; of a pair with attributes
/// only, the attribute.
fn expected(statuses: &BTreeSet<String>) -> &str {
    CAUTION
        .iter()
        .copied()
        .find(|word| statuses.contains(*word))
        .unwrap_or_else(|| statuses.first().expect("a row"))
}

/// Why the program answers otherwise, if that is on record.
fn reason(standing: &HostStanding<'_>, wanted: &str, alias: Option<&str>) -> Option<String> {
    // A review changed what a row says, and its note says why: either the row that said what the
    // table says is gone, or a mended row says what the program answers.
    let regraded = !standing.rows.iter().any(|row| says(row.says) == wanted);
    let mended = |row: &&HostRow| {
        let gives_answer = says(row.says) == answer(standing)
            // What lowers a pathogen is advised as a break.
            || row.says == Says::Suppressive && answer(standing) == "advised_break";
        row.note.contains("[mended:") && (regraded || gives_answer)
    };
    if let Some(row) = standing.rows.iter().find(mended) {
        let begins = row.note.find("[mended:").unwrap_or_default();
        return Some(row.note[begins..].to_owned());
    }
    if let Some(key) = alias {
        return Some(format!("alias or aggregate: the table's name stands for {key} here"));
    }
    // An attribute is no status: what lowers a pathogen is advised as a break, and resistant
    // cultivars do not make a crop more or less of a host than its relatives.
    if wanted == "suppressive" && standing.is_suppressive() {
        return Some("attribute: it lowers the pathogen, so it counts as an advised break".into());
    }
    if wanted == "resistant_cultivars_exist" && standing.has_resistant_cultivars() {
        return Some(
            "attribute: resistant cultivars exist; the status comes from elsewhere".into(),
        );
    }
    None
}

/// Why a host counts as a weak one.
fn weak(standing: &HostStanding<'_>) -> &'static str {
    let hosts = || standing.rows.iter().filter(|row| row.says == Says::Host);
    if hosts().all(|row| row.basis == Basis::Partial) {
        "weak: some isolates, races or cultivars only, or at a low grade"
    } else if standing.rows.iter().any(|row| {
        matches!(row.says, Says::NonHost | Says::PoorHost | Says::Suppressive)
            && row.citation.how == How::Read
    }) {
        "weak: another source that was read denies it"
    } else if standing
        .rows
        .iter()
        .any(|row| row.says == Says::AdvisedBreak && row.citation.how == How::Read)
        && hosts().all(|row| row.basis != Basis::Field)
    {
        "weak: on a list of hosts, but another source that was read advises it as a break"
    } else {
        "weak, without a reason"
    }
}

#[test]
fn every_pair_is_answered_as_in_the_table_or_with_a_reason() {
    let (rows, is_own) = published("hosts.csv");
    let knowledge = Knowledge::embedded();
    let mut pairs: BTreeMap<(String, String), BTreeSet<String>> = BTreeMap::new();
    for row in &rows {
        let pair = (row.get("pathogen").to_owned(), row.get("host_crop").to_owned());
        pairs.entry(pair).or_default().insert(row.get("status").to_owned());
    }
    let (mut same, mut explained, mut unexplained) = (0, 0, Vec::new());
    for ((pathogen_key, crop_key), statuses) in &pairs {
        let moved = MOVED.iter().find(|(from, _)| from == pathogen_key).map(|(_, to)| *to);
        let named = moved.unwrap_or(pathogen_key);
        let pathogen = knowledge.names.pathogen(&knowledge.pathogens, None, named);
        let crop = knowledge.names.crop(&knowledge.crops, crop_key);
        let (Ok(pathogen), Ok(crop)) = (pathogen, crop) else {
            unexplained.push(format!("{pathogen_key} {crop_key}: not known"));
            continue;
        };
        let standing = knowledge.standing(pathogen, crop);
        let (wanted, got) = (expected(statuses), answer(&standing));
        let (own_pathogen, own_crop) =
            (&*knowledge.pathogens[pathogen].key, &*knowledge.crops[crop].key);
        let alias = (own_pathogen != pathogen_key)
            .then_some(own_pathogen)
            .or_else(|| (own_crop != crop_key).then_some(own_crop));
        if wanted == got && standing.status == HostStatus::WeakHost {
            let why = weak(&standing);
            println!("{pathogen_key} {crop_key}: host, {why}");
            explained += 1;
            if why.ends_with("without a reason") {
                unexplained.push(format!("{pathogen_key} {crop_key}: {why}"));
            }
        } else if wanted == got {
            same += 1;
        } else if let Some(why) = reason(&standing, wanted, alias) {
            println!("{pathogen_key} {crop_key}: {wanted} -> {got}: {why}");
            explained += 1;
        } else {
            unexplained.push(format!("{pathogen_key} {crop_key}: {wanted} -> {got}"));
        }
    }
    println!(
        "reference_hosts: {same}/{} pairs as in the table, {explained} otherwise with a reason, {} without",
        pairs.len(),
        unexplained.len()
    );
    for line in &unexplained {
        println!("  {line}");
    }
    if is_own {
        assert!(unexplained.is_empty(), "without a reason: {unexplained:#?}");
    }
}
