//! The strip above the plan, in which a tool says what comes next and takes what is typed. It takes its room from the plan, so that it
//! covers nothing of the part.

use super::{PlanState, Tool};
use crate::view::View;
use egui::{Id, Rect, Sense, Stroke, Ui, Vec2};

/// Height before the rows of a strip were drawn once, points.
const LEAST: f32 = 44.0;
/// Between the edge of the strip and its rows, points.
const MARGIN: Vec2 = Vec2::new(16.0, 8.0);

/// Rows wrap in a narrow window and at large text. A strip is as high as the most that its tool, or a loss that is played, had to show at that
/// width and size of text, so that the plan does not move when a corner is clicked or a figure gets longer.
fn id(ui: &Ui, plan: &PlanState, replay: bool, width: f32) -> Id {
    let row = ui.text_style_height(&egui::TextStyle::Body);
    ui.scope_id().with("strip above the plan").with((
        std::mem::discriminant(&plan.tool),
        replay,
        width.round() as i32,
        row.round() as i32,
    ))
}

fn height(ui: &Ui, id: Id) -> f32 {
    ui.data(|d| d.get_temp(id)).unwrap_or(LEAST)
}

/// What is left for the plan below the strip; all of it without one.
pub(super) fn room(ui: &Ui, view: &View, plan: &PlanState, bends: bool, whole: Rect) -> Rect {
    let has = match plan.tool {
        Tool::Select => bends || view.replay.is_some(),
        Tool::Sketch(_) | Tool::EditOutline | Tool::Datum | Tool::Stops(_) | Tool::Trace => true,
        Tool::Place { .. } | Tool::Remark => view.replay.is_some(),
    };
    if !has {
        return whole;
    }
    let mut rest = whole;
    rest.min.y =
        (rest.min.y + height(ui, id(ui, plan, view.replay.is_some(), whole.width()))).min(rest.max.y);
    rest
}

/// What it takes to draw the strip that [`room`] left above the plan.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strip {
    id: Id,
    /// Of the plan below it.
    plan: Rect,
}

impl Strip {
    /// Of the current tool, above the plan's room.
    pub(super) fn above(ui: &Ui, view: &View, plan: &PlanState, room: Rect) -> Self {
        Self { id: id(ui, plan, view.replay.is_some(), room.width()), plan: room }
    }

    /// Draws it.
    pub(super) fn show<R>(self, ui: &mut Ui, view: &View, rows: impl FnOnce(&mut Ui) -> R) -> R {
        let Self { id, plan } = self;
        let height = height(ui, id);
        let whole = Rect::from_min_max(plan.min - Vec2::new(0.0, height), plan.max);
        let strip = Rect::from_min_size(whole.min, Vec2::new(whole.width(), height));
        ui.painter().rect_filled(strip, 0.0, view.tokens.ground);
        ui.painter().hline(strip.x_range(), strip.bottom(), Stroke::new(1.0, view.tokens.hairline));
        // Clicks on the strip are not clicks on the plan.
        ui.interact(strip, id, Sense::click_and_drag());
        let (drawn, used) = ui
            .scope_builder(egui::UiBuilder::new().max_rect(whole.shrink2(MARGIN)), |ui| {
                let drawn = rows(ui);
                (drawn, ui.min_rect().height())
            })
            .inner;
        let wanted = used + 2.0 * MARGIN.y;
        // The plan stays where it is while something is dragged on it.
        if wanted > height + 0.5 && !ui.input(|i| i.pointer.any_down()) {
            ui.data_mut(|d| d.insert_temp(id, wanted));
            ui.ctx().request_repaint();
        }
        drawn
    }
}
