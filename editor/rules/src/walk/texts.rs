//! Every text of a document, in lower case in one buffer, so that a word is looked for in one pass.

/// A language's string of one text.
struct Entry {
    text: usize,
    language: usize,
    start: usize,
    end: usize,
}

/// All texts, in the document's order.
#[derive(Default)]
pub(crate) struct Texts {
    places: Vec<String>,
    entries: Vec<Entry>,
    languages: Vec<String>,
    plain: String,
}

impl Texts {
    /// Adds a text by its place; its strings follow.
    pub(super) fn start(&mut self, place: &str) {
        self.places.push(place.to_owned());
    }

    /// Says which language the next string of the last text is in.
    pub(super) fn language(&mut self, tag: &str) {
        let language = self
            .languages
            .iter()
            .position(|l| l == tag)
            .unwrap_or_else(|| {
                self.languages.push(tag.to_owned());
                self.languages.len() - 1
            });
        let start = self.plain.len();
        let text = self.places.len().saturating_sub(1);
        self.entries.push(Entry {
            text,
            language,
            start,
            end: start,
        });
    }

    /// Adds the string of the last language.
    pub(super) fn string(&mut self, string: &str) {
        let start = self.plain.len();
        if has_accented_capital(string) {
            self.plain
                .extend(string.chars().flat_map(char::to_lowercase));
        } else {
            self.plain.push_str(string);
            if let Some(new) = self.plain.get_mut(start..) {
                new.make_ascii_lowercase();
            }
        }
        if let Some(entry) = self.entries.last_mut() {
            entry.end = self.plain.len();
        }
        // No string holds this control character, so no word is found across two strings.
        self.plain.push('\u{1}');
    }

    /// How many texts there are.
    pub(crate) fn len(&self) -> usize {
        self.places.len()
    }

    /// The places of the texts without a string in a language.
    pub(crate) fn without<'t>(&'t self, language: &str) -> impl Iterator<Item = &'t str> {
        let wanted = self.languages.iter().position(|l| l == language);
        let mut has = vec![false; self.places.len()];
        for entry in self.entries.iter().filter(|e| Some(e.language) == wanted) {
            if let Some(has) = has.get_mut(entry.text) {
                *has = true;
            }
        }
        self.places
            .iter()
            .zip(has)
            .filter(|(_, has)| !has)
            .map(|(place, _)| place.as_str())
    }

    /// Each language that occurs, with how many strings it has, by tag.
    pub(crate) fn counts(&self) -> Vec<(&str, usize)> {
        let mut counts: Vec<(&str, usize)> =
            self.languages.iter().map(|l| (l.as_str(), 0)).collect();
        for entry in &self.entries {
            if let Some((_, count)) = counts.get_mut(entry.language) {
                *count += 1;
            }
        }
        counts.sort_unstable();
        counts
    }

    /// The strings, in lower case, that hold one of these parts of words, with their text's place.
    ///
    /// Most parts occur nowhere, which one look at the whole buffer tells.
    pub(crate) fn mentioning<'t>(&'t self, parts: &[&str]) -> Vec<(&'t str, &'t str)> {
        let present: Vec<&str> = parts
            .iter()
            .copied()
            .filter(|p| self.plain.contains(p))
            .collect();
        if present.is_empty() {
            return Vec::new();
        }
        let strings = self.entries.iter().filter_map(|e| {
            Some((
                self.places.get(e.text)?.as_str(),
                self.plain.get(e.start..e.end)?,
            ))
        });
        strings
            .filter(|(_, s)| present.iter().any(|p| s.contains(p)))
            .collect()
    }
}

/// Whether a letter of Latin-1 beyond ASCII stands as a capital: the bytes C3 80 to C3 9E in UTF-8.
fn has_accented_capital(string: &str) -> bool {
    !string.is_ascii()
        && string
            .as_bytes()
            .windows(2)
            .any(|w| matches!(w, [0xC3, 0x80..=0x9E]) || matches!(w, [0xC4..=0xEF, _]))
}
