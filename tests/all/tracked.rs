//! Comparing values that know their uncertainty with those of an outside reference.

use std::collections::HashMap;

use chockstone_mechanics::{
    propagation::{Inputs, Tracked},
    uncertain::Uncertain,
};
use serde_json::Value;

/// The largest relative difference that is let pass. Both sides compute in binary64; the rest is rounding, and
/// the reference differentiates some functions numerically.
const TOLERANCE: f64 = 1e-7;

/// One case's inputs, by name.
pub(crate) struct Named {
    inputs: Inputs<String>,
    named: HashMap<String, Tracked>,
}

impl Named {
    /// Takes the inputs of a case: `{"inputs": {NAME: [value, standard uncertainty], …}}`.
    pub(crate) fn of(case: &Value) -> Self {
        let mut inputs = Inputs::new();
        let mut named = HashMap::new();
        for (name, pair) in case["inputs"].as_object().unwrap() {
            let value = Uncertain::new(pair[0].as_f64().unwrap(), pair[1].as_f64().unwrap());
            named.insert(name.clone(), inputs.add(name.clone(), value).unwrap());
        }
        Self { inputs, named }
    }

    /// The input of a name.
    #[track_caller]
    pub(crate) fn get(&self, name: &str) -> Tracked {
        self.named
            .get(name)
            .unwrap_or_else(|| panic!("the case has no input {name}"))
            .clone()
    }
}

/// How many numbers were compared, and the worst of them.
#[derive(Default)]
pub(crate) struct Tally {
    pub(crate) compared: usize,
    pub(crate) worst: f64,
    pub(crate) worst_what: String,
}

impl Tally {
    /// Compares two numbers beside a scale.
    #[track_caller]
    pub(crate) fn note(&mut self, what: &str, ours: f64, theirs: f64, scale: f64) {
        let off = (ours - theirs).abs() / scale.max(1e-12);
        self.compared += 1;
        assert!(
            off <= TOLERANCE,
            "{what}: {ours}, the reference says {theirs}"
        );
        if off > self.worst {
            self.worst = off;
            what.clone_into(&mut self.worst_what);
        }
    }

    /// Compares value, standard uncertainty and each input's part in it.
    #[track_caller]
    pub(crate) fn compare(&mut self, what: &str, named: &Named, ours: &Tracked, theirs: &Value) {
        let (value, u) = (
            theirs["value"].as_f64().unwrap(),
            theirs["u"].as_f64().unwrap(),
        );
        // An uncertainty far below the last digits of its value cannot agree better than those digits.
        let scale = u.max(value.abs() * 1e-6);
        self.note(what, ours.value(), value, value.abs().max(u));
        self.note(&format!("{what}, u"), ours.u(), u, scale);
        let mut amounts: HashMap<String, f64> = theirs["amounts"]
            .as_object()
            .unwrap()
            .iter()
            .map(|(name, amount)| (name.clone(), amount.as_f64().unwrap()))
            .collect();
        for (label, part) in named.inputs.contributions(ours) {
            let theirs = amounts.remove(label).unwrap_or(0.0);
            self.note(
                &format!("{what}, part of {label}"),
                part.amount,
                theirs,
                scale,
            );
        }
        for (label, rest) in amounts {
            self.note(&format!("{what}, part of {label}"), 0.0, rest, scale);
        }
    }
}
