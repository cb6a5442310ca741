//! Sketching boundaries: shapes with typed sizes, polygons by clicks with typed lengths.

use crate::{
    fields,
    view::{Action, View},
};
use document::{Edit, KeepOut, KeepOutId, Part};
use egui::Ui;
use geometry::{Loop, Outline};
use glam::DVec2;
use std::sync::Arc;
use units::Quantity;

/// What the sketch becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SketchTarget {
    /// The part's outline.
    Outline,
    /// A hole.
    Hole,
    /// A keep-out.
    KeepOut,
}

/// Which shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SketchForm {
    /// Corner to corner.
    Rectangle,
    /// With corner radius.
    RoundedRectangle,
    /// Full circle.
    Disc,
    /// Rectangle less its upper right corner.
    Angle,
    /// Disc with a hole.
    Ring,
    /// Point by point.
    Polygon,
}

impl SketchForm {
    const ALL: [(Self, &'static str); 6] = [
        (Self::Rectangle, "Rectangle"),
        (Self::RoundedRectangle, "Rounded"),
        (Self::Disc, "Disc"),
        (Self::Angle, "L"),
        (Self::Ring, "Ring"),
        (Self::Polygon, "Polygon"),
    ];
}

/// A shape being made; nothing is in the document until it is added.
#[derive(Debug, Clone, PartialEq)]
pub struct Sketch {
    /// What it becomes.
    pub target: SketchTarget,
    /// Which shape.
    pub form: SketchForm,
    /// Lower left corner, mm; `None` until it is put somewhere.
    pub min: Option<DVec2>,
    /// Width and height; the width is the diameter of a disc or ring.
    pub size: DVec2,
    /// Corner radius.
    pub corner: f64,
    /// Cut of the L.
    pub cut: DVec2,
    /// Inner diameter of the ring.
    pub inner: f64,
    /// Points of the polygon.
    pub points: Vec<DVec2>,
    /// Typed length and direction of the next polygon edge.
    pub next: (f64, f64),
}

impl Sketch {
    /// An empty sketch, sized to suit what is there.
    pub fn new(target: SketchTarget, part: &Part) -> Self {
        let extent = part.outline.outer.bounds().map_or(DVec2::new(400.0, 300.0), |b| b.max - b.min);
        let size = match target {
            SketchTarget::Outline => extent,
            _ => (extent / 5.0).round().max(DVec2::ONE),
        };
        Self {
            target,
            form: SketchForm::Rectangle,
            min: None,
            size,
            corner: (size.min_element() / 5.0).round(),
            cut: (size / 2.0).round(),
            inner: (size.x / 2.0).round(),
            points: Vec::new(),
            next: (100.0, 0.0),
        }
    }

    /// Takes a box drawn from corner to corner.
    pub fn drawn(&mut self, a: DVec2, b: DVec2) {
        let (min, max) = (a.min(b), a.max(b));
        let mut size = max - min;
        if matches!(self.form, SketchForm::Disc | SketchForm::Ring) {
            size = DVec2::splat(size.max_element());
        }
        if size.min_element() > 0.0 {
            self.min = Some(min);
            self.size = size;
            self.corner = self.corner.min(size.min_element() / 2.0);
            self.cut = self.cut.min(size * 0.8);
            self.inner = self.inner.min(size.x * 0.9);
        }
    }

    /// Boundary and inner boundary as they stand.
    pub fn loops(&self) -> Option<(Loop, Option<Loop>)> {
        if self.form == SketchForm::Polygon {
            return (self.points.len() >= 3).then(|| (Loop::polygon(self.points.iter().copied()), None));
        }
        let min = self.min?;
        if self.size.min_element() <= 0.0 {
            return None;
        }
        let max = min + self.size;
        let radius = self.size.x / 2.0;
        let centre = min + DVec2::splat(radius);
        Some(match self.form {
            SketchForm::Rectangle | SketchForm::Polygon => (Loop::rectangle(min, max), None),
            SketchForm::RoundedRectangle => (
                Loop::rounded_rectangle(min, max, self.corner.clamp(0.0, self.size.min_element() / 2.0)),
                None,
            ),
            SketchForm::Disc => (Loop::circle(centre, radius), None),
            SketchForm::Angle => {
                (Loop::angle_piece(min, max, self.cut.clamp(DVec2::ZERO, self.size * 0.999)), None)
            }
            SketchForm::Ring => (
                Loop::circle(centre, radius),
                Some(Loop::circle(centre, (self.inner / 2.0).clamp(0.0, radius * 0.999))),
            ),
        })
    }

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
