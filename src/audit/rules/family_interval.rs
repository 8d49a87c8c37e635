use crate::assess::{Claim, Effect, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Judged, Rule, RuleCard, Severity};
use crate::knowledge::{CropId, Role};
use crate::records::{Planting, Residue};
use crate::season::years_between;

rule! {
    /// # Statement
    /// A crop of the same family came back to a bed before the return time that sources advise.
    /// # Mechanism
    /// Relatives share many soil-borne enemies and draw on the soil alike; published return times
    /// are a rule of prudence for beds without a diagnosis.
    /// # Reads
    /// plantings, observations; `family_return`, `sequence_rules`
    /// # Stays silent when
    /// more than a year lies between and a disease was diagnosed on the relative that stood before
    /// (then its own hosts and years count), for volunteers and for covers, but for a grain that was
    /// carried off and follows its own grain. A year or more apart is a
    /// remark: good published plans leave two free years. So is a winter's cover of the family, such
    /// as rye before corn or vetch before beans, which good plans advise: what it may pass on within
    /// weeks `residue_not_ready` tells. Covers of the cabbage family count in full.
    /// # Limits
    /// A family rule stands in for knowledge of the pathogens; sources differ by years.
    /// # Sources
    /// Each finding cites the rows it rests on.
    FamilyInterval {
        id: "family_interval",
        severity: Warning,
        reads: ["plantings", "observations", "family_return"],
        sources: [],
        since: "0.1.0",
    }
}

/// The family whose covers sources keep apart from its vegetables for the pests and diseases that
/// both share (University of Massachusetts Extension, Cover crops, brassicas).
const COVERS_COUNT: &str = "Brassicaceae";

impl Rule for FamilyInterval {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in &context.judged {
            let role = context.knowledge.crops[judged.planting.crop].role;
            let grain = super::is_harvested_grain(context, judged.planting);
            if judged.planting.is_volunteer()
                || !(grain || matches!(role, Role::Cash | Role::Perennial | Role::Field))
            {
                continue;
            }
            if let Some(reason) = judged.return_time() {
                let Claim::Return { previous, years, named, .. } = reason.claim else {
                    continue;
                };
                // Of a grain only what asks for care: its own kind again, not any relative.
                if grain && !matches!(reason.effect, Effect::Care { .. }) {
                    continue;
                }
                let under_cover = !named && is_winters_cover(context, judged, previous);
                // What was harvested before a winter's cover counts as if there were none.
                let harvested = if under_cover { harvested_before(context, judged) } else { None };
                let (previous, years) =
                    harvested.map_or((previous, years), |(one, years)| (one.crop, years));
                let same_year = years < 1.0;
                if named && !same_year {
                    continue;
                }
                let in_full = same_year && (!under_cover || harvested.is_some());
                let mut evidence = super::with_planting(judged.planting, &reason.evidence);
                evidence.extend(harvested.map(|(one, _)| Evidence::planting(one)));
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    severity: if in_full { Self::CARD.severity } else { Severity::Remark },
                    confidence: reason.certainty,
                    place: Some(judged.planting.place.clone()),
                    date: judged.planting.stood.start,
                    claim: FindingClaim::FamilyInterval {
                        crop: judged.planting.crop,
                        previous,
                        years,
                    },
                    evidence,
                });
            }
        }
        findings
    }
}

/// Whether the last relative of a crop, by its key, was grown for the soil for a winter or a summer,
/// and is of a family whose covers do not count in full.
fn is_winters_cover(context: &Context<'_>, judged: &Judged<'_>, relative: CropId) -> bool {
    let crop = &context.knowledge.crops[relative];
    let last = judged.state.plantings.iter().copied().filter(|one| one.crop == relative);
    last.max_by_key(|one| one.stood.end_by(judged.planting.stood.start)).is_some_and(|one| {
        let stood = one.stood.end_by(judged.planting.stood.start) - one.stood.start;
        crop.role == Role::Cover
            && &*crop.family != COVERS_COUNT
            && one.residue.map_or(&*crop.edible_part != "seed", |residue| {
                matches!(residue, Residue::Left | Residue::DugIn)
            })
            && (stood.num_days() as f64) < context.policy.sod_days
    })
}

/// The last relative within a year before a crop that was no cover, and the years since.
fn harvested_before<'g>(context: &Context<'_>, judged: &Judged<'g>) -> Option<(&'g Planting, f64)> {
    let crops = &context.knowledge.crops;
    let set = judged.planting.stood.start;
    let years = |one: &Planting| years_between(one.stood.end_by(set), set);
    let relatives = judged.state.plantings.iter().copied().filter(|one| {
        crops[one.crop].family == crops[judged.planting.crop].family
            && crops[one.crop].role != Role::Cover
            && one.stood.start < set
            && years(one) < 1.0
    });
    relatives.max_by_key(|one| one.stood.end_by(set)).map(|one| (one, years(one)))
}
