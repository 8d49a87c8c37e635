//! Good and bad predecessors that are not disease, and the days to wait after residues.

use std::collections::BTreeMap;

use super::citation::Citation;
use super::crops::{Crop, Crops, Role};
use super::ids::CropId;
use super::table::{ANY, HOW, LOCATOR, NOTE, SOURCE, citation};
use super::tables::{Table, Tables};
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problem, Problems};

/// What the previous crop does to the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Follows {
    /// Helps it.
    Well,
    /// Harms it.
    Badly,
    /// Makes no difference, or a wait does away with it.
    Neutral,
}

/// One statement.
#[derive(Clone, Debug)]
pub struct SequenceRow {
    /// The previous crop, group or material.
    pub previous: Box<str>,
    /// The next crop or group.
    pub next: Box<str>,
    /// The effect.
    pub follows: Follows,
    /// Why: `nutrients`, `pests`, `allelopathy`, `structure`, `volunteers`, `weeds`, `unknown`.
    pub reason: Box<str>,
    /// How many years it lasts, as printed.
    pub years: Box<str>,
    /// Days to wait.
    pub wait_days: Option<Estimate>,
    /// State of the residue, if the source tells: `killed_as_mulch`, `incorporated`, ...
    pub previous_condition: Box<str>,
    /// `sown` or `transplanted`, if the source tells them apart.
    pub next_method: Box<str>,
    /// Yield of the next crop relative to a neutral predecessor, if printed.
    pub yield_fraction: Option<Estimate>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("previous", Kind::Text(80), "previous crop or group key, or a material"),
    Column::required("next", Kind::Text(80), "next crop or group key"),
    Column::required(
        "effect",
        Kind::Choice(&["good", "bad", "neutral"]),
        "effect on the next crop",
    ),
    Column::required(
        "reason",
        Kind::Text(30),
        "nutrients, pests, allelopathy, structure, volunteers, weeds",
    ),
    Column::optional("years", Kind::Text(20), "how long it lasts, as printed"),
    Column::optional("wait_days_min", Kind::Number(0.0, 4000.0), "days to wait, least"),
    Column::optional("wait_days_max", Kind::Number(0.0, 4000.0), "days to wait, most"),
    Column::optional("previous_condition", Kind::Text(60), "state of the residue"),
    Column::optional("next_method", Kind::Text(30), "sown or transplanted, where told apart"),
    Column::optional("yield_low", ANY, "relative yield, low"),
    Column::optional("yield_high", ANY, "relative yield, high"),
    Column::optional("note", NOTE, "what the source adds"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static SEQUENCE_RULES: Table = Table {
    file: "sequence_rules.csv",
    text: include_str!("tables/sequence_rules.csv"),
    columns: COLUMNS,
    subject: &["previous", "next"],
    told_apart_by: &["effect", "reason", "wait_days_min", "previous_condition", "source", "note"],
    attributes: None,
};

const GROUP_COLUMNS: &[Column] = &[
    Column::required("group", Kind::Text(80), "group key"),
    Column::required("crop", Kind::Text(80), "crop key, family:NAME or role:NAME"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static CROP_GROUPS: Table = Table {
    file: "crop_groups.csv",
    text: include_str!("tables/crop_groups.csv"),
    columns: GROUP_COLUMNS,
    subject: &["group", "crop"],
    told_apart_by: &[],
    attributes: None,
};

/// Which crops a word stands for: one place a crop.
type Members = Vec<bool>;

/// The statements and the groups they speak of.
#[derive(Debug)]
pub struct Sequences {
    rows: Vec<SequenceRow>,
    /// For each row, the crops that its previous and its next stand for: looked up for every crop
    /// of every ranking, so the words are resolved once.
    members: Vec<(Members, Members)>,
    /// For each crop, the rows that speak of it as the previous one.
    after: Vec<Vec<usize>>,
    /// The crops of each group.
    groups: BTreeMap<Box<str>, Members>,
}

impl Sequences {
    pub(super) fn read(tables: &Tables, crops: &Crops, problems: &mut Problems) -> Self {
        let statements = tables.read(&SEQUENCE_RULES, problems, |cells| {
            let mut text = |name| Box::<str>::from(cells.text(name).unwrap_or_default());
            let (previous, next) = (text("previous"), text("next"));
            let follows =
                [Follows::Well, Follows::Badly, Follows::Neutral][cells.choice("effect")?];
            let mut text = |name| Box::<str>::from(cells.text(name).unwrap_or_default());
            let (reason, years) = (text("reason"), text("years"));
            let wait_days = super::table::range(cells, "wait_days_min", "wait_days_max");
            let mut text = |name| Box::<str>::from(cells.text(name).unwrap_or_default());
            let (previous_condition, next_method) =
                (text("previous_condition"), text("next_method"));
            let yield_fraction = super::table::range(cells, "yield_low", "yield_high");
            Some(SequenceRow {
                previous,
                next,
                follows,
                reason,
                years,
                wait_days,
                previous_condition,
                next_method,
                yield_fraction,
                note: cells.text("note").unwrap_or_default().into(),
                citation: citation(cells)?,
            })
        });
        let groups = tables.read(&CROP_GROUPS, problems, |cells| {
            let group: Box<str> = cells.text("group")?.into();
            let member = cells.text("crop")?;
            let mut members = vec![false; crops.count()];
            if let Some(crop) = crops.find(member) {
                members[crop.index()] = true;
            } else if let Some(family) = member.strip_prefix("family:") {
                mark(crops, &mut members, |crop| *crop.family == *family);
            } else if let Some(role) = member.strip_prefix("role:") {
                mark(crops, &mut members, |crop| crop.role.word() == role);
            } else {
                cells.problem("crop", Problem::UnknownName { of: "crop" }, None);
                return None;
            }
            citation(cells)?;
            Some((group, members))
        });
        let mut by_word: BTreeMap<Box<str>, Members> = BTreeMap::new();
        for (group, members) in groups {
            let all = by_word.entry(group).or_insert_with(|| vec![false; crops.count()]);
            for (known, member) in all.iter_mut().zip(members) {
                *known |= member;
            }
        }
        let meant = |word: &str| {
            let mut members =
                by_word.get(word).cloned().unwrap_or_else(|| vec![false; crops.count()]);
            match crops.find(word) {
                Some(crop) => members[crop.index()] = true,
                None if word == "any" => {
                    mark(crops, &mut members, |crop| crop.role != Role::Fungus);
                }
                None => mark(crops, &mut members, |crop| *crop.family == *word),
            }
            members
        };
        let members: Vec<(Members, Members)> = statements
            .iter()
            // Statements on "any" crop count only where the previous crop is named.
            .map(|row| {
                let previous = if &*row.previous == "any" { "" } else { &row.previous };
                (meant(previous), meant(&row.next))
            })
            .collect();
        let mut after = vec![Vec::new(); crops.count()];
        for (row, (before, _)) in members.iter().enumerate() {
            let named = after.iter_mut().zip(before).filter(|(_, named)| **named);
            named.for_each(|(rows, _)| rows.push(row));
        }
        Self { rows: statements, members, after, groups: by_word }
    }

    /// Whether a group's word stands for a crop: a key of the crop groups, or the crop's own key.
    #[must_use]
    pub fn is_member(&self, crops: &Crops, group: &str, crop: CropId) -> bool {
        *crops[crop].key == *group
            || self.groups.get(group).is_some_and(|members| members[crop.index()])
    }

    /// All statements.
    #[must_use]
    pub fn rows(&self) -> &[SequenceRow] {
        &self.rows
    }

    /// Statements on a crop after another.
    pub fn on(&self, previous: CropId, next: CropId) -> impl Iterator<Item = &SequenceRow> {
        self.after[previous.index()]
            .iter()
            .filter(move |row| self.members[**row].1[next.index()])
            .map(|row| &self.rows[*row])
    }

    /// Statements on a crop after a material, which is named by its word.
    pub fn after_material(
        &self,
        material: &'static str,
        next: CropId,
    ) -> impl Iterator<Item = &SequenceRow> {
        self.rows
            .iter()
            .zip(&self.members)
            .filter(move |(row, (_, after))| &*row.previous == material && after[next.index()])
            .map(|(row, _)| row)
    }
}

fn mark(crops: &Crops, members: &mut Members, is_member: impl Fn(&Crop) -> bool) {
    for (id, crop) in crops.iter() {
        if is_member(crop) {
            members[id.index()] = true;
        }
    }
}
