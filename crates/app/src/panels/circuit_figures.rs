//! What the circuits come to: losses, what would help, an open cup, time, hold, air and energy.

use super::age::age_note;
use super::{circuit_charts, schematic::tags};
use crate::{
    fields,
    theme::Size,
    view::{Action, View},
};
use analysis::{CircuitReport, CircuitSlow, CircuitStatus, DesignFrom, DesignReport, HelpReport, Slow};
use egui::{RichText, Ui};
use units::{Quantity, Shown};

/// Draws the figures of every solved circuit, side by side in columns.
pub fn figures_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let t = view.tokens;
    ui.horizontal(|ui| {
        ui.label(RichText::new("Circuit").font(Size::Heading.strong()));
        age_note(ui, view, &[Slow::Times]);
    });
    // Columns may ask for more than a narrow window has: the panel keeps its width all the same.
    let room = ui.available_rect_before_wrap();
    ui.advance_cursor_after_rect(room);
    let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(room));
    inner.shrink_clip_rect(room);
    egui::ScrollArea::vertical().id_salt("circuit figures").auto_shrink([false, false]).show(
        &mut inner,
        |ui| {
            let mut any = false;
            for circuit in view.report.circuits.iter().filter(|c| c.status == CircuitStatus::Solved) {
                any = true;
                ui.push_id(circuit.id, |ui| {
                    ui.spacing_mut().item_spacing.x = 28.0;
                    // As many beside each other as keep their words whole; the others follow below.
                    let count = ((ui.available_width() / COLUMN) as usize).clamp(1, 3);
                    ui.columns(count, |columns| {
                        for column in columns.iter_mut() {
                            column.spacing_mut().item_spacing = egui::vec2(8.0, 0.0);
                        }
                        // Columns stretch their lines; sentences keep their spaces.
                        columns[0].vertical(|ui| helps_ui(ui, view, circuit, actions));
                        if count < 3 {
                            columns[0].add_space(14.0);
                        }
                        columns[count / 2].vertical(|ui| figures_column_ui(ui, view, circuit, actions));
                        if count == 1 {
                            columns[0].add_space(14.0);
                        }
                        circuit_charts::charts_ui(&mut columns[count - 1], view, circuit);
                    });
                });
            }
            if !any {
                let text = "No circuit is calculated yet. Under Circuits, at the left, choose a source.";
                ui.label(RichText::new(text).color(t.second));
            }
        },
    );
}

/// Room that a column needs.
const COLUMN: f32 = 215.0;
/// So many changes are listed.
const SHOWN: usize = 10;
/// Width of what a change gives, and of the link that makes it.
const GAIN: f32 = 78.0;
const TAKE: f32 = 44.0;
/// The words of a change stand beside what it gives where they have so much room.
const WORDS: f32 = 130.0;
/// A gain that nobody sees on a gauge, kPa.
const LITTLE_KPA: f64 = 0.05;

fn level(view: &View, kpa: f64) -> String {
    view.text(kpa, Quantity::VacuumLevel)
}

fn helps_ui(ui: &mut Ui, view: &View, circuit: &CircuitReport, actions: &mut Vec<Action>) {
    let t = view.tokens;
    ui.label(RichText::new(format!("{}: best single changes", circuit.name)).font(Size::Body.strong()));
    let Some(slow) = &circuit.slow else { return };
    if slow.helps.is_empty() {
        ui.label(RichText::new("No single change raises the level at the worst cup.").color(t.second));
    }
    for help in slow.helps.iter().take(SHOWN) {
        help_ui(ui, view, circuit, help, actions);
    }
    ui.label(
        RichText::new(
            "Each is recalculated. A larger bore helps while every cup is covered; with a cup open \
            it may hurt.",
        )
        .font(Size::Small.slanted())
        .color(t.second),
    );
}

/// One change: what it is, what it gives, and a click that makes it.
fn help_ui(ui: &mut Ui, view: &View, circuit: &CircuitReport, help: &HelpReport, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let says = help.change.says(&view.units);
    let mut why = format!(
        "{}.\nWorst cup from {} to {}",
        units::capital(&says),
        level(view, help.worst_level_kpa_from),
        level(view, help.worst_level_kpa_to)
    );
    let open = help.open_level_kpa_from.zip(help.open_level_kpa_to);
    if let Some((from, to)) = open {
        why += &format!(
            "; with one cup open, the worst other from {} to {}",
            level(view, from),
            level(view, to)
        );
    }
    let edit = help.change.edit(&view.project, circuit.id, &crate::today());
    if edit.is_none() {
        why += ".\nMove what the hose connects, or enter its length, to make it";
    }
    let gain = help.worst_level_kpa_to - help.worst_level_kpa_from;
    let gain_open = open.map_or(0.0, |(from, to)| to - from);
    // Some changes help only while a cup is open: then that is the figure to show.
    let (shown, note) =
        if gain < gain_open && gain < LITTLE_KPA { (gain_open, "with one open") } else { (gain, "") };
    let what = |ui: &mut Ui| {
        let text = RichText::new(units::capital(&says)).color(t.second);
        ui.add(egui::Label::new(text).wrap()).on_hover_text(&why);
    };
    let mut gives = |ui: &mut Ui| {
        let colour = if shown > 0.0 { t.order } else { t.second };
        cell(ui, GAIN, |ui| {
            ui.with_layout(egui::Layout::top_down(egui::Align::Max), |ui| {
                ui.label(RichText::new(signed(view, shown)).color(colour));
                if !note.is_empty() {
                    ui.label(RichText::new(note).font(Size::Small.font()).color(t.second));
                }
            });
        });
        cell(ui, TAKE, |ui| {
            let Some(edit) = &edit else { return };
            let link = ui.link("Apply").on_hover_text("Makes this change; Undo reverts it");
            ui.ctx().accesskit_node_builder(link.id, |node| node.set_label(format!("Apply {says}")));
            if link.clicked() {
                actions.push(Action::Edit(edit.clone()));
            }
        });
    };
    let rest = ui.available_width() - GAIN - TAKE - 16.0;
    // Where the words would be broken into a tower, what the change gives stands below them.
    if rest < WORDS {
        ui.add_space(6.0);
        what(ui);
    }
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        ui.set_min_height(fields::ROW);
        cell(ui, rest.max(0.0), |ui| {
            if rest >= WORDS {
                what(ui);
            }
        });
        gives(ui);
    });
}

/// A piece of a row, so wide.
fn cell(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui)) {
    let size = egui::vec2(width, fields::ROW);
    ui.allocate_ui_with_layout(size, egui::Layout::top_down(egui::Align::Min), |ui| {
        ui.set_width(width);
        ui.add_space(3.0);
        add(ui);
    });
}

/// "+3.2 kPa", "0.0 kPa", "−1.0 kPa".
fn signed(view: &View, kpa: f64) -> String {
    let text = level(view, kpa);
    let more = kpa > 0.0 && text != level(view, 0.0);
    if more { format!("+{text}") } else { text }
}

/// What it comes to, what factors are worked out at, and what stops the machine, beside each other.
fn levels_ui(ui: &mut Ui, view: &View, design: &DesignReport) {
    ui.label(RichText::new("Levels at the switch").font(Size::Body.strong()));
    let mut row = |name: &str, kpa: f64, why: &str| {
        fields::figure(ui, name, &view.show(kpa, Quantity::VacuumLevel), why);
    };
    row("Steady", design.steady_kpa, "Level the circuit reaches with a part on every cup");
    let why = match design.from {
        DesignFrom::Switch if design.never_held() => {
            "The steady level: the switch waits for more and no pick starts".to_owned()
        }
        DesignFrom::Switch => {
            "Factors are calculated at it: the switch signals part held from this level, as entered"
                .to_owned()
        }
        DesignFrom::Share => format!(
            "Factors are calculated at it: {}, since no switch level is entered",
            analysis::design_share()
        ),
        DesignFrom::Stated => "Factors are calculated at it: the level stated for the circuit".to_owned(),
    };
    row("Design", design.design_kpa, &why);
    row(
        "Alarm below",
        design.alarm_kpa,
        "With a part held the machine stops below it; the design level unless entered",
    );
    fields::parting(ui);
}

fn figures_column_ui(ui: &mut Ui, view: &View, circuit: &CircuitReport, actions: &mut Vec<Action>) {
    if let Some(design) = &circuit.design {
        levels_ui(ui, view, design);
    }
    let Some(slow) = &circuit.slow else { return };
    let time = |s: Option<f64>| match s {
        Some(s) if s.is_finite() => view.show(s, Quantity::Time),
        Some(_) => Shown { number: "no limit".to_owned(), unit: "" },
        None => Shown { number: "–".to_owned(), unit: "" },
    };
    ui.label(RichText::new("Time, hold, air").font(Size::Body.strong()));
    let slowest =
        slow.evacuation.iter().filter_map(|c| Some((c.to_90_s?, c.cup))).max_by(|a, b| a.0.total_cmp(&b.0));
    let (shown, who) = slowest.map_or((None, String::new()), |(s, cup)| (Some(s), view.tag(cup).to_owned()));
    fields::figure(
        ui,
        "To 90 % at every cup",
        &time(shown),
        &format!("Slowest at {who}, from the signal on; all cups on the part from the start"),
    );
    fields::figure(
        ui,
        "Release",
        &time(slow.release_s),
        "Until the level is nearly gone, through the open bores",
    );
    let why = "Until the level is nearly gone, with air blown in through the blow-off valve";
    fields::figure(ui, "Release with blow-off", &time(slow.release_blow_off_s), why);
    let held = slow.controls.and_then(|controls| controls.held_s);
    let why = "From the signal until the controller sees the part as held: valve, evacuation to that level, \
        switch";
    fields::figure(ui, "Part held after", &time(held), why);
    let why = "From the signal to pick until the part is released: valve, evacuation, switch, the hold time of the cycle, release";
    fields::figure(ui, "Pick and release", &time(slow.pick_s), why);
    if slow.motors_run_s.is_some() {
        let why = "Through the whole cycle, unless it is set to stop between cycles";
        fields::figure(ui, "Motor runs per cycle", &time(slow.motors_run_s), why);
    }
    let why = "After the feed fails, from the design level until the factor of some motion reaches 1; cups stay down";
    fields::figure(ui, "Holds without feed", &time(slow.hold_s), why);
    fields::figure(ui, "… with a check valve", &time(slow.hold_with_check_s), why);
    if let Some(air) = slow.air_nl_per_pick {
        fields::figure(
            ui,
            "Air per cycle",
            &view.show(air, Quantity::AirVolume),
            &format!("Compressed air, as {}; what is blown off is counted", view.units.flow.reference()),
        );
    }
    if let Some(air) = slow.blow_off_nl_per_pick {
        let shown = view.show(air, Quantity::AirVolume);
        fields::figure(
            ui,
            "… of it blown off",
            &shown,
            "Until the last cup has released and the valve has shut again",
        );
    }
    if let Some(energy) = slow.energy_wh_per_pick {
        fields::figure(
            ui,
            "Energy per cycle",
            &Shown { number: view.fixed(energy, 2), unit: "Wh" },
            "At the compressor or the motor",
        );
    }
    if let Some(cost) = slow.cost_per_year {
        let currency = view.project.cycle.currency.clone();
        fields::row(
            ui,
            "Cost per year",
            "Air, or electricity, with the prices and cycles entered under Cycle",
            |ui| ui.label(format!("{} {currency}", view.fixed(cost, 0))),
        );
    }
    super::circuit_dust::figures_ui(ui, view, slow);
    against_ui(ui, view, slow);
    open_until_ui(ui, view, slow);
    open_ui(ui, view, slow, actions);
    if let Some(controls) = &slow.controls {
        fields::parting(ui);
        ui.label(RichText::new("For the controls").font(Size::Body.strong()));
        fields::figure(
            ui,
            "Part held from",
            &view.show(controls.held_kpa, Quantity::VacuumLevel),
            &format!(
                "At the switch: {}, or what the required factors need where that is more",
                analysis::design_share()
            ),
        );
        fields::figure(
            ui,
            "Alarm below",
            &view.show(controls.alarm_kpa, Quantity::VacuumLevel),
            "At the switch: the lowest level at which every required factor is met",
        );
        fields::figure(
            ui,
            "Air saving off at",
            &view.show(controls.saving_off_kpa, Quantity::VacuumLevel),
            "",
        );
        fields::figure(ui, "Time-out", &time(controls.time_out_s), "Twice the time to the part-held level");
        fields::figure(ui, "Hold after feed fails", &time(controls.hold_s), "With a check valve");
    }
}

fn against_ui(ui: &mut Ui, view: &View, slow: &CircuitSlow) {
    let Some(against) = &slow.against else { return };
    let t = view.tokens;
    fields::parting(ui);
    ui.label(RichText::new("One source, or one a cup").font(Size::Body.strong()));
    egui::Grid::new("arrangements").num_columns(3).spacing([10.0, 3.0]).show(ui, |ui| {
        let [a, b] = [&against.central, &against.per_cup];
        // Their whole names would not fit beside each other.
        for head in ["", "central", "one a cup"] {
            ui.label(head);
        }
        ui.end_row();
        let mut row = |name: &str, of: &dyn Fn(&analysis::ArrangementFigures) -> String| {
            ui.label(RichText::new(name).color(t.second));
            ui.label(of(a));
            ui.label(of(b));
            ui.end_row();
        };
        row("worst level", &|f| level(view, f.worst_level_kpa));
        row("to 90 %", &|f| f.to_90_s.map_or("–".to_owned(), |s| view.text(s, Quantity::Time)));
        row("air per cycle", &|f| view.text(f.air_nl_per_pick, Quantity::AirVolume));
        row("… with air saving", &|f| view.text(f.air_nl_per_pick_saving, Quantity::AirVolume));
        row("energy per year", &|f| format!("{} kWh", view.fixed(f.energy_kwh_per_year, 0)));
        row("… with air saving", &|f| format!("{} kWh", view.fixed(f.energy_kwh_per_year_saving, 0)));
    });
}

/// How many cups may be open, in each meaning of it.
fn open_until_ui(ui: &mut Ui, view: &View, slow: &CircuitSlow) {
    fields::parting(ui);
    ui.label(RichText::new("Open cups").font(Size::Body.strong()));
    for until in &slow.open_until {
        let why = format!("{} Cups are opened worst first.", until.what.why());
        let shown = Shown { number: until.shown(|cup| view.tag(cup)), unit: "" };
        fields::figure(ui, until.what.says(), &shown, &why);
    }
}

fn open_ui(ui: &mut Ui, view: &View, slow: &CircuitSlow, actions: &mut Vec<Action>) {
    if slow.open.is_empty() {
        return;
    }
    let t = view.tokens;
    fields::parting(ui);
    ui.label(RichText::new("One cup open").font(Size::Body.strong()));
    let mut order: Vec<_> = slow.open.iter().collect();
    order.sort_by(|a, b| a.holds.cmp(&b.holds).then(a.least_level_kpa.total_cmp(&b.least_level_kpa)));
    for open in order.iter().take(6) {
        let word = if open.holds { "holds" } else { "drops" };
        let mut why = format!("Lowest of the others at {}", view.tag(open.least_at));
        if !open.then_lost.is_empty() {
            why += &format!("; then {} lose their seal", tags(view, &open.then_lost));
        }
        let name = format!("{} open", view.tag(open.cup));
        fields::row(ui, &name, &why, |ui| {
            ui.label(RichText::new(word).color(if open.holds { t.ink } else { t.fail }));
            if ui.link(level(view, open.least_level_kpa)).clicked() {
                actions.push(Action::Frame(vec![open.cup]));
            }
        });
    }
}
