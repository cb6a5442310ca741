//! Sources: those of the project, the built-in ones, a form for one's own, and tables.

use super::{Effect, Next, PathForm, Purpose, as_table_ui, buttons, source_form, title};
use crate::{
    feed::feed_by,
    fields,
    outputs::Output,
    theme::Size,
    view::{Action, View},
};
use document::{CircuitId, Edit, SourceId, SourceModel};
use egui::{Pos2, RichText, Role, Sense, Stroke, TextEdit, Ui, Vec2, WidgetInfo};
use std::sync::Arc;

/// Search text, the source being made, and the circuit it is for.
#[derive(Debug, Clone, Default)]
pub struct SourcesForm {
    search: String,
    pub(super) own: Option<SourceModel>,
    circuit: Option<CircuitId>,
    focused: bool,
}

impl SourcesForm {
    /// With the figures of what feeds a circuit.
    pub fn of(view: &View, circuit: CircuitId) -> Self {
        let supply = view.project.circuit(circuit).and_then(|c| c.supply.as_ref());
        let own = supply.and_then(|s| view.project.source(&s.source)).map(|s| SourceModel::clone(s));
        Self { own, circuit: Some(circuit), ..Self::default() }
    }
}

/// Draws the list, or the form of one source.
pub fn sources_ui(ui: &mut Ui, view: &View, form: &mut SourcesForm, actions: &mut Vec<Action>) -> Effect {
    if form.own.is_some() {
        return own_ui(ui, view, form, actions);
    }
    title(ui, "Sources");
    let says = "What makes the vacuum. Built-in sources are invented and generic: add one to the project, or \
        copy it and enter the values of the real one.";
    ui.add(egui::Label::new(RichText::new(says).color(view.tokens.second)).wrap());
    let mut effect = Effect::Stay;
    ui.horizontal(|ui| {
        let edit =
            TextEdit::singleline(&mut form.search).hint_text("Search: deep, pump, 90…").desired_width(240.0);
        let edit = ui.add(edit);
        ui.ctx().accesskit_node_builder(edit.id, |node| node.set_label("Search sources"));
        if !std::mem::replace(&mut form.focused, true) {
            edit.request_focus();
        }
        if ui.button("New source…").clicked() {
            let base =
                view.project.sources.first().cloned().unwrap_or_else(|| document::sources()[0].clone());
            form.own = Some(copy(view, &base));
        }
        if ui.button("From a table…").on_hover_text("CSV, one curve point per row").clicked() {
            effect = Effect::Then(Next::path(PathForm::new(Purpose::Sources, String::new())));
        }
        as_table_ui(ui, !view.project.sources.is_empty(), Output::SOURCES, actions);
    });
    let words: Vec<String> = form.search.to_lowercase().split_whitespace().map(str::to_owned).collect();
    let matches = |s: &SourceModel| {
        let text = format!("{} {}", s.name, s.kind.label()).to_lowercase();
        words.iter().all(|w| text.contains(w))
    };
    let scroll =
        egui::ScrollArea::vertical().max_height(380.0).auto_shrink([false, false]).id_salt("sources");
    scroll.show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.label(RichText::new("In this project").font(Size::Heading.strong()));
        if view.project.sources.is_empty() {
            ui.label(RichText::new("None yet: add one of those below.").color(view.tokens.second));
        }
        for source in view.project.sources.iter().filter(|s| matches(s)) {
            project_row(ui, view, form, source, actions);
        }
        ui.add_space(8.0);
        ui.label(RichText::new("Built in").font(Size::Heading.strong()));
        for source in document::sources().iter().filter(|s| matches(s)) {
            built_in_row(ui, view, form, source, actions);
        }
    });
    if buttons(ui, &["Close"], true).is_some() {
        return Effect::Close;
    }
    effect
}

/// Width kept at the right of a row for what can be done with it: with a source of the project, with a built-in one.
const LINKS: [f32; 2] = [178.0, 56.0];

fn project_row(
    ui: &mut Ui,
    view: &View,
    form: &mut SourcesForm,
    source: &Arc<SourceModel>,
    actions: &mut Vec<Action>,
) {
    let uses = |c: &&Arc<document::Circuit>| c.supply.as_ref().is_some_and(|s| s.source == source.id);
    let users: Vec<&str> = view.project.circuits.iter().filter(uses).map(|c| c.name.as_str()).collect();
    let note = if users.is_empty() { "not used".to_owned() } else { format!("feeds {}", users.join(", ")) };
    ui.horizontal(|ui| {
        if source_row(ui, view, source, &note, "Values of", LINKS[0]).clicked() {
            form.own = Some(SourceModel::clone(source));
        }
        if named_link(ui, "change…", &source.name) {
            form.own = Some(SourceModel::clone(source));
        }
        if named_link(ui, "copy…", &source.name) {
            form.own = Some(copy(view, source));
        }
        if users.is_empty() && named_link(ui, "remove", &source.name) {
            actions.push(Action::Edit(Edit::RemoveSource(source.id.clone())));
        }
    });
}

fn built_in_row(
    ui: &mut Ui,
    view: &View,
    form: &mut SourcesForm,
    source: &Arc<SourceModel>,
    actions: &mut Vec<Action>,
) {
    let here = view.project.source(&source.id).is_some();
    ui.horizontal(|ui| {
        let note = if here { "in this project" } else { "take" };
        if source_row(ui, view, source, note, "Add", LINKS[1]).clicked() && !here {
            actions.push(Action::Edit(Edit::AddSource(source.clone())));
        }
        if named_link(ui, "copy…", &source.name) {
            form.own = Some(copy(view, source));
        }
    });
}

/// A link whose spoken name says what it acts on.
fn named_link(ui: &mut Ui, text: &str, of: &str) -> bool {
    let link = ui.link(text);
    let spoken = format!("{} {of}", units::capital(text.trim_end_matches('…')));
    ui.ctx().accesskit_node_builder(link.id, |node| node.set_label(spoken));
    link.clicked()
}

/// A copy under a new id and name, for one's own figures.
fn copy(view: &View, of: &SourceModel) -> SourceModel {
    let id = |number: u32| SourceId(format!("own-source-{number}").into());
    let number = (1..).find(|n| view.project.source(&id(*n)).is_none()).unwrap_or(1);
    SourceModel { id: id(number), name: format!("Own source {number}"), ..of.clone() }
}

/// The shape of its curve, name and a note.
fn source_row(
    ui: &mut Ui,
    view: &View,
    source: &SourceModel,
    note: &str,
    verb: &str,
    links: f32,
) -> egui::Response {
    let t = view.tokens;
    let room = Vec2::new(ui.available_width() - links, fields::ROW);
    let (rect, response) = ui.allocate_exact_size(room, Sense::click());
    let spoken = format!("{verb} {}", source.name);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, spoken.clone()));
    crate::widgets::row_ground(ui, rect, false, &response);
    let (deepest, most) = (ends(source).0.max(1e-9), ends(source).1.max(1e-9));
    let icon = egui::Rect::from_center_size(rect.left_center() + Vec2::new(11.0, 0.0), Vec2::new(20.0, 13.0));
    let at = |p: &document::CurvePoint| {
        let (x, y) = (p.level_kpa / deepest, p.flow_nl_min / most);
        Pos2::new(
            icon.left() + icon.width() * x.clamp(0.0, 1.0) as f32,
            icon.bottom() - icon.height() * y.clamp(0.0, 1.0) as f32,
        )
    };
    let stroke = Stroke::new(1.0, t.hairline);
    ui.painter().line(vec![icon.left_top(), icon.left_bottom(), icon.right_bottom()], stroke);
    ui.painter().line(source.curve.iter().map(at).collect(), Stroke::new(1.4, t.working));
    let note = ui.painter().layout_no_wrap(note.to_owned(), Size::Body.font(), t.second);
    let name = crate::widgets::elided(ui, &source.name, rect.width() - note.size().x - 44.0);
    let font = Size::Body.font();
    ui.painter().text(
        rect.left_center() + Vec2::new(30.0, 0.0),
        egui::Align2::LEFT_CENTER,
        name,
        font,
        t.ink,
    );
    ui.painter().galley(rect.right_center() - Vec2::new(note.size().x, note.size().y / 2.0), note, t.second);
    response.on_hover_text(describe(view, source))
}

/// Deepest level and flow without load.
fn ends(source: &SourceModel) -> (f64, f64) {
    (source.curve.last().map_or(0.0, |p| p.level_kpa), source.curve.first().map_or(0.0, |p| p.flow_nl_min))
}

fn describe(view: &View, source: &SourceModel) -> String {
    use units::Quantity as Q;
    let (deepest, most) = ends(source);
    let mut lines = vec![
        source.name.clone(),
        format!(
            "{}, down to {}, {} free flow",
            source.kind.label(),
            view.text(deepest, Q::VacuumLevel),
            view.text(most, Q::Flow)
        ),
    ];
    if source.rated_feed_kpa > 0.0 {
        lines.push(format!("rated feed {}", view.text(source.rated_feed_kpa, Q::FeedPressure)));
    }
    if source.power_w > 0.0 {
        lines.push(format!("{} W", view.fixed(source.power_w, 0)));
    }
    if source.air_saving {
        lines.push("with air saving".to_owned());
    }
    if let Some(bore) = source.straight_bore_mm {
        lines.push(format!("dirt passes straight through {}", view.text(bore, Q::Length)));
    }
    let on = if source.on.is_empty() { String::new() } else { format!(", {}", source.on) };
    lines.push(format!("figures {}{on}", source.figures.label()));
    lines.join("\n")
}

fn own_ui(ui: &mut Ui, view: &View, form: &mut SourcesForm, actions: &mut Vec<Action>) -> Effect {
    let Some(mut source) = form.own.take() else { return Effect::Stay };
    let known = view.project.source(&source.id).is_some();
    title(ui, if known { "Values of a source" } else { "New source" });
    source_form::source_ui(ui, view, &mut source);
    let problems = problems(&source, &view.units);
    for problem in problems.iter().take(3) {
        ui.add(egui::Label::new(RichText::new(problem).color(view.tokens.fail)).wrap());
    }
    let changed = view.project.source(&source.id).is_none_or(|there| **there != source);
    let first = if known { "Change" } else { "Add to the project" };
    match buttons(ui, &[first, "All sources"], problems.is_empty() && changed) {
        Some(0) => {
            let source = Arc::new(source);
            let for_circuit = form.circuit.filter(|_| !known);
            let edit = match for_circuit.and_then(|id| feed_by(&view.project, id, &source)) {
                Some(edit) => edit,
                None if known => Edit::ChangeSource { source, what: "values of the source".to_owned() },
                None => Edit::AddSource(source),
            };
            actions.push(Action::Edit(edit));
            if form.circuit.is_some() { Effect::Close } else { Effect::Stay }
        }
        Some(_) => Effect::Stay,
        None => {
            form.own = Some(source);
            Effect::Stay
        }
    }
}

/// What keeps the figures from being worked with, as sentences.
fn problems(source: &SourceModel, units: &units::UnitChoice) -> Vec<String> {
    let name = source.name.trim().is_empty().then(|| "The source has no name: type one.".to_owned());
    let found = source.problems().into_iter().map(|p| p.in_units(units));
    let found = found.map(|p| format!("{}: {}.", units::capital(&p.says), p.remedy));
    name.into_iter().chain(found).collect()
}
