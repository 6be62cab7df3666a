//! Runs a bench, and writes its medians into the README where that is asked:
//! `RECAN_WRITE_README=1 cargo bench --bench supply`.

mod rows;

use std::{env, fs, io::Write, process::Command};

/// The main function of the bench named `bench`, whose functions are divan's.
#[allow(dead_code, reason = "not every bench is")]
pub(crate) fn main(bench: &str) {
    with(bench, divan::main);
}

/// The main function of the bench named `bench`, which `measure`s and prints.
pub(crate) fn with(bench: &str, measure: fn()) {
    if env::var_os("RECAN_WRITE_README").is_none() {
        return measure();
    }
    // The same program measures; its table is read from what it prints.
    let program = env::current_exe().expect("this program");
    let mut measuring = Command::new(program);
    measuring.arg("--bench").env_remove("RECAN_WRITE_README").env("NO_COLOR", "1");
    let output = measuring.output().expect("the bench runs");
    assert!(output.status.success(), "the bench failed");
    let printed = String::from_utf8(output.stdout).expect("text");
    std::io::stdout().write_all(printed.as_bytes()).expect("a place to print");
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/README.md");
    let readme = fs::read_to_string(path).expect("the README");
    let written = rows::rewritten(&readme, bench, &printed).expect("each row and its median");
    fs::write(path, written).expect("the README can be written");
}
