//! The list of procedures, and what adds one.

use chockstone_rules::starting_texts::{self, StartingText};
use chockstone_schema::{Profile, read::to_value};
use egui::{
    Align, Button, ComboBox, Label, Layout, Response, RichText, ScrollArea, Ui, text::LayoutJob,
    vec2,
};
use serde_json::Value;

use super::{LIST, ProceduresState, items, words};
use crate::{
    document::{Edit, Op},
    form::{self, Field, Form},
    pointer,
    theme::Tokens,
    widgets::severity,
};

/// The room beside a procedure for the mark and the number of its gravest findings.
const COUNT_WIDTH: f32 = 48.0;

/// Draws the list as a column.
pub(super) fn column_ui(ui: &mut Ui, form: &mut Form<'_>, state: &mut ProceduresState) {
    ui.spacing_mut().item_spacing.y = 2.0;
    let procedures = items(form.value, LIST);
    let width = ui.available_width();
    for (index, item) in procedures.iter().enumerate() {
        let is_chosen = state.chosen.1 == index;
        let row = row_ui(ui, form, item, (index, is_chosen), width);
        if is_chosen && state.listed != Some(index) {
            row.scroll_to_me(None);
            state.listed = Some(index);
        }
        if row.clicked() {
            choose(form, state, index);
        }
    }
    ui.add_space(24.0);
}

/// Draws the list as a box that opens, for narrow windows.
pub(super) fn picker_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    profile: &Profile,
) {
    let procedures = items(form.value, LIST);
    ui.horizontal_wrapped(|ui| {
        if let Some(chosen) = procedures.get(state.chosen.1) {
            let name = words::name_of(chosen, &form.languages());
            let width = (ui.available_width() - 96.0).clamp(140.0, 420.0);
            let shown = ComboBox::from_id_salt("procedure shown")
                .selected_text(name)
                .width(width)
                .height(420.0)
                .truncate()
                .show_ui(ui, |ui| {
                    let mut picked = None;
                    let width = ui.available_width();
                    for (index, item) in procedures.iter().enumerate() {
                        let is_chosen = state.chosen.1 == index;
                        if row_ui(ui, form, item, (index, is_chosen), width).clicked() {
                            picked = Some(index);
                        }
                    }
                    picked
                });
            shown.response.accessible_name("Procedure shown");
            if let Some(index) = shown.inner.flatten() {
                choose(form, state, index);
            }
        }
        add_menu_ui(ui, form, state, profile);
    });
    ui.add_space(4.0);
}

/// What stands where there is no procedure.
pub(super) fn nothing_ui(ui: &mut Ui) {
    form::remark(
        ui,
        "There are no procedures yet. Add a blank one, or begin with a starting text and adapt it.",
    );
}

fn choose(form: &mut Form<'_>, state: &mut ProceduresState, index: usize) {
    form.state.end_focus();
    state.choose(index);
}

/// Draws one procedure with what the checks count in it, over the width of the list.
fn row_ui(
    ui: &mut Ui,
    form: &Form<'_>,
    item: &Value,
    (index, chosen): (usize, bool),
    width: f32,
) -> Response {
    let place = super::at(index);
    let counts = form::counts(form.findings(&place, true));
    let name = words::name_of(item, &form.languages());
    let purpose = words::purpose_of(item);
    let mut told = format!("{name}, {purpose}");
    for (kind, number) in &counts {
        told = format!("{told}, {}", severity::count(*kind, *number));
    }
    ui.horizontal_top(|ui| {
        let room = if counts.is_empty() { 0.0 } else { COUNT_WIDTH };
        let width = (width - room).max(100.0);
        let job = title(ui, name, &purpose);
        let layout = Layout::top_down(Align::Min);
        let row = ui
            .allocate_ui_with_layout(vec2(width, 0.0), layout, |ui| {
                let button = Button::selectable(chosen, job).wrap();
                ui.add(button.min_size(vec2(width, 26.0)))
                    .accessible_name(&told)
            })
            .inner;
        counts_ui(ui, &counts);
        row
    })
    .inner
}

fn title(ui: &Ui, name: &str, purpose: &str) -> LayoutJob {
    let tokens = Tokens::of(ui);
    let format =
        |style: egui::TextStyle, color| egui::TextFormat::simple(style.resolve(ui.style()), color);
    let mut job = LayoutJob::default();
    job.append(name, 0.0, format(egui::TextStyle::Body, tokens.text));
    let purpose = format!("\n{purpose}");
    job.append(
        &purpose,
        0.0,
        format(egui::TextStyle::Small, tokens.text_soft),
    );
    job
}

/// The gravest findings by mark and number; the others under the pointer.
fn counts_ui(ui: &mut Ui, counts: &[(chockstone_schema::report::Severity, usize)]) {
    let Some((worst, number)) = counts.first() else {
        return;
    };
    ui.spacing_mut().item_spacing.x = 3.0;
    let all: Vec<String> = counts
        .iter()
        .map(|(s, n)| severity::count(*s, *n))
        .collect();
    let color = severity::color(Tokens::of(ui), *worst);
    ui.vertical(|ui| {
        ui.add_space(6.0);
        ui.horizontal(|ui| {
            severity::mark(ui, *worst).on_hover_text(all.join(", "));
            let text = RichText::new(number.to_string()).color(color).small();
            ui.add(Label::new(text));
        });
    });
}

/// Draws the menu that adds a procedure.
pub(super) fn add_menu_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    profile: &Profile,
) {
    let Some(list) = form.field(LIST, "Procedures") else {
        return;
    };
    let menu = ui.menu_button("Add…", |ui| {
        ui.set_min_width(220.0);
        let is_open = form.state.draft(LIST).is_some();
        let blank = ui
            .add_enabled(!is_open, Button::new("Blank procedure"))
            .on_disabled_hover_text("Finish or discard the new one first");
        if blank.clicked() {
            add_blank(form, &list);
        }
        ui.separator();
        form::remark(ui, "Add from a starting text, to adapt and confirm");
        if let Some(text) = starting_texts_ui(ui, form) {
            insert(form, state, &list, profile, text);
        }
    });
    menu.response
        .on_hover_text("Add a procedure")
        .accessible_name("Add a procedure…");
    form::below(ui, form, &list, false);
}

fn add_blank(form: &mut Form<'_>, list: &Field<'_>) {
    if let Some(node) = list.node.items() {
        form::add_item(form, list, node);
    }
}

/// Lists the starting texts; tells which one was picked.
fn starting_texts_ui(ui: &mut Ui, form: &Form<'_>) -> Option<&'static StartingText> {
    let mut picked = None;
    ScrollArea::vertical().max_height(380.0).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        for text in starting_texts::all() {
            let response = ui.button(in_language(form, text.name));
            if response
                .on_hover_text(in_language(form, text.about))
                .clicked()
            {
                picked = Some(text);
                ui.close();
            }
        }
    });
    picked
}

/// Of a text in English and Spanish, the one that the profile's base language asks for.
fn in_language(form: &Form<'_>, [english, spanish]: [&'static str; 2]) -> &'static str {
    let base = form.languages().first().copied().unwrap_or("en");
    if base.split('-').next() == Some("es") {
        spanish
    } else {
        english
    }
}

/// Puts a starting text with everything that it names into the profile, as one step.
fn insert(
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    list: &Field<'_>,
    profile: &Profile,
    text: &StartingText,
) {
    let after = match starting_texts::insert(profile, text.id) {
        Ok(after) => to_value(&after),
        Err(refusal) => {
            form.state.refuse(&list.pointer, refusal.to_string());
            return;
        }
    };
    let name = format!("add the starting text {}", in_language(form, text.name));
    let ops = changed_fields(form.context.document, &after);
    let first_new = profile.procedures.len();
    form.send(list, Edit::new(name, ops), None);
    form.state.end_focus();
    state.choose(first_new);
}

/// Sets what differs at the top level of a document.
fn changed_fields(before: &Value, after: &Value) -> Vec<Op> {
    let fields = after.as_object().into_iter().flatten();
    fields
        .filter(|(name, value)| before.get(name.as_str()) != Some(value))
        .map(|(name, value)| Op::Set {
            pointer: pointer::join("", name),
            value: value.clone(),
        })
        .collect()
}
