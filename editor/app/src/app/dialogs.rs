//! Dialogs over the window: questions, what went wrong, new files, help.

use std::path::PathBuf;

use chockstone_schema::{CAUTIONS, Equipment, read::from_value};
use egui::{Context, Grid, Id, Key, Modal, RichText, ScrollArea, Ui};
use serde_json::json;

use super::{App, Contents, Trouble, unsaved::LeftBehind};
use crate::{
    command::ACTS,
    document::Document,
    panels::new_profile::{self, NewProfile},
    theme::{Tokens, dialog_frame},
};

/// What goes on after a question is answered.
pub enum After {
    /// A file is opened.
    Open(PathBuf),
    /// A person picks a file to open.
    PickFile,
    /// A new document is shown.
    Make(Box<Contents>),
    /// The file is closed.
    Close,
    /// The window is closed.
    Quit,
}

impl std::fmt::Debug for After {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Open(_) => "Open",
            Self::PickFile => "PickFile",
            Self::Make(_) => "Make",
            Self::Close => "Close",
            Self::Quit => "Quit",
        })
    }
}

/// A dialog.
#[derive(Debug)]
pub enum Dialog {
    /// Asks what becomes of changes that are not saved.
    Unsaved(After),
    /// Asks whether to write over a file that another program changed.
    ChangedElsewhere(Option<After>),
    /// Offers what was not saved when a window ended.
    LeftBehind(Box<LeftBehind>),
    /// Says why a file was not written, and asks what to do.
    NotWritten(Trouble, Option<After>),
    /// Says what could not be done.
    Trouble(Trouble),
    /// Makes a profile.
    NewProfile(NewProfile),
    /// Makes a piece of equipment.
    NewEquipment(NewEquipment),
    /// Lists the keys.
    Shortcuts,
    /// Says what the program is and is not.
    About,
}

/// What the dialog for new equipment holds.
#[derive(Debug, Default)]
pub struct NewEquipment {
    name: String,
    language: String,
    refused: Option<String>,
}

/// What a person answered.
enum Answer {
    Wait,
    Cancel,
    Save(Option<After>),
    SaveAs(Option<After>),
    WriteOver(Option<After>),
    BringTogether,
    TakeUp(Box<LeftBehind>),
    GoOn(After),
}

/// Draws the dialog that is open and does what was answered.
pub(super) fn show(ui: &mut Ui, app: &mut App) {
    let Some(dialog) = app.dialog.take() else {
        return;
    };
    let context = ui.ctx().clone();
    let answer = match dialog {
        Dialog::Unsaved(after) => unsaved_ui(&context, app, after),
        Dialog::ChangedElsewhere(after) => changed_ui(&context, app, after),
        Dialog::LeftBehind(left) => left_behind_ui(&context, app, left),
        Dialog::NotWritten(trouble, after) => not_written_ui(&context, app, trouble, after),
        Dialog::Trouble(trouble) => trouble_ui(&context, app, trouble),
        Dialog::NewProfile(new) => new_profile_ui(ui, app, new),
        Dialog::NewEquipment(new) => new_equipment_ui(&context, app, new),
        Dialog::Shortcuts => help_ui(&context, app, Dialog::Shortcuts, shortcuts_ui),
        Dialog::About => help_ui(&context, app, Dialog::About, about_ui),
    };
    match answer {
        Answer::Wait => {}
        Answer::Cancel => app.dialog = None,
        Answer::Save(after) => app.save(&context, after),
        Answer::SaveAs(after) => app.save_as(&context, after),
        Answer::WriteOver(after) => {
            let path = app.open.as_ref().and_then(|file| file.path.clone());
            if let Some(path) = path {
                app.write(&context, &path, after);
            }
        }
        Answer::BringTogether => app.bring_together(),
        Answer::TakeUp(left) => app.take_up(&context, *left),
        Answer::GoOn(after) => app.go_on(&context, after),
    }
}

/// Draws a dialog with a heading. The inner value is what was answered; none with Escape or a click beside it.
fn modal<T>(
    context: &Context,
    title: &str,
    width: f32,
    contents: impl FnOnce(&mut Ui) -> Option<T>,
) -> Result<Option<T>, ()> {
    let id = Id::unique(("dialog", title));
    let area = Modal::default_area(id).accessible_name(title);
    let frame = dialog_frame(&context.global_style());
    let modal = Modal::new(id).area(area).frame(frame);
    let shown = modal.show(context, |ui| {
        ui.set_width(width);
        ui.spacing_mut().item_spacing.y = 8.0;
        ui.heading(title);
        contents(ui)
    });
    let closed = shown.should_close();
    match shown.inner {
        None if closed => Err(()),
        inner => Ok(inner),
    }
}

fn buttons<T: Clone>(ui: &mut Ui, choices: &[(&str, T)]) -> Option<T> {
    let mut chosen = None;
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        for (label, choice) in choices {
            if ui.button(*label).clicked() {
                chosen = Some(choice.clone());
            }
        }
    });
    chosen
}

fn unsaved_ui(context: &Context, app: &mut App, after: After) -> Answer {
    let Some(file) = &app.open else {
        return Answer::GoOn(after);
    };
    let name = file.name();
    let drafts = file.form.draft_nouns().join(", ");
    let answered = modal(context, "Save the changes?", 440.0, |ui| {
        ui.label(format!("{name} has changes that are not saved."));
        if !drafts.is_empty() {
            ui.label(format!(
                "Parts that are not finished are not saved in any case: {drafts}."
            ));
        }
        buttons(ui, &[("Save", 0), ("Do not save", 1), ("Cancel", 2)])
    });
    match answered {
        Ok(None) => wait(app, Dialog::Unsaved(after)),
        Ok(Some(0)) => Answer::Save(Some(after)),
        Ok(Some(1)) => Answer::GoOn(after),
        _ => Answer::Cancel,
    }
}

fn wait(app: &mut App, dialog: Dialog) -> Answer {
    app.dialog = Some(dialog);
    Answer::Wait
}

fn changed_ui(context: &Context, app: &mut App, after: Option<After>) -> Answer {
    let file = app.open.as_ref();
    let name = file.map(super::OpenFile::name).unwrap_or_default();
    let is_profile = file.is_some_and(|file| file.contents.profile().is_some());
    let answered = modal(context, "The file was changed elsewhere", 520.0, |ui| {
        ui.label(format!(
            "Another program has written {name} since it was opened here. Saving over it would lose what it wrote."
        ));
        let mut choices = vec![("Save as…", 0), ("Save over it", 1), ("Cancel", 2)];
        if is_profile {
            ui.label(
                "Put together, changes of different parts are all kept; a part that was changed in two ways is shown \
                 for choosing. Nothing is saved yet by that.",
            );
            choices.insert(0, ("Put both together", 3));
        }
        buttons(ui, &choices)
    });
    match answered {
        Ok(None) => wait(app, Dialog::ChangedElsewhere(after)),
        Ok(Some(0)) => Answer::SaveAs(after),
        Ok(Some(1)) => Answer::WriteOver(after),
        Ok(Some(3)) => Answer::BringTogether,
        _ => Answer::Cancel,
    }
}

fn left_behind_ui(context: &Context, app: &mut App, left: Box<LeftBehind>) -> Answer {
    let readable = left.found.unsaved.is_ok();
    let answered = modal(context, "Changes that were not saved", 560.0, |ui| {
        let name = left.name();
        ui.label(format!(
            "{name}: the program ended before everything was saved. What was kept:"
        ));
        for line in left.told() {
            ui.label(line);
        }
        let mut choices = vec![("Leave them for later", 1), ("Throw them away", 2)];
        if readable {
            choices.insert(0, ("Go on with them", 0));
        }
        buttons(ui, &choices)
    });
    match answered {
        Ok(None) => return wait(app, Dialog::LeftBehind(left)),
        Ok(Some(0)) => return Answer::TakeUp(left),
        Ok(Some(2)) => {
            if let Err(error) = left.found.place.forget() {
                app.say(format!("The copy could not be taken away: {error}"));
            }
        }
        _ => {}
    }
    // The lock of the copy is let go of before the file is shown and takes a place of its own.
    let LeftBehind { file, found } = *left;
    drop(found);
    if let Some(file) = file {
        app.show_file(file);
    }
    Answer::Wait
}

fn not_written_ui(
    context: &Context,
    app: &mut App,
    trouble: Trouble,
    after: Option<After>,
) -> Answer {
    let answered = modal(context, "The file was not saved", 560.0, |ui| {
        ui.label(RichText::new(&trouble.title).color(Tokens::of(ui).blocking));
        for line in &trouble.lines {
            ui.label(line);
        }
        ui.label("Your changes are still here. Make room, or save them in another place.");
        buttons(ui, &[("Try again", 0), ("Save as…", 1), ("Cancel", 2)])
    });
    match answered {
        Ok(None) => wait(app, Dialog::NotWritten(trouble, after)),
        Ok(Some(0)) => Answer::Save(after),
        Ok(Some(1)) => Answer::SaveAs(after),
        _ => Answer::Cancel,
    }
}

fn trouble_ui(context: &Context, app: &mut App, trouble: Trouble) -> Answer {
    let answered = modal(context, "This did not work", 560.0, |ui| {
        ui.label(RichText::new(&trouble.title).color(Tokens::of(ui).blocking));
        ScrollArea::vertical().max_height(300.0).show(ui, |ui| {
            for line in &trouble.lines {
                ui.label(line);
            }
        });
        buttons(ui, &[("Close", ())])
    });
    match answered {
        Ok(None) => wait(app, Dialog::Trouble(trouble)),
        _ => Answer::Cancel,
    }
}

fn new_profile_ui(ui: &mut Ui, app: &mut App, mut new: NewProfile) -> Answer {
    match new.show(ui, app.preferences.units) {
        new_profile::Outcome::Open => wait(app, Dialog::NewProfile(new)),
        new_profile::Outcome::Cancelled => Answer::Cancel,
        new_profile::Outcome::Made(profile) => {
            let contents = Contents::Profile(Document::new(*profile));
            ask_before(app, ui.ctx(), contents)
        }
    }
}

/// Shows a new document, or asks first when the open one has changes that are not saved.
fn ask_before(app: &mut App, context: &Context, contents: Contents) -> Answer {
    app.unless_unsaved(context, After::Make(Box::new(contents)));
    Answer::Wait
}

fn new_equipment_ui(context: &Context, app: &mut App, mut new: NewEquipment) -> Answer {
    if new.language.is_empty() {
        "en".clone_into(&mut new.language);
    }
    let answered = modal(context, "New equipment", 440.0, |ui| {
        Grid::new("new equipment").num_columns(2).show(ui, |ui| {
            for (name, text) in [
                ("Name", &mut new.name),
                ("Base language", &mut new.language),
            ] {
                let label = ui.label(name);
                ui.add(egui::TextEdit::singleline(text).desired_width(260.0))
                    .labelled_by(label.id);
                ui.end_row();
            }
        });
        if let Some(refused) = &new.refused {
            ui.label(RichText::new(refused).color(Tokens::of(ui).blocking));
        }
        let enter = ui.input(|i| i.key_pressed(Key::Enter));
        let chosen = buttons(ui, &[("Make equipment", true), ("Cancel", false)]);
        chosen.or(enter.then_some(true))
    });
    match answered {
        Ok(None) => wait(app, Dialog::NewEquipment(new)),
        Ok(Some(true)) => match make_equipment(&new) {
            Ok(equipment) => {
                ask_before(app, context, Contents::Equipment(Document::new(equipment)))
            }
            Err(message) => {
                new.refused = Some(message);
                wait(app, Dialog::NewEquipment(new))
            }
        },
        _ => Answer::Cancel,
    }
}

fn make_equipment(new: &NewEquipment) -> Result<Equipment, String> {
    let name = new.name.trim();
    if name.is_empty() {
        return Err("Say what the equipment is called".to_owned());
    }
    let language = new.language.trim();
    let value = json!({
        "format": "1.0", "id": crate::form::slug(name), "language": language, "name": {language: name},
    });
    from_value(&value).map_err(|faults| {
        let first = faults.first().map(|fault| fault.message.clone());
        first.unwrap_or_default()
    })
}

fn help_ui(context: &Context, app: &mut App, dialog: Dialog, contents: fn(&mut Ui)) -> Answer {
    let title = match dialog {
        Dialog::Shortcuts => "Keyboard shortcuts",
        _ => "About and cautions",
    };
    let answered = modal(context, title, 520.0, |ui| {
        contents(ui);
        buttons(ui, &[("Close", ())])
    });
    match answered {
        Ok(None) => wait(app, dialog),
        _ => Answer::Cancel,
    }
}

fn shortcuts_ui(ui: &mut Ui) {
    ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
        Grid::new("shortcuts")
            .num_columns(3)
            .spacing([18.0, 4.0])
            .show(ui, |ui| {
                for info in &ACTS {
                    if let Some(shortcut) = &info.shortcut {
                        ui.label(RichText::new(ui.ctx().format_shortcut(shortcut)).monospace());
                        ui.label(info.label);
                        ui.label(RichText::new(info.help).color(Tokens::of(ui).text_soft));
                        ui.end_row();
                    }
                }
            });
    });
}

fn about_ui(ui: &mut Ui) {
    ui.label(format!("Chockstone {}", env!("CARGO_PKG_VERSION")));
    ui.label("An editor for vehicle handling profiles: what a crew must know to open, wake, shift, lift, winch, load, secure and store one model of vehicle.");
    for caution in CAUTIONS {
        ui.label(RichText::new(caution).strong());
    }
    ui.label("What the program computes rests on what was entered, and carries its uncertainty. A check that says nothing is no proof that a vehicle is safe.");
}
