//! What has gone stale in a library, and what was never finished.

use std::collections::BTreeMap;

use super::{DatedSource, Facts, Shelf};
use chockstone_schema::{
    codes::VinMask,
    date::Date,
    model::record::SourceKind,
    report::{FaultyPlaces, NewerYear, OldSource, PatternOverlap},
    vin::overlap,
};

/// Months after which evidence counts as old where the rules do not say; common practice, no source.
pub const USUAL_MONTHS: u16 = 24;

/// What has gone stale.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stale {
    /// Sources older than so many months.
    pub old_sources: Vec<OldSource>,
    /// Vehicles of which the library knows a newer model year.
    pub newer_years: Vec<NewerYear>,
    /// Values and statements without a source.
    pub unsourced: Vec<FaultyPlaces>,
    /// Texts without a string in a promised language.
    pub untranslated: Vec<FaultyPlaces>,
    /// Pairs of profiles that claim the same vehicle.
    pub overlaps: Vec<PatternOverlap>,
}

impl Stale {
    /// Whether there is nothing to do.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

impl Shelf {
    /// What has gone stale by a day.
    pub fn stale(&self, day: Date, months: u16) -> Stale {
        let mut all = Stale {
            newer_years: newer_years(self),
            overlaps: overlaps(self),
            ..Stale::default()
        };
        for vehicle in &self.vehicles {
            let id = &vehicle.kept.id;
            let Some(facts) = &vehicle.facts else {
                continue;
            };
            all.old_sources.extend(old_sources(id, facts, day, months));
            all.unsourced.extend(faulty(id, &facts.unsourced));
            all.untranslated.extend(faulty(id, &facts.untranslated));
        }
        all
    }
}

fn faulty(id: &str, places: &[String]) -> Option<FaultyPlaces> {
    (!places.is_empty()).then(|| FaultyPlaces {
        vehicle: id.to_owned(),
        places: places.to_vec(),
    })
}

/// A law, a regulation or a standard holds until its next edition, however old it is; every other source is evidence that ages.
fn old_sources(id: &str, facts: &Facts, day: Date, months: u16) -> impl Iterator<Item = OldSource> {
    let is_old = move |source: &&DatedSource| {
        source.kind != SourceKind::Regulation && whole_months(source.date, day) >= i32::from(months)
    };
    facts.sources.iter().filter(is_old).map(|source| OldSource {
        vehicle: id.to_owned(),
        source: source.id.clone(),
        date: source.date,
        rests_on_it: source.rests_on_it,
    })
}

/// Whole months from one day to another; below zero when the other is earlier.
fn whole_months(from: Date, to: Date) -> i32 {
    let (from, to) = (from.civil(), to.civil());
    let months = |year: i16, month: i8| i32::from(year) * 12 + i32::from(month);
    let apart = months(to.year(), to.month()) - months(from.year(), from.month());
    apart - i32::from(to.day() < from.day())
}

/// Of each maker's model, whatever the capital letters, the profile with the latest model year.
fn newer_years(shelf: &Shelf) -> Vec<NewerYear> {
    let key = |maker: &str, model: &str| (maker.to_lowercase(), model.to_lowercase());
    let mut latest: BTreeMap<(String, String), (u16, &str)> = BTreeMap::new();
    for kept in shelf.vehicles.iter().map(|v| &v.kept) {
        if let Some([_, last]) = kept.model_years {
            let entry = latest
                .entry(key(&kept.maker, &kept.model))
                .or_insert((last, &kept.id));
            *entry = (*entry).max((last, &kept.id));
        }
    }
    let newer = shelf.vehicles.iter().filter_map(|vehicle| {
        let kept = &vehicle.kept;
        let [_, last_year] = kept.model_years?;
        let (newer_year, newer) = *latest.get(&key(&kept.maker, &kept.model))?;
        (newer_year > last_year).then(|| NewerYear {
            vehicle: kept.id.clone(),
            last_year,
            newer_year,
            newer: newer.to_owned(),
        })
    });
    newer.collect()
}

/// A pattern with its profile.
type Claim<'c> = (VinMask, &'c str);

/// Patterns of two profiles that one number can match. Only patterns whose first three characters can be the same are held
/// against each other, for a library has thousands.
fn overlaps(shelf: &Shelf) -> Vec<PatternOverlap> {
    let (mut by_maker, mut open): (BTreeMap<String, Vec<Claim<'_>>>, Vec<Claim<'_>>) =
        Default::default();
    for kept in shelf.vehicles.iter().map(|v| &v.kept) {
        for mask in kept
            .vin_patterns
            .iter()
            .filter_map(|p| VinMask::new(p).ok())
        {
            let maker = mask.as_str().get(..3).unwrap_or_default().to_owned();
            if maker.contains('*') {
                open.push((mask, &kept.id));
            } else {
                by_maker.entry(maker).or_default().push((mask, &kept.id));
            }
        }
    }
    let mut found = Vec::new();
    for (i, claim) in open.iter().enumerate() {
        let rest = open.iter().skip(i + 1);
        found.extend(
            rest.chain(by_maker.values().flatten())
                .filter_map(|other| between(claim, other)),
        );
    }
    for claims in by_maker.values() {
        for (i, claim) in claims.iter().enumerate() {
            found.extend(
                claims
                    .iter()
                    .skip(i + 1)
                    .filter_map(|other| between(claim, other)),
            );
        }
    }
    found.sort_by(|a, b| (&a.vehicle, &a.other).cmp(&(&b.vehicle, &b.other)));
    found
}

fn between(one: &Claim<'_>, other: &Claim<'_>) -> Option<PatternOverlap> {
    let ((mask, id), (other_mask, other_id)) = (one, other);
    (id != other_id && overlap(mask, other_mask)).then(|| PatternOverlap {
        vehicle: (*id).to_owned(),
        pattern: mask.as_str().to_owned(),
        other: (*other_id).to_owned(),
        other_pattern: other_mask.as_str().to_owned(),
    })
}
