//! Scale readings as loads with uncertainty, and what each weighing gives.

use chockstone_mechanics::{
    mass::{AxleLoad, AxleReading, Change, from_axle_readings},
    propagation::Tracked,
};
use chockstone_schema::model::{
    geometry::Place,
    mass::{AxleLoad as Entry, ScaleReading},
};

use super::{
    AxleInputs, Computed, Weighing,
    scales::{OneScale, Side},
    shifted,
};
use crate::view::View;

impl Computed {
    /// Evaluates every reading that fits the view.
    pub(crate) fn weigh(&mut self, view: &View<'_>, axles: &[AxleInputs]) {
        for (index, reading) in view.profile.mass.readings.iter().enumerate() {
            let fits = reading
                .variant
                .as_ref()
                .is_none_or(|v| view.id().is_some_and(|id| id.as_str() == v.as_str()));
            if fits && let Some(weighing) = self.weighing(index, reading, view, axles) {
                self.weighings.push(weighing);
            }
        }
    }

    fn weighing(
        &mut self,
        index: usize,
        reading: &ScaleReading,
        view: &View<'_>,
        axles: &[AxleInputs],
    ) -> Option<Weighing> {
        let place = format!("/mass/readings/{index}");
        let scale = OneScale::described(&place, &place, reading.scale.as_ref())?;
        let mut readings = Vec::with_capacity(axles.len());
        for (axle, inputs) in view.axles.iter().zip(axles) {
            let id = axle.axle.id.as_str();
            let at = reading.loads.iter().position(|l| l.axle.as_str() == id);
            let load = at.and_then(|i| {
                let entry = reading.loads.get(i)?;
                self.load(&scale, &format!("{place}/loads/{i}"), entry, inputs)
            });
            let Some(load) = load else {
                self.not_known.push(format!(
                    "The reading {} is not used: {place}/loads has no load for the axle {id}.",
                    reading.id
                ));
                return None;
            };
            readings.push(AxleReading {
                x: inputs.x.clone()?,
                load,
            });
        }
        let level = match from_axle_readings(&readings) {
            Ok(level) => level,
            Err(error) => {
                self.refused.push((place, error.to_string()));
                return None;
            }
        };
        let changes = self.on_board(&place, reading);
        match shifted(
            &level.total,
            [Some(&level.x), level.y.as_ref(), None],
            &changes,
        ) {
            Ok((mass, [x, y, _])) => Some(Weighing {
                index,
                mass,
                x,
                y,
                loads: level.axle_loads,
                had_on_board: !changes.is_empty(),
            }),
            Err(error) => {
                self.refused
                    .push((format!("{place}/on_board"), error.to_string()));
                None
            }
        }
    }

    fn load(
        &mut self,
        scale: &OneScale,
        place: &str,
        entry: &Entry,
        axle: &AxleInputs,
    ) -> Option<AxleLoad> {
        match (entry.left, entry.right, entry.total) {
            (Some(left), Some(right), _) => {
                let mut pad = |side, name: &str, reading| {
                    self.reading(
                        scale,
                        Some((&entry.axle, side)),
                        format!("{place}/{name}"),
                        reading,
                    )
                };
                Some(AxleLoad::Wheels {
                    left: pad(Side::Left, "left", left)?,
                    right: pad(Side::Right, "right", right)?,
                    track: axle.track.clone(),
                })
            }
            (_, _, Some(total)) => {
                let total = self.reading(scale, None, format!("{place}/total"), total)?;
                Some(AxleLoad::Total(total))
            }
            _ => None,
        }
    }

    fn on_board(
        &mut self,
        place: &str,
        reading: &ScaleReading,
    ) -> Vec<(Change, Tracked, [Option<Tracked>; 3])> {
        let mut changes = Vec::new();
        for (i, thing) in reading.on_board.iter().enumerate() {
            let kilograms = thing.mass.kilograms();
            if kilograms <= 0.0 {
                continue;
            }
            let Some(mass) = self.input(format!("{place}/on_board/{i}/mass"), "kg", kilograms, 0.0)
            else {
                continue;
            };
            if thing.place.is_none() {
                self.not_known.push(format!(
                    "The reading {} gives no centre of gravity: {place}/on_board/{i}/place is not stated.",
                    reading.id
                ));
            }
            changes.push((Change::Removed, mass, coordinates(thing.place.as_ref())));
        }
        changes
    }
}

/// A place as numbers without doubt; a missing height stays missing.
pub(crate) fn coordinates(place: Option<&Place>) -> [Option<Tracked>; 3] {
    let exact = |q: chockstone_schema::quantity::Coordinate| Tracked::exact(q.metres());
    [
        place.map(|p| exact(p.x)),
        place.map(|p| exact(p.y)),
        place.and_then(|p| p.z).map(exact),
    ]
}
