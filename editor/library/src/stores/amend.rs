//! Changing what a catalogue says, so that somebody else who does the same at that moment loses nothing.

use chockstone_schema::{date::Moment, report::VehicleReleases, signature::AllowedSigners};

use super::{MOST_ATTEMPTS, New, Seen, Store, StoreError, enter, get, tagged, whose};
use crate::{
    catalogue::{Catalogue, CatalogueError, POLICY},
    signing::SigningKey,
};

/// What a change enters into a catalogue, or why it is not made.
pub type Changed<E> = Result<Vec<VehicleReleases>, E>;

/// Enters what `change` makes of the catalogue that is there, and signs a new snapshot. When somebody else was quicker,
/// `change` is asked again with what they wrote. Whoever signed the snapshot that is there must have been one of `keepers`;
/// without any it is not asked who signed it.
///
/// # Errors
/// See [`StoreError`], and whatever `change` says.
pub fn amend<E: From<StoreError>>(
    store: &dyn Store,
    keepers: Option<&AllowedSigners>,
    key: &SigningKey,
    now: Moment,
    mut change: impl FnMut(Option<&Catalogue<'_>>) -> Changed<E>,
) -> Result<u64, E> {
    for _ in 0..MOST_ATTEMPTS {
        let there = tagged(store)?;
        let bytes = there.as_ref().map(|t| t.bytes.as_slice());
        let seen = Seen {
            source: store,
            snapshot: bytes.unwrap_or_default(),
        };
        let catalogue = bytes.map(|_| open(&seen, keepers)).transpose();
        let vehicles = change(catalogue.map_err(whose("our"))?.as_ref())?;
        let new: Vec<New> = vehicles.into_iter().map(entered).collect();
        // The rules where people change them, which may be newer than those of the snapshot.
        let rules = Some(get(store, POLICY)?).filter(|rules| !rules.is_empty());
        if let Some(number) = enter(rules, store, there.as_ref(), &new, key, now)? {
            return Ok(number);
        }
    }
    Err(StoreError::Busy.into())
}

fn open<'s>(
    seen: &'s Seen<'_>,
    keepers: Option<&AllowedSigners>,
) -> Result<Catalogue<'s>, CatalogueError> {
    match keepers {
        Some(keepers) => Catalogue::open_to_keep(seen, keepers),
        None => Catalogue::unjudged(seen),
    }
}

fn entered(vehicle: VehicleReleases) -> New {
    New {
        vehicle,
        send: Vec::new(),
    }
}
