//! What the figures of a list are worth: worn digits, commas, codes and units
//! are settled here.

use super::{
    Notice,
    doubt::{Doubt, Doubts, Stop},
    piece::{Class, Figure, List},
    plausible,
    token::Number,
    words::FaradUnit,
};

/// Settles the figures of `list`; `volts` are the working volts that follow, if known.
pub(super) fn settle(
    text: &str,
    list: &mut List,
    volts: Option<f64>,
    doubts: &mut Doubts,
    notices: &mut Vec<Notice>,
) -> Result<(), Stop> {
    refuse_units(text, list)?;
    worn_digits(text, list, doubts)?;
    commas(text, list, volts, doubts)?;
    lone_m(text, list, doubts)?;
    refuse_codes(text, list)?;
    remarks(text, list, notices);
    if list.class == Class::Farads(FaradUnit::Nano) {
        list.figures.iter_mut().for_each(|f| f.value *= 1e-3);
    }
    if list.class == Class::Farads(FaradUnit::Whole) {
        list.figures.iter_mut().for_each(|f| f.value *= 1e6);
    }
    Ok(())
}

/// Byte range of a list's figures.
pub(super) fn range(list: &List) -> std::ops::Range<usize> {
    let start = list.figures.first().map_or(0, |f| f.start);
    start..list.figures.last().map_or(start, |f| f.end)
}

fn printed<'t>(text: &'t str, figure: &Figure) -> &'t str {
    text.get(figure.start..figure.end).unwrap_or("")
}

fn refuse_units(text: &str, list: &List) -> Result<(), Stop> {
    let span = range(list);
    match list.class {
        Class::Farads(FaradUnit::Pico) => Err(Stop::refuse(
            span,
            "micro-microfarad (pF) is not an electrolytic's unit, expected microfarads",
            "look again for a single MFD, MF or µF; a part marked in pF is a mica or ceramic capacitor",
        )),
        Class::AcVolts => Err(Stop::refuse(
            span,
            "an AC rating: this is a motor-run or other AC part, not a DC filter can",
            "look for WVDC or V DC on the can; an AC part can't be stood in for by electrolytics",
        )),
        Class::Unreadable => Err(unreadable_unit(text, list)),
        Class::Farads(FaradUnit::Whole)
            if list.figures.iter().any(|f| f.value * 1e6 > plausible::LARGEST_UF) =>
        {
            Err(unreadable_unit(text, list))
        }
        _ => Ok(()),
    }
}

/// Refuses a unit nobody can read, or one that can't be meant (farads).
fn unreadable_unit(text: &str, list: &List) -> Stop {
    let start = range(list).start;
    let whole = with_unit(text, list);
    let hint = guess(whole).map_or_else(String::new, |g| format!("; did the scan spoil `{g}`"));
    let farads =
        if list.class == Class::Unreadable { "" } else { " (farads are out of range for a can)" };
    Stop::refuse(
        start..start + whole.len(),
        format!("cannot read the unit in `{whole}`{farads}, expected MFD, µF or V{hint}"),
        "look at the can again and type the value with its unit, such as 16 uF",
    )
}

/// The figure with what stands in its unit's place.
fn with_unit<'t>(text: &'t str, list: &List) -> &'t str {
    let span = range(list);
    let rest = text.get(span.start..).unwrap_or("");
    let figure = span.end - span.start;
    let behind = rest.get(figure..).unwrap_or("");
    let gap = behind.len() - behind.trim_start().len();
    let unit = behind.trim_start();
    let length = unit.find(|c: char| c.is_whitespace() || c == '\\').unwrap_or(unit.len());
    rest.get(..figure + gap + length).unwrap_or(rest)
}

/// What a spoilt figure with unit may have been.
fn guess(whole: &str) -> Option<String> {
    let digits: String = whole.chars().take_while(char::is_ascii_digit).collect();
    let unit = whole.get(digits.len()..)?.trim().to_ascii_uppercase();
    if unit.len() == 3 && strsim::levenshtein(&unit, "MFD") == 1 {
        return Some(format!("{digits} MFD"));
    }
    // A µ that a scanner takes for `1.I`, `1.l` or `1` leaves a stray 1 behind the figure.
    let figure = digits.strip_suffix('1').filter(|d| !d.is_empty()).unwrap_or(&digits);
    (unit.ends_with('F') && !figure.is_empty()).then(|| format!("{figure} uF"))
}

/// A worn digit is asked for, never guessed from common values.
fn worn_digits(text: &str, list: &mut List, doubts: &mut Doubts) -> Result<(), Stop> {
    for i in 0..list.figures.len() {
        let Some(figure) = list.figures.get(i).copied().filter(|f| f.number.worn > 0) else {
            continue;
        };
        let shown = printed(text, &figure).to_owned();
        let candidates = candidates(&shown, list.class);
        let unclear = candidates.is_empty();
        let says = if let [only] = candidates.as_slice() {
            vec![format!("it is {only}"), format!("it is not {only}: type the stamping again")]
        } else if unclear {
            vec![
                "the figure can be read after all: type the stamping again with it".to_owned(),
                "the figure is gone: measure the section, or find it in the set's parts list"
                    .to_owned(),
            ]
        } else {
            candidates.iter().map(|c| format!("{shown} is {c}")).collect()
        };
        let doubt = Doubt {
            asks: format!("which digit is missing in `{shown}`?"),
            says,
            safe: None,
            span: figure.start..figure.end,
        };
        let choice = doubts.ask(doubt)?;
        let Some(value) = candidates.get(choice).and_then(|c| c.parse().ok()) else {
            return Err(Stop::refuse(
                figure.start..figure.end,
                format!("`{shown}` has a digit that can't be read"),
                "type the stamping again with the figure that you find",
            ));
        };
        if let Some(figure) = list.figures.get_mut(i) {
            figure.value = value;
            figure.number = Number { value, worn: 0, ..figure.number };
        }
    }
    Ok(())
}

/// The figures that one worn digit leaves open; none where more than one is worn.
fn candidates(shown: &str, class: Class) -> Vec<String> {
    let worn = |c: char| !c.is_ascii_digit() && c != ',';
    // A dot between digits is a decimal point; a last one stands for a digit.
    let dot = |i: usize, c: char| c == '.' && i + 1 < shown.len();
    if shown.char_indices().filter(|&(i, c)| worn(c) && !dot(i, c)).count() != 1 {
        return Vec::new();
    }
    let with = |digit: char| {
        let letter = |(i, c): (usize, char)| if worn(c) && !dot(i, c) { digit } else { c };
        shown.char_indices().map(letter).collect::<String>().replace(',', ".")
    };
    let lowest = if shown.starts_with(worn) { '1' } else { '0' };
    let mut figures: Vec<String> = (lowest..='9').map(with).collect();
    // `450?` may only say that the writer is not sure.
    if let Some(whole) = shown.strip_suffix('?').filter(|w| w.len() > 1) {
        figures.push(whole.replace(',', "."));
    }
    let fits = |figure: &String| {
        let range = plausible::LOWEST_VOLTS..=plausible::HIGHEST_VOLTS;
        !class.is_volts() || figure.parse().is_ok_and(|v: f64| range.contains(&v))
    };
    figures.retain(fits);
    figures
}

/// How the comma or point of a list is taken.
#[derive(Clone, Copy, PartialEq)]
enum Comma {
    Decimal,
    Thousands,
    List,
}

fn commas(
    text: &str,
    list: &mut List,
    volts: Option<f64>,
    doubts: &mut Doubts,
) -> Result<(), Stop> {
    if list.class.is_volts() {
        return volt_commas(list);
    }
    let Some(figure) = list.figures.iter().find(|f| is_open(f, list)).copied() else {
        return Ok(());
    };
    let n = figure.number;
    let (head, tail) = halves(&figure, text);
    let thousands = n.fraction == 3;
    let (readings, safe): (Vec<Comma>, Option<usize>) = if thousands {
        let low = volts.is_some_and(|v| v < plausible::SURELY_VOLTS);
        (vec![Comma::Thousands, Comma::Decimal], low.then_some(0))
    } else {
        (vec![Comma::List, Comma::Decimal], Some(0))
    };
    let shown = printed(text, &figure);
    let says = readings
        .iter()
        .map(|r| match r {
            Comma::Thousands => format!("{head}{tail} µF (the sign parts thousands)"),
            Comma::Decimal => format!("{} µF (decimal comma)", figure.value),
            Comma::List => format!("two sections, {head} µF and {tail} µF"),
        })
        .collect();
    let asks = if thousands {
        format!("is `{shown}` {head}{tail} µF or {} µF?", figure.value)
    } else {
        format!("is `{shown}` two sections, {head} and {tail} µF, or one of {} µF?", figure.value)
    };
    let choice = doubts.ask(Doubt { asks, says, safe, span: figure.start..figure.end })?;
    apply(text, list, readings.get(choice).copied().unwrap_or(Comma::Decimal));
    Ok(())
}

/// The digits before and behind the sign.
fn halves(figure: &Figure, text: &str) -> (String, String) {
    let shown = printed(text, figure);
    let (head, tail) = shown.split_once(['.', ',']).unwrap_or((shown, ""));
    (head.to_owned(), tail.to_owned())
}

/// Whether the sign of a figure has more than one honest meaning.
fn is_open(figure: &Figure, list: &List) -> bool {
    let n = figure.number;
    if matches!(n.sign, ' ' | 'µ') || n.whole == 0 || n.worn > 0 {
        return false;
    }
    let decimal = figure.value;
    let whole = decimal.trunc();
    if n.fraction == 3 {
        return whole > 0.0;
    }
    if n.sign == '.' || whole == 0.0 || list.figures.len() > 1 {
        return false;
    }
    // A decimal value that was a stock figure (12,5) is no list.
    !(plausible::is_stock_value(decimal) || n.fraction == 1 && decimal.fract() == 0.0)
}

fn apply(text: &str, list: &mut List, comma: Comma) {
    let figures = std::mem::take(&mut list.figures);
    for figure in figures {
        let open = figure.number.sign != ' ' && figure.number.whole > 0;
        let (head, tail) = halves(&figure, text);
        match comma {
            Comma::Thousands if open && figure.number.fraction == 3 => {
                let value = format!("{head}{tail}").parse().unwrap_or(figure.value);
                list.figures.push(Figure { value, ..figure });
            }
            Comma::List if open => {
                let middle = figure.start + head.len();
                let first = head.parse().unwrap_or(figure.value);
                let second = tail.parse().unwrap_or(figure.value);
                list.figures.push(Figure { value: first, end: middle, ..figure });
                list.figures.push(Figure {
                    value: second,
                    start: middle + 1,
                    mark: None,
                    ..figure
                });
                list.sign = ',';
            }
            _ => list.figures.push(figure),
        }
    }
}

/// `450,25 V` lists two voltages; nobody printed hundredths of a volt.
fn volt_commas(list: &mut List) -> Result<(), Stop> {
    for figure in &list.figures {
        let n = figure.number;
        if n.sign == ',' && n.fraction > 1 {
            return Err(Stop::refuse(
                figure.start..figure.end,
                "a comma inside a voltage, expected volts with a sign between them",
                "part two voltages with a hyphen or a space, as in 450-25 V",
            ));
        }
    }
    Ok(())
}

/// `100 M`: the letter alone is asked about.
fn lone_m(text: &str, list: &List, doubts: &mut Doubts) -> Result<(), Stop> {
    if list.class != Class::Farads(FaradUnit::LoneM)
        || list.figures.iter().any(|f| code(f).is_some())
    {
        return Ok(());
    }
    let span = range(list);
    let shown = text.get(span.clone()).unwrap_or("");
    let choice = doubts.ask(Doubt {
        asks: format!("does M behind `{shown}` mean microfarad here?"),
        says: vec![
            format!("M is microfarad: {shown} µF"),
            "M is something else (a tolerance letter, a maker's letter): the unit is not printed"
                .to_owned(),
        ],
        safe: Some(0),
        span: span.clone(),
    })?;
    if choice == 0 {
        return Ok(());
    }
    Err(Stop::refuse(span, "no unit behind the value, expected MFD or µF", "measure the section"))
}

fn code(figure: &Figure) -> Option<f64> {
    (figure.number.fraction == 0).then(|| plausible::three_digit_code(figure.value)).flatten()
}

/// `105 K`: a code for picofarads, as film capacitors carry it.
fn refuse_codes(text: &str, list: &List) -> Result<(), Stop> {
    let letter = list.tolerance_letter || list.class == Class::Farads(FaradUnit::LoneM);
    let bare = list.class == Class::Bare && list.figures.len() == 1;
    let found = list.figures.iter().find_map(|f| {
        let uf = code(f)?;
        let odd = !plausible::is_stock_value(f.value) && !plausible::is_rated_voltage(f.value);
        (letter || (bare && odd && f.value < 700.0 && uf <= 10.0)).then_some((f, uf))
    });
    let Some((figure, uf)) = found else { return Ok(()) };
    let shown = printed(text, figure);
    Err(Stop::refuse(
        figure.start..figure.end,
        format!(
            "`{shown}` is a three-digit code ({} µF, as on film capacitors); cans print plain values",
            crate::quantity::significant(uf, 6)
        ),
        "look for a value in MFD or µF; if this is the part, it is no electrolytic can",
    ))
}

/// Remarks on odd spellings.
fn remarks(text: &str, list: &List, notices: &mut Vec<Notice>) {
    let mut say = |says: String| {
        if !notices.iter().any(|n| n.says == says) {
            notices.push(Notice { says, section: None });
        }
    };
    if list.class == Class::Farads(FaradUnit::OldMicro) {
        say("MF is read as microfarad, as it was used on old cans; never millifarad".to_owned());
    }
    if list.class == Class::Farads(FaradUnit::Nano) {
        say("nF is an odd unit for a can: check that the part is an electrolytic".to_owned());
    }
    if list.tolerance_letter {
        say("the letter behind the value is taken for its tolerance (K 10 %, J 5 %)".to_owned());
    }
    if list.reversed {
        say("the unit stands before its values".to_owned());
    }
    for figure in list.figures.iter().filter(|f| f.number.letters) {
        let shown = printed(text, figure);
        say(format!("`{shown}` has a letter for a digit: read as {}", figure.value));
    }
    for figure in list
        .figures
        .iter()
        .filter(|f| f.number.sign == ',' && f.number.fraction < 3 && list.sign != ',')
    {
        say(format!("the comma in `{}` is read as a decimal comma", printed(text, figure)));
    }
}
