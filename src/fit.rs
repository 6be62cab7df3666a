//! A substitute of the user's own: `half-round=47/450`,
//! `square=22/450 + 22/450`, `triangle=2x 47/350 in series`, `plain=CAN-A:2`.
//!
//! ```text
//! fit   = section "=" parts
//! parts = part { "+" part } [ "in series" ]
//! part  = [ count "x" ] item
//! item  = stock name [ ":" section of the part ]
//!       | capacitance "/" volts [ "/" surge volts ]
//! ```
//! A name in the stock list is taken before a value. The same name of a
//! multi-section part is the same body wherever it stands.

use std::ops::Range;

use crate::{
    can::Can,
    facts::{FactError, section},
    part::{Part, PartSection, Style},
    quantity::{Capacitance, Voltage, in_volts},
    set::{Connection, Leaf, ReplacementSet, StandIn},
    value::{Value, ValueError},
};

/// Most capacitors that one section may be made of.
const MOST: usize = 8;
const OPTION: &str = "--fit";

/// A substitute: a set, and the parts that it indexes.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The stock list, then the parts that were typed.
    pub parts: Vec<Part>,
    /// A stand-in for each section.
    pub set: ReplacementSet,
    /// Whether a capacitor is put ahead of the input choke, where there was none.
    pub ahead_of_choke: bool,
}

/// Reads one text for each section of `can`; `ahead` is the node ahead of an input choke,
/// which has no capacitor and may be given one to see what that does.
///
/// # Errors
/// A section without parts or given twice, a part that is neither in `stock`
/// nor readable as a value, a section of a part that it does not have or that
/// is used twice.
pub fn read(
    can: &Can,
    stock: &[Part],
    texts: &[String],
    ahead: Option<&str>,
) -> Result<Fit, FactError> {
    let mut parts = stock.to_vec();
    let mut sections: Vec<Option<StandIn>> = vec![None; can.sections().len()];
    let mut used: Vec<Leaf> = Vec::new();
    let mut ahead_of_choke = false;
    for text in texts {
        let named = text.split_once('=').map(|(name, _)| name);
        if let Some(name) =
            named.filter(|name| Some(name.trim()) == ahead && can.find(name).is_none())
        {
            Reader { text, stock: stock.len(), parts: &mut parts }.stand_in(name.len() + 1)?;
            ahead_of_choke = true;
            continue;
        }
        let (index, start) = section(can, OPTION, text)?;
        if sections[index].is_some() {
            let message = format!("section {} is given twice", can.name(index));
            return Err(error(text, 0..start - 1, message, "give each section once"));
        }
        let stand_in = Reader { text, stock: stock.len(), parts: &mut parts }.stand_in(start)?;
        for &leaf in stand_in.made_of() {
            if parts[leaf.part].is_multi_section() && used.contains(&leaf) {
                let name = &parts[leaf.part].name;
                let message = format!("section {} of {name} is used twice", leaf.section + 1);
                return Err(error(text, start..text.len(), message, "use each section once"));
            }
            used.push(leaf);
        }
        sections[index] = Some(stand_in);
    }
    let missing: Vec<String> =
        (0..sections.len()).filter(|&i| sections[i].is_none()).map(|i| can.name(i)).collect();
    let Some(sections) = sections.into_iter().collect::<Option<Vec<StandIn>>>() else {
        let shown = texts.join("  ");
        let help = format!("add --fit {}=47/450 with the part you mean", missing[0]);
        let message = format!("no part is given for section {}", missing.join(", "));
        return Err(error(&shown, 0..shown.len(), message, &help));
    };
    Ok(Fit { parts, set: ReplacementSet { sections }, ahead_of_choke })
}

struct Reader<'r> {
    text: &'r str,
    /// Parts before this one are from stock.
    stock: usize,
    parts: &'r mut Vec<Part>,
}

impl Reader<'_> {
    fn stand_in(&mut self, start: usize) -> Result<StandIn, FactError> {
        let body = self.text[start..].trim_end();
        let (body, series) = without_series(body);
        let mut leaves = Vec::new();
        let mut at = start;
        for piece in body.split('+') {
            self.part(trimmed(piece, at), &mut leaves)?;
            at += piece.len() + 1;
        }
        if leaves.len() > MOST {
            let message = format!("{} capacitors on one section", leaves.len());
            let help = format!("at most {MOST}");
            return Err(error(self.text, start..self.text.len(), message, &help));
        }
        let how = if series { Connection::Series } else { Connection::Parallel };
        let joins_can = leaves.iter().any(|l: &Leaf| self.parts[l.part].is_multi_section());
        if series && (leaves.len() < 2 || joins_can) {
            let (message, help) = if joins_can {
                ("sections of one can share a negative", "use separate parts in series")
            } else {
                ("one capacitor is no series pair", "write 2x 47/350 in series")
            };
            return Err(error(self.text, start..self.text.len(), message.into(), help));
        }
        StandIn::joined(how, leaves).ok_or_else(|| {
            error(self.text, start..self.text.len(), "no part".into(), "write SECTION=47/450")
        })
    }

    fn part(&mut self, span: Range<usize>, leaves: &mut Vec<Leaf>) -> Result<(), FactError> {
        let (count, span) = self.count(span)?;
        let leaf = match self.named(&span)? {
            Some(leaf) => leaf,
            None => self.typed(span.clone())?,
        };
        if count > 1 && self.parts[leaf.part].is_multi_section() {
            let message = format!("{count} times the same section of a can");
            return Err(error(self.text, span, message, "use each section once"));
        }
        leaves.extend(vec![leaf; count]);
        Ok(())
    }

    /// `2x ` or `2 x ` before a part; a stock name that begins so wins.
    fn count(&self, span: Range<usize>) -> Result<(usize, Range<usize>), FactError> {
        let text = &self.text[span.clone()];
        let digits = text.bytes().take_while(u8::is_ascii_digit).count();
        let rest = text[digits..].trim_start();
        let after = rest.strip_prefix(['x', 'X', '×']).map(str::trim_start);
        let (Some(after), false, false) = (after, digits == 0, self.is_stock_name(text)) else {
            return Ok((1, span));
        };
        let count = text[..digits].parse().unwrap_or(0);
        if !(1..=MOST).contains(&count) {
            let message = format!("{} of a part", &text[..digits]);
            let help = format!("1 to {MOST}");
            return Err(error(self.text, span.start..span.start + digits, message, &help));
        }
        Ok((count, span.end - after.len()..span.end))
    }

    fn is_stock_name(&self, text: &str) -> bool {
        let name = text.split(':').next().unwrap_or(text).trim();
        self.parts[..self.stock].iter().any(|p| p.name.eq_ignore_ascii_case(name))
    }

    fn named(&self, span: &Range<usize>) -> Result<Option<Leaf>, FactError> {
        let text = &self.text[span.clone()];
        let (name, section) = match text.split_once(':') {
            Some((name, section)) => (name.trim(), Some(section.trim())),
            None => (text, None),
        };
        let stock = &self.parts[..self.stock];
        let exact = stock.iter().position(|p| p.name == name);
        let part = exact.or_else(|| stock.iter().position(|p| p.name.eq_ignore_ascii_case(name)));
        let Some(part) = part else {
            return match section {
                Some(_) => {
                    let message = format!("no part in stock is called {name}");
                    Err(error(self.text, span.clone(), message, &self.nearest(name)))
                }
                None => Ok(None),
            };
        };
        let called = stock[part].name.as_str();
        let lines: Vec<String> =
            stock.iter().filter(|p| p.name == called).map(|p| p.line.to_string()).collect();
        if lines.len() > 1 {
            let message = format!("{called} stands on lines {} of the list", lines.join(" and "));
            let help = "give each line a name of its own, or type the value, such as 47/450";
            return Err(error(self.text, span.clone(), message, help));
        }
        let count = stock[part].sections.len();
        let section = match section.map(str::parse::<usize>) {
            None if count == 1 => 0,
            Some(Ok(n)) if (1..=count).contains(&n) => n - 1,
            _ => {
                let message = format!("{name} has {count} sections");
                let help = format!("write {name}:1 to {name}:{count}");
                return Err(error(self.text, span.clone(), message, &help));
            }
        };
        Ok(Some(Leaf { part, section }))
    }

    fn nearest(&self, name: &str) -> String {
        let score = |p: &Part| strsim::jaro_winkler(&p.name.to_lowercase(), &name.to_lowercase());
        let stock = self.parts[..self.stock].iter();
        match stock.max_by(|a, b| score(a).total_cmp(&score(b))) {
            Some(part) if score(part) > 0.8 => format!("did you mean {}?", part.name),
            _ => "give a name from the stock list, or a value such as 47/450".into(),
        }
    }

    fn typed(&mut self, span: Range<usize>) -> Result<Leaf, FactError> {
        let text = &self.text[span.clone()];
        let fields: Vec<&str> = text.split('/').collect();
        if !(2..=3).contains(&fields.len()) {
            let message = if text.is_empty() {
                "no part".to_owned()
            } else {
                format!("{text} is neither in stock nor a value")
            };
            let help = self.nearest(text);
            return Err(error(self.text, span, message, &help));
        }
        let capacitance = self.value::<Capacitance>(span.start, fields[0])?;
        let volts_at = span.start + fields[0].len() + 1;
        let rated = self.value::<Voltage>(volts_at, fields[1])?;
        let surge_at = volts_at + fields[1].len() + 1;
        let surge = fields.get(2).map(|f| self.value::<Voltage>(surge_at, f)).transpose()?;
        if let Some(surge) = surge
            && in_volts(surge) < in_volts(rated)
        {
            let message = format!("surge {} is under the {} rated", surge.print(), rated.print());
            return Err(error(self.text, span, message, "write capacitance/volts/surge volts"));
        }
        Ok(Leaf { part: self.add(typed_part(capacitance, rated, surge)), section: 0 })
    }

    /// Equal typed parts are one entry.
    fn add(&mut self, part: Part) -> usize {
        let known = self.parts[self.stock..].iter().position(|p| *p == part);
        known.map_or_else(
            || {
                self.parts.push(part);
                self.parts.len() - 1
            },
            |i| self.stock + i,
        )
    }

    fn value<V: Value>(&self, start: usize, field: &str) -> Result<V, FactError> {
        V::read(field).map_err(|e: ValueError| {
            let span = e.span();
            let span = span.start + start..span.end + start;
            error(self.text, span, e.to_string(), e.advice())
        })
    }
}

fn typed_part(capacitance: Capacitance, rated: Voltage, surge: Option<Voltage>) -> Part {
    let name = format!("{} {}", capacitance.print(), rated.print());
    let section = PartSection { capacitance, rated, ripple: None };
    Part { surge, ..Part::bare(name, Style::Radial, vec![section]) }
}

/// Where the words of a piece stand, without the spaces round them.
fn trimmed(piece: &str, at: usize) -> Range<usize> {
    let start = at + piece.len() - piece.trim_start().len();
    start..start + piece.trim().len()
}

fn without_series(body: &str) -> (&str, bool) {
    let lower = body.to_ascii_lowercase();
    match lower.strip_suffix("in series") {
        Some(before) => (&body[..before.len()], true),
        None => (body, false),
    }
}

fn error(text: &str, span: Range<usize>, message: String, help: &str) -> FactError {
    FactError::new(OPTION, text, span, message, help.to_owned())
}
