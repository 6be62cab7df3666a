//! Puts a question, where a person is there to answer.

use std::io::{BufRead, IsTerminal, Read};

use console::Term;
use recan::{
    report::text::{self, Page},
    stamping::Question,
};

/// Longest line that is read as an answer.
const MOST_BYTES: u64 = 4096;

/// Whether stdin and stderr are both terminals.
pub(crate) fn is_possible() -> bool {
    std::io::stdin().is_terminal() && std::io::stderr().is_terminal()
}

/// The reading that was chosen, from 1; `None` for "don't know" or where nobody answers.
///
/// A plain line is read, so that an interrupt leaves the terminal as it was and
/// Enter alone chooses nothing.
pub(crate) fn reading(question: &Question) -> Option<usize> {
    let mut page = Page::new();
    text::read::ask(question, &mut page);
    let term = Term::stderr();
    term.write_str(&page.into_text()).ok()?;
    loop {
        term.write_str("Number, or Enter for don't know: ").ok()?;
        let mut line = String::new();
        let read = std::io::stdin().lock().take(MOST_BYTES).read_line(&mut line).ok()?;
        match line.trim().parse::<usize>() {
            Ok(n) if (1..=question.readings.len()).contains(&n) => return Some(n),
            _ if read == 0 || line.trim().is_empty() => return None,
            _ => term.write_line(&format!("1 to {} please", question.readings.len())).ok()?,
        }
    }
}
