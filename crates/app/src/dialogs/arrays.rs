//! Repeating cups in rows or on a ring.

use super::{Effect, buttons, title};
use crate::{
    arrange, fields,
    view::{Action, View},
};
use egui::Ui;
use glam::DVec2;
use units::Quantity;

/// Most cups one array may make, so that a slip of the finger does not.
const MOST: u32 = 500;

/// Rows and columns.
#[derive(Debug, Clone)]
pub struct RowsForm {
    columns: u32,
    rows: u32,
    pitch: DVec2,
}

/// Ring.
#[derive(Debug, Clone)]
pub struct RingForm {
    count: u32,
    centre: DVec2,
    turn: bool,
}

impl RowsForm {
    /// A pitch that keeps the selected cups clear of each other.
    pub fn new(view: &View) -> Self {
        let size = view
            .selected()
            .filter_map(|c| view.project.model(&c.model))
            .map(|m| m.shape.size().max_element())
            .fold(20.0, f64::max);
        let min = view.selected().map(|c| c.at).reduce(DVec2::min).unwrap_or_default();
        let max = view.selected().map(|c| c.at).reduce(DVec2::max).unwrap_or_default();
        Self { columns: 2, rows: 1, pitch: ((max - min) + DVec2::splat(size * 1.5)).round() }
    }

    /// What it would add; `None` of more than are added at once.
    pub(super) fn edit(&self, view: &View) -> Option<document::Edit> {
        let (columns, rows) = (self.columns as usize, self.rows as usize);
        let few = (columns * rows).saturating_sub(1) * view.selection.len() <= MOST as usize;
        few.then(|| arrange::rows(view, columns, rows, self.pitch)).flatten()
    }
}

impl RingForm {
    /// Round the middle of the part.
    pub fn new(view: &View) -> Self {
        let centre = view.lying.outline.outer.bounds().map_or(DVec2::ZERO, |b| (b.min + b.max) / 2.0);
        Self { count: 4, centre, turn: true }
    }

    /// What it would add; `None` of more than are added at once.
    pub(super) fn edit(&self, view: &View) -> Option<document::Edit> {
        let few = (self.count as usize).saturating_sub(1) * view.selection.len() <= MOST as usize;
        few.then(|| arrange::ring(view, self.count as usize, self.centre, self.turn)).flatten()
    }
}

fn count(ui: &mut Ui, name: &str, value: &mut u32, least: u32, view: &View) {
    let bounds = (least, MOST);
    if let Some(v) = fields::count(ui, ("array", name), name, None, *value, bounds, &view.units, "") {
        *value = v;
    }
}

/// Draws the form.
pub fn rows_ui(ui: &mut Ui, view: &View, form: &mut RowsForm, actions: &mut Vec<Action>) -> Effect {
    title(ui, "Repeat in rows");
    count(ui, "Columns", &mut form.columns, 1, view);
    count(ui, "Rows", &mut form.rows, 1, view);
    if let Some(v) =
        fields::quantity(ui, "pitch x", "Pitch along X", form.pitch.x, Quantity::Length, &view.units, "")
    {
        form.pitch.x = v;
    }
    if let Some(v) =
        fields::quantity(ui, "pitch y", "Pitch along Y", form.pitch.y, Quantity::Length, &view.units, "")
    {
        form.pitch.y = v;
    }
    let (columns, rows) = (form.columns as usize, form.rows as usize);
    let new = (columns * rows).saturating_sub(1) * view.selection.len();
    finish(ui, view, new, form.edit(view), actions)
}

/// Draws the form.
pub fn ring_ui(ui: &mut Ui, view: &View, form: &mut RingForm, actions: &mut Vec<Action>) -> Effect {
    title(ui, "Repeat on a ring");
    count(ui, "Positions in all", &mut form.count, 2, view);
    if let Some(v) =
        fields::quantity(ui, "centre x", "Centre X", form.centre.x, Quantity::Length, &view.units, "")
    {
        form.centre.x = v;
    }
    if let Some(v) =
        fields::quantity(ui, "centre y", "Centre Y", form.centre.y, Quantity::Length, &view.units, "")
    {
        form.centre.y = v;
    }
    ui.checkbox(&mut form.turn, "Turn the cups with the ring");
    let new = (form.count as usize).saturating_sub(1) * view.selection.len();
    finish(ui, view, new, form.edit(view), actions)
}

fn finish(
    ui: &mut Ui,
    view: &View,
    new: usize,
    edit: Option<document::Edit>,
    actions: &mut Vec<Action>,
) -> Effect {
    let t = view.tokens;
    let most = MOST as usize;
    if new > most {
        ui.label(
            egui::RichText::new(format!(
                "{new} cups at once is more than {MOST}: use fewer rows, or repeat in steps."
            ))
            .color(t.fail),
        );
    } else {
        ui.label(egui::RichText::new(format!("{new} new cups")).color(t.second));
    }
    match buttons(ui, &["Add", "Cancel"], new > 0 && new <= most) {
        Some(0) => {
            actions.extend(edit.map(Action::Edit));
            Effect::Close
        }
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}
