//! The JSON that goes out: frozen structs, apart from the types inside, so that a change within
//! never changes what others read. The format's number rises when a field changes its meaning.

use serde::Serialize;

use super::phrase::Phrases;
use crate::advise::{CoverOption, Follows, SeasonFit, Winter};
use crate::assess::{Assessment, Change, Confidence, Evidence, Reason, Verdict};
use crate::audit::{Audit, Finding, Severity};
use crate::estimate::Estimate;
use crate::knowledge::PhosphorusClass;
use crate::records::{Place, Tally};
use crate::season::Date;
use crate::state::nutrients::{
    Caution, Feeding, Flow, Ledger, NeedBasis, NotBooked, Nutrient, Pool, Portion,
};
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
    /// fits, `too_cold`, `too_hot` or unknown.
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
        problems: problems
            .iter()
            .map(|problem| ProblemJson {
                file: problem.file.to_string(),
                line: problem.line,
                column: problem.column,
                field: problem.field.clone(),
                value: problem.value.clone(),
                problem: problem.problem.word(),
                text: super::problems::problem_text(problem),
                hint: problem.hint.clone(),
            })
            .collect(),
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

/// A figure of the books with its range, g/m2.
#[derive(Clone, Debug, Serialize)]
pub struct BalanceJson {
    /// nitrogen, phosphorus or potassium.
    pub nutrient: Nutrient,
    /// Came into the free pool.
    pub in_g_m2: Estimate,
    /// Left it.
    pub out_g_m2: Estimate,
    /// Left in it at the end of the month.
    pub balance_g_m2: Estimate,
    /// Every movement of the month, likely figures.
    pub flows: Vec<FlowJson>,
}

/// A movement of a month.
#[derive(Clone, Debug, Serialize)]
pub struct FlowJson {
    /// Its word.
    pub flow: Flow,
    /// Grams a square metre.
    pub g_m2: Estimate,
}

/// A month of the books.
#[derive(Clone, Debug, Serialize)]
pub struct LedgerMonthJson {
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// N, P and K.
    pub nutrients: Vec<BalanceJson>,
}

/// A soil test against the books.
#[derive(Clone, Debug, Serialize)]
pub struct SoilTestCheckJson {
    /// File.
    pub file: String,
    /// Line.
    pub line: u32,
    /// Day.
    pub date: Date,
    /// Which nutrient.
    pub nutrient: Nutrient,
    /// What the books had, g/m2.
    pub booked_g_m2: Estimate,
    /// What the test found, g/m2.
    pub tested_g_m2: Estimate,
    /// Whether they can be compared.
    pub comparable: bool,
    /// Whether they disagree.
    pub contradicts: bool,
}

/// A material for a shortfall.
#[derive(Clone, Debug, Serialize)]
pub struct PortionJson {
    /// Material key.
    pub material: String,
    /// Grams a square metre; null if it gives no nitrogen in its first year.
    pub g_m2: Option<Estimate>,
    /// Grams for the whole place, likely.
    pub grams: Option<f64>,
    /// N that comes along, g/m2.
    pub n_g_m2: Estimate,
    /// P that comes along, g/m2.
    pub p_g_m2: Estimate,
    /// K that comes along, g/m2.
    pub k_g_m2: Estimate,
    /// Phosphorus beyond what the crop takes, g/m2.
    pub phosphorus_over_g_m2: f64,
    /// Whether it may be advised.
    pub advised: bool,
    /// What speaks against it.
    pub cautions: Vec<Caution>,
}

/// A crop's need against the supply.
#[derive(Clone, Debug, Serialize)]
pub struct FeedingJson {
    /// Crop key.
    pub crop: String,
    /// First day.
    pub on: Date,
    /// Day by which it has taken up what it takes.
    pub until: Date,
    /// Nitrogen it needs from the soil, g/m2.
    pub n_need_g_m2: Estimate,
    /// What the need rests on.
    pub basis: NeedBasis,
    /// Phosphorus its harvest takes, g/m2.
    pub p_taken_g_m2: Estimate,
    /// Potassium its harvest takes, g/m2.
    pub k_taken_g_m2: Estimate,
    /// Phosphorus free on the first day, g/m2.
    pub p_free_g_m2: Estimate,
    /// Potassium free on the first day, g/m2.
    pub k_free_g_m2: Estimate,
    /// Phosphorus to put on, g/m2; null without a test that can be read.
    pub p_to_replace_g_m2: Option<Estimate>,
    /// Nitrogen within its reach, g/m2.
    pub n_within_reach_g_m2: Estimate,
    /// Nitrogen short; below nil: over. g/m2.
    pub n_shortfall_g_m2: Estimate,
    /// Part of a full yield if nothing is put on.
    pub yield_fraction: Estimate,
    /// Materials that would fill it.
    pub portions: Vec<PortionJson>,
}

/// The nutrient books of a place.
#[derive(Clone, Debug, Serialize)]
pub struct SoilJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// First day of the books.
    pub from: Option<Date>,
    /// Last day of the books.
    pub to: Date,
    /// Organic matter reckoned with, percent.
    pub organic_matter_percent: Estimate,
    /// Class of the last phosphorus test.
    pub phosphorus_class: Option<PhosphorusClass>,
    /// Months, oldest first.
    pub months: Vec<LedgerMonthJson>,
    /// Soil tests against the books.
    pub tests: Vec<SoilTestCheckJson>,
    /// Amendments that could not be booked, with their lines.
    pub not_booked: Vec<(String, u32, NotBooked)>,
    /// A crop's need, if one was asked for.
    pub feeding: Option<FeedingJson>,
}

fn balance(month: &crate::state::nutrients::Month, nutrient: Nutrient) -> BalanceJson {
    let account = month.account(nutrient);
    let mut flows: Vec<Flow> = account.postings.iter().map(|posting| posting.flow).collect();
    flows.sort_unstable();
    flows.dedup();
    BalanceJson {
        nutrient,
        in_g_m2: account.into(Pool::Available).range(),
        out_g_m2: account.out_of(Pool::Available).range(),
        balance_g_m2: account.closing.of(Pool::Available).range(),
        flows: flows
            .into_iter()
            .map(|flow| FlowJson { flow, g_m2: account.moved(flow).range() })
            .collect(),
    }
}

fn feeding(
    phrases: Phrases<'_>,
    ledger: &Ledger,
    feeding: &Feeding,
    portions: &[Portion],
) -> FeedingJson {
    let portion = |portion: &Portion| PortionJson {
        material: portion.material.to_string(),
        g_m2: portion.grams_m2,
        grams: portion.grams_m2.and_then(|grams| Some(grams.likely * ledger.ground?.0)),
        n_g_m2: portion.brings[0],
        p_g_m2: portion.brings[1],
        k_g_m2: portion.brings[2],
        phosphorus_over_g_m2: portion.phosphorus_over,
        advised: portion.is_advised(),
        cautions: portion.cautions.clone(),
    };
    FeedingJson {
        crop: phrases.knowledge.crops[feeding.crop].key.to_string(),
        on: feeding.supply.from,
        until: feeding.supply.to,
        n_need_g_m2: feeding.need.from_soil(),
        basis: feeding.need.basis,
        p_taken_g_m2: feeding.takes(Nutrient::Phosphorus),
        k_taken_g_m2: feeding.takes(Nutrient::Potassium),
        p_free_g_m2: feeding.supply.others_at_start[0].range(),
        k_free_g_m2: feeding.supply.others_at_start[1].range(),
        p_to_replace_g_m2: feeding.phosphorus_to_replace(ledger),
        n_within_reach_g_m2: feeding.within_reach,
        n_shortfall_g_m2: feeding.shortfall,
        yield_fraction: feeding.yield_fraction,
        portions: portions.iter().map(portion).collect(),
    }
}

/// The books of a place for going out, the last `most` months of them.
#[must_use]
pub fn soil(
    phrases: Phrases<'_>,
    ledger: &Ledger,
    most: usize,
    asked: Option<(&Feeding, &[Portion])>,
) -> SoilJson {
    let skipped = ledger.months.len().saturating_sub(most);
    SoilJson {
        format: FORMAT,
        bed: ledger.place.bed.to_string(),
        section: ledger.place.section.as_deref().map(str::to_owned),
        from: ledger.from,
        to: ledger.to,
        organic_matter_percent: ledger.organic_matter(),
        phosphorus_class: ledger.phosphorus.as_ref().map(|test| test.class),
        months: ledger.months[skipped..]
            .iter()
            .map(|month| LedgerMonthJson {
                from: month.from,
                to: month.to,
                nutrients: Nutrient::ALL.map(|nutrient| balance(month, nutrient)).to_vec(),
            })
            .collect(),
        tests: ledger
            .checks
            .iter()
            .map(|check| SoilTestCheckJson {
                file: check.origin.file.to_string(),
                line: check.origin.line,
                date: check.date,
                nutrient: check.nutrient,
                booked_g_m2: check.booked,
                tested_g_m2: check.tested,
                comparable: check.comparable,
                contradicts: check.contradicts(),
            })
            .collect(),
        not_booked: ledger
            .unbooked
            .iter()
            .map(|one| (one.origin.file.to_string(), one.origin.line, one.why))
            .collect(),
        feeding: asked.map(|(asked, portions)| feeding(phrases, ledger, asked, portions)),
    }
}
