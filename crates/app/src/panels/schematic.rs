//! The circuit as a schematic: source at the left, valves and manifold in between, a row for every cup at the right, each
//! element with its loss.

use crate::{
    plan,
    theme::Size,
    view::{Action, View},
    widgets::{one_line, row_ground},
};
use analysis::{CircuitCup, CircuitElement, CircuitReport, CircuitStatus, ElementOf};
use document::CupId;
use egui::{Align2, Pos2, Rect, RichText, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};
use std::collections::BTreeSet;
use units::Quantity;

/// Height of a cup's row.
const ROW: f32 = 34.0;
/// Height of a line of what all cups share.
const LINE: f32 = 15.0;
/// How far from the left edge the source stands.
const SOURCE: f32 = 14.0;
/// Below this width what all share stands over the cups.
const NARROW: f32 = 460.0;

/// Draws the schematic of every circuit of the layout, one under another.
pub fn schematic_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let rect = ui.available_rect_before_wrap();
    ui.painter().rect_filled(rect, 0.0, t.ground);
    ui.painter().vline(rect.left(), rect.y_range(), Stroke::new(1.0, t.hairline));
    let inner = rect.shrink2(Vec2::new(16.0, 8.0));
    ui.scope_builder(egui::UiBuilder::new().max_rect(inner), |ui| {
        egui::ScrollArea::vertical().id_salt("schematic").auto_shrink([false, false]).show(ui, |ui| {
            for circuit in view
                .report
                .circuits
                .iter()
                .filter(|c| !c.cups.is_empty() || c.status != CircuitStatus::Stated)
            {
                circuit_ui(ui, view, circuit, actions);
                ui.add_space(12.0);
            }
            if view.report.circuits.iter().all(|c| c.status == CircuitStatus::Stated) {
                ui.label(
                    RichText::new(
                        "Only a level is stated. Under Circuits choose a source, and the hoses are laid out.",
                    )
                    .color(t.second),
                );
            }
        });
    });
}

fn circuit_ui(ui: &mut Ui, view: &View, circuit: &CircuitReport, actions: &mut Vec<Action>) {
    let t = view.tokens;
    ui.label(RichText::new(&circuit.name).font(Size::Heading.strong()));
    if let Some(reason) = circuit.status.no_figure() {
        ui.add(egui::Label::new(RichText::new(format!("No figure: {reason}.")).color(t.fail)).wrap());
        return;
    }
    if circuit.status == CircuitStatus::Stated {
        let text = format!("{} stated at every cup.", view.text(circuit.wanted_kpa, Quantity::VacuumLevel));
        ui.label(RichText::new(text).color(t.second));
        return;
    }
    let mut summary = Vec::new();
    if let Some(level) = circuit.source_level_kpa {
        summary.push(format!("{} at the source", view.text(level, Quantity::VacuumLevel)));
    }
    if let Some(flow) = circuit.flow_nl_min {
        summary.push(format!("{} drawn", view.text(flow, Quantity::Flow)));
    }
    if let Some(air) = circuit.air_nl_min {
        summary.push(format!("{} of compressed air while on", view.text(air, Quantity::Flow)));
    }
    ui.label(RichText::new(summary.join(", ")).font(Size::Small.font()).color(t.second));
    let trunk = trunk_lines(view, circuit);
    let rows = circuit.cups.len().max(1);
    let lines = trunk.len().max(1);
    let central = circuit.sources.iter().filter(|s| s.cup.is_none()).count();
    let lines = lines + central + beside_source(view, circuit).len();
    let central = central > 0;
    // Where the window is narrow what all share stands over the cups, so that nothing of a hose is cut.
    let stacked = ui.available_width() < NARROW;
    let shared = lines as f32 * LINE + ROW + 4.0;
    let cups = rows as f32 * ROW;
    let height = if stacked { shared + cups } else { cups.max(shared + 20.0) } + 8.0;
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), height), Sense::hover());
    let (bus, top, text_right) = if stacked {
        (rect.left() + SOURCE, rect.top() + shared, rect.right())
    } else {
        let bus = rect.left() + (rect.width() * 0.44).clamp(150.0, 280.0);
        (bus, rect.top(), bus)
    };
    if !circuit.cups.is_empty() {
        let from = if stacked && central { rect.top() + ROW * 0.5 } else { top + ROW * 0.5 };
        let last = top + ROW * (rows as f32 - 0.5);
        ui.painter().vline(bus, from..=last, Stroke::new(3.0, t.second));
    }
    if central && !stacked {
        let y = rect.top() + ROW * 0.5;
        let ends = [Pos2::new(rect.left() + SOURCE, y), Pos2::new(bus, y)];
        ui.painter().line_segment(ends, Stroke::new(2.0, t.second));
    }
    let left = if stacked { rect.left() + 2.0 * SOURCE } else { rect.left() };
    let text = Rect::from_min_max(Pos2::new(left, rect.top()), Pos2::new(text_right, rect.bottom()));
    trunk_ui(ui, view, circuit, &trunk, (rect.left() + SOURCE, central), text);
    for (i, cup) in circuit.cups.iter().enumerate() {
        let at = Pos2::new(bus, top + ROW * i as f32);
        let row = Rect::from_min_size(at, Vec2::new(rect.right() - bus, ROW));
        cup_row_ui(ui, view, circuit, cup, row, actions);
    }
}

/// Source and what all cups share, as a list along the trunk; the source stands at an x where there is one for all.
fn trunk_ui(
    ui: &Ui,
    view: &View,
    circuit: &CircuitReport,
    trunk: &[TrunkLine],
    (x, central): (f32, bool),
    rect: Rect,
) {
    let t = view.tokens;
    let painter = ui.painter();
    let y = rect.top() + ROW * 0.5;
    let source = Pos2::new(x, y);
    let bus = rect.right();
    if central {
        plan::source_symbol(painter, source, 11.0, t.ground, Stroke::new(1.4, t.ink));
    } else {
        painter.text(
            Pos2::new(rect.left(), y),
            Align2::LEFT_CENTER,
            "a source at each cup",
            Size::Body.font(),
            t.second,
        );
    }
    // The steepest losses first would hide the order; they are listed as the air passes them.
    let mut at = y + 16.0;
    for source in circuit.sources.iter().filter(|s| s.cup.is_none()) {
        let text =
            format!("{}, deepest {}", source.name, view.text(source.deepest_kpa, Quantity::VacuumLevel));
        let galley = one_line(ui, &text, bus - rect.left() - 18.0, Size::Small.font(), t.ink);
        painter.galley(Pos2::new(rect.left(), at), galley, t.ink);
        at += LINE;
    }
    for text in beside_source(view, circuit) {
        let galley = one_line(ui, &text, bus - rect.left() - 18.0, Size::Small.font(), t.second);
        let place = Rect::from_min_size(Pos2::new(rect.left(), at), galley.size());
        painter.galley(place.min, galley, t.second);
        let response = ui.interact(place, ui.scope_id().with(("beside", &text)), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, text.clone()));
        at += LINE;
    }
    for line in trunk {
        if at + 14.0 > rect.bottom() {
            break;
        }
        let colour = if line.loss_kpa > 0.1 * circuit.wanted_kpa { t.watch } else { t.second };
        let galley = one_line(ui, &line.what, bus - rect.left() - 64.0, Size::Small.font(), colour);
        painter.galley(Pos2::new(rect.left(), at), galley, colour);
        let loss = view.text(-line.loss_kpa, Quantity::VacuumLevel);
        painter.text(Pos2::new(bus - 14.0, at), Align2::RIGHT_TOP, loss, Size::Small.font(), colour);
        at += LINE;
    }
}

/// What stands at the source and is no element that the cups' air passes: vessel and exhaust.
fn beside_source(view: &View, circuit: &CircuitReport) -> Vec<String> {
    let mut lines = Vec::new();
    let supply = view.project.circuit(circuit.id).and_then(|held| held.supply.as_ref());
    if let Some(vessel) = supply.map(|supply| supply.operation.vessel_ml).filter(|ml| *ml > 0.0) {
        lines.push(format!("vessel, {}", view.text(vessel, Quantity::Volume)));
    }
    let exhausts = circuit.sources.iter().filter(|source| source.cup.is_none());
    for takes in exhausts.filter_map(|source| source.exhaust.as_ref()) {
        let back = view.text(takes.back_pressure_kpa, Quantity::FeedPressure);
        lines.push(format!("exhaust, {back} back-pressure"));
    }
    lines
}

/// What an element is besides hoses, fittings and bores; it is shown whatever it loses, since it is there to be found.
fn part_of_line(of: &ElementOf) -> Option<&'static str> {
    match of {
        ElementOf::Filter => Some("filter"),
        ElementOf::Restrictor => Some("restrictor"),
        ElementOf::Cells => Some("cells"),
        ElementOf::CheckValve => Some("check valve"),
        ElementOf::Valve => Some("valve"),
        ElementOf::Hose { .. }
        | ElementOf::Channel
        | ElementOf::Fitting(_)
        | ElementOf::PortTee
        | ElementOf::Entry
        | ElementOf::CupBore => None,
    }
}

/// One line of the list along the trunk.
struct TrunkLine {
    what: String,
    loss_kpa: f64,
}

/// What the cups share, as the air passes it; elements that lose next to nothing are counted together.
fn trunk_lines(view: &View, circuit: &CircuitReport) -> Vec<TrunkLine> {
    let small = units::unit_of(Quantity::VacuumLevel, &view.units).0 * 0.05;
    let (mut lines, mut rest, mut lost) = (Vec::new(), 0, 0.0);
    for element in circuit.elements.iter().filter(|e| e.cup.is_none()) {
        if element.loss_kpa < small && part_of_line(&element.of).is_none() {
            rest += 1;
            lost += element.loss_kpa;
        } else {
            lines.push(TrunkLine { what: element.what.clone(), loss_kpa: element.loss_kpa });
        }
    }
    if rest > 0 {
        let what = if rest == 1 { "one more element".to_owned() } else { format!("{rest} more elements") };
        lines.push(TrunkLine { what, loss_kpa: lost });
    }
    lines
}

fn cup_row_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &CircuitReport,
    cup: &CircuitCup,
    row: Rect,
    actions: &mut Vec<Action>,
) {
    let t = view.tokens;
    let tag = view.tag(cup.id).to_owned();
    let own: Vec<&CircuitElement> = circuit.elements.iter().filter(|e| e.cup == Some(cup.id)).collect();
    let loss: f64 = own.iter().map(|e| e.loss_kpa).sum();
    let level = view.text(cup.level_kpa, Quantity::VacuumLevel);
    let leak = view.text(cup.leak_nl_min, Quantity::Flow);
    let response = ui.interact(row, ui.scope_id().with(("schematic", cup.id)), Sense::click());
    let selected = view.selection.contains(&cup.id);
    let at_cup: Vec<&str> = own.iter().filter_map(|element| part_of_line(&element.of)).collect();
    let mut spoken = format!("Level at {tag}: {level}, leak {leak}");
    if !at_cup.is_empty() {
        spoken = format!("{spoken}, through {}", at_cup.join(", "));
    }
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, selected, spoken.clone()));
    row_ground(ui, row.shrink2(Vec2::new(10.0, 1.0)), selected, &response);
    let painter = ui.painter();
    let y = row.center().y;
    let end = row.right() - 118.0;
    painter.line_segment([Pos2::new(row.left(), y), Pos2::new(end, y)], Stroke::new(2.0, t.second));
    // The cup: a shallow bowl at the end of its line.
    let bowl = [
        Pos2::new(end + 7.0, y - 8.0),
        Pos2::new(end, y - 3.0),
        Pos2::new(end, y + 3.0),
        Pos2::new(end + 7.0, y + 8.0),
    ];
    painter.add(egui::Shape::line(bowl.to_vec(), Stroke::new(1.8, t.ink)));
    let hose = own.iter().find(|e| e.length_mm.is_some());
    if let Some(hose) = hose {
        let width = end - row.left() - 16.0;
        let text = format!(
            "{} × {}",
            view.show(hose.bore_mm.unwrap_or(0.0), Quantity::Length).number,
            view.text(hose.length_mm.unwrap_or(0.0), Quantity::Length)
        );
        let line = |text: &str| one_line(ui, text, width, Size::Small.font(), t.second);
        painter.galley(Pos2::new(row.left() + 8.0, y - 15.0), line(&text), t.second);
        let text = std::iter::once(view.text(-loss, Quantity::VacuumLevel))
            .chain(at_cup.iter().map(|s| (*s).to_owned()));
        let text = text.collect::<Vec<_>>().join(", ");
        painter.galley(Pos2::new(row.left() + 8.0, y + 2.0), line(&text), t.second);
    } else if circuit.sources.iter().any(|s| s.cup == Some(cup.id)) {
        plan::source_symbol(painter, Pos2::new(row.left() + 24.0, y), 9.0, t.ground, Stroke::new(1.3, t.ink));
    }
    let colour = plan::level_colour(view, cup);
    let left = end + 14.0;
    painter.text(Pos2::new(left, y), Align2::LEFT_BOTTOM, &tag, Size::Body.strong(), t.ink);
    let under = Pos2::new(left, y + 3.0);
    painter.text(under, Align2::LEFT_TOP, format!("leak {leak}"), Size::Small.font(), t.second);
    let text = painter.text(
        Pos2::new(row.right() - 2.0, y),
        Align2::RIGHT_BOTTOM,
        level,
        Size::Body.strong(),
        colour,
    );
    let mark = Rect::from_min_size(text.left_bottom() + Vec2::new(0.0, 0.5), Vec2::new(text.width(), 2.5));
    painter.rect(mark, 1.0, colour, Stroke::NONE, StrokeKind::Inside);
    let mut why: Vec<String> = own
        .iter()
        .map(|e| {
            format!(
                "{}: {}, {} ({})",
                e.what,
                view.text(e.flow_nl_min, Quantity::Flow),
                view.text(-e.loss_kpa, Quantity::VacuumLevel),
                e.regime.word()
            )
        })
        .collect();
    why.insert(0, spoken);
    if response.on_hover_text(why.join("\n")).clicked() {
        actions.push(Action::Select(BTreeSet::from([cup.id])));
    }
}

/// Cups of a circuit by tag, for lists.
pub fn tags(view: &View, cups: &[CupId]) -> String {
    cups.iter().map(|c| view.tag(*c)).collect::<Vec<_>>().join(", ")
}
