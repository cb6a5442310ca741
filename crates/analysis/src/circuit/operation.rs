//! How a circuit is run, as the engine takes it: exhaust, check valves that seep, blow-off, times of valve and switch.

use super::{input::CircuitInput, lines::restriction};
use document::{Operation, SourceKind, Supply};
use units::VacuumLevel;
use vacuum::{Exhaust, Hose, Leak, Line, Restriction, Seep};

/// What every check valve of a supply lets back; `None` where it is stated as tight.
pub(super) fn seep(supply: &Supply) -> Option<Seep> {
    let Operation { check_leak_nl_min, check_leak_at_kpa, .. } = &supply.operation;
    let seep = Seep { nl_min: check_leak_nl_min.value, at: VacuumLevel::from_kpa(*check_leak_at_kpa) };
    (seep.nl_min != 0.0).then_some(seep)
}

/// Hose and silencer behind each ejector.
pub(super) fn exhaust(input: &CircuitInput) -> Option<Exhaust> {
    let stated = input.supply.0.operation.exhaust.as_ref()?;
    if input.model.0.kind != SourceKind::Ejector {
        return None;
    }
    let hose = match stated.length_mm > 0.0 {
        true => Line::hose(Hose::new(stated.length_mm, stated.bore_mm)),
        false => Line::default(),
    };
    Some(Exhaust {
        hose,
        silencer: stated.silencer.map(restriction),
        flow_loss_per_kpa: stated.flow_loss_per_kpa.value,
        level_loss_per_kpa: stated.level_loss_per_kpa.value,
    })
}

/// The blow-off valve with its feed above the atmosphere, kPa.
pub(super) fn blow_off(input: &CircuitInput) -> Option<(Restriction, f64)> {
    let (stated, feed_kpa) = input.supply.0.operation.blow_off.of(input.model.0.kind)?;
    Some((restriction(stated), feed_kpa))
}

/// The same as it lets air in.
pub(super) fn blowing(input: &CircuitInput) -> Option<Leak> {
    blow_off(input).map(|(through, gauge_kpa)| Leak::Blow { through, gauge_kpa })
}

/// From the signal until the air flows or no longer flows, s.
pub(super) fn valve_s(input: &CircuitInput) -> f64 {
    input.supply.0.operation.valve_s.value
}

/// From the level at the switch until the control knows, s.
pub(super) fn switch_s(input: &CircuitInput) -> f64 {
    input.supply.0.operation.switch_s.value
}
