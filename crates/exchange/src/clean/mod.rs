//! From loose curves to parts with holes: ends joined, doubles dropped, leftovers listed, loops nested.

mod crossings;
mod faces;
mod join;
mod keep_outs;
mod loops;
mod nest;
mod overlaps;
mod scale;

pub(crate) use keep_outs::add_keep_outs;
pub(crate) use scale::{odd_size, scale_check, unit_of, unit_of_pixels};

use crate::curve::Curve;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::dxf::Trouble;
use crate::piece::{self, Piece};
use crate::watch::Stage;
use crate::{ImportCounts, ImportedPart, MOST_PIECES, Sources};
use crossings::Crossings;
use geometry::{Loop, Outline, Vertex};

/// Shorter pieces than this (mm) are not drawn on purpose.
const SHORTEST: f64 = 1e-4;
/// Ends closer than this (mm) are one point.
const SAME: f64 = 1e-5;
/// Curves are turned into arcs this close (mm).
const TOLERANCE: f64 = 0.01;
/// Arcs whose circles agree within this were one before a drawing program cut it up, mm.
const JOINED: f64 = 2e-3;
/// Loops around less than this (mm²) enclose nothing.
const SMALLEST_AREA: f64 = 1e-6;
/// Problems of outlines with more lines and arcs than this are not listed one by one: the first is named.
const MOST_LISTED: usize = 100_000;
/// Problems of outlines listed one by one over all parts; the rest are counted.
const MOST_TOLD: usize = 100;
/// Open ends listed one by one; the rest are counted.
const LISTED: usize = 20;

/// A line or arc that does not belong to a closed entity.
#[derive(Debug, Clone, Copy)]
struct Loose {
    piece: Piece,
    source: u32,
}

/// A closed chain of pieces, counter-clockwise.
#[derive(Debug, Clone)]
struct Closed {
    pieces: Vec<Piece>,
    source: u32,
}

fn coordinates(p: glam::DVec2) -> String {
    // Adding zero turns -0.0 into 0.0.
    let tidy = |v: f64| (v * 1000.0).round() / 1000.0 + 0.0;
    format!("({}, {})", tidy(p.x), tidy(p.y))
}

/// Builds parts from curves; `scale` is mm per drawing unit, `gap` the widest gap (mm) that is closed.
pub(crate) fn clean(
    curves: Vec<(Curve, u32)>,
    sources: &Sources,
    scale: f64,
    gap: f64,
    counts: &mut ImportCounts,
    notes: &mut Notes,
) -> Result<Vec<ImportedPart>, Trouble> {
    let drawn = curves.len();
    let Loops { loops, open, branches } = closed_loops(curves, sources, scale, gap, counts, notes)?;
    counts.left_open = open.iter().chain(&branches).map(Vec::len).sum();
    let open = leftovers(open, branches, &loops, sources, notes)?;
    if loops.is_empty() {
        return Err(Trouble::Empty(nothing_closed(drawn, &open.0, open.1, gap, notes)));
    }
    notes.watch.enter(Stage::Nesting)?;
    let nested = nest::nest(&loops, notes.watch)?;
    notes.watch.enter(Stage::Searching)?;
    parts(nested, loops, sources, notes)
}

/// Closed loops, counter-clockwise, and the chains that are none.
struct Loops {
    loops: Vec<Closed>,
    open: Vec<Vec<Loose>>,
    branches: Vec<Vec<Loose>>,
}

fn closed_loops(
    curves: Vec<(Curve, u32)>,
    sources: &Sources,
    scale: f64,
    gap: f64,
    counts: &mut ImportCounts,
    notes: &mut Notes,
) -> Result<Loops, Trouble> {
    notes.watch.enter(Stage::Turning)?;
    let (mut closed, loose) = sort_out(curves, sources, scale, gap, notes)?;
    notes.watch.enter(Stage::Joining)?;
    let loose = overlaps::drop_doubles(loose, sources, notes);
    notes.watch.go_on()?;
    let joined = join::join(&loose, gap, sources, counts, notes)?;
    closed.extend(joined.loops);
    let mut loops = loops::distinct(closed, sources, notes)?;
    loops.retain(|l| {
        // As the outline will have it, which takes the flattest arcs as straight.
        let encloses = to_loop(&l.pieces).signed_area() > SMALLEST_AREA;
        if !encloses {
            let what = "closed line left out: it encloses no area".to_owned();
            notes.add(DiagnosticSeverity::Skipped, what, || sources.place(l.source));
        }
        encloses
    });
    Ok(Loops { loops, open: joined.open, branches: joined.branches })
}

fn nothing_closed(drawn: usize, listed: &[String], open: usize, gap: f64, notes: &Notes) -> String {
    if drawn == 0 {
        let left_out = notes.told(3);
        let why = if left_out.is_empty() { String::new() } else { format!(" ({left_out})") };
        return format!("no lines, arcs or curves to read{why}");
    }
    let (first, more) =
        (listed.iter().take(3).cloned().collect::<Vec<_>>().join("; "), open.saturating_sub(3));
    let more = if more > 0 { format!("; and {more} more") } else { String::new() };
    let listed = if first.is_empty() { String::new() } else { format!(" ({first}{more})") };
    let noun = if drawn == 1 { "curve was" } else { "curves were" };
    // What was left out may be the very lines that are missing.
    let left_out = notes.left_out(3);
    let left_out = if left_out.is_empty() { String::new() } else { format!(" Not read: {left_out}.") };
    format!(
        "{drawn} {noun} read and none close{listed}.{left_out} Draw the missing lines or raise the gap of {gap} mm"
    )
}

/// Turns curves into pieces in mm; drops what is too short; tells closed from loose.
fn sort_out(
    curves: Vec<(Curve, u32)>,
    sources: &Sources,
    scale: f64,
    gap: f64,
    notes: &mut Notes,
) -> Result<(Vec<Closed>, Vec<Loose>), Trouble> {
    let (mut closed, mut loose) = (Vec::new(), Vec::new());
    let round = sources.rounds_cut_up();
    let (mut total, all) = (0, curves.len());
    for (at, (curve, source)) in curves.into_iter().enumerate() {
        notes.watch.at(at, all)?;
        let join = round.then_some(JOINED / scale);
        let (mut pieces, is_closed) = curve.pieces(TOLERANCE / scale, MOST_PIECES - total, join);
        drop(curve);
        total += pieces.len();
        if total >= MOST_PIECES {
            return Err(Trouble::TooManyPieces(format!("more than {MOST_PIECES}")));
        }
        for p in &mut pieces {
            (p.from, p.to) = (p.from * scale, p.to * scale);
        }
        if pieces.iter().any(|p| !(p.from.is_finite() && p.to.is_finite() && p.bulge.is_finite())) {
            let what =
                format!("{} left out: its coordinates are too large to work with", sources.kind(source));
            notes.add(DiagnosticSeverity::Skipped, what, || sources.place(source));
            continue;
        }
        drop_short(&mut pieces, source, sources, notes);
        let Some((first, last)) = pieces.first().copied().zip(pieces.last().copied()) else { continue };
        let apart = first.from.distance(last.to);
        let length = || pieces.iter().map(Piece::length).sum::<f64>();
        if is_closed
            || (pieces.len() + usize::from(!first.is_straight()) > 1 && apart <= gap && length() > 4.0 * gap)
        {
            if apart > SAME {
                if !is_closed {
                    let what = format!("gap between the ends of one {} closed", sources.kind(source));
                    notes.add(DiagnosticSeverity::Mended, what, || {
                        format!(
                            "{} at {}, {} mm wide",
                            sources.place(source),
                            coordinates(first.from),
                            units::figure(apart, 3)
                        )
                    });
                }
                if let Some(last) = pieces.last_mut() {
                    last.to = first.from;
                }
            }
            closed.push(Closed { pieces, source });
        } else {
            loose.extend(pieces.into_iter().map(|piece| Loose { piece, source }));
        }
    }
    Ok((closed, loose))
}

/// Takes out pieces without length and bridges what they leave open.
fn drop_short(pieces: &mut Vec<Piece>, source: u32, sources: &Sources, notes: &mut Notes) {
    let before = pieces.len();
    let mut kept: Vec<Piece> = Vec::with_capacity(before);
    for p in pieces.iter() {
        if p.length() > SHORTEST {
            let mut p = *p;
            // The previous piece ends where the dropped one began.
            if let Some(last) = kept.last()
                && last.to.distance(p.from) <= 2.0 * SHORTEST
            {
                p.from = last.to;
            }
            kept.push(p);
        }
    }
    if kept.len() < before {
        let what =
            format!("{} without length dropped", if before == 1 { sources.kind(source) } else { "piece" });
        let at = pieces[0].from;
        notes.add_many(DiagnosticSeverity::Mended, what, before - kept.len(), || {
            format!("{} at {}", sources.place(source), coordinates(at))
        });
        *pieces = kept;
    }
}

/// Reports what belongs to no loop; returns the first open ends as text, and how many chains are open.
fn leftovers(
    open: Vec<Vec<Loose>>,
    branches: Vec<Vec<Loose>>,
    loops: &[Closed],
    sources: &Sources,
    notes: &mut Notes,
) -> Result<(Vec<String>, usize), Trouble> {
    let (mut listed, mut count) = (Vec::new(), 0);
    if open.is_empty() && branches.is_empty() {
        return Ok((listed, count));
    }
    let index = loops::Boundary::new(loops);
    for (chains, branching) in [(open, false), (branches, true)] {
        for chain in chains {
            let Some((first, last)) = chain.first().zip(chain.last()) else { continue };
            let mut covered = true;
            for l in &chain {
                covered = covered && index.covers(&l.piece, 2.0 * TOLERANCE, notes.watch)?;
            }
            if covered {
                let what = format!("{} drawn on top of an outline dropped", sources.kind(first.source));
                notes.add_many(DiagnosticSeverity::Mended, what, chain.len(), || sources.place(first.source));
                continue;
            }
            let (from, to) = (coordinates(first.piece.from), coordinates(last.piece.to));
            let ends = format!("open ends at {from} and {to}");
            count += 1;
            if count <= LISTED {
                listed.push(ends.clone());
            }
            let noun = if chain.len() == 1 {
                sources.kind(first.source).to_owned()
            } else {
                format!("chain of {} lines or arcs", chain.len())
            };
            let why =
                if branching { "branches off and is not part of the outline" } else { "does not close" };
            let what = if count > LISTED {
                "further open lines or arcs left out: they do not close".to_owned()
            } else {
                format!("{noun} left out: it {why}, {ends}")
            };
            notes.add(DiagnosticSeverity::Warning, what, || sources.place(first.source));
        }
    }
    Ok((listed, count))
}

fn to_loop(pieces: &[Piece]) -> Loop {
    Loop { vertices: pieces.iter().map(|p| Vertex { at: p.from, bulge: p.bulge }).collect() }
}

/// Loops and their holes as parts, largest first.
fn parts(
    nested: Vec<nest::Nested>,
    loops: Vec<Closed>,
    sources: &Sources,
    notes: &mut Notes,
) -> Result<Vec<ImportedPart>, Trouble> {
    let area = |i: usize| piece::area(&loops[i].pieces);
    let mut found: Vec<(f64, u32, Outline)> = nested
        .iter()
        .map(|n| {
            let mut holes = n.holes.clone();
            holes.sort_by(|a, b| area(*b).total_cmp(&area(*a)));
            let net = area(n.outer) - holes.iter().map(|h| area(*h)).sum::<f64>();
            let outline = Outline {
                outer: to_loop(&loops[n.outer].pieces),
                holes: holes.iter().map(|h| to_loop(&loops[*h].pieces)).collect(),
            };
            (net, loops[n.outer].source, outline)
        })
        .collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    let many = found.len() > 1;
    let count = found.len();
    let mut told = 0;
    let mut pairs = crossings::MOST_PAIRS;
    let mut out = Vec::with_capacity(found.len());
    for (i, (_, source, outline)) in found.into_iter().enumerate() {
        let name = if many { format!("Part {}", i + 1) } else { "Part".to_owned() };
        let segments =
            outline.outer.vertices.len() + outline.holes.iter().map(|h| h.vertices.len()).sum::<usize>();
        notes.watch.at(i, count)?;
        let doubtful = match crossings::search(&outline, &mut pairs) {
            Crossings::None => None,
            Crossings::At(at) if segments > MOST_LISTED => Some(format!(
                "{name} has {segments} lines and arcs, of which some cross, touch or lie on one another, as at {}; \
                 redraw it or leave out the layer that they are on",
                coordinates(at)
            )),
            Crossings::At(_) => {
                problems(&name, &outline, source, &mut told, sources, notes);
                None
            }
            Crossings::Tangled => Some(format!(
                "{name} has lines and arcs that lie across one another in very many places; it was not searched for \
                 crossings, redraw it or leave out the layer that they are on"
            )),
        };
        if let Some(what) = doubtful {
            notes.add(DiagnosticSeverity::Warning, what, || sources.place(source));
        }
        out.push(ImportedPart { name, outline, keep_outs: Vec::new() });
    }
    Ok(out)
}

/// What is wrong with an outline, place by place.
fn problems(
    name: &str,
    outline: &Outline,
    source: u32,
    told: &mut usize,
    sources: &Sources,
    notes: &mut Notes,
) {
    for problem in geometry::validate(outline) {
        *told += 1;
        let what = if *told > MOST_TOLD {
            "further places where boundaries cross, touch or lie wrongly: fix the ones listed first"
                .to_owned()
        } else {
            format!("{name}: {problem}")
        };
        notes.add(DiagnosticSeverity::Warning, what, || sources.place(source));
    }
}
