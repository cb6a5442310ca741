//! What a path is asked for.

use crate::{
    files::FileKind,
    outputs::{Choices, Output},
};
use std::path::PathBuf;

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

    pub(super) fn title(self) -> &'static str {
        match self {
            Self::Open => "Open a project",
            Self::Save => "Save the project",
            Self::Import => "Import a drawing",
            Self::Write(output) => output.title(),
            Self::Models => "Cup models from a table",
            Self::Curve => "A recorded curve from a table",
            Self::Sources => "Sources from a table",
            Self::Review => "Review a file",
            Self::Beside => "Compare with another file",
        }
    }

    pub(super) fn verb(self) -> &'static str {
        match self {
            Self::Open | Self::Review => "Open",
            Self::Beside => "Compare",
            Self::Save => "Save",
            Self::Write(_) => "Write",
            Self::Import | Self::Models | Self::Curve | Self::Sources => "Read",
        }
    }

    pub(super) fn hint(self) -> String {
        let hint = match self {
            Self::Write(output) => {
                let decides = match output.kind().decides() {
                    Some(endings) => format!("The file name extension decides: {endings}. "),
                    None => String::new(),
                };
                return format!("{decides}{}.", units::capital(output.holds()));
            }
            Self::Open => "A project is one .ron file. A drawing dropped on the window is imported.",
            Self::Review => {
                "It is shown beside its last revision. Remarks, decisions and ticks go into it when you \
                save; nothing else can be changed until you choose to edit it."
            }
            Self::Beside => {
                "An earlier file of the same project: changes are matched by the ids of cups, motions and parts."
            }
            Self::Save => "One .ron file; the previous version is kept beside it as .previous.",
            Self::Import => {
                "DXF (text or binary), SVG, or a PDF printed from a drawing program. What is repaired or skipped is listed before anything changes. A PNG, a JPEG or a scanned page can be laid under the plan and traced."
            }
            Self::Models => {
                "CSV with a header row; units may be in the header. Good rows are read, bad ones listed; \
                spaces around a cell are ignored."
            }
            Self::Curve => {
                "CSV or text: time and level, one point per line; a first line may name the units."
            }
            Self::Sources => {
                "CSV with a header row, one curve point per row. Good sources are read, bad rows listed; \
                spaces around a cell are ignored."
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
    /// Where the desktop's own dialog asked about replacing.
    pub agreed: Option<PathBuf>,
    /// Whether the field was given the keyboard.
    pub(super) focused: bool,
}

impl PathForm {
    /// With a suggestion.
    pub fn new(purpose: Purpose, path: String) -> Self {
        Self { purpose, path, choices: Choices::default(), agreed: None, focused: false }
    }
}
