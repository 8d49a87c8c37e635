//! The books of a place carried forward: a walk through its records pays for each month once.
//!
//! Books that go to a day know nothing of later ones: what still stands then is taken at its usual
//! yield and time, and only what has been cleared at what was written of it. So two stages are
//! kept. `settled` ends before the first planting that still stood on the day asked last, and holds
//! for every later day. `ahead` goes on from there with what stood, and holds until more is known of
//! it. A day is answered from a copy of the one or the other.

use super::ledger::Ledger;
use super::reader::{Event, Reader};
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Garden, Place};
use crate::season::{Date, add_years};

/// Years of books: what lies before has come to rest in the soil.
const MOST_YEARS: f64 = 12.0;

/// Events by day.
type Events<'a> = Vec<(Date, Event<'a>)>;

/// The books of a place, ready to go on.
pub(crate) struct RunningBooks<'a> {
    reader: Reader<'a>,
    /// The day the soil began, if it was renewed, and the events since; `None` until asked.
    events: Option<(Option<Date>, Events<'a>)>,
    run: Option<Run>,
}

/// Books that begin on one day.
struct Run {
    from: Option<Date>,
    /// The last day asked.
    asked: Date,
    settled: Stage,
    ahead: Option<Ahead>,
}

/// Books with all events up to a place among them.
#[derive(Clone)]
struct Stage {
    books: Ledger,
    next: usize,
}

/// Books with events that may yet be read otherwise.
struct Ahead {
    stage: Stage,
    /// The first day on which they would be; `None` if never.
    until: Option<Date>,
}

impl<'a> RunningBooks<'a> {
    pub(crate) fn of(
        garden: &'a Garden,
        knowledge: &'a Knowledge,
        policy: &'a Policy,
        place: &Place,
    ) -> Self {
        Self { reader: Reader::new(garden, knowledge, policy, place), events: None, run: None }
    }

    /// The books up to the start of a day, for soil that began on another if it was renewed. The
    /// answer is the same whatever was asked before; days asked in order cost least.
    pub(crate) fn at(&mut self, begins: Option<Date>, date: Date) -> Ledger {
        let reader = &self.reader;
        if self.events.as_ref().is_none_or(|(of, _)| *of != begins) {
            self.events = Some((begins, reader.events(begins)));
            self.run = None;
        }
        let events = self.events.as_ref().map_or(&[][..], |(_, events)| events);
        let events = &events[..events.partition_point(|(day, _)| *day <= date)];
        let from = from(reader, begins, events, date);
        // Books of which nothing is on record begin on the day asked, each time anew.
        let goes_on = |run: &Run| from.is_some() && run.from == from && run.asked <= date;
        let kept = self.run.take().filter(goes_on);
        let mut run = kept.unwrap_or_else(|| Run::new(reader, from, events, date));
        run.asked = date;
        let answer = run.answer(reader, events, date);
        self.run = Some(run);
        answer
    }
}

/// First day of the books that go to a day.
fn from(
    reader: &Reader<'_>,
    begins: Option<Date>,
    events: &[(Date, Event<'_>)],
    date: Date,
) -> Option<Date> {
    let earliest = add_years(date, -MOST_YEARS);
    begins
        .or_else(|| {
            let stated = reader.garden().known_from(&reader.place).filter(|from| *from <= date);
            events.first().map(|(day, _)| *day).into_iter().chain(stated).min()
        })
        .map(|from| from.max(earliest))
}

impl Run {
    fn new(
        reader: &Reader<'_>,
        from: Option<Date>,
        events: &[(Date, Event<'_>)],
        date: Date,
    ) -> Self {
        let next = from.map_or(events.len(), |from| events.partition_point(|(day, _)| *day < from));
        let settled = Stage { books: Ledger::opened(reader, from, date), next };
        Self { from, asked: date, settled, ahead: None }
    }

    /// The books up to a day, given the events up to its end.
    fn answer(&mut self, reader: &Reader<'_>, events: &[(Date, Event<'_>)], date: Date) -> Ledger {
        self.settle(reader, events, date);
        if self.settled.next == events.len() {
            return self.settled.books.clone().closed(date);
        }
        let kept = self.ahead.take().filter(|ahead| ahead.until.is_none_or(|until| date < until));
        let mut ahead = kept.unwrap_or_else(|| Ahead { stage: self.settled.clone(), until: None });
        ahead.stage.books.known_before(date);
        for (_, event) in &events[ahead.stage.next..] {
            if let Event::Planted(_, planting) = event
                && planting.stood.end.is_none_or(|end| end > date)
            {
                let known = reader.more_is_known(planting, date);
                ahead.until = ahead.until.into_iter().chain(known).min();
            }
        }
        ahead.stage.take(reader, events, date);
        let answer = ahead.stage.books.clone().closed(date);
        self.ahead = Some(ahead);
        answer
    }

    /// Carries on what no later day will read otherwise: all before the first planting that still
    /// stands.
    fn settle(&mut self, reader: &Reader<'_>, events: &[(Date, Event<'_>)], date: Date) {
        self.settled.books.known_before(date);
        let standing = events[self.settled.next..].iter().find_map(|(day, event)| match event {
            Event::Planted(_, planting) if planting.stood.end.is_none_or(|end| end > date) => {
                Some(*day)
            }
            Event::Test(_)
            | Event::Harvest(_)
            | Event::Cleared(..)
            | Event::Amendment(_)
            | Event::Planted(..) => None,
        });
        let until =
            standing.map_or(events.len(), |first| events.partition_point(|(day, _)| *day < first));
        if until > self.settled.next {
            self.settled.take(reader, &events[..until], date);
        }
    }
}

impl Stage {
    /// Books the events that have not been, as they are known on a day.
    fn take(&mut self, reader: &Reader<'_>, events: &[(Date, Event<'_>)], by: Date) {
        for (day, event) in &events[self.next..] {
            self.books.take(reader, *day, event, by);
        }
        self.next = events.len();
    }
}
