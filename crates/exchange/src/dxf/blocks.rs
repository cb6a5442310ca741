//! Puts blocks where they are inserted.

use super::Trouble;
use super::contents::Contents;
use super::records::Source;
use super::shapes::{Insert, Item};
use crate::curve::Curve;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::layer::{LayerInfo, LayerUse, Line};
use crate::marks::Markings;
use crate::measured;
use crate::picture::Beside;
use crate::told::Told;
use crate::watch::Stage;
use crate::{Format, MOST_ENTITIES, MOST_PIECES, Sources};
use glam::{DAffine2, DVec2};

/// Blocks within blocks, at most.
const DEEPEST: usize = 32;

/// What a block comes to with all that it inserts.
#[derive(Debug, Clone, Copy, Default)]
struct Count {
    entities: usize,
    /// Lines and arcs at least.
    pieces: usize,
}

/// Counts of all blocks, made before anything is expanded.
struct Counts {
    counts: Vec<Option<Count>>,
    path: Vec<usize>,
}

impl Counts {
    fn of(&mut self, block: usize, contents: &Contents) -> Result<Count, Trouble> {
        if let Some(known) = self.counts[block] {
            return Ok(known);
        }
        let name = &contents.blocks[block].name;
        if self.path.contains(&block) {
            return Err(Trouble::Recursion(format!("block {name} contains itself")));
        }
        if self.path.len() > DEEPEST {
            return Err(Trouble::Recursion(format!("block {name} lies more than {DEEPEST} blocks deep")));
        }
        self.path.push(block);
        let mut total = Count::default();
        for (item, _) in &contents.blocks[block].items {
            let count = match item {
                Item::Curve(curve) => Count { entities: 1, pieces: curve.pieces_at_least() },
                Item::Insert(insert) => match contents.block_index.get(&insert.block.to_lowercase()) {
                    // An insert of an empty block still costs a step of the expansion.
                    Some(&inner) => {
                        let copies = u64::from(insert.column.1) * u64::from(insert.row.1);
                        let copies = usize::try_from(copies).unwrap_or(usize::MAX);
                        let one = self.of(inner, contents)?;
                        Count {
                            entities: one.entities.max(1).saturating_mul(copies),
                            pieces: one.pieces.saturating_mul(copies),
                        }
                    }
                    None => Count { entities: 1, pieces: 0 },
                },
            };
            total.entities = total.entities.saturating_add(count.entities);
            total.pieces = total.pieces.saturating_add(count.pieces);
        }
        self.path.pop();
        self.counts[block] = Some(total);
        Ok(total)
    }
}

fn told(count: usize) -> String {
    if count == usize::MAX { "more than can be counted".to_owned() } else { count.to_string() }
}

struct Expansion<'a> {
    contents: &'a Contents,
    layers: &'a [LayerInfo],
    /// Leave out centre and hidden lines.
    edges_only: bool,
    curves: Vec<(Curve, u32)>,
    sources: Vec<Source>,
    zero_layer: Option<u32>,
    written: Markings,
    beside: Beside,
}

/// What the drawing comes to.
pub(super) struct Placed {
    /// Curves with the index of their source.
    pub(super) curves: Vec<(Curve, u32)>,
    pub(super) sources: Sources,
    pub(super) written: Markings,
    pub(super) beside: Beside,
}

/// Curves of the drawing with all blocks in place, each with the index of its source.
pub(super) fn expand(
    contents: Contents,
    root: usize,
    layers: &[LayerInfo],
    edges_only: bool,
    scale: f64,
    notes: &mut Notes,
) -> Result<Placed, Trouble> {
    let mut counts = Counts { counts: vec![None; contents.blocks.len()], path: Vec::new() };
    let total = counts.of(root, &contents)?;
    if total.entities > MOST_ENTITIES {
        return Err(Trouble::TooMany(told(total.entities)));
    }
    if total.pieces > MOST_PIECES {
        return Err(Trouble::TooManyPieces(told(total.pieces)));
    }
    let total = total.entities;
    notes.watch.enter(Stage::Placing)?;
    let mut work = Expansion {
        contents: &contents,
        layers,
        edges_only,
        curves: Vec::with_capacity(total),
        sources: Vec::with_capacity(total),
        zero_layer: contents.layers.iter().position(|l| l.name == "0").map(|i| i as u32),
        written: Markings::default(),
        beside: Beside::default(),
    };
    work.block(root, &DAffine2::from_scale(DVec2::splat(scale)), None, notes)?;
    let Expansion { curves, sources, mut written, beside, .. } = work;
    if written.dimensions.is_empty() {
        // Those of a drawing that was taken apart.
        let all = curves.iter().map(|(curve, _)| curve).chain(&beside.curves);
        written.dimensions = measured::dimensions(&written.texts, all);
    }
    let layers = contents.layers.iter().map(|l| l.name.clone()).collect();
    let format = if contents.binary { Format::DxfBinary } else { Format::DxfText };
    Ok(Placed { curves, sources: Sources { entries: sources, layers, format }, written, beside })
}

impl Expansion<'_> {
    fn block(
        &mut self,
        block: usize,
        map: &DAffine2,
        inserted: Option<(u32, Line)>,
        notes: &mut Notes,
    ) -> Result<(), Trouble> {
        notes.watch.go_on()?;
        let contents = self.contents;
        contents.blocks[block].written.place(map, contents, &mut self.written);
        self.dimensions(block, map);
        for (item, source) in &contents.blocks[block].items {
            // What lies on layer 0 of a block takes the layer of its insert.
            let layer = match inserted {
                Some((layer, _)) if Some(source.layer) == self.zero_layer => layer,
                _ => source.layer,
            };
            let line = match (source.line, inserted) {
                (Line::ByBlock, Some((_, line))) => line,
                (line, _) => line,
            };
            let used = self.layers[layer as usize].used;
            match item {
                Item::Curve(curve) => {
                    if used == LayerUse::LeftOut {
                        if self.layers[layer as usize].shown {
                            self.beside.curve(curve, map);
                        }
                        continue;
                    }
                    if contents.text_frames.contains(&source.handle) {
                        let what = format!("{} left out: it is the frame of a text", source.kind);
                        notes.add(DiagnosticSeverity::Skipped, what, || contents.place(source));
                        continue;
                    }
                    let other =
                        line.other_than_edge().filter(|_| self.edges_only && used == LayerUse::Outline);
                    if let Some(other) = other {
                        let what = Told::by_line_type(source.kind, other);
                        notes.add(DiagnosticSeverity::Skipped, what, || contents.place(source));
                        self.beside.curve(curve, map);
                    } else {
                        let curve =
                            if *map == DAffine2::IDENTITY { curve.clone() } else { curve.transformed(map) };
                        self.curves.push((curve, self.sources.len() as u32));
                        self.sources.push(Source { layer, ..*source });
                    }
                }
                // Freezing the layer of an insert hides all of it, whatever layers its entities are on.
                Item::Insert(_) if contents.layers[layer as usize].frozen && used == LayerUse::LeftOut => {}
                Item::Insert(insert) => self.insert(insert, map, (layer, line), source, notes)?,
            }
        }
        Ok(())
    }

    /// The lines and figures of dimensions stand in blocks of their own, which nothing inserts.
    fn dimensions(&mut self, block: usize, map: &DAffine2) {
        let contents = self.contents;
        let (_, blocks) = contents.blocks[block].written.shown();
        for block in blocks.filter_map(|name| contents.block_index.get(&name.to_lowercase())) {
            let block = &contents.blocks[*block];
            for (item, _) in &block.items {
                if let Item::Curve(curve) = item {
                    self.beside.curve(curve, map);
                }
            }
            self.beside.texts(block.written.shown().0.iter().map(|text| text.moved(map)));
        }
    }

    fn insert(
        &mut self,
        insert: &Insert,
        map: &DAffine2,
        on: (u32, Line),
        source: &Source,
        notes: &mut Notes,
    ) -> Result<(), Trouble> {
        let contents = self.contents;
        let Some(&inner) = contents.block_index.get(&insert.block.to_lowercase()) else {
            let what = format!("INSERT left out: block {} is not in the file", insert.block);
            notes.add(DiagnosticSeverity::Skipped, what, || contents.place(source));
            return Ok(());
        };
        let block = &contents.blocks[inner];
        if block.external {
            let what = format!(
                "INSERT left out: block {} refers to another file; bind it and export again",
                block.name
            );
            notes.add(DiagnosticSeverity::Skipped, what, || contents.place(source));
            return Ok(());
        }
        let base = DAffine2::from_translation(-block.base);
        for row in 0..insert.row.1 {
            for column in 0..insert.column.1 {
                let step = insert.column.0 * f64::from(column) + insert.row.0 * f64::from(row);
                let placed = *map * DAffine2::from_translation(step) * insert.map * base;
                self.block(inner, &placed, Some(on), notes)?;
            }
        }
        Ok(())
    }
}
