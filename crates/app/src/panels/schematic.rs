//! The circuit as a schematic with the symbols of ISO 1219-1: the source on top, what all cups share under it, the manifold with
//! a row for every cup below. A click on an element opens its figures.

mod edit;
mod ladder;
mod symbols;

use crate::{
    plan,
    theme::Size,
    view::{Action, View},
    widgets::{one_line, row_ground},
};
use analysis::{CircuitCup, CircuitElement, CircuitReport, CircuitStatus};
use document::{CupId, Fed};
use edit::Form;
use egui::{Align2, Pos2, Rect, RichText, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};
use ladder::{Group, Ladder, Rung};
use std::collections::BTreeSet;
use symbols::R;
use units::Quantity;

/// Height of a cup's row.
const ROW: f32 = 34.0;
/// Height of a rung of what cups share.
const RUNG: f32 = 22.0;
/// How far from the left edge the line stands.
const LINE: f32 = 28.0;
/// How far a zone's line stands to the right of the one before.
const ZONE: f32 = 20.0;
/// Most sources that are drawn one by one.
const MOST_SOURCES: usize = 4;

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
        ui.add(egui::Label::new(RichText::new(format!("No result: {reason}.")).color(t.fail)).wrap());
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
    let ladder = ladder::ladder(view, circuit);
    ladder_ui(ui, view, circuit, &ladder, actions);
}

/// A pen that goes down the ladder.
struct Pen {
    x: f32,
    y: f32,
    left: f32,
    right: f32,
}

fn ladder_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &CircuitReport,
    ladder: &Ladder<'_>,
    actions: &mut Vec<Action>,
) {
    let rungs =
        ladder.trunk.len() + ladder.groups.iter().map(|g| g.rungs.len() + zone_line(g)).sum::<usize>();
    let cups = circuit.cups.len();
    let central = !ladder.sources.is_empty();
    let head = if central { 2.0 * R + 16.0 + RUNG } else { 0.0 };
    let height = head + rungs as f32 * RUNG + cups as f32 * ROW + 12.0;
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), height), Sense::hover());
    let mut pen = Pen { x: rect.left() + LINE, y: rect.top(), left: rect.left(), right: rect.right() };
    let line = Stroke::new(2.0, view.tokens.second);
    if central {
        sources_ui(ui, view, circuit, ladder, &mut pen, actions);
    }
    let from = pen.y;
    for (i, rung) in ladder.trunk.iter().enumerate() {
        rung_ui(ui, view, circuit, rung, (i, "trunk"), &mut pen, actions);
    }
    let parting = pen.y;
    if central {
        ui.painter().vline(pen.x, from..=parting, line);
    }
    // Symbols stand on the line, not under it.
    let mut again = Pen { y: from, ..pen };
    for rung in &ladder.trunk {
        symbol_ui(ui, view, rung, &again);
        again.y += RUNG;
    }
    let mut last = None;
    for group in &ladder.groups {
        last = group_ui(ui, view, circuit, ladder, group, &mut pen, actions).or(last);
    }
    let Some(last) = last.filter(|_| central) else { return };
    let zones = ladder.groups.iter().any(|g| g.zone.is_some());
    // A manifold is a thick line; hoses that part at one point come off a thin one.
    let wide = if ladder.fed.is_some() && !zones { 5.0 } else { 2.0 };
    ui.painter().vline(pen.x, parting..=last, Stroke::new(wide, view.tokens.second));
    if ladder.fed == Some(Fed::BothEnds) && !zones {
        let x = pen.x - 12.0;
        let way = [
            Pos2::new(pen.x, parting - 0.5 * RUNG),
            Pos2::new(x, parting - 0.5 * RUNG),
            Pos2::new(x, last + 8.0),
            Pos2::new(pen.x, last + 8.0),
            Pos2::new(pen.x, last),
        ];
        ui.painter().add(egui::Shape::line(way.to_vec(), line));
    }
}

/// One for the name of a zone.
fn zone_line(group: &Group<'_>) -> usize {
    usize::from(group.zone.is_some())
}

/// The sources side by side, each with its own line to where they join.
fn sources_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &CircuitReport,
    ladder: &Ladder<'_>,
    pen: &mut Pen,
    actions: &mut Vec<Action>,
) {
    let t = view.tokens;
    let y = pen.y + R + 6.0;
    let join = pen.y + 2.0 * R + 14.0;
    let line = Stroke::new(2.0, t.second);
    let count = ladder.sources.len();
    for (i, kind) in ladder.sources.iter().take(MOST_SOURCES).enumerate() {
        let x = pen.x + 40.0 * i as f32;
        ui.painter().line_segment([Pos2::new(x, y), Pos2::new(x, join)], line);
        ui.painter().line_segment([Pos2::new(pen.x, join), Pos2::new(x, join)], line);
        symbols::draw(
            ui.painter(),
            symbols::Symbol::Source(*kind),
            Pos2::new(x, y),
            t.ground,
            Stroke::new(1.4, t.ink),
        );
    }
    if count > MOST_SOURCES {
        let at = Pos2::new(pen.x + 40.0 * MOST_SOURCES as f32, y);
        let more = format!("and {} more", count - MOST_SOURCES);
        ui.painter().text(at, Align2::LEFT_CENTER, more, Size::Small.font(), t.second);
    }
    pen.y = join;
    if let Some(rung) = &ladder.source_rung {
        rung_ui(ui, view, circuit, rung, (0, "source"), pen, actions);
        ui.painter().line_segment([Pos2::new(pen.x, join), Pos2::new(pen.x, pen.y)], line);
    }
}

/// A line of the ladder: what it is and what it loses; its symbol is drawn afterwards.
fn rung_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &CircuitReport,
    rung: &Rung,
    salt: (usize, &str),
    pen: &mut Pen,
    actions: &mut Vec<Action>,
) {
    let t = view.tokens;
    let row = Rect::from_min_max(Pos2::new(pen.left, pen.y), Pos2::new(pen.right, pen.y + RUNG));
    let response = ui.interact(row, ui.scope_id().with((circuit.id, salt)), Sense::click());
    let loss = rung.loss_kpa.map(|kpa| view.text(-kpa, Quantity::VacuumLevel));
    let spoken = match &loss {
        Some(loss) => format!("{}: {loss}", rung.what),
        None => rung.what.clone(),
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, spoken.clone()));
    row_ground(ui, row.shrink2(Vec2::new(6.0, 1.0)), false, &response);
    let lossy = rung.loss_kpa.is_some_and(|kpa| kpa > 0.1 * circuit.wanted_kpa);
    let colour = if lossy { t.watch } else { t.second };
    let mut room = pen.right - pen.x - 22.0;
    if let Some(loss) = loss {
        let at = Pos2::new(pen.right - 2.0, row.center().y);
        let drawn = ui.painter().text(at, Align2::RIGHT_CENTER, loss, Size::Small.font(), colour);
        room -= drawn.width() + 10.0;
    }
    let galley = one_line(ui, &rung.what, room, Size::Small.font(), if lossy { t.watch } else { t.ink });
    let at = Pos2::new(pen.x + 20.0, row.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, t.ink);
    edit::popup(&response, view, circuit.id, rung.form, actions);
    let more = if rung.more.is_empty() { spoken } else { rung.more.clone() };
    response.on_hover_text(format!("{more}\nClick for its values"));
    pen.y += RUNG;
}

/// The symbol of a rung on its line, or beside it.
fn symbol_ui(ui: &Ui, view: &View, rung: &Rung, pen: &Pen) {
    let t = view.tokens;
    let Some(symbol) = rung.symbol else { return };
    let mut at = Pos2::new(pen.x, pen.y + RUNG / 2.0);
    if rung.beside {
        ui.painter().line_segment([at, at - Vec2::new(10.0, 0.0)], Stroke::new(1.4, t.second));
        at.x -= 16.0;
    }
    symbols::draw(ui.painter(), symbol, at, t.ground, Stroke::new(1.3, t.ink));
}

/// Cups on one line, with what that line passes; gives the height of the last of them.
fn group_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &CircuitReport,
    ladder: &Ladder<'_>,
    group: &Group<'_>,
    pen: &mut Pen,
    actions: &mut Vec<Action>,
) -> Option<f32> {
    let t = view.tokens;
    let main = pen.x;
    let line = Stroke::new(2.0, t.second);
    let mut hangs_at = None;
    if let Some(zone) = group.zone {
        let y = pen.y + RUNG / 2.0;
        pen.x = main + ZONE;
        let text = format!("Zone {zone}");
        ui.painter().text(Pos2::new(pen.x + 20.0, y), Align2::LEFT_CENTER, text, Size::Small.strong(), t.ink);
        ui.painter().line_segment([Pos2::new(main, y), Pos2::new(pen.x, y)], line);
        hangs_at = Some(y);
        pen.y += RUNG;
        let from = pen.y;
        for (i, rung) in group.rungs.iter().enumerate() {
            rung_ui(ui, view, circuit, rung, (i, zone), pen, actions);
        }
        let last = pen.y + ROW * (group.cups.len() as f32 - 0.5);
        ui.painter().vline(pen.x, y..=pen.y, line);
        let wide = if ladder.fed.is_some() { 5.0 } else { 2.0 };
        ui.painter().vline(pen.x, pen.y..=last, Stroke::new(wide, t.second));
        let mut again = Pen { y: from, ..*pen };
        for rung in &group.rungs {
            symbol_ui(ui, view, rung, &again);
            again.y += RUNG;
        }
    }
    let (alike, tail) = (alike(view, circuit), tail(ui, view, circuit));
    for cup in &group.cups {
        let row = Rect::from_min_max(Pos2::new(pen.x, pen.y), Pos2::new(pen.right, pen.y + ROW));
        cup_row_ui(ui, view, circuit, cup, (row, alike, tail), actions);
        if group.zone.is_none() {
            hangs_at = Some(row.center().y);
        }
        pen.y += ROW;
    }
    pen.x = main;
    hangs_at
}

/// Room for what stands behind the cups of a circuit: the longest leak, in any unit.
fn tail(ui: &Ui, view: &View, circuit: &CircuitReport) -> f32 {
    let width = |cup: &CircuitCup| {
        let font = Size::Small.font();
        ui.painter().layout_no_wrap(leak_text(view, cup), font, view.tokens.second).size().x
    };
    circuit.cups.iter().map(width).fold(100.0, f32::max) + 18.0
}

fn leak_text(view: &View, cup: &CircuitCup) -> String {
    format!("leak {}", view.text(cup.leak_nl_min, Quantity::Flow))
}

/// Whether every cup of the circuit has the same level as it is shown: then it is said once, at the first.
fn alike(view: &View, circuit: &CircuitReport) -> bool {
    let mut levels = circuit.cups.iter().map(|cup| view.text(cup.level_kpa, Quantity::VacuumLevel));
    let first = levels.next();
    circuit.cups.len() > 1 && levels.all(|level| Some(&level) == first.as_ref())
}

fn cup_row_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &CircuitReport,
    cup: &CircuitCup,
    (row, alike, tail): (Rect, bool, f32),
    actions: &mut Vec<Action>,
) {
    let t = view.tokens;
    let tag = view.tag(cup.id).to_owned();
    let own: Vec<&CircuitElement> = circuit.elements.iter().filter(|e| e.cup == Some(cup.id)).collect();
    let loss: f64 = own.iter().map(|e| e.loss_kpa).sum();
    let level = view.text(cup.level_kpa, Quantity::VacuumLevel);
    let leak = leak_text(view, cup);
    let response = ui.interact(row, ui.scope_id().with(("schematic", cup.id)), Sense::click());
    let selected = view.selection.contains(&cup.id);
    let mut spoken = format!("Level at {tag}: {level}, {leak}");
    let built_in = built_in(&own);
    if !built_in.is_empty() {
        spoken = format!("{spoken}, through {}", built_in.join(", "));
    }
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, selected, spoken.clone()));
    row_ground(ui, row.shrink2(Vec2::new(10.0, 1.0)), selected, &response);
    let painter = ui.painter();
    let y = row.center().y;
    let end = row.right() - tail;
    painter.line_segment([Pos2::new(row.left(), y), Pos2::new(end, y)], Stroke::new(2.0, t.second));
    symbols::cup(painter, Pos2::new(end, y), Stroke::new(1.8, t.ink));
    // What is built into the line, nearest to the cup last.
    let thin = Stroke::new(1.3, t.ink);
    let mut x = end - 14.0;
    for symbol in ladder::branch_symbols(&own).into_iter().rev() {
        symbols::draw_along(painter, symbol, Pos2::new(x, y), t.ground, thin);
        x -= 2.0 * R + 6.0;
    }
    let text_left = row.left() + 10.0;
    if circuit.sources.iter().any(|s| s.cup == Some(cup.id)) {
        let kind = ladder::kind_of(view, circuit);
        symbols::draw(
            painter,
            symbols::Symbol::Source(kind),
            Pos2::new(row.left(), y),
            t.ground,
            Stroke::new(1.4, t.ink),
        );
    }
    let width = x - text_left;
    let small = |text: &str| one_line(ui, text, width, Size::Small.font(), t.second);
    if let Some(hose) = own.iter().find(|e| e.length_mm.is_some()) {
        let bore = view.show(hose.bore_mm.unwrap_or(0.0), Quantity::Length).number;
        let text = format!("{bore} × {}", view.text(hose.length_mm.unwrap_or(0.0), Quantity::Length));
        ui.painter().galley(Pos2::new(text_left, y - 15.0), small(&text), t.second);
    }
    if !own.is_empty() {
        let loss = view.text(-loss, Quantity::VacuumLevel);
        ui.painter().galley(Pos2::new(text_left, y + 2.0), small(&loss), t.second);
    }
    let painter = ui.painter();
    let colour = plan::level_colour(view, cup);
    let left = end + 14.0;
    painter.text(Pos2::new(left, y), Align2::LEFT_BOTTOM, &tag, Size::Body.strong(), t.ink);
    let under = Pos2::new(left, y + 3.0);
    painter.text(under, Align2::LEFT_TOP, leak, Size::Small.font(), t.second);
    let first = circuit.cups.first().is_some_and(|c| c.id == cup.id);
    if !alike || first {
        let at = Pos2::new(row.right() - 2.0, y);
        let text = painter.text(at, Align2::RIGHT_BOTTOM, level, Size::Body.strong(), colour);
        let mark =
            Rect::from_min_size(text.left_bottom() + Vec2::new(0.0, 0.5), Vec2::new(text.width(), 2.5));
        painter.rect(mark, 1.0, colour, Stroke::NONE, StrokeKind::Inside);
    }
    let mut why: Vec<String> = own.iter().map(|e| ladder::figures(view, e)).collect();
    if alike && first {
        why.insert(0, "Every cup has this level".to_owned());
    }
    why.insert(0, spoken);
    why.push("Click selects the cup and opens its hose".to_owned());
    edit::popup(&response, view, circuit.id, Form::Branch(cup.id), actions);
    if response.on_hover_text(why.join("\n")).clicked() {
        actions.push(Action::Select(BTreeSet::from([cup.id])));
    }
}

/// What a cup's line passes besides hose, fittings and bores, in words.
fn built_in(own: &[&CircuitElement]) -> Vec<&'static str> {
    use analysis::ElementOf as E;
    let word = |e: &&CircuitElement| match e.of {
        E::Filter => Some("filter"),
        E::Restrictor => Some("restrictor"),
        E::Cells => Some("cells"),
        E::CheckValve => Some("check valve"),
        E::Valve => Some("valve"),
        E::Hose { .. } | E::Channel | E::Fitting(_) | E::PortTee | E::Entry | E::CupBore => None,
    };
    own.iter().filter_map(word).collect()
}

/// Cups of a circuit by tag, for lists.
pub fn tags(view: &View, cups: &[CupId]) -> String {
    cups.iter().map(|c| view.tag(*c)).collect::<Vec<_>>().join(", ")
}
