//! What is fitted on top of the vehicle's mass.

use chockstone_mechanics::mass::Change;
use chockstone_schema::model::mass::ItemState;

use super::{Computed, readings::coordinates, shifted};
use crate::view::{At, View};

impl Computed {
    /// Adds the items that this variant has on top of its mass.
    pub(crate) fn fit_items(&mut self, view: &View<'_>) {
        let mut changes = Vec::new();
        for (i, item) in view.profile.mass.items.iter().enumerate() {
            if item.state != ItemState::Added || !view.has(&item.variants) {
                continue;
            }
            let Some(mass) = self.sourced(&At {
                value: &item.mass,
                place: format!("/mass/items/{i}/mass"),
            }) else {
                continue;
            };
            if item.place.is_none() {
                self.not_known.push(format!("The centre of gravity with {} is not known: /mass/items/{i}/place is not stated.", item.id));
            }
            changes.push((Change::Fitted, mass, coordinates(item.place.as_ref())));
        }
        self.added = changes.len();
        self.mass = self.base.clone();
        let Some(base) = self.base.clone().filter(|_| !changes.is_empty()) else {
            return;
        };
        match shifted(
            &base,
            [self.x.as_ref(), self.y.as_ref(), self.z.as_ref()],
            &changes,
        ) {
            Ok((mass, [x, y, z])) => {
                self.mass = Some(mass);
                self.x = x;
                self.y = y;
                self.z = z;
            }
            Err(error) => {
                // Figures without the items would pass for figures with them.
                (self.mass, self.x, self.y, self.z) = (None, None, None, None);
                self.not_known.push(
                    "Mass and centre of gravity are not known: the fitted items cannot be added to the vehicle."
                        .to_owned(),
                );
                self.refused
                    .push(("/mass/items".to_owned(), error.to_string()));
            }
        }
    }
}
