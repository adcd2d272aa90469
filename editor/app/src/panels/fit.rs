//! The page that holds a vehicle against a crew's own equipment.
//!
//! A person chooses equipment and ways; [`Vehicle::fit`] answers; this page writes the answer down and draws it. Nothing
//! is computed here. What was chosen is remembered for each file while the program runs, and the answer is worked out
//! again only when something that it depends on has changed.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::{Path, PathBuf},
};

use chockstone_library::equipment::Shelf;
use chockstone_rules::fit::{Vehicle, drawing::Truck};
use chockstone_schema::{Equipment, Profile, report::FitChoices};
use egui::{CollapsingHeader, RichText, ScrollArea, Ui};
use serde_json::Value;

use crate::{command::Command, theme::Tokens, widgets::UnitSystem};

mod chart;
pub(super) mod choices;
mod deck;
mod path;
pub(super) mod pick;
mod rows;
mod sections;
mod sheet;
mod summary;
mod supports;
mod tie_downs;
pub(super) mod words;
mod worked;

#[cfg(test)]
mod fixture;
#[cfg(test)]
mod tests;

use sections::Section;
use worked::Worked;

/// Below this width the choices stand above the answer and not beside it.
const LEAST_WIDTH_FOR_TWO_COLUMNS: f32 = 640.0;
/// The width of the column of choices.
const CHOICES_WIDTH: f32 = 236.0;
/// How often the folder is looked at for changed files, in seconds.
const LOOK_EVERY: f64 = 1.5;

/// What the page is shown.
pub struct FitInput<'a> {
    /// The profile.
    pub profile: &'a Profile,
    /// Its tree of values.
    pub document: &'a Value,
    /// What the choices are remembered under: the file's path, or its id while it has none.
    pub file: &'a str,
    /// A number that grows with every change of the profile.
    pub revision: u64,
    /// The units that a person chose.
    pub system: UnitSystem,
    /// The languages shown.
    pub languages: &'a [String],
    /// The library's folder.
    pub folder: Option<&'a Path>,
}

/// The page between frames.
#[derive(Default)]
pub struct FitPanel {
    shelf: Shelf,
    /// When the folder was looked at last, by the window's clock.
    looked_at: Option<f64>,
    plans: BTreeMap<String, Plan>,
    worked: Option<Worked>,
}

/// What was chosen for one file.
#[derive(Debug, Clone, Default)]
struct Plan {
    /// The files of the equipment chosen.
    equipment: BTreeSet<PathBuf>,
    variant: Option<String>,
    choices: FitChoices,
    shown: ShownParts,
}

/// What of the answer is shown.
#[derive(Debug, Clone, Default)]
struct ShownParts {
    section: Section,
    /// The carrier that the deck's drawing shows.
    carrier: Option<String>,
    /// The result that is shown of each section, by its place in the list.
    picked: BTreeMap<Section, usize>,
    /// The rows that are open.
    open: BTreeSet<String>,
    /// While the vehicle is dragged: how far its placement is from the pointer, in m.
    grip: Option<f64>,
}

impl FitPanel {
    /// Draws the page and returns what a person asks of the window.
    pub fn show(&mut self, ui: &mut Ui, input: &FitInput<'_>) -> Vec<Command> {
        self.look(ui, input.folder);
        let plan = self.plans.entry(input.file.to_owned()).or_default();
        plan.settle(input.profile);
        let mut commands = Vec::new();
        if ui.available_width() >= LEAST_WIDTH_FOR_TWO_COLUMNS {
            two_columns_ui(
                ui,
                input,
                &self.shelf,
                plan,
                &mut self.worked,
                &mut commands,
            );
        } else {
            one_column_ui(
                ui,
                input,
                &self.shelf,
                plan,
                &mut self.worked,
                &mut commands,
            );
        }
        commands
    }

    /// Reads equipment that is new or changed.
    fn look(&mut self, ui: &Ui, folder: Option<&Path>) {
        let now = ui.input(|i| i.time);
        if self
            .looked_at
            .is_none_or(|last| now - last >= LOOK_EVERY || now < last)
        {
            self.looked_at = Some(now);
            self.shelf.refresh(folder);
        }
    }

    /// Looks at the folder again in the next frame.
    pub fn look_again(&mut self) {
        self.looked_at = None;
    }
}

impl Plan {
    /// A profile with variants is always shown as one of them.
    fn settle(&mut self, profile: &Profile) {
        let known = |id: &str| profile.variant(id).is_some();
        if !self.variant.as_deref().is_some_and(known) {
            self.variant = profile.variants.first().map(|v| v.id.to_string());
        }
    }

    /// The equipment chosen, as far as its files can be read.
    fn chosen<'e>(&self, known: &'e Shelf) -> Vec<&'e Equipment> {
        let pieces = known.pieces().iter();
        pieces
            .filter(|piece| self.equipment.contains(&piece.path))
            .filter_map(|piece| piece.read.as_ref().ok())
            .collect()
    }
}

fn two_columns_ui(
    ui: &mut Ui,
    input: &FitInput<'_>,
    shelf: &Shelf,
    plan: &mut Plan,
    worked: &mut Option<Worked>,
    commands: &mut Vec<Command>,
) {
    let room = ui.available_size();
    ui.horizontal_top(|ui| {
        let choices = egui::vec2(CHOICES_WIDTH, room.y);
        ui.allocate_ui_with_layout(choices, egui::Layout::default(), |ui| {
            ScrollArea::vertical()
                .id_salt("fit choices")
                .auto_shrink(false)
                .show(ui, |ui| choices::show(ui, input, shelf, plan, commands));
        });
        let answer = egui::vec2(ui.available_width(), room.y);
        ui.allocate_ui_with_layout(answer, egui::Layout::default(), |ui| {
            ScrollArea::vertical()
                .id_salt("fit answer")
                .auto_shrink(false)
                .show(ui, |ui| answer_ui(ui, input, shelf, plan, worked, commands));
        });
    });
}

fn one_column_ui(
    ui: &mut Ui,
    input: &FitInput<'_>,
    shelf: &Shelf,
    plan: &mut Plan,
    worked: &mut Option<Worked>,
    commands: &mut Vec<Command>,
) {
    ScrollArea::vertical()
        .id_salt("fit")
        .auto_shrink(false)
        .show(ui, |ui| {
            let title = RichText::new("Equipment and choices").strong();
            CollapsingHeader::new(title)
                .id_salt("equipment and choices")
                .default_open(plan.equipment.is_empty())
                .show(ui, |ui| choices::show(ui, input, shelf, plan, commands));
            answer_ui(ui, input, shelf, plan, worked, commands);
        });
}

/// Works the fit out, where something changed, and shows it.
fn answer_ui(
    ui: &mut Ui,
    input: &FitInput<'_>,
    shelf: &Shelf,
    plan: &mut Plan,
    worked: &mut Option<Worked>,
    commands: &mut Vec<Command>,
) {
    let worked = Worked::up_to_date(worked, input, shelf, plan);
    let Plan { choices, shown, .. } = plan;
    let answer = Answer { input, worked };
    summary::show(ui, &answer, shown);
    ui.add_space(6.0);
    sections::show(ui, &answer, choices, shown, commands);
    caution_ui(ui);
}

/// What was worked out, and for whom: what every part of the answer is written from.
struct Answer<'a> {
    input: &'a FitInput<'a>,
    worked: &'a Worked,
}

impl Answer<'_> {
    fn truck(&self, carrier: &str) -> Option<&Truck> {
        let trucks = self.worked.trucks.iter();
        trucks
            .filter(|(id, _)| id == carrier)
            .find_map(|(_, t)| t.as_ref())
    }

    /// What a piece of equipment is called, by its id.
    fn name_of<'s>(&'s self, id: &'s str) -> &'s str {
        let piece = self.worked.gear.iter().find(|e| e.id.as_str() == id);
        piece.map_or(id, |e| e.name.pick([&e.language]))
    }
}

fn caution_ui(ui: &mut Ui) {
    let [caution, ..] = chockstone_schema::CAUTIONS;
    ui.add_space(12.0);
    ui.separator();
    let text = RichText::new(caution)
        .color(Tokens::of(ui).text_soft)
        .small();
    ui.add(egui::Label::new(text).wrap());
    ui.add_space(24.0);
}

/// The vehicle as a plan asks for it.
fn vehicle<'p>(profile: &'p Profile, plan: &Plan) -> Vehicle<'p> {
    Vehicle::new(profile, plan.variant.as_deref())
}
