//! `recan help`, with the list of rules.

use clap::Args;
use recan::{report::text::Page, rules::list::RULES};

use super::{Failure, Reply, command};

/// Shows help on a command, or lists the rules
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// A command, or rules
    #[arg(value_name = "TOPIC")]
    topic: Option<String>,
}

#[derive(Debug, thiserror::Error, miette::Diagnostic)]
#[error("there is no help on {topic}")]
#[diagnostic(help("the topics are rules and the commands: {commands}"))]
struct NoTopic {
    topic: String,
    commands: String,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let mut command = command();
    let page = match arguments.topic.as_deref() {
        None => lines(&command.render_long_help().to_string()),
        Some("rules") => rules(),
        Some(topic) => {
            let names: Vec<String> =
                command.get_subcommands().map(|c| c.get_name().to_owned()).collect();
            let Some(sub) = command.find_subcommand_mut(topic) else {
                let (topic, commands) = (topic.to_owned(), names.join(", "));
                return Err(Failure::input(NoTopic { topic, commands }));
            };
            let name = format!("recan {topic}");
            lines(&sub.clone().bin_name(name).render_long_help().to_string())
        }
    };
    let json = recan::report::json::to_text(&recan::report::json::rules());
    Ok(Reply { page, json, remarks: String::new(), code: 0 })
}

fn lines(text: &str) -> Page {
    let mut page = Page::new();
    text.lines().for_each(|line| page.line(line));
    page
}

fn rules() -> Page {
    let mut page = Page::new();
    for entry in &RULES {
        let unit = if entry.unit.is_empty() { String::new() } else { format!(" [{}]", entry.unit) };
        page.line(entry.id);
        page.labelled("", &format!("{}{unit}", entry.title));
        page.labelled("", &format!("source: {}", entry.source));
    }
    page
}
