//! All that is kept of a DXF file between reading its records and putting them in place.

use super::records::{Source, describe};
use super::shapes::Item;
use super::writing::Written;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::told::Told;
use glam::DVec2;
use std::collections::{HashMap, HashSet};

/// A layer as the file describes it.
#[derive(Debug, Clone, Default)]
pub(super) struct Layer {
    pub(super) name: String,
    pub(super) off: bool,
    pub(super) frozen: bool,
    pub(super) line_type: String,
    pub(super) colour: Option<[u8; 3]>,
}

/// What is on one layer.
#[derive(Debug, Clone, Default)]
pub(super) struct Tally {
    pub(super) entities: usize,
    /// Kinds of entities and how many of each.
    pub(super) kinds: Vec<(String, usize)>,
    /// Entities that draw, and not as centre or hidden lines.
    pub(super) drawn_through: usize,
}

/// Kinds of entities told apart on one layer; a file with more makes them up.
const MOST_KINDS: usize = 48;
/// Things left out that are told apart over all blocks; the rest are counted together.
const MOST_LEFT_OUT: usize = 2_000;

impl Tally {
    fn count(&mut self, kind: &str, times: usize) {
        self.entities += times;
        if let Some((_, count)) = self.kinds.iter_mut().find(|(k, _)| k == kind) {
            *count += times;
        } else if self.kinds.len() < MOST_KINDS {
            self.kinds.push((kind.to_owned(), times));
        }
    }

    fn add(&mut self, other: &Tally) {
        let listed: usize = other.kinds.iter().map(|k| k.1).sum();
        self.entities += other.entities.saturating_sub(listed);
        other.kinds.iter().for_each(|(kind, times)| self.count(kind, *times));
        self.drawn_through += other.drawn_through;
    }
}

/// A block: entities drawn once and inserted many times.
#[derive(Debug, Default)]
pub(super) struct Block {
    pub(super) name: String,
    pub(super) base: DVec2,
    pub(super) external: bool,
    pub(super) items: Vec<(Item, Source)>,
    /// Texts and dimensions.
    pub(super) written: Written,
    /// What is on each layer.
    tallies: HashMap<u32, Tally>,
    /// What is to be told of it, mostly what was left out: the sentence, the first place, how often.
    left_out: Vec<(DiagnosticSeverity, Told, String, usize)>,
}

/// All that is used of a file.
#[derive(Debug)]
pub(super) struct Contents {
    pub(super) insert_units: Option<i64>,
    pub(super) layers: Vec<Layer>,
    /// The drawing itself first, then its blocks.
    pub(super) blocks: Vec<Block>,
    pub(super) block_index: HashMap<String, usize>,
    pub(super) binary: bool,
    /// Handles of polylines that are frames of texts.
    pub(super) text_frames: HashSet<u64>,
    layer_index: HashMap<String, u32>,
    left_out_index: HashMap<(usize, DiagnosticSeverity, String), usize>,
    /// The block of what lies on a sheet, and the first place of it.
    paper: Option<(usize, String)>,
}

impl Contents {
    pub(super) fn new(binary: bool) -> Self {
        Self {
            insert_units: None,
            layers: Vec::new(),
            blocks: vec![Block::default()],
            block_index: HashMap::new(),
            binary,
            text_frames: HashSet::new(),
            layer_index: HashMap::new(),
            left_out_index: HashMap::new(),
            paper: None,
        }
    }

    /// Index of a layer, added when the file did not declare it. Names are told apart without regard to case.
    pub(super) fn layer(&mut self, name: &str) -> u32 {
        let key = name.to_lowercase();
        if let Some(&at) = self.layer_index.get(&key) {
            return at;
        }
        let at = self.layers.len() as u32;
        self.layers.push(Layer { name: name.to_owned(), ..Layer::default() });
        self.layer_index.insert(key, at);
        at
    }

    /// Where an entity is, for people.
    pub(super) fn place(&self, source: &Source) -> String {
        describe(source, &self.layers[source.layer as usize].name, self.binary)
    }

    /// Adds a block; its index.
    pub(super) fn push(&mut self, block: Block) -> usize {
        self.block_index.insert(block.name.to_lowercase(), self.blocks.len());
        self.blocks.push(block);
        self.blocks.len() - 1
    }

    /// The block of what lies on a sheet; `source` lies there too.
    pub(super) fn paper(&mut self, source: &Source, found: &str) -> usize {
        if let Some((at, _)) = &self.paper {
            return *at;
        }
        let place = self.place(source);
        let place = if source.kind == "entity" { place.replacen("entity", found, 1) } else { place };
        self.blocks.push(Block { external: true, ..Block::default() });
        self.paper = Some((self.blocks.len() - 1, place));
        self.blocks.len() - 1
    }

    /// Counts an entity of a block on its layer.
    pub(super) fn count(&mut self, block: usize, layer: u32, kind: &str, through: bool) {
        let tally = self.blocks[block].tallies.entry(layer).or_default();
        tally.count(kind, 1);
        tally.drawn_through += usize::from(through);
    }

    /// Notes what was left out of a block: it is told only if the block is in the drawing.
    pub(super) fn leave_out(&mut self, block: usize, what: impl Into<Told>, place: impl FnOnce() -> String) {
        self.note(block, DiagnosticSeverity::Skipped, what, place);
    }

    /// Notes something of a block: it is told only if the block is in the drawing.
    pub(super) fn note(
        &mut self,
        block: usize,
        severity: DiagnosticSeverity,
        what: impl Into<Told>,
        place: impl FnOnce() -> String,
    ) {
        let told = self.left_out_index.len() < MOST_LEFT_OUT;
        let what = if told { what.into() } else { crate::diagnostics::OTHERS.into() };
        // Beyond that, and in too many blocks, only the drawing itself tells.
        let block = if self.left_out_index.len() < 2 * MOST_LEFT_OUT { block } else { 0 };
        let list = &mut self.blocks[block].left_out;
        let at = *self.left_out_index.entry((block, severity, what.to_string())).or_insert_with(|| {
            list.push((severity, what, place(), 0));
            list.len() - 1
        });
        list[at].3 += 1;
    }

    /// The block that holds the drawing, and the blocks it comes to; the first of them is the drawing. Where the model is
    /// empty that is the sheet with the most on it, which is said.
    pub(super) fn drawing(&self, notes: &mut Notes) -> (usize, Vec<usize>) {
        let sheets = || {
            let named = self.blocks.iter().enumerate().skip(1);
            let named = named.filter(|(_, b)| b.name.to_lowercase().starts_with("*paper_space"));
            self.paper.iter().map(|p| p.0).chain(named.map(|(i, _)| i))
        };
        let largest = sheets().max_by_key(|i| self.blocks[*i].items.len());
        let on_sheets = self
            .paper
            .as_ref()
            .map(|(p, place)| (self.blocks[*p].tallies.values().map(|t| t.entities).sum::<usize>(), place));
        let root = match largest {
            Some(sheet) if self.blocks[0].items.is_empty() && !self.blocks[sheet].items.is_empty() => {
                let what = "nothing is drawn in the model, so the sheet (paper space) is read; a sheet is often drawn \
                            smaller or larger than the part: check the size"
                    .to_owned();
                notes.add(DiagnosticSeverity::Warning, what, || "whole drawing".to_owned());
                sheet
            }
            _ => {
                if let Some((on_sheets, place)) = on_sheets {
                    let what = "left out: on a paper-space sheet, not in the drawing".to_owned();
                    notes.add_many(DiagnosticSeverity::Skipped, what, on_sheets, || place.clone());
                }
                0
            }
        };
        let mut seen = vec![false; self.blocks.len()];
        seen[root] = true;
        let mut found = vec![root];
        let mut next = 0;
        while let Some(&block) = found.get(next) {
            next += 1;
            for (item, _) in &self.blocks[block].items {
                if let Item::Insert(insert) = item
                    && let Some(&inner) = self.block_index.get(&insert.block.to_lowercase())
                    && !self.blocks[inner].external
                    && !std::mem::replace(&mut seen[inner], true)
                {
                    found.push(inner);
                }
            }
        }
        (root, found)
    }

    /// What is on each layer, of the blocks that are in the drawing.
    pub(super) fn tallies(&self, blocks: &[usize]) -> Vec<Tally> {
        let mut sums = vec![Tally::default(); self.layers.len()];
        for block in blocks {
            let mut layers: Vec<_> = self.blocks[*block].tallies.iter().collect();
            layers.sort_by_key(|(layer, _)| **layer);
            layers.into_iter().for_each(|(layer, tally)| sums[*layer as usize].add(tally));
        }
        sums
    }

    /// Tells what was left out of the blocks that are in the drawing.
    pub(super) fn tell_left_out(&self, blocks: &[usize], notes: &mut Notes) {
        for (severity, what, place, count) in blocks.iter().flat_map(|b| &self.blocks[*b].left_out) {
            notes.add_many(*severity, what.clone(), *count, || place.clone());
        }
    }
}
