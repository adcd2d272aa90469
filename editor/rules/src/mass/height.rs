//! Height of the centre of gravity: declared, or from the steps of an axle lift.

use chockstone_mechanics::{
    mass::{Axle, AxleLift, LevelSplit, LiftAngle, LiftStep, StepCombination, height_by_axle_lift},
    propagation::Tracked,
};
use chockstone_schema::model::mass::{AxleLift as Entry, CentreHeight, HeightMethod};

use super::{AxleInputs, Computed, LiftOutcome, scales::OneScale};
use crate::view::{At, View};

/// Where the steps of a lift stand.
const LIFTS: &str = "/mass/centre_height/lifts";

impl Computed {
    /// Finds the height by the method that the profile states.
    pub(crate) fn find_height(&mut self, view: &View<'_>, axles: &[AxleInputs]) {
        let height = view.profile.mass.centre_height.as_ref();
        match height.map(|h| h.method) {
            Some(HeightMethod::Declared) => self.declared_height(height),
            Some(HeightMethod::AxleLift) => self.lifted_height(view, axles, height),
            Some(HeightMethod::NotKnown) | None => {
                self.height_unknown(
                    "/mass/centre_height states no declared height and no axle lift",
                );
            }
        }
    }

    fn declared_height(&mut self, height: Option<&CentreHeight>) {
        match height.and_then(|h| h.declared.as_ref()) {
            Some(value) => {
                self.z = self.sourced(&At {
                    value,
                    place: "/mass/centre_height/declared".to_owned(),
                });
                self.height_basis = "declared";
            }
            None => self.height_unknown("/mass/centre_height/declared is not stated"),
        }
    }

    fn lifted_height(
        &mut self,
        view: &View<'_>,
        axles: &[AxleInputs],
        height: Option<&CentreHeight>,
    ) {
        let [
            _,
            AxleInputs {
                x: Some(wheelbase), ..
            },
        ] = axles
        else {
            self.height_unknown("the formula for an axle lift holds for two axles");
            return;
        };
        let lifts = height.map(|h| h.lifts.as_slice()).unwrap_or_default();
        if lifts.is_empty() {
            self.height_unknown("/mass/centre_height/lifts has no step");
        }
        let Some(radii) = self.radii(view) else {
            return;
        };
        let mut shared = Vec::new();
        for (index, entry) in lifts
            .iter()
            .enumerate()
            .filter(|(_, l)| view.has(&l.variants))
        {
            if let Some(lift) = self.step(view, index, entry, wheelbase, &radii, &mut shared) {
                match height_by_axle_lift(&lift, StepCombination::Mean, None) {
                    Ok(found) => self.lifts.push(LiftOutcome {
                        index,
                        height: found.height,
                        flags: found.flags,
                    }),
                    Err(error) => self.refused.push((
                        format!("/mass/centre_height/lifts/{index}"),
                        error.to_string(),
                    )),
                }
            }
        }
        let heights: Vec<Tracked> = self.lifts.iter().map(|l| l.height.clone()).collect();
        if !heights.is_empty() {
            // ISO 10392:2011, 6.2 (excerpt): average the single results.
            let (mean, cautious) = super::plain_mean(&heights);
            let missing = (cautious * cautious - mean.variance()).max(0.0).sqrt();
            let scatter = self.input(
                "scatter between lift steps".to_owned(),
                "m",
                0.0,
                2.0 * missing,
            );
            self.z = Some(scatter.map_or_else(|| mean.clone(), |s| mean.clone() + s));
            self.height_basis = "axle lift";
        } else if !lifts.is_empty() && !lifts.iter().any(|l| view.has(&l.variants)) {
            let whose = view.of_variant();
            self.height_unknown(&format!("{LIFTS} has no step{whose}"));
        } else if !lifts.is_empty() {
            self.height_unknown("no step of /mass/centre_height/lifts can be evaluated");
        }
    }

    fn height_unknown(&mut self, why: &str) {
        self.not_known.push(format!(
            "The height of the centre of gravity is not known: {why}."
        ));
    }

    fn radii(&mut self, view: &View<'_>) -> Option<[Tracked; 2]> {
        let mut radii = Vec::with_capacity(2);
        for axle in &view.axles {
            let tyre = axle.tyre.as_ref();
            let radius = tyre.and_then(|t| {
                let value = t.value.static_loaded_radius.as_ref()?;
                Some(At {
                    value,
                    place: format!("{}/static_loaded_radius", t.place),
                })
            });
            let Some(radius) = radius.and_then(|r| self.sourced(&r)) else {
                let place =
                    tyre.map_or_else(|| format!("{}/tyre", axle.place()), |t| t.place.clone());
                self.height_unknown(&format!("{place}/static_loaded_radius is not stated"));
                return None;
            };
            radii.push(radius);
        }
        <[Tracked; 2]>::try_from(radii).ok()
    }

    fn step(
        &mut self,
        view: &View<'_>,
        index: usize,
        entry: &Entry,
        wheelbase: &Tracked,
        radii: &[Tracked; 2],
        shared: &mut Vec<(Entry, Tracked, Option<Tracked>)>,
    ) -> Option<AxleLift> {
        let place = format!("/mass/centre_height/lifts/{index}");
        let raised = match view.axle(entry.raised.as_str())?.index {
            0 => Axle::Front,
            _ => Axle::Rear,
        };
        let scale = OneScale::described(&place, LIFTS, entry.scale.as_ref())?;
        let load = self.reading(
            &scale,
            None,
            format!("{place}/raised_load"),
            entry.raised_load,
        )?;
        // A level reading that several steps repeat is one reading, and its error is theirs in common.
        let same = |e: &Entry| {
            e.raised == entry.raised
                && e.level_load == entry.level_load
                && e.total == entry.total
                && e.scale == entry.scale
        };
        let (level, total) = if let Some((_, level, total)) = shared.iter().find(|(e, ..)| same(e))
        {
            (level.clone(), total.clone())
        } else {
            let level = self.reading(
                &scale,
                None,
                format!("{place}/level_load"),
                entry.level_load,
            )?;
            let total = entry
                .total
                .and_then(|t| self.reading(&scale, None, format!("{place}/total"), t));
            shared.push((entry.clone(), level.clone(), total.clone()));
            (level, total)
        };
        let Some(total) = total.or_else(|| self.base.clone()) else {
            self.height_unknown(&format!(
                "{place}/total is not stated and there is no other mass to use"
            ));
            return None;
        };
        let rest = &total - &level;
        let (front, rear) = if raised == Axle::Rear {
            (level, rest)
        } else {
            (rest, level)
        };
        let [radius_front, radius_rear] = radii.clone();
        Some(AxleLift {
            level: LevelSplit::Loads { front, rear },
            wheelbase: wheelbase.clone(),
            radius_front,
            radius_rear,
            steps: vec![LiftStep {
                raised,
                load_on_other: load,
                angle: self.angle(&place, entry)?,
            }],
        })
    }

    fn angle(&mut self, place: &str, entry: &Entry) -> Option<LiftAngle> {
        if let Some(value) = &entry.angle {
            let angle = self.sourced(&At {
                value,
                place: format!("{place}/angle"),
            })?;
            return Some(LiftAngle::Angle(angle));
        }
        if let Some(value) = &entry.elevation {
            let elevation = self.sourced(&At {
                value,
                place: format!("{place}/elevation"),
            })?;
            return Some(LiftAngle::Elevation(elevation));
        }
        self.not_known.push(format!(
            "The lift step {} is not used: {place}/elevation and {place}/angle are both missing.",
            entry.id
        ));
        None
    }
}
