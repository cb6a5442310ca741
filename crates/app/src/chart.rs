//! Charts of panels and dialogs, of one size and look: three to six ticks an axis, lines that bear their names.

use crate::theme::{Size, Tokens};
use egui::{Align2, Color32, RichText};
use egui_plot::{
    AxisHints, GridInput, GridMark, HoverPosition, Line, LineStyle, Plot, PlotPoint, PlotUi, Text,
};
use units::UnitChoice;

/// Height of a chart.
const CHART: f32 = 190.0;
/// Ticks of an axis at most.
const MOST_TICKS: f64 = 6.0;

fn axis<'a>(hints: AxisHints<'a>, label: &'static str, colour: Color32, units: UnitChoice) -> AxisHints<'a> {
    // Every tick is labelled: there are few.
    hints
        .label(label)
        .label_spacing(1.0..=2.0)
        .tick_label_font(Size::Small.font())
        .tick_label_color(colour)
        .formatter(move |mark, _| tick_says(mark, &units))
}

/// A chart of the size and look of all of them; `x` and `y` name the units, `units` has the decimal mark of the ticks.
pub(crate) fn chart(
    id: &'static str,
    [x, y]: [&'static str; 2],
    t: &Tokens,
    units: &UnitChoice,
) -> Plot<'static> {
    let colour = t.second;
    Plot::new(id)
        // Lines of the grid are not what is read.
        .grid_color(t.hairline)
        .grid_fade(0.0)
        .height(CHART)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .show_background(false)
        .include_x(0.0)
        .include_y(0.0)
        .label_formatter({
            let units = *units;
            move |at| here(at, [x, y], &units)
        })
        .x_grid_spacer(ticks)
        .y_grid_spacer(ticks)
        .custom_x_axes(vec![axis(AxisHints::new_x(), x, colour, *units)])
        .custom_y_axes(vec![axis(AxisHints::new_y(), y, colour, *units)])
}

/// What stands beside the pointer: the name of the line near it, and its figures with their units.
fn here(at: &HoverPosition<'_>, [x, y]: [&str; 2], units: &UnitChoice) -> Option<String> {
    let figure = |value: f64| units::three_figures(value, units);
    let says = |at: PlotPoint| format!("{} {x}{}{} {y}", figure(at.x), units.between(), figure(at.y));
    match at {
        HoverPosition::NearDataPoint { plot_name, position, .. } if !plot_name.is_empty() => {
            Some(format!("{plot_name}: {}", says(*position)))
        }
        HoverPosition::NearDataPoint { position, .. } => Some(says(*position)),
        HoverPosition::Elsewhere { .. } => None,
    }
}

/// Ticks on round figures, three to six of them.
pub(crate) fn ticks(input: GridInput) -> Vec<GridMark> {
    let (from, to) = input.bounds;
    let Some(step) = step(to - from) else { return Vec::new() };
    let marks = (from / step).ceil() as i64..=(to / step).floor() as i64;
    marks.map(|i| GridMark { value: i as f64 * step, step_size: step }).collect()
}

/// The figure of a tick, with the decimals that its step has: ticks 0.5 apart are no whole numbers.
pub(crate) fn tick_says(mark: GridMark, units: &UnitChoice) -> String {
    let decimals = if mark.step_size > 0.0 { (-mark.step_size.log10().floor()).max(0.0) as usize } else { 0 };
    units::fixed(mark.value, decimals, units)
}

/// The least step of 1, 2 or 5 times a power of ten of which no more than six go into a span; `None` where there is none.
fn step(span: f64) -> Option<f64> {
    if !(span.is_finite() && span > 0.0) {
        return None;
    }
    let power = 10f64.powf((span / MOST_TICKS).log10().floor());
    let found = [1.0, 2.0, 5.0, 10.0].into_iter().map(|m| m * power).find(|step| span / step <= MOST_TICKS);
    found.filter(|step| step.is_finite() && *step > 0.0)
}

/// A line that bears its name at a share of its points, where the anchor puts it.
pub(crate) struct Named<'a> {
    pub name: &'a str,
    pub points: Vec<[f64; 2]>,
    pub colour: Color32,
    pub width: f32,
    pub dashed: bool,
    pub at: f64,
    pub anchor: Align2,
}

/// Draws it.
pub(crate) fn named(plot: &mut PlotUi<'_>, line: Named<'_>) {
    let Named { name, points, colour, width, dashed, at, anchor } = line;
    let middle = (at * points.len().saturating_sub(1) as f64).round() as usize;
    let place = points.get(middle).copied();
    let drawn = Line::new(name, points).color(colour).width(width);
    plot.line(if dashed { drawn.style(LineStyle::dashed_loose()) } else { drawn });
    if let Some([x, y]) = place.filter(|_| !name.is_empty()) {
        let text = RichText::new(format!(" {name} ")).font(Size::Small.strong()).color(colour);
        plot.text(Text::new("", PlotPoint::new(x, y), text).anchor(anchor).allow_hover(false));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn an_axis_has_three_to_seven_ticks(from in -1e3f64..1e3, span in 1e-6f64..1e6) {
            let marks = ticks(GridInput { bounds: (from, from + span), base_step_size: 1.0 });
            prop_assert!((2..=7).contains(&marks.len()), "{} in {span}", marks.len());
            prop_assert!(marks.iter().all(|mark| mark.value >= from - 1e-9 && mark.value <= from + span + 1e-9));
        }
    }

    #[test]
    fn every_tick_says_its_own_figure() {
        for to in [0.03, 0.6, 0.9, 2.3, 4.4, 21.0, 88.0, 4_400.0] {
            let marks = ticks(GridInput { bounds: (-0.2 * to, to), base_step_size: 1.0 });
            for mark in &marks {
                let says = tick_says(*mark, &UnitChoice::default());
                let comma = UnitChoice { decimal_comma: true, ..UnitChoice::default() };
                assert_eq!(tick_says(*mark, &comma), says.replace('.', ","));
                let says: f64 = says.replace('\u{2212}', "-").parse().unwrap();
                assert!((says - mark.value).abs() < 1e-9 * to, "{says} at {}", mark.value);
            }
        }
    }

    #[test]
    fn an_axis_without_a_span_has_none() {
        for span in [0.0, f64::NAN, f64::INFINITY, -1.0] {
            assert_eq!(step(span), None);
        }
        assert_eq!((step(88.0), step(40.0), step(0.7)), (Some(20.0), Some(10.0), Some(0.2)));
    }
}
