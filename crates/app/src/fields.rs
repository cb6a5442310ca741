//! Number and text fields with a draft: what is typed takes effect on Enter or when the field is left, Escape takes
//! it back, and a change from outside (undo, a drag) shows at once while nobody is typing.

mod draft;
mod known;
mod rows;

use crate::theme::{Size, Tokens};
use document::{Origin, Sourced};
use draft::{Texts, draft_edit};
use egui::{Align, Ui, Vec2};
use std::hash::Hash;
use units::{Quantity, UnitChoice};

pub use draft::{focus_on, held, leave, refuse, take_refused, touched, untouched};
pub use known::{Known, known};
pub use rows::{ROW, figure, folding, heading, parting, row, subheading};
use rows::{UNIT_WIDTH, fingerprint, unit_cell};

/// Width of the number in a form row.
const NUMBER_WIDTH: f32 = 92.0;
/// Width of a number in a strip.
const INLINE_NUMBER: f32 = 72.0;
/// Width of the number where the name is long.
const LEAST_NUMBER: f32 = 62.0;
/// Largest side of a sketch, mm.
const WIDEST: f64 = 1e6;
/// Between two links of one row, which would else read as one, besides the spacing of the row.
pub const BETWEEN_LINKS: f32 = 10.0;

fn quantity_texts(name: &str, value: f64, quantity: Quantity, units: &UnitChoice) -> (Texts, &'static str) {
    let shown = units::show_given(value, quantity, units);
    let name = if shown.unit.is_empty() { name.to_owned() } else { format!("{name}, {}", shown.unit) };
    let exact = units::show_exact(value, quantity, units).number;
    (Texts { rest: shown.number, exact, name, hint: typed_hint(shown.unit, quantity) }, shown.unit)
}

/// What a field of numbers accepts.
fn typed_hint(unit: &str, quantity: Quantity) -> String {
    match (unit, quantity) {
        ("", _) => "a number or a sum: 240+15".to_owned(),
        (unit, Quantity::Length) => format!("{unit}, or another unit, or a sum: 3/8\", 240+15"),
        (unit, _) => format!("{unit}, or another unit, or a sum: 240+15"),
    }
}

fn parse_quantity(quantity: Quantity, units: UnitChoice) -> impl Fn(&str) -> Result<f64, String> {
    move |text| units::parse(text, quantity, &units).map_err(|e| e.to_string())
}

/// A form row: label left, number right-aligned, unit lighter. Gives the new value in base units when one was entered.
pub fn quantity(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    value: f64,
    quantity: Quantity,
    units: &UnitChoice,
    why: &str,
) -> Option<f64> {
    NumberRow::new(name, value, quantity, units, why).ui(ui, salt)
}

/// As [`quantity`], with every digit shown at rest: for small figures that rounding would misstate.
pub fn precise(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    value: f64,
    quantity: Quantity,
    units: &UnitChoice,
    why: &str,
) -> Option<f64> {
    NumberRow { every_digit: true, ..NumberRow::new(name, value, quantity, units, why) }.ui(ui, salt)
}

/// As [`quantity`], for a figure that has bounds of its own: another one is refused with a sentence, never bent.
#[expect(clippy::too_many_arguments, reason = "a row with bounds more")]
pub fn within(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    value: f64,
    quantity: Quantity,
    bounds: (f64, f64),
    units: &UnitChoice,
    why: &str,
) -> Option<f64> {
    let row = NumberRow::new(name, value, quantity, units, why);
    NumberRow { takes: Takes::Within(bounds.0, bounds.1), ..row }.ui(ui, salt)
}

/// A form row for a count: a whole number in bounds; anything else is refused with a sentence, never rounded. `of` is what it
/// belongs to, where the name alone would not tell.
#[expect(clippy::too_many_arguments, reason = "a row with bounds and one name more")]
pub fn count(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    of: Option<&str>,
    value: u32,
    bounds: (u32, u32),
    units: &UnitChoice,
    why: &str,
) -> Option<u32> {
    let row = NumberRow::new(name, f64::from(value), Quantity::Ratio, units, why);
    let takes = Takes::Whole(bounds.0, bounds.1);
    NumberRow { of, every_digit: true, takes, ..row }.ui(ui, salt).map(|v| v as u32)
}

/// Which figures a row takes.
#[derive(Clone, Copy)]
enum Takes {
    Any,
    Within(f64, f64),
    Whole(u32, u32),
}

impl Takes {
    fn refuses(self, v: f64, quantity: Quantity, units: &UnitChoice) -> Option<String> {
        match self {
            Self::Any => None,
            Self::Within(least, most) => {
                let text = |v| units::show_given(v, quantity, units);
                let outside = !(least..=most).contains(&v);
                outside.then(|| format!("enter a value from {} to {}", text(least), text(most)))
            }
            Self::Whole(least, most) => {
                let taken = v.fract() == 0.0 && (f64::from(least)..=f64::from(most)).contains(&v);
                (!taken).then(|| format!("enter a whole number from {least} to {most}"))
            }
        }
    }
}

struct NumberRow<'a> {
    name: &'a str,
    of: Option<&'a str>,
    value: f64,
    quantity: Quantity,
    units: &'a UnitChoice,
    why: &'a str,
    every_digit: bool,
    own_unit: Option<&'a str>,
    takes: Takes,
}

impl<'a> NumberRow<'a> {
    fn new(name: &'a str, value: f64, quantity: Quantity, units: &'a UnitChoice, why: &'a str) -> Self {
        let takes = Takes::Any;
        Self { name, of: None, value, quantity, units, why, every_digit: false, own_unit: None, takes }
    }

    /// What was typed, in base units.
    fn read(&self, text: &str) -> Result<f64, String> {
        let v = parse_quantity(self.quantity, *self.units)(text)?;
        self.takes.refuses(v, self.quantity, self.units).map_or(Ok(v), Err)
    }

    fn ui(self, ui: &mut Ui, salt: impl Hash) -> Option<f64> {
        let id = ui.make_persistent_id(("quantity", fingerprint(&salt)));
        let spoken = self.of.map_or_else(|| self.name.to_owned(), |of| format!("{}, {of}", self.name));
        let (mut texts, unit) = quantity_texts(&spoken, self.value, self.quantity, self.units);
        let unit = self.own_unit.unwrap_or(unit);
        if let Some(unit) = self.own_unit {
            texts.name = format!("{spoken}, {unit}");
            texts.hint = format!("{unit}; a sum is accepted: 240+15");
        }
        if self.every_digit {
            texts.rest.clone_from(&texts.exact);
        }
        let entered = row(ui, self.name, self.why, |ui| {
            unit_cell(ui, unit);
            // A long name takes room from the number, which ends on the same line all the same.
            let font = Size::Body.font();
            let label = ui.painter().layout_no_wrap(self.name.to_owned(), font, egui::Color32::PLACEHOLDER);
            let number = ui.painter().layout_no_wrap(
                texts.rest.clone(),
                Size::Body.font(),
                egui::Color32::PLACEHOLDER,
            );
            // The number is never cut: of a long one the name gives way.
            let least = (number.size().x + 26.0).clamp(LEAST_NUMBER, NUMBER_WIDTH);
            let width = (ui.available_width() - label.size().x - 8.0).clamp(least, NUMBER_WIDTH);
            draft_edit(ui, id, &texts, width, Align::RIGHT, |text| self.read(text)).1
        });
        entered.filter(|v| *v != self.value)
    }
}

/// Name, number and unit in line, for strips above the plan and in dialogs.
pub fn inline(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    value: f64,
    quantity: Quantity,
    units: &UnitChoice,
) -> Option<f64> {
    inline_row(ui, salt, NumberRow::new(name, value, quantity, units, ""))
}

/// As [`inline`], for a size: zero or more.
pub fn inline_size(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    value: f64,
    quantity: Quantity,
    units: &UnitChoice,
) -> Option<f64> {
    let row = NumberRow::new(name, value, quantity, units, "");
    inline_row(ui, salt, NumberRow { takes: Takes::Within(0.0, WIDEST), ..row })
}

/// As [`inline`], for a value within bounds.
pub fn inline_within(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    value: f64,
    quantity: Quantity,
    bounds: (f64, f64),
    units: &UnitChoice,
) -> Option<f64> {
    let row = NumberRow::new(name, value, quantity, units, "");
    inline_row(ui, salt, NumberRow { takes: Takes::Within(bounds.0, bounds.1), ..row })
}

fn inline_row(ui: &mut Ui, salt: impl Hash, row: NumberRow<'_>) -> Option<f64> {
    let id = ui.make_persistent_id(("inline", fingerprint(&salt)));
    let t = Tokens::of(ui);
    let (texts, unit) = quantity_texts(row.name, row.value, row.quantity, row.units);
    // Name, field and unit go to the next line of a strip together.
    let wide = |text: &str| {
        ui.painter().layout_no_wrap(text.to_owned(), Size::Body.font(), egui::Color32::PLACEHOLDER).size().x
    };
    let all = wide(row.name) + INLINE_NUMBER + wide(unit) + 2.0 * ui.spacing().item_spacing.x;
    if ui.layout().main_wrap() && ui.available_size_before_wrap().x < all {
        ui.end_row();
    }
    ui.label(egui::RichText::new(row.name).color(t.second));
    let entered = ui
        .scope(|ui| {
            let (response, entered) =
                draft_edit(ui, id, &texts, INLINE_NUMBER, Align::RIGHT, |text| row.read(text));
            ui.painter().rect_stroke(
                response.rect,
                3.0,
                egui::Stroke::new(1.0, t.hairline),
                egui::StrokeKind::Inside,
            );
            entered
        })
        .inner;
    ui.label(egui::RichText::new(unit).color(t.second));
    ui.add_space(6.0);
    entered.filter(|v| *v != row.value)
}

/// A number in a cell of a table, whose column says the unit; every digit is shown.
pub fn cell(
    ui: &mut Ui,
    salt: impl Hash,
    spoken: &str,
    value: f64,
    quantity: Quantity,
    units: &UnitChoice,
    width: f32,
) -> Option<f64> {
    let id = ui.make_persistent_id(("cell", fingerprint(&salt)));
    let (mut texts, _) = quantity_texts(spoken, value, quantity, units);
    if units::unit_of(quantity, units).0.fract() == 0.0 {
        // A converted figure has digits without end.
        texts.rest.clone_from(&texts.exact);
    }
    // A table gives a new column little room; the cell takes what it needs.
    let room = Vec2::new(width, ROW);
    let edit =
        |ui: &mut Ui| draft_edit(ui, id, &texts, width, Align::RIGHT, parse_quantity(quantity, *units)).1;
    ui.allocate_ui(room, edit).inner.filter(|v| *v != value)
}

/// A form row with text.
pub fn text(ui: &mut Ui, salt: impl Hash, name: &str, value: &str, why: &str) -> Option<String> {
    let id = ui.make_persistent_id(("text", fingerprint(&salt)));
    let texts =
        Texts { rest: value.to_owned(), exact: value.to_owned(), name: name.to_owned(), hint: String::new() };
    row(ui, name, why, |ui| {
        let width = (ui.available_width() - 84.0).clamp(80.0, 190.0);
        draft_edit(ui, id, &texts, width, Align::RIGHT, |text| Ok(text.trim().to_owned())).1
    })
}

/// A form row with a choice.
pub fn choice<T: PartialEq + Copy>(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    value: T,
    all: &[(T, &str)],
    why: &str,
) -> Option<T> {
    let shown = all.iter().find(|(v, _)| *v == value).map_or("", |(_, label)| *label);
    let mut picked = value;
    if all.len() > SEARCHED {
        let labels: Vec<&str> = all.iter().map(|(_, label)| *label).collect();
        search_list(ui, salt, name, shown, why, &labels, |at| {
            if let Some((value, _)) = all.get(at) {
                picked = *value;
            }
        });
        return (picked != value).then_some(picked);
    }
    combo(ui, salt, name, shown, why, |ui| {
        for (option, label) in all {
            ui.selectable_value(&mut picked, *option, *label);
        }
    });
    (picked != value).then_some(picked)
}

/// A list that is longer than this is searched by typing.
const SEARCHED: usize = 10;

/// Whether a label has every word of what was typed.
fn has_words(label: &str, words: &str) -> bool {
    let label = label.to_lowercase();
    words.to_lowercase().split_whitespace().all(|word| label.contains(word))
}

/// A form row with a long list of names that is searched by typing; Enter takes the first that matches.
pub fn search_list(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    shown: &str,
    why: &str,
    labels: &[&str],
    mut pick: impl FnMut(usize),
) {
    search_combo(ui, salt, name, shown, why, "Search", |ui, words, enter| {
        let found: Vec<_> = labels.iter().enumerate().filter(|(_, label)| has_words(label, words)).collect();
        let mut picked = if enter { found.first().map(|(at, _)| *at) } else { None };
        for (at, label) in &found {
            if ui.selectable_label(**label == shown, **label).clicked() {
                picked = Some(*at);
            }
        }
        if found.is_empty() {
            ui.label(egui::RichText::new("Nothing matches.").color(Tokens::of(ui).second));
        }
        if let Some(at) = picked {
            pick(at);
        }
        picked.is_some()
    });
}

/// A form row with a list that drops down under a field to search it; `options` gets the words typed and whether Enter was pressed
/// on them, and says whether something was picked.
pub fn search_combo(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    shown: &str,
    why: &str,
    hint: &str,
    options: impl FnOnce(&mut Ui, &str, bool) -> bool,
) {
    let words_id = ui.make_persistent_id(("search", fingerprint(&salt)));
    drop_down(ui, salt, name, shown, why, egui::PopupCloseBehavior::CloseOnClickOutside, |ui| {
        let frame = ui.ctx().cumulative_frame_nr();
        // A list that was closed in between begins anew, with its field in hand.
        let (mut words, last): (String, u64) = ui.data(|d| d.get_temp(words_id)).unwrap_or_default();
        let fresh = frame.saturating_sub(last) > 1;
        if fresh {
            words.clear();
        }
        let edit = ui.add(egui::TextEdit::singleline(&mut words).hint_text(hint).desired_width(220.0));
        ui.ctx().accesskit_node_builder(edit.id, |node| {
            node.set_label(format!("Search {}", name.to_lowercase()))
        });
        if fresh {
            edit.request_focus();
        }
        let enter = edit.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        ui.data_mut(|d| d.insert_temp(words_id, (words.clone(), frame)));
        if options(ui, &words, enter) {
            ui.close();
        }
    });
}

/// A form row with a list that drops down; quiet until the pointer is on it.
pub fn combo(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    shown: &str,
    why: &str,
    options: impl FnOnce(&mut Ui),
) {
    drop_down(ui, salt, name, shown, why, egui::PopupCloseBehavior::CloseOnClick, options);
}

fn drop_down(
    ui: &mut Ui,
    salt: impl Hash,
    name: &str,
    shown: &str,
    why: &str,
    closes: egui::PopupCloseBehavior,
    options: impl FnOnce(&mut Ui),
) {
    let id = fingerprint(&salt);
    row(ui, name, why, |ui| {
        let resting = &mut ui.visuals_mut().widgets.inactive;
        resting.weak_bg_fill = egui::Color32::TRANSPARENT;
        resting.bg_stroke = egui::Stroke::NONE;
        ui.spacing_mut().button_padding.x = 4.0;
        // The label keeps its place: the choice gives way with an ellipsis.
        let label = ui
            .painter()
            .layout_no_wrap(name.to_owned(), Size::Body.font(), egui::Color32::PLACEHOLDER)
            .size()
            .x;
        let shown = crate::widgets::elided(ui, shown, ui.available_width() - label - 40.0);
        let response = egui::ComboBox::from_id_salt(("choice", id))
            .selected_text(shown)
            .width(40.0)
            .close_behavior(closes)
            .show_ui(ui, options);
        ui.ctx().accesskit_node_builder(response.response.id, |node| node.set_label(name.to_owned()));
    });
}

/// A value that was typed just now: stated, today.
pub fn stated<T>(value: T) -> Sourced<T> {
    Sourced { value, origin: Origin::Stated, on: crate::today() }
}

/// A small row under a figure that says where it comes from and since when, and takes another answer.
pub fn origin<T: Clone>(ui: &mut Ui, name: &str, value: &Sourced<T>) -> Option<Sourced<T>> {
    let t = Tokens::of(ui);
    let mut picked = None;
    let text = match (value.origin, value.on.as_str()) {
        (origin, "") => origin.label().to_owned(),
        (origin, on) => format!("{}, {on}", origin.label()),
    };
    let why = "Origin of the value: measured on the real part, stated on a drawing or data sheet, or \
        assumed. Assumed values widen the factor to a range";
    ui.allocate_ui_with_layout(
        Vec2::new(ui.available_width(), 18.0),
        egui::Layout::right_to_left(Align::Center),
        |ui| {
            let shown = egui::RichText::new(text.clone()).font(Size::Small.slanted()).color(t.second);
            let button = egui::Button::new(shown).frame_when_inactive(false).min_size(Vec2::ZERO);
            let (response, _) = egui::containers::menu::MenuButton::from_button(button).ui(ui, |ui| {
                for option in Origin::ALL {
                    if ui.button(option.label()).clicked() {
                        let on = if *option == Origin::Assumed { String::new() } else { crate::today() };
                        picked = Some(Sourced { value: value.value.clone(), origin: *option, on });
                        ui.close();
                    }
                }
            });
            ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(format!("{name}: {text}")));
            response.on_hover_text(why);
        },
    );
    picked
}

/// A form row with a tick at its right; gives whether it was just set or taken away.
pub fn tick(ui: &mut Ui, name: &str, on: &mut bool, why: &str) -> bool {
    row(ui, name, why, |ui| {
        ui.add_space(UNIT_WIDTH);
        let response = ui.checkbox(on, "");
        ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(name.to_owned()));
        response.changed()
    })
}
