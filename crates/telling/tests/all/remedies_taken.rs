//! A figure that is offered is enough: taken exactly as it is printed, the motion meets its required factor.

use crate::common;

use analysis::{Analyst, Report};
use common::*;
use document::{Motion, MotionId, MotionKind, MoveProfile, Project, Sourced, Stroke, Worst};
use geometry::LipShape;
use glam::DVec3;
use std::sync::Arc;
use units::{AccelerationUnit, LengthUnit, UnitChoice};

/// The words between two others, as a number.
fn figure(says: &str, before: &str, after: &str) -> Option<f64> {
    let start = says.find(before)? + before.len();
    let rest = &says[start..];
    rest[..rest.find(after)?].replace(',', ".").parse().ok()
}

fn motion_mut(project: &mut Project, index: usize) -> &mut Motion {
    Arc::make_mut(&mut project.motions[index])
}

fn factor(report: &Report, index: usize) -> f64 {
    report.motions[index].outcome.as_ref().expect("a figure").factor
}

/// Each way that the remedy of a motion names, taken: what was changed and the project then.
fn taken(
    project: &Project,
    units: &UnitChoice,
    report: &Report,
    index: usize,
    remedy: &str,
) -> Vec<(String, Project)> {
    let mut out = Vec::new();
    let mut take = |what: &str, change: &dyn Fn(&mut Project)| {
        let mut changed = project.clone();
        change(&mut changed);
        out.push((what.to_owned(), changed));
    };
    let scale = |value: f64, quantity| value * units::unit_of(quantity, units).0;
    let length = units.length;
    let mm = if length == LengthUnit::Inch { " in" } else { " mm" };
    let mps2 = if units.acceleration == AccelerationUnit::Gravity { " g" } else { " m/s²" };
    if let Some(most) = figure(remedy, "at most ", &format!("{mps2} of acceleration")) {
        let most = scale(most, units::Quantity::Acceleration);
        take("acceleration", &|p| {
            let stated = &mut motion_mut(p, index).acceleration;
            *stated = stated.normalize() * most;
        });
    }
    if let Some(time_s) = figure(remedy, "at least ", " s for the stroke") {
        take("time", &|p| {
            let stroke = motion_mut(p, index).stroke.as_mut().expect("a stroke");
            stroke.time_s = time_s;
        });
    }
    if let Some(share) = figure(remedy, "; ", " % of the acceleration and turning") {
        let rate = figure(remedy, "acceleration and turning, ", " % of the turn rate").expect("a rate");
        take("turning", &|p| {
            let motion = motion_mut(p, index);
            motion.acceleration *= share / 100.0;
            if let Some(stroke) = &mut motion.stroke {
                stroke.time_s /= (share / 100.0).sqrt();
            }
            motion.turn_acceleration_deg_s2 *= share / 100.0;
            motion.turn_rate_deg_s *= rate / 100.0;
        });
    }
    let level =
        figure(remedy, " here (", " kPa stated").or_else(|| figure(remedy, "a vacuum level of ", " kPa"));
    let stated = report.circuits.iter().all(|circuit| circuit.source_level_kpa.is_none());
    if let Some(level) = level {
        take(if stated { "level" } else { "level instead of a source's" }, &|p| hold_at(p, level));
    }
    if let Some(times) = figure(remedy, "One of: ", " times the vacuum level").filter(|_| stated) {
        take("levels", &|p| {
            for circuit in &mut p.circuits {
                Arc::make_mut(circuit).level_kpa.value *= times;
            }
        });
    }
    if let Some(friction) = figure(remedy, "friction of ", ":") {
        take("friction", &|p| {
            for part in &mut p.parts {
                let part = Arc::make_mut(part);
                part.friction = Sourced::stated(friction);
                part.pairs.iter_mut().for_each(|pair| pair.friction = Sourced::stated(friction));
            }
        });
    }
    // Lips "at the present levels" of a source: what it then gives is another question, so that its level is held.
    let present = present_level(project, report);
    let held = |p: &mut Project| {
        if !stated {
            hold_at(p, present.expect("one level"));
        }
    };
    let lips_too = stated || present.is_some();
    if let Some(size) = figure(remedy, "lips of ", mm).filter(|_| lips_too) {
        assert!(stated || remedy.contains("at the present levels"), "{remedy}");
        let diameter = scale(size, units::Quantity::Length);
        take(if stated { "lips" } else { "lips at a source's level" }, &|p| {
            held(p);
            p.models.iter_mut().for_each(|model| Arc::make_mut(model).shape = LipShape::Round { diameter });
        });
    }
    if let Some(times) = figure(remedy, "lips ", " times as large").filter(|_| lips_too) {
        take("larger lips", &|p| {
            held(p);
            for model in &mut p.models {
                let model = Arc::make_mut(model);
                model.shape = model.shape.scaled(times);
            }
        });
    }
    out
}

/// The level of every circuit stated, kPa at sea level, whatever source it has.
fn hold_at(project: &mut Project, level_kpa: f64) {
    for circuit in &mut project.circuits {
        let circuit = Arc::make_mut(circuit);
        (circuit.supply, circuit.thresholds) = (None, None);
        circuit.level_kpa = Sourced::stated(level_kpa);
    }
}

/// The level of all cups where it is one, as it would be stated at sea level.
fn present_level(project: &Project, report: &Report) -> Option<f64> {
    let levels = || report.cups.iter().map(|cup| cup.level_kpa);
    let (least, most) = levels().fold((f64::INFINITY, 0.0_f64), |(a, b), level| (a.min(level), b.max(level)));
    let outside = |altitude_m| units::standard_atmosphere(altitude_m).kpa();
    let up = outside(0.0) / outside(project.site.altitude_m);
    (least >= most * (1.0 - 1e-9)).then_some(most * up)
}

/// Takes every remedy of every motion that is short on the first layout; how many were taken.
fn holds_when_taken(project: &Project, units: &UnitChoice) -> Vec<String> {
    holds_when_taken_on(project, layout(project), units)
}

fn holds_when_taken_on(project: &Project, id: document::LayoutId, units: &UnitChoice) -> Vec<String> {
    let mut analyst = Analyst::with_units(*units);
    let report = analyst.check(project, id);
    let mut all = Vec::new();
    for finding in report.findings.iter().filter(|f| f.rule == "factor.under_required") {
        let motion = finding.motion.expect("a motion");
        let index = project.motions.iter().position(|m| m.id == motion).expect("the motion");
        if !finding.remedy.starts_with("One of:") {
            continue;
        }
        for (what, changed) in taken(project, units, &report, index, &finding.remedy) {
            let after = Analyst::new().check(&changed, id);
            let (has, needs) = (factor(&after, index), project.motions[index].required_factor);
            assert!(has >= needs, "{}: {what} leaves {has} of {needs}: {}", project.name, finding.remedy);
            all.push(what);
        }
    }
    all
}

fn made(motions: Vec<Motion>) -> Project {
    project(
        plate(600.0, 400.0, 4.0),
        model("lip", round(40.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        motions,
    )
}

fn carry(id: u32, size: f64, times: f64) -> Motion {
    let mut carry = still(id, "Carry", 4.0);
    carry.acceleration = DVec3::new(0.0, size, 0.0);
    carry.inertia_times = times;
    carry
}

#[test]
fn a_sudden_start_is_offered_the_acceleration_of_its_field() {
    let units = UnitChoice::default();
    for times in [1.0, 2.0] {
        let project = made(vec![carry(1, 9.0, times)]);
        let report = Analyst::new().check(&project, layout(&project));
        let finding = report.findings.iter().find(|f| f.rule == "factor.under_required").expect("short");
        // Evenly shared in the plane of the lips: s mu (F - t m g / 4) = t m n a / 4.
        let force = holds(40.0, LEVEL);
        let most = 0.45 * (force - 4.0 * 9.806_65) / 4.0 / times;
        let offered = figure(&finding.remedy, "at most ", " m/s² of acceleration").expect("an acceleration");
        assert!((most - offered).abs() < 0.01 && offered <= most, "{offered} {most}");
        assert!(holds_when_taken(&project, &units).contains(&"acceleration".to_owned()));
    }
}

#[test]
fn every_figure_holds_as_printed_for_made_up_motions() {
    let mut taken = Vec::new();
    for (round, size) in [2.0, 3.3, 5.0, 7.7, 9.0].into_iter().enumerate() {
        for times in [1.0, 1.5, 2.0] {
            let any = Motion { worst: Worst::Direction, ..carry(2, size, times) };
            let mut stroke = Motion { id: MotionId(3), ..carry(3, size, times) };
            stroke.kind = MotionKind::StrokeAndTime;
            let time_s = (4.5 * 1.2 / size).sqrt();
            stroke.stroke =
                Some(Stroke { mm: 1200.0, time_s, profile: MoveProfile::Trapezoid, pause_s: 0.0 });
            let mut swing = Motion { id: MotionId(4), ..carry(4, size, times) };
            swing.turn_rate_deg_s = DVec3::new(0.0, 0.0, 90.0);
            swing.turn_acceleration_deg_s2 = DVec3::new(0.0, 0.0, 200.0);
            swing.pivot_mm = DVec3::new(-500.0, 200.0, 0.0);
            let mut project = made(vec![carry(1, size, times), any, stroke, swing]);
            let units = match round % 3 {
                0 => UnitChoice::default(),
                1 => UnitChoice { length: LengthUnit::Inch, ..UnitChoice::default() },
                _ => UnitChoice {
                    acceleration: AccelerationUnit::Gravity,
                    decimal_comma: true,
                    ..UnitChoice::default()
                },
            };
            if round % 2 == 1 {
                project.site.altitude_m = 1200.0;
            }
            taken.extend(holds_when_taken(&project, &units));
        }
    }
    for what in ["acceleration", "time", "turning", "level", "lips", "friction"] {
        assert!(taken.iter().any(|way| way == what), "{what} is never offered: {taken:?}");
    }
}

#[test]
fn every_figure_holds_as_printed_for_the_finished_projects() {
    let ([mut count, mut later], units) = ([0; 2], UnitChoice::default());
    for mut project in demos() {
        for more in [1.3, 2.0, 3.1] {
            for index in 0..project.motions.len() {
                motion_mut(&mut project, index).required_factor *= more;
            }
            for id in project.layouts.iter().map(|layout| layout.id).collect::<Vec<_>>() {
                let ways = holds_when_taken_on(&project, id, &units);
                later += usize::from(id != layout(&project)) * ways.len();
                count += ways.len();
            }
            for index in 0..project.motions.len() {
                motion_mut(&mut project, index).required_factor /= more;
            }
        }
    }
    assert!(count > 20 && later > 20, "{count}, {later} on later layouts");
}

/// A source at each cup gives every lip the same level: what is offered then is held against that level, stated.
#[test]
fn every_figure_holds_as_printed_with_a_source_at_every_cup() {
    let mut taken = Vec::new();
    for (size, altitude_m) in [(2.0, 0.0), (3.7, 0.0), (5.1, 1400.0)] {
        let mut project = made(vec![carry(1, size, 1.0), still(2, "Lift", 9.0)]);
        let source = circuits::ejector();
        let arrangement = document::Arrangement::PerCup;
        let supply = document::Supply { arrangement, ..circuits::supply(&source) };
        circuits::feed(&mut project, source, supply);
        project.site.altitude_m = altitude_m;
        let report = Analyst::new().check(&project, layout(&project));
        assert!(report.circuits[0].source_level_kpa.is_some(), "{:?}", report.circuits[0].status);
        taken.extend(holds_when_taken(&project, &UnitChoice::default()));
    }
    for what in ["level instead of a source's", "lips at a source's level", "acceleration"] {
        assert!(taken.iter().any(|way| way == what), "{what} is never offered: {taken:?}");
    }
}

#[test]
fn lips_moved_apart_as_printed_are_far_enough_apart() {
    for turn in 0..24 {
        let way = glam::DVec2::from_angle(f64::from(turn) * 0.263) * 41.3;
        let at = [(300.0, 200.0), (300.0 + way.x, 200.0 + way.y)];
        let mut project = project(
            plate(600.0, 400.0, 1.0),
            model("lip", round(40.0), 1.0),
            &at,
            vec![still(1, "Lift", 2.0)],
        );
        let overlap = |p: &Project| {
            let report = Analyst::new().check(p, layout(p));
            report.findings.iter().find(|f| f.rule == "seat.overlap").map(|f| f.remedy.clone())
        };
        let remedy = overlap(&project).expect("too near");
        let (_, rest) = remedy.split_once("Move C2 by (").expect("a move");
        let (pair, _) = rest.split_once(')').expect("a pair");
        let by: Vec<f64> = pair
            .split(", ")
            .map(|figure| figure.replace('\u{2212}', "-").parse().expect("a figure"))
            .collect();
        edit_layout(&mut project, |layout| layout.cups[1].at += glam::DVec2::new(by[0], by[1]));
        assert_eq!(overlap(&project), None, "{remedy}");
    }
}
