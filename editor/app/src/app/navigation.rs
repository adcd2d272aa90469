//! The list of pages at the left.

use chockstone_schema::report::Finding;
use egui::{Align, Button, Layout, Panel, Rect, RichText, ScrollArea, Ui, vec2};

use super::App;
use crate::{
    command::Command,
    form,
    pages::{Belongs, PageInfo, page_of, pages_for},
    theme::Tokens,
    widgets::severity,
};

/// Draws the list.
pub(super) fn panel_ui(ui: &mut Ui, app: &App, findings: &[Finding], commands: &mut Vec<Command>) {
    Panel::left("pages")
        .default_size(196.0)
        .size_range(150.0..=300.0)
        .show(ui, |ui| {
            file_ui(ui, app);
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 2.0;
                let belongs = app.belongs();
                for info in pages_for(belongs) {
                    page_ui(ui, app, info, findings, commands);
                    if info.belongs == Belongs::Window && belongs != Belongs::Window {
                        ui.separator();
                    }
                }
            });
        });
}

/// Draws what is open and whether it is saved.
fn file_ui(ui: &mut Ui, app: &App) {
    let tokens = Tokens::of(ui);
    ui.add_space(8.0);
    let Some(file) = &app.open else {
        ui.label(RichText::new("No file is open").color(tokens.text_soft));
        ui.add_space(6.0);
        return;
    };
    ui.add(egui::Label::new(RichText::new(file.title()).strong().size(15.5)).wrap());
    ui.add(egui::Label::new(RichText::new(file.name()).color(tokens.text_soft).small()).wrap());
    let (text, color) = if file.is_unsaved() {
        ("Not saved", tokens.warning)
    } else {
        ("Saved", tokens.good)
    };
    ui.label(RichText::new(text).color(color).small());
    ui.add_space(6.0);
}

fn page_ui(
    ui: &mut Ui,
    app: &App,
    info: &PageInfo,
    findings: &[Finding],
    commands: &mut Vec<Command>,
) {
    let belongs = app.belongs();
    let here = findings
        .iter()
        .filter(|f| page_of(&f.place, belongs) == Some(info.page));
    let counts = form::counts(here);
    let button = Button::selectable(app.page == info.page, info.label)
        .min_size(vec2(ui.available_width(), 26.0));
    let response = ui.add(button).on_hover_text(info.help);
    counts_ui(ui, response.rect, &counts);
    if response.clicked() {
        commands.push(Command::Show(info.page));
    }
}

/// Draws the number of the gravest findings at the right end of a row, beside their mark.
fn counts_ui(ui: &mut Ui, row: Rect, counts: &[(chockstone_schema::report::Severity, usize)]) {
    let Some((worst, number)) = counts.first() else {
        return;
    };
    let rect = row.shrink2(vec2(8.0, 0.0));
    let builder = egui::UiBuilder::new()
        .max_rect(rect)
        .layout(Layout::right_to_left(Align::Center));
    let mut ui = ui.new_child(builder);
    ui.spacing_mut().item_spacing.x = 4.0;
    let color = severity::color(Tokens::of(&ui), *worst);
    let words: Vec<String> = counts
        .iter()
        .map(|(s, n)| severity::count(*s, *n))
        .collect();
    severity::mark(&mut ui, *worst).on_hover_text(words.join(", "));
    let font = egui::TextStyle::Small.resolve(ui.style());
    let galley = ui.painter().layout_no_wrap(number.to_string(), font, color);
    let (rect, _) = ui.allocate_exact_size(galley.size(), egui::Sense::hover());
    ui.painter().galley(rect.min, galley, color);
}
