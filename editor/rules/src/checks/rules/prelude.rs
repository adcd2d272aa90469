//! What every rule's file needs.

use chockstone_schema::report::Severity;
pub(super) use chockstone_schema::report::Severity::{Blocking, Note, Warning};

pub(super) use crate::checks::{Rule, references::*, words};
pub(super) use crate::context::{Context, EquipmentContext};
pub(super) use crate::findings::Findings;
pub(super) use crate::format;
pub(super) use crate::view::{At, View};

#[cfg(test)]
pub(super) use crate::testing::{Case, fail, pass};

use crate::checks::Subject;

/// A rule about profiles.
pub(super) const fn profile(
    name: &'static str,
    looks_for: &'static str,
    severity: Severity,
    reference: Rest,
    check: fn(&Context<'_>, &mut Findings),
) -> Rule {
    Rule {
        name,
        looks_for,
        severity,
        reference,
        subject: Subject::Profile(check),
    }
}

/// A rule about equipment.
pub(super) const fn equipment(
    name: &'static str,
    looks_for: &'static str,
    severity: Severity,
    reference: Rest,
    check: fn(&EquipmentContext<'_>, &mut Findings),
) -> Rule {
    Rule {
        name,
        looks_for,
        severity,
        reference,
        subject: Subject::Equipment(check),
    }
}

/// Half a millimetre: lengths that differ by less are the same as written.
pub(super) const SAME_LENGTH: f64 = 0.000_5;
