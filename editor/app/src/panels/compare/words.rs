//! What is said of changes beside the sentences that the library gives.

use chockstone_schema::{
    Profile,
    report::{Change, ChangeKind, Shift},
    text::Text,
};

use crate::{figures, widgets::UnitSystem};

/// The string of a text of our own in English.
pub(super) fn english(text: &Text) -> &str {
    let mut strings = text.iter();
    let english = strings.find(|(language, _)| language.as_str() == "en");
    english.map_or_else(|| text.pick([]), |(_, string)| string)
}

/// Whether a change holds every one of the words, anywhere in what is said of it.
pub(super) fn holds(change: &Change, wanted: &str) -> bool {
    let wanted = wanted.trim().to_lowercase();
    if wanted.is_empty() {
        return true;
    }
    let pieces = change.words.iter().flat_map(|w| &w.pieces);
    let said = [
        english(&change.sentence),
        english(&change.reason),
        change.place(),
    ];
    let said = said
        .into_iter()
        .chain(pieces.map(|piece| piece.text.as_str()));
    let said: String = said
        .flat_map(|text| [text, " "])
        .collect::<String>()
        .to_lowercase();
    wanted.split_whitespace().all(|word| said.contains(word))
}

/// "1 change", "12 changes".
pub(super) fn changes(number: usize) -> String {
    match number {
        1 => "1 change".to_owned(),
        _ => format!("{number} changes"),
    }
}

/// What happened to a part in a word or two, for the drawing: "moved 40 mm rearward", "added".
pub(super) fn fate(change: &Change, system: UnitSystem) -> String {
    let moved = change.shift.map(|shift| shift_words(shift, system));
    match (change.kind, moved) {
        (ChangeKind::Added, _) => "added".to_owned(),
        (ChangeKind::Removed, _) => "gone".to_owned(),
        (_, Some(moved)) if !moved.is_empty() => format!("moved {moved}"),
        (ChangeKind::Renamed, _) => "has another id".to_owned(),
        _ => "changed".to_owned(),
    }
}

/// How far something moved, in words: "40 mm rearward, 5 mm up".
pub(super) fn shift_words(shift: Shift, system: UnitSystem) -> String {
    let axes = [
        (Some(shift.x), "rearward", "forward"),
        (shift.y, "to the right", "to the left"),
        (shift.z, "up", "down"),
    ];
    let told = axes.into_iter().filter_map(|(millimetres, more, less)| {
        let millimetres = millimetres.filter(|mm| mm.abs() >= 0.05)?;
        let far = figures::text(millimetres.abs() / 1000.0, None, "m", system);
        Some(format!(
            "{far} {}",
            if millimetres > 0.0 { more } else { less }
        ))
    });
    told.collect::<Vec<_>>().join(", ")
}

/// The vehicle of a profile as a person names it.
pub(super) fn vehicle(profile: &Profile) -> String {
    chockstone_library::note::title_of(profile)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shift_is_told_by_axis_and_direction() {
        let shift = Shift {
            x: 40.0,
            y: None,
            z: Some(-12.5),
        };
        let told = shift_words(shift, UnitSystem::Si);
        assert!(told.starts_with("40 mm rearward, "), "{told}");
        assert!(told.ends_with(" down"), "{told}");
        let nothing = Shift {
            x: 0.0,
            y: Some(0.0),
            z: None,
        };
        assert_eq!(shift_words(nothing, UnitSystem::Si), "");
    }
}
