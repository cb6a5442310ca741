//! Asking for a path: typed, from the desktop's own dialog, or from the recent files.

use super::{Effect, PathForm, Purpose, buttons, title};
use crate::{files::FileKind, prefs::Prefs, theme::Size, view::View};
use egui::{RichText, TextEdit, Ui};
use std::path::PathBuf;

/// Dots per inch to choose from: from what a screen shows to what a printer can.
pub const RESOLUTIONS: [(f64, &str); 6] = [
    (72.0, "72 dpi"),
    (100.0, "100 dpi"),
    (150.0, "150 dpi"),
    (200.0, "200 dpi"),
    (300.0, "300 dpi"),
    (600.0, "600 dpi"),
];

/// Draws the form.
pub fn path_ui(ui: &mut Ui, view: &View, form: &mut PathForm, prefs: &Prefs) -> Effect {
    let t = view.tokens;
    title(ui, form.purpose.title());
    ui.label(RichText::new(form.purpose.hint()).color(t.second));
    let mut effect = Effect::Stay;
    let mut enter = false;
    ui.horizontal(|ui| {
        let width = ui.available_width() - 96.0;
        let edit = TextEdit::singleline(&mut form.path)
            .desired_width(width)
            .hint_text("Path of the file")
            .id(ui.scope_id().with("path"));
        let response = ui.add(edit);
        ui.ctx().accesskit_node_builder(response.id, |node| node.set_label("Path of the file"));
        if !form.focused {
            response.request_focus();
            form.focused = true;
        }
        enter = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if ui
            .add_sized([84.0, 26.0], egui::Button::new("Browse…"))
            .on_hover_text("Opens the file dialog of the desktop; where there is none, type the path")
            .clicked()
        {
            effect = Effect::Browse;
        }
    });
    let writes = if let Purpose::Write(output) = form.purpose { Some(output.kind()) } else { None };
    let choices = &mut form.choices;
    if writes == Some(FileKind::Dxf) {
        let versions =
            [(exchange::DxfVersion::R2000, "2000"), (exchange::DxfVersion::R12, "12, for old controls")];
        if let Some(v) = crate::fields::choice(ui, "dxf version", "Release", choices.dxf, &versions, "") {
            choices.dxf = v;
        }
    }
    if matches!(writes, Some(FileKind::Pages | FileKind::Sheet)) {
        let why = "Of pages and plots written as .png; .pdf and .svg are sharp at any size";
        if let Some(v) =
            crate::fields::choice(ui, "dpi", "Resolution of a .png", choices.dpi, &RESOLUTIONS, why)
        {
            choices.dpi = v;
        }
    }
    if form.purpose == Purpose::Open && !prefs.recent.is_empty() {
        ui.add_space(6.0);
        ui.label(RichText::new("Recent").font(Size::Heading.strong()));
        for path in &prefs.recent {
            if ui.link(path.display().to_string()).clicked() {
                effect = Effect::Path(path.clone());
            }
        }
    }
    let ready = !form.path.trim().is_empty();
    match buttons(ui, &[form.purpose.verb(), "Cancel"], ready) {
        Some(0) => effect = Effect::Path(PathBuf::from(form.path.trim())),
        Some(_) => effect = Effect::Close,
        None => {}
    }
    if enter && ready {
        effect = Effect::Path(PathBuf::from(form.path.trim()));
    }
    effect
}
