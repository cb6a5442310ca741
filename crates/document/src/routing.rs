//! What hangs on what in a circuit over a layout, and how long each hose is: the plan, the schematic, the hose schedule and
//! the calculation all ask here.

mod ports;

use crate::{
    Arrangement, CircuitId, Coil, Cup, CupId, Fed, Layout, LayoutId, Line, LineLength, Manifold, Project,
    Supply,
};
use glam::DVec3;
use std::f64::consts::PI;

/// The hoses of one circuit over one layout.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Routing {
    /// One for each zone with a valve, in the order of the valves, and one for the cups of all other zones; none without cups.
    pub runs: Vec<Run>,
}
/// The cups behind one valve, or those without a valve, and their way to the source.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Place of its valve in [`Supply::valves`]; `None` for cups that are always on.
    pub valve: Option<usize>,
    /// What its branches hang on: its own manifold, or its part of the circuit's. Ports of [`Branch::port`] count from 0 at
    /// its start.
    pub manifold: Option<Manifold>,
    /// From the source to the manifold or to where the branches part: one hose, or two where the manifold is fed at both
    /// ends. Empty where each cup has a source of its own.
    pub mains: Vec<Main>,
    /// One for each cup, in the order of the layout.
    pub branches: Vec<Branch>,
}
/// A main hose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Main {
    /// At the source, mm.
    pub from: DVec3,
    /// At the manifold or where the branches part, mm.
    pub to: DVec3,
    /// Whether it comes in at the manifold's last port instead of its first.
    pub at_last_port: bool,
    /// As cut, coil included, mm.
    pub length_mm: f64,
}
/// The hose of one cup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// Which.
    pub cup: CupId,
    /// Which port of the run's manifold.
    pub port: Option<u32>,
    /// Where it starts: at the port, at the parting point, at the cup's own source, mm.
    pub from: DVec3,
    /// At the cup, mm.
    pub to: DVec3,
    /// As cut, coil included, mm; 0 where the source sits on the cup.
    pub length_mm: f64,
}

/// A cup as its hoses see it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoutedCup<'a> {
    /// Which.
    pub id: CupId,
    /// As [`Cup::zone`] has it.
    pub zone: &'a str,
    /// Where its hose comes on, mm; z above the plane of the lips.
    pub top: DVec3,
}

impl Project {
    /// The hoses of a circuit over a layout; `None` where there is no such layout or circuit, or the circuit has no supply.
    ///
    /// # Units
    /// mm; z above the plane of the lips.
    ///
    /// ```
    /// # use document::{Part, PartId, Project};
    /// # use std::sync::Arc;
    /// # let mut project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
    /// let (layout, circuit) = (project.layouts[0].id, project.circuits[0].id);
    /// assert_eq!(project.routing(layout, circuit), None);
    /// ```
    pub fn routing(&self, layout: LayoutId, circuit: CircuitId) -> Option<Routing> {
        let layout = self.layout(layout)?;
        let supply = self.circuit(circuit)?.supply.as_deref()?;
        let cups = layout.cups_of(circuit);
        let cups = cups.map(|cup| RoutedCup { id: cup.id, zone: &cup.zone, top: self.connection(cup) });
        Some(supply.routing(&cups.collect::<Vec<_>>()))
    }
    /// Where the hose of a cup comes on: over its centre, at the top of its post, mm.
    pub fn connection(&self, cup: &Cup) -> DVec3 {
        let body = self.model(&cup.model).map_or(0.0, |m| m.height_mm);
        cup.at.extend((body + cup.height_mm).max(0.0))
    }
}

impl Supply {
    /// The hose of a cup: its own, or the one for all.
    pub fn branch_of(&self, cup: CupId) -> &Line {
        self.branches.iter().find(|b| b.cup == cup).map_or(&self.branch, |b| &b.line)
    }
    /// Place in [`Supply::valves`] of the valve that switches a zone.
    pub fn valve_of(&self, zone: &str) -> Option<usize> {
        self.valves.iter().position(|v| v.zone == zone)
    }

    /// The hoses to these cups of a circuit, in the order of the layout.
    pub fn routing(&self, cups: &[RoutedCup<'_>]) -> Routing {
        let valves = (0..self.valves.len()).map(Some).chain([None]);
        let groups: Vec<_> = valves
            .map(|valve| {
                (valve, cups.iter().copied().filter(|cup| self.valve_of(cup.zone) == valve).collect())
            })
            .filter(|(_, of): &(_, Vec<RoutedCup<'_>>)| !of.is_empty())
            .collect();
        if self.arrangement != Arrangement::Central {
            let runs = groups.into_iter().map(|(valve, of)| self.own_sources(valve, &of)).collect();
            return Routing { runs };
        }
        let own = |valve: Option<usize>| valve.and_then(|v| self.valves[v].manifold);
        let sharing: Vec<&[RoutedCup<'_>]> =
            groups.iter().filter(|(valve, _)| own(*valve).is_none()).map(|(_, of)| &**of).collect();
        let mut parts = self.manifold.map(|m| m.parted(&sharing)).unwrap_or_default().into_iter();
        let runs = groups.iter().map(|(valve, of)| {
            let manifold = own(*valve).or_else(|| parts.next());
            self.central(*valve, manifold, of)
        });
        Routing { runs: runs.collect() }
    }

    fn own_sources(&self, valve: Option<usize>, cups: &[RoutedCup<'_>]) -> Run {
        let branch = |cup: &RoutedCup<'_>| {
            let to = cup.top;
            let (from, length_mm) = match self.arrangement {
                Arrangement::InLine => {
                    let from = to.with_z(self.at.z);
                    (from, self.branch_of(cup.id).length_mm(from, to))
                }
                Arrangement::PerCup | Arrangement::Central => (to, 0.0),
            };
            Branch { cup: cup.id, port: None, from, to, length_mm }
        };
        Run { valve, manifold: None, mains: Vec::new(), branches: cups.iter().map(branch).collect() }
    }

    fn central(&self, valve: Option<usize>, manifold: Option<Manifold>, cups: &[RoutedCup<'_>]) -> Run {
        let from = self.at;
        let main = |to: DVec3, at_last_port: bool| Main {
            from,
            to,
            at_last_port,
            length_mm: self.main.length_mm(from, to),
        };
        let Some(manifold) = manifold else {
            let middle =
                cups.iter().map(|cup| cup.top.truncate()).sum::<glam::DVec2>() / cups.len().max(1) as f64;
            let parting = middle.extend(self.at.z);
            let branch = |cup: &RoutedCup<'_>| Branch {
                cup: cup.id,
                port: None,
                from: parting,
                to: cup.top,
                length_mm: self.branch_of(cup.id).length_mm(parting, cup.top),
            };
            let branches = cups.iter().map(branch).collect();
            return Run { valve, manifold: None, mains: vec![main(parting, false)], branches };
        };
        let manifold = manifold.bounded();
        let [first, last] = manifold.ends().map(|end| end.extend(self.at.z));
        let last_is_nearer = last.distance_squared(from) < first.distance_squared(from);
        let mains = match (manifold.fed, last_is_nearer) {
            (Fed::BothEnds, false) => vec![main(first, false), main(last, true)],
            (Fed::BothEnds, true) => vec![main(last, true), main(first, false)],
            (Fed::OneEnd, false) => vec![main(first, false)],
            (Fed::OneEnd, true) => vec![main(last, true)],
        };
        let ports = manifold.ports_for(cups);
        let branches = cups.iter().zip(ports).map(|(cup, port)| {
            let from = manifold.port(port).extend(self.at.z);
            let length_mm = self.branch_of(cup.id).length_mm(from, cup.top);
            Branch { cup: cup.id, port: Some(port), from, to: cup.top, length_mm }
        });
        Run { valve, manifold: Some(manifold), mains, branches: branches.collect() }
    }
}

impl Line {
    /// Its length as cut between two points, coil included.
    ///
    /// # Units
    /// mm.
    pub fn length_mm(&self, from: DVec3, to: DVec3) -> f64 {
        let plain = match self.length {
            LineLength::Typed { mm } => mm,
            LineLength::Plan { slack_mm } => {
                from.truncate().distance(to.truncate()) + (from.z - to.z).abs() + slack_mm
            }
        };
        plain + self.coil.map_or(0.0, |c| c.length_mm())
    }
}
impl Coil {
    /// Hose that is wound up.
    ///
    /// # Units
    /// mm.
    pub fn length_mm(&self) -> f64 {
        self.turns * PI * self.diameter_mm
    }
}
impl Layout {
    /// Cups that hang on a circuit.
    pub fn cups_of(&self, circuit: CircuitId) -> impl Iterator<Item = &Cup> {
        self.cups.iter().filter(move |c| c.circuit == circuit)
    }
}
