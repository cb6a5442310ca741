//! What carries the cups, lightly under them: rails and plates with their places, and the flange.

use super::{
    labels::{Rank, around},
    paper::Canvas,
};
use crate::{theme::Size, view::View};
use egui::{Align2, Color32, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2};
use units::Quantity;

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
        canvas.labels.borrow_mut().keep_off_path(outline.iter().copied());
        places(canvas, piece, line);
        if let Some(at) = corners.iter().min_by(|a, b| (a.x - a.y).total_cmp(&(b.x - b.y))) {
            let bounds = Rect::from_points(&corners);
            let spots = [
                (*at + Vec2::new(3.0, -2.0), Align2::LEFT_BOTTOM),
                (*at + Vec2::new(3.0, 3.0), Align2::LEFT_TOP),
                (bounds.right_top() + Vec2::new(-3.0, -2.0), Align2::RIGHT_BOTTOM),
                (bounds.right_bottom() + Vec2::new(-3.0, 2.0), Align2::RIGHT_TOP),
                (bounds.left_bottom() + Vec2::new(3.0, 2.0), Align2::LEFT_TOP),
            ];
            let font = Size::Small.slanted();
            canvas.label(canvas.lettering(Rank::Name, &piece.name, font, canvas.t.second, &spots).of(bounds));
        }
    }
}

fn places(canvas: &Canvas<'_>, piece: &document::FramePiece, line: Color32) {
    let places = piece.places();
    let near = |a: &glam::DVec2, b: &glam::DVec2| (canvas.at(*a) - canvas.at(*b)).length() < CLOSE;
    if places.windows(2).next().is_some_and(|pair| near(&pair[0], &pair[1])) {
        return;
    }
    // The row of places is no ground for lettering.
    if let (Some(first), Some(last)) = (places.first(), places.last()) {
        canvas.labels.borrow_mut().keep_off_line(canvas.at(*first), canvas.at(*last));
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
    canvas.labels.borrow_mut().keep_off_disc(at, 13.0);
    let spots = around(at, Vec2::splat(16.0), false);
    let home = Rect::from_center_size(at, Vec2::splat(32.0));
    let font = Size::Small.slanted();
    canvas.label(canvas.lettering(Rank::Name, "flange", font, t.second, &spots).of(home));
}

/// Masses on the part: a crossed box of their size, named.
pub fn attached(canvas: &Canvas<'_>, view: &View) {
    for mass in &view.lying.attached {
        let at = canvas.at(mass.at.truncate());
        let half = Vec2::new(
            canvas.camera.points(mass.size.x / 2.0).max(5.0),
            canvas.camera.points(mass.size.y / 2.0).max(5.0),
        );
        let rect = Rect::from_center_size(at, half * 2.0);
        canvas.painter.rect_stroke(rect, 0.0, Stroke::new(1.0, canvas.t.second), StrokeKind::Middle);
        canvas
            .painter
            .line_segment([rect.left_top(), rect.right_bottom()], Stroke::new(0.7, canvas.t.second));
        canvas
            .painter
            .line_segment([rect.right_top(), rect.left_bottom()], Stroke::new(0.7, canvas.t.second));
        let corners = [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom()];
        let mut labels = canvas.labels.borrow_mut();
        for (from, to) in [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)] {
            labels.keep_off_line(corners[from], corners[to]);
        }
        drop(labels);
        let text = format!("{} {}", mass.name, view.text(mass.mass_kg, Quantity::Mass));
        let mut spots = vec![
            (rect.left_bottom() + Vec2::new(4.0, -3.0), Align2::LEFT_BOTTOM),
            (rect.left_top() + Vec2::new(4.0, 3.0), Align2::LEFT_TOP),
            (rect.right_bottom() + Vec2::new(-4.0, -3.0), Align2::RIGHT_BOTTOM),
            (rect.left_bottom() + Vec2::new(0.0, 3.0), Align2::LEFT_TOP),
            (rect.left_top() + Vec2::new(0.0, -3.0), Align2::LEFT_BOTTOM),
        ];
        spots.extend(around(rect.center(), half + Vec2::splat(4.0), false));
        let font = Size::Small.font();
        canvas.label(canvas.lettering(Rank::Name, text, font, canvas.t.second, &spots).of(rect));
    }
}
