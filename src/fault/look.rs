//! Which guesses are tried, and which of them the readings leave.

use super::{
    guess::{Bench, COST, Condition, Fitted, Guess},
    taken::Heard,
};

/// A misfit that chance alone gives: no more has to be wrong.
const ENOUGH: f64 = COST;
/// Most sections among which pairs are tried.
const MOST_PAIRS: usize = 8;

/// Guesses that agree with the readings, the best first: each that scores as
/// well as the best one but for chance, supersets of a better one left out.
pub(super) fn likely(bench: &Bench) -> Vec<Fitted> {
    let mut tried = tried(bench);
    tried.sort_by(|a, b| a.score.total_cmp(&b.score));
    let Some(best) = tried.first().map(|best| best.score) else { return tried };
    let mut kept: Vec<Fitted> = Vec::new();
    for fitted in tried {
        let more_than = |kept: &Fitted| fitted.guess.contains(&kept.guess);
        if fitted.score <= best + COST && !kept.iter().any(more_than) {
            kept.push(fitted);
        }
    }
    kept
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
            if tried.iter().all(|fitted| fitted.found.misfit > ENOUGH) {
                tried.extend(family(bench, &dead));
            }
            tried
        }
        _ => family(bench, &sound),
    }
}

/// None wrong; then one section; then two; then all of them: until chance
/// explains the rest.
fn family(bench: &Bench, base: &Guess) -> Vec<Fitted> {
    let count = base.sections.len();
    let enough = |tried: &[Fitted]| tried.iter().any(|fitted| fitted.found.misfit < ENOUGH);
    let mut tried: Vec<Fitted> = bench.fit(base.clone()).into_iter().collect();
    if enough(&tried) {
        return tried;
    }
    for condition in [Condition::Failed, Condition::More] {
        tried.extend((0..count).filter_map(|i| bench.fit(base.with(i, condition))));
    }
    if enough(&tried) || count > MOST_PAIRS {
        return tried;
    }
    for i in 0..count {
        for j in i + 1..count {
            let both = base.with(i, Condition::Failed).with(j, Condition::Failed);
            tried.extend(bench.fit(both));
        }
    }
    if !enough(&tried) {
        for (i, j) in (0..count).flat_map(|i| (0..count).map(move |j| (i, j))).filter(|(i, j)| i != j) {
            let mixed = base.with(i, Condition::Failed).with(j, Condition::More);
            tried.extend(bench.fit(mixed));
        }
        if count > 2 {
            let all = (0..count).fold(base.clone(), |guess, i| guess.with(i, Condition::Failed));
            tried.extend(bench.fit(all));
        }
    }
    tried
}
