//! The slow figures of a circuit: controls, a cup open, release, hold, air, energy and cost.

use super::{heading, plain};
use crate::block::{Section, SectionId, paragraph};
use crate::chapters::{append, note, note_after, nothing, tight};
use crate::context::Context;
use crate::page::Tone;
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table, words};
use analysis::{Age, CircuitReport, CircuitSlow, OpenCupReport, Slow};
use document::SourceKind;
use units::{Quantity, unit_of};

/// Open cups that are printed, worst first.
const WORST_OPEN: usize = 6;

/// What the controls are set to: as somebody stated it, and as it was worked out.
pub(super) fn controls(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    let stated = context.project.circuit(circuit.id).and_then(|of| of.thresholds);
    let made = circuit.slow.as_ref().and_then(|slow| slow.controls);
    let shown = |value: Option<f64>, quantity: Quantity| {
        Cell::plain(value.map_or("none".to_owned(), |value| {
            if quantity == Quantity::Time { lasting(context, value) } else { context.figure(value, quantity) }
        }))
    };
    let level = Quantity::VacuumLevel;
    let row = |what: &str, quantity, stated: Option<f64>, made: Option<f64>| {
        let stated = match stated {
            Some(value) => shown(Some(value), quantity),
            None => Cell::second("not stated"),
        };
        vec![Cell::plain(what), shown(made, quantity), stated]
    };
    let rows = [
        row("part held from", level, stated.map(|s| s.held_kpa), made.map(|m| m.held_kpa)),
        row(
            "alarm below",
            level,
            stated.map(|s| s.alarm_kpa.unwrap_or(s.held_kpa)),
            made.map(|m| m.alarm_kpa),
        ),
        row(
            "air saving stops the source at",
            level,
            stated.map(|s| s.saving_off_kpa),
            made.map(|m| m.saving_off_kpa),
        ),
        row(
            "time-out of the pick",
            Quantity::Time,
            stated.map(|s| s.time_out_s),
            made.and_then(|m| m.time_out_s),
        ),
        row(
            "hold after the feed fails",
            Quantity::Time,
            stated.map(|s| s.hold_s),
            made.and_then(|m| m.hold_s),
        ),
    ];
    let columns =
        [flexible("setting at the switch and controller"), figures("calculated"), figures("stated")];
    let style = &tight(style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    let says = if made.is_some() {
        &format!(
            "Part held: {} at the source's switch, or the alarm level where that is more. Alarm: the lowest \
            level at which every required factor is met. Time-out: twice the time to the part-held level, at \
            least half a second. Hold: with a check valve at the source.",
            analysis::design_share()
        )
    } else if circuit.slow.is_some() {
        "No settings can be given while a required factor is not met."
    } else {
        "The settings of the controls were not calculated for this sheet."
    };
    append(&mut rows, note_after(says, width, style));
    Section { id: SectionId::Other("controls"), heading: heading(circuit, "for the controls"), head, rows }
}

/// A time, in words where it is without end.
fn lasting(context: &Context, seconds: f64) -> String {
    if seconds == f64::INFINITY { "over 10 min".to_owned() } else { context.figure(seconds, Quantity::Time) }
}

/// What one open cup does, worst first.
pub(super) fn open(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    let Some(slow) = circuit.slow.as_ref().filter(|slow| !slow.open.is_empty()) else {
        return nothing(SectionId::Other("open cup"));
    };
    let mut open: Vec<&OpenCupReport> = slow.open.iter().collect();
    open.sort_by(|a, b| {
        let rank = |of: &OpenCupReport| (of.holds, of.then_lost.is_empty());
        rank(a).cmp(&rank(b)).then(a.least_level_kpa.total_cmp(&b.least_level_kpa))
    });
    let shown = open.len().min(WORST_OPEN);
    let unit = unit_of(Quantity::VacuumLevel, context.units).1;
    let columns = [
        words("open"),
        figures(format!("lowest level {unit}")),
        words("at"),
        flexible("then lost"),
        words("part"),
    ];
    let rows: Vec<Vec<Cell>> = open[..shown]
        .iter()
        .map(|of| {
            let tags: Vec<&str> = of.then_lost.iter().map(|cup| context.tag(*cup)).collect();
            let part = if of.holds {
                Cell::plain("stays")
            } else {
                Cell { tone: Tone::Fail, ..Cell::bold("drops") }
            };
            vec![
                Cell::bold(context.tag(of.cup)),
                Cell::plain(context.number(of.least_level_kpa, Quantity::VacuumLevel)),
                Cell::plain(context.tag(of.least_at)),
                Cell::plain(if tags.is_empty() { "none".to_owned() } else { tags.join(" ") }),
                part,
            ]
        })
        .collect();
    let style = &tight(style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    let mut says =
        "Each cup off the part in turn, the source running, all others on it; the worst motion counts."
            .to_owned();
    if shown < open.len() {
        says.push_str(&format!(" The worst {shown} of {}.", open.len()));
    }
    let counted: Vec<String> = slow
        .open_until
        .iter()
        .map(|until| format!("{}: {}", until.what.says(), until.shown(|cup| context.tag(cup))))
        .collect();
    says.push_str(&format!(
        " Open cups {}. Cups are opened worst first; an open cup carries nothing and draws air; the level is \
        lost where another cup of the circuit has less than the required level.",
        counted.join("; ")
    ));
    append(&mut rows, note_after(&says, width, style));
    Section { id: SectionId::Other("open cup"), heading: heading(circuit, "one cup open"), head, rows }
}

/// Release, hold, air, energy and cost.
pub(super) fn figures_of(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    let title = heading(circuit, "release, hold, air and cost");
    let Some(slow) = &circuit.slow else {
        let says = "Times, hold, air and cost were not calculated for this sheet.";
        let rows = vec![paragraph(says, note(style), 0.0, width)];
        return Section { id: SectionId::Other("circuit figures"), heading: title, head: Vec::new(), rows };
    };
    let columns = [flexible("all cups on the part"), figures("figure")];
    let rows: Vec<Vec<Cell>> = figure_rows(context, slow)
        .into_iter()
        .map(|(what, figure)| vec![Cell::plain(what), Cell::plain(figure)])
        .collect();
    let style = &tight(style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    let says = format!("{} {}", run(context, circuit), remarks(context, slow));
    append(&mut rows, note_after(says.trim_start(), width, style));
    Section { id: SectionId::Other("circuit figures"), heading: title, head, rows }
}

fn figure_rows(context: &Context, slow: &CircuitSlow) -> Vec<(&'static str, String)> {
    let kept = if slow.still_held { "over a minute" } else { "not calculated" };
    let release = |time: Option<f64>| time.map_or(kept.to_owned(), |s| context.figure(s, Quantity::Time));
    let hold = |time: Option<f64>| {
        time.map_or("none, a factor is below 1 already".to_owned(), |seconds| lasting(context, seconds))
    };
    let mut rows = vec![
        ("release, until the level is below a twentieth", release(slow.release_s)),
        ("release with blow-off", slow.release_blow_off_s.map_or("none".to_owned(), |s| release(Some(s)))),
        ("holds without feed, no check valve at the source", hold(slow.hold_s)),
        ("holds without feed, with a check valve there", hold(slow.hold_with_check_s)),
    ];
    let currency = context.project.cycle.currency.trim();
    let normal = |litres: f64| context.figure(litres, Quantity::AirVolume);
    let time = |seconds: f64| context.figure(seconds, Quantity::Time);
    let add = [
        ("part held, from the signal", slow.controls.and_then(|controls| controls.held_s).map(time)),
        ("pick and release, from the signal", slow.pick_s.map(time)),
        ("motor runs per cycle", slow.motors_run_s.map(time)),
        ("compressed air per cycle", slow.air_nl_per_pick.map(normal)),
        ("of it blown off", slow.blow_off_nl_per_pick.map(normal)),
        ("energy per cycle", slow.energy_wh_per_pick.map(|wh| plain(context, wh, 3, "Wh"))),
        ("energy per year", slow.energy_kwh_per_year.map(|kwh| plain(context, kwh, 0, "kWh"))),
        ("cost per year", slow.cost_per_year.map(|cost| plain(context, cost, 0, currency))),
    ];
    rows.extend(add.into_iter().filter_map(|(what, figure)| Some((what, figure?))));
    rows
}

/// How the circuit is run, as far as it is not free of all that.
fn run(context: &Context, circuit: &CircuitReport) -> String {
    let held = context.project.circuit(circuit.id).and_then(|of| of.supply.as_deref());
    let Some(supply) = held else { return String::new() };
    let Some(source) = context.project.source(&supply.source) else { return String::new() };
    let operation = &supply.operation;
    let time = |seconds: f64| context.figure(seconds, Quantity::Time);
    let mut says = format!(
        "Times start at the signal and include {} for the valve and {} for the switch.",
        time(operation.valve_s.value),
        time(operation.switch_s.value)
    );
    if let Some((valve, feed_kpa)) = operation.blow_off.of(source.kind) {
        says.push_str(&format!(
            " Blown off through C {}, b {}, fed at {}.",
            context.figure(valve.c_dm3_s_bar, Quantity::Conductance),
            context.fixed(valve.b, 2),
            context.figure(feed_kpa, Quantity::FeedPressure)
        ));
    }
    if operation.vessel_ml > 0.0 {
        let vessel = context.figure(operation.vessel_ml, Quantity::Volume);
        says.push_str(&format!(" A vessel of {vessel} sits between source and valves."));
    }
    if let Some(exhaust) = operation.exhaust.as_ref().filter(|_| source.kind == SourceKind::Ejector) {
        says.push_str(&format!(
            " The exhaust goes through a hose of {}, {} long{}.",
            context.figure(exhaust.bore_mm, Quantity::Length),
            context.figure(exhaust.length_mm, Quantity::Length),
            if exhaust.silencer.is_some() { ", and a silencer" } else { "" }
        ));
    }
    if source.kind != SourceKind::Ejector && operation.motors_stop {
        says.push_str(" The motor stops between cycles.");
    }
    says
}

fn remarks(context: &Context, slow: &CircuitSlow) -> String {
    let mut says =
        "Hold time is from the design level until the factor of a motion reaches 1. Energy is that of the \
        compressor or motor; cycles, hours and prices are those of the project's cycle."
            .to_owned();
    if let Some(against) = &slow.against {
        let currency = context.project.cycle.currency.trim();
        let each = [&against.central, &against.per_cup].map(|of| {
            format!(
                "{}: {} ({} with air saving)",
                of.name,
                plain(context, of.cost_per_year, 0, currency),
                plain(context, of.cost_per_year_saving, 0, currency)
            )
        });
        says.push_str(&format!(" Cost per year by arrangement of the same source: {}.", each.join("; ")));
    }
    if context.report.ages.of(Slow::Times) == Age::Older {
        says.push_str(
            " Times, hold, one cup open and the settings of the controls are from an earlier plan and were \
            not recalculated yet when this sheet was made.",
        );
    }
    says
}
