//! What must hold for every garden, tried on generated ones: one bed, with sections or without, up
//! to eight plantings of crops, covers and weeds, up to four observations with pathogens that take
//! the crop they are noted on, up to two treatments, and a proposal.
//!
//! The stream of gardens is the same in every run; `PROPTEST_CASES=5000` makes it longer.

mod support;

use std::fmt::Debug;
use std::sync::OnceLock;

use breakcrop::assess::{
    Assessment, Claim, Confidence, Evidence, FactNote, FigureNote, MissingNote, Proposal, RuleId,
    Verdict, assess, changes,
};
use breakcrop::estimate::Estimate;
use breakcrop::import::{Options, RecordFile, import};
use breakcrop::knowledge::{CropId, HostStatus, Knowledge, PathogenId};
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place};
use breakcrop::season::{Date, add_days, iso_day};
use breakcrop::state::{BedState, Presence};
use breakcrop::store::Store;
use breakcrop::view::{Phrases, json};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseResult, TestRng, TestRunner};
use support::garden_of;

/// Crops with soil-borne diseases of their own, crops that few diseases take, covers and weeds.
const CROPS: [&str; 30] = [
    "tomato",
    "pepper",
    "potato",
    "eggplant",
    "strawberry",
    "onion",
    "garlic",
    "leek",
    "cabbage",
    "broccoli",
    "radish",
    "pea",
    "snap_bean",
    "cucumber",
    "melon",
    "lettuce",
    "carrot",
    "beet",
    "spinach",
    "sweet_corn",
    "basil",
    "bell_bean",
    "crimson_clover",
    "cereal_rye",
    "white_mustard",
    "french_marigold",
    "sorghum_sudangrass",
    "black_nightshade",
    "shepherds_purse",
    "wine_cap_mushroom",
];

/// Pathogens of every kind and way of lasting: resting spores, sclerotia, cysts, wilts of one
/// crop, a group of species, one that lives in residue, one in the air, one in beetles.
const PATHOGENS: [&str; 20] = [
    "verticillium_dahliae",
    "plasmodiophora_brassicae",
    "stromatinia_cepivora",
    "sclerotinia_sclerotiorum",
    "sclerotinia_minor",
    "fusarium_oxysporum_lycopersici",
    "fusarium_oxysporum_basilici",
    "fusarium_oxysporum_lactucae",
    "phytophthora_capsici",
    "meloidogyne_incognita",
    "meloidogyne_spp",
    "pratylenchus_penetrans",
    "heterodera_schachtii",
    "ditylenchus_dipsaci",
    "aphanomyces_euteiches",
    "ralstonia_solanacearum",
    "streptomyces_scabies",
    "rhizoctonia_solani",
    "alternaria_solani",
    "erwinia_tracheiphila",
];

const SECTIONS: [&str; 3] = ["", "east", "west"];
const EXTENTS: [&str; 6] = ["", "trace", "light", "moderate", "severe", "35%"];
const CERTAINTIES: [&str; 4] = ["", "suspected", "field_check", "laboratory"];
const METHODS: [&str; 4] = ["", "sown", "transplanted", "volunteer"];
const RESIDUES: [&str; 5] = ["", "removed", "composted", "left", "dug_in"];
const PRACTICES: [&str; 5] = ["solarization", "flooding", "lime", "wood_chips", "soil_replaced"];
const SYMPTOMS: [&str; 3] =
    ["wilts at noon, yellow on one side", "roots swollen", "white mould at the collar"];

/// A planting of the story.
#[derive(Clone, Debug)]
struct Stand {
    crop: usize,
    section: usize,
    from: i64,
    days: i64,
    still: bool,
    method: usize,
    residue: usize,
}

/// What an observation names.
#[derive(Clone, Debug)]
enum Cause {
    Pathogen(usize),
    Disorder,
    Healthy,
    Unknown,
}

/// An observation of the story: on one of its plantings, some way through its time, or on the bed.
#[derive(Clone, Debug)]
struct Note {
    stand: Option<usize>,
    through: f64,
    cause: Cause,
    extent: usize,
    certainty: usize,
}

/// A treatment of the story.
#[derive(Clone, Debug)]
struct Treated {
    from: i64,
    days: i64,
    section: usize,
    practice: usize,
}

/// A garden of one bed and a proposal for it.
#[derive(Clone, Debug)]
struct Story {
    sections: bool,
    stands: Vec<Stand>,
    notes: Vec<Note>,
    treatments: Vec<Treated>,
    /// The crop proposed, and the section.
    crop: usize,
    section: usize,
    /// Days from the last record to the proposal.
    rest: i64,
    /// Days that a later proposal comes after it.
    longer: i64,
}

/// What may happen in the stories of a property.
#[derive(Clone, Copy)]
struct Kind {
    /// Whether something may still stand on the proposal's day.
    still: bool,
    /// Whether diseases of unknown cause are noted.
    unknown: bool,
}

const ANYTHING: Kind = Kind { still: true, unknown: true };

fn stand(kind: Kind) -> impl Strategy<Value = Stand> {
    (
        0..CROPS.len(),
        0..SECTIONS.len(),
        0_i64..2900,
        20_i64..300,
        prop::bool::weighted(if kind.still { 0.15 } else { 0.0 }),
        0..METHODS.len(),
        0..RESIDUES.len(),
    )
        .prop_map(|(crop, section, from, days, still, method, residue)| Stand {
            crop,
            section,
            from,
            days,
            still,
            method,
            residue,
        })
}

fn note(kind: Kind) -> impl Strategy<Value = Note> {
    let unknown = u32::from(kind.unknown);
    let cause = prop_oneof![
        12 => (0..PATHOGENS.len()).prop_map(Cause::Pathogen),
        3 => Just(Cause::Healthy),
        1 => Just(Cause::Disorder),
        unknown => Just(Cause::Unknown),
    ];
    (
        prop::option::weighted(0.85, 0_usize..8),
        0.0..=1.0,
        cause,
        0..EXTENTS.len(),
        0..CERTAINTIES.len(),
    )
        .prop_map(|(stand, through, cause, extent, certainty)| Note {
            stand,
            through,
            cause,
            extent,
            certainty,
        })
}

fn treated() -> impl Strategy<Value = Treated> {
    (0_i64..3000, 0_i64..60, 0..SECTIONS.len(), 0..PRACTICES.len())
        .prop_map(|(from, days, section, practice)| Treated { from, days, section, practice })
}

fn story(kind: Kind) -> impl Strategy<Value = Story> {
    (
        any::<bool>(),
        prop::collection::vec(stand(kind), 0..=8),
        prop::collection::vec(note(kind), 0..=4),
        prop::collection::vec(treated(), 0..=2),
        0..CROPS.len(),
        0..SECTIONS.len(),
        0_i64..1500,
        1_i64..4000,
    )
        .prop_map(|(sections, stands, notes, treatments, crop, section, rest, longer)| Story {
            sections,
            stands,
            notes,
            treatments,
            crop,
            section,
            rest,
            longer,
        })
}

fn knowledge() -> &'static Knowledge {
    static KNOWLEDGE: OnceLock<Knowledge> = OnceLock::new();
    KNOWLEDGE.get_or_init(Knowledge::embedded)
}

fn crop(key: &str) -> CropId {
    knowledge().crops.find(key).unwrap_or_else(|| panic!("no crop {key}"))
}

fn pathogen(key: &str) -> PathogenId {
    knowledge().pathogens.find(key).unwrap_or_else(|| panic!("no pathogen {key}"))
}

fn status(pathogen: PathogenId, crop: CropId) -> HostStatus {
    knowledge().standing(pathogen, crop).status
}

/// The day the stories begin.
fn begin() -> Date {
    iso_day("2012-01-01").expect("a day")
}

fn after(day: Date, days: i64) -> Date {
    add_days(day, days as f64)
}

/// The rows of each record file.
#[derive(Clone, Debug, Default)]
struct Rows {
    plantings: Vec<String>,
    observations: Vec<String>,
    treatments: Vec<String>,
}

impl Story {
    fn section_of(&self, at: usize) -> &'static str {
        if self.sections { SECTIONS[at] } else { "" }
    }

    fn place(&self) -> Place {
        match self.section_of(self.section) {
            "" => Place::whole("b"),
            section => Place::section("b", section),
        }
    }

    fn crop(&self) -> CropId {
        crop(CROPS[self.crop])
    }

    fn proposal(&self) -> Proposal {
        Proposal::of(self.crop(), self.on())
    }

    /// The last day on which anything of the story happens.
    fn last(&self) -> Date {
        let stands = self.stands.iter().map(|stand| stand.from + stand.days);
        let treated = self.treatments.iter().map(|treated| treated.from + treated.days);
        after(begin(), stands.chain(treated).max().unwrap_or(2900).max(2900))
    }

    fn on(&self) -> Date {
        after(self.last(), self.rest)
    }

    /// An observation as a row. A pathogen is one that takes the crop it is noted on, if the list
    /// has one.
    fn observed(&self, note: &Note) -> String {
        let stand = note.stand.filter(|_| !self.stands.is_empty());
        let stand = stand.map(|at| &self.stands[at % self.stands.len()]);
        let (on, section, from, days) = match stand {
            Some(stand) => {
                (CROPS[stand.crop], self.section_of(stand.section), stand.from, stand.days)
            }
            None => ("", "", 0, 2900),
        };
        #[expect(clippy::cast_possible_truncation, reason = "a share of some thousand days")]
        let day = after(begin(), from + (days as f64 * note.through) as i64);
        let (cause, symptom) = match note.cause {
            Cause::Pathogen(at) => (fitting(on, at), ""),
            Cause::Disorder => ("nitrogen_deficiency", ""),
            Cause::Healthy => ("healthy", ""),
            Cause::Unknown => ("unknown", SYMPTOMS[note.extent % SYMPTOMS.len()]),
        };
        let (extent, certainty) = (EXTENTS[note.extent], CERTAINTIES[note.certainty]);
        format!("b,{section},{day},{on},{cause},\"{symptom}\",{extent},{certainty}")
    }

    fn rows(&self) -> Rows {
        let mut rows = Rows::default();
        for (at, stand) in self.stands.iter().enumerate() {
            let (section, crop) = (self.section_of(stand.section), CROPS[stand.crop]);
            let from = after(begin(), stand.from);
            let to = if stand.still { String::new() } else { after(from, stand.days).to_string() };
            let (method, residue) = (METHODS[stand.method], RESIDUES[stand.residue]);
            rows.plantings.push(format!("b,{section},{crop},v{at},{method},{from},{to},{residue}"));
        }
        rows.observations = self.notes.iter().map(|note| self.observed(note)).collect();
        // The same thing noted twice on a day is one record, corrected: that is not what is tried.
        let mut known: Vec<String> = Vec::new();
        rows.observations.retain(|row| {
            let identity = row.split(',').take(5).collect::<Vec<_>>().join(",");
            let new = !known.contains(&identity);
            known.push(identity);
            new
        });
        for treated in &self.treatments {
            let from = after(begin(), treated.from);
            let to = after(from, treated.days);
            let (section, practice) =
                (self.section_of(treated.section), PRACTICES[treated.practice]);
            rows.treatments.push(format!("b,{section},{from},{to},{practice}"));
        }
        rows
    }

    fn garden(&self) -> Garden {
        read(&self.rows().files())
    }
}

/// The pathogen of the list, counted from a place in it, that takes a crop.
fn fitting(on: &str, at: usize) -> &'static str {
    let from = PATHOGENS.iter().cycle().skip(at).take(PATHOGENS.len());
    let takes = |key: &&&str| on.is_empty() || status(pathogen(key), crop(on)).may_suffer();
    from.copied().find(|key| takes(&key)).unwrap_or(PATHOGENS[at])
}

impl Rows {
    fn files(&self) -> Vec<RecordFile> {
        let file = |name: &str, header: &str, rows: &[String]| RecordFile {
            name: name.to_owned(),
            bytes: format!("{header}\n{}\n", rows.join("\n")).into_bytes(),
        };
        vec![
            file("beds.csv", "bed,kind,length_m,width_m", &["b,ground,6,1.2".to_owned()]),
            file(
                "plantings.csv",
                "bed,section,crop,variety,method,planted,removed,residue",
                &self.plantings,
            ),
            file(
                "observations.csv",
                "bed,section,date,crop,cause,symptom,extent,certainty",
                &self.observations,
            ),
            file("treatments.csv", "bed,section,start,end,practice", &self.treatments),
        ]
    }

    /// The rows of every file in an order that a number decides.
    fn shuffled(mut self, seed: u64) -> Self {
        for rows in [&mut self.plantings, &mut self.observations, &mut self.treatments] {
            rows.sort_by_key(|row| mixed(seed, row));
        }
        self
    }
}

/// A number that depends on a seed and a text, for shuffling.
fn mixed(seed: u64, text: &str) -> u64 {
    text.bytes().fold(seed ^ 0x9e37_79b9_7f4a_7c15, |sum, byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0xff51_afd7_ed55_8ccd).rotate_left(29)
    })
}

/// The garden of record files.
fn read(files: &[RecordFile]) -> Garden {
    let files = files.iter().map(|file| (file.name.as_str(), file.bytes.as_slice()));
    garden_of(knowledge(), files, "a story")
}

fn judged(garden: &Garden, place: &Place, proposal: &Proposal) -> Assessment {
    let policy = Policy::default();
    let state = BedState::at(garden, knowledge(), &policy, place, proposal.on);
    assess(knowledge(), &policy, &state, proposal)
}

/// The judgment as it goes out, with what would change it.
fn told(garden: &Garden, place: &Place, proposal: &Proposal) -> serde_json::Value {
    let (knowledge, policy) = (knowledge(), Policy::default());
    let assessment = judged(garden, place, proposal);
    let changes = changes(knowledge, &policy, garden, place, &assessment);
    serde_json::json!(json::assessment(Phrases::new(knowledge), place, &assessment, &changes))
}

/// The same without the numbers of lines, which are another thing when rows change places.
fn without_lines(mut value: serde_json::Value) -> serde_json::Value {
    fn strip(value: &mut serde_json::Value) {
        match value {
            serde_json::Value::Object(fields) => {
                fields.remove("line");
                fields.values_mut().for_each(strip);
            }
            serde_json::Value::Array(items) => items.iter_mut().for_each(strip),
            _ => {}
        }
    }
    strip(&mut value);
    value
}

/// Tries a property on a stream of cases that is the same in every run.
fn holds<S>(part: u32, cases: S, property: impl Fn(S::Value) -> TestCaseResult)
where
    S: Strategy,
    S::Value: Debug,
{
    let config = Config { failure_persistence: None, ..Config::default() };
    let config =
        Config { cases: config.cases / part, max_global_rejects: config.cases * 8, ..config };
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    if let Err(error) = TestRunner::new_with_rng(config, rng).run(&cases, property) {
        panic!("{error}");
    }
}

/// The likely yield by all reasons but nutrients: every record, a sighting too, lengthens the time
/// for which the books of the soil are kept, which is another matter.
fn yield_of_health(assessment: &Assessment) -> f64 {
    let nutrients: f64 = assessment
        .reasons
        .iter()
        .filter(|reason| reason.rule == RuleId::NutrientSupply)
        .map(|reason| reason.yield_fraction.likely)
        .product();
    assessment.expected_yield.likely / nutrients.max(f64::MIN_POSITIVE)
}

/// `None` is a wait that does not end.
fn not_before(earliest: Option<Date>, other: Option<Date>) -> bool {
    match (earliest, other) {
        (None, _) => true,
        (Some(_), None) => false,
        (Some(earliest), Some(other)) => earliest >= other,
    }
}

/// Nothing stands, nothing more is written: on a later day the verdict is the same or freer, the
/// first possible day does not move away, and it is kept: on it the crop no longer waits, on the
/// day before it still does. A wait without an end has none later either.
#[test]
fn a_longer_break_never_worsens_a_verdict() {
    holds(1, story(Kind { still: false, unknown: true }), |story| {
        let (garden, place) = (story.garden(), story.place());
        let on = |day: Date| judged(&garden, &place, &Proposal { on: day, ..story.proposal() });
        let (soon, late) = (story.on(), after(story.on(), story.longer));
        let (first, second) = (on(soon), on(late));
        prop_assert!(second.verdict <= first.verdict, "{:#?}\n{:#?}", first, second);
        let Some(earliest) = first.earliest else {
            prop_assert_eq!(second.verdict, Verdict::Wait);
            prop_assert_eq!(second.earliest, None);
            return Ok(());
        };
        prop_assert!(second.earliest.is_some_and(|day| day <= earliest.max(late)));
        if first.verdict == Verdict::Wait {
            prop_assert!(earliest > soon);
            let kept = on(earliest);
            prop_assert!(kept.verdict < Verdict::Wait, "{:#?}", kept);
            let before = on(after(earliest, -1));
            prop_assert_eq!(before.verdict, Verdict::Wait, "{:#?}", before);
        }
        Ok(())
    });
}

/// A sighting to add to a story: by a laboratory, anywhere in its time, of any extent.
fn sighting() -> impl Strategy<Value = Note> {
    (
        prop::option::weighted(0.7, 0_usize..8),
        0.0..=1.0,
        (0..PATHOGENS.len()).prop_map(Cause::Pathogen),
        0..EXTENTS.len(),
    )
        .prop_map(|(stand, through, cause, extent)| Note {
            stand,
            through,
            cause,
            extent,
            certainty: 3,
        })
}

/// The judgments before and after a sighting is added; `None` if the sighting is not of the place.
fn with_sighting(story: &Story, row: &str) -> Option<(Assessment, Assessment)> {
    let place = story.place();
    let section = row.split(',').nth(1).unwrap_or_default();
    if place.section.is_some() && !section.is_empty() && place.section.as_deref() != Some(section) {
        return None;
    }
    let mut rows = story.rows();
    let proposal = story.proposal();
    let before = judged(&read(&rows.files()), &place, &proposal);
    rows.observations.push(row.to_owned());
    let after = judged(&read(&rows.files()), &place, &proposal);
    Some((before, after))
}

fn never_better(before: &Assessment, after: &Assessment) -> TestCaseResult {
    prop_assert!(after.verdict >= before.verdict, "{:#?}\n{:#?}", before, after);
    prop_assert!(not_before(after.earliest, before.earliest), "{:#?}\n{:#?}", before, after);
    let (was, is) = (yield_of_health(before), yield_of_health(after));
    prop_assert!(is <= was + 1e-9, "{} {}\n{:#?}\n{:#?}", was, is, before, after);
    Ok(())
}

/// A disease that a laboratory names, and that stays with the bed, never makes its host's verdict
/// freer, its first day earlier or its likely yield higher, whatever else was noted before. No
/// disease of unknown cause is on record: naming its cause answers that question, and the crop may
/// then be freer than under the mixture of all causes.
#[test]
fn a_confirmed_sighting_never_improves_a_hosts_verdict() {
    let cases = (story(Kind { still: true, unknown: false }), sighting(), any::<bool>());
    holds(1, cases, |(mut story, seen, same)| {
        let Cause::Pathogen(at) = seen.cause else { unreachable!("a pathogen") };
        // Half of the time the crop of the proposal is one that stood.
        if let (true, Some(stand)) = (same, story.stands.first()) {
            story.crop = stand.crop;
        }
        let named = pathogen(fitting(CROPS[story.crop], at));
        let row = &knowledge().pathogens[named];
        prop_assume!(row.is_bound_to_bed() && status(named, story.crop()).may_suffer());
        let mut cells: Vec<String> = story.observed(&seen).split(',').map(str::to_owned).collect();
        cells[4] = row.key.to_string();
        let pair = with_sighting(&story, &cells.join(","));
        prop_assume!(pair.is_some());
        let (before, after) = pair.expect("assumed");
        let told = after.reasons.iter().any(
            |reason| matches!(reason.claim, Claim::Disease { pathogen, .. } if pathogen == named),
        );
        let renewed = story.treatments.iter().any(|one| PRACTICES[one.practice] == "soil_replaced");
        prop_assert!(told || renewed, "{:#?}", after);
        never_better(&before, &after)
    });
}

/// A crop that the disease does not take gains nothing from it being seen. The family's return
/// time is advice for a bed where nothing was named, and stands back for a relative on which
/// something was; so the sighting here is not on a relative.
#[test]
fn a_non_host_never_gains_from_a_sighting() {
    let cases =
        (story(Kind { still: true, unknown: false }), sighting(), any::<prop::sample::Index>());
    holds(1, cases, |(mut story, seen, index)| {
        let row = story.observed(&seen);
        let cells: Vec<&str> = row.split(',').collect();
        let (on, named) = (cells[3], pathogen(cells[4]));
        prop_assume!(!on.is_empty());
        let crops = &knowledge().crops;
        let clean: Vec<usize> = (0..CROPS.len())
            .filter(|at| {
                matches!(
                    status(named, crop(CROPS[*at])),
                    HostStatus::NonHost | HostStatus::OutsideRange | HostStatus::AdvisedBreak
                ) && crops[crop(CROPS[*at])].family != crops[crop(on)].family
            })
            .collect();
        prop_assume!(!clean.is_empty());
        story.crop = *index.get(&clean);
        let pair = with_sighting(&story, &row);
        prop_assume!(pair.is_some());
        let (before, after) = pair.expect("assumed");
        never_better(&before, &after)
    });
}

/// Rows in any order, files in any order: the same judgment and the same words, lines apart.
#[test]
fn the_order_of_rows_and_files_does_not_matter() {
    holds(1, (story(ANYTHING), any::<u64>()), |(story, seed)| {
        let rows = story.rows();
        let first = told(&read(&rows.files()), &story.place(), &story.proposal());
        let mut files = rows.shuffled(seed).files();
        files.sort_by_key(|file| mixed(seed, &file.name));
        let second = told(&read(&files), &story.place(), &story.proposal());
        prop_assert_eq!(without_lines(first), without_lines(second));
        Ok(())
    });
}

/// One import, or the same rows in two files imported one after the other, in any order: the same
/// judgment through the store.
#[test]
fn the_order_of_imports_does_not_matter() {
    holds(8, (story(ANYTHING), any::<u64>(), any::<bool>()), |(story, seed, turned)| {
        let options = Options { today: story.on(), dry_run: false, withdraw: false };
        let stored = |batches: &[Vec<RecordFile>]| {
            let mut store = Store::in_memory().expect("a store");
            for files in batches {
                import(&mut store, knowledge(), files, "folder", options).expect("imports");
            }
            store.garden(knowledge()).expect("the garden reads")
        };
        let rows = story.rows();
        let whole = stored(&[rows.files()]);
        let (mut one, mut other) = (rows.clone(), rows);
        for (one, other) in [
            (&mut one.plantings, &mut other.plantings),
            (&mut one.observations, &mut other.observations),
            (&mut one.treatments, &mut other.treatments),
        ] {
            one.retain(|row| mixed(seed, row).is_multiple_of(2));
            other.retain(|row| !mixed(seed, row).is_multiple_of(2));
        }
        let named = |rows: &Rows, year: &str| -> Vec<RecordFile> {
            let name = |file: &RecordFile| match &*file.name {
                "beds.csv" => file.name.clone(),
                other => other.replace(".csv", &format!("-{year}.csv")),
            };
            rows.files().into_iter().map(|file| RecordFile { name: name(&file), ..file }).collect()
        };
        let mut batches = vec![named(&one, "one"), named(&other, "other")];
        if turned {
            batches.reverse();
        }
        let parts = stored(&batches);
        let judgment = |garden: &Garden| {
            let told = without_lines(told(garden, &story.place(), &story.proposal())).to_string();
            told.replace("-one.csv", ".csv").replace("-other.csv", ".csv")
        };
        prop_assert_eq!(judgment(&whole), judgment(&parts));
        Ok(())
    });
}

/// A crop that nobody has tested under a disease that lives in the bed is never simply planted
/// with high confidence, and the answer says what is missing.
#[test]
fn unknown_never_reads_as_clean() {
    holds(1, (story(ANYTHING), any::<prop::sample::Index>()), |(story, index)| {
        let garden = story.garden();
        let policy = Policy::default();
        let state = BedState::at(&garden, knowledge(), &policy, &story.place(), story.on());
        let alive = state.inocula().filter(|inoculum| {
            matches!(inoculum.presence, Presence::Sighted(_))
                && knowledge().pathogens[inoculum.pathogen].is_bound_to_bed()
        });
        for inoculum in alive {
            let untested: Vec<CropId> = knowledge()
                .crops
                .iter()
                .map(|(id, _)| id)
                .filter(|id| {
                    matches!(
                        status(inoculum.pathogen, *id),
                        HostStatus::Unrecorded | HostStatus::Ungraded
                    )
                })
                .collect();
            if untested.is_empty() {
                continue;
            }
            let crop = *index.get(&untested);
            let proposal = Proposal::of(crop, story.on());
            let answer = assess(knowledge(), &policy, &state, &proposal);
            let sure = answer.verdict == Verdict::Plant && answer.confidence == Confidence::High;
            prop_assert!(!sure, "{:#?}", answer);
            let unrecorded = status(inoculum.pathogen, crop) == HostStatus::Unrecorded;
            let missing = answer.reasons.iter().flat_map(|reason| &reason.evidence).any(|leaf| {
                matches!(leaf, Evidence::Missing(MissingNote::HostStatus { pathogen, .. })
                    if *pathogen == inoculum.pathogen)
            });
            prop_assert!(missing || !unrecorded, "{:#?}", answer);
        }
        Ok(())
    });
}

/// A bed without a record says that its history is unknown, whatever is proposed, and is not sure.
#[test]
fn a_bed_without_records_says_that_nothing_is_known() {
    let garden = read(&Rows::default().files());
    for key in CROPS {
        let proposal = Proposal::of(crop(key), begin());
        let answer = judged(&garden, &Place::whole("b"), &proposal);
        let unknown = answer.reasons.iter().find(|reason| reason.rule == RuleId::HistoryUnknown);
        let unknown = unknown.unwrap_or_else(|| panic!("{key}: {answer:#?}"));
        assert!(matches!(
            unknown.evidence[..],
            [Evidence::Missing(MissingNote::HistoryBefore { from: None })]
        ));
        assert!(answer.confidence < Confidence::High, "{key}");
        assert!(answer.expected_yield.low < 1.0, "{key}: a background is presumed");
    }
}

/// low <= likely <= high, all finite.
fn ordered(what: &str, range: Estimate) -> TestCaseResult {
    let finite = range.low.is_finite() && range.high.is_finite();
    prop_assert!(finite && range.brackets(range.likely), "{}: {:?}", what, range);
    Ok(())
}

/// The ranges of a leaf.
fn ranges(leaf: &Evidence) -> Vec<Estimate> {
    match leaf {
        Evidence::Fact(FactNote::Survival { years, .. }, _) => years.iter().copied().collect(),
        Evidence::Fact(FactNote::Sequence { wait_days, .. }, _) => {
            wait_days.iter().copied().collect()
        }
        Evidence::Fact(FactNote::Days { days, .. }, _) => vec![*days],
        Evidence::Figure(FigureNote::ExpectedLoss { half_life, loss }) => vec![*half_life, *loss],
        _ => Vec::new(),
    }
}

/// Every range holds its likely value; shares are shares; a yield is at most three tenths above
/// that of a clean, rotated bed; every reason rests on something.
#[test]
fn ranges_bracket_and_reasons_rest_on_evidence() {
    holds(1, story(ANYTHING), |story| {
        let garden = story.garden();
        let policy = Policy::default();
        let state = BedState::at(&garden, knowledge(), &policy, &story.place(), story.on());
        for inoculum in state.inocula() {
            ordered("dose", inoculum.dose)?;
            ordered("half-life", inoculum.half_life.years())?;
            prop_assert!(inoculum.dose.low >= 0.0 && inoculum.half_life.years().low > 0.0);
            let loss = inoculum.loss_at(state.date, after(state.date, story.longer));
            ordered("loss", loss)?;
            prop_assert!(loss.low >= 0.0 && loss.high <= 1.0, "{:?}", loss);
            for step in &inoculum.steps {
                ordered("step", step.dose)?;
            }
            if let Presence::Candidate(chance) = inoculum.presence {
                prop_assert!((0.0..=1.0).contains(&chance));
            }
        }
        for episode in state.episodes() {
            let sum: f64 = episode.candidates.iter().map(|candidate| candidate.chance).sum();
            prop_assert!(episode.candidates.is_empty() || (sum - 1.0).abs() < 1e-9, "{}", sum);
        }
        let answer = assess(knowledge(), &policy, &state, &story.proposal());
        for yields in
            answer.reasons.iter().map(|reason| reason.yield_fraction).chain([answer.expected_yield])
        {
            ordered("yield", yields)?;
            prop_assert!(yields.low >= 0.0 && yields.high <= 1.3, "{:#?}", answer);
        }
        for reason in &answer.reasons {
            prop_assert!(!reason.evidence.is_empty(), "{:#?}", reason);
            for range in reason.evidence.iter().flat_map(ranges) {
                ordered("leaf", range)?;
            }
        }
        Ok(())
    });
}

/// Read and judged twice, with tables read twice: the same bytes.
#[test]
fn two_runs_say_the_same() {
    let again = Knowledge::embedded();
    holds(2, story(ANYTHING), |story| {
        let first = told(&story.garden(), &story.place(), &story.proposal()).to_string();
        let garden = story.garden();
        let policy = Policy::default();
        let state = BedState::at(&garden, &again, &policy, &story.place(), story.on());
        let answer = assess(&again, &policy, &state, &story.proposal());
        let changes = changes(&again, &policy, &garden, &story.place(), &answer);
        let phrases = Phrases::new(&again);
        let second =
            serde_json::json!(json::assessment(phrases, &story.place(), &answer, &changes));
        prop_assert_eq!(first, second.to_string());
        Ok(())
    });
}

/// The stories are deep enough to try what they are for: of 500, each verdict has its share, and
/// so have long chains of reasons, healthy looks, volunteers and open questions.
#[test]
fn the_stories_are_deep() {
    const STORIES: usize = 500;
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let cases = story(ANYTHING);
    let mut counts = [0_usize; 3];
    let (mut lowered, mut regrown, mut beside, mut open) = (0, 0, 0, 0);
    for _ in 0..STORIES {
        let story = cases.new_tree(&mut runner).expect("a story").current();
        let garden = story.garden();
        let policy = Policy::default();
        let state = BedState::at(&garden, knowledge(), &policy, &story.place(), story.on());
        let answer = assess(knowledge(), &policy, &state, &story.proposal());
        counts[answer.verdict as usize] += 1;
        lowered += usize::from(state.inocula().any(breakcrop::state::Inoculum::was_lowered));
        regrown += usize::from(state.inocula().any(|one| one.hosts_since.len() > 1));
        beside += usize::from(state.inocula().any(|one| one.presence == Presence::Beside));
        open += usize::from(!state.episodes().is_empty());
    }
    println!(
        "plant, care, wait: {counts:?}; lowered {lowered}, several hosts {regrown}, \
         beside {beside}, unknown {open}"
    );
    for (verdict, count) in ["plant", "care", "wait"].into_iter().zip(counts) {
        assert!(count * 20 >= STORIES, "{verdict}: {count} of {STORIES}");
    }
    for (what, count) in
        [("lowered", lowered), ("regrown", regrown), ("beside", beside), ("open", open)]
    {
        assert!(count * 20 >= STORIES, "{what}: {count} of {STORIES}");
    }
}
