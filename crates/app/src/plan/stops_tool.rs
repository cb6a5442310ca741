//! Laying the part shown against three stops: two edges are chosen on its outline, the places of the stops are typed, and it is
//! shown where it would lie before it is placed there.

use super::{PlanState, Tool, marks, paper::Canvas, stops::StopsDraft, strip::Strip};
use crate::{
    fields,
    theme::Size,
    view::{Action, View},
};
use document::{Edit, Seat};
use egui::{Align2, Button, CursorIcon, Rect, RichText, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};
use glam::DVec2;
use units::Quantity;

/// Half-size for hitting an edge, points.
const REACH: f32 = 11.0;
/// Edges that are offered: each is to be told from the next.
const MOST: usize = 400;

/// Marks the edges, draws the stops and the part against them, and takes what is chosen and typed; `canvas` counts in the frame of
/// the part.
pub fn stops_tool(
    ui: &mut Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    actions: &mut Vec<Action>,
) {
    let Tool::Stops(mut draft) = plan.tool.clone() else { return };
    let seat = view.seat();
    edges(ui, view, &seat, &mut draft, canvas);
    let placed = draft.stops().map(|stops| seat.by_stops(&view.part, stops));
    if let Some(Ok(placed)) = &placed {
        let there = canvas.in_frame(placed.pose());
        for boundary in view.part.outline.loops() {
            let places = boundary.flatten(0.3 / canvas.camera.scale);
            let points: Vec<_> = places.iter().chain(places.first()).map(|p| there.at(*p)).collect();
            canvas.dashed(&points, Stroke::new(1.6, canvas.t.working), 7.0, 4.0);
        }
    }
    if !draft.edges.is_empty() {
        let count = if draft.edges.len() == 1 { 2 } else { 3 };
        stops(canvas, &draft.at[..count]);
    }
    let placed = placed.map(|placed| placed.map_err(|why| why.says(&view.units)));
    let open = Strip::above(ui, view, plan, canvas.rect)
        .show(ui, view, |ui| rows(ui, view, &mut draft, placed, actions));
    plan.tool = if open { Tool::Stops(draft) } else { Tool::Select };
}

fn edges(ui: &Ui, view: &View, seat: &Seat, draft: &mut StopsDraft, canvas: &Canvas<'_>) {
    let seen = canvas.rect.expand(REACH);
    let offered = view.part.straight_edges().enumerate();
    let offered = offered.filter(|(_, edge)| seen.contains(canvas.at(edge.middle()))).take(MOST);
    for (index, edge) in offered {
        let at = canvas.at(edge.middle());
        let id = ui.scope_id().with(("edge for stops", index));
        let response = ui.interact(Rect::from_center_size(at, Vec2::splat(2.0 * REACH)), id, Sense::click());
        let stops = draft.edges.iter().position(|place| view.part.edge_at(*place) == Some(edge));
        let chosen = match stops {
            Some(0) => ", stops 1 and 2",
            Some(_) => ", stop 3",
            None => "",
        };
        let name = format!("Edge {} of the part{chosen}", index + 1);
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, stops.is_some(), &name));
        let lit = response.hovered() || response.has_focus();
        let (colour, width) = match (stops.is_some(), lit) {
            (true, _) => (canvas.t.working, 4.0),
            (false, true) => (canvas.t.working, 3.0),
            (false, false) => (canvas.t.second, 1.5),
        };
        if lit || stops.is_some() {
            canvas.line(&[edge.from, edge.to], Stroke::new(width, colour), false);
        }
        canvas.painter.circle(at, 5.0, canvas.t.cup, Stroke::new(1.5, colour));
        if response.hovered() {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
        }
        if response.clicked() {
            draft.take(&view.part, seat, &edge);
        }
    }
}

/// Keeps the lettering of the plan off the stops and their numbers.
pub fn keep_off(canvas: &Canvas<'_>, draft: &StopsDraft) {
    for place in draft.edges.first().map_or(&[][..], |_| &draft.at) {
        let at = canvas.camera.screen_from_part(canvas.rect, *place);
        canvas
            .labels
            .borrow_mut()
            .keep_off(Rect::from_min_max(at + Vec2::new(-5.0, -28.0), at + Vec2::new(24.0, 5.0)));
    }
}

/// The stops on the tool, with their numbers.
fn stops(canvas: &Canvas<'_>, places: &[DVec2]) {
    for (index, place) in places.iter().enumerate() {
        let at = canvas.camera.screen_from_part(canvas.rect, *place);
        canvas.painter.circle(at, 4.0, canvas.t.ink, Stroke::new(1.5, canvas.t.ground));
        let number = (index + 1).to_string();
        marks::chip(canvas, at + Vec2::new(9.0, -9.0), Align2::LEFT_BOTTOM, &number, canvas.t.ink);
    }
}

/// What is still to choose, X and Y of the stops, and what comes of them; whether the tool stays.
fn rows(
    ui: &mut Ui,
    view: &View,
    draft: &mut StopsDraft,
    placed: Option<Result<Seat, String>>,
    actions: &mut Vec<Action>,
) -> bool {
    let mut open = true;
    let name = view.family.as_ref().and_then(|held| held.seat()).map_or(&view.part.name, |held| &held.name);
    ui.horizontal_wrapped(|ui| {
        let heading = format!("Place {name} by three stops");
        ui.label(RichText::new(heading).font(Size::Heading.strong()));
        ui.add_space(8.0);
        let says = match draft.edges.len() {
            0 => "Choose the straight edge that stops 1 and 2 touch.",
            1 => "Choose the edge that stop 3 touches.",
            _ => "Enter where the stops are on the tool, from its datum at 0, 0.",
        };
        ui.label(RichText::new(says).color(view.tokens.second));
    });
    if !draft.edges.is_empty() {
        let count = if draft.edges.len() == 1 { 2 } else { 3 };
        ui.horizontal_wrapped(|ui| {
            // X and Y of a stop stay in one line, which is as wide as the widest was in the frame before.
            let id = ui.scope_id().with("a stop");
            let wide = ui.data(|d| d.get_temp::<f32>(id)).unwrap_or(0.0);
            let size = Vec2::new(wide, ui.spacing().interact_size.y);
            let line = egui::Layout::left_to_right(egui::Align::Center);
            let used = (0..count).map(|stop| {
                let of = ui.allocate_ui_with_layout(size, line, |ui| {
                    stop_ui(ui, view, draft, stop);
                    ui.min_rect().width()
                });
                of.inner
            });
            let used = used.fold(0.0, f32::max);
            if (used - wide).abs() > 0.5 {
                ui.data_mut(|d| d.insert_temp(id, used));
                ui.ctx().request_repaint();
            }
        });
    }
    ui.horizontal_wrapped(|ui| {
        let ready = matches!(placed, Some(Ok(_)));
        if ui.add_enabled(ready, Button::new("Place here")).clicked()
            && let Some(Ok(seat)) = &placed
        {
            let (layout, seat, what) = (view.layout.id, seat.clone(), String::new());
            actions.push(Action::Edit(Edit::ChangeSeat { layout, seat, what }));
            open = false;
        }
        if !draft.edges.is_empty() && ui.button("Choose other edges").clicked() {
            *draft = StopsDraft::default();
        }
        if ui.button("End").on_hover_text("Escape does it too; the part stays where it was").clicked() {
            open = false;
        }
        match &placed {
            Some(Ok(seat)) => {
                let text = |v: f64| view.text(v, Quantity::Length);
                let turn = view.text(seat.turn_deg, Quantity::Angle);
                let says =
                    format!("It will lie at X {}, Y {}, turned by {turn}.", text(seat.at.x), text(seat.at.y));
                ui.label(RichText::new(says).color(view.tokens.second));
            }
            Some(Err(says)) => {
                ui.label(RichText::new(says).color(view.tokens.fail));
            }
            None => {}
        }
    });
    open
}

fn stop_ui(ui: &mut Ui, view: &View, draft: &mut StopsDraft, stop: usize) {
    for (axis, letter) in ["X", "Y"].into_iter().enumerate() {
        let label = format!("Stop {} {letter}", stop + 1);
        let (value, field) = (draft.at[stop][axis], ("stop", stop, axis));
        if let Some(v) = fields::inline(ui, field, &label, value, Quantity::Length, &view.units) {
            draft.at[stop][axis] = v;
        }
    }
}
