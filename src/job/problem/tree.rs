//! Problems of cans, sections and nodes.

use super::{either, short};

/// What is wrong with cans, sections and nodes, or how they feed each other.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, miette::Diagnostic)]
#[non_exhaustive]
pub enum TreeProblem {
    /// A second can without a name.
    #[error("a second can has no `name`")]
    #[diagnostic(help(
        "name each `[[can]]` but one; the sections of a named one are written `name/section`"
    ))]
    UnnamedCan,
    /// A name that two things have.
    #[error("two {what} are called `{}`", short(name))]
    #[diagnostic(help("give each a name of its own; capitals don't count"))]
    SameName {
        /// `cans` or `nodes`.
        what: &'static str,
        /// The name.
        name: String,
    },
    /// A can's name that `can/section` can't carry.
    #[error("the can's name `{}` holds a slash", short(name))]
    #[diagnostic(help("the slash stands between can and section; leave it out of the name"))]
    SlashInName {
        /// The name.
        name: String,
    },
    /// A node named as a place where negatives go.
    #[error("`{}` is a place where negatives go, not the name of a node", short(name))]
    #[diagnostic(help("give the node a name such as `B1`"))]
    ReservedName {
        /// The name.
        name: String,
    },
    /// A section where there is no can.
    #[error("`{}` is a section, but the job has no `[[can]]`", short(found))]
    #[diagnostic(help("add the can's stamping, or give a `capacitance` in place of `section`"))]
    NoCan {
        /// The section as typed.
        found: String,
    },
    /// A section that the can does not have.
    #[error("{can} has no section `{}`", short(found))]
    #[diagnostic(help("its sections are {}", either(sections)))]
    NoSection {
        /// The can in words.
        can: String,
        /// The section as typed.
        found: String,
        /// The sections it has, as they would be typed.
        sections: Vec<String>,
    },
    /// A section without its can where there are several.
    #[error("`{}` does not say of which can", short(found))]
    #[diagnostic(help("write {}", either(offers)))]
    WhichCan {
        /// The section as typed.
        found: String,
        /// How it may be written.
        offers: Vec<String>,
    },
    /// A can that the job does not have.
    #[error("no can is called `{}`", short(found))]
    #[diagnostic(help("{}", if cans.is_empty() { "the only can has no name: write the section alone".into() } else { format!("the cans are {}", either(cans)) }))]
    NoSuchCan {
        /// The can as typed.
        found: String,
        /// The cans there are.
        cans: Vec<String>,
    },
    /// A section in two places.
    #[error("section `{}` is used twice", short(section))]
    #[diagnostic(help(
        "each section is one capacitor: use it once, or give a `capacitance` for another part"
    ))]
    SectionTwice {
        /// The section.
        section: String,
    },
    /// A node that the job does not have.
    #[error("no node is called `{}`", short(found))]
    #[diagnostic(help("the nodes are {}", either(nodes)))]
    NoNode {
        /// The node as typed.
        found: String,
        /// The nodes there are.
        nodes: Vec<String>,
    },
    /// A word that is neither a place for a negative nor a node.
    #[error("found `{}` for `{key}`, expected a place or a node", short(found))]
    #[diagnostic(help("{}", match nearest { Some(near) => format!("did you mean `{near}`?"), None => "the places are `chassis`, `B-`, `centre tap`, `line` and the names of nodes".into() }))]
    NoPlace {
        /// The key.
        key: &'static str,
        /// The word as typed.
        found: String,
        /// What may be meant.
        nearest: Option<String>,
    },
    /// A node whose `from` is itself.
    #[error("node `{}` feeds itself", short(node))]
    #[diagnostic(help("`from` names the node before it, on the side of the rectifier"))]
    FeedsItself {
        /// The node.
        node: String,
    },
    /// Nodes that feed each other in a ring.
    #[error("nodes feed each other in a ring: {}", ring.iter().map(|n| short(n)).collect::<Vec<_>>().join(" from "))]
    #[diagnostic(help(
        "follow `from` back: it must end at the node behind the rectifier, which has none"
    ))]
    Ring {
        /// The nodes, each fed from the next; the first again at the end.
        ring: Vec<String>,
    },
    /// A node fed in two ways.
    #[error("node `{}` has both a `resistor` and a `choke`", short(node))]
    #[diagnostic(help("keep one; for both in a row add the resistor to `choke_resistance`"))]
    ResistorAndChoke {
        /// The node.
        node: String,
    },
    /// A key that needs another one.
    #[error("node `{}` has `{key}` without `{needs}`", short(node))]
    #[diagnostic(help("give the `{needs}` as well, or take `{key}` out"))]
    Needs {
        /// The node.
        node: String,
        /// The key that is there.
        key: &'static str,
        /// The key that is missing.
        needs: &'static str,
    },
    /// A capacitor of its own on top of a doubler's stack.
    #[error("the first node `{}` of a full-wave doubler has a capacitor of its own", short(node))]
    #[diagnostic(help(
        "its capacitors are `[rectifier.upper]` and `[rectifier.lower]`: take `section` and `capacitance` out here"
    ))]
    StackHasOwn {
        /// The node.
        node: String,
    },
    /// Constant current and resistance at once.
    #[error("node `{}` has both a `load` and a `load_resistance`", short(node))]
    #[diagnostic(help(
        "keep `load` for tubes, `load_resistance` for a divider; a fixed resistor to the negative is a `bleeder`"
    ))]
    TwoLoads {
        /// The node.
        node: String,
    },
    /// A capacitor with both ends on one point.
    #[error(
        "`{}` sees 0 V: its positive and {whose} negative are both at {}",
        short(of),
        short(point)
    )]
    #[diagnostic(help(
        "trace both: correct the one that is wrong, such as `centre tap` for a negative, and leave out the one that you don't know"
    ))]
    SamePoint {
        /// The section, or the node where it is another part.
        of: String,
        /// The point as typed.
        point: String,
        /// Whose negative it is: `its` or `the can's`.
        whose: &'static str,
    },
    /// A reservoir that is not behind the rectifier.
    #[error("node `{}` is no reservoir: `{}` feeds it", short(node), short(from))]
    #[diagnostic(help(
        "the reservoir is the first capacitor after the rectifier; this one is `smoothing` or `decoupling`"
    ))]
    NoReservoir {
        /// The node.
        node: String,
        /// The node that feeds it.
        from: String,
    },
}
