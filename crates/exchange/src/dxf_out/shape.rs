//! What a DXF drawing is made of here: few kinds of shapes on named layers.

use geometry::{Bounds, Loop, Vertex};
use glam::DVec2;

/// Line type of a layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LineType {
    Continuous,
    /// Long dash, short dash.
    Centre,
    Dashed,
}

/// A layer as the table lists it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Layer {
    pub name: String,
    /// Of the 255 indexed colours.
    pub colour: u8,
    pub line: LineType,
}

/// Where a text is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Left,
    Middle,
    Right,
}

/// One entity, mm.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Shape {
    Line(DVec2, DVec2),
    Circle(DVec2, f64),
    /// A closed polyline of lines and arcs.
    Closed(Vec<Vertex>),
    /// A block by its place among those of the canvas, turned counter-clockwise.
    Insert {
        block: usize,
        at: DVec2,
        turn_deg: f64,
    },
    /// A text on its base line.
    Text {
        at: DVec2,
        height: f64,
        turn_deg: f64,
        says: String,
        anchor: Anchor,
    },
}

/// Shapes that are drawn in several places alike, about an origin of their own.
#[derive(Debug, Default)]
pub(super) struct Block {
    pub name: String,
    /// With the index of its layer.
    pub shapes: Vec<(usize, Shape)>,
}

/// Shapes on layers.
#[derive(Debug, Default)]
pub(super) struct Canvas {
    pub layers: Vec<Layer>,
    pub blocks: Vec<Block>,
    /// With the index of its layer.
    pub shapes: Vec<(usize, Shape)>,
}

/// Width of a letter over its height, on average, of the stroke font that every program has: on the wide side.
const LETTER: f64 = 0.95;

impl Canvas {
    /// A layer, added when it is not there; index for [`Canvas::add`].
    pub fn layer(&mut self, name: &str, colour: u8, line: LineType) -> usize {
        if let Some(at) = self.layers.iter().position(|l| l.name == name) {
            return at;
        }
        self.layers.push(Layer { name: name.to_owned(), colour, line });
        self.layers.len() - 1
    }

    pub fn add(&mut self, layer: usize, shape: Shape) {
        self.shapes.push((layer, shape));
    }

    /// A closed boundary, see [`closed`].
    pub fn boundary(&mut self, layer: usize, boundary: &Loop) {
        self.shapes.extend(closed(boundary).map(|shape| (layer, shape)));
    }

    pub fn cross(&mut self, layer: usize, at: DVec2, reach: DVec2, turn: f64) {
        self.shapes.extend(cross(at, reach, turn).map(|shape| (layer, shape)));
    }

    /// A block of that name and these shapes, once; index for [`Shape::Insert`].
    pub fn block(&mut self, name: String, shapes: impl FnOnce() -> Vec<(usize, Shape)>) -> usize {
        if let Some(at) = self.blocks.iter().position(|block| block.name == name) {
            return at;
        }
        self.blocks.push(Block { name, shapes: shapes() });
        self.blocks.len() - 1
    }

    /// Moves everything that is drawn; blocks keep their own origins.
    pub fn shift(&mut self, by: DVec2) {
        for (_, shape) in &mut self.shapes {
            match shape {
                Shape::Line(from, to) => (*from, *to) = (*from + by, *to + by),
                Shape::Circle(at, _) | Shape::Insert { at, .. } | Shape::Text { at, .. } => *at += by,
                Shape::Closed(vertices) => vertices.iter_mut().for_each(|vertex| vertex.at += by),
            }
        }
    }

    /// Box around everything so far; texts by an estimate of their width.
    pub fn bounds(&self) -> Option<Bounds> {
        self.shapes.iter().filter_map(|(_, shape)| self.bounds_of(shape)).reduce(|a, b| a.union(&b))
    }

    fn bounds_of(&self, shape: &Shape) -> Option<Bounds> {
        let Shape::Insert { block, at, turn_deg } = shape else { return bounds(shape) };
        let of = self.blocks.get(*block)?.shapes.iter().filter_map(|(_, shape)| bounds(shape));
        let of = of.reduce(|a, b| a.union(&b))?;
        let turn = DVec2::from_angle(turn_deg.to_radians());
        let corners = [of.min, of.max, DVec2::new(of.min.x, of.max.y), DVec2::new(of.max.x, of.min.y)];
        Bounds::of(corners.map(|corner| *at + turn.rotate(corner)))
    }
}

/// A closed boundary as a circle when it is one. Corners that coincide are written once.
pub(super) fn closed(boundary: &Loop) -> Option<Shape> {
    if let Some((centre, radius)) = as_circle(boundary) {
        return Some(Shape::Circle(centre, radius));
    }
    (boundary.vertices.len() > 1).then(|| Shape::Closed(boundary.vertices.clone()))
}

/// Two lines across each other.
pub(super) fn cross(at: DVec2, reach: DVec2, turn: f64) -> [Shape; 2] {
    let x = DVec2::from_angle(turn);
    [x * reach.x, x.perp() * reach.y].map(|half| Shape::Line(at - half, at + half))
}

fn bounds(shape: &Shape) -> Option<Bounds> {
    match shape {
        Shape::Line(a, b) => Bounds::of([*a, *b]),
        Shape::Circle(centre, r) => Bounds::of([*centre - *r, *centre + *r]),
        Shape::Closed(vertices) => Loop { vertices: vertices.clone() }.bounds(),
        Shape::Insert { at, .. } => Bounds::of([*at]),
        Shape::Text { at, height, turn_deg, says, anchor } => {
            let width = width(says, *height);
            let start = match anchor {
                Anchor::Left => 0.0,
                Anchor::Middle => -width / 2.0,
                Anchor::Right => -width,
            };
            let along = DVec2::from_angle(turn_deg.to_radians());
            let corner = |x: f64, y: f64| *at + along * x + along.perp() * y;
            let (low, high) = (-0.3 * height, *height);
            Bounds::of(
                [(start, low), (start + width, low), (start, high), (start + width, high)]
                    .map(|(x, y)| corner(x, y)),
            )
        }
    }
}

/// Estimated width of a text, mm.
pub(super) fn width(says: &str, height: f64) -> f64 {
    says.chars().count() as f64 * height * LETTER
}

/// Furthest (mm) that an arc may stray from a circle that takes its place.
const ROUND: f64 = 1e-7;

/// Centre and radius of a boundary whose arcs all lie on one circle and go round it once.
fn as_circle(boundary: &Loop) -> Option<(DVec2, f64)> {
    let corners = &boundary.vertices;
    if corners.len() < 2
        || corners.iter().any(|v| v.bulge == 0.0 || v.bulge.signum() != corners[0].bulge.signum())
    {
        return None;
    }
    let mut sweep = 0.0;
    let (mut centre, mut radius) = (DVec2::ZERO, 0.0);
    for (i, v) in corners.iter().enumerate() {
        let (to, b) = (corners[(i + 1) % corners.len()].at, v.bulge);
        let chord = to - v.at;
        let c = (v.at + to) / 2.0 + chord.perp() * ((1.0 - b * b) / (4.0 * b));
        let r = chord.length() * (1.0 + b * b) / (4.0 * b.abs());
        if i == 0 {
            (centre, radius) = (c, r);
        } else if c.distance(centre) > ROUND || (r - radius).abs() > ROUND {
            return None;
        }
        sweep += 4.0 * b.atan().abs();
    }
    ((sweep - std::f64::consts::TAU).abs() < 1e-9 && radius > 0.0).then_some((centre, radius))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_whole_circles_are_circles() {
        let disc = Loop::circle(DVec2::new(3.0, 4.0), 5.0);
        assert_eq!(as_circle(&disc), Some((DVec2::new(3.0, 4.0), 5.0)));
        assert_eq!(as_circle(&disc.reversed()).map(|c| c.1), Some(5.0));
        let quarter = |x: f64, y: f64| Vertex { at: DVec2::new(x, y), bulge: std::f64::consts::SQRT_2 - 1.0 };
        let four = Loop {
            vertices: vec![quarter(5.0, 0.0), quarter(0.0, 5.0), quarter(-5.0, 0.0), quarter(0.0, -5.0)],
        };
        assert!(as_circle(&four).is_some_and(|(c, r)| c.length() < 1e-12 && (r - 5.0).abs() < 1e-12));
        assert_eq!(as_circle(&Loop::slot(DVec2::ZERO, 60.0, 20.0, 0.3)), None);
        assert_eq!(as_circle(&Loop::rectangle(DVec2::ZERO, DVec2::ONE)), None);
        assert_eq!(as_circle(&Loop::default()), None);
    }
}
