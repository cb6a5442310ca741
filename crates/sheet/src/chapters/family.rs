//! A tool that carries several parts: where each lies, which cups are on which, which valve is open for which, what is switched
//! from one to the next.

use super::{append, note_after, printed};
use crate::block::{Section, SectionId};
use crate::context::Context;
use crate::page::Tone;
use crate::style::Style;
use crate::tables::{Cell, Column, figures, flexible, table, words};
use analysis::{Cover, Family, SeatReport, Severity, ValvePlan};
use document::CupId;
use units::Quantity;

pub(super) fn sections(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    let Some(family) = context.report.family.as_deref() else { return Vec::new() };
    printed(vec![
        parts(context, family, width, style),
        stops(context, family, width, style),
        wiring(context, family, width, style),
        covers(family, width, style),
        plan(context, family, width, style),
        change_over(context, family, width, style),
    ])
}

fn parts(context: &Context, family: &Family, width: f64, style: &Style) -> Section {
    let unit = context.length_unit();
    let columns = [
        flexible("part"),
        figures(format!("X {unit}")).of("datum on the tool"),
        figures(format!("Y {unit}")).of("datum on the tool"),
        figures("turn °"),
        figures("share"),
        words("zones open"),
        figures("cups"),
        figures("lowest factor over required"),
    ];
    let rows: Vec<Vec<Cell>> = family.seats.iter().map(|seat| part(context, family, seat)).collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    let says = "Every part by itself: its figures stand on the pages of its name. X and Y are where the datum of the part's \
                drawing lies, from the tool's datum; the part is turned about it, counter-clockwise. Share: how many of it \
                are picked for how many of the others.";
    append(&mut rows, note_after(says, width, style));
    if let Some(mix) = telling::mix_in_words(family, &context.project.cycle.currency, context.units) {
        append(&mut rows, note_after(&mix, width, style));
    }
    Section { id: SectionId::Other("parts on the tool"), heading: "Parts on the tool".to_owned(), head, rows }
}

fn part(context: &Context, family: &Family, seat: &SeatReport) -> Vec<Cell> {
    let on: Vec<&str> = family.zones().into_iter().filter(|zone| seat.seat.is_on(zone)).collect();
    let factor = match seat.report.governing() {
        Some((_, ratio)) => {
            let tone = if ratio < 1.0 { Tone::Fail } else { Tone::Ink };
            Cell { tone, ..Cell::bold(context.factor(ratio, 1.0)) }
        }
        None => Cell { tone: Tone::Fail, ..Cell::bold("none") },
    };
    let mut name = Cell::bold(&seat.name);
    if seat.report.verdict.severity == Severity::Fail {
        name = Cell { tone: Tone::Fail, ..Cell::bold(format!("{}, does not hold as drawn", seat.name)) };
    }
    vec![
        name,
        Cell::plain(context.as_made(seat.seat.at.x)),
        Cell::plain(context.as_made(seat.seat.at.y)),
        Cell::plain(context.number(seat.seat.turn_deg, Quantity::Angle)),
        Cell::plain(context.fixed(seat.seat.share, 0)),
        Cell::plain(if on.is_empty() { "none".to_owned() } else { on.join(", ") }),
        Cell::plain(seat.cups.iter().filter(|cup| cup.holds).count().to_string()),
        factor,
    ]
}

/// Where the stops of parts are that were placed by them, for whoever sets them.
fn stops(context: &Context, family: &Family, width: f64, style: &Style) -> Section {
    let unit = context.length_unit();
    let columns = [
        flexible("part"),
        figures("stop"),
        figures(format!("X {unit}")).of("on the tool"),
        figures(format!("Y {unit}")).of("on the tool"),
        words(format!("touches the edge, {unit}")),
    ];
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut off = false;
    for seat in &family.seats {
        let Some(part) = context.project.part(seat.seat.part) else { continue };
        let Some(stops) = seat.seat.stops else { continue };
        let lie = seat.seat.off_stops(part);
        for (index, at) in stops.at.iter().enumerate() {
            let lies = lie.get(index).copied().flatten().is_some_and(|mm| mm <= 0.01);
            off |= !lies;
            let place = |at: glam::DVec2| format!("({}; {})", context.as_made(at.x), context.as_made(at.y));
            let edge = match part.edge_at(stops.edges[index / 2]) {
                Some(edge) => Cell::plain(format!("{} to {}", place(edge.from), place(edge.to))),
                None => Cell { tone: Tone::Fail, ..Cell::bold("no such edge") },
            };
            let number = (index + 1).to_string();
            let number =
                if lies { Cell::plain(number) } else { Cell { tone: Tone::Fail, ..Cell::bold(number) } };
            let name = if index == 0 { Cell::bold(&seat.name) } else { Cell::plain("") };
            let [x, y] = [at.x, at.y].map(|v| Cell::plain(context.as_made(v)));
            rows.push(vec![name, number, x, y, edge]);
        }
    }
    if rows.is_empty() {
        return super::nothing(SectionId::Other("stops"));
    }
    let (head, mut rows) = table(&columns, &rows, width, style);
    let mut says = "Stops are points, from the tool's datum; of a pin it is the place of its side that touches. Edges run from end to \
                    end in the frame of the part's drawing."
        .to_owned();
    if off {
        says.push_str(" A part does not lie against the stops marked: place it by them again.");
    }
    append(&mut rows, note_after(&says, width, style));
    Section { id: SectionId::Other("stops"), heading: "Stops".to_owned(), head, rows }
}

/// A column for each part, with its name.
fn of_parts(family: &Family) -> impl Iterator<Item = Column> + '_ {
    family.seats.iter().map(|seat| words(&seat.name))
}

fn tags(family: &Family, cups: &[CupId]) -> String {
    let tag = |id: &CupId| family.cups.iter().find(|cup| cup.id == *id).map(|cup| cup.tag.clone());
    cups.iter().filter_map(tag).collect::<Vec<_>>().join(", ")
}

fn switch(open: bool) -> Cell {
    if open { Cell::bold("open") } else { Cell::second("shut") }
}

/// The wiring list: what the controls switch for which part.
fn wiring(context: &Context, family: &Family, width: f64, style: &Style) -> Section {
    let mut columns = vec![words("valve of zone"), flexible("cups")];
    columns.extend(of_parts(family));
    let zones = family.zones();
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for zone in &zones {
        let cups: Vec<CupId> = family.cups.iter().filter(|cup| cup.zone == *zone).map(|cup| cup.id).collect();
        let mut row = vec![Cell::bold(*zone), Cell::plain(tags(family, &cups))];
        row.extend(family.seats.iter().map(|seat| switch(seat.seat.is_on(zone))));
        rows.push(row);
    }
    let without: Vec<CupId> =
        family.cups.iter().filter(|cup| cup.zone.is_empty()).map(|cup| cup.id).collect();
    if !without.is_empty() {
        let mut row = vec![Cell::second("no valve"), Cell::plain(tags(family, &without))];
        row.extend(family.seats.iter().map(|_| switch(true)));
        rows.push(row);
    }
    let (head, mut rows) = table(&columns, &rows, width, style);
    let mut says =
        "Wiring list for the controls: which valve is open while which part is carried.".to_owned();
    if !family.valves.now_serves {
        says.push_str(" So switched, a cup draws air from beside a part or one that is on it stays shut: see the findings.");
    }
    let _ = context;
    append(&mut rows, note_after(&says, width, style));
    Section { id: SectionId::Other("wiring list"), heading: "Valves and parts".to_owned(), head, rows }
}

fn covers(family: &Family, width: f64, style: &Style) -> Section {
    let mut columns = vec![words("tag"), words("zone")];
    columns.extend(of_parts(family));
    columns.push(figures("holds parts"));
    let rows: Vec<Vec<Cell>> = family
        .cups
        .iter()
        .map(|cup| {
            let mut row = vec![Cell::bold(&cup.tag), Cell::plain(&cup.zone)];
            for seat in &family.seats {
                let Some(of) = seat.cups.iter().find(|held| held.id == cup.id) else {
                    row.push(Cell::second("–"));
                    continue;
                };
                row.push(match (of.cover, of.zone_on) {
                    (Some(Cover::On), true) => Cell::bold("on"),
                    (Some(Cover::On), false) => Cell::plain("on, shut"),
                    (Some(Cover::Partly), true) => Cell { tone: Tone::Fail, ..Cell::bold("partly, open") },
                    (Some(Cover::Partly), false) => Cell::plain("partly, shut"),
                    (Some(Cover::Off), true) => Cell { tone: Tone::Fail, ..Cell::bold("beside, open") },
                    (Some(Cover::Off), false) => Cell::second("beside"),
                    (None, _) => Cell::second("not known"),
                });
            }
            row.push(Cell::plain(family.used_by(cup.id).to_string()));
            row
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    let says = "On: the whole lip on sound surface with the required clearance; beside: the whole lip beside the \
                part or within a hole with that clearance; partly: neither.";
    append(&mut rows, note_after(says, width, style));
    Section { id: SectionId::Other("cups on parts"), heading: "Cups on each part".to_owned(), head, rows }
}

fn plan(context: &Context, family: &Family, width: f64, style: &Style) -> Section {
    let valves: &ValvePlan = &family.valves;
    let mut columns = vec![words("valve"), flexible("cups")];
    columns.extend(of_parts(family));
    // Where the zones serve and are as few, the list above is the plan.
    if valves.fewest.is_empty() || (valves.now_serves && valves.fewest.len() >= valves.now) {
        return super::nothing(SectionId::Other("fewest valves"));
    }
    let rows: Vec<Vec<Cell>> = valves
        .fewest
        .iter()
        .map(|zone| {
            let mut row = vec![Cell::bold(&zone.name), Cell::plain(tags(family, &zone.cups))];
            row.extend(zone.open.iter().map(|open| switch(*open)));
            row
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    let _ = context;
    append(&mut rows, note_after(&telling::valves_in_words(family, context.units), width, style));
    Section {
        id: SectionId::Other("fewest valves"),
        heading: "Fewest valves that serve every part".to_owned(),
        head,
        rows,
    }
}

fn change_over(context: &Context, family: &Family, width: f64, style: &Style) -> Section {
    let unit = context.length_unit();
    let columns = [
        flexible("from one part to another"),
        words("opens"),
        words("shuts"),
        figures(format!("X {unit}")).of("programme offset"),
        figures(format!("Y {unit}")).of("programme offset"),
        figures("turn °").of("programme offset"),
        figures("before").of("mass at the flange"),
        figures("after").of("mass at the flange"),
    ];
    let name = |index: usize| family.seats.get(index).map_or("", |seat| seat.name.as_str());
    let zones = |zones: &[String]| if zones.is_empty() { "–".to_owned() } else { zones.join(", ") };
    let mass = |kg: Option<f64>| kg.map_or("–".to_owned(), |kg| context.figure(kg, Quantity::Mass));
    let rows: Vec<Vec<Cell>> = family
        .change_overs()
        .iter()
        .map(|over| {
            vec![
                Cell::plain(format!("{} to {}", name(over.from), name(over.to))),
                Cell::plain(zones(&over.open)),
                Cell::plain(zones(&over.shut)),
                Cell::plain(context.as_made(over.offset_mm[0])),
                Cell::plain(context.as_made(over.offset_mm[1])),
                Cell::plain(context.number(over.turn_deg, Quantity::Angle)),
                Cell::plain(mass(over.mass_kg[0])),
                Cell::plain(mass(over.mass_kg[1])),
            ]
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    if !rows.is_empty() {
        let says = "The offset is how far the flange goes, and turns, to meet the next part where the last one lay, with its \
                    drawing's datum and axes at the same place; X and Y are those axes. Back again it is the other way.";
        append(&mut rows, note_after(says, width, style));
    }
    Section { id: SectionId::Other("change-over"), heading: "Change-over".to_owned(), head, rows }
}
