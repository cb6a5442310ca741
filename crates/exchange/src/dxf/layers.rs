//! Which layers are read.

use super::Trouble;
use super::records::Contents;
use crate::ImportOptions;
use crate::diagnostics::{DiagnosticSeverity, Notes};

/// Words in a layer's name that say it carries something else than the part's outline.
const NOT_OUTLINE: [&str; 22] = [
    "defpoints",
    "dim",
    "dims",
    "dimension",
    "dimensions",
    "text",
    "texts",
    "note",
    "notes",
    "annotation",
    "annotations",
    "title",
    "titleblock",
    "border",
    "centre",
    "center",
    "centreline",
    "centerline",
    "construction",
    "hatch",
    "viewport",
    "viewports",
];

/// For each layer of the file: whether what is on it is read.
pub(super) fn choose(
    contents: &Contents,
    options: &ImportOptions,
    notes: &mut Notes,
) -> Result<Vec<bool>, Trouble> {
    let layers = &contents.layers;
    if let Some(wanted) = &options.layers {
        let chosen: Vec<bool> = layers
            .iter()
            .map(|l| wanted.iter().any(|w| w.trim().to_lowercase() == l.name.to_lowercase()))
            .collect();
        if !chosen.contains(&true) {
            let there: Vec<&str> =
                layers.iter().filter(|l| l.entities > 0).map(|l| l.name.as_str()).take(12).collect();
            let wanted = wanted.join(", ");
            return Err(Trouble::Empty(format!(
                "no layer is named {wanted}; the drawing has entities on {}",
                if there.is_empty() { "no layer".to_owned() } else { there.join(", ") }
            )));
        }
        for (layer, _) in layers.iter().zip(&chosen).filter(|(l, chosen)| !**chosen && l.entities > 0) {
            let what = format!("layer {} left out: not among the layers asked for", layer.name);
            notes.add_many(DiagnosticSeverity::Skipped, what, layer.entities, || {
                format!("layer {}", layer.name)
            });
        }
        return Ok(chosen);
    }
    let shown: Vec<bool> = layers.iter().map(|l| !l.off && !l.frozen).collect();
    for (layer, _) in layers.iter().zip(&shown).filter(|(l, shown)| !**shown && l.entities > 0) {
        let state = if layer.frozen { "frozen" } else { "off" };
        let what = format!("layer {} left out: it is {state} in the drawing", layer.name);
        notes.add_many(DiagnosticSeverity::Skipped, what, layer.entities, || format!("layer {}", layer.name));
    }
    let outline: Vec<bool> =
        layers.iter().zip(&shown).map(|(l, shown)| *shown && !sounds_otherwise(&l.name)).collect();
    // A drawing that has all its lines on such a layer is still read.
    if !layers.iter().zip(&outline).any(|(l, outline)| *outline && l.entities > 0) {
        return Ok(shown);
    }
    for (layer, _) in layers
        .iter()
        .zip(shown.iter().zip(&outline))
        .filter(|(l, (shown, out))| **shown && !**out && l.entities > 0)
    {
        let what = format!(
            "layer {} left out: by its name it does not carry the outline; ask for it by name to read it",
            layer.name
        );
        notes.add_many(DiagnosticSeverity::Skipped, what, layer.entities, || format!("layer {}", layer.name));
    }
    Ok(outline)
}

fn sounds_otherwise(name: &str) -> bool {
    name.to_lowercase().split(|c: char| !c.is_alphabetic()).any(|word| NOT_OUTLINE.contains(&word))
}

#[cfg(test)]
mod tests {
    use super::sounds_otherwise;

    #[test]
    fn names_are_read_by_words() {
        for name in ["Defpoints", "A-DIMS", "title_block 2 text", "Centre line"] {
            assert!(sounds_otherwise(name), "{name}");
        }
        for name in ["0", "Outline", "CUT", "Dimpled holes", "context"] {
            assert!(!sounds_otherwise(name), "{name}");
        }
    }
}
