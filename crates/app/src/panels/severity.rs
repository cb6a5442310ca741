//! Marks of severity: shape and word always go with the colour.

use crate::theme::Tokens;
use analysis::Severity;
use egui::{Painter, Pos2, Shape, Stroke, Vec2};
use std::f32::consts::TAU;

/// Draws the mark of a severity, `r` points half-size.
pub fn mark(painter: &Painter, centre: Pos2, r: f32, severity: Severity, t: &Tokens) {
    let colour = t.severity(severity);
    match severity {
        Severity::Fail => {
            let octagon = (0..8).map(|i| centre + r * Vec2::angled(TAU * (i as f32 + 0.5) / 8.0)).collect();
            painter.add(Shape::convex_polygon(octagon, colour, Stroke::NONE));
            let d = r * 0.34;
            for (a, b) in [(Vec2::new(-d, -d), Vec2::new(d, d)), (Vec2::new(-d, d), Vec2::new(d, -d))] {
                painter.line_segment([centre + a, centre + b], Stroke::new((r * 0.2).max(1.4), t.on_fail));
            }
        }
        Severity::Watch => {
            let triangle = [Vec2::new(0.0, -r * 0.95), Vec2::new(r, r * 0.8), Vec2::new(-r, r * 0.8)]
                .map(|d| centre + d);
            painter.add(Shape::closed_line(triangle.to_vec(), Stroke::new(1.5, colour)));
        }
        Severity::NotChecked => {
            let points: Vec<Pos2> =
                (0..=24).map(|i| centre + r * 0.9 * Vec2::angled(TAU * i as f32 / 24.0)).collect();
            painter.extend(Shape::dashed_line(&points, Stroke::new(1.2, colour), 2.5, 2.0));
        }
        Severity::Advice => {
            painter.circle_stroke(centre, r * 0.9, Stroke::new(1.2, colour));
            painter.circle_filled(centre - Vec2::new(0.0, r * 0.42), 1.2, colour);
            painter.line_segment(
                [centre - Vec2::new(0.0, r * 0.1), centre + Vec2::new(0.0, r * 0.52)],
                Stroke::new(1.6, colour),
            );
        }
        Severity::Ok => {
            painter.circle_stroke(centre, r, Stroke::new(1.5, t.order));
            let tick =
                [Vec2::new(-r * 0.45, 0.0), Vec2::new(-r * 0.1, r * 0.36), Vec2::new(r * 0.5, -r * 0.36)]
                    .map(|d| centre + d);
            painter.add(Shape::line(tick.to_vec(), Stroke::new((r * 0.2).max(1.4), t.order)));
        }
    }
}
