//! The logs beside the core: the dose of each disease, the nitrogen free to plants.

use maud::{Markup, html};

use super::scale::{LEFT, Scale, WIDTH, figure};
use crate::estimate::Estimate;
use crate::view::report::{DoseLog, DosePoint, FeedLog, FeedMonth, Sheet};
use crate::view::{Units, words};

/// Right edge of what is drawn.
pub(super) const RIGHT: f64 = WIDTH - 12.0;

/// Where a share lost lies: on a root scale, since what decides lies below a tenth.
fn loss_x(share: f64) -> f64 {
    LEFT + share.clamp(0.0, 1.0).sqrt() * (RIGHT - LEFT)
}

/// A band between the ends of ranges, given as (height, range), with x worked out by `x`.
fn band(points: &[(f64, Estimate)], x: impl Fn(f64) -> f64) -> String {
    let low = points.iter().map(|(y, range)| (x(range.low), *y));
    let high = points.iter().rev().map(|(y, range)| (x(range.high), *y));
    corners(low.chain(high))
}

fn middle(points: &[(f64, Estimate)], x: impl Fn(f64) -> f64) -> String {
    corners(points.iter().map(|(y, range)| (x(range.likely), *y)))
}

fn corners(points: impl Iterator<Item = (f64, f64)>) -> String {
    points.map(|(x, y)| format!("{},{}", figure(x), figure(y))).collect::<Vec<_>>().join(" ")
}

fn threshold(scale: Scale, share: f64, word: &str, class: &'static str) -> Markup {
    let x = loss_x(share);
    // The lesser of the two stands to the left of its line.
    let (at, end) = if word == "care" { (x - 3.0, " end") } else { (x + 3.0, "") };
    html! {
        path class={ "threshold " (class) } d={ "M" (figure(x)) " 6V" (figure(scale.bottom())) } {}
        text class={ "axis " (class) (end) } x=(figure(at)) y="14" { (word) " " (format!("{:.0}", share * 100.0)) " %" }
    }
}

fn past(scale: Scale, point: &DosePoint) -> Markup {
    let y = scale.y(point.on);
    html! {
        path class="reach" d={ "M" (figure(loss_x(point.loss.low))) " " (figure(y)) "H" (figure(loss_x(point.loss.high))) } {}
        circle class="spot" cx=(figure(loss_x(point.loss.likely))) cy=(figure(y)) r="3" {}
    }
}

/// The log of one disease.
pub(super) fn dose(sheet: &Sheet, at: usize, log: &DoseLog) -> Markup {
    let scale = Scale::of(sheet.span);
    let expected: Vec<(f64, Estimate)> =
        log.expected.iter().map(|point| (scale.y(point.on), point.loss)).collect();
    let title = format!("{}-dose-{at}", sheet.id);
    html! {
        figure class="log" {
            figcaption { (words::sentence(&log.disease)) ": what a susceptible crop would lose" }
            svg viewBox=(scale.view_box()) role="img" aria-labelledby={ (title) "-t " (title) "-d" } {
                title id={ (title) "-t" } { (log.disease) " in " (sheet.name) }
                desc id={ (title) "-d" } { (log.sentence) }
                use href="#back-log" {}
                @for share in [0.01, 0.1, 0.25, 0.5, 1.0] {
                    path d={ "M" (figure(loss_x(share))) " 22V" (figure(scale.bottom())) } class="hair" {}
                    text class="axis mid" x=(figure(loss_x(share))) y=(figure(scale.height() - 6.0)) { (format!("{:.0} %", share * 100.0)) }
                }
                polygon class="band dose" points=(band(&expected, loss_x)) {}
                polyline class="course dose" points=(middle(&expected, loss_x)) {}
                (threshold(scale, log.care_from, "care", "straw"))
                (threshold(scale, log.wait_from, "wait", "rust"))
                @for point in &log.past { (past(scale, point)) }
            }
            p class="told" { (log.sentence) }
        }
    }
}

/// All dose logs of a sheet as one table.
pub(super) fn dose_tables(sheet: &Sheet) -> Markup {
    html! {
        @if !sheet.doses.is_empty() {
            details {
                summary { "The losses as a table" }
                div class="scroll" role="region" aria-label={ "Losses in " (sheet.name) } tabindex="0" {
                    table {
                        caption { "What a fully susceptible crop would lose in " bdi { (sheet.name) } }
                        thead { tr { th scope="col" { "day" } th scope="col" { "disease" } th scope="col" { "loss" } th scope="col" { "likely" } th scope="col" { "what the records say" } th scope="col" { "record" } } }
                        tbody {
                            @for log in &sheet.doses {
                                @for point in log.past.iter().chain(log.expected.iter().step_by(6)) {
                                    tr {
                                        th scope="row" { (point.on) }
                                        td { (log.disease) }
                                        td { (words::percent_range(point.loss)) }
                                        td class="figure" { (format!("{:.0} %", point.loss.likely * 100.0)) }
                                        td { @if point.text.is_empty() { "expected without a host" } @else { (point.text) } }
                                        td { cite { (point.record) } }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The end of an axis that holds a figure: 1, 2 or 5 times a power of ten.
fn axis_end(most: f64) -> f64 {
    let power = 10.0_f64.powf(most.max(1.0).log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * power)
        .find(|end| *end >= most)
        .unwrap_or(most)
}

/// The log of free nitrogen.
pub(super) fn feed(sheet: &Sheet, log: &FeedLog) -> Markup {
    let scale = Scale::of(sheet.span);
    let shown = |range: Estimate| range.map(|grams| log.units.over_ground(grams));
    let months: Vec<(f64, Estimate)> =
        log.months.iter().map(|month| (scale.y(month.from), shown(month.left[0]))).collect();
    let end = axis_end(months.iter().map(|(_, left)| left.high).fold(0.0, f64::max));
    let x = |amount: f64| LEFT + (amount / end).clamp(0.0, 1.0) * (RIGHT - LEFT);
    let title = format!("{}-feed", sheet.id);
    html! {
        figure class="log" {
            figcaption { "Nitrogen free to plants, " (log.units.over_ground_sign()) }
            svg viewBox=(scale.view_box()) role="img" aria-labelledby={ (title) "-t " (title) "-d" } {
                title id={ (title) "-t" } { "Free nitrogen in " (sheet.name) }
                desc id={ (title) "-d" } { (log.sentence) " The table of the books tells the months." }
                use href="#back-log" {}
                @for share in [0.0, 0.5, 1.0] {
                    path d={ "M" (figure(x(end * share))) " " (figure(scale.ground())) "V" (figure(scale.bottom())) } class="hair" {}
                    text class="axis mid" x=(figure(x(end * share))) y=(figure(scale.height() - 6.0)) { (words::rounded(end * share)) }
                }
                polygon class="band feed" points=(band(&months, x)) {}
                polyline class="course feed" points=(middle(&months, x)) {}
                text class="axis mid" x=(figure(f64::midpoint(LEFT, RIGHT))) y=(figure(scale.ground() / 2.0)) { "not foretold: it hangs on what is put on" }
            }
            p class="told" { (log.sentence) @if let Some(missing) = &log.missing { " " (missing) } }
        }
    }
}

fn month_row(units: Units, month: &FeedMonth) -> Markup {
    html! {
        tr {
            th scope="row" { (month.name) }
            td class="figure" { (units.nutrient_figure(month.n_in)) }
            td class="figure" { (units.nutrient_figure(month.n_out)) }
            @for left in month.left { td class="figure" { (units.nutrient_figures(left)) } }
        }
    }
}

/// The books of the last months.
pub(super) fn feed_table(sheet: &Sheet, log: &FeedLog) -> Markup {
    html! {
        details {
            summary { "The books of nutrients by month" }
            div class="scroll" role="region" aria-label={ "Nutrients in " (sheet.name) } tabindex="0" {
                table {
                    caption { "Free to plants in " bdi { (sheet.name) } ", " (log.units.over_ground_sign()) ", likely and range, the last " (log.in_table) " months" }
                    thead { tr { th scope="col" { "month" } th scope="col" { "N in" } th scope="col" { "N out" } th scope="col" { "N left" } th scope="col" { "P left" } th scope="col" { "K left" } } }
                    tbody { @for month in log.months.iter().rev().take(log.in_table) { (month_row(log.units, month)) } }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_axis_ends_at_a_round_figure_above_the_most() {
        for (most, end) in [(0.0, 1.0), (7.0, 10.0), (12.0, 20.0), (21.0, 50.0), (60.0, 100.0)] {
            assert!((axis_end(most) - end).abs() < 1e-9, "{most}: {}", axis_end(most));
        }
    }
}
