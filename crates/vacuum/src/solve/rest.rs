//! What is left when Newton's iteration does not come to rest: let the air flow until it does.
//!
//! A volume is put at every node and the network is followed from the atmosphere with implicit steps. Each law rises with
//! the upstream pressure and never rises with the downstream one, so that a step of any length has one answer, pressures
//! fall from step to step and cannot pass the answer sought (the network is an M-function: Rheinboldt, *On M-functions and
//! their application to nonlinear Gauss-Seidel iterations and to network flows*, J. Math. Anal. Appl. 32, 1970). A short
//! enough step is nearly linear and always solved; long steps are Newton's own.

use super::newton::{Iteration, State, Storage, Unrest};
use super::stored::Stored;

/// Air stored per pressure at every node, kg/Pa: a tenth of a litre.
const STORED: f64 = 1.2e-9;
/// First step and the one that is as good as rest, s.
const FIRST_STEP: f64 = 1e-3;
const REST: f64 = 1e9;
/// A step shorter than this will not be solved either, s.
const SHORTEST: f64 = 1e-12;
/// Steps in all.
const MOST: usize = 400;

/// Follows the network from the atmosphere to rest.
pub(crate) fn to_rest(iteration: &mut Iteration, state: &mut State) -> Result<usize, Unrest> {
    let outside = iteration.laws.outside;
    state.squared.fill(outside);
    state.through.fill(0.0);
    *state = iteration.start(Some(&State { entering: Vec::new(), ..state.clone() }));
    let nodes = state.squared.len();
    let stored = Stored::plain(vec![STORED; nodes]);
    let mut storage = Storage { stored: &stored, per_s: 0.0, towards: vec![0.0; nodes] };
    let mut step = FIRST_STEP;
    let mut spent = 0;
    for _ in 0..MOST {
        storage.per_s = 1.0 / step;
        storage.towards = stored.masses(&state.squared);
        let mut next = state.clone();
        match iteration.run(&mut next, Some(&storage)) {
            Ok(steps) => {
                spent += steps;
                *state = next;
                if step >= REST {
                    // The rest without storage, from next door.
                    return iteration.run(state, None).map(|steps| spent + steps);
                }
                step *= 4.0;
            }
            Err(Unrest) => {
                step *= 0.2;
                if step < SHORTEST {
                    return Err(Unrest);
                }
            }
        }
    }
    Err(Unrest)
}
