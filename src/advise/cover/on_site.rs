//! What covers do on a site whatever the bed: how they grow by heat and light, when they bloom, what
//! frost does to them. A plan asks for each bed in each season; this part of the answers is the same
//! for all beds and worked out once.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use crate::climate::Climate;
use crate::climate::frost::Frost;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::season::Date;
use crate::state::stand::{Course, Days, Habit};

use super::Gap;
use super::winter::{WinterAnswer, winter};

/// Answers that hold for every bed of a site. One site, one set of tables and one policy each.
#[derive(Default)]
pub struct OnSite {
    frost: OnceLock<Frost>,
    days: Known<(Date, Date), Option<Arc<Days>>>,
    habits: Known<CropId, Option<Arc<Habit>>>,
    blooms: Known<(CropId, Date, Date), [Option<Date>; 3]>,
    winters: Known<(CropId, Date, Date), WinterAnswer>,
    courses: Known<(CropId, Date, Date, Date), Option<Arc<Course>>>,
}

impl OnSite {
    /// The days of a gap and of some months after it, so that bloom after it is seen; `None` while
    /// light is not known.
    pub(super) fn days(
        &self,
        policy: &Policy,
        climate: Option<&Climate<'_>>,
        gap: Gap,
    ) -> Option<Arc<Days>> {
        const BEYOND: usize = 150;
        self.days.get((gap.from, gap.to), || {
            let count = usize::try_from(gap.days().clamp(1, 900)).unwrap_or(1) + BEYOND;
            let days = Days::new(climate?, policy, gap.from, count);
            days.light_is_known().then(|| Arc::new(days))
        })
    }

    /// What a cover needs and makes.
    pub(super) fn habit(
        &self,
        knowledge: &Knowledge,
        policy: &Policy,
        crop: CropId,
    ) -> Option<Arc<Habit>> {
        self.habits.get(crop, || Habit::of(knowledge, policy, crop).map(Arc::new))
    }

    /// When a cover blooms that is sown on the first day of a gap.
    pub(super) fn bloom(
        &self,
        policy: &Policy,
        habit: &Habit,
        days: &Days,
        gap: Gap,
    ) -> [Option<Date>; 3] {
        let key = (habit.crop, gap.from, gap.to);
        self.blooms.get(key, || habit.bloom(days, policy, gap.from))
    }

    /// What frost does to a cover between two days.
    pub(super) fn winter(
        &self,
        knowledge: &Knowledge,
        policy: &Policy,
        climate: Option<&Climate<'_>>,
        crop: CropId,
        (from, to): (Date, Date),
    ) -> WinterAnswer {
        self.winters.get((crop, from, to), || {
            let frost =
                climate.map(|climate| self.frost.get_or_init(|| Frost::at(climate, policy)));
            winter(knowledge, policy, frost, crop, (from, to))
        })
    }

    /// How a cover grows that is sown on the first day of a gap and ends on another.
    pub(super) fn course(
        &self,
        policy: &Policy,
        habit: &Habit,
        days: &Days,
        (gap, ended): (Gap, Date),
    ) -> Option<Arc<Course>> {
        self.courses.get((habit.crop, gap.from, gap.to, ended), || {
            Course::of(policy, habit, days, (gap.from, ended)).map(Arc::new)
        })
    }
}

/// Answers by what was asked.
struct Known<K, V>(Mutex<BTreeMap<K, V>>);

impl<K, V> Default for Known<K, V> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K: Ord, V: Clone> Known<K, V> {
    /// The answer, worked out at the first question; two threads that ask at once both work it out,
    /// to the same end.
    fn get(&self, key: K, work_out: impl FnOnce() -> V) -> V {
        // Answers are put in whole: a thread that broke off left none half done.
        let known = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(answer) = known().get(&key) {
            return answer.clone();
        }
        let answer = work_out();
        known().insert(key, answer.clone());
        answer
    }
}
