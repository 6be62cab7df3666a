//! Remedies that are a higher rating, in words.

use super::{RATED_V, SeriesPair, higher_rating};
use crate::{
    quantity::{clean, in_ohms, ohms, significant, volts},
    rules::{Bank, Finding, Grade, Place, Rule, series_pair, volts::DERATING},
    value::Value,
};

/// Volts over which a series pair is worth naming beside one part.
const PAIR_ABOVE_V: f64 = 400.0;

/// The rated volts with which the finding's rule passes, V.
pub(super) fn needed(place: Option<&Place>, finding: &Finding) -> Option<f64> {
    let value = finding.value?;
    Some(match finding.rule {
        Rule::WorkingVolts => value / DERATING,
        Rule::RatedVolts | Rule::BypassVolts => finding.limit_low?,
        Rule::ColdStart | Rule::Doubler => {
            value.max(place.and_then(open_at_high_line).unwrap_or(0.0))
        }
        _ => value,
    })
}

/// What the section reaches at high line with nothing drawn, unless something that
/// draws holds it below.
fn open_at_high_line(place: &Place) -> Option<f64> {
    match place.supply {
        Some(at) => at.peak().filter(|_| !at.peak.is_held()),
        None => place.here.open.map(|open| open.high),
    }
    .map(crate::quantity::in_volts)
}

/// `rated 450 V or more`, and a series pair where one part is rare; a pair alone
/// above the highest rating as sold.
pub(super) fn words(place: Option<&Place>, needed: f64) -> String {
    let one = higher_rating(volts(needed)).map(|rated| format!("rated {} or more", rated.print()));
    let pair = place.filter(|_| needed > PAIR_ABOVE_V).and_then(|p| pair(p, needed));
    let ways: Vec<String> = one.into_iter().chain(pair).collect();
    if ways.is_empty() {
        return format!(
            "rated {} or more in all, of several in series",
            volts(up(needed, 3)).print()
        );
    }
    ways.join("; or ")
}

/// The same for what is stamped, which parts may be rated at that no list has today.
pub(super) fn as_stamped(place: Option<&Place>, stamped: f64) -> String {
    let one = format!("rated {} or more", volts(stamped).print());
    match place.filter(|_| stamped > PAIR_ABOVE_V).and_then(|place| pair(place, stamped)) {
        Some(pair) => format!("{one}; or {pair}"),
        None => one,
    }
}

/// Two in series that hold `needed` in all.
fn pair(place: &Place, needed: f64) -> Option<String> {
    let pair = SeriesPair::new(place)?;
    let each = pair.rated.max(higher_rating(volts(0.5 * needed))?);
    Some(format!(
        "two {} {} in series with {} across each",
        pair.each.print(),
        each.print(),
        ohms(significant(in_ohms(pair.balance.resistance), 3)).print()
    ))
}

/// The rating as sold at which the worse one of a series pair holds; it leaks more
/// the higher it is rated, so each is tried.
pub(super) fn of_a_pair(place: Option<&Place>, bank: &Bank) -> Option<String> {
    let place = place?;
    let holds = |rated: &f64| {
        let each_v = vec![*rated; bank.each_v.len()];
        let with = Bank { each_v, surge_v: None, ..bank.clone() };
        series_pair::grade(place, &with) == Some(Grade::Pass)
    };
    let rated = RATED_V.into_iter().find(holds)?;
    Some(format!("parts rated {} or more", volts(rated).print()))
}

/// Rounded up to so many digits: a figure to buy by.
pub(super) fn up(x: f64, digits: u8) -> f64 {
    let step = 10.0_f64.powf(x.abs().log10().floor() + 1.0 - f64::from(digits));
    let up = clean(clean(x / step).ceil() * step);
    if up.is_finite() { up } else { x }
}

/// Rounded down to so many digits: a figure not to pass.
pub(super) fn down(x: f64, digits: u8) -> f64 {
    -up(-x, digits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[expect(clippy::float_cmp, reason = "decimals of a few digits are exact")]
    fn rounding_to_buy_by() {
        let cases = [(0.1231, 2, 0.13), (0.12, 2, 0.12), (149.2, 2, 150.0), (1.0, 3, 1.0)];
        for (x, digits, expected) in cases {
            assert_eq!(up(x, digits), expected, "{x}");
        }
        assert_eq!((down(48.96, 3), down(8.0, 3), up(0.0, 2)), (48.9, 8.0, 0.0));
    }
}
