//! The nearest known word to one that is not known.

/// The word of `known` nearest to `found`, if any is near enough to be meant;
/// of equals the first, so the answer never varies.
pub(super) fn nearest<'k>(found: &str, known: &[&'k str]) -> Option<&'k str> {
    let found = found.trim().to_lowercase();
    let length = found.chars().count();
    // A long text is no misspelling of a word, and comparing it costs time.
    if !(2..=40).contains(&length) {
        return None;
    }
    let inside = |word: &&&str| length >= 3 && (word.contains(&*found) || found.contains(**word));
    let by_spelling = known
        .iter()
        .map(|&word| (strsim::damerau_levenshtein(&found, word), word))
        .min_by_key(|&(distance, _)| distance)
        .filter(|&(distance, _)| distance <= 1.max(length / 3))
        .map(|(_, word)| word);
    by_spelling.or_else(|| known.iter().find(inside).copied())
}

#[cfg(test)]
mod tests {
