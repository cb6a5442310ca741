//! What dialogs ask for, beyond actions on the document.

use super::purpose::PathForm;
use exchange::Drawing;
use std::{path::PathBuf, sync::Arc};

/// What waits until the unsaved question is answered.
#[derive(Debug, Clone)]
pub enum Pending {
    /// Open this file.
    Open(PathBuf),
    /// Ask which file to open.
    AskOpen,
    /// Open a demo by position.
    Demo(usize),
    /// A new project.
    New,
    /// A new project from these parts of a drawing, under this name.
    Take(Arc<Drawing>, Vec<usize>, String),
    /// Review this file.
    Review(PathBuf),
    /// Offer what earlier runs left.
    Recover,
    /// Leave.
    Quit,
}

/// What a dialog asks the program to do, beyond actions on the document.
#[derive(Debug, Clone)]
pub enum Effect {
    /// Keep the dialog up.
    Stay,
    /// Put it away.
    Close,
    /// Ask the desktop for a path for the dialog that is up.
    Browse,
    /// Go on with the path typed.
    Path(PathBuf),
    /// Do this, asking about unsaved changes first.
    Guarded(Pending),
    /// Do this now.
    Proceed(Pending),
    /// Save, then do this.
    SaveThen(Pending),
    /// Save over what someone else wrote.
    Overwrite(PathBuf),
    /// Write over the file that is there.
    Replace,
    /// Apply this edit, its report worked out beside the window.
    Aside(Box<document::Edit>),
    /// Lay a page of this file under the plan, to trace it.
    Trace(PathBuf, usize),
    /// Go on with what was waited for.
    Waited,
    /// Load the file as it is on disk.
    Reload,
    /// Show what someone else changed.
    LookAtTheirs,
    /// Put both sets of changes together.
    MergeTheirs,
    /// Take up the merged project with these choices.
    Merged(Vec<document::Choice>),
    /// Take up what was recovered, by its place in the list.
    Recover(usize),
    /// Throw what was recovered away, by its place in the list.
    DiscardRecovered(usize),
    /// Write the file that is gone again.
    SaveAgain,
    /// Put up another dialog.
    Then(Next),
}

/// The dialog that comes after one.
#[derive(Debug, Clone)]
pub enum Next {
    /// Asks for a path.
    Path(Box<PathForm>),
    /// Asks for the table of a recorded curve, and goes back to the measurements.
    Curve,
    /// Which plot to write as a picture.
    Plots,
    /// Title block.
    TitleBlock,
}

impl Next {
    /// Asks for a path for this.
    pub fn path(form: PathForm) -> Self {
        Self::Path(Box::new(form))
    }
}
