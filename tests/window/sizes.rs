//! Small screens and large text: nothing lies over anything else, nothing is cut that has room.

use super::hands::{Window, click, ready, settle, window_in};
use egui::{Key, Modifiers, Rect};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

/// 1280 x 800 at 150 %, in points, with this demo.
fn small(name: &str) -> Window<'static> {
    let file = crate::demo_drawing(name);
    let mut window =
        super::hands::build(None, Some(file), [1280.0 / 1.5, 800.0 / 1.5], 1.5, egui::Theme::Light);
    ready(&mut window);
    settle(&mut window);
    if window.query_by_label("Hide guide").is_some() {
        click(&mut window, "Hide guide");
    }
    window
}

fn rect(window: &Window<'_>, label: &str) -> Rect {
    window.get_by_label(label).rect()
}

fn apart(window: &Window<'_>, labels: &[&str]) {
    for (i, first) in labels.iter().enumerate() {
        for second in &labels[i + 1..] {
            let (a, b) = (rect(window, first), rect(window, second));
            assert!(!a.shrink(1.0).intersects(b.shrink(1.0)), "{first} {a:?} lies over {second} {b:?}");
        }
    }
}

#[test]
fn in_a_small_window_the_plan_has_the_most_and_the_right_side_opens_on_asking() {
    let mut window = small("moulded-tray.ron");
    let plan = rect(&window, "Plan");
    assert!(plan.width() > 0.6 * 1280.0 / 1.5, "{plan:?}");
    click(&mut window, "Show what is selected");
    assert!(window.query_by_label("Show what is selected").is_none());
    assert!(rect(&window, "Plan").width() < plan.width() - 200.0);
}

#[test]
fn what_a_comparison_and_a_review_offer_lies_side_by_side_in_a_small_window() {
    let mut window = small("moulded-tray.ron");
    click(&mut window, "copy to compare");
    window.key_press_modifiers(Modifiers::COMMAND, Key::E);
    ready(&mut window);
    settle(&mut window);
    apart(&window, &["Layout A", "Layout A copy", "Compared with", "end comparison"]);
    let mut window = small("door-sheet-review.ron");
    if window.query_by_label("End review").is_none() {
        window.key_press_modifiers(Modifiers::COMMAND, Key::R);
        ready(&mut window);
    }
    settle(&mut window);
    apart(&window, &["Back", "Next change", "End review"]);
    let against = rect(&window, "Compared with the earlier state");
    assert!(against.right() <= 1280.0 / 1.5, "{against:?}");
    let link = rect(&window, "Approve or send back…");
    assert!(link.right() <= 1280.0 / 1.5 - 20.0, "{link:?}");
}

#[test]
fn a_played_loss_has_a_strip_of_its_own_height() {
    let mut window = window_in(None, Some(crate::demo_drawing("door-sheet-thin.ron")));
    ready(&mut window);
    settle(&mut window);
    let played = |window: &mut Window<'_>| {
        let row = window
            .query_all_by_label_contains("Without ")
            .filter_map(|node| node.accesskit_node().label())
            .find(|label| label.contains(": factor "));
        let name = row.unwrap();
        click(window, &name);
        window.get_by_label_contains("step 1 of");
        let plan = rect(window, "Plan");
        window.key_press(Key::Escape);
        ready(window);
        plan
    };
    let before = played(&mut window);
    window.key_press(Key::B);
    ready(&mut window);
    window.get_by_label("Shown of the bending");
    click(&mut window, "Hide");
    assert_eq!(played(&mut window), before, "the strip keeps the height of the bending");
}

#[test]
fn a_number_of_many_digits_is_not_cut_by_its_field() {
    let mut window = small("door-sheet-thin.ron");
    super::said::in_inches(&mut window);
    let field = window.get_by_label("Modulus of elasticity, ksi").rect();
    let font = egui::TextStyle::Body.resolve(&window.ctx.global_style());
    let wide = window.ctx.fonts_mut(|fonts| {
        fonts.layout_no_wrap("30457.92".to_owned(), font, egui::Color32::PLACEHOLDER).size().x
    });
    assert!(field.width() >= wide + 8.0, "{field:?} for {wide}");
}
