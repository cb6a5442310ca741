//! Drafting marks: centre of gravity, datum, dimension lines, guides, scale bar.

use super::{
    Guide, SnapTo,
    labels::{Rank, around},
    paper::Canvas,
};
use crate::{theme::Size, view::View, widgets::arc};
use document::Cup;
use egui::{Align2, Color32, FontId, Pos2, Rect, Shape, Stroke, Vec2};
use geometry::LipShape;
use glam::DVec2;
use std::f32::consts::{FRAC_PI_2, TAU};
use units::Quantity;

/// Text on a patch of ground, so that lines do not run through it.
pub fn chip(canvas: &Canvas<'_>, at: Pos2, align: Align2, text: &str, colour: Color32) -> Rect {
    chip_in(canvas, at, align, text, colour, Size::Body.strong())
}

fn chip_in(canvas: &Canvas<'_>, at: Pos2, align: Align2, text: &str, colour: Color32, font: FontId) -> Rect {
    let galley = canvas.painter.layout_no_wrap(text.to_owned(), font, colour);
    let rect = align.anchor_size(at, galley.size());
    canvas.painter.rect_filled(rect.expand2(Vec2::new(3.0, 0.0)), 2.0, canvas.t.ground.gamma_multiply(0.88));
    canvas.painter.galley(rect.min, galley, colour);
    // Lettering that is placed later keeps off it.
    canvas.labels.borrow_mut().keep_off(rect.expand2(Vec2::new(3.0, 0.0)));
    rect
}

/// Quartered disc, with its name where there is room.
pub fn centre_of_gravity(canvas: &Canvas<'_>, at: DVec2, named: bool) {
    let centre = canvas.at(at);
    let r = 8.0;
    let t = &canvas.t;
    canvas.painter.circle(centre, r, t.cup, Stroke::new(1.2, t.ink));
    for start in [0.0, 2.0 * FRAC_PI_2] {
        let mut points = vec![centre];
        points.extend(arc(centre, r, start, FRAC_PI_2));
        canvas.painter.add(Shape::convex_polygon(points, t.ink, Stroke::NONE));
    }
    canvas.labels.borrow_mut().keep_off_disc(centre, r);
    if named {
        let spots = around(centre, Vec2::splat(r + 4.0), true);
        let home = Rect::from_center_size(centre, Vec2::splat(2.0 * r));
        let font = Size::Small.font();
        canvas.label(canvas.lettering(Rank::Name, "centre of gravity", font, t.second, &spots).of(home));
    }
}

/// Origin of all dimensions.
pub fn datum(canvas: &Canvas<'_>, place: DVec2) {
    let at = canvas.at(place);
    let stroke = Stroke::new(1.2, canvas.t.ink);
    canvas.painter.line_segment([at - Vec2::new(14.0, 0.0), at + Vec2::new(6.0, 0.0)], stroke);
    canvas.painter.line_segment([at - Vec2::new(0.0, 6.0), at + Vec2::new(0.0, 14.0)], stroke);
    canvas.painter.circle(at, 3.0, canvas.t.ground, stroke);
    canvas.labels.borrow_mut().keep_off_disc(at, 4.0);
    let spots = [
        (at + Vec2::new(-16.0, 4.0), Align2::RIGHT_TOP),
        (at + Vec2::new(-6.0, 16.0), Align2::RIGHT_TOP),
        (at + Vec2::new(4.0, 6.0), Align2::LEFT_TOP),
        (at + Vec2::new(-6.0, -6.0), Align2::RIGHT_BOTTOM),
    ];
    let font = Size::Small.font();
    canvas.label(canvas.lettering(Rank::Figure, "0, 0", font, canvas.t.second, &spots));
}

/// Guides that hold what is dragged.
pub fn guides(canvas: &Canvas<'_>, guides: &[Guide]) {
    for guide in guides.iter().filter(|g| g.of != SnapTo::Grid) {
        let stroke = Stroke::new(1.0, canvas.t.working.gamma_multiply(0.7));
        let at = canvas.at(DVec2::splat(guide.at));
        let ends = if guide.vertical {
            [Pos2::new(at.x, canvas.rect.top()), Pos2::new(at.x, canvas.rect.bottom())]
        } else {
            [Pos2::new(canvas.rect.left(), at.y), Pos2::new(canvas.rect.right(), at.y)]
        };
        canvas.dashed(&ends, stroke, 5.0, 4.0);
        let name = match guide.of {
            SnapTo::Centre => "middle of the part",
            SnapTo::Gravity => "centre of gravity",
            SnapTo::Cup | SnapTo::Grid => continue,
        };
        let (place, align) = if guide.vertical {
            (Pos2::new(at.x + 4.0, canvas.rect.top() + 6.0), Align2::LEFT_TOP)
        } else {
            (Pos2::new(canvas.rect.left() + 8.0, at.y - 3.0), Align2::LEFT_BOTTOM)
        };
        canvas.painter.text(place, align, name, Size::Small.font(), canvas.t.working);
    }
}

/// Dimension lines of the selected cup to the datum, outside the part, and to what is nearest.
pub fn dimensions(canvas: &Canvas<'_>, view: &View, cup: &Cup) {
    let Some(bounds) = view.lying.outline.outer.bounds() else { return };
    let t = &canvas.t;
    let stroke = Stroke::new(1.0, t.working);
    let datum = view.datum();
    let from_datum = cup.at - datum;
    let low = canvas.at(bounds.min.min(datum));
    let at = canvas.at(cup.at);
    let origin = canvas.at(datum);
    let y = (low.y + 24.0).min(canvas.rect.bottom() - 44.0);
    let x = (low.x - 24.0).max(canvas.rect.left() + 14.0);
    canvas.painter.line_segment(
        [Pos2::new(at.x, at.y), Pos2::new(at.x, y + 4.0)],
        Stroke::new(0.8, t.working.gamma_multiply(0.55)),
    );
    canvas.painter.line_segment(
        [Pos2::new(at.x, at.y), Pos2::new(x - 4.0, at.y)],
        Stroke::new(0.8, t.working.gamma_multiply(0.55)),
    );
    canvas.painter.line_segment([Pos2::new(origin.x, y), Pos2::new(at.x, y)], stroke);
    canvas.painter.line_segment([Pos2::new(x, origin.y), Pos2::new(x, at.y)], stroke);
    for end in [Pos2::new(origin.x, y), Pos2::new(at.x, y), Pos2::new(x, origin.y), Pos2::new(x, at.y)] {
        canvas.painter.line_segment(
            [end + Vec2::new(-3.0, 3.0), end + Vec2::new(3.0, -3.0)],
            Stroke::new(1.5, t.working),
        );
    }
    chip(
        canvas,
        Pos2::new((origin.x + at.x) / 2.0, y - 2.0),
        Align2::CENTER_BOTTOM,
        &view.show(from_datum.x, Quantity::Length).number,
        t.working,
    );
    let galley = canvas.painter.layout_no_wrap(
        view.show(from_datum.y, Quantity::Length).number,
        Size::Body.strong(),
        t.working,
    );
    let middle = Pos2::new(x - galley.size().y - 1.0, (origin.y + at.y) / 2.0 + galley.size().x / 2.0);
    let size = galley.size();
    let patch = Rect::from_min_size(Pos2::new(middle.x, middle.y - size.x), Vec2::new(size.y, size.x));
    canvas.painter.rect_filled(patch, 2.0, t.ground.gamma_multiply(0.88));
    canvas.labels.borrow_mut().keep_off(patch);
    canvas
        .painter
        .add(Shape::Text(egui::epaint::TextShape::new(middle, galley, t.working).with_angle(-TAU / 4.0)));
    if let Some(clearance) = view.cup_report(cup.id).and_then(|c| c.clearance) {
        let colour = if clearance.distance < 0.0 { t.fail } else { t.working };
        let (from, to) = (canvas.at(clearance.on_lip), canvas.at(clearance.on_boundary));
        if (to - from).length() > 4.0 {
            canvas.painter.line_segment([from, to], Stroke::new(1.4, colour));
            canvas.painter.circle_filled(from, 2.0, colour);
            canvas.painter.circle_filled(to, 2.0, colour);
            if clearance.distance >= 0.0 {
                let middle = from + (to - from) / 2.0;
                let upright = (to - from).y.abs() > (to - from).x.abs();
                let (shift, align) = if upright {
                    (Vec2::new(6.0, 0.0), Align2::LEFT_CENTER)
                } else {
                    (Vec2::new(0.0, -4.0), Align2::CENTER_BOTTOM)
                };
                let text = view.show(clearance.distance, Quantity::Length).number;
                chip(canvas, middle + shift, align, &text, colour);
            }
        }
    }
}

/// Height of a plan, points, on which there is room for words below the part.
const LOW: f32 = 240.0;

/// With so few cups the factor is wanted beside each, however small they are drawn.
const FEW: usize = 40;
/// A cup of such a reach has room for its factor among many, points.
const ROOMY: f32 = 8.0;

/// Whether factors are written beside cups of this shape.
pub fn with_factor(canvas: &Canvas<'_>, view: &View, shape: &LipShape) -> bool {
    view.layout.cups.len() <= FEW || canvas.reach(shape) > ROOMY
}

/// Scale bar on a round length, what the factors beside the cups are held against and, when loads are shown, the key of
/// the arrows.
pub fn keys(canvas: &Canvas<'_>, view: &View, most_load: f64, loads: bool, factors: bool) {
    let t = &canvas.t;
    let unit = units::unit_of(Quantity::Length, &view.units).0;
    let want = 90.0 / canvas.camera.scale / unit;
    let power = 10f64.powf(want.log10().floor());
    let figure = [5.0, 2.0, 1.0].into_iter().map(|m| m * power).find(|v| *v <= want).unwrap_or(power);
    let length = canvas.camera.points(figure * unit);
    let bottom = canvas.rect.bottom();
    canvas
        .labels
        .borrow_mut()
        .keep_off(Rect::from_x_y_ranges(canvas.rect.x_range(), (bottom - 44.0)..=bottom));
    let right = canvas.rect.right() - 20.0;
    let y = canvas.rect.bottom() - 20.0;
    // Legible over whatever lies below.
    let key = |end: Pos2, says: &str| {
        chip_in(canvas, end, Align2::RIGHT_BOTTOM, says, t.second, Size::Small.font()).width()
    };
    let mut x = right;
    if loads && most_load > 1e-6 {
        // A round figure in the unit picked.
        let force = units::unit_of(Quantity::Force, &view.units).0;
        let most = most_load / force;
        let power = 10f64.powf(most.log10().floor());
        let figure = [5.0, 2.0, 1.0].into_iter().map(|m| m * power).find(|v| *v <= most).unwrap_or(power);
        let n = figure * force;
        let width = (n * arrow_scale(most_load)) as f32;
        canvas.painter.line_segment([Pos2::new(x - width, y), Pos2::new(x, y)], Stroke::new(2.0, t.working));
        let says = format!("slide {}", view.text(n, Quantity::Force));
        x -= width.max(key(Pos2::new(x, y - 5.0), &says)) + 24.0;
    }
    let left = x - length;
    let half = Rect::from_min_max(Pos2::new(left, y - 2.5), Pos2::new(left + length / 2.0, y + 2.5));
    canvas.painter.rect_filled(half, 0.0, t.ink);
    canvas.painter.rect_stroke(
        Rect::from_min_max(Pos2::new(left, y - 2.5), Pos2::new(x, y + 2.5)),
        0.0,
        Stroke::new(1.0, t.ink),
        egui::StrokeKind::Middle,
    );
    let digits = if figure >= 1.0 { 0 } else { (-figure.log10().floor()) as usize };
    let name = units::unit_of(Quantity::Length, &view.units).1;
    let says = format!("{} {name}", units::fixed(figure, digits, &view.units));
    key(Pos2::new(x, y - 5.0), &says);
    // With the circuit on the plan the levels take the place of the factors.
    let written = |cup: &Cup| {
        let model = view.project.model(&cup.model);
        model.is_some_and(|model| with_factor(canvas, view, &model.shape))
    };
    let factors = factors && !view.shown_loads().is_empty() && view.layout.cups.iter().any(written);
    let required = view.shown_motion().filter(|_| factors);
    if let Some(motion) = required {
        let bends = if view.report.bends().is_some() { " as it bends" } else { "" };
        let says = format!("factor{bends} beside each cup, {} required", view.factor(motion.required_factor));
        let wide = canvas.painter.layout_no_wrap(says.clone(), Size::Small.font(), t.second).size().x;
        // On a low plan it would stand over the part and its datum; the bars above say the same.
        if left - 24.0 - wide > canvas.rect.left() + 20.0 && canvas.rect.height() > LOW {
            key(Pos2::new(left - 24.0, y - 5.0), &says);
        }
    }
}

/// Points per newton such that the largest slide is drawn about 34 points long, on a round figure.
pub fn arrow_scale(most: f64) -> f64 {
    if most > 1e-9 { 34.0 / most } else { 0.0 }
}
