//! The unit behind a figure, in as many words as it takes (`V. D.C. WKG.`).

use std::ops::Range;

use super::{
    piece::Class,
    plausible,
    token::{Kind, Number, Token},
    words::{FaradUnit, Word},
};
use crate::can::MOST_SECTIONS;

/// A unit behind a figure.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Unit {
    /// What it says.
    pub(super) class: Class,
    /// The token behind it.
    pub(super) end: usize,
    /// It was a tolerance letter and no unit.
    pub(super) tolerance_letter: bool,
    /// `WKG/PEAK`: names the two figures of a pair.
    pub(super) pair: bool,
}

/// What a unit word says when it stands before its figures.
pub(super) fn prefix_class(word: Word) -> Option<Class> {
    Some(match word {
        Word::Farads(unit) => Class::Farads(unit),
        Word::Volts | Word::WorkingVolts | Word::Working | Word::Dc => Class::Volts,
        Word::SurgeVolts | Word::Surge => Class::Surge,
        Word::AcVolts | Word::Ac => Class::AcVolts,
        Word::Test => Class::Test,
        _ => return None,
    })
}

/// The sharper of two statements about volts.
pub(super) fn merge(a: Class, b: Class) -> Class {
    if a == Class::Volts { b } else { a }
}

/// The first unit of the figures that `sign` joins, from the figure at `at` on.
pub(super) fn ahead(text: &str, tokens: &[Token], mut at: usize, sign: char) -> Option<Class> {
    // No can has more figures in a row; the bound keeps long texts quick.
    for _ in 0..2 * MOST_SECTIONS {
        let Some(Kind::Number(number)) = tokens.get(at).map(|t| t.kind) else { return None };
        if let Some(unit) = unit(text, tokens, at + 1, number) {
            return Some(unit.class).filter(|_| !unit.tolerance_letter);
        }
        let joined = match tokens.get(at + 1).map(|t| t.kind)? {
            Kind::Sign('*') | Kind::Word(Word::Times) => 'x',
            Kind::Sign('&') | Kind::Word(Word::And) => '&',
            Kind::Word(Word::To) => '…',
            Kind::Sign(c) => c,
            _ => return None,
        };
        if joined != sign {
            return None;
        }
        at += 2;
        while matches!(tokens.get(at).map(|t| t.kind), Some(Kind::Line | Kind::Mark(_))) {
            at += 1;
        }
    }
    None
}

/// The unit at token `at`, behind `number`.
pub(super) fn unit(text: &str, tokens: &[Token], at: usize, number: Number) -> Option<Unit> {
    if number.sign == 'µ' {
        return Some(plain(Class::Farads(FaradUnit::Micro), at));
    }
    let token = tokens.get(at)?;
    match token.kind {
        Kind::Word(Word::Farads(unit)) => Some(farads(tokens, at, unit)),
        Kind::Word(word) if prefix_class(word).is_some() => volts(tokens, at, number),
        Kind::Letter('K' | 'J') => {
            Some(Unit { class: Class::Bare, end: at + 1, tolerance_letter: true, pair: false })
        }
        Kind::Sign('~') => Some(plain(Class::AcVolts, at + 1)),
        Kind::Sign('.') => {
            let glued = tokens.get(at + 1).is_some_and(|t| !t.spaced && t.kind == Kind::Unknown);
            if glued {
                Some(plain(Class::Unreadable, at + 2))
            } else {
                unit(text, tokens, at + 1, number).filter(|_| !token.spaced)
            }
        }
        Kind::Sign('\u{fffd}') => {
            let letter =
                matches!(tokens.get(at + 1).map(|t| t.kind), Some(Kind::Word(Word::Farads(_))));
            letter.then(|| plain(Class::Unreadable, at + 2))
        }
        Kind::Unknown => {
            let short = text.get(token.span()).is_some_and(|w| w.chars().count() <= 3);
            (!token.spaced || short).then(|| plain(Class::Unreadable, at + 1))
        }
        Kind::Letter(c) if !token.spaced && !matches!(c, 'A' | 'B' | 'D') => {
            Some(plain(Class::Unreadable, at + 1))
        }
        _ => None,
    }
}

fn plain(class: Class, end: usize) -> Unit {
    Unit { class, end, tolerance_letter: false, pair: false }
}

/// A capacitance unit; `µ F` and `M FD` in two words are one.
fn farads(tokens: &[Token], at: usize, unit: FaradUnit) -> Unit {
    let next = tokens.get(at + 1).map(|t| t.kind);
    let split = matches!(unit, FaradUnit::Micro | FaradUnit::LoneM)
        && next == Some(Kind::Word(Word::Farads(FaradUnit::Whole)));
    let (unit, end) = if split { (FaradUnit::Micro, at + 2) } else { (unit, at + 1) };
    plain(Class::Farads(unit), end)
}

/// Volts, in all their words.
fn volts(tokens: &[Token], mut at: usize, number: Number) -> Option<Unit> {
    let kind = |i: usize| tokens.get(i).map(|t| t.kind);
    let spaced = |i: usize| tokens.get(i).is_none_or(|t| t.spaced);
    let (mut class, mut pair, start) = (None::<Class>, false, at);
    loop {
        match kind(at) {
            Some(Kind::Word(word)) => {
                let Some(said) = prefix_class(word).filter(|c| c.is_volts()) else { break };
                let starts_next = matches!(said, Class::Surge | Class::Test)
                    && belongs_to_next(tokens, start..at, number, said);
                let starts_working = word == Word::Working
                    && at == start
                    && class.is_none()
                    && number.value < plausible::SURELY_VOLTS
                    && matches!(kind(at + 1), Some(Kind::Number(_)));
                if starts_next || starts_working {
                    break;
                }
                class = Some(class.map_or(said, |c| merge(c, said)));
            }
            // `WKG/PEAK` names both figures of a pair.
            Some(Kind::Sign('/')) if class.is_some() => {
                let Some(Kind::Word(word)) = kind(at + 1) else { break };
                if prefix_class(word) != Some(Class::Surge) {
                    break;
                }
                pair = true;
                at += 1;
            }
            Some(Kind::Sign('~')) if class.is_some() => class = Some(Class::AcVolts),
            // `350 V-` and `350 V=`: direct current.
            Some(Kind::Sign('-' | '='))
                if class.is_some() && is_dc_sign(kind(at + 1), spaced(at + 1), spaced(at)) => {}
            Some(Kind::Sign('.')) if class.is_some() && !spaced(at) => {}
            _ => break,
        }
        at += 1;
    }
    let class = if pair { Class::Volts } else { class? };
    Some(Unit { class, end: at, tolerance_letter: false, pair })
}

fn is_dc_sign(next: Option<Kind>, next_spaced: bool, spaced: bool) -> bool {
    match next {
        None | Some(Kind::Line | Kind::Sign(';' | ',' | '/' | '+')) => true,
        Some(Kind::Number(_)) => next_spaced && !spaced,
        _ => !spaced,
    }
}

/// `450 V SURGE 525 V`: the surge word behind the `own` words of `number` belongs to
/// the figure behind it. Of two figures the higher is the surge figure, unless one of
/// them is called working; `450 V SURGE 350` is taken as it stands, so that the
/// contradiction shows.
fn belongs_to_next(tokens: &[Token], own: Range<usize>, number: Number, said: Class) -> bool {
    let kind = |i: usize| tokens.get(i).map(|t| t.kind);
    let mut next = own.end + 1;
    while matches!(kind(next), Some(Kind::Sign(':' | '=') | Kind::Word(Word::Volts | Word::Dc))) {
        next += 1;
    }
    let Some(Kind::Number(after)) = kind(next) else { return false };
    let farads =
        matches!(kind(next + 1), Some(Kind::Word(Word::Farads(_)) | Kind::Sign('-' | '/' | '+')));
    if farads || after.value < plausible::LOWEST_VOLTS {
        return false;
    }
    let is_working =
        |i: usize| matches!(kind(i), Some(Kind::Word(Word::Working | Word::WorkingVolts)));
    let words = (next + 1..tokens.len()).take_while(|&i| is_volt_word(kind(i)));
    let (working_here, working_next) = (own.clone().any(is_working), words.clone().any(is_working));
    if working_here != working_next {
        return working_here && (after.value > number.value || ends(kind(next + 1)));
    }
    // A figure with neither volts nor a line's end behind it begins the next section.
    let lower = said == Class::Surge && ends(kind(next + 1));
    after.value > number.value || lower
}

fn is_volt_word(kind: Option<Kind>) -> bool {
    match kind {
        Some(Kind::Word(word)) => prefix_class(word) == Some(Class::Volts),
        Some(Kind::Sign('.')) => true,
        _ => false,
    }
}

/// Volts, or the end of a line or of a part of one.
fn ends(kind: Option<Kind>) -> bool {
    is_volt_word(kind) || matches!(kind, None | Some(Kind::Line | Kind::Sign(';' | ',')))
}
