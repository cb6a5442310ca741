//! Curves of a circuit: source against leak, the level as it comes and as it goes, and what was recorded of it over them.

use crate::{
    chart::{self, Named, chart},
    theme::Size,
    view::View,
};
use analysis::{CircuitReport, CircuitSlow};
use document::{BaselineCurve, CurveKind, Stage};
use egui::{Align2, RichText, Ui};
use egui_plot::PlotUi;
use units::Quantity;

/// Draws the charts of one solved circuit, one under another.
pub(super) fn charts_ui(ui: &mut Ui, view: &View, circuit: &CircuitReport) {
    let t = view.tokens;
    let (unit, unit_name) = units::unit_of(Quantity::VacuumLevel, &view.units);
    if let Some(source) = circuit.sources.first() {
        ui.label(RichText::new("Source against leak").font(Size::Body.strong()));
        let (flow, flow_name) = units::unit_of(Quantity::Flow, &view.units);
        let line = |points: &[(f64, f64)]| -> Vec<[f64; 2]> {
            points.iter().map(|(level, nl)| [level / unit, nl / flow]).collect()
        };
        let most = source.curve.iter().map(|(_, nl)| nl / flow).fold(0.0, f64::max);
        let shown = chart("source and leak", [unit_name, flow_name], &t, &view.units);
        shown.include_y(1.12 * most).show(ui, |plot| {
            let drawn = Named {
                name: "source",
                points: line(&source.curve),
                colour: t.working,
                width: 2.0,
                dashed: false,
                at: 0.3,
                anchor: Align2::LEFT_BOTTOM,
            };
            chart::named(plot, drawn);
            if !source.leak_curve.is_empty() {
                let leak = Named {
                    name: "leak",
                    points: line(&source.leak_curve),
                    colour: t.ink,
                    width: 2.0,
                    dashed: true,
                    at: 0.6,
                    anchor: Align2::RIGHT_BOTTOM,
                };
                chart::named(plot, leak);
            }
            let works = vec![[source.level_kpa / unit, 0.0], [source.level_kpa / unit, 1.08 * most]];
            let here = Named {
                name: "runs here",
                points: works,
                colour: t.second,
                width: 1.0,
                dashed: false,
                at: 1.0,
                anchor: Align2::RIGHT_TOP,
            };
            chart::named(plot, here);
        });
    }
    let Some(slow) = &circuit.slow else { return };
    evacuation_ui(ui, view, circuit, slow);
    leak_down_ui(ui, view, circuit, slow);
}

fn evacuation_ui(ui: &mut Ui, view: &View, circuit: &CircuitReport, slow: &CircuitSlow) {
    let recorded = recorded(view, circuit, CurveKind::Evacuation);
    if slow.evacuation.is_empty() && recorded.is_empty() {
        return;
    }
    let t = view.tokens;
    let (unit, unit_name) = units::unit_of(Quantity::VacuumLevel, &view.units);
    ui.add_space(6.0);
    ui.label(RichText::new("Level at the cups after switching on").font(Size::Body.strong()));
    let time = |s: Option<f64>| s.unwrap_or(f64::INFINITY);
    let slowest = slow.evacuation.iter().max_by(|a, b| time(a.to_90_s).total_cmp(&time(b.to_90_s)));
    let shown = chart("evacuation", ["s", unit_name], &t, &view.units).show(ui, |plot| {
        for curve in &slow.evacuation {
            let slow = slowest.is_some_and(|s| s.cup == curve.cup);
            let name = if slow { format!("{}, slowest", view.tag(curve.cup)) } else { String::new() };
            let line = Named {
                name: &name,
                points: curve.points.iter().map(|(s, kpa)| [*s, kpa / unit]).collect(),
                colour: if slow { t.working } else { t.second.gamma_multiply(0.5) },
                width: if slow { 2.0 } else { 1.0 },
                dashed: false,
                at: 0.45,
                anchor: Align2::LEFT_TOP,
            };
            chart::named(plot, line);
        }
        recorded_lines(plot, view, &recorded, unit);
    });
    name_chart(ui, &shown.response, "Level after switching on", view, &recorded);
}

fn leak_down_ui(ui: &mut Ui, view: &View, circuit: &CircuitReport, slow: &CircuitSlow) {
    let recorded = recorded(view, circuit, CurveKind::LeakDown);
    if slow.leak_down.is_empty() && recorded.is_empty() {
        return;
    }
    let t = view.tokens;
    let (unit, unit_name) = units::unit_of(Quantity::VacuumLevel, &view.units);
    ui.add_space(6.0);
    let why = "With a check valve at the source";
    ui.label(RichText::new("Level after the feed fails").font(Size::Body.strong())).on_hover_text(why);
    let shown = chart("leak-down", ["s", unit_name], &t, &view.units).show(ui, |plot| {
        let line = Named {
            name: "worst cup",
            points: slow.leak_down.iter().map(|(s, kpa)| [*s, kpa / unit]).collect(),
            colour: t.working,
            width: 2.0,
            dashed: false,
            at: 0.4,
            anchor: Align2::LEFT_BOTTOM,
        };
        chart::named(plot, line);
        recorded_lines(plot, view, &recorded, unit);
    });
    name_chart(ui, &shown.response, "Level after the feed fails", view, &recorded);
}

/// What was recorded of a circuit on this layout's cups, at its source or at one of them.
fn recorded<'a>(view: &'a View, circuit: &CircuitReport, kind: CurveKind) -> Vec<&'a BaselineCurve> {
    let here = |c: &&BaselineCurve| {
        let cup_here = c.cup.is_none_or(|cup| view.layout.cups.iter().any(|there| there.id == cup));
        c.circuit == circuit.id && c.kind == kind && cup_here
    };
    view.project.trial.curves.iter().filter(here).collect()
}

/// Whole lines for what was recorded when the tool was taken into service, dashed ones for what came later.
fn recorded_lines(plot: &mut PlotUi<'_>, view: &View, recorded: &[&BaselineCurve], unit: f64) {
    let t = view.tokens;
    for curve in recorded {
        let in_service = curve.stage == Stage::Baseline;
        let line = Named {
            name: &recorded_name(view, curve),
            points: curve.points.iter().map(|(s, kpa)| [*s, kpa / unit]).collect(),
            colour: if in_service { t.order } else { t.ink },
            width: 2.0,
            dashed: !in_service,
            at: if in_service { 0.75 } else { 1.0 },
            anchor: Align2::RIGHT_BOTTOM,
        };
        chart::named(plot, line);
    }
}

/// "C4 in service, 2026-11-25".
fn recorded_name(view: &View, curve: &BaselineCurve) -> String {
    let at = curve.cup.map_or("source", |cup| view.tag(cup));
    let stage = match curve.stage {
        Stage::Baseline => "at commissioning",
        Stage::Field => "in the field",
    };
    if curve.on.is_empty() { format!("{at} {stage}") } else { format!("{at} {stage}, {}", curve.on) }
}

fn name_chart(ui: &Ui, chart: &egui::Response, name: &str, view: &View, recorded: &[&BaselineCurve]) {
    let also: Vec<String> = recorded.iter().map(|c| recorded_name(view, c)).collect();
    let spoken =
        if also.is_empty() { name.to_owned() } else { format!("{name}; recorded: {}", also.join("; ")) };
    ui.ctx().accesskit_node_builder(chart.id, |node| node.set_label(spoken));
}
