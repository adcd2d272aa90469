//! The result as the document that `--json` prints.

use chockstone_mechanics::{propagation::Tracked, uncertain::COVERAGE_FACTOR};
use chockstone_schema::report::{AxleShare, Estimate, MassResult, Share};

use super::Computed;

/// Parts of the variance below this are left out of the list.
const SMALLEST_PART: f64 = 0.001;

impl Computed {
    /// The result with values, doubts, formulas and what the doubt comes from.
    pub(crate) fn report(&self) -> MassResult {
        let estimate = |value: &Option<Tracked>, unit: &str, formula: &str| {
            value.as_ref().map(|v| self.estimate(v, unit, formula))
        };
        MassResult {
            variant: self.variant.clone(),
            basis: self.basis(),
            mass: estimate(&self.mass, "kg", self.mass_formula()),
            centre_x: estimate(&self.x, "m", "sum of axle load × axle position / mass"),
            centre_y: estimate(&self.y, "m", "sum of track × (right − left) / (2 × mass)"),
            centre_z: estimate(&self.z, "m", self.height_formula()),
            axles: self.axle_shares(),
            not_known: self.not_known(),
        }
    }

    fn estimate(&self, value: &Tracked, unit: &str, formula: &str) -> Estimate {
        let u = value.u();
        let parts = self.inputs.contributions(value);
        let doubt_from = parts
            .into_iter()
            .filter(|(_, part)| part.share >= SMALLEST_PART);
        Estimate {
            value: value.value(),
            plus_minus: (u > 0.0).then_some(COVERAGE_FACTOR * u),
            unit: unit.to_owned(),
            formula: formula.to_owned(),
            doubt_from: doubt_from
                .map(|(input, part)| Share {
                    input: input.place.to_string(),
                    part: part.share,
                })
                .collect(),
        }
    }

    fn basis(&self) -> String {
        if self.base.is_some() && self.mass.is_none() {
            return "nothing: the fitted items cannot be added".to_owned();
        }
        let base = match (self.is_weighed, self.weighings.len()) {
            (true, 1) => "one weighing".to_owned(),
            (true, n) => format!("{n} weighings, combined"),
            (false, _) if self.base.is_some() => {
                "the declared curb mass; no complete weighing fits".to_owned()
            }
            (false, _) => "nothing: no mass is stated".to_owned(),
        };
        let on_board = if self.weighings.iter().any(|w| w.had_on_board) {
            ", less what was on board"
        } else {
            ""
        };
        let added = match self.added {
            0 => String::new(),
            1 => ", with one fitted item".to_owned(),
            n => format!(", with {n} fitted items"),
        };
        let height = match self.height_basis {
            "" => String::new(),
            how => format!("; height: {how}"),
        };
        format!("{base}{on_board}{added}{height}")
    }

    fn mass_formula(&self) -> &'static str {
        match (self.is_weighed, self.added > 0) {
            (true, false) => "sum of the axle loads − what was on board",
            (true, true) => "sum of the axle loads − what was on board + fitted items",
            (false, false) => "declared curb mass",
            (false, true) => "declared curb mass + fitted items",
        }
    }

    fn height_formula(&self) -> &'static str {
        match (self.height_basis, self.added > 0) {
            ("axle lift", false) => {
                "wheel radius + wheelbase × load rise / (mass × tan angle), mean of the steps"
            }
            ("axle lift", true) => {
                "wheel radius + wheelbase × load rise / (mass × tan angle), mean of the steps; moments of the fitted items added"
            }
            (_, false) => "as declared",
            (_, true) => "as declared, moments of the fitted items added",
        }
    }

    fn axle_shares(&self) -> Vec<AxleShare> {
        let Some(mass) = &self.mass else {
            return Vec::new();
        };
        let of_axle = |(axle, load): &(String, Option<Tracked>)| {
            let load = load.as_ref()?;
            Some(AxleShare {
                axle: axle.clone(),
                load: self.estimate(
                    load,
                    "kg",
                    "mass × lever / wheelbase, or the mean of what scales showed",
                ),
                part: self.estimate(&(load / mass), "1", "axle load / mass"),
            })
        };
        self.axles.iter().filter_map(of_axle).collect()
    }

    fn not_known(&self) -> Vec<String> {
        let mut sentences = self.not_known.clone();
        if self.x.is_some() && self.y.is_none() {
            sentences.push(
                "The offset to the side is not known: it needs left and right loads and a track for every axle (/mass/readings, /axles)."
                    .to_owned(),
            );
        }
        sentences.extend(
            self.refused
                .iter()
                .map(|(place, why)| format!("{place} cannot be used: {why}.")),
        );
        sentences.dedup();
        sentences
    }
}
