//! Area grippers: cells that lie off the part draw through their restrictors, and only covered cells hold.

use crate::common;

use analysis::{Analyst, CircuitReport, CircuitStatus, Report, Severity};

use common::{circuits::*, *};
use document::{Cells, Project, Restriction};
use geometry::LipShape;
use std::{f64::consts::PI, sync::Arc};
use telling::to_json;

const CELL: Restriction = Restriction { c_dm3_s_bar: 0.02, b: 0.4 };
const BORE: f64 = 2.0;
/// dm³/(s·bar) for each mm² of a nozzle with discharge coefficient 1: 0.68473/(rho0 sqrt(R T)), at 20 °C.
const NOZZLE: f64 = 0.684_73 / 1.185 * 1e2 / 290.086_3;
const ATMOSPHERE: f64 = 101.325;

/// One rectangular gripper of 24 cells, 120 by 60 mm, in the middle of the sheet or where `x` says.
pub(crate) fn gripper(x: f64) -> Project {
    let shape = LipShape::Rectangle { length: 120.0 / SHARE, width: 60.0 / SHARE, corner: 0.0 };
    // One wide connection behind the cells.
    let model = document::CupModel { bore_mm: 25.0, ..model("area-120-60", shape, 1.0) };
    let mut project = project(plate(600.0, 400.0, 1.0), model, &[(x, 200.0)], vec![still(1, "Lift", 1.0)]);
    let source = pump();
    let mut supply = supply(&source);
    supply.area_gripper = Some(Cells { count: 24, bore_mm: BORE, restrictor: CELL });
    (supply.main, supply.branch) = (line(25.0), line(25.0));
    feed(&mut project, source, supply);
    project
}

fn checked(project: &Project) -> Arc<Report> {
    Analyst::new().check(project, layout(project))
}

fn circuit(report: &Report) -> &CircuitReport {
    let circuit = report.circuits.first().expect("a circuit");
    assert_eq!(circuit.status, CircuitStatus::Solved, "{:?}", circuit.status);
    circuit
}

/// Flow of an element by ISO 6358 (from memory), L/min ANR; pressures kPa.
fn iso(c: f64, b: f64, up: f64, down: f64) -> f64 {
    let r = down / up;
    let q = c * up * 1e-2 * 60.0;
    if r <= b { q } else { q * (1.0 - ((r - b) / (1.0 - b)).powi(2)).max(0.0).sqrt() }
}

/// What so many open cells let in while the box stands at a level: opening and restrictor in series, by halving the pressure
/// between them.
fn through(open: u32, level: f64) -> f64 {
    let hole = 0.75 * PI / 4.0 * BORE * BORE * NOZZLE;
    let inside = ATMOSPHERE - level;
    let (mut low, mut high) = (inside, ATMOSPHERE);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if iso(hole, 0.528, ATMOSPHERE, middle) > iso(CELL.c_dm3_s_bar, CELL.b, middle, inside) {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::from(open) * iso(CELL.c_dm3_s_bar, CELL.b, low, inside)
}

#[test]
fn on_the_part_no_cell_is_open() {
    let report = checked(&gripper(300.0));
    let cup = circuit(&report).cups[0];
    let cells = cup.cells.expect("cells");
    assert_eq!((cells.open, cells.all), (0, 24));
    assert!((cup.level_kpa - DEEPEST).abs() < 1e-4 && cup.leak_nl_min.abs() < 1e-6);
    assert!((report.cups[0].vacuum_force_n - 0.85 * DEEPEST * 120.0 * 60.0 * 1e-3).abs() < 0.01);
}

/// With its middle on the edge half of the cells hang over it: the level is where the pump's straight curve meets what twelve
/// open cells let in, and half the area holds.
#[test]
fn half_over_the_edge_half_the_cells_draw_by_closed_form() {
    let report = checked(&gripper(600.0));
    let cup = circuit(&report).cups[0];
    let cells = cup.cells.expect("cells");
    assert_eq!((cells.open, cells.all), (12, 24));
    let (mut low, mut high) = (0.0, DEEPEST);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if FREE_FLOW * (1.0 - middle / DEEPEST) > through(12, middle) { low = middle } else { high = middle }
    }
    // Hoses of 25 mm bore lose next to nothing.
    assert!((cup.level_kpa - low).abs() < 0.05, "{} {low}", cup.level_kpa);
    assert!(
        (cup.leak_nl_min / through(12, low) - 1.0).abs() < 2e-3,
        "{} {}",
        cup.leak_nl_min,
        through(12, low)
    );
    assert!((cup.leak_nl_min - circuit(&report).flow_nl_min.expect("a flow")).abs() < 1e-6);
    let force = report.cups[0].vacuum_force_n;
    assert!((force - cup.design_kpa * 0.5 * 120.0 * 60.0 * 1e-3).abs() < 1e-6, "{force}");
    let names: Vec<&str> = circuit(&report).elements.iter().map(|element| element.name.as_str()).collect();
    assert!(names.contains(&"open cells C1") && names.contains(&"cells C1"), "{names:?}");
    let over = report.findings.iter().find(|finding| finding.rule == "seat.overhang").expect("a finding");
    assert_eq!(over.severity, Severity::Watch);
    assert!(over.says.contains("12 of its 24 cells are open"), "{}", over.says);
    let text = to_json("a.ron", &gripper(600.0), &[report]);
    assert!(text.contains("\"cells_open\": 12") || text.contains("\"cells_open\":12"), "{text}");
}

#[test]
fn the_further_over_the_edge_the_more_cells_are_open_and_the_lower_the_level() {
    let mut last = (0, f64::INFINITY);
    for x in [520.0, 545.0, 570.0, 585.0, 600.0, 620.0, 640.0] {
        let report = checked(&gripper(x));
        let cup = circuit(&report).cups[0];
        let open = cup.cells.expect("cells").open;
        assert!(open >= last.0 && cup.level_kpa <= last.1 + 1e-9, "{x}: {open} {}", cup.level_kpa);
        last = (open, cup.level_kpa);
    }
    assert_eq!(last.0, 21, "seven of eight columns");
    // Wholly beside the part nothing is held, and that fails.
    let report = checked(&gripper(700.0));
    let cells = circuit(&report).cups[0].cells.expect("cells");
    assert_eq!((cells.open, cells.all), (24, 24));
    let over = report.findings.iter().find(|finding| finding.rule == "seat.overhang").expect("a finding");
    assert_eq!(over.severity, Severity::Fail);
    assert!(report.motions[0].outcome.as_ref().is_ok_and(|outcome| outcome.factor < 1e-3));
}

#[test]
fn a_hole_under_the_gripper_opens_the_cells_over_it() {
    let mut project = gripper(300.0);
    edit_part(&mut project, |part| {
        let hole = geometry::Loop::rectangle(glam::DVec2::new(239.0, 190.0), glam::DVec2::new(301.0, 240.0));
        let mut outline = geometry::Outline::clone(&part.outline);
        outline.holes.push(hole.reversed());
        part.outline = Arc::new(outline);
    });
    let report = checked(&project);
    // Of three rows of eight, the upper two, and of them the four columns on the left.
    assert_eq!(circuit(&report).cups[0].cells.expect("cells").open, 8);
}

#[test]
fn slow_figures_with_open_cells_are_there() {
    let project = gripper(570.0);
    let report = Analyst::new().check_whole(&project, layout(&project));
    let slow = circuit(&report).slow.as_ref().expect("slow figures");
    assert!(slow.evacuation[0].to_90_s.is_some() && slow.hold_s.is_some_and(f64::is_finite));
    assert!(slow.release_s.is_some() && slow.energy_wh_per_pick.is_some());
}
