//! The second-order cone programme, written for the motions in which the part comes off.
//!
//! The largest multiple over all shares equals the smallest over all motions of the part away from the cups (the static
//! and the kinematic theorem of limit analysis, each other's dual). The dual has six unknowns, velocity v and turning w of
//! the part, and few more, where the shares are six for each cup: it is far the smaller programme, and its solution bounds
//! the multiple of every other load.
//!
//! With the velocity of cup i split into slide t, turning z about its axis, rolling r in its plane and parting n (n > 0
//! takes the part away from the cup), the programme is
//!
//! minimise Σ (n (F - seal) + d seal) - (v, w)·fixed, with (v, w)·scaled = 1 and for each cup
//! d >= grip |(t, arm z)|, n - d >= Σ b + radius |r|, b >= ± core × r.
//!
//! Forces are over the mean vacuum force, lengths over the extent of the group, the scaled load over its largest entry. A
//! lost cup has its velocity struck out of its rows: pattern and order of factorisation stay.

use super::share::CupShare;
use super::{Contact, Limit};
use crate::sparse::{Entries, Entry, by_column};
use clarabel::algebra::CscMatrix;
use clarabel::solver::SupportedConeT::{NonnegativeConeT, SecondOrderConeT, ZeroConeT};
use clarabel::solver::{DefaultSettings, DefaultSolution, DefaultSolver, IPSolver, SolverStatus};
use glam::{DVec2, DVec3};
use std::ops::Range;

/// Tolerance of the solver for gap and residuals, in scaled terms.
const PRECISION: f64 = 1e-9;
/// What still counts as solved when the last digits will not come.
const ENOUGH: f64 = 1e-7;
/// Multiples below this, in scaled terms, are none.
const NONE: f64 = 1e-8;
/// Iterations; the usual number is 10 to 20.
const MOST: u32 = 80;

/// A load about the programme's origin, N and N·mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Load {
    pub force: DVec3,
    pub moment: DVec3,
}

/// What a solve gives.
#[derive(Debug)]
pub(super) struct Solved {
    pub limit: Limit,
    /// Velocity and turning of the part, with which the scaled load has unit power; per N and per N·mm.
    pub velocity: DVec3,
    pub turning: DVec3,
    /// How each cup takes part in carrying the fixed load over the multiple and the scaled load once; empty when nothing
    /// of the scaled load is carried.
    pub shares: Vec<CupShare>,
}

pub(super) struct Programme {
    solver: DefaultSolver<f64>,
    origin: DVec2,
    /// N.
    force: f64,
    /// mm.
    length: f64,
    /// Where in the matrix each entry goes, in the order in which `entries` makes them.
    slots: Vec<usize>,
}

/// Columns of velocity and turning.
const V: [usize; 3] = [0, 1, 2];
const W: [usize; 3] = [3, 4, 5];

impl Programme {
    /// `None` when the solver refuses the data.
    pub(super) fn new(contacts: &[Contact]) -> Option<Self> {
        let count = contacts.len() as f64;
        let first = contacts.first()?.at;
        let origin = first + contacts.iter().map(|c| c.at - first).sum::<DVec2>() / count;
        let reach = |c: &Contact| {
            let lip = c.core.abs().max_element() + c.radius.abs();
            (c.at - origin).length().max(lip).max(c.twist_arm.abs())
        };
        let length = contacts.iter().map(reach).fold(1.0, f64::max);
        let holding: Vec<f64> = contacts.iter().filter(|c| c.seals()).map(|c| c.vacuum_force).collect();
        let force = holding.iter().sum::<f64>() / holding.len() as f64;
        let mut programme = Self { solver: idle()?, origin, force, length, slots: Vec::new() };
        let holds: Vec<bool> = contacts.iter().map(Contact::seals).collect();
        let none = Load { force: DVec3::ZERO, moment: DVec3::ZERO };
        let entries = programme.entries(contacts, &holds, none, [1.0; 6]);
        // Column by column, as the matrix is stored.
        let mut order: Vec<usize> = (0..entries.of.len()).collect();
        order.sort_unstable_by_key(|&i| (entries.of[i].0, entries.of[i].1));
        let mut slots = vec![0; order.len()];
        for (slot, &i) in order.iter().enumerate() {
            slots[i] = slot;
        }
        let in_order: Vec<Entry> = order.iter().map(|&i| entries.of[i]).collect();
        let matrix = by_column(entries.rows, entries.q.len(), &in_order);
        let quadratic = CscMatrix::zeros((entries.q.len(), entries.q.len()));
        let solver =
            DefaultSolver::new(&quadratic, &entries.q, &matrix, &entries.b, &entries.cones, settings(false))
                .ok()?;
        (programme.solver, programme.slots) = (solver, slots);
        Some(programme)
    }

    /// Point about which loads are given, mm.
    pub(super) fn about(&self) -> DVec3 {
        self.origin.extend(0.0)
    }

    /// The programme for one load; the order and pattern of entries depend on the shapes of the contacts only.
    fn entries(&self, contacts: &[Contact], holds: &[bool], fixed: Load, scaled: [f64; 6]) -> Entries {
        let mut e = Entries::default();
        let own = self.scaled(fixed);
        for value in own {
            e.column(-value);
        }
        e.cones.push(ZeroConeT(1));
        // The load's power is 1: b - A x = 0.
        e.row(1.0, (0..6).map(|i| (i, -scaled[i])));
        for (contact, &holds) in contacts.iter().zip(holds) {
            self.cup(&mut e, contact, holds);
        }
        e
    }

    fn cup(&self, e: &mut Entries, cup: &Contact, holds: bool) {
        // 1 for a cup that takes part, 0 strikes its motion out; its rows then hold a constant within the cone.
        let (on, spare) = if holds { (1.0, 0.0) } else { (0.0, 1.0) };
        let at = (cup.at - self.origin) / self.length;
        let parting = [(V[2], -on), (W[0], -on * at.y), (W[1], on * at.x)];
        let (free, seal) = ((cup.vacuum_force - cup.seal_force) / self.force, cup.seal_force / self.force);
        for (column, value) in parting {
            e.q[column] += value * free;
        }
        let grip = on * cup.grip;
        let friction = |e: &mut Entries| {
            e.row(0.0, [(V[0], grip), (W[2], -grip * at.y)]);
            e.row(0.0, [(V[1], grip), (W[2], grip * at.x)]);
            if cup.twist_arm > 0.0 {
                e.row(0.0, [(W[2], grip * cup.twist_arm / self.length)]);
            }
        };
        let slides = SecondOrderConeT(if cup.twist_arm > 0.0 { 4 } else { 3 });
        if !cup.leans() && cup.seal_force == 0.0 {
            e.row(spare, parting);
            friction(e);
            e.cones.push(slides);
            return;
        }
        let d = e.column(if holds { seal } else { 1.0 });
        e.row(0.0, [(d, 1.0)]);
        friction(e);
        e.cones.push(slides);
        // Rolling along the lip's own axes: a turn about its width axis parts the ends of its length.
        let axis = DVec2::from_angle(cup.turn);
        let sides =
            [(cup.core.x, axis.perp()), (cup.core.y, axis)].into_iter().filter(|(half, _)| *half > 0.0);
        let mut lifting = vec![parting[0], parting[1], parting[2], (d, -on)];
        for (half, axis) in sides {
            let b = e.column(spare);
            let roll = axis * (on * half / self.length);
            e.row(0.0, [(b, 1.0), (W[0], roll.x), (W[1], roll.y)]);
            e.row(0.0, [(b, 1.0), (W[0], -roll.x), (W[1], -roll.y)]);
            e.cones.push(NonnegativeConeT(2));
            lifting.push((b, -on));
        }
        e.row(spare, lifting);
        if cup.radius > 0.0 {
            let radius = on * cup.radius / self.length;
            e.row(0.0, [(W[0], radius)]);
            e.row(0.0, [(W[1], radius)]);
            e.cones.push(SecondOrderConeT(3));
        } else {
            e.cones.push(NonnegativeConeT(1));
        }
    }

    fn scaled(&self, load: Load) -> [f64; 6] {
        let (f, m) = (load.force / self.force, load.moment / (self.force * self.length));
        [f.x, f.y, f.z, m.x, m.y, m.z]
    }

    /// Largest multiple of a load that is not nothing, for cups of which at least one holds.
    pub(super) fn solve(&mut self, contacts: &[Contact], holds: &[bool], fixed: Load, load: Load) -> Solved {
        let none = |limit| Solved { limit, velocity: DVec3::ZERO, turning: DVec3::ZERO, shares: Vec::new() };
        let scaled = self.scaled(load);
        let largest = scaled.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
        if !(largest > 0.0 && largest.is_finite()) {
            return none(Limit::NotConverged);
        }
        let entries = self.entries(contacts, holds, fixed, scaled.map(|v| v / largest));
        let mut values = vec![0.0; entries.of.len()];
        for (&slot, &(_, _, value)) in self.slots.iter().zip(&entries.of) {
            values[slot] = value;
        }
        let updated = self
            .solver
            .update_A(&values)
            .and_then(|()| self.solver.update_b(&entries.b))
            .and_then(|()| self.solver.update_q(&entries.q));
        if updated.is_err() {
            return none(Limit::NotConverged);
        }
        self.solver.solve();
        if !is_settled(self.solver.solution.status) && self.solver.update_settings(settings(true)).is_ok() {
            let as_new = DefaultSolution::new(entries.q.len(), entries.rows);
            let first = std::mem::replace(&mut self.solver.solution, as_new);
            self.solver.solve();
            // The more careful way does not always get as far as the quick one.
            let second = self.solver.solution.status;
            if !is_settled(second) && first.status == SolverStatus::AlmostSolved {
                self.solver.solution = first;
            }
            // A second failure stands; what remains to do is to go back to the quick way.
            if self.solver.update_settings(settings(false)).is_err() {
                return none(Limit::NotConverged);
            }
        }
        let solution = &self.solver.solution;
        match solution.status {
            SolverStatus::Solved | SolverStatus::AlmostSolved => {}
            // Motions that cost less than nothing without end: no share carries the fixed load.
            SolverStatus::DualInfeasible => return none(Limit::Infeasible),
            // No motion that the load would drive: the proof of it is a share that only presses.
            SolverStatus::PrimalInfeasible => {
                let shares = self.shares(contacts, holds, 0.0, largest);
                return Solved { shares, ..none(Limit::Unlimited) };
            }
            _ => return none(Limit::NotConverged),
        }
        // The smaller of the two: what a share was found for, not what a motion was found against.
        let found = solution.obj_val.min(solution.obj_val_dual);
        if !found.is_finite() {
            return none(Limit::NotConverged);
        }
        if found < -NONE {
            return none(Limit::Infeasible);
        }
        let times = if found < NONE { 0.0 } else { found / largest };
        let x = &solution.x;
        let per = 1.0 / (self.force * largest);
        Solved {
            limit: Limit::Solved(times),
            velocity: DVec3::new(x[0], x[1], x[2]) * per,
            turning: DVec3::new(x[3], x[4], x[5]) * (per / self.length),
            shares: self.shares(contacts, holds, 1.0, largest),
        }
    }

    /// Shares of the load, from the multipliers of the rows that the last solve left. `vacuum` is 1 when the multipliers
    /// balance the vacuum forces, 0 when they are a direction in which any multiple is carried.
    fn shares(&self, contacts: &[Contact], holds: &[bool], vacuum: f64, largest: f64) -> Vec<CupShare> {
        let z = &self.solver.solution.z;
        // Each multiplier of a velocity is a force: that of the row of unit power is the multiple, with a minus.
        let Some(times) = z.first().map(|power| -power).filter(|times| *times > 0.0) else {
            return Vec::new();
        };
        let per = self.force * largest / times;
        let share = |cup: &Contact, holds: &bool, rows: Range<usize>| {
            if !holds {
                return CupShare::default();
            }
            let z = &z[rows];
            let free = vacuum * (cup.vacuum_force - cup.seal_force) / self.force;
            let slides = if cup.twist_arm > 0.0 { 4 } else { 3 };
            let friction = if cup.grip > 0.0 {
                DVec3::new(z[1], z[2], if slides == 4 { z[3] } else { 0.0 })
            } else {
                DVec3::ZERO
            };
            let mut share = CupShare { pull: free - z[0], friction, lean: DVec2::ZERO, roll: DVec2::ZERO };
            if cup.leans() || cup.seal_force != 0.0 {
                let mut at = slides;
                for side in 0..2 {
                    if cup.core[side] > 0.0 {
                        share.lean[side] = z[at] - z[at + 1];
                        at += 2;
                    }
                }
                share.pull = free - z[at];
                if cup.radius > 0.0 {
                    share.roll = DVec2::new(z[at + 1], z[at + 2]);
                }
            }
            share.times(per)
        };
        let mut row = 1;
        let each = contacts.iter().zip(holds).map(|(cup, holds)| {
            let rows = row..row + rows_of(cup);
            row = rows.end;
            share(cup, holds, rows)
        });
        each.collect()
    }
}

/// Rows that a cup has in the programme.
fn rows_of(cup: &Contact) -> usize {
    let slides = if cup.twist_arm > 0.0 { 4 } else { 3 };
    if !cup.leans() && cup.seal_force == 0.0 {
        return slides;
    }
    let sides = [cup.core.x, cup.core.y].into_iter().filter(|half| *half > 0.0).count();
    slides + 2 * sides + if cup.radius > 0.0 { 3 } else { 1 }
}

/// Whether a solve came to a result as good as was asked for.
fn is_settled(status: SolverStatus) -> bool {
    matches!(status, SolverStatus::Solved | SolverStatus::DualInfeasible | SolverStatus::PrimalInfeasible)
}

/// Refining the solution of each linear system takes a third of the time, and these small systems, scaled by hand, hardly
/// ever need it: only a solve that did not settle is repeated with it.
fn settings(refine: bool) -> DefaultSettings<f64> {
    DefaultSettings {
        iterative_refinement_enable: refine,
        verbose: false,
        max_iter: MOST,
        tol_gap_abs: PRECISION,
        tol_gap_rel: PRECISION,
        tol_feas: PRECISION,
        reduced_tol_gap_abs: ENOUGH,
        reduced_tol_gap_rel: ENOUGH,
        reduced_tol_feas: ENOUGH,
        // The data are scaled by hand, and updates need the structure as it is.
        equilibrate_enable: false,
        presolve_enable: false,
        ..DefaultSettings::default()
    }
}

/// A solver of nothing, to be replaced.
fn idle() -> Option<DefaultSolver<f64>> {
    let empty = CscMatrix::zeros((1, 1));
    let cone = [ZeroConeT(1)];
    DefaultSolver::new(&empty, &[0.0], &empty, &[0.0], &cone, settings(false)).ok()
}
