//! Parts of a network whose answer is known without solving: nothing leaks, nothing draws, or both.
//!
//! Solving a tight part by iteration is slow, since a source past its deepest level hardly pulls; and its answer is plain.

use super::law::{AtLaw, Between, Laws};
use crate::leak::LeakLaw;
use crate::network::problem::Groups;

/// What is known beforehand.
#[derive(Debug, Clone, Default)]
pub(crate) struct Known {
    /// Squared pressure of nodes that are kept, tight or at rest.
    pub squared: Vec<Option<f64>>,
    /// Nodes whose pressure nothing decides.
    pub undetermined: Vec<usize>,
}

#[derive(Clone, Copy, Default)]
struct Group {
    kept: bool,
    /// A leak whose flow depends on pressure.
    leaks: bool,
    /// A leak from anything but the atmosphere, or of constant flow.
    driven: bool,
    constant: bool,
    draws: bool,
}

pub(crate) fn known(laws: &Laws) -> Known {
    let open = |element: &usize| !matches!(laws.between[*element], Between::Shut);
    let elements: Vec<usize> = (0..laws.ends.len()).filter(open).collect();
    let groups = Groups::new(laws.kept.len(), elements.iter().map(|&e| laws.ends[e]));
    let mut facts = vec![Group::default(); laws.kept.len()];
    for (node, kept) in laws.kept.iter().enumerate() {
        facts[groups.of(node)].kept |= kept.is_some();
    }
    for at in &laws.at {
        let group = &mut facts[groups.of(at.node)];
        match &at.law {
            AtLaw::Source(_) => group.draws = true,
            AtLaw::Leak(LeakLaw::Constant(_)) => group.constant = true,
            AtLaw::Leak(LeakLaw::Through { up, .. }) => {
                group.leaks = true;
                group.driven |= (up * up - laws.outside).abs() > 1e-9 * laws.outside;
            }
        }
    }
    let mut known = Known { squared: laws.kept.clone(), undetermined: Vec::new() };
    let reached = reached(laws, &elements);
    for node in 0..laws.kept.len() {
        let group = facts[groups.of(node)];
        if group.kept {
            continue;
        }
        let at_rest = !group.draws && !group.driven && !group.constant;
        if group.leaks && at_rest {
            known.squared[node] = Some(laws.outside);
        } else if !group.leaks && !group.draws {
            known.undetermined.push(node);
            known.squared[node] = Some(laws.outside);
        } else if !group.leaks && !group.constant {
            // From the atmosphere each node comes down to the deepest source that air can get to from it.
            let floor = reached[node].min(laws.outside.sqrt());
            known.squared[node] = Some(floor * floor);
        }
    }
    known
}

/// For each node, the lowest pressure at which a source that air can reach from it stops drawing, Pa.
fn reached(laws: &Laws, elements: &[usize]) -> Vec<f64> {
    let mut floor = vec![f64::INFINITY; laws.kept.len()];
    for at in &laws.at {
        if let AtLaw::Source(law) = &at.law {
            floor[at.node] = floor[at.node].min(law.floor.max(0.0));
        }
    }
    let one_way = |element: usize| matches!(laws.between[element], Between::Through { back: Some(_), .. });
    // Lowest floors spread against the flow until nothing changes: at most as often as there are nodes.
    for _ in 0..laws.kept.len() {
        let mut changed = false;
        for &element in elements {
            let (from, to) = laws.ends[element];
            let opening = match laws.between[element] {
                Between::Through { opening, .. } => opening,
                _ => 0.0,
            };
            if floor[to] + opening < floor[from] {
                floor[from] = floor[to] + opening;
                changed = true;
            }
            if !one_way(element) && floor[from] < floor[to] {
                floor[to] = floor[from];
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    floor
}
