use std::sync::Arc;

use chrono::Datelike;

use crate::assess::{Confidence, Evidence, FigureNote, RecordNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Severity};
use crate::policy::Policy;
use crate::records::Place;
use crate::season::{Date, add_days};
use crate::state::nutrients::{Flow, Ledger, Month, Nutrient, Pool, Spread};

/// Days of amendments before the rain that are named beside the finding.
const NAMED_DAYS: f64 = 150.0;

rule! {
    /// # Statement
    /// Much nitrogen lay free in the soil when the rain of the wet season began, and much of it was
    /// washed out.
    /// # Mechanism
    /// Nitrate moves with water. What no root holds when rain exceeds evaporation goes below the
    /// roots: lost to the next crop, a burden on wells and streams.
    /// # Reads
    /// climate, plantings, amendments, soil tests; the nutrient books
    /// # Stays silent when
    /// no rain is on record, the wet season is not yet over, the likely figures stay below those of
    /// the policy (`winter_nitrogen`, `winter_leached`), or the low end of the loss is next to nothing.
    /// # Limits
    /// Normals, not the weather of that winter; texture is known only where the bed's note says
    /// sandy; irrigation is not counted.
    /// # Sources
    /// The Burns equation and its discussion; evaporation after FAO-56.
    NitrogenBeforeWinter {
        id: "nitrogen_before_winter",
        severity: Warning,
        reads: ["climate", "plantings", "amendments", "soil_tests"],
        sources: ["burns_1975_leaching", "scotter_1993_burns", "fao_56"],
        since: "0.1.0",
    }
}

impl Rule for NitrogenBeforeWinter {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for ledger in context.ledgers.iter().filter(|ledger| ledger.rain_is_known()) {
            for at in (0..ledger.months.len()).rev() {
                let Some(season) = wet_season(context.policy, ledger, at) else { continue };
                let first = season[0].account(Nutrient::Nitrogen);
                let free = first.opening.of(Pool::Available);
                let leached: Spread = season
                    .iter()
                    .map(|month| month.account(Nutrient::Nitrogen).moved(Flow::Leached))
                    .sum();
                if free.likely < context.policy.winter_nitrogen
                    || leached.likely < context.policy.winter_leached
                    // A loss that may as well be nothing is a guess, not a finding.
                    || leached.range().low < context.policy.winter_leached / 3.0
                {
                    continue;
                }
                let date = season[0].from;
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    // Without a test the books are a guess from year to year.
                    severity: match confidence(context, ledger, date) {
                        Confidence::Low => Severity::Remark,
                        Confidence::Moderate | Confidence::High => Self::CARD.severity,
                    },
                    confidence: confidence(context, ledger, date),
                    place: Some(ledger.place.clone()),
                    date,
                    claim: FindingClaim::NitrogenBeforeWinter {
                        free: free.range(),
                        leached: leached.range(),
                    },
                    evidence: evidence(context, &ledger.place, ledger, date, free),
                });
            }
        }
        findings
    }
}

/// The wet months from a month on, if that month begins the wet season and the season is over.
fn wet_season<'l>(policy: &Policy, ledger: &'l Ledger, at: usize) -> Option<&'l [Arc<Month>]> {
    let wet = |month: &Arc<Month>| {
        ledger.surplus_mm(month.from.month()).is_some_and(|surplus| surplus >= policy.wet_month_mm)
    };
    let month = ledger.months.get(at)?;
    let before = ledger.months.get(at.checked_sub(1)?)?;
    if !wet(month) || wet(before) {
        return None;
    }
    let length = ledger.months[at..]
        .iter()
        .take(policy.wet_season_months)
        .take_while(|month| wet(month))
        .count();
    // A season that reaches the end of the books may go on.
    (at + length < ledger.months.len()).then(|| &ledger.months[at..at + length])
}

/// A test within the year before makes the free nitrogen known; without one it is reckoned.
fn confidence(context: &Context<'_>, ledger: &Ledger, date: Date) -> Confidence {
    let tested = context.garden.soil_tests.iter().any(|test| {
        test.place.bears_on(&ledger.place)
            && test.nitrate_n.is_some()
            && (0..=365).contains(&(date - test.date).num_days())
    });
    if tested { Confidence::Moderate } else { Confidence::Low }
}

fn evidence(
    context: &Context<'_>,
    place: &Place,
    ledger: &Ledger,
    date: Date,
    free: Spread,
) -> Vec<Evidence> {
    let since = add_days(date, -NAMED_DAYS);
    let mut evidence: Vec<Evidence> = ledger
        .booked
        .iter()
        .filter(|booked| (since..date).contains(&booked.date))
        .map(|booked| {
            let material = booked.material.clone();
            Evidence::Record(
                booked.origin.clone(),
                RecordNote::Amendment { date: booked.date, material },
            )
        })
        .collect();
    let cleared = context.garden.plantings.iter().filter(|planting| {
        planting.place.bears_on(place)
            && planting.stood.end.is_some_and(|end| (since..date).contains(&end))
    });
    evidence.extend(cleared.map(Evidence::planting));
    let nutrient = Nutrient::Nitrogen;
    evidence.push(Evidence::Figure(FigureNote::Booked { nutrient, grams: free.range() }));
    evidence
}
