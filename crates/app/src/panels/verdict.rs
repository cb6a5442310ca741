//! The verdict line and the factors of all motions at a glance.

use super::severity;
use crate::{
    theme::Size,
    view::{Action, View},
    widgets::one_line,
};
use analysis::{MotionReport, Severity};
use egui::{Align2, Color32, CursorIcon, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

/// Width of one motion's bar with its gap.
const BAR: f32 = 70.0;

/// Draws the line; a click shows the governing motion and cup on the plan.
pub fn verdict_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let verdict = &view.report.verdict;
    let rect = ui.available_rect_before_wrap();
    // The sentence comes first: bars give way when the window is narrow.
    let bars = (view.report.motions.len() as f32 * BAR + 92.0).min(rect.width() * 0.44);
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
        why.on_hover_text(format!("{}:\n{}", approval.why(), approval.open.join("\n")));
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

/// At 19 points on one line, else at 15 on two.
fn fitted(ui: &Ui, text: &str, width: f32, colour: Color32) -> std::sync::Arc<egui::Galley> {
    let single = ui.painter().layout_no_wrap(text.to_owned(), Size::Verdict.strong(), colour);
    if single.size().x <= width {
        return single;
    }
    let mut job = egui::text::LayoutJob::simple(
        text.to_owned(),
        egui::FontId::new(15.0, crate::theme::semibold()),
        colour,
        width,
    );
    job.wrap.max_rows = 2;
    ui.painter().layout_job(job)
}

fn bars_ui(ui: &Ui, view: &View, rect: Rect, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let motions = &view.report.motions;
    let room = rect.width() - 92.0;
    let count = ((room / BAR).floor() as usize).min(motions.len());
    if count == 0 {
        return;
    }
    // A bar at the dashed line meets its own required factor exactly; twice that fills the height.
    let floor = rect.bottom() - 15.0;
    let full = floor - rect.top() - 15.0;
    let line = floor - full / 2.0;
    let order = worst_first_in_place(motions, count);
    let left = rect.right() - 92.0 - count as f32 * BAR;
    for (place, index) in order.iter().enumerate() {
        let shown = view.shown_motion().is_some_and(|m| m.id == motions[*index].id);
        if shown {
            let column = Rect::from_min_size(
                Pos2::new(left + place as f32 * BAR, rect.top()),
                Vec2::new(BAR, rect.height()),
            );
            ui.painter().rect_filled(column.shrink2(Vec2::new(2.0, 0.0)), 3.0, t.selection);
        }
    }
    let mut figures = Vec::new();
    for (place, index) in order.into_iter().enumerate() {
        let motion = &motions[index];
        let column = Rect::from_min_size(
            Pos2::new(left + place as f32 * BAR, rect.top()),
            Vec2::new(BAR, rect.height()),
        );
        let response = ui.interact(column, ui.scope_id().with(("bar", motion.id)), Sense::click());
        let factor = motion.outcome.as_ref().ok().map(|o| o.factor);
        let spoken = factor.map_or_else(
            || "no figure".to_owned(),
            |f| format!("factor {}", view.factor_of(f, motion.required_factor)),
        );
        response.widget_info(|| {
            WidgetInfo::labeled(Role::Button, true, format!("Motion {}: {spoken}", motion.name))
        });
        let shown = view.shown_motion().is_some_and(|m| m.id == motion.id);
        if !shown && response.hovered() {
            ui.painter().rect_filled(column.shrink2(Vec2::new(2.0, 0.0)), 3.0, t.panel);
        }
        let colour = factor.map_or(t.second, |f| if f < motion.required_factor { t.fail } else { t.ink });
        if let Some(f) = factor {
            let share = if f.is_finite() {
                (f / motion.required_factor.max(1e-9) / 2.0).min(1.0) as f32
            } else {
                1.0
            };
            let bar = Rect::from_min_max(
                Pos2::new(column.center().x - 15.0, floor - full * share),
                Pos2::new(column.center().x + 15.0, floor),
            );
            let fill = if f < motion.required_factor { t.fail } else { t.part };
            ui.painter().rect(bar, 0.0, fill, Stroke::new(0.8, t.hairline), StrokeKind::Inside);
            let text =
                if f.is_finite() { view.factor_of(f, motion.required_factor) } else { "∞".to_owned() };
            let galley = ui.painter().layout_no_wrap(text, Size::Small.strong(), colour);
            let at =
                Align2::CENTER_BOTTOM.anchor_size(Pos2::new(bar.center().x, bar.top() - 1.0), galley.size());
            figures.push((at, galley, colour, if shown { t.selection } else { t.ground }));
        } else {
            ui.painter().text(
                Pos2::new(column.center().x, floor - 2.0),
                Align2::CENTER_BOTTOM,
                "none",
                Size::Small.font(),
                t.second,
            );
        }
        let name = one_line(ui, &motion.name.to_lowercase(), BAR - 4.0, Size::Small.font(), t.second);
        ui.painter().galley(Pos2::new(column.center().x - name.size().x / 2.0, floor + 1.0), name, t.second);
        let counted = view.report.counted_says().map_or_else(String::new, |says| format!("\n{says}"));
        if response.on_hover_text(format!("{}: {spoken} required{counted}", motion.name)).clicked() {
            actions.push(Action::ShowMotion(Some(motion.id)));
        }
    }
    let ends = [Pos2::new(left, line), Pos2::new(rect.right() - 86.0, line)];
    ui.painter().extend(egui::Shape::dashed_line(&ends, Stroke::new(1.2, t.ink), 4.0, 3.0));
    ui.painter().text(
        ends[1] + Vec2::new(6.0, 0.0),
        Align2::LEFT_CENTER,
        "required",
        Size::Small.font(),
        t.second,
    );
    for (at, galley, colour, ground) in figures {
        // On a patch of ground, so that the dashed line does not strike it out.
        ui.painter().rect_filled(at.expand2(Vec2::new(2.0, -2.0)), 2.0, ground);
        ui.painter().galley(at.min, galley, colour);
    }
    if motions.len() > count {
        ui.painter().text(
            ends[1] + Vec2::new(6.0, 14.0),
            Align2::LEFT_CENTER,
            format!("{} more", motions.len() - count),
            Size::Small.font(),
            t.second,
        );
    }
}

/// Document order, but when there are more than fit, those with the least margin.
fn worst_first_in_place(motions: &[MotionReport], count: usize) -> Vec<usize> {
    let mut order: Vec<usize> = (0..motions.len()).collect();
    let margin = |i: &usize| {
        motions[*i].outcome.as_ref().map_or(0.0, |o| o.factor / motions[*i].required_factor.max(1e-9))
    };
    order.sort_by(|a, b| margin(a).total_cmp(&margin(b)));
    order.truncate(count);
    order.sort_unstable();
    order
}
