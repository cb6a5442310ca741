//! The strip over the plan: what is shown of the part that bends, its legend, playing, the section.

use super::{
    map::shade,
    shown::{bending, instant, ring, shown, stroke},
    state::{Bending, Pace, What},
};
use crate::{
    plan::strip::Strip,
    theme::Size,
    view::{Action, View},
};
use analysis::{Age, SagIs, Slow};
use egui::{Rect, RichText, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};
use units::Quantity;

/// Shades of the legend.
const STEPS: usize = 40;

/// Draws it and takes what is picked.
pub(in crate::plan) fn strip(
    ui: &mut Ui,
    view: &View,
    state: &mut Bending,
    above: Strip,
    actions: &mut Vec<Action>,
) {
    above.show(ui, view, |ui| {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 8.0;
            pick(ui, view, state);
            play(ui, view, state);
            let cut = state.section.is_some();
            let why = "A line over the part; drag over the plan to draw another";
            if ui.selectable_label(cut, "Section").on_hover_text(why).clicked()
                && let Some(bending) = bending(view)
            {
                state.cut(bending);
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                if ui.button("Hide").on_hover_text("B").clicked() {
                    actions.push(Action::Run(crate::command::Command::ShowBending));
                }
            });
        });
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 8.0;
            legend(ui, view, state);
        });
    });
    if state.playing {
        state.time += f64::from(ui.input(|i| i.stable_dt));
        ui.ctx().request_repaint();
    }
}

/// What is shown: the sag, a mode, the stroke.
fn pick(ui: &mut Ui, view: &View, state: &mut Bending) {
    let name = |what: What| match what {
        What::Sag => "Sag".to_owned(),
        What::Stroke => "Swing of the stroke".to_owned(),
        What::Mode(at) => {
            let hz = ring(view).and_then(|ring| ring.modes.get(at)).map_or(0.0, |mode| mode.hz);
            format!("Rings at {} Hz", view.fixed(hz, 1))
        }
    };
    let mut all = vec![What::Sag];
    if stroke(view).is_some() {
        all.push(What::Stroke);
    }
    all.extend((0..ring(view).map_or(0, |ring| ring.modes.len())).map(What::Mode));
    if !all.contains(&state.what) {
        (state.what, state.playing) = (What::Sag, false);
    }
    let before = state.what;
    let shown = egui::ComboBox::from_id_salt("what of the bending")
        .width(150.0)
        .selected_text(name(before))
        .show_ui(ui, |ui| {
            for what in all {
                ui.selectable_value(&mut state.what, what, name(what));
            }
        });
    shown
        .response
        .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, "Shown of the bending".to_owned()));
    if state.what != before {
        (state.time, state.playing) = (0.0, state.what != What::Sag);
    }
}

fn play(ui: &mut Ui, view: &View, state: &mut Bending) {
    if !state.can_play(ring(view)) {
        return;
    }
    if ui.button(if state.playing { "Stop" } else { "Play" }).clicked() {
        state.play();
    }
    if state.what == What::Stroke {
        for pace in Pace::ALL {
            if ui.selectable_label(state.pace == pace, pace.label()).clicked() {
                state.pace = pace;
            }
        }
    }
}

/// The shades with their unit, and the figure in words.
fn legend(ui: &mut Ui, view: &View, state: &Bending) {
    let t = view.tokens;
    let small = |text: String| RichText::new(text).font(Size::Small.font()).color(t.second);
    let Some(shown) = shown(view, state) else {
        let why = match &view.report.bending {
            Some(Err(reason)) => analysis::words::sentence(&format!("not checked: {reason}")),
            Some(Ok(_)) => "This motion has no result.".to_owned(),
            None => "It is being calculated…".to_owned(),
        };
        ui.label(small(why));
        return;
    };
    ui.label(small("0".to_owned()));
    let (bar, _) = ui.allocate_exact_size(Vec2::new(110.0, 12.0), Sense::hover());
    for k in 0..STEPS {
        let wide = bar.width() / STEPS as f32;
        let one = Rect::from_min_size(
            bar.min + Vec2::new(k as f32 * wide, 0.0),
            Vec2::new(wide + 0.5, bar.height()),
        );
        ui.painter().rect_filled(one, 0.0, shade(&t, (k as f64 + 0.5) / STEPS as f64));
    }
    ui.painter().rect_stroke(bar, 0.0, Stroke::new(1.0, t.hairline), egui::StrokeKind::Outside);
    let most = if shown.lengths {
        view.show(shown.most, Quantity::Length).to_string()
    } else {
        "1, of the largest".to_owned()
    };
    ui.label(small(most));
    let mut says = words(view, state, &shown);
    let slow = if state.what == What::Sag { Slow::Bending } else { Slow::Ringing };
    if view.report.ages.of(slow) == Age::Older {
        says = format!("Before the last change: {says}");
    }
    crate::widgets::line_label(ui, &says);
}

fn words(view: &View, state: &Bending, shown: &super::shown::Shown<'_>) -> String {
    let motion = view.shown_motion().map_or("", |motion| &motion.name);
    let length = |mm: f64| view.show(mm.abs(), Quantity::Length);
    match state.what {
        What::Sag => shown.bent.map_or(String::new(), |bent| {
            let worth = match bent.sag_is {
                SagIs::Small => "",
                SagIs::Less => "; actually stiffens: less",
                SagIs::VeryLarge => "; beyond small deflections: read it as very large",
            };
            format!("{motion}: {} at most{worth}", length(bent.sag_mm))
        }),
        What::Mode(at) => ring(view).and_then(|ring| ring.modes.get(at)).map_or(String::new(), |mode| {
            format!(
                "{} swings with it when the tool moves along its axis",
                view.show(mode.moving_kg, Quantity::Mass)
            )
        }),
        What::Stroke => stroke(view).map_or(String::new(), |stroke| {
            let at = stroke.course.get(instant(state, stroke)).copied().unwrap_or_default();
            format!(
                "{motion}: {} after {}, on top of the sag under its weight",
                length(at[1]),
                view.show(at[0], Quantity::Time)
            )
        }),
    }
}
