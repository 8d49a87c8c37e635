use crate::assess::{Confidence, Evidence, RecordNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::climate::Climate;
use crate::season::add_days;
use crate::state::film_heats;

rule! {
    /// # Statement
    /// Film was laid to heat the soil when the sun could not do it, or for too short a time.
    /// # Mechanism
    /// Solarization and film over wetted residue work by weeks of heat; in a cool season they change
    /// nothing and take the bed's time.
    /// # Reads
    /// treatments, climate; policy (`film_days`, `film_mean_c`)
    /// # Stays silent when
    /// it lasted long enough in weeks warm enough, it still goes on, or it is a treatment that needs
    /// no heat.
    /// # Limits
    /// Normals of the site, not the weather of that year, unless daily weather is on record. Without
    /// a climate only the days are asked.
    /// # Sources
    /// Trials in the table of what practices do; the thresholds are ours.
    TreatmentOutOfSeason {
        id: "treatment_out_of_season",
        severity: Remark,
        reads: ["treatments", "climate"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for TreatmentOutOfSeason {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let climate = Climate::of(context.garden);
        let mut findings = Vec::new();
        for treatment in &context.garden.treatments {
            let Some(end) = treatment.lasted.end.filter(|end| *end <= context.today) else {
                continue;
            };
            if !matches!(&*treatment.practice.0, "solarization" | "anaerobic_disinfestation") {
                continue;
            }
            let start = treatment.lasted.start;
            let days = (end - start).num_days();
            let mean_c =
                climate.as_ref().map(|climate| climate.mean_c(add_days(start, days as f64 / 2.0)));
            let Err(why) = film_heats(context.policy, climate.as_ref(), start, end) else {
                continue;
            };
            let note = RecordNote::Treatment {
                date: start,
                practice: treatment.practice.0.clone(),
                left: Err(why),
            };
            let claim = FindingClaim::TreatmentOutOfSeason {
                practice: treatment.practice.0.clone(),
                days,
                mean_c,
            };
            findings.push(
                Finding::new(&Self::CARD, &treatment.place, start, claim)
                    .sure(if mean_c.is_some() { Confidence::High } else { Confidence::Moderate })
                    .resting_on([Evidence::Record(treatment.origin.clone(), note)]),
            );
        }
        findings
    }
}
