//! Rows of chips: parts named one beside another, each with what takes it away, and a box that finds more by name.

use egui::{
    Button, Id, Key, Label, Popup, PopupCloseBehavior, Response, RichText, ScrollArea, Sense,
    Stroke, TextEdit, Ui, WidgetInfo, accesskit::Role, vec2,
};
use serde_json::Value;

use super::targets::{self, Target};
use crate::{
    command::Command,
    document::Edit,
    form::{self, Field, Form, Kind},
    pointer,
    theme::{ROW_HEIGHT, Tokens},
    widgets::icon::{self, Icon},
};

/// What a person picked in the box.
pub(super) enum Picked {
    /// The part with this id.
    Part(String),
    /// To go to the list that the parts are from.
    TheirList,
}

/// What is typed into an open box.
#[derive(Debug, Clone, Default)]
struct Search {
    typed: String,
    had_focus: bool,
}

/// Draws a list of references on a row of its own.
pub(super) fn row_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let Some(list) = list_of(field) else {
        return;
    };
    let present: Vec<&str> = super::items(form.value, &field.pointer)
        .iter()
        .filter_map(Value::as_str)
        .collect();
    form::row(ui, form, field, |ui, form| {
        for (index, id) in present.iter().enumerate() {
            let target = targets::find(form, list, id);
            let name = format!("{}: take {} away", field.name(), target.name);
            if chip_ui(ui, &target, &name) {
                let what = format!("take {} away from {}", target.name, field.phrase());
                let place = pointer::join_index(&field.pointer, index);
                form.send(field, Edit::remove(what, place), None);
            }
        }
        let (button, picked) = picker_ui(ui, form, field, list, &present);
        match picked {
            Some(Picked::Part(id)) => add(form, field, list, &id),
            Some(Picked::TheirList) => form.commands.push(Command::GoTo(list.to_owned())),
            None => {}
        }
        Some(button)
    });
}

/// The list whose parts a list of references names.
fn list_of<'n>(field: &Field<'n>) -> Option<&'n str> {
    match field.node.items()?.kind() {
        Kind::Reference { list, .. } => Some(list),
        _ => None,
    }
}

fn add(form: &mut Form<'_>, field: &Field<'_>, list: &str, id: &str) {
    let target = targets::find(form, list, id);
    let what = format!("add {} to {}", target.name, field.phrase());
    let place = pointer::join(&field.pointer, "-");
    form.send(field, Edit::insert(what, place, id.into()), None);
}

/// Draws one chip; says whether it is to go. `name` is what its cross is called.
fn chip_ui(ui: &mut Ui, target: &Target, name: &str) -> bool {
    let tokens = Tokens::of(ui);
    let font = egui::TextStyle::Body.resolve(ui.style());
    let most = (ui.max_rect().width() - 44.0).max(60.0);
    let galley = ui
        .painter()
        .layout(target.name.clone(), font, tokens.text, most);
    let size = vec2(
        galley.size().x + 34.0,
        (galley.size().y + 6.0).max(ROW_HEIGHT),
    );
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &target.name));
    ui.painter().rect(
        rect,
        ROW_HEIGHT / 2.0,
        tokens.chosen,
        Stroke::new(1.0, tokens.line_soft),
        egui::StrokeKind::Inside,
    );
    let corner = egui::pos2(rect.left() + 11.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(corner, galley, tokens.text);
    let id = response.id;
    response.on_hover_text(target.tooltip());
    let cross = rect.with_min_x(rect.right() - 24.0).shrink(2.0);
    cross_ui(ui, cross, id.with("cross"), name)
}

fn cross_ui(ui: &mut Ui, rect: egui::Rect, id: Id, name: &str) -> bool {
    let response = ui.interact(rect, id, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    let tokens = Tokens::of(ui);
    if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 10.0, tokens.button_hover);
    }
    if response.has_focus() {
        let stroke = Stroke::new(2.0, tokens.accent);
        ui.painter()
            .rect_stroke(rect, 10.0, stroke, egui::StrokeKind::Inside);
    }
    icon::paint(ui.painter(), Icon::Delete, rect, tokens.text);
    response.on_hover_text(name).clicked()
}

/// Draws the button that opens the box, and the box while it is open.
pub(super) fn picker_ui(
    ui: &mut Ui,
    form: &Form<'_>,
    field: &Field<'_>,
    list: &str,
    present: &[&str],
) -> (Response, Option<Picked>) {
    let name = format!("{}: add", field.name());
    let button = ui
        .button("Add…")
        .on_hover_text(field.node.description())
        .accessible_name(&name);
    let id = field.id().with("picker");
    let typed_key = id.with("typed");
    let popup = Popup::from_toggle_button_response(&button)
        .id(id)
        .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
        .width(330.0)
        .accessible_name(&name);
    // A click opens the box only when it is shown.
    if !popup.is_open() && !button.clicked() {
        ui.data_mut(|data| data.remove::<Search>(typed_key));
        return (button, None);
    }
    let mut options = targets::all(form, list);
    options.retain(|target| !present.contains(&target.id.as_str()));
    let shown = popup.show(|ui| box_ui(ui, typed_key, list, &options));
    let picked = shown.and_then(|shown| shown.inner);
    if picked.is_some() {
        Popup::close_id(ui.ctx(), id);
        button.request_focus();
    }
    (button, picked)
}

fn box_ui(ui: &mut Ui, key: Id, list: &str, options: &[Target]) -> Option<Picked> {
    let mut search: Search = ui.data(|data| data.get_temp(key)).unwrap_or_default();
    let edit = TextEdit::singleline(&mut search.typed)
        .id(key.with("field"))
        .hint_text("Part of the name")
        .desired_width(f32::INFINITY);
    let response = ui.add(edit).accessible_name("Part of the name");
    // The first frame of a box only measures it, and what is drawn then cannot take the focus.
    if !search.had_focus {
        response.request_focus();
        search.had_focus = response.has_focus() && !ui.is_sizing_pass();
    }
    let fits: Vec<&Target> = options
        .iter()
        .filter(|t| t.matches(&search.typed))
        .collect();
    ui.data_mut(|data| data.insert_temp(key, search.clone()));
    let entered = response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    let mut picked = fits.first().filter(|_| entered).map(|t| t.id.clone());
    ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for target in &fits {
            if option_ui(ui, target).clicked() {
                picked = Some(target.id.clone());
            }
        }
        if fits.is_empty() {
            form::remark(ui, "Nothing has such a name, or all of them are there.");
        }
    });
    ui.separator();
    let to_list = ui.button(format!("Edit the {}…", list.trim_start_matches('/')));
    let to_list = to_list.clicked().then_some(Picked::TheirList);
    picked.map(Picked::Part).or(to_list)
}

fn option_ui(ui: &mut Ui, target: &Target) -> Response {
    let width = ui.available_width();
    let button = Button::selectable(false, &target.name)
        .wrap()
        .min_size(vec2(width, 24.0));
    let response = ui.add(button).accessible_name(&target.name);
    let soft = Tokens::of(ui).text_soft;
    response.on_hover_ui(|ui| {
        ui.set_max_width(320.0);
        ui.add(Label::new(target.tooltip()).wrap());
        ui.label(RichText::new("Click to add it").color(soft).small());
    })
}
