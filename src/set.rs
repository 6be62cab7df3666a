//! A replacement set: the parts that together stand in for every section of a can.

use crate::{part::Part, quantity::clean};

/// One capacitor taken from a list of parts: a section of a part.
///
/// All leaves that name the same multi-section part are sections of the same
/// body; each leaf that names a single-section part is a body of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Leaf {
    /// Index of the part in the list that the set was made from.
    pub part: usize,
    /// Index of the section in that part.
    pub section: usize,
}

/// How the capacitors that stand in for one section are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Connection {
    /// One capacitor.
    Single,
    /// Two or more side by side: capacitances add.
    Parallel,
    /// Two or more end to end, each with a balance resistor: volts add.
    Series,
}

impl Connection {
    /// The word used in files and on screens.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Single => "single",
            Self::Parallel => "parallel",
            Self::Series => "series",
        }
    }
}

/// What stands in for one section of the old can.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct StandIn {
    connection: Connection,
    made_of: Vec<Leaf>,
}

impl StandIn {
    /// One capacitor.
    #[must_use]
    pub fn single(leaf: Leaf) -> Self {
        Self { connection: Connection::Single, made_of: vec![leaf] }
    }

    /// Capacitors joined in `connection`; one capacitor is single however it
    /// was called, and `None` comes back for none at all or for several called
    /// single.
    #[must_use]
    pub fn joined(connection: Connection, made_of: Vec<Leaf>) -> Option<Self> {
        match (made_of.len(), connection) {
            (0, _) | (2.., Connection::Single) => None,
            (1, _) => Some(Self { connection: Connection::Single, made_of }),
            _ => Some(Self { connection, made_of }),
        }
    }

    /// How they are joined.
    #[must_use]
    pub fn connection(&self) -> Connection {
        self.connection
    }

    /// The capacitors; never empty, exactly one where the connection is single.
    #[must_use]
    pub fn made_of(&self) -> &[Leaf] {
        &self.made_of
    }

    /// Capacitance in µF of the whole, from the nominal values.
    #[must_use]
    pub fn capacitance_uf(&self, parts: &[Part]) -> f64 {
        let values = self.made_of.iter().map(|leaf| leaf.capacitance_uf(parts));
        clean(match self.connection {
            Connection::Series => 1.0 / values.map(f64::recip).sum::<f64>(),
            Connection::Single | Connection::Parallel => values.sum(),
        })
    }

    /// Volts at which the first capacitor reaches its rating: the lowest rating
    /// side by side; end to end, charge is shared, so each takes volts as one
    /// over its capacitance.
    #[must_use]
    pub fn rated_v(&self, parts: &[Part]) -> f64 {
        let least = |each: &mut dyn Iterator<Item = f64>| each.fold(f64::INFINITY, f64::min);
        let mut rated = self.made_of.iter().map(|leaf| leaf.rated_v(parts));
        if self.connection != Connection::Series {
            return least(&mut rated);
        }
        let whole = self.capacitance_uf(parts);
        let share = |leaf: &Leaf| leaf.rated_v(parts) * leaf.capacitance_uf(parts) / whole;
        clean(least(&mut self.made_of.iter().map(share)))
    }
}

impl Leaf {
    /// Capacitance in µF.
    ///
    /// # Panics
    /// Never for a leaf made from the same `parts`.
    #[must_use]
    pub fn capacitance_uf(self, parts: &[Part]) -> f64 {
        crate::quantity::in_microfarads(parts[self.part].sections[self.section].capacitance)
    }

    /// Rated volts.
    ///
    /// # Panics
    /// Never for a leaf made from the same `parts`.
    #[must_use]
    pub fn rated_v(self, parts: &[Part]) -> f64 {
        crate::quantity::in_volts(parts[self.part].sections[self.section].rated)
    }
}

/// What a set is built round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// One body does it all, of two sections or more.
    OneCan,
    /// A multi-section body and one or more others.
    CanAndAdded,
    /// No multi-section body.
    Separate,
}

impl Kind {
    /// Every kind, in the order screens show them.
    pub const ALL: [Self; 3] = [Self::OneCan, Self::CanAndAdded, Self::Separate];

    /// The word used in files and on screens.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::OneCan => "one-can",
            Self::CanAndAdded => "can-and-added",
            Self::Separate => "separate",
        }
    }
}

/// A stand-in for each section of the old can, in stamping order.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct ReplacementSet {
    /// One entry for each section of the old can.
    pub sections: Vec<StandIn>,
}

impl ReplacementSet {
    /// Whether two capacitors in series stand in for any section.
    #[must_use]
    pub fn has_series(&self) -> bool {
        self.sections.iter().any(|section| section.connection() == Connection::Series)
    }

    /// How many bodies of each part are used, in order of first use.
    #[must_use]
    pub fn uses(&self, parts: &[Part]) -> Vec<(usize, u32)> {
        let mut uses: Vec<(usize, u32)> = Vec::new();
        for leaf in self.sections.iter().flat_map(StandIn::made_of) {
            match uses.iter_mut().find(|(part, _)| *part == leaf.part) {
                Some(_) if parts[leaf.part].is_multi_section() => {}
                Some((_, count)) => *count += 1,
                None => uses.push((leaf.part, 1)),
            }
        }
        uses
    }

    /// Number of bodies; balance resistors do not count.
    #[must_use]
    pub fn bodies(&self, parts: &[Part]) -> u32 {
        self.uses(parts).iter().map(|(_, count)| count).sum()
    }

    /// What the set is built round; whatever stands in for a can of one section is
    /// `separate`.
    #[must_use]
    pub fn kind(&self, parts: &[Part]) -> Kind {
        let uses = self.uses(parts);
        let multi = uses.iter().any(|(part, _)| parts[*part].is_multi_section());
        match uses.len() {
            _ if !multi || self.sections.len() < 2 => Kind::Separate,
            1 => Kind::OneCan,
            _ => Kind::CanAndAdded,
        }
    }
}
