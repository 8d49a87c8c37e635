//! The next crop after a cover, beside the same crop on the same day after bare ground.

use crate::assess::{Assessment, Proposal, Verdict, assess};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge};
use crate::origin::Origin;
use crate::policy::Policy;
use crate::records::{Garden, Method, Place, Planting, Residue};
use crate::season::{Date, Interval};
use crate::state::BedState;

use super::{Question, Setting};

/// What became of the next crop's judgment.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    pub(super) verdict: Verdict,
    pub(super) expected_yield: Estimate,
}

impl Judged {
    fn of(assessment: &Assessment) -> Self {
        Self { verdict: assessment.verdict, expected_yield: assessment.expected_yield }
    }
}

/// The next crop after a cover and after bare ground.
#[derive(Clone, Debug)]
pub struct NextCrop {
    /// The crop.
    pub crop: CropId,
    /// The day.
    pub on: Date,
    /// Verdict after the cover.
    pub verdict: Verdict,
    /// Verdict after bare ground.
    pub verdict_bare: Verdict,
    /// Yield after the cover.
    pub expected_yield: Estimate,
    /// Yield after bare ground.
    pub yield_bare: Estimate,
}

impl NextCrop {
    /// Factor on the yield beside bare ground.
    #[must_use]
    pub fn factor(&self) -> Estimate {
        let ratio = |one: f64, other: f64| if other > 0.0 { one / other } else { 1.0 };
        Estimate::new(
            ratio(self.expected_yield.low, self.yield_bare.low),
            ratio(self.expected_yield.likely, self.yield_bare.likely),
            ratio(self.expected_yield.high, self.yield_bare.high),
        )
    }
}

/// The next crop after bare ground.
pub(super) fn bare(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    question: Question,
    method: Option<Method>,
) -> Option<Judged> {
    let next = question.next?;
    let state = BedState::at(garden, knowledge, policy, place, question.gap.to);
    let proposal = Proposal { method, ..Proposal::of(next, question.gap.to) };
    Some(Judged::of(&assess(knowledge, policy, &state, &proposal)))
}

/// The next crop after covers that stood between two days and were dug in.
pub(super) fn after(
    setting: &Setting<'_, '_>,
    crops: impl Iterator<Item = CropId>,
    (sown, killed): (Date, Date),
) -> Option<NextCrop> {
    let next = setting.question.next?;
    let bare = setting.bare.as_ref()?;
    let place = &setting.state.place;
    let mut garden = setting.garden.clone();
    for crop in crops {
        garden.plantings.push(thought_of(place, crop, sown, killed));
    }
    garden.sort();
    let to = setting.question.gap.to;
    let state = BedState::at(&garden, setting.knowledge, setting.policy, place, to);
    let proposal = Proposal { method: setting.method, ..Proposal::of(next, to) };
    let judged = Judged::of(&assess(setting.knowledge, setting.policy, &state, &proposal));
    Some(NextCrop {
        crop: next,
        on: to,
        verdict: judged.verdict,
        verdict_bare: bare.verdict,
        expected_yield: judged.expected_yield,
        yield_bare: bare.expected_yield,
    })
}

/// A cover as a planting that is only thought of.
fn thought_of(place: &Place, crop: CropId, sown: Date, killed: Date) -> Planting {
    Planting {
        place: place.clone(),
        crop,
        variety: Box::default(),
        rootstock: Box::default(),
        resistance: Box::default(),
        method: Some(Method::Sown),
        stood: Interval { start: sown, end: Some(killed) },
        plants: None,
        area: None,
        row_spacing: None,
        plant_spacing: None,
        residue: Some(Residue::DugIn),
        note: Box::default(),
        origin: Origin::new("proposed", 0),
    }
}
