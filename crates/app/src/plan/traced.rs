//! A picture under the plan, to draw an outline over: how it is drawn.

use super::paper::Canvas;
use crate::view::View;
use document::Traced;
use egui::{ColorImage, Mesh, Pos2, Rect, TextureHandle, TextureOptions, Ui, epaint::Vertex};
use glam::DVec2;
use std::sync::Arc;

/// What two places of the picture give.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Picking {
    Scale,
    /// The line through them is to lie level or upright.
    Level,
}

/// The picture as it is drawn, and what a hand does with it.
#[derive(Default)]
pub struct TracedState {
    /// Unpacked once; `None` where it is damaged.
    drawn: Option<(Arc<[u8]>, Option<TextureHandle>)>,
    /// Where the pointer took hold, and how far it has come, mm.
    pub drag: Option<(DVec2, DVec2)>,
    /// Two places of it, while they are picked, and what for.
    pub picking: Option<(Picking, Vec<DVec2>)>,
    /// How dark it is while the slider is held.
    pub strength: Option<f64>,
}

impl TracedState {
    fn texture(&mut self, ui: &Ui, picture: &Traced) -> Option<&TextureHandle> {
        let known = self.drawn.as_ref().is_some_and(|(png, _)| Arc::ptr_eq(png, &picture.png));
        if !known {
            let texture = exchange::greys_of(picture).map(|(wide, high, greys)| {
                // White with what is dark opaque: the theme's ink then tints it, and paper is seen through.
                let dots: Vec<u8> = greys.iter().flat_map(|grey| [255 - grey; 4]).collect();
                let image = ColorImage::from_rgba_premultiplied([wide as usize, high as usize], &dots);
                ui.ctx().load_texture("picture to trace", image, TextureOptions::LINEAR)
            });
            self.drawn = Some((picture.png.clone(), texture));
        }
        self.drawn.as_ref()?.1.as_ref()
    }
}

/// Draws the picture over the face of the part and under everything else.
pub fn picture(ui: &Ui, canvas: &Canvas<'_>, view: &View, state: &mut TracedState) {
    let Some(picture) = &view.project.traced else { return };
    let moved = state.drag.map_or(DVec2::ZERO, |(_, by)| by);
    let strength = state.strength.unwrap_or(picture.strength) as f32;
    let corners = picture.corners().map(|corner| canvas.at(corner + moved));
    let bounds = Rect::from_points(&corners);
    if !bounds.is_finite() || !bounds.intersects(canvas.rect) {
        return;
    }
    let tint = canvas.t.ink.gamma_multiply(strength);
    if let Some(texture) = state.texture(ui, picture) {
        let mut mesh = Mesh::with_texture(texture.id());
        // The first corner is the picture's lower left one.
        let ends = [(0.0, 1.0), (1.0, 1.0), (1.0, 0.0), (0.0, 0.0)];
        mesh.vertices = corners
            .iter()
            .zip(ends)
            .map(|(pos, (u, v))| Vertex { pos: *pos, uv: Pos2::new(u, v), color: tint })
            .collect();
        mesh.indices = vec![0, 1, 2, 0, 2, 3];
        canvas.painter.add(mesh);
    }
}
