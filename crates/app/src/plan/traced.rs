//! A picture under the plan, to draw an outline over: how it is drawn.

use super::paper::Canvas;
use crate::view::View;
use document::Traced;
use egui::{ColorImage, Pos2, Rect, TextureHandle, TextureOptions, Ui};
use glam::DVec2;
use std::sync::Arc;

/// The picture as it is drawn, and what a hand does with it.
#[derive(Default)]
pub struct TracedState {
    /// Unpacked once; `None` where it is damaged.
    drawn: Option<(Arc<[u8]>, Option<TextureHandle>)>,
    /// Where the pointer took hold, and how far it has come, mm.
    pub drag: Option<(DVec2, DVec2)>,
    /// The two places that give the scale, while they are picked.
    pub scaling: Option<Vec<DVec2>>,
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
    let size = picture.size_mm();
    let at = picture.at + moved;
    let corners = [canvas.at(at + DVec2::new(0.0, size.y)), canvas.at(at + DVec2::new(size.x, 0.0))];
    let rect = Rect::from_two_pos(corners[0], corners[1]);
    if !rect.is_finite() || !rect.intersects(canvas.rect) {
        return;
    }
    let tint = canvas.t.ink.gamma_multiply(strength);
    if let Some(texture) = state.texture(ui, picture) {
        let whole = Rect::from_min_max(Pos2::ZERO, Pos2::new(1.0, 1.0));
        canvas.painter.image(texture.id(), rect, whole, tint);
    }
}
