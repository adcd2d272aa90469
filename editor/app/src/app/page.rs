//! The page in the middle.

use chockstone_schema::{model::identity::Variant, report::Finding};
use egui::{CentralPanel, ComboBox, Frame, Margin, RichText, ScrollArea, Ui};

use super::{App, OpenFile};
use crate::{
    command::Command,
    diagram::{self, DiagramInput},
    form::{self, FormContext},
    pages::{Page, PageInfo},
    panels::{
        compare::CompareInput,
        fit::FitInput,
        mass_summary,
        procedures::{self, ProceduresInput},
        publish::PublishInput,
        reviews::ReviewsInput,
        situations::SituationsInput,
    },
    theme::Tokens,
    widgets::UnitSystem,
};

/// Draws the page that is shown.
pub(super) fn central_ui(
    ui: &mut Ui,
    app: &mut App,
    findings: &[Finding],
    commands: &mut Vec<Command>,
) {
    let frame = Frame::NONE
        .fill(Tokens::of(ui).page)
        .inner_margin(Margin::symmetric(16, 10));
    CentralPanel::default_margins().frame(frame).show(ui, |ui| {
        let info = app.page.info();
        heading_ui(ui, app, info, commands);
        match app.page {
            Page::Library => library_ui(ui, app, commands),
            Page::Diagram => diagram_ui(ui, app, findings, commands),
            Page::Fit => fit_ui(ui, app, commands),
            Page::Situations => situations_ui(ui, app, commands),
            Page::Compare => compare_ui(ui, app, commands),
            Page::Publish => publish_ui(ui, app),
            Page::Procedures => procedures_ui(ui, app, findings, commands),
            _ => form_page_ui(ui, app, info, findings, commands),
        }
    });
}

fn heading_ui(ui: &mut Ui, app: &App, info: &PageInfo, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        ui.heading(info.label);
        if info.page == Page::Mass {
            variant_ui(ui, app, commands);
        }
    });
    ui.label(RichText::new(info.help).color(Tokens::of(ui).text_soft));
    ui.add_space(6.0);
}

/// Chooses the variant whose results are shown.
fn variant_ui(ui: &mut Ui, app: &App, commands: &mut Vec<Command>) {
    let Some(profile) = app.open.as_ref().and_then(|f| f.contents.profile()) else {
        return;
    };
    let Some(first) = profile.variants.first() else {
        return;
    };
    ui.add_space(12.0);
    ui.label(RichText::new("Results for").color(Tokens::of(ui).text_soft));
    let shown = app.variant.as_deref().and_then(|id| profile.variant(id));
    let shown = shown.unwrap_or(first);
    let name = |variant: &Variant| variant.name.pick([&profile.language]).to_owned();
    ComboBox::from_id_salt("variant")
        .selected_text(name(shown))
        .show_ui(ui, |ui| {
            for variant in &profile.variants {
                let chosen = variant.id == shown.id;
                if ui.selectable_label(chosen, name(variant)).clicked() {
                    commands.push(Command::Variant(variant.id.to_string()));
                }
            }
        })
        .response
        .accessible_name("Variant shown");
}

fn library_ui(ui: &mut Ui, app: &mut App, commands: &mut Vec<Command>) {
    let current = app.open.as_ref().and_then(|file| file.path.clone());
    if let Some(path) = app.library.show(ui, current.as_deref()) {
        commands.push(Command::OpenFile(path));
    }
}

fn diagram_ui(ui: &mut Ui, app: &mut App, findings: &[Finding], commands: &mut Vec<Command>) {
    let Some(file) = &mut app.open else {
        return;
    };
    file.weigh();
    let Some(profile) = file.contents.profile() else {
        return;
    };
    let input = DiagramInput {
        profile,
        masses: file.masses(),
        findings,
        system: app.preferences.units,
    };
    let output = diagram::show(ui, &input, &mut app.diagram);
    if let Some(place) = &output.went_to {
        // The forms open at what was selected here.
        file.form.focus(place);
    }
    commands.extend(output.into_commands());
}

fn fit_ui(ui: &mut Ui, app: &mut App, commands: &mut Vec<Command>) {
    let languages = languages(app);
    let Some(file) = &app.open else {
        return;
    };
    let Some(profile) = file.contents.profile() else {
        return;
    };
    let path = file.path.as_ref().map(|path| path.display().to_string());
    let input = FitInput {
        profile,
        document: file.contents.value(),
        file: path.as_deref().unwrap_or(profile.id.as_str()),
        revision: file.contents.revision(),
        system: app.preferences.units,
        languages: &languages,
        folder: app.library.folder(),
    };
    commands.extend(app.fit.show(ui, &input));
}

fn situations_ui(ui: &mut Ui, app: &mut App, commands: &mut Vec<Command>) {
    let Some(file) = &app.open else {
        return;
    };
    let Some(profile) = file.contents.profile() else {
        return;
    };
    let path = file.path.as_ref().map(|path| path.display().to_string());
    let input = SituationsInput {
        profile,
        file: path.as_deref().unwrap_or(profile.id.as_str()),
        revision: file.contents.revision(),
        system: app.preferences.units,
    };
    commands.extend(app.situations.show(ui, &input));
}

fn compare_ui(ui: &mut Ui, app: &mut App, commands: &mut Vec<Command>) {
    let Some(file) = &app.open else {
        return;
    };
    let Some(profile) = file.contents.profile() else {
        return;
    };
    let input = CompareInput {
        profile,
        document: file.contents.value(),
        saved: file.contents.saved_profile(),
        file: &file.remembered_as(),
        path: file.path.as_deref(),
        revision: file.contents.revision(),
        system: app.preferences.units,
        folder: app.library.folder(),
        reviewer: &app.preferences.reviewer,
        role: &app.preferences.reviewer_role,
        now: app.clock.now(),
    };
    commands.extend(app.compare.show(ui, &input));
}

fn publish_ui(ui: &mut Ui, app: &mut App) {
    let Some(file) = &app.open else {
        return;
    };
    let Some(profile) = file.contents.profile() else {
        return;
    };
    let input = PublishInput {
        profile,
        file: file.path.as_deref(),
        modified: file.is_unsaved(),
        revision: file.contents.revision(),
        moment: app.clock.now(),
    };
    let released = ScrollArea::vertical()
        .auto_shrink(false)
        .show(ui, |ui| app.publish.show(ui, &input))
        .inner;
    if released && let Some(folder) = app.library.folder().map(std::path::Path::to_owned) {
        app.library.open(&folder);
    }
}

/// The procedures are edited in every language of the profile at once.
fn procedures_ui(ui: &mut Ui, app: &mut App, findings: &[Finding], commands: &mut Vec<Command>) {
    let system = app.preferences.units;
    let Some(file) = &mut app.open else {
        return;
    };
    let languages = file.languages();
    let Some(profile) = file.contents.profile() else {
        return;
    };
    let input = ProceduresInput {
        profile,
        form: FormContext {
            schema: file.contents.schema(),
            document: file.contents.value(),
            revision: file.contents.revision(),
            system,
            languages: &languages,
            findings,
        },
    };
    let (state, form) = (&mut file.procedures, &mut file.form);
    commands.extend(procedures::show(ui, &input, state, form));
}

fn form_page_ui(
    ui: &mut Ui,
    app: &mut App,
    info: &PageInfo,
    findings: &[Finding],
    commands: &mut Vec<Command>,
) {
    let languages = languages(app);
    let units = app.preferences.units;
    let variant = app.variant.clone();
    let (reviewer, now) = (app.preferences.reviewer.clone(), app.clock.now());
    let reviews = &mut app.reviews;
    let Some(file) = &mut app.open else {
        return;
    };
    ScrollArea::vertical()
        .id_salt(info.label)
        .auto_shrink(false)
        .show(ui, |ui| {
            if info.page == Page::Reviews
                && let Some(profile) = file.contents.profile()
            {
                let input = ReviewsInput {
                    profile,
                    findings,
                    who: &reviewer,
                    now,
                };
                commands.extend(reviews.show(ui, &input));
            }
            if info.page == Page::Mass {
                computed_ui(ui, file, variant.as_deref(), units);
            }
            commands.extend(fields_ui(ui, file, info, findings, &languages, units));
            ui.add_space(40.0);
        });
}

fn fields_ui(
    ui: &mut Ui,
    file: &mut OpenFile,
    info: &PageInfo,
    findings: &[Finding],
    languages: &[String],
    system: UnitSystem,
) -> Vec<Command> {
    let context = FormContext {
        schema: file.contents.schema(),
        document: file.contents.value(),
        revision: file.contents.revision(),
        system,
        languages,
        findings,
    };
    form::fields_ui(ui, &context, &mut file.form, info.fields)
}

/// What the rules compute from the fields of the page.
fn computed_ui(ui: &mut Ui, file: &mut OpenFile, variant: Option<&str>, system: UnitSystem) {
    file.weigh();
    let masses = file.masses();
    let wanted = masses.iter().find(|m| m.variant.as_deref() == variant);
    let Some(result) = wanted.or(masses.first()) else {
        return;
    };
    let tokens = Tokens::of(ui);
    Frame::NONE
        .fill(tokens.card)
        .stroke(egui::Stroke::new(1.0, tokens.line_soft))
        .corner_radius(6)
        .inner_margin(Margin::same(10))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(RichText::new("What it comes to").strong().size(15.5));
            mass_summary::show(ui, result, system);
        });
    ui.add_space(8.0);
}

/// The languages whose texts are shown side by side: the base language and the one chosen beside it.
pub(super) fn languages(app: &App) -> Vec<String> {
    let Some(file) = &app.open else {
        return vec!["en".to_owned()];
    };
    let mut all = file.languages().into_iter();
    let base = all.next();
    let second = all.find(|l| Some(l) == app.preferences.second_language.as_ref());
    base.into_iter().chain(second).collect()
}
