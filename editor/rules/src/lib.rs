//! What is wrong, risky or missing in a profile or a piece of equipment, and what its numbers come to.
//!
//! [`check_profile`] and [`check_equipment`] run every check of [`checks::all`] and give findings, worst first.
//! [`mass`] turns weighings into mass and centre of gravity with their doubt. [`starts`] makes new profiles, and
//! [`starting_texts`] gives them procedures to begin with.
//! Everything here is pure: the same document gives the same answer, without clock, file or network.

use chockstone_schema::{Equipment, Profile, date::Date, report::Finding};

pub mod checks;
mod context;
mod findings;
pub mod fit;
mod format;
mod geometry;
pub mod mass;
pub mod plan;
pub mod starting_texts;
pub mod starts;
mod view;
mod walk;

#[cfg(test)]
mod property;
#[cfg(test)]
mod testing;

use checks::Subject;

/// The program's name and version, as reports and bundles carry it.
pub const PROGRAM: &str = concat!("chockstone ", env!("CARGO_PKG_VERSION"));

/// Every finding of a profile: blocking ones first, then by place.
pub fn check_profile(profile: &Profile) -> Vec<Finding> {
    let context = context::Context::new(profile);
    let mut found = findings::Findings::default();
    for rule in checks::all() {
        if let Subject::Profile(check) = rule.subject {
            found.enter(rule);
            check(&context, &mut found);
        }
    }
    found.sorted()
}

/// Every finding of a piece of equipment that does not depend on today's date.
pub fn check_equipment(equipment: &Equipment) -> Vec<Finding> {
    check_equipment_on(equipment, None)
}

/// Every finding of a piece of equipment on a day; without one, test dates are told and not judged.
pub fn check_equipment_on(equipment: &Equipment, today: Option<Date>) -> Vec<Finding> {
    let context = context::EquipmentContext::new(equipment, today);
    let mut found = findings::Findings::default();
    for rule in checks::all() {
        if let Subject::Equipment(check) = rule.subject {
            found.enter(rule);
            check(&context, &mut found);
        }
    }
    found.sorted()
}
