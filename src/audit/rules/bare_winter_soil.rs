use chrono::Datelike;

use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::{Garden, Place, Residue};
use crate::season::{Date, in_growing_half};

rule! {
    /// # Statement
    /// A bed lay bare for two months or more of the winter half: nothing stood, nothing covered it.
    /// # Mechanism
    /// Rain on bare soil washes out nitrate and closes the surface.
    /// # Reads
    /// plantings, amendments, treatments, site
    /// # Stays silent when
    /// residue was left, a mulch was spread, a treatment lasted, the bed is a container, or the
    /// time lies before the bed's records begin or goes on today.
    /// # Limits
    /// A section that stood counts for the whole bed.
    /// # Sources
    /// Common practice; the standards on soil cover come with their own rules.
    BareWinterSoil {
        id: "bare_winter_soil",
        severity: Remark,
        reads: ["plantings", "amendments", "treatments"],
        sources: ["common_practice"],
        since: "0.1.0",
    }
}

impl Rule for BareWinterSoil {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let latitude = context.garden.site.as_ref().map_or(45.0, |site| site.latitude);
        let mut findings = Vec::new();
        for bed in &context.garden.beds {
            if bed.kind == crate::records::BedKind::Container {
                continue;
            }
            for (from, to, origin) in gaps(context, &bed.name) {
                let winter: Vec<Date> = from
                    .iter_days()
                    .take_while(|day| *day < to)
                    .filter(|day| !in_growing_half(*day, latitude) && !is_shoulder(*day))
                    .collect();
                let (Some(first), Some(last)) = (winter.first(), winter.last()) else {
                    continue;
                };
                if i64::try_from(winter.len()).unwrap_or(0) < context.policy.bare_winter_days {
                    continue;
                }
                if covered(context.garden, &bed.name, from, to) {
                    continue;
                }
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    severity: Self::CARD.severity,
                    confidence: Confidence::Moderate,
                    place: Some(Place::whole(&bed.name)),
                    date: *first,
                    claim: FindingClaim::BareWinterSoil { from: *first, to: *last },
                    evidence: origin,
                });
            }
        }
        findings
    }
}

/// The weeks about the equinoxes, when beds turn over anyway.
fn is_shoulder(day: Date) -> bool {
    matches!(day.month(), 3 | 9) || (day.month() == 10 && day.day() <= 15)
}

/// Times between plantings with nothing standing, with the record before each.
fn gaps(context: &Context<'_>, bed: &str) -> Vec<(Date, Date, Vec<Evidence>)> {
    let mut gaps = Vec::new();
    let mut bare_from: Option<(Date, Vec<Evidence>)> = None;
    let mut left = false;
    for planting in &context.garden.plantings {
        if &*planting.place.bed != bed || planting.stood.start > context.today {
            continue;
        }
        if let Some((from, origin)) = &bare_from
            && planting.stood.start > *from
            && !left
        {
            gaps.push((*from, planting.stood.start, origin.clone()));
        }
        let end = planting.stood.end.unwrap_or(context.today);
        if bare_from.as_ref().is_none_or(|(from, _)| end > *from) {
            left = matches!(planting.residue, Some(Residue::Left));
            bare_from = Some((end, vec![Evidence::planting(planting)]));
        }
    }
    gaps
}

/// Whether a mulch was spread or a treatment lasted in the time.
fn covered(garden: &Garden, bed: &str, from: Date, to: Date) -> bool {
    let mulched = garden.amendments.iter().any(|amendment| {
        &*amendment.place.bed == bed
            && (from..to).contains(&amendment.date)
            && ["straw", "leaves", "leaf_mould", "wood_chips", "hay", "mulch", "bark"]
                .iter()
                .any(|word| amendment.material.contains(word))
    });
    let treated = garden.treatments.iter().any(|treatment| {
        &*treatment.place.bed == bed
            && treatment.lasted.start < to
            && treatment.lasted.end_by(to) > from
    });
    mulched || treated
}
