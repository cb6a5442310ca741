//! The figures of one source: curve and feeds as tables, the curve drawn beside.

use crate::{chart::chart, fields, theme::Size, view::View};
use document::{CurveFlow, CurvePoint, FeedPoint, Origin, SourceKind, SourceModel};
use egui::{Grid, RichText, Ui};
use egui_plot::{Line, PlotPoints, Points};
use units::Quantity;

/// Width of a figure in a table.
const CELL: f32 = 74.0;
/// What a motor starts from, W (invented, generic).
const POWER_W: f64 = 250.0;
/// What an ejector starts from: rated feed, kPa, and air used over air drawn without load (invented, generic).
const FEED_KPA: f64 = 500.0;
const AIR_OVER_FLOW: f64 = 1.3;
/// What lets dirt through starts from, mm (invented, generic).
const STRAIGHT_MM: f64 = 13.0;

/// Draws the form.
pub fn source_ui(ui: &mut Ui, view: &View, source: &mut SourceModel) {
    ui.columns(2, |columns| {
        for column in columns.iter_mut() {
            column.spacing_mut().item_spacing.y = 0.0;
        }
        figures_ui(&mut columns[0], view, source);
        curve_ui(&mut columns[1], view, source);
    });
}

fn figures_ui(ui: &mut Ui, view: &View, source: &mut SourceModel) {
    let units = &view.units;
    if let Some(v) = fields::text(ui, "source name", "Source name", &source.name, "") {
        source.name = v;
    }
    let kinds: Vec<(SourceKind, &str)> = SourceKind::ALL.iter().map(|k| (*k, k.label())).collect();
    if let Some(kind) = fields::known("source.kind").choice(ui, "", source.kind, &kinds) {
        become_kind(source, kind);
    }
    if source.kind == SourceKind::Ejector {
        let row = fields::known("source.rated_feed_kpa");
        if let Some(v) = row.number(ui, "", source.rated_feed_kpa, units) {
            source.rated_feed_kpa = v;
        }
    } else if let Some(v) = fields::known("source.power_w").number(ui, "", source.power_w, units) {
        source.power_w = v;
    }
    let why = &document::help_of("source.air_saving", units);
    fields::tick(ui, "Air saving", &mut source.air_saving, why);
    let mut straight = source.straight_bore_mm.is_some();
    let why = &document::help_of("source.straight_bore_mm", units);
    if fields::tick(ui, "Dirt passes through", &mut straight, why) {
        source.straight_bore_mm = straight.then_some(STRAIGHT_MM);
    }
    if let Some(bore) = &mut source.straight_bore_mm
        && let Some(v) = fields::known("source.straight_bore_mm").number(ui, "", *bore, units)
    {
        *bore = v;
    }
    if let Some(v) = fields::known("source.volume_ml").number(ui, "", source.volume_ml, units) {
        source.volume_ml = v;
    }
    if let Some(v) = fields::known("source.mass_g").number(ui, "", source.mass_g, units) {
        source.mass_g = v;
    }
    let origins: Vec<(Origin, &str)> = Origin::ALL.iter().map(|o| (*o, o.label())).collect();
    if let Some(origin) = fields::known("source.figures").choice(ui, "", source.figures, &origins) {
        source.figures = origin;
        source.on = crate::today();
    }
    if let Some(v) = fields::text(ui, "figures on", "As of", &source.on, "Date of the values, year-month-day")
    {
        source.on = v;
    }
    if source.kind == SourceKind::Ejector {
        fields::parting(ui);
        feeds_ui(ui, view, source);
    }
}

/// What another kind has no use for goes, what it needs gets a start.
fn become_kind(source: &mut SourceModel, kind: SourceKind) {
    source.kind = kind;
    if kind == SourceKind::Ejector {
        source.power_w = 0.0;
        if source.feed.is_empty() {
            source.rated_feed_kpa = FEED_KPA;
            let flow = source.curve.first().map_or(0.0, |p| p.flow_nl_min);
            let air_nl_min = (flow * AIR_OVER_FLOW).round().max(1.0);
            source.feed =
                vec![FeedPoint { feed_kpa: FEED_KPA, flow_share: 1.0, level_share: 1.0, air_nl_min }];
        }
    } else {
        source.feed.clear();
        source.rated_feed_kpa = 0.0;
        if source.power_w <= 0.0 {
            source.power_w = POWER_W;
        }
    }
}

fn curve_ui(ui: &mut Ui, view: &View, source: &mut SourceModel) {
    let t = view.tokens;
    let units = &view.units;
    let (level, level_unit) = units::unit_of(Quantity::VacuumLevel, units);
    let flow_kind = match source.curve_flow {
        CurveFlow::Anr => Quantity::Flow,
        CurveFlow::Inlet => Quantity::InletFlow,
    };
    let (flow, flow_unit) = units::unit_of(flow_kind, units);
    ui.label(RichText::new("Flow against level").font(Size::Body.strong()));
    let choices: Vec<(CurveFlow, &str)> = CurveFlow::ALL.iter().map(|of| (*of, of.label())).collect();
    let why = "Air drawn is a mass, given as litres ANR; a pump\u{2019}s data often give the volume at its \
        inlet, where the air is thin";
    if let Some(v) = fields::choice(ui, "curve flow", "Flow is", source.curve_flow, &choices, why) {
        source.curve_flow = v;
    }
    let points: Vec<[f64; 2]> =
        source.curve.iter().map(|p| [p.level_kpa / level, p.flow_nl_min / flow]).collect();
    let shown = chart("source curve", [level_unit, flow_unit], &t, units);
    let plot = shown.show(ui, |plot| {
        plot.line(Line::new("", PlotPoints::from(points.clone())).color(t.working).width(2.0));
        plot.points(Points::new("", PlotPoints::from(points)).color(t.working).radius(3.5));
    });
    let spoken = format!("Curve of {}, {} points", source.name, source.curve.len());
    ui.ctx().accesskit_node_builder(plot.response.id, |node| node.set_label(spoken));
    ui.add_space(4.0);
    let mut gone = None;
    Grid::new("curve points").min_col_width(24.0).num_columns(4).spacing([10.0, 0.0]).show(ui, |ui| {
        for head in ["", &format!("Level, {level_unit}"), &format!("Flow, {flow_unit}"), ""] {
            ui.label(RichText::new(head).font(Size::Small.font()).color(t.second));
        }
        ui.end_row();
        for (index, point) in source.curve.iter_mut().enumerate() {
            let number = index + 1;
            ui.label(RichText::new(number.to_string()).color(t.second));
            let spoken = format!("Level of point {number}");
            let salt = ("curve level", index);
            if let Some(v) =
                fields::cell(ui, salt, &spoken, point.level_kpa, Quantity::VacuumLevel, units, CELL)
            {
                point.level_kpa = v;
            }
            let spoken = format!("Flow of point {number}");
            let salt = ("curve flow", index);
            if let Some(v) = fields::cell(ui, salt, &spoken, point.flow_nl_min, flow_kind, units, CELL) {
                point.flow_nl_min = v;
            }
            if remove_ui(ui, &format!("Remove point {number}")) {
                gone = Some(index);
            }
            ui.end_row();
        }
    });
    if let Some(index) = gone {
        source.curve.remove(index);
    }
    let why = "Added halfway between the last two; enter the real flow there";
    if ui.link("add a point").on_hover_text(why).clicked() {
        add_point(&mut source.curve);
    }
}

fn add_point(curve: &mut Vec<CurvePoint>) {
    let start = CurvePoint { level_kpa: 0.0, flow_nl_min: 50.0 };
    match curve.as_slice() {
        [] => curve.push(start),
        [first] => curve.push(CurvePoint { level_kpa: first.level_kpa + 80.0, flow_nl_min: 0.0 }),
        [.., a, b] => {
            let between = CurvePoint {
                level_kpa: (a.level_kpa + b.level_kpa) / 2.0,
                flow_nl_min: (a.flow_nl_min + b.flow_nl_min) / 2.0,
            };
            curve.insert(curve.len() - 1, between);
        }
    }
}

fn feeds_ui(ui: &mut Ui, view: &View, source: &mut SourceModel) {
    let t = view.tokens;
    let units = &view.units;
    let why = "Effect of other feed pressures: free flow and deepest level relative to the rated feed, and \
        the compressed air used";
    ui.label(RichText::new("At other feeds").font(Size::Body.strong())).on_hover_text(why);
    let unit = |q: Quantity| units::unit_of(q, units).1;
    let (feed, flow) = (unit(Quantity::FeedPressure), unit(Quantity::Flow));
    let mut gone = None;
    Grid::new("feed points").num_columns(5).spacing([6.0, 0.0]).show(ui, |ui| {
        for head in [&format!("Feed, {feed}"), "Flow, %", "Level, %", &format!("Air, {flow}"), ""] {
            ui.label(RichText::new(head).font(Size::Small.font()).color(t.second));
        }
        ui.end_row();
        for (index, point) in source.feed.iter_mut().enumerate() {
            let number = index + 1;
            let cells: [(&str, &mut f64, Quantity); 4] = [
                ("Feed", &mut point.feed_kpa, Quantity::FeedPressure),
                ("Flow share", &mut point.flow_share, Quantity::Share),
                ("Level share", &mut point.level_share, Quantity::Share),
                ("Air", &mut point.air_nl_min, Quantity::Flow),
            ];
            for (name, value, quantity) in cells {
                let spoken = format!("{name} of feed {number}");
                let salt = ("feed", name, index);
                if let Some(v) = fields::cell(ui, salt, &spoken, *value, quantity, units, CELL - 8.0) {
                    *value = v;
                }
            }
            if remove_ui(ui, &format!("Remove feed {number}")) {
                gone = Some(index);
            }
            ui.end_row();
        }
    });
    if let Some(index) = gone {
        source.feed.remove(index);
    }
    if ui.link("add a feed").clicked() {
        let last = source.feed.last().copied();
        let start = FeedPoint {
            feed_kpa: source.rated_feed_kpa,
            flow_share: 1.0,
            level_share: 1.0,
            air_nl_min: source.curve.first().map_or(1.0, |p| p.flow_nl_min * AIR_OVER_FLOW),
        };
        source.feed.push(last.map_or(start, |p| FeedPoint { feed_kpa: p.feed_kpa + 100.0, ..p }));
    }
}

/// A small cross, named for assistive technology.
fn remove_ui(ui: &mut Ui, spoken: &str) -> bool {
    let button = ui.add(egui::Button::new("×").frame_when_inactive(false).small());
    ui.ctx().accesskit_node_builder(button.id, |node| node.set_label(spoken));
    button.on_hover_text(spoken).clicked()
}
