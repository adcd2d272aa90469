//! Named steps that can be taken back and made again.

/// Steps beyond this number are forgotten, oldest first, so that a long session keeps to its memory.
const LIMIT: usize = 300;

/// One change that a person made, with the states on both sides of it.
#[derive(Debug, Clone)]
struct Step<S> {
    description: String,
    /// Following steps with the same key become part of this one, as key presses that nudge a point do.
    merge_key: Option<String>,
    before: S,
    after: S,
}

/// Keeps the steps of one document in order, with the place between "done" and "taken back".
#[derive(Debug, Clone)]
pub struct History<S> {
    steps: Vec<Step<S>>,
    /// How many of the steps are done; those from here on can be made again.
    done: usize,
}

impl<S: Clone> Default for History<S> {
    fn default() -> Self {
        Self {
            steps: Vec::new(),
            done: 0,
        }
    }
}

impl<S: Clone> History<S> {
    /// Records a step. What had been taken back is forgotten.
    pub fn record(&mut self, description: String, merge_key: Option<String>, before: S, after: S) {
        let can_merge = self.done == self.steps.len() && merge_key.is_some();
        self.steps.truncate(self.done);
        if let Some(last) = self.steps.last_mut()
            && can_merge
            && last.merge_key == merge_key
        {
            last.after = after;
            return;
        }
        self.steps.push(Step {
            description,
            merge_key,
            before,
            after,
        });
        if self.steps.len() > LIMIT {
            self.steps.remove(0);
        }
        self.done = self.steps.len();
    }

    /// Ends merging: the next step stands alone even when its key is the same.
    pub fn seal(&mut self) {
        if let Some(last) = self.steps.last_mut() {
            last.merge_key = None;
        }
    }

    /// Takes the last done step back and returns the state before it.
    pub fn undo(&mut self) -> Option<S> {
        let step = self.steps.get(self.done.checked_sub(1)?)?;
        self.done -= 1;
        Some(step.before.clone())
    }

    /// Makes the last step that was taken back again and returns the state after it.
    pub fn redo(&mut self) -> Option<S> {
        let step = self.steps.get(self.done)?;
        self.done += 1;
        Some(step.after.clone())
    }

    /// Names the step that [`History::undo`] would take back.
    pub fn undo_name(&self) -> Option<&str> {
        let step = self.steps.get(self.done.checked_sub(1)?)?;
        Some(&step.description)
    }

    /// Names the step that [`History::redo`] would make again.
    pub fn redo_name(&self) -> Option<&str> {
        self.steps
            .get(self.done)
            .map(|step| step.description.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn history(steps: &[(&str, i32, i32)]) -> History<i32> {
        let mut history = History::default();
        for &(name, before, after) in steps {
            history.record(name.to_owned(), None, before, after);
        }
        history
    }

    #[test]
    fn steps_are_taken_back_and_made_again_by_name() {
        let mut history = history(&[("Add axle", 0, 1), ("Change wheelbase", 1, 2)]);
        assert_eq!(history.undo_name(), Some("Change wheelbase"));
        assert_eq!(history.undo(), Some(1));
        assert_eq!(history.redo_name(), Some("Change wheelbase"));
        assert_eq!(history.undo(), Some(0));
        assert_eq!(history.undo(), None);
        assert_eq!(history.redo(), Some(1));
        assert_eq!(history.redo(), Some(2));
        assert_eq!(history.redo(), None);
    }

    #[test]
    fn a_new_step_forgets_what_was_taken_back() {
        let mut history = history(&[("One", 0, 1), ("Two", 1, 2)]);
        history.undo();
        history.record("Three".to_owned(), None, 1, 3);
        assert_eq!(history.redo_name(), None);
        assert_eq!(history.undo_name(), Some("Three"));
        assert_eq!(history.undo(), Some(1));
    }

    #[test]
    fn nudges_with_one_key_are_one_step_until_sealed() {
        let mut history = History::default();
        let key = Some("nudge /points/0".to_owned());
        history.record("Move point".to_owned(), key.clone(), 0, 1);
        history.record("Move point".to_owned(), key.clone(), 1, 2);
        history.seal();
        history.record("Move point".to_owned(), key, 2, 3);
        assert_eq!(history.undo(), Some(2));
        assert_eq!(history.undo(), Some(0));
        assert_eq!(history.undo(), None);
    }

    #[test]
    fn a_nudge_after_undo_does_not_merge_into_an_older_one() {
        let mut history = History::default();
        let key = Some("nudge".to_owned());
        history.record("Move".to_owned(), key.clone(), 0, 1);
        history.seal();
        history.record("Move".to_owned(), key.clone(), 1, 2);
        history.undo();
        history.record("Move".to_owned(), key, 1, 5);
        assert_eq!(history.undo(), Some(1));
    }

    #[test]
    fn the_oldest_steps_are_forgotten_beyond_the_limit() {
        let mut history = History::default();
        for i in 0..(LIMIT + 5) {
            history.record(format!("Step {i}"), None, i, i + 1);
        }
        let mut count = 0;
        let mut last = 0;
        while let Some(state) = history.undo() {
            count += 1;
            last = state;
        }
        assert_eq!((count, last), (LIMIT, 5));
    }
}
