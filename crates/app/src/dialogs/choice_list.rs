//! Lists that something is chosen from: rows with a picture, all pictures in view at one scale, figures in columns, the reason
//! against, links; for the mouse and for keys.

use crate::{
    theme::Size,
    view::View,
    widgets::{one_line, row_ground},
};
use egui::{Align2, Key, Painter, Pos2, Rect, Response, RichText, Role, Sense, Ui, Vec2, WidgetInfo};

/// Height of a row: three lines of text.
const ROW: f32 = 54.0;
/// Room for the picture.
pub(super) const PICTURE: Vec2 = Vec2::new(112.0, 44.0);
/// Between picture, names and columns.
const APART: f32 = 10.0;
/// Height of the list.
const HEIGHT: f32 = 430.0;

/// A column of figures.
pub(super) struct Column {
    /// Its heading.
    pub name: &'static str,
    /// What it is, under the pointer.
    pub why: &'static str,
    /// Width.
    pub width: f32,
}

/// A row.
pub(super) struct Item {
    /// What it is called.
    pub name: String,
    /// What it is, under its name.
    pub below: String,
    /// Name for assistive technology: what a click does.
    pub spoken: String,
    /// Its figures for the same.
    pub value: String,
    /// Whether it is in use now.
    pub active: bool,
    /// A figure for each column.
    pub cells: Vec<String>,
    /// Why it does not suit.
    pub against: Option<String>,
    /// Said beside its name.
    pub note: String,
    /// What else can be done with it.
    pub links: Vec<&'static str>,
    /// Under the pointer.
    pub hover: String,
    /// How large its picture is, in whatever it measures.
    pub extent: [f64; 2],
}

/// What a person does.
pub(super) enum Hand {
    /// Chooses a row, counted over all groups.
    Row(usize),
    /// Follows a link of a row.
    Link(usize, &'static str),
}

/// Where the marker stands, and how large pictures in view are.
#[derive(Debug, Clone, Default)]
pub(super) struct ListState {
    at: usize,
    largest: [f64; 2],
}

impl ListState {
    /// The marker goes to the first row: another search, another order.
    pub(super) fn begin(&mut self) {
        self.at = 0;
    }

    /// The largest picture in view, both ways.
    pub(super) fn largest(&self) -> [f64; 2] {
        self.largest
    }
}

/// Draws the groups under their headings; `enter` chooses the marked row, `draw` gives a row its picture.
pub(super) fn list_ui(
    ui: &mut Ui,
    view: &View,
    state: &mut ListState,
    columns: &[Column],
    groups: &[(&str, Vec<Item>)],
    enter: bool,
    draw: &dyn Fn(&Painter, Rect, usize),
) -> Option<Hand> {
    let count: usize = groups.iter().map(|(_, items)| items.len()).sum();
    let before = state.at;
    ui.input(|i| {
        let step = |key: Key, by: usize| if i.key_pressed(key) { by } else { 0 };
        state.at += step(Key::ArrowDown, 1) + step(Key::PageDown, 6);
        state.at = state.at.saturating_sub(step(Key::ArrowUp, 1) + step(Key::PageUp, 6));
    });
    state.at = state.at.min(count.saturating_sub(1));
    let mut hand = (enter && count > 0).then_some(Hand::Row(state.at));
    let links = links_room(ui, groups);
    heading_ui(ui, view, columns, links);
    let mut largest = [0.0_f64; 2];
    let mut index = 0;
    egui::ScrollArea::vertical().max_height(HEIGHT).auto_shrink([false, false]).id_salt("choices").show(
        ui,
        |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for (heading, items) in groups.iter().filter(|(_, items)| !items.is_empty()) {
                ui.add_space(6.0);
                ui.label(RichText::new(*heading).font(Size::Heading.strong()));
                for item in items {
                    let marked = index == state.at;
                    let (row, link) =
                        row_ui(ui, view, (columns, links), (index, item), marked, &|painter, rect| {
                            draw(painter, rect, index);
                        });
                    if marked && before != state.at {
                        row.scroll_to_me(None);
                    }
                    if ui.is_rect_visible(row.rect) {
                        largest = [0, 1].map(|axis: usize| largest[axis].max(item.extent[axis]));
                    }
                    if row.clicked() {
                        hand = Some(Hand::Row(index));
                    }
                    hand = link.map(|link| Hand::Link(index, link)).or(hand.take());
                    index += 1;
                }
            }
            if count == 0 {
                ui.add_space(8.0);
                ui.label(RichText::new("Nothing in the list matches.").color(view.tokens.second));
            }
        },
    );
    if largest != state.largest {
        state.largest = largest;
        ui.ctx().request_repaint();
    }
    hand
}

/// Right edges of the columns in a row.
fn edges(right: f32, columns: &[Column]) -> Vec<f32> {
    let mut edge = right - columns.iter().map(|column| column.width).sum::<f32>();
    columns
        .iter()
        .map(|column| {
            edge += column.width;
            edge
        })
        .collect()
}

/// Room for the links at the right of the rows: what the longest of them take.
fn links_room(ui: &Ui, groups: &[(&str, Vec<Item>)]) -> f32 {
    let wide = |link: &&str| {
        let galley =
            ui.painter().layout_no_wrap((*link).to_owned(), Size::Body.font(), egui::Color32::PLACEHOLDER);
        galley.size().x + APART
    };
    let of = |item: &Item| item.links.iter().map(wide).sum::<f32>() + APART;
    groups.iter().flat_map(|(_, items)| items).map(of).fold(0.0, f32::max)
}

fn heading_ui(ui: &mut Ui, view: &View, columns: &[Column], links: f32) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 18.0), Sense::hover());
    let font = Size::Small.font();
    for (column, right) in columns.iter().zip(edges(rect.right() - links, columns)) {
        let at =
            Rect::from_min_max(Pos2::new(right - column.width, rect.top()), Pos2::new(right, rect.bottom()));
        let response = ui.interact(at, ui.scope_id().with(("column", column.name)), Sense::hover());
        response.on_hover_text(column.why);
        let colour = view.tokens.second;
        ui.painter().text(at.right_center(), Align2::RIGHT_CENTER, column.name, font.clone(), colour);
    }
}

/// One row and the link that was followed.
fn row_ui(
    ui: &mut Ui,
    view: &View,
    (columns, links): (&[Column], f32),
    (index, item): (usize, &Item),
    marked: bool,
    draw: &dyn Fn(&Painter, Rect),
) -> (Response, Option<&'static str>) {
    let t = view.tokens;
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::hover());
    let whole = rect;
    let rect = Rect::from_min_max(rect.min, Pos2::new(rect.right() - links, rect.bottom()));
    let id = ui.scope_id().with(("choice", index));
    let response = ui.interact(rect, id, Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, item.active, item.spoken.clone()));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_value(item.value.clone()));
    let mut followed = None;
    let mut right = whole.right();
    for link in item.links.iter().rev() {
        let galley = ui.painter().layout_no_wrap((*link).to_owned(), Size::Body.font(), t.working);
        let at = Rect::from_min_size(
            Pos2::new(right - galley.size().x, rect.top() + 4.0),
            Vec2::new(galley.size().x, 20.0),
        );
        right = at.left() - APART;
        // Painted: a widget put there would move what comes after it.
        let response = ui.interact(at, id.with(link), Sense::click());
        let spoken = format!("{} {}", units::capital(link.trim_end_matches('…')), item.name);
        response.widget_info(|| WidgetInfo::labeled(Role::Link, true, spoken.clone()));
        if response.hovered() || response.has_focus() {
            let line = egui::Stroke::new(1.0, t.working);
            ui.painter().hline(at.x_range(), at.top() + galley.size().y, line);
        }
        ui.painter().galley(at.min, galley, t.working);
        if response.on_hover_cursor(egui::CursorIcon::PointingHand).clicked() {
            followed = Some(*link);
        }
    }
    if ui.is_rect_visible(rect) {
        row_ground(ui, rect, marked || item.active, &response);
        let picture =
            Rect::from_center_size(Pos2::new(rect.left() + PICTURE.x / 2.0, rect.center().y), PICTURE);
        draw(ui.painter(), picture);
        let left = picture.right() + APART;
        let edges = edges(rect.right(), columns);
        let first =
            edges.first().zip(columns.first()).map_or(rect.right(), |(edge, column)| edge - column.width);
        texts(
            ui,
            view,
            item,
            Rect::from_min_max(Pos2::new(left, rect.top()), Pos2::new(first - APART, rect.bottom())),
            rect.right(),
        );
        for (says, right) in item.cells.iter().zip(&edges) {
            let at = Pos2::new(*right, rect.top() + 12.0);
            ui.painter().text(at, Align2::RIGHT_CENTER, says, Size::Body.font(), t.ink);
        }
    }
    (response.on_hover_text_at_pointer(item.hover.clone()), followed)
}

/// Name, what it is, and what is against it.
fn texts(ui: &Ui, view: &View, item: &Item, area: Rect, right: f32) {
    let t = view.tokens;
    let note = ui.painter().layout_no_wrap(item.note.clone(), Size::Small.font(), t.second);
    let room = area.width() - if item.note.is_empty() { 0.0 } else { note.size().x + 8.0 };
    let name = one_line(ui, &item.name, room, Size::Body.font(), t.ink);
    let top = Pos2::new(area.left(), area.top() + 3.0);
    let beside = top + Vec2::new(name.size().x + 8.0, 2.0);
    ui.painter().galley(top, name, t.ink);
    ui.painter().galley(beside, note, t.second);
    let below = one_line(ui, &item.below, area.width(), Size::Small.font(), t.second);
    ui.painter().galley(top + Vec2::new(0.0, 18.0), below, t.second);
    // The reason has the room below the figures as well.
    if let Some(why) = &item.against {
        let why = one_line(ui, &units::capital(why), right - area.left(), Size::Small.font(), t.watch);
        ui.painter().galley(top + Vec2::new(0.0, 33.0), why, t.watch);
    }
}
