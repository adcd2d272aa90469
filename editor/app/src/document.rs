//! The open file: its values, its typed form, and every change made to it.
//!
//! The tree of values is what forms show and change. After each change the schema crate makes the typed form of it
//! anew; a change that it refuses leaves the document as it was, and the refusal says where and why. So a document in
//! memory is always one that could be saved and read again.

use std::sync::Arc;

use chockstone_schema::read::{Document as Record, Fault, from_value, to_value};
use serde_json::Value;

use crate::{
    history::History,
    pointer::{self, NoSuchPlace},
};

/// One change at one place of the tree of values.
#[derive(Debug, Clone, PartialEq)]
pub enum Op {
    /// Sets a field or a list item, whether or not it had a value.
    Set {
        /// The place.
        pointer: String,
        /// What it becomes.
        value: Value,
    },
    /// Inserts before a list position (`-` is the end) or adds a field.
    Insert {
        /// The place.
        pointer: String,
        /// What is put there.
        value: Value,
    },
    /// Takes a field or a list item away.
    Remove {
        /// The place.
        pointer: String,
    },
    /// Takes something away and inserts it elsewhere; `to` is read after the removal, as in RFC 6902.
    Move {
        /// Where it is.
        from: String,
        /// Where it goes.
        to: String,
    },
}

impl Op {
    /// The place that the change is about.
    pub fn pointer(&self) -> &str {
        match self {
            Self::Set { pointer, .. } | Self::Insert { pointer, .. } | Self::Remove { pointer } => {
                pointer
            }
            Self::Move { to, .. } => to,
        }
    }

    /// Makes the change in a tree of values.
    pub fn apply(&self, root: &mut Value) -> Result<(), NoSuchPlace> {
        match self {
            Self::Set { pointer, value } => pointer::set(root, pointer, value.clone()),
            Self::Insert { pointer, value } => pointer::insert(root, pointer, value.clone()),
            Self::Remove { pointer } => pointer::remove(root, pointer).map(|_| ()),
            Self::Move { from, to } => {
                let value = pointer::remove(root, from)?;
                pointer::insert(root, to, value)
            }
        }
    }
}

/// One step that a person can take back: a name for the menu and the changes it makes, all or none.
#[derive(Debug, Clone, PartialEq)]
pub struct Edit {
    /// Follows "Undo" in the menu, in lower case: "change wheelbase".
    pub description: String,
    /// The changes, made in order.
    pub ops: Vec<Op>,
    /// Following edits with the same key become part of this step, as key presses that nudge a point do.
    pub merge_key: Option<String>,
}

impl Edit {
    /// Makes an edit that stands alone.
    pub fn new(description: impl Into<String>, ops: Vec<Op>) -> Self {
        Self {
            description: description.into(),
            ops,
            merge_key: None,
        }
    }

    /// Sets one value.
    pub fn set(description: impl Into<String>, pointer: impl Into<String>, value: Value) -> Self {
        let pointer = pointer.into();
        Self::new(description, vec![Op::Set { pointer, value }])
    }

    /// Inserts one value.
    pub fn insert(
        description: impl Into<String>,
        pointer: impl Into<String>,
        value: Value,
    ) -> Self {
        let pointer = pointer.into();
        Self::new(description, vec![Op::Insert { pointer, value }])
    }

    /// Takes one value away.
    pub fn remove(description: impl Into<String>, pointer: impl Into<String>) -> Self {
        let pointer = pointer.into();
        Self::new(description, vec![Op::Remove { pointer }])
    }

    /// Lets following edits with the same key become part of this step.
    #[must_use]
    pub fn merging(mut self, key: impl Into<String>) -> Self {
        self.merge_key = Some(key.into());
        self
    }
}

/// Why an edit was not made: every fault that the changed document would have had, at least one.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// What is wrong, and where.
    pub faults: Vec<Fault>,
}

impl Refusal {
    /// The first fault as a sentence.
    pub fn message(&self) -> String {
        let first = self.faults.first().map(|fault| fault.message.clone());
        first.unwrap_or_else(|| "the change was refused".to_owned())
    }
}

impl From<NoSuchPlace> for Refusal {
    fn from(missing: NoSuchPlace) -> Self {
        let fault = Fault::new(missing.pointer.clone(), missing.to_string());
        Self {
            faults: vec![fault],
        }
    }
}

/// A document at one moment.
#[derive(Debug)]
struct State<T> {
    value: Value,
    typed: T,
}

impl<T: Record> State<T> {
    /// Makes the typed form and, of that, the values again: so equal documents have equal trees, whatever way led
    /// there (`131.0` and `131`, an empty list and none).
    fn parse(value: &Value) -> Result<Arc<Self>, Refusal> {
        match from_value(value) {
            Ok(typed) => Ok(Arc::new(Self {
                value: to_value(&typed),
                typed,
            })),
            Err(faults) => Err(Refusal { faults }),
        }
    }

    fn changed_by(&self, ops: &[Op]) -> Result<Arc<Self>, Refusal> {
        let mut value = self.value.clone();
        for op in ops {
            op.apply(&mut value)?;
        }
        Self::parse(&value)
    }
}

/// A gesture under way, such as a drag: everything it does becomes one step, or nothing.
struct Gesture<T> {
    description: String,
    before: Arc<State<T>>,
}

/// An open profile or piece of equipment.
pub struct Document<T: Record> {
    now: Arc<State<T>>,
    /// What the file on disk holds; a new document has none.
    saved: Option<Arc<State<T>>>,
    history: History<Arc<State<T>>>,
    gesture: Option<Gesture<T>>,
    revision: u64,
    modified: bool,
    saved_revision: u64,
}

impl<T: Record> Document<T> {
    /// Opens what was read from a file.
    pub fn opened(typed: T) -> Self {
        let mut document = Self::new(typed);
        document.mark_saved();
        document
    }

    /// Starts a document that no file holds yet.
    pub fn new(typed: T) -> Self {
        let value = to_value(&typed);
        Self {
            now: Arc::new(State { value, typed }),
            saved: None,
            history: History::default(),
            gesture: None,
            revision: 1,
            modified: true,
            saved_revision: 0,
        }
    }

    /// The tree of values.
    pub fn value(&self) -> &Value {
        &self.now.value
    }

    /// The typed form of the tree of values.
    pub fn typed(&self) -> &T {
        &self.now.typed
    }

    /// A number that grows with every change, undo and redo.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Whether the contents differ from the file's, or no file holds them.
    pub fn is_modified(&self) -> bool {
        self.modified
    }

    /// Says that the file now holds the present contents.
    pub fn mark_saved(&mut self) {
        self.commit();
        self.saved = Some(Arc::clone(&self.now));
        self.saved_revision = self.revision;
        self.history.seal();
        self.modified = false;
    }

    /// Says that the file now holds something else, as another program wrote it. The contents stay as they are.
    pub fn file_now_holds(&mut self, typed: T) {
        let value = to_value(&typed);
        self.modified = value != self.now.value;
        self.saved = Some(Arc::new(State { value, typed }));
        self.revision += 1;
        self.saved_revision = self.revision;
    }

    /// The tree of values of what the file holds; a new document has none.
    pub fn saved_value(&self) -> Option<&Value> {
        self.saved.as_ref().map(|saved| &saved.value)
    }

    /// What the file holds, and the revision that was saved; a new document has none.
    pub fn saved(&self) -> Option<(&T, u64)> {
        let saved = self.saved.as_ref()?;
        Some((&saved.typed, self.saved_revision))
    }

    /// Makes an edit as one named step. An edit that changes nothing leaves no step.
    pub fn apply(&mut self, edit: Edit) -> Result<(), Refusal> {
        self.commit();
        let after = self.now.changed_by(&edit.ops)?;
        let before = Arc::clone(&self.now);
        if after.value != before.value {
            self.history
                .record(edit.description, edit.merge_key, before, Arc::clone(&after));
            self.show(after);
        }
        Ok(())
    }

    /// Says whether an edit would be refused, without making it.
    pub fn would_refuse(&self, edit: &Edit) -> Option<Refusal> {
        self.now.changed_by(&edit.ops).err()
    }

    /// Begins a gesture; one under way is finished first.
    pub fn begin(&mut self, description: impl Into<String>) {
        self.commit();
        self.gesture = Some(Gesture {
            description: description.into(),
            before: Arc::clone(&self.now),
        });
    }

    /// Shows what the gesture has come to. The changes count from the gesture's beginning, not from the last update.
    pub fn update(&mut self, ops: &[Op]) -> Result<(), Refusal> {
        let Some(gesture) = &self.gesture else {
            return Ok(());
        };
        let after = gesture.before.changed_by(ops)?;
        if after.value != self.now.value {
            self.show(after);
        }
        Ok(())
    }

    /// Finishes the gesture as one step. A gesture that changed nothing leaves no step.
    pub fn commit(&mut self) {
        if let Some(gesture) = self.gesture.take()
            && gesture.before.value != self.now.value
        {
            let after = Arc::clone(&self.now);
            self.history
                .record(gesture.description, None, gesture.before, after);
        }
    }

    /// Gives the gesture up and puts everything back as it was at its beginning.
    pub fn abort(&mut self) {
        if let Some(gesture) = self.gesture.take()
            && gesture.before.value != self.now.value
        {
            self.show(gesture.before);
        }
    }

    /// Takes the last step back; says whether there was one.
    pub fn undo(&mut self) -> bool {
        self.commit();
        self.history.seal();
        let before = self.history.undo();
        before.map(|state| self.show(state)).is_some()
    }

    /// Makes the last step that was taken back again; says whether there was one.
    pub fn redo(&mut self) -> bool {
        self.commit();
        let after = self.history.redo();
        after.map(|state| self.show(state)).is_some()
    }

    /// Names the step that undo takes back: "change wheelbase".
    pub fn undo_name(&self) -> Option<&str> {
        match &self.gesture {
            Some(gesture) => Some(&gesture.description),
            None => self.history.undo_name(),
        }
    }

    /// Names the step that redo makes again.
    pub fn redo_name(&self) -> Option<&str> {
        self.history.redo_name()
    }

    fn show(&mut self, state: Arc<State<T>>) {
        self.modified = self.saved.as_ref().is_none_or(|s| s.value != state.value);
        self.now = state;
        self.revision += 1;
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is the failed test")]
    use super::*;
    use chockstone_schema::{
        Profile,
        read::{Notation, read},
    };
    use serde_json::json;

    const TEXT: &str = r#"(
        format: "1.0", id: "example", language: "en",
        identity: (maker: "Example Works", model: "One", body_style: van, propulsion: electric),
        dimensions: (wheelbase: (value: (131, "in"))),
        axles: [
            (id: "front", position: (value: (0, "mm"))),
            (id: "rear", position: (value: (131, "in"))),
        ],
        mass: (), energy: (), emergency: (), transport: (),
    )"#;

    const WHEELBASE: &str = "/dimensions/wheelbase/value";

    fn document() -> Document<Profile> {
        Document::opened(read("example.profile.ron", TEXT.as_bytes(), Notation::Ron).unwrap())
    }

    fn wheelbase(value: f64, unit: &str) -> Edit {
        Edit::set("change wheelbase", WHEELBASE, json!([value, unit]))
    }

    fn shown(document: &Document<Profile>) -> String {
        let wheelbase = document.typed().dimensions.wheelbase.as_ref().unwrap();
        wheelbase.value.to_string()
    }

    #[test]
    fn an_edit_changes_values_and_typed_form_and_can_be_taken_back_by_name() {
        let mut document = document();
        document.apply(wheelbase(3.4, "m")).unwrap();
        assert_eq!(shown(&document), "3.4 m");
        assert_eq!(document.undo_name(), Some("change wheelbase"));
        assert!(document.is_modified());
        assert!(document.undo());
        assert_eq!(shown(&document), "131 in");
        assert!(!document.is_modified());
        assert_eq!(document.redo_name(), Some("change wheelbase"));
        assert!(document.redo());
        assert_eq!(shown(&document), "3.4 m");
        assert!(!document.redo());
    }

    #[test]
    fn a_refused_edit_leaves_everything_as_it_was_and_says_where() {
        let mut document = document();
        let revision = document.revision();
        for bad in [
            json!([5, "kg"]),
            json!([0, "m"]),
            json!([1, "parsec"]),
            json!("long"),
        ] {
            let refusal = document
                .apply(Edit::set("change", WHEELBASE, bad))
                .unwrap_err();
            let place = &refusal.faults.first().unwrap().pointer;
            assert!(pointer::is_within(place, WHEELBASE), "{place}");
        }
        assert_eq!(shown(&document), "131 in");
        assert_eq!(document.revision(), revision);
        assert_eq!(document.undo_name(), None);
    }

    #[test]
    fn what_another_program_wrote_is_what_the_contents_are_held_against() {
        let mut document = document();
        document.apply(wheelbase(3.4, "m")).unwrap();
        let theirs = document.typed().clone();
        document.undo();
        assert!(!document.is_modified());
        document.file_now_holds(theirs);
        assert!(document.is_modified());
        document.redo();
        assert!(!document.is_modified());
    }

    #[test]
    fn several_changes_of_one_edit_are_made_all_or_none() {
        let mut document = document();
        let good = Op::Set {
            pointer: "/identity/model".to_owned(),
            value: json!("Two"),
        };
        let bad = Op::Remove {
            pointer: "/identity/maker".to_owned(),
        };
        assert!(
            document
                .apply(Edit::new("change both", vec![good, bad]))
                .is_err()
        );
        assert_eq!(document.typed().identity.model.as_str(), "One");
    }

    #[test]
    fn an_edit_that_changes_nothing_leaves_no_step() {
        let mut document = document();
        document.apply(wheelbase(131.0, "in")).unwrap();
        document
            .apply(Edit::set(
                "change maker",
                "/identity/maker",
                json!("Example Works"),
            ))
            .unwrap();
        assert_eq!(document.undo_name(), None);
        assert!(!document.is_modified());
    }

    #[test]
    fn a_drag_is_one_step_and_a_drag_without_effect_is_none() {
        let mut document = document();
        let to = |value: f64| {
            vec![Op::Set {
                pointer: WHEELBASE.to_owned(),
                value: json!([value, "m"]),
            }]
        };
        document.begin("drag rear axle");
        document.update(&to(3.1)).unwrap();
        document.update(&to(3.2)).unwrap();
        assert_eq!(shown(&document), "3.2 m");
        document.commit();
        assert_eq!(document.undo_name(), Some("drag rear axle"));
        assert!(document.undo());
        assert_eq!(shown(&document), "131 in");

        document.begin("drag rear axle");
        document.update(&[]).unwrap();
        document.commit();
        assert_eq!(document.undo_name(), None);
    }

    #[test]
    fn a_drag_given_up_puts_everything_back() {
        let mut document = document();
        document.begin("drag");
        document
            .update(&[Op::Set {
                pointer: WHEELBASE.to_owned(),
                value: json!([9, "m"]),
            }])
            .unwrap();
        document.abort();
        assert_eq!(shown(&document), "131 in");
        assert!(!document.is_modified());
        assert_eq!(document.undo_name(), None);
    }

    #[test]
    fn the_saved_mark_follows_undo_and_redo() {
        let mut document = document();
        document.apply(wheelbase(3.0, "m")).unwrap();
        document.mark_saved();
        assert!(!document.is_modified());
        document.undo();
        assert!(document.is_modified());
        document.redo();
        assert!(!document.is_modified());
    }

    #[test]
    fn a_new_document_counts_as_modified_until_it_is_saved() {
        let mut document = Document::new(document().typed().clone());
        assert!(document.is_modified());
        document.mark_saved();
        assert!(!document.is_modified());
    }

    #[test]
    fn axles_can_be_moved_only_where_the_order_allows_it() {
        let mut document = document();
        let swap = Op::Move {
            from: "/axles/1".to_owned(),
            to: "/axles/0".to_owned(),
        };
        let refusal = document
            .apply(Edit::new("move axle", vec![swap]))
            .unwrap_err();
        assert!(refusal.message().contains("front"), "{}", refusal.message());
    }
}
