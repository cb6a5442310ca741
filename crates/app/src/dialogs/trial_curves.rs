//! Level against time as recorded at a trial or later in the field: pasted or read from a table, kept in the project.

use crate::{
    fields,
    theme::Size,
    view::{Action, View},
};
use document::{BaselineCurve, CircuitId, CupId, CurveKind, Edit, Stage, Trial, TrialEntry};
use egui::{RichText, TextEdit, Ui};
use exchange::RowProblem;
use std::sync::Arc;
use units::Quantity;

/// Lines of what is wrong that are shown.
const SHOWN: usize = 4;

/// A curve as typed so far.
#[derive(Debug, Clone)]
pub struct CurveDraft {
    kind: CurveKind,
    cup: Option<CupId>,
    /// As pasted.
    pub text: String,
}

impl Default for CurveDraft {
    fn default() -> Self {
        Self { kind: CurveKind::Evacuation, cup: None, text: String::new() }
    }
}

impl CurveDraft {
    /// What is recorded so far, if it is a curve.
    fn read(&self, view: &View) -> Result<Vec<(f64, f64)>, Vec<RowProblem>> {
        exchange::read_level_curve(&self.text, &view.units)
    }

    /// The change that keeps the curve.
    pub fn edit(&self, view: &View, circuit: CircuitId, stage: Stage) -> Option<Edit> {
        let points = self.read(view).ok()?;
        let name = &view.project.circuit(circuit)?.name;
        let mut trial = Trial::clone(&view.project.trial);
        trial.curves.push(BaselineCurve {
            circuit,
            cup: self.cup,
            kind: self.kind,
            stage,
            on: crate::today(),
            points,
        });
        let what = format!("Enter a curve of {}, {name}", self.kind.label());
        Some(Edit::ChangeTrial { trial: Arc::new(trial), what })
    }
}

/// Where it was read, what went on, and the figures; gives whether a table is to be read from a file.
pub fn draft_ui(ui: &mut Ui, view: &View, draft: &mut CurveDraft, circuit: Option<CircuitId>) -> bool {
    let t = view.tokens;
    let kinds =
        [(CurveKind::Evacuation, "source on: evacuation"), (CurveKind::LeakDown, "source off: leak-down")];
    if let Some(kind) = fields::choice(ui, "curve kind", "While", draft.kind, &kinds, "") {
        draft.kind = kind;
    }
    let of_circuit = view.layout.cups.iter().filter(|c| Some(c.circuit) == circuit);
    let mut places = vec![(None, "at the source")];
    places.extend(of_circuit.map(|c| (Some(c.id), c.tag.as_str())));
    if !places.iter().any(|(cup, _)| *cup == draft.cup) {
        draft.cup = None;
    }
    if let Some(cup) = fields::choice(ui, "curve cup", "Read", draft.cup, &places, "The last cup tells most")
    {
        draft.cup = cup;
    }
    let unit = units::unit_of(Quantity::VacuumLevel, &view.units).1;
    let mut read = false;
    ui.horizontal(|ui| {
        ui.label(RichText::new(format!("Time s and level {unit}, one point per line")).color(t.second));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            read = ui
                .link("from a table…")
                .on_hover_text("CSV or text; a first line may name other units")
                .clicked();
        });
    });
    egui::ScrollArea::vertical().id_salt("curve text").max_height(120.0).show(ui, |ui| {
        let edit = TextEdit::multiline(&mut draft.text)
            .desired_rows(5)
            .desired_width(f32::INFINITY)
            .hint_text("0, 0\n0.2, 31\n0.4, 46");
        let edit = ui.add(edit);
        ui.ctx().accesskit_node_builder(edit.id, |node| node.set_label("Time and level, one point per line"));
    });
    if !draft.text.trim().is_empty() {
        outcome_ui(ui, view, draft);
    }
    read
}

fn outcome_ui(ui: &mut Ui, view: &View, draft: &CurveDraft) {
    let t = view.tokens;
    match draft.read(view) {
        Ok(points) => {
            let last = points.last().map_or(0.0, |p| p.0);
            let most = points.iter().map(|p| p.1).fold(0.0, f64::max);
            let says = format!(
                "{} points to {}, up to {}",
                points.len(),
                view.text(last, Quantity::Time),
                view.text(most, Quantity::VacuumLevel)
            );
            ui.label(RichText::new(says).color(t.order));
        }
        Err(problems) => {
            for problem in problems.iter().take(SHOWN) {
                let says = format!("Line {}: {}", problem.line, problem.says.says(&view.units));
                ui.add(egui::Label::new(RichText::new(says).color(t.fail)).wrap());
            }
            if problems.len() > SHOWN {
                let more = format!("and {} more lines", problems.len() - SHOWN);
                ui.label(RichText::new(more).color(t.second));
            }
        }
    }
}

/// Everything that was entered, latest last, each with a way out of the project.
pub fn list_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let trial = &view.project.trial;
    let mut row = |ui: &mut Ui, text: String, without: &dyn Fn(&mut Trial)| {
        fields::row(ui, &text, &text, |ui| {
            let link = ui.link("remove");
            ui.ctx().accesskit_node_builder(link.id, |node| node.set_label(format!("Remove {text}")));
            if link.clicked() {
                let mut new = Trial::clone(trial);
                without(&mut new);
                let what = format!("Remove {text}");
                actions.push(Action::Edit(Edit::ChangeTrial { trial: Arc::new(new), what }));
            }
        });
    };
    if trial.entries.is_empty() && trial.curves.is_empty() {
        ui.label(RichText::new("Nothing entered yet.").font(Size::Body.slanted()).color(t.second));
    }
    let scroll = egui::ScrollArea::vertical().id_salt("trial entries").max_height(120.0);
    scroll.auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for (index, entry) in trial.entries.iter().enumerate() {
            row(ui, entry_text(view, entry), &|t| {
                t.entries.remove(index);
            });
        }
        for (index, curve) in trial.curves.iter().enumerate() {
            row(ui, curve_text(view, curve), &|t| {
                t.curves.remove(index);
            });
        }
    });
}

fn stage_word(stage: Stage) -> &'static str {
    match stage {
        Stage::Baseline => "service",
        Stage::Field => "field",
    }
}

fn entry_text(view: &View, entry: &TrialEntry) -> String {
    use document::TrialKind as K;
    let level = |kpa: f64| view.text(kpa, Quantity::VacuumLevel);
    let circuit = |id: CircuitId| view.project.circuit(id).map_or("?", |c| c.name.as_str());
    let text = match &entry.what {
        K::Level { layout, cup } => {
            let tag = view.project.cup(*layout, *cup).map_or("?", |c| c.tag.as_str());
            format!("level at {tag}: {}", level(entry.value))
        }
        K::TimeToLevel { circuit: id, level_kpa } => {
            let time = view.text(entry.value, Quantity::Time);
            format!("{}: {time} to {}", circuit(*id), level(*level_kpa))
        }
        K::LeakDown { circuit: id, from_kpa, over_s } => format!(
            "{}: {} lost from {} in {}",
            circuit(*id),
            level(entry.value),
            level(*from_kpa),
            view.text(*over_s, Quantity::Time)
        ),
        K::Friction { lip_material, .. } => {
            format!("friction of {lip_material}: {}", view.text(entry.value, Quantity::Ratio))
        }
    };
    let by = if entry.by.is_empty() { String::new() } else { format!(" ({})", entry.by) };
    format!("{} {}: {text}{by}", entry.on, stage_word(entry.stage))
}

/// "2026-11-25 service: evacuation of Circuit 1 at C4, 12 points".
pub fn curve_text(view: &View, curve: &BaselineCurve) -> String {
    let circuit = view.project.circuit(curve.circuit).map_or("?", |c| c.name.as_str());
    let at = curve.cup.map_or("the source", |cup| view.tag(cup));
    format!(
        "{} {}: {} of {circuit} at {at}, {} points",
        curve.on,
        stage_word(curve.stage),
        curve.kind.label(),
        curve.points.len()
    )
}
