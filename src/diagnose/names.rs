//! What the places of a job are called.

use crate::{
    chassis::Station,
    job::{Connection, Feed, Job, ReadAt, SectionOf},
};

/// Names of nodes, sections and what lies between them.
#[derive(Debug, Clone, Copy)]
pub struct Names<'j> {
    job: &'j Job,
}

impl<'j> Names<'j> {
    /// Of the places of `job`.
    #[must_use]
    pub fn of(job: &'j Job) -> Self {
        Self { job }
    }

    /// A section: its mark, else its position; with the can where there are several.
    #[must_use]
    pub fn section(self, of: SectionOf) -> String {
        let Some(name) = self.job.section_name(of) else { return String::new() };
        let own = name.rsplit('/').next().unwrap_or(&name);
        if own.parse::<usize>().is_ok() { format!("section {name}") } else { name }
    }

    /// A place that is read: node and section, such as `B1 half-round`.
    #[must_use]
    pub fn place(self, place: ReadAt) -> String {
        let node = match place {
            ReadAt::Node(node) => self.node(node),
            ReadAt::Doubler(cell) => self.cell(cell).to_owned(),
            ReadAt::Bypass(_) | ReadAt::Other(_) | ReadAt::Section(_) => String::new(),
        };
        let section = self.section_at(place).map(|of| self.section(of)).unwrap_or_default();
        format!("{node} {section}").trim().to_owned()
    }

    /// The section that stands at a place.
    #[must_use]
    pub fn section_at(self, place: ReadAt) -> Option<SectionOf> {
        match place {
            ReadAt::Node(node) => self.job.nodes.get(node)?.capacitor?.section(),
            ReadAt::Doubler(cell) => {
                let connection = self.job.rectifier.connection.as_ref()?;
                (*connection.cells().get(cell)?)?.section()
            }
            ReadAt::Bypass(i) => Some(self.job.bypasses.get(i)?.section),
            ReadAt::Other(i) => Some(self.job.others.get(i)?.section),
            ReadAt::Section(of) => Some(of),
        }
    }

    /// The lug of a capacitor of the supply: its section as it is called, else its node.
    #[must_use]
    pub fn station(self, station: &Station) -> String {
        let place = super::lug_of(station);
        match station.section {
            Some(of) => self.section(of),
            None => self.place(place),
        }
    }

    /// A node by name.
    #[must_use]
    pub fn node(self, node: usize) -> String {
        self.job.nodes.get(node).map(|node| node.name.clone()).unwrap_or_default()
    }

    /// What stands at a node's lug: its section, else the node.
    #[must_use]
    pub fn lug(self, node: usize) -> String {
        self.section_at(ReadAt::Node(node)).map_or_else(|| self.node(node), |of| self.section(of))
    }
    fn cell(self, cell: usize) -> &'static str {
        match (&self.job.rectifier.connection, cell) {
            (Some(Connection::HalfWaveDoubler { .. }), _) => "series",
            (_, 0) => "upper",
            _ => "lower",
        }
    }

    /// What feeds a node: `resistor from B1`, `choke from B1`, `rectifier`.
    #[must_use]
    pub fn feed(self, node: usize) -> String {
        match self.job.nodes.get(node).map(|node| node.feed) {
            Some(Feed::Resistor { from, .. }) => format!("resistor from {}", self.node(from)),
            Some(Feed::Choke { from, .. }) => format!("choke from {}", self.node(from)),
            Some(Feed::Untold { from: Some(from), .. }) => self.node(from),
            _ => "rectifier".into(),
        }
    }
}
