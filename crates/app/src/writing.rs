//! Going on with a path that was typed or picked: opening, saving, and everything that is written beside the project.

use crate::{
    app::Cupwright,
    dialogs::{Dialog, PathForm, Pending, PreviewForm, Purpose},
    outputs::{Choices, Kind, NewFiles, Output, OutputError, Permit, Subject, put, same_file, would_replace},
};
use std::path::{Path, PathBuf};

/// Where a project is saved when this was typed: a name without an ending gets one.
pub(crate) fn project_path(path: &Path) -> PathBuf {
    if path.extension().is_none() { path.with_extension("ron") } else { path.to_owned() }
}

impl Cupwright {
    /// Asks where to write one of the outputs, or says what has to be there first.
    pub(crate) fn ask_output(&mut self, output: Output) {
        let report = self.whole().clone();
        let mut subject = self.subject(Choices::default());
        // What is missing shows in the figures that are there; the slow ones are waited for when it is written.
        subject.report = Some(report);
        if let Some(says) = output.missing(&mut subject) {
            return self.say(&format!("{}.", units::capital(says)));
        }
        let suggested = self.suggested(output.ending());
        self.dialog = Some(if output == Output::SHEET {
            let units = self.prefs.unit_choice();
            let options = sheet::SheetOptions { units, ..sheet::SheetOptions::default() };
            Dialog::Preview(Box::new(PreviewForm::new(options, suggested)))
        } else {
            Dialog::write(output, suggested)
        });
    }

    /// What is written about: what is committed, as it is on screen.
    fn subject(&mut self, choices: Choices) -> Subject<'_> {
        let project = self.history.committed().clone();
        let file = self.file.as_ref().map_or(project.name.clone(), |f| crate::aside::called(&f.path));
        let beside = self.before();
        let compare = self.slow.compare_shown.as_ref();
        let compared = compare.map(|c| vec![self.layout, c.layout.id]).unwrap_or_default();
        let comparison = compare.filter(|c| c.current).and_then(|c| c.comparison.clone());
        let motion = self.motion;
        let units = self.prefs.unit_choice();
        let mut subject = Subject::new(&file, project, self.layout, units, &mut self.analyst);
        (subject.motion, subject.compared, subject.comparison) = (motion, compared, comparison);
        (subject.beside, subject.choices) = (beside, choices);
        subject.keys = Some(crate::shortcuts::groups);
        subject
    }

    /// The files of an output, with the slow figures, however long they take.
    fn made(&mut self, output: Output, choices: &Choices, path: &Path) -> Result<NewFiles, OutputError> {
        // Said before anything is worked out.
        output.kind_at(path)?;
        let made = output.make(&mut self.subject(choices.clone()))?;
        self.report_anew();
        NewFiles::of(&made, output.kind(), path, choices)
    }

    /// Goes on with the path that a form asked for, or asks first when something would be replaced; gives the dialog that asks.
    pub(crate) fn go_on(&mut self, form: PathForm, path: &Path) -> Option<Dialog> {
        let saves = form.purpose == Purpose::Save;
        let path = if saves { project_path(path) } else { path.to_owned() };
        let own = self.file.as_ref().is_some_and(|file| file.path == path || same_file(&file.path, &path));
        match form.purpose {
            Purpose::Write(_) if own => {
                let says =
                    format!("{} is the file of the project that is open. Name another file.", path.display());
                return Some(Dialog::message("Nothing was written", &says));
            }
            Purpose::Write(output) => match self.made(output, &form.choices, &path) {
                Ok(files) => match files.would_replace(form.agreed.as_deref()) {
                    // Kept, so that what was asked about is what is written.
                    Some(says) => {
                        return Some(Dialog::Replace { form, path, says, files: Some([files].into()) });
                    }
                    None => self.put(&[files], &path),
                },
                Err(error) => return Some(not_written(&error)),
            },
            _ => {
                if saves
                    && !own
                    && let Some(says) =
                        would_replace(std::slice::from_ref(&path), Kind::Project, form.agreed.as_deref())
                {
                    return Some(Dialog::Replace { form, path, says, files: None });
                }
                self.with_path(&form, &path);
            }
        }
        None
    }

    /// Does with the path what the form was for, unless something is written; saving asked what would be replaced.
    pub(crate) fn with_path(&mut self, form: &PathForm, path: &Path) {
        use Purpose as P;
        match form.purpose {
            P::Open => self.open_any(path),
            P::Import => self.dialog = Some(Dialog::import(path.to_owned())),
            P::Save => {
                self.save_to(path, false);
            }
            // Asked for and written by `go_on`.
            P::Write(_) => {}
            P::Models => self.read_models(path),
            // Goes on with its measurements.
            P::Curve => {}
            P::Sources => self.read_sources(path),
            P::Review => self.guarded(Pending::Review(path.to_owned())),
            P::Beside => self.set_beside_file(path),
        }
    }

    /// Puts the files in their places: anywhere but into the project's own.
    pub(crate) fn put(&mut self, files: &[NewFiles], path: &Path) {
        let own: Vec<&Path> = self.file.iter().map(|file| file.path.as_path()).collect();
        match put(&mut Permit::new(&own, true), files) {
            Ok(told) => {
                let told: String = told.iter().map(|note| format!(" {note}.")).collect();
                self.say(&format!("Wrote {}.{told}", path.display()));
            }
            Err(error) => self.dialog = Some(not_written(&error)),
        }
    }
}

fn not_written(error: &OutputError) -> Dialog {
    let says = match error {
        OutputError::Missing(says) => format!("{}.", units::capital(says)),
        other => other.to_string(),
    };
    Dialog::message("Nothing was written", &says)
}
