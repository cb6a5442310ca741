//! Two alternatives in figures: one table, the better one of each marked by a word and a mark, and the sentence that
//! says which is better and why.

use crate::{
    theme::Size,
    view::{Action, CompareView, View},
    widgets::{hairline, one_line, row_ground},
};
use egui::{Align2, Color32, Pos2, Rect, RichText, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};
use telling::{CompareFigure, CompareRow, Comparison};

/// Height of a row of the table.
const ROW: f32 = 24.0;

/// Draws sentence and table.
pub fn compare_ui(ui: &mut Ui, view: &View, other: &CompareView, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let Some(comparison) = &other.comparison else {
        ui.label(RichText::new("Comparing…").font(Size::Heading.strong()));
        // The panel keeps its height while the figures are on their way.
        ui.allocate_space(ui.available_size());
        return;
    };
    ui.horizontal(|ui| {
        ui.label(RichText::new("Comparison").font(Size::Heading.strong()));
        if !other.current {
            ui.label(
                RichText::new("older than the plans, being calculated")
                    .font(Size::Small.slanted())
                    .color(t.second),
            );
        }
    });
    egui::ScrollArea::vertical().id_salt("comparison").auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        // What each holds, which is better, what the loss of a cup does: a line each before the figures they come from.
        for sentence in &comparison.sentences {
            ui.add(egui::Label::new(sentence).wrap());
            ui.add_space(3.0);
        }
        ui.add_space(3.0);
        head_ui(ui, view, comparison);
        for row in &comparison.rows {
            row_ui(ui, view, row, actions);
        }
        ui.add_space(6.0);
        for note in &comparison.notes {
            ui.add(egui::Label::new(RichText::new(note).font(Size::Small.slanted()).color(t.second)).wrap());
        }
    });
}

/// Left edges of the columns: name, then one figure each.
fn columns(rect: Rect, count: usize) -> Vec<f32> {
    let name = (rect.width() * 0.34).clamp(130.0, 320.0);
    let each = (rect.width() - name) / count.max(1) as f32;
    (0..count).map(|i| rect.left() + name + each * i as f32).collect()
}

fn head_ui(ui: &mut Ui, view: &View, comparison: &Comparison) {
    let t = view.tokens;
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::hover());
    let lefts = columns(rect, comparison.layouts.len());
    for (left, (id, name)) in lefts.iter().zip(&comparison.layouts) {
        let shown = if *id == view.layout.id { ", current" } else { "" };
        let at = Pos2::new(*left, rect.center().y);
        let room = room(rect, &lefts);
        let drawn = line(ui, at, room, name, Size::Body.strong(), t.ink);
        let beside = room - drawn.width();
        if !shown.is_empty() && beside > 30.0 {
            line(ui, drawn.right_center(), beside, shown, Size::Small.slanted(), t.second);
        }
    }
    hairline(ui, &t);
}

/// A figure of a table as a person reads it.
pub(super) fn figure(view: &View, quantity: units::Quantity, figure: &CompareFigure) -> String {
    match figure {
        CompareFigure::Factor { factor, required } => view.factor_of(*factor, *required),
        CompareFigure::Number(value) if quantity == units::Quantity::Ratio => view.factor(*value),
        CompareFigure::Number(value) => view.text(*value, quantity),
        CompareFigure::Words(words) | CompareFigure::Unknown(words) => words.clone(),
    }
}

fn row_ui(ui: &mut Ui, view: &View, row: &CompareRow, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::click());
    let figures: Vec<String> = row.figures.iter().map(|f| figure(view, row.quantity, f)).collect();
    let spoken = format!("{}: {}", row.name, figures.join(" against "));
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, spoken.clone()));
    let shown = row.motion.is_some() && view.shown_motion().map(|m| m.id) == row.motion;
    if row.motion.is_some() {
        row_ground(ui, rect, shown, &response);
    }
    let lefts = columns(rect, figures.len());
    let name = lefts.first().map_or(rect.width(), |first| first - rect.left() - 8.0);
    line(ui, rect.left_center(), name, &row.name, Size::Body.font(), t.second);
    for (i, (left, text)) in lefts.iter().zip(&figures).enumerate() {
        let better = row.better == Some(i);
        let font = if better { Size::Body.strong() } else { Size::Body.font() };
        let at = Pos2::new(*left, rect.center().y);
        let mark = if better { BETTER } else { 0.0 };
        let drawn = line(ui, at, room(rect, &lefts) - mark, text, font, t.ink);
        if better {
            tick(ui, drawn.right_center() + Vec2::new(12.0, 0.0), t.order);
            let word = drawn.right_center() + Vec2::new(22.0, 0.0);
            ui.painter().text(word, Align2::LEFT_CENTER, "better", Size::Small.font(), t.order);
        }
    }
    // What is cut stands under the pointer.
    if response.on_hover_text(spoken).clicked() && row.motion.is_some() {
        actions.push(Action::ShowMotion(row.motion));
    }
}

/// Room for the mark and the word beside a better figure.
const BETTER: f32 = 58.0;

/// Room of one column.
fn room(rect: Rect, lefts: &[f32]) -> f32 {
    let first = lefts.first().copied().unwrap_or(rect.left());
    (rect.right() - first) / lefts.len().max(1) as f32 - 8.0
}

/// A text on one line, cut where it would be wider; gives where it stands.
fn line(ui: &Ui, at: Pos2, width: f32, text: &str, font: egui::FontId, colour: Color32) -> Rect {
    let galley = one_line(ui, text, width, font, colour);
    let place = Align2::LEFT_CENTER.anchor_size(at, galley.size());
    ui.painter().galley(place.min, galley, colour);
    place
}

fn tick(ui: &Ui, at: Pos2, colour: Color32) {
    let points = vec![at + Vec2::new(-4.0, 0.0), at + Vec2::new(-1.0, 3.0), at + Vec2::new(4.0, -4.0)];
    ui.painter().add(Shape::line(points, Stroke::new(2.0, colour)));
}
