//! What each cup gets in each motion, and the envelope.

use super::{append, limit_words, note, note_after, nothing, tight};
use crate::block::{Block, Section, SectionId, paragraph, stacked};
use crate::context::Context;
use crate::page::{Role, Tag, Tone};
use crate::plots;
use crate::style::Style;
use crate::tables::{Cell, Column, figures, natural_width, table, words};
use analysis::{EnvelopePointReport, MotionOutcome, MotionReport};
use glam::dvec2;
use units::Quantity;

/// Pull, slide and factor of every cup, as many motions beside each other as the width takes.
pub(super) fn sections(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    let motions: Vec<(&MotionReport, &MotionOutcome)> = context
        .report
        .motions
        .iter()
        .filter_map(|motion| motion.outcome.as_ref().ok().map(|outcome| (motion, outcome)))
        .collect();
    let style = &tight(style);
    let mut sections = Vec::new();
    let mut rest = motions.as_slice();
    while !rest.is_empty() && !context.report.cups.is_empty() {
        let fits = |count: usize| {
            let (columns, rows) = contents(context, &rest[..count]);
            natural_width(&columns, &rows, style) <= width
        };
        let count = (1..=rest.len()).take_while(|count| fits(*count)).last().unwrap_or(1);
        let (now, later) = rest.split_at(count);
        let (columns, rows) = contents(context, now);
        let (head, mut rows) = table(&columns, &rows, width, style);
        if later.is_empty() {
            let says = "Pull along the cup's axis (minus presses it on) and slide across it, at the motion's \
                governing instant; factor is the lowest of the cup over the whole motion. * marks the cup \
                that governs.";
            append(&mut rows, note_after(says, width, style));
        }
        let heading = if sections.is_empty() {
            "Load and factor of each cup"
        } else {
            "Load and factor, further motions"
        };
        sections.push(Section { id: SectionId::Other("cup loads"), heading: heading.to_owned(), head, rows });
        rest = later;
    }
    sections
}

fn contents(context: &Context, motions: &[(&MotionReport, &MotionOutcome)]) -> (Vec<Column>, Vec<Vec<Cell>>) {
    let unit = units::unit_of(Quantity::Force, context.units).1;
    let mut columns = vec![words("tag")];
    for (motion, _) in motions {
        columns.extend([
            figures(format!("pull {unit}")).of(&motion.name),
            figures(format!("slide {unit}")).of(&motion.name),
            figures(format!("factor, of {}", context.ratio(motion.required_factor))).of(&motion.name),
        ]);
    }
    let rows = context.report.cups.iter().enumerate().map(|(index, cup)| {
        let mut row = vec![Cell::bold(&cup.tag)];
        for (motion, outcome) in motions {
            let Some(of) = outcome.cups.get(index).filter(|of| of.id == cup.id) else {
                row.extend([Cell::plain("–"), Cell::plain("–"), Cell::plain("–")]);
                continue;
            };
            row.push(Cell::plain(context.number(of.load.pull, Quantity::Force)));
            row.push(Cell::plain(context.number(of.load.slide.length(), Quantity::Force)));
            let factor = context.factor(of.factor.value, motion.required_factor);
            let governs = outcome.governing_cup == cup.id;
            let mut cell = if governs { Cell::bold(format!("*{factor}")) } else { Cell::plain(factor) };
            if of.factor.value < motion.required_factor {
                cell.tone = Tone::Fail;
            }
            row.push(cell);
        }
        row
    });
    (columns, rows.collect())
}

/// One direction in words: "6.20 m/s² (C4 slide)".
fn held(context: &Context, point: &EnvelopePointReport) -> String {
    if point.acceleration == f64::INFINITY {
        return "no limit".to_owned();
    }
    let figure = context.figure(point.acceleration, Quantity::Acceleration);
    format!("{figure} ({} {})", context.tag(point.cup), limit_words(point.limit))
}

/// The polar plot with its figures.
pub(super) fn envelope(context: &Context, width: f64, style: &Style) -> Section {
    let Some(envelope) = &context.report.envelope else { return nothing(SectionId::Other("envelope")) };
    let says = format!(
        "Largest acceleration in each direction of the plane, part held {}, with a factor of {} kept; each \
        piece of the curve names the cup that limits it.",
        envelope.held.says(context.units),
        context.ratio(envelope.required_factor)
    );
    let side = width.min(style.body * 30.0);
    let alt = format!("Polar chart: {says} The governing figures are below it.");
    let plot = [Tag::new(Role::Figure, alt).over(plots::polar(context, &[("", envelope)], side, style))];
    let height = side * 0.98;
    let plot = Block {
        height,
        items: plot.iter().map(|item| item.shifted(dvec2((width - side) / 2.0, 0.0))).collect(),
    };
    let weakest = &envelope.weakest;
    let direction = if weakest.acceleration.is_finite() {
        format!(" at {}", context.figure(weakest.direction_deg, Quantity::Angle))
    } else {
        String::new()
    };
    let figures = format!(
        "Weakest direction{direction}: {}. Up: {}. Down: {}.",
        held(context, weakest),
        held(context, &envelope.up),
        held(context, &envelope.down)
    );
    let rows = vec![stacked([
        paragraph(&says, note(style), 0.0, width),
        plot,
        paragraph(&figures, super::body(style), 0.0, width),
    ])];
    Section { id: SectionId::Other("envelope"), heading: "Envelope".to_owned(), head: Vec::new(), rows }
}
