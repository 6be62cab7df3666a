//! Puts a question, where a person is there to answer.

use std::io::IsTerminal;

use dialoguer::{Select, theme::ColorfulTheme};
use recan::stamping::Question;

/// Whether stdin and stderr are both terminals.
pub(crate) fn is_possible() -> bool {
    std::io::stdin().is_terminal() && std::io::stderr().is_terminal()
}

/// The reading that was chosen, from 1; `None` for "don't know" or where nobody answers.
pub(crate) fn reading(question: &Question) -> Option<usize> {
    let mut items: Vec<&str> = question.readings.iter().map(|r| r.says.as_str()).collect();
    items.push("don't know");
    let theme = ColorfulTheme::default();
    let select = Select::with_theme(&theme).with_prompt(&question.asks).items(&items).default(0);
    let chosen = select.interact_opt().ok().flatten()?;
    (chosen < question.readings.len()).then_some(chosen + 1)
}
