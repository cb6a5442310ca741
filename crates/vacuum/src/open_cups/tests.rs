use super::*;
use crate::samples::{at_every_cup, levels, pump, star};
use crate::*;

fn six(source: Source) -> Network {
    star(&[400.0, 500.0, 600.0, 700.0, 800.0, 900.0], 6.0, 1.0, source, Some(Leak::porous(0.2, 1000.0)))
}

#[test]
fn each_case_equals_solving_it_alone() {
    let network = six(pump(300.0, 85.0));
    for case in each_cup_open(&network) {
        let alone = levels(&network.with_cup_open(case.open[0], true));
        for (level, alone) in case.levels.iter().zip(&alone) {
            assert!((level.unwrap().kpa() - alone).abs() < 1e-6);
        }
        let worst = case.worst.unwrap();
        assert!(worst.0 != case.open[0]);
        assert!(
            alone.iter().enumerate().all(|(i, l)| i == case.open[0].index() || *l >= worst.1.kpa() - 1e-9)
        );
    }
}

#[test]
fn a_short_hose_lost_hurts_most() {
    let network = six(pump(300.0, 85.0));
    let worst: Vec<f64> = each_cup_open(&network).iter().map(|case| case.worst.unwrap().1.kpa()).collect();
    assert!(worst.windows(2).all(|pair| pair[1] > pair[0]), "{worst:?}");
}

#[test]
fn a_tight_cup_behind_a_check_valve_keeps_its_level() {
    let through = Restriction { conductance_dm3_s_bar: 2.0, critical_ratio: 0.3 };
    let mut network = star(&[400.0, 500.0], 6.0, 1.0, pump(90.0, 85.0), None);
    network = at_every_cup(&network, &ElementKind::CheckValve { through, opening_kpa: 0.0, seep: None });
    let case = cups_open(&network, &[CupId(0)]);
    assert!((case.levels[1].unwrap().kpa() - 85.0).abs() < 1e-6);
    // One that leaks does not.
    let leaky =
        network.edit(|circuit| circuit.cup_mut(CupId(1)).unwrap().leaks.push(Leak::porous(0.01, 1000.0)));
    let case = cups_open(&leaky.unwrap(), &[CupId(0)]);
    assert!(case.levels[1].unwrap().kpa() < 60.0);
}

#[test]
fn a_larger_source_survives_more_open_cups() {
    let needed = VacuumLevel::from_kpa(30.0);
    let survives = |flow: f64| survivable_open_cups(&six(pump(flow, 85.0)), needed);
    let counts = [100.0, 400.0, 1000.0, 4000.0].map(|flow| survives(flow).open_cups);
    assert!(counts.windows(2).all(|pair| pair[1] >= pair[0]) && counts[3] > counts[0], "{counts:?}");
    let some = survives(400.0);
    assert_eq!(some.worst_order.len(), some.open_cups + 1);
    // Every pair of open cups is survived if two are.
    if counts[2] >= 2 {
        let network = six(pump(1000.0, 85.0));
        for a in 0..6 {
            for b in 0..a {
                assert!(cups_open(&network, &[CupId(a), CupId(b)]).worst.unwrap().1.kpa() >= 30.0);
            }
        }
    }
    // A level that is not there with all cups on is survived by none.
    assert_eq!(survivable_open_cups(&six(pump(5.0, 85.0)), VacuumLevel::from_kpa(84.0)).open_cups, 0);
}
