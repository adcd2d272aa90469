//! Opening, making, saving and closing files.

use std::path::{Path, PathBuf};

use egui::Context;

use super::{After, App, Contents, Dialog, OpenFile, Trouble, unsaved::LeftBehind};
use crate::{
    command::{ChangeNoteFile, Which},
    diagram::DiagramState,
    pages::{Belongs, Page},
    panels::publish::PublishPanel,
    ports::PickRequest,
};

/// What the answer of a file dialog is for.
#[derive(Debug)]
pub(super) enum Picking {
    /// A file to open.
    File,
    /// A folder to show.
    Folder,
    /// A place to save to, and what follows.
    Save(Option<After>),
    /// A file to compare with.
    Compared(Which),
    /// A place for a change note: the whole page.
    Note(String),
}

impl App {
    /// Goes on at once, or asks first when something would be lost.
    pub(super) fn unless_unsaved(&mut self, context: &Context, after: After) {
        if self.open.as_ref().is_some_and(OpenFile::is_unsaved) {
            self.dialog = Some(Dialog::Unsaved(after));
        } else {
            self.go_on(context, after);
        }
    }

    /// Does what was put off until the question was answered.
    pub(super) fn go_on(&mut self, context: &Context, after: After) {
        match after {
            After::Open(path) => self.open_path(&path),
            After::PickFile => {
                let folder = self.folder();
                self.ask(context, Picking::File, PickRequest::OpenFile { folder });
            }
            After::Make(contents) => self.show_new(*contents),
            After::Close => self.close(),
            After::Quit => self.leave(context),
        }
    }

    pub(super) fn pick_folder(&mut self, context: &Context) {
        let folder = self.folder();
        self.ask(context, Picking::Folder, PickRequest::OpenFolder { folder });
    }

    /// Lets a person pick a file for one side of the comparison.
    pub(super) fn pick_compared(&mut self, context: &Context, which: Which) {
        let folder = self.folder();
        let request = PickRequest::OpenCompared { folder };
        self.ask(context, Picking::Compared(which), request);
    }

    fn compare_with(&mut self, which: Which, path: &Path) {
        if let Some(file) = &self.open {
            self.compare.choose_file(&file.remembered_as(), which, path);
        }
    }

    /// Lets a person pick where a change note goes.
    pub(super) fn save_note(&mut self, context: &Context, note: ChangeNoteFile) {
        let (folder, name) = (self.folder(), note.name);
        let request = PickRequest::Save { folder, name };
        self.ask(context, Picking::Note(note.html), request);
    }

    fn write_note(&mut self, path: &Path, html: &str) {
        match chockstone_library::files::write_atomic(path, html.as_bytes()) {
            Ok(()) => self.say(format!("Saved {}", file_name(path))),
            Err(error) => {
                let title = format!("{} cannot be written", path.display());
                let lines = vec![error.to_string()];
                self.dialog = Some(Dialog::Trouble(Trouble { title, lines }));
            }
        }
    }

    fn ask(&mut self, context: &Context, picking: Picking, request: PickRequest) {
        self.picking = Some(picking);
        self.picker.ask(request, context.clone());
    }

    /// Where file dialogs begin.
    fn folder(&self) -> Option<PathBuf> {
        let of_file = self.open.as_ref().and_then(|f| f.path.as_deref()?.parent());
        of_file.or(self.library.folder()).map(Path::to_owned)
    }

    /// Takes the answer of a file dialog, once it is there.
    pub(super) fn take_picked(&mut self, context: &Context) {
        let Some(picked) = self.picker.answer() else {
            return;
        };
        let (Some(picking), Some(path)) = (self.picking.take(), picked) else {
            return;
        };
        match picking {
            Picking::File => self.open_path(&path),
            Picking::Folder => self.open_folder(&path),
            Picking::Save(after) => self.write(context, &path, after),
            Picking::Compared(which) => self.compare_with(which, &path),
            Picking::Note(html) => self.write_note(&path, &html),
        }
    }

    pub(super) fn open_folder(&mut self, folder: &Path) {
        self.library.open(&absolute(folder));
        self.page = Page::Library;
    }

    pub(super) fn open_path(&mut self, path: &Path) {
        let path = &absolute(path);
        match OpenFile::read(path) {
            Ok(file) => {
                self.preferences.remember(path);
                match self.left_behind(Some(path)) {
                    Some(found) => {
                        let file = Some(file);
                        let left = Box::new(LeftBehind { file, found });
                        self.dialog = Some(Dialog::LeftBehind(left));
                    }
                    None => self.show_file(file),
                }
            }
            Err(trouble) => self.dialog = Some(Dialog::Trouble(trouble)),
        }
    }

    /// Shows a file that was read, and says what a person must know of it.
    pub(super) fn show_file(&mut self, file: OpenFile) {
        let path = file.path.as_deref();
        let elsewhere = path.is_some_and(|path| self.is_open_elsewhere(path));
        let text = if elsewhere {
            "Another window works on this file too. Whoever saves second is asked first."
        } else if file.is_read_only() {
            "This file may not be written. Save under another name."
        } else if file.has_comments() {
            "This file holds comments. Saving writes it anew, without them."
        } else {
            "Opened"
        };
        self.show(file);
        self.say(text);
    }

    /// Shows contents that no file holds yet.
    pub(super) fn show_new(&mut self, contents: Contents) {
        self.show(OpenFile::new(contents));
        self.say("Not saved yet");
    }

    fn show(&mut self, file: OpenFile) {
        self.page = match file.contents.belongs() {
            Belongs::Equipment => Page::EquipmentGeneral,
            _ => Page::Identity,
        };
        if self.library.folder().is_none()
            && let Some(folder) = file.path.as_deref().and_then(Path::parent)
        {
            self.library.open(folder);
        }
        self.publish = PublishPanel::default();
        if let Some(library) = self.library.folder() {
            self.publish.set_library(library);
        }
        self.open = Some(file);
        self.begin_keeping();
        self.diagram = DiagramState::default();
        self.variant = None;
        self.chosen_finding = None;
    }

    fn close(&mut self) {
        self.open = None;
        self.begin_keeping();
        self.page = Page::Library;
        self.message = None;
    }

    /// Saves to the file it came from; asks where when there is none, and first when the file was changed elsewhere.
    pub(super) fn save(&mut self, context: &Context, after: Option<After>) {
        let Some(file) = &self.open else {
            return;
        };
        let Some(path) = file.path.clone() else {
            self.save_as(context, after);
            return;
        };
        if file.changed_elsewhere() {
            self.dialog = Some(Dialog::ChangedElsewhere(after));
        } else {
            self.write(context, &path, after);
        }
    }

    pub(super) fn save_as(&mut self, context: &Context, after: Option<After>) {
        let Some(file) = &self.open else {
            return;
        };
        let (folder, name) = (self.folder(), file.proposed_name());
        let request = PickRequest::Save { folder, name };
        self.ask(context, Picking::Save(after), request);
    }

    /// Writes to a path and goes on with what was put off.
    pub(super) fn write(&mut self, context: &Context, path: &Path, after: Option<After>) {
        let Some(file) = &mut self.open else {
            return;
        };
        let moved = file.path.as_deref() != Some(path);
        if let Err(trouble) = file.write(path) {
            self.dialog = Some(Dialog::NotWritten(trouble, after));
            return;
        }
        if moved {
            self.begin_keeping();
        }
        let Some(file) = &mut self.open else {
            return;
        };
        let unfinished = file.form.draft_nouns().join(", ");
        self.say(if unfinished.is_empty() {
            format!("Saved {}", file_name(path))
        } else {
            format!(
                "Saved {}, without what is not finished: {unfinished}",
                file_name(path)
            )
        });
        self.preferences.remember(path);
        self.publish.refresh();
        self.read_folder_again(path);
        if let Some(after) = after {
            self.go_on(context, after);
        }
    }

    /// Brings the library up to date when the file lies in its folder; a first file brings its folder.
    fn read_folder_again(&mut self, path: &Path) {
        match self.library.folder().map(Path::to_owned) {
            Some(folder) if path.starts_with(&folder) => self.library.open(&folder),
            Some(_) => {}
            None => {
                if let Some(folder) = path.parent() {
                    self.library.open(folder);
                    self.publish.set_library(folder);
                }
            }
        }
    }
}

/// A path that holds wherever it is used, and that has a folder: `van.profile.ron` alone lies in the folder ``.
fn absolute(path: &Path) -> PathBuf {
    std::path::absolute(path).unwrap_or_else(|_| path.to_owned())
}

pub(super) fn file_name(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    name.to_string_lossy().into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_named_without_its_folder_lies_in_one() {
        let path = absolute(Path::new("van.profile.ron"));
        assert_eq!(file_name(&path), "van.profile.ron");
        let folder = path.parent().map(Path::to_owned);
        assert_eq!(folder, std::env::current_dir().ok());
    }
}
