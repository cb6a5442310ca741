//! Hoses by bore, fittings with their losses, restrictions: what a form offers. Sizes are customary ones; figures are generic.

use crate::{FittingKind, Restriction};

/// A customary size of hose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoseSize {
    /// "8 mm", "3/8 in": of the bore.
    pub name: &'static str,
    /// Clear inside diameter, mm.
    pub bore_mm: f64,
    /// Outside diameter, mm.
    pub outer_mm: f64,
    /// Least radius of a bend without a kink, mm.
    pub bend_mm: f64,
    /// Counted in inches.
    pub inch: bool,
}

const fn metric(name: &'static str, bore_mm: f64, outer_mm: f64, bend_mm: f64) -> HoseSize {
    HoseSize { name, bore_mm, outer_mm, bend_mm, inch: false }
}
const fn inch(name: &'static str, bore_mm: f64, outer_mm: f64, bend_mm: f64) -> HoseSize {
    HoseSize { name, bore_mm, outer_mm, bend_mm, inch: true }
}

/// Hoses by rising bore, 2 to 25.4 mm, metric and inch sizes. Bores are customary; outside diameters and bend radii are
/// generic ones of soft plastic and wire-wound hose (common practice, no source): the hose's own data sheet counts.
///
/// ```
/// let eight = document::hoses().iter().find(|h| h.name == "8 mm").unwrap();
/// assert_eq!(eight.bore_mm, 8.0);
/// assert_eq!(document::next_bore_up(8.0).map(|h| h.name), Some("9 mm"));
/// ```
pub fn hoses() -> &'static [HoseSize] {
    const HOSES: &[HoseSize] = &[
        metric("2 mm", 2.0, 4.0, 10.0),
        metric("2.5 mm", 2.5, 4.0, 12.0),
        metric("3 mm", 3.0, 5.0, 15.0),
        inch("1/8 in", 3.175, 6.35, 15.0),
        metric("4 mm", 4.0, 6.0, 20.0),
        inch("3/16 in", 4.7625, 7.9375, 25.0),
        metric("5 mm", 5.0, 8.0, 25.0),
        metric("5.5 mm", 5.5, 8.0, 30.0),
        metric("6 mm", 6.0, 8.0, 35.0),
        inch("1/4 in", 6.35, 9.525, 38.0),
        metric("7 mm", 7.0, 10.0, 40.0),
        metric("8 mm", 8.0, 10.0, 50.0),
        metric("9 mm", 9.0, 12.0, 55.0),
        inch("3/8 in", 9.525, 14.2875, 60.0),
        metric("10 mm", 10.0, 14.0, 65.0),
        metric("11 mm", 11.0, 14.0, 75.0),
        metric("12 mm", 12.0, 16.0, 80.0),
        inch("1/2 in", 12.7, 19.05, 85.0),
        metric("13 mm", 13.0, 19.0, 85.0),
        metric("16 mm", 16.0, 22.0, 90.0),
        metric("19 mm", 19.0, 26.0, 100.0),
        inch("3/4 in", 19.05, 25.4, 100.0),
        metric("20 mm", 20.0, 27.0, 110.0),
        metric("25 mm", 25.0, 33.0, 130.0),
        inch("1 in", 25.4, 33.3375, 130.0),
    ];
    HOSES
}
/// The next larger size of the same kind of counting as the bore given, or of metric sizes for a bore that is none.
///
/// # Units
/// mm.
pub fn next_bore_up(bore_mm: f64) -> Option<&'static HoseSize> {
    let inch = hoses().iter().any(|h| h.inch && (h.bore_mm - bore_mm).abs() < 0.01);
    hoses().iter().find(|h| h.inch == inch && h.bore_mm > bore_mm + 0.01)
}

/// A fitting a form offers, with its loss.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittingPreset {
    /// Which.
    pub kind: FittingKind,
    /// n of K = n fT: loss coefficient over the fully rough friction factor of its bore.
    pub multiple: f64,
    /// What 1/Re is multiplied by in its loss at low Reynolds numbers; 0 where none is known.
    pub low: f64,
    /// Where the figures come from.
    pub origin: &'static str,
}
const CRANE: &str = "Crane, Flow of Fluids, Technical Paper 410, p. A-29 (partly from memory); low flow: \
    Hooper, Chemical Engineering 88(17), 1981 (from memory). Measured on steel pipe of 15 mm and more: for \
    push-in fittings a measured value is better";
const SWEPT: &str = "tee of Technical Paper 410 times the ratio of its converging-junction formulas at an equal split \
                     (from memory)";
const COMMON: &str = "common practice, no source";

/// Fittings of a hose with the losses that the calculation uses, and where they come from.
pub const FITTINGS: &[FittingPreset] = &[
    FittingPreset { kind: FittingKind::Straight, multiple: 2.0, low: 0.0, origin: COMMON },
    FittingPreset { kind: FittingKind::Elbow45, multiple: 16.0, low: 500.0, origin: CRANE },
    FittingPreset { kind: FittingKind::Elbow90, multiple: 30.0, low: 800.0, origin: CRANE },
    FittingPreset { kind: FittingKind::SweptRun, multiple: 15.0, low: 100.0, origin: SWEPT },
    FittingPreset { kind: FittingKind::SweptBranch, multiple: 32.0, low: 500.0, origin: SWEPT },
    FittingPreset { kind: FittingKind::WideBend, multiple: 12.0, low: 800.0, origin: CRANE },
    FittingPreset { kind: FittingKind::TeeRun, multiple: 20.0, low: 200.0, origin: CRANE },
    FittingPreset { kind: FittingKind::TeeBranch, multiple: 60.0, low: 800.0, origin: CRANE },
];

/// A restriction a form offers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RestrictionPreset {
    /// What it is for.
    pub is: RestrictionUse,
    /// The bore it is named by, mm.
    pub bore_mm: f64,
    /// Its figures, invented and generic.
    pub restriction: Restriction,
}
impl RestrictionPreset {
    /// "check valve, 6 mm".
    pub fn name(&self) -> String {
        format!("{}, {} mm", self.is.label(), self.bore_mm)
    }
}
/// What a restriction is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RestrictionUse {
    /// Keeps an open cup from emptying the circuit.
    Restrictor,
    /// Keeps the level when the source loses its own.
    CheckValve,
    /// Switches a zone.
    Valve,
    /// Keeps dirt from the source.
    Filter,
}

const fn preset(is: RestrictionUse, bore_mm: f64, c_dm3_s_bar: f64, b: f64) -> RestrictionPreset {
    RestrictionPreset { is, bore_mm, restriction: Restriction { c_dm3_s_bar, b } }
}
/// Restrictors, check valves, valves and filters, each use by rising bore: invented, generic figures. A restrictor has the
/// conductance of its bore at a discharge coefficient of 0.8 (0.199 dm³/(s·bar) for each mm² at 1, isentropic nozzle); a
/// check valve that of about a third of the area of its bore, a valve of half, a filter of two thirds.
pub const RESTRICTIONS: &[RestrictionPreset] = &[
    preset(RestrictionUse::Restrictor, 0.6, 0.045, 0.5),
    preset(RestrictionUse::Restrictor, 0.8, 0.08, 0.5),
    preset(RestrictionUse::Restrictor, 1.0, 0.125, 0.5),
    preset(RestrictionUse::Restrictor, 1.5, 0.28, 0.5),
    preset(RestrictionUse::Restrictor, 2.0, 0.5, 0.5),
    preset(RestrictionUse::CheckValve, 4.0, 0.85, 0.3),
    preset(RestrictionUse::CheckValve, 6.0, 1.9, 0.3),
    preset(RestrictionUse::CheckValve, 8.0, 3.4, 0.3),
    preset(RestrictionUse::CheckValve, 12.0, 7.6, 0.3),
    preset(RestrictionUse::CheckValve, 20.0, 21.0, 0.3),
    preset(RestrictionUse::Valve, 4.0, 1.25, 0.35),
    preset(RestrictionUse::Valve, 6.0, 2.8, 0.35),
    preset(RestrictionUse::Valve, 8.0, 5.0, 0.35),
    preset(RestrictionUse::Valve, 12.0, 11.2, 0.35),
    preset(RestrictionUse::Valve, 20.0, 31.0, 0.35),
    preset(RestrictionUse::Filter, 6.0, 3.7, 0.4),
    preset(RestrictionUse::Filter, 8.0, 6.6, 0.4),
    preset(RestrictionUse::Filter, 12.0, 15.0, 0.4),
    preset(RestrictionUse::Filter, 20.0, 41.0, 0.4),
    preset(RestrictionUse::Filter, 25.0, 65.0, 0.4),
];
/// What an ideal hole passes for each mm² of it, dm³/(s·bar) (isentropic nozzle, any gas dynamics text).
const IDEAL_HOLE: f64 = 0.199;
/// The restriction of a use whose bore fits a hose: the smallest that does not narrow it, or the largest there is; the next
/// smaller one where that would pass more than an ideal hole of the hose's bore, which nothing on that hose can.
///
/// # Units
/// mm.
///
/// ```
/// use document::{RestrictionUse, restriction_for};
/// // A valve of 20 mm would have 31 dm³/(s·bar), a hole of 13 mm has 26.4.
/// assert_eq!(restriction_for(RestrictionUse::Valve, 13.0).unwrap().bore_mm, 12.0);
/// assert_eq!(restriction_for(RestrictionUse::Valve, 10.0).unwrap().bore_mm, 12.0);
/// ```
pub fn restriction_for(is: RestrictionUse, bore_mm: f64) -> Option<&'static RestrictionPreset> {
    let of_use = || RESTRICTIONS.iter().filter(move |p| p.is == is);
    let most = IDEAL_HOLE * std::f64::consts::FRAC_PI_4 * bore_mm * bore_mm;
    let wide = of_use().position(|p| p.bore_mm >= bore_mm - 1e-9).unwrap_or(usize::MAX);
    let fitting = of_use().take(wide.saturating_add(1)).filter(|p| p.restriction.c_dm3_s_bar <= most);
    fitting.last().or_else(|| of_use().next())
}
