//! The bound as it is checked: multipliers evaluated without any solver.

use super::bound::{BoundTask, Certificate};
use super::onset::six;
use glam::DVec3;

/// What evaluating a sum of some thousand products may be off by, relative.
const ROUNDING: f64 = 1e-11;

/// Which places may be taken, and how many of them.
pub(super) struct Free {
    /// By place: whether it may be taken beside the locked ones.
    pub open: Vec<bool>,
    pub locked: Vec<bool>,
    /// Members and how many may still be taken.
    pub groups: Vec<(Vec<usize>, usize)>,
}

impl Free {
    pub(super) fn of(task: &BoundTask) -> Self {
        let places = task.lips.len();
        let mut locked = vec![false; places];
        for &place in task.locked.iter().filter(|place| **place < places) {
            locked[place] = true;
        }
        let mut open: Vec<bool> = locked.iter().map(|locked| !locked).collect();
        for clique in &task.cliques {
            if clique.iter().any(|&place| locked.get(place).copied().unwrap_or(false)) {
                clique.iter().filter(|place| **place < places).for_each(|&place| open[place] = false);
            }
        }
        let groups = task.counts.iter().map(|(kind, cups)| {
            let of_kind = |place: &usize| kind.is_none_or(|kind| task.kinds.get(*place) == Some(&kind));
            let taken = (0..places).filter(of_kind).filter(|&place| locked[place]).count();
            let members = (0..places).filter(of_kind).filter(|&place| open[place]).collect();
            (members, cups.saturating_sub(taken))
        });
        Self { groups: groups.collect(), open, locked }
    }
}

/// The bound that multipliers prove: velocities of the part, three and three numbers for each instance (per N and per N·mm), and one
/// number for each clique. `None` where they prove nothing.
///
/// For any velocities v_j and any set of places that carries the instances s times, s Σ v_j·scaled_j = Σ v_j·(loads of the cups) -
/// Σ v_j·fixed_j, and no cup has more power than [`Onset`](super::Onset) says. So s is at most what the best places allowed have,
/// over Σ v_j·scaled_j. Numbers of cliques only ever weaken that where they are wrong.
///
/// # Source
/// Weak duality of a conic programme (Boyd & Vandenberghe, *Convex Optimization*, 5.9, from memory).
pub fn certify(task: &BoundTask, velocities: &[[f64; 6]], cliques: &[f64]) -> Option<Certificate> {
    let free = Free::of(task);
    let mut velocities = velocities.to_vec();
    if velocities.len() != task.instances.len() {
        return None;
    }
    let mut worth = vec![0.0; task.lips.len()];
    for (instance, velocity) in task.instances.iter().zip(&mut velocities) {
        let taken = |place: &usize| free.open[*place] || free.locked[*place];
        if instance.press.is_none() {
            // Moved away from all cups until pressing on gives nothing.
            let short =
                (0..task.lips.len()).filter(taken).filter(|&place| task.lips[place].holds()).map(|place| {
                    let of = motion(task, place, velocity);
                    of.rolling + of.sliding - of.parting
                });
            let short = short.fold(0.0, f64::max);
            if short > 0.0 {
                velocity[2] -= short * (1.0 + ROUNDING);
            }
        }
        for place in (0..task.lips.len()).filter(taken) {
            let of = motion(task, place, velocity);
            // After the shift a last digit may still be short.
            let mut of = of;
            if instance.press.is_none() {
                of.parting = of.parting.max(of.rolling + of.sliding);
            }
            worth[place] += task.lips[place].power(&of, instance.press);
        }
    }
    let dot = |a: [f64; 6], b: &[f64; 6]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let power: f64 =
        task.instances.iter().zip(&velocities).map(|(of, velocity)| dot(six(&of.scaled), velocity)).sum();
    let fixed: f64 =
        task.instances.iter().zip(&velocities).map(|(of, velocity)| dot(six(&of.fixed), velocity)).sum();
    if !(power > 0.0 && power.is_finite()) {
        return None;
    }
    let of_locked: f64 = (0..worth.len()).filter(|&place| free.locked[place]).map(|place| worth[place]).sum();
    // Of the places in one part of the plan the best counts.
    let cells = (task.cells.len() == worth.len()).then(|| {
        let most = task.cells.iter().max().map_or(0, |most| *most as usize + 1);
        (&task.cells, most)
    });
    let total = |cliques: &[f64]| {
        let mut left = worth.clone();
        let mut sum = of_locked - fixed;
        for (clique, &price) in task.cliques.iter().zip(cliques) {
            let price = price.max(0.0) * power;
            sum += price;
            for &place in clique {
                if let Some(left) = left.get_mut(place) {
                    *left -= price;
                }
            }
        }
        for (members, most) in &free.groups {
            let mut of: Vec<f64> = match &cells {
                None => members.iter().map(|&place| left[place].max(0.0)).collect(),
                Some(cells) => {
                    let mut most = vec![0.0_f64; cells.1];
                    for &place in members {
                        let held = &mut most[cells.0[place] as usize];
                        *held = held.max(left[place]);
                    }
                    most
                }
            };
            of.sort_unstable_by(|a, b| b.total_cmp(a));
            sum += of.iter().take(*most).sum::<f64>();
        }
        sum / power
    };
    let (with, without) = (total(cliques), total(&[]));
    let (value, prices) = if with <= without { (with, cliques.to_vec()) } else { (without, Vec::new()) };
    if !value.is_finite() {
        return None;
    }
    let value = value.max(0.0) * (1.0 + ROUNDING);
    velocities.iter_mut().for_each(|velocity| *velocity = velocity.map(|v| v / power));
    let worth = worth.into_iter().map(|worth| worth / power).collect();
    Some(Certificate { value, velocities, prices, worth })
}

fn motion(task: &BoundTask, place: usize, velocity: &[f64; 6]) -> super::onset::Motion {
    let [x, y, z, a, b, c] = *velocity;
    task.lips[place].motion(DVec3::new(x, y, z), DVec3::new(a, b, c))
}
