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
    let valve = ElementKind::CheckValve { through, opening_kpa: 0.0, seep: None };
    let checked = crate::samples::at_every_cup(&network, &valve);
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

/// One volume over a porous part with a straight curve, in closed form: V dp/dt = -(a p² + S p - a pa² - S pu), a = P A/2.
///
/// # Source
/// Partial fractions of the balance above; Darcy's law for an ideal gas (any text on flow through porous media).
fn porous_by_hand(volume_m3: f64, speed: f64, floor: f64, a: f64, (from, to): (f64, f64)) -> f64 {
    let pa = 101_325.0;
    let constant = a * pa * pa + speed * floor;
    let root = (speed * speed + 4.0 * a * constant).sqrt();
    let (high, low) = ((root - speed) / (2.0 * a), (-root - speed) / (2.0 * a));
    let side = |p: f64| ((p - high) / (p - low)).ln();
    volume_m3 / (a * (high - low)) * (side(from) - side(to))
}

fn vessel_with(volume_cm3: f64, leak: Option<Leak>) -> Network {
    let mut circuit = NetworkBuilder::new(Air::default());
    let vessel = circuit.vessel("vessel", volume_cm3);
    circuit.source("pump", vessel, pump(72.0, 85.0));
    let mut cup = Cup::tight("C1", 4.0);
    cup.leaks.extend(leak);
    circuit.cup_at(cup, vessel);
    circuit.build().unwrap()
}

/// At the step that is taken where nobody asks for another, times keep a millionth.
#[test]
fn the_usual_step_keeps_a_millionth() {
    let usual = |network: &Network, from: Option<&State>, pa: f64, rising: bool| {
        let level = kpa(101.325 - pa * 1e-3);
        let watches = vec![Watch { cup: CupId(0), level, rising }];
        let how = Follow { watches, stop: Stop::AllReached, until_s: 30.0, ..Follow::default() };
        follow(network, from, &how).reached[0].at_s.unwrap()
    };
    let curve = SourceCurve::linear(72.0, kpa(85.0));
    let air = Air::default();
    let tight = vessel_with(2000.0, None);
    let porous = vessel_with(2000.0, Some(Leak::porous(2.0, 2000.0)));
    let speed = kg_s_from_nl_min(72.0) * air.rt() / 85e3;
    for to in [80e3, 60e3, 45e3, 40e3] {
        let hand =
            emptying_time_s(2000.0, &curve, 0.0, air.ambient, AbsolutePressure::from_kpa(to * 1e-3), &air);
        let found = usual(&tight, None, to, true);
        assert!((found / hand.unwrap() - 1.0).abs() < 1e-6, "{to} {found} {hand:?}");
        let hand = porous_by_hand(2e-3, speed, 16_325.0, 2e-6 * 2e-3 / 2.0, (101_325.0, to));
        let found = usual(&porous, None, to, true);
        assert!((found / hand - 1.0).abs() < 1e-6, "{to} {found} {hand}");
    }
    // And held: the same part with the pump stopped, R T m = P A (pa² - p²)/2, a logarithm less the source.
    let steady = solve(&porous, None);
    let from = steady.nodes[0].unwrap().kpa() * 1e3;
    let held = hold(&porous, &steady.state, &[kpa(30.0)], 60.0).first().unwrap();
    let artanh = |p: f64| (p / 101_325.0).atanh() / (2e-6 * 2e-3 / 2.0 / 2e-3 * 101_325.0);
    let by_hand = artanh(71_325.0) - artanh(from);
    assert!((held / by_hand - 1.0).abs() < 1e-6, "{held} {by_hand}");
}

/// What stops at a level ends at it, not a step further.
#[test]
fn following_ends_at_the_level_that_stops_it() {
    let network = leaking(&[300.0, 2500.0]);
    let watch = |level: f64, rising: bool| -> Vec<Watch> {
        network.spec().cup_ids().map(|cup| Watch { cup, level: kpa(level), rising }).collect()
    };
    let up = Follow { watches: watch(60.0, true), stop: Stop::AllReached, ..Follow::default() };
    let up = follow(&network, None, &up);
    let least = |course: &Transient| {
        course.samples.last().unwrap().levels.iter().map(|level| level.kpa()).fold(f64::INFINITY, f64::min)
    };
    assert!((least(&up) - 60.0).abs() < 1e-5, "{}", least(&up));
    let last = up.reached.iter().filter_map(|reached| reached.at_s).fold(0.0, f64::max);
    assert!((up.samples.last().unwrap().time_s - last).abs() < 1e-12);
    let stopped = network.with_all_sources_running(false);
    let down = Follow { watches: watch(50.0, false), stop: Stop::FirstReached, ..Follow::default() };
    let down = follow(&stopped, Some(&up.state), &down);
    assert!((least(&down) - 50.0).abs() < 1e-5, "{}", least(&down));
}

/// Levels asked for at times between steps are those of the closed form: p - pu falls by exp(-S t / V).
#[test]
fn samples_are_there_at_the_times_asked_for() {
    let network = vessel_with(2000.0, None);
    let also_at = vec![0.05, 0.4, 0.71, 1.3, 1.999, 2.0];
    let course =
        follow(&network, None, &Follow { also_at: also_at.clone(), until_s: 2.0, ..Follow::default() });
    let speed = kg_s_from_nl_min(72.0) * Air::default().rt() / 85e3;
    for at in also_at {
        let sample = course.samples.iter().find(|sample| (sample.time_s - at).abs() < 1e-12).unwrap();
        let by_hand = 85.0 * (1.0 - (-speed * at / 2e-3).exp());
        assert!((sample.levels[0].kpa() - by_hand).abs() < 1e-4, "{at} {} {by_hand}", sample.levels[0].kpa());
    }
    assert!(course.samples.windows(2).all(|pair| pair[0].time_s < pair[1].time_s));
}

/// A cup that gives its travel is emptied of what it held at rest: by mass, p0 V(0) - p1 V(1), at a constant volume flow.
#[test]
fn the_travel_of_a_cup_is_evacuated_too() {
    let with = |free, held| {
        let mut circuit = NetworkBuilder::new(Air::default());
        let port = circuit.node("port");
        circuit.source("pump", port, pump(72.0, 101.325));
        circuit.cup_at(Cup::tight("C1", 4.0).with_volume(free, held).down_at(20.0), port);
        circuit.build().unwrap()
    };
    let time = |network: &Network| {
        let watches = vec![Watch { cup: CupId(0), level: kpa(60.0), rising: true }];
        let how = Follow { watches, stop: Stop::AllReached, ..Follow::default() };
        follow(network, None, &how).reached[0].at_s.unwrap()
    };
    // d(p V)/dt = -S p with V = V1 + D (1 - v/f)²: in closed form
    // S t = V1 ln(p0/p1) + D [1 + integral over the travel of (1 - u)²/p dp], the integral by Simpson's rule here.
    let (speed, p0, p1, full): (f64, f64, f64, f64) =
        (kg_s_from_nl_min(72.0) * Air::default().rt() / 101_325.0, 101_325.0, 41_325.0, 20e3);
    let by_hand = |free: f64, held: f64| {
        let left = |p: f64| {
            let u = (p0 - p) / full;
            if u < 1.0 { (1.0 - u).powi(2) / p } else { 0.0 }
        };
        let (steps, from) = (2000, p0 - full);
        let width = full / steps as f64;
        let sum: f64 = (0..=steps)
            .map(|i| {
                let weight = if i == 0 || i == steps {
                    1.0
                } else if i % 2 == 1 {
                    4.0
                } else {
                    2.0
                };
                weight * left(from + i as f64 * width)
            })
            .sum();
        (held * (p0 / p1).ln() + (free - held) * (1.0 + sum * width / 3.0)) * 1e-6 / speed
    };
    for (free, held) in [(50.0, 50.0), (90.0, 20.0), (60.0, 1.0)] {
        let (found, hand) = (time(&with(free, held)), by_hand(free, held));
        assert!((found / hand - 1.0).abs() < 2e-6, "{found} {hand}");
    }
    assert!(time(&with(90.0, 20.0)) > 1.5 * time(&with(20.0, 20.0)));
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
        prop_assert!((usual / fine - 1.0).abs() < 1e-5, "{usual} {fine}");
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

/// A check valve that is not quite tight: V dp/dt = R T k (pa² - x²), x = max(0, p - b pa)/(1 - b), with k from the flow stated at
/// a level, so that the pressure rises evenly while x is 0 and then by an artanh; 5 ml/min ANR at 60 kPa.
#[test]
fn a_check_valve_seeps_as_stated() {
    let seep = Seep { nl_min: 0.005, at: kpa(60.0) };
    let through = Restriction { conductance_dm3_s_bar: 2.0, critical_ratio: 0.3 };
    let mut circuit = NetworkBuilder::new(Air::default());
    let (cup_side, port) = (circuit.vessel("manifold", 50.0), circuit.node("port"));
    let kind = ElementKind::CheckValve { through, opening_kpa: 0.0, seep: Some(seep) };
    circuit.element("check", cup_side, port, kind);
    let open = Restriction { conductance_dm3_s_bar: 5.0, critical_ratio: 0.5 };
    circuit.source("pump", port, pump(60.0, 80.0).with_way_back(open));
    circuit.cup_at(Cup::tight("C1", 4.0), cup_side);
    let network = circuit.build().unwrap();
    let held = hold(&network, &solve(&network, None).state, &[kpa(60.0)], 600.0).first().unwrap();
    let (pa, air): (f64, Air) = (101_325.0, Air::default());
    let x = |p: f64| (p - 0.3 * pa).max(0.0) / 0.7;
    let k = kg_s_from_nl_min(0.005) / (pa * pa - x(pa - 60e3).powi(2));
    let rate = k * air.rt() * pa / 50e-6;
    let by_hand = 0.7 * (x(pa - 60e3) / pa).atanh() / rate + (0.3 * pa - (pa - 80e3)) / (rate * pa);
    assert!((held / by_hand - 1.0).abs() < 1e-3, "{held} {by_hand}");
    // The opening of a source's own check valve lets the same through at that level.
    let opening = seep.opening().unwrap();
    let flow = opening.flow(AbsolutePressure::from_kpa(101.325), AbsolutePressure::from_kpa(41.325), &air);
    assert!((flow.nl_min - 0.005).abs() < 1e-12);
}
