//! What the robot's flange carries: tool and part as one rigid body.

use crate::motion::Body;
use glam::{DMat3, DVec3};

/// Several rigid bodies as one, as a robot's payload data asks for it.
///
/// # Units
/// kg, mm, kg·mm². Inertia tensors have minus signs off the diagonal, as [`Body`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carried {
    /// kg.
    pub mass: f64,
    /// Centre of gravity, mm from the point asked about.
    pub centre: DVec3,
    /// Inertia tensor about that point, kg·mm².
    pub inertia: DMat3,
    /// Inertia tensor about the centre of gravity, kg·mm².
    pub inertia_at_centre: DMat3,
}

/// Bodies joined into one, seen from the point `about` (mm, in the frame of the bodies): the flange.
///
/// Without any mass the centre is that point.
///
/// # Source
/// Parallel axes: I about a point = I about the centre of gravity + m (r·r E - r rᵀ); e.g. Meriam & Kraige, *Engineering
/// Mechanics: Dynamics*, appendix B (from memory).
///
/// # Example
/// ```
/// use glam::DVec3;
/// use mechanics::{Body, combined};
/// let tool = Body::block(4.0, DVec3::new(0.0, 0.0, 60.0), DVec3::new(400.0, 400.0, 40.0)); // kg, mm
/// let part = Body::point(12.0, DVec3::new(50.0, 0.0, -2.0));
/// let loaded = combined(&[tool, part], DVec3::new(0.0, 0.0, 150.0));
/// assert_eq!(loaded.mass, 16.0); // kg
/// assert!((loaded.centre.x - 12.0 * 50.0 / 16.0).abs() < 1e-12); // mm
/// ```
pub fn combined(bodies: &[Body], about: DVec3) -> Carried {
    let mass: f64 = bodies.iter().map(|body| body.mass).sum();
    let moment: DVec3 = bodies.iter().map(|body| body.mass * (body.centre - about)).sum();
    let centre = if mass == 0.0 { DVec3::ZERO } else { moment / mass };
    // Both are summed from the bodies: moving one to the other would take a difference of large numbers.
    let inertia_from = |point: DVec3| {
        bodies.iter().fold(DMat3::ZERO, |sum, body| {
            sum + body.inertia + point_inertia(body.mass, body.centre - about - point)
        })
    };
    Carried { mass, centre, inertia: inertia_from(DVec3::ZERO), inertia_at_centre: inertia_from(centre) }
}

/// Inertia of a point mass at `r` from the point asked about.
fn point_inertia(mass: f64, r: DVec3) -> DMat3 {
    let outer = DMat3::from_cols(r * r.x, r * r.y, r * r.z);
    (DMat3::from_diagonal(DVec3::splat(r.length_squared())) - outer) * mass
}

impl Body {
    /// A mass without extent.
    ///
    /// # Units
    /// kg, mm.
    pub fn point(mass: f64, centre: DVec3) -> Self {
        Self { mass, centre, inertia: DMat3::ZERO }
    }

    /// An even block with sides along the axes.
    ///
    /// # Units
    /// kg, mm.
    ///
    /// # Source
    /// m (b² + c²)/12; any table of moments of inertia.
    pub fn block(mass: f64, centre: DVec3, size: DVec3) -> Self {
        let square = size * size;
        let about = DVec3::new(square.y + square.z, square.x + square.z, square.x + square.y);
        Self { mass, centre, inertia: DMat3::from_diagonal(about * (mass / 12.0)) }
    }

    /// Bodies joined into one with its centre of gravity in the same frame.
    pub fn joined(bodies: &[Self]) -> Self {
        let all = combined(bodies, DVec3::ZERO);
        Self { mass: all.mass, centre: all.centre, inertia: all.inertia_at_centre }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn near(a: DMat3, b: DMat3) -> bool {
        let size = a.to_cols_array().iter().fold(1.0, |most: f64, v| most.max(v.abs()));
        a.to_cols_array().iter().zip(b.to_cols_array()).all(|(a, b)| (a - b).abs() < 1e-9 * size)
    }

    #[test]
    fn a_block_is_its_halves() {
        let whole = Body::block(6.0, DVec3::new(10.0, 20.0, 30.0), DVec3::new(200.0, 80.0, 40.0));
        let half = |x: f64| Body::block(3.0, DVec3::new(x, 20.0, 30.0), DVec3::new(100.0, 80.0, 40.0));
        let joined = Body::joined(&[half(-40.0), half(60.0)]);
        assert_eq!((joined.mass, joined.centre), (6.0, whole.centre));
        assert!(near(joined.inertia, whole.inertia));
        // 6 kg · (80² + 40²)/12 about x.
        assert!((whole.inertia.x_axis.x - 4000.0).abs() < 1e-9);
    }

    #[test]
    fn two_points_make_a_dumb_bell_with_products_of_inertia() {
        let bodies =
            [Body::point(2.0, DVec3::new(30.0, 40.0, 0.0)), Body::point(2.0, DVec3::new(-30.0, -40.0, 0.0))];
        let all = combined(&bodies, DVec3::ZERO);
        // I_xy = -Σ m x y.
        assert!((all.inertia.x_axis.y + 2.0 * 2.0 * 30.0 * 40.0).abs() < 1e-9);
        assert_eq!(all.inertia.x_axis.y, all.inertia.y_axis.x);
        assert_eq!(all.centre, DVec3::ZERO);
    }

    #[test]
    fn nothing_is_carried_at_the_flange() {
        for bodies in [&[][..], &[Body::point(0.0, DVec3::ONE)]] {
            let none = combined(bodies, DVec3::new(5.0, 0.0, 0.0));
            assert_eq!((none.mass, none.centre, none.inertia), (0.0, DVec3::ZERO, DMat3::ZERO));
        }
    }

    fn place() -> impl Strategy<Value = DVec3> {
        [-500.0..500.0f64, -500.0..500.0f64, -500.0..500.0f64].prop_map(DVec3::from_array)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn inertia_moves_by_parallel_axes_and_grouping_changes_nothing(
            masses in [0.1..20.0f64, 0.1..20.0f64, 0.1..20.0f64], at in [place(), place(), place()],
            size in place(), about in place(),
        ) {
            let bodies = [
                Body::block(masses[0], at[0], size.abs()),
                Body::block(masses[1], at[1], DVec3::new(60.0, 60.0, 200.0)),
                Body::point(masses[2], at[2]),
            ];
            let all = combined(&bodies, about);
            let moved = all.inertia_at_centre + point_inertia(all.mass, all.centre);
            prop_assert!(near(moved, all.inertia));
            let grouped = combined(&[Body::joined(&bodies[..2]), bodies[2]], about);
            prop_assert!(near(grouped.inertia, all.inertia) && near(grouped.inertia_at_centre, all.inertia_at_centre));
            prop_assert!((grouped.centre - all.centre).length() < 1e-9 * 1000.0);
        }
    }
}
