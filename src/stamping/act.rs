//! Acts on lists once their roles are known: values wait, volts are handed out.

use std::ops::Range;

use super::{
    doubt::Stop,
    figures,
    group::Part,
    marks::marks_mismatch,
    noise::skipped,
    piece::{Class, List},
    plausible,
    reader::{Reader, Surge},
    role::{self, Role},
    wiring::say,
};
use crate::can::{MOST_SECTIONS, Mark};

impl Reader<'_> {
    pub(super) fn act(&mut self, list: &List, role: Role) -> Result<(), Stop> {
        let span = figures::range(list);
        match role {
            Role::Values if list.sign == '…' => Err(role::ranges(span)),
            Role::Values => self.values(
                list,
                list.figures.iter().map(|f| (f.value, f.mark, f.start..f.end)).collect(),
            ),
            Role::Times => self.times(list),
            Role::Pair => self.pair(list),
            Role::Volts if self.parts.pending() > 0 && !self.style.volts_first => {
                self.parts.give(list, self.stretch, self.doubts)
            }
            Role::Volts => self.volts_without_values(list),
            Role::Surge | Role::SurgeAsTold => {
                self.surges.push(Surge {
                    volts: list.figures.iter().map(|f| f.value).collect(),
                    span,
                    stretch: self.stretch,
                    last: self.parts.last.clone(),
                    told: role == Role::SurgeAsTold,
                });
                Ok(())
            }
            Role::Skip => {
                let why = if list.class == Class::Test {
                    "test voltage, no rating"
                } else {
                    "a figure without a unit: no value"
                };
                self.ignored.push(skipped(self.text, span, why));
                Ok(())
            }
        }
    }

    pub(super) fn values(
        &mut self,
        list: &List,
        values: Vec<(f64, Option<Mark>, Range<usize>)>,
    ) -> Result<(), Stop> {
        let mut marks =
            if self.style.marks_before { std::mem::take(&mut self.marks) } else { Vec::new() };
        if marks == [Some(Mark::Plain)] && values.len() > 1 && values.iter().all(|v| v.1.is_none())
        {
            say(&mut self.notices, "the dash before several values is not taken for a mark");
            marks.clear();
        }
        if values.iter().skip(1).any(|v| v.1.is_some()) && marks.len() == 1 {
            marks.resize(values.len(), marks[0]);
        } else if !marks.is_empty() && marks.len() != values.len() {
            return Err(marks_mismatch(marks.len(), values.len(), self.marks_span.clone()));
        }
        if list.class == Class::Bare {
            say(&mut self.notices, "no unit is printed with a value: read as microfarads");
        }
        for (i, (uf, inner, span)) in values.into_iter().enumerate() {
            self.parts.all.push(Part {
                uf,
                span,
                mark: inner.or_else(|| marks.get(i).copied().flatten()),
                volts: None,
                volts_span: 0..0,
                surge: None,
                surge_span: 0..0,
                sign: list.sign,
                stretch: self.stretch,
                explicit: list.class != Class::Bare,
            });
        }
        if self.style.volts_first
            && let Some(volts) = self.ahead.clone()
        {
            say(&mut self.notices, "the volts stand before the values");
            self.ahead_given = true;
            self.parts.give(&volts, self.stretch, self.doubts)?;
        }
        Ok(())
    }

    pub(super) fn times(&mut self, list: &List) -> Result<(), Stop> {
        let [n, value] = list.figures.as_slice() else {
            return self.values(
                list,
                list.figures.iter().map(|f| (f.value, None, f.start..f.end)).collect(),
            );
        };
        let Some(count) = plausible::count(n.value).filter(|c| *c <= MOST_SECTIONS) else {
            return Err(Stop::refuse(
                n.start..n.end,
                format!("{} sections of one value, expected 2 to 4", n.value),
                "write the values one by one, with a hyphen between",
            ));
        };
        self.values(list, vec![(value.value, None, value.start..value.end); count])
    }

    /// One value and its volts in one list: `40-450`.
    pub(super) fn pair(&mut self, list: &List) -> Result<(), Stop> {
        let [value, volts] = list.figures.as_slice() else {
            return Err(role::unreadable(figures::range(list)));
        };
        let bare = List { class: Class::Bare, ..list.clone() };
        self.values(&bare, vec![(value.value, value.mark, value.start..value.end)])?;
        let one = List { figures: vec![*volts], sign: ' ', ..list.clone() };
        self.parts.give(&one, self.stretch, self.doubts)
    }

    /// Volts where no value waits for any.
    fn volts_without_values(&mut self, list: &List) -> Result<(), Stop> {
        let first = list.figures.first().map_or(0.0, |f| f.value);
        let rated = self.parts.all.last().and_then(|p| p.volts);
        if let Some(rated) = rated
            && !self.style.volts_first
        {
            if list.figures.len() == 1 && plausible::is_surge_of(rated, first) {
                say(
                    &mut self.notices,
                    &format!("{first} V beside {rated} V is read as the surge volts"),
                );
                return self.act(list, Role::Surge);
            }
            return Err(lone_volts(list, first));
        }
        self.ahead_given = false;
        self.ahead = Some(list.clone());
        Ok(())
    }

    /// Hands over volts that stood before all values.
    pub(super) fn late_volts(&mut self) -> Result<(), Stop> {
        match self.ahead.take().filter(|_| !self.ahead_given) {
            Some(list) if self.parts.pending() > 0 => {
                say(&mut self.notices, "the volts stand before the values");
                self.parts.give(&list, self.stretch, self.doubts)
            }
            Some(list) => {
                let first = list.figures.first().map_or(0.0, |f| f.value);
                let nothing = self.parts.all.is_empty();
                if nothing { Ok(()) } else { Err(lone_volts(&list, first)) }
            }
            None => Ok(()),
        }
    }
}

fn lone_volts(list: &List, first: f64) -> Stop {
    Stop::refuse(
        figures::range(list),
        format!("{first} V stands without a value, expected microfarads before it"),
        "write each section as value, unit, volts: 40 uF 450 V",
    )
}
