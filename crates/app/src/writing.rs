//! Going on with a path that was typed or picked: opening, saving, and everything that is written beside the project.

use crate::{
    app::Cupwright,
    dialogs::{Dialog, PathForm, Purpose},
};
use std::path::Path;

/// Of pages written as pictures.
const DOTS_PER_INCH: f64 = 150.0;

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
                let written = crate::outputs::write_pages(&pages, &committed.name, DOTS_PER_INCH, path);
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
            P::Envelope | P::Loads => self.write_plot(form.purpose == P::Loads, path),
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
        }
    }

    /// Writes the envelope, or the loads of the motion shown, as a page of its own.
    fn write_plot(&mut self, loads: bool, path: &Path) {
        let committed = self.history.committed().clone();
        let report = self.analyst.check_whole(&committed, self.layout);
        let units = self.prefs.unit_choice();
        let compared = self.deeper.compare_shown.as_ref().and_then(|c| c.comparison.clone());
        let shown = self.view(crate::theme::tokens(false)).shown_motion().map(|m| m.id);
        let page = match (loads, shown, compared) {
            (true, Some(motion), _) => {
                sheet::export_plot(&committed, &report, sheet::Plot::Loads(motion), &units)
            }
            (false, _, Some(comparison)) => sheet::export_envelopes(&committed, &comparison, &report, &units),
            (false, _, None) => sheet::export_plot(&committed, &report, sheet::Plot::Envelope, &units),
            (true, None, _) => None,
        };
        match page {
            Some(page) => {
                let written = crate::outputs::write_pages(&[page], &committed.name, DOTS_PER_INCH, path);
                self.tell("The picture was not written", written);
            }
            None => self.say("There are no figures to draw yet."),
        }
    }

    fn tell(&mut self, failed: &str, outcome: Result<std::path::PathBuf, crate::outputs::OutputError>) {
        match outcome {
            Ok(path) => self.say(&format!("Wrote {}.", path.display())),
            Err(error) => self.dialog = Some(Dialog::message(failed, &error.to_string())),
        }
    }
}
