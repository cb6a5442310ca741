//! What feeds the cups: changes by name, and everything wrong with it in sentences.
use crate::common;

use document::*;
use glam::DVec2;
use std::sync::Arc;

/// The tray's circuit is Circuit 1 (5) with a supply of everything; its cups are C1 to C4, all of zone A.
fn tray() -> Project {
    common::tray()
}
fn circuit(change: impl FnOnce(&mut Circuit)) -> Project {
    let mut p = tray();
    change(Arc::make_mut(&mut p.circuits[0]));
    p
}
fn supply(change: impl FnOnce(&mut Supply)) -> Project {
    circuit(|c| change(Arc::make_mut(c.supply.as_mut().unwrap())))
}
fn thresholds(change: impl FnOnce(&mut Thresholds)) -> Project {
    circuit(|c| change(c.thresholds.as_mut().unwrap()))
}
fn source(change: impl FnOnce(&mut SourceModel)) -> Project {
    let mut p = tray();
    change(Arc::make_mut(&mut p.sources[0]));
    p
}
fn curve(points: &[(f64, f64)]) -> Project {
    let point = |&(level_kpa, flow_nl_min)| CurvePoint { level_kpa, flow_nl_min };
    source(|s| s.curve = points.iter().map(point).collect())
}
fn cycle(change: impl FnOnce(&mut Cycle)) -> Project {
    let mut p = tray();
    change(&mut p.cycle);
    p
}
fn trial(change: impl FnOnce(&mut Trial)) -> Project {
    let mut p = tray();
    change(Arc::make_mut(&mut p.trial));
    p
}
fn pump(p: &mut SourceModel) {
    (p.kind, p.power_w) = (SourceKind::Pump, 400.0);
}

#[test]
fn a_supply_of_everything_is_sound() {
    assert_eq!(tray().problems(), []);
    let mut pumped = source(pump);
    Arc::make_mut(&mut pumped.sources[0]).feed.clear();
    assert_eq!(pumped.problems(), [], "a pump asks for no feed");
    let no_hose = supply(|s| s.main.length = LineLength::Typed { mm: 0.0 });
    assert_eq!(no_hose.problems(), [], "the source may sit on the manifold");
}

#[test]
fn what_is_wrong_with_a_circuit_is_said() {
    let line = |l: &mut Line, bore: f64, length| (l.bore_mm, l.length) = (bore, length);
    let plan = |slack_mm| LineLength::Plan { slack_mm };
    let coil = |turns, diameter_mm| Some(Coil { turns, diameter_mm });
    let cases = [
        (
            supply(|s| s.source = "gone".into()),
            "Circuit 1 is fed by source gone, which is not in the project",
        ),
        (
            supply(|s| s.feed_kpa.value = 200.0),
            "the feed of Circuit 1 is 200 kPa, and Own ejector is described from 350 kPa to 500 kPa",
        ),
        (supply(|s| s.at.z = -5.0), "the source of Circuit 1 is 5 mm below the lips"),
        (supply(|s| s.at.x = f64::NAN), "the place of the source of Circuit 1 is not a number"),
        (supply(|s| line(&mut s.main, 0.0, plan(1.0))), "the bore of the main hose of Circuit 1 is 0 mm"),
        (supply(|s| line(&mut s.main, 8.0, plan(-1.0))), "the slack of the main hose of Circuit 1 is -1 mm"),
        (
            supply(|s| line(&mut s.branch, 4.0, LineLength::Typed { mm: -3.0 })),
            "the length of the branch of Circuit 1 is -3 mm",
        ),
        (
            supply(|s| s.branches[0].line.bore_mm = -6.0),
            "the bore of the individual branch of cup 14 of Circuit 1 is -6 mm",
        ),
        (
            supply(|s| s.branch.fittings[0].count = u32::MAX),
            "the branch of Circuit 1 has 4294967295 times a straight fitting",
        ),
        (
            supply(|s| s.branch.coil = coil(-1.0, 40.0)),
            "the number of turns of the coil of the branch of Circuit 1 is -1",
        ),
        (
            supply(|s| s.branch.coil = coil(3.0, 5.0)),
            "the coil of the branch of Circuit 1 is 5 mm wide and its bore 4 mm",
        ),
        (
            supply(|s| s.manifold.as_mut().unwrap().length_mm = 0.0),
            "the length of the manifold of Circuit 1 is 0 mm",
        ),
        (
            supply(|s| s.manifold.as_mut().unwrap().bore_mm = 0.0),
            "the bore of the manifold of Circuit 1 is 0 mm",
        ),
        (supply(|s| s.manifold.as_mut().unwrap().ports = 0), "the manifold of Circuit 1 has 0 ports"),
        (
            supply(|s| s.manifold.as_mut().unwrap().at.x = f64::INFINITY),
            "the place of the manifold of Circuit 1 is without limit",
        ),
        (
            supply(|s| s.valves[0].manifold.as_mut().unwrap().ports = 3),
            "4 cups of Layout A are on the manifold for zone A of Circuit 1, which has 3 ports",
        ),
        (
            supply(|s| {
                s.valves[0].manifold = None;
                s.manifold.as_mut().unwrap().ports = 2;
            }),
            "4 cups of Layout A are on the manifold of Circuit 1, which has 2 ports",
        ),
        (supply(|s| s.valves[0].zone = " ".into()), "a valve of Circuit 1 switches no zone"),
        (
            supply(|s| s.valves[0].restriction.b = 1.0),
            "the critical pressure ratio of the valve for zone A of Circuit 1 is 1",
        ),
        (
            supply(|s| s.restrictor.as_mut().unwrap().c_dm3_s_bar = 0.0),
            "the sonic conductance of the restrictor at the cups of Circuit 1 is 0 dm³/(s·bar)",
        ),
        (
            supply(|s| s.filter.as_mut().unwrap().b = -0.1),
            "the critical pressure ratio of the filter of Circuit 1 is -0.1",
        ),
        (supply(|s| s.lip_gap_um.value = -1.0), "the gap under the lips of Circuit 1 is -1 µm"),
        (
            supply(|s| s.area_gripper.as_mut().unwrap().count = 0),
            "Circuit 1 has an area gripper without cells",
        ),
        (
            supply(|s| s.area_gripper.as_mut().unwrap().bore_mm = 0.0),
            "the bore of the cells of Circuit 1 is 0 mm",
        ),
        (supply(|s| s.operation.valve_s.value = -1.0), "the valve response of Circuit 1 is -1 s"),
        (supply(|s| s.operation.vessel_ml = -5.0), "the vessel of Circuit 1 is -5 ml"),
        (supply(|s| s.operation.check_leak_at_kpa = 0.0), "the check valve leak level of Circuit 1 is 0 kPa"),
        (
            supply(|s| {
                let restriction = Restriction { c_dm3_s_bar: 0.5, b: 0.3 };
                s.operation.blow_off = BlowOff::Valve { restriction, feed_kpa: 0.0 };
            }),
            "the blow-off feed of the blow-off valve of Circuit 1 is 0 kPa",
        ),
        (
            supply(|s| s.operation.exhaust.as_mut().unwrap().bore_mm = 0.0),
            "the bore of the exhaust of Circuit 1 is 0 mm",
        ),
        (thresholds(|t| t.held_kpa = 0.0), "the part-held level of Circuit 1 is 0 kPa"),
        (
            thresholds(|t| t.saving_off_kpa = 40.0),
            "air saving of Circuit 1 stops the source at 40 kPa, before the part is held at 45 kPa",
        ),
        (thresholds(|t| t.saving_off_kpa = 102.0), "the air-saving level of Circuit 1 is 102 kPa"),
        (thresholds(|t| t.time_out_s = 0.0), "the time-out of Circuit 1 is 0 s"),
        (thresholds(|t| t.hold_s = -1.0), "the hold time of Circuit 1 is -1 s"),
    ];
    for (p, says) in cases {
        let problems = p.problems();
        assert_eq!(problems.len(), 1, "{says}: {problems:?}");
        assert_eq!(plain(&problems[0].says), says);
        assert!(matches!(problems[0].subject, Subject::Circuit(CircuitId(5)) | Subject::Layout(_)));
        assert!(!problems[0].remedy.is_empty());
    }
    // What a hose that the arrangement does not have is to itself is not asked about.
    for arrangement in [Arrangement::PerCup, Arrangement::InLine] {
        let p = supply(|s| {
            s.arrangement = arrangement;
            s.main.coil = coil(3.0, 5.0);
            s.manifold.as_mut().unwrap().ports = 0;
            s.valves.clear();
        });
        assert_eq!(p.problems(), []);
    }
}

/// With the minus sign of the keyboard.
fn plain(says: &str) -> String {
    says.replace('\u{2212}', "-")
}

#[test]
fn what_is_wrong_with_a_source_is_said() {
    let of = "source Own ejector";
    let feed = |at: usize, change: fn(&mut FeedPoint)| source(|s| change(&mut s.feed[at]));
    let cases = [
        (curve(&[]), format!("{of} has no curve")),
        (curve(&[(0.0, 90.0), (f64::NAN, 0.0)]), format!("a level of the curve of {of} is not a number")),
        (
            curve(&[(0.0, 90.0), (40.0, -1.0), (80.0, 0.0)]),
            format!("a flow of the curve of {of} is -1 L/min"),
        ),
        (curve(&[(5.0, 90.0), (80.0, 0.0)]), format!("the curve of {of} begins at 5 kPa")),
        (curve(&[(0.0, 90.0), (80.0, 4.0)]), format!("the curve of {of} ends with 4 L/min ANR at 80 kPa")),
        (
            curve(&[(0.0, 90.0), (50.0, 40.0), (40.0, 30.0), (80.0, 0.0)]),
            format!("point 3 of the curve of {of} is at 40 kPa, after 50 kPa"),
        ),
        (
            curve(&[(0.0, 90.0), (40.0, 30.0), (50.0, 40.0), (80.0, 0.0)]),
            format!("the curve of {of} rises from 30 L/min ANR to 40 L/min ANR at 50 kPa"),
        ),
        (curve(&[(0.0, 90.0), (102.0, 0.0)]), format!("a level of the curve of {of} is 102 kPa")),
        (curve(&[(0.0, 0.0)]), format!("{of} draws nothing at level 0")),
        (source(|s| s.feed.clear()), format!("{of} is an ejector and has no feed pressure")),
        (feed(0, |f| f.flow_share = 0.0), format!("the share of flow of {of} is 0")),
        (feed(0, |f| f.level_share = -1.0), format!("the share of level of {of} is -1")),
        (feed(1, |f| f.air_nl_min = 0.0), format!("the air used of {of} is 0 L/min ANR")),
        (source(|s| s.feed.swap(0, 1)), format!("350 kPa comes after 500 kPa in the feeds of {of}")),
        (
            source(|s| s.rated_feed_kpa = 600.0),
            format!("the rated feed of {of} is 600 kPa, and its feeds go from 350 kPa to 500 kPa"),
        ),
        (source(pump), format!("{of} is a pump and has a table of feed pressures")),
        (
            source(|s| (s.kind, s.feed) = (SourceKind::Blower, Vec::new())),
            format!("the power of {of} is 0 W"),
        ),
        (source(|s| s.straight_bore_mm = Some(0.0)), format!("the straight bore of {of} is 0 mm")),
        (source(|s| s.volume_ml = -1.0), format!("the volume inside of {of} is -1 ml")),
        (source(|s| s.mass_g = f64::NAN), format!("the mass of {of} is not a number")),
    ];
    for (p, says) in cases {
        let problems: Vec<_> =
            p.problems().into_iter().filter(|x| matches!(x.subject, Subject::Source(_))).collect();
        assert_eq!(problems.len(), 1, "{says}: {problems:?}");
        assert_eq!(plain(&problems[0].says), says);
        let of_its_own: Vec<_> = p.sources[0].problems().into_iter().map(|p| p.says).collect();
        assert_eq!(of_its_own, [problems[0].says.clone()]);
    }
}

#[test]
fn what_is_wrong_with_cycle_and_trial_is_said() {
    let entry = |at: usize, value: f64| trial(|t| t.entries[at].value = value);
    let friction = |material: &str| {
        trial(|t| {
            t.entries[3].what = TrialKind::Friction { part: PartId(1), lip_material: material.into() };
        })
    };
    let day = "the trial of 2026-03-12";
    let cases = [
        (
            cycle(|c| c.picks_per_hour.value = 0.0),
            "the number of cycles per hour of the cycle is 0".to_owned(),
        ),
        (
            cycle(|c| c.hold_s.value = 6.0),
            "720 cycles per hour of 6 s each take 4320 s of an hour".to_owned(),
        ),
        (
            cycle(|c| c.hours_per_year.value = 9000.0),
            "the working time per year of the cycle is 9000 h".to_owned(),
        ),
        (
            cycle(|c| c.air_price_per_m3.value = -0.1),
            "the price of air of the cycle is -0.1 per m³ ANR".to_owned(),
        ),
        (cycle(|c| c.energy_price_per_kwh.value = -1.0), "the price of energy of the cycle is -1".to_owned()),
        (
            cycle(|c| c.compressor_kwh_per_m3.value = 0.0),
            "the compressor energy of the cycle is 0 kWh/m³".to_owned(),
        ),
        (entry(0, 0.0), format!("the level at the cup of {day} is 0 kPa")),
        (entry(0, 150.0), format!("the level at the cup of {day} is 150 kPa")),
        (entry(1, -1.0), format!("the time to the level of {day} is -1 s")),
        (entry(2, 70.0), format!("the level lost of {day} is 70 kPa, more than the 58 kPa at the start")),
        (entry(3, 4.0), format!("the friction of the slide test of {day} is 4")),
        (friction(" "), format!("the friction of the slide test of {day} names no lip material")),
        (
            trial(|t| t.curves[0].points.truncate(1)),
            "the evacuation curve of 2026-03-12 has 1 points".to_owned(),
        ),
        (
            trial(|t| t.curves[1].points.swap(0, 1)),
            "the times of the leak-down curve of 2026-03-12 do not rise".to_owned(),
        ),
        (
            trial(|t| t.curves[1].points[1].1 = -2.0),
            "a level of the leak-down curve of 2026-03-12 is -2 kPa".to_owned(),
        ),
    ];
    for (p, says) in cases {
        let problems = p.problems();
        assert_eq!(problems.len(), 1, "{says}: {problems:?}");
        assert_eq!((plain(&problems[0].says), &problems[0].subject), (says, &Subject::Project));
    }
}

#[test]
fn sources_are_added_changed_and_removed_by_name() {
    let p = tray();
    let own = p.sources[0].clone();
    assert_eq!(Edit::AddSource(own.clone()).apply(&p), Ok(p.clone()), "the same one again is no change");
    let mut other = SourceModel::clone(&own);
    other.mass_g = 0.1 + 0.2;
    let refused = Edit::AddSource(Arc::new(other.clone())).apply(&p).unwrap_err();
    assert!(refused.to_string().starts_with("another source own-ejector is already in the project"));
    let change = Edit::ChangeSource { source: Arc::new(other), what: String::new() };
    assert_eq!(change.name(&p), "Change source Own ejector");
    assert_eq!(change.apply(&p).unwrap().sources[0].mass_g, 0.3, "noise of arithmetic goes");

    let remove = Edit::RemoveSource(own.id.clone());
    assert_eq!(remove.name(&p), "Remove source Own ejector");
    let refused = remove.apply(&p).unwrap_err().to_string();
    assert!(refused.starts_with("source Own ejector is used by circuit Circuit 1, nothing"), "{refused}");
    let bare = Circuit { supply: None, ..Circuit::clone(&p.circuits[0]) };
    let freed = Edit::ChangeCircuit { circuit: Arc::new(bare), what: String::new() }.apply(&p).unwrap();
    assert!(remove.apply(&freed).unwrap().sources.is_empty());
    assert!(Edit::RemoveSource("none".into()).apply(&p).is_err());
    assert_eq!(Edit::AddSource(own).name(&p), "Add source Own ejector");
}

#[test]
fn a_change_of_a_supply_is_checked() {
    let p = tray();
    let with = |change: &dyn Fn(&mut Supply)| {
        let mut circuit = Circuit::clone(&p.circuits[0]);
        change(Arc::make_mut(circuit.supply.as_mut().unwrap()));
        Edit::ChangeCircuit { circuit: Arc::new(circuit), what: String::new() }.apply(&p)
    };
    let tidied = with(&|s| s.at.x = 0.1 + 0.2).unwrap();
    assert_eq!(tidied.circuits[0].supply.as_ref().unwrap().at.x, 0.3);
    type Case<'a> = (&'a dyn Fn(&mut Supply), &'a str);
    let cases: [Case<'_>; 4] = [
        (&|s| s.source = "gone".into(), "source gone of circuit Circuit 1 is not in the project"),
        (
            &|s| s.branches.push(s.branches[0].clone()),
            "a branch for cup 14 in the supply of circuit Circuit 1",
        ),
        (&|s| s.valves.push(s.valves[0].clone()), "a valve for zone A in the supply of circuit Circuit 1"),
        (&|s| s.branch.bore_mm = f64::NAN, "supply.line.bore_mm of circuit Circuit 1 is not a finite number"),
    ];
    for (change, says) in cases {
        let said = with(change).unwrap_err().to_string();
        assert!(said.starts_with(says), "{said}");
    }
}

#[test]
fn cycle_and_trial_change_by_name_and_what_is_gone_is_forgotten() {
    let p = tray();
    let cycle = Cycle { currency: "USD".into(), ..p.cycle.clone() };
    let edit = Edit::ChangeCycle { cycle, what: String::new() };
    assert_eq!(edit.name(&p), "Change cycle and prices");
    assert_eq!(edit.apply(&p).unwrap().cycle.currency, "USD");
    let with = |change: fn(&mut Trial)| {
        let mut trial = Trial::clone(&p.trial);
        change(&mut trial);
        let edit = Edit::ChangeTrial { trial: Arc::new(trial), what: String::new() };
        assert_eq!(edit.name(&p), "Change trial");
        edit.apply(&p)
    };
    assert_eq!(with(|t| t.entries.truncate(1)).unwrap().trial.entries.len(), 1);
    type Case = (fn(&mut Trial), &'static str);
    let refused: [Case; 3] = [
        (
            |t| t.entries[0].what = TrialKind::Level { layout: LayoutId(4), cup: CupId(99) },
            "cup 99 of layout 4 is not in the project",
        ),
        (|t| t.curves[0].circuit = CircuitId(99), "circuit 99 of a curve of the trial is not in the project"),
        (|t| t.entries[1].value = f64::INFINITY, "time of the trial is not a finite number"),
    ];
    for (change, says) in refused {
        let said = with(change).unwrap_err().to_string();
        assert!(said.starts_with(says), "{said}");
    }
    let layout = p.layouts[0].id;
    let without = Edit::RemoveCups { layout, cups: vec![CupId(14)] }.apply(&p).unwrap();
    assert_eq!(without.trial.entries.len(), 3);
    assert!(without.circuits[0].supply.as_ref().unwrap().branches.is_empty());
    // A cup that another layout has keeps its branch.
    let copy = p.copy_of_layout(layout, "Copy").unwrap();
    let two = Edit::AddLayout(Arc::new(copy)).apply(&p).unwrap();
    let without = Edit::RemoveLayout(layout).apply(&two).unwrap();
    assert_eq!(without.circuits[0].supply.as_ref().unwrap().branches.len(), 1);
    assert_eq!(without.trial.entries.len(), 3, "the level was measured in the layout that is gone");
    let cups = p.layouts[0].cups.iter().map(|c| c.id).collect();
    let bare = Edit::RemoveCups { layout, cups }.apply(&p).unwrap();
    let no_circuit = Edit::RemoveCircuit(CircuitId(5)).apply(&bare).unwrap();
    assert_eq!((no_circuit.trial.entries.len(), no_circuit.trial.curves.len()), (1, 0));
    assert_eq!(from_text(&to_text(&no_circuit), "p.ron"), Ok(no_circuit));
}

/// Entering a measurement keeps it and replaces what was assumed; a later one in the field only is kept.
#[test]
fn a_measurement_replaces_what_was_assumed_with_its_date() {
    let mut p = tray();
    p.site.altitude_m = 1000.0;
    let layout = p.layouts[0].id;
    let enter = |p: &Project, what: TrialKind, value: f64, stage: Stage| {
        let entry = TrialEntry { what, value, stage, on: "2026-04-01".into(), by: "M. Huber".into() };
        let mut history = History::new(p.clone());
        history.apply(p.enter_trial(entry.clone()).unwrap()).unwrap();
        let after = Project::clone(history.committed());
        assert_eq!(after.trial.entries.last(), Some(&entry));
        history.undo();
        assert_eq!(**history.committed(), *p, "one step back takes all of it back");
        after
    };
    let rubber = |name: &str| TrialKind::Friction { part: PartId(1), lip_material: name.into() };
    let after = enter(&p, rubber("Nitrile rubber"), 0.35, Stage::Baseline);
    assert_eq!(after.parts[0].pairs.len(), 2, "the pair that is there is changed");
    assert_eq!(*after.parts[0].friction_of("nitrile rubber"), Sourced::measured(0.35, "2026-04-01"));
    let after = enter(&p, rubber("polyurethane"), 0.6, Stage::Baseline);
    assert_eq!(after.parts[0].pairs.len(), 3);
    let later = enter(&p, rubber("polyurethane"), 0.6, Stage::Field);
    assert_eq!(later.parts, p.parts);

    let at_cup = TrialKind::Level { layout, cup: CupId(11) };
    let fed = enter(&p, at_cup.clone(), 50.0, Stage::Baseline);
    assert_eq!(fed.circuits, p.circuits, "the level of a circuit with a supply is calculated");
    Arc::make_mut(&mut p.circuits[0]).supply = None;
    let stated = enter(&p, at_cup, 50.0, Stage::Baseline);
    // 101.325 over 89.875 kPa, the standard atmosphere at 1000 m (ISO 2533, table 1, from memory).
    let level = &stated.circuits[0].level_kpa;
    assert!((level.value - 50.0 * 101.325 / 89.875).abs() < 1e-3, "{level:?}");
    assert_eq!((level.origin, &*level.on), (Origin::Measured, "2026-04-01"));
    let time = TrialKind::TimeToLevel { circuit: CircuitId(5), level_kpa: 40.0 };
    assert_eq!(enter(&p, time, 0.4, Stage::Baseline).circuits, p.circuits);
    let what = TrialKind::Friction { part: PartId(9), lip_material: "x".into() };
    let (on, by) = (String::new(), String::new());
    let gone = TrialEntry { what, value: 1.0, stage: Stage::Field, on, by };
    assert_eq!(p.enter_trial(gone), None);
}

#[test]
fn a_manifold_lays_out_its_ports() {
    let m = Manifold {
        at: DVec2::new(10.0, 20.0),
        turn_deg: 90.0,
        length_mm: 100.0,
        bore_mm: 12.0,
        ports: 4,
        fed: Fed::OneEnd,
    };
    assert_eq!(m.pitch_mm(), 25.0);
    let near = |a: DVec2, x: f64, y: f64| assert!(a.distance(DVec2::new(x, y)) < 1e-9, "{a}");
    near(m.ends()[0], 10.0, -30.0);
    near(m.ends()[1], 10.0, 70.0);
    near(m.port(0), 10.0, -17.5);
    near(m.port(3), 10.0, 57.5);
}
