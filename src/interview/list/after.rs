//! Readings of the repaired set, which `prove` compares with what was predicted.

use super::{
    super::{
        draft::{COLD, Seat},
        question::{Kept, Of, Question, Stage, Takes},
    },
    on_supply, repaired, settled,
};

pub(super) const REPAIRED: &[Question] = &[Question {
    flag: "after-cold",
    stage: Stage::Repaired,
    of: Of::Section,
    asks: "repaired: ohms from the lug to its own negative, cold",
    how: "plus lead on the lug, wait until it stops climbing, then read; open where it goes over range",
    adds: "shows a wrong joint before power",
    takes: Takes::OhmsOrOpen,
    kept: Kept::Reading("after", COLD),
    when: |draft, place| repaired(draft, place) && settled(draft, place),
}];

pub(super) const AFTER: &[Question] = &[
    Question {
        flag: "after-supply",
        stage: Stage::After,
        of: Of::Job,
        asks: "repaired: what the set is fed through as it is read",
        how: "mains, variac, or a series lamp such as lamp 60 W; take the lamp out to prove anything",
        adds: "tells a proof from a first power-up",
        takes: Takes::Name,
        kept: Kept::Key("after", "supply"),
        when: repaired,
    },
    Question {
        flag: "after-line",
        stage: Stage::After,
        of: Of::Job,
        asks: "repaired: AC volts that feed the set as it is read",
        how: "meter on AC at the outlet that feeds the set, or behind the variac, with the set on",
        adds: "every other reading scales with it",
        takes: Takes::AcVolts,
        kept: Kept::Key("after", "line"),
        when: repaired,
    },
    Question {
        flag: "after-meter",
        stage: Stage::After,
        of: Of::Job,
        asks: "repaired: how the meter reads AC, and its error",
        how: "true-rms or average, and the percent of its data, such as true-rms 1 %",
        adds: "says how far a reading may be off",
        takes: Takes::Meter,
        kept: Kept::Key("after", "meter"),
        when: repaired,
    },
    Question {
        flag: "after-dc",
        stage: Stage::After,
        of: Of::Section,
        asks: "repaired: DC volts across the section, set hot",
        how: "off, clip the minus lead on its own negative; on, ten minutes, one hand, probe the lug",
        adds: "proves volts, currents and the wiring",
        takes: Takes::DcVolts,
        kept: Kept::Reading("after", "dc"),
        when: |draft, place| {
            let known = draft.seat(place) != Seat::Nowhere || on_supply(draft, place);
            repaired(draft, place) && known
        },
    },
    Question {
        flag: "after-hum",
        stage: Stage::After,
        of: Of::Section,
        asks: "repaired: AC volts at the lug (hum)",
        how: "as the DC, meter on AC with 0.1 µF 630 V film in series where it also responds to DC",
        adds: "proves that the hum is gone",
        takes: Takes::AcVolts,
        kept: Kept::Reading("after", "hum"),
        when: |draft, place| repaired(draft, place) && on_supply(draft, place),
    },
    Question {
        flag: "after-hum-frequency",
        stage: Stage::After,
        of: Of::Job,
        asks: "repaired: the frequency of the hum",
        how: "the meter's counter at the first lug; or by ear: 120 Hz is the octave above 60 Hz",
        adds: "tells ripple from heater hum",
        takes: Takes::Hertz,
        kept: Kept::Key("after", "hum_frequency"),
        when: repaired,
    },
];
