//! A circuit of the document to a network of the engine.

mod runs;

use super::{
    closing::close_cells,
    input::{CircuitInput, CupInput},
    lines::{Piece, Turn, conductance, fittings_text, line, restriction},
    operation, source,
};
use crate::report::{ElementOf, HoseRow};
use document::{Arrangement, CupId, Line, Supply, ZoneValve};
use glam::DVec3;
use runs::way_of;
use std::f64::consts::FRAC_PI_4;
use units::Worded;
use vacuum::{
    Cup, ElementId, ElementKind, Leak, ManifoldId, Network, NetworkBuilder, NodeId, Restriction, Source,
    SourceId,
};

const MM_PER_UM: f64 = 1e-3;
/// Discharge coefficient of a check valve of a hose's bore (common practice, no source).
const CHECK_DISCHARGE: f64 = 0.6;
/// Its spring counts for nothing beside the losses, kPa (common practice, no source).
const CHECK_OPENING_KPA: f64 = 0.0;

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
    /// What switches each zone that has a valve and cups.
    pub valves: Vec<(String, Switch)>,
    /// The way of the air in through cells that lie off the part, beside the cups.
    pub open_cells: Vec<Option<ElementId>>,
    /// Whether those have closed, beside the cups.
    pub closed_cells: Vec<bool>,
    /// Filters at cups, not those at the source.
    pub cup_filters: Vec<ElementId>,
    /// Where air is let in to release: on the cups' side of each valve, with the valve; at the sources without one.
    pub releases: Vec<(NodeId, Option<Restriction>)>,
}

impl Built {
    /// The network whose sources, once stopped, let air back.
    pub(crate) fn with_way_back(&self, input: &CircuitInput) -> Option<Network> {
        let model = source::side_by_side(&input.model.0, input.sources());
        self.coming_back(|source| Some(source::way_back(&model, source)))
    }

    /// The network whose sources, once stopped, are shut by check valves that let back what is stated.
    pub(crate) fn with_check_valves(&self, supply: &Supply) -> Option<Network> {
        let opening = operation::seep(supply).and_then(|seep| seep.opening());
        self.coming_back(|_| opening)
    }

    fn coming_back(&self, way: impl Fn(&Source) -> Option<Restriction>) -> Option<Network> {
        let changed = self.network.edit(|circuit| {
            for id in circuit.source_ids() {
                if let Some(named) = circuit.source_mut(id) {
                    named.source.way_back = way(&named.source);
                }
            }
        });
        changed.ok()
    }
}

/// What shutting a zone's valve does.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Switch {
    /// It shuts the zone's way to the source.
    Way(ElementId),
    /// It takes the feed from the zone's own sources.
    Feed(Vec<SourceId>),
}

/// What an element is on the plan.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Described {
    pub name: String,
    pub of: ElementOf,
    /// Of one that is no line.
    pub what: Worded,
    pub cup: Option<CupId>,
    pub zone: Option<String>,
    pub path: Vec<DVec3>,
    /// Of a hose: its fittings, in the order of the engine's.
    pub pieces: Option<Vec<Piece>>,
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
    /// Where the air turns at an end of it.
    turn: Option<Turn>,
    cup: Option<CupId>,
    zone: Option<String>,
}

/// The network of a circuit.
///
/// # Errors
/// Each thing that no circuit can have, as a sentence.
pub(crate) fn network(input: &CircuitInput) -> Result<Built, Vec<String>> {
    network_after(input, None)
}

/// The same, after one that may be similar.
///
/// # Errors
/// As [`network`].
pub(crate) fn network_after(input: &CircuitInput, similar: Option<&Built>) -> Result<Built, Vec<String>> {
    let source = source::source(input).map_err(|says| vec![says])?;
    let source = Source { exhaust: operation::exhaust(input), ..source };
    let mut making = Making {
        input,
        source,
        builder: NetworkBuilder::new(input.air),
        elements: Vec::new(),
        sources: Vec::new(),
        manifolds: Vec::new(),
        hoses: Vec::new(),
        valves: Vec::new(),
        open_cells: Vec::new(),
        cup_filters: Vec::new(),
        releases: Vec::new(),
    };
    match input.supply.0.arrangement {
        Arrangement::Central => making.central(),
        Arrangement::PerCup | Arrangement::InLine => making.own_sources(),
    }
    let Making {
        builder,
        elements,
        sources,
        manifolds,
        hoses,
        valves,
        open_cells,
        cup_filters,
        releases,
        ..
    } = making;
    let built = match similar {
        Some(similar) => builder.build_after(&similar.network),
        None => builder.build(),
    };
    let network = built.map_err(|problems| {
        problems.iter().map(|problem| format!("circuit {}: {problem}", input.name)).collect::<Vec<_>>()
    })?;
    let closed_cells = vec![false; input.cups.len()];
    let mut built = Built {
        network,
        elements,
        sources,
        manifolds,
        hoses,
        valves,
        open_cells,
        closed_cells,
        cup_filters,
        releases,
    };
    close_cells(input, &mut built);
    Ok(built)
}

impl Described {
    /// A piece that has no extent.
    fn piece(of: ElementOf, name: String, what: Worded) -> Self {
        let (cup, zone, path, pieces) = (None, None, Vec::new(), None);
        Self { name, of, what, cup, zone, path, pieces, cut_mm: None, bore_mm: None }
    }

    /// The same at a cup.
    fn part(of: ElementOf, name: String, what: Worded, cup: &CupInput) -> Self {
        Self { cup: Some(cup.id), ..Self::piece(of, name, what) }
    }
}

/// So many alike side by side.
fn times(mut one: Restriction, count: f64) -> Restriction {
    one.conductance_dm3_s_bar *= count;
    one
}

struct Making<'a> {
    input: &'a CircuitInput,
    source: Source,
    builder: NetworkBuilder,
    elements: Vec<Described>,
    sources: Vec<SourcePlace>,
    manifolds: Vec<PlacedManifold>,
    hoses: Vec<HoseRow>,
    valves: Vec<(String, Switch)>,
    open_cells: Vec<Option<ElementId>>,
    cup_filters: Vec<ElementId>,
    releases: Vec<(NodeId, Option<Restriction>)>,
}

impl Making<'_> {
    fn own_sources(&mut self) {
        let input = self.input;
        for cup in &input.cups {
            let (at_cup, node) = self.cup(cup);
            let valve = input.supply.0.valve_of(&cup.zone).and_then(|valve| input.supply.0.valves.get(valve));
            let node = self.check_valve_of(cup, valve, node);
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
            let keeps = input.supply.0.check_valve_at_cup || valve.is_some_and(|valve| valve.check_valve);
            // Blown in on the cups' side of a check valve, which lets nothing back.
            self.releases.push((if keeps { at_cup } else { port }, None));
            let name = format!("{} at {}", input.model.0.name, cup.tag);
            let source = self.source(&name, Some(cup.id), at, port, &cup.tag);
            if let Some(valve) = valve {
                match self.valves.iter_mut().find(|(zone, _)| *zone == valve.zone) {
                    Some((_, Switch::Feed(sources))) => sources.push(source),
                    _ => self.valves.push((valve.zone.clone(), Switch::Feed(vec![source]))),
                }
            }
        }
    }

    /// The check valve between a cup and its own source, where its zone asks for one.
    fn check_valve_of(&mut self, cup: &CupInput, valve: Option<&ZoneValve>, node: NodeId) -> NodeId {
        let Some(valve) = valve.filter(|valve| valve.check_valve) else { return node };
        let next =
            self.builder.node(&format!("behind the check valve of zone {} at {}", valve.zone, cup.tag));
        let name = format!("check valve zone {} at {}", valve.zone, cup.tag);
        let kind = ElementKind::CheckValve {
            through: restriction(valve.restriction),
            opening_kpa: 0.0,
            seep: operation::seep(&self.input.supply.0),
        };
        self.element(
            Described::part(ElementOf::CheckValve, name.clone(), Worded::text(name), cup),
            node,
            next,
            kind,
        );
        next
    }

    fn central(&mut self) {
        let input = self.input;
        let cups: Vec<(&CupInput, NodeId)> = input.cups.iter().map(|cup| (cup, self.cup(cup).1)).collect();
        let port = self.builder.vessel("in front of the source", input.supply.0.operation.vessel_ml);
        for run in &input.routing.runs {
            self.run(run, &cups, port);
        }
        self.source(&input.source_name(), None, input.supply.0.at, port, "");
    }

    /// A cup with what sits on it; its own node and the one that its hose begins at.
    fn cup(&mut self, cup: &CupInput) -> (NodeId, NodeId) {
        let supply = &self.input.supply.0;
        // Off the part it is open as wide as its lip; what that lets in passes its bore, as every leak does.
        let mouth_mm = (cup.leaking_mm2 / FRAC_PI_4).sqrt().max(cup.bore_mm);
        let mut lowered = Cup::tight(&cup.tag, mouth_mm)
            .with_volume(cup.free_cm3, cup.held_cm3)
            .down_at(cup.down_at_kpa)
            .over(cup.leaking_mm2);
        if cup.permeance > 0.0 {
            lowered = lowered.with_leak(Leak::porous(cup.permeance, cup.leaking_mm2));
        }
        let gap_mm = supply.lip_gap_um.value * MM_PER_UM;
        if gap_mm != 0.0 {
            lowered =
                lowered.with_leak(Leak::LipGap { length_mm: cup.lip_mm, gap_mm, lip_width_mm: cup.bears_mm });
        }
        if cup.uncovered_mm2 > 0.0 {
            let bore_mm = (cup.uncovered_mm2 / FRAC_PI_4).sqrt();
            lowered = lowered.with_leak(Leak::Hole { bore_mm, discharge: vacuum::DEFAULT_DISCHARGE });
        }
        let mut in_the_way: Vec<(ElementOf, &str, ElementKind, Option<f64>)> = Vec::new();
        if let Some(cells) = supply.area_gripper {
            let (open, all) = cup.cells(supply).unwrap_or_default();
            // With no cell on the part one stands for the level that it would have there.
            let covered = f64::from((all - open).max(1));
            lowered.bore_mm = cells.bore_mm * covered.sqrt();
            let through = times(restriction(cells.restrictor), covered);
            in_the_way.push((
                ElementOf::Cells,
                "cells",
                ElementKind::Restrictor(through),
                Some(cells.bore_mm),
            ));
        }
        let bore = Restriction::orifice(cup.bore_mm, vacuum::DEFAULT_DISCHARGE);
        in_the_way.push((ElementOf::CupBore, "cup bore", ElementKind::Restrictor(bore), Some(cup.bore_mm)));
        if let Some(filter) = supply.filter_at_cup {
            in_the_way.push((
                ElementOf::Filter,
                "cup filter",
                ElementKind::Filter(restriction(filter)),
                None,
            ));
        }
        if let Some(through) = supply.restrictor {
            in_the_way.push((
                ElementOf::Restrictor,
                "restrictor",
                ElementKind::Restrictor(restriction(through)),
                None,
            ));
        }
        if supply.check_valve_at_cup {
            let through = Restriction::orifice(supply.branch.bore_mm, CHECK_DISCHARGE);
            in_the_way.push((
                ElementOf::CheckValve,
                "check valve",
                ElementKind::CheckValve {
                    through,
                    opening_kpa: CHECK_OPENING_KPA,
                    seep: operation::seep(supply),
                },
                None,
            ));
        }
        let id = self.builder.cup(lowered);
        let own = self.builder.cup_node(id);
        let mut node = own;
        let mut open_cells = None;
        for (of, word, kind, bore_mm) in in_the_way {
            let next = self.builder.node(&format!("behind the {word} of {}", cup.tag));
            let described =
                Described::part(of, format!("{word} {}", cup.tag), self.described(word, &kind), cup);
            let element = self.element(Described { bore_mm, ..described }, node, next, kind);
            if of == ElementOf::Filter {
                self.cup_filters.push(element);
            }
            node = next;
            if of == ElementOf::Cells {
                open_cells = self.open_cells_of(cup, node);
            }
        }
        self.open_cells.push(open_cells);
        (own, node)
    }

    /// Cells that lie off the part: each draws through its opening and its restrictor from outside.
    fn open_cells_of(&mut self, cup: &CupInput, behind: NodeId) -> Option<ElementId> {
        let supply = &self.input.supply.0;
        let (cells, (open, _)) = (supply.area_gripper?, cup.cells(supply)?);
        if open == 0 {
            return None;
        }
        let name = format!("open cells {}", cup.tag);
        let count = f64::from(open);
        let inside = self.builder.node(&name);
        let bore_mm = cells.bore_mm * count.sqrt();
        self.builder.leak(&name, inside, Leak::Hole { bore_mm, discharge: vacuum::DEFAULT_DISCHARGE });
        let kind = ElementKind::Restrictor(times(restriction(cells.restrictor), count));
        let described = Described::part(
            ElementOf::Cells,
            name,
            self.described(&format!("{open} open cells"), &kind),
            cup,
        );
        Some(self.element(Described { bore_mm: Some(cells.bore_mm), ..described }, inside, behind, kind))
    }

    fn source(&mut self, name: &str, cup: Option<CupId>, at: DVec3, mut port: NodeId, tag: &str) -> SourceId {
        let of_cup = |what: &str| if tag.is_empty() { what.to_owned() } else { format!("{what} {tag}") };
        if let Some(filter) = self.input.supply.0.filter {
            let behind = self.builder.node(&of_cup("source port"));
            let kind = ElementKind::Filter(restriction(filter));
            let piece =
                Described::piece(ElementOf::Filter, of_cup("filter"), self.described("filter", &kind));
            let described = Described { cup, path: vec![at], ..piece };
            self.element(described, port, behind, kind);
            port = behind;
        }
        if let Some(node) = self.builder.node_mut(port) {
            node.volume_cm3 += self.input.model.0.volume_ml * f64::from(self.input.sources());
        }
        self.sources.push(SourcePlace { name: name.to_owned(), cup, at, node: port });
        self.builder.source(name, port, self.source.clone())
    }

    fn way(&mut self, way: Way<'_>, from: NodeId, to: NodeId) -> ElementId {
        let by = self.input.supply.0.fitting_loss;
        let made = line(way.line, way.cut_mm, by, way.turn, way.cup.is_some());
        self.hoses.push(HoseRow {
            circuit: self.input.name.clone(),
            name: way.name.clone(),
            cup: way.cup,
            from: way.from,
            to: way.to,
            bore_mm: way.line.bore_mm,
            cut_length_mm: way.cut_mm,
            fittings: fittings_text(way.line),
        });
        let described = Described {
            cup: way.cup,
            zone: way.zone,
            path: way.path,
            bore_mm: Some(way.line.bore_mm),
            cut_mm: Some(way.cut_mm),
            pieces: Some(made.pieces),
            ..Described::piece(
                ElementOf::Hose { coiled: way.line.coil.is_some() },
                way.name,
                Worded::default(),
            )
        };
        let (name, cup, zone) = (described.name.clone(), described.cup, described.zone.clone());
        let ends: Vec<NodeId> = (1..=made.stated.len())
            .map(|number| self.builder.node(&format!("{name}, in front of fitting {number}")))
            .chain([to])
            .collect();
        let id = self.element(described, from, ends[0], ElementKind::Line(made.line));
        for (number, (stated, ends)) in made.stated.into_iter().zip(ends.windows(2)).enumerate() {
            let name = format!("{name}, fitting {}", number + 1);
            let piece = Described::piece(ElementOf::Fitting(stated.kind), name, stated.what);
            let described = Described { cup, zone: zone.clone(), bore_mm: Some(stated.bore_mm), ..piece };
            self.element(described, ends[0], ends[1], ElementKind::Restrictor(stated.through));
        }
        id
    }

    fn element(&mut self, described: Described, from: NodeId, to: NodeId, kind: ElementKind) -> ElementId {
        let id = self.builder.element(&described.name, from, to, kind);
        self.elements.push(described);
        id
    }

    fn described(&self, word: &str, kind: &ElementKind) -> Worded {
        match kind {
            ElementKind::Restrictor(through) | ElementKind::Filter(through) => {
                Worded::new("{}, C {}", [word.into(), conductance(through.conductance_dm3_s_bar)])
            }
            _ => Worded::text(word),
        }
    }
}
