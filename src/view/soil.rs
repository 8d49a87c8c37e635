//! The nutrient books as a page: months with what came, went and is left; soil tests beside them; a
//! crop's need and what would fill it.

use super::evidence::{nutrient_words, phosphorus_words, supply_words};
use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use super::units::Units;
use super::words;
use crate::season::month_name;
use crate::state::nutrients::{
    Caution, Feeding, Flow, Ledger, Month, NotBooked, Nutrient, Pool, Portion,
};
use chrono::Datelike;

/// A flow in a few words.
#[must_use]
pub(super) fn flow_words(flow: Flow) -> &'static str {
    match flow {
        Flow::Mineralised => "from organic matter",
        Flow::Amended => "put on",
        Flow::AmendmentReleased => "from amendments",
        Flow::ResidueReleased => "from residue",
        Flow::FixedReleased => "fixed by legumes",
        Flow::TiedUp => "tied up",
        Flow::TakenUp => "taken up",
        Flow::Fixed => "from the air",
        Flow::Harvested => "harvested",
        Flow::CarriedOff => "carried off",
        Flow::Returned => "returned",
        Flow::Leached => "washed out",
        Flow::Lost => "gas and watering",
        Flow::Unexplained => "not explained",
        Flow::SetByTest => "set by test",
    }
}

fn plain(text: impl Into<String>) -> Span {
    Span::new(Label::Plain, text)
}

/// What moved in or out of the free pool, largest first.
fn movements(units: Units, month: &Month, nutrient: Nutrient) -> String {
    let account = month.account(nutrient);
    let mut moved: Vec<(f64, String)> = account
        .postings
        .iter()
        .filter_map(|posting| {
            let sign = match (posting.from, posting.to) {
                (_, Pool::Available) => "+",
                (Pool::Available, _) => "-",
                _ => return None,
            };
            let amount = posting.amount.likely;
            let text =
                format!("{sign}{} {}", units.nutrient_figure(amount), flow_words(posting.flow));
            (amount >= 0.05).then_some((amount, text))
        })
        .collect();
    moved.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let told: Vec<String> = moved.into_iter().take(3).map(|(_, text)| text).collect();
    told.join(", ")
}

fn months_table(units: Units, ledger: &Ledger, nutrient: Nutrient, most: usize) -> Table {
    let mut table = Table {
        indent: 1,
        head: ["month", "in", "out", "left (range)", "what moved most; soil tests"]
            .map(String::from)
            .to_vec(),
        right: vec![1, 2],
        rows: vec![],
    };
    let skipped = ledger.months.len().saturating_sub(most);
    for month in &ledger.months[skipped..] {
        let account = month.account(nutrient);
        let mut told = movements(units, month, nutrient);
        for check in ledger.checks.iter().filter(|check| {
            check.nutrient == nutrient && (month.from..month.to).contains(&check.date)
        }) {
            let verdict = match (check.comparable, check.contradicts()) {
                (false, _) => "",
                (true, false) => ", agrees",
                (true, true) => ", does not agree",
            };
            let test = format!(
                "test {}: {}, books {}{verdict}",
                check.date,
                units.nutrient_figures(check.tested),
                units.nutrient_figures(check.booked)
            );
            told = if told.is_empty() { test } else { format!("{test}; {told}") };
        }
        table.rows.push(vec![
            plain(format!("{} {}", month_name(month.from.month()), month.from.year())),
            plain(units.nutrient_figure(account.into(Pool::Available).likely)),
            plain(units.nutrient_figure(account.out_of(Pool::Available).likely)),
            plain(units.nutrient_figures(account.closing.of(Pool::Available).range())),
            plain(told),
        ]);
    }
    table
}

/// The books of a place over so many months, and a crop's feeding if one is asked for.
#[must_use]
pub fn soil_page(
    phrases: Phrases<'_>,
    ledger: &Ledger,
    most: usize,
    asked: Option<(&Feeding, &[Portion])>,
) -> Page {
    let mut page = Page::default();
    page.heading(format!("Soil of {} on {}", ledger.place, ledger.to));
    match ledger.from {
        Some(from) => page.line(Line::at(1).text(format!(
            "books from {from}; organic matter {} %",
            words::with_range(ledger.organic_matter())
        ))),
        None => page.line(Line::at(1).and(
            Label::Unknown,
            "nothing is on record: what follows is a wide guess, not an empty soil",
        )),
    }
    page.lines(standing_of(ledger));
    if let Some((feeding, portions)) = asked {
        page.blank();
        feeding_page(phrases, ledger, feeding, portions, &mut page);
    }
    for nutrient in Nutrient::ALL {
        page.blank();
        page.heading(format!(
            "{} free to plants, {}, likely figures",
            words::sentence(nutrient_words(nutrient)),
            phrases.units.over_ground_sign()
        ));
        page.table(months_table(phrases.units, ledger, nutrient, most));
    }
    page
}

/// Tests, phosphorus, and what could not be booked.
fn standing_of(ledger: &Ledger) -> Vec<Line> {
    let mut lines = Vec::new();
    match &ledger.last_test {
        Some((origin, date)) => lines.push(
            Line::at(1)
                .text(format!("last soil test {date} "))
                .and(Label::Source, format!("[{origin}]")),
        ),
        None => lines.push(
            Line::at(1).and(Label::Unknown, "no soil test: one would narrow every figure below"),
        ),
    }
    if let Some(test) = &ledger.phosphorus {
        lines.push(
            Line::at(1)
                .text(format!(
                    "phosphorus {} ppm by {}: {} ",
                    test.value.0,
                    test.method,
                    phosphorus_words(test.class)
                ))
                .and(Label::Source, format!("[{}]", test.origin)),
        );
    }
    if !ledger.rain_is_known() {
        lines.push(Line::at(1).and(
            Label::Unknown,
            "no rain by month in climate.csv: what winters wash out is a guess",
        ));
    }
    for unbooked in &ledger.unbooked {
        let why = match unbooked.why {
            NotBooked::NoAmount => "no mass, volume or depth is written",
            NotBooked::NoAnalysis => "no analysis, and no row of the tables says what it holds",
        };
        lines.push(
            Line::at(1)
                .and(
                    Label::Unknown,
                    format!(
                        "not booked: {} of {}, {why} ",
                        unbooked.material.replace('_', " "),
                        unbooked.date
                    ),
                )
                .and(Label::Source, format!("[{}]", unbooked.origin)),
        );
    }
    lines
}

fn feeding_page(
    phrases: Phrases<'_>,
    ledger: &Ledger,
    feeding: &Feeding,
    portions: &[Portion],
    page: &mut Page,
) {
    let crop = phrases.crop(feeding.crop);
    let (units, sign) = (phrases.units, phrases.units.over_ground_sign());
    page.heading(format!("{} on {}", words::sentence(crop), feeding.supply.from));
    page.line(Line::at(1).text(format!(
        "needs {} of nitrogen from the soil; its harvest takes {} of phosphorus and {} of potassium",
        phrases.units.nutrients(feeding.need.from_soil()),
        phrases.units.nutrient_figures(feeding.takes(Nutrient::Phosphorus)),
        phrases.units.nutrient_figures(feeding.takes(Nutrient::Potassium)),
    )));
    page.line(Line::at(1).text(supply_words(phrases.units, &feeding.supply)));
    let [p, k] =
        feeding.supply.others_at_start.map(|free| phrases.units.nutrient_figures(free.range()));
    let phosphorus = match feeding.phosphorus_to_replace(ledger) {
        Some(grams) if grams.high > 0.0 => "put on what the harvest takes",
        Some(_) => "put none on, the soil is rich in it",
        None => "a test that names its method would say whether to put any on",
    };
    page.line(
        Line::at(1).text(format!(
            "free at the start, {sign}: phosphorus {p} ({phosphorus}), potassium {k}"
        )),
    );
    let state = if feeding.is_short() {
        format!("short of {}", phrases.units.nutrients(feeding.shortfall))
    } else {
        let over = feeding.shortfall.map(|grams| -grams);
        format!("enough, {} over: do not feed nitrogen", phrases.units.nutrients(over))
    };
    page.line(Line::at(1).text(format!(
        "within reach {}: {state}; yield {} of full if nothing is put on",
        phrases.units.nutrients(feeding.within_reach),
        words::percent_range(feeding.yield_fraction)
    )));
    if !feeding.is_short() {
        return;
    }
    if portions.is_empty() {
        page.line(Line::at(1).text(
            "no material on record or named of which the tables hold an analysis (--material NAME)",
        ));
        return;
    }
    let ground = ledger.ground;
    let mut table = Table {
        indent: 1,
        head: ["to fill it", sign, &format!("here, {}", units.mass_sign()), "N", "P", "K", "mind"]
            .map(String::from)
            .to_vec(),
        right: vec![3, 4, 5],
        rows: vec![],
    };
    for portion in portions {
        let grams = portion.grams_m2.map_or_else(
            || "gives none".to_owned(),
            |grams| words::with_range(rounded_grams(grams.map(|grams| units.over_ground(grams)))),
        );
        let here = match (portion.grams_m2, ground) {
            (Some(grams), Some(ground)) => {
                words::rounded(units.mass(grams.likely * ground.0 / 1000.0))
            }
            _ => String::new(),
        };
        let brings = portion.brings.map(|brings| units.nutrient_figure(brings.likely));
        let [n, p, k] = brings;
        let label = if portion.is_advised() { Label::Plain } else { Label::Wait };
        table.rows.push(vec![
            Span::new(Label::Name, portion.material.replace('_', " ")),
            plain(grams),
            plain(here),
            plain(n),
            plain(p),
            plain(k),
            Span::new(label, caution_words(units, portion)),
        ]);
    }
    page.table(table);
    page.line(Line::at(1).text(format!(
        "N, P and K in {sign} that come along with the likely amount, as elements (a label's P2O5 \
         is 0.44 of it phosphorus, its K2O 0.83 of it potassium); local rules on manure come first"
    )));
}

/// Grams to two figures: more is a false precision.
fn rounded_grams(grams: crate::estimate::Estimate) -> crate::estimate::Estimate {
    grams.map(|grams| {
        let scale = 10.0_f64.powf(grams.max(1.0).log10().floor() - 1.0);
        (grams / scale).round() * scale
    })
}

/// What speaks against a portion, in words.
#[must_use]
pub(super) fn caution_words(units: Units, portion: &Portion) -> String {
    let mut told: Vec<String> = portion
        .cautions
        .iter()
        .map(|caution| match caution {
            Caution::PilesUpPhosphorus => format!(
                "NOT ADVISED: {} {} more phosphorus than the crop takes, and the soil is high",
                units.nutrient_figure(portion.phosphorus_over),
                units.over_ground_sign()
            ),
            Caution::PhosphorusUntested => format!(
                "{} {} more phosphorus than the crop takes: test the soil first",
                units.nutrient_figure(portion.phosphorus_over),
                units.over_ground_sign()
            ),
            Caution::RawManure => "raw manure: days to the harvest count".to_owned(),
            Caution::TooMuch => "NOT ADVISED: so much buries the bed".to_owned(),
        })
        .collect();
    if portion.grams_m2.is_none() {
        told.push("gives no nitrogen in its first year".to_owned());
    }
    told.join("; ")
}
