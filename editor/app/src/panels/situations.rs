//! The page that tells, from what is true now, the safe way to each goal, or why there is none.
//!
//! A person says what is true; [`chockstone_rules::plan`] answers; this page writes the answer down, draws it on a line
//! of time and goes through it step by step with the places on the vehicle. Nothing is computed here. What was chosen is
//! remembered for each file while the program runs, and the planner is asked again only when something that its answer
//! depends on has changed.

use std::collections::{BTreeMap, BTreeSet};

use chockstone_rules::plan::{self, Situation, Start};
use chockstone_schema::{
    Profile,
    report::{Goal, PlanCell, PlanChoices},
};
use egui::{Button, CollapsingHeader, RichText, ScrollArea, Ui};

use crate::{command::Command, theme::Tokens, widgets::UnitSystem};

mod answer;
mod choices;
mod goals;
mod list;
mod parts;
mod rest;
mod stages;
mod start;
mod step;
mod table;
mod timeline;
mod words;
mod worked;

use words::Reader;
use worked::Worked;

/// Below this width what is true now stands above the answer and not beside it.
const LEAST_WIDTH_FOR_TWO_COLUMNS: f32 = 640.0;
/// The width of the column of what is true now.
const START_WIDTH: f32 = 264.0;

/// What the page is shown.
pub struct SituationsInput<'a> {
    /// The profile.
    pub profile: &'a Profile,
    /// What the choices are remembered under: the file's path, or its id while it has none.
    pub file: &'a str,
    /// A number that grows with every change of the profile.
    pub revision: u64,
    /// The units that a person chose.
    pub system: UnitSystem,
}

/// The page between frames.
#[derive(Default)]
pub struct SituationsPanel {
    plans: BTreeMap<String, Plan>,
    worked: Option<Worked>,
}

/// Which part of the page is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum View {
    /// One situation, one goal and the way.
    #[default]
    Way,
    /// Situations by goals.
    Table,
}

/// Which of two ways is gone through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Route {
    /// The way to the goal.
    #[default]
    Way,
    /// Moving the vehicle with its wheels off the ground.
    Fallback,
}

/// What was chosen for one file.
#[derive(Debug, Clone, PartialEq)]
struct Plan {
    variant: Option<String>,
    choices: PlanChoices,
    /// The language of the texts; none is the profile's base language.
    language: Option<String>,
    /// The situation that the start was taken from.
    situation: &'static str,
    /// What is true now.
    given: BTreeSet<String>,
    goal: Goal,
    route: Route,
    /// The stage that is looked at.
    at: usize,
    view: View,
    /// Whether the table shows every combination.
    all: bool,
    /// Whether the keyboard's focus was on what goes through the stages, in the frame before.
    on_stages: bool,
    /// Whether the answer is shown from its top.
    from_top: bool,
}

impl Default for Plan {
    fn default() -> Self {
        let mut plan = Self {
            variant: None,
            choices: PlanChoices::default(),
            language: None,
            situation: "",
            given: BTreeSet::new(),
            goal: Goal::InNeutral,
            route: Route::Way,
            at: 0,
            view: View::Way,
            all: false,
            on_stages: false,
            from_top: true,
        };
        if let Some(usual) = plan::situations().first() {
            plan.begin_with(usual);
        }
        plan
    }
}

impl Plan {
    /// A profile with variants is always planned for one of them.
    fn settle(&mut self, profile: &Profile) {
        let known = |id: &str| profile.variant(id).is_some();
        if !self.variant.as_deref().is_some_and(known) {
            self.variant = profile.variants.first().map(|v| v.id.to_string());
        }
    }

    /// The situation that the start was taken from.
    fn situation(&self) -> Option<&'static Situation> {
        let mut situations = plan::situations().iter();
        situations.find(|situation| situation.id == self.situation)
    }

    /// Takes the start from a situation.
    fn begin_with(&mut self, situation: &'static Situation) {
        self.situation = situation.id;
        let given = situation.given.iter().map(|id| (*id).to_owned());
        self.give(given.collect());
    }

    /// Takes what is true now; the way begins anew.
    fn give(&mut self, given: BTreeSet<String>) {
        self.given = given;
        self.begin();
    }

    /// Makes a condition true or not; what cannot hold beside it ends.
    fn set(&mut self, condition: &str, holds: bool) {
        if holds {
            let ends = chockstone_schema::conditions::find(condition).map_or(&[][..], |c| c.ends);
            self.given.retain(|id| !ends.contains(&id.as_str()));
            self.given.insert(condition.to_owned());
        } else {
            self.given.remove(condition);
        }
        self.begin();
    }

    fn aim_at(&mut self, goal: Goal) {
        self.goal = goal;
        self.begin();
    }

    /// Looks at the first stage of the way.
    fn begin(&mut self) {
        self.at = 0;
        self.route = Route::Way;
    }

    /// What is true now, as the planner takes it.
    fn start(&self, profile: &Profile) -> Start {
        let unchanged = self.situation().filter(|situation| {
            let (came, went) = words::changes(situation.given, &self.given);
            came.is_empty() && went.is_empty()
        });
        match unchanged {
            Some(situation) => Start::named(situation),
            None => Start::given(profile, self.given.clone()),
        }
    }
}

/// What was worked out, and for whom: what every part of the page is written from.
struct Answer<'a> {
    input: &'a SituationsInput<'a>,
    worked: &'a Worked,
    reader: &'a Reader,
}

impl Answer<'_> {
    fn profile(&self) -> &Profile {
        self.input.profile
    }

    /// The answer for the goal that was chosen.
    fn cell(&self, plan: &Plan) -> Option<&PlanCell> {
        self.worked.cell(plan.goal)
    }

    /// The pointer and the name of a procedure.
    fn procedure(&self, id: &str) -> Option<(String, &str)> {
        let mut procedures = self.profile().procedures.iter().enumerate();
        let (index, procedure) = procedures.find(|(_, p)| p.id.as_str() == id)?;
        let name = self.reader.text(&procedure.name);
        Some((format!("/procedures/{index}"), name))
    }

    /// The pointer and the name of a point.
    fn point(&self, id: &str) -> Option<(String, &str)> {
        let mut points = self.profile().points.iter().enumerate();
        let (index, point) = points.find(|(_, p)| p.id.as_str() == id)?;
        Some((format!("/points/{index}"), self.reader.text(&point.name)))
    }
}

impl SituationsPanel {
    /// Draws the page and returns what a person asks of the window.
    pub fn show(&mut self, ui: &mut Ui, input: &SituationsInput<'_>) -> Vec<Command> {
        let plan = self.plans.entry(input.file.to_owned()).or_default();
        plan.settle(input.profile);
        let before = plan.clone();
        let reader = Reader::new(input.profile, plan.language.as_deref());
        let worked = Worked::up_to_date(&mut self.worked, input, plan);
        let answer = Answer {
            input,
            worked,
            reader: &reader,
        };
        let mut commands = Vec::new();
        view_ui(ui, plan);
        match plan.view {
            View::Table => table_ui(ui, &answer, plan),
            View::Way if ui.available_width() >= LEAST_WIDTH_FOR_TWO_COLUMNS => {
                two_columns_ui(ui, &answer, plan, &mut commands);
            }
            View::Way => one_column_ui(ui, &answer, plan, &mut commands),
        }
        if *plan != before {
            // The answer to what was chosen just now is shown in the next frame.
            ui.ctx().request_repaint();
        }
        commands
    }
}

/// Chooses between the two parts of the page.
fn view_ui(ui: &mut Ui, plan: &mut Plan) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for (view, label, help) in [
            (
                View::Way,
                "One situation",
                "What is true now, a goal, and the way to it.",
            ),
            (
                View::Table,
                "Table",
                "Every situation against every goal: what a trainer prints.",
            ),
        ] {
            let button = Button::selectable(plan.view == view, label);
            if ui.add(button).on_hover_text(help).clicked() {
                plan.view = view;
            }
        }
    });
    ui.separator();
}

fn two_columns_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, commands: &mut Vec<Command>) {
    let room = ui.available_size();
    ui.horizontal_top(|ui| {
        let start = egui::vec2(START_WIDTH, room.y);
        ui.allocate_ui_with_layout(start, egui::Layout::default(), |ui| {
            ScrollArea::vertical()
                .id_salt("situations start")
                .auto_shrink(false)
                .show(ui, |ui| given_ui(ui, answer, plan));
        });
        let rest = egui::vec2(ui.available_width(), room.y);
        ui.allocate_ui_with_layout(rest, egui::Layout::default(), |ui| {
            let area = ScrollArea::vertical()
                .id_salt("situations answer")
                .auto_shrink(false);
            from_top(area, plan).show(ui, |ui| way_ui(ui, answer, plan, commands));
        });
    });
}

fn one_column_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, commands: &mut Vec<Command>) {
    let area = ScrollArea::vertical()
        .id_salt("situations")
        .auto_shrink(false);
    from_top(area, plan).show(ui, |ui| {
        CollapsingHeader::new(RichText::new("What is true now, and choices").strong())
            .id_salt("situations given")
            .show(ui, |ui| given_ui(ui, answer, plan));
        way_ui(ui, answer, plan, commands);
    });
}

/// The table takes the whole width; the choices stand folded above it.
fn table_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    choices::show(ui, answer, plan, false);
    table::show(ui, answer, plan);
}

/// Scrolls to the top where another answer was asked for from elsewhere.
fn from_top(area: ScrollArea, plan: &mut Plan) -> ScrollArea {
    if std::mem::take(&mut plan.from_top) {
        area.vertical_scroll_offset(0.0)
    } else {
        area
    }
}

/// What a person gives: what is true now, and the choices.
fn given_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    start::show(ui, answer, plan);
    choices::show(ui, answer, plan, true);
    ui.add_space(16.0);
}

/// The goals, the answer, and what is to be known of both.
fn way_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, commands: &mut Vec<Command>) {
    if let Some(trouble) = &answer.worked.trouble {
        let text = RichText::new(trouble).color(Tokens::of(ui).blocking);
        ui.add(egui::Label::new(text).wrap());
        return;
    }
    goals::show(ui, answer, plan);
    answer::show(ui, answer, plan, commands);
    rest::show(ui, answer, commands);
    caution_ui(ui);
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
