//! What each act of the menus does.

use egui::{Context, ViewportCommand};

use super::{After, App, Dialog, apply_theme, dialogs::NewEquipment};
use crate::{
    command::Act,
    pages::{Page, pages_for},
    panels::new_profile::NewProfile,
    preferences::ThemeChoice,
    widgets::UnitSystem,
};

/// Does what an act says.
pub(super) fn carry_out(app: &mut App, context: &Context, act: Act) {
    match act {
        Act::NewProfile => app.dialog = Some(Dialog::NewProfile(NewProfile::default())),
        Act::NewEquipment => app.dialog = Some(Dialog::NewEquipment(NewEquipment::default())),
        Act::OpenFile => app.unless_unsaved(context, After::PickFile),
        Act::OpenFolder => app.pick_folder(context),
        Act::Save => app.save(context, None),
        Act::SaveAs => app.save_as(context, None),
        Act::Close => app.unless_unsaved(context, After::Close),
        Act::Quit => app.unless_unsaved(context, After::Quit),
        Act::Undo => undo(app),
        Act::Redo => redo(app),
        Act::NextFinding => step_finding(app, 1),
        Act::PreviousFinding => step_finding(app, -1),
        Act::ToggleFindings => app.preferences.findings_shown ^= true,
        Act::ShowLibrary => app.show_page(Page::Library),
        Act::ShowDiagram => app.show_page(Page::Diagram),
        Act::ShowFit => app.show_page(Page::Fit),
        Act::ShowSituations => app.show_page(Page::Situations),
        Act::ShowCompare => app.show_page(Page::Compare),
        Act::NextChange => app.compare.step(1),
        Act::PreviousChange => app.compare.step(-1),
        Act::ShowPublish => app.show_page(Page::Publish),
        Act::NextPage => step_page(app, 1),
        Act::PreviousPage => step_page(app, -1),
        Act::UnitsAsEntered => app.preferences.units = UnitSystem::AsEntered,
        Act::UnitsSi => app.preferences.units = UnitSystem::Si,
        Act::UnitsUs => app.preferences.units = UnitSystem::UsCustomary,
        Act::ThemeSystem => theme(app, context, ThemeChoice::System),
        Act::ThemeLight => theme(app, context, ThemeChoice::Light),
        Act::ThemeDark => theme(app, context, ThemeChoice::Dark),
        Act::Shortcuts => app.dialog = Some(Dialog::Shortcuts),
        Act::About => app.dialog = Some(Dialog::About),
    }
}

/// Whether an act is a choice that is made now.
pub(super) fn is_chosen(app: &App, act: Act) -> bool {
    let preferences = &app.preferences;
    match act {
        Act::ToggleFindings => preferences.findings_shown,
        Act::UnitsAsEntered => preferences.units == UnitSystem::AsEntered,
        Act::UnitsSi => preferences.units == UnitSystem::Si,
        Act::UnitsUs => preferences.units == UnitSystem::UsCustomary,
        Act::ThemeSystem => preferences.theme == ThemeChoice::System,
        Act::ThemeLight => preferences.theme == ThemeChoice::Light,
        Act::ThemeDark => preferences.theme == ThemeChoice::Dark,
        _ => false,
    }
}

fn theme(app: &mut App, context: &Context, choice: ThemeChoice) {
    app.preferences.theme = choice;
    apply_theme(context, choice);
}

fn undo(app: &mut App) {
    let name = app.open.as_ref().and_then(|f| f.contents.undo_name());
    let name = name.map(str::to_owned);
    if let (Some(file), Some(name)) = (&mut app.open, name)
        && file.contents.undo()
    {
        app.say(format!("Took back: {name}"));
    }
}

fn redo(app: &mut App) {
    let name = app.open.as_ref().and_then(|f| f.contents.redo_name());
    let name = name.map(str::to_owned);
    if let (Some(file), Some(name)) = (&mut app.open, name)
        && file.contents.redo()
    {
        app.say(format!("Made again: {name}"));
    }
}

/// Goes to the finding after or before the one gone to last.
fn step_finding(app: &mut App, step: i32) {
    let findings = app.findings();
    let last = findings.len().saturating_sub(1);
    let next = match (app.chosen_finding, step) {
        (None, _) => 0,
        (Some(at), 1) if at >= last => 0,
        (Some(at), 1) => at + 1,
        (Some(0), _) => last,
        (Some(at), _) => at - 1,
    };
    if let Some(finding) = findings.get(next) {
        app.chosen_finding = Some(next);
        app.reveal(&finding.place);
    }
}

fn step_page(app: &mut App, step: i32) {
    let pages: Vec<Page> = pages_for(app.belongs()).map(|info| info.page).collect();
    let at = pages.iter().position(|p| *p == app.page).unwrap_or(0);
    let next = if step > 0 {
        (at + 1) % pages.len().max(1)
    } else {
        at.checked_sub(1).unwrap_or(pages.len().saturating_sub(1))
    };
    if let Some(page) = pages.get(next) {
        app.show_page(*page);
    }
}

impl App {
    /// Closes the window for good.
    pub(super) fn leave(&mut self, context: &Context) {
        self.leaving = true;
        context.send_viewport_cmd(ViewportCommand::Close);
    }
}
