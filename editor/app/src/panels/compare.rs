//! The page that tells what changed between two versions of a profile, and takes what a reviewer says to it.
//!
//! A person chooses two sides; [`chockstone_library::difference`] tells what changed, in the background; this page lists
//! it, draws both versions over one another and hands back what a person decides. Nothing is computed here. What was
//! chosen is remembered for each file while the program runs.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::Path,
};

use chockstone_library::review::Verdict;
use chockstone_schema::{
    Profile,
    date::Moment,
    report::{Change, Grade},
};
use egui::{Button, RichText, ScrollArea, Ui};
use serde_json::Value;

use crate::{
    command::{Command, Which},
    theme::Tokens,
    widgets::UnitSystem,
};

mod changes;
mod conflicts;
mod details;
mod drawing;
mod effects;
mod head;
mod pieces;
mod review;
mod sides;
mod values;
mod words;
mod worked;

use effects::{Effects, EffectsJob};
use sides::{Releases, Side};
use worked::{Compared, Worked};

/// Below this width the list stands above the details and not beside them.
const LEAST_WIDTH_FOR_TWO_COLUMNS: f32 = 640.0;
/// The width of the list beside the details.
const LIST_WIDTH: f32 = 312.0;
/// The height of the list above the details.
const LIST_HEIGHT: f32 = 210.0;

/// What the page is shown.
pub struct CompareInput<'a> {
    /// The open profile.
    pub profile: &'a Profile,
    /// Its tree of values.
    pub document: &'a Value,
    /// What its file holds, and the revision that was saved; none before it was saved first.
    pub saved: Option<(&'a Profile, u64)>,
    /// What the choices are remembered under.
    pub file: &'a str,
    /// Its file.
    pub path: Option<&'a Path>,
    /// A number that grows with every change of the profile.
    pub revision: u64,
    /// The units that a person chose.
    pub system: UnitSystem,
    /// The library's folder, where releases are looked for.
    pub folder: Option<&'a Path>,
    /// Who reviews here.
    pub reviewer: &'a str,
    /// In which role.
    pub role: &'a str,
    /// Now.
    pub now: Moment,
}

/// The page between frames.
#[derive(Default)]
pub struct ComparePanel {
    plans: BTreeMap<String, Plan>,
    releases: Releases,
    worked: Worked,
    effects: EffectsJob,
    /// Grows when files shall be read again.
    looks: u64,
    /// How far a person asked to go in the list with the keys.
    steps: i32,
    /// Whether the comparison shown last has anything in its list.
    has_changes: bool,
}

/// Which part of the page is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum View {
    /// The list of changes with the drawing and the details.
    #[default]
    Changes,
    /// The computed results that are not the same.
    Effects,
    /// Who reviews, how far it has come, and the record of it.
    Review,
}

/// What was chosen for one file.
#[derive(Debug, Default)]
struct Plan {
    /// The sides that a person chose; none is the usual one.
    sides: BTreeMap<Which, Side>,
    view: View,
    /// The grades that are not listed.
    hidden: BTreeSet<Grade>,
    /// The words that listed changes must hold.
    wanted: String,
    /// The change that is looked at.
    selected: Option<Change>,
    /// Whether the list shall scroll to it.
    scroll: bool,
    /// Whether the drawing shows the change alone, larger.
    close: bool,
    /// What the reviewer said so far.
    verdicts: Vec<Verdict>,
    /// A question that is being written, and the change it is about.
    asking: Option<(Change, String)>,
    /// Who reviews, and in which role, while it is being written.
    reviewer: Option<[String; 2]>,
    /// Why the review was not recorded, or a choice not taken over.
    refused: Option<String>,
}

impl Plan {
    fn verdict(&self, change: &Change) -> Option<&Verdict> {
        self.verdicts.iter().find(|v| v.change == *change)
    }

    /// Says something to a change, in the place of what was said before; nothing takes it back.
    fn say(&mut self, change: &Change, verdict: Option<Verdict>) {
        self.verdicts.retain(|v| v.change != *change);
        self.verdicts.extend(verdict);
        self.refused = None;
    }

    fn select(&mut self, change: &Change) {
        self.selected = Some(change.clone());
        self.scroll = true;
    }

    /// Whether a change is listed.
    fn lists(&self, change: &Change) -> bool {
        !self.hidden.contains(&change.grade) && words::holds(change, &self.wanted)
    }

    /// The changes listed, in their order.
    fn listed<'c>(&self, compared: &'c Compared) -> Vec<&'c Change> {
        let changes = compared.difference.changes.iter();
        changes.filter(|change| self.lists(change)).collect()
    }

    /// Goes on in the list by so many changes, around its ends.
    fn step(&mut self, compared: &Compared, steps: i32) {
        let listed = self.listed(compared);
        let Ok(count) = i32::try_from(listed.len()) else {
            return;
        };
        if steps == 0 || count == 0 {
            return;
        }
        let at = listed
            .iter()
            .position(|c| Some(*c) == self.selected.as_ref());
        let next = match at.and_then(|at| i32::try_from(at).ok()) {
            Some(at) => (at + steps).rem_euclid(count),
            None if steps > 0 => 0,
            None => count - 1,
        };
        if let Some(change) = usize::try_from(next).ok().and_then(|next| listed.get(next)) {
            self.view = View::Changes;
            self.select(change);
        }
    }
}

/// What was compared, and for whom: what every part of the page is written from.
struct Answer<'a> {
    input: &'a CompareInput<'a>,
    compared: &'a Compared,
    /// What the changes do; none while it is worked out.
    effects: Option<&'a Effects>,
    /// What the two sides are.
    sides: &'a [Side; 2],
}

impl Answer<'_> {
    /// Whether the newer side is the file being edited.
    fn is_about_open_file(&self) -> bool {
        let [_, newer] = self.sides;
        *newer == Side::Now
    }

    /// The place to open for a change, where the file being edited has it.
    fn place_to_open(&self, change: &Change) -> Option<String> {
        let [older, newer] = self.sides;
        let parent = |place: &str| crate::pointer::split(place).map(|(p, _)| p.to_owned());
        match (newer, older) {
            (Side::Now, _) => {
                let gone = change.before_place.as_deref().and_then(parent);
                change.after_place.clone().or(gone)
            }
            (_, Side::Now) => {
                let new = change.after_place.as_deref().and_then(parent);
                change.before_place.clone().or(new)
            }
            _ => None,
        }
        .filter(|place| !place.is_empty())
    }
}

impl ComparePanel {
    /// Draws the page and returns what a person asks of the window.
    pub fn show(&mut self, ui: &mut Ui, input: &CompareInput<'_>) -> Vec<Command> {
        let mut commands = Vec::new();
        let plan = self.plans.entry(input.file.to_owned()).or_default();
        conflicts::show(ui, input, &mut plan.refused, &mut commands);
        let releases = self.releases.of(input, self.looks);
        let sides = sides::chosen(
            input,
            &plan.sides,
            releases.as_ref().map_or(&[], Vec::as_slice),
        );
        if head::show(ui, input, releases, &sides, plan, &mut commands) {
            self.looks += 1;
            ui.ctx().request_repaint();
        }
        let context = ui.ctx().clone();
        let key = worked::Key::of(input, &sides, self.looks);
        let steps = std::mem::take(&mut self.steps);
        self.has_changes = false;
        match self.worked.compare(&context, &key, input, &sides) {
            None => waiting_ui(ui, "Comparing…"),
            Some(Err(faults)) => faults_ui(ui, faults),
            Some(Ok(compared)) => {
                self.has_changes = !compared.difference.is_empty();
                let files = (input.folder, self.looks);
                let answer = Answer {
                    input,
                    compared,
                    effects: self.effects.ask(&context, &key, compared, files),
                    sides: &sides,
                };
                plan.step(compared, steps);
                answer_ui(ui, &answer, plan, &mut commands);
            }
        }
        commands
    }

    /// Whether the comparison that is shown has anything to go through.
    pub fn has_changes(&self) -> bool {
        self.has_changes
    }

    /// Goes on to the next change, or back to the one before.
    pub fn step(&mut self, by: i32) {
        self.steps += by;
    }

    /// Reads the sides' files again with the next frame.
    pub fn look_again(&mut self) {
        self.looks += 1;
    }

    /// Takes a file that a person picked as one side.
    pub fn choose_file(&mut self, file: &str, which: Which, path: &Path) {
        let plan = self.plans.entry(file.to_owned()).or_default();
        plan.sides.insert(which, Side::File(path.to_owned()));
        self.looks += 1;
    }
}

fn waiting_ui(ui: &mut Ui, text: &str) {
    ui.horizontal(|ui| {
        ui.spinner();
        ui.label(RichText::new(text).color(Tokens::of(ui).text_soft));
    });
}

fn faults_ui(ui: &mut Ui, faults: &[String]) {
    ui.add_space(6.0);
    for fault in faults {
        let text = RichText::new(fault).color(Tokens::of(ui).blocking);
        ui.add(egui::Label::new(text).wrap());
    }
    ui.add_space(6.0);
    let text = RichText::new("Choose another side above.").color(Tokens::of(ui).text_soft);
    ui.label(text);
}

fn answer_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, commands: &mut Vec<Command>) {
    head::summary_ui(ui, answer, commands);
    if answer.compared.difference.is_empty() {
        return;
    }
    view_ui(ui, answer, plan);
    match plan.view {
        View::Changes => changes_ui(ui, answer, plan, commands),
        View::Effects => effects::show(ui, answer.effects),
        View::Review => review::show(ui, answer, plan, commands),
    }
}

/// Chooses between the parts of the page.
fn view_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for (view, label, help) in [
            (
                View::Changes,
                "Changes",
                "What changed, where, and whether it can hurt somebody.",
            ),
            (
                View::Effects,
                "What it does",
                "The computed results that are not the same for both.",
            ),
            (
                View::Review,
                "Review",
                "Who reviews, how far it has come, and the record of it.",
            ),
        ] {
            let button = Button::selectable(plan.view == view, label);
            if ui.add(button).on_hover_text(help).clicked() {
                plan.view = view;
            }
        }
        let left = review::progress_words(answer, plan);
        ui.label(RichText::new(left).color(Tokens::of(ui).text_soft).small());
    });
    ui.separator();
}

fn changes_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, commands: &mut Vec<Command>) {
    let room = ui.available_size();
    if room.x < LEAST_WIDTH_FOR_TWO_COLUMNS {
        ScrollArea::vertical()
            .id_salt("compare")
            .auto_shrink(false)
            .show(ui, |ui| {
                changes::filter_ui(ui, plan, commands);
                let area = ScrollArea::vertical()
                    .id_salt("changes")
                    .max_height(LIST_HEIGHT);
                area.show(ui, |ui| changes::list_ui(ui, answer, plan));
                ui.separator();
                rest_ui(ui, answer, plan, commands);
            });
        return;
    }
    ui.horizontal_top(|ui| {
        let list = egui::vec2(LIST_WIDTH, room.y);
        ui.allocate_ui_with_layout(list, egui::Layout::default(), |ui| {
            changes::filter_ui(ui, plan, commands);
            ScrollArea::vertical()
                .id_salt("changes")
                .auto_shrink(false)
                .show(ui, |ui| changes::list_ui(ui, answer, plan));
        });
        let rest = egui::vec2(ui.available_width(), room.y);
        ui.allocate_ui_with_layout(rest, egui::Layout::default(), |ui| {
            ScrollArea::vertical()
                .id_salt("change")
                .auto_shrink(false)
                .show(ui, |ui| rest_ui(ui, answer, plan, commands));
        });
    });
}

/// The change that is looked at, then both versions drawn over one another.
fn rest_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, commands: &mut Vec<Command>) {
    let selected = plan.selected.clone();
    let known = |change: &&Change| answer.compared.difference.changes.contains(*change);
    if let Some(change) = selected.as_ref().filter(known) {
        details::show(ui, answer, change, commands);
        review::decision_ui(ui, answer, plan, change);
    } else {
        let text = "Choose a change in the list or in the drawing.";
        ui.label(RichText::new(text).color(Tokens::of(ui).text_soft));
    }
    ui.add_space(6.0);
    drawing::show(ui, answer, plan);
    let [caution, ..] = chockstone_schema::CAUTIONS;
    ui.separator();
    let text = RichText::new(caution)
        .color(Tokens::of(ui).text_soft)
        .small();
    ui.add(egui::Label::new(text).wrap());
    ui.add_space(24.0);
}
