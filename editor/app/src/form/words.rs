//! Words made from the names in a file.

/// Words that are written in their own way.
const SPECIAL: &[(&str, &str)] = &[
    ("dc", "DC"),
    ("ac", "AC"),
    ("lfp", "LFP"),
    ("nmc", "NMC"),
    ("nca", "NCA"),
    ("lmo", "LMO"),
    ("lto", "LTO"),
    ("us", "US"),
    ("eu", "EU"),
    ("sae", "SAE"),
    ("j1772", "J1772"),
    ("j3400", "J3400"),
    ("ccs1", "CCS1"),
    ("ccs2", "CCS2"),
    ("gb", "GB/T"),
    ("t", ""),
    ("en12195", "EN 12195"),
    ("suv", "SUV"),
    ("chademo", "CHAdeMO"),
    ("vin", "VIN"),
];

/// Writes a string of a choice as a person would: `tie_down` becomes "Tie down".
pub(crate) fn choice_title(value: &str) -> String {
    if value.len() <= 2 && value.chars().all(|c| c.is_ascii_lowercase()) && special(value).is_none()
    {
        // A unit symbol.
        return value.to_owned();
    }
    let words: Vec<&str> = value
        .split('_')
        .map(|word| special(word).unwrap_or(word))
        .filter(|word| !word.is_empty())
        .collect();
    capitalised(&words.join(" "))
}

fn special(word: &str) -> Option<&'static str> {
    SPECIAL
        .iter()
        .find(|(from, _)| *from == word)
        .map(|(_, to)| *to)
}

/// Makes the first letter a capital.
pub(super) fn capitalised(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(characters).collect()
    })
}

/// Writes a label inside a sentence: "Wheelbase" becomes "wheelbase", "GVWR" stays.
pub(super) fn in_sentence(label: &str) -> String {
    let mut characters = label.chars();
    let (first, second) = (characters.next(), characters.next());
    match (first, second) {
        (Some(first), Some(second)) if !second.is_uppercase() => {
            first.to_lowercase().chain(label.chars().skip(1)).collect()
        }
        (Some(first), None) => first.to_lowercase().collect(),
        _ => label.to_owned(),
    }
}

/// The word for one item of a list, in a sentence, where the list's label is a plural: "Axles" gives "axle".
pub(super) fn singular(label: &str) -> Option<String> {
    let stem = label.strip_suffix('s')?;
    (!stem.ends_with('s') && stem.len() > 2).then(|| in_sentence(stem))
}

/// The words on the button that adds an item to a list: "Add axle", "Add to path".
pub(super) fn add_to(label: &str) -> String {
    singular(label).map_or_else(
        || format!("Add to {}", in_sentence(label)),
        |one| format!("Add {one}"),
    )
}

/// Makes a word that can stand in an id: lower-case letters, digits and hyphens, beginning with a letter.
pub fn slug(text: &str) -> String {
    let mut slug = String::new();
    for c in text.to_lowercase().chars() {
        if c.is_ascii_alphanumeric() {
            slug.push(c);
        } else if !slug.ends_with('-') && !slug.is_empty() {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    if slug.starts_with(|c: char| c.is_ascii_lowercase()) {
        slug.chars().take(40).collect()
    } else {
        "part".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strings_of_choices_read_as_words() {
        assert_eq!(choice_title("tie_down"), "Tie down");
        assert_eq!(choice_title("dc"), "DC");
        assert_eq!(choice_title("us_light_vehicle"), "US light vehicle");
        assert_eq!(choice_title("sae_j1772"), "SAE J1772");
        assert_eq!(choice_title("gb_t"), "GB/T");
        assert_eq!(choice_title("mm"), "mm");
        assert_eq!(choice_title("in"), "in");
    }

    #[test]
    fn labels_fit_into_sentences() {
        assert_eq!(in_sentence("Wheelbase"), "wheelbase");
        assert_eq!(in_sentence("GVWR"), "GVWR");
        assert_eq!(in_sentence("VIN patterns"), "VIN patterns");
        assert_eq!(add_to("Axles"), "Add axle");
        assert_eq!(add_to("VIN patterns"), "Add VIN pattern");
        assert_eq!(add_to("Path"), "Add to path");
        assert_eq!(add_to("Advice"), "Add to advice");
    }

    #[test]
    fn ids_are_made_of_what_an_id_may_hold() {
        assert_eq!(slug("VIN pattern"), "vin-pattern");
        assert_eq!(slug("Ölpunkt 3!"), "lpunkt-3");
        assert_eq!(slug("3"), "part");
    }
}
