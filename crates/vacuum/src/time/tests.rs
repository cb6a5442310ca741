use super::*;
use crate::samples::{pump, star};
use crate::*;
use proptest::prelude::*;
use units::{AbsolutePressure, VacuumLevel};

fn kpa(kpa: f64) -> VacuumLevel {
    VacuumLevel::from_kpa(kpa)
}

fn leaking(lengths_mm: &[f64]) -> Network {
    star(lengths_mm, 6.0, 1.0, pump(90.0, 85.0), Some(Leak::porous(0.5, 1000.0)))
}

#[test]
fn evacuation_ends_at_the_steady_level() {
    let network = leaking(&[300.0, 900.0, 2500.0]);
    let course = follow(&network, None, &Follow { until_s: 20.0, ..Follow::default() });
    assert_eq!(course.status, TransientStatus::Complete);
    let steady = solve(&network, None);
    for (cup, level) in course.samples.last().unwrap().levels.iter().enumerate() {
        assert!((level.kpa() - steady.cups[cup].level.unwrap().kpa()).abs() < 0.01);
    }
    // From the steady state nothing happens.
    let calm = follow(&network, Some(&steady.state), &Follow::default());
    let moved = |sample: &Sample| (sample.levels[0].kpa() - steady.cups[0].level.unwrap().kpa()).abs();
    assert!(calm.samples.iter().all(|sample| moved(sample) < 1e-6));
}

#[test]
fn shares_are_reached_in_order_and_the_far_cup_last() {
    let times = evacuate(&leaking(&[300.0, 2500.0]), &Evacuation::default()).unwrap();
    for cup in &times.times_s {
        let cup: Vec<f64> = cup.iter().map(|time| time.unwrap()).collect();
        assert!(cup.windows(2).all(|pair| pair[1] > pair[0]) && cup.len() == 3);
    }
    assert!(times.times_s[1][2] > times.times_s[0][2]);
    assert_eq!(times.all_at_share(2), times.times_s[1][2]);
}

#[test]
fn a_cup_that_lands_late_holds_up_the_others() {
    let network = leaking(&[500.0, 500.0, 500.0]);
    let at_once = evacuate(&network, &Evacuation::default()).unwrap().all_at_share(2).unwrap();
    let sealing = vec![(CupId(0), 0.0), (CupId(1), 0.2), (CupId(2), 0.6)];
    let late = evacuate(&network, &Evacuation { sealing, ..Evacuation::default() }).unwrap();
    assert!(late.all_at_share(2).unwrap() > 0.6 + 0.5 * at_once);
    // While one bore is open none gets to 90 %.
    assert!(late.times_s.iter().all(|cup| cup[2].unwrap() > 0.6));
    assert_eq!(late.working.len(), 3);
}

#[test]
fn a_level_out_of_reach_has_no_time() {
    let watch = Watch { cup: CupId(0), level: kpa(84.0), rising: true };
    let how = Follow { watches: vec![watch], until_s: 3.0, ..Follow::default() };
    let course = follow(&leaking(&[300.0]), None, &how);
    assert_eq!((course.status, course.reached[0].at_s), (TransientStatus::Complete, None));
}

/// Against the closed form of one volume: the slope of pressure at a cup that only leaks.
#[test]
fn a_check_valve_holds_what_a_way_back_loses() {
    let base = star(&[300.0, 300.0], 6.0, 1.0, pump(90.0, 85.0), Some(Leak::porous(0.02, 1000.0)));
    let way = Restriction { conductance_dm3_s_bar: 1.0, critical_ratio: 0.3 };
    let open_way =
        base.edit(|circuit| circuit.source_mut(SourceId(0)).unwrap().source.way_back = Some(way)).unwrap();
    let needed = [kpa(60.0); 2];
    let from = solve(&base, None).state;
    let held = hold(&base, &from, &needed, 600.0).first().unwrap();
    let lost = hold(&open_way, &from, &needed, 600.0).first().unwrap();
    assert!(held > 20.0 * lost, "{held} {lost}");
    // By hand: two leaks of about 0.02 µm/(Pa·s) x 10 cm² fill all volumes from 84 to 60 kPa, R T m = P A (pa² - p²)/2.
    let volume: f64 = base.volumes_cm3().iter().sum::<f64>() * 1e-6;
    let rate = 2.0 * 0.02e-6 * 1e-3 / (2.0 * volume);
    let artanh = |p: f64| (p / 101_325.0).atanh() / (rate * 101_325.0);
    let steady = solve(&base, None).nodes[1].unwrap().kpa() * 1e3;
    let by_hand = artanh(101_325.0 - 60e3) - artanh(steady);
    assert!((held / by_hand - 1.0).abs() < 1e-3, "{held} by hand {by_hand}");
}

#[test]
fn a_tight_circuit_holds_for_ever() {
    let network = star(&[300.0], 6.0, 1.0, pump(90.0, 85.0), None);
    let times = hold(&network, &solve(&network, None).state, &[kpa(80.0)], 3600.0);
    assert_eq!((times.times_s, times.course.status), (vec![None], TransientStatus::Complete));
}

/// A check valve at each cup keeps the good cup when another comes off.
#[test]
fn check_valves_keep_a_tight_cup_when_another_opens() {
    let through = Restriction { conductance_dm3_s_bar: 2.0, critical_ratio: 0.3 };
    let network = star(&[300.0, 300.0], 6.0, 1.0, pump(90.0, 85.0), None);
    let checked = check_valve_per_cup(&network, through, 0.0).unwrap().network;
    let lose = Event { at_s: 0.5, change: Change::CupOpen { cup: CupId(0), open: true } };
    let how = Follow { events: vec![lose], until_s: 3.0, ..Follow::default() };
    let kept = |network: &Network| {
        let course = follow(network, Some(&solve(network, None).state), &how);
        assert_eq!(course.status, TransientStatus::Complete);
        course.samples.last().unwrap().levels[1].kpa()
    };
    assert!(kept(&checked) > 84.9 && kept(&network) < 20.0);
}

#[test]
fn blow_off_releases_faster_than_a_vent() {
    let network = leaking(&[500.0, 800.0]);
    let from = solve(&network, None).state;
    let through = Restriction { conductance_dm3_s_bar: 0.5, critical_ratio: 0.3 };
    let port = NodeId(0);
    let with = |leak| Release { inlets: vec![(port, leak)], gone: kpa(3.0), until_s: 20.0 };
    let vent = release(&network, &from, &with(Leak::Vent(through))).unwrap();
    let blow = release(&network, &from, &with(Leak::Blow { through, gauge_kpa: 300.0 })).unwrap();
    let nothing =
        release(&network, &from, &Release { inlets: Vec::new(), gone: kpa(3.0), until_s: 1.0 }).unwrap();
    for cup in 0..2 {
        let (slow, fast) = (vent.times_s[cup].unwrap(), blow.times_s[cup].unwrap());
        assert!(fast < 0.6 * slow && fast > 0.0, "{fast} {slow}");
        assert_eq!(nothing.times_s[cup], None);
    }
    let wrong = with(Leak::Blow { through, gauge_kpa: -1.0 });
    let error = release(&network, &from, &wrong).unwrap_err();
    assert_eq!(error.to_string(), "leak \"release 1\": its supply is -1 kPa; it must be more than 0");
}

#[test]
fn valves_and_sources_switch_on_the_way() {
    let through = Restriction { conductance_dm3_s_bar: 2.0, critical_ratio: 0.3 };
    let mut circuit = NetworkBuilder::new(Air::default());
    let port = circuit.node("port");
    let source = circuit.source("pump", port, pump(90.0, 85.0).stopped());
    let cup = circuit.cup(Cup::tight("C1", 4.0).with_volume(100.0, 100.0));
    let valve = ElementKind::Valve { through, open: false };
    let valve = circuit.element("V1", circuit.cup_node(cup), port, valve);
    let network = circuit.build().unwrap();
    let events = vec![
        Event { at_s: 0.1, change: Change::SourceRunning { source, running: true } },
        Event { at_s: 0.5, change: Change::ValveOpen { valve, open: true } },
    ];
    let watches = vec![Watch { cup, level: kpa(1.0), rising: true }];
    let course = follow(&network, None, &Follow { events, watches, until_s: 2.0, ..Follow::default() });
    let at = course.reached[0].at_s.unwrap();
    assert!(at > 0.5 && at < 0.6, "{at}");
}

#[test]
fn odd_figures_end_at_once() {
    let network = leaking(&[300.0]);
    for until_s in [-1.0, 0.0] {
        let course = follow(&network, None, &Follow { until_s, ..Follow::default() });
        assert_eq!((course.status, course.samples.len()), (TransientStatus::Complete, 1));
    }
    // What cannot be followed to its end is not told as followed.
    for until_s in [f64::NAN, f64::INFINITY, 1e30] {
        let course = follow(&network, None, &Follow { until_s, ..Follow::default() });
        assert_eq!((course.status, course.samples.len()), (TransientStatus::NotConverged { at_s: 0.0 }, 1));
    }
    for accuracy_kpa in [0.0, -1.0, f64::NAN] {
        let course = follow(&network, None, &Follow { until_s: 0.01, accuracy_kpa, ..Follow::default() });
        assert_eq!(course.status, TransientStatus::Complete);
    }
}

#[test]
fn the_hand_check_says_when_a_leak_is_too_much() {
    let (curve, air) = (SourceCurve::linear(60.0, kpa(80.0)), Air::default());
    let to = AbsolutePressure::from_kpa(40.0);
    let time = |leak| emptying_time_s(500.0, &curve, leak, air.ambient, to, &air);
    assert!(time(10.0).unwrap() > time(0.0).unwrap());
    assert_eq!(time(40.0), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// A finer step moves the times by no more than the error allowed.
    #[test]
    fn times_do_not_depend_on_the_step(
        lengths in prop::collection::vec(50.0..3000.0_f64, 1..5), permeance in 0.01..3.0_f64,
    ) {
        let network = star(&lengths, 6.0, 1.0, pump(90.0, 85.0), Some(Leak::porous(permeance, 1000.0)));
        let time = |accuracy_kpa| {
            let how = Evacuation { accuracy_kpa, ..Evacuation::default() };
            evacuate(&network, &how).unwrap().all_at_share(2).unwrap()
        };
        let (usual, fine) = (time(follow::USUAL_ACCURACY_KPA), time(1e-6));
        prop_assert!((usual / fine - 1.0).abs() < 5e-3, "{usual} {fine}");
    }

    /// Random circuits can be followed, whatever hangs in them.
    #[test]
    fn random_circuits_are_followed(seed in 0..10_000_u64) {
        let network = crate::samples::random_network(seed);
        let course = follow(&network, None, &Follow { until_s: 0.5, accuracy_kpa: 0.05, ..Follow::default() });
        prop_assert_eq!(course.status, TransientStatus::Complete);
        let finite = |sample: &Sample| sample.levels.iter().all(|level| level.kpa().is_finite() && level.kpa() > -1.0);
        prop_assert!(course.samples.iter().all(finite));
    }
}

/// Found by the property above: cups land, valves open and hoses of next to no volume ask for flows at once.
#[test]
fn flows_at_the_start_are_found_for_fixed_pressures() {
    for seed in [176, 3593] {
        let network = crate::samples::random_network(seed);
        let course =
            follow(&network, None, &Follow { until_s: 0.1, accuracy_kpa: 0.05, ..Follow::default() });
        assert_eq!(course.status, TransientStatus::Complete);
    }
}
