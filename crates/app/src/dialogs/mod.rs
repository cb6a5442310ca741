//! Dialogs: one at a time, over a dimmed plan; Escape closes an open list and then the dialog, Enter does what the first button says.

mod arrays;
mod choice_head;
mod choice_list;
mod choose;
mod effect;
mod holes;
mod import;
mod import_keys;
mod import_messages;
mod import_options;
mod import_picture;
mod keys;
mod left;
mod library;
mod merge;
mod parts;
mod paths;
mod preview;
mod purpose;
mod reading;
mod review;
mod settings;
mod source_form;
mod sources;
mod texts;
mod trial;
mod trial_curves;
mod waiting;

pub use arrays::{RingForm, RowsForm};
pub use effect::{Effect, Next, Pending};
pub use import::ImportForm;
pub use library::LibraryForm;
pub use merge::MergeForm;
pub use preview::PreviewForm;
pub use purpose::{PathForm, Purpose};
pub use review::{AnswerForm, DecideForm, IssueForm, RemarkForm, place_called};
pub use sources::SourcesForm;
pub use trial::TrialForm;
pub use waiting::{Outcome, WaitForm};

use parts::{FOOTER, Footer};
pub(super) use parts::{as_table_ui, buttons, title};

use crate::{
    files::FileKind,
    offers::Offers,
    outputs::{NewFiles, Output},
    prefs::Prefs,
    view::{Action, View},
};
use analysis::Finding;
use egui::{Context, Id, Modal, Ui};
use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

/// The open dialog and its drafts.
#[derive(Debug, Clone)]
pub enum Dialog {
    /// A thing to read.
    Message {
        /// What happened.
        title: String,
        /// What, where, what to do.
        text: String,
    },
    /// Asks for a path to open, save or write.
    Path(PathForm),
    /// Asks for the table of a recorded curve, for these measurements.
    Curve(PathForm, Box<TrialForm>),
    /// The sheet before it is written.
    Preview(Box<PreviewForm>),
    /// Which plot to write as a picture.
    Plots,
    /// Import of a drawing.
    Import(Box<ImportForm>),
    /// Something that is read or worked out beside the window, and the dialog it stands before.
    Waiting(WaitForm, Option<Box<Dialog>>),
    /// Cup models.
    Library(Box<LibraryForm>),
    /// What makes the vacuum.
    Sources(Box<SourcesForm>),
    /// Rows and columns.
    Rows(RowsForm),
    /// Ring.
    Ring(RingForm),
    /// Units.
    Units,
    /// Step of the grid.
    GridStep,
    /// Holes from a table, as pasted so far.
    Holes(String),
    /// Title block.
    Sheet,
    /// Limits of the findings.
    Rules,
    /// Find a command.
    Palette {
        /// What was typed.
        query: String,
        /// Marked row.
        at: usize,
    },
    /// About and cautions.
    About,
    /// Shortcuts and what the mouse does.
    Keys,
    /// What the status line said, with when.
    Messages(Vec<(String, String)>),
    /// Demos.
    Demos,
    /// Unsaved changes.
    Unsaved {
        /// What comes next.
        then: Pending,
    },
    /// Someone else changed the file that is about to be written.
    Overwrite {
        /// Where.
        path: PathBuf,
        /// What was found.
        says: String,
    },
    /// A file of that name is there already.
    Replace {
        /// What was asked for.
        form: PathForm,
        /// Where.
        path: PathBuf,
        /// What would be replaced.
        says: String,
        /// What was made of an output, to take its place.
        files: Option<Arc<[NewFiles]>>,
    },
    /// Someone else changed the open file.
    ChangedOutside,
    /// The open file is not there any more.
    FileGone,
    /// Killed runs left work behind.
    Recover(Box<Offers>),
    /// Accept a finding with a reason.
    Accept {
        /// Which.
        finding: Box<Finding>,
        /// Why.
        reason: String,
        /// Who.
        by: String,
    },
    /// What was measured.
    Trial(Box<TrialForm>),
    /// Another name for a layout.
    RenameLayout {
        /// Which.
        id: document::LayoutId,
        /// As typed so far.
        name: String,
    },
    /// Both sets of changes, and choices where they touch the same thing.
    Merge(Box<MergeForm>),
    /// A remark of a review.
    Remark(RemarkForm),
    /// An answer to a remark, or its settling.
    Answer(AnswerForm),
    /// Accept or send back.
    Decide(DecideForm),
    /// Issue a revision.
    Issue(IssueForm),
}

impl Dialog {
    /// A thing to read.
    pub fn message(title: &str, text: &str) -> Self {
        Self::Message { title: title.to_owned(), text: text.to_owned() }
    }

    /// Asks which project to open.
    pub fn open() -> Self {
        Self::Path(PathForm::new(Purpose::Open, String::new()))
    }

    /// Asks where to save.
    pub fn save_as(suggested: String) -> Self {
        Self::Path(PathForm::new(Purpose::Save, suggested))
    }

    /// Asks which drawing to import.
    pub fn ask_import() -> Self {
        Self::Path(PathForm::new(Purpose::Import, String::new()))
    }

    /// Asks where to write this output.
    pub fn write(output: Output, suggested: String) -> Self {
        Self::Path(PathForm::new(Purpose::Write(output), suggested))
    }

    /// Import of this drawing.
    pub fn import(path: PathBuf) -> Self {
        Self::Import(Box::new(ImportForm::new(path)))
    }

    /// Cups that it would add, to be shown on the plan beside it.
    pub fn preview(&self, view: &View) -> Vec<document::Cup> {
        let edit = match self {
            Self::Rows(form) => form.edit(view),
            Self::Ring(form) => form.edit(view),
            _ => None,
        };
        edit.map_or_else(Vec::new, |edit| crate::arrange::would_stand(view, &edit))
    }

    /// Whether a path is called like a drawing.
    pub fn is_drawing(path: &Path) -> bool {
        path.extension()
            .is_some_and(|e| FileKind::Drawing.extensions().iter().any(|d| e.eq_ignore_ascii_case(d)))
    }
}

/// Draws the dialog and gives what it asks for.
pub fn dialog_ui(
    ctx: &Context,
    view: &View,
    dialog: &mut Dialog,
    prefs: &Prefs,
    actions: &mut Vec<Action>,
) -> Effect {
    let width = match dialog {
        Dialog::Import(_) => 1160.0f32,
        Dialog::Library(_) | Dialog::Sources(_) => 1100.0,
        Dialog::Merge(_) => 760.0,
        Dialog::Keys => 820.0,
        Dialog::Preview(_) => 1180.0,
        Dialog::About
        | Dialog::Messages(_)
        | Dialog::Palette { .. }
        | Dialog::ChangedOutside
        | Dialog::Recover(_) => 560.0,
        Dialog::Rows(_) | Dialog::Ring(_) => 300.0,
        _ => 460.0,
    };
    let room = ctx.content_rect().size();
    // Each kind keeps its own size.
    let purpose = match dialog {
        Dialog::Path(form) | Dialog::Curve(form, _) => Some(form.purpose),
        _ => None,
    };
    let id = Id::unique(("dialog", std::mem::discriminant(dialog), purpose));
    let area = Modal::default_area(id).default_size(room - egui::vec2(64.0, 48.0));
    let frame = egui::Frame::popup(&ctx.global_style()).inner_margin(20.0);
    let mut modal = Modal::new(id).frame(frame);
    // What is repeated is seen on the plan: it is not dimmed, and the dialog stands beside it.
    if matches!(dialog, Dialog::Rows(_) | Dialog::Ring(_)) {
        modal = modal
            .area(area.anchor(egui::Align2::RIGHT_TOP, [-16.0, 168.0]))
            .backdrop_color(egui::Color32::TRANSPARENT);
    } else {
        modal = modal.area(area);
    }
    // A list that is open in it is closed first.
    let list_open = egui::Popup::is_any_open(ctx);
    let modal = modal.show(ctx, |ui| {
        ui.set_width(width.min(room.x - 64.0));
        // Last frame's size is no bound: a form may grow by a line.
        ui.set_max_height(room.y - 64.0);
        ui.spacing_mut().item_spacing.y = 6.0;
        Footer::begin(ctx, id);
        let effect = egui::ScrollArea::vertical()
            .max_height(room.y - 110.0 - FOOTER)
            .auto_shrink([false, true])
            .show(ui, |ui| contents_ui(ui, view, dialog, prefs, actions))
            .inner;
        Footer::show(ui);
        effect
    });
    // A click beside a dialog with drafts must not lose them; Escape is meant.
    let escape = ctx.input(|i| i.key_pressed(egui::Key::Escape))
        && !list_open
        && !ctx.text_edit_focused()
        && !crate::fields::held(ctx);
    match modal.inner {
        Effect::Stay if escape => Effect::Close,
        effect => effect,
    }
}

fn contents_ui(
    ui: &mut Ui,
    view: &View,
    dialog: &mut Dialog,
    prefs: &Prefs,
    actions: &mut Vec<Action>,
) -> Effect {
    match dialog {
        Dialog::Message { title, text } => texts::message_ui(ui, title, text),
        Dialog::Path(form) | Dialog::Curve(form, _) => paths::path_ui(ui, view, form, prefs),
        Dialog::Preview(form) => preview::preview_ui(ui, view, form),
        Dialog::Plots => texts::plots_ui(ui, actions),
        Dialog::Import(form) => import::import_ui(ui, view, form),
        Dialog::Waiting(form, _) => waiting::waiting_ui(ui, form),
        Dialog::Library(form) => library::library_ui(ui, view, form, actions),
        Dialog::Sources(form) => sources::sources_ui(ui, view, form, actions),
        Dialog::Rows(form) => arrays::rows_ui(ui, view, form, actions),
        Dialog::Ring(form) => arrays::ring_ui(ui, view, form, actions),
        Dialog::Units => settings::units_ui(ui, view, actions),
        Dialog::GridStep => settings::grid_step_ui(ui, view, actions),
        Dialog::Holes(text) => holes::holes_ui(ui, view, text, actions),
        Dialog::Sheet => settings::sheet_ui(ui, view, actions),
        Dialog::Rules => settings::rules_ui(ui, view, actions),
        Dialog::Palette { query, at } => choose::palette_ui(ui, query, at, actions),
        Dialog::About => texts::about_ui(ui),
        Dialog::Keys => keys::keys_ui(ui, view, actions),
        Dialog::Messages(said) => texts::messages_ui(ui, said),
        Dialog::Demos => choose::demos_ui(ui),
        Dialog::Unsaved { then } => choose::unsaved_ui(ui, view, then),
        Dialog::Overwrite { path, says } => choose::overwrite_ui(ui, path, says),
        Dialog::Replace { says, .. } => choose::replace_ui(ui, says),
        Dialog::ChangedOutside => choose::changed_ui(ui, view, actions),
        Dialog::FileGone => choose::gone_ui(ui, view, actions),
        Dialog::Recover(offers) => left::left_ui(ui, view, offers),
        Dialog::Accept { finding, reason, by } => choose::accept_ui(ui, view, finding, reason, by, actions),
        Dialog::RenameLayout { id, name } => choose::rename_layout_ui(ui, *id, name, actions),
        Dialog::Trial(form) => trial::trial_ui(ui, view, form, actions),
        Dialog::Merge(form) => merge::merge_ui(ui, view, form),
        Dialog::Remark(form) => review::remark_ui(ui, view, form, actions),
        Dialog::Answer(form) => review::answer_ui(ui, view, form, actions),
        Dialog::Decide(form) => review::decide_ui(ui, view, form, actions),
        Dialog::Issue(form) => review::issue_ui(ui, view, form, actions),
    }
}
