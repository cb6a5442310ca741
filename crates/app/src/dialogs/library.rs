//! Cup models: the built-in ones, those of the project, a form for one's own, and tables.

use super::{
    Effect, Next, PathForm, Purpose, as_table_ui, buttons,
    choice_head::{Found, order_ui, search_ui},
    choice_list::{Column, Hand, Item, ListState, PICTURE, list_ui},
    title,
};
use crate::{
    cup_picture, fields,
    outputs::Output,
    view::{Action, View},
};
use analysis::ModelOnPart;
use document::{CupModel, Edit, LipKind, ModelId, Sourced, Texture};
use egui::{RichText, Ui};
use geometry::LipShape;
use std::sync::Arc;
use units::Quantity;

/// Search text and the model being made.
#[derive(Debug, Clone, Default)]
pub struct LibraryForm {
    search: String,
    own: Option<CupModel>,
    problem: Option<String>,
    focused: bool,
    /// What each model would do on the part, once it is worked out beside the window; `None` until the list is shown.
    on_part: Option<Found<ModelOnPart>>,
    order: Order,
    only_suiting: bool,
    list: ListState,
}

/// In which order models are listed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
enum Order {
    /// What suits first, the fewest that the motions ask for first of these.
    #[default]
    Suits,
    Size,
    Travel,
    Force,
    Friction,
    Name,
}

impl Order {
    const ALL: [(Self, &'static str); 6] = [
        (Self::Suits, "suitability"),
        (Self::Size, "size"),
        (Self::Travel, "travel"),
        (Self::Force, "force"),
        (Self::Friction, "friction"),
        (Self::Name, "name"),
    ];
}

const COLUMNS: [Column; 5] = [
    Column { name: "lip", why: "Outer size of the lip: the area it lands on", width: 104.0 },
    Column {
        name: "travel",
        why: "How far it gives: more than the height variation of the part",
        width: 72.0,
    },
    Column { name: "force", why: "Vacuum force at the level of this layout", width: 76.0 },
    Column { name: "friction", why: "Friction force on this part, at most", width: 76.0 },
    Column { name: "needed", why: "Fewest cups that the worst motion needs: a first estimate", width: 56.0 },
];

/// Looks at every model on the part of the layout, beside the window.
fn look(view: &View) -> Found<ModelOnPart> {
    // What does not suit is said in the units picked.
    let analyst = analysis::Analyst::with_units(view.units);
    let question = document::Question::clone(&view.project.question);
    let job = analyst.proposal_job(&view.project, view.layout.id, question);
    Found::start("models on the part", move || job.models_on_part().map_err(|why| why.to_string()))
}

/// Draws the list, or the form of one's own model.
pub fn library_ui(ui: &mut Ui, view: &View, form: &mut LibraryForm, actions: &mut Vec<Action>) -> Effect {
    if form.own.is_some() {
        return own_ui(ui, view, form, actions);
    }
    title(ui, "Cup models");
    ui.label(
        RichText::new(
            "Built-in models are invented and generic. Click one to add it to the project and \
        place it, or choose it with the arrow keys and press Enter. Replace its values with measured or \
        stated ones. Pictures share one scale: the lip with sealing line and bore, and the side view.",
        )
        .color(view.tokens.second),
    );
    let mut effect = Effect::Stay;
    let mut enter = false;
    ui.horizontal(|ui| {
        let words = ("Search cup models", "Search: long, 40, foam…");
        let searched = search_ui(ui, &mut form.search, &mut form.focused, words);
        enter = searched.enter;
        if searched.changed {
            form.list.begin();
        }
        if ui.button("New model…").clicked() {
            form.own = Some(own_start(view));
        }
        if ui.button("From a table…").on_hover_text("CSV, one model per row").clicked() {
            effect = Effect::Then(Next::path(PathForm::new(Purpose::Models, String::new())));
        }
        as_table_ui(ui, !view.project.models.is_empty(), Output::MODELS, actions);
    });
    let words: Vec<String> = form.search.to_lowercase().split_whitespace().map(str::to_owned).collect();
    let matches = |m: &CupModel| {
        words.iter().all(|w| m.name.to_lowercase().contains(w) || m.material.to_lowercase().contains(w))
    };
    let found = form.on_part.get_or_insert_with(|| look(view)).clone();
    let on_part = found.shown(ui, view);
    let waits = found.waits();
    let only = (&mut form.only_suiting, "only what suits this part");
    if order_ui(ui, view, &mut form.order, &Order::ALL, only) {
        form.list.begin();
    }
    let figures =
        |model: &CupModel| on_part.and_then(|all| all.iter().find(|one| one.suits.model == model.id));
    let only = form.only_suiting;
    let listed = |models: &[Arc<CupModel>]| -> Vec<Arc<CupModel>> {
        let suits = |m: &CupModel| !only || figures(m).is_none_or(|one| one.suits.why_not.is_none());
        let mut models: Vec<_> = models.iter().filter(|m| matches(m) && suits(m)).cloned().collect();
        let key = |m: &CupModel| (!called(m, &words), form.order.key(m, figures(m)));
        models.sort_by(|a, b| {
            let ((ua, (ra, na)), (ub, (rb, nb))) = (key(a), key(b));
            ua.cmp(&ub).then(ra.cmp(&rb)).then(na.total_cmp(&nb)).then(a.name.cmp(&b.name))
        });
        models
    };
    let (own, built_in) = (listed(&view.project.models), listed(document::library()));
    let items = |models: &[Arc<CupModel>], own: bool| -> Vec<Item> {
        models.iter().map(|model| item(view, model, figures(model), own, waits)).collect()
    };
    let groups = [("In this project", items(&own, true)), ("Built in", items(&built_in, false))];
    let all: Vec<&Arc<CupModel>> = own.iter().chain(&built_in).collect();
    let scale = cup_picture::scale(form.list.largest(), PICTURE);
    let draw = |painter: &egui::Painter, rect: egui::Rect, index: usize| {
        if let Some(model) = all.get(index) {
            cup_picture::draw(painter, &view.tokens, rect, model, scale);
        }
    };
    match list_ui(ui, view, &mut form.list, &COLUMNS, &groups, enter, &draw) {
        Some(Hand::Row(index)) => {
            if let Some(model) = all.get(index) {
                if view.project.model(&model.id).is_none() {
                    actions.push(Action::Edit(Edit::AddModel((*model).clone())));
                }
                let model = model.id.clone();
                actions.push(Action::Tool(crate::plan::Tool::Place { model, turn_deg: 0.0 }));
                effect = Effect::Close;
            }
        }
        Some(Hand::Link(index, CHANGE)) => form.own = all.get(index).map(|model| (***model).clone()),
        Some(Hand::Link(index, _)) => {
            actions.extend(all.get(index).map(|model| Action::Edit(Edit::RemoveModel(model.id.clone()))));
        }
        None => {}
    }
    match (effect, buttons(ui, &["Close"], true)) {
        (Effect::Stay, Some(_)) => Effect::Close,
        (effect, _) => effect,
    }
}

const CHANGE: &str = "change…";
const REMOVE: &str = "remove";

/// Whether a model is called by the words that were typed, and does not only have them somewhere: it comes first.
fn called(model: &CupModel, words: &[String]) -> bool {
    let name = model.name.to_lowercase();
    let mut own = name.split([' ', ',']).filter(|word| !word.is_empty());
    !words.is_empty() && words.iter().all(|word| own.next() == Some(word.as_str()))
}

impl Order {
    /// Rank, then figure: the least first.
    fn key(self, model: &CupModel, of: Option<&ModelOnPart>) -> (u8, f64) {
        match self {
            Self::Suits => {
                let suits = of.is_none_or(|one| one.suits.why_not.is_none());
                let least = of.and_then(|one| one.suits.at_least).unwrap_or(usize::MAX);
                (u8::from(!suits), least as f64)
            }
            Self::Size => (0, model.shape.size().max_element()),
            Self::Travel => (0, -model.travel_mm.value),
            Self::Force => (0, -of.map_or(0.0, |one| one.force_n)),
            Self::Friction => (0, -of.map_or(0.0, |one| one.friction_n)),
            Self::Name => (0, 0.0),
        }
    }
}

/// A model as a row.
fn item(view: &View, model: &CupModel, on_part: Option<&ModelOnPart>, own: bool, waits: bool) -> Item {
    let used = view.project.layouts.iter().flat_map(|l| &l.cups).filter(|c| c.model == model.id).count();
    let note = match (own, used) {
        (true, 0) => "not placed".to_owned(),
        (true, used) => format!("{used} placed"),
        (false, _) if view.project.model(&model.id).is_some() => "in this project".to_owned(),
        (false, _) => String::new(),
    };
    let links = match (own, used) {
        (false, _) => Vec::new(),
        (true, 0) => vec![CHANGE, REMOVE],
        (true, _) => vec![CHANGE],
    };
    let size = model.shape.size();
    let lip = match model.shape {
        LipShape::Round { .. } => format!("Ø {}", view.size(size.x)),
        _ => format!(
            "{} × {}",
            units::show_size(size.x, Quantity::Length, &view.units).number,
            view.size(size.y)
        ),
    };
    let or_dash = |text: Option<String>| text.unwrap_or_else(|| if waits { "…" } else { "–" }.to_owned());
    let suits = on_part.filter(|one| one.suits.why_not.is_none());
    let cells = vec![
        lip,
        view.size(model.travel_mm.value),
        or_dash(on_part.map(|one| view.text(one.force_n, Quantity::Force))),
        or_dash(on_part.map(|one| view.text(one.friction_n, Quantity::Force))),
        or_dash(suits.and_then(|one| one.suits.at_least).map(|count| count.to_string())),
    ];
    let hardness = view.fixed(model.hardness_shore_a, 0);
    Item {
        name: model.name.clone(),
        below: format!("{}, {hardness} Shore A, {}", model.material, model.folds_label()),
        spoken: format!("Place {}", model.name),
        value: told(view, on_part, &note),
        active: false,
        cells,
        against: on_part.and_then(|one| one.suits.why_not.clone()),
        note,
        links,
        hover: crate::model_row::describe(view, model),
        extent: cup_picture::extent(model),
    }
}

/// What a model would do on the part, in few words: its force, what friction holds, how many at least; or why it does not suit.
fn told(view: &View, on_part: Option<&ModelOnPart>, note: &str) -> String {
    let Some(one) = on_part else { return note.to_owned() };
    let apart = if note.is_empty() { "" } else { ", " };
    if let Some(why) = &one.suits.why_not {
        return format!("{why}{apart}{note}");
    }
    let force = view.text(one.force_n, Quantity::Force);
    let slide = view.text(one.friction_n, Quantity::Force);
    let least = match one.suits.at_least {
        Some(1) => ", one at least".to_owned(),
        Some(n) => format!(", {n} at least"),
        None => String::new(),
    };
    format!("{force}, friction {slide}{least}{apart}{note}")
}

/// A copy of the first model at hand, under a new name.
fn own_start(view: &View) -> CupModel {
    let base = view.project.models.first().cloned().unwrap_or_else(|| document::library()[0].clone());
    let mut number = 1;
    while view.project.model(&ModelId(format!("own-{number}").into())).is_some() {
        number += 1;
    }
    CupModel {
        id: ModelId(format!("own-{number}").into()),
        name: format!("Own model {number}"),
        ..(*base).clone()
    }
}

fn own_ui(ui: &mut Ui, view: &View, form: &mut LibraryForm, actions: &mut Vec<Action>) -> Effect {
    let Some(mut model) = form.own.clone() else { return Effect::Stay };
    let known = view.project.model(&model.id).is_some();
    title(ui, if known { "Change a cup model" } else { "New cup model" });
    egui::ScrollArea::vertical().max_height(420.0).auto_shrink([false, true]).id_salt("own model").show(
        ui,
        |ui| {
            ui.columns(2, |columns| {
                columns[0].spacing_mut().item_spacing.y = 0.0;
                columns[1].spacing_mut().item_spacing.y = 0.0;
                shape_ui(&mut columns[0], view, &mut model);
                behaviour_ui(&mut columns[1], view, &mut model);
            });
        },
    );
    if let Some(problem) = &form.problem {
        ui.label(RichText::new(problem).color(view.tokens.fail));
    }
    let answer = buttons(ui, &[if known { "Change" } else { "Add to the project" }, "Back"], true);
    match answer {
        Some(0) => {
            if let Some(problem) = model_problem(&model, &view.units) {
                form.problem = Some(problem);
                form.own = Some(model);
                return Effect::Stay;
            }
            let id = model.id.clone();
            let model = Arc::new(model);
            actions.push(Action::Edit(if known {
                Edit::ChangeModel { model, what: "figures".to_owned() }
            } else {
                Edit::AddModel(model)
            }));
            if !known {
                actions.push(Action::Tool(crate::plan::Tool::Place { model: id, turn_deg: 0.0 }));
            }
            Effect::Close
        }
        Some(_) => {
            form.own = None;
            form.problem = None;
            Effect::Stay
        }
        None => {
            form.own = Some(model);
            Effect::Stay
        }
    }
}

/// The first thing that keeps the figures from being worked with, as a sentence.
fn model_problem(model: &CupModel, units: &units::UnitChoice) -> Option<String> {
    let problem = model.problems().into_iter().next()?.in_units(units);
    Some(format!("{}: {}.", units::capital(&problem.says), problem.remedy))
}

fn shape_ui(ui: &mut Ui, view: &View, model: &mut CupModel) {
    let units = &view.units;
    if let Some(v) = fields::text(ui, "model name", "Model name", &model.name, "") {
        model.name = v;
    }
    let kind = match model.shape {
        LipShape::Round { .. } => 0u8,
        LipShape::Long { .. } => 1,
        LipShape::Rectangle { .. } => 2,
    };
    let size = model.shape.size();
    if let Some(v) =
        fields::choice(ui, "shape", "Lip", kind, &[(0, "round"), (1, "long"), (2, "rectangle")], "")
    {
        model.shape = match v {
            0 => LipShape::Round { diameter: size.y },
            1 => LipShape::Long { length: size.x.max(size.y * 2.0), width: size.y },
            _ => LipShape::Rectangle { length: size.x, width: size.y, corner: size.y / 5.0 },
        };
    }
    let number = |ui: &mut Ui, key: &str, value: &mut f64| {
        if let Some(v) = fields::known(key).number(ui, "", *value, units) {
            *value = v;
        }
    };
    match &mut model.shape {
        LipShape::Round { diameter } => number(ui, "model.shape.diameter", diameter),
        LipShape::Long { length, width } => {
            number(ui, "model.shape.length", length);
            number(ui, "model.shape.width", width);
        }
        LipShape::Rectangle { length, width, corner } => {
            number(ui, "model.shape.length", length);
            number(ui, "model.shape.width", width);
            number(ui, "model.shape.corner", corner);
        }
    }
    number(ui, "model.bore_mm", &mut model.bore_mm);
    number(ui, "model.height_mm", &mut model.height_mm);
    number(ui, "model.closes_mm", &mut model.closes_mm);
    if let Some(v) = fields::known("model.folds").count(ui, "", u32::from(model.folds), units) {
        model.folds = v as u8;
    }
    number(ui, "model.mass_g", &mut model.mass_g);
    if let Some(v) = fields::known("model.thread").text(ui, "", &model.thread) {
        model.thread = v;
    }
    let mut hole = model.drill_mm.unwrap_or(0.0);
    number(ui, "model.drill_mm", &mut hole);
    model.drill_mm = (hole > 0.0).then_some(hole);
    if let Some(v) = fields::known("model.material").text(ui, "", &model.material) {
        model.material = v;
    }
}

fn behaviour_ui(ui: &mut Ui, view: &View, model: &mut CupModel) {
    let units = &view.units;
    let sourced = |ui: &mut Ui, key: &str, value: &mut Sourced<f64>| {
        if let Some(v) = fields::known(key).sourced(ui, "", value, units) {
            *value = v;
        }
    };
    // Worked out unless somebody states it.
    let derived = |ui: &mut Ui, key: &str, now: Sourced<f64>, slot: &mut Option<Sourced<f64>>| {
        if let Some(v) = fields::known(key).sourced(ui, "", &now, units) {
            *slot = Some(v);
        }
    };
    sourced(ui, "model.sealing_share", &mut model.sealing_share);
    sourced(ui, "model.axial_n_mm", &mut model.axial_n_mm);
    sourced(ui, "model.lateral_n_mm", &mut model.lateral_n_mm);
    sourced(ui, "model.tilt_reduction", &mut model.tilt_reduction);
    derived(ui, "model.side_lever_mm", model.side_lever(), &mut model.side_lever_mm);
    derived(ui, "model.lip_width_mm", model.lip_width(), &mut model.lip_width_mm);
    sourced(ui, "model.seal_minimum_n_mm", &mut model.seal_minimum_n_mm);
    sourced(ui, "model.travel_mm", &mut model.travel_mm);
    sourced(ui, "model.channel_mm", &mut model.channel_mm);
    derived(ui, "model.free_ml", model.free(), &mut model.free_ml);
    sourced(ui, "model.lip_life_picks", &mut model.lip_life_picks);
    let row = fields::known("model.hardness_shore_a");
    if let Some(v) = row.bounded(ui, "", model.hardness_shore_a, units) {
        model.hardness_shore_a = v;
    }
    let kinds: Vec<(LipKind, &str)> = LipKind::ALL.iter().map(|k| (*k, k.label())).collect();
    if let Some(v) = fields::known("model.lip").choice(ui, "", model.lip, &kinds) {
        model.lip = v;
    }
    ui.label("Meant for");
    for texture in Texture::ALL {
        let mut on = model.allowed.contains(texture);
        if ui.checkbox(&mut on, texture.label()).changed() {
            model.allowed.retain(|t| t != texture);
            if on {
                model.allowed.push(*texture);
            }
        }
    }
}
