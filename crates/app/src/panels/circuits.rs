//! Circuits: the level that is asked for, and the source, hoses and valves it is worked out from.

use super::{
    PanelState,
    change::{Change, with},
    circuit_dust, circuit_operation, circuit_parts, lines, thresholds,
};
use crate::{
    command::Command,
    fields,
    view::{Action, View},
};
use analysis::{CircuitReport, CircuitStatus};
use document::{Arrangement, Circuit, CircuitId, Edit, Fed, FittingLoss, Manifold, Supply};
use egui::{RichText, Ui};
use std::sync::Arc;
use units::Quantity;

/// Draws the group.
pub fn circuits_ui(ui: &mut Ui, view: &View, state: &mut PanelState, actions: &mut Vec<Action>) {
    if fields::heading(ui, "Circuits", Some(("add", "Another group of cups with its own vacuum level"))) {
        let id = CircuitId(view.project.next_id());
        let name = format!("Circuit {}", view.project.circuits.len() + 1);
        actions.push(Action::Edit(Edit::AddCircuit(Arc::new(Circuit::preset(id, &name)))));
    }
    for circuit in &view.project.circuits {
        circuit_ui(ui, view, state, circuit, actions);
    }
}

/// What gathers the changes of a circuit as edits.
pub(super) fn changes<'a>(
    circuit: &'a Circuit,
    edits: &'a mut Vec<Edit>,
) -> impl FnMut(&str, &dyn Fn(&mut Circuit)) + 'a {
    |what, apply| {
        let mut new = circuit.clone();
        apply(&mut new);
        // A whole sentence stands as it is; a thing is said to change, and where.
        let what = if what.starts_with(char::is_uppercase) {
            what.to_owned()
        } else {
            format!("Change {what} of {}", circuit.name)
        };
        edits.push(Edit::ChangeCircuit { circuit: Arc::new(new), what });
    }
}

fn circuit_ui(
    ui: &mut Ui,
    view: &View,
    state: &mut PanelState,
    circuit: &Arc<Circuit>,
    actions: &mut Vec<Action>,
) {
    let id = circuit.id;
    let mut edits: Vec<Edit> = Vec::new();
    let mut change = changes(circuit, &mut edits);
    let why = &document::help_of("circuit.level_kpa", &view.units);
    let level = circuit.level_kpa.value;
    if let Some(v) =
        fields::quantity(ui, ("level", id), &circuit.name, level, Quantity::VacuumLevel, &view.units, why)
    {
        change(&format!("Set level of {} to {}", circuit.name, view.given(v, Quantity::VacuumLevel)), &|c| {
            c.level_kpa = fields::stated(v)
        });
    }
    if let Some(v) = fields::origin(ui, &format!("Level of {} comes from", circuit.name), &circuit.level_kpa)
    {
        change("origin of the level", &|c| c.level_kpa = v.clone());
    }
    let report = view.report.circuits.iter().find(|r| r.id == id);
    match &circuit.supply {
        None => {
            fields::row(ui, "", "", |ui| {
                let why = "Lays out a source, a manifold and hoses over the cups and calculates the levels; \
                    every value can be changed";
                if ui.link("source and hoses…").on_hover_text(why).clicked() {
                    actions.push(Action::LayOutCircuit(id));
                    state.open_circuit = Some(id);
                }
            });
        }
        Some(supply) => {
            outcome_ui(ui, view, report);
            let open = state.open_circuit == Some(id);
            fields::row(ui, &source_name(view, supply), "", |ui| {
                if ui.link(if open { "close" } else { "details…" }).clicked() {
                    state.open_circuit = (!open).then_some(id);
                }
                ui.add_space(fields::BETWEEN_LINKS);
                if ui.link("show").on_hover_text(Command::ShowCircuit.shortcut_text(ui.ctx())).clicked() {
                    actions.push(Action::Run(Command::ShowCircuit));
                }
            });
            if open {
                ui.indent(("circuit", id), |ui| {
                    supply_ui(ui, view, circuit, supply, &mut change, actions);
                    thresholds::thresholds_ui(ui, view, circuit, report, &mut change);
                    fields::row(ui, "", "", |ui| {
                        let link = ui.link("back to a stated level");
                        if link.on_hover_text("Removes source and hoses").clicked() {
                            change("Remove source and hoses", &|c| c.supply = None);
                        }
                    });
                });
            }
        }
    }
    drop(change);
    actions.extend(edits.into_iter().map(Action::Edit));
    let used = view.project.layouts.iter().any(|l| l.cups.iter().any(|c| c.circuit == id));
    if view.project.circuits.len() > 1 && !used {
        fields::row(ui, "no cups on it", "", |ui| {
            if ui.link("remove").clicked() {
                actions.push(Action::Edit(Edit::RemoveCircuit(id)));
            }
        });
    }
}

/// One line of what arrives.
fn outcome_ui(ui: &mut Ui, view: &View, report: Option<&CircuitReport>) {
    let Some(report) = report else { return };
    let t = view.tokens;
    if let Some(reason) = report.status.no_figure() {
        ui.add(egui::Label::new(RichText::new(format!("No result: {reason}.")).color(t.fail)).wrap());
        return;
    }
    if report.status != CircuitStatus::Solved {
        return;
    }
    let levels = || report.cups.iter().map(|c| c.level_kpa);
    let (least, most) = (levels().fold(f64::INFINITY, f64::min), levels().fold(0.0, f64::max));
    if least.is_finite() {
        let least = view.show(least, Quantity::VacuumLevel);
        let upper = view.text(most, Quantity::VacuumLevel);
        let alike = least.to_string() == upper;
        let text = if alike { upper } else { format!("{} to {upper}", least.number) };
        fields::row(ui, "At the cups", "Level at the worst and the best cup", |ui| {
            ui.label(RichText::new(text).strong())
        });
    }
}

fn source_name(view: &View, supply: &Supply) -> String {
    view.project.source(&supply.source).map_or_else(|| supply.source.to_string(), |s| s.name.clone())
}

fn supply_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &Circuit,
    supply: &Arc<Supply>,
    change: &mut Change<'_>,
    actions: &mut Vec<Action>,
) {
    let id = circuit.id;
    let central = supply.arrangement == Arrangement::Central;
    fields::folding(ui, (id, "source"), "Source and its place", true, |ui| {
        source_ui(ui, view, circuit, supply, change, actions);
        let arrangements: Vec<(Arrangement, &str)> =
            Arrangement::ALL.iter().map(|a| (*a, a.label())).collect();
        let row = fields::known("circuit.supply.arrangement");
        if let Some(v) = row.choice(ui, id, supply.arrangement, &arrangements) {
            change("arrangement of the sources", &|c| with(c, |s| s.arrangement = v));
        }
        for axis in 0..3 {
            let row = fields::known("circuit.supply.at").axis(axis);
            if let Some(v) = row.number(ui, id, supply.at[axis], &view.units) {
                change(document::name_of("circuit.supply.at"), &|c| with(c, |s| s.at[axis] = v));
            }
        }
        super::origin::origin_note(ui, view);
    });
    if central {
        fields::folding(ui, (id, "main"), "Main hose", false, |ui| main_ui(ui, view, id, supply, change));
        fields::folding(ui, (id, "manifold"), "Manifold", false, |ui| {
            manifold_ui(ui, view, id, supply, change);
        });
    }
    if supply.arrangement != Arrangement::PerCup {
        fields::folding(ui, (id, "branches"), "Hose to each cup", false, |ui| {
            branch_ui(ui, view, id, supply, change);
            own_lines_ui(ui, view, id, supply, change);
        });
    }
    fields::folding(ui, (id, "valves"), "Valves, filters, cells", false, |ui| {
        circuit_parts::parts_ui(ui, view, id, supply, change);
        circuit_dust::dust_ui(ui, view, id, supply, change);
        circuit_parts::cells_ui(ui, view, id, supply, change);
        circuit_dust::closing_ui(ui, view, id, supply, change);
        circuit_parts::valves_ui(ui, view, id, supply, change);
    });
    fields::folding(ui, (id, "leaks"), "Leaks and losses", false, |ui| {
        leaks_ui(ui, view, id, supply, change)
    });
    if let Some(source) = view.project.source(&supply.source) {
        fields::folding(ui, (id, "operation"), "Switching and release", false, |ui| {
            circuit_operation::operation_ui(ui, view, id, (supply, source.kind), change);
        });
    }
}

/// Form of the hose from the source to where the branches part.
pub(super) fn main_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    lines::line_ui(ui, view, (id, "main"), "main hose", &supply.main, &mut |what, apply| {
        change(what, &|c| with(c, |s| apply(&mut s.main)));
    });
}

/// Form of the hose that every cup has which has none of its own.
pub(super) fn branch_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    lines::line_ui(ui, view, (id, "branch"), "hose to each cup", &supply.branch, &mut |what, apply| {
        change(what, &|c| with(c, |s| apply(&mut s.branch)));
    });
}

fn leaks_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    let losses: Vec<(FittingLoss, &str)> = FittingLoss::ALL.iter().map(|l| (*l, l.label())).collect();
    let row = fields::known("circuit.supply.fitting_loss");
    if let Some(v) = row.choice(ui, id, supply.fitting_loss, &losses) {
        change(document::name_of("circuit.supply.fitting_loss"), &|c| with(c, |s| s.fitting_loss = v));
    }
    let why = &document::help_of("circuit.supply.lip_gap_um", &view.units);
    let gap = units::tidied(supply.lip_gap_um.value / 1000.0);
    if let Some(v) =
        fields::precise(ui, (id, "gap"), "Gap under lips", gap, Quantity::Length, &view.units, why)
    {
        change(document::name_of("circuit.supply.lip_gap_um"), &|c| {
            with(c, |s| s.lip_gap_um = fields::stated(units::tidied(v * 1000.0)))
        });
    }
    if let Some(v) = fields::origin(ui, "Gap under lips comes from", &supply.lip_gap_um) {
        change("origin of the gap under the lips", &|c| with(c, |s| s.lip_gap_um = v.clone()));
    }
}

pub(super) fn source_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &Circuit,
    supply: &Supply,
    change: &mut Change<'_>,
    actions: &mut Vec<Action>,
) {
    let library = document::sources();
    let known: Vec<_> = view
        .project
        .sources
        .iter()
        .chain(library.iter().filter(|s| view.project.source(&s.id).is_none()))
        .collect();
    let shown = source_name(view, supply);
    let mut picked = None;
    let why = "Invented, generic curves: replace them with those of the real source";
    let names: Vec<&str> = known.iter().map(|source| source.name.as_str()).collect();
    fields::search_list(ui, (circuit.id, "source"), "Source", &shown, why, &names, |at| {
        picked = known.get(at).map(|source| (*source).clone());
    });
    if let Some(edit) = picked.and_then(|source| analysis::fed_by(&view.project, circuit.id, &source)) {
        actions.push(Action::Edit(edit));
    }
    if supply.arrangement == Arrangement::Central {
        let (id, row) = (circuit.id, fields::known("circuit.supply.sources"));
        if let Some(n) = row.count(ui, id, supply.sources, &view.units) {
            change(document::name_of("circuit.supply.sources"), &|c| with(c, |s| s.sources = n));
        }
    }
    fields::row(ui, "", "", |ui| {
        let why = "All sources beside each other on this circuit: flow at the required level, air, power, and why one does not suit";
        if ui.link("choose…").on_hover_text(why).clicked() {
            actions.push(Action::ChooseSource(circuit.id));
        }
        ui.add_space(fields::BETWEEN_LINKS);
        let why = "Curve, feed and power of the source; all sources of the project, and one of your own";
        if ui.link("figures…").on_hover_text(why).clicked() {
            actions.push(Action::SourceOf(circuit.id));
        }
    });
    let ejector = view.project.source(&supply.source).is_some_and(|s| !s.feed.is_empty());
    if !ejector {
        return;
    }
    let row = fields::known("circuit.supply.feed_kpa");
    if let Some(v) = row.sourced(ui, circuit.id, &supply.feed_kpa, &view.units) {
        change(document::name_of("circuit.supply.feed_kpa"), &|c| with(c, |s| s.feed_kpa = v.clone()));
    }
}

pub(super) fn manifold_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    let Some(manifold) = supply.manifold else {
        fields::row(ui, "No manifold: one junction", "", |ui| {
            if ui.link("add manifold").clicked() {
                let centre = supply.at.truncate();
                let new = Manifold {
                    at: centre,
                    turn_deg: 0.0,
                    length_mm: 300.0,
                    bore_mm: 12.0,
                    ports: u32::try_from(view.layout.cups.len().max(2)).unwrap_or(8),
                    fed: Fed::OneEnd,
                };
                change("Add a manifold", &|c| with(c, |s| s.manifold = Some(new)));
            }
        });
        return;
    };
    let set = |m: &mut Circuit, f: &dyn Fn(&mut Manifold)| with(m, |s| s.manifold.iter_mut().for_each(f));
    let fed = [(Fed::OneEnd, "one end"), (Fed::BothEnds, "both ends")];
    let row = |key: &str| fields::known(key).of("manifold");
    if let Some(v) = row("circuit.supply.manifold.fed").choice(ui, id, manifold.fed, &fed) {
        change("where the manifold is fed", &|c| set(c, &|m| m.fed = v));
    }
    type Set<'a> = &'a dyn Fn(&mut Manifold, f64);
    let sizes: [(&str, f64, Set<'_>); 2] = [
        ("circuit.supply.manifold.bore_mm", manifold.bore_mm, &|m, v| m.bore_mm = v),
        ("circuit.supply.manifold.length_mm", manifold.length_mm, &|m, v| m.length_mm = v),
    ];
    for (key, value, apply) in sizes {
        if let Some(v) = row(key).number(ui, id, value, &view.units) {
            change("the manifold", &|c| set(c, &|m| apply(m, v)));
        }
    }
    for axis in 0..2 {
        let row = row("circuit.supply.manifold.at").axis(axis);
        if let Some(v) = row.number(ui, id, manifold.at[axis], &view.units) {
            change("the manifold", &|c| set(c, &|m| m.at[axis] = v));
        }
    }
    super::origin::origin_note(ui, view);
    if let Some(v) = row("circuit.supply.manifold.turn_deg").number(ui, id, manifold.turn_deg, &view.units) {
        change("the manifold", &|c| set(c, &|m| m.turn_deg = v));
    }
    if let Some(v) = row("circuit.supply.manifold.ports").count(ui, id, manifold.ports, &view.units) {
        change("ports of the manifold", &|c| set(c, &|m| m.ports = v));
    }
    fields::row(ui, "", "", |ui| {
        if ui.link("without manifold").clicked() {
            change("Remove the manifold", &|c| with(c, |s| s.manifold = None));
        }
    });
}

/// Form of the hose of one cup that has its own.
pub(super) fn own_line_ui(
    ui: &mut Ui,
    view: &View,
    id: CircuitId,
    (index, own): (usize, &document::BranchLine),
    change: &mut Change<'_>,
) {
    let name = format!("hose to {}", view.tag(own.cup));
    lines::line_ui(ui, view, (id, own.cup), &name, &own.line, &mut |what, apply| {
        change(what, &|c| {
            with(c, |s| s.branches.iter_mut().skip(index).take(1).for_each(|b| apply(&mut b.line)))
        });
    });
}

/// Cups whose hose differs from the others'.
fn own_lines_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    for (index, own) in supply.branches.iter().enumerate() {
        let tag = view.tag(own.cup).to_owned();
        fields::subheading(ui, &format!("Hose to {tag}"));
        own_line_ui(ui, view, id, (index, own), change);
        fields::row(ui, "", "", |ui| {
            if ui.link(format!("{tag} like the others")).clicked() {
                change(&format!("hose to {tag} like the others"), &|c| {
                    with(c, |s| {
                        s.branches.remove(index);
                    });
                });
            }
        });
    }
    if let Some(cup) =
        view.single().filter(|c| c.circuit == id && supply.branches.iter().all(|b| b.cup != c.id))
    {
        fields::row(ui, "", "", |ui| {
            let why = "Its own bore, length and fittings";
            if ui.link(format!("individual hose to {}", cup.tag)).on_hover_text(why).clicked() {
                let own = document::BranchLine { cup: cup.id, line: supply.branch.clone() };
                change(&format!("individual hose to {}", cup.tag), &|c| {
                    with(c, |s| s.branches.push(own.clone()))
                });
            }
        });
    }
}
