//! Sources: those of the project, the built-in ones, a form for one's own, and tables.

use super::{
    Effect, Next, PathForm, Purpose, as_table_ui, buttons,
    choice_head::{Found, order_ui, search_ui},
    choice_list::{Column, Hand, Item, ListState, list_ui},
    source_form, title,
};
use crate::{
    outputs::Output,
    view::{Action, View},
};
use analysis::SourceOnCircuit;
use document::{CircuitId, Edit, SourceId, SourceModel};
use egui::{Pos2, Rect, RichText, Stroke, Ui, Vec2};
use std::sync::Arc;

/// Search text, the source being made, and the circuit it is for.
#[derive(Debug, Clone, Default)]
pub struct SourcesForm {
    search: String,
    pub(super) own: Option<SourceModel>,
    circuit: Option<CircuitId>,
    /// Opened for the values of one source: done once those are entered.
    for_its_values: bool,
    focused: bool,
    /// What each would do on the circuit, once it is worked out beside the window; `None` until the list is shown.
    on_circuit: Option<Found<SourceOnCircuit>>,
    order: Order,
    only_suiting: bool,
    list: ListState,
}

/// In which order sources are listed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
enum Order {
    /// What suits first, the least power first of these.
    #[default]
    Suits,
    Flow,
    Air,
    Power,
    Name,
}

impl Order {
    const ALL: [(Self, &'static str); 5] = [
        (Self::Suits, "suitability"),
        (Self::Flow, "flow"),
        (Self::Air, "air"),
        (Self::Power, "power"),
        (Self::Name, "name"),
    ];

    /// Rank, then figure: the least first.
    fn key(self, of: Option<&SourceOnCircuit>) -> (u8, f64) {
        let Some(of) = of else { return (2, 0.0) };
        match self {
            Self::Suits => (u8::from(of.why_not.is_some()), of.power_w),
            Self::Flow => (0, -of.flow_nl_min),
            Self::Air => (0, of.air_nl_min.unwrap_or(0.0)),
            Self::Power => (0, of.power_w),
            Self::Name => (0, 0.0),
        }
    }
}

const COLUMNS: [Column; 5] = [
    Column {
        name: "flow",
        why: "What it draws at the required level, all on the circuit together",
        width: 126.0,
    },
    Column { name: "level", why: "Level that the worst cup comes to with it", width: 70.0 },
    Column { name: "air", why: "Compressed air while it runs", width: 126.0 },
    Column {
        name: "power",
        why: "While it runs: of its motor, or of the compressor for its air",
        width: 64.0,
    },
    Column { name: "feed", why: "Feed pressure that it is rated at", width: 64.0 },
];

impl SourcesForm {
    /// With the figures of what feeds a circuit.
    pub fn of(view: &View, circuit: CircuitId) -> Self {
        let supply = view.project.circuit(circuit).and_then(|c| c.supply.as_ref());
        let own = supply.and_then(|s| view.project.source(&s.source)).map(|s| SourceModel::clone(s));
        Self { own, circuit: Some(circuit), for_its_values: true, ..Self::default() }
    }

    /// All sources on a circuit.
    pub fn on(circuit: CircuitId) -> Self {
        Self { circuit: Some(circuit), ..Self::default() }
    }

    /// All sources on the first circuit that cups of the layout hang on.
    pub fn first(view: &View) -> Self {
        let used =
            |circuit: &&Arc<document::Circuit>| view.layout.cups.iter().any(|cup| cup.circuit == circuit.id);
        Self { circuit: view.project.circuits.iter().find(used).map(|circuit| circuit.id), ..Self::default() }
    }
}

/// Looks at every source on the circuit, beside the window.
fn look(view: &View, circuit: Option<CircuitId>) -> Found<SourceOnCircuit> {
    let Some(circuit) = circuit else { return Found::none("no circuit has cups yet") };
    let (project, layout, units) = (view.project.clone(), view.layout.id, view.units);
    Found::start("sources on the circuit", move || {
        let more = document::sources().iter().filter(|source| project.source(&source.id).is_none());
        let all: Vec<Arc<SourceModel>> = project.sources.iter().chain(more).cloned().collect();
        analysis::Analyst::with_units(units).sources_on_circuit(&project, layout, circuit, &all)
    })
}

/// Draws the list, or the form of one source.
pub fn sources_ui(ui: &mut Ui, view: &View, form: &mut SourcesForm, actions: &mut Vec<Action>) -> Effect {
    if form.own.is_some() {
        return own_ui(ui, view, form, actions);
    }
    let t = view.tokens;
    let circuit = form.circuit.and_then(|id| view.project.circuit(id));
    title(ui, &circuit.map_or("Sources".to_owned(), |circuit| format!("Sources for {}", circuit.name)));
    let feeds = circuit.is_some_and(|circuit| circuit.supply.is_some());
    let does = if feeds {
        "Click one to feed the circuit with it, or mark it with the arrow keys and press Enter. Each is calculated on \
        this circuit as it is."
    } else {
        "Click one to add it to the project."
    };
    let says = format!(
        "What makes the vacuum. {does} Built-in sources are invented and generic: copy one and enter the values of \
        the real one. Curves in view have the same axes, with the required level upright and the root of the flow."
    );
    ui.add(egui::Label::new(RichText::new(says).color(t.second)).wrap());
    let mut effect = Effect::Stay;
    let mut enter = false;
    ui.horizontal(|ui| {
        let words = ("Search sources", "Search: deep, pump, 90…");
        let searched = search_ui(ui, &mut form.search, &mut form.focused, words);
        enter = searched.enter;
        if searched.changed {
            form.list.begin();
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
    let only = (&mut form.only_suiting, "only what suits this circuit");
    if order_ui(ui, view, &mut form.order, &Order::ALL, only) {
        form.list.begin();
    }
    let found = form.on_circuit.get_or_insert_with(|| look(view, form.circuit)).clone();
    let told = found.shown(ui, view);
    choose_ui(ui, view, form, told, enter, feeds, actions, &mut effect);
    if matches!(effect, Effect::Stay) && buttons(ui, &["Close"], true).is_some() {
        return Effect::Close;
    }
    effect
}

/// The list with what a person does in it.
#[allow(clippy::too_many_arguments, reason = "what is listed, how, and into what")]
fn choose_ui(
    ui: &mut Ui,
    view: &View,
    form: &mut SourcesForm,
    told: Option<&[SourceOnCircuit]>,
    enter: bool,
    feeds: bool,
    actions: &mut Vec<Action>,
    effect: &mut Effect,
) {
    let words: Vec<String> = form.search.to_lowercase().split_whitespace().map(str::to_owned).collect();
    let figures = |source: &SourceModel| told.and_then(|all| all.iter().find(|one| one.source == source.id));
    let (only, order) = (form.only_suiting, form.order);
    let listed = |sources: &mut dyn Iterator<Item = &Arc<SourceModel>>| -> Vec<Arc<SourceModel>> {
        let matches = |source: &SourceModel| {
            let text = format!("{} {}", source.name, source.kind.label()).to_lowercase();
            let suits = !only || figures(source).is_none_or(|one| one.why_not.is_none());
            suits && words.iter().all(|word| text.contains(word))
        };
        let mut all: Vec<_> = sources.filter(|source| matches(source)).cloned().collect();
        all.sort_by(|a, b| {
            let ((ra, na), (rb, nb)) = (order.key(figures(a)), order.key(figures(b)));
            ra.cmp(&rb).then(na.total_cmp(&nb)).then(a.name.cmp(&b.name))
        });
        all
    };
    let own = listed(&mut view.project.sources.iter());
    let not_here = |source: &&Arc<SourceModel>| view.project.source(&source.id).is_none();
    let built_in = listed(&mut document::sources().iter().filter(not_here));
    let item = |source: &Arc<SourceModel>| item(view, form.circuit, source, figures(source), feeds);
    let groups = [
        ("In this project", own.iter().map(item).collect::<Vec<_>>()),
        ("Built in", built_in.iter().map(item).collect()),
    ];
    let all: Vec<&Arc<SourceModel>> = own.iter().chain(&built_in).collect();
    let largest = form.list.largest();
    let draw = |painter: &egui::Painter, rect: Rect, index: usize| {
        if let Some(source) = all.get(index) {
            curve(painter, view, rect, source, figures(source), largest);
        }
    };
    let hand = list_ui(ui, view, &mut form.list, &COLUMNS, &groups, enter, &draw);
    let of = |index: usize| all.get(index).map(|source| Arc::clone(source));
    match hand {
        Some(Hand::Row(index)) => {
            let Some(source) = of(index) else { return };
            let fed = form.circuit.and_then(|id| analysis::fed_by(&view.project, id, &source));
            match fed {
                Some(edit) => {
                    actions.push(Action::Edit(edit));
                    *effect = Effect::Close;
                }
                None if view.project.source(&source.id).is_none() => {
                    actions.push(Action::Edit(Edit::AddSource(source)));
                }
                None => form.own = Some(SourceModel::clone(&source)),
            }
        }
        Some(Hand::Link(index, CHANGE)) => form.own = of(index).map(|source| SourceModel::clone(&source)),
        Some(Hand::Link(index, COPY)) => form.own = of(index).map(|source| copy(view, &source)),
        Some(Hand::Link(index, _)) => {
            actions.extend(of(index).map(|source| Action::Edit(Edit::RemoveSource(source.id.clone()))));
        }
        None => {}
    }
}

const CHANGE: &str = "change…";
const COPY: &str = "copy…";
const REMOVE: &str = "remove";

/// A source as a row.
fn item(
    view: &View,
    circuit: Option<CircuitId>,
    source: &Arc<SourceModel>,
    told: Option<&SourceOnCircuit>,
    feeds: bool,
) -> Item {
    use units::Quantity as Q;
    let here = view.project.source(&source.id).is_some();
    let uses = |c: &&Arc<document::Circuit>| c.supply.as_ref().is_some_and(|s| s.source == source.id);
    let users: Vec<&Arc<document::Circuit>> = view.project.circuits.iter().filter(uses).collect();
    let names: Vec<&str> = users.iter().map(|c| c.name.as_str()).collect();
    let note = match (here, names.as_slice()) {
        (false, _) => String::new(),
        (true, []) => "not used".to_owned(),
        (true, names) => format!("feeds {}", names.join(", ")),
    };
    let links = match (here, users.is_empty()) {
        (false, _) => vec![COPY],
        (true, false) => vec![CHANGE, COPY],
        (true, true) => vec![CHANGE, COPY, REMOVE],
    };
    let or_dash = |text: Option<String>| text.unwrap_or_else(|| "–".to_owned());
    let figure = |value: Option<f64>, quantity: Q| or_dash(value.map(|value| view.text(value, quantity)));
    let cells = vec![
        figure(told.map(|one| one.flow_nl_min), Q::Flow),
        figure(told.and_then(|one| one.level_kpa), Q::VacuumLevel),
        figure(told.and_then(|one| one.air_nl_min), Q::Flow),
        or_dash(told.map(|one| format!("{} W", view.fixed(one.power_w, 0)))),
        figure((source.rated_feed_kpa > 0.0).then_some(source.rated_feed_kpa), Q::FeedPressure),
    ];
    let (deepest, most) = ends(source);
    let free = if source.curve_flow == document::CurveFlow::Anr { Q::Flow } else { Q::InletFlow };
    let saving = if source.air_saving { ", air saving" } else { "" };
    let below = format!(
        "{}, {} free flow, {} deepest{saving}",
        source.kind.label(),
        view.text(most, free),
        view.text(deepest, Q::VacuumLevel)
    );
    let verb = match (feeds, here) {
        (true, _) => "Feed with",
        (false, true) => "Values of",
        (false, false) => "Add",
    };
    let against = told.and_then(|one| one.why_not.clone());
    let value = match (&against, told) {
        (Some(why), _) => why.clone(),
        (None, Some(_)) => {
            let spoken = COLUMNS.iter().zip(&cells).map(|(column, cell)| format!("{} {cell}", column.name));
            format!("suits; {}", spoken.collect::<Vec<_>>().join("; "))
        }
        (None, None) => note.clone(),
    };
    Item {
        name: source.name.clone(),
        below,
        spoken: format!("{verb} {}", source.name),
        value,
        active: circuit.is_some_and(|id| users.iter().any(|user| user.id == id)),
        cells,
        against,
        note,
        links,
        hover: describe(view, source),
        extent: [deepest, most],
    }
}

/// A copy under a new id and name, for one's own figures.
fn copy(view: &View, of: &SourceModel) -> SourceModel {
    let id = |number: u32| SourceId(format!("own-source-{number}").into());
    let number = (1..).find(|n| view.project.source(&id(*n)).is_none()).unwrap_or(1);
    SourceModel { id: id(number), name: format!("Own source {number}"), ..of.clone() }
}

/// Its curve on axes that all in view have in common, with what it draws at the required level.
fn curve(
    painter: &egui::Painter,
    view: &View,
    rect: Rect,
    source: &SourceModel,
    told: Option<&SourceOnCircuit>,
    [deepest, most]: [f64; 2],
) {
    let t = view.tokens;
    let area = rect.shrink2(Vec2::new(6.0, 4.0));
    let at = |level: f64, flow: f64| {
        let share = |value: f64, of: f64| if of > 0.0 { (value / of).clamp(0.0, 1.0) as f32 } else { 0.0 };
        Pos2::new(
            area.left() + area.width() * share(level, deepest),
            // As its root: a small ejector would lie on the axis beside a blower.
            area.bottom() - area.height() * share(flow, most).sqrt(),
        )
    };
    let hairline = Stroke::new(1.0, t.hairline);
    painter.line(vec![area.left_top(), area.left_bottom(), area.right_bottom()], hairline);
    let points = source.curve.iter().map(|point| at(point.level_kpa, point.flow_nl_min));
    painter.line(points.collect(), Stroke::new(1.6, t.working));
    let Some(told) = told else { return };
    let x = at(told.needed_kpa, 0.0).x;
    painter.vline(x, area.y_range(), Stroke::new(1.0, t.second));
    // A curve of volume at the inlet has no place for a mass.
    if source.curve_flow == document::CurveFlow::Anr {
        painter.circle_filled(at(told.needed_kpa, told.flow_nl_min), 2.5, t.ink);
    }
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
            let fed = for_circuit.and_then(|id| analysis::fed_by(&view.project, id, &source));
            let done = form.for_its_values || fed.is_some();
            let edit = match fed {
                Some(edit) => edit,
                None if known => Edit::ChangeSource { source, what: "values of the source".to_owned() },
                None => Edit::AddSource(source),
            };
            actions.push(Action::Edit(edit));
            form.on_circuit = None;
            if done { Effect::Close } else { Effect::Stay }
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
