//! What a field holds while somebody is in it: the text as typed, apart from the value it began with.
//!
//! A field that was entered and left without typing changes nothing. What was typed is read with every digit, once, when
//! the field is left; Escape forgets it. A change from outside (undo, a drag) shows at once in a field nobody typed in.

use crate::theme::{Size, Tokens};
use egui::{Align, Context, Frame, Id, Key, Margin, Response, TextEdit, Ui};

/// What a field shows.
pub(super) struct Texts {
    /// While nobody is in it.
    pub rest: String,
    /// What editing starts from: reads back to the very value.
    pub exact: String,
    /// What it is called.
    pub name: String,
    /// The unit of what stands in it, where it has one.
    pub unit: String,
    /// What may be typed, said while somebody is in it and has typed nothing yet.
    pub hint: String,
}

impl Texts {
    /// Name and unit, aloud.
    fn label(&self) -> String {
        if self.unit.is_empty() { self.name.clone() } else { format!("{}, {}", self.name, self.unit) }
    }
}

/// The text of the field somebody is in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Draft {
    text: String,
    /// What stood there when the field was entered, or came from outside since.
    began: String,
    problem: Option<String>,
    /// Frame in which it was last drawn; a field that went away takes its draft with it.
    frame: u64,
}

impl Draft {
    fn new(exact: &str, frame: u64) -> Self {
        Self { text: exact.to_owned(), began: exact.to_owned(), problem: None, frame }
    }

    /// Whether anything was typed.
    fn touched(&self) -> bool {
        self.text != self.began
    }

    /// Takes over a value that changed from outside, unless something was typed; gives whether it did.
    fn follow(&mut self, exact: &str) -> bool {
        let moved = self.began != exact && !self.touched();
        if moved {
            exact.clone_into(&mut self.began);
            exact.clone_into(&mut self.text);
        }
        moved
    }

    /// What comes of leaving the field: nothing, what was entered, or why it cannot be read.
    fn left<T>(&self, parse: impl Fn(&str) -> Result<T, String>) -> Option<Result<T, String>> {
        self.touched().then(|| parse(&self.text))
    }
}

/// The field somebody is in, as the rest of the window may know it.
#[derive(Debug, Clone, Copy)]
struct InHand {
    id: Id,
    frame: u64,
    touched: bool,
}

fn in_hand_id() -> Id {
    Id::unique("the field in hand")
}

fn refused_id() -> Id {
    Id::unique("what a field refused")
}

/// The field that was in hand when the last frame ended.
fn in_hand(ctx: &Context) -> Option<InHand> {
    let frame = ctx.cumulative_frame_nr();
    ctx.data(|d| d.get_temp::<InHand>(in_hand_id())).filter(|held| frame.saturating_sub(held.frame) <= 1)
}

/// Whether a field of a form is in hand, even one that Escape is just taking it out of.
pub fn held(ctx: &Context) -> bool {
    in_hand(ctx).is_some()
}

/// Whether something was typed into the field in hand that is not entered yet.
pub fn touched(ctx: &Context) -> bool {
    in_hand(ctx).is_some_and(|held| held.touched)
}

/// Whether the field in hand was only entered: nothing of it would be lost.
pub fn untouched(ctx: &Context) -> bool {
    in_hand(ctx).is_some_and(|held| !held.touched && ctx.memory(|m| m.has_focus(held.id)))
}

/// Leaves the field in hand, so that what was typed is entered in this frame.
pub fn leave(ctx: &Context) {
    ctx.memory_mut(|m| m.stop_text_input());
}

/// Why what was typed into a field was not taken, once; for the status bar.
pub fn take_refused(ctx: &Context) -> Option<String> {
    ctx.data_mut(|d| d.remove_temp::<String>(refused_id()))
}

/// The field that gave a value in this frame.
#[derive(Clone)]
struct Given {
    id: Id,
    draft: Draft,
    enter: bool,
}

fn given_id() -> Id {
    Id::unique("the field that gave a value")
}

/// What a field gave in this frame was not taken: after Enter it keeps what was typed and says why, as with a figure that
/// cannot be read.
pub fn refuse(ctx: &Context, says: &str) {
    let frame = ctx.cumulative_frame_nr();
    let given = ctx.data(|d| d.get_temp::<Given>(given_id()));
    let Some(Given { id, draft, .. }) = given.filter(|given| given.enter && given.draft.frame == frame)
    else {
        return;
    };
    ctx.data_mut(|d| d.insert_temp(id, Draft { problem: Some(says.to_owned()), ..draft }));
    ctx.memory_mut(|m| m.request_focus(id));
}

/// Frames in which a field that is asked for may appear.
const SOON: u64 = 4;

fn asked_id() -> Id {
    Id::unique("the field that is asked for next")
}

/// The field of this name takes the keys as soon as it is drawn: what was done last asks for its figure.
pub fn focus_on(ctx: &Context, name: &'static str) {
    let frame = ctx.cumulative_frame_nr();
    ctx.data_mut(|d| d.insert_temp(asked_id(), (name, frame)));
    ctx.request_repaint();
}

/// Whether a field was asked for, once.
fn is_asked_for(ctx: &Context, name: &str) -> bool {
    let Some((asked, since)) = ctx.data(|d| d.get_temp::<(&'static str, u64)>(asked_id())) else {
        return false;
    };
    let since = ctx.cumulative_frame_nr().saturating_sub(since);
    // In the frame of the click itself the toolkit takes the focus away again.
    if since == 0 {
        return false;
    }
    let old = since > SOON;
    let found = !old && name == asked;
    if old || found {
        ctx.data_mut(|d| d.remove_temp::<(&'static str, u64)>(asked_id()));
    }
    found
}

/// The bare edit; gives what was entered when it was meant.
pub(super) fn draft_edit<T>(
    ui: &mut Ui,
    id: Id,
    texts: &Texts,
    width: f32,
    align: Align,
    parse: impl Fn(&str) -> Result<T, String>,
) -> (Response, Option<T>) {
    let t = Tokens::of(ui);
    let frame = ui.ctx().cumulative_frame_nr();
    let mut draft =
        ui.data(|d| d.get_temp::<Draft>(id)).filter(|draft| frame.saturating_sub(draft.frame) <= 1);
    let followed = draft.as_mut().is_some_and(|draft| draft.follow(&texts.exact));
    let line = match &draft {
        Some(Draft { problem: Some(_), .. }) => t.fail,
        Some(_) => t.working,
        None => egui::Color32::TRANSPARENT,
    };
    let mut text = draft.as_ref().map_or_else(|| texts.rest.clone(), |draft| draft.text.clone());
    let around = Frame::new()
        .inner_margin(Margin::symmetric(4, 2))
        .stroke(egui::Stroke::new(1.0, line))
        .corner_radius(3.0);
    let output = TextEdit::singleline(&mut text)
        .id(id)
        .desired_width(width - 8.0)
        .align(egui::Align2([align, Align::Center]))
        .frame(around)
        .font(Size::Body.font())
        .show(ui);
    let response = output.response.response.clone();
    ui.ctx().accesskit_node_builder(id, |node| node.set_label(texts.label()));
    if is_asked_for(ui.ctx(), &texts.name) {
        response.request_focus();
    }
    let focused = ui.memory(|m| m.has_focus(id));
    // A field is told from a figure at rest too.
    if !focused {
        let colour = if response.hovered() { t.second } else { t.hairline };
        let (x, y) = (response.rect.x_range(), response.rect.bottom() - 1.0);
        ui.painter().hline(x, y, egui::Stroke::new(1.0, colour));
    }
    // Whether the field is left is told by the draft: the toolkit reports a lost focus for two frames.
    let mut entered = None;
    let entering = focused && draft.is_none();
    draft = match draft {
        None if focused => Some(Draft::new(&texts.exact, frame)),
        None => None,
        Some(mut draft) => {
            if response.changed() {
                draft.problem = None;
            }
            draft.text = text;
            if focused { Some(draft) } else { left(ui, &response, texts, draft, parse, &mut entered) }
        }
    };
    if entering || followed {
        let mut state = output.state;
        let end = egui::text::CCursor::new(texts.exact.chars().count());
        state.cursor.set_char_range(Some(egui::text::CCursorRange::two(egui::text::CCursor::new(0), end)));
        // Undo within the text goes back to what stands here, not to what stood here some other time.
        state.clear_undoer();
        state.store(ui.ctx(), id);
    }
    match draft {
        Some(draft) => {
            if let Some(problem) = &draft.problem {
                response.show_tooltip_text(problem);
            } else if !texts.hint.is_empty() && !draft.touched() {
                response.show_tooltip_text(&texts.hint);
            }
            let held = InHand { id, frame, touched: draft.touched() };
            ui.data_mut(|d| {
                d.insert_temp(in_hand_id(), held);
                d.insert_temp(id, Draft { frame, ..draft });
            });
        }
        None => {
            ui.data_mut(|d| d.remove_temp::<Draft>(id));
        }
    }
    (response, entered)
}

/// The field was left: what was typed is entered, or kept with what is wrong with it where Enter was pressed.
fn left<T>(
    ui: &Ui,
    response: &Response,
    texts: &Texts,
    draft: Draft,
    parse: impl Fn(&str) -> Result<T, String>,
    entered: &mut Option<T>,
) -> Option<Draft> {
    let (escape, enter) = ui.input(|i| (i.key_pressed(Key::Escape), i.key_pressed(Key::Enter)));
    // This Enter was for the field; what stands around it must not take it for its own.
    ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, Key::Enter));
    if escape {
        return None;
    }
    match draft.left(parse)? {
        Ok(value) => {
            *entered = Some(value);
            let draft = Draft { frame: ui.ctx().cumulative_frame_nr(), ..draft };
            ui.data_mut(|d| d.insert_temp(given_id(), Given { id: response.id, draft, enter }));
        }
        Err(problem) if enter => {
            response.request_focus();
            return Some(Draft { problem: Some(problem), ..draft });
        }
        Err(problem) => {
            let says = format!("{} is unchanged: {problem}.", texts.name);
            ui.data_mut(|d| d.insert_temp(refused_id(), says));
        }
    }
    None
}

#[cfg(test)]
mod tests;
