//! Curves of a circuit: source against leak, the level as it comes and as it goes, and what was recorded of it over them.

use crate::{chart::chart, theme::Size, view::View};
use analysis::{CircuitReport, CircuitSlow};
use document::{BaselineCurve, CurveKind, Stage};
use egui::{RichText, Ui};
use egui_plot::{Corner, Line, LineStyle, PlotPoints, PlotUi, VLine};
use units::Quantity;

/// Draws the charts of one solved circuit, one under another.
pub(super) fn charts_ui(ui: &mut Ui, view: &View, circuit: &CircuitReport) {
    let t = view.tokens;
    let (unit, unit_name) = units::unit_of(Quantity::VacuumLevel, &view.units);
    if let Some(source) = circuit.sources.first() {
        ui.label(RichText::new("Source against leak").font(Size::Body.strong()));
        let (flow, flow_name) = units::unit_of(Quantity::Flow, &view.units);
        let line = |points: &[(f64, f64)]| -> PlotPoints<'static> {
            points.iter().map(|(level, nl)| [level / unit, nl / flow]).collect()
        };
        chart("source and leak", unit_name, flow_name, Corner::RightTop, t.second).show(ui, |plot| {
            plot.line(Line::new("source", line(&source.curve)).color(t.working).width(2.0));
            if !source.leak_curve.is_empty() {
                plot.line(Line::new("leak", line(&source.leak_curve)).color(t.watch).width(2.0));
            }
            plot.vline(VLine::new("works here", source.level_kpa / unit).color(t.second).width(1.0));
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
    let shown = chart("evacuation", "s", unit_name, Corner::RightBottom, t.second).show(ui, |plot| {
        for curve in &slow.evacuation {
            let slow = slowest.is_some_and(|s| s.cup == curve.cup);
            let points: PlotPoints<'_> = curve.points.iter().map(|(s, kpa)| [*s, kpa / unit]).collect();
            let name = if slow { format!("{}, slowest", view.tag(curve.cup)) } else { String::new() };
            let colour = if slow { t.working } else { t.second.gamma_multiply(0.5) };
            plot.line(Line::new(name, points).color(colour).width(if slow { 2.0 } else { 1.0 }));
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
    let shown = chart("leak-down", "s", unit_name, Corner::RightTop, t.second).show(ui, |plot| {
        let points: PlotPoints<'_> = slow.leak_down.iter().map(|(s, kpa)| [*s, kpa / unit]).collect();
        plot.line(Line::new("worst cup", points).color(t.working).width(2.0));
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
        let points: PlotPoints<'_> = curve.points.iter().map(|(s, kpa)| [*s, kpa / unit]).collect();
        let line = Line::new(recorded_name(view, curve), points).width(2.0);
        plot.line(match curve.stage {
            Stage::Baseline => line.color(t.order),
            Stage::Field => line.color(t.watch).style(LineStyle::dashed_loose()),
        });
    }
}

/// "C4 in service, 2026-11-25".
fn recorded_name(view: &View, curve: &BaselineCurve) -> String {
    let at = curve.cup.map_or("source", |cup| view.tag(cup));
    let stage = match curve.stage {
        Stage::Baseline => "in service",
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
