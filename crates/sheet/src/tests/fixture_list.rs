//! Every layout that the sheet must print well.

use super::fixture_report::add_slow;
use super::fixtures::{Fixture, circle, failing, finding, fixture, rectangle, tray, whole};
use analysis::Severity;
use geometry::{LipShape, Outline};
use std::sync::Arc;

fn grid(nx: usize, ny: usize, from: (f64, f64), step: (f64, f64)) -> Vec<(f64, f64, &'static str)> {
    (0..nx * ny)
        .map(|i| {
            let (x, y) = ((i % nx) as f64, (i / nx) as f64);
            (from.0 + x * step.0, from.1 + y * step.1, if i % nx < nx / 2 { "A" } else { "B" })
        })
        .collect()
}

/// Every layout that the sheet must print well.
pub(crate) fn all() -> Vec<Fixture> {
    let plate = |w: f64, h: f64| Outline { outer: rectangle(0.0, 0.0, w, h), holes: Vec::new() };
    let round = |diameter: f64| LipShape::Round { diameter };
    let crowded = fixture(
        "Forty on a small plate",
        plate(200.0, 130.0),
        &[],
        round(20.0),
        &grid(8, 5, (14.0, 13.0), (24.5, 26.0)),
    );
    let many = fixture(
        "Panel of 120",
        plate(1500.0, 1000.0),
        &[],
        round(40.0),
        &grid(12, 10, (60.0, 50.0), (125.0, 100.0)),
    );
    let scattered: Vec<(f64, f64, &str)> = (0..100)
        .map(|i| {
            let i = f64::from(i);
            (60.0 + (i * 367.13) % 1380.0, 60.0 + (i * 211.7) % 880.0, "")
        })
        .collect();
    let mut scattered = fixture("A hundred scattered", plate(1500.0, 1000.0), &[], round(30.0), &scattered);
    scattered.report.findings = (0..60)
        .map(|i| {
            finding(
                if i % 3 == 0 { Severity::Fail } else { Severity::Advice },
                &format!("C{} lies closer to its neighbour than the watch limit asks for.", i + 1),
                "Move it by (3.2, 0.0) mm.",
                None,
            )
        })
        .collect();
    let mut narrow = fixture(
        "Long narrow profile",
        plate(3000.0, 80.0),
        &[],
        LipShape::Long { length: 90.0, width: 40.0 },
        &[
            (150.0, 40.0, "A"),
            (900.0, 40.0, "A"),
            (1500.0, 40.0, "A"),
            (2100.0, 40.0, "B"),
            (2850.0, 40.0, "B"),
        ],
    );
    let turned = Arc::make_mut(&mut narrow.project.layouts[0]);
    turned.cups[2].turn_deg = 30.0;
    narrow.report.cups[2].turn_deg = 30.0;
    let tiny = fixture(
        "Tiny clip",
        Outline { outer: circle(0.0, 0.0, 10.0), holes: vec![circle(0.0, 0.0, 2.0)] },
        &[],
        round(4.0),
        &[(6.0, 0.0, ""), (-3.0, 5.2, ""), (-3.0, -5.2, "")],
    );
    let mut long_words = tray();
    long_words.name = "long words";
    let title = "Pick-and-place tool for the tray blank of the second line, left hand, third rebuild after the \
                 spring trials, to be read together with the fixture drawing and the pneumatic plan of hall 4";
    long_words.project.name = title.to_owned();
    long_words.project.sheet.title = title.to_owned();
    long_words.project.sheet.owner =
        "Invented Tooling Works and Sons, Special Machines Division, Hall 4".to_owned();
    long_words.project.sheet.number = "TB-0003-L-2026-HALL4-LEFT-REBUILD-3".to_owned();
    long_words.project.sheet.created_by = "Maximiliana Featherstonehaugh-Cholmondeley".to_owned();
    for cup in &mut long_words.report.cups {
        cup.zone = "north manifold".to_owned();
        cup.model =
            "round 50, one and a half folds, soft lip, with filter and a very long description".to_owned();
    }
    long_words.report.cups[1].tag = "station-7/left-upper".to_owned();
    long_words.report.motions[0].name =
        "Level lift out of the deep drawn nest with the stripper still engaged".to_owned();
    let mut far = fixture(
        "Far datum",
        Outline { outer: rectangle(10_000.0, -5_000.0, 10_400.0, -4_800.0), holes: Vec::new() },
        &[],
        round(40.0),
        &[(10_050.0, -4_950.0, "A"), (10_350.0, -4_850.0, "A")],
    );
    far.report.cups[1].turn_deg = 45.0;
    let centred = fixture(
        "Centred disc",
        Outline { outer: circle(0.0, 0.0, 300.0), holes: vec![circle(0.0, 0.0, 60.0)] },
        &[("seam", rectangle(-250.0, -15.0, -80.0, 15.0))],
        LipShape::Rectangle { length: 80.0, width: 50.0, corner: 10.0 },
        &[(0.0, 200.0, "A"), (190.0, -60.0, "A"), (-150.0, -120.0, "A")],
    );
    let mut odd = tray();
    odd.name = "odd letters";
    odd.project.name = "Ø 40 ⌀ 50 µ ≥ ≤ 東京 \u{1F600}\tTab\nline – m/s² °".to_owned();
    odd.project.sheet.title.clear();
    add_slow(&mut narrow.report);
    let mut many = many;
    add_slow(&mut many.report);
    vec![tray(), failing(), crowded, many, scattered, narrow, tiny, long_words, far, centred, odd, whole()]
}
