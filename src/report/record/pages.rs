//! The pages beside a record: what each must hold, and whether it does.

use super::{check_documents::ChangeDoc, compare::changed, documents::RecordDoc};

/// Each page by its name, as `record` gives it.
#[must_use]
pub fn of(record: &RecordDoc) -> [(&'static str, String); 3] {
    [
        ("record.html", super::html::page(record)),
        ("record.md", super::markdown::page(record)),
        ("parts.csv", super::parts::list(record)),
    ]
}

/// Pages that are missing or do not follow from `record`; `kept` gives what stands
/// beside it. Another version may have worded a page otherwise, so `version`, that of
/// this program, must be the record's: else what differs is named as not compared.
#[must_use]
pub fn otherwise(
    record: &RecordDoc,
    version: &str,
    kept: impl Fn(&str) -> Option<String>,
) -> (Vec<ChangeDoc>, Vec<String>) {
    let (mut changes, mut not_compared) = (Vec::new(), Vec::new());
    for (name, due) in of(record) {
        let was = Some("as record.json gives it".to_owned());
        match kept(name) {
            None => changes.push(changed("record", "page", name, was, None)),
            Some(text) if text == due => {}
            Some(_) if record.version != version => {
                not_compared.push(format!("{name}: recan {} wrote it", record.version));
            }
            Some(_) => {
                let is = Some("other text, changed by hand or by another build".to_owned());
                changes.push(changed("record", "page", name, was, is));
            }
        }
    }
    (changes, not_compared)
}
