//! Readings with the set unplugged and discharged.

use super::{
    super::{
        draft::COLD,
        question::{Kept, Of, Question, Stage, Takes},
    },
    at_bypass, at_node, has_transformer, row_has, settled, wired,
};

pub(super) const UNPLUGGED: &[Question] = &[
    Question {
        flag: "winding-resistance",
        stage: Stage::Unplugged,
        of: Of::Job,
        asks: "DC ohms of the high-voltage winding, each side",
        how: "rectifier out, ohmmeter from the centre tap to a plate pin; take the mean of both sides",
        adds: "lets peaks and ripple current be judged",
        takes: Takes::OhmsOrZero,
        kept: Kept::Key("rectifier", "winding_resistance"),
        when: |draft, _| {
            has_transformer(draft, "") && draft.key("rectifier", "supply_resistance").is_none()
        },
    },
    Question {
        flag: "primary-resistance",
        stage: Stage::Unplugged,
        of: Of::Job,
        asks: "DC ohms of the transformer's primary",
        how: "ohmmeter across the pins of the unplugged plug, switch on",
        adds: "lets peaks and ripple current be judged",
        takes: Takes::OhmsOrZero,
        kept: Kept::Key("rectifier", "primary_resistance"),
        when: |draft, _| {
            has_transformer(draft, "") && draft.key("rectifier", "supply_resistance").is_none()
        },
    },
    Question {
        flag: "supply-resistance",
        stage: Stage::Unplugged,
        of: Of::Job,
        asks: "ohms between the line and the rectifier",
        how: "the surge resistor, measured or by its colours; 0 where there is none",
        adds: "lets peaks and ripple current be judged",
        takes: Takes::OhmsOrZero,
        kept: Kept::Key("rectifier", "supply_resistance"),
        when: |draft, _| !has_transformer(draft, ""),
    },
    Question {
        flag: "plate-resistor",
        stage: Stage::Unplugged,
        of: Of::Job,
        asks: "ohms added in each plate lead",
        how: "look between winding and plate; 0 where there is none",
        adds: "counts in the source resistance",
        takes: Takes::OhmsOrZero,
        kept: Kept::Key("rectifier", "plate_resistor"),
        when: has_transformer,
    },
    Question {
        flag: "resistor",
        stage: Stage::Unplugged,
        of: Of::Section,
        asks: "ohms of the dropping resistor that feeds the section",
        how: "ohmmeter from lug to lug, once it has stopped climbing; old ones drift, so colours are second best",
        adds: "gives hum and current behind it",
        takes: Takes::Ohms,
        kept: Kept::Node("resistor"),
        when: |draft, place| {
            wired(draft, place) == Some("resistor") || row_has(draft, place, "resistor")
        },
    },
    Question {
        flag: "choke-resistance",
        stage: Stage::Unplugged,
        of: Of::Section,
        asks: "DC ohms of the choke or field coil",
        how: "ohmmeter from lug to lug; no continuity means an open coil",
        adds: "gives the current through the choke",
        takes: Takes::OhmsOrZero,
        kept: Kept::Node("choke_resistance"),
        when: |draft, place| wired(draft, place) == Some("choke") || row_has(draft, place, "choke"),
    },
    Question {
        flag: "bleeder",
        stage: Stage::Unplugged,
        of: Of::Section,
        asks: "ohms of a fixed resistor across the section, or none",
        how: "follow the lug for a resistor to its negative; read its colours",
        adds: "says how long the section stays charged",
        takes: Takes::OhmsOrNone,
        kept: Kept::Node("bleeder"),
        when: at_node,
    },
    Question {
        flag: "cathode-resistor",
        stage: Stage::Unplugged,
        of: Of::Section,
        asks: "ohms of the cathode resistor that the section is across",
        how: "ohmmeter across it, or its colours where it reads low through the old section",
        adds: "gives the cathode current, a check on loads",
        takes: Takes::Ohms,
        kept: Kept::Bypass("cathode_resistor"),
        when: at_bypass,
    },
    Question {
        flag: "cold",
        stage: Stage::Unplugged,
        of: Of::Section,
        asks: "ohms from the lug to its own negative, cold",
        how: "plus lead on the lug, wait until it stops climbing, then read; open where it goes over range",
        adds: "shows a short before the set is powered",
        takes: Takes::OhmsOrOpen,
        kept: Kept::Reading("measured", COLD),
        when: settled,
    },
];
