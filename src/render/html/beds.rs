//! The plan of the beds to scale, and a small one for each wished crop.

use maud::{Markup, html};

use super::core::{cut, words_in};
use super::scale::figure;
use crate::assess::Verdict;
use crate::render::palette::{INK, LEAF_PALE, RUST_PALE, SOFT_INK, SOIL, STRAW_PALE};
use crate::view::report::{Plan, PlanBed, Report, WishMap};

/// Margin about the beds, metres.
const EDGE: f64 = 0.5;

/// A scale of metres for a plan so many units wide.
struct Ground {
    unit: f64,
    top: f64,
}

impl Ground {
    fn of(plan: &Plan, width: f64) -> Self {
        Self { unit: width / (plan.length + 2.0 * EDGE), top: plan.width + 2.0 * EDGE }
    }

    fn x(&self, metres: f64) -> f64 {
        (metres + EDGE) * self.unit
    }

    /// North is up.
    fn y(&self, metres: f64) -> f64 {
        (self.top - EDGE - metres) * self.unit
    }

    fn height(&self) -> f64 {
        self.top * self.unit
    }
}

/// Left, top, width and height of a part of a bed.
fn part_box(ground: &Ground, bed: &PlanBed, at: usize) -> [f64; 4] {
    let count = bed.parts.len().max(1) as f64;
    let wide = bed.length / count;
    [
        ground.x(bed.x + wide * at as f64),
        ground.y(bed.y + bed.width),
        wide * ground.unit,
        bed.width * ground.unit,
    ]
}

fn bed(report: &Report, ground: &Ground, bed: &PlanBed) -> Markup {
    html! {
        @for (at, part) in bed.parts.iter().enumerate() {
            @let [x, y, wide, high] = part_box(ground, bed, at);
            @let sheet = &report.sheets[part.sheet];
            @let letters = letters_in(wide);
            a href={ "#" (sheet.id) } aria-label={ (sheet.name) ": " (part.stands) } {
                rect class="bed" x=(figure(x)) y=(figure(y)) width=(figure(wide)) height=(figure(high)) fill=(SOIL) {}
                text class="bed-name" x=(figure(x + 5.0)) y=(figure(y + 15.0)) { (cut(&sheet.name, letters_in(wide * 0.85))) }
                @for (row, words) in words_in(&part.stands, letters, lines_in(high)).iter().enumerate() {
                    text class="bed-stands" x=(figure(x + 5.0)) y=(figure(y + 30.0 + 13.0 * row as f64)) { (words) }
                }
            }
        }
    }
}

/// Letters of the plan's script that fit a width.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small number")]
fn letters_in(wide: f64) -> usize {
    ((wide - 8.0) / 6.0).clamp(3.0, 40.0) as usize
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small number")]
fn lines_in(high: f64) -> usize {
    ((high - 20.0) / 13.0).clamp(1.0, 8.0) as usize
}

/// The plan, with the same as a table.
pub(super) fn plan(report: &Report) -> Markup {
    /// Units across; a metre of a garden some twenty metres long takes forty or so.
    const ACROSS: f64 = 1150.0;
    let plan = &report.plan;
    let ground = Ground::of(plan, ACROSS);
    let (bar_m, bar_words) = plan.units.scale_bar();
    let bar = bar_m * ground.unit;
    let how = if plan.is_surveyed {
        "To scale by the places in beds.csv, north up.".to_owned()
    } else {
        let unit = plan.units.length_sign();
        format!(
            "Sizes to scale; places are not written (x_{unit}, y_{unit} in beds.csv), so the beds \
             stand in rows."
        )
    };
    html! {
        @if !plan.beds.is_empty() {
            figure class="slides" {
                figcaption { "Plan with what stands. " (how) " Sections of a bed are drawn alike." }
                div class="scroll" role="region" aria-label="Plan of the beds" tabindex="0" {
                    svg class="plan" viewBox={ "0 0 " (ACROSS) " " (figure(ground.height())) } role="group" aria-label="Plan of the beds; each bed leads to its sheet" {
                        @for one in &plan.beds { (bed(report, &ground, one)) }
                        path d={ "M20 " (figure(ground.height() - 8.0)) "h" (figure(bar)) "m0-4v8m" (figure(-bar)) " 0v-8" } stroke=(INK) stroke-width="1.4" fill="none" {}
                        text x=(figure(26.0 + bar)) y=(figure(ground.height() - 4.0)) font-size="11.500" fill=(SOFT_INK) { (bar_words) }
                    }
                }
            }
        }
        @if !plan.unplaced.is_empty() {
            p { "Without a place in the plan: " (plan.unplaced.join(", ")) "." }
        }
        details {
            summary { "The beds as a table" }
            div class="scroll" role="region" aria-label="Beds" tabindex="0" {
                table {
                    caption { "What stands, and what the wished crops are told" }
                    thead { tr { th scope="col" { "bed" } th scope="col" { "stands" } th scope="col" { "plant" } th scope="col" { "care" } th scope="col" { "wait" } } }
                    tbody {
                        @for one in plan.beds.iter().flat_map(|bed| &bed.parts) {
                            @let sheet = &report.sheets[one.sheet];
                            tr {
                                th scope="row" { a href={ "#" (sheet.id) } { bdi { (sheet.name) } } }
                                td { (one.stands) }
                                @for verdict in [Verdict::Plant, Verdict::Care, Verdict::Wait] {
                                    td { (crops_of(report, one.sheet, verdict)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn crops_of(report: &Report, sheet: usize, verdict: Verdict) -> String {
    let crops: Vec<&str> = report
        .wishes
        .iter()
        .filter(|wish| wish.verdicts[sheet].0 == verdict)
        .map(|wish| wish.crop.as_str())
        .collect();
    crops.join(", ")
}

/// Pale and open for plant.
fn ground_of(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Plant => LEAF_PALE,
        Verdict::Care => STRAW_PALE,
        Verdict::Wait => RUST_PALE,
    }
}

/// One stroke across the box for care, two for wait.
fn strokes([x, y, wide, high]: [f64; 4], verdict: Verdict) -> String {
    let (x, y, right, bottom) = (figure(x), figure(y), figure(x + wide), figure(y + high));
    match verdict {
        Verdict::Plant => String::new(),
        Verdict::Care => format!("M{x} {bottom}L{right} {y}"),
        Verdict::Wait => format!("M{x} {bottom}L{right} {y}M{x} {y}L{right} {bottom}"),
    }
}

/// The small plan of one wished crop.
fn wish(report: &Report, at: usize, wish: &WishMap) -> Markup {
    const ACROSS: f64 = 264.0;
    let plan = &report.plan;
    let ground = Ground::of(plan, ACROSS);
    let title = format!("wish-{at}");
    let boxes: Vec<([f64; 4], Verdict)> = plan
        .beds
        .iter()
        .flat_map(|bed| bed.parts.iter().enumerate().map(move |(part, one)| (bed, part, one)))
        .map(|(bed, part, one)| (part_box(&ground, bed, part), wish.verdicts[one.sheet].0))
        .collect();
    html! {
        article class="wish" aria-labelledby=(title) {
            h3 id=(title) { (wish.crop) }
            p class="when" { (wish.when) }
            @if !plan.beds.is_empty() {
                svg viewBox={ "0 0 " (ACROSS) " " (figure(ground.height())) } role="img" aria-label={ "Where " (wish.crop) " may go; told in words below" } {
                    g class="layer" {
                        @for ([x, y, wide, high], verdict) in &boxes {
                            rect x=(figure(*x)) y=(figure(*y)) width=(figure(*wide)) height=(figure(*high)) fill=(ground_of(*verdict)) {}
                        }
                    }
                    path class="stroke" d={ @for (corners, verdict) in &boxes { (strokes(*corners, *verdict)) } } {}
                }
            }
            @for (verdict, class) in [(Verdict::Plant, "plant"), (Verdict::Care, "care"), (Verdict::Wait, "wait")] {
                (places(report, wish, verdict, class))
            }
        }
    }
}

fn places(report: &Report, wish: &WishMap, verdict: Verdict, class: &'static str) -> Markup {
    let places: Vec<(usize, Option<crate::season::Date>)> = wish
        .verdicts
        .iter()
        .enumerate()
        .filter(|(_, (one, _))| *one == verdict)
        .map(|(sheet, (_, earliest))| (sheet, *earliest))
        .collect();
    html! {
        @if !places.is_empty() {
            p {
                span class=(class) { (verdict.word().to_uppercase()) }
                @for (at, (sheet, earliest)) in places.iter().enumerate() {
                    @if at > 0 { "," }
                    " " a href={ "#" (report.sheets[*sheet].id) } { bdi { (report.sheets[*sheet].name) } }
                    @if verdict == Verdict::Wait {
                        @match earliest {
                            Some(day) => { " till " (day.format("%Y")) },
                            None => " (no end)",
                        }
                    }
                }
            }
        }
    }
}

/// A small plan for each wished crop.
pub(super) fn wishes(report: &Report) -> Markup {
    let plan = &report.plan;
    html! {
        @if report.wishes.is_empty() {
            p { "No wishes are written. A line in wishes.csv (crop, and mass_" (plan.units.mass_sign()) " or area_" (plan.units.area_sign()) ") brings each crop its plan here." }
        } @else {
            p { "Each crop is judged bed by bed for its own next start in this climate: an open box means plant, one stroke across it care, two strokes wait." }
            div class="wishes" {
                @for (at, one) in report.wishes.iter().enumerate() { (wish(report, at, one)) }
            }
        }
    }
}
