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

/// A long name leaves room for the others; all of it stands under the pointer.
const WIDEST_TAB: f32 = 190.0;
/// Below this a name says nothing any more: the tabs are scrolled.
const NARROWEST_TAB: f32 = 44.0;

/// Names of layouts and parts as they stand on their tabs.
struct Tabs {
    layouts: Vec<String>,
    seats: Vec<String>,
    /// Whether there is room to say that the layout carries the parts.
    carries: bool,
}

impl Tabs {
    /// `room` is told what they take uncut, with what stands between them, and gives what there is; where it is less, the longest
    /// names give way first, and all of them to one width.
    fn new(ui: &Ui, view: &View, room: impl FnOnce(f32) -> f32) -> Self {
        let font = Size::Body.font();
        let width =
            |name: &str| crate::widgets::one_line(ui, name, 1e4, font.clone(), view.tokens.ink).size().x;
        let parts = view.family.as_ref().map_or(&[][..], |held| &held.family.seats);
        let [carries, all] = match parts {
            [] => [0.0; 2],
            _ => ["carries", "all"].map(|name| width(name) + AROUND),
        };
        let layouts = view.project.layouts.iter().map(|layout| &layout.name);
        let names: Vec<&String> = layouts.chain(parts.iter().map(|seat| &seat.name)).collect();
        let widths: Vec<f32> = names.iter().map(|name| width(name).min(WIDEST_TAB)).collect();
        let around = all + names.len() as f32 * AROUND;
        let wide = widths.iter().sum::<f32>() + around + carries;
        let room = room(wide);
        let share = shared(&widths, room - around - if room < wide { 0.0 } else { carries });
        // "Side panel, left" and "Side panel, right" are told apart by their ends.
        let cut = |name: &&String| crate::widgets::elided_within(ui, name, share);
        let (layouts, seats) = names.split_at(view.project.layouts.len());
        let [layouts, seats] = [layouts, seats].map(|names| names.iter().map(cut).collect());
        Self { layouts, seats, carries: room >= wide }
    }
}

/// The width that no tab may exceed, so that all together take no more than the room.
fn shared(widths: &[f32], room: f32) -> f32 {
    let mut rising = widths.to_vec();
    rising.sort_by(f32::total_cmp);
    let mut left = room;
    for (at, width) in rising.iter().enumerate() {
        let share = left / (rising.len() - at) as f32;
        if *width > share {
            return share.max(NARROWEST_TAB);
        }
        left -= width;
    }
    WIDEST_TAB
}

/// Tabs at the left, the motion shown in the middle, what is compared at the right.
pub fn layouts_ui(ui: &mut Ui, view: &View, motion: bool, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let layouts = &view.project.layouts;
    // What stands at the right, and the menu of the layout.
    let whole = ui.available_rect_before_wrap();
    // What a comparison takes gives way before the tabs are pushed over it.
    let narrow = view.compare.is_some() && whole.width() < 560.0;
    let at_right = if view.compare.is_some() { 270.0 } else { 130.0 };
    let mut taken = if narrow { 250.0 } else { MENU + at_right };
    let with_motion = MENU + motion_card::WIDTH + at_right;
    let (mut carded, mut tight) = (false, false);
    let tabs = Tabs::new(ui, view, |wide| {
        carded = motion && whole.width() >= wide + with_motion;
        // Where tabs are short of room the link beside them stands in the menu only.
        tight = view.project.layouts.len() == 1 && whole.width() - taken < wide;
        if tight {
            taken = MENU;
        }
        whole.width() - taken - if carded { motion_card::WIDTH } else { 0.0 }
    });
    if carded {
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
                    for (layout, name) in layouts.iter().zip(&tabs.layouts) {
                        let shown = layout.id == view.layout.id;
                        let text = RichText::new(name).color(if shown { t.ink } else { t.second });
                        let tab = ui.selectable_label(shown, text);
                        ui.ctx().accesskit_node_builder(tab.id, |node| node.set_label(layout.name.as_str()));
                        let what = "an alternative layout over the part; edits apply to the one shown";
                        let why = format!("{}: {what}", layout.name);
                        if tab.on_hover_text(why).clicked() && !shown {
                            actions.push(Action::Layout(layout.id));
                        }
                    }
                    seats::tabs_ui(ui, view, (&tabs.seats, tabs.carries), actions);
                });
            });
        let button = Button::new(RichText::new("layout…").color(t.working)).frame_when_inactive(false);
        if narrow {
            let right = Layout::right_to_left(Align::Center);
            ui.with_layout(right, |ui| compare_choice_ui(ui, view, narrow, actions));
            return;
        }
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
        if !tight {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                compare_choice_ui(ui, view, narrow, actions)
            });
        }
    });
}

fn compare_choice_ui(ui: &mut Ui, view: &View, narrow: bool, actions: &mut Vec<Action>) {
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
        let widest = if narrow { 70.0 } else { 110.0 };
        let shown = crate::widgets::elided_within(ui, &compare.layout.name, widest);
        let combo = egui::ComboBox::from_id_salt("compared layout").selected_text(shown).width(60.0).show_ui(
            ui,
            |ui| {
                for other in &others {
                    ui.selectable_value(&mut picked, other.id, &other.name);
                }
            },
        );
        ui.ctx().accesskit_node_builder(combo.response.id, |node| node.set_label("Compared with"));
        if !narrow {
            ui.label(RichText::new("with").font(Size::Body.font()).color(t.second));
        }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_names_give_way_first_and_to_one_width() {
        assert_eq!(shared(&[60.0, 80.0], 200.0), WIDEST_TAB);
        assert_eq!(shared(&[60.0, 190.0, 190.0], 300.0), 120.0);
        assert_eq!(shared(&[190.0, 60.0, 190.0], 300.0), 120.0);
        assert_eq!(shared(&[190.0; 4], 80.0), NARROWEST_TAB);
    }
}
