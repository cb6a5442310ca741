//! The cups behind one valve: branches, manifold, main hoses, valve.

use super::{
    CircuitInput, CupInput, Described, Making, PlacedManifold, Switch, Turn, Way, operation, restriction,
};
use crate::report::ElementOf;
use document::{Arrangement, Branch, Manifold, Run, ZoneValve};
use glam::DVec3;
use units::Worded;
use vacuum::{ElementKind, Hose, NodeId};

impl Making<'_> {
    pub(super) fn run(&mut self, run: &Run, cups: &[(&CupInput, NodeId)], port: NodeId) {
        let input = self.input;
        let supply = &input.supply.0;
        let valve = run.valve.and_then(|valve| supply.valves.get(valve));
        let zone = valve.map(|valve| valve.zone.clone());
        let of_zone =
            |what: &str| zone.as_ref().map_or(what.to_owned(), |zone| format!("{what} zone {zone}"));
        let behind = self.valve(valve, port);
        self.releases.push((behind, valve.map(|valve| restriction(valve.restriction))));
        let source = if zone.is_some() { of_zone("valve") } else { "source".to_owned() };
        let places = run.manifold.as_ref().map(|manifold| self.places(manifold)).unwrap_or_default();
        let (ports, [first, last]) = match &run.manifold {
            Some(manifold) => self.channel(run, manifold, &places, &of_zone("manifold"), &zone),
            None => {
                let junction = self.builder.node(&of_zone("junction"));
                (vec![junction], [junction, junction])
            }
        };
        let mut feeds = Vec::new();
        for main in &run.mains {
            let end = if main.at_last_port { 2 } else { 1 };
            let (name, from) = match (&run.manifold, run.mains.len()) {
                (None, _) => (of_zone("main"), of_zone("junction")),
                (Some(_), 1) => (of_zone("main"), format!("{}, end {end}", of_zone("manifold"))),
                (Some(_), _) => {
                    (format!("{} {end}", of_zone("main")), format!("{}, end {end}", of_zone("manifold")))
                }
            };
            let way = Way {
                name,
                from,
                to: source.clone(),
                path: path(main.to, main.from),
                line: &supply.main,
                cut_mm: main.length_mm,
                turn: Some(Turn::Entry),
                cup: None,
                zone: zone.clone(),
            };
            feeds.push(self.way(way, if main.at_last_port { last } else { first }, behind));
        }
        if run.manifold.is_some() {
            // With its ends, so that a second feed is led to the one that has none.
            let mut along = ports.clone();
            if !along.contains(&first) {
                along.insert(0, first);
            }
            if !along.contains(&last) {
                along.push(last);
            }
            let name = of_zone("manifold");
            let id = self.builder.manifold(&name, &along, &feeds);
            self.manifolds.push(PlacedManifold {
                id,
                name,
                ports: places.into_iter().zip(ports.iter().copied()).collect(),
            });
        }
        for branch in &run.branches {
            let at = branch.port.unwrap_or(0) as usize;
            let cup = cups.iter().find(|(cup, _)| cup.id == branch.cup);
            if let (Some((cup, from)), Some(to)) = (cup, ports.get(at)) {
                let end = match branch.port {
                    Some(port) => format!("{}, port {}", of_zone("manifold"), port + 1),
                    None => of_zone("junction"),
                };
                self.way(way_of(input, cup, branch, end, &zone), *from, *to);
            }
        }
    }

    /// The valve of a zone and its check valve; the node behind them, towards the cups.
    fn valve(&mut self, valve: Option<&ZoneValve>, port: NodeId) -> NodeId {
        let Some(valve) = valve else { return port };
        let zone = &valve.zone;
        let through = restriction(valve.restriction);
        let at = self.input.supply.0.at;
        let described = |of: ElementOf, name: String| Described {
            zone: Some(zone.clone()),
            path: vec![at],
            ..Described::piece(of, name.clone(), Worded::text(name))
        };
        let mut node = self.builder.node(&format!("behind the valve zone {zone}"));
        let name = format!("valve zone {zone}");
        let id = self.element(
            described(ElementOf::Valve, name),
            node,
            port,
            ElementKind::Valve { through, open: true },
        );
        self.valves.push((zone.clone(), Switch::Way(id)));
        if valve.check_valve {
            let next = self.builder.node(&format!("behind the check valve zone {zone}"));
            let name = format!("check valve zone {zone}");
            let kind = ElementKind::CheckValve {
                through,
                opening_kpa: 0.0,
                seep: operation::seep(&self.input.supply.0),
            };
            self.element(described(ElementOf::CheckValve, name), next, node, kind);
            node = next;
        }
        node
    }

    fn places(&self, manifold: &Manifold) -> Vec<DVec3> {
        let height = self.input.supply.0.at.z;
        (0..manifold.ports.max(1)).map(|port| manifold.port(port).extend(height)).collect()
    }

    /// A channel port by port; its ports, and the nodes that a main hose comes in at.
    fn channel(
        &mut self,
        run: &Run,
        manifold: &Manifold,
        places: &[DVec3],
        name: &str,
        zone: &Option<String>,
    ) -> (Vec<NodeId>, [NodeId; 2]) {
        let height = self.input.supply.0.at.z;
        let ports: Vec<NodeId> =
            (1..=places.len()).map(|port| self.builder.node(&format!("{name}, port {port}"))).collect();
        let pitch = manifold.pitch_mm();
        let piece = |title: String, length: f64, path: Vec<DVec3>| Described {
            zone: zone.clone(),
            path,
            cut_mm: Some(length),
            bore_mm: Some(manifold.bore_mm),
            ..Described::piece(ElementOf::Channel, title, Worded::default())
        };
        let kind = |length: f64| ElementKind::Line(vacuum::Line::hose(Hose::new(length, manifold.bore_mm)));
        let fed_last_only = run.mains.iter().all(|main| main.at_last_port);
        for (index, (pair, way)) in ports.windows(2).zip(places.windows(2)).enumerate() {
            let (from, to) = if fed_last_only { (pair[0], pair[1]) } else { (pair[1], pair[0]) };
            let title = format!("{name}, {} to {}", index + 1, index + 2);
            self.element(piece(title, pitch, way.to_vec()), from, to, kind(pitch));
        }
        let of_end = [0, ports.len() - 1];
        let mut ends = of_end.map(|port| ports[port]);
        for (side, end) in manifold.ends().into_iter().enumerate() {
            if run.mains.iter().any(|main| usize::from(main.at_last_port) == side) {
                let title = format!("{name}, end {}", side + 1);
                let node = self.builder.node(&title);
                let path = vec![places[of_end[side]], end.extend(height)];
                self.element(piece(title, 0.5 * pitch, path), ends[side], node, kind(0.5 * pitch));
                ends[side] = node;
            }
        }
        (ports, ends)
    }
}

/// The branch of a cup, towards the source.
pub(super) fn way_of<'a>(
    input: &'a CircuitInput,
    cup: &CupInput,
    branch: &Branch,
    to: String,
    zone: &Option<String>,
) -> Way<'a> {
    let turn = match (input.supply.0.arrangement, branch.port) {
        (_, Some(_)) => Some(Turn::PortTee),
        (Arrangement::Central, None) => Some(Turn::Entry),
        // It leads straight into its own source.
        (Arrangement::InLine | Arrangement::PerCup, None) => None,
    };
    Way {
        name: format!("branch {}", cup.tag),
        from: cup.tag.clone(),
        to,
        path: path(branch.to, branch.from),
        line: input.supply.0.branch_of(cup.id),
        cut_mm: branch.length_mm,
        turn,
        cup: Some(cup.id),
        zone: zone.clone(),
    }
}

/// Up to the height of the end, then across.
fn path(from: DVec3, to: DVec3) -> Vec<DVec3> {
    let mut path = vec![from, from.truncate().extend(to.z), to];
    path.dedup_by(|a, b| a.distance(*b) < 1e-9);
    path
}
