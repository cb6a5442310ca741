//! A small view from the side: how the tool is tilted and what the part pulls with, at the worst instant of a motion.

use super::paper::Canvas;
use crate::{theme::Size, view::View};
use egui::{Align2, Color32, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2};
use glam::{DVec2, DVec3};
use units::Quantity;

/// Size of the inset.
pub const SIZE: Vec2 = Vec2::new(252.0, 74.0);

/// Half the length that the part is drawn with.
const HALF_PART: f32 = 27.0;

/// Room that the tag over a cup takes, points.
const TAG: f32 = 22.0;

/// Where the inset stands: at the upper right, or at the upper left where it covers fewer cups there. While a button is held it
/// stays where it is, so that a cup that is dragged under it does not make it jump.
fn place(canvas: &Canvas<'_>, view: &View) -> Rect {
    let right = Pos2::new(canvas.rect.right() - SIZE.x - 14.0, canvas.rect.top() + 12.0);
    let left = Pos2::new(canvas.rect.left() + 14.0, canvas.rect.top() + 12.0);
    let [right, left] = [right, left].map(|at| Rect::from_min_size(at, SIZE));
    let covered = |rect: Rect| {
        let cups = view.layout.cups.iter().filter(|cup| {
            let shape = view.project.model(&cup.model).map(|model| model.shape);
            let reach = shape.map_or(8.0, |shape| super::cups::reach(canvas, &shape).max(8.0));
            let drawn = Rect::from_center_size(canvas.at(cup.at), Vec2::splat(2.0 * reach));
            Rect::from_min_max(drawn.min - Vec2::new(0.0, TAG), drawn.max).intersects(rect)
        });
        cups.count()
    };
    let (ctx, id) = (canvas.painter.ctx(), egui::Id::unique("side view at the left"));
    let at_left = match ctx.data(|data| data.get_temp::<bool>(id)) {
        Some(at_left) if ctx.input(|input| input.pointer.any_down()) => at_left,
        _ => covered(left) < covered(right),
    };
    ctx.data_mut(|data| data.insert_temp(id, at_left));
    if at_left { left } else { right }
}

/// Draws the inset at an upper corner of the plan; nothing when the motion has no figure.
pub fn side_view(canvas: &Canvas<'_>, view: &View) {
    let (Some(motion), Some(outcome)) = (view.shown_motion(), view.shown_outcome()) else { return };
    // A loss that is played back has its own motion and its own strip there.
    if view.replay.is_some() || canvas.rect.width() < 460.0 || canvas.rect.height() < 330.0 {
        return;
    }
    let t = &canvas.t;
    let rect = place(canvas, view);
    let painter = canvas.painter;
    painter.rect(rect, 4.0, t.panel.gamma_multiply(0.94), Stroke::new(1.0, t.hairline), StrokeKind::Inside);
    let gravity = outcome.instant.gravity;
    let force = outcome.wrench.force;
    let across = plane(gravity, force);
    // Seen along the normal of that plane, gravity points down.
    let flat = |v: DVec3| DVec2::new(v.truncate().dot(across), v.z);
    let down = flat(gravity).normalize_or(DVec2::NEG_Y);
    let turn = |v: DVec2| {
        // Turned so that `down` is the screen's down.
        let right = DVec2::new(-down.y, down.x);
        Vec2::new(v.dot(right) as f32, v.dot(down) as f32)
    };
    let middle = rect.left_center() + Vec2::new(38.0, 0.0);
    let along = turn(DVec2::X);
    let up = turn(DVec2::Y);
    // The tool: a stem, a bar and two cups over the part.
    let part = [middle - along * HALF_PART, middle + along * HALF_PART];
    let lift = |p: Pos2, by: f32| p + up * by;
    let grey = Stroke::new(1.4, t.second);
    painter.line_segment([lift(middle, 11.0), lift(middle, 20.0)], Stroke::new(3.0, t.second));
    painter.line_segment([lift(middle - along * 19.0, 11.0), lift(middle + along * 19.0, 11.0)], grey);
    for side in [-15.0_f32, 15.0] {
        let foot = middle + along * side;
        painter.line_segment([lift(foot, 11.0), lift(foot, 5.5)], grey);
        painter.line_segment([lift(foot - along * 4.0, 2.5), lift(foot, 6.5)], grey);
        painter.line_segment([lift(foot + along * 4.0, 2.5), lift(foot, 6.5)], grey);
    }
    painter.line_segment(part, Stroke::new(3.0, t.part_line));
    let weight = flat(gravity).length();
    let pull = flat(force);
    let mass = view.report.part.as_ref().map_or(0.0, |p| p.mass_kg);
    if mass > 0.0 && weight > 0.0 {
        // Weight and the whole force to one scale.
        let most = (pull.length() / mass).max(weight);
        let scale = 32.0 / most;
        let arrow = |v: DVec2, colour: Color32, width: f32| {
            let tip = middle + turn(v * scale);
            arrow(canvas, middle, tip, colour, width);
        };
        arrow(flat(gravity), t.second, 1.4);
        arrow(pull / mass, t.working, 2.4);
    }
    let tilt = (-gravity.z).atan2(gravity.truncate().length());
    let tilt = (std::f64::consts::FRAC_PI_2 - tilt).to_degrees();
    let moment = outcome.wrench.moment;
    let tips = view.text(moment.truncate().length(), Quantity::Moment);
    let lines = [
        (clip(&motion.name, 26), t.ink),
        (format!("tilted {}", view.text(tilt, Quantity::Angle)), t.second),
        (format!("force {}", view.text(force.length(), Quantity::Force)), t.working),
        (format!("tips {tips}, twists {}", view.text(moment.z.abs(), Quantity::Moment)), t.second),
    ];
    for (i, (line, colour)) in lines.into_iter().enumerate() {
        let at = rect.left_top() + Vec2::new(80.0, 5.0 + 16.0 * i as f32);
        painter.text(at, Align2::LEFT_TOP, line, Size::Small.font(), colour);
    }
}

/// Direction in the plan that the view shows as its width: where the tool leans, else where the force points, else x.
fn plane(gravity: DVec3, force: DVec3) -> DVec2 {
    let lean = gravity.truncate();
    if lean.length() > 1e-6 * gravity.length() {
        return lean.normalize();
    }
    let side = force.truncate();
    if side.length() > 1e-6 * force.length().max(1e-9) { side.normalize() } else { DVec2::X }
}

fn clip(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).collect::<String>() + "…"
}

fn arrow(canvas: &Canvas<'_>, from: Pos2, tip: Pos2, colour: Color32, width: f32) {
    let along = (tip - from).normalized();
    if (tip - from).length() < 4.0 {
        return;
    }
    canvas.painter.line_segment([from, tip - along * 4.0], Stroke::new(width, colour));
    let across = along.rot90() * (2.0 + width);
    let back = tip - along * (4.0 + 2.0 * width);
    canvas.painter.add(Shape::convex_polygon(vec![tip, back + across, back - across], colour, Stroke::NONE));
}
