//! `recan stock --cover`.

use std::path::{Path, PathBuf};

use miette::Diagnostic;
use recan::{
    can::Can,
    cover::{Cover, Wanting, cover},
    facts::Facts,
    folder::jobs::{self, Found},
    job,
    judge::Case,
    record::again,
    report::{
        cover::{CoverAnswer, Together, Unread},
        json, text,
    },
    rules::{Grade, supply::SupplyCase},
};
use thiserror::Error;

use super::{ANSWERED_NO, Failure, Reply, progress, stock::list};

#[derive(Debug, Error, Diagnostic)]
#[error("no job.toml in {}", folders.iter().map(|f| f.display().to_string()).collect::<Vec<_>>().join(", "))]
#[diagnostic(help("name folders that hold job folders"))]
struct NoJobs {
    folders: Vec<PathBuf>,
}

pub(crate) fn run(file: Option<&Path>, folders: &[PathBuf]) -> Result<Reply, Failure> {
    let list = list(file, None)?;
    let mut found = Vec::new();
    for folder in folders {
        found.extend(jobs::find(folder).map_err(Failure::file)?);
    }
    if found.is_empty() {
        return Err(Failure::input(NoJobs { folders: folders.to_vec() }));
    }
    let (mut jobs, mut unread) = (Vec::new(), Vec::new());
    for found in found {
        let name = found.folder.display().to_string();
        match cans(&name, &found) {
            Ok(cans) => jobs.push(cans),
            Err(says) => unread.push(Unread { job: name, says }),
        }
    }
    let count = jobs.len();
    let cans: Vec<JobCan> = jobs.into_iter().flatten().collect();
    let cases: Vec<Case<'_>> = cans.iter().map(JobCan::case).collect();
    let wanting: Vec<Wanting<'_>> = cans
        .iter()
        .zip(&cases)
        .map(|(can, case)| Wanting { job: &can.job, can: can.name.as_deref(), case })
        .collect();
    let covered: Cover =
        progress::shown("covering".into(), list.bytes, || cover(&wanting, &list.parts));
    let together: Vec<Together> =
        cans.iter().zip(&covered.together).map(|(can, grade)| together(can, *grade)).collect();
    let answer = CoverAnswer {
        cover: &covered,
        stock: &list.source,
        jobs: count,
        unread: &unread,
        together: &together,
    };
    let holds = together.iter().all(|can| can.grade.is_some_and(|grade| grade < Grade::Fail));
    let whole = covered.unserved.is_empty() && unread.is_empty() && holds;
    Ok(Reply {
        page: text::cover::page(&answer),
        json: json::to_text(&json::cover::cover(&answer)),
        remarks: list.remarks,
        code: if whole { 0 } else { ANSWERED_NO },
    })
}

/// A can of a job with what is known round it.
struct JobCan {
    job: String,
    name: Option<String>,
    can: Can,
    facts: Facts,
    supply: Option<SupplyCase>,
}

impl JobCan {
    fn case(&self) -> Case<'_> {
        match &self.supply {
            Some(supply) => Case::with_supply(&self.can, &self.facts, supply.clone()),
            None => Case::new(&self.can, &self.facts),
        }
    }
}

/// Every can of a job, or why it can't be read.
fn cans(name: &str, found: &Found) -> Result<Vec<JobCan>, String> {
    let text = found.text.as_ref().map_err(ToString::to_string)?;
    let job = job::read_safely("job.toml", text, None).map_err(|errors| errors.to_string())?;
    let several = job.cans.len() > 1;
    let of = |(i, can): (usize, &job::JobCan)| {
        let mut facts = job.facts(i)?;
        let supply = SupplyCase::of(&job, i, false).ok();
        if let Some(supply) = &supply {
            again::tell_peaks(supply, &mut facts);
        }
        let called = can.name.clone().or_else(|| several.then(|| (i + 1).to_string()));
        let can = can.reading.can.clone();
        Some(JobCan { job: name.into(), name: called, can, facts, supply })
    };
    Ok(job.cans.iter().enumerate().filter_map(of).collect())
}

fn together(can: &JobCan, grade: Option<Grade>) -> Together {
    Together { job: can.job.clone(), can: can.name.clone(), in_supply: can.supply.is_some(), grade }
}
