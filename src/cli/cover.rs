//! `recan stock --cover`.

use std::path::{Path, PathBuf};

use miette::Diagnostic;
use recan::{
    cover::{Wanted, cover},
    folder::jobs::{self, Found},
    job,
    judge::Case,
    part::Part,
    report::{
        cover::{CoverAnswer, Unread},
        json, text,
    },
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
    let (mut wanted, mut unread, mut count) = (Vec::new(), Vec::new(), 0);
    for job in found {
        let name = job.folder.display().to_string();
        match sections(&name, &job, &list.parts) {
            Ok(sections) => {
                count += 1;
                wanted.extend(sections);
            }
            Err(says) => unread.push(Unread { job: name, says }),
        }
    }
    let covered = progress::shown("covering".into(), list.bytes, || cover(&wanted, &list.parts));
    let answer = CoverAnswer {
        cover: &covered,
        wanted: &wanted,
        stock: &list.source,
        jobs: count,
        unread: &unread,
    };
    let whole = covered.unserved.is_empty() && unread.is_empty();
    Ok(Reply {
        page: text::cover::page(&answer),
        json: json::to_text(&json::cover::cover(&answer)),
        remarks: list.remarks,
        code: if whole { 0 } else { ANSWERED_NO },
    })
}

/// Every section of a job, or why it can't be read.
fn sections(name: &str, found: &Found, parts: &[Part]) -> Result<Vec<Wanted>, String> {
    let text = found.text.as_ref().map_err(ToString::to_string)?;
    let job = job::read_safely("job.toml", text, None).map_err(|errors| errors.to_string())?;
    let several = job.cans.len() > 1;
    let mut wanted = Vec::new();
    for (i, can) in job.cans.iter().enumerate() {
        let Some(facts) = job.facts(i) else { continue };
        let called = can.name.clone().or_else(|| several.then(|| (i + 1).to_string()));
        let case = Case::new(&can.reading.can, &facts);
        wanted.extend(Wanted::all(name, called.as_deref(), &case, parts));
    }
    Ok(wanted)
}
