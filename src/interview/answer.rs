//! Puts an answer into a draft: read as what was asked for, kept where it belongs.

use super::{
    draft::{Draft, Seat, same},
    error::Refusal,
    question::{Kept, Takes, Target},
    rows, settle, short,
};
use crate::{
    job::read_ohms_or_open,
    nearest::nearest,
    quantity::{
        Capacitance, Current, Frequency, Inductance, Length, Resistance, Temperature, Tolerance,
        Voltage,
    },
    stamping::{self, Answers, StampingError},
    value::{Value, ValueError, read_ac_volts},
};

/// Most cans that are asked about.
pub(super) const MOST_CANS: usize = 8;
/// Longest answer in words, characters.
const LONGEST: usize = 60;

/// How people say that they don't know.
pub(super) fn is_dont_know(typed: &str) -> bool {
    let typed = typed.trim().trim_end_matches(['.', '!']).replace('’', "'");
    let words = ["", "?", "??", "don't know", "dont know", "do not know", "unknown", "no idea"];
    words.iter().any(|word| same(word, &typed))
}

impl Draft {
    /// Takes an answer; on an error the draft is as it was.
    pub(super) fn take(&mut self, target: &Target, typed: &str) -> Result<(), Refusal> {
        let mut next = self.clone();
        let (flag, place) = (target.question.flag, target.place.as_str());
        if is_dont_know(typed) {
            next.notes.set_unknown(flag, place);
        } else {
            let answer = next.read_answer(target, typed)?;
            next.notes.forget_unknown(flag, place);
            next.keep(target, &answer)?;
            settle::settle(&mut next)?;
        }
        next.check()?;
        *self = next;
        Ok(())
    }

    /// What an answer says, as it goes into the file.
    fn read_answer(&self, target: &Target, typed: &str) -> Result<String, Refusal> {
        let typed = typed.trim();
        match target.question.takes {
            Takes::Another if same(typed, "no") || same(typed, "n") => Ok("no".into()),
            // Words alone are meant for "no" as likely as for a stamping.
            Takes::Another if !typed.contains(|c: char| c.is_ascii_digit()) => Err(Refusal::word(
                typed,
                "the stamping of another can, or no",
                "copy what it says; type no where there is no other can",
            )),
            Takes::Stamping | Takes::Another => stamping_text(typed),
            Takes::Text | Takes::Name | Takes::Meter => line(typed),
            Takes::Word(words) => word(words, typed),
            Takes::WordOrText(words) => match word(words, typed) {
                Ok(word) => Ok(word),
                Err(refusal) if nearest(typed, words).is_some() && !typed.contains(' ') => {
                    Err(refusal)
                }
                Err(_) => line(typed),
            },
            Takes::Section => self.place_answer(typed),
            Takes::First => self.first_answer(typed),
            Takes::Count => count(typed),
            takes => Ok(quantity(takes, typed)?),
        }
    }

    fn place_answer(&self, typed: &str) -> Result<String, Refusal> {
        self.find_place(typed).ok_or_else(|| self.no_place(typed))
    }

    pub(super) fn no_place(&self, typed: &str) -> Refusal {
        match self.places().as_slice() {
            [] => {
                let what = format!("`{}` would be", short(typed));
                Refusal::no_sections(what, !self.job.cans.is_empty())
            }
            places => Refusal::no_place(typed, places),
        }
    }

    fn first_answer(&self, typed: &str) -> Result<String, Refusal> {
        if same(typed, "choke") {
            return Ok("choke".into());
        }
        if let Some(place) = self.find_place(typed) {
            return Ok(place);
        }
        // What has no unit is meant to be a section.
        if typed.chars().any(char::is_alphabetic)
            && let Ok(farads) = Capacitance::read(typed)
        {
            return Ok(farads.print());
        }
        Err(self.no_place(typed))
    }

    /// Keeps an answer in the document, or in a note where its table is not
    /// there yet.
    fn keep(&mut self, target: &Target, answer: &str) -> Result<(), Refusal> {
        let (flag, place, asks) =
            (target.question.flag, target.place.as_str(), target.question.asks);
        match target.question.kept {
            Kept::Key(table, key) => {
                rows::set_key(&mut self.document, table, (key, answer, asks));
            }
            Kept::Can("stamping") => self.keep_stamping(place, answer)?,
            Kept::Can(key) => {
                let row = self.can_index(place).ok_or_else(|| {
                    Refusal::not_here(target, "type the stamping first: --stamping TEXT")
                })?;
                rows::set_in_row(&mut self.document, "can", row, (key, answer, asks));
            }
            Kept::Node(key) => self.keep_at_node(target, key, answer)?,
            Kept::Bypass(key) => match self.seat(place) {
                Seat::Bypass(row) => {
                    rows::set_in_row(&mut self.document, "bypass", row, (key, answer, asks));
                }
                _ => return Err(Refusal::not_here(target, "first --wired SECTION=bypass")),
            },
            Kept::Other(key) => match self.seat(place) {
                Seat::Other(row) => {
                    rows::set_in_row(&mut self.document, "other", row, (key, answer, asks));
                }
                _ => return Err(Refusal::not_here(target, "first --wired SECTION=bias")),
            },
            Kept::Tree => self.keep_tree(target, answer)?,
            Kept::Comment if flag == "another-can" && answer != "no" => self.push_can(answer)?,
            // A reading moves into the document when its place is there.
            Kept::Comment | Kept::Reading(..) => self.notes.set(flag, place, answer),
        }
        Ok(())
    }

    fn keep_at_node(&mut self, target: &Target, key: &str, answer: &str) -> Result<(), Refusal> {
        let (flag, place) = (target.question.flag, target.place.as_str());
        match (self.node_row(place), self.seat(place)) {
            (Some(_), _) if answer == "none" => self.notes.set(flag, place, answer),
            (Some(row), _) => {
                let pair = (key, answer, target.question.asks);
                rows::set_in_row(&mut self.document, "node", row, pair);
            }
            (None, Seat::Nowhere) => self.notes.set(flag, place, answer),
            (None, _) => {
                return Err(Refusal::not_here(target, "it is no section of the B+ supply"));
            }
        }
        Ok(())
    }

    /// What the supply is made of is noted first; it moves into the document
    /// when there is enough of it.
    fn keep_tree(&mut self, target: &Target, answer: &str) -> Result<(), Refusal> {
        let (flag, place) = (target.question.flag, target.place.as_str());
        let placed = || Refusal::Placed { place: answer.to_owned() };
        match flag {
            "first" if !self.job.nodes.is_empty() => {
                let place = self.known(target).unwrap_or_default();
                return Err(Refusal::Placed { place });
            }
            "first" | "series" | "upper" | "lower"
                if self.find_place(answer).is_some() && self.seat(answer) != Seat::Nowhere =>
            {
                return Err(placed());
            }
            "wired" | "from" if self.seat(place) != Seat::Nowhere => {
                return Err(Refusal::Placed { place: place.to_owned() });
            }
            "from" if !self.can_feed(answer) => {
                return Err(Refusal::FeedsNothing { place: answer.to_owned() });
            }
            "from" if self.feeds_itself(place, answer) => {
                return Err(Refusal::Ring { place: place.to_owned() });
            }
            _ => {}
        }
        self.notes.set(flag, place, answer);
        Ok(())
    }

    /// Whether `from` hangs, by what is noted, on `place`.
    fn feeds_itself(&self, place: &str, from: &str) -> bool {
        let mut at = from.to_owned();
        for _ in 0..=self.places().len() {
            if at == place {
                return true;
            }
            match self.notes.answer("from", &at) {
                Some(next) => next.clone_into(&mut at),
                None => return false,
            }
        }
        true
    }

    fn keep_stamping(&mut self, place: &str, answer: &str) -> Result<(), Refusal> {
        let cans = self.job.cans.len();
        let row = if place.is_empty() && cans < 2 { Some(0) } else { self.can_index(place) };
        if let Some(row) = row.filter(|row| *row < cans) {
            let pair = ("stamping", answer, "what the can says");
            rows::set_in_row(&mut self.document, "can", row, pair);
            return Ok(());
        }
        self.push_can(answer)
    }

    fn push_can(&mut self, answer: &str) -> Result<(), Refusal> {
        let cans = self.job.cans.len();
        if cans >= MOST_CANS {
            return Err(Refusal::TooManyCans { count: cans + 1, most: MOST_CANS });
        }
        let stamping = ("stamping", answer, "what the can says");
        if cans == 0 {
            rows::push(&mut self.document, "can", &[stamping]);
            return Ok(());
        }
        self.name_cans();
        let name = self.free_name();
        let named = ("name", name.as_str(), "sections of this can are named as can/section");
        rows::push(&mut self.document, "can", &[named, stamping]);
        Ok(())
    }

    /// Of several cans each has a name: gives the only one one, and writes it
    /// before each of its sections.
    fn name_cans(&mut self) {
        if self.job.cans.len() != 1 {
            return;
        }
        let known = self.job.cans.first().and_then(|can| can.name.clone());
        let name = known.unwrap_or_else(|| {
            let pair = ("name", "A", "sections of this can are named as can/section");
            rows::set_in_row(&mut self.document, "can", 0, pair);
            "A".into()
        });
        let sections = self.job.cans.first().map(|can| can.reading.can.clone());
        let is_section = |text: &str| sections.as_ref().is_some_and(|can| can.find(text).is_some());
        let long = |text: &str| format!("{name}/{}", text.trim());
        rows::rename_sections(&mut self.document, &|text| is_section(text).then(|| long(text)));
        let of_can =
            |flag: &str| super::list::find(flag).is_some_and(|q| q.of == super::question::Of::Can);
        self.notes.rename(&|flag, place| match place {
            "" if of_can(flag) => name.clone(),
            place if !place.is_empty() && is_section(place) => long(place),
            place => place.to_owned(),
        });
    }

    fn free_name(&self) -> String {
        let taken = |name: &str| {
            self.job.cans.iter().any(|can| can.name.as_deref().is_some_and(|own| same(own, name)))
        };
        let mut letters = ('A'..='Z').map(String::from);
        letters.find(|name| !taken(name) && name != "A").unwrap_or_else(|| "other can".into())
    }
}

/// A stamping that can be read; one with an open question is kept as it is. A
/// typed `\\n` becomes the line break that it stands for.
fn stamping_text(typed: &str) -> Result<String, Refusal> {
    match stamping::read(typed, &Answers::default()) {
        Ok(_) | Err(StampingError::Undecided { .. }) => Ok(typed.replace("\\n", "\n")),
        Err(error) => Err(error.into()),
    }
}

/// One line of text that a report can show.
fn line(typed: &str) -> Result<String, Refusal> {
    let characters = typed.chars().count();
    if characters > LONGEST {
        let expected = format!("at most {LONGEST} characters and not {characters}");
        return Err(Refusal::word(typed, &expected, "say it shorter"));
    }
    Ok(typed.to_owned())
}

fn word(words: &[&'static str], typed: &str) -> Result<String, Refusal> {
    let plain = |text: &str| text.trim().to_lowercase().replace(['-', '_'], " ");
    if let Some(found) = words.iter().find(|word| plain(word) == plain(typed)) {
        return Ok((*found).to_owned());
    }
    let help = nearest(typed, words).map_or_else(
        || "or `?` for don't know".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    Err(Refusal::word(typed, &words.join(", "), &help))
}

fn count(typed: &str) -> Result<String, Refusal> {
    let found = typed.parse::<usize>().ok().filter(|count| (1..=64).contains(count));
    let refused = || Refusal::word(typed, "a count from 1 to 64", "count the lugs, such as 3");
    found.map(|count| count.to_string()).ok_or_else(refused)
}

/// The text of a quantity as typed; a bare number gets its unit.
fn quantity(takes: Takes, typed: &str) -> Result<String, ValueError> {
    match takes {
        Takes::AcVolts => read_ac_volts(typed).map(|volts| written(typed, volts)),
        Takes::DcVolts => Voltage::read_or_zero(typed).map(|volts| written(typed, volts)),
        Takes::OhmsOrNone if same(typed, "none") => Ok("none".into()),
        Takes::Ohms | Takes::OhmsOrNone => Resistance::read(typed).map(|ohms| written(typed, ohms)),
        Takes::OhmsOrZero => Resistance::read_or_zero(typed).map(|ohms| written(typed, ohms)),
        Takes::OhmsOrOpen => read_ohms_or_open(typed)
            .map(|read| read.map_or_else(|| "open".into(), |ohms| written(typed, ohms))),
        Takes::Henries => Inductance::read(typed).map(|henries| written(typed, henries)),
        Takes::Amperes => Current::read_or_zero(typed).map(|amperes| written(typed, amperes)),
        Takes::Hertz => Frequency::read(typed).map(|hertz| written(typed, hertz)),
        Takes::Celsius => Temperature::read(typed).map(|celsius| written(typed, celsius)),
        Takes::Length => Length::read(typed).map(|length| written(typed, length)),
        Takes::Band => Tolerance::read(typed).map(|band| written(typed, band)),
        _ => Ok(typed.to_owned()),
    }
}

fn written<V: Value>(typed: &str, value: V) -> String {
    let bare = typed.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-'));
    if bare { value.print() } else { typed.to_owned() }
}
