//! Remarks: what is said, of what, by whom, and what became of it.

use super::{PanelState, rows::note};
use crate::{
    command::Command,
    theme::Size,
    view::{Action, View},
};
use document::{Edit, Pin, Remark};
use egui::{RichText, Ui};

/// Draws the list and what may be done with each.
pub fn remarks_ui(ui: &mut Ui, view: &View, state: &mut PanelState, actions: &mut Vec<Action>) {
    let remarks = &view.project.review.remarks;
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        for (command, name, why) in [
            (Command::RemarkHere, "Remark…", "On the selected cup, the motion shown or the project"),
            (Command::RemarkPlace, "On a point…", "Then click the point on the plan"),
        ] {
            if ui.link(name).on_hover_text(why).clicked() {
                actions.push(Action::Run(command));
            }
        }
        let settled = remarks.iter().filter(|r| r.resolved.is_some()).count();
        if settled > 0 {
            let label =
                if state.settled { "Hide settled".to_owned() } else { format!("Show {settled} settled") };
            if ui.link(label).clicked() {
                state.settled = !state.settled;
            }
        }
    });
    if remarks.is_empty() {
        note(
            ui,
            view,
            "No remarks yet. Remarks are pinned to a cup, a point, a motion or a finding and stay in the file.",
        );
    }
    for (i, remark) in remarks.iter().enumerate() {
        if remark.resolved.is_none() || state.settled {
            remark_ui(ui, view, i + 1, remark, actions);
        }
    }
}

fn remark_ui(ui: &mut Ui, view: &View, number: usize, remark: &Remark, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let open = remark.resolved.is_none();
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 10.0;
        let name = format!("{number}  {}", remark.called);
        let head = RichText::new(&name).font(Size::Body.strong()).color(if open { t.ink } else { t.second });
        let shown = ui.add(egui::Button::new(head).frame_when_inactive(false));
        ui.ctx().accesskit_node_builder(shown.id, |node| {
            node.set_label(format!("Remark {number} on {}", remark.called))
        });
        if shown.on_hover_text("Show what it is about").clicked() {
            show(view, remark, actions);
        }
        let mut about = format!("{}, {}", remark.by, remark.on);
        if view.content.as_ref().is_some_and(|c| c.fingerprint != remark.of) {
            about += ", of an earlier content";
        }
        if gone(view, remark) {
            about += ", no longer there";
        }
        ui.label(RichText::new(about).color(t.second));
        if open {
            if ui.link("Answer…").clicked() {
                actions.push(Action::Answer(remark.id, false));
            }
            if ui.link("Settle…").clicked() {
                actions.push(Action::Answer(remark.id, true));
            }
        } else if ui.link("Reopen").clicked() {
            actions.push(Action::Edit(Edit::ResolveRemark(remark.id, None)));
        }
        if ui.link("Remove").on_hover_text("Undo brings it back").clicked() {
            actions.push(Action::Edit(Edit::RemoveRemark(remark.id)));
        }
    });
    let said = |ui: &mut Ui, text: &str, indent: f32, colour| {
        ui.horizontal_wrapped(|ui| {
            ui.add_space(indent);
            ui.add(egui::Label::new(RichText::new(text).color(colour)).wrap());
        });
    };
    said(ui, &remark.text, 18.0, if open { t.ink } else { t.second });
    for answer in &remark.answers {
        said(ui, &format!("{}, {}: {}", answer.by, answer.on, answer.text), 36.0, t.second);
    }
    if let Some(settled) = &remark.resolved {
        let text = if settled.text.is_empty() { String::new() } else { format!(": {}", settled.text) };
        said(ui, &format!("Settled by {}, {}{text}", settled.by, settled.on), 36.0, t.order);
    }
}

fn gone(view: &View, remark: &Remark) -> bool {
    match &remark.pin {
        Pin::Whole => false,
        Pin::Cup(layout, cup) => view.project.cup(*layout, *cup).is_none(),
        Pin::Place(layout, _) | Pin::Finding { layout, .. } => view.project.layout(*layout).is_none(),
        Pin::Motion(motion) => view.project.motion(*motion).is_none(),
    }
}

/// Brings what a remark is about onto the plan.
pub fn show(view: &View, remark: &Remark, actions: &mut Vec<Action>) {
    let mut layout = |id| {
        if id != view.layout.id && view.project.layout(id).is_some() {
            actions.push(Action::Layout(id));
        }
    };
    match &remark.pin {
        Pin::Whole => {}
        Pin::Cup(id, cup) => {
            layout(*id);
            actions.push(Action::Frame(vec![*cup]));
        }
        Pin::Place(id, at) => {
            layout(*id);
            actions.push(Action::Look(*at));
        }
        Pin::Motion(motion) => actions.push(Action::ShowMotion(Some(*motion))),
        Pin::Finding { layout: id, subject, motion, .. } => {
            layout(*id);
            if motion.is_some() {
                actions.push(Action::ShowMotion(*motion));
            }
            actions.push(Action::Frame(subject.clone()));
        }
    }
}
