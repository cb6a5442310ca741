//! From the figures of an entity to the curve it draws, seen from above.

use super::entities::{Ellipse, Entity, InsertFigures, LightPolyline, Polyline, Round, SplineFigures};
use crate::curve::{Curve, EllipseArc, Stretch};
use crate::piece::Piece;
use crate::spline::Spline;
use geometry::Vertex;
use glam::{DAffine2, DMat2, DVec2, DVec3};
use std::f64::consts::TAU;

/// A block put into the drawing.
#[derive(Debug, Clone)]
pub(super) struct Insert {
    pub(super) block: String,
    /// From the block's axes to those it is inserted in, for the first of the array.
    pub(super) map: DAffine2,
    /// Steps between columns and rows, and how many there are.
    pub(super) column: (DVec2, u32),
    pub(super) row: (DVec2, u32),
}

/// What an entity comes to.
#[derive(Debug, Clone)]
pub(super) enum Item {
    Curve(Curve),
    Insert(Box<Insert>),
}

/// What an entity draws; `name` is that of the block of an INSERT.
///
/// # Errors
/// What is wrong with its figures, as the end of a sentence that begins with "it".
pub(super) fn item(entity: Entity, name: Option<String>, tilted: &mut bool) -> Result<Item, String> {
    let curve = match entity {
        Entity::Line(line) => {
            *tilted |= (line.start.z - line.end.z).abs() > 1e-6;
            Curve::Single(Stretch::Piece(Piece::line(line.start.truncate(), line.end.truncate())))
        }
        Entity::Circle(circle) => {
            positive("radius", circle.radius)?;
            let axes = own_axes(circle.normal, circle.centre.z, tilted);
            Curve::circle(circle.centre.truncate(), circle.radius).transformed(&axes)
        }
        Entity::Arc(figures) => arc(&figures, tilted)?,
        Entity::Ellipse(figures) => ellipse(&figures, tilted)?,
        Entity::LightPolyline(figures) => light_polyline(figures, tilted)?,
        Entity::Polyline(figures) => polyline(&figures, tilted)?,
        Entity::Spline(figures) => spline(figures)?,
        Entity::Insert(figures) => {
            let block = name.unwrap_or_default();
            return insert(&figures, block, tilted).map(|insert| Item::Insert(Box::new(insert)));
        }
    };
    Ok(Item::Curve(curve))
}

/// Axes of an entity that is drawn in its own plane, seen from above.
///
/// # Source
/// DXF reference, "Arbitrary axis algorithm"; from memory.
fn own_axes(normal: DVec3, elevation: f64, tilted: &mut bool) -> DAffine2 {
    let n = normal.normalize_or(DVec3::Z);
    *tilted |= n.z.abs() < 1.0 - 1e-9;
    let near_z = n.x.abs() < 1.0 / 64.0 && n.y.abs() < 1.0 / 64.0;
    let x = if near_z { DVec3::Y.cross(n) } else { DVec3::Z.cross(n) }.normalize();
    let y = n.cross(x);
    DAffine2::from_mat2_translation(DMat2::from_cols(x.truncate(), y.truncate()), n.truncate() * elevation)
}

fn positive(what: &str, value: f64) -> Result<(), String> {
    if value > 0.0 { Ok(()) } else { Err(format!("has {what} {value}")) }
}

fn arc(arc: &Round, tilted: &mut bool) -> Result<Curve, String> {
    positive("radius", arc.radius)?;
    let axes = own_axes(arc.normal, arc.centre.z, tilted);
    let [start, end] = arc.angles_deg.map(f64::to_radians);
    let mut sweep = (end - start).rem_euclid(TAU);
    if sweep < 1e-12 {
        sweep = TAU;
    }
    Ok(Curve::Single(round_arc(arc.centre.truncate(), arc.radius, start, sweep)).transformed(&axes))
}

fn round_arc(centre: DVec2, radius: f64, start: f64, sweep: f64) -> Stretch {
    let at = |angle: f64| centre + radius * DVec2::from_angle(angle);
    if sweep > TAU - 1e-9 {
        let (u, v) = (DVec2::new(radius, 0.0), DVec2::new(0.0, radius));
        return Stretch::Ellipse(EllipseArc { centre, u, v, start, sweep: TAU });
    }
    Stretch::Piece(Piece { from: at(start), to: at(start + sweep), bulge: (sweep / 4.0).tan() })
}

fn ellipse(ellipse: &Ellipse, tilted: &mut bool) -> Result<Curve, String> {
    positive("major axis", ellipse.major.length())?;
    positive("axis ratio", ellipse.ratio)?;
    let n = ellipse.normal.normalize_or(DVec3::Z);
    *tilted |= n.z.abs() < 1.0 - 1e-9;
    let minor = n.cross(ellipse.major) * ellipse.ratio;
    let [start, end] = ellipse.ends_rad;
    let mut sweep = (end - start).rem_euclid(TAU);
    if sweep < 1e-9 {
        sweep = TAU;
    }
    let (u, v) = (ellipse.major.truncate(), minor.truncate());
    let centre = ellipse.centre.truncate();
    Ok(Curve::Single(Stretch::Ellipse(EllipseArc { centre, u, v, start, sweep })))
}

fn chain(vertices: Vec<Vertex>, closed: bool) -> Result<Curve, String> {
    if vertices.len() < 2 {
        return Err(format!("has {} vertices", vertices.len()));
    }
    Ok(Curve::Chain { vertices, closed })
}

fn light_polyline(polyline: LightPolyline, tilted: &mut bool) -> Result<Curve, String> {
    if polyline.early {
        return Err("has values of a vertex before its first vertex".to_owned());
    }
    let axes = own_axes(polyline.normal, polyline.elevation, tilted);
    let closed = polyline.is_closed();
    Ok(chain(polyline.vertices, closed)?.transformed(&axes))
}

fn polyline(polyline: &Polyline, tilted: &mut bool) -> Result<Curve, String> {
    if polyline.is_mesh() {
        return Err("is a mesh, which has no outline".to_owned());
    }
    // Vertices of a fitted curve stand beside the frame it was fitted to.
    let drawn = polyline.corners.iter().filter(|corner| !corner.is_of_frame());
    let vertices = drawn.map(|corner| Vertex { at: corner.at.truncate(), bulge: corner.bulge }).collect();
    let chain = chain(vertices, polyline.is_closed())?;
    if polyline.is_in_space() {
        let mut heights = polyline.corners.iter().map(|corner| corner.at.z);
        let first = heights.next().unwrap_or(0.0);
        *tilted |= heights.any(|z| (z - first).abs() > 1e-6);
        Ok(chain)
    } else {
        Ok(chain.transformed(&own_axes(polyline.normal, polyline.elevation, tilted)))
    }
}

fn spline(spline: SplineFigures) -> Result<Curve, String> {
    let points: Vec<DVec2> = spline.control.both().collect();
    if points.is_empty() {
        let fit: Vec<DVec2> = spline.fit.both().collect();
        // A tangent that is not given reads as nought.
        let tangents = spline.tangents.map(|t| Some(t).filter(|t| t.length() > 0.0));
        let cubics = Spline::through(&fit, spline.is_closed(), tangents)
            .ok_or("has neither control points nor points to pass through")?;
        return Ok(Curve::Path {
            stretches: cubics.into_iter().map(Stretch::Cubic).collect(),
            closed: spline.is_closed(),
        });
    }
    let degree = usize::try_from(spline.degree).unwrap_or(0);
    let spline = Spline::new(degree, spline.knots, points, spline.weights)?;
    // A spline marked closed ends where it starts; the ends are joined like any others.
    Ok(Curve::Single(Stretch::Spline(Box::new(spline))))
}

fn insert(insert: &InsertFigures, block: String, tilted: &mut bool) -> Result<Insert, String> {
    let axes = own_axes(insert.normal, insert.at.z, tilted);
    let rotation = insert.rotation_deg.to_radians();
    positive("scale", insert.scale.abs().min_element())?;
    let map = axes * DAffine2::from_scale_angle_translation(insert.scale, rotation, insert.at.truncate());
    let step = |v: DVec2| axes.transform_vector2(DVec2::from_angle(rotation).rotate(v));
    let [columns, rows] = insert.copies.map(|n| u32::try_from(n).unwrap_or(1).max(1));
    Ok(Insert {
        block,
        map,
        column: (step(DVec2::new(insert.spacing.x, 0.0)), columns),
        row: (step(DVec2::new(0.0, insert.spacing.y)), rows),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(kind: &str, figures: &[(i32, f64)]) -> Result<Item, String> {
        let (_, mut entity) = Entity::of_kind(kind).expect("a kind that draws");
        figures.iter().for_each(|(code, value)| entity.set(*code, *value));
        let mut tilted = false;
        let item = item(entity, None, &mut tilted);
        assert!(!tilted, "{kind}");
        item
    }

    fn curve(kind: &str, figures: &[(i32, f64)]) -> Curve {
        match read(kind, figures) {
            Ok(Item::Curve(curve)) => curve,
            other => panic!("{kind}: {other:?}"),
        }
    }

    /// What stands for a missing group code, by hand.
    #[test]
    fn missing_group_codes_have_their_defaults() {
        let whole = |u: f64, v: f64| EllipseArc {
            centre: DVec2::ZERO,
            u: DVec2::new(u, 0.0),
            v: DVec2::new(0.0, v),
            start: 0.0,
            sweep: TAU,
        };
        let line = Curve::Single(Stretch::Piece(Piece::line(DVec2::ZERO, DVec2::ZERO)));
        assert_eq!(curve("LINE", &[]), line);
        assert_eq!(curve("ARC", &[(40, 3.0)]), Curve::Single(Stretch::Ellipse(whole(3.0, 3.0))));
        assert_eq!(curve("CIRCLE", &[(40, 3.0)]), Curve::circle(DVec2::ZERO, 3.0));
        assert_eq!(curve("ELLIPSE", &[]), Curve::Single(Stretch::Ellipse(whole(1.0, 1.0))));
        assert_eq!(curve("ELLIPSE", &[(40, 0.5)]), Curve::Single(Stretch::Ellipse(whole(1.0, 0.5))));
        let at = |x: f64, y: f64| Vertex { at: DVec2::new(x, y), bulge: 0.0 };
        let open = Curve::Chain { vertices: vec![at(4.0, 0.0), at(5.0, 6.0)], closed: false };
        assert_eq!(curve("LWPOLYLINE", &[(10, 4.0), (10, 5.0), (20, 6.0)]), open);
        // A straight line from point to point is what degree 1 draws.
        let knots = [0.0, 0.0, 1.0, 1.0].map(|knot| (40, knot));
        let points = [(10, 0.0), (20, 0.0), (10, 8.0), (20, 2.0)];
        let Curve::Single(Stretch::Spline(spline)) = curve("SPLINE", &[&knots[..], &points].concat()) else {
            panic!("a spline")
        };
        assert_eq!((spline.degree, spline.at(0.25)), (1, DVec2::new(2.0, 0.5)));
        let Ok(Item::Insert(insert)) = read("INSERT", &[]) else { panic!("an insert") };
        assert_eq!(insert.map, DAffine2::IDENTITY);
        assert_eq!((insert.column, insert.row), ((DVec2::ZERO, 1), (DVec2::ZERO, 1)));
        for (kind, says) in
            [("CIRCLE", "has radius 0"), ("ARC", "has radius 0"), ("POLYLINE", "has 0 vertices")]
        {
            assert_eq!(read(kind, &[]).expect_err(kind), says);
        }
        assert!(Entity::of_kind("POINT").is_none());
    }

    /// With its normal turned down, the plane of an entity is seen from behind: x mirrored, y as it is, and an arc
    /// counter-clockwise there runs clockwise here.
    #[test]
    fn a_normal_that_points_down_mirrors() {
        let down = (230, -1.0);
        let arc = curve("ARC", &[(10, 2.0), (20, 7.0), (40, 5.0), (50, 0.0), (51, 90.0), down]);
        let Curve::Single(Stretch::Piece(piece)) = arc else { panic!("{arc:?}") };
        assert!(piece.from.distance(DVec2::new(-7.0, 7.0)) < 1e-12, "{piece:?}");
        assert!(piece.to.distance(DVec2::new(-2.0, 12.0)) < 1e-12, "{piece:?}");
        assert!((piece.bulge + (TAU / 16.0).tan()).abs() < 1e-12, "{piece:?}");
    }
}
