//! Which can of which chassis a record is about, and what was read on it after
//! the repair.

use crate::{
    job::{Job, ReadAt, SectionOf},
    quantity::{in_hertz, in_volts},
};

/// Which can of which chassis.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct About {
    /// What the job calls the chassis.
    pub chassis: Option<String>,
    /// What the job calls the can, or its position where there are several.
    pub can: Option<String>,
    /// The other cans of the job.
    pub others: Vec<String>,
}

/// One reading taken after the repair.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// Where.
    pub place: String,
    /// What was read.
    pub what: &'static str,
    /// The figure, in `unit`.
    pub value: f64,
    /// Volts or hertz.
    pub unit: &'static str,
}

/// Which can of `job` the one at `own` is.
#[must_use]
pub fn about(job: &Job, own: usize) -> About {
    let name = |i: usize| job.cans.get(i).and_then(|can| can.name.clone());
    let called = |i: usize| name(i).unwrap_or_else(|| (i + 1).to_string());
    let several = job.cans.len() > 1;
    About {
        chassis: job.chassis.name.clone(),
        can: if several { Some(called(own)) } else { name(own) },
        others: (0..job.cans.len()).filter(|&i| i != own).map(called).collect(),
    }
}

/// The readings under `[after]`, as they stand there; `None` where there are none.
#[must_use]
pub fn taken(job: &Job) -> Option<Vec<Taken>> {
    let after = job.after.as_ref()?;
    let line = after.line.map(|line| Taken {
        place: "line".into(),
        what: "AC volts rms",
        value: in_volts(line),
        unit: "V",
    });
    let volts = |list: &[crate::job::VoltsAt], what| -> Vec<Taken> {
        let one = |at: &crate::job::VoltsAt| Taken {
            place: place(job, at.place),
            what,
            value: in_volts(at.volts),
            unit: "V",
        };
        list.iter().map(one).collect()
    };
    let mut list: Vec<Taken> = line.into_iter().collect();
    list.extend(volts(&after.dc, "DC volts"));
    list.extend(volts(&after.hum, "hum, volts rms"));
    list.extend(after.hum_frequency.map(|frequency| Taken {
        place: "hum".into(),
        what: "frequency",
        value: in_hertz(frequency),
        unit: "Hz",
    }));
    (!list.is_empty()).then_some(list)
}

fn place(job: &Job, at: ReadAt) -> String {
    let found = match at {
        ReadAt::Node(i) => job.nodes.get(i).map(|node| node.name.clone()),
        ReadAt::Bypass(i) => job.bypasses.get(i).map(|bypass| section(job, bypass.section)),
        ReadAt::Other(i) => job.others.get(i).map(|other| section(job, other.section)),
        ReadAt::Doubler(i) => {
            let cells = job.rectifier.connection.as_ref().map(crate::job::Connection::cells);
            let section_of = cells.and_then(|all| (*all.get(i)?)?.section());
            section_of.map(|of| section(job, of))
        }
        ReadAt::Section(of) => Some(section(job, of)),
    };
    found.unwrap_or_else(|| "a place that is not in the job".into())
}

fn section(job: &Job, of: SectionOf) -> String {
    let name = job.section_name(of).unwrap_or_else(|| (of.section + 1).to_string());
    format!("section {name}")
}
