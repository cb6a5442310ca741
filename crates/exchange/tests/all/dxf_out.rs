//! Layouts written as DXF and read back.

use document::{
    Attached, AttachedId, CircuitId, Cup, CupId, FrameId, FramePiece, FrameShape, KeepOut, KeepOutId, Part,
    PartId, Project, Tool,
};
use exchange::{DxfOptions, DxfVersion, ImportOptions, layout_dxf, read_drawing_bytes};
use geometry::{Loop, Outline, Vertex};
use glam::{DVec2, DVec3};
use proptest::prelude::*;
use std::path::PathBuf;
use std::sync::Arc;

const VERSIONS: [DxfVersion; 2] = [DxfVersion::R12, DxfVersion::R2000];

fn written(project: &Project, version: DxfVersion) -> String {
    let layout = project.layouts[0].id;
    // The verdict is all that is taken from a report, and without motions that is quick.
    let report = analysis::Analyst::new().check(&Project { motions: Vec::new(), ..project.clone() }, layout);
    layout_dxf(project, &report, layout, &DxfOptions { version, ..DxfOptions::default() }).expect("a layout")
}

/// Furthest that a corner or the middle of a piece of `a` lies from `b`.
fn off(a: &Loop, b: &Loop) -> f64 {
    let points = a.segments().flat_map(|s| [s.start(), s.point_at(0.5)]);
    points.filter_map(|p| b.nearest_point(p)).map(|near| near.1).fold(0.0, f64::max)
}

fn apart(a: &Loop, b: &Loop) -> f64 {
    off(a, b).max(off(b, a))
}

fn assert_same(read: &Outline, kept: &Outline, name: &str) {
    assert!(
        apart(&read.outer, &kept.outer) < 1e-6,
        "{name}: outer {} mm off",
        apart(&read.outer, &kept.outer)
    );
    assert_eq!(read.holes.len(), kept.holes.len(), "{name}");
    for hole in &kept.holes {
        let nearest = read.holes.iter().map(|h| apart(h, hole)).fold(f64::MAX, f64::min);
        assert!(nearest < 1e-6, "{name}: a hole is {nearest} mm off");
    }
}

#[test]
fn an_approval_of_what_fails_stands_in_red_on_a_layer_of_its_own() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects/tray-blank.ron");
    let (mut project, _) = document::open(&path).expect("a project");
    project.sheet.approved_by = "B. Checker".to_owned();
    let layout = project.layouts[0].clone();
    let to = vec![(layout.cups[0].id, DVec2::new(2.0, 2.0))];
    let broken = document::Edit::MoveCups { layout: layout.id, to }.apply(&project).expect("a move");
    let of = |project: &Project, version| {
        let report = analysis::Analyst::new().check(project, layout.id);
        let options = DxfOptions { version, ..DxfOptions::default() };
        layout_dxf(project, &report, layout.id, &options).expect("a layout")
    };
    for version in VERSIONS {
        assert!(!of(&project, version).contains("OPEN FAILURES"));
        let text = of(&broken, version);
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        assert!(lines.contains(&"APPROVED WITH OPEN FAILURES"), "{version:?}");
        assert!(text.contains("approved by B. Checker; "));
        // The layer's record gives its colour, 1, which is red, after its name and flags.
        let layer = lines
            .windows(8)
            .any(|w| w[0] == "2" && w[1] == "STATUS" && w.windows(2).any(|p| p == ["62", "1"]));
        assert!(layer, "{version:?}");
    }
}

#[test]
fn every_demo_comes_back_with_its_outline_and_keep_outs() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|e| e != "ron") {
            continue;
        }
        seen += 1;
        let (project, _) = document::open(&path).expect("a project");
        for version in VERSIONS {
            let name = format!("{}, {version:?}", path.display());
            let text = written(&project, version);
            assert!(text.is_ascii(), "{name}");
            let back = read_drawing_bytes("layout.dxf", text.as_bytes(), &ImportOptions::default())
                .expect("a drawing");
            assert_eq!(back.parts.len(), 1, "{name}");
            assert_eq!(back.unit_from, exchange::UnitFrom::File);
            assert_same(&back.parts[0].outline, &project.parts[0].outline, &name);
            let keep_outs = &back.parts[0].keep_outs;
            assert_eq!(keep_outs.len(), project.parts[0].keep_outs.len(), "{name}");
            for kept in &project.parts[0].keep_outs {
                let same = keep_outs.iter().find(|k| apart(&k.area, &kept.area) < 1e-6);
                assert_eq!(same.map(|k| k.name.as_str()), Some(kept.name.trim()), "{name}");
            }
        }
    }
    assert!(seen >= 5);
}

/// A star of lines and arcs with a slot, a disc and a keep-out, cups of every shape in three zones, rails and a plate.
fn full_project(radii: &[f64], bulges: &[f64], shift: DVec2, turn: f64) -> Project {
    let n = radii.len();
    let corner = |i: usize| DVec2::from_angle(i as f64 * std::f64::consts::TAU / n as f64) * radii[i];
    let outer = Loop { vertices: (0..n).map(|i| Vertex { at: corner(i), bulge: bulges[i] }).collect() };
    let holes =
        vec![Loop::slot(DVec2::new(40.0, 10.0), 60.0, 20.0, 0.4), Loop::circle(DVec2::new(-60.0, 5.0), 12.5)];
    let outline = Outline { outer, holes }.transformed(turn, false, shift);
    let area = Loop::rounded_rectangle(DVec2::new(-20.0, -70.0), DVec2::new(30.0, -40.0), 5.0)
        .transformed(turn, false, shift);
    let mut part = Part::from_outline(PartId(1), "Star \u{2014} \"blank\"", Arc::new(outline));
    part.keep_outs = vec![KeepOut { id: KeepOutId(2), name: "Seam".into(), area: Arc::new(area) }];
    let mut project = Project::new("Full", part);
    project.models = document::library().to_vec();
    Arc::make_mut(&mut project.models[0]).drill_mm = Some(4.2);
    let circuit: CircuitId = project.circuits[0].id;
    let mut layout = (*project.layouts[0]).clone();
    layout.cups = project
        .models
        .iter()
        .enumerate()
        .map(|(i, model)| Cup {
            id: CupId(900 + i as u32),
            tag: format!("C{i}"),
            model: model.id.clone(),
            at: shift + DVec2::new(i as f64 * 17.0 - 100.0, (i % 3) as f64 * 40.0),
            turn_deg: 30.0 * i as f64,
            height_mm: 0.0,
            circuit,
            zone: [
                "",
                "left / \u{e4}",
                "left - ?",
                "a zone with a name that is longer than a layer may be named",
            ][i % 4]
                .into(),
            locked: false,
        })
        .collect();
    let piece = |id: u32, shape: FrameShape| FramePiece {
        id: FrameId(id),
        name: format!("Rail {id}"),
        at: shift,
        turn_deg: 12.5,
        height_mm: 80.0,
        shape,
    };
    let rail =
        FrameShape::Rail { length_mm: 600.0, width_mm: 40.0, pitch_mm: 25.0, first_mm: 12.5, kg_m: 1.6 };
    let open = FrameShape::Rail { length_mm: 300.0, width_mm: 30.0, pitch_mm: 0.0, first_mm: 0.0, kg_m: 1.0 };
    let plate = FrameShape::Plate {
        length_mm: 200.0,
        width_mm: 100.0,
        pitch_mm: DVec2::splat(20.0),
        first_mm: DVec2::splat(10.0),
        kg_m2: 16.0,
    };
    let fitting = Attached {
        id: AttachedId(700),
        name: "Valve".into(),
        mass_kg: 0.4,
        at: DVec3::ZERO,
        size: DVec3::ZERO,
        turn_deg: 0.0,
    };
    layout.tool = Arc::new(Tool {
        flange: DVec3::new(10.0, 20.0, 150.0),
        masses: vec![fitting],
        frame: vec![piece(701, rail), piece(702, open), piece(703, plate)],
    });
    project.last_id = 2000;
    project.layouts[0] = Arc::new(layout);
    project
}

fn shape() -> impl Strategy<Value = (Vec<f64>, Vec<f64>, f64, f64, f64)> {
    (4usize..12).prop_flat_map(|n| {
        let bulge = prop_oneof![Just(0.0), -0.15f64..-0.02, 0.02f64..0.15];
        let (radii, bulges) = (prop::collection::vec(200f64..300.0, n), prop::collection::vec(bulge, n));
        (radii, bulges, -5e3f64..5e3, -5e3f64..5e3, -3.2f64..3.2)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// Whatever the outline, it comes back with its holes and keep-outs and nothing of the tool.
    #[test]
    fn any_layout_comes_back((radii, bulges, x, y, turn) in shape(), modern in any::<bool>()) {
        let project = full_project(&radii, &bulges, DVec2::new(x, y), turn);
        let text = written(&project, VERSIONS[usize::from(modern)]);
        let back = read_drawing_bytes("a.dxf", text.as_bytes(), &ImportOptions::default())
            .map_err(|e| TestCaseError::fail(e.to_string()))?;
        prop_assert_eq!(back.parts.len(), 1);
        assert_same(&back.parts[0].outline, &project.parts[0].outline, "random");
        prop_assert_eq!(back.parts[0].keep_outs.len(), 1);
        prop_assert!(apart(&back.parts[0].keep_outs[0].area, &project.parts[0].keep_outs[0].area) < 1e-6);
    }
}

/// Codes and values of a file.
fn pairs(text: &str) -> Vec<(&str, &str)> {
    let lines: Vec<&str> = text.lines().collect();
    lines.chunks(2).map(|c| (c[0].trim(), c[1])).collect()
}

#[test]
fn layers_hold_what_they_are_named_for() {
    let project = full_project(&[250.0; 6], &[0.1, 0.0, -0.1, 0.0, 0.0, 0.1], DVec2::ZERO, 0.0);
    let models = &project.models;
    let round = models.iter().filter(|m| matches!(m.shape, geometry::LipShape::Round { .. })).count();
    for version in VERSIONS {
        let text = written(&project, version);
        let mut found: Vec<(&str, &str)> = Vec::new();
        let mut kind = "";
        for (code, value) in pairs(&text) {
            if code == "0" {
                kind = value;
            } else if code == "8" && !matches!(kind, "VERTEX" | "SEQEND" | "BLOCK" | "ENDBLK") {
                found.push((value, kind));
            }
        }
        let count = |layer: &str, kind: &str| found.iter().filter(|f| **f == (layer, kind)).count();
        let closed = if version == DxfVersion::R12 { "POLYLINE" } else { "LWPOLYLINE" };
        assert_eq!((count("PART", closed), count("HOLE", closed), count("HOLE", "CIRCLE")), (1, 1, 1));
        assert_eq!((count("KEEPOUT", closed), count("KEEPOUT", "TEXT")), (1, 1));
        assert_eq!(count("LIP", "CIRCLE"), round);
        assert_eq!(count("LIP", closed), models.len() - round);
        // Nothing is drilled to the cup's bore; what is to be drilled is drawn where the model states it.
        assert_eq!((count("DRILL", "CIRCLE"), count("THREAD", "TEXT")), (1, models.len()));
        assert_eq!(count("CENTRE", "LINE"), 2 * models.len());
        assert_eq!(count("TEXT", "TEXT"), models.len());
        assert_eq!(count("FRAME", closed), 3);
        assert!(count("FLANGE", "CIRCLE") == 1 && count("DATUM", "CIRCLE") == 1);
        assert!(count("DIM", "TEXT") > 10 && count("BORDER", closed) == 1);
        // Every zone has its own layer, told apart even where their names come to the same letters.
        let zones: std::collections::BTreeSet<&str> =
            found.iter().map(|f| f.0).filter(|l| l.starts_with("ZONE_")).collect();
        assert_eq!(zones.len(), 4, "{zones:?}");
        assert!(zones.contains("ZONE_NONE") && zones.iter().all(|z| z.len() <= 31), "{zones:?}");
        // Every cup is one insert of its model's block on the layer of its zone, and no lip is drawn twice.
        let inserts: usize = zones.iter().map(|z| count(z, "INSERT")).sum();
        assert_eq!(inserts, models.len());
        let doubled: usize = zones.iter().map(|z| count(z, "CIRCLE") + count(z, closed)).sum();
        assert_eq!(doubled, 0);
        assert!(text.contains("Star \\U+2014 \"blank\""));
        // Without a view of dimensions there are none.
        let layout = project.layouts[0].id;
        let still = Project { motions: Vec::new(), ..project.clone() };
        let report = analysis::Analyst::new().check(&still, layout);
        let bare = layout_dxf(&project, &report, layout, &DxfOptions { version, dimensions: false })
            .expect("a layout");
        assert!(!bare.contains("\nDIM\n"));
        assert!(layout_dxf(&project, &report, document::LayoutId(999_999), &DxfOptions::default()).is_none());
    }
}

#[test]
fn the_drawing_has_its_origin_at_the_datum_and_says_what_that_lies_on() {
    let plate = Part::rectangle(PartId(1), "Plate", 400.0, 250.0);
    let holes = vec![Loop::circle(DVec2::new(25.0, 225.0), 6.0)];
    let outline = Outline { outer: plate.outline.outer.clone(), holes };
    let datum = document::Datum::near(&outline, DVec2::new(24.0, 224.0), 5.0);
    let part = Part { outline: Arc::new(outline), datum, ..plate };
    let project = Project::new("Plate", part.clone());
    for version in VERSIONS {
        let text = written(&project, version);
        assert!(text.contains("in the centre of the hole of"), "{version:?}");
        let back = read_drawing_bytes("layout.dxf", text.as_bytes(), &ImportOptions::default()).unwrap();
        assert_same(&back.parts[0].outline, &part.outline.transformed(0.0, false, -part.datum_at()), "plate");
    }
}
