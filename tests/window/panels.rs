//! The panels round the plan: their edges, their folds, and which findings are listed.

use super::hands::{Window, click, drag, ready, window, window_in};
use egui::{Pos2, Vec2};
use egui_kittest::kittest::Queryable as _;

/// Two clicks in quick succession.
fn double_click(window: &mut Window<'_>, place: Pos2) {
    window.hover_at(place);
    window.step();
    for _ in 0..2 {
        window.drag_at(place);
        window.step();
        window.drop_at(place);
        window.step();
    }
    ready(window);
}

/// On the right edge of the inputs.
fn edge(window: &Window<'_>) -> Pos2 {
    let edges = window.query_all_by_label("Resize panel").map(|edge| edge.rect().center());
    edges.min_by(|a, b| a.x.total_cmp(&b.x)).unwrap()
}

#[test]
fn an_edge_that_was_dragged_and_a_panel_that_was_folded_are_so_after_the_next_start() {
    let folder = tempfile::tempdir().unwrap();
    let start = || window_in(Some(folder.path().to_owned()), None);
    let mut first = start();
    let from = edge(&first);
    drag(&mut first, from, from + Vec2::new(80.0, 0.0));
    let wide = edge(&first).x;
    assert!((wide - from.x - 80.0).abs() < 4.0, "{} to {wide}", from.x);
    drop(first);
    let mut second = start();
    assert!((edge(&second).x - wide).abs() < 2.0, "{wide} became {}", edge(&second).x);
    let at = edge(&second);
    double_click(&mut second, at);
    assert!(edge(&second).x < 40.0, "the inputs are not folded: {:?}", edge(&second));
    drop(second);
    let mut third = start();
    assert!(edge(&third).x < 40.0);
    click(&mut third, "Show inputs");
    assert!((edge(&third).x - wide).abs() < 2.0, "{wide} became {}", edge(&third).x);
}

#[test]
fn panels_that_nobody_dragged_are_wider_in_a_large_window() {
    let width = |size| edge(&super::hands::sized(size, 1.0, egui::Theme::Light)).x;
    let (small, large) = (width([1280.0, 800.0]), width([2560.0, 1440.0]));
    assert!(small < 290.0 && large > 380.0, "{small}, {large}");
}

#[test]
fn a_count_puts_its_severity_away_and_list_all_brings_it_back() {
    let mut window = window();
    click(&mut window, "Hide guide");
    let findings = window.state().report().findings.clone();
    let of = |severity| findings.iter().filter(|f| f.severity == severity).collect::<Vec<_>>();
    let (warnings, others) = (of(analysis::Severity::Watch), of(analysis::Severity::NotChecked));
    let row = format!("{}: {}", analysis::words::severity(analysis::Severity::Watch), warnings[0].says);
    let other = format!("{}: {}", analysis::words::severity(analysis::Severity::NotChecked), others[0].says);
    assert!(window.query_by_label(&row).is_some());
    let count = analysis::words::counted(warnings.len(), analysis::Severity::Watch);
    click(&mut window, &format!("List {count}"));
    assert!(window.query_by_label(&row).is_none() && window.query_by_label(&other).is_some());
    window.get_by_label_contains("not listed.");
    click(&mut window, "List all");
    assert!(window.query_by_label(&row).is_some());
}

#[test]
fn findings_can_be_listed_by_what_they_are_about() {
    let mut window = window();
    click(&mut window, "Hide guide");
    click(&mut window, "Cup C1");
    click(&mut window, "Findings about");
    click(&mut window, "about the selected cups");
    let c1 = window.state().project().layouts[0].cups[0].id;
    let report = window.state().report().clone();
    for finding in report.findings.iter().filter(|f| f.accepted.is_none()) {
        let row = format!("{}: {}", analysis::words::severity(finding.severity), finding.says);
        if !finding.subject.contains(&c1) {
            assert!(window.query_by_label(&row).is_none(), "{row}");
        }
    }
}

#[test]
fn a_list_of_no_findings_folds_to_one_line_and_can_be_opened() {
    let mut window = window();
    click(&mut window, "Hide guide");
    let plan = |window: &Window<'_>| window.state().plan.rect.unwrap().height();
    let listed = plan(&window);
    // Nothing is found about a part that has not been drawn.
    window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::N);
    ready(&mut window);
    // The sketch that a new project begins with has a strip above the plan.
    window.key_press(egui::Key::Escape);
    ready(&mut window);
    assert!(window.state().report().findings.is_empty());
    assert!(plan(&window) > listed + 60.0, "{listed} became {}", plan(&window));
    click(&mut window, "Show findings");
    assert!((plan(&window) - listed).abs() < 8.0);
}

/// Where the panel of what is selected begins.
fn right_edge(window: &Window<'_>) -> f32 {
    let edges = window.query_all_by_label("Resize panel").map(|edge| edge.rect().center().x);
    edges.fold(0.0, f32::max)
}

/// Text size +3 at 1280 x 800 is a window of this many points.
const LARGE_TEXT: [f32; 2] = [962.0, 601.0];

#[test]
fn at_large_text_the_findings_keep_their_choice_and_links_within_their_panel() {
    for demo in ["bracket-plate.ron", "moulded-tray.ron", "side-panels.ron"] {
        let open = Some(super::demo_drawing(demo));
        let mut window = super::hands::build(None, open, LARGE_TEXT, 1.0, egui::Theme::Light);
        super::hands::settle(&mut window);
        let right = right_edge(&window);
        let choice = window.get_by_label("Findings about").rect();
        assert!(
            choice.right() < right,
            "{demo}: the choice ends at {}, the panel at {right}",
            choice.right()
        );
        for link in ["Apply fix", "Accept…"] {
            for at in window.query_all_by_label(link).map(|link| link.rect()) {
                assert!(at.right() < right, "{demo}: {link} ends at {}, the panel at {right}", at.right());
            }
        }
    }
}

#[test]
fn tabs_of_layout_and_parts_are_all_in_sight_at_the_smallest_window() {
    let open = Some(super::demo_drawing("side-panels.ron"));
    let mut window = super::hands::build(None, open, [1280.0, 800.0], 1.0, egui::Theme::Light);
    ready(&mut window);
    let right = right_edge(&window);
    let parts = window.query_all_by_label_contains("Part ").map(|tab| tab.rect());
    let tabs: Vec<_> = parts.filter(|rect| rect.top() < 230.0 && rect.width() > 20.0).collect();
    assert!(tabs.len() >= 3, "{tabs:?}");
    let last = window.get_by_label("all parts").rect();
    assert!(last.right() < right, "\"all\" ends at {}, the strip at {right}", last.right());
}
