//! What stands as in the base so that the merged profile reads.

use std::collections::BTreeSet;

use chockstone_schema::{codes::PartPath, model::record::Conflict, read::Fault};
use serde_json::Value;

use super::sides::Sides;
use crate::{
    difference::{
        matching::lists,
        shape::{self, Shape},
    },
    part::{path_of, pointer_of, push, shape_at},
};

/// The paths of the parts that stand as in the base whatever the sides made of them.
#[derive(Clone, Debug, Default)]
pub(super) struct Standing(BTreeSet<String>);

impl Standing {
    /// Whether the part at a path stands.
    pub(super) fn is_at(&self, path: &str) -> bool {
        self.0.contains(path)
    }

    /// Whether something inside the part at a path stands.
    pub(super) fn is_inside(&self, path: &str) -> bool {
        let within = format!("{path}/");
        let next = self.0.range(within.clone()..).next();
        next.is_some_and(|found| found.starts_with(&within))
    }

    fn covers(&self, path: &str) -> bool {
        around(path).any(|outer| self.is_at(outer))
    }

    /// Adds what the faults of a merged profile name: for a reference that leads nowhere the part that is missing, else the
    /// nearest part that stands not yet and that a side changed. `false` when everything stands already.
    pub(super) fn grow(
        &mut self,
        sides: &Sides,
        merged: &Value,
        found: &[Conflict],
        faults: &[Fault],
    ) -> bool {
        let mut new: BTreeSet<String> = BTreeSet::new();
        for fault in faults {
            let mut named = candidates(merged, fault, found).into_iter();
            new.extend(named.find(|path| !self.covers(path) && differs(sides, path)));
        }
        if new.is_empty() {
            let fields = shape::profile().fields.iter();
            let all = fields.map(|field| format!("/{}", field.name));
            new.extend(all.filter(|path| !self.covers(path) && differs(sides, path)));
            new.remove("/conflicts");
        }
        let grown = !new.is_empty();
        self.0.extend(new);
        grown
    }
}

/// A path and the paths of what is around it, from the inside out.
fn around(path: &str) -> impl Iterator<Item = &str> {
    std::iter::successors(Some(path), |inner| {
        let (outer, _) = inner.rsplit_once('/')?;
        (!outer.is_empty()).then_some(outer)
    })
}

/// The parts that may be what is wrong, the likeliest one first.
fn candidates(merged: &Value, fault: &Fault, found: &[Conflict]) -> Vec<String> {
    if fault.pointer.starts_with("/conflicts") {
        // There are too many of them: fewer and larger parts must stand.
        let fields = found
            .iter()
            .filter_map(|conflict| conflict.part.segments().into_iter().next());
        return fields.map(|field| format!("/{field}")).collect();
    }
    let mut all = Vec::new();
    if let (Some(Shape::Reference(of)), Some(id)) =
        (shape_at(&fault.pointer), merged.pointer(&fault.pointer))
        && let Some((_, place)) = lists().iter().find(|(kind, _)| kind == of)
    {
        let mut missing = (*place).to_owned();
        push(&mut missing, id.as_str().unwrap_or_default());
        all.push(missing);
    }
    let nearest = around(&fault.pointer).find_map(|pointer| path_of(merged, pointer));
    if let Some(path) = nearest {
        all.extend(around(&path.to_string()).map(str::to_owned));
    }
    all
}

/// Whether a part is not the same in all three versions.
fn differs(sides: &Sides, path: &str) -> bool {
    let Ok(path) = PartPath::new(path) else {
        return false;
    };
    let parts = sides.whole().map(|profile| {
        let pointer = pointer_of(profile, &path)?;
        profile.pointer(&pointer)
    });
    parts.differs()
}
