//! Ground, grid, part, keep-outs, landing region.

use super::{Camera, grid_pitch};
use crate::{theme::Tokens, view::View};
use document::Part;
use egui::{Color32, Mesh, Painter, Pos2, Rect, Shape, Stroke, epaint::Vertex};
use geometry::{FlatPolygon, Outline, Triangles};
use glam::DVec2;
use std::sync::Arc;

/// Chord error of arcs on the screen, points.
const CHORD_POINTS: f64 = 0.2;

/// The part flattened and triangulated for the scale it is seen at; built again only when the outline or the scale's
/// octave changes, since triangulating an outline costs far more than drawing it.
#[derive(Default)]
pub struct PaperCache {
    key: Option<(Arc<Outline>, i32)>,
    fill: Triangles,
    edges: Vec<Vec<DVec2>>,
    keep_key: Vec<Arc<geometry::Loop>>,
    keep_outs: Vec<Vec<DVec2>>,
}

impl PaperCache {
    fn refresh(&mut self, part: &Part, scale: f64) {
        let octave = scale.log2().ceil() as i32;
        let same = self
            .key
            .as_ref()
            .is_some_and(|(outline, at)| Arc::ptr_eq(outline, &part.outline) && *at == octave);
        let same_keeps = same
            && self.keep_key.len() == part.keep_outs.len()
            && self.keep_key.iter().zip(&part.keep_outs).all(|(a, b)| Arc::ptr_eq(a, &b.area));
        let tolerance = CHORD_POINTS / 2f64.powi(octave);
        if !same {
            self.fill = geometry::triangulate(&part.outline, tolerance);
            self.edges = std::iter::once(&part.outline.outer)
                .chain(&part.outline.holes)
                .map(|l| l.flatten(tolerance))
                .collect();
            self.key = Some((part.outline.clone(), octave));
        }
        if !same_keeps {
            self.keep_outs = part.keep_outs.iter().map(|k| k.area.flatten(tolerance)).collect();
            self.keep_key = part.keep_outs.iter().map(|k| k.area.clone()).collect();
        }
    }
}

/// A landing region ready to draw.
pub struct Landing {
    /// As computed.
    pub region: Arc<geometry::LandingRegion>,
    /// For filling.
    pub triangles: Vec<geometry::Triangles>,
}

/// Painter, camera and colours of one frame of the plan.
pub struct Canvas<'a> {
    /// Clipped to the plan.
    pub painter: &'a Painter,
    /// Plan area.
    pub rect: Rect,
    /// What is looked at.
    pub camera: Camera,
    /// Colours.
    pub t: Tokens,
}

impl Canvas<'_> {
    /// Screen position of a place on the part.
    pub fn at(&self, place: DVec2) -> Pos2 {
        self.camera.screen_from_part(self.rect, place)
    }

    /// A line through places on the part.
    pub fn line(&self, places: &[DVec2], stroke: Stroke, closed: bool) {
        let points: Vec<Pos2> = places.iter().map(|p| self.at(*p)).collect();
        self.painter.add(if closed {
            Shape::closed_line(points, stroke)
        } else {
            Shape::line(points, stroke)
        });
    }

    /// A dashed line from point to point of the screen, as far as it is seen: a corner far away costs no dashes.
    pub fn dashed(&self, points: &[Pos2], stroke: Stroke, dash: f32, gap: f32) {
        let seen = self.painter.clip_rect().expand(2.0 * dash + stroke.width);
        for run in runs_within(seen, points) {
            self.painter.extend(Shape::dashed_line(&run, stroke, dash, gap));
        }
    }

    /// Filled triangles.
    pub fn fill(&self, triangles: &Triangles, colour: Color32) {
        let vertex = |p: &DVec2| Vertex { pos: self.at(*p), uv: egui::epaint::WHITE_UV, color: colour };
        let mesh = Mesh {
            vertices: triangles.points.iter().map(vertex).collect(),
            indices: triangles.indices.iter().flatten().copied().collect(),
            ..Mesh::default()
        };
        self.painter.add(mesh);
    }
}

/// The piece of a line that lies within a rectangle; `None` where none does, or an end is no place.
///
/// # Source
/// Liang & Barsky, *A new concept and method for line clipping*, ACM Trans. Graphics 3(1), 1984 (from memory).
fn within(seen: Rect, from: Pos2, to: Pos2) -> Option<[Pos2; 2]> {
    // In double width: the difference of two large places is larger still.
    let [x, y] = [f64::from(from.x), f64::from(from.y)];
    let [dx, dy] = [f64::from(to.x) - x, f64::from(to.y) - y];
    if ![x, y, dx, dy].iter().all(|v| v.is_finite()) {
        return None;
    }
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    let sides = [
        (-dx, x - f64::from(seen.left())),
        (dx, f64::from(seen.right()) - x),
        (-dy, y - f64::from(seen.top())),
        (dy, f64::from(seen.bottom()) - y),
    ];
    for (out, room) in sides {
        if out == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if out < 0.0 {
            enters = enters.max(room / out);
        } else {
            leaves = leaves.min(room / out);
        }
    }
    // An end that is seen stays as it is, to the bit.
    let at = |share: f64| match share {
        0.0 => from,
        1.0 => to,
        _ => Pos2::new((x + share * dx) as f32, (y + share * dy) as f32),
    };
    (enters < leaves).then(|| [at(enters), at(leaves)])
}

/// The runs of a line from point to point that lie within a rectangle, each whole, so that dashes go on round its corners.
fn runs_within(seen: Rect, points: &[Pos2]) -> Vec<Vec<Pos2>> {
    let mut runs: Vec<Vec<Pos2>> = Vec::new();
    for pair in points.windows(2) {
        let Some([from, to]) = within(seen, pair[0], pair[1]) else { continue };
        match runs.last_mut().filter(|run| run.last() == Some(&from)) {
            Some(run) => run.push(to),
            None => runs.push(vec![from, to]),
        }
    }
    runs
}

/// Grid lines at twice the pitch that things snap to, in the unit picked; every fifth a little stronger.
pub fn grid(canvas: &Canvas<'_>, view: &View) {
    let unit = units::unit_of(units::Quantity::Length, &view.units).0;
    let pitch = 2.0 * grid_pitch(canvas.camera.scale, unit);
    let low = canvas.camera.part_from_screen(canvas.rect, canvas.rect.left_bottom());
    let high = canvas.camera.part_from_screen(canvas.rect, canvas.rect.right_top());
    let stroke = |at: f64| {
        let strong = ((at / pitch).round() as i64).rem_euclid(5) == 0;
        Stroke::new(1.0, if strong { canvas.t.hairline.gamma_multiply(0.55) } else { canvas.t.grid })
    };
    let lines = |from: f64, to: f64| {
        ((from / pitch).ceil() as i64..=(to / pitch).floor() as i64).map(|i| i as f64 * pitch)
    };
    for x in lines(low.x, high.x) {
        let at = canvas.at(DVec2::new(x, 0.0)).x;
        canvas.painter.vline(at, canvas.rect.y_range(), stroke(x));
    }
    for y in lines(low.y, high.y) {
        let at = canvas.at(DVec2::new(0.0, y)).y;
        canvas.painter.hline(canvas.rect.x_range(), at, stroke(y));
    }
}

/// Part, holes, keep-outs; `receding` when only the landing region matters.
pub fn part(canvas: &Canvas<'_>, cache: &mut PaperCache, view: &View, landing: Option<&Landing>) {
    cache.refresh(&view.part, canvas.camera.scale);
    let t = &canvas.t;
    let fill = if landing.is_some() { t.part.lerp_to_gamma(t.ground, 0.45) } else { t.part };
    canvas.fill(&cache.fill, fill);
    if let Some(landing) = landing {
        for triangles in &landing.triangles {
            canvas.fill(triangles, t.landing);
        }
        for polygon in &landing.region.polygons {
            for edge in std::iter::once(&polygon.outer).chain(&polygon.holes) {
                canvas.line(edge, Stroke::new(1.0, t.order.gamma_multiply(0.7)), true);
            }
        }
    }
    for (area, keep) in cache.keep_outs.iter().zip(&view.part.keep_outs) {
        hatch(canvas, area);
        let outline: Vec<Pos2> = area.iter().chain(area.first()).map(|p| canvas.at(*p)).collect();
        canvas.dashed(&outline, Stroke::new(1.2, t.second), 6.0, 3.0);
        if let Some(bounds) = keep.area.bounds() {
            let name =
                if keep.name.is_empty() { "keep out".to_owned() } else { format!("{}, keep out", keep.name) };
            let galley = canvas.painter.layout_no_wrap(name, crate::theme::Size::Small.slanted(), t.second);
            let at = canvas.at(DVec2::new(bounds.min.x, bounds.min.y)) + egui::vec2(2.0, 3.0);
            if galley.size().x < canvas.camera.points(bounds.max.x - bounds.min.x) + 60.0 {
                canvas.painter.galley(at, galley, t.second);
            }
        }
    }
    for edge in &cache.edges {
        canvas.line(edge, Stroke::new(1.5, t.part_line), true);
    }
}

/// Hatch at 45 degrees, about 8 points apart, clipped to the area by even-odd crossing.
fn hatch(canvas: &Canvas<'_>, area: &[DVec2]) {
    let points: Vec<Pos2> = area.iter().map(|p| canvas.at(*p)).collect();
    let stroke = Stroke::new(1.0, canvas.t.second.gamma_multiply(0.55));
    let along = |p: &Pos2| p.x + p.y;
    let (Some(from), Some(to)) =
        (points.iter().map(along).min_by(f32::total_cmp), points.iter().map(along).max_by(f32::total_cmp))
    else {
        return;
    };
    let clip = canvas.painter.clip_rect();
    let from = from.max(clip.left() + clip.top());
    let to = to.min(clip.right() + clip.bottom());
    let mut at = (from / 8.0).ceil() * 8.0;
    while at < to {
        let mut crossings: Vec<f32> = Vec::new();
        for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
            let (u, v) = (along(a) - at, along(b) - at);
            if (u < 0.0) != (v < 0.0) {
                let s = u / (u - v);
                crossings.push(a.x + (b.x - a.x) * s);
            }
        }
        crossings.sort_by(f32::total_cmp);
        for pair in crossings.chunks_exact(2) {
            canvas
                .painter
                .line_segment([Pos2::new(pair[0], at - pair[0]), Pos2::new(pair[1], at - pair[1])], stroke);
        }
        at += 8.0;
    }
}

/// Triangles of a landing region, once per region.
pub fn landing_triangles(region: &geometry::LandingRegion) -> Vec<Triangles> {
    region.polygons.iter().map(|p: &FlatPolygon| geometry::triangulate_flat(p)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_a_line_only_what_is_seen_is_dashed() {
        let seen = Rect::from_min_max(Pos2::ZERO, Pos2::new(100.0, 50.0));
        let cut = |x: [f32; 2], y: [f32; 2]| within(seen, Pos2::from(x), Pos2::from(y));
        assert_eq!(cut([10.0, 10.0], [90.0, 40.0]), Some([Pos2::new(10.0, 10.0), Pos2::new(90.0, 40.0)]));
        assert_eq!(cut([-50.0, 25.0], [150.0, 25.0]), Some([Pos2::new(0.0, 25.0), Pos2::new(100.0, 25.0)]));
        assert_eq!(cut([-50.0, 60.0], [150.0, 60.0]), None);
        assert_eq!(cut([10.0, 10.0], [f32::INFINITY, 10.0]), None);
        assert_eq!(cut([10.0, f32::NAN], [20.0, 10.0]), None);
        let [from, to] = cut([50.0, 25.0], [50.0, 1e38]).unwrap();
        assert_eq!((from, to), (Pos2::new(50.0, 25.0), Pos2::new(50.0, 50.0)));
    }

    #[test]
    fn what_is_seen_whole_stays_one_line() {
        let seen = Rect::from_min_max(Pos2::ZERO, Pos2::new(100.0, 100.0));
        let ring: Vec<Pos2> =
            (0..=60).map(|i| Pos2::new(50.0, 50.0) + 40.0 * egui::Vec2::angled(i as f32 * 0.1)).collect();
        assert_eq!(runs_within(seen, &ring), std::slice::from_ref(&ring));
        // A corner that is not seen parts it.
        let out = [[10.0, 10.0], [50.0, 10.0], [50.0, 900.0], [90.0, 10.0], [90.0, 20.0]].map(Pos2::from);
        let runs = runs_within(seen, &out);
        assert_eq!(runs.len(), 2, "{runs:?}");
        assert_eq!((runs[0].len(), runs[1].len()), (3, 3));
    }
}
