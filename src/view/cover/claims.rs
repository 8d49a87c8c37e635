//! The claims on a cover, each with what it rests on.

use super::super::phrase::Phrases;
use super::super::told::{Told, speaks_of};
use super::super::units::Units;
use super::super::words;
use super::cover_name;
use crate::advise::cover::{
    CoverOption, Covers, Fit, Goal, KillFor, NextCrop, SoilLife, Start, Winter,
};
use crate::knowledge::{PathogenId, Turn};
use crate::records::{Method, Started};
use crate::state::stand::Stage;

/// The claims on an option, what bears most first.
pub(in crate::view) fn reasons<'a>(
    phrases: Phrases<'_>,
    covers: &'a Covers<'_>,
    option: &'a CoverOption,
) -> Vec<Told<'a>> {
    let mut told = Vec::new();
    told.extend(option.soil_life.iter().map(|life| life_told(phrases, option, life)));
    for reason in &option.assessment.reasons {
        if reason.effect.verdict() > crate::assess::Verdict::Plant {
            told.push(Told {
                rule: reason.rule.word(),
                speaks: "against",
                text: format!("the cover itself: {}", phrases.claim(reason)),
                evidence: reason.evidence.iter().collect(),
            });
        }
    }
    told.push(fit_told(phrases.units, option));
    told.push(growth_told(phrases.units, option));
    told.extend(nitrogen_told(phrases.units, option));
    told.push(winter_told(option));
    told.push(kill_told(covers, option));
    told.push(wait_told(phrases, covers, option));
    told.extend(option.next.as_ref().map(|next| next_told(phrases, next)));
    told
}

fn life_told<'a>(phrases: Phrases<'_>, option: &CoverOption, life: &'a SoilLife) -> Told<'a> {
    let disease = phrases.disease(life.pathogen);
    let cover = cover_name(phrases, option);
    let mut text = match life.turn {
        Some(Turn::Raises) => format!("{cover} raises {disease}, which this bed has"),
        Some(Turn::Lowers) => format!("{cover} lowers {disease}, which this bed has"),
        Some(Turn::Neutral) => format!("{cover} neither raises nor lowers {disease}"),
        None if life.hangs_on_species() => {
            format!(
                "{disease}: what {cover} does hangs on the species, which nobody has determined"
            )
        }
        None => format!("what {cover} does to {disease} is not known: that is not a no"),
    };
    if life.hangs_on_species() {
        let each: Vec<String> = life
            .by_species
            .iter()
            .map(|(species, turn)| {
                let does = match turn {
                    Some(Turn::Raises) => "raised",
                    Some(Turn::Lowers) => "lowered",
                    Some(Turn::Neutral) => "neither",
                    None => "not known",
                };
                format!("{} {does}", species_name(phrases, *species))
            })
            .collect();
        let settles = crate::advise::cover::settling_test(phrases.knowledge, life.pathogen);
        text = format!("{text} ({}); what settles it: {settles}", each.join(", "));
    }
    if life.is_contested {
        text.push_str("; sources contradict each other");
    }
    if life.is_weak && life.turn.is_some() {
        text.push_str(" (weakly backed)");
    }
    Told {
        rule: "own_diseases",
        speaks: speaks_of(life.turn),
        text,
        evidence: life.evidence.iter().collect(),
    }
}

/// A species by its scientific name with the genus cut short.
fn species_name(phrases: Phrases<'_>, species: PathogenId) -> String {
    let name = &phrases.knowledge.pathogens[species].scientific_name;
    match name.split_once(' ') {
        Some((genus, rest)) => format!("{}. {rest}", genus.chars().take(1).collect::<String>()),
        None => name.to_string(),
    }
}

fn fit_told(units: Units, option: &CoverOption) -> Told<'_> {
    let soil = option.germination_c.map_or(
        "whether it germinates is not known".to_owned(),
        |(soil, least)| {
            format!(
                "soil about {} at sowing, germinates from {}",
                units.whole_degrees(soil),
                units.whole_degrees(least)
            )
        },
    );
    let text = match option.fit {
        Fit::Fits => format!("fits the gap; {soil}"),
        Fit::TooShort => format!("the gap is too short to cover the ground; {soil}"),
        Fit::FrostFirst => format!("frost kills it before it has grown; {soil}"),
        Fit::TooCold => format!("too cold to come up: {soil}"),
        Fit::OutOfSeason => {
            format!("out of its season: the gap is too warm or too cool for it; {soil}")
        }
    };
    Told {
        rule: "fits_the_gap",
        speaks: if option.fit == Fit::Fits { "for" } else { "against" },
        text,
        evidence: Vec::new(),
    }
}

fn stage_words(stage: Stage) -> &'static str {
    match stage {
        Stage::Leafy => "in leaf",
        Stage::Bud => "in bud or jointing",
        Stage::Bloom => "in bloom or headed",
        Stage::Seed => "past bloom, seed sets",
    }
}

fn growth_told(units: Units, option: &CoverOption) -> Told<'_> {
    let evidence = option.growth.iter().collect();
    let Some(stand) = &option.stand else {
        return Told {
            rule: "growth",
            speaks: "unknown",
            text: "growth is not known without site and climate".to_owned(),
            evidence,
        };
    };
    let starved =
        if stand.is_starved { "; nitrogen in the soil, not light, limits it" } else { "" };
    Told {
        rule: "growth",
        speaks: "for",
        text: format!(
            "grows to {} of dry matter by {}, {}; {:.0} % of the ground covered{starved}",
            units.nutrients(stand.dry_matter),
            stand.ended,
            stage_words(stand.stage),
            stand.ground_cover.likely * 100.0
        ),
        evidence,
    }
}

fn nitrogen_told(units: Units, option: &CoverOption) -> Option<Told<'_>> {
    let stand = option.stand.as_ref()?;
    let available = stand.available;
    let free = if available.likely < -0.05 {
        let at_best = if available.high > 0.05 {
            format!("; at best {} come free", units.nutrient_figure(available.high))
        } else {
            String::new()
        };
        let tied = available.map(|grams| (-grams).max(0.0));
        format!("it ties up {} at first{at_best}", units.nutrients(tied))
    } else {
        let at_worst = if available.low < -0.05 { "; at worst it ties nitrogen up" } else { "" };
        format!(
            "{} come free to the next crop, most of it four to six weeks after killing{at_worst}",
            units.nutrients(available)
        )
    };
    Some(Told {
        rule: "nitrogen",
        speaks: if available.likely > 0.0 { "for" } else { "against" },
        text: format!(
            "nitrogen in it at {} %: {} from the air, {} taken from the soil and given back; {free}",
            words::number(stand.nitrogen_percent.likely),
            units.nutrient_figures(stand.fixed),
            units.nutrients(stand.recycled)
        ),
        evidence: option.timing.iter().collect(),
    })
}

fn winter_told(option: &CoverOption) -> Told<'_> {
    let text = match option.winter.winter {
        Winter::Lives => {
            "frost will not kill it here: do not rely on winter, plan to cut it".to_owned()
        }
        Winter::Dies(day) => {
            format!("frost kills it, about {day} in an ordinary year; leave it lying as a cover")
        }
        Winter::MayDie => {
            "frost kills it in some years only: do not rely on it either way".to_owned()
        }
        Winter::Unknown => "whether frost kills it is not known".to_owned(),
    };
    Told {
        rule: "winter",
        speaks: if option.winter.winter == Winter::Unknown { "unknown" } else { "neither" },
        text,
        evidence: option.winter.evidence.iter().collect(),
    }
}

fn kill_told<'a>(covers: &Covers<'_>, option: &'a CoverOption) -> Told<'a> {
    let kill = &option.kill;
    let by = match kill.by {
        KillFor::TheWait => "the last day that serves the next crop's wait",
        KillFor::FirstBloom => "first bloom, when most of its nitrogen comes free",
        KillFor::Jointing => "before it joints, so that it ties up nothing",
        KillFor::Seed => "before it sets seed",
    };
    let ease = if kill.ease.is_empty() { String::new() } else { format!(" ({})", kill.ease) };
    let later = if kill.by != KillFor::TheWait && (kill.latest - kill.on).num_days() > 7 {
        format!("; {} at the latest", kill.latest)
    } else {
        String::new()
    };
    let bare = if covers.aim.goal != Goal::Bloom && (kill.latest - kill.on).num_days() > 28 {
        "; let it lie as a mulch until then, so that the ground is not bare"
    } else {
        ""
    };
    let hard = if kill.is_hard() {
        "; it may come back in the next crop: cut low, turn the crowns under, look again after two weeks"
    } else {
        "; cut at the ground and chop"
    };
    Told {
        rule: "kill",
        speaks: "neither",
        text: format!("kill by hand on {}: {by}{ease}{hard}{later}{bare}", kill.on),
        evidence: kill.evidence.iter().collect(),
    }
}

fn wait_told<'a>(phrases: Phrases<'_>, covers: &Covers<'_>, option: &'a CoverOption) -> Told<'a> {
    let wait = &option.wait;
    let next = covers.question.next.map_or("the next crop", |next| phrases.crop(next));
    let start = match wait.start {
        Start::SmallSeed => "small seed sown in place".to_owned(),
        Start::LargeSeed => {
            "large seed sown in place, which maggots of fresh green matter eat".to_owned()
        }
        Start::Transplants => {
            let of = |next| Started::of(phrases.knowledge, next, Method::Transplanted);
            words::started(covers.question.next.map_or(Started::SetOut, of))
        }
        Start::Unknown => "however it is started".to_owned(),
    };
    let days = words::range(wait.dug_in.low, wait.dug_in.high);
    let mulch = if wait.start == Start::SmallSeed {
        "small seed does not come up through a mulch".to_owned()
    } else {
        match wait.as_mulch.high {
            none if none < 0.5 => "none if it is cut and left lying".to_owned(),
            _ => format!(
                "{} days if it is cut and left lying",
                words::range(wait.as_mulch.low, wait.as_mulch.high)
            ),
        }
    };
    Told {
        rule: "wait",
        speaks: "neither",
        text: format!(
            "then wait {days} days after digging in before {next} ({start}): from {}; {mulch}",
            option.ready()
        ),
        evidence: wait.evidence.iter().collect(),
    }
}

fn next_told<'a>(phrases: Phrases<'_>, next: &NextCrop) -> Told<'a> {
    let speaks = if next.verdict > next.verdict_bare {
        "against"
    } else if next.factor().likely > 1.005 {
        "for"
    } else {
        "neither"
    };
    Told {
        rule: "next_crop",
        speaks,
        text: format!(
            "{} on {} after it: {}, yield {}; after bare ground: {}, {}",
            phrases.crop(next.crop),
            next.on,
            next.verdict.word(),
            words::percent_range(next.expected_yield),
            next.verdict_bare.word(),
            words::percent_range(next.yield_bare)
        ),
        evidence: Vec::new(),
    }
}
