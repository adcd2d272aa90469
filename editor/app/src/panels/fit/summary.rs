//! The answers at the top: one line a topic, and what was found.

use chockstone_schema::report::{FitTopic, TopicAnswer};
use egui::{Button, CollapsingHeader, Frame, Label, Margin, RichText, Stroke, Ui, vec2};

use super::{Answer, ShownParts, pick, sections::Section, words};
use crate::{
    figures,
    theme::Tokens,
    widgets::{severity, verdict},
};

/// How many letters of an answer stand in the summary; its part of the page has the whole.
const LONGEST_ANSWER: usize = 180;

/// Draws the summary; a click on a line shows the topic.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, shown: &mut ShownParts) {
    let tokens = Tokens::of(ui);
    Frame::NONE
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.line_soft))
        .corner_radius(6)
        .inner_margin(Margin::same(10))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 4.0;
            let report = &answer.worked.report;
            if report.topics.is_empty() {
                pick::line(
                    ui,
                    "Choose equipment to see whether the vehicle loads, lifts, tows and holds.",
                );
                return;
            }
            pick::title_ui(ui, "What it comes to", report.verdict);
            for topic in &report.topics {
                if topic_ui(ui, topic) {
                    shown.section = section_of(topic.topic);
                }
            }
            findings_ui(ui, answer);
        });
}

fn topic_ui(ui: &mut Ui, topic: &TopicAnswer) -> bool {
    let name = words::topic(topic.topic);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.spacing_mut().interact_size.y = 0.0;
        ui.spacing_mut().button_padding = vec2(0.0, 0.0);
        ui.vertical(|ui| {
            ui.add_space(2.0);
            verdict::mark(ui, topic.verdict);
        });
        let text = format!(
            "{name}: {}",
            words::shortened(&topic.answer, LONGEST_ANSWER)
        );
        let name = format!(
            "{name}, {}: {}",
            figures::verdict(topic.verdict),
            topic.answer
        );
        ui.vertical(|ui| {
            let button = Button::new(RichText::new(text).color(Tokens::of(ui).text))
                .frame(false)
                .wrap()
                .min_size(vec2(ui.available_width(), 0.0));
            ui.add(button)
                .accessible_name(name)
                .on_hover_text("Shows how")
                .clicked()
        })
        .inner
    })
    .inner
}

fn section_of(topic: FitTopic) -> Section {
    match topic {
        FitTopic::Lifting => Section::Lifting,
        FitTopic::Carrying => Section::Deck,
        FitTopic::Towing => Section::Towing,
        FitTopic::Winching => Section::Winching,
        FitTopic::Securing => Section::TieDowns,
        FitTopic::Clearing => Section::Path,
        FitTopic::Protection => Section::Gloves,
    }
}

/// Everything that is beyond a limit, too close to call or not known, folded away.
fn findings_ui(ui: &mut Ui, answer: &Answer<'_>) {
    let findings = &answer.worked.report.findings;
    if findings.is_empty() {
        return;
    }
    let title = format!("What was found ({})", findings.len());
    CollapsingHeader::new(title)
        .id_salt("fit findings")
        .show_unindented(ui, |ui| {
            for finding in findings {
                ui.horizontal_top(|ui| {
                    severity::mark(ui, finding.severity)
                        .on_hover_text(severity::word(finding.severity));
                    ui.vertical(|ui| {
                        ui.spacing_mut().item_spacing.y = 1.0;
                        ui.add(Label::new(&finding.message).wrap());
                        if let Some(figures) = severity::figures(finding) {
                            pick::soft(ui, &figures);
                        }
                        pick::soft(ui, &format!("To settle it: {}", finding.settle));
                    });
                });
            }
        });
}
