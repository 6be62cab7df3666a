//! Rows that end in their volts beside lists of value and volts: `40-40-450 20-25`.

use super::{
    bare::span_of,
    doubt::{Doubt, Doubts, Stop},
    piece::{Class, Figure, List},
    plausible,
    role::Member,
};

/// Parts such rows, and the pairs beside them, into values and volts; whether it did.
///
/// # Errors
/// An open question: a lone figure, or a pair that may be surge volts, behind a row.
pub(super) fn settle(run: &mut Vec<Member>, doubts: &mut Doubts) -> Result<bool, Stop> {
    let bare = run.iter().all(|m| m.list.class == Class::Bare && !m.at_sign);
    let rows = run.iter().filter(|m| is_closed_row(&m.list)).count();
    if run.len() < 2 || !bare || rows == 0 {
        return Ok(false);
    }
    let pairs = run.iter().filter(|m| is_section_pair(&m.list)).count();
    let surges = (1..run.len()).filter(|&i| is_surge_behind(run, i)).count();
    if rows + pairs + surges == run.len() {
        let clear = run.iter().any(|m| is_section_pair(&m.list) && !may_be_surge(&m.list));
        if run.len() == 2 && pairs == 1 && !clear && ends_in_stock_value(run) {
            return ask_surge(run, doubts);
        }
        part(run);
        return Ok(true);
    }
    if let [row, lone] = run.as_slice()
        && is_closed_row(&row.list)
        && let [figure] = lone.list.figures.as_slice()
        && figure.value > 0.0
        && lone.sign == ' '
        && !ends_in_stock_value(run)
    {
        return ask_lone(run, doubts);
    }
    Ok(false)
}

/// `40-40-450`: low figures, then one that is surely volts.
fn is_closed_row(list: &List) -> bool {
    let Some((volts, heads)) = list.figures.split_last() else { return false };
    heads.len() > 1
        && matches!(list.sign, '-' | '/')
        && heads.iter().all(|f| plausible::is_section(f.value, volts.value))
        && heads.iter().all(|f| f.value < plausible::SURELY_VOLTS)
        && volts.value >= plausible::SURELY_VOLTS
        && plausible::is_rated_voltage(volts.value)
}

/// `20-25`: a value and its volts.
fn is_section_pair(list: &List) -> bool {
    matches!(list.figures.as_slice(), [a, b]
        if matches!(list.sign, '-' | '/')
            && a.value < plausible::SURELY_VOLTS
            && plausible::is_section(a.value, b.value)
            && plausible::is_rated_voltage(b.value))
}

fn may_be_surge(list: &List) -> bool {
    matches!(list.figures.as_slice(), [a, b] if plausible::is_surge_of(a.value, b.value))
}

/// `40-40-450 525`: the surge figure of the row before it.
fn is_surge_behind(run: &[Member], i: usize) -> bool {
    let list = |i: usize| run.get(i).map(|m| &m.list);
    let row = i.checked_sub(1).and_then(list).filter(|l| is_closed_row(l));
    match (row.and_then(|l| l.figures.last()), list(i).map(|l| l.figures.as_slice())) {
        (Some(volts), Some([surge])) => plausible::is_surge_of(volts.value, surge.value),
        _ => false,
    }
}

fn ends_in_stock_value(run: &[Member]) -> bool {
    let last = |m: &Member| m.list.figures.last().map_or(0.0, |f| f.value);
    run.iter().filter(|m| is_closed_row(&m.list)).any(|m| plausible::is_stock_value(last(m)))
}

/// Each list as its values, then its last figure as volts.
fn part(run: &mut Vec<Member>) {
    *run = run.iter().flat_map(|m| parted(m).into_iter().flatten()).collect();
}

fn parted(member: &Member) -> [Option<Member>; 2] {
    let list = |figures: Vec<Figure>, class| Member {
        list: List {
            sign: if figures.len() == 1 { ' ' } else { member.list.sign },
            figures,
            class,
            ..member.list.clone()
        },
        at_sign: false,
        sign: ' ',
    };
    let Some((volts, values)) = member.list.figures.split_last() else { return [None, None] };
    if values.is_empty() {
        return [Some(member.clone()), None];
    }
    [Some(list(values.to_vec(), Class::Bare)), Some(list(vec![*volts], Class::Volts))]
}

/// `40-40-300 20-25`: sections, or three values with working and surge volts.
fn ask_surge(run: &mut Vec<Member>, doubts: &mut Doubts) -> Result<bool, Stop> {
    let choice = doubts.ask(Doubt {
        asks: "does each list end in its volts, or is one of them working and surge volts?"
            .to_owned(),
        says: vec![
            "each list is values, then their volts".to_owned(),
            "values in one list, working and surge volts in the other".to_owned(),
        ],
        safe: None,
        span: span_of(run),
    })?;
    if choice == 0 {
        part(run);
    }
    Ok(choice == 0)
}

/// `40-40-450 25`: a loose figure, or the volts of all.
fn ask_lone(run: &[Member], doubts: &mut Doubts) -> Result<bool, Stop> {
    let figure =
        |m: Option<&Member>| m.and_then(|m| m.list.figures.last()).map_or(0.0, |f| f.value);
    let (volts, loose) = (figure(run.first()), figure(run.last()));
    let choice = doubts.ask(Doubt {
        asks: format!("is {volts} the volts of the figures before it, or a value at {loose} V?"),
        says: vec![
            format!("volts: {loose} stands alone, and its partner is lost"),
            format!("values, all at {loose} V"),
        ],
        safe: None,
        span: span_of(run),
    })?;
    if choice != 0 {
        return Ok(false);
    }
    Err(Stop::refuse(
        run.last().map_or(0..0, |m| super::figures::range(&m.list)),
        format!("{loose} stands without a partner, expected a value and its volts"),
        "look at the can again for the figure beside it, or leave it out",
    ))
}
