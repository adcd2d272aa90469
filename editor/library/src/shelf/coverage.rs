//! What a profile covers, topic by topic.

use std::collections::BTreeMap;

use chockstone_schema::{
    Profile,
    model::{point::PointUse, procedure::Purpose},
};

type Topic = (&'static str, fn(&Profile) -> bool);

/// The topics that a crew asks about, each with whether a profile has anything on it. Having something is no judgement of how
/// good it is; the checks judge.
pub const TOPICS: [Topic; 12] = [
    ("recognition", |p| p.identity.recognition.is_some()),
    ("numbers", |p| !super::patterns(p).is_empty()),
    ("mass", |p| {
        p.mass.curb_mass.is_some() || !p.mass.readings.is_empty()
    }),
    ("lifting", |p| has(p, &[PointUse::Lift, PointUse::Jack])),
    ("tie-down", |p| {
        has(p, &[PointUse::TieDown, PointUse::TieDownLongHaul])
    }),
    ("winching", |p| {
        has(p, &[PointUse::Winch, PointUse::Recover])
    }),
    ("towing", |p| !p.transport.rules.is_empty()),
    ("disconnects", |p| has(p, &[PointUse::Disconnect])),
    ("jump start", |p| {
        does(p, &[Purpose::JumpStart, Purpose::Wake])
    }),
    ("neutral", |p| does(p, &[Purpose::ShiftNeutral])),
    ("shutting off", |p| does(p, &[Purpose::ShutOff])),
    ("fire", |p| {
        does(p, &[Purpose::Fire]) || p.emergency.fire.is_some()
    }),
];

fn has(profile: &Profile, uses: &[PointUse]) -> bool {
    let points = profile.points.iter();
    points.flat_map(|p| &p.uses).any(|u| uses.contains(u))
}

fn does(profile: &Profile, purposes: &[Purpose]) -> bool {
    let procedures = profile.procedures.iter();
    procedures
        .into_iter()
        .any(|p| purposes.contains(&p.purpose))
}

/// What a profile covers, by topic.
pub(super) fn covers(profile: &Profile) -> BTreeMap<String, bool> {
    let told = TOPICS
        .iter()
        .map(|(name, has)| ((*name).to_owned(), has(profile)));
    told.collect()
}
