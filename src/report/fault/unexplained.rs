//! What to do next where nothing explains the readings.

use super::in_short;
use crate::fault::{Beside, Diagnosis};

/// That nothing explains the readings, and what to do next.
pub(super) fn says(found: &Diagnosis) -> String {
    let is_beyond_heaters = |of: &&Beside| matches!(of, Beside::NotExplained { .. });
    if found.beside.iter().any(|of| is_beyond_heaters(&of)) {
        return format!("the readings are not explained, so no section is judged: {READ_AGAIN}");
    }
    if !found.asks.is_empty() {
        return "the readings are not explained: read first what is asked, then these again".into();
    }
    let read_again = "read them again, each from that section's own negative";
    let others = found.beside.iter().filter(|of| is_read(of)).map(|of| in_short(of, found.bridge));
    let others: Vec<String> = others.collect();
    if others.is_empty() {
        return format!(
            "the readings are not explained: {read_again}; then check the loads told, \
             and what feeds each lug"
        );
    }
    format!(
        "the readings are not explained: check first what no section makes ({}), then \
         {read_again}",
        others.join(", ")
    )
}

/// Whether something shows in the readings as they are, whatever explains them.
fn is_read(of: &Beside) -> bool {
    match of {
        Beside::OddFrequency(_)
        | Beside::FullWave(_)
        | Beside::CapacitorAhead { .. }
        | Beside::LowLine { .. }
        | Beside::Dc { .. }
        | Beside::NoDc { .. }
        | Beside::NoDrop { .. }
        | Beside::SameHum { .. } => true,
        Beside::NormalHalfWave(_)
        | Beside::HeaterHum { .. }
        | Beside::NotExplained { .. }
        | Beside::DeadPlate { .. }
        | Beside::More { .. } => false,
    }
}

/// What to do about hum that nothing makes.
const READ_AGAIN: &str = "read the hum again from that section's own negative; if it stays, look \
                          for a short from the heater winding or the line to B+";
