//! Shapes of the part and of the lips, and what is exact about them.
//!
//! Lengths mm, areas mm², second moments mm⁴, angles rad, masses kg, densities kg/m³, inertia kg·mm² unless a name
//! says otherwise. Axes: x right, y up, seen from the robot side; turns counter-clockwise.

use glam::{DMat3, DVec2, DVec3};

/// One corner of a [`Loop`] and the way to the next: `bulge` = tan(sweep / 4), 0 for a straight line, positive when the
/// arc turns counter-clockwise (the convention of drawing-exchange polylines).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertex {
    pub at: DVec2,
    pub bulge: f64,
}

/// A closed boundary of lines and true arcs; the last vertex joins the first.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Loop {
    pub vertices: Vec<Vertex>,
}

/// The part seen from above: outer boundary and holes inside it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outline {
    pub outer: Loop,
    pub holes: Vec<Loop>,
}

/// One piece of a loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    Line {
        from: DVec2,
        to: DVec2,
    },
    /// `sweep` signed, counter-clockwise positive.
    Arc {
        centre: DVec2,
        radius: f64,
        start: f64,
        sweep: f64,
    },
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    pub min: DVec2,
    pub max: DVec2,
}

impl Loop {
    pub fn segments(&self) -> impl Iterator<Item = Segment> + '_ {
        std::iter::empty()
    }
    pub fn rectangle(min: DVec2, max: DVec2) -> Self {
        todo!()
    }
    pub fn rounded_rectangle(min: DVec2, max: DVec2, corner: f64) -> Self {
        todo!()
    }
    pub fn circle(centre: DVec2, radius: f64) -> Self {
        todo!()
    }
    pub fn polygon(points: impl IntoIterator<Item = DVec2>) -> Self {
        todo!()
    }
    /// L shape: bounding rectangle `min..max` with the upper right `cut` (width, height) taken away.
    pub fn angle_piece(min: DVec2, max: DVec2, cut: DVec2) -> Self {
        todo!()
    }
    pub fn bounds(&self) -> Option<Bounds> {
        todo!()
    }
    pub fn perimeter(&self) -> f64 {
        todo!()
    }
    /// Signed, counter-clockwise positive.
    pub fn signed_area(&self) -> f64 {
        todo!()
    }
    pub fn contains(&self, point: DVec2) -> bool {
        todo!()
    }
    /// Points along the loop, no chord further than `tolerance` from its arc.
    pub fn flatten(&self, tolerance: f64) -> Vec<DVec2> {
        todo!()
    }
    pub fn transformed(&self, turn: f64, mirror: bool, shift: DVec2) -> Self {
        todo!()
    }
    pub fn reversed(&self) -> Self {
        todo!()
    }
}

/// Area, centroid, second moments about the centroid; exact for arcs (`section.rs`).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    pub area: f64,
    pub centroid: DVec2,
    pub ix: f64,
    pub iy: f64,
    pub ixy: f64,
}
/// Principal second moments i1 >= i2 and the angle of axis 1 from x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Principal {
    pub i1: f64,
    pub i2: f64,
    pub angle: f64,
}
impl Section {
    pub fn principal(&self) -> Principal {
        todo!()
    }
}
/// `None` for an outline without area (say so through [`validate`]).
pub fn section(outline: &Outline) -> Option<Section> {
    todo!()
}

/// Mass, centre of gravity and inertia about it (tensor with minus signs off the diagonal), kg, mm, kg·mm².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassProperties {
    pub mass: f64,
    pub centre: DVec3,
    pub inertia: DMat3,
}
impl MassProperties {
    /// A flat plate between z = 0 (the face the lips land on) and z = -thickness with the given total mass.
    pub fn plate(section: &Section, thickness: f64, mass: f64) -> Self {
        todo!()
    }
    pub fn point(mass: f64, at: DVec3) -> Self {
        todo!()
    }
    /// Homogeneous block with sides `size` along the axes.
    pub fn block(mass: f64, at: DVec3, size: DVec3) -> Self {
        todo!()
    }
    pub fn combined(bodies: impl IntoIterator<Item = MassProperties>) -> Option<Self> {
        todo!()
    }
    /// Inertia about another point (parallel axes).
    pub fn inertia_about(&self, point: DVec3) -> DMat3 {
        todo!()
    }
}
/// kg/m² of a sheet: density kg/m³ times thickness mm.
pub fn areal_mass(density_kg_m3: f64, thickness_mm: f64) -> f64 {
    todo!()
}
/// kg/m² of corrugated board: liners + take-up × medium (each flute) + glue.
pub fn corrugated_areal_mass(liners: &[f64], flutes: &[(f64, f64)], glue: f64) -> f64 {
    todo!()
}

/// Outline of a lip about its centre; `length` runs along the lip's own x axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LipShape {
    Round {
        diameter: f64,
    },
    /// Two half circles of `width` and straights; `length` overall.
    Long {
        length: f64,
        width: f64,
    },
    Rectangle {
        length: f64,
        width: f64,
        corner: f64,
    },
}
/// A closed line as a line: length, area enclosed, second moments of the *line* about its own axes, mean radius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LipLine {
    pub length: f64,
    pub area: f64,
    pub ix: f64,
    pub iy: f64,
    pub mean_radius: f64,
    pub half_length: f64,
    pub half_width: f64,
}
impl LipShape {
    pub fn size(&self) -> DVec2 {
        todo!()
    }
    /// The same kind of shape with both sizes times `share` (outer size -> sealing line).
    pub fn scaled(&self, share: f64) -> Self {
        todo!()
    }
    pub fn line(&self) -> LipLine {
        todo!()
    }
    /// The lip as a loop about the origin, length along x.
    pub fn outline(&self) -> Loop {
        todo!()
    }
}
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lip {
    pub shape: LipShape,
    pub at: DVec2,
    pub turn: f64,
}
impl Lip {
    pub fn outline(&self) -> Loop {
        todo!()
    }
}

/// What a lip must keep off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Limit {
    Edge,
    Hole(usize),
    KeepOut(usize),
}
/// Sound surface: outline minus holes minus keep-outs, with a spatial index. Build once per part, query per cup.
pub struct SoundSurface {
    _private: (),
}
/// Signed distance from lip to the nearest boundary; negative = overhang.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    pub distance: f64,
    pub limit: Limit,
    pub on_lip: DVec2,
    pub on_boundary: DVec2,
}
/// A part of the lip's outer line that lies off the sound surface, for drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Overhang {
    pub points: Vec<DVec2>,
    pub length: f64,
}
impl SoundSurface {
    pub fn new(outline: &Outline, keep_outs: &[Loop]) -> Self {
        todo!()
    }
    pub fn contains(&self, point: DVec2) -> bool {
        todo!()
    }
    pub fn clearance(&self, lip: &Lip) -> Option<Clearance> {
        todo!()
    }
    pub fn overhang(&self, lip: &Lip) -> Vec<Overhang> {
        todo!()
    }
    /// Distances from a point to the nearest boundary along +x, -x, +y, -y (for dimension lines).
    pub fn rays(&self, from: DVec2) -> [Option<f64>; 4] {
        todo!()
    }
}

/// Where the centre of a lip may be: polygons with holes, flattened.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LandingRegion {
    pub polygons: Vec<FlatPolygon>,
}
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FlatPolygon {
    pub outer: Vec<DVec2>,
    pub holes: Vec<Vec<DVec2>>,
}
/// Sound surface eroded by the lip at its turn and by `margin` (required clearance).
pub fn landing_region(
    outline: &Outline,
    keep_outs: &[Loop],
    shape: &LipShape,
    turn: f64,
    margin: f64,
) -> LandingRegion {
    todo!()
}
impl LandingRegion {
    pub fn is_empty(&self) -> bool {
        self.polygons.is_empty()
    }
    pub fn contains(&self, point: DVec2) -> bool {
        todo!()
    }
    pub fn nearest(&self, point: DVec2) -> Option<DVec2> {
        todo!()
    }
}
/// Gap between two lips' outer lines, negative = overlap depth; with the points that are nearest.
pub fn gap(a: &Lip, b: &Lip) -> (f64, DVec2, DVec2) {
    todo!()
}

/// Convex hull of points, counter-clockwise; signed distance of a point to it (positive inside). Degenerate hulls
/// (point, line) give a distance <= 0.
pub fn hull(points: &[DVec2]) -> Vec<DVec2> {
    todo!()
}
pub fn inside_hull(points: &[DVec2], at: DVec2) -> f64 {
    todo!()
}

/// Triangles of the filled outline, for drawing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Triangles {
    pub points: Vec<DVec2>,
    pub indices: Vec<[u32; 3]>,
}
pub fn triangulate(outline: &Outline, tolerance: f64) -> Triangles {
    todo!()
}
pub fn triangulate_flat(polygon: &FlatPolygon) -> Triangles {
    todo!()
}

/// One thing wrong with an outline, as a sentence that says what, where and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OutlineProblem {
    #[error("placeholder")]
    Placeholder,
}
/// All problems, not the first.
pub fn validate(outline: &Outline) -> Vec<OutlineProblem> {
    todo!()
}
