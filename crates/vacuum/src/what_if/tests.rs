use super::*;
use crate::samples::{at_every_cup, levels, pump, star, with_hose};
use crate::{Leak, Restriction};

#[test]
fn the_neck_is_found() {
    let network = star(&[400.0, 3000.0], 6.0, 0.0, pump(150.0, 85.0), Some(Leak::porous(1.0, 1000.0)));
    let network = with_hose(&network, ElementId(1), |hose| hose.bore_mm = 4.0);
    let wide = |element, bore| with_hose(&network, ElementId(element), |hose| hose.bore_mm = bore);
    const WIDE_NECK: usize = 0;
    const WIDE_SHORT_HOSE: usize = 1;
    let mut changes = vec![wide(1, 6.0), wide(0, 8.0)];
    changes.extend([0, 1].map(|i| shorter_hose(&network, ElementId(i), [300.0, 2250.0][i]).unwrap()));
    let length = |network: &Network| {
        network.spec().elements()[1].kind.line().and_then(|line| line.hose).map(|hose| hose.length_mm)
    };
    assert_eq!((length(&network), length(&changes[3])), (Some(3000.0), Some(2250.0)));
    let outcomes = rank(&network, &changes, true);
    assert_eq!(outcomes.len(), changes.len());
    assert_eq!(outcomes[0].change, WIDE_NECK);
    assert!(outcomes.windows(2).all(|pair| pair[0].gain_kpa >= pair[1].gain_kpa));
    // Each figure is that of the changed circuit itself.
    for outcome in &outcomes {
        let least = levels(&changes[outcome.change]).into_iter().fold(f64::INFINITY, f64::min);
        assert!((outcome.worst_level.kpa() - least).abs() < 1e-9);
        let before = levels(&network).into_iter().fold(f64::INFINITY, f64::min);
        assert!((outcome.gain_kpa - (least - before)).abs() < 1e-9);
    }
    // Both sides: a wider hose of the short cup helps nothing and harms when that cup comes off.
    let wide = outcomes.iter().find(|outcome| outcome.change == WIDE_SHORT_HOSE).unwrap();
    assert!(wide.gain_with_one_open_kpa.unwrap() < 0.0, "{wide:?}");
}

#[test]
fn a_restrictor_at_every_cup_costs_a_little_and_helps_when_one_opens() {
    let network = star(&[400.0; 6], 6.0, 0.0, pump(300.0, 85.0), Some(Leak::porous(0.2, 1000.0)));
    let through = Restriction { conductance_dm3_s_bar: 0.3, critical_ratio: 0.4 };
    let restricted = at_every_cup(&network, &ElementKind::Restrictor(through));
    let outcome = rank(&network, &[restricted], true).remove(0);
    assert!(outcome.gain_kpa < 0.0 && outcome.gain_with_one_open_kpa.unwrap() > 10.0);
}

#[test]
fn changes_that_do_not_apply_are_none() {
    let network = star(&[400.0, 400.0], 6.0, 0.0, pump(150.0, 85.0), None);
    assert!(shorter_hose(&network, ElementId(0), 400.0).is_none());
    assert!(shorter_hose(&network, ElementId(9), 100.0).is_none());
}
