//! The least set cover, exactly: fewest columns that between them hold every row
//! that any column holds.
//!
//! Rows that ask for more than another row and columns that give no more than
//! another column are taken away until nothing changes; a row with one column
//! decides it. What is left is branched on: the row with the fewest columns, one
//! branch a column, the widest first. A branch is left only where rows of which
//! no two share a column, one column for each, show that it can't beat the best
//! cover so far. So the cover found is least.

/// Rows and columns as sets of numbers.
type Bits = Vec<u64>;

/// Indices of the fewest of `columns`, in order, that hold each of `rows` rows
/// that is held at all. Equal inputs give equal covers.
pub(super) fn cover(columns: &[Vec<usize>], rows: usize) -> Vec<usize> {
    let columns: Vec<Bits> = columns.iter().map(|held| bits(held, rows)).collect();
    let mut open = vec![0; words(rows)];
    for column in &columns {
        add(&mut open, column);
    }
    let mut least = Least { columns: &columns, best: None };
    let all: Vec<usize> = (0..columns.len()).collect();
    least.search(all, open, Vec::new());
    let mut best = least.best.unwrap_or_default();
    best.sort_unstable();
    best
}

struct Least<'c> {
    columns: &'c [Bits],
    best: Option<Vec<usize>>,
}

impl Least<'_> {
    /// `usable` columns may still be taken, `open` rows are not held by `taken`.
    fn search(&mut self, mut usable: Vec<usize>, mut open: Bits, mut taken: Vec<usize>) {
        loop {
            if is_empty(&open) {
                if self.best.as_ref().is_none_or(|best| taken.len() < best.len()) {
                    self.best = Some(taken);
                }
                return;
            }
            usable = self.undominated(&usable, &open);
            let rows = self.asking(&usable, &open);
            // Each of some rows that share no column takes a column of its own.
            let apart = apart(&rows);
            if self.best.as_ref().is_some_and(|best| taken.len() + apart >= best.len()) {
                return;
            }
            let Some(row) = rows.into_iter().min_by_key(|row| row.columns.len()) else { return };
            match row.columns.as_slice() {
                [] => return,
                [only] => {
                    taken.push(*only);
                    remove(&mut open, &self.columns[*only]);
                }
                _ => return self.branch(&usable, &open, &taken, row.columns),
            }
        }
    }

    fn branch(&mut self, usable: &[usize], open: &Bits, taken: &[usize], mut columns: Vec<usize>) {
        columns.sort_by_key(|&column| std::cmp::Reverse(common(&self.columns[column], open)));
        let mut usable = usable.to_vec();
        for column in columns {
            let mut open = open.clone();
            remove(&mut open, &self.columns[column]);
            let taken: Vec<usize> = taken.iter().copied().chain([column]).collect();
            self.search(usable.clone(), open, taken);
            // Covers with this column are all seen.
            usable.retain(|&other| other != column);
        }
    }

    /// Without columns whose open rows another column holds as well; of equal
    /// ones the first stays.
    fn undominated(&self, usable: &[usize], open: &Bits) -> Vec<usize> {
        let left: Vec<Bits> = usable.iter().map(|&c| both(&self.columns[c], open)).collect();
        let loses = |i: usize, j: usize| {
            i != j && is_within(&left[i], &left[j]) && (left[i] != left[j] || j < i)
        };
        let kept = (0..usable.len()).filter(|&i| !is_empty(&left[i]));
        let kept = kept.filter(|&i| !(0..usable.len()).any(|j| loses(i, j)));
        kept.map(|i| usable[i]).collect()
    }

    /// The open rows, without those that are held whenever another one is.
    fn asking(&self, usable: &[usize], open: &Bits) -> Vec<Row> {
        let holds = |row: usize| -> Vec<usize> {
            let columns = usable.iter().copied();
            columns.filter(|&column| has(&self.columns[column], row)).collect()
        };
        let mut rows: Vec<Row> = members(open).map(|row| Row { columns: holds(row) }).collect();
        rows.sort_by(|a, b| (a.columns.len(), &a.columns).cmp(&(b.columns.len(), &b.columns)));
        rows.dedup_by(|a, b| a.columns == b.columns);
        let mut kept: Vec<Row> = Vec::new();
        for row in rows {
            let implied =
                |other: &Row| other.columns.iter().all(|c| row.columns.binary_search(c).is_ok());
            if !kept.iter().any(implied) {
                kept.push(row);
            }
        }
        kept
    }
}

/// A row with the columns that hold it, in order.
struct Row {
    columns: Vec<usize>,
}

/// How many rows can be picked, fewest columns first, of which no two share a
/// column.
fn apart(rows: &[Row]) -> usize {
    let mut used: Vec<usize> = Vec::new();
    let mut count = 0;
    for row in rows {
        if row.columns.iter().all(|column| !used.contains(column)) {
            used.extend(&row.columns);
            count += 1;
        }
    }
    count
}

fn words(rows: usize) -> usize {
    rows.div_ceil(64)
}

fn bits(members: &[usize], rows: usize) -> Bits {
    let mut bits = vec![0; words(rows)];
    for &member in members.iter().filter(|&&member| member < rows) {
        bits[member / 64] |= 1 << (member % 64);
    }
    bits
}

fn members(bits: &Bits) -> impl Iterator<Item = usize> + '_ {
    (0..bits.len() * 64).filter(|&row| has(bits, row))
}

fn has(bits: &Bits, row: usize) -> bool {
    bits[row / 64] >> (row % 64) & 1 == 1
}

fn add(bits: &mut Bits, more: &Bits) {
    bits.iter_mut().zip(more).for_each(|(word, more)| *word |= more);
}

fn remove(bits: &mut Bits, gone: &Bits) {
    bits.iter_mut().zip(gone).for_each(|(word, gone)| *word &= !gone);
}

fn both(one: &Bits, other: &Bits) -> Bits {
    one.iter().zip(other).map(|(one, other)| one & other).collect()
}

fn common(one: &Bits, other: &Bits) -> u32 {
    both(one, other).iter().map(|word| word.count_ones()).sum()
}

fn is_empty(bits: &Bits) -> bool {
    bits.iter().all(|word| *word == 0)
}

fn is_within(inner: &Bits, outer: &Bits) -> bool {
    inner.iter().zip(outer).all(|(inner, outer)| inner & !outer == 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Every choice of columns, fewest first.
    fn brute(columns: &[Vec<usize>], rows: usize) -> usize {
        let held = |row: &usize| columns.iter().any(|column| column.contains(row));
        let rows: Vec<usize> = (0..rows).filter(held).collect();
        let covers = |choice: u32| {
            let taken = |i: &usize| choice >> i & 1 == 1;
            rows.iter()
                .all(|row| (0..columns.len()).filter(taken).any(|i| columns[i].contains(row)))
        };
        let choices = (0..1_u32 << columns.len()).filter(|&choice| covers(choice));
        choices.map(|choice| choice.count_ones() as usize).min().unwrap()
    }

    #[track_caller]
    fn check(columns: &[&[usize]], rows: usize, expected: &[usize]) {
        let columns: Vec<Vec<usize>> = columns.iter().map(|column| column.to_vec()).collect();
        assert_eq!(cover(&columns, rows), expected);
        assert_eq!(brute(&columns, rows), expected.len());
    }

    /// Taking the widest first would need three: {2..5}, {0, 2, 4}… and {1, 3, 5}.
    #[test]
    fn the_widest_column_may_be_the_wrong_one() {
        check(&[&[2, 3, 4, 5], &[0, 2, 4], &[1, 3, 5]], 6, &[1, 2]);
        check(&[], 0, &[]);
        check(&[&[], &[0]], 3, &[1]);
        check(&[&[0], &[0]], 1, &[0]);
        // A ring of five pairs: each column holds two rows, so three are needed,
        // and any three do of which two stand apart.
        check(&[&[0, 1], &[1, 2], &[2, 3], &[3, 4], &[4, 0]], 5, &[0, 2, 3]);
    }

    #[test]
    fn many_rows_are_no_matter() {
        let columns: Vec<Vec<usize>> = (0..300).map(|i| (i..(i + 7).min(300)).collect()).collect();
        // 300 rows, at most seven a column, in a line: 43.
        assert_eq!(cover(&columns, 300).len(), 43);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 2_000, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_cover_is_smaller(
            columns in prop::collection::vec(prop::collection::vec(0..9_usize, 0..6), 0..11),
        ) {
            let found = cover(&columns, 9);
            prop_assert_eq!(found.len(), brute(&columns, 9));
            for row in 0..9 {
                let held = columns.iter().any(|column| column.contains(&row));
                prop_assert_eq!(held, found.iter().any(|&i| columns[i].contains(&row)));
            }
        }
    }
}
