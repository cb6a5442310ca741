//! A review on the plan: where cups were, what came and went, and pins of remarks.

use super::{cups, marks::chip, paper::Canvas};
use crate::{
    panels,
    theme::Size,
    view::{Action, Beside, View},
};
use document::{Cup, Layout, Pin, Remark};
use egui::{Align2, Color32, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};
use geometry::Lip;
use glam::DVec2;
use units::Quantity;

/// Shorter moves than this on the screen have no arrow, points.
const SHORTEST_ARROW: f32 = 6.0;
/// Moves within rounding are none, mm.
const SAME_PLACE_MM: f64 = 1e-6;

/// Dashed lips where cups were, arrows to where they are, and a word at each that came, went or changed.
pub fn ghosts(canvas: &Canvas<'_>, view: &View, beside: &Beside) {
    let earlier = beside.project.layout(view.layout.id);
    outline(canvas, view, beside);
    let Some(earlier) = earlier else {
        let at = canvas.rect.center_top() + Vec2::new(0.0, 58.0);
        let says = format!("{} is not in {}", view.layout.name, beside.name);
        chip(canvas, at, Align2::CENTER_TOP, &says, canvas.t.order);
        return;
    };
    for was in &earlier.cups {
        match view.layout.cups.iter().find(|c| c.id == was.id) {
            Some(now) => changed(canvas, view, beside, was, now),
            None => {
                ghost(canvas, beside, was, canvas.t.fail);
                chip(
                    canvas,
                    canvas.at(was.at),
                    Align2::CENTER_CENTER,
                    &format!("{} removed", was.tag),
                    canvas.t.fail,
                );
            }
        }
    }
    for cup in &view.layout.cups {
        if !has(earlier, cup) {
            word(canvas, view, cup, "new", canvas.t.order);
        }
    }
}

fn has(layout: &Layout, cup: &Cup) -> bool {
    layout.cups.iter().any(|c| c.id == cup.id)
}

/// The part's outline as it was, where it was another one.
fn outline(canvas: &Canvas<'_>, view: &View, beside: &Beside) {
    let Some(was) = beside.project.part(view.part.id).filter(|p| p.outline != view.part.outline) else {
        return;
    };
    let stroke = Stroke::new(1.2, canvas.t.working);
    for boundary in std::iter::once(&was.outline.outer).chain(&was.outline.holes) {
        let mut points: Vec<Pos2> =
            boundary.flatten(0.3 / canvas.camera.scale).into_iter().map(|p| canvas.at(p)).collect();
        points.extend(points.first().copied());
        canvas.painter.extend(Shape::dashed_line(&points, stroke, 6.0, 4.0));
    }
}

fn ghost(canvas: &Canvas<'_>, beside: &Beside, cup: &Cup, colour: Color32) {
    let Some(model) = beside.project.model(&cup.model) else { return };
    let lip = Lip { shape: model.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
    let mut points: Vec<Pos2> =
        lip.outline().flatten(0.3 / canvas.camera.scale).into_iter().map(|p| canvas.at(p)).collect();
    points.extend(points.first().copied());
    canvas.painter.extend(Shape::dashed_line(&points, Stroke::new(1.5, colour), 4.0, 3.0));
}

fn changed(canvas: &Canvas<'_>, view: &View, beside: &Beside, was: &Cup, now: &Cup) {
    let moved = was.at.distance(now.at);
    let t = &canvas.t;
    let mut words = Vec::new();
    if was.model != now.model {
        let name = beside.project.model(&was.model).map_or("another model", |m| m.name.as_str());
        words.push(format!("was {name}"));
    }
    let turned = (now.turn_deg - was.turn_deg + 180.0).rem_euclid(360.0) - 180.0;
    if turned.abs() > 1e-6 {
        words.push(format!("turned {}°", (turned * 10.0).round() / 10.0));
    }
    if was.zone != now.zone {
        words.push(format!("was in zone {}", was.zone));
    }
    let another = moved > SAME_PLACE_MM || !words.is_empty();
    if another {
        ghost(canvas, beside, was, t.working);
    }
    if moved > SAME_PLACE_MM {
        let (from, to) = (canvas.at(was.at), canvas.at(now.at));
        let text = view.text(moved, Quantity::Length);
        if (to - from).length() > SHORTEST_ARROW {
            let lip = view.project.model(&now.model).map_or(0.0, |m| cups::reach(canvas, &m.shape));
            // The head stands at the lip, where nothing else is drawn.
            let room = (to - from).length() > lip + 14.0;
            let end = if room { to - (to - from).normalized() * (lip + 2.0) } else { to };
            arrow(canvas, from, end, t.working);
            let middle = from + (to - from) / 2.0;
            // Beside an upright arrow, over one that lies: the text hides no arrow.
            let (shift, align) = if (to - from).y.abs() > (to - from).x.abs() {
                (Vec2::new(-10.0, 0.0), Align2::RIGHT_CENTER)
            } else {
                (Vec2::new(0.0, -10.0), Align2::CENTER_BOTTOM)
            };
            chip(canvas, middle + shift, align, &text, t.working);
        } else {
            words.insert(0, format!("moved {text}"));
        }
    }
    if !words.is_empty() {
        word(canvas, view, now, &words.join(", "), t.working);
    }
}

fn word(canvas: &Canvas<'_>, view: &View, cup: &Cup, text: &str, colour: Color32) {
    let Some(model) = view.project.model(&cup.model) else { return };
    let below = Vec2::new(0.0, cups::reach(canvas, &model.shape).max(8.0) + 8.0);
    chip(canvas, canvas.at(cup.at) + below, Align2::CENTER_TOP, text, colour);
}

fn arrow(canvas: &Canvas<'_>, from: Pos2, to: Pos2, colour: Color32) {
    let along = (to - from).normalized();
    let across = along.rot90();
    canvas.painter.line_segment([from, to - along * 6.0], Stroke::new(1.8, colour));
    let head = vec![to, to - along * 9.0 + across * 4.0, to - along * 9.0 - across * 4.0];
    canvas.painter.add(Shape::convex_polygon(head, colour, Stroke::NONE));
}

/// Where a remark's pin stands on the plan, if it stands there.
fn place(view: &View, remark: &Remark) -> Option<DVec2> {
    let cup = |id| view.layout.cups.iter().find(|c| c.id == id).map(|c| c.at);
    match &remark.pin {
        Pin::Cup(layout, id) if *layout == view.layout.id => cup(*id),
        Pin::Place(layout, at) if *layout == view.layout.id => Some(*at),
        Pin::Finding { layout, subject, .. } if *layout == view.layout.id => cup(*subject.first()?),
        _ => None,
    }
}

/// Pins of open remarks, numbered as in the list.
pub fn pins(ui: &Ui, canvas: &Canvas<'_>, view: &View, actions: &mut Vec<Action>) {
    let t = &canvas.t;
    let mut taken: Vec<Pos2> = Vec::new();
    for (i, remark) in view.project.review.remarks.iter().enumerate().filter(|(_, r)| r.resolved.is_none()) {
        let Some(at) = place(view, remark) else { continue };
        let foot = canvas.at(at);
        let mut head = foot + Vec2::new(15.0, -26.0);
        // Pins on one cup stand beside each other.
        while taken.iter().any(|other| (*other - head).length() < 18.0) {
            head.x += 20.0;
        }
        taken.push(head);
        if !canvas.rect.contains(foot) {
            continue;
        }
        canvas.painter.line_segment([foot, head + Vec2::new(-4.0, 8.0)], Stroke::new(1.4, t.watch));
        canvas.painter.circle_filled(foot, 2.5, t.watch);
        let hit = Rect::from_center_size(head, Vec2::splat(20.0));
        let id = egui::Id::unique(("remark on the plan", remark.id.0));
        let response = ui.interact(hit, id, Sense::click());
        let name = format!("Pin of remark {} on {}", i + 1, remark.called);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name.clone()));
        let fill = if response.hovered() || response.has_focus() { t.selection } else { t.ground };
        canvas.painter.circle(head, 9.0, fill, Stroke::new(1.6, t.watch));
        let number = (i + 1).to_string();
        canvas.painter.text(head, Align2::CENTER_CENTER, number, Size::Small.strong(), t.ink);
        if response.on_hover_text(format!("{}: {}", remark.by, remark.text)).clicked() {
            panels::show_remark(view, remark, actions);
            actions.push(Action::ReadRemarks);
        }
    }
}
