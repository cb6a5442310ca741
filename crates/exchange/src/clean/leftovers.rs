//! What belongs to no closed line: told by what it is where that can be said, named one by one where it may be an outline.

use super::bridge::{Failing, Pair};
use super::{Closed, Loose, TOLERANCE, at_place, loops, place};
use crate::Sources;
use crate::choice::{Choice, Instead};
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::dxf::Trouble;
use crate::pick::{Known, Picked, Shape};
use crate::picture::Picture;
use crate::piece;
use geometry::{Bounds, Loop};
use glam::DVec2;
use units::{Part, Quantity, Worded};

/// Open ends listed one by one; the rest are counted.
const LISTED: usize = 20;
/// Ends marked on the drawing, at most.
const MOST_ENDS: usize = 2_000;
/// A failing outline stands in for the part where nothing closed is at least this share of it.
const OUTWEIGHS: f64 = 0.5;

/// The ends of a chain, as a sentence has them.
fn ends(chain: &[Loose]) -> Option<Worded> {
    let (first, last) = chain.first().zip(chain.last())?;
    Some(Worded::new("open ends at {} and {}", [place(first.piece.from), place(last.piece.to)]))
}

/// Names chains one by one, as nothing closes; the first open ends as text, and how many chains are open.
pub(super) fn list(
    open: &[Vec<Loose>],
    branches: &[Vec<Loose>],
    loops: &[Closed],
    sources: &Sources,
    notes: &mut Notes,
) -> Result<(Vec<Worded>, usize), Trouble> {
    let mut said = Said::default();
    let index = loops::Boundary::new(loops);
    for (chains, branching) in [(open, false), (branches, true)] {
        for chain in chains {
            said.chain(chain, branching, &index, sources, notes)?;
        }
    }
    Ok((said.listed, said.count))
}

#[derive(Default)]
struct Said {
    listed: Vec<Worded>,
    count: usize,
}

impl Said {
    fn chain(
        &mut self,
        chain: &[Loose],
        branching: bool,
        index: &loops::Boundary,
        sources: &Sources,
        notes: &mut Notes,
    ) -> Result<(), Trouble> {
        let (Some(first), Some(ends)) = (chain.first(), ends(chain)) else { return Ok(()) };
        if covered(chain, index, sources, notes)? {
            return Ok(());
        }
        self.count += 1;
        if self.count <= LISTED {
            self.listed.push(ends.clone());
        }
        let noun = if chain.len() == 1 {
            sources.kind(first.source).to_owned()
        } else {
            format!("chain of {} lines or arcs", chain.len())
        };
        let why = if branching { "branches off and is not part of the outline" } else { "does not close" };
        let what = if self.count > LISTED {
            "further open lines or arcs left out: they do not close".into()
        } else {
            Worded::new(&format!("{noun} left out: it {why}, {{}}"), [ends.into()])
        };
        let at = first.piece.from;
        notes.add_at(DiagnosticSeverity::Warning, what, 1, at, || sources.place(first.source));
        Ok(())
    }
}

/// Whether a chain lies on an outline all along, which is told.
fn covered(
    chain: &[Loose],
    index: &loops::Boundary,
    sources: &Sources,
    notes: &mut Notes,
) -> Result<bool, Trouble> {
    for l in chain {
        if !index.covers(&l.piece, 2.0 * TOLERANCE, notes.watch)? {
            return Ok(false);
        }
    }
    if let Some(first) = chain.first() {
        let what = format!("{} drawn on top of an outline dropped", sources.kind(first.source));
        notes.add_many(DiagnosticSeverity::Mended, what, chain.len(), || sources.place(first.source));
    }
    Ok(true)
}

/// Tells what was left open beside the parts; ends (mm, as drawn) of what may be an outline that fails.
pub(super) fn tell(
    open: &[Vec<Loose>],
    branches: &[Vec<Loose>],
    loops: &[Closed],
    main: Option<&Loop>,
    picked: &Picked,
    sources: &Sources,
    notes: &mut Notes,
) -> Result<Vec<DVec2>, Trouble> {
    let mut doubtful = Vec::new();
    if open.is_empty() && branches.is_empty() {
        return Ok(doubtful);
    }
    let index = loops::Boundary::new(loops);
    let mut said = Said::default();
    let skipped = DiagnosticSeverity::Skipped;
    let around = main.and_then(Loop::bounds);
    let framed = !picked.frames.is_empty();
    for (at, chain) in open.iter().chain(branches).enumerate() {
        let Some(first) = chain.first() else { continue };
        let at_first = first.piece.from;
        let place = || at_place(sources.place(first.source), at_first);
        if picked.divides.get(at) == Some(&true) {
            // Told with its alternative.
        } else if picked.threads[at] {
            let what = "three-quarter circles about holes left out: threads".to_owned();
            notes.add_at(skipped, what, 1, at_first, place);
        } else if picked.centre_lines[at] {
            let what = "lines through centres of circles left out: centre lines".to_owned();
            notes.add_at(skipped, what, 1, at_first, place);
        } else if (nearly_closed(chain) && !(framed && squared(chain)))
            || (at >= open.len() && hangs_on(chain, main))
            || !outside(chain, main, around.as_ref(), notes)?
        {
            if let Some(last) = chain.last().filter(|_| doubtful.len() < MOST_ENDS) {
                doubtful.extend([first.piece.from, last.piece.to]);
            }
            said.chain(chain, at >= open.len(), &index, sources, notes)?;
        } else if !covered(chain, &index, sources, notes)? {
            let what = if framed {
                "lines beside the part left out: frame, title block, dimensions"
            } else {
                "lines beside the part left out: they close nothing"
            };
            notes.add_at(skipped, what.to_owned(), chain.len(), at_first, place);
        }
    }
    Ok(doubtful)
}

/// Closed lines smaller than this (mm) beside a part far larger are arrowheads, symbols and crumbs: no cup lifts them.
pub(crate) const CRUMB: f64 = 5.0;
/// How much larger the part is.
const FAR_LARGER: f64 = 20.0;

/// Drops parts too small to be any, beside the first.
pub(super) fn drop_crumbs(picked: &mut Picked, loops: &[Closed], sources: &Sources, notes: &mut Notes) {
    let side = |i: usize| Shape::of(&loops[i].pieces).size().max_element() * picked.scale;
    let Some(first) = picked.parts.first().map(|(n, _)| side(n.outer)) else { return };
    let (mut kept, mut crumbs) = (Vec::new(), Vec::new());
    for (at, part) in std::mem::take(&mut picked.parts).into_iter().enumerate() {
        let own = side(part.0.outer);
        let crumb = at > 0 && own < CRUMB && own * FAR_LARGER < first;
        if crumb { crumbs.push(part.0.outer) } else { kept.push(part) }
    }
    picked.parts = kept;
    for i in crumbs {
        let what = Worded::new(
            "closed lines smaller than {} beside the part left out: arrowheads, symbols",
            [(CRUMB, Quantity::Length).into()],
        );
        notes.add(DiagnosticSeverity::Skipped, what, || sources.place(loops[i].source));
    }
}

/// Whether a chain may be an outline that fails: of several lines, its ends near one another.
fn nearly_closed(chain: &[Loose]) -> bool {
    let Some((first, last)) = chain.first().zip(chain.last()) else { return false };
    let length: f64 = chain.iter().map(|l| l.piece.length()).sum();
    chain.len() > 2 && first.piece.from.distance(last.piece.to) < 0.25 * length
}

/// Whether all lines of a chain run along the axes, as those of a title block do.
fn squared(chain: &[Loose]) -> bool {
    chain.iter().all(|l| {
        let way = l.piece.chord().abs();
        l.piece.is_straight() && way.min_element() <= 1e-6 * way.max_element()
    })
}

/// Whether a chain ends at a corner of the part.
fn hangs_on(chain: &[Loose], main: Option<&Loop>) -> bool {
    let (Some(main), Some((first, last))) = (main, chain.first().zip(chain.last())) else { return false };
    let ends = [first.piece.from, last.piece.to];
    main.vertices.iter().any(|v| ends.iter().any(|e| e.distance(v.at) <= super::SAME))
}

/// Whether all of a chain lies outside the part.
fn outside(
    chain: &[Loose],
    main: Option<&Loop>,
    around: Option<&Bounds>,
    notes: &Notes,
) -> Result<bool, Trouble> {
    let (Some(main), Some(around)) = (main, around) else { return Ok(false) };
    for l in chain {
        let at = l.piece.middle();
        if around.contains(at) {
            notes.watch.spend(main.vertices.len())?;
            if main.contains(at) {
                return Ok(false);
            }
        }
    }
    Ok(true)
}

fn widest(pairs: &[Pair]) -> Option<Pair> {
    pairs.iter().copied().max_by(|a, b| a.gap.total_cmp(&b.gap))
}

/// A gap, with the digits that tell it.
fn figure(gap: f64) -> Part {
    (gap, Quantity::Length).into()
}

/// What is said of gaps that were closed as asked.
pub(super) fn gaps_closed(widest: f64) -> Worded {
    Worded::new("gaps between ends closed, the widest {}", [figure(widest)])
}

/// Tells gaps that were closed.
pub(super) fn mended(closed: &[Pair], told: &[Pair], gap: f64, notes: &mut Notes) {
    let mended = DiagnosticSeverity::Mended;
    if let Some(w) = widest(closed) {
        let what = gaps_closed(w.gap);
        notes.add_at(mended, what, closed.len(), w.at, || place(w.at));
    }
    if let Some(w) = widest(told) {
        let what = Worded::new(
            "gaps between ends closed though wider than {}, as that closes an outline: the widest {}",
            [figure(gap), figure(w.gap)],
        );
        notes.add_at(mended, what, told.len(), w.at, || place(w.at));
    }
}

/// The first places of gaps, for a sentence.
fn places(pairs: &[Pair], scale: f64) -> Worded {
    const MOST: usize = 4;
    let one = |p: &Pair| match p.gap > crate::WIDEST_OFFERED {
        true => Worded::new("{} to {}", p.places.map(|at| place(at * scale))),
        // The gap that is asked for is one of the drawing.
        false => Worded::new(
            if scale == 1.0 { "{} ({} wide)" } else { "{} ({} wide as drawn)" },
            [place(p.at * scale), figure(p.gap)],
        ),
    };
    let mut first: Vec<Worded> = pairs.iter().take(MOST).map(one).collect();
    if pairs.len() > MOST {
        first.push(format!("{} more", pairs.len() - MOST).into());
    }
    Worded::joined(first, ", ")
}

/// Rounded up to what a person types: two figures.
fn handy(gap: f64) -> f64 {
    let step = 10f64.powf(gap.max(1e-6).log10().floor() - 1.0);
    let up = (gap / step - 1e-6).ceil() * step;
    (up * 1e6).round() / 1e6
}

/// Gaps that were closed beyond the one asked for, as a choice.
pub(super) fn proposed(pairs: &[Pair], gap: f64, scale: f64) -> Option<Choice> {
    let widest = widest(pairs)?;
    let count = if pairs.len() == 1 { "1 place".to_owned() } else { format!("{} places", pairs.len()) };
    Some(Choice {
        says: Worded::new(
            &format!("an outline was open at {count}: {{}}; closed, as {{}} closes everything"),
            [places(pairs, scale).into(), figure(handy(widest.gap))],
        ),
        other: Worded::new("leave gaps beyond {} open", [figure(gap)]),
        instead: Instead::Gap(gap),
        at: Some(widest.at * scale),
        doubtful: true,
    })
}

/// Takes outlines that fail out of what was picked. Where the part itself fails that is an error, which names the ends and
/// the gap that would close it: nothing smaller is taken in its place unless a person asks for it.
pub(super) fn take_failing(
    picked: &mut Picked,
    loops: &[Closed],
    whole: usize,
    failing: &[Failing],
    known: &Known<'_>,
) -> Result<Vec<Choice>, Trouble> {
    if failing.is_empty() {
        return Ok(Vec::new());
    }
    let area = |i: usize| piece::area(&loops[i].pieces);
    let closed = picked.parts.iter().filter(|(n, _)| n.outer < whole).map(|(n, _)| area(n.outer));
    let closed = closed.fold(0.0, f64::max);
    let all = picked.parts.iter().flat_map(|(n, _)| std::iter::once(&n.outer).chain(&n.holes));
    let failed: Vec<usize> = all.copied().filter(|i| *i >= whole).collect();
    let first = picked.parts.first().map(|(n, _)| n.outer);
    let scale = picked.scale;
    let mut told: Vec<Choice> = Vec::new();
    let mut unclosed: Option<Worded> = None;
    for i in failed {
        let f = &failing[i - whole];
        let gap = handy(f.gap());
        let size = Shape::of(&loops[i].pieces).size() * scale;
        let at = if f.gap() > crate::WIDEST_OFFERED { "from" } else { "at" };
        let says = Worded::new(
            "an outline of {} does not close: it is open {} {}",
            [Part::Size(size.to_array()), at.into(), places(&f.open, scale).into()],
        );
        if first == Some(i) && known.options.inside.is_none() && closed < OUTWEIGHS * area(i) {
            let ends = f.open.iter().flat_map(|p| p.places).collect();
            return Err(Trouble::Open {
                says,
                gap,
                picture: Box::new(Picture { ends, ..Picture::default() }),
            });
        }
        // Ends further apart are no slip of the pen: where they are is told with the lines that are left out.
        if f.gap() > crate::WIDEST_OFFERED {
            unclosed = unclosed.or(Some(says));
            continue;
        }
        told.push(Choice {
            says: says.and(", and is left out".into()),
            other: Worded::new("join ends within {}, which closes it", [figure(gap)]),
            instead: Instead::Gap(gap),
            at: f.open.first().map(|p| p.at * scale),
            doubtful: true,
        });
    }
    picked.parts.retain(|(n, _)| n.outer < whole);
    picked.parts.iter_mut().for_each(|(n, _)| n.holes.retain(|h| *h < whole));
    if picked.parts.is_empty() {
        let says = told.into_iter().map(|c| c.says).next().or(unclosed);
        return Err(Trouble::Empty(says.unwrap_or_default()));
    }
    Ok(told)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gaps_are_rounded_up_to_what_is_typed() {
        for (gap, expected) in [(0.5, 0.5), (0.501, 0.51), (3.11, 3.2), (12.3, 13.0), (0.0707, 0.071)] {
            assert!((handy(gap) - expected).abs() < 1e-9, "{gap}: {}", handy(gap));
        }
    }
}
