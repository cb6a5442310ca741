//! A hose with its fittings: one path of air from node to node.

mod parts;

pub(crate) use parts::Parts;

use crate::air::{Air, nl_min_from_kg_s};
use crate::fitting::{Fitting, FittingKind};
use crate::friction::Friction;
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
    /// The same, litres ANR per minute.
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
        // The hose is entered; a narrower fitting further on has a loss of its own.
        let bore = self.hose.map(|hose| hose.bore_mm).or(self.narrowest_mm()).unwrap_or(1.0);
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

    /// Where a flow (litres ANR per minute) that enters at a pressure loses it, part by part: the hose, then each fitting.
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
        Parts::of(self, air, law)
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

#[cfg(test)]
mod tests;
