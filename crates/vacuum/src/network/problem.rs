//! What can be wrong with a network, each in one sentence.

use super::{NetworkBuilder, NodeId};
use std::collections::HashSet;

/// One thing that is wrong with a network. The message says where, what and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Problem {
    /// There is nothing to solve.
    #[error("the circuit has no nodes; place a cup and a source")]
    Empty,
    /// Two things of one kind share a name.
    #[error("two {kind} are named \"{name}\"; give each its own name")]
    SameName {
        /// Nodes, elements, cups, leaks or sources.
        kind: &'static str,
        /// The name.
        name: String,
    },
    /// A figure of an element, cup, leak or source cannot be.
    #[error("{kind} \"{name}\": {fault}")]
    Figure {
        /// What it is: hose, cup ...
        kind: &'static str,
        /// Its name.
        name: String,
        /// What is wrong with it.
        fault: String,
    },
    /// Something hangs on a node of another network.
    #[error("{kind} \"{name}\" is on a node that this circuit does not have")]
    UnknownNode {
        /// What it is.
        kind: &'static str,
        /// Its name.
        name: String,
    },
    /// An element leads back to where it starts.
    #[error("{kind} \"{name}\" begins and ends at \"{node}\"; lead it to another node or remove it")]
    LeadsNowhere {
        /// What it is.
        kind: &'static str,
        /// Its name.
        name: String,
        /// The node.
        node: String,
    },
    /// A cup without hose or source.
    #[error("cup \"{cup}\" is connected to nothing; lead a hose from it to its source")]
    DisconnectedCup {
        /// The cup's name.
        cup: String,
    },
    /// Connected nodes without a source among them.
    #[error("no source is connected to {nodes}; connect one, or remove them")]
    NoSource {
        /// Names of the nodes, the first few.
        nodes: String,
    },
    /// Air that cannot be.
    #[error(
        "the air is {kpa} kPa at {celsius} °C; the circuit is solved from 20 to 200 kPa and -60 to 120 °C"
    )]
    Air {
        /// Pressure.
        kpa: f64,
        /// Temperature.
        celsius: f64,
    },
}

pub(crate) fn check(net: &NetworkBuilder) -> Vec<Problem> {
    let mut found = Vec::new();
    if net.nodes.is_empty() {
        found.push(Problem::Empty);
    }
    let (kpa, celsius) = (net.air.ambient.kpa(), net.air.temperature_c);
    if !((20.0..=200.0).contains(&kpa) && (-60.0..=120.0).contains(&celsius)) {
        found.push(Problem::Air { kpa, celsius });
        return found;
    }
    names(net, &mut found);
    figures(net, &mut found);
    let known = ends(net, &mut found);
    if known {
        connections(net, &mut found);
    }
    found
}

fn names(net: &NetworkBuilder, found: &mut Vec<Problem>) {
    let mut unique = |kind, names: &mut dyn Iterator<Item = &str>| {
        let mut seen = HashSet::new();
        let mut told = HashSet::new();
        for name in names {
            if !seen.insert(name) && told.insert(name) {
                found.push(Problem::SameName { kind, name: name.to_owned() });
            }
        }
    };
    unique("nodes", &mut net.nodes.iter().map(|n| &*n.name));
    unique("elements", &mut net.elements.iter().map(|e| &*e.name));
    unique("cups", &mut net.cups.iter().map(|c| &*c.cup.name));
    unique("leaks", &mut net.leaks.iter().map(|l| &*l.name));
    unique("sources", &mut net.sources.iter().map(|s| &*s.name));
}

fn figures(net: &NetworkBuilder, found: &mut Vec<Problem>) {
    let mut tell = |kind: &'static str, name: &str, fault: Option<String>| {
        if let Some(fault) = fault {
            found.push(Problem::Figure { kind, name: name.to_owned(), fault });
        }
    };
    for node in &net.nodes {
        tell("node", &node.name, volume_fault(node.volume_cm3));
        let held = node.held.map(|p| p.kpa()).filter(|p| !(p.is_finite() && *p > 0.0));
        tell("node", &node.name, held.map(|p| format!("it is held at {p} kPa; that must be more than 0")));
    }
    for element in &net.elements {
        tell(element.kind.word(), &element.name, element.kind.fault());
    }
    for placed in &net.cups {
        let cup = &placed.cup;
        let fault = cup.open_hole().fault();
        let fault =
            fault.or_else(|| volume_fault(cup.free_volume_cm3)).or_else(|| volume_fault(cup.held_volume_cm3));
        tell("cup", &cup.name, fault.or_else(|| cup.leaks.iter().find_map(super::Leak::fault)));
    }
    for leak in &net.leaks {
        tell("leak", &leak.name, leak.leak.fault());
    }
    for named in &net.sources {
        tell("source", &named.name, named.source.fault(&net.air));
    }
}

fn volume_fault(cm3: f64) -> Option<String> {
    (!(cm3.is_finite() && cm3 >= 0.0)).then(|| format!("its volume is {cm3} cm³; it must not be negative"))
}

/// Whether everything hangs on nodes that are there; an element between a node and itself is told, too.
fn ends(net: &NetworkBuilder, found: &mut Vec<Problem>) -> bool {
    let count = net.nodes.len();
    let mut known = true;
    let mut on = |kind: &'static str, name: &str, nodes: &[NodeId]| {
        if nodes.iter().any(|node| node.0 >= count) {
            known = false;
            found.push(Problem::UnknownNode { kind, name: name.to_owned() });
        } else if let [from, to] = nodes
            && from == to
        {
            let node = net.nodes[from.0].name.to_string();
            found.push(Problem::LeadsNowhere { kind, name: name.to_owned(), node });
        }
    };
    for element in &net.elements {
        on(element.kind.word(), &element.name, &[element.from, element.to]);
    }
    for placed in &net.cups {
        on("cup", &placed.cup.name, &[placed.node]);
    }
    for leak in &net.leaks {
        on("leak", &leak.name, &[leak.node]);
    }
    for source in &net.sources {
        on("source", &source.name, &[source.node]);
    }
    known
}

/// Cups on their own, and connected nodes without a source.
fn connections(net: &NetworkBuilder, found: &mut Vec<Problem>) {
    let pairs = net.elements.iter().map(|e| (e.from.0, e.to.0));
    let groups = Groups::new(net.nodes.len(), pairs);
    let mut fed = vec![false; net.nodes.len()];
    let held = net.nodes.iter().enumerate().filter(|(_, node)| node.held.is_some()).map(|(i, _)| i);
    for node in net.sources.iter().map(|source| source.node.0).chain(held) {
        fed[groups.of(node)] = true;
    }
    let mut told = HashSet::new();
    for node in 0..net.nodes.len() {
        let group = groups.of(node);
        if fed[group] || !told.insert(group) {
            continue;
        }
        let members: Vec<usize> = (0..net.nodes.len()).filter(|&n| groups.of(n) == group).collect();
        let cup = net.cups.iter().find(|placed| placed.node.0 == node);
        found.push(match (cup, members.len()) {
            (Some(placed), 1) => Problem::DisconnectedCup { cup: placed.cup.name.to_string() },
            _ => Problem::NoSource { nodes: some_names(net, &members) },
        });
    }
}

/// The first few of the names, quoted.
fn some_names(net: &NetworkBuilder, members: &[usize]) -> String {
    const TOLD: usize = 4;
    let mut names: Vec<String> =
        members.iter().take(TOLD).map(|&node| format!("\"{}\"", net.nodes[node].name)).collect();
    if members.len() > TOLD {
        names.push(format!("{} more", members.len() - TOLD));
    }
    match names.split_last() {
        Some((last, before)) if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        Some((only, _)) => only.clone(),
        None => String::new(),
    }
}

/// Which nodes hang together.
pub(crate) struct Groups {
    group: Vec<usize>,
}

impl Groups {
    pub(crate) fn new(nodes: usize, pairs: impl Iterator<Item = (usize, usize)>) -> Self {
        let mut parent: Vec<usize> = (0..nodes).collect();
        for (a, b) in pairs {
            let (a, b) = (root(&mut parent, a), root(&mut parent, b));
            parent[a.max(b)] = a.min(b);
        }
        let group = (0..nodes).map(|node| root(&mut parent, node)).collect();
        Self { group }
    }

    /// The lowest node of a node's group.
    pub(crate) fn of(&self, node: usize) -> usize {
        self.group[node]
    }
}

fn root(parent: &mut [usize], mut node: usize) -> usize {
    while parent[node] != node {
        parent[node] = parent[parent[node]];
        node = parent[node];
    }
    node
}

#[cfg(test)]
mod tests;
