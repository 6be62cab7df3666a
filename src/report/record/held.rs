//! What a record does not hold because an earlier program did not list it yet: it
//! is told, and not called changed.

use super::documents::{FactDoc, RecordDoc};
use crate::answer::stamped::RemarkDoc;

/// How facts read that an earlier program put in other words.
const EARLY_WORDS: [(&str, &str); 2] = [
    (
        "the chassis is on one side of the line: live",
        "line: the chassis is on one side of the line, live",
    ),
    ("B- is on the line: live", "floating B-: B- is on the line, live"),
];

/// Names that stand in the sentence on what is not held.
const NAMED: usize = 2;

/// A record with what it does not list filled in.
pub(super) struct Filled {
    /// The record; what it says itself is as it was.
    pub(super) record: RecordDoc,
    /// What was filled in, one sentence; `None` where nothing was.
    pub(super) not_held: Option<String>,
}

/// Fills `record` in from `made`, which this program makes of the same inputs. What
/// follows from the same inputs can't have changed by being listed.
pub(super) fn filled(record: &RecordDoc, made: &RecordDoc) -> Filled {
    let (facts, new_facts) = facts(&record.facts, &made.facts);
    let (assumed, new_assumed) = remarks(&record.assumed, &made.assumed);
    let (notices, new_notices) = remarks(&record.notices, &made.notices);
    let predicted = record.predicted.clone().or_else(|| made.predicted.clone());
    let readings = record.readings.clone().or_else(|| made.readings.clone());
    let groups = [("fact", new_facts), ("assumption", new_assumed), ("note", new_notices)];
    let mut groups: Vec<String> =
        groups.into_iter().filter_map(|(what, new)| group(what, &new)).collect();
    groups.extend((predicted != record.predicted).then(|| "predicted readings".into()));
    groups.extend((readings != record.readings).then(|| "readings after the repair".into()));
    let not_held = (!groups.is_empty()).then(|| {
        format!("what this record does not list yet, so it was not compared: {}", groups.join("; "))
    });
    let record = RecordDoc { assumed, notices, facts, predicted, readings, ..record.clone() };
    Filled { record, not_held }
}

/// `14 facts (the first, the second, …)`.
fn group(what: &str, all: &[String]) -> Option<String> {
    let count = all.len();
    let more = if count > NAMED { ", …" } else { "" };
    let named: Vec<&str> = all.iter().take(NAMED).map(String::as_str).collect();
    let plural = if count == 1 { "" } else { "s" };
    (count > 0).then(|| format!("{count} {what}{plural} ({}{more})", named.join(", ")))
}

/// The facts held, and those made that have no namesake among them.
fn facts(held: &[FactDoc], made: &[FactDoc]) -> (Vec<FactDoc>, Vec<String>) {
    let is_namesake = |a: &FactDoc, b: &FactDoc| a.what == b.what && a.section == b.section;
    let as_now = |of: &FactDoc| as_now(of, made.iter().find(|other| is_namesake(of, other)));
    let mut list: Vec<FactDoc> = held.iter().map(as_now).collect();
    let new = made.iter().filter(|of| !held.iter().any(|other| is_namesake(of, other)));
    let new: Vec<FactDoc> = new.cloned().collect();
    let names = new.iter().map(|of| of.what.clone()).collect();
    list.extend(new);
    (list, names)
}

/// A fact in the words of this program, where an earlier one had others for it.
fn as_now(of: &FactDoc, made: Option<&FactDoc>) -> FactDoc {
    let mut now = of.clone();
    if let Some((_, words)) = EARLY_WORDS.iter().find(|(early, _)| *early == of.says) {
        now.says = (*words).into();
    }
    // Early records call told what was measured or stands on the plate, and a role
    // that only its place in the tree tells.
    let is_finer = |made: &&FactDoc| match made.from.as_str() {
        "measured" | "plate" => true,
        "assumed" => of.what == "role",
        _ => false,
    };
    let made = made.filter(|made| of.from == "told" && made.says == of.says);
    if let Some(made) = made.filter(is_finer) {
        now.from.clone_from(&made.from);
    }
    now
}

/// The remarks held, each at the place of its like among those made; one that is
/// not made any more stands where a new one does, and else at the end.
fn remarks(held: &[RemarkDoc], made: &[RemarkDoc]) -> (Vec<RemarkDoc>, Vec<String>) {
    let mut gone = held.iter().filter(|of| !made.contains(of)).cloned();
    let (mut list, mut names) = (Vec::new(), Vec::new());
    for of in made {
        let stands = if held.contains(of) { Some(of.clone()) } else { gone.next() };
        list.push(stands.unwrap_or_else(|| {
            names.push(of.says.clone());
            of.clone()
        }));
    }
    list.extend(gone);
    (list, names)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn remark(says: &str) -> RemarkDoc {
        RemarkDoc { says: says.into(), section: None }
    }

    fn says(list: &[RemarkDoc]) -> Vec<&str> {
        list.iter().map(|of| of.says.as_str()).collect()
    }

    #[test]
    fn remarks_that_are_new_are_filled_in_and_others_kept() {
        let made = [remark("new"), remark("a"), remark("b now")];
        let (list, names) = remarks(&[remark("a"), remark("b then")], &made);
        // The one that is gone stands for the first that is new: a change.
        assert_eq!((says(&list), names), (vec!["b then", "a", "b now"], vec!["b now".to_owned()]));
        let (list, names) = remarks(&[remark("a")], &made[..2]);
        assert_eq!((says(&list), names), (vec!["new", "a"], vec!["new".to_owned()]));
        let (list, names) = remarks(&[remark("a"), remark("b")], &[remark("a")]);
        assert_eq!((says(&list), names), (vec!["a", "b"], Vec::new()));
    }

    #[test]
    fn a_fact_in_early_words_is_the_same_and_another_value_is_not() {
        let fact = |what: &str, says: &str, from: &str| FactDoc {
            what: what.into(),
            section: None,
            says: says.into(),
            from: from.into(),
        };
        let made = [
            fact("construction", "floating B-: B- is on the line, live", "told"),
            fact("role", "smoothing", "assumed"),
            fact("mains, frequency", "60 Hz", "told"),
        ];
        let held = [
            fact("construction", "B- is on the line: live", "told"),
            fact("role", "smoothing", "told"),
        ];
        let (list, names) = facts(&held, &made);
        assert_eq!((list.as_slice(), names), (&made[..], vec!["mains, frequency".to_owned()]));
        let (list, _) = facts(&[fact("role", "reservoir", "told")], &made);
        assert_eq!(list[0], fact("role", "reservoir", "told"));
    }
}
