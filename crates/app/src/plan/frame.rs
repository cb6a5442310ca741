//! What carries the cups, lightly under them: rails and plates with their places, and the flange.

use super::paper::Canvas;
use crate::{theme::Size, view::View};
use egui::{Align2, Color32, Pos2, Shape, Stroke, Vec2};

/// Places nearer to each other than this on the screen are not drawn one by one.
const CLOSE: f32 = 5.0;

/// Draws all pieces of frame.
pub fn frame(canvas: &Canvas<'_>, view: &View) {
    let line = canvas.t.second.gamma_multiply(0.75);
    for piece in &view.layout.tool.frame {
        let corners: Vec<Pos2> = piece.corners().iter().map(|c| canvas.at(*c)).collect();
        let fill = canvas.t.second.gamma_multiply(0.07);
        canvas.painter.add(Shape::convex_polygon(corners.clone(), fill, Stroke::NONE));
        let outline: Vec<Pos2> = corners.iter().chain(corners.first()).copied().collect();
        canvas.dashed(&outline, Stroke::new(1.0, line), 9.0, 3.0);
        places(canvas, piece, line);
        if let Some(at) = corners.iter().min_by(|a, b| (a.x - a.y).total_cmp(&(b.x - b.y))) {
            let at = *at + Vec2::new(3.0, -2.0);
            canvas.painter.text(at, Align2::LEFT_BOTTOM, &piece.name, Size::Small.slanted(), canvas.t.second);
        }
    }
}

fn places(canvas: &Canvas<'_>, piece: &document::FramePiece, line: Color32) {
    let places = piece.places();
    let near = |a: &glam::DVec2, b: &glam::DVec2| (canvas.at(*a) - canvas.at(*b)).length() < CLOSE;
    if places.windows(2).next().is_some_and(|pair| near(&pair[0], &pair[1])) {
        return;
    }
    for place in &places {
        let at = canvas.at(*place);
        if canvas.rect.contains(at) {
            canvas.painter.circle_stroke(at, 1.5, Stroke::new(0.8, line.gamma_multiply(0.55)));
        }
    }
}

/// The flange: a ring with a cross, named.
pub fn flange(canvas: &Canvas<'_>, view: &View) {
    let flange = view.layout.tool.flange;
    // A flange that nobody placed stands at the datum in the plane of the lips: there is nothing to show.
    if flange.z <= 0.0 {
        return;
    }
    let at = canvas.at(flange.truncate());
    let t = &canvas.t;
    let stroke = Stroke::new(1.0, t.second);
    canvas.painter.circle_stroke(at, 12.0, stroke);
    for d in [Vec2::new(16.0, 0.0), Vec2::new(0.0, 16.0)] {
        canvas.painter.line_segment([at - d, at + d], stroke);
    }
    let below = at + Vec2::new(14.0, -9.0);
    canvas.painter.text(below, Align2::LEFT_BOTTOM, "flange", Size::Small.slanted(), t.second);
}
