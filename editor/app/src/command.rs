//! Everything a person can ask the window to do.
//!
//! Panels push [`Command`]s and change nothing themselves. [`Act`]s are the commands that have a place in the menus;
//! one table names them all and feeds the menus, the shortcuts, the list of shortcuts and the tests.

use std::path::PathBuf;

use egui::{Key, KeyboardShortcut, Modifiers};

use crate::{document::Edit, form::FormEdit, pages::Page};

/// What a panel asks the window to do.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// An act of the menus.
    Act(Act),
    /// An edit that no form has to be told about.
    Edit(Edit),
    /// An edit from a form.
    Form(FormEdit),
    /// Shows a place of the document in its form and marks it.
    GoTo(String),
    /// Shows a place where the person is: in the diagram while that is shown and has it, else in its form.
    Reveal(String),
    /// Shows a page.
    Show(Page),
    /// Opens a file.
    OpenFile(PathBuf),
    /// Opens a folder in the library.
    OpenFolder(PathBuf),
    /// Says something in the status bar.
    Say(String),
    /// Shows another language beside the base language, or none.
    SecondLanguage(Option<String>),
    /// Shows what is computed for a variant.
    Variant(String),
    /// Lets a person pick a file for one side of a comparison.
    PickCompared(Which),
    /// Lets a person pick where a change note goes, and writes it there.
    SaveNote(ChangeNoteFile),
    /// Remembers who reviews, and in which role.
    Reviewer(String, String),
}

/// A side of a comparison.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Which {
    /// The one that was before.
    Older,
    /// The one that came after.
    Newer,
}

/// A change note that is to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangeNoteFile {
    /// The file name proposed.
    pub name: String,
    /// The whole page as HTML.
    pub html: String,
}

/// The menus, in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Menu {
    /// Files.
    File,
    /// Changes.
    Edit,
    /// What is shown.
    View,
    /// About the program.
    Help,
}

impl Menu {
    /// Every menu, from the left.
    pub const ALL: [Self; 4] = [Self::File, Self::Edit, Self::View, Self::Help];

    /// What it is called.
    pub fn label(self) -> &'static str {
        match self {
            Self::File => "File",
            Self::Edit => "Edit",
            Self::View => "View",
            Self::Help => "Help",
        }
    }
}

/// An act of the menus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(
    missing_docs,
    reason = "the table below says what each does, for people and readers alike"
)]
pub enum Act {
    NewProfile,
    NewEquipment,
    OpenFile,
    OpenFolder,
    Save,
    SaveAs,
    Close,
    Quit,
    Undo,
    Redo,
    NextFinding,
    PreviousFinding,
    NextChange,
    PreviousChange,
    ToggleFindings,
    ShowLibrary,
    ShowDiagram,
    ShowFit,
    ShowSituations,
    ShowCompare,
    ShowPublish,
    NextPage,
    PreviousPage,
    UnitsAsEntered,
    UnitsSi,
    UnitsUs,
    ThemeSystem,
    ThemeLight,
    ThemeDark,
    Shortcuts,
    About,
}

/// What acts may depend on.
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own")]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Env {
    /// A file is open.
    pub has_document: bool,
    /// The open file is a profile.
    pub is_profile: bool,
    /// There is a step to take back.
    pub can_undo: bool,
    /// There is a step to make again.
    pub can_redo: bool,
    /// The checks have something to say.
    pub has_findings: bool,
    /// Two versions are compared, and something changed between them.
    pub has_changes: bool,
}

/// What is said of an act in one place.
#[derive(Debug, Clone, Copy)]
pub struct ActInfo {
    /// The act.
    pub act: Act,
    /// Its menu.
    pub menu: Menu,
    /// Its group in the menu; a line parts groups.
    pub group: u8,
    /// Its label, ending in … when more input follows.
    pub label: &'static str,
    /// What it does, as a sentence.
    pub help: &'static str,
    /// Its keys.
    pub shortcut: Option<KeyboardShortcut>,
    /// Whether it can be done.
    pub enabled: fn(Env) -> bool,
}

const COMMAND_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

fn always(_: Env) -> bool {
    true
}
fn with_document(env: Env) -> bool {
    env.has_document
}
fn with_profile(env: Env) -> bool {
    env.is_profile
}
fn with_findings(env: Env) -> bool {
    env.has_findings
}
fn with_changes(env: Env) -> bool {
    env.has_changes
}

#[expect(clippy::unnecessary_wraps, reason = "the table is easier to read")]
const fn keys(modifiers: Modifiers, key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(modifiers, key))
}

const fn act(
    act: Act,
    (menu, group): (Menu, u8),
    label: &'static str,
    help: &'static str,
    shortcut: Option<KeyboardShortcut>,
    enabled: fn(Env) -> bool,
) -> ActInfo {
    ActInfo {
        act,
        menu,
        group,
        label,
        help,
        shortcut,
        enabled,
    }
}

const FILE: Menu = Menu::File;
const EDIT: Menu = Menu::Edit;
const VIEW: Menu = Menu::View;
const HELP: Menu = Menu::Help;

/// Every act, in the order of the menus.
pub static ACTS: [ActInfo; 31] = [
    act(
        Act::NewProfile,
        (FILE, 0),
        "New profile…",
        "Starts a profile from a body style.",
        keys(Modifiers::COMMAND, Key::N),
        always,
    ),
    act(
        Act::NewEquipment,
        (FILE, 0),
        "New equipment…",
        "Starts a file for a carrier, a winch, straps or other equipment.",
        None,
        always,
    ),
    act(
        Act::OpenFile,
        (FILE, 1),
        "Open file…",
        "Opens a profile or a piece of equipment.",
        keys(Modifiers::COMMAND, Key::O),
        always,
    ),
    act(
        Act::OpenFolder,
        (FILE, 1),
        "Open folder…",
        "Shows the profiles and equipment of a folder.",
        keys(COMMAND_SHIFT, Key::O),
        always,
    ),
    act(
        Act::Save,
        (FILE, 2),
        "Save",
        "Writes the file whole, or not at all.",
        keys(Modifiers::COMMAND, Key::S),
        with_document,
    ),
    act(
        Act::SaveAs,
        (FILE, 2),
        "Save as…",
        "Writes the contents to another file.",
        keys(COMMAND_SHIFT, Key::S),
        with_document,
    ),
    act(
        Act::Close,
        (FILE, 3),
        "Close file",
        "Closes the file; asks first when something is not saved.",
        keys(Modifiers::COMMAND, Key::W),
        with_document,
    ),
    act(
        Act::Quit,
        (FILE, 3),
        "Quit",
        "Closes the window; asks first when something is not saved.",
        keys(Modifiers::COMMAND, Key::Q),
        always,
    ),
    act(
        Act::Undo,
        (EDIT, 0),
        "Undo",
        "Takes the last step back.",
        keys(Modifiers::COMMAND, Key::Z),
        |env| env.can_undo,
    ),
    act(
        Act::Redo,
        (EDIT, 0),
        "Redo",
        "Makes the last step that was taken back again.",
        keys(COMMAND_SHIFT, Key::Z),
        |env| env.can_redo,
    ),
    act(
        Act::NextFinding,
        (EDIT, 1),
        "Next finding",
        "Goes to the place of the next finding.",
        keys(Modifiers::NONE, Key::F8),
        with_findings,
    ),
    act(
        Act::PreviousFinding,
        (EDIT, 1),
        "Previous finding",
        "Goes to the place of the finding before.",
        keys(Modifiers::SHIFT, Key::F8),
        with_findings,
    ),
    act(
        Act::NextChange,
        (EDIT, 2),
        "Next change",
        "On the Compare page, goes to the next change that is listed.",
        keys(Modifiers::NONE, Key::F7),
        with_changes,
    ),
    act(
        Act::PreviousChange,
        (EDIT, 2),
        "Previous change",
        "On the Compare page, goes to the change before.",
        keys(Modifiers::SHIFT, Key::F7),
        with_changes,
    ),
    act(
        Act::ShowLibrary,
        (VIEW, 0),
        "Library",
        "Shows the files of the open folder.",
        keys(Modifiers::COMMAND, Key::L),
        always,
    ),
    act(
        Act::ShowDiagram,
        (VIEW, 0),
        "Diagram",
        "Shows the side view and the plan view.",
        keys(Modifiers::COMMAND, Key::D),
        with_profile,
    ),
    act(
        Act::ShowFit,
        (VIEW, 0),
        "Fit",
        "Shows whether the vehicle loads, lifts, tows and holds with your equipment.",
        keys(Modifiers::COMMAND, Key::E),
        with_profile,
    ),
    act(
        Act::ShowSituations,
        (VIEW, 0),
        "Situations",
        "Shows the safe way from what is true now to each goal.",
        keys(Modifiers::COMMAND, Key::T),
        with_profile,
    ),
    act(
        Act::ShowCompare,
        (VIEW, 0),
        "Compare",
        "Shows what changed between two versions.",
        keys(Modifiers::COMMAND, Key::K),
        with_profile,
    ),
    act(
        Act::ShowPublish,
        (VIEW, 0),
        "Publish",
        "Shows what blocks a release and what it will hold.",
        keys(Modifiers::COMMAND, Key::P),
        with_profile,
    ),
    act(
        Act::NextPage,
        (VIEW, 1),
        "Next page",
        "Shows the next page of the list at the left.",
        keys(Modifiers::COMMAND, Key::PageDown),
        with_document,
    ),
    act(
        Act::PreviousPage,
        (VIEW, 1),
        "Previous page",
        "Shows the page before in the list at the left.",
        keys(Modifiers::COMMAND, Key::PageUp),
        with_document,
    ),
    act(
        Act::ToggleFindings,
        (VIEW, 1),
        "Findings panel",
        "Shows or hides the list of findings.",
        keys(Modifiers::NONE, Key::F9),
        always,
    ),
    act(
        Act::UnitsAsEntered,
        (VIEW, 2),
        "Units as entered",
        "Shows each value in the unit it was entered in.",
        None,
        always,
    ),
    act(
        Act::UnitsSi,
        (VIEW, 2),
        "Metric units",
        "Shows values in millimetres, kilograms and kilonewtons; files keep their units.",
        None,
        always,
    ),
    act(
        Act::UnitsUs,
        (VIEW, 2),
        "US customary units",
        "Shows values in inches and pounds; files keep their units.",
        None,
        always,
    ),
    act(
        Act::ThemeSystem,
        (VIEW, 3),
        "Colours of the system",
        "Follows the system's choice of light or dark.",
        None,
        always,
    ),
    act(
        Act::ThemeLight,
        (VIEW, 3),
        "Light colours",
        "Dark text on a light ground.",
        None,
        always,
    ),
    act(
        Act::ThemeDark,
        (VIEW, 3),
        "Dark colours",
        "Light text on a dark ground.",
        None,
        always,
    ),
    act(
        Act::Shortcuts,
        (HELP, 0),
        "Keyboard shortcuts…",
        "Lists the keys of every act.",
        keys(Modifiers::NONE, Key::F1),
        always,
    ),
    act(
        Act::About,
        (HELP, 0),
        "About and cautions…",
        "Says what this program is, and what it is not.",
        None,
        always,
    ),
];

impl Act {
    /// What is said of the act.
    pub fn info(self) -> &'static ActInfo {
        let found = ACTS.iter().find(|info| info.act == self);
        // The table holds every act; a test walks it. The first row only satisfies the type.
        let [first, ..] = &ACTS;
        found.unwrap_or(first)
    }
}

/// The act whose keys were pressed, if it can be done. Keys that belong to a field of text while one is being edited
/// are left to it.
pub fn pressed(context: &egui::Context, env: Env) -> Option<Act> {
    let editing = context.text_edit_focused();
    let mut with_keys: Vec<&ActInfo> = ACTS.iter().filter(|a| a.shortcut.is_some()).collect();
    // Shift and Alt variants first: the plain keys would take them too.
    with_keys.sort_by_key(|a| a.shortcut.map_or(0, |s| more_keys_first(s.modifiers)));
    for info in with_keys {
        let Some(shortcut) = info.shortcut else {
            continue;
        };
        let own_undo = matches!(info.act, Act::Undo | Act::Redo);
        if editing && (own_undo || shortcut.conflicts_with_text_editing()) {
            continue;
        }
        if context.input_mut(|i| i.consume_shortcut(&shortcut)) && (info.enabled)(env) {
            return Some(info.act);
        }
    }
    let second_redo = KeyboardShortcut::new(Modifiers::COMMAND, Key::Y);
    let redo = !editing && env.can_redo && context.input_mut(|i| i.consume_shortcut(&second_redo));
    redo.then_some(Act::Redo)
}

fn more_keys_first(modifiers: Modifiers) -> u8 {
    u8::from(!modifiers.shift) + u8::from(!modifiers.alt)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    /// The keys as they are pressed on one system: command is Ctrl except on a Mac.
    fn physical(shortcut: KeyboardShortcut, mac: bool) -> (bool, bool, bool, bool, Key) {
        let m = shortcut.logical_key;
        let modifiers = shortcut.modifiers;
        let ctrl = modifiers.ctrl || (modifiers.command && !mac);
        let command = modifiers.mac_cmd || (modifiers.command && mac);
        (ctrl, command, modifiers.alt, modifiers.shift, m)
    }

    #[test]
    fn no_two_acts_share_their_keys_on_any_system() {
        for (system, mac) in [("Linux", false), ("Windows", false), ("macOS", true)] {
            let mut taken = BTreeMap::new();
            for info in &ACTS {
                if let Some(shortcut) = info.shortcut {
                    let keys = format!("{:?}", physical(shortcut, mac));
                    let before = taken.insert(keys, info.label);
                    assert_eq!(before, None, "{system}: {} shares its keys", info.label);
                }
            }
        }
    }

    #[test]
    fn every_act_is_in_the_table_once_and_has_a_label_and_a_sentence() {
        let mut labels = std::collections::BTreeSet::new();
        for info in &ACTS {
            assert_eq!(info.act.info().label, info.label);
            assert!(
                !info.label.is_empty() && labels.insert(info.label),
                "{}",
                info.label
            );
            assert!(info.help.ends_with('.'), "{}: {}", info.label, info.help);
            let first = info.label.chars().next().map(char::is_uppercase);
            assert_eq!(first, Some(true), "{}", info.label);
        }
    }

    #[test]
    fn menus_hold_their_acts_together_and_in_groups() {
        let places: Vec<(Menu, u8)> = ACTS.iter().map(|a| (a.menu, a.group)).collect();
        let mut sorted = places.clone();
        sorted.sort();
        assert_eq!(places, sorted);
    }

    #[test]
    fn nothing_that_needs_a_file_can_be_done_without_one() {
        let nothing = Env::default();
        for info in &ACTS {
            let needs = matches!(
                info.act,
                Act::Save | Act::SaveAs | Act::Close | Act::Undo | Act::Redo | Act::ShowPublish
            );
            assert!(!needs || !(info.enabled)(nothing), "{}", info.label);
        }
    }
}
