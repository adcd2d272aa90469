//! Every step of a way, by procedure, general act and fact.

use egui::{Button, CollapsingHeader, Label, RichText, Ui};

use super::{Answer, Plan, parts, stages::Stage, step, words};
use crate::{command::Command, panels::fit::pick, theme::Tokens};

/// The width of the column of numbers.
const NUMBERS: f32 = 44.0;

/// Draws the list.
pub(super) fn show(
    ui: &mut Ui,
    answer: &Answer<'_>,
    plan: &mut Plan,
    stages: &[Stage<'_>],
    commands: &mut Vec<Command>,
) {
    ui.add_space(4.0);
    CollapsingHeader::new(RichText::new("Every step").strong())
        .id_salt("situations steps")
        .default_open(true)
        .show_unindented(ui, |ui| {
            for (index, stage) in stages.iter().enumerate() {
                if stage.is_first {
                    part_ui(ui, answer, stage, commands);
                }
                if stage.step.is_some() {
                    stage_ui(ui, answer, plan, (index, stage), commands);
                }
            }
        });
}

/// The head of a procedure, general act or fact.
fn part_ui(ui: &mut Ui, answer: &Answer<'_>, stage: &Stage<'_>, commands: &mut Vec<Command>) {
    let name = answer.reader.text(&stage.part.name);
    ui.add_space(6.0);
    ui.horizontal_wrapped(|ui| {
        let kind = format!("{}:", words::part(stage.part.kind));
        ui.label(RichText::new(kind).color(Tokens::of(ui).text_soft));
        ui.add(Label::new(RichText::new(name).strong()).wrap());
        if let Some(place) = &stage.part.place
            && parts::link(ui, "Open", &format!("Open procedure {name}"))
        {
            commands.push(Command::GoTo(place.clone()));
        }
    });
    if stage.part.to_confirm {
        parts::to_confirm_ui(ui);
    }
    step::before_ui(ui, answer, &stage.part.hazards, &[]);
}

fn stage_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    plan: &mut Plan,
    (index, stage): (usize, &Stage<'_>),
    commands: &mut Vec<Command>,
) {
    let (Some(step), Some(number)) = (stage.step, stage.number) else {
        return;
    };
    ui.horizontal_top(|ui| {
        let column = egui::vec2(NUMBERS, ui.spacing().interact_size.y);
        ui.allocate_ui(column, |ui| {
            ui.set_width(NUMBERS);
            let button = Button::selectable(plan.at == index, number.to_string())
                .frame_when_inactive(true)
                .min_size(egui::vec2(NUMBERS - 8.0, 0.0));
            let response = ui
                .add(button)
                .accessible_name(format!("Look at step {number}"));
            step::keep_keys(ui, plan, &response);
            if response.clicked() {
                plan.at = index;
            }
        });
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 3.0;
            let hazards = step::own_hazards(stage, step);
            step::before_ui(ui, answer, &hazards, &step.cautions);
            pick::line(ui, answer.reader.text(&step.text));
            ui.horizontal_wrapped(|ui| {
                let when = RichText::new(step::when(stage)).color(Tokens::of(ui).text_soft);
                ui.add(Label::new(when).wrap());
                if let Some(place) = &step.place
                    && parts::link(ui, "Open", &format!("Open step {number}"))
                {
                    commands.push(Command::GoTo(place.clone()));
                }
            });
            step::outcome_ui(ui, answer, step);
            ui.add_space(4.0);
        });
    });
}
