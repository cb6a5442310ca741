//! Asking the desktop for a file, behind a trait so that tests can answer instead.

use document::Stamp;
use std::path::PathBuf;

/// What kind of file is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FileKind {
    /// A project, `.ron`.
    Project,
    /// DXF, SVG or PDF.
    Drawing,
    /// Pages or a picture: PDF, SVG or PNG.
    Pages,
    /// The sheet: pages, a picture, or one page to look at in a browser: PDF, SVG, PNG or HTML.
    Sheet,
    /// A table.
    Table,
    /// A drawing to write.
    Dxf,
    /// Figures as JSON.
    Json,
}

impl FileKind {
    /// What the desktop's dialog calls it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Project => "Cupwright project",
            Self::Drawing => "Drawing",
            Self::Pages => "Pages or picture",
            Self::Sheet => "Layout sheet",
            Self::Table => "Table",
            Self::Dxf => "Drawing",
            Self::Json => "Figures",
        }
    }

    /// That the ending decides what is written, where it does: ".pdf, .svg or .png".
    pub fn decides(self) -> Option<&'static str> {
        match self {
            Self::Pages => Some(".pdf, .svg or .png"),
            Self::Sheet => Some(".pdf, .html, .svg or .png"),
            _ => None,
        }
    }

    /// Without the dot.
    pub fn extensions(self) -> &'static [&'static str] {
        match self {
            Self::Project => &["ron"],
            Self::Drawing => &["dxf", "svg", "pdf", "png", "jpg", "jpeg"],
            Self::Pages => &["pdf", "svg", "png"],
            Self::Sheet => &["pdf", "html", "svg", "png"],
            Self::Table => &["csv"],
            Self::Dxf => &["dxf"],
            Self::Json => &["json"],
        }
    }
}

/// Asks for a file. `None` = the person thought better of it, or there is no dialog on this desktop.
pub trait FilePicker {
    /// A file to read.
    fn open(&mut self, kind: FileKind) -> Option<PathBuf>;
    /// A file to write.
    fn save(&mut self, kind: FileKind, suggested: &str) -> Option<PathBuf>;
}

/// The desktop's own dialogs. A desktop without a portal shows none and says nothing, which is why every place that
/// uses this also takes a typed path.
pub struct DesktopPicker;

impl FilePicker for DesktopPicker {
    fn open(&mut self, kind: FileKind) -> Option<PathBuf> {
        rfd::FileDialog::new().add_filter(kind.label(), kind.extensions()).pick_file()
    }

    fn save(&mut self, kind: FileKind, suggested: &str) -> Option<PathBuf> {
        rfd::FileDialog::new()
            .add_filter(kind.label(), kind.extensions())
            .set_file_name(suggested)
            .save_file()
    }
}

/// The file a project came from or was saved to.
#[derive(Debug, Clone)]
pub struct OpenFile {
    /// Where.
    pub path: PathBuf,
    /// Its content when last read or written here.
    pub stamp: Stamp,
}
