//! A person at the keyboard of a pseudo-terminal.

use std::{
    os::unix::process::ExitStatusExt,
    path::Path,
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use expectrl::{Eof, Expect, Session, process::unix::WaitStatus};

/// Longest that a screen, or the end, may take on a slow machine.
const PATIENCE: Duration = Duration::from_secs(20);
/// As a shell starts what it puts into the background.
pub(crate) const IGNORING: [&str; 4] = ["sh", "-c", "trap '' INT; exec \"$@\"", "sh"];

/// Words before a program, such that an interrupt ends it as it does in a terminal's own
/// shell: where it comes ignored from the parent, something must set it right again.
#[track_caller]
fn interruptible(before: &[&str]) -> Vec<String> {
    let ways: [&[&str]; 3] = [
        &[],
        &["env", "--default-signal=INT"],
        &["perl", "-e", "$SIG{INT} = 'DEFAULT'; exec { $ARGV[0] } @ARGV"],
    ];
    let words = |way: &[&str]| before.iter().chain(way).map(|word| (*word).to_owned()).collect();
    let ends = |words: &Vec<String>| {
        let mut command = started(words, "sh");
        command.args(["-c", "kill -INT $$; exit 0"]).stdin(Stdio::null()).stderr(Stdio::null());
        command.status().is_ok_and(|status| status.signal() == Some(2))
    };
    let found = ways.into_iter().map(words).find(ends);
    found.unwrap_or_else(|| unreachable!("interrupts come ignored; install env of coreutils 8.31"))
}

/// A program behind the words that start it.
fn started(words: &[String], program: &str) -> Command {
    let mut all = words.iter().map(String::as_str).chain([program]);
    let mut command = Command::new(all.next().unwrap());
    command.args(all);
    command
}

/// A person at the keyboard.
pub(crate) struct Person {
    pub(crate) session: expectrl::session::OsSession,
}

impl Person {
    #[track_caller]
    pub(crate) fn opens(folder: &Path, more: &[&str]) -> Self {
        Self::opens_behind(&[], folder, more)
    }

    #[track_caller]
    pub(crate) fn opens_behind(before: &[&str], folder: &Path, more: &[&str]) -> Self {
        let mut command = started(&interruptible(before), env!("CARGO_BIN_EXE_recan"));
        command.arg("open").arg(folder).args(more).env("NO_COLOR", "1").env("TERM", "xterm");
        let mut session = Session::spawn(command).unwrap();
        session.set_expect_timeout(Some(PATIENCE));
        Self { session }
    }

    /// Waits for words on the screen, then for the prompt.
    #[track_caller]
    pub(crate) fn is_asked(&mut self, words: &str) -> &mut Self {
        self.sees(words).sees("Answer: ")
    }

    #[track_caller]
    pub(crate) fn sees(&mut self, words: &str) -> &mut Self {
        if let Err(error) = self.session.expect(words) {
            unreachable!("waited for `{words}`: {error}");
        }
        self
    }

    #[track_caller]
    pub(crate) fn says(&mut self, line: &str) -> &mut Self {
        self.session.send_line(line).unwrap();
        self
    }

    /// Answers `?` until the words are on the screen.
    #[track_caller]
    pub(crate) fn knows_nothing_until(&mut self, words: &str) -> &mut Self {
        for _ in 0..60 {
            let found = self.session.expect(expectrl::Any::boxed(vec![
                Box::new(words.to_owned()),
                Box::new("Answer: "),
            ]));
            let found = found.unwrap();
            if found.get(0).is_some_and(|m| m == words.as_bytes()) {
                return self;
            }
            self.says("?");
        }
        unreachable!("never asked for {words}");
    }

    /// The exit code; every answer was given.
    #[track_caller]
    pub(crate) fn leaves(&mut self) -> i32 {
        self.session.expect(Eof).unwrap();
        let start = Instant::now();
        loop {
            match self.session.get_process().status().unwrap() {
                WaitStatus::Exited(_, code) => return code,
                WaitStatus::Signaled(_, signal, _) => return 128 + signal as i32,
                WaitStatus::StillAlive if start.elapsed() < PATIENCE => {
                    std::thread::sleep(Duration::from_millis(2));
                }
                other => unreachable!("it does not end: {other:?}"),
            }
        }
    }
}
