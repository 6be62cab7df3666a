//! Figures that count: `2 40 MFD`, `40 MFD x 2`, and thousands parted by a space.

use super::{
    doubt::{Doubt, Doubts, Stop},
    figures,
    piece::{Class, Figure, List, Piece, PieceKind},
    plausible,
    reader::Reader,
    role::Member,
    words::Word,
};
use crate::can::MOST_SECTIONS;

/// Settles a bare figure with a space and a value behind it at the start of `run`.
///
/// # Errors
/// Open questions.
pub(super) fn settle(run: &mut Vec<Member>, doubts: &mut Doubts) -> Result<(), Stop> {
    if let Some(count) = listed_count(run) {
        return ask_count(run, count, doubts);
    }
    let [first, second, rest @ ..] = run.as_slice() else { return Ok(()) };
    let ([a], [b]) = (first.list.figures.as_slice(), second.list.figures.as_slice()) else {
        return Ok(());
    };
    let spaced =
        first.list.class == Class::Bare && second.list.class.is_farads() && second.sign == ' ';
    let plain = a.number.fraction + b.number.fraction == 0 && !second.at_sign;
    if !spaced || !plain || rest.iter().any(|m| m.list.class.is_farads()) {
        return Ok(());
    }
    let (span, joined) = (a.start..b.end, a.value * 1000.0 + b.value);
    if a.number.whole <= 2 && b.number.whole == 3 {
        return thousands(run, joined, span, doubts);
    }
    let Some(count) = plausible::count(a.value).filter(|n| (2..=4).contains(n)) else {
        return Ok(());
    };
    let choice = doubts.ask(Doubt {
        asks: format!(
            "are there {count} sections of {} µF, or one of {count} and one of {} µF?",
            b.value, b.value
        ),
        says: vec![
            format!("{count} sections of {} µF", b.value),
            format!("two sections, {count} µF and {} µF", b.value),
        ],
        safe: None,
        span,
    })?;
    if choice == 0 {
        let value = second.list.figures.clone();
        let times = List {
            figures: [a].into_iter().chain(&value).copied().collect(),
            sign: 'x',
            ..second.list.clone()
        };
        if let Some(member) = run.get_mut(1) {
            member.list = times;
        }
        run.remove(0);
    }
    Ok(())
}

/// `2 20 20 MFD`: a bare figure with just as many values behind it, up to a unit.
fn listed_count(run: &[Member]) -> Option<usize> {
    let [first, rest @ ..] = run else { return None };
    let [figure] = first.list.figures.as_slice() else { return None };
    let count = plausible::count(figure.value).filter(|n| (2..=4).contains(n))?;
    let unit = rest.iter().position(|m| m.list.class.is_farads())?;
    let values = rest.get(..=unit)?;
    let listed = values.iter().map(|m| m.list.figures.len()).sum::<usize>() == count;
    let alone = rest.iter().skip(unit + 1).all(|m| !m.list.class.is_farads());
    let plain = first.list.class == Class::Bare && figure.number.fraction == 0;
    let apart = values.first().is_some_and(|m| m.sign == ' ');
    let joined = |m: &Member| matches!(m.sign, ' ' | '-' | '/' | '+') && m.list.sign != 'x';
    let spaced = apart && values.iter().all(joined);
    let unread = values.iter().all(|m| !m.list.reversed && m.list.sign != '…');
    (plain && listed && alone && spaced && unread).then_some(count)
}

/// Asks whether the first figure of `run` counts the values behind it.
fn ask_count(run: &mut Vec<Member>, count: usize, doubts: &mut Doubts) -> Result<(), Stop> {
    let span = run.first().map_or(0..0, |m| figures::range(&m.list));
    let choice = doubts.ask(Doubt {
        asks: format!("does the {count} count the {count} values behind it, or is it a value too?"),
        says: vec![
            format!("{count} sections, the values behind the {count}"),
            format!("{} sections, the first of {count} µF", count + 1),
        ],
        safe: None,
        span,
    })?;
    if choice == 0 {
        run.remove(0);
    }
    Ok(())
}

/// `1/2 MFD`: a fraction of a microfarad, or two sections.
///
/// # Errors
/// Open questions.
pub(super) fn fractions(run: &mut [Member], doubts: &mut Doubts) -> Result<(), Stop> {
    for member in run {
        let list = &mut member.list;
        let [a, b] = list.figures.as_slice() else { continue };
        if !list.class.is_farads() || list.sign != '/' || !is_fraction(a.value, b.value) {
            continue;
        }
        let (a, b) = (*a, *b);
        let value = crate::quantity::significant(a.value / b.value, 6);
        let choice = doubts.ask(Doubt {
            asks: format!(
                "is `{}/{}` a fraction of a microfarad, or two sections of {} and {} µF?",
                a.value, b.value, a.value, b.value
            ),
            says: vec![
                format!("one section of {value} µF"),
                format!("two sections, {} µF and {} µF", a.value, b.value),
            ],
            safe: None,
            span: figures::range(list),
        })?;
        if choice == 0 {
            list.figures = vec![Figure { value, end: b.end, ..a }];
            list.sign = ' ';
        }
    }
    Ok(())
}

/// Fractions of a microfarad that were stamped so. Common practice, no source.
fn is_fraction(a: f64, b: f64) -> bool {
    const USUAL: [(f64, f64); 7] =
        [(1.0, 2.0), (1.0, 4.0), (3.0, 4.0), (1.0, 8.0), (1.0, 10.0), (1.0, 20.0), (1.0, 100.0)];
    USUAL.iter().any(|(n, d)| plausible::same(*n, a) && plausible::same(*d, b))
}

/// `2 200 µF`: thousands parted by a space, or two sections.
fn thousands(
    run: &mut Vec<Member>,
    joined: f64,
    span: std::ops::Range<usize>,
    doubts: &mut Doubts,
) -> Result<(), Stop> {
    let values: Vec<f64> =
        run.iter().take(2).filter_map(|m| m.list.figures.first()).map(|f| f.value).collect();
    let [a, b] = values[..] else { return Ok(()) };
    let choice = doubts.ask(Doubt {
        asks: format!("is this one section of {joined} µF, or two of {a} and {b} µF?"),
        says: vec![
            format!("one section, {joined} µF (the space parts thousands)"),
            format!("two sections, {a} µF and {b} µF"),
        ],
        safe: None,
        span,
    })?;
    if choice == 0 {
        run.remove(0);
        if let Some(figure) = run.first_mut().and_then(|m| m.list.figures.first_mut()) {
            figure.value = joined;
        }
    }
    Ok(())
}

/// `x 2` behind a value or its volts.
pub(super) fn is_multiplier(stretch: &[Piece], i: usize) -> bool {
    let times = |p: Option<&Piece>| {
        matches!(
            p.map(|p| &p.kind),
            Some(PieceKind::Sign('x' | '*') | PieceKind::Word(Word::Times))
        )
    };
    let count = matches!(stretch.get(i).map(|p| &p.kind), Some(PieceKind::List(l)) if count_of(l).is_some());
    let lists = stretch.iter().take(i).any(|p| matches!(p.kind, PieceKind::List(_)));
    count && lists && times(i.checked_sub(1).and_then(|j| stretch.get(j)))
}

fn count_of(list: &List) -> Option<usize> {
    match list.figures.as_slice() {
        [one] if list.class == Class::Bare => {
            plausible::count(one.value).filter(|n| *n <= MOST_SECTIONS)
        }
        _ => None,
    }
}

impl Reader<'_> {
    /// Repeats the last section as often as `list` says.
    ///
    /// # Errors
    /// No section, or several, stand before it.
    pub(super) fn multiply(&mut self, list: &List) -> Result<(), Stop> {
        let stretch = self.stretch;
        let here = self.parts.all.iter().filter(|p| p.stretch == stretch).count();
        match (self.parts.all.last().cloned(), count_of(list)) {
            (Some(part), Some(count)) if here == 1 => {
                self.parts.all.extend(std::iter::repeat_n(part, count - 1));
                Ok(())
            }
            _ => Err(Stop::refuse(
                figures::range(list),
                "a times sign behind several sections, expected it behind one",
                "write the values one by one, with a hyphen between",
            )),
        }
    }
}
