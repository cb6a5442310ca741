//! Sections and records of a DXF file: header, layers, blocks, entities.

use super::Trouble;
use super::colours;
use super::contents::{Block, Contents, Layer};
use super::decode::Decoder;
use super::scan::{Kind, Pair, Pairs, kind};
use super::writing::Record;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::layer::Line;
use crate::told::Told;
use crate::watch::Stage;

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
    let mut contents = Contents::new(pairs.is_binary());
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
                62 => {
                    layer.off = pair.number().is_some_and(|c| c < 0.0);
                    layer.colour = layer.colour.or(pair.integer().and_then(colours::numbered));
                }
                420 => layer.colour = pair.integer().and_then(colours::written_out).or(layer.colour),
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
    /// A text or dimension, which draws nothing but says something of the drawing.
    written: Option<Box<Record>>,
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
            target = Some(contents.push(done));
        }
        if let Some(done) = open.take() {
            close(done, target, contents, decoder);
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
    let written = if kind.is_none() { Record::of_kind(&found).map(Box::new) } else { None };
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
        written,
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
    if let (Some(written), false) = (&mut open.written, open.embedded) {
        written.take(pair);
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

fn close(mut open: Open, target: Option<usize>, contents: &mut Contents, decoder: &mut Decoder) {
    let Some(target) = target else {
        decoder.drop_open();
        return;
    };
    if open.source.layer == u32::MAX {
        open.source.layer = contents.layer("0");
    }
    let through = open.kind.is_some() && open.source.line.other_than_edge().is_none();
    // What lies on a sheet is kept apart: it is read where the drawing itself is empty.
    let target = if open.paper && target == 0 { contents.paper(&open.source, &open.found) } else { target };
    contents.count(target, open.source.layer, &open.found, through);
    let layer_name = contents.layers[open.source.layer as usize].name.clone();
    let binary = contents.binary;
    let source = open.source;
    let found = open.found;
    let place = || {
        let text = describe(&source, &layer_name, binary);
        if source.kind == "entity" { text.replacen("entity", &found, 1) } else { text }
    };
    if open.hidden {
        decoder.drop_open();
        contents.leave_out(target, "left out: marked as not visible".to_owned(), place);
    } else if open.kind.is_none() {
        // An attribute or dimension is expected in a drawing; the count per kind and layer is enough.
        let what = Told::no_outline(&format!("{found} on layer {layer_name}"));
        contents.leave_out(target, what, place);
        if let Some(written) = open.written {
            contents.blocks[target].written.add(*written, source.layer, open.name);
        }
    } else if let Some(bad) = open.bad {
        decoder.drop_open();
        let what = format!("{} left out: {bad}, which is not a usable number", source.kind);
        contents.leave_out(target, what, place);
    } else {
        decoder.end(source, open.name, target, contents);
    }
}
