//! What must hold of any input, whoever makes it up: the tests in `tests/bad_input.rs` and the fuzz
//! targets in this folder call the same functions.

use std::path::Path;
use std::sync::OnceLock;

use breakcrop::import::{RecordFile, garden_of};
use breakcrop::knowledge::{Knowledge, Tables, fold};
use breakcrop::plan::solve::{
    Choice, Effort, Instance, NO_FAMILY, Neighbours, PlaceChoices, Plain, Wish, feasible_path,
    solve, value_of,
};
use breakcrop::records::RecordKind;
use breakcrop::render::{Look, page_text};
use breakcrop::season::iso_day;
use breakcrop::store::{Store, examine};
use breakcrop::tabular::RowProblem;
use breakcrop::view::{Label, Line, Page, Span, Table, checkup_page, problem_page};

/// The tables, read once.
pub(crate) fn knowledge() -> &'static Knowledge {
    static KNOWLEDGE: OnceLock<Knowledge> = OnceLock::new();
    KNOWLEDGE.get_or_init(Knowledge::embedded)
}

/// Beds that record files of any kind may name.
pub(crate) const BEDS: &str =
    "bed,kind,length_m,width_m\nN1,ground,4,1\nN2,raised,2,1\nS1,ground,3,1\n";

/// A record file of any bytes becomes rows, or problems each at a place in the file.
pub(crate) fn records(kind: RecordKind, bytes: &[u8]) {
    let name = format!("{}.csv", kind.word());
    let mut files = vec![RecordFile { name: name.clone(), bytes: bytes.to_vec() }];
    if kind != RecordKind::Beds {
        files.push(RecordFile { name: "beds.csv".to_owned(), bytes: BEDS.as_bytes().to_vec() });
    }
    match garden_of(knowledge(), &files) {
        Ok(garden) => {
            let _ = garden.count();
        }
        Err(problems) => located(&name, bytes, &problems),
    }
}

/// Each problem names its file and a line and column that are there, and can be shown.
pub(crate) fn located(name: &str, bytes: &[u8], problems: &[RowProblem]) {
    assert!(!problems.is_empty());
    let lines = bytes.split(|byte| *byte == b'\n').count();
    for problem in problems {
        assert_eq!(&*problem.file, name);
        let line = usize::try_from(problem.line).expect("a line");
        // A carriage return alone ends a line for the reader, so that there may be more lines.
        let most = lines + bytes.split(|byte| *byte == b'\r').count();
        assert!((1..=most.max(1)).contains(&line), "line {line} of {lines}: {problem:?}");
    }
    shown(&problem_page(problems, usize::MAX));
}

/// A page prints without a character that a terminal would obey, and in lines that hold its words.
pub(crate) fn shown(page: &Page) {
    for width in [40, 80] {
        let text = page_text(page, Look::plain(width));
        let bad = text.chars().find(|character| {
            (character.is_control() && *character != '\n')
                || matches!(*character, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        });
        assert_eq!(bad, None, "{text:?}");
    }
}

/// Any text in any place of a page.
pub(crate) fn pages(texts: &[String]) {
    let span = |text: &String| Span::new(Label::Name, text.as_str());
    let mut page = Page::default();
    for text in texts {
        page.line(Line::at(2).hanging(4).text(text.as_str()));
    }
    page.table(Table {
        indent: 1,
        head: texts.to_vec(),
        right: vec![0],
        rows: texts.chunks(3).map(|row| row.iter().map(span).collect()).collect(),
    });
    shown(&page);
}

/// A day reads only as it is written, and a folded name folds to itself.
pub(crate) fn words(text: &str) {
    if let Some(day) = iso_day(text) {
        assert_eq!(day.to_string(), text);
    }
    let folded = fold(text);
    assert_eq!(fold(&folded), folded);
}

/// A quantity in any unit of the header is kept within its bounds, or is a problem of its cell.
pub(crate) fn quantities(header: &str, cell: &str) {
    let text = format!("bed,kind,{header},width_m\nA,ground,{cell},1\n");
    let file = RecordFile { name: "beds.csv".to_owned(), bytes: text.clone().into_bytes() };
    match garden_of(knowledge(), std::slice::from_ref(&file)) {
        Ok(garden) => {
            for bed in &garden.beds {
                assert!((0.05..=1000.0).contains(&bed.length.0), "{text}");
            }
        }
        Err(problems) => located("beds.csv", text.as_bytes(), &problems),
    }
}

/// An own table of any bytes over the built-in ones is taken or refused with problems of its own
/// file.
pub(crate) fn tables(name: &str, bytes: &[u8]) {
    settled(Tables::with_own("own", [(name.to_owned(), bytes.to_vec())]));
}

/// The same over a few rows of the tables that all others refer to: some hundred times as fast.
pub(crate) fn small_tables(name: &str, bytes: &[u8]) {
    settled(few_tables(name, bytes));
}

/// Own tables without the built-in rows.
pub(crate) fn few_tables(name: &str, bytes: &[u8]) -> Result<Tables, Vec<RowProblem>> {
    let rows = FEW.iter().filter(|(table, _)| *table != name);
    let rows = rows.map(|(table, rows)| ((*table).to_owned(), rows.as_bytes().to_vec()));
    Tables::alone("own", rows.chain([(name.to_owned(), bytes.to_vec())]))
}

/// Rows that those of other tables name.
const FEW: [(&str, &str); 4] = [
    ("sources.csv", "key,title\nown_trial,A trial of ours\n"),
    (
        "crops.csv",
        "key,name,family,role,source,how\ntomato,tomato,Solanaceae,cash,own_trial,read\n\
         cabbage,cabbage,Brassicaceae,cash,own_trial,read\noat,oat,Poaceae,cover,own_trial,read\n",
    ),
    (
        "pathogens.csv",
        "key,name,kind,inoculum,spread,host_range,survival_open,rotation_effect,source,how\n\
         verticillium_dahliae,Verticillium wilt,fungus,soil,bed,broad,false,partial,own_trial,read\n",
    ),
    ("names.csv", "kind,name,key,source,how\ncrop,love apple,tomato,own_trial,read\n"),
];

fn settled(tables: Result<Tables, Vec<RowProblem>>) {
    match tables.map(Knowledge::with_overlay) {
        Ok(Ok(knowledge)) => {
            let _ = knowledge.names.crop(&knowledge.crops, "tomato");
        }
        Ok(Err(problems)) | Err(problems) => {
            assert!(!problems.is_empty());
            shown(&problem_page(&problems, 20));
        }
    }
}

/// The newest format of garden files.
const FORMAT: u32 = 3;

/// A garden file of any bytes is opened, read, examined; it stays as it is.
pub(crate) fn database(path: &Path, bytes: &[u8]) {
    std::fs::write(path, bytes).expect("writes");
    // An older format is brought up when it is opened, with a copy beside it; where SQLite keeps the
    // number of the format, this tells it.
    let format = bytes.get(60..64).and_then(|bytes| <[u8; 4]>::try_from(bytes).ok());
    let may_be_older =
        format.is_some_and(|format| (1..FORMAT).contains(&u32::from_be_bytes(format)));
    if !may_be_older && let Ok(store) = Store::open(path) {
        let _ = store.garden(knowledge());
        let _ = store.export();
    }
    match examine(path) {
        Ok(checkup) => shown(&checkup_page(&checkup)),
        Err(error) => assert!(!error.to_string().is_empty()),
    }
    assert_eq!(std::fs::read(path).expect("reads"), bytes);
}

/// Takes a few small numbers from bytes, noughts when they are used up.
struct Few<'a>(std::slice::Iter<'a, u8>);

impl Few<'_> {
    fn below(&mut self, most: u8) -> u8 {
        self.0.next().copied().unwrap_or(0) % most
    }

    /// A worth or an amount, less than nothing too.
    fn amount(&mut self) -> f64 {
        f64::from(self.below(41)) / 8.0 - 1.0
    }
}

/// A planner instance of any bytes: two or three places, choices that overlap, contradict each
/// other, or end behind the last half-month.
fn instance(bytes: &[u8]) -> Instance {
    let mut few = Few(bytes.iter());
    let slots = 1 + few.below(12);
    let wishes: Vec<Wish> = (0..few.below(3))
        .map(|_| Wish {
            worth: few.amount().abs(),
            wanted: few.amount().abs(),
            beyond: f64::from(few.below(9)) / 8.0,
        })
        .collect();
    let places: Vec<PlaceChoices> = (0..=few.below(3))
        .map(|_| {
            let choices = (0..few.below(6)).map(|_| choice(&mut few, slots, wishes.len()));
            let mut choices: Vec<Choice> = choices.collect();
            choices.sort_by_key(|choice| choice.start);
            PlaceChoices { choices }
        })
        .collect();
    let charge = few.amount().abs();
    let pair = Neighbours { one: 0, other: places.len() - 1, charge };
    let neighbours = if places.len() > 1 { vec![pair] } else { Vec::new() };
    Instance { slots, places, wishes, neighbours }
}

fn choice(few: &mut Few<'_>, slots: u8, wishes: usize) -> Choice {
    let start = few.below(slots);
    let family = few.below(4);
    let wish = few.below(3);
    Choice {
        crop: u32::from(few.below(5)),
        start,
        end: start + 1 + few.below(6),
        family: if family == 3 { NO_FAMILY } else { family },
        free_slots: few.below(6),
        own: few.amount(),
        amounts: if usize::from(wish) < wishes {
            vec![(u32::from(wish), few.amount().abs())]
        } else {
            Vec::new()
        },
        fixed: few.below(8) == 7,
        trace: 0,
    }
}

/// An instance is solved by a plan that keeps its rules, is worth what is said and no more than the
/// bound, and is the same again; or what is fixed in it contradicts itself.
pub(crate) fn plans(bytes: &[u8]) {
    let instance = instance(bytes);
    let effort = Effort { steps: 20, rounds: 2, tries: 10, nodes: 500, ..Effort::default() };
    let solved = || solve(&instance, &Plain, &effort, 7, &|_| {});
    let Some(found) = solved() else {
        let fixed = |place: usize| -> Vec<u32> {
            let choices = (0..).zip(&instance.places[place].choices);
            choices.filter(|(_, choice)| choice.fixed).map(|(at, _)| at).collect()
        };
        let kept = |place| feasible_path(&instance, place, &fixed(place));
        assert!(!(0..instance.places.len()).all(kept), "{instance:?}");
        return;
    };
    let value = value_of(&instance, &Plain, &found.plan);
    assert!(value.is_some_and(|value| (value - found.value).abs() < 1e-9), "{instance:?}");
    assert!(found.value <= found.bound + 1e-9, "{instance:?}");
    assert_eq!(solved().map(|again| again.plan), Some(found.plan), "{instance:?}");
}
