//! Dragging corners and edges of the outline, holes and keep-outs.

use super::{Drag, LoopRef, PlanState, gestures, marks, paper::Canvas};
use crate::view::{Action, View};
use egui::{
    Color32, Key, PointerButton, Pos2, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, WidgetInfo,
};
use glam::DVec2;

/// Half-size of a corner handle, points.
const HANDLE: f32 = 5.0;

/// Handles of every boundary, and what is done with them.
pub fn outline_tool(
    ui: &Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    actions: &mut Vec<Action>,
) {
    for of in gestures::boundaries(&view.part).collect::<Vec<_>>() {
        let Some(boundary) = gestures::boundary(&view.part, of) else { continue };
        // Handles of a boundary with very many corners would be a smear; such outlines come from drawings.
        if boundary.vertices.len() > 400 {
            continue;
        }
        let count = boundary.vertices.len();
        for (i, vertex) in boundary.vertices.iter().enumerate() {
            let next = boundary.vertices[(i + 1) % count];
            let middle = canvas.at((vertex.at + next.at) / 2.0);
            if vertex.bulge == 0.0 && canvas.at(vertex.at).distance(canvas.at(next.at)) > 24.0 {
                edge_handle(ui, view, plan, canvas, of, i, middle, actions);
            }
        }
        for (i, vertex) in boundary.vertices.iter().enumerate() {
            corner_handle(ui, plan, canvas, of, i, vertex.at);
        }
    }
    let delete = !ui.ctx().text_edit_focused()
        && ui.input(|i| i.key_pressed(Key::Delete) || i.key_pressed(Key::Backspace));
    if let (Some((of, index)), true) = (plan.corner, delete) {
        let corners = gestures::boundary(&view.part, of).map_or(0, |l| l.vertices.len());
        let edit = if corners > 3 {
            gestures::change_loop(&view.part, of, "a corner away", |l| l.with_vertex_removed(index))
        } else {
            gestures::remove_boundary(&view.part, of)
        };
        actions.extend(edit.map(Action::Edit));
        plan.corner = None;
    }
    let text =
        "Drag corners and edges. Double-click an edge for a new corner; Delete takes the marked corner away.";
    marks::chip(
        canvas,
        canvas.rect.center_top() + Vec2::new(0.0, 12.0),
        egui::Align2::CENTER_TOP,
        text,
        canvas.t.second,
    );
}

fn handle_colour(canvas: &Canvas<'_>, marked: bool, hovered: bool) -> Color32 {
    if marked || hovered { canvas.t.working } else { canvas.t.cup }
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
        let at = plan.camera.part_from_screen(canvas.rect, middle);
        actions.extend(
            gestures::change_loop(&view.part, of, "a new corner", |l| l.with_vertex_inserted(index + 1, at))
                .map(Action::Edit),
        );
    } else if response.drag_started_by(PointerButton::Primary)
        && plan.drag.is_none()
        && let Some(origin) = ui.input(|i| i.pointer.press_origin())
    {
        plan.drag = Some(Drag::Edge { of, index, from: plan.camera.part_from_screen(canvas.rect, origin) });
    }
}

fn name_of(of: LoopRef) -> String {
    match of {
        LoopRef::Outer => "the outline".to_owned(),
        LoopRef::Hole(i) => format!("hole {}", i + 1),
        LoopRef::KeepOut(i) => format!("keep-out {}", i + 1),
    }
}
