//! Remedies that are other parts: a higher rating, a series pair, a split can.

use crate::{
    part::{Part, PartSection, Style},
    quantity::{Capacitance, Voltage, in_volts, microfarads, volts},
    rules::{Bank, Grade, Place, series_pair},
    series::{Series, neighbours},
    set::{Connection, Leaf, StandIn},
};

/// Rated volts that electrolytics are sold in (IEC 60384-4, from memory, with
/// what besides is common in the trade: 350, 450, 500, 550 and 600 V).
pub const RATED_V: [f64; 17] = [
    16.0, 25.0, 35.0, 40.0, 50.0, 63.0, 80.0, 100.0, 160.0, 200.0, 250.0, 315.0, 350.0, 400.0,
    450.0, 500.0, 600.0,
];

/// The lowest rated volts as sold that are at least `needed`; `None` above the
/// highest: then a series pair or a lower line is the remedy.
#[must_use]
pub fn higher_rating(needed: Voltage) -> Option<Voltage> {
    RATED_V.into_iter().find(|rated| *rated >= in_volts(needed)).map(volts)
}

/// Two alike end to end, with a resistor across each.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesPair {
    /// Capacitance of each, of the series E6.
    pub each: Capacitance,
    /// Capacitance of both.
    pub whole: Capacitance,
    /// Rated volts of each: the lowest as sold at which the worse one stays
    /// within its rating.
    pub rated: Voltage,
    /// The resistors.
    pub balance: series_pair::Balance,
}

impl SeriesPair {
    /// The pair for a section at its stamped volts, or those measured at high
    /// line where they are higher, parts of ±20 % taken; `None` where no rating
    /// as sold is enough.
    #[must_use]
    pub fn new(place: &Place) -> Option<Self> {
        let near = neighbours(2.0 * place.stamped_uf, Series::E6).ok()?;
        let each = near.exact.map_or(near.above.value, |exact| exact.value);
        RATED_V.into_iter().find_map(|rated| Self::rated(place, each, rated))
    }

    fn rated(place: &Place, each: f64, rated: f64) -> Option<Self> {
        let parts = [part(each, rated)];
        let leaf = Leaf { part: 0, section: 0 };
        let pair = StandIn::joined(Connection::Series, vec![leaf; 2])?;
        let bank = Bank::new(&pair, &parts);
        let holds = series_pair::grade(place, &bank)? == Grade::Pass;
        let balance = series_pair::balance(place, &bank).filter(|_| holds)?;
        Some(Self {
            each: microfarads(each),
            whole: microfarads(bank.capacitance_uf),
            rated: volts(rated),
            balance,
        })
    }
}

/// A can taken apart: sections that share a negative, group by group.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Split {
    /// Indices of sections, each group with a negative of its own.
    pub groups: Vec<Vec<usize>>,
}

impl Split {
    /// The groups of sections whose `negatives` are equal; `None` where there is
    /// but one, so that one can serves.
    #[must_use]
    pub fn new(negatives: &[usize]) -> Option<Self> {
        let mut groups: Vec<(usize, Vec<usize>)> = Vec::new();
        for (section, negative) in negatives.iter().enumerate() {
            match groups.iter_mut().find(|(of, _)| of == negative) {
                Some((_, sections)) => sections.push(section),
                None => groups.push((*negative, vec![section])),
            }
        }
        let groups: Vec<Vec<usize>> = groups.into_iter().map(|(_, sections)| sections).collect();
        (groups.len() > 1).then_some(Self { groups })
    }
}

/// A part of which only capacitance and rated volts are known.
fn part(uf: f64, rated: f64) -> Part {
    let section = PartSection { capacitance: microfarads(uf), rated: volts(rated), ripple: None };
    Part::bare(String::new(), Style::Radial, vec![section])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        facts::Facts,
        quantity::{in_microfarads, in_ohms, in_watts},
        stamping::{Answers, read},
    };

    #[test]
    fn ratings_as_sold() {
        let cases = [(442.0, Some(450.0)), (450.0, Some(450.0)), (472.0, Some(500.0))];
        for (needed, expected) in cases {
            assert_eq!(higher_rating(volts(needed)).map(in_volts), expected, "{needed}");
        }
        assert_eq!(higher_rating(volts(601.0)), None);
        assert_eq!(higher_rating(volts(f64::NAN)), None);
    }

    /// Scenario 3 of the reference: for 8 µF at 475 V two 22 µF with 220 kΩ 1 W
    /// each. By hand: the worse of a ±20 % pair takes 0.6 of 475 V, 285 V; at
    /// rest half of it, 237.5 V, and 220 kΩ × half the leakage of 0.01 × 22 × 315
    /// + 3 = 72.3 µA, 8 V more; so 315 V parts do at 475 V.
    #[test]
    fn a_pair_for_two_eights() {
        let can = read("8-8 MFD 475 V", &Answers::default()).expect("reads").can;
        let facts = Facts::default();
        let places = Place::all(&can, &facts);
        let pair = SeriesPair::new(&places[0]).expect("a pair");
        let figures = (in_microfarads(pair.each), in_microfarads(pair.whole), in_volts(pair.rated));
        assert_eq!(figures, (22.0, 11.0, 315.0));
        let balance = (in_ohms(pair.balance.resistance), in_watts(pair.balance.power));
        assert_eq!(balance, (220e3, 1.0));
    }

    #[test]
    fn groups_by_negative() {
        assert_eq!(Split::new(&[0, 0, 0]), None);
        assert_eq!(Split::new(&[]), None);
        let split = Split::new(&[4, 1, 4]).expect("two negatives");
        assert_eq!(split.groups, [vec![0, 2], vec![1]]);
    }
}
