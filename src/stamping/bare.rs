//! Rows of figures without any unit: values, volts or both, decided by what a
//! can can be, and asked where that leaves two readings.

use std::ops::Range;

use super::{
    doubt::{Doubt, Doubts, Stop},
    figures,
    piece::List,
    plausible,
    role::{
        Context, Member, Role, is_count, is_pair, slash_question, times_or_pair, two_figure_lists,
        unreadable,
    },
};

/// Working volts of cathode bypasses that stand as a bare figure beside sections
/// with units. Common practice, no source.
const LOW_VOLTS: [f64; 2] = [25.0, 50.0];

/// `2x8` with no volts anywhere.
pub(super) fn bare_times_or_pair(
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

/// Lists without any unit in the run.
pub(super) fn bare(
    run: &[Member],
    context: Context,
    doubts: &mut Doubts,
) -> Result<Vec<Role>, Stop> {
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
    let two = if plausible::same(a.value, b.value) {
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
        if let Some(last) = roles.last_mut() {
            *last = Role::Volts;
        }
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
    let halves = row.len().is_multiple_of(2)
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

pub(super) fn span_of(run: &[Member]) -> Range<usize> {
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
    let low = LOW_VOLTS.contains(&b) || !context.units;
    if context.one_mark && low || context.pair_style || !plausible::is_stock_value(b) {
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
    let mut values: Vec<String> = heads.iter().map(ToString::to_string).collect();
    values.dedup();
    let values = values.join(" and ");
    let mut says = Vec::new();
    let mut readings: Vec<Vec<Role>> = Vec::new();
    if halves {
        let half = row.len() / 2;
        says.push("first the values, then their volts".to_owned());
        readings.push(
            (0..row.len()).map(|i| if i < half { Role::Values } else { Role::Volts }).collect(),
        );
    } else {
        says.push(format!("{} sections of {values} µF, all at {last} V", heads.len()));
        readings.push(
            (0..row.len())
                .map(|i| if i + 1 == row.len() { Role::Volts } else { Role::Values })
                .collect(),
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
    let shown = row.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
    let asks = format!("are `{shown}` values with one voltage, or value and volts by turns?");
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
