//! X and Y of several selected cups, typed one by one in a table.

use crate::{
    fields,
    theme::Size,
    view::{Action, View},
};
use document::{Cup, Edit};
use egui::{RichText, ScrollArea, Ui};
use units::Quantity;

/// Rows in sight; more scroll.
const SEEN: usize = 8;
/// Width of a tag, and of a figure.
const TAG: f32 = 56.0;
const CELL: f32 = 92.0;
/// Height of a row: a field with its frame.
const ROW: f32 = fields::ROW + 6.0;

/// Draws the table, from the datum, in the order of the layout.
pub(super) fn places_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let cups: Vec<&Cup> = view.selected().collect();
    let unit = units::unit_of(Quantity::Length, &view.units).1;
    let datum = view.datum();
    fields::folding(ui, "places of the selected", "Positions one by one", true, |ui| {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 8.0;
            let heads = [(String::new(), TAG), (format!("X, {unit}"), CELL), (format!("Y, {unit}"), CELL)];
            for (head, width) in heads {
                let size = egui::vec2(width, 16.0);
                ui.allocate_ui_with_layout(size, egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    ui.set_min_width(width);
                    ui.label(RichText::new(head).font(Size::Small.font()).color(view.tokens.second));
                });
            }
        });
        let height = ROW * SEEN.min(cups.len()) as f32;
        ui.spacing_mut().item_spacing.y = 0.0;
        let area = ScrollArea::vertical().id_salt("places").max_height(height).auto_shrink([false, true]);
        area.show_rows(ui, ROW, cups.len(), |ui, rows| {
            for cup in cups.get(rows).unwrap_or_default() {
                row_ui(ui, view, cup, datum, actions);
            }
        });
    });
}

fn row_ui(ui: &mut Ui, view: &View, cup: &Cup, datum: glam::DVec2, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.set_min_height(ROW);
        ui.spacing_mut().item_spacing.x = 8.0;
        let size = egui::vec2(TAG, fields::ROW);
        ui.allocate_ui_with_layout(size, egui::Layout::left_to_right(egui::Align::Center), |ui| {
            ui.set_min_width(TAG);
            ui.label(&cup.tag);
        });
        for (axis, name) in ["X", "Y"].into_iter().enumerate() {
            let spoken = format!("{name} of {}", cup.tag);
            let value = units::tidied(cup.at[axis] - datum[axis]);
            let salt = ("place", cup.id, axis);
            if cup.locked {
                let size = egui::vec2(CELL, fields::ROW);
                ui.allocate_ui_with_layout(size, egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    ui.set_min_width(CELL);
                    let text = view.show(value, Quantity::Length).number;
                    ui.label(RichText::new(text).color(view.tokens.second))
                        .on_hover_text("Locked: L unlocks it");
                });
            } else if let Some(v) =
                fields::cell(ui, salt, &spoken, value, Quantity::Length, &view.units, CELL)
            {
                let mut to = cup.at;
                to[axis] = v + datum[axis];
                actions.push(Action::Edit(Edit::MoveCups { layout: view.layout.id, to: vec![(cup.id, to)] }));
            }
        }
    });
}
