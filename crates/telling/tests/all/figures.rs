//! Figures of whole reports against arithmetic written out here.

use crate::common;

use analysis::{Analyst, Report};
use common::*;
use document::{Attached, AttachedId, MassBy, Project, Sourced, Worst};
use glam::{DVec2, DVec3};
use std::sync::Arc;

/// Standard acceleration of free fall, m/s² (exact by definition, 3rd CGPM 1901).
const G: f64 = 9.806_65;

fn check(project: &Project) -> Arc<Report> {
    Analyst::new().check(project, layout(project))
}

fn factor(report: &Report, motion: usize) -> f64 {
    report.motions[motion].outcome.as_ref().expect("a figure").factor
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-9 * b.abs().max(1e-6), "{a} is not {b}");
}

fn four(kg: f64, tilt: f64, motions: Vec<document::Motion>) -> Project {
    project(
        plate(600.0, 400.0, kg),
        model("round-50", round(50.0), tilt),
        &corners((300.0, 200.0), 200.0, 100.0),
        motions,
    )
}

#[test]
fn level_and_still_is_vacuum_force_over_weight() {
    // Shop formula (common practice, no source): n F / (m g).
    let report = check(&four(8.0, 1.0, vec![still(1, "Lift", 2.0)]));
    let expected = 4.0 * holds(50.0, LEVEL) / (8.0 * G);
    close(factor(&report, 0), expected);
    assert_eq!(report.cups.len(), 4);
    close(report.cups[0].vacuum_force_n, holds(50.0, LEVEL));
    close(report.cups[0].level_kpa, LEVEL);
    assert_eq!(report.balance.as_ref().map(|b| b.inside_hull), Some(true));
    close(report.balance.as_ref().and_then(|b| b.most_over_mean).expect("pulls"), 1.0);
}

#[test]
fn on_edge_is_friction_times_vacuum_force_over_weight() {
    // Shop formula (common practice, no source): n mu F / (m g), here with the share of the friction that is relied on.
    let mut edge = still(1, "On edge", 4.0);
    edge.tilt_deg = 90.0;
    edge.lowest_deg = -90.0;
    let mut project = four(3.0, 1.0, vec![edge]);
    for share in [1.0, 0.9] {
        project.rules.slide_share = share;
        let report = check(&project);
        close(factor(&report, 0), share * 0.5 * 4.0 * holds(50.0, LEVEL) / (3.0 * G));
        let outcome = report.motions[0].outcome.as_ref().expect("a figure");
        assert_eq!(outcome.governing_limit, mechanics::LipLimit::Slide);
        close(outcome.wrench.force.y, -3.0 * G);
    }
}

/// A side load on a tall cup passes half-way up (a beam between square ends, statics): every lip is tilted by its slide
/// times that height, and the pulls balance the weight about it.
#[test]
fn a_tall_cup_peels_before_it_slides() {
    let mut edge = still(1, "On edge", 2.0);
    edge.tilt_deg = 90.0;
    edge.lowest_deg = -90.0;
    let mut project = four(3.0, 0.0, vec![edge]);
    let sealing = 0.5 * 0.9 * 50.0;
    // Height, the lever stated, the lever used; the first reads as nobody having stated it.
    for (height, stated, lever, peels) in [
        (80.0, None, 40.0, true),
        (80.0, Some(0.0), 0.0, false),
        (20.0, None, 10.0, false),
        (80.0, Some(25.0), 25.0, true),
    ] {
        let model = Arc::make_mut(&mut project.models[0]);
        model.height_mm = height;
        model.side_lever_mm = stated.map(Sourced::stated);
        let report = check(&project);
        let (weight, slow) = (3.0 * G, report.part.as_ref().map_or(0.0, |part| part.centre_of_gravity_mm.z));
        // The upper cups, 100 mm above the middle: pull, slide, and tilt about the level axis.
        let (pull, slide, tilt) = (weight * (lever - slow) / 400.0, weight / 4.0, weight / 4.0 * lever);
        let seal = pull + 2.0 * tilt / sealing;
        let even = pull + slide / (0.9 * 0.5);
        let uneven = pull + 0.79 * (slide / 0.5).hypot(0.9 * tilt / sealing) / 0.9;
        close(factor(&report, 0), holds(50.0, LEVEL) / seal.max(even).max(uneven));
        let outcome = report.motions[0].outcome.as_ref().expect("a figure");
        assert_eq!(outcome.governing_limit == mechanics::LipLimit::Seal, peels, "{height} {stated:?}");
        let written: serde_json::Value =
            serde_json::from_str(&telling::to_json("a.ron", &project, &[report])).expect("JSON");
        let cup = &written["layouts"][0]["cups"][0];
        close(cup["side_lever_mm"].as_f64().expect("a number"), lever);
        close(cup["lip_mean_radius_mm"].as_f64().expect("a number"), sealing);
        assert_eq!(cup["uneven_friction"]["tilt"], serde_json::json!([0.9, 0.9]));
    }
}

#[test]
fn a_lip_that_is_not_round_uses_less_of_the_friction_ellipse() {
    // A straight line turned about its point at 1/sqrt 2 of the half length keeps 1/sqrt 2 of its slide and 1/2 of its
    // twist: sqrt(1/2 + 1/4) of the ellipse (friction integrated along the line; Howe & Cutkosky 1996, from memory).
    let straight = 0.75f64.sqrt();
    let mut edge = still(1, "On edge", 4.0);
    edge.tilt_deg = 90.0;
    edge.lowest_deg = -90.0;
    let long = geometry::LipShape::Long { length: 90.0, width: 30.0 };
    let rectangle = geometry::LipShape::Rectangle { length: 80.0, width: 40.0, corner: 8.0 };
    for (shape, stated, used) in [
        (round(50.0), 0.9, 0.9),
        (round(50.0), 1.0, 1.0),
        (long, 0.9, straight),
        (rectangle, 1.0, straight),
        (long, 0.8, 0.8),
        (rectangle, 0.8, 0.8),
    ] {
        let cups = corners((300.0, 200.0), 200.0, 100.0);
        let mut project =
            project(plate(600.0, 400.0, 3.0), model("cup", shape, 1.0), &cups, vec![edge.clone()]);
        project.rules.slide_share = stated;
        let report = check(&project);
        for cup in &report.cups {
            close(cup.slide_share, used);
        }
        let force: f64 = report.cups.iter().map(|cup| cup.vacuum_force_n).sum();
        close(factor(&report, 0), used * 0.5 * force / (3.0 * G));
        let written: serde_json::Value =
            serde_json::from_str(&telling::to_json("a.ron", &project, &[report])).expect("JSON");
        close(written["layouts"][0]["cups"][0]["slide_share"].as_f64().expect("a number"), used);
    }
}

#[test]
fn a_share_of_friction_out_of_its_range_gives_no_figure_for_any_lip() {
    for shape in [round(50.0), geometry::LipShape::Long { length: 90.0, width: 30.0 }] {
        for stated in [f64::NAN, 0.0, 1.5] {
            let cups = corners((300.0, 200.0), 200.0, 100.0);
            let lift = vec![still(1, "Lift", 2.0)];
            let mut project = project(plate(600.0, 400.0, 3.0), model("cup", shape, 1.0), &cups, lift);
            project.rules.slide_share = stated;
            assert!(check(&project).motions[0].outcome.is_err(), "{shape:?} with {stated}");
        }
    }
}

#[test]
fn a_mass_beside_the_centre_loads_point_springs_as_a_pile_group() {
    // N_i = P/n + P e x_i / sum(x²): the handbook's pile group (elastic method; any text on foundations, from memory).
    let mut project = four(8.0, 0.0, vec![still(1, "Lift", 2.0)]);
    edit_part(&mut project, |part| {
        part.centre_of_gravity = Some(Sourced::stated(DVec3::new(350.0, 200.0, 0.0)))
    });
    let report = check(&project);
    let weight = 8.0 * G;
    let near = weight / 4.0 + weight * 50.0 * 200.0 / (4.0 * 200.0 * 200.0);
    let far = weight / 4.0 - weight * 50.0 * 200.0 / (4.0 * 200.0 * 200.0);
    let outcome = report.motions[0].outcome.as_ref().expect("a figure");
    let pulls: Vec<f64> = outcome.cups.iter().map(|cup| cup.load.pull).collect();
    for (pull, expected) in pulls.iter().zip([far, near, near, far]) {
        close(*pull, expected);
    }
    close(outcome.factor, holds(50.0, LEVEL) / near);
    let balance = report.balance.as_ref().expect("cups and a mass");
    assert_eq!(balance.centroid_offset, DVec2::new(50.0, 0.0));
    assert_eq!(balance.spread, DVec2::new(200.0, 100.0));
    close(balance.most_over_mean.expect("pulls"), near / (weight / 4.0));
}

#[test]
fn braking_in_any_direction_adds_its_slide_to_the_pull() {
    // Left on the lip C = F - f N, slide f T <= s mu C: f = F / (N + T / (s mu)), the same in every direction because
    // nothing tips.
    let mut stop = still(1, "Stop", 2.0);
    stop.acceleration = DVec3::new(0.0, 8.0, 0.0);
    stop.worst = Worst::Direction;
    let report = check(&four(3.0, 1.0, vec![stop]));
    let (pull, slide) = (3.0 * G / 4.0, 3.0 * 8.0 / 4.0);
    close(factor(&report, 0), holds(50.0, LEVEL) / (pull + slide / (0.9 * 0.5)));
}

#[test]
fn the_lowest_direction_and_the_tilt_are_swept() {
    let mut any_side = still(1, "Any side down", 4.0);
    any_side.tilt_deg = 90.0;
    any_side.worst = Worst::Lowest;
    let mut over = still(2, "Over", 2.0);
    over.worst = Worst::TiltTo { deg: 180.0 };
    let report = check(&four(3.0, 1.0, vec![any_side, over]));
    close(factor(&report, 0), 0.9 * 0.5 * 4.0 * holds(50.0, LEVEL) / (3.0 * G));
    // Tilted by t: pull W cos t / 4, slide W sin t / 4; W (cos t + sin t / (s mu)) / 4 is greatest at tan t = 1 / (s mu).
    let grip: f64 = 0.9 * 0.5;
    let greatest = (1.0 + 1.0 / (grip * grip)).sqrt();
    close(factor(&report, 1), 4.0 * holds(50.0, LEVEL) / (3.0 * G * greatest));
}

#[test]
fn swinging_throws_outward_and_back() {
    // a = e x r + w x (w x r): at r from the pivot -w² r inward and e r sideways; the part pushes the other way.
    let mut swing = still(1, "Swing", 2.0);
    swing.turn_rate_deg_s = DVec3::new(0.0, 0.0, 90.0);
    swing.turn_acceleration_deg_s2 = DVec3::new(0.0, 0.0, 180.0);
    swing.pivot_mm = DVec3::new(-700.0, 200.0, 0.0);
    let report = check(&four(2.0, 1.0, vec![swing]));
    let wrench = report.motions[0].outcome.as_ref().expect("a figure").wrench;
    let (w, e, r) = (90f64.to_radians(), 180f64.to_radians(), 1.0);
    close(wrench.force.x, 2.0 * w * w * r);
    close(wrench.force.y, -2.0 * e * r);
    close(wrench.force.z, -2.0 * G);
}

#[test]
fn the_mass_is_area_times_thickness_times_density_and_what_is_attached() {
    let mut project = four(1.0, 1.0, vec![still(1, "Lift", 2.0)]);
    edit_part(&mut project, |part| {
        part.thickness_mm = 2.0;
        part.mass = MassBy::Density { kg_m3: Sourced::stated(7850.0) };
        part.centre_of_gravity = None;
        part.attached = vec![
            Attached {
                id: AttachedId(7),
                name: "Bracket".to_owned(),
                mass_kg: 1.0,
                at: DVec3::new(500.0, 300.0, 10.0),
                size: DVec3::ZERO,
                turn_deg: 0.0,
            },
            Attached {
                id: AttachedId(8),
                name: "Block".to_owned(),
                mass_kg: 2.0,
                at: DVec3::new(300.0, 200.0, 20.0),
                size: DVec3::new(100.0, 60.0, 40.0),
                turn_deg: 0.0,
            },
        ];
    });
    let report = check(&project);
    let part = report.part.as_ref().expect("a part");
    let sheet = 0.6 * 0.4 * 0.002 * 7850.0;
    let total = sheet + 3.0;
    close(part.area_mm2, 240_000.0);
    close(part.perimeter_mm, 2_000.0);
    close(part.mass_kg, total);
    let centre = (DVec3::new(300.0, 200.0, -1.0) * sheet
        + DVec3::new(500.0, 300.0, 10.0)
        + DVec3::new(300.0, 200.0, 20.0) * 2.0)
        / total;
    assert!(part.centre_of_gravity_mm.distance(centre) < 1e-9);
    // Ixx about the centre of gravity: plate and block about their own centres, then parallel axes; kg·m².
    let own =
        sheet * (0.4f64.powi(2) + 0.002f64.powi(2)) / 12.0 + 2.0 * (0.06f64.powi(2) + 0.04f64.powi(2)) / 12.0;
    let bodies = [
        (sheet, DVec3::new(300.0, 200.0, -1.0)),
        (1.0, DVec3::new(500.0, 300.0, 10.0)),
        (2.0, DVec3::new(300.0, 200.0, 20.0)),
    ];
    let moved =
        |axes: fn(DVec3) -> f64| bodies.iter().map(|(m, at)| m * axes((*at - centre) * 1e-3)).sum::<f64>();
    close(part.inertia_kg_m2[0], own + moved(|r| r.y * r.y + r.z * r.z));
    // Products with a plain sign; plate and block have none of their own.
    close(part.inertia_kg_m2[3], moved(|r| r.x * r.y));
    close(part.inertia_kg_m2[4], moved(|r| r.x * r.z));
    close(part.inertia_kg_m2[5], moved(|r| r.y * r.z));
}

#[test]
fn a_stated_centre_of_gravity_keeps_the_inertia_about_it() {
    let mut project = four(4.0, 1.0, vec![still(1, "Lift", 2.0)]);
    let before = check(&project).part.clone().expect("a part");
    edit_part(&mut project, |part| {
        part.centre_of_gravity = Some(Sourced::stated(DVec3::new(310.0, 190.0, -20.0)))
    });
    let after = check(&project).part.clone().expect("a part");
    assert_eq!(after.centre_of_gravity_mm, DVec3::new(310.0, 190.0, -20.0));
    assert_eq!(after.inertia_kg_m2, before.inertia_kg_m2);
}

#[test]
fn thin_air_lowers_the_level_by_its_pressure_ratio() {
    let mut project = four(8.0, 1.0, vec![still(1, "Lift", 2.0)]);
    project.site.altitude_m = 2000.0;
    let report = check(&project);
    // ISO 2533, table: 79.501 kPa at 2000 m, 101.325 kPa at sea level (from memory).
    let level = LEVEL * 79.501 / 101.325;
    assert!((report.cups[0].level_kpa - level).abs() < 1e-3 * level);
    assert!((factor(&report, 0) - 4.0 * holds(50.0, level) / (8.0 * G)).abs() < 1e-2);
}

#[test]
fn clearance_and_what_is_required_of_it() {
    let mut project = four(8.0, 1.0, vec![still(1, "Lift", 2.0)]);
    edit_part(&mut project, |part| {
        part.placement = document::Placement { position_mm: 1.0, turn_deg: 0.5, drawing_mm: 0.25 };
    });
    let report = check(&project);
    // Centre 100 mm from the nearest edge, lip radius 25 mm.
    close(report.cups[0].clearance.expect("an edge").distance, 75.0);
    let reach = (200f64.hypot(100.0)) + 25.0;
    close(report.cups[0].required_clearance_mm, 1.0 + 0.5f64.to_radians() * reach + 0.25);
}
