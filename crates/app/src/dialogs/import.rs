//! Import of a drawing: what was read, what was mended or skipped, the unit, and what becomes of it.

use super::{
    Effect, Pending, buttons,
    import_messages::{Asked, messages_ui},
    import_options,
    import_picture::{self, PictureState, picture_ui},
    reading::{Reading, reading_ui},
    title,
};
use crate::{fields, theme::Size, view::View};
use egui::{RichText, Ui};
use exchange::{Drawing, ImportError, ImportOptions, Instead, Message, Watch};
use std::{path::PathBuf, sync::Arc};
use units::{Quantity, UnitChoice};

/// The drawing as read with the present options.
#[derive(Debug, Clone)]
pub struct ImportForm {
    path: PathBuf,
    /// How it is read.
    options: ImportOptions,
    read: Read,
    /// Set while the file is read on another thread.
    reading: Option<Reading<Read>>,
    /// Choices and drawing before the last change, for when nothing is left with it.
    before: Option<(ImportOptions, Read)>,
    /// Why the last change was not taken.
    refused: Option<Unread>,
    picture: PictureState,
    /// What is told of the drawing in these units, and whether all of it is shown.
    told: Option<(UnitChoice, Arc<Vec<Message>>)>,
    all_told: bool,
    part: usize,
    /// Whether all parts of the drawing go into the new project.
    all: bool,
    /// Whether an outline that was only moved is put back under the cups.
    put_back: bool,
    /// What replacing the outline would do to the cups, for the part chosen.
    moved: Option<(usize, Found<exchange::Reimport>)>,
    /// Bytes that a new project comes to where no file may hold them, for the part chosen, alone or with all others.
    size: Option<(Chosen, Found<Option<u64>>)>,
}

/// Why a drawing was not read, and the gap (mm) that would close its outline where that is all.
#[derive(Debug, Clone, Default)]
struct Unread {
    /// What is wrong; nothing where the reading fell.
    error: Option<Arc<ImportError>>,
    gap_mm: Option<f64>,
    /// Page of a picture that can be laid under the plan.
    picture: Option<usize>,
    /// A page that was not looked at yet.
    other_page: Option<usize>,
    /// What is drawn, where nothing of it closes.
    drawn: Arc<exchange::Picture>,
}

impl From<ImportError> for Unread {
    fn from(error: ImportError) -> Self {
        let gap_mm = match &error {
            ImportError::OpenOutline { gap_mm, .. } if *gap_mm <= exchange::WIDEST_OFFERED => Some(*gap_mm),
            _ => None,
        };
        let (picture, other_page) = match &error {
            ImportError::NoLines { page, pages, picture, .. } => {
                let next = if page < pages { page + 1 } else { 1 };
                (picture.then_some(*page), (*pages > 1).then_some(next))
            }
            _ => (None, None),
        };
        let drawn = match &error {
            ImportError::OpenOutline { picture, .. } | ImportError::NoOutline { picture, .. } => {
                Arc::new(exchange::Picture::clone(picture))
            }
            _ => Arc::default(),
        };
        Self { error: Some(Arc::new(error)), gap_mm, picture, other_page, drawn }
    }
}

impl Unread {
    fn says(&self, units: &UnitChoice) -> String {
        match &self.error {
            Some(error) => error.says(units),
            None => {
                "the drawing could not be read: an internal error stopped it; please report it with the file"
                    .to_owned()
            }
        }
    }
}

type Read = Result<Arc<Drawing>, Unread>;
/// The part chosen, and whether all others come with it.
type Chosen = (usize, bool);

/// What is worked out of the drawing beside the window.
#[derive(Debug, Clone)]
enum Found<T> {
    Soon(Reading<T>),
    There(Option<Arc<T>>),
}

impl<T: Send + 'static> Found<T> {
    fn start(work: impl FnOnce() -> T + Send + 'static) -> Self {
        let reading = Reading::start(move |_: &Watch| work());
        match reading.take_in_a_moment() {
            Some(found) => Self::There(found.map(Arc::new)),
            None => Self::Soon(reading),
        }
    }

    /// What was found, once it is there.
    fn look(&mut self) -> Option<Arc<T>> {
        if let Self::Soon(reading) = self
            && let Some(found) = reading.take()
        {
            *self = Self::There(found.map(Arc::new));
        }
        match self {
            Self::Soon(_) => None,
            Self::There(found) => found.clone(),
        }
    }
}

/// What is said when reading ends in a way nobody foresaw.
fn fell() -> Read {
    Err(Unread::default())
}

/// Parts that the list offers, at most.
const MOST_NAMED: usize = 500;

impl ImportForm {
    /// Reads the file.
    pub fn new(path: PathBuf) -> Self {
        let mut form = Self {
            path,
            options: ImportOptions::default(),
            read: Err(Unread::default()),
            reading: None,
            before: None,
            refused: None,
            picture: PictureState::default(),
            told: None,
            all_told: false,
            part: 0,
            all: false,
            put_back: true,
            moved: None,
            size: None,
        };
        form.read_again();
        form
    }

    /// Reads the file once more with the present choices.
    fn read_again(&mut self) {
        self.part = 0;
        self.refused = None;
        self.picture.read_again();
        self.moved = None;
        self.size = None;
        let (path, options) = (self.path.clone(), self.options.clone());
        let reading = Reading::start(move |watch: &Watch| {
            exchange::read_drawing_watched(&path, &options, watch).map(Arc::new).map_err(Unread::from)
        });
        // What was read before stops when it is let go.
        match reading.take_in_a_moment() {
            Some(read) => {
                self.reading = None;
                self.take(read.unwrap_or_else(fell));
            }
            None => self.reading = Some(reading),
        }
    }

    /// Takes what was read, or goes back to the choices before when nothing is left with the new ones.
    fn take(&mut self, read: Read) {
        self.read = read;
        if let (Some((options, kept)), Err(unread)) = (self.before.take(), &self.read) {
            self.refused = Some(unread.clone());
            self.options = options;
            self.read = kept;
        }
        self.told = None;
    }

    /// What is told of the drawing, in these units.
    fn told(&mut self, drawing: &Drawing, units: &UnitChoice) -> Arc<Vec<Message>> {
        match &self.told {
            Some((of, told)) if of == units => told.clone(),
            _ => {
                let told = Arc::new(exchange::messages(drawing, units));
                self.told = Some((*units, told.clone()));
                told
            }
        }
    }

    /// Takes what the other thread has read; whether it is still reading.
    fn still_reading(&mut self) -> bool {
        if let Some(read) = self.reading.as_ref().and_then(Reading::take) {
            self.reading = None;
            self.take(read.unwrap_or_else(fell));
        }
        self.reading.is_some()
    }

    /// As `read_again`; when nothing is left the choices go back to what they were.
    fn read_with(&mut self, before: ImportOptions) {
        if self.read.is_ok() {
            self.before = Some((before, self.read.clone()));
        }
        self.read_again();
    }

    /// How far the new outline is moved before it takes the old one's place, mm.
    fn shift(&mut self) -> glam::DVec2 {
        let by = self.moved.as_mut().and_then(|(_, moved)| moved.look()?.shifted);
        by.filter(|_| self.put_back).map_or(glam::DVec2::ZERO, |by| -by)
    }

    /// Whether what replacing the outline would do is still being worked out.
    fn comparing(&self) -> bool {
        matches!(self.moved, Some((_, Found::Soon(_))))
    }

    /// The parts that a new project takes, the one of its layout in front.
    fn chosen(&self, count: usize) -> Vec<usize> {
        let others = (0..count).filter(|i| self.all && *i != self.part);
        std::iter::once(self.part).chain(others).collect()
    }

    /// Bytes of a new project where no file may hold them, once they are counted.
    fn too_large(&mut self, drawing: &Arc<Drawing>) -> Option<u64> {
        let of = (self.part, self.all);
        if self.size.as_ref().is_none_or(|(held, _)| *held != of) {
            let (drawing, chosen) = (drawing.clone(), self.chosen(drawing.parts.len()));
            let count = move || {
                document::larger_than_a_file(&exchange::new_project_from_parts(&drawing, &chosen, ""))
            };
            self.size = Some((of, Found::start(count)));
        }
        self.size.as_mut().and_then(|(_, found)| *found.look()?)
    }
}

/// Why nothing was read, and what can be done about it.
fn unread_ui(ui: &mut Ui, view: &View, form: &mut ImportForm, unread: &Unread) -> Effect {
    ui.label(RichText::new("Nothing was changed.").color(view.tokens.second));
    ui.add(egui::Label::new(units::capital(&unread.says(&view.units))).wrap());
    import_picture::unread_picture(ui, view, &unread.drawn);
    let mut offered: Vec<(String, Offered)> = Vec::new();
    if let Some(gap) = unread.gap_mm {
        let join = format!("Join ends within {}", view.text(gap, Quantity::Length));
        offered.push((join, Offered::Instead(Instead::Gap(gap))));
    }
    if let Some(page) = unread.picture {
        offered.push(("Lay it under the plan".to_owned(), Offered::Trace(page)));
    }
    if let Some(page) = unread.other_page {
        offered.push((format!("Read page {page}"), Offered::Instead(Instead::Page(page))));
    }
    let names: Vec<&str> = offered.iter().map(|(name, _)| name.as_str()).chain(["Close"]).collect();
    let Some(clicked) = buttons(ui, &names, true) else { return Effect::Stay };
    match offered.get(clicked) {
        Some((_, Offered::Instead(instead))) => {
            instead.apply(&mut form.options);
            form.read_again();
            Effect::Stay
        }
        Some((_, Offered::Trace(page))) => Effect::Trace(form.path.clone(), *page),
        None => Effect::Close,
    }
}

/// What can be done about a drawing that was not read.
enum Offered {
    Instead(Instead),
    /// Lay this page of it, or the picture that it is, under the plan.
    Trace(usize),
}

/// Draws the report and the choices.
pub fn import_ui(ui: &mut Ui, view: &View, form: &mut ImportForm) -> Effect {
    let t = view.tokens;
    let name = form
        .path
        .file_name()
        .map_or_else(|| form.path.display().to_string(), |n| n.to_string_lossy().into_owned());
    title(ui, &format!("Import {name}"));
    if form.still_reading() {
        if let Some(reading) = &form.reading {
            reading_ui(ui, reading, "Reading");
        }
        return match buttons(ui, &["Cancel"], true) {
            Some(_) => Effect::Close,
            None => Effect::Stay,
        };
    }
    let drawing = match &form.read {
        Ok(drawing) => drawing.clone(),
        Err(unread) => {
            let unread = unread.clone();
            return unread_ui(ui, view, form, &unread);
        }
    };
    let count = drawing.parts.len();
    form.part = form.part.min(count.saturating_sub(1));
    let Some(part) = drawing.parts.get(form.part) else { return Effect::Close };
    if let Some(unread) = &form.refused {
        let text = format!("Not applied, because nothing would be left: {}", unread.says(&view.units));
        ui.add(egui::Label::new(RichText::new(text).color(t.watch)).wrap());
    }
    let before = form.options.clone();
    let mut anew = false;
    ui.columns(2, |columns| {
        let ui = &mut columns[0];
        ui.spacing_mut().item_spacing.y = 2.0;
        anew |= picture_ui(ui, view, &mut form.picture, &mut form.options, &drawing, form.part);
        import_options::counts_ui(ui, view, &drawing, part);
        let told = form.told(&drawing, &view.units);
        match messages_ui(ui, view, &told, &mut form.all_told, &mut form.options) {
            Some(Asked::Show(at)) => form.picture.shown = Some(at),
            Some(Asked::Other) => anew = true,
            None => {}
        }
        let ui = &mut columns[1];
        ui.spacing_mut().item_spacing.y = 0.0;
        if let Some([width, height]) = import_picture::size_of(view, part) {
            fields::figure(ui, "Width", &width, "");
            fields::figure(ui, "Height", &height, "");
        }
        let holes = part.outline.holes.len();
        fields::figure(ui, "Holes", &units::Shown { number: holes.to_string(), unit: "" }, "");
        if count > 1 {
            let name = |p: &exchange::ImportedPart| match p.role {
                exchange::PartRole::Part => p.name.clone(),
                role => format!("{}, a {}", p.name, role.label()),
            };
            let names: Vec<String> = drawing.parts.iter().take(MOST_NAMED).map(name).collect();
            let choices: Vec<(usize, &str)> = names.iter().map(String::as_str).enumerate().collect();
            let why = if count > MOST_NAMED {
                format!("The first {MOST_NAMED} of {count}: the part, then the largest")
            } else {
                "The part, then the largest, views last".to_owned()
            };
            if let Some(i) = fields::choice(ui, "import part", "Part", form.part, &choices, &why) {
                form.part = i;
            }
            ui.checkbox(&mut form.all, format!("all {count} parts into the new project")).on_hover_text(
                "The chosen part goes under the first layout, the others are kept in the project",
            );
        }
        anew |= import_options::options_ui(ui, view, &mut form.options, &drawing);
        reimport_ui(ui, view, form, &drawing);
    });
    if anew {
        // Places are in mm: they move with another unit, unless the change has brought them along.
        if let (Some(unit), true) = (form.options.unit, form.options.unit != before.unit) {
            import_picture::rescale(&mut form.options, unit.mm() / drawing.unit.mm());
        }
        form.read_with(before);
        return Effect::Stay;
    }
    if let Some(bytes) = form.too_large(&drawing) {
        let text = format!(
            "A new project of this could not be saved: it would be {} MB or more, and a project file holds \
            at most {} MB. Use fewer parts, leave out layers, or simplify within a tolerance.",
            bytes >> 20,
            document::MOST_FILE_BYTES >> 20
        );
        ui.add_space(6.0);
        ui.add(egui::Label::new(RichText::new(text).color(t.watch)).wrap());
    }
    match buttons(ui, &["New project", "Replace the outline", "Carry it too", "Cancel"], true) {
        Some(0) => {
            let chosen = form.chosen(count);
            let stem = form
                .path
                .file_stem()
                .map_or_else(|| "New project".to_owned(), |s| s.to_string_lossy().into_owned());
            Effect::Guarded(Pending::Take(drawing, chosen, stem))
        }
        // Where it is to be put is not known yet.
        Some(1) if form.comparing() => Effect::Stay,
        Some(1) => {
            let shift = form.shift();
            match exchange::reimport_edit(&view.project, view.part.id, &drawing, part, shift) {
                Some(edit) => Effect::Aside(Box::new(edit)),
                None => Effect::Close,
            }
        }
        // One more part on the tool of the layout shown.
        Some(2) => match exchange::seat_edit(&view.project, view.layout.id, &drawing, form.part) {
            Some(edit) => Effect::Aside(Box::new(edit)),
            None => Effect::Close,
        },
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// What the cups on the present part would meet, were its outline replaced.
fn reimport_ui(ui: &mut Ui, view: &View, form: &mut ImportForm, drawing: &Arc<Drawing>) {
    let t = view.tokens;
    let lips = exchange::placed_lips(&view.project, view.part.id);
    if lips.is_empty() {
        return;
    }
    if form.moved.as_ref().is_none_or(|(of, _)| *of != form.part) {
        let (before, drawing, at) = (view.part.clone(), drawing.clone(), form.part);
        let compare = move || exchange::compare_outline(&before, &drawing.parts[at].outline, &lips);
        form.moved = Some((at, Found::start(compare)));
    }
    ui.add_space(6.0);
    ui.label(RichText::new(format!("In place of {}", view.part.name)).font(Size::Heading.strong()));
    let Some(moved) = form.moved.as_mut().and_then(|(_, moved)| moved.look()) else {
        if form.comparing() {
            ui.label(RichText::new("The effect on the cups is being calculated.").color(t.second));
            ui.ctx().request_repaint_after(std::time::Duration::from_millis(100));
        }
        return;
    };
    ui.add(
        egui::Label::new(format!("If it replaces {}: {}.", view.part.name, moved.sentence(&view.units)))
            .wrap(),
    );
    if let Some(by) = moved.shifted {
        let text = format!("shift it back by {}, so that the cups keep their places on it", view.pair(-by));
        ui.checkbox(&mut form.put_back, text);
    }
    egui::ScrollArea::vertical().id_salt("moved under").max_height(84.0).auto_shrink([false, true]).show(
        ui,
        |ui| {
            for entry in &moved.moved_under {
                let clearance = |c: Option<geometry::Clearance>| {
                    c.map_or("off the part".to_owned(), |c| view.text(c.distance, Quantity::Length))
                };
                let colour = if entry.landed() && !entry.lands() { t.fail } else { t.second };
                let word = if entry.landed() && !entry.lands() { ", no longer lands" } else { "" };
                let text = format!(
                    "{}: clearance {} becomes {}{word}",
                    entry.of.tag,
                    clearance(entry.before),
                    clearance(entry.after)
                );
                ui.label(RichText::new(text).color(colour));
            }
        },
    );
}
