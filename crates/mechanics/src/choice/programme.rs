//! The bound as a cone programme, written for velocities of the part.
//!
//! With the velocity v_j of the part in instance j, cup i has n = parting, slide t, rolling r and turning z; d >= grip |(t, arm z)|,
//! p (pressing on, where that is limited) >= 0, n + p - d >= h*(r). Its worth is Σ_j (n + p)(F - seal) + d seal + p press, and
//!
//! minimise Σ k λ + Σ μ + Σ ν + Σ locked worth - Σ v_j·fixed_j, Σ v_j·scaled_j = 1, λ, μ, ν >= 0, and for every place that may be
//! taken ν + λ of its groups + μ of its cliques >= worth.
//!
//! Forces are over the mean vacuum force, lengths over the extent of the places, scaled loads over the largest entry of all.

use super::bound::{BoundTask, Stop};
use super::certificate::Free;
use super::onset::{Onset, six};
use crate::sparse::Entries;
use clarabel::algebra::CscMatrix;
use clarabel::solver::SupportedConeT::{NonnegativeConeT, SecondOrderConeT, ZeroConeT};
use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, SolverStatus};
use glam::DVec2;

/// Tolerance of the solver for gap and residuals, in scaled terms: the bound is checked apart from it, so that a loose one is a
/// little weaker and never wrong.
const PRECISION: f64 = 1e-8;
/// What still counts as solved when the last digits will not come.
const ENOUGH: f64 = 1e-6;
/// Iterations; the usual number is 15 to 30.
const MOST: u32 = 100;

/// What a solve gives.
pub(super) enum Outcome {
    Solved {
        /// Of the places that were solved for.
        objective: f64,
        /// Per N and per N·mm, to a scale of their own.
        velocities: Vec<[f64; 6]>,
        /// Of the cliques, in scores.
        prices: Vec<f64>,
    },
    Unlimited,
    /// What is fixed is too much by itself.
    TooMuch,
    NotConverged,
}

/// Solves for some places, those that are locked among them.
pub(super) fn solve(task: &BoundTask, free: &Free, some: &[usize], stop: &Stop) -> Outcome {
    let Some(scale) = Scale::of(task, some) else { return Outcome::NotConverged };
    let mut e = Entries::default();
    let mut power = Vec::new();
    let velocities: Vec<usize> = task
        .instances
        .iter()
        .map(|instance| {
            let (fixed, scaled) = (scale.load(&six(&instance.fixed)), scale.load(&six(&instance.scaled)));
            let first = e.q.len();
            for (fixed, scaled) in fixed.into_iter().zip(scaled) {
                let column = e.column(-fixed);
                power.push((column, -scaled / scale.most));
            }
            first
        })
        .collect();
    e.row(1.0, power);
    e.cones.push(ZeroConeT(1));
    let groups: Vec<usize> = free.groups.iter().map(|(_, most)| e.column(*most as f64)).collect();
    let cliques: Vec<usize> = task.cliques.iter().map(|_| e.column(1.0)).collect();
    let of_groups = |place: usize| {
        free.groups.iter().zip(&groups).filter(move |((members, _), _)| members.binary_search(&place).is_ok())
    };
    let mut above: Vec<Vec<(usize, f64)>> = Vec::new();
    let slack: Vec<Option<usize>> =
        some.iter().map(|&place| (!free.locked[place]).then(|| e.column(1.0))).collect();
    for (&place, slack) in some.iter().zip(&slack) {
        let mut worth = Vec::new();
        for (instance, &first) in task.instances.iter().zip(&velocities) {
            cup(&mut e, &scale, &task.lips[place], first, instance.press, &mut worth);
        }
        match slack {
            None => worth.iter().for_each(|&(column, value)| e.q[column] += value),
            Some(slack) => {
                let mut row: Vec<(usize, f64)> =
                    worth.iter().map(|&(column, value)| (column, -value)).collect();
                row.push((*slack, 1.0));
                row.extend(of_groups(place).map(|(_, &column)| (column, 1.0)));
                let in_clique =
                    task.cliques.iter().zip(&cliques).filter(|(clique, _)| clique.contains(&place));
                row.extend(in_clique.map(|(_, &column)| (column, 1.0)));
                above.push(row);
            }
        }
    }
    let prices: Vec<usize> =
        groups.iter().chain(&cliques).copied().chain(slack.iter().flatten().copied()).collect();
    let not_negative = prices.len() + above.len();
    for price in prices {
        e.row(0.0, [(price, 1.0)]);
    }
    for row in above {
        e.row(0.0, row);
    }
    if not_negative > 0 {
        e.cones.push(NonnegativeConeT(not_negative));
    }
    let matrix = e.summed();
    let quadratic = CscMatrix::zeros((e.q.len(), e.q.len()));
    let Ok(mut solver) = DefaultSolver::new(&quadratic, &e.q, &matrix, &e.b, &e.cones, settings()) else {
        return Outcome::NotConverged;
    };
    let stop = stop.clone();
    solver.set_termination_callback(move |_| stop.is_asked());
    solver.solve();
    let solution = &solver.solution;
    match solution.status {
        SolverStatus::Solved | SolverStatus::AlmostSolved => {}
        // No velocity has power: nothing limits the score.
        SolverStatus::PrimalInfeasible => return Outcome::Unlimited,
        // A velocity that gains without end: no set carries what is fixed.
        SolverStatus::DualInfeasible => return Outcome::TooMuch,
        _ => return Outcome::NotConverged,
    }
    if !solution.obj_val.is_finite() || solution.x.iter().any(|v| !v.is_finite()) {
        return Outcome::NotConverged;
    }
    let velocities = velocities.iter().map(|&first| {
        let of: [f64; 6] = std::array::from_fn(|i| solution.x[first + i]);
        scale.velocity(of)
    });
    Outcome::Solved {
        objective: solution.obj_val / scale.most,
        velocities: velocities.collect(),
        prices: cliques.iter().map(|&column| (solution.x[column] / scale.most).max(0.0)).collect(),
    }
}

/// The rows of one cup in one instance; what it is worth is added to `worth`.
fn cup(
    e: &mut Entries,
    scale: &Scale,
    lip: &Onset,
    first: usize,
    press: Option<f64>,
    worth: &mut Vec<(usize, f64)>,
) {
    let [vx, vy, vz, wx, wy, wz] = std::array::from_fn(|i| first + i);
    let at = (lip.at - scale.origin) / scale.length;
    let parting = [(vz, -1.0), (wx, -at.y), (wy, at.x)];
    let d = e.column(0.0);
    e.row(0.0, [(d, 1.0)]);
    e.row(0.0, [(vx, lip.grip), (wz, -lip.grip * at.y)]);
    e.row(0.0, [(vy, lip.grip), (wz, lip.grip * at.x)]);
    e.row(0.0, [(wz, lip.grip * lip.twist_arm / scale.length)]);
    e.cones.push(SecondOrderConeT(4));
    let (free, seal) = ((lip.vacuum_force - lip.seal_force) / scale.force, lip.seal_force / scale.force);
    let mut away: Vec<(usize, f64)> = parting.to_vec();
    worth.extend(parting.map(|(column, value)| (column, value * free)));
    worth.push((d, seal));
    if let Some(press) = press {
        let p = e.column(0.0);
        e.row(0.0, [(p, 1.0)]);
        e.cones.push(NonnegativeConeT(1));
        away.push((p, 1.0));
        worth.push((p, free + press / scale.force));
    }
    away.push((d, -1.0));
    // The rolling, mm² per rad over length: less a part within the rectangle it lies within the circle.
    let roll = lip.roll().map(|row| row / (scale.length * scale.length));
    let (core, radius) = (lip.core / scale.length, lip.radius / scale.length);
    let mut parts: [Vec<(usize, f64)>; 2] = roll.map(|row| vec![(wx, row.x), (wy, row.y)]);
    for (axis, half) in [core.x, core.y].into_iter().enumerate() {
        if half > 0.0 {
            let within = e.column(0.0);
            for sign in [1.0, -1.0] {
                let times = half;
                let row = away.iter().map(|&(column, value)| (column, value * times));
                e.row(0.0, row.chain([(within, sign)]));
            }
            e.cones.push(NonnegativeConeT(2));
            parts[axis].push((within, -1.0));
        }
    }
    let [along, across] = parts;
    if radius > 0.0 {
        e.row(0.0, away.iter().map(|&(column, value)| (column, value * radius)));
        e.row(0.0, along);
        e.row(0.0, across);
        e.cones.push(SecondOrderConeT(3));
    } else {
        e.row(0.0, away);
        e.cones.push(NonnegativeConeT(1));
        e.row(0.0, along);
        e.row(0.0, across);
        e.cones.push(ZeroConeT(2));
    }
}

struct Scale {
    origin: DVec2,
    /// N.
    force: f64,
    /// mm.
    length: f64,
    /// Largest entry of the scaled loads.
    most: f64,
}

impl Scale {
    fn of(task: &BoundTask, some: &[usize]) -> Option<Self> {
        let lips = || some.iter().map(|&place| &task.lips[place]);
        let count = some.len() as f64;
        let first = lips().next()?.at;
        let origin = first + lips().map(|lip| lip.at - first).sum::<DVec2>() / count;
        let force = lips().map(|lip| lip.vacuum_force).sum::<f64>() / count;
        let reach =
            |lip: &Onset| lip.at.distance(origin).max(lip.core.max_element() + lip.radius).max(lip.twist_arm);
        let length = lips().map(reach).fold(1.0, f64::max);
        let mut scale = Self { origin, force, length, most: 1.0 };
        let largest = |of: [f64; 6]| of.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
        scale.most =
            task.instances.iter().map(|of| largest(scale.load(&six(&of.scaled)))).fold(0.0, f64::max);
        (scale.most > 0.0 && scale.most.is_finite() && force > 0.0).then_some(scale)
    }

    /// A load about the middle of the places, without units.
    fn load(&self, [x, y, z, a, b, c]: &[f64; 6]) -> [f64; 6] {
        let o = self.origin;
        // Moment about the middle: less middle x force.
        let moment = [a - o.y * z, b + o.x * z, c - (o.x * y - o.y * x)];
        let [a, b, c] = moment.map(|m| m / (self.force * self.length));
        [x / self.force, y / self.force, z / self.force, a, b, c]
    }

    /// A velocity of the programme as one about the origin, per N and per N·mm.
    fn velocity(&self, [x, y, z, a, b, c]: [f64; 6]) -> [f64; 6] {
        let o = self.origin;
        let [a, b, c] = [a, b, c].map(|w| w / self.length);
        // At the origin: v - w x middle.
        [x + c * o.y, y - c * o.x, z - (a * o.y - b * o.x), a, b, c]
    }
}

fn settings() -> DefaultSettings<f64> {
    DefaultSettings {
        verbose: false,
        max_iter: MOST,
        tol_gap_abs: PRECISION,
        tol_gap_rel: PRECISION,
        tol_feas: PRECISION,
        reduced_tol_gap_abs: ENOUGH,
        reduced_tol_gap_rel: ENOUGH,
        reduced_tol_feas: ENOUGH,
        ..DefaultSettings::default()
    }
}
