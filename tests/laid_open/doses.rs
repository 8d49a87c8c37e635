//! Doses of what was seen, and causes of what was not named.

use std::fmt::Write;

use breakcrop::import::read_folder;
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place};
use breakcrop::season::Date;
use breakcrop::state::{BedState, DoseEvent as Of, Inoculum};

use crate::support::{garden_folder, garden_of};
use crate::written::{range, short};
use crate::{day, knowledge};

/// A fixture garden, read from its files.
pub(crate) fn garden(name: &str) -> Garden {
    let (files, _) = read_folder(&garden_folder(name)).expect("reads");
    let files = files.into_iter().map(|file| (file.name, file.bytes));
    garden_of(knowledge(), files, name)
}

pub(crate) fn places(garden: &Garden) -> Vec<Place> {
    garden.beds.iter().flat_map(|bed| garden.places(&bed.name)).collect()
}

fn inoculum(found: &Inoculum<'_>, on: Date) -> String {
    let mut text = format!(
        "{} {}: dose {}, half-life {}, no host since {}, lowered {}, last seen {}\n",
        short(&found.pathogen),
        short(&found.presence),
        range(found.dose),
        short(&found.half_life),
        found.hostless_since,
        found.was_lowered(),
        found.last_sighting().map_or("-".to_owned(), |seen| seen.date.to_string()),
    );
    for host in &found.hosts_since {
        let _ = writeln!(text, "  host {} from {}", short(&host.crop), host.stood.start);
    }
    for step in &found.steps {
        let event = match &step.event {
            Of::Sighting(seen) => format!("seen {} {:?}", short(&seen.extent), seen.certainty),
            Of::Season(one, status) => format!("season of {} {status:?}", short(&one.crop)),
            Of::Healthy(seen) => format!("healthy {}", short(&seen.crop)),
            Of::Suppressed(one, left) => format!("after {} {}", short(&one.crop), short(left)),
            Of::Treated(one, left) => format!("{} {}", one.practice.0, short(left)),
        };
        let _ = writeln!(text, "  {} {event}: {}", step.date, range(step.dose));
    }
    let below = found.below(on, 0.05);
    let _ = writeln!(
        text,
        "  below 5 %: {}; in a year {}",
        short(&below),
        range(found.loss_at(on, on + chrono::Days::new(365)))
    );
    text
}

#[test]
fn doses_of_the_gardens() {
    let policy = Policy::default();
    let mut text = String::new();
    for (name, on) in [
        ("gullcombe_terrace", "2026-10-12"),
        ("kestrel_hollow", "2026-10-12"),
        ("larchwater", "2026-10-12"),
    ] {
        let garden = garden(name);
        for place in places(&garden) {
            let state = BedState::at(&garden, knowledge(), &policy, &place, day(on));
            for found in state.inocula() {
                let _ = write!(text, "{name} {place} {}", inoculum(found, state.date));
            }
            for episode in state.episodes() {
                let _ = writeln!(text, "{name} {place} unknown, last {}", short(&episode.last()));
                for candidate in &episode.candidates {
                    let _ = writeln!(
                        text,
                        "  {} {} by {}",
                        candidate.cause,
                        crate::written::figure(candidate.chance),
                        candidate.shared.join(", "),
                    );
                }
                for check in &episode.checks {
                    let _ = writeln!(
                        text,
                        "  look for {}: {} bits",
                        check.cause,
                        crate::written::figure(check.bits)
                    );
                }
            }
        }
    }
    insta::assert_snapshot!(text);
}
