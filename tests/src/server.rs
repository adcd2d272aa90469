//! Servers of outside packages on this very machine, which end with the test.

use std::{
    io::{BufRead as _, BufReader, Write as _},
    process::{Child, Stdio},
};

use serde_json::Value;

use crate::outside;

/// A running server. It ends when this is dropped, for its standard input ends then.
#[derive(Debug)]
pub struct Server {
    child: Child,
    /// Its address: `http://127.0.0.1:PORT`.
    pub address: String,
}

impl Server {
    /// Starts what a question asks for (see `tests/reference/store_server.py`); `None` where its package is not installed.
    pub fn start(question: &Value) -> Option<Self> {
        let script = outside::python("store_server.py")?;
        let mut child = script
            .command()
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the server starts");
        let input = child.stdin.as_mut().expect("standard input is piped");
        writeln!(input, "{question}").expect("the server reads");
        let output = child.stdout.take().expect("standard output is piped");
        let mut line = String::new();
        BufReader::new(output)
            .read_line(&mut line)
            .expect("the server tells its port");
        let told: Value = serde_json::from_str(&line).expect("the server tells its port as JSON");
        Some(Self {
            address: format!("http://127.0.0.1:{}", told["port"]),
            child,
        })
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        drop(self.child.stdin.take());
        // It is gone already where this fails.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
