//! What a choice for one section is worth by itself.

use std::collections::HashMap;

use super::shelf::{Piece, Shelf, Tie};
use crate::{
    judge::{Case, Standing, Tallied},
    rules::{self, Bank, Grade, Tally},
    set::{Connection, ReplacementSet, StandIn},
};

/// One way to stand in for a section, with its share of a set's standing.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    /// Its share; the grade is left to `grade`, since at each level all rank alike.
    pub(super) standing: Standing,
    /// What the rules of the section alone say.
    pub(super) grade: Grade,
    pub(super) tie: Tie,
    pub(super) how: Connection,
    pub(super) pieces: Vec<Piece>,
    /// Sections of a can among the pieces.
    pub(super) own: u32,
    /// Set aside, since it failed wherever it was tried.
    pub(super) barred: bool,
}

impl Choice {
    pub(super) fn place(&self) -> (Standing, Tie) {
        (self.standing, self.tie)
    }
}

/// What every choice is weighed with.
#[derive(Debug)]
pub(super) struct Weigher<'c> {
    pub(super) case: &'c Case<'c>,
    pub(super) stock: &'c Shelf<'c>,
    /// Figures missing of the whole set, whatever it is.
    pub(super) whole: u32,
    /// By section, connection and told figures: how many findings of the set's rules
    /// about a section lack a figure. That hangs on what a list tells, and not on the
    /// circuit, so it is read with the can as stamped.
    lacking: HashMap<(usize, Connection, [u16; 3]), u32>,
    usual: Option<StandIn>,
}

impl<'c> Weigher<'c> {
    pub(super) fn new(case: &'c Case<'c>, stock: &'c Shelf<'c>) -> Self {
        let usual = stock.bodies.first().or(stock.cans.first());
        let usual = usual.map(|&class| StandIn::single(stock.leaf(Piece { class, group: 0 })));
        let mut weigher = Self { case, stock, whole: 0, lacking: HashMap::new(), usual };
        if let Some(usual) = weigher.usual.clone() {
            let mut of_case = Tally::default();
            rules::of_case(case, &mut of_case);
            weigher.whole = of_case.not_judged + weigher.of_set(0, &usual).whole.not_judged;
        }
        weigher
    }

    /// What the set's rules say with `stand_in` at `section`, the circuit as stamped.
    fn of_set(&self, section: usize, stand_in: &StandIn) -> Tallied {
        let (case, parts) = (self.case, self.stock.parts);
        let other = self.usual.as_ref().unwrap_or(stand_in);
        let at = |i: usize| if i == section { stand_in.clone() } else { other.clone() };
        let set = ReplacementSet { sections: (0..case.places.len()).map(at).collect() };
        let banks = crate::judge::banks(&set, parts);
        let mut tallied = Tallied::new(case.places.len());
        let stamped = case.supply.as_ref().map(|supply| Ok(&supply.original));
        rules::of_set(case, parts, (&set, &banks), stamped, &mut tallied);
        tallied
    }

    /// `pieces` joined in `how` at `section`; `None` where they fail there alone.
    pub(super) fn choice(
        &mut self,
        section: usize,
        how: Connection,
        pieces: &[Piece],
    ) -> Option<Choice> {
        let choice = self.any_choice(section, how, pieces);
        (choice.grade < Grade::Fail).then_some(choice)
    }

    /// The same, failures included.
    pub(super) fn any_choice(
        &mut self,
        section: usize,
        how: Connection,
        pieces: &[Piece],
    ) -> Choice {
        let place = &self.case.places[section];
        let stand_in = self.stock.stand_in(how, pieces);
        let bank = Bank::new(&stand_in, self.stock.parts);
        let mut tally = Tally::default();
        rules::of_section(place, &bank, &mut tally);
        let mut told = [u16::MAX; 3];
        for (told, piece) in told.iter_mut().zip(pieces) {
            *told = self.stock.classes[piece.class].told[piece.group];
        }
        told.sort_unstable();
        let key = (section, how, told);
        let known = self.lacking.get(&key).copied();
        let lacking =
            known.unwrap_or_else(|| self.of_set(section, &stand_in).sections[section].not_judged);
        self.lacking.insert(key, lacking);
        let mut standing = Standing::of_bank(place, &bank);
        standing.not_judged = tally.not_judged + lacking;
        let mut own = 0;
        for piece in pieces {
            if self.stock.is_can(piece.class) {
                own += 1;
            } else {
                standing = standing.and(Standing::of_bodies(self.stock.part(piece.class), 1));
            }
        }
        let tie = self.stock.tie(&stand_in);
        Choice {
            standing,
            grade: tally.grade,
            tie,
            how,
            pieces: pieces.to_vec(),
            own,
            barred: false,
        }
    }
}
