use super::*;
use crate::samples::{pump, star};
use crate::*;

fn ejector() -> Source {
    let row = |feed_kpa, free_flow_nl_min, ultimate_kpa, consumption_nl_min| FeedRow {
        feed_kpa,
        free_flow_nl_min,
        ultimate_kpa,
        consumption_nl_min,
    };
    let rows = vec![row(300.0, 40.0, 60.0, 50.0), row(500.0, 70.0, 85.0, 75.0)];
    Source::ejector(Ejector { shape: CurveShape::Linear, rows }, 400.0)
}

fn picking(saving: Option<AirSaving>) -> Picking {
    Picking {
        vacuum_s: 10.0,
        picks_per_year: 1e6,
        saving,
        reaction_s: 0.0,
        motors_run_s: None,
        blown_nl: 0.0,
        evacuation: Evacuation::default(),
        compressor: Compressor { line_kpa: 700.0, inlet: AbsolutePressure::from_kpa(100.0), efficiency: 0.7 },
        price_per_kwh: 0.2,
    }
}

fn saving(stop: f64, restart: f64) -> Option<AirSaving> {
    Some(AirSaving { stop: VacuumLevel::from_kpa(stop), restart: VacuumLevel::from_kpa(restart) })
}

fn circuit(permeance: f64) -> Network {
    star(&[400.0, 600.0], 6.0, 1.0, ejector(), Some(Leak::porous(permeance, 1000.0)))
}

#[test]
fn without_saving_the_source_runs_all_the_time() {
    let cost = pick_cost(&circuit(0.1), &picking(None)).unwrap();
    // 62.5 L/min ANR half-way between the rows, for 10 s.
    assert!((cost.air_nl - 62.5 / 6.0).abs() < 1e-9);
    assert!((cost.energy_wh - cost.air_nl * 0.112_701_018).abs() < 1e-6);
    assert!((cost.price_per_year - cost.energy_wh * 1e-3 * 1e6 * 0.2).abs() < 1e-6);
    assert_eq!((cost.running_s, cost.saves, cost.starts), (10.0, false, 1.0));
}

#[test]
fn air_saving_runs_only_to_bring_the_level_back() {
    let whole = pick_cost(&circuit(0.02), &picking(None)).unwrap();
    let saved = pick_cost(&circuit(0.02), &picking(saving(60.0, 50.0))).unwrap();
    assert!(saved.saves && saved.running_s < 0.3 * whole.running_s && saved.starts >= 1.0);
    assert!((saved.air_nl / whole.air_nl - saved.running_s / whole.running_s).abs() < 1e-9);
    // A part that leaks more saves less, a level out of reach nothing.
    let leaky = pick_cost(&circuit(0.5), &picking(saving(50.0, 40.0))).unwrap();
    assert!(leaky.saves && leaky.starts > saved.starts && leaky.running_s > saved.running_s);
    let never = pick_cost(&circuit(5.0), &picking(saving(60.0, 50.0))).unwrap();
    assert_eq!((never.saves, never.running_s), (false, 10.0));
}

/// The share of time that air saving leaves is that of following the whole pick with its switching.
#[test]
fn the_proportion_agrees_with_following_every_switch() {
    let network = circuit(0.5);
    let quick = pick_cost(&network, &picking(saving(50.0, 40.0))).unwrap();
    let (mut time, mut running, mut on) = (0.0, 0.0, true);
    let mut state = None;
    while time < 10.0 {
        let current = network.with_all_sources_running(on);
        let level = VacuumLevel::from_kpa(if on { 50.0 } else { 40.0 });
        let watches = current.spec().cup_ids().map(|cup| Watch { cup, level, rising: on }).collect();
        let how = Follow { watches, until_s: 10.0 - time, stop: Stop::AllReached, ..Follow::default() };
        let course = follow(&current, state.as_ref(), &how);
        let times = course.reached.iter().filter_map(|reached| reached.at_s);
        let spent = if on { times.fold(0.0, f64::max) } else { times.fold(10.0, f64::min) }.min(10.0 - time);
        let exact = Follow { until_s: spent, watches: Vec::new(), ..how };
        state = Some(follow(&current, state.as_ref(), &exact).state);
        running += if on { spent } else { 0.0 };
        time += spent.max(1e-6);
        on = !on;
    }
    assert!((running / quick.running_s - 1.0).abs() < 0.1, "{running} {}", quick.running_s);
}

#[test]
fn a_pump_costs_its_motor() {
    let network = star(&[400.0], 6.0, 1.0, pump(60.0, 80.0), Some(Leak::porous(0.1, 1000.0)));
    let cost = pick_cost(&network, &picking(None)).unwrap();
    assert_eq!((cost.air_nl, cost.energy_wh), (0.0, 300.0 * 10.0 / 3600.0));
    assert_eq!(consumption(&network).unwrap(), vec![(SourceId(0), 0.0, 300.0)]);
}

/// A pump that runs on takes its power all through the cycle: 600 picks an hour are 6 s each.
#[test]
fn motors_run_through_the_cycle_and_air_blown_off_is_air() {
    let pumped = star(&[400.0], 6.0, 1.0, pump(60.0, 80.0), Some(Leak::porous(0.1, 1000.0)));
    let short = Picking { vacuum_s: 2.0, motors_run_s: Some(6.0), ..picking(None) };
    let cost = pick_cost(&pumped, &short).unwrap();
    assert_eq!((cost.running_s, cost.motors_run_s, cost.energy_wh), (2.0, 6.0, 300.0 * 6.0 / 3600.0));
    // A cycle shorter than the time under vacuum saves nothing.
    let shorter = Picking { motors_run_s: Some(1.0), ..short };
    assert_eq!(pick_cost(&pumped, &shorter).unwrap().motors_run_s, 2.0);
    let plain = pick_cost(&circuit(0.1), &picking(None)).unwrap();
    let blown = pick_cost(&circuit(0.1), &Picking { blown_nl: 0.5, ..picking(None) }).unwrap();
    assert!((blown.air_nl - plain.air_nl - 0.5).abs() < 1e-12);
    assert!((blown.energy_wh - plain.energy_wh - 0.5 * 0.112_701_018).abs() < 1e-6);
}

/// A switch and a valve that take their time let the source draw on past its level, and the level fall on past the other.
#[test]
fn air_saving_waits_for_switch_and_valve() {
    let prompt = pick_cost(&circuit(0.02), &picking(saving(60.0, 50.0))).unwrap();
    let slow = Picking { reaction_s: 0.1, ..picking(saving(60.0, 50.0)) };
    let slow = pick_cost(&circuit(0.02), &slow).unwrap();
    assert!(
        slow.saves && slow.running_s > prompt.running_s + 0.09,
        "{} {}",
        slow.running_s,
        prompt.running_s
    );
    let never = Picking { reaction_s: 20.0, ..picking(saving(60.0, 50.0)) };
    assert_eq!(pick_cost(&circuit(0.02), &never).unwrap().running_s, 10.0);
}

#[test]
fn figures_that_cannot_be_are_refused() {
    let wrong = Picking { vacuum_s: 0.0, ..picking(None) };
    let error = pick_cost(&circuit(0.1), &wrong).unwrap_err();
    assert_eq!(error.to_string(), "the time under vacuum is 0; it must be more than 0");
}

#[test]
fn the_level_that_saving_may_stop_at_is_the_worst_cups() {
    let network = circuit(0.5);
    let deepest = deepest_common_level(&network).unwrap();
    let levels = crate::samples::levels(&network);
    assert_eq!(deepest.kpa(), levels[0].min(levels[1]));
}
