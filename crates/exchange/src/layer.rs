//! The layers of a drawing: what is on each, what it seems to be for, and whether it was read.

use crate::ImportOptions;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::told::Told;
use crate::words;

/// What a layer seems to be for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LayerGuess {
    /// Edges of the part.
    Outline,
    /// Areas where no lip may land.
    KeepOut,
    /// Dimensions.
    Dimension,
    /// Texts and notes.
    Text,
    /// Centre lines.
    Centre,
    /// Edges that are hidden from above.
    Hidden,
    /// Lines that helped drawing.
    Construction,
    /// Frame and title block of a sheet.
    Border,
    /// Cups, frame and datum of a layout that was written by this program.
    Tool,
    /// Nothing is on it.
    Empty,
}

impl LayerGuess {
    /// In plain words, lower case: "outline", "dimensions" ...
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            LayerGuess::Outline => "outline",
            LayerGuess::KeepOut => "keep-outs",
            LayerGuess::Dimension => "dimensions",
            LayerGuess::Text => "texts",
            LayerGuess::Centre => "centre lines",
            LayerGuess::Hidden => "hidden lines",
            LayerGuess::Construction => "construction lines",
            LayerGuess::Border => "border and title",
            LayerGuess::Tool => "cups and tool",
            LayerGuess::Empty => "nothing",
        }
    }

    /// Whether it is read as part of an outline unless a person says otherwise.
    pub(crate) fn is_outline(self) -> bool {
        matches!(self, LayerGuess::Outline | LayerGuess::Empty)
    }
}

/// What was done with a layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LayerUse {
    /// Its lines are edges of the parts.
    Outline,
    /// Its closed lines are keep-outs.
    KeepOut,
    /// Left out.
    LeftOut,
}

/// A layer (DXF) or named group (SVG) of a drawing, as a dialog offers it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LayerInfo {
    /// As the file has it.
    pub name: String,
    /// Entities on it, those of blocks counted once.
    pub entities: usize,
    /// Kinds of entities ("LINE", "TEXT", "path") and how many of each, most first.
    pub kinds: Vec<(String, usize)>,
    /// Line type of the layer, empty when it is drawn through.
    pub line_type: String,
    /// The colour it is drawn in, red, green and blue; `None` for that of the paper's ink, or where nothing says.
    pub colour: Option<[u8; 3]>,
    /// Whether the drawing shows it; one that is off or frozen is not read unless asked for.
    pub shown: bool,
    /// What it seems to be for, by name, line type and what is on it.
    pub guess: LayerGuess,
    /// What was done with it.
    pub used: LayerUse,
}

/// How a line is drawn, as far as it says what the line means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub(crate) enum Line {
    /// As its layer says.
    #[default]
    ByLayer,
    /// As the insert of its block says.
    ByBlock,
    /// Drawn through, or in a way that says nothing.
    Through,
    /// Long and short dashes.
    Centre,
    /// Dashes or dots.
    Hidden,
}

impl Line {
    /// What it is in words, for those that are no edges.
    pub(crate) fn other_than_edge(self) -> Option<&'static str> {
        match self {
            Line::Centre => Some("centre line"),
            Line::Hidden => Some("hidden line"),
            Line::ByLayer | Line::ByBlock | Line::Through => None,
        }
    }

    /// By the name of a line type.
    ///
    /// # Source
    /// Names of the standard line type files of drawing programs (`CENTER`, `HIDDEN2`, `ISO04W100`, `JIS_02_0.7`); from
    /// memory.
    pub(crate) fn named(name: &str) -> Self {
        let name = words::plain(name.trim()).to_ascii_uppercase();
        match name.as_str() {
            "" | "BYLAYER" => return Line::ByLayer,
            "BYBLOCK" => return Line::ByBlock,
            "CONTINUOUS" => return Line::Through,
            _ => {}
        }
        // The number of an ISO 128 line in "ACAD_ISO04W100" and "ISO04W100"; of a JIS one in "JIS_08_11".
        let number = |mark: &str| {
            let rest = &name[name.find(mark)? + mark.len()..];
            rest.get(..2)?.parse::<u8>().ok()
        };
        match (number("ISO"), number("JIS_")) {
            (Some(2 | 3 | 7), _) | (_, Some(2)) => return Line::Hidden,
            (Some(4..=6 | 8..=15), _) | (_, Some(8 | 9)) => return Line::Centre,
            _ => {}
        }
        let has = |words: &[&str]| words.iter().any(|w| name.contains(w));
        if has(&[
            "CENTER",
            "CENTRE",
            "DASHDOT",
            "CHAIN",
            "PHANTOM",
            "DIVIDE",
            "MITTE",
            "STRICHPUNKT",
            "AXES",
            "ACHSE",
            "MIXTE",
            "MEZZERIA",
            "TRAZOYPUNTO",
        ]) {
            Line::Centre
        } else if has(&[
            "HIDDEN",
            "DASHED",
            "DOT",
            "VERDECKT",
            "STRICHLINIE",
            "CACHE",
            "NASCOST",
            "OCULT",
            "INTERROMPU",
        ]) {
            Line::Hidden
        } else {
            Line::Through
        }
    }
}

/// Kinds of DXF entities that write rather than draw.
const WRITING: [(&str, LayerGuess); 10] = [
    ("TEXT", LayerGuess::Text),
    ("MTEXT", LayerGuess::Text),
    ("ATTDEF", LayerGuess::Text),
    ("ATTRIB", LayerGuess::Text),
    ("TOLERANCE", LayerGuess::Dimension),
    ("DIMENSION", LayerGuess::Dimension),
    ("LEADER", LayerGuess::Dimension),
    ("MULTILEADER", LayerGuess::Dimension),
    ("HATCH", LayerGuess::Construction),
    ("VIEWPORT", LayerGuess::Border),
];

/// Kinds of DXF entities that neither dimensions nor texts are made of.
const SHAPES: [&str; 5] = ["CIRCLE", "ELLIPSE", "LWPOLYLINE", "POLYLINE", "SPLINE"];

/// Whether nothing but shapes is on a layer: its name then says something else than dimensions or texts.
fn only_shapes(info: &LayerInfo) -> bool {
    !info.kinds.is_empty() && info.kinds.iter().all(|(kind, _)| SHAPES.contains(&kind.as_str()))
}

/// Dimensions or texts, by the name of a layer that has shapes only and so is read as edges all the same.
fn named_otherwise(info: &LayerInfo) -> Option<LayerGuess> {
    words::layer_carries(&info.name)
        .filter(|guess| matches!(guess, LayerGuess::Dimension | LayerGuess::Text) && only_shapes(info))
}

/// Whether nothing on a layer draws.
fn only_writes(info: &LayerInfo) -> bool {
    let writes = |kind: &str| WRITING.iter().any(|(k, _)| *k == kind) || matches!(kind, "POINT" | "SOLID");
    info.kinds.iter().all(|(kind, _)| writes(kind))
}

/// Layers that the export of a layout writes besides the part.
fn is_of_layout(name: &str) -> bool {
    matches!(
        name,
        "LIP" | "DRILL" | "THREAD" | "CENTRE" | "FLANGE" | "FRAME" | "DATUM" | "DIM" | "TEXT" | "BORDER"
    ) || name.starts_with("ZONE_")
}

/// What a layer seems to be for. `of_layout` says that the drawing is a layout as this program writes them.
pub(crate) fn guess(info: &LayerInfo, of_layout: bool) -> LayerGuess {
    if info.entities == 0 {
        return LayerGuess::Empty;
    }
    if of_layout && is_of_layout(&info.name) {
        return LayerGuess::Tool;
    }
    if let Some(guess) = words::layer_carries(&info.name)
        && named_otherwise(info).is_none()
    {
        return guess;
    }
    match Line::named(&info.line_type) {
        Line::Centre => return LayerGuess::Centre,
        Line::Hidden => return LayerGuess::Hidden,
        Line::ByLayer | Line::ByBlock | Line::Through => {}
    }
    // All of it writes: named by what there is most of.
    let writes = |kind: &str| WRITING.iter().find(|(k, _)| *k == kind).map(|(_, guess)| *guess);
    let all: Option<Vec<LayerGuess>> = info.kinds.iter().map(|(kind, _)| writes(kind)).collect();
    all.and_then(|all| all.first().copied()).unwrap_or(LayerGuess::Outline)
}

/// Whether the layers are those of a layout as this program writes it.
pub(crate) fn is_layout<'a>(mut names: impl Iterator<Item = &'a str> + Clone) -> bool {
    ["PART", "LIP", "DRILL", "DATUM"].iter().all(|wanted| names.clone().any(|n| n == *wanted))
        && names.any(|n| n == "BORDER")
}

/// What stands on each of these layers or groups of a drawing that has paths only; `of` gives the layer of every path.
pub(crate) fn of_paths(names: &[String], of: impl Iterator<Item = u32>) -> Vec<LayerInfo> {
    let empty = |name: &String| LayerInfo {
        name: name.clone(),
        entities: 0,
        kinds: Vec::new(),
        line_type: String::new(),
        colour: None,
        shown: true,
        guess: LayerGuess::Empty,
        used: LayerUse::LeftOut,
    };
    let mut layers: Vec<LayerInfo> = names.iter().map(empty).collect();
    of.for_each(|layer| layers[layer as usize].entities += 1);
    for layer in layers.iter_mut().filter(|layer| layer.entities > 0) {
        layer.kinds = vec![("path".to_owned(), layer.entities)];
        layer.guess = guess(layer, false);
    }
    layers
}

/// Sets what becomes of each layer; the reason for those left out is noted. The error is a sentence.
pub(crate) fn pick(
    layers: &mut [LayerInfo],
    options: &ImportOptions,
    noun: &str,
    notes: &mut Notes,
) -> Result<(), String> {
    let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
    let listed = |list: &[String], name: &str| list.iter().any(|w| same(w, name));
    let skipped = DiagnosticSeverity::Skipped;
    for l in layers.iter_mut() {
        let keep_out = match &options.keep_out_layers {
            Some(list) => listed(list, &l.name),
            None => l.guess == LayerGuess::KeepOut && l.shown,
        };
        l.used = if keep_out {
            LayerUse::KeepOut
        } else {
            let read = match &options.layers {
                Some(wanted) => listed(wanted, &l.name),
                None => l.shown && (l.guess.is_outline() || l.guess == LayerGuess::KeepOut),
            };
            if read { LayerUse::Outline } else { LayerUse::LeftOut }
        };
    }
    for missing in
        options.keep_out_layers.iter().flatten().filter(|w| !layers.iter().any(|l| same(w, &l.name)))
    {
        let what = format!("no {noun} is named {}, so it gives no keep-outs", missing.trim());
        notes.add(DiagnosticSeverity::Warning, what, || "whole drawing".to_owned());
    }
    let used = |layers: &[LayerInfo]| layers.iter().any(|l| l.used == LayerUse::Outline && l.entities > 0);
    if let Some(wanted) = &options.layers {
        if !layers.iter().any(|l| l.used == LayerUse::Outline) {
            let there: Vec<&str> =
                layers.iter().filter(|l| l.entities > 0).map(|l| l.name.as_str()).take(12).collect();
            return Err(format!(
                "no {noun} is named {}; the drawing has entities on {}",
                wanted.join(", "),
                if there.is_empty() { format!("no {noun}") } else { there.join(", ") }
            ));
        }
        for l in layers.iter().filter(|l| l.used == LayerUse::LeftOut && l.entities > 0) {
            let what = Told::not_asked_for(&format!("{noun} {}", l.name));
            notes.add_many(skipped, what, l.entities, || format!("{noun} {}", l.name));
        }
    } else if !used(layers) {
        // A drawing that has all its lines on layers that sound otherwise is still read.
        for l in layers.iter_mut().filter(|l| l.shown && l.used == LayerUse::LeftOut) {
            l.used = LayerUse::Outline;
        }
    } else {
        // What only writes has been told by its kinds.
        for l in layers.iter().filter(|l| l.used == LayerUse::LeftOut && l.shown && !only_writes(l)) {
            let what = Told::by_name(&format!("{noun} {}", l.name), l.guess.label());
            notes.add_many(skipped, what, l.entities, || format!("{noun} {}", l.name));
        }
    }
    // Balloons and letters taken apart are closed shapes too: that these are edges is a decision, and is told as one.
    if options.layers.is_none()
        && layers.iter().any(|l| l.used == LayerUse::Outline && named_otherwise(l).is_none())
    {
        for l in layers.iter().filter(|l| l.used == LayerUse::Outline && l.shown) {
            if let Some(carries) = named_otherwise(l) {
                let what = format!(
                    "{noun} {} read as edges: by its name it carries {}, but nothing is on it except closed shapes; \
                     choose the {noun}s to read without it if they are no holes",
                    l.name,
                    carries.label()
                );
                notes
                    .add_many(DiagnosticSeverity::Warning, what, l.entities, || format!("{noun} {}", l.name));
            }
        }
    }
    let by_name =
        |l: &&LayerInfo| options.keep_out_layers.is_none() && l.used == LayerUse::KeepOut && l.entities > 0;
    for l in layers.iter().filter(by_name) {
        let what = format!("{noun} {} read as keep-outs, going by its name", l.name);
        notes.add_many(DiagnosticSeverity::Warning, what, l.entities, || format!("{noun} {}", l.name));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn layer(name: &str, line_type: &str, kinds: &[(&str, usize)]) -> LayerInfo {
        LayerInfo {
            name: name.to_owned(),
            entities: kinds.iter().map(|k| k.1).sum(),
            kinds: kinds.iter().map(|(k, n)| ((*k).to_owned(), *n)).collect(),
            line_type: line_type.to_owned(),
            colour: None,
            shown: true,
            guess: LayerGuess::Empty,
            used: LayerUse::LeftOut,
        }
    }

    #[test]
    fn names_are_read_by_words() {
        let lines = [("LINE", 3)];
        for (name, expected) in [
            ("Defpoints", LayerGuess::Construction),
            ("A-DIMS", LayerGuess::Dimension),
            ("title_block 2 text", LayerGuess::Text),
            ("Centre line", LayerGuess::Centre),
            ("Mittellinien", LayerGuess::Centre),
            ("HIDDEN_EDGES", LayerGuess::Hidden),
            ("Keep-out 1", LayerGuess::KeepOut),
            ("KEEPOUT", LayerGuess::KeepOut),
            ("0", LayerGuess::Outline),
            ("CUT", LayerGuess::Outline),
            ("Dimpled holes", LayerGuess::Outline),
            ("context", LayerGuess::Outline),
            ("LIP", LayerGuess::Outline),
        ] {
            assert_eq!(guess(&layer(name, "", &lines), false), expected, "{name}");
        }
        assert_eq!(guess(&layer("LIP", "", &lines), true), LayerGuess::Tool);
        assert_eq!(guess(&layer("PART", "", &lines), true), LayerGuess::Outline);
        assert_eq!(guess(&layer("0", "", &[]), false), LayerGuess::Empty);
    }

    /// A circle alone on a layer for texts may be a hole or a balloon: it is read, and that is told, until layers are chosen.
    #[test]
    fn shapes_on_a_layer_named_for_writing_are_read_and_told() {
        let told = |name: &str, kinds: &[(&str, usize)], options: &ImportOptions| {
            let watch = crate::watch::Watch::default();
            let mut notes = Notes::new(&watch);
            let mut layers = [layer("Kontur", "", &[("LINE", 4)]), layer(name, "", kinds)];
            for l in &mut layers {
                l.guess = guess(l, false);
            }
            pick(&mut layers, options, "layer", &mut notes).unwrap();
            let warned =
                notes.finish().into_iter().filter(|d| d.severity == DiagnosticSeverity::Warning).count();
            (layers[1].used, warned)
        };
        let usual = ImportOptions::default();
        let chosen = ImportOptions { layers: Some(vec!["kontur".to_owned()]), ..usual.clone() };
        for name in ["Bemaßung", "Text", "DIM"] {
            assert_eq!(told(name, &[("CIRCLE", 1)], &usual), (LayerUse::Outline, 1), "{name}");
            assert_eq!(told(name, &[("CIRCLE", 1)], &chosen), (LayerUse::LeftOut, 0), "{name}");
            assert_eq!(told(name, &[("CIRCLE", 1), ("TEXT", 1)], &usual), (LayerUse::LeftOut, 0), "{name}");
        }
        assert_eq!(told("Bohrung", &[("CIRCLE", 1)], &usual), (LayerUse::Outline, 0));
    }

    #[test]
    fn line_types_and_kinds_speak_where_the_name_does_not() {
        assert_eq!(guess(&layer("3", "ACAD_ISO04W100", &[("LINE", 2)]), false), LayerGuess::Centre);
        assert_eq!(guess(&layer("3", "JIS_02_0.7", &[("LINE", 2)]), false), LayerGuess::Hidden);
        assert_eq!(guess(&layer("3", "Continuous", &[("MTEXT", 5), ("LEADER", 2)]), false), LayerGuess::Text);
        // A plate with its dimensions on one layer is a plate.
        assert_eq!(guess(&layer("3", "", &[("DIMENSION", 20), ("LINE", 4)]), false), LayerGuess::Outline);
    }

    #[test]
    fn line_types_by_name() {
        for (name, expected) in [
            ("", Line::ByLayer),
            ("ByBlock", Line::ByBlock),
            ("Continuous", Line::Through),
            ("CENTER2", Line::Centre),
            ("DashDotX2", Line::Centre),
            ("HIDDEN", Line::Hidden),
            ("ISO02W050", Line::Hidden),
            ("ISO", Line::Through),
            ("ÄISO0é", Line::Through),
            ("FENCELINE1", Line::Through),
        ] {
            assert_eq!(Line::named(name), expected, "{name}");
        }
    }
}
