//! What names of a job file mean: nodes, sections of cans, places for negatives.

use crate::nearest::nearest;
use std::{cell::RefCell, ops::Range};

use toml::Spanned;

use super::{
    model::{Job, Point, SectionOf},
    problem::{Place, TreeProblem},
    sheet::Sheet,
    word,
};
use crate::can::Can;

/// A can as far as names need it.
pub(super) struct NamedCan {
    pub(super) name: Option<String>,
    /// `None` where its stamping can't be read: nothing more is said of its sections.
    pub(super) can: Option<Can>,
}

/// The names of a job.
pub(super) struct Names<'t> {
    pub(super) sheet: &'t Sheet<'t>,
    pub(super) cans: Vec<NamedCan>,
    /// Whether the file has cans at all, readable or not.
    pub(super) has_cans: bool,
    /// Names of the nodes in feeding order.
    pub(super) nodes: Vec<String>,
    /// Sections that have a place, and where that is written.
    used: RefCell<Vec<(SectionOf, Range<usize>)>>,
}

impl<'t> Names<'t> {
    pub(super) fn new(
        sheet: &'t Sheet<'t>,
        cans: Vec<NamedCan>,
        has_cans: bool,
        nodes: Vec<String>,
    ) -> Self {
        Self { sheet, cans, has_cans, nodes, used: RefCell::default() }
    }

    /// The section that a text names, now in use.
    pub(super) fn take_section(&self, text: &Spanned<String>) -> Option<SectionOf> {
        let found = match self.section(text.get_ref()) {
            Ok(found) => found?,
            Err((part, problem)) => {
                self.sheet.note(self.sheet.inside(text, part), problem);
                return None;
            }
        };
        let mut used = self.used.borrow_mut();
        if let Some((_, first)) = used.iter().find(|(section, _)| *section == found) {
            let problem = TreeProblem::SectionTwice { section: text.get_ref().clone() };
            self.sheet.note(Place::against(text.span(), first.clone(), "first used here"), problem);
            return None;
        }
        used.push((found, text.span()));
        Some(found)
    }

    /// The section that a text names, or what is wrong and with which characters
    /// of it. `None` is a section of a can whose stamping can't be read.
    pub(super) fn section(
        &self,
        text: &str,
    ) -> Result<Option<SectionOf>, (Range<usize>, TreeProblem)> {
        let found = text.to_owned();
        let (index, start) = match (text.split_once('/'), self.cans.as_slice()) {
            (_, []) if !self.has_cans => {
                return Err((0..text.len(), TreeProblem::NoCan { found }));
            }
            (_, []) => return Ok(None),
            (Some((can, _)), _) => {
                let index = self.can(can).ok_or_else(|| {
                    let cans = self.cans.iter().filter_map(|c| c.name.clone()).collect();
                    (0..can.len(), TreeProblem::NoSuchCan { found: can.to_owned(), cans })
                })?;
                (index, can.len() + 1)
            }
            (None, [_]) => (0, 0),
            (None, _) => {
                let which = || TreeProblem::WhichCan { found, offers: self.offers(text) };
                (self.unnamed(text).ok_or_else(|| (0..text.len(), which()))?, 0)
            }
        };
        let section = text.get(start..).unwrap_or_default();
        let Some(named) = self.cans.get(index) else { return Ok(None) };
        let Some(can) = named.can.as_ref() else { return Ok(None) };
        if let Some(section) = can.find(section) {
            return Ok(Some(SectionOf { can: index, section }));
        }
        let problem = TreeProblem::NoSection {
            can: named.name.as_ref().map_or("the can".into(), |name| format!("can `{name}`")),
            found: section.to_owned(),
            sections: can.names(),
        };
        Err((start..text.len(), problem))
    }

    /// The place in feeding order of the node that a text names.
    pub(super) fn node(&self, text: &str) -> Option<usize> {
        find(&self.nodes, text)
    }

    /// The place that a text names, if it names one.
    pub(super) fn point_called(&self, text: &str) -> Option<Point> {
        word::point(text).or_else(|| self.node(text).map(Point::Node))
    }

    /// The place that a text names; where it names none, that is noted.
    pub(super) fn point(&self, key: &'static str, text: &Spanned<String>) -> Option<Point> {
        let found = text.get_ref();
        let point = self.point_called(found);
        if point.is_none() {
            let mut known = word::points();
            known.extend(self.nodes.iter().map(String::as_str));
            let nearest = nearest(found, &known).map(str::to_owned);
            let found = found.clone();
            self.sheet.note(text.span(), TreeProblem::NoPlace { key, found, nearest });
        }
        point
    }

    /// The can of that name; one without a name goes by its position from 1.
    fn can(&self, name: &str) -> Option<usize> {
        let is = |(i, can): (usize, &NamedCan)| match can.name.as_deref() {
            Some(own) => same(own, name),
            None => (i + 1).to_string() == name.trim(),
        };
        self.cans.iter().enumerate().position(is)
    }

    /// The can without a name, unless only others have the section.
    fn unnamed(&self, section: &str) -> Option<usize> {
        let has = |can: &NamedCan| can.can.as_ref().is_none_or(|c| c.find(section).is_some());
        let unnamed = self.cans.iter().position(|can| can.name.is_none())?;
        let elsewhere = self.cans.iter().any(|can| can.name.is_some() && has(can));
        self.cans.get(unnamed).is_some_and(|can| has(can) || !elsewhere).then_some(unnamed)
    }

    /// How a section may be meant that does not say of which can.
    fn offers(&self, section: &str) -> Vec<String> {
        let has = |can: &&NamedCan| can.can.as_ref().is_some_and(|c| c.find(section).is_some());
        let written =
            |can: &NamedCan| can.name.as_ref().map(|name| format!("{name}/{}", section.trim()));
        let having: Vec<String> = self.cans.iter().filter(has).filter_map(written).collect();
        if having.is_empty() { vec!["can/section".into()] } else { having }
    }
}

/// A section of one of `cans` cans as a job file names it: `half-round`, or
/// `A/half-round` where there are several.
pub(super) fn among(cans: usize, can: Option<&str>, section: String) -> String {
    match can {
        Some(can) if cans > 1 => format!("{can}/{section}"),
        _ => section,
    }
}

impl Job {
    /// A section as a job file names it: `half-round`, or `A/half-round` where there
    /// are several cans; `None` where there is no such can.
    #[must_use]
    pub fn section_name(&self, of: SectionOf) -> Option<String> {
        let can = self.cans.get(of.can)?;
        Some(among(self.cans.len(), can.name.as_deref(), can.reading.can.name(of.section)))
    }
}

/// Where a name stands among others; capitals and spaces at the ends don't count.
pub(super) fn find(names: &[String], text: &str) -> Option<usize> {
    names.iter().position(|name| same(name, text))
}

/// Whether two names are the same.
pub(super) fn same(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

/// Notes each name that stands a second time.
pub(super) fn distinct(sheet: &Sheet, what: &'static str, names: &[(String, Range<usize>)]) {
    for (i, (name, span)) in names.iter().enumerate() {
        let first = names.iter().take(i).find(|(other, _)| same(other, name));
        if let Some((_, first)) = first {
            let problem = TreeProblem::SameName { what, name: name.clone() };
            sheet.note(Place::against(span.clone(), first.clone(), "first here"), problem);
        }
    }
}
