//! Three sentences for the first start.

use super::PanelState;
use crate::{theme::Size, view::View};
use egui::{Frame, Margin, RichText, Stroke, Ui};

const DEMO: &str =
    "This is a finished demo: drag a cup and watch the verdict at the top and the findings below.";
const OWN: &str = "Drag a cup, and the verdict at the top and the findings below follow.";

/// A note above the properties until it is put away; the plan stays clear.
pub fn guide_ui(ui: &mut Ui, view: &View, state: &mut PanelState) {
    let t = view.tokens;
    let frame = Frame::new().fill(t.panel).stroke(Stroke::new(1.0, t.hairline)).corner_radius(4.0);
    frame.inner_margin(Margin::same(12)).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 6.0;
        ui.label(RichText::new("First steps").font(Size::Heading.strong()));
        for sentence in [
            if view.demo { DEMO } else { OWN },
            "Click a finding to see what it is about; Apply fix makes that change, Undo reverts anything.",
            "For your own part, Import drawing… reads a DXF, SVG or PDF file; or drop one on this window.",
        ] {
            ui.label(sentence);
        }
        if ui.button("Hide guide").on_hover_text("F1 brings it back").clicked() {
            state.guide = false;
            state.guide_put_away = true;
        }
    });
    ui.add_space(12.0);
}
