//! A job file under construction: the text as people wrote it, and what it says.

use std::cell::RefCell;

use toml_edit::DocumentMut;

use super::{
    error::Refusal,
    notes::Notes,
    question::{Kept, Question, Target},
    rows,
};
use crate::{
    can::Can,
    job::{self, Connection, Feed, Job, JobErrors, Refused, SectionOf},
    stamping::{self, Answers, Reading, StampingError},
};

/// The key of ohms read cold.
pub(super) const COLD: &str = "cold_ohms";
/// Most questions that one stamping has; answering each with its first reading
/// always ends.
const MOST_QUESTIONS: usize = 6;

/// The text of a job file, its notes, and the job that they make.
#[derive(Debug, Clone)]
pub(super) struct Draft {
    /// What errors call the file.
    pub(super) name: String,
    pub(super) document: DocumentMut,
    pub(super) notes: Notes,
    pub(super) job: Job,
    /// For each can: whether its stamping has a question that is not settled.
    pub(super) undecided: Vec<bool>,
    /// Whether the line was measured before this session began.
    pub(super) resumed: bool,
    /// Whether the repair was decided on: its readings are worth asking for.
    pub(super) repaired: bool,
}

/// What holds a section, or where a node is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Seat {
    /// Behind the rectifier or fed from another: index in [`Job::nodes`].
    Node(usize),
    /// Across a cathode resistor: index in [`Job::bypasses`].
    Bypass(usize),
    /// Neither: index in [`Job::others`].
    Other(usize),
    /// One of a doubler's own.
    Doubler,
    /// Not known yet.
    Nowhere,
}

impl Draft {
    /// Reads a job file; an empty text is a job of which nothing is known.
    pub(super) fn read(name: &str, text: &str) -> Result<Self, Box<JobErrors>> {
        // What is no document has no job either, and that is said below.
        let parsed = text.parse::<DocumentMut>();
        let empty = parsed.as_ref().is_ok_and(|document| document.as_table().is_empty());
        let (job, undecided) = if empty { (nothing(), Vec::new()) } else { read_job(name, text)? };
        let mut document = parsed.unwrap_or_default();
        let notes = Notes::take(&mut document);
        let resumed = job.mains.volts.is_some();
        let repaired = job.after.is_some();
        Ok(Self { name: name.into(), document, notes, job, undecided, resumed, repaired })
    }

    /// The text of the file.
    pub(super) fn text(&self) -> String {
        self.notes.write(&self.document)
    }

    /// Reads the job again after a change.
    pub(super) fn check(&mut self) -> Result<(), Refusal> {
        if self.document.as_table().is_empty() {
            return Ok(());
        }
        let (job, undecided) = read_job(&self.name, &self.text())?;
        (self.job, self.undecided) = (job, undecided);
        Ok(())
    }

    /// What is known in answer to a question.
    pub(super) fn known(&self, target: &Target) -> Option<String> {
        let Question { flag, kept, .. } = *target.question;
        let place = target.place.as_str();
        let noted = || self.notes.answer(flag, place).map(str::to_owned);
        let row = |table: &'static str, row: Option<usize>, key| {
            rows::text(rows::row(&self.document, table, row?)?.get(key)?)
        };
        let found = match kept {
            Kept::Key(table, key) => self.key(table, key),
            Kept::Can("stamping") if self.is_undecided(self.can_index(place)?) => None,
            Kept::Can(key) => row("can", self.can_index(place), key),
            Kept::Node(key) => row("node", self.node_row(place), key),
            Kept::Bypass(key) => match self.seat(place) {
                Seat::Bypass(index) => row("bypass", Some(index), key),
                _ => None,
            },
            Kept::Other(key) => match self.seat(place) {
                Seat::Other(index) => row("other", Some(index), key),
                _ => None,
            },
            Kept::Reading(table, key) => self.reading(table, key, place),
            // What was told goes before what a tube can only be.
            Kept::Tree => noted().or_else(|| self.in_tree(flag, place)),
            Kept::Comment => None,
        };
        found.or_else(noted)
    }

    /// What is fixed of the tree by what the file holds.
    fn in_tree(&self, flag: &str, place: &str) -> Option<String> {
        let first = || self.job.nodes.first().filter(|node| node.feed == Feed::Rectifier);
        match flag {
            "first" => first().map(|node| self.place_of_node(&node.name)),
            "circuit" => self.job.rectifier.connection.as_ref().map(|c| c.circuit().name().into()),
            "series" | "upper" | "lower" => {
                let table = self.document.get("rectifier")?.as_table_like()?;
                rows::text(table.get(flag)?.as_table_like()?.get("section")?)
            }
            "wired" | "from" => match self.seat(place) {
                Seat::Nowhere => None,
                Seat::Node(index) if flag == "from" => {
                    let from = self.job.nodes.get(index)?.feed.from()?;
                    Some(self.place_of_node(&self.job.nodes.get(from)?.name))
                }
                _ if flag == "from" => None,
                Seat::Node(_) => Some("supply".into()),
                Seat::Bypass(_) => Some("bypass".into()),
                Seat::Other(_) => Some("other".into()),
                Seat::Doubler => Some("doubler".into()),
            },
            _ => None,
        }
    }

    /// A value of a table that stands once.
    pub(super) fn key(&self, table: &str, key: &str) -> Option<String> {
        rows::text(self.document.get(table)?.as_table_like()?.get(key)?)
    }

    fn reading(&self, table: &str, key: &str, place: &str) -> Option<String> {
        let table = self.document.get(table)?.as_table_like()?.get(key)?.as_table_like()?;
        let own = self.reading_names(place);
        let found = table.iter().find(|(name, _)| own.iter().any(|own| same(own, name)))?;
        rows::text(found.1)
    }

    /// The names under which a reading at `place` may stand: the node's first.
    pub(super) fn reading_names(&self, place: &str) -> Vec<String> {
        let mut names = Vec::new();
        if let Seat::Node(index) = self.seat(place) {
            names.extend(self.job.nodes.get(index).map(|node| node.name.clone()));
        }
        names.push(place.to_owned());
        names
    }

    /// The name of each can, as places have it: empty where there is one can.
    pub(super) fn can_places(&self) -> Vec<String> {
        if self.job.cans.len() < 2 {
            return vec![String::new()];
        }
        self.job.cans.iter().map(|can| can.name.clone().unwrap_or_default()).collect()
    }

    /// Every section as the job file names it, then nodes without a section of
    /// their own.
    pub(super) fn places(&self) -> Vec<String> {
        let mut places = Vec::new();
        for (index, can) in self.job.cans.iter().enumerate() {
            if !self.is_undecided(index) {
                let sections = 0..can.reading.can.sections().len();
                places
                    .extend(sections.map(|section| self.place(SectionOf { can: index, section })));
            }
        }
        let apart = self
            .job
            .nodes
            .iter()
            .filter(|node| node.capacitor.and_then(|capacitor| capacitor.section()).is_none());
        places.extend(apart.map(|node| node.name.clone()));
        places
    }

    /// The name of a section.
    pub(super) fn place(&self, of: SectionOf) -> String {
        let Some(can) = self.job.cans.get(of.can) else { return String::new() };
        let section = can.reading.can.name(of.section);
        match &can.name {
            Some(name) if self.job.cans.len() > 1 => format!("{name}/{section}"),
            _ => section,
        }
    }

    /// The section of a node, or its name where it has none.
    pub(super) fn place_of_node(&self, name: &str) -> String {
        let node = self.job.nodes.iter().find(|node| same(&node.name, name));
        let section = node.and_then(|node| node.capacitor?.section());
        section.map_or_else(|| name.to_owned(), |section| self.place(section))
    }

    /// The place that people call `typed`: a section or a node.
    pub(super) fn find_place(&self, typed: &str) -> Option<String> {
        let places = self.places();
        if let Some(found) = places.iter().find(|place| same(place, typed)) {
            return Some(found.clone());
        }
        if let Some(node) = self.job.nodes.iter().find(|node| same(&node.name, typed)) {
            return Some(self.place_of_node(&node.name));
        }
        let (can, section) = match typed.split_once('/') {
            Some((can, section)) => (self.can_index(can.trim())?, section),
            None if self.job.cans.len() == 1 => (0, typed),
            None => return None,
        };
        let section = self.can(can)?.find(section)?;
        Some(self.place(SectionOf { can, section }))
    }

    /// The section that a place is.
    pub(super) fn section(&self, place: &str) -> Option<SectionOf> {
        let cans = self.job.cans.iter().enumerate();
        let all = cans.flat_map(|(can, of)| {
            (0..of.reading.can.sections().len()).map(move |section| SectionOf { can, section })
        });
        all.into_iter().find(|of| self.place(*of) == place)
    }

    /// What holds a place.
    pub(super) fn seat(&self, place: &str) -> Seat {
        let job = &self.job;
        let Some(section) = self.section(place) else {
            let node = job.nodes.iter().position(|node| same(&node.name, place));
            return node.map_or(Seat::Nowhere, Seat::Node);
        };
        let is = |of: Option<SectionOf>| of == Some(section);
        let node = job.nodes.iter().position(|n| is(n.capacitor.and_then(|c| c.section())));
        let bypass = || job.bypasses.iter().position(|b| b.section == section).map(Seat::Bypass);
        let other = || job.others.iter().position(|o| o.section == section).map(Seat::Other);
        let doubler = || {
            let connection = job.rectifier.connection.as_ref()?;
            connection.capacitors().iter().any(|c| is(c.section())).then_some(Seat::Doubler)
        };
        let found = node.map(Seat::Node).or_else(bypass).or_else(other).or_else(doubler);
        found.unwrap_or(Seat::Nowhere)
    }

    /// Whether another section can be fed from a place. Of a doubler's own
    /// capacitors only the upper one's lug is a point of the supply.
    pub(super) fn can_feed(&self, place: &str) -> bool {
        match self.seat(place) {
            Seat::Node(_) | Seat::Nowhere => true,
            Seat::Doubler => self.is_top(place),
            Seat::Bypass(_) | Seat::Other(_) => false,
        }
    }

    /// Whether a place is the upper section of a full-wave doubler, whose lug is
    /// the first node.
    pub(super) fn is_top(&self, place: &str) -> bool {
        let section = self.section(place);
        match &self.job.rectifier.connection {
            Some(Connection::FullWaveDoubler { upper, .. }) => {
                section.is_some() && upper.and_then(|upper| upper.section()) == section
            }
            _ => false,
        }
    }

    /// The row in the file of the node at a place.
    pub(super) fn node_row(&self, place: &str) -> Option<usize> {
        let Seat::Node(index) = self.seat(place) else { return None };
        let name = &self.job.nodes.get(index)?.name;
        let named = |row: usize| {
            let own = rows::row(&self.document, "node", row)?.get("name").and_then(rows::text);
            Some(own.unwrap_or_else(|| format!("B{}", row + 1)))
        };
        let count = rows::count(&self.document, "node");
        (0..count).find(|&row| named(row).is_some_and(|own| same(&own, name)))
    }

    /// The can that a place names; the only one where the place is empty.
    pub(super) fn can_index(&self, place: &str) -> Option<usize> {
        if place.is_empty() {
            return (self.job.cans.len() == 1).then_some(0);
        }
        let named = |can: &job::JobCan| can.name.as_deref().is_some_and(|name| same(name, place));
        self.job.cans.iter().position(named)
    }

    /// A can, where its stamping leaves nothing open.
    pub(super) fn can(&self, index: usize) -> Option<&Can> {
        let can = self.job.cans.get(index)?;
        (!self.is_undecided(index)).then_some(&can.reading.can)
    }

    pub(super) fn is_undecided(&self, can: usize) -> bool {
        self.undecided.get(can).copied().unwrap_or(false)
    }

    /// Whether a reading at a place is part of the job yet; ohms need no more than
    /// the lug.
    pub(super) fn is_read(&self, key: &str, place: &str) -> bool {
        let is_lug = key == COLD && self.section(place).is_some();
        is_lug || self.seat(place) != Seat::Nowhere
    }

    /// Whether volts at a lug of the old can were read.
    pub(super) fn has_volts(&self) -> bool {
        let readings = self.job.measured.as_ref();
        readings.is_some_and(|readings| !readings.dc.is_empty() || !readings.hum.is_empty())
    }
}

/// Whether two names are the same; capitals and spaces at the ends don't count.
pub(super) fn same(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

/// A job of which nothing is known.
fn nothing() -> Job {
    Job {
        chassis: job::ChassisFacts::default(),
        cans: Vec::new(),
        mains: job::Mains::default(),
        rectifier: job::Rectifier::default(),
        nodes: Vec::new(),
        bypasses: Vec::new(),
        others: Vec::new(),
        measured: None,
        after: None,
        loose: Vec::new(),
    }
}

/// The job in a text, and which of its cans have a question that has no safe
/// reading. Such a can stands in for itself with the first readings, so that
/// everything else can still be told.
fn read_job(name: &str, text: &str) -> Result<(Job, Vec<bool>), Box<JobErrors>> {
    let undecided = RefCell::new(Vec::new());
    let read = |index: usize, stamping: &str| {
        let (reading, open) =
            first_reading(stamping).map_err(|error| Refused::from_diagnostic(&error))?;
        let mut undecided = undecided.borrow_mut();
        let cans = undecided.len().max(index + 1);
        undecided.resize(cans, false);
        if let Some(flag) = undecided.get_mut(index) {
            *flag = open;
        }
        Ok(reading)
    };
    let job = job::read(name, text, &read).map_err(Box::new)?;
    Ok((job, undecided.into_inner()))
}

fn first_reading(stamping: &str) -> Result<(Reading, bool), StampingError> {
    let mut answers = Answers::default();
    loop {
        match stamping::read(stamping, &answers) {
            Err(StampingError::Undecided { .. }) if answers.0.len() < MOST_QUESTIONS => {
                answers.0.push(1);
            }
            read => return read.map(|reading| (reading, !answers.0.is_empty())),
        }
    }
}
