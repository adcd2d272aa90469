//! What a person chooses: equipment, variant, which way round, how it is winched, and the rule sets.

use chockstone_library::equipment::{Group, Piece, Shelf};
use chockstone_schema::{
    model::identity::Variant,
    quantity::{Dimension, find_unit},
    report::{FitChoices, Surface},
};
use egui::{CollapsingHeader, ComboBox, Id, RichText, Ui};

use super::{FitInput, Plan, pick, words};
use crate::{
    command::{Act, Command},
    theme::Tokens,
    widgets::{
        Entry, EntryOutcome, QuantityEdit, QuantityOutcome, UnitSystem, entry,
        quantity_edit::FieldUnits,
    },
};

/// The largest coefficient of friction that a field accepts.
const MOST_FRICTION: f64 = 2.0;

/// Draws the choices.
pub(super) fn show(
    ui: &mut Ui,
    input: &FitInput<'_>,
    shelf: &Shelf,
    plan: &mut Plan,
    commands: &mut Vec<Command>,
) {
    folded(ui, "Equipment", true, |ui| {
        equipment_ui(ui, input, shelf, plan, commands);
    });
    if !input.profile.variants.is_empty() {
        folded(ui, "Vehicle", true, |ui| variant_ui(ui, input, plan));
    }
    let choices = &mut plan.choices;
    folded(ui, "On the deck", true, |ui| {
        pick::choice_ui(ui, "Which way round", &mut choices.facing, &words::FACINGS);
        block_ui(ui, input, choices);
    });
    folded(ui, "Winching", true, |ui| {
        pick::choice_ui(
            ui,
            "Wheels while winched",
            &mut choices.wheels,
            &words::WHEELS,
        );
        surface_ui(ui, choices);
        line_ui(ui, input, choices);
        slope_ui(ui, input, choices);
    });
    folded(ui, "Securing", true, |ui| friction_ui(ui, choices));
    folded(ui, "Rule sets", false, |ui| rules_ui(ui, choices));
    ui.add_space(16.0);
}

fn folded(ui: &mut Ui, title: &str, open: bool, add: impl FnOnce(&mut Ui)) {
    CollapsingHeader::new(RichText::new(title).strong())
        .id_salt(("fit choices", title))
        .default_open(open)
        .show_unindented(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            ui.spacing_mut().interact_size.y = 20.0;
            add(ui);
            ui.add_space(4.0);
        });
}

fn equipment_ui(
    ui: &mut Ui,
    input: &FitInput<'_>,
    shelf: &Shelf,
    plan: &mut Plan,
    commands: &mut Vec<Command>,
) {
    if let Some(trouble) = shelf.trouble() {
        let text = RichText::new(trouble).color(Tokens::of(ui).blocking);
        ui.add(egui::Label::new(text).wrap());
    }
    if shelf.pieces().is_empty() {
        nothing_ui(ui, input, commands);
        return;
    }
    let groups = shelf.pieces().iter().map(group_of);
    let groups: Vec<(Group, &Piece)> = groups.zip(shelf.pieces()).collect();
    for group in Group::ALL {
        let members = || groups.iter().filter(|(g, _)| *g == group);
        if members().next().is_none() {
            continue;
        }
        pick::soft(ui, group.label());
        for (_, piece) in members() {
            piece_ui(ui, piece, plan);
        }
    }
}

fn group_of(piece: &Piece) -> Group {
    piece.read.as_ref().map_or(Group::Other, Group::of)
}

/// What to do where there is no equipment.
fn nothing_ui(ui: &mut Ui, input: &FitInput<'_>, commands: &mut Vec<Command>) {
    pick::line(
        ui,
        if input.folder.is_some() {
            "There is no equipment in the open folder. Open a folder with equipment files, or make one."
        } else {
            "Open a folder with equipment files, or make one."
        },
    );
    for (label, act) in [
        ("Open folder…", Act::OpenFolder),
        ("New equipment…", Act::NewEquipment),
    ] {
        if ui.button(label).clicked() {
            commands.push(Command::Act(act));
        }
    }
}

fn piece_ui(ui: &mut Ui, piece: &Piece, plan: &mut Plan) {
    match &piece.read {
        Ok(equipment) => {
            let mut chosen = plan.equipment.contains(&piece.path);
            let name = equipment.name.pick([&equipment.language]);
            if ui.checkbox(&mut chosen, name).changed() {
                if chosen {
                    plan.equipment.insert(piece.path.clone());
                } else {
                    plan.equipment.remove(&piece.path);
                }
            }
        }
        Err(trouble) => {
            let name = piece.path.file_name().unwrap_or(piece.path.as_os_str());
            let text = format!("{} could not be read", name.to_string_lossy());
            let text = RichText::new(text).color(Tokens::of(ui).blocking);
            ui.add(egui::Label::new(text).wrap()).on_hover_text(trouble);
        }
    }
}

fn variant_ui(ui: &mut Ui, input: &FitInput<'_>, plan: &mut Plan) {
    let profile = input.profile;
    let name = |v: &Variant| v.name.pick([&profile.language]).to_owned();
    let shown = plan.variant.as_deref().and_then(|id| profile.variant(id));
    ui.label(RichText::new("Variant").color(Tokens::of(ui).text_soft));
    let mut chosen = None;
    ComboBox::from_id_salt("fit variant")
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

fn surface_ui(ui: &mut Ui, choices: &mut FitChoices) {
    let mut surface = choices.surface.unwrap_or(Surface::Hard);
    if pick::choice_ui(ui, "Winched over", &mut surface, &words::SURFACES) {
        choices.surface = Some(surface);
    }
}

fn rules_ui(ui: &mut Ui, choices: &mut FitChoices) {
    pick::soft(
        ui,
        "Published rules disagree on these questions. Each choice tells its source.",
    );
    let rules = &mut choices.rules;
    pick::choice_ui(
        ui,
        "What tie-downs must withstand",
        &mut rules.balance,
        &words::BALANCES,
    );
    pick::choice_ui(
        ui,
        "How much of a tie-down counts",
        &mut rules.counting,
        &words::COUNTINGS,
    );
    pick::choice_ui(
        ui,
        "How many tie-downs at least",
        &mut rules.number,
        &words::NUMBERS,
    );
    pick::choice_ui(
        ui,
        "How surfaces resist",
        &mut rules.resistance,
        &words::RESISTANCES,
    );
    pick::choice_ui(
        ui,
        "How a slope is counted",
        &mut rules.grade,
        &words::GRADES,
    );
}

fn line_ui(ui: &mut Ui, input: &FitInput<'_>, choices: &mut FitChoices) {
    let units = FieldUnits {
        dimension: Dimension::Length,
        si: "m",
        us: "ft",
    };
    let field = Field {
        name: "Line off the drum",
        help: "Without it none, which is the outermost layer and the least pull.",
        units,
        least: 0.0,
    };
    field.show(ui, input.system, &mut choices.line_out);
}

fn block_ui(ui: &mut Ui, input: &FitInput<'_>, choices: &mut FitChoices) {
    let field = Field {
        name: "Blocks at the foot of the deck",
        help: "The height of blocks or a ramp laid at the foot of the deck; without it none.",
        units: SHORT_LENGTH,
        least: 0.0,
    };
    field.show(ui, input.system, &mut choices.block_height);
}

fn slope_ui(ui: &mut Ui, input: &FitInput<'_>, choices: &mut FitChoices) {
    let units = FieldUnits {
        dimension: Dimension::Angle,
        si: "deg",
        us: "deg",
    };
    let field = Field {
        name: "Slope without a deck",
        help: "The slope that it is winched up where the winch belongs to no deck.",
        units,
        least: 0.0,
    };
    field.show(ui, input.system, &mut choices.slope);
}

/// Lengths of the size of a placement.
pub(super) const SHORT_LENGTH: FieldUnits = FieldUnits {
    dimension: Dimension::Length,
    si: "mm",
    us: "in",
};

/// A number that may be left out.
pub(in crate::panels) struct Field<'a> {
    pub(in crate::panels) name: &'a str,
    pub(in crate::panels) help: &'a str,
    pub(in crate::panels) units: FieldUnits,
    /// The least value accepted, in the SI unit.
    pub(in crate::panels) least: f64,
}

impl Field<'_> {
    /// Draws the field under its name and takes over what was typed, in the SI unit.
    pub(in crate::panels) fn show(&self, ui: &mut Ui, system: UnitSystem, value: &mut Option<f64>) {
        ui.label(RichText::new(self.name).color(Tokens::of(ui).text_soft))
            .on_hover_text(self.help);
        self.field_ui(ui, system, value);
    }

    /// Draws the field alone.
    pub(super) fn field_ui(&self, ui: &mut Ui, system: UnitSystem, value: &mut Option<f64>) {
        let symbol = self.units.shown(system, None);
        let Some(unit) = find_unit(self.units.dimension, symbol) else {
            return;
        };
        let id = Id::unique(("fit field", self.name));
        let mut edit = QuantityEdit::new(id, self.name, self.units, system);
        // Tenths of a millimetre and hundredths of an inch are finer than anybody places a vehicle.
        let rounded = |si: f64| (unit.from_si(si) * 100.0).round() / 100.0;
        edit.value = value.map(|si| (rounded(si), symbol));
        edit.optional = true;
        edit.unit_button = false;
        let (response, outcome) = edit.show(ui);
        response.on_hover_text(self.help);
        match outcome {
            QuantityOutcome::Unchanged => {}
            QuantityOutcome::Cleared => *value = None,
            QuantityOutcome::Entered(number, typed) => {
                let si = find_unit(self.units.dimension, typed).map(|u| u.to_si(number));
                if si.is_some_and(|si| si >= self.least) {
                    *value = si;
                } else {
                    let shown = edit.shown();
                    let text = format!("{number} {typed}");
                    let least = format!("at least {} {symbol}", unit.from_si(self.least));
                    entry::refuse(ui.ctx(), id, &shown, text, least);
                }
            }
        }
        edit.refusal_ui(ui);
    }
}

fn friction_ui(ui: &mut Ui, choices: &mut FitChoices) {
    let name = "Friction counted on";
    let help =
        "The coefficient of friction between tyre and deck that is counted on; without it none is.";
    ui.label(RichText::new(name).color(Tokens::of(ui).text_soft))
        .on_hover_text(help);
    let shown = choices.friction.map_or_else(String::new, |f| f.to_string());
    let id = Id::unique("fit friction");
    let (response, outcome) = Entry::new(id, name, &shown)
        .hint("none")
        .width(116.0)
        .show(ui);
    response.on_hover_text(help);
    if let EntryOutcome::Entered(text) = outcome {
        match friction_from(&text) {
            Ok(friction) => choices.friction = friction,
            Err(message) => entry::refuse(ui.ctx(), id, &shown, text, message),
        }
    }
    entry::refusal_ui(ui, id, &shown);
}

/// Reads a coefficient of friction; an empty text is none.
pub(super) fn friction_from(text: &str) -> Result<Option<f64>, String> {
    let text = text.trim().replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(value) if (0.0..=MOST_FRICTION).contains(&value) => Ok(Some(value)),
        _ => Err(format!("a number from 0 to {MOST_FRICTION}, such as 0.3")),
    }
}
