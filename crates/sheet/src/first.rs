//! The first page: a plan as large as it can be with result, signs, revisions and cautions beside or under it.

use crate::SheetOptions;
use crate::block::Section;
use crate::chapters::first_page;
use crate::compose::{CLEAR, PAD};
use crate::context::Context;
use crate::flow::draw_section;
use crate::frame::{self, Rect};
use crate::page::Item;
use crate::plan::{self, Look, Measured};
use crate::plan_content;
use crate::style::Style;
use crate::title_block;
use glam::dvec2;

/// Where things stand on the first page.
#[derive(Debug, Clone)]
pub(crate) struct Template {
    plan: Rect,
    columns: Vec<Rect>,
    pub title_block: Rect,
}

/// A template with what was found to fit into it.
#[derive(Debug, Clone)]
pub(crate) struct Arrangement {
    pub style: Style,
    pub template: Template,
    placed: Placed,
    pub measured: Option<Measured>,
    /// Whether the stamps stand beside the plan's caption rather than over it.
    beside_caption: bool,
}

/// Heights of the band of words under the plan, over that of the title block.
const BANDS: [f64; 9] = [1.0, 1.2, 1.45, 1.7, 2.0, 2.4, 2.9, 3.5, 4.2];

/// Words may not press the plan below this share of the largest scale it could have.
const LEAST_PLAN: f64 = 0.19;

/// The arrangement with the largest plan that has room for every word; the first of equals, usual letters first.
pub(crate) fn best(context: &Context, options: &SheetOptions, look: &Look) -> Arrangement {
    for compact in [false, true] {
        let style = Style::new(options.paper, compact);
        let templates = templates(options.size_mm(), &style);
        let measure = |plan: &Rect| {
            let room = plan_room(context, plan, look, &style);
            let measured = plan::measure(context, room, look, &style);
            let fits = measured.as_ref().is_none_or(|m| m.block.cmple(room + 1e-6).all());
            (measured, fits)
        };
        let words = |width: f64| first_page(context, width, &style);
        let ratio = |m: &Option<Measured>| m.as_ref().map_or(0.0, |m| m.scale.ratio());
        let possible = templates.iter().map(|t| measure(&t.plan)).filter(|(_, fits)| *fits);
        let possible = possible.map(|(measured, _)| ratio(&measured)).fold(0.0, f64::max);
        if let Some((template, placed, measured)) = largest(templates, &style, &words, &measure)
            && ratio(&measured) >= LEAST_PLAN * possible
        {
            let beside_caption = beside_caption(context, &template.plan, look, &style);
            return Arrangement { style, template, placed, measured, beside_caption };
        }
    }
    // Words too many for any template: the plan keeps its page, and they get one of their own.
    let style = Style::new(options.paper, true);
    let template = side(frame::area(options.size_mm()), &style, 1.0);
    let measured = plan::measure(context, plan_room(context, &template.plan, look, &style), look, &style);
    let beside_caption = beside_caption(context, &template.plan, look, &style);
    Arrangement { style, template, placed: Vec::new(), measured, beside_caption }
}

/// Where each section goes: (section, column).
type Placed = Vec<(usize, usize)>;

/// Of the templates that have room for every section the one with the largest drawing; the first of equals.
fn largest(
    templates: Vec<Template>,
    style: &Style,
    words: &dyn Fn(f64) -> Vec<Section>,
    measure: &dyn Fn(&Rect) -> (Option<Measured>, bool),
) -> Option<(Template, Placed, Option<Measured>)> {
    let ratio = |m: &Option<Measured>| m.as_ref().map_or(0.0, |m| m.scale.ratio());
    let mut known: Vec<(f64, Vec<f64>)> = Vec::new();
    let mut best: Option<(Template, Placed, Option<Measured>)> = None;
    for template in templates {
        for column in &template.columns {
            let width = column.width();
            if !known.iter().any(|(known, _)| *known == width) {
                let heights = words(width).iter().map(|section| section.height(style)).collect();
                known.push((width, heights));
            }
        }
        let at = |width: f64| known.iter().find(|(known, _)| *known == width).map(|(_, all)| all);
        let heights: Vec<&Vec<f64>> =
            template.columns.iter().filter_map(|column| at(column.width())).collect();
        let room: Vec<f64> = template.columns.iter().map(Rect::height).collect();
        let Some(placed) = pack(&heights, &room, style.gap) else { continue };
        let (measured, fits) = measure(&template.plan);
        if !fits {
            continue;
        }
        if best.as_ref().is_none_or(|best| ratio(&measured) > ratio(&best.2) * (1.0 + 1e-9)) {
            best = Some((template, placed, measured));
        }
    }
    best
}

/// First fit: each section in the first column that still has room; `None` when one has none.
fn pack(heights: &[&Vec<f64>], room: &[f64], gap: f64) -> Option<Vec<(usize, usize)>> {
    let mut used = vec![0.0; room.len()];
    let count = heights.first().map_or(0, |all| all.len());
    (0..count)
        .map(|section| {
            let with = |column: usize, used: &[f64]| {
                used[column] + if used[column] > 0.0 { gap } else { 0.0 } + heights[column][section]
            };
            let column = (0..room.len()).find(|column| with(*column, &used) <= room[*column])?;
            used[column] = with(column, &used);
            Some((section, column))
        })
        .collect()
}

/// Why a stamp is there takes at least so much room beside the caption.
const WHY: f64 = 52.0;

/// Whether the stamps have room beside the plan's caption: a stamp then takes nothing from the plan.
fn beside_caption(context: &Context, plan: &Rect, look: &Look, style: &Style) -> bool {
    let stamps = title_block::stamps_width(context, plan.width());
    let caption = plan::caption_size(context, look, style);
    stamps > 0.0
        && caption.x + WHY + stamps <= plan.width()
        && caption.y >= title_block::stamp_height(context)
}

/// What the stamp leaves of the plan's rectangle.
fn plan_room(context: &Context, plan: &Rect, look: &Look, style: &Style) -> glam::DVec2 {
    let over =
        if beside_caption(context, plan, look, style) { 0.0 } else { title_block::stamp_height(context) };
    dvec2(plan.width(), plan.height() - over)
}

fn templates(size_mm: [f64; 2], style: &Style) -> Vec<Template> {
    let area = frame::area(size_mm);
    let mut all = Vec::new();
    if area.width() - title_rect(area, style).width() > 90.0 {
        all.extend([0.0, 0.8, 1.0, 1.2].map(|band| side(area, style, band)));
    }
    all.extend(BANDS.map(|band| under(area, style, band)));
    all.retain(|template| !template.columns.is_empty());
    all
}

/// In the lower right corner; over the whole width where hardly anything would be left beside it.
pub(crate) fn title_rect(area: Rect, style: &Style) -> Rect {
    let width = if area.width() - style.column < 70.0 { area.width() } else { style.column };
    let corner = dvec2(area.max.x - width, area.min.y);
    Rect::new(corner, dvec2(area.max.x, area.min.y + title_block::height(style)))
}

/// Plan on the left, words on the right over the title block; with a band of words under the plan, `band` times as high
/// as the title block.
fn side(area: Rect, style: &Style, band: f64) -> Template {
    let title_block = title_rect(area, style);
    let right = Rect::new(
        dvec2(title_block.min.x + 2.0, title_block.max.y + PAD),
        dvec2(area.max.x - CLEAR, area.max.y - PAD),
    );
    let mut plan = Rect::new(area.min + CLEAR, dvec2(title_block.min.x - 2.0, area.max.y - CLEAR));
    let mut columns = vec![right];
    if band > 0.0 {
        let top = area.min.y + title_block.height() * band;
        let below = dvec2(title_block.min.x - PAD - 2.0, top);
        columns.extend(split(Rect::new(area.min + CLEAR, below)));
        plan.min.y = top + 2.0;
    }
    Template { plan, columns, title_block }
}

/// Plan over the whole width, words under it, left of the title block and over it.
fn under(area: Rect, style: &Style, band: f64) -> Template {
    let title_block = title_rect(area, style);
    let top = area.min.y + title_block.height() * band;
    let plan = Rect::new(dvec2(area.min.x + CLEAR, top + 2.0), area.max - CLEAR);
    let mut columns = Vec::new();
    if title_block.min.x - area.min.x > 60.0 {
        let beside = dvec2(title_block.min.x - PAD - 2.0, top);
        columns.extend(split(Rect::new(area.min + CLEAR, beside)));
    }
    let left = if columns.is_empty() { area.min.x + CLEAR } else { title_block.min.x + 2.0 };
    let over = Rect::new(dvec2(left, title_block.max.y + PAD), dvec2(area.max.x - CLEAR, top));
    if over.height() > 20.0 {
        columns.extend(split(over));
    }
    Template { plan, columns, title_block }
}

/// Two columns when they are wide enough to read, else one.
fn split(rect: Rect) -> Vec<Rect> {
    const GUTTER: f64 = 7.0;
    let half = (rect.width() - GUTTER) / 2.0;
    if half < 78.0 {
        return vec![rect];
    }
    vec![
        Rect::new(rect.min, dvec2(rect.min.x + half, rect.max.y)),
        Rect::new(dvec2(rect.max.x - half, rect.min.y), rect.max),
    ]
}

impl Arrangement {
    /// Whether the words found no room beside the plan.
    pub fn words_left_out(&self) -> bool {
        self.placed.is_empty()
    }
    /// Plan, stamp and words.
    pub fn draw(&self, context: &Context, look: &Look) -> Vec<Item> {
        let (style, template) = (&self.style, &self.template);
        let mut plan = template.plan;
        let mut items = Vec::new();
        let look = &Look { caption_at_top: self.beside_caption, ..look.clone() };
        let caption = if self.beside_caption { plan::caption_size(context, look, style).x } else { 0.0 };
        items.extend(title_block::stamp(context, plan, plan.min.x + caption, style));
        if !self.beside_caption {
            plan.max.y -= title_block::stamp_height(context);
        }
        items.push(match &self.measured {
            Some(measured) => plan::draw(context, measured, plan, look, style),
            None => plan_content::nothing(plan, style),
        });
        let words = |width: f64| first_page(context, width, style);
        place_words(&words, template, &self.placed, style, &mut items);
        items
    }
}

/// Draws sections into the columns of a template.
fn place_words(
    words: &dyn Fn(f64) -> Vec<Section>,
    template: &Template,
    placed: &Placed,
    style: &Style,
    items: &mut Vec<Item>,
) {
    let mut tops: Vec<Option<f64>> = vec![None; template.columns.len()];
    let mut sections: Vec<(f64, Vec<Section>)> = Vec::new();
    for (index, column) in placed {
        let rect = template.columns[*column];
        let top = tops[*column].map_or(rect.max.y, |y| y - style.gap);
        let known = sections.iter().position(|(width, _)| *width == rect.width());
        let known = known.unwrap_or_else(|| {
            sections.push((rect.width(), words(rect.width())));
            sections.len() - 1
        });
        let section = &sections[known].1[*index];
        tops[*column] = Some(draw_section(section, &section.rows, false, rect.min.x, top, style, items));
    }
}
