//! Vacuum level along a long cup on a part that air comes through: a strip beside the cup, darker where it is deeper.

use super::{
    labels::{Rank, around},
    paper::Canvas,
};
use crate::{theme::Size, view::View};
use egui::{Align2, Mesh, epaint::Vertex};
use glam::DVec2;
use units::Quantity;

/// Pieces of the strip.
const PIECES: u32 = 24;

/// Draws the strip inside each cup that has one, with the level at port and ends in words where they differ and nothing else
/// tells of levels.
pub fn level_strips(canvas: &Canvas<'_>, view: &View, told: bool) {
    for cup in &view.report.cups {
        let Some(channel) = cup.channel else { continue };
        let along = DVec2::from_angle(cup.turn_deg.to_radians());
        let size = cup.sealing.size();
        if canvas.camera.points(size.x) < 60.0 || size.x <= 1.2 * size.y {
            continue;
        }
        let across = along.perp() * (size.y * 0.16);
        let l = channel.half_length_mm;
        let mut mesh = Mesh::default();
        for i in 0..=PIECES {
            let x = l * (2.0 * f64::from(i) / f64::from(PIECES) - 1.0);
            let colour = canvas.t.working.gamma_multiply((0.08 + 0.5 * channel.share_at(x)) as f32);
            for side in [across, -across] {
                let pos = canvas.at(cup.at + along * x + side);
                mesh.vertices.push(Vertex { pos, uv: egui::epaint::WHITE_UV, color: colour });
            }
            if i > 0 {
                let k = 2 * i;
                mesh.indices.extend([k - 2, k - 1, k, k - 1, k + 1, k]);
            }
        }
        canvas.painter.add(mesh);
        // Below the cup, clear of its arrow and factor.
        let turn = along.y.abs() * size.x / 2.0 + along.x.abs() * size.y / 2.0;
        let below = canvas.at(cup.at) + egui::Vec2::new(0.0, canvas.camera.points(turn) + 16.0);
        let [port, end] =
            [1.0, channel.end_share].map(|s| view.show(cup.level_kpa * s, Quantity::VacuumLevel));
        if !told || port.number == end.number {
            continue;
        }
        let text = format!("{} at the port, {} {} at the ends", port.number, end.number, end.unit);
        let at = canvas.at(cup.at);
        let mut spots = vec![(below, Align2::CENTER_TOP)];
        spots.extend(around(at, egui::Vec2::splat(below.y - at.y), true));
        let font = Size::Body.strong();
        canvas.label(
            canvas
                .lettering(Rank::Name, text, font, canvas.t.working, &spots)
                .leading_to(at, egui::Vec2::ZERO),
        );
    }
}
