//! The JSON that goes out: frozen structs, apart from the types inside, so that a change within
//! never changes what others read. The format's number rises when a field changes its meaning.

use serde::Serialize;

use super::phrase::Phrases;
use crate::advise::{CoverOption, Follows, SeasonFit, Winter};
use crate::assess::{Assessment, Change, Confidence, Evidence, Reason, Verdict};
use crate::audit::{Audit, Finding, Severity};
use crate::estimate::Estimate;
use crate::records::{Place, Tally};
use crate::season::Date;
use crate::state::{BedState, Presence};
use crate::tabular::RowProblem;

/// Number of the format, in every document.
pub const FORMAT: u32 = 1;

/// A leaf of a reason.
#[derive(Clone, Debug, Serialize)]
pub struct EvidenceJson {
    /// `record`, `fact`, `figure` or `missing`.
    pub kind: &'static str,
    /// In words.
    pub text: String,
    /// File of a record.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Line of a record.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<u32>,
    /// Source keys of a fact.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<String>,
    /// How a fact is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub how: Option<&'static str>,
}

/// A reason.
#[derive(Clone, Debug, Serialize)]
pub struct ReasonJson {
    /// The rule that gave it.
    pub rule: &'static str,
    /// What it does: wait, care, allows, helps, `no_bearing`, unknown.
    pub effect: &'static str,
    /// Until when.
    pub until: Option<Date>,
    /// In words.
    pub text: String,
    /// How sure.
    pub confidence: Confidence,
    /// What it rests on.
    pub evidence: Vec<EvidenceJson>,
}

/// A change that would better the verdict.
#[derive(Clone, Debug, Serialize)]
pub struct ChangeJson {
    /// In words.
    pub text: String,
    /// The verdict then.
    pub verdict: Verdict,
    /// First day then.
    pub earliest: Option<Date>,
}

/// A judgment.
#[derive(Clone, Debug, Serialize)]
pub struct AssessmentJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section, or null for the whole bed.
    pub section: Option<String>,
    /// Crop key.
    pub crop: String,
    /// Day proposed.
    pub on: Date,
    /// plant, care or wait.
    pub verdict: Verdict,
    /// First day on which it is no longer wait; null if waiting does not clear it.
    pub earliest: Option<Date>,
    /// Whether waiting leads out of the wait.
    pub clears_by_waiting: bool,
    /// Relative yield.
    pub expected_yield: Estimate,
    /// How sure.
    pub confidence: Confidence,
    /// Why.
    pub reasons: Vec<ReasonJson>,
    /// What would change it.
    pub changes: Vec<ChangeJson>,
}

fn evidence(phrases: Phrases<'_>, leaf: &Evidence) -> EvidenceJson {
    let (text, _) = phrases.evidence(leaf);
    let mut json =
        EvidenceJson { kind: "figure", text, file: None, line: None, sources: vec![], how: None };
    match leaf {
        Evidence::Record(origin, _) => {
            json.kind = "record";
            json.file = Some(origin.file.to_string());
            json.line = Some(origin.line);
        }
        Evidence::Fact(_, citation) => {
            json.kind = "fact";
            json.sources = citation.keys().map(str::to_owned).collect();
            json.how = Some(citation.how.word());
        }
        Evidence::Figure(_) => {}
        Evidence::Missing(_) => json.kind = "missing",
    }
    json
}

fn reason(phrases: Phrases<'_>, reason: &Reason) -> ReasonJson {
    ReasonJson {
        rule: reason.rule.word(),
        effect: reason.effect.word(),
        until: reason.effect.until(),
        text: phrases.claim(reason),
        confidence: reason.certainty,
        evidence: reason.evidence.iter().map(|leaf| evidence(phrases, leaf)).collect(),
    }
}

/// A judgment for going out.
#[must_use]
pub fn assessment(
    phrases: Phrases<'_>,
    place: &Place,
    judged: &Assessment,
    changes: &[Change],
) -> AssessmentJson {
    AssessmentJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        crop: phrases.knowledge.crops[judged.proposal.crop].key.to_string(),
        on: judged.proposal.on,
        verdict: judged.verdict,
        earliest: judged.earliest,
        clears_by_waiting: judged.clears_by_waiting,
        expected_yield: judged.expected_yield,
        confidence: judged.confidence,
        reasons: judged.reasons.iter().map(|one| reason(phrases, one)).collect(),
        changes: changes
            .iter()
            .map(|change| ChangeJson {
                text: phrases.change(change),
                verdict: change.verdict,
                earliest: change.earliest,
            })
            .collect(),
    }
}

/// A crop in a ranking.
#[derive(Clone, Debug, Serialize)]
pub struct FollowOnJson {
    /// The judgment.
    pub assessment: AssessmentJson,
    /// fits, `too_cold`, `too_hot`, `wrong_light` or unknown.
    pub season: &'static str,
}

/// A ranking.
#[derive(Clone, Debug, Serialize)]
pub struct FollowsJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// First day.
    pub from: Date,
    /// Best first.
    pub ranked: Vec<FollowOnJson>,
}

/// A ranking for going out.
#[must_use]
pub fn follows(phrases: Phrases<'_>, follows: &Follows<'_>) -> FollowsJson {
    let place = &follows.state.place;
    FollowsJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        from: follows.from,
        ranked: follows
            .ranked
            .iter()
            .map(|follow| FollowOnJson {
                assessment: assessment(phrases, place, &follow.assessment, &[]),
                season: match follow.season {
                    SeasonFit::Fits => "fits",
                    SeasonFit::TooCold => "too_cold",
                    SeasonFit::TooHot => "too_hot",
                    SeasonFit::WrongLight => "wrong_light",
                    SeasonFit::Unknown => "unknown",
                },
            })
            .collect(),
    }
}

/// A cover for a gap.
#[derive(Clone, Debug, Serialize)]
pub struct CoverJson {
    /// The judgment.
    pub assessment: AssessmentJson,
    /// Days it needs.
    pub days_needed: Option<Estimate>,
    /// Whether the gap gives them.
    pub fits_days: bool,
    /// Whether it is warm enough to germinate.
    pub germinates: Option<bool>,
    /// lives, dies, `may_die` or unknown.
    pub winter: &'static str,
    /// Seed for the place, grams.
    pub seed_g: Option<[f64; 2]>,
    /// Nitrogen of a full stand, g/m2.
    pub nitrogen_g_m2: Option<[f64; 2]>,
    /// Day to kill it.
    pub kill_by: Date,
    /// Verdict for the next crop after it.
    pub next: Option<Verdict>,
}

/// Covers for a gap.
#[derive(Clone, Debug, Serialize)]
pub struct CoversJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// First free day.
    pub from: Date,
    /// Day of the next crop.
    pub to: Date,
    /// Best first.
    pub covers: Vec<CoverJson>,
}

/// Covers for going out.
#[must_use]
pub fn covers(
    phrases: Phrases<'_>,
    place: &Place,
    gap: crate::advise::Gap,
    options: &[CoverOption],
) -> CoversJson {
    CoversJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        from: gap.from,
        to: gap.to,
        covers: options
            .iter()
            .map(|option| CoverJson {
                assessment: assessment(phrases, place, &option.assessment, &[]),
                days_needed: option.days_needed,
                fits_days: option.fits_days,
                germinates: option.germinates,
                winter: match option.winter {
                    Winter::Lives(..) => "lives",
                    Winter::Dies(..) => "dies",
                    Winter::MayDie(..) => "may_die",
                    Winter::Unknown => "unknown",
                },
                seed_g: option.seed.map(|(low, high)| [low.0, high.0]),
                nitrogen_g_m2: option.nitrogen.map(|(low, high)| [low, high]),
                kill_by: option.kill_by,
                next: option.next,
            })
            .collect(),
    }
}

/// What the soil of a place holds of one pathogen.
#[derive(Clone, Debug, Serialize)]
pub struct InoculumJson {
    /// Pathogen key.
    pub pathogen: String,
    /// sighted, candidate or beside.
    pub presence: &'static str,
    /// Chance of a candidate.
    pub chance: Option<f64>,
    /// Dose: a susceptible crop loses 1 - exp(-dose).
    pub dose: Estimate,
    /// Half-life without a host, years.
    pub half_life_years: Estimate,
    /// Day from which years without a host count.
    pub hostless_since: Date,
}

/// A bed or section.
#[derive(Clone, Debug, Serialize)]
pub struct BedJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Day.
    pub on: Date,
    /// First day on record.
    pub known_from: Option<Date>,
    /// Keys of the crops that stand.
    pub standing: Vec<String>,
    /// What the soil holds.
    pub inocula: Vec<InoculumJson>,
}

/// A place for going out.
#[must_use]
pub fn bed(phrases: Phrases<'_>, state: &BedState<'_>) -> BedJson {
    let knowledge = phrases.knowledge;
    BedJson {
        format: FORMAT,
        bed: state.place.bed.to_string(),
        section: state.place.section.as_deref().map(str::to_owned),
        on: state.date,
        known_from: state.known_from,
        standing: state
            .standing()
            .map(|planting| knowledge.crops[planting.crop].key.to_string())
            .collect(),
        inocula: state
            .inocula
            .iter()
            .map(|inoculum| {
                let (presence, chance) = match inoculum.presence {
                    Presence::Sighted(_) => ("sighted", None),
                    Presence::Candidate(chance) => ("candidate", Some(chance)),
                    Presence::Beside => ("beside", None),
                };
                InoculumJson {
                    pathogen: knowledge.pathogens[inoculum.pathogen].key.to_string(),
                    presence,
                    chance,
                    dose: inoculum.dose,
                    half_life_years: inoculum.half_life.years(),
                    hostless_since: inoculum.hostless_since,
                }
            })
            .collect(),
    }
}

/// A finding.
#[derive(Clone, Debug, Serialize)]
pub struct FindingJson {
    /// The rule.
    pub rule: &'static str,
    /// How much harm.
    pub severity: Severity,
    /// How sure.
    pub confidence: Confidence,
    /// Bed.
    pub bed: Option<String>,
    /// Section.
    pub section: Option<String>,
    /// When.
    pub date: Date,
    /// In words.
    pub text: String,
    /// What to do.
    pub remedy: &'static str,
    /// What it rests on.
    pub evidence: Vec<EvidenceJson>,
}

/// An audit.
#[derive(Clone, Debug, Serialize)]
pub struct AuditJson {
    /// Format number.
    pub format: u32,
    /// Plantings looked at.
    pub plantings: usize,
    /// Rules applied.
    pub rules: usize,
    /// Findings, worst first.
    pub findings: Vec<FindingJson>,
    /// Findings that exceptions let stand.
    pub suppressed: Vec<FindingJson>,
}

fn finding(phrases: Phrases<'_>, finding: &Finding) -> FindingJson {
    FindingJson {
        rule: finding.rule,
        severity: finding.severity,
        confidence: finding.confidence,
        bed: finding.place.as_ref().map(|place| place.bed.to_string()),
        section: finding
            .place
            .as_ref()
            .and_then(|place| place.section.as_deref().map(str::to_owned)),
        date: finding.date,
        text: phrases.finding(finding),
        remedy: phrases.remedy(finding),
        evidence: finding.evidence.iter().map(|leaf| evidence(phrases, leaf)).collect(),
    }
}

/// An audit for going out.
#[must_use]
pub fn audit(phrases: Phrases<'_>, audit: &Audit) -> AuditJson {
    AuditJson {
        format: FORMAT,
        plantings: audit.plantings,
        rules: audit.rules,
        findings: audit.findings.iter().map(|one| finding(phrases, one)).collect(),
        suppressed: audit.suppressed.iter().map(|one| finding(phrases, &one.finding)).collect(),
    }
}

/// A problem of a row.
#[derive(Clone, Debug, Serialize)]
pub struct ProblemJson {
    /// File.
    pub file: String,
    /// Line.
    pub line: u32,
    /// Character column, 0 for the row.
    pub column: u32,
    /// Column name.
    pub field: Option<String>,
    /// As written.
    pub value: String,
    /// The problem's word.
    pub problem: &'static str,
    /// In words.
    pub text: String,
    /// What to type.
    pub hint: Option<String>,
}

/// An import.
#[derive(Clone, Debug, Serialize)]
pub struct ImportJson {
    /// Format number.
    pub format: u32,
    /// Rows by file.
    pub files: Vec<(String, usize)>,
    /// New records.
    pub added: usize,
    /// Records superseded.
    pub corrected: usize,
    /// Records already there.
    pub unchanged: usize,
    /// Records no longer in their files.
    pub missing: Vec<(String, i64)>,
    /// Whether those were withdrawn.
    pub withdrawn: bool,
    /// Problems; if any, nothing was written.
    pub problems: Vec<ProblemJson>,
}

/// An import for going out.
#[must_use]
pub fn import(files: &[(String, usize)], tally: &Tally, problems: &[RowProblem]) -> ImportJson {
    ImportJson {
        format: FORMAT,
        files: files.to_vec(),
        added: tally.added,
        corrected: tally.corrected,
        unchanged: tally.unchanged,
        missing: tally.missing.clone(),
        withdrawn: tally.withdrawn,
        problems: problems.iter().map(problem).collect(),
    }
}

/// A problem for going out.
pub(super) fn problem(problem: &RowProblem) -> ProblemJson {
    ProblemJson {
        file: problem.file.to_string(),
        line: problem.line,
        column: problem.column,
        field: problem.field.clone(),
        value: problem.value.clone(),
        problem: problem.problem.word(),
        text: super::problems::problem_text(problem),
        hint: problem.hint.clone(),
    }
}

/// A legume between standing plants.
#[derive(Clone, Debug, Serialize)]
pub struct LegumeJson {
    /// The judgment.
    pub assessment: AssessmentJson,
    /// Seed for the free ground, grams.
    pub seed_g: Option<[f64; 2]>,
    /// Nitrogen on the free ground, grams.
    pub nitrogen_g: Option<[f64; 2]>,
    /// Keys of the bed's pathogens that it shares with the standing crop.
    pub shared_here: Vec<String>,
}

/// The ground between standing plants.
#[derive(Clone, Debug, Serialize)]
pub struct IntersowJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// What stands.
    pub standing: String,
    /// Stems.
    pub stems: Option<f64>,
    /// Ground free for seed.
    pub free_area_m2: Option<f64>,
    /// Best first.
    pub legumes: Vec<LegumeJson>,
}

/// The ground between standing plants for going out.
#[must_use]
pub fn intersow(
    phrases: Phrases<'_>,
    place: &Place,
    advice: &crate::advise::Intersow<'_>,
) -> IntersowJson {
    let knowledge = phrases.knowledge;
    IntersowJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        standing: knowledge.crops[advice.standing.crop].key.to_string(),
        stems: advice.stems,
        free_area_m2: advice.free_area.map(|area| area.0),
        legumes: advice
            .legumes
            .iter()
            .map(|option| LegumeJson {
                assessment: assessment(phrases, place, &option.assessment, &[]),
                seed_g: option.seed.map(|(low, high)| [low.0, high.0]),
                nitrogen_g: option.nitrogen.map(|(low, high)| [low.0, high.0]),
                shared_here: option
                    .shared_here
                    .iter()
                    .map(|pathogen| knowledge.pathogens[*pathogen].key.to_string())
                    .collect(),
            })
            .collect(),
    }
}

/// A cause that a sick crop may have.
#[derive(Clone, Debug, Serialize)]
pub struct CandidateJson {
    /// Pathogen key or cause key.
    pub cause: String,
    /// In words.
    pub text: String,
    /// Chance, 0 to 1.
    pub chance: f64,
    /// Whether it stays with the bed.
    pub stays_with_bed: bool,
}

/// A field check.
#[derive(Clone, Debug, Serialize)]
pub struct CheckJson {
    /// The cause it is made for.
    pub cause: String,
    /// What to look for.
    pub field_check: String,
    /// Expected information, bits.
    pub bits: f64,
}

/// A diagnosis.
#[derive(Clone, Debug, Serialize)]
pub struct DiagnosisJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Likeliest first.
    pub candidates: Vec<CandidateJson>,
    /// Most telling first.
    pub checks: Vec<CheckJson>,
}

/// A diagnosis for going out.
#[must_use]
pub fn diagnosis(
    phrases: Phrases<'_>,
    place: &Place,
    candidates: &[crate::state::Candidate],
    checks: &[crate::state::Check],
) -> DiagnosisJson {
    DiagnosisJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        candidates: candidates
            .iter()
            .map(|candidate| CandidateJson {
                cause: candidate.cause.to_string(),
                text: phrases.cause(candidate),
                chance: candidate.chance,
                stays_with_bed: candidate
                    .pathogen
                    .is_some_and(|one| phrases.knowledge.pathogens[one].is_bound_to_bed()),
            })
            .collect(),
        checks: checks
            .iter()
            .map(|check| CheckJson {
                cause: check.cause.to_string(),
                field_check: check.field_check.to_string(),
                bits: check.bits,
            })
            .collect(),
    }
}
