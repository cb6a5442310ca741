//! A figure that is none, wherever a stage may leave one, is never judged to hold.

use crate::{Analyst, Severity, figures::Figures, seats::Gap};
use document::{CupId, Project};
use glam::{DVec2, DVec3};
use std::{path::Path, sync::Arc};

/// A demo with a payload, lips near each other and a circuit that is worked out, which holds.
fn project() -> Project {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects/moulded-tray.ron");
    let (mut project, _) = document::open(&path).unwrap();
    project.site.payload_kg = Some(500.0);
    project
}

type Poison = fn(&mut Figures<'_>);

const POISONS: &[(&str, Poison)] = &[
    ("mass", |made| made.body.as_mut().unwrap().mass = f64::NAN),
    ("centre", |made| made.body.as_mut().unwrap().centre = DVec3::NAN),
    ("inertia", |made| made.body.as_mut().unwrap().inertia.x_axis.x = f64::INFINITY),
    ("clearance", |made| made.seats[0].clearance.as_mut().unwrap().distance = f64::NAN),
    ("no clearance", |made| made.seats[0].clearance = None),
    ("clearance without end", |made| made.seats[0].clearance.as_mut().unwrap().distance = f64::INFINITY),
    ("required clearance", |made| made.seats[0].required = f64::NAN),
    ("no seats", |made| made.seats.clear()),
    ("gap", |made| {
        let cups = [CupId(1), CupId(2)];
        made.gaps.push(Gap { cups, distance: f64::NAN, points: [DVec2::ZERO; 2] });
    }),
    ("factor", |made| case(made).cup_worst[0].1.value = f64::NAN),
    ("pull", |made| case(made).loads[0].pull = f64::INFINITY),
    ("slide", |made| case(made).loads[0].slide = DVec2::NAN),
    ("tilt", |made| case(made).loads[0].tilt = DVec2::NAN),
    ("twist", |made| case(made).loads[0].twist = f64::NAN),
    ("offset", |made| made.balance.as_mut().unwrap().centroid_offset.x = f64::NAN),
    ("spread", |made| made.balance.as_mut().unwrap().spread.x = f64::INFINITY),
    ("most over mean", |made| made.balance.as_mut().unwrap().most_over_mean = Some(f64::NAN)),
    ("no robot load", |made| made.robot = None),
    ("carried mass", |made| made.robot.as_mut().unwrap().loaded.mass_kg = f64::INFINITY),
    ("no payload", |made| made.robot.as_mut().unwrap().payload_kg = None),
    ("carried centre", |made| made.robot.as_mut().unwrap().loaded.centre_mm = DVec3::NAN),
    ("level at a cup", |made| made.circuits.reports[0].cups[0].level_kpa = f64::NAN),
    ("required level", |made| made.circuits.reports[0].wanted_kpa = f64::NAN),
    ("level at the source", |made| made.circuits.reports[0].source_level_kpa = Some(f64::NAN)),
    ("loss", |made| made.circuits.reports[0].elements[0].loss_kpa = f64::NAN),
    ("flow", |made| made.circuits.reports[0].elements[0].flow_nl_min = f64::INFINITY),
    ("curve", |made| made.circuits.reports[0].sources[0].curve[0].1 = f64::NAN),
    ("leak", |made| made.circuits.reports[0].sources[0].leak_curve[0].1 = f64::NAN),
    ("deepest", |made| made.circuits.reports[0].sources[0].deepest_kpa = f64::NAN),
];

fn case<'a>(made: &'a mut Figures<'_>) -> &'a mut mechanics::CaseResult {
    &mut Arc::make_mut(made.cases[0].as_mut().unwrap()).result
}

#[test]
fn a_figure_that_is_none_is_named_and_nothing_holds() {
    let project = project();
    let layout = project.layouts[0].id;
    let sound = Analyst::new().check(&project, layout);
    assert!(sound.verdict.severity < Severity::Fail && sound.verdict.severity != Severity::NotChecked);
    assert!(sound.findings.iter().all(|finding| finding.rule != "scope.no_figure"), "{:?}", sound.findings);
    for (what, poison) in POISONS {
        let mut analyst = Analyst::new();
        analyst.poison = Some(*poison);
        let report = analyst.check(&project, layout);
        let named = report.findings.iter().find(|finding| finding.rule == "scope.no_figure");
        assert!(named.is_some(), "{what} is not named: {:#?}", report.findings);
        let quiet = matches!(report.verdict.severity, Severity::Ok | Severity::Watch | Severity::Advice);
        assert!(!quiet, "{what}: {:?}", report.verdict);
        let says = &report.verdict.sentence;
        assert!(!says.contains("Meets") && !says.contains("NaN") && !says.contains("inf"), "{what}: {says}");
        assert!(![Severity::Ok, Severity::Watch].contains(&report.verdict.severity), "{what}");
    }
}
