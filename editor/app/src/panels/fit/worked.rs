//! The answer to what was chosen, kept until something that it depends on changes.

use std::{
    cell::RefCell,
    collections::{BTreeMap, BTreeSet},
    path::PathBuf,
};

use chockstone_library::equipment::Shelf;
use chockstone_rules::fit::{
    InputSource,
    drawing::{Truck, VehicleShape},
    source_of,
};
use chockstone_schema::{
    Equipment, json_schema,
    report::{FitChoices, FitReport},
};
use serde_json::Value;

use super::{FitInput, Plan};
use crate::form::{self, Node};

/// Everything that an answer depends on.
#[derive(Debug, Clone, PartialEq)]
struct Key {
    file: String,
    revision: u64,
    shelf: u64,
    equipment: BTreeSet<PathBuf>,
    variant: Option<String>,
    choices: FitChoices,
}

/// The answer, and what to draw of it.
pub(super) struct Worked {
    key: Key,
    pub(super) report: FitReport,
    pub(super) shape: VehicleShape,
    /// The equipment that took part.
    pub(super) gear: Vec<Equipment>,
    /// What to draw of each carrier, by its id.
    pub(super) trucks: Vec<(String, Option<Truck>)>,
    /// The trees of values of the equipment, for naming their fields.
    values: Vec<Value>,
    /// The sources of inputs that were looked for.
    sources: RefCell<BTreeMap<String, Option<InputSource>>>,
}

impl Worked {
    /// The answer to a plan as it is now.
    pub(super) fn up_to_date<'w>(
        kept: &'w mut Option<Self>,
        input: &FitInput<'_>,
        shelf: &Shelf,
        plan: &Plan,
    ) -> &'w Self {
        let fresh = kept.as_ref().is_some_and(|worked| {
            let key = &worked.key;
            key.file == input.file
                && key.revision == input.revision
                && key.shelf == shelf.version()
                && key.variant == plan.variant
                && key.equipment == plan.equipment
                && key.choices == plan.choices
        });
        let old = kept.take().filter(|_| fresh);
        kept.insert(old.unwrap_or_else(|| Self::new(input, shelf, plan)))
    }

    fn new(input: &FitInput<'_>, shelf: &Shelf, plan: &Plan) -> Self {
        let vehicle = super::vehicle(input.profile, plan);
        let chosen = plan.chosen(shelf);
        let report = vehicle.fit(&chosen, &[], &plan.choices);
        let key = Key {
            file: input.file.to_owned(),
            revision: input.revision,
            shelf: shelf.version(),
            equipment: plan.equipment.clone(),
            variant: plan.variant.clone(),
            choices: plan.choices.clone(),
        };
        Self::of(key, report, vehicle.shape(), &chosen)
    }

    fn of(key: Key, report: FitReport, shape: VehicleShape, chosen: &[&Equipment]) -> Self {
        let trucks = chosen
            .iter()
            .filter(|e| e.deck.is_some())
            .map(|e| (e.id.to_string(), Truck::of(e)));
        Self {
            key,
            report,
            shape,
            trucks: trucks.collect(),
            values: chosen
                .iter()
                .filter_map(|e| serde_json::to_value(e).ok())
                .collect(),
            gear: chosen.iter().map(|e| (*e).clone()).collect(),
            sources: RefCell::default(),
        }
    }

    /// An answer that was not computed, for looking at how it is shown.
    #[cfg(test)]
    pub(super) fn given(report: FitReport, shape: VehicleShape, chosen: &[&Equipment]) -> Self {
        let key = Key {
            file: String::new(),
            revision: 0,
            shelf: 0,
            equipment: BTreeSet::new(),
            variant: None,
            choices: FitChoices::default(),
        };
        Self::of(key, report, shape, chosen)
    }

    /// The source that the field of an input names.
    pub(super) fn source_of(&self, input: &FitInput<'_>, place: &str) -> Option<InputSource> {
        let known = self.sources.borrow().get(place).cloned();
        known.unwrap_or_else(|| {
            let gear: Vec<&Equipment> = self.gear.iter().collect();
            let found = source_of(place, input.profile, &gear);
            let mut sources = self.sources.borrow_mut();
            sources.insert(place.to_owned(), found.clone());
            found
        })
    }

    /// Where an input is, in words: a field of the profile or of a piece of equipment; words stay as they are.
    pub(super) fn place_in_words(&self, input: &FitInput<'_>, place: &str) -> String {
        let languages: Vec<&str> = input.languages.iter().map(String::as_str).collect();
        let (pointer, rest) = place.split_once(' ').unwrap_or((place, ""));
        let words = if pointer.starts_with('/') {
            let schema = Node::root(&json_schema::profile().annotated);
            form::place_in_words(schema, input.document, pointer, &languages)
        } else if let Some((id, pointer)) = pointer.split_once("#/") {
            let named = |v: &&Value| v.get("id").and_then(Value::as_str) == Some(id);
            let value = self.values.iter().find(named).unwrap_or(&Value::Null);
            let schema = Node::root(&json_schema::equipment().annotated);
            let pointer = format!("/{pointer}");
            let words = form::place_in_words(schema, value, &pointer, &languages);
            format!("{id}: {words}")
        } else {
            return place.to_owned();
        };
        if rest.is_empty() {
            words
        } else {
            format!("{words} {rest}")
        }
    }
}
