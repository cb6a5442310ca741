//! A hose with its fittings: one path of air from node to node.

use crate::air::{Air, nl_min_from_kg_s};
use crate::fitting::{Fitting, FittingKind};
use crate::friction::{Friction, coiled};
use std::f64::consts::PI;
use units::AbsolutePressure;

/// Roughness of drawn plastic hose and tube, mm: smooth at these Reynolds numbers (common practice, no source).
pub const SMOOTH_HOSE_ROUGHNESS_MM: f64 = 0.0015;

/// Reynolds number up to which flow in a straight hose counts as laminar, and from which as turbulent. In between it is
/// neither: friction there differs by a factor of two between the two laws.
pub const LAMINAR_UP_TO: f64 = 2000.0;
/// See [`LAMINAR_UP_TO`].
pub const TURBULENT_FROM: f64 = 4000.0;

/// Hose wound to a coil, as spare hose often is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coil {
    /// How much of the hose's length is wound up, mm.
    pub length_mm: f64,
    /// Diameter of the coil to the middle of the hose, mm.
    pub diameter_mm: f64,
}

/// A hose, tube or drilled channel of one bore.
///
/// # Units
/// mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hose {
    /// Length, coil included.
    pub length_mm: f64,
    /// Inner diameter.
    pub bore_mm: f64,
    /// Roughness of the wall.
    pub roughness_mm: f64,
    /// The part of it that is wound up, if any.
    pub coil: Option<Coil>,
}

impl Hose {
    /// A straight smooth hose of a length and bore, mm.
    #[must_use]
    pub const fn new(length_mm: f64, bore_mm: f64) -> Self {
        Self { length_mm, bore_mm, roughness_mm: SMOOTH_HOSE_ROUGHNESS_MM, coil: None }
    }

    /// Volume of air in it, cm³.
    #[must_use]
    pub fn volume_cm3(&self) -> f64 {
        PI / 4.0 * self.bore_mm * self.bore_mm * self.length_mm * 1e-3
    }
}

/// One path of air from node to node: a hose, fittings, or both, passed one after the other.
///
/// Isothermal flow of an ideal gas with friction: p1² - p2² = (m/A)² R T (f L/D + K + K_low/Re), every part at its own
/// bore. With [`Line::kinetic`] the air's acceleration is counted too, 2 ln(p1/p2) more in the bracket, and the flow
/// chokes where it reaches the isothermal speed of sound at the outlet. Without it a short hose behind an open cup passes 14
/// to 77 % too much; through leaking cups the difference is 0.3 to 4 %.
///
/// # Source
/// Isothermal pipe flow: Perry's *Chemical Engineers' Handbook*, 8th ed., section 6; Shapiro 1953 for choking (from memory).
///
/// # Example
/// ```
/// use units::AbsolutePressure;
/// use vacuum::{Air, Fitting, FittingKind, Friction, Hose, Line, Regime};
///
/// let line = Line::hose(Hose::new(3000.0, 8.0)) // mm
///     .with(Fitting::new(FittingKind::Elbow90, 6.0));
/// let (from, to) = (AbsolutePressure::from_kpa(50.0), AbsolutePressure::from_kpa(40.0));
/// let flow = line.flow(from, to, &Air::default(), Friction::default());
/// assert!(flow.nl_min > 50.0 && flow.regime == Regime::Turbulent);
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Line {
    /// The hose, if there is one.
    pub hose: Option<Hose>,
    /// Fittings passed, each with its own bore.
    pub fittings: Vec<Fitting>,
    /// Count the air's acceleration, and let it choke.
    pub kinetic: bool,
}

/// How air moves in an element.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Regime {
    /// In layers; loss goes with flow.
    Laminar,
    /// Neither: loss may be up to twice as much or half.
    Transition,
    /// Whirling; loss goes with nearly the square of the flow.
    Turbulent,
    /// At the speed of sound: a deeper level downstream draws no more.
    Choked,
    /// Shut valve, check valve that holds, or nothing that flows.
    Closed,
}

impl Regime {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Laminar => "laminar",
            Self::Transition => "transition",
            Self::Turbulent => "turbulent",
            Self::Choked => "choked",
            Self::Closed => "closed",
        }
    }

    pub(crate) fn of_reynolds(re: f64) -> Self {
        match re {
            re if re <= LAMINAR_UP_TO => Self::Laminar,
            re if re < TURBULENT_FROM => Self::Transition,
            _ => Self::Turbulent,
        }
    }
}

/// Flow through one line between two pressures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineFlow {
    /// Mass flow, kg/s.
    pub kg_s: f64,
    /// The same, normal litres per minute.
    pub nl_min: f64,
    /// Largest Reynolds number on the way.
    pub reynolds: f64,
    /// Regime of that place.
    pub regime: Regime,
    /// Pressure at the end of the hose: the downstream pressure, or a higher one where flow is choked.
    pub outlet: AbsolutePressure,
}

/// Loss of one part of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartLoss {
    /// Which part: the hose (its coil included), or the fitting with this index.
    pub part: LinePart,
    /// Pressure lost in it, kPa.
    pub loss_kpa: f64,
}

/// A part of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinePart {
    /// The hose.
    Hose,
    /// A fitting, by its index in [`Line::fittings`].
    Fitting(usize),
}

impl Line {
    /// A hose without fittings.
    #[must_use]
    pub fn hose(hose: Hose) -> Self {
        Self { hose: Some(hose), ..Self::default() }
    }

    /// Fittings without a hose between them.
    #[must_use]
    pub fn fittings(fittings: Vec<Fitting>) -> Self {
        Self { fittings, ..Self::default() }
    }

    /// The line with one more fitting.
    #[must_use]
    pub fn with(mut self, fitting: Fitting) -> Self {
        self.fittings.push(fitting);
        self
    }

    /// The line with the air's acceleration counted, see [`Line`].
    #[must_use]
    pub fn with_acceleration(mut self) -> Self {
        self.kinetic = true;
        self
    }

    /// The line as the end of an open hose: air enters from rest through a sharp edge, and its acceleration counts.
    #[must_use]
    pub fn open_ended(mut self) -> Self {
        let bore = self.narrowest_mm().unwrap_or(1.0);
        self.fittings.push(Fitting::new(FittingKind::Entrance, bore));
        // From rest to the speed in the bore: one dynamic head more than the entrance loses.
        self.fittings.push(Fitting::stated(1.0, bore));
        self.with_acceleration()
    }

    /// The smallest bore on the way, mm.
    #[must_use]
    pub fn narrowest_mm(&self) -> Option<f64> {
        let bores = self.hose.iter().map(|h| h.bore_mm).chain(self.fittings.iter().map(|f| f.bore_mm));
        bores.reduce(f64::min)
    }

    /// Flow between two pressures, `from` the higher.
    ///
    /// A circuit solves all its lines together; this is for one line alone.
    #[must_use]
    pub fn flow(&self, from: AbsolutePressure, to: AbsolutePressure, air: &Air, law: Friction) -> LineFlow {
        let parts = self.parts(air, law);
        let (up, down) = (from.kpa() * 1e3, to.kpa().min(from.kpa()) * 1e3);
        let kinetic = if self.kinetic { parts.kinetic } else { 0.0 };
        // What the flow m would lose more than there is; rises with m.
        let excess = |m: f64| {
            let speed = kinetic * m * m;
            let end = (down * down).max(speed).min(up * up);
            parts.drop(m).0 + speed * (up * up / end).ln() - (up * up - end)
        };
        let rest = parts.laminar_slope();
        let (mut low, mut high) = (0.0, (up * up - down * down) / rest);
        if kinetic > 0.0 {
            high = f64::min(high, up / kinetic.sqrt());
        }
        // Bisection: laws are monotone, and one line is solved for a person, not in a loop.
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if excess(middle) > 0.0 { high = middle } else { low = middle }
        }
        let m = 0.5 * (low + high);
        let end = (kinetic * m * m).sqrt().max(down);
        let reynolds = parts.largest_reynolds(m);
        let choked = kinetic > 0.0 && end > down * (1.0 + 1e-9);
        LineFlow {
            kg_s: m,
            nl_min: nl_min_from_kg_s(m),
            reynolds,
            regime: if choked { Regime::Choked } else { Regime::of_reynolds(reynolds) },
            outlet: AbsolutePressure::from_kpa(end * 1e-3),
        }
    }

    /// Where a flow (normal litres per minute) that enters at a pressure loses it, part by part: the hose, then each fitting.
    ///
    /// The drop of squared pressure is shared out, so that the parts add up to the line's whole loss.
    #[must_use]
    pub fn losses(&self, nl_min: f64, entering: AbsolutePressure, air: &Air, law: Friction) -> Vec<PartLoss> {
        let m = crate::kg_s_from_nl_min(nl_min.abs());
        let mut squared = (entering.kpa() * 1e3).powi(2);
        let hose = self.hose.iter().map(|&h| (LinePart::Hose, Line::hose(h)));
        let fittings = self.fittings.iter().enumerate();
        let fittings = fittings.map(|(i, &f)| (LinePart::Fitting(i), Line::fittings(vec![f])));
        hose.chain(fittings)
            .map(|(part, alone)| {
                let before = squared;
                squared = (squared - alone.parts(air, law).plain_drop(m)).max(0.0);
                PartLoss { part, loss_kpa: (before.sqrt() - squared.sqrt()) * 1e-3 }
            })
            .collect()
    }

    pub(crate) fn parts(&self, air: &Air, law: Friction) -> Parts {
        let mut list = Vec::with_capacity(1 + self.fittings.len());
        if let Some(hose) = self.hose {
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
        for fitting in &self.fittings {
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
        let bore = self.hose.map(|hose| hose.bore_mm).or(self.narrowest_mm());
        let kinetic = bore.map_or(0.0, |bore| Part::scale(bore, air));
        Parts { list, kinetic }
    }

    /// What is wrong with the figures, if anything.
    pub(crate) fn fault(&self) -> Option<String> {
        if let Some(Hose { length_mm, bore_mm, roughness_mm, coil }) = self.hose {
            if !(bore_mm.is_finite() && bore_mm > 0.0) {
                return Some(format!("its bore is {bore_mm} mm; it must be more than 0"));
            }
            if !(length_mm.is_finite() && length_mm > 0.0) {
                return Some(format!("its length is {length_mm} mm; it must be more than 0"));
            }
            if !(0.0..=0.05).contains(&(roughness_mm / bore_mm)) {
                return Some(format!(
                    "its roughness of {roughness_mm} mm must lie between 0 and a 20th of its bore"
                ));
            }
            if let Some(Coil { length_mm: wound, diameter_mm }) = coil {
                if !(0.0..=length_mm).contains(&wound) {
                    return Some(format!(
                        "{wound} mm of it are wound up, but it is {length_mm} mm long; wind up no more than there is"
                    ));
                }
                if !(diameter_mm.is_finite() && diameter_mm >= 2.0 * bore_mm) {
                    return Some(format!(
                        "its coil is {diameter_mm} mm wide; a hose of {bore_mm} mm bore needs at least twice that"
                    ));
                }
            }
        } else if self.fittings.is_empty() {
            return Some("it has neither hose nor fitting; join its two nodes to one instead".to_owned());
        }
        self.fittings.iter().enumerate().find_map(|(i, f)| fitting_fault(i, f))
    }
}

fn fitting_fault(index: usize, fitting: &Fitting) -> Option<String> {
    let number = index + 1;
    if !(fitting.bore_mm.is_finite() && fitting.bore_mm > 0.0) {
        return Some(format!(
            "the bore of its fitting {number} is {} mm; it must be more than 0",
            fitting.bore_mm
        ));
    }
    let (k, k_low) = (fitting.k(), fitting.k_low());
    if !(k.is_finite() && k_low.is_finite() && k >= 0.0 && k_low >= 0.0) {
        return Some(format!(
            "the loss of its fitting {number} is {k} and {k_low}/Re; neither may be negative"
        ));
    }
    match fitting.kind {
        FittingKind::Expansion { to_mm: other } | FittingKind::Contraction { from_mm: other }
            if !(other.is_finite() && other >= fitting.bore_mm) =>
        {
            Some(format!(
                "its fitting {number} joins {} mm to {other} mm; state its loss at the smaller bore",
                fitting.bore_mm
            ))
        }
        _ => None,
    }
}

/// A line prepared for solving: its drop of squared pressure as a function of mass flow.
#[derive(Debug, Clone)]
pub(crate) struct Parts {
    list: Vec<Part>,
    /// R T / A² of the hose: times m² it is the squared pressure at which the flow would choke.
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
    fn plain_drop(&self, m: f64) -> f64 {
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn kpa(kpa: f64) -> AbsolutePressure {
        AbsolutePressure::from_kpa(kpa)
    }

    #[test]
    fn laminar_loss_falls_with_the_fourth_power_of_the_bore() {
        let slope = |bore: f64| {
            Line::hose(Hose::new(1000.0, bore)).parts(&Air::default(), Friction::Churchill).drop(1e-5).0
        };
        assert!((slope(4.0) / slope(6.0) - 1.5_f64.powi(4)).abs() < 1e-6);
    }

    #[test]
    fn losses_of_the_parts_add_up() {
        let line = Line::hose(Hose {
            coil: Some(Coil { length_mm: 500.0, diameter_mm: 100.0 }),
            ..Hose::new(2000.0, 6.0)
        })
        .with(Fitting::new(FittingKind::Elbow90, 6.0))
        .with(Fitting::new(FittingKind::TeeBranch, 4.0));
        let (air, law) = (Air::default(), Friction::Churchill);
        let flow = line.flow(kpa(50.0), kpa(42.0), &air, law);
        let losses = line.losses(flow.nl_min, kpa(50.0), &air, law);
        let sum: f64 = losses.iter().map(|loss| loss.loss_kpa).sum();
        assert!((sum - 8.0).abs() < 1e-6, "{sum}");
        assert!(losses.iter().all(|loss| loss.loss_kpa > 0.0) && losses.len() == 3);
    }

    #[test]
    fn an_open_end_passes_less_than_the_same_line_without_acceleration() {
        let line = Line::hose(Hose::new(150.0, 6.0));
        let flow = |line: &Line| line.flow(kpa(101.325), kpa(20.0), &Air::default(), Friction::Churchill);
        let open = flow(&line.clone().open_ended());
        assert_eq!(open.regime, Regime::Choked);
        assert!(open.outlet.kpa() > 20.0 && open.kg_s < 0.7 * flow(&line).kg_s);
    }

    proptest! {
        #[test]
        fn slope_is_that_of_the_drop(
            length in 20.0..5000.0_f64, bore in 2.0..25.0_f64, m in -5e-3..5e-3_f64, coil in 0.0..1.0_f64, k in 0.0..5.0_f64,
        ) {
            prop_assume!(m.abs() > 1e-7);
            let wound = Coil { length_mm: coil * length, diameter_mm: 10.0 * bore };
            let line = Line::hose(Hose { coil: Some(wound), ..Hose::new(length, bore) })
                .with(Fitting::stated(k, bore)).with(Fitting::new(FittingKind::Elbow90, 0.8 * bore));
            let parts = line.parts(&Air::default(), Friction::Churchill);
            let h = m.abs() * 1e-6;
            let expected = (parts.drop(m + h).0 - parts.drop(m - h).0) / (2.0 * h);
            let slope = parts.drop(m).1;
            prop_assert!((slope - expected).abs() <= 2e-3 * slope, "{slope} {expected}");
            prop_assert!(slope > 0.0);
        }

        #[test]
        fn flow_loses_what_there_is_to_lose(
            length in 20.0..5000.0_f64, bore in 2.0..25.0_f64, up in 30.0..101.0_f64, share in 0.2..0.99_f64,
        ) {
            let line = Line::hose(Hose::new(length, bore));
            let (air, law) = (Air::default(), Friction::Churchill);
            let flow = line.flow(kpa(up), kpa(share * up), &air, law);
            let lost: f64 = line.losses(flow.nl_min, kpa(up), &air, law).iter().map(|l| l.loss_kpa).sum();
            prop_assert!((lost - (1.0 - share) * up).abs() < 1e-6);
        }
    }
}
