//! Finding vehicles in a library.

use chockstone_schema::{
    codes::VinMask,
    report::{CheckDigitSaid, VinSays},
    vin::{CheckDigit, Vin},
};
use rayon::prelude::*;

use super::{Shelf, Shelved, facts::words};

/// What is asked for; a vehicle is found when it fits all of it. Capital and small letters are the same.
#[derive(Clone, Debug, Default)]
pub struct Search {
    /// A part of the maker's name.
    pub maker: Option<String>,
    /// A part of the model's name.
    pub model: Option<String>,
    /// A model year.
    pub year: Option<u16>,
    /// A vehicle identification number that one of the patterns must match.
    pub vin: Option<Vin>,
    /// Words, or parts of words, that must all stand somewhere in the profile, its id included.
    pub words: Vec<String>,
}

impl Shelf {
    /// The vehicles that fit, by id.
    pub fn find(&self, search: &Search) -> Vec<&Shelved> {
        let vehicles = self.vehicles.par_iter();
        vehicles.filter(|v| search.fits(v)).collect()
    }
}

impl Search {
    fn fits(&self, vehicle: &Shelved) -> bool {
        let kept = &vehicle.kept;
        let holds = |text: &str, part: &Option<String>| {
            part.as_ref()
                .is_none_or(|part| contains(text, &part.to_lowercase()))
        };
        let is_in = |year: u16| {
            let years = kept.model_years.as_ref();
            years.is_some_and(|[first, last]| (*first..=*last).contains(&year))
        };
        holds(&kept.maker, &self.maker)
            && holds(&kept.model, &self.model)
            && self.year.is_none_or(is_in)
            && self.vin.as_ref().is_none_or(|vin| matches(vehicle, vin))
            && self
                .words
                .iter()
                .flat_map(|word| words(word))
                .all(|word| mentions(vehicle, &word))
    }
}

fn contains(text: &str, part: &str) -> bool {
    text.to_lowercase().contains(part)
}

fn matches(vehicle: &Shelved, vin: &Vin) -> bool {
    let patterns = vehicle.kept.vin_patterns.iter();
    let mut masks = patterns.filter_map(|pattern| VinMask::new(pattern).ok());
    masks.any(|mask| vin.matches(&mask))
}

fn mentions(vehicle: &Shelved, word: &str) -> bool {
    let kept = &vehicle.kept;
    [&kept.id, &kept.maker, &kept.model]
        .iter()
        .any(|text| contains(text, word))
        || vehicle
            .facts
            .as_ref()
            .is_some_and(|f| f.words.contains(word))
}

/// What a vehicle identification number says by itself, for a car, a multipurpose vehicle or a light truck where `light`.
pub fn says(vin: &Vin, light: bool) -> VinSays {
    let (check_digit, expected) = match vin.check_digit() {
        CheckDigit::Right => (CheckDigitSaid::Right, None),
        CheckDigit::Wrong { expected } => (CheckDigitSaid::Wrong, Some(expected)),
        CheckDigit::None => (CheckDigitSaid::None, None),
    };
    VinSays {
        number: vin.to_string(),
        check_digit,
        expected,
        model_years: vin.model_years(light),
        maker_code: vin.maker(),
    }
}
