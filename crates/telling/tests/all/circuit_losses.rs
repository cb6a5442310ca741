//! Losses: fittings by their own bore and method, turns that nobody lists, the bore of the cup, stated conductances.

use crate::circuit::{checked, circuit, whole, worst};
use crate::common::circuits::*;
use analysis::{CircuitElement, Severity};
use document::{Arrangement, FittingKind, FittingLoss, FittingUse, Project, Restriction, ZoneValve};
use std::sync::Arc;

fn with(edit: impl FnOnce(&mut document::Supply)) -> Project {
    let mut project = leaking();
    edit_supply(&mut project, edit);
    project
}

fn elements(project: &Project, of: &str) -> Vec<CircuitElement> {
    let report = checked(project);
    circuit(&report)
        .elements
        .iter()
        .filter(|element| element.what.to_string().contains(of))
        .cloned()
        .collect()
}

/// (m/A)² R T (K + 800/Re) of one 2-K elbow in its own bore, with the neck that a narrower bore is: contraction
/// 0.5 (1 - β²) and expansion (1 - β²)², all referred to the narrow bore (Hooper 1981, Borda-Carnot).
#[test]
fn a_fitting_loses_by_its_own_bore() {
    for (own, hose) in [(None, 8.0), (Some(5.0), 8.0), (Some(8.0), 8.0)] {
        let project = with(|supply| {
            supply.fitting_loss = FittingLoss::TwoConstant;
            supply.main.fittings =
                vec![FittingUse { bore_mm: own, ..FittingUse::new(FittingKind::Elbow90, 1) }];
        });
        let report = checked(&project);
        let main: Vec<&CircuitElement> =
            circuit(&report).elements.iter().filter(|element| element.name == "main").collect();
        let elbow =
            main.iter().find(|element| element.what.to_string().contains("elbow")).expect("the elbow");
        let bore = own.unwrap_or(hose);
        assert_eq!(elbow.bore_mm, Some(bore));
        assert_eq!(elbow.method, Some("2-K"));
        assert_eq!(elbow.what.to_string().contains("bore 5 mm"), own == Some(5.0), "{}", elbow.what);
        let (r, t, viscosity) = (287.052_87, 293.15 + project.site.temperature_c - 20.0, 18.134e-6);
        let m = elbow.flow_nl_min / 6e4 * 1.185;
        let area = std::f64::consts::FRAC_PI_4 * (bore * 1e-3_f64).powi(2);
        let re = 4.0 * m / (std::f64::consts::PI * bore * 1e-3 * viscosity);
        let beta = (bore / hose).powi(2);
        let k = 800.0 / re + 0.4 * (1.0 + 25.4 / bore) + 0.5 * (1.0 - beta) + (1.0 - beta).powi(2);
        let drop = (m / area).powi(2) * r * t * k;
        // Behind it the entry of the main hose and then the source.
        let behind: f64 =
            main.iter().filter(|e| e.what.to_string().contains("entry")).map(|e| e.loss_kpa).sum();
        let end = 101.325 - circuit(&report).source_level_kpa.expect("a level") + behind;
        let expected = (end * end + drop * 1e-6).sqrt() - end;
        // The air's acceleration is shared out over the parts.
        assert!((elbow.loss_kpa / expected - 1.0).abs() < 0.03, "{own:?}: {} {expected}", elbow.loss_kpa);
    }
}

#[test]
fn the_method_is_chosen_in_the_circuit_and_the_careful_one_is_the_default() {
    let by = |loss: Option<FittingLoss>| {
        let project = with(|supply| {
            supply.fitting_loss = loss.unwrap_or(supply.fitting_loss);
            supply.branch.fittings = vec![FittingUse::new(FittingKind::Elbow90, 2)];
        });
        (worst(&project), elements(&project, "elbow")[0].what.clone())
    };
    let careful = by(None);
    let each =
        [FittingLoss::Table, FittingLoss::TwoConstant, FittingLoss::ThreeConstant].map(|l| by(Some(l)));
    assert!(each.iter().all(|(level, _)| careful.0 <= level + 1e-9));
    let named: Vec<String> = each.iter().map(|(_, what)| what.to_string()).collect();
    assert_eq!(named, ["2 × elbow 90°, table", "2 × elbow 90°, 2-K", "2 × elbow 90°, 3-K"]);
    assert_eq!(careful, each[1], "in a small bore two constants lose most");
    let bend = with(|supply| supply.branch.fittings = vec![FittingUse::new(FittingKind::WideBend, 2)]);
    assert!(worst(&bend) > careful.0);
}

#[test]
fn the_air_turns_at_ports_and_entries_whether_listed_or_not() {
    let project = with(|supply| supply.manifold = Some(manifold(6, 12.0)));
    let tees = elements(&project, "tee at the port");
    assert_eq!(tees.len(), 6);
    assert!(tees.iter().all(|tee| tee.cup.is_some() && tee.loss_kpa > 0.0 && tee.method == Some("2-K")));
    let entries = elements(&project, "entry");
    assert_eq!(entries.iter().map(|e| e.name.as_str()).collect::<Vec<_>>(), ["main"]);
    // Without a manifold the branches meet at one point, and the main hose leaves it.
    let parting = elements(&leaking(), "entry");
    assert_eq!(parting.iter().filter(|entry| entry.cup.is_some()).count(), 6);
    assert_eq!(parting.len(), 7);
    for alone in [Arrangement::PerCup, Arrangement::InLine] {
        let project = with(|supply| supply.arrangement = alone);
        assert!(elements(&project, "entry").is_empty() && elements(&project, "tee at").is_empty());
    }
}

#[test]
fn the_bore_of_the_cup_counts_where_air_flows_through_it() {
    let with_bore = |mut project: Project, bore: f64| {
        Arc::make_mut(&mut project.models[0]).bore_mm = bore;
        worst(&project)
    };
    let levels = [1.5, 3.0, 6.0].map(|bore| with_bore(leaking(), bore));
    assert!(levels[0] < levels[1] - 0.5 && levels[1] < levels[2], "{levels:?}");
    assert!((with_bore(fed(), 1.5) - DEEPEST).abs() < 1e-6, "nothing flows in a tight cup");
    let bores = elements(&leaking(), "cup bore");
    assert_eq!(bores.len(), 6);
    // An open cup draws through its bore, not through its lip.
    let draws = |bore: f64| {
        let mut project = fed();
        Arc::make_mut(&mut project.models[0]).bore_mm = bore;
        let report = whole(&project);
        circuit(&report).slow.as_ref().expect("slow figures").open[0].least_level_kpa
    };
    assert!(draws(1.0) > draws(2.0) && draws(2.0) > draws(4.0));
}

/// ISO 6358: q = C p1 sqrt(1 - ((r - b)/(1 - b))²), formula from memory.
#[test]
fn a_fitting_by_stated_conductance_passes_what_its_maker_says() {
    let flow = Restriction { c_dm3_s_bar: 0.9, b: 0.3 };
    let project = with(|supply| {
        supply.main.fittings =
            vec![FittingUse { flow: Some(flow), ..FittingUse::new(FittingKind::Elbow90, 2) }];
    });
    let stated = elements(&project, "elbow");
    assert_eq!(stated.len(), 2);
    let source = circuit(&checked(&project)).source_level_kpa.expect("a level");
    let (mut end, warm) = (101.325 - source, 293.15 / (273.15 + project.site.temperature_c));
    for elbow in stated.iter().rev() {
        let front = end + elbow.loss_kpa;
        let share = ((end / front - 0.3) / 0.7_f64).max(0.0);
        let passes = 60.0 * 0.9 * front * 1e-2 * warm.sqrt() * (1.0 - share * share).sqrt();
        assert!((passes / elbow.flow_nl_min - 1.0).abs() < 1e-6, "{passes} {}", elbow.flow_nl_min);
        assert!(elbow.what.to_string().contains("stated C 0.9") && elbow.method.is_none());
        end = front;
    }
    assert!(worst(&project) < worst(&leaking()));
}

/// 0.199 dm³/(s·bar) for each mm²: 26.4 for a hole of 13 mm.
#[test]
fn a_conductance_above_that_of_an_ideal_hole_is_said() {
    let valve = |c_dm3_s_bar| ZoneValve {
        zone: "A".to_owned(),
        restriction: Restriction { c_dm3_s_bar, b: 0.35 },
        check_valve: false,
        manifold: None,
    };
    let told = |valve_c: f64, filter_c: f64| {
        let project = with(|supply| {
            supply.main.bore_mm = 13.0;
            supply.valves = vec![valve(valve_c)];
            supply.filter = Some(Restriction { c_dm3_s_bar: filter_c, b: 0.4 });
        });
        let report = checked(&project);
        let found = report.findings.iter().filter(|f| f.rule == "circuit.conductance");
        assert!(found.clone().all(|f| f.severity == Severity::Watch && f.remedy.contains("26.4")));
        found.map(|f| f.says.clone()).collect::<Vec<_>>()
    };
    assert!(told(11.2, 15.0).is_empty());
    let both = told(31.0, 41.0);
    assert_eq!(both.len(), 2, "{both:?}");
    assert!(both.iter().any(|says| says.contains("valve") && says.contains("31.0") && says.contains("26.4")));
    assert!(both.iter().any(|says| says.contains("filter") && says.contains("41.0")));
}

#[test]
fn nothing_that_is_offered_passes_more_than_its_bore() {
    for hose in document::hoses() {
        let most = 0.199_25 * std::f64::consts::FRAC_PI_4 * hose.bore_mm * hose.bore_mm;
        for is in [
            document::RestrictionUse::Valve,
            document::RestrictionUse::Filter,
            document::RestrictionUse::CheckValve,
        ] {
            let Some(offered) = document::restriction_for(is, hose.bore_mm) else { continue };
            let c = offered.restriction.c_dm3_s_bar;
            // Nothing smaller is made than the smallest.
            let smallest =
                document::RESTRICTIONS.iter().find(|p| p.is == is).expect("some").restriction.c_dm3_s_bar;
            assert!(c <= most || c == smallest, "{} in {}: {c} {most}", offered.name(), hose.name);
        }
    }
}
