//! Job files: the examples, and every kind of broken text.

use recan::{
    can::{Can, Colour, Mark, Section},
    job::{Job, JobErrors, Refused, read},
    quantity::{microfarads, volts},
    stamping::Reading,
};

mod any_input;
mod examples;

/// A job file with every table and key that may stand together.
const FULL: &str = include_str!("full.toml");

/// A section's mark, microfarads and working volts.
type Stamped = (Option<Mark>, f64, f64);

const RED: Option<Mark> = Some(Mark::Colour(Colour::Red));

fn can(sections: &[Stamped]) -> Can {
    let section = |&(mark, uf, v): &Stamped| Section {
        mark,
        capacitance: microfarads(uf),
        rated: volts(v),
        surge: None,
    };
    Can::new(sections.iter().map(section).collect()).expect("a can")
}

/// Reads a file whose every can is `can`.
fn read_with(can: &Can, text: &str) -> Result<Job, JobErrors> {
    let stamping = |_: usize, _: &str| -> Result<Reading, Refused> {
        Ok(Reading {
            can: can.clone(),
            questions: Vec::new(),
            assumed: Vec::new(),
            ignored: Vec::new(),
            notices: Vec::new(),
        })
    };
    read("job.toml", text, &stamping)
}

/// The can of the full example.
fn usual() -> Can {
    can(&[
        (Some(Mark::HalfRound), 40.0, 450.0),
        (Some(Mark::Square), 40.0, 450.0),
        (Some(Mark::Triangle), 20.0, 450.0),
        (Some(Mark::Plain), 20.0, 25.0),
    ])
}

fn shown(errors: &JobErrors) -> String {
    let theme = miette::GraphicalTheme::unicode_nocolor();
    let handler = miette::GraphicalReportHandler::new_themed(theme).with_width(80);
    let mut out = String::new();
    for error in errors.errors() {
        handler.render_report(&mut out, error).expect("a report");
    }
    out
}
