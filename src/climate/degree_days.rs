//! Degree-days of one day: how much of it lay above a base temperature.
//!
//! A heat sum holds only with the method it was fitted with, so [`HeatModel`] keeps curve, base
//! and upper limit together. The sine: Baskerville and Emin 1969, Ecology 50:514-517; the triangle
//! and the ways of cutting off are those of the western states' degree-day calculators. Unit-free:
//! degrees in, degree-days out, Celsius or Fahrenheit alike.

/// Extremes of one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayTemperature {
    /// Minimum.
    pub tmin: f64,
    /// Maximum.
    pub tmax: f64,
}

impl DayTemperature {
    /// Middle of the extremes.
    #[must_use]
    pub fn mean(self) -> f64 {
        f64::midpoint(self.tmin, self.tmax)
    }
}

/// How the temperature is taken to run through the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Curve {
    /// The mean of the extremes, all day.
    Average,
    /// The mean of the extremes, each first brought within base and upper limit.
    ModifiedAverage,
    /// A sine from minimum to maximum and back.
    SingleSine,
    /// Half a sine to the day's own minimum, half to the next day's.
    DoubleSine,
    /// A straight rise and fall.
    SingleTriangle,
    /// Straight lines to the day's own minimum and to the next day's.
    DoubleTriangle,
}

/// What heat above an upper limit does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cutoff {
    /// No upper limit.
    None,
    /// Development goes on as at the limit.
    Horizontal(f64),
    /// Development slows above the limit as fast as it rose below it. A very hot day would come
    /// out below zero and counts as zero.
    Intermediate(f64),
    /// Development stops above the limit.
    Vertical(f64),
}

/// A way of counting degree-days.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatModel {
    /// How the day runs.
    pub curve: Curve,
    /// Temperature from which heat counts.
    pub base: f64,
    /// What happens above an upper limit.
    pub cutoff: Cutoff,
}

/// Mean over the day of what lies above a temperature, and the share of the day above it.
#[derive(Clone, Copy, Debug)]
struct Above {
    degrees: f64,
    share: f64,
}

impl Above {
    fn half_and_half(self, other: Self) -> Self {
        Self {
            degrees: f64::midpoint(self.degrees, other.degrees),
            share: f64::midpoint(self.share, other.share),
        }
    }
}

/// Above a temperature that lies outside the day's range, whatever the curve.
fn outside(day: DayTemperature, theta: f64) -> Option<Above> {
    if day.tmax <= theta {
        Some(Above { degrees: 0.0, share: 0.0 })
    } else if day.tmin >= theta {
        Some(Above { degrees: day.mean() - theta, share: 1.0 })
    } else {
        None
    }
}

fn sine(day: DayTemperature, theta: f64) -> Above {
    use std::f64::consts::{FRAC_PI_2, PI};
    outside(day, theta).unwrap_or_else(|| {
        let amplitude = (day.tmax - day.tmin) / 2.0;
        let angle = ((theta - day.mean()) / amplitude).clamp(-1.0, 1.0).asin();
        let rest = FRAC_PI_2 - angle;
        Above {
            degrees: ((day.mean() - theta) * rest + amplitude * angle.cos()) / PI,
            share: rest / PI,
        }
    })
}

fn triangle(day: DayTemperature, theta: f64) -> Above {
    outside(day, theta).unwrap_or_else(|| {
        let share = (day.tmax - theta) / (day.tmax - day.tmin);
        Above { degrees: share * (day.tmax - theta) / 2.0, share }
    })
}

impl HeatModel {
    /// Degree-days of a day. The next day's minimum serves the double curves; without it the
    /// day's own stands in.
    ///
    /// ```
    /// use breakcrop::climate::degree_days::{Curve, Cutoff, DayTemperature, HeatModel};
    /// let cool = DayTemperature { tmin: 5.0, tmax: 15.0 };
    /// let heat = |curve| {
    ///     HeatModel { curve, base: 10.0, cutoff: Cutoff::None }.degree_days(cool, None)
    /// };
    /// assert_eq!(heat(Curve::Average), 0.0);
    /// assert_eq!(heat(Curve::ModifiedAverage), 2.5);
    /// assert!((heat(Curve::SingleSine) - 1.5915).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn degree_days(self, day: DayTemperature, next_tmin: Option<f64>) -> f64 {
        let next = DayTemperature { tmin: next_tmin.unwrap_or(day.tmin), tmax: day.tmax };
        match self.curve {
            Curve::Average => self.of_average(day),
            Curve::ModifiedAverage => {
                let most = match self.cutoff {
                    Cutoff::None => f64::INFINITY,
                    Cutoff::Horizontal(upper)
                    | Cutoff::Intermediate(upper)
                    | Cutoff::Vertical(upper) => upper.max(self.base),
                };
                let within = |value: f64| value.clamp(self.base, most);
                f64::midpoint(within(day.tmin), within(day.tmax)) - self.base
            }
            Curve::SingleSine => self.cut(|theta| sine(day, theta)),
            Curve::DoubleSine => {
                self.cut(|theta| sine(day, theta).half_and_half(sine(next, theta)))
            }
            Curve::SingleTriangle => self.cut(|theta| triangle(day, theta)),
            Curve::DoubleTriangle => {
                self.cut(|theta| triangle(day, theta).half_and_half(triangle(next, theta)))
            }
        }
    }

    /// A day of its mean temperature throughout. With a horizontal limit it is the extremes that
    /// are held down to the limit, not their mean: that is how the method is printed.
    fn of_average(self, day: DayTemperature) -> f64 {
        let mean = match self.cutoff {
            Cutoff::Horizontal(upper) => f64::midpoint(day.tmin.min(upper), day.tmax.min(upper)),
            Cutoff::None | Cutoff::Intermediate(_) | Cutoff::Vertical(_) => day.mean(),
        };
        self.cut(|theta| Above {
            degrees: (mean - theta).max(0.0),
            share: if mean > theta { 1.0 } else { 0.0 },
        })
    }

    fn cut(self, above: impl Fn(f64) -> Above) -> f64 {
        let whole = above(self.base).degrees;
        match self.cutoff {
            Cutoff::None => whole,
            Cutoff::Horizontal(upper) => whole - above(upper).degrees,
            Cutoff::Intermediate(upper) => (whole - 2.0 * above(upper).degrees).max(0.0),
            Cutoff::Vertical(upper) => {
                let hot = above(upper);
                whole - hot.degrees - (upper - self.base) * hot.share
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corn(tmax: f64, tmin: f64) -> f64 {
        HeatModel { curve: Curve::ModifiedAverage, base: 50.0, cutoff: Cutoff::Horizontal(86.0) }
            .degree_days(DayTemperature { tmin, tmax }, None)
    }

    #[test]
    fn corn_days_of_two_extension_texts() {
        // Fahrenheit, base 50, upper 86. Waushara Argus 2018-04-25 (University of Wisconsin
        // Extension): 90/65, 72/46, 63/42 give 25.5, 11, 6.5. Iowa State Agronomy 541 lesson 2b:
        // 70/50 gives 10, and 36 is the most a day can give.
        let days = [(90.0, 65.0, 25.5), (72.0, 46.0, 11.0), (63.0, 42.0, 6.5), (70.0, 50.0, 10.0)];
        for (tmax, tmin, expected) in days {
            assert!((corn(tmax, tmin) - expected).abs() < 1e-9, "{tmax}/{tmin}");
        }
        assert!((corn(104.0, 88.0) - 36.0).abs() < 1e-9);
        assert!((corn(85.0, 60.0) - 22.5).abs() < 1e-9);
    }

    #[test]
    fn simple_and_modified_average_differ_on_a_day_that_spans_the_limits() {
        // 48/90 F: simple (90 + 48) / 2 - 50 = 19, with limits (86 + 50) / 2 - 50 = 18.
        let simple = HeatModel { curve: Curve::Average, base: 50.0, cutoff: Cutoff::None };
        let day = DayTemperature { tmin: 48.0, tmax: 90.0 };
        assert!((simple.degree_days(day, None) - 19.0).abs() < 1e-9);
        assert!((corn(90.0, 48.0) - 18.0).abs() < 1e-9);
    }

    #[test]
    fn a_very_hot_day_counts_as_nothing_with_an_intermediate_cutoff() {
        let model =
            HeatModel { curve: Curve::SingleSine, base: 10.0, cutoff: Cutoff::Intermediate(15.0) };
        let heat = model.degree_days(DayTemperature { tmin: 25.0, tmax: 45.0 }, None);
        assert!(heat.abs() < 1e-12);
    }

    #[test]
    fn double_curves_lie_between_their_halves() {
        for curve in [Curve::DoubleSine, Curve::DoubleTriangle] {
            let model = HeatModel { curve, base: 10.0, cutoff: Cutoff::None };
            let day = DayTemperature { tmin: 5.0, tmax: 20.0 };
            let (same, colder) = (model.degree_days(day, None), model.degree_days(day, Some(-2.0)));
            assert!(colder < same && colder > same / 2.0);
        }
    }
}
