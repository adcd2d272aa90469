//! What holds before the first step and after each: the words between the cards.

use chockstone_rules::plan::{Snapshot, Walked, condition_name};
use chockstone_schema::Profile;
use egui::{Frame, Label, Margin, RichText, Stroke, Ui};

use super::words::{listed, time};
use crate::theme::Tokens;

/// What one procedure comes to, in words.
#[derive(Debug)]
pub(super) struct Told {
    start: Between,
    after: Vec<Between>,
}

/// What is known at one moment, in words; empty lines are left out.
#[derive(Debug, Default)]
struct Between {
    title: String,
    clock: String,
    /// What has just changed, each line with its sign.
    changes: Vec<(Change, String)>,
    /// What goes on as it was.
    rest: Vec<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Change {
    /// It holds now.
    Begun,
    /// It no longer holds.
    Ended,
    /// It can no longer be counted on.
    Doubtful,
}

impl Told {
    /// Puts a walk into words.
    pub(super) fn of(profile: &Profile, index: usize, walked: &Walked) -> Self {
        let words = Words { profile };
        let steps = profile.procedures.get(index).map_or(0, |p| p.steps.len());
        let mut before = &walked.start;
        let mut after = Vec::with_capacity(steps);
        for (step, now) in walked.after.iter().enumerate() {
            after.push(words.after(step, before, now));
            before = now;
        }
        Self {
            start: words.start(&walked.start),
            after,
        }
    }

    /// Draws what is known before the first step.
    pub(super) fn start_ui(&self, ui: &mut Ui) {
        between_ui(ui, &self.start);
    }

    /// Draws what is known after a step.
    pub(super) fn after_ui(&self, ui: &mut Ui, step: usize) {
        if let Some(between) = self.after.get(step) {
            between_ui(ui, between);
        }
    }
}

struct Words<'p> {
    profile: &'p Profile,
}

impl Words<'_> {
    fn condition(&self, id: &str) -> String {
        let name = condition_name(self.profile, id);
        name.pick([&self.profile.language]).to_owned()
    }

    fn conditions<'i>(&self, ids: impl IntoIterator<Item = &'i String>) -> Vec<String> {
        ids.into_iter().map(|id| self.condition(id)).collect()
    }

    fn debts(&self, ids: &[String]) -> Vec<String> {
        let name = |id: &String| {
            let debt = self.profile.debts.iter().find(|d| d.id.as_str() == id);
            debt.map_or_else(
                || id.clone(),
                |d| d.name.pick([&self.profile.language]).to_owned(),
            )
        };
        ids.iter().map(name).collect()
    }

    fn start(&self, start: &Snapshot) -> Between {
        let mut rest = Vec::new();
        push(&mut rest, "Holds", &self.conditions(&start.holds));
        push(&mut rest, "Does not hold", &self.conditions(&start.over));
        Between {
            title: "Before the first step".to_owned(),
            rest,
            ..Between::default()
        }
    }

    fn after(&self, step: usize, before: &Snapshot, now: &Snapshot) -> Between {
        let only = |these: &[String], those: &[String]| -> Vec<String> {
            let new = these.iter().filter(|id| !those.contains(id));
            self.conditions(new)
        };
        let mut changes = Vec::new();
        let mut change = |kind, names: Vec<String>| {
            if !names.is_empty() {
                changes.push((kind, listed(&names)));
            }
        };
        change(Change::Begun, only(&now.holds, &before.holds));
        let ended: Vec<&String> = before
            .holds
            .iter()
            .filter(|id| !now.holds.contains(id) && !now.doubtful.contains(id))
            .collect();
        change(Change::Ended, self.conditions(ended));
        change(Change::Doubtful, only(&now.doubtful, &before.doubtful));
        Between {
            title: format!("After step {}", step + 1),
            clock: clock(now),
            changes,
            rest: self.rest(before, now),
        }
    }

    fn rest(&self, before: &Snapshot, now: &Snapshot) -> Vec<String> {
        let both = |these: &[String], those: &[String]| {
            self.conditions(these.iter().filter(|id| those.contains(id)))
        };
        let mut rest = Vec::new();
        push(&mut rest, "Still holds", &both(&now.holds, &before.holds));
        let doubtful = both(&now.doubtful, &before.doubtful);
        push(&mut rest, "Still not to be counted on", &doubtful);
        let left: Vec<String> = now
            .left
            .iter()
            .map(|(id, seconds)| format!("{}, {}", self.condition(id), time(*seconds)))
            .collect();
        push(&mut rest, "Time left, at the least", &left);
        push(&mut rest, "To put back", &self.debts(&now.debts));
        rest
    }
}

fn push(lines: &mut Vec<String>, title: &str, names: &[String]) {
    if !names.is_empty() {
        lines.push(format!("{title}: {}", listed(names)));
    }
}

fn clock(now: &Snapshot) -> String {
    let plain = time(now.seconds);
    if now.slowest > now.seconds {
        format!("{plain} so far, {} at the slowest", time(now.slowest))
    } else {
        format!("{plain} so far")
    }
}

impl Change {
    fn words(self) -> &'static str {
        match self {
            Self::Begun => "+ now holds",
            Self::Ended => "− no longer holds",
            Self::Doubtful => "? ran out, or may have ended",
        }
    }
}

fn between_ui(ui: &mut Ui, between: &Between) {
    let tokens = Tokens::of(ui);
    let frame = Frame::NONE.inner_margin(Margin {
        left: 30,
        right: 4,
        top: 0,
        bottom: 2,
    });
    let drawn = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 1.0;
        let mut title = between.title.clone();
        if !between.clock.is_empty() {
            title = format!("{title}: {}", between.clock);
        }
        line(
            ui,
            RichText::new(title)
                .color(tokens.text_soft)
                .small()
                .strong(),
        );
        for (change, names) in &between.changes {
            let color = match change {
                Change::Begun => tokens.good,
                Change::Ended => tokens.text,
                Change::Doubtful => tokens.warning,
            };
            let text = format!("{}: {names}", change.words());
            line(ui, RichText::new(text).color(color));
        }
        for text in &between.rest {
            line(ui, RichText::new(text).color(tokens.text_soft).small());
        }
    });
    let rect = drawn.response.rect;
    let x = rect.left() + 18.0;
    let stroke = Stroke::new(2.0, tokens.line_soft);
    ui.painter().vline(x, rect.y_range(), stroke);
}

fn line(ui: &mut Ui, text: RichText) {
    // A card may be dragged over it, which must not select its text.
    ui.add(Label::new(text).wrap().selectable(false));
}
