//! Where a stand-in's capacitors come from: parts that will do equally well.

use std::{cell::OnceCell, rc::Rc};

use super::{lines::Lines, section::Shape};
use crate::set::{Connection, Leaf};

/// Parts that will do equally well, and their orders, made when first asked for.
#[derive(Debug)]
pub(super) struct Members {
    parts: Vec<usize>,
    orders: OnceCell<Orders>,
    classes: OnceCell<Vec<usize>>,
}

#[derive(Debug)]
pub(super) struct Orders {
    pub(super) priced_by_price: Vec<usize>,
    pub(super) priced_by_name: Vec<usize>,
    pub(super) unpriced_by_name: Vec<usize>,
    pub(super) all_by_name: Vec<usize>,
}

impl Members {
    pub(super) fn new(parts: Vec<usize>) -> Self {
        Self { parts, orders: OnceCell::new(), classes: OnceCell::new() }
    }

    /// The classes of its parts, each once, in order.
    pub(super) fn classes(&self, lines: &Lines) -> &[usize] {
        self.classes.get_or_init(|| lines.classes_of(&self.parts))
    }

    pub(super) fn parts(&self) -> &[usize] {
        &self.parts
    }

    pub(super) fn orders(&self, lines: &Lines) -> &Orders {
        self.orders.get_or_init(|| {
            let mut all_by_name = self.parts.clone();
            // Lists come as runs that are sorted, which a stable sort joins.
            all_by_name.sort_by_key(|&p| lines.leaf_order(Leaf { part: p, section: 0 }));
            let priced = |p: &&usize| lines.parts[**p].price.is_some();
            let priced_by_name: Vec<usize> = all_by_name.iter().filter(priced).copied().collect();
            let mut priced_by_price = priced_by_name.clone();
            priced_by_price.sort_by_key(|&p| lines.parts[p].price);
            let unpriced_by_name = all_by_name.iter().filter(|p| !priced(p)).copied().collect();
            Orders { priced_by_price, priced_by_name, unpriced_by_name, all_by_name }
        })
    }
}

/// Where one stand-in's capacitors come from.
#[derive(Debug, Clone)]
pub(super) struct Slot {
    connection: Connection,
    /// Sections of the can.
    from_can: Vec<usize>,
    /// One part each; the whole list has at most two.
    parts: Vec<Rc<Members>>,
    /// How many of the same part.
    copies: usize,
}

impl Slot {
    /// The slot of a shape, beside a section of the can where one helps.
    pub(super) fn of_shape(shape: &Shape, beside: Option<usize>) -> Self {
        let (connection, parts, copies) = match shape {
            Shape::Single(m) => (Connection::Single, vec![Rc::clone(m)], 1),
            Shape::Pair(a, b) => (Connection::Parallel, vec![Rc::clone(a), Rc::clone(b)], 1),
            Shape::Triple(m) => (Connection::Parallel, vec![Rc::clone(m)], 3),
            Shape::Series(m) => (Connection::Series, vec![Rc::clone(m)], 2),
        };
        let connection = if beside.is_some() { Connection::Parallel } else { connection };
        Self { connection, from_can: beside.into_iter().collect(), parts, copies }
    }

    /// How its capacitors are joined.
    pub(super) fn connection(&self) -> Connection {
        self.connection
    }

    /// The sections of the can that serve here.
    pub(super) fn sections_of_can(&self) -> &[usize] {
        &self.from_can
    }

    /// How many of the same part each list gives.
    pub(super) fn copies(&self) -> usize {
        self.copies
    }

    /// The lists of parts.
    pub(super) fn lists(&self) -> &[Rc<Members>] {
        &self.parts
    }

    /// Whether its two lists are one and the same.
    pub(super) fn is_twice_the_same(&self) -> bool {
        matches!(self.parts.as_slice(), [a, b] if Rc::ptr_eq(a, b))
    }

    /// The same with only parts of these classes in each list. Two lists that
    /// are one stay one where they keep the same single class.
    pub(super) fn restricted(&self, lines: &Lines, classes: &[Vec<usize>]) -> Self {
        let of = |(members, classes): (&Rc<Members>, &Vec<usize>)| {
            let is_in = |part: &usize| lines.class_of(*part).is_some_and(|c| classes.contains(&c));
            if members.parts().iter().all(is_in) {
                return Rc::clone(members);
            }
            let parts = members.parts().iter().copied();
            Rc::new(Members::new(parts.filter(is_in).collect()))
        };
        let mut parts: Vec<Rc<Members>> = self.parts.iter().zip(classes).map(of).collect();
        if self.is_twice_the_same() && classes.first() == classes.last() {
            parts = vec![Rc::clone(&parts[0]); 2];
        }
        Self {
            connection: self.connection,
            from_can: self.from_can.clone(),
            parts,
            copies: self.copies,
        }
    }

    /// Its lists of parts, with the bodies taken of each.
    pub(super) fn needs(&self) -> impl Iterator<Item = (&[usize], u64)> {
        self.parts.iter().map(|members| (members.parts(), self.copies as u64))
    }

    /// Sections of the can alone, side by side where there are several.
    pub(super) fn of_can(sections: &[usize]) -> Self {
        let connection = if sections.len() > 1 { Connection::Parallel } else { Connection::Single };
        Self { connection, from_can: sections.to_vec(), parts: Vec::new(), copies: 1 }
    }
}
