//! From loose curves to parts with holes: ends joined, doubles dropped, leftovers listed, loops nested.

mod bridge;
mod crossings;
mod divide;
mod faces;
mod join;
mod keep_outs;
mod leftovers;
mod loops;
mod nest;
mod overlaps;
mod scale;

pub(crate) use keep_outs::add_keep_outs;
pub(crate) use leftovers::CRUMB;
pub(crate) use nest::{Nested, even_odd, parents};
pub(crate) use scale::{odd_size, scale_check, unit_of, unit_of_pixels};

use crate::choice::Choice;
use crate::pick::{Known, Open, PartRole, pick};
use crate::picture::Picture;

use crate::curve::Curve;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::dxf::Trouble;
use crate::piece::{self, Piece};
use crate::watch::Stage;
use crate::{ImportCounts, ImportedPart, MOST_PIECES, Sources};
use crossings::Crossings;
use geometry::{Loop, Outline, Vertex};
use units::{Quantity, Worded};

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
/// A line or arc that does not belong to a closed entity.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Loose {
    pub(crate) piece: Piece,
    pub(crate) source: u32,
}

/// A closed chain of pieces, counter-clockwise.
#[derive(Debug, Clone)]
pub(crate) struct Closed {
    pub(crate) pieces: Vec<Piece>,
    pub(crate) source: u32,
}

impl Closed {
    pub(crate) fn to_loop(&self) -> Loop {
        Loop { vertices: self.pieces.iter().map(|p| Vertex { at: p.from, bulge: p.bulge }).collect() }
    }
}

/// A place in a sentence.
fn place(at: glam::DVec2) -> units::Part {
    units::Part::Place(at.to_array())
}

/// Something and where it is.
fn at_place(what: String, at: glam::DVec2) -> Worded {
    Worded::new("{} at {}", [what.into(), place(at)])
}

/// What cleaning and choosing came to.
pub(crate) struct Cleaned {
    pub(crate) parts: Vec<ImportedPart>,
    pub(crate) choices: Vec<Choice>,
    pub(crate) picture: Picture,
    /// How many times as large as drawn the parts are.
    pub(crate) scale: f64,
}

/// Widest gaps that are closed unasked, mm: the first are only told, the others told as a choice.
const TOLD: f64 = 0.1;
const PROPOSED: f64 = 2.0;
/// Widest gap looked for to say what would close an outline, mm, or as a share of the drawing's size.
const LOOKED_FOR: (f64, f64) = (20.0, 0.05);
/// Loose lines of a drawing whose gaps are looked into, at most: more are a hatching or a picture.
const MOST_LOOSE: usize = 100_000;

/// Builds parts from curves in the drawing's unit.
pub(crate) fn clean(
    curves: Vec<(Curve, u32)>,
    sources: &Sources,
    known: &Known<'_>,
    gap: f64,
    counts: &mut ImportCounts,
    notes: &mut Notes,
) -> Result<Cleaned, Trouble> {
    let drawn = curves.len();
    let gaps = Gaps { gap, widest: if known.options.auto_gap { PROPOSED.max(gap) } else { gap } };
    let found = closed_loops(curves, sources, known.unit.mm(), gaps, counts, notes)?;
    let Loops { mut loops, open, branches, proposed } = found;
    counts.left_open = open.iter().chain(&branches).map(Vec::len).sum();
    let loose: usize = open.iter().map(Vec::len).sum();
    let failing = if loose <= MOST_LOOSE {
        let widest = LOOKED_FOR.0.max(LOOKED_FOR.1 * extent(&loops, &open));
        bridge::failing(&open, gap, widest, sources, notes.watch)?
    } else {
        Vec::new()
    };
    if loops.is_empty() && failing.is_empty() {
        let warned = notes.warned(&known.about_unit, 2);
        let listed = leftovers::list(&open, &branches, &loops, sources, notes)?;
        let says = nothing_closed(drawn, &listed.0, listed.1, gap, (warned, notes));
        let ends = open.iter().filter_map(|c| Some([c.first()?.piece.from, c.last()?.piece.to])).flatten();
        let picture = Picture::of(&[], &[], [&open, &branches], ends.take(MOST_TOLD).collect(), 1.0);
        return Err(Trouble::NothingCloses { says, picture: Box::new(picture) });
    }
    // Outlines that fail stand among the others while it is told what is what: they may be the part, or its frame.
    let mut whole = loops.len();
    loops.extend(failing.iter().map(|f| join::oriented(f.outline.clone(), 0)));
    notes.watch.enter(Stage::Nesting)?;
    let mut picked = pick(&loops, &Open { open: &open, branches: &branches }, known)?;
    let chains: Vec<&[Loose]> = open.iter().chain(&branches).map(Vec::as_slice).collect();
    if let Some(cut) = divide::cut(&picked, &loops[..whole], &chains, sources, known)? {
        let divides: Vec<bool> = (0..chains.len()).map(|i| cut.cuts(i)).collect();
        if known.options.divide {
            let told = cut.done(&loops, picked.scale);
            (loops, whole) = cut.apply(&loops, whole);
            picked = pick(&loops, &Open { open: &open, branches: &branches }, known)?;
            picked.choices.insert(0, told);
        } else {
            picked.circles.retain(|(circle, _)| !cut.bites(*circle));
            picked.choices.insert(0, cut.offered(&loops, picked.scale));
        }
        picked.divides = divides;
    }
    picked.choices.extend(std::mem::take(&mut picked.circles).into_iter().map(|(_, choice)| choice));
    if let Some((printed, drawn, at)) = picked.broken {
        let what = Worded::new(
            "the view is broken: a dimension prints {} where {} is drawn from one piece to the other; the part is not \
            drawn in full, and what is read is one piece of it",
            [units::trimmed(&units::figure(printed, 1)).to_owned().into(), (drawn, Quantity::Length).into()],
        );
        notes.add_at(DiagnosticSeverity::Warning, what, 1, at, || place(at));
    }
    leftovers::drop_crumbs(&mut picked, &loops, sources, notes);
    let failed = match leftovers::take_failing(&mut picked, &loops, whole, &failing, known) {
        // For a person who looks for the ends.
        Err(Trouble::Open { says, gap, picture }) => {
            let ends = picture.ends;
            let drawn = Picture::of(&loops[..whole], &picked.roles, [&open, &branches], ends, picked.scale);
            // What was left out may be the very lines that are missing.
            let left_out = if whole == 0 { notes.left_out(3) } else { Worded::default() };
            let says = if left_out.is_empty() {
                says
            } else {
                says.and(" (not read: ".into()).and(left_out).and(")".into())
            };
            return Err(Trouble::Open { says, gap, picture: Box::new(drawn) });
        }
        failed => failed?,
    };
    let main = picked.parts.first().map(|(n, _)| loops[n.outer].to_loop());
    loops.truncate(whole);
    picked.roles.truncate(whole);
    let ends = leftovers::tell(&open, &branches, &loops, main.as_ref(), &picked, sources, notes)?;
    let scale = picked.scale;
    let mut choices = failed;
    choices.extend(leftovers::proposed(&proposed, gap, scale));
    choices.append(&mut picked.choices);
    notes.scale(scale);
    let picture = Picture::of(&loops, &picked.roles, [&open, &branches], ends, scale);
    notes.watch.enter(Stage::Searching)?;
    let mut parts = parts(picked.parts, loops, sources, notes)?;
    if (scale - 1.0).abs() > 1e-12 {
        parts.iter_mut().for_each(|p| p.outline = scaled(&p.outline, scale));
    }
    Ok(Cleaned { parts, choices, picture, scale })
}

/// The larger side of all that is drawn, mm.
fn extent(loops: &[Closed], open: &[Vec<Loose>]) -> f64 {
    let closed = loops.iter().filter_map(|l| piece::bounds(&l.pieces));
    let all = closed.chain(open.iter().flatten().map(|l| l.piece.bounds()));
    let all = all.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
    all.map_or(0.0, |(min, max)| (max - min).max_element())
}

/// Closed lines narrower than this (mm) and without area are crumbs.
const SHORTEST_SEEN: f64 = 1.0;

/// The smaller side of a closed line, mm.
fn extent_of(l: &Closed) -> f64 {
    piece::bounds(&l.pieces).map_or(0.0, |(min, max)| (max - min).min_element())
}

fn scaled(outline: &Outline, by: f64) -> Outline {
    let of = |l: &Loop| scaled_loop(l, by);
    Outline { outer: of(&outline.outer), holes: outline.holes.iter().map(of).collect() }
}

fn scaled_loop(l: &Loop, by: f64) -> Loop {
    Loop { vertices: l.vertices.iter().map(|v| Vertex { at: v.at * by, bulge: v.bulge }).collect() }
}

/// Gaps that are closed, mm: those asked for, and those that close an outline.
#[derive(Debug, Clone, Copy)]
struct Gaps {
    gap: f64,
    widest: f64,
}

/// Closed loops, counter-clockwise, and the chains that are none.
struct Loops {
    loops: Vec<Closed>,
    open: Vec<Vec<Loose>>,
    branches: Vec<Vec<Loose>>,
    /// Gaps closed beyond the one asked for.
    proposed: Vec<bridge::Pair>,
}

fn closed_loops(
    curves: Vec<(Curve, u32)>,
    sources: &Sources,
    scale: f64,
    gaps: Gaps,
    counts: &mut ImportCounts,
    notes: &mut Notes,
) -> Result<Loops, Trouble> {
    notes.watch.enter(Stage::Turning)?;
    let (mut closed, loose) = sort_out(curves, sources, scale, gaps.gap, notes)?;
    notes.watch.enter(Stage::Joining)?;
    let loose = overlaps::drop_doubles(loose, sources, notes);
    notes.watch.go_on()?;
    let widest = if loose.len() > MOST_LOOSE { gaps.gap } else { gaps.widest };
    let bridge::Bridged { loose, closed: mended, proposed } =
        bridge::bridge(loose, gaps.gap, widest, sources, notes.watch)?;
    let joined = join::join(&loose, gaps.gap, sources, counts, notes)?;
    let (told, proposed): (Vec<_>, Vec<_>) = proposed.into_iter().partition(|p| p.gap <= TOLD);
    counts.open_ends += 2 * (mended.len() + told.len() + proposed.len());
    counts.gaps_closed += mended.len() + told.len() + proposed.len();
    leftovers::mended(&mended, &told, gaps.gap, notes);
    closed.extend(joined.loops);
    let mut loops = loops::distinct(closed, sources, notes)?;
    loops.retain(|l| {
        // As the outline will have it, which takes the flattest arcs as straight.
        let encloses = l.to_loop().signed_area() > SMALLEST_AREA;
        if !encloses {
            let (severity, what) = if extent_of(l) > SHORTEST_SEEN {
                (
                    DiagnosticSeverity::Warning,
                    "closed line left out: it crosses itself or runs back on itself",
                )
            } else {
                (DiagnosticSeverity::Skipped, "closed line left out: it encloses no area")
            };
            notes.add(severity, what.to_owned(), || sources.place(l.source));
        }
        encloses
    });
    Ok(Loops { loops, open: joined.open, branches: joined.branches, proposed })
}

fn nothing_closed(
    drawn: usize,
    listed: &[Worded],
    open: usize,
    gap: f64,
    (warned, notes): (Worded, &Notes),
) -> Worded {
    /// Nothing, where there is nothing to stand between the words.
    fn between(before: &str, said: Worded, after: &str) -> Worded {
        if said.is_empty() { said } else { Worded::from(before).and(said).and(after.into()) }
    }
    if drawn == 0 {
        return Worded::from("no lines, arcs or curves to read").and(between(" (", notes.told(3), ")"));
    }
    let more = open.saturating_sub(3);
    let more = (more > 0 && !listed.is_empty()).then(|| format!("and {more} more").into());
    let listed = Worded::joined(listed.iter().take(3).cloned().chain(more), "; ");
    let noun = if drawn == 1 { "curve was" } else { "curves were" };
    // What was left out may be the very lines that are missing.
    let left_out = notes.left_out(3);
    Worded::new(
        &format!(
            "{drawn} {noun} read and none close{{}}.{{}}{{}} Draw the missing lines or raise the gap of {{}}"
        ),
        [
            between(" (", listed, ")").into(),
            between(" Note: ", warned, ".").into(),
            between(" Not read: ", left_out, ".").into(),
            (gap, Quantity::Length).into(),
        ],
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
            let what = format!("{} left out: its coordinates are too large to use", sources.kind(source));
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
                        let wide = Worded::new(", {} wide", [(apart, Quantity::Length).into()]);
                        at_place(sources.place(source), first.from).and(wide)
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
            at_place(sources.place(source), at)
        });
        *pieces = kept;
    }
}

/// Loops and their holes as parts, in the order given; holes of each the largest first.
fn parts(
    picked: Vec<(Nested, PartRole)>,
    loops: Vec<Closed>,
    sources: &Sources,
    notes: &mut Notes,
) -> Result<Vec<ImportedPart>, Trouble> {
    let area = |i: usize| piece::area(&loops[i].pieces);
    let found: Vec<(PartRole, u32, Outline)> = picked
        .into_iter()
        .map(|(n, role)| {
            let mut holes = n.holes;
            holes.sort_by(|a, b| area(*b).total_cmp(&area(*a)));
            let outline = Outline {
                outer: loops[n.outer].to_loop(),
                holes: holes.iter().map(|h| loops[*h].to_loop()).collect(),
            };
            (role, loops[n.outer].source, outline)
        })
        .collect();
    let many = found.len() > 1;
    let count = found.len();
    let mut told = 0;
    let mut pairs = crossings::MOST_PAIRS;
    let mut out = Vec::with_capacity(found.len());
    for (i, (role, source, outline)) in found.into_iter().enumerate() {
        let name = if many { format!("Part {}", i + 1) } else { "Part".to_owned() };
        let segments =
            outline.outer.vertices.len() + outline.holes.iter().map(|h| h.vertices.len()).sum::<usize>();
        notes.watch.at(i, count)?;
        let doubtful = match crossings::search(&outline, &mut pairs) {
            Crossings::None => None,
            Crossings::At(at) if segments > MOST_LISTED => Some(Worded::new(
                "{} has {} lines and arcs, of which some cross, touch or lie on one another, as at {}; \
                 redraw it or leave out the layer that they are on",
                [(&name).into(), segments.to_string().into(), place(at)],
            )),
            Crossings::At(_) => {
                problems(&name, &outline, source, &mut told, sources, notes);
                None
            }
            Crossings::Tangled => Some(Worded::from(format!(
                "{name} has lines and arcs that lie across one another in very many places; it was not searched for \
                 crossings, redraw it or leave out the layer that they are on"
            ))),
        };
        if let Some(what) = doubtful {
            notes.add(DiagnosticSeverity::Warning, what, || sources.place(source));
        }
        out.push(ImportedPart { name, outline, keep_outs: Vec::new(), role });
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
            "further places where boundaries cross, touch or lie wrongly: fix the ones listed first".into()
        } else {
            Worded::new("{}: {}", [name.into(), problem.worded().into()])
        };
        notes.add(DiagnosticSeverity::Warning, what, || sources.place(source));
    }
}
