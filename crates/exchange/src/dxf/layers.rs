//! Which layers are read, and as what.

use super::Trouble;
use super::contents::{Contents, Tally};
use crate::ImportOptions;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::layer::{self, LayerGuess, LayerInfo, LayerUse};

/// What becomes of the layers.
pub(super) struct Choice {
    pub(super) layers: Vec<LayerInfo>,
    /// Whether lines that are drawn as centre or hidden lines are left out.
    pub(super) edges_only: bool,
}

/// For each layer of the file: whether and as what it is read.
pub(super) fn choose(
    contents: &Contents,
    tallies: &[Tally],
    options: &ImportOptions,
    notes: &mut Notes,
) -> Result<Choice, Trouble> {
    let mut layers: Vec<LayerInfo> = contents
        .layers
        .iter()
        .zip(tallies)
        .map(|(l, tally)| {
            let mut kinds = tally.kinds.clone();
            kinds.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
            LayerInfo {
                name: l.name.clone(),
                entities: tally.entities,
                kinds,
                line_type: if l.line_type.eq_ignore_ascii_case("continuous") {
                    String::new()
                } else {
                    l.line_type.clone()
                },
                colour: l.colour,
                shown: !l.off && !l.frozen,
                guess: LayerGuess::Empty,
                used: LayerUse::LeftOut,
            }
        })
        .collect();
    let of_layout = layer::is_layout(layers.iter().map(|l| l.name.as_str()));
    for l in &mut layers {
        l.guess = layer::guess(l, of_layout);
    }
    layer::pick(&mut layers, options, "layer", notes).map_err(|says| Trouble::Empty(says.into()))?;
    for (l, in_file) in
        layers.iter().zip(&contents.layers).filter(|(l, _)| options.layers.is_none() && !l.shown)
    {
        if l.entities > 0 && l.used == LayerUse::LeftOut {
            let state = if in_file.frozen { "frozen" } else { "off" };
            let what = format!("layer {} left out: it is {state} in the drawing", l.name);
            notes.add_many(DiagnosticSeverity::Skipped, what, l.entities, || format!("layer {}", l.name));
        }
    }
    // A drawing that has nothing but such lines is still read.
    let through: usize = layers
        .iter()
        .zip(tallies)
        .filter(|(l, _)| l.used == LayerUse::Outline)
        .map(|(_, tally)| tally.drawn_through)
        .sum();
    Ok(Choice { layers, edges_only: !options.keep_dashed && through > 0 })
}
