//! The files of a folder: what each holds, its release and how its findings stand.

use std::path::{Path, PathBuf};

use chockstone_library::{
    files::{self, FileKind},
    releases,
};
use chockstone_rules::{check_equipment, check_profile};
use chockstone_schema::{
    Equipment, Profile,
    read::read_file,
    report::{Finding, Severity},
};
use egui::{Grid, RichText, ScrollArea, Ui};

use crate::{theme::Tokens, widgets::severity};

/// One file as the list shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The file.
    pub path: PathBuf,
    /// Its name inside the folder.
    pub name: String,
    /// What kind of file it is.
    pub kind: FileKind,
    /// What it is about, or why it could not be read.
    pub title: Result<String, String>,
    /// The last release in this folder's library.
    pub release: Option<String>,
    /// How many findings there are: blocking, warnings, notes.
    pub counts: [usize; 3],
}

/// The list of a folder's files.
#[derive(Debug, Default)]
pub struct LibraryPanel {
    folder: Option<PathBuf>,
    rows: Vec<Row>,
    trouble: Option<String>,
    wanted: String,
}

impl LibraryPanel {
    /// The folder that is shown.
    pub fn folder(&self) -> Option<&Path> {
        self.folder.as_deref()
    }

    /// The files found.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// Shows another folder, or the same one read again.
    pub fn open(&mut self, folder: &Path) {
        self.folder = Some(folder.to_owned());
        match files::find(folder) {
            Ok(found) => {
                self.rows = found
                    .iter()
                    .map(|(path, kind)| row(folder, path, *kind))
                    .collect();
                self.trouble = None;
            }
            Err(error) => {
                self.rows.clear();
                self.trouble = Some(format!(
                    "{}: the folder could not be searched: {error}",
                    folder.display()
                ));
            }
        }
    }

    /// Draws the list; tells the file that a person wants to open.
    pub fn show(&mut self, ui: &mut Ui, current: Option<&Path>) -> Option<PathBuf> {
        let Some(folder) = self.folder.clone() else {
            ui.label("No folder is open. Open one with File ▸ Open folder…, or start with File ▸ New profile….");
            return None;
        };
        ui.label(RichText::new(folder.display().to_string()).color(Tokens::of(ui).text_soft));
        let mut again = false;
        ui.horizontal(|ui| {
            let label = ui.label("Find");
            ui.text_edit_singleline(&mut self.wanted)
                .labelled_by(label.id);
            again = ui.button("Read again").clicked();
        });
        if again {
            self.open(&folder);
        }
        if let Some(trouble) = &self.trouble {
            ui.label(RichText::new(trouble).color(Tokens::of(ui).blocking));
        } else if self.rows.is_empty() {
            ui.label("There is no profile and no equipment in this folder yet. Start with File ▸ New profile….");
        }
        let mut chosen = None;
        ScrollArea::vertical()
            .auto_shrink([false, false])
            .show(ui, |ui| {
                for (kind, heading) in [
                    (FileKind::Profile, "Profiles"),
                    (FileKind::Equipment, "Equipment"),
                ] {
                    let rows: Vec<&Row> = self
                        .rows
                        .iter()
                        .filter(|r| r.kind == kind && self.matches(r))
                        .collect();
                    if !rows.is_empty() {
                        ui.add_space(8.0);
                        ui.heading(heading);
                        chosen = list(ui, heading, &rows, current).or(chosen.take());
                    }
                }
            });
        chosen
    }

    fn matches(&self, row: &Row) -> bool {
        let wanted = self.wanted.trim().to_lowercase();
        let title = row
            .title
            .as_ref()
            .map_or_else(|_| String::new(), Clone::clone)
            .to_lowercase();
        wanted
            .split_whitespace()
            .all(|word| title.contains(word) || row.name.to_lowercase().contains(word))
    }
}

fn list(ui: &mut Ui, heading: &str, rows: &[&Row], current: Option<&Path>) -> Option<PathBuf> {
    let mut chosen = None;
    Grid::new(heading)
        .num_columns(4)
        .striped(true)
        .spacing([18.0, 6.0])
        .show(ui, |ui| {
            for row in rows {
                let title = row.title.as_deref().unwrap_or(&row.name);
                let open = current == Some(row.path.as_path());
                if ui
                    .selectable_label(open, title)
                    .on_hover_text(&row.name)
                    .clicked()
                {
                    chosen = Some(row.path.clone());
                }
                ui.label(RichText::new(&row.name).color(Tokens::of(ui).text_soft));
                match (&row.release, row.kind) {
                    (Some(release), _) => ui.label(format!("released {release}")),
                    (None, FileKind::Profile) => ui.label("not released"),
                    (None, FileKind::Equipment) => ui.label(""),
                };
                state(ui, row);
                ui.end_row();
            }
        });
    chosen
}

fn state(ui: &mut Ui, row: &Row) {
    if let Err(trouble) = &row.title {
        ui.label(RichText::new("could not be read").color(Tokens::of(ui).blocking))
            .on_hover_text(trouble);
        return;
    }
    ui.horizontal(|ui| {
        let severities = [Severity::Blocking, Severity::Warning, Severity::Note];
        for (severity, count) in severities
            .into_iter()
            .zip(row.counts)
            .filter(|(_, count)| *count > 0)
        {
            severity::labelled(ui, severity, &severity::count(severity, count));
        }
        if row.counts == [0; 3] {
            ui.label("no findings");
        }
    });
}

fn row(folder: &Path, path: &Path, kind: FileKind) -> Row {
    let name = path
        .strip_prefix(folder)
        .unwrap_or(path)
        .display()
        .to_string();
    let read = match kind {
        FileKind::Profile => read_file::<Profile>(path).map(|p| {
            let release = releases::of(folder, &p.id)
                .ok()
                .and_then(|r| r.last().map(ToString::to_string));
            (
                chockstone_library::note::title_of(&p),
                release,
                counts(&check_profile(&p)),
            )
        }),
        FileKind::Equipment => read_file::<Equipment>(path).map(|e| {
            (
                e.name.pick([&e.language]).to_owned(),
                None,
                counts(&check_equipment(&e)),
            )
        }),
    };
    let path = path.to_owned();
    match read {
        Ok((title, release, counts)) => Row {
            path,
            name,
            kind,
            title: Ok(title),
            release,
            counts,
        },
        Err(error) => Row {
            path,
            name,
            kind,
            title: Err(error.to_string()),
            release: None,
            counts: [0; 3],
        },
    }
}

fn counts(findings: &[Finding]) -> [usize; 3] {
    [Severity::Blocking, Severity::Warning, Severity::Note]
        .map(|s| findings.iter().filter(|f| f.severity == s).count())
}
