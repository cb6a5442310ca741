//! Layouts proposed: asked for, shown as cards, taken as a new alternative; where one more cup would help.

use crate::hands::{Window, appears, click, ready, settle, sized, type_into, window};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

fn asked(window: &mut Window<'_>) {
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::P);
    ready(window);
    window.get_by_label_contains("Which cups, how many and where");
}

fn proposed(window: &mut Window<'_>) {
    click(window, "Propose");
    let start = std::time::Instant::now();
    while window.query_by_label("Propose").is_none() {
        assert!(start.elapsed().as_secs() < 240, "still looking");
        std::thread::sleep(std::time::Duration::from_millis(50));
        window.run_steps(2);
    }
    ready(window);
}

#[test]
fn a_proposal_is_shown_on_the_plan_taken_as_a_new_layout_and_undone() {
    let mut window = window();
    click(&mut window, "Hide guide");
    settle(&mut window);
    let before = window.state().project().clone();
    asked(&mut window);
    click(&mut window, "How many");
    click(&mut window, "fixed number");
    type_into(&mut window, "Cups, the proposal", "6");
    click(&mut window, "Pattern");
    click(&mut window, "rows and columns");
    proposed(&mut window);
    assert_eq!(window.state().project(), &before, "looking changes nothing");
    let card = window.get_by_label_contains("Proposal 1: Rows and columns, 6 cups");
    let at = card.rect().center();
    window.get_by_label_contains("Layout as it is: As it is");
    window.get_by_label_contains("No layout of 6 cups at these");
    window.get_by_label("Why not fewer?");
    window.hover_at(at);
    window.run_steps(3);
    assert_eq!(window.state().plan.proposed.len(), 6, "ghosts on the plan");
    window.hover_at(egui::Pos2::new(5.0, 5.0));
    window.run_steps(3);
    assert!(window.state().plan.proposed.is_empty());
    click(&mut window, "Use proposal 1 as new layout");
    settle(&mut window);
    let project = window.state().project().clone();
    assert_eq!(project.layouts.len(), before.layouts.len() + 1);
    assert_eq!(project.layouts[..before.layouts.len()], before.layouts[..]);
    let new = project.layouts.last().unwrap();
    assert_eq!((new.cups.len(), window.state().report().layout), (6, new.id), "it is the one shown");
    assert!(
        new.proposed.starts_with("6 cups of any model that suits, in rows and columns"),
        "{}",
        new.proposed
    );
    window.get_by_label_contains("Found before the last change");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(window.state().project().layouts, before.layouts);
}

#[test]
fn an_empty_layout_offers_to_propose_one_and_what_fails_is_said() {
    let mut window = window();
    click(&mut window, "Hide guide");
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    ready(&mut window);
    click(&mut window, "New empty layout");
    click(&mut window, "Propose a layout");
    window.get_by_label_contains("Which cups, how many and where");
    click(&mut window, "How many");
    click(&mut window, "fixed number");
    type_into(&mut window, "Cups, the proposal", "50");
    type_into(&mut window, "Gap between lips, mm", "400");
    proposed(&mut window);
    window.get_by_label_contains("there is room for");
    click(&mut window, "hide");
    assert!(window.query_by_label("Propose").is_none());
}

#[test]
fn the_panel_fits_a_small_window_and_stopping_ends_the_search() {
    let mut window = sized([1280.0, 800.0], 1.0, egui::Theme::Dark);
    click(&mut window, "Hide guide");
    asked(&mut window);
    window.get_by_label("Propose").click();
    window.step();
    appears(&mut window, "Stop");
    window.get_by_label("Stop").click();
    let start = std::time::Instant::now();
    while window.query_by_label("Propose").is_none() {
        assert!(start.elapsed().as_secs() < 60, "it does not stop");
        std::thread::sleep(std::time::Duration::from_millis(20));
        window.run_steps(2);
    }
    let edge = window.get_by_label("Propose").rect();
    assert!(edge.left() > 0.0 && edge.right() <= 1280.0);
}

#[test]
fn where_one_more_cup_helps_is_shown_by_a_command_and_put_away_by_it() {
    let mut window = window();
    click(&mut window, "Hide guide");
    settle(&mut window);
    let toggle = |window: &mut Window<'_>| {
        window.key_press_modifiers(Modifiers::COMMAND, Key::K);
        ready(window);
        click(window, "Show the best place for one more cup");
    };
    toggle(&mut window);
    let ctx = window.ctx.clone();
    window.state_mut().settle_proposals(&ctx);
    window.run_steps(2);
    let tokens = app::theme::tokens(false);
    let more = window.state().view(tokens).more.unwrap();
    assert!(more.len() > 20 && more.iter().all(|of| of.times.is_finite() && of.times > 0.0));
    toggle(&mut window);
    assert!(window.state().view(tokens).more.is_none());
}
