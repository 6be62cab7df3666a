//! Checks what was gathered and makes the can of it.

use std::ops::Range;

use super::{
    Notice,
    doubt::{Doubt, Doubts, Refusal, Stop},
    group::Part,
    plausible,
    reader::{Reader, Surge},
};
use crate::{
    can::{Can, CanError, Mark, Section},
    quantity::{microfarads, volts},
};

const VOLTS_HELP: &str = "look for a second line on the can with WVDC, V DC, WV or Wkg, and add it";

/// The can of a reader's parts.
///
/// # Errors
/// Volts missing, a figure out of range, a mark used twice, too many sections.
pub(super) fn can(reader: &mut Reader<'_>) -> Result<Can, Stop> {
    if reader.parts.all.is_empty() {
        return Err(nothing(reader));
    }
    bullets(reader);
    let parts = &reader.parts.all;
    Stop::all(parts.iter().flat_map(out_of_range).collect())?;
    missing_volts(parts)?;
    for surge in std::mem::take(&mut reader.surges) {
        apply_surge(&mut reader.parts.all, &surge)?;
    }
    surge_below_working(&mut reader.parts.all, reader.doubts)?;
    let sections = reader.parts.all.iter().map(section).collect();
    let wiring = &reader.wiring;
    let mut can = Can::new(sections).map_err(|error| refuse_can(&reader.parts.all, &error))?;
    can.negative = wiring.negative;
    can.common_positive = wiring.common_positive;
    can.insulated = wiring.insulated;
    Ok(can)
}

/// Dashes before every line are bullets: no can has two plain lugs.
fn bullets(reader: &mut Reader<'_>) {
    let parts = &mut reader.parts.all;
    let all = parts.len() > 1 && parts.iter().all(|p| p.mark == Some(Mark::Plain));
    if all {
        for part in parts.iter_mut() {
            part.mark = None;
        }
        reader.notices.push(Notice {
            says: "the dash before every section is read as a list dash, not as the plain lug"
                .to_owned(),
            section: None,
        });
    }
}

/// Nothing was found: say what the text looks like.
fn nothing(reader: &Reader<'_>) -> Stop {
    let end = last_character(reader.text);
    let date = reader.ignored.iter().find(|i| i.why.contains("date"));
    if let Some(date) = date {
        return Stop::refuse(
            date.span.clone(),
            format!(
                "`{}` looks like {} (year-week, month-year or maker's group); no value found",
                date.text, date.why
            ),
            "look for microfarads and volts, such as 40-20 MFD 450 WVDC",
        );
    }
    if !reader.surges.is_empty() {
        return Stop::refuse(
            end,
            "surge volts, but no value found",
            "look for microfarads and working volts",
        );
    }
    Stop::refuse(
        end,
        "no values found, expected microfarads and volts",
        "type what the can says, such as 40-20 MFD 450 WVDC; temperatures, counts, codes and dates are no values",
    )
}

/// The last character of a text: an empty span at its end would draw no caret.
pub(super) fn last_character(text: &str) -> Range<usize> {
    let trimmed = text.trim_end();
    let start = trimmed.char_indices().last().map_or(0, |(i, _)| i);
    start..trimmed.len()
}

/// What no can has: the value, the volts, or, where both may be, what they hold.
fn out_of_range(part: &Part) -> Vec<Refusal> {
    let found: Vec<Refusal> = [value_out_of_range(part), volts_out_of_range(part)]
        .into_iter()
        .flatten()
        .map(|(span, message, help)| Refusal { message, span, help: help.to_owned() })
        .collect();
    if found.is_empty() { too_much_held(part).into_iter().collect() } else { found }
}

/// Where, what is wrong and what to do.
type Wrong = (Range<usize>, String, &'static str);

fn value_out_of_range(part: &Part) -> Option<Wrong> {
    let uf = part.uf;
    let wrong = |message: String, help| Some((part.span.clone(), message, help));
    if uf == 0.0 {
        return wrong(
            "zero capacitance, expected a value above 0 µF".to_owned(),
            "look at the can again: a digit may be worn off",
        );
    }
    let range = plausible::SMALLEST_UF..=plausible::LARGEST_UF;
    if uf.is_finite() && range.contains(&uf) {
        return None;
    }
    let hint = if uf < plausible::SMALLEST_UF { "lost digit or dot?" } else { "extra zero?" };
    wrong(
        format!(
            "{} µF is out of range for a can ({}-{} µF): {hint}",
            shown(uf),
            plausible::SMALLEST_UF,
            plausible::LARGEST_UF
        ),
        "look at the can again",
    )
}

fn volts_out_of_range(part: &Part) -> Option<Wrong> {
    let rated = part.volts?;
    if (plausible::LOWEST_VOLTS..=plausible::HIGHEST_VOLTS).contains(&rated) {
        return None;
    }
    let hint = if rated > plausible::HIGHEST_VOLTS { "extra zero?" } else { "lost digit?" };
    Some((
        part.volts_span.clone(),
        format!(
            "{} V is out of range for a can ({}-{} V): {hint}",
            shown(rated),
            plausible::LOWEST_VOLTS,
            plausible::HIGHEST_VOLTS
        ),
        "look at the can again, and mind which figure is volts and which microfarads",
    ))
}

fn too_much_held(part: &Part) -> Option<Refusal> {
    let rated = part.volts?;
    let joules = plausible::joules(part.uf, rated);
    (joules > plausible::MOST_JOULES).then(|| Refusal {
        message: format!(
            "{} µF at {} V would hold {joules:.0} J, out of range for a can (up to {} J): extra zero?",
            shown(part.uf),
            shown(rated),
            plausible::MOST_JOULES
        ),
        span: part.span.clone(),
        help: "look at the can again: is the unit right, and which figure is volts?".to_owned(),
    })
}

fn shown(x: f64) -> String {
    if x.is_infinite() {
        "over 1e308".to_owned()
    } else if x.abs() < 1e7 {
        format!("{}", crate::quantity::significant(x, 6))
    } else {
        format!("{x:.1e}")
    }
}

fn missing_volts(parts: &[Part]) -> Result<(), Stop> {
    let missing: Vec<&Part> = parts.iter().filter(|p| p.volts.is_none()).collect();
    let (Some(first), Some(last)) = (missing.first(), missing.last()) else { return Ok(()) };
    let which = if missing.len() == parts.len() {
        String::new()
    } else {
        format!(" for the section of {} µF", shown(first.uf))
    };
    Err(Stop::refuse(
        first.span.start..last.span.end.max(first.span.end),
        format!("working voltage missing{which}, expected volts after the values"),
        VOLTS_HELP,
    ))
}

fn section(part: &Part) -> Section {
    Section {
        mark: part.mark,
        capacitance: microfarads(part.uf),
        rated: volts(part.volts.unwrap_or_default()),
        surge: part.surge.map(volts),
    }
}

/// Most that a surge figure may exceed the working volts by, when it is named
/// as surge; beyond this it belongs to another section.
const NAMED_SURGE_RATIO: f64 = 1.6;

/// Gives surge volts to the sections they fit: in their own line first those
/// right before them, then the rest of the line, else every section.
fn apply_surge(parts: &mut [Part], surge: &Surge) -> Result<(), Stop> {
    let here = |i: &usize| parts.get(*i).is_some_and(|p| p.stretch == surge.stretch);
    let line: Vec<usize> = (0..parts.len()).filter(here).collect();
    let last: Vec<usize> = surge.last.clone().filter(here).collect();
    let tiers = if line.is_empty() { vec![(0..parts.len()).collect()] } else { vec![last, line] };
    if tiers.iter().any(|tier| give_surge(parts, tier, surge, fits))
        || tiers.iter().any(|tier| give_surge(parts, tier, surge, fits_swapped))
        || tiers.iter().any(|tier| give_surge(parts, tier, surge, |working, v| v < working))
    {
        return Ok(());
    }
    let figure = surge.volts.first().copied().unwrap_or_default();
    Err(Stop::refuse(
        surge.span.clone(),
        format!(
            "{} V surge fits no section: expected a little more than the working volts",
            shown(figure)
        ),
        "give one surge voltage of 1.05 to 1.6 times the working volts, or one for each section",
    ))
}

/// Whether a figure called surge goes with these working volts.
fn fits(working: f64, surge: f64) -> bool {
    (1.0..=NAMED_SURGE_RATIO).contains(&(surge / working))
}

/// Whether the two would go together the other way round.
fn fits_swapped(working: f64, surge: f64) -> bool {
    surge < working && fits(surge, working)
}

/// Gives surge volts to those of `tier` that they fit; false where they fit none.
/// Of several figures each is its own section's, even one below the working volts.
fn give_surge(
    parts: &mut [Part],
    tier: &[usize],
    surge: &Surge,
    fits: impl Fn(f64, f64) -> bool,
) -> bool {
    let several = surge.volts.len() > 1;
    if several && surge.volts.len() != tier.len() {
        return false;
    }
    let mut given = false;
    for (place, &i) in tier.iter().enumerate() {
        let figure = surge.volts.get(if several { place } else { 0 });
        let (Some(part), Some(&figure)) = (parts.get_mut(i), figure) else { continue };
        let Some(working) = part.volts.filter(|_| part.surge.is_none()) else { continue };
        if surge.told || fits(working, figure) || (several && figure < working) {
            (part.surge, part.surge_span) = (Some(figure), surge.span.clone());
            given = true;
        }
    }
    given
}

/// A surge figure below the working volts can't be true. Either its digits are misread,
/// or the two words are swapped: the working volts as printed are the safe reading.
///
/// # Errors
/// Both figures, where they fit neither way round.
fn surge_below_working(parts: &mut [Part], doubts: &mut Doubts) -> Result<(), Stop> {
    let below = |p: &&mut Part| p.volts.zip(p.surge).is_some_and(|(working, v)| v < working);
    let mut wrong: Vec<&mut Part> = parts.iter_mut().filter(below).collect();
    let Some(first) = wrong.first() else { return Ok(()) };
    let mut pairs: Vec<(f64, f64)> = wrong.iter().filter_map(|p| p.volts.zip(p.surge)).collect();
    pairs.dedup();
    let list = |say: fn(String, String) -> String| {
        let said: Vec<String> = pairs.iter().map(|&(w, v)| say(shown(w), shown(v))).collect();
        said.join("; ")
    };
    let says = list(|w, v| format!("{v} V surge is below the {w} V working volts"));
    if !pairs.iter().all(|&(working, v)| fits_swapped(working, v)) {
        let refusal = |span: &Range<usize>, message: &str| Refusal {
            message: message.to_owned(),
            span: span.clone(),
            help: "look at both figures again; where the surge figure can't be read, leave it out"
                .to_owned(),
        };
        let working = list(|w, v| format!("{w} V working is above its surge figure, {v} V"));
        return Stop::all(vec![
            refusal(&first.volts_span, &working),
            refusal(&first.surge_span, &says),
        ]);
    }
    let ends = wrong.iter().flat_map(|p| [&p.volts_span, &p.surge_span]);
    let start = ends.clone().map(|span| span.start).min().unwrap_or_default();
    let end = ends.map(|span| span.end).max().unwrap_or_default();
    let choice = doubts.ask(Doubt {
        asks: format!("{says}, which can't be: is a digit misread, or are the two swapped?"),
        says: vec![
            list(|w, v| format!("{w} V working; the surge figure {v} V is misread and left out")),
            list(|w, v| format!("{v} V working, {w} V surge: the two are swapped")),
        ],
        safe: Some(0),
        span: start..end,
    })?;
    for part in &mut wrong {
        (part.volts, part.surge) =
            if choice == 0 { (part.volts, None) } else { (part.surge, part.volts) };
    }
    Stop::all(wrong.iter().flat_map(|part| out_of_range(part)).collect())
}

fn refuse_can(parts: &[Part], error: &CanError) -> Stop {
    let span = match error {
        CanError::SameMark(mark) => parts.iter().rev().find(|p| p.mark == Some(*mark)),
        _ => parts.last(),
    }
    .map_or(0..0, |p| p.span.clone());
    let help = match error {
        CanError::SameMark(_) => {
            "two lugs of one can can't share a mark: look again, or type plain for the lug without a cut-out"
        }
        _ => "type the sections of one can only",
    };
    Stop::refuse(span, error.to_string(), help)
}
