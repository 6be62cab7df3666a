//! Reads the table of rectifiers from its CSV.

use csv::StringRecord;

use crate::quantity::{amperes, hours, microfarads, ohms, volts};

use super::{CapacitorLimit, Cathode, LimitKind, Plates, Rectifier, Sure};

/// What is wrong with the table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    /// The CSV itself is broken, or has no such column.
    #[error("row {row}: found no column {column}")]
    Column {
        /// Row, from 1 without the header; 0 is the header.
        row: usize,
        /// The column's name.
        column: &'static str,
    },
    /// A cell holds what its column can't.
    #[error("row {row}, column {column}: found `{found}`")]
    Cell {
        /// Row, from 1 without the header.
        row: usize,
        /// The column's name.
        column: &'static str,
        /// The cell.
        found: String,
    },
}

/// Every row of the table.
pub(super) fn read(text: &str) -> Result<Vec<Rectifier>, TableError> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().cloned().unwrap_or_default();
    let rows = reader.records().enumerate().map(|(i, record)| {
        let record = record.unwrap_or_default();
        rectifier(&Row { header: &header, record: &record, place: i + 1 })
    });
    rows.collect()
}

fn rectifier(row: &Row) -> Result<Rectifier, TableError> {
    let milliamperes = |x: f64| amperes(x / 1000.0);
    Ok(Rectifier {
        name: row.cell("type")?.to_owned(),
        aliases: row.list("aliases")?.map(str::to_owned).collect(),
        circuit: row.word("circuit", circuit)?,
        cathode: row.word("cathode", cathode)?,
        max_ac_rms: row.number("max_ac_rms_per_plate_v")?.map(volts),
        max_dc_output: row.number("max_dc_output_ma")?.map(milliamperes),
        max_peak: row.number("max_peak_plate_current_a")?.map(amperes),
        hot_switching: row.number("max_hot_switching_transient_a")?.map(amperes),
        peak_inverse: row.number("peak_inverse_v")?.map(volts),
        min_supply_resistance: row.number("min_supply_resistance_ohm")?.map(ohms),
        input_capacitor: capacitor_limit(row)?,
        drop: row.number("drop_v")?.map(volts),
        drop_current: row.number("drop_at_ma")?.map(milliamperes),
        warmup: row.number("warmup_s")?.map(|s| hours(s / 3600.0)),
        source: row.cell("source")?.to_owned(),
        sure: row.word("seen", sure)?,
        note: row.cell("note")?.to_owned(),
        supply_resistance: row.pairs("supply_resistance_pairs", volts, ohms)?,
        capacitor_resistance: row.pairs("capacitor_pairs", microfarads, ohms)?,
        dc_output: row.pairs("dc_output_pairs", volts, milliamperes)?,
        peak_inverse_at: row.pairs("peak_inverse_pairs", volts, milliamperes)?,
        same_as: row.name("same_as")?,
        drop_as: row.name("drop_as")?,
    })
}

fn capacitor_limit(row: &Row) -> Result<Option<CapacitorLimit>, TableError> {
    let kind = row.word("capacitor_limit", limit_kind)?;
    let most = row.number("max_input_capacitor_uf")?.map(microfarads);
    Ok(most.map(|most| CapacitorLimit { most, kind }))
}

fn circuit(word: &str) -> Option<Plates> {
    Some(match word {
        "full_wave" => Plates::FullWave,
        "half_wave" => Plates::HalfWave,
        "dual_half_wave" => Plates::DualHalfWave,
        _ => return None,
    })
}

fn cathode(word: &str) -> Option<Cathode> {
    Some(match word {
        "directly_heated" => Cathode::DirectlyHeated,
        "indirectly_heated" => Cathode::IndirectlyHeated,
        "solid_state" => Cathode::SolidState,
        _ => return None,
    })
}

fn sure(word: &str) -> Option<Sure> {
    Some(match word {
        "yes" => Sure::Seen,
        "partly" => Sure::Partly,
        "memory" => Sure::Memory,
        _ => return None,
    })
}

fn limit_kind(word: &str) -> Option<LimitKind> {
    Some(match word {
        "hard" => LimitKind::Hard,
        "stated" => LimitKind::Stated,
        "typical" => LimitKind::Typical,
        "" => LimitKind::Unsaid,
        _ => return None,
    })
}

struct Row<'r> {
    header: &'r StringRecord,
    record: &'r StringRecord,
    /// From 1.
    place: usize,
}

impl<'r> Row<'r> {
    fn cell(&self, column: &'static str) -> Result<&'r str, TableError> {
        let place = self.header.iter().position(|name| name == column);
        place
            .and_then(|place| self.record.get(place))
            .ok_or(TableError::Column { row: self.place, column })
    }

    /// Another type; `None` where the cell is blank.
    fn name(&self, column: &'static str) -> Result<Option<String>, TableError> {
        Ok(Some(self.cell(column)?).filter(|t| !t.is_empty()).map(str::to_owned))
    }

    fn wrong(&self, column: &'static str, found: &str) -> TableError {
        TableError::Cell { row: self.place, column, found: found.to_owned() }
    }

    fn word<T>(&self, column: &'static str, read: fn(&str) -> Option<T>) -> Result<T, TableError> {
        let cell = self.cell(column)?;
        read(cell).ok_or_else(|| self.wrong(column, cell))
    }

    fn number(&self, column: &'static str) -> Result<Option<f64>, TableError> {
        match self.cell(column)? {
            "" => Ok(None),
            cell => figure(cell).map(Some).ok_or_else(|| self.wrong(column, cell)),
        }
    }

    /// The items of a cell, `;` between.
    fn list(&self, column: &'static str) -> Result<impl Iterator<Item = &'r str>, TableError> {
        Ok(self.cell(column)?.split(';').filter(|item| !item.is_empty()))
    }

    /// Pairs of figures: `350:50;500:140`.
    fn pairs<A, B>(
        &self,
        column: &'static str,
        left: impl Fn(f64) -> A,
        right: impl Fn(f64) -> B,
    ) -> Result<Vec<(A, B)>, TableError> {
        let pair = |item: &str| {
            let (a, b) = item.split_once(':')?;
            Some((left(figure(a)?), right(figure(b)?)))
        };
        self.list(column)?.map(|item| pair(item).ok_or_else(|| self.wrong(column, item))).collect()
    }
}

fn figure(text: &str) -> Option<f64> {
    text.parse().ok().filter(|x: &f64| x.is_finite() && *x >= 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_refused(from: &str, to: &str, expected: &str) {
        let text = super::super::text();
        assert!(text.contains(from));
        let error = read(&text.replacen(from, to, 1)).expect_err("a broken table");
        assert_eq!(error.to_string(), expected);
    }

    #[test]
    fn refuses_a_broken_table() {
        check_refused("same_as", "as", "row 1: found no column same_as");
        check_refused("drop_as", "as", "row 1: found no column drop_as");
        check_refused(",full_wave,", ",full,", "row 1, column circuit: found `full`");
        check_refused(",0.44,", ",x,", "row 1, column max_peak_plate_current_a: found `x`");
        check_refused(
            "350:50;",
            "350-50;",
            "row 2, column supply_resistance_pairs: found `350-50`",
        );
        check_refused(",typical,", ",soft,", "row 2, column capacitor_limit: found `soft`");
    }
}
