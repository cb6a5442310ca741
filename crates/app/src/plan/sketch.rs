//! Sketching boundaries: shapes with typed sizes, polygons by clicks with typed lengths.

use super::{
    LoopRef,
    boundary::boundary,
    gestures,
    shape::{Sketch, SketchForm, SketchTarget},
};
use crate::{
    command::Command,
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
        if let Some((of, was)) = &self.replaces {
            let of = *of;
            // Another one may stand in its place by now: what was taken up is changed, or nothing.
            if boundary(&view.part, of) != Some(was) {
                return None;
            }
            let what = match of {
                LoopRef::Outer => "the outline",
                LoopRef::Hole(_) => "a hole",
                LoopRef::KeepOut(_) => "a keep-out",
            };
            return gestures::change_loop(&view.part, of, what, |_| outer);
        }
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
    let title = match (sketch.target, &sketch.replaces) {
        (SketchTarget::Outline, None) => "New outline",
        (SketchTarget::Hole, None) => "New hole",
        (SketchTarget::KeepOut, None) => "New keep-out",
        (SketchTarget::Outline, Some(_)) => "Outline",
        (SketchTarget::Hole, Some(_)) => "Hole",
        (SketchTarget::KeepOut, Some(_)) => "Keep-out",
    };
    ui.horizontal_wrapped(|ui| {
        ui.label(egui::RichText::new(title).font(crate::theme::Size::Heading.strong()));
        for (form, name) in SketchForm::ALL {
            if !form.suits(sketch) {
                continue;
            }
            if ui.selectable_label(sketch.form == form, name).clicked() {
                sketch.form = form;
                // As long as wide it would be a circle.
                if form == SketchForm::Slot && sketch.size.x <= sketch.size.y {
                    sketch.resize(DVec2::new(2.0 * sketch.size.y, sketch.size.y));
                }
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
        let does = if sketch.replaces.is_some() { "Change it" } else { "Add to the part" };
        let add = ui.add_enabled(ready.is_some(), egui::Button::new(does)).on_hover_text("Enter");
        let enter = !ui.ctx().text_edit_focused() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if let Some(edit) = ready
            && (add.clicked() || enter)
        {
            actions.push(Action::Edit(edit));
            actions.push(Action::Tool(super::Tool::Select));
            if sketch.target == SketchTarget::Outline {
                // The new part is seen whole.
                actions.push(Action::Run(Command::ZoomFit));
            }
        }
        if sketch.target != SketchTarget::Outline
            && sketch.replaces.is_none()
            && ui.button("From a table…").on_hover_text("Paste X, Y and diameter of many at once").clicked()
        {
            actions.push(Action::Run(Command::HoleTable));
        }
        if ui.button("End").on_hover_text("Escape").clicked() {
            actions.push(Action::Tool(super::Tool::Select));
        }
        // Behind what is done: it may need a line of its own.
        if sketch.form != SketchForm::Polygon && sketch.min.is_none() {
            let says = if sketch.form.by_centre() {
                "Click its centre, or drag from it to its size."
            } else {
                "Drag from corner to corner, or type its position."
            };
            ui.label(egui::RichText::new(says).color(view.tokens.second));
        }
    });
}

fn size_fields(ui: &mut Ui, view: &View, sketch: &mut Sketch) {
    let round = matches!(sketch.form, SketchForm::Disc | SketchForm::Ring);
    let slot = sketch.form == SketchForm::Slot;
    let field = |ui: &mut Ui, name: &str, value: f64| {
        fields::inline(ui, ("sketch", name), name, value, Quantity::Length, &view.units)
    };
    let side = |ui: &mut Ui, name: &str, value: f64| {
        fields::inline_size(ui, ("sketch", name), name, value, Quantity::Length, &view.units)
    };
    let (first, second) = match (round, slot) {
        (true, _) => ("Diameter", ""),
        (_, true) => ("Overall length", "Slot width"),
        _ => ("Width", "Height"),
    };
    if let Some(v) = side(ui, first, sketch.size.x) {
        sketch.resize(DVec2::new(v, if round { v } else { sketch.size.y }));
    }
    if !round && let Some(v) = side(ui, second, sketch.size.y) {
        sketch.resize(DVec2::new(sketch.size.x, v));
    }
    if slot
        && let Some(v) =
            fields::inline(ui, "sketch turn", "Turn", sketch.turn_deg, Quantity::Angle, &view.units)
    {
        sketch.turn_deg = v;
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
    let centred = sketch.form.by_centre();
    let at = if centred { sketch.centre() } else { sketch.min }.unwrap_or_default();
    let names = if centred { ["Centre X", "Centre Y"] } else { ["Left", "Bottom"] };
    // Counted as everything on the plan is.
    let datum = view.part.datum_at();
    for (axis, name) in names.into_iter().enumerate() {
        if let Some(v) = field(ui, name, units::tidied(at[axis] - datum[axis])) {
            let mut to = at;
            to[axis] = units::tidied(v + datum[axis]);
            if centred {
                sketch.set_centre(to);
            } else {
                sketch.min = Some(to);
            }
        }
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
    if ui.add_enabled(last.is_some(), egui::Button::new("Undo point")).clicked() {
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
