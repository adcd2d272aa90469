//! The card of one step.

use egui::{
    Align, Button, Frame, Id, Label, Layout, Margin, Rect, Response, RichText, Sense, Stroke, Ui,
    WidgetInfo, accesskit::Role, text::LayoutJob, vec2,
};
use serde_json::Value;

use super::{chips, holds, rest, texts, words};
use crate::{
    form::{self, Field, Form, Kind},
    pointer,
    theme::Tokens,
    widgets::icon::{self, Icon},
};

/// The fields of a step in the order in which a crew needs them; the text stands above them.
const FIELDS: [&str; 16] = [
    "act",
    "hazards",
    "cautions",
    "requires",
    "requires_not",
    "establishes",
    "clears",
    "time",
    "holds",
    "opens",
    "settles",
    "points",
    "tools",
    "pictures",
    "source",
    "id",
];
/// Fields that are shown even without a value.
const ALWAYS: [&str; 6] = [
    "act",
    "requires",
    "requires_not",
    "establishes",
    "clears",
    "time",
];
/// Fields that stand side by side where there is room.
const PAIRS: [(&str, &str); 2] = [("requires", "requires_not"), ("establishes", "clears")];
/// Below this width they do not.
const LEAST_WIDTH_FOR_PAIRS: f32 = 780.0;
/// How much room the buttons of a card take.
const TOOLS_WIDTH: f32 = 5.0 * 25.0;

/// What a person asks of a step as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum StepAct {
    MoveTo(usize),
    Duplicate,
    Remove,
    InsertAfter,
}

/// One step while it is drawn.
pub(super) struct Card<'c> {
    pub(super) field: Field<'c>,
    pub(super) step: &'c Value,
    pub(super) index: usize,
    pub(super) count: usize,
    pub(super) is_dragged: bool,
}

/// The position of the step that is being dragged.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dragged(pub(super) usize);

/// The identity of the handle of a step.
pub(super) fn handle_id(step: &str) -> Id {
    Id::unique(("handle of a step", step))
}

impl Card<'_> {
    /// "Step 3".
    fn title(&self) -> String {
        format!("Step {}", self.index + 1)
    }

    /// Draws the card; tells where it stands and what a person asks.
    pub(super) fn show(&self, ui: &mut Ui, form: &mut Form<'_>) -> (Rect, Option<StepAct>) {
        let tokens = Tokens::of(ui);
        let behind = form::reserve(ui);
        let stroke = if self.is_dragged {
            Stroke::new(2.0, tokens.accent)
        } else {
            Stroke::new(1.0, tokens.line_soft)
        };
        let frame = Frame::NONE
            .fill(tokens.card)
            .stroke(stroke)
            .corner_radius(6)
            .inner_margin(Margin::symmetric(8, 6));
        let drawn = frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            let act = self.head_ui(ui, form);
            let unfolded = form.state.is_unfolded(&self.field.pointer, true);
            // A folded card only counts its findings; why something was refused is told in any case.
            if unfolded || form.state.refusal(&self.field.pointer).is_some() {
                form::below(ui, form, &self.field, false);
            }
            if unfolded {
                self.body_ui(ui, form);
            }
            act
        });
        let rect = drawn.response.rect;
        form::lead_to_group(ui, form, &self.field, rect, behind);
        (rect, drawn.inner)
    }

    fn head_ui(&self, ui: &mut Ui, form: &mut Form<'_>) -> Option<StepAct> {
        let unfolded = form.state.is_unfolded(&self.field.pointer, true);
        let mut toggle = false;
        let mut act = None;
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            self.handle_ui(ui);
            toggle |= form::fold_button(ui, &self.title(), unfolded);
            let room = (ui.available_width() - TOOLS_WIDTH - 4.0).max(60.0);
            ui.allocate_ui(vec2(room, 0.0), |ui| {
                ui.set_min_width(room);
                ui.vertical(|ui| toggle |= self.title_ui(ui, form, unfolded));
            });
            act = self.tools_ui(ui);
        });
        if toggle {
            form.state.unfold(&self.field.pointer, !unfolded);
        }
        act
    }

    /// The handle by which the card is dragged.
    fn handle_ui(&self, ui: &mut Ui) -> Response {
        let (rect, _) = ui.allocate_exact_size(vec2(18.0, 24.0), Sense::hover());
        let id = handle_id(&self.field.pointer);
        let response = ui.interact(rect, id, Sense::click_and_drag());
        if response.clicked() {
            response.request_focus();
        }
        let name = format!("{}: drag to another place", self.title());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
        response.dnd_set_drag_payload(Dragged(self.index));
        let tokens = Tokens::of(ui);
        if response.hovered() || response.has_focus() {
            ui.painter().rect_filled(rect, 4.0, tokens.button_hover);
        }
        if response.has_focus() {
            let stroke = Stroke::new(2.0, tokens.accent);
            ui.painter()
                .rect_stroke(rect, 4.0, stroke, egui::StrokeKind::Inside);
        }
        for (x, y) in [
            (-3.0, -5.0),
            (3.0, -5.0),
            (-3.0, 0.0),
            (3.0, 0.0),
            (-3.0, 5.0),
            (3.0, 5.0),
        ] {
            let dot = rect.center() + vec2(x, y);
            ui.painter().circle_filled(dot, 1.5, tokens.text_soft);
        }
        response
            .on_hover_cursor(egui::CursorIcon::Grab)
            .on_hover_text(format!("{name}, or press Alt with an arrow key"))
    }

    /// The number, and of a folded card what it says, does and takes; a click folds or unfolds it.
    fn title_ui(&self, ui: &mut Ui, form: &Form<'_>, unfolded: bool) -> bool {
        let details = words::details_of(self.step);
        let text = self.step.get("text");
        let text = text.and_then(|t| form::text_in(t, &form.languages()));
        let text_shown = text.filter(|_| !unfolded);
        let job = self.job(ui, text_shown, &details, true);
        let line = ui.painter().layout_job(job.clone()).size().x;
        let job = if line + 2.0 * ui.spacing().button_padding.x > ui.available_width() {
            self.job(ui, text_shown, &details, false)
        } else {
            job
        };
        let button = Button::new(job).frame(false).wrap();
        let whole = format!("{}: {}", self.title(), text.unwrap_or_default());
        let clicked = ui.add(button).accessible_name(whole).clicked();
        let mut told = form.findings(&self.field.pointer, true).peekable();
        if !unfolded && told.peek().is_some() {
            ui.horizontal_wrapped(|ui| form::finding_counts(ui, form, &self.field));
        }
        clicked
    }

    fn job(&self, ui: &Ui, text: Option<&str>, details: &str, one_line: bool) -> LayoutJob {
        let tokens = Tokens::of(ui);
        let body = egui::TextStyle::Body.resolve(ui.style());
        let small = egui::TextStyle::Small.resolve(ui.style());
        let mut job = LayoutJob::default();
        let strong = egui::TextFormat::simple(body.clone(), tokens.accent);
        job.append(&(self.index + 1).to_string(), 0.0, strong);
        if let Some(text) = text {
            let format = egui::TextFormat::simple(body, tokens.text);
            job.append(text, 10.0, format);
        }
        if !details.is_empty() {
            let on_its_own = !one_line && text.is_some();
            let format = egui::TextFormat::simple(small, tokens.text_soft);
            let (gap, details) = if on_its_own {
                (0.0, format!("\n{details}"))
            } else {
                (12.0, details.to_owned())
            };
            job.append(&details, gap, format);
        }
        job
    }

    fn tools_ui(&self, ui: &mut Ui) -> Option<StepAct> {
        ui.spacing_mut().item_spacing.x = 3.0;
        let title = self.title();
        let mut act = None;
        let mut press = |ui: &mut Ui, icon, verb: &str, enabled, what| {
            let name = format!("{title}: {verb}");
            if icon::button(ui, icon, &name, enabled).clicked() {
                act = Some(what);
            }
        };
        let (index, last) = (self.index, self.count.saturating_sub(1));
        let up = StepAct::MoveTo(index.saturating_sub(1));
        press(ui, Icon::Up, "move up", index > 0, up);
        let down = StepAct::MoveTo(index + 1);
        press(ui, Icon::Down, "move down", index < last, down);
        press(
            ui,
            Icon::Add,
            "insert a step after",
            true,
            StepAct::InsertAfter,
        );
        press(ui, Icon::Duplicate, "duplicate", true, StepAct::Duplicate);
        press(ui, Icon::Delete, "remove", true, StepAct::Remove);
        act
    }

    fn body_ui(&self, ui: &mut Ui, form: &mut Form<'_>) {
        ui.add_space(2.0);
        form.align_fields(ui, super::LABELS);
        let mut drawn = self.text_ui(ui, form);
        let (shown, hidden): (Vec<_>, Vec<_>) = FIELDS
            .iter()
            .filter_map(|name| Some((*name, self.field.child(name, &self.title())?)))
            .partition(|(name, field)| is_shown(form, name, field));
        let two_columns = ui.available_width() >= LEAST_WIDTH_FOR_PAIRS;
        let mut rest_of = shown.as_slice();
        while let [(name, field), others @ ..] = rest_of {
            rest_of = others;
            match others {
                [(second, beside), others @ ..]
                    if two_columns && PAIRS.contains(&(*name, *second)) =>
                {
                    pair_ui(ui, form, field, beside);
                    rest_of = others;
                }
                _ => field_ui(ui, form, name, field),
            }
        }
        drawn.extend(shown.into_iter().map(|(_, field)| field.pointer));
        let hidden: Vec<Field<'_>> = hidden.into_iter().map(|(_, field)| field).collect();
        self.more_ui(ui, form, &hidden);
        rest::show(ui, form, &self.field.pointer, &drawn);
    }

    /// What to do, over the whole width of the card.
    fn text_ui(&self, ui: &mut Ui, form: &mut Form<'_>) -> Vec<String> {
        let Some(mut field) = self.field.child("text", &self.title()) else {
            return Vec::new();
        };
        "What to do".clone_into(&mut field.label);
        let behind = form::reserve(ui);
        let drawn = ui.vertical(|ui| {
            let main = texts::strings_ui(ui, form, &field, &field.name());
            form::below(ui, form, &field, true);
            main
        });
        let rect = drawn.response.rect;
        form::lead_here(ui, form, &field, rect, drawn.inner, Some(behind));
        vec![field.pointer]
    }

    /// The menu of the fields that are not shown yet.
    fn more_ui(&self, ui: &mut Ui, form: &mut Form<'_>, hidden: &[Field<'_>]) {
        if hidden.is_empty() {
            return;
        }
        let menu = ui.menu_button("Add to this step…", |ui| {
            ui.set_min_width(200.0);
            for field in hidden {
                let button = ui.button(&field.label);
                if button.on_hover_text(field.node.description()).clicked() {
                    form.state.focus(&field.pointer);
                }
            }
        });
        let name = format!("{}: add to it…", self.title());
        menu.response.accessible_name(name);
    }
}

fn is_shown(form: &Form<'_>, name: &str, field: &Field<'_>) -> bool {
    ALWAYS.contains(&name)
        || (name != "id" && form.value_of(field).is_some())
        || form.state.is_unfolded(&field.pointer, false)
}

/// Draws two rows of chips side by side.
fn pair_ui(ui: &mut Ui, form: &mut Form<'_>, left: &Field<'_>, right: &Field<'_>) {
    let width = (ui.available_width() - ui.spacing().item_spacing.x) / 2.0;
    ui.horizontal_top(|ui| {
        for (field, has_own_labels) in [(left, false), (right, true)] {
            let layout = Layout::top_down(Align::Min);
            ui.allocate_ui_with_layout(vec2(width, 0.0), layout, |ui| {
                ui.set_width(width);
                if has_own_labels {
                    form.align_fields(ui, super::LABELS);
                }
                chips::row_ui(ui, form, field);
            });
        }
    });
    form.align_fields(ui, super::LABELS);
}

fn field_ui(ui: &mut Ui, form: &mut Form<'_>, name: &str, field: &Field<'_>) {
    match name {
        "holds" => holds::row_ui(ui, form, field),
        "tools" | "cautions" => texts::list_row_ui(ui, form, field),
        _ if field.node.kind() == Kind::List => chips::row_ui(ui, form, field),
        _ => form::field_ui(ui, form, field),
    }
}

/// Draws the remark about a procedure without steps.
pub(super) fn none_ui(ui: &mut Ui) {
    let soft = Tokens::of(ui).text_soft;
    let text = "There are no steps yet. Write what to do first into the line below.";
    ui.add(Label::new(RichText::new(text).color(soft)).wrap());
}

/// The pointer of a step.
pub(super) fn at(steps: &str, index: usize) -> String {
    pointer::join_index(steps, index)
}
