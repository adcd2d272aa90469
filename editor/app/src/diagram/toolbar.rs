//! The row of switches above the views.

use chockstone_schema::Profile;
use egui::{Sense, Ui, vec2};

use super::{
    glyph, keys, paint,
    palette::Palette,
    state::{DiagramState, Placing, Shown, ShownVariant},
};
use crate::theme::Tokens;

/// What the toolbar asks for beyond what it sets by itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Asked {
    /// Zoom in (more than zero) or out by so many steps.
    pub(super) zoom: i8,
}

pub(super) fn toolbar_ui(ui: &mut Ui, profile: &Profile, state: &mut DiagramState) -> Asked {
    let mut asked = Asked::default();
    ui.horizontal_wrapped(|ui| {
        for (shown, name) in
            [(Shown::Both, "Both views"), (Shown::Side, "Side"), (Shown::Plan, "Plan")]
        {
            if ui.selectable_label(state.shown == shown, name).clicked() {
                state.shown = shown;
                state.fit_wanted = true;
            }
        }
        variant_ui(ui, profile, state);
        ui.separator();
        add_menu_ui(ui, state);
        ui.menu_button("Layers", |ui| {
            for (name, layer) in state.layers.named() {
                ui.checkbox(layer, name);
            }
        });
        let snap = ui.checkbox(&mut state.snap, "Snap");
        snap.on_hover_text("Pull what is dragged onto axles, the ground, the centre plane and other points. Hold Alt to drag freely.");
        ui.separator();
        if ui.button("Zoom in").clicked() {
            asked.zoom = 1;
        }
        if ui.button("Zoom out").clicked() {
            asked.zoom = -1;
        }
        let all = ui.button("Show all").on_hover_text(keys::HELP);
        if all.clicked() {
            state.fit_wanted = true;
        }
    });
    status_ui(ui, state);
    asked
}

/// Chooses the variant, where there is a choice.
fn variant_ui(ui: &mut Ui, profile: &Profile, state: &mut DiagramState) {
    if profile.variants.is_empty() {
        return;
    }
    let name = |id: &str| match profile.variant(id) {
        Some(variant) => variant.name.pick([&profile.language]).to_owned(),
        None => "All variants".to_owned(),
    };
    let shown = state.variant_id(profile).unwrap_or_default();
    let choice = egui::ComboBox::from_id_salt("diagram variant")
        .selected_text(name(&shown))
        .show_ui(ui, |ui| {
            for variant in &profile.variants {
                let id = variant.id.as_str();
                if ui.selectable_label(id == shown, name(id)).clicked() {
                    state.variant = ShownVariant::Named(id.to_owned());
                }
            }
            if ui
                .selectable_label(shown.is_empty(), "All variants")
                .clicked()
            {
                state.variant = ShownVariant::All;
            }
        });
    choice.response.accessible_name("Variant shown");
}

fn add_menu_ui(ui: &mut Ui, state: &mut DiagramState) {
    ui.menu_button("Add point…", |ui| {
        let palette = Palette::of(ui);
        egui::ScrollArea::vertical()
            .max_height(420.0)
            .show(ui, |ui| {
                for kind in glyph::ALL {
                    ui.horizontal(|ui| {
                        let (area, _) = ui.allocate_exact_size(vec2(22.0, 22.0), Sense::hover());
                        paint::glyph(ui.painter(), area.center(), 7.0, kind, palette);
                        if ui.button(glyph::name(kind)).clicked() {
                            state.placing = Some(Placing::new(kind));
                            state.hint = None;
                            ui.close();
                        }
                    });
                }
            });
    });
}

/// What is going on: placing a point, or what a click found.
fn status_ui(ui: &mut Ui, state: &mut DiagramState) {
    let soft = Tokens::of(ui).text_soft;
    ui.horizontal(|ui| {
        if let Some(placing) = &mut state.placing {
            ui.label(format!(
                "Click in a view to place: {}",
                glyph::name(placing.kind)
            ));
            ui.checkbox(&mut placing.mirrored, "As a mirrored pair");
            if ui.button("Stop placing").clicked() {
                state.placing = None;
            }
        } else {
            let idle = "Click to select, drag to move, Tab to go from one to the next.";
            let text = state.hint.as_deref().unwrap_or(idle);
            ui.add(egui::Label::new(egui::RichText::new(text).color(soft).small()).truncate());
        }
    });
}
