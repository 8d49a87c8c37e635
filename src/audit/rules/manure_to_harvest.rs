use crate::assess::Confidence;
use crate::assess::{Evidence, FactNote, FigureNote, RecordNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};

rule! {
    /// # Statement
    /// A crop was harvested sooner after raw manure than the days that food-safety rules ask for.
    /// # Mechanism
    /// Raw manure may carry germs that make people ill; they die away in soil over months.
    /// # Reads
    /// amendments, harvests, plantings; `sequence_rules` (`raw_manure`), amendments table
    /// # Stays silent when
    /// the manure was composted, or no harvest is on record.
    /// # Limits
    /// Local codes may ask for more; licensed advice comes first.
    /// # Sources
    /// Each finding cites the rows it rests on.
    ManureToHarvest {
        id: "manure_to_harvest",
        severity: Severe,
        reads: ["amendments", "harvests", "sequence_rules"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for ManureToHarvest {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let knowledge = context.knowledge;
        let raw = context.garden.amendments.iter().filter(|amendment| {
            knowledge
                .materials
                .find(&amendment.material)
                .is_some_and(|row| &*row.kind == "manure_raw")
        });
        let mut findings = Vec::new();
        for amendment in raw {
            // One finding a load and crop: the first picking that comes too soon.
            let mut told = Vec::new();
            for harvest in &context.garden.harvests {
                let days = (harvest.date - amendment.date).num_days();
                if days < 0
                    || !harvest.place.bears_on(&amendment.place)
                    || told.contains(&harvest.crop)
                {
                    continue;
                }
                let row = knowledge
                    .sequences
                    .after_material("raw_manure", harvest.crop)
                    .filter(|row| row.wait_days.is_some_and(|wait| (days as f64) < wait.low))
                    .max_by(|a, b| {
                        let least = |row: &crate::knowledge::SequenceRow| {
                            row.wait_days.map_or(0.0, |wait| wait.low)
                        };
                        least(a).total_cmp(&least(b))
                    });
                let Some(row) = row else { continue };
                told.push(harvest.crop);
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    severity: Self::CARD.severity,
                    confidence: Confidence::High,
                    place: Some(amendment.place.clone()),
                    date: harvest.date,
                    claim: FindingClaim::ManureToHarvest { crop: harvest.crop, days },
                    evidence: vec![
                        Evidence::Record(
                            amendment.origin.clone(),
                            RecordNote::Amendment {
                                date: amendment.date,
                                material: amendment.material.clone(),
                            },
                        ),
                        Evidence::Record(
                            harvest.origin.clone(),
                            RecordNote::Harvest { date: harvest.date, crop: harvest.crop },
                        ),
                        Evidence::Fact(
                            FactNote::Sequence {
                                previous: row.previous.clone(),
                                next: row.next.clone(),
                                effect: "bad",
                                wait_days: row.wait_days,
                                note: row.note.clone(),
                            },
                            row.citation.clone(),
                        ),
                        Evidence::Figure(FigureNote::DaysToHarvest { days }),
                    ],
                });
            }
        }
        findings
    }
}
