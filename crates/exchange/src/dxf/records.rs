//! Sections and records of a DXF file: header, layers, blocks, entities.

use super::Trouble;
use super::decode::Decoder;
use super::scan::{Kind, Pair, Pairs, kind};
use super::shapes::Item;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::layer::Line;
use crate::watch::Stage;
use glam::DVec2;
use std::collections::{HashMap, HashSet};

/// Where an entity stands in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Source {
    /// "LINE", "ARC" ...
    pub(crate) kind: &'static str,
    /// Index of its layer.
    pub(crate) layer: u32,
    /// How it is drawn.
    pub(crate) line: Line,
    /// As the file numbers it; 0 when it does not.
    pub(crate) handle: u64,
    /// Line, or byte of a binary file.
    pub(crate) place: u64,
}

/// A layer as the file describes it.
#[derive(Debug, Clone, Default)]
pub(super) struct Layer {
    pub(super) name: String,
    pub(super) off: bool,
    pub(super) frozen: bool,
    pub(super) line_type: String,
    pub(super) entities: usize,
    /// Kinds of entities and how many of each.
    pub(super) kinds: Vec<(String, usize)>,
    /// Entities that draw, and not as centre or hidden lines.
    pub(super) drawn_through: usize,
}

/// Kinds of entities told apart on one layer; a file with more makes them up.
const MOST_KINDS: usize = 48;

impl Layer {
    fn count(&mut self, kind: &str) {
        self.entities += 1;
        if let Some((_, count)) = self.kinds.iter_mut().find(|(k, _)| k == kind) {
            *count += 1;
        } else if self.kinds.len() < MOST_KINDS {
            self.kinds.push((kind.to_owned(), 1));
        }
    }
}

/// A block: entities drawn once and inserted many times.
#[derive(Debug, Default)]
pub(super) struct Block {
    pub(super) name: String,
    pub(super) base: DVec2,
    pub(super) external: bool,
    pub(super) items: Vec<(Item, Source)>,
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
}

impl Contents {
    /// Index of a layer, added when the file did not declare it. Names are told apart without regard to case.
    fn layer(&mut self, name: &str) -> u32 {
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
}

/// Where an entity is, for people.
pub(crate) fn describe(source: &Source, layer: &str, binary: bool) -> String {
    let handle = if source.handle == 0 { String::new() } else { format!(", handle {:X}", source.handle) };
    let unit = if binary { "byte" } else { "line" };
    format!("{} on layer {layer}{handle}, {unit} {}", source.kind, source.place)
}

/// More layers than this are made up, not drawn.
const MOST_LAYERS: usize = 100_000;
/// Blocks likewise.
const MOST_BLOCKS: usize = 200_000;
/// Pairs between two looks at whether to stop.
const LOOK_EVERY: u64 = 65_536;

/// Largest figure that is taken for a coordinate; beyond it a double no longer holds a hundredth of a millimetre.
const FURTHEST: f64 = 1e12;

/// Reads the whole file.
pub(super) fn read(bytes: &[u8], notes: &mut Notes) -> Result<Contents, Trouble> {
    let mut pairs = Pairs::new(bytes);
    let mut contents = Contents {
        insert_units: None,
        layers: Vec::new(),
        blocks: vec![Block::default()],
        block_index: HashMap::new(),
        binary: pairs.is_binary(),
        text_frames: HashSet::new(),
        layer_index: HashMap::new(),
    };
    let mut decoder = Decoder::default();
    notes.watch.enter(Stage::Entities)?;
    let (mut sections, mut ended) = (0, false);
    while let Some(pair) = pairs.next()? {
        if pair.is(0, "EOF") {
            ended = true;
            break;
        }
        if !pair.is(0, "SECTION") {
            continue;
        }
        sections += 1;
        let Some(name) = pairs.next()? else {
            return Err(Trouble::Truncated(format!(
                "at the start of a section, {}",
                spot(&pairs, pair.place)
            )));
        };
        match name.text().to_ascii_uppercase().as_str() {
            "HEADER" => header(&mut pairs, &mut contents)?,
            "TABLES" => tables(&mut pairs, &mut contents)?,
            "BLOCKS" => entities(&mut pairs, &mut contents, &mut decoder, true, notes)?,
            "ENTITIES" => entities(&mut pairs, &mut contents, &mut decoder, false, notes)?,
            other => skip_section(&mut pairs, other)?,
        }
    }
    if sections == 0 {
        return Err(Trouble::NotADrawing("it has group codes like a DXF file, but no section".to_owned()));
    }
    if !ended {
        notes.add(
            DiagnosticSeverity::Warning,
            "the file has no end mark; all its sections are complete".to_owned(),
            || "end of the file".to_owned(),
        );
    }
    Ok(contents)
}

fn spot(pairs: &Pairs<'_>, place: u64) -> String {
    format!("{} {place}", if pairs.is_binary() { "byte" } else { "line" })
}

fn cut_off(pairs: &Pairs<'_>, what: &str, place: u64) -> Trouble {
    Trouble::Truncated(format!("in the middle of {what} that starts at {}", spot(pairs, place)))
}

fn skip_section(pairs: &mut Pairs<'_>, name: &str) -> Result<(), Trouble> {
    let mut place = 0;
    while let Some(pair) = pairs.next()? {
        if pair.is(0, "ENDSEC") {
            return Ok(());
        }
        place = if place == 0 { pair.place } else { place };
    }
    Err(cut_off(pairs, &format!("section {name}"), place))
}

fn header(pairs: &mut Pairs<'_>, contents: &mut Contents) -> Result<(), Trouble> {
    let mut variable = String::new();
    let mut place = 0;
    while let Some(pair) = pairs.next()? {
        place = pair.place;
        match pair.code {
            0 => return Ok(()),
            9 => variable = pair.text(),
            3 if variable.trim().eq_ignore_ascii_case("$DWGCODEPAGE") => pairs.set_code_page(&pair.text()),
            70 if variable.trim().eq_ignore_ascii_case("$INSUNITS") => contents.insert_units = pair.integer(),
            _ => {}
        }
    }
    Err(cut_off(pairs, "the header", place))
}

fn tables(pairs: &mut Pairs<'_>, contents: &mut Contents) -> Result<(), Trouble> {
    let mut layer: Option<Layer> = None;
    let mut place = 0;
    while let Some(pair) = pairs.next()? {
        place = pair.place;
        if pair.code == 0 {
            if let Some(done) = layer.take()
                && contents.layers.len() < MOST_LAYERS
            {
                let at = contents.layer(&done.name) as usize;
                contents.layers[at] = done;
            }
            if pair.is(0, "ENDSEC") {
                return Ok(());
            }
            layer = pair.is(0, "LAYER").then(Layer::default);
        } else if let Some(layer) = &mut layer {
            match pair.code {
                2 => layer.name = pair.text(),
                // A negative colour is how a layer is off; bit 1 of the flags is how it is frozen.
                62 => layer.off = pair.number().is_some_and(|c| c < 0.0),
                70 => layer.frozen = pair.integer().is_some_and(|f| f & 1 != 0),
                6 => layer.line_type = pair.text(),
                _ => {}
            }
        }
    }
    Err(cut_off(pairs, "the tables", place))
}

/// A record being read.
struct Open {
    kind: Option<&'static str>,
    /// The kind as the file has it, for what is skipped.
    found: String,
    source: Source,
    name: Option<String>,
    paper: bool,
    hidden: bool,
    bad: Option<String>,
    /// What follows in its extended data names the frame of a text.
    framed: bool,
    /// Attributes and the like that follow 101 belong to something else.
    embedded: bool,
}

/// Reads the records of BLOCKS or ENTITIES.
fn entities(
    pairs: &mut Pairs<'_>,
    contents: &mut Contents,
    decoder: &mut Decoder,
    in_blocks: bool,
    notes: &mut Notes,
) -> Result<(), Trouble> {
    let mut target = if in_blocks { None } else { Some(0) };
    let mut open: Option<Open> = None;
    let mut block: Option<(Block, bool)> = None;
    let mut place = 0;
    let mut seen: u64 = 0;
    while let Some(pair) = pairs.next()? {
        place = pair.place;
        seen += 1;
        if seen.is_multiple_of(LOOK_EVERY) {
            let (done, of) = pairs.progress();
            notes.watch.at(done, of)?;
        }
        decoder.check()?;
        if pair.code != 0 {
            if let Some(open) = &mut open {
                record_pair(&pair, open, contents, decoder);
            } else if let Some((block, paper)) = &mut block {
                block_pair(&pair, block, paper);
            }
            continue;
        }
        let is_vertex = pair.is(0, "VERTEX");
        if is_vertex && open.as_ref().is_some_and(|o| o.kind == Some("POLYLINE")) {
            decoder.vertex();
            continue;
        }
        if let Some((mut done, paper)) = block.take() {
            if contents.blocks.len() > MOST_BLOCKS {
                return Err(Trouble::TooLong(format!("it declares more than {MOST_BLOCKS} blocks")));
            }
            done.external = done.external || paper;
            target = Some(contents.blocks.len());
            contents.block_index.insert(done.name.to_lowercase(), contents.blocks.len());
            contents.blocks.push(done);
        }
        if let Some(done) = open.take() {
            close(done, target, contents, decoder, notes);
        }
        if pair.is(0, "ENDSEC") {
            return Ok(());
        } else if in_blocks && pair.is(0, "BLOCK") {
            block = Some((Block::default(), false));
        } else if pair.is(0, "ENDBLK") {
            target = None;
        } else if pair.is(0, "SEQEND") || is_vertex {
            // Ends a polyline or the attributes of an insert; carries nothing itself.
        } else if target.is_some() {
            open = Some(start(&pair, decoder));
        }
    }
    Err(cut_off(pairs, &open.map_or("a section".to_owned(), |o| article(&o.found)), place))
}

fn article(kind: &str) -> String {
    let first = kind.chars().next().unwrap_or(' ').to_ascii_uppercase();
    format!(
        "{} {kind}",
        if "AEIOULX".contains(first) && kind != "LINE" && kind != "LEADER" { "an" } else { "a" }
    )
}

fn block_pair(pair: &Pair<'_>, block: &mut Block, paper: &mut bool) {
    let coordinate = || pair.number().filter(|v| v.is_finite() && v.abs() < FURTHEST).unwrap_or(0.0);
    match pair.code {
        2 => block.name = pair.text(),
        10 => block.base.x = coordinate(),
        20 => block.base.y = coordinate(),
        67 => *paper = pair.integer() == Some(1),
        // Bits 4, 8, 32: the contents stand in another file.
        70 => block.external = pair.integer().is_some_and(|f| f & 0x2c != 0),
        _ => {}
    }
}

fn start(pair: &Pair<'_>, decoder: &mut Decoder) -> Open {
    let found = pair.text().trim().to_ascii_uppercase();
    let kind = decoder.begin(&found);
    let source = Source {
        kind: kind.unwrap_or("entity"),
        layer: u32::MAX,
        line: Line::ByLayer,
        handle: 0,
        place: pair.place,
    };
    Open {
        kind,
        found,
        source,
        name: None,
        paper: false,
        hidden: false,
        bad: None,
        framed: false,
        embedded: false,
    }
}

fn record_pair(pair: &Pair<'_>, open: &mut Open, contents: &mut Contents, decoder: &mut Decoder) {
    match pair.code {
        // A VERTEX has a layer and handle of its own; those of the polyline came first.
        8 if open.source.layer == u32::MAX && contents.layers.len() < MOST_LAYERS => {
            open.source.layer = contents.layer(&pair.text());
        }
        5 if open.source.handle == 0 => {
            open.source.handle = pair.hexadecimal().unwrap_or(0);
        }
        1000 if open.kind.is_none() => open.framed = pair.is(1000, "ACAD_MTEXT_TEXT_BORDERS_BEGIN"),
        1005 if open.framed => contents.text_frames.extend(pair.hexadecimal().filter(|h| *h != 0)),
        6 if open.source.line == Line::ByLayer => open.source.line = Line::named(&pair.text()),
        2 if open.name.is_none() => open.name = Some(pair.text()),
        67 => open.paper = pair.integer() == Some(1),
        60 => open.hidden = pair.integer() == Some(1),
        101 => open.embedded = true,
        _ => {}
    }
    if open.kind.is_none() || open.embedded || open.bad.is_some() || !decoder.wants(pair.code) {
        return;
    }
    let figure = pair.number().filter(|v| match kind(pair.code) {
        Some(Kind::Short) => v.abs() <= f64::from(i16::MAX),
        _ => v.is_finite() && v.abs() < FURTHEST,
    });
    if let Some(figure) = figure {
        decoder.pair(pair.code, figure);
    } else {
        let found: String = match contents.binary {
            false => {
                String::from_utf8_lossy(pair.value).chars().filter(|c| !c.is_control()).take(24).collect()
            }
            true => pair.number().map_or("nothing readable".to_owned(), |v| v.to_string()),
        };
        open.bad = Some(format!("group code {} reads \"{found}\"", pair.code));
    }
}

fn close(
    mut open: Open,
    target: Option<usize>,
    contents: &mut Contents,
    decoder: &mut Decoder,
    notes: &mut Notes,
) {
    let Some(target) = target else {
        decoder.drop_open();
        return;
    };
    if open.source.layer == u32::MAX {
        open.source.layer = contents.layer("0");
    }
    let layer = &mut contents.layers[open.source.layer as usize];
    let layer_name = layer.name.clone();
    layer.count(&open.found);
    if open.kind.is_some() && open.source.line.other_than_edge().is_none() {
        layer.drawn_through += 1;
    }
    let binary = contents.binary;
    let source = open.source;
    let found = open.found;
    let place = || {
        let text = describe(&source, &layer_name, binary);
        if source.kind == "entity" { text.replacen("entity", &found, 1) } else { text }
    };
    let skipped = DiagnosticSeverity::Skipped;
    if open.paper {
        decoder.drop_open();
        notes.add(skipped, "left out: on a paper-space sheet, not in the drawing".to_owned(), place);
    } else if open.hidden {
        decoder.drop_open();
        notes.add(skipped, "left out: marked as not visible".to_owned(), place);
    } else if open.kind.is_none() {
        // An attribute or dimension is expected in a drawing; the count per kind and layer is enough.
        let what = format!("{found} on layer {layer_name} left out: it draws no outline");
        notes.add(skipped, what, place);
    } else if let Some(bad) = open.bad {
        decoder.drop_open();
        let what = format!("{} left out: {bad}, which is not a usable number", source.kind);
        notes.add(skipped, what, place);
    } else {
        decoder.end(source, open.name, target, contents, notes);
    }
}
