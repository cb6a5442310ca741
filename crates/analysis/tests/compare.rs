//! Layouts side by side: which is better, by what figures, and from which spacing two round cups beat one long one.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that cannot go on stops here")]

mod common;

use analysis::{Analyst, Comparison, compare, compare_text, long_pair};
use common::*;
use document::{Cup, CupId, Layout, LayoutId, Motion, Project, Sourced, Worst};
use geometry::LipShape;
use glam::{DVec2, DVec3};
use std::sync::Arc;
use units::UnitChoice;

/// Accelerated along x or y, level.
fn carry(id: u32, name: &str, acceleration: DVec3) -> Motion {
    Motion { acceleration, worst: Worst::AsStated, ..still(id, name, 2.0) }
}

/// A profile 400 x 40 mm of 1 kg whose centre of gravity hangs 20 mm below the lips: one long cup of 120 x 30 mm against
/// two round ones of 30 mm, 280 mm apart.
fn narrow() -> Project {
    let mut part = plate(400.0, 40.0, 1.0);
    part.centre_of_gravity = Some(Sourced::stated(DVec3::new(200.0, 20.0, -20.0)));
    let motions = vec![
        still(1, "Lift", 2.0),
        carry(2, "Carry along", DVec3::new(4.0, 0.0, 0.0)),
        carry(3, "Carry across", DVec3::new(0.0, 4.0, 0.0)),
    ];
    let long = model("Long 120", LipShape::Long { length: 120.0, width: 30.0 }, 1.0);
    let mut project = project(part, long, &[(200.0, 20.0)], motions);
    let small = model("Round 30", round(30.0), 1.0);
    let cups: Vec<Cup> = [60.0, 340.0]
        .iter()
        .enumerate()
        .map(|(i, x)| Cup {
            id: CupId(200 + i as u32),
            tag: format!("C{}", i + 1),
            model: small.id.clone(),
            at: DVec2::new(*x, 20.0),
            ..project.layouts[0].cups[0].clone()
        })
        .collect();
    project.models.push(Arc::new(small));
    let one = Layout::clone(&project.layouts[0]);
    project.layouts = vec![
        Arc::new(Layout { name: "One long".to_owned(), ..one.clone() }),
        Arc::new(Layout { id: LayoutId(900), name: "Two round".to_owned(), cups, ..one }),
    ];
    project
}

fn ids(project: &Project) -> Vec<LayoutId> {
    project.layouts.iter().map(|layout| layout.id).collect()
}

fn compared(project: &Project) -> Comparison {
    compare(&mut Analyst::new(), project, &ids(project))
}

#[test]
fn show() {
    let project = narrow();
    let comparison = compared(&project);
    println!("{}", compare_text(&comparison, &UnitChoice::default()));
    println!("{:#?}", long_pair(&mut Analyst::new(), &project, &ids(&project)));
    let r = Analyst::new().check_whole(&project, ids(&project)[1]);
    println!("{:#?} {:?}", r.motions, r.robot);
}
