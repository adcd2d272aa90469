//! What the last release in a library asks of the next one.

use std::path::Path;

use chockstone_schema::{
    Profile,
    codes::ReleaseNumber,
    report::{Change, Grade},
    text::Text,
};

use crate::{
    difference::{
        difference,
        report::{demanding, least_release, same_but_for_release},
    },
    releases,
};

/// The last release of a profile, and what has changed since.
#[derive(Debug)]
pub(super) struct Last {
    number: ReleaseNumber,
    /// The profile in it, or why it could not be read.
    released: Result<Profile, String>,
    is_same: bool,
    changes: Vec<Change>,
}

impl Last {
    /// The last of the earlier releases, if there is one.
    pub(super) fn of(profile: &Profile, library: &Path, earlier: &[ReleaseNumber]) -> Option<Self> {
        let number = earlier.last()?.clone();
        let file = releases::file(library, &profile.id, &number);
        let released = releases::read_profile(&file).map_err(|error| error.to_string());
        let known = released.as_ref().ok();
        let changes = known.map(|released| difference(released, profile).changes);
        Some(Self {
            number,
            is_same: known.is_some_and(|released| same_but_for_release(released, profile)),
            changes: changes.unwrap_or_default(),
            released,
        })
    }

    /// The profile in it, where it could be read.
    pub(super) fn profile(&self) -> Option<&Profile> {
        self.released.as_ref().ok()
    }

    /// The least number above it. What cannot be read is taken for what can hurt.
    pub(super) fn least(&self) -> Option<ReleaseNumber> {
        match self.released {
            Ok(_) => least_release(&self.number, &self.changes),
            Err(_) => releases::least(&self.number, Grade::CanHurt),
        }
    }

    /// Why that is the least number, as a sentence or two.
    pub(super) fn because(&self) -> String {
        let last = &self.number;
        match (&self.released, demanding(&self.changes)) {
            (Err(why), _) => {
                format!(
                    "What changed since release {last} is not known, so somebody could be hurt: {why}."
                )
            }
            (Ok(_), None) => {
                format!("Nothing has changed in meaning since release {last}.")
            }
            (Ok(_), Some(change)) => {
                format!("{} {}", english(&change.sentence), reason(change))
            }
        }
    }

    /// What stands in the way of releasing under a number, one sentence each.
    pub(super) fn blocks(&self, number: &ReleaseNumber) -> Vec<String> {
        let last = &self.number;
        let demanded = self.least();
        let demanded = demanded.filter(|least| number.parts() < least.parts());
        let mut reasons = Vec::new();
        if number.parts() <= last.parts() {
            reasons.push(format!(
                "Release {number} is not above {last}, the last release in the library."
            ));
        } else if let Some(demanded) = demanded {
            reasons.push(format!(
                "Release {number} is too low: the least number after {last} is {demanded}. {}",
                self.because()
            ));
        }
        // A release without any change would only make readers look for one.
        if self.is_same {
            reasons.push(format!("Nothing has changed since release {last}."));
        }
        reasons
    }
}

fn reason(change: &Change) -> String {
    let lead = match change.grade {
        Grade::CanHurt => "Somebody who acts on the older release could be hurt",
        Grade::NewToKnow => "It is new to know",
        Grade::Wording => "It is wording, drawing, sources or records",
    };
    format!("{lead}. {}", english(&change.reason))
}

/// What the program says of a change is always told in English.
fn english(text: &Text) -> &str {
    let told = text.iter().find(|(language, _)| language.as_str() == "en");
    told.map_or_else(|| text.pick([]), |(_, string)| string)
}
