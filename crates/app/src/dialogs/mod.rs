//! Dialogs: one at a time, over a dimmed plan; Escape leaves, Enter does what the first button says.

mod arrays;
mod choose;
mod import;
mod import_options;
mod left;
mod library;
mod merge;
mod paths;
mod preview;
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
pub use import::ImportForm;
pub use library::LibraryForm;
pub use merge::MergeForm;
pub use paths::{PathForm, Purpose};
pub use preview::PreviewForm;
pub use review::{AnswerForm, DecideForm, IssueForm, RemarkForm, place_called};
pub use sources::SourcesForm;
pub use trial::TrialForm;
pub use waiting::{Then, WaitForm};

use crate::{
    command::Command,
    files::FileKind,
    outputs::Output,
    prefs::Prefs,
    recovery::Offers,
    view::{Action, View},
};
use analysis::Finding;
use egui::{Context, Id, Modal, RichText, Ui};
use exchange::Drawing;
use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

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
    /// The sheet before it is written.
    Preview(Box<PreviewForm>),
    /// Which plot to write as a picture.
    Plots,
    /// Import of a drawing.
    Import(Box<ImportForm>),
    /// Something that is read or worked out beside the window.
    Waiting(WaitForm),
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
    /// Not a dialog: does this as soon as it is put up.
    Go(Pending),
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
    Then(Box<Dialog>),
}

impl Dialog {
    /// A thing to read.
    pub fn message(title: &str, text: &str) -> Self {
        Self::Message { title: title.to_owned(), text: text.to_owned() }
    }

    /// Asks which project to open.
    pub fn open() -> Self {
        Self::Path(PathForm::new(paths::Purpose::Open, String::new()))
    }

    /// Asks where to save.
    pub fn save_as(suggested: String) -> Self {
        Self::Path(PathForm::new(paths::Purpose::Save, suggested))
    }

    /// Asks which drawing to import.
    pub fn ask_import() -> Self {
        Self::Path(PathForm::new(paths::Purpose::Import, String::new()))
    }

    /// Asks where to write this output.
    pub fn write(output: Output, suggested: String) -> Self {
        Self::Path(PathForm::new(Purpose::Write(output), suggested))
    }

    /// Asks for a table of cup models.
    pub fn models() -> Self {
        Self::Path(PathForm::new(paths::Purpose::Models, String::new()))
    }

    /// Import of this drawing.
    pub fn import(path: PathBuf) -> Self {
        Self::Import(Box::new(ImportForm::new(path)))
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
    if let Dialog::Go(pending) = dialog {
        return Effect::Guarded(pending.clone());
    }
    let width = match dialog {
        Dialog::Import(_) | Dialog::Library(_) | Dialog::Merge(_) => 760.0f32,
        Dialog::Sources(_) => 820.0,
        Dialog::Preview(_) => 1180.0,
        Dialog::About | Dialog::Palette { .. } | Dialog::ChangedOutside | Dialog::Recover(_) => 560.0,
        _ => 460.0,
    };
    let room = ctx.content_rect().size();
    // Each kind keeps its own size.
    let purpose = if let Dialog::Path(form) = dialog { Some(form.purpose) } else { None };
    let id = Id::unique(("dialog", std::mem::discriminant(dialog), purpose));
    let area = Modal::default_area(id).default_size(room - egui::vec2(64.0, 48.0));
    let frame = egui::Frame::popup(&ctx.global_style()).inner_margin(20.0);
    let modal = Modal::new(id).area(area).frame(frame).show(ctx, |ui| {
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
        Dialog::Path(form) => paths::path_ui(ui, view, form, prefs),
        Dialog::Preview(form) => preview::preview_ui(ui, view, form),
        Dialog::Plots => texts::plots_ui(ui, actions),
        Dialog::Import(form) => import::import_ui(ui, view, form),
        Dialog::Waiting(form) => waiting::waiting_ui(ui, form),
        Dialog::Library(form) => library::library_ui(ui, view, form, actions),
        Dialog::Sources(form) => sources::sources_ui(ui, view, form, actions),
        Dialog::Rows(form) => arrays::rows_ui(ui, view, form, actions),
        Dialog::Ring(form) => arrays::ring_ui(ui, view, form, actions),
        Dialog::Units => settings::units_ui(ui, view, actions),
        Dialog::Sheet => settings::sheet_ui(ui, view, actions),
        Dialog::Rules => settings::rules_ui(ui, view, actions),
        Dialog::Palette { query, at } => choose::palette_ui(ui, query, at, actions),
        Dialog::About => texts::about_ui(ui),
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
        Dialog::Go(_) => Effect::Close,
    }
}

/// Offers the library of the project as a table.
fn as_table_ui(ui: &mut Ui, any: bool, output: Output, actions: &mut Vec<Action>) {
    let button = ui.add_enabled(any, egui::Button::new("As a table…"));
    if button.on_hover_text(units::capital(output.holds())).clicked() {
        actions.push(Action::Run(Command::Write(output)));
    }
}

/// Title of a dialog.
pub(crate) fn title(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(crate::theme::Size::Verdict.strong()));
    ui.add_space(6.0);
}

/// Height of the row of buttons with the air above it.
const FOOTER: f32 = 40.0;

/// The buttons of the dialog that is open: they stand below what may scroll, so that they are always in sight. What was clicked
/// is told to the dialog in the frame after.
#[derive(Debug, Clone, Default)]
struct Footer {
    of: Option<Id>,
    labels: Vec<String>,
    enabled: bool,
    clicked: Option<usize>,
}

impl Footer {
    fn change<R>(ctx: &Context, change: impl FnOnce(&mut Self) -> R) -> R {
        ctx.data_mut(|data| change(data.get_temp_mut_or_default(Id::unique("buttons of the dialog"))))
    }

    /// Before a dialog is drawn: a click on another one is none on this one.
    fn begin(ctx: &Context, of: Id) {
        Self::change(ctx, |footer| {
            if footer.of.replace(of) != Some(of) {
                footer.clicked = None;
            }
            footer.labels.clear();
        });
    }

    /// After it: draws the buttons that it asked for.
    fn show(ui: &mut Ui) {
        let Self { labels, enabled, .. } = Self::change(ui.ctx(), |footer| footer.clone());
        if labels.is_empty() {
            return;
        }
        ui.add_space(8.0);
        let (size, layout) =
            (egui::vec2(ui.available_width(), 28.0), egui::Layout::right_to_left(egui::Align::Center));
        ui.allocate_ui_with_layout(size, layout, |ui| {
            for (i, label) in labels.iter().enumerate().rev() {
                let t = crate::theme::Tokens::of(ui);
                let button = if i == 0 {
                    egui::Button::new(RichText::new(label).color(t.ground)).fill(t.working)
                } else {
                    egui::Button::new(label)
                };
                if ui.add_enabled(enabled || i > 0, button.min_size(egui::vec2(88.0, 28.0))).clicked() {
                    Self::change(ui.ctx(), |footer| footer.clicked = Some(i));
                    ui.ctx().request_repaint();
                }
            }
        });
    }
}

/// Buttons at the lower right, the first is what Enter does; gives which was clicked.
pub(crate) fn buttons(ui: &mut Ui, labels: &[&str], enabled: bool) -> Option<usize> {
    let mut clicked = Footer::change(ui.ctx(), |footer| {
        footer.labels = labels.iter().map(|label| (*label).to_owned()).collect();
        footer.enabled = enabled;
        footer.clicked.take()
    });
    if clicked.is_none()
        && enabled
        && ui.input(|i| i.key_pressed(egui::Key::Enter))
        && !ui.ctx().text_edit_focused()
    {
        clicked = Some(0);
    }
    clicked
}
