//! Days as heights: the ground line is today, the past lies below it, what is to come above.

use chrono::{Datelike, NaiveDate};
use maud::{Markup, html};

use crate::render::palette::{AIR, SOIL};
use crate::season::{DAYS_PER_YEAR, Date};
use crate::view::report::Span;

/// Height of a year.
const YEAR: f64 = 66.0;
/// Room above the latest and below the earliest day.
const MARGIN: f64 = 22.0;
/// Width of a picture: that of a narrow phone less its margins.
pub(super) const WIDTH: f64 = 288.0;
/// Left edge of what is drawn, right of the years.
pub(super) const LEFT: f64 = 34.0;

/// The scale of a span of time.
#[derive(Clone, Copy)]
pub(super) struct Scale {
    span: Span,
}

impl Scale {
    pub(super) fn of(span: Span) -> Self {
        Self { span }
    }

    /// Distance of a day from the top.
    pub(super) fn y(self, day: Date) -> f64 {
        MARGIN + (self.span.to - day).num_days() as f64 / DAYS_PER_YEAR * YEAR
    }

    pub(super) fn ground(self) -> f64 {
        self.y(self.span.today)
    }

    pub(super) fn bottom(self) -> f64 {
        self.y(self.span.from)
    }

    pub(super) fn height(self) -> f64 {
        self.bottom() + MARGIN
    }

    pub(super) fn view_box(self) -> String {
        format!("0 0 {WIDTH} {}", figure(self.height()))
    }

    /// Air, soil, the years, the ground line: drawn once, used by every picture.
    pub(super) fn background(self, id: &str, right: f64) -> Markup {
        let (top, ground, bottom) = (MARGIN, self.ground(), self.bottom());
        let years: Vec<(i32, f64)> = (self.span.from.year()..=self.span.to.year())
            .filter_map(|year| NaiveDate::from_ymd_opt(year, 1, 1))
            .filter(|day| *day >= self.span.from && *day <= self.span.to)
            .map(|day| (day.year(), self.y(day)))
            .collect();
        html! {
            g id=(id) {
                rect x=(LEFT) y=(figure(top)) width=(figure(right - LEFT)) height=(figure(ground - top)) fill=(AIR) {}
                rect x=(LEFT) y=(figure(ground)) width=(figure(right - LEFT)) height=(figure(bottom - ground)) fill=(SOIL) {}
                @for (year, y) in years {
                    path class="hair" d={ "M" (LEFT) " " (figure(y)) "H" (figure(right)) } {}
                    @if (y - ground).abs() > 9.0 {
                        text class="axis end" x=(LEFT - 4.0) y=(figure(y + 3.5)) { (year) }
                    }
                }
                path class="ground" d={ "M" (LEFT - 4.0) " " (figure(ground)) "H" (figure(right)) } {}
                text class="axis end now" x=(LEFT - 6.0) y=(figure(ground + 3.5)) { "now" }
            }
        }
    }
}

/// A number for a drawing: a tenth is finer than any screen.
pub(super) fn figure(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// Moves labels apart that would cover each other: each keeps at least `apart` from the one before,
/// all within the given ends. Takes wanted heights in order, gives the heights to use.
pub(super) fn spread(wanted: &[f64], apart: f64, top: f64, bottom: f64) -> Vec<f64> {
    let mut placed: Vec<f64> = Vec::with_capacity(wanted.len());
    for want in wanted {
        let least = placed.last().map_or(top, |last| last + apart);
        placed.push(want.max(least));
    }
    let mut most = bottom;
    for place in placed.iter_mut().rev() {
        *place = place.min(most);
        most = *place - apart;
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_moved_apart_and_kept_within() {
        let placed = spread(&[10.0, 11.0, 12.0, 99.0], 10.0, 0.0, 100.0);
        assert!(placed.windows(2).all(|pair| pair[1] - pair[0] >= 9.999), "{placed:?}");
        assert!((placed[0] - 10.0).abs() < 1e-9 && placed[3] <= 100.0, "{placed:?}");
        let low = spread(&[95.0, 96.0, 97.0], 10.0, 0.0, 100.0);
        assert!((low[2] - 100.0).abs() < 1e-9 && (low[0] - 80.0).abs() < 1e-9, "{low:?}");
    }
}
