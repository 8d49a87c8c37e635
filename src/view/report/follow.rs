//! What can follow in a place: every wished crop on its own next start, and the best in season today.
//!
//! The same fact is told once a sheet: a reason that rests on what was told under another crop says so.

use super::super::advice::why;
use super::super::judgment::{verdict_label, verdict_words};
use super::super::phrase::confidence_words;
use super::super::text::Label;
use super::super::words;
use super::Material;
use super::leaves::{ReasonNote, Told};
use crate::advise::{PlaceSurvey, SeasonFit, is_untested};
use crate::assess::{Assessment, Verdict};
use crate::season::Date;

/// How many crops are told for today beside the wished ones: to plant, with care.
const MOST: [usize; 2] = [3, 1];

/// A crop judged.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// Anchor.
    pub id: String,
    /// The crop.
    pub crop: String,
    /// The day judged for.
    pub on: Date,
    /// plant, care or wait.
    pub verdict: Verdict,
    /// Its label.
    pub label: Label,
    /// The verdict with its date.
    pub verdict_words: String,
    /// First day on which it no longer waits, if there is one.
    pub earliest: Option<Date>,
    /// Yield of a clean, rotated bed.
    pub expected_yield: String,
    /// How sure.
    pub confidence: &'static str,
    /// Why, in few words.
    pub why: String,
    /// Why, in full.
    pub reasons: Vec<ReasonNote>,
}

/// What can follow in a place.
#[derive(Clone, Debug)]
pub struct Following {
    /// The wished crops, each on its own next start.
    pub wished: Vec<Candidate>,
    /// Best of the others for a start today; none wait.
    pub now: Vec<Candidate>,
}

fn candidate(material: &Material<'_, '_>, told: &mut Told, judged: &Assessment) -> Candidate {
    let phrases = material.phrases;
    let crop = phrases.crop(judged.proposal.crop).to_owned();
    let id = told.next_crop(&crop);
    Candidate {
        id,
        crop,
        on: judged.proposal.on,
        verdict: judged.verdict,
        label: verdict_label(judged.verdict),
        verdict_words: verdict_words(judged),
        earliest: judged.earliest,
        expected_yield: words::percent_range(judged.expected_yield),
        confidence: confidence_words(judged.confidence),
        why: why(phrases, judged),
        reasons: judged.reasons.iter().map(|reason| told.reason(phrases, reason)).collect(),
    }
}

/// What can follow in a place whose sheet has an anchor.
pub(super) fn following(
    material: &Material<'_, '_>,
    place: &PlaceSurvey<'_>,
    anchor: &str,
) -> Following {
    let mut told = Told::of(anchor);
    let wished = place.wished.iter().map(|judged| candidate(material, &mut told, judged)).collect();
    let is_wished = |crop| material.survey.wishes.iter().any(|wish| wish.crop == crop);
    let in_season = |verdict, most| {
        place
            .follows
            .ranked
            .iter()
            .filter(move |one| one.season == SeasonFit::Fits && one.assessment.verdict == verdict)
            .filter(|one| !is_untested(&one.assessment) && !is_wished(one.crop))
            .take(most)
    };
    let now = in_season(Verdict::Plant, MOST[0])
        .chain(in_season(Verdict::Care, MOST[1]))
        .map(|one| candidate(material, &mut told, &one.assessment))
        .collect();
    Following { wished, now }
}
