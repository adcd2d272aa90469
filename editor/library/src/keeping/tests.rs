#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use std::{fs, thread};

use super::*;
use crate::{
    catalogue::SNAPSHOT,
    contents,
    policy::of_library,
    signing::sign_bundle,
    testing::{association, attachments, complete, day, now, number, signing, small, write_rules},
};

fn rules(library: &Path) -> Policy {
    of_library(library).unwrap().unwrap()
}

fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

/// A release of the small profile under another id, which only `enter` takes: it has blocking findings.
fn small_release(name: &str) -> (Profile, Vec<u8>) {
    let mut profile = small();
    profile.id = id(name);
    let bytes = contents::bundle(&profile, &number("1.0.0"), day(), &attachments(), None).unwrap();
    (profile, bytes)
}

/// A complete release, signed by its author, in the library's folder, entered in no catalogue.
fn put_release(library: &Path) -> Id {
    let profile: Profile = chockstone_schema::read::read_file(&complete()).unwrap();
    let folder = complete();
    let attached = crate::attachments::load(&profile, folder.parent().unwrap()).unwrap();
    let bytes = contents::bundle(&profile, &number("1.0.0"), day(), &attached, None).unwrap();
    let path = releases::file(library, &profile.id, &number("1.0.0"));
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, sign_bundle(&bytes, &signing(1)).unwrap()).unwrap();
    profile.id
}

fn listed_in(library: &Path) -> Vec<VehicleReleases> {
    let folder = Folder::new(library);
    let keepers = policy::keepers(&rules(library));
    let catalogue = Catalogue::open(&folder, &keepers, None, now()).unwrap();
    catalogue.vehicles().unwrap()
}

fn index_of(library: &Path) -> Indexed {
    index(library, &rules(library), &signing(4), false, now()).unwrap()
}

#[test]
fn two_keepers_enter_releases_at_once_and_lose_none() {
    let library = association(0);
    let enter_some = |from: usize| {
        for i in (from..16).step_by(2) {
            let (profile, bytes) = small_release(&format!("vehicle-{i}"));
            let entry: Entry<'_> = (&profile, &number("1.0.0"), &bytes);
            enter(
                library.path(),
                &rules(library.path()),
                &signing(4),
                entry,
                now(),
            )
            .unwrap();
        }
    };
    thread::scope(|scope| {
        scope.spawn(|| enter_some(0));
        enter_some(1);
    });
    assert_eq!(listed_in(library.path()).len(), 16);
}

#[test]
fn an_index_lists_what_the_rules_allow_and_tells_the_rest() {
    let library = association(0);
    let one = put_release(library.path());
    let indexed = index_of(library.path());
    assert_eq!(
        (indexed.number, indexed.vehicles, indexed.releases),
        (Some(1), 1, 1)
    );
    assert_eq!(listed_in(library.path())[0].id, one);
    let stricter = association(1);
    put_release(stricter.path());
    let indexed = index_of(stricter.path());
    assert_eq!(indexed.releases, 0);
    let (file, reasons) = &indexed.not_listed[0];
    assert!(file.ends_with("-1.0.0.zip"), "{file}");
    assert_eq!(
        reasons,
        &["1 reviewer must sign it besides its author, 0 did."]
    );
}

#[test]
fn what_is_withdrawn_stays_where_it_is_and_stays_withdrawn() {
    let library = association(0);
    let one = put_release(library.path());
    index_of(library.path());
    let reason = Label::new("A lift point was measured wrongly.").unwrap();
    let which = (&one, &number("1.0.0"));
    let take_back = || {
        let policy = rules(library.path());
        withdraw(library.path(), &policy, &signing(4), which, &reason, now())
    };
    assert_eq!(take_back().unwrap().0, 2);
    assert!(releases::file(library.path(), &one, &number("1.0.0")).exists());
    let told = take_back().unwrap_err().to_string();
    assert!(
        told.contains("was withdrawn on 2026-06-01: A lift point"),
        "{told}"
    );
    index_of(library.path());
    let withdrawn = listed_in(library.path())[0].releases[0].withdrawn.clone();
    assert_eq!(withdrawn.unwrap().reason, reason);
    let policy = rules(library.path());
    let other = (&one, &number("1.1.0"));
    let unknown = withdraw(library.path(), &policy, &signing(4), other, &reason, now());
    assert!(matches!(unknown, Err(WithdrawError::Unknown { .. })));
}

#[test]
fn nothing_is_signed_while_a_listed_release_is_missing_or_changed() {
    let library = association(0);
    let one = put_release(library.path());
    index_of(library.path());
    let path = releases::file(library.path(), &one, &number("1.0.0"));
    let good = fs::read(&path).unwrap();
    for spoilt in [None, Some(&b"PK"[..])] {
        match spoilt {
            Some(bytes) => fs::write(&path, bytes).unwrap(),
            None => fs::remove_file(&path).unwrap(),
        }
        let indexed = index_of(library.path());
        assert_eq!(indexed.number, None);
        assert!(
            indexed.refused[0].contains("is missing or was changed"),
            "{indexed:?}"
        );
    }
    fs::write(&path, good).unwrap();
    assert_eq!(index_of(library.path()).number, Some(2));
}

#[test]
fn a_catalogue_of_a_lost_key_is_signed_anew_only_when_asked() {
    let library = association(0);
    put_release(library.path());
    index_of(library.path());
    write_rules(library.path(), 0, &[1], &[], &[4]);
    let rules_text = fs::read_to_string(library.path().join("library.ron")).unwrap();
    let (_, line) = crate::testing::person(5, "new@example.org");
    let with_new = rules_text.replacen("keepers: [", &format!("keepers: [{line:?}, "), 1);
    fs::write(library.path().join("library.ron"), with_new).unwrap();
    let policy = rules(library.path());
    let new = crate::testing::person(5, "new@example.org").0;
    let refused = index(library.path(), &policy, &new, false, now()).unwrap_err();
    assert!(refused.to_string().contains("is revoked"), "{refused}");
    let anew = index(library.path(), &policy, &new, true, now()).unwrap();
    assert_eq!((anew.number, anew.releases), (Some(2), 1));
    assert!(fs::read_to_string(library.path().join(SNAPSHOT)).is_ok());
}
