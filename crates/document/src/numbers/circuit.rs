//! Numbers of circuits, sources, cycle and trial.

use super::{At, Each, own, vec3};
use crate::{
    BlowOff, Circuit, Cycle, Line, LineLength, Manifold, Operation, Restriction, SourceModel, Supply, Trial,
    TrialKind,
};
use std::sync::Arc;

pub(crate) fn circuit(c: &mut Circuit, each: Each<'_>) {
    each(own("circuit.level_kpa"), &mut c.level_kpa.value);
    if let Some(t) = &mut c.thresholds {
        each(own("circuit.thresholds.held_kpa"), &mut t.held_kpa);
        if let Some(alarm) = &mut t.alarm_kpa {
            each(own("circuit.thresholds.alarm_kpa"), alarm);
        }
        each(own("circuit.thresholds.saving_off_kpa"), &mut t.saving_off_kpa);
        each(own("circuit.thresholds.time_out_s"), &mut t.time_out_s);
        each(own("circuit.thresholds.hold_s"), &mut t.hold_s);
    }
    if let Some(s) = &mut c.supply {
        supply(Arc::make_mut(s), each);
    }
}

fn supply(s: &mut Supply, each: Each<'_>) {
    each(own("circuit.supply.feed_kpa"), &mut s.feed_kpa.value);
    vec3(own("circuit.supply.at"), &mut s.at, each);
    line(&mut s.main, "the main hose of", each);
    line(&mut s.branch, "the branch of", each);
    for own in &mut s.branches {
        line(&mut own.line, &format!("the individual branch of cup {} of", own.cup), each);
    }
    if let Some(m) = &mut s.manifold {
        manifold(m, "the manifold of", each);
    }
    for valve in &mut s.valves {
        restriction(&mut valve.restriction, &format!("the valve for zone {} of", valve.zone), each);
        if let Some(m) = &mut valve.manifold {
            manifold(m, &format!("the manifold for zone {} of", valve.zone), each);
        }
    }
    if let Some(r) = &mut s.restrictor {
        restriction(r, "the restrictor at the cups of", each);
    }
    if let Some(r) = &mut s.filter {
        restriction(r, "the filter of", each);
    }
    if let Some(r) = &mut s.filter_at_cup {
        restriction(r, "the filter at the cups of", each);
    }
    if let Some(dust) = &mut s.dust {
        each(own("circuit.supply.dust.load_g_m3"), &mut dust.load_g_m3.value);
        each(own("circuit.supply.dust.capacity_g"), &mut dust.capacity_g.value);
        each(own("circuit.supply.dust.cleaned_h"), &mut dust.cleaned_h.value);
    }
    if let Some(closing) = &mut s.cell_closing {
        each(own("circuit.supply.cell_closing.at_nl_min"), &mut closing.at_nl_min.value);
        each(own("circuit.supply.cell_closing.leak_nl_min"), &mut closing.leak_nl_min.value);
    }
    each(own("circuit.supply.lip_gap_um"), &mut s.lip_gap_um.value);
    if let Some(cells) = &mut s.area_gripper {
        let at = At { key: "circuit.supply.area_gripper.bore_mm", within: "the cells of" };
        each(at, &mut cells.bore_mm);
        restriction(&mut cells.restrictor, "the restrictor of the cells of", each);
    }
    operation(&mut s.operation, each);
}
fn operation(o: &mut Operation, each: Each<'_>) {
    each(own("circuit.supply.operation.valve_s"), &mut o.valve_s.value);
    each(own("circuit.supply.operation.switch_s"), &mut o.switch_s.value);
    if let BlowOff::Valve { restriction: r, feed_kpa } = &mut o.blow_off {
        restriction(r, "the blow-off valve of", each);
        let at = At { key: "circuit.supply.operation.blow_off.feed_kpa", within: "the blow-off valve of" };
        each(at, feed_kpa);
    }
    each(own("circuit.supply.operation.vessel_ml"), &mut o.vessel_ml);
    each(own("circuit.supply.operation.check_leak_nl_min"), &mut o.check_leak_nl_min.value);
    each(own("circuit.supply.operation.check_leak_at_kpa"), &mut o.check_leak_at_kpa);
    if let Some(e) = &mut o.exhaust {
        let here = |key| At { key, within: "the exhaust of" };
        each(here("circuit.supply.operation.exhaust.bore_mm"), &mut e.bore_mm);
        each(here("circuit.supply.operation.exhaust.length_mm"), &mut e.length_mm);
        if let Some(r) = &mut e.silencer {
            restriction(r, "the silencer of", each);
        }
        each(here("circuit.supply.operation.exhaust.flow_loss_per_kpa"), &mut e.flow_loss_per_kpa.value);
        each(here("circuit.supply.operation.exhaust.level_loss_per_kpa"), &mut e.level_loss_per_kpa.value);
    }
}
fn line(l: &mut Line, within: &str, each: Each<'_>) {
    let here = |key| At { key, within };
    each(here("circuit.supply.line.bore_mm"), &mut l.bore_mm);
    match &mut l.length {
        LineLength::Plan { slack_mm } => each(here("circuit.supply.line.length.slack_mm"), slack_mm),
        LineLength::Typed { mm } => each(here("circuit.supply.line.length.mm"), mm),
    }
    for f in &mut l.fittings {
        let within = format!("the {} in {within}", f.kind.label());
        if let Some(bore) = &mut f.bore_mm {
            each(At { key: "circuit.supply.line.fittings.bore_mm", within: &within }, bore);
        }
        if let Some(r) = &mut f.flow {
            restriction(r, &within, each);
        }
    }
    if let Some(c) = &mut l.coil {
        let within = format!("the coil of {within}");
        let here = |key| At { key, within: &within };
        each(here("circuit.supply.line.coil.turns"), &mut c.turns);
        each(here("circuit.supply.line.coil.diameter_mm"), &mut c.diameter_mm);
    }
}
fn manifold(m: &mut Manifold, within: &str, each: Each<'_>) {
    let here = |key| At { key, within };
    each(here("circuit.supply.manifold.at"), &mut m.at.x);
    each(here("circuit.supply.manifold.at"), &mut m.at.y);
    each(here("circuit.supply.manifold.turn_deg"), &mut m.turn_deg);
    each(here("circuit.supply.manifold.length_mm"), &mut m.length_mm);
    each(here("circuit.supply.manifold.bore_mm"), &mut m.bore_mm);
}
fn restriction(r: &mut Restriction, within: &str, each: Each<'_>) {
    each(At { key: "circuit.supply.restriction.c_dm3_s_bar", within }, &mut r.c_dm3_s_bar);
    each(At { key: "circuit.supply.restriction.b", within }, &mut r.b);
}

pub(crate) fn source(s: &mut SourceModel, each: Each<'_>) {
    for point in &mut s.curve {
        each(own("source.curve.level_kpa"), &mut point.level_kpa);
        each(own("source.curve.flow_nl_min"), &mut point.flow_nl_min);
    }
    for point in &mut s.feed {
        each(own("source.feed.feed_kpa"), &mut point.feed_kpa);
        each(own("source.feed.flow_share"), &mut point.flow_share);
        each(own("source.feed.level_share"), &mut point.level_share);
        each(own("source.feed.air_nl_min"), &mut point.air_nl_min);
    }
    each(own("source.rated_feed_kpa"), &mut s.rated_feed_kpa);
    each(own("source.power_w"), &mut s.power_w);
    if let Some(bore) = &mut s.straight_bore_mm {
        each(own("source.straight_bore_mm"), bore);
    }
    each(own("source.volume_ml"), &mut s.volume_ml);
    each(own("source.mass_g"), &mut s.mass_g);
}

pub(crate) fn cycle(c: &mut Cycle, each: Each<'_>) {
    each(own("cycle.picks_per_hour"), &mut c.picks_per_hour.value);
    each(own("cycle.hold_s"), &mut c.hold_s.value);
    each(own("cycle.hours_per_year"), &mut c.hours_per_year.value);
    each(own("cycle.air_price_per_m3"), &mut c.air_price_per_m3.value);
    each(own("cycle.energy_price_per_kwh"), &mut c.energy_price_per_kwh.value);
    each(own("cycle.compressor_kwh_per_m3"), &mut c.compressor_kwh_per_m3.value);
}

/// "2026-03-12", for the name of what was measured then.
fn day(on: &str) -> &str {
    if on.is_empty() { "no date" } else { on }
}

pub(crate) fn trial(t: &mut Trial, each: Each<'_>) {
    for entry in &mut t.entries {
        let within = format!("the trial of {}", day(&entry.on));
        let here = |key| At { key, within: &within };
        let value = match &mut entry.what {
            TrialKind::Level { .. } => "trial.level",
            TrialKind::TimeToLevel { level_kpa, .. } => {
                each(here("trial.level_kpa"), level_kpa);
                "trial.time"
            }
            TrialKind::LeakDown { from_kpa, over_s, .. } => {
                each(here("trial.from_kpa"), from_kpa);
                each(here("trial.over_s"), over_s);
                "trial.drop"
            }
            TrialKind::Friction { .. } => "trial.friction",
        };
        each(here(value), &mut entry.value);
    }
    for curve in &mut t.curves {
        let within = format!("the {} curve of {}", curve.kind.label(), day(&curve.on));
        let here = |key| At { key, within: &within };
        for (time, level) in &mut curve.points {
            each(here("trial.points.time"), time);
            each(here("trial.points.level"), level);
        }
    }
}
