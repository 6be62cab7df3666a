//! Every key that stands in a job file, as it was written, and where such a
//! figure comes from.
//!
//! The file itself is walked, not the job that was read from it, so a key that
//! the reader learns later is told here as well: without a line in [`KEYS`] it
//! stands under its own name.

use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

use super::{
    known::{Known, Origin},
    reason::harmless,
};

/// One kind of key: the table that it stands in, its words and its usual origin.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// Name of the table; `after` has the keys of `measured`.
    pub table: &'static str,
    /// Name of the key.
    pub key: &'static str,
    /// What it is, in words.
    pub words: &'static str,
    /// Where it comes from.
    pub origin: Origin,
}

const fn key(table: &'static str, key: &'static str, words: &'static str, origin: Origin) -> Key {
    Key { table, key, words, origin }
}

/// The keys of a job file.
pub const KEYS: &[Key] = &[
    key("chassis", "name", "name", Origin::Told),
    key("chassis", "construction", "construction", Origin::Told),
    key("chassis", "heaters", "heaters", Origin::Told),
    key("chassis", "ambient", "temperature beside the can", Origin::Told),
    key("can", "name", "name", Origin::Told),
    key("can", "stamping", "stamping", Origin::Stamped),
    key("can", "negative", "negative goes to", Origin::Told),
    key("can", "tolerance", "tolerance", Origin::Told),
    key("can", "diameter", "diameter", Origin::Measured),
    key("can", "height", "height above the chassis", Origin::Measured),
    key("can", "bore", "bore of the sleeve or clamp", Origin::Measured),
    key("can", "below_chassis", "free depth below the chassis", Origin::Measured),
    key("mains", "volts", "AC volts rms at the bench", Origin::Measured),
    key("mains", "nominal", "AC volts rms on the plate", Origin::Plate),
    key("mains", "frequency", "frequency", Origin::Told),
    key("mains", "high", "the most that the outlet gives", Origin::Told),
    key("rectifier", "circuit", "circuit", Origin::Told),
    key("rectifier", "device", "type fitted", Origin::Told),
    key("rectifier", "law", "law", Origin::Told),
    key("rectifier", "drop", "drop", Origin::Told),
    key("rectifier", "drop_current", "current of the drop", Origin::Told),
    key("rectifier", "slope_resistance", "slope resistance", Origin::Told),
    key("rectifier", "cathode", "cathode", Origin::Told),
    key("rectifier", "original_device", "type fitted first", Origin::Told),
    key(
        "rectifier",
        "original_plate_resistor",
        "resistor in each plate lead at first",
        Origin::Told,
    ),
    key("rectifier", "plate_resistor", "resistor in each plate lead", Origin::Told),
    key("rectifier", "standby", "standby switch", Origin::Told),
    key("rectifier", "standby_after", "last node ahead of the switch", Origin::Told),
    key("rectifier", "transformer", "transformer", Origin::Told),
    key("rectifier", "winding", "winding, AC volts rms", Origin::Measured),
    key("rectifier", "winding_at", "line of the winding's reading", Origin::Measured),
    key("rectifier", "winding_resistance", "DC resistance of the winding", Origin::Measured),
    key("rectifier", "primary_resistance", "DC resistance of the primary", Origin::Measured),
    key("rectifier", "supply_resistance", "whole source resistance a plate", Origin::Told),
    key("rectifier", "section", "section", Origin::Told),
    key("rectifier", "capacitance", "capacitance", Origin::Told),
    key("rectifier", "esr", "esr", Origin::Told),
    key("node", "name", "name", Origin::Told),
    key("node", "section", "section", Origin::Told),
    key("node", "capacitance", "capacitance of a part", Origin::Told),
    key("node", "esr", "esr", Origin::Told),
    key("node", "role", "role", Origin::Told),
    key("node", "load", "load, warm", Origin::Told),
    key("node", "load_resistance", "load, as a resistance", Origin::Told),
    key("node", "cold", "draws before tubes are warm", Origin::Told),
    key("node", "from", "fed from", Origin::Told),
    key("node", "resistor", "fed through a resistor", Origin::Told),
    key("node", "resistor_rating", "rating of that resistor", Origin::Told),
    key("node", "choke", "fed through a choke", Origin::Told),
    key("node", "choke_resistance", "DC resistance of that choke", Origin::Told),
    key("node", "in_lead", "lead that it stands in", Origin::Told),
    key("node", "volts", "DC volts across it", Origin::Measured),
    key("node", "bleeder", "bleeder", Origin::Told),
    key("node", "negative", "negative goes to", Origin::Told),
    key("bypass", "section", "section", Origin::Told),
    key("bypass", "cathode_resistor", "cathode resistor", Origin::Told),
    key("bypass", "volts", "DC volts across it", Origin::Measured),
    key("other", "section", "section", Origin::Told),
    key("other", "use", "use", Origin::Told),
    key("other", "positive", "positive goes to", Origin::Told),
    key("other", "volts", "DC volts across it", Origin::Measured),
    key("measured", "can", "the can was", Origin::Told),
    key("measured", "line", "line, AC volts rms", Origin::Measured),
    key("measured", "supply", "fed through", Origin::Told),
    key("measured", "meter", "meter", Origin::Told),
    key("measured", "dc", "DC volts", Origin::Measured),
    key("measured", "hum", "hum, AC volts rms", Origin::Measured),
    key("measured", "hum_frequency", "frequency of the hum", Origin::Measured),
    key("measured", "cold_ohms", "ohms cold", Origin::Measured),
];

/// Every key of the job file in `text` with what was written, in the order of the
/// file; nothing where the text is no TOML.
#[must_use]
pub fn given(text: &str) -> Vec<Known> {
    let Ok(root) = DeTable::parse(text) else { return Vec::new() };
    let mut walk = Walk { text, found: Vec::new() };
    for (table, value) in root.get_ref() {
        walk.table(table.get_ref(), value);
    }
    walk.found.sort_by_key(|(at, _)| *at);
    walk.found.into_iter().map(|(_, known)| known).collect()
}

/// The facts found, each with its place in the file.
struct Walk<'t> {
    text: &'t str,
    found: Vec<(usize, Known)>,
}

impl Walk<'_> {
    /// A table, or all tables of one kind.
    fn table(&mut self, table: &str, value: &Spanned<DeValue>) {
        match value.get_ref() {
            DeValue::Table(pairs) => self.pairs(table, &title(table), pairs),
            DeValue::Array(items) => {
                for (i, item) in items.iter().enumerate() {
                    if let Some(pairs) = item.get_ref().as_table() {
                        self.pairs(table, &one_of(table, i, pairs, items.len()), pairs);
                    }
                }
            }
            _ => self.tell(table, "", &title(table), value),
        }
    }

    fn pairs(&mut self, table: &str, title: &str, pairs: &DeTable) {
        for (key, value) in pairs {
            let key: &str = key.get_ref();
            match value.get_ref().as_table() {
                // The doubler's own capacitors are tables in a table.
                Some(inner) if table == "rectifier" => {
                    self.pairs(table, &format!("{title}, {} capacitor", harmless(key)), inner);
                }
                Some(inner) => {
                    for (place, value) in inner {
                        let what = format!("{title}, {} at {}", words(table, key), place.get_ref());
                        self.tell(table, key, &what, value);
                    }
                }
                None => self.tell(table, key, &format!("{title}, {}", words(table, key)), value),
            }
        }
    }

    fn tell(&mut self, table: &str, key: &str, what: &str, value: &Spanned<DeValue>) {
        let raw = self.text.get(value.span()).unwrap_or_default();
        let says = value.get_ref().as_str().map_or_else(|| raw.to_owned(), on_one_line);
        let known = Known {
            what: harmless(what).into(),
            section: None,
            says: harmless(&says),
            origin: of(table, key).map_or(Origin::Told, |key| key.origin),
        };
        self.found.push((value.span().start, known));
    }
}

fn of(table: &str, key: &str) -> Option<&'static Key> {
    let table = if table == "after" { "measured" } else { table };
    KEYS.iter().find(|known| known.table == table && known.key == key)
}

fn words(table: &str, key: &str) -> String {
    of(table, key).map_or_else(|| key.replace('_', " "), |key| key.words.to_owned())
}

fn title(table: &str) -> String {
    match table {
        "measured" => "before the repair".into(),
        "after" => "after the repair".into(),
        table => table.replace('_', " "),
    }
}

/// What one of several tables is called: by its name, else its section, else its
/// place in the file.
fn one_of(table: &str, at: usize, pairs: &DeTable, count: usize) -> String {
    let text = |key: &str| pairs.get(key).and_then(|value| value.get_ref().as_str());
    let title = title(table);
    match text("name").or_else(|| text("section").filter(|_| table != "node")) {
        Some(name) => format!("{title} {}", name.trim()),
        None if table == "node" => format!("{title} B{}", at + 1),
        None if count == 1 => title,
        None => format!("{title} {}", at + 1),
    }
}

/// A text as one line: a line break is told as it may be typed.
fn on_one_line(text: &str) -> String {
    text.trim().lines().map(str::trim_end).collect::<Vec<_>>().join(" \\n ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: &[&str]) {
        let line = |k: Known| format!("{} | {} | {}", k.what, k.says, k.origin.name());
        assert_eq!(given(text).into_iter().map(line).collect::<Vec<_>>(), expected);
    }

    #[test]
    fn every_key_is_told_in_the_order_of_the_file() {
        check(
            "[mains]\nvolts = \"121 V\"\nnominal = \"117 V\"\n[[node]]\nload = '47 mA'\ncold = true\n\
             [rectifier]\n[rectifier.series]\nesr = \"1 Ω\"\n[measured]\ndc = { B1 = \"301 V\" }\n\
             [[can]]\nstamping = \"40 450\\n20 25\"\n",
            &[
                "mains, AC volts rms at the bench | 121 V | measured",
                "mains, AC volts rms on the plate | 117 V | plate",
                "node B1, load, warm | 47 mA | told",
                "node B1, draws before tubes are warm | true | told",
                "rectifier, series capacitor, esr | 1 Ω | told",
                "before the repair, DC volts at B1 | 301 V | measured",
                "can, stamping | 40 450 \\n 20 25 | stamped",
            ],
        );
    }

    /// Keys are what the reader of job files asks its tables for.
    #[test]
    fn every_key_that_is_read_has_words() {
        let source = include_str!("../job/schema.rs");
        let mut count = 0;
        for (at, _) in source.match_indices("table.") {
            let call = &source[at..source.len().min(at + 60)];
            let asks = ["text(", "name(", "quantity(", "word(", "flag(", "by_name("];
            if !asks.iter().any(|ask| call["table.".len()..].starts_with(ask)) {
                continue;
            }
            let Some(key) = call.split('"').nth(1) else { continue };
            assert!(KEYS.iter().any(|known| known.key == key), "{key} has no words in KEYS");
            count += 1;
        }
        assert!(count > 50, "{count}");
    }

    #[test]
    fn a_key_without_words_stands_under_its_name() {
        check("[chassis]\nfuse_rating = \"1 A\"\n", &["chassis, fuse rating | 1 A | told"]);
        check("serial = 7\n", &["serial | 7 | told"]);
        check("[x\n", &[]);
    }

    #[test]
    fn nothing_in_it_steers_a_terminal() {
        check("[chassis]\nname = \"a\\u001b[31m\\u202e b\"\n", &["chassis, name | a[31m b | told"]);
    }
}
