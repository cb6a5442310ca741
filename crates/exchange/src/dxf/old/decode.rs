//! Hands entities to the `dxf` library in small batches and takes them back as curves.
//!
//! The batches keep its memory bounded (about 1.7 kB an entity, measured), and only codes that describe shape are
//! handed over, already checked: a date or an odd table cannot upset it. Should it stumble all the same, the batch is
//! read again one entity at a time and the one it stumbles on is reported.

use super::Trouble;
use super::records::{Contents, Source};
use super::scan::{Pair, SENTINEL};
use crate::curve::{Curve, EllipseArc, Stretch};
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::piece::Piece;
use crate::spline::Spline;
use crate::{MOST_ENTITIES, MOST_PIECES};
use dxf::entities::{Entity, EntityType};
use geometry::Vertex;
use glam::{DAffine2, DMat2, DVec2, DVec3};
use std::f64::consts::TAU;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// A block put into the drawing.
#[derive(Debug, Clone)]
pub(in crate::dxf) struct Insert {
    pub(in crate::dxf) block: String,
    /// From the block's axes to those it is inserted in, for the first of the array.
    pub(in crate::dxf) map: DAffine2,
    /// Steps between columns and rows, and how many there are.
    pub(in crate::dxf) column: (DVec2, u32),
    pub(in crate::dxf) row: (DVec2, u32),
}

/// What an entity comes to.
#[derive(Debug, Clone)]
pub(in crate::dxf) enum Item {
    Curve(Curve),
    Insert(Box<Insert>),
}

/// Entities read by the library at a time: bounds its memory to some megabytes.
const BATCH: usize = 4096;
/// A batch ends early when its text grows past this, as polylines can be long.
const BATCH_BYTES: usize = 16 << 20;

struct Waiting {
    source: Source,
    name: Option<String>,
    target: usize,
    /// Where its text starts in the batch.
    start: usize,
}

/// Figures of all entities, at most: each takes room in what the library reads. A line has four to six, a vertex two.
const MOST_FIGURES: usize = 12_000_000;

/// Gathers entities and decodes them batch by batch.
pub(in crate::dxf) struct Decoder {
    /// Entities, their corners and their figures so far.
    entities: usize,
    corners: usize,
    figures: usize,
    binary: bool,
    wide: bool,
    text: Vec<u8>,
    waiting: Vec<Waiting>,
    open: Option<(&'static str, usize)>,
}

impl Decoder {
    pub(in crate::dxf) fn new(binary: bool, wide: bool) -> Self {
        Self {
            binary,
            wide,
            text: Vec::new(),
            waiting: Vec::new(),
            open: None,
            entities: 0,
            corners: 0,
            figures: 0,
        }
    }

    /// Stops at what is too much, while it is read: nothing of it has been expanded by then.
    pub(in crate::dxf) fn check(&self) -> Result<(), Trouble> {
        if self.entities > MOST_ENTITIES {
            Err(Trouble::TooMany(format!("more than {MOST_ENTITIES}")))
        } else if self.corners > MOST_PIECES || self.figures > MOST_FIGURES {
            Err(Trouble::TooManyPieces(format!("more than {MOST_PIECES}")))
        } else {
            Ok(())
        }
    }

    pub(in crate::dxf) fn begin(&mut self, kind: &'static str) {
        self.open = Some((kind, self.text.len()));
        self.word(0, kind);
    }

    pub(in crate::dxf) fn nested(&mut self, kind: &str) {
        if self.open.is_some() {
            self.word(0, kind);
        }
    }

    /// Codes that describe shape.
    pub(in crate::dxf) fn wants(&self, code: i32) -> bool {
        match self.open.map(|o| o.0) {
            None => false,
            // The library drops control points without a height; heights are put in by `pair`.
            Some("SPLINE") => {
                matches!(code, 10..=13 | 20..=23 | 40 | 41 | 70 | 71 | 210 | 220 | 230)
            }
            Some("INSERT") => matches!(code, 10 | 20 | 30 | 41..=45 | 50 | 70 | 71 | 210 | 220 | 230),
            Some(_) => matches!(code, 10..=59 | 70..=79 | 210 | 220 | 230) && code != 39,
        }
    }

    pub(in crate::dxf) fn pair(&mut self, pair: &Pair<'_>) {
        self.figures += 1;
        self.corners += usize::from(matches!(pair.code, 10 | 11));
        if self.binary {
            self.text.extend_from_slice(pair.raw);
        } else {
            self.text.extend_from_slice(pair.code.to_string().as_bytes());
            self.text.push(b'\n');
            self.text.extend_from_slice(pair.value);
            self.text.push(b'\n');
        }
        if matches!(self.open, Some(("SPLINE", _))) && matches!(pair.code, 20 | 21) {
            self.zero(pair.code + 10);
        }
    }

    pub(in crate::dxf) fn drop_open(&mut self) {
        if let Some((_, start)) = self.open.take() {
            self.text.truncate(start);
        }
    }

    /// Ends the open entity; true when the batch should be flushed.
    pub(in crate::dxf) fn end(&mut self, source: Source, name: Option<String>, target: usize) -> bool {
        if let Some((kind, start)) = self.open.take() {
            self.entities += 1;
            if kind == "POLYLINE" {
                self.word(0, "SEQEND");
            }
            self.waiting.push(Waiting { source, name, target, start });
        }
        self.waiting.len() >= BATCH || self.text.len() >= BATCH_BYTES
    }

    fn code(&mut self, code: i32) {
        if self.binary {
            self.text.push(code as u8);
            if self.wide {
                self.text.push(0);
            }
        } else {
            self.text.extend_from_slice(code.to_string().as_bytes());
            self.text.push(b'\n');
        }
    }

    fn word(&mut self, code: i32, word: &str) {
        self.code(code);
        self.text.extend_from_slice(word.as_bytes());
        self.text.push(if self.binary { 0 } else { b'\n' });
    }

    fn zero(&mut self, code: i32) {
        self.code(code);
        if self.binary {
            self.text.extend_from_slice(&0f64.to_le_bytes());
        } else {
            self.text.extend_from_slice(b"0\n");
        }
    }

    /// Decodes what is waiting into the blocks it belongs to.
    pub(in crate::dxf) fn flush(&mut self, contents: &mut Contents, notes: &mut Notes) {
        let text = std::mem::take(&mut self.text);
        let waiting = std::mem::take(&mut self.waiting);
        match self.load(&text, waiting.len()) {
            Some(entities) => {
                for (entity, w) in entities.into_iter().zip(waiting) {
                    take(entity, w, contents, notes);
                }
            }
            None => {
                let ends: Vec<usize> = waiting.iter().skip(1).map(|w| w.start).chain([text.len()]).collect();
                for (w, end) in waiting.into_iter().zip(ends) {
                    match self.load(&text[w.start..end], 1).and_then(|mut e| e.pop()) {
                        Some(entity) => take(entity, w, contents, notes),
                        None => notes.add(
                            DiagnosticSeverity::Skipped,
                            format!("{} left out: its figures cannot be read", w.source.kind),
                            || contents.place(&w.source),
                        ),
                    }
                }
            }
        }
    }

    fn load(&self, entities: &[u8], count: usize) -> Option<Vec<Entity>> {
        if count == 0 {
            return Some(Vec::new());
        }
        let mut frame = Decoder::new(self.binary, self.wide);
        if self.binary {
            frame.text.extend_from_slice(SENTINEL);
        }
        frame.word(0, "SECTION");
        frame.word(2, "ENTITIES");
        frame.text.extend_from_slice(entities);
        frame.word(0, "ENDSEC");
        frame.word(0, "EOF");
        let bytes = frame.text;
        // The figures have been checked, so the library should not stumble; if it does, the user must not fall with it.
        let drawing =
            catch_unwind(AssertUnwindSafe(|| dxf::Drawing::load(&mut bytes.as_slice()).ok())).ok()??;
        let read: Vec<Entity> = drawing.entities().cloned().collect();
        (read.len() == count).then_some(read)
    }
}

fn take(entity: Entity, w: Waiting, contents: &mut Contents, notes: &mut Notes) {
    let mut tilted = false;
    let items = items(&entity, w.name.as_deref(), &mut tilted);
    if tilted {
        notes.add(
            DiagnosticSeverity::Warning,
            format!(
                "{} does not lie in the plane of the drawing; its view from above is taken",
                w.source.kind
            ),
            || contents.place(&w.source),
        );
    }
    match items {
        Ok(Some(item)) => contents.blocks[w.target].items.push((item, w.source)),
        Ok(None) => {}
        Err(says) => {
            notes.add(DiagnosticSeverity::Skipped, format!("{} left out: it {says}", w.source.kind), || {
                contents.place(&w.source)
            })
        }
    }
}

/// Axes of an entity that is drawn in its own plane, seen from above.
///
/// # Source
/// DXF reference, "Arbitrary axis algorithm"; from memory.
fn own_axes(normal: &dxf::Vector, elevation: f64, tilted: &mut bool) -> DAffine2 {
    let n = DVec3::new(normal.x, normal.y, normal.z).normalize_or(DVec3::Z);
    *tilted |= n.z.abs() < 1.0 - 1e-9;
    let near_z = n.x.abs() < 1.0 / 64.0 && n.y.abs() < 1.0 / 64.0;
    let x = if near_z { DVec3::Y.cross(n) } else { DVec3::Z.cross(n) }.normalize();
    let y = n.cross(x);
    DAffine2::from_mat2_translation(DMat2::from_cols(x.truncate(), y.truncate()), n.truncate() * elevation)
}

fn xy(p: &dxf::Point) -> DVec2 {
    DVec2::new(p.x, p.y)
}

fn round_arc(centre: DVec2, radius: f64, start: f64, sweep: f64) -> Stretch {
    let at = |angle: f64| centre + radius * DVec2::from_angle(angle);
    if sweep > TAU - 1e-9 {
        let (u, v) = (DVec2::new(radius, 0.0), DVec2::new(0.0, radius));
        return Stretch::Ellipse(EllipseArc { centre, u, v, start, sweep: TAU });
    }
    Stretch::Piece(Piece { from: at(start), to: at(start + sweep), bulge: (sweep / 4.0).tan() })
}

fn items(entity: &Entity, name: Option<&str>, tilted: &mut bool) -> Result<Option<Item>, String> {
    let curve = match &entity.specific {
        EntityType::Line(line) => {
            *tilted |= (line.p1.z - line.p2.z).abs() > 1e-6;
            Curve::Single(Stretch::Piece(Piece::line(xy(&line.p1), xy(&line.p2))))
        }
        EntityType::Circle(circle) => {
            positive("radius", circle.radius)?;
            let axes = own_axes(&circle.normal, circle.center.z, tilted);
            Curve::circle(xy(&circle.center), circle.radius).transformed(&axes)
        }
        EntityType::Arc(arc) => {
            positive("radius", arc.radius)?;
            let axes = own_axes(&arc.normal, arc.center.z, tilted);
            let (start, end) = (arc.start_angle.to_radians(), arc.end_angle.to_radians());
            let mut sweep = (end - start).rem_euclid(TAU);
            if sweep < 1e-12 {
                sweep = TAU;
            }
            Curve::Single(round_arc(xy(&arc.center), arc.radius, start, sweep)).transformed(&axes)
        }
        EntityType::Ellipse(e) => {
            let major = DVec3::new(e.major_axis.x, e.major_axis.y, e.major_axis.z);
            positive("major axis", major.length())?;
            positive("axis ratio", e.minor_axis_ratio)?;
            let n = DVec3::new(e.normal.x, e.normal.y, e.normal.z).normalize_or(DVec3::Z);
            *tilted |= n.z.abs() < 1.0 - 1e-9;
            let minor = n.cross(major) * e.minor_axis_ratio;
            let mut sweep = (e.end_parameter - e.start_parameter).rem_euclid(TAU);
            if sweep < 1e-9 {
                sweep = TAU;
            }
            let (u, v) = (major.truncate(), minor.truncate());
            Curve::Single(Stretch::Ellipse(EllipseArc {
                centre: xy(&e.center),
                u,
                v,
                start: e.start_parameter,
                sweep,
            }))
        }
        EntityType::LwPolyline(poly) => {
            let vertex = |v: &dxf::LwPolylineVertex| Vertex { at: DVec2::new(v.x, v.y), bulge: v.bulge };
            let axes = own_axes(&poly.extrusion_direction, entity.common.elevation, tilted);
            chain(poly.vertices.iter().map(vertex).collect(), poly.is_closed())?.transformed(&axes)
        }
        EntityType::Polyline(poly) => {
            if poly.is_3d_polygon_mesh() || poly.is_polyface_mesh() {
                return Err("is a mesh, which has no outline".to_owned());
            }
            // Vertices of a fitted curve stand beside the frame it was fitted to.
            let vertices: Vec<Vertex> = poly
                .vertices()
                .filter(|v| !v.is_spline_frame_control_point())
                .map(|v| Vertex { at: xy(&v.location), bulge: v.bulge })
                .collect();
            let chain = chain(vertices, poly.is_closed())?;
            if poly.is_3d_polyline() {
                let mut heights = poly.vertices().map(|v| v.location.z);
                let first = heights.next().unwrap_or(0.0);
                *tilted |= heights.any(|z| (z - first).abs() > 1e-6);
                chain
            } else {
                chain.transformed(&own_axes(&poly.normal, poly.location.z, tilted))
            }
        }
        EntityType::Spline(s) => spline(s)?,
        EntityType::Insert(insert) => {
            let axes = own_axes(&insert.extrusion_direction, insert.location.z, tilted);
            let rotation = insert.rotation.to_radians();
            let scale = DVec2::new(insert.x_scale_factor, insert.y_scale_factor);
            positive("scale", scale.x.abs().min(scale.y.abs()))?;
            let map = axes * DAffine2::from_scale_angle_translation(scale, rotation, xy(&insert.location));
            let step = |v: DVec2| axes.transform_vector2(DVec2::from_angle(rotation).rotate(v));
            let count = |n: i16| u32::try_from(n).unwrap_or(1).max(1);
            return Ok(Some(Item::Insert(Box::new(Insert {
                block: name.unwrap_or_default().to_owned(),
                map,
                column: (step(DVec2::new(insert.column_spacing, 0.0)), count(insert.column_count)),
                row: (step(DVec2::new(0.0, insert.row_spacing)), count(insert.row_count)),
            }))));
        }
        _ => return Ok(None),
    };
    Ok(Some(Item::Curve(curve)))
}

fn positive(what: &str, value: f64) -> Result<(), String> {
    if value > 0.0 { Ok(()) } else { Err(format!("has {what} {value}")) }
}

fn chain(vertices: Vec<Vertex>, closed: bool) -> Result<Curve, String> {
    if vertices.len() < 2 {
        return Err(format!("has {} vertices", vertices.len()));
    }
    Ok(Curve::Chain { vertices, closed })
}

fn spline(s: &dxf::entities::Spline) -> Result<Curve, String> {
    if s.control_points.is_empty() {
        let fit: Vec<DVec2> = s.fit_points.iter().map(xy).collect();
        // A tangent that is not given reads as nought.
        let tangent = |p: &dxf::Point| Some(xy(p)).filter(|t| t.length() > 0.0);
        let tangents = [tangent(&s.start_tangent), tangent(&s.end_tangent)];
        let cubics = Spline::through(&fit, s.is_closed(), tangents)
            .ok_or("has neither control points nor points to pass through")?;
        return Ok(Curve::Path {
            stretches: cubics.into_iter().map(Stretch::Cubic).collect(),
            closed: s.is_closed(),
        });
    }
    let degree = usize::try_from(s.degree_of_curve).unwrap_or(0);
    let points = s.control_points.iter().map(xy).collect();
    let spline = Spline::new(degree, s.knot_values.clone(), points, s.weight_values.clone())?;
    // A spline marked closed ends where it starts; the ends are joined like any others.
    Ok(Curve::Single(Stretch::Spline(Box::new(spline))))
}
