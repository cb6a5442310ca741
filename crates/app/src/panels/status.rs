//! The line at the bottom: where the pointer is, how things snap, how long the check took.

use super::Status;
use crate::{
    command::Command,
    plan::{PlanState, Tool},
    theme::Size,
    view::{Action, View},
};
use egui::{Align, Layout, RichText, Ui};
use units::Quantity;

/// On every window, as on every sheet.
const CAUTION: &str = "Assists a competent person; does not replace a trial pick or local codes.";

const SHORT_CAUTION: &str = "Assists; does not replace judgement or a trial pick.";

/// Draws the line.
pub fn status_ui(ui: &mut Ui, view: &View, plan: &PlanState, status: &Status, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let small = |text: String| RichText::new(text).font(Size::Small.font()).color(t.second);
    let narrow = ui.available_width() < 820.0;
    ui.horizontal_centered(|ui| {
        ui.spacing_mut().item_spacing.x = 20.0;
        ui.label(small("Seen from the robot side".to_owned()));
        let place = plan.pointer.map_or_else(|| "–".to_owned(), |p| view.pair(p - view.datum()));
        ui.add_sized([130.0, 16.0], egui::Label::new(small(place)).halign(Align::LEFT));
        let snap = if plan.show.snap {
            format!("snap: grid {}, rows, middle; Alt ignores it", view.given(view.step_mm, Quantity::Length))
        } else {
            "snap off (S)".to_owned()
        };
        let hint = match &plan.tool {
            Tool::Select => snap,
            Tool::Place { .. } => "click to place, or arrows and Enter; [ and ] turn, Escape ends".to_owned(),
            Tool::Sketch(_) => "Enter adds, Escape ends".to_owned(),
            Tool::Remark => "click the point of the remark, Escape ends".to_owned(),
            Tool::Datum => "click the new datum, Escape ends".to_owned(),
            Tool::Stops(_) => "choose edges and enter the stops, Escape ends".to_owned(),
            Tool::Trace => "drag the picture, Escape ends".to_owned(),
            Tool::EditOutline => "drag corners and edges, Escape ends".to_owned(),
        };
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(small(format!(
                "checked in {} ms",
                view.fixed(status.check_time.as_secs_f64() * 1e3, 2)
            )));
            if let Some(content) = &view.content {
                let mark = ui.label(small(format!("content {}", content.fingerprint)));
                mark.on_hover_text(format!(
                    "{}: the same mark is printed on the sheet of this content",
                    content.words()
                ));
            }
            let caution = if narrow { SHORT_CAUTION } else { CAUTION };
            let said = match &status.notice {
                Some(notice) => Some((notice.clone(), Size::Small.strong(), t.ink)),
                None if narrow && plan.tool == Tool::Select => None,
                None => Some((hint, Size::Small.font(), t.second)),
            };
            let width =
                |text: &str, font| ui.painter().layout_no_wrap(text.to_owned(), font, t.second).size().x;
            let taken = said.as_ref().map_or(0.0, |(text, font, _)| width(text, font.clone()) + 40.0);
            // Whole or not at all; the About box and every sheet carry it too.
            if width(caution, Size::Small.slanted()) + taken < ui.available_width() {
                ui.label(RichText::new(caution).font(Size::Small.slanted()).color(t.second));
            }
            // What is left is for what was said: it gives way with an ellipsis.
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                if let Some((text, font, colour)) = said {
                    let said = RichText::new(text).font(font).color(colour);
                    let (command, why) = match (&status.notice, &plan.tool) {
                        (Some(_), _) => (Command::Messages, "Click for all messages"),
                        (None, Tool::Select) => (Command::GridStep, "Click to set the step of the grid"),
                        (None, _) => {
                            crate::widgets::line_label(ui, said);
                            return;
                        }
                    };
                    let line = egui::Label::new(said).truncate().sense(egui::Sense::click());
                    if ui.add(line).on_hover_text(why).clicked() {
                        actions.push(Action::Run(command));
                    }
                }
            });
        });
    });
}
