//! What the window needs of the world around it, so that tests can stand in for it.

use std::{
    future::Future,
    path::PathBuf,
    pin::{Pin, pin},
    sync::{Arc, mpsc},
    task::{Context as TaskContext, Poll, Wake, Waker},
    thread::{self, Thread},
    time::SystemTime,
};

use chockstone_schema::date::Moment;

/// What a file dialog is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PickRequest {
    /// One file to open.
    OpenFile {
        /// Where the dialog begins.
        folder: Option<PathBuf>,
    },
    /// A profile or the bundle of a release to compare with.
    OpenCompared {
        /// Where the dialog begins.
        folder: Option<PathBuf>,
    },
    /// One folder to show.
    OpenFolder {
        /// Where the dialog begins.
        folder: Option<PathBuf>,
    },
    /// A place for the contents.
    Save {
        /// Where the dialog begins.
        folder: Option<PathBuf>,
        /// The name proposed.
        name: String,
    },
}

/// Asks a person for a file or a folder.
pub trait FilePicker {
    /// Opens a dialog. The answer comes later; `wake` draws the window again when it is there.
    fn ask(&mut self, request: PickRequest, wake: egui::Context);

    /// The answer, once it is there: a path, or none when the person gave up.
    fn answer(&mut self) -> Option<Option<PathBuf>>;
}

/// Tells the time.
pub trait Clock {
    /// Now.
    fn now(&self) -> Moment;
}

/// The clock of the machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemClock;

impl Clock for SystemClock {
    fn now(&self) -> Moment {
        let since = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH);
        // A clock before 1970 is wrong in any case.
        Moment::from_unix_seconds(since.map_or(0, |d| d.as_secs()))
    }
}

type Dialog = Pin<Box<dyn Future<Output = Option<rfd::FileHandle>> + Send>>;

/// The dialogs of the system.
#[derive(Debug, Default)]
pub struct NativePicker {
    answer: Option<mpsc::Receiver<Option<PathBuf>>>,
}

impl FilePicker for NativePicker {
    fn ask(&mut self, request: PickRequest, wake: egui::Context) {
        // Some systems allow dialogs to be made on the window's own thread only; waiting is done elsewhere, so that
        // the window goes on drawing.
        let dialog = native_dialog(request);
        let (sender, receiver) = mpsc::sync_channel(1);
        let waiting = thread::Builder::new().name("file dialog".to_owned());
        let started = waiting.spawn(move || {
            let picked = wait_for(dialog).map(|handle| handle.path().to_owned());
            // A closed window no longer listens.
            let _ = sender.send(picked);
            wake.request_repaint();
        });
        self.answer = started.is_ok().then_some(receiver);
    }

    fn answer(&mut self) -> Option<Option<PathBuf>> {
        match self.answer.as_ref()?.try_recv() {
            Ok(picked) => {
                self.answer = None;
                Some(picked)
            }
            Err(mpsc::TryRecvError::Empty) => None,
            Err(mpsc::TryRecvError::Disconnected) => {
                self.answer = None;
                Some(None)
            }
        }
    }
}

fn native_dialog(request: PickRequest) -> Dialog {
    let dialog = |title: &str, folder: Option<PathBuf>| {
        let dialog = rfd::AsyncFileDialog::new().set_title(title);
        match folder {
            Some(folder) => dialog.set_directory(folder),
            None => dialog,
        }
    };
    match request {
        PickRequest::OpenFile { folder } => Box::pin(
            dialog("Open a profile or a piece of equipment", folder)
                .add_filter("Profiles and equipment", &["ron", "json"])
                .pick_file(),
        ),
        PickRequest::OpenCompared { folder } => Box::pin(
            dialog("Compare with a profile or a release", folder)
                .add_filter("Profiles and releases", &["ron", "json", "zip"])
                .pick_file(),
        ),
        PickRequest::OpenFolder { folder } => {
            Box::pin(dialog("Open a folder of profiles and equipment", folder).pick_folder())
        }
        PickRequest::Save { folder, name } => {
            Box::pin(dialog("Save as", folder).set_file_name(name).save_file())
        }
    }
}

struct Unpark(Thread);

impl Wake for Unpark {
    fn wake(self: Arc<Self>) {
        self.0.unpark();
    }
}

/// Waits on this thread until a future is done.
fn wait_for<T>(future: impl Future<Output = T>) -> T {
    let mut future = pin!(future);
    let waker = Waker::from(Arc::new(Unpark(thread::current())));
    let mut context = TaskContext::from_waker(&waker);
    loop {
        match future.as_mut().poll(&mut context) {
            Poll::Ready(value) => return value,
            Poll::Pending => thread::park(),
        }
    }
}

/// Stand-ins for tests.
pub mod scripted {
    use std::collections::VecDeque;

    use super::{Clock, FilePicker, Moment, PathBuf, PickRequest};

    /// Answers dialogs from a list, in order; a person who gives up when the list is empty.
    #[derive(Debug, Default)]
    pub struct ScriptedPicker {
        answers: VecDeque<PathBuf>,
        asked: Option<PickRequest>,
    }

    impl ScriptedPicker {
        /// Answers with these paths.
        pub fn new(answers: impl IntoIterator<Item = PathBuf>) -> Self {
            Self {
                answers: answers.into_iter().collect(),
                asked: None,
            }
        }
    }

    impl FilePicker for ScriptedPicker {
        fn ask(&mut self, request: PickRequest, wake: egui::Context) {
            self.asked = Some(request);
            wake.request_repaint();
        }

        fn answer(&mut self) -> Option<Option<PathBuf>> {
            self.asked.take().map(|_| self.answers.pop_front())
        }
    }

    /// A clock that stands still.
    #[derive(Debug, Clone)]
    pub struct StillClock(pub Moment);

    impl Clock for StillClock {
        fn now(&self) -> Moment {
            self.0
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn waiting_for_a_future_that_is_woken_from_another_thread_ends() {
        struct Later(Option<thread::JoinHandle<()>>);
        impl Future for Later {
            type Output = u8;
            fn poll(mut self: Pin<&mut Self>, context: &mut TaskContext<'_>) -> Poll<u8> {
                match self.0.take() {
                    Some(done) if done.is_finished() => Poll::Ready(7),
                    running => {
                        let waker = context.waker().clone();
                        let work = running.unwrap_or_else(|| thread::spawn(|| ()));
                        thread::spawn(move || waker.wake());
                        self.0 = Some(work);
                        Poll::Pending
                    }
                }
            }
        }
        assert_eq!(wait_for(Later(None)), 7);
    }
}
