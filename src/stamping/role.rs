//! Decides what each list of a run is: values, volts, surge volts or pairs.

use std::ops::Range;

use super::{
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
pub(super) struct Context {
    /// Sections before the run that still lack their volts.
    pub(super) pending: usize,
    /// A list of volts is the next list behind the run.
    pub(super) volts_ahead: bool,
    /// Somewhere a bare `40-450` stands: pairs are the style here.
    pub(super) pair_style: bool,
    /// The run has one mark of its own, so it is one section.
    pub(super) one_mark: bool,
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

fn is_count(value: f64) -> bool {
    [2.0, 3.0, 4.0].iter().any(|n| (n - value).abs() < 1e-9)
}

/// Two figures, the first a value and the second its volts.
fn is_pair(list: &List) -> bool {
    matches!(list.figures.as_slice(), [a, b]
        if matches!(list.sign, '-' | '/' | 'x')
            && a.value < plausible::SURELY_VOLTS
            && (b.value >= plausible::SURELY_VOLTS || list.class == Class::Volts && a.value != b.value)
            && plausible::is_section(a.value, b.value))
}

/// `2x450`: one 2 µF section, or two sections with the value lost.
fn times_or_pair(list: &List, unit: bool, doubts: &mut Doubts) -> Result<Role, Stop> {
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

/// `2x8` with no volts anywhere.
fn bare_times_or_pair(
    n: f64,
    value: f64,
    span: Range<usize>,
    doubts: &mut Doubts,
) -> Result<Role, Stop> {
    let choice = doubts.ask(Doubt {
        asks: format!("are these {n} sections of {value} µF with the volts missing, or one of {n} µF at {value} V?"),
        says: vec![
            format!("{n} sections of {value} µF, volts not printed"),
            format!("one section, {n} µF {value} V"),
        ],
        safe: None,
        span,
    })?;
    Ok(if choice == 0 { Role::Times } else { Role::Pair })
}

fn unreadable(span: Range<usize>) -> Stop {
    Stop::refuse(
        span,
        "these figures fit no pattern of values and volts",
        "write each section as value, unit, volts: 40 uF 450 V; 20 uF 25 V",
    )
}

/// Lists without any unit in the run.
fn bare(run: &[Member], context: Context, doubts: &mut Doubts) -> Result<Vec<Role>, Stop> {
    let times = run.iter().any(|m| m.list.sign == 'x');
    match run {
        [one] => Ok(vec![lone(&one.list, context, doubts)?]),
        _ if times => bare_times(run, doubts),
        _ if context.pending > 0
            && run.iter().map(|m| m.list.figures.len()).sum::<usize>() == context.pending =>
        {
            Ok(vec![Role::Volts; run.len()])
        }
        _ if run.iter().all(|m| m.list.figures.len() == 1) => singles(run, context, doubts),
        _ => lists(run, context, doubts),
    }
}

fn bare_times(run: &[Member], doubts: &mut Doubts) -> Result<Vec<Role>, Stop> {
    let mut roles = Vec::with_capacity(run.len());
    for (i, member) in run.iter().enumerate() {
        let list = &member.list;
        let first = list.figures.first().map_or(0.0, |f| f.value);
        let volts_next = run.get(i + 1).is_some_and(|m| m.list.sign != 'x');
        roles.push(if list.sign != 'x' {
            Role::Volts
        } else if list.figures.len() > 2 {
            Role::Values
        } else if volts_next && is_count(first) {
            Role::Times
        } else {
            times_or_pair(list, false, doubts)?
        });
    }
    Ok(roles)
}

/// One bare list, alone between marks or breaks.
fn lone(list: &List, context: Context, doubts: &mut Doubts) -> Result<Role, Stop> {
    let count = list.figures.len();
    if list.sign == 'x' && count == 2 {
        let first = list.figures.first().map_or(0.0, |f| f.value);
        let ahead = context.volts_ahead && is_count(first);
        return if ahead { Ok(Role::Times) } else { times_or_pair(list, false, doubts) };
    }
    if context.one_mark && count == 1 {
        return Ok(Role::Values);
    }
    if context.pending > 0 && !(count > 1 && count != context.pending && context.volts_ahead) {
        let pair =
            matches!(list.figures.as_slice(), [a, b] if plausible::is_surge_of(a.value, b.value));
        let first = list.figures.first().map_or(0.0, |f| f.value);
        let usual = list
            .figures
            .iter()
            .all(|f| plausible::is_rated_voltage(f.value) || f.value >= plausible::SURELY_VOLTS);
        if (count == 1 || count == context.pending || pair || first >= plausible::SURELY_VOLTS)
            && usual
            && !context.volts_ahead
        {
            return Ok(Role::Volts);
        }
    }
    if context.volts_ahead {
        return Ok(Role::Values);
    }
    let usual = |list: &List| {
        list.figures
            .iter()
            .all(|f| plausible::is_stock_value(f.value) || plausible::is_rated_voltage(f.value))
    };
    if context.complete && !context.one_mark && (count == 1 || !usual(list)) {
        return Ok(Role::Skip);
    }
    let [a, b] = list.figures.as_slice() else { return Ok(Role::Values) };
    if is_pair(list) || (context.pair_style && plausible::is_section(a.value, b.value)) {
        return Ok(Role::Pair);
    }
    if b.value >= plausible::SURELY_VOLTS || !matches!(list.sign, '-' | '/') {
        return Ok(Role::Values);
    }
    two_bare(list, doubts)
}

/// `25/25`: a value with its volts, or two values.
fn two_bare(list: &List, doubts: &mut Doubts) -> Result<Role, Stop> {
    let [a, b] = list.figures.as_slice() else { return Ok(Role::Values) };
    let two = if a.value == b.value {
        format!("two sections of {} µF, volts not printed", a.value)
    } else {
        format!("two sections, {} µF and {} µF, volts not printed", a.value, b.value)
    };
    let choice = doubts.ask(Doubt {
        asks: format!(
            "is this one section of {} µF at {} V, or two sections with the volts missing?",
            a.value, b.value
        ),
        says: vec![format!("one section, {} µF {} V", a.value, b.value), two],
        safe: None,
        span: figures::range(list),
    })?;
    Ok(if choice == 0 { Role::Pair } else { Role::Values })
}

/// A row of bare figures with spaces between: `40 450 20 450 20 25`.
fn singles(run: &[Member], context: Context, doubts: &mut Doubts) -> Result<Vec<Role>, Stop> {
    let figure = |m: &Member| m.list.figures.first().map_or(0.0, |f| f.value);
    let row: Vec<f64> = run.iter().map(figure).collect();
    let span = span_of(run);
    let (Some(&last), Some((_, heads))) = (row.last(), row.split_last()) else {
        return Ok(Vec::new());
    };
    let alternating = || vec_alternating(row.len());
    let covered = || {
        let mut roles = vec![Role::Values; row.len()];
        roles.last_mut().map(|r| *r = Role::Volts);
        roles
    };
    if let [first, _] = run
        && first.list.tolerance_letter
    {
        return Ok(vec![Role::Values, Role::Volts]);
    }
    if let [a, b] = row[..] {
        if context.volts_ahead {
            return Ok(vec![Role::Values; 2]);
        }
        return two_singles(a, b, span, context, doubts);
    }
    if context.volts_ahead && row.iter().all(|v| *v < plausible::SURELY_VOLTS) {
        return Ok(vec![Role::Values; row.len()]);
    }
    let pairs = row.chunks(2).all(
        |c| matches!(c, [a, b] if plausible::is_section(*a, *b) && plausible::is_rated_voltage(*b)),
    );
    let sure = heads.iter().filter(|v| **v >= plausible::SURELY_VOLTS).count();
    let cover = sure == 0 && heads.iter().all(|v| plausible::is_section(*v, last));
    if let [head @ .., working, surge] = &row[..]
        && plausible::is_surge_of(*working, *surge)
        && *working >= plausible::SURELY_VOLTS
        && head.iter().all(|v| *v < plausible::SURELY_VOLTS)
        && !pairs
    {
        let mut roles = vec![Role::Values; head.len()];
        roles.extend([Role::Volts, Role::Surge]);
        return Ok(roles);
    }
    let half = row.len() / 2;
    let halves = row.len() % 2 == 0
        && row[..half].iter().zip(&row[half..]).all(|(a, b)| {
            plausible::is_section(*a, *b)
                && plausible::is_rated_voltage(*b)
                && *a < plausible::SURELY_VOLTS
        })
        && row[half..].iter().any(|v| *v >= plausible::SURELY_VOLTS);
    if cover && last >= plausible::SURELY_VOLTS {
        return Ok(covered());
    }
    let values_as_volts = row.chunks(2).any(|c| c[0] >= plausible::SURELY_VOLTS);
    if halves && (!pairs || values_as_volts) {
        return Ok((0..row.len())
            .map(|i| if i < half { Role::Values } else { Role::Volts })
            .collect());
    }
    if pairs && (sure > 0 || !cover) && !halves {
        return Ok(alternating());
    }
    if !pairs && !cover && !halves {
        return Err(unreadable(span));
    }
    ask_row(&row, span, pairs, halves, doubts)
}

fn vec_alternating(count: usize) -> Vec<Role> {
    (0..count).map(|i| if i % 2 == 0 { Role::Values } else { Role::Volts }).collect()
}

fn span_of(run: &[Member]) -> Range<usize> {
    let start = run.first().map_or(0, |m| figures::range(&m.list).start);
    start..run.last().map_or(start, |m| figures::range(&m.list).end)
}

fn two_singles(
    a: f64,
    b: f64,
    span: Range<usize>,
    context: Context,
    doubts: &mut Doubts,
) -> Result<Vec<Role>, Stop> {
    if context.complete && !context.one_mark && !plausible::is_rated_voltage(b) {
        return Ok(vec![Role::Skip; 2]);
    }
    let pair = vec![Role::Values, Role::Volts];
    if b >= plausible::SURELY_VOLTS && a < plausible::SURELY_VOLTS {
        return Ok(pair);
    }
    if !plausible::is_section(a, b) {
        return Err(unreadable(span));
    }
    if context.complete && !context.one_mark {
        let skip = !plausible::is_rated_voltage(b) || !plausible::is_stock_value(a);
        if skip {
            return Ok(vec![Role::Skip; 2]);
        }
        let choice = doubts.ask(Doubt {
            asks: format!("is `{a} {b}` one more section, or a maker's code?"),
            says: vec![format!("one more section, {a} µF {b} V"), "a code: no section".to_owned()],
            safe: Some(0),
            span,
        })?;
        return Ok(if choice == 0 { pair } else { vec![Role::Skip; 2] });
    }
    if context.one_mark || context.pair_style || !plausible::is_stock_value(b) {
        return Ok(pair);
    }
    let choice = doubts.ask(Doubt {
        asks: format!(
            "is this one section of {a} µF at {b} V, or two sections with the volts missing?"
        ),
        says: vec![
            format!("one section, {a} µF {b} V"),
            format!("two sections, {a} µF and {b} µF, volts not printed"),
        ],
        safe: None,
        span,
    })?;
    Ok(if choice == 0 { pair } else { vec![Role::Values; 2] })
}

/// A row with more than one honest reading.
fn ask_row(
    row: &[f64],
    span: Range<usize>,
    pairs: bool,
    halves: bool,
    doubts: &mut Doubts,
) -> Result<Vec<Role>, Stop> {
    let (last, heads) = row.split_last().map_or((0.0, row), |(l, h)| (*l, h));
    let values = heads.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
    let mut says = Vec::new();
    let mut readings: Vec<Vec<Role>> = Vec::new();
    if !halves {
        says.push(format!("{} sections of {values} µF, all at {last} V", heads.len()));
        readings.push(
            (0..row.len())
                .map(|i| if i + 1 == row.len() { Role::Volts } else { Role::Values })
                .collect(),
        );
    } else {
        let half = row.len() / 2;
        says.push("first the values, then their volts".to_owned());
        readings.push(
            (0..row.len()).map(|i| if i < half { Role::Values } else { Role::Volts }).collect(),
        );
    }
    if pairs || halves {
        says.push("value and volts by turns".to_owned());
        readings.push(vec_alternating(row.len()));
    } else {
        let a = row.first().copied().unwrap_or(0.0);
        let b = row.get(1).copied().unwrap_or(0.0);
        says.push(format!("{a} µF at {b} V, and a loose {last}"));
        let mut roles = vec![Role::Skip; row.len()];
        for (slot, role) in roles.iter_mut().zip([Role::Values, Role::Volts]) {
            *slot = role;
        }
        readings.push(roles);
    }
    let asks = "are these figures several values with one voltage, or value and volts by turns?"
        .to_owned();
    let choice = doubts.ask(Doubt { asks, says, safe: None, span })?;
    Ok(readings.into_iter().nth(choice).unwrap_or_default())
}

/// Bare lists of which at least one has several figures.
fn lists(run: &[Member], context: Context, doubts: &mut Doubts) -> Result<Vec<Role>, Stop> {
    if run.iter().all(|m| m.list.figures.len() == 2 && m.list.sign != ',') {
        return two_figure_lists(run, context, doubts);
    }
    let mut roles = Vec::with_capacity(run.len());
    let mut pending = context.pending > 0;
    for (i, member) in run.iter().enumerate() {
        let value = member.list.figures.first().map_or(0.0, |f| f.value);
        let before = i
            .checked_sub(1)
            .and_then(|j| run.get(j))
            .and_then(|m| m.list.figures.last())
            .map(|f| f.value);
        let role = if !pending && is_pair(&member.list) && roles.is_empty() && run.len() > 1 {
            Role::Pair
        } else if !pending
            && before.is_some_and(|b| {
                roles.last() != Some(&Role::Values)
                    && b >= plausible::SURELY_VOLTS
                    && plausible::is_surge_of(b, value)
            })
        {
            Role::Surge
        } else if pending && (value >= plausible::SURELY_VOLTS || i + 1 == run.len() || i % 2 == 1)
        {
            Role::Volts
        } else {
            Role::Values
        };
        pending = matches!(role, Role::Values) || (pending && role == Role::Surge);
        roles.push(role);
    }
    slash_question(run, roles, doubts)
}

/// `40-450 20-450 20-25`, `40-20 450-25` or `40-60, 20-40`.
fn two_figure_lists(
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
fn slash_question(
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
    let two = if a.value == b.value {
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
