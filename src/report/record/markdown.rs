//! The record as a page for people: Markdown, readable as it stands.
//!
//! It is made from the document alone, so a record that is read back gives the
//! same page.

use std::fmt::Write;

use super::{
    documents::{FactDoc, ReadingFigureDoc, RecordDoc},
    escape::{inline, prefixed, verbatim, wrapped},
    table::table,
    words::{asked, figure, flags, four, kind, limits, made_of, negative, parts},
};
use crate::report::json::documents::{FindingDoc, SetDoc, StandInDoc};

/// The whole page.
#[must_use]
pub fn page(record: &RecordDoc) -> String {
    let mut page = Page { record, text: String::new() };
    page.head();
    page.old_can();
    page.known();
    page.sets();
    page.choice();
    page.findings();
    page.cautions();
    page.wiring();
    page.buy();
    page.readings();
    page.text
}

struct Page<'r> {
    record: &'r RecordDoc,
    text: String,
}

impl Page<'_> {
    fn head(&mut self) {
        let record = self.record;
        let title = format!("Decision record {:04}", record.number);
        let _ = writeln!(self.text, "# {title}\n");
        self.paragraph(&format!("Made on {} by recan {}.", record.date, record.version));
        self.paragraph(&record.question);
        self.paragraph("It advises: local electrical codes and licensed practice come first. The cautions below come before the wiring.");
    }

    fn old_can(&mut self) {
        let record = self.record;
        self.heading("The old can");
        self.paragraph("Stamping as typed:");
        self.text.push_str(&verbatim(&record.stamping));
        self.text.push('\n');
        self.paragraph("As read:");
        let rows = record.can.sections.iter().map(|s| {
            let surge = s.surge_v.map_or_else(|| "not printed".into(), |v| format!("{v} V"));
            let mark = s.mark.clone().unwrap_or_else(|| "none".into());
            let uf = format!("{} µF", s.capacitance_uf);
            vec![s.section.to_string(), mark, uf, format!("{} V", s.rated_v), surge]
        });
        let rows: Vec<Vec<String>> = rows.collect();
        self.table(&["Section", "Mark", "Capacitance", "Working volts", "Surge volts"], &rows);
        self.paragraph(&negative(record));
        self.remarks();
    }

    /// What the reading left open, assumed or skipped.
    fn remarks(&mut self) {
        let record = self.record;
        let about = |says: &str, section: Option<usize>| match section {
            Some(section) => format!("section {}: {says}", self.name(section)),
            None => says.to_owned(),
        };
        let lists: [(&str, Vec<String>); 4] = [
            ("Questions that the stamping raises:", asked(record)),
            ("Assumed:", record.assumed.iter().map(|a| about(&a.says, a.section)).collect()),
            (
                "Text that gave no value:",
                record
                    .ignored
                    .iter()
                    .map(|i| format!("\"{}\": {}", i.text.trim(), i.why))
                    .collect(),
            ),
            (
                "Notes on the reading:",
                record.notices.iter().map(|n| about(&n.says, n.section)).collect(),
            ),
        ];
        for (title, items) in lists.iter().filter(|(_, items)| !items.is_empty()) {
            self.paragraph(title);
            self.list(items);
        }
    }

    fn known(&mut self) {
        let record = self.record;
        self.heading("What was known");
        let flags = flags(&record.typed);
        if flags.is_empty() {
            self.paragraph("Nothing was told beside the stamping.");
        } else {
            self.paragraph("As typed:");
            self.text.push_str(&verbatim(&flags.join("\n")));
            self.text.push('\n');
        }
        self.paragraph("As understood, with where each fact came from:");
        let row = |fact: &FactDoc| {
            let section = fact.section.map_or_else(|| "all".into(), |s| self.name(s));
            vec![fact.what.clone(), section, fact.from.clone(), fact.says.clone()]
        };
        let rows: Vec<Vec<String>> = record.facts.iter().map(row).collect();
        self.table(&["Fact", "Section", "From", "What it is"], &rows);
    }

    fn sets(&mut self) {
        let record = self.record;
        self.heading("Sets considered");
        let stock = &record.stock;
        let invented = if stock.source == crate::report::StockSource::BUILT_IN {
            ", invented and generic"
        } else {
            ""
        };
        self.paragraph(&format!(
            "Stock list: {}{invented}; {} lines, {} of them bad and left out.",
            stock.source, stock.lines, stock.bad
        ));
        let rows: Vec<Vec<String>> = record
            .sets
            .iter()
            .enumerate()
            .map(|(i, set)| {
                let chosen = if i + 1 == record.chosen { " chosen" } else { "" };
                let price = set.price.map_or_else(|| "not known".into(), |p| format!("{p:.2}"));
                let bodies = set.bodies.to_string();
                let rank = format!("{}{chosen}", i + 1);
                vec![rank, set.verdict.clone(), bodies, price, kind(&set.kind).into(), parts(set)]
            })
            .collect();
        self.table(
            &["Rank", "Verdict", "Bodies", "Price", "Kind", "Parts, section by section"],
            &rows,
        );
        let misses = record.nearest_misses.iter().map(|miss| {
            let by = format!("misses {} by {} {}", miss.rule, four(miss.by), miss.unit);
            format!("{}: {}; mend: {}", parts(&miss.set), by.trim_end(), miss.remedy)
        });
        let misses: Vec<String> = misses.collect();
        if !misses.is_empty() {
            self.paragraph("Nothing passes outright. Nearest misses:");
            self.list(&misses);
        }
    }

    fn choice(&mut self) {
        let record = self.record;
        self.heading("The choice");
        if let Some(set) = chosen(record) {
            self.paragraph(&format!(
                "Set {}: {}, {}.",
                record.chosen,
                kind(&set.kind),
                set.verdict
            ));
            let row = |s: &StandInDoc| {
                let old = record.can.sections.iter().find(|old| old.section == s.section);
                let old = old.map_or_else(String::new, |o| {
                    format!("{} µF {} V", o.capacitance_uf, o.rated_v)
                });
                let new = format!("{} µF {} V", four(s.capacitance_uf), four(s.rated_v));
                vec![self.name(s.section), old, new, made_of(set, s)]
            };
            let rows: Vec<Vec<String>> = set.sections.iter().map(row).collect();
            self.table(&["Section", "Stamped", "New", "Made of"], &rows);
        }
        match &record.reason {
            None => self.paragraph("No reason was given."),
            Some(reason) => {
                self.paragraph("The technician's reason:");
                // Every line is quoted, so none can end the quotation.
                for line in reason.lines() {
                    self.text.push_str(&quoted(line));
                }
                self.text.push('\n');
            }
        }
    }

    fn findings(&mut self) {
        let record = self.record;
        self.heading("Findings");
        let row = |f: &FindingDoc| {
            let section = f.section.map_or_else(|| "whole set".into(), |s| self.name(s));
            let figure = f.value.map_or_else(String::new, |v| figure(v, &f.unit));
            vec![section, f.rule.clone(), f.verdict.clone(), figure, limits(f), f.says.clone()]
        };
        let rows: Vec<Vec<String>> = record.findings.iter().map(row).collect();
        self.table(&["Section", "Rule", "Verdict", "Figure", "Limits", "What it says"], &rows);
        self.paragraph("Where the limits come from:");
        let mut sources: Vec<String> = Vec::new();
        for finding in &record.findings {
            let line = format!("{}: {}", finding.rule, finding.source);
            if !sources.contains(&line) {
                sources.push(line);
            }
        }
        self.list(&sources);
    }

    fn cautions(&mut self) {
        let record = self.record;
        self.heading("Before anything is opened or powered");
        self.list(&record.cautions);
        self.paragraph("Discharge, section by section:");
        self.list(&record.discharge.iter().map(|d| d.says.clone()).collect::<Vec<_>>());
    }

    fn wiring(&mut self) {
        let wiring = &self.record.wiring;
        self.heading("Wiring, lug by lug");
        self.steps("The old can", &wiring.before);
        self.steps("The new parts", &wiring.bodies);
        for section in &wiring.sections {
            let title = format!("Section {}", self.name(section.section));
            self.steps(&title, &section.steps);
        }
        self.steps("When all is soldered", &wiring.after);
    }

    fn buy(&mut self) {
        self.heading("Parts to buy");
        let rows = self.record.buy.iter().map(|item| {
            let sections: Vec<String> = item.sections.iter().map(|s| self.name(*s)).collect();
            let price = item.price_each.map_or_else(String::new, |p| format!("{p:.2}"));
            let name = item.item.clone();
            vec![item.quantity.to_string(), name, sections.join(", "), price, item.what.clone()]
        });
        let rows: Vec<Vec<String>> = rows.collect();
        self.table(&["Quantity", "Part", "For section", "Price each", "What it is"], &rows);
    }

    fn readings(&mut self) {
        let record = self.record;
        self.heading("Readings");
        if !record.measure_next.is_empty() {
            self.paragraph("Worth measuring next:");
            self.list(&record.measure_next);
        }
        self.figures("Predicted", record.predicted.as_deref(), "no supply was solved");
        self.figures("After the repair", record.readings.as_deref(), "none recorded yet");
    }

    fn figures(&mut self, title: &str, list: Option<&[ReadingFigureDoc]>, none: &str) {
        let Some(list) = list else { return self.paragraph(&format!("{title}: {none}.")) };
        self.paragraph(&format!("{title}:"));
        let row = |r: &ReadingFigureDoc| {
            let section = r.section.map_or_else(String::new, |s| self.name(s));
            vec![r.what.clone(), section, figure(r.value, &r.unit)]
        };
        let rows: Vec<Vec<String>> = list.iter().map(row).collect();
        self.table(&["Reading", "Section", "Figure"], &rows);
    }

    /// What people call a section: its mark, else its position.
    fn name(&self, section: usize) -> String {
        let old = self.record.can.sections.iter().find(|s| s.section == section);
        old.and_then(|s| s.mark.clone()).unwrap_or_else(|| section.to_string())
    }

    fn heading(&mut self, title: &str) {
        let _ = writeln!(self.text, "## {title}\n");
    }

    fn paragraph(&mut self, text: &str) {
        self.text.push_str(&wrapped("", text));
        self.text.push('\n');
    }

    fn list(&mut self, items: &[impl AsRef<str>]) {
        for item in items {
            self.text.push_str(&wrapped("- ", item.as_ref()));
        }
        self.text.push('\n');
    }

    fn steps(&mut self, title: &str, steps: &[String]) {
        if steps.is_empty() {
            return;
        }
        let _ = writeln!(self.text, "### {}\n", inline(title));
        for (i, step) in steps.iter().enumerate() {
            self.text.push_str(&wrapped(&format!("{}. ", i + 1), step));
        }
        self.text.push('\n');
    }

    fn table(&mut self, head: &[&str], rows: &[Vec<String>]) {
        self.text.push_str(&table(head, rows));
        self.text.push('\n');
    }
}

fn chosen(record: &RecordDoc) -> Option<&SetDoc> {
    record.sets.get(record.chosen.checked_sub(1)?)
}

fn quoted(line: &str) -> String {
    if line.trim().is_empty() { ">\n".into() } else { prefixed("> ", "> ", line) }
}
