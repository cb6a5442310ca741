//! Hoses, manifold and source of the circuits on the plan, and the level at each cup.

use super::{
    Drag, PlanState,
    labels::{Rank, around},
    paper::Canvas,
};
use crate::{theme::Size, view::View};
use analysis::{CircuitCup, CircuitStatus};
use document::Arrangement;
use egui::{CursorIcon, PointerButton, Pos2, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};
use units::Quantity;

/// Draws every solved circuit under the cups.
pub fn hoses(canvas: &Canvas<'_>, view: &View) {
    let t = &canvas.t;
    for circuit in view.report.circuits.iter().filter(|c| c.status == CircuitStatus::Solved) {
        for element in circuit.elements.iter().filter(|e| e.path.len() > 1) {
            let points: Vec<Pos2> = element.path.iter().map(|p| canvas.at(p.truncate())).collect();
            let bore = canvas.camera.points(element.bore_mm.unwrap_or(6.0)).clamp(1.5, 12.0);
            canvas
                .painter
                .add(Shape::line(points.clone(), Stroke::new(bore + 2.0, t.second.gamma_multiply(0.35))));
            canvas.labels.borrow_mut().keep_off_path(points.iter().copied());
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
            canvas.labels.borrow_mut().keep_off_disc(at, 12.0);
            let spots = around(at, Vec2::splat(15.0), true);
            let label = canvas.lettering(Rank::Figure, text, Size::Body.strong(), t.second, &spots);
            canvas.label(label.leading_to(at, Vec2::splat(12.0)));
        }
    }
}

/// What can be taken hold of: the source and the manifold of every circuit that has them in one place.
pub fn handles(ui: &Ui, canvas: &Canvas<'_>, view: &View, plan: &mut PlanState) {
    for circuit in view.report.circuits.iter().filter(|c| c.status == CircuitStatus::Solved) {
        let Some(supply) = view.project.circuit(circuit.id).and_then(|held| held.supply.as_ref()) else {
            continue;
        };
        if supply.arrangement != Arrangement::Central {
            continue;
        }
        // The source lies on top: a manifold that is laid out over it can be taken by its ends.
        let along = supply.manifold.map(|m| (m.at, Vec2::angled(m.turn_deg.to_radians() as f32).abs()));
        let places = [along.map(|(at, way)| (true, at, 64.0 * way + Vec2::splat(16.0)))];
        let source = Some((false, supply.at.truncate(), Vec2::splat(24.0)));
        for (manifold, start, size) in places.into_iter().chain([source]).flatten() {
            let what = if manifold { "Manifold" } else { "Source" };
            let hit = egui::Rect::from_center_size(canvas.at(start), size).intersect(canvas.rect);
            let id = egui::Id::unique(("supply on the plan", circuit.id, manifold));
            let response = ui.interact(hit, id, Sense::drag());
            let name = format!("{what} of {}", circuit.name);
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name.clone()));
            if response.hovered() && plan.drag.is_none() {
                ui.ctx().set_cursor_icon(CursorIcon::Grab);
            }
            if response.drag_started_by(PointerButton::Primary)
                && plan.drag.is_none()
                && let Some(origin) = ui.input(|i| i.pointer.press_origin())
            {
                let from = plan.camera.part_from_screen(canvas.rect, origin);
                plan.drag = Some(Drag::Supply { circuit: circuit.id, manifold, start, from });
            }
            response.on_hover_text(format!("{name}: drag it; its hoses follow"));
        }
    }
}

/// Level beside each cup of a solved circuit: written, and as a bar whose fill is the share of the level asked for. Where all
/// cups of a circuit have the same figure it is said once, at the first.
pub fn levels(canvas: &Canvas<'_>, view: &View) {
    let t = &canvas.t;
    for circuit in view.report.circuits.iter().filter(|c| c.status == CircuitStatus::Solved) {
        let shown = |cup: &CircuitCup| view.text(cup.level_kpa, Quantity::VacuumLevel);
        let texts: Vec<String> = circuit.cups.iter().map(shown).collect();
        let alike = texts.windows(2).all(|pair| pair[0] == pair[1]);
        let kpa = |cup: &CircuitCup| cup.level_kpa;
        let least = circuit.cups.iter().map(kpa).fold(f64::INFINITY, f64::min);
        let most = circuit.cups.iter().map(kpa).fold(0.0, f64::max);
        for (index, (cup, text)) in circuit.cups.iter().zip(&texts).enumerate() {
            let Some(placed) = view.layout.cups.iter().find(|c| c.id == cup.id) else { continue };
            let Some(model) = view.project.model(&placed.model) else { continue };
            let in_hand = view.selection.contains(&cup.id);
            if alike && index > 0 && !in_hand {
                continue;
            }
            let at = canvas.at(placed.at);
            let radius = canvas.reach(&model.shape).max(8.0);
            let colour = level_colour(view, cup);
            let end = cup.level_kpa == least || cup.level_kpa == most;
            let rank = if in_hand {
                Rank::InHand
            } else if end {
                // Behind the tags, without which no level says anything.
                Rank::Tag
            } else {
                Rank::Figure
            };
            let text = match alike && circuit.cups.len() > 1 {
                true => format!("{text} at every cup"),
                false => text.clone(),
            };
            let half = super::cups::half_size(canvas, &model.shape, placed.turn_deg.to_radians());
            let mut spots = around(at, half + Vec2::splat(12.0), true);
            spots.swap(0, 1);
            let share = (cup.level_kpa / circuit.wanted_kpa.max(1e-9)) as f32;
            let label = canvas.lettering(rank, text, Size::Body.strong(), colour, &spots);
            let home = egui::Rect::from_center_size(at, Vec2::splat(2.0 * radius));
            canvas.label(label.of(home).leading_to(at, half).with_bar(share, [t.hairline, colour]));
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
