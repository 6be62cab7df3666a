//! The nearest known word to one that is not known.

/// The word of `known` nearest to `found`, if any is near enough to be meant;
/// of equals the first, so the answer never varies. Capitals don't count.
#[must_use]
pub fn nearest<'k>(found: &str, known: &[&'k str]) -> Option<&'k str> {
    let found = found.trim().to_lowercase();
    let length = found.chars().count();
    // A long text is no misspelling of a word, and comparing it costs time; of two
    // letters one is wrong in half of all words.
    if !(3..=40).contains(&length) {
        return None;
    }
    let distance = |word: &str| strsim::damerau_levenshtein(&found, &word.to_lowercase());
    let inside = |word: &&&str| word.contains(&*found) || found.contains(**word);
    let by_spelling = known
        .iter()
        .map(|&word| (distance(word), word))
        .min_by_key(|&(distance, _)| distance)
        .filter(|&(distance, _)| distance <= 1.max(length / 3))
        .map(|(_, word)| word);
    by_spelling.or_else(|| known.iter().find(inside).copied())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(found: &str, expected: Option<&str>) {
        let known = ["name", "capacitance", "choke", "choke_resistance", "floating B-"];
        assert_eq!(nearest(found, &known), expected);
    }

    #[test]
    fn offers_only_what_may_be_meant() {
        check("capacitence", Some("capacitance"));
        check("chocke", Some("choke"));
        check("chok", Some("choke"));
        check("resistance", Some("choke_resistance"));
        check("Floating b", Some("floating B-"));
        check("colour", None);
        check("nm", None);
        check(&"choke".repeat(1000), None);
    }
}
