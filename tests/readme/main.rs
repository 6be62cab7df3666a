//! Every command shown in README.md is run and must print what is shown.
//!
//! `RECAN_WRITE_README=1 cargo test --test readme` writes the real output in.

#![expect(clippy::unwrap_used, reason = "a test stops where it must")]

use std::{fs, path::Path};

use assert_cmd::Command;

const FENCE: &str = "```console\n";

/// A block that begins with this and a file's name is added to that file.
const ADDED: &str = "```toml ";

/// Writes every file block that stands in `text`.
fn add_files(text: &str, folder: &Path) {
    for block in text.split(ADDED).skip(1) {
        let (name, rest) = block.split_once('\n').unwrap();
        let added = rest.split("```").next().unwrap();
        let path = folder.join(name);
        let before = fs::read_to_string(&path).unwrap_or_default();
        fs::write(path, format!("{before}\n{added}")).unwrap();
    }
}

/// A console block: commands after `$ `, each with what it prints.
fn run_block(block: &str, folder: &Path) -> String {
    let mut shown = String::new();
    for line in block.lines() {
        let Some(command) = line.strip_prefix("$ recan") else { continue };
        let arguments = shell_words::split(command).unwrap();
        let output =
            Command::cargo_bin("recan").unwrap().args(arguments).current_dir(folder).output();
        let output = output.unwrap();
        shown.push_str(line);
        shown.push('\n');
        shown.push_str(&String::from_utf8(output.stdout).unwrap());
        shown.push_str(&String::from_utf8(output.stderr).unwrap());
    }
    shown
}

#[test]
fn shown_output_is_real() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = fs::read_to_string(&path).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let mut real = String::new();
    let mut rest = readme.as_str();
    let mut blocks = 0;
    while let Some(start) = rest.find(FENCE) {
        let (before, block) = rest.split_at(start + FENCE.len());
        let end = block.find("```").expect("a fence that ends");
        real.push_str(before);
        add_files(before, folder.path());
        real.push_str(&run_block(&block[..end], folder.path()));
        rest = &block[end..];
        blocks += 1;
    }
    real.push_str(rest);
    assert!(blocks > 0, "README.md shows no command");
    if std::env::var_os("RECAN_WRITE_README").is_some() {
        fs::write(&path, &real).unwrap();
    }
    assert!(real == readme, "README.md shows something else than is printed:\n{real}");
}
