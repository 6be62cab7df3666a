//! What the places of a job are called.

use crate::{
    job::{Connection, Feed, Job, Point, SectionOf},
    predict::Spot,
    supply::Place,
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
    pub fn spot(self, spot: Spot) -> String {
        let node = match spot {
            Spot::Node(node) => self.node(node),
            Spot::Cell(cell) => self.cell(cell).to_owned(),
            Spot::Section(of) => return self.section(of),
            Spot::Supply => return String::new(),
        };
        match self.section_at(spot) {
            Some(of) => format!("{node} {}", self.section(of)),
            None => node,
        }
    }

    /// The section that stands at a place.
    #[must_use]
    pub fn section_at(self, spot: Spot) -> Option<SectionOf> {
        match spot {
            Spot::Node(node) => self.job.nodes.get(node)?.capacitor?.section(),
            Spot::Cell(cell) => {
                let connection = self.job.rectifier.connection.as_ref()?;
                (*connection.cells().get(cell)?)?.section()
            }
            Spot::Section(of) => Some(of),
            Spot::Supply => None,
        }
    }

    pub(super) fn node(self, node: usize) -> String {
        self.job.nodes.get(node).map(|node| node.name.clone()).unwrap_or_default()
    }

    fn cell(self, cell: usize) -> &'static str {
        match (&self.job.rectifier.connection, cell) {
            (Some(Connection::HalfWaveDoubler { .. }), _) => "series",
            (_, 0) => "upper",
            _ => "lower",
        }
    }

    /// Where a capacitor of the supply stands.
    pub(super) fn place(self, place: Place) -> String {
        self.spot(spot_of(place))
    }

    /// Where the negative of a capacitor belongs, in words.
    pub(super) fn negative(self, place: Place) -> String {
        let own = match place {
            Place::Node(node) => self.job.nodes.get(node).and_then(|node| node.negative),
            Place::Cell(_) => None,
        };
        let of_can = || {
            let of = self.section_at(spot_of(place))?;
            self.job.cans.get(of.can)?.negative
        };
        match own.or_else(of_can) {
            Some(Point::Chassis) => "the chassis".into(),
            Some(Point::BMinus) => "B-".into(),
            Some(Point::CentreTap) => "the centre tap".into(),
            Some(Point::Line) => "the line".into(),
            Some(Point::Node(node)) => self.node(node),
            None => "the point the old one went to".into(),
        }
    }

    /// What feeds a node: `resistor from B1`, `choke from B1`, `rectifier`.
    pub(super) fn feed(self, node: usize) -> String {
        match self.job.nodes.get(node).map(|node| node.feed) {
            Some(Feed::Resistor { from, .. }) => format!("resistor from {}", self.node(from)),
            Some(Feed::Choke { from, .. }) => format!("choke from {}", self.node(from)),
            Some(Feed::Untold { from: Some(from), .. }) => self.node(from),
            _ => "rectifier".into(),
        }
    }
}

/// The reading of a capacitor's place.
pub(super) fn spot_of(place: Place) -> Spot {
    match place {
        Place::Node(node) => Spot::Node(node),
        Place::Cell(cell) => Spot::Cell(cell),
    }
}
