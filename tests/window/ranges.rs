//! What no part, cup or motion can be is not taken from a form: the field keeps what was typed and says what is allowed.

use crate::hands::{click, ready, type_into, window};
use egui::Key;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

#[test]
fn an_absurd_figure_is_told_in_the_form_and_is_no_edit() {
    let mut window = window();
    click(&mut window, "Hide guide");
    let before = window.state().project().clone();
    let digits = "9".repeat(400);
    let letters = "x".repeat(5000);
    for (typed, says) in [
        ("1e308", "is 1e308 mm, nothing was changed; enter 0.0001 mm to 5000 mm"),
        ("-1", "is \u{2212}1 mm, nothing was changed; enter 0.0001 mm to 5000 mm"),
        ("0", "is 0 mm, nothing was changed; enter 0.0001 mm to 5000 mm"),
        ("6000", "is 6000 mm, nothing was changed"),
        ("1e999", "too large"),
        (digits.as_str(), "longer than"),
        (letters.as_str(), "longer than"),
        ("NaN", "NaN"),
    ] {
        type_into(&mut window, "Thickness, mm", typed);
        assert_eq!(window.state().project(), &before, "{typed} is no edit");
        let told = window.query_all_by_label_contains(says).count();
        assert!(told > 0, "{typed}: nothing says {says:?}");
        // Escape leaves the field as it was.
        window.key_press(Key::Escape);
        ready(&mut window);
        assert!(window.query_all_by_label_contains("nothing was changed").count() <= 1, "{typed}");
    }
    type_into(&mut window, "Thickness, mm", "1e308");
    // The field is still being typed into, with what was typed in it.
    window.key_press(Key::Home);
    window.step();
    assert_eq!(window.get_by_label("Thickness, mm").accesskit_node().value().as_deref(), Some("1e308"));
    type_into(&mut window, "Thickness, mm", "5");
    assert_eq!(window.state().project().parts[0].thickness_mm, 5.0);
}
