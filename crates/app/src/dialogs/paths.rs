//! Asking for a path: typed, from the desktop's own dialog, or from the recent files.

use super::{Effect, buttons, title};
use crate::{
    files::FileKind,
    outputs::{Choices, Output},
    prefs::Prefs,
    theme::Size,
    view::View,
};
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

/// What the path is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// A project to open.
    Open,
    /// Where to save the project.
    Save,
    /// A drawing to import.
    Import,
    /// Where to write one of the outputs.
    Write(Output),
    /// A table of cup models to read.
    Models,
    /// A recorded curve of a trial to read.
    Curve,
    /// A table of sources to read.
    Sources,
    /// A project to review.
    Review,
    /// A project to set beside the one open.
    Beside,
}

impl Purpose {
    /// What kind of file.
    pub fn kind(self) -> FileKind {
        match self {
            Self::Open | Self::Save | Self::Review | Self::Beside => FileKind::Project,
            Self::Import => FileKind::Drawing,
            Self::Write(output) => output.kind(),
            Self::Models | Self::Curve | Self::Sources => FileKind::Table,
        }
    }

    /// Whether a file is written.
    pub fn writes(self) -> bool {
        matches!(self, Self::Save | Self::Write(_))
    }

    fn title(self) -> &'static str {
        match self {
            Self::Open => "Open a project",
            Self::Save => "Save the project",
            Self::Import => "Import a drawing",
            Self::Write(output) => output.title(),
            Self::Models => "Cup models from a table",
            Self::Curve => "A recorded curve from a table",
            Self::Sources => "Sources from a table",
            Self::Review => "Review a file",
            Self::Beside => "Set beside another file",
        }
    }

    fn verb(self) -> &'static str {
        match self {
            Self::Open | Self::Review => "Open",
            Self::Beside => "Set beside",
            Self::Save => "Save",
            Self::Write(_) => "Write",
            Self::Import | Self::Models | Self::Curve | Self::Sources => "Read",
        }
    }

    fn hint(self) -> String {
        let hint = match self {
            Self::Write(output) => {
                let decides = match output.kind() {
                    FileKind::Pages => "The ending decides: .pdf, .svg or .png. ",
                    _ => "",
                };
                return format!("{decides}{}.", units::capital(output.holds()));
            }
            Self::Open => "A project is one .ron file. A drawing dropped on the window is imported.",
            Self::Review => {
                "It is shown beside its last revision. Remarks, decisions and ticks go into it when it is saved; nothing else of it can be changed until you choose to."
            }
            Self::Beside => {
                "An earlier file of the same project: what changed is found by the ids of cups, motions and parts."
            }
            Self::Save => "One .ron file; the version before is kept beside it as .previous.",
            Self::Import => {
                "DXF (text or binary) or SVG. What is mended or skipped is listed before anything changes."
            }
            Self::Models => {
                "CSV with a header row; units may stand in the header. Good rows are taken, bad ones listed; blanks around a cell count for nothing."
            }
            Self::Curve => "CSV or text: time and level, one point a line; a first line may name the units.",
            Self::Sources => {
                "CSV with a header row, one point of a curve a row. Good sources are taken, bad rows listed; blanks around a cell count for nothing."
            }
        };
        hint.to_owned()
    }
}

/// The path as typed so far.
#[derive(Debug, Clone)]
pub struct PathForm {
    /// What for.
    pub purpose: Purpose,
    /// As typed.
    pub path: String,
    /// Of what is written.
    pub choices: Choices,
    /// Measurements that go on once a curve is read.
    pub trial: Option<Box<super::TrialForm>>,
    /// Where the desktop's own dialog asked about replacing.
    pub agreed: Option<PathBuf>,
    focused: bool,
}

impl PathForm {
    /// With a suggestion.
    pub fn new(purpose: Purpose, path: String) -> Self {
        Self { purpose, path, choices: Choices::default(), trial: None, agreed: None, focused: false }
    }
}

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
            .on_hover_text("The desktop's own dialog; some desktops have none, then type the path")
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
    if writes == Some(FileKind::Pages) {
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
