//! A field of text that hands its text over once, when a person is done with it.
//!
//! While a field has the focus its text is its own. Enter or leaving the field hands over a text that differs from the
//! one shown; Escape drops it. A text that was refused stays in the field, with the reason under it, until it is
//! changed or dropped. Looking at a field, or tabbing through it, never hands anything over.

use egui::{
    Context, Id, Key, KeyboardShortcut, Modifiers, Response, RichText, TextEdit, Ui, text::CCursor,
};

use crate::theme::Tokens;

/// What a person made of a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EntryOutcome {
    /// Nothing.
    Unchanged,
    /// A text to take over.
    Entered(String),
}

/// A text that was refused, with the text that was shown when it was typed.
#[derive(Debug, Clone)]
struct Refused {
    text: String,
    shown: String,
    message: String,
    /// Whether the same text is handed over when a person leaves the field.
    again: bool,
}

/// A field that is being edited, and what stands in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Editing {
    /// The field.
    pub field: Id,
    /// Its accessible name.
    pub name: String,
    /// The text that it holds at rest.
    pub shown: String,
    /// The text that stands in it now.
    pub text: String,
}

/// A field of text, being set up.
pub struct Entry<'a> {
    id: Id,
    name: &'a str,
    shown: &'a str,
    hint: &'a str,
    width: f32,
    wraps: bool,
}

impl<'a> Entry<'a> {
    /// A field of one line. `name` is its accessible name; `shown` is the text it holds at rest.
    pub fn new(id: Id, name: &'a str, shown: &'a str) -> Self {
        Self {
            id,
            name,
            shown,
            hint: "",
            width: crate::theme::TEXT_WIDTH,
            wraps: false,
        }
    }

    /// What is written in the empty field.
    #[must_use]
    pub fn hint(mut self, hint: &'a str) -> Self {
        self.hint = hint;
        self
    }

    /// How wide it is.
    #[must_use]
    pub fn width(mut self, width: f32) -> Self {
        self.width = width;
        self
    }

    /// Lets it grow with its text over several lines; Shift+Enter breaks a line, Enter still hands over.
    #[must_use]
    pub fn wrapping(mut self) -> Self {
        self.wraps = true;
        self
    }

    /// Draws the field and says what a person made of it.
    pub fn show(self, ui: &mut Ui) -> (Response, EntryOutcome) {
        let kept = buffer(ui.ctx(), self.id);
        let was_editing = kept.is_some();
        let refused = refused(ui.ctx(), self.id, self.shown);
        let at_rest = refused.map_or_else(|| self.shown.to_owned(), |r| r.text);
        let mut text = kept.unwrap_or(at_rest);
        let response = self.draw(ui, &mut text);
        let outcome = self.outcome(ui, &response, was_editing, text);
        (response, outcome)
    }

    fn draw(&self, ui: &mut Ui, text: &mut String) -> Response {
        let edit = if self.wraps {
            self.leave_on_enter(ui);
            let break_line = KeyboardShortcut::new(Modifiers::SHIFT, Key::Enter);
            TextEdit::multiline(text)
                .desired_rows(1)
                .return_key(break_line)
        } else {
            TextEdit::singleline(text)
        };
        let response = ui.add(
            edit.id(self.id)
                .desired_width(self.width)
                .margin(egui::Margin::symmetric(7, 4))
                .hint_text(RichText::new(self.hint).color(Tokens::of(ui).text_soft)),
        );
        if response.gained_focus() {
            select_all(ui.ctx(), self.id, text);
        }
        response.accessible_name(self.name)
    }

    fn leave_on_enter(&self, ui: &Ui) {
        let focused = ui.memory(|memory| memory.has_focus(self.id));
        if focused && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
            ui.memory_mut(|memory| memory.surrender_focus(self.id));
        }
    }

    fn outcome(
        &self,
        ui: &Ui,
        response: &Response,
        was_editing: bool,
        text: String,
    ) -> EntryOutcome {
        if response.has_focus() {
            let editing = Editing {
                field: self.id,
                name: self.name.to_owned(),
                shown: self.shown.to_owned(),
                text: text.clone(),
            };
            ui.data_mut(|data| data.insert_temp(editing_key(), editing));
            set_buffer(ui.ctx(), self.id, Some(text));
            return EntryOutcome::Unchanged;
        }
        set_buffer(ui.ctx(), self.id, None);
        if was_editing && ui.input(|i| i.key_pressed(Key::Escape)) {
            forget_refusal(ui.ctx(), self.id);
            return EntryOutcome::Unchanged;
        }
        // An assistive program may set the text of a field that never had the focus.
        let set_from_outside = !was_editing && response.changed();
        let last_refused = refused(ui.ctx(), self.id, self.shown).filter(|r| !r.again);
        let last_refused = last_refused.map(|r| r.text);
        if !(was_editing || set_from_outside) || last_refused.as_ref() == Some(&text) {
            return EntryOutcome::Unchanged;
        }
        forget_refusal(ui.ctx(), self.id);
        if text == self.shown {
            EntryOutcome::Unchanged
        } else {
            EntryOutcome::Entered(text)
        }
    }
}

/// Keeps a refused text in its field and remembers why, until it is changed or the value shown is another.
pub fn refuse(context: &Context, id: Id, shown: &str, text: String, message: impl Into<String>) {
    keep_in_field(context, id, shown, text, message.into(), false);
}

/// Puts a text that was never handed over into its field, with a word about it, until a person goes into the field and
/// leaves it: then it is handed over, or dropped with Escape.
pub fn put_back(context: &Context, id: Id, shown: &str, text: String, message: impl Into<String>) {
    keep_in_field(context, id, shown, text, message.into(), true);
}

fn keep_in_field(
    context: &Context,
    id: Id,
    shown: &str,
    text: String,
    message: String,
    again: bool,
) {
    let refused = Refused {
        text,
        shown: shown.to_owned(),
        message,
        again,
    };
    context.data_mut(|data| data.insert_temp(refusal_key(id), refused));
}

/// Writes the reason of a refusal, if the field's text was refused.
pub fn refusal_ui(ui: &mut Ui, id: Id, shown: &str) {
    if let Some(refused) = refused(ui.ctx(), id, shown) {
        let color = Tokens::of(ui).blocking;
        ui.label(RichText::new(format!("Not taken over: {}", refused.message)).color(color));
    }
}

/// Tells whether a field's text was refused.
pub fn is_refused(context: &Context, id: Id, shown: &str) -> bool {
    refused(context, id, shown).is_some()
}

/// Takes the focus from the field being edited, so that it hands over its text in the next frame; says whether there
/// was one. Acts that need what was typed, such as saving, do this first and go on a frame later.
pub fn finish_editing(context: &Context) -> bool {
    let Some(id) = context.memory(egui::Memory::focused) else {
        return false;
    };
    if buffer(context, id).is_none() {
        return false;
    }
    context.memory_mut(|memory| memory.surrender_focus(id));
    context.request_repaint();
    true
}

/// The field that is being edited and holds another text than at rest.
pub fn being_edited(context: &Context) -> Option<Editing> {
    let focused = context.memory(egui::Memory::focused)?;
    let editing: Editing = context.data(|data| data.get_temp(editing_key()))?;
    (editing.field == focused && editing.text != editing.shown).then_some(editing)
}

fn editing_key() -> Id {
    Id::unique("the entry that is being edited")
}

fn select_all(context: &Context, id: Id, text: &str) {
    let clicked = context.input(|i| i.pointer.any_down() || i.pointer.any_released());
    if clicked {
        return;
    }
    if let Some(mut state) = TextEdit::load_state(context, id) {
        let all =
            egui::text::CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
        state.cursor.set_char_range(Some(all));
        TextEdit::store_state(context, id, state);
    }
}

fn buffer(context: &Context, id: Id) -> Option<String> {
    context.data(|data| data.get_temp(id.with("entry text")))
}

fn set_buffer(context: &Context, id: Id, text: Option<String>) {
    let key = id.with("entry text");
    context.data_mut(|data| match text {
        Some(text) => {
            data.insert_temp(key, text);
        }
        None => data.remove::<String>(key),
    });
}

fn refusal_key(id: Id) -> Id {
    id.with("entry refused")
}

fn refused(context: &Context, id: Id, shown: &str) -> Option<Refused> {
    let refused: Refused = context.data(|data| data.get_temp(refusal_key(id)))?;
    (refused.shown == shown).then_some(refused)
}

fn forget_refusal(context: &Context, id: Id) {
    context.data_mut(|data| data.remove::<Refused>(refusal_key(id)));
}
