//! Tables that are read: cup models, sources, recorded curves.

use crate::{
    app::Cupwright,
    aside::Then,
    dialogs::{Dialog, TrialForm},
};
use document::Edit;
use std::{path::Path, sync::Arc};

/// Text of a recorded curve that a form can still show, bytes.
const LONGEST_CURVE: usize = 400_000;

impl Cupwright {
    /// Reads a table beside the window and goes on with what `then` makes of its text there.
    fn read_table(&mut self, title: &str, path: &Path, then: impl FnOnce(String) -> Then + Send + 'static) {
        let path = path.to_owned();
        self.aside(title, "Reading", move |_| match crate::outputs::read_text(&path) {
            Ok(text) => then(text),
            Err(error) => Box::new(move |app| {
                app.dialog = Some(Dialog::message("The table was not read", &error.to_string()));
            }),
        });
    }

    /// Takes cup models from a table, which is read beside the window.
    pub(crate) fn read_models(&mut self, path: &Path) {
        self.read_table("Cup models from a table", path, |text| {
            let (models, problems) = exchange::read_models_csv(&text);
            Box::new(move |app| app.take_models(models, &problems))
        });
    }

    fn take_models(&mut self, models: Vec<document::CupModel>, problems: &[exchange::RowProblem]) {
        let committed = self.history.committed().clone();
        let edits: Vec<Edit> = models
            .into_iter()
            .map(|m| {
                if committed.model(&m.id).is_some() {
                    Edit::ChangeModel { model: Arc::new(m), what: "values from a table".to_owned() }
                } else {
                    Edit::AddModel(Arc::new(m))
                }
            })
            .collect();
        let taken = edits.len();
        if taken > 0 {
            self.apply(Edit::Together { name: format!("Read {taken} cup models from a table"), edits });
        }
        let told =
            crate::outputs::table_told(&format!("{taken} models read"), problems, &self.prefs.unit_choice());
        self.dialog = Some(Dialog::message("Cup models from a table", &told));
    }

    /// Takes sources from a table, which is read beside the window: those of an id that is there get its figures.
    pub(crate) fn read_sources(&mut self, path: &Path) {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        self.read_table("Sources from a table", path, move |text| {
            let read = exchange::sources_from_csv(&text, &name);
            Box::new(move |app| app.take_sources(read))
        });
    }

    fn take_sources(&mut self, read: exchange::SourcesRead) {
        let committed = self.history.committed().clone();
        let edits: Vec<Edit> = read
            .sources
            .into_iter()
            .map(|source| {
                let known = committed.source(&source.id).is_some();
                let (source, what) = (Arc::new(source), "Change values of a source from a table".to_owned());
                if known { Edit::ChangeSource { source, what } } else { Edit::AddSource(source) }
            })
            .collect();
        let taken = match edits.len() {
            1 => "One source read".to_owned(),
            n => format!("{n} sources read"),
        };
        if !edits.is_empty() {
            self.apply(Edit::Together { name: format!("Read {} sources from a table", edits.len()), edits });
        }
        let told = crate::outputs::table_told(&taken, &read.diagnostics, &self.prefs.unit_choice());
        self.dialog = Some(Dialog::message("Sources from a table", &told));
    }

    /// Goes on with the measurements that asked for a table, with its text.
    pub(crate) fn read_curve(&mut self, mut trial: Box<TrialForm>, path: &Path) {
        let name = path.display().to_string();
        self.read_table("A recorded curve from a table", path, move |text| {
            Box::new(move |app| {
                if text.len() > LONGEST_CURVE {
                    let says = format!(
                        "{name} is {} kB; a curve of a few hundred points has a tenth of that. Keep every \
                        tenth line.",
                        text.len() / 1000
                    );
                    app.dialog = Some(Dialog::message("The table was not read", &says));
                    return;
                }
                trial.curve.text = text;
                app.dialog = Some(Dialog::Trial(trial));
            })
        });
    }
}
