//! Going on with a path that was typed or picked: opening, saving, and everything that is written beside the project.

use crate::{
    app::Cupwright,
    dialogs::{Dialog, PathForm, Pending, Purpose},
    files::FileKind,
    outputs::{
        Kind, OutputError, PagesWritten, Permit, found, further_pages, page_kind, same_file, write_one,
        write_pages,
    },
};
use std::path::{Path, PathBuf};

/// Where a project is saved when this was typed: a name without an ending gets one.
pub(crate) fn project_path(path: &Path) -> PathBuf {
    if path.extension().is_none() { path.with_extension("ron") } else { path.to_owned() }
}

impl Cupwright {
    /// Goes on with the path that a form asked for, or asks first when something would be replaced; gives the dialog that asks.
    pub(crate) fn go_on(&mut self, form: PathForm, path: &Path) -> Option<Dialog> {
        let saves = form.purpose == Purpose::Save;
        let path = if saves { project_path(path) } else { path.to_owned() };
        if form.purpose.writes() {
            let own =
                self.file.as_ref().is_some_and(|file| file.path == path || same_file(&file.path, &path));
            if own && !saves {
                let says =
                    format!("{} is the file of the project that is open. Name another file.", path.display());
                return Some(Dialog::message("Nothing was written", &says));
            }
            if !own && let Some(says) = would_replace(&form, &path) {
                return Some(Dialog::Replace { form, path, says });
            }
        }
        self.with_path(&form, &path);
        None
    }

    /// May write anywhere but into the project's own file: what would be replaced was asked.
    fn permit(&self) -> Permit {
        let own: Vec<&Path> = self.file.iter().map(|file| file.path.as_path()).collect();
        Permit::new(&own, true)
    }

    /// Does with the path what the form was for.
    pub(crate) fn with_path(&mut self, form: &PathForm, path: &Path) {
        use Purpose as P;
        match form.purpose {
            P::Open => self.open_any(path),
            P::Import => self.dialog = Some(Dialog::import(path.to_owned())),
            P::Save => {
                self.save_to(path, false);
            }
            P::Sheet => {
                // What is written has the slow figures, however long they take.
                let committed = self.history.committed().clone();
                self.report = self.analyst.check_whole(&committed, self.layout);
                let mut view = self.view(crate::theme::tokens(false));
                view.project = committed.clone();
                if let Some(compare) = &mut view.compare {
                    compare.report = self.analyst.check_whole(&committed, compare.layout.id);
                }
                let pages = crate::dialogs::pages(&view, &form.sheet, form.comparison);
                let written = write_pages(&mut self.permit(), &pages, &committed.name, form.dpi, path);
                self.tell_pages("The sheet was not written", written);
            }
            P::Table | P::Parts | P::Hoses | P::Findings => {
                let committed = self.history.committed().clone();
                let report = self.analyst.check_whole(&committed, self.layout);
                let text = match form.purpose {
                    P::Parts => exchange::parts_list_csv(&committed, self.layout),
                    P::Hoses => exchange::hose_schedule_csv(&committed, &report),
                    P::Findings => exchange::findings_csv(&committed, &report),
                    _ => exchange::hole_table_csv(&committed, &report),
                };
                let written = write_one(&mut self.permit(), path, Kind::Table, text.into_bytes());
                self.tell("The table was not written", written);
            }
            P::Envelope | P::Loads | P::SourceCurves | P::Evacuation => self.write_plot(form, path),
            P::Dxf => {
                let committed = self.history.committed().clone();
                let report = self.analyst.check(&committed, self.layout);
                let options = exchange::DxfOptions { version: form.dxf, ..exchange::DxfOptions::default() };
                match exchange::layout_dxf(&committed, &report, self.layout, &options) {
                    Some(text) => {
                        let written = write_one(&mut self.permit(), path, Kind::Dxf, text.into_bytes());
                        self.tell("The drawing was not written", written);
                    }
                    None => self.say("There is no part under this layout to draw."),
                }
            }
            P::Models => self.read_models(path),
            P::Curve => self.read_curve(form, path),
            P::Sources => self.read_sources(path),
            P::SourceTable => {
                let text = self.source_table();
                let written = write_one(&mut self.permit(), path, Kind::Table, text.into_bytes());
                self.tell("The table was not written", written);
            }
            P::Changes => {
                if let Some(pages) = self.changes_pages() {
                    let name = self.history.committed().name.clone();
                    let written = write_pages(&mut self.permit(), &pages, &name, 150.0, path);
                    self.tell_pages("The pages were not written", written);
                }
            }
            P::Review => self.guarded(Pending::Review(path.to_owned())),
            P::Beside => self.set_beside_file(path),
        }
    }

    /// Writes the envelope, the loads of the motion shown or the curves of the circuits as pages of their own.
    fn write_plot(&mut self, form: &PathForm, path: &Path) {
        let committed = self.history.committed().clone();
        let report = self.analyst.check_whole(&committed, self.layout);
        let units = self.prefs.unit_choice();
        let plot = |plot| sheet::export_plot(&committed, &report, plot, &units);
        let pages: Vec<sheet::Page> = match form.purpose {
            Purpose::Loads => {
                let shown = self.view(crate::theme::tokens(false)).shown_motion().map(|m| m.id);
                shown.and_then(|motion| plot(sheet::Plot::Loads(motion))).into_iter().collect()
            }
            Purpose::SourceCurves => {
                report.circuits.iter().filter_map(|c| plot(sheet::Plot::Source(c.id))).collect()
            }
            Purpose::Evacuation => {
                report.circuits.iter().filter_map(|c| plot(sheet::Plot::Evacuation(c.id))).collect()
            }
            _ => match self.deeper.compare_shown.as_ref().and_then(|c| c.comparison.clone()) {
                Some(compared) => sheet::export_envelopes(&committed, &compared, &report, &units),
                None => plot(sheet::Plot::Envelope),
            }
            .into_iter()
            .collect(),
        };
        if pages.is_empty() {
            self.say("There are no figures to draw yet.");
            return;
        }
        let written = write_pages(&mut self.permit(), &pages, &committed.name, form.dpi, path);
        self.tell_pages("The picture was not written", written);
    }

    fn tell_pages(&mut self, failed: &str, outcome: Result<PagesWritten, OutputError>) {
        match outcome {
            Ok(pages) => {
                let note = pages.note().map(|note| format!(" {note}.")).unwrap_or_default();
                self.say(&format!("Wrote {}.{note}", pages.path.display()));
            }
            Err(error) => self.dialog = Some(Dialog::message(failed, &error.to_string())),
        }
    }

    fn tell(&mut self, failed: &str, outcome: Result<PathBuf, OutputError>) {
        match outcome {
            Ok(path) => self.say(&format!("Wrote {}.", path.display())),
            Err(error) => self.dialog = Some(Dialog::message(failed, &error.to_string())),
        }
    }
}

/// What would be replaced, as a sentence; `None` when nothing is there, or when the desktop's own dialog asked about a file of
/// the very kind.
fn would_replace(form: &PathForm, path: &Path) -> Option<String> {
    let kind = match form.purpose.kind() {
        FileKind::Project => Kind::Project,
        FileKind::Table => Kind::Table,
        FileKind::Dxf => Kind::Dxf,
        // Without a known ending nothing is written at all.
        FileKind::Sheet | FileKind::Drawing => page_kind(path).ok()?,
    };
    let further = further_pages(path, kind);
    let there = path.is_file().then(|| found(path));
    let name = path.display();
    match there {
        Some(Ok(found))
            if form.agreed.as_deref() == Some(path) && found.gives_way_to(kind) && further.is_empty() =>
        {
            None
        }
        Some(Ok(found)) if found.is(kind) && further.is_empty() => Some(format!("{name} would be replaced.")),
        Some(Ok(found)) if further.is_empty() => {
            Some(format!("{name} holds {}; {} would take its place.", found.label(), kind.label()))
        }
        Some(Err(_)) => Some(format!("{name} cannot be looked into; {} would take its place.", kind.label())),
        Some(Ok(_)) | None if !further.is_empty() => {
            let pages: Vec<String> = there
                .iter()
                .map(|_| name.to_string())
                .chain(further.iter().map(|p| p.display().to_string()))
                .collect();
            Some(format!(
                "These pages are there and would be replaced as far as the new ones go: {}.",
                pages.join(", ")
            ))
        }
        _ => None,
    }
}
