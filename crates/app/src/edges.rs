//! Where a person left the edges of the panels, and which panels are folded: kept with the preferences.

use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// Sizes and folds by panel.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Edges {
    /// Width or height in points, of panels whose edge was dragged.
    sizes: BTreeMap<String, f32>,
    /// Panels folded to a strip.
    folded: BTreeSet<String>,
}

/// Beyond every screen; a file that says more was not written by this program.
const MOST: f32 = 8000.0;

impl Edges {
    /// The size a panel was given, if it was.
    pub fn size(&self, panel: &str) -> Option<f32> {
        self.sizes.get(panel).copied().filter(|size| size.is_finite() && (1.0..=MOST).contains(size))
    }

    /// Keeps the size of a panel.
    pub fn set_size(&mut self, panel: &str, size: f32) {
        self.sizes.insert(panel.to_owned(), size.round());
    }

    /// Whether a person folded the panel.
    pub fn folded(&self, panel: &str) -> bool {
        self.folded.contains(panel)
    }

    /// Folds or unfolds a panel.
    pub fn set_folded(&mut self, panel: &str, folded: bool) {
        if folded {
            self.folded.insert(panel.to_owned());
        } else {
            self.folded.remove(panel);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_sizes_of_a_strange_file_are_not_taken() {
        let mut edges = Edges::default();
        for size in [f32::NAN, f32::INFINITY, -1.0, 0.0, 1e9] {
            edges.set_size("inputs", size);
            assert_eq!(edges.size("inputs"), None, "{size}");
        }
        edges.set_size("inputs", 301.4);
        assert_eq!(edges.size("inputs"), Some(301.0));
        edges.set_folded("inputs", true);
        assert!(edges.folded("inputs") && !edges.folded("properties"));
        edges.set_folded("inputs", false);
        assert_eq!(edges.size("inputs"), Some(301.0));
        assert!(!edges.folded("inputs"));
    }
}
