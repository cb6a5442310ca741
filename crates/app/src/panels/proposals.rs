//! Layouts that the program proposes: the question on top, what was found as cards below, and what is proved of the rest.

mod card;
mod question;
mod table;

use crate::{
    command::Command,
    plan::PlanState,
    theme::Size,
    view::{Action, ProposeView, View},
    widgets::first_focus,
};
use analysis::Proposals;
use egui::{Button, Label, RichText, Ui};

/// Draws the panel; the card under the pointer is shown as ghosts on the plan.
pub fn proposals_ui(
    ui: &mut Ui,
    view: &View,
    propose: &ProposeView,
    plan: &mut PlanState,
    actions: &mut Vec<Action>,
) {
    let t = view.tokens;
    plan.proposed.clear();
    ui.horizontal(|ui| {
        ui.label(RichText::new("Propose a layout").font(Size::Heading.strong()));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.link("hide").on_hover_text(Command::Propose.shortcut_text(ui.ctx())).clicked() {
                actions.push(Action::Run(Command::Propose));
            }
        });
    });
    question::question_ui(ui, view, actions);
    ui.add_space(8.0);
    match &propose.progress {
        Some(progress) => {
            ui.horizontal(|ui| {
                if ui.button("Stop").on_hover_text("Keeps the best so far").clicked() {
                    actions.push(Action::StopProposing);
                }
                let says = format!(
                    "{} layouts checked, the best has {} ×",
                    units::figure(progress.scored as f64, 0),
                    view.factor(progress.best)
                );
                ui.add(Label::new(RichText::new(says).color(t.second)).truncate());
            });
        }
        None => {
            let button = Button::new(RichText::new("Propose").font(Size::Body.strong()).color(t.working));
            let button = ui.add(button);
            // Enter asks, when the panel was opened and nothing was found yet.
            if propose.found.is_none() && propose.failed.is_none() {
                first_focus(ui, &button);
            }
            if button.on_hover_text("Runs in the background; nothing is changed").clicked() {
                actions.push(Action::Propose);
            }
        }
    }
    ui.add_space(6.0);
    if let Some(failed) = &propose.failed {
        ui.add(Label::new(RichText::new(failed).color(t.fail)).wrap());
    }
    let Some(found) = &propose.found else {
        if propose.failed.is_none() && propose.progress.is_none() {
            let says = "Which cups, how many and where: the program looks for layouts that hold every \
                motion, and says how much better any could be. Your layout is not changed.";
            ui.add(Label::new(RichText::new(says).font(Size::Small.slanted()).color(t.second)).wrap());
        }
        return;
    };
    if !propose.current {
        let says = "Found before the last change of the project.";
        ui.add(Label::new(RichText::new(says).font(Size::Small.slanted()).color(t.watch)).wrap());
    }
    ui.add(Label::new(RichText::new(&found.says).font(Size::Small.slanted()).color(t.second)).wrap());
    ui.add_space(4.0);
    let best = card::Best::of(found);
    let order = found.order(view.project.question.prefer);
    for (place, (at, proposal)) in order.iter().map(|at| (*at, &found.proposals[*at])).enumerate() {
        if card::card_ui(ui, view, proposal, &found.question, (place, at), &best, actions) {
            plan.proposed = proposal
                .cups()
                .map(|(cup, model)| geometry::Lip {
                    shape: model.shape,
                    at: cup.at,
                    turn: cup.turn_deg.to_radians(),
                })
                .collect();
        }
    }
    if found.proposals.len() > 1 {
        table::table_ui(ui, view, found, &order, &best);
    }
    if propose.progress.is_none() {
        certainty_ui(ui, view, found);
    }
}

/// What is proved, and what was not proposed.
fn certainty_ui(ui: &mut Ui, view: &View, found: &Proposals) {
    let t = view.tokens;
    for (title, says) in
        [("Why not better?", &found.why_not_better), ("Why not fewer?", &found.why_not_fewer)]
    {
        if says.is_empty() {
            continue;
        }
        ui.add_space(6.0);
        ui.label(RichText::new(title).font(Size::Body.strong()));
        ui.add(Label::new(says.as_str()).wrap());
    }
    if !found.whole {
        ui.add(Label::new(RichText::new("Stopped: this is the best so far.").color(t.watch)).wrap());
    }
    for why in &found.beside {
        let says = sentence(&why.to_string());
        ui.add(Label::new(RichText::new(says).font(Size::Small.slanted()).color(t.second)).wrap());
    }
    let not: Vec<_> = found.suits.iter().filter_map(|of| Some((&of.name, of.why_not.as_ref()?))).collect();
    if !not.is_empty() {
        ui.add_space(6.0);
        egui::CollapsingHeader::new(format!("{} models do not suit", not.len())).id_salt("unsuited").show(
            ui,
            |ui| {
                for (name, why) in not {
                    let says = format!("{name}: {why}");
                    ui.add(Label::new(RichText::new(says).font(Size::Small.font()).color(t.second)).wrap());
                }
            },
        );
    }
}

/// A clause of the engines as a sentence.
pub fn sentence(says: &str) -> String {
    let says = analysis::words::capital(says.trim());
    if says.ends_with('.') { says } else { format!("{says}.") }
}
