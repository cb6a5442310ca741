//! Dragging corners and edges of the outline, holes and keep-outs.

use super::{Drag, LoopRef, PlanState, Sketch, Tool, boundary, gestures, paper::Canvas, strip::Strip};
use crate::{
    fields,
    view::{Action, View},
};
use egui::{
    Color32, Key, PointerButton, Pos2, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, WidgetInfo,
};
use glam::DVec2;
use units::Quantity;

/// Half-size of a corner handle, points.
const HANDLE: f32 = 5.0;

/// Handles of every boundary, and what is done with them.
pub fn outline_tool(
    ui: &mut Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    actions: &mut Vec<Action>,
) {
    for of in boundary::boundaries(&view.part).collect::<Vec<_>>() {
        let Some(edge) = boundary::boundary(&view.part, of) else { continue };
        // Handles of a boundary with very many corners would be a smear; such outlines come from drawings.
        if edge.vertices.len() > 400 {
            continue;
        }
        let count = edge.vertices.len();
        for (i, vertex) in edge.vertices.iter().enumerate() {
            let next = edge.vertices[(i + 1) % count];
            let middle = canvas.at((vertex.at + next.at) / 2.0);
            if vertex.bulge == 0.0 && canvas.at(vertex.at).distance(canvas.at(next.at)) > 24.0 {
                edge_handle(ui, view, plan, canvas, of, i, middle, actions);
            }
        }
        for (i, vertex) in edge.vertices.iter().enumerate() {
            corner_handle(ui, plan, canvas, of, i, vertex.at);
        }
        // On top of the handles of a narrow slot's edges.
        if let Some(sketch) = Sketch::of(&view.part, of).filter(|sketch| sketch.form.by_centre()) {
            centre_handle(ui, canvas, of, sketch, actions);
        }
    }
    let delete = !ui.ctx().text_edit_focused()
        && ui.input(|i| i.key_pressed(Key::Delete) || i.key_pressed(Key::Backspace));
    if let (Some((of, index)), true) = (plan.corner, delete) {
        let corners = boundary::boundary(&view.part, of).map_or(0, |l| l.vertices.len());
        let edit = if corners > 3 {
            gestures::change_loop(&view.part, of, "a corner away", |l| l.with_vertex_removed(index))
        } else {
            gestures::remove_boundary(&view.part, of)
        };
        actions.extend(edit.map(Action::Edit));
        plan.corner = None;
    }
    let above = Strip::above(ui, view, plan, canvas.rect);
    if let Some((of, index)) = plan.corner
        && boundary::boundary(&view.part, of).is_some_and(|l| index < l.vertices.len())
    {
        corner_strip(ui, view, above, of, index, actions);
    } else {
        let text =
            "Drag corners and edges. Click a corner for its values, double-click an edge for a new corner.";
        above.show(ui, view, |ui| {
            ui.horizontal_wrapped(|ui| {
                ui.label(egui::RichText::new(text).color(canvas.t.second));
            });
        });
    }
}

/// Figures of the marked corner over the top of the plan: place, radius, and taking it away.
fn corner_strip(
    ui: &mut Ui,
    view: &View,
    above: Strip,
    of: LoopRef,
    index: usize,
    actions: &mut Vec<Action>,
) {
    let Some(boundary) = boundary::boundary(&view.part, of) else { return };
    let at = boundary.vertices[index].at;
    above.show(ui, view, |ui| {
        ui.horizontal_wrapped(|ui| {
            let heading = format!("Corner {} of {}", index + 1, name_of(of));
            ui.label(egui::RichText::new(heading).font(crate::theme::Size::Heading.strong()));
            ui.add_space(8.0);
            let field = |ui: &mut Ui, name: &str, value: f64| {
                fields::inline(ui, ("corner", of, index, name), name, value, Quantity::Length, &view.units)
            };
            let datum = view.part.datum_at();
            for (axis, name) in ["Corner X", "Corner Y"].into_iter().enumerate() {
                if let Some(v) = field(ui, name, units::tidied(at[axis] - datum[axis])) {
                    let mut to = at;
                    to[axis] = units::tidied(v + datum[axis]);
                    let moved = |l: &geometry::Loop| l.with_vertex_moved(index, to);
                    actions
                        .extend(gestures::change_loop(&view.part, of, "a corner", moved).map(Action::Edit));
                }
            }
            if let Some(v) = field(ui, "Round by", 0.0).filter(|v| *v > 0.0) {
                match boundary.with_corner_rounded(index, v) {
                    Some(rounded) => {
                        let edit = gestures::change_loop(&view.part, of, "a rounded corner", |_| rounded);
                        actions.extend(edit.map(Action::Edit));
                    }
                    None => {
                        let text = "That radius does not fit between the neighbouring straight edges.";
                        actions.push(Action::Notice(text.to_owned()));
                    }
                }
            }
            if let Some(sketch) = Sketch::of(&view.part, of)
                && ui.button("Sizes…").on_hover_text("Its overall size and position").clicked()
            {
                actions.push(Action::Tool(Tool::Sketch(sketch)));
            }
            if of != LoopRef::Outer && ui.button(format!("Remove {}", name_of(of))).clicked() {
                actions.extend(gestures::remove_boundary(&view.part, of).map(Action::Edit));
            }
        });
    });
}

fn handle_colour(canvas: &Canvas<'_>, marked: bool, hovered: bool) -> Color32 {
    if marked || hovered { canvas.t.working } else { canvas.t.cup }
}

/// A handle in the middle of a circle or slot: a click opens its sizes and place.
fn centre_handle(ui: &Ui, canvas: &Canvas<'_>, of: LoopRef, sketch: Sketch, actions: &mut Vec<Action>) {
    let Some(at) = sketch.centre().map(|at| canvas.at(at)) else { return };
    let hit = Rect::from_center_size(at, Vec2::splat(18.0));
    let response = ui.interact(hit, ui.scope_id().with(("centre", of)), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Sizes of {}", name_of(of))));
    let fill = handle_colour(canvas, false, response.hovered() || response.has_focus());
    canvas.painter.circle(at, HANDLE, fill, Stroke::new(1.2, canvas.t.working));
    if response.on_hover_text("Size and position").clicked() {
        actions.push(Action::Tool(Tool::Sketch(sketch)));
    }
}

fn corner_handle(ui: &Ui, plan: &mut PlanState, canvas: &Canvas<'_>, of: LoopRef, index: usize, at: DVec2) {
    let rect = Rect::from_center_size(canvas.at(at), Vec2::splat(2.0 * HANDLE));
    let response =
        ui.interact(rect.expand(3.0), ui.scope_id().with(("corner", of, index)), Sense::click_and_drag());
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Button, true, format!("Corner {} of {}", index + 1, name_of(of)))
    });
    let marked = plan.corner == Some((of, index));
    canvas.painter.rect(
        rect,
        1.0,
        handle_colour(canvas, marked, response.hovered()),
        Stroke::new(1.2, canvas.t.working),
        StrokeKind::Middle,
    );
    if response.clicked() || response.drag_started() {
        plan.corner = Some((of, index));
    }
    if response.drag_started_by(PointerButton::Primary) && plan.drag.is_none() {
        plan.drag = Some(Drag::Corner { of, index });
    }
}

#[expect(clippy::too_many_arguments, reason = "one frame's read-only state, passed on as it is")]
fn edge_handle(
    ui: &Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    of: LoopRef,
    index: usize,
    middle: Pos2,
    actions: &mut Vec<Action>,
) {
    let response = ui.interact(
        Rect::from_center_size(middle, Vec2::splat(16.0)),
        ui.scope_id().with(("edge", of, index)),
        Sense::click_and_drag(),
    );
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Button, true, format!("Edge {} of {}", index + 1, name_of(of)))
    });
    let diamond = [Vec2::new(0.0, -5.0), Vec2::new(5.0, 0.0), Vec2::new(0.0, 5.0), Vec2::new(-5.0, 0.0)]
        .map(|d| middle + d);
    canvas.painter.add(Shape::convex_polygon(
        diamond.to_vec(),
        handle_colour(canvas, false, response.hovered()),
        Stroke::new(1.2, canvas.t.working),
    ));
    if response.double_clicked() {
        let at = canvas.place(middle);
        actions.extend(
            gestures::change_loop(&view.part, of, "a new corner", |l| l.with_vertex_inserted(index + 1, at))
                .map(Action::Edit),
        );
    } else if response.drag_started_by(PointerButton::Primary)
        && plan.drag.is_none()
        && let Some(origin) = ui.input(|i| i.pointer.press_origin())
    {
        plan.drag = Some(Drag::Edge { of, index, from: canvas.place(origin) });
    }
}

fn name_of(of: LoopRef) -> String {
    match of {
        LoopRef::Outer => "the outline".to_owned(),
        LoopRef::Hole(i) => format!("hole {}", i + 1),
        LoopRef::KeepOut(i) => format!("keep-out {}", i + 1),
    }
}
