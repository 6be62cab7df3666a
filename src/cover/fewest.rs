//! Few columns that between them hold every row that any column holds: the one with
//! the most rows still open first, and then fewer, as far as a bound of work goes.

use std::collections::BTreeSet;

/// Most steps of the look for fewer columns than the greedy choice has.
const MOST_STEPS: usize = 20_000;

/// Indices of the columns taken, in order, and whether no fewer would do. Equal inputs
/// give equal covers.
pub(super) fn cover(columns: &[Vec<usize>]) -> (Vec<usize>, bool) {
    let columns: Vec<BTreeSet<usize>> =
        columns.iter().map(|column| column.iter().copied().collect()).collect();
    let open: BTreeSet<usize> = columns.iter().flatten().copied().collect();
    let mut look = Look { columns: &columns, usable: undominated(&columns), steps: MOST_STEPS };
    let mut taken = look.greedy(open.clone());
    // One column fewer each time, until none are found or the steps are used up.
    while let Some(fewer) = taken.len().checked_sub(1).and_then(|most| look.within(&open, most)) {
        taken = fewer;
    }
    taken.sort_unstable();
    (taken, look.steps > 0)
}

/// Columns whose rows no other column holds as well; of equal ones the first.
fn undominated(columns: &[BTreeSet<usize>]) -> Vec<usize> {
    let mut kept: Vec<usize> = Vec::new();
    let mut order: Vec<usize> = (0..columns.len()).filter(|&i| !columns[i].is_empty()).collect();
    order.sort_by_key(|&i| std::cmp::Reverse(columns[i].len()));
    for i in order {
        if !kept.iter().any(|&wider| columns[i].is_subset(&columns[wider])) {
            kept.push(i);
        }
    }
    kept
}

struct Look<'c> {
    columns: &'c [BTreeSet<usize>],
    usable: Vec<usize>,
    steps: usize,
}

impl Look<'_> {
    fn held(&self, column: usize, open: &BTreeSet<usize>) -> usize {
        self.columns[column].intersection(open).count()
    }

    fn greedy(&self, mut open: BTreeSet<usize>) -> Vec<usize> {
        let mut taken = Vec::new();
        while !open.is_empty() {
            let most = |&&i: &&usize| (self.held(i, &open), std::cmp::Reverse(i));
            let Some(&column) = self.usable.iter().max_by_key(most) else { break };
            open.retain(|row| !self.columns[column].contains(row));
            taken.push(column);
        }
        taken
    }

    /// At most `most` columns that hold the `open` rows: one of those that hold the
    /// row with the fewest is among them. `None` as well where the steps are used up.
    fn within(&mut self, open: &BTreeSet<usize>, most: usize) -> Option<Vec<usize>> {
        let holding = |row: &usize| -> Vec<usize> {
            self.usable.iter().copied().filter(|&i| self.columns[i].contains(row)).collect()
        };
        let Some(mut columns) = open.iter().map(holding).min_by_key(Vec::len) else {
            return Some(Vec::new());
        };
        let widest = self.usable.iter().map(|&i| self.held(i, open)).max().unwrap_or(0);
        self.steps = self.steps.saturating_sub(1);
        if self.steps == 0 || open.len() > most * widest {
            return None;
        }
        columns.sort_by_key(|&i| std::cmp::Reverse(self.held(i, open)));
        columns.into_iter().find_map(|column| {
            let left = open.difference(&self.columns[column]).copied().collect();
            let mut taken = self.within(&left, most - 1)?;
            taken.push(column);
            Some(taken)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Every choice of columns, fewest first.
    fn brute(columns: &[Vec<usize>]) -> usize {
        let rows: BTreeSet<usize> = columns.iter().flatten().copied().collect();
        let covers = |choice: u32| {
            let taken = |i: &usize| choice >> i & 1 == 1;
            rows.iter()
                .all(|row| (0..columns.len()).filter(taken).any(|i| columns[i].contains(row)))
        };
        let choices = (0..1_u32 << columns.len()).filter(|&choice| covers(choice));
        choices.map(|choice| choice.count_ones() as usize).min().unwrap()
    }

    /// Taking the widest first would need three.
    #[test]
    fn the_widest_column_may_be_the_wrong_one() {
        let columns = [vec![2, 3, 4, 5], vec![0, 2, 4], vec![1, 3, 5]];
        assert_eq!(cover(&columns), (vec![1, 2], true));
        assert_eq!(cover(&[]), (vec![], true));
        assert_eq!(cover(&[vec![0], vec![0]]), (vec![0], true));
    }

    /// Where no proof is in reach the work ends, and what is taken holds every row.
    #[test]
    fn the_work_is_bounded() {
        let columns: Vec<Vec<usize>> = (0..400)
            .map(|i| (0..9).map(|j| (i * 37 + j * j * 13 + i * j) % 150).collect())
            .collect();
        let (taken, least) = cover(&columns);
        assert!(!least);
        let held: BTreeSet<usize> = taken.iter().flat_map(|&i| columns[i].clone()).collect();
        assert_eq!(held, columns.iter().flatten().copied().collect());
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 2_000, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_cover_is_smaller(
            columns in prop::collection::vec(prop::collection::vec(0..9_usize, 0..6), 0..11),
        ) {
            let (found, least) = cover(&columns);
            prop_assert!(least);
            prop_assert_eq!(found.len(), brute(&columns));
            for row in 0..9 {
                let held = columns.iter().any(|column| column.contains(&row));
                prop_assert_eq!(held, found.iter().any(|&i| columns[i].contains(&row)));
            }
        }
    }
}
