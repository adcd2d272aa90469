//! The bar at the bottom: the standing caution, and what was done last.

use std::time::{Duration, Instant};

use chockstone_schema::CAUTIONS;
use egui::{Align, Frame, Layout, Margin, Panel, RichText, Ui};

use super::App;
use crate::theme::Tokens;

/// How long a message stays.
const SHOWN_FOR: Duration = Duration::from_secs(12);

/// What was done last.
#[derive(Debug, Clone)]
pub(super) struct Message {
    text: String,
    since: Instant,
}

impl Message {
    /// A message said now.
    pub(super) fn now(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            since: Instant::now(),
        }
    }
}

/// Draws the bar.
pub(super) fn bar_ui(ui: &mut Ui, app: &App) {
    let tokens = Tokens::of(ui);
    let frame = Frame::NONE
        .fill(tokens.caution)
        .inner_margin(Margin::symmetric(12, 5));
    Panel::bottom("caution")
        .frame(frame)
        .show_separator_line(false)
        .show(ui, |ui| {
            ui.horizontal(|ui| {
                let [caution, ..] = CAUTIONS;
                ui.label(RichText::new(caution).color(tokens.on_caution).size(13.0));
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    message_ui(ui, app);
                });
            });
        });
}

fn message_ui(ui: &mut Ui, app: &App) {
    let Some(message) = &app.message else {
        return;
    };
    let age = message.since.elapsed();
    if age < SHOWN_FOR {
        let text = RichText::new(&message.text)
            .color(Tokens::of(ui).on_caution)
            .size(13.0);
        ui.add(egui::Label::new(text).truncate());
        ui.ctx()
            .request_repaint_after(SHOWN_FOR.saturating_sub(age));
    }
}
