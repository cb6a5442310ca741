//! What is selected: the cup's own values, what it carries in the motion shown, the balance of the layout.

use super::{PanelState, charts, envelope, places, reserve};
use crate::{
    arrange::{self, Across, Along},
    fields,
    fields::parting,
    theme::Size,
    view::{Action, View},
};
use analysis::LipLimit;
use document::{Cup, Edit};
use egui::{RichText, Ui};
use units::Quantity;

/// Draws everything at the right.
pub fn properties_ui(ui: &mut Ui, view: &View, state: &mut PanelState, actions: &mut Vec<Action>) {
    match (view.single(), view.selection.len()) {
        (Some(cup), _) => cup_ui(ui, view, cup, actions),
        (None, 0) => nothing_ui(ui, view),
        (None, count) => several_ui(ui, view, count, &mut state.preview, actions),
    }
    if view.shown_outcome().is_some() {
        parting(ui);
        charts::loads_ui(ui, view, actions);
        parting(ui);
        reserve::reserve_ui(ui, view, &mut state.all_lost, actions);
    }
    if view.report.part.is_some() && !view.layout.cups.is_empty() {
        parting(ui);
        envelope::envelope_ui(ui, view);
    }
    if view.report.balance.is_some() {
        parting(ui);
        balance_ui(ui, view);
    }
}

fn nothing_ui(ui: &mut Ui, view: &View) {
    ui.label(RichText::new(&view.layout.name).font(Size::Heading.strong()));
    fields::figure(ui, "Cups", &units::Shown { number: view.layout.cups.len().to_string(), unit: "" }, "");
    if let Some(part) = &view.report.part {
        fields::figure(ui, "Part mass", &view.show(part.mass_kg, Quantity::Mass), "With attached masses");
        fields::figure(ui, "Area", &view.show(part.area_mm2, Quantity::Area), "Holes deducted");
    }
    let force: f64 = view.report.cups.iter().map(|c| c.vacuum_force_n).sum();
    fields::figure(
        ui,
        "Vacuum force, all cups",
        &view.show(force, Quantity::Force),
        "Level at each cup × area inside its sealing line",
    );
    ui.add_space(4.0);
    ui.label(
        RichText::new("Select a cup to see and type its values.")
            .font(Size::Small.slanted())
            .color(view.tokens.second),
    );
}

fn cup_ui(ui: &mut Ui, view: &View, cup: &Cup, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let model = view.project.model(&cup.model);
    ui.horizontal(|ui| {
        ui.label(RichText::new(&cup.tag).font(Size::Heading.strong()));
        if let Some(model) = model {
            crate::widgets::line_label(ui, RichText::new(&model.name).color(t.second));
        }
    });
    let mut edit = |edit: Option<Edit>| actions.extend(edit.map(Action::Edit));
    let id = cup.id;
    let datum = view.datum();
    let lies = format!("From the datum, {}", view.datum_says());
    for (axis, name) in ["X", "Y"].into_iter().enumerate() {
        if let Some(v) = fields::quantity(
            ui,
            (id, name),
            name,
            cup.at[axis] - datum[axis],
            Quantity::Length,
            &view.units,
            &lies,
        ) {
            let mut to = cup.at;
            to[axis] = v + datum[axis];
            edit(Some(Edit::MoveCups { layout: view.layout.id, to: vec![(id, to)] }));
        }
    }
    nearest_ui(ui, view, cup, &mut edit);
    if let Some(v) = fields::known("cup.turn_deg").number(ui, id, cup.turn_deg, &view.units) {
        edit(arrange::change(view, "turn", |c| c.turn_deg = v));
    }
    if let Some(v) = fields::known("cup.height_mm").number(ui, id, cup.height_mm, &view.units) {
        edit(arrange::change(view, document::name_of("cup.height_mm"), |c| c.height_mm = v));
    }
    if let Some(v) = fields::known("cup.tag").text(ui, id, &cup.tag) {
        edit(arrange::change(view, "tag", |c| c.tag.clone_from(&v)));
    }
    shared_ui(ui, view, cup, &mut edit);
    if let Some(report) = view.cup_report(id) {
        if let Some(clearance) = report.clearance {
            let nearest = match clearance.limit {
                geometry::Limit::Edge => "Clearance, edge",
                geometry::Limit::Hole(_) => "Clearance, hole",
                geometry::Limit::KeepOut(_) => "Clearance, keep-out",
            };
            let why = format!(
                "Required {}: position, turn and drawing tolerance together",
                view.text(report.required_clearance_mm, Quantity::Length)
            );
            fields::figure(ui, nearest, &view.show(clearance.distance, Quantity::Length), &why);
        }
        motion_ui(ui, view, cup, report);
    }
}

/// Model, circuit, zone and lock of everything selected.
fn shared_ui(ui: &mut Ui, view: &View, first: &Cup, edit: &mut dyn FnMut(Option<Edit>)) {
    let models: Vec<(usize, &str)> =
        view.project.models.iter().enumerate().map(|(i, m)| (i, m.name.as_str())).collect();
    let at = view.project.models.iter().position(|m| m.id == first.model).unwrap_or(0);
    if let Some(i) = fields::choice(
        ui,
        "model of selection",
        "Model",
        at,
        &models,
        "Changes the model of the selection; more under Cups, models…",
    ) && let Some(model) = view.project.models.get(i)
    {
        edit(arrange::change(view, &format!("model to {}", model.name), |c| c.model = model.id.clone()));
    }
    let circuits: Vec<(document::CircuitId, &str)> =
        view.project.circuits.iter().map(|c| (c.id, c.name.as_str())).collect();
    if circuits.len() > 1
        && let Some(id) = fields::choice(
            ui,
            "circuit of selection",
            "Circuit",
            first.circuit,
            &circuits,
            "Cups that share one source",
        )
    {
        edit(arrange::change(view, "circuit", |c| c.circuit = id));
    }
    if let Some(zone) = fields::known("cup.zone").text(ui, first.id, &first.zone) {
        edit(arrange::change(view, "zone", |c| c.zone.clone_from(&zone)));
    }
    fields::row(ui, "Position", "", |ui| {
        let label = if first.locked { "locked: unlock" } else { "lock" };
        if ui.link(label).on_hover_text("L").clicked() {
            edit(arrange::lock(view));
        }
    });
}

fn several_ui(ui: &mut Ui, view: &View, count: usize, preview: &mut Vec<Cup>, actions: &mut Vec<Action>) {
    ui.label(RichText::new(format!("{count} cups selected")).font(Size::Heading.strong()));
    let Some(first) = view.selected().next().cloned() else { return };
    let mut edit = |edit: Option<Edit>| actions.extend(edit.map(Action::Edit));
    places_ui(ui, view, &mut edit);
    shared_ui(ui, view, &first, &mut edit);
    places::places_ui(ui, view, actions);
    ui.add_space(4.0);
    use crate::command::Command as C;
    ui.horizontal_wrapped(|ui| {
        for command in [
            C::AlignX,
            C::AlignY,
            C::SpaceX,
            C::SpaceY,
            C::MirrorAcrossVertical,
            C::MirrorAcrossHorizontal,
            C::ArrayRows,
            C::ArrayRing,
        ] {
            let enough = count > 2 || !matches!(command, C::SpaceX | C::SpaceY);
            let button = ui.add_enabled(enough, egui::Button::new(command.label()));
            if button.hovered() || button.has_focus() {
                let edit = match command {
                    C::AlignX => arrange::align(view, Along::X),
                    C::AlignY => arrange::align(view, Along::Y),
                    C::SpaceX => arrange::space(view, Along::X),
                    C::SpaceY => arrange::space(view, Along::Y),
                    C::MirrorAcrossVertical => arrange::mirror(view, Across::Vertical),
                    C::MirrorAcrossHorizontal => arrange::mirror(view, Across::Horizontal),
                    _ => None,
                };
                *preview = edit.map_or_else(Vec::new, |edit| arrange::would_stand(view, &edit));
            }
            if button.on_hover_text(command.shortcut_text(ui.ctx())).clicked() {
                actions.push(Action::Run(command));
            }
        }
    });
}

/// Where the selected cups begin, and how far apart they are.
fn places_ui(ui: &mut Ui, view: &View, edit: &mut dyn FnMut(Option<Edit>)) {
    let axes = [(Along::X, "X, leftmost", "Pitch along X"), (Along::Y, "Y, lowest", "Pitch along Y")];
    for (along, name, _) in axes {
        let Some(first) = arrange::first_at(view, along) else { continue };
        let why = "Of the first cup; the others move with it";
        if let Some(v) = fields::quantity(ui, name, name, first, Quantity::Length, &view.units, why) {
            edit(arrange::place(view, along, v));
        }
    }
    for (along, _, name) in axes {
        let Some(pitch) = arrange::pitch_of(view, along) else { continue };
        let why = "From each column or row to the next; the first stays";
        if let Some(v) = fields::quantity(ui, name, name, pitch, Quantity::Length, &view.units, why) {
            edit(arrange::pitch(view, along, v));
        }
    }
}

/// How far the nearest other cup is along X and Y; typed, the cup goes there.
fn nearest_ui(ui: &mut Ui, view: &View, cup: &Cup, edit: &mut dyn FnMut(Option<Edit>)) {
    let Some(near) = crate::plan::nearest_cup(view, cup) else { return };
    for (axis, name) in ["X", "Y"].into_iter().enumerate() {
        let label = format!("{name} from {}", near.tag);
        let by = units::tidied(cup.at[axis] - near.at[axis]);
        let why = "From the nearest other cup, centre to centre";
        let salt = (cup.id, name, "near");
        if let Some(v) = fields::quantity(ui, salt, &label, by, Quantity::Length, &view.units, why) {
            let mut to = cup.at;
            to[axis] = units::tidied(near.at[axis] + v);
            edit(Some(Edit::MoveCups { layout: view.layout.id, to: vec![(cup.id, to)] }));
        }
    }
}

fn motion_ui(ui: &mut Ui, view: &View, cup: &Cup, report: &analysis::CupReport) {
    let t = view.tokens;
    let Some(motion) = view.shown_motion() else { return };
    parting(ui);
    ui.label(RichText::new(format!("At {}", motion.name.to_lowercase())).font(Size::Heading.strong()));
    fields::figure(
        ui,
        "Design level",
        &view.show(report.level_kpa, Quantity::VacuumLevel),
        "At this cup, at the site's altitude, once the part counts as held: the factors are calculated at it",
    );
    if let Some(channel) = report.channel {
        fields::figure(
            ui,
            "Level at its ends",
            &view.show(report.level_kpa * channel.end_share, Quantity::VacuumLevel),
            "Air passes through the part: the level falls from the port to the ends as cosh, like heat along \
            a fin",
        );
    }
    fields::figure(
        ui,
        "Vacuum force",
        &view.show(report.vacuum_force_n, Quantity::Force),
        "Mean level × area inside the sealing line",
    );
    let outcome = match &motion.outcome {
        Ok(outcome) => outcome,
        Err(reason) => {
            ui.label(RichText::new(format!("No result: {reason}")).color(t.fail));
            return;
        }
    };
    let Some(m) = outcome.cups.iter().find(|c| c.id == cup.id) else { return };
    fields::figure(
        ui,
        "Pull",
        &view.show(m.load.pull, Quantity::Force),
        "Along the cup's axis, positive away from it",
    );
    fields::figure(
        ui,
        "Slide",
        &view.show(m.load.slide.length(), Quantity::Force),
        "Across the axis, in the plane of the part",
    );
    fields::figure(
        ui,
        "Tilt",
        &view.show(m.load.tilt.length(), Quantity::Moment),
        "Moment that opens the lip at one side",
    );
    fields::figure(ui, "Twist", &view.show(m.load.twist.abs(), Quantity::Moment), "Moment about the axis");
    fields::row(ui, "Factor", "How many times the real load could be carried before this lip fails", |ui| {
        let under = m.factor.value < motion.required_factor;
        ui.label(RichText::new(format!("of {}", view.factor(motion.required_factor))).color(t.second));
        ui.label(RichText::new(view.factor(m.factor.value)).font(Size::Body.strong()).color(if under {
            t.fail
        } else {
            t.ink
        }));
    });
    let limit = match m.factor.limit {
        LipLimit::Seal => "It loses its seal first: line pressure at the heavy side of the lip.",
        LipLimit::Slide => "It slides first: slide and twist against the friction of this lip.",
    };
    ui.label(RichText::new(limit).font(Size::Small.slanted()).color(t.second));
    ui.label(
        RichText::new(format!(
            "μ {} {}, share of the friction used {}",
            view.fixed(report.friction, 2),
            view.part.friction.origin.label(),
            view.fixed(report.slide_share, 2)
        ))
        .font(Size::Small.slanted())
        .color(t.second),
    );
}

fn balance_ui(ui: &mut Ui, view: &View) {
    let Some(balance) = &view.report.balance else { return };
    ui.label(RichText::new("Balance").font(Size::Heading.strong()));
    let x = view.show(balance.centroid_offset.x, Quantity::Length);
    let y = view.show(balance.centroid_offset.y, Quantity::Length);
    fields::figure(
        ui,
        "Centre of gravity offset",
        &units::Shown { number: format!("({}{}{})", x.number, view.units.between(), y.number), unit: x.unit },
        "From the centre of the cups' stiffness to the centre of gravity",
    );
    if let Some(outcome) = view.shown_outcome() {
        let moment = outcome.wrench.moment;
        fields::figure(
            ui,
            "Tipping about X",
            &view.show(moment.x, Quantity::Moment),
            "Of the motion shown, about the centre of the cups",
        );
        fields::figure(
            ui,
            "Tipping about Y",
            &view.show(moment.y, Quantity::Moment),
            "Of the motion shown, about the centre of the cups",
        );
    }
    fields::figure(
        ui,
        "Centre of gravity inside",
        &units::Shown { number: if balance.inside_hull { "yes" } else { "no" }.to_owned(), unit: "" },
        "Whether the centre of gravity lies within the outline of the outermost cups",
    );
    most_ui(ui, view, balance);
}

fn most_ui(ui: &mut Ui, view: &View, balance: &analysis::Balance) {
    let Some(most) = balance.most_over_mean else { return };
    let motion = balance.most_over_mean_motion.and_then(|id| view.project.motion(id));
    let why = motion
        .map_or_else(String::new, |m| format!("Most loaded cup over the mean, at {}", m.name.to_lowercase()));
    fields::figure(ui, "Peak-to-mean load", &view.show(most, Quantity::Ratio), &why);
}
