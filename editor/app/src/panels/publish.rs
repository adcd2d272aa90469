//! The page for publishing: what blocks a release, what its bundle will hold, and then the button.

use std::path::{Path, PathBuf};

use chockstone_library::publish::{Plan, Release, plan, publish_profile};
use chockstone_schema::{CAUTIONS, Profile, codes::ReleaseNumber, date::Moment};
use egui::{Grid, RichText, ScrollArea, Ui};

use crate::theme::Tokens;

/// What the page knows of the open profile.
#[derive(Debug, Clone, Copy)]
pub struct PublishInput<'p> {
    /// The open profile.
    pub profile: &'p Profile,
    /// Its file; a profile that was never saved has none.
    pub file: Option<&'p Path>,
    /// Whether it has changes that are not saved.
    pub modified: bool,
    /// Grows with every change.
    pub revision: u64,
    /// The moment that a release would carry.
    pub moment: Moment,
}

/// The state of the page.
#[derive(Debug, Default)]
pub struct PublishPanel {
    library: Option<PathBuf>,
    version: String,
    known: Option<(Key, Result<Plan, String>)>,
    outcome: Option<Result<Release, String>>,
}

/// What the plan depends on; while it stays the same the plan is not made again.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Key {
    revision: u64,
    library: PathBuf,
    version: String,
    file: PathBuf,
}

impl PublishPanel {
    /// Chooses the library that releases go into.
    pub fn set_library(&mut self, library: &Path) {
        self.library = Some(library.to_owned());
    }

    /// Looks at the library and the attachments again.
    pub fn refresh(&mut self) {
        self.known = None;
    }

    /// The last outcome of pressing the button.
    pub fn outcome(&self) -> Option<&Result<Release, String>> {
        self.outcome.as_ref()
    }

    /// Draws the page; true when a release was just written.
    pub fn show(&mut self, ui: &mut Ui, input: &PublishInput<'_>) -> bool {
        ui.label(CAUTIONS[0]);
        ui.add_space(8.0);
        let Some(file) = input.file else {
            ui.label(
                "Save the profile first: its attachments and its library lie beside its file.",
            );
            return false;
        };
        let folder = file.parent().unwrap_or(Path::new(".")).to_owned();
        let library = self.library.clone().unwrap_or_else(|| folder.clone());
        self.number_ui(ui, &library);
        let version = match self.version() {
            Ok(version) => version,
            Err(message) => {
                ui.label(RichText::new(message).color(Tokens::of(ui).blocking));
                return false;
            }
        };
        let key = Key {
            revision: input.revision,
            library: library.clone(),
            version: self.version.clone(),
            file: file.to_owned(),
        };
        if self.known.as_ref().is_none_or(|(known, _)| *known != key) {
            let made = plan(
                input.profile,
                &folder,
                &library,
                version.as_ref(),
                input.moment,
            );
            self.known = Some((key, made.map_err(|e| e.to_string())));
        }
        let released = self.plan_ui(ui, input, &folder, &library, version.as_ref());
        self.outcome_ui(ui);
        released
    }

    fn version(&self) -> Result<Option<ReleaseNumber>, String> {
        match self.version.trim() {
            "" => Ok(None),
            text => ReleaseNumber::new(text).map(Some),
        }
    }

    fn number_ui(&mut self, ui: &mut Ui, library: &Path) {
        Grid::new("release")
            .num_columns(2)
            .spacing([16.0, 8.0])
            .show(ui, |ui| {
                ui.label("Library");
                ui.label(library.display().to_string());
                ui.end_row();
                let label = ui.label("Release number");
                ui.add(
                    egui::TextEdit::singleline(&mut self.version)
                        .hint_text("chosen by the program")
                        .desired_width(160.0),
                )
                .labelled_by(label.id);
                ui.end_row();
            });
        ui.label(
            RichText::new(
                "First number: someone who acts on the older release could be hurt or do damage. Second: something new \
                 to know. Third: wording, drawing, sources.",
            )
            .color(Tokens::of(ui).text_soft),
        );
        ui.add_space(8.0);
    }

    fn plan_ui(
        &mut self,
        ui: &mut Ui,
        input: &PublishInput<'_>,
        folder: &Path,
        library: &Path,
        version: Option<&ReleaseNumber>,
    ) -> bool {
        let plan = match &self.known {
            Some((_, Ok(plan))) => plan.clone(),
            Some((_, Err(message))) => {
                ui.label(RichText::new(message).color(Tokens::of(ui).blocking));
                return false;
            }
            None => return false,
        };
        blocked_ui(ui, &plan.blocked_by);
        let ready = plan.blocked_by.is_empty() && !input.modified;
        if input.modified {
            ui.label("Save the changes first: what is released is what the file holds.");
        }
        let button = ui.add_enabled(
            ready,
            egui::Button::new(format!("Publish release {}", plan.number)),
        );
        contents_ui(ui, &plan);
        if !button.clicked() {
            return false;
        }
        let outcome = publish_profile(input.profile, folder, library, version, input.moment);
        let released = outcome.is_ok();
        self.outcome = Some(outcome.map_err(|e| e.to_string()));
        self.refresh();
        released
    }

    fn outcome_ui(&self, ui: &mut Ui) {
        let tokens = Tokens::of(ui);
        match &self.outcome {
            Some(Ok(release)) => {
                ui.add_space(8.0);
                ui.label(
                    RichText::new(format!("Released {} {}", release.profile, release.number))
                        .color(tokens.good)
                        .strong(),
                );
                ui.label(release.bundle.display().to_string());
                ui.label(RichText::new(format!("SHA-256 {}", release.sha256)).monospace());
            }
            Some(Err(message)) => drop(ui.label(RichText::new(message).color(tokens.blocking))),
            None => {}
        }
    }
}

fn blocked_ui(ui: &mut Ui, reasons: &[String]) {
    let tokens = Tokens::of(ui);
    if reasons.is_empty() {
        ui.label(
            RichText::new("Nothing blocks the release.")
                .color(tokens.good)
                .strong(),
        );
        return;
    }
    ui.label(
        RichText::new(format!("What blocks the release: {}", reasons.len()))
            .color(tokens.blocking)
            .strong(),
    );
    ScrollArea::vertical()
        .id_salt("what blocks")
        .max_height(200.0)
        .show(ui, |ui| {
            for reason in reasons {
                ui.label(format!("■ {reason}"));
            }
        });
}

fn contents_ui(ui: &mut Ui, plan: &Plan) {
    ui.add_space(8.0);
    ui.label(RichText::new("The bundle will hold").strong());
    Grid::new("contents")
        .num_columns(2)
        .striped(true)
        .spacing([18.0, 4.0])
        .show(ui, |ui| {
            for (name, size) in &plan.contents {
                ui.label(name);
                ui.label(format!("{size} bytes"));
                ui.end_row();
            }
        });
    let file = plan.bundle.display();
    ui.label(RichText::new(format!("in {file}")).color(Tokens::of(ui).text_soft));
    if let Some(last) = plan.earlier.last() {
        ui.label(format!("The last release in this library is {last}."));
    }
}
