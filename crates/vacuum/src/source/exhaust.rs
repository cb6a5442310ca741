//! What stands behind an ejector, and what it costs in flow and level.

use crate::Air;
use crate::air::kg_s_from_nl_min;
use crate::friction::Friction;
use crate::line::Line;
use crate::restriction::Restriction;
use units::AbsolutePressure;

/// Halvings of the back-pressure by which it is found, and the most that is looked for over the atmosphere outside.
const HALVINGS: u32 = 60;
const MOST_TIMES: f64 = 100.0;
/// What is left of an ejector at least, so that it stays a source.
const LEAST_SHARE: f64 = 1e-3;

/// Hose and silencer behind an ejector. Its exhaust is the air it is fed with and the air it draws; what that needs to get out
/// is the back-pressure, and flow and deepest level fall with it.
///
/// # Units
/// Losses: share per kPa.
#[derive(Debug, Clone, PartialEq)]
pub struct Exhaust {
    /// The hose.
    pub hose: Line,
    /// At its end.
    pub silencer: Option<Restriction>,
    /// Share of the flow lost for each kPa of back-pressure while it draws freely.
    pub flow_loss_per_kpa: f64,
    /// Share of the deepest level lost for each kPa of back-pressure while it draws nothing.
    pub level_loss_per_kpa: f64,
}

/// What the exhaust of an ejector costs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExhaustTakes {
    /// Pressure behind it above the atmosphere while it draws freely, kPa.
    pub back_pressure_kpa: f64,
    /// Share of its free flow that is left.
    pub flow_left: f64,
    /// Share of its deepest level that is left.
    pub level_left: f64,
    /// The air cannot get out: nothing is left of level or flow that figures could be worked out from.
    pub all: bool,
}

impl Exhaust {
    /// Pressure behind the ejector above the atmosphere at a flow in litres ANR per minute, kPa.
    ///
    /// # Source
    /// The silencer by ISO 6358, see [`Restriction::flow`]; the hose by isothermal pipe flow, see [`Line`].
    ///
    /// ```
    /// use units::AbsolutePressure;
    /// use vacuum::{Air, Exhaust, Line, Restriction};
    ///
    /// let silencer = Restriction { conductance_dm3_s_bar: 3.0, critical_ratio: 0.3 };
    /// let exhaust = Exhaust { hose: Line::default(), silencer: Some(silencer), flow_loss_per_kpa: 0.02, level_loss_per_kpa: 0.01 };
    /// let behind = exhaust.back_pressure_kpa(150.0, &Air::default()); // L/min ANR
    /// let (from, to) = (AbsolutePressure::from_kpa(101.325 + behind), AbsolutePressure::from_kpa(101.325));
    /// assert!((silencer.flow(from, to, &Air::default()).nl_min - 150.0).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn back_pressure_kpa(&self, nl_min: f64, air: &Air) -> f64 {
        let before_silencer = self.silencer.map_or(air.ambient.kpa(), |silencer| {
            let passes = |kpa: f64| silencer.flow(AbsolutePressure::from_kpa(kpa), air.ambient, air).nl_min;
            let (mut low, mut high) = (air.ambient.kpa(), MOST_TIMES * air.ambient.kpa());
            for _ in 0..HALVINGS {
                let middle = 0.5 * (low + high);
                if passes(middle) < nl_min { low = middle } else { high = middle }
            }
            0.5 * (low + high)
        });
        let lost = self.hose.parts(air, Friction::default()).drop(kg_s_from_nl_min(nl_min)).0;
        ((before_silencer * 1e3).powi(2) + lost).sqrt() * 1e-3 - air.ambient.kpa()
    }

    /// What stands behind an ejector that uses and draws so much, litres ANR per minute.
    pub(super) fn takes(&self, used: f64, drawn: f64, air: &Air) -> ExhaustTakes {
        let (flow_left, level_left) = self.left(used, drawn, air);
        let back_pressure_kpa = self.back_pressure_kpa(used + drawn, air);
        ExhaustTakes {
            back_pressure_kpa,
            flow_left,
            level_left,
            all: level_left.min(flow_left) <= LEAST_SHARE,
        }
    }

    /// What is left of the free flow of an ejector that uses and draws so much, litres ANR per minute, and of its deepest level.
    pub(super) fn left(&self, used: f64, drawn: f64, air: &Air) -> (f64, f64) {
        let share =
            |loss: f64, flow: f64| (1.0 - loss * self.back_pressure_kpa(flow, air)).clamp(LEAST_SHARE, 1.0);
        (share(self.flow_loss_per_kpa, used + drawn), share(self.level_loss_per_kpa, used))
    }

    pub(super) fn fault(&self) -> Option<String> {
        let losses = [self.flow_loss_per_kpa, self.level_loss_per_kpa];
        if losses.iter().any(|loss| !(0.0..=1.0).contains(loss)) {
            return Some("the loss of its exhaust per kPa is below 0 or above 100 %".to_owned());
        }
        let silencer = self.silencer.and_then(|silencer| silencer.fault());
        let fault = self.hose.hose.and_then(|_| self.hose.fault()).or(silencer);
        fault.map(|fault| format!("its exhaust: {fault}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{CurveShape, Ejector, FeedRow, Hose, Source};
    use units::VacuumLevel;

    fn ejector(exhaust: Option<Exhaust>) -> Source {
        let row =
            FeedRow { feed_kpa: 400.0, free_flow_nl_min: 60.0, ultimate_kpa: 80.0, consumption_nl_min: 90.0 };
        let source = Source::ejector(Ejector { shape: CurveShape::Linear, rows: vec![row] }, 400.0);
        Source { exhaust, ..source }
    }

    fn hose(length_mm: f64, bore_mm: f64, silencer: Option<Restriction>) -> Exhaust {
        let hose = Line::hose(Hose::new(length_mm, bore_mm));
        Exhaust { hose, silencer, flow_loss_per_kpa: 0.02, level_loss_per_kpa: 0.01 }
    }

    /// Against Blasius' friction (1913, any text): f = 0.3164/Re^0.25, p1² - p2² = (m/A)² R T f L/D.
    #[test]
    fn a_long_hose_has_the_back_pressure_of_pipe_flow() {
        let (air, exhaust) = (Air::default(), hose(3000.0, 8.0, None));
        let m = kg_s_from_nl_min(150.0);
        let area = std::f64::consts::FRAC_PI_4 * 8e-3 * 8e-3;
        let re = 4.0 * m / (std::f64::consts::PI * 8e-3 * 18.134e-6);
        let lost = (m / area).powi(2) * air.rt() * 0.3164 / re.powf(0.25) * 3.0 / 8e-3;
        let by_hand = (air.ambient_pa().powi(2) + lost).sqrt() * 1e-3 - air.ambient.kpa();
        let found = exhaust.back_pressure_kpa(150.0, &air);
        assert!((found / by_hand - 1.0).abs() < 0.06, "{found} {by_hand}");
    }

    #[test]
    fn flow_and_level_fall_with_the_back_pressure() {
        let air = Air::default();
        let silencer = Restriction { conductance_dm3_s_bar: 4.0, critical_ratio: 0.3 };
        let exhaust = hose(2000.0, 8.0, Some(silencer));
        let (free, throttled) = (ejector(None), ejector(Some(exhaust.clone())));
        let at_rest = |source: &Source| source.flow_nl_min(VacuumLevel::from_kpa(0.0), &air).unwrap();
        let deepest = |source: &Source| source.deepest(&air).unwrap().kpa();
        let flow = 1.0 - 0.02 * exhaust.back_pressure_kpa(150.0, &air);
        let level = 1.0 - 0.01 * exhaust.back_pressure_kpa(90.0, &air);
        assert!(flow < 0.98 && level < 0.99);
        assert!((at_rest(&throttled) / at_rest(&free) - flow).abs() < 1e-9);
        assert!((deepest(&throttled) / deepest(&free) - level).abs() < 1e-9);
        // A wide and short one takes next to nothing.
        let wide = ejector(Some(hose(100.0, 25.0, None)));
        assert!(at_rest(&wide) > 0.999 * at_rest(&free));
    }
}
