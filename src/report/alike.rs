//! What is alike is said once.

/// Each key once, in the order in which they first come, with all that goes
/// with it.
pub(super) fn alike<K: PartialEq, V>(each: impl IntoIterator<Item = (K, V)>) -> Vec<(K, Vec<V>)> {
    let mut all: Vec<(K, Vec<V>)> = Vec::new();
    for (key, value) in each {
        match all.iter_mut().find(|(other, _)| *other == key) {
            Some((_, values)) => values.push(value),
            None => all.push((key, vec![value])),
        }
    }
    all
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
