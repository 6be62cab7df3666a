//! A unit behind the last of several figures covers those before it: `40 40 20 MFD`,
//! `50 + 2x25 µF`; and volts listed with spaces go by position, `450 450 25 V`.

use super::{
    date,
    doubt::{Doubt, Stop},
    figures,
    noise::skipped,
    piece::{Class, List},
    plausible,
    reader::Reader,
    role::{Member, is_count, is_pair},
    words::FaradUnit,
};

impl Reader<'_> {
    /// Gives the unit of each list of values in `run` to the bare figures before it,
    /// and joins the volts behind it. `ahead` is the next list behind the run.
    ///
    /// # Errors
    /// An open question: figures that may be a date.
    pub(super) fn cover(
        &mut self,
        run: &mut Vec<Member>,
        ahead: Option<&List>,
    ) -> Result<(), Stop> {
        let volts_near = self.ahead.is_some() || ahead.is_some_and(|l| l.class == Class::Volts);
        cover_behind(run, volts_near);
        let (mut start, mut waiting) = (0, self.parts.pending());
        Self::join_headed(run, waiting, ahead);
        if waiting > 1 && next_farads(run, 0).is_none() {
            self.join_column(run, waiting)?;
        }
        while let Some(end) = next_farads(run, start) {
            let low = lowest(run, start, end);
            let due = if low == start { waiting } else { 0 };
            let first = low + volts_due(run.get(low..end).unwrap_or_default(), due);
            let mut end = end;
            if covers(run, first, end, volts_behind(run, end, ahead)) {
                end -= self.date_first(run, first, end)?;
                give_unit(run, first, end);
                end = join_values(run, first, end);
            }
            let values: usize = run.get(first..=end).unwrap_or_default().iter().map(count).sum();
            waiting = if first == start { due + values } else { values };
            join_volts(run, end + 1, waiting);
            start = end + 1;
        }
        Ok(())
    }

    /// `WVDC 450 450 25`: volts that one unit heads, for the values that wait for them or
    /// that stand behind. A list of another length is joined too, so that it is refused.
    fn join_headed(run: &mut Vec<Member>, waiting: usize, ahead: Option<&List>) {
        let head = |m: &Member| m.list.class == Class::Volts && m.list.headed;
        let Some(at) = run.iter().position(head) else { return };
        if run.get(at).is_none_or(|m| m.list.figures.len() != 1) {
            return;
        }
        let before: usize =
            run.iter().take(at).filter(|m| m.list.class.is_farads()).map(count).sum();
        let values = waiting + before;
        let length = headed_length(run, at);
        let last = run.len() == at + length;
        let first = values == 0 && ahead.is_some_and(|l| l.class.is_farads());
        let figure =
            |i: usize| run.get(i).and_then(|m| m.list.figures.first()).map_or(0.0, |f| f.value);
        let surge = length == 2 && plausible::is_wide_surge_of(figure(at), figure(at + 1));
        let due = values == length || (!surge && (values > 1 || first));
        if length > 1 && last && due {
            join(run, at, length, Class::Volts);
        }
    }

    /// Volts on a line of their own, as many as values wait: column by column.
    ///
    /// # Errors
    /// An open question: low figures before high volts may be values as well.
    fn join_column(&mut self, run: &mut Vec<Member>, waiting: usize) -> Result<(), Stop> {
        let single = run.iter().all(|m| m.list.figures.len() == 1);
        let value = |m: &Member| m.list.figures.first().map_or(0.0, |f| f.value);
        let (Some(first), Some(last)) = (run.first().map(value), run.last()) else { return Ok(()) };
        let rated = run.iter().all(|m| plausible::is_rated_voltage(value(m)));
        let rising = first < plausible::SURELY_VOLTS && value(last) >= plausible::SURELY_VOLTS;
        if single && rated && rising && run.len() == waiting && last.list.class == Class::Volts {
            let volts = value(last);
            let choice = self.doubts().ask(Doubt {
                asks: format!(
                    "is {first} here the volts of a section, or one more value at {volts} V?"
                ),
                says: vec![
                    "volts, one for each value of the line above".to_owned(),
                    format!("more values, all at {volts} V"),
                ],
                safe: None,
                span: super::bare::span_of(run),
            })?;
            if choice != 0 {
                return Ok(());
            }
        }
        join_volts(run, 0, waiting);
        Ok(())
    }

    /// `10-50 40 MFD`: a month and a year, or two values; how many lists it took away.
    fn date_first(
        &mut self,
        run: &mut Vec<Member>,
        first: usize,
        end: usize,
    ) -> Result<usize, Stop> {
        let Some(member) = run.get(first).filter(|_| first < end) else { return Ok(0) };
        let [a, b] = member.list.figures.as_slice() else { return Ok(0) };
        let parted = run.get(first + 1).is_some_and(|m| m.sign == ' ');
        if !parted || member.list.sign != '-' || !date::is_month_and_year(a.number, b.number) {
            return Ok(0);
        }
        let span = figures::range(&member.list);
        let shown = self.text.get(span.clone()).unwrap_or("").to_owned();
        let says = vec![
            format!("two values, {} µF and {} µF", a.value, b.value),
            "a date, month and year: no value".to_owned(),
        ];
        let asks = format!("is `{shown}` two values, or a date?");
        let doubt = Doubt { asks, says, safe: None, span: span.clone() };
        if self.doubts().ask(doubt)? == 0 {
            return Ok(0);
        }
        run.remove(first);
        self.ignored.push(skipped(self.text, span, "a date"));
        Ok(1)
    }
}

/// How many single figures from `at` on go on with a list of volts that a unit heads.
fn headed_length(run: &[Member], at: usize) -> usize {
    let goes_on = |m: &&Member| {
        let [figure] = m.list.figures.as_slice() else { return false };
        m.list.class == Class::Bare
            && m.sign == ' '
            && !m.at_sign
            && plausible::is_rated_voltage(figure.value)
    };
    1 + run.iter().skip(at + 1).take_while(goes_on).count()
}

/// Makes `length` lists from `at` on one list of volts.
fn join(run: &mut Vec<Member>, at: usize, length: usize, class: Class) {
    let behind: Vec<Member> = run.drain(at + 1..at + length).collect();
    if let Some(member) = run.get_mut(at) {
        member.list.class = class;
        member.list.figures.extend(behind.iter().flat_map(|m| m.list.figures.iter().copied()));
    }
}

/// The first list from `start` on that has a unit of capacitance behind it.
fn next_farads(run: &[Member], start: usize) -> Option<usize> {
    let behind = |m: &Member| m.list.class.is_farads() && !m.list.reversed;
    run.iter().skip(start).position(behind).map(|i| i + start)
}

/// Where the bare lists that lead up to `end` start.
fn lowest(run: &[Member], start: usize, end: usize) -> usize {
    let mut low = end;
    while low > start {
        let joined = run
            .get(low)
            .is_some_and(|m| !m.at_sign && matches!(m.sign, ' ' | '+' | '-' | '/' | '&'));
        if !joined || run.get(low - 1).is_none_or(|m| m.list.class != Class::Bare) {
            break;
        }
        low -= 1;
    }
    low
}

/// How many of the bare lists of `group` are the volts of values that wait for them.
fn volts_due(group: &[Member], waiting: usize) -> usize {
    let Some(first) = group.first().filter(|_| waiting > 0) else { return 0 };
    let sure = |m: &Member| m.list.figures.iter().all(|f| f.value >= plausible::SURELY_VOLTS);
    if matches!(first.sign, '+' | '&') && !sure(first) {
        return 0;
    }
    1 + group.iter().skip(1).take_while(|m| sure(m)).count()
}

/// The lowest volts that stand behind the list at `end`.
fn volts_behind(run: &[Member], end: usize, ahead: Option<&List>) -> Option<f64> {
    let next = run.iter().skip(end + 1).map(|m| &m.list).find(|l| !l.class.is_farads());
    let list = next.or(ahead.filter(|l| !l.class.is_farads()))?;
    list.figures.iter().map(|f| f.value).reduce(f64::min)
}

/// Whether all lists from `first` to `end` may be values with `volts`.
fn covers(run: &[Member], first: usize, end: usize, volts: Option<f64>) -> bool {
    let group = run.get(first..end).unwrap_or_default();
    let fits = |value: f64| {
        value < plausible::SURELY_VOLTS || volts.is_some_and(|v| plausible::may_be_value(value, v))
    };
    !group.is_empty()
        && group.iter().all(|m| match m.list.figures.as_slice() {
            _ if m.list.sign == '…' => false,
            [n, value] if m.list.sign == 'x' => is_count(n.value) && fits(value.value),
            _ if is_pair(&m.list) => false,
            each => each.iter().all(|f| fits(f.value)),
        })
}

/// Gives the unit of the list at `end` to those from `first` on.
fn give_unit(run: &mut [Member], first: usize, end: usize) {
    let Some(class) = run.get(end).map(|m| m.list.class) else { return };
    let factor = match class {
        Class::Farads(FaradUnit::Nano) => 1e-3,
        Class::Farads(FaradUnit::Whole) => 1e6,
        _ => 1.0,
    };
    for member in run.get_mut(first..end).into_iter().flatten() {
        member.list.class = class;
        let skip = usize::from(member.list.sign == 'x' && member.list.figures.len() == 2);
        member.list.figures.iter_mut().skip(skip).for_each(|f| f.value *= factor);
    }
}

/// `MFD 40 40 20 450 V`: the unit before its first value covers those up to the volts,
/// or to the end of the run where volts stand on another line.
fn cover_behind(run: &mut [Member], volts_near: bool) {
    let Some(from) = run.iter().position(|m| m.list.reversed) else { return };
    let bare = |m: &&Member| {
        let low = m.list.figures.iter().all(|f| f.value < plausible::SURELY_VOLTS);
        m.list.class == Class::Bare && m.sign == ' ' && !m.at_sign && low && m.list.sign != 'x'
    };
    let count = run.iter().skip(from + 1).take_while(bare).count();
    let volts = run.get(from + 1 + count).map_or(volts_near, |m| m.list.class == Class::Volts);
    let plain = |c: &Class| matches!(c, Class::Farads(FaradUnit::Micro | FaradUnit::OldMicro));
    let class = run.get(from).map(|m| m.list.class).filter(plain);
    let (Some(class), true) = (class, volts) else { return };
    for member in run.iter_mut().skip(from + 1).take(count) {
        member.list.class = class;
        member.list.reversed = true;
    }
}

/// Makes one list of single values with spaces between, so that marks and volts are
/// counted against all of them; where it stands.
fn join_values(run: &mut Vec<Member>, first: usize, end: usize) -> usize {
    let group = run.get(first..=end).unwrap_or_default();
    let single = |m: &Member| m.list.figures.len() == 1 && !m.list.tolerance_letter;
    if !group.iter().all(single) || group.iter().skip(1).any(|m| m.sign != ' ') {
        return end;
    }
    let behind: Vec<Member> = run.drain(first + 1..=end).collect();
    if let Some(member) = run.get_mut(first) {
        member.list.figures.extend(behind.iter().flat_map(|m| m.list.figures.iter().copied()));
    }
    first
}

/// How many sections a list of values gives.
fn count(member: &Member) -> usize {
    match member.list.figures.as_slice() {
        [n, _] if member.list.sign == 'x' => plausible::count(n.value).unwrap_or(1),
        each => each.len(),
    }
}

/// Joins single figures from `at` on to one list of volts: `450 450 25 V`.
fn join_volts(run: &mut Vec<Member>, at: usize, values: usize) {
    let rest = run.get(at..).unwrap_or_default();
    let single = |m: &&Member| m.list.figures.len() == 1 && !m.list.reversed;
    let bare = rest
        .iter()
        .enumerate()
        .take_while(|(i, m)| {
            single(m) && m.list.class == Class::Bare && (*i == 0 || (m.sign == ' ' && !m.at_sign))
        })
        .count();
    let last = rest.get(bare).filter(|m| single(m) && m.list.class == Class::Volts);
    let joined = last.filter(|m| m.sign == ' ' && !m.at_sign);
    let length = bare + usize::from(joined.is_some());
    // Where other lists follow the bare figures, they are no row of volts.
    if length < 2 || (joined.is_none() && rest.len() > bare) {
        return;
    }
    let value =
        |i: usize| rest.get(i).and_then(|m| m.list.figures.first()).map_or(0.0, |f| f.value);
    let surge = plausible::is_wide_surge_of(value(length - 2), value(length - 1));
    let listed = length == values && (0..length).all(|i| plausible::is_rated_voltage(value(i)));
    let mismatch = joined.is_some() && value(0) >= plausible::SURELY_VOLTS && !surge;
    if !(listed || mismatch) {
        return;
    }
    let class = if joined.is_some() { Class::Volts } else { Class::Bare };
    join(run, at, length, class);
}
