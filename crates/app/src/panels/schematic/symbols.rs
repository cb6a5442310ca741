//! Graphic symbols of the schematic after ISO 1219-1, fluid power: drawn from memory of the standard, at one size, the air
//! going up the page towards the source.

use crate::widgets::arc;
use document::SourceKind;
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2};
use std::f32::consts::{FRAC_PI_2, PI, TAU};

/// Half the size of a symbol, points.
pub(super) const R: f32 = 8.0;

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Symbol {
    /// Vacuum generator by compressed air; vacuum pump; blower.
    Source(SourceKind),
    /// Silencer at an exhaust.
    Silencer,
    /// Air receiver.
    Vessel,
    /// Vacuum switch.
    Switch,
    /// Filter.
    Filter,
    /// Non-return valve.
    CheckValve,
    /// Restrictor.
    Restrictor,
    /// Two-way valve worked by a solenoid.
    Valve,
    /// Flexible hose.
    Hose,
    /// Hose that is wound up.
    Coil,
    /// Change of direction.
    Elbow,
    /// Branching.
    Tee,
    /// Something in the line that has no symbol of its own.
    Fitting,
}

/// Draws a symbol with its middle here; lines pass it from below to above.
pub(super) fn draw(p: &Painter, symbol: Symbol, at: Pos2, ground: Color32, stroke: Stroke) {
    match symbol {
        Symbol::Source(SourceKind::Ejector) => ejector(p, at, ground, stroke),
        Symbol::Source(kind) => pump(p, at, kind == SourceKind::Blower, ground, stroke),
        Symbol::Silencer => {
            let body = Rect::from_center_size(at, Vec2::new(1.5 * R, 0.9 * R));
            p.rect(body, 0.0, ground, stroke, StrokeKind::Middle);
            for x in [-0.35, 0.0, 0.35] {
                let x = at.x + x * R;
                p.line_segment([Pos2::new(x, body.top()), Pos2::new(x, body.bottom())], stroke);
            }
        }
        Symbol::Vessel => {
            let body = Rect::from_center_size(at, Vec2::new(2.0 * R, R));
            p.rect(body, 0.5 * R, ground, stroke, StrokeKind::Middle);
        }
        Symbol::Switch => {
            let body = Rect::from_center_size(at, Vec2::splat(1.5 * R));
            p.rect(body, 0.0, ground, stroke, StrokeKind::Middle);
            // A contact that is open until the level is reached.
            let [below, above] = [0.4, -0.4].map(|y| at + Vec2::new(0.1 * R, y * R));
            p.line_segment([below + Vec2::new(0.0, 0.25 * R), below], stroke);
            p.line_segment([above, above - Vec2::new(0.0, 0.25 * R)], stroke);
            p.line_segment([below, above - Vec2::new(0.45 * R, 0.0)], stroke);
        }
        Symbol::Filter => {
            let corners = [Vec2::X, Vec2::Y, -Vec2::X, -Vec2::Y].map(|d| at + R * d);
            p.add(Shape::convex_polygon(corners.to_vec(), ground, stroke));
            p.extend(Shape::dashed_line(&[at - R * Vec2::X, at + R * Vec2::X], stroke, 2.5, 2.0));
        }
        Symbol::CheckValve => {
            // Air passes up: the ball is pressed down into its seat when it would come back.
            let seat = [
                at + Vec2::new(-0.7 * R, -0.2 * R),
                at + Vec2::new(0.0, 0.7 * R),
                at + Vec2::new(0.7 * R, -0.2 * R),
            ];
            p.circle_filled(at, 0.95 * R, ground);
            p.add(Shape::line(seat.to_vec(), stroke));
            p.circle(at, 0.38 * R, ground, stroke);
            p.line_segment([at + Vec2::new(0.0, 0.7 * R), at + Vec2::new(0.0, R)], stroke);
            p.line_segment([at - Vec2::new(0.0, 0.38 * R), at - Vec2::new(0.0, R)], stroke);
        }
        Symbol::Restrictor => {
            for side in [-1.0, 1.0] {
                let middle = at + Vec2::new(side * 0.95 * R, 0.0);
                let from = if side < 0.0 { 0.0 } else { PI };
                p.add(Shape::line(arc(middle, 0.65 * R, from - 0.9, 1.8), stroke));
            }
        }
        Symbol::Valve => {
            let square = |x: f32| Rect::from_center_size(at + Vec2::new(x * R, 0.0), Vec2::splat(R));
            for x in [-0.5, 0.5] {
                p.rect(square(x), 0.0, ground, stroke, StrokeKind::Middle);
            }
            let open = square(-0.5);
            p.arrow(open.center_bottom(), Vec2::new(0.0, -R), Stroke::new(1.0, stroke.color));
            let shut = square(0.5);
            for y in [shut.top() + 0.3 * R, shut.bottom() - 0.3 * R] {
                let bar =
                    [Pos2::new(shut.center().x - 0.25 * R, y), Pos2::new(shut.center().x + 0.25 * R, y)];
                p.line_segment(bar, stroke);
            }
            // The solenoid, crossed once.
            let coil = Rect::from_center_size(at + Vec2::new(1.3 * R, 0.0), Vec2::new(0.6 * R, 0.7 * R));
            p.rect(coil, 0.0, ground, stroke, StrokeKind::Middle);
            p.line_segment([coil.left_bottom(), coil.right_top()], stroke);
        }
        Symbol::Hose => {
            p.add(Shape::line(arc(at, 0.55 * R, -FRAC_PI_2, PI), stroke));
            for y in [-0.55, 0.55] {
                p.circle_filled(at + Vec2::new(0.0, y * R), 1.6, stroke.color);
            }
        }
        Symbol::Coil => {
            let turns: Vec<Pos2> = (0..=48)
                .map(|i| {
                    let share = i as f32 / 48.0;
                    at + Vec2::new(0.4 * R * (3.0 * TAU * share).sin(), (share - 0.5) * 1.4 * R)
                })
                .collect();
            p.add(Shape::line(turns, stroke));
        }
        Symbol::Elbow => {
            let ends = [
                at + Vec2::new(-0.6 * R, -0.5 * R),
                at + Vec2::new(0.3 * R, -0.5 * R),
                at + Vec2::new(0.3 * R, 0.5 * R),
            ];
            p.add(Shape::line(ends.to_vec(), stroke));
        }
        Symbol::Tee => {
            p.line_segment([at - Vec2::new(0.7 * R, 0.0), at + Vec2::new(0.7 * R, 0.0)], stroke);
            p.line_segment([at, at + Vec2::new(0.0, 0.6 * R)], stroke);
            p.circle_filled(at, 2.0, stroke.color);
        }
        Symbol::Fitting => {
            for side in [-0.35, 0.35] {
                let y = at.y + side * R;
                p.line_segment([Pos2::new(at.x - 0.5 * R, y), Pos2::new(at.x + 0.5 * R, y)], stroke);
            }
        }
    }
}

/// The same in a line that goes from left to right, which a check valve lets pass to the left only.
pub(super) fn draw_along(p: &Painter, symbol: Symbol, at: Pos2, ground: Color32, stroke: Stroke) {
    let turn = |d: Vec2| at + Vec2::new(d.y, -d.x);
    match symbol {
        Symbol::CheckValve => {
            let seat = [Vec2::new(-0.7 * R, -0.2 * R), Vec2::new(0.0, 0.7 * R), Vec2::new(0.7 * R, -0.2 * R)];
            p.circle_filled(at, 0.95 * R, ground);
            p.add(Shape::line(seat.map(turn).to_vec(), stroke));
            p.circle(at, 0.38 * R, ground, stroke);
            for (from, to) in [(0.7, 1.0), (-0.38, -1.0)] {
                p.line_segment([turn(Vec2::new(0.0, from * R)), turn(Vec2::new(0.0, to * R))], stroke);
            }
        }
        Symbol::Restrictor => {
            for side in [-1.0, 1.0] {
                let middle = at + Vec2::new(0.0, side * 0.95 * R);
                let from = if side < 0.0 { FRAC_PI_2 } else { -FRAC_PI_2 };
                p.add(Shape::line(arc(middle, 0.65 * R, from - 0.9, 1.8), stroke));
            }
        }
        Symbol::Filter => {
            let corners = [Vec2::X, Vec2::Y, -Vec2::X, -Vec2::Y].map(|d| at + R * d);
            p.add(Shape::convex_polygon(corners.to_vec(), ground, stroke));
            p.extend(Shape::dashed_line(&[at - R * Vec2::Y, at + R * Vec2::Y], stroke, 2.5, 2.0));
        }
        Symbol::Coil => {
            p.circle_filled(at, 0.5 * R, ground);
            let turns = (0..=48).map(|i| {
                let share = i as f32 / 48.0;
                at + Vec2::new((share - 0.5) * 2.0 * R, 0.45 * R * (3.0 * TAU * share).sin())
            });
            p.add(Shape::line(turns.collect(), stroke));
        }
        other => draw(p, other, at, ground, stroke),
    }
}

/// A nozzle in a box: the compressed air crosses it, the air that is drawn comes from below.
fn ejector(p: &Painter, at: Pos2, ground: Color32, stroke: Stroke) {
    let body = Rect::from_center_size(at, Vec2::new(2.4 * R, 1.5 * R));
    p.rect(body, 0.0, ground, stroke, StrokeKind::Middle);
    let thin = Stroke::new(1.0, stroke.color);
    for side in [-1.0, 1.0] {
        let wall = [
            Pos2::new(body.left(), at.y + side * 0.6 * R),
            Pos2::new(at.x - 0.2 * R, at.y + side * 0.15 * R),
            Pos2::new(at.x + 0.2 * R, at.y + side * 0.15 * R),
            Pos2::new(body.right(), at.y + side * 0.5 * R),
        ];
        p.add(Shape::line(wall.to_vec(), thin));
    }
    p.arrow(body.left_center() - Vec2::new(0.6 * R, 0.0), Vec2::new(0.6 * R, 0.0), thin);
}

/// A ring with the triangle where the air leaves; a blower bears a second line under it.
fn pump(p: &Painter, at: Pos2, blower: bool, ground: Color32, stroke: Stroke) {
    p.circle(at, R, ground, stroke);
    let tip = at - Vec2::new(0.0, R);
    let triangle = vec![tip, tip + Vec2::new(0.5 * R, 0.7 * R), tip + Vec2::new(-0.5 * R, 0.7 * R)];
    p.add(Shape::convex_polygon(triangle, Color32::TRANSPARENT, stroke));
    if blower {
        let y = at.y + 0.35 * R;
        p.line_segment([Pos2::new(at.x - 0.6 * R, y), Pos2::new(at.x + 0.6 * R, y)], stroke);
    }
}

/// A suction cup at the end of a line that comes from the left.
pub(super) fn cup(p: &Painter, end: Pos2, stroke: Stroke) {
    let bowl = [Vec2::new(7.0, -8.0), Vec2::new(0.0, -3.0), Vec2::new(0.0, 3.0), Vec2::new(7.0, 8.0)];
    p.add(Shape::line(bowl.map(|d| end + d).to_vec(), stroke));
}
