//! The bar at the top: the menus, and the choices that change what is shown.

use egui::{Button, ComboBox, MenuBar, Panel, Ui};

use super::{App, acts, page, row_frame};
use crate::{
    command::{ACTS, Act, ActInfo, Command, Env, Menu},
    theme::Tokens,
    widgets::UnitSystem,
};

/// Draws the bar.
pub(super) fn bar_ui(ui: &mut Ui, app: &App, env: Env, commands: &mut Vec<Command>) {
    Panel::top("menus").frame(row_frame(ui)).show(ui, |ui| {
        MenuBar::new().ui(ui, |ui| {
            for menu in Menu::ALL {
                ui.menu_button(menu.label(), |ui| menu_ui(ui, app, menu, env, commands));
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                choices_ui(ui, app, commands);
            });
        });
    });
}

fn menu_ui(ui: &mut Ui, app: &App, menu: Menu, env: Env, commands: &mut Vec<Command>) {
    ui.set_min_width(230.0);
    let mut group = 0;
    for info in ACTS.iter().filter(|info| info.menu == menu) {
        if info.group != group {
            ui.separator();
            group = info.group;
        }
        if act_ui(ui, app, info, env) {
            commands.push(Command::Act(info.act));
        }
        if info.act == Act::OpenFolder {
            recent_ui(ui, app, commands);
        }
    }
}

fn act_ui(ui: &mut Ui, app: &App, info: &ActInfo, env: Env) -> bool {
    let mut button = Button::new(label(app, info)).selected(acts::is_chosen(app, info.act));
    if let Some(shortcut) = &info.shortcut {
        button = button.shortcut_text(ui.ctx().format_shortcut(shortcut));
    }
    let response = ui.add_enabled((info.enabled)(env), button);
    let clicked = response.on_hover_text(info.help).clicked();
    if clicked {
        ui.close();
    }
    clicked
}

/// The act's label; undo and redo name their step.
fn label(app: &App, info: &ActInfo) -> String {
    let contents = app.open.as_ref().map(|file| &file.contents);
    let step = match info.act {
        Act::Undo => contents.and_then(|c| c.undo_name()),
        Act::Redo => contents.and_then(|c| c.redo_name()),
        _ => None,
    };
    step.map_or_else(
        || info.label.to_owned(),
        |step| format!("{} {step}", info.label),
    )
}

fn recent_ui(ui: &mut Ui, app: &App, commands: &mut Vec<Command>) {
    let recent = &app.preferences.recent;
    ui.add_enabled_ui(!recent.is_empty(), |ui| {
        ui.menu_button("Recent files", |ui| {
            for path in recent {
                let name = path.file_name().unwrap_or(path.as_os_str());
                let button = ui.button(name.to_string_lossy());
                if button.on_hover_text(path.display().to_string()).clicked() {
                    commands.push(Command::OpenFile(path.clone()));
                    ui.close();
                }
            }
        });
    });
}

/// Units and the second language, from the right.
fn choices_ui(ui: &mut Ui, app: &App, commands: &mut Vec<Command>) {
    ui.spacing_mut().item_spacing.x = 6.0;
    let units = app.preferences.units;
    ComboBox::from_id_salt("units")
        .selected_text(units.label())
        .width(116.0)
        .show_ui(ui, |ui| {
            for (system, act) in
                UnitSystem::ALL
                    .into_iter()
                    .zip([Act::UnitsAsEntered, Act::UnitsSi, Act::UnitsUs])
            {
                if ui
                    .selectable_label(units == system, system.label())
                    .clicked()
                {
                    commands.push(Command::Act(act));
                }
            }
        })
        .response
        .accessible_name("Units shown");
    ui.label(egui::RichText::new("Units").color(Tokens::of(ui).text_soft));
    ui.add_space(8.0);
    second_language_ui(ui, app, commands);
}

fn second_language_ui(ui: &mut Ui, app: &App, commands: &mut Vec<Command>) {
    let Some(file) = &app.open else {
        return;
    };
    let shown = page::languages(app);
    let second = shown.get(1).map(String::as_str);
    ComboBox::from_id_salt("second language")
        .selected_text(second.unwrap_or("none"))
        .width(64.0)
        .show_ui(ui, |ui| {
            if ui.selectable_label(second.is_none(), "none").clicked() {
                commands.push(Command::SecondLanguage(None));
            }
            for language in file.languages().iter().skip(1) {
                let chosen = second == Some(language);
                if ui.selectable_label(chosen, language).clicked() {
                    commands.push(Command::SecondLanguage(Some(language.clone())));
                }
            }
        })
        .response
        .accessible_name("Second language")
        .on_hover_text("The language shown beside the base language. Languages are added on the Identity page.");
    ui.label(egui::RichText::new("Texts also in").color(Tokens::of(ui).text_soft));
}
