//! Draws of the reading as a rising function of what was poured.
//!
//! The sump's sides are straight, lean evenly, or do anything, and none of the three is more probable than another
//! (judgement). So the curve is a straight line with a flat prior, to which come nothing, or a parabola (sides that lean),
//! or an integrated Brownian motion: the slope wanders. Of the last the posterior mean is the cubic smoothing spline (Wahba,
//! J. R. Statist. Soc. B 40 (1978) 364-372), and its posterior bands are the spline's Bayesian bands (Wahba 1983; Nychka, J. Am.
//! Statist. Assoc. 83 (1988) 1134-1143). Kind of sides, how much the slope wanders and the scatter of a reading are not
//! fixed at an estimate but summed over, each node weighted by its marginal likelihood (Bayesian model averaging: Hoeting et
//! al., Statist. Sci. 14 (1999) 382-417). Only rising curves are kept: the prior is restricted to them.

use super::pours::Pours;
use crate::Error;
use crate::infer::learn::LearnError;
use crate::infer::learn::draws::{Numbers, cumulate, pick};
use crate::infer::learn::linear::{Root, dot};

/// How far beyond the pours curves are drawn, as a share of all that was poured.
pub(super) const BEYOND: f64 = 0.25;
/// Steps of the grid over what was poured.
const STEPS: u32 = 150;
/// Least slope of a curve that rises, as a share of the mean slope: no place has ten times the mean free surface (judgement).
const LEAST_SLOPE: f64 = 0.1;
/// Standard deviation of the wander's half-normal prior (judgement): over all that was poured the slope changes by
/// this share of its mean, one standard deviation.
const WANDER: f64 = 1.0;
/// Equally probable values of the wander.
const WANDERS: u32 = 16;
/// Standard deviation of the slope's change over all that was poured where sides lean evenly, as a share of its mean
/// (judgement).
const LEAN: f64 = 0.5;
/// Where fewer than one curve in so many rises, the readings count as not rising.
const TRIES: usize = 200;
/// Tries before that is looked at.
const LOOK: usize = 4000;

/// One curve: reading (m) and slope (m) at every node of the grid.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Path {
    pub reading: Vec<f64>,
    pub slope: Vec<f64>,
}

/// One draw of curve, scatter and errors of the pours.
pub(super) struct Drawn {
    pub path: Path,
    /// Scatter of a reading (m).
    pub scatter: f64,
    /// What the pours so far were off by together, as the stick shows it (m).
    pub off: f64,
    /// Standard uncertainty of one more, as the stick shows it (m).
    pub pour: f64,
}

/// What the sides do, in units of the mean slope: nothing, lean evenly, or wander.
#[derive(Debug, Clone, Copy)]
struct Sides {
    wander: f64,
    lean: f64,
    probability: f64,
}

/// The three kinds of sides, one third each; the last at equally probable values of the wander.
fn kinds() -> Vec<Sides> {
    let third = 1.0 / 3.0;
    let wandering = (0..WANDERS).map(|k| {
        let p = (f64::from(k) + 0.5) / f64::from(WANDERS);
        let wander = WANDER * crate::numeric::normal::quantile(0.5 + 0.5 * p);
        Sides { wander, lean: 0.0, probability: third / f64::from(WANDERS) }
    });
    let straight = Sides { wander: 0.0, lean: 0.0, probability: third };
    [straight, Sides { lean: LEAN, ..straight }].into_iter().chain(wandering).collect()
}

/// The parabola of sides that lean evenly, with its derivative: the slope changes by 1 over what was poured.
fn lean(x: f64) -> (f64, f64) {
    (0.5 * (x - 0.5).powi(2), x - 0.5)
}

/// One value of scatter and one kind of sides, with all that conditioning on the readings needs.
struct Node {
    scatter: f64,
    /// Both in metres of reading over all that was poured.
    wander: f64,
    lean: f64,
    /// Standard uncertainty of one pour besides the jug's scale, as the stick shows it (m).
    pour: f64,
    root: Root,
    /// `C^-1 (1, x)` and the inverse of `(1, x)' C^-1 (1, x)`.
    solved: [Vec<f64>; 2],
    inverse: [f64; 3],
    /// Logarithm of its marginal likelihood times its probability.
    ln_weight: f64,
}

/// The posterior of the curve.
pub(super) struct Posterior<'a> {
    pours: &'a Pours,
    /// Places of the grid and of the readings, in order; 0 to 1 is what was poured.
    pub places: Vec<f64>,
    /// Place of each reading in `places`.
    at: Vec<usize>,
    nodes: Vec<Node>,
    cumulative: Vec<f64>,
    mean_slope: f64,
}

/// Covariance of the integrated Brownian motion that starts at 0, at `a` and `b`, and its derivative by `b`.
fn covariance(a: f64, b: f64) -> (f64, f64) {
    if b >= a {
        return (a * a * (3.0 * b - a) / 6.0, 0.5 * a * a);
    }
    (b * b * (3.0 * a - b) / 6.0, b * (a - 0.5 * b))
}

impl<'a> Posterior<'a> {
    /// `scatters` are the equally probable values of a reading's scatter (m); `pour` the standard uncertainty of one
    /// pour besides the jug's scale, as a share of all that was poured.
    pub(super) fn new(pours: &'a Pours, scatters: &[f64], pour: f64) -> Result<Self, Error> {
        let mean_slope = pours.slope();
        let typical = scatters[scatters.len() / 2];
        let not_rising = || Self::not_rising(pours, typical);
        if mean_slope <= 0.0 {
            return Err(not_rising());
        }
        let (places, at) = places(&pours.x);
        let mut nodes = Vec::new();
        for scatter in scatters {
            for sides in kinds() {
                nodes.extend(Node::new(pours, *scatter, sides, pour * mean_slope, mean_slope));
            }
        }
        if nodes.is_empty() {
            return Err(not_rising());
        }
        let cumulative = cumulate(&nodes.iter().map(|n| n.ln_weight).collect::<Vec<_>>());
        Ok(Self { pours, places, at, nodes, cumulative, mean_slope })
    }

    fn not_rising(pours: &Pours, scatter: f64) -> Error {
        let (first, last) = (pours.readings[0], pours.readings[pours.readings.len() - 1]);
        LearnError::NotRising {
            first_mm: first * 1e3,
            last_mm: last * 1e3,
            added_l: pours.total * 1e3,
            scatter_mm: scatter * 1e3,
        }
        .into()
    }

    /// Draws `count` rising curves.
    pub(super) fn draw(&self, count: usize, numbers: &mut Numbers) -> Result<Vec<Drawn>, Error> {
        let mut kept = Vec::with_capacity(count);
        for tried in 0.. {
            if kept.len() == count {
                break;
            }
            if tried >= LOOK && kept.len() * TRIES < tried {
                let typical = self.nodes[pick(&self.cumulative, 0.5)].scatter;
                return Err(Self::not_rising(self.pours, typical));
            }
            let node = &self.nodes[pick(&self.cumulative, numbers.uniform())];
            let drawn = self.conditioned(node, numbers);
            if drawn.path.slope.iter().all(|s| *s > LEAST_SLOPE * self.mean_slope) {
                kept.push(drawn);
            }
        }
        Ok(kept)
    }

    /// A draw of the prior, corrected by what the readings say of its error (Matheron's rule; the straight line, whose
    /// prior is flat, by generalised least squares).
    fn conditioned(&self, node: &Node, numbers: &mut Numbers) -> Drawn {
        let mut path = self.prior(node, numbers);
        let n = self.at.len();
        let mut walk = 0.0;
        let mut before = 0.0;
        let miss: Vec<f64> = (0..n)
            .map(|i| {
                let step = (self.pours.count[i] - before).max(0.0);
                before = self.pours.count[i];
                walk += step.sqrt() * node.pour * numbers.normal();
                let noise = node.scatter * numbers.normal() + walk;
                self.pours.readings[i] - path.reading[self.at[i]] - noise
            })
            .collect();
        let [b0, b1] = node.line(&miss);
        let rest: Vec<f64> = (0..n).map(|i| miss[i] - b0 - b1 * self.places[self.at[i]]).collect();
        let weights = node.root.solve(&rest);
        let start = self.places[0];
        let square = node.wander * node.wander;
        let leant = node.lean
            * node.lean
            * weights.iter().zip(&self.at).map(|(weight, at)| weight * lean(self.places[*at]).0).sum::<f64>();
        // What the errors of the pours have come to, as the stick shows it, given the readings.
        let off = walk + node.pour * node.pour * dot(&weights, &self.pours.count);
        for (k, place) in self.places.iter().enumerate() {
            let (mut value, mut slope) = (0.0, 0.0);
            for (weight, at) in weights.iter().zip(&self.at) {
                let (c, d) = covariance(self.places[*at] - start, place - start);
                value += weight * c;
                slope += weight * d;
            }
            let (bend, turn) = lean(*place);
            path.reading[k] += b0 + b1 * place + square * value + leant * bend;
            path.slope[k] += b1 + square * slope + leant * turn;
        }
        Drawn { path, scatter: node.scatter, off, pour: node.pour }
    }

    /// Integrated Brownian motion and its slope from the left end, exact at the grid's places, and the parabola.
    fn prior(&self, node: &Node, numbers: &mut Numbers) -> Path {
        let count = self.places.len();
        let wander = node.wander;
        let (mut reading, mut slope) = (vec![0.0; count], vec![0.0; count]);
        for k in 1..count {
            let h = self.places[k] - self.places[k - 1];
            let (a, b) = (numbers.normal(), numbers.normal());
            // Cholesky root of [[h^3/3, h^2/2], [h^2/2, h]].
            let turn = wander * h.sqrt() * a;
            let bend = wander * h * h.sqrt() * (0.5 * a + b / 12f64.sqrt());
            reading[k] = reading[k - 1] + h * slope[k - 1] + bend;
            slope[k] = slope[k - 1] + turn;
        }
        let leant = node.lean * numbers.normal();
        for (k, place) in self.places.iter().enumerate() {
            let (bend, turn) = lean(*place);
            reading[k] += leant * bend;
            slope[k] += leant * turn;
        }
        Path { reading, slope }
    }
}

impl Node {
    /// None where the readings' covariance is singular.
    fn new(pours: &Pours, scatter: f64, sides: Sides, pour: f64, mean_slope: f64) -> Option<Self> {
        let n = pours.x.len();
        let (wander, leans) = (sides.wander * mean_slope, sides.lean * mean_slope);
        let mut c = vec![0.0; n * n];
        for i in 0..n {
            for j in 0..n {
                let curve = covariance(pours.x[i] + BEYOND, pours.x[j] + BEYOND).0;
                let poured = pours.count[i.min(j)];
                let bends = lean(pours.x[i]).0 * lean(pours.x[j]).0;
                c[i * n + j] = wander * wander * curve + leans * leans * bends + pour * pour * poured;
            }
            c[i * n + i] += scatter * scatter;
        }
        let root = Root::of(&c, n)?;
        let solved = [root.solve(&vec![1.0; n]), root.solve(&pours.x)];
        let [a, b, d] = [solved[0].iter().sum(), dot(&solved[0], &pours.x), dot(&solved[1], &pours.x)] as [f64; 3];
        let determinant = a * d - b * b;
        if determinant <= 0.0 {
            return None;
        }
        let inverse = [d / determinant, -b / determinant, a / determinant];
        let mut node = Self { scatter, wander, lean: leans, pour, root, solved, inverse, ln_weight: 0.0 };
        let [b0, b1] = node.line(&pours.readings);
        let rest: Vec<f64> = (0..n).map(|i| pours.readings[i] - b0 - b1 * pours.x[i]).collect();
        let misfit = dot(&rest, &node.root.solve(&rest));
        let ln_likelihood = -0.5 * (node.root.ln_determinant() + determinant.ln() + misfit);
        node.ln_weight = ln_likelihood + sides.probability.ln();
        Some(node)
    }

    /// The straight line by generalised least squares.
    fn line(&self, y: &[f64]) -> [f64; 2] {
        let (u, v) = (dot(&self.solved[0], y), dot(&self.solved[1], y));
        [self.inverse[0] * u + self.inverse[1] * v, self.inverse[1] * u + self.inverse[2] * v]
    }
}

/// The grid with the readings' places merged in, and where each reading stands in it.
fn places(x: &[f64]) -> (Vec<f64>, Vec<usize>) {
    let width = (1.0 + 2.0 * BEYOND) / f64::from(STEPS);
    let mut places: Vec<f64> = (0..=STEPS).map(|k| f64::from(k) * width - BEYOND).collect();
    places.extend_from_slice(x);
    places.sort_by(f64::total_cmp);
    places.dedup_by(|b, a| *b - *a < 1e-9);
    let at = x.iter().map(|x| places.partition_point(|p| *p < x - 1e-9).min(places.len() - 1)).collect();
    (places, at)
}
