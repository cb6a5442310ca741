//! What is remembered never shows: after any sequence of edits the report equals one worked out from nothing.

use crate::common;

use analysis::{Analyst, Report};
use common::*;
use document::{Circuit, CupId, KeepOut, KeepOutId, LayoutId, MassBy, Motion, Project, Sourced, Worst};
use geometry::{LipShape, Loop};
use glam::{DVec2, DVec3};
use proptest::prelude::*;
use std::sync::Arc;

#[derive(Debug, Clone)]
enum Step {
    Move(usize, f64, f64),
    Turn(usize, f64),
    Model(usize, usize),
    Rename(usize),
    RenamePart,
    Add(f64, f64),
    Remove(usize),
    Mass(f64),
    Friction(f64),
    Level(f64),
    Altitude(f64),
    Hole(f64, f64),
    KeepOut(f64, f64),
    Placement(f64),
    Accelerate(usize, f64),
    RemoveMotion,
    OtherLayout,
    Back,
    Reread,
}

fn step() -> impl Strategy<Value = Step> {
    let place = (0.0..600.0f64, 0.0..400.0f64);
    prop_oneof![
        4 => (0..8usize, place.clone()).prop_map(|(i, (x, y))| Step::Move(i, x, y)),
        1 => (0..8usize, -90.0..90.0f64).prop_map(|(i, turn)| Step::Turn(i, turn)),
        1 => (0..8usize, 0..3usize).prop_map(|(i, model)| Step::Model(i, model)),
        1 => (0..8usize).prop_map(Step::Rename),
        1 => Just(Step::RenamePart),
        1 => place.clone().prop_map(|(x, y)| Step::Add(x, y)),
        1 => (0..8usize).prop_map(Step::Remove),
        1 => (-1.0..20.0f64).prop_map(Step::Mass),
        1 => (0.0..1.0f64).prop_map(Step::Friction),
        1 => (20.0..90.0f64).prop_map(Step::Level),
        1 => (0.0..2000.0f64).prop_map(Step::Altitude),
        1 => place.clone().prop_map(|(x, y)| Step::Hole(x, y)),
        1 => place.prop_map(|(x, y)| Step::KeepOut(x, y)),
        1 => (0.0..8.0f64).prop_map(Step::Placement),
        1 => (0..3usize, 0.0..15.0f64).prop_map(|(i, a)| Step::Accelerate(i, a)),
        1 => Just(Step::RemoveMotion),
        2 => Just(Step::OtherLayout),
        2 => Just(Step::Back),
        1 => Just(Step::Reread),
    ]
}

fn start() -> Project {
    let mut stop = still(2, "Stop", 2.0);
    stop.acceleration = DVec3::new(6.0, 0.0, 1.0);
    stop.worst = Worst::Direction;
    let mut over = still(3, "Over", 2.0);
    over.worst = Worst::TiltTo { deg: 180.0 };
    let mut project = project(
        plate(600.0, 400.0, 5.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        vec![still(1, "Lift", 2.0), stop, over],
    );
    edit_part(&mut project, |part| part.placement.position_mm = 1.0);
    project.models.push(Arc::new(model("long", LipShape::Long { length: 90.0, width: 30.0 }, 0.7)));
    project.models.push(Arc::new(model(
        "foam",
        LipShape::Rectangle { length: 80.0, width: 40.0, corner: 8.0 },
        0.8,
    )));
    let mut second = document::Layout::clone(&project.layouts[0]);
    second.id = LayoutId(900);
    second.cups.truncate(3);
    project.layouts.push(Arc::new(second));
    project
}

fn apply(project: &mut Project, step: &Step, shown: &mut usize) {
    let at = (*shown).min(project.layouts.len() - 1);
    let models: Vec<_> = project.models.iter().map(|model| model.id.clone()).collect();
    let number = project.last_id + 1;
    let circuit = project.circuits[0].id;
    let layout = Arc::make_mut(&mut project.layouts[at]);
    let pick = |i: usize| i % layout.cups.len().max(1);
    match *step {
        Step::Move(i, x, y) => {
            let i = pick(i);
            if let Some(cup) = layout.cups.get_mut(i) {
                cup.at = DVec2::new(x, y);
            }
        }
        Step::Turn(i, turn) => {
            let i = pick(i);
            if let Some(cup) = layout.cups.get_mut(i) {
                cup.turn_deg = turn;
            }
        }
        Step::Model(i, model) => {
            let i = pick(i);
            if let Some(cup) = layout.cups.get_mut(i) {
                cup.model = models[model].clone();
            }
        }
        Step::Rename(i) => {
            let i = pick(i);
            if let Some(cup) = layout.cups.get_mut(i) {
                cup.tag.push('x');
            }
        }
        Step::Add(x, y) => {
            layout.cups.push(document::Cup { id: CupId(number), ..cup(number, &models[0], (x, y), circuit) });
            project.last_id = number;
        }
        Step::Remove(i) => {
            let i = pick(i);
            if i < layout.cups.len() {
                layout.cups.remove(i);
            }
        }
        Step::RenamePart => edit_part(project, |part| part.name.push('x')),
        Step::Mass(kg) => edit_part(project, |part| part.mass = MassBy::Stated { kg: Sourced::stated(kg) }),
        Step::Friction(mu) => edit_part(project, |part| part.friction = Sourced::assumed(mu)),
        Step::Level(kpa) => {
            let level = Circuit { level_kpa: Sourced::stated(kpa), ..Circuit::clone(&project.circuits[0]) };
            project.circuits[0] = Arc::new(level);
        }
        Step::Altitude(m) => project.site.altitude_m = m,
        Step::Hole(x, y) => edit_part(project, |part| {
            let hole = Loop::circle(DVec2::new(x.clamp(40.0, 560.0), y.clamp(40.0, 360.0)), 15.0);
            Arc::make_mut(&mut part.outline).holes = vec![hole];
        }),
        Step::KeepOut(x, y) => edit_part(project, |part| {
            let area = Arc::new(Loop::rectangle(DVec2::new(x, y), DVec2::new(x + 30.0, y + 20.0)));
            part.keep_outs = vec![KeepOut { id: KeepOutId(700), name: "Seam".to_owned(), area }];
        }),
        Step::Placement(mm) => edit_part(project, |part| part.placement.position_mm = mm),
        Step::Accelerate(i, a) => {
            let count = project.motions.len().max(1);
            if let Some(motion) = project.motions.get_mut(i % count) {
                Arc::make_mut(motion).acceleration = DVec3::new(a, 0.0, 1.0);
            }
        }
        Step::RemoveMotion => {
            project.motions.pop();
        }
        Step::OtherLayout => *shown = 1 - *shown,
        Step::Back | Step::Reread => {}
    }
}

/// The same project at other addresses, as from its file.
fn reread(project: &Project) -> Project {
    let mut again = project.clone();
    for part in &mut again.parts {
        let mut copy = document::Part::clone(part);
        copy.outline = Arc::new(geometry::Outline::clone(&copy.outline));
        *part = Arc::new(copy);
    }
    for layout in &mut again.layouts {
        *layout = Arc::new(document::Layout::clone(layout));
    }
    again.motions = again.motions.iter().map(|motion| Arc::new(Motion::clone(motion))).collect();
    again
}

fn same(remembered: &Report, cold: &Report) -> Result<(), TestCaseError> {
    prop_assert_eq!(&remembered.findings, &cold.findings);
    prop_assert_eq!(remembered, cold);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn remembered_equals_cold(steps in proptest::collection::vec(step(), 1..14)) {
        let mut analyst = Analyst::new();
        let mut shown = 0;
        let mut states = vec![start()];
        for step in &steps {
            let mut project = states.last().expect("a state").clone();
            match step {
                Step::Back if states.len() > 1 => {
                    states.pop();
                    project = states.last().expect("a state").clone();
                }
                Step::Reread => project = reread(&project),
                _ => {
                    apply(&mut project, step, &mut shown);
                    states.push(project.clone());
                }
            }
            let id = project.layouts[shown].id;
            let report = analyst.check(&project, id);
            same(&report, &Analyst::new().check(&project, id))?;
            for motion in &report.motions {
                if let Ok(outcome) = &motion.outcome {
                    prop_assert!(!outcome.factor.is_nan());
                }
            }
        }
    }
}

#[test]
fn nothing_changed_gives_the_same_report_again() {
    let project = start();
    let mut analyst = Analyst::new();
    let first = analyst.check(&project, layout(&project));
    assert!(Arc::ptr_eq(&first, &analyst.check(&project.clone(), layout(&project))));
    assert!(Arc::ptr_eq(&first, &analyst.check(&reread(&project), layout(&project))));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4, max_shrink_iters: 20, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn remembered_equals_cold_with_slow_figures(steps in proptest::collection::vec(step(), 1..5)) {
        let mut analyst = Analyst::new();
        let mut shown = 0;
        let mut project = start();
        for step in &steps {
            apply(&mut project, step, &mut shown);
            let id = project.layouts[shown].id;
            // What an earlier state left behind does not show in the quick report of a later one either, but for its age.
            let report = analyst.check_whole(&project, id);
            same(&report, &Analyst::new().check_whole(&project, id))?;
        }
    }
}
