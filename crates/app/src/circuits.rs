//! Laying a circuit out over the cups.

use crate::{
    app::Cupwright,
    dialogs::{Dialog, TrialForm},
    view::View,
};
use document::{Arrangement, CircuitId, Edit};
use std::{path::Path, sync::Arc};

/// Text of a recorded curve that a form can still show, bytes.
const LONGEST_CURVE: usize = 400_000;

impl Cupwright {
    /// Gives a circuit a source, a manifold and hoses over its cups, everything assumed, and shows it.
    pub(crate) fn lay_out_circuit(&mut self, view: &View, id: CircuitId) {
        if !view.layout.cups.iter().any(|c| c.circuit == id) {
            self.say("Place cups on this circuit first, then source and hoses can be laid out over them.");
            return;
        }
        match view.project.feed_circuit(view.layout.id, id, Arrangement::Central) {
            Some(edit) => self.apply(edit),
            None => return self.say("This circuit is not in the project any more."),
        }
        self.panels.circuit = true;
        self.plan.fit = true;
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
                let (source, what) = (Arc::new(source), "Change figures of a source by a table".to_owned());
                if known { Edit::ChangeSource { source, what } } else { Edit::AddSource(source) }
            })
            .collect();
        let taken = match edits.len() {
            1 => "One source taken".to_owned(),
            n => format!("{n} sources taken"),
        };
        if !edits.is_empty() {
            self.apply(Edit::Together { name: format!("Take {} sources from a table", edits.len()), edits });
        }
        let told = crate::outputs::table_told(&taken, &read.diagnostics);
        self.dialog = Some(Dialog::message("Sources from a table", &told));
    }

    /// Goes on with the measurements that asked for a table, with its text.
    pub(crate) fn read_curve(&mut self, mut trial: Box<TrialForm>, path: &Path) {
        let name = path.display().to_string();
        self.read_table("A recorded curve from a table", path, move |text| {
            Box::new(move |app| {
                if text.len() > LONGEST_CURVE {
                    let says = format!(
                        "{name} holds {} kB; a curve of a few hundred points has a tenth of that. Keep every tenth line.",
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

    /// Ranks what would explain the field's figures, when the dialog of measurements asks for it.
    pub(crate) fn answer_trial(&mut self, dialog: &mut Dialog) {
        let Dialog::Trial(form) = dialog else { return };
        let entered = form.entered.take().and_then(|entry| {
            let project = self.history.committed().clone();
            self.analyst.enter_trial(&project, entry)
        });
        if let Some(found) = entered {
            self.apply(found.edit);
            if let Some(says) = found.says {
                self.say(&says);
            }
        }
        let Some(circuit) = form.asked.take() else { return };
        let project = self.history.committed().clone();
        let found = self.analyst.field_causes(&project, self.layout, circuit);
        form.causes = Some(found.map(|found| {
            let unit = self.prefs.unit_choice();
            let level = |kpa: f64| units::show(kpa, units::Quantity::VacuumLevel, &unit).to_string();
            let start = found.without_fault_kpa.map(|kpa| format!("no fault: {} unexplained", level(kpa)));
            let causes =
                found.causes.iter().map(|c| format!("{}: {} unexplained", c.what, level(c.unexplained_kpa)));
            start.into_iter().chain(causes).collect()
        }));
    }
}
