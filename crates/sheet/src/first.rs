//! The first page: a plan as large as it can be with result, signs, revisions and cautions beside or under it.

use crate::SheetOptions;
use crate::block::{Section, SectionId};
use crate::chapters::{beside_the_plan, first_page};
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
    /// Whether the words that belong to the plan found no room beside it.
    words_left_out: bool,
}

/// What of the sheet stands on the first page already.
#[derive(Debug, Clone, Default)]
pub(crate) struct First {
    /// What belongs beside the plan has to stand on a later page.
    pub words: bool,
    /// Sections on the first page.
    pub there: Vec<SectionId>,
}

/// Heights of the band of words under the plan, over that of the title block.
const BANDS: [f64; 9] = [1.0, 1.2, 1.45, 1.7, 2.0, 2.4, 2.9, 3.5, 4.2];

/// Words may not press the plan below this share of the largest scale it could have: one step of the standard scales.
const LEAST_PLAN: f64 = 0.39;

/// The arrangement with the largest plan: of equal ones that with all words beside it, then with the hole table, then in the
/// usual letters; the first of equals.
pub(crate) fn best(context: &Context, options: &SheetOptions, look: &Look) -> Arrangement {
    let ratio = |m: &Option<Measured>| m.as_ref().map_or(0.0, |m| m.scale.ratio());
    let mut best: Option<Arrangement> = None;
    let mut possible = 0.0_f64;
    for compact in [false, true] {
        let style = Style::new(options.paper, compact);
        let templates = templates(options.size_mm(), &style);
        let measured: Vec<Option<Option<Measured>>> = templates
            .iter()
            .map(|template| {
                let room = plan_room(context, &template.plan, look, &style);
                let measured = plan::measure(context, room, look, &style);
                let fits = measured.as_ref().is_none_or(|m| m.block.cmple(room + 1e-6).all());
                fits.then_some(measured)
            })
            .collect();
        possible = measured.iter().flatten().map(ratio).fold(possible, f64::max);
        let words = |width: f64| all_words(context, width, &style);
        let mut known = Heights::default();
        for (template, measured) in templates.into_iter().zip(measured) {
            let (Some(measured), Some(placed)) = (measured, known.placed(&template, &style, &words)) else {
                continue;
            };
            let better = best.as_ref().is_none_or(|best| {
                let (is, was) = (ratio(&measured), ratio(&best.measured));
                let larger = is > was * (1.0 + 1e-9);
                larger || (is >= was * (1.0 - 1e-9) && rank(&placed) > rank(&best.placed))
            });
            if better {
                let beside_caption = beside_caption(context, &template.plan, look, &style);
                best = Some(Arrangement {
                    style,
                    template,
                    placed,
                    measured,
                    beside_caption,
                    words_left_out: false,
                });
            }
        }
    }
    if let Some(best) = best.filter(|best| ratio(&best.measured) >= LEAST_PLAN * possible) {
        return best;
    }
    // Words too many for any template: the plan keeps its page, and they get one of their own.
    let style = Style::new(options.paper, true);
    let template = side(frame::area(options.size_mm()), &style, 1.0);
    let measured = plan::measure(context, plan_room(context, &template.plan, look, &style), look, &style);
    let beside_caption = beside_caption(context, &template.plan, look, &style);
    Arrangement { style, template, placed: Vec::new(), measured, beside_caption, words_left_out: true }
}

/// What may stand beside the plan: what must, then what may where there is room.
fn all_words(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    let mut all = first_page(context, width, style);
    all.extend(beside_the_plan(context, width, style));
    // Holes and what is bought belong to the tool, and stand once where several parts are carried.
    all.retain(|section| context.on_tool.is_none() || !OF_THE_TOOL.contains(&section.id));
    all
}

/// Sections that are told of the tool.
const OF_THE_TOOL: [SectionId; 2] = [SectionId::Holes, SectionId::CupsToBuy];

/// Where a section goes.
#[derive(Debug, Clone, PartialEq)]
struct Put {
    id: SectionId,
    column: usize,
}

/// Sections of the first page and where each goes.
type Placed = Vec<Put>;

/// More is better: how much of what may stand elsewhere stands beside the plan, what counts more first.
fn rank(placed: &Placed) -> usize {
    let there = |id: &SectionId| placed.iter().any(|put| put.id == *id);
    MAY_FOLLOW.iter().zip([8, 4, 2, 1]).map(|(id, worth)| if there(id) { worth } else { 0 }).sum()
}

/// Sections that stand beside the plan where they have room, and on a later page otherwise; what counts most first.
pub(crate) const MAY_FOLLOW: [SectionId; 4] =
    [SectionId::Key, SectionId::Holes, SectionId::Revisions, SectionId::CupsToBuy];

/// Sections and heights of the sections in columns of a width.
#[derive(Default)]
struct Heights(Vec<(f64, Vec<(SectionId, f64)>)>);

impl Heights {
    fn of(&mut self, width: f64, style: &Style, words: &dyn Fn(f64) -> Vec<Section>) -> &[(SectionId, f64)] {
        let known = self.0.iter().position(|(known, _)| *known == width);
        let index = known.unwrap_or_else(|| {
            let heights = words(width).iter().map(|s| (s.id, s.height(style))).collect();
            self.0.push((width, heights));
            self.0.len() - 1
        });
        &self.0[index].1
    }

    /// First fit: what must stand there, then what may, each in the first column that still has room; `None` when something
    /// that must has none.
    fn placed(
        &mut self,
        template: &Template,
        style: &Style,
        words: &dyn Fn(f64) -> Vec<Section>,
    ) -> Option<Placed> {
        let mut used = vec![0.0; template.columns.len()];
        let mut placed = Placed::new();
        let ids: Vec<SectionId> = words_of(self.of(template.columns[0].width(), style, words));
        let (must, may): (Vec<SectionId>, Vec<SectionId>) =
            ids.into_iter().partition(|id| !MAY_FOLLOW.contains(id));
        let may = MAY_FOLLOW.iter().filter(|id| may.contains(id));
        for id in must.iter().chain(may) {
            let fitting = (0..used.len()).find_map(|column| {
                let rect = template.columns[column];
                let of = self.of(rect.width(), style, words).iter().find(|(known, _)| known == id)?;
                let with = used[column] + if used[column] > 0.0 { style.gap } else { 0.0 } + of.1;
                (with <= rect.height()).then_some((column, with, of.0))
            });
            match fitting {
                Some((column, with, id)) => {
                    used[column] = with;
                    placed.push(Put { id, column });
                }
                None if MAY_FOLLOW.contains(id) => {}
                None => return None,
            }
        }
        Some(placed)
    }
}

fn words_of(all: &[(SectionId, f64)]) -> Vec<SectionId> {
    all.iter().map(|(id, _)| *id).collect()
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
    for share in NARROW {
        all.extend([1.0, 1.15, 1.3, 1.45, 1.6, 1.8].map(|band| over(area, style, share, band)));
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

/// Width of a column of words beside the plan and over the title block, over that of the block: the narrower, the larger the
/// plan may be.
const NARROW: [f64; 3] = [0.9, 0.8, 0.7];

/// Plan and a narrow column of words over title block and a band of words beside that, `band` times as high as the block.
fn over(area: Rect, style: &Style, share: f64, band: f64) -> Template {
    let title_block = title_rect(area, style);
    let top = area.min.y + title_block.height() * band;
    let left = area.max.x - CLEAR - style.column * share;
    let right = Rect::new(dvec2(left, title_block.max.y + PAD), dvec2(area.max.x - CLEAR, area.max.y - PAD));
    let plan = Rect::new(dvec2(area.min.x + CLEAR, top + 2.0), dvec2(left - PAD, area.max.y - CLEAR));
    let mut columns = vec![right];
    if title_block.min.x - area.min.x > 60.0 {
        columns.extend(split(Rect::new(area.min + CLEAR, dvec2(title_block.min.x - PAD - 2.0, top))));
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
    /// What later pages need not say, or have to say in its place.
    pub fn said(&self) -> First {
        First { words: self.words_left_out, there: self.placed.iter().map(|put| put.id).collect() }
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
        let words = |width: f64| all_words(context, width, style);
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
    for Put { id, column } in placed {
        let rect = template.columns[*column];
        let top = tops[*column].map_or(rect.max.y, |y| y - style.gap);
        let known = sections.iter().position(|(width, _)| *width == rect.width());
        let known = known.unwrap_or_else(|| {
            sections.push((rect.width(), words(rect.width())));
            sections.len() - 1
        });
        if let Some(section) = sections[known].1.iter().find(|section| section.id == *id) {
            tops[*column] = Some(draw_section(section, &section.rows, false, rect.min.x, top, style, items));
        }
    }
}
