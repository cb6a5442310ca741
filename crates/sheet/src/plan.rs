//! The part and its cups to scale, with dimensions to the datum.

use crate::Scale;
use crate::block::{Setting, paragraph};
use crate::context::Context;
use crate::dimensions::{Ordinate, Side, draw as draw_ordinates, pitch, reach};
use crate::frame::Rect;
use crate::page::{Item, Tone, Weight};
use crate::plan_content::{self, Paper};
use crate::plan_symbols;
use crate::style::{Style, left};
use crate::text_width::text_width;
use glam::{DVec2, dvec2};
use std::collections::HashMap;

/// Room above the part for its caption and below its dimensions for the check bar.
const BAR: f64 = 9.5;
/// Between the drawing and the edge of its rectangle.
pub(crate) const MARGIN: f64 = 6.0;
/// A datum further off than this share of the part's size is described rather than drawn.
const DATUM_REACH: f64 = 0.3;

/// What the plan needs, worked out before there is a place for it.
#[derive(Debug, Clone)]
pub(crate) struct Measured {
    pub scale: Scale,
    /// Extent on the part, mm.
    pub extent: Rect,
    datum_shown: bool,
    x: Vec<Ordinate>,
    y: Vec<Ordinate>,
    rows_left_out: bool,
    /// Size of everything together on the paper.
    pub block: DVec2,
    left: f64,
    below: f64,
    caption: f64,
    span: DVec2,
}

/// Extent of what is drawn, mm on the part; `None` when there is nothing to draw.
fn extent(context: &Context) -> Option<Rect> {
    let mut all: Option<Rect> = None;
    let mut add = |min: DVec2, max: DVec2| {
        if min.is_finite() && max.is_finite() {
            let rect = all.unwrap_or(Rect::new(min, max));
            all = Some(Rect::new(rect.min.min(min), rect.max.max(max)));
        }
    };
    if let Some(part) = context.part() {
        let keep_outs = part.keep_outs.iter().map(|keep_out| keep_out.area.as_ref());
        for boundary in std::iter::once(&part.outline.outer).chain(&part.outline.holes).chain(keep_outs) {
            if let Some(bounds) = boundary.bounds() {
                add(bounds.min, bounds.max);
            }
        }
    }
    for cup in &context.report.cups {
        let half = cup.shape.size() / 2.0;
        let along = DVec2::from_angle(cup.turn_deg.to_radians()).abs();
        let reach = dvec2(along.x * half.x + along.y * half.y, along.y * half.x + along.x * half.y);
        add(cup.at - reach, cup.at + reach);
    }
    all
}

/// Figures along one axis: the datum, the part's ends, the rows of cups; fewer when they cannot all stand.
fn ordinates(
    context: &Context,
    axis: usize,
    extent: &Rect,
    datum_shown: bool,
    most: usize,
) -> (Vec<Ordinate>, bool) {
    let mut ends = Vec::new();
    if datum_shown {
        ends.push(0.0);
    }
    if let Some(bounds) = context.part().and_then(|part| part.outline.outer.bounds()) {
        ends.extend([bounds.min[axis], bounds.max[axis]]);
    } else {
        ends.extend([extent.min[axis], extent.max[axis]]);
    }
    let rows: Vec<f64> = context.report.cups.iter().map(|cup| cup.at[axis]).collect();
    let full = figures(context, ends.iter().chain(&rows).copied(), datum_shown);
    if full.len() <= most {
        return (full, false);
    }
    // Rows that several cups share say most about the build.
    let mut counts: HashMap<String, usize> = HashMap::new();
    for at in &rows {
        *counts.entry(context.length(*at)).or_default() += 1;
    }
    let shared = rows.iter().copied().filter(|at| counts.get(&context.length(*at)).is_some_and(|n| *n > 1));
    let fewer = figures(context, ends.iter().copied().chain(shared), datum_shown);
    if fewer.len() <= most {
        return (fewer, true);
    }
    (figures(context, ends.into_iter(), datum_shown), true)
}

fn figures(context: &Context, values: impl Iterator<Item = f64>, datum_shown: bool) -> Vec<Ordinate> {
    let mut values: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    let mut out: Vec<Ordinate> = Vec::new();
    for at in values {
        let figure = context.length(at);
        if out.last().is_none_or(|last| last.figure != figure) {
            out.push(Ordinate { at, bold: datum_shown && at.abs() < 1e-6, figure });
        }
    }
    out
}

/// Works out scale and size for a room; `None` when there is nothing to draw.
pub(crate) fn measure(context: &Context, room: DVec2, style: &Style) -> Option<Measured> {
    let mut extent = extent(context)?;
    let reach_allowed = (extent.max - extent.min).max_element() * DATUM_REACH;
    let datum_shown = extent.inset(-reach_allowed.max(1.0)).contains(&Rect::new(DVec2::ZERO, DVec2::ZERO));
    if datum_shown {
        extent = Rect::new(extent.min.min(DVec2::ZERO), extent.max.max(DVec2::ZERO));
    }
    let size = figure_size(style);
    let caption = style.heading * 1.35 + style.small_leading * 2.0 + 3.0;
    let step = pitch(size);
    // First guess of the gutters with the longest possible figures, then as many rows as the rest allows.
    let widest = |axis: usize| {
        let (all, _) = ordinates(context, axis, &extent, datum_shown, usize::MAX);
        reach(&all, size)
    };
    let (gutter_left, gutter_below) = (widest(1), widest(0));
    let free = dvec2(room.x - gutter_left - 2.0 * MARGIN, room.y - gutter_below - caption - BAR - MARGIN);
    let most = |length: f64| (length.max(0.0) / step).floor() as usize + 1;
    let (x, fewer_x) = ordinates(context, 0, &extent, datum_shown, most(free.x));
    let (y, fewer_y) = ordinates(context, 1, &extent, datum_shown, most(free.y));
    let part = (extent.max - extent.min).max(DVec2::splat(1e-6));
    let scale = Scale::fitting(part.to_array(), free.to_array());
    let drawn = part * scale.ratio();
    let span = dvec2(
        drawn.x.max(x.len().saturating_sub(1) as f64 * step),
        drawn.y.max(y.len().saturating_sub(1) as f64 * step),
    );
    let block = dvec2(gutter_left + span.x + MARGIN, caption + span.y + gutter_below + BAR);
    Some(Measured {
        scale,
        extent,
        datum_shown,
        x,
        y,
        rows_left_out: fewer_x || fewer_y,
        block,
        left: gutter_left,
        below: gutter_below,
        caption,
        span,
    })
}

pub(crate) fn figure_size(style: &Style) -> f64 {
    style.small * 1.06
}

/// Draws the plan in the middle of a rectangle.
pub(crate) fn draw(context: &Context, measured: &Measured, rect: Rect, style: &Style) -> Item {
    let ratio = measured.scale.ratio();
    let slack = (dvec2(rect.width(), rect.height()) - measured.block).max(DVec2::ZERO);
    let corner =
        dvec2(rect.min.x + slack.x / 2.0 + measured.left, rect.min.y + slack.y * 0.5 + BAR + measured.below);
    let drawn = (measured.extent.max - measured.extent.min) * ratio;
    let size = figure_size(style);
    let mut items = Vec::new();
    let page_ordinates = |ordinates: &[Ordinate], axis: usize| -> Vec<Ordinate> {
        ordinates
            .iter()
            .map(|o| Ordinate { at: corner[axis] + (o.at - measured.extent.min[axis]) * ratio, ..o.clone() })
            .collect()
    };
    let reach_to = |axis: usize| corner[axis] + measured.span[axis].max(drawn[axis]);
    let x = page_ordinates(&measured.x, 0);
    let y = page_ordinates(&measured.y, 1);
    items.extend(draw_ordinates(&y, Side::Left, corner.x, corner.y, reach_to(1), size));
    items.extend(draw_ordinates(&x, Side::Below, corner.y, corner.x, reach_to(0), size));
    let room = Rect::new(
        corner - dvec2(0.6, 0.6),
        dvec2(
            (rect.max.x - 1.0).min(corner.x + drawn.x + slack.x / 2.0 + MARGIN - 1.0),
            corner.y + drawn.y.max(measured.span.y) + 3.0,
        ),
    );
    let paper = Paper { corner, origin: measured.extent.min, ratio, room };
    let placed = plan_content::draw(context, &paper, measured.datum_shown, style, &mut items);
    let above = dvec2(corner.x, room.max.y + 0.6);
    items.extend(caption(context, measured, rect, above, placed.zones, style));
    items.extend(foot(context, measured, rect, corner, placed.tags_left_out, style));
    Item::Group { name: "plan".to_owned(), clip: None, items }
}

fn caption(
    context: &Context,
    measured: &Measured,
    rect: Rect,
    lower_left: DVec2,
    zones: bool,
    style: &Style,
) -> Vec<Item> {
    let heading = "Seen from the robot side, looking at the face the cups land on";
    let size = style.heading;
    let mut lines = vec![(heading.to_owned(), size, Weight::SemiBold, Tone::Ink)];
    let zone = if zones { ", zone letter beside the cup" } else { "" };
    let gravity = context.report.part.as_ref().map_or(String::new(), |part| {
        format!(
            " Quartered disc: centre of gravity at {}.",
            context.point(part.centre_of_gravity_mm.truncate())
        )
    });
    let key = format!("Outer lip solid, sealing line dashed{zone}.{gravity}");
    let scale = format!(
        "Scale {}, lengths in {}, X to the right and Y up from the datum.",
        measured.scale,
        context.length_unit_name()
    );
    for line in [scale, key] {
        lines.push((line, style.small, Weight::Regular, Tone::Second));
    }
    let lines: Vec<_> = lines
        .into_iter()
        .map(|(says, wanted, weight, tone)| {
            let (says, size) =
                crate::text_width::fit(&says, weight, wanted, wanted * 0.7, rect.width() - 4.0);
            (says, size, wanted, weight, tone)
        })
        .collect();
    let widest =
        lines.iter().map(|(says, size, _, weight, _)| text_width(says, *weight, *size)).fold(0.0, f64::max);
    let x = lower_left.x.min(rect.max.x - 1.0 - widest).max(rect.min.x + 1.0);
    let mut items = Vec::new();
    let mut y = lower_left.y + measured.caption - 1.5;
    for (says, size, wanted, weight, tone) in lines {
        y -= size * 0.8;
        items.push(left(dvec2(x, y), &says, size, weight, tone));
        y -= wanted * 0.5;
    }
    items
}

/// The check bar and the notes beside it.
fn foot(
    context: &Context,
    measured: &Measured,
    rect: Rect,
    corner: DVec2,
    tags_left_out: usize,
    style: &Style,
) -> Vec<Item> {
    let bar = measured.scale.check_bar(context.units);
    let start = dvec2(corner.x, corner.y - measured.below - 3.2);
    let mut items = plan_symbols::check_bar(start, bar.paper_mm);
    let length = units::Quantity::Length;
    let plain = |mm: f64| {
        let shown = units::show(mm, length, context.units);
        let number = shown.number;
        let trimmed = if number.contains(['.', ',']) {
            number.trim_end_matches('0').trim_end_matches(['.', ',']).to_owned()
        } else {
            number
        };
        format!("{trimmed} {}", shown.unit)
    };
    let says = format!(
        "{} on the part, {} on the paper: measure me to check the print.",
        plain(bar.part_mm),
        context.figure(bar.paper_mm, length)
    );
    let mut notes = vec![says];
    if measured.rows_left_out {
        notes.push("Too many rows for all to be dimensioned: see the table.".to_owned());
    }
    if tags_left_out > 0 {
        notes.push(format!(
            "{tags_left_out} tags have no room at this scale: find those cups by X and Y in the table."
        ));
    }
    if !measured.datum_shown {
        notes.push("The datum (0, 0) lies outside this view.".to_owned());
    }
    let setting = Setting {
        size: style.small,
        leading: style.small_leading,
        weight: Weight::Regular,
        tone: Tone::Second,
    };
    let room = rect.max.x - corner.x - 1.0;
    let says = notes.join(" ");
    let (x, y) = if text_width(&says, setting.weight, setting.size) <= room - bar.paper_mm - 3.0 {
        (corner.x + bar.paper_mm + 2.5, start.y + 1.2)
    } else {
        (corner.x.min(rect.max.x - 70.0).max(rect.min.x + 1.0), start.y - 1.0)
    };
    let block = paragraph(&says, setting, 0.0, rect.max.x - x - 1.0);
    items.extend(block.at(dvec2(x, y)));
    items
}
