//! The hole table of a project made from a drawing.

use exchange::{ImportOptions, hole_table_csv, new_project_from_drawing, read_drawing_bytes};
use std::sync::Arc;

#[test]
fn one_row_a_cup_with_units_in_the_header() {
    let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="300mm" viewBox="0 0 400 300">
        <rect x="10" width="390" height="300"/></svg>"#;
    let drawing = read_drawing_bytes("plate.svg", svg, &ImportOptions::default()).expect("a drawing");
    let mut project = new_project_from_drawing(&drawing, "Plate");
    let model = document::CupModel {
        drill_mm: Some(11.8),
        thread: "G1/4".to_owned(),
        ..document::CupModel::clone(&document::library()[0])
    };
    let model = Arc::new(model);
    let cup = |id: u32, x: f64| document::Cup {
        id: document::CupId(id),
        tag: format!("C{id}"),
        model: model.id.clone(),
        at: glam::DVec2::new(x, 120.5),
        turn_deg: 30.0,
        height_mm: 0.0,
        circuit: project.circuits[0].id,
        zone: "left, \"outer\"".to_owned(),
        locked: false,
    };
    let mut layout = (*project.layouts[0]).clone();
    layout.tool = Arc::default();
    layout.cups = vec![cup(1, 80.0), cup(2, -0.000_01)];
    layout.cups[0].height_mm = 12.5;
    let id = layout.id;
    project.models = vec![model.clone()];
    project.layouts[0] = Arc::new(layout);
    let report = analysis::Analyst::new().check(&project, id);
    let table = hole_table_csv(&project, &report);
    let mut lines = table.lines();
    assert_eq!(
        lines.next(),
        Some(
            "\"tag\",\"x mm\",\"y mm\",\"turn deg\",\"model\",\"hole mm\",\"thread\",\"zone\",\"circuit\",\"height mm\",\"post mm\",\"x from corner mm\",\"y from corner mm\",\"x from flange mm\",\"y from flange mm\""
        )
    );
    let first = lines.next().expect("a row");
    assert!(first.starts_with("\"C1\",80.000,120.500,30.000,\""), "{first}");
    assert!(first.contains("\"left, \"\"outer\"\"\""), "{first}");
    // Read back by a CSV reader, the second row has its figures and no negative zero.
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let all: Vec<csv::StringRecord> = reader.records().map(|r| r.expect("a row")).collect();
    let (told, rows): (Vec<_>, Vec<_>) = all.into_iter().partition(|row| row[0].starts_with("# "));
    assert_eq!(rows.len(), 2);
    // What the table is of, in the words of the sheet.
    let identity = telling::Identity::of(&project, &[&report]);
    assert_eq!(told[0][0], format!("# {}", identity.content()));
    assert!(told.iter().any(|row| row[0].starts_with("# not for issue: not stated: ")), "{told:?}");
    assert!(telling::CAUTIONS.iter().all(|caution| told.iter().any(|row| row[0] == format!("# {caution}"))));
    assert_eq!((&rows[1][1], &rows[1][4]), ("0.000", model.name.as_str()));
    assert_eq!((rows[1][5].parse::<f64>(), &rows[1][6]), (Ok(11.8), "G1/4"));
    // The part's corner lies beside the datum; nobody stated a flange.
    assert_eq!([&rows[0][11], &rows[0][12], &rows[0][13], &rows[0][14]], ["70.000", "120.500", "", ""]);
    // Where the cup is fastened, and how much of that is its post.
    assert_eq!(rows[0][9].parse::<f64>(), Ok(model.height_mm + 12.5));
    assert_eq!((&rows[0][10], &rows[1][10]), ("12.500", "0.000"));
    let mut layout = (*project.layouts[0]).clone();
    let flange = glam::DVec3::new(200.0, 150.0, 120.0);
    layout.tool = Arc::new(document::Tool { flange, ..document::Tool::default() });
    project.layouts[0] = Arc::new(layout);
    let report = analysis::Analyst::new().check(&project, id);
    let table = hole_table_csv(&project, &report);
    assert!(
        table.lines().nth(1).is_some_and(|row| row.ends_with(",70.000,120.500,-120.000,-29.500")),
        "{table}"
    );
}

/// Holes and hoses of a tool that carries several parts are those of all its cups, not of the part that governs alone.
#[test]
fn tables_of_a_tool_with_several_parts_have_every_cup() {
    let text = include_str!("../../../../demo-projects/side-panels.ron");
    let project = document::from_text(text, "side-panels.ron").unwrap();
    let layout = &project.layouts[0];
    let report = analysis::Analyst::new().check_whole(&project, layout.id);
    assert!(
        report.cups.len() < layout.cups.len(),
        "the part that governs needs them all: the case says nothing"
    );
    let (holes, hoses) =
        (exchange::hole_table_csv(&project, &report), exchange::hose_schedule_csv(&project, &report));
    for cup in &layout.cups {
        let rows = |table: &str, start: &str| table.lines().filter(|line| line.contains(start)).count();
        assert_eq!(rows(&holes, &format!("\"{}\",", cup.tag)), 1, "{}", cup.tag);
        assert_eq!(rows(&hoses, &format!("\"branch {}\",", cup.tag)), 1, "{}", cup.tag);
    }
}
