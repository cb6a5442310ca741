//! Arrangements of cups as edits: add, duplicate, mirror, arrays, align, space, lock. Pure functions of the view.

use crate::view::View;
use document::{Cup, CupId, CupModel, Edit};
use glam::DVec2;
use std::{f64::consts::TAU, sync::Arc};

/// Cups with ids and tags of their own.
pub fn with_new_ids(view: &View, cups: impl IntoIterator<Item = Cup>) -> Vec<Cup> {
    let cups: Vec<Cup> = cups.into_iter().collect();
    let tags = view.project.next_tags(view.layout.id, cups.len());
    let first = view.project.next_id();
    cups.into_iter()
        .zip(tags)
        .zip(first..)
        .map(|((cup, tag), id)| Cup { id: CupId(id), tag, ..cup })
        .collect()
}

/// The zone that the next cup joins: that of the last one.
pub fn next_zone(layout: &document::Layout) -> String {
    layout.cups.last().map_or_else(|| "A".to_owned(), |cup| cup.zone.clone())
}

/// One cup of a model, on the circuit and zone of the last one; brings the model into the project when it is new there.
pub fn add_cup(view: &View, model: &Arc<CupModel>, at: DVec2, turn_deg: f64) -> Edit {
    let last = view.layout.cups.last();
    let circuit = last
        .map(|c| c.circuit)
        .or_else(|| view.project.circuits.first().map(|c| c.id))
        .unwrap_or(document::CircuitId(0));
    let cup = Cup {
        id: CupId(0),
        tag: String::new(),
        model: model.id.clone(),
        at,
        turn_deg,
        height_mm: last.map_or(0.0, |c| c.height_mm),
        circuit,
        zone: next_zone(&view.layout),
        locked: false,
    };
    let cups = with_new_ids(view, [cup]);
    let name = format!("Add {}", cups[0].tag);
    let add = Edit::AddCups { layout: view.layout.id, cups };
    if view.project.model(&model.id).is_some() {
        add
    } else {
        Edit::Together { name, edits: vec![Edit::AddModel(model.clone()), add] }
    }
}

/// Copies of the selected cups, beside them.
pub fn duplicate(view: &View) -> Option<Edit> {
    let offset = view
        .selected()
        .filter_map(|c| view.project.model(&c.model))
        .map(|m| m.shape.size().max_element())
        .fold(0.0, f64::max)
        + 5.0;
    let copies: Vec<Cup> = view
        .selected()
        .map(|c| Cup { at: c.at + DVec2::new(offset, 0.0), locked: false, ..c.clone() })
        .collect();
    (!copies.is_empty()).then(|| Edit::AddCups { layout: view.layout.id, cups: with_new_ids(view, copies) })
}

/// Which line to mirror across.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Across {
    /// Left to right.
    Vertical,
    /// Top to bottom.
    Horizontal,
}

/// Mirrored copies of the selected cups about the part's centre line; those that would land on a cup are left out.
pub fn mirror(view: &View, across: Across) -> Option<Edit> {
    let bounds = view.lying.outline.outer.bounds()?;
    let middle = (bounds.min + bounds.max) / 2.0;
    let copies: Vec<Cup> = view
        .selected()
        .map(|c| {
            let (at, turn) = match across {
                Across::Vertical => (DVec2::new(2.0 * middle.x - c.at.x, c.at.y), 180.0 - c.turn_deg),
                Across::Horizontal => (DVec2::new(c.at.x, 2.0 * middle.y - c.at.y), -c.turn_deg),
            };
            Cup {
                at,
                turn_deg: if c.turn_deg == 0.0 { 0.0 } else { turn.rem_euclid(360.0) },
                locked: false,
                ..c.clone()
            }
        })
        .filter(|copy| !view.layout.cups.iter().any(|c| c.at.distance(copy.at) < 0.5))
        .collect();
    (!copies.is_empty()).then(|| Edit::AddCups { layout: view.layout.id, cups: with_new_ids(view, copies) })
}

/// Repeats the selected cups in rows and columns.
pub fn rows(view: &View, columns: usize, rows: usize, pitch: DVec2) -> Option<Edit> {
    let copies: Vec<Cup> = (0..rows)
        .flat_map(|r| (0..columns).map(move |c| (c, r)))
        .filter(|&place| place != (0, 0))
        .flat_map(|(c, r)| {
            view.selected().map(move |cup| Cup {
                at: cup.at + pitch * DVec2::new(c as f64, r as f64),
                locked: false,
                ..cup.clone()
            })
        })
        .collect();
    (!copies.is_empty()).then(|| Edit::AddCups { layout: view.layout.id, cups: with_new_ids(view, copies) })
}

/// Repeats the selected cups round a centre, `count` places in all over a full turn; `turn` also turns the cups.
pub fn ring(view: &View, count: usize, centre: DVec2, turn: bool) -> Option<Edit> {
    let copies: Vec<Cup> = (1..count)
        .flat_map(|i| {
            let angle = TAU * i as f64 / count as f64;
            view.selected().map(move |cup| Cup {
                at: centre + DVec2::from_angle(angle).rotate(cup.at - centre),
                turn_deg: if turn {
                    (cup.turn_deg + angle.to_degrees()).rem_euclid(360.0)
                } else {
                    cup.turn_deg
                },
                locked: false,
                ..cup.clone()
            })
        })
        .collect();
    (!copies.is_empty()).then(|| Edit::AddCups { layout: view.layout.id, cups: with_new_ids(view, copies) })
}

/// Along which axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Along {
    /// X.
    X,
    /// Y.
    Y,
}

fn coordinate(along: Along, at: DVec2) -> f64 {
    match along {
        Along::X => at.x,
        Along::Y => at.y,
    }
}

fn with_coordinate(along: Along, at: DVec2, value: f64) -> DVec2 {
    match along {
        Along::X => at.with_x(value),
        Along::Y => at.with_y(value),
    }
}

/// Brings the selected cups to their mean X (a column) or Y (a row); a locked cup is what the others come to.
pub fn align(view: &View, along: Along) -> Option<Edit> {
    let cups: Vec<&Cup> = view.selected().collect();
    if cups.len() < 2 {
        return None;
    }
    let held = cups.iter().find(|c| c.locked).map(|c| coordinate(along, c.at));
    let to =
        held.unwrap_or_else(|| cups.iter().map(|c| coordinate(along, c.at)).sum::<f64>() / cups.len() as f64);
    let moves = cups.iter().filter(|c| !c.locked).map(|c| (c.id, with_coordinate(along, c.at, to))).collect();
    Some(Edit::MoveCups { layout: view.layout.id, to: moves })
}

/// Spaces the selected cups evenly between the outermost two.
pub fn space(view: &View, along: Along) -> Option<Edit> {
    let mut cups: Vec<&Cup> = view.selected().collect();
    if cups.len() < 3 {
        return None;
    }
    cups.sort_by(|a, b| coordinate(along, a.at).total_cmp(&coordinate(along, b.at)));
    let (first, last) = (coordinate(along, cups[0].at), coordinate(along, cups[cups.len() - 1].at));
    let step = (last - first) / (cups.len() - 1) as f64;
    let moves = cups
        .iter()
        .enumerate()
        .filter(|(_, c)| !c.locked)
        .map(|(i, c)| (c.id, with_coordinate(along, c.at, first + step * i as f64)))
        .collect();
    Some(Edit::MoveCups { layout: view.layout.id, to: moves })
}

/// Spaces the selected cups from the first one, each this far from the one before, mm.
pub fn pitch(view: &View, along: Along, pitch: f64) -> Option<Edit> {
    let mut cups: Vec<&Cup> = view.selected().collect();
    if cups.len() < 2 {
        return None;
    }
    cups.sort_by(|a, b| coordinate(along, a.at).total_cmp(&coordinate(along, b.at)));
    let first = coordinate(along, cups[0].at);
    let moves: Vec<(CupId, DVec2)> = columns(&cups, along)
        .into_iter()
        .enumerate()
        .flat_map(|(i, column)| {
            let to = units::tidied(first + pitch * i as f64);
            column.into_iter().filter(|c| !c.locked).map(move |c| (c.id, with_coordinate(along, c.at, to)))
        })
        .collect();
    (!moves.is_empty()).then_some(Edit::MoveCups { layout: view.layout.id, to: moves })
}

/// The one distance between the columns (or rows) of the selected cups; `None` where they differ or there is one only.
pub fn pitch_of(view: &View, along: Along) -> Option<f64> {
    let mut cups: Vec<&Cup> = view.selected().collect();
    cups.sort_by(|a, b| coordinate(along, a.at).total_cmp(&coordinate(along, b.at)));
    let places: Vec<f64> =
        columns(&cups, along).iter().map(|column| coordinate(along, column[0].at)).collect();
    let steps: Vec<f64> = places.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let first = *steps.first()?;
    steps.iter().all(|step| (step - first).abs() < SAME).then_some(units::tidied(first))
}

/// Cups this close along an axis stand in one column, mm.
const SAME: f64 = 0.01;

/// Cups in order along an axis, those of one column together.
fn columns<'a>(sorted: &[&'a Cup], along: Along) -> Vec<Vec<&'a Cup>> {
    let mut columns: Vec<Vec<&Cup>> = Vec::new();
    for cup in sorted {
        let at = coordinate(along, cup.at);
        match columns.last_mut() {
            Some(column) if (coordinate(along, column[0].at) - at).abs() < SAME => column.push(cup),
            _ => columns.push(vec![cup]),
        }
    }
    columns
}

/// Moves the selected cups together until the first of them stands at this coordinate, mm; locked ones stay.
pub fn place(view: &View, along: Along, to: f64) -> Option<Edit> {
    let first = first_at(view, along)?;
    let by = to - first;
    let moves: Vec<(CupId, DVec2)> = view
        .selected()
        .filter(|c| !c.locked)
        .map(|c| (c.id, with_coordinate(along, c.at, units::tidied(coordinate(along, c.at) + by))))
        .collect();
    (!moves.is_empty()).then_some(Edit::MoveCups { layout: view.layout.id, to: moves })
}

/// Least coordinate of the selected cups, mm.
pub fn first_at(view: &View, along: Along) -> Option<f64> {
    view.selected().map(|c| coordinate(along, c.at)).min_by(f64::total_cmp)
}

/// The cups that an edit adds or moves, as they would stand: what is shown before it is made.
pub fn would_stand(view: &View, edit: &Edit) -> Vec<Cup> {
    match edit {
        Edit::AddCups { cups, .. } => cups.clone(),
        Edit::MoveCups { to, .. } => to
            .iter()
            .filter_map(|(id, at)| {
                let cup = view.layout.cups.iter().find(|c| c.id == *id)?;
                Some(Cup { at: *at, ..cup.clone() })
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// Locks the selected cups, or unlocks them when all are locked.
pub fn lock(view: &View) -> Option<Edit> {
    let lock = !view.selected().all(|c| c.locked);
    let cups: Vec<Cup> = view.selected().map(|c| Cup { locked: lock, ..c.clone() }).collect();
    (!cups.is_empty()).then(|| Edit::ChangeCups {
        layout: view.layout.id,
        cups,
        what: if lock { "lock" } else { "unlock" }.to_owned(),
    })
}

/// Changes every selected cup the same way.
pub fn change(view: &View, what: &str, change: impl Fn(&mut Cup)) -> Option<Edit> {
    let cups: Vec<Cup> = view
        .selected()
        .map(|c| {
            let mut cup = c.clone();
            change(&mut cup);
            cup
        })
        .collect();
    (!cups.is_empty()).then(|| Edit::ChangeCups { layout: view.layout.id, cups, what: what.to_owned() })
}
