//! Going on with a path that was typed or picked: opening, saving, and everything that is written beside the project.

use crate::{
    app::Cupwright,
    dialogs::{Dialog, PathForm, Pending, Purpose},
};
use std::path::Path;

impl Cupwright {
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
                let written = crate::outputs::write_pages(&pages, &committed.name, form.dpi, path);
                self.tell("The sheet was not written", written);
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
                let written = crate::outputs::write_whole(path, text.as_bytes());
                self.tell("The table was not written", written);
            }
            P::Envelope | P::Loads | P::SourceCurves | P::Evacuation => self.write_plot(form, path),
            P::Dxf => {
                let committed = self.history.committed().clone();
                let report = self.analyst.check(&committed, self.layout);
                let options = exchange::DxfOptions { version: form.dxf, ..exchange::DxfOptions::default() };
                match exchange::layout_dxf(&committed, &report, self.layout, &options) {
                    Some(text) => {
                        let written = crate::outputs::write_whole(path, text.as_bytes());
                        self.tell("The drawing was not written", written);
                    }
                    None => self.say("There is no part under this layout to draw."),
                }
            }
            P::Models => self.read_models(path),
            P::Curve => self.read_curve(form, path),
            P::Sources => self.read_sources(path),
            P::SourceTable => {
                let written = crate::outputs::write_whole(path, self.source_table().as_bytes());
                self.tell("The table was not written", written);
            }
            P::Changes => {
                if let Some(pages) = self.changes_pages() {
                    let name = self.history.committed().name.clone();
                    let written = crate::outputs::write_pages(&pages, &name, 150.0, path);
                    self.tell("The pages were not written", written);
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
        let written = crate::outputs::write_pages(&pages, &committed.name, form.dpi, path);
        self.tell("The picture was not written", written);
    }

    fn tell(&mut self, failed: &str, outcome: Result<std::path::PathBuf, crate::outputs::OutputError>) {
        match outcome {
            Ok(path) => self.say(&format!("Wrote {}.", path.display())),
            Err(error) => self.dialog = Some(Dialog::message(failed, &error.to_string())),
        }
    }
}
