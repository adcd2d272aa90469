//! What many checks need, computed once.

use chockstone_schema::{
    Equipment, Profile,
    date::Date,
    id::SourceRef,
    model::record::{Source, SourceKind},
};

use std::sync::OnceLock;

use crate::{
    mass::Computed,
    plan::{self, Walked},
    view::View,
    walk::Walk,
};

/// A profile with its views, masses and everything that the walk found.
pub(crate) struct Context<'p> {
    pub(crate) profile: &'p Profile,
    /// One a variant, or the general one.
    pub(crate) views: Vec<View<'p>>,
    /// Mass and centre of gravity of each view, in the same order.
    pub(crate) masses: Vec<Computed>,
    pub(crate) walk: Walk,
    walked: OnceLock<Vec<Walked>>,
}

impl<'p> Context<'p> {
    pub(crate) fn new(profile: &'p Profile) -> Self {
        let views = View::all(profile);
        let masses = views.iter().map(Computed::of).collect();
        Self {
            profile,
            views,
            masses,
            walk: Walk::profile(profile),
            walked: OnceLock::new(),
        }
    }

    /// Every procedure, walked alone from what it starts with.
    pub(crate) fn walked(&self) -> &[Walked] {
        self.walked.get_or_init(|| {
            let all = 0..self.profile.procedures.len();
            all.map(|i| plan::walk(self.profile, i)).collect()
        })
    }

    /// Each view with its mass.
    pub(crate) fn weighed(&self) -> impl Iterator<Item = (&View<'p>, &Computed)> {
        self.views.iter().zip(&self.masses)
    }

    /// The source that a reference names.
    pub(crate) fn source(&self, source: Option<&SourceRef>) -> Option<&'p Source> {
        let id = source?.as_str();
        self.profile.sources.iter().find(|s| s.id.as_str() == id)
    }

    /// Whether a value rests on a document of the vehicle's maker.
    pub(crate) fn is_makers(&self, source: Option<&SourceRef>) -> bool {
        self.source(source)
            .is_some_and(|s| s.kind == SourceKind::MakersDocument)
    }
}

/// A piece of equipment, the day if it is known, and everything that the walk found.
pub(crate) struct EquipmentContext<'e> {
    pub(crate) equipment: &'e Equipment,
    pub(crate) today: Option<Date>,
    pub(crate) walk: Walk,
}

impl<'e> EquipmentContext<'e> {
    pub(crate) fn new(equipment: &'e Equipment, today: Option<Date>) -> Self {
        Self {
            equipment,
            today,
            walk: Walk::equipment(equipment),
        }
    }
}
