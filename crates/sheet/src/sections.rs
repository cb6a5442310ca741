//! The tables and lists of the sheet, each as a section of blocks for a column of a given width.

use crate::block::{Block, Section, Setting, paragraph, stacked};
use crate::cautions;
use crate::context::{Context, met};
use crate::findings;
use crate::page::{Tone, Weight};
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table, words};
use analysis::LipLimit;
use document::{Motion, MotionKind, Origin, Worst};
use geometry::LipShape;
use units::Quantity;

/// Every section in the order in which a reader meets them.
pub(crate) fn all(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    let mut sections = vec![
        cups(context, width, style),
        loads(context, width, style),
        findings::section(context, width, style),
        parts_list(context, width, style),
        assumptions(context, width, style),
        cautions::section(width, style),
    ];
    sections.retain(|section| !section.rows.is_empty());
    sections
}

pub(crate) fn note(style: &Style) -> Setting {
    Setting { size: style.small, leading: style.small_leading, weight: Weight::Italic, tone: Tone::Second }
}
pub(crate) fn small(style: &Style) -> Setting {
    Setting { size: style.small, leading: style.small_leading, weight: Weight::Regular, tone: Tone::Ink }
}
pub(crate) fn body(style: &Style) -> Setting {
    Setting { size: style.body, leading: style.leading, weight: Weight::Regular, tone: Tone::Ink }
}

/// A note after a table, with air above it.
fn note_after(says: &str, width: f64, style: &Style) -> Block {
    stacked([Block::space(style.small * 0.5), paragraph(says, note(style), 0.0, width)])
}

fn cups(context: &Context, width: f64, style: &Style) -> Section {
    let unit = context.length_unit();
    let zones = context.report.cups.iter().any(|cup| !cup.zone.trim().is_empty());
    let mut columns = vec![
        words("tag"),
        figures(format!("X {unit}")),
        figures(format!("Y {unit}")),
        figures("turn °"),
        figures(format!("height {unit}")),
    ];
    if zones {
        columns.push(words("zone"));
    }
    columns.extend([flexible("model"), figures(format!("bore {unit}")), words("thread")]);
    let rows: Vec<Vec<Cell>> = context
        .report
        .cups
        .iter()
        .map(|cup| {
            let model = context.model_of(cup.id);
            let mut row = vec![
                Cell::bold(&cup.tag),
                Cell::plain(context.length(cup.at.x)),
                Cell::plain(context.length(cup.at.y)),
                Cell::plain(context.number(cup.turn_deg, Quantity::Angle)),
                Cell::plain(context.length(cup.height_mm)),
            ];
            if zones {
                row.push(Cell::plain(&cup.zone));
            }
            row.extend([
                Cell::plain(&cup.model),
                Cell::plain(model.map_or(String::new(), |m| context.length(m.bore_mm))),
                Cell::plain(model.map_or(String::new(), |m| m.thread.clone())),
            ]);
            row
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    if !rows.is_empty() {
        let says =
            "X and Y from the datum. Turn counter-clockwise. Height is the post between frame and cup.";
        rows.push(note_after(says, width, style));
    }
    Section { name: "cups", heading: "Cups and holes".to_owned(), head, rows }
}

fn loads(context: &Context, width: f64, style: &Style) -> Section {
    let columns = [
        flexible("motion"),
        figures("acceleration"),
        figures("tilt"),
        figures("factor"),
        figures("required"),
        words("governs"),
    ];
    let mut reasons = Vec::new();
    let rows: Vec<Vec<Cell>> = context
        .report
        .motions
        .iter()
        .map(|motion| {
            let asked = context.motion(motion.id);
            let mut row = vec![
                Cell::plain(&motion.name),
                Cell::plain(asked.map_or(String::new(), |m| acceleration(context, m))),
                Cell::plain(asked.map_or(String::new(), |m| tilt(context, m))),
            ];
            let required = context.ratio(motion.required_factor);
            match &motion.outcome {
                Ok(outcome) => {
                    let limit = match outcome.governing_limit {
                        LipLimit::Seal => "seal",
                        LipLimit::Slide => "slide",
                    };
                    let mut factor = Cell::bold(context.factor(outcome.factor, motion.required_factor));
                    if !met(motion) {
                        factor.tone = Tone::Fail;
                    }
                    row.extend([
                        factor,
                        Cell::plain(required),
                        Cell::plain(format!("{} {limit}", context.tag(outcome.governing_cup))),
                    ]);
                }
                Err(reason) => {
                    reasons.push((motion.name.clone(), reason.clone()));
                    row.extend([
                        Cell { tone: Tone::Fail, ..Cell::bold("none") },
                        Cell::plain(required),
                        Cell::second("not checked"),
                    ]);
                }
            }
            row
        })
        .collect();
    let (table_head, mut rows) = table(&columns, &rows, width, style);
    let verdict = &context.report.verdict;
    let tone = match verdict.severity {
        analysis::Severity::Fail => Tone::Fail,
        analysis::Severity::Watch => Tone::Watch,
        _ => Tone::Ink,
    };
    let mut above = Vec::new();
    if !verdict.sentence.trim().is_empty() && !rows.is_empty() {
        let bold = Setting { weight: Weight::SemiBold, tone, ..body(style) };
        above.push(paragraph(&verdict.sentence, bold, 0.0, width));
        above.push(Block::space(style.small * 0.4));
    }
    rows.extend(
        findings::by_reason(&reasons)
            .into_iter()
            .map(|(motions, why)| note_after(&format!("{}: {why}", motions.join("; ")), width, style)),
    );
    if let Some(balance) = &context.report.balance {
        let inside = if balance.inside_hull { "inside" } else { "outside" };
        let mut says = format!(
            "Centre of gravity {} {} from the centre of the cups and {inside} their hull",
            context.point(balance.centroid_offset),
            context.length_unit(),
        );
        if let Some(most) = balance.most_over_mean {
            says.push_str(&format!("; the most loaded cup carries {} × the mean", context.ratio(most)));
        }
        says.push('.');
        rows.push(note_after(&says, width, style));
    }
    let says = "Factor: how many times the load of the motion is carried before the first lip fails.";
    rows.push(paragraph(says, note(style), 0.0, width));
    above.extend(table_head);
    Section { name: "loads", heading: "What it holds".to_owned(), head: above, rows }
}

fn acceleration(context: &Context, motion: &Motion) -> String {
    let mut says = Vec::new();
    let linear = motion.acceleration.length();
    let (rate, turning) = (motion.turn_rate_deg_s.length(), motion.turn_acceleration_deg_s2.length());
    if linear > 0.0 || (rate == 0.0 && turning == 0.0) {
        says.push(context.figure(linear, Quantity::Acceleration));
    }
    if rate > 0.0 {
        says.push(context.figure(rate, Quantity::TurnRate));
    }
    if turning > 0.0 {
        says.push(context.figure(turning, Quantity::TurnAcceleration));
    }
    let mut says = says.join(" + ");
    if motion.worst == Worst::Direction && motion.kind != MotionKind::Swing {
        says.push_str(", any direction");
    }
    says
}

fn tilt(context: &Context, motion: &Motion) -> String {
    let from = context.number(motion.tilt_deg, Quantity::Angle);
    match motion.worst {
        Worst::TiltTo { deg } => format!("{from}–{}°", context.number(deg, Quantity::Angle)),
        _ if motion.tilt_deg == 0.0 => "level".to_owned(),
        _ => format!("{from}°"),
    }
}

fn lip_size(context: &Context, shape: &LipShape) -> String {
    match *shape {
        LipShape::Round { diameter } => format!("Ø {}", context.length(diameter)),
        LipShape::Long { length, width } | LipShape::Rectangle { length, width, .. } => {
            format!("{} × {}", context.length(length), context.length(width))
        }
    }
}

fn parts_list(context: &Context, width: f64, style: &Style) -> Section {
    let unit = context.length_unit();
    let columns = [
        figures("count"),
        flexible("cup model"),
        words(format!("lip {unit}")),
        figures("folds"),
        words("material"),
        figures("Shore A"),
        figures(format!("height {unit}")),
    ];
    let mut counts: Vec<(&str, usize, Option<&document::CupModel>)> = Vec::new();
    for cup in &context.report.cups {
        let model = context.model_of(cup.id);
        match counts
            .iter_mut()
            .find(|(name, _, known)| *name == cup.model && known.map(|m| &m.id) == model.map(|m| &m.id))
        {
            Some((_, count, _)) => *count += 1,
            None => counts.push((&cup.model, 1, model)),
        }
    }
    let rows: Vec<Vec<Cell>> = counts
        .into_iter()
        .map(|(name, count, model)| {
            let of = |value: &dyn Fn(&document::CupModel) -> String| {
                Cell::plain(model.map_or(String::new(), value))
            };
            vec![
                Cell::bold(count.to_string()),
                Cell::plain(name),
                of(&|m| lip_size(context, &m.shape)),
                of(&|m| m.folds.to_string()),
                of(&|m| m.material.clone()),
                of(&|m| format!("{:.0}", m.hardness_shore_a)),
                of(&|m| context.length(m.height_mm)),
            ]
        })
        .collect();
    let (head, rows) = table(&columns, &rows, width, style);
    Section { name: "parts list", heading: "Parts list".to_owned(), head, rows }
}

fn assumptions(context: &Context, width: f64, style: &Style) -> Section {
    let tight =
        Style { body: style.small * 1.08, pitch: style.small * 1.5, leading: style.small_leading, ..*style };
    let dated = context.report.assumptions.iter().any(|assumption| !assumption.on.trim().is_empty());
    let mut columns = vec![flexible("input"), figures("value"), words("from")];
    if dated {
        columns.push(words("entered"));
    }
    let rows: Vec<Vec<Cell>> = context
        .report
        .assumptions
        .iter()
        .map(|assumption| {
            let from = match assumption.origin {
                Origin::Measured => Cell::plain("measured"),
                Origin::Stated => Cell::plain("stated"),
                Origin::Assumed => Cell { weight: Weight::SemiBold, ..Cell::plain("assumed") },
            };
            vec![
                Cell::plain(findings::capitalised(&assumption.what)),
                Cell::plain(context.figure(assumption.value, assumption.quantity)),
                from,
                Cell::second(&assumption.on),
            ]
        })
        .collect();
    let (head, rows) = table(&columns, &rows, width, &tight);
    Section { name: "assumptions", heading: "What the figures rest on".to_owned(), head, rows }
}
