//! Load per cup for the motion shown.

use crate::{
    theme::Size,
    view::{Action, View},
};
use egui::{RichText, Ui};
use egui_plot::{AxisHints, Bar, BarChart, Plot};
use std::collections::BTreeSet;
use units::Quantity;

/// Height of the chart.
const HEIGHT: f32 = 150.0;

/// Bars of pull and slide for every cup, in the person's unit of force.
pub fn loads_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let Some(outcome) = view.shown_outcome() else { return };
    let unit = units::unit_of(Quantity::Force, &view.units);
    // Of a part that bends those count that it gets as it bends.
    let bent = view.shown_motion().and_then(|motion| view.report.bends()?.of_motion(motion.id));
    let cups = bent.map_or(outcome.cups.as_slice(), |bent| bent.in_motion.as_slice());
    let tags: Vec<String> = cups.iter().map(|c| view.tag(c.id).to_owned()).collect();
    let series = |offset: f64, value: &dyn Fn(&analysis::CupInMotion) -> f64| -> Vec<Bar> {
        cups.iter()
            .enumerate()
            .map(|(i, c)| Bar::new(i as f64 + offset, value(c) / unit.0).width(0.34))
            .collect()
    };
    let pull = series(-0.18, &|c| c.load.pull);
    let slide = series(0.18, &|c| c.load.slide.length());
    let hover = |what: &'static str, unit: &'static str, tags: Vec<String>| {
        let units = view.units;
        move |bar: &Bar, _: &BarChart| {
            let tag = tags.get(bar.argument.round().max(0.0) as usize).cloned().unwrap_or_default();
            format!("{tag} {what} {} {unit}", units::fixed(bar.value, 1, &units))
        }
    };
    ui.horizontal(|ui| {
        ui.label(RichText::new("Load per cup").font(Size::Heading.strong()));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.label(RichText::new("slide").color(t.working));
            ui.label(RichText::new("pull").color(t.second));
        });
    });
    let names = tags.clone();
    let units = view.units;
    // Every cup has its tag; many stand in two rows.
    let rows = if tags.len() > 9 { 2 } else { 1 };
    let every = tags.len().div_ceil(24).max(1);
    let plot = Plot::new("load per cup")
        .height(HEIGHT)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .show_grid([false, true])
        .grid_color(t.hairline)
        .grid_fade(0.0)
        .show_background(false)
        .include_y(0.0)
        .y_grid_spacer(crate::chart::ticks)
        .custom_x_axes(vec![
            AxisHints::new_x()
                .label_spacing(1.0..=2.0)
                .tick_label_color(t.second)
                .tick_label_font(Size::Small.font())
                .formatter(move |mark, _| {
                    let at = mark.value.round();
                    let whole = (mark.value - at).abs() < 1e-6 && at >= 0.0;
                    let index = at.max(0.0) as usize;
                    let lower = if rows > 1 && index % 2 == 1 { "\n" } else { "" };
                    match names.get(index).filter(|_| whole && index.is_multiple_of(every)) {
                        Some(name) => format!("{lower}{name}"),
                        None => String::new(),
                    }
                }),
        ])
        .custom_y_axes(vec![
            AxisHints::new_y()
                .label_spacing(1.0..=2.0)
                .label(unit.1)
                .formatter(move |mark, _| crate::chart::tick_says(mark, &units))
                .tick_label_color(t.second)
                .tick_label_font(Size::Small.font()),
        ])
        .x_grid_spacer(|input| {
            let (from, to) = input.bounds;
            (from.ceil() as i64..=to.floor() as i64)
                .map(|i| egui_plot::GridMark { value: i as f64, step_size: 1.0 })
                .collect()
        })
        .show(ui, |plot| {
            plot.bar_chart(BarChart::new("pull", pull).color(t.demand).element_formatter(Box::new(hover(
                "pull",
                unit.1,
                tags.clone(),
            ))));
            plot.bar_chart(
                BarChart::new("slide", slide)
                    .color(t.working)
                    .element_formatter(Box::new(hover("slide", unit.1, tags))),
            );
        });
    // A click on a cup's bars selects it.
    let at = plot.response.interact_pointer_pos().filter(|_| plot.response.clicked());
    if let Some(at) = at {
        let place = plot.transform.value_from_position(at).x.round();
        let cup = if place >= 0.0 { outcome.cups.get(place as usize) } else { None };
        actions.extend(cup.map(|cup| Action::Select(BTreeSet::from([cup.id]))));
    }
    plot.response.on_hover_cursor(egui::CursorIcon::PointingHand);
}
