//! How a cup is drawn: lip to scale, bore, tag, demand ring, factor, load.

use super::{
    labels::{Rank, around},
    marks::{arrow_scale, with_factor},
    paper::Canvas,
};
use crate::{theme::Size, view::View, widgets::arc};
use analysis::CupInMotion;
use document::{Cup, CupModel};
use egui::{Color32, Pos2, Shape, Stroke, Vec2};
use geometry::{Lip, LipShape};
use glam::DVec2;
use std::f32::consts::{FRAC_PI_2, TAU};

/// How a cup stands out this frame.
#[derive(Debug, Clone, Copy, Default)]
pub struct Emphasis {
    /// Selected.
    pub selected: bool,
    /// Under the pointer.
    pub hovered: bool,
    /// With keyboard focus.
    pub focused: bool,
    /// Everything else recedes during a drag.
    pub receding: bool,
}

/// Largest loads on any cup of the motion shown; what the drawn ones are scaled by.
#[derive(Debug, Clone, Copy, Default)]
pub struct Most {
    /// N.
    pub slide_n: f64,
    /// Pull or slide, N.
    pub force_n: f64,
}

/// Half the size of a lip on the screen as it is turned: a long lip that lies across is not high.
pub fn half_size(canvas: &Canvas<'_>, shape: &LipShape, turn: f64) -> Vec2 {
    let half = |way: f64| canvas.camera.points(shape.support(DVec2::from_angle(way - turn)));
    Vec2::new(half(0.0), half(std::f64::consts::FRAC_PI_2))
}

fn ring_points(canvas: &Canvas<'_>, shape: LipShape, at: DVec2, turn: f64) -> Vec<Pos2> {
    let tolerance = 0.15 / canvas.camera.scale;
    Lip { shape, at, turn }.outline().flatten(tolerance).into_iter().map(|p| canvas.at(p)).collect()
}

/// A lip's outline, filled. Most are round, and the painter has its circles ready.
fn ring(canvas: &Canvas<'_>, shape: LipShape, (at, turn): (DVec2, f64), fill: Color32, stroke: Stroke) {
    if let LipShape::Round { .. } = shape {
        canvas.painter.circle(canvas.at(at), canvas.reach(&shape), fill, stroke);
    } else {
        canvas.painter.add(Shape::convex_polygon(ring_points(canvas, shape, at, turn), fill, stroke));
    }
}

/// Lip, sealing line and bore of a model at a place, without any figures.
pub fn lip(
    canvas: &Canvas<'_>,
    model: &CupModel,
    at: DVec2,
    turn: f64,
    line: Color32,
    fill: Color32,
    width: f32,
) {
    ring(canvas, model.shape, (at, turn), fill, Stroke::new(width, line));
    if canvas.reach(&model.shape) > 7.0 {
        let faint = Stroke::new(0.8, line.gamma_multiply(0.75));
        ring(canvas, model.sealing_shape(), (at, turn), Color32::TRANSPARENT, faint);
        let bore = canvas.camera.points(model.bore_mm / 2.0).clamp(1.6, 40.0);
        canvas.painter.circle_stroke(canvas.at(at), bore, Stroke::new(1.0, line));
    }
}

#[expect(clippy::too_many_arguments, reason = "one frame's read-only state, passed on as it is")]
/// A whole cup with its figures for the motion shown.
pub fn cup(
    canvas: &Canvas<'_>,
    view: &View,
    cup: &Cup,
    model: &CupModel,
    in_motion: Option<&CupInMotion>,
    required: Option<f64>,
    most: Most,
    emphasis: Emphasis,
    loads: bool,
) {
    let t = &canvas.t;
    let faded = |c: Color32| if emphasis.receding { c.gamma_multiply(0.45) } else { c };
    let centre = canvas.at(cup.at);
    let turn = cup.turn_deg.to_radians();
    let radius = canvas.reach(&model.shape);
    if !canvas.rect.expand(radius + 40.0).contains(centre) {
        return;
    }
    let line = if emphasis.selected { t.working } else { t.ink };
    if emphasis.selected || emphasis.hovered || emphasis.focused {
        let halo = Lip { shape: model.shape, at: cup.at, turn }.outline();
        let points: Vec<Pos2> =
            halo.flatten(0.3 / canvas.camera.scale).into_iter().map(|p| canvas.at(p)).collect();
        let width = if emphasis.selected { 9.0 } else { 6.0 };
        canvas.painter.add(Shape::closed_line(
            points,
            Stroke::new(width, t.working.gamma_multiply(if emphasis.selected { 0.28 } else { 0.16 })),
        ));
    }
    lip(canvas, model, cup.at, turn, faded(line), t.cup, 1.5);
    if emphasis.focused && !emphasis.selected {
        canvas.painter.circle_stroke(centre, radius + 11.0, Stroke::new(1.5, t.working));
    }

    let factor = in_motion.map(|m| m.factor.value);
    let ratio = factor.zip(required).map(|(f, r)| if f.is_finite() { (r / f.max(1e-9)) as f32 } else { 0.0 });
    let colour = match (factor, required) {
        (Some(f), Some(r)) if f < r => t.fail,
        (Some(f), Some(r)) if f < r * view.project.rules.factor_watch => t.watch,
        _ => t.demand,
    };
    if let Some(ratio) = ratio {
        demand_ring(canvas, model.shape, cup.at, turn, ratio.min(1.0), faded(colour));
    }
    if loads && let Some(m) = in_motion {
        load(canvas, centre, radius, m, most, faded(t.working));
    }
    let half = half_size(canvas, &model.shape, turn);
    keep_off(canvas, model.shape, cup.at, turn);
    let in_hand = emphasis.selected || emphasis.hovered || emphasis.focused;
    let fails = colour == t.fail;
    let rank = |usual: Rank| match (in_hand, fails) {
        (true, _) => Rank::InHand,
        (false, true) => Rank::Fails,
        (false, false) => usual,
    };
    let reach = half + Vec2::new(12.0, 10.0);
    let tag_colour = faded(if fails { t.fail } else { line });
    let font = Size::Body.strong();
    let home = egui::Rect::from_center_size(centre, Vec2::splat(2.0 * radius));
    let tag = if cup.locked { format!("{} locked", cup.tag) } else { cup.tag.clone() };
    let tag = canvas.lettering(rank(Rank::Tag), tag, font, tag_colour, &around(centre, reach, true));
    canvas.label(tag.of(home).leading_to(centre, half + Vec2::splat(7.0)));
    if let (Some(factor), true) = (factor, in_hand || with_factor(canvas, view, &model.shape))
        && factor.is_finite()
    {
        let strong = colour != t.demand;
        let font = if strong { Size::Body.strong() } else { Size::Body.font() };
        let text_colour = faded(if strong { colour } else { t.second });
        let spots = around(centre, reach, false);
        let figure = canvas.lettering(rank(Rank::Figure), view.factor(factor), font, text_colour, &spots);
        canvas.label(figure.of(home).leading_to(centre, half + Vec2::splat(7.0)));
    }
}

/// Lettering keeps off the lip and the ring round it: discs along a lip that is longer than wide.
fn keep_off(canvas: &Canvas<'_>, shape: LipShape, at: DVec2, turn: f64) {
    let size = shape.size();
    let half = 0.5 * size.min_element();
    let along = DVec2::from_angle(turn) * if size.x >= size.y { 1.0 } else { 0.0 }
        + DVec2::from_angle(turn).perp() * if size.x >= size.y { 0.0 } else { 1.0 };
    let run = 0.5 * size.max_element() - half;
    let count = (2.0 * run / half.max(1e-9)).ceil().min(24.0) as i32;
    let radius = canvas.camera.points(half) + 8.0;
    let mut labels = canvas.labels.borrow_mut();
    for i in 0..=count {
        let s = if count == 0 { 0.0 } else { 2.0 * f64::from(i) / f64::from(count) - 1.0 };
        labels.keep_off_disc(canvas.at(at + along * (run * s)), radius);
    }
}

/// Demand over capacity as length of a line around the lip, clockwise from its topmost point; full = at the required
/// limit.
fn demand_ring(canvas: &Canvas<'_>, shape: LipShape, at: DVec2, turn: f64, share: f32, colour: Color32) {
    if share <= 0.005 {
        return;
    }
    let stroke = Stroke::new(3.5, colour);
    let shape = grown(shape, 12.0 / canvas.camera.scale);
    if let LipShape::Round { .. } = shape {
        let points = arc(canvas.at(at), canvas.reach(&shape), -FRAC_PI_2, share * TAU);
        canvas.painter.add(Shape::line(points, stroke));
        return;
    }
    let ring = ring_points(canvas, shape, at, turn);
    let count = ring.len();
    let Some(top) = (0..count).min_by(|a, b| ring[*a].y.total_cmp(&ring[*b].y)) else { return };
    // Counter-clockwise on the part is counter-clockwise on the screen as well: walked backwards it goes clockwise.
    let walk: Vec<Pos2> = (0..=count).map(|i| ring[(top + count - i % count) % count]).collect();
    let whole: f32 = walk.windows(2).map(|w| (w[1] - w[0]).length()).sum();
    let mut left = whole * share;
    let mut points = vec![walk[0]];
    for pair in walk.windows(2) {
        let length = (pair[1] - pair[0]).length();
        if length >= left {
            points.push(pair[0] + (pair[1] - pair[0]) * (left / length.max(f32::MIN_POSITIVE)));
            break;
        }
        left -= length;
        points.push(pair[1]);
    }
    canvas.painter.add(Shape::line(points, stroke));
}

/// The lip with its sizes larger by so much, mm.
fn grown(shape: LipShape, by: f64) -> LipShape {
    match shape {
        LipShape::Round { diameter } => LipShape::Round { diameter: diameter + by },
        LipShape::Long { length, width } => LipShape::Long { length: length + by, width: width + by },
        LipShape::Rectangle { length, width, corner } => {
            LipShape::Rectangle { length: length + by, width: width + by, corner: corner + by / 2.0 }
        }
    }
}

/// Slide as an arrow to one scale, tilt as a crescent on the heavy side.
fn load(canvas: &Canvas<'_>, centre: Pos2, radius: f32, m: &CupInMotion, most: Most, colour: Color32) {
    let points_per_n = arrow_scale(most.slide_n);
    let slide = m.load.slide * points_per_n;
    let tip = Vec2::new(slide.x as f32, -slide.y as f32);
    if tip.length() > 2.0 {
        let end = centre + tip;
        canvas.painter.line_segment([centre, end], Stroke::new(2.0, colour));
        canvas.labels.borrow_mut().keep_off_line(centre, end);
        let along = tip.normalized();
        let across = along.rot90();
        let head = [end, end - along * 6.0 + across * 3.2, end - along * 6.0 - across * 3.2];
        canvas.painter.add(Shape::convex_polygon(head.to_vec(), colour, Stroke::NONE));
    }
    // The moment as a pair of forces at the lip, to the scale of the arrows.
    let lip_mm = f64::from(radius) / canvas.camera.scale;
    let tilt = m.load.tilt;
    let share = (tilt.length() * 1000.0 / lip_mm.max(1.0) / most.force_n.max(1e-9)).min(1.0) as f32;
    if share < 0.08 || radius < 8.0 {
        return;
    }
    // The part's moment about +x pulls the -y side from the lip, about +y the +x side; the screen's y points down.
    let heavy = Vec2::new(tilt.y as f32, tilt.x as f32).normalized();
    let middle = heavy.y.atan2(heavy.x);
    let inner = radius * 0.78;
    let points = arc(centre, inner, middle - TAU / 8.0, TAU / 4.0);
    canvas.painter.add(Shape::line(points, Stroke::new(1.0 + 4.0 * share, colour.gamma_multiply(0.8))));
}

/// Lip beyond the sound surface: thick, dashed, with its size.
pub fn overhang(
    canvas: &Canvas<'_>,
    view: &View,
    cup: &Cup,
    pieces: &[geometry::Overhang],
    clearance: f64,
    half: Vec2,
) {
    for piece in pieces {
        let points: Vec<Pos2> = piece.points.iter().map(|p| canvas.at(*p)).collect();
        canvas.dashed(&points, Stroke::new(4.0, canvas.t.fail), 7.0, 3.0);
    }
    if clearance < 0.0 && half.max_elem() > 6.0 && !pieces.is_empty() {
        let text = format!("{} over", view.text(-clearance, units::Quantity::Length));
        let at = canvas.at(cup.at);
        let mut spots = around(at, half + Vec2::splat(12.0), true);
        spots.rotate_left(1);
        let label = canvas.lettering(Rank::Fails, text, Size::Body.strong(), canvas.t.fail, &spots);
        canvas.label(label.leading_to(at, half + Vec2::splat(7.0)));
    }
}
