//! A layout with motions to measure on.

use glam::{DMat3, DVec2, DVec3};
use mechanics::{Body, CupSpring, Instant, LipStrength, LoadCase, Sweep, gravity_when_tilted};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

pub struct Job {
    pub body: Body,
    pub springs: Vec<CupSpring>,
    pub lips: Vec<LipStrength>,
    pub cases: Vec<LoadCase>,
}

/// Cups of three sizes on a grid that is not quite regular, round and long by turns; motions that all sweep.
pub fn job(cups: usize, motions: usize, swept: bool) -> Job {
    let columns = (cups as f64).sqrt().ceil() as usize;
    let mut springs = Vec::new();
    let mut lips = Vec::new();
    for i in 0..cups {
        let (column, row) = ((i % columns) as f64, (i / columns) as f64);
        let wobble = DVec2::new((i as f64 * 1.7).sin(), (i as f64 * 2.3).cos()) * 8.0;
        let at = DVec2::new(column, row) * 120.0 + wobble;
        let radius = [15.0, 20.0, 25.0][i % 3];
        let straight = if i % 4 == 0 { 2.0 * radius } else { 0.0 };
        let (line, shape) = lip(radius, straight);
        let turn = i as f64 * 0.3;
        springs.push(CupSpring::along_lip(at, turn, 20.0, 12.0, &line, 1.0));
        lips.push(LipStrength {
            vacuum_force: 0.06 * line.area,
            line,
            turn,
            shape,
            friction: 0.5,
            slide_share: 0.9,
            seal_minimum: 0.02,
        });
    }
    let size = 120.0 * columns as f64;
    let mass = 0.8 * cups as f64;
    let inertia = DMat3::from_diagonal(DVec3::new(1.0, 1.0, 2.0) * mass * size * size / 12.0);
    let body = Body { mass, centre: DVec3::new(0.47 * size, 0.45 * size, -1.5), inertia };
    let level = DVec3::new(0.0, 0.0, -9.80665);
    let cases = (0..motions)
        .map(|i| {
            let a = 1.0 + 0.4 * i as f64;
            let none = DVec3::ZERO;
            let turning =
                Instant { turn_acceleration: DVec3::new(0.0, 0.0, 0.2 * a), ..Instant::still(level) };
            let sweep = match i % 3 {
                // Carry in the worst direction.
                0 => Sweep {
                    gravity_along: none,
                    gravity_across: none,
                    acceleration_along: DVec3::new(a, 0.0, 0.0),
                    acceleration_across: DVec3::new(0.0, a, 0.0),
                    from: 0.0,
                    to: TAU,
                },
                // On edge, the lowest side any.
                1 => Sweep {
                    gravity_along: gravity_when_tilted(9.80665, FRAC_PI_2, 0.0),
                    gravity_across: gravity_when_tilted(9.80665, FRAC_PI_2, FRAC_PI_2),
                    acceleration_along: none,
                    acceleration_across: none,
                    from: 0.0,
                    to: TAU,
                },
                // Every tilt up to on edge.
                _ => Sweep {
                    gravity_along: level,
                    gravity_across: gravity_when_tilted(9.80665, FRAC_PI_2, 0.4),
                    acceleration_along: none,
                    acceleration_across: none,
                    from: 0.0,
                    to: FRAC_PI_2,
                },
            };
            let fixed = if i % 3 == 0 { turning } else { Instant { gravity: none, ..turning } };
            LoadCase { sweep: swept.then_some(sweep), ..LoadCase::single(fixed) }
        })
        .collect();
    Job { body, springs, lips, cases }
}

/// Two half circles and straights.
fn lip(r: f64, straight: f64) -> (geometry::LipLine, geometry::LipShape) {
    let half = straight / 2.0;
    let length = TAU * r + 2.0 * straight;
    let ix = PI * r.powi(3) + 2.0 * straight * r * r;
    let iy = PI * r.powi(3) + 8.0 * half * r * r + PI * r * 2.0 * half * half + straight.powi(3) / 6.0;
    let shape = if straight > 0.0 {
        geometry::LipShape::Long { length: 2.0 * r + straight, width: 2.0 * r }
    } else {
        geometry::LipShape::Round { diameter: 2.0 * r }
    };
    let geometry::LipLine { mean_radius, radius_across, .. } = shape.line();
    let line = geometry::LipLine {
        length,
        area: PI * r * r + 2.0 * r * straight,
        ix,
        iy,
        mean_radius,
        radius_across,
        half_length: r + half,
        half_width: r,
    };
    (line, shape)
}
