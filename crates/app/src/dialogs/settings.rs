//! Units, title block, limits of the findings.

use super::{Effect, buttons, title};
use crate::{
    fields,
    view::{Action, View},
};
use document::{Edit, Revision, SheetFields, Tolerances};
use egui::{RichText, Ui};
use units::{
    AccelerationUnit, FlowUnit, ForceUnit, LengthUnit, MassUnit, PressureUnit, Quantity, UnitChoice,
};

fn pick<T: PartialEq + Copy>(
    ui: &mut Ui,
    name: &str,
    value: &mut T,
    all: &[T],
    label: impl Fn(T) -> &'static str,
) {
    let choices: Vec<(T, &str)> = all.iter().map(|u| (*u, label(*u))).collect();
    if let Some(v) = fields::choice(ui, ("unit", name), name, *value, &choices, "") {
        *value = v;
    }
}

/// Draws the choice of units; it takes effect at once, the file stays SI.
pub fn units_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) -> Effect {
    title(ui, "Units");
    let mut units: UnitChoice = view.units;
    ui.horizontal(|ui| {
        if ui.button("Metric").clicked() {
            units = UnitChoice { decimal_comma: units.decimal_comma, ..UnitChoice::default() };
        }
        if ui.button("Inch, pound").clicked() {
            units = UnitChoice::inch_pound();
        }
    });
    pick(ui, "Length", &mut units.length, &LengthUnit::ALL, LengthUnit::label);
    pick(ui, "Pressure", &mut units.pressure, &PressureUnit::ALL, PressureUnit::label);
    pick(ui, "Force", &mut units.force, &ForceUnit::ALL, ForceUnit::label);
    pick(ui, "Mass", &mut units.mass, &MassUnit::ALL, MassUnit::label);
    pick(ui, "Acceleration", &mut units.acceleration, &AccelerationUnit::ALL, AccelerationUnit::label);
    pick(ui, "Flow", &mut units.flow, &FlowUnit::ALL, FlowUnit::label);
    ui.label(
        RichText::new(format!("Flows are shown as {}.", units.flow.reference())).color(view.tokens.second),
    );
    ui.checkbox(&mut units.decimal_comma, "Decimal comma");
    ui.label(
        RichText::new("Any field accepts units and sums: 12 1/2 in, 3/8\", 240+15. The file stays in SI.")
            .color(view.tokens.second),
    );
    if units != view.units {
        actions.push(Action::Units(units));
    }
    match buttons(ui, &["Close"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// Draws the step of the grid.
pub fn grid_step_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) -> Effect {
    title(ui, "Grid step");
    let usual = crate::plan::usual_step(view.units.length);
    let bounds = (crate::prefs::LEAST_STEP, crate::prefs::MOST_STEP);
    let why = "Dragging and placing snap to it at every zoom; grid lines are whole steps apart";
    if let Some(v) =
        fields::within(ui, "grid step", "Step", view.step_mm, Quantity::Length, bounds, &view.units, why)
    {
        actions.push(Action::GridStep(Some(v)));
    }
    if (view.step_mm - usual).abs() > 1e-9
        && ui.link(format!("back to {}", view.given(usual, Quantity::Length))).clicked()
    {
        actions.push(Action::GridStep(None));
    }
    match buttons(ui, &["Close"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// Draws the title block's fields.
pub fn sheet_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) -> Effect {
    title(ui, "Title block");
    let sheet = &view.project.sheet;
    let mut change = |what: &str, apply: &dyn Fn(&mut SheetFields)| {
        let mut new = sheet.clone();
        apply(&mut new);
        actions.push(Action::Edit(Edit::ChangeSheet { sheet: new, what: what.to_owned() }));
    };
    if let Some(v) = fields::text(ui, "project name", "Project", &view.project.name, "") {
        actions.push(Action::Edit(Edit::RenameProject(v)));
        return Effect::Stay;
    }
    type Row<'a> = (&'static str, &'a String, fn(&mut SheetFields) -> &mut String);
    let rows: [Row<'_>; 8] = [
        ("sheet.title", &sheet.title, |s| &mut s.title),
        ("sheet.owner", &sheet.owner, |s| &mut s.owner),
        ("sheet.number", &sheet.number, |s| &mut s.number),
        ("sheet.revision", &sheet.revision, |s| &mut s.revision),
        ("sheet.created_by", &sheet.created_by, |s| &mut s.created_by),
        ("sheet.approved_by", &sheet.approved_by, |s| &mut s.approved_by),
        ("sheet.date", &sheet.date, |s| &mut s.date),
        ("sheet.document_type", &sheet.document_type, |s| &mut s.document_type),
    ];
    for (key, value, slot) in rows {
        if let Some(v) = fields::known(key).text(ui, "", value) {
            change(document::name_of(key), &|s| slot(s).clone_from(&v));
        }
    }
    let ways = Tolerances::ALL.map(|way| (way, way.label()));
    if let Some(v) = fields::known("sheet.tolerances").choice(ui, "", sheet.tolerances, &ways) {
        change(document::name_of("sheet.tolerances"), &|s| s.tolerances = v);
    }
    if sheet.tolerances == Tolerances::Positions {
        let tolerance = fields::known("sheet.position_tolerance_mm");
        if let Some(v) = tolerance.number(ui, "", sheet.position_tolerance_mm, &view.units) {
            change(document::name_of("sheet.position_tolerance_mm"), &|s| s.position_tolerance_mm = v);
        }
    }
    ui.label(RichText::new("A blank field stamps the sheet: not for issue.").color(view.tokens.second));
    if let Some(revisions) = revisions_ui(ui, &sheet.revisions) {
        change("revisions", &|s| s.revisions.clone_from(&revisions));
    }
    match buttons(ui, &["Close"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// The revision table; gives the new one when something was changed.
fn revisions_ui(ui: &mut Ui, revisions: &[Revision]) -> Option<Vec<Revision>> {
    let mut new = None;
    let next = char::from(b'A' + u8::try_from(revisions.len()).unwrap_or(25).min(25));
    if fields::heading(ui, "Revisions", Some(("add", "Another line of the sheet's revision table"))) {
        let line = Revision { index: next.to_string(), date: crate::today(), ..Revision::default() };
        new = Some(revisions.iter().cloned().chain([line]).collect());
    }
    type Row = (&'static str, fn(&mut Revision) -> &mut String);
    let rows: [Row; 4] = [
        ("index", |r| &mut r.index),
        ("date", |r| &mut r.date),
        ("by", |r| &mut r.by),
        ("what changed", |r| &mut r.what),
    ];
    for (i, revision) in revisions.iter().enumerate() {
        ui.indent(("revision", i), |ui| {
            for (name, field) in rows {
                let mut line = revision.clone();
                let label = format!("Revision {}, {name}", revision.index);
                let value = field(&mut line).clone();
                if let Some(v) = fields::text(ui, ("revision", i, name), &label, &value, "") {
                    *field(&mut line) = v;
                    let mut all = revisions.to_vec();
                    all[i] = line;
                    new = Some(all);
                }
            }
            fields::row(ui, "", "", |ui| {
                if ui.link("remove").clicked() {
                    let mut all = revisions.to_vec();
                    all.remove(i);
                    new = Some(all);
                }
            });
        });
    }
    new
}

/// Draws the limits of the findings.
pub fn rules_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) -> Effect {
    title(ui, "Finding limits");
    let rules = view.project.rules;
    for (field, figure) in rules.numbers() {
        if let Some(v) = fields::known(field.key).number(ui, "", figure, &view.units) {
            let what = field.name.to_owned();
            actions.push(Action::Edit(Edit::ChangeRules { rules: rules.with(field.key, v), what }));
        }
    }
    ui.add_space(6.0);
    for rule in analysis::catalogue() {
        ui.label(RichText::new(rule.title).font(crate::theme::Size::Body.strong()));
        ui.label(RichText::new(rule.explains).color(view.tokens.second));
    }
    match buttons(ui, &["Close"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}
