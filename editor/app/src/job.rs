//! Work that takes longer than a frame: done on a thread of its own, its answer dropped when something else is asked by
//! then.

use std::{
    sync::mpsc::{self, Receiver, TryRecvError},
    thread,
};

use egui::Context;

/// One kind of work. At most one thread works for it at a time: what is asked meanwhile waits for that to end.
pub struct Job<K, T> {
    name: &'static str,
    running: Option<(K, Receiver<T>)>,
    done: Option<(K, T)>,
}

impl<K: Clone + PartialEq, T: Send + 'static> Job<K, T> {
    /// Work of a kind; the name is its thread's.
    pub fn new(name: &'static str) -> Self {
        Self {
            name,
            running: None,
            done: None,
        }
    }

    /// The answer for a key, once it is there. Begins the work where nobody has asked for this key yet, and draws the
    /// window again when it is done.
    pub fn ask<W>(&mut self, context: &Context, key: &K, work: impl FnOnce() -> W) -> Option<&T>
    where
        W: FnOnce() -> T + Send + 'static,
    {
        self.receive();
        let known = self.done.as_ref().is_some_and(|(of, _)| of == key);
        if !known && self.running.is_none() {
            self.begin(context, key.clone(), work());
        }
        self.answer(key)
    }

    /// The answer for a key, where it is there.
    pub fn answer(&self, key: &K) -> Option<&T> {
        let done = self.done.as_ref().filter(|(of, _)| of == key);
        done.map(|(_, answer)| answer)
    }

    fn begin(&mut self, context: &Context, key: K, work: impl FnOnce() -> T + Send + 'static) {
        let (sender, receiver) = mpsc::sync_channel(1);
        let wake = context.clone();
        let started = thread::Builder::new()
            .name(self.name.to_owned())
            .spawn(move || {
                // Nobody listens any more after the window was closed.
                let _ = sender.send(work());
                wake.request_repaint();
            });
        if started.is_ok() {
            self.running = Some((key, receiver));
        } else {
            // The system has no thread to give now: asked again with the next frame.
            context.request_repaint_after(std::time::Duration::from_secs(1));
        }
    }

    fn receive(&mut self) {
        let Some((key, receiver)) = self.running.take() else {
            return;
        };
        match receiver.try_recv() {
            Ok(answer) => self.done = Some((key, answer)),
            Err(TryRecvError::Empty) => self.running = Some((key, receiver)),
            Err(TryRecvError::Disconnected) => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    fn wait(job: &mut Job<u8, u8>, key: u8) -> u8 {
        let context = Context::default();
        for _ in 0..2000 {
            if let Some(answer) = job.ask(&context, &key, || move || key * 2) {
                return *answer;
            }
            thread::sleep(Duration::from_millis(1));
        }
        0
    }

    #[test]
    fn the_answer_comes_later_and_is_kept() {
        let mut job = Job::new("test");
        assert_eq!(wait(&mut job, 4), 8);
        assert_eq!(job.answer(&4), Some(&8));
    }

    #[test]
    fn an_answer_to_an_older_question_is_never_shown() {
        let mut job = Job::new("test");
        let context = Context::default();
        assert_eq!(job.ask(&context, &1, || || 2), None);
        assert_eq!(wait(&mut job, 3), 6);
        assert_eq!(job.answer(&1), None);
    }
}
