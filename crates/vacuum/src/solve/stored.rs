//! How much air a network's nodes hold at their pressures, where cups give way as they are drawn down.

use crate::network::Network;

/// Volume that every node has at least, m³: a cubic millimetre, so that each has a pressure of its own at any time.
const LEAST_VOLUME: f64 = 1e-9;
/// No cup is so soft that it gives all its travel within less, Pa.
const LEAST_FULL_PA: f64 = 1e3;
/// Halvings by which a pressure is found.
const BISECTIONS: usize = 50;

/// Air in one thing at a pressure.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Held {
    /// kg.
    pub mass: f64,
    /// Its derivative by the pressure, kg/Pa.
    pub slope: f64,
}

/// The air of all nodes.
#[derive(Debug, Clone)]
pub(crate) struct Stored {
    /// What stays as it is, kg/Pa per node.
    plain: Vec<f64>,
    /// Of the cups at each node.
    giving: Vec<Vec<Giving>>,
}

/// The part of a cup's volume that goes as it is drawn down.
#[derive(Debug, Clone, Copy)]
struct Giving {
    /// All of it, kg/Pa.
    extra: f64,
    /// Level from which it is gone, Pa.
    full: f64,
    ambient: f64,
}

impl Giving {
    /// What is left goes with (1 - level/full)²: soft at first and stiffer the further it is down, without a kink at the end.
    /// Above the atmosphere the cup stretches in the same manner.
    fn held(&self, p: f64) -> Held {
        let u = ((self.ambient - p) / self.full).clamp(-1.0, 1.0);
        let (share, by_u) = if u > 0.0 {
            ((1.0 - u) * (1.0 - u), -2.0 * (1.0 - u))
        } else {
            (2.0 - (1.0 + u) * (1.0 + u), -2.0 * (1.0 + u))
        };
        Held { mass: self.extra * p * share, slope: self.extra * (share - p * by_u / self.full) }
    }
}

impl Stored {
    /// The same whatever the pressure, kg/Pa per node.
    pub(crate) fn plain(plain: Vec<f64>) -> Self {
        Self { giving: vec![Vec::new(); plain.len()], plain }
    }

    /// Of a network with its cups as they are.
    pub(crate) fn of(network: &Network) -> Self {
        let (rt, ambient) = (network.air().rt(), network.air().ambient_pa());
        let volumes = network.volumes_cm3();
        let plain: Vec<f64> = volumes.iter().map(|cm3| (cm3 * 1e-6).max(LEAST_VOLUME) / rt).collect();
        let mut giving = vec![Vec::new(); plain.len()];
        for placed in network.spec().cups().iter().filter(|placed| !placed.cup.open) {
            let cup = &placed.cup;
            let extra = (cup.free_volume_cm3 - cup.held_volume_cm3).max(0.0) * 1e-6 / rt;
            let full = (cup.down_at_kpa * 1e3).max(LEAST_FULL_PA);
            if extra > 0.0 {
                giving[placed.node.0].push(Giving { extra, full, ambient });
            }
        }
        Self { plain, giving }
    }

    /// Tells of everything held, node by node; a node may come more than once.
    pub(crate) fn each(&self, squared: &[f64], mut tell: impl FnMut(usize, Held)) {
        for (node, (&plain, squared)) in self.plain.iter().zip(squared).enumerate() {
            let p = squared.sqrt();
            tell(node, Held { mass: plain * p, slope: plain });
            for giving in &self.giving[node] {
                tell(node, giving.held(p));
            }
        }
    }

    /// kg at one node at a pressure.
    pub(crate) fn mass_at(&self, node: usize, p: f64) -> f64 {
        self.plain[node] * p + self.giving[node].iter().map(|giving| giving.held(p).mass).sum::<f64>()
    }

    /// The pressure at which one node holds a mass, between two that it lies between: Newton's method from a pressure near it,
    /// by halves where that leads out of them.
    pub(crate) fn pressure_of(
        &self,
        node: usize,
        mass: f64,
        near: f64,
        (mut low, mut high): (f64, f64),
    ) -> f64 {
        let giving = &self.giving[node];
        if giving.is_empty() {
            return mass / self.plain[node];
        }
        let mut p = near.clamp(low, high);
        for _ in 0..BISECTIONS {
            let (mut over, mut slope) = (self.plain[node] * p - mass, self.plain[node]);
            for held in giving.iter().map(|giving| giving.held(p)) {
                (over, slope) = (over + held.mass, slope + held.slope);
            }
            if over > 0.0 {
                high = p
            } else {
                low = p
            }
            let next = p - over / slope;
            let next = if next > low && next < high { next } else { 0.5 * (low + high) };
            if (next - p).abs() <= 4.0 * f64::EPSILON * p {
                return next;
            }
            p = next;
        }
        p
    }

    /// kg per node.
    pub(crate) fn masses(&self, squared: &[f64]) -> Vec<f64> {
        let mut masses = vec![0.0; squared.len()];
        self.each(squared, |node, held| masses[node] += held.mass);
        masses
    }

    /// kg/Pa per node.
    pub(crate) fn slopes(&self, squared: &[f64]) -> Vec<f64> {
        let mut slopes = vec![0.0; squared.len()];
        self.each(squared, |node, held| slopes[node] += held.slope);
        slopes
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_cup_gives_is_smooth_and_rises_with_pressure() {
        let giving = Giving { extra: 1e-9, full: 20e3, ambient: 101_325.0 };
        let at = |level: f64| giving.held(101_325.0 - level);
        assert!((at(0.0).mass - 1e-9 * 101_325.0).abs() < 1e-15);
        assert_eq!(at(20e3).mass, 0.0);
        for level in [-30e3, -19e3, -5e3, -1.0, 1.0, 5e3, 19e3, 21e3] {
            let (low, high) = (at(level + 0.5), at(level - 0.5));
            let slope = high.mass - low.mass;
            assert!((slope - at(level).slope).abs() <= 1e-4 * at(level).slope.abs() + 1e-18, "{level}");
            assert!(slope >= 0.0);
        }
    }
}
