//! What was told from what, as sentences with their alternatives.

use super::frame::Frame;
use super::lettering::Row;
use super::marks_on::{Borders, is_named};
use super::rounds::Sunk;
use super::shapes::Shapes;
use super::{PartRole, instead_inside};
use crate::DrawingUnit;
use crate::choice::{Choice, Instead};
use crate::clean::{Closed, Loose, Nested};
use crate::marks::Markings;
use glam::DVec2;
use rstar::{AABB, RTree, primitives::GeomWithData};
use units::{Part, Quantity, Worded};

/// How many times, for a sentence.
pub(super) fn times(value: f64) -> String {
    units::trimmed(&units::figure(value, 1)).to_owned()
}

/// "400 × 250 mm".
pub(super) fn size(size: DVec2) -> Part {
    Part::Size(size.to_array())
}

/// A unit other than the one read by, with the size (mm) that the part would have; `size` is that in `unit`.
pub(super) fn other_unit(says: Worded, unit: DrawingUnit, other: DrawingUnit, size: DVec2) -> Choice {
    Choice {
        says,
        other: Worded::new(
            "read it in {}, {}",
            [other.plural().into(), self::size(size / unit.mm() * other.mm())],
        ),
        instead: Instead::Unit(other),
        at: None,
        doubtful: true,
    }
}

/// "1 hole".
fn holes(count: usize) -> String {
    if count == 1 { "1 hole".to_owned() } else { format!("{count} holes") }
}

/// Frames, the outermost first.
pub(super) fn frames(frames: &[Frame], shapes: &Shapes, loops: &[Closed], scale: f64) -> Vec<Choice> {
    frames
        .iter()
        .map(|f| {
            let s = &shapes.all[f.of];
            let kind = if s.circle.is_some() { "circle" } else { "rectangle" };
            let mut signs = Vec::new();
            if let Some(sheet) = f.sheet {
                let times = if (sheet.scale - 1.0).abs() < 1e-9 {
                    String::new()
                } else {
                    format!(" {} times as large", times(sheet.scale))
                };
                signs.push(format!("it has the size of a sheet {}{times} or of its border", sheet.name));
            }
            if f.texts > 0 {
                signs.push("it contains texts beside the part".to_owned());
            }
            if f.lines > 2 {
                signs.push("lines of a title block or zone marks end on it".to_owned());
            }
            if signs.is_empty() {
                signs.push("it lies around everything and holds a part with holes of its own".to_owned());
            }
            let (instead, at) = instead_inside(f.of, shapes, loops, scale);
            Choice {
                says: Worded::new(
                    "the {} of {} is read as the sheet frame, not as the part: {}",
                    [kind.into(), size(s.size() * scale), signs.join(", ").into()],
                ),
                other: "use it as the part".into(),
                instead,
                at: Some(at),
                doubtful: f.sheet.is_none() && f.texts == 0,
            }
        })
        .collect()
}

/// Views, and other parts that were not taken first.
pub(super) fn views(parts: &[(Nested, PartRole)], shapes: &Shapes, scale: f64) -> Vec<Choice> {
    const MOST: usize = 6;
    let others = parts.iter().enumerate().skip(1).filter(|(_, (_, role))| *role != PartRole::Part);
    others
        .take(MOST)
        .map(|(i, (n, role))| {
            let s = &shapes.all[n.outer];
            let looks = match role {
                PartRole::Detail => "looks like a detail",
                PartRole::Picture => "looks like a 3D view",
                PartRole::View | PartRole::Part => "looks like another view of the first, in line with it",
            };
            let at = n.place(shapes) * scale;
            Choice {
                says: Worded::new(
                    &format!("part {} ({{}}, {}) {looks}", i + 1, holes(n.holes.len())),
                    [size(s.size() * scale)],
                ),
                other: "use it as the part".into(),
                instead: Instead::Inside(at),
                at: Some(at),
                doubtful: false,
            }
        })
        .collect()
}

impl Nested {
    /// A place on the part, near its edge.
    fn place(&self, shapes: &Shapes) -> DVec2 {
        let s = &shapes.all[self.outer];
        let free =
            |at: &DVec2| !shapes.children[self.outer].iter().any(|c| shapes.all[*c].roughly_contains(*at));
        let shares = [(0.5, 0.01), (0.5, 0.05), (0.05, 0.5), (0.25, 0.25), (0.5, 0.5)];
        let mut places = shares.map(|(x, y)| s.bounds.min + s.size() * DVec2::new(x, y)).into_iter();
        places.find(free).unwrap_or_else(|| s.bounds.centre())
    }
}

/// Countersinks and counterbores of the first part, alike ones together.
pub(super) fn sunk(sunk: &[Sunk], own: &dyn Fn(&usize) -> bool, scale: f64) -> Vec<Choice> {
    const MOST: usize = 4;
    let mut kinds: Vec<(Worded, f64, usize, DVec2)> = Vec::new();
    for s in sunk.iter().filter(|s| own(&s.outer)) {
        let name = Worded::joined(s.diameters.iter().map(|d| Part::Length(d * scale).into()), " and ");
        if let Some(kind) = kinds.iter_mut().find(|k| k.0 == name) {
            kind.2 += 1;
        } else if kinds.len() < MOST {
            kinds.push((name, s.diameters[0] * scale, 1, s.centre * scale));
        }
    }
    kinds
        .into_iter()
        .map(|(name, widest, count, at)| Choice {
            says: Worded::new(
                "{} drawn as concentric circles of {} (countersink, counterbore or thread): read at the widest, \
                {}, where a lip finds no support",
                [holes(count).into(), name.into(), Part::Length(widest)],
            ),
            other: "read the one here at its smaller circle".into(),
            instead: Instead::Toggle(at),
            at: Some(at),
            doubtful: false,
        })
        .collect()
}

/// Lettering on the first part.
pub(super) fn rows(
    rows: &[(usize, Row)],
    part: usize,
    shapes: &Shapes,
    loops: &[Closed],
    scale: f64,
) -> Vec<Choice> {
    const MOST: usize = 4;
    rows.iter()
        .filter(|(on, _)| *on == part)
        .take(MOST)
        .map(|(_, row)| {
            let first = row.of.first().copied().unwrap_or(part);
            let (instead, _) = instead_inside(first, shapes, loops, scale);
            let instead = match instead {
                Instead::Inside(at) => Instead::Toggle(at),
                other => other,
            };
            let at = row.at * scale;
            Choice {
                says: Worded::new(
                    "{} closed lines in a row, {} high, are read as lettering, not as holes",
                    [row.of.len().to_string().into(), Part::Length(row.height * scale)],
                ),
                other: "read the first of them as a hole".into(),
                instead,
                at: Some(at),
                doubtful: false,
            }
        })
        .collect()
}

/// Circles that cross an outline: about a detail where something is written beside them, else a question.
pub(super) fn circles(
    marked: &[usize],
    marks: &Markings,
    shapes: &Shapes,
    loops: &[Closed],
    scale: f64,
) -> Vec<(usize, Choice)> {
    const MOST: usize = 4;
    let one = |i: &usize| {
        let (instead, at) = instead_inside(*i, shapes, loops, scale);
        let named = shapes.all[*i].circle.is_some_and(|(c, r)| is_named(c, r, marks));
        let choice = Choice {
            says: Worded::new(
                "the circle of {} crosses an outline: read as a detail mark, not as an edge",
                [Part::Length(shapes.all[*i].size().x * scale)],
            ),
            other: "use it as the part".into(),
            instead,
            at: Some(at),
            doubtful: !named,
        };
        (*i, choice)
    };
    marked.iter().take(MOST).map(one).collect()
}

/// Lines a little inside the outline.
pub(super) fn borders(
    borders: &Borders,
    first: &Nested,
    shapes: &Shapes,
    loops: &[Closed],
    scale: f64,
) -> Vec<Choice> {
    const MOST: usize = 4;
    let marked = borders.marked.iter().take(MOST).map(|i| {
        let (_, at) = instead_inside(*i, shapes, loops, scale);
        Choice {
            says: Worded::new(
                "the line of {} lies a little inside the outline and holds its holes: read as drawn on the \
                part, not as its edge",
                [size(shapes.all[*i].size() * scale)],
            ),
            other: "use it as the edge".into(),
            instead: Instead::Inside(at),
            at: Some(at),
            doubtful: true,
        }
    });
    let bare = borders.bare.iter().filter(|(i, _)| first.holes.contains(i)).take(MOST).map(|(i, width)| {
        let (_, at) = instead_inside(*i, shapes, loops, scale);
        Choice {
            says: Worded::new(
                "the line of {} inside the outline is read as an opening, which leaves a frame {} wide",
                [size(shapes.all[*i].size() * scale), Part::Length(width * scale)],
            ),
            other: "read it as drawn on a closed part".into(),
            instead: Instead::Toggle(at),
            at: Some(at),
            doubtful: true,
        }
    });
    marked.chain(bare).collect()
}

/// Parts that lie in an opening of the first.
pub(super) fn islands(
    parts: &[(Nested, PartRole)],
    shapes: &Shapes,
    loops: &[Closed],
    scale: f64,
) -> Vec<Choice> {
    const MOST: usize = 4;
    let Some((first, _)) = parts.first() else { return Vec::new() };
    // Crumbs are told as such.
    let large = |n: &Nested| shapes.all[n.outer].size().max_element() * scale >= crate::clean::CRUMB;
    let in_it = |n: &Nested| shapes.parents[n.outer].filter(|p| first.holes.contains(p) && large(n));
    let found = parts.iter().enumerate().skip(1).filter_map(|(i, (n, _))| Some((i, n, in_it(n)?)));
    found
        .take(MOST)
        .map(|(i, n, opening)| {
            let (_, at) = instead_inside(n.outer, shapes, loops, scale);
            let [island, opening] = [n.outer, opening].map(|i| size(shapes.all[i].size() * scale));
            Choice {
                says: Worded::new(
                    &format!(
                        "part {} ({{}}) lies in the opening of {{}} and is read as a part of its own",
                        i + 1
                    ),
                    [island.clone(), opening],
                ),
                other: Worded::new("read it as the opening, {}, and what is around it as a step", [island]),
                instead: Instead::Toggle(at),
                at: Some(at),
                doubtful: true,
            }
        })
        .collect()
}

/// Lines drawn as bands, in one sentence.
pub(super) fn bands(bands: &[(usize, f64)], shapes: &Shapes, loops: &[Closed], scale: f64) -> Option<Choice> {
    let largest = bands.iter().max_by(|a, b| shapes.all[a.0].area.total_cmp(&shapes.all[b.0].area))?;
    let (_, at) = instead_inside(largest.0, shapes, loops, scale);
    Some(Choice {
        says: Worded::new(
            "{} drawn as bands {} wide: their outer sides are read as the edges",
            [
                if bands.len() == 1 {
                    "1 line is".into()
                } else {
                    format!("{} lines are", bands.len()).into()
                },
                (units::tidied((largest.1 * scale * 100.0).round() / 100.0), Quantity::Length).into(),
            ],
        ),
        other: "use the inner side of the largest".into(),
        instead: Instead::Inside(at),
        at: Some(at),
        doubtful: false,
    })
}

/// Pitch circles on the first part.
pub(super) fn pitch(
    pitch: &[usize],
    part: usize,
    shapes: &Shapes,
    loops: &[Closed],
    scale: f64,
) -> Vec<Choice> {
    const MOST: usize = 4;
    let on = |i: &&usize| {
        let mut at = **i;
        while let Some(p) = shapes.parents[at] {
            if p == part {
                return true;
            }
            at = p;
        }
        false
    };
    pitch
        .iter()
        .filter(on)
        .take(MOST)
        .map(|i| {
            let (instead, at) = instead_inside(*i, shapes, loops, scale);
            let instead = match instead {
                Instead::Inside(at) => Instead::Toggle(at),
                other => other,
            };
            Choice {
                says: Worded::new(
                    "the circle of {} runs through the centres of holes: read as their pitch circle, not \
                    as a hole",
                    [Part::Length(shapes.all[*i].size().x * scale)],
                ),
                other: "read it as a hole".into(),
                instead,
                at: Some(at),
                doubtful: false,
            }
        })
        .collect()
}

/// Whether an open line is a straight one through the centre of a circle and past its edge.
pub(super) fn is_centre_line(chain: &[Loose], centres: &RTree<GeomWithData<[f64; 2], f64>>) -> bool {
    let [only] = chain else { return false };
    let p = only.piece;
    if !p.is_straight() {
        return false;
    }
    let (low, high) = (p.from.min(p.to) - 1e-6, p.from.max(p.to) + 1e-6);
    let near = AABB::from_corners(low.to_array(), high.to_array());
    let (length, way) = (p.chord().length(), p.chord().normalize_or_zero());
    centres.locate_in_envelope(near).take(50).any(|c| {
        let off = way.perp_dot(DVec2::from(*c.geom()) - p.from).abs();
        off <= 0.01 * c.data && length >= 1.6 * c.data
    })
}
