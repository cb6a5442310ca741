//! Papers, and what a person chooses for a sheet.

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Paper {
    /// 297 x 210 mm.
    A4,
    /// 420 x 297 mm.
    #[default]
    A3,
    /// 594 x 420 mm.
    A2,
    /// 841 x 594 mm.
    A1,
    /// 1189 x 841 mm.
    A0,
    /// 11 x 8.5 in.
    Letter,
    /// 17 x 11 in.
    Tabloid,
    /// 22 x 17 in.
    AnsiC,
    /// 34 x 22 in.
    AnsiD,
    /// 44 x 34 in.
    AnsiE,
}

impl Paper {
    /// Every paper, in the order a menu lists them.
    pub const ALL: [Self; 10] = [
        Self::A4,
        Self::A3,
        Self::A2,
        Self::A1,
        Self::A0,
        Self::Letter,
        Self::Tabloid,
        Self::AnsiC,
        Self::AnsiD,
        Self::AnsiE,
    ];

    /// What a menu calls it.
    pub fn label(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A3 => "A3",
            Self::A2 => "A2",
            Self::A1 => "A1",
            Self::A0 => "A0",
            Self::Letter => "Letter",
            Self::Tabloid => "Tabloid",
            Self::AnsiC => "ANSI C",
            Self::AnsiD => "ANSI D",
            Self::AnsiE => "ANSI E",
        }
    }
    /// Width and height of the paper laid across.
    ///
    /// # Units
    /// mm.
    ///
    /// # Source
    /// ISO 216 A sizes; ANSI/ASME Y14.1 sizes A (letter) to E, from memory.
    pub fn size_mm(self) -> [f64; 2] {
        match self {
            Self::A4 => [297.0, 210.0],
            Self::A3 => [420.0, 297.0],
            Self::A2 => [594.0, 420.0],
            Self::A1 => [841.0, 594.0],
            Self::A0 => [1189.0, 841.0],
            Self::Letter => [279.4, 215.9],
            Self::Tabloid => [431.8, 279.4],
            Self::AnsiC => [558.8, 431.8],
            Self::AnsiD => [863.6, 558.8],
            Self::AnsiE => [1117.6, 863.6],
        }
    }
}

/// Which way the paper lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Orientation {
    /// The long side across.
    #[default]
    Landscape,
    /// The long side upright.
    Portrait,
}

impl Orientation {
    /// Both, in the order a menu lists them.
    pub const ALL: [Self; 2] = [Self::Landscape, Self::Portrait];

    /// What a menu calls it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Landscape => "landscape",
            Self::Portrait => "portrait",
        }
    }
}

/// What a person chooses for a sheet. The default is A3 across, in millimetres, seen from the robot side only.
///
/// ```
/// use sheet::{Orientation, Paper, SheetOptions};
/// let options = SheetOptions { paper: Paper::A4, orientation: Orientation::Portrait, ..SheetOptions::default() };
/// assert_eq!(options.size_mm(), [210.0, 297.0]);
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SheetOptions {
    /// Paper to print on.
    pub paper: Paper,
    /// Which way it lies.
    pub orientation: Orientation,
    /// Units of every figure on it.
    pub units: units::UnitChoice,
    /// Whether a second plan follows, mirrored: the tool as it lies on the bench with its lips up.
    pub mirrored: bool,
    /// Whether the reviewer's questions follow at the end, with boxes to tick.
    pub checklist: bool,
}

impl SheetOptions {
    /// Width and height of every page.
    ///
    /// # Units
    /// mm.
    pub fn size_mm(&self) -> [f64; 2] {
        let [long, short] = self.paper.size_mm();
        match self.orientation {
            Orientation::Landscape => [long, short],
            Orientation::Portrait => [short, long],
        }
    }
}
