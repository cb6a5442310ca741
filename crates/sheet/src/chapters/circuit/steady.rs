//! Levels, hoses, losses and zones of a circuit at work, all cups on the part.

use super::{heading, least, with_unit};
use crate::block::{Section, SectionId, paragraph};
use crate::chapters::{append, body, note_after, nothing, tight};
use crate::context::Context;
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table, words};
use analysis::{CircuitElement, CircuitReport, DesignFrom, EvacuationCurve};
use units::{Quantity, unit_of};

/// A loss above this share of the level at the source is listed.
const NOTABLE_SHARE: f64 = 0.01;
/// Longer lists of losses are cut to the largest.
const MOST_LOSSES: usize = 16;

/// Level, leakage and times of each cup, then of each source.
pub(super) fn levels(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    let unit = |quantity| unit_of(quantity, context.units).1;
    let timed = circuit.slow.as_ref().is_some_and(|slow| !slow.evacuation.is_empty());
    let mut columns = vec![
        flexible("cup, source"),
        figures(format!("steady {}", unit(Quantity::VacuumLevel))).of("level"),
        figures(format!("design {}", unit(Quantity::VacuumLevel))).of("level"),
        figures(format!("air {}", unit(Quantity::Flow))),
    ];
    if timed {
        let to = |share: &str| figures(format!("{share} {}", unit(Quantity::Time))).of("time to");
        columns.extend([to("60 %"), to("75 %"), to("90 %")]);
    }
    let worst = circuit.worst_cup().map(|cup| cup.id);
    let mut rows = Vec::new();
    for cup in &circuit.cups {
        let tag = context.tag(cup.id);
        let mark = if worst == Some(cup.id) { format!("*{tag}") } else { tag.to_owned() };
        let mut row = vec![
            Cell::bold(mark),
            Cell::plain(context.number(cup.level_kpa, Quantity::VacuumLevel)),
            Cell::plain(context.number(cup.design_kpa, Quantity::VacuumLevel)),
            Cell::plain(least(context, cup.leak_nl_min, Quantity::Flow)),
        ];
        if timed {
            let curves = circuit.slow.iter().flat_map(|slow| &slow.evacuation);
            row.extend(times(context, curves.into_iter().find(|curve| curve.cup == cup.id)));
        }
        rows.push(row);
    }
    for source in &circuit.sources {
        let mut row = vec![
            Cell::plain(source.name.trim()),
            Cell::plain(context.number(source.level_kpa, Quantity::VacuumLevel)),
            Cell::plain(""),
            Cell::plain(least(context, source.flow_nl_min, Quantity::Flow)),
        ];
        if timed {
            row.extend([Cell::plain(""), Cell::plain(""), Cell::plain("")]);
        }
        rows.push(row);
    }
    let style = &tight(style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    let deepest = circuit.sources.iter().map(|source| source.deepest_kpa).fold(f64::INFINITY, f64::min);
    let mut says = format!(
        "All cups on the part; {} required. * marks the lowest level. Air is the leakage at the cup and the \
        flow the source draws, as {}.",
        context.figure(circuit.wanted_kpa, Quantity::VacuumLevel),
        context.units.flow.reference()
    );
    if deepest.is_finite() {
        let level = context.figure(deepest, Quantity::VacuumLevel);
        says.push_str(&format!(" Deepest level that the source reaches here: {level}."));
    }
    if let Some(design) = &circuit.design {
        let level = |kpa: f64| context.figure(kpa, Quantity::VacuumLevel);
        says.push_str(&format!(
            " Steady is the level the circuit reaches; factors are calculated at the design level: {} at the \
            switch at the source, {}. Alarm below {}.",
            level(design.design_kpa),
            match design.from {
                DesignFrom::Switch if design.never_held() => "which waits for more".to_owned(),
                DesignFrom::Switch => "as stated".to_owned(),
                DesignFrom::Share => format!("{}, since none is stated", analysis::design_share()),
                DesignFrom::Stated => "the stated level".to_owned(),
            },
            level(design.alarm_kpa),
        ));
    }
    if timed {
        says.push_str(" Times are from the start of the source to that share of the steady level.");
    }
    append(&mut rows, note_after(&says, width, style));
    Section {
        id: SectionId::Other("circuit levels"),
        heading: heading(circuit, "levels at cups and sources"),
        head,
        rows,
    }
}

fn times(context: &Context, curve: Option<&EvacuationCurve>) -> [Cell; 3] {
    let shown = |time: Option<f64>| {
        Cell::plain(time.map_or("not reached".to_owned(), |s| context.number(s, Quantity::Time)))
    };
    curve.map_or([Cell::plain("–"), Cell::plain("–"), Cell::plain("–")], |curve| {
        [shown(curve.to_60_s), shown(curve.to_75_s), shown(curve.to_90_s)]
    })
}

/// The hoses to cut.
pub(super) fn hoses(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    if circuit.hoses.is_empty() {
        return nothing(SectionId::Other("hose schedule"));
    }
    let unit = context.length_unit();
    let columns = [
        words("hose"),
        words("from"),
        words("to"),
        figures(format!("bore {unit}")),
        figures(format!("cut length {unit}")),
        flexible("fittings"),
    ];
    let rows: Vec<Vec<Cell>> = circuit
        .hoses
        .iter()
        .map(|hose| {
            vec![
                Cell::bold(&hose.name),
                Cell::plain(&hose.from),
                Cell::plain(&hose.to),
                Cell::plain(context.length(hose.bore_mm)),
                Cell::plain(context.length(hose.cut_length_mm)),
                Cell::plain(hose.fittings.says(context.units)),
            ]
        })
        .collect();
    let style = &tight(style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    let says = "Bore is the clear inside diameter. A coil is part of its length. A length from the plan is the distance \
                between its ends on the plan and in height, with the stated slack.";
    append(&mut rows, note_after(says, width, style));
    Section { id: SectionId::Other("hose schedule"), heading: heading(circuit, "hose schedule"), head, rows }
}

/// What an element is; the figures of a hose in the units of the sheet.
fn what(context: &Context, element: &CircuitElement) -> String {
    match (element.bore_mm, element.length_mm) {
        (Some(bore), Some(length)) => format!(
            "hose {} {unit}, {} {unit}",
            context.length(bore),
            context.length(length),
            unit = context.length_unit()
        ),
        _ => element.what.says(context.units),
    }
}

/// What loses more than its share of the level, largest first.
pub(super) fn losses(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    let level = circuit.source_level_kpa.unwrap_or(circuit.wanted_kpa);
    let mut all: Vec<_> = circuit.elements.iter().filter(|of| of.loss_kpa.is_finite()).collect();
    all.sort_by(|a, b| b.loss_kpa.total_cmp(&a.loss_kpa));
    let heading = heading(circuit, "losses over 1 % of the level");
    let notable = all.iter().filter(|of| of.loss_kpa > NOTABLE_SHARE * level).count();
    if notable == 0 {
        let Some(most) = all.first() else { return nothing(SectionId::Other("losses")) };
        let says = format!(
            "None. The largest is at {} ({}): {}, {}.",
            most.name,
            what(context, most),
            with_unit(context, most.loss_kpa, Quantity::VacuumLevel),
            most.regime.word()
        );
        let rows = vec![paragraph(&says, body(style), 0.0, width)];
        return Section { id: SectionId::Other("losses"), heading, head: Vec::new(), rows };
    }
    let unit = |quantity| unit_of(quantity, context.units).1;
    let columns = [
        words("element"),
        flexible("what it is"),
        figures(format!("air {}", unit(Quantity::Flow))),
        figures(format!("loss {}", unit(Quantity::VacuumLevel))),
        figures("of the level %"),
        words("flow is"),
    ];
    let shown = notable.min(MOST_LOSSES);
    let rows: Vec<Vec<Cell>> = all[..shown]
        .iter()
        .map(|of| {
            vec![
                Cell::bold(&of.name),
                Cell::plain(what(context, of)),
                Cell::plain(least(context, of.flow_nl_min, Quantity::Flow)),
                Cell::plain(context.number(of.loss_kpa, Quantity::VacuumLevel)),
                Cell::plain(super::plain(context, of.loss_kpa / level * 100.0, 1, "")),
                Cell::plain(of.regime.word()),
            ]
        })
        .collect();
    let style = &tight(style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    if shown < notable {
        append(&mut rows, note_after(&format!("And {} smaller ones.", notable - shown), width, style));
    }
    Section { id: SectionId::Other("losses"), heading, head, rows }
}

/// Which valve switches which cups, and what watches them.
pub(super) fn zones(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    if circuit.zones.is_empty() {
        return nothing(SectionId::Other("zones"));
    }
    let held = circuit.slow.as_ref().and_then(|slow| slow.controls).map(|controls| controls.held_kpa);
    let stated = context.project.circuit(circuit.id).and_then(|of| of.thresholds).map(|set| set.held_kpa);
    let switch = match stated.or(held) {
        Some(kpa) => {
            let level = context.figure(kpa, Quantity::VacuumLevel);
            format!("at the source, from {level}{}", if stated.is_some() { " as stated" } else { "" })
        }
        None => "at the source; its level is not calculated".to_owned(),
    };
    let columns = [
        words("zone"),
        words("valve"),
        words("check valve"),
        words("switch \"part held\""),
        flexible("cups"),
    ];
    let rows: Vec<Vec<Cell>> = circuit
        .zones
        .iter()
        .map(|zone| {
            let tags: Vec<&str> = zone.cups.iter().map(|cup| context.tag(*cup)).collect();
            let name = zone.zone.trim();
            vec![
                Cell::bold(if name.is_empty() { "none" } else { name }),
                Cell::plain(zone.valve.as_deref().unwrap_or("none, always on")),
                Cell::plain(if zone.check_valve { "yes" } else { "no" }),
                Cell::plain(&switch),
                Cell::plain(tags.join(" ")),
            ]
        })
        .collect();
    let (head, rows) = table(&columns, &rows, width, &tight(style));
    Section {
        id: SectionId::Other("zones"),
        heading: heading(circuit, "zones, valves and switch"),
        head,
        rows,
    }
}
