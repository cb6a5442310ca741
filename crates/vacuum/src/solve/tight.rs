//! Nodes through which nothing flows, whose pressure is plain without solving.
//!
//! Solving a tight part by iteration is slow, since a source past its deepest level hardly pulls, and behind shut check
//! valves nothing but rounding would decide. So nodes that no air can come to, or that no air can leave, are found first by
//! following the ways open to air, and are left out.

use super::law::{AtLaw, Between, Laws};
use crate::leak::LeakLaw;
use crate::network::problem::Groups;

/// What is known beforehand.
#[derive(Debug, Clone, Default)]
pub(crate) struct Known {
    /// Squared pressure of nodes that are kept or at rest; for tight ones the atmosphere, until the rest is solved.
    pub squared: Vec<Option<f64>>,
    /// Elements that carry nothing.
    pub still: Vec<bool>,
    /// Nodes that no air comes to.
    pub tight: Vec<bool>,
    /// Nodes whose pressure nothing decides.
    pub undetermined: Vec<usize>,
}

/// What is there among connected nodes.
#[derive(Clone, Copy, Default)]
struct Group {
    /// Anything but the atmosphere drives air: a kept pressure, a supply, a constant flow.
    driven: bool,
    draws: bool,
}

pub(crate) fn known(laws: &Laws) -> Known {
    let nodes = laws.kept.len();
    let open: Vec<usize> =
        (0..laws.ends.len()).filter(|&e| !matches!(laws.between[e], Between::Shut)).collect();
    let groups = Groups::new(nodes, open.iter().map(|&e| laws.ends[e]));
    let mut facts = vec![Group::default(); nodes];
    let (mut comes, mut leaves) = (vec![false; nodes], vec![false; nodes]);
    for (node, _) in laws.kept.iter().enumerate().filter(|(_, kept)| kept.is_some()) {
        facts[groups.of(node)].driven = true;
        (comes[node], leaves[node]) = (true, true);
    }
    for at in &laws.at {
        let group = &mut facts[groups.of(at.node)];
        match &at.law {
            AtLaw::Source(_) => {
                group.draws = true;
                leaves[at.node] = true;
            }
            AtLaw::Leak(law) => {
                comes[at.node] = true;
                group.driven |= match law {
                    LeakLaw::Constant(_) => true,
                    LeakLaw::Through { up, .. } => (up * up - laws.outside).abs() > 1e-9 * laws.outside,
                };
            }
        }
    }
    for at in &laws.at {
        if matches!(at.law, AtLaw::Leak(LeakLaw::Through { .. })) && facts[groups.of(at.node)].driven {
            leaves[at.node] = true;
        }
    }
    spread(laws, &open, &mut comes, true);
    spread(laws, &open, &mut leaves, false);
    let mut known = Known {
        squared: laws.kept.clone(),
        still: vec![false; laws.ends.len()],
        tight: comes.iter().map(|comes| !comes).collect(),
        undetermined: Vec::new(),
    };
    // Nodes that no air can leave stand at the atmosphere, and nothing flows to them either.
    let at_rest: Vec<bool> = (0..nodes).map(|node| !leaves[node] && !facts[groups.of(node)].driven).collect();
    for node in 0..nodes {
        let group = facts[groups.of(node)];
        // Nothing moves the pressure, or something drives it up without end.
        let swells = comes[node] && !leaves[node] && group.driven;
        if !comes[node] && !group.draws && !group.driven || swells {
            known.undetermined.push(node);
        }
        if known.squared[node].is_none() && (!comes[node] || at_rest[node] || swells) {
            known.squared[node] = Some(laws.outside);
        }
    }
    let dead = |node: usize| known.tight[node] || !leaves[node];
    for (still, &(from, to)) in known.still.iter_mut().zip(&laws.ends) {
        *still = dead(from) || dead(to);
    }
    known
}

/// Marks every node that air gets to from marked ones, or with the flow turned round, from which it gets to marked ones.
fn spread(laws: &Laws, open: &[usize], marked: &mut [bool], with_flow: bool) {
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); marked.len()];
    for &element in open {
        let (from, to) = laws.ends[element];
        let (first, second) = if with_flow { (from, to) } else { (to, from) };
        near[first].push(second);
        if !one_way(laws, element) {
            near[second].push(first);
        }
    }
    let mut next: Vec<usize> = (0..marked.len()).filter(|&node| marked[node]).collect();
    while let Some(node) = next.pop() {
        for &other in &near[node] {
            if !marked[other] {
                marked[other] = true;
                next.push(other);
            }
        }
    }
}

fn one_way(laws: &Laws, element: usize) -> bool {
    matches!(laws.between[element], Between::Through { back: Some(_), .. })
}

impl Known {
    /// Gives tight nodes their pressure once the others have theirs: from the atmosphere each comes down as far as air gets
    /// from it to a deeper node, or to a source until that stops drawing.
    pub(crate) fn fill_tight(&self, laws: &Laws, squared: &mut [f64]) {
        if !self.tight.iter().any(|&tight| tight) {
            return;
        }
        let outside = laws.outside.sqrt();
        let mut floor: Vec<f64> = squared.iter().map(|squared| squared.sqrt()).collect();
        for (node, _) in self.tight.iter().enumerate().filter(|(_, tight)| **tight) {
            floor[node] = laws.kept[node].map_or(outside, f64::sqrt);
        }
        for at in laws.at.iter().filter(|at| self.tight[at.node]) {
            if let AtLaw::Source(law) = &at.law {
                floor[at.node] = floor[at.node].min(law.floor.max(0.0));
            }
        }
        // Falls spread against the flow until nothing changes: at most as often as there are nodes.
        for _ in 0..floor.len() {
            let mut changed = false;
            for (element, law) in laws.between.iter().enumerate() {
                let (from, to) = laws.ends[element];
                let opening = match law {
                    Between::Shut => continue,
                    Between::Through { opening, .. } => *opening,
                    Between::Line { .. } => 0.0,
                };
                if self.tight[from] && floor[to] + opening < floor[from] {
                    floor[from] = floor[to] + opening;
                    changed = true;
                }
                if self.tight[to] && !one_way(laws, element) && floor[from] < floor[to] {
                    floor[to] = floor[from];
                    changed = true;
                }
            }
            if !changed {
                break;
            }
        }
        for (node, _) in self.tight.iter().enumerate().filter(|(_, tight)| **tight) {
            squared[node] = floor[node] * floor[node];
        }
    }
}
