//! Import of a drawing: what was read, what was mended or skipped, the unit, and what becomes of it.

use super::{
    Effect, Pending, buttons, import_options,
    reading::{Reading, reading_ui},
    title,
};
use crate::{fields, theme::Size, view::View};
use egui::{RichText, Sense, Shape, Stroke, Ui};
use exchange::{DiagnosticSeverity, Drawing, ImportOptions, Watch};
use geometry::Outline;
use std::{path::PathBuf, sync::Arc};
use units::Quantity;

/// The drawing as read with the present options.
#[derive(Debug, Clone)]
pub struct ImportForm {
    path: PathBuf,
    /// How it is read.
    options: ImportOptions,
    read: Result<Arc<Drawing>, String>,
    /// Set while the file is read on another thread.
    reading: Option<Reading<Read>>,
    /// Choices and drawing before the last choice of layers, for when nothing is left without them.
    before: Option<(ImportOptions, Read)>,
    part: usize,
    /// Whether all parts of the drawing go into the new project.
    all: bool,
    /// Whether an outline that was only moved is put back under the cups.
    put_back: bool,
    /// What replacing the outline would do to the cups, for the part chosen.
    moved: Option<(usize, Found<exchange::Reimport>)>,
    /// Bytes that a new project comes to where no file may hold them, for the part chosen, alone or with all others.
    size: Option<(Chosen, Found<Option<u64>>)>,
    sketch: Option<Sketched>,
}

type Read = Result<Arc<Drawing>, String>;
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
    Err("the drawing could not be read: the program failed over it; please report it with the file"
        .to_owned())
}

/// Corners that the preview draws, at most: the outer boundary and the largest holes come first.
const MOST_DRAWN: usize = 100_000;

/// Parts that the list offers, at most.
const MOST_NAMED: usize = 500;

/// Flattened boundaries of the picked part, for the preview.
#[derive(Debug, Clone)]
struct Sketched {
    part: usize,
    loops: Arc<Vec<Vec<glam::DVec2>>>,
    bounds: geometry::Bounds,
}

impl ImportForm {
    /// Reads the file.
    pub fn new(path: PathBuf) -> Self {
        let mut form = Self {
            path,
            options: ImportOptions::default(),
            read: Err(String::new()),
            reading: None,
            before: None,
            part: 0,
            all: false,
            put_back: true,
            moved: None,
            size: None,
            sketch: None,
        };
        form.read_again();
        form
    }

    /// Reads the file once more with the present choices.
    fn read_again(&mut self) {
        self.part = 0;
        self.sketch = None;
        self.moved = None;
        self.size = None;
        let (path, options) = (self.path.clone(), self.options.clone());
        let reading = Reading::start(move |watch: &Watch| {
            exchange::read_drawing_watched(&path, &options, watch).map(Arc::new).map_err(|e| e.to_string())
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

    /// Takes what was read, or goes back to the layers before when nothing is left without the one put away.
    fn take(&mut self, read: Read) {
        self.read = read;
        if let (Some((options, kept)), true) = (self.before.take(), self.read.is_err()) {
            self.options = options;
            self.read = kept;
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
    fn read_other_layers(&mut self, before: ImportOptions) {
        self.before = Some((before, self.read.clone()));
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

    fn sketch(&mut self, outline: &Outline) -> Option<Sketched> {
        if self.sketch.as_ref().is_none_or(|s| s.part != self.part) {
            let bounds = outline.outer.bounds()?;
            let tolerance = (bounds.max - bounds.min).max_element() / 2000.0;
            // What is smaller than a dot is not drawn, nor more than a picture of this size can show.
            let mut left = MOST_DRAWN;
            let loops = outline
                .loops()
                .map(|l| l.flatten(tolerance.max(1e-6)))
                .take_while(|points| {
                    left = left.saturating_sub(points.len());
                    left > 0
                })
                .collect();
            self.sketch = Some(Sketched { part: self.part, loops: Arc::new(loops), bounds });
        }
        self.sketch.clone()
    }
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
        return match buttons(ui, &["Leave"], true) {
            Some(_) => Effect::Close,
            None => Effect::Stay,
        };
    }
    let drawing = match &form.read {
        Ok(drawing) => drawing.clone(),
        Err(problem) => {
            ui.label(RichText::new("Nothing was changed.").color(t.second));
            ui.label(problem.as_str());
            return match buttons(ui, &["Close"], true) {
                Some(_) => Effect::Close,
                None => Effect::Stay,
            };
        }
    };
    let count = drawing.parts.len();
    form.part = form.part.min(count.saturating_sub(1));
    let Some(part) = drawing.parts.get(form.part) else { return Effect::Close };
    ui.columns(2, |columns| {
        preview_ui(&mut columns[0], view, form, part);
        import_options::counts_ui(&mut columns[0], view, &drawing, part);
        let ui = &mut columns[1];
        ui.spacing_mut().item_spacing.y = 0.0;
        if let Some(b) = part.outline.outer.bounds() {
            let size = b.max - b.min;
            fields::figure(ui, "Width", &view.show(size.x, Quantity::Length), "");
            fields::figure(ui, "Height", &view.show(size.y, Quantity::Length), "");
        }
        let holes = part.outline.holes.len();
        fields::figure(ui, "Holes", &units::Shown { number: holes.to_string(), unit: "" }, "");
        if count > 1 {
            let named = drawing.parts.iter().take(MOST_NAMED).enumerate();
            let choices: Vec<(usize, &str)> = named.map(|(i, p)| (i, p.name.as_str())).collect();
            let why = if count > MOST_NAMED {
                format!("The {MOST_NAMED} largest of {count}, largest first")
            } else {
                "Largest first".to_owned()
            };
            if let Some(i) = fields::choice(ui, "import part", "Part", form.part, &choices, &why) {
                form.part = i;
            }
            ui.checkbox(&mut form.all, format!("all {count} parts into the new project"))
                .on_hover_text("The one chosen comes under the first layout, the others are kept beside it");
        }
        match import_options::options_ui(ui, view, &mut form.options, &drawing) {
            Some(import_options::Anew::Options) => form.read_again(),
            Some(import_options::Anew::Layers(before)) => form.read_other_layers(before),
            None => {}
        }
    });
    diagnostics_ui(ui, view, &drawing);
    if let Some(bytes) = form.too_large(&drawing) {
        let text = format!(
            "A new project of this could not be saved: it comes to {} MB or more, and a project file holds at most {} MB. \
             Take fewer parts, leave out layers, or simplify within a tolerance.",
            bytes >> 20,
            document::MOST_FILE_BYTES >> 20
        );
        ui.add_space(6.0);
        ui.add(egui::Label::new(RichText::new(text).color(t.watch)).wrap());
    }
    reimport_ui(ui, view, form, &drawing);
    match buttons(ui, &["New project", "Replace the outline", "Cancel"], true) {
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
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

fn preview_ui(ui: &mut Ui, view: &View, form: &mut ImportForm, part: &exchange::ImportedPart) {
    let t = view.tokens;
    let (rect, _) = ui.allocate_exact_size(egui::vec2(ui.available_width(), 230.0), Sense::hover());
    ui.painter().rect_filled(rect, 3.0, t.ground);
    let Some(sketch) = form.sketch(&part.outline) else { return };
    let mut camera = crate::plan::Camera::default();
    camera.fit(rect.expand(50.0), &sketch.bounds);
    for l in sketch.loops.iter() {
        let points = l.iter().map(|p| camera.screen_from_part(rect, *p)).collect();
        ui.painter().with_clip_rect(rect).add(Shape::closed_line(points, Stroke::new(1.4, t.part_line)));
    }
    for keep_out in &part.keep_outs {
        let tolerance = (sketch.bounds.max - sketch.bounds.min).max_element() / 500.0;
        let mut points: Vec<egui::Pos2> = keep_out
            .area
            .flatten(tolerance.max(1e-6))
            .iter()
            .map(|p| camera.screen_from_part(rect, *p))
            .collect();
        points.extend(points.first().copied());
        ui.painter().with_clip_rect(rect).extend(Shape::dashed_line(
            &points,
            Stroke::new(1.2, t.second),
            5.0,
            3.0,
        ));
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
            ui.label(RichText::new("What it would do to the cups is being worked out.").color(t.second));
            ui.ctx().request_repaint_after(std::time::Duration::from_millis(100));
        }
        return;
    };
    ui.add(egui::Label::new(format!("Were it to replace {}: {}.", view.part.name, moved.sentence())).wrap());
    if let Some(by) = moved.shifted {
        let text = format!(
            "put it back by ({}, {}), so that the cups stay where they are on it",
            view.show(-by.x, Quantity::Length).number,
            view.text(-by.y, Quantity::Length)
        );
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

fn diagnostics_ui(ui: &mut Ui, view: &View, drawing: &Drawing) {
    let t = view.tokens;
    ui.add_space(6.0);
    ui.label(RichText::new("Mended and skipped").font(Size::Heading.strong()));
    if drawing.diagnostics.is_empty() {
        ui.label(RichText::new("Nothing: the drawing was clean.").color(t.second));
        return;
    }
    egui::ScrollArea::vertical().id_salt("diagnostics").max_height(130.0).auto_shrink([false, true]).show(
        ui,
        |ui| {
            for d in &drawing.diagnostics {
                let (word, colour) = match d.severity {
                    DiagnosticSeverity::Mended => ("repaired", t.order),
                    DiagnosticSeverity::Skipped => ("skipped", t.second),
                    DiagnosticSeverity::Warning => ("check", t.watch),
                };
                ui.horizontal_top(|ui| {
                    ui.add_sized(
                        [60.0, 18.0],
                        egui::Label::new(RichText::new(word).color(colour)).halign(egui::Align::LEFT),
                    );
                    let times = if d.count > 1 { format!(" ({}×)", d.count) } else { String::new() };
                    let place = if d.place.is_empty() {
                        String::new()
                    } else {
                        format!(" – {}", import_options::start_of(&d.place))
                    };
                    ui.add(
                        egui::Label::new(format!("{}{times}{place}", import_options::start_of(&d.what)))
                            .wrap(),
                    );
                });
            }
        },
    );
}
