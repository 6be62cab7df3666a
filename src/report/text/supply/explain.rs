//! Each figure of a supply with its method, its inputs and its source.

use super::super::{
    figure,
    page::{Page, bold},
};
use crate::{
    job::SourceResistance,
    powered::{LEFT_OUT, Powered},
    quantity::{in_hertz, in_microfarads, in_ohms, in_volts},
    supply::Law,
    value::Value,
};

/// The page of `--explain`.
#[must_use]
pub fn page(powered: &Powered<'_>) -> Page {
    let mut page = Page::new();
    page.gap();
    page.line(bold("besides"));
    super::besides(powered, &mut page);
    page.gap();
    page.line(bold("what went in"));
    inputs(powered, &mut page);
    page.gap();
    page.line(bold("by hand"));
    super::worked::page(powered, &mut page);
    page.gap();
    page.line(bold("how each figure comes about"));
    for (label, says) in METHODS {
        page.labelled(label, says);
    }
    page.gap();
    page.line(bold("what the model leaves out"));
    page.labelled("", LEFT_OUT);
    page.labelled(
        "",
        "Published operating points and this computation agree within about 5 %; they disagree as \
         much among themselves. Against a general solver at tight tolerance: DC 0.1 %, ripple and \
         rms 0.5 %, peaks 1 %.",
    );
    page
}

fn inputs(powered: &Powered<'_>, page: &mut Page) {
    let chassis = &powered.now.chassis;
    let line = powered.now.solved.line;
    page.labelled(
        "Line",
        &format!(
            "{} {:.0} Hz; readings hold at {}; high line {} (as told, else ANSI C84.1 126 V or IEC \
             60038 253 V)",
            line.print(),
            in_hertz(chassis.frequency()),
            chassis.line().print(),
            powered.now.high.solved.line.print()
        ),
    );
    page.labelled("Winding", &winding(powered));
    page.labelled("Source", &source(powered));
    page.labelled("Law", &law(powered));
    for (standing, capacitor) in powered.standing.iter().zip(powered.now.fitted.all()) {
        page.labelled(
            &standing.at,
            &format!(
                "{} µF, esr {}",
                figure::three(in_microfarads(capacitor.capacitance)),
                figure::resistance(capacitor.esr)
            ),
        );
    }
}

fn winding(powered: &Powered<'_>) -> String {
    let now = powered.now.chassis.winding(powered.now.solved.line);
    match powered.job.rectifier.winding {
        None => "none: the line itself".into(),
        Some(of) => {
            let at = of.at.unwrap_or_else(|| powered.now.chassis.line());
            format!(
                "{} read at {} line, so {} at {}",
                of.volts.print(),
                at.print(),
                figure::volts(now),
                figure::volts(powered.now.solved.line)
            )
        }
    }
}

fn source(powered: &Powered<'_>) -> String {
    let total = figure::resistance(powered.now.chassis.resistance());
    let added = powered.job.rectifier.plate_resistor.map_or(0.0, in_ohms);
    match powered.job.rectifier.resistance {
        SourceResistance::Parts { winding: Some(winding), primary: Some(primary) } => format!(
            "{total} a plate: winding {} + primary {} × (winding / line volts)² + {} Ω in the \
             plate lead as told, with the changes asked for",
            winding.print(),
            figure::resistance(primary),
            figure::three(added)
        ),
        _ => format!("{total} a plate, as told"),
    }
}

fn law(powered: &Powered<'_>) -> String {
    let from = powered.now.chassis.device.map_or_else(
        || "as the job describes it".to_owned(),
        |device| format!("{} (source: {})", device.name, device.source),
    );
    match powered.now.solved.circuit.law {
        Law::ThreeHalves { drop, at } => format!(
            "{from}: three-halves power (Child, Langmuir) through {:.0} V at {}",
            in_volts(drop),
            figure::current(at)
        ),
        Law::Straight { drop, slope } => {
            format!("{from}: {} and {} in series", figure::volts(drop), figure::resistance(slope))
        }
    }
}

const METHODS: [(&str, &str); 12] = [
    (
        "DC/ripple",
        "the periodic steady state of the whole circuit, found by shooting over one period with \
         exact sensitivities (Aprille and Trick 1972, from memory); volts are across capacitor and \
         esr; ripple p-p is from least to greatest, rms is without the mean",
    ),
    ("cap mA", "rms of the capacitor's own current over one period of that state"),
    (
        "cold/high",
        "the larger of √2 × winding (twice that behind a doubler) and the simulated start with \
         empty capacitors, cold tubes and the worst switching phase, a choke's overshoot included; \
         behind a choke input the simulated peak",
    ),
    (
        "Rectifier",
        "peak, mean and rms of a plate's current over the line period in that state; inverse is \
         the greatest reverse voltage; limits from the type's sheet, or of its electrical equal, at high line",
    ),
    (
        "on hot",
        "greatest plate current with empty capacitors and warm tubes, each load as the resistance \
         that draws it at the steady volts; worst of several phases",
    ),
    (
        "on cold",
        "the same with cold tubes; A²s is the integral of the squared plate current over that \
         charge",
    ),
    (
        "winding",
        "rms of a winding half's current, of the whole winding in a bridge, or of the line",
    ),
    (
        "Cold",
        "the steady state with bleeders and `cold` loads alone, then without the bleeders: what \
         standby leaves",
    ),
    (
        "Off",
        "free discharge from the steady state through bleeders and `cold` loads, exact by modes; \
         the time after which the volts stay below; energy ½ C V². Leakage and tubes may be \
         faster, absorbed charge comes back: only a meter tells",
    ),
    (
        "Loads",
        "as told, else the drop between two readings over the resistance between them, less what \
         the nodes behind take; a first node's from its own volts through the rectifier",
    ),
    ("Cathodes", "Ohm's law over the cathode resistor; all loads together must cover it"),
    ("% and dB", "after over before; dB of ripple rms"),
];
