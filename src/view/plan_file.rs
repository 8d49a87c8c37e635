//! A plan as a file of its own: the columns are those of `plantings.csv`, so that a planting can be
//! moved into the records once it is done, and kept by the next plan until then.

use super::phrase::Phrases;
use crate::plan::GardenPlan;

/// The plantings as CSV text.
#[must_use]
pub fn plan_csv(phrases: Phrases<'_>, plan: &GardenPlan) -> String {
    let mut text = String::from("bed,section,crop,method,planted,removed,area_m2,note\n");
    for company in &plan.company {
        let with = phrases.crop(company.with);
        let cells = [
            field(&company.place.bed),
            field(company.place.section.as_deref().unwrap_or_default()),
            phrases.knowledge.crops[company.crop].key.to_string(),
            crate::records::Method::Sown.word().to_owned(),
            company.sown.to_string(),
            company.cut.to_string(),
            format!("{:.2}", company.area.0),
            field(&format!("planned between the {with}")),
        ];
        text.push_str(&cells.join(","));
        text.push('\n');
    }
    for planting in &plan.plantings {
        let cells = [
            field(&planting.place.bed),
            field(planting.place.section.as_deref().unwrap_or_default()),
            phrases.knowledge.crops[planting.crop].key.to_string(),
            planting.method.word().to_owned(),
            planting.planted.to_string(),
            planting.cleared.to_string(),
            format!("{:.2}", planting.area.0),
            "planned".to_owned(),
        ];
        text.push_str(&cells.join(","));
        text.push('\n');
    }
    text
}

/// A field, quoted where it must be.
pub(super) fn field(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}
