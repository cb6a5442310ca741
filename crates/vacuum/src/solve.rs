//! The steady state of a network.

mod figures;
mod law;
mod newton;
mod rest;
mod stored;
mod tight;

pub use figures::{CupFigures, ElementFigures, Solution, SourceFigures, Status};
pub use newton::State;

pub(crate) use law::Laws;
pub(crate) use newton::{Iteration, Storage, Unrest};
pub(crate) use stored::Stored;
pub(crate) use tight::{Known, known};

use crate::network::Network;

/// The steady state of a network: the one it reaches when all sources start at the pressure outside.
///
/// Start from the state of a similar solution to be quicker; the answer is the same.
///
/// Air balances at every node, every element keeps its law; both are checked apart from how the answer was found, and if they
/// do not hold there are no figures. Parts of the network in which nothing leaks are not iterated: they stand at the deepest
/// level of the sources that draw from them. If neither leak nor running source decides a part's pressure, its nodes are
/// named in [`Status::Undetermined`] and have no figures, the rest has.
///
/// # Source
/// Flow and squared pressure as unknowns after Todini & Pilati 1988; uniqueness: Rheinboldt 1970, Moré & Rheinboldt, Linear
/// Algebra Appl. 6, 1973 (from memory). If Newton's iteration does not come to rest, the air's own way from the atmosphere
/// is followed by implicit steps.
///
/// # Example
/// See [`NetworkBuilder`](crate::NetworkBuilder).
#[must_use]
pub fn solve(network: &Network, warm: Option<&State>) -> Solution {
    let laws = Laws::new(network);
    let known = known(&laws);
    let mut iteration = Iteration::new(&laws, &network.pattern, &known);
    let mut state = iteration.start(warm);
    let mut found = iteration.run(&mut state, None);
    if found.is_err() && warm.is_some() {
        state = iteration.start(None);
        found = iteration.run(&mut state, None);
    }
    let found = found.or_else(|_| rest::to_rest(&mut iteration, &mut state));
    settle(&laws, &known, &mut state);
    figures::figures(network, &laws, &known, state, found)
}

/// Gives those nodes their pressure that the iteration has no say in.
fn settle(laws: &Laws, known: &Known, state: &mut State) {
    if laws.most_flow.is_finite() {
        // Between shut check valves any pressure holds; the air began at that outside.
        state.squared.iter_mut().for_each(|squared| *squared = squared.min(laws.outside));
    }
    known.fill_tight(laws, &mut state.squared);
}

#[cfg(test)]
mod tests;
