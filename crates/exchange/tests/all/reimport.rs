//! Newer drawings under cups that are placed, and lists of a layout.

use document::{Cup, CupId, FrameId, FramePiece, KeepOut, KeepOutId, Part, PartId, Project, Tool};
use exchange::{
    ImportOptions, compare_outline, findings_csv, parts_list_csv, placed_lips, read_drawing_bytes,
    reimport_edit,
};
use geometry::{Loop, Outline};
use glam::DVec2;
use std::sync::Arc;

fn project() -> Project {
    let mut part = Part::rectangle(PartId(1), "Blank", 600.0, 400.0);
    let hole = Loop::circle(DVec2::new(300.0, 200.0), 30.0);
    part.outline = Arc::new(Outline { outer: part.outline.outer.clone(), holes: vec![hole] });
    let area = Arc::new(Loop::rectangle(DVec2::new(540.0, 20.0), DVec2::new(590.0, 60.0)));
    part.keep_outs = vec![KeepOut { id: KeepOutId(2), name: "Label".into(), area }];
    let mut project = Project::new("Line 2", part);
    let model =
        document::library().iter().find(|m| &*m.id.0 == "round-60-flat-medium").expect("a model").clone();
    let mut layout = (*project.layouts[0]).clone();
    let cup = |i: u32, x: f64, y: f64, height: f64| Cup {
        id: CupId(100 + i),
        tag: format!("C{i}"),
        model: model.id.clone(),
        at: DVec2::new(x, y),
        turn_deg: 0.0,
        height_mm: height,
        circuit: project.circuits[0].id,
        zone: "A".into(),
        locked: false,
    };
    layout.cups = vec![
        cup(1, 60.0, 60.0, 0.0),
        cup(2, 540.0, 340.0, 20.0),
        cup(3, 60.0, 340.0, 0.0),
        cup(4, 300.0, 110.0, 20.0),
        cup(5, 450.0, 60.0, 20.0),
        cup(6, 180.0, 340.0, 0.0),
    ];
    let rail = |id: u32, y: f64| {
        FramePiece::rail(FrameId(id), &format!("Rail {id}"), DVec2::new(0.0, y), 600.0, 0.0)
    };
    layout.tool = Arc::new(Tool { frame: vec![rail(201, 60.0), rail(202, 340.0)], ..Tool::default() });
    project.models = vec![model];
    project.layouts[0] = Arc::new(layout);
    project.last_id = 300;
    project
}

#[test]
fn the_same_outline_otherwise_drawn_is_the_same() {
    let project = project();
    let part = &project.parts[0];
    let lips = placed_lips(&project, part.id);
    assert_eq!(lips.len(), 6);
    // From another corner, the other way round, the disc in four quarters.
    let mut vertices = part.outline.outer.reversed().vertices;
    vertices.rotate_left(2);
    let quarter = |i: i32| geometry::Vertex {
        at: DVec2::new(300.0, 200.0) + 30.0 * DVec2::from_angle(f64::from(i) * std::f64::consts::FRAC_PI_2),
        bulge: (std::f64::consts::FRAC_PI_8).tan(),
    };
    let again =
        Outline { outer: Loop { vertices }, holes: vec![Loop { vertices: (0..4).map(quarter).collect() }] };
    let same = compare_outline(part, &again, &lips);
    assert!(!same.outline_changed && same.moved_under.is_empty() && same.shifted.is_none());
    assert!(same.holes_gone.is_empty() && same.holes_new.is_empty() && same.left_behind.is_empty());
    // From another origin.
    let by = DVec2::new(-25.4, 3.0);
    let moved = compare_outline(part, &again.transformed(0.0, false, by), &lips);
    assert!(moved.shifted.is_some_and(|s| s.distance(by) < 1e-9), "{moved:?}");
    assert_eq!(
        moved.sentence(&units::UnitChoice::default()),
        "the outline is the same, moved by (\u{2212}25.4, 3) mm"
    );
}

#[test]
fn a_shorter_plate_with_a_moved_hole_lists_what_moved_under_the_cups() {
    let project = project();
    let part = &project.parts[0];
    let new = Outline {
        outer: Loop::rectangle(DVec2::ZERO, DVec2::new(530.0, 400.0)),
        holes: vec![Loop::circle(DVec2::new(300.0, 120.0), 30.0)],
    };
    let change = compare_outline(part, &new, &placed_lips(&project, part.id));
    assert!(change.outline_changed && change.shifted.is_none());
    assert_eq!((change.holes_gone.as_slice(), change.holes_new.as_slice()), ([0].as_slice(), [0].as_slice()));
    let tags: Vec<(&str, bool, bool)> =
        change.moved_under.iter().map(|m| (m.of.tag.as_str(), m.landed(), m.lands())).collect();
    // C1, C3 and C6 stand by edges that stayed; C5 by the end that came nearer, and the label that stays.
    assert_eq!(tags[..2], [("C4", true, false), ("C2", true, false)]);
    let c2 = &change.moved_under[1];
    // 600 - 540 - 30 before; the centre lies 10 mm outside the new edge, so 10 + 30 mm over it.
    assert!((c2.before.expect("a figure").distance - 30.0).abs() < 1e-9);
    assert!((c2.after.expect("a figure").distance + 40.0).abs() < 1e-9);
    assert!(change.moved_under.iter().all(|m| !matches!(m.of.tag.as_str(), "C1" | "C3" | "C6")));
    let area = 600.0 * 400.0 - std::f64::consts::PI * 900.0;
    assert!((change.area_mm2[0] - area).abs() < 1e-6 && (change.area_mm2[1] - area + 28_000.0).abs() < 1e-6);
    assert!((change.mass_kg[1] / change.mass_kg[0] - change.area_mm2[1] / change.area_mm2[0]).abs() < 1e-12);
    let behind: Vec<&str> = change.left_behind.iter().map(|k| k.name.as_str()).collect();
    assert_eq!(behind, ["Label"]);
    assert!(
        change.sentence(&units::UnitChoice::default()).ends_with("2 cups no longer land"),
        "{}",
        change.sentence(&units::UnitChoice::default())
    );
}

#[test]
fn the_edit_keeps_everything_but_outline_and_origin() {
    let project = project();
    let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="300mm" viewBox="0 0 600 300">
        <rect x="0" y="0" width="580" height="300"/></svg>"#;
    let drawing = read_drawing_bytes("blank-c.svg", svg, &ImportOptions::default()).expect("a drawing");
    let shift = DVec2::new(5.0, 0.0);
    let edit = reimport_edit(&project, PartId(1), &drawing, &drawing.parts[0], shift).expect("an edit");
    assert_eq!(edit.name(&project), "Replace the outline of Blank from blank-c.svg");
    let after = edit.apply(&project).expect("applies");
    assert_eq!(after.layouts, project.layouts);
    let (old, new) = (&project.parts[0], &after.parts[0]);
    assert_eq!((&new.keep_outs, &new.attached, &new.mass), (&old.keep_outs, &old.attached, &old.mass));
    assert!((new.outline.bounds().expect("bounds").min.x - 5.0).abs() < 1e-6);
    assert_eq!(
        new.drawing.as_ref().map(|d| (d.file_name.as_str(), d.unit.as_str())),
        Some(("blank-c.svg", "mm"))
    );
    assert!(reimport_edit(&project, PartId(77), &drawing, &drawing.parts[0], shift).is_none());
}

#[test]
fn parts_list_and_findings_are_read_back_by_a_csv_reader() {
    let mut project = project();
    project.parts[0] = Arc::new(Part { name: "Blank, \"b\"".into(), ..(*project.parts[0]).clone() });
    let layout = project.layouts[0].id;
    let rows = |text: &str| -> Vec<csv::StringRecord> {
        let all = csv::Reader::from_reader(text.as_bytes()).into_records().map(|r| r.expect("a row"));
        all.filter(|row| !row[0].starts_with("# ")).collect()
    };
    let report = analysis::Analyst::new().check(&project, layout);
    let list = rows(&parts_list_csv(&project, &report));
    let brief: Vec<(&str, &str)> = list.iter().map(|r| (&r[0], &r[1])).collect();
    assert_eq!(brief, [("6", "suction cup"), ("3", "post"), ("2", "rail")]);
    let cup = &list[0];
    assert_eq!((&cup[3], &cup[6], &cup[7], &cup[8]), ("60.000", "5.000", "G1/4", "nitrile rubber"));
    // Six cups of 22 g, and a spare for every five begun.
    assert_eq!((&cup[9], &cup[10], &cup[11], &cup[12]), ("0.0220", "0.1320", "2", "C1 C2 C3 C4 C5 C6"));
    assert_eq!((&list[1][3], &list[1][12]), ("20.000", "C2 C4 C5"));
    assert_eq!((&list[2][3], &list[2][12]), ("600.000", "Rail 201; Rail 202"));
    let elsewhere = analysis::Report { layout: document::LayoutId(999), ..(*report).clone() };
    assert_eq!(rows(&parts_list_csv(&project, &elsewhere)).len(), 0);

    let found = rows(&findings_csv(&project, &report));
    assert_eq!(found.len(), report.findings.len());
    assert!(!found.is_empty());
    for (row, finding) in found.iter().zip(&report.findings) {
        assert_eq!((&row[1], &row[7]), (finding.rule, finding.says.as_str()));
        assert_eq!(row[4].parse::<f64>().is_ok(), finding.figure.is_some(), "{row:?}");
    }
}
