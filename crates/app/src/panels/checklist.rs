//! What a careful colleague would question, each ticked or remarked on.

use super::rows::note;
use crate::{
    theme::Size,
    view::{Action, ReviewView, View},
};
use document::{Edit, Tick};
use egui::{RichText, Ui};
use telling::Question;

/// Draws the questions by group.
pub fn checklist_ui(ui: &mut Ui, view: &View, review: &ReviewView, actions: &mut Vec<Action>) {
    if review.questions.is_empty() {
        note(ui, view, "There are no questions.");
        return;
    }
    if view.person.trim().is_empty() {
        let why = "Shown with your ticks, remarks and decisions; kept with your preferences";
        if let Some(name) = crate::fields::text(ui, "reviewer", "Your name", &view.person, why) {
            actions.push(Action::Person(name));
        }
    }
    let mut group = None;
    for question in &*review.questions {
        if group.replace(question.group) != Some(question.group) {
            ui.add_space(8.0);
            ui.label(RichText::new(question.group.label()).font(Size::Body.strong()));
        }
        question_ui(ui, view, question, actions);
    }
    ui.add_space(8.0);
}

fn question_ui(ui: &mut Ui, view: &View, question: &Question, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let tick = question.tick(&view.project.review.ticks);
    let current = tick.is_some_and(|(_, current)| current);
    ui.horizontal_top(|ui| {
        let mut ticked = current;
        let room = ui.available_width() - 150.0;
        let answer = ui.checkbox(&mut ticked, "");
        ui.ctx().accesskit_node_builder(answer.id, |node| node.set_label(format!("Tick: {}", question.says)));
        if answer.changed() {
            actions.push(Action::Edit(if ticked {
                Edit::Tick(Tick {
                    key: question.key.clone(),
                    asked: question.says.clone(),
                    state: question.state.clone(),
                    by: view.person.clone(),
                    on: crate::today(),
                    remark: None,
                })
            } else {
                Edit::Untick { key: question.key.clone() }
            }));
        }
        ui.allocate_ui(egui::vec2(room, 20.0), |ui| {
            ui.set_width(room);
            ui.vertical(|ui| {
                let colour = if current { t.second } else { t.ink };
                ui.add(egui::Label::new(RichText::new(&question.says).color(colour)).wrap())
                    .on_hover_text(&question.why);
                match tick {
                    Some((tick, true)) => {
                        let by = if tick.by.is_empty() { String::new() } else { format!(" by {}", tick.by) };
                        small(ui, view, &format!("ticked{by}, {}", tick.on));
                    }
                    Some((tick, false)) => {
                        let by = if tick.by.is_empty() { String::new() } else { format!(" by {}", tick.by) };
                        small(ui, view, &format!("ticked{by} on {} when it read: {}", tick.on, tick.asked));
                    }
                    None => small(ui, view, &question.why),
                }
            });
        });
        if ui.link("remark…").clicked() {
            actions.push(Action::Remark(question.pin.clone(), question.called.clone()));
        }
    });
    ui.add_space(3.0);
}

fn small(ui: &mut Ui, view: &View, says: &str) {
    ui.add(egui::Label::new(RichText::new(says).font(Size::Small.font()).color(view.tokens.second)).wrap());
}
