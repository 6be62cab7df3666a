//! One run of the program: its exit, its JSON, its time and its memory.

use std::{
    fs::{self, File},
    process::{Child, Command, Stdio},
    thread,
    time::{Duration, Instant},
};

use serde_json::Value;
use tempfile::TempDir;

use super::facts::Job;

const MOST_TIME: Duration = Duration::from_secs(10);
/// The search's bound, the study apart.
const MOST_SOLVES: u64 = 2000;
const MOST_MEMORY_KB: u64 = 200 * 1024;

/// A job's text in a folder of its own.
#[derive(Debug)]
pub(crate) struct Bench {
    folder: TempDir,
    /// Which can is meant, where the job has several.
    can: Option<String>,
}

#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) document: Value,
    pub(crate) seconds: f64,
    /// As last seen while it ran; 0 where the machine doesn't tell.
    pub(crate) peak_kb: u64,
}

impl Bench {
    pub(crate) fn of(job: &Job, text: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder can be made");
        fs::write(folder.path().join("job.toml"), text).expect("the job can be written");
        let document: toml::Table = job.text.parse().expect("a job's text is TOML");
        let cans = document["can"].as_array().expect("a job has cans");
        let first = cans[0].get("name").and_then(toml::Value::as_str);
        Self { folder, can: first.filter(|_| cans.len() > 1).map(str::to_owned) }
    }

    pub(crate) fn run(&self, command: &str, more: &[String]) -> Result<Ran, String> {
        let path = self.folder.path().join("stdout");
        let stdout = File::create(&path).expect("a file can be made");
        let mut program = Command::new(env!("CARGO_BIN_EXE_recan"));
        program.args([command, "--job", "job.toml", "--format", "json"]).args(more);
        if command == "sets" || command == "check" {
            program.args(["--draws", "0", "--no-ask"]);
            program.args(self.can.iter().flat_map(|can| ["--can", can]));
        }
        program.current_dir(self.folder.path()).stdin(Stdio::null()).stdout(stdout);
        let begun = Instant::now();
        let mut child = program.stderr(Stdio::null()).spawn().expect("the program starts");
        let mut peak_kb = 0;
        let status = loop {
            peak_kb = peak_kb.max(peak(&child));
            if let Some(status) = child.try_wait().expect("a child can be waited for") {
                break status;
            }
            if begun.elapsed() > MOST_TIME {
                let _ = child.kill();
                let _ = child.wait();
                return Err(format!("`{command}` takes over {MOST_TIME:?}"));
            }
            thread::sleep(Duration::from_millis(2));
        };
        let seconds = begun.elapsed().as_secs_f64();
        let code = status.code().ok_or_else(|| format!("`{command}` was ended by a signal"))?;
        let stdout = fs::read_to_string(&path).map_err(|error| error.to_string())?;
        let document = serde_json::from_str(&stdout)
            .map_err(|error| format!("`{command}` exit {code}, no JSON: {error}"))?;
        Ok(Ran { code, document, seconds, peak_kb })
    }
}

/// The most memory so far, where `/proc` tells.
fn peak(child: &Child) -> u64 {
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let figure = line.and_then(|line| line.split_whitespace().next());
    figure.and_then(|figure| figure.parse().ok()).unwrap_or(0)
}

impl Ran {
    /// What no answer may be, whatever was told.
    pub(crate) fn unsound(&self, codes: &[i32]) -> Vec<String> {
        let mut problems = Vec::new();
        let schema = self.document["schema"].as_str().unwrap_or_default();
        if !codes.contains(&self.code) {
            let says = self.document["says"].as_str().unwrap_or_default();
            problems.push(format!("exit {}: {says}", self.code));
        }
        if (self.code >= 2) != schema.starts_with("recan.error/") {
            problems.push(format!("exit {} with schema {schema:?}", self.code));
        }
        if schema.starts_with("recan.sets/") {
            match self.document.pointer("/search/solves").and_then(Value::as_u64) {
                Some(solves) if solves <= MOST_SOLVES => {}
                Some(solves) => problems.push(format!("{solves} solves")),
                None => problems.push("search.solves is not told".to_owned()),
            }
        }
        if self.peak_kb > MOST_MEMORY_KB {
            problems.push(format!("{} MB", self.peak_kb / 1024));
        }
        problems
    }

    /// Of the set that `check` was given.
    pub(crate) fn verdict(&self) -> Option<&str> {
        self.document.pointer("/set/verdict")?.as_str()
    }

    /// Whether a rule gave more than "not judged" anywhere.
    pub(crate) fn judges(&self, rule: &str) -> bool {
        let set = &self.document["set"];
        let of = |value: &Value| value["findings"].as_array().cloned().unwrap_or_default();
        let sections = set["sections"].as_array().cloned().unwrap_or_default();
        let mut findings = sections.iter().flat_map(of).chain(of(set));
        findings.any(|finding| {
            finding["rule"].as_str() == Some(rule)
                && matches!(finding["verdict"].as_str(), Some("pass" | "caution" | "fail"))
        })
    }
}
