//! The parts list by generic specification, and spares.

use super::{append, note_after, nothing};
use crate::block::{Section, SectionId};
use crate::context::Context;
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table, words};
use document::{CupModel, FramePiece, FrameShape, name_of};
use geometry::LipShape;
use units::Quantity;

/// One spare cup for every so many of a model, begun.
const CUPS_PER_SPARE: usize = 5;

fn lip_size(context: &Context, shape: &LipShape) -> String {
    match *shape {
        LipShape::Round { diameter } => format!("Ø {}", context.length(diameter)),
        LipShape::Long { length, width } | LipShape::Rectangle { length, width, .. } => {
            format!("{} × {}", context.length(length), context.length(width))
        }
    }
}

/// Every model in use with how often.
fn models<'a>(context: &Context<'a>) -> Vec<(&'a str, usize, Option<&'a CupModel>)> {
    let mut counts: Vec<(&str, usize, Option<&CupModel>)> = Vec::new();
    for cup in &context.report.cups {
        let model = context.model_of(cup.id);
        let same = |(name, _, known): &&mut (&str, usize, Option<&CupModel>)| {
            *name == cup.model && known.map(|m| &m.id) == model.map(|m| &m.id)
        };
        match counts.iter_mut().find(same) {
            Some((_, count, _)) => *count += 1,
            None => counts.push((&cup.model, 1, model)),
        }
    }
    counts
}

pub(super) fn cups(context: &Context, width: f64, style: &Style) -> Section {
    let unit = context.length_unit();
    let columns = [
        figures("count"),
        flexible("cup model"),
        words(format!("lip {unit}")),
        words("bellows"),
        words("material"),
        figures("Shore A"),
        words("thread"),
        figures(format!("height {unit}")),
        figures("mass each"),
    ];
    let rows: Vec<Vec<Cell>> = models(context)
        .into_iter()
        .map(|(name, count, model)| {
            let of = |value: &dyn Fn(&CupModel) -> String| Cell::plain(model.map_or(String::new(), value));
            vec![
                Cell::bold(count.to_string()),
                Cell::plain(name),
                of(&|m| lip_size(context, &m.shape)),
                of(&|m| m.folds_label().to_owned()),
                of(&|m| m.material.clone()),
                of(&|m| units::fixed(m.hardness_shore_a, 0, context.units)),
                of(&|m| m.thread.clone()),
                of(&|m| context.length(m.height_mm)),
                of(&|m| context.figure(m.mass_g / 1000.0, Quantity::Mass)),
            ]
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    if !rows.is_empty() {
        let says = "Any cup to this specification may be used; its own measured values then replace those \
            used in the calculation.";
        append(&mut rows, note_after(says, width, style));
    }
    Section { id: SectionId::CupsToBuy, heading: "Parts list: cups".to_owned(), head, rows }
}

pub(super) fn frame(context: &Context, width: f64, style: &Style) -> Section {
    let pieces = context.layout().map_or(&[][..], |layout| layout.tool.frame.as_slice());
    if pieces.is_empty() {
        return nothing(SectionId::Other("frame"));
    }
    let unit = context.length_unit();
    let columns = [
        figures("count"),
        flexible("piece"),
        words("what"),
        figures(format!("cut length {unit}")),
        figures(format!("width {unit}")),
        words(format!("mounting positions {unit}")),
        figures("mass each"),
    ];
    // Pieces that are cut alike go on one line.
    let mut alike: Vec<(usize, Vec<&str>, &FramePiece)> = Vec::new();
    for piece in pieces {
        match alike.iter_mut().find(|(_, _, first)| first.shape == piece.shape) {
            Some((count, names, _)) => {
                *count += 1;
                names.push(&piece.name);
            }
            None => alike.push((1, vec![&piece.name], piece)),
        }
    }
    let rows: Vec<Vec<Cell>> = alike
        .iter()
        .map(|(count, names, piece)| {
            let (what, places) = of_shape(context, &piece.shape);
            let size = piece.size();
            vec![
                Cell::bold(count.to_string()),
                Cell::plain(names.join(", ")),
                Cell::plain(what),
                Cell::plain(context.length(size.x)),
                Cell::plain(context.length(size.y)),
                Cell::plain(places),
                Cell::plain(context.figure(piece.mass_kg(), Quantity::Mass)),
            ]
        })
        .collect();
    let (head, rows) = table(&columns, &rows, width, style);
    Section { id: SectionId::Other("frame"), heading: "Parts list: frame".to_owned(), head, rows }
}

/// Where each piece of frame lies: what is set out before anything is drilled.
pub(super) fn located(context: &Context, width: f64, style: &Style) -> Section {
    let pieces = context.layout().map_or(&[][..], |layout| layout.tool.frame.as_slice());
    if pieces.is_empty() {
        return nothing(SectionId::Other("frame places"));
    }
    let columns = [
        flexible("piece"),
        figures("X").of("from the datum"),
        figures("Y").of("from the datum"),
        figures("turn °"),
        figures("height"),
        figures("cut length"),
        words(name_of("tool.frame.first_mm")),
    ];
    let datum = context.datum();
    let rows: Vec<Vec<Cell>> = pieces
        .iter()
        .map(|piece| {
            let first = match piece.shape {
                FrameShape::Rail { first_mm, .. } => context.as_made(first_mm),
                FrameShape::Plate { first_mm, .. } => {
                    format!("{} along, {} across", context.as_made(first_mm.x), context.as_made(first_mm.y))
                }
            };
            vec![
                Cell::bold(piece.name.trim()),
                Cell::plain(context.as_made(piece.at.x - datum.x)),
                Cell::plain(context.as_made(piece.at.y - datum.y)),
                Cell::plain(context.number(piece.turn_deg, Quantity::Angle)),
                Cell::plain(context.as_made(piece.height_mm)),
                Cell::plain(context.as_made(piece.size().x)),
                Cell::plain(first),
            ]
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    let says = format!(
        "Lengths in {}. X and Y are the start of a rail's centre line, the first corner of a plate: the end \
        marked by a triangle on the plan, from which the first position counts. Turn counter-clockwise from \
        X; height of its middle above the lips.",
        context.length_unit_name()
    );
    append(&mut rows, note_after(&says, width, style));
    Section { id: SectionId::Other("frame places"), heading: "Position of the frame".to_owned(), head, rows }
}

/// Posts between frame and cup, alike ones together, as the hole table has them.
pub(super) fn posts(context: &Context, width: f64, style: &Style) -> Section {
    let mut alike: Vec<(f64, Vec<&str>)> = Vec::new();
    for cup in context.report.cups.iter().filter(|cup| cup.height_mm > 0.0) {
        match alike.iter_mut().find(|(height, _)| *height == cup.height_mm) {
            Some((_, tags)) => tags.push(&cup.tag),
            None => alike.push((cup.height_mm, vec![&cup.tag])),
        }
    }
    let unit = context.length_unit();
    let columns = [figures("count"), figures(format!("post {unit}")), flexible("at cups")];
    let rows: Vec<Vec<Cell>> = alike
        .iter()
        .map(|(height, tags)| {
            let count = Cell::bold(tags.len().to_string());
            vec![count, Cell::plain(context.as_made(*height)), Cell::plain(tags.join(" "))]
        })
        .collect();
    let (head, rows) = table(&columns, &rows, width, style);
    Section { id: SectionId::Other("posts"), heading: "Parts list: posts".to_owned(), head, rows }
}

fn of_shape(context: &Context, shape: &FrameShape) -> (&'static str, String) {
    let pitch = |pitch: f64, first: f64| {
        let first = context.length(first);
        if pitch > 0.0 {
            format!("every {}, first at {first}", context.length(pitch))
        } else {
            format!("open slot from {first}")
        }
    };
    match *shape {
        FrameShape::Rail { pitch_mm, first_mm, .. } => ("rail", pitch(pitch_mm, first_mm)),
        FrameShape::Plate { pitch_mm, first_mm, .. } => {
            let along = pitch(pitch_mm.x, first_mm.x);
            let across = pitch(pitch_mm.y, first_mm.y);
            let both = if along == across {
                format!("both ways: {along}")
            } else {
                format!("along: {along}; across: {across}")
            };
            ("plate", both)
        }
    }
}

pub(super) fn fittings(context: &Context, width: f64, style: &Style) -> Section {
    let masses = context.layout().map_or(&[][..], |layout| layout.tool.masses.as_slice());
    let columns = [
        flexible("fitting, valve, source"),
        figures("X").of("centre from the datum"),
        figures("Y").of("centre from the datum"),
        figures("Z").of("centre from the datum"),
        figures("mass"),
    ];
    let mut rows: Vec<Vec<Cell>> = masses
        .iter()
        .map(|mass| {
            let mut row = vec![Cell::plain(&mass.name)];
            let at = mass.at - context.datum().extend(0.0);
            row.extend(at.to_array().map(|value| Cell::plain(context.length(value))));
            row.push(Cell::plain(context.figure(mass.mass_kg, Quantity::Mass)));
            row
        })
        .collect();
    let empty = context.report.robot.as_ref().and_then(|robot| robot.empty);
    if let Some(carried) = empty.filter(|_| !rows.is_empty()) {
        let blank = || Cell::plain("");
        let total = Cell::bold(context.figure(carried.mass_kg, Quantity::Mass));
        rows.push(vec![Cell::bold("Whole tool with cups and frame"), blank(), blank(), blank(), total]);
    }
    let (head, rows) = table(&columns, &rows, width, style);
    Section { id: SectionId::Other("fittings"), heading: "Parts list: fittings".to_owned(), head, rows }
}

pub(super) fn spares(context: &Context, width: f64, style: &Style) -> Section {
    let columns = [figures("count"), flexible("spare"), words("for")];
    let rows: Vec<Vec<Cell>> = models(context)
        .into_iter()
        .map(|(name, count, _)| {
            vec![
                Cell::bold(count.div_ceil(CUPS_PER_SPARE).to_string()),
                Cell::plain(format!("{name}: whole cup or lip set")),
                Cell::plain(if count == 1 { "1 cup".to_owned() } else { format!("{count} cups") }),
            ]
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    if !rows.is_empty() {
        let says = format!(
            "Common practice, no source: one spare for every {CUPS_PER_SPARE} cups of a model, the last few \
             counted as {CUPS_PER_SPARE}. Keep them dark, cool and flat."
        );
        append(&mut rows, note_after(&says, width, style));
    }
    Section { id: SectionId::Other("spares"), heading: "Spares".to_owned(), head, rows }
}
