//! The reviews of a profile at the head of their page: which are about other contents than these, and the questions that
//! wait for an answer.

use std::collections::BTreeMap;

use chockstone_schema::{
    Profile,
    date::Moment,
    model::record::{Decision, Review},
    report::Finding,
    text::Text,
};
use egui::{Button, Frame, Grid, Label, Margin, RichText, Stroke, TextEdit, Ui};
use serde_json::json;

use crate::{command::Command, document::Edit, theme::Tokens};

/// What the page is shown.
pub struct ReviewsInput<'a> {
    /// The profile.
    pub profile: &'a Profile,
    /// What the checks found.
    pub findings: &'a [Finding],
    /// Who answers here.
    pub who: &'a str,
    /// Now.
    pub now: Moment,
}

impl ReviewsInput<'_> {
    fn found(&self, check: &str) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(move |f| f.check == check)
    }

    fn is_stale(&self, index: usize) -> bool {
        let place = format!("/reviews/{index}/over");
        self.found("review-stale").any(|f| f.place == place)
    }

    fn text(&self, text: &Text) -> String {
        text.pick([&self.profile.language]).to_owned()
    }
}

/// Answers that are being written, by the place of their question: who, and what.
#[derive(Debug, Default)]
pub struct ReviewsPanel {
    answers: BTreeMap<String, [String; 2]>,
}

impl ReviewsPanel {
    /// Draws the reviews and returns what a person asks of the window.
    pub fn show(&mut self, ui: &mut Ui, input: &ReviewsInput<'_>) -> Vec<Command> {
        let mut commands = Vec::new();
        if input.profile.reviews.is_empty() {
            let text = "No review yet. A reviewer records one on the Compare page.";
            ui.label(RichText::new(text).color(Tokens::of(ui).text_soft));
            return commands;
        }
        for (index, review) in input.profile.reviews.iter().enumerate() {
            review_ui(ui, input, index, review);
        }
        let questions: Vec<String> = input
            .found("open-question")
            .map(|f| f.place.clone())
            .collect();
        for place in &questions {
            self.question_ui(ui, input, place, &mut commands);
        }
        ui.add_space(8.0);
        commands
    }

    fn question_ui(
        &mut self,
        ui: &mut Ui,
        input: &ReviewsInput<'_>,
        place: &str,
        commands: &mut Vec<Command>,
    ) {
        let Some(question) = Question::at(input, place) else {
            return;
        };
        let [who, text] = self
            .answers
            .entry(place.to_owned())
            .or_insert_with(|| [input.who.to_owned(), String::new()]);
        let mut sent = false;
        card(ui, |ui| {
            question.show(ui);
            Grid::new(("answer", place)).num_columns(2).show(ui, |ui| {
                for (name, text, wide) in [
                    ("Who answers", &mut *who, 240.0),
                    ("Answer", &mut *text, 420.0),
                ] {
                    let label = ui.label(name);
                    let width = ui.available_width().min(wide);
                    ui.add(TextEdit::singleline(text).desired_width(width))
                        .labelled_by(label.id);
                    ui.end_row();
                }
            });
            sent = ui.add(Button::new("Answer the question")).clicked();
        });
        if sent {
            let [who, text] = [who, text].map(|t| t.trim().to_owned());
            commands.push(if who.is_empty() || text.is_empty() {
                Command::Say("Say who answers, and the answer.".to_owned())
            } else {
                let language = input.profile.language.as_str();
                let answer = json!({"who": who, "at": input.now, "text": {language: text}});
                let at = format!("{place}/answer");
                Command::Edit(Edit::set("answer a question", at, answer))
            });
        }
    }
}

/// A question that waits for an answer.
struct Question {
    asked_by: String,
    about: String,
    text: String,
}

impl Question {
    fn at(input: &ReviewsInput<'_>, place: &str) -> Option<Self> {
        let names = crate::pointer::segments(place);
        let mut numbers = names.iter().filter_map(|name| name.parse::<usize>().ok());
        let review = input.profile.reviews.get(numbers.next()?)?;
        let remark = match numbers.next() {
            Some(index) => Some(review.remarks.get(index)?),
            None => None,
        };
        let (about, comment) = match remark {
            Some(remark) => (remark.part.to_string(), &remark.comment),
            None => ("the whole profile".to_owned(), &review.comment),
        };
        let text = comment.as_ref().map(|text| input.text(text));
        Some(Self {
            asked_by: format!("{} ({})", review.who, review.role),
            about,
            text: text.unwrap_or_default(),
        })
    }

    fn show(&self, ui: &mut Ui) {
        let head = format!("{} asks about {}", self.asked_by, self.about);
        let text = RichText::new(head).color(Tokens::of(ui).warning).strong();
        ui.add(Label::new(text).wrap());
        if !self.text.is_empty() {
            ui.add(Label::new(&self.text).wrap());
        }
    }
}

/// One review on one line, and whether it still is about these contents.
fn review_ui(ui: &mut Ui, input: &ReviewsInput<'_>, index: usize, review: &Review) {
    let tokens = Tokens::of(ui);
    let decided = match review.decision {
        Decision::Accept => "accepted",
        Decision::Question => "did not accept yet",
    };
    let (state, color) = if input.is_stale(index) {
        (
            "Stale: the profile has changed since; this review is about other contents.",
            tokens.warning,
        )
    } else {
        ("It is about exactly these contents.", tokens.good)
    };
    card(ui, |ui| {
        let remarks = match review.remarks.len() {
            0 => String::new(),
            1 => ", 1 remark".to_owned(),
            number => format!(", {number} remarks"),
        };
        let head = format!(
            "{}, {}, {}: {decided}{remarks}",
            review.who,
            review.role,
            review.at.date()
        );
        ui.add(Label::new(RichText::new(head).strong()).wrap());
        ui.add(Label::new(RichText::new(state).color(color)).wrap());
    });
}

fn card(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    let tokens = Tokens::of(ui);
    Frame::NONE
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.line_soft))
        .corner_radius(6)
        .inner_margin(Margin::same(9))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            contents(ui);
        });
    ui.add_space(4.0);
}
