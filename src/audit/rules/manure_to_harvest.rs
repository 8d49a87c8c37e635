use crate::assess::Confidence;
use crate::assess::{Evidence, FactNote, FigureNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Severity};
use crate::records::{Amendment, Harvest};

rule! {
    /// # Statement
    /// A crop was harvested sooner after raw manure than the days that food-safety rules ask for.
    /// # Mechanism
    /// Raw manure may carry germs that make people ill; they die away in soil over months.
    /// # Reads
    /// amendments, harvests, plantings; `sequence_rules` (`raw_manure`), amendments table
    /// # Stays silent when
    /// the manure was composted, or no harvest is on record. Where the common days are served and only a
    /// stricter rule of one place or trade is not, it is a remark.
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
                let Some(row) = row else {
                    if let Some(finding) = stricter_rule(context, amendment, harvest, days) {
                        told.push(harvest.crop);
                        findings.push(finding);
                    }
                    continue;
                };
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
                        Evidence::amendment(amendment),
                        Evidence::harvest(harvest),
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

/// A rule of one place or trade that asks for more days than the common ones: one state's for all food,
/// a trade's for leafy greens.
fn stricter_rule(
    context: &Context<'_>,
    amendment: &Amendment,
    harvest: &Harvest,
    days: i64,
) -> Option<Finding> {
    let is_leaf = &*context.knowledge.crops[harvest.crop].edible_part == "leaf";
    let clause = context
        .knowledge
        .clauses()
        .iter()
        .filter(|clause| &*clause.unit == "days")
        .filter(|clause| &*clause.id == "MD-ORG-4" || is_leaf && &*clause.id == "CONTEXT-LGMA")
        .filter(|clause| clause.figure.is_some_and(|asked| (days as f64) < asked))
        .min_by(|a, b| a.figure.unwrap_or(0.0).total_cmp(&b.figure.unwrap_or(0.0)))?;
    let note = FactNote::Clause { clause: clause.clause.clone(), demands: clause.demands.clone() };
    let claim = FindingClaim::ManureToHarvest { crop: harvest.crop, days };
    let card = Finding::new(&ManureToHarvest::CARD, &amendment.place, harvest.date, claim);
    Some(Finding { severity: Severity::Remark, ..card }.sure(Confidence::Moderate).resting_on([
        Evidence::amendment(amendment),
        Evidence::harvest(harvest),
        Evidence::Fact(note, clause.citation.clone()),
        Evidence::Figure(FigureNote::DaysToHarvest { days }),
    ]))
}
