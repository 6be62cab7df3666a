//! What a job tells the rules that judge without a supply.

use super::{
    model::{
        Capacitor, Connection, Device, Draws, Feed, Job, Law, Lead, Node, Point, ReadAt, SectionOf,
        Usage,
    },
    reading::scaled,
};
use crate::{
    facts::{Bias, Circuit, Facts, OpenVolts, RectifierFacts, Role, SectionFacts},
    quantity::{Voltage, amperes, in_amperes, in_ohms, in_volts},
    rectifiers::Cathode,
};

impl Job {
    /// What is known round the can at `can_index`; `None` where the job has no
    /// such can.
    ///
    /// Volts are those of `[[node]]`, `[[bypass]]` and `[[other]]`, else the DC
    /// readings of a can that nobody faults, brought in proportion to the line of
    /// [`Job::line`]. A role that is not told is `smoothing`; of the first capacitor
    /// the circuit decides, whatever the job calls it. The load is there only where
    /// every node's is.
    #[must_use]
    pub fn facts(&self, can_index: usize) -> Option<Facts> {
        let can = &self.cans.get(can_index)?.reading.can;
        let section = |section| self.section_facts(SectionOf { can: can_index, section });
        Some(Facts {
            sections: (0..can.sections().len()).map(section).collect(),
            rectifier: self.rectifier_facts(),
            load: self.load().map(amperes),
            frequency: self.mains.frequency,
            isolation_contradicted: self.construction_contradiction().map(super::NotIsolated::says),
            has_nodes: !self.nodes.is_empty(),
            highest: None,
            line: self.line(),
            assumed_line: self.assumed_line().map(|(line, _)| line),
            high_line: self.high_line(),
        })
    }

    /// The most volts that a caution must not be below, beside what a supply that was
    /// worked out reaches: those read at its nodes, and of sections outside it, which
    /// `in_supply` tells apart, those told, else those stamped.
    #[must_use]
    pub fn most_volts_beside(&self, in_supply: impl Fn(SectionOf) -> bool) -> Voltage {
        let read = self.nodes.iter().filter_map(|node| node.volts);
        let cans = self.cans.iter().enumerate();
        let outside = cans.flat_map(|(can, of)| {
            let sections = of.reading.can.sections().iter().enumerate();
            let outside = sections.map(move |(section, of)| (SectionOf { can, section }, of.rated));
            outside.collect::<Vec<_>>()
        });
        let outside = outside.filter(|(of, _)| !in_supply(*of));
        let outside = outside.map(|(of, rated)| self.placed_facts(of).volts.unwrap_or(rated));
        read.chain(outside).fold(Voltage::default(), |a, b| if b > a { b } else { a })
    }

    /// Amperes out of the reservoir, where every node says what it draws.
    fn load(&self) -> Option<f64> {
        let all = self.nodes.iter().map(drawn).sum::<Option<f64>>();
        all.filter(|_| !self.nodes.is_empty())
    }

    /// A negative that nobody tells for the section is the can's.
    fn section_facts(&self, of: SectionOf) -> SectionFacts {
        let facts = self.placed_facts(of);
        let of_can = || self.negative(self.cans.get(of.can)?.negative);
        let negative = facts.negative.clone().or_else(of_can);
        let open = self.open(of);
        let negative_side = self.negative_side(of);
        SectionFacts { negative, negative_side, open, peak: open.map(|open| open.high), ..facts }
    }

    /// Which side of the field coil, choke or resistor in the negative lead a section's
    /// negative is on: volts stand across that, so one common negative would short it.
    /// What stands outside the supply returns to the chassis, behind all of them.
    fn negative_side(&self, of: SectionOf) -> Option<String> {
        let in_negative = |node: &&Node| match node.feed {
            Feed::Resistor { lead, .. } | Feed::Choke { lead, .. } => lead == Lead::Negative,
            Feed::Rectifier | Feed::Untold { .. } => false,
        };
        let last = self.nodes.iter().rev().find(in_negative)?;
        let is = |node: &Node| node.capacitor.and_then(|c| c.section()) == Some(of);
        let Some(own) = self.nodes.iter().position(is) else {
            return Some(format!("behind what feeds {}", last.name));
        };
        let mut at = self.nodes.get(own);
        while let Some(node) = at {
            if in_negative(&node) {
                return Some(format!("behind what feeds {}", node.name));
            }
            // Each node stands after the one that feeds it, so this ends.
            at = node.feed.from().and_then(|from| self.nodes.get(from));
        }
        Some("at the rectifier".into())
    }

    /// Every B+ section sees √2 × winding until the tubes draw, a doubler's own
    /// capacitors half of what stands behind them. A bleeder may hold an input
    /// choke down, so there nothing is known without the whole supply.
    fn open(&self, of: SectionOf) -> Option<OpenVolts> {
        let connection = self.rectifier.connection.as_ref()?;
        let in_cells = connection.capacitors().iter().any(|c| c.section() == Some(of));
        let elsewhere = self.bypasses.iter().any(|bypass| bypass.section == of)
            || self.others.iter().any(|other| other.section == of);
        if elsewhere || self.has_choke_input() {
            return None;
        }
        let share = if in_cells { 0.5 } else { 1.0 };
        let (line, high_line) = (self.measured_line()?, self.high_line()?);
        Some(OpenVolts {
            measured: self.open_volts(line)? * share,
            high: self.open_volts(high_line)? * share,
            high_line,
            warming: self.warming(),
        })
    }

    fn placed_facts(&self, of: SectionOf) -> SectionFacts {
        let is = |node: &&Node| node.capacitor.and_then(|c| c.section()) == Some(of);
        if let Some((position, node)) = self.nodes.iter().enumerate().find(|(_, node)| is(node)) {
            let resistor = match node.feed {
                Feed::Resistor { ohms, .. } => Some(ohms),
                _ => None,
            };
            let volts = node.volts.or_else(|| self.read(ReadAt::Node(position)));
            let negative = self.negative(node.negative);
            let role = self.role(node);
            let told_role = node.role.filter(|told| role.is_some_and(|role| role != *told));
            return SectionFacts {
                role,
                told_role,
                volts,
                resistor,
                negative,
                ..SectionFacts::default()
            };
        }
        if let Some((i, bypass)) = place(&self.bypasses, |bypass| bypass.section == of) {
            let volts = bypass.volts.or_else(|| self.read(ReadAt::Bypass(i)));
            let resistor = bypass.resistor;
            let role = Some(Role::Bypass);
            return SectionFacts { role, volts, resistor, ..SectionFacts::default() };
        }
        if let Some((i, other)) = place(&self.others, |other| other.section == of) {
            let volts = other.volts.or_else(|| self.read(ReadAt::Other(i)));
            // It stands the other way round, so the can's negative is its own only
            // where all sections share one.
            let is_bias = matches!(other.usage, Some(Usage::Bias | Usage::BackBias));
            let own = is_bias && !self.shares_negative(of.can);
            let negative = own.then(|| "the bias line".into());
            let bias = is_bias.then(|| Bias {
                on_chassis: other.positive.map(|positive| positive == Point::Chassis),
                own_negative: own,
            });
            return SectionFacts {
                volts,
                negative,
                elsewhere: true,
                bias,
                ..SectionFacts::default()
            };
        }
        let unplaced =
            SectionFacts { volts: self.read(ReadAt::Section(of)), ..SectionFacts::default() };
        self.doubler_facts(of).unwrap_or(unplaced)
    }

    /// A doubler's stack is what the rectifier charges; its series capacitor has
    /// alternating current through it and no role of its own. The upper one's
    /// negative is the lower one's positive, the series one's is on the line: one
    /// common negative would short the other capacitor, or the line.
    fn doubler_facts(&self, of: SectionOf) -> Option<SectionFacts> {
        let connection = self.rectifier.connection.as_ref()?;
        let is_stack = connection.circuit() == Circuit::FullWaveDoubler;
        let is = |cell: Option<&Capacitor>| cell.and_then(Capacitor::section) == Some(of);
        let place = connection.cells().into_iter().position(is)?;
        let negative = match (connection, place) {
            (Connection::FullWaveDoubler { .. }, 0) => Some("the middle of the doubler".into()),
            (Connection::HalfWaveDoubler { .. }, _) => Some("line".into()),
            _ => None,
        };
        Some(SectionFacts {
            negative,
            role: is_stack.then_some(Role::Reservoir),
            volts: self.read(ReadAt::Doubler(place)),
            in_doubler: true,
            ..SectionFacts::default()
        })
    }

    /// What the capacitor of a node does: the first one straight behind the rectifier
    /// is the reservoir, the first one behind an input choke smooths and no sheet of a
    /// rectifier limits it. Of the others the job tells; `None` is not known, since
    /// nothing says what feeds the node.
    #[must_use]
    pub fn role(&self, node: &Node) -> Option<Role> {
        match node.feed {
            Feed::Rectifier => Some(Role::Reservoir),
            Feed::Untold { from: None, .. } => node.role,
            of if of.from() == Some(0) && self.has_choke_input() => Some(Role::Smoothing),
            _ => Some(node.role.unwrap_or(Role::Smoothing)),
        }
    }

    /// The name of the node ahead of an input choke.
    #[must_use]
    pub fn ahead_of_choke(&self) -> Option<&str> {
        let first = self.nodes.first().filter(|_| self.has_choke_input())?;
        Some(first.name.as_str())
    }

    /// Whether the first node has no capacitor, which a full-wave doubler's stack
    /// makes up for, and feeds chokes. A resistor behind it says that its capacitor is
    /// there and not told.
    pub(crate) fn has_choke_input(&self) -> bool {
        let connection = self.rectifier.connection.as_ref();
        let mut behind = self.nodes.iter().filter(|node| node.feed.from() == Some(0)).peekable();
        self.nodes
            .first()
            .is_some_and(|first| first.capacitor.is_none() && first.feed == Feed::Rectifier)
            && connection.is_none_or(|c| c.circuit() != Circuit::FullWaveDoubler)
            && behind.peek().is_some()
            && behind.all(|node| !matches!(node.feed, Feed::Resistor { .. }))
    }

    /// Whether the sections of a can have one negative by what is printed on it.
    pub(crate) fn shares_negative(&self, can: usize) -> bool {
        self.cans.get(can).is_some_and(|can| can.reading.can.shares_negative())
    }

    /// A point in words, so that two sections can be compared.
    fn negative(&self, point: Option<Point>) -> Option<String> {
        Some(match point? {
            Point::Chassis => "chassis".into(),
            Point::BMinus => "B-".into(),
            Point::CentreTap => "centre tap".into(),
            Point::Line => "line".into(),
            Point::Node(node) => self.nodes.get(node)?.name.clone(),
        })
    }

    /// DC read at a place of a healthy can, at the line of [`Job::line`].
    fn read(&self, at: ReadAt) -> Option<Voltage> {
        let readings = self.measured.as_ref().filter(|readings| readings.can.is_none())?;
        let found = readings.dc.iter().find(|reading| reading.place == at)?;
        Some(scaled(found.volts, readings.line, self.line()))
    }

    fn rectifier_facts(&self) -> Option<RectifierFacts> {
        let circuit = self.rectifier.connection.as_ref().map(Connection::circuit);
        let mut facts = match self.rectifier.device.as_ref()? {
            Device::Type(found) => RectifierFacts::from(*found),
            // A figure alone doesn't say what rectifies.
            Device::Described { law: Law::Untold, cathode: None } => return None,
            Device::Described { cathode, .. } => RectifierFacts {
                name: "rectifier as described".into(),
                solid_state: *cathode == Some(Cathode::SolidState),
                cathode: *cathode,
                input_capacitor: None,
                circuit: None,
            },
        };
        facts.circuit = circuit.or(facts.circuit);
        Some(facts)
    }
}

fn place<T>(all: &[T], is: impl Fn(&T) -> bool) -> Option<(usize, &T)> {
    all.iter().enumerate().find(|(_, one)| is(one))
}

/// Amperes drawn from a node, bleeder included; `None` is not known.
fn drawn(node: &Node) -> Option<f64> {
    let through = |ohms| node.volts.map(|volts| in_volts(volts) / in_ohms(ohms));
    let load = match node.load?.draws {
        Draws::Current(current) => Some(in_amperes(current)),
        Draws::Resistance(ohms) => through(ohms),
    };
    let bleeds = node.bleeder.map_or(Some(0.0), through);
    Some(load? + bleeds?)
}
