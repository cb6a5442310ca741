//! The alternatives as tabs over the plan, and what may be done with them.

use super::{menu::command_button, motion_card, seats};
use crate::{
    command::Command,
    theme::Size,
    view::{Action, View},
};
use egui::{Align, Button, Layout, RichText, Ui, containers::menu::MenuButton};

/// Height of the strip.
pub const STRIP: f32 = 42.0;

/// Room of the menu beside the tabs.
const MENU: f32 = 70.0;
/// Around the name on a tab, and before the next one.
const AROUND: f32 = 24.0;

/// Room that the tabs of all layouts and parts take.
fn tabs_width(ui: &Ui, view: &View) -> f32 {
    let parts = view.family.as_ref().map_or(&[][..], |held| &held.family.seats);
    let between = if parts.is_empty() { &[][..] } else { &["carries", "all"][..] };
    let names = view.project.layouts.iter().map(|layout| layout.name.clone());
    let names = names.chain(parts.iter().map(|seat| seats::tab_name(ui, &seat.name)));
    let names = names.chain(between.iter().map(|name| (*name).to_owned()));
    let width =
        |name: String| crate::widgets::one_line(ui, &name, 1e4, Size::Body.font(), view.tokens.ink).size().x;
    names.map(|name| width(name) + AROUND).sum()
}

/// Tabs at the left, the motion shown in the middle, what is compared at the right.
pub fn layouts_ui(ui: &mut Ui, view: &View, motion: bool, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let layouts = &view.project.layouts;
    // What stands at the right, and the menu of the layout.
    let mut taken = if view.compare.is_some() { 390.0 } else { 210.0 };
    let whole = ui.available_rect_before_wrap();
    let at_right = if view.compare.is_some() { 270.0 } else { 130.0 };
    let motion = motion && whole.width() >= tabs_width(ui, view) + MENU + motion_card::WIDTH + at_right;
    if motion {
        taken += motion_card::WIDTH;
        let right = whole.right() - at_right;
        let x = (right - motion_card::WIDTH)..=right;
        motion_card::motion_card_ui(ui, view, egui::Rect::from_x_y_ranges(x, whole.y_range()));
    }
    let room = (ui.available_width() - taken).max(120.0);
    ui.horizontal_centered(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        egui::ScrollArea::horizontal()
            .id_salt("layouts")
            .max_width(room)
            .auto_shrink([true, false])
            .scroll_bar_visibility(egui::scroll_area::ScrollBarVisibility::AlwaysHidden)
            .show(ui, |ui| {
                ui.horizontal_centered(|ui| {
                    for layout in layouts {
                        let shown = layout.id == view.layout.id;
                        let text = RichText::new(&layout.name).color(if shown { t.ink } else { t.second });
                        let tab = ui.selectable_label(shown, text);
                        let why = "An alternative layout over the part; edits apply to the one shown";
                        if tab.on_hover_text(why).clicked() && !shown {
                            actions.push(Action::Layout(layout.id));
                        }
                    }
                    seats::tabs_ui(ui, view, actions);
                });
            });
        let button = Button::new(RichText::new("layout…").color(t.working)).frame_when_inactive(false);
        let (menu, _) = MenuButton::from_button(button).ui(ui, |ui| {
            ui.set_min_width(190.0);
            for command in [
                Command::CopyLayout,
                Command::NewLayout,
                Command::RenameLayout,
                Command::LayoutLeft,
                Command::LayoutRight,
                Command::RemoveLayout,
            ] {
                let enabled = layouts.len() > 1
                    || matches!(command, Command::CopyLayout | Command::NewLayout | Command::RenameLayout);
                let button = command_button(ui, command);
                if ui.add_enabled(enabled, button).clicked() {
                    actions.push(Action::Run(command));
                    ui.close();
                }
            }
        });
        ui.ctx().accesskit_node_builder(menu.id, |node| node.set_label("Alternatives"));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| compare_choice_ui(ui, view, actions));
    });
}

fn compare_choice_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let others: Vec<_> = view.project.layouts.iter().filter(|l| l.id != view.layout.id).collect();
    if others.is_empty() {
        let why = "Copies this layout, so that the copy can be changed and compared with it";
        let copy =
            ui.add(Button::new(RichText::new("copy to compare").color(t.working)).frame_when_inactive(false));
        if copy.on_hover_text(why).clicked() {
            actions.push(Action::Run(Command::CopyLayout));
        }
        return;
    }
    if let Some(compare) = &view.compare {
        if ui.link("end comparison").on_hover_text(Command::Compare.shortcut_text(ui.ctx())).clicked() {
            actions.push(Action::Compare(None));
        }
        let mut picked = compare.layout.id;
        let shown = crate::widgets::elided(ui, &compare.layout.name, 110.0);
        let combo = egui::ComboBox::from_id_salt("compared layout").selected_text(shown).width(60.0).show_ui(
            ui,
            |ui| {
                for other in &others {
                    ui.selectable_value(&mut picked, other.id, &other.name);
                }
            },
        );
        ui.ctx().accesskit_node_builder(combo.response.id, |node| node.set_label("Compared with"));
        ui.label(RichText::new("with").font(Size::Body.font()).color(t.second));
        if picked != compare.layout.id {
            actions.push(Action::Compare(Some(picked)));
        }
        return;
    }
    let button = Button::new(RichText::new("compare with…").color(t.working)).frame_when_inactive(false);
    if let [other] = others.as_slice() {
        if ui.add(button).on_hover_text(&other.name).clicked() {
            actions.push(Action::Compare(Some(other.id)));
        }
        return;
    }
    MenuButton::from_button(button).ui(ui, |ui| {
        for other in &others {
            if ui.button(&other.name).clicked() {
                actions.push(Action::Compare(Some(other.id)));
                ui.close();
            }
        }
    });
}
