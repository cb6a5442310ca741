//! Figures of a solved network.

use super::law::{Between, Laws};
use super::newton::{State, Unrest};
use super::tight::Known;
use crate::air::nl_min_from_kg_s;
use crate::line::{PartLoss, Regime};
use crate::network::{CupId, ElementId, ElementKind, Network, NodeId};
use units::{AbsolutePressure, VacuumLevel};

/// A source that draws less than this stands at its deepest level, kg/s.
const NOTHING_DRAWN: f64 = 1e-12;

/// How solving ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Status {
    /// Every figure is there.
    Solved,
    /// Nothing decides the pressure of these nodes: nothing leaks there and no source that runs draws there. They have no
    /// figures, all others have.
    Undetermined {
        /// The nodes.
        nodes: Vec<NodeId>,
    },
    /// No steady state was found; there are no figures.
    NotConverged,
}

/// One cup in a solution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CupFigures {
    /// Level inside.
    pub level: Option<VacuumLevel>,
    /// Air that enters at it, litres ANR per minute.
    pub entering_nl_min: Option<f64>,
}

/// One element in a solution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ElementFigures {
    /// Flow from its first node to its second, litres ANR per minute.
    pub flow_nl_min: Option<f64>,
    /// Pressure lost on the way of the flow, kPa; for what is shut, the difference that stands across it.
    pub loss_kpa: Option<f64>,
    /// How the air moves.
    pub regime: Option<Regime>,
    /// Largest Reynolds number on the way; 0 for what is no hose.
    pub reynolds: f64,
    /// Speed at the end of a hose over the isothermal speed of sound. Above about 0.3 a hose solved without the air's
    /// acceleration passes noticeably too much; 0 for what is no hose.
    pub outlet_speed: f64,
}

/// One source in a solution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SourceFigures {
    /// Level at its port.
    pub level: Option<VacuumLevel>,
    /// Air it draws, litres ANR per minute; negative if air comes back through it.
    pub flow_nl_min: Option<f64>,
    /// It stands at its deepest level and draws nothing.
    pub at_deepest: bool,
}

/// A network's steady state, or why there is none. Lists stand in the order of adding.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// How it ended; figures are there as it says.
    pub status: Status,
    /// Pressure at each node.
    pub nodes: Vec<Option<AbsolutePressure>>,
    /// Each cup.
    pub cups: Vec<CupFigures>,
    /// Each element.
    pub elements: Vec<ElementFigures>,
    /// Each source.
    pub sources: Vec<SourceFigures>,
    /// Air that enters at each leak that is no cup's own, litres ANR per minute.
    pub leaks_nl_min: Vec<Option<f64>>,
    /// To start a similar solution from.
    pub state: State,
    /// Steps of iteration taken.
    pub steps: usize,
    /// Nodes that no air comes to.
    pub(crate) tight: Vec<bool>,
}

impl Solution {
    /// Level at a cup, if it is known.
    #[must_use]
    pub fn level(&self, cup: CupId) -> Option<VacuumLevel> {
        self.cups.get(cup.index())?.level
    }

    /// The cup with the lowest level, open cups left out; `None` if a level is unknown or there is no such cup.
    #[must_use]
    pub fn worst_cup(&self, network: &Network) -> Option<(CupId, VacuumLevel)> {
        let mut worst: Option<(CupId, VacuumLevel)> = None;
        let on_the_part = network.spec().cups().iter().enumerate().filter(|(_, placed)| !placed.cup.open);
        for (index, _) in on_the_part {
            let level = self.cups.get(index)?.level?;
            if worst.is_none_or(|(_, least)| level.kpa() < least.kpa()) {
                worst = Some((CupId(index), level));
            }
        }
        worst
    }

    /// Where an element of hose and fittings loses its pressure, part by part; empty for others and without figures.
    #[must_use]
    pub fn part_losses(&self, network: &Network, element: ElementId) -> Vec<PartLoss> {
        let (Some(placed), Some(figures)) =
            (network.spec().elements().get(element.index()), self.elements.get(element.index()))
        else {
            return Vec::new();
        };
        let (Some(line), Some(flow)) = (placed.kind.line(), figures.flow_nl_min) else { return Vec::new() };
        let entering = if flow >= 0.0 { placed.from } else { placed.to };
        let Some(Some(pressure)) = self.nodes.get(entering.index()) else { return Vec::new() };
        line.losses(flow, *pressure, &network.air(), network.spec().friction_law())
    }

    /// The outcome in a sentence, with names.
    #[must_use]
    pub fn says(&self, network: &Network) -> String {
        match &self.status {
            Status::Solved => "solved".to_owned(),
            Status::NotConverged => "no steady state was found; check the values of the circuit".to_owned(),
            Status::Undetermined { nodes } => {
                let names: Vec<_> = nodes
                    .iter()
                    .filter_map(|node| network.spec().nodes().get(node.index()))
                    .map(|node| format!("\"{}\"", node.name))
                    .collect();
                format!(
                    "the pressure at {} is undetermined: nothing leaks there and no running source draws there",
                    names.join(", ")
                )
            }
        }
    }
}

pub(crate) fn figures(
    network: &Network,
    laws: &Laws,
    known: &Known,
    state: State,
    found: Result<usize, Unrest>,
) -> Solution {
    let spec = network.spec();
    let Ok(steps) = found else {
        return Solution {
            status: Status::NotConverged,
            nodes: vec![None; spec.nodes().len()],
            cups: vec![CupFigures { level: None, entering_nl_min: None }; spec.cups().len()],
            elements: spec.elements().iter().map(|_| nothing_known()).collect(),
            sources: spec.sources().iter().map(|_| no_source_figures()).collect(),
            leaks_nl_min: vec![None; spec.leaks().len()],
            state: State::default(),
            steps: 0,
            tight: Vec::new(),
        };
    };
    let mut pressures: Vec<Option<AbsolutePressure>> =
        state.squared.iter().map(|squared| Some(AbsolutePressure::from_kpa(squared.sqrt() * 1e-3))).collect();
    for &node in &known.undetermined {
        pressures[node] = None;
    }
    let level = |node: NodeId| pressures[node.index()].map(|p| p.level(network.air().ambient));
    let entering = |range: std::ops::Range<usize>| -> f64 {
        range.map(|i| nl_min_from_kg_s(state.entering[i])).sum::<f64>() + 0.0
    };
    let cups = spec.cups().iter().zip(&laws.cup_entries).map(|(placed, entries)| CupFigures {
        level: level(placed.node),
        entering_nl_min: Some(entering(entries.clone())),
    });
    let sources = spec.sources().iter().zip(&laws.source_entries).map(|(named, entry)| {
        let drawn = match *entry {
            // Past its deepest level a source draws nothing; the law's slope there is for the solver.
            Some(i) if named.source.running => (-laws.at[i].flow(state.squared[named.node.index()])).max(0.0),
            Some(i) => -state.entering[i],
            None => 0.0,
        };
        SourceFigures {
            level: level(named.node),
            flow_nl_min: Some(nl_min_from_kg_s(drawn)),
            at_deepest: named.source.running && drawn <= NOTHING_DRAWN,
        }
    });
    let leaks = (0..spec.leaks().len()).map(|i| Some(entering(laws.first_leak + i..laws.first_leak + i + 1)));
    let elements = spec.elements().iter().enumerate();
    let status = if known.undetermined.is_empty() {
        Status::Solved
    } else {
        Status::Undetermined { nodes: known.undetermined.iter().map(|&node| NodeId(node)).collect() }
    };
    Solution {
        status,
        cups: cups.collect(),
        elements: elements
            .map(|(i, e)| {
                element(
                    &laws.between[i],
                    &e.kind,
                    state.through[i],
                    pressures[e.from.index()],
                    pressures[e.to.index()],
                )
            })
            .collect(),
        sources: sources.collect(),
        leaks_nl_min: leaks.collect(),
        nodes: pressures,
        state,
        steps,
        tight: known.tight.clone(),
    }
}

const fn nothing_known() -> ElementFigures {
    ElementFigures { flow_nl_min: None, loss_kpa: None, regime: None, reynolds: 0.0, outlet_speed: 0.0 }
}

const fn no_source_figures() -> SourceFigures {
    SourceFigures { level: None, flow_nl_min: None, at_deepest: false }
}

fn element(
    law: &Between,
    kind: &ElementKind,
    m: f64,
    from: Option<AbsolutePressure>,
    to: Option<AbsolutePressure>,
) -> ElementFigures {
    let shut = matches!(kind, ElementKind::CheckValve { .. }) && m <= 0.0 || matches!(law, Between::Shut);
    let m = if shut { 0.0 } else { m };
    let loss_kpa = match (from, to) {
        (Some(from), Some(to)) if m < 0.0 => Some(to.kpa() - from.kpa()),
        (Some(from), Some(to)) => Some(from.kpa() - to.kpa()),
        _ => None,
    };
    let ends =
        from.zip(to).map(|(from, to)| if m < 0.0 { (to.kpa(), from.kpa()) } else { (from.kpa(), to.kpa()) });
    let (mut reynolds, mut outlet_speed) = (0.0, 0.0);
    let regime = match law {
        _ if shut => Regime::Closed,
        Between::Shut => Regime::Closed,
        Between::Line { parts, kinetic } => {
            reynolds = parts.largest_reynolds(m);
            let sonic = parts.kinetic.sqrt() * m.abs() * 1e-3;
            outlet_speed = ends.map_or(0.0, |(_, end)| (sonic / end).min(1.0));
            let choked = *kinetic > 0.0 && ends.is_some_and(|(_, end)| sonic >= end * (1.0 - 1e-9));
            if choked { Regime::Choked } else { Regime::of_reynolds(reynolds) }
        }
        Between::Through { b, .. } => match ends {
            Some((up, down)) if down <= b * up => Regime::Choked,
            // A restriction's law has no laminar range worth the name.
            _ => Regime::Turbulent,
        },
    };
    ElementFigures {
        flow_nl_min: Some(nl_min_from_kg_s(m)),
        loss_kpa,
        regime: Some(regime),
        reynolds,
        outlet_speed,
    }
}
