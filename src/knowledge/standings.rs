//! What the tables together say of a pathogen on a crop, where rows disagree or are silent.
//!
//! Judgments ask for the same pairs again and again, and to infer a status from relatives means to
//! go through all rows of a pathogen: each pair is settled at the first question and kept.

use std::ops::Range;
use std::sync::OnceLock;

use super::citation::How;
use super::crops::{Crops, Role};
use super::hosts::{Basis, HostRow, HostStanding, HostStatus, Hosts, Says};
use super::ids::{CropId, PathogenId};
use super::pathogens::{HostRange, Pathogens};

/// A pair's status with where its rows stand.
#[derive(Debug)]
struct Settled {
    status: HostStatus,
    rows: Range<usize>,
    relatives: Box<[CropId]>,
    inferred_by: Option<&'static str>,
}

/// The pairs of one pathogen, by crop.
type OfPathogen = Box<[OnceLock<Settled>]>;

/// The pairs settled so far.
#[derive(Debug)]
pub(super) struct Standings {
    of: Box<[OnceLock<OfPathogen>]>,
    crops: usize,
}

/// The tables from which a status follows.
pub(super) struct HostTables<'k> {
    pub(super) crops: &'k Crops,
    pub(super) pathogens: &'k Pathogens,
    pub(super) hosts: &'k Hosts,
}

impl Standings {
    pub(super) fn new(crops: &Crops, pathogens: &Pathogens) -> Self {
        Self { of: empty(pathogens.count()), crops: crops.count() }
    }

    /// The standing of a pair; the tables must be those of all other questions.
    pub(super) fn of<'k>(
        &'k self,
        tables: &HostTables<'k>,
        pathogen: PathogenId,
        crop: CropId,
    ) -> HostStanding<'k> {
        let of_pathogen = self.of[pathogen.index()].get_or_init(|| empty(self.crops));
        let settled = of_pathogen[crop.index()].get_or_init(|| tables.settle(pathogen, crop));
        HostStanding {
            status: settled.status,
            rows: &tables.hosts.rows()[settled.rows.clone()],
            relatives: &settled.relatives,
            inferred_by: settled.inferred_by,
        }
    }
}

fn empty<T>(count: usize) -> Box<[OnceLock<T>]> {
    std::iter::repeat_with(OnceLock::new).take(count).collect()
}

impl HostTables<'_> {
    /// What the tables together say of a pair. Where rows disagree the cautious one counts. A
    /// statement about a group of pathogens holds for each of its members that has no rows of its
    /// own, but for members whose own range leaves the crop's family out: the group's row is on its
    /// other members. Of a group without rows nobody knows which member it is, so it is the worst.
    /// Without any row the host range and the crop's relatives decide, and the status says so.
    fn settle(&self, pathogen: PathogenId, crop: CropId) -> Settled {
        let direct = |pathogen: PathogenId| {
            let rows = self.hosts.places_on(pathogen, crop);
            own_status(&self.hosts.rows()[rows.clone()]).map(|status| Settled {
                status,
                rows,
                relatives: Box::default(),
                inferred_by: None,
            })
        };
        if let Some(settled) = direct(pathogen) {
            return settled;
        }
        if let Some(settled) = self.groups(pathogen, crop).find_map(direct) {
            return settled;
        }
        let members = self.pathogens.members_of(pathogen).filter_map(direct);
        // Among equals the one that nothing is known to lower.
        let worst = members.min_by_key(|settled| {
            (settled.status, lowers(&self.hosts.rows()[settled.rows.clone()]))
        });
        if let Some(worst) = worst {
            return worst;
        }
        let (status, relatives, inferred_by) = self.infer(pathogen, crop);
        let rows = self.hosts.places_on(pathogen, crop);
        Settled { status, rows, relatives: relatives.into(), inferred_by }
    }

    /// The groups whose rows hold for the pathogen on the crop.
    fn groups(&self, pathogen: PathogenId, crop: CropId) -> impl Iterator<Item = PathogenId> {
        let row = &self.pathogens[pathogen];
        let beyond = row.host_range != HostRange::Broad
            && !row.host_families.is_empty()
            && !row.host_families.contains(&self.crops[crop].family);
        self.pathogens.groups_of(pathogen).filter(move |_| !beyond)
    }

    fn infer(
        &self,
        pathogen: PathogenId,
        crop: CropId,
    ) -> (HostStatus, Vec<CropId>, Option<&'static str>) {
        let Self { crops, pathogens, hosts } = *self;
        let (row, plant) = (&pathogens[pathogen], &crops[crop]);
        if plant.role == Role::Fungus {
            return (HostStatus::OutsideRange, Vec::new(), None);
        }
        let mut species = Vec::new();
        let mut genus = Vec::new();
        let mut family = Vec::new();
        let mut family_denied = 0_usize;
        let kin = std::iter::once(pathogen)
            .chain(self.groups(pathogen, crop))
            .chain(pathogens.members_of(pathogen));
        for rows in kin.flat_map(|kin| hosts.of(kin).chunk_by(|a, b| a.crop == b.crop)) {
            let other = rows[0].crop;
            let relative = &crops[other];
            if relative.family != plant.family || plant.family.is_empty() {
                continue;
            }
            match graded(rows) {
                Some(HostStatus::Host | HostStatus::WeakHost) => {
                    if same_species(&relative.scientific_name, &plant.scientific_name) {
                        species.push(other);
                    }
                    if relative.genus() == plant.genus() {
                        genus.push(other);
                    }
                    family.push(other);
                }
                Some(HostStatus::NonHost | HostStatus::PoorHost) => family_denied += 1,
                _ => {}
            }
        }
        for relatives in [&mut species, &mut genus, &mut family] {
            relatives.sort_unstable();
            relatives.dedup();
        }
        // The same species under another garden name is the same host.
        if !species.is_empty() {
            return (HostStatus::InferredHost, species, Some("species"));
        }
        let in_named_family = row.host_families.contains(&plant.family);
        match row.host_range {
            // A forma specialis takes its own species only, and that was asked above.
            HostRange::Species => (HostStatus::OutsideRange, Vec::new(), None),
            HostRange::Genus if genus.is_empty() => (HostStatus::OutsideRange, Vec::new(), None),
            HostRange::Genus => (HostStatus::InferredHost, genus, Some("genus")),
            HostRange::Family | HostRange::Families
                if !in_named_family && family.is_empty() && !row.host_families.is_empty() =>
            {
                (HostStatus::OutsideRange, Vec::new(), None)
            }
            HostRange::Family | HostRange::Families | HostRange::Broad => {
                if !genus.is_empty() {
                    (HostStatus::InferredHost, genus, Some("genus"))
                } else if family.len() > family_denied {
                    (HostStatus::InferredHost, family, Some("family"))
                } else {
                    (HostStatus::Unrecorded, Vec::new(), None)
                }
            }
        }
    }
}

/// The status of a pair's own rows, suppressive ones included: a source that says a crop lowers a
/// pathogen would not say so of a host, so it is not taken for one by its relatives.
fn own_status(rows: &[HostRow]) -> Option<HostStatus> {
    match graded(rows) {
        None | Some(HostStatus::Ungraded) if lowers(rows) => Some(HostStatus::AdvisedBreak),
        status => status,
    }
}

/// Whether a row says that the crop lowers the pathogen.
fn lowers(rows: &[HostRow]) -> bool {
    rows.iter().any(|row| row.says == Says::Suppressive)
}

/// The status of a pair's own rows; `None` if there is none that grades it. A host by partial rows
/// only is a weak host, and so is one that a direct, read row of another source denies. That a source
/// recommends the crop as a break denies a host that is only on a list, not one seen in the field. What
/// is said of a genus, of which a direct, read row says otherwise for the crop itself, is no host: the
/// marigolds of one species feed a nematode that those of another starve.
fn graded(rows: &[HostRow]) -> Option<HostStatus> {
    let says = |wanted: Says| rows.iter().filter(move |row| row.says == wanted);
    let denied = rows.iter().any(|row| {
        matches!(row.says, Says::NonHost | Says::PoorHost | Says::Suppressive)
            && row.citation.how == How::Read
            && matches!(row.basis, Basis::Field | Basis::List | Basis::Inoculated)
    });
    let of_the_genus = says(Says::Host).all(|row| row.basis == Basis::Group);
    if says(Says::Host).next().is_some() && !(denied && of_the_genus) {
        let seen = says(Says::Host).any(|row| row.basis == Basis::Field);
        let advised = says(Says::AdvisedBreak).any(|row| row.citation.how == How::Read);
        let partial = says(Says::Host).all(|row| row.basis == Basis::Partial);
        return Some(if partial || denied || (advised && !seen) {
            HostStatus::WeakHost
        } else {
            HostStatus::Host
        });
    }
    [
        (Says::Carrier, HostStatus::Carrier),
        (Says::PoorHost, HostStatus::PoorHost),
        // A source that recommends the crop for such a bed says more than one that gives no grade.
        (Says::AdvisedBreak, HostStatus::AdvisedBreak),
        (Says::Unknown, HostStatus::Ungraded),
        (Says::NonHost, HostStatus::NonHost),
    ]
    .into_iter()
    .find(|(wanted, _)| says(*wanted).next().is_some())
    .map(|(_, status)| status)
}

/// Whether two scientific names are of one species: genus and epithet alike.
fn same_species(one: &str, other: &str) -> bool {
    let binomial = |name: &str| name.split(' ').take(2).collect::<Vec<_>>().join(" ");
    !one.is_empty() && binomial(one) == binomial(other)
}
