//! A review on the plan: where cups were, what came and went, and pins of remarks.

use super::{
    labels::{Rank, around},
    marks::chip,
    paper::Canvas,
};
use crate::{
    panels,
    theme::Size,
    view::{Action, Beside, ReviewView, View},
};
use document::{Cup, Pin, Remark};
use egui::{Align2, Color32, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};
use geometry::Loop;
use glam::DVec2;
use telling::Fate;

/// Shorter moves than this on the screen have no arrow, points.
const SHORTEST_ARROW: f32 = 6.0;

/// Dashed lips where cups were, arrows to where they are, and a word at each that came, went or changed.
pub fn ghosts(canvas: &Canvas<'_>, view: &View, review: &ReviewView, beside: &Beside) {
    let t = &canvas.t;
    if let Some(was) = &review.elsewhere.outline {
        for boundary in std::iter::once(&was.outer).chain(&was.holes) {
            dashed(canvas, boundary, Stroke::new(1.2, t.working), 6.0);
        }
    }
    if beside.project.layout(view.layout.id).is_none() {
        let at = canvas.rect.center_top() + Vec2::new(0.0, 58.0);
        let says = format!("{} is not in {}", view.layout.name, beside.name);
        chip(canvas, at, Align2::CENTER_TOP, &says, t.order);
    }
    for ghost in &review.elsewhere.cups {
        let colour = match ghost.fate {
            Fate::New => t.order,
            Fate::Removed => t.fail,
            Fate::Changed => t.working,
        };
        if let Some(lip) = ghost.lip {
            dashed(canvas, &lip.outline(), Stroke::new(1.5, colour), 4.0);
        }
        let Some(now) = view.layout.cups.iter().find(|c| c.id == ghost.cup) else {
            chip(canvas, canvas.at(ghost.at), Align2::CENTER_CENTER, &ghost.says(), colour);
            continue;
        };
        let at_arrow = ghost.to.zip(ghost.distance.as_ref()).is_some_and(|(to, distance)| {
            let way = [canvas.at(ghost.at), canvas.at(to)];
            moved(canvas, view, now, way, distance)
        });
        let says = if at_arrow { ghost.words.join(", ") } else { ghost.says() };
        if !says.is_empty() {
            word(canvas, view, now, &says, colour);
        }
    }
}

fn dashed(canvas: &Canvas<'_>, boundary: &Loop, stroke: Stroke, dash: f32) {
    let mut points: Vec<Pos2> =
        boundary.flatten(0.3 / canvas.camera.scale).into_iter().map(|p| canvas.at(p)).collect();
    points.extend(points.first().copied());
    canvas.dashed(&points, stroke, dash, dash - 1.0);
}

/// The arrow of a move with its length; whether there was room for it.
fn moved(canvas: &Canvas<'_>, view: &View, now: &Cup, [from, to]: [Pos2; 2], distance: &str) -> bool {
    let way = to - from;
    if way.length() <= SHORTEST_ARROW {
        return false;
    }
    let lip = view.project.model(&now.model).map_or(0.0, |m| canvas.reach(&m.shape));
    // The head stands at the lip, where nothing else is drawn.
    let end = if way.length() > lip + 14.0 { to - way.normalized() * (lip + 2.0) } else { to };
    arrow(canvas, from, end, canvas.t.working);
    // Beside an upright arrow, over one that lies: the text hides no arrow.
    let (shift, align) = if way.y.abs() > way.x.abs() {
        (Vec2::new(-10.0, 0.0), Align2::RIGHT_CENTER)
    } else {
        (Vec2::new(0.0, -10.0), Align2::CENTER_BOTTOM)
    };
    chip(canvas, from + way / 2.0 + shift, align, distance, canvas.t.working);
    true
}

fn word(canvas: &Canvas<'_>, view: &View, cup: &Cup, text: &str, colour: Color32) {
    let Some(model) = view.project.model(&cup.model) else { return };
    let at = canvas.at(cup.at);
    let mut spots = around(at, Vec2::splat(canvas.reach(&model.shape).max(8.0) + 8.0), true);
    spots.swap(0, 1);
    let font = Size::Body.strong();
    canvas.label(canvas.lettering(Rank::Fails, text, font, colour, &spots).leading_to(at, Vec2::splat(8.0)));
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

/// Radius of a pin's head, points.
const PIN: f32 = 9.0;

/// Open remarks that are pinned to the plan, with their number in the list, the place and where the pin's head stands.
fn pinned<'a>(canvas: &Canvas<'_>, view: &'a View) -> Vec<(usize, &'a Remark, Pos2, Pos2)> {
    let mut out: Vec<(usize, &Remark, Pos2, Pos2)> = Vec::new();
    for (i, remark) in view.project.review.remarks.iter().enumerate().filter(|(_, r)| r.resolved.is_none()) {
        let Some(at) = place(view, remark) else { continue };
        let foot = canvas.at(at);
        let mut head = foot + Vec2::new(15.0, -26.0);
        // Pins on one cup stand beside each other.
        while out.iter().any(|(.., other)| (*other - head).length() < 2.0 * PIN) {
            head.x += 20.0;
        }
        out.push((i, remark, foot, head));
    }
    out
}

/// Lettering keeps off the pins.
pub fn keep_off_pins(canvas: &Canvas<'_>, view: &View) {
    for (.., head) in pinned(canvas, view) {
        canvas.labels.borrow_mut().keep_off_disc(head, PIN + 1.0);
    }
}

/// Pins of open remarks, numbered as in the list.
pub fn pins(ui: &Ui, canvas: &Canvas<'_>, view: &View, actions: &mut Vec<Action>) {
    let t = &canvas.t;
    for (i, remark, foot, head) in pinned(canvas, view) {
        if !canvas.rect.contains(foot) {
            continue;
        }
        canvas.painter.line_segment([foot, head + Vec2::new(-4.0, 8.0)], Stroke::new(1.4, t.working));
        canvas.painter.circle_filled(foot, 2.5, t.working);
        let hit = Rect::from_center_size(head, Vec2::splat(20.0));
        let id = egui::Id::unique(("remark on the plan", remark.id.0));
        let response = ui.interact(hit, id, Sense::click());
        let name = format!("Pin of remark {} on {}", i + 1, remark.called);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name.clone()));
        let fill = if response.hovered() || response.has_focus() { t.selection } else { t.ground };
        canvas.painter.circle(head, PIN, fill, Stroke::new(1.6, t.working));
        let number = (i + 1).to_string();
        canvas.painter.text(head, Align2::CENTER_CENTER, number, Size::Small.strong(), t.ink);
        if response.on_hover_text(format!("{}: {}", remark.by, remark.text)).clicked() {
            panels::show_remark(view, remark, actions);
            actions.push(Action::ReadRemarks);
        }
    }
}
