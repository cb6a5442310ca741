//! What is told of a drawing, with what it has in common with its like; each sentence that has like ones is written here.

use units::{UnitChoice, Worded};

/// Why things were left out that are told together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Alike {
    /// It draws no outline.
    NoOutline,
    /// Its layer's name says that it carries something else.
    ByName,
    /// Its layer is not among those asked for.
    NotAskedFor,
    /// Its line type says that it is no edge.
    ByLineType,
    /// A line that belongs to no outline.
    OpenLine,
}

impl Alike {
    /// All of a kind in one sentence, to be followed by a colon and the kinds.
    pub(crate) fn says(self) -> &'static str {
        match self {
            Self::NoOutline => "left out, as it draws no outline",
            Self::ByName => "left out by what their names say",
            Self::NotAskedFor => "left out, as they were not asked for",
            Self::ByLineType => "left out by the way they are drawn",
            Self::OpenLine => "lines that belong to no outline left out",
        }
    }
}

/// What was done or found, as a sentence without a full stop.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    says: Worded,
    /// What it is told with, and what tells it from its like.
    alike: Option<(Alike, Worded)>,
}

impl Told {
    /// Something that draws nothing, as a text or a dimension.
    pub(crate) fn no_outline(what: &str) -> Self {
        Self::of(format!("{what} left out: it draws no outline"), Alike::NoOutline, what)
    }

    /// A layer or group whose name says that it carries something else.
    pub(crate) fn by_name(layer: &str, carries: &str) -> Self {
        let says = format!(
            "{layer} left out: it seems to carry {carries}, not the outline; ask for it by name to read it"
        );
        Self::of(says, Alike::ByName, format!("{layer} ({carries})"))
    }

    /// A layer or group beside those asked for.
    pub(crate) fn not_asked_for(layer: &str) -> Self {
        Self::of(format!("{layer} left out: not among the layers asked for"), Alike::NotAskedFor, layer)
    }

    /// A line of another type than edges have.
    pub(crate) fn by_line_type(what: &str, line: &str) -> Self {
        let says = format!("{what} left out: drawn as a {line}; ask for dashed lines as well to read it");
        Self::of(says, Alike::ByLineType, format!("{what} as {line}"))
    }

    /// A line or several in a row, from one open end to the other.
    pub(crate) fn open_line(what: &str, branches: bool, ends: [Worded; 2]) -> Self {
        let why = if branches { "branches off and is not part of the outline" } else { "does not close" };
        let [from, to] = ends;
        let between = Worded::new("{} and {}", [from.into(), to.into()]);
        let says = Worded::from(format!("{what} left out: it {why}, open ends at ")).and(between.clone());
        Self { says, alike: Some((Alike::OpenLine, between)) }
    }

    fn of(says: String, alike: Alike, apart: impl Into<Worded>) -> Self {
        Self { says: says.into(), alike: Some((alike, apart.into())) }
    }

    /// The sentence in the units picked.
    #[must_use]
    pub fn says(&self, units: &UnitChoice) -> String {
        self.says.says(units)
    }

    /// The sentence whose figures get their units when it is read.
    pub(crate) fn worded(&self) -> &Worded {
        &self.says
    }

    /// What it is told with.
    #[must_use]
    pub fn alike(&self) -> Option<Alike> {
        self.alike.as_ref().map(|(alike, _)| *alike)
    }

    /// What tells it from its like, of so many.
    pub(crate) fn apart(&self, count: usize, units: &UnitChoice) -> Option<String> {
        let (alike, apart) = self.alike.as_ref()?;
        let apart = apart.says(units);
        // Layers are told by their names, lines by their ends.
        Some(match alike {
            Alike::NoOutline | Alike::ByLineType => format!("{count} {apart}"),
            Alike::ByName | Alike::NotAskedFor | Alike::OpenLine => apart,
        })
    }
}

/// In millimetres.
impl std::fmt::Display for Told {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.says.fmt(f)
    }
}

impl<S: Into<Worded>> From<S> for Told {
    fn from(says: S) -> Self {
        Self { says: says.into(), alike: None }
    }
}
