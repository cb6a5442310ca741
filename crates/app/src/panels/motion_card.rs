//! The motion shown, in the strip over the plan: a small view from the side, how the tool is tilted and what the part pulls
//! with at the worst instant.

use crate::{
    theme::{Size, Tokens},
    view::View,
    widgets::one_line,
};
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Ui, Vec2};
use glam::{DVec2, DVec3};
use units::Quantity;

/// Room that it asks for.
pub const WIDTH: f32 = 316.0;

/// Half the length that the part is drawn with.
const HALF_PART: f32 = 24.0;
/// Height of the stem's end over the part.
const STEM: f32 = 16.0;
/// Length of the longest arrow, points.
const ARROW: f32 = 17.0;

/// Draws it; nothing when the motion has no figure.
pub fn motion_card_ui(ui: &Ui, view: &View, rect: Rect) {
    let (Some(motion), Some(outcome)) = (view.shown_motion(), view.shown_outcome()) else { return };
    // A loss that is played back has its own motion and its own strip.
    if view.replay.is_some() {
        return;
    }
    let t = view.tokens;
    let painter = &ui.painter_at(rect);
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
    let middle = rect.left_center() + Vec2::new(32.0, 1.0);
    tool(painter, middle, within(rect.height(), [turn(DVec2::X), turn(DVec2::Y)]), &t);
    let weight = flat(gravity).length();
    let pull = flat(force);
    let mass = view.report.part.as_ref().map_or(0.0, |p| p.mass_kg);
    if mass > 0.0 && weight > 0.0 {
        // Weight and the whole force to one scale.
        let most = (pull.length() / mass).max(weight);
        let scale = f64::from(ARROW) / most;
        arrow(painter, middle, middle + turn(flat(gravity) * scale), t.second, 1.4);
        arrow(painter, middle, middle + turn(pull / mass * scale), t.working, 2.2);
    }
    let tilt = (-gravity.z).atan2(gravity.truncate().length());
    let tilt = (std::f64::consts::FRAC_PI_2 - tilt).to_degrees();
    let moment = outcome.wrench.moment;
    let tips = view.text(moment.truncate().length(), Quantity::Moment);
    let twists = view.text(moment.z.abs(), Quantity::Moment);
    let first = format!("{}, tilted {}", motion.name, view.text(tilt, Quantity::Angle));
    let second =
        format!("force {}, tips {tips}, twists {twists}", view.text(force.length(), Quantity::Force));
    let room = rect.width() - 66.0;
    for (text, colour, up) in [(first, t.ink, 1.0), (second, t.second, 0.0)] {
        let line = one_line(ui, &text, room, Size::Small.font(), colour);
        let at = Pos2::new(rect.left() + 66.0, rect.center().y - up * line.size().y);
        painter.galley(at, line, colour);
    }
}

/// Directions of the part and of the tool above it, shorter where the tilted tool would leave a strip of this height.
fn within(height: f32, directions: [Vec2; 2]) -> [Vec2; 2] {
    let [along, up] = directions;
    let needs = HALF_PART * along.y.abs() + STEM * up.y.abs();
    let share = ((height / 2.0 - 3.0) / needs).min(1.0);
    [along * share, up * share]
}

/// The tool: a stem, a bar and two cups over the part.
fn tool(painter: &Painter, middle: Pos2, [along, up]: [Vec2; 2], t: &Tokens) {
    let part = [middle - along * HALF_PART, middle + along * HALF_PART];
    let lift = |p: Pos2, by: f32| p + up * by;
    let grey = Stroke::new(1.4, t.second);
    painter.line_segment([lift(middle, 10.0), lift(middle, STEM)], Stroke::new(3.0, t.second));
    painter.line_segment([lift(middle - along * 17.0, 10.0), lift(middle + along * 17.0, 10.0)], grey);
    for side in [-13.0_f32, 13.0] {
        let foot = middle + along * side;
        painter.line_segment([lift(foot, 10.0), lift(foot, 5.5)], grey);
        painter.line_segment([lift(foot - along * 4.0, 2.5), lift(foot, 6.0)], grey);
        painter.line_segment([lift(foot + along * 4.0, 2.5), lift(foot, 6.0)], grey);
    }
    painter.line_segment(part, Stroke::new(3.0, t.part_line));
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

fn arrow(painter: &Painter, from: Pos2, tip: Pos2, colour: Color32, width: f32) {
    let along = (tip - from).normalized();
    if (tip - from).length() < 4.0 {
        return;
    }
    painter.line_segment([from, tip - along * 4.0], Stroke::new(width, colour));
    let across = along.rot90() * (2.0 + width);
    let back = tip - along * (4.0 + 2.0 * width);
    painter.add(Shape::convex_polygon(vec![tip, back + across, back - across], colour, Stroke::NONE));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tool_keeps_to_its_strip_however_it_is_tilted() {
        for degrees in 0..=180 {
            let (sin, cos) = (degrees as f32).to_radians().sin_cos();
            let [along, up] = within(42.0, [Vec2::new(cos, sin), Vec2::new(sin, -cos)]);
            let reach = HALF_PART * along.y.abs() + STEM * up.y.abs();
            assert!(reach <= 18.01, "{degrees}: {reach}");
        }
        assert_eq!(within(42.0, [Vec2::X, -Vec2::Y]), [Vec2::X, -Vec2::Y]);
    }
}
