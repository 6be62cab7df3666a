//! Documents of the commands that need no can.

use super::list_documents::{
    CountDoc, NearDoc, NeighbourDoc, NeighboursDoc, ProblemDoc, RuleDoc, RulesDoc, StockCheckDoc,
};
use crate::{
    quantity::clean,
    report::near::Near,
    rules::list::{Entry, RULES},
    series::Neighbour,
    stock::{Problem, Stock},
};

/// A stock list, checked, as a document.
#[must_use]
pub fn stock(stock: &Stock) -> StockCheckDoc {
    let summary = stock.summary();
    let count = |name: &str, count: usize| CountDoc { name: name.into(), count };
    let problem = |p: &Problem| ProblemDoc {
        line: p.line,
        column: p.column.as_ref().map(|c| c.name().into()),
        bad: p.is_bad(),
        says: p.to_string(),
        help: p.help(),
    };
    StockCheckDoc {
        schema: "recan.stock/1".into(),
        source: stock.list.to_string(),
        lines: summary.lines,
        good: summary.good,
        bad: summary.bad,
        by_style: summary.by_style.iter().map(|(style, n)| count(style.name(), *n)).collect(),
        multi_section: summary.multi_section,
        blank: summary.lacking.iter().map(|(column, n)| count(column.name(), *n)).collect(),
        problems: stock.problems.iter().map(problem).collect(),
    }
}

/// Neighbours of a value as a document.
#[must_use]
pub fn near(near: &Near) -> NearDoc {
    let one = |n: Neighbour| NeighbourDoc {
        value: clean(n.value),
        error_percent: crate::quantity::significant(n.error_percent, 6),
    };
    let series = near.neighbours.iter().map(|n| NeighboursDoc {
        series: n.series.name().into(),
        below: one(n.below),
        exact: n.exact.is_some(),
        above: one(n.above),
    });
    NearDoc {
        schema: "recan.near/1".into(),
        value: near.value,
        unit: near.unit.into(),
        held_by: near.held_by.map(|s| s.name().into()),
        series: series.collect(),
        notices: near.notes.clone(),
    }
}

/// The list of rules as a document.
#[must_use]
pub fn rules() -> RulesDoc {
    let rule = |e: &Entry| RuleDoc {
        id: e.id.into(),
        title: e.title.into(),
        unit: e.unit.into(),
        source: e.source.into(),
    };
    RulesDoc { schema: "recan.rules/1".into(), rules: RULES.iter().map(rule).collect() }
}
