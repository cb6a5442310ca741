use super::*;
use crate::line::{Coil, Hose};
use crate::samples::{levels, pump, star};
use crate::{Cup, CupId, Leak, NodeId};

/// Two cups: one on a short plain hose, one on a narrow, long one with a coil and an elbow.
fn lopsided() -> Network {
    let network = star(&[400.0, 3000.0], 6.0, 0.0, pump(150.0, 85.0), Some(Leak::porous(1.0, 1000.0)));
    let changed = network.edit(|circuit| {
        let element = circuit.element_mut(ElementId(1)).unwrap();
        let hose =
            Hose { coil: Some(Coil { length_mm: 2000.0, diameter_mm: 100.0 }), ..Hose::new(3000.0, 4.0) };
        element.kind =
            ElementKind::Line(Line::hose(hose).with(crate::Fitting::new(FittingKind::Elbow90, 4.0)));
    });
    changed.unwrap()
}

#[test]
fn the_neck_is_found() {
    let network = lopsided();
    let changes = usual_changes(&network, &[4.0, 6.0, 8.0], None);
    let outcomes = rank(&network, &changes, true);
    assert_eq!(outcomes.len(), changes.len());
    assert_eq!(outcomes[0].name, "H2 with 6 mm bore instead of 4 mm");
    assert!(outcomes.windows(2).all(|pair| pair[0].gain_kpa >= pair[1].gain_kpa));
    // Each figure is that of the changed circuit itself.
    for outcome in &outcomes {
        let changed = changes.iter().find(|changed| changed.name == outcome.name).unwrap();
        let least = levels(&changed.network).into_iter().fold(f64::INFINITY, f64::min);
        assert!((outcome.worst_level.kpa() - least).abs() < 1e-9);
        let before = levels(&network).into_iter().fold(f64::INFINITY, f64::min);
        assert!((outcome.gain_kpa - (least - before)).abs() < 1e-9);
    }
    // Both sides: a wider hose of the short cup helps nothing and harms when that cup comes off.
    let wide = outcomes.iter().find(|outcome| outcome.name == "H1 with 8 mm bore instead of 6 mm").unwrap();
    assert!(wide.gain_with_one_open_kpa.unwrap() < 0.0, "{wide:?}");
}

#[test]
fn a_restrictor_at_every_cup_costs_a_little_and_helps_when_one_opens() {
    let network = star(&[400.0; 6], 6.0, 0.0, pump(300.0, 85.0), Some(Leak::porous(0.2, 1000.0)));
    let through = Restriction { conductance_dm3_s_bar: 0.3, critical_ratio: 0.4 };
    let change = restrictor_per_cup(&network, through).unwrap();
    let outcome = rank(&network, &[change], true).remove(0);
    assert_eq!(outcome.name, "a restrictor of 0.30 dm³/(s·bar) at every cup");
    assert!(outcome.gain_kpa < 0.0 && outcome.gain_with_one_open_kpa.unwrap() > 10.0);
}

#[test]
fn changes_that_do_not_apply_are_none() {
    let network = star(&[400.0, 400.0], 6.0, 0.0, pump(150.0, 85.0), None);
    let hose = ElementId(0);
    assert!(next_bore_up(&network, hose, &[4.0, 6.0]).is_none());
    assert!(shorter_hose(&network, hose, 400.0).is_none());
    assert!(cut_the_coil(&network, hose).is_none());
    assert!(elbows_to_swept(&network, hose).is_none());
    assert!(equal_lengths(&network, &[ElementId(0), ElementId(1)], None).is_none());
    assert!(second_feed(&network, ManifoldId(0)).is_none());
    assert!(with_feed(&network, SourceId(0), 400.0).is_none());
    assert!(next_bore_up(&network, ElementId(9), &[8.0]).is_none());
}

#[test]
fn equal_lengths_even_the_levels_out() {
    let network =
        star(&[300.0, 1200.0, 2400.0], 6.0, 1.0, pump(120.0, 85.0), Some(Leak::porous(3.0, 1000.0)));
    let hoses: Vec<ElementId> = network.spec().element_ids().collect();
    let equal = equal_lengths(&network, &hoses, None).unwrap();
    assert_eq!(equal.name, "3 hoses all 1300 mm long");
    let (before, after) = (levels(&network), levels(&equal.network));
    assert!((after[0] - after[2]).abs() < 1e-6 && after[2] > before[2] && after[0] < before[0]);
}

#[test]
fn a_cup_with_a_source_in_it_keeps_both_behind_its_restrictor() {
    let mut circuit = NetworkBuilder::new(crate::Air::default());
    let cup = circuit.cup(Cup::tight("C1", 4.0).with_leak(Leak::porous(1.0, 1000.0)));
    circuit.source("pump", circuit.cup_node(cup), pump(60.0, 80.0));
    let network = circuit.build().unwrap();
    let through = Restriction { conductance_dm3_s_bar: 0.2, critical_ratio: 0.4 };
    let changed = restrictor_per_cup(&network, through).unwrap().network;
    assert_eq!(changed.spec().sources()[0].node, NodeId(1));
    assert_eq!(changed.spec().cup_node(CupId(0)), NodeId(0));
    assert!(levels(&changed)[0] < levels(&network)[0]);
}
