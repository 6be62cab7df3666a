//! Splits text into records and fields, with the true line and the byte range
//! of each.
//!
//! It is written by hand because three things matter here that a general CSV
//! reader does not give: a lone carriage return counts as a line, every field
//! keeps its place, and a stray quote costs one line instead of all that follow.

use std::{borrow::Cow, ops::Range};

/// One field: its content, and where it stands in the text.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Field<'t> {
    /// Content without enclosing quotes and outer white space.
    pub(super) text: Cow<'t, str>,
    /// Byte range in the text, quotes included.
    pub(super) span: Range<usize>,
}

/// Why a record can't be split.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum QuoteFault {
    /// The quote opened at this byte is never closed.
    Unclosed(usize),
    /// Text follows the closing quote at this byte.
    TextAfter(usize),
}

/// One record; kept by the caller and filled anew for each.
#[derive(Debug, Default)]
pub(super) struct Record<'t> {
    /// Line that it starts on, from 1.
    pub(super) line: u64,
    /// Line that it ends on: larger where a quoted field holds line breaks.
    pub(super) last_line: u64,
    pub(super) fields: Vec<Field<'t>>,
    /// Byte range in the text, without the line's end.
    pub(super) span: Range<usize>,
    /// A line break follows; false only at the end of the text.
    pub(super) ended: bool,
    pub(super) fault: Option<QuoteFault>,
}

impl Record<'_> {
    /// No field holds anything.
    pub(super) fn is_blank(&self) -> bool {
        self.fault.is_none() && self.fields.iter().all(|f| f.text.is_empty())
    }

    /// A comment that a spreadsheet put in quotes or padded with separators.
    pub(super) fn is_comment(&self) -> bool {
        self.fields.first().is_some_and(|f| f.text.starts_with('#'))
    }
}

/// Walks the records of a text.
#[derive(Debug, Clone)]
pub(super) struct Records<'t> {
    text: &'t str,
    at: usize,
    line: u64,
    separator: u8,
}

impl<'t> Records<'t> {
    /// From the beginning of `text`; `separator` is an ASCII character.
    pub(super) fn new(text: &'t str, separator: u8) -> Self {
        Self { text, at: 0, line: 1, separator }
    }

    /// Fills `record` with the next one; false at the end. Blank lines and
    /// lines that begin with `#` are passed over.
    pub(super) fn next_into(&mut self, record: &mut Record<'t>) -> bool {
        while self.at < self.text.len() {
            if self.peek() == Some(b'#') {
                self.skip_line();
                continue;
            }
            self.read(record);
            if !(record.is_blank() || record.is_comment()) {
                return true;
            }
        }
        false
    }

    fn read(&mut self, record: &mut Record<'t>) {
        let (start, line) = (self.at, self.line);
        record.fields.clear();
        record.fault = None;
        record.line = line;
        loop {
            match self.field() {
                Ok(field) => record.fields.push(field),
                Err(fault) => {
                    // What follows a stray quote is read afresh from the next
                    // line, so only the line that holds the quote is lost.
                    (self.at, self.line) = (start, line);
                    self.at = self.line_end();
                    record.fault = Some(fault);
                    break;
                }
            }
            if self.peek() != Some(self.separator) {
                break;
            }
            self.at += 1;
        }
        record.span = start..self.at;
        record.last_line = self.line;
        record.ended = self.at < self.text.len();
        self.break_line();
    }

    /// Reads up to the separator, line's end or text's end that follows.
    fn field(&mut self) -> Result<Field<'t>, QuoteFault> {
        let start = self.at;
        while self.peek() == Some(b' ') {
            self.at += 1;
        }
        if self.peek() == Some(b'"') {
            return self.quoted();
        }
        let rest = &self.text.as_bytes()[self.at..];
        let stop = |&b: &u8| b == self.separator || b == b'\n' || b == b'\r';
        self.at += rest.iter().position(stop).unwrap_or(rest.len());
        let raw = &self.text[start..self.at];
        let text = raw.trim();
        let from = start + (raw.len() - raw.trim_start().len());
        Ok(Field { text: Cow::Borrowed(text), span: from..from + text.len() })
    }

    fn quoted(&mut self) -> Result<Field<'t>, QuoteFault> {
        let open = self.at;
        self.at += 1;
        let (inner, mut doubled) = (self.at, false);
        loop {
            match self.peek() {
                None => return Err(QuoteFault::Unclosed(open)),
                Some(b'"') if self.text.as_bytes().get(self.at + 1) == Some(&b'"') => {
                    doubled = true;
                    self.at += 2;
                }
                Some(b'"') => break,
                Some(b'\n' | b'\r') => self.break_line(),
                Some(_) => self.at += 1,
            }
        }
        let raw = self.text[inner..self.at].trim();
        self.at += 1;
        let span = open..self.at;
        while self.peek() == Some(b' ') {
            self.at += 1;
        }
        match self.peek() {
            Some(b) if b != self.separator && b != b'\n' && b != b'\r' => {
                Err(QuoteFault::TextAfter(self.at))
            }
            _ if doubled => Ok(Field { text: Cow::Owned(raw.replace("\"\"", "\"")), span }),
            _ => Ok(Field { text: Cow::Borrowed(raw), span }),
        }
    }

    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn line_end(&self) -> usize {
        let rest = &self.text.as_bytes()[self.at..];
        self.at + rest.iter().position(|b| matches!(b, b'\n' | b'\r')).unwrap_or(rest.len())
    }

    fn skip_line(&mut self) {
        self.at = self.line_end();
        self.break_line();
    }

    /// Steps over one line break: CR LF, LF or a lone CR.
    fn break_line(&mut self) {
        match self.text.as_bytes().get(self.at..).unwrap_or_default() {
            [b'\r', b'\n', ..] => self.at += 2,
            [b'\r' | b'\n', ..] => self.at += 1,
            _ => return,
        }
        self.line += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each record as `line|field|field…`, a fault as `line!`.
    #[track_caller]
    fn check(text: &str, expected: &[&str]) {
        let mut records = Records::new(text, b',');
        let (mut record, mut found) = (Record::default(), Vec::new());
        while records.next_into(&mut record) {
            let mut line = record.line.to_string();
            if record.fault.is_some() {
                line.push('!');
            }
            for field in &record.fields {
                line.push('|');
                line.push_str(&field.text);
            }
            found.push(line);
        }
        assert_eq!(found, expected);
    }

    #[test]
    fn every_line_break_counts_once() {
        check("a\nb\r\nc\rd", &["1|a", "2|b", "3|c", "4|d"]);
        check("a\r\r\nb", &["1|a", "3|b"]);
    }

    #[test]
    fn blank_and_comment_lines_are_passed_over_and_counted() {
        check("# say \"so\na\n\n ,, \n#b,c\nd\n", &["2|a", "6|d"]);
        check("\"# padded, quoted\",,\na", &["2|a"]);
    }

    #[test]
    fn quotes_hold_separators_quotes_and_breaks() {
        check("\"a,b\",c", &["1|a,b|c"]);
        check(" \"say \"\"so\"\"\" ,c", &["1|say \"so\"|c"]);
        check("\"a\r\nb\",c\nd", &["1|a\r\nb|c", "3|d"]);
        check("1-3/8\",c", &["1|1-3/8\"|c"]);
        check("\"\",c", &["1||c"]);
    }

    #[test]
    fn a_stray_quote_costs_one_line() {
        check("a,\"b\nc,d\ne", &["1!|a", "2|c|d", "3|e"]);
        check("a,\"b\nc,\"d\"\ne", &["1!|a", "2|c|d", "3|e"]);
        check("a,\"b\"x\nc", &["1!|a", "2|c"]);
        check("\"", &["1!"]);
    }

    #[test]
    fn outer_spaces_go_and_empty_fields_stay() {
        check(" a , b,,", &["1|a|b||"]);
        check("", &[]);
    }

    #[test]
    fn spans_point_at_the_content() {
        let (text, mut record) = ("µ,  47 ,\"x\"", Record::default());
        assert!(Records::new(text, b',').next_into(&mut record));
        let cut: Vec<_> = record.fields.iter().map(|f| &text[f.span.clone()]).collect();
        assert_eq!(cut, ["µ", "47", "\"x\""]);
    }
}
