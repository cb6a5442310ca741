//! Entities that draw an outline, gathered from the pairs of group code and figure of their records.
//!
//! A group code that stands twice counts the last time, one that is missing leaves its default, one that an entity does
//! not have is passed over. Coordinates of LINE, ELLIPSE, SPLINE and of POLYLINEs in space are those of the drawing; the
//! others lie in a plane of their own, given by its normal (210, 220, 230; 0, 0, 1 when missing).
//!
//! # Source
//! Group codes, flags and defaults: DXF reference, ENTITIES section, the table of group codes of each entity (openly
//! published; editions 2015 to 2024 looked up, but for the angles of ARC, which are from memory). Where it gives no default for a figure that must not be missing, nought
//! or what makes the entity whole is taken; each such choice is named below.

use geometry::Vertex;
use glam::{DVec2, DVec3};
use std::f64::consts::TAU;

/// A point in space or a direction: x, y and z have group codes ten apart.
fn put(point: &mut DVec3, first: i32, code: i32, value: f64) {
    match code - first {
        0 => point.x = value,
        10 => point.y = value,
        _ => point.z = value,
    }
}

/// A flag or count. Some programs write it as a decimal: "2.0".
fn whole(value: f64) -> i16 {
    value as i16
}

/// LINE: two points.
#[derive(Debug, Default)]
pub(super) struct Line {
    /// 10, 20, 30; the origin when missing (our choice).
    pub(super) start: DVec3,
    /// 11, 21, 31; the origin when missing (our choice).
    pub(super) end: DVec3,
}

impl Line {
    fn set(&mut self, code: i32, value: f64) {
        match code {
            10 | 20 | 30 => put(&mut self.start, 10, code, value),
            11 | 21 | 31 => put(&mut self.end, 11, code, value),
            _ => {}
        }
    }
}

/// CIRCLE or ARC.
#[derive(Debug)]
pub(super) struct Round {
    /// 10, 20, 30 in its own plane; the origin when missing (our choice).
    pub(super) centre: DVec3,
    /// 40; 0 when missing (our choice), which is refused.
    pub(super) radius: f64,
    /// 50 and 51 of an ARC, counter-clockwise from start to end, degrees; a whole circle when missing (our choice).
    pub(super) angles_deg: [f64; 2],
    pub(super) normal: DVec3,
}

impl Round {
    fn new() -> Self {
        Self { centre: DVec3::ZERO, radius: 0.0, angles_deg: [0.0, 360.0], normal: DVec3::Z }
    }

    fn set(&mut self, code: i32, value: f64) {
        match code {
            10 | 20 | 30 => put(&mut self.centre, 10, code, value),
            40 => self.radius = value,
            50 => self.angles_deg[0] = value,
            51 => self.angles_deg[1] = value,
            210 | 220 | 230 => put(&mut self.normal, 210, code, value),
            _ => {}
        }
    }
}

/// ELLIPSE: whole or an arc of one.
#[derive(Debug)]
pub(super) struct Ellipse {
    /// 10, 20, 30; the origin when missing (our choice).
    pub(super) centre: DVec3,
    /// 11, 21, 31: end of the major axis as seen from the centre; x of length 1 when missing (our choice).
    pub(super) major: DVec3,
    /// 40: minor axis over major axis; 1 when missing (our choice).
    pub(super) ratio: f64,
    /// 41 and 42: parameters of the ends, rad, counter-clockwise about the normal; a whole ellipse when missing.
    pub(super) ends_rad: [f64; 2],
    pub(super) normal: DVec3,
}

impl Ellipse {
    fn new() -> Self {
        Self { centre: DVec3::ZERO, major: DVec3::X, ratio: 1.0, ends_rad: [0.0, TAU], normal: DVec3::Z }
    }

    fn set(&mut self, code: i32, value: f64) {
        match code {
            10 | 20 | 30 => put(&mut self.centre, 10, code, value),
            11 | 21 | 31 => put(&mut self.major, 11, code, value),
            40 => self.ratio = value,
            41 => self.ends_rad[0] = value,
            42 => self.ends_rad[1] = value,
            210 | 220 | 230 => put(&mut self.normal, 210, code, value),
            _ => {}
        }
    }
}

/// Points whose x and y come as a pair each; heights are not kept, as a spline is drawn as seen from above.
#[derive(Debug, Default)]
pub(super) struct Points {
    x: Vec<f64>,
    y: Vec<f64>,
}

impl Points {
    /// As many as have both.
    pub(super) fn both(&self) -> impl Iterator<Item = DVec2> + '_ {
        self.x.iter().zip(&self.y).map(|(x, y)| DVec2::new(*x, *y))
    }
}

/// SPLINE: by control points, or by points that it passes through.
#[derive(Debug)]
pub(super) struct SplineFigures {
    /// 70: bit 1 = closed.
    flags: i16,
    /// 71; 1 when missing (our choice).
    pub(super) degree: i16,
    /// 40, one each.
    pub(super) knots: Vec<f64>,
    /// 41, one for each control point or none.
    pub(super) weights: Vec<f64>,
    /// 10, 20.
    pub(super) control: Points,
    /// 11, 21.
    pub(super) fit: Points,
    /// 12, 22 and 13, 23: tangents at start and end, which may be missing: nought.
    pub(super) tangents: [DVec2; 2],
}

impl SplineFigures {
    fn new() -> Self {
        Self {
            flags: 0,
            degree: 1,
            knots: Vec::new(),
            weights: Vec::new(),
            control: Points::default(),
            fit: Points::default(),
            tangents: [DVec2::ZERO; 2],
        }
    }

    pub(super) fn is_closed(&self) -> bool {
        self.flags & 1 != 0
    }

    fn set(&mut self, code: i32, value: f64) {
        match code {
            10 => self.control.x.push(value),
            20 => self.control.y.push(value),
            11 => self.fit.x.push(value),
            21 => self.fit.y.push(value),
            12 => self.tangents[0].x = value,
            22 => self.tangents[0].y = value,
            13 => self.tangents[1].x = value,
            23 => self.tangents[1].y = value,
            40 => self.knots.push(value),
            41 => self.weights.push(value),
            70 => self.flags = whole(value),
            71 => self.degree = whole(value),
            _ => {}
        }
    }
}

/// LWPOLYLINE: vertices of one height. Widths (40, 41, 43) draw no other outline and are not kept.
#[derive(Debug)]
pub(super) struct LightPolyline {
    /// 10, 20, and 42, the bulge to the next vertex; 10 begins a vertex.
    pub(super) vertices: Vec<Vertex>,
    /// 70: bit 1 = closed.
    flags: i16,
    /// 38.
    pub(super) elevation: f64,
    pub(super) normal: DVec3,
    /// Figures of a vertex stand before any vertex: the record is damaged.
    pub(super) early: bool,
}

impl LightPolyline {
    fn new() -> Self {
        Self { vertices: Vec::new(), flags: 0, elevation: 0.0, normal: DVec3::Z, early: false }
    }

    pub(super) fn is_closed(&self) -> bool {
        self.flags & 1 != 0
    }

    fn set(&mut self, code: i32, value: f64) {
        match (code, self.vertices.last_mut()) {
            (10, _) => self.vertices.push(Vertex { at: DVec2::new(value, 0.0), bulge: 0.0 }),
            (20 | 40..=42, None) => self.early = true,
            (20, Some(vertex)) => vertex.at.y = value,
            (42, Some(vertex)) => vertex.bulge = value,
            (38, _) => self.elevation = value,
            (70, _) => self.flags = whole(value),
            (210 | 220 | 230, _) => put(&mut self.normal, 210, code, value),
            _ => {}
        }
    }
}

/// VERTEX of a POLYLINE.
#[derive(Debug, Default)]
pub(super) struct Corner {
    /// 10, 20, 30; the origin when missing (our choice).
    pub(super) at: DVec3,
    /// 42, to the next vertex.
    pub(super) bulge: f64,
    /// 70: bit 16 = control point of the frame that a curve was fitted to.
    flags: i16,
}

impl Corner {
    pub(super) fn is_of_frame(&self) -> bool {
        self.flags & 16 != 0
    }

    fn set(&mut self, code: i32, value: f64) {
        match code {
            10 | 20 | 30 => put(&mut self.at, 10, code, value),
            42 => self.bulge = value,
            70 => self.flags = whole(value),
            _ => {}
        }
    }
}

/// POLYLINE: its vertices are records of their own that follow.
#[derive(Debug)]
pub(super) struct Polyline {
    pub(super) corners: Vec<Corner>,
    /// 70: bits 1 = closed, 8 = in space, 16 = mesh of polygons, 64 = mesh of faces.
    flags: i16,
    /// 30: height in its own plane.
    pub(super) elevation: f64,
    pub(super) normal: DVec3,
}

impl Polyline {
    fn new() -> Self {
        Self { corners: Vec::new(), flags: 0, elevation: 0.0, normal: DVec3::Z }
    }

    pub(super) fn is_closed(&self) -> bool {
        self.flags & 1 != 0
    }

    pub(super) fn is_in_space(&self) -> bool {
        self.flags & 8 != 0
    }

    pub(super) fn is_mesh(&self) -> bool {
        self.flags & (16 | 64) != 0
    }

    /// Until the first VERTEX the figures are its own, then those of the latest.
    fn set(&mut self, code: i32, value: f64) {
        match (self.corners.last_mut(), code) {
            (Some(corner), _) => corner.set(code, value),
            (None, 30) => self.elevation = value,
            (None, 70) => self.flags = whole(value),
            (None, 210 | 220 | 230) => put(&mut self.normal, 210, code, value),
            _ => {}
        }
    }
}

/// INSERT: a block put into the drawing once or in columns and rows. The block's name (2) is kept by the record.
#[derive(Debug)]
pub(super) struct InsertFigures {
    /// 10, 20, 30 in its own plane; the origin when missing (our choice).
    pub(super) at: DVec3,
    /// 41, 42; 1 when missing.
    pub(super) scale: DVec2,
    /// 50, degrees; 0 when missing.
    pub(super) rotation_deg: f64,
    /// 70 columns, 71 rows; 1 when missing.
    pub(super) copies: [i16; 2],
    /// 44 between columns, 45 between rows; 0 when missing.
    pub(super) spacing: DVec2,
    pub(super) normal: DVec3,
}

impl InsertFigures {
    fn new() -> Self {
        Self {
            at: DVec3::ZERO,
            scale: DVec2::ONE,
            rotation_deg: 0.0,
            copies: [1; 2],
            spacing: DVec2::ZERO,
            normal: DVec3::Z,
        }
    }

    fn set(&mut self, code: i32, value: f64) {
        match code {
            10 | 20 | 30 => put(&mut self.at, 10, code, value),
            41 => self.scale.x = value,
            42 => self.scale.y = value,
            44 => self.spacing.x = value,
            45 => self.spacing.y = value,
            50 => self.rotation_deg = value,
            70 => self.copies[0] = whole(value),
            71 => self.copies[1] = whole(value),
            210 | 220 | 230 => put(&mut self.normal, 210, code, value),
            _ => {}
        }
    }
}

/// An entity being read.
#[derive(Debug)]
pub(super) enum Entity {
    Line(Line),
    Arc(Round),
    Circle(Round),
    Ellipse(Ellipse),
    Spline(SplineFigures),
    LightPolyline(LightPolyline),
    Polyline(Polyline),
    Insert(InsertFigures),
}

impl Entity {
    /// An entity without figures, and its kind as people are told it; `None` for kinds that draw no outline. 3DLINE is
    /// the name that LINE had in old releases (from memory).
    pub(super) fn of_kind(kind: &str) -> Option<(&'static str, Self)> {
        Some(match kind {
            "LINE" | "3DLINE" => ("LINE", Self::Line(Line::default())),
            "ARC" => ("ARC", Self::Arc(Round::new())),
            "CIRCLE" => ("CIRCLE", Self::Circle(Round::new())),
            "ELLIPSE" => ("ELLIPSE", Self::Ellipse(Ellipse::new())),
            "SPLINE" => ("SPLINE", Self::Spline(SplineFigures::new())),
            "LWPOLYLINE" => ("LWPOLYLINE", Self::LightPolyline(LightPolyline::new())),
            "POLYLINE" => ("POLYLINE", Self::Polyline(Polyline::new())),
            "INSERT" => ("INSERT", Self::Insert(InsertFigures::new())),
            _ => return None,
        })
    }

    /// Whether the figure of a group code has to be a usable one: those that describe shape, and others in their
    /// ranges, as a record with a spoilt figure is not to be relied on.
    pub(super) fn wants(&self, code: i32) -> bool {
        match self {
            Self::Spline(_) => matches!(code, 10..=13 | 20..=23 | 40 | 41 | 70 | 71 | 210 | 220 | 230),
            Self::Insert(_) => matches!(code, 10 | 20 | 30 | 41..=45 | 50 | 70 | 71 | 210 | 220 | 230),
            _ => matches!(code, 10..=38 | 40..=59 | 70..=79 | 210 | 220 | 230),
        }
    }

    /// Takes the figure of a group code.
    pub(super) fn set(&mut self, code: i32, value: f64) {
        match self {
            Self::Line(line) => line.set(code, value),
            Self::Arc(round) | Self::Circle(round) => round.set(code, value),
            Self::Ellipse(ellipse) => ellipse.set(code, value),
            Self::Spline(spline) => spline.set(code, value),
            Self::LightPolyline(polyline) => polyline.set(code, value),
            Self::Polyline(polyline) => polyline.set(code, value),
            Self::Insert(insert) => insert.set(code, value),
        }
    }

    /// Figures from here on are those of another VERTEX.
    pub(super) fn vertex(&mut self) {
        if let Self::Polyline(polyline) = self {
            polyline.corners.push(Corner::default());
        }
    }
}
