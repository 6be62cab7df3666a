//! Decides what each list of a run is: values, volts, surge volts or pairs.

use std::ops::Range;

use super::{
    bare::{bare, bare_times_or_pair, span_of},
    doubt::{Doubt, Doubts, Stop},
    figures,
    piece::{Class, List},
    plausible,
};

/// What a list stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    /// Capacitances.
    Values,
    /// Working volts.
    Volts,
    /// Surge volts.
    Surge,
    /// Surge volts by answer, however far from the working volts.
    SurgeAsTold,
    /// A value and its volts.
    Pair,
    /// Two to four sections of one value: `2x50`.
    Times,
    /// A test voltage, or a figure that is no value.
    Skip,
}

/// What is known outside the run.
#[derive(Debug, Clone, Copy, Default)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is one observation, independent of the others"
)]
pub(super) struct Context {
    /// Sections before the run that still lack their volts.
    pub(super) pending: usize,
    /// A list of volts is the next list behind the run.
    pub(super) volts_ahead: bool,
    /// Somewhere a bare `40-450` stands: pairs are the style here.
    pub(super) pair_style: bool,
    /// The run has one mark of its own, so it is one section.
    pub(super) one_mark: bool,
    /// Values with units stand elsewhere.
    pub(super) units: bool,
    /// Values with units stand elsewhere, and none lacks its volts.
    pub(super) complete: bool,
}

/// A list of a run, and whether `@` stands before it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Member {
    pub(super) list: List,
    pub(super) at_sign: bool,
    /// `=`, `-`, `+` or nothing before it.
    pub(super) sign: char,
}

/// The role of each list of `run`.
///
/// # Errors
/// A run nobody can read, or an open question.
pub(super) fn roles(
    run: &[Member],
    context: Context,
    doubts: &mut Doubts,
) -> Result<Vec<Role>, Stop> {
    if let Some(span) = range_with_unit(run) {
        ask_ranges(span, "values of sections, one after the other", doubts)?;
    }
    if run.iter().all(|m| m.list.class == Class::Bare) && !run.iter().any(|m| m.at_sign) {
        return bare(run, context, doubts);
    }
    let mut sorter = Sorter { run, roles: Vec::with_capacity(run.len()), pending: context.pending };
    for i in 0..run.len() {
        let role = sorter.role(i, context, doubts)?;
        sorter.pending = match role {
            Role::Values => sorter.pending + run.get(i).map_or(1, |m| m.list.figures.len()),
            Role::Times => sorter.pending + 2,
            Role::Volts | Role::Pair => 0,
            Role::Surge | Role::SurgeAsTold | Role::Skip => sorter.pending,
        };
        sorter.roles.push(role);
    }
    slash_question(run, sorter.roles, doubts)
}

struct Sorter<'r> {
    run: &'r [Member],
    roles: Vec<Role>,
    pending: usize,
}

impl Sorter<'_> {
    fn role(&self, i: usize, context: Context, doubts: &mut Doubts) -> Result<Role, Stop> {
        let Some(member) = self.run.get(i) else { return Ok(Role::Skip) };
        let list = &member.list;
        match list.class {
            Class::Farads(_) if list.sign == 'x' => Ok(Role::Times),
            Class::Farads(_) => Ok(Role::Values),
            Class::Surge if self.is_marked_pair(list) => Ok(Role::Volts),
            Class::Surge => Ok(Role::Surge),
            Class::Test => Ok(Role::Skip),
            Class::Volts if list.sign == 'x' => times_or_pair(list, true, doubts),
            Class::Volts if self.pending == 0 && is_pair(list) => Ok(Role::Pair),
            Class::Volts => Ok(Role::Volts),
            _ => Ok(self.bare_role(i, member, context)),
        }
    }

    /// `450/525 V SURGE`: both figures in one list.
    fn is_marked_pair(&self, list: &List) -> bool {
        matches!(list.figures.as_slice(), [a, b] if plausible::is_surge_of(a.value, b.value))
            && self.roles.last() != Some(&Role::Volts)
    }

    /// A list without a unit among lists that have one.
    fn bare_role(&self, i: usize, member: &Member, context: Context) -> Role {
        if member.at_sign {
            return Role::Volts;
        }
        let list = &member.list;
        let value = list.figures.first().map_or(0.0, |f| f.value);
        let next = self.run.get(i + 1);
        let next_at = next.is_some_and(|m| m.at_sign);
        if list.sign == 'x' && list.figures.len() > 2 {
            return Role::Values;
        }
        if list.sign == 'x' {
            let volts = next.is_some() || context.volts_ahead;
            let count = is_count(value);
            return if count && volts { Role::Times } else { Role::Pair };
        }
        if next_at {
            return Role::Values;
        }
        let next_class = next.map(|m| m.list.class);
        if self.pending > 0 {
            let surge_next = next.is_some_and(|m| {
                m.list.class.is_volts()
                    && m.list
                        .figures
                        .first()
                        .is_some_and(|f| plausible::is_surge_of(value, f.value))
                    && value >= 100.0
            });
            return match next_class {
                Some(Class::Volts) if !surge_next => Role::Values,
                _ => Role::Volts,
            };
        }
        let last_volts = self.last_volts();
        match next_class {
            Some(Class::Farads(_)) if value >= plausible::SURELY_VOLTS => Role::Volts,
            None if last_volts.is_some_and(|v| plausible::is_surge_of(v, value)) => Role::Surge,
            None if is_pair(list) => Role::Pair,
            None if value >= plausible::SURELY_VOLTS && !context.volts_ahead => Role::Volts,
            _ => Role::Values,
        }
    }

    /// The volts of the list before, where it was one of volts.
    fn last_volts(&self) -> Option<f64> {
        let (role, member) = (self.roles.last()?, self.run.get(self.roles.len().checked_sub(1)?)?);
        (*role == Role::Volts).then(|| member.list.figures.last().map(|f| f.value)).flatten()
    }
}

pub(super) fn is_count(value: f64) -> bool {
    [2.0, 3.0, 4.0].iter().any(|n| (n - value).abs() < 1e-9)
}

/// Two figures, the first a value and the second its volts.
pub(super) fn is_pair(list: &List) -> bool {
    matches!(list.figures.as_slice(), [a, b]
        if matches!(list.sign, '-' | '/' | 'x')
            && a.value < plausible::SURELY_VOLTS
            && (b.value >= plausible::SURELY_VOLTS || list.class == Class::Volts && !plausible::same(a.value, b.value))
            && plausible::is_section(a.value, b.value))
}

/// `2x450`: one 2 µF section, or two sections with the value lost.
pub(super) fn times_or_pair(list: &List, unit: bool, doubts: &mut Doubts) -> Result<Role, Stop> {
    let [a, b] = list.figures.as_slice() else {
        return Err(unreadable(figures::range(list)));
    };
    if !is_count(a.value) {
        return Ok(Role::Pair);
    }
    if b.value < plausible::SURELY_VOLTS && !unit {
        return bare_times_or_pair(a.value, b.value, figures::range(list), doubts);
    }
    let choice = doubts.ask(Doubt {
        asks: format!(
            "is this one section of {} µF at {} V, or {} sections of {} V with the value missing?",
            a.value, b.value, a.value, b.value
        ),
        says: vec![
            format!("one section, {} µF {} V", a.value, b.value),
            format!("{} sections of {} V, value not printed", a.value, b.value),
        ],
        safe: Some(0),
        span: a.start..b.end,
    })?;
    if choice == 0 {
        return Ok(Role::Pair);
    }
    Err(Stop::refuse(
        a.start..b.end,
        "the value of the sections is missing",
        "look for microfarads on another line of the can",
    ))
}

pub(super) fn unreadable(span: Range<usize>) -> Stop {
    Stop::refuse(
        span,
        "these figures fit no pattern of values and volts",
        "write each section as value, unit, volts: 40 uF 450 V; 20 uF 25 V",
    )
}

/// `40-450 20-450 20-25`, `40-20 450-25` or `40-60, 20-40`.
pub(super) fn two_figure_lists(
    run: &[Member],
    context: Context,
    doubts: &mut Doubts,
) -> Result<Vec<Role>, Stop> {
    let figure = |i: usize, j: usize| {
        run.get(i).and_then(|m| m.list.figures.get(j)).map_or(0.0, |f| f.value)
    };
    let one_pair = run.iter().any(|m| is_pair(&m.list));
    if one_pair && run.iter().all(|m| matches!(m.list.figures.as_slice(), [a, b] if plausible::is_section(a.value, b.value))) {
        return Ok(vec![Role::Pair; run.len()]);
    }
    if run.len() == 2 && figure(1, 0) >= plausible::SURELY_VOLTS {
        return Ok(vec![Role::Values, Role::Volts]);
    }
    if context.pair_style {
        return Ok(vec![Role::Pair; run.len()]);
    }
    ask_ranges(span_of(run), "each a value with its volts", doubts)?;
    Ok(vec![Role::Pair; run.len()])
}

/// Asks whether lists are ranges; goes on where they are not.
fn ask_ranges(span: Range<usize>, other: &str, doubts: &mut Doubts) -> Result<(), Stop> {
    let choice = doubts.ask(Doubt {
        asks: "are these the ranges of a universal replacement can, or plain figures?".to_owned(),
        says: vec![
            "capacitance ranges that the can may replace: they fix no value".to_owned(),
            other.to_owned(),
        ],
        safe: None,
        span: span.clone(),
    })?;
    if choice == 1 { Ok(()) } else { Err(ranges(span)) }
}

/// Refuses ranges.
pub(super) fn ranges(span: Range<usize>) -> Stop {
    Stop::refuse(
        span,
        "ranges don't fix a section's value",
        "find the section's value and volts in the set's parts list",
    )
}

/// `40-60`: two figures with a hyphen, the second not below the first.
pub(super) fn is_range(list: &List) -> bool {
    matches!(list.figures.as_slice(), [a, b] if list.sign == '-' && a.value <= b.value && !list.class.is_volts())
}

/// The span of `20 to 40 MFD`, or of ranges in a row where the last has the unit.
fn range_with_unit(run: &[Member]) -> Option<Range<usize>> {
    if let Some(member) = run.iter().find(|m| m.list.sign == '…') {
        return Some(figures::range(&member.list));
    }
    let count = run.iter().take_while(|m| is_range(&m.list)).count();
    let rising = run
        .iter()
        .take(count)
        .any(|m| matches!(m.list.figures.as_slice(), [a, b] if a.value < b.value));
    let unit = run.iter().take(count).any(|m| m.list.class.is_farads());
    (count >= 2 && rising && unit).then(|| span_of(run.get(..count).unwrap_or_default()))
}

/// `50/50 500`: two sections, or working and surge volts of one.
pub(super) fn slash_question(
    run: &[Member],
    roles: Vec<Role>,
    doubts: &mut Doubts,
) -> Result<Vec<Role>, Stop> {
    let ([first, second], [Role::Values, Role::Volts]) = (run, roles.as_slice()) else {
        return Ok(roles);
    };
    let ([a, b], [volts]) = (first.list.figures.as_slice(), second.list.figures.as_slice()) else {
        return Ok(roles);
    };
    if first.list.sign != '/' || first.list.class != Class::Bare {
        return Ok(roles);
    }
    let two = if plausible::same(a.value, b.value) {
        format!("two sections of {} µF, {} V", a.value, volts.value)
    } else {
        format!("two sections, {} µF and {} µF, {} V", a.value, b.value, volts.value)
    };
    let choice = doubts.ask(Doubt {
        asks: format!(
            "are `{}/{}` two sections at {} V, or {} µF with {} V working and {} V surge?",
            a.value, b.value, volts.value, a.value, b.value, volts.value
        ),
        says: vec![two, format!("{} µF, {} V working, {} V surge", a.value, b.value, volts.value)],
        safe: Some(0),
        span: a.start..volts.end,
    })?;
    Ok(if choice == 0 { roles } else { vec![Role::Pair, Role::SurgeAsTold] })
}
