//! Records of the garden as leaves of a reason: one place that says what of a record is told.

use super::evidence::{Evidence, RecordNote};
use crate::records::{Amendment, Harvest, Observation, Planting, SoilTest};

impl Evidence {
    /// The record of a planting.
    #[must_use]
    pub fn planting(planting: &Planting) -> Self {
        let note = RecordNote::Planting {
            crop: planting.crop,
            from: planting.stood.start,
            to: planting.stood.end,
            method: planting.method,
        };
        Self::Record(planting.origin.clone(), note)
    }

    /// The record of an observation.
    #[must_use]
    pub fn sighting(seen: &Observation) -> Self {
        let note = RecordNote::Sighting {
            date: seen.date,
            crop: seen.crop,
            seen: seen.seen.clone(),
            extent: seen.extent,
            certainty: seen.certainty,
        };
        Self::Record(seen.origin.clone(), note)
    }

    /// The record of an amendment.
    #[must_use]
    pub fn amendment(amendment: &Amendment) -> Self {
        let note =
            RecordNote::Amendment { date: amendment.date, material: amendment.material.clone() };
        Self::Record(amendment.origin.clone(), note)
    }

    /// The record of a harvest.
    #[must_use]
    pub fn harvest(harvest: &Harvest) -> Self {
        let note = RecordNote::Harvest { date: harvest.date, crop: harvest.crop };
        Self::Record(harvest.origin.clone(), note)
    }

    /// The record of a soil test.
    #[must_use]
    pub fn soil_test(test: &SoilTest) -> Self {
        Self::Record(test.origin.clone(), RecordNote::SoilTest { date: test.date })
    }
}
