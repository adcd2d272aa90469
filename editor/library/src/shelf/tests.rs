#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use std::fs;

use chockstone_schema::{date::Date, model::record::SourceKind, text::Label, vin::Vin};

use super::*;
use crate::{
    in_review::{Keys, Outcome, publish},
    keeping::withdraw,
    policy::{Role, of_library},
    publish::Request,
    testing::{association, complete, now, number, signing},
};

fn demo() -> PathBuf {
    complete().parent().unwrap().to_owned()
}

/// The demo library without its equipment, with rules.
fn library(reviews: u8) -> tempfile::TempDir {
    let folder = association(reviews);
    for entry in fs::read_dir(demo()).unwrap() {
        let path = entry.unwrap().path();
        if path.is_file() {
            fs::copy(&path, folder.path().join(path.file_name().unwrap())).unwrap();
        }
    }
    let attachments = folder.path().join("attachments");
    fs::create_dir(&attachments).unwrap();
    for entry in fs::read_dir(demo().join("attachments")).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, attachments.join(path.file_name().unwrap())).unwrap();
    }
    folder
}

fn publish_one(library: &Path) -> Outcome {
    let (ana, kim) = (signing(1), signing(4));
    let request = Request {
        profile: &library.join(complete().file_name().unwrap()),
        library,
        version: None,
        moment: now(),
    };
    let keys = Keys {
        signer: Some(&ana),
        role: Role::Author,
        keeper: Some(&kim),
    };
    publish(&request, &keys).unwrap()
}

fn states(library: &Path) -> Vec<ReleaseState> {
    let shelf = Shelf::read(library, now()).unwrap();
    assert_eq!(shelf.unread, []);
    let mut found = shelf
        .vehicles
        .iter()
        .filter(|v| v.kept.id == "sorrelby-tindle");
    found.next().unwrap().kept.states.clone()
}

#[test]
fn a_vehicle_goes_from_draft_by_review_to_release_and_withdrawal() {
    let folder = library(1);
    assert_eq!(states(folder.path()), [ReleaseState::Draft]);
    publish_one(folder.path());
    assert_eq!(states(folder.path()), [ReleaseState::InReview]);
    let folder = library(0);
    publish_one(folder.path());
    assert_eq!(states(folder.path()), [ReleaseState::Released]);
    let file = folder.path().join(complete().file_name().unwrap());
    let text = fs::read_to_string(&file).unwrap();
    fs::write(
        &file,
        text.replacen("model: \"Tindle\"", "model: \"Tindle Long\"", 1),
    )
    .unwrap();
    assert_eq!(
        states(folder.path()),
        [ReleaseState::Draft, ReleaseState::Released]
    );
    fs::write(&file, text).unwrap();
    let policy = of_library(folder.path()).unwrap().unwrap();
    let reason = Label::new("Wrong.").unwrap();
    let which = (&Id::new("sorrelby-tindle").unwrap(), &number("1.0.0"));
    withdraw(folder.path(), &policy, &signing(4), which, &reason, now()).unwrap();
    assert_eq!(states(folder.path()), [ReleaseState::Withdrawn]);
}

#[test]
fn a_mirror_without_files_of_record_tells_the_same_vehicle() {
    let folder = library(0);
    publish_one(folder.path());
    fs::remove_file(folder.path().join(complete().file_name().unwrap())).unwrap();
    let shelf = Shelf::read(folder.path(), now()).unwrap();
    let found = shelf.find(&Search {
        words: vec!["sorrelby".to_owned()],
        ..Search::default()
    });
    assert_eq!(found.len(), 1);
    assert!(found[0].kept.files.is_empty() && found[0].kept.model_years.is_some());
}

fn found(search: &Search) -> Vec<String> {
    let shelf = Shelf::read(&demo(), now()).unwrap();
    shelf
        .find(search)
        .iter()
        .map(|v| v.kept.id.clone())
        .collect()
}

#[test]
fn vehicles_are_found_by_maker_model_year_number_and_words() {
    let all = Shelf::read(&demo(), now()).unwrap();
    for vehicle in &all.vehicles {
        let kept = &vehicle.kept;
        let id = kept.id.clone();
        let maker = Search {
            maker: Some(kept.maker.to_uppercase()),
            model: Some(kept.model.to_lowercase()),
            ..Search::default()
        };
        assert!(found(&maker).contains(&id), "{id}");
        let [first, last] = kept.model_years.unwrap();
        for (year, is_in) in [
            (first - 1, false),
            (first, true),
            (last, true),
            (last + 1, false),
        ] {
            let search = Search {
                year: Some(year),
                ..Search::default()
            };
            assert_eq!(found(&search).contains(&id), is_in, "{id} {year}");
        }
        for pattern in &kept.vin_patterns {
            let search = Search {
                vin: Some(Vin::new(&pattern.replace('*', "1")).unwrap()),
                ..Search::default()
            };
            assert!(found(&search).contains(&id), "{id} {pattern}");
        }
    }
    let nowhere = Search {
        words: vec!["orrel".to_owned(), "no such word".to_owned()],
        ..Search::default()
    };
    assert_eq!(found(&nowhere), [] as [&str; 0]);
}

#[test]
fn evidence_is_old_from_the_day_on_which_so_many_months_are_full() {
    let shelf = Shelf::read(&demo(), now()).unwrap();
    let dates: Vec<Date> = shelf
        .vehicles
        .iter()
        .flat_map(|v| v.facts.iter().flat_map(|f| &f.sources))
        .filter(|s| s.kind != SourceKind::Regulation)
        .map(|s| s.date)
        .filter(|date| (2..28).contains(&date.civil().day()))
        .collect();
    let oldest = *dates.iter().min().unwrap();
    let after = |months: i32, days: i32| {
        let (year, month) = (
            i32::from(oldest.civil().year()),
            i32::from(oldest.civil().month()),
        );
        let month = year * 12 + month - 1 + months;
        let day = i32::from(oldest.civil().day()) + days;
        Date::new(&format!("{:04}-{:02}-{day:02}", month / 12, month % 12 + 1)).unwrap()
    };
    let of_that_day = |day: Date| {
        let mut old = shelf.stale(day, 12).old_sources;
        old.retain(|o| o.date == oldest);
        old
    };
    assert_eq!(of_that_day(after(12, -1)), []);
    let old = of_that_day(after(12, 0));
    assert!(old.iter().any(|o| o.rests_on_it > 0), "{old:?}");
}

#[test]
fn a_newer_model_year_and_a_pattern_claimed_twice_are_told() {
    let folder = library(0);
    let file = folder.path().join(complete().file_name().unwrap());
    let text = fs::read_to_string(&file).unwrap();
    let profile: Profile = read_file(&file).unwrap();
    let years = profile.identity.model_years.unwrap();
    let newer = text
        .replacen("sorrelby-tindle", "sorrelby-tindle-new", 1)
        .replacen(
            &format!("last: {}", years.last),
            &format!("last: {}", years.last + 1),
            1,
        );
    fs::write(folder.path().join("new.profile.ron"), newer).unwrap();
    let shelf = Shelf::read(folder.path(), now()).unwrap();
    let stale = shelf.stale(now().date(), 600);
    let told: Vec<_> = stale
        .newer_years
        .iter()
        .map(|n| (n.vehicle.as_str(), n.newer.as_str()))
        .collect();
    assert_eq!(told, [("sorrelby-tindle", "sorrelby-tindle-new")]);
    assert!(!stale.overlaps.is_empty());
    assert!(stale.overlaps.iter().all(|o| o.vehicle != o.other));
}

#[test]
fn the_drafts_honest_faults_are_told_and_no_other() {
    let shelf = Shelf::read(&demo(), now()).unwrap();
    let stale = shelf.stale(now().date(), 600);
    let of = |places: &[chockstone_schema::report::FaultyPlaces]| -> BTreeSet<String> {
        places.iter().map(|f| f.vehicle.clone()).collect()
    };
    let draft = BTreeSet::from(["ullmere-dapple".to_owned()]);
    assert!(
        of(&stale.unsourced).is_subset(&draft),
        "{:?}",
        stale.unsourced
    );
    assert!(
        of(&stale.untranslated).is_subset(&draft),
        "{:?}",
        stale.untranslated
    );
    assert!(!stale.unsourced.is_empty());
    assert_eq!((stale.newer_years.len(), stale.overlaps.len()), (0, 0));
}

#[test]
fn a_complete_profile_covers_more_than_the_draft() {
    let shelf = Shelf::read(&demo(), now()).unwrap();
    let count = |id: &str| {
        let mut found = shelf.vehicles.iter().filter(|v| v.kept.id == id);
        let covers = &found.next().unwrap().facts.as_ref().unwrap().covers;
        assert_eq!(covers.len(), TOPICS.len());
        covers.values().filter(|c| **c).count()
    };
    assert!(count("sorrelby-tindle") > count("ullmere-dapple"));
}
