//! Which guesses are tried, and which of them the readings leave.

use super::{
    guess::{Bench, COST, Condition, Fitted, Guess, LEAST},
    range::RISE,
    taken::Heard,
};

/// A misfit that chance alone gives: no more has to be wrong.
const ENOUGH: f64 = COST;
/// Most sections among which pairs are tried.
const MOST_PAIRS: usize = 8;

/// Scores this near are rivals while a reading that decides is not taken: what
/// three failed sections cost.
const RIVAL: f64 = 3.0 * COST;

/// Guesses that agree with the readings, the best first: each that scores as
/// well as the best one but for chance. One that holds all that is wrong in a better
/// one, and more, is left out unless without the rest a section would lie outside the
/// range that its readings give it.
pub(super) fn likely(bench: &Bench) -> Vec<Fitted> {
    let mut tried = tried(bench);
    tried.sort_by(|a, b| a.score.total_cmp(&b.score));
    with_one_more(bench, &mut tried);
    let Some(best) = tried.first().map(|best| best.score) else { return tried };
    let rivals = rivals(bench, &tried);
    let mut kept: Vec<Fitted> = Vec::new();
    for (i, fitted) in tried.into_iter().enumerate() {
        let more_than = |kept: &Fitted| {
            fitted.guess.contains(&kept.guess) && kept.found.misfit - fitted.found.misfit < RISE
        };
        if rivals.contains(&i) || fitted.score <= best + COST && !kept.iter().any(more_than) {
            kept.push(fitted);
        }
    }
    if kept.first().is_some_and(|best| best.guess.stray) {
        kept.extend(misheard(bench));
    }
    kept
}

/// Tries each section that is sound in the best guess as failed too, where enough is
/// left over for that to matter.
fn with_one_more(bench: &Bench, tried: &mut Vec<Fitted>) {
    let Some(best) = tried.first().filter(|best| best.found.misfit > RISE).cloned() else { return };
    let Guess { sections, .. } = &best.guess;
    let sound = (0..sections.len()).filter(|&i| sections[i] == Condition::Sound);
    for more in sound.map(|i| best.guess.with(i, Condition::Failed)) {
        if tried.iter().all(|fitted| fitted.guess != more) {
            tried.extend(bench.fit_near(more, &best));
        }
    }
    tried.sort_by(|a, b| a.score.total_cmp(&b.score));
}

/// One failed section that explains every reading but the frequency that was told:
/// what it shows at several lugs is not likely by chance, and a frequency is misheard
/// more easily than that.
fn misheard(bench: &Bench) -> Vec<Fitted> {
    if bench.taken.hum.len() < 2 {
        return Vec::new();
    }
    let sound = Guess::all_sound(bench.whole.stations().len());
    let count = |fitted: &Fitted, of| fitted.guess.sections.iter().filter(|c| **c == of).count();
    let one = |fitted: &Fitted| {
        let sections = fitted.guess.sections.len();
        count(fitted, Condition::Failed) == 1 && count(fitted, Condition::Sound) + 1 == sections
    };
    let found = family(bench, &sound).into_iter();
    let found = found.filter(|fitted| fitted.found.misfit < ENOUGH && one(fitted));
    found.min_by(|a, b| a.score.total_cmp(&b.score)).into_iter().collect()
}

/// The best with a dead plate and the best without, where a reading that was not
/// taken tells them apart and no great misfit does.
fn rivals(bench: &Bench, tried: &[Fitted]) -> Vec<usize> {
    let is_open = match bench.taken.frequency {
        Heard::Untold => true,
        Heard::Line => !bench.has_dc(),
        Heard::Ripple | Heard::Else(_) => false,
    };
    let first = |dead: bool| tried.iter().position(|fitted| fitted.guess.dead_plate == dead);
    match (first(true), first(false)) {
        (Some(dead), Some(other)) if is_open => {
            let far = tried[dead].score - tried[other].score;
            if far.abs() < RIVAL { vec![dead, other] } else { Vec::new() }
        }
        _ => Vec::new(),
    }
}

fn tried(bench: &Bench) -> Vec<Fitted> {
    let count = bench.whole.stations().len();
    let sound = Guess::all_sound(count);
    let dead = Guess { dead_plate: true, ..sound.clone() };
    let stray = Guess { stray: true, ..sound.clone() };
    let two = bench.half.is_some();
    match bench.taken.frequency {
        // Ripple of the line's frequency has one plate, or is no ripple.
        Heard::Line if two => {
            let mut tried: Vec<Fitted> = bench.fit(stray).into_iter().collect();
            tried.extend(family(bench, &dead));
            tried
        }
        Heard::Untold if two => {
            let mut tried = family(bench, &sound);
            // One dead plate is likelier than several sections at once.
            if !tried.iter().any(is_simple) {
                tried.extend(family(bench, &dead));
            }
            tried
        }
        _ => family(bench, &sound),
    }
}

/// Guesses on a base: where every lug was read, those that each lug's own hum
/// points at; else, and where these don't do, all in turn.
fn family(bench: &Bench, base: &Guess) -> Vec<Fitted> {
    let mut tried: Vec<Fitted> = bench.fit(base.clone()).into_iter().collect();
    if is_enough(&tried) {
        return tried;
    }
    if bench.all_read() {
        tried.extend(pointed_at(bench, base));
        if is_enough(&tried) {
            return tried;
        }
    }
    tried.extend(in_turn(bench, base, &tried));
    tried
}

/// Whether a guess explains the readings with one section at most.
fn is_simple(fitted: &Fitted) -> bool {
    let wrong = fitted.guess.sections.iter().filter(|c| **c != Condition::Sound);
    fitted.found.misfit < ENOUGH && wrong.count() < 2
}

fn is_enough(tried: &[Fitted]) -> bool {
    tried.iter().any(|fitted| fitted.found.misfit < ENOUGH)
}

/// The sections whose own hum is off, together, and with each left out.
fn pointed_at(bench: &Bench, base: &Guess) -> Vec<Fitted> {
    // What the node ahead lets through and the node's own reading are off by.
    let slack = 3.0 * std::f64::consts::SQRT_2 * bench.taken.error;
    let excess = bench.excess(base);
    let points = |(i, off): (usize, &f64)| {
        let low = -bench.most.get(i).map_or(0.0, |most| most.ln());
        match *off {
            off if off > slack - LEAST.ln() * 0.5 => Some((i, Condition::Failed)),
            off if off < low - slack => Some((i, Condition::More)),
            _ => None,
        }
    };
    let wrong: Vec<(usize, Condition)> = excess.iter().enumerate().filter_map(points).collect();
    let all = |leave: Option<usize>| {
        let kept = wrong.iter().filter(|(i, _)| Some(*i) != leave);
        kept.fold(base.clone(), |guess, (i, condition)| guess.with(*i, *condition))
    };
    let mut tried: Vec<Fitted> = bench.fit(all(None)).into_iter().collect();
    if let Some(together) = tried.first().filter(|_| wrong.len() > 1).cloned() {
        let without = wrong.iter().map(|(i, _)| all(Some(*i)));
        tried.extend(without.filter_map(|guess| bench.fit_near(guess, &together)));
    }
    tried
}

/// One section; then two; then all of them: until chance explains the rest.
fn in_turn(bench: &Bench, base: &Guess, before: &[Fitted]) -> Vec<Fitted> {
    let count = base.sections.len();
    let mut tried: Vec<Fitted> = Vec::new();
    let fit = |guess: Guess, tried: &mut Vec<Fitted>| {
        if before.iter().all(|fitted| fitted.guess != guess) {
            // Long chains have more guesses than starts are worth.
            let few = count <= MOST_PAIRS;
            tried.extend(if few { bench.fit(guess) } else { bench.fit_quickly(guess) });
        }
    };
    for condition in [Condition::Failed, Condition::More] {
        (0..count).for_each(|i| fit(base.with(i, condition), &mut tried));
    }
    if is_enough(&tried) || count > MOST_PAIRS {
        return tried;
    }
    let pairs = || (0..count).flat_map(|i| (i + 1..count).map(move |j| (i, j)));
    for (i, j) in pairs() {
        fit(base.with(i, Condition::Failed).with(j, Condition::Failed), &mut tried);
    }
    if is_enough(&tried) {
        return tried;
    }
    for (i, j) in pairs().flat_map(|(i, j)| [(i, j), (j, i)]) {
        fit(base.with(i, Condition::Failed).with(j, Condition::More), &mut tried);
    }
    if count > 2 {
        fit((0..count).fold(base.clone(), |g, i| g.with(i, Condition::Failed)), &mut tried);
    }
    tried
}
