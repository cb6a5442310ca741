//! What sits in the way of a circuit's air besides hoses: restrictors, check valves, filter, cells, zone valves.

use super::change::{Change, with};
use crate::{fields, view::View};
use document::{Cells, CircuitId, Restriction, RestrictionUse, Supply, ZoneValve};
use egui::Ui;
use std::hash::Hash;

/// A restrictor to start from: small against a hose, large against a leak (invented, generic).
const RESTRICTOR: Restriction = Restriction { c_dm3_s_bar: 0.3, b: 0.3 };
/// A filter or a zone valve to start from where none of those offered fits the hose (invented, generic).
const FALLBACK: Restriction = Restriction { c_dm3_s_bar: 1.25, b: 0.35 };
/// A filter or a zone valve to start from, to fit a hose (invented, generic).
fn to_fit(is: RestrictionUse, bore_mm: f64) -> Restriction {
    document::restriction_for(is, bore_mm).map_or(FALLBACK, |preset| preset.restriction)
}

/// Cells to start from (invented, generic).
const CELLS: Cells =
    Cells { count: 24, bore_mm: 4.0, restrictor: Restriction { c_dm3_s_bar: 0.045, b: 0.5 } };

/// Draws what sits in the way of the air besides hoses.
pub(super) fn parts_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    let mut check = supply.check_valve_at_cup;
    let why = "Keeps the level at a cup if the circuit loses its own";
    if ui.checkbox(&mut check, "check valve at each cup").on_hover_text(why).changed() {
        change("check valves at the cups", &|c| with(c, |s| s.check_valve_at_cup = check));
    }
    type Slot = fn(&mut Supply) -> &mut Option<Restriction>;
    let rows: [(&str, &str, Option<Restriction>, Restriction, Slot); 3] = [
        (
            "restrictor at each cup",
            "Keeps an open cup from venting the circuit; slows evacuation a little",
            supply.restrictor,
            RESTRICTOR,
            |s| &mut s.restrictor,
        ),
        (
            "filter at the source",
            "Clogs with time: the trial's baseline shows it",
            supply.filter,
            to_fit(RestrictionUse::Filter, supply.main.bore_mm),
            |s| &mut s.filter,
        ),
        (
            "filter at each cup",
            "Keeps dirt out of hoses and valves as well; each filter clogs with the air of its own cup",
            supply.filter_at_cup,
            to_fit(RestrictionUse::Filter, supply.branch.bore_mm),
            |s| &mut s.filter_at_cup,
        ),
    ];
    for (name, why, now, start, slot) in rows {
        let mut on = now.is_some();
        if ui.checkbox(&mut on, name).on_hover_text(why).changed() {
            change(name, &|c| with(c, |s| *slot(s) = on.then_some(start)));
        }
        if let Some(r) = now {
            restriction_ui(ui, view, (id, name), name, r, &mut |new| {
                change(name, &|c| with(c, |s| *slot(s) = Some(new)));
            });
        }
    }
}

/// Draws the cells of an area gripper.
pub(super) fn cells_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    let mut on = supply.area_gripper.is_some();
    let why = "Each cup of the circuit is a foam face over many small cells, each with its own restrictor; \
        an uncovered cell draws air, so the source needs flow";
    if ui.checkbox(&mut on, "area gripper: foam over cells").on_hover_text(why).changed() {
        let what = if on { "Add cells of an area gripper" } else { "Remove the cells of the area gripper" };
        change(what, &|c| with(c, |s| s.area_gripper = on.then_some(CELLS)));
    }
    let Some(cells) = supply.area_gripper else { return };
    let what = "cells of the area gripper";
    let row = |key: &str| fields::known(key).of(what);
    if let Some(count) = row("circuit.supply.area_gripper.count").count(ui, id, cells.count, &view.units) {
        change(what, &|c| with(c, |s| s.area_gripper = Some(Cells { count, ..cells })));
    }
    if let Some(v) = row("circuit.supply.area_gripper.bore_mm").number(ui, id, cells.bore_mm, &view.units) {
        change(what, &|c| with(c, |s| s.area_gripper = Some(Cells { bore_mm: v, ..cells })));
    }
    restriction_ui(ui, view, (id, "cell"), "restrictor of a cell", cells.restrictor, &mut |new| {
        change(what, &|c| with(c, |s| s.area_gripper = Some(Cells { restrictor: new, ..cells })));
    });
}

/// C and b of a restriction.
pub(super) fn restriction_ui(
    ui: &mut Ui,
    view: &View,
    salt: impl Hash + Copy,
    of: &str,
    now: Restriction,
    change: &mut dyn FnMut(Restriction),
) {
    let units = &view.units;
    let row = |key: &str| fields::known(key).of(of);
    if let Some(v) = row("circuit.supply.restriction.c_dm3_s_bar").number(ui, salt, now.c_dm3_s_bar, units) {
        change(Restriction { c_dm3_s_bar: v, ..now });
    }
    if let Some(v) = row("circuit.supply.restriction.b").number(ui, salt, now.b, units) {
        change(Restriction { b: v, ..now });
    }
}

/// Draws the valve of each zone.
pub(super) fn valves_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    let mut zones: Vec<&str> =
        view.layout.cups.iter().filter(|c| c.circuit == id).map(|c| c.zone.as_str()).collect();
    zones.sort_unstable();
    zones.dedup();
    for zone in zones {
        let at = supply.valves.iter().position(|v| v.zone == zone);
        let mut on = at.is_some();
        let name = format!("valve for zone {zone}");
        if ui
            .checkbox(&mut on, &name)
            .on_hover_text("At the source; its cups are switched together")
            .changed()
        {
            change(&name, &|c| {
                with(c, |s| match (on, at) {
                    (true, None) => s.valves.push(ZoneValve {
                        zone: zone.to_owned(),
                        restriction: to_fit(RestrictionUse::Valve, s.main.bore_mm),
                        check_valve: true,
                        manifold: None,
                    }),
                    (false, Some(i)) => {
                        s.valves.remove(i);
                    }
                    _ => {}
                });
            });
        }
        if let Some((i, valve)) = at.and_then(|i| Some((i, supply.valves.get(i)?))) {
            restriction_ui(ui, view, (id, zone), &name, valve.restriction, &mut |new| {
                change(&name, &|c| {
                    with(c, |s| s.valves.iter_mut().skip(i).take(1).for_each(|v| v.restriction = new))
                });
            });
            let mut check = valve.check_valve;
            if ui.checkbox(&mut check, format!("check valve behind zone {zone}")).changed() {
                change(&name, &|c| {
                    with(c, |s| s.valves.iter_mut().skip(i).take(1).for_each(|v| v.check_valve = check))
                });
            }
        }
    }
}
