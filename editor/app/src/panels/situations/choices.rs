//! What a person chooses besides the start: variant, which way is the better one, times of the scene, language.

use chockstone_schema::{model::identity::Variant, quantity::Dimension, report::Least};
use egui::{CollapsingHeader, ComboBox, RichText, Ui};

use super::{Answer, Plan};
use crate::{
    panels::fit::{choices::Field, pick, words::Choice},
    theme::Tokens,
    widgets::quantity_edit::FieldUnits,
};

const LEAST: [Choice<Least>; 2] = [
    (
        Least::Time,
        "Least time",
        "The quicker of two ways; of two as quick, the one with fewer hazard messages.",
    ),
    (
        Least::Hazard,
        "Least hazard",
        "The way with fewer danger messages, then warnings, then cautions; of two alike, the quicker one.",
    ),
];

const MINUTES: FieldUnits = FieldUnits {
    dimension: Dimension::Duration,
    si: "min",
    us: "min",
};

/// Draws the choices, folded or not at first.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, open: bool) {
    CollapsingHeader::new(RichText::new("Choices").strong())
        .id_salt(("situations choices", open))
        .default_open(open)
        .show_unindented(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            let before = (plan.choices, plan.variant.clone());
            pick::choice_ui(ui, "Best way", &mut plan.choices.least, &LEAST);
            times_ui(ui, answer, plan);
            variant_ui(ui, answer, plan);
            if (plan.choices, plan.variant.clone()) != before {
                plan.begin();
            }
            language_ui(ui, answer, plan);
        });
}

fn times_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    let load_up = Field {
        name: "Winching up takes here",
        help: "How long winching up takes at this scene, where that is longer than the steps say.",
        units: MINUTES,
        least: 0.0,
    };
    load_up.show(ui, answer.input.system, &mut plan.choices.load_up);
    let fetch_key = Field {
        name: "Fetching a key takes",
        help: "How long it takes to have the key brought; 15 minutes when not given.",
        units: MINUTES,
        least: 0.0,
    };
    fetch_key.show(ui, answer.input.system, &mut plan.choices.fetch_key);
}

fn variant_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    let profile = answer.profile();
    if profile.variants.len() < 2 {
        return;
    }
    let name = |v: &Variant| answer.reader.text(&v.name).to_owned();
    let shown = plan.variant.as_deref().and_then(|id| profile.variant(id));
    ui.label(RichText::new("Variant").color(Tokens::of(ui).text_soft));
    let mut chosen = None;
    ComboBox::from_id_salt("situations variant")
        .selected_text(shown.map_or_else(String::new, name))
        .width(ui.available_width().min(204.0))
        .show_ui(ui, |ui| {
            for variant in &profile.variants {
                let is_shown = shown.is_some_and(|s| s.id == variant.id);
                if ui.selectable_label(is_shown, name(variant)).clicked() {
                    chosen = Some(variant.id.to_string());
                }
            }
        })
        .response
        .accessible_name("Variant");
    if chosen.is_some() {
        plan.variant = chosen;
    }
}

/// Chooses the language in which texts are read.
fn language_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    let profile = answer.profile();
    if profile.languages.is_empty() {
        return;
    }
    let base = profile.language.as_str();
    let shown = plan.language.as_deref().unwrap_or(base).to_owned();
    ui.label(RichText::new("Language of the texts").color(Tokens::of(ui).text_soft))
        .on_hover_text("Texts that lack this language are shown in the profile’s base language.");
    ComboBox::from_id_salt("situations language")
        .selected_text(shown.as_str())
        .width(ui.available_width().min(204.0))
        .show_ui(ui, |ui| {
            let languages = profile.languages.iter().filter(|l| l.as_str() != base);
            for language in std::iter::once(&profile.language).chain(languages) {
                let tag = language.as_str();
                if ui.selectable_label(shown == tag, tag).clicked() {
                    plan.language = Some(tag.to_owned());
                }
            }
        })
        .response
        .accessible_name("Language of the texts");
}
