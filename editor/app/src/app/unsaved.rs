//! Nothing typed is lost: what is not saved is kept beside the file while a person works, and offered when it was left behind.

use std::{
    io,
    path::{Path, PathBuf},
    sync::Arc,
    thread::{self, JoinHandle},
    time::Duration,
};

use chockstone_library::unsaved::{Found, Keeper, Place, Typed, Unsaved};
use egui::Context;

use super::{App, Contents, Dialog, OpenFile, Trouble, files::file_name};
use crate::{
    document::Document,
    widgets::entry::{self, Editing},
};

/// How often a copy is kept at most, in seconds. With the time that keeping takes, less than two seconds are lost.
const EVERY: f64 = 1.0;

/// What a copy holds: the contents, what is not finished, and what stands in the field being edited.
type Key = (u64, u64, Option<Editing>);

/// What keeps what is not saved.
#[derive(Default)]
pub(super) struct Keeping {
    keeper: Option<Keeper>,
    place: Option<Arc<Place>>,
    /// What the copy holds; none where there is no copy.
    kept: Option<Key>,
    /// When it was kept last, on the window's clock.
    last: f64,
    writing: Option<JoinHandle<io::Result<()>>>,
    /// Whether keeping failed already, so that it is said once.
    failed: bool,
}

impl Keeping {
    /// Waits for a copy that is just being written, and says what became of it.
    fn finish(&mut self) -> io::Result<()> {
        let ended = self.writing.take().map(JoinHandle::join);
        ended.unwrap_or(Ok(Ok(()))).unwrap_or(Ok(()))
    }

    /// Takes the copy away, if there is one.
    fn forget(&mut self) {
        let _ = self.finish();
        if self.kept.take().is_some()
            && let Some(place) = &self.place
        {
            let _ = place.forget();
        }
    }

    /// Begins with another file, or with one that was never saved.
    fn begin(&mut self, file: Option<&Path>) {
        self.forget();
        self.failed = false;
        let keeper = self.keeper.as_ref();
        self.place = keeper.and_then(|k| k.place(file)).map(Arc::new);
    }

    /// Goes on with a copy that another window left behind.
    fn adopt(&mut self, place: Place) {
        self.forget();
        self.failed = false;
        self.place = Some(Arc::new(place));
        // Never a key of this window's: it is written anew.
        self.kept = Some((u64::MAX, 0, None));
    }
}

impl App {
    /// Keeps what is not saved in a folder of the person's own, or beside its file with the lock in that folder.
    #[must_use]
    pub fn keeping_unsaved_in(mut self, folder: impl Into<PathBuf>) -> Self {
        self.keeping.keeper = Some(Keeper::new(folder));
        self
    }

    /// Another file is open now, or none: what was kept of the one before is not needed any more.
    pub(super) fn begin_keeping(&mut self) {
        let Some(file) = &self.open else {
            self.keeping.forget();
            self.keeping.place = None;
            return;
        };
        self.keeping.begin(file.path.as_deref());
    }

    /// Keeps what changed since the last time, once in a while.
    pub(super) fn keep_unsaved(&mut self, context: &Context) {
        let (Some(file), Some(_)) = (&self.open, &self.keeping.place) else {
            return;
        };
        let editing = entry::being_edited(context);
        if self.leaving || (!file.is_unsaved() && editing.is_none()) {
            self.keeping.forget();
            return;
        }
        let key = (
            file.contents.revision(),
            file.form.draft_revision(),
            editing,
        );
        if self.keeping.kept.as_ref() == Some(&key) {
            self.notice_failure();
            return;
        }
        let now = context.input(|i| i.time);
        let writing = self.keeping.writing.as_ref();
        let is_writing = writing.is_some_and(|w| !w.is_finished());
        let due = self.keeping.last + EVERY;
        if is_writing || now < due {
            let wait = (due - now).max(0.05);
            context.request_repaint_after(Duration::from_secs_f64(wait));
            return;
        }
        self.notice_failure();
        let unsaved = self.unsaved(key.2.as_ref());
        if let (Some(unsaved), Some(place)) = (unsaved, &self.keeping.place) {
            let place = Arc::clone(place);
            let named = thread::Builder::new().name("unsaved".to_owned());
            self.keeping.writing = named.spawn(move || place.keep(&unsaved)).ok();
            self.keeping.kept = Some(key);
            self.keeping.last = now;
        }
    }

    /// Says once that keeping does not work, and keeps in the person's own folder instead where that is possible.
    fn notice_failure(&mut self) {
        let keeping = &mut self.keeping;
        if keeping.writing.as_ref().is_none_or(|w| !w.is_finished()) {
            return;
        }
        let Err(error) = keeping.finish() else {
            return;
        };
        if std::mem::replace(&mut keeping.failed, true) {
            return;
        }
        keeping.kept = None;
        let path = self.open.as_ref().and_then(|file| file.path.as_deref());
        let keeper = keeping.keeper.as_ref();
        if let Some(place) = path.and_then(|path| keeper?.own_place(path)) {
            keeping.place = Some(Arc::new(place));
            self.say("This folder cannot be written: unsaved changes are kept in your own folder");
        } else {
            self.say(format!(
                "Unsaved changes cannot be kept: {error}. Save often"
            ));
        }
    }

    fn unsaved(&self, editing: Option<&Editing>) -> Option<Unsaved> {
        let file = self.open.as_ref()?;
        let typing = editing.map(|editing| Typed {
            field: serde_json::to_value(editing.field).unwrap_or_default(),
            name: editing.name.clone(),
            shown: editing.shown.clone(),
            text: editing.text.clone(),
        });
        Some(Unsaved {
            program: env!("CARGO_PKG_VERSION").to_owned(),
            at: self.clock.now(),
            is_profile: file.contents.profile().is_some(),
            file: file.path.clone(),
            base: file.contents.saved_value().cloned(),
            base_sha256: file.sha256_on_disk(),
            contents: file.contents.value().clone(),
            unfinished: file.form.unfinished(),
            typing: typing.into_iter().collect(),
        })
    }

    /// Whether another window works on a file.
    pub(super) fn is_open_elsewhere(&self, path: &Path) -> bool {
        let keeper = self.keeping.keeper.as_ref();
        let own = self.open.as_ref().and_then(|file| file.path.as_deref()) == Some(path);
        !own && keeper.is_some_and(|keeper| keeper.is_held_elsewhere(path))
    }

    /// The newest copy that was left behind of a file, or of what was never saved.
    pub(super) fn left_behind(&self, path: Option<&Path>) -> Option<Found> {
        let keeper = self.keeping.keeper.as_ref()?;
        let found = keeper.left_behind(path).into_iter();
        found.max_by_key(|found| found.unsaved.as_ref().map(|u| u.at).ok())
    }

    /// Offers what was never saved and left behind.
    pub(crate) fn offer_new_ones(&mut self) {
        if self.dialog.is_none()
            && let Some(found) = self.left_behind(None)
        {
            self.dialog = Some(Dialog::LeftBehind(Box::new(LeftBehind {
                file: None,
                found,
            })));
        }
    }

    /// Goes on with what was left behind, over the file as it is now.
    pub(super) fn take_up(&mut self, context: &Context, left: LeftBehind) {
        let Found { place, unsaved } = left.found;
        let outcome = unsaved.and_then(|unsaved| {
            let file = recovered(left.file, &unsaved)?;
            Ok((file, unsaved))
        });
        match outcome {
            Ok((file, unsaved)) => {
                self.show_file(file);
                self.keeping.adopt(place);
                restore_typing(context, &unsaved.typing);
                self.show_conflicts("Here is what was not saved. Save it to keep it");
            }
            Err(why) => {
                let title = "What was not saved cannot be brought back".to_owned();
                let lines = vec![why, format!("The copy stays: {}", place.path().display())];
                self.dialog = Some(Dialog::Trouble(Trouble { title, lines }));
            }
        }
    }

    /// Says something, or that parts were changed in two ways, on the page where that is decided.
    pub(super) fn show_conflicts(&mut self, otherwise: &str) {
        let conflicts = self
            .open
            .as_ref()
            .and_then(|file| file.contents.value().get("conflicts"));
        let conflicts = conflicts
            .and_then(serde_json::Value::as_array)
            .map_or(0, Vec::len);
        if conflicts > 0 {
            self.show_page(crate::pages::Page::Compare);
            self.say("Parts were changed in two ways: choose above");
        } else {
            self.say(otherwise);
        }
    }

    /// Looks at the file again when the window comes to the front: another program may have written it.
    pub(super) fn look_at_disk(&mut self, context: &Context) {
        let came_back = context.input(|i| {
            let focused = |e: &egui::Event| matches!(e, egui::Event::WindowFocused(true));
            i.events.iter().any(focused)
        });
        if !came_back || self.dialog.is_some() {
            return;
        }
        let Some(file) = &mut self.open else {
            return;
        };
        let Some(theirs) = file.news_on_disk() else {
            return;
        };
        if file.is_unsaved() || entry::being_edited(context).is_some() {
            self.dialog = Some(Dialog::ChangedElsewhere(None));
            return;
        }
        let name = file.name();
        match file.read_again(&theirs) {
            Ok(()) => self.say(format!(
                "Another program has written {name}: it was read again"
            )),
            Err(trouble) => self.dialog = Some(Dialog::Trouble(trouble)),
        }
    }

    /// Puts what another program wrote and what was changed here together.
    pub(super) fn bring_together(&mut self) {
        let Some(file) = &mut self.open else {
            return;
        };
        match file.bring_together() {
            Ok(()) => self.show_conflicts("Both are together now. Look at them and save"),
            Err(trouble) => self.dialog = Some(Dialog::Trouble(trouble)),
        }
    }
}

/// What was left behind, and the file that it belongs to as it is now.
pub struct LeftBehind {
    /// The file; none for what was never saved.
    pub(super) file: Option<OpenFile>,
    /// The copy.
    pub(super) found: Found,
}

impl LeftBehind {
    /// What the copy is about: the file's name, or the vehicle's.
    pub(super) fn name(&self) -> String {
        let path = self.file.as_ref().and_then(|file| file.path.as_deref());
        path.map_or_else(|| "A file that was never saved".to_owned(), file_name)
    }

    /// Whether another program has changed the file since the copy was kept.
    pub(super) fn is_behind(&self) -> bool {
        let now = self.file.as_ref().and_then(OpenFile::sha256_on_disk);
        let then = self.found.unsaved.as_ref().ok();
        now.is_some() && then.is_some_and(|unsaved| unsaved.base_sha256 != now)
    }

    /// What the copy holds that the file does not, one sentence each.
    pub(super) fn told(&self) -> Vec<String> {
        let unsaved = match &self.found.unsaved {
            Ok(unsaved) => unsaved,
            Err(why) => return vec![format!("The copy cannot be read: {why}")],
        };
        let mut told = vec![format!("It was kept at {}.", unsaved.at)];
        if let Some(base) = unsaved.base.as_ref().filter(|_| unsaved.is_profile) {
            told.push(match changes(base, &unsaved.contents) {
                0 => "No change in meaning.".to_owned(),
                1 => "1 change was not saved.".to_owned(),
                many => format!("{many} changes were not saved."),
            });
        }
        if !unsaved.unfinished.is_null() {
            told.push("Parts that were not finished are among it.".to_owned());
        }
        for typed in &unsaved.typing {
            told.push(format!("Being typed in “{}”: {}", typed.name, typed.text));
        }
        if self.is_behind() {
            told.push(
                "Another program has written the file since then. Both are put together, and parts that were changed \
                 in two ways are shown for choosing."
                    .to_owned(),
            );
        }
        told
    }
}

impl std::fmt::Debug for LeftBehind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("LeftBehind")
    }
}

fn changes(base: &serde_json::Value, contents: &serde_json::Value) -> usize {
    chockstone_library::difference::of_values(base, contents)
        .changes
        .len()
}

/// The file with what was not saved in it, as one step that can be taken back.
fn recovered(file: Option<OpenFile>, unsaved: &Unsaved) -> Result<OpenFile, String> {
    let mut file = match file {
        Some(mut file) => {
            file.take_over(unsaved.base.as_ref(), &unsaved.contents)?;
            file
        }
        None => OpenFile::new(never_saved(unsaved)?),
    };
    file.form.restore_unfinished(unsaved.unfinished.clone())?;
    Ok(file)
}

fn never_saved(unsaved: &Unsaved) -> Result<Contents, String> {
    Ok(if unsaved.is_profile {
        Contents::Profile(Document::new(super::open_file::read_value(
            &unsaved.contents,
        )?))
    } else {
        Contents::Equipment(Document::new(super::open_file::read_value(
            &unsaved.contents,
        )?))
    })
}

/// Puts texts back into their fields. They were never handed over, so each stands there with that said under it.
fn restore_typing(context: &Context, typing: &[Typed]) {
    for typed in typing {
        if let Ok(field) = serde_json::from_value(typed.field.clone()) {
            let why = "it was being typed when the program ended. Go into the field and leave it to take it over";
            entry::put_back(context, field, &typed.shown, typed.text.clone(), why);
        }
    }
}
