//! Panels round the plan: their edges are dragged and stay where they were left; a double click on an edge, or the sign in the
//! folded strip, folds and unfolds one.

use super::PanelState;
use crate::theme::{Size, Tokens};
use egui::{
    Align2, Frame, IdSalt, InnerResponse, Key, Margin, Panel, Pos2, Rect, Role, Sense, Ui, Vec2, WidgetInfo,
};

/// Room that a folded panel keeps.
const STRIP: f32 = 26.0;
/// Height of the folded panel below the plan: one line.
pub(super) const LINE: f32 = 32.0;

/// Where a panel stands.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
    Bottom,
}

/// A panel with an edge that can be dragged.
pub(super) struct Edged {
    /// What it is called in the preferences, for its sizes.
    pub name: &'static str,
    /// What it is called on its folded strip.
    pub title: &'static str,
    pub side: Side,
    /// Until its edge is dragged.
    pub usual: f32,
    pub least: f32,
    pub most: f32,
    pub frame: Frame,
    /// Folded because there is nothing in it; a person may open it for the moment.
    pub empty: bool,
    /// Folded because a narrow window has no room for it beside the plan; a person may open it for the moment.
    pub crowded: bool,
}

impl Edged {
    fn panel(&self, id: IdSalt) -> Panel {
        match self.side {
            Side::Left => Panel::left(id),
            Side::Right => Panel::right(id),
            Side::Bottom => Panel::bottom(id),
        }
    }

    fn folds_to(&self) -> f32 {
        if self.side == Side::Bottom { LINE } else { STRIP }
    }

    /// Draws it, or the strip it is folded to; `line` is what a panel below the plan says while folded.
    pub fn show(
        self,
        ui: &mut Ui,
        state: &mut PanelState,
        line: impl FnOnce(&mut Ui, &mut PanelState),
        add: impl FnOnce(&mut Ui, &mut PanelState),
    ) {
        let t = Tokens::of(ui);
        let size =
            state.edges.size(self.name).unwrap_or(self.usual).clamp(self.least, self.most.max(self.least));
        // Before an edge was dragged a panel follows the window; the toolkit would keep its first size.
        let kept = state.edges.size(self.name).map_or(size as i32, |_| -1);
        let folded = match (self.empty, self.crowded) {
            (true, _) => state.opened_empty != Some(self.name),
            (_, true) => state.opened_crowded != Some(self.name),
            _ => state.edges.folded(self.name),
        };
        let mut open = !folded;
        let full = self
            .panel(IdSalt::new((self.name, kept)))
            .resizable(true)
            .default_size(size)
            .size_range(self.least..=self.most.max(self.least))
            .frame(self.frame);
        let shut = self
            .panel(IdSalt::new((self.name, "folded")))
            .resizable(true)
            .exact_size(self.folds_to())
            .frame(Frame::new().fill(t.ground).inner_margin(Margin::ZERO));
        let mut unfold = false;
        let InnerResponse { response, .. } = Panel::show_switched(ui, &mut open, shut, full, |ui, whole| {
            if whole {
                add(ui, state);
            } else if self.side == Side::Bottom {
                unfold = line_ui(ui, self.title, |ui| line(ui, state));
            } else {
                unfold = strip_ui(ui, self.title, self.side);
            }
        });
        open |= unfold;
        if open == folded {
            match (self.empty, self.crowded) {
                (true, _) => state.opened_empty = open.then_some(self.name),
                (_, true) => state.opened_crowded = open.then_some(self.name),
                _ => state.edges.set_folded(self.name, !open),
            }
            state.edges_moved = true;
        }
        let extent = if self.side == Side::Bottom { response.rect.height() } else { response.rect.width() };
        let let_go = ui.input(|i| i.pointer.any_released());
        if open
            && !folded
            && let_go
            && state.edges.size(self.name).is_none_or(|kept| (kept - extent).abs() > 1.0)
            && (extent - size).abs() > 1.0
        {
            state.edges.set_size(self.name, extent);
            state.edges_moved = true;
        }
    }
}

/// A narrow strip with the panel's name along it; gives whether it was asked to unfold.
fn strip_ui(ui: &mut Ui, title: &str, side: Side) -> bool {
    let t = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click());
    response
        .widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Show {}", title.to_lowercase())));
    let lit = response.hovered() || response.has_focus();
    if lit {
        ui.painter().rect_filled(rect, 0.0, t.panel);
    }
    let colour = if lit { t.ink } else { t.second };
    let text = format!("{title} {}", if side == Side::Left { "›" } else { "‹" });
    let galley = ui.painter().layout_no_wrap(text, Size::Body.font(), colour);
    // Read from below, as on a drawing seen from the right.
    let at = Pos2::new(rect.center().x - galley.size().y / 2.0, rect.top() + 14.0 + galley.size().x);
    ui.painter().add(egui::epaint::TextShape {
        angle: -std::f32::consts::FRAC_PI_2,
        ..egui::epaint::TextShape::new(at, galley, colour)
    });
    let side_x = if side == Side::Left { rect.right() } else { rect.left() };
    ui.painter().vline(side_x, rect.y_range(), egui::Stroke::new(1.0, t.hairline));
    chosen(ui, &response)
}

/// One line below the plan; a click unfolds.
fn line_ui(ui: &mut Ui, title: &str, add: impl FnOnce(&mut Ui)) -> bool {
    let t = Tokens::of(ui);
    let rect = ui.available_rect_before_wrap();
    let rect = Rect::from_min_size(rect.min, Vec2::new(rect.width(), LINE));
    let response = ui.interact(rect, ui.scope_id().with("unfold"), Sense::click());
    response
        .widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Show {}", title.to_lowercase())));
    let lit = response.hovered() || response.has_focus();
    if lit {
        ui.painter().rect_filled(rect, 0.0, t.panel);
    }
    let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(rect.shrink2(Vec2::new(20.0, 2.0))));
    inner.horizontal_centered(add);
    let colour = if lit { t.ink } else { t.second };
    let at = rect.right_center() - Vec2::new(20.0, 0.0);
    ui.painter().text(at, Align2::RIGHT_CENTER, "show", Size::Body.font(), colour);
    ui.allocate_rect(rect, Sense::hover());
    chosen(ui, &response)
}

fn chosen(ui: &Ui, response: &egui::Response) -> bool {
    response.clicked() || (response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter)))
}
