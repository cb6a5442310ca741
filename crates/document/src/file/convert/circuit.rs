//! Circuits, sources, cycle and trial, field by field.

use super::{Back, Out, m, v4};
use std::sync::Arc;

same_variants! {
    Arrangement { Central, PerCup, InLine }
    FittingKind { Elbow90, Elbow45, TeeRun, TeeBranch, SweptRun, SweptBranch, Straight, WideBend }
    FittingLoss { MoreCareful, Table, TwoConstant, ThreeConstant }
    Fed { OneEnd, BothEnds }
    SourceKind { Ejector, Pump, Blower }
    CurveFlow { Anr, Inlet }
    Stage { Baseline, Field }
    CurveKind { Evacuation, LeakDown }
}
same_fields! {
    Circuit = Circuit { id, name, level_kpa, thresholds, supply }
    Thresholds = Thresholds { held_kpa, alarm_kpa, saving_off_kpa, time_out_s, hold_s }
    Supply = Supply {
        source, arrangement, sources, feed_kpa, at, main, fitting_loss, manifold, branch, branches, restrictor, check_valve_at_cup, filter, filter_at_cup, dust,
        valves,
        lip_gap_um, area_gripper, cell_closing, operation
    }
    Operation = Operation {
        valve_s, switch_s, blow_off, motors_stop, vessel_ml, check_leak_nl_min, check_leak_at_kpa, exhaust
    }
    Exhaust = Exhaust { bore_mm, length_mm, silencer, flow_loss_per_kpa, level_loss_per_kpa }
    Line = Line { bore_mm, length, fittings, coil }
    Coil = Coil { turns, diameter_mm }
    BranchLine = BranchLine { cup, line }
    Manifold = Manifold { at, turn_deg, length_mm, bore_mm, ports, fed }
    Restriction = Restriction { c_dm3_s_bar, b }
    ZoneValve = ZoneValve { zone, restriction, check_valve, manifold }
    Cells = Cells { count, bore_mm, restrictor }
    Dust = Dust { load_g_m3, capacity_g, cleaned_h }
    CellClosing = CellClosing { at_nl_min, leak_nl_min }
    SourceModel = Source {
        id, name, kind, curve_flow, curve, feed, rated_feed_kpa, power_w, straight_bore_mm, air_saving, volume_ml, mass_g, figures, on
    }
    Cycle = Cycle {
        picks_per_hour, hold_s, hours_per_year, air_price_per_m3, energy_price_per_kwh, compressor_kwh_per_m3, currency
    }
    Trial = Trial { entries, curves }
    TrialEntry = TrialEntry { what, value, stage, on, by }
    BaselineCurve = BaselineCurve { circuit, cup, kind, stage, on, points }
}
by_from!(
    Circuit = Circuit,
    Thresholds = Thresholds,
    Supply = Supply,
    Operation = Operation,
    Exhaust = Exhaust,
    Line = Line,
    Coil = Coil,
    BranchLine = BranchLine,
    Manifold = Manifold,
    Restriction = Restriction,
    ZoneValve = ZoneValve,
    Cells = Cells,
    Dust = Dust,
    CellClosing = CellClosing,
    SourceModel = Source,
    Cycle = Cycle,
    Trial = Trial,
    TrialEntry = TrialEntry,
    BaselineCurve = BaselineCurve
);
enums!(Arrangement, FittingKind, FittingLoss, Fed, SourceKind, CurveFlow, Stage, CurveKind);
plain!(u32);

impl Out<String> for m::SourceId {
    fn out(self) -> String {
        self.0.as_ref().to_owned()
    }
}
impl Back<m::SourceId> for String {
    fn back(self) -> m::SourceId {
        m::SourceId(self.into())
    }
}
impl<D: Out<F>, F, const N: usize> Out<[F; N]> for [D; N] {
    fn out(self) -> [F; N] {
        self.map(Out::out)
    }
}
impl<F: Back<D>, D, const N: usize> Back<[D; N]> for [F; N] {
    fn back(self) -> [D; N] {
        self.map(Back::back)
    }
}
impl Out<v4::Two> for (f64, f64) {
    fn out(self) -> v4::Two {
        (self.0.out(), self.1.out())
    }
}
impl Back<(f64, f64)> for v4::Two {
    fn back(self) -> (f64, f64) {
        self
    }
}
impl Out<v4::LineLength> for m::LineLength {
    fn out(self) -> v4::LineLength {
        match self {
            Self::Plan { slack_mm } => v4::LineLength::Plan { slack_mm: slack_mm.out() },
            Self::Typed { mm } => v4::LineLength::Typed { mm: mm.out() },
        }
    }
}
impl Back<m::LineLength> for v4::LineLength {
    fn back(self) -> m::LineLength {
        match self {
            Self::Plan { slack_mm } => m::LineLength::Plan { slack_mm },
            Self::Typed { mm } => m::LineLength::Typed { mm },
        }
    }
}
impl Out<v4::BlowOff> for m::BlowOff {
    fn out(self) -> v4::BlowOff {
        match self {
            Self::Usual => v4::BlowOff::Usual,
            Self::NotFitted => v4::BlowOff::NotFitted,
            Self::Valve { restriction, feed_kpa } => {
                v4::BlowOff::Valve { restriction: restriction.out(), feed_kpa: feed_kpa.out() }
            }
        }
    }
}
impl Back<m::BlowOff> for v4::BlowOff {
    fn back(self) -> m::BlowOff {
        match self {
            Self::Usual => m::BlowOff::Usual,
            Self::NotFitted => m::BlowOff::NotFitted,
            Self::Valve { restriction, feed_kpa } => {
                m::BlowOff::Valve { restriction: restriction.back(), feed_kpa }
            }
        }
    }
}
impl Out<v4::FittingUse> for m::FittingUse {
    fn out(self) -> v4::FittingUse {
        let own = v4::FittingOwn { bore_mm: self.bore_mm.out(), flow: self.flow.out() };
        v4::FittingUse(self.kind.into(), self.count, own)
    }
}
impl Back<m::FittingUse> for v4::FittingUse {
    fn back(self) -> m::FittingUse {
        let Self(kind, count, own) = self;
        m::FittingUse { kind: kind.into(), count, bore_mm: own.bore_mm.back(), flow: own.flow.back() }
    }
}
impl Out<v4::CurvePoint> for m::CurvePoint {
    fn out(self) -> v4::CurvePoint {
        v4::CurvePoint(self.level_kpa.out(), self.flow_nl_min.out())
    }
}
impl Back<m::CurvePoint> for v4::CurvePoint {
    fn back(self) -> m::CurvePoint {
        m::CurvePoint { level_kpa: self.0, flow_nl_min: self.1 }
    }
}
impl Out<v4::FeedPoint> for m::FeedPoint {
    fn out(self) -> v4::FeedPoint {
        v4::FeedPoint(
            self.feed_kpa.out(),
            self.flow_share.out(),
            self.level_share.out(),
            self.air_nl_min.out(),
        )
    }
}
impl Back<m::FeedPoint> for v4::FeedPoint {
    fn back(self) -> m::FeedPoint {
        let Self(feed_kpa, flow_share, level_share, air_nl_min) = self;
        m::FeedPoint { feed_kpa, flow_share, level_share, air_nl_min }
    }
}
impl Out<v4::TrialKind> for m::TrialKind {
    fn out(self) -> v4::TrialKind {
        match self {
            Self::Level { layout, cup } => v4::TrialKind::Level { layout: layout.out(), cup: cup.out() },
            Self::TimeToLevel { circuit, level_kpa } => {
                v4::TrialKind::TimeToLevel { circuit: circuit.out(), level_kpa: level_kpa.out() }
            }
            Self::LeakDown { circuit, from_kpa, over_s } => v4::TrialKind::LeakDown {
                circuit: circuit.out(),
                from_kpa: from_kpa.out(),
                over_s: over_s.out(),
            },
            Self::Friction { part, lip_material } => {
                v4::TrialKind::Friction { part: part.out(), lip_material }
            }
        }
    }
}
impl Back<m::TrialKind> for v4::TrialKind {
    fn back(self) -> m::TrialKind {
        match self {
            Self::Level { layout, cup } => m::TrialKind::Level { layout: layout.back(), cup: cup.back() },
            Self::TimeToLevel { circuit, level_kpa } => {
                m::TrialKind::TimeToLevel { circuit: circuit.back(), level_kpa }
            }
            Self::LeakDown { circuit, from_kpa, over_s } => {
                m::TrialKind::LeakDown { circuit: circuit.back(), from_kpa, over_s }
            }
            Self::Friction { part, lip_material } => {
                m::TrialKind::Friction { part: part.back(), lip_material }
            }
        }
    }
}
