//! The part and its cups to scale, with dimensions to the datum.

use crate::Scale;
use crate::block::{Setting, paragraph};
use crate::context::{Context, layout_called};
use crate::dimensions::{Ordinate, Side, draw as draw_ordinates, pitch, reach};
use crate::frame::Rect;
use crate::page::{Item, Role, Tag, Tone, Weight};
use crate::plan_content::{self, Place};
use crate::plan_symbols;
use crate::style::{NOTE, Style, left};
use crate::text_width::{printable, text_width};
use crate::view::View;
use glam::{DVec2, dvec2};
use std::collections::HashMap;
use telling::Elsewhere;

/// Room above the part for its caption and below its dimensions for the check bar.
const BAR: f64 = 9.5;
/// Between the drawing and the edge of its rectangle.
pub(crate) const MARGIN: f64 = 6.0;
/// A datum further off than this share of the part's size is described rather than drawn.
const DATUM_REACH: f64 = 0.3;

/// How a plan is to look.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Look {
    pub heading: String,
    /// Seen from the part's side: x runs to the left.
    pub mirrored: bool,
    /// The check bar under it.
    pub bar: bool,
    /// This scale instead of the largest that fits.
    pub scale: Option<Scale>,
    /// What was elsewhere before.
    pub ghosts: Elsewhere,
    /// The caption stands in the upper left of its room, since a stamp stands in the upper right.
    pub caption_at_top: bool,
    /// For a screen, which has no scale: as large as it fits.
    pub screen: bool,
}

impl Look {
    /// The plan that the team drills from.
    pub fn from_robot_side() -> Self {
        let heading = "Seen from the robot side, looking at the face the cups land on".to_owned();
        Self {
            heading,
            mirrored: false,
            bar: true,
            scale: None,
            ghosts: Elsewhere::default(),
            caption_at_top: false,
            screen: false,
        }
    }
    /// The tool on the bench, lips up.
    pub fn mirrored() -> Self {
        let heading = "Mirrored: the tool on the bench, seen from the part, looking at the lips".to_owned();
        Self {
            heading,
            mirrored: true,
            bar: true,
            scale: None,
            ghosts: Elsewhere::default(),
            caption_at_top: false,
            screen: false,
        }
    }
    /// The plan of one of several parts on a tool.
    pub(crate) fn of_part(self, name: &str) -> Self {
        Self { heading: format!("{}: {}", name.trim(), analysis::words::inside(&self.heading)), ..self }
    }
    /// One of several plans on a page.
    pub fn of_layout(name: &str) -> Self {
        let heading = layout_called("Layout", name);
        Self {
            heading,
            mirrored: false,
            bar: false,
            scale: None,
            ghosts: Elsewhere::default(),
            caption_at_top: false,
            screen: false,
        }
    }
    /// In a page of text, where the window decides how large it is.
    pub fn on_screen() -> Self {
        Self { bar: false, screen: true, ..Self::from_robot_side() }
    }
    /// The plan that is made by states how exactly; one of several beside each other does not.
    fn states_tolerance(&self) -> bool {
        self.bar || self.screen
    }
    fn below(&self, style: &Style) -> f64 {
        if self.bar { BAR + style.small_leading } else { style.small_leading + 1.5 }
    }
}

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
fn extent(context: &Context, ghosts: &Elsewhere) -> Option<Rect> {
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
    if let Some(tool) = context.stated_tool() {
        for corner in
            tool.frame.iter().flat_map(document::FramePiece::corners).chain([tool.flange.truncate()])
        {
            add(corner, corner);
        }
    }
    for cup in &context.report.cups {
        let half = cup.shape.size() / 2.0;
        let along = DVec2::from_angle(cup.turn_deg.to_radians()).abs();
        let reach = dvec2(along.x * half.x + along.y * half.y, along.y * half.x + along.x * half.y);
        add(cup.at - reach, cup.at + reach);
    }
    for cup in context.cups_beside() {
        let reach = DVec2::splat(cup.shape.size().max_element() / 2.0);
        add(cup.at - reach, cup.at + reach);
    }
    for bounds in context.parts_beside().iter().filter_map(|(_, part)| part.outline.bounds()) {
        add(bounds.min, bounds.max);
    }
    for [min, max] in crate::ghosts::extent(ghosts) {
        add(min, max);
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
    let datum = context.datum()[axis];
    if datum_shown {
        ends.push(datum);
    }
    if let Some(bounds) = context.part().and_then(|part| part.outline.outer.bounds()) {
        ends.extend([bounds.min[axis], bounds.max[axis]]);
    } else {
        ends.extend([extent.min[axis], extent.max[axis]]);
    }
    let rows: Vec<f64> = context.report.cups.iter().map(|cup| cup.at[axis]).collect();
    let figures = |values: &mut dyn Iterator<Item = f64>| figures(context, values, datum, datum_shown);
    let full = figures(&mut ends.iter().chain(&rows).copied());
    if full.len() <= most {
        return (full, false);
    }
    // Rows that several cups share say most about the build.
    let mut counts: HashMap<String, usize> = HashMap::new();
    for at in &rows {
        *counts.entry(context.length(*at - datum)).or_default() += 1;
    }
    let shared =
        rows.iter().copied().filter(|at| counts.get(&context.length(*at - datum)).is_some_and(|n| *n > 1));
    let fewer = figures(&mut ends.iter().copied().chain(shared));
    if fewer.len() <= most {
        return (fewer, true);
    }
    (figures(&mut ends.into_iter()), true)
}

/// One figure from the datum for all values that read the same.
fn figures(
    context: &Context,
    values: &mut dyn Iterator<Item = f64>,
    datum: f64,
    datum_shown: bool,
) -> Vec<Ordinate> {
    let mut values: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    let mut out: Vec<Ordinate> = Vec::new();
    for at in values {
        let figure = context.length(at - datum);
        if out.last().is_none_or(|last| last.figure != figure) {
            out.push(Ordinate { at, bold: datum_shown && (at - datum).abs() < 1e-6, figure });
        }
    }
    out
}

/// Works out scale and size for a room; `None` when there is nothing to draw.
pub(crate) fn measure(context: &Context, room: DVec2, look: &Look, style: &Style) -> Option<Measured> {
    let mut extent = extent(context, &look.ghosts)?;
    let datum = context.datum();
    let reach_allowed = (extent.max - extent.min).max_element() * DATUM_REACH;
    let datum_shown = extent.inset(-reach_allowed.max(1.0)).contains(&Rect::new(datum, datum));
    if datum_shown {
        extent = Rect::new(extent.min.min(datum), extent.max.max(datum));
    }
    let size = figure_size(style);
    let caption = caption_height(look, style);
    let bar = look.below(style);
    let step = pitch(size);
    // First guess of the gutters with the longest possible figures, then as many rows as the rest allows.
    let widest = |axis: usize| {
        let (all, _) = ordinates(context, axis, &extent, datum_shown, usize::MAX);
        reach(&all, size)
    };
    let (gutter_left, gutter_below) = (widest(1), widest(0));
    let free = dvec2(room.x - gutter_left - 2.0 * MARGIN, room.y - gutter_below - caption - bar - MARGIN);
    // Closer than this on the whole, leaders bend so far that nobody can follow them: the table then has the figures.
    const CROWDED: f64 = 1.35;
    let most = |length: f64| (length.max(0.0) / (step * CROWDED)).floor() as usize + 1;
    let (x, fewer_x) = ordinates(context, 0, &extent, datum_shown, most(free.x));
    let (y, fewer_y) = ordinates(context, 1, &extent, datum_shown, most(free.y));
    let part = (extent.max - extent.min).max(DVec2::splat(1e-6));
    let scale = look.scale.unwrap_or_else(|| {
        let fitting = if look.screen { Scale::filling } else { Scale::fitting };
        fitting(part.to_array(), free.to_array())
    });
    let drawn = part * scale.ratio();
    let span = dvec2(
        drawn.x.max(x.len().saturating_sub(1) as f64 * step),
        drawn.y.max(y.len().saturating_sub(1) as f64 * step),
    );
    let block = dvec2(gutter_left + span.x + MARGIN, caption + span.y + gutter_below + bar);
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

/// What a rectangle leaves beside the plan.
fn slack(measured: &Measured, rect: &Rect) -> DVec2 {
    (dvec2(rect.width(), rect.height()) - measured.block).max(DVec2::ZERO)
}

/// Where the lower left of what is drawn lies.
fn corner(measured: &Measured, rect: &Rect, look: &Look, style: &Style) -> DVec2 {
    let slack = slack(measured, rect);
    dvec2(rect.min.x + slack.x / 2.0 + measured.left, rect.max.y - slack.y * 0.45 - measured.block.y)
        + dvec2(0.0, look.below(style) + measured.below)
}

/// From the part to the page, as [`draw`] has it.
pub(crate) fn view(measured: &Measured, rect: &Rect, look: &Look, style: &Style) -> View {
    let ratio = measured.scale.ratio();
    let corner = corner(measured, rect, look, style);
    let wide = (measured.extent.max.x - measured.extent.min.x) * ratio;
    View {
        corner: if look.mirrored { corner + dvec2(wide, 0.0) } else { corner },
        origin: measured.extent.min,
        ratio,
        mirrored: look.mirrored,
    }
}

/// Draws the plan in the middle of a rectangle.
pub(crate) fn draw(context: &Context, measured: &Measured, rect: Rect, look: &Look, style: &Style) -> Item {
    let slack = slack(measured, &rect);
    let corner = corner(measured, &rect, look, style);
    let drawn = (measured.extent.max - measured.extent.min) * measured.scale.ratio();
    let size = figure_size(style);
    let mut items = Vec::new();
    let view = view(measured, &rect, look, style);
    let page_ordinates = |ordinates: &[Ordinate], axis: usize| -> Vec<Ordinate> {
        let mut placed: Vec<Ordinate> = ordinates
            .iter()
            .map(|o| Ordinate { at: view.at(DVec2::splat(o.at))[axis], ..o.clone() })
            .collect();
        placed.sort_by(|a, b| a.at.total_cmp(&b.at));
        placed
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
    let signs = (drawn.min_element() / 9.0).clamp(0.5, 1.0);
    let place = Place { view, lower_left: corner, room, signs };
    let tags_left_out =
        plan_content::draw(context, &place, &look.ghosts, measured.datum_shown, style, &mut items);
    let above = if look.caption_at_top {
        dvec2(rect.min.x + 1.0, rect.max.y - measured.caption)
    } else {
        dvec2(corner.x, room.max.y + 0.6)
    };
    items.extend(caption(context, measured, rect, above, look, style));
    items.extend(foot(context, measured, rect, corner, tags_left_out, look, style));
    let plan = Item::Group { name: "plan".to_owned(), clip: None, items };
    Tag::new(Role::Figure, said(context, measured, look)).over(vec![plan])
}

/// How large the caption is at any scale.
pub(crate) fn caption_size(context: &Context, look: &Look, style: &Style) -> DVec2 {
    let lines = caption_lines(context, "1:1000", look, style);
    let wide = lines.iter().map(|line| text_width(&printable(&line.0), line.2, line.1)).fold(0.0, f64::max);
    dvec2(wide + 2.0, caption_height(look, style))
}

fn caption_height(look: &Look, style: &Style) -> f64 {
    let lines = if look.states_tolerance() { 2.0 } else { 1.0 };
    style.heading * 1.35 + style.small_leading * lines + 3.0
}

/// The plan in words.
pub(crate) fn said(context: &Context, measured: &Measured, look: &Look) -> String {
    let part = context.part().map_or_else(|| "no part".to_owned(), |part| part.name.trim().to_owned());
    let count = context.report.cups.len();
    let cups = if count == 1 { "1 cup".to_owned() } else { format!("{count} cups") };
    let scale = if look.screen { String::new() } else { format!(", scale {}", measured.scale) };
    let heading = &look.heading;
    format!("Plan of {part} with {cups}{scale}. {heading}. Cup positions are in the hole table.")
}

/// Text, size, cut and colour of the caption's lines.
fn caption_lines(
    context: &Context,
    scale: &str,
    look: &Look,
    style: &Style,
) -> Vec<(String, f64, Weight, Tone)> {
    let to = if look.mirrored { "left" } else { "right" };
    let scale = if look.screen { String::new() } else { format!("scale {scale}, ") };
    let says =
        format!("{scale}lengths in {}, X to the {to} and Y up from the datum.", context.length_unit_name());
    let scale = units::capital(&says);
    let mut lines = vec![
        (look.heading.clone(), style.heading, Weight::SemiBold, Tone::Ink),
        (scale, style.small, Weight::Regular, Tone::Second),
    ];
    if look.states_tolerance() {
        let says = format!("{}.", context.project.sheet.general_tolerance(context.units));
        lines.push((says, style.small, Weight::Regular, Tone::Ink));
    }
    lines
}

fn caption(
    context: &Context,
    measured: &Measured,
    rect: Rect,
    lower_left: DVec2,
    look: &Look,
    style: &Style,
) -> Vec<Item> {
    let lines = caption_lines(context, &measured.scale.to_string(), look, style);
    let lines: Vec<_> = lines
        .into_iter()
        .map(|(says, wanted, weight, tone)| {
            let (says, size) =
                crate::text_width::fit(&says, weight, wanted, (wanted * 0.7).max(NOTE), rect.width() - 4.0);
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
    look: &Look,
    style: &Style,
) -> Vec<Item> {
    let mut notes = Vec::new();
    let mut items = Vec::new();
    let top = corner.y - measured.below - 3.2;
    let (mut x, mut y) = (corner.x.min(rect.max.x - 70.0).max(rect.min.x + 1.0), top + 1.2);
    if look.bar {
        let bar = measured.scale.check_bar(context.units);
        let start = dvec2(corner.x.min(rect.max.x - bar.paper_mm - 1.0).max(rect.min.x + 1.0), top);
        items.extend(plan_symbols::check_bar(start, bar.paper_mm));
        let says = format!(
            "This bar is {} long on a true print; here it represents {} of the part.",
            context.round_length(bar.paper_mm),
            context.round_length(bar.part_mm)
        );
        let beside = start.x + bar.paper_mm + 2.5;
        if beside + text_width(&says, Weight::Regular, style.small) <= rect.max.x - 1.0 {
            (x, y) = (beside, start.y + 1.4);
        } else {
            (x, y) = (start.x, start.y - 1.0);
        }
        notes.push(says);
    }
    if measured.rows_left_out {
        notes.push("Too many rows for all to be dimensioned: see the table.".to_owned());
    }
    if tags_left_out > 0 {
        let which =
            if tags_left_out == 1 { "1 tag has".to_owned() } else { format!("{tags_left_out} tags have") };
        notes.push(format!("{which} no room at this scale: find those cups by X and Y in the table."));
    }
    if !measured.datum_shown {
        notes.push("The datum (0, 0) lies outside this view.".to_owned());
    }
    if notes.is_empty() {
        return items;
    }
    let setting = Setting {
        size: style.small,
        leading: style.small_leading,
        weight: Weight::Regular,
        tone: Tone::Second,
    };
    let block = paragraph(&notes.join(" "), setting, 0.0, rect.max.x - x - 1.0);
    items.extend(block.at(dvec2(x, y)));
    items
}
