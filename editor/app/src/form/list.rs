//! Lists: add, duplicate, reorder, take away, and one line about each item.

use egui::{Button, Frame, Margin, Stroke, Ui};
use serde_json::Value;

use super::{
    Field, Form, blank, joined, place, rename,
    row::{self, heading, remark},
    schema::{Kind, Node},
    section,
    state::Draft,
    summary::{self, Summary},
    text, words,
};
use crate::{
    document::{Edit, Op},
    pointer,
    theme::Tokens,
    widgets::{
        entry::{self, Entry, EntryOutcome},
        icon::{self, Icon},
    },
};

/// Draws a list with its items.
pub(super) fn list_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let Some(item_node) = field.node.items() else {
        return;
    };
    let items = items_of(form, field);
    let tools = |ui: &mut Ui, form: &mut Form<'_>| {
        remark(ui, &format!("{}", items.len()));
        if item_node.kind() != Kind::Text {
            add_button(ui, form, field, item_node);
        }
        if items.len() > 1 && item_node.kind() == Kind::Struct {
            fold_all_button(ui, form, field, items.len());
        }
    };
    heading(ui, form, field, |_, _| {}, tools);
    if items.is_empty() {
        remark(ui, field.node.description());
    }
    for index in 0..items.len() {
        item_ui(ui, form, field, item_node, index, items);
    }
    if item_node.kind() == Kind::Text {
        add_text_ui(ui, form, field);
    }
}

fn items_of<'a>(form: &Form<'a>, field: &Field<'_>) -> &'a [Value] {
    let items = form.value.pointer(&field.pointer).and_then(Value::as_array);
    items.map(Vec::as_slice).unwrap_or_default()
}

/// How many of the items are in the document; one more may be an unfinished one.
fn finished_items(form: &Form<'_>, field: &Field<'_>) -> usize {
    let document = form.context.document.pointer(&field.pointer);
    match document.and_then(Value::as_array) {
        Some(items) => items.len(),
        // The whole list lies in a draft, where every item counts.
        None => items_of(form, field).len() - usize::from(has_draft(form, field)),
    }
}

fn has_draft(form: &Form<'_>, field: &Field<'_>) -> bool {
    form.state.draft(&field.pointer).is_some_and(|d| d.is_item)
}

fn add_button(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>, node: Node<'_>) {
    let open = has_draft(form, field);
    let text = words::add_to(&field.label);
    let button = ui
        .add_enabled(!open, Button::new(&text))
        .accessible_name(joined(&field.prefix, &text))
        .on_disabled_hover_text("Finish or discard the new one first");
    if button.clicked() {
        add_item(form, field, node);
    }
}

/// Adds an item; one that lacks something stays a draft until it is complete.
pub(crate) fn add_item(form: &mut Form<'_>, field: &Field<'_>, node: Node<'_>) {
    let siblings = items_of(form, field);
    let value = blank::blank_item(node, &field.label, siblings);
    let at = pointer::join_index(&field.pointer, siblings.len());
    form.state.focus(&first_to_enter(node, &at));
    let around = form
        .state
        .draft_around(&field.pointer, form.context.document);
    if around.is_some() {
        let edit = Edit::insert("add", pointer::join(&field.pointer, "-"), value);
        form.send(field, edit, None);
        return;
    }
    let draft = Draft {
        value,
        is_item: true,
        noun: noun(field),
        faults: Vec::new(),
    };
    form.begin(&field.pointer, draft);
}

/// The first field of a new item that a person must fill in; the item itself where there is none.
fn first_to_enter(node: Node<'_>, item: &str) -> String {
    let needed = node.fields().into_iter().find(|name| {
        let kind = node.property(name).map(Node::kind);
        node.requires(name) && kind.is_some_and(|kind| kind != Kind::Id)
    });
    needed.map_or_else(|| item.to_owned(), |name| pointer::join(item, name))
}

/// What one item is called in a sentence.
fn noun(field: &Field<'_>) -> String {
    words::singular(&field.label).unwrap_or_else(|| words::in_sentence(&field.label))
}

fn fold_all_button(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>, count: usize) {
    let at = |index| pointer::join_index(&field.pointer, index);
    let any_open = (0..count).any(|i| form.state.is_unfolded(&at(i), false));
    let text = if any_open { "Fold all" } else { "Unfold all" };
    let name = format!("{text} {}", words::in_sentence(&field.name()));
    if ui.button(text).accessible_name(name).clicked() {
        for index in 0..count {
            form.state.unfold(&at(index), !any_open);
        }
    }
}

fn item_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    list: &Field<'_>,
    node: Node<'_>,
    index: usize,
    items: &[Value],
) {
    let item = items.get(index).unwrap_or(&Value::Null);
    let summary = summary::of(item, index, &list.label, &form.languages());
    let field = Field {
        node,
        pointer: pointer::join_index(&list.pointer, index),
        label: summary.key.clone(),
        prefix: list.prefix.clone(),
        required: true,
    };
    match node.kind() {
        Kind::Text => text_row_ui(ui, form, list, &field, index, items),
        Kind::Place => place_row_ui(ui, form, list, &field, index, items),
        _ => card_ui(ui, form, list, &field, &summary, index, items),
    }
}

fn card_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    list: &Field<'_>,
    field: &Field<'_>,
    summary: &Summary,
    index: usize,
    items: &[Value],
) {
    let tokens = Tokens::of(ui);
    let behind = section::reserve(ui);
    let unfolded = form.state.is_unfolded(&field.pointer, false);
    let frame = Frame::NONE
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.line_soft))
        .corner_radius(6)
        .inner_margin(Margin::symmetric(10, 6));
    let drawn = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        head_ui(ui, form, list, field, summary, index, items);
        row::below(ui, form, field, false);
        if is_unfinished(form, list, index) {
            section::unfinished_ui(ui, form, field, &list.pointer);
        }
        if unfolded {
            ui.add_space(4.0);
            section::members_ui(ui, form, field, &joined(&list.prefix, &summary.key));
        }
    });
    row::lead_to_group(ui, form, field, drawn.response.rect, behind);
}

fn is_unfinished(form: &Form<'_>, list: &Field<'_>, index: usize) -> bool {
    has_draft(form, list) && index == finished_items(form, list)
}

fn head_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    list: &Field<'_>,
    field: &Field<'_>,
    summary: &Summary,
    index: usize,
    items: &[Value],
) {
    let unfolded = form.state.is_unfolded(&field.pointer, false);
    let mut toggle = false;
    ui.horizontal(|ui| {
        toggle = section::fold_button(ui, &field.name(), unfolded);
        row::at_right(ui, |ui| {
            tools_ui(ui, form, list, field, index, items);
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                toggle |= title_ui(ui, summary);
                if !unfolded {
                    ui.add_space(10.0);
                    section::finding_counts(ui, form, field);
                }
            });
        });
    });
    if toggle {
        form.state.unfold(&field.pointer, !unfolded);
    }
}

/// The line about the item; a click folds or unfolds it.
fn title_ui(ui: &mut Ui, summary: &Summary) -> bool {
    let tokens = Tokens::of(ui);
    let mut job = egui::text::LayoutJob::default();
    let font = egui::TextStyle::Body.resolve(ui.style());
    let format = |color| egui::TextFormat::simple(font.clone(), color);
    job.append(&summary.key, 0.0, format(tokens.text));
    if !summary.detail.is_empty() {
        job.append(&summary.detail, 14.0, format(tokens.text_soft));
    }
    let button = Button::new(job).frame(false).truncate();
    ui.add(button).accessible_name(summary.line()).clicked()
}

/// Draws the buttons of one item, from the right.
fn tools_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    list: &Field<'_>,
    field: &Field<'_>,
    index: usize,
    items: &[Value],
) {
    if is_unfinished(form, list, index) {
        return;
    }
    ui.spacing_mut().item_spacing.x = 3.0;
    let name = field.name();
    let end = finished_items(form, list).saturating_sub(1);
    let press = |ui: &mut Ui, icon, verb: &str, enabled| {
        icon::button(ui, icon, &format!("{verb} {name}"), enabled).clicked()
    };
    if press(ui, Icon::Delete, "Delete", true) {
        delete(form, list, field, index, items);
    }
    if press(ui, Icon::Duplicate, "Duplicate", true) {
        duplicate(form, list, field, index, items);
    }
    if press(ui, Icon::Down, "Move down", index < end) {
        move_item(form, list, field, index, index + 1);
    }
    if press(ui, Icon::Up, "Move up", index > 0) {
        move_item(form, list, field, index, index.saturating_sub(1));
    }
}

/// Takes an item away, unless something still names it.
pub(crate) fn delete(
    form: &mut Form<'_>,
    list: &Field<'_>,
    field: &Field<'_>,
    index: usize,
    items: &[Value],
) {
    let id = items.get(index).and_then(|item| item.get("id")?.as_str());
    let named = id
        .map(|id| named_at(form, list, field, id))
        .unwrap_or_default();
    if !named.is_empty() {
        let message = format!("something still names it: {}", named.join("; "));
        form.state.refuse(&field.pointer, message);
        return;
    }
    let name = format!("delete {} {}", noun(list), field.label);
    let edit = Edit::remove(name, field.pointer.clone());
    form.send(field, edit, None);
    form.state.follow(&list.pointer, |i| match i.cmp(&index) {
        std::cmp::Ordering::Less => Some(i),
        std::cmp::Ordering::Equal => None,
        std::cmp::Ordering::Greater => Some(i - 1),
    });
}

fn named_at(form: &Form<'_>, list: &Field<'_>, field: &Field<'_>, id: &str) -> Vec<String> {
    let (schema, value) = (form.context.schema, form.context.document);
    rename::references_to(schema, value, &list.pointer, id)
        .iter()
        .filter(|place| !pointer::is_within(place, &field.pointer))
        .map(|place| super::place_in_words(schema, value, place, &form.languages()))
        .collect()
}

/// Puts a copy of an item behind it.
pub(crate) fn duplicate(
    form: &mut Form<'_>,
    list: &Field<'_>,
    field: &Field<'_>,
    index: usize,
    items: &[Value],
) {
    let Some(item) = items.get(index) else {
        return;
    };
    let copy = blank::duplicate(item, items);
    let at = pointer::join_index(&list.pointer, index + 1);
    let name = format!("duplicate {} {}", noun(list), field.label);
    form.state
        .follow(&list.pointer, |i| Some(if i > index { i + 1 } else { i }));
    form.state.unfold(&at, true);
    form.send(field, Edit::insert(name, at, copy), None);
}

/// Moves an item to another position; what lies between closes up.
pub(crate) fn move_item(
    form: &mut Form<'_>,
    list: &Field<'_>,
    field: &Field<'_>,
    from: usize,
    to: usize,
) {
    let op = Op::Move {
        from: pointer::join_index(&list.pointer, from),
        to: pointer::join_index(&list.pointer, to),
    };
    let name = format!("move {} {}", noun(list), field.label);
    form.state.follow(&list.pointer, |i| {
        Some(match i {
            _ if i == from => to,
            _ if from < i && i <= to => i - 1,
            _ if to <= i && i < from => i + 1,
            _ => i,
        })
    });
    form.send(field, Edit::new(name, vec![op]), None);
}

fn text_row_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    list: &Field<'_>,
    field: &Field<'_>,
    index: usize,
    items: &[Value],
) {
    row::row(ui, form, field, |ui, form| {
        let room = ui.available_width() - 4.0 * 28.0;
        let main = ui
            .scope(|ui| {
                ui.set_max_width(room);
                text::strings_ui(ui, form, field, &field.name())
            })
            .inner;
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
            tools_ui(ui, form, list, field, index, items);
        });
        main
    });
}

fn place_row_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    list: &Field<'_>,
    field: &Field<'_>,
    index: usize,
    items: &[Value],
) {
    place::place_ui(ui, form, field);
    row::indented(ui, form.field_x, |ui| {
        ui.horizontal(|ui| tools_ui(ui, form, list, field, index, items));
        if is_unfinished(form, list, index) {
            section::unfinished_ui(ui, form, field, &list.pointer);
        }
    });
}

/// Draws the empty field whose text becomes a new item.
fn add_text_ui(ui: &mut Ui, form: &mut Form<'_>, list: &Field<'_>) {
    let id = list.id().with("new");
    let text = words::add_to(&list.label);
    let name = joined(&list.prefix, &text);
    row::indented(ui, form.field_x, |ui| {
        let (_, outcome) = Entry::new(id, &name, "")
            .hint(&format!("{text}…"))
            .wrapping()
            .show(ui);
        if let EntryOutcome::Entered(typed) = outcome
            && !typed.trim().is_empty()
        {
            let language = form.languages().first().copied().unwrap_or("en");
            let value = serde_json::json!({ language: typed.trim() });
            let at = pointer::join(&list.pointer, "-");
            let edit = Edit::insert(format!("add {}", noun(list)), at, value);
            form.send(list, edit, Some((id, String::new(), typed)));
        }
    });
    entry::refusal_ui(ui, id, "");
}
