//! The layout sheet before it is written: the same pages, with paper, side and what goes with it.

use super::{Effect, Next, PathForm, Purpose, buttons, paths::RESOLUTIONS, title};
use crate::{
    outputs::{Choices, Output, sheet_pages},
    theme::Size,
    view::View,
};
use analysis::{Report, Slow};
use document::Project;
use egui::{ColorImage, RichText, TextureHandle, TextureOptions, Ui, Vec2};
use sheet::{Orientation, Page, Paper, SheetOptions};
use std::{fmt, sync::Arc};

/// Dots across a page, for a window of usual size; more would be slow to draw and show no more.
const DOTS: u32 = 1400;

/// What is chosen, and the pages that come of it.
#[derive(Clone, Default)]
pub struct PreviewForm {
    /// Paper, side, mirrored plan, comparison, dots per inch of pages written as pictures.
    pub choices: Choices,
    /// Where it may be written.
    pub suggested: String,
    page: usize,
    made: Option<Made>,
    drawn: Option<(usize, TextureHandle)>,
    problem: Option<String>,
}

/// Pages and what they were composed from.
#[derive(Clone)]
struct Made {
    project: Arc<Project>,
    report: Arc<Report>,
    options: SheetOptions,
    comparison: bool,
    pages: Arc<Vec<Page>>,
}

impl fmt::Debug for PreviewForm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("PreviewForm").field("choices", &self.choices).field("page", &self.page).finish()
    }
}

impl PreviewForm {
    /// In these units, to be written there.
    pub fn new(sheet: SheetOptions, suggested: String) -> Self {
        Self { choices: Choices { sheet, ..Choices::default() }, suggested, ..Self::default() }
    }

    fn refresh(&mut self, view: &View) {
        let same = self.made.as_ref().is_some_and(|m| {
            Arc::ptr_eq(&m.project, &view.project)
                && Arc::ptr_eq(&m.report, view.whole())
                && m.options == self.choices.sheet
                && m.comparison == self.choices.comparison
        });
        if same {
            return;
        }
        let pages = pages(view, &self.choices);
        self.page = self.page.min(pages.len().saturating_sub(1));
        self.drawn = None;
        self.made = Some(Made {
            project: view.project.clone(),
            report: view.whole().clone(),
            options: self.choices.sheet.clone(),
            comparison: self.choices.comparison,
            pages: Arc::new(pages),
        });
    }
}

/// All pages of the sheet as far as they are worked out.
fn pages(view: &View, choices: &Choices) -> Vec<Page> {
    let compare = view.compare.as_ref().filter(|_| choices.comparison);
    let compared = compare.and_then(|c| Some((&**c.comparison.as_ref()?, [&**view.whole(), &*c.report])));
    let compared = compared.as_ref().map(|(comparison, reports)| (*comparison, reports.as_slice()));
    sheet_pages(&view.project, view.whole(), compared, &choices.sheet)
}

/// Draws the dialog.
pub fn preview_ui(ui: &mut Ui, view: &View, form: &mut PreviewForm) -> Effect {
    let t = view.tokens;
    title(ui, "Layout sheet");
    form.refresh(view);
    let pages = form.made.as_ref().map(|m| m.pages.clone()).unwrap_or_default();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        combo(ui, "Paper", &mut form.choices.sheet.paper, &Paper::ALL, Paper::label);
        combo(ui, "Side", &mut form.choices.sheet.orientation, &Orientation::ALL, Orientation::label);
        ui.checkbox(&mut form.choices.sheet.mirrored, "mirrored plan too")
            .on_hover_text("The tool as it lies on the bench with its lips up, for drilling and assembly");
        ui.checkbox(&mut form.choices.sheet.checklist, "reviewer's checklist")
            .on_hover_text("Questions of a reviewer, with boxes to tick, on a last page");
        ui.checkbox(&mut form.choices.archival, "PDF/A").on_hover_text(
            "A .pdf for archiving: self-contained, tagged for screen readers, with today's date",
        );
        let shown = view.compare.as_ref().is_some_and(|c| c.comparison.is_some());
        ui.add_enabled(shown, egui::Checkbox::new(&mut form.choices.comparison, "comparison"))
            .on_hover_text("Adds the comparison shown")
            .on_disabled_hover_text("Compare with another layout first, then it can be added");
        let names: Vec<f64> = RESOLUTIONS.iter().map(|r| r.0).collect();
        let named = |dpi: f64| RESOLUTIONS.iter().find(|r| r.0 == dpi).map_or("", |r| r.1);
        ui.label(RichText::new("a .png at").color(t.second));
        combo(ui, "Resolution of a .png", &mut form.choices.dpi, &names, named);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let last = pages.len().saturating_sub(1);
            if ui.add_enabled(form.page < last, egui::Button::new("next page")).clicked() {
                form.page += 1;
            }
            if ui.add_enabled(form.page > 0, egui::Button::new("page before")).clicked() {
                form.page -= 1;
            }
            ui.label(RichText::new(format!("page {} of {}", form.page + 1, pages.len())).color(t.second));
        });
    });
    if let Some(page) = pages.get(form.page) {
        page_ui(ui, view, form, page);
    }
    if let Some(problem) = &form.problem {
        ui.label(RichText::new(problem).color(t.fail));
    }
    let missing: Vec<Slow> = Slow::all().filter(|slow| !view.whole().ages.is_current(*slow)).collect();
    if !missing.is_empty() {
        let names: Vec<String> = missing.iter().map(|slow| slow.name().to_owned()).collect();
        let figures = analysis::words::all(&names);
        ui.label(
            RichText::new(format!("Still being calculated: {figures}. The written file includes them."))
                .font(Size::Small.slanted())
                .color(t.second),
        );
    }
    match buttons(ui, &["Write…", "Plots as pictures…", "Title block…", "Close"], !pages.is_empty()) {
        Some(0) => {
            let mut path = PathForm::new(Purpose::Write(Output::SHEET), form.suggested.clone());
            path.choices = form.choices.clone();
            Effect::Then(Next::path(path))
        }
        Some(1) => Effect::Then(Next::Plots),
        Some(2) => Effect::Then(Next::TitleBlock),
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

fn combo<T: Copy + PartialEq>(
    ui: &mut Ui,
    name: &str,
    value: &mut T,
    all: &[T],
    label: impl Fn(T) -> &'static str,
) {
    let response = egui::ComboBox::from_id_salt(("preview", name))
        .selected_text(label(*value))
        .width(84.0)
        .show_ui(ui, |ui| {
            for option in all {
                ui.selectable_value(value, *option, label(*option));
            }
        });
    ui.ctx().accesskit_node_builder(response.response.id, |node| node.set_label(name.to_owned()));
}

fn page_ui(ui: &mut Ui, view: &View, form: &mut PreviewForm, page: &Page) {
    if form.drawn.as_ref().is_none_or(|(at, _)| *at != form.page) {
        form.problem = None;
        match sheet::to_picture(page, DOTS) {
            Ok(picture) => {
                let size = [picture.width as usize, picture.height as usize];
                let image = ColorImage::from_rgba_unmultiplied(size, &picture.rgba);
                let texture = ui.ctx().load_texture("sheet preview", image, TextureOptions::LINEAR);
                form.drawn = Some((form.page, texture));
            }
            Err(error) => form.problem = Some(error.to_string()),
        }
    }
    let Some((_, texture)) = &form.drawn else { return };
    let room = Vec2::new(ui.available_width(), (ui.ctx().content_rect().height() - 260.0).max(200.0));
    let size = texture.size_vec2();
    let scale = (room.x / size.x).min(room.y / size.y);
    ui.vertical_centered(|ui| {
        let image = ui.add(egui::Image::new((texture.id(), size * scale)));
        ui.painter().rect_stroke(
            image.rect,
            0.0,
            egui::Stroke::new(1.0, view.tokens.hairline),
            egui::StrokeKind::Outside,
        );
        let label = format!("Page {}: {}", form.page + 1, page.name);
        ui.ctx().accesskit_node_builder(image.id, |node| node.set_label(label));
    });
}
