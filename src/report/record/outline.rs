//! The record as headings, paragraphs, lists and tables, in words that nothing
//! has escaped yet. Markdown and HTML are both made from this outline, so they
//! can't say different things.
//!
//! It is made from the document alone, so a record that is read back gives the
//! same pages.

use super::{
    documents::{FactDoc, PredictionDoc, ReadingFigureDoc, RecordDoc},
    words::{asked, figure, flags, four, kind, limits, made_of, negative, parts, reading, source},
};
use crate::answer::set::{FindingDoc, SetDoc, StandInDoc};

/// A page in pieces.
pub(super) struct Outline {
    /// Its title.
    pub(super) title: String,
    /// What stands below it.
    pub(super) blocks: Vec<Block>,
}

/// One piece of a page.
pub(super) enum Block {
    /// The heading of a part of the page.
    Heading(&'static str),
    Paragraph(String),
    /// Text as it was typed, line by line.
    Verbatim(String),
    List(Vec<String>),
    /// What must be read before the work.
    Cautions(Vec<String>),
    /// Numbered steps under a heading of their own.
    Steps(String, Vec<String>),
    /// Somebody's words.
    Quote(String),
    Table(Table),
}

/// A table.
pub(super) struct Table {
    pub(super) head: Vec<&'static str>,
    pub(super) rows: Vec<Vec<String>>,
}

/// The whole page of `record`.
pub(super) fn outline(record: &RecordDoc) -> Outline {
    let mut builder = Builder { record, blocks: Vec::new() };
    builder.top();
    builder.old_can();
    builder.known();
    builder.sets();
    builder.choice();
    builder.findings();
    builder.cautions();
    builder.wiring();
    builder.buy();
    builder.readings();
    builder.inputs();
    Outline { title: title(record), blocks: builder.blocks }
}

struct Builder<'r> {
    record: &'r RecordDoc,
    blocks: Vec<Block>,
}

impl Builder<'_> {
    fn top(&mut self) {
        let record = self.record;
        self.paragraph(&format!("Made on {} by recan {}.", record.date, record.version));
        self.paragraph(&record.question);
        if let [_, ..] = record.about.other_cans.as_slice() {
            let others = record.about.other_cans.join(", ");
            self.paragraph(&format!(
                "Other cans of the chassis, which stand as stamped: {others}."
            ));
        }
        self.paragraph("It advises: local electrical codes and licensed practice come first. The cautions below come before the wiring.");
    }

    fn old_can(&mut self) {
        let record = self.record;
        self.heading("The old can");
        self.paragraph("Stamping as typed:");
        self.verbatim(&record.stamping);
        self.paragraph("As read:");
        let rows = record.can.sections.iter().map(|s| {
            let surge = s.surge_v.map_or_else(|| "not printed".into(), |v| format!("{v} V"));
            let mark = s.mark.clone().unwrap_or_else(|| "none".into());
            let uf = format!("{} µF", s.capacitance_uf);
            vec![s.section.to_string(), mark, uf, format!("{} V", s.rated_v), surge]
        });
        let rows: Vec<Vec<String>> = rows.collect();
        self.table(&["Section", "Mark", "Capacitance", "Working volts", "Surge volts"], rows);
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
        for (title, items) in lists.into_iter().filter(|(_, items)| !items.is_empty()) {
            self.paragraph(title);
            self.list(items);
        }
    }

    fn known(&mut self) {
        let record = self.record;
        self.heading("What was known");
        let flags = flags(&record.typed);
        if flags.is_empty() {
            let told = match record.inputs.as_ref().and_then(|inputs| inputs.job.as_ref()) {
                Some(_) => "All of it stands in the job file.",
                None => "Nothing was told beside the stamping.",
            };
            self.paragraph(told);
        } else {
            self.paragraph("As typed:");
            self.verbatim(&flags.join("\n"));
        }
        self.paragraph("As understood, with where each fact came from:");
        let row = |fact: &FactDoc| {
            let section = fact.section.map_or_else(String::new, |s| self.name(s));
            vec![fact.what.clone(), section, fact.from.clone(), fact.says.clone()]
        };
        let rows: Vec<Vec<String>> = record.facts.iter().map(row).collect();
        self.table(&["Fact", "Section", "From", "What it is"], rows);
    }

    fn sets(&mut self) {
        let record = self.record;
        self.heading("Sets considered");
        let stock = &record.stock;
        self.paragraph(&format!(
            "Stock list: {}; {} lines, {} of them bad and left out.",
            source(stock),
            stock.lines,
            stock.bad
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
            rows,
        );
        let misses = record.nearest_misses.iter().map(|miss| {
            let by = format!("misses {} by {} {}", miss.rule, four(miss.by), miss.unit);
            format!("{}: {}; mend: {}", parts(&miss.set), by.trim_end(), miss.remedy)
        });
        let misses: Vec<String> = misses.collect();
        if !misses.is_empty() {
            self.paragraph("Nothing passes outright. Nearest misses:");
            self.list(misses);
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
            self.table(&["Section", "Stamped", "New", "Made of"], rows);
        }
        match &record.reason {
            None => self.paragraph("No reason was given."),
            Some(reason) => {
                self.paragraph("The technician's reason:");
                self.blocks.push(Block::Quote(reason.clone()));
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
        self.table(&["Section", "Rule", "Verdict", "Figure", "Limits", "What it says"], rows);
        self.paragraph("Where the limits come from:");
        let mut sources: Vec<String> = Vec::new();
        for finding in &record.findings {
            let line = format!("{}: {}", finding.rule, finding.source);
            if !sources.contains(&line) {
                sources.push(line);
            }
        }
        self.list(sources);
    }

    fn cautions(&mut self) {
        let record = self.record;
        self.heading("Before anything is opened or powered");
        self.blocks.push(Block::Cautions(record.cautions.clone()));
        self.paragraph("Discharge, section by section:");
        self.list(record.discharge.iter().map(|d| d.says.clone()).collect());
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
        self.table(&["Quantity", "Part", "For section", "Price each", "What it is"], rows);
    }

    fn readings(&mut self) {
        let record = self.record;
        self.heading("Readings");
        if !record.measure_next.is_empty() {
            self.paragraph("Worth measuring next:");
            self.list(record.measure_next.clone());
        }
        self.predicted();
        self.taken();
    }

    fn predicted(&mut self) {
        let Some(list) = &self.record.predicted else {
            return self.paragraph("Predicted: no supply was solved.");
        };
        self.paragraph("Predicted:");
        let row = |p: &PredictionDoc| {
            let shown = |value: f64| reading(value, &p.unit);
            let range = match (p.low, p.high) {
                (Some(low), Some(high)) if low > 0.0 => {
                    format!("{} to {}", shown(low), shown(high))
                }
                (Some(low), None) => format!("at least {}", shown(low)),
                (_, Some(high)) => format!("at most {}", shown(high)),
                (None, None) => String::new(),
            };
            vec![p.place.clone(), p.what.clone(), shown(p.value), range]
        };
        let rows = list.iter().map(row).collect();
        self.table(&["Where", "Reading", "Expected", "Range that is no fault"], rows);
    }

    fn taken(&mut self) {
        let Some(list) = &self.record.readings else {
            return self.paragraph("After the repair: none recorded yet.");
        };
        self.paragraph("After the repair:");
        let row =
            |r: &ReadingFigureDoc| vec![r.place.clone(), r.what.clone(), figure(r.value, &r.unit)];
        let rows = list.iter().map(row).collect();
        self.table(&["Where", "Reading", "Figure"], rows);
    }

    /// What the record keeps to be worked out again from.
    fn inputs(&mut self) {
        let Some(inputs) = &self.record.inputs else { return };
        self.heading("What this record keeps");
        let job = if inputs.job.is_some() { "the job file and " } else { "" };
        let count = inputs.stock_lines.len();
        self.paragraph(&format!(
            "record.json beside this page keeps {job}the {count} stock lines of the sets above, so that recan record check can work them out again."
        ));
        self.list(vec![
            format!("SHA-256 of the whole stock list: {}", inputs.stock_sha256),
            format!("SHA-256 of these lines: {}", inputs.stock_lines_sha256),
        ]);
    }

    /// What people call a section.
    fn name(&self, section: usize) -> String {
        self.record.can.name(section)
    }

    fn heading(&mut self, title: &'static str) {
        self.blocks.push(Block::Heading(title));
    }

    fn paragraph(&mut self, text: &str) {
        self.blocks.push(Block::Paragraph(text.to_owned()));
    }

    fn verbatim(&mut self, text: &str) {
        self.blocks.push(Block::Verbatim(text.to_owned()));
    }

    fn list(&mut self, items: Vec<String>) {
        self.blocks.push(Block::List(items));
    }

    fn steps(&mut self, title: &str, steps: &[String]) {
        if !steps.is_empty() {
            self.blocks.push(Block::Steps(title.to_owned(), steps.to_vec()));
        }
    }

    fn table(&mut self, head: &[&'static str], rows: Vec<Vec<String>>) {
        self.blocks.push(Block::Table(Table { head: head.to_vec(), rows }));
    }
}

fn title(record: &RecordDoc) -> String {
    let about = &record.about;
    let can = about.can.as_ref().map(|can| format!("can {can}"));
    let of: Vec<String> = about.chassis.iter().cloned().chain(can).collect();
    let of = if of.is_empty() { String::new() } else { format!(": {}", of.join(", ")) };
    format!("Decision record {:04}{of}", record.number)
}

fn chosen(record: &RecordDoc) -> Option<&SetDoc> {
    record.sets.get(record.chosen.checked_sub(1)?)
}
