use crate::assess::Evidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::{Extent, Residue, Seen};

rule! {
    /// # Statement
    /// The remains of a crop with a disease that lives in soil or residue were left on the bed or dug
    /// in.
    /// # Mechanism
    /// The pathogen sits in roots and stems; carried off it leaves the bed, dug in it stays.
    /// # Reads
    /// plantings (residue), observations; pathogens
    /// # Stays silent when
    /// the plants were carried off or composted, nothing says what became of them, the extent was a
    /// trace, or the disease does not stay with the bed.
    /// # Limits
    /// A garden heap seldom gets hot enough: composted remains come back with the compost, which is
    /// not followed up.
    /// # Sources
    /// Where the inoculum sits, from the pathogens table.
    SickResidueKept {
        id: "sick_residue_kept",
        severity: Warning,
        reads: ["plantings", "observations", "pathogens"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for SickResidueKept {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for planting in context.made() {
            let (Some(residue @ (Residue::Left | Residue::DugIn)), Some(end)) =
                (planting.residue, planting.stood.end)
            else {
                continue;
            };
            let seen = context.garden.observations.iter().rev().find_map(|seen| {
                let Seen::Pathogen(pathogen) = seen.seen else { return None };
                let is_of_it = seen.crop == Some(planting.crop)
                    && seen.place.bears_on(&planting.place)
                    && seen.date >= planting.stood.start
                    && seen.date <= end
                    && seen.extent != Some(Extent::Trace)
                    && context.knowledge.pathogens[pathogen].is_bound_to_bed();
                is_of_it.then_some((pathogen, seen))
            });
            let Some((pathogen, seen)) = seen else { continue };
            let claim = FindingClaim::SickResidueKept { crop: planting.crop, pathogen, residue };
            findings.push(
                Finding::new(&Self::CARD, &planting.place, end, claim)
                    .sure(super::sure_of(seen.certainty))
                    .resting_on([Evidence::planting(planting), Evidence::sighting(seen)]),
            );
        }
        findings
    }
}
