//! `recan near`.

use clap::Args;
use recan::{
    quantity::{Capacitance, Inductance, Resistance},
    report::{json, near::Near, text},
    value::Value,
};

use super::{Failure, Reply};

/// Shows the neighbours of a value in the IEC 60063 series, with the error of each
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// A capacitance, a resistance or an inductance: 40, 40uF, 1k2, 8 H
    #[arg(value_name = "VALUE", value_parser = super::hyphen::text)]
    value: String,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let text = &arguments.value;
    let near = near(text)?;
    Ok(Reply {
        page: text::near::page(&near),
        json: json::to_text(&json::near(&near)),
        remarks: String::new(),
        code: 0,
    })
}

/// A capacitance where the text is one, as a bare number is; else a resistance,
/// else an inductance.
fn near(text: &str) -> Result<Near, Failure> {
    let error = match Capacitance::read_fully(text) {
        Ok(c) => return Ok(Near::of_capacitance(c.value).noted(&c.remarks)),
        Err(error) => error,
    };
    match (Resistance::read_fully(text), Inductance::read_fully(text)) {
        (Ok(r), _) => Ok(Near::of_resistance(r.value).noted(&r.remarks)),
        (_, Ok(l)) => Ok(Near::of_inductance(l.value).noted(&l.remarks)),
        _ => Err(Failure::input(error)),
    }
}
