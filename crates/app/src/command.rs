//! Everything a person can do by name: one list feeds the menu, the palette and the shortcuts.

use crate::outputs::{Output, Shelf};
use egui::{Key, KeyboardShortcut, Modifiers};
use std::sync::LazyLock;

/// One action with a name; what each does is its label below.
#[expect(missing_docs, reason = "the labels in the table say it, once")]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Command {
    NewProject,
    Open,
    OpenDemo,
    LeftWork,
    Save,
    SaveAs,
    ImportDrawing,
    /// Write one of the outputs.
    Write(Output),
    Quit,
    Undo,
    Redo,
    SelectAll,
    SelectNone,
    SelectNext,
    SelectPrevious,
    Duplicate,
    Delete,
    Lock,
    MirrorAcrossVertical,
    MirrorAcrossHorizontal,
    ArrayRows,
    ArrayRing,
    AlignX,
    AlignY,
    SpaceX,
    SpaceY,
    CupLibrary,
    Sources,
    Propose,
    MoreCups,
    CopyLayout,
    NewLayout,
    RenameLayout,
    RemoveLayout,
    LayoutLeft,
    LayoutRight,
    NextLayout,
    NextSeat,
    PreviousSeat,
    AllSeats,
    OtherHand,
    Compare,
    ReviewFile,
    Review,
    SetBeside,
    NextChange,
    PreviousChange,
    RemarkHere,
    RemarkPlace,
    Decide,
    IssueRevision,
    EditReviewed,
    ToolSelect,
    ToolPlace,
    SketchOutline,
    SketchHole,
    SketchKeepOut,
    /// Many holes from a table.
    HoleTable,
    EditOutline,
    Datum,
    Stops,
    Trace,
    ZoomIn,
    ZoomOut,
    ZoomFit,
    ZoomSelection,
    ToggleGrid,
    ToggleSnap,
    ToggleLoads,
    ShowCircuit,
    ShowBending,
    PlayBending,
    SectionBending,
    PlanAlone,
    ToggleTheme,
    LargerText,
    SmallerText,
    Units,
    GridStep,
    SheetFields,
    Rules,
    Trial,
    Palette,
    Guide,
    /// Shortcuts and what the mouse does.
    Keys,
    Messages,
    About,
}

/// Where a command stands in the menu.
#[expect(missing_docs, reason = "the labels below say it, once")]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    File,
    HandOver,
    Edit,
    Cups,
    Arrange,
    Circuits,
    Layouts,
    Review,
    Part,
    Plan,
    Window,
    Project,
    Help,
}

impl Group {
    /// In menu order.
    pub const ALL: [Self; 13] = [
        Self::File,
        Self::HandOver,
        Self::Edit,
        Self::Part,
        Self::Cups,
        Self::Arrange,
        Self::Circuits,
        Self::Layouts,
        Self::Review,
        Self::Plan,
        Self::Window,
        Self::Project,
        Self::Help,
    ];

    /// Menu heading.
    pub fn label(self) -> &'static str {
        match self {
            Self::File => "File",
            Self::HandOver => "Export",
            Self::Arrange => "Arrange",
            Self::Circuits => "Circuits",
            Self::Project => "Project",
            Self::Window => "Window",
            Self::Edit => "Edit",
            Self::Cups => "Cups",
            Self::Layouts => "Layouts",
            Self::Review => "Review",
            Self::Part => "Part",
            Self::Plan => "Plan",
            Self::Help => "Help",
        }
    }
}

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers =
    Modifiers { alt: false, ctrl: false, shift: true, mac_cmd: false, command: true };

use Command as C;
use Group as G;

/// Command, group, label, shortcut.
type Row = (Command, Group, &'static str, Option<(Modifiers, Key)>);

/// The order is the menu's; the outputs come from their own table and stand behind these.
const OUTPUTS_BEHIND: &[(Command, Group, &[Shelf])] = &[
    (C::Quit, G::HandOver, &[Shelf::Layout, Shelf::Pictures]),
    (C::CupLibrary, G::Cups, &[Shelf::Library]),
    (C::Compare, G::Layouts, &[Shelf::Comparison]),
    (C::EditReviewed, G::Review, &[Shelf::Changes]),
    (C::Keys, G::Help, &[Shelf::Help]),
];
/// A line in the menu stands before each of these.
const APART: &[Command] = &[
    C::SketchOutline,
    C::Save,
    C::ImportDrawing,
    C::Quit,
    C::SelectAll,
    C::Duplicate,
    C::ArrayRows,
    C::AlignX,
    C::NextLayout,
    C::SetBeside,
    C::RemarkHere,
    C::EditReviewed,
    C::EditOutline,
    C::ZoomIn,
    C::ToggleGrid,
];

const FIXED: &[Row] = &[
    (C::NewProject, G::File, "New project…", Some((CTRL, Key::N))),
    (C::Open, G::File, "Open…", Some((CTRL, Key::O))),
    (C::OpenDemo, G::File, "Open a demo…", None),
    (C::LeftWork, G::File, "Recover unsaved work…", None),
    (C::Save, G::File, "Save", Some((CTRL, Key::S))),
    (C::SaveAs, G::File, "Save as…", Some((CTRL_SHIFT, Key::S))),
    (C::ImportDrawing, G::File, "Import drawing…", Some((CTRL, Key::I))),
    (C::Quit, G::File, "Quit", Some((CTRL, Key::Q))),
    (C::Undo, G::Edit, "Undo", Some((CTRL, Key::Z))),
    (C::Redo, G::Edit, "Redo", Some((CTRL_SHIFT, Key::Z))),
    (C::SelectAll, G::Edit, "Select all cups", Some((CTRL, Key::A))),
    (C::SelectNone, G::Edit, "Select nothing", Some((CTRL_SHIFT, Key::A))),
    (C::SelectNext, G::Edit, "Next cup", Some((Modifiers::NONE, Key::N))),
    (C::SelectPrevious, G::Edit, "Previous cup", Some((Modifiers::NONE, Key::P))),
    (C::Duplicate, G::Edit, "Duplicate", Some((CTRL, Key::D))),
    (C::Delete, G::Edit, "Delete", Some((Modifiers::NONE, Key::Delete))),
    (C::ToolPlace, G::Cups, "Place cups", Some((Modifiers::NONE, Key::C))),
    (C::CupLibrary, G::Cups, "Cup models…", Some((CTRL, Key::L))),
    (C::Sources, G::Circuits, "Sources…", None),
    (C::Lock, G::Cups, "Lock or unlock", Some((Modifiers::NONE, Key::L))),
    (C::MirrorAcrossVertical, G::Arrange, "Mirror left to right", Some((Modifiers::NONE, Key::M))),
    (C::MirrorAcrossHorizontal, G::Arrange, "Mirror top to bottom", Some((Modifiers::SHIFT, Key::M))),
    (C::ArrayRows, G::Arrange, "Repeat in rows…", Some((Modifiers::NONE, Key::R))),
    (C::ArrayRing, G::Arrange, "Repeat on a ring…", Some((Modifiers::SHIFT, Key::R))),
    (C::AlignX, G::Arrange, "Align in a column", Some((Modifiers::NONE, Key::X))),
    (C::AlignY, G::Arrange, "Align in a row", Some((Modifiers::NONE, Key::Y))),
    (C::SpaceX, G::Arrange, "Space evenly along X", Some((Modifiers::SHIFT, Key::X))),
    (C::SpaceY, G::Arrange, "Space evenly along Y", Some((Modifiers::SHIFT, Key::Y))),
    (C::Propose, G::Layouts, "Propose a layout", Some((CTRL_SHIFT, Key::P))),
    (C::CopyLayout, G::Layouts, "Copy this layout", Some((CTRL_SHIFT, Key::D))),
    (C::NewLayout, G::Layouts, "New empty layout", None),
    (C::RenameLayout, G::Layouts, "Rename this layout…", Some((Modifiers::NONE, Key::F2))),
    (C::RemoveLayout, G::Layouts, "Remove this layout", None),
    (C::LayoutLeft, G::Layouts, "Move layout left", None),
    (C::LayoutRight, G::Layouts, "Move layout right", None),
    (C::NextLayout, G::Layouts, "Next layout", Some((CTRL, Key::Tab))),
    (C::Compare, G::Layouts, "Compare with another layout", Some((CTRL, Key::E))),
    (C::ReviewFile, G::Review, "Review a file…", Some((CTRL_SHIFT, Key::O))),
    (C::Review, G::Review, "Review this file, or end the review", Some((CTRL, Key::R))),
    (C::SetBeside, G::Review, "Compare with another file…", None),
    (C::NextChange, G::Review, "Next change", Some((Modifiers::NONE, Key::Period))),
    (C::PreviousChange, G::Review, "Previous change", Some((Modifiers::NONE, Key::Comma))),
    (C::RemarkHere, G::Review, "Remark on the selection…", Some((CTRL, Key::M))),
    (C::RemarkPlace, G::Review, "Remark on a point of the plan", Some((CTRL_SHIFT, Key::M))),
    (C::Decide, G::Review, "Approve or send back…", None),
    (C::EditReviewed, G::Review, "Edit the file under review", None),
    (C::IssueRevision, G::Review, "Issue a revision…", None),
    (C::NextSeat, G::Part, "Show the next part on the tool", Some((Modifiers::NONE, Key::CloseBracket))),
    (C::PreviousSeat, G::Part, "Show the part before", Some((Modifiers::NONE, Key::OpenBracket))),
    (C::AllSeats, G::Part, "Show all parts on the tool", None),
    (C::OtherHand, G::Part, "Carry the other hand too", None),
    (C::SketchOutline, G::Part, "Sketch an outline", None),
    (C::SketchHole, G::Part, "Sketch a hole", Some((Modifiers::NONE, Key::H))),
    (C::SketchKeepOut, G::Part, "Sketch a keep-out", Some((Modifiers::NONE, Key::K))),
    (C::HoleTable, G::Part, "Holes from a table…", None),
    (C::EditOutline, G::Part, "Drag corners and edges", Some((Modifiers::NONE, Key::E))),
    (C::Datum, G::Part, "Choose the datum…", None),
    (C::Stops, G::Part, "Place the part by three stops…", None),
    (C::Trace, G::Part, "Picture to trace…", None),
    (C::ToolSelect, G::Plan, "Select and move", Some((Modifiers::NONE, Key::V))),
    (C::ZoomIn, G::Plan, "Zoom in", Some((CTRL, Key::Plus))),
    (C::ZoomOut, G::Plan, "Zoom out", Some((CTRL, Key::Minus))),
    (C::ZoomFit, G::Plan, "Zoom to the part", Some((Modifiers::NONE, Key::F))),
    (C::ZoomSelection, G::Plan, "Zoom to the selection", Some((Modifiers::SHIFT, Key::F))),
    (C::ToggleGrid, G::Plan, "Show the grid", Some((Modifiers::NONE, Key::G))),
    (C::ToggleSnap, G::Plan, "Snap to grid and cups", Some((Modifiers::NONE, Key::S))),
    (C::ToggleLoads, G::Plan, "Show loads on cups", Some((Modifiers::NONE, Key::W))),
    (C::MoreCups, G::Plan, "Show the best place for one more cup", None),
    (C::ShowCircuit, G::Circuits, "Show the vacuum circuit", Some((Modifiers::NONE, Key::U))),
    (C::ShowBending, G::Plan, "Show how the part bends", Some((Modifiers::NONE, Key::B))),
    (C::PlayBending, G::Plan, "Play the ringing of the part", Some((Modifiers::SHIFT, Key::B))),
    (C::SectionBending, G::Plan, "Section through the bending part", None),
    (C::PlanAlone, G::Window, "Show only the plan", Some((Modifiers::NONE, Key::F11))),
    (C::ToggleTheme, G::Window, "Light or dark", Some((CTRL_SHIFT, Key::L))),
    (C::LargerText, G::Window, "Larger text", None),
    (C::SmallerText, G::Window, "Smaller text", None),
    (C::Units, G::Project, "Units…", Some((CTRL, Key::U))),
    (C::GridStep, G::Project, "Grid step…", None),
    (C::SheetFields, G::Project, "Title block…", None),
    (C::Rules, G::Project, "Finding limits…", None),
    (C::Trial, G::Project, "Measurements…", None),
    (C::Palette, G::Help, "Find a command…", Some((CTRL, Key::K))),
    (C::Guide, G::Help, "First steps", Some((Modifiers::NONE, Key::F1))),
    (C::Keys, G::Help, "Keys and mouse", Some((Modifiers::NONE, Key::Questionmark))),
    (C::Messages, G::Help, "Message log", None),
    (C::About, G::Help, "About and cautions", None),
];

static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| {
    let mut rows = Vec::new();
    for row in FIXED {
        rows.push(*row);
        for (_, group, shelves) in OUTPUTS_BEHIND.iter().filter(|(command, ..)| *command == row.0) {
            let outputs = shelves.iter().flat_map(|shelf| Output::of(*shelf));
            rows.extend(outputs.map(|output| (C::Write(output), *group, output.label(), output.keys())));
        }
    }
    rows
});

impl Command {
    /// In menu order.
    pub fn all() -> impl Iterator<Item = Self> {
        TABLE.iter().map(|row| row.0)
    }

    /// The commands of one menu group.
    pub fn of(group: Group) -> impl Iterator<Item = Self> {
        TABLE.iter().filter(move |row| row.1 == group).map(|row| row.0)
    }

    fn row(self) -> &'static Row {
        // Every command is to have its row; one without would show as the first.
        TABLE.iter().find(|row| row.0 == self).unwrap_or(&TABLE[0])
    }

    /// Sentence case; an ellipsis means that a dialog follows.
    pub fn label(self) -> &'static str {
        self.row().2
    }

    /// Where it stands in the menu.
    pub fn group(self) -> Group {
        self.row().1
    }

    /// Whether a line stands before it in the menu.
    pub fn is_apart(self) -> bool {
        APART.contains(&self)
    }

    /// All that are called so, in their name, their group or what else people say; those whose name it is come first.
    pub fn found(query: &str) -> Vec<Self> {
        let query = query.trim().to_lowercase();
        let words: Vec<&str> = query.split_whitespace().collect();
        /// Typed but for so many last letters: "source" is "Sources" before "Source against leak".
        const ENDING: usize = 2;
        let rank = |command: &Self| {
            let label = command.label().to_lowercase();
            let label = label.trim_end_matches('…');
            let all = |name: &str| words.iter().all(|word| name.contains(word));
            let begins = label.starts_with(&query);
            if label == query {
                0
            } else if begins && label.len() <= query.len() + ENDING {
                1
            } else if begins {
                2
            } else if all(label) {
                3
            } else {
                4
            }
        };
        let mut found: Vec<Self> = Self::all().filter(|command| command.is_called(&words)).collect();
        if !words.is_empty() {
            found.sort_by_key(rank);
        }
        found
    }

    fn is_called(self, words: &[&str]) -> bool {
        let names = [self.label(), self.group().label(), self.also()].map(str::to_lowercase);
        words.iter().all(|word| names.iter().any(|name| name.contains(word)))
    }

    /// What else people call it.
    fn also(self) -> &'static str {
        match self {
            C::Propose | C::MoreCups => {
                "map weak spot add suggest optimise automatic place generate best fewest how many which cups search"
            }
            C::ArrayRows => "array pattern grid linear copy matrix",
            C::ArrayRing => "array circular polar pattern bolt circle",
            C::MirrorAcrossVertical | C::MirrorAcrossHorizontal => "flip symmetry",
            C::SpaceX | C::SpaceY => "distribute pitch",
            C::Units => "inch metric millimetre psi inhg pounds weight language decimal",
            C::ToggleTheme => "dark night bright colours theme",
            C::LargerText | C::SmallerText => "font size zoom scale",
            C::Trial => "trial commissioning service pick test recorded",
            C::CupLibrary => "suction cups catalogue library pads bellows",
            C::Sources => "pump ejector blower generator vacuum library",
            C::ShowCircuit => "hoses tubing schematic pneumatic diagram levels",
            C::ToggleLoads => "forces arrows",
            C::ShowBending => "sag deflection flexing contour map sheet",
            C::PlayBending => "vibration mode frequency animation swing",
            C::SectionBending => "profile cut deflection",
            C::ZoomFit => "fit all whole",
            C::PlanAlone => "full screen maximise presentation",
            C::Lock => "pin fix freeze",
            C::CopyLayout => "copy to compare alternative variant duplicate",
            C::Duplicate => "copy paste",
            C::Delete => "remove erase",
            C::Decide => "approve reject sign release",
            C::IssueRevision => "revise release publish version",
            C::SheetFields => "customer drawn by number",
            C::Rules => "settings thresholds preferences options tolerance",
            C::Compare => "alternatives side by side versus",
            C::SetBeside => "difference diff earlier beside",
            C::ImportDrawing => "dxf svg cad load",
            C::OpenDemo => "example sample tutorial",
            C::LeftWork => "recover crash restore autosave journal",
            C::Keys => "shortcuts keyboard hotkeys cheat sheet",
            C::Messages => "log history notices status",
            C::Guide => "help manual start tutorial",
            C::About => "version licence safety",
            C::NextSeat | C::PreviousSeat | C::AllSeats => "seat several parts family turn cups",
            C::Stops => "locate touch pins edges nest seat position",
            C::OtherHand => "mirror left right hand seat second part",
            C::SketchOutline => "draw part shape rectangle circle",
            C::SketchHole => "opening cut-out slot",
            C::Trace => "scan photograph image background png jpeg underlay",
            C::HoleTable => "paste drill pattern list coordinates",
            C::GridStep => "snap spacing raster pitch",
            C::SketchKeepOut => "forbidden zone label weld",
            C::Write(_) => "export save print pdf csv json dxf picture report",
            _ => "",
        }
    }

    /// Keys, if it has any.
    pub fn shortcut(self) -> Option<KeyboardShortcut> {
        self.row().3.map(|(modifiers, key)| KeyboardShortcut::new(modifiers, key))
    }

    /// Shortcut as text, empty without one, as the window's system writes keys.
    pub fn shortcut_text(self, ctx: &egui::Context) -> String {
        signed(self.shortcut().map(|s| ctx.format_shortcut(&s)).unwrap_or_default())
    }

    /// The same in words that every font has, without a window: for a page.
    pub fn shortcut_name(self) -> String {
        let mac = cfg!(target_os = "macos");
        signed(self.shortcut().map(|s| s.format(&egui::ModifierNames::NAMES, mac)).unwrap_or_default())
    }

    /// Commands whose keys were pressed; single letters only while no text is being typed.
    pub fn pressed(ctx: &egui::Context) -> Vec<Self> {
        let typing = ctx.text_edit_focused();
        // In a field that was only entered there is nothing to undo but the project.
        let untouched = crate::fields::untouched(ctx);
        // Longer chords first, so that Ctrl+Shift+Z is not taken as Ctrl+Z.
        let mut rows: Vec<&Row> = TABLE.iter().filter(|row| row.3.is_some()).collect();
        rows.sort_by_key(|row| {
            row.3.map_or(0, |(m, _)| -(i32::from(m.command) + i32::from(m.shift) + i32::from(m.alt)))
        });
        let mut found = Vec::new();
        ctx.input_mut(|input| {
            for (command, _, _, keys) in rows.iter().map(|r| **r) {
                let Some((modifiers, key)) = keys else { continue };
                let plain = !modifiers.command && !modifiers.alt;
                let undoes = matches!(command, C::Undo | C::Redo) && !untouched;
                let edits_text = matches!(command, C::SelectAll | C::SelectNone) || undoes;
                if typing && ((plain && key != Key::F1) || edits_text) {
                    continue;
                }
                if input.consume_shortcut(&KeyboardShortcut::new(modifiers, key)) {
                    found.push(command);
                }
            }
            if (!typing || untouched) && input.consume_shortcut(&KeyboardShortcut::new(CTRL, Key::Y)) {
                found.push(C::Redo);
            }
            if !typing && input.consume_shortcut(&KeyboardShortcut::new(Modifiers::NONE, Key::Backspace)) {
                found.push(C::Delete);
            }
        });
        found
    }
}

/// Keys that bear a sign are called by it.
fn signed(text: String) -> String {
    let signs = [
        ("Questionmark", "?"),
        ("OpenBracket", "["),
        ("CloseBracket", "]"),
        ("Period", "."),
        ("Comma", ","),
        ("Plus", "+"),
        ("Minus", "\u{2212}"),
    ];
    signs.iter().fold(text, |text, (name, sign)| text.replace(name, sign))
}

#[cfg(test)]
mod tests;
