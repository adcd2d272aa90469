//! The list of changes, grouped by grade.

use chockstone_schema::{
    model::record::Decision,
    report::{Change, Grade},
};
use egui::{Align, Button, Label, RichText, Ui, vec2};

use super::{Answer, Plan, words};
use crate::{
    command::{Act, Command},
    form::{self, Node},
    theme::Tokens,
    widgets::grade,
};

/// Draws what is listed of all changes: which grades, and which words they must hold.
pub(super) fn filter_ui(ui: &mut Ui, plan: &mut Plan, commands: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        for of in Grade::ALL {
            let mut shown = !plan.hidden.contains(&of);
            if ui.checkbox(&mut shown, grade::word(of)).changed() {
                if shown {
                    plan.hidden.remove(&of);
                } else {
                    plan.hidden.insert(of);
                }
            }
        }
    });
    ui.horizontal(|ui| {
        let label = ui.label("Find");
        ui.add(egui::TextEdit::singleline(&mut plan.wanted).desired_width(96.0))
            .labelled_by(label.id);
        for (act, text) in [(Act::PreviousChange, "Previous"), (Act::NextChange, "Next")] {
            if step_ui(ui, act, text) {
                commands.push(Command::Act(act));
            }
        }
    });
    ui.add_space(2.0);
}

fn step_ui(ui: &mut Ui, act: Act, text: &str) -> bool {
    let info = act.info();
    let keys = info.shortcut.map(|keys| ui.ctx().format_shortcut(&keys));
    let help = format!("{} ({})", info.label, keys.unwrap_or_default());
    let button = ui.button(text).accessible_name(info.label);
    button.on_hover_text(help).clicked()
}

/// Draws the list.
pub(super) fn list_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    let listed = plan.listed(answer.compared);
    if listed.is_empty() {
        let text = "No change is of these grades and holds these words.";
        ui.label(RichText::new(text).color(Tokens::of(ui).text_soft));
    }
    for of in Grade::ALL {
        let group: Vec<&Change> = listed.iter().copied().filter(|c| c.grade == of).collect();
        if group.is_empty() {
            continue;
        }
        ui.add_space(4.0);
        ui.horizontal(|ui| {
            grade::mark(ui, of);
            let color = grade::color(Tokens::of(ui), of);
            let text = format!("{} ({})", grade::word(of), group.len());
            ui.label(RichText::new(text).color(color).strong());
        });
        for change in group {
            change_ui(ui, answer, plan, change);
        }
    }
    ui.add_space(12.0);
}

fn change_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, change: &Change) {
    let chosen = plan.selected.as_ref() == Some(change);
    let tokens = Tokens::of(ui);
    let frame = egui::Frame::NONE
        .fill(if chosen { tokens.chosen } else { tokens.card })
        .stroke(egui::Stroke::new(1.0, tokens.line_soft))
        .corner_radius(5)
        .inner_margin(egui::Margin::symmetric(8, 5));
    let shown = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 1.0;
        ui.spacing_mut().interact_size.y = 0.0;
        ui.spacing_mut().button_padding = vec2(0.0, 0.0);
        let text = words::english(&change.sentence);
        let button = Button::new(RichText::new(text).color(tokens.text))
            .frame(false)
            .wrap()
            .min_size(vec2(ui.available_width(), 0.0));
        let name = format!("{}: {text}", grade::word(change.grade));
        let clicked = ui.add(button).accessible_name(name).clicked();
        soft(ui, words::english(&change.reason));
        soft(ui, &place_words(answer, change));
        if let Some(verdict) = plan.verdict(change) {
            said_ui(ui, verdict.decision);
        }
        clicked
    });
    if shown.inner {
        plan.select(change);
        plan.scroll = false;
    }
    if chosen && std::mem::take(&mut plan.scroll) {
        shown.response.scroll_to_me(Some(Align::Center));
    }
}

fn said_ui(ui: &mut Ui, decision: Decision) {
    let tokens = Tokens::of(ui);
    let (text, color) = match decision {
        Decision::Accept => ("Accepted", tokens.good),
        Decision::Question => ("Asked", tokens.warning),
    };
    ui.label(RichText::new(text).color(color).small().strong());
}

fn soft(ui: &mut Ui, text: &str) {
    let text = RichText::new(text).color(Tokens::of(ui).text_soft).small();
    ui.add(Label::new(text).wrap());
}

/// Where a change is, by the names of the form.
pub(super) fn place_words(answer: &Answer<'_>, change: &Change) -> String {
    let [older, newer] = &answer.compared.values;
    let [_, profile] = &answer.compared.profiles;
    let schema = Node::root(&chockstone_schema::json_schema::profile().annotated);
    let value = if change.after_place.is_some() {
        newer
    } else {
        older
    };
    form::place_in_words(schema, value, change.place(), &[profile.language.as_str()])
}
