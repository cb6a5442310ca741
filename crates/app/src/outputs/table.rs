//! Everything that is written out beside the project, one row each. Menu, palette, dialogs and command line read this table:
//! whoever adds an output adds its row here and its writer in `writers.rs`.

use super::{
    OutputError,
    kind::Kind,
    pages,
    subject::{Made, Subject},
    writers as w,
};
use crate::files::FileKind;
use egui::{Key, Modifiers};
use std::{
    cmp::Ordering,
    fmt,
    hash::{Hash, Hasher},
    path::Path,
};

/// What belongs together; decides in which menu it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shelf {
    /// A layout: sheet, tables, drawing, figures.
    Layout,
    /// Charts as pictures of their own.
    Pictures,
    /// Cup models and sources.
    Library,
    /// Layouts side by side.
    Comparison,
    /// The project beside an earlier state of it.
    Changes,
    /// The program itself.
    Help,
}

/// What has to be there before anything can be written.
pub(crate) struct Need {
    /// What is missing and what to do, lower case, no full stop.
    pub(crate) says: &'static str,
    /// Whether it is there.
    pub(crate) met: fn(&mut Subject<'_>) -> bool,
}

/// How the command line asks for it.
#[derive(Clone, Copy)]
enum Spelled {
    /// By an option of `export`, without its dashes.
    Export(&'static str),
    /// By another command and its option.
    Other(&'static str),
}

/// One thing that can be written out.
pub(crate) struct Row {
    /// In menu, palette and as the title of its dialog; the ellipsis means that a path is asked for.
    label: &'static str,
    shelf: Shelf,
    keys: Option<(Modifiers, Key)>,
    /// Endings, and what the desktop's dialog calls the files.
    kind: FileKind,
    /// What it holds, for dialogs and `--help`: lower case, no full stop.
    holds: &'static str,
    /// What follows the project's name in the file name that is offered.
    ending: &'static str,
    spelled: Spelled,
    needs: &'static [Need],
    writer: fn(&mut Subject<'_>) -> Option<Made>,
}

const PART: Need =
    Need { says: "there is no part under this layout to draw", met: |subject| subject.part().is_some() };
const MOTION: Need = Need {
    says: "no motion has results yet: add a motion and place cups",
    met: |subject| {
        let motion = subject.motion;
        super::shown_motion(&subject.report(), motion).is_some_and(|motion| motion.outcome.is_ok())
    },
};
const ENVELOPE: Need = Need {
    says: "there is no envelope yet: place cups that hold the part",
    met: |subject| !subject.compared.is_empty() || subject.report().envelope.is_some(),
};
const CIRCUIT: Need = Need {
    says: "no circuit is calculated: lay a source and hoses over the cups first",
    met: |subject| subject.report().circuits.iter().any(|c| c.status == analysis::CircuitStatus::Solved),
};
const COMPARISON: Need = Need {
    says: "compare with another layout first, then it can be written",
    met: |subject| !subject.compared.is_empty(),
};
const BESIDE: Need = Need {
    says: "compare the file with an issued revision or another file first (Review)",
    met: |subject| subject.beside.is_some(),
};
const MODELS: Need =
    Need { says: "the project has no cup model yet", met: |subject| !subject.project.models.is_empty() };
const SOURCES: Need =
    Need { says: "the project has no source yet", met: |subject| !subject.project.sources.is_empty() };

static SHEET_ROW: Row = Row {
    label: "Layout sheet…",
    shelf: Shelf::Layout,
    keys: Some((Modifiers::COMMAND, Key::P)),
    kind: FileKind::Sheet,
    holds: "plan to scale, holes, parts, loads and factors, findings, cautions of the layout as it is now",
    ending: ".pdf",
    spelled: Spelled::Other("sheet -o"),
    needs: &[],
    writer: w::sheet,
};
static FIGURES_ROW: Row = Row {
    label: "Figures as JSON…",
    shelf: Shelf::Layout,
    keys: None,
    kind: FileKind::Json,
    holds: "one JSON object with inputs, figures and findings of every layout (crates/telling/schema/check.schema.json)",
    ending: ".json",
    spelled: Spelled::Other("check --json"),
    needs: &[],
    writer: w::figures,
};
static MODELS_ROW: Row = Row {
    label: "Cup models as CSV…",
    shelf: Shelf::Library,
    keys: None,
    kind: FileKind::Table,
    holds: "one row per model, every cup model of the project; also a template to fill in",
    ending: ".models.csv",
    spelled: Spelled::Export("models"),
    needs: &[MODELS],
    writer: w::models,
};
static SOURCES_ROW: Row = Row {
    label: "Sources as CSV…",
    shelf: Shelf::Library,
    keys: None,
    kind: FileKind::Table,
    holds: "one curve point per row, every source of the project; also a template to fill in",
    ending: ".sources.csv",
    spelled: Spelled::Export("sources"),
    needs: &[SOURCES],
    writer: w::sources,
};
static COMPARISON_ROW: Row = Row {
    label: "Comparison as JSON…",
    shelf: Shelf::Comparison,
    keys: None,
    kind: FileKind::Json,
    holds: "one JSON object with the layouts side by side and which is better (crates/telling/schema/compare.schema.json)",
    ending: ".comparison.json",
    spelled: Spelled::Other("compare --json"),
    needs: &[COMPARISON],
    writer: w::comparison,
};
static COMPARED_ROW: Row = Row {
    label: "Comparison as pages…",
    shelf: Shelf::Comparison,
    keys: None,
    kind: FileKind::Pages,
    holds: "plans side by side at one scale, the table with the better figures marked, envelopes over each other",
    ending: ".comparison.pdf",
    spelled: Spelled::Other("compare -o"),
    needs: &[COMPARISON],
    writer: w::compared,
};
static CHANGES_ROW: Row = Row {
    label: "What changed as pages…",
    shelf: Shelf::Changes,
    keys: None,
    kind: FileKind::Pages,
    holds: "plans with what moved, figures and findings before and after",
    ending: ".changes.pdf",
    spelled: Spelled::Other("diff -o"),
    needs: &[BESIDE],
    writer: w::changes,
};
static DIFFERENCE_ROW: Row = Row {
    label: "What changed as JSON…",
    shelf: Shelf::Changes,
    keys: None,
    kind: FileKind::Json,
    holds: "one JSON object with every change, figures and findings before and after (crates/telling/schema/diff.schema.json)",
    ending: ".changes.json",
    spelled: Spelled::Other("diff --json"),
    needs: &[BESIDE],
    writer: w::difference,
};

static KEYS_ROW: Row = Row {
    label: "Keys and mouse as a page…",
    shelf: Shelf::Help,
    keys: None,
    kind: FileKind::Pages,
    holds: "every shortcut and what the mouse does, on one page to print",
    ending: ".keys.pdf",
    spelled: Spelled::Export("keys"),
    needs: &[],
    writer: w::keys,
};

/// In menu order.
static TABLE: &[&Row] = &[
    &SHEET_ROW,
    &Row {
        label: "Hole table as CSV…",
        shelf: Shelf::Layout,
        keys: None,
        kind: FileKind::Table,
        holds: "one row per cup, millimetres from the datum, decimal point",
        ending: ".csv",
        spelled: Spelled::Export("csv"),
        needs: &[],
        writer: w::holes,
    },
    &Row {
        label: "Parts list as CSV…",
        shelf: Shelf::Layout,
        keys: None,
        kind: FileKind::Table,
        holds: "cups by generic specification, frame with cut lengths, fittings, spares",
        ending: ".parts.csv",
        spelled: Spelled::Export("parts"),
        needs: &[],
        writer: w::parts,
    },
    &Row {
        label: "Hose schedule as CSV…",
        shelf: Shelf::Layout,
        keys: None,
        kind: FileKind::Table,
        holds: "bore, cut length and fittings of every hose of the calculated circuits",
        ending: ".hoses.csv",
        spelled: Spelled::Export("hoses"),
        needs: &[],
        writer: w::hoses,
    },
    &Row {
        label: "Findings as CSV…",
        shelf: Shelf::Layout,
        keys: None,
        kind: FileKind::Table,
        holds: "what, where, figure, limit and remedy, one row per finding, with the reason where it is accepted",
        ending: ".findings.csv",
        spelled: Spelled::Export("findings"),
        needs: &[],
        writer: w::findings,
    },
    &Row {
        label: "Layout as DXF…",
        shelf: Shelf::Layout,
        keys: None,
        kind: FileKind::Dxf,
        holds: "millimetres, seen from the robot side: part, holes, keep-outs, lips, bores, centres, zones and frame on layers of their own",
        // The drawing that the part came from often lies beside the project under that very name.
        ending: "-layout.dxf",
        spelled: Spelled::Export("dxf"),
        needs: &[PART],
        writer: w::drawing,
    },
    &FIGURES_ROW,
    &Row {
        label: "Envelope as picture…",
        shelf: Shelf::Pictures,
        keys: None,
        kind: FileKind::Pages,
        holds: "largest acceleration in every direction; of both layouts where two are compared",
        ending: ".envelope.svg",
        spelled: Spelled::Export("envelope"),
        needs: &[ENVELOPE],
        writer: w::envelope,
    },
    &Row {
        label: "Loads of the motion as picture…",
        shelf: Shelf::Pictures,
        keys: None,
        kind: FileKind::Pages,
        holds: "load and factor of each cup in the motion shown, else in the governing one",
        ending: ".loads.svg",
        spelled: Spelled::Export("loads"),
        needs: &[MOTION],
        writer: w::loads,
    },
    &Row {
        label: "Source against leak as picture…",
        shelf: Shelf::Pictures,
        keys: None,
        kind: FileKind::Pages,
        holds: "source flow and leakage at each level; further circuits get a file each, with a number",
        ending: ".source.svg",
        spelled: Spelled::Export("source-curves"),
        needs: &[CIRCUIT],
        writer: w::source_curves,
    },
    &Row {
        label: "Level at the cups as picture…",
        shelf: Shelf::Pictures,
        keys: None,
        kind: FileKind::Pages,
        holds: "evacuation, with the levels the controls wait for; further circuits get a file each, with a \
            number",
        ending: ".evacuation.svg",
        spelled: Spelled::Export("evacuation"),
        needs: &[CIRCUIT],
        writer: w::evacuation,
    },
    &MODELS_ROW,
    &SOURCES_ROW,
    &COMPARED_ROW,
    &COMPARISON_ROW,
    &CHANGES_ROW,
    &DIFFERENCE_ROW,
    &KEYS_ROW,
];

/// One row of the table of everything that can be written out.
#[derive(Clone, Copy)]
pub struct Output(&'static Row);

impl Output {
    /// The sheet; looked at before it is written.
    pub(crate) const SHEET: Self = Self(&SHEET_ROW);
    /// What `check` prints as JSON.
    pub(crate) const FIGURES: Self = Self(&FIGURES_ROW);
    /// Cup models of the project.
    pub(crate) const MODELS: Self = Self(&MODELS_ROW);
    /// Sources of the project.
    pub(crate) const SOURCES: Self = Self(&SOURCES_ROW);
    /// What `compare` writes.
    pub(crate) const COMPARED: Self = Self(&COMPARED_ROW);
    /// What `compare` prints as JSON.
    pub(crate) const COMPARISON: Self = Self(&COMPARISON_ROW);
    /// What `diff` writes.
    pub(crate) const CHANGES: Self = Self(&CHANGES_ROW);
    /// What `diff` prints as JSON.
    pub(crate) const DIFFERENCE: Self = Self(&DIFFERENCE_ROW);

    /// Every shortcut on a page.
    pub(crate) const KEYS: Self = Self(&KEYS_ROW);

    /// In menu order.
    pub fn all() -> impl Iterator<Item = Self> {
        TABLE.iter().map(|row| Self(row))
    }

    /// Those that belong together.
    pub(crate) fn of(shelf: Shelf) -> impl Iterator<Item = Self> {
        Self::all().filter(move |output| output.0.shelf == shelf)
    }

    /// As menu and palette have it, with an ellipsis.
    pub fn label(self) -> &'static str {
        self.0.label
    }

    /// As the title of a dialog.
    pub(crate) fn title(self) -> &'static str {
        self.0.label.trim_end_matches('…')
    }

    /// The command and option that give it, "export --csv".
    pub fn spelled(self) -> String {
        match self.0.spelled {
            Spelled::Export(option) => format!("export --{option}"),
            Spelled::Other(words) => words.to_owned(),
        }
    }

    /// The option of `export` that gives it, where it is one.
    pub(crate) fn flag(self) -> Option<&'static str> {
        match self.0.spelled {
            Spelled::Export(option) => Some(option),
            Spelled::Other(_) => None,
        }
    }

    /// Endings that its files may have, without the dot; the first is as good as any.
    pub fn endings(self) -> &'static [&'static str] {
        self.0.kind.extensions()
    }

    pub(crate) fn kind(self) -> FileKind {
        self.0.kind
    }

    pub(crate) fn keys(self) -> Option<(Modifiers, Key)> {
        self.0.keys
    }

    /// What follows the project's name in the file name that is offered.
    pub(crate) fn ending(self) -> &'static str {
        self.0.ending
    }

    /// What it holds, lower case, no full stop.
    pub(crate) fn holds(self) -> &'static str {
        self.0.holds
    }

    /// For `--help`: name, contents, and that the ending decides where it does.
    pub(crate) fn help(self) -> String {
        let endings = self.0.kind.decides().map_or_else(String::new, |endings| format!("; {endings}"));
        format!("{}: {}{endings}", self.title(), self.0.holds)
    }

    /// What is missing before it can be written, and what to do; lower case, no full stop.
    pub(crate) fn missing(self, subject: &mut Subject<'_>) -> Option<&'static str> {
        self.0.needs.iter().find(|need| !(need.met)(subject)).map(|need| need.says)
    }

    /// What is to be written.
    ///
    /// # Errors
    /// [`OutputError::Missing`] with what there has to be first.
    pub(crate) fn make(self, subject: &mut Subject<'_>) -> Result<Made, OutputError> {
        match self.missing(subject) {
            Some(says) => Err(OutputError::Missing(says)),
            None => (self.0.writer)(subject).ok_or(OutputError::Missing("there are no results to draw yet")),
        }
    }

    /// What a file of this name would hold.
    ///
    /// # Errors
    /// [`OutputError::Ending`] where the ending decides and says nothing.
    pub(crate) fn kind_at(self, path: &Path) -> Result<Kind, OutputError> {
        pages::kind_at(self.0.kind, path)
    }

    fn order(self) -> usize {
        TABLE.iter().position(|row| std::ptr::eq(*row, self.0)).unwrap_or(usize::MAX)
    }
}

impl fmt::Debug for Output {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.title())
    }
}

impl PartialEq for Output {
    fn eq(&self, other: &Self) -> bool {
        self.order() == other.order()
    }
}

impl Eq for Output {}

impl PartialOrd for Output {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Output {
    fn cmp(&self, other: &Self) -> Ordering {
        self.order().cmp(&other.order())
    }
}

impl Hash for Output {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.order().hash(state);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn names_options_and_file_names_are_told_apart() {
        let all: Vec<Output> = Output::all().collect();
        let texts: [fn(Output) -> String; 3] =
            [|o| o.label().to_owned(), Output::spelled, |o| o.ending().to_owned()];
        for text in texts {
            assert_eq!(all.iter().map(|o| text(*o)).collect::<HashSet<_>>().len(), all.len());
        }
        for output in all {
            let ending = Path::new("x").with_file_name(format!("x{}", output.ending()));
            let ending = ending.extension().unwrap().to_str().unwrap();
            assert!(
                output.endings().contains(&ending),
                "{output:?} offers a file name that its dialog hides"
            );
            assert!(!output.holds().ends_with('.') && output.label().ends_with('…'), "{output:?}");
        }
    }
}
