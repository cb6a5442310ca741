use super::*;
use crate::network::NetworkBuilder;
use crate::samples::levels;
use crate::*;
use units::VacuumLevel;

/// Three cups on a manifold behind a filter, fed by an ejector.
fn well() -> Network {
    leaking([0.4, 0.6, 0.5])
}

fn leaking(permeances: [f64; 3]) -> Network {
    let row = |feed_kpa, free_flow_nl_min, ultimate_kpa, consumption_nl_min| FeedRow {
        feed_kpa,
        free_flow_nl_min,
        ultimate_kpa,
        consumption_nl_min,
    };
    let rows = vec![row(300.0, 60.0, 55.0, 60.0), row(500.0, 110.0, 85.0, 90.0)];
    let mut circuit = NetworkBuilder::new(Air::default());
    let (port, before) = (circuit.node("port"), circuit.node("filter"));
    circuit.source("ejector", port, Source::ejector(Ejector { shape: CurveShape::Linear, rows }, 500.0));
    let clean = Restriction { conductance_dm3_s_bar: 6.0, critical_ratio: 0.4 };
    circuit.element("filter", before, port, ElementKind::Filter(clean));
    for (i, length) in [500.0, 900.0, 1600.0].into_iter().enumerate() {
        let leak = Leak::porous(permeances[i], 1000.0);
        let cup =
            circuit.cup(Cup::tight(&format!("C{}", i + 1), 4.0).with_leak(leak).with_volume(15.0, 12.0));
        circuit.line(
            &format!("H{}", i + 1),
            circuit.cup_node(cup),
            before,
            Line::hose(Hose::new(length, 4.0)),
        );
    }
    circuit.build().unwrap()
}

fn measured(network: &Network) -> Measured {
    let levels = levels(network).into_iter().enumerate();
    Measured {
        levels: levels.map(|(i, kpa)| (CupId(i), VacuumLevel::from_kpa(kpa))).collect(),
        ..Measured::default()
    }
}

#[test]
fn an_injected_fault_is_ranked_first_with_its_size() {
    let well = well();
    let faults = [
        (Fault::LeakAtCup(CupId(0)), 1.2),
        (Fault::LeakAtCup(CupId(2)), 0.8),
        (Fault::LeakInHose(ElementId(3)), 1.5),
        (Fault::CloggedFilter(ElementId(0)), 0.08),
        (Fault::LowFeed(SourceId(0)), 380.0),
    ];
    for (fault, size) in faults {
        let faulty = with_fault(&well, fault, size).unwrap();
        let measured = measured(&faulty);
        let causes = rank_causes(&well, &measured);
        assert_eq!(causes[0].fault, fault, "{causes:?}");
        assert!((causes[0].size / size - 1.0).abs() < 0.02, "{}: {}", causes[0].name, causes[0].size);
        assert!(
            causes[0].unexplained_kpa < 0.05 && unexplained_without_fault(&well, &measured).unwrap() > 0.2
        );
        assert!(causes.windows(2).all(|pair| pair[0].unexplained_kpa <= pair[1].unexplained_kpa));
    }
}

#[test]
fn a_part_more_porous_than_stated_is_found_and_told() {
    // The same cups, with the area under them told.
    let areas = |network: &Network| {
        let over = network.edit(|circuit| {
            for id in circuit.cup_ids() {
                circuit.cup_mut(id).unwrap().area_mm2 = 1000.0;
            }
        });
        over.unwrap()
    };
    let airtight = |network: &Network| {
        let tight = network.edit(|circuit| {
            for id in circuit.cup_ids() {
                circuit.cup_mut(id).unwrap().leaks.clear();
            }
        });
        tight.unwrap()
    };
    let measured = measured(&areas(&leaking([2.0; 3])));
    let stated = areas(&leaking([0.5; 3]));
    for (well, says) in [
        (airtight(&stated), "air passes through the part, 2 µm/(Pa·s), although it is stated as airtight"),
        (stated, "the part lets more air through: 2 µm/(Pa·s) instead of 0.5 µm/(Pa·s)"),
    ] {
        let causes = rank_causes(&well, &measured);
        assert_eq!(causes[0].fault, Fault::PorousPart, "{causes:#?}");
        assert_eq!(causes[0].name.to_string(), says);
    }
}

#[test]
fn causes_are_told_in_words() {
    let well = well();
    let causes =
        rank_causes(&well, &measured(&with_fault(&well, Fault::CloggedFilter(ElementId(0)), 0.08).unwrap()));
    assert_eq!(causes[0].name.to_string(), "filter clogged to 8 % of its clean flow");
    let says = |fault, size| words(&well, fault, size);
    assert_eq!(
        says(Fault::LeakAtCup(CupId(1)), 0.84).to_string(),
        "leak at cup C2, as large as a hole of 0.8 mm"
    );
    assert_eq!(
        says(Fault::LeakInHose(ElementId(1)), 1.2).to_string(),
        "leak in H1, as large as a hole of 1.2 mm"
    );
    assert_eq!(says(Fault::LowFeed(SourceId(0)), 381.0).to_string(), "ejector fed at 381 kPa");
}

/// Times alone tell a clogged filter, which slows evacuation, from a leak.
#[test]
fn times_are_ranked_too() {
    let well = well();
    let faulty = with_fault(&well, Fault::CloggedFilter(ElementId(0)), 0.05).unwrap();
    let level = VacuumLevel::from_kpa(40.0);
    let watches: Vec<Watch> = well.spec().cup_ids().map(|cup| Watch { cup, level, rising: true }).collect();
    let course = follow(&faulty, None, &Follow { watches, stop: Stop::AllReached, ..Follow::default() });
    let timed =
        |reached: &Reached| TimedLevel { cup: reached.watch.cup, level, after_s: reached.at_s.unwrap() };
    let times = course.reached.iter().map(timed).collect();
    let measured = Measured { times, ..measured(&faulty) };
    let causes = rank_causes(&well, &measured);
    assert_eq!(causes[0].fault, Fault::CloggedFilter(ElementId(0)), "{causes:?}");
    assert!((causes[0].size / 0.05 - 1.0).abs() < 0.05);
}

#[test]
fn nothing_measured_explains_nothing() {
    assert!(rank_causes(&well(), &Measured::default()).is_empty());
    assert_eq!(unexplained_without_fault(&well(), &Measured::default()), None);
}

/// A course that a network would show, at so many equal times.
fn recorded(
    network: &Network,
    at: Gauge,
    kind: CourseKind,
    from_kpa: f64,
    until_s: f64,
    points: usize,
) -> Course {
    let times = (0..=points).map(|i| until_s * i as f64 / points as f64);
    let blank = Course { at, kind, points: times.map(|t| (t, VacuumLevel::from_kpa(from_kpa))).collect() };
    let found = blank.found(network).unwrap();
    let points = blank.points.iter().zip(found).map(|((t, _), kpa)| (*t, VacuumLevel::from_kpa(kpa)));
    Course { points: points.collect(), ..blank }
}

/// One volume that a constant flow leaks into: V dp/dt = R T m, a straight line.
#[test]
fn a_leak_down_is_the_closed_form() {
    let mut circuit = NetworkBuilder::new(Air::default());
    let vessel = circuit.vessel("vessel", 2000.0);
    let cup = circuit.cup_at(Cup::tight("C1", 4.0), vessel);
    circuit.source("pump", vessel, crate::samples::pump(60.0, 85.0));
    circuit.leak("leak", vessel, Leak::Flow { nl_min: 1.5 });
    let network = circuit.build().unwrap();
    let course = recorded(&network, Gauge::Cup(cup), CourseKind::LeakDown, 70.0, 4.0, 4);
    let rise = network.air().rt() * kg_s_from_nl_min(1.5) / 2e-3 * 1e-3;
    for (t, level) in &course.points {
        assert!((level.kpa() - (70.0 - rise * t)).abs() < 1e-3, "{t} s: {}", level.kpa());
    }
    // The source's port is the same vessel.
    let at_source = recorded(&network, Gauge::Source(SourceId(0)), CourseKind::LeakDown, 70.0, 4.0, 4);
    for (a, b) in course.points.iter().zip(&at_source.points) {
        assert!((a.1.kpa() - b.1.kpa()).abs() < 1e-6);
    }
}

/// A leak-down knows nothing of filter and feed, an evacuation does: together they tell a leak from both.
#[test]
fn courses_tell_a_leak_from_a_clogged_filter() {
    let well = well();
    let at = Gauge::Cup(CupId(2));
    for (fault, size) in [(Fault::LeakAtCup(CupId(2)), 0.6), (Fault::CloggedFilter(ElementId(0)), 0.05)] {
        let faulty = with_fault(&well, fault, size).unwrap();
        let courses = vec![
            recorded(&faulty, at, CourseKind::LeakDown, 50.0, 0.3, 3),
            recorded(&faulty, at, CourseKind::Evacuation, 0.0, 1.0, 12),
            recorded(&faulty, Gauge::Source(SourceId(0)), CourseKind::Evacuation, 0.0, 1.0, 12),
        ];
        let measured = Measured { courses, ..Measured::default() };
        let causes = rank_causes(&well, &measured);
        assert_eq!(causes[0].fault, fault, "{causes:?}");
        assert!((causes[0].size / size - 1.0).abs() < 0.05, "{}", causes[0].name);
        assert!(unexplained_without_fault(&well, &measured).unwrap() > 5.0 * causes[0].unexplained_kpa);
    }
    // A leak-down alone: nothing that lets no air in explains it.
    let faulty = with_fault(&well, Fault::LeakAtCup(CupId(0)), 0.6).unwrap();
    let courses = vec![recorded(&faulty, Gauge::Cup(CupId(0)), CourseKind::LeakDown, 50.0, 0.3, 1)];
    let causes = rank_causes(&well, &Measured { courses, ..Measured::default() });
    assert!(matches!(causes[0].fault, Fault::LeakAtCup(_) | Fault::LeakInHose(_)), "{causes:?}");
    let useless: Vec<f64> = causes
        .iter()
        .filter(|cause| matches!(cause.fault, Fault::LowFeed(_) | Fault::CloggedFilter(_)))
        .map(|cause| cause.unexplained_kpa)
        .collect();
    assert!(useless.len() == 2 && useless.iter().all(|off| *off > 10.0 * causes[0].unexplained_kpa));
}

/// A part that leaks more than was thought is no fault that came later: a baseline takes it out.
#[test]
fn what_the_network_was_off_when_all_was_well_is_no_cause() {
    let thought = well();
    let real = leaking([0.7, 1.0, 0.85]);
    let (fault, size) = (Fault::CloggedFilter(ElementId(0)), 0.1);
    let faulty = with_fault(&real, fault, size).unwrap();
    let whole = |network: &Network| Measured {
        courses: vec![
            recorded(network, Gauge::Cup(CupId(2)), CourseKind::LeakDown, 50.0, 0.3, 3),
            recorded(network, Gauge::Cup(CupId(2)), CourseKind::Evacuation, 0.0, 1.0, 12),
        ],
        ..measured(network)
    };
    let (baseline, field) = (whole(&real), whole(&faulty));
    let alone = rank_causes(&thought, &field);
    let near = as_of_baseline(&thought, &baseline);
    let against = rank_causes(&near, &field.against(&baseline, &near));
    assert_eq!(against[0].fault, fault, "{against:?}");
    assert!((against[0].size / size - 1.0).abs() < 0.05, "{}", against[0].name);
    assert!(against[0].unexplained_kpa < 0.3 * alone[0].unexplained_kpa, "{against:?} {alone:?}");
    // With nothing changed since there is nothing to explain.
    let same = baseline.against(&baseline, &thought);
    assert!(unexplained_without_fault(&thought, &same).unwrap() < 1e-6);
}
