use super::*;
use crate::network::NetworkBuilder;
use crate::samples::levels;
use crate::*;

/// Three cups on a manifold behind a filter, fed by an ejector.
fn well() -> Network {
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
        let leak = Leak::porous([0.4, 0.6, 0.5][i], 1000.0);
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
        times: Vec::new(),
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
fn causes_are_told_in_words() {
    let well = well();
    let causes =
        rank_causes(&well, &measured(&with_fault(&well, Fault::CloggedFilter(ElementId(0)), 0.08).unwrap()));
    assert_eq!(causes[0].name, "filter clogged to 8 % of what it passes clean");
    let says = |fault, size| words(&well, fault, size);
    assert_eq!(says(Fault::LeakAtCup(CupId(1)), 0.84), "leak at cup C2, as large as a hole of 0.8 mm");
    assert_eq!(says(Fault::LeakInHose(ElementId(1)), 1.2), "leak in H1, as large as a hole of 1.2 mm");
    assert_eq!(says(Fault::LowFeed(SourceId(0)), 381.0), "ejector fed with 381 kPa");
}

/// Times alone tell a clogged filter, which slows evacuation, from a leak.
#[test]
fn times_are_ranked_too() {
    let well = well();
    let faulty = with_fault(&well, Fault::CloggedFilter(ElementId(0)), 0.05).unwrap();
    let level = VacuumLevel::from_kpa(40.0);
    let watches: Vec<Watch> = well.spec().cup_ids().map(|cup| Watch { cup, level, rising: true }).collect();
    let course = follow(&faulty, None, &Follow { watches, stop_when_reached: true, ..Follow::default() });
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
