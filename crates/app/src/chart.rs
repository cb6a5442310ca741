//! Charts of panels and dialogs, of one size and look.

use crate::theme::Size;
use egui_plot::{AxisHints, Corner, Legend, Plot};

/// Height of a chart.
const CHART: f32 = 190.0;

fn axis<'a>(
    hints: AxisHints<'a>,
    label: &'static str,
    spacing: std::ops::RangeInclusive<f32>,
    colour: egui::Color32,
) -> AxisHints<'a> {
    hints.label(label).label_spacing(spacing).tick_label_font(Size::Small.font()).tick_label_color(colour)
}

/// A chart of the size and look of all of them; `x` and `y` name the units.
pub(crate) fn chart(
    id: &'static str,
    x: &'static str,
    y: &'static str,
    corner: Corner,
    colour: egui::Color32,
) -> Plot<'static> {
    Plot::new(id)
        .height(CHART)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .show_background(false)
        .include_x(0.0)
        .include_y(0.0)
        .custom_x_axes(vec![axis(AxisHints::new_x(), x, 28.0..=40.0, colour)])
        .custom_y_axes(vec![axis(AxisHints::new_y(), y, 11.0..=15.0, colour)])
        .legend(Legend::default().position(corner).text_style(egui::TextStyle::Small))
}
