//! Ways for air to enter: through the part, under the lip, through an open bore.

use crate::air::{Air, kg_s_from_nl_min};
use crate::restriction::Restriction;
use units::AbsolutePressure;

/// One way for air to enter at a node.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Leak {
    /// Through a porous part under a cup.
    ///
    /// Darcy's law for an isothermal ideal gas: m = P A (pa² - p²)/(2 R T). Straight through the sheet; in a thick board
    /// air also comes in sideways from around the lip, so that this is the least it leaks.
    Porous {
        /// Permeance, µm/(Pa·s).
        permeance_um_pa_s: f64,
        /// Area inside the sealing line, mm².
        area_mm2: f64,
        /// Thickness over inertial permeability (Forchheimer), without unit; 0 unless measured. Matters for coarse
        /// board at high flow.
        inertia: f64,
    },
    /// Under a lip that does not close: a slit along it, with friction in it and the speed of the air at its mouth one after the
    /// other. Below about 20 µm the flow is laminar and goes with the third power of the gap, well above it with the gap.
    LipGap {
        /// Length of the gap along the lip, mm.
        length_mm: f64,
        /// Height of the gap, mm.
        gap_mm: f64,
        /// How wide the lip bears, mm: the way of the air through the slit.
        lip_width_mm: f64,
    },
    /// Through a hole or an open bore into which air rushes at up to the speed of sound.
    Hole {
        /// Bore, mm.
        bore_mm: f64,
        /// Discharge coefficient.
        discharge: f64,
    },
    /// Through a restriction from the atmosphere, as a vent valve.
    Vent(Restriction),
    /// Air blown in through a restriction from a supply above the atmosphere, to release a part.
    Blow {
        /// The blow-off valve.
        through: Restriction,
        /// Pressure of the supply above the atmosphere, kPa.
        gauge_kpa: f64,
    },
    /// A flow that does not depend on the level, in litres ANR per minute.
    Flow {
        /// Litres ANR per minute.
        nl_min: f64,
    },
}

/// Discharge coefficient of a gap under a lip (sharp edge; common practice, no source).
const GAP_DISCHARGE: f64 = 0.7;

/// How a leak is solved: linear m + quadratic m² = Δ(p_up, p), or a constant flow.
#[derive(Debug, Clone, Copy)]
pub(crate) enum LeakLaw {
    /// `lin` Pa²·s/kg, `quad` Pa²·s²/kg², ratio `b`, upstream `up` Pa.
    Through { lin: f64, quad: f64, b: f64, up: f64 },
    /// kg/s.
    Constant(f64),
}

impl Leak {
    /// A porous part without an inertial term. Permeance µm/(Pa·s), area mm².
    #[must_use]
    pub const fn porous(permeance_um_pa_s: f64, area_mm2: f64) -> Self {
        Self::Porous { permeance_um_pa_s, area_mm2, inertia: 0.0 }
    }

    /// Air that enters while a pressure stands inside, litres ANR per minute.
    ///
    /// ```
    /// use units::{VacuumLevel, STANDARD_ATMOSPHERE};
    /// use vacuum::{Air, Leak};
    ///
    /// let area = std::f64::consts::PI * 20.0 * 20.0; // mm²
    /// let inside = VacuumLevel::from_kpa(40.0).absolute(STANDARD_ATMOSPHERE);
    /// let flow = Leak::porous(6.0, area).nl_min(inside, &Air::default());
    /// assert!((flow - 14.758).abs() < 1e-3);
    /// ```
    #[must_use]
    pub fn nl_min(&self, inside: AbsolutePressure, air: &Air) -> f64 {
        crate::nl_min_from_kg_s(self.law(air).flow(inside.kpa() * 1e3))
    }

    pub(crate) fn law(&self, air: &Air) -> LeakLaw {
        let up = air.ambient_pa();
        match *self {
            Self::Porous { permeance_um_pa_s, area_mm2, inertia } => {
                let area = area_mm2 * 1e-6;
                let lin = 2.0 * air.rt() / (permeance_um_pa_s * 1e-6 * area);
                LeakLaw::Through { lin, quad: 2.0 * air.rt() * inertia / (area * area), b: 0.0, up }
            }
            Self::LipGap { length_mm, gap_mm, lip_width_mm } => {
                // Laminar slit: m = w h³ (p1² - p2²) / (24 mu L R T) (plane Poiseuille flow of an ideal gas).
                let (w, h, l) = (length_mm * 1e-3, gap_mm * 1e-3, lip_width_mm * 1e-3);
                let slit = 24.0 * air.viscosity_pa_s() * l * air.rt() / (w * h.powi(3));
                let opening = Restriction::opening(length_mm * gap_mm, GAP_DISCHARGE);
                let slit_alone = LeakLaw::Through { lin: slit, quad: 0.0, b: 0.0, up };
                let opening_alone = LeakLaw::through(&opening, air, up);
                // Friction in the slit and the speed at its mouth one after the other: the drops add. Friction goes with the
                // squares of the pressures, the mouth chokes; how far it is the mouth that governs is judged half-way down,
                // so that one gap has one law. It goes over smoothly, and a wider gap never leaks less: the friction falls,
                // the opening and its critical ratio grow.
                let (slow, fast) = (slit_alone.flow(0.5 * up), opening_alone.flow(0.5 * up));
                let mouth = (slow * slow) / (slow * slow + fast * fast);
                let (by_mouth, quad) = restriction_terms(&opening, air);
                // A gap of next to nothing has figures beyond any number at its mouth: then there is the slit alone.
                if !(mouth > 0.0 && by_mouth.is_finite() && quad.is_finite()) {
                    return slit_alone;
                }
                LeakLaw::Through { lin: slit + mouth * by_mouth, quad, b: mouth * opening.critical_ratio, up }
            }
            Self::Hole { bore_mm, discharge } => {
                LeakLaw::through(&Restriction::orifice(bore_mm, discharge), air, up)
            }
            Self::Vent(restriction) => LeakLaw::through(&restriction, air, up),
            Self::Blow { through, gauge_kpa } => LeakLaw::through(&through, air, up + gauge_kpa * 1e3),
            Self::Flow { nl_min } => LeakLaw::Constant(kg_s_from_nl_min(nl_min)),
        }
    }

    /// The same way in, let through by so many times the air.
    pub(crate) fn times(self, many: f64) -> Self {
        match self {
            Self::Porous { permeance_um_pa_s, area_mm2, inertia } => Self::Porous {
                permeance_um_pa_s: permeance_um_pa_s * many,
                area_mm2,
                inertia: inertia / (many * many),
            },
            Self::LipGap { length_mm, gap_mm, lip_width_mm } => {
                Self::LipGap { length_mm: length_mm * many, gap_mm, lip_width_mm }
            }
            Self::Hole { bore_mm, discharge } => Self::Hole { bore_mm: bore_mm * many.sqrt(), discharge },
            Self::Vent(through) => Self::Vent(through.with_share(many)),
            Self::Blow { through, gauge_kpa } => Self::Blow { through: through.with_share(many), gauge_kpa },
            Self::Flow { nl_min } => Self::Flow { nl_min: nl_min * many },
        }
    }

    /// What is wrong with the figures, if anything.
    pub(crate) fn fault(&self) -> Option<String> {
        let positive = |value: f64, what: &str, unit: &str| {
            (!(value.is_finite() && value > 0.0))
                .then(|| format!("its {what} is {value} {unit}; it must be more than 0"))
        };
        match *self {
            Self::Porous { permeance_um_pa_s, area_mm2, inertia } => {
                positive(permeance_um_pa_s, "permeance", "µm/(Pa·s)")
                    .or_else(|| positive(area_mm2, "area", "mm²"))
                    .or_else(|| {
                        (!(inertia.is_finite() && inertia >= 0.0))
                            .then(|| format!("its inertial term is {inertia}; it must not be negative"))
                    })
            }
            Self::LipGap { length_mm, gap_mm, lip_width_mm } => positive(length_mm, "gap's length", "mm")
                .or_else(|| positive(gap_mm, "gap", "mm"))
                .or_else(|| positive(lip_width_mm, "lip's width", "mm")),
            Self::Hole { bore_mm, discharge } => positive(bore_mm, "bore", "mm").or_else(|| {
                (!(0.05..=1.0).contains(&discharge)).then(|| {
                    format!("its discharge coefficient is {discharge}; it must lie between 0.05 and 1")
                })
            }),
            Self::Vent(restriction) => restriction.fault(),
            Self::Blow { through, gauge_kpa } => {
                through.fault().or_else(|| positive(gauge_kpa, "supply", "kPa"))
            }
            Self::Flow { nl_min } => (!nl_min.is_finite()).then(|| format!("its flow is {nl_min}")),
        }
    }
}

/// Pressure at which a restriction's law is laminar rather than square-rooted: so small that the flow is off by less than
/// 1e-7 of the choked flow, and large enough that a circuit at rest has a finite slope.
const LAMINAR_SHARE: f64 = 1e-7;
/// Reference pressure of that share, Pa.
const REFERENCE_PA: f64 = 101_325.0;

/// Linear and quadratic term of a restriction's law.
pub(crate) fn restriction_terms(restriction: &Restriction, air: &Air) -> (f64, f64) {
    let k = restriction.mass_conductance(air);
    (LAMINAR_SHARE * REFERENCE_PA / k, 1.0 / (k * k))
}

impl LeakLaw {
    fn through(restriction: &Restriction, air: &Air, up: f64) -> Self {
        let (lin, quad) = restriction_terms(restriction, air);
        Self::Through { lin, quad, b: restriction.critical_ratio, up }
    }

    /// Flow into a node at a pressure in Pa, kg/s.
    pub(crate) fn flow(&self, p: f64) -> f64 {
        match *self {
            Self::Constant(m) => m,
            Self::Through { lin, quad, b, up } => flow_of(lin, quad, delta(b, up, p).0),
        }
    }
}

/// The m that solves lin m + quad m |m| = drop, written so that neither term may vanish nor cancel.
pub(crate) fn flow_of(lin: f64, quad: f64, drop: f64) -> f64 {
    let root = (lin * lin + 4.0 * quad * drop.abs()).sqrt();
    2.0 * drop / (lin + root)
}

/// Δ of m |m| = (C rho0)² Δ for pressures p1, p2, both directions and choked flow included, and its derivatives by
/// p1² and p2². With b = 0 it is p1² - p2².
///
/// # Source
/// The ISO 6358 ellipse rearranged: Δ = p1² - x², x = max(0, p2 - b p1)/(1 - b).
pub(crate) fn delta(b: f64, p1: f64, p2: f64) -> (f64, f64, f64) {
    if p1 >= p2 {
        let x = (p2 - b * p1).max(0.0) / (1.0 - b);
        (p1 * p1 - x * x, 1.0 + x * b / ((1.0 - b) * p1), -x / ((1.0 - b) * p2))
    } else {
        let (d, by_up, by_down) = delta(b, p2, p1);
        (-d, -by_down, -by_up)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn inside(kpa: f64) -> AbsolutePressure {
        AbsolutePressure::from_kpa(kpa)
    }

    #[test]
    fn so_many_times_the_air_is_so_many_times_the_flow_at_any_level() {
        let through = Restriction { conductance_dm3_s_bar: 2.0, critical_ratio: 0.3 };
        let ways = [
            Leak::Porous { permeance_um_pa_s: 2.0, area_mm2: 900.0, inertia: 3e6 },
            Leak::LipGap { length_mm: 100.0, gap_mm: 0.04, lip_width_mm: 1.0 },
            Leak::Hole { bore_mm: 1.2, discharge: 0.7 },
            Leak::Vent(through),
            Leak::Blow { through, gauge_kpa: 300.0 },
            Leak::Flow { nl_min: 7.0 },
        ];
        for (leak, kpa) in ways.into_iter().flat_map(|leak| [20.0, 60.0, 100.0].map(|kpa| (leak, kpa))) {
            let flow = |leak: Leak| leak.nl_min(inside(kpa), &Air::default());
            assert!((flow(leak.times(2.5)) / flow(leak) - 2.5).abs() < 1e-9, "{leak:?} {kpa}");
        }
    }

    #[test]
    fn a_narrow_gap_is_a_slit_and_a_wide_one_an_opening() {
        let gap = |mm: f64| Leak::LipGap { length_mm: 100.0, gap_mm: mm, lip_width_mm: 1.0 };
        let flow = |mm: f64| gap(mm).nl_min(inside(40.0), &Air::default());
        // Laminar: with the third power of the gap.
        assert!((flow(0.002) / flow(0.001) - 8.0).abs() < 1e-3);
        // Opening: with the area.
        assert!((flow(2.0) / flow(1.0) - 2.0).abs() < 1e-3);
        // Never more than either alone, and most below both where they are alike.
        for mm in [0.005, 0.02, 0.05, 0.2, 1.0] {
            let slit = 24.0 * Air::default().viscosity_pa_s() * 1e-3 * Air::default().rt()
                / (0.1 * (mm * 1e-3_f64).powi(3));
            let slit = crate::nl_min_from_kg_s((101_325.0_f64.powi(2) - 40e3_f64.powi(2)) / slit);
            let opening = Restriction::opening(100.0 * mm, GAP_DISCHARGE);
            let opening = opening.flow(inside(101.325), inside(40.0), &Air::default()).nl_min;
            assert!(
                flow(mm) < slit.min(opening) && flow(mm) > 0.55 * slit.min(opening),
                "{mm} {slit} {opening}"
            );
        }
    }

    #[test]
    fn inertia_only_ever_lessens_the_leak() {
        let plain = Leak::porous(20.0, 1000.0);
        let coarse = Leak::Porous { permeance_um_pa_s: 20.0, area_mm2: 1000.0, inertia: 1e6 };
        let (p, q) =
            (plain.nl_min(inside(50.0), &Air::default()), coarse.nl_min(inside(50.0), &Air::default()));
        assert!(q < p && q > 0.0);
    }

    #[test]
    fn a_gap_of_next_to_nothing_leaks_nothing() {
        for gap_mm in [1e-300, 1e-160, 1e-100, 1e-60, 1e-30] {
            let gap = Leak::LipGap { length_mm: 100.0, gap_mm, lip_width_mm: 1.0 };
            for kpa in [1e-9, 40.0, 101.325] {
                let flow = gap.nl_min(inside(kpa), &Air::default());
                assert!((0.0..1e-20).contains(&flow), "{gap_mm} {kpa}: {flow}");
            }
        }
    }

    proptest! {
        #[test]
        fn a_gap_leaks_without_a_jump_and_more_the_wider_and_the_deeper(
            length in 20.0..600.0_f64, gap in 1e-4..1.0_f64, wide in 0.2..6.0_f64, kpa in 1.0..99.0_f64,
        ) {
            let flow = |gap_mm: f64, kpa: f64| {
                Leak::LipGap { length_mm: length, gap_mm, lip_width_mm: wide }.nl_min(inside(kpa), &Air::default())
            };
            let here = flow(gap, kpa);
            // The steepest law is the third power, and a little more where the mouth begins to choke.
            let (wider, narrower) = (flow(gap * 1.0001, kpa), flow(gap * 0.9999, kpa));
            prop_assert!(wider >= here && here >= narrower, "{narrower} {here} {wider}");
            prop_assert!(wider <= here * 1.000_4 && narrower >= here * 0.999_6, "{narrower} {here} {wider}");
            prop_assert!(flow(gap, kpa * 0.99) >= here && flow(gap, (kpa * 1.01).min(101.0)) <= here);
        }

        #[test]
        fn derivatives_of_delta_are_right(b in 0.0..0.8_f64, p1 in 1e4..1e5_f64, p2 in 1e4..1e5_f64) {
            prop_assume!((p1 - p2).abs() > 100.0 && (p2.min(p1) - b * p1.max(p2)).abs() > 100.0);
            let (_, by1, by2) = delta(b, p1, p2);
            let h = 1.0;
            let n1 = (delta(b, p1 + h, p2).0 - delta(b, p1 - h, p2).0) / (4.0 * h * p1);
            let n2 = (delta(b, p1, p2 + h).0 - delta(b, p1, p2 - h).0) / (4.0 * h * p2);
            prop_assert!((by1 - n1).abs() < 1e-5 && (by2 - n2).abs() < 1e-5, "{by1} {n1} {by2} {n2}");
        }

        #[test]
        fn flow_solves_its_law(lin in 0.0..1e12_f64, quad in 1e10..1e17_f64, drop in -1e10..1e10_f64) {
            let m = flow_of(lin, quad, drop);
            prop_assert!((lin * m + quad * m * m.abs() - drop).abs() <= 1e-9 * drop.abs());
        }
    }
}
