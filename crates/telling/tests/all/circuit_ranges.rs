//! What is assumed of a circuit makes the factor a range: that of the circuit solved at the ends of what is assumed.

use crate::common;

use analysis::{Analyst, FactorRange};
use common::{circuits::*, *};
use document::{FeedPoint, Origin, Project, Sourced};
use std::sync::Arc;

fn factor(project: &Project) -> f64 {
    let report = Analyst::new().check(project, layout(project));
    report.motions[0].outcome.as_ref().expect("a figure").factor
}

fn range(project: &Project) -> Option<FactorRange> {
    let report = Analyst::new().check_whole(project, layout(project));
    report.motions[0].outcome.as_ref().expect("a figure").slow.as_ref().expect("slow figures").range.clone()
}

/// The range of a project is from the factor of one to that of another.
fn is_between(range: &FactorRange, least: &Project, most: &Project) {
    let (least, most) = (factor(least), factor(most));
    assert!(least < most);
    assert!((range.least / least - 1.0).abs() < 1e-7, "{} {least}", range.least);
    assert!((range.most / most - 1.0).abs() < 1e-7, "{} {most}", range.most);
}

fn with(project: &Project, edit: impl FnOnce(&mut Project)) -> Project {
    let mut project = project.clone();
    edit(&mut project);
    project
}

fn gap(project: &mut Project, um: Sourced<f64>) {
    edit_supply(project, |supply| supply.lip_gap_um = um);
}

fn permeance(project: &mut Project, value: Sourced<f64>) {
    edit_part(project, |part| part.permeance_um_pa_s = Some(value));
}

fn scaled_curve(project: &mut Project, times: f64) {
    edit_source(project, |source| {
        for point in &mut source.curve {
            point.level_kpa *= times;
            point.flow_nl_min *= times;
        }
    });
}

#[test]
fn what_is_stated_makes_no_range() {
    assert_eq!(range(&leaking()), None);
}

#[test]
fn a_gap_under_the_lips_from_half_to_double() {
    let project = with(&fed(), |p| gap(p, Sourced::assumed(20.0)));
    let found = range(&project).expect("a range");
    assert_eq!(found.inputs, [format!("gap under the lips of {}", project.circuits[0].name)]);
    let at = |um: f64| with(&project, |p| gap(p, Sourced::stated(um)));
    is_between(&found, &at(40.0), &at(10.0));
    // A perfect lip that is assumed has no share to be off by.
    assert_eq!(range(&with(&fed(), |p| gap(p, Sourced::assumed(0.0)))), None);
}

#[test]
fn how_easily_air_comes_through_by_a_half() {
    let project = with(&leaking(), |p| permeance(p, Sourced::assumed(PERMEANCE)));
    let found = range(&project).expect("a range");
    assert_eq!(found.inputs, ["air permeability of Sheet"]);
    let at = |times: f64| with(&project, |p| permeance(p, Sourced::stated(times * PERMEANCE)));
    is_between(&found, &at(1.5), &at(0.5));
}

#[test]
fn a_curve_by_a_tenth_and_not_beyond_the_atmosphere() {
    let project = with(&leaking(), |p| edit_source(p, |source| source.figures = Origin::Assumed));
    let found = range(&project).expect("a range");
    assert_eq!(found.inputs, ["curve of Test pump"]);
    let at = |times: f64| with(&leaking(), |p| scaled_curve(p, times));
    is_between(&found, &at(0.9), &at(1.1));
    // 97 % of the atmosphere is as deep as any source is taken to be; a tight part shows the depth.
    let deep = with(&fed(), |p| {
        scaled_curve(p, 94.0 / DEEPEST);
        edit_source(p, |source| source.figures = Origin::Assumed);
    });
    let found = range(&deep).expect("a range");
    assert!((found.most / found.least - 0.97 * 101.325 / (0.9 * 94.0)).abs() < 1e-6);
}

#[test]
fn a_feed_by_a_tenth_within_its_table_and_at_the_peak_inside() {
    let mut project = leaking();
    feed(&mut project, ejector(), supply(&ejector()));
    edit_supply(&mut project, |supply| supply.feed_kpa = Sourced::assumed(480.0));
    let fed_with =
        |kpa: f64| with(&project, |p| edit_supply(p, |supply| supply.feed_kpa = Sourced::stated(kpa)));
    let found = range(&project).expect("a range");
    let what = format!("feed pressure of {}", project.circuits[0].name);
    assert_eq!(found.inputs, [what.as_str()]);
    // What a gauge on the air line shows, never a pressure above nothing.
    let told = Analyst::new().check(&project, layout(&project));
    let told = told.assumptions.iter().find(|assumed| assumed.what == what).expect("an assumed feed");
    assert_eq!(told.quantity, units::Quantity::FeedPressure);
    // 528 kPa is beyond the table.
    is_between(&found, &fed_with(432.0), &fed_with(500.0));
    // An ejector whose level has a peak at 480 kPa and falls beyond: the peak itself is tried.
    let point =
        |feed_kpa, flow_share, level_share| FeedPoint { feed_kpa, flow_share, level_share, air_nl_min: 80.0 };
    let project = with(&project, |p| {
        edit_source(p, |source| {
            source.feed = vec![point(350.0, 0.8, 0.8), point(480.0, 1.0, 1.0), point(600.0, 0.7, 0.6)];
            source.rated_feed_kpa = 480.0;
        });
        edit_supply(p, |supply| supply.feed_kpa = Sourced::assumed(500.0));
    });
    let fed_with =
        |kpa: f64| with(&project, |p| edit_supply(p, |supply| supply.feed_kpa = Sourced::stated(kpa)));
    is_between(&range(&project).expect("a range"), &fed_with(550.0), &fed_with(480.0));
}

#[test]
fn a_stated_level_that_is_assumed_by_a_tenth() {
    let mut project = fed();
    let circuit = Arc::make_mut(&mut project.circuits[0]);
    circuit.supply = None;
    circuit.level_kpa = Sourced::assumed(LEVEL);
    let found = range(&project).expect("a range");
    assert!((found.least / factor(&project) - 0.9).abs() < 1e-9);
    assert!((found.most / factor(&project) - 1.1).abs() < 1e-9);
}

#[test]
fn together_the_worse_ends_are_worse_than_each_alone() {
    let both = with(&leaking(), |p| {
        gap(p, Sourced::assumed(20.0));
        permeance(p, Sourced::assumed(PERMEANCE));
        edit_part(p, |part| part.friction = Sourced::assumed(0.5));
        let slides = &mut Arc::make_mut(&mut p.motions[0]).acceleration;
        slides.x = 3.0;
    });
    let found = range(&both).expect("a range");
    assert_eq!(found.inputs.len(), 3, "{:?}", found.inputs);
    let at = |um: f64, times: f64, friction: f64| {
        with(&both, |p| {
            gap(p, Sourced::stated(um));
            permeance(p, Sourced::stated(times * PERMEANCE));
            edit_part(p, |part| part.friction = Sourced::stated(friction));
        })
    };
    is_between(&found, &at(40.0, 1.5, 0.35), &at(10.0, 0.5, 0.65));
}

/// A sealing line that may be larger holds on a larger area, and leaks over a larger one.
#[test]
fn a_sealing_line_that_is_assumed_leaks_as_it_holds() {
    let project = with(&leaking(), |p| {
        Arc::make_mut(&mut p.models[0]).sealing_share = Sourced::assumed(SHARE);
    });
    let found = range(&project).expect("a range");
    let at = |share: f64| {
        with(&project, |p| Arc::make_mut(&mut p.models[0]).sealing_share = Sourced::stated(share))
    };
    let ends = [factor(&at(0.95 * SHARE)), factor(&at(1.05 * SHARE))];
    assert!((found.least / ends[0].min(ends[1]).min(factor(&project)) - 1.0).abs() < 1e-6);
    assert!((found.most / ends[0].max(ends[1]).max(factor(&project)) - 1.0).abs() < 1e-6);
}
