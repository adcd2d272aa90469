//! What is true now: a situation to begin with, and every condition to change.

use chockstone_rules::plan;
use egui::{Button, CollapsingHeader, RichText, Ui, vec2};

use super::{Answer, Plan, parts, words, words::Group};
use crate::{panels::fit::pick, theme::Tokens, widgets::severity};
use chockstone_schema::report::Severity;

/// Draws what is true now.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    pick::heading(ui, "What is true now");
    situations_ui(ui, answer, plan);
    changes_ui(ui, answer, plan);
    for contradiction in &answer.worked.contradictions {
        let color = Tokens::of(ui).warning;
        let job = parts::headed(ui, "Check:", color, contradiction);
        parts::marked(
            ui,
            |ui| {
                severity::mark(ui, Severity::Warning);
            },
            job,
        );
    }
    for group in Group::ALL {
        group_ui(ui, answer, plan, group);
    }
}

fn situations_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(4.0, 4.0);
        ui.spacing_mut().button_padding = vec2(6.0, 2.0);
        ui.spacing_mut().interact_size.y = 22.0;
        for situation in plan::situations() {
            let name = answer.reader.pair(situation.name);
            let chosen = plan.situation == situation.id;
            let text = RichText::new(name).size(13.0);
            let button = Button::selectable(chosen, text).frame_when_inactive(true);
            let given = situation.given.iter().map(|id| (*id).to_owned());
            let given = given.collect::<Vec<String>>();
            let response = ui
                .add(button)
                .accessible_name(format!("Situation {name}"))
                .on_hover_text(answer.reader.conditions(answer.profile(), &given));
            if response.clicked() {
                plan.begin_with(situation);
            }
        }
    });
}

/// What was changed against the situation, and the way back to it.
fn changes_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    let Some(situation) = plan.situation() else {
        return;
    };
    let (came, went) = words::changes(situation.given, &plan.given);
    let changed = !came.is_empty() || !went.is_empty();
    let name = answer.reader.pair(situation.name);
    ui.add_space(2.0);
    if changed {
        let named = |ids: &[&str]| {
            let ids: Vec<String> = ids.iter().map(|id| (*id).to_owned()).collect();
            answer.reader.conditions(answer.profile(), &ids)
        };
        parts::named_line(ui, "Changed against", name);
        parts::named_line(ui, "Now true:", &named(&came));
        parts::named_line(ui, "No longer true:", &named(&went));
    } else {
        pick::soft(ui, &format!("As in “{name}”, nothing changed."));
    }
    let again = ui
        .add_enabled(changed, Button::new("Start again").small())
        .on_hover_text("Takes back what was changed against the situation");
    if again.clicked() {
        plan.begin_with(situation);
    }
}

fn group_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, group: Group) {
    let conditions = answer.worked.conditions.iter();
    let members: Vec<_> = conditions
        .filter(|(id, _)| Group::of(id) == group)
        .collect();
    if members.is_empty() {
        return;
    }
    CollapsingHeader::new(RichText::new(group.label()).strong())
        .id_salt(("situations group", group.label()))
        .default_open(true)
        .show_unindented(ui, |ui| {
            parts::chips_ui(ui, |ui| {
                for (id, name) in members {
                    let on = plan.given.contains(id);
                    let situation = plan.situation();
                    let was = situation.is_some_and(|s| s.given.contains(&id.as_str()));
                    let meaning = answer.reader.meaning(answer.profile(), id);
                    let name = answer.reader.text(name);
                    if parts::toggle_chip(ui, name, &meaning, [on, on != was]) {
                        plan.set(id, !on);
                    }
                }
            });
        });
}
