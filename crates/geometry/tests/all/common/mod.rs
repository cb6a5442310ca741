//! Shapes the property tests share.
#![allow(dead_code, reason = "each test file uses its own part")]

use geometry::{Lip, LipShape, Loop, Outline};
use glam::DVec2;
use proptest::prelude::*;

pub fn v(x: f64, y: f64) -> DVec2 {
    DVec2::new(x, y)
}

/// A plate 400 x 300 with a notch, a round hole, a slot and a keep-out that straddles the edge.
pub fn plate() -> (Outline, Vec<Loop>) {
    let outer = Loop::angle_piece(v(0.0, 0.0), v(400.0, 300.0), v(120.0, 90.0))
        .with_corner_rounded(0, 40.0)
        .unwrap_or_default()
        .with_corner_rounded(4, 20.0)
        .unwrap_or_default();
    let holes = vec![
        Loop::circle(v(120.0, 120.0), 25.0),
        Loop::slot(v(250.0, 90.0), 90.0, 30.0, 0.5).reversed(),
        Loop::circle(v(60.0, 240.0), 3.0),
    ];
    let keep_outs =
        vec![Loop::rectangle(v(380.0, 100.0), v(420.0, 140.0)), Loop::regular(v(180.0, 220.0), 30.0, 6, 0.2)];
    (Outline { outer, holes }, keep_outs)
}

pub fn shape() -> impl Strategy<Value = LipShape> {
    prop_oneof![
        (2.0..80.0).prop_map(|diameter| LipShape::Round { diameter }),
        (2.0..120.0, 2.0..60.0).prop_map(|(length, width)| LipShape::Long { length, width }),
        (2.0..120.0, 2.0..80.0, 0.0..20.0).prop_map(|(length, width, corner)| LipShape::Rectangle {
            length,
            width,
            corner
        }),
    ]
}

pub fn lip() -> impl Strategy<Value = Lip> {
    (shape(), -60.0..460.0, -60.0..360.0, -7.0..7.0).prop_map(|(shape, x, y, turn)| Lip {
        shape,
        at: v(x, y),
        turn,
    })
}

/// A star-shaped loop of lines and bulges that does not cross itself.
pub fn blob() -> impl Strategy<Value = Loop> {
    prop::collection::vec((40.0..100.0, -0.15..0.15), 4..14).prop_map(|corners| {
        let count = corners.len() as f64;
        let vertices = corners
            .iter()
            .enumerate()
            .map(|(i, (radius, bulge))| geometry::Vertex {
                at: *radius * DVec2::from_angle(i as f64 * std::f64::consts::TAU / count),
                bulge: *bulge,
            })
            .collect();
        Loop { vertices }
    })
}
