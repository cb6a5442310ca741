//! Many holes at once from a pasted table: X, Y and diameter a line.

use super::{Effect, buttons, title};
use crate::view::{Action, View};
use document::Edit;
use egui::{RichText, TextEdit, Ui};
use geometry::Loop;
use glam::DVec2;
use std::sync::Arc;
use units::Quantity;

/// Most holes that one table may add.
const MOST: usize = 2000;

/// A hole of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Hole {
    at: DVec2,
    diameter: f64,
}

/// Reads the lines; a line that is none says which and why. A first line of words is a heading. Columns are parted by tabs,
/// semicolons or, with decimal points, commas; else by spaces.
fn read(text: &str, units: &units::UnitChoice) -> Result<Vec<Hole>, String> {
    let mut holes = Vec::new();
    let lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    for (place, (index, line)) in lines.enumerate() {
        let cells = cells(line, units.decimal_comma);
        let number = |cell: &str| units::parse(cell, Quantity::Length, units).map_err(|e| e.to_string());
        let read: Result<Vec<f64>, String> = cells.iter().map(|cell| number(cell)).collect();
        match read {
            Err(_) if place == 0 => {}
            Err(why) => return Err(format!("Line {}: {why}.", index + 1)),
            Ok(figures) => match figures[..] {
                [x, y, diameter] if diameter > 0.0 => holes.push(Hole { at: DVec2::new(x, y), diameter }),
                [_, _, _] => return Err(format!("Line {}: the diameter is not above 0.", index + 1)),
                _ => {
                    let found = figures.len();
                    return Err(format!(
                        "Line {}: {found} values; enter three: X, Y and diameter.",
                        index + 1
                    ));
                }
            },
        }
        if holes.len() > MOST {
            return Err(format!("More than {MOST} holes: import a drawing instead."));
        }
    }
    Ok(holes)
}

fn cells(line: &str, decimal_comma: bool) -> Vec<&str> {
    let parted = |by: &[char]| line.split(by).map(str::trim).filter(|c| !c.is_empty()).collect::<Vec<_>>();
    for by in [&['\t', ';'][..], &[','][..]] {
        let fits = by[0] != ',' || !decimal_comma;
        if fits && line.contains(by) {
            return parted(by);
        }
    }
    line.split_whitespace().collect()
}

/// Draws the form.
pub fn holes_ui(ui: &mut Ui, view: &View, text: &mut String, actions: &mut Vec<Action>) -> Effect {
    let t = view.tokens;
    title(ui, "Holes from a table");
    let unit = units::unit_of(Quantity::Length, &view.units).1;
    let says = format!(
        "One line per hole: X, Y and diameter from the datum, in {unit} unless another unit \
        is typed."
    );
    ui.label(RichText::new(says).color(t.second));
    // An example in the unit and with the decimal mark that are read.
    let shown = |v: f64| units::show_size(v, Quantity::Length, &view.units).number;
    let hint = [50.8, 38.1, 6.35].map(shown).join("; ");
    let edit = TextEdit::multiline(text).desired_width(f32::INFINITY).desired_rows(10).hint_text(hint);
    let response = ui.add(edit);
    crate::widgets::first_focus(ui, &response);
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label("Table of holes"));
    let holes = read(text, &view.units);
    let found = holes.as_ref().map_or(0, Vec::len);
    match &holes {
        Err(why) => ui.label(RichText::new(why).color(t.fail)),
        Ok(holes) => ui.label(RichText::new(match holes.len() {
            1 => "One hole".to_owned(),
            n => format!("{n} holes"),
        })),
    };
    match buttons(ui, &["Add to the part", "Cancel"], found > 0) {
        Some(0) => {
            let mut part = (*view.part).clone();
            let mut outline = (*part.outline).clone();
            let new = holes.unwrap_or_default();
            let datum = view.part.datum_at();
            let circle =
                |hole: &Hole| Loop::circle((hole.at + datum).map(units::tidied), hole.diameter / 2.0);
            outline.holes.extend(new.iter().map(circle));
            part.outline = Arc::new(outline);
            let what = if found == 1 { "a new hole".to_owned() } else { format!("{found} new holes") };
            actions.push(Action::Edit(Edit::ChangePart { part: Arc::new(part), what }));
            Effect::Close
        }
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_is_read_as_it_is_pasted() {
        let metric = units::UnitChoice::default();
        let hole = |x, y, diameter| Hole { at: DVec2::new(x, y), diameter };
        for text in [
            "X;Y;D\n50;40;8.4\n10;2;3",
            "50\t40\t8.4\n10\t2\t3",
            "50, 40, 8.4\n10,2,3",
            "50 40 8.4\n\n10 2 3\n",
        ] {
            assert_eq!(
                read(text, &metric),
                Ok(vec![hole(50.0, 40.0, 8.4), hole(10.0, 2.0, 3.0)]),
                "{text:?}"
            );
        }
        let comma = units::UnitChoice { decimal_comma: true, ..metric };
        assert_eq!(read("50,5; 40; 8,4", &comma), Ok(vec![hole(50.5, 40.0, 8.4)]));
        let inch = units::UnitChoice::inch_pound();
        assert_eq!(read("1; 2; 6 mm", &inch), Ok(vec![hole(25.4, 50.8, 6.0)]));
    }

    #[test]
    fn a_line_that_is_no_hole_is_named() {
        let metric = units::UnitChoice::default();
        for (text, line) in [
            ("1;2;3\n4;5", "Line 2: 2 values"),
            ("1;2;3\nx;5;6", "Line 2"),
            ("1;2;0", "Line 1: the diameter"),
        ] {
            let why = read(text, &metric).unwrap_err();
            assert!(why.starts_with(line), "{why}");
        }
    }
}
