//! The figure of a finding with the numbers put in, so that hands can check it.

mod current;
mod supply;
mod volts;

use super::figure::three;
use crate::{
    judge::{Case, Judged, JudgedSection},
    part::Part,
    quantity::significant,
    rules::{Candidate, Finding, Place, Rule, Verdict, supply::Trial},
};

/// A judged set and what its figures come from.
pub(super) struct Figures<'a> {
    case: &'a Case<'a>,
    parts: &'a [Part],
    set: &'a Judged,
    candidates: Vec<Candidate>,
}

impl<'a> Figures<'a> {
    pub(super) fn new(case: &'a Case<'a>, parts: &'a [Part], set: &'a Judged) -> Self {
        let candidates = set.sections.iter().map(|s| s.candidate.clone()).collect();
        Self { case, parts, set, candidates }
    }

    /// `finding` of the set worked in one line; `None` where its sentence has all
    /// of its numbers, or there is no figure.
    pub(super) fn worked(&self, finding: &Finding) -> Option<String> {
        let value = finding.value?;
        let at = finding.section.and_then(|s| self.section(s));
        let of_section = at.and_then(|(place, section)| {
            let new = &section.candidate;
            of_section(place, new, finding, value)
                .or_else(|| volts::worked(self, place, new, finding))
                .or_else(|| current::worked(self, place, new, finding))
        });
        of_section.or_else(|| supply::worked(self, finding, value))
    }

    fn section(&self, section: usize) -> Option<(&Place<'a>, &JudgedSection)> {
        Some((self.case.places.get(section)?, self.set.sections.get(section)?))
    }

    /// The set in its supply, where that is known and solved.
    fn trial(&self) -> Option<Trial<'_>> {
        Some(Trial {
            case: self.case.supply.as_ref()?,
            places: &self.case.places,
            candidates: &self.candidates,
            worked: self.set.supply.as_ref()?,
        })
    }
}

/// A figure that needs the capacitances alone.
fn of_section(place: &Place, new: &Candidate, finding: &Finding, value: f64) -> Option<String> {
    let (old_uf, new_uf) = (place.stamped_uf, new.capacitance_uf);
    Some(match finding.rule {
        Rule::Capacitance => {
            let of = |limit: Option<f64>| {
                limit.map(|limit| {
                    format!("{} × {} = {}", three(limit / old_uf), three(old_uf), three(limit))
                })
            };
            let limits: Vec<String> =
                [of(finding.limit_low), of(finding.limit_high)].into_iter().flatten().collect();
            format!(
                "{} / {} = {}; limits {}",
                three(new_uf),
                three(old_uf),
                three(new_uf / old_uf),
                limits.join(" and ")
            )
        }
        Rule::Hum if finding.verdict != Verdict::NotJudged => {
            let ratio = 10.0_f64.powf(value / 20.0);
            format!("20 log10 of {} times = {value:.2} dB; solved with either can", three(ratio))
        }
        Rule::RelativeHum => {
            format!("20 log10({} / {}) = {value:.2} dB", three(old_uf), three(new_uf))
        }
        Rule::BypassCorner | Rule::DecouplingCorner => {
            format!("{} / {} = {}", three(old_uf), three(new_uf), three(value))
        }
        _ => return None,
    })
}

/// Four digits: one more than sentences have, so that a product of such figures
/// comes out as shown.
fn four(x: f64) -> f64 {
    significant(x, 4)
}
