//! The linear part of a supply as state equations: capacitor voltages and
//! choke currents driven by the rectifier's currents.

use nalgebra::DMatrix;

use super::plain::{Plain, PlainKind};

/// Conductance, S, across each node without a capacitor, so that one which only
/// chokes reach still has a voltage: 0.3 µA at 300 V.
pub(super) const LEAK: f64 = 1e-9;

/// A linear form of the states, the path currents and one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    pub(super) states: Vec<f64>,
    pub(super) inputs: [f64; 2],
    pub(super) constant: f64,
}

/// State equations `x' = A x + B i + g`, and what is read from them.
#[derive(Debug, Clone)]
pub(super) struct Network {
    /// Rate of each state.
    pub(super) rates: Vec<Row>,
    /// Capacitance or inductance of each state.
    pub(super) stores: Vec<f64>,
    /// Voltage of each node.
    pub(super) nodes: Vec<Row>,
    /// State of the capacitor of each node.
    pub(super) node_state: Vec<Option<usize>>,
    /// State of the choke that feeds each node.
    pub(super) choke_state: Vec<Option<usize>>,
    /// Voltage that each path works against, source resistance included.
    pub(super) paths: Vec<Row>,
    /// Sign of the source in each path.
    pub(super) signs: [f64; 2],
    /// Voltages across the doubler's own capacitors, esr included; their states
    /// come first.
    pub(super) doubler: Vec<Row>,
    /// Current through the branch that feeds each node; zero for the first.
    pub(super) feeds: Vec<Row>,
    /// Whether a choke is among the branches.
    pub(super) chokes: bool,
}

impl Row {
    pub(super) fn zero(n: usize) -> Self {
        Self { states: vec![0.0; n], inputs: [0.0; 2], constant: 0.0 }
    }

    fn state(n: usize, k: usize) -> Self {
        let mut row = Self::zero(n);
        row.states[k] = 1.0;
        row
    }

    fn input(n: usize, p: usize) -> Self {
        let mut row = Self::zero(n);
        row.inputs[p] = 1.0;
        row
    }

    fn add(&mut self, other: &Self, times: f64) {
        for (a, b) in self.states.iter_mut().zip(&other.states) {
            *a += times * b;
        }
        for (a, b) in self.inputs.iter_mut().zip(&other.inputs) {
            *a += times * b;
        }
        self.constant += times * other.constant;
    }

    fn plus(mut self, other: &Self, times: f64) -> Self {
        self.add(other, times);
        self
    }

    pub(super) fn scaled(mut self, times: f64) -> Self {
        for a in self.states.iter_mut().chain(&mut self.inputs) {
            *a *= times;
        }
        self.constant *= times;
        self
    }
}

/// Where the states of the parts are.
struct Places {
    n: usize,
    capacitor: Vec<Option<usize>>,
    choke: Vec<Option<usize>>,
    stores: Vec<f64>,
}

impl Network {
    /// The state equations of a checked circuit.
    pub(super) fn new(plain: &Plain) -> Self {
        let places = Places::new(plain);
        let feed = Root::of(plain, places.n);
        let nodes = node_voltages(plain, &places, &feed);
        Self::with(plain, places, nodes, feed)
    }

    /// The state equations with the first node held at the first input, V. The
    /// one path is then the current drawn there.
    pub(super) fn forced(plain: &Plain) -> Self {
        let places = Places::new(plain);
        let nodes = node_voltages(plain, &places, &Root::Held);
        let drawn = charging(plain, &places, &nodes, 0, &Row::zero(places.n)).scaled(-1.0);
        let mut network = Self::with(plain, places, nodes, Root::Held);
        network.paths = vec![drawn];
        network
    }

    fn with(plain: &Plain, places: Places, nodes: Vec<Row>, feed: Root) -> Self {
        let into_root = match feed {
            Root::Fed(row) => row,
            _ => Row::zero(places.n),
        };
        let mut rates = vec![Row::zero(places.n); places.n];
        for (j, node) in plain.nodes.iter().enumerate() {
            if let (Some(k), Some((farad, _))) = (places.capacitor[j], node.capacitor) {
                rates[k] = charging(plain, &places, &nodes, j, &into_root).scaled(farad.recip());
            }
            if let Some(k) = places.choke[j] {
                let mut row = nodes[node.parent].clone().plus(&nodes[j], -1.0);
                row.states[k] -= node.ohm;
                rates[k] = row.scaled(node.henry.recip());
            }
        }
        let (doubler, paths, signs) = front(plain, &places, &nodes, &mut rates);
        let feeds = (0..plain.nodes.len()).map(|j| through(plain, &places, &nodes, j)).collect();
        let chokes = places.choke.iter().any(Option::is_some);
        let Places { capacitor: node_state, choke: choke_state, stores, .. } = places;
        Self { rates, stores, nodes, node_state, choke_state, paths, signs, doubler, feeds, chokes }
    }

    /// How many states there are.
    pub(super) fn order(&self) -> usize {
        self.rates.len()
    }
}

impl Places {
    fn new(plain: &Plain) -> Self {
        let mut stores = match plain.kind {
            PlainKind::FullWaveDoubler { upper, lower } => vec![upper.0, lower.0],
            PlainKind::HalfWaveDoubler { series } => vec![series.0],
            _ => vec![],
        };
        let mut place = |store: Option<f64>| {
            store.map(|s| {
                stores.push(s);
                stores.len() - 1
            })
        };
        let capacitor = plain.nodes.iter().map(|n| place(n.capacitor.map(|c| c.0))).collect();
        let choke = plain.nodes.iter().map(|n| place((n.henry > 0.0).then_some(n.henry))).collect();
        Self { n: stores.len(), capacitor, choke, stores }
    }
}

/// The stack of a full-wave doubler as a source: its voltage with no current
/// drawn, and its esr.
fn stack(plain: &Plain, n: usize) -> Option<(Row, f64)> {
    let PlainKind::FullWaveDoubler { upper, lower } = plain.kind else { return None };
    let open = Row::state(n, 0)
        .plus(&Row::state(n, 1), 1.0)
        .plus(&Row::input(n, 0), upper.1)
        .plus(&Row::input(n, 1), lower.1);
    Some((open, upper.1 + lower.1))
}

/// What the rectifier is to the first node.
enum Root {
    /// It brings this current.
    Fed(Row),
    /// The doubler's stack stands across it.
    Stacked,
    /// Its voltage is the first input.
    Held,
}

impl Root {
    fn of(plain: &Plain, n: usize) -> Self {
        match plain.kind {
            PlainKind::FullWave | PlainKind::Bridge => {
                Self::Fed(Row::input(n, 0).plus(&Row::input(n, 1), 1.0))
            }
            PlainKind::HalfWave => Self::Fed(Row::input(n, 0)),
            PlainKind::HalfWaveDoubler { .. } => Self::Fed(Row::input(n, 1)),
            PlainKind::FullWaveDoubler { .. } => Self::Stacked,
        }
    }
}

/// Solves the resistive part for every node's voltage.
fn node_voltages(plain: &Plain, places: &Places, feed: &Root) -> Vec<Row> {
    let (m, n) = (plain.nodes.len(), places.n);
    let mut matrix = DMatrix::zeros(m, m);
    let mut right = vec![Row::zero(n); m];
    for (j, node) in plain.nodes.iter().enumerate() {
        matrix[(j, j)] += node.siemens();
        right[j].constant -= node.ampere;
        if j > 0 {
            join(plain, places, j, &mut matrix, &mut right);
        }
    }
    if let Root::Fed(row) = feed {
        right[0].add(row, 1.0);
    }
    for j in 0..m {
        let source = match (plain.nodes[j].capacitor, places.capacitor[j]) {
            (Some((_, esr)), Some(k)) => Some((Row::state(n, k), esr)),
            _ if j == 0 && matches!(feed, Root::Held) => Some((Row::input(n, 0), 0.0)),
            _ if j == 0 => stack(plain, n),
            _ => None,
        };
        match source {
            Some((open, esr)) if esr > 0.0 => {
                matrix[(j, j)] += esr.recip();
                right[j].add(&open, esr.recip());
            }
            Some((open, _)) => {
                matrix.row_mut(j).fill(0.0);
                matrix[(j, j)] = 1.0;
                right[j] = open;
            }
            None => matrix[(j, j)] += LEAK,
        }
    }
    solved(matrix, &right, n)
}

fn join(plain: &Plain, places: &Places, j: usize, matrix: &mut DMatrix<f64>, right: &mut [Row]) {
    let node = &plain.nodes[j];
    if let Some(k) = places.choke[j] {
        right[j].states[k] += 1.0;
        right[node.parent].states[k] -= 1.0;
        return;
    }
    let g = node.ohm.recip();
    for (row, column, sign) in [
        (j, j, 1.0),
        (node.parent, node.parent, 1.0),
        (j, node.parent, -1.0),
        (node.parent, j, -1.0),
    ] {
        matrix[(row, column)] += sign * g;
    }
}

fn solved(matrix: DMatrix<f64>, right: &[Row], n: usize) -> Vec<Row> {
    let mut known = DMatrix::zeros(right.len(), n + 3);
    for (j, row) in right.iter().enumerate() {
        for (k, &x) in row.states.iter().chain(&row.inputs).chain([&row.constant]).enumerate() {
            known[(j, k)] = x;
        }
    }
    // The matrix is diagonally dominant with a conductance, pinned row or leak
    // in each connected part, so it is regular.
    matrix.lu().solve_mut(&mut known);
    let row = |j: usize| Row {
        states: (0..n).map(|k| known[(j, k)]).collect(),
        inputs: [known[(j, n)], known[(j, n + 1)]],
        constant: known[(j, n + 2)],
    };
    (0..right.len()).map(row).collect()
}

/// Current through the branch that feeds node `j`.
fn through(plain: &Plain, places: &Places, nodes: &[Row], j: usize) -> Row {
    let node = &plain.nodes[j];
    match places.choke[j] {
        Some(k) => Row::state(places.n, k),
        None if j == 0 => Row::zero(places.n),
        None => nodes[node.parent].clone().plus(&nodes[j], -1.0).scaled(node.ohm.recip()),
    }
}

/// Current that is left for the capacitor of node `j`.
fn charging(plain: &Plain, places: &Places, nodes: &[Row], j: usize, into_root: &Row) -> Row {
    let node = &plain.nodes[j];
    let mut sum = if j == 0 { into_root.clone() } else { through(plain, places, nodes, j) };
    sum.add(&nodes[j], -node.siemens());
    sum.constant -= node.ampere;
    for child in j + 1..plain.nodes.len() {
        if plain.nodes[child].parent == j {
            sum.add(&through(plain, places, nodes, child), -1.0);
        }
    }
    sum
}

type Front = (Vec<Row>, Vec<Row>, [f64; 2]);

/// The paths, and the doubler's capacitors with their rates.
fn front(plain: &Plain, places: &Places, nodes: &[Row], rates: &mut [Row]) -> Front {
    let (n, ohm) = (places.n, plain.source_ohm);
    let (first, second) = (Row::input(n, 0), Row::input(n, 1));
    match plain.kind {
        PlainKind::HalfWave => (vec![], vec![nodes[0].clone().plus(&first, ohm)], [1.0, 0.0]),
        PlainKind::FullWave => (
            vec![],
            vec![nodes[0].clone().plus(&first, ohm), nodes[0].clone().plus(&second, ohm)],
            [1.0, -1.0],
        ),
        PlainKind::Bridge => {
            let shared = first.plus(&second, -1.0);
            (
                vec![],
                vec![nodes[0].clone().plus(&shared, ohm), nodes[0].clone().plus(&shared, -ohm)],
                [1.0, -1.0],
            )
        }
        PlainKind::FullWaveDoubler { upper, lower } => {
            let drawn = charging(plain, places, nodes, 0, &Row::zero(n)).scaled(-1.0);
            let mut cells = vec![];
            for (k, (input, (farad, esr))) in
                [(&first, upper), (&second, lower)].into_iter().enumerate()
            {
                let current = input.clone().plus(&drawn, -1.0);
                cells.push(Row::state(n, k).plus(&current, esr));
                rates[k] = current.scaled(farad.recip());
            }
            let paths =
                vec![cells[0].clone().plus(&first, ohm), cells[1].clone().plus(&second, ohm)];
            (cells, paths, [1.0, -1.0])
        }
        PlainKind::HalfWaveDoubler { series: (farad, esr) } => {
            let current = first.plus(&second, -1.0);
            let cell = Row::state(n, 0).plus(&current, esr);
            rates[0] = current.clone().scaled(farad.recip());
            let clamped = cell.clone().plus(&current, ohm);
            let paths = vec![clamped.clone(), nodes[0].clone().plus(&clamped, -1.0)];
            (vec![cell], paths, [-1.0, 1.0])
        }
    }
}
