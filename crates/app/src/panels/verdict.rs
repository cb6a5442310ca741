//! The verdict line and the factors of all motions at a glance.

use super::severity;
use crate::{
    theme::Size,
    view::{Action, View},
    widgets::{one_line, two_lines},
};
use analysis::{MotionReport, Report, Severity};
use egui::{Align2, Color32, CursorIcon, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

/// Least and largest width of one motion's bar with its gap.
const BAR: f32 = 72.0;
const WIDEST: f32 = 132.0;
/// Beside the bars, for what the line means.
const MARGIN: f32 = 70.0;
/// Share of the window's width that the bars may take.
const BARS: f32 = 0.44;

/// Draws the line; a click shows the governing motion and cup on the plan.
pub fn verdict_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let verdict = &view.whole().verdict;
    let rect = ui.available_rect_before_wrap();
    // The sentence comes first: bars give way when the window is narrow.
    let wide = (rect.width() * 0.07).clamp(BAR, WIDEST);
    let bars = (view.report.motions.len() as f32 * wide + MARGIN).min(rect.width() * BARS);
    let text_rect = Rect::from_min_max(rect.min, Pos2::new(rect.right() - bars - 12.0, rect.bottom()));
    let response = ui.interact(text_rect, ui.scope_id().with("verdict line"), Sense::click());
    response
        .widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Verdict: {}", verdict.sentence)));
    severity::mark(ui.painter(), text_rect.left_top() + Vec2::new(12.0, 16.0), 11.0, verdict.severity, &t);
    let width = text_rect.width() - 40.0;
    let colour = if verdict.severity == Severity::Fail { t.ink } else { t.severity(verdict.severity) };
    let sentence = fitted(ui, &verdict.sentence, width, colour);
    let at = text_rect.left_top() + Vec2::new(36.0, 2.0);
    let height = sentence.size().y;
    ui.painter().galley(at, sentence, colour);
    let mut below = at + Vec2::new(0.0, height + 2.0);
    let approval = view.approval().filter(|approval| approval.mark().is_some());
    if let Some(approval) = &approval {
        let says = format!("{}.", approval.headline());
        let mark = ui.painter().layout_no_wrap(says.clone(), Size::Body.strong(), t.fail);
        let place = Rect::from_min_size(below, mark.size());
        let why = ui.interact(place, ui.scope_id().with("approval"), Sense::hover());
        why.widget_info(|| WidgetInfo::labeled(Role::Label, true, &says));
        why.on_hover_text(approval.told());
        below.x += mark.size().x + 8.0;
        ui.painter().galley(place.min, mark, t.fail);
    }
    let detail = one_line(ui, &verdict.detail, width - (below.x - at.x), Size::Body.font(), t.second);
    ui.painter().galley(below, detail, t.second);
    if response.hovered() {
        ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
    }
    if response.on_hover_text(format!("{}\n{}", verdict.sentence, verdict.detail)).clicked() {
        actions.push(Action::ShowMotion(verdict.motion));
        actions.extend(verdict.cup.map(|cup| Action::Frame(vec![cup])));
    }
    bars_ui(ui, view, Rect::from_min_max(Pos2::new(rect.right() - bars, rect.top()), rect.max), actions);
    ui.allocate_rect(rect, Sense::hover());
}

/// On one line in the largest letters that fit, from those of large windows down to 17 points; else at 15 on two.
fn fitted(ui: &Ui, text: &str, width: f32, colour: Color32) -> std::sync::Arc<egui::Galley> {
    let largest = largest(ui);
    let usual = Size::Verdict.points();
    for points in [largest, 0.5 * (largest + usual), usual, usual - 1.0, usual - 2.0] {
        let font = egui::FontId::new(points, crate::theme::semibold());
        let single = ui.painter().layout_no_wrap(text.to_owned(), font, colour);
        if single.size().x <= width {
            return single;
        }
    }
    two_lines(ui, text, width, egui::FontId::new(15.0, crate::theme::semibold()), colour)
}

/// Letters of the verdict on this window: 19 points, growing to 30.
fn largest(ui: &Ui) -> f32 {
    let window = ui.ctx().content_rect().width();
    egui::remap_clamp(window, 1400.0..=2400.0, Size::Verdict.points()..=30.0)
}

/// Height of the line with its bars on this window.
pub fn height(ui: &Ui) -> f32 {
    egui::remap_clamp(largest(ui), Size::Verdict.points()..=30.0, 92.0..=120.0)
}

/// One motion's bar: figure over it, name below.
struct Bar<'a> {
    motion: &'a MotionReport,
    column: Rect,
    /// Whether it has the least factor over required.
    least: bool,
}

fn bars_ui(ui: &Ui, view: &View, rect: Rect, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let motions = &view.report.motions;
    let room = rect.width() - MARGIN;
    let count = ((room / BAR).floor() as usize).min(motions.len());
    if count == 0 {
        return;
    }
    // A bar at the dashed line meets its own required factor exactly; twice that fills the height.
    let names = 2.0 * ui.painter().layout_no_wrap("x".to_owned(), Size::Small.font(), t.ink).size().y;
    let floor = rect.bottom() - names;
    let full = floor - rect.top() - 16.0;
    let line = floor - full / 2.0;
    let wide = (room / count as f32).min(WIDEST);
    let left = rect.right() - MARGIN - count as f32 * wide;
    let least = view.report.governing().map(|(motion, _)| motion.id);
    let bars = worst_first_in_place(&view.report, count).into_iter().enumerate().map(|(place, index)| {
        let at = Pos2::new(left + place as f32 * wide, rect.top());
        let column = Rect::from_min_size(at, Vec2::new(wide, rect.height()));
        Bar { motion: &motions[index], column, least: least == Some(motions[index].id) && motions.len() > 1 }
    });
    let figures: Vec<_> = bars.filter_map(|bar| bar_ui(ui, view, &bar, (floor, full), actions)).collect();
    let ends = [Pos2::new(left, line), Pos2::new(rect.right() - MARGIN + 6.0, line)];
    ui.painter().extend(egui::Shape::dashed_line(&ends, Stroke::new(1.2, t.ink), 4.0, 3.0));
    let beside = ends[1] + Vec2::new(6.0, 0.0);
    ui.painter().text(beside, Align2::LEFT_CENTER, "required", Size::Small.font(), t.second);
    for (at, galley, colour, ground) in figures {
        // On a patch of ground, so that the dashed line does not strike it out.
        ui.painter().rect_filled(at.expand2(Vec2::new(2.0, -2.0)), 2.0, ground);
        ui.painter().galley(at.min, galley, colour);
    }
    if motions.len() > count {
        let more = format!("{} more", motions.len() - count);
        let at = beside + Vec2::new(0.0, 14.0);
        ui.painter().text(at, Align2::LEFT_CENTER, more, Size::Small.font(), t.second);
    }
}

/// Draws one bar; its figure is drawn after the line of what is required.
fn bar_ui(
    ui: &Ui,
    view: &View,
    bar: &Bar<'_>,
    (floor, full): (f32, f32),
    actions: &mut Vec<Action>,
) -> Option<(Rect, std::sync::Arc<egui::Galley>, Color32, Color32)> {
    let t = view.tokens;
    let Bar { motion, column, least } = *bar;
    let response = ui.interact(column, ui.scope_id().with(("bar", motion.id)), Sense::click());
    let factor = view.report.factor_of(motion);
    let spoken = factor.map_or_else(
        || "no result".to_owned(),
        |f| format!("factor {}", view.factor_of(f, motion.required_factor)),
    );
    response
        .widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Motion {}: {spoken}", motion.name)));
    let shown = view.shown_motion().is_some_and(|m| m.id == motion.id);
    let ground = match (shown, response.hovered()) {
        (true, _) => t.selection,
        (false, true) => t.panel,
        (false, false) => t.ground,
    };
    ui.painter().rect_filled(column.shrink2(Vec2::new(2.0, 0.0)), 3.0, ground);
    let fails = factor.is_some_and(|f| f < motion.required_factor);
    let colour = match factor {
        None => t.second,
        Some(_) if fails => t.fail,
        Some(_) => t.ink,
    };
    let name_font = if least { Size::Small.strong() } else { Size::Small.font() };
    let name_colour = if least { t.ink } else { t.second };
    let name = two_lines(ui, &motion.name, column.width() - 6.0, name_font, name_colour);
    let at = Pos2::new(column.center().x - name.size().x / 2.0, floor + 1.0);
    ui.painter().galley(at, name, name_colour);
    let counted = view.report.counted_says().map_or_else(String::new, |says| format!("\n{says}"));
    let which = if least { "\nThe lowest of all relative to what is required." } else { "" };
    let hover = format!("{}: {spoken} required{which}{counted}", motion.name);
    if response.on_hover_text(hover).clicked() {
        actions.push(Action::ShowMotion(Some(motion.id)));
    }
    let Some(f) = factor else {
        // Without cups there is nothing to miss.
        if view.layout.cups.is_empty() {
            return None;
        }
        let at = Pos2::new(column.center().x, floor - 2.0);
        let word = ui.painter().layout_no_wrap("none".to_owned(), Size::Small.font(), t.second);
        return Some((Align2::CENTER_BOTTOM.anchor_size(at, word.size()), word, t.second, ground));
    };
    let ratio = if f.is_finite() { f / motion.required_factor.max(1e-9) } else { 2.0 };
    let share = (ratio / 2.0).clamp(0.0, 1.0) as f32;
    let half = (0.24 * column.width()).min(22.0);
    let drawn = Rect::from_min_max(
        Pos2::new(column.center().x - half, floor - full * share),
        Pos2::new(column.center().x + half, floor),
    );
    let fill = if fails { t.fail } else { t.demand.gamma_multiply(if least { 0.85 } else { 0.45 }) };
    ui.painter().rect(drawn, 0.0, fill, Stroke::new(0.8, t.second), StrokeKind::Inside);
    let text = match f.is_finite() {
        true => format!("{} / {}", view.factor(f), view.factor(motion.required_factor)),
        false => "∞".to_owned(),
    };
    let galley = ui.painter().layout_no_wrap(text, Size::Small.strong(), colour);
    let over = Pos2::new(drawn.center().x, drawn.top() - 1.0);
    let at = Align2::CENTER_BOTTOM.anchor_size(over, galley.size());
    Some((at, galley, colour, ground))
}

/// Document order, but when there are more than fit, those with the least margin.
fn worst_first_in_place(report: &Report, count: usize) -> Vec<usize> {
    let motions = &report.motions;
    let mut order: Vec<usize> = (0..motions.len()).collect();
    let margin = |i: &usize| {
        report.factor_of(&motions[*i]).map_or(0.0, |factor| factor / motions[*i].required_factor.max(1e-9))
    };
    order.sort_by(|a, b| margin(a).total_cmp(&margin(b)));
    order.truncate(count);
    order.sort_unstable();
    order
}
