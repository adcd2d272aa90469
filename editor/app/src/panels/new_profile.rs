//! The dialog for a new profile: a body style, who made it, and the dimensions that its outline scales with.

use chockstone_rules::starts::{BodyStart, Lengths, Naming, new_profile};
use chockstone_schema::{
    Profile,
    id::Id,
    quantity::{Dimension, Distance, Size, parse_entry},
    text::{Label, Language},
};
use egui::{ComboBox, Grid, Modal, RichText, Ui};

use crate::{theme::Tokens, widgets::UnitSystem};

/// What the dialog asks for, as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewProfile {
    start: BodyStart,
    maker: String,
    model: String,
    language: String,
    lengths: [String; 5],
    refused: Option<String>,
}

/// The lengths asked for, in order; the last may be left empty.
const LENGTHS: [(&str, &str); 5] = [
    ("Wheelbase", "From the front axle to the rear axle."),
    ("Length", "Overall length."),
    ("Width", "Overall width without mirrors."),
    ("Height", "Overall height."),
    (
        "Front overhang",
        "From the front axle to the foremost point. Leave it empty if it is not known yet.",
    ),
];

/// What a person did with the dialog.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Nothing yet.
    Open,
    /// Closed without making anything.
    Cancelled,
    /// The new profile.
    Made(Box<Profile>),
}

impl Default for NewProfile {
    fn default() -> Self {
        Self {
            start: BodyStart::Pickup,
            maker: String::new(),
            model: String::new(),
            language: "en".to_owned(),
            lengths: Default::default(),
            refused: None,
        }
    }
}

impl NewProfile {
    /// Draws the dialog.
    pub fn show(&mut self, ui: &mut Ui, system: UnitSystem) -> Outcome {
        let id = egui::Id::unique("new profile dialog");
        let area = Modal::default_area(id).accessible_name("New profile");
        let modal = Modal::new(id)
            .area(area)
            .frame(crate::theme::dialog_frame(ui.style()))
            .show(ui.ctx(), |ui| self.contents(ui, system));
        match modal.inner {
            Outcome::Open if modal.should_close() => Outcome::Cancelled,
            outcome => outcome,
        }
    }

    fn contents(&mut self, ui: &mut Ui, system: UnitSystem) -> Outcome {
        ui.heading("New profile");
        ui.label("The outline is drawn from the body style and scales with the dimensions. Trace or measure to replace it.");
        ui.add_space(8.0);
        Grid::new("new profile fields")
            .num_columns(2)
            .spacing([16.0, 8.0])
            .show(ui, |ui| self.fields(ui, system));
        if let Some(refused) = &self.refused {
            ui.label(RichText::new(refused).color(Tokens::of(ui).blocking));
        }
        ui.add_space(8.0);
        let mut outcome = Outcome::Open;
        ui.horizontal(|ui| {
            if ui.button("Make profile").clicked() {
                match self.make(system) {
                    Ok(profile) => outcome = Outcome::Made(Box::new(profile)),
                    Err(message) => self.refused = Some(message),
                }
            }
            if ui.button("Cancel").clicked() {
                outcome = Outcome::Cancelled;
            }
        });
        outcome
    }

    fn fields(&mut self, ui: &mut Ui, system: UnitSystem) {
        let label = ui.label("Body style");
        ComboBox::from_id_salt("body style")
            .selected_text(self.start.name())
            .show_ui(ui, |ui| {
                for start in BodyStart::ALL {
                    ui.selectable_value(&mut self.start, start, start.name());
                }
            })
            .response
            .labelled_by(label.id);
        ui.end_row();
        for (name, text) in [
            ("Maker", &mut self.maker),
            ("Model", &mut self.model),
            ("Base language", &mut self.language),
        ] {
            let label = ui.label(name);
            ui.text_edit_singleline(text).labelled_by(label.id);
            ui.end_row();
        }
        let hint = default_unit(system);
        for ((name, help), text) in LENGTHS.iter().zip(&mut self.lengths) {
            let label = ui.label(*name).on_hover_text(*help);
            ui.add(egui::TextEdit::singleline(text).hint_text(hint))
                .labelled_by(label.id)
                .on_hover_text(*help);
            ui.end_row();
        }
    }

    /// Makes the profile, or tells what is missing.
    pub fn make(&self, system: UnitSystem) -> Result<Profile, String> {
        let naming = Naming {
            id: id_of(&self.maker, &self.model)?,
            language: Language::new(self.language.trim())?,
            maker: label("Maker", &self.maker)?,
            model: label("Model", &self.model)?,
        };
        let [wheelbase, length, width, height, front_overhang] = &self.lengths;
        let size = |name: &str, text: &str| {
            entry(name, text, system)
                .and_then(|(v, u)| Size::new(v, u).map_err(|e| format!("{name}: {e}.")))
        };
        let overhang = if front_overhang.trim().is_empty() {
            None
        } else {
            let (value, unit) = entry("Front overhang", front_overhang, system)?;
            Some(Distance::new(value, unit).map_err(|e| format!("Front overhang: {e}."))?)
        };
        let lengths = Lengths {
            wheelbase: size("Wheelbase", wheelbase)?,
            length: size("Length", length)?,
            width: size("Width", width)?,
            height: size("Height", height)?,
            front_overhang: overhang,
        };
        fits_together(&lengths)?;
        Ok(new_profile(self.start, naming, &lengths))
    }
}

fn default_unit(system: UnitSystem) -> &'static str {
    if system == UnitSystem::UsCustomary {
        "in"
    } else {
        "mm"
    }
}

fn entry(name: &str, text: &str, system: UnitSystem) -> Result<(f64, &'static str), String> {
    parse_entry(text, Dimension::Length, default_unit(system)).map_err(|e| format!("{name}: {e}."))
}

fn label(name: &str, text: &str) -> Result<Label, String> {
    Label::new(text.trim()).map_err(|_| format!("{name}: type its name, up to 200 characters."))
}

fn fits_together(lengths: &Lengths) -> Result<(), String> {
    let overhangs = lengths.length.si() - lengths.wheelbase.si();
    if overhangs <= 0.0 {
        return Err("Length: it must be more than the wheelbase.".to_owned());
    }
    match lengths.front_overhang {
        Some(front) if front.si() > overhangs => {
            Err("Front overhang: with the wheelbase it is more than the length.".to_owned())
        }
        _ => Ok(()),
    }
}

/// An id made of what the vehicle is called: lower-case letters, digits and hyphens.
fn id_of(maker: &str, model: &str) -> Result<Id, String> {
    let words: String = format!("{maker} {model}")
        .to_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    let words: Vec<&str> = words.split('-').filter(|w| !w.is_empty()).collect();
    let joined = words.join("-");
    let joined = if joined.starts_with(|c: char| c.is_ascii_lowercase()) {
        joined
    } else {
        format!("v-{joined}")
    };
    Id::new(
        joined
            .get(..joined.len().min(64))
            .unwrap_or_default()
            .trim_end_matches('-'),
    )
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;

    fn filled() -> NewProfile {
        NewProfile {
            maker: "Harrow Works".into(),
            model: "No. 7".into(),
            lengths: ["145 in", "5,9 m", "2030", "1.98 m", ""].map(Into::into),
            ..NewProfile::default()
        }
    }

    #[test]
    fn a_filled_dialog_makes_a_profile_that_keeps_what_was_typed() {
        let profile = filled().make(UnitSystem::Si).unwrap();
        assert_eq!(profile.id.as_str(), "harrow-works-no-7");
        assert_eq!(
            profile.dimensions.wheelbase.unwrap().value.to_string(),
            "145 in"
        );
        assert_eq!(
            profile.dimensions.length.unwrap().value.to_string(),
            "5.9 m"
        );
        assert!(profile.dimensions.side_outline.unwrap().corners.len() > 8);
    }

    #[track_caller]
    fn refused(change: impl FnOnce(&mut NewProfile), part: &str) {
        let mut dialog = filled();
        change(&mut dialog);
        let message = dialog.make(UnitSystem::Si).unwrap_err();
        assert!(message.contains(part), "{message}");
    }

    #[test]
    fn what_is_missing_or_impossible_is_told_by_its_field() {
        refused(|d| d.maker.clear(), "Maker");
        refused(|d| d.lengths[0].clear(), "Wheelbase: Type a number");
        refused(|d| d.lengths[1] = "5 kg".into(), "a unit of mass");
        refused(|d| d.lengths[1] = "2 m".into(), "more than the wheelbase");
        refused(|d| d.lengths[4] = "4 m".into(), "Front overhang");
        refused(|d| d.language = "English".into(), "BCP 47");
    }

    #[test]
    fn ids_are_made_of_any_name() {
        assert_eq!(id_of("Ölm & Söhne", "3").unwrap().as_str(), "lm-s-hne-3");
        assert_eq!(id_of("4", "x").unwrap().as_str(), "v-4-x");
    }
}
