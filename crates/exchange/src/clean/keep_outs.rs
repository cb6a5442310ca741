//! Closed lines of the layers that carry keep-outs, given to the parts they lie on.

use super::{Closed, Gaps, Loops, at_place, closed_loops, nest};
use crate::curve::Curve;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::dxf::Trouble;
use crate::marks::Text;
use crate::watch::Watch;
use crate::{ImportCounts, ImportedKeepOut, ImportedPart, Sources};
use geometry::{Loop, Outline};
use std::collections::HashMap;

/// Keep-outs of one part, at most: more are a hatching or a mesh on the wrong layer.
const MOST: usize = 10_000;

/// Adds the keep-outs that curves close to; parts are `drawn` times as large as drawn.
#[expect(clippy::too_many_arguments, reason = "one call; a struct of them would be made for it alone")]
pub(crate) fn add_keep_outs(
    curves: Vec<(Curve, u32)>,
    sources: &Sources,
    scale: f64,
    gap: f64,
    drawn: f64,
    parts: &mut [ImportedPart],
    written: &[Text],
    notes: &mut Notes,
) -> Result<(), Trouble> {
    if curves.is_empty() {
        return Ok(());
    }
    let gaps = Gaps { gap, widest: gap };
    let Loops { loops, open, branches, .. } =
        closed_loops(curves, sources, scale, gaps, &mut ImportCounts::default(), notes)?;
    for chain in open.iter().chain(&branches) {
        let Some(first) = chain.first() else { continue };
        let what = "lines of a keep-out left out: they do not close".to_owned();
        let place = || at_place(sources.place(first.source), first.piece.from);
        notes.add_many(DiagnosticSeverity::Warning, what, chain.len(), place);
    }
    let mut named: HashMap<&str, usize> = HashMap::new();
    for nested in nest::nest(&loops, notes.watch)? {
        let keep_out = &loops[nested.outer];
        if !nested.holes.is_empty() {
            let what = "openings in keep-outs left out: the whole area is kept free".to_owned();
            let place = || sources.place(keep_out.source);
            notes.add_many(DiagnosticSeverity::Warning, what, nested.holes.len(), place);
        }
        let area = super::scaled_loop(&keep_out.to_loop(), drawn);
        let mut on = None;
        for (i, part) in parts.iter().enumerate() {
            if meet(&part.outline, &area, notes.watch)? {
                on = Some(i);
                break;
            }
        }
        let Some(part) = on.and_then(|i| parts.get_mut(i)) else {
            let what = "keep-out left out: it lies on no part".to_owned();
            notes.add(DiagnosticSeverity::Skipped, what, || sources.place(keep_out.source));
            continue;
        };
        if part.keep_outs.len() >= MOST {
            let what = format!("further keep-outs left out: a part has {MOST} at most");
            notes.add(DiagnosticSeverity::Warning, what, || sources.place(keep_out.source));
            continue;
        }
        if let Some(name) = name_in(&area, keep_out.source, sources, written, drawn, notes.watch)? {
            part.keep_outs.push(ImportedKeepOut { name, area });
            continue;
        }
        let layer = layer_of(keep_out, sources);
        let number = named.entry(layer).or_default();
        *number += 1;
        let name = if *number == 1 { layer.to_owned() } else { format!("{layer} {number}") };
        part.keep_outs.push(ImportedKeepOut { name, area });
    }
    Ok(())
}

/// Longest name that is taken from a drawing, letters.
const LONGEST_NAME: usize = 80;

/// What is written in a keep-out on its own layer: its name. Texts are in mm as drawn, the area `drawn` times as large.
fn name_in(
    area: &Loop,
    source: u32,
    sources: &Sources,
    written: &[Text],
    drawn: f64,
    watch: &Watch,
) -> Result<Option<String>, Trouble> {
    let entry = sources.entries.get(source as usize);
    let (Some(bounds), Some(entry)) = (area.bounds(), entry) else { return Ok(None) };
    for text in written.iter().filter(|text| text.layer == Some(entry.layer)) {
        let at = text.at * drawn;
        if at.cmplt(bounds.min).any() || at.cmpgt(bounds.max).any() {
            continue;
        }
        watch.spend(area.vertices.len())?;
        let name: String = text.says.trim().chars().take(LONGEST_NAME).collect();
        if !name.is_empty() && area.contains(at) {
            return Ok(Some(name));
        }
    }
    Ok(None)
}

fn layer_of<'a>(of: &Closed, sources: &'a Sources) -> &'a str {
    let entry = sources.entries.get(of.source as usize);
    entry.and_then(|e| sources.layers.get(e.layer as usize)).map_or("keep-out", String::as_str)
}

/// Whether an area reaches onto a part: a corner or middle of one lies in the other.
fn meet(part: &Outline, area: &Loop, watch: &Watch) -> Result<bool, Trouble> {
    watch.spend(1)?;
    let (Some(a), Some(b)) = (part.bounds(), area.bounds()) else { return Ok(false) };
    if a.min.cmpgt(b.max).any() || b.min.cmpgt(a.max).any() {
        return Ok(false);
    }
    let within = |of: &Loop, other: &Loop| {
        for point in of.segments().flat_map(|s| [s.start(), s.point_at(0.5)]) {
            watch.spend(other.vertices.len())?;
            if other.contains(point) {
                return Ok(true);
            }
        }
        Ok(false)
    };
    Ok(within(area, &part.outer)? || within(&part.outer, area)?)
}
