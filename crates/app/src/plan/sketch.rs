//! Sketching boundaries: shapes with typed sizes, polygons by clicks with typed lengths.

use super::shape::{Sketch, SketchForm, SketchTarget};
use crate::{
    fields,
    view::{Action, View},
};
use document::{Edit, KeepOut, KeepOutId};
use egui::Ui;
use geometry::Outline;
use glam::DVec2;
use std::sync::Arc;
use units::Quantity;

impl Sketch {
    /// The change that adds it.
    pub fn edit(&self, view: &View) -> Option<Edit> {
        let (outer, inner) = self.loops()?;
        let mut part = (*view.part).clone();
        let what = match self.target {
            SketchTarget::Outline => {
                part.outline = Arc::new(Outline { outer, holes: inner.into_iter().collect() });
                part.drawing = None;
                "the outline"
            }
            SketchTarget::Hole => {
                let mut outline = (*part.outline).clone();
                outline.holes.push(outer);
                part.outline = Arc::new(outline);
                "a new hole"
            }
            SketchTarget::KeepOut => {
                part.keep_outs.push(KeepOut {
                    id: KeepOutId(view.project.next_id()),
                    name: String::new(),
                    area: Arc::new(outer),
                });
                "a new keep-out"
            }
        };
        Some(Edit::ChangePart { part: Arc::new(part), what: what.to_owned() })
    }
}

/// The strip above the plan while sketching.
pub fn strip(ui: &mut Ui, view: &View, sketch: &mut Sketch, actions: &mut Vec<Action>) {
    let title = match sketch.target {
        SketchTarget::Outline => "New outline",
        SketchTarget::Hole => "New hole",
        SketchTarget::KeepOut => "New keep-out",
    };
    ui.horizontal_wrapped(|ui| {
        ui.label(egui::RichText::new(title).font(crate::theme::Size::Heading.strong()));
        for (form, name) in SketchForm::ALL {
            if ui.selectable_label(sketch.form == form, name).clicked() {
                sketch.form = form;
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        if sketch.form == SketchForm::Polygon {
            polygon_fields(ui, view, sketch);
        } else {
            size_fields(ui, view, sketch);
        }
        let ready = sketch.edit(view);
        let add =
            ui.add_enabled(ready.is_some(), egui::Button::new("Add to the part")).on_hover_text("Enter");
        let enter = !ui.ctx().text_edit_focused() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if let Some(edit) = ready
            && (add.clicked() || enter)
        {
            actions.push(Action::Edit(edit));
            actions.push(Action::Tool(super::Tool::Select));
        }
        if ui.button("Leave").on_hover_text("Escape").clicked() {
            actions.push(Action::Tool(super::Tool::Select));
        }
    });
}

fn size_fields(ui: &mut Ui, view: &View, sketch: &mut Sketch) {
    let round = matches!(sketch.form, SketchForm::Disc | SketchForm::Ring);
    let field = |ui: &mut Ui, name: &str, value: f64| {
        fields::inline(ui, ("sketch", name), name, value, Quantity::Length, &view.units)
    };
    let side = |ui: &mut Ui, name: &str, value: f64| {
        fields::inline_size(ui, ("sketch", name), name, value, Quantity::Length, &view.units)
    };
    if let Some(v) = side(ui, if round { "Diameter" } else { "Width" }, sketch.size.x) {
        sketch.size.x = v;
        if round {
            sketch.size.y = sketch.size.x;
        }
    }
    if !round && let Some(v) = side(ui, "Height", sketch.size.y) {
        sketch.size.y = v;
    }
    match sketch.form {
        SketchForm::RoundedRectangle => {
            if let Some(v) = side(ui, "Corner radius", sketch.corner) {
                sketch.corner = v;
            }
        }
        SketchForm::Angle => {
            if let Some(v) = side(ui, "Cut width", sketch.cut.x) {
                sketch.cut.x = v;
            }
            if let Some(v) = side(ui, "Cut height", sketch.cut.y) {
                sketch.cut.y = v;
            }
        }
        SketchForm::Ring => {
            if let Some(v) = side(ui, "Inner diameter", sketch.inner) {
                sketch.inner = v;
            }
        }
        _ => {}
    }
    let at = sketch.min.unwrap_or_default();
    if let Some(v) = field(ui, "Left", at.x) {
        sketch.min = Some(DVec2::new(v, at.y));
    }
    if let Some(v) = field(ui, "Bottom", at.y) {
        sketch.min = Some(DVec2::new(at.x, v));
    }
    if sketch.min.is_none() {
        ui.label(
            egui::RichText::new("Drag from corner to corner, or type where it goes.")
                .color(view.tokens.second),
        );
    }
}

fn polygon_fields(ui: &mut Ui, view: &View, sketch: &mut Sketch) {
    let last = sketch.points.last().copied();
    if let Some(v) =
        fields::inline(ui, "sketch length", "Length", sketch.next.0, Quantity::Length, &view.units)
    {
        sketch.next.0 = v;
    }
    if let Some(v) =
        fields::inline(ui, "sketch direction", "Direction", sketch.next.1, Quantity::Angle, &view.units)
    {
        sketch.next.1 = v;
    }
    if ui.button("Add point").clicked() {
        let direction = DVec2::from_angle(sketch.next.1.to_radians());
        let from = match last {
            Some(last) => last,
            None => {
                sketch.points.push(DVec2::ZERO);
                DVec2::ZERO
            }
        };
        sketch.points.push(from + direction * sketch.next.0);
    }
    if ui.add_enabled(last.is_some(), egui::Button::new("Take back")).clicked() {
        sketch.points.pop();
    }
    let count = sketch.points.len();
    ui.label(
        egui::RichText::new(if count == 0 {
            "Click the corners one by one.".to_owned()
        } else {
            format!("{count} corners")
        })
        .color(view.tokens.second),
    );
}
