//! Hoses, manifold and source of the circuits on the plan, and the level at each cup.

use super::paper::Canvas;
use crate::view::View;
use analysis::{CircuitCup, CircuitStatus};
use egui::{Align2, Pos2, Shape, Stroke, Vec2};
use units::Quantity;

/// Draws every solved circuit under the cups.
pub fn hoses(canvas: &Canvas<'_>, view: &View) {
    let t = &canvas.t;
    let mut told: Vec<egui::Rect> = Vec::new();
    for circuit in view.report.circuits.iter().filter(|c| c.status == CircuitStatus::Solved) {
        for element in circuit.elements.iter().filter(|e| e.path.len() > 1) {
            let points: Vec<Pos2> = element.path.iter().map(|p| canvas.at(p.truncate())).collect();
            let bore = canvas.camera.points(element.bore_mm.unwrap_or(6.0)).clamp(1.5, 12.0);
            canvas
                .painter
                .add(Shape::line(points.clone(), Stroke::new(bore + 2.0, t.second.gamma_multiply(0.35))));
            canvas.painter.add(Shape::line(points, Stroke::new(bore, t.ground.gamma_multiply(0.9))));
        }
        for manifold in &circuit.manifolds {
            let points: Vec<Pos2> = manifold.ports.iter().map(|(p, _)| canvas.at(p.truncate())).collect();
            canvas.painter.add(Shape::line(points.clone(), Stroke::new(9.0, t.second)));
            for at in points {
                canvas.painter.circle(at, 3.0, t.ground, Stroke::new(1.0, t.ink));
            }
        }
        for source in circuit.sources.iter().filter(|s| s.cup.is_none()) {
            let Some(at) = source.at else { continue };
            let at = canvas.at(at.truncate());
            symbol(canvas, at, 11.0);
            let text = format!("source {}", view.text(source.level_kpa, Quantity::VacuumLevel));
            // Sources often sit beside each other: each is told below the one before.
            let mut below = at + Vec2::new(0.0, 15.0);
            let size = super::marks::chip_size(canvas, &text);
            while let Some(taken) = told
                .iter()
                .find(|rect| rect.expand(3.0).intersects(Align2::CENTER_TOP.anchor_size(below, size)))
            {
                below.y = taken.bottom() + 4.0;
            }
            told.push(super::marks::chip(canvas, below, Align2::CENTER_TOP, &text, t.second));
        }
    }
}

/// Level beside each cup of a solved circuit: written, and as a bar whose fill is the share of the level asked for.
pub fn levels(canvas: &Canvas<'_>, view: &View) {
    let t = &canvas.t;
    for circuit in view.report.circuits.iter().filter(|c| c.status == CircuitStatus::Solved) {
        for cup in &circuit.cups {
            let Some(placed) = view.layout.cups.iter().find(|c| c.id == cup.id) else { continue };
            let Some(model) = view.project.model(&placed.model) else { continue };
            let radius = super::cups::reach(canvas, &model.shape).max(8.0);
            let at = canvas.at(placed.at) + Vec2::new(0.0, radius + 12.0);
            let colour = level_colour(view, cup);
            let text = view.text(cup.level_kpa, Quantity::VacuumLevel);
            let rect = super::marks::chip(canvas, at, Align2::CENTER_TOP, &text, colour);
            let bar = egui::Rect::from_min_size(
                rect.left_bottom() + Vec2::new(0.0, 1.0),
                Vec2::new(rect.width(), 3.0),
            );
            let share = (cup.level_kpa / circuit.wanted_kpa.max(1e-9)).clamp(0.0, 1.0) as f32;
            canvas.painter.rect_filled(bar, 1.0, t.hairline);
            let fill = egui::Rect::from_min_size(bar.min, Vec2::new(bar.width() * share, bar.height()));
            canvas.painter.rect_filled(fill, 1.0, colour);
        }
    }
}

/// Colour of a cup's level against the level asked for.
pub fn level_colour(view: &View, cup: &CircuitCup) -> egui::Color32 {
    view.tokens.severity(cup.against_wanted)
}

/// The same on the plan.
fn symbol(canvas: &Canvas<'_>, at: Pos2, r: f32) {
    let t = &canvas.t;
    source_symbol(canvas.painter, at, r, t.ground, Stroke::new(1.4, t.ink));
}

/// A vacuum source on any painter: a triangle in a ring, pointing out.
pub fn source_symbol(painter: &egui::Painter, at: Pos2, r: f32, fill: egui::Color32, stroke: Stroke) {
    painter.circle(at, r, fill, stroke);
    let tip = at + Vec2::new(-r, 0.0);
    let triangle = vec![tip, tip + Vec2::new(0.7 * r, -0.5 * r), tip + Vec2::new(0.7 * r, 0.5 * r)];
    painter.add(Shape::convex_polygon(triangle, egui::Color32::TRANSPARENT, stroke));
}
