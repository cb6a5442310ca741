//! Slow figures of circuits: open cups and what they lead to, time, cost, controls.

use crate::common;

use analysis::{Analyst, CircuitReport, OpenAt, Report, hose_schedule};
use common::{circuits::*, *};
use document::{Arrangement, LineLength, Project, Restriction, Sourced, ZoneValve};
use std::sync::Arc;

fn checked(project: &Project) -> Arc<Report> {
    Analyst::new().check(project, layout(project))
}

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn circuit(report: &Report) -> &CircuitReport {
    report.circuits.first().expect("a circuit")
}

fn worst(project: &Project) -> f64 {
    let report = checked(project);
    circuit(&report).worst_cup().expect("a level").level_kpa
}

fn per_cup(project: &mut Project) {
    edit_supply(project, |supply| supply.arrangement = Arrangement::PerCup);
}

#[test]
fn a_lost_cup_is_an_open_bore_on_its_circuit() {
    let project = leaking();
    let coupled = whole(&project);
    let slow = circuit(&coupled).slow.as_ref().expect("slow figures");
    assert_eq!(slow.open.len(), 6);
    let intact = worst(&project);
    assert!(slow.open.iter().all(|open| open.least_level_kpa < 0.5 * intact), "{:?}", slow.open);
    // A source of its own at every cup: the others keep theirs.
    let mut own = project.clone();
    per_cup(&mut own);
    let apart = whole(&own);
    let kept = circuit(&apart).slow.as_ref().expect("slow figures");
    assert!(kept.open.iter().all(|open| (open.least_level_kpa - worst(&own)).abs() < 1e-6));
    let factor = |report: &Report| {
        let outcome = report.motions[0].outcome.as_ref().expect("a figure");
        (outcome.factor, outcome.slow.as_ref().expect("slow figures").lost[0].factor.expect("a factor"))
    };
    let left = |(with_all, with_one_lost): (f64, f64)| with_one_lost / with_all;
    assert!(
        left(factor(&coupled)) < 0.5 * left(factor(&apart)),
        "{:?} {:?}",
        factor(&coupled),
        factor(&apart)
    );
    // With one open the level of the others is lost on the shared source, never on their own.
    assert!(matches!(&slow.open_until[2].at, OpenAt::With(cups) if cups.len() <= 1), "{:?}", slow.open_until);
    assert_eq!(kept.open_until[2].at, OpenAt::Never);
    // Steps of the replay are those of the figures.
    let motion = project.motions[0].id;
    let lost = analysis::Lost::Cup(project.layouts[0].cups[0].id);
    let steps = Analyst::new().replay(&project, layout(&project), motion, &lost);
    let first = steps[0].factor.expect("a factor");
    assert!((first - factor(&coupled).1).abs() < 1e-9);
}

#[test]
fn zones_behind_valves_are_routed_and_shut_off() {
    let mut project = leaking();
    edit_layout(&mut project, |layout| {
        // The two in the middle, so that the corners stay when they go.
        for middle in [1, 4] {
            layout.cups[middle].zone = "B".to_owned();
        }
    });
    let valve = |zone: &str| ZoneValve {
        zone: zone.to_owned(),
        restriction: Restriction { c_dm3_s_bar: 3.0, b: 0.3 },
        check_valve: false,
        manifold: None,
    };
    edit_supply(&mut project, |supply| supply.valves = vec![valve("A"), valve("B")]);
    let report = whole(&project);
    let names: Vec<&str> = circuit(&report).elements.iter().map(|element| element.name.as_str()).collect();
    for name in ["valve zone A", "main zone A", "valve zone B", "main zone B", "branch C5"] {
        assert!(names.contains(&name), "{names:?}");
    }
    let rows = hose_schedule(&report);
    assert_eq!(rows.len(), 8);
    assert_eq!(rows.iter().filter(|row| row.to == "valve zone B").count(), 1);
    assert!(rows.iter().all(|row| row.cut_length_mm > 0.0));
    let zones = &circuit(&report).zones;
    assert_eq!(zones.len(), 2);
    assert_eq!((zones[1].zone.as_str(), zones[1].cups.len()), ("B", 2));
    assert_eq!(zones[1].valve.as_deref(), Some("valve zone B"));
    // A zone that goes with its valve leaves the others their level; a cup that opens does not.
    let outcome = report.motions[0].outcome.as_ref().expect("a figure");
    let lost = &outcome.slow.as_ref().expect("slow figures").lost;
    let of =
        |wanted: &analysis::Lost| lost.iter().find(|lost| lost.lost == *wanted).expect("such a loss").factor;
    let zone = of(&analysis::Lost::Zone("B".to_owned()));
    let cup = of(&analysis::Lost::Cup(project.layouts[0].cups[4].id));
    assert!(cup < zone, "{cup:?} {zone:?}");
}

/// One open bore on wide hoses: the source's curve meets the flow of the bore (ISO 6358, from memory: C pa sqrt(1 - ((r -
/// b)/(1 - b))²)), worked out here by halving.
#[test]
fn an_open_bore_takes_what_the_source_draws_by_closed_form() {
    let mut project = fed();
    edit_supply(&mut project, |supply| {
        supply.branch = document::Line { length: LineLength::Typed { mm: 100.0 }, ..line(25.0) };
        supply.main = supply.branch.clone();
    });
    let report = whole(&project);
    let slow = circuit(&report).slow.as_ref().expect("slow figures");
    let bar = 1.013_25;
    // 3 mm bore with the discharge coefficient 0.75: 0.199 dm³/(s·bar) for each mm² at 1.
    let area = std::f64::consts::PI / 4.0 * 9.0;
    let c = 0.75 * area * 0.684_73 / (1.185 * (287.052_87_f64 * 293.15).sqrt()) * 1e2;
    let flow = |level: f64| {
        let r = 1.0 - level / 101.325;
        let under = ((r - 0.5) / 0.5).max(0.0);
        c * bar * (1.0 - under * under).sqrt() * 60.0
    };
    let (mut low, mut high) = (0.0, DEEPEST);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if FREE_FLOW * (1.0 - middle / DEEPEST) > flow(middle) { low = middle } else { high = middle }
    }
    for open in &slow.open {
        assert!((open.least_level_kpa - low).abs() < 0.02 * low, "{} {low}", open.least_level_kpa);
    }
}

/// V/S ln 10 until 90 % on a tight part, S the volume that a straight curve draws.
#[test]
fn a_tight_cup_with_its_own_source_is_emptied_by_closed_form() {
    let mut project = fed();
    per_cup(&mut project);
    // So wide a bore does not hold the air back.
    Arc::make_mut(&mut project.models[0]).bore_mm = 12.0;
    let report = whole(&project);
    let speed =
        FREE_FLOW / 6e4 * 1.185 * 287.052_87 * (273.15 + project.site.temperature_c) / (DEEPEST * 1e3);
    let expected = operation_s(&project) + emptied_s(&project, speed);
    for curve in &circuit(&report).slow.as_ref().expect("slow figures").evacuation {
        let found = curve.to_90_s.expect("a time");
        assert!((found / expected - 1.0).abs() < 5e-3, "{found} {expected}");
    }
}

#[test]
fn time_cost_and_controls() {
    let mut project = fed();
    let source = ejector();
    let mut supply = supply(&source);
    supply.lip_gap_um = Sourced::assumed(3.0);
    feed(&mut project, source, supply);
    let report = whole(&project);
    let of = circuit(&report);
    assert_eq!(of.air_nl_min, Some(90.0));
    let slow = of.slow.as_ref().expect("slow figures");
    for curve in &slow.evacuation {
        let (sixty, ninety) = (curve.to_60_s.expect("a time"), curve.to_90_s.expect("a time"));
        assert!(sixty < ninety && curve.points.windows(2).all(|pair| pair[0].0 < pair[1].0));
    }
    let (hold, check) = (slow.hold_s.expect("a time"), slow.hold_with_check_s.expect("a time"));
    assert!(check > hold && hold > 0.0, "{check} {hold}");
    assert!(slow.release_blow_off_s.expect("a time") < slow.release_s.expect("a time"));
    let against = slow.against.as_ref().expect("both");
    assert_eq!((against.central.sources, against.per_cup.sources), (1, 6));
    // Six sources use six times the air of one for the same time.
    assert!(against.per_cup.air_nl_per_pick > 3.0 * against.central.air_nl_per_pick);
    assert!(against.central.air_nl_per_pick_saving <= against.central.air_nl_per_pick);
    let slowest = |figures: &analysis::ArrangementFigures| figures.to_90_s.expect("a time");
    assert!(slowest(&against.per_cup) < slowest(&against.central));
    // On time of the source: the air of a pick, less what is blown off, over what it uses in a minute. From the signal until
    // every cup is at 90 %, the switch's delay, and the hold time.
    let operation = &project.circuits[0].supply.as_ref().expect("a supply").operation;
    let drawn = slow.air_nl_per_pick.expect("air") - slow.blow_off_nl_per_pick.expect("blow-off");
    let on_s = drawn / 90.0 * 60.0;
    let stated = slowest(&against.central) + operation.switch_s.value + project.cycle.hold_s.value;
    assert!((on_s - stated).abs() < 1e-6, "{on_s} {stated}");
    assert!((slow.running_s.expect("a time") - on_s).abs() < 1e-9 && slow.motors_run_s.is_none());
    // The pick ends when the part is blown off.
    let pick_s = slow.pick_s.expect("a time");
    assert!((pick_s - stated - slow.release_blow_off_s.expect("a time")).abs() < 1e-9, "{pick_s}");
    let controls = slow.controls.expect("a level");
    let level = of.source_level_kpa.expect("a level");
    assert!(
        0.0 < controls.held_kpa
            && controls.held_kpa < controls.saving_off_kpa
            && controls.saving_off_kpa < level
    );
    // The alarm level is that at which the factor is as required: the force goes with the level.
    let factor = report.motions[0].outcome.as_ref().expect("a figure").factor;
    assert!((factor * controls.alarm_kpa / (0.85 * level) - 2.0).abs() < 1e-3);
    assert!((controls.held_kpa - 0.85 * level).abs() < 1e-6);
    assert!(slow.helps.windows(2).all(|pair| pair[0].worst_level_kpa_to >= pair[1].worst_level_kpa_to));
    assert!(report.assumptions.iter().any(|assumed| assumed.what == "gap under the lips of Circuit 1"));
}

/// Above sixty cups the order in which each hurts alone is followed; on hoses that are alike that is the worst one too.
#[test]
fn open_cups_of_many_are_counted_too() {
    let survived = |cups: usize| {
        let at: Vec<(f64, f64)> =
            (0..cups).map(|i| (10.0 + 58.0 * (i % 10) as f64, 10.0 + 58.0 * (i / 10) as f64)).collect();
        let small = model("round-10", round(10.0), 1.0);
        let mut project = project(plate(600.0, 400.0, 4.0), small, &at, vec![still(1, "Lift", 2.0)]);
        Arc::make_mut(&mut project.models[0]).bore_mm = 1.0;
        let source = pump();
        let mut supply = supply(&source);
        supply.branch.length = LineLength::Typed { mm: 400.0 };
        feed(&mut project, source, supply);
        let report = whole(&project);
        let slow = circuit(&report).slow.as_ref().expect("slow figures");
        let OpenAt::With(open) = &slow.open_until[2].at else { panic!("{:?}", slow.open_until) };
        let factor = report.motions[0].outcome.as_ref().expect("a figure").factor;
        (open.len(), factor)
    };
    let ((few, few_hold), (many, many_hold)) = (survived(60), survived(61));
    // One cup more holds a sixtieth more, so that hardly more or as many may be open.
    assert!(many_hold > few_hold);
    assert!(few > 1 && (few..=few + 1).contains(&many), "{few} {many}");
}
