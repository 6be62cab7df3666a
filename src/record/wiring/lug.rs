//! What to call a lug, and the end of a part, in a sentence.

use crate::{
    can::{Can, Mark},
    part::{Part, Style},
    set::Leaf,
    value::Value,
};

/// The lug or lead that tells section `index` from the others.
pub(super) fn of(can: &Can, index: usize) -> String {
    let Some(section) = can.sections().get(index) else { return String::new() };
    match section.mark {
        Some(Mark::Colour(colour)) => format!("the {} lead or lug", colour.name()),
        Some(Mark::Letter(letter)) => format!("lug {letter}"),
        Some(mark) => format!("the {mark} lug"),
        None => format!(
            "the lug of section {} ({} {})",
            index + 1,
            section.capacitance.print(),
            section.rated.print()
        ),
    }
}

/// What the positive of section `index` was soldered to.
pub(super) fn old_positive(can: &Can, index: usize) -> String {
    if can.common_positive {
        "the wires that were on the old common positive".into()
    } else {
        format!("the wires that were on {}", of(can, index))
    }
}

/// The positive end of a capacitor, or its section's lug where it is a can's.
pub(super) fn positive(parts: &[Part], leaf: Leaf) -> String {
    let part = &parts[leaf.part];
    match part.style {
        _ if part.is_multi_section() => lug_of_part(part, leaf.section),
        Style::Film => format!("one lead of {}", part.name),
        _ => format!("+ of {}", part.name),
    }
}

/// The negative end of a capacitor that has one of its own.
pub(super) fn negative(parts: &[Part], leaf: Leaf) -> String {
    let part = &parts[leaf.part];
    match part.style {
        _ if part.is_multi_section() => {
            format!("the negative of section {} of {}", leaf.section + 1, part.name)
        }
        Style::Film => format!("the other lead of {}", part.name),
        _ => format!("− of {}", part.name),
    }
}

/// `the section 2 lug (20 µF 475 V) of C40-20-475`.
pub(super) fn lug_of_part(part: &Part, section: usize) -> String {
    let values = part
        .sections
        .get(section)
        .map_or_else(String::new, |s| format!(" ({} {})", s.capacitance.print(), s.rated.print()));
    format!("the section {} lug{values} of {}", section + 1, part.name)
}

/// Ends of several capacitors in words: `+ of both R22-450T and + of R10-450T`.
pub(super) fn several(
    parts: &[Part],
    leaves: &[Leaf],
    name: fn(&[Part], Leaf) -> String,
) -> String {
    let mut counted: Vec<(Leaf, usize)> = Vec::new();
    for &leaf in leaves {
        match counted.iter_mut().find(|(known, _)| *known == leaf) {
            Some((_, count)) => *count += 1,
            None => counted.push((leaf, 1)),
        }
    }
    let words = counted.into_iter().map(|(leaf, count)| {
        let one = name(parts, leaf);
        match count {
            1 => one,
            2 => one.replacen(" of ", " of both ", 1),
            n => one.replacen(" of ", &format!(" of all {n} "), 1),
        }
    });
    words.collect::<Vec<_>>().join(" and ")
}
