//! From part coordinates (mm, y up) to the screen (points, y down) and back, in f64.

use egui::{Pos2, Rect};
use geometry::Bounds;
use glam::DVec2;

/// Room round a part that is shown whole, points; beside it for dimensions at the left and keys below.
const MARGIN: f32 = 24.0;
const LETTERING: f32 = 20.0;
const KEYS: f32 = 26.0;

/// What the plan looks at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// Part position in the middle of the plan, mm.
    pub centre: DVec2,
    /// Points per mm.
    pub scale: f64,
}

/// Smallest and largest scale, points per mm: a 100 m part in a window, a micrometre on a point.
const SCALES: (f64, f64) = (0.004, 500.0);
/// What is fitted is seen whole, however large a drawing in a wrong unit is.
const SMALLEST: f64 = 1e-9;

impl Default for Camera {
    fn default() -> Self {
        Self { centre: DVec2::ZERO, scale: 1.0 }
    }
}

impl Camera {
    /// Screen position of a place on the part.
    pub fn screen_from_part(&self, rect: Rect, at: DVec2) -> Pos2 {
        let middle = rect.center();
        let d = (at - self.centre) * self.scale;
        Pos2::new((f64::from(middle.x) + d.x) as f32, (f64::from(middle.y) - d.y) as f32)
    }

    /// Place on the part under a screen position.
    pub fn part_from_screen(&self, rect: Rect, at: Pos2) -> DVec2 {
        let middle = rect.center();
        let d = DVec2::new(f64::from(at.x - middle.x), f64::from(middle.y - at.y));
        self.centre + d / self.scale
    }

    /// Length on the screen.
    pub fn points(&self, mm: f64) -> f32 {
        (mm * self.scale) as f32
    }

    /// Zooms so that the place under `at` stays there.
    pub fn zoom_about(&mut self, rect: Rect, at: Pos2, factor: f64) {
        let held = self.part_from_screen(rect, at);
        self.scale = (self.scale * factor).clamp(SCALES.0.min(self.scale), SCALES.1);
        self.centre += held - self.part_from_screen(rect, at);
    }

    /// Moves the paper by so much on the screen.
    pub fn pan(&mut self, by: egui::Vec2) {
        self.centre += DVec2::new(-f64::from(by.x), f64::from(by.y)) / self.scale;
    }

    /// Shows all of `bounds`, with room for tags and dimensions around it.
    pub fn fit(&mut self, rect: Rect, bounds: &Bounds) {
        let share = (rect.size() / egui::vec2(360.0, 300.0)).min_elem().min(1.0);
        let inner = Rect::from_min_max(
            rect.min + share * egui::vec2(MARGIN + LETTERING, MARGIN),
            // The keys of the drawing keep their height on a small plan.
            rect.max - egui::vec2(share * MARGIN, (share * MARGIN + KEYS).min(0.25 * rect.height())),
        );
        self.fit_into(rect, inner, bounds);
    }

    /// Shows all of `bounds`, the same distance from every edge.
    pub fn fit_evenly(&mut self, rect: Rect, bounds: &Bounds, margin: f32) {
        self.fit_into(rect, rect.shrink(margin), bounds);
    }

    fn fit_into(&mut self, rect: Rect, inner: Rect, bounds: &Bounds) {
        let room = inner.size().max(egui::vec2(40.0, 40.0));
        let size = (bounds.max - bounds.min).max(DVec2::splat(1.0));
        self.scale = (f64::from(room.x) / size.x).min(f64::from(room.y) / size.y).clamp(SMALLEST, SCALES.1);
        let off = (inner.center() - rect.center()) / self.scale as f32;
        self.centre = (bounds.min + bounds.max) / 2.0 - DVec2::new(f64::from(off.x), -f64::from(off.y));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_shown_evenly_keeps_off_every_edge() {
        let rect = Rect::from_min_size(Pos2::new(60.0, 190.0), egui::vec2(576.0, 300.0));
        for size in [
            DVec2::new(610.0, 356.0),
            DVec2::new(100.0, 900.0),
            DVec2::new(3000.0, 20.0),
            DVec2::new(4e5, 2.5e5),
        ] {
            let bounds = Bounds { min: DVec2::new(-5.0, 7.0), max: DVec2::new(-5.0, 7.0) + size };
            let mut camera = Camera::default();
            camera.fit_evenly(rect, &bounds, 14.0);
            for corner in [bounds.min, bounds.max] {
                assert!(rect.shrink(13.9).contains(camera.screen_from_part(rect, corner)), "{size}");
            }
        }
    }

    #[test]
    fn there_and_back_and_zoom_holds_the_place() {
        let rect = Rect::from_min_size(Pos2::new(250.0, 100.0), egui::vec2(800.0, 600.0));
        let mut camera = Camera { centre: DVec2::new(400.0, 250.0), scale: 0.75 };
        let at = Pos2::new(333.0, 444.0);
        let place = camera.part_from_screen(rect, at);
        assert!((camera.screen_from_part(rect, place) - at).length() < 1e-3);
        camera.zoom_about(rect, at, 1.7);
        assert!((camera.part_from_screen(rect, at) - place).length() < 1e-9);
        camera.fit(rect, &Bounds { min: DVec2::ZERO, max: DVec2::new(840.0, 480.0) });
        let corner = camera.screen_from_part(rect, DVec2::new(840.0, 480.0));
        assert!(rect.contains(corner));
    }
}
