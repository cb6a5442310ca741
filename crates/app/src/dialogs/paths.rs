//! Asking for a path: typed, from the desktop's own dialog, or from the recent files.

use super::{Effect, buttons, title};
use crate::{files::FileKind, prefs::Prefs, theme::Size, view::View};
use egui::{RichText, TextEdit, Ui};
use sheet::SheetOptions;
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
/// What is taken until a person chooses.
pub const USUAL_DPI: f64 = 150.0;

/// What the path is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// A project to open.
    Open,
    /// Where to save the project.
    Save,
    /// A drawing to import.
    Import,
    /// Where to write the sheet.
    Sheet,
    /// Where to write the hole table.
    Table,
    /// Where to write the envelope as a picture.
    Envelope,
    /// Where to write the loads of the motion shown as a picture.
    Loads,
    /// Where to write the source curves of the circuits as pictures.
    SourceCurves,
    /// Where to write how the level comes at the cups as pictures.
    Evacuation,
    /// Where to write the parts list.
    Parts,
    /// Where to write the hose schedule.
    Hoses,
    /// Where to write the findings.
    Findings,
    /// Where to write the drawing of the layout.
    Dxf,
    /// A table of cup models to read.
    Models,
    /// A recorded curve of a trial to read.
    Curve,
    /// A table of sources to read.
    Sources,
    /// Where to write a table of sources.
    SourceTable,
    /// Where to write the pages of what changed.
    Changes,
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
            Self::Sheet
            | Self::Changes
            | Self::Envelope
            | Self::Loads
            | Self::SourceCurves
            | Self::Evacuation => FileKind::Sheet,
            Self::Table
            | Self::Parts
            | Self::Hoses
            | Self::Findings
            | Self::Models
            | Self::Curve
            | Self::Sources
            | Self::SourceTable => FileKind::Table,
            Self::Dxf => FileKind::Dxf,
        }
    }

    /// Whether a file is written.
    pub fn writes(self) -> bool {
        !matches!(
            self,
            Self::Open
                | Self::Import
                | Self::Models
                | Self::Curve
                | Self::Sources
                | Self::Review
                | Self::Beside
        )
    }

    fn title(self) -> &'static str {
        match self {
            Self::Open => "Open a project",
            Self::Save => "Save the project",
            Self::Import => "Import a drawing",
            Self::Sheet => "Layout sheet",
            Self::Table => "Hole table",
            Self::Envelope => "Envelope as a picture",
            Self::Loads => "Loads of the motion as a picture",
            Self::SourceCurves => "Source against leak as a picture",
            Self::Evacuation => "Level at the cups as a picture",
            Self::Parts => "Parts list",
            Self::Hoses => "Hose schedule",
            Self::Findings => "Findings as a table",
            Self::Dxf => "Drawing of the layout",
            Self::Models => "Cup models from a table",
            Self::Curve => "A recorded curve from a table",
            Self::Sources => "Sources from a table",
            Self::SourceTable => "Sources as a table",
            Self::Changes => "What changed, as pages",
            Self::Review => "Review a file",
            Self::Beside => "Set beside another file",
        }
    }

    fn verb(self) -> &'static str {
        match self {
            Self::Open | Self::Review => "Open",
            Self::Beside => "Set beside",
            Self::Save => "Save",
            Self::Import => "Read",
            Self::Sheet
            | Self::Table
            | Self::Parts
            | Self::Hoses
            | Self::Findings
            | Self::Dxf
            | Self::Envelope
            | Self::Loads
            | Self::SourceCurves
            | Self::Evacuation
            | Self::Changes
            | Self::SourceTable => "Write",
            Self::Models | Self::Curve | Self::Sources => "Read",
        }
    }

    fn hint(self) -> &'static str {
        match self {
            Self::Open => "A project is one .ron file. A drawing dropped on the window is imported.",
            Self::Changes => {
                "The ending decides: .pdf, .svg or .png. Plans with what moved, figures and findings before and after."
            }
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
            Self::Sheet => "The ending decides: .pdf, .svg or .png. The sheet shows the layout as it is now.",
            Self::Envelope => {
                "The ending decides: .svg, .png or .pdf. With a comparison on screen both envelopes are drawn."
            }
            Self::Loads => "The ending decides: .svg, .png or .pdf. The motion is the one shown on the plan.",
            Self::SourceCurves | Self::Evacuation => {
                "The ending decides: .svg, .png or .pdf. Further circuits get a file each, with a number."
            }
            Self::Parts => "Cups by generic specification, frame with cut lengths, fittings, spares.",
            Self::Hoses => "Bore, cut length and fittings of every hose of the circuits that are worked out.",
            Self::Findings => {
                "One row a finding: what, where, figure, limit, remedy, reason where it is accepted."
            }
            Self::Dxf => {
                "DXF in millimetres, seen from the robot side: part, holes, keep-outs, lips, bores, centres, zones and frame on layers of their own."
            }
            Self::Table => "One row a cup, millimetres from the datum, decimal point.",
            Self::Models => {
                "CSV with a header row; units may stand in the header. Good rows are taken, bad ones listed; blanks around a cell count for nothing."
            }
            Self::Curve => "CSV or text: time and level, one point a line; a first line may name the units.",
            Self::Sources => {
                "CSV with a header row, one point of a curve a row. Good sources are taken, bad rows listed; blanks around a cell count for nothing."
            }
            Self::SourceTable => "One point of a curve a row, every source of the project.",
        }
    }
}

/// The path as typed so far.
#[derive(Debug, Clone)]
pub struct PathForm {
    /// What for.
    pub purpose: Purpose,
    /// As typed.
    pub path: String,
    /// Paper, side and units of the sheet.
    pub sheet: SheetOptions,
    /// Release of a DXF drawing.
    pub dxf: exchange::DxfVersion,
    /// Whether the comparison on screen goes with the sheet.
    pub comparison: bool,
    /// Dots per inch of a PNG.
    pub dpi: f64,
    /// Measurements that go on once a curve is read.
    pub trial: Option<Box<super::TrialForm>>,
    /// Where the desktop's own dialog asked about replacing.
    pub agreed: Option<PathBuf>,
    focused: bool,
}

impl PathForm {
    /// With a suggestion.
    pub fn new(purpose: Purpose, path: String) -> Self {
        Self {
            purpose,
            path,
            sheet: SheetOptions::default(),
            dxf: exchange::DxfVersion::default(),
            comparison: false,
            dpi: USUAL_DPI,
            trial: None,
            agreed: None,
            focused: false,
        }
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
    if form.purpose == Purpose::Dxf {
        let versions =
            [(exchange::DxfVersion::R2000, "2000"), (exchange::DxfVersion::R12, "12, for old controls")];
        if let Some(v) = crate::fields::choice(ui, "dxf version", "Release", form.dxf, &versions, "") {
            form.dxf = v;
        }
    }
    if form.purpose.kind() == FileKind::Sheet {
        let why = "Of pages and plots written as .png; .pdf and .svg are sharp at any size";
        if let Some(v) = crate::fields::choice(ui, "dpi", "Resolution of a .png", form.dpi, &RESOLUTIONS, why)
        {
            form.dpi = v;
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
