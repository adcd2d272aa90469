//! Measuring what work costs, and telling it beside an aim.

use std::{
    hint::black_box,
    time::{Duration, Instant},
};

const ROUNDS: usize = 5;
const ROUND: Duration = Duration::from_millis(200);

/// The head of a table of measurements.
pub fn head() {
    print(&format!("{:<58} {:>12}  {:>8}", "", "measured", "aim"));
}

/// Tells one measurement, and whether its aim is reached.
pub fn row(what: &str, measured: Duration, aim: Option<Duration>) {
    let aim_text = aim.map_or_else(String::new, |aim| {
        format!(
            "{:>8}  {}",
            in_words(aim),
            if measured <= aim { "reached" } else { "MISSED" }
        )
    });
    print(&format!(
        "{what:<58} {:>12}  {aim_text}",
        in_words(measured)
    ));
}

fn print(line: &str) {
    use std::io::Write as _;
    // Nothing can be done where even the measurement cannot be printed.
    let _ = writeln!(std::io::stdout(), "{line}");
}

fn in_words(time: Duration) -> String {
    let seconds = time.as_secs_f64();
    if seconds < 0.01 {
        format!("{:.0} µs", seconds * 1e6)
    } else if seconds < 1.0 {
        format!("{:.1} ms", seconds * 1e3)
    } else {
        format!("{seconds:.2} s")
    }
}

/// The time of one call, the best of several rounds of a fifth of a second each: the best says most about the code and
/// least about what else the machine was doing.
pub fn best<R>(mut work: impl FnMut() -> R) -> Duration {
    let round = |_| {
        let started = Instant::now();
        let mut calls = 0;
        while calls == 0 || started.elapsed() < ROUND {
            black_box(work());
            calls += 1;
        }
        started.elapsed() / calls
    };
    (0..ROUNDS).map(round).min().expect("there is a round")
}

/// The time of long work, the best of three.
pub fn best_of_three<R>(mut work: impl FnMut() -> R) -> Duration {
    let once = |_| {
        let started = Instant::now();
        black_box(work());
        started.elapsed()
    };
    (0..3).map(once).min().expect("there is a round")
}
