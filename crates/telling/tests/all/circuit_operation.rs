//! How a circuit is run: valve and switch, blow-off, motors, vessel, check valves that seep, exhaust, air in cups at rest.

use crate::common::{circuits::*, *};
use analysis::{Analyst, CircuitSlow, Report, Severity};
use document::{BlowOff, Exhaust, Operation, Project, Restriction, Sourced, ZoneValve};
use std::sync::Arc;

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn slow(report: &Report) -> &CircuitSlow {
    report.circuits[0].slow.as_ref().expect("slow figures")
}

fn operated(project: &Project, change: impl Fn(&mut Operation)) -> Project {
    let mut project = project.clone();
    edit_supply(&mut project, |supply| change(&mut supply.operation));
    project
}

/// On a part that air comes through, fed by an ejector, 600 picks an hour.
fn ejected() -> Project {
    let mut project = leaking();
    feed(&mut project, ejector(), supply(&ejector()));
    project.cycle.picks_per_hour = Sourced::stated(600.0);
    project
}

fn slowest(slow: &CircuitSlow) -> f64 {
    slow.evacuation.iter().filter_map(|curve| curve.to_90_s).fold(0.0, f64::max)
}

#[test]
fn valve_and_switch_stand_in_every_time() {
    let project = ejected();
    let of = |valve: f64, switch: f64| {
        let timed = operated(&project, |operation| {
            (operation.valve_s.value, operation.switch_s.value) = (valve, switch);
        });
        slow(&whole(&timed)).clone()
    };
    let (none, both) = (of(0.0, 0.0), of(0.2, 0.1));
    let more = |a: f64, b: f64, by: f64| assert!((a - b - by).abs() < 1e-9, "{a} {b} {by}");
    more(slowest(&both), slowest(&none), 0.2);
    more(both.release_s.expect("a time"), none.release_s.expect("a time"), 0.2);
    more(both.release_blow_off_s.expect("a time"), none.release_blow_off_s.expect("a time"), 0.2);
    let held = |slow: &CircuitSlow| slow.controls.expect("controls").held_s.expect("a time");
    more(held(&both), held(&none), 0.3);
    more(both.running_s.expect("a time"), none.running_s.expect("a time"), 0.3);
    more(both.pick_s.expect("a time"), none.pick_s.expect("a time"), 0.5);
    // The feed fails by itself.
    assert_eq!(both.hold_with_check_s, none.hold_with_check_s);
    // What is drawn begins with the signal.
    assert_eq!(both.evacuation[0].points[..2], [(0.0, 0.0), (0.2, 0.0)]);
    // Where nobody said, both are assumed and told.
    let told = whole(&project);
    for what in ["valve response of Circuit 1", "switch delay of Circuit 1"] {
        assert!(told.assumptions.iter().any(|assumed| assumed.what == what), "{what}");
    }
}

/// The blow-off valve is choked, so that it passes C rho0 p for as long as it is open: until the last cup has gone, and
/// until it has shut again (ISO 6358, from memory).
#[test]
fn air_blown_off_is_counted_by_its_valve() {
    let project = ejected();
    let with = |blow_off: BlowOff| {
        slow(&whole(&operated(&project, |operation| operation.blow_off = blow_off))).clone()
    };
    let restriction = Restriction { c_dm3_s_bar: 0.6, b: 0.3 };
    let stated = with(BlowOff::Valve { restriction, feed_kpa: 300.0 });
    let (usual, none) = (with(BlowOff::Usual), with(BlowOff::NotFitted));
    let air = stated.blow_off_nl_per_pick.expect("air");
    // dm³ ANR a second at an absolute feed of 401.325 kPa; the site's temperature takes 20 °C's place.
    let warm = (293.15 / (273.15 + project.site.temperature_c)).sqrt();
    let by_hand = 0.6 * 4.013_25 * warm * stated.release_blow_off_s.expect("a time");
    assert!((air / by_hand - 1.0).abs() < 1e-3, "{air} {by_hand}");
    let of_pick = |slow: &CircuitSlow| slow.air_nl_per_pick.expect("air");
    assert!((of_pick(&stated) - of_pick(&none) - air).abs() < 1e-9);
    assert!(usual.release_blow_off_s.is_some() && usual.blow_off_nl_per_pick.is_some());
    assert_eq!((none.release_blow_off_s, none.blow_off_nl_per_pick), (None, None));
    assert!(stated.cost_per_year > none.cost_per_year);
    // A pump has none unless it is stated; then it is worked out as well.
    let pumped = fed();
    assert_eq!(slow(&whole(&pumped)).release_blow_off_s, None);
    let blown = operated(&pumped, |operation| operation.blow_off = BlowOff::valve());
    assert!(slow(&whole(&blown)).release_blow_off_s.is_some());
}

/// 250 W through 6 s, or only while there is vacuum.
#[test]
fn a_motor_runs_through_the_cycle_unless_it_is_stated_to_stop() {
    let mut project = fed();
    project.cycle.picks_per_hour = Sourced::stated(600.0);
    let report = whole(&project);
    let running = slow(&report);
    assert_eq!(running.motors_run_s, Some(6.0));
    assert!((running.energy_wh_per_pick.expect("energy") - 250.0 * 6.0 / 3600.0).abs() < 1e-9);
    let stopping = whole(&operated(&project, |operation| operation.motors_stop = true));
    let stopping = slow(&stopping);
    let run_s = stopping.motors_run_s.expect("a time");
    assert_eq!(stopping.motors_run_s, stopping.running_s);
    assert!(
        run_s < 6.0 && (stopping.energy_wh_per_pick.expect("energy") - 250.0 * run_s / 3600.0).abs() < 1e-9
    );
}

/// The same feed above an atmosphere of 84.556 kPa (1500 m, ISO 2533, from memory) is less air.
#[test]
fn consumption_follows_the_altitude() {
    let mut project = ejected();
    let air = |project: &Project| whole(project).circuits[0].air_nl_min.expect("air");
    let low = air(&project);
    project.site.altitude_m = 1500.0;
    let feed = project.circuits[0].supply.as_ref().expect("a supply").feed_kpa.value;
    let share = (feed + 84.556) / (feed + 101.325);
    assert!((air(&project) / low - share).abs() < 1e-5, "{} {low} {share}", air(&project));
}

#[test]
fn a_vessel_takes_time_to_empty_and_keeps_the_level_longer() {
    let project = ejected();
    let with = |ml: f64| slow(&whole(&operated(&project, |operation| operation.vessel_ml = ml))).clone();
    let (without, with) = (with(0.0), with(1000.0));
    assert!(slowest(&with) > 3.0 * slowest(&without));
    assert!(with.hold_with_check_s.expect("a time") > 3.0 * without.hold_with_check_s.expect("a time"));
    // It has no place where each cup has its own source, and counts for nothing there.
    let own = |ml: f64| {
        let mut own = operated(&project, |operation| operation.vessel_ml = ml);
        edit_supply(&mut own, |supply| supply.arrangement = document::Arrangement::PerCup);
        slowest(slow(&whole(&own)))
    };
    assert_eq!(own(1000.0), own(0.0));
}

#[test]
fn a_check_valve_that_seeps_ends_the_hold() {
    // Tight cups: without a seep they are held for ever.
    let mut project = fed();
    feed(&mut project, ejector(), supply(&ejector()));
    let held = |nl_min: f64| {
        let seeping = operated(&project, |operation| operation.check_leak_nl_min = Sourced::stated(nl_min));
        slow(&whole(&seeping)).hold_with_check_s.expect("a time")
    };
    let (usual, twice) = (held(0.02), held(0.04));
    assert_eq!(held(0.0), f64::INFINITY);
    assert!(usual.is_finite() && (usual / twice - 2.0).abs() < 0.02, "{usual} {twice}");
    let told = whole(&project);
    assert!(told.assumptions.iter().any(|assumed| assumed.what == "check valve leak of Circuit 1"));
}

#[test]
fn an_exhaust_hose_takes_flow_and_level() {
    let project = ejected();
    let with = |exhaust: Option<Exhaust>| {
        let report =
            Analyst::new().check(&operated(&project, |o| o.exhaust = exhaust.clone()), layout(&project));
        let source = &report.circuits[0].sources[0];
        (source.deepest_kpa, report.circuits[0].worst_cup().expect("a level").level_kpa, source.curve[0].1)
    };
    let thin = Exhaust { length_mm: 5000.0, ..Exhaust::preset(8.0) };
    let silencer = Some(Restriction { c_dm3_s_bar: 1.5, b: 0.3 });
    let (free, hose, both) =
        (with(None), with(Some(thin.clone())), with(Some(Exhaust { silencer, ..thin.clone() })));
    for (free, hose, both) in [(free.0, hose.0, both.0), (free.1, hose.1, both.1), (free.2, hose.2, both.2)] {
        assert!(both < hose && hose < 0.99 * free, "{both} {hose} {free}");
    }
    // What it takes is said; where nothing is left, that is no small figure but a failure.
    let found = |exhaust: Option<Exhaust>| {
        let report = whole(&operated(&project, |o| o.exhaust = exhaust.clone()));
        report.findings.iter().find(|f| f.rule == "circuit.exhaust").map(|f| (f.severity, f.says.clone()))
    };
    let (severity, says) = found(Some(thin.clone())).expect("a finding");
    let took = |(now, free): (f64, f64)| format!("{:.1} %", 100.0 * (1.0 - now / free));
    assert_eq!(severity, Severity::Watch);
    assert!(says.contains(&format!("{} of its free flow", took((hose.2, free.2)))), "{says}");
    assert!(says.contains(&format!("{} of its deepest", took((hose.0, free.0)))), "{says}");
    let (severity, says) =
        found(Some(Exhaust { length_mm: 9000.0, ..Exhaust::preset(4.0) })).expect("a finding");
    assert!(severity == Severity::Fail && says.contains("leaves no"), "{says}");
    // Only what is there is named.
    let larger = Some(Restriction { c_dm3_s_bar: 5.0, b: 0.3 });
    let (_, says) =
        found(Some(Exhaust { silencer: larger, length_mm: 0.0, ..thin.clone() })).expect("a finding");
    assert!(says.starts_with("The silencer behind"), "{says}");
    assert_eq!(found(Some(Exhaust::preset(30.0))), None);
    // A wide one changes next to nothing.
    assert!(with(Some(Exhaust::preset(30.0))).1 > 0.998 * free.1);
    let assumed = whole(&operated(&project, |o| o.exhaust = Some(thin.clone()))).assumptions.clone();
    assert!(assumed.iter().any(|a| a.what == "flow lost to back-pressure of Circuit 1"));
}

/// Air at rest as it is stated takes the place of what follows from the geometry, and more takes longer.
#[test]
fn air_at_rest_is_evacuated() {
    let project = ejected();
    let with = |free: Option<f64>| {
        let mut project = project.clone();
        Arc::make_mut(&mut project.models[0]).free_ml = free.map(Sourced::stated);
        whole(&project)
    };
    let assumed = with(None);
    let own = project.models[0].free().value;
    // By hand: the lip's area times travel and height left, and the bore.
    let model = &project.models[0];
    let area = std::f64::consts::FRAC_PI_4 * (50.0 * SHARE).powi(2);
    let bore = std::f64::consts::FRAC_PI_4 * model.bore_mm * model.bore_mm * model.height_mm;
    let by_hand = (area * (model.travel_mm.value + model.channel_mm.value) + bore) * 1e-3;
    assert!((own / by_hand - 1.0).abs() < 1e-9, "{own} {by_hand}");
    assert!((slowest(slow(&with(Some(own)))) - slowest(slow(&assumed))).abs() < 1e-9);
    assert!(slowest(slow(&with(Some(3.0 * own)))) > 1.5 * slowest(slow(&assumed)));
    let told = assumed.assumptions.iter().find(|told| told.what.starts_with("volume inside")).expect("told");
    assert!(told.what.contains("lip area × (travel + air gap) + bore"), "{}", told.what);
    assert!(!with(Some(own)).assumptions.iter().any(|told| told.what.starts_with("volume inside")));
}

/// With check valves at the cups and a source for each, air is blown in at the cup's side of them.
#[test]
fn release_with_own_sources_gets_past_the_check_valves() {
    for arrangement in [document::Arrangement::PerCup, document::Arrangement::InLine] {
        let mut project = ejected();
        edit_supply(&mut project, |supply| {
            (supply.arrangement, supply.check_valve_at_cup) = (arrangement, true);
        });
        let report = whole(&project);
        assert!(slow(&report).release_blow_off_s.is_some_and(|time| time < 1.0), "{arrangement:?}");
        // Six valves blow.
        let air = slow(&report).blow_off_nl_per_pick.expect("air");
        let central = whole(&ejected());
        assert!(air > slow(&central).blow_off_nl_per_pick.expect("air"));
        // And where the zone asks for a check valve.
        edit_supply(&mut project, |supply| {
            let restriction = Restriction { c_dm3_s_bar: 3.0, b: 0.3 };
            let zone = String::new();
            supply.valves = vec![ZoneValve { zone, restriction, check_valve: true, manifold: None }];
        });
        edit_layout(&mut project, |layout| layout.cups.iter_mut().for_each(|cup| cup.zone = "A".to_owned()));
        edit_supply(&mut project, |supply| supply.valves[0].zone = "A".to_owned());
        assert!(slow(&whole(&project)).release_blow_off_s.is_some(), "{arrangement:?}");
    }
}

#[test]
fn a_pick_that_does_not_fit_its_cycle_fails() {
    let mut project = ejected();
    let finding = |project: &Project| {
        let report = whole(project);
        report.findings.iter().find(|finding| finding.rule == "circuit.cycle").cloned()
    };
    assert!(finding(&project).is_none());
    project.cycle.picks_per_hour = Sourced::stated(3000.0);
    let found = finding(&project).expect("a finding");
    assert_eq!(found.severity, analysis::Severity::Fail);
    assert!(found.says.contains("3000 cycles per hour leave 1.20 s for each"), "{}", found.says);
    // As the remedy says.
    project.cycle.hold_s = Sourced::stated(0.2);
    assert!(finding(&project).is_none());
}

/// Check valves at the cups of one central source keep the level when the part is to be set down as well: that is said, and no
/// pick is taken as short.
#[test]
fn a_part_that_is_not_let_go_is_said() {
    let mut project = ejected();
    let found = |project: &Project| {
        let report = whole(project);
        let pick = slow(&report).pick_s;
        (report.findings.iter().find(|f| f.rule == "circuit.release").map(|f| f.says.clone()), pick)
    };
    let (says, pick) = found(&project);
    assert!(says.is_none() && pick.is_some(), "{says:?} {pick:?}");
    edit_supply(&mut project, |supply| {
        supply.check_valve_at_cup = true;
        supply.lip_gap_um = Sourced::stated(0.0);
        supply.operation.check_leak_nl_min = Sourced::stated(0.0);
    });
    edit_part(&mut project, |part| part.permeance_um_pa_s = Some(Sourced::stated(0.0)));
    let (says, pick) = found(&project);
    let says = says.expect("a finding");
    assert!(says.contains("check valves hold it") && pick.is_none(), "{says} {pick:?}");
}
