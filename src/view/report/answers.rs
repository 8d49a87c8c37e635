//! The five questions of a round of the beds, answered in a few lines each: what stands, what ails,
//! what can follow, what to do this month, why.

use itertools::Itertools;

use super::super::judgment::verdict_label;
use super::super::text::{Label, Line};
use super::super::words;
use super::dose::DoseLog;
use super::follow::{Candidate, Following};
use super::month::task_line;
use super::sheet::{Sheet, anchor};
use super::{Material, line};
use crate::advise::PlaceSurvey;
use crate::assess::{Claim, Effect, Verdict};
use crate::season::Date;
use crate::state::{BedState, Presence};

/// A question of the round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Question {
    /// What stands?
    Stands,
    /// What ails it?
    Ails,
    /// What can follow?
    Follows,
    /// What to do this month?
    Month,
    /// Why?
    Why,
}

impl Question {
    /// The question as printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Stands => "What stands?",
            Self::Ails => "What ails?",
            Self::Follows => "What can follow?",
            Self::Month => "To do this month",
            Self::Why => "Why?",
        }
    }
}

/// A line of an answer, and the sheet it speaks of.
#[derive(Clone, Debug)]
pub struct AnswerLine {
    /// What it says.
    pub line: Line,
    /// Anchor and name of the sheet to go to.
    pub sheets: Vec<(String, String)>,
}

/// An answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// To which question.
    pub question: Question,
    /// The lines.
    pub lines: Vec<AnswerLine>,
}

impl Answer {
    fn new(question: Question, lines: Vec<Line>) -> Self {
        let lines = lines.into_iter().map(|line| AnswerLine { line, sheets: vec![] }).collect();
        Self { question, lines }
    }
}

/// Unknown diseases older than this are history.
const RECENT_DAYS: i64 = 400;

/// The five answers of a place.
pub(super) fn of_place(
    material: &Material<'_, '_>,
    place: &PlaceSurvey<'_>,
    doses: &[DoseLog],
    following: &Following,
) -> Vec<Answer> {
    let phrases = material.phrases;
    let today = material.survey.today;
    let mut month: Vec<Line> =
        place.tasks.iter().map(|task| task_line(phrases, today, task)).collect();
    if month.is_empty() {
        month.push(line().text("nothing is due by the records"));
    }
    vec![
        Answer::new(Question::Stands, stands(material, &place.follows.state)),
        Answer::new(Question::Ails, ails(material, &place.follows.state, doses)),
        Answer::new(Question::Follows, follows(following, place)),
        Answer::new(Question::Month, month),
        Answer::new(Question::Why, why(material, place)),
    ]
}

fn stands(material: &Material<'_, '_>, state: &BedState<'_>) -> Vec<Line> {
    let phrases = material.phrases;
    let lines: Vec<Line> = state
        .standing()
        .map(|planting| {
            let variety = if planting.variety.is_empty() {
                String::new()
            } else {
                format!(" ({})", planting.variety)
            };
            let itself = if planting.is_volunteer() { ", self-sown" } else { "" };
            let days = (state.date - planting.planted()).num_days();
            line()
                .and(Label::Name, phrases.crop(planting.crop))
                .text(format!(
                    "{variety}{itself}, since {} ({}) ",
                    planting.planted(),
                    words::days(days)
                ))
                .and(Label::Source, format!("[{}]", planting.origin))
        })
        .collect();
    if !lines.is_empty() {
        return lines;
    }
    let before = state.predecessors().first().map_or(String::new(), |gone| {
        let end = gone.stood.end.map_or(String::new(), |end| format!(" since {end}"));
        format!("{end}, after {}", phrases.crop(gone.crop))
    });
    vec![line().text(format!("nothing{before}"))]
}

fn ails(material: &Material<'_, '_>, state: &BedState<'_>, doses: &[DoseLog]) -> Vec<Line> {
    let phrases = material.phrases;
    let mut lines = Vec::new();
    if let Some(episode) = state.episodes().last()
        && let Some(last) =
            episode.last().filter(|last| (state.date - *last).num_days() < RECENT_DAYS)
    {
        let may: Vec<String> = episode
            .candidates
            .iter()
            .take(3)
            .map(|one| format!("{} ({:.0} %)", phrases.cause(one), one.chance * 100.0))
            .collect();
        let may =
            if may.is_empty() { String::new() } else { format!("; may be {}", words::list(&may)) };
        lines.push(line().and(Label::Unknown, "unknown").text(format!(", last noted {last}{may}")));
    }
    for inoculum in state.inocula() {
        let pathogen = &phrases.knowledge.pathogens[inoculum.pathogen];
        if !matches!(inoculum.presence, Presence::Sighted(_)) || !pathogen.is_bound_to_bed() {
            continue;
        }
        let now = words::percent_range(inoculum.loss_at(state.date, state.date));
        let seen = inoculum
            .last_sighting()
            .map_or(String::new(), |seen| format!(", last seen {}", seen.date));
        lines.push(
            line()
                .and(Label::Wait, phrases.disease(inoculum.pathogen))
                .text(format!("{seen}; a susceptible crop would lose {now}")),
        );
    }
    if lines.is_empty() {
        let open = if doses.is_empty() { "" } else { " that was named" };
        lines.push(line().text(format!(
            "no disease of the soil is on record{open}, which is not the same as none"
        )));
    }
    lines
}

/// Crops of one verdict as a line: the names, with the day where it is not today.
fn of_verdict(all: &[Candidate], verdict: Verdict, lead: &str, today: Date) -> Option<Line> {
    let told: Vec<String> =
        all.iter()
            .filter(|one| one.verdict == verdict)
            .map(|one| {
                if one.on <= today {
                    one.crop.clone()
                } else {
                    format!("{} ({})", one.crop, one.on)
                }
            })
            .collect();
    (!told.is_empty()).then(|| {
        line()
            .text(lead)
            .and(verdict_label(verdict), verdict.word().to_uppercase())
            .text(format!(" {}", told.join(", ")))
    })
}

fn follows(following: &Following, place: &PlaceSurvey<'_>) -> Vec<Line> {
    let today = place.follows.from;
    let occupied = place.follows.state.standing().any(|planting| !planting.is_volunteer());
    let mut lines = Vec::new();
    if occupied && !following.wished.is_empty() {
        lines.push(line().text("once it is cleared, of the wished crops:"));
    }
    lines.extend(of_verdict(&following.wished, Verdict::Plant, "", today));
    lines.extend(of_verdict(&following.wished, Verdict::Care, "", today));
    lines.extend(waits(following).into_iter().map(|(until, crops)| {
        line().and(Label::Wait, until).text(format!(" {}", crops.join(", ")))
    }));
    if following.wished.is_empty() {
        lines.push(line().text("no wishes are written (wishes.csv)"));
    }
    let lead = "others in season: ";
    let others = of_verdict(&following.now, Verdict::Plant, lead, today);
    lines.extend(others.or_else(|| of_verdict(&following.now, Verdict::Care, lead, today)));
    lines
}

/// The wished crops that wait, by the end of their wait.
fn waits(following: &Following) -> Vec<(String, Vec<String>)> {
    let mut waits: Vec<(Option<Date>, String, Vec<String>)> = Vec::new();
    for one in following.wished.iter().filter(|one| one.verdict == Verdict::Wait) {
        match waits.iter_mut().find(|(_, until, _)| *until == one.verdict_words) {
            Some((.., crops)) => crops.push(one.crop.clone()),
            None => waits.push((one.earliest, one.verdict_words.clone(), vec![one.crop.clone()])),
        }
    }
    waits.sort_by_key(|(day, ..)| (day.is_none(), *day));
    waits.into_iter().map(|(_, until, crops)| (until, crops)).collect()
}

/// What holds wished crops back, each cause once: with the crops it bears on.
fn why(material: &Material<'_, '_>, place: &PlaceSurvey<'_>) -> Vec<Line> {
    let phrases = material.phrases;
    let mut causes: Vec<(Verdict, String, Vec<String>)> = Vec::new();
    for judged in place.wished.iter().filter(|judged| judged.verdict > Verdict::Plant) {
        let crop = phrases.crop(judged.proposal.crop).to_owned();
        for reason in &judged.reasons {
            if reason.effect.verdict() != judged.verdict {
                continue;
            }
            let cause = match &reason.claim {
                Claim::Disease { pathogen, presence, .. } => match presence {
                    Presence::Sighted(_) => format!("{} is on record", phrases.disease(*pathogen)),
                    Presence::Candidate(chance) => format!(
                        "the unknown disease may be {} ({:.0} %)",
                        phrases.disease(*pathogen),
                        chance * 100.0
                    ),
                    Presence::Beside => {
                        format!("{} was seen in another section", phrases.disease(*pathogen))
                    }
                },
                Claim::UnknownDisease { seen, .. } => {
                    format!("what ailed it on {seen} was never named")
                }
                Claim::Return { previous, .. } => {
                    format!("{} stood here lately", phrases.crop(*previous))
                }
                _ => phrases.short(reason),
            };
            match causes.iter_mut().find(|(_, known, _)| *known == cause) {
                Some((verdict, _, crops)) => {
                    *verdict = (*verdict).max(judged.verdict);
                    if !crops.contains(&crop) {
                        crops.push(crop.clone());
                    }
                }
                None => causes.push((judged.verdict, cause, vec![crop.clone()])),
            }
        }
    }
    causes.sort_by(|a, b| b.0.cmp(&a.0).then(b.2.len().cmp(&a.2.len())));
    let rest = causes.len().saturating_sub(4);
    let mut lines: Vec<Line> = causes
        .into_iter()
        .take(4)
        .map(|(verdict, cause, crops)| {
            line()
                .text(format!("{cause}: "))
                .and(verdict_label(verdict), verdict.word())
                .text(format!(" for {}", words::list(&crops)))
        })
        .collect();
    if rest > 0 {
        lines.push(
            line().text(format!("{} more, told crop by crop below", words::count(rest, "reason"))),
        );
    }
    if lines.is_empty() {
        let helps = place
            .follows
            .ranked
            .iter()
            .flat_map(|one| &one.assessment.reasons)
            .find(|reason| reason.effect == Effect::Helps)
            .map(|reason| phrases.short(reason));
        let text = helps.map_or("nothing on record holds a wished crop back".to_owned(), |helps| {
            format!("nothing on record holds a wished crop back; {helps}")
        });
        lines.push(line().text(text));
    }
    lines
}

/// The five answers of the garden, each line with the sheets it speaks of.
pub(super) fn of_garden(material: &Material<'_, '_>, sheets: &[Sheet]) -> Vec<Answer> {
    let phrases = material.phrases;
    let survey = material.survey;
    let link = |at: usize| (anchor(at), sheets[at].name.clone());
    let mut standing: Vec<(String, Vec<usize>)> = Vec::new();
    let mut ailing: Vec<(Label, String, Vec<usize>)> = Vec::new();
    let mut month = Vec::new();
    let mut free = Vec::new();
    for (at, place) in survey.places.iter().enumerate() {
        let state = &place.follows.state;
        let names: Vec<&str> =
            state.standing().map(|planting| phrases.crop(planting.crop)).unique().collect();
        if state.standing().all(crate::records::Planting::is_volunteer) {
            free.push(at);
        }
        for name in names {
            gather(&mut standing, name.to_owned(), at);
        }
        for inoculum in state.inocula() {
            let bound = phrases.knowledge.pathogens[inoculum.pathogen].is_bound_to_bed();
            if bound && matches!(inoculum.presence, Presence::Sighted(_)) {
                let name = phrases.disease(inoculum.pathogen).to_owned();
                match ailing.iter_mut().find(|(_, known, _)| *known == name) {
                    Some((.., places)) => places.push(at),
                    None => ailing.push((Label::Wait, name, vec![at])),
                }
            }
        }
        let open = state.episodes().iter().any(|episode| {
            episode.last().is_some_and(|last| (state.date - last).num_days() < RECENT_DAYS)
        });
        if open {
            let name = "cause unknown, within the last year".to_owned();
            match ailing.iter_mut().find(|(_, known, _)| *known == name) {
                Some((.., places)) => places.push(at),
                None => ailing.insert(0, (Label::Unknown, name, vec![at])),
            }
        }
        for task in &place.tasks {
            let told = task_line(phrases, survey.today, task);
            // One task for several sections of a bed is one line.
            match month.iter_mut().find(|known: &&mut AnswerLine| known.line == told) {
                Some(known) => known.sheets.push(link(at)),
                None => month.push(AnswerLine { line: told, sheets: vec![link(at)] }),
            }
        }
    }
    standing.sort_by(|a, b| b.1.len().cmp(&a.1.len()).then(a.0.cmp(&b.0)));
    let links = |places: &[usize]| places.iter().map(|at| link(*at)).collect_vec();
    let mut stands: Vec<AnswerLine> = standing
        .iter()
        .map(|(name, places)| AnswerLine {
            line: line().and(Label::Name, name.clone()),
            sheets: links(places),
        })
        .collect();
    if !free.is_empty() {
        stands.insert(
            0,
            AnswerLine { line: line().and(Label::Name, "free ground"), sheets: links(&free) },
        );
    }
    let ails = ailing
        .into_iter()
        .map(|(label, name, places)| AnswerLine {
            line: line().and(label, name),
            sheets: links(&places),
        })
        .collect();
    vec![
        Answer { question: Question::Stands, lines: stands },
        Answer { question: Question::Ails, lines: ails },
        Answer { question: Question::Follows, lines: wished_places(material, sheets) },
        Answer { question: Question::Month, lines: month },
        Answer { question: Question::Why, lines: barring(material, sheets) },
    ]
}

fn gather(lists: &mut Vec<(String, Vec<usize>)>, name: String, at: usize) {
    match lists.iter_mut().find(|(known, _)| *known == name) {
        Some((_, places)) => places.push(at),
        None => lists.push((name, vec![at])),
    }
}

/// Where each wished crop is free to go.
fn wished_places(material: &Material<'_, '_>, sheets: &[Sheet]) -> Vec<AnswerLine> {
    let survey = material.survey;
    survey
        .wishes
        .iter()
        .enumerate()
        .map(|(wish, start)| {
            let of = |verdict: Verdict| {
                (0..survey.places.len())
                    .filter(|at| survey.places[*at].wished[wish].verdict == verdict)
                    .collect_vec()
            };
            let (plant, care, wait) = (of(Verdict::Plant), of(Verdict::Care), of(Verdict::Wait));
            let day = match start.start {
                Some(day) if day > survey.today => format!(" from {day}: "),
                Some(_) => " now: ".to_owned(),
                None => " (no start found for this climate): ".to_owned(),
            };
            let told = line()
                .and(Label::Name, material.phrases.crop(start.crop))
                .text(day)
                .and(Label::Plant, format!("{} plant", plant.len()))
                .text(", ")
                .and(Label::Care, format!("{} care", care.len()))
                .text(", ")
                .and(Label::Wait, format!("{} wait", wait.len()));
            let best = if plant.is_empty() { care } else { plant };
            let sheets =
                best.into_iter().take(6).map(|at| (anchor(at), sheets[at].name.clone())).collect();
            AnswerLine { line: told, sheets }
        })
        .collect()
}

/// The diseases that make wished crops wait, with the places.
fn barring(material: &Material<'_, '_>, sheets: &[Sheet]) -> Vec<AnswerLine> {
    let phrases = material.phrases;
    let mut causes: Vec<(String, Vec<String>, Vec<usize>)> = Vec::new();
    for (at, place) in material.survey.places.iter().enumerate() {
        for judged in place.wished.iter().filter(|judged| judged.verdict == Verdict::Wait) {
            for reason in &judged.reasons {
                let Effect::Wait { .. } = reason.effect else { continue };
                let cause = match &reason.claim {
                    Claim::Disease { pathogen, .. } => phrases.disease(*pathogen).to_owned(),
                    Claim::Return { .. } => "the same crop lately".to_owned(),
                    Claim::UnknownDisease { .. } => "a disease never named".to_owned(),
                    _ => continue,
                };
                let crop = phrases.crop(judged.proposal.crop).to_owned();
                let known = causes.iter().position(|(known, ..)| *known == cause);
                let known = known.unwrap_or_else(|| {
                    causes.push((cause, vec![], vec![]));
                    causes.len() - 1
                });
                let (_, crops, places) = &mut causes[known];
                if !crops.contains(&crop) {
                    crops.push(crop);
                }
                if !places.contains(&at) {
                    places.push(at);
                }
            }
        }
    }
    causes.sort_by(|a, b| b.2.len().cmp(&a.2.len()).then(a.0.cmp(&b.0)));
    causes
        .into_iter()
        .map(|(cause, crops, places)| AnswerLine {
            line: line().and(Label::Wait, cause).text(format!(" makes wait: {}", crops.join(", "))),
            sheets: places.into_iter().map(|at| (anchor(at), sheets[at].name.clone())).collect(),
        })
        .collect()
}
