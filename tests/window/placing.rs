//! Cups placed by keys, by typed distances and by steps of the grid; what is repeated is seen before it is added.

use super::hands::{Window, click, cup_centre, drag, ready, settle, type_into, window};
use egui::{Key, Modifiers, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

fn at(window: &Window<'_>, index: usize) -> glam::DVec2 {
    window.state().project().layouts[0].cups[index].at
}

fn count(window: &Window<'_>) -> usize {
    window.state().project().layouts[0].cups.len()
}

fn press(window: &mut Window<'_>, modifiers: Modifiers, key: Key) {
    window.key_press_modifiers(modifiers, key);
    ready(window);
}

#[test]
fn a_cup_is_placed_by_keys_alone() {
    let mut window = window();
    let before = count(&window);
    press(&mut window, Modifiers::NONE, Key::C);
    press(&mut window, Modifiers::NONE, Key::ArrowRight);
    let last = at(&window, before - 1);
    let start = (last / 5.0).round() * 5.0 + glam::DVec2::new(5.0, 0.0);
    press(&mut window, Modifiers::SHIFT, Key::ArrowUp);
    press(&mut window, Modifiers::NONE, Key::ArrowDown);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(count(&window), before + 1);
    assert!(
        at(&window, before).distance(start + glam::DVec2::new(0.0, 45.0)) < 1e-9,
        "{}",
        at(&window, before)
    );
    // The next one goes on from there.
    press(&mut window, Modifiers::SHIFT, Key::ArrowRight);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(count(&window), before + 2);
    assert!(at(&window, before + 1).distance(at(&window, before) + glam::DVec2::new(50.0, 0.0)) < 1e-9);
    press(&mut window, Modifiers::NONE, Key::Escape);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(count(&window), before + 2, "the tool was put down");
}

#[test]
fn the_step_of_the_grid_is_typed_and_does_not_depend_on_the_zoom() {
    let mut window = window();
    click(&mut window, "Hide guide");
    press(&mut window, Modifiers::COMMAND, Key::K);
    type_into(&mut window, "Find a command", "grid step");
    type_into(&mut window, "Step, mm", "12");
    press(&mut window, Modifiers::NONE, Key::Escape);
    window.get_by_label_contains("grid 12");
    for zoom in [Key::Plus, Key::Minus] {
        press(&mut window, Modifiers::COMMAND, zoom);
        let from = cup_centre(&window, "C5");
        drag(&mut window, from, from + Vec2::new(23.0, -31.0));
        let to = window.state().project().layouts[0].cups.iter().find(|c| c.tag == "C5").unwrap().at;
        let others = window.state().project().layouts[0].cups.iter().filter(|c| c.tag != "C5");
        let rows: Vec<glam::DVec2> = others.map(|c| c.at).collect();
        for (axis, value) in [to.x, to.y].into_iter().enumerate() {
            let on_grid = (value / 12.0 - (value / 12.0).round()).abs() < 1e-9;
            let in_row = rows.iter().any(|row| (row[axis] - value).abs() < 1e-9);
            // Or on the middle of the part or its centre of gravity, which have lines of their own.
            let report = window.state().report().clone();
            let gravity = report.part.as_ref().unwrap().centre_of_gravity_mm;
            let bounds = window.state().project().parts[0].outline.outer.bounds().unwrap();
            let middle = (bounds.min + bounds.max) / 2.0;
            let on_line = (gravity[axis] - value).abs() < 1e-9 || (middle[axis] - value).abs() < 1e-9;
            assert!(on_grid || in_row || on_line, "{value}");
        }
        press(&mut window, Modifiers::COMMAND, Key::Z);
    }
}

#[test]
fn several_cups_are_placed_and_spaced_by_typed_figures() {
    let mut window = window();
    click(&mut window, "Hide guide");
    press(&mut window, Modifiers::COMMAND, Key::A);
    let before: Vec<glam::DVec2> = window.state().project().layouts[0].cups.iter().map(|c| c.at).collect();
    let left = before.iter().map(|at| at.x).fold(f64::INFINITY, f64::min);
    type_into(&mut window, "X, leftmost, mm", &format!("{}", left + 7.5));
    for (i, was) in before.iter().enumerate() {
        assert!(at(&window, i).distance(*was + glam::DVec2::new(7.5, 0.0)) < 1e-9);
    }
    // Two in a row: their pitch.
    press(&mut window, Modifiers::NONE, Key::Escape);
    click(&mut window, "Cup C1");
    window.get_by_label("Cup C5").click_modifiers(Modifiers::SHIFT);
    ready(&mut window);
    type_into(&mut window, "Pitch along X, mm", "90");
    let of = |tag: &str| window.state().project().layouts[0].cups.iter().find(|c| c.tag == tag).unwrap().at;
    assert!((of("C5").x - of("C1").x - 90.0).abs() < 1e-9);
}

#[test]
fn a_cup_is_placed_by_its_distance_from_the_nearest_one() {
    let mut window = window();
    click(&mut window, "Hide guide");
    click(&mut window, "Cup C8");
    type_into(&mut window, "X from C7, mm", "20");
    let of = |tag: &str| window.state().project().layouts[0].cups.iter().find(|c| c.tag == tag).unwrap().at;
    assert!((of("C8").x - of("C7").x - 20.0).abs() < 1e-9);
}

#[test]
fn what_is_repeated_is_seen_on_the_plan_before_it_is_added() {
    let mut window = window();
    click(&mut window, "Hide guide");
    let before = count(&window);
    click(&mut window, "Cup C1");
    press(&mut window, Modifiers::NONE, Key::R);
    type_into(&mut window, "Columns", "3");
    window.step();
    let seen = window.state().plan.preview.clone();
    assert_eq!(seen.len(), 2, "{seen:?}");
    click(&mut window, "Add");
    assert_eq!(count(&window), before + 2);
    for cup in seen {
        assert!(window.state().project().layouts[0].cups.iter().any(|c| c.at == cup.at));
    }
    window.run_steps(2);
    assert!(window.state().plan.preview.is_empty());
}

#[test]
fn in_inch_mode_models_and_keys_speak_of_no_millimetres() {
    let mut window = window();
    click(&mut window, "Hide guide");
    press(&mut window, Modifiers::COMMAND, Key::U);
    click(&mut window, "Inch, pound");
    press(&mut window, Modifiers::NONE, Key::Escape);
    let c1 = at(&window, 0);
    click(&mut window, "Cup C1");
    press(&mut window, Modifiers::NONE, Key::ArrowRight);
    assert!((at(&window, 0).x - c1.x - 1.27).abs() < 1e-9);
    press(&mut window, Modifiers::NONE, Key::Questionmark);
    window.get_by_label_contains("move the selected cups by 0.050 in; Shift 0.500 in, Ctrl 0.005 in");
    press(&mut window, Modifiers::NONE, Key::Escape);
    press(&mut window, Modifiers::COMMAND, Key::L);
    let says = |window: &Window<'_>| -> Vec<String> {
        let rows = window.query_all_by_label_contains("Place ");
        rows.filter_map(|row| row.accesskit_node().value()).collect()
    };
    let start = std::time::Instant::now();
    while !says(&window).iter().any(|says| says.contains("at least")) {
        assert!(start.elapsed().as_secs() < 60, "no figures come");
        std::thread::sleep(std::time::Duration::from_millis(20));
        window.run_steps(2);
    }
    for one in says(&window) {
        assert!(!one.contains(" mm") && !one.contains(" N,"), "{one}");
    }
}

#[test]
fn models_are_chosen_by_what_they_would_do_on_the_part() {
    let mut window = window();
    press(&mut window, Modifiers::COMMAND, Key::L);
    let rows = |window: &Window<'_>| -> Vec<(String, String)> {
        let rows = window.query_all_by_label_contains("Place ");
        rows.filter_map(|row| Some((row.accesskit_node().label()?, row.accesskit_node().value()?)))
            .filter(|(label, _)| label.starts_with("Place "))
            .collect()
    };
    let start = std::time::Instant::now();
    while !rows(&window).iter().any(|(_, says)| says.contains("at least")) {
        assert!(start.elapsed().as_secs() < 60, "no figures come: {:?}", rows(&window));
        std::thread::sleep(std::time::Duration::from_millis(20));
        window.run_steps(2);
    }
    // 36 kPa inside the sealing line of a lip of 50 mm: every figure has its unit.
    let all = rows(&window);
    let own = all.iter().rfind(|(label, _)| label.ends_with("Round 50, one fold, very soft")).unwrap();
    assert!(own.1.contains(" N, friction ") && own.1.contains(" N, 6 at least"), "{own:?}");
    let suits = |rows: &[(String, String)]| rows.iter().filter(|(_, says)| says.contains("at least")).count();
    assert!(suits(&all) < all.len(), "some do not suit, and say why: {all:?}");
    click(&mut window, "only what suits this part");
    let left = rows(&window);
    // The row in the panel at the left has no such figures.
    assert!(left.len() <= suits(&all) + 1, "{left:?}");
}

#[test]
fn several_cups_are_placed_one_by_one_in_a_table() {
    let mut window = window();
    click(&mut window, "Hide guide");
    press(&mut window, Modifiers::COMMAND, Key::A);
    let before: Vec<glam::DVec2> = window.state().project().layouts[0].cups.iter().map(|c| c.at).collect();
    type_into(&mut window, "X of C2, mm", "150 + 2,5");
    type_into(&mut window, "Y of C3, mm", "4 in");
    for (i, was) in before.iter().enumerate() {
        let wanted = match i {
            1 => glam::DVec2::new(152.5, was.y),
            2 => glam::DVec2::new(was.x, 101.6),
            _ => *was,
        };
        assert!(at(&window, i).distance(wanted) < 1e-9, "cup {i}: {} {wanted}", at(&window, i));
    }
    // What is typed of one keeps the others selected; each is a step of its own to undo.
    assert_eq!(window.state().selection().len(), before.len());
    press(&mut window, Modifiers::NONE, Key::Escape);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(at(&window, 2).distance(before[2]) < 1e-9 && (at(&window, 1).x - 152.5).abs() < 1e-9);
    // A locked cup is told and not typed.
    click(&mut window, "Cup C1");
    press(&mut window, Modifiers::NONE, Key::L);
    press(&mut window, Modifiers::COMMAND, Key::A);
    assert!(window.query_by_label("X of C1, mm").is_none() && window.query_by_label("X of C2, mm").is_some());
}

#[test]
fn a_fix_lands_on_the_step_of_the_grid() {
    let mut window = window();
    click(&mut window, "Hide guide");
    press(&mut window, Modifiers::COMMAND, Key::K);
    type_into(&mut window, "Find a command", "grid step");
    type_into(&mut window, "Step, mm", "12");
    press(&mut window, Modifiers::NONE, Key::Escape);
    click(&mut window, "Cup C1");
    type_into(&mut window, "X, mm", "5.3");
    let over = |w: &Window<'_>| w.state().report().findings.iter().any(|f| f.rule == "seat.overhang");
    assert!(over(&window));
    window.get_all_by_label("Apply fix").next().unwrap().click();
    ready(&mut window);
    assert!(!over(&window));
    for value in at(&window, 0).to_array() {
        assert!((value / 12.0 - (value / 12.0).round()).abs() < 1e-9, "{value} is no whole step");
    }
}

/// Where the part and the strip of a tool lie on the screen.
fn part_and_plan(window: &Window<'_>) -> (egui::Rect, egui::Rect) {
    let plan = &window.state().plan;
    let rect = plan.rect.unwrap();
    let bounds = window.state().project().parts[0].outline.bounds().unwrap();
    let corner = |at| plan.camera.screen_from_part(rect, at);
    (egui::Rect::from_two_pos(corner(bounds.min), corner(bounds.max)), rect)
}

#[test]
fn the_strip_of_a_tool_takes_its_room_from_the_plan_and_covers_nothing_of_the_part() {
    for (size, scale) in [([1440.0, 900.0], 1.0), ([1280.0, 800.0], 1.0), ([1280.0, 800.0], 1.5)] {
        let mut window = crate::hands::sized(size, scale, egui::Theme::Light);
        click(&mut window, "Hide guide");
        settle(&mut window);
        let (_, whole) = part_and_plan(&window);
        for (key, says) in [(Key::E, "Drag corners and edges."), (Key::H, "New hole")] {
            window.key_press(key);
            ready(&mut window);
            let strip = window.get_by_label_contains(says).rect();
            let (part, plan) = part_and_plan(&window);
            assert!(plan.top() >= strip.bottom(), "{says} at {size:?}: {plan} under {strip}");
            assert!(plan.expand(0.5).contains_rect(part), "{says} at {size:?}: {part} in {plan}");
            window.key_press(Key::Escape);
            ready(&mut window);
            assert_eq!(part_and_plan(&window).1, whole, "its room is given back");
        }
        // A click on a corner does not move the plan under the pointer.
        window.key_press(Key::E);
        ready(&mut window);
        let before = part_and_plan(&window);
        let corner = window.get_by_label("Corner 2 of the outline").rect().center();
        crate::hands::at(&mut window, corner);
        window.get_by_label("Corner X");
        if size[0] > 1300.0 {
            assert_eq!(part_and_plan(&window), before, "at {size:?}");
        }
    }
}
