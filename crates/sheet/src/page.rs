//! What a page is made of: lines, paths with true arcs, and text, in millimetres from the lower left corner.

use glam::DVec2;

/// One page in mm from the lower left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// What it shows, for the document's outline and for a preview: "Plan".
    pub name: String,
    /// Width and height, mm.
    pub size_mm: [f64; 2],
    /// What is drawn, in order: later items lie over earlier ones.
    pub items: Vec<Item>,
}

/// The colours of a sheet. A sheet must also read in black and white, so no tone carries meaning alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tone {
    /// Lines and figures that matter.
    Ink,
    /// Labels, units, notes.
    Second,
    /// Rules between rows, hatching.
    Hairline,
    /// The part's surface.
    Surface,
    /// What does not hold.
    Fail,
    /// What is close to a limit.
    Watch,
    /// The paper itself.
    Paper,
}

impl Tone {
    /// Red, green, blue on paper.
    pub fn rgb(self) -> [u8; 3] {
        match self {
            Self::Ink => [0x1f, 0x2a, 0x33],
            Self::Second => [0x5b, 0x67, 0x70],
            Self::Hairline => [0xb4, 0xbb, 0xc0],
            Self::Surface => [0xf8, 0xf5, 0xee],
            Self::Fail => [0xb3, 0x47, 0x00],
            Self::Watch => [0x8a, 0x5a, 0x00],
            Self::Paper => [0xff, 0xff, 0xff],
        }
    }
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Ink => "ink",
            Self::Second => "second",
            Self::Hairline => "hairline",
            Self::Surface => "surface",
            Self::Fail => "fail",
            Self::Watch => "watch",
            Self::Paper => "paper",
        }
    }
}

/// Line types, after the habits of ISO 128.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dash {
    /// Unbroken.
    Solid,
    /// Short dashes: the sealing line.
    Dashed,
    /// Long dash, dot: centre marks.
    Chain,
    /// Heavy short dashes: a lip that hangs over.
    Overhang,
}

impl Dash {
    /// Lengths of dashes and gaps, mm; empty when unbroken.
    pub fn pattern(self) -> &'static [f64] {
        match self {
            Self::Solid => &[],
            Self::Dashed => &[1.0, 0.6],
            Self::Chain => &[2.4, 0.6, 0.4, 0.6],
            Self::Overhang => &[1.4, 0.8],
        }
    }
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Solid => "solid",
            Self::Dashed => "dashed",
            Self::Chain => "chain",
            Self::Overhang => "overhang",
        }
    }
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Line width, mm.
    pub width: f64,
    /// Line type.
    pub dash: Dash,
    /// Colour.
    pub tone: Tone,
}

impl Pen {
    /// An unbroken line, width in mm.
    pub const fn solid(width: f64, tone: Tone) -> Self {
        Self { width, dash: Dash::Solid, tone }
    }
}

/// One step of a [`Contour`] from where it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// Straight to a point.
    Line(DVec2),
    /// Along a true arc; angles in radians, `sweep` positive counter-clockwise.
    Arc {
        /// Centre of the arc.
        centre: DVec2,
        /// Radius, mm.
        radius: f64,
        /// Angle at the start.
        start: f64,
        /// Angle turned through.
        sweep: f64,
    },
}

/// A line of straight pieces and true arcs.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// Where it starts.
    pub from: DVec2,
    /// Its pieces in order.
    pub steps: Vec<Step>,
    /// Whether the end joins the start.
    pub closed: bool,
}

impl Contour {
    /// A closed rectangle between two corners.
    pub fn rectangle(min: DVec2, max: DVec2) -> Self {
        let steps =
            vec![Step::Line(DVec2::new(max.x, min.y)), Step::Line(max), Step::Line(DVec2::new(min.x, max.y))];
        Self { from: min, steps, closed: true }
    }
    fn shifted(&self, by: DVec2) -> Self {
        let steps = self.steps.iter().map(|step| match *step {
            Step::Line(to) => Step::Line(to + by),
            Step::Arc { centre, radius, start, sweep } => {
                Step::Arc { centre: centre + by, radius, start, sweep }
            }
        });
        Self { from: self.from + by, steps: steps.collect(), closed: self.closed }
    }
}

/// The cuts of the one family on the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Weight {
    /// Upright text.
    Regular,
    /// Headings, tags and the figures that count.
    SemiBold,
    /// Notes.
    Italic,
}

/// Which end of a text stands at its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Anchor {
    /// The text starts there.
    Start,
    /// The text is centred there.
    Middle,
    /// The text ends there.
    End,
}

/// One line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// A point on the baseline.
    pub at: DVec2,
    /// What it says.
    pub text: String,
    /// Size of the letter's em, mm.
    pub size: f64,
    /// Cut.
    pub weight: Weight,
    /// Colour.
    pub tone: Tone,
    /// Which end stands at `at`.
    pub anchor: Anchor,
    /// Degrees counter-clockwise.
    pub turn_deg: f64,
}

/// What items are in the order of reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// Of the whole.
    Title,
    /// Over a section.
    Heading,
    /// A sentence or several.
    Paragraph,
    /// The word before a sentence: "fails".
    Label,
    /// A row of a table; holds cells.
    Row,
    /// The head of a column.
    Head,
    /// A cell of a table.
    Cell,
    /// A drawing; its tag says in words what it shows.
    Figure,
}

/// What items on a page are and say; the same for a screen reader as for a page of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Tag {
    /// What they are.
    pub role: Role,
    /// What they say in full, however it was broken into lines or cut.
    pub says: String,
    /// Colour of the text.
    pub tone: Tone,
    /// Cut of the text.
    pub weight: Weight,
    /// A figure, which stands at the right of its column.
    pub figure: bool,
    /// The head of a column to be filled in by hand.
    pub by_hand: bool,
}

impl Tag {
    /// A tag in plain ink.
    pub fn new(role: Role, says: impl Into<String>) -> Self {
        Self {
            role,
            says: says.into(),
            tone: Tone::Ink,
            weight: Weight::Regular,
            figure: false,
            by_hand: false,
        }
    }
    /// These items with this tag.
    pub fn over(self, items: Vec<Item>) -> Item {
        Item::Tagged { tag: self, items }
    }
}

/// Something drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A straight line.
    Line {
        /// One end.
        from: DVec2,
        /// The other end.
        to: DVec2,
        /// How it is drawn.
        pen: Pen,
    },
    /// Straight pieces through points.
    Polyline {
        /// The points in order.
        points: Vec<DVec2>,
        /// Whether the last joins the first.
        closed: bool,
        /// How it is drawn.
        pen: Pen,
    },
    /// Contours drawn and filled together (even-odd, so that a contour inside another is a hole).
    Path {
        /// The contours.
        contours: Vec<Contour>,
        /// The line along them.
        pen: Option<Pen>,
        /// The surface between them.
        fill: Option<Tone>,
    },
    /// A full circle.
    Circle {
        /// Its centre.
        centre: DVec2,
        /// Its radius, mm.
        radius: f64,
        /// The line around it.
        pen: Option<Pen>,
        /// The surface inside it.
        fill: Option<Tone>,
    },
    /// A piece of a circle; angles in radians, `sweep` positive counter-clockwise.
    Arc {
        /// Centre.
        centre: DVec2,
        /// Radius, mm.
        radius: f64,
        /// Angle at the start.
        start: f64,
        /// Angle turned through.
        sweep: f64,
        /// How it is drawn.
        pen: Pen,
    },
    /// One line of text.
    Text(Text),
    /// Items that belong together, shown only inside `clip` when there is one.
    Group {
        /// A name for readers and for the SVG.
        name: String,
        /// Where they show.
        clip: Option<Vec<Contour>>,
        /// The items.
        items: Vec<Item>,
    },
    /// Items with what they are for someone who does not see them; drawn as they are.
    Tagged {
        /// What they are, and what they say in full.
        tag: Tag,
        /// The items.
        items: Vec<Item>,
    },
    /// A place that the document's outline jumps to.
    Bookmark {
        /// Its name in the outline.
        title: String,
        /// The place.
        at: DVec2,
    },
}

impl Item {
    /// The same item moved by mm.
    pub fn shifted(&self, by: DVec2) -> Self {
        match self {
            Self::Line { from, to, pen } => Self::Line { from: *from + by, to: *to + by, pen: *pen },
            Self::Polyline { points, closed, pen } => Self::Polyline {
                points: points.iter().map(|p| *p + by).collect(),
                closed: *closed,
                pen: *pen,
            },
            Self::Path { contours, pen, fill } => Self::Path {
                contours: contours.iter().map(|c| c.shifted(by)).collect(),
                pen: *pen,
                fill: *fill,
            },
            Self::Circle { centre, radius, pen, fill } => {
                Self::Circle { centre: *centre + by, radius: *radius, pen: *pen, fill: *fill }
            }
            Self::Arc { centre, radius, start, sweep, pen } => {
                Self::Arc { centre: *centre + by, radius: *radius, start: *start, sweep: *sweep, pen: *pen }
            }
            Self::Text(text) => Self::Text(Text { at: text.at + by, ..text.clone() }),
            Self::Group { name, clip, items } => Self::Group {
                name: name.clone(),
                clip: clip.as_ref().map(|clip| clip.iter().map(|c| c.shifted(by)).collect()),
                items: items.iter().map(|item| item.shifted(by)).collect(),
            },
            Self::Tagged { tag, items } => {
                Self::Tagged { tag: tag.clone(), items: items.iter().map(|item| item.shifted(by)).collect() }
            }
            Self::Bookmark { title, at } => Self::Bookmark { title: title.clone(), at: *at + by },
        }
    }
}

impl Page {
    /// Every text of the page, groups included, in drawing order.
    pub fn texts(&self) -> Vec<&Text> {
        fn collect<'a>(items: &'a [Item], into: &mut Vec<&'a Text>) {
            for item in items {
                match item {
                    Item::Text(text) => into.push(text),
                    Item::Group { items, .. } | Item::Tagged { items, .. } => collect(items, into),
                    _ => {}
                }
            }
        }
        let mut texts = Vec::new();
        collect(&self.items, &mut texts);
        texts
    }
}
