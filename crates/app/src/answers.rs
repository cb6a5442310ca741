//! Carrying out what dialogs ask for.

use crate::{
    app::Cupwright,
    dialogs::{Dialog, Effect, Next, PathForm, Purpose},
};
use std::path::Path;

impl Cupwright {
    /// Carries out what a dialog asked for; gives the dialog that stays up.
    pub(crate) fn carry_out(&mut self, effect: Effect, dialog: Dialog) -> Option<Dialog> {
        match effect {
            Effect::Stay => return Some(dialog),
            Effect::Close => {
                if let Dialog::Waiting(_, behind) = dialog {
                    return behind.map(|behind| *behind);
                }
            }
            Effect::Then(next) => return Some(after(dialog, next)),
            Effect::Browse => return Some(self.browse(dialog)),
            Effect::Path(path) => match dialog {
                Dialog::Path(form) => {
                    if let Some(asks) = self.go_on(form, &path) {
                        return Some(asks);
                    }
                }
                Dialog::Curve(_, trial) => self.read_curve(trial, &path),
                _ => {}
            },
            Effect::Guarded(pending) => self.guarded(pending),
            Effect::Proceed(pending) => self.proceed(pending),
            // Where it has no file yet a path is asked for first; what waits is done once it is written.
            Effect::SaveThen(pending) => {
                self.after_saving = Some(pending);
                self.save();
            }
            Effect::Overwrite(path) => {
                self.save_to(&path, true);
            }
            Effect::Replace => match dialog {
                Dialog::Replace { files: Some(files), path, .. } => self.put(&files, &path),
                Dialog::Replace { form, path, .. } => self.with_path(&form, &path),
                _ => {}
            },
            Effect::LookAtTheirs => self.look_at_theirs(),
            Effect::MergeTheirs => self.merge_theirs(),
            Effect::Merged(choices) => {
                if let Dialog::Merge(form) = dialog {
                    self.merge_settled(&form, &choices);
                }
            }
            Effect::Aside(edit) => self.apply_aside(*edit),
            Effect::Trace(path, page) => self.lay_under(&path, page),
            Effect::Waited => {
                if let Dialog::Waiting(form, behind) = dialog {
                    self.waited(&form);
                    self.dialog = self.dialog.take().or(behind.map(|behind| *behind));
                }
            }
            Effect::Reload => {
                if let Some(path) = self.file.as_ref().map(|f| f.path.clone()) {
                    self.open_any(&path);
                }
            }
            // Of the offer that stands before all dialogs.
            Effect::Recover(_) | Effect::DiscardRecovered(_) => {}
            Effect::SaveAgain => {
                self.save();
            }
        }
        // What was carried out may have put up its own dialog.
        self.dialog.take()
    }

    fn browse(&mut self, mut dialog: Dialog) -> Dialog {
        if let Dialog::Path(form) | Dialog::Curve(form, _) = &mut dialog {
            let (kind, writes) = (form.purpose.kind(), form.purpose.writes());
            let name = Path::new(&form.path).file_name();
            let suggested = name.map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
            let picked = if writes { self.picker.save(kind, &suggested) } else { self.picker.open(kind) };
            if let Some(path) = picked {
                form.agreed = writes.then(|| path.clone());
                form.path = path.display().to_string();
            }
        }
        dialog
    }
}

/// The dialog that comes after this one.
fn after(dialog: Dialog, next: Next) -> Dialog {
    match (next, dialog) {
        (Next::Path(form), _) => Dialog::Path(*form),
        (Next::Plots, _) => Dialog::Plots,
        (Next::TitleBlock, _) => Dialog::Sheet,
        (Next::Curve, Dialog::Trial(form)) => {
            Dialog::Curve(PathForm::new(Purpose::Curve, String::new()), form)
        }
        (Next::Curve, other) => other,
    }
}
