//! The graph of crops, genera, families and pathogens, derived from the tables. It answers
//! questions of paths and neighbourhoods; the tables stay the truth.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use petgraph::algo::astar;
use petgraph::graph::NodeIndex;
use petgraph::stable_graph::StableUnGraph;
use petgraph::visit::EdgeRef;

use super::crops::Crops;
use super::hosts::{Hosts, Says};
use super::ids::{CropId, PathogenId};
use super::pathogens::Pathogens;

/// A thing the trade speaks of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Node {
    /// A crop.
    Crop(CropId),
    /// A pathogen.
    Pathogen(PathogenId),
    /// A genus.
    Genus(Box<str>),
    /// A family.
    Family(Box<str>),
}

/// How two things hang together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Link {
    /// Crop to genus, genus to family.
    BelongsTo,
    /// A pathogen to the group it is a member of.
    MemberOf,
    /// Between pathogen and crop: what the row at this place of the hosts table says.
    Says(Says, usize),
}

/// A step of a chain: the link and where it leads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The link; `None` for the start.
    pub link: Option<Link>,
    /// Where it leads.
    pub to: Node,
}

/// The graph with the places of its nodes.
#[derive(Debug)]
pub struct Graph {
    links: StableUnGraph<Node, Link>,
    crops: Vec<NodeIndex>,
    pathogens: Vec<NodeIndex>,
}

impl Graph {
    pub(super) fn new(crops: &Crops, pathogens: &Pathogens, hosts: &Hosts) -> Self {
        let mut graph = StableUnGraph::with_capacity(crops.count() * 2, hosts.rows().len() * 2);
        let mut groups: std::collections::BTreeMap<Box<str>, NodeIndex> =
            std::collections::BTreeMap::new();
        let crop_nodes: Vec<NodeIndex> = crops
            .iter()
            .map(|(id, crop)| {
                let at = graph.add_node(Node::Crop(id));
                if crop.family.is_empty() {
                    return at;
                }
                let family = *groups
                    .entry(crop.family.clone())
                    .or_insert_with(|| graph.add_node(Node::Family(crop.family.clone())));
                let genus_name: Box<str> = crop.genus().into();
                let genus = *groups.entry(genus_name.clone()).or_insert_with(|| {
                    let genus = graph.add_node(Node::Genus(genus_name));
                    graph.add_edge(genus, family, Link::BelongsTo);
                    genus
                });
                graph.add_edge(at, genus, Link::BelongsTo);
                at
            })
            .collect();
        let pathogen_nodes: Vec<NodeIndex> =
            pathogens.iter().map(|(id, _)| graph.add_node(Node::Pathogen(id))).collect();
        for (id, _) in pathogens.iter() {
            for group in pathogens.groups_of(id) {
                graph.add_edge(
                    pathogen_nodes[id.index()],
                    pathogen_nodes[group.index()],
                    Link::MemberOf,
                );
            }
        }
        for (place, row) in hosts.rows().iter().enumerate() {
            graph.add_edge(
                pathogen_nodes[row.pathogen.index()],
                crop_nodes[row.crop.index()],
                Link::Says(row.says, place),
            );
        }
        Self { links: graph, crops: crop_nodes, pathogens: pathogen_nodes }
    }

    /// Pathogens that a crop hosts or carries by a row of its own.
    pub fn hosted_by(&self, crop: CropId) -> impl Iterator<Item = PathogenId> {
        let found: BTreeSet<PathogenId> = self
            .links
            .edges(self.crops[crop.index()])
            .filter(|edge| matches!(edge.weight(), Link::Says(Says::Host | Says::Carrier, _)))
            .filter_map(|edge| match self.links[edge.target()] {
                Node::Pathogen(pathogen) => Some(pathogen),
                Node::Crop(_) | Node::Genus(_) | Node::Family(_) => None,
            })
            .collect();
        found.into_iter()
    }

    /// Pathogens that two crops share as hosts or carriers: what one may leave for the other.
    #[must_use]
    pub fn shared_pathogens(&self, one: CropId, other: CropId) -> Vec<PathogenId> {
        let of_one: BTreeSet<PathogenId> = self.hosted_by(one).collect();
        self.hosted_by(other).filter(|pathogen| of_one.contains(pathogen)).collect()
    }

    /// The shortest chain of links from one crop to another through shared pathogens, genus or
    /// family. A shared pathogen counts less than a shared genus, and that less than a family:
    /// rotation is about pathogens first.
    #[must_use]
    pub fn chain(&self, from: CropId, to: CropId) -> Option<Vec<Node>> {
        let target = self.crops[to.index()];
        let (_, path) = astar(
            &self.links,
            self.crops[from.index()],
            |node| node == target,
            |edge| match edge.weight() {
                Link::Says(Says::Host, _) => 1_u32,
                Link::Says(Says::Carrier, _) => 2,
                Link::BelongsTo => 3,
                Link::MemberOf | Link::Says(..) => 100,
            },
            |_| 0,
        )?;
        Some(path.into_iter().map(|at| self.links[at].clone()).collect())
    }

    /// Crops by which a pathogen lives on: hosts and symptomless carriers by a row of its own, of
    /// its group or, for a group, of its members.
    #[must_use]
    pub fn keepers(&self, pathogen: PathogenId) -> Vec<CropId> {
        let at = self.pathogens[pathogen.index()];
        let kin = self
            .links
            .edges(at)
            .filter(|edge| matches!(edge.weight(), Link::MemberOf))
            .map(|edge| if edge.source() == at { edge.target() } else { edge.source() });
        let found: BTreeSet<CropId> = std::iter::once(at)
            .chain(kin)
            .flat_map(|node| self.links.edges(node))
            .filter(|edge| matches!(edge.weight(), Link::Says(Says::Host | Says::Carrier, _)))
            .flat_map(|edge| [edge.source(), edge.target()])
            .filter_map(|end| match self.links[end] {
                Node::Crop(crop) => Some(crop),
                Node::Pathogen(_) | Node::Genus(_) | Node::Family(_) => None,
            })
            .collect();
        found.into_iter().collect()
    }

    /// How a disease seen on one crop bears on another: the chain of links from the crop it was
    /// seen on through the pathogen to the crop proposed. Each step ends at a node and carries the
    /// link that led there; a host row weighs least, then a carrier, then a group of pathogens,
    /// and relatives (genus, family) last, since what they say is inferred. `None` where nothing
    /// leads there: that is not proof that it does not bear.
    #[must_use]
    pub fn evidence_path(
        &self,
        seen_on: CropId,
        pathogen: PathogenId,
        proposed: CropId,
    ) -> Option<Vec<Step>> {
        let through = self.pathogens[pathogen.index()];
        let mut path = vec![Step { link: None, to: Node::Crop(seen_on) }];
        self.walk(self.crops[seen_on.index()], through, &mut path)?;
        self.walk(through, self.crops[proposed.index()], &mut path)?;
        Some(path)
    }

    fn walk(&self, from: NodeIndex, to: NodeIndex, path: &mut Vec<Step>) -> Option<()> {
        let weight = |link: &Link| match link {
            Link::Says(Says::Host, _) => 1_u32,
            Link::Says(Says::Carrier, _) => 2,
            Link::MemberOf => 4,
            Link::BelongsTo => 20,
            Link::Says(..) => 10_000,
        };
        let (cost, nodes) =
            astar(&self.links, from, |node| node == to, |edge| weight(edge.weight()), |_| 0)?;
        if cost >= 10_000 {
            return None;
        }
        for pair in nodes.windows(2) {
            let link = self
                .links
                .edges_connecting(pair[0], pair[1])
                .map(|edge| *edge.weight())
                .min_by_key(|link| (weight(link), *link))?;
            path.push(Step { link: Some(link), to: self.links[pair[1]].clone() });
        }
        Some(())
    }

    /// A crop's or pathogen's neighbourhood as Graphviz DOT.
    #[must_use]
    pub fn dot(&self, crops: &Crops, pathogens: &Pathogens, centre: &Node) -> String {
        let at = match centre {
            Node::Crop(crop) => self.crops[crop.index()],
            Node::Pathogen(pathogen) => self.pathogens[pathogen.index()],
            Node::Genus(_) | Node::Family(_) => return String::new(),
        };
        let name = |node: &Node| match node {
            Node::Crop(crop) => crops[*crop].key.to_string(),
            Node::Pathogen(pathogen) => pathogens[*pathogen].key.to_string(),
            Node::Genus(name) | Node::Family(name) => name.to_string(),
        };
        let mut lines = BTreeSet::new();
        for edge in self.links.edges(at) {
            let label = match edge.weight() {
                Link::BelongsTo => "belongs to",
                Link::MemberOf => "one of",
                Link::Says(Says::Host, _) => "host",
                Link::Says(Says::Carrier, _) => "carrier",
                Link::Says(Says::PoorHost, _) => "poor host",
                Link::Says(Says::Unknown, _) => "ungraded",
                Link::Says(Says::AdvisedBreak, _) => "advised break",
                Link::Says(Says::NonHost, _) => "not a host",
                Link::Says(Says::ResistantCultivars, _) => "resistant cultivars",
                Link::Says(Says::Suppressive, _) => "lowered by",
            };
            // What is said is said of a pathogen and a crop: the arrow starts at the pathogen.
            let (mut from, mut to) = (&self.links[edge.source()], &self.links[edge.target()]);
            if matches!(to, Node::Pathogen(_)) {
                std::mem::swap(&mut from, &mut to);
            }
            lines.insert(format!("  \"{}\" -> \"{}\" [label=\"{label}\"];", name(from), name(to)));
        }
        let mut text = String::from("digraph neighbourhood {\n  rankdir=LR;\n");
        for line in lines {
            let _ = writeln!(text, "{line}");
        }
        text.push_str("}\n");
        text
    }

    /// How many nodes and links.
    #[must_use]
    pub fn size(&self) -> (usize, usize) {
        (self.links.node_count(), self.links.edge_count())
    }
}
