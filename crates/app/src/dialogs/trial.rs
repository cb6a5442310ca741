//! What a trial or a later look in the field measured: entered figures take the place of what was assumed, later ones are
//! ranked against what would explain them.

use super::{
    Effect, Next, buttons, title,
    trial_curves::{self, CurveDraft},
};
use crate::{
    fields,
    theme::Size,
    view::{Action, View},
};
use document::{CircuitId, CupId, Edit, Stage, TrialEntry, TrialKind};
use egui::{RichText, Ui};

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Friction,
    Level,
    TimeToLevel,
    LeakDown,
    Curve,
}

/// A measurement as typed so far.
#[derive(Debug, Clone)]
pub struct TrialForm {
    kind: Kind,
    stage: Stage,
    cup: Option<CupId>,
    circuit: Option<CircuitId>,
    material: String,
    value: f64,
    level_kpa: f64,
    over_s: f64,
    by: String,
    /// Level against time, where that is what is entered.
    pub curve: CurveDraft,
    /// What would explain the field's figures, once asked for.
    pub causes: Option<Result<Vec<String>, String>>,
    /// Set when causes are asked for.
    pub asked: Option<CircuitId>,
    /// Set when a figure is entered: what it replaces may have to be worked out.
    pub entered: Option<TrialEntry>,
}

impl TrialForm {
    /// For the layout shown.
    pub fn new(view: &View) -> Self {
        let cup = view.single().or(view.layout.cups.last());
        let model = cup.and_then(|c| view.project.model(&c.model));
        Self {
            kind: Kind::Friction,
            stage: Stage::Baseline,
            cup: cup.map(|c| c.id),
            circuit: cup.map(|c| c.circuit),
            material: model.map(|m| m.material.clone()).unwrap_or_default(),
            value: 0.0,
            level_kpa: 40.0,
            over_s: 60.0,
            by: String::new(),
            curve: CurveDraft::default(),
            causes: None,
            asked: None,
            entered: None,
        }
    }

    /// The change that enters what is typed; `None` while something is missing.
    fn edit(&self, view: &View) -> Option<Edit> {
        match self.kind {
            Kind::Curve => self.curve.edit(view, self.circuit?, self.stage),
            _ => view.project.enter_trial(self.entry(view)?),
        }
    }

    fn entry(&self, view: &View) -> Option<TrialEntry> {
        let what = match self.kind {
            Kind::Friction => TrialKind::Friction { part: view.part.id, lip_material: self.material.clone() },
            Kind::Level => TrialKind::Level { layout: view.layout.id, cup: self.cup? },
            Kind::TimeToLevel => TrialKind::TimeToLevel { circuit: self.circuit?, level_kpa: self.level_kpa },
            Kind::LeakDown => {
                TrialKind::LeakDown { circuit: self.circuit?, from_kpa: self.level_kpa, over_s: self.over_s }
            }
            Kind::Curve => return None,
        };
        let value = self.value;
        (value > 0.0).then(|| TrialEntry {
            what,
            value,
            stage: self.stage,
            on: crate::today(),
            by: self.by.clone(),
        })
    }
}

/// Draws list and form.
pub fn trial_ui(ui: &mut Ui, view: &View, form: &mut TrialForm, actions: &mut Vec<Action>) -> Effect {
    let t = view.tokens;
    title(ui, "Trial and field measurements");
    let why = "At commissioning a measured value replaces the assumed one, with its date. Later values are \
        kept beside it.";
    ui.add(egui::Label::new(RichText::new(why).color(t.second)).wrap());
    trial_curves::list_ui(ui, view, actions);
    ui.add_space(4.0);
    let kinds = [
        (Kind::Friction, "slide test: friction"),
        (Kind::Level, "level at a cup"),
        (Kind::TimeToLevel, "time to a level"),
        (Kind::LeakDown, "leak-down"),
        (Kind::Curve, "level against time"),
    ];
    if let Some(kind) = fields::choice(ui, "trial kind", "Measured", form.kind, &kinds, "") {
        form.kind = kind;
        form.value = 0.0;
    }
    let stages = [(Stage::Baseline, "at commissioning"), (Stage::Field, "later, in the field")];
    if let Some(stage) = fields::choice(ui, "trial stage", "When", form.stage, &stages, "") {
        form.stage = stage;
    }
    subject_ui(ui, view, form);
    let mut effect = Effect::Stay;
    if form.kind == Kind::Curve {
        if trial_curves::draft_ui(ui, view, &mut form.curve, form.circuit) {
            effect = Effect::Then(Next::Curve);
        }
    } else {
        value_ui(ui, view, form);
    }
    causes_ui(ui, view, form);
    let edit = form.edit(view);
    match buttons(ui, &["Enter", "Close"], edit.is_some()) {
        Some(0) => {
            form.entered = form.entry(view);
            // A curve replaces nothing.
            actions.extend(edit.filter(|_| form.entered.is_none()).map(Action::Edit));
            form.value = 0.0;
            form.curve.text.clear();
            form.causes = None;
        }
        Some(_) => effect = Effect::Close,
        None => {}
    }
    effect
}

fn value_ui(ui: &mut Ui, view: &View, form: &mut TrialForm) {
    let key = match form.kind {
        Kind::Friction => "trial.friction",
        Kind::Level => "trial.level",
        Kind::TimeToLevel => "trial.time",
        Kind::LeakDown | Kind::Curve => "trial.drop",
    };
    if let Some(v) = fields::known(key).number(ui, "", form.value, &view.units) {
        form.value = v;
    }
    if let Some(v) = fields::text(ui, "trial by", "By", &form.by, "Who measured it") {
        form.by = v;
    }
}

fn subject_ui(ui: &mut Ui, view: &View, form: &mut TrialForm) {
    let circuits: Vec<(Option<CircuitId>, &str)> =
        view.project.circuits.iter().map(|c| (Some(c.id), c.name.as_str())).collect();
    let cups: Vec<(Option<CupId>, &str)> =
        view.layout.cups.iter().map(|c| (Some(c.id), c.tag.as_str())).collect();
    match form.kind {
        Kind::Friction => {
            if let Some(v) =
                fields::known("model.material").more("as in the cup model").text(ui, "", &form.material)
            {
                form.material = v;
            }
        }
        Kind::Level => {
            if let Some(v) =
                fields::choice(ui, "trial cup", "Cup", form.cup, &cups, "The last cup tells most")
            {
                form.cup = v;
            }
        }
        Kind::TimeToLevel | Kind::LeakDown | Kind::Curve => {
            if let Some(v) = fields::choice(ui, "trial circuit", "Circuit", form.circuit, &circuits, "") {
                form.circuit = v;
            }
            if form.kind == Kind::Curve {
                return;
            }
            let key = if form.kind == Kind::LeakDown { "trial.from_kpa" } else { "trial.level_kpa" };
            if let Some(v) = fields::known(key).number(ui, "", form.level_kpa, &view.units) {
                form.level_kpa = v;
            }
        }
    }
    if form.kind == Kind::LeakDown
        && let Some(v) = fields::known("trial.over_s").number(ui, "", form.over_s, &view.units)
    {
        form.over_s = v;
    }
}

fn causes_ui(ui: &mut Ui, view: &View, form: &mut TrialForm) {
    let t = view.tokens;
    let trial = &view.project.trial;
    let mut field =
        trial.entries.iter().map(|entry| entry.stage).chain(trial.curves.iter().map(|curve| curve.stage));
    if !field.any(|stage| stage == Stage::Field) {
        return;
    }
    ui.add_space(4.0);
    if ui.link("what would explain the field values?").clicked() {
        form.asked = form.circuit;
    }
    match &form.causes {
        Some(Ok(lines)) => {
            for line in lines.iter().take(6) {
                ui.label(RichText::new(line).font(Size::Body.font()));
            }
        }
        Some(Err(reason)) => {
            ui.add(egui::Label::new(RichText::new(reason).color(t.watch)).wrap());
        }
        None => {}
    }
}
