//! The window: its bars and panels, the page in the middle, and what becomes of what a person asks for.
//!
//! A frame has two halves. First everything is drawn from what is there, and what a person does is collected as
//! [`Command`]s; then the commands are carried out, edits before everything else. A command that is no edit waits one
//! frame when a field is being edited, so that the field can hand over what was typed.

use std::{collections::VecDeque, path::Path};

use chockstone_schema::report::Finding;
use egui::{Context, Ui};

use crate::{
    command::{self, Act, Command, Env},
    diagram::DiagramState,
    pages::{Belongs, Page},
    panels::{
        compare::ComparePanel, fit::FitPanel, library::LibraryPanel, publish::PublishPanel,
        reviews::ReviewsPanel, situations::SituationsPanel,
    },
    ports::{Clock, FilePicker},
    preferences::{Preferences, ThemeChoice},
    widgets::entry,
};

mod acts;
mod dialogs;
mod files;
mod findings;
mod menus;
mod navigation;
mod open_file;
mod page;
mod status;
mod unsaved;

pub use dialogs::{After, Dialog};
pub use open_file::{Contents, OpenFile, Trouble};

/// The whole window.
pub struct App {
    open: Option<OpenFile>,
    page: Page,
    preferences: Preferences,
    library: LibraryPanel,
    publish: PublishPanel,
    fit: FitPanel,
    situations: SituationsPanel,
    compare: ComparePanel,
    reviews: ReviewsPanel,
    diagram: DiagramState,
    /// The variant that the page about mass shows results for.
    variant: Option<String>,
    dialog: Option<Dialog>,
    /// The file dialog that is open, and what its answer is for.
    picking: Option<files::Picking>,
    picker: Box<dyn FilePicker>,
    clock: Box<dyn Clock>,
    /// What the status bar says.
    message: Option<status::Message>,
    /// The finding that was gone to last.
    chosen_finding: Option<usize>,
    /// Commands that wait until a field has handed over its text.
    waiting: VecDeque<Command>,
    /// The person has decided to close the window.
    leaving: bool,
    keeping: unsaved::Keeping,
    title: String,
}

impl App {
    /// A window without a file.
    pub fn new(
        context: &Context,
        preferences: Preferences,
        picker: Box<dyn FilePicker>,
        clock: Box<dyn Clock>,
    ) -> Self {
        crate::theme::install(context);
        apply_theme(context, preferences.theme);
        Self {
            open: None,
            page: Page::Library,
            preferences,
            library: LibraryPanel::default(),
            publish: PublishPanel::default(),
            fit: FitPanel::default(),
            situations: SituationsPanel::default(),
            compare: ComparePanel::default(),
            reviews: ReviewsPanel::default(),
            diagram: DiagramState::default(),
            variant: None,
            dialog: None,
            picking: None,
            picker,
            clock,
            message: None,
            chosen_finding: None,
            waiting: VecDeque::new(),
            leaving: false,
            keeping: unsaved::Keeping::default(),
            title: String::new(),
        }
    }

    /// Shows a file, or a folder in the library.
    pub fn start_with(&mut self, path: &Path) {
        if path.is_dir() {
            self.open_folder(path);
        } else {
            self.open_path(path);
        }
        self.offer_new_ones();
    }

    /// The open file.
    pub fn open(&self) -> Option<&OpenFile> {
        self.open.as_ref()
    }

    /// The page that is shown.
    pub fn page(&self) -> Page {
        self.page
    }

    /// What is remembered of the person.
    pub fn preferences(&self) -> &Preferences {
        &self.preferences
    }

    /// The dialog that is open.
    pub fn dialog(&self) -> Option<&Dialog> {
        self.dialog.as_ref()
    }

    fn belongs(&self) -> Belongs {
        self.open
            .as_ref()
            .map_or(Belongs::Window, |file| file.contents.belongs())
    }

    fn findings(&mut self) -> Vec<Finding> {
        let today = self.clock.now().date();
        self.open
            .as_mut()
            .map(|file| file.findings(today).to_vec())
            .unwrap_or_default()
    }

    fn env(&self, findings: &[Finding]) -> Env {
        let contents = self.open.as_ref().map(|file| &file.contents);
        Env {
            has_document: contents.is_some(),
            is_profile: contents.is_some_and(|c| c.profile().is_some()),
            can_undo: contents.is_some_and(|c| c.undo_name().is_some()),
            can_redo: contents.is_some_and(|c| c.redo_name().is_some()),
            has_findings: !findings.is_empty(),
            has_changes: self.page == Page::Compare && self.compare.has_changes(),
        }
    }

    /// Draws the window and collects what a person does.
    fn draw(&mut self, ui: &mut Ui) -> Vec<Command> {
        let findings = self.findings();
        let env = self.env(&findings);
        let mut commands = Vec::new();
        if self.dialog.is_none()
            && let Some(act) = command::pressed(ui.ctx(), env)
        {
            commands.push(Command::Act(act));
        }
        menus::bar_ui(ui, self, env, &mut commands);
        status::bar_ui(ui, self);
        navigation::panel_ui(ui, self, &findings, &mut commands);
        findings::panel_ui(ui, self, &findings, &mut commands);
        page::central_ui(ui, self, &findings, &mut commands);
        dialogs::show(ui, self);
        commands.extend(dropped_file(ui.ctx()));
        commands
    }

    /// Carries commands out, edits first.
    fn carry_out(&mut self, context: &Context, commands: Vec<Command>) {
        let (edits, others): (Vec<_>, Vec<_>) = commands
            .into_iter()
            .partition(|c| matches!(c, Command::Edit(_) | Command::Form(_)));
        if !edits.is_empty() {
            // What was drawn in this frame is from before the edit.
            context.request_repaint();
        }
        for command in edits {
            self.edit(context, command);
        }
        self.waiting.extend(others);
        if self.waiting.is_empty() || entry::finish_editing(context) {
            return;
        }
        while let Some(command) = self.waiting.pop_front() {
            self.act_on(context, command);
        }
    }

    fn edit(&mut self, context: &Context, command: Command) {
        let Some(file) = &mut self.open else {
            return;
        };
        match command {
            Command::Form(edit) => {
                let outcome = file.contents.apply(edit.edit.clone());
                file.form.settle(context, &edit, &outcome);
            }
            Command::Edit(edit) => {
                if let Err(refusal) = file.contents.apply(edit) {
                    self.say(format!("Not taken over: {}", refusal.message()));
                }
            }
            _ => {}
        }
    }

    fn act_on(&mut self, context: &Context, command: Command) {
        match command {
            Command::Act(act) => acts::carry_out(self, context, act),
            Command::GoTo(place) => self.go_to(&place),
            Command::Reveal(place) => self.reveal(&place),
            Command::Show(page) => self.show_page(page),
            Command::OpenFile(path) => self.unless_unsaved(context, After::Open(path)),
            Command::OpenFolder(path) => self.open_folder(&path),
            Command::Say(text) => self.say(text),
            Command::SecondLanguage(language) => self.preferences.second_language = language,
            Command::Variant(variant) => self.variant = Some(variant),
            Command::PickCompared(which) => self.pick_compared(context, which),
            Command::SaveNote(note) => self.save_note(context, note),
            Command::Reviewer(name, role) => {
                self.preferences.reviewer = name;
                self.preferences.reviewer_role = role;
            }
            Command::Edit(_) | Command::Form(_) => {}
        }
    }

    /// Shows a page. A mark that a finding left is taken away.
    fn show_page(&mut self, page: Page) {
        self.page = page;
        self.fit.look_again();
        self.compare.look_again();
        if let Some(file) = &mut self.open {
            file.form.end_focus();
        }
    }

    /// Shows a place of the document in its form and marks it.
    fn go_to(&mut self, place: &str) {
        let Some(file) = &mut self.open else {
            return;
        };
        self.diagram.select(Some(place));
        match crate::pages::page_of(place, file.contents.belongs()) {
            Some(page) => {
                file.form.focus(place);
                self.page = page;
            }
            None => self.say("That is about the file as a whole"),
        }
    }

    /// Shows a place in the diagram while that is shown and has it, else in its form.
    fn reveal(&mut self, place: &str) {
        let drawn = ["/points/", "/zones/", "/axles/"];
        if self.page == Page::Diagram && drawn.iter().any(|list| place.starts_with(list)) {
            self.diagram.select(Some(place));
        } else {
            self.go_to(place);
        }
    }

    fn say(&mut self, text: impl Into<String>) {
        self.message = Some(status::Message::now(text));
    }

    fn keep_title(&mut self, context: &Context) {
        let title = match &self.open {
            Some(file) => {
                let mark = if file.is_unsaved() {
                    " (not saved)"
                } else {
                    ""
                };
                format!("{}{mark} – Chockstone", file.name())
            }
            None => "Chockstone".to_owned(),
        };
        if title != self.title {
            context.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    /// Keeps the window open while something is not saved and nobody has decided what becomes of it.
    fn guard_closing(&mut self, context: &Context) {
        let asked = context.input(|i| i.viewport().close_requested());
        if !asked || self.leaving {
            return;
        }
        if self.open.as_ref().is_some_and(OpenFile::is_unsaved) || entry::finish_editing(context) {
            context.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.waiting.push_back(Command::Act(Act::Quit));
        }
    }
}

impl eframe::App for App {
    fn logic(&mut self, context: &Context, _frame: &mut eframe::Frame) {
        self.guard_closing(context);
        self.take_picked(context);
        self.look_at_disk(context);
        self.keep_title(context);
        self.keep_unsaved(context);
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let commands = self.draw(ui);
        self.carry_out(ui.ctx(), commands);
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        self.preferences.save(storage);
    }
}

/// The frame of the bars: a little room above and below.
fn row_frame(ui: &Ui) -> egui::Frame {
    egui::Frame::side_top_panel(ui.style()).inner_margin(egui::Margin::symmetric(10, 4))
}

fn apply_theme(context: &Context, choice: ThemeChoice) {
    context.set_theme(match choice {
        ThemeChoice::System => egui::ThemePreference::System,
        ThemeChoice::Light => egui::ThemePreference::Light,
        ThemeChoice::Dark => egui::ThemePreference::Dark,
    });
}

fn dropped_file(context: &Context) -> Option<Command> {
    let dropped = context.input(|i| i.raw.dropped_files.first().cloned())?;
    let path = dropped.path().to_owned();
    Some(if path.is_dir() {
        Command::OpenFolder(path)
    } else {
        Command::OpenFile(path)
    })
}

#[cfg(test)]
mod tests;
