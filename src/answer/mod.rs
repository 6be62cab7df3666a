//! What each command answers: one document, built once from the computed result.
//!
//! A document holds no layout, and nothing is worked out after it: JSON is the document
//! itself, and every screen and page renders it. What only people read, such as the name
//! of a section or the reason of a verdict in a few words, stands in its fields that JSON
//! leaves out, made from the same figures.

pub mod around;
pub mod beside;
pub mod causes;
pub mod check;
pub mod danger;
pub mod fault;
mod notice;
pub mod plain;
pub mod prove;
pub mod readings;
pub mod set;
pub mod sets;
pub mod stamped;
pub mod study;

pub use around::Around;
pub use plain::{JudgedBy, Reason};
pub use stamped::{Stamped, StockSource};

use crate::quantity::significant;

/// Each key once, in the order in which they first come, with all that goes with it:
/// what is alike is said once.
pub fn alike<K: PartialEq, V>(each: impl IntoIterator<Item = (K, V)>) -> Vec<(K, Vec<V>)> {
    let mut all: Vec<(K, Vec<V>)> = Vec::new();
    for (key, value) in each {
        match all.iter_mut().find(|(other, _)| *other == key) {
            Some((_, values)) => values.push(value),
            None => all.push((key, vec![value])),
        }
    }
    all
}

/// Figures of documents have six digits.
fn six(x: f64) -> f64 {
    significant(x, 6)
}

#[cfg(test)]
mod tests {
    use super::alike;

    #[test]
    fn keeps_the_order_of_first_appearance() {
        let found = alike([("b", 1), ("a", 2), ("b", 3)]);
        assert_eq!(found, [("b", vec![1, 3]), ("a", vec![2])]);
    }
}
