//! A circuit of the document to a network of the engine.

mod runs;

use super::{
    input::{CircuitInput, CupInput},
    lines::{fittings_text, line, restriction},
    source,
};
use crate::report::HoseRow;
use document::{Arrangement, CupId, Line};
use glam::DVec3;
use runs::way_of;
use vacuum::{
    Cup, ElementId, ElementKind, Leak, ManifoldId, Network, NetworkBuilder, NodeId, Restriction, Source,
};

const MM_PER_UM: f64 = 1e-3;
/// Discharge coefficient of a check valve of a hose's bore (common practice, no source).
pub(super) const CHECK_DISCHARGE: f64 = 0.6;
/// Its spring counts for nothing beside the losses, kPa (common practice, no source).
pub(super) const CHECK_OPENING_KPA: f64 = 0.0;

/// A network with what its elements are on the plan.
#[derive(Debug, Clone)]
pub(crate) struct Built {
    pub network: Network,
    /// Beside the network's elements.
    pub elements: Vec<Described>,
    /// Beside the network's sources.
    pub sources: Vec<SourcePlace>,
    pub manifolds: Vec<PlacedManifold>,
    pub hoses: Vec<HoseRow>,
    /// Valve of each switched zone that has cups.
    pub valves: Vec<(String, ElementId)>,
    /// Where air is let in to release: on the cups' side of each valve, with the valve; at the sources without one.
    pub releases: Vec<(NodeId, Option<Restriction>)>,
}

/// What an element is on the plan.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Described {
    pub name: String,
    /// Of one that is no line.
    pub what: String,
    pub cup: Option<CupId>,
    pub zone: Option<String>,
    pub path: Vec<DVec3>,
    pub line: Option<Line>,
    pub cut_mm: Option<f64>,
    pub bore_mm: Option<f64>,
}

/// Where a source draws.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SourcePlace {
    pub name: String,
    pub cup: Option<CupId>,
    pub at: DVec3,
    pub node: NodeId,
}

/// A manifold's ports on the plan.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlacedManifold {
    pub id: ManifoldId,
    pub name: String,
    pub ports: Vec<(DVec3, NodeId)>,
}

/// One hose with its ends.
struct Way<'a> {
    name: String,
    from: String,
    to: String,
    /// From the cup's side to the source's.
    path: Vec<DVec3>,
    line: &'a Line,
    cut_mm: f64,
    cup: Option<CupId>,
    zone: Option<String>,
}

/// The network of a circuit.
///
/// # Errors
/// Each thing that no circuit can have, as a sentence.
pub(crate) fn network(input: &CircuitInput) -> Result<Built, Vec<String>> {
    let source = source::source(input).map_err(|says| vec![says])?;
    let mut making = Making {
        input,
        source,
        builder: NetworkBuilder::new(input.air),
        elements: Vec::new(),
        sources: Vec::new(),
        manifolds: Vec::new(),
        hoses: Vec::new(),
        valves: Vec::new(),
        releases: Vec::new(),
    };
    match input.supply.0.arrangement {
        Arrangement::Central => making.central(),
        Arrangement::PerCup | Arrangement::InLine => making.own_sources(),
    }
    let Making { builder, elements, sources, manifolds, hoses, valves, releases, .. } = making;
    let network = builder.build().map_err(|problems| {
        problems.iter().map(|problem| format!("circuit {}: {problem}", input.name)).collect::<Vec<_>>()
    })?;
    Ok(Built { network, elements, sources, manifolds, hoses, valves, releases })
}

struct Making<'a> {
    input: &'a CircuitInput,
    source: Source,
    builder: NetworkBuilder,
    elements: Vec<Described>,
    sources: Vec<SourcePlace>,
    manifolds: Vec<PlacedManifold>,
    hoses: Vec<HoseRow>,
    valves: Vec<(String, ElementId)>,
    releases: Vec<(NodeId, Option<Restriction>)>,
}

impl Making<'_> {
    fn own_sources(&mut self) {
        let input = self.input;
        for cup in &input.cups {
            let node = self.cup(cup);
            let in_line = input.supply.0.arrangement == Arrangement::InLine;
            let branches = input.routing.runs.iter().flat_map(|run| &run.branches);
            let branch = branches.filter(|_| in_line).find(|branch| branch.cup == cup.id);
            let (at, port) = match branch {
                None => (cup.top, node),
                Some(branch) => {
                    let end = self.builder.node(&format!("source end of branch {}", cup.tag));
                    let to = format!("source {}", cup.tag);
                    self.way(way_of(input, cup, branch, to, &None), node, end);
                    (branch.from, end)
                }
            };
            self.releases.push((port, None));
            self.source(&format!("{} at {}", input.model.0.name, cup.tag), Some(cup.id), at, port, &cup.tag);
        }
    }

    fn central(&mut self) {
        let input = self.input;
        let cups: Vec<(&CupInput, NodeId)> = input.cups.iter().map(|cup| (cup, self.cup(cup))).collect();
        let port = self.builder.node("in front of the source");
        for run in &input.routing.runs {
            self.run(run, &cups, port);
        }
        self.source(&input.model.0.name, None, input.supply.0.at, port, "");
    }

    /// A cup with what sits on it; the node that its hose begins at.
    fn cup(&mut self, cup: &CupInput) -> NodeId {
        let supply = &self.input.supply.0;
        let mut lowered = Cup::tight(&cup.tag, cup.bore_mm).with_volume(cup.free_cm3, cup.held_cm3);
        if cup.permeance > 0.0 {
            lowered = lowered.with_leak(Leak::porous(cup.permeance, cup.leaking_mm2));
        }
        let gap_mm = supply.lip_gap_um.value * MM_PER_UM;
        if gap_mm != 0.0 {
            lowered =
                lowered.with_leak(Leak::LipGap { length_mm: cup.lip_mm, gap_mm, lip_width_mm: cup.bears_mm });
        }
        let mut in_the_way: Vec<(&str, ElementKind, Option<f64>)> = Vec::new();
        if let Some(cells) = supply.area_gripper {
            let all = f64::from(cells.count);
            lowered.bore_mm = cells.bore_mm * all.sqrt();
            let mut through = restriction(cells.restrictor);
            through.conductance_dm3_s_bar *= all;
            in_the_way.push(("cells", ElementKind::Restrictor(through), Some(cells.bore_mm)));
        }
        if let Some(through) = supply.restrictor {
            in_the_way.push(("restrictor", ElementKind::Restrictor(restriction(through)), None));
        }
        if supply.check_valve_at_cup {
            let through = Restriction::orifice(supply.branch.bore_mm, CHECK_DISCHARGE);
            in_the_way.push((
                "check valve",
                ElementKind::CheckValve { through, opening_kpa: CHECK_OPENING_KPA },
                None,
            ));
        }
        let id = self.builder.cup(lowered);
        let mut node = self.builder.cup_node(id);
        for (word, kind, bore_mm) in in_the_way {
            let next = self.builder.node(&format!("behind the {word} of {}", cup.tag));
            let described = Described {
                name: format!("{word} {}", cup.tag),
                what: self.described(word, &kind),
                cup: Some(cup.id),
                zone: None,
                path: Vec::new(),
                line: None,
                cut_mm: None,
                bore_mm,
            };
            self.element(described, node, next, kind);
            node = next;
        }
        node
    }

    fn source(&mut self, name: &str, cup: Option<CupId>, at: DVec3, mut port: NodeId, tag: &str) {
        let of_cup = |what: &str| if tag.is_empty() { what.to_owned() } else { format!("{what} {tag}") };
        if let Some(filter) = self.input.supply.0.filter {
            let behind = self.builder.node(&of_cup("source port"));
            let kind = ElementKind::Filter(restriction(filter));
            let described = Described {
                name: of_cup("filter"),
                what: self.described("filter", &kind),
                cup,
                zone: None,
                path: vec![at],
                line: None,
                cut_mm: None,
                bore_mm: None,
            };
            self.element(described, port, behind, kind);
            port = behind;
        }
        if let Some(node) = self.builder.node_mut(port) {
            node.volume_cm3 += self.input.model.0.volume_ml;
        }
        self.builder.source(name, port, self.source.clone());
        self.sources.push(SourcePlace { name: name.to_owned(), cup, at, node: port });
    }

    fn way(&mut self, way: Way<'_>, from: NodeId, to: NodeId) -> ElementId {
        let line = line(way.line, way.cut_mm, way.cup.is_some());
        self.hoses.push(HoseRow {
            circuit: self.input.name.clone(),
            name: way.name.clone(),
            from: way.from,
            to: way.to,
            bore_mm: way.line.bore_mm,
            cut_length_mm: way.cut_mm,
            fittings: fittings_text(way.line),
        });
        let described = Described {
            name: way.name,
            what: String::new(),
            cup: way.cup,
            zone: way.zone,
            path: way.path,
            bore_mm: Some(way.line.bore_mm),
            cut_mm: Some(way.cut_mm),
            line: Some(way.line.clone()),
        };
        self.element(described, from, to, ElementKind::Line(line))
    }

    fn element(&mut self, described: Described, from: NodeId, to: NodeId, kind: ElementKind) -> ElementId {
        let id = self.builder.element(&described.name, from, to, kind);
        self.elements.push(described);
        id
    }

    fn described(&self, word: &str, kind: &ElementKind) -> String {
        match kind {
            ElementKind::Restrictor(through) | ElementKind::Filter(through) => {
                format!("{word}, C {:.3} dm³/(s·bar)", through.conductance_dm3_s_bar)
            }
            _ => word.to_owned(),
        }
    }
}
