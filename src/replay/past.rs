//! The records as they stood on a morning: nothing that was written of that day or later.
//!
//! A planting that still stood is one that stands: its clearing, what became of it and what was
//! noted of it are not known yet. What carries no day (beds, site, climate normals) is taken to
//! have been known all along; wishes and exceptions are left out.

use crate::records::{Garden, Planting, Treatment};
use crate::season::Date;

/// A walk through a garden's past, morning by morning, never back.
#[derive(Debug)]
pub struct Past<'g> {
    whole: &'g Garden,
    known: Garden,
    /// Plantings that stand, by their place, which is the same in both lists.
    standing: Vec<usize>,
    /// Treatments that go on.
    lasting: Vec<usize>,
}

/// How many records of a list are known on a morning, lists being in the order of their days.
fn known_by<R>(records: &[R], from: usize, morning: Date, day: impl Fn(&R) -> Date) -> usize {
    from + records[from..].iter().take_while(|record| day(record) < morning).count()
}

/// Adds the records of a list that have become known.
fn learn<R: Clone>(known: &mut Vec<R>, whole: &[R], morning: Date, day: impl Fn(&R) -> Date) {
    let to = known_by(whole, known.len(), morning, day);
    let from = known.len();
    known.extend_from_slice(&whole[from..to]);
}

impl<'g> Past<'g> {
    /// The beginning: nothing but the beds and their place is known. The records must be in the
    /// order that [`Garden::sort`] gives them.
    #[must_use]
    pub fn of(whole: &'g Garden) -> Self {
        let known = Garden {
            site: whole.site.clone(),
            climate: whole.climate.clone(),
            beds: whole.beds.clone(),
            ..Garden::default()
        };
        Self { whole, known, standing: Vec::new(), lasting: Vec::new() }
    }

    /// The records as they stood on a morning, which must not be earlier than the last one asked.
    pub fn on_morning(&mut self, morning: Date) -> &Garden {
        let whole = self.whole;
        learn(&mut self.known.weather, &whole.weather, morning, |day| day.date);
        learn(&mut self.known.observations, &whole.observations, morning, |seen| seen.date);
        learn(&mut self.known.harvests, &whole.harvests, morning, |harvest| harvest.date);
        learn(&mut self.known.amendments, &whole.amendments, morning, |amendment| amendment.date);
        learn(&mut self.known.soil_tests, &whole.soil_tests, morning, |test| test.date);
        self.learn_plantings(morning);
        self.learn_treatments(morning);
        &self.known
    }

    fn learn_plantings(&mut self, morning: Date) {
        let from = self.known.plantings.len();
        let to = known_by(&self.whole.plantings, from, morning, Planting::planted);
        for (at, planting) in self.whole.plantings.iter().enumerate().take(to).skip(from) {
            self.standing.push(at);
            self.known.plantings.push(as_it_stands(planting));
        }
        let (whole, known) = (&self.whole.plantings, &mut self.known.plantings);
        self.standing.retain(|open| {
            let over = whole[*open].stood.end.is_some_and(|end| end < morning);
            if over {
                known[*open] = whole[*open].clone();
            }
            !over
        });
    }

    fn learn_treatments(&mut self, morning: Date) {
        let from = self.known.treatments.len();
        let to = known_by(&self.whole.treatments, from, morning, |begun| begun.lasted.start);
        for (at, treatment) in self.whole.treatments.iter().enumerate().take(to).skip(from) {
            self.lasting.push(at);
            self.known.treatments.push(as_it_lasts(treatment));
        }
        let (whole, known) = (&self.whole.treatments, &mut self.known.treatments);
        self.lasting.retain(|open| {
            let over = whole[*open].lasted.end.is_some_and(|end| end < morning);
            if over {
                known[*open] = whole[*open].clone();
            }
            !over
        });
    }
}

/// A planting of which only the beginning is known.
fn as_it_stands(planting: &Planting) -> Planting {
    let mut planting = planting.clone();
    planting.stood.end = None;
    planting.residue = None;
    planting.note = Box::default();
    planting
}

/// A treatment of which only the beginning is known.
fn as_it_lasts(treatment: &Treatment) -> Treatment {
    let mut treatment = treatment.clone();
    treatment.lasted.end = None;
    treatment.note = Box::default();
    treatment
}
