//! What the window remembers of a person between sessions. Nothing of a document is in it.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::widgets::UnitSystem;

/// How many recent files are remembered.
const MOST_RECENT: usize = 10;

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum ThemeChoice {
    /// As the system is set.
    #[default]
    System,
    /// Dark on light.
    Light,
    /// Light on dark.
    Dark,
}

/// What is remembered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Preferences {
    /// Light or dark.
    pub theme: ThemeChoice,
    /// In which units values are shown.
    pub units: UnitSystem,
    /// The language shown beside the base language, if any.
    pub second_language: Option<String>,
    /// Whether the list of findings is shown.
    pub findings_shown: bool,
    /// Files opened last, the last one first.
    pub recent: Vec<PathBuf>,
    /// Who reviews here, as it stands in reviews and answers.
    pub reviewer: String,
    /// In which role.
    pub reviewer_role: String,
}

impl Default for Preferences {
    fn default() -> Self {
        Self {
            theme: ThemeChoice::System,
            units: UnitSystem::AsEntered,
            second_language: None,
            findings_shown: true,
            recent: Vec::new(),
            reviewer: String::new(),
            reviewer_role: String::new(),
        }
    }
}

impl Preferences {
    /// Puts a file first among the recent ones.
    pub fn remember(&mut self, file: &Path) {
        let file = std::path::absolute(file).unwrap_or_else(|_| file.to_owned());
        self.recent.retain(|known| *known != file);
        self.recent.insert(0, file);
        self.recent.truncate(MOST_RECENT);
    }

    /// Reads what was remembered; nothing that can be used gives the usual choices.
    pub fn load(storage: Option<&dyn eframe::Storage>) -> Self {
        storage
            .and_then(|storage| eframe::get_value(storage, eframe::APP_KEY))
            .unwrap_or_default()
    }

    /// Writes what is to be remembered.
    pub fn save(&self, storage: &mut dyn eframe::Storage) {
        eframe::set_value(storage, eframe::APP_KEY, self);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_opened_last_stands_first_and_only_once() {
        let mut preferences = Preferences::default();
        for name in ["/a", "/b", "/a"] {
            preferences.remember(Path::new(name));
        }
        assert_eq!(preferences.recent, [Path::new("/a"), Path::new("/b")]);
    }

    #[test]
    fn only_the_last_ten_files_are_remembered() {
        let mut preferences = Preferences::default();
        for number in 0..14 {
            preferences.remember(Path::new(&format!("/{number}")));
        }
        assert_eq!(preferences.recent.len(), MOST_RECENT);
        assert_eq!(
            preferences.recent.first().map(PathBuf::as_path),
            Some(Path::new("/13"))
        );
    }
}
