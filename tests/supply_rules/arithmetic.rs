//! Sums as people write them: `0.309 A × 0.6 = 0.185 A, its share`. Units and words
//! count for nothing, so that an equation is in one unit throughout.

/// What stands on both sides of an equals sign.
#[derive(Debug)]
pub(crate) struct Equation {
    /// What the left side comes to.
    pub(crate) left: f64,
    /// The number on the right.
    pub(crate) right: f64,
    /// What the last digit of a change in per cent leaves open.
    pub(crate) slack: f64,
    /// That number in base units.
    pub(crate) result: f64,
}

/// The equation of a clause; one without an equals sign is its first number.
#[track_caller]
pub(crate) fn equation(clause: &str) -> Equation {
    let (left, right) = clause.rsplit_once(" = ").unwrap_or((clause, clause));
    let mut words = right.split(' ');
    let right: f64 = words.next().unwrap().trim_end_matches(',').parse().unwrap_or_else(|e| {
        panic!("{clause}: {e}");
    });
    let scale = if words.next().is_some_and(|unit| unit.starts_with('µ')) { 1e-6 } else { 1.0 };
    let left = if clause.contains(" = ") { value(left) } else { right };
    // Two decimals, and currents of six digits.
    let slack = if clause.contains(" %") { 0.006 } else { 0.0 };
    Equation { left, right, slack, result: right * scale }
}

pub(crate) fn near(found: f64, expected: f64, share: f64) -> bool {
    (found - expected).abs() <= share * expected.abs() + 1e-12
}

/// What an expression comes to.
#[track_caller]
pub(crate) fn value(text: &str) -> f64 {
    let mut rest = tokens(text).into_iter().peekable();
    let found = sum(&mut rest);
    assert_eq!(rest.next(), None, "{text}");
    found
}

type Tokens = std::iter::Peekable<std::vec::IntoIter<Token>>;

#[derive(Debug, Clone, Copy, PartialEq)]
enum Token {
    Number(f64),
    Sign(char),
}

fn tokens(text: &str) -> Vec<Token> {
    let spaced: String = text
        .chars()
        .flat_map(|c| if "()^√".contains(c) { vec![' ', c, ' '] } else { vec![c] })
        .collect();
    // A minus that belongs to a number stands right before it.
    let words = spaced.split_whitespace();
    words
        .filter_map(|word| match word.parse() {
            Ok(number) => Some(Token::Number(number)),
            Err(_) if word.chars().count() == 1 && "()^√+-×/".contains(word) => {
                word.chars().next().map(Token::Sign)
            }
            Err(_) => None,
        })
        .collect()
}

fn sum(rest: &mut Tokens) -> f64 {
    let mut found = product(rest);
    while let Some(Token::Sign(sign @ ('+' | '-'))) = rest.peek().copied() {
        rest.next();
        found += if sign == '+' { product(rest) } else { -product(rest) };
    }
    found
}

fn product(rest: &mut Tokens) -> f64 {
    let mut found = power(rest);
    while let Some(Token::Sign(sign @ ('×' | '/'))) = rest.peek().copied() {
        rest.next();
        found = if sign == '×' { found * power(rest) } else { found / power(rest) };
    }
    found
}

fn power(rest: &mut Tokens) -> f64 {
    let base = atom(rest);
    if rest.next_if_eq(&Token::Sign('^')).is_some() { base.powf(power(rest)) } else { base }
}

#[track_caller]
fn atom(rest: &mut Tokens) -> f64 {
    match rest.next() {
        Some(Token::Number(number)) => number,
        Some(Token::Sign('√')) => atom(rest).sqrt(),
        Some(Token::Sign('(')) => {
            let found = sum(rest);
            assert_eq!(rest.next(), Some(Token::Sign(')')));
            found
        }
        other => panic!("{other:?} where a number belongs"),
    }
}

#[test]
fn sums_come_out() {
    assert!(near(value("2000 h × 2^((105 - 55) / 10) × 2^(-5 / 5)"), 32_000.0, 1e-12));
    assert!(near(value("0.01 × 22 µF × 450 V + 3 + 0.01 × 10 µF × 450 V + 3"), 150.0, 1e-12));
    assert!(near(value("100 × (1.05 A / 1 A - 1)"), 5.0, 1e-9));
    assert!(near(value("√2 × 300 V"), 424.264, 1e-6));
    let of = equation("0.5 × 4 µF = 2 µA, as told");
    assert!(near(of.left, of.right, 1e-12) && near(of.result, 2e-6, 1e-12));
}
