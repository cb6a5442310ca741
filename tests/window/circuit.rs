//! A circuit laid out over the cups, changed and read, by accessible name.

use crate::hands::{Window, click, lay_out, ready, settle, type_into, window};
use analysis::CircuitStatus;
use egui::Key;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

fn demo(window: &mut Window<'_>) {
    click(window, "Hide guide");
    settle(window);
}

fn worst(window: &Window<'_>) -> f64 {
    window.state().report().circuits[0].worst_cup().unwrap().level_kpa
}

#[test]
fn one_click_lays_a_circuit_out_and_its_levels_reach_the_cups() {
    let mut window = window();
    demo(&mut window);
    let stated = window.state().report().cups[0].level_kpa;
    lay_out(&mut window);
    settle(&mut window);
    let report = window.state().report().clone();
    assert_eq!(report.circuits[0].status, CircuitStatus::Solved);
    for (cup, level) in report.cups.iter().zip(&report.circuits[0].cups) {
        assert_eq!(cup.id, level.id);
        assert!((cup.level_kpa - level.design_kpa).abs() < 1e-9 && cup.level_kpa != stated);
    }
    // Every cup stands in the schematic with its level in words.
    for cup in &window.state().project().layouts[0].cups.clone() {
        window.get_by_label_contains(&format!("Level at {}: ", cup.tag));
    }
    // A thin hose to each cup and a leak under the lips: the level falls, the figures follow.
    let before = worst(&window);
    type_into(&mut window, "Gap under lips, mm", "0.05");
    let leaking = worst(&window);
    assert!(leaking < before, "{leaking} {before}");
    type_into(&mut window, "Bore, hose to each cup, mm", "3");
    assert!(worst(&window) < leaking);
    type_into(&mut window, "Bore, hose to each cup, mm", "8");
    assert!(worst(&window) >= leaking, "a larger bore never lowers a leaking cup's level");
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    click(&mut window, "back to a stated level");
    assert_eq!(window.state().report().circuits[0].status, CircuitStatus::Stated);
    assert_eq!(window.state().report().cups[0].level_kpa, stated);
}

#[test]
fn what_no_circuit_can_have_is_said_and_not_taken() {
    let mut window = window();
    demo(&mut window);
    lay_out(&mut window);
    let before = window.state().project().clone();
    type_into(&mut window, "Bore, hose to each cup, mm", "0");
    assert_eq!(window.state().project(), &before);
    assert!(window.query_all_by_label_contains("nothing was changed").count() > 0);
    let report = window.state().report();
    assert!(matches!(report.circuits[0].status, CircuitStatus::Solved), "{:?}", report.circuits[0].status);
}

#[test]
fn the_key_shows_and_hides_the_circuit_and_times_come_with_it() {
    let mut window = window();
    demo(&mut window);
    lay_out(&mut window);
    settle(&mut window);
    window.get_by_label_contains("best single changes");
    let slow = window.state().report().circuits[0].slow.clone().unwrap();
    assert_eq!(slow.evacuation.len(), window.state().project().layouts[0].cups.len());
    assert!(!slow.open.is_empty() && !slow.helps.is_empty());
    window.key_press(Key::U);
    ready(&mut window);
    assert!(window.query_by_label_contains("best single changes").is_none());
}

#[test]
fn a_measured_friction_takes_the_place_of_the_assumed_one_with_its_date() {
    let mut window = window();
    demo(&mut window);
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::K);
    ready(&mut window);
    window.get_by_label("Find a command").type_text("measurements");
    ready(&mut window);
    window.key_press(Key::Enter);
    ready(&mut window);
    type_into(&mut window, "Friction of the slide test", "0.37");
    click(&mut window, "Enter");
    let project = window.state().project().clone();
    let entry = project.trial.entries.last().unwrap();
    assert_eq!(entry.value, 0.37);
    let document::TrialKind::Friction { lip_material, .. } = &entry.what else { panic!("{:?}", entry.what) };
    let friction = project.parts[0].friction_of(lip_material);
    assert_eq!((friction.value, friction.origin), (0.37, document::Origin::Measured));
    assert!(!friction.on.is_empty());
    assert!(window.state().report().cups.iter().all(|c| (c.friction - 0.37).abs() < 1e-12));
}

#[test]
fn what_a_pick_costs_follows_the_cycle() {
    let mut window = window();
    demo(&mut window);
    lay_out(&mut window);
    settle(&mut window);
    let cost = |window: &Window<'_>| {
        window.state().report().circuits[0].slow.as_ref().unwrap().cost_per_year.unwrap()
    };
    let before = cost(&window);
    let picks = window.state().project().cycle.picks_per_hour.value;
    type_into(&mut window, "Cycles per hour, 1/h", &format!("{}", picks / 2.0));
    settle(&mut window);
    assert!(cost(&window) < before, "{} {before}", cost(&window));
}

/// Every figure of how a circuit is run is typed by its name, stands in the project, and tells on the figures.
#[test]
fn how_a_circuit_is_run_is_typed_and_tells() {
    let mut window = window();
    demo(&mut window);
    lay_out(&mut window);
    settle(&mut window);
    let slow = |window: &Window<'_>| window.state().report().circuits[0].slow.clone().unwrap();
    let slowest = |slow: &analysis::CircuitSlow| {
        slow.evacuation.iter().filter_map(|curve| curve.to_90_s).fold(0.0, f64::max)
    };
    let operation =
        |window: &Window<'_>| window.state().project().circuits[0].supply.clone().unwrap().operation.clone();
    let first = slow(&window);
    // Nobody said: assumed.
    assert_eq!(operation(&window).valve_s.origin, document::Origin::Assumed);
    type_into(&mut window, "Valve response, s", "0.23");
    type_into(&mut window, "Switch delay, s", "12 ms");
    settle(&mut window);
    let valve = operation(&window).valve_s;
    assert_eq!((valve.value, valve.origin), (0.23, document::Origin::Stated));
    assert_eq!(operation(&window).switch_s.value, 0.012);
    let timed = slow(&window);
    assert!((slowest(&timed) - slowest(&first) - 0.2).abs() < 1e-9);
    type_into(&mut window, "Vessel, ml", "0.4 L");
    type_into(&mut window, "Check valve leak, L/min ANR", "0.02");
    settle(&mut window);
    let vessel = slow(&window);
    assert_eq!((operation(&window).vessel_ml, operation(&window).check_leak_nl_min.value), (400.0, 0.02));
    assert!(slowest(&vessel) > slowest(&timed));
    click(&mut window, "Blow-off");
    click(&mut window, "a valve");
    type_into(&mut window, "C, blow-off valve, dm³/(s·bar)", "0.9");
    type_into(&mut window, "Blow-off feed, kPa", "300");
    settle(&mut window);
    let blown = slow(&window);
    let restriction = document::Restriction { c_dm3_s_bar: 0.9, b: 0.3 };
    assert_eq!(operation(&window).blow_off, document::BlowOff::Valve { restriction, feed_kpa: 300.0 });
    assert!(blown.release_blow_off_s < vessel.release_blow_off_s);
    click(&mut window, "Blow-off");
    click(&mut window, "none is fitted");
    settle(&mut window);
    assert_eq!(slow(&window).release_blow_off_s, None);
    let before = worst(&window);
    click(&mut window, "exhaust hose or silencer");
    type_into(&mut window, "Length, exhaust hose, mm", "2500");
    type_into(&mut window, "Bore, exhaust hose, mm", "9");
    let hose = worst(&window);
    assert!(hose < before, "{hose} {before}");
    click(&mut window, "silencer at its end");
    type_into(&mut window, "C, silencer, dm³/(s·bar)", "4");
    let silenced = worst(&window);
    assert!(silenced < hose, "{silenced} {hose}");
    type_into(&mut window, "Level lost to back-pressure, %/kPa", "0.5");
    let exhaust = operation(&window).exhaust.unwrap();
    // Where the air it is fed with does not get out, a failure is said, not a small level.
    type_into(&mut window, "Level lost to back-pressure, %/kPa", "5");
    type_into(&mut window, "Bore, exhaust hose, mm", "4");
    let findings = window.state().report().findings.clone();
    let choked = findings.iter().find(|finding| finding.rule == "circuit.exhaust").expect("a finding");
    assert!(choked.says.contains("is choked"), "{}", choked.says);
    assert_eq!((exhaust.length_mm, exhaust.bore_mm, exhaust.level_loss_per_kpa.value), (2500.0, 9.0, 0.005));
    // The schematic has vessel and exhaust at the source.
    window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::Z);
    ready(&mut window);
    window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::Z);
    ready(&mut window);
    settle(&mut window);
    window.get_by_label_contains("vessel, ");
    window.get_by_label_contains("exhaust, ");
}

/// A pump runs through the cycle until the form says that it stops.
#[test]
fn a_motor_stops_between_picks_when_the_form_says_so() {
    let mut window = window();
    demo(&mut window);
    lay_out(&mut window);
    settle(&mut window);
    assert!(window.query_by_label("motor stops between cycles").is_none());
    let pump = document::sources().iter().find(|s| s.kind == document::SourceKind::Pump).unwrap();
    click(&mut window, "Source");
    click(&mut window, &pump.name);
    settle(&mut window);
    let energy = |window: &Window<'_>| {
        window.state().report().circuits[0].slow.as_ref().unwrap().energy_wh_per_pick.unwrap()
    };
    let running = energy(&window);
    click(&mut window, "motor stops between cycles");
    settle(&mut window);
    assert!(energy(&window) < running, "{} {running}", energy(&window));
    assert!(window.state().project().circuits[0].supply.as_ref().unwrap().operation.motors_stop);
}

#[test]
fn a_fitting_gets_its_own_bore_and_stated_figures_and_the_method_is_chosen() {
    let mut window = window();
    demo(&mut window);
    lay_out(&mut window);
    type_into(&mut window, "Gap under lips, mm", "0.05");
    let before = worst(&window);
    click(&mut window, "own bore: straight fitting of main hose");
    type_into(&mut window, "Bore, straight fitting of main hose, mm", "4");
    let supply = |window: &Window<'_>| window.state().project().circuits[0].supply.clone().unwrap();
    assert_eq!(supply(&window).main.fittings[0].bore_mm, Some(4.0));
    let narrow = worst(&window);
    assert!(narrow < before, "{narrow} {before}");
    click(&mut window, "stated C and b: straight fitting of main hose");
    type_into(&mut window, "C, straight fitting of main hose, dm³/(s·bar)", "0.5");
    assert_eq!(supply(&window).main.fittings[0].flow.map(|flow| flow.c_dm3_s_bar), Some(0.5));
    assert_ne!(worst(&window), narrow);
    click(&mut window, "Loss of fittings");
    click(&mut window, "three constants");
    assert_eq!(supply(&window).fitting_loss, document::FittingLoss::ThreeConstant);
}

#[test]
fn several_sources_a_filter_at_each_cup_and_dust_are_entered_and_followed() {
    let mut window = window();
    demo(&mut window);
    lay_out(&mut window);
    type_into(&mut window, "Gap under lips, mm", "0.05");
    let supply = |window: &Window<'_>| window.state().project().circuits[0].supply.clone().unwrap();
    let one = worst(&window);
    type_into(&mut window, "Number of sources", "3");
    assert_eq!(supply(&window).sources, 3);
    let three = worst(&window);
    assert!(three > one, "{three} {one}");
    click(&mut window, "filter at each cup");
    type_into(&mut window, "C, filter at each cup, dm³/(s·bar)", "0.4");
    assert!(supply(&window).filter_at_cup.is_some() && worst(&window) < three);
    click(&mut window, "dust in the workshop");
    type_into(&mut window, "Dust in the air, g/m³", "0.5");
    type_into(&mut window, "Dust that halves a filter, g", "2");
    settle(&mut window);
    let dust = supply(&window).dust.clone().unwrap();
    assert_eq!((dust.load_g_m3.value, dust.load_g_m3.origin), (0.5, document::Origin::Stated));
    assert!(
        window.get_all_by_label_contains("through filter").count() > 0,
        "the schematic names the filter of a cup"
    );
    let found = window.state().report().circuits[0].slow.as_ref().unwrap().dust.clone().unwrap();
    assert!(found.points.last().unwrap().1 < found.points[0].1, "{:?}", found.points);
}

#[test]
fn cells_that_close_are_entered_under_the_area_gripper() {
    let mut window = window();
    demo(&mut window);
    lay_out(&mut window);
    assert!(window.query_by_label("cells close by themselves").is_none());
    click(&mut window, "area gripper: foam over cells");
    click(&mut window, "cells close by themselves");
    type_into(&mut window, "Cell closing flow, L/min ANR", "2.5");
    let supply = window.state().project().circuits[0].supply.clone().unwrap();
    let closing = supply.cell_closing.clone().unwrap();
    assert_eq!((closing.at_nl_min.value, closing.leak_nl_min.origin), (2.5, document::Origin::Assumed));
    assert_eq!(window.state().report().circuits[0].status, CircuitStatus::Solved);
}

#[test]
fn an_element_of_the_schematic_opens_its_figures_in_place() {
    let mut window = window();
    demo(&mut window);
    click(&mut window, "source and hoses…");
    settle(&mut window);
    let rung = |window: &Window<'_>| {
        let found = window.query_all_by_label_contains("fed at one end").next();
        found.map(|rung| rung.rect().center())
    };
    // The part of the form at the left is folded: the field is the one of the schematic.
    assert!(window.query_by_label("Bore, manifold, mm").is_none());
    let place = rung(&window).expect("the manifold stands on the ladder");
    crate::hands::at(&mut window, place);
    type_into(&mut window, "Bore, manifold, mm", "16");
    let supply = window.state().project().circuits[0].supply.clone().unwrap();
    assert_eq!(supply.manifold.unwrap().bore_mm, 16.0);
}

/// The vacuum switch stands at the source as soon as its levels are stated, and opens them.
#[test]
fn the_vacuum_switch_stands_in_the_schematic_and_opens_its_levels() {
    let mut window = window();
    demo(&mut window);
    click(&mut window, "source and hoses…");
    settle(&mut window);
    assert!(window.query_by_label_contains("vacuum switch, part held").is_none());
    window.get_by_label("suggest").scroll_to_me();
    ready(&mut window);
    click(&mut window, "suggest");
    click(&mut window, "close");
    assert!(window.query_by_label_contains("Part-held level").is_none());
    let place = window.get_by_label_contains("vacuum switch, part held").rect().center();
    crate::hands::at(&mut window, place);
    let field = window.get_by_label_contains("Part-held level");
    let name = field.accesskit_node().label().unwrap();
    type_into(&mut window, &name, "41");
    assert_eq!(window.state().project().circuits[0].thresholds.unwrap().held_kpa, 41.0);
    window.get_by_label("vacuum switch, part held from 41.0 kPa");
}

#[test]
fn source_and_manifold_are_dragged_on_the_plan_and_their_hoses_follow() {
    let mut window = window();
    demo(&mut window);
    click(&mut window, "source and hoses…");
    settle(&mut window);
    let supply = |window: &Window<'_>| window.state().project().circuits[0].supply.clone().unwrap();
    let main = |window: &Window<'_>| {
        let report = window.state().report().clone();
        report.circuits[0].elements.iter().filter_map(|e| e.length_mm).sum::<f64>()
    };
    for (label, manifold) in [("Source of Circuit 1", false), ("Manifold of Circuit 1", true)] {
        let before = supply(&window);
        let (at, long) = (before.at, main(&window));
        let rect = window.get_by_label(label).rect();
        // The manifold is laid out under the source: it is taken by its end.
        let from = if manifold { rect.right_center() - egui::Vec2::new(6.0, 0.0) } else { rect.center() };
        crate::hands::drag(&mut window, from, from + egui::Vec2::new(47.0, -33.0));
        let after = supply(&window);
        match manifold {
            true => assert_ne!(after.manifold.unwrap().at, before.manifold.unwrap().at),
            false => assert!(after.at.truncate() != at.truncate() && after.at.z == at.z),
        }
        settle(&mut window);
        assert_ne!(main(&window), long, "hoses from the plan are as long as the plan says");
        window.key_press_modifiers(egui::Modifiers::COMMAND, Key::Z);
        ready(&mut window);
        assert_eq!(supply(&window), before);
    }
}

/// Rows of the sources and what is spoken of them, once their figures are there.
fn sources_told(window: &mut Window<'_>) -> Vec<(String, String)> {
    use egui_kittest::kittest::NodeT as _;
    let rows = |window: &Window<'_>| -> Vec<(String, String)> {
        let rows = window.query_all_by_label_contains("Feed with ");
        rows.filter_map(|row| Some((row.accesskit_node().label()?, row.accesskit_node().value()?))).collect()
    };
    let start = std::time::Instant::now();
    while !rows(window).iter().any(|(_, says)| says.starts_with("suits;")) {
        assert!(start.elapsed().as_secs() < 60, "no figures come: {:?}", rows(window));
        std::thread::sleep(std::time::Duration::from_millis(20));
        window.run_steps(2);
    }
    rows(window)
}

#[test]
fn a_source_is_chosen_by_what_it_would_do_on_the_circuit() {
    let mut window = window();
    demo(&mut window);
    lay_out(&mut window);
    click(&mut window, "choose…");
    let all = sources_told(&mut window);
    assert_eq!(all.len(), document::sources().len(), "{all:?}");
    let suits =
        |rows: &[(String, String)]| rows.iter().filter(|(_, says)| says.starts_with("suits;")).count();
    let against: Vec<_> = all.iter().filter(|(_, says)| !says.starts_with("suits;")).collect();
    assert!(!against.is_empty() && against.iter().all(|(_, says)| says.contains("kPa")), "{against:?}");
    assert!(all.iter().all(|(_, says)| !says.starts_with("suits;") || says.contains(" W;")), "{all:?}");
    click(&mut window, "only what suits this circuit");
    assert_eq!(sources_told(&mut window).len(), suits(&all));
    click(&mut window, "only what suits this circuit");
    // By keys alone: search, down, Enter.
    window.get_by_label("Search sources").focus();
    ready(&mut window);
    window.get_by_label("Search sources").type_text("pump");
    ready(&mut window);
    let pumps = sources_told(&mut window);
    assert!(pumps.len() > 1 && pumps.len() < all.len(), "{pumps:?}");
    window.key_press(egui::Key::ArrowDown);
    ready(&mut window);
    window.key_press(egui::Key::Enter);
    ready(&mut window);
    assert!(window.query_by_label("Search sources").is_none(), "it is chosen");
    let source = window.state().project().circuits[0].supply.as_ref().unwrap().source.clone();
    let chosen = window.state().project().source(&source).unwrap().clone();
    assert_eq!(format!("Feed with {}", chosen.name), pumps[1].0);
    // What was told of it is what the circuit has now.
    let circuit = &window.state().report().circuits[0];
    let level = circuit.worst_cup().map(|cup| {
        units::show(cup.level_kpa, units::Quantity::VacuumLevel, &units::UnitChoice::default()).to_string()
    });
    assert!(pumps[1].1.contains(&level.unwrap()), "{:?}", pumps[1]);
}

/// In a narrow column what a change gives stands below its words, which would be a tower beside it.
#[test]
fn a_change_of_a_circuit_keeps_its_words_whole_in_a_small_window() {
    let mut window = crate::hands::window_in(None, Some(crate::demo_drawing("door-sheet.ron")));
    window.set_size(egui::Vec2::new(1280.0, 800.0));
    ready(&mut window);
    settle(&mut window);
    window.key_press(Key::U);
    settle(&mut window);
    let words = window.get_by_label("A separate source at every cup").rect();
    let link = window.get_by_label("Apply a separate source at every cup").rect();
    assert!(words.height() < 24.0, "{words:?}");
    assert!(link.top() >= words.center().y, "{words:?} {link:?}");
}
