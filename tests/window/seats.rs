//! A tool that carries several parts in the window: shown one by one, placed, switched, and with the fewest valves.

use super::demo_drawing;
use crate::hands::{Window, at, build, click, ready, run_command, settle, type_into, window, window_in};
use analysis::{Cover, Severity};
use document::Seat;
use egui::{Key, Modifiers, Vec2};
use egui_kittest::kittest::Queryable as _;
use std::sync::Arc;

fn panels() -> Window<'static> {
    window_in(None, Some(demo_drawing("side-panels.ron")))
}
fn seats(window: &Window<'_>) -> Vec<Seat> {
    window.state().project().layouts[0].seats.clone()
}
fn shown(window: &Window<'_>) -> String {
    window.state().report().part.as_ref().unwrap().name.clone()
}
fn verdict(window: &Window<'_>) -> (Severity, String) {
    let view = window.state().view(app::theme::tokens(false));
    (view.whole().verdict.severity, view.whole().verdict.sentence.clone())
}
fn undo(window: &mut Window<'_>) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(window);
}

/// Whichever part is on the plan, the sheet that is looked through is the one that is written: of the whole tool.
#[test]
fn the_preview_of_the_sheet_has_every_part() {
    let mut window = panels();
    settle(&mut window);
    let project = window.state().project().clone();
    let whole = analysis::Analyst::new().check_whole(&project, project.layouts[0].id);
    let pages = sheet::compose(&project, &whole, &sheet::SheetOptions::default()).len();
    let alone = sheet::compose(&project, window.state().report(), &sheet::SheetOptions::default()).len();
    assert!(alone < pages, "{alone} {pages}");
    window.key_press_modifiers(Modifiers::COMMAND, Key::P);
    ready(&mut window);
    window.get_by_label(&format!("page 1 of {pages}"));
}

/// Whichever part is on the plan, who approves or issues is told what fails on the whole tool.
#[test]
fn who_approves_or_issues_sees_what_fails_on_every_part() {
    let (mut project, _) = document::open(&demo_drawing("side-panels.ron")).unwrap();
    let cover = project.parts.iter().position(|part| part.name == "Cover blank").unwrap();
    Arc::make_mut(&mut project.parts[cover]).thickness_mm *= 20.0;
    let folder = tempfile::tempdir().unwrap();
    let heavy = folder.path().join("heavy.ron");
    document::save(&project, &heavy, None).unwrap();
    let mut window = window_in(None, Some(heavy));
    settle(&mut window);
    click(&mut window, "Part Side panel, left");
    settle(&mut window);
    assert_eq!(telling::open_failures(window.state().report()).count(), 0, "the part on the plan holds");
    let whole = window.state().view(app::theme::tokens(false)).whole().clone();
    let fails = telling::open_failures(&whole).count();
    assert!(fails > 0);
    run_command(&mut window, "issue a revision");
    window.get_by_label_contains("not accepted.");
    window.key_press(Key::Escape);
    ready(&mut window);
    run_command(&mut window, "approve or send back");
    let reason = |number: usize| format!("Reason to accept failure {number}");
    assert!(window.query_all_by_label_contains(&reason(fails)).next().is_some());
    assert!(window.query_all_by_label_contains(&reason(fails + 1)).next().is_none());
}

#[test]
fn parts_are_shown_by_tabs_and_brackets_and_the_verdict_is_that_of_the_worst() {
    let mut window = panels();
    let (severity, sentence) = verdict(&window);
    assert!(severity < Severity::Fail, "{sentence}");
    assert!(sentence.starts_with("Side panel, "), "{sentence}");
    window.get_by_label_contains(&format!("Verdict: {}", &sentence[..20]));
    click(&mut window, "Part Cover blank");
    assert_eq!(shown(&window), "Cover blank");
    assert_eq!(window.state().report().cups.len(), 4);
    assert_eq!(verdict(&window).1, sentence, "the verdict is of the whole tool");
    window.key_press(Key::CloseBracket);
    ready(&mut window);
    assert_eq!(shown(&window), "Side panel, left");
    window.key_press(Key::OpenBracket);
    ready(&mut window);
    assert_eq!(shown(&window), "Cover blank");
    // All over each other: each cup with the number of parts that it holds.
    click(&mut window, "all parts");
    let view = window.state().view(app::theme::tokens(false));
    let held = view.family.as_ref().unwrap();
    assert!(held.all);
    let used = |tag: &str| held.family.used_by(view.layout.cups.iter().find(|c| c.tag == tag).unwrap().id);
    assert_eq!([used("C1"), used("C3"), used("C7")], [2, 3, 1]);
    // With cups selected the brackets turn them, as they always did.
    click(&mut window, "Part Side panel, left");
    click(&mut window, "Cup C1");
    window.key_press(Key::OpenBracket);
    ready(&mut window);
    assert_eq!(window.state().project().layouts[0].cups[0].turn_deg, 15.0);
    assert_eq!(shown(&window), "Side panel, left");
}

#[test]
fn a_long_name_of_a_part_leaves_the_next_tab_in_sight() {
    let folder = tempfile::tempdir().unwrap();
    let long = "Side panel, left hand, of the rear quarter with the fuel flap cut out, revision 7";
    let text = std::fs::read_to_string(demo_drawing("side-panels.ron")).unwrap();
    let file = folder.path().join("long.ron");
    std::fs::write(&file, text.replace("\"Side panel, left\"", &format!("\"{long}\""))).unwrap();
    let mut window = build(None, Some(file), [1280.0, 800.0], 1.0, egui::Theme::Light);
    ready(&mut window);
    let first = window.get_by_label(&format!("Part {long}")).rect();
    let next = window.get_by_label("Part Side panel, right").rect();
    let menu = window.get_by_label("Alternatives").rect();
    let all = window.get_by_label("all parts").rect();
    assert!(first.width() < 220.0, "{first:?}");
    assert!(next.right() < all.left() && all.right() <= menu.left(), "{next:?} {all:?} {menu:?}");
}

#[test]
fn a_part_is_placed_by_typing_and_by_its_datum_and_put_back() {
    let mut window = panels();
    click(&mut window, "Part Cover blank");
    let before = seats(&window);
    type_into(&mut window, "Place X, Cover blank, mm", "250");
    assert_eq!(seats(&window)[2].at.x, 250.0);
    window.get_by_label_contains("Undo place Cover blank");
    undo(&mut window);
    assert_eq!(seats(&window), before);
    let from = window.get_by_label("Datum of Cover blank").rect().center();
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for i in 1..=8 {
        window.hover_at(from + Vec2::new(10.0, -4.0) * i as f32);
        window.step();
    }
    assert_eq!(seats(&window), before, "nothing is committed while the button is held");
    let view = window.state().view(app::theme::tokens(false));
    assert!(view.seat().at.x > before[2].at.x + 20.0, "the plan follows");
    window.drop_at(from + Vec2::new(80.0, -32.0));
    ready(&mut window);
    assert!(seats(&window)[2].at.x > before[2].at.x + 20.0);
    assert_eq!((&seats(&window)[..2], seats(&window)[2].turn_deg), (&before[..2], 0.0));
    undo(&mut window);
    assert_eq!(seats(&window), before);
}

#[test]
fn a_valve_is_opened_by_a_click_what_it_costs_is_said_and_the_fewest_zones_are_taken_with_one() {
    let mut window = panels();
    let before = window.state().project().clone();
    click(&mut window, "Zone D open for Cover blank");
    assert_eq!(seats(&window)[2].shut, ["B", "C"]);
    let (severity, sentence) = verdict(&window);
    assert_eq!(severity, Severity::Fail);
    assert!(
        sentence.starts_with("Cover blank: ") && sentence.contains("C8 lies beside the part"),
        "{sentence}"
    );
    click(&mut window, "Use these zones");
    let (severity, sentence) = verdict(&window);
    assert!(severity < Severity::Fail, "{sentence}");
    let project = window.state().project().clone();
    let zones = project.layouts[0].zones().len();
    assert_eq!(zones, 4);
    let view = window.state().view(app::theme::tokens(false));
    let family = view.family.unwrap().family;
    assert!(family.valves.now_serves);
    for seat in &family.seats {
        assert!(seat.cups.iter().all(|cup| cup.zone_on == (cup.cover == Some(Cover::On))), "{}", seat.name);
    }
    undo(&mut window);
    undo(&mut window);
    assert_eq!(*window.state().project(), before);
}

#[test]
fn the_other_hand_and_another_part_are_carried_and_taken_off() {
    let mut window = window();
    click(&mut window, "Hide guide");
    let before = window.state().project().clone();
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    ready(&mut window);
    click(&mut window, "Carry the other hand too");
    settle(&mut window);
    let project = window.state().project().clone();
    assert_eq!((project.parts.len(), project.layouts[0].seats.len()), (before.parts.len() + 1, 2));
    let new = project.parts.last().unwrap().name.clone();
    assert_eq!(shown(&window), new);
    click(&mut window, &format!("Remove {new} from the tool"));
    assert!(window.state().project().layouts[0].seats.is_empty(), "one part is today's project");
    assert!(window.state().view(app::theme::tokens(false)).family.is_none());
    undo(&mut window);
    undo(&mut window);
    assert_eq!(*window.state().project(), before);
}

/// Where a place of the tool is on the screen.
fn on_screen(window: &Window<'_>, place: glam::DVec2) -> egui::Pos2 {
    let plan = &window.state().plan;
    plan.camera.screen_from_part(plan.rect.unwrap(), place)
}
fn on_tool(window: &Window<'_>, at: egui::Pos2) -> glam::DVec2 {
    let plan = &window.state().plan;
    plan.camera.part_from_screen(plan.rect.unwrap(), at)
}
fn drag_slowly(window: &mut Window<'_>, from: egui::Pos2, by: Vec2) {
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for i in 1..=8 {
        window.hover_at(from + by * (i as f32 / 8.0));
        window.step();
    }
    window.drop_at(from + by);
    ready(window);
}
fn cover(window: &Window<'_>) -> std::sync::Arc<document::Part> {
    let project = window.state().project();
    project.part(project.layouts[0].seats[2].part).unwrap().clone()
}

#[test]
fn the_outline_of_a_part_that_lies_elsewhere_is_edited_where_it_lies() {
    let mut window = panels();
    click(&mut window, "Part Cover blank");
    type_into(&mut window, "Turn, Cover blank, °", "90");
    let seat = seats(&window)[2].clone();
    assert!(seat.turn_deg == 90.0 && seat.at != glam::DVec2::ZERO);
    let cup = window.state().project().layouts[0].cups[0].clone();
    window.key_press(Key::E);
    ready(&mut window);
    let shown = window.get_by_label(&format!("Cup {}", cup.tag)).rect().center();
    assert!(shown.distance(on_screen(&window, cup.at)) < 1.0, "the plan stays that of the tool");
    let corner = |window: &Window<'_>| cover(window).outline.outer.vertices[0].at;
    let before = corner(&window);
    let handle = window.get_by_label("Corner 1 of the outline").rect().center();
    assert!(handle.distance(on_screen(&window, seat.on_tool(before))) < 1.0, "{handle:?}");
    let by = Vec2::new(-30.0, -18.0);
    drag_slowly(&mut window, handle, by);
    let after = corner(&window);
    let wanted = on_tool(&window, handle + by);
    assert!(seat.on_tool(after).distance(wanted) < 5.0, "{} for {wanted}", seat.on_tool(after));
    assert!(after.distance(before) > 5.0);
    assert_eq!((after / 5.0).fract(), glam::DVec2::ZERO, "it snaps in the part's own frame");
    // An edge goes the way it is dragged on the tool.
    let vertices = cover(&window).outline.outer.vertices.clone();
    let middle = (vertices[1].at + vertices[2].at) / 2.0;
    let handle = window.get_by_label("Edge 2 of the outline").rect().center();
    assert!(handle.distance(on_screen(&window, seat.on_tool(middle))) < 1.0, "{handle:?}");
    let outwards = {
        let b = cover(&window).outline.bounds().unwrap();
        (seat.on_tool(middle) - seat.on_tool((b.min + b.max) / 2.0)).normalize()
    };
    let by = Vec2::new(outwards.x as f32, -outwards.y as f32) * 40.0;
    drag_slowly(&mut window, handle, by);
    let moved = cover(&window).outline.outer.vertices.clone();
    let gone = seat.on_tool((moved[1].at + moved[2].at) / 2.0) - seat.on_tool(middle);
    assert!(gone.dot(outwards) > 5.0, "{gone} for {outwards}");
    // A sketched hole lands under the pointer, too.
    window.key_press(Key::H);
    ready(&mut window);
    let b = cover(&window).outline.bounds().unwrap();
    let place = seat.on_tool((b.min + b.max) / 2.0);
    let there = on_screen(&window, place);
    at(&mut window, there);
    click(&mut window, "Add to the part");
    let hole = cover(&window).outline.holes.last().cloned().expect("a hole");
    let b = hole.bounds().unwrap();
    assert!(seat.on_tool((b.min + b.max) / 2.0).distance(place) < 6.0);
}

#[test]
fn a_dragged_cup_shows_where_it_lands_on_every_part_that_it_is_open_for() {
    let mut window = panels();
    click(&mut window, "Part Cover blank");
    // C3 is open for all three, C7 for one.
    for (tag, parts) in [("C3", 3), ("C7", 1)] {
        let from = window.get_by_label(&format!("Cup {tag}")).rect().center();
        window.hover_at(from);
        window.step();
        window.drag_at(from);
        window.step();
        for i in 1..=4 {
            window.hover_at(from + Vec2::new(5.0, 3.0) * i as f32);
            window.step();
        }
        {
            let landing = window.state().plan.landing.as_ref().expect("a region while it is dragged");
            let names: Vec<&str> = landing.of.parts.iter().map(|(name, _)| name.as_str()).collect();
            assert_eq!(names.len(), parts, "{tag}: {names:?}");
            let any = landing.of.any.as_ref().expect("several parts");
            assert!(any.area() > landing.of.every.area());
        }
        window.key_press(Key::Escape);
        window.step();
        window.drop_at(from);
        ready(&mut window);
    }
    assert!(window.state().plan.landing.is_none());
}

#[test]
fn a_part_is_laid_against_three_stops_by_edges_and_figures() {
    let mut window = panels();
    click(&mut window, "Part Cover blank");
    // It comes with stops of its own.
    click(&mut window, "Remove its stops");
    let before = seats(&window);
    click(&mut window, "Place by three stops…");
    // By keys as by the pointer.
    window.get_by_label("Edge 1 of the part").focus();
    ready(&mut window);
    window.key_press(Key::Enter);
    ready(&mut window);
    window.get_by_label("Edge 1 of the part, stops 1 and 2");
    // Edges that run the same way hold nothing along them.
    click(&mut window, "Edge 3 of the part");
    window.get_by_label_contains("The two edges run the same way");
    click(&mut window, "Place here");
    assert_eq!(seats(&window), before);
    click(&mut window, "Edge 2 of the part");
    window.get_by_label("Edge 2 of the part, stop 3");
    let plan = window.state().plan.rect.unwrap();
    for stop in ["Stop 1 X, mm", "Stop 2 Y, mm", "Stop 3 X, mm", "Stop 3 Y, mm"] {
        let field = window.get_by_label(stop).rect();
        assert!(
            plan.x_range().contains(field.right()) && field.bottom() < plan.top(),
            "{stop} is at {field}"
        );
    }
    // Begun where they touch the part as it lies: nothing moves it.
    window.get_by_label_contains("It will lie at X 240.0 mm, Y 20.0 mm, turned by 0");
    let part = cover(&window);
    let edges: Vec<geometry::Edge> = part.straight_edges().collect();
    let y = before[2].on_tool(edges[0].from).y;
    type_into(&mut window, "Stop 1 Y, mm", &format!("{}", y + 5.0));
    type_into(&mut window, "Stop 2 Y, mm", &format!("{}", y + 5.0));
    window.get_by_label_contains("It will lie at X 240.0 mm, Y 25.0 mm, turned by 0");
    assert_eq!(seats(&window), before, "nothing is placed before it is asked for");
    click(&mut window, "Place here");
    let placed = seats(&window)[2].clone();
    assert!((placed.at - glam::DVec2::new(240.0, 25.0)).length() < 1e-9);
    let off = placed.off_stops(&part);
    assert!(off.len() == 3 && off.iter().all(|mm| mm.unwrap() < 1e-9), "{off:?}");
    let undo_name = window.state().view(app::theme::tokens(false)).undo;
    assert_eq!(undo_name.as_deref(), Some("Place Cover blank by its stops"));
    // A stop typed in the form moves the part with it.
    let x = placed.stops.unwrap().at[2].x;
    type_into(&mut window, "Stop X, stop 3 of Cover blank, mm", &format!("{}", x - 10.0));
    assert!((seats(&window)[2].at - glam::DVec2::new(230.0, 25.0)).length() < 1e-9);
    click(&mut window, "Remove its stops");
    assert_eq!(seats(&window)[2].stops, None);
    for _ in 0..3 {
        undo(&mut window);
    }
    assert_eq!(seats(&window), before);
    // Escape leaves it.
    click(&mut window, "Place by three stops…");
    window.key_press(Key::Escape);
    ready(&mut window);
    assert!(window.query_by_label("Edge 1 of the part").is_none());
    assert_eq!(seats(&window), before);
}
