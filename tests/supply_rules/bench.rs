//! A job on the bench, from text, with what is asked of it.

use recan::{
    facts::Facts,
    fit,
    job::{self, Job},
    judge::{Case, Judged, judge},
    part::Part,
    rules::{self, Finding, Rule, Verdict, supply::SupplyCase},
    stock,
};

pub(crate) struct Bench {
    pub(crate) job: Job,
    facts: Facts,
    supply: Option<SupplyCase>,
    pub(crate) parts: Vec<Part>,
}

pub(crate) const NO_STOCK: &str = "part,style,sections\n";

impl Bench {
    pub(crate) fn new(job: &str, list: &str) -> Self {
        Self::restuffed(job, list, false)
    }

    pub(crate) fn restuffed(job: &str, list: &str, restuffed: bool) -> Self {
        let mut bench = Self::unsolved(job, list);
        let supply = SupplyCase::of(&bench.job, 0, restuffed).unwrap_or_else(|e| panic!("{e}"));
        bench.supply = Some(supply);
        bench
    }

    /// What is judged by the job's facts alone, its supply left aside.
    pub(crate) fn unsolved(job: &str, list: &str) -> Self {
        let job = job::read_safely("job.toml", job, None).unwrap_or_else(|e| panic!("{e:?}"));
        let stock = stock::read("list", list.as_bytes()).unwrap();
        assert_eq!(stock.bad, 0, "{:?}", stock.problems);
        Self { facts: job.facts(0).unwrap(), job, supply: None, parts: stock.parts }
    }

    pub(crate) fn case(&self) -> Case<'_> {
        let can = &self.job.cans[0].reading.can;
        match &self.supply {
            Some(supply) => Case::with_supply(can, &self.facts, supply.clone()),
            None => Case::new(can, &self.facts),
        }
    }

    pub(crate) fn fit(&self, fits: &[&str]) -> fit::Fit {
        let texts: Vec<String> = fits.iter().map(|f| (*f).to_owned()).collect();
        fit::read(&self.job.cans[0].reading.can, &self.parts, &texts, None).unwrap()
    }

    /// What is said of a set, and of the chassis where the set does not say it.
    pub(crate) fn judge(&self, fits: &[&str]) -> Judged {
        let fit = self.fit(fits);
        let case = self.case();
        let mut judged = judge(&case, &fit.parts, fit.set);
        let mut chassis = rules::of_chassis(&case);
        chassis.retain(|of| judged.findings.iter().all(|own| own.rule != of.rule));
        judged.findings.extend(chassis);
        judged
    }
}

/// The one finding of a rule about a section, or about the set.
#[track_caller]
pub(crate) fn finding(judged: &Judged, rule: Rule, section: Option<usize>) -> &Finding {
    let mut found = judged.all_findings().filter(|f| f.rule == rule && f.section == section);
    let first = found.next().unwrap_or_else(|| panic!("no finding of {}", rule.id()));
    assert!(found.next().is_none(), "two findings of {}", rule.id());
    first
}

#[track_caller]
pub(crate) fn check(judged: &Judged, rule: Rule, section: Option<usize>, expected: Verdict) -> f64 {
    let found = finding(judged, rule, section);
    assert_eq!(found.verdict, expected, "{}", found.says);
    found.value.unwrap_or(f64::NAN)
}

/// Text of a job with each of `changes` made once.
#[track_caller]
pub(crate) fn changed(job: &str, changes: &[(&str, &str)]) -> String {
    let mut text = job.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from} is not in the job");
        text = text.replacen(from, to, 1);
    }
    text
}
