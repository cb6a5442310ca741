//! What a person states: part, motions, cup models, circuits, site.

use super::{PanelState, circuits, cycle, motions, part, tool};
use crate::{
    command::Command,
    fields::{self, parting},
    plan::{PlanState, Tool},
    theme::Size,
    view::{Action, View},
    widgets::{one_line, row_ground},
};
use document::{CupModel, Edit, Site};
use egui::{RichText, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};
use geometry::LipShape;
use std::sync::Arc;
use units::Quantity;

/// Draws all groups.
pub fn inputs_ui(
    ui: &mut Ui,
    view: &View,
    state: &mut PanelState,
    plan: &PlanState,
    actions: &mut Vec<Action>,
) {
    part::part_ui(ui, view, state, actions);
    parting(ui);
    motions::motions_ui(ui, view, state, actions);
    parting(ui);
    cups_ui(ui, view, plan, actions);
    parting(ui);
    circuits::circuits_ui(ui, view, state, actions);
    parting(ui);
    if view.project.circuits.iter().any(|c| c.supply.is_some()) {
        cycle::cycle_ui(ui, view, actions);
        parting(ui);
    }
    tool::tool_ui(ui, view, state, actions);
    parting(ui);
    site_ui(ui, view, actions);
}

fn cups_ui(ui: &mut Ui, view: &View, plan: &PlanState, actions: &mut Vec<Action>) {
    if fields::heading(ui, "Cups", Some(("models…", "Choose from the built-in models or add your own"))) {
        actions.push(Action::Run(Command::CupLibrary));
    }
    for model in &view.project.models {
        let placed = view.layout.cups.iter().filter(|c| c.model == model.id).count();
        let active = matches!(&plan.tool, Tool::Place { model: m, .. } if *m == model.id);
        let note = if active {
            "click the plan".to_owned()
        } else if placed == 0 {
            "click to place".to_owned()
        } else {
            format!("{placed} placed")
        };
        if model_row(ui, view, model, &note, active).clicked() {
            let tool =
                if active { Tool::Select } else { Tool::Place { model: model.id.clone(), turn_deg: 0.0 } };
            actions.push(Action::Tool(tool));
        }
    }
    if view.project.models.is_empty() {
        ui.label(RichText::new("None yet: choose some under models…").color(view.tokens.second));
    }
}

/// Icon, name and a note; used here and in the library dialog.
pub fn model_row(
    ui: &mut Ui,
    view: &View,
    model: &Arc<CupModel>,
    note: &str,
    active: bool,
) -> egui::Response {
    let t = view.tokens;
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), fields::ROW), Sense::click());
    response
        .widget_info(|| WidgetInfo::selected(Role::Button, true, active, format!("Place {}", model.name)));
    row_ground(ui, rect, active, &response);
    let centre = rect.left_center() + Vec2::new(9.0, 0.0);
    let stroke = Stroke::new(1.4, if active { t.working } else { t.ink });
    match model.shape {
        LipShape::Round { .. } => {
            ui.painter().circle_stroke(centre, 6.0, stroke);
            if model.folds > 0 {
                ui.painter().circle_stroke(centre, 3.4, Stroke::new(1.0, stroke.color));
            }
        }
        LipShape::Long { .. } => {
            ui.painter().rect_stroke(
                egui::Rect::from_center_size(centre, Vec2::new(17.0, 8.0)),
                4.0,
                stroke,
                egui::StrokeKind::Middle,
            );
        }
        LipShape::Rectangle { .. } => {
            ui.painter().rect_stroke(
                egui::Rect::from_center_size(centre, Vec2::new(16.0, 10.0)),
                2.0,
                stroke,
                egui::StrokeKind::Middle,
            );
        }
    }
    let note = ui.painter().layout_no_wrap(note.to_owned(), Size::Body.font(), t.second);
    let room = rect.width() - note.size().x - 36.0;
    let name = one_line(ui, &model.name, room, Size::Body.font(), t.ink);
    ui.painter().galley(rect.left_center() + Vec2::new(26.0, -name.size().y / 2.0), name, t.ink);
    ui.painter().galley(rect.right_center() - Vec2::new(note.size().x, note.size().y / 2.0), note, t.second);
    response.on_hover_text(describe(view, model))
}

/// One paragraph about a model.
pub fn describe(view: &View, model: &CupModel) -> String {
    let size = model.shape.size();
    let length = |v: f64| view.text(v, Quantity::Length);
    format!(
        "{}\nlip {} × {}, bore {}, height {}, travel {}\n{} N/mm along, {} N/mm across, Shore A {}, closes {}\n{}, thread {}",
        model.name,
        length(size.x),
        length(size.y),
        length(model.bore_mm),
        length(model.height_mm),
        length(model.travel_mm.value),
        view.fixed(model.axial_n_mm.value, 2),
        view.fixed(model.lateral_n_mm.value, 2),
        view.fixed(model.hardness_shore_a, 0),
        length(model.closes_mm),
        model.material,
        model.thread
    )
}

fn site_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    fields::heading(ui, "Site", None);
    let site = view.project.site;
    if let Some(v) = fields::known("site.altitude_m").number(ui, "", site.altitude_m, &view.units) {
        actions.push(Action::Edit(Edit::ChangeSite {
            site: Site { altitude_m: v, ..site },
            what: format!("altitude to {}", view.given(v, Quantity::Altitude)),
        }));
    }
    if let Some(v) = fields::known("site.temperature_c").number(ui, "", site.temperature_c, &view.units) {
        actions.push(Action::Edit(Edit::ChangeSite {
            site: Site { temperature_c: v, ..site },
            what: format!("temperature to {}", view.given(v, Quantity::Temperature)),
        }));
    }
}
