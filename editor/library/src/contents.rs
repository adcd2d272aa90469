//! What goes into a bundle.

use std::collections::BTreeMap;

use chockstone_rules::{PROGRAM, check_profile, fit};
use chockstone_schema::{
    CAUTIONS, Profile,
    bundle::{
        ATTACHMENTS, Bag, BundleError, DIFFERENCE, FINDINGS, Files, PROFILE_JSON, PROFILE_RON,
        PROFILE_SCHEMA, README, RESULTS,
    },
    codes::ReleaseNumber,
    date::Date,
    json_schema,
    read::{to_canonical, to_ron},
    report::{CheckReport, CheckedFile},
};

use crate::{
    difference::{
        difference, effects,
        report::{Side, report},
    },
    releases,
};

/// How to check a bundle with nothing but usual tools. The commands are run by a test just as they stand here.
const SIGNATURES: &str = "\
Who signed it: a file tagmanifest-sha256.txt.NAME.sig beside the folder data is an OpenSSH signature over
tagmanifest-sha256.txt, which holds the SHA-256 of the manifest, which holds that of every file. In the folder above this
file, with the list of the association's keys as allowed_signers (see ssh-keygen(1)) and its lost keys as revoked_keys:

    sha256sum --check --strict --quiet tagmanifest-sha256.txt manifest-sha256.txt
    for s in tagmanifest-sha256.txt.*.sig; do
      who=$(ssh-keygen -Y find-principals -f allowed_signers -s \"$s\" | head -n 1 | cut -d , -f 1)
      ssh-keygen -Y verify -f allowed_signers -r revoked_keys -I \"$who\" -n release@chockstone -s \"$s\" < tagmanifest-sha256.txt || exit 1
    done

Take both lists from somebody you trust, never from where this bundle came from. The commands tell who signed; how many
must have signed, and as what, the association's rules say.
";

/// The bag of a release: the profile with its release number set, and everything that goes with it.
///
/// `attachments` holds the bytes by file name, as [`attachments::load`](crate::attachments::load) gives them; `before` is
/// the profile in the last release, where there is one.
pub fn bag(
    profile: &Profile,
    number: &ReleaseNumber,
    day: Date,
    attachments: &BTreeMap<String, Vec<u8>>,
    before: Option<&Profile>,
) -> Bag {
    let mut released = profile.clone();
    released.release = Some(number.clone());
    let mut payload = Files::from([
        (PROFILE_JSON.to_owned(), to_canonical(&released)),
        (PROFILE_RON.to_owned(), to_ron(&released).into_bytes()),
        (PROFILE_SCHEMA.to_owned(), schema()),
        (FINDINGS.to_owned(), findings(&released)),
        (RESULTS.to_owned(), results(&released)),
        (
            README.to_owned(),
            readme(&released, number, day, before).into_bytes(),
        ),
    ]);
    payload.extend(before.map(|before| (DIFFERENCE.to_owned(), since(before, &released))));
    payload.extend(
        attachments
            .iter()
            .map(|(name, bytes)| (format!("{ATTACHMENTS}/{name}"), bytes.clone())),
    );
    Bag {
        top: top(profile, number),
        info: info(&released, number, day),
        payload,
    }
}

/// Writes the bundle of a release.
pub fn bundle(
    profile: &Profile,
    number: &ReleaseNumber,
    day: Date,
    attachments: &BTreeMap<String, Vec<u8>>,
    before: Option<&Profile>,
) -> Result<Vec<u8>, BundleError> {
    bag(profile, number, day, attachments, before).to_zip()
}

/// The top folder of a bundle: its file's name without the ending.
fn top(profile: &Profile, number: &ReleaseNumber) -> String {
    releases::name(&profile.id, number)
        .trim_end_matches(".zip")
        .to_owned()
}

/// Labels of RFC 8493, 2.2.2, that fit a profile.
fn info(profile: &Profile, number: &ReleaseNumber, day: Date) -> Vec<(String, String)> {
    let title = format!("{} {}", profile.identity.maker, profile.identity.model);
    [
        ("Bagging-Date", day.to_string()),
        ("External-Identifier", format!("{}-{number}", profile.id)),
        (
            "External-Description",
            format!("Vehicle handling profile: {title}"),
        ),
        ("Bag-Software-Agent", PROGRAM.to_owned()),
    ]
    .map(|(label, value)| (label.to_owned(), value))
    .to_vec()
}

/// The published schema of profiles, as the bundle keeps it.
pub(crate) fn schema() -> Vec<u8> {
    let mut text = json_schema::profile().published.to_string().into_bytes();
    text.push(b'\n');
    text
}

/// The findings of the released profile, as the bundle keeps them.
pub(crate) fn findings(profile: &Profile) -> Vec<u8> {
    let file = CheckedFile {
        file: None,
        id: Some(profile.id.to_string()),
        unreadable: Vec::new(),
        findings: check_profile(profile),
    };
    let report = CheckReport {
        program: PROGRAM.to_owned(),
        files: vec![file],
    };
    let mut text = serde_json::to_vec(&report).unwrap_or_default();
    text.push(b'\n');
    text
}

/// What is computed from the released profile alone, as the bundle keeps it.
fn results(profile: &Profile) -> Vec<u8> {
    let mut text = serde_json::to_vec(&fit::general(profile)).unwrap_or_default();
    text.push(b'\n');
    text
}

/// What changed since the last release and what it does, as the bundle keeps it. The effects are those of the profile
/// alone: which equipment lies in the library does not change a bundle.
fn since(before: &Profile, after: &Profile) -> Vec<u8> {
    let document = report(
        Side::of(before),
        Side::of(after),
        difference(before, after),
        effects(before, after, &[]),
    );
    let mut text = serde_json::to_vec(&document).unwrap_or_default();
    text.push(b'\n');
    text
}

fn readme(
    profile: &Profile,
    number: &ReleaseNumber,
    day: Date,
    before: Option<&Profile>,
) -> String {
    let years = profile
        .identity
        .model_years
        .as_ref()
        .map_or_else(String::new, |y| {
            if y.first == y.last {
                format!(", model year {}", y.first)
            } else {
                format!(", model years {} to {}", y.first, y.last)
            }
        });
    let mut languages = vec![profile.language.to_string()];
    languages.extend(profile.languages.iter().map(ToString::to_string));
    let last = before.and_then(|before| before.release.as_ref());
    let difference = last.map_or_else(String::new, |last| {
        format!(
            "difference.json       what changed since release {last}, whether it can hurt somebody, and what it does\n"
        )
    });
    format!(
        "Vehicle handling profile: {} {}{years}\n\
         Profile {}, release {number} of {day}, in {}\n\
         Made by {PROGRAM}\n\
         \n\
         {}\n\
         {}\n\
         \n\
         The high-voltage pack keeps its energy after every shut-off. Computed results are no stronger than their\n\
         sources: read each value with its source and its uncertainty.\n\
         \n\
         profile.json          the profile as canonical JSON (RFC 8785): what programs read\n\
         profile.ron           the same profile as people edit it\n\
         profile.schema.json   its JSON Schema (2020-12), every property with its meaning and unit\n\
         findings.json         what the checks of the program named in it found\n\
         results.json          what that program computed from the profile alone, in SI units: lift loads, methods of\n\
                               moving it, what it asks of a carrier; each figure with its inputs and source\n\
         {difference}\
         attachments/          documents and pictures, each named by the SHA-256 of its bytes\n\
         \n\
         This folder is a BagIt bag (RFC 8493). Any BagIt validator can check that nothing was changed or lost.\n\
         \n\
         {SIGNATURES}",
        profile.identity.maker,
        profile.identity.model,
        profile.id,
        languages.join(", "),
        CAUTIONS[0],
        CAUTIONS[1],
    )
}
