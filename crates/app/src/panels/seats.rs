//! Parts on the tool: which, where, which zones are on for each, and how few valves would do.

use crate::{
    command::Command,
    fields,
    theme::Size,
    view::{Action, FamilyView, View},
};
use analysis::{Cover, SeatReport, Severity};
use document::{CupId, Edit, PartId, Seat, SeatId};
use egui::{Align, Button, Layout, RichText, Ui, containers::menu::MenuButton};

/// Room of the figure and the link beside the name of a part.
const FIGURES: f32 = 130.0;

/// Draws the group.
pub fn seats_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    fields::heading(ui, "Parts on the tool", None);
    match &view.family {
        None => {
            fields::row(ui, view.part.name.as_str(), "The one part that this tool carries", |ui| {
                add_ui(ui, view, actions);
            });
        }
        Some(held) => {
            for seat in &held.family.seats {
                row_ui(ui, view, held, seat, actions);
            }
            fields::row(ui, "", "Another part of the project, the other hand, or the same once more", |ui| {
                add_ui(ui, view, actions);
            });
            if let Some(seat) = held.seat() {
                seat_ui(ui, view, seat, actions);
            }
            zones_ui(ui, view, held, actions);
            plan_ui(ui, view, held, actions);
        }
    }
}

fn change(view: &View, seat: &Seat, what: String, apply: impl FnOnce(&mut Seat)) -> Action {
    let mut new = seat.clone();
    apply(&mut new);
    Action::Edit(Edit::ChangeSeat { layout: view.layout.id, seat: new, what })
}

fn add_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let button =
        Button::new(RichText::new("carry another…").color(view.tokens.working)).frame_when_inactive(false);
    let (menu, _) = MenuButton::from_button(button).ui(ui, |ui| {
        ui.set_min_width(210.0);
        let shown = view.seat();
        let hand = format!("The other hand of {}", view.project.name_of_part(shown.part));
        if ui.button(hand).on_hover_text("Its mirror image, at the same place").clicked() {
            actions.push(Action::Run(Command::OtherHand));
            ui.close();
        }
        for part in &view.project.parts {
            let text =
                if part.id == shown.part { format!("{} once more", part.name) } else { part.name.clone() };
            if ui.button(text).on_hover_text("With its datum on the tool's").clicked() {
                actions.push(Action::SeatPart(part.id));
                ui.close();
            }
        }
        ui.separator();
        if ui.button("From a drawing…").on_hover_text("Import it: Carry it too adds it to the tool").clicked()
        {
            actions.push(Action::Run(Command::ImportDrawing));
            ui.close();
        }
    });
    ui.ctx().accesskit_node_builder(menu.id, |node| node.set_label("Carry another part"));
}

fn row_ui(ui: &mut Ui, view: &View, held: &FamilyView, seat: &SeatReport, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let shown = held.seat().is_some_and(|shown| shown.seat.id == seat.seat.id);
    ui.horizontal(|ui| {
        let shown_name = crate::widgets::elided(ui, &seat.name, (ui.available_width() - FIGURES).max(60.0));
        let text = RichText::new(shown_name).color(if shown { t.ink } else { t.second });
        let name = ui.selectable_label(shown, if shown { text.strong() } else { text });
        let says = format!("Show {}", seat.name);
        ui.ctx().accesskit_node_builder(name.id, |node| node.set_label(says.clone()));
        if name.on_hover_text(format!("{}: {}", seat.name, seat.report.verdict.sentence)).clicked() {
            actions.push(Action::Seat(Some(seat.seat.id)));
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let off = ui.link("remove").on_hover_text("The part stays in the project");
            let says = format!("Remove {} from the tool", seat.name);
            ui.ctx().accesskit_node_builder(off.id, |node| node.set_label(says.clone()));
            if off.clicked() {
                let (layout, seat) = (view.layout.id, seat.seat.id);
                actions.push(Action::Edit(Edit::RemoveSeat { layout, seat }));
            }
            let (says, colour) = match (seat.report.verdict.severity, seat.report.governing()) {
                (Severity::Fail, _) => ("does not hold".to_owned(), t.fail),
                (Severity::NotChecked, _) => ("not checked".to_owned(), t.second),
                (_, Some((_, ratio))) => (format!("{} ×", view.factor(ratio)), t.second),
                (_, None) => ("no figure".to_owned(), t.second),
            };
            let why = "Lowest factor over required";
            ui.label(RichText::new(says).font(Size::Small.font()).color(colour)).on_hover_text(why);
        });
    });
}

/// Place, turn, share and motions of the part shown.
fn seat_ui(ui: &mut Ui, view: &View, held: &SeatReport, actions: &mut Vec<Action>) {
    let seat = &held.seat;
    ui.indent(("seat", seat.id), |ui| {
        ui.label(
            RichText::new(format!("{} on the tool", held.name))
                .font(Size::Small.font())
                .color(view.tokens.second),
        );
        for axis in 0..2 {
            let row = fields::known("layout.seats.at").of(&held.name).axis(axis);
            if let Some(v) = row.number(ui, seat.id, seat.at[axis], &view.units) {
                actions.push(change(view, seat, String::new(), |seat| seat.at[axis] = v));
            }
        }
        let row = fields::known("layout.seats.turn_deg").of(&held.name);
        if let Some(v) = row.number(ui, seat.id, seat.turn_deg, &view.units) {
            actions.push(change(view, seat, String::new(), |seat| seat.turn_deg = v));
        }
        let row = fields::known("layout.seats.share").of(&held.name);
        if let Some(v) = row.number(ui, seat.id, seat.share, &view.units) {
            actions.push(change(view, seat, String::new(), |seat| seat.share = v));
        }
        stops_ui(ui, view, held, actions);
        for motion in &view.project.motions {
            let mut makes = !seat.left_out.contains(&motion.id);
            let why = "Whether this part makes this motion";
            let tick = ui.checkbox(&mut makes, &motion.name).on_hover_text(why);
            let says = format!("{} makes {}", held.name, motion.name);
            ui.ctx().accesskit_node_builder(tick.id, |node| node.set_label(says));
            if tick.changed() {
                let verb = if makes { "makes" } else { "leaves out" };
                let what = format!("{} {verb} {}", held.name, motion.name);
                actions.push(change(view, seat, what, |seat| {
                    seat.left_out.retain(|id| *id != motion.id);
                    if !makes {
                        seat.left_out.push(motion.id);
                    }
                }));
            }
        }
        if view.selection.is_empty() {
            return;
        }
        let chosen: Vec<CupId> = view.selection.iter().copied().collect();
        let mut may = chosen.iter().all(|id| seat.may_stay_shut.contains(id));
        let what = match chosen.as_slice() {
            [one] => view.tag(*one).to_owned(),
            many => format!("{} cups", many.len()),
        };
        let why = "The part holds without it: fewer valves may do";
        if ui.checkbox(&mut may, format!("{what} may stay shut")).on_hover_text(why).changed() {
            let what = format!("{what} {} stay shut for {}", if may { "may" } else { "must not" }, held.name);
            actions.push(change(view, seat, what, |seat| {
                seat.may_stay_shut.retain(|id| !chosen.contains(id));
                if may {
                    seat.may_stay_shut.extend(&chosen);
                }
            }));
        }
    });
}

/// What the part was laid against, to change or remove, or the way to lay it against stops.
fn stops_ui(ui: &mut Ui, view: &View, held: &SeatReport, actions: &mut Vec<Action>) {
    let seat = &held.seat;
    let Some(stops) = seat.stops else {
        if ui
            .link("Place by three stops…")
            .on_hover_text("Two touch one edge of the part, one another")
            .clicked()
        {
            actions.push(Action::Run(Command::Stops));
        }
        return;
    };
    for (index, at) in stops.at.iter().enumerate() {
        let of = format!("stop {} of {}", index + 1, held.name);
        ui.label(
            RichText::new(format!("Stop {}", index + 1)).font(Size::Small.font()).color(view.tokens.second),
        );
        for axis in 0..2 {
            let row = fields::known("layout.seats.stops.at").of(&of).axis(axis);
            let Some(v) = row.number(ui, (seat.id, index), at[axis], &view.units) else { continue };
            let mut moved = stops;
            moved.at[index][axis] = v;
            actions.push(match seat.by_stops(&view.part, moved) {
                Ok(seat) => {
                    Action::Edit(Edit::ChangeSeat { layout: view.layout.id, seat, what: String::new() })
                }
                Err(why) => Action::Notice(why.says(&view.units)),
            });
        }
    }
    ui.horizontal(|ui| {
        if ui.link("Other edges…").clicked() {
            actions.push(Action::Run(Command::Stops));
        }
        let why = "The part stays where it lies";
        if ui.link("Remove its stops").on_hover_text(why).clicked() {
            actions.push(change(view, seat, String::new(), |seat| seat.stops = None));
        }
    });
}

/// The table of seats and zones: a click opens or shuts a valve for a part. It is the wiring list.
fn zones_ui(ui: &mut Ui, view: &View, held: &FamilyView, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let mut zones = view.layout.zones();
    zones.sort_unstable();
    if zones.is_empty() {
        ui.label(RichText::new("No cup has a zone: all cups are on for every part.").color(t.second));
        return;
    }
    ui.add_space(4.0);
    ui.label(RichText::new("Valves: open for").font(Size::Small.font()).color(t.second));
    egui::Grid::new("seats and zones").num_columns(zones.len() + 1).spacing([10.0, 3.0]).show(ui, |ui| {
        ui.label("");
        for zone in &zones {
            let cups = view.layout.cups.iter().filter(|cup| cup.zone == **zone);
            let tags: Vec<&str> = cups.map(|cup| cup.tag.as_str()).collect();
            ui.label(RichText::new(*zone).strong())
                .on_hover_text(format!("Zone {zone}: {}", tags.join(", ")));
        }
        ui.end_row();
        for seat in &held.family.seats {
            ui.label(crate::widgets::elided(ui, &seat.name, 118.0)).on_hover_text(&seat.name);
            for zone in &zones {
                let mut on = seat.seat.is_on(zone);
                let cell = ui.checkbox(&mut on, "");
                let name = format!("Zone {zone} open for {}", seat.name);
                ui.ctx().accesskit_node_builder(cell.id, |node| node.set_label(name.clone()));
                if cell.on_hover_text(zone_says(view, seat, zone)).changed() {
                    actions.push(change(view, &seat.seat, String::new(), |seat| {
                        seat.shut.retain(|shut| shut != zone);
                        if !on {
                            seat.shut.push((*zone).to_owned());
                        }
                    }));
                }
            }
            ui.end_row();
        }
    });
}

/// "C1 and C2 on, C3 beside".
fn zone_says(view: &View, seat: &SeatReport, zone: &str) -> String {
    let with = |cover: Cover, word: &str| {
        let cups = seat.cups.iter().zip(&view.layout.cups);
        let tags: Vec<String> = cups
            .filter(|(of, cup)| cup.zone == zone && of.cover == Some(cover))
            .map(|(_, cup)| cup.tag.clone())
            .collect();
        (!tags.is_empty()).then(|| format!("{} {word}", analysis::words::list(&tags)))
    };
    let says = [with(Cover::On, "on"), with(Cover::Partly, "partly on"), with(Cover::Off, "beside")];
    let says: Vec<String> = says.into_iter().flatten().collect();
    format!("Zone {zone}, {}: {}", seat.name, says.join(", "))
}

/// The fewest valves, with one click to take them.
fn plan_ui(ui: &mut Ui, view: &View, held: &FamilyView, actions: &mut Vec<Action>) {
    let plan = &held.family.valves;
    let t = view.tokens;
    ui.add_space(4.0);
    let says = telling::valves_in_words(&held.family, &view.units);
    ui.add(egui::Label::new(RichText::new(says).color(t.second)).wrap());
    if let Some(says) = telling::mix_in_words(&held.family, &view.project.cycle.currency, &view.units) {
        ui.add(egui::Label::new(RichText::new(says).color(t.second)).wrap());
    }
    if plan.fewest.is_empty() || (plan.now_serves && plan.fewest.len() >= plan.now) {
        return;
    }
    for zone in &plan.fewest {
        let tags: Vec<&str> = zone.cups.iter().map(|cup| view.tag(*cup)).collect();
        let open: Vec<String> = held
            .family
            .seats
            .iter()
            .zip(&zone.open)
            .filter(|(_, open)| **open)
            .map(|(seat, _)| seat.name.clone())
            .collect();
        let open = if open.is_empty() { "no part".to_owned() } else { analysis::words::all(&open) };
        let text = format!("{}: {}; open for {open}", zone.name, tags.join(", "));
        ui.add(egui::Label::new(text).wrap());
    }
    let why = "Gives the cups these zones and switches them for every part; one step of undo";
    if ui.button("Use these zones").on_hover_text(why).clicked() {
        actions.push(Action::Edit(held.family.take_zones(&view.project, &view.layout)));
    }
}

/// The edit that puts a part of the project on the tool.
pub fn seat_part(view: &View, part: PartId) -> Edit {
    let seat = Seat::of(SeatId(view.project.next_id()), part);
    Edit::AddSeat { layout: view.layout.id, seat }
}

/// The parts as tabs, behind those of the alternatives.
pub fn tabs_ui(ui: &mut Ui, view: &View, (names, carries): (&[String], bool), actions: &mut Vec<Action>) {
    let Some(held) = &view.family else { return };
    let t = view.tokens;
    if carries {
        ui.label(RichText::new("carries").font(Size::Small.slanted()).color(t.second));
    }
    for (index, (seat, name)) in held.family.seats.iter().zip(names).enumerate() {
        let shown = !held.all && index == held.shown;
        let colour = match seat.report.verdict.severity {
            Severity::Fail => t.fail,
            _ if shown => t.ink,
            _ => t.second,
        };
        let mark = if seat.report.verdict.severity == Severity::Fail { "\u{d7} " } else { "" };
        let text = RichText::new(format!("{mark}{name}")).color(colour);
        let tab = ui.selectable_label(shown, text);
        let says = format!("Part {}", seat.name);
        ui.ctx().accesskit_node_builder(tab.id, |node| node.set_label(says.clone()));
        let why = format!("{}: {}\n[ and ] step through the parts", seat.name, seat.report.verdict.sentence);
        if tab.on_hover_text(why).clicked() {
            actions.push(Action::Seat(Some(seat.seat.id)));
        }
    }
    let text = RichText::new("all").color(if held.all { t.ink } else { t.second });
    let all = ui.selectable_label(held.all, text);
    ui.ctx().accesskit_node_builder(all.id, |node| node.set_label("all parts"));
    if all
        .on_hover_text("All parts over each other; each cup with the number of parts that it holds")
        .clicked()
    {
        actions.push(Action::Run(Command::AllSeats));
    }
}
