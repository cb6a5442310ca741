//! What to check, measure and write down on the real tool, and how to keep it in order.

use super::{append, body, motions, note_after, printed, small, tight, upkeep};
use crate::block::{Block, Section, SectionId, paragraph, stacked};
use crate::context::Context;
use crate::page::{Contour, Item, Pen, Tone};
use crate::style::{BY_HAND, Style, THIN};
use crate::tables::{Cell, figures, flexible, table, words};
use glam::dvec2;
use units::Quantity;

pub(super) fn sections(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    printed(vec![
        before(context, width, style),
        circuits(context, width, style),
        friction(context, width, style),
        trial(context, width, style),
        weights(context, width, style),
        upkeep::measured(context, width, style),
        intervals(width, style),
        upkeep::wear(context, width, style),
        signed(width, style),
    ])
}

/// A box to tick and a sentence beside it.
fn tick(says: &str, width: f64, style: &Style) -> Block {
    let text = paragraph(says, body(style), style.body * 1.75, width);
    let mut block = stacked([text, Block::space(style.body * 0.5)]);
    block.items.push(empty_box(style));
    block
}

/// Side of a box beside a sentence, and where its upper edge lies.
pub(super) fn box_place(style: &Style) -> (f64, f64) {
    (style.body * 0.95, -style.body * 0.12)
}

pub(super) fn empty_box(style: &Style) -> Item {
    let (side, top) = box_place(style);
    let pen = Some(Pen::solid(THIN, Tone::Ink));
    let contours = vec![Contour::rectangle(dvec2(0.1, top - side), dvec2(0.1 + side, top))];
    Item::Path { contours, pen, fill: None }
}

fn before(context: &Context, width: f64, style: &Style) -> Section {
    let mut says = vec![
        "The check bar on page 1 measures its stated length, and every cup sits at its X, Y and turn from \
        the hole table."
            .to_owned(),
        "Every cup is the model listed; lips are clean, undamaged and seated; fittings are tight and hoses \
        free of kinks."
            .to_owned(),
    ];
    let zones = context.zones();
    if zones.len() > 1 {
        let lists: Vec<String> = zones
            .iter()
            .map(|zone| {
                let tags: Vec<&str> = context
                    .report
                    .cups
                    .iter()
                    .filter(|cup| cup.zone.trim() == *zone)
                    .map(|cup| cup.tag.as_str())
                    .collect();
                const MOST: usize = 12;
                let more = if tags.len() > MOST {
                    format!(" and {} more", tags.len() - MOST)
                } else {
                    String::new()
                };
                format!("{zone}: {}{more}", tags[..tags.len().min(MOST)].join(" "))
            })
            .collect();
        says.push(format!("Each valve switches the cups of its zone and no others ({}).", lists.join("; ")));
    }
    says.extend(
        [
            "Nobody stands in the path or below; guards and stops are as the risk assessment requires.",
            "With the feed cut off the part stays on the tool for the stated hold time, low over a padded table.",
            "The switch for \"part held\" opens when one cup is lifted off, and the machine stops.",
        ]
        .map(str::to_owned),
    );
    let rows = says.iter().map(|says| tick(says, width, style)).collect();
    Section {
        id: SectionId::Other("before"),
        heading: "Before the first pick".to_owned(),
        head: Vec::new(),
        rows,
    }
}

/// A cell to write into.
fn blank() -> Cell {
    Cell::plain("")
}

/// Rows far enough apart to write in.
fn roomy(style: &Style) -> Style {
    Style { pitch: (style.pitch * 1.25).max(BY_HAND), ..*style }
}

fn circuits(context: &Context, width: f64, style: &Style) -> Section {
    let columns = [
        flexible("measurement"),
        figures("expected"),
        words("measured, sealed plate").by_hand(7.0),
        words("measured, real part").by_hand(7.0),
        words("date, by").by_hand(7.0),
    ];
    let cups = context.layout().map_or(&[][..], |layout| layout.cups.as_slice());
    let mut rows = Vec::new();
    let used = |c: &&document::Circuit| cups.iter().any(|cup| cup.circuit == c.id);
    let circuits: Vec<&document::Circuit> =
        context.project.circuits.iter().map(AsRef::as_ref).filter(used).collect();
    for circuit in &circuits {
        // What is measured comes first, so that a long name cuts none of it.
        let named = if circuits.len() > 1 { format!(", {}", circuit.name.trim()) } else { String::new() };
        let levels = context.report.cups.iter().zip(cups).filter(|(_, cup)| cup.circuit == circuit.id);
        let level = levels.map(|(report, _)| report.level_kpa).fold(f64::INFINITY, f64::min);
        let of = |what: &str, expected: String| {
            vec![Cell::plain(format!("{what}{named}")), Cell::plain(expected), blank(), blank(), blank()]
        };
        rows.push(of("level at the last cup", format!("≥ {}", context.figure(level, Quantity::VacuumLevel))));
        let set = circuit.thresholds;
        let time = |of: fn(&document::Thresholds) -> f64, sign: &str| {
            set.as_ref().map_or("to fill in".to_owned(), |set| {
                format!("{sign} {}", context.figure(of(set), Quantity::Time))
            })
        };
        if let Some(set) = &set {
            let level = |kpa: f64| context.figure(kpa, Quantity::VacuumLevel);
            rows.push(of("switch \"part held\" closes at", level(set.held_kpa)));
            rows.push(of("alarm with a part held, below", level(set.alarm_kpa.unwrap_or(set.held_kpa))));
            rows.push(of("air saving stops the source at", level(set.saving_off_kpa)));
        }
        rows.push(of("time to level", time(|set| set.time_out_s, "≤")));
        rows.push(of("level kept after the feed is shut off, for", time(|set| set.hold_s, "≥")));
        rows.push(of("level 60 s after the feed is shut off (leak-down)", "to fill in".to_owned()));
        rows.push(of("lowest feed pressure at which the level is kept", "to fill in".to_owned()));
    }
    let (head, mut rows) = table(&columns, &rows, width, &roomy(&tight(style)));
    if !rows.is_empty() {
        let says = "Measure at the cup farthest from the source, at the lowest feed and the highest \
            temperature. The sealed-plate values are the baseline that later measurements are compared with.";
        append(&mut rows, note_after(says, width, style));
    }
    Section { id: SectionId::Other("trial level"), heading: "Trial: vacuum level".to_owned(), head, rows }
}

/// Slide test: one line for each model, since friction belongs to a lip and a surface.
fn friction(context: &Context, width: f64, style: &Style) -> Section {
    let columns = [
        flexible("lip on the part"),
        figures("holds with"),
        figures("slides at, expected"),
        words("slid at: 1").by_hand(5.0),
        words("2").by_hand(5.0),
        words("3").by_hand(5.0),
        figures("friction used"),
        words("measured").by_hand(5.0),
    ];
    let mut seen: Vec<&str> = Vec::new();
    let mut rows = Vec::new();
    for cup in &context.report.cups {
        if seen.contains(&cup.model.as_str()) {
            continue;
        }
        seen.push(&cup.model);
        let material =
            context.model_of(cup.id).map_or(String::new(), |model| format!(", {}", model.material));
        rows.push(vec![
            Cell::plain(format!("{}{material}", cup.model)),
            Cell::plain(context.figure(cup.vacuum_force_n, Quantity::Force)),
            Cell::plain(context.figure(cup.vacuum_force_n * cup.friction, Quantity::Force)),
            blank(),
            blank(),
            blank(),
            Cell::plain(context.ratio(cup.friction)),
            blank(),
        ]);
    }
    let (head, mut rows) = table(&columns, &rows, width, &roomy(&tight(style)));
    if !rows.is_empty() {
        let says = "Slide test: one cup on the real surface in its worst state, at the stated level; pull \
            level with the face until it slides. Friction = that pull over the force the cup holds with. \
            Enter the lowest of three in the project, with its date.";
        append(&mut rows, note_after(says, width, style));
    }
    Section { id: SectionId::Other("trial friction"), heading: "Trial: slide test".to_owned(), head, rows }
}

fn trial(context: &Context, width: f64, style: &Style) -> Section {
    let columns = [
        flexible("motion, first slow"),
        figures("acceleration"),
        figures("factor"),
        words("held 10 of 10").by_hand(5.0),
        words("lowest level seen").by_hand(6.0),
        words("date, by").by_hand(7.0),
    ];
    let rows: Vec<Vec<Cell>> = context
        .report
        .motions
        .iter()
        .map(|motion| {
            let asked = context.motion(motion.id);
            let factor = context.report.factor_of(motion);
            let factor = factor.map_or_else(
                || "none".to_owned(),
                |factor| context.factor_of(factor, motion.required_factor),
            );
            vec![
                Cell::plain(&motion.name),
                Cell::plain(asked.map_or(String::new(), |m| motions::acceleration(context, m))),
                Cell::plain(factor),
                blank(),
                blank(),
                blank(),
            ]
        })
        .collect();
    let (head, rows) = table(&columns, &rows, width, &roomy(&tight(style)));
    Section {
        id: SectionId::Other("trial picks"),
        heading: "Trial: picks with the real part".to_owned(),
        head,
        rows,
    }
}

fn weights(context: &Context, width: f64, style: &Style) -> Section {
    let columns = [
        flexible("weighed and measured"),
        figures("expected"),
        words("measured").by_hand(8.0),
        words("date, by").by_hand(7.0),
    ];
    let mut rows = Vec::new();
    let mut add = |what: &str, expected: String| {
        rows.push(vec![Cell::plain(what), Cell::plain(expected), blank(), blank()]);
    };
    if let Some(part) = &context.report.part {
        add("mass of the part", context.figure(part.mass_kg, Quantity::Mass));
    }
    if let Some(part) = context.part() {
        add("thickness of the part", context.given(part.thickness_mm, Quantity::Length));
        add("height variation under the lips", context.given(part.uneven_mm, Quantity::Length));
    }
    if let Some(empty) = context.report.robot.as_ref().and_then(|robot| robot.empty) {
        add("mass of the tool without the part", context.figure(empty.mass_kg, Quantity::Mass));
    }
    let (head, rows) = table(&columns, &rows, width, &roomy(&tight(style)));
    Section { id: SectionId::Other("trial masses"), heading: "Trial: part and tool".to_owned(), head, rows }
}

/// Intervals are custom of the trade, and said to be so.
fn intervals(width: f64, style: &Style) -> Section {
    const LINES: [(&str, &str, &str); 7] = [
        ("lips: cuts, hardening, loose seat; wipe clean", "each shift", "change the whole set of a model"),
        ("filters", "weekly, sooner in dust", "blow out backwards or change"),
        (
            "hoses and fittings: kinks, chafing, listening for leaks",
            "weekly",
            "change; sealant paste, not tape",
        ),
        ("flap valves", "monthly", "wash in mild soap and water; align each with its port"),
        ("leak-down against the baseline", "monthly", "find the cup or hose that leaks"),
        ("time to level against the baseline", "monthly", "filter, feed pressure, source"),
        ("fasteners of cups and frame", "after a week, then quarterly", "tighten, mark"),
    ];
    let columns = [
        flexible("what"),
        words("interval"),
        flexible("if it has changed"),
        words("done: date, by").by_hand(7.0),
    ];
    let rows: Vec<Vec<Cell>> = LINES
        .iter()
        .map(|(what, interval, mend)| {
            vec![Cell::plain(*what), Cell::plain(*interval), Cell::plain(*mend), blank()]
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, &roomy(&tight(style)));
    let says = "Intervals are common practice, no source; the wear seen in the first weeks decides. Isolate and vent first.";
    append(&mut rows, note_after(says, width, style));
    Section { id: SectionId::Other("maintenance"), heading: "Maintenance".to_owned(), head, rows }
}

fn signed(width: f64, style: &Style) -> Section {
    let field = |label: &str, from: f64, to: f64| {
        let pen = Pen::solid(THIN, Tone::Ink);
        let y = -style.body * 3.0;
        let says = paragraph(label, small(style), 0.0, to - from);
        let mut items: Vec<Item> = says.at(dvec2(from, y - style.small * 0.2)).collect();
        items.push(Item::Line { from: dvec2(from, y), to: dvec2(to, y), pen });
        items
    };
    let gap = style.body * 2.0;
    let third = (width - 2.0 * gap) / 3.0;
    let mut items = Vec::new();
    for (index, label) in ["commissioned by", "date", "released for production by"].into_iter().enumerate() {
        let from = index as f64 * (third + gap);
        items.extend(field(label, from, from + third));
    }
    let rows = vec![Block { height: style.body * 3.2 + style.small_leading, items }];
    Section { id: SectionId::Other("signed"), heading: "Commissioned".to_owned(), head: Vec::new(), rows }
}
