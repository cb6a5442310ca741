//! A line as a sum of losses in squared pressure.

use super::Line;
use crate::air::Air;
use crate::friction::{Friction, coiled};
use std::f64::consts::PI;

/// A line prepared for solving: its drop of squared pressure as a function of mass flow.
#[derive(Debug, Clone)]
pub(crate) struct Parts {
    list: Vec<Part>,
    /// R T / A² of the narrowest bore: times m² it is the squared pressure at which the flow would choke there.
    pub kinetic: f64,
}

#[derive(Debug, Clone, Copy)]
struct Part {
    /// R T / A².
    scale: f64,
    /// Reynolds number per mass flow.
    per_flow: f64,
    law: PartLaw,
}

#[derive(Debug, Clone, Copy)]
enum PartLaw {
    Pipe { law: Friction, slender: f64, rough: f64, curvature: f64 },
    Loss { k: f64, k_low: f64, bore_mm: f64 },
}

impl Part {
    fn scale(bore_mm: f64, air: &Air) -> f64 {
        let area = PI / 4.0 * (bore_mm * 1e-3).powi(2);
        air.rt() / (area * area)
    }

    fn new(bore_mm: f64, air: &Air, law: PartLaw) -> Self {
        let per_flow = 4.0 / (PI * bore_mm * 1e-3 * air.viscosity_pa_s());
        Self { scale: Self::scale(bore_mm, air), per_flow, law }
    }

    /// Drop of squared pressure and its derivative at a flow > 0.
    fn drop(&self, m: f64) -> (f64, f64) {
        let re = m * self.per_flow;
        match self.law {
            PartLaw::Pipe { law, slender, rough, curvature } => {
                let (f, slope) = if curvature > 0.0 {
                    coiled(law, re, rough, curvature)
                } else {
                    law.factor_and_slope(re, rough)
                };
                let s = self.scale * slender;
                (s * m * m * f, s * m * (2.0 * f + re * slope))
            }
            PartLaw::Loss { k, k_low, .. } => {
                let low = k_low / self.per_flow;
                (self.scale * m * (m * k + low), self.scale * (2.0 * m * k + low))
            }
        }
    }

    /// Derivative at rest.
    fn laminar_slope(&self) -> f64 {
        match self.law {
            PartLaw::Pipe { slender, .. } => self.scale * slender * 64.0 / self.per_flow,
            PartLaw::Loss { k_low, .. } => self.scale * k_low / self.per_flow,
        }
    }
}

/// Slope at rest of a line without any laminar loss: as though its narrowest bore were this many bores long. A circuit at rest
/// needs a finite slope.
const LEAST_SLENDERNESS: f64 = 0.01;

impl Parts {
    /// The parts of a line.
    pub(super) fn of(line: &Line, air: &Air, law: Friction) -> Self {
        let mut list = Vec::with_capacity(1 + line.fittings.len());
        if let Some(hose) = line.hose {
            let wound = hose.coil.map_or(0.0, |coil| coil.length_mm.min(hose.length_mm));
            let mut pipe = |length: f64, curvature: f64| {
                if length > 0.0 {
                    let rough = hose.roughness_mm / hose.bore_mm;
                    let slender = length / hose.bore_mm;
                    list.push(Part::new(hose.bore_mm, air, PartLaw::Pipe { law, slender, rough, curvature }));
                }
            };
            pipe(hose.length_mm - wound, 0.0);
            pipe(wound, hose.coil.map_or(0.0, |coil| hose.bore_mm / coil.diameter_mm));
        }
        for fitting in &line.fittings {
            let (k, k_low) = (fitting.k(), fitting.k_low());
            // Fittings of one bore are one loss: fewer terms for the solver.
            let same = list.iter_mut().find_map(|part: &mut Part| match &mut part.law {
                PartLaw::Loss { k, k_low, bore_mm } if *bore_mm == fitting.bore_mm => Some((k, k_low)),
                _ => None,
            });
            match same {
                Some((sum, sum_low)) => {
                    *sum += k;
                    *sum_low += k_low;
                }
                None => {
                    let loss = PartLaw::Loss { k, k_low, bore_mm: fitting.bore_mm };
                    list.push(Part::new(fitting.bore_mm, air, loss));
                }
            }
        }
        // Wherever the narrowest bore is, as though it were at the end, where air is thinnest: the careful side.
        let kinetic = line.narrowest_mm().map_or(0.0, |bore| Part::scale(bore, air));
        Self { list, kinetic }
    }

    /// Drop of squared pressure, Pa², odd in the flow (kg/s), and its derivative.
    pub(crate) fn drop(&self, m: f64) -> (f64, f64) {
        let least = self.least_slope();
        let size = m.abs();
        if size < 1e-14 {
            let slope = self.laminar_slope();
            return (slope * m, slope);
        }
        let (mut drop, mut slope) = (least * size, least);
        for part in &self.list {
            let (d, s) = part.drop(size);
            drop += d;
            slope += s;
        }
        (drop.copysign(m), slope)
    }

    /// Drop of squared pressure at a flow, Pa², without what is added for a finite slope at rest.
    pub(super) fn plain_drop(&self, m: f64) -> f64 {
        if m < 1e-14 { self.laminar_slope() * m } else { self.list.iter().map(|part| part.drop(m).0).sum() }
    }

    /// Derivative of the drop at rest.
    pub(crate) fn laminar_slope(&self) -> f64 {
        self.least_slope() + self.list.iter().map(Part::laminar_slope).sum::<f64>()
    }

    fn least_slope(&self) -> f64 {
        if self.list.iter().any(|part| part.laminar_slope() > 0.0) {
            return 0.0;
        }
        self.list.iter().map(|p| p.scale * LEAST_SLENDERNESS * 64.0 / p.per_flow).sum()
    }

    /// The largest Reynolds number at a flow.
    pub(crate) fn largest_reynolds(&self, m: f64) -> f64 {
        self.list.iter().map(|part| part.per_flow * m.abs()).fold(0.0, f64::max)
    }
}
