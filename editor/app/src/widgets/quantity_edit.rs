//! A field for a number with its unit.
//!
//! The value is shown in the units a person chose, and kept as it was entered. Typing `24.5 in` where millimetres are
//! shown keeps 24.5 in. A bare number is in the unit shown. Looking never changes a value, and nothing is clamped:
//! what is impossible is refused with a sentence, what is doubtful is for the checks to tell.

use chockstone_schema::quantity::{Dimension, convert, find_unit, parse_entry, shortest, units_of};
use egui::{Button, Id, Response, Ui, containers::menu::MenuButton, vec2};
use serde::{Deserialize, Serialize};

use super::{
    entry::{self, Entry, EntryOutcome},
    icon::{self, Icon},
};
use crate::theme::{NUMBER_WIDTH, ROW_HEIGHT, Tokens};

/// In which units values are shown. What is kept in the file never changes with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum UnitSystem {
    /// Each value in the unit it was entered in.
    #[default]
    AsEntered,
    /// The international system.
    Si,
    /// US customary units.
    UsCustomary,
}

impl UnitSystem {
    /// Every system, in the order of the menu.
    pub const ALL: [Self; 3] = [Self::AsEntered, Self::Si, Self::UsCustomary];

    /// What the menu calls it.
    pub fn label(self) -> &'static str {
        match self {
            Self::AsEntered => "As entered",
            Self::Si => "Metric (SI)",
            Self::UsCustomary => "US customary",
        }
    }
}

/// Which units a field shows and takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FieldUnits {
    /// What is measured.
    pub dimension: Dimension,
    /// The unit shown to people who chose SI.
    pub si: &'static str,
    /// The unit shown to people who chose US customary units.
    pub us: &'static str,
}

impl FieldUnits {
    /// The unit in which a value entered in `entered` is shown; an empty field takes the unit of the system.
    pub fn shown(self, system: UnitSystem, entered: Option<&'static str>) -> &'static str {
        match (system, entered) {
            (UnitSystem::AsEntered, Some(entered)) => entered,
            (UnitSystem::UsCustomary, _) => self.us,
            _ => self.si,
        }
    }
}

/// What a person made of a field for a quantity.
#[derive(Debug, Clone, PartialEq)]
pub enum QuantityOutcome {
    /// Nothing.
    Unchanged,
    /// A new number and unit.
    Entered(f64, &'static str),
    /// The value is taken away.
    Cleared,
}

/// A field for a quantity, being set up.
pub struct QuantityEdit<'a> {
    /// Its fixed identity.
    pub id: Id,
    /// Its accessible name: "Wheelbase".
    pub name: &'a str,
    /// What it measures and how it is shown.
    pub units: FieldUnits,
    /// The units a person chose.
    pub system: UnitSystem,
    /// The value as entered; none is an empty field.
    pub value: Option<(f64, &'static str)>,
    /// Whether the value may be taken away.
    pub optional: bool,
    /// Whether the small button that lists the units follows the field.
    pub unit_button: bool,
    /// To how many figures a value is shown in another unit than its own.
    pub figures: usize,
    /// The unit of a bare number in an empty field, where it is not that of the chosen units.
    pub bare_unit: Option<&'static str>,
    /// How wide the field is.
    pub width: f32,
}

impl<'a> QuantityEdit<'a> {
    /// A field of the usual width with a unit button.
    pub fn new(id: Id, name: &'a str, units: FieldUnits, system: UnitSystem) -> Self {
        Self {
            id,
            name,
            units,
            system,
            value: None,
            optional: false,
            unit_button: true,
            figures: FIGURES,
            bare_unit: None,
            width: NUMBER_WIDTH,
        }
    }

    /// The text that the field shows at rest.
    pub fn shown(&self) -> String {
        self.value.map_or_else(String::new, |(value, unit)| {
            let target = self.units.shown(self.system, Some(unit));
            in_unit(self.units.dimension, value, unit, target, self.figures)
        })
    }

    /// Draws the field, and its unit button if it has one, and says what a person made of it.
    ///
    /// A refusal is kept in the field; [`QuantityEdit::refusal_ui`] writes it where the form wants it.
    pub fn show(&self, ui: &mut Ui) -> (Response, QuantityOutcome) {
        let shown = self.shown();
        let default_unit = self.default_unit(ui);
        let entry = Entry::new(self.id, self.name, &shown)
            .width(self.width)
            .hint(default_unit);
        let (response, outcome) = entry.show(ui);
        let response = self.explain(response);
        let outcome = match outcome {
            EntryOutcome::Unchanged => QuantityOutcome::Unchanged,
            EntryOutcome::Entered(text) => self.take(ui, &shown, text, default_unit),
        };
        if !self.unit_button {
            return (response, outcome);
        }
        match self.unit_button_ui(ui) {
            Some(chosen) => (response, chosen),
            None => (response, outcome),
        }
    }

    /// Writes why the text in the field was refused, if it was.
    pub fn refusal_ui(&self, ui: &mut Ui) {
        entry::refusal_ui(ui, self.id, &self.shown());
    }

    fn explain(&self, response: Response) -> Response {
        let Some((value, unit)) = self.value else {
            return response;
        };
        let target = self.units.shown(self.system, Some(unit));
        if target == unit {
            return response;
        }
        response.on_hover_text(format!("Entered and kept as {} {unit}", shortest(value)))
    }

    /// The unit of a bare number.
    fn default_unit(&self, ui: &Ui) -> &'static str {
        match self.value {
            Some((_, unit)) => self.units.shown(self.system, Some(unit)),
            None => ui
                .data(|data| data.get_temp(self.id.with("unit")))
                .or(self.bare_unit)
                .unwrap_or_else(|| self.units.shown(self.system, None)),
        }
    }

    fn take(
        &self,
        ui: &Ui,
        shown: &str,
        text: String,
        default_unit: &'static str,
    ) -> QuantityOutcome {
        if text.trim().is_empty() {
            if self.optional || self.value.is_none() {
                return QuantityOutcome::Cleared;
            }
            entry::refuse(ui.ctx(), self.id, shown, text, "a value is needed here");
            return QuantityOutcome::Unchanged;
        }
        match parse_entry(&text, self.units.dimension, default_unit) {
            Ok((value, unit)) => QuantityOutcome::Entered(value, unit),
            Err(error) => {
                entry::refuse(ui.ctx(), self.id, shown, text, error.to_string());
                QuantityOutcome::Unchanged
            }
        }
    }

    /// Lists the units; for a value it says what the value is in each and keeps it in the one that is chosen.
    fn unit_button_ui(&self, ui: &mut Ui) -> Option<QuantityOutcome> {
        let mut outcome = None;
        let name = format!("{} unit", self.name);
        let sign = Button::new("").min_size(vec2(22.0, ROW_HEIGHT));
        let (response, _) = ui
            .push_id(self.id.with("unit button"), |ui| {
                MenuButton::from_button(sign).ui(ui, |ui| outcome = self.unit_rows_ui(ui))
            })
            .inner;
        icon::paint_on(ui, Icon::Below, &response, true);
        response
            .accessible_name(name)
            .on_hover_text("The value in other units; choose the one to keep it in");
        outcome
    }

    fn unit_rows_ui(&self, ui: &mut Ui) -> Option<QuantityOutcome> {
        let mut outcome = None;
        let dimension = self.units.dimension;
        let heading = if self.value.is_some() {
            "Keep it as"
        } else {
            "Enter it in"
        };
        ui.label(egui::RichText::new(heading).color(Tokens::of(ui).text_soft));
        for unit in units_of(dimension) {
            let kept = self
                .value
                .is_some_and(|(_, entered)| entered == unit.symbol);
            let label = self.value.map_or_else(
                || unit.symbol.to_owned(),
                |(value, entered)| in_unit(dimension, value, entered, unit.symbol, self.figures),
            );
            if ui.selectable_label(kept, label).clicked() {
                outcome = self.choose(ui, unit.symbol);
                ui.close();
            }
        }
        outcome
    }

    fn choose(&self, ui: &Ui, unit: &'static str) -> Option<QuantityOutcome> {
        let Some((value, entered)) = self.value else {
            ui.data_mut(|data| data.insert_temp(self.id.with("unit"), unit));
            return None;
        };
        let converted = convert(value, self.units.dimension, entered, unit)?;
        (unit != entered).then(|| QuantityOutcome::Entered(rounded(converted, 12), unit))
    }
}

/// The number and unit of a pair in the tree of values; none for anything else.
pub fn pair(dimension: Dimension, value: &serde_json::Value) -> Option<(f64, &'static str)> {
    let [number, unit] = value.as_array()?.as_slice() else {
        return None;
    };
    let unit = find_unit(dimension, unit.as_str()?)?;
    Some((number.as_f64()?, unit.symbol))
}

/// To how many figures a value is usually shown in another unit than its own: finer than any tape or scale.
pub const FIGURES: usize = 5;

/// Writes a value in a unit: exactly in its own, to some figures in another.
pub fn in_unit(
    dimension: Dimension,
    value: f64,
    entered: &str,
    target: &str,
    figures: usize,
) -> String {
    if entered == target {
        return format!("{} {target}", shortest(value));
    }
    match convert(value, dimension, entered, target) {
        Some(converted) => format!("{} {target}", shortest(rounded(converted, figures))),
        None => format!("{} {entered}", shortest(value)),
    }
}

/// Rounds to a number of significant figures.
fn rounded(value: f64, figures: usize) -> f64 {
    let precision = figures.saturating_sub(1);
    format!("{value:.precision$e}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests;
