//! Ground, grid, part, keep-outs, landing region.

use super::{
    Camera,
    clip::runs_within,
    labels::{Collected, Label, Rank, around},
    snap::grid_pitch,
};
use crate::{theme::Tokens, view::View};
use document::Part;
use egui::{Align2, Color32, FontId, Mesh, Painter, Pos2, Rect, Shape, Stroke, epaint::Vertex};
use geometry::{LandingRegion, LipShape, Outline, Pose, Triangles};
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
    pub of: analysis::Landing,
    /// Where the lip lands on every part that it is open for.
    every: Vec<Triangles>,
    /// Where it lands on any part, on a tool that carries several.
    any: Vec<Triangles>,
}

impl Landing {
    /// Triangulated.
    pub fn new(of: analysis::Landing) -> Self {
        let triangles = |region: &LandingRegion| -> Vec<Triangles> {
            region.polygons.iter().map(geometry::triangulate_flat).collect()
        };
        let any = of.any.as_deref().map(triangles).unwrap_or_default();
        Self { every: triangles(&of.every), any, of }
    }

    /// Whether a lip lands at a place on every part that it is open for.
    pub fn holds(&self, at: DVec2) -> bool {
        self.of.every.contains(at)
    }

    fn draw(&self, canvas: &Canvas<'_>) {
        let t = &canvas.t;
        // The rest of what any part offers stands back: there the lip leaves one part or another.
        for triangles in &self.any {
            canvas.fill(triangles, t.part.lerp_to_gamma(t.landing, 0.35));
        }
        for polygon in self.of.any.iter().flat_map(|region| &region.polygons) {
            for ring in polygon.rings() {
                let ends = ring.iter().chain(ring.first()).map(|p| canvas.at(*p)).collect::<Vec<_>>();
                canvas.dashed(&ends, Stroke::new(0.8, t.order.gamma_multiply(0.5)), 3.0, 4.0);
            }
        }
        for triangles in &self.every {
            canvas.fill(triangles, t.landing);
        }
        for polygon in &self.of.every.polygons {
            for ring in polygon.rings() {
                canvas.line(ring, Stroke::new(1.0, t.order.gamma_multiply(0.7)), true);
            }
        }
    }
}

/// Painter, camera and colours of one frame of the plan.
pub struct Canvas<'a> {
    /// Clipped to the plan.
    pub painter: &'a Painter,
    /// Plan area.
    pub rect: Rect,
    /// What is looked at.
    pub camera: Camera,
    /// Where the frame lies in which places are counted: the tool's, or that of a part on it.
    pub pose: Pose,
    /// Colours.
    pub t: Tokens,
    /// Lettering that is placed once everything is drawn.
    pub labels: &'a Collected,
}

impl Canvas<'_> {
    /// Screen position of a place.
    pub fn at(&self, place: DVec2) -> Pos2 {
        self.camera.screen_from_part(self.rect, self.pose.out(place))
    }

    /// Half the longer side of a lip on the screen, points.
    pub fn reach(&self, shape: &LipShape) -> f32 {
        self.camera.points(shape.size().max_element() / 2.0)
    }

    /// Place under a screen position.
    pub fn place(&self, at: Pos2) -> DVec2 {
        self.pose.back(self.camera.part_from_screen(self.rect, at))
    }

    /// The same with places counted in the frame of a part on the tool.
    pub fn in_frame(&self, pose: Pose) -> Self {
        Self { pose, ..*self }
    }

    /// A text that is placed by its anchor at one of some places, best first.
    pub fn lettering(
        &self,
        rank: Rank,
        says: impl Into<String>,
        font: FontId,
        colour: Color32,
        spots: &[(Pos2, Align2)],
    ) -> Label {
        let galley = self.painter.layout_no_wrap(says.into(), font, colour);
        Label::new(rank, galley, colour, spots, self.t.ground.gamma_multiply(0.88))
    }

    /// Wants a place for a text.
    pub fn label(&self, label: Label) {
        self.labels.borrow_mut().add(label);
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

/// Grid lines at twice the pitch that things snap to, in the unit picked; every fifth a little stronger.
pub fn grid(canvas: &Canvas<'_>, view: &View) {
    let pitch = grid_pitch(0.5 * canvas.camera.scale, view.step_mm);
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
    cache.refresh(&view.lying, canvas.camera.scale);
    let t = &canvas.t;
    let fill = if landing.is_some() { t.part.lerp_to_gamma(t.ground, 0.45) } else { t.part };
    canvas.fill(&cache.fill, fill);
    if let Some(landing) = landing {
        landing.draw(canvas);
    }
    for (area, keep) in cache.keep_outs.iter().zip(&view.lying.keep_outs) {
        hatch(canvas, area);
        let outline: Vec<Pos2> = area.iter().chain(area.first()).map(|p| canvas.at(*p)).collect();
        canvas.dashed(&outline, Stroke::new(1.2, t.second), 6.0, 3.0);
        canvas.labels.borrow_mut().keep_off_path(outline.iter().copied());
        if let Some(bounds) = keep.area.bounds() {
            let name =
                if keep.name.is_empty() { "keep out".to_owned() } else { format!("{}, keep out", keep.name) };
            let home = Rect::from_two_pos(canvas.at(bounds.min), canvas.at(bounds.max));
            let mut spots = vec![
                (home.left_bottom() + egui::vec2(2.0, 3.0), Align2::LEFT_TOP),
                (home.left_top() + egui::vec2(2.0, -3.0), Align2::LEFT_BOTTOM),
                (home.center(), Align2::CENTER_CENTER),
            ];
            spots.extend(around(home.center(), home.size() / 2.0 + egui::vec2(4.0, 4.0), false));
            let font = crate::theme::Size::Small.slanted();
            canvas.label(canvas.lettering(Rank::Name, name, font, t.second, &spots).of(home));
        }
    }
    for edge in &cache.edges {
        canvas.line(edge, Stroke::new(1.5, t.part_line), true);
        let closed = edge.iter().chain(edge.first()).map(|p| canvas.at(*p)).collect::<Vec<_>>();
        canvas.labels.borrow_mut().keep_off_path(closed.into_iter());
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
