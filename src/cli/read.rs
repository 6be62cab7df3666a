//! `recan read`.

use clap::Args;
use recan::{
    answer,
    report::{json, text},
};

use super::{Failure, Reply, arguments::StampingArguments, stamped::stamped};

/// Says how a stamping was understood, assumed, ignored and asked
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    stamping: StampingArguments,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let stamped = stamped(&arguments.stamping)?;
    Ok(Reply {
        page: text::read::page(&stamped),
        json: json::to_text(&answer::stamped::read(&stamped)),
        remarks: String::new(),
        code: 0,
    })
}
