//! What carries the cups: flange, frame, fittings; and what the robot has to carry.

use super::{
    PanelState,
    masses::{self, MassList},
};
use crate::{
    fields,
    theme::Size,
    view::{Action, View},
};
use analysis::Carried;
use document::{Edit, FrameId, FramePiece, FrameShape, Site, Tool};
use egui::{RichText, Ui};
use glam::{DVec2, DVec3};
use std::sync::Arc;
use units::{Quantity, Shown};

/// Length of rail left beyond the outermost cup, mm.
const RAIL_END: f64 = 40.0;

type Change<'a> = dyn FnMut(&str, &dyn Fn(&mut Tool)) + 'a;

/// Draws the group.
pub fn tool_ui(ui: &mut Ui, view: &View, state: &mut PanelState, actions: &mut Vec<Action>) {
    fields::heading(ui, "Tool and robot", None);
    payload_ui(ui, view, actions);
    load_ui(ui, view);
    let tool = &view.layout.tool;
    let layout = view.layout.id;
    let mut change = |what: &str, apply: &dyn Fn(&mut Tool)| {
        let mut new = (**tool).clone();
        apply(&mut new);
        actions.push(Action::Edit(Edit::ChangeTool { layout, tool: Arc::new(new), what: what.to_owned() }));
    };
    if state.whole_tool {
        flange_ui(ui, view, &mut change);
        frame_ui(ui, view, &mut change);
        fittings_ui(ui, view, &mut change);
    }
    let mut rest = Vec::new();
    match tool.frame.len() {
        0 => {}
        1 => rest.push("one piece of frame".to_owned()),
        n => rest.push(format!("{n} pieces of frame")),
    }
    let fittings: f64 = tool.masses.iter().map(|m| m.mass_kg).sum();
    if fittings > 0.0 {
        rest.push(format!("{} of fittings", view.text(fittings, Quantity::Mass)));
    }
    let rest = if rest.is_empty() { "flange, frame, fittings".to_owned() } else { rest.join(", ") };
    fields::row(
        ui,
        &rest,
        "Where the flange is, rails and plates that carry the cups, masses of fittings",
        |ui| {
            if ui.link(if state.whole_tool { "fewer details" } else { "details…" }).clicked() {
                state.whole_tool = !state.whole_tool;
            }
        },
    );
}

fn payload_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let site = view.project.site;
    let why = "What the robot may carry at its flange, tool and part together. 0: not stated";
    let shown = site.payload_kg.unwrap_or(0.0);
    let bounds = (0.0, 1e6);
    if let Some(v) = fields::within(ui, "payload", "Payload", shown, Quantity::Mass, bounds, &view.units, why)
    {
        let payload_kg = (v > 0.0).then_some(v);
        let what = format!("payload to {}", view.given(v, Quantity::Mass));
        actions.push(Action::Edit(Edit::ChangeSite { site: Site { payload_kg, ..site }, what }));
    }
}

fn load_ui(ui: &mut Ui, view: &View) {
    let Some(robot) = &view.report.robot else { return };
    let vector = |v: DVec3| {
        let [x, y, z] = [v.x, v.y, v.z].map(|v| view.show(v, Quantity::Length));
        let apart = view.units.between();
        Shown { number: format!("({}{apart}{}{apart}{})", x.number, y.number, z.number), unit: x.unit }
    };
    let inertia = |c: &Carried| {
        let [xx, yy, zz] = [0, 1, 2].map(|i| view.text(c.inertia_kg_m2[i], Quantity::Inertia));
        let centre = vector(c.centre_mm);
        format!("Centre {centre} from the flange. Inertia about the flange: Ixx {xx}, Iyy {yy}, Izz {zz}")
    };
    let mut why = robot.empty.as_ref().map_or_else(|| "No mass of the tool is stated".to_owned(), inertia);
    if !robot.left_out.is_empty() {
        why = format!("{why}. Left out, since no mass is stated: {}", robot.left_out.join(", "));
    }
    if let Some(empty) = &robot.empty {
        fields::figure(ui, "Tool", &view.show(empty.mass_kg, Quantity::Mass), &why);
    }
    fields::figure(
        ui,
        "Tool and part",
        &view.show(robot.loaded.mass_kg, Quantity::Mass),
        &inertia(&robot.loaded),
    );
    fields::row(ui, "Centre from flange", &inertia(&robot.loaded), |ui| {
        ui.label(vector(robot.loaded.centre_mm).to_string())
    });
    if let Some(payload) = robot.payload_kg {
        let share = robot.loaded.mass_kg / payload;
        fields::figure(
            ui,
            "Share of payload",
            &view.show(share, Quantity::Share),
            "Tool and part exceed the payload of the robot",
        );
    }
}

fn flange_ui(ui: &mut Ui, view: &View, change: &mut Change<'_>) {
    let flange = view.layout.tool.flange;
    for axis in 0..3 {
        let row = fields::known("tool.flange").axis(axis);
        if let Some(v) = row.number(ui, "", flange[axis], &view.units) {
            change("Move the flange", &|t| t.flange[axis] = v);
        }
    }
    super::origin::origin_note(ui, view);
}

fn frame_ui(ui: &mut Ui, view: &View, change: &mut Change<'_>) {
    let next = FrameId(view.project.next_id());
    fields::row(
        ui,
        "Frame",
        "Rails and plates with mounting positions for the cups; a finding says when a cup is not on one",
        |ui| {
            if ui.link("plate").on_hover_text("Add a plate over all cups").clicked() {
                let piece = plate_over(view, next);
                change("Add a plate to the frame", &|t| t.frame.push(piece.clone()));
            }
            let why = "Add a rail through the selected cups, or along the middle of the part";
            if ui.link("rail").on_hover_text(why).clicked() {
                let piece = rail_through(view, next);
                change("Add a rail to the frame", &|t| t.frame.push(piece.clone()));
            }
        },
    );
    for (index, piece) in view.layout.tool.frame.iter().enumerate() {
        ui.indent(("frame", piece.id), |ui| piece_ui(ui, view, index, piece, change));
    }
}

fn piece_ui(ui: &mut Ui, view: &View, index: usize, piece: &FramePiece, change: &mut Change<'_>) {
    let salt = |what: &'static str| ("frame", piece.id, what);
    let undo = format!("Change {}", piece.name);
    if let Some(v) = fields::text(ui, salt("name"), "Name of the piece", &piece.name, "In the parts list") {
        change(&undo, &|t| t.frame[index].name.clone_from(&v));
    }
    let row = |key: &str| fields::known(key).of(&piece.name);
    type Set<'a> = &'a dyn Fn(&mut FramePiece, f64);
    let mut field = |ui: &mut Ui, row: fields::Known<'_>, value: f64, set: Set<'_>| {
        if let Some(v) = row.number(ui, piece.id, value, &view.units) {
            change(&undo, &|t| set(&mut t.frame[index], v));
        }
    };
    let start = match piece.shape {
        FrameShape::Rail { .. } => "start of its centre line",
        FrameShape::Plate { .. } => "its first corner",
    };
    for axis in 0..2 {
        let row = row("tool.frame.at").axis(axis).more(start);
        field(ui, row, piece.at[axis], &|p, v| p.at[axis] = v);
    }
    super::origin::origin_note(ui, view);
    field(ui, row("tool.frame.turn_deg"), piece.turn_deg, &|p, v| p.turn_deg = v);
    field(ui, row("tool.frame.height_mm"), piece.height_mm, &|p, v| p.height_mm = v);
    let (length, width) = (row("tool.frame.length_mm"), row("tool.frame.width_mm"));
    let (pitch, first) = (row("tool.frame.pitch_mm"), row("tool.frame.first_mm"));
    match piece.shape {
        FrameShape::Rail { length_mm, width_mm, pitch_mm, first_mm, kg_m } => {
            let set = |change: fn(&mut RailFields<'_>, f64)| {
                move |p: &mut FramePiece, v: f64| with_rail(p, |r| change(r, v))
            };
            field(ui, length, length_mm, &set(|r, v| *r.length = v));
            field(ui, width, width_mm, &set(|r, v| *r.width = v));
            field(ui, pitch, pitch_mm, &set(|r, v| *r.pitch = v));
            field(ui, first, first_mm, &set(|r, v| *r.first = v));
            field(ui, row("tool.frame.kg_m"), kg_m, &set(|r, v| *r.kg = v));
        }
        FrameShape::Plate { length_mm, width_mm, pitch_mm, first_mm, kg_m2 } => {
            let set = |change: fn(&mut PlateFields<'_>, f64)| {
                move |p: &mut FramePiece, v: f64| with_plate(p, |r| change(r, v))
            };
            field(ui, length, length_mm, &set(|r, v| *r.length = v));
            field(ui, width, width_mm, &set(|r, v| *r.width = v));
            field(ui, pitch.axis(0), pitch_mm.x, &set(|r, v| r.pitch.x = v));
            field(ui, pitch.axis(1), pitch_mm.y, &set(|r, v| r.pitch.y = v));
            field(ui, first.axis(0), first_mm.x, &set(|r, v| r.first.x = v));
            field(ui, first.axis(1), first_mm.y, &set(|r, v| r.first.y = v));
            field(ui, row("tool.frame.kg_m2"), kg_m2, &set(|r, v| *r.kg = v));
        }
    }
    fields::row(ui, "", "", |ui| {
        if ui.link("remove").clicked() {
            change(&format!("Remove {}", piece.name), &|t| {
                t.frame.remove(index);
            });
        }
    });
}

struct RailFields<'a> {
    length: &'a mut f64,
    width: &'a mut f64,
    pitch: &'a mut f64,
    first: &'a mut f64,
    kg: &'a mut f64,
}

fn with_rail(piece: &mut FramePiece, change: impl FnOnce(&mut RailFields<'_>)) {
    if let FrameShape::Rail { length_mm, width_mm, pitch_mm, first_mm, kg_m } = &mut piece.shape {
        change(&mut RailFields {
            length: length_mm,
            width: width_mm,
            pitch: pitch_mm,
            first: first_mm,
            kg: kg_m,
        });
    }
}

struct PlateFields<'a> {
    length: &'a mut f64,
    width: &'a mut f64,
    pitch: &'a mut DVec2,
    first: &'a mut DVec2,
    kg: &'a mut f64,
}

fn with_plate(piece: &mut FramePiece, change: impl FnOnce(&mut PlateFields<'_>)) {
    if let FrameShape::Plate { length_mm, width_mm, pitch_mm, first_mm, kg_m2 } = &mut piece.shape {
        change(&mut PlateFields {
            length: length_mm,
            width: width_mm,
            pitch: pitch_mm,
            first: first_mm,
            kg: kg_m2,
        });
    }
}

/// Height at which a frame usually sits over the lips of these cups, mm.
fn frame_height(view: &View) -> f64 {
    let tallest = view
        .layout
        .cups
        .iter()
        .filter_map(|c| view.project.model(&c.model).map(|m| m.height_mm + c.height_mm))
        .fold(0.0, f64::max);
    tallest + 20.0
}

/// A slotted rail through the selected cups, else along the middle of the part.
fn rail_through(view: &View, id: FrameId) -> FramePiece {
    let places: Vec<DVec2> = view.selected().map(|c| c.at).collect();
    let farthest = places
        .iter()
        .flat_map(|a| places.iter().map(move |b| (*a, *b)))
        .max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)))
        .filter(|(a, b)| a.distance(*b) > 1.0);
    let (from, to) = farthest.unwrap_or_else(|| {
        let bounds = view.lying.outline.outer.bounds();
        let (min, max) = bounds.map_or((DVec2::ZERO, DVec2::new(400.0, 0.0)), |b| (b.min, b.max));
        let y = (min.y + max.y) / 2.0;
        (DVec2::new(min.x + RAIL_END, y), DVec2::new(max.x - RAIL_END, y))
    });
    let (from, to) = if from.x <= to.x { (from, to) } else { (to, from) };
    let along = (to - from).normalize_or(DVec2::X);
    let name = format!("Rail {}", view.layout.tool.frame.len() + 1);
    let length = (to - from).length() + 2.0 * RAIL_END;
    let turn = along.to_angle().to_degrees();
    FramePiece {
        height_mm: frame_height(view),
        ..FramePiece::rail(id, &name, from - along * RAIL_END, length, turn)
    }
}

/// A plate over all cups.
fn plate_over(view: &View, id: FrameId) -> FramePiece {
    let cups = &view.layout.cups;
    let min = cups.iter().map(|c| c.at).reduce(DVec2::min).unwrap_or(DVec2::ZERO) - RAIL_END;
    let max = cups.iter().map(|c| c.at).reduce(DVec2::max).unwrap_or(DVec2::splat(200.0)) + RAIL_END;
    let name = format!("Plate {}", view.layout.tool.frame.len() + 1);
    let size = max - min;
    FramePiece { height_mm: frame_height(view), ..FramePiece::plate(id, &name, min, size.x, size.y) }
}

fn fittings_ui(ui: &mut Ui, view: &View, change: &mut Change<'_>) {
    let flange = view.layout.tool.flange;
    let list = MassList {
        name: "Fittings",
        why: "Masses of the tool that are neither cups nor frame: valves, sources, a coupling",
        one: "Name of the fitting",
        new_name: "Fittings",
        at: flange.with_z(flange.z * 0.6),
        z: "Z: 0 is the plane of the lips, + towards the robot",
        keys: ["tool.masses.mass_kg", "tool.masses.at", "tool.masses.size", "tool.masses.turn_deg"],
    };
    masses::masses_ui(ui, view, &list, &view.layout.tool.masses, &mut |what, apply| {
        change(what, &|t| apply(&mut t.masses));
    });
    if view.layout.tool.masses.is_empty() && view.layout.tool.frame.is_empty() {
        ui.label(
            RichText::new("Only the cups are counted.").font(Size::Small.slanted()).color(view.tokens.second),
        );
    }
}
