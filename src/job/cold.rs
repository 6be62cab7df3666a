//! Ohms of cold lugs: any section of a can has them, in use or not.

use std::ops::Range;

use super::{
    model::{Lug, OhmsAt},
    names::Names,
    problem::{Place, ReadingProblem},
    reading::Places,
    schema::ByName,
};
use crate::quantity::Resistance;

/// The readings of `cold_ohms`, each lug once.
pub(super) fn ohms(
    names: &Names,
    places: &Places,
    raw: &ByName<Option<Resistance>>,
) -> Vec<OhmsAt> {
    let mut found: Vec<(OhmsAt, Range<usize>)> = Vec::new();
    for (name, ohms) in raw {
        let lug = match lug(names, places, name.get_ref()) {
            Ok(Some(lug)) => lug,
            Ok(None) => continue,
            Err((part, problem)) => {
                names.sheet.note(names.sheet.inside(name, part), problem);
                continue;
            }
        };
        if let Some((_, first)) = found.iter().find(|(at, _)| at.lug == lug) {
            let problem = ReadingProblem::Twice { place: name.get_ref().clone() };
            names.sheet.note(Place::against(name.span(), first.clone(), "first here"), problem);
            continue;
        }
        found.push((OhmsAt { lug, ohms: *ohms.get_ref() }, name.span()));
    }
    found.into_iter().map(|(at, _)| at).collect()
}

/// The lug that a name means: a node's, else a section's. `None` is a section of
/// a can whose stamping can't be read.
fn lug(
    names: &Names,
    places: &Places,
    name: &str,
) -> Result<Option<Lug>, (Range<usize>, super::TreeProblem)> {
    if let Some(node) = names.node(name) {
        let section = places.section_of_node(node);
        return Ok(Some(section.map_or(Lug::Node(node), Lug::Section)));
    }
    Ok(names.section(name)?.map(Lug::Section))
}
