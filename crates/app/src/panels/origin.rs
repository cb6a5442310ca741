//! Where X and Y of a form count from, where that is not the datum.

use crate::{theme::Size, view::View};
use egui::{RichText, Ui};
use units::Quantity;

/// Says below its fields that they count from the drawing's origin, where sheet, tables and the cups' X and Y do not.
pub(super) fn origin_note(ui: &mut Ui, view: &View) {
    let datum = view.datum();
    if datum == glam::DVec2::ZERO {
        return;
    }
    let says = format!(
        "X and Y from the drawing's origin; cups, sheet and tables count from the datum, at {}, {}",
        view.show(datum.x, Quantity::Length).number,
        view.text(datum.y, Quantity::Length)
    );
    let text = RichText::new(says).font(Size::Small.slanted()).color(view.tokens.second);
    ui.add(egui::Label::new(text).wrap());
}
