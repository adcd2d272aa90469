//! What the changes do: the computed results of both versions that are not the same, worked out in the background.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use chockstone_library::{difference::effects::effects, equipment::Shelf};
use chockstone_schema::{
    Equipment, Profile,
    report::{Effect, EffectTopic},
};
use egui::{Context, Frame, Label, Margin, RichText, ScrollArea, Stroke, Ui};

use super::worked::{Compared, Key};
use crate::{job::Job, theme::Tokens};

/// What the changes do, and what was left out of it.
pub(super) struct Effects {
    /// The results that are not the same, worse ones first.
    pub(super) found: Vec<Effect>,
    /// The library's equipment that was not taken into it, and why, one sentence each.
    left_out: Vec<String>,
}

impl Effects {
    fn new(profiles: &[Arc<Profile>; 2], folder: Option<&Path>) -> Self {
        let mut shelf = Shelf::default();
        shelf.refresh(folder);
        let mut left_out: Vec<String> =
            shelf.trouble().map(ToOwned::to_owned).into_iter().collect();
        let mut equipment: Vec<Equipment> = Vec::new();
        for piece in shelf.pieces() {
            match &piece.read {
                Ok(read) if equipment.iter().any(|other| other.id == read.id) => {
                    let file = piece.path.display();
                    left_out.push(format!("{file}: another file has the same id {}", read.id));
                }
                Ok(read) => equipment.push(read.clone()),
                Err(error) => left_out.push(error.clone()),
            }
        }
        let [older, newer] = profiles;
        Self {
            found: effects(older, newer, &equipment),
            left_out,
        }
    }

    /// How many results got worse.
    pub(super) fn worse(&self) -> usize {
        self.found.iter().filter(|effect| effect.worse).count()
    }
}

/// Everything that effects depend on: the sides, the library's folder, and how often files were read again.
type EffectsKey = (Key, Option<PathBuf>, u64);

/// The background work.
pub(super) struct EffectsJob(Job<EffectsKey, Effects>);

impl Default for EffectsJob {
    fn default() -> Self {
        Self(Job::new("effects"))
    }
}

impl EffectsJob {
    /// What the changes do; none while it is worked out.
    pub(super) fn ask(
        &mut self,
        context: &Context,
        key: &Key,
        compared: &Compared,
        (folder, looks): (Option<&Path>, u64),
    ) -> Option<&Effects> {
        let folder = folder.map(Path::to_owned);
        self.0
            .ask(context, &(key.clone(), folder.clone(), looks), || {
                let profiles = compared.profiles.clone();
                move || Effects::new(&profiles, folder.as_deref())
            })
    }
}

/// In the summary: that results are worked out, or how many got worse.
pub(super) fn in_short_ui(ui: &mut Ui, effects: Option<&Effects>) {
    let tokens = Tokens::of(ui);
    match effects {
        None => {
            ui.spinner();
            let text = "Working out what it does…";
            ui.label(RichText::new(text).color(tokens.text_soft));
        }
        Some(effects) if effects.worse() > 0 => {
            let text = match effects.worse() {
                1 => "1 result got worse".to_owned(),
                many => format!("{many} results got worse"),
            };
            ui.label(RichText::new(text).color(tokens.blocking).strong());
        }
        Some(_) => {}
    }
}

/// Draws the part of the page.
pub(super) fn show(ui: &mut Ui, effects: Option<&Effects>) {
    let Some(effects) = effects else {
        super::waiting_ui(ui, "Working out what it does…");
        return;
    };
    ScrollArea::vertical()
        .id_salt("effects")
        .auto_shrink(false)
        .show(ui, |ui| {
            left_out_ui(ui, &effects.left_out);
            if effects.found.is_empty() {
                let text = "No computed result moved beyond its rounding: mass and axle loads, methods with the \
                            library's equipment, the ways out of every situation, and findings.";
                ui.add(Label::new(RichText::new(text).color(Tokens::of(ui).text_soft)).wrap());
            }
            group_ui(ui, effects, "Got worse", |effect| effect.worse);
            for (topic, title) in TOPICS {
                group_ui(ui, effects, title, |effect| !effect.worse && effect.topic == topic);
            }
            ui.add_space(24.0);
        });
}

const TOPICS: [(EffectTopic, &str); 4] = [
    (EffectTopic::Mass, "Mass and balance"),
    (EffectTopic::Methods, "Methods and equipment"),
    (EffectTopic::Situations, "Situations"),
    (EffectTopic::Findings, "Findings"),
];

fn left_out_ui(ui: &mut Ui, left_out: &[String]) {
    for fault in left_out {
        let text = format!("Left out: {fault}");
        ui.add(Label::new(RichText::new(text).color(Tokens::of(ui).warning)).wrap());
    }
}

/// Draws the results of a group under its title; nothing where it has none.
fn group_ui(ui: &mut Ui, effects: &Effects, title: &str, belongs: impl Fn(&Effect) -> bool) {
    let group: Vec<&Effect> = effects.found.iter().filter(|e| belongs(e)).collect();
    if group.is_empty() {
        return;
    }
    ui.add_space(6.0);
    ui.label(RichText::new(format!("{title} ({})", group.len())).strong());
    for effect in group {
        effect_ui(ui, effect);
    }
}

fn effect_ui(ui: &mut Ui, effect: &Effect) {
    let tokens = Tokens::of(ui);
    let frame = Frame::NONE
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.line_soft))
        .corner_radius(5)
        .inner_margin(Margin::symmetric(8, 5));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.horizontal_wrapped(|ui| {
            if effect.worse {
                ui.label(RichText::new("Worse").color(tokens.blocking).strong());
            }
            ui.add(Label::new(RichText::new(&effect.what).color(tokens.text)).wrap());
        });
        let told = |result: &Option<String>| result.clone().unwrap_or_else(|| "nothing".to_owned());
        let was = format!("Was: {}", told(&effect.before));
        ui.add(Label::new(RichText::new(was).color(tokens.text_soft)).wrap());
        let now = format!("Is now: {}", told(&effect.after));
        ui.add(Label::new(RichText::new(now).color(tokens.text)).wrap());
    });
}
