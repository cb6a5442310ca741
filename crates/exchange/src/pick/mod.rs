//! Which closed line is the part? Frames of sheets, cells of title blocks, lettering, pitch circles and the inner circles
//! of countersinks are told from edges; what is left is nested by even-odd depth; views are told from parts.

mod broken;
mod doubt;
mod frame;
mod lettering;
mod marks_on;
mod rounds;
mod scale;
mod shapes;
mod told;
mod views;

pub(crate) use doubt::unit_choices;
pub(crate) use marks_on::is_named;
pub(crate) use shapes::Shape;

use crate::choice::{Choice, Instead};
use crate::clean::{Closed, Loose, Nested, even_odd};
use crate::dxf::Trouble;
use crate::marks::Markings;
use crate::watch::Watch;
use crate::{DrawingUnit, ImportOptions};
use geometry::Bounds;
use glam::DVec2;
use shapes::Shapes;
use std::collections::HashSet;
use views::Seen;

/// What a closed line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// An edge of a part: its outer boundary or a hole.
    Edge,
    /// The frame of a sheet.
    Frame,
    /// A cell of a title block or table.
    Cell,
    /// A letter.
    Letter,
    /// A circle on which bolts stand.
    Pitch,
    /// The smaller circle of a countersink, counterbore or thread.
    Sunk,
    /// A line on a part that is no edge of it: a circle about a detail, a border inside the outline.
    Mark,
    /// Outside the box that was asked for.
    Outside,
}

/// What a part of a drawing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PartRole {
    /// A part.
    Part,
    /// Another view of the first part.
    View,
    /// A detail, drawn larger.
    Detail,
    /// A picture in space.
    Picture,
}

impl PartRole {
    /// For a list: "view", "detail" ...
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            PartRole::Part => "part",
            PartRole::View => "view",
            PartRole::Detail => "detail",
            PartRole::Picture => "picture",
        }
    }
}

/// What is asked for, and what is known besides the lines.
pub(crate) struct Known<'a> {
    pub(crate) options: &'a ImportOptions,
    /// Texts and dimensions, mm.
    pub(crate) marks: &'a Markings,
    pub(crate) unit: DrawingUnit,
    /// Which of the notes are about the unit.
    pub(crate) about_unit: std::ops::Range<usize>,
    pub(crate) watch: &'a Watch,
}

/// The parts, and what became of every closed line.
pub(crate) struct Picked {
    pub(crate) parts: Vec<(Nested, PartRole)>,
    pub(crate) roles: Vec<Role>,
    /// How many times as large as drawn the parts are.
    pub(crate) scale: f64,
    pub(crate) choices: Vec<Choice>,
    /// Boxes of frames.
    pub(crate) frames: Vec<Bounds>,
    /// Open lines that are known for what they are, by their index among those given.
    pub(crate) threads: Vec<bool>,
    pub(crate) centre_lines: Vec<bool>,
    /// Those that cut the part, which are told with their alternative.
    pub(crate) divides: Vec<bool>,
    /// Circles that cross an outline, with what is said of each.
    pub(crate) circles: Vec<(usize, Choice)>,
    /// A dimension over a break of the view: what is printed, what is drawn (mm), and where.
    pub(crate) broken: Option<(f64, f64, DVec2)>,
}

/// Lines that close to nothing, for those that say something of the part.
pub(crate) struct Open<'a> {
    pub(crate) open: &'a [Vec<Loose>],
    pub(crate) branches: &'a [Vec<Loose>],
}

/// Decides.
pub(crate) fn pick(loops: &[Closed], open: &Open<'_>, known: &Known<'_>) -> Result<Picked, Trouble> {
    let (options, marks) = (known.options, known.marks);
    let mut shapes = Shapes::of(loops, known.watch)?;
    let mut roles = vec![Role::Edge; loops.len()];
    let chains: Vec<&[Loose]> = open.open.iter().chain(open.branches).map(Vec::as_slice).collect();
    let frames = frame::find(&shapes, &chains, marks, &mut roles);
    let broken = broken::find(&shapes, &roles, marks, known.unit);
    let across = broken.as_ref().map_or(&[][..], |b| &b.dimensions);
    let scale::Decided { scale, choice: scaled } = scale::decide(marks, across, &frames, options, known.unit);
    if let Some(within) = options.within {
        let corners = within.map(|corner| corner / scale);
        let around =
            Bounds { min: corners[0].min(corners[1]), max: corners[0].max(corners[1]) }.expanded(1e-6);
        for (role, s) in roles.iter_mut().zip(&shapes.all) {
            if !(around.contains(s.bounds.min) && around.contains(s.bounds.max)) {
                *role = Role::Outside;
            }
        }
    }
    let pitch = rounds::pitch_circles(&shapes, &mut roles);
    let marked = marks_on::crossing_circles(&shapes, loops, &mut roles, known.watch)?;
    if !marked.is_empty() {
        shapes.nest_without(&marked, loops, known.watch)?;
    }
    let bands = marks_on::bands(&shapes, loops, &mut roles);
    let borders = marks_on::inner_borders(&shapes, loops, &mut roles);
    let sunk = rounds::sunk_holes(&shapes, &mut roles);
    let tops = outer_lines(&shapes, &roles);
    let mut rows = Vec::new();
    for top in tops {
        rows.extend(lettering::find(&shapes, top, &mut roles).into_iter().map(|row| (top, row)));
    }
    let areas: Vec<f64> = shapes.all.iter().map(|s| s.area).collect();
    let nested = even_odd(&shapes.parents, &areas, |i| roles[i] == Role::Edge);
    let nested = if nested.is_empty() && !loops.is_empty() {
        // All of it was told to be something else, within a box of it or without.
        even_odd(&shapes.parents, &areas, |i| roles[i] != Role::Outside)
    } else {
        nested
    };
    let mut parts = ordered(nested, &shapes, open.branches, marks);
    let size_of = |i: usize| shapes.all[i].size() * scale;
    let mut choices: Vec<Choice> = Vec::new();
    if let Some(at) = options.inside {
        take_inside(at / scale, loops, &shapes, &mut parts, known)?;
    } else {
        choices.extend(told::frames(&frames, &shapes, loops, scale));
    }
    for at in &options.toggled {
        toggle(*at / scale, loops, &shapes, &mut parts, known)?;
    }
    if let Some((first, _)) = parts.first() {
        let size = size_of(first.outer);
        choices.extend(scaled.map(|s| s.choice(size)));
        choices
            .extend(broken.is_none().then(|| scale::unit_choice(marks, options, known.unit, size)).flatten());
        choices.extend(told::views(&parts, &shapes, scale));
        let own = |i: &usize| first.holes.contains(i);
        choices.extend(told::sunk(&sunk, &own, scale));
        choices.extend(told::rows(&rows, first.outer, &shapes, loops, scale));
        choices.extend(told::bands(&bands, &shapes, loops, scale));
        choices.extend(told::borders(&borders, first, &shapes, loops, scale));
        choices.extend(told::islands(&parts, &shapes, loops, scale));
        choices.extend(told::pitch(&pitch, first.outer, &shapes, loops, scale));
    }
    let circles = told::circles(&marked, marks, &shapes, loops, scale);
    let centres = rounds::centres(&shapes);
    let threads: Vec<bool> = chains.iter().map(|c| rounds::is_thread(c, &centres)).collect();
    let centre_lines = chains.iter().map(|c| told::is_centre_line(c, &centres)).collect();
    let frames = frames.iter().map(|f| shapes.all[f.of].bounds).collect();
    let broken = broken.map(|b| (b.printed, b.drawn, b.at * scale));
    let divides = Vec::new();
    Ok(Picked { parts, roles, scale, choices, frames, threads, centre_lines, divides, circles, broken })
}

/// Edges that lie in no other edge.
fn outer_lines(shapes: &Shapes, roles: &[Role]) -> Vec<usize> {
    let in_edge = |mut i: usize| {
        while let Some(p) = shapes.parents[i] {
            if roles[p] == Role::Edge {
                return true;
            }
            i = p;
        }
        false
    };
    // Frames nest a few deep, so that the way up is short.
    (0..roles.len())
        .filter(|i| roles[*i] == Role::Edge && shapes.children[*i].len() > 2 && !in_edge(*i))
        .collect()
}

/// Parts with their roles, the one to take first.
fn ordered(
    nested: Vec<Nested>,
    shapes: &Shapes,
    branches: &[Vec<Loose>],
    marks: &Markings,
) -> Vec<(Nested, PartRole)> {
    const MOST_LINES: usize = 5_000;
    let middles: Vec<DVec2> = branches.iter().flatten().take(MOST_LINES).map(|l| l.piece.middle()).collect();
    let few = nested.len() <= 500;
    let all_holes: HashSet<usize> =
        if few { nested.iter().flat_map(|n| &n.holes).copied().collect() } else { HashSet::new() };
    let mut seen: Vec<Seen> = nested
        .iter()
        .map(|n| {
            let shape = shapes.all[n.outer].clone();
            let holes: Vec<DVec2> = n.holes.iter().map(|h| shapes.all[*h].bounds.centre()).collect();
            let net = shape.area - n.holes.iter().map(|h| shapes.all[*h].area).sum::<f64>();
            let inner_lines =
                if few { middles.iter().filter(|m| shape.roughly_contains(**m)).count() } else { 0 };
            let island = shapes.parents[n.outer].is_some_and(|p| all_holes.contains(&p));
            Seen { shape, net, holes, inner_lines, island, measured: 0 }
        })
        .collect();
    if few {
        seen.iter_mut().for_each(|s| s.measure(marks));
    }
    let order = views::order(&seen, marks);
    let mut nested: Vec<Option<Nested>> = nested.into_iter().map(Some).collect();
    order.into_iter().filter_map(|(i, role)| Some((nested[i].take()?, role))).collect()
}

/// The innermost closed line around a place.
fn around(at: DVec2, loops: &[Closed], shapes: &Shapes, watch: &Watch) -> Result<Option<usize>, Trouble> {
    let mut best: Option<usize> = None;
    for (i, s) in shapes.all.iter().enumerate() {
        if !s.bounds.contains(at) || best.is_some_and(|b| shapes.all[b].area <= s.area) {
            continue;
        }
        watch.spend(loops[i].pieces.len())?;
        if loops[i].to_loop().contains(at) {
            best = Some(i);
        }
    }
    Ok(best)
}

fn take_inside(
    at: DVec2,
    loops: &[Closed],
    shapes: &Shapes,
    parts: &mut Vec<(Nested, PartRole)>,
    known: &Known<'_>,
) -> Result<(), Trouble> {
    let Some(outer) = around(at, loops, shapes, known.watch)? else {
        let at = units::Part::Place(at.to_array());
        return Err(Trouble::Empty(units::Worded::new("no closed line lies around {}", [at])));
    };
    let place = parts.iter().position(|(n, _)| n.outer == outer);
    let chosen = match place {
        Some(place) => parts.remove(place).0,
        None => Nested { outer, holes: shapes.children[outer].clone() },
    };
    parts.insert(0, (chosen, PartRole::Part));
    Ok(())
}

fn toggle(
    at: DVec2,
    loops: &[Closed],
    shapes: &Shapes,
    parts: &mut [(Nested, PartRole)],
    known: &Known<'_>,
) -> Result<(), Trouble> {
    let found = around(at, loops, shapes, known.watch)?;
    let (Some((first, _)), Some(found)) = (parts.first_mut(), found) else { return Ok(()) };
    if found == first.outer {
        return Ok(());
    }
    match first.holes.iter().position(|h| *h == found) {
        Some(place) => {
            first.holes.remove(place);
        }
        None => {
            // One hole within another, or around it, takes its place.
            let lies_in = |mut i: usize, of: usize| {
                while let Some(p) = shapes.parents[i] {
                    if p == of {
                        return true;
                    }
                    i = p;
                }
                false
            };
            first.holes.retain(|h| !lies_in(*h, found) && !lies_in(found, *h));
            first.holes.push(found);
        }
    }
    Ok(())
}

/// A place inside a closed line and in none of those within it.
pub(super) fn place_in(i: usize, shapes: &Shapes, loops: &[Closed]) -> DVec2 {
    const TRIED: usize = 24;
    let s = &shapes.all[i];
    let outline = loops[i].to_loop();
    let inside = |at: DVec2| {
        outline.contains(at) && !shapes.children[i].iter().any(|c| shapes.all[*c].roughly_contains(at))
    };
    let rows = (1..=TRIED).map(|r| r as f64 / (TRIED + 1) as f64);
    let from_edge = [0.005, 0.02, 0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.98];
    for y in rows.clone().chain([0.01, 0.99]) {
        for x in from_edge {
            let at = s.bounds.min + s.size() * DVec2::new(x, y);
            if inside(at) {
                return at;
            }
        }
    }
    s.bounds.centre()
}

/// The choice to take a closed line as the part.
pub(super) fn instead_inside(i: usize, shapes: &Shapes, loops: &[Closed], scale: f64) -> (Instead, DVec2) {
    let at = place_in(i, shapes, loops) * scale;
    // As it is printed, so that both ways lead to the same.
    let at = (at * 1000.0).round() / 1000.0;
    (Instead::Inside(at), at)
}
