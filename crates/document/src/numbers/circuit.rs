//! Numbers of circuits, sources, cycle and trial.

use super::{Each, vec3};
use crate::{Circuit, Cycle, Line, LineLength, Manifold, Restriction, SourceModel, Supply, Trial, TrialKind};
use std::sync::Arc;

pub(crate) fn circuit(c: &mut Circuit, each: Each<'_>) {
    each("level_kpa", &mut c.level_kpa.value);
    if let Some(t) = &mut c.thresholds {
        each("thresholds held_kpa", &mut t.held_kpa);
        each("thresholds saving_off_kpa", &mut t.saving_off_kpa);
        each("thresholds time_out_s", &mut t.time_out_s);
        each("thresholds hold_s", &mut t.hold_s);
    }
    if let Some(s) = &mut c.supply {
        supply(Arc::make_mut(s), each);
    }
}

fn supply(s: &mut Supply, each: Each<'_>) {
    each("feed_kpa", &mut s.feed_kpa.value);
    vec3("supply at", &mut s.at, each);
    line(&mut s.main, ["main bore_mm", "main length", "main coil"], each);
    line(&mut s.branch, ["branch bore_mm", "branch length", "branch coil"], each);
    for own in &mut s.branches {
        line(&mut own.line, ["branches bore_mm", "branches length", "branches coil"], each);
    }
    let manifolds = s.manifold.iter_mut().chain(s.valves.iter_mut().filter_map(|v| v.manifold.as_mut()));
    manifolds.for_each(|m| manifold(m, each));
    for valve in &mut s.valves {
        restriction("valves", &mut valve.restriction, each);
    }
    if let Some(r) = &mut s.restrictor {
        restriction("restrictor", r, each);
    }
    if let Some(r) = &mut s.filter {
        restriction("filter", r, each);
    }
    each("lip_gap_um", &mut s.lip_gap_um.value);
    if let Some(cells) = &mut s.area_gripper {
        each("area_gripper bore_mm", &mut cells.bore_mm);
        restriction("area_gripper restrictor", &mut cells.restrictor, each);
    }
}
fn line(l: &mut Line, [bore, length, coil]: [&str; 3], each: Each<'_>) {
    each(bore, &mut l.bore_mm);
    match &mut l.length {
        LineLength::Plan { slack_mm: v } | LineLength::Typed { mm: v } => each(length, v),
    }
    if let Some(c) = &mut l.coil {
        each(coil, &mut c.turns);
        each(coil, &mut c.diameter_mm);
    }
}
fn manifold(m: &mut Manifold, each: Each<'_>) {
    each("manifold at", &mut m.at.x);
    each("manifold at", &mut m.at.y);
    each("manifold turn_deg", &mut m.turn_deg);
    each("manifold length_mm", &mut m.length_mm);
    each("manifold bore_mm", &mut m.bore_mm);
}
fn restriction(name: &str, r: &mut Restriction, each: Each<'_>) {
    each(name, &mut r.c_dm3_s_bar);
    each(name, &mut r.b);
}

pub(crate) fn source(s: &mut SourceModel, each: Each<'_>) {
    for point in &mut s.curve {
        each("curve", &mut point.level_kpa);
        each("curve", &mut point.flow_nl_min);
    }
    for point in &mut s.feed {
        each("feed", &mut point.feed_kpa);
        each("feed", &mut point.flow_share);
        each("feed", &mut point.level_share);
        each("feed", &mut point.air_nl_min);
    }
    each("rated_feed_kpa", &mut s.rated_feed_kpa);
    each("power_w", &mut s.power_w);
    if let Some(bore) = &mut s.straight_bore_mm {
        each("straight_bore_mm", bore);
    }
    each("volume_ml", &mut s.volume_ml);
    each("mass_g", &mut s.mass_g);
}

pub(crate) fn cycle(c: &mut Cycle, each: Each<'_>) {
    each("picks_per_hour", &mut c.picks_per_hour.value);
    each("hold_s", &mut c.hold_s.value);
    each("hours_per_year", &mut c.hours_per_year.value);
    each("air_price_per_m3", &mut c.air_price_per_m3.value);
    each("energy_price_per_kwh", &mut c.energy_price_per_kwh.value);
    each("compressor_kwh_per_m3", &mut c.compressor_kwh_per_m3.value);
}

pub(crate) fn trial(t: &mut Trial, each: Each<'_>) {
    for entry in &mut t.entries {
        each("entries value", &mut entry.value);
        match &mut entry.what {
            TrialKind::TimeToLevel { level_kpa, .. } => each("entries level_kpa", level_kpa),
            TrialKind::LeakDown { from_kpa, over_s, .. } => {
                each("entries from_kpa", from_kpa);
                each("entries over_s", over_s);
            }
            TrialKind::Level { .. } | TrialKind::Friction { .. } => {}
        }
    }
    for curve in &mut t.curves {
        for (time, level) in &mut curve.points {
            each("curves points", time);
            each("curves points", level);
        }
    }
}
